package sheet

import (
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"sync"

	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
	"coldwright/templates"
)

// DesignRule is the id of what is found wrong with a design.
const DesignRule = "design"

// Design is a page and its blocks in order, as a file says it.
type Design struct {
	// Name is how people ask for it: "process sheet".
	Name string
	// Paper is the paper where neither the command nor the house names one.
	Paper               string
	Portrait, Landscape Margins
	// Turned is true for a design that is laid out on the paper's long side.
	Turned bool
	Blocks []BlockSpec
	Span   source.Span
}

// Margins are the clear space round a page in mm.
type Margins struct{ Left, Right, Top, Bottom float64 }

// BlockSpec is one block of a design with its options.
type BlockSpec struct {
	// Name is one of BlockNames.
	Name string
	// Panels is how many cautions stand as panels.
	Panels int
	// Totals puts the last row under the step table.
	Totals bool
	// Methods prints how a test is made; Short the short form of a caution at
	// the step that calls for it.
	Methods, Short bool
	// Needed prints the minutes a step needs beside those written, Lamps the
	// angle a lamp is looked at, Rule how a chart is read, Usual the amounts
	// nobody wrote.
	Needed, Lamps, Rule, Usual bool
	// Lines are the lines to sign on; nil for the house's own.
	Lines []string
	// Number is what a grade chart is about; Scales are its lanes beside those
	// of the house's stock.
	Number string
	Scales []string
}

// blockKind is a block a design may ask for.
type blockKind struct {
	name    string
	options []string
	// needed is true for a block no design may leave out.
	needed bool
	// make builds the block; none where the recipe has nothing for it.
	make func(b *builder, spec BlockSpec) []Block
	// house builds a block that speaks of the house and not of a recipe.
	house func(b *houseBuilder, spec BlockSpec) []Block
}

// blockKinds is filled in by init, because the builders look at designs too.
var blockKinds []blockKind

func init() {
	blockKinds = []blockKind{
		{name: "purpose", make: (*builder).purpose},
		{name: "surfaces", make: (*builder).surfaces},
		{name: "piece", make: (*builder).piece},
		{name: "stop", needed: true, make: (*builder).stop},
		{name: "cautions", options: []string{"panels"}, needed: true, make: (*builder).cautions},
		{name: "places", make: (*builder).places},
		{name: "step table", options: []string{"totals"}, make: (*builder).stepTable},
		{name: "ladder charts", options: []string{"reading rule"}, make: (*builder).ladders},
		{name: "steps in full", options: []string{"test methods", "short cautions", "minutes needed", "lamp figures"}, needed: true, make: (*builder).stepsInFull},
		{name: "amounts", options: []string{"usual amounts"}, make: (*builder).amounts},
		{name: "changes", make: (*builder).changes},
		{name: "notes", make: (*builder).notes},
		{name: "sign-off", options: []string{"lines"}, make: (*builder).signOff},
		{name: "grade chart", options: []string{"number", "scales"}, house: (*houseBuilder).gradeChart},
	}
}

// BlockNames are the blocks a design may ask for.
func BlockNames() []string {
	names := make([]string, len(blockKinds))
	for i, k := range blockKinds {
		names[i] = k.name
	}
	return names
}

func findBlock(name string) *blockKind {
	for i := range blockKinds {
		if blockKinds[i].name == name {
			return &blockKinds[i]
		}
	}
	return nil
}

// maxPanels is how many panels a sheet may have side by side.
const maxPanels = 2

// LoadDesign reads a design. All its mistakes are reported; nil where there
// are any, because half a design would drop what an author wrote.
func LoadDesign(f *source.File, report *diag.List) *Design {
	var found diag.List
	defer func() { report.Add(found...) }()
	r := designReader{&found}
	top := keys.Read(f, 0, len(f.Text), &found)
	fields := top.Fields("a design", []string{"name", "paper", "turned", "portrait", "landscape", "blocks"}, &found)
	d := &Design{Span: top.Span()}
	if name := fields.Get("name"); name.Kind() == keys.Scalar && strings.TrimSpace(name.Text()) != "" {
		d.Name = strings.TrimSpace(name.Text())
	} else if name.Kind() != keys.Unread {
		r.fault(or(name.Span(), top.Span(), f), "A design needs a name to be asked for by.", "Write a line such as “name: process sheet”.")
	}
	if paper := fields.Get("paper"); paper.Kind() == keys.Scalar {
		if p, ok := FindPaper(paper.Text()); ok {
			d.Paper = p.Name
		} else {
			found.Add(unknownPaper(paper.Span(), paper.Text()))
		}
	} else if paper.Kind() != keys.Unread {
		r.fault(or(paper.Span(), top.Span(), f), "A design needs a paper.", "Write a line such as “paper: A4”.")
	}
	if turned := fields.Get("turned"); turned.Kind() != keys.Missing && turned.Kind() != keys.Unread {
		d.Turned = r.yes(turned, "turned")
	}
	d.Portrait = r.margins(fields.Get("portrait"), Margins{20, 12, 11, 9})
	d.Landscape = r.margins(fields.Get("landscape"), Margins{14, 12, 11, 8})
	if blocks := fields.Get("blocks"); blocks.Kind() == keys.List {
		d.Blocks = r.blocks(blocks)
	} else if blocks.Kind() != keys.Unread {
		r.fault(or(blocks.Span(), top.Span(), f), "A design needs a list of blocks.", "Under “blocks:” write each of them on a line of its own, as “- steps in full”. There are "+and(BlockNames())+".")
	}
	if found.Worst() >= diag.Error {
		return nil
	}
	return d
}

