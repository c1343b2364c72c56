package cli

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/process"
	"coldwright/internal/quantity"
	"coldwright/internal/report"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

// guidance stands under every reckoning.
const guidance = "Computed values are guidance; prove them on a test piece."

// lampKey says what the angles of a table are.
const lampKey = "The angle is how far above the dry face a lamp's outline still shows in it; 90° is head-on."

// two is a computed number with two figures.
func two(v float64) string { return quantity.Format(v, 2) }

// little is a computed number for a cell, which has no room for many noughts.
func little(v float64) string {
	if v > 0 && v < 0.01 {
		return "<0.01"
	}
	return two(v)
}

// span is a low and a high value with two figures each; one where they print
// alike.
func span(low, high float64) string {
	a, b := two(low), two(high)
	if a == b {
		return a
	}
	return a + "–" + b
}

// faces is by how much the minutes of one face are multiplied for all of a
// surface: once where a machine works all at the same time.
func faces(s *process.SurfaceReckoning, st *process.StepReckoning) float64 {
	if k := st.In.Kind; k != nil && k.AtOnce {
		return 1
	}
	return float64(s.Count)
}

// title is the step's, or those of the steps reckoned as one.
func title(st *process.StepReckoning) string {
	var all []string
	for _, s := range st.Steps {
		all = append(all, s.Title)
	}
	return strings.Join(all, " + ")
}

func numbers(st *process.StepReckoning) string {
	var all []string
	for _, s := range st.Steps {
		all = append(all, strconv.Itoa(s.Number))
	}
	return strings.Join(all, " ")
}

// gradeOf is the grade a step works with, in as few words as a table has.
func gradeOf(st *process.StepReckoning) string {
	a := &st.Steps[0].Abrasive.Value
	if a.Grade.Written() {
		if a.Grade.Scale == "pumice" {
			return "pumice " + a.Grade.Label
		}
		return a.Grade.Label
	}
	if like := a.ActsLike; like.Written() {
		return "as " + like.Label
	}
	if a.Stock != nil && a.Stock.ActsLike.Written() {
		return "as " + a.Stock.ActsLike.Label
	}
	return ""
}

// need is minutes in a cell: expected, and safe below it.
func need(s *process.SurfaceReckoning, st *process.StepReckoning) string {
	if st.Cannot != "" && st.Result.Expected.Reach == wear.NotAsked {
		return "?"
	}
	n := faces(s, st)
	switch e, safe := st.Result.Expected, st.Result.Safe; {
	case e.Reach == wear.NotAsked:
		return "–"
	case e.Reach == wear.Never:
		return "never"
	default:
		mark := ""
		if st.Basis == process.Default {
			mark = "†"
		}
		least, most := two(e.Minutes*n), "never"
		if safe.Reach == wear.Reached {
			most = two(safe.Minutes * n)
		}
		if least == most {
			return least + mark
		}
		return least + "–\n" + most + mark
	}
}

func leaves(s wear.State) string {
	low, high := little(s.DLowUM), little(s.DHighUM)
	if low == high {
		return little(s.DUM)
	}
	if len(low)+len(high) > 7 {
		high = "\n" + high
	}
	return little(s.DUM) + "\n" + low + "–" + high
}

// looks is what a face looks like, and below it the angle up to which a lamp's
// outline shows in it.
func looks(st *process.StepReckoning) string {
	return strings.ReplaceAll(st.Finish.String(), " ", "\n") + "\n" + two(st.LampDeg) + "°"
}

var stepColumns = []report.Column{
	{Head: "#", Width: 2, Right: true}, {Head: "step", Width: 20}, {Head: "grade", Width: 9}, {Head: "min", Width: 4, Right: true},
	{Head: "needs\nmin", Width: 6, Right: true}, {Head: "off\nµm", Width: 5, Right: true}, {Head: "leaves\nµm", Width: 9, Right: true},
	{Head: "looks\nlike", Width: 8}, {Head: "clears", Width: 8},
}

