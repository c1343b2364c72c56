package sheet

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"coldwright/internal/grade"
	"coldwright/internal/keys"
)

// PageKind is what a page is for: it decides which blocks stand on it and how
// they are laid.
type PageKind string

const (
	// SheetPage is read in the hand or at the desk and goes on to as many pages
	// as it needs.
	SheetPage PageKind = "sheet"
	// CardPage is read at arm's length at the bench: one face, or two.
	CardPage PageKind = "card"
	// TrainingPage is for who learns the work and who teaches it. Its words are
	// explained in a margin of their own.
	TrainingPage PageKind = "training sheet"
	// ChartPage hangs on the wall and speaks of the house.
	ChartPage PageKind = "chart"
	// BookPage binds all recipes of the house for the shelf.
	BookPage PageKind = "book"
)

// pageKind is what a kind of page takes.
type pageKind struct {
	name  PageKind
	about string
	// blocks are those that may stand on it, needed those no design may leave
	// out.
	blocks, needed []string
	// portrait and landscape are the margins where a design names none.
	portrait, landscape Margins
	// wide and high are the least a page must have clear of its margins, in mm:
	// below that the columns of its tables cut words. 0 for a page that is
	// measured where it is set.
	wide, high float64
	// body is the type of a page that is set as large as it fits.
	body TypeRange
}

// The body text of a card, in points. Letters read at a distance are 1/200 of
// it high: 12 pt serve to 0.85 m. Source: the ratio is common practice for signs
// and labels.
const cardFloor, cardCeiling = 12, 30

var pageKinds = []pageKind{
	{
		name:  SheetPage,
		about: "Read in the hand or at the desk; goes on to as many pages as it needs.",
		blocks: []string{
			"purpose", "surfaces", "piece", "stop", "cautions", "places", "step table", "ladder charts",
			"steps in full", "amounts", "changes", "notes", "sign-off",
		},
		needed:   []string{"stop", "cautions", "steps in full"},
		portrait: Margins{20, 12, 11, 9}, landscape: Margins{14, 12, 11, 8},
		wide: 150, high: 110,
	},
	{
		name:     CardPage,
		about:    "Read at arm's length at the bench: one face, or two where one is too small.",
		blocks:   []string{"caution panels", "card steps", "stop"},
		needed:   []string{"caution panels", "card steps", "stop"},
		portrait: Margins{5, 5, 5, 5}, landscape: Margins{5, 5, 5, 5},
		body: TypeRange{Largest: 16, Smallest: cardFloor},
	},
	{
		name:     TrainingPage,
		about:    "For who learns the work and who teaches it, with a margin in which its words are explained.",
		blocks:   []string{"learner", "purpose", "aim", "stop", "cautions to learn", "steps to learn", "words", "notes"},
		needed:   []string{"learner", "cautions to learn", "steps to learn"},
		portrait: Margins{20, 12, 11, 9}, landscape: Margins{14, 12, 11, 8},
		wide: 150, high: 110,
	},
	{
		name:     ChartPage,
		about:    "Hangs on the wall and speaks of the house, so it is printed once and not once for every recipe.",
		blocks:   []string{"grade chart"},
		needed:   []string{"grade chart"},
		portrait: Margins{20, 12, 11, 9}, landscape: Margins{14, 12, 11, 8},
		wide: 240, high: 150,
	},
	{
		name:     BookPage,
		about:    "Binds all recipes of the house for the shelf, so it is printed once and not once for every recipe.",
		blocks:   []string{"cover", "contents", "how to read", "standing cautions", "the house", "recipes", "register", "index"},
		needed:   []string{"contents", "recipes"},
		portrait: Margins{20, 12, 11, 9}, landscape: Margins{14, 12, 11, 8},
		wide: 150, high: 110,
	},
}

