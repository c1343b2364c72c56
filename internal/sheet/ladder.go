package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"coldwright/internal/process"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/wear"
)

// Ladder is what each step does to one surface, by the model: damage under the
// face in µm. One without rows has only Words.
type Ladder struct {
	// Title heads the chart, Measure says what is drawn.
	Title, Measure string
	Rows           []LadderRow
	// Rule is the reading rule printed under the chart, empty for none.
	Rule string
	// Words are sentences that follow: what the chart cannot show, and the
	// surfaces with nothing to reckon.
	Words []string
}

// LadderRow is one step of a chart, or several that go on with one tool.
type LadderRow struct {
	// Numbers are of the steps: "2", or "2 + 4".
	Numbers string
	// Title is the step's without the name of the surface, Setting the grade
	// and the minutes.
	Title, Setting string
	// Arrives and Left are zero where there is no damage.
	Arrives, Left Depth
	// TakenUM is what comes off in µm.
	TakenUM float64
	// Verdict says whether the step clears what it was handed, Takes and Leaves
	// are the figures in words.
	Verdict, Takes, Leaves string
	// Alt says the row in a sentence.
	Alt string
	// Cannot says why there is nothing to draw; the figures are then empty.
	Cannot string
}

// Depth is how deep damage goes, in µm.
type Depth struct{ Low, Likely, High float64 }

// None says whether there is no damage at all.
func (d Depth) None() bool { return d.High <= 0 }

// Lamp is the angle at which a lamp's reflection should first show an outline
// after a step.
type Lamp struct {
	// Degrees above the face, 90 for straight down.
	Degrees float64
	Words   string
	// Alt says the figure in a sentence.
	Alt string
}

func (Ladder) block() {}

// readingRule says how a chart is read.
const readingRule = "Arrow past the end of the open bar: all that came is taken out."

// reckoned is what the model says, asked once.
func (b *builder) reckoned() *process.Reckoning {
	if b.reckoning == nil {
		b.reckoning = b.plan.Reckon()
	}
	return b.reckoning
}

// mark is the dagger for what rests on a built-in value.
func (b *builder) mark(basis process.Standing) string {
	if basis != process.Default {
		return ""
	}
	b.built = true
	return dagger
}

// two is a number with two figures, noughts at the end kept: 4.0, 0.80, 120.
func (t tongue) two(v float64) string { return t.speak.Number(twoFigures(v)) }

func twoFigures(v float64) string {
	s := quantity.Format(v, 2)
	if v <= 0 || v >= 10 {
		return s
	}
	whole, part, _ := strings.Cut(s, ".")
	if whole == "10" {
		return s
	}
	if whole != "0" {
		return whole + "." + (part + "0")[:1]
	}
	digits := strings.TrimLeft(part, "0")
	return whole + "." + part + strings.Repeat("0", max(0, 2-len(digits)))
}

func depth(s wear.State) Depth { return Depth{Low: s.DLowUM, Likely: s.DUM, High: s.DHighUM} }

// said is a depth in words: 38 (15 to 48), none (0 to 9.4), none.
func (t tongue) depthSaid(d Depth, mark string) string {
	likely := t.two(d.Likely)
	if likely == "0" {
		likely = t.say("none")
	}
	low, high := t.two(d.Low), t.two(d.High)
	if low == high {
		return likely + mark
	}
	return likely + mark + " (" + t.say("%s~to~%s", low, high) + ")"
}

