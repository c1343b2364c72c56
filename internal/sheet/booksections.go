package sheet

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

func (b *houseBuilder) cover(BlockSpec) []Block {
	h := b.house
	rows := []Fact{{b.say("Where"), h.Place}, {b.say("Revision"), b.revisionOrNone(h.Revision)}, {b.say("Effective"), b.speak.Date(h.Date)}, {b.say("Approved"), h.Approved}, {b.say("Recipes"), strconv.Itoa(len(b.entries))}}
	c := Cover{}
	for _, r := range rows {
		if r.Words != "" {
			c.Rows = append(c.Rows, r)
		}
	}
	return []Block{c}
}

func (t tongue) revisionOrNone(n int) string {
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
		by[b.formOf(b.entries[i].Plan.Recipe)] = append(by[b.formOf(b.entries[i].Plan.Recipe)], b.contentsRow(&b.entries[i]))
	}
	var c Contents
	for _, form := range sortedKeys(by) {
		c.Groups = append(c.Groups, ContentsGroup{Title: form, Rows: by[form]})
	}
	if len(b.left) > 0 {
		g := ContentsGroup{Title: b.say("Not in this book")}
		for _, l := range b.left {
			g.Rows = append(g.Rows, ContentsRow{Title: l.Title, ID: l.ID, Stops: l.Why})
		}
		c.Groups = append(c.Groups, g)
	}
	return []Block{c}
}

// formOf is the form of a recipe's piece as it heads a group.
func (t tongue) formOf(r *recipe.Recipe) string {
	if form := written(r.Piece.Form); form != "" {
		return capital(form)
	}
	return t.say("Other")
}

func (t tongue) contentsRow(e *BookEntry) ContentsRow {
	r := e.Plan.Recipe
	row := ContentsRow{
		Title: written(r.Title), ID: written(r.ID) + " · " + t.revisionWords(r.Revision.Value),
		Glass: t.glassName(r), Lead: r.GlassUnknown || r.Glass.OK && r.Glass.Value != nil && r.Glass.Value.Lead,
		Anchor: e.Anchor,
	}
	var stops []string
	for i := range r.Surfaces {
		s := t.surfaceRow(&r.Surfaces[i])
		stops = append(stops, joined(" ", s.Name, s.StopsAt))
	}
	row.Stops = strings.Join(stops, ", ")
	if m := e.Plan.Totals.Attended; m > 0 {
		row.Minutes = t.figure(math.Round(m), 6) + nbsp + t.name("min")
	}
	return row
}

// howToRead explains what stands on the sheets.
func (b *houseBuilder) howToRead(BlockSpec) []Block {
	facts := []Facts{
		{Title: "On a sheet", Rows: []Fact{
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
		{Title: "In a ladder chart", Rows: []Fact{
			{"Open bar", "How deep the damage goes that comes to the step; the heavy mark is the likeliest."},
			{"Arrow", "What the step takes off. Past the end of the open bar all that came is taken out."},
			{"Grey bar", "What the step leaves."},
			{"Certain, likely, doubtful, no", "Whether the step clears what came to it."},
			{"Needs, in a step", "The minutes the step should need to clear what came to it: at the first figure it likely has, at the second it certainly has."},
			{"Keeps", "The stop keeps this texture, so the step need not clear it."},
		}},
		{Title: "At the head of every page", Rows: []Fact{
			{"Number and revision", "Which recipe this is. A page with another revision than the house's current one comes off the wall."},
			{"Mark and square code", "What the page says, in eight characters and a check character. Scanned or typed, it tells whether the house would print the same today."},
		}},
	}
	blocks := make([]Block, len(facts))
	for i, f := range facts {
		f.Title = b.say(f.Title)
		for k, row := range f.Rows {
			f.Rows[k] = Fact{b.say(row.Name), b.say(row.Words)}
		}
		blocks[i] = f
	}
	return blocks
}

// standingCautions are the cautions that stand on every recipe of the house,
// once, in full.
func (b *houseBuilder) standingCautions(BlockSpec) []Block {
	var c Cautions
	for _, t := range b.house.Always {
		w := b.wording(t, nil)
		c.Lines = append(c.Lines, CautionNote{Signal: w.Signal, Title: b.title(t), Words: w.Full, Sign: signCode(t.Sign)})
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
			rows = append(rows, Fact{capital(b.name(name)), m[name]})
		}
		return rows
	}
	add(b.say("Where help is"), named(h.Places))
	add(b.say("Who does what"), named(h.Roles))
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
		benches = append(benches, Fact{b.say("Dirty to clean"), strings.Join(order, " · ")})
	}
	if len(outside) > 0 {
		benches = append(benches, Fact{b.say("Outside the order"), strings.Join(outside, " · ")})
	}
	add(b.say("Benches"), benches)
	var rows []Fact
	for _, code := range sortedKeys(h.Machines) {
		m := h.Machines[code]
		rows = append(rows, Fact{code, joined(", ", b.kindName(m.Kind), b.value(m.Diameter), b.filled("at most %s", b.value(m.Maximum)), b.filled("water: %s", m.Water))})
	}
	add(b.say("Machines"), rows)
	rows = nil
	for _, code := range sortedKeys(h.MediumStock) {
		m := h.MediumStock[code]
		rows = append(rows, Fact{code, joined(", ", b.medium(m.Medium), b.value(m.Diameter), b.filled("kept for %s", b.name(m.KeptFor)), b.filled("at most %s", b.value(m.Maximum)))})
	}
	add(b.say("Pads, felts, wheels and brushes"), rows)
	rows = nil
	for _, t := range h.Tests {
		if t.House {
			name, method, shows := b.test(t)
			rows = append(rows, Fact{name, joined(" ", method, b.filled("Shows %s.", shows))})
		}
	}
	add(b.say("Tests"), rows)
	rows = nil
	for _, t := range h.Tiles {
		rows = append(rows, Fact{t.Code, joined(": ", t.Finish, t.Lamp)})
	}
	add(b.say("Tiles to compare with"), rows)
	return blocks
}

