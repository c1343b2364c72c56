package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldwright/internal/diag"
	"coldwright/internal/mend"
	"coldwright/internal/parse"
	"coldwright/internal/recipe"
	"coldwright/internal/report"
	"coldwright/internal/rules"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

func (e *env) mendCommand() *cobra.Command {
	write := false
	cmd := &cobra.Command{
		Use:   "mend PATH…",
		Short: "Make the corrections that have one obvious answer",
		Long: `Mend shows, and with --write makes, the corrections that have one obvious answer:
a caution that is not named, a mistyped key, fact or word, quotes that are
missing, a clean-down between two grades, a revision that the change record is
ahead of. It shows the difference line by line and then says what each does.

Where two answers would do, nothing is written: check says what they are. Only
the bytes of a correction change; remarks, order and line ends stay. A
correction that would bring out a finding there was not before is left out, and
said so; only a note may come to light. A folder is mended with its shop file and its designs, if they lie in
it.

It exits 1 where something that stops a print is left in the files.`,
		Example: example("coldwright mend recipes", "coldwright mend --write recipes/optic-block.md"),
		RunE:    func(_ *cobra.Command, args []string) error { return e.mend(args, write) },
	}
	cmd.Flags().BoolVar(&write, "write", false, "write the corrections into the files")
	e.dated(cmd)
	return cmd
}

// mending is one run over what paths name.
type mending struct {
	*env
	write bool
	today recipe.Date
	page  strings.Builder
	// made is how many corrections there are, aside how many were left out.
	made, aside int
	// changed are the files they change, written those written.
	changed, written []string
	// left are the findings of the files as they lie there in the end.
	left diag.List
	// taken are the ids that corrections of this run gave to recipes.
	taken map[string]string
}

func (e *env) mend(args []string, write bool) error {
	if len(args) == 0 {
		return usagef("name a recipe, a folder of recipes, or - for standard input")
	}
	if write && slices.Contains(args, "-") {
		return usagef("--write needs files to write to; standard input is none")
	}
	today, err := e.day()
	if err != nil {
		return err
	}
	var paths []string
	shopFiles := map[string]bool{}
	designs := map[string]bool{}
	for _, path := range args {
		if isDesign(path) {
			designs[filepath.Clean(path)] = true
			continue
		}
		if filepath.Base(path) == shopFile {
			if info, err := os.Stat(path); err == nil && !info.IsDir() {
				shopFiles[filepath.Clean(path)] = true
				continue
			}
		}
		if info, err := os.Stat(path); err == nil && info.IsDir() {
			if _, err := os.Stat(filepath.Join(path, shopFile)); err == nil {
				shopFiles[filepath.Join(path, shopFile)] = true
			}
			own, _, _ := ownDesigns(path)
			for i := range own {
				designs[filepath.FromSlash(own[i].file.Name)] = true
			}
		}
		paths = append(paths, path)
	}
	m := &mending{env: e, write: write, today: today, taken: map[string]string{}}
	shops, problems, err := e.shops(paths)
	if err != nil {
		return err
	}
	for _, p := range problems {
		e.cannot(p)
	}
	for _, name := range sortedKeys(shopFiles) {
		if !slices.ContainsFunc(shops, func(s *shop) bool { return filepath.Join(s.dir, shopFile) == name }) {
			h, err := e.openHouse(name)
			if err != nil {
				return err
			}
			shops = append(shops, &shop{house: h})
		}
	}
	if len(shops) == 0 && len(problems) == 0 && len(designs) == 0 {
		e.cannot(fmt.Errorf("there is no recipe in %s: recipes are files that end in .md", strings.Join(paths, ", ")))
		return nil
	}
	for _, s := range shops {
		if shopFiles[filepath.Join(s.dir, shopFile)] && s.File != nil {
			if err := m.shop(s.house); err != nil {
				return err
			}
		}
		if err := m.recipes(s); err != nil {
			return err
		}
	}
	for _, name := range sortedKeys(designs) {
		if err := m.design(name); err != nil {
			return err
		}
	}
	return m.end()
}

func sortedKeys(set map[string]bool) []string {
	all := make([]string, 0, len(set))
	for k := range set {
		all = append(all, k)
	}
	slices.Sort(all)
	return all
}

// mostRepeated is how many paths are repeated in a line.
const mostRepeated = 3

// mendPaths is what to name to mend the findings of a list: the file where all
// are in one, else the paths that were asked for, in order, where they are few.
func mendPaths(list diag.List, paths []string) string {
	if slices.Contains(paths, "-") {
		return ""
	}
	file, several := "", false
	for i := range list {
		if d := &list[i]; d.Mend.Known() {
			several = several || file != "" && file != d.Span.File.Name
			file = d.Span.File.Name
		}
	}
	files := []string{file}
	if several || file == "" {
		if len(paths) > mostRepeated {
			return "PATH…"
		}
		files = slices.Sorted(slices.Values(paths))
	}
	quoted := make([]string, len(files))
	for i, f := range files {
		if quoted[i] = f; strings.ContainsAny(f, " \t'\"$&;()*?") {
			quoted[i] = `"` + f + `"`
		}
	}
	return strings.Join(quoted, " ")
}

// shop mends a shop file; the recipes of the house are then read by what it
// says in the end.
func (m *mending) shop(h *house) error {
	r := mend.File(h.File, func(f *source.File) diag.List {
		var list diag.List
		list.Add(rules.CheckHouse(trade.Lay(f, &list))...)
		list.Sort()
		return list
	})
	h.findings = diag.List{}
	h.House = trade.Lay(r.Mended, &h.findings)
	return m.take(h.File.Name, r)
}