// BlockSpec is one block of a design with its options.
type BlockSpec struct {
	// Name is the name of one of Blocks.
	Name string
	// Written are the options the design writes, by name, as it writes them.
	Written map[string]string
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
	// Once says a fact that all steps share once at the head of a card.
	Once bool
	// Setup says what a step is done with, Faults what wrong looks like where the
	// author does not; Boxes are what initials are for, nil for the usual ones.
	Setup, Faults bool
	Boxes         []string
	// Finishes, Grades and Tests are explained among the words.
	Finishes, Grades, Tests bool
	// Lines are the lines to sign on; nil for the house's own.
	Lines []string
	// Number is what a grade chart is about; Scales are its lanes beside those
	// of the house's stock.
	Number string
	Scales []string
}

// blockKind is a block a design may ask for.
type blockKind struct {
	name, about string
	options     []blockOption
	// make builds the block; none where the recipe has nothing for it.
	make func(b *builder, spec BlockSpec) []Block
	// house builds a block that speaks of the house and not of a recipe.
	house func(b *houseBuilder, spec BlockSpec) []Block
}

// blockOption is one option of a block.
type blockOption struct {
	name, about string
	// kind says what is written: "yes or no".
	kind string
	// usual is what holds where it is not written.
	usual string
	read  func(r designReader, spec *BlockSpec, v keys.Value)
}

// yesNo is an option that is yes or no, and yes where it is not written.
func yesNo(name, about string, to func(*BlockSpec) *bool) blockOption {
	return blockOption{name: name, about: about, kind: "yes or no", usual: "yes", read: func(r designReader, spec *BlockSpec, v keys.Value) {
		*to(spec) = r.yes(v, name)
	}}
}

// maxPanels is how many panels a sheet may have side by side.
const maxPanels = 2

// blockKinds is filled in by init, because the builders look at designs too.
var blockKinds []blockKind