// designReader reads the parts of a design and reports what is wrong.
type designReader struct{ report *diag.List }

func (r designReader) fault(at source.Span, message, help string) {
	r.report.Add(diag.Diagnostic{Rule: DesignRule, Severity: diag.Error, Concern: diag.Card, Span: at, Message: message, Help: help})
}

func (r designReader) margins(v keys.Value, usual Margins) Margins {
	if v.Kind() == keys.Missing {
		return usual
	}
	m := usual
	fields := v.Fields("the margins of a page", []string{"left", "right", "top", "bottom"}, r.report)
	for _, side := range []struct {
		name string
		to   *float64
	}{{"left", &m.Left}, {"right", &m.Right}, {"top", &m.Top}, {"bottom", &m.Bottom}} {
		value := fields.Get(side.name)
		if value.Kind() == keys.Missing || value.Kind() == keys.Unread {
			continue
		}
		length, err := quantity.Parse(value.Text(), quantity.Options{}, quantity.Length)
		if err != nil {
			r.fault(value.Span(), "The margin "+side.name+" cannot be read. "+err.Message, err.Help)
			continue
		}
		mm := length.In(quantity.Millimetre)
		if mm < minMargin || mm > maxMargin {
			r.fault(value.Span(), "The margin "+side.name+" is "+length.String()+"; a page keeps 5 to 50 mm clear on every side.", "Write 5 mm or more, and 50 mm or less.")
			continue
		}
		*side.to = mm
	}
	return m
}

// minMargin keeps the words clear of what a printer cannot reach and of the
// seam of a lamination; maxMargin leaves a page to write on.
const minMargin, maxMargin = 5, 50

func (r designReader) blocks(list keys.Value) []BlockSpec {
	var specs []BlockSpec
	seen := map[string]source.Span{}
	for _, item := range list.List() {
		if item.Kind() == keys.Unread {
			continue
		}
		name, at, options := item.Text(), item.Span(), keys.Value{}
		if item.Kind() == keys.Map {
			entries := item.Entries(r.report)
			if len(entries) != 1 {
				r.fault(item.Span(), "One line of the list names one block.", "Begin each block with a dash of its own.")
				continue
			}
			name, at, options = entries[0].Key, entries[0].KeySpan, entries[0].Value
		}
		kind := findBlock(strings.TrimSpace(name))
		if kind == nil {
			help := "There are " + and(BlockNames()) + "."
			if near := keys.Nearest(name, BlockNames()); near != "" {
				help = "The nearest is “" + near + "”."
			}
			r.fault(at, "There is no block called “"+name+"”.", help)
			continue
		}
		if first, twice := seen[kind.name]; twice {
			r.fault(at, "The block “"+kind.name+"” stands twice; the first is in line "+strconv.Itoa(first.Place().Line)+".", "Keep one of them.")
			continue
		}
		seen[kind.name] = at
		specs = append(specs, r.block(kind, options))
	}
	if ofHouse(specs) {
		r.houseOnly(specs, seen)
		return specs
	}
	for _, kind := range blockKinds {
		if _, has := seen[kind.name]; kind.needed && !has {
			r.fault(list.Span(), "The block “"+kind.name+"” is left out; no sheet goes to the bench without it.", "Add a line “- "+kind.name+"”.")
		}
	}
	return specs
}

// ofHouse says whether a design speaks of the house: its first block does.
func ofHouse(specs []BlockSpec) bool {
	return len(specs) > 0 && findBlock(specs[0].Name).house != nil
}

// OfHouse says whether the design is printed once for the house, not once for
// every recipe.
func (d *Design) OfHouse() bool { return ofHouse(d.Blocks) }

// houseOnly keeps the blocks of a recipe out of a page of the house.
func (r designReader) houseOnly(specs []BlockSpec, seen map[string]source.Span) {
	for _, s := range specs {
		if findBlock(s.Name).house == nil {
			r.fault(seen[s.Name], "The block “"+s.Name+"” speaks of one recipe; this design is a page of the house.", "Put it into a design of its own.")
		}
	}
}