// design mends a design of a house.
func (m *mending) design(name string) error {
	text, err := readText(name)
	if err != nil {
		m.cannot(err)
		return nil
	}
	return m.take(name, mend.File(source.New(filepath.ToSlash(name), text), func(f *source.File) diag.List {
		var list diag.List
		sheet.LoadDesign(f, &list)
		list.Sort()
		return list
	}))
}

// recipes mends those of a house.
func (m *mending) recipes(s *shop) error {
	parser := parse.New(s.House)
	for _, one := range m.readAll(s.house, s.names, m.today, false, m.newProgress()) {
		if one.err != nil {
			m.cannot(one.err)
			continue
		}
		if one.file == nil || one.found.Mendable() == 0 {
			m.left.Add(one.found...)
			continue
		}
		// What only shows beside other recipes is not found again below.
		m.left.Add(one.across...)
		others, dir := m.others(s.house, one), folderOf(one.name)
		r := mend.File(one.file, func(f *source.File) diag.List {
			rec, _, list := judged(s.house, parser, dir, f, m.today)
			if name, taken := others[rec.ID.Value]; taken && rec.ID.OK {
				list.Add(diag.Diagnostic{
					Rule: rules.RepeatedID, Severity: diag.Error, Concern: diag.Card, Span: rec.ID.Span,
					Message: fmt.Sprintf("The id %q is taken by %s.", rec.ID.Value, name),
				})
			}
			list.Sort()
			return list
		})
		if rec, _ := parser.Parse(r.Mended); rec.ID.OK {
			m.taken[rec.ID.Value] = r.File.Name
		}
		if err := m.take(one.name, r); err != nil {
			return err
		}
	}
	return nil
}

// others are the ids of the house's other recipes, where a correction may give
// this one another.
func (m *mending) others(h *house, one read) map[string]string {
	if !slices.ContainsFunc(one.found, func(d diag.Diagnostic) bool { return d.Rule == parse.BadID && d.Mend.Known() }) {
		return nil
	}
	others, _ := h.otherIDs([]string{one.name})
	if others == nil {
		others = map[string]string{}
	}
	for id, name := range m.taken {
		others[id] = name
	}
	return others
}

// take shows what becomes of a file and, where it is to be written, writes it.
func (m *mending) take(name string, r mend.Result) error {
	shown := r.File.Name
	m.made += len(r.Done)
	m.aside += len(r.Aside)
	if r.Changed() {
		m.changed = append(m.changed, shown)
		m.page.WriteString(report.Difference(r.Difference(), terminal(m.out), colour(m.out)))
		m.page.WriteByte('\n')
		for _, d := range r.Done {
			m.page.WriteString(report.Paragraph(fmt.Sprintf("line %d: %s", d.Line, d.Does), "   "))
		}
	}
	if !r.Changed() && len(r.Aside) > 0 {
		m.page.WriteString(shown + "\n")
	}
	for _, a := range r.Aside {
		text := fmt.Sprintf("line %d, left as it is: %s With it this would be found, %s: %s", a.Line, a.Does, a.Because.Rule, a.Because.Message)
		if a.Useless {
			text = fmt.Sprintf("line %d, left as it is: %s That alone would not answer %s.", a.Line, a.Does, a.Rule)
		}
		m.page.WriteString(report.Paragraph(text, "   "))
	}
	if r.Changed() || len(r.Aside) > 0 {
		m.page.WriteByte('\n')
	}
	if !m.write || !r.Changed() {
		m.left.Add(r.Before...)
		return nil
	}
	if err := rewrite(name, r.File.Text, r.Mended.Text); err != nil {
		m.left.Add(r.Before...)
		m.cannot(err)
		return nil
	}
	m.written = append(m.written, shown)
	m.left.Add(r.After...)
	return nil
}

// remains says what the corrections leave that stops a print: nobody should
// take a mended file for a sound one.
func (m *mending) remains() {
	stops, can := 0, 0
	for i := range m.left {
		if m.left[i].Severity >= diag.Error {
			stops++
			if m.left[i].Mend.Known() && !m.write {
				can++
			}
		}
	}
	if stops -= can; stops > 0 {
		m.page.WriteString(report.Paragraph(fmt.Sprintf("%s that %s the print %s left to you: coldwright check says what to write.",
			plural(stops, "finding"), verbOf(stops, "stops", "stop"), verbOf(stops, "is", "are")), ""))
	}
}

// verbOf is the form of a verb that goes with so many.
func verbOf(n int, single, several string) string {
	if n == 1 {
		return single
	}
	return several
}

// end writes out what was shown and sums it up.
func (m *mending) end() error {
	switch n := len(m.changed); {
	case n == 0 && m.aside == 0:
		m.page.WriteString("Nothing to mend.\n")
	case n == 0:
		m.page.WriteString("Nothing was mended.\n")
	case !m.write:
		fmt.Fprintf(&m.page, "%s in %s. Nothing was written; --write makes them.\n", plural(m.made, "correction"), plural(n, "file"))
	case len(m.written) > 0:
		m.page.WriteString(report.Paragraph(fmt.Sprintf("%s written to %s.", plural(m.made, "correction"), strings.Join(m.written, ", ")), ""))
	}
	m.remains()
	if !m.quiet {
		if _, err := fmt.Fprint(m.out, m.page.String()); err != nil {
			return fmt.Errorf("the corrections could not be written out: %s", because(err))
		}
	}
	m.judge(m.left, false)
	return nil
}