// reckonPage is one recipe for a person at a terminal.
func reckonPage(r *process.Reckoning) string {
	var b strings.Builder
	rec := r.Plan.Recipe
	b.WriteString(report.Paragraph(fmt.Sprintf("%s, revision %d: %s", rec.ID.Value, rec.Revision.Value, rec.Title.Value), ""))
	for i := range r.Surfaces {
		surfacePage(&b, &r.Surfaces[i])
	}
	b.WriteByte('\n')
	b.WriteString(totalsPage(r))
	b.WriteString(footPage(r, shows(r)))
	return b.String()
}

func surfacePage(b *strings.Builder, s *process.SurfaceReckoning) {
	if len(s.Steps) == 0 && s.Cannot == "" && !s.Asks {
		return
	}
	b.WriteByte('\n')
	b.WriteString(report.Paragraph(headLine(s), ""))
	if len(s.Steps) == 0 && s.Cannot == "" {
		b.WriteString(report.Paragraph("No step works it.", "   "))
		return
	}
	if s.Cannot != "" {
		b.WriteString(report.Paragraph(s.Cannot, "   "))
		return
	}
	if s.Arrives.DHighUM > 0 || s.Arrives.StockUM > 0 {
		b.WriteString(report.Paragraph(arrivesLine(s), "   "))
	}
	b.WriteByte('\n')
	var rows [][]string
	var below []string
	for n := range s.Steps {
		st := &s.Steps[n]
		rows = append(rows, stepRow(s, n))
		below = append(below, remarks(s, st)...)
	}
	b.WriteString(report.Table(stepColumns, rows))
	below = append(below, onPurpose(s), endLine(s))
	below = slices.DeleteFunc(below, func(line string) bool { return line == "" })
	if len(below) > 0 {
		b.WriteByte('\n')
	}
	for _, line := range below {
		b.WriteString(report.Paragraph(line, "   "))
	}
}

// headLine says which surface it is.
func headLine(s *process.SurfaceReckoning) string {
	line := s.Surface.Name.Value
	if s.Surface.Shape.Value != nil {
		line += ", " + s.Surface.Shape.Value.Name
	}
	if s.Count > 1 {
		line += fmt.Sprintf(", %d faces", s.Count)
	}
	if s.AreaM2.Value > 0 {
		mark := ""
		if s.AreaM2.Standing == process.Default {
			mark = "†"
		}
		line += fmt.Sprintf(", %s cm²%s", two(s.AreaM2.Value*1e4), mark)
		if s.Count > 1 {
			line += " each"
		}
	}
	line += ": " + s.Surface.From.Value.Words
	if s.Surface.To.Value != nil {
		line += ", to " + s.Surface.To.Value.Name
	}
	return line
}

func arrivesLine(s *process.SurfaceReckoning) string {
	a := s.Arrives
	var parts []string
	if a.DHighUM > 0 {
		parts = append(parts, fmt.Sprintf("about %s µm of damage (%s)", two(a.DUM), span(a.DLowUM, a.DHighUM)))
	}
	if a.StockUM > 0 {
		parts = append(parts, two(a.StockUM)+" µm to take off before it is true")
	}
	return "It comes with " + strings.Join(parts, " and ") + "."
}

// keeps says of each step whether it is asked to clear nothing, because the stop
// keeps the texture it is handed.
func keeps(s *process.SurfaceReckoning) []bool {
	out := s.Clears()
	for n := range out {
		out[n] = s.Asks && !out[n] && s.Steps[n].Cannot == ""
	}
	return out
}

// stepRow is the n-th step of a surface.
func stepRow(s *process.SurfaceReckoning, n int) []string {
	st := &s.Steps[n]
	row := []string{numbers(st), title(st), gradeOf(st), "", need(s, st), "?", "?", "?", "?"}
	if st.In.Minutes.Standing != 0 {
		row[3] = two(st.In.Minutes.Value * faces(s, st))
		if st.Untimed {
			row[3] += "†"
		}
	}
	if st.Cannot != "" {
		return row
	}
	row[5], row[6], row[7], row[8] = little(st.Result.RemovedUM), leaves(st.After), looks(st), st.Verdict.String()
	if keeps(s)[n] {
		row[4], row[8] = "–", "keeps"
	}
	if st.Cut {
		row[4], row[5], row[8] = "–", "–", "–"
	}
	return row
}

