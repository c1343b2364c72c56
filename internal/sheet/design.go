package sheet

import (
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
	"coldwright/templates"
)

// DesignRule is the id of what is found wrong with a design.
const DesignRule = "design"

// Design is a page and its blocks in order, as a file says it.
type Design struct {
	// Name is how people ask for it: "process sheet"; NameSpan is where the file
	// says so.
	Name     string
	NameSpan source.Span
	// Page is what kind of page it is.
	Page PageKind
	// Paper is the paper where neither the command nor the house names one;
	// Turned is true where it lies on its long side.
	Paper               string
	Turned              bool
	Portrait, Landscape Margins
	// Type is how large the body text of a card may be and must be, in points.
	Type   TypeRange
	Blocks []BlockSpec
	Span   source.Span
}

// Margins are the clear space round a page in mm.
type Margins struct{ Left, Right, Top, Bottom float64 }

// TypeRange is the largest and the smallest body text of a card in points.
type TypeRange struct{ Largest, Smallest float64 }

// LoadDesign reads a design. All its mistakes are reported; nil where there
// are any, because half a design would drop what an author wrote.
func LoadDesign(f *source.File, report *diag.List) *Design {
	var found diag.List
	defer func() { report.Add(found...) }()
	r := designReader{&found}
	top := keys.Read(f, 0, len(f.Text), &found)
	fields := top.Fields("a design", []string{"name", "page", "paper", "orientation", "portrait", "landscape", "type", "blocks"}, &found)
	d := &Design{Span: top.Span(), Page: SheetPage}
	if name := fields.Get("name"); name.Kind() == keys.Scalar && strings.TrimSpace(name.Text()) != "" {
		d.Name, d.NameSpan = strings.TrimSpace(name.Text()), name.Span()
		if strings.Trim(d.FileName(), "-") == "" {
			r.fault(name.Span(), "The name “"+d.Name+"” has no letter and no figure, and no file could be called by it.", "Write a name such as “our bench card”.")
		}
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
	kind := r.pageKind(fields.Get("page"))
	d.Page = kind.name
	if way := fields.Get("orientation"); way.Kind() == keys.Scalar {
		d.Turned = r.turned(way)
	}
	d.Portrait = r.margins(fields.Get("portrait"), kind.portrait)
	d.Landscape = r.margins(fields.Get("landscape"), kind.landscape)
	d.Type = r.typeRange(fields.Get("type"), kind)
	if blocks := fields.Get("blocks"); blocks.Kind() == keys.List {
		d.Blocks = r.blocks(blocks, kind)
	} else if blocks.Kind() != keys.Unread {
		r.fault(or(blocks.Span(), top.Span(), f), "A design needs a list of blocks.", "Under “blocks:” write each of them on a line of its own, as “- "+kind.needed[len(kind.needed)-1]+"”. There are "+and(kind.blocks)+".")
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

func (r designReader) blocks(list keys.Value, page *pageKind) []BlockSpec {
	var specs []BlockSpec
	seen, meant := map[string]source.Span{}, map[string]bool{}
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
		if kind == nil || !slices.Contains(page.blocks, kind.name) {
			message := "There is no block called “" + name + "”."
			if kind != nil {
				message = "The block “" + name + "” does not stand on a " + string(page.name) + "."
			}
			help := "There are " + and(page.blocks) + "."
			if near := keys.Nearest(name, page.blocks); near != "" {
				// It is misspelt, not left out.
				meant[near] = true
				help = "The nearest is “" + near + "”."
			}
			r.fault(at, message, help)
			if kind == nil {
				r.report.Mended(diag.Word(at, name, keys.Clear(name, page.blocks)))
			}
			continue
		}
		if first, twice := seen[kind.name]; twice {
			r.fault(at, "The block “"+kind.name+"” stands twice; the first is in line "+strconv.Itoa(first.Place().Line)+".", "Keep one of them.")
			continue
		}
		seen[kind.name] = at
		specs = append(specs, r.block(kind, options))
	}
	for _, name := range page.needed {
		if _, has := seen[name]; !has && !meant[name] {
			r.fault(list.Span(), "The block “"+name+"” is left out; no "+string(page.name)+" goes to the bench without it.", "Add a line “- "+name+"”.")
		}
	}
	return specs
}

func (r designReader) block(kind *blockKind, options keys.Value) BlockSpec {
	spec := BlockSpec{
		Name: kind.name, Panels: maxPanels, Totals: true, Methods: true, Short: true, Needed: true, Lamps: true, Rule: true, Usual: true,
		Once: true, Setup: true, Faults: true, Finishes: true, Grades: true, Tests: true,
	}
	if options.Kind() == keys.Missing || options.Kind() == keys.Empty {
		return spec
	}
	if len(kind.options) == 0 {
		r.fault(options.Span(), "The block “"+kind.name+"” takes no options.", "Write “- "+kind.name+"” alone.")
		return spec
	}
	names := make([]string, len(kind.options))
	for i, o := range kind.options {
		names[i] = o.name
	}
	fields := options.Fields("the block “"+kind.name+"”", names, r.report)
	for _, o := range kind.options {
		value := fields.Get(o.name)
		if value.Kind() == keys.Missing || value.Kind() == keys.Unread {
			continue
		}
		if spec.Written == nil {
			spec.Written = map[string]string{}
		}
		spec.Written[o.name] = value.Span().Text()
		o.read(r, &spec, value)
	}
	return spec
}

// turned reads which side the paper lies on.
func (r designReader) turned(v keys.Value) bool {
	switch strings.ToLower(strings.TrimSpace(v.Text())) {
	case "landscape":
		return true
	case "portrait":
		return false
	}
	r.fault(v.Span(), "“"+v.Text()+"” is no way to lay a paper.", "Write “orientation: portrait” or “orientation: landscape”.")
	return false
}

// pageKind reads what kind of page a design is.
func (r designReader) pageKind(v keys.Value) *pageKind {
	if v.Kind() != keys.Scalar {
		return &pageKinds[0]
	}
	names := make([]string, len(pageKinds))
	for i := range pageKinds {
		names[i] = string(pageKinds[i].name)
		if names[i] == strings.TrimSpace(v.Text()) {
			return &pageKinds[i]
		}
	}
	help := "There are " + and(names) + "."
	if near := keys.Nearest(v.Text(), names); near != "" {
		help = "The nearest is “" + near + "”."
	}
	r.fault(v.Span(), "There is no kind of page called “"+v.Text()+"”.", help)
	return &pageKinds[0]
}

// typeRange reads how large the body text of a card may be.
func (r designReader) typeRange(v keys.Value, page *pageKind) TypeRange {
	usual := page.body
	if v.Kind() == keys.Missing || v.Kind() == keys.Unread {
		return usual
	}
	if usual == (TypeRange{}) {
		r.fault(v.Span(), "The type of a "+string(page.name)+" is not for a design to choose.", "Leave “type” out.")
		return usual
	}
	fields := v.Fields("the type of a card", []string{"largest", "smallest"}, r.report)
	out := usual
	for _, side := range []struct {
		name string
		to   *float64
	}{{"largest", &out.Largest}, {"smallest", &out.Smallest}} {
		value := fields.Get(side.name)
		if value.Kind() == keys.Missing || value.Kind() == keys.Unread {
			continue
		}
		number, unit, _ := strings.Cut(strings.TrimSpace(value.Text()), " ")
		points, err := strconv.ParseFloat(number, 64)
		if err != nil || strings.TrimSpace(unit) != "pt" || points < cardFloor || points > cardCeiling {
			r.fault(value.Span(), "The "+side.name+" type of a card is 12 pt to 30 pt, so that it can be read at arm's length.", "Write “"+side.name+": 14 pt”.")
			continue
		}
		*side.to = points
	}
	if out.Smallest > out.Largest {
		r.fault(v.Span(), "The smallest type is larger than the largest.", "Write “type: {largest: 16 pt, smallest: 12 pt}”.")
		return usual
	}
	return out
}

// OfHouse says whether the design is printed once for the house, not once for
// every recipe.
func (d *Design) OfHouse() bool {
	return slices.ContainsFunc(d.Blocks, func(s BlockSpec) bool { return findBlock(s.Name).house != nil })
}

// OfBook says whether the design binds all recipes into one.
func (d *Design) OfBook() bool { return d.Page == BookPage }

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
	for _, d := range builtIn() {
		if d.Called(name) {
			return d
		}
	}
	return nil
}

// Called says whether a name is the design's, as people write it: capitals do
// not matter, nor whether its words are joined by spaces or hyphens.
func (d *Design) Called(name string) bool {
	return d.FileName() == (&Design{Name: strings.TrimSpace(name)}).FileName()
}

// FileName is the design's name as part of the name of a file:
// "process-sheet".
func (d *Design) FileName() string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return '-'
	}, strings.ToLower(d.Name))
}