// ladders are the charts, one for each surface to which damage is handed from
// step to step; the others are said in words below the last.
func (b *builder) ladders(spec BlockSpec) []Block {
	var charts []Ladder
	var words, idle []string
	r := b.reckoned()
	for i := range r.Surfaces {
		s := &r.Surfaces[i]
		name := s.Surface.Name.Value
		switch {
		case name == "":
			continue
		case s.Cannot != "" && s.Asks:
			words = append(words, capital(name)+": "+b.say(s.Cannot))
		case len(s.Steps) == 0 || s.Cannot != "" || !s.Asks:
			idle = append(idle, name)
		case !handed(s):
			words = append(words, b.unhanded(s))
		default:
			charts = append(charts, b.ladder(s, spec))
		}
	}
	if len(idle) > 0 {
		words = append(words, b.say("%s: nothing to reckon.", capital(b.and(idle))))
	}
	if len(charts) == 0 && len(words) > 0 && len(b.recipe.Steps) > 0 {
		charts = append(charts, Ladder{Title: b.say("What each step does")})
	}
	blocks := make([]Block, len(charts))
	for i := range charts {
		if i == len(charts)-1 {
			charts[i].Words = append(charts[i].Words, words...)
		}
		blocks[i] = charts[i]
	}
	return blocks
}

// handed says whether any step is handed damage to clear; without, there is no
// rung to draw.
func handed(s *process.SurfaceReckoning) bool {
	for i := range s.Steps {
		if st := &s.Steps[i]; st.Cannot == "" && st.Before.DHighUM > 0 {
			return true
		}
	}
	return false
}

// unhanded says of a surface what its steps leave, where nothing came in.
func (b *builder) unhanded(s *process.SurfaceReckoning) string {
	name, last := capital(s.Surface.Name.Value), &s.Steps[len(s.Steps)-1]
	if last.Cannot != "" {
		return b.say("%s: step %s: %s", name, numbers(last), b.say(last.Cannot))
	}
	return b.say("%s: nothing comes in to clear; step %s leaves %s~µm.", name, numbers(last), b.depthSaid(depth(last.After), b.mark(last.Basis)))
}

// numbers are those of the steps reckoned as one.
func numbers(st *process.StepReckoning) string {
	all := make([]string, len(st.Steps))
	for i, s := range st.Steps {
		all[i] = strconv.Itoa(s.Number)
	}
	return strings.Join(all, nbsp+"+"+nbsp)
}

func (b *builder) ladder(s *process.SurfaceReckoning, spec BlockSpec) Ladder {
	name := s.Surface.Name.Value
	l := Ladder{Title: b.say("What each step does to %s", b.theNames([]string{name})), Measure: b.say("damage under the face, in µm")}
	isTrue := b.about([]recipe.SurfaceUse{{Name: name, Surface: s.Surface}}, "%s is true", "%s are true")
	if s.Arrives.StockUM > 0 {
		l.Words = append(l.Words, b.say("%s must come off before %s.", b.two(s.Arrives.StockUM)+nbsp+"µm"+b.mark(s.ArrivesBasis), isTrue))
	}
	var untrue, together []string
	keeps := false
	clears := s.Clears()
	for i := range s.Steps {
		st := &s.Steps[i]
		row := b.rung(s, st)
		if !clears[i] && st.Cannot == "" {
			row.Verdict, keeps = b.say("keeps"), true
		}
		l.Rows = append(l.Rows, row)
		if st.Cannot == "" && st.After.StockUM > 0 {
			untrue = append(untrue, b.say("%s after step %s", b.two(st.After.StockUM)+nbsp+"µm"+b.mark(st.Basis), numbers(st)))
		}
		if words := b.needs(s, st); clears[i] && len(st.Steps) > 1 && words != "" {
			together = append(together, b.say("Steps %s go on with one tool and need %s~min together.", numbers(st), words))
		}
	}
	if len(untrue) > 0 {
		l.Words = append(l.Words, b.say("Still to come off before %s: %s.", isTrue, b.and(untrue)))
	}
	l.Words = append(l.Words, together...)
	if keeps {
		l.Words = append(l.Words, b.say("Keeps: the stop keeps this texture, so the step need not clear it."))
	}
	if spec.Rule {
		l.Rule = b.say(readingRule)
	}
	return l
}