// remarks are what the table has no room for.
func remarks(s *process.SurfaceReckoning, st *process.StepReckoning) (out []string) {
	at := "Step " + numbers(st) + ": "
	if st.Cannot != "" {
		return []string{at + st.Cannot}
	}
	if st.In.As != "" {
		out = append(out, fmt.Sprintf("%s%s is reckoned as %s, for want of figures of its own.", at, capitalised(st.Steps[0].Abrasive.Value.Family.Name), st.In.As))
	}
	if st.Untimed {
		open := "no time is written"
		if st.Steps[0].Time.Written() {
			open = "its time could not be read"
		}
		out = append(out, fmt.Sprintf("%s%s, so it is reckoned as if it took %s min.", at, open, two(st.In.Minutes.Value*faces(s, st))))
	}
	if st.After.StockUM > 0 {
		out = append(out, fmt.Sprintf("%s%s µm are still to come off before the face is true.", at, two(st.After.StockUM)))
	}
	if st.Result.Spent {
		out = append(out, at+"a charge is left so long that it cuts little in the end.")
	}
	switch g := st.Result.Gloss; {
	case !st.Polish():
	case g.Reach == wear.Never:
		out = append(out, at+"it never gets so smooth that a lamp shows head-on.")
	case g.Reach == wear.Reached && g.Minutes > 0:
		out = append(out, fmt.Sprintf("%sit shines after %s min, before what lies underneath is gone: that takes the minutes needed.", at, two(g.Minutes*faces(s, st))))
		if st.Result.Expected.Reach == wear.Reached && st.Result.Expected.Minutes <= g.Minutes {
			out[len(out)-1] = fmt.Sprintf("%sit shines after %s min.", at, two(g.Minutes*faces(s, st)))
		}
	}
	return out
}

// onPurpose says why a step that keeps is none the worse for it.
func onPurpose(s *process.SurfaceReckoning) string {
	var keep []string
	for n, on := range keeps(s) {
		if on {
			keep = append(keep, numbers(&s.Steps[n]))
		}
	}
	switch len(keep) {
	case 0:
		return ""
	case 1:
		return "Step " + keep[0] + " keeps the texture it is given, as it is meant to: nothing has to be cleared there."
	}
	return "Steps " + strings.Join(keep[:len(keep)-1], ", ") + " and " + keep[len(keep)-1] + " keep the texture they are given, as they are meant to: nothing has to be cleared there."
}

func endLine(s *process.SurfaceReckoning) string {
	if !s.Asks && s.Surface.To.Value != nil && len(s.Steps) > 0 {
		for n := range s.Steps {
			if c := s.Steps[n].Verdict; c == wear.No || c == wear.Doubtful {
				return "It stops at " + s.Surface.To.Value.Name + ", which asks nothing of these figures."
			}
		}
	}
	if !s.Asks || s.Finish == 0 {
		return ""
	}
	line := "It ends at " + s.Finish.String() + " with " + damageWords(s.After)
	if s.Reached {
		return line + ": the stop is reached."
	}
	for n := range s.Steps {
		if s.Steps[n].Cannot != "" {
			return line + ", as far as it can be reckoned."
		}
	}
	if s.Off == 0 {
		return line + "."
	}
	return line + ": the stop is not reached."
}

// totalsPage is what the whole piece takes.
func totalsPage(r *process.Reckoning) string {
	t := r.Totals
	line := "The piece takes " + two3(t.Attended) + " min at the bench"
	if t.Alone > 0 {
		line += " and " + two3(t.Alone) + " min alone"
	}
	if t.Untimed > 0 {
		line += fmt.Sprintf(", without %s that %s no time", plural(t.Untimed, "step"), map[bool]string{true: "gives", false: "give"}[t.Untimed == 1])
	}
	if t.Longest != nil && t.Attended > 0 {
		line += fmt.Sprintf("; the longest is step %d, %s, with %s min", t.Longest.Number, strings.TrimRight(t.Longest.Title, "."), two3(t.LongestMinutes))
	}
	out := report.Paragraph(line+".", "")
	var uses []string
	for _, a := range t.Amounts {
		mark := ""
		if !a.Written {
			mark = "†"
		}
		uses = append(uses, fmt.Sprintf("%s g%s of %s", two(a.Grams), mark, a.What))
	}
	if t.WaterL > 0 {
		uses = append(uses, two(t.WaterL)+" l† of water")
	}
	if len(uses) > 0 {
		out += report.Paragraph("It uses "+strings.Join(uses, ", ")+".", "")
	}
	for _, currency := range slices.Sorted(maps.Keys(t.Cost)) {
		mark := ""
		if t.CostDefault {
			mark = "†"
		}
		out += report.Paragraph(fmt.Sprintf("Powder of known price costs %s %s%s.", currency, strconv.FormatFloat(t.Cost[currency], 'f', 2, 64), mark), "")
	}
	return out
}