func init() {
	blockKinds = []blockKind{
		{name: "purpose", about: "The text before the first step.", make: (*builder).purpose},
		{name: "surfaces", about: "The surfaces of the piece: how each arrives and where it stops.", make: (*builder).surfaces},
		{name: "piece", about: "The piece in one line: form, size, glass and mass.", make: (*builder).piece},
		{name: "stop", about: "Where the piece stops and what must not come after, white on black.", make: (*builder).stop},
		{
			name: "cautions", about: "The cautions before the first step, gravest first, in full words.", make: (*builder).cautions,
			options: []blockOption{{name: "panels", kind: "0, 1 or 2", about: "How many stand as panels; the rest are lines.", usual: "2", read: readPanels}},
		},
		{name: "places", about: "Where first aid, eye wash and stop switches are.", make: (*builder).places},
		{
			name: "step table", about: "All steps at a glance.", make: (*builder).stepTable,
			options: []blockOption{yesNo("totals", "Minutes, materials and water of the whole piece in a last row.", func(s *BlockSpec) *bool { return &s.Totals })},
		},
		{
			name: "ladder charts", about: "What each step takes off a surface and leaves in it, as a chart.", make: (*builder).ladders,
			options: []blockOption{yesNo("reading rule", "How the chart is read, in a line below it.", func(s *BlockSpec) *bool { return &s.Rule })},
		},
		{
			name: "steps in full", about: "Every step with everything said of it, pictures too.", make: (*builder).stepsInFull,
			options: []blockOption{
				yesNo("test methods", "How a test of the house is made, where it is first named.", func(s *BlockSpec) *bool { return &s.Methods }),
				yesNo("short cautions", "The short words of a caution at each step that calls for it.", func(s *BlockSpec) *bool { return &s.Short }),
				yesNo("minutes needed", "The minutes a step needs, under those that are written.", func(s *BlockSpec) *bool { return &s.Needed }),
				yesNo("lamp figures", "The angle at which a lamp shows its outline, beside the checkpoints.", func(s *BlockSpec) *bool { return &s.Lamps }),
			},
		},
		{
			name: "amounts", about: "What the piece takes in powder, minutes and water.", make: (*builder).amounts,
			options: []blockOption{yesNo("usual amounts", "Amounts nobody wrote, as they usually are.", func(s *BlockSpec) *bool { return &s.Usual })},
		},
		{name: "changes", about: "The record of changes.", make: (*builder).changes},
		{name: "notes", about: "The closing notes and the footnotes.", make: (*builder).notes},
		{
			name: "sign-off", about: "Lines to sign on.", make: (*builder).signOff,
			options: []blockOption{{name: "lines", kind: "a list of words", about: "What each line is for.", usual: "piece, bench hand and checker", read: readLines}},
		},
		{name: "caution panels", about: "The cautions in their short words, one panel a signal word, on every face.", make: (*builder).cautionPanels},
		{
			name: "card steps", about: "Every step with its settings, facts, cautions and checkpoints.", make: (*builder).cardSteps,
			options: []blockOption{
				yesNo("short cautions", "The short words of a caution at the step that calls for it, where no more than two do.", func(s *BlockSpec) *bool { return &s.Short }),
				yesNo("shared facts once", "A fact that all steps share once before the first.", func(s *BlockSpec) *bool { return &s.Once }),
			},
		},
		{name: "learner", about: "Learner, trainer, the revision trained on and the change that ends it, and when to look again.", make: (*builder).learner},
		{name: "aim", about: "Where each surface and the piece stop, in a line or two.", make: (*builder).aim},
		{
			name: "cautions to learn", about: "The cautions of no one step with what each is for, and boxes for initials.", make: (*builder).cautionsToLearn,
			options: []blockOption{boxesOption},
		},
		{
			name: "steps to learn", about: "Every step broken down: what to do, what makes or breaks it and why, what right and wrong look like, and boxes for initials.", make: (*builder).stepsToLearn,
			options: []blockOption{
				yesNo("settings", "What the step is done with, under its title.", func(s *BlockSpec) *bool { return &s.Setup }),
				yesNo("usual faults", "What wrong most often looks like, where the author does not say.", func(s *BlockSpec) *bool { return &s.Faults }),
				boxesOption,
			},
		},
		{
			name: "words", about: "The words the sheet uses, explained in the margin beside the step that uses them first.", make: (*builder).glossary,
			options: []blockOption{
				yesNo("finishes", "What each finish looks like.", func(s *BlockSpec) *bool { return &s.Finishes }),
				yesNo("grades", "What each grade comes to in µm.", func(s *BlockSpec) *bool { return &s.Grades }),
				yesNo("tests", "How each test is made and what it shows.", func(s *BlockSpec) *bool { return &s.Tests }),
			},
		},
		{
			name: "grade chart", about: "The house's stock and the grade scales on one axis of grain size.", house: (*houseBuilder).gradeChart,
			options: []blockOption{
				{name: "number", kind: "a number", about: "The number the chart is about.", usual: chartNumber, read: readNumber},
				{name: "scales", kind: "a list of scales", about: "The scales that always have a lane; one the house holds stock in has one besides.", usual: "none", read: readScales},
			},
		},
		{name: "cover", about: "The name of the house, its revision and who approved it.", house: (*houseBuilder).cover},
		{name: "contents", about: "The recipes by the form of the piece, with their pages.", house: (*houseBuilder).tableOfContents},
		{name: "how to read", about: "What the bars, signs and boxes of a sheet mean.", house: (*houseBuilder).howToRead},
		{name: "standing cautions", about: "The cautions that stand on every recipe of the house, once.", house: (*houseBuilder).standingCautions},
		{name: "the house", about: "Where help is, who does what, benches, machines, media, tests and tiles.", house: (*houseBuilder).shopFacts},
		{name: "recipes", about: "Every recipe, as a process sheet.", house: func(*houseBuilder, BlockSpec) []Block { return []Block{recipesHere{}} }},
		{name: "register", about: "Every revision of every recipe, the newest first.", house: (*houseBuilder).register},
		{name: "index", about: "Where every abrasive, medium, machine, piece and finish is used.", house: (*houseBuilder).index},
	}
}

func readPanels(r designReader, spec *BlockSpec, v keys.Value) {
	n, err := strconv.Atoi(v.Text())
	if err != nil || n < 0 || n > maxPanels {
		r.fault(v.Span(), "The number of panels is 0, 1 or 2.", "Write “panels: 2”.")
		return
	}
	spec.Panels = n
}