// rung is one row of a chart.
func (b *builder) rung(s *process.SurfaceReckoning, st *process.StepReckoning) LadderRow {
	row := LadderRow{Numbers: numbers(st), Title: shortTitle(st, s.Surface.Name.Value), Setting: b.rungSetting(s, st), Cannot: st.Cannot}
	if st.Cannot != "" {
		return row
	}
	mark := b.mark(st.Basis)
	row.Arrives, row.Left = depth(st.Before), depth(st.After)
	row.Leaves = b.say("leaves %s", b.depthSaid(row.Left, mark))
	row.Verdict = b.say(st.Verdict.String())
	alt := b.say("arrives %s~µm", b.depthSaid(row.Arrives, ""))
	if row.Arrives.None() {
		alt = b.say("no damage arrives")
	}
	took := b.say("a new face is cut")
	if st.Cut {
		// A cut leaves a new face, whatever was there.
		row.Verdict, row.Takes = b.say("cut"), b.say("new face")
	} else {
		row.TakenUM = st.Result.RemovedUM
		row.Takes = b.say("takes %s", b.two(row.TakenUM)+mark)
		took = b.say("the step takes %s~µm", b.two(row.TakenUM))
	}
	row.Alt = b.say("Step %s: %s.", row.Numbers, joined(", ", alt, took, b.say("leaves %s", b.depthSaid(row.Left, "")+nbsp+"µm")))
	return row
}

// shortTitle is the title of a step without the name of the surface at its
// end: "Flatten the base" is "Flatten" in the chart of the base.
func shortTitle(st *process.StepReckoning, surface string) string {
	title := st.Steps[0].Title
	short, cut := strings.CutSuffix(title, " the "+surface)
	if !cut || short == "" {
		return title
	}
	switch short[strings.LastIndexByte(short, ' ')+1:] {
	case "on", "of", "from", "at", "in", "to", "with", "for", "off", "over", "under", "round", "all", "and", "both":
		return title
	}
	return short
}

// rungSetting is the grade a step works with and the minutes it has for the
// surface.
func (b *builder) rungSetting(s *process.SurfaceReckoning, st *process.StepReckoning) string {
	a := st.Steps[0].Abrasive.Value
	what := b.speak.Number(a.Grade.Label)
	switch {
	case what != "":
	case a.ActsLike.Written():
		what = b.say("as %s", a.ActsLike.Label)
	case a.Stock != nil && a.Stock.ActsLike.Written():
		what = b.say("as %s", a.Stock.ActsLike.Label)
	case a.Family != nil:
		what = b.name(a.Family.Name)
	}
	time := ""
	if m := st.In.Minutes; m.Standing != 0 {
		time = b.figure(m.Value*faces(s, st), 2) + nbsp + b.name("min") + b.mark(m.Standing)
	}
	return joined(", ", what, time)
}

// faces is by how much the minutes of one face are multiplied for all of a
// surface: once where a machine works all at the same time.
func faces(s *process.SurfaceReckoning, st *process.StepReckoning) float64 {
	if k := st.Steps[0].Machine.Value.Kind; k != nil && k.AtOnce {
		return 1
	}
	return float64(s.Count)
}

// needs are the minutes one surface needs of a step: 8.6 to 14†.
func (b *builder) needs(s *process.SurfaceReckoning, st *process.StepReckoning) string {
	if st.Cannot != "" {
		return ""
	}
	n := faces(s, st)
	return b.minutesNeeded(scaled(st.Result.Expected, n), scaled(st.Result.Safe, n), st.Basis, "")
}

func scaled(n wear.Needed, by float64) wear.Needed {
	n.Minutes *= by
	return n
}

func (b *builder) minutesNeeded(expected, safe wear.Needed, basis process.Standing, unit string) string {
	switch {
	case expected.Reach == wear.NotAsked || expected.Reach == wear.Reached && expected.Minutes <= 0:
		return ""
	case expected.Reach == wear.Never:
		return b.say("more than~any") + b.mark(basis)
	case safe.Reach == wear.Never:
		return b.say("%s~or~more", b.two(expected.Minutes)+unit) + b.mark(basis)
	}
	least, most := b.two(expected.Minutes), b.two(safe.Minutes)
	if safe.Reach != wear.Reached || least == most {
		return least + unit + b.mark(basis)
	}
	return b.say("%s~to~%s", least, most) + unit + b.mark(basis)
}

