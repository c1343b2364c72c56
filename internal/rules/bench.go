package rules

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// live says whether the work is part of the chain that is computed: not under
// a mask and not done only when something is seen.
func live(w *process.Work) bool { return !w.Masked && !w.OnlyIf }

// actsLike is the grade a stock line says its tool acts like.
func actsLike(a *trade.Abrasive) grade.Grade {
	if a.ActsLike.Written() {
		return a.ActsLike
	}
	if a.Stock != nil {
		return a.Stock.ActsLike
	}
	return grade.Grade{}
}

// loose says whether the abrasive is a powder that something must carry.
func loose(a *trade.Abrasive) bool { return a.Bond == trade.Loose }

// isWork says whether the abrasive is of one kind of work.
func isWork(a *trade.Abrasive, w trade.Work) bool { return a.Family != nil && a.Family.Work == w }

// stopOf is the finish a surface stops at, nil where none could be read.
func stopOf(s *recipe.Surface) *trade.Finish {
	if !s.To.OK {
		return nil
	}
	return s.To.Value
}

// stopIs says whether the surface stops at the finish of that name.
func stopIs(s *recipe.Surface, name string) bool {
	f := stopOf(s)
	return f != nil && f.Name == name
}

func untouched(s *recipe.Surface) bool { return process.Untouched(s) }

// seam says whether the surface is an arris that is seamed again and again.
func seam(s *recipe.Surface) bool {
	return stopIs(s, "seamed") || shapeOf(s) == "arris"
}

func shapeOf(s *recipe.Surface) string {
	if !s.Shape.OK || s.Shape.Value == nil {
		return ""
	}
	return s.Shape.Value.Name
}

// areaOf is the area of one face in cm²; 0 where unknown.
func areaOf(s *recipe.Surface) float64 {
	const toSquareCentimetre = 1e4
	if s.Area.OK {
		return s.Area.Value.Amount * s.Area.Value.Unit.Factor * toSquareCentimetre
	}
	if s.Length.OK && s.Width.OK {
		return s.Length.Value.Amount * s.Length.Value.Unit.Factor * s.Width.Value.Amount * s.Width.Value.Unit.Factor * toSquareCentimetre
	}
	return 0
}

// useSpan is where the step names the surface.
func useSpan(step *recipe.Step, s *recipe.Surface) source.Span {
	for _, use := range step.Surfaces {
		if use.Surface == s {
			return use.Span
		}
	}
	return step.Span
}

// abrasiveSpan is the Abrasive fact of a step.
func abrasiveSpan(step *recipe.Step) source.Span {
	if step.Abrasive.Span.Known() {
		return step.Abrasive.Span
	}
	return step.Span
}

// the is a surface for a sentence: "the back".
func the(s *recipe.Surface) string {
	if s.Name.Value == "" {
		return "the surface"
	}
	return "the " + s.Name.Value
}

// verb is the form of a verb that goes with a surface.
func verb(s *recipe.Surface, one, several string) string {
	if many(s.Name.Value) {
		return several
	}
	return one
}

// size is a grain in words: "17 µm", "1.5 µm".
func size(um float64) string {
	return figure(um) + " µm"
}

