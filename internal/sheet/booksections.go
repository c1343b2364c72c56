package sheet

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

func (b *houseBuilder) cover(BlockSpec) []Block {
	h := b.house
	rows := []Fact{{"Where", h.Place}, {"Revision", revisionOrNone(h.Revision)}, {"Effective", h.Date}, {"Approved", h.Approved}, {"Recipes", strconv.Itoa(len(b.entries))}}
	c := Cover{}
	for _, r := range rows {
		if r.Words != "" {
			c.Rows = append(c.Rows, r)
		}
	}
	return []Block{c}
}

func revisionOrNone(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// tableOfContents has the recipes by the form of the piece, and by title within
// it; then those that something stops.
func (b *houseBuilder) tableOfContents(BlockSpec) []Block {
	by := map[string][]ContentsRow{}
	for i := range b.entries {
		by[formOf(b.entries[i].Plan.Recipe)] = append(by[formOf(b.entries[i].Plan.Recipe)], contentsRow(&b.entries[i]))
	}
	var c Contents
	for _, form := range sortedKeys(by) {
		c.Groups = append(c.Groups, ContentsGroup{Title: form, Rows: by[form]})
	}
	if len(b.left) > 0 {
		g := ContentsGroup{Title: "Not in this book"}
		for _, l := range b.left {
			g.Rows = append(g.Rows, ContentsRow{Title: l.Title, ID: l.ID, Stops: l.Why})
		}
		c.Groups = append(c.Groups, g)
	}
	return []Block{c}
}

// formOf is the form of a recipe's piece as it heads a group.
func formOf(r *recipe.Recipe) string {
	if form := written(r.Piece.Form); form != "" {
		return capital(form)
	}
	return "Other"
}

func contentsRow(e *BookEntry) ContentsRow {
	r := e.Plan.Recipe
	row := ContentsRow{
		Title: written(r.Title), ID: written(r.ID) + " · " + revisionWords(r.Revision.Value),
		Glass: glassName(r), Lead: r.GlassUnknown || r.Glass.OK && r.Glass.Value != nil && r.Glass.Value.Lead,
		Anchor: e.Anchor,
	}
	var stops []string
	for i := range r.Surfaces {
		s := surfaceRow(&r.Surfaces[i])
		stops = append(stops, joined(" ", s.Name, s.StopsAt))
	}
	row.Stops = strings.Join(stops, ", ")
	if t := e.Plan.Totals.Attended; t > 0 {
		row.Minutes = quantity.Format(math.Round(t), 6) + nbsp + "min"
	}
	return row
}

// howToRead explains what stands on the sheets.
func (b *houseBuilder) howToRead(BlockSpec) []Block {
	return []Block{
		Facts{Title: "On a sheet", Rows: []Fact{
			{"Solid black bar", "Where the piece stops. Nothing is done after it."},
			{"Signal words", "DANGER, WARNING and CAUTION are about people, NOTICE is about the glass or the house. The gravest come first."},
			{"Step table", "All steps at a glance. The same numbers head the steps in full."},
			{"Large words of a step", "Grade, minutes, speed, water and medium. The scale stands with the grade, the size of its grain in µm below."},
			{"Box to tick", "What must be seen before the next step begins."},
			{"Hooked arrow", "Where to go back to when it is not seen."},
			{"Octagon", "What ends the work: leave the piece and ask."},
			{"Lamp and eye", "How low lamp and eye must come over the dry, level face for the lamp's outline to show in it. It is reckoned; the checkpoint decides."},
			{"Frame round a step", "Done only when what stands at its head is seen."},
			{"Dagger †", "A built-in value that this house has not measured or confirmed."},
		}},
		Facts{Title: "In a ladder chart", Rows: []Fact{
			{"Open bar", "How deep the damage goes that comes to the step; the heavy mark is the likeliest."},
			{"Arrow", "What the step takes off. Past the end of the open bar all that came is taken out."},
			{"Grey bar", "What the step leaves."},
			{"Certain, likely, doubtful, no", "Whether the step clears what came to it."},
			{"Needs, in a step", "The minutes the step should need to clear what came to it: at the first figure it likely has, at the second it certainly has."},
			{"Keeps", "The stop keeps this texture, so the step need not clear it."},
		}},
		Facts{Title: "At the head of every page", Rows: []Fact{
			{"Number and revision", "Which recipe this is. A page with another revision than the house's current one comes off the wall."},
			{"Mark and square code", "What the page says, in eight characters and a check character. Scanned or typed, it tells whether the house would print the same today."},
		}},
	}
}

// standingCautions are the cautions that stand on every recipe of the house,
// once, in full.
func (b *houseBuilder) standingCautions(BlockSpec) []Block {
	var c Cautions
	for _, t := range b.house.Always {
		w := t.Wording(nil)
		c.Lines = append(c.Lines, CautionNote{Signal: w.Signal, Title: t.Title, Words: w.Full, Sign: signCode(t.Sign)})
	}
	if len(c.Lines) == 0 {
		return nil
	}
	slices.SortStableFunc(c.Lines, func(a, b CautionNote) int { return int(b.Signal) - int(a.Signal) })
	return []Block{c}
}

// shopFacts are what the shop file says that every sheet rests on.
func (b *houseBuilder) shopFacts(BlockSpec) []Block {
	h := b.house
	var blocks []Block
	add := func(title string, rows []Fact) {
		if len(rows) > 0 {
			blocks = append(blocks, Facts{Title: title, Rows: rows})
		}
	}
	named := func(m map[string]string) (rows []Fact) {
		for _, name := range sortedKeys(m) {
			rows = append(rows, Fact{capital(name), m[name]})
		}
		return rows
	}
	add("Where help is", named(h.Places))
	add("Who does what", named(h.Roles))
	var order, outside []string
	for _, bench := range h.Benches {
		if bench.Any {
			outside = append(outside, bench.Name)
		} else {
			order = append(order, bench.Name)
		}
	}
	var benches []Fact
	if len(order) > 0 {
		benches = append(benches, Fact{"Dirty to clean", strings.Join(order, " · ")})
	}
	if len(outside) > 0 {
		benches = append(benches, Fact{"Outside the order", strings.Join(outside, " · ")})
	}
	add("Benches", benches)
	var rows []Fact
	for _, code := range sortedKeys(h.Machines) {
		m := h.Machines[code]
		rows = append(rows, Fact{code, joined(", ", kindName(m.Kind), m.Diameter.NoBreak(), prefixed("at most ", m.Maximum.NoBreak()), prefixed("water: ", m.Water))})
	}
	add("Machines", rows)
	rows = nil
	for _, code := range sortedKeys(h.MediumStock) {
		m := h.MediumStock[code]
		rows = append(rows, Fact{code, joined(", ", m.Medium.Words, m.Diameter.NoBreak(), prefixed("kept for ", m.KeptFor), prefixed("at most ", m.Maximum.NoBreak()))})
	}
	add("Pads, felts, wheels and brushes", rows)
	rows = nil
	for _, t := range h.Tests {
		if t.House {
			rows = append(rows, Fact{t.Name, joined(" ", t.Method, followed(prefixed("Shows ", t.Shows), "."))})
		}
	}
	add("Tests", rows)
	rows = nil
	for _, t := range h.Tiles {
		rows = append(rows, Fact{t.Code, joined(": ", t.Finish, t.Lamp)})
	}
	add("Tiles to compare with", rows)
	return blocks
}

func kindName(k *trade.MachineKind) string {
	if k == nil {
		return ""
	}
	return k.Name
}

// register is every revision, the newest first.
func (b *houseBuilder) register(BlockSpec) []Block {
	var g Register
	for i := range b.entries {
		e := &b.entries[i]
		r := e.Plan.Recipe
		id := written(r.ID)
		for _, change := range r.Changes {
			row := RegisterRow{Date: dateOf(change.Date), ID: id, Kind: written(change.Kind), Note: written(change.Note), Anchor: e.Anchor}
			row.Revision = strings.TrimSpace(change.Revision.Span.Text())
			if change.Revision.OK {
				row.Revision = revisionWords(change.Revision.Value)
			}
			g.Rows = append(g.Rows, row)
		}
		if len(r.Changes) == 0 {
			g.Rows = append(g.Rows, RegisterRow{Date: dateOf(r.Date), ID: id, Revision: revisionWords(r.Revision.Value), Note: "No change is written down.", Anchor: e.Anchor})
		}
	}
	slices.SortStableFunc(g.Rows, func(x, y RegisterRow) int {
		return cmp.Or(cmp.Compare(y.Date, x.Date), cmp.Compare(x.ID, y.ID))
	})
	if len(g.Rows) == 0 {
		return nil
	}
	return []Block{g}
}

// use gathers where a thing is used, recipe by recipe.
type use struct {
	entry IndexEntry
	// order sorts entries that have one: coarse to fine.
	order float64
}

// indexed gathers one section of the index.
type indexed struct {
	title string
	by    map[string]*use
}

func (x *indexed) add(words string, order float64, u IndexUse) {
	if words == "" {
		return
	}
	if x.by == nil {
		x.by = map[string]*use{}
	}
	at := x.by[words]
	if at == nil {
		at = &use{entry: IndexEntry{Words: words}, order: order}
		x.by[words] = at
	}
	at.entry.Uses = append(at.entry.Uses, u)
}

func (x *indexed) section() (IndexSection, bool) {
	all := make([]*use, 0, len(x.by))
	for _, u := range x.by {
		all = append(all, u)
	}
	slices.SortFunc(all, func(a, b *use) int {
		return cmp.Or(cmp.Compare(a.order, b.order), cmp.Compare(strings.ToLower(a.entry.Words), strings.ToLower(b.entry.Words)))
	})
	s := IndexSection{Title: x.title}
	for _, u := range all {
		s.Entries = append(s.Entries, u.entry)
	}
	return s, len(s.Entries) > 0
}

// index says where every abrasive, medium, machine, piece and finish is used.
func (b *houseBuilder) index(BlockSpec) []Block {
	abrasives, media, machines := &indexed{title: "Abrasive, coarse to fine"}, &indexed{title: "Medium"}, &indexed{title: "Machine"}
	pieces, finishes := &indexed{title: "Piece"}, &indexed{title: "Finish"}
	for i := range b.entries {
		e := &b.entries[i]
		r := e.Plan.Recipe
		id := written(r.ID)
		steps := func(to *indexed, words func(s *recipe.Step) (string, float64)) {
			used, order := map[string][]int{}, map[string]float64{}
			for k := range r.Steps {
				if name, o := words(&r.Steps[k]); name != "" {
					used[name], order[name] = append(used[name], r.Steps[k].Number), o
				}
			}
			for _, name := range sortedKeys(used) {
				to.add(name, order[name], IndexUse{Words: id + ", " + stepsWords(used[name]), Anchor: e.Anchor + "/step-" + strconv.Itoa(used[name][0])})
			}
		}
		steps(abrasives, indexedAbrasive)
		steps(media, func(s *recipe.Step) (string, float64) {
			return joined(", ", mediumWords(s.Medium), mediumCode(s.Medium)), 0
		})
		steps(machines, indexedMachine)
		var stops []string
		finish := map[string][]string{}
		rank := map[string]float64{}
		for k := range r.Surfaces {
			s := surfaceRow(&r.Surfaces[k])
			stops = append(stops, joined(" ", s.Name, s.StopsAt))
			if s.StopsAt != "" {
				finish[s.StopsAt] = append(finish[s.StopsAt], s.Name)
				if f := r.Surfaces[k].To; f.OK && f.Value != nil {
					rank[s.StopsAt] = -float64(f.Value.Rank)
				}
			}
		}
		pieces.add(joined(", ", written(r.Piece.Form), glassName(r)), 0, IndexUse{Words: joined(": ", id, strings.Join(stops, ", ")), Anchor: e.Anchor})
		for _, name := range sortedKeys(finish) {
			finishes.add(name, rank[name], IndexUse{Words: id + ", " + and(finish[name]), Anchor: e.Anchor})
		}
	}
	var x Index
	for _, part := range []*indexed{abrasives, media, machines, pieces, finishes} {
		if s, any := part.section(); any {
			x.Sections = append(x.Sections, s)
		}
	}
	if len(x.Sections) == 0 {
		return nil
	}
	return []Block{x}
}

// indexedAbrasive is an abrasive with its grade and grain, coarse before fine.
func indexedAbrasive(s *recipe.Step) (string, float64) {
	if !s.Abrasive.OK {
		return "", 0
	}
	a := s.Abrasive.Value
	g := a.Grade
	if !g.Written() {
		g = a.ActsLike
	}
	size := ""
	if g.Size > 0 {
		size = quantity.Format(g.Size, 3) + nbsp + "µm"
		if g.Default() {
			size += dagger
		}
	}
	if size == strings.ReplaceAll(a.Grade.Label, " ", nbsp) {
		size = ""
	}
	return joined(", ", joined(" ", a.Words, a.Grade.Label), size), -g.Size
}

func indexedMachine(s *recipe.Step) (string, float64) {
	m := s.Machine.Value
	if !s.Machine.OK || m.Kind == nil {
		return "", 0
	}
	if m.Unit != nil {
		return joined(", ", m.Kind.Name, m.Unit.Code), 0
	}
	return m.Kind.Name, 0
}

func mediumCode(f recipe.Field[trade.Medium]) string {
	if f.OK && f.Value.Stock != nil {
		return f.Value.Stock.Code
	}
	return ""
}

// stepsWords is "step 2", "steps 2, 4" or "steps 3 to 9".
func stepsWords(n []int) string {
	if len(n) == 1 {
		return "step" + nbsp + strconv.Itoa(n[0])
	}
	if len(n) > 2 && n[len(n)-1]-n[0] == len(n)-1 {
		return "steps" + nbsp + strconv.Itoa(n[0]) + " to " + strconv.Itoa(n[len(n)-1])
	}
	words := make([]string, len(n))
	for i, k := range n {
		words[i] = strconv.Itoa(k)
	}
	return "steps" + nbsp + strings.Join(words, ", ")
}