func readLines(r designReader, spec *BlockSpec, v keys.Value) {
	for _, line := range v.List() {
		if line.Kind() != keys.Scalar || strings.TrimSpace(line.Text()) == "" {
			r.fault(line.Span(), "A line to sign on needs words.", "Write them as a list: “lines: [Piece, \"Bench hand, date\"]”.")
			continue
		}
		spec.Lines = append(spec.Lines, line.Text())
	}
}

// boxesOption is what initials are for.
var boxesOption = blockOption{name: "boxes", kind: "a list of words", about: "What initials are for, four at most.", usual: "shown, done with help, done alone and date", read: readBoxes}

// mostBoxes is how many boxes stand side by side and still take initials,
// boxMost how many letters the words of one may have.
const mostBoxes, boxMost = 4, 24

// claims are words no box may hold: initials say what was seen on a day, and
// prove nothing of what comes after.
var claims = []string{"competent", "competence", "certified", "qualified", "authorised", "authorized", "safe"}

func readBoxes(r designReader, spec *BlockSpec, v keys.Value) {
	list := v.List()
	if len(list) == 0 || len(list) > mostBoxes {
		r.fault(v.Span(), "There are one to four boxes for initials.", "Write them as a list: “boxes: [shown, done with help, done alone, date]”.")
		return
	}
	for _, box := range list {
		words := strings.TrimSpace(box.Text())
		switch {
		case box.Kind() != keys.Scalar || words == "":
			r.fault(box.Span(), "A box for initials needs words.", "Write them as a list: “boxes: [shown, done with help, done alone, date]”.")
		case utf8.RuneCountInString(words) > boxMost:
			r.fault(box.Span(), "The words of a box for initials are longer than "+strconv.Itoa(boxMost)+" letters and leave no room to write.", "Write them shorter, as “done with help”.")
		case slices.ContainsFunc(claims, func(claim string) bool { return strings.Contains(strings.ToLower(words), claim) }):
			r.fault(box.Span(), "A box “"+words+"” claims more than initials can: they say what was seen that day.", "Write what is seen, as “done alone”.")
		default:
			spec.Boxes = append(spec.Boxes, words)
		}
	}
}

func readNumber(r designReader, spec *BlockSpec, v keys.Value) {
	spec.Number = strings.TrimSpace(v.Text())
	if len(grade.Meanings(spec.Number)) == 0 {
		r.fault(v.Span(), "No scale has a grade "+spec.Number+".", "Write a number that several scales have, as “number: 400”.")
	}
}

// readScales reads the grade scales a chart has lanes for.
func readScales(r designReader, spec *BlockSpec, list keys.Value) {
	var known []string
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
		spec.Scales = append(spec.Scales, name)
	}
}

func findBlock(name string) *blockKind {
	for i := range blockKinds {
		if blockKinds[i].name == name {
			return &blockKinds[i]
		}
	}
	return nil
}

// BlockHelp says what a block is and which options it takes.
type BlockHelp struct {
	Name, About string
	// Needed is true for a block no design of its page may leave out.
	Needed  bool
	Options []OptionHelp
}

// OptionHelp says what an option of a block does and what holds where it is not
// written.
type OptionHelp struct{ Name, Kind, Usual, About string }

// PageHelp says what a kind of page is and which blocks may stand on it.
type PageHelp struct {
	Kind   PageKind
	About  string
	Blocks []BlockHelp
}

// Pages are all the kinds of page a design can be, with their blocks in the
// order they are best set in.
func Pages() []PageHelp {
	out := make([]PageHelp, len(pageKinds))
	for i, k := range pageKinds {
		out[i] = PageHelp{Kind: k.name, About: k.about}
		for _, name := range k.blocks {
			block := findBlock(name)
			help := BlockHelp{Name: name, About: block.about}
			for _, n := range k.needed {
				help.Needed = help.Needed || n == name
			}
			for _, o := range block.options {
				help.Options = append(help.Options, OptionHelp{o.name, o.kind, o.usual, o.about})
			}
			out[i].Blocks = append(out[i].Blocks, help)
		}
	}
	return out
}