func (t tongue) kindName(k *trade.MachineKind) string {
	if k == nil {
		return ""
	}
	return t.name(k.Name)
}

// register is every revision, the newest first.
func (b *houseBuilder) register(BlockSpec) []Block {
	var g Register
	for i := range b.entries {
		e := &b.entries[i]
		r := e.Plan.Recipe
		id := written(r.ID)
		for _, change := range r.Changes {
			row := RegisterRow{Date: isoDate(change.Date), ID: id, Kind: written(change.Kind), Note: written(change.Note), Anchor: e.Anchor}
			row.Revision = strings.TrimSpace(change.Revision.Span.Text())
			if change.Revision.OK {
				row.Revision = b.revisionWords(change.Revision.Value)
			}
			g.Rows = append(g.Rows, row)
		}
		if len(r.Changes) == 0 {
			g.Rows = append(g.Rows, RegisterRow{Date: isoDate(r.Date), ID: id, Revision: b.revisionWords(r.Revision.Value), Note: b.say("No change is written down."), Anchor: e.Anchor})
		}
	}
	slices.SortStableFunc(g.Rows, func(x, y RegisterRow) int {
		return cmp.Or(cmp.Compare(y.Date, x.Date), cmp.Compare(x.ID, y.ID))
	})
	if len(g.Rows) == 0 {
		return nil
	}
	for i := range g.Rows {
		g.Rows[i].Date = b.speak.Date(g.Rows[i].Date)
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
	abrasives, media, machines := &indexed{title: b.say("Abrasive, coarse to fine")}, &indexed{title: b.say("Medium")}, &indexed{title: b.say("Machine")}
	pieces, finishes := &indexed{title: b.say("Piece")}, &indexed{title: b.say("Finish")}
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
				to.add(name, order[name], IndexUse{Words: id + ", " + b.stepsWords(used[name]), Anchor: e.Anchor + "/step-" + strconv.Itoa(used[name][0])})
			}
		}
		steps(abrasives, b.indexedAbrasive)
		steps(media, func(s *recipe.Step) (string, float64) {
			return joined(", ", b.mediumWords(s.Medium), mediumCode(s.Medium)), 0
		})
		steps(machines, b.indexedMachine)
		var stops []string
		finish := map[string][]string{}
		rank := map[string]float64{}
		for k := range r.Surfaces {
			s := b.surfaceRow(&r.Surfaces[k])
			stops = append(stops, joined(" ", s.Name, s.StopsAt))
			if s.StopsAt != "" {
				finish[s.StopsAt] = append(finish[s.StopsAt], s.Name)
				if f := r.Surfaces[k].To; f.OK && f.Value != nil {
					rank[s.StopsAt] = -float64(f.Value.Rank)
				}
			}
		}
		pieces.add(joined(", ", written(r.Piece.Form), b.glassName(r)), 0, IndexUse{Words: joined(": ", id, strings.Join(stops, ", ")), Anchor: e.Anchor})
		for _, name := range sortedKeys(finish) {
			finishes.add(name, rank[name], IndexUse{Words: id + ", " + b.and(finish[name]), Anchor: e.Anchor})
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
func (t tongue) indexedAbrasive(s *recipe.Step) (string, float64) {
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
		size = t.figure(g.Size, 3) + nbsp + "µm"
		if g.Default() {
			size += dagger
		}
	}
	if size == strings.ReplaceAll(a.Grade.Label, " ", nbsp) {
		size = ""
	}
	return joined(", ", joined(" ", t.abrasive(a), a.Grade.Label), size), -g.Size
}

func (t tongue) indexedMachine(s *recipe.Step) (string, float64) {
	m := s.Machine.Value
	if !s.Machine.OK || m.Kind == nil {
		return "", 0
	}
	if m.Unit != nil {
		return joined(", ", t.name(m.Kind.Name), m.Unit.Code), 0
	}
	return t.name(m.Kind.Name), 0
}

func mediumCode(f recipe.Field[trade.Medium]) string {
	if f.OK && f.Value.Stock != nil {
		return f.Value.Stock.Code
	}
	return ""
}

// stepsWords is "step 2", "steps 2, 4" or "steps 3 to 9".
func (t tongue) stepsWords(n []int) string {
	if len(n) == 1 {
		return t.say("step~%d", n[0])
	}
	if len(n) > 2 && n[len(n)-1]-n[0] == len(n)-1 {
		return t.say("steps~%d to %d", n[0], n[len(n)-1])
	}
	words := make([]string, len(n))
	for i, k := range n {
		words[i] = strconv.Itoa(k)
	}
	return t.say("steps~%s", strings.Join(words, ", "))
}