// two3 is a sum of written minutes, which is no computed value: three figures.
func two3(v float64) string { return quantity.Format(v, 4) }

// shows says whether there is a table with steps in it.
func shows(r *process.Reckoning) bool {
	return slices.ContainsFunc(r.Surfaces, func(s process.SurfaceReckoning) bool { return len(s.Steps) > 0 })
}

// footPage says what the figures rest on.
func footPage(r *process.Reckoning, lamps bool) string {
	out := ""
	for _, note := range r.Notes {
		out += report.Paragraph(note, "")
	}
	out += "\n" + report.Paragraph(guidance, "")
	if lamps {
		out += report.Paragraph(lampKey, "")
	}
	line := "† Rests on built-in figures"
	if assumed := assumptions(r); len(assumed) > 0 {
		line += " until the house writes its own: " + strings.Join(assumed, "; ") + "."
	} else {
		line += " until the house writes or measures its own."
	}
	return out + report.Paragraph(line, "")
}

// assumptions are the inputs nobody wrote, each with the steps it holds for.
func assumptions(r *process.Reckoning) []string {
	var order []string
	steps := map[string][]int{}
	add := func(words string, st *process.StepReckoning) {
		for _, s := range st.Steps {
			if _, seen := steps[words]; !seen {
				order = append(order, words)
			}
			if !slices.Contains(steps[words], s.Number) {
				steps[words] = append(steps[words], s.Number)
			}
		}
	}
	for i := range r.Surfaces {
		for n := range r.Surfaces[i].Steps {
			st := &r.Surfaces[i].Steps[n]
			in := &st.In
			for _, one := range []struct {
				process.Input
				words string
			}{
				{process.Input{Standing: in.KindStanding}, "done " + onMachine(in.Kind)},
				{in.AreaM2, "area of the " + r.Surfaces[i].Surface.Name.Value + " " + two(in.AreaM2.Value*1e4) + " cm²"},
				{in.ForceN, "force " + two(in.ForceN.Value) + " N"},
				{in.SpeedMS, "mean speed " + two(in.SpeedMS.Value) + " m/s"},
				{in.LapAreaM2, "charged area " + two(in.LapAreaM2.Value*1e4) + " cm²"},
				{in.ChargeEveryMin, "a charge every " + two(in.ChargeEveryMin.Value) + " min"},
				{in.Grain, gradeOf(st) + " taken as " + two(in.Grain.Value) + " µm"},
			} {
				if one.Standing == process.Default {
					add(strings.TrimSpace(one.words), st)
				}
			}
		}
	}
	var out []string
	for _, words := range order {
		at := steps[words]
		slices.Sort(at)
		var list []string
		for _, n := range at {
			list = append(list, strconv.Itoa(n))
		}
		out = append(out, fmt.Sprintf("%s (step %s)", words, strings.Join(list, ", ")))
		if len(at) > 1 {
			out[len(out)-1] = fmt.Sprintf("%s (steps %s)", words, strings.Join(list, ", "))
		}
	}
	return out
}

// onMachine is a kind of machine for a list: "on a flat lap", "by hand".
func onMachine(k *trade.MachineKind) string {
	switch {
	case k == nil:
		return ""
	case strings.HasPrefix(k.Name, "by "):
		return k.Name
	}
	return "on the " + k.Name
}

// capitalised is a text with a capital.
func capitalised(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}