// stepNeeds are the minutes a step needs for all the surfaces it works, whose
// time is shared out by area: the surface that needs most of its share decides.
// Empty where a step goes on with the tool of another: that is said under the
// chart.
func (b *builder) stepNeeds(number int) string {
	var expected, safe wear.Needed
	basis := process.Standing(0)
	r := b.reckoned()
	for i := range r.Surfaces {
		clears := r.Surfaces[i].Clears()
		for k := range r.Surfaces[i].Steps {
			st := &r.Surfaces[i].Steps[k]
			if !clears[k] || !stands(st, number) {
				continue
			}
			if len(st.Steps) > 1 {
				return ""
			}
			if st.Cannot != "" || st.In.Minutes.Value <= 0 || st.Result.Expected.Reach == wear.NotAsked {
				continue
			}
			t := st.Steps[0].Time.Value
			by := (t.Usual.In(quantity.Minute) + t.Alone.In(quantity.Minute)) / st.In.Minutes.Value
			expected, safe = longer(expected, scaled(st.Result.Expected, by)), longer(safe, scaled(st.Result.Safe, by))
			if basis == 0 || st.Basis < basis {
				basis = st.Basis
			}
		}
	}
	return b.minutesNeeded(expected, safe, basis, nbsp+b.name(quantity.Minute.Symbol))
}

func stands(st *process.StepReckoning, number int) bool {
	for _, s := range st.Steps {
		if s.Number == number {
			return true
		}
	}
	return false
}

func longer(a, b wear.Needed) wear.Needed {
	if b.Reach > a.Reach || b.Reach == a.Reach && b.Minutes > a.Minutes {
		return b
	}
	return a
}

// The angles in degrees between which a lamp figure says that an outline shows
// only up to there, and from which it says to look so flat or flatter. Under
// the first no outline shows however flat one looks.
const (
	lampLeast  = 1.5
	lampFlat   = 8
	lampUpMost = 89.5
)

// lamp is the figure of a step with checkpoints, by the roughest of the
// surfaces it is reckoned for that stop at a finish: on a seamed edge nobody
// looks for a lamp. Nil where its angle says nothing.
func (b *builder) lamp(number int) *Lamp {
	at, basis := 0.0, process.Standing(0)
	r := b.reckoned()
	for i := range r.Surfaces {
		if !r.Surfaces[i].Asks {
			continue
		}
		for k := range r.Surfaces[i].Steps {
			st := &r.Surfaces[i].Steps[k]
			// Of steps reckoned as one, the face is looked at after the last.
			if st.Cannot != "" || st.Steps[len(st.Steps)-1].Number != number {
				continue
			}
			if basis == 0 || st.LampDeg < at {
				at, basis = st.LampDeg, st.Basis
			}
		}
	}
	if basis == 0 || at < lampLeast {
		return nil
	}
	degrees := fmt.Sprintf("%.0f°", at)
	l := &Lamp{Degrees: at}
	switch {
	case at < lampFlat:
		l.Words = b.say("no outline above~%s", degrees+b.mark(basis))
		l.Alt = b.say("Lamp and eye low at either side of the piece: above %s from level the lamp shows no outline.", degrees)
	case at < lampUpMost:
		l.Words = b.say("outline at~%s or~flatter", degrees+b.mark(basis))
		l.Alt = b.say("Lamp and eye at either side of the piece: at %s from level or flatter the lamp shows its outline.", degrees)
	default:
		l.Degrees = 90
		l.Words = b.say("outline straight~down") + b.mark(basis)
		l.Alt = b.say("Lamp and eye above the piece: looking straight down the lamp shows its outline.")
	}
	return l
}