func (r designReader) block(kind *blockKind, options keys.Value) BlockSpec {
	spec := BlockSpec{Name: kind.name, Panels: maxPanels, Totals: true, Methods: true, Short: true, Needed: true, Lamps: true, Rule: true, Usual: true}
	if options.Kind() == keys.Missing || options.Kind() == keys.Empty {
		return spec
	}
	if len(kind.options) == 0 {
		r.fault(options.Span(), "The block “"+kind.name+"” takes no options.", "Write “- "+kind.name+"” alone.")
		return spec
	}
	fields := options.Fields("the block “"+kind.name+"”", kind.options, r.report)
	for _, name := range kind.options {
		value := fields.Get(name)
		if value.Kind() == keys.Missing || value.Kind() == keys.Unread {
			continue
		}
		switch name {
		case "panels":
			n, err := strconv.Atoi(value.Text())
			if err != nil || n < 0 || n > maxPanels {
				r.fault(value.Span(), "The number of panels is 0, 1 or 2.", "Write “panels: 2”.")
				continue
			}
			spec.Panels = n
		case "totals":
			spec.Totals = r.yes(value, name)
		case "test methods":
			spec.Methods = r.yes(value, name)
		case "short cautions":
			spec.Short = r.yes(value, name)
		case "minutes needed":
			spec.Needed = r.yes(value, name)
		case "lamp figures":
			spec.Lamps = r.yes(value, name)
		case "reading rule":
			spec.Rule = r.yes(value, name)
		case "usual amounts":
			spec.Usual = r.yes(value, name)
		case "number":
			spec.Number = strings.TrimSpace(value.Text())
			if len(grade.Meanings(spec.Number)) == 0 {
				r.fault(value.Span(), "No scale has a grade "+spec.Number+".", "Write a number that several scales have, as “number: 400”.")
			}
		case "scales":
			spec.Scales = r.scales(value)
		case "lines":
			for _, line := range value.List() {
				if line.Kind() != keys.Scalar || strings.TrimSpace(line.Text()) == "" {
					r.fault(line.Span(), "A line to sign on needs words.", "Write them as a list: “lines: [Piece, \"Bench hand, date\"]”.")
					continue
				}
				spec.Lines = append(spec.Lines, line.Text())
			}
		}
	}
	return spec
}

// scales are the grade scales a chart has lanes for.
func (r designReader) scales(list keys.Value) []string {
	var names, known []string
	for _, s := range grade.Scales() {
		if s.Scale != grade.Micron && s.Scale != grade.Pumice {
			known = append(known, string(s.Scale))
		}
	}
	for _, v := range list.Members(nil, r.report) {
		name := strings.TrimSpace(v.Text())
		if !slices.Contains(known, name) {
			r.fault(v.Span(), "There is no lane for “"+name+"”.", "There are "+and(known)+".")
			continue
		}
		names = append(names, name)
	}
	return names
}

func (r designReader) yes(v keys.Value, name string) bool {
	switch strings.ToLower(v.Text()) {
	case "yes", "true", "on":
		return true
	case "no", "false", "off":
		return false
	}
	r.fault(v.Span(), "The option “"+name+"” is yes or no.", "Write “"+name+": yes”.")
	return true
}

// or is the first span that points anywhere, or the start of f.
func or(a, b source.Span, f *source.File) source.Span {
	if a.Known() {
		return a
	}
	if b.Known() {
		return b
	}
	return f.Span(0, 0)
}

// Designs are the built-in designs in the order of their names.
func Designs() []*Design { return builtIn() }

var builtIn = sync.OnceValue(func() []*Design {
	names, err := fs.Glob(templates.Sheets, "sheets/*.yaml")
	if err != nil {
		return nil
	}
	var list []*Design
	for _, name := range names {
		if strings.HasSuffix(name, "/papers.yaml") {
			continue
		}
		text, err := templates.Sheets.ReadFile(name)
		if err != nil {
			continue
		}
		var report diag.List
		if d := LoadDesign(source.New(name, text), &report); d != nil {
			list = append(list, d)
		}
	}
	return list
})

// FindDesign is the built-in design of that name; nil where there is none.
func FindDesign(name string) *Design {
	name = strings.TrimSpace(name)
	for _, d := range builtIn() {
		if strings.EqualFold(d.Name, name) || strings.EqualFold(strings.ReplaceAll(d.Name, " ", "-"), name) {
			return d
		}
	}
	return nil
}

// FileName is the design's name as part of the name of a file:
// "process-sheet".
func (d *Design) FileName() string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		}
		return '-'
	}, strings.ToLower(d.Name))
}
