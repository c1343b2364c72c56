package cli

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/report"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
)

// designsFolder is where a house keeps its own designs.
const designsFolder = "designs"

// ownDesign is a design of the house.
type ownDesign struct {
	file *source.File
	// name is what it is called, as far as that can be read.
	name string
	// design is nil where its file has mistakes.
	design *sheet.Design
}

// called says whether a design is asked for by a name.
func (o *ownDesign) called(name string) bool { return (&sheet.Design{Name: o.name}).Called(name) }

// ownDesigns reads the designs of the house in a folder, in the order of their
// files. Mistakes in them are findings; what cannot be read is in problems.
func ownDesigns(dir string) (own []ownDesign, found diag.List, problems []error) {
	folder := filepath.Join(dir, designsFolder)
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return nil, nil, nil
	}
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, nil, []error{readError(folder, err)}
	}
	for _, entry := range entries {
		name := filepath.Join(folder, entry.Name())
		if entry.IsDir() || strings.HasPrefix(entry.Name(), ".") {
			continue
		}
		switch ext := strings.ToLower(filepath.Ext(entry.Name())); {
		case ext == ".yml", ext == ".yaml" && filepath.Ext(entry.Name()) != ext, strings.HasSuffix(strings.ToLower(entry.Name()), ".yaml.txt"):
			problems = append(problems, fmt.Errorf("%s was not read: the file of a design ends in .yaml", filepath.ToSlash(name)))
			continue
		case ext != ".yaml":
			continue
		}
		text, err := readText(name)
		if err != nil {
			problems = append(problems, err)
			continue
		}
		own = append(own, readDesign(source.New(filepath.ToSlash(name), text), own, &found))
	}
	return own, found, problems
}

// readDesign reads one design. A name that one before it bears is a mistake.
func readDesign(f *source.File, before []ownDesign, report *diag.List) ownDesign {
	o := ownDesign{file: f, name: nameOf(f), design: sheet.LoadDesign(f, report)}
	if o.design == nil {
		return o
	}
	o.name = o.design.Name
	for i := range before {
		if before[i].called(o.name) {
			report.Add(diag.Diagnostic{
				Rule: sheet.DesignRule, Severity: diag.Error, Concern: diag.Card, Span: o.design.NameSpan,
				Message: "Two designs are called “" + o.name + "”; the other is " + before[i].file.Name + ".", Help: "Give one of them another name.",
			})
			o.design = nil
			break
		}
	}
	return o
}

// nameOf is the name a file of a design gives, as far as it is easily seen, else
// that of the file.
func nameOf(f *source.File) string {
	lines := bufio.NewScanner(bytes.NewReader(f.Text))
	for lines.Scan() {
		if name, ok := strings.CutPrefix(lines.Text(), "name:"); ok {
			name, _, _ = strings.Cut(name, " #")
			if name = strings.Trim(strings.TrimSpace(name), "\"'"); name != "" {
				return name
			}
		}
	}
	return strings.TrimSuffix(filepath.Base(f.Name), ".yaml")
}

// readDesigns reads the house's own designs.
func (e *env) readDesigns(h *house) {
	var problems []error
	h.own, h.designFound, problems = ownDesigns(h.dir)
	for _, p := range problems {
		e.cannot(p)
	}
}

// designs are those a house prints in: its own, and the built-in ones of other
// names, in the order of their names.
func (h *house) designs() []*sheet.Design {
	var all []*sheet.Design
	for i := range h.own {
		if h.own[i].design != nil {
			all = append(all, h.own[i].design)
		}
	}
	for _, d := range sheet.Designs() {
		if !slices.ContainsFunc(h.own, func(o ownDesign) bool { return o.called(d.Name) }) {
			all = append(all, d)
		}
	}
	slices.SortStableFunc(all, func(a, b *sheet.Design) int { return strings.Compare(a.Name, b.Name) })
	return all
}

// findDesign is the design of a name, the house's own first; nil where there is
// none, or where the house's own has mistakes.
func (h *house) findDesign(name string) *sheet.Design {
	for _, d := range h.designs() {
		if d.Called(name) {
			return d
		}
	}
	return nil
}

// designAsked is the design a command asks for by name, the house's own first.
// It is nil without an error where it is the house's own and has mistakes; they
// are said then.
func (e *env) designAsked(name string, paths []string) (*sheet.Design, error) {
	names := designNames(sheet.Designs())
	seen := map[string]bool{}
	var mine *ownDesign
	var found diag.List
	for _, path := range paths {
		dir := e.houseOf(path)
		if absolute, err := filepath.Abs(dir); err == nil {
			if seen[absolute] {
				continue
			}
			seen[absolute] = true
		}
		own, list, _ := ownDesigns(dir)
		for i := range own {
			if !slices.Contains(names, own[i].name) {
				names = append(names, own[i].name)
			}
			if mine == nil && own[i].called(name) {
				mine, found = &own[i], list
			}
		}
	}
	switch {
	case mine != nil && len(seen) > 1:
		return nil, usagef("the design %q is of one house; print one house at a time", mine.name)
	case mine != nil && mine.design != nil:
		return mine.design, nil
	case mine != nil:
		return nil, e.sayOfDesign(mine, found)
	}
	if d := sheet.FindDesign(name); d != nil {
		return d, nil
	}
	slices.Sort(names)
	return nil, oneOf("--as", name, names)
}

// sayOfDesign says what is wrong with a design.
func (e *env) sayOfDesign(o *ownDesign, found diag.List) error {
	list := slices.DeleteFunc(slices.Clone(found), func(d diag.Diagnostic) bool { return d.Span.File != o.file })
	list.Sort()
	if err := report.Text(e.out, list, e.summary(&visit{list: list}, false), look(e.out)); err != nil {
		return fmt.Errorf("the findings could not be written: %s", because(err))
	}
	fmt.Fprintf(e.out, "\n%s  nothing was printed\n", o.file.Name)
	e.judge(list, false)
	return nil
}

// houseOf is the folder of the house around a path.
func (e *env) houseOf(path string) string {
	if e.house != "" {
		return e.house
	}
	if dir := houseAround(path); dir != "" {
		return dir
	}
	return folderOf(path)
}

func designNames(designs []*sheet.Design) []string {
	names := make([]string, len(designs))
	for i, d := range designs {
		names[i] = d.Name
	}
	return names
}

// isDesign says whether a path is the file of a design of a house.
func isDesign(path string) bool {
	if !strings.EqualFold(filepath.Ext(path), ".yaml") || filepath.Base(filepath.Dir(path)) != designsFolder {
		return false
	}
	info, err := os.Stat(path)
	return err == nil && !info.IsDir()
}
