package cli

import (
	"fmt"
	"strings"

	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/quantity"
	"coldwright/internal/report"
	"coldwright/internal/source"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

// measuring is a house with other measurements and everything else as it is.
func measuring(h *trade.House, list []trade.Measured) *trade.House {
	own := *h
	own.Measured = list
	return &own
}

// What a note is held against where it says neither area nor time.
const (
	usualBenchArea    = "50 cm²"
	usualBenchMinutes = "10 min"
)

// benchText is the step at the bench as a recipe of one face, so that its
// machine, speed and force are read as those of any recipe.
func (b *bench) benchText(o quantity.Options) string {
	amount := func(v quantity.Value) string {
		if o.DecimalComma {
			return strings.Replace(v.String(), ".", ",", 1)
		}
		return v.String()
	}
	area, minutes, glass := usualBenchArea, usualBenchMinutes, "unknown"
	if b.Area.Written() {
		area = amount(b.Area)
	}
	if b.minutes > 0 {
		minutes = amount(quantity.Value{Amount: b.minutes, Unit: quantity.Minute})
	}
	if b.glass != nil {
		glass = b.glass.Name
	}
	var t strings.Builder
	fmt.Fprintf(&t, "---\nrecipe: bench-note\ntitle: Bench note\nrevision: 1\ndate: %s\nglass: %q\npiece: {form: block}\n", b.Dated, glass)
	fmt.Fprintf(&t, "surfaces:\n  - {name: face, shape: flat, area: %q, from: new, to: matte}\n---\n\n## Work the face\n\n- Surface: face\n- Abrasive: %s\n", area, b.Stock)
	if b.Medium != "" {
		fmt.Fprintf(&t, "- Medium: %s\n", b.Medium)
	}
	machine := b.Machine
	if b.Speed.Written() {
		machine += " at " + amount(b.Speed)
	}
	fmt.Fprintf(&t, "- Machine: %s\n", machine)
	if b.Pressure.Written() {
		fmt.Fprintf(&t, "- Pressure: %s\n", amount(b.Pressure))
	}
	fmt.Fprintf(&t, "- Time: %s\n", minutes)
	return t.String()
}

// meaning says in sentences what a measurement means beside the built-in
// figures. A measurement that cannot be used is an error.
func (b *bench) meaning(h *trade.House) ([]string, error) {
	plain := measuring(h, nil)
	rec, _ := parse.New(plain).Parse(source.New("the note", []byte(b.benchText(h.Numbers))))
	before := process.Of(rec, plain).Reckon()
	after := process.Of(rec, measuring(h, []trade.Measured{b.Measured})).Reckon()
	if len(before.Surfaces) != 1 || len(before.Surfaces[0].Steps) != 1 || before.Surfaces[0].Cannot != "" {
		return nil, usagef("This note cannot be reckoned: its words do not go together as a step at the bench.")
	}
	was, is := &before.Surfaces[0].Steps[0], &after.Surfaces[0].Steps[0]
	switch {
	case was.Cannot != "":
		return nil, usageError{was.Cannot}
	case was.Blast || was.Cut:
		return nil, usagef("A blast and a cut are reckoned by their grain alone; nothing measured of them would be used.")
	case len(after.Notes) > 0:
		return nil, usageError{after.Notes[0]}
	case b.ClearedAfter.Written() && was.Polish():
		return nil, usagef("--cleared-after: Write the code of what left the grey, not of the polish that took it off.")
	}
	var said []string
	if b.Rate.Written() {
		said = append(said, fmt.Sprintf("%s g off %s of %s is %s µm in %s min: %s µm a minute, %s times the built-in figure.",
			quantity.Format(b.lossG, 3), b.Area, b.Glass, two(b.removedUM), two3(b.minutes), two(b.Rate.In(quantity.MicrometrePerMinute)), two(is.In.House.RateFactor)))
	}
	deeper := two(is.In.House.DamageFactor) + " times as deep as by the built-in figures"
	if b.Lamp.Written() {
		rq, err := wear.Default().RqOfLampUM(b.Lamp.In(quantity.Degree))
		if err != nil {
			return nil, usagef("--lamp: %s says nothing of how rough the face is.", b.Lamp)
		}
		said = append(said, fmt.Sprintf("A lamp whose outline shows up to %s in the dry face means a roughness (Rq) of %s µm, where the built-in figures have %s°: its damage goes %s.",
			b.Lamp, two(rq), two(was.LampDeg), deeper))
	}
	if b.Damage.Written() {
		said = append(said, fmt.Sprintf("%s of damage, where the built-in figures have %s µm: it goes %s.", b.Damage, two(was.After.DUM), deeper))
	}
	if b.SpentAfter.Written() {
		// A charge is spent after so many of its lives: both lives are known.
		builtIn := b.SpentAfter.In(quantity.Minute) * was.Result.TauMin / is.Result.TauMin
		said = append(said, fmt.Sprintf("A charge that goes quiet after %s lasts %s times as long as by the built-in figures (%s min).",
			b.SpentAfter, two(is.Result.TauMin/was.Result.TauMin), two(builtIn)))
	}
	if b.ClearedAfter.Written() {
		said = append(said, fmt.Sprintf("What a recipe's own polish takes off in %s is taken as how deep the damage of %s goes.", b.ClearedAfter, b.Stock))
	}
	return append(said, b.assumed(was)...), nil
}

// assumed says what the note leaves open, and what it is held against here.
func (b *bench) assumed(was *process.StepReckoning) []string {
	var open []string
	if !b.Area.Written() {
		open = append(open, "an area of "+usualBenchArea)
	}
	if !b.Speed.Written() {
		open = append(open, "a mean speed of "+two(was.In.SpeedMS.Value)+" m/s")
	}
	if !b.Pressure.Written() {
		open = append(open, "a force of "+two(was.In.ForceN.Value)+" N")
	}
	if len(open) == 0 || !(b.Rate.Written() || b.Lamp.Written() || b.Damage.Written() || b.SpentAfter.Written()) {
		return nil
	}
	last := open[len(open)-1]
	if len(open) > 1 {
		last = strings.Join(open[:len(open)-1], ", ") + " and " + last
	}
	return []string{"The note does not say all of how it was made: it is held here against " + last + ", and in a recipe against what the recipe has."}
}

var changeColumns = []report.Column{
	{Head: "#", Width: 2, Right: true}, {Head: "step", Width: 20}, {Head: "off\nµm", Width: 13}, {Head: "leaves\nµm", Width: 13},
	{Head: "needs\nmin", Width: 16}, {Head: "clears", Width: 10},
}

// changes are what a measurement changes in the house's recipes, as a page.
func (e *env) changes(h *house, m trade.Measured) (string, error) {
	with := measuring(h.House, append(append([]trade.Measured(nil), h.Measured...), m))
	names, problems := recipeFiles(h.dir)
	for _, p := range problems {
		e.cannot(p)
	}
	parser := parse.New(h.House)
	var page strings.Builder
	var notes []string
	recipes, cites := 0, false
	for _, name := range names {
		text, err := readText(name)
		if err != nil {
			e.cannot(err)
			continue
		}
		rec, _ := parser.Parse(source.New(name, text))
		if rec.Unread {
			e.cannot(fmt.Errorf("%s cannot be reckoned: it cannot be read as a recipe; coldwright check says why", rec.File.Name))
			continue
		}
		recipes++
		for i := range rec.Steps {
			s := rec.Steps[i].Abrasive.Value.Stock
			cites = cites || s != nil && s.Code == m.Stock
		}
		was, is := process.Of(rec, h.House).ReckonAsNeeded(), process.Of(rec, with).ReckonAsNeeded()
		page.WriteString(changedSurfaces(was, is))
		for _, note := range is.Notes {
			if !contains(was.Notes, note) && !contains(notes, note) {
				notes = append(notes, note)
			}
		}
	}
	out := ""
	switch {
	case page.Len() > 0:
		out = report.Paragraph("What it changes in the house's recipes (minutes are for all faces of a surface):", "") + page.String()
	case recipes == 0:
		out = report.Paragraph("The house has no recipe it could change anything in.", "")
	case !cites:
		out = report.Paragraph("Nothing changes: no recipe of the house works with "+m.Stock+" by its code.", "")
	default:
		out = report.Paragraph(fmt.Sprintf("Nothing changes in the house's recipes: no step with %s was worked as this measurement says, or another measurement says more or is later, or it agrees with what holds now.", m.Stock), "")
	}
	if len(notes) > 0 {
		out += "\n"
	}
	for _, note := range notes {
		out += report.Paragraph(note, "")
	}
	return out, nil
}

func contains(list []string, one string) bool {
	for _, s := range list {
		if s == one {
			return true
		}
	}
	return false
}

// changedSurfaces are the surfaces of a recipe on which something changes.
func changedSurfaces(was, is *process.Reckoning) string {
	var b strings.Builder
	for i := range is.Surfaces {
		old, now := &was.Surfaces[i], &is.Surfaces[i]
		byNumber := map[string]*process.StepReckoning{}
		for n := range old.Steps {
			byNumber[numbers(&old.Steps[n])] = &old.Steps[n]
		}
		var rows [][]string
		for n := range now.Steps {
			st := &now.Steps[n]
			if row, changed := changedRow(old, now, byNumber[numbers(st)], st); changed {
				rows = append(rows, row)
			}
		}
		ends := old.Finish != now.Finish || old.Reached != now.Reached
		if len(rows) == 0 && !ends {
			continue
		}
		fmt.Fprintf(&b, "\n%s\n", report.Paragraph(is.Plan.Recipe.ID.Value+": "+headLine(now), ""))
		if len(rows) > 0 {
			b.WriteString(report.Table(changeColumns, rows))
		}
		if ends {
			b.WriteString("\n" + report.Paragraph("Before: "+endLine(old), "   ") + report.Paragraph("Now: "+endLine(now), "   "))
		}
	}
	return b.String()
}

// changedRow is one step before and after. Only a change that shows in two
// figures is one.
func changedRow(old, now *process.SurfaceReckoning, was, is *process.StepReckoning) (row []string, changed bool) {
	row = []string{numbers(is), title(is)}
	for _, cell := range []func(*process.SurfaceReckoning, *process.StepReckoning) string{
		func(_ *process.SurfaceReckoning, st *process.StepReckoning) string {
			if st.Cannot != "" {
				return "?"
			}
			return two(st.Result.RemovedUM)
		},
		func(_ *process.SurfaceReckoning, st *process.StepReckoning) string { return two(st.After.DUM) },
		needed,
		func(_ *process.SurfaceReckoning, st *process.StepReckoning) string {
			if st.Verdict == wear.NothingHanded {
				return "–"
			}
			return st.Verdict.String()
		},
	} {
		before, after := "–", cell(now, is)
		if was != nil {
			before = cell(old, was)
		}
		if before == after {
			row = append(row, after)
			continue
		}
		row, changed = append(row, before+" → "+after), true
	}
	return row, changed
}

// needed is the minutes a step needs, expected to safe, on one line.
func needed(s *process.SurfaceReckoning, st *process.StepReckoning) string {
	return strings.TrimSuffix(strings.ReplaceAll(need(s, st), "\n", ""), "†")
}