// figure is a number with three figures at most, without noughts behind the
// point.
func figure(x float64) string {
	if x == 0 {
		return "0"
	}
	digits := 2 - int(math.Floor(math.Log10(math.Abs(x))))
	if digits < 0 {
		digits = 0
	}
	text := strconv.FormatFloat(x, 'f', digits, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// grainOf is what a work grinds with, with its scale and size: "F400 (17.3
// µm)", "325 mesh, which acts like F500 (12.8 µm)".
func grainOf(w *process.Work) string {
	a := w.Abrasive
	if like := actsLike(a); like.Written() {
		name := a.Grade.Label
		if name == "" {
			name = nameOf(a)
		}
		return name + ", which acts like " + labelled(like)
	}
	if a.Grade.Written() {
		return labelled(a.Grade)
	}
	return nameOf(a)
}

// labelled is a grade with its size, once.
func labelled(g grade.Grade) string {
	if g.Scale == grade.Micron || g.Size == 0 {
		return g.Label
	}
	return g.Label + " (" + size(g.Size) + ")"
}

// nameOf is an abrasive for a sentence: "silicon carbide F400".
func nameOf(a *trade.Abrasive) string {
	words := a.Words
	if words == "" && a.Family != nil {
		words = a.Family.Name
	}
	if a.Grade.Written() {
		words = strings.TrimSpace(words + " " + a.Grade.Label)
	}
	if words == "" {
		return "the abrasive"
	}
	return words
}

// mediumName is a medium for a sentence: "felt pad", "brush wheel".
func mediumName(m trade.Medium) string {
	if m.Kind == nil {
		return "medium"
	}
	return m.Kind.Name
}

// machineName is a machine for a sentence: its kind, with the house's code.
func machineName(m trade.MachineUse) string {
	if m.Kind == nil {
		return "machine"
	}
	if m.Unit != nil {
		return m.Kind.Name + " " + m.Unit.Code
	}
	return m.Kind.Name
}

// aMachine is a machine for a sentence, with its article: "a flat lap", "the
// flat lap LAP4".
func aMachine(m trade.MachineUse) string {
	if m.Unit != nil {
		return "the " + machineName(m)
	}
	return article(machineName(m))
}

// machineKey tells one machine from another; "" where none is written.
func machineKey(m trade.MachineUse) string {
	switch {
	case m.Unit != nil:
		return m.Unit.Code
	case m.Kind != nil:
		return m.Kind.Name
	}
	return ""
}

// listed is words as a sentence counts them up: "one, two and three".
func listed(words []string, last string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " " + last + " " + words[len(words)-1]
}

// stepNo is "step 7".
func stepNo(s *recipe.Step) string { return "step " + strconv.Itoa(s.Number) }

// place is a step at fault and the words that show it.
type place struct {
	step *recipe.Step
	span source.Span
}

// gather reports one cause on several steps as one finding: the first place
// bears it, the others are listed. subject is "Step 2" or "Steps 2, 4 and 5";
// many says which of the two.
func gather(places []place, found func(check.Finding), say func(subject string, many bool) check.Finding) {
	gatherAt(places, found, func(at []place, subject string) check.Finding { return say(subject, len(at) > 1) })
}

// gatherAt is gather for what is said, or mended, by the places themselves. say
// is asked anew for some of them where the lead has accepted the others.
func gatherAt(places []place, found func(check.Finding), say func(at []place, subject string) check.Finding) {
	if len(places) == 0 {
		return
	}
	numbers := make([]string, len(places))
	for i, p := range places {
		numbers[i] = strconv.Itoa(p.step.Number)
	}
	subject := "Step " + numbers[0]
	if len(places) > 1 {
		subject = "Steps " + listed(numbers, "and")
	}
	f := say(places, subject)
	f.Span, f.Step = places[0].span, places[0].step.Number
	for _, p := range places[1:] {
		f.Also = append(f.Also, diag.Site{Span: p.span, Step: p.step.Number})
	}
	f.Apart = func(belongs func(step int) bool) (parts []check.Finding) {
		var those, rest []place
		for _, p := range places {
			if belongs(p.step.Number) {
				those = append(those, p)
			} else {
				rest = append(rest, p)
			}
		}
		for _, half := range [][]place{those, rest} {
			gatherAt(half, func(f check.Finding) { parts = append(parts, f) }, say)
		}
		return parts
	}
	found(f)
}

// toldAlike gathers places that are told the same in the same words.
type toldAlike struct {
	order []toldOf
	at    map[toldOf][]place
}

// toldOf is what is at fault and what to write instead.
type toldOf struct{ fault, help string }

func (w *toldAlike) add(p place, fault, help string) {
	if w.at == nil {
		w.at = map[toldOf][]place{}
	}
	key := toldOf{fault, help}
	if w.at[key] == nil {
		w.order = append(w.order, key)
	}
	w.at[key] = append(w.at[key], p)
}

// tell reports each once; predicate is what stands behind the steps.
func (w *toldAlike) tell(found func(check.Finding), predicate func(fault string, many bool) string) {
	for _, key := range w.order {
		gather(w.at[key], found, func(subject string, many bool) check.Finding {
			return check.Finding{Message: subject + predicate(key.fault, many), Help: key.help}
		})
	}
}

// nearSize says whether two grains are one size.
func nearSize(a, b float64) bool {
	if a <= 0 || b <= 0 {
		return false
	}
	return math.Abs(a-b) <= outcomes().sameSize*max(a, b)
}

// heldAlike says whether one of two abrasives can take the other's place at the
// bench: the same loose grain, or the same kind of tool. Discs and pads lie on
// one lap.
func heldAlike(a, b *trade.Abrasive) bool {
	if loose(a) || loose(b) || a.Tool == nil || b.Tool == nil {
		return loose(a) && loose(b) && a.Family == b.Family
	}
	onLap := func(t *trade.Tool) bool { return t.Name == "disc" || t.Name == "pad" }
	return a.Tool.Name == b.Tool.Name || onLap(a.Tool) && onLap(b.Tool)
}

// stockBetween are up to three lines of the house's stock, coarse to fine,
// that lie between two grains and are held as the finer one is. What is kept
// for the blast cabinet is none of them.
func stockBetween(c *check.Context, before, w *process.Work) []string {
	type line struct {
		code  string
		grain float64
	}
	blast := map[string]bool{}
	for i := range c.Recipe.Steps {
		if s := &c.Recipe.Steps[i]; blasting(s) && s.Bench.OK {
			blast[s.Bench.Value.Bench.Name] = true
		}
	}
	var lines []line
	for code, s := range c.House.Stock {
		g := process.Grain(&s.Abrasive)
		alike := heldAlike(&s.Abrasive, w.Abrasive) || loose(w.Abrasive) && heldAlike(&s.Abrasive, before.Abrasive)
		if s.Retired || !alike || s.FreeSilica >= 0 || blast[s.Bench] || !isWork(&s.Abrasive, trade.Grind) {
			continue
		}
		// Sizes are compared as they mark the glass: a bond that gives marks like a finer one.
		had, has, marks := effective(before), effective(w), g
		if gives := outcomes().gives[s.Abrasive.Bond]; gives > 0 && !actsLike(&s.Abrasive).Written() {
			marks /= gives
		}
		if marks < had && marks > has && !nearSize(marks, had) && !nearSize(marks, has) {
			lines = append(lines, line{code, g})
		}
	}
	slices.SortFunc(lines, func(a, b line) int {
		switch {
		case a.grain > b.grain:
			return -1
		case a.grain < b.grain:
			return 1
		}
		return strings.Compare(a.code, b.code)
	})
	var codes []string
	for i := 0; i < len(lines) && i < 3; i++ {
		codes = append(codes, lines[i].code+" ("+size(lines[i].grain)+")")
	}
	return codes
}
