package sheet

import (
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/process"
	"coldwright/internal/prose"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

func (b *builder) stepsInFull(spec BlockSpec) []Block {
	blocks := make([]Block, 0, len(b.recipe.Steps))
	for i := range b.recipe.Steps {
		blocks = append(blocks, b.stepInFull(i, spec))
	}
	return blocks
}

// Anchor is the name links to a step lead to.
func Anchor(step int) string { return "step-" + strconv.Itoa(step) }

func (b *builder) stepInFull(i int, spec BlockSpec) StepInFull {
	step := &b.recipe.Steps[i]
	var plan process.StepPlan
	if i < len(b.plan.Steps) {
		plan = b.plan.Steps[i]
	}
	s := StepInFull{
		Number: step.Number, Title: step.Words, Anchor: Anchor(step.Number),
		Surface: b.surfaceWords(step, plan.Works), Bench: benchName(step), OnlyIf: b.onlyIf(step),
		Settings: b.settings(i), Pictures: b.opt.Pictures,
	}
	if len(s.Title) == 0 {
		s.Title = plain(step.Title)
	}
	w := stepWriter{builder: b, step: step, methods: spec.Methods}
	if spec.Needed {
		w.needs = b.stepNeeds(step.Number)
	}
	w.facts()
	if spec.Short {
		w.parts = append(w.parts, b.shortForms(i, nil)...)
	}
	w.body()
	w.close()
	s.Parts = w.parts
	if spec.Lamps && w.checked {
		s.Lamp = b.lamp(step.Number)
	}
	return s
}

func (b *builder) settings(i int) Settings {
	step := &b.recipe.Steps[i]
	var s Settings
	s.Abrasive.Big, s.Abrasive.Small = b.abrasiveWords(step)
	if s.Abrasive.Big == "" && step.Abrasive.OK {
		// A blade has no grade: its own name stands large.
		s.Abrasive.Big, s.Abrasive.Small = b.abrasive(step.Abrasive.Value), joined(", ", b.abrasiveDiameter(step.Abrasive.Value), b.sizeOf(step.Abrasive.Value))
	}
	if stock := step.Abrasive.Value.Stock; step.Abrasive.OK && stock != nil {
		s.Abrasive.Small = joined(", ", s.Abrasive.Small, stock.Code)
	}
	if ownAmount(step) {
		s.Abrasive.Small = joined(", ", s.Abrasive.Small, b.shortAmount(step))
	}
	s.Minutes = b.minutesSetting(step.Time)
	speed, unit, machine := b.speedWords(i, true)
	if speed == "" {
		s.Speed.Big, s.Speed.Small = b.machineWithout(step, machine)
	} else {
		s.Speed = Setting{speed, unit, machine}
	}
	s.Water = Setting{Big: b.waterWords(step.Water), Small: joined(", ", b.waterSource(step.Water), b.mixWords(step))}
	s.Medium = b.mediumSetting(step.Medium)
	return s
}

// machineWithout stands large where no speed is written: "by hand", "LAP3".
func (t tongue) machineWithout(step *recipe.Step, words string) (big, small string) {
	if !step.Machine.OK {
		return words, ""
	}
	big, small, _ = strings.Cut(words, ", ")
	return big, small
}

// minutesSetting is the usual time, of several faces that of one and how often,
// with its range, the time of all and the time alone below.
func (l tongue) minutesSetting(f recipe.Field[recipe.Time]) Setting {
	if !f.OK {
		return Setting{Big: strings.TrimSpace(f.Span.Text())}
	}
	t := f.Value
	s := Setting{}
	if t.Usual.Written() {
		s = Setting{Big: l.figure(t.Usual.Amount, 3), Unit: l.name(t.Usual.Unit.Symbol)}
	}
	var small []string
	if t.Times > 1 && t.Usual.Written() {
		// What the hand does is large: a face at a time.
		s.Big = strconv.Itoa(t.Times) + nbsp + "×" + nbsp + l.figure(t.Usual.Amount/float64(t.Times), 3)
		small = append(small, l.say("%s~in~all", l.shortTime(t.Usual)))
	}
	alone := l.filled("then~%s", l.aloneWords(f))
	if t.Low.Written() && t.High.Written() && t.Low != t.High {
		words := l.rangeWords(t.Low, t.High)
		if len(small) == 0 && alone == "" && t.Low.Unit == t.Usual.Unit {
			// The unit stands above it.
			words = strings.TrimSuffix(words, nbsp+l.name(t.Usual.Unit.Symbol))
		}
		small = append(small, words)
	}
	if alone != "" {
		small = append(small, alone)
	}
	s.Small = strings.Join(small, ", ")
	return s
}

func (t tongue) shortTime(v quantity.Value) string {
	return t.figure(v.Amount, 3) + nbsp + t.name(v.Unit.Symbol)
}

func (t tongue) rangeWords(low, high quantity.Value) string {
	if low.Unit == high.Unit {
		return t.say("%s~to~%s", t.figure(low.Amount, 3), t.shortTime(high))
	}
	return t.say("%s~to~%s", t.shortTime(low), t.shortTime(high))
}

// mediumSetting is what carries the grain, with its variant, its diameter, its
// code and what it is kept for.
func (t tongue) mediumSetting(f recipe.Field[trade.Medium]) Setting {
	if !f.OK {
		return Setting{Big: strings.TrimSpace(f.Span.Text())}
	}
	m := f.Value
	big, variant, _ := strings.Cut(t.medium(m), ", ")
	s := Setting{Big: big}
	small := []string{variant, t.mediumDiameter(m)}
	if m.Stock != nil {
		small = append(small, m.Stock.Code, t.filled("kept for %s", t.name(m.Stock.KeptFor)))
	}
	s.Small = joined(", ", small...)
	return s
}

// stepWriter writes the parts of one step.
type stepWriter struct {
	*builder
	step    *recipe.Step
	methods bool
	// needs are the minutes reckoned for the step, empty for none.
	needs string
	parts []Part
	// stated is true once the mask sentences stand.
	stated bool
	// checked is true once a checkpoint stands, own once one has a way back of
	// its own.
	checked, own bool
}

func (w *stepWriter) add(p Part) { w.parts = append(w.parts, p) }

func (w *stepWriter) label(label, words string) {
	if words != "" {
		w.add(Part{Kind: Label, Label: label, Words: plain(words)})
	}
}

// labelled are words with their label.
type labelled struct{ label, words string }

// labels puts short facts into one line.
func (w *stepWriter) labels(facts []labelled) {
	var line *Part
	for _, f := range facts {
		switch {
		case f.words == "":
		case line == nil:
			w.label(f.label, f.words)
			line = &w.parts[len(w.parts)-1]
		default:
			line.Words = append(line.Words, prose.Inline{Kind: prose.Text, Text: " · "},
				prose.Inline{Kind: prose.Strong, Children: plain(f.label)}, prose.Inline{Kind: prose.Text, Text: " " + f.words})
		}
	}
}

// facts are those that stand before the orders: what the settings do not show.
func (w *stepWriter) facts() {
	s := w.step
	w.label(w.say("Rework:"), s.Rework)
	if s.Bench.OK {
		w.label(w.say("At this bench because:"), s.Bench.Value.Because)
	}
	short := []labelled{{w.say("Needs:"), w.needs}, {w.say("Pressure:"), w.pressureWords(s.Pressure)}, {w.say("Depth:"), w.amountOf(s.Depth)}}
	if !ownAmount(s) {
		short = append(short, labelled{w.say("Amount:"), w.amountWords(s.Amount)})
	}
	w.labels(short)
	// A fact nobody knows, or one that is written twice, prints as it stands.
	seen := map[string]bool{}
	for _, f := range s.Facts {
		if f.Name == "" || seen[f.Name] {
			w.label(strings.TrimRight(f.NameSpan.Text(), ": ")+":", f.Value)
		}
		seen[f.Name] = true
	}
}

// ownAmount says whether the amount is of the step's own abrasive and nothing
// else, so that it may stand beside it.
func ownAmount(s *recipe.Step) bool {
	if !s.Amount.OK || len(s.Amount.Value) != 1 || !s.Abrasive.OK {
		return false
	}
	of, a := s.Amount.Value[0].Of, s.Abrasive.Value
	return of == "" || strings.EqualFold(of, a.Words) || strings.EqualFold(of, joined(" ", a.Words, a.Grade.Label))
}

func (t tongue) pressureWords(f recipe.Field[recipe.Pressure]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	if f.Value.Word != "" {
		return t.name(f.Value.Word)
	}
	return t.value(f.Value.Value)
}

func (t tongue) amountWords(f recipe.Field[[]recipe.Amount]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	words := make([]string, len(f.Value))
	for i, a := range f.Value {
		words[i] = joined(" ", t.value(a.Value), a.Of)
	}
	return strings.Join(words, ", ")
}

// body writes what the author wrote, in the author's order.
func (w *stepWriter) body() {
	wasCheck := false
	for i := range w.step.Body {
		e := &w.step.Body[i]
		if e.Kind == recipe.Check && !wasCheck {
			w.states()
			w.add(Part{Kind: MoveOn})
		}
		wasCheck = e.Kind == recipe.Check
		switch e.Kind {
		case recipe.Order:
			w.order(e)
		case recipe.Check:
			w.check(e.Check)
		case recipe.Warn:
			p := proseParts(e.Notice.Blocks)
			p.Kind, p.Signal = Warn, e.Notice.Signal
			w.add(p)
		case recipe.Shown:
			w.add(Part{Kind: Shown, Picture: w.picture(*e.Picture)})
		default:
			if len(e.Blocks) > 0 {
				w.add(proseParts(e.Blocks))
			}
		}
	}
}

// picture is a picture with the caption its author gave it, else with what it
// shows in words; without the picture itself both stand.
func (b *builder) picture(p recipe.Picture) *Picture {
	out := &Picture{Target: p.Target, Caption: p.Title, Alt: p.Alt, Image: b.opt.Pictures[p.Target]}
	switch {
	case p.Title == "":
		out.Caption = p.Alt
	case out.Image == nil:
		out.Caption = joined(" – ", p.Title, p.Alt)
	}
	return out
}

// proseParts puts a first paragraph on the part's own line, the rest below.
func proseParts(blocks []prose.Block) Part {
	if len(blocks) > 0 && blocks[0].Kind == prose.Paragraph {
		p := Part{Words: blocks[0].Inlines}
		if len(blocks) > 1 {
			p.Blocks = blocks[1:]
		}
		return p
	}
	return Part{Blocks: blocks}
}

func (w *stepWriter) order(e *recipe.Element) {
	p := proseParts(e.Blocks)
	p.Kind = Order
	if e.Mark > 0 {
		p.Mark = strconv.Itoa(e.Mark) + "."
	}
	w.add(p)
	for _, k := range e.KeyPoints {
		if len(k.Point) > 0 {
			w.add(Part{Kind: KeyPoint, Words: k.Point})
		}
		if len(k.Reason) > 0 {
			w.add(Part{Kind: Because, Words: k.Reason})
		}
	}
}

func (w *stepWriter) check(c *recipe.Checkpoint) {
	kind := Check
	if c.Stops {
		kind = StopHere
	}
	w.checked = true
	w.add(Part{Kind: kind, Words: c.Words})
	if w.methods && c.Test != nil && c.Test.Method != "" && !w.shown[c.Test.Name] {
		w.shown[c.Test.Name] = true
		_, method, _ := w.test(c.Test)
		w.add(Part{Kind: Method, Words: plain(method)})
	}
	for _, line := range c.Right {
		w.add(Part{Kind: Right, Words: line})
	}
	for _, line := range c.Wrong {
		w.add(Part{Kind: Wrong, Words: line})
	}
	if c.Return.Written() && !sameStep(c.Return, w.step.ReturnTo) {
		w.goBack(c.Return)
		w.parts[len(w.parts)-1].Own, w.own = true, true
	}
}

// sameStep says whether two ways back are one, which the step then says for all
// its checkpoints.
func sameStep(a, b recipe.Field[recipe.Return]) bool {
	return a.OK && b.OK && a.Value.Step > 0 && a.Value.Step == b.Value.Step
}

// states says what lies under a mask from here on.
func (w *stepWriter) states() {
	if w.stated {
		return
	}
	w.stated = true
	if len(w.step.Mask) > 0 {
		w.add(Part{Kind: State, Words: plain(w.about(w.step.Mask, "From here %s is masked.", "From here %s are masked."))})
	}
	if w.step.UnmaskAll {
		w.add(Part{Kind: State, Words: plain(w.say("Here all masks come off."))})
	}
	if len(w.step.Unmask) > 0 {
		w.add(Part{Kind: State, Words: plain(w.about(w.step.Unmask, "Here %s is unmasked.", "Here %s are unmasked."))})
	}
}

// about is a sentence about surfaces, in one of its two forms: of one thing, or
// of several.
func (t tongue) about(uses []recipe.SurfaceUse, one, more string) string {
	if several(uses) {
		return t.say(more, t.theNames(useNames(uses)))
	}
	return t.say(one, t.theNames(useNames(uses)))
}

// theNames are surfaces in a sentence: "the dome", "facet 1", "back and edges".
func (t tongue) theNames(names []string) string {
	words := t.and(names)
	if last := words[len(words)-1]; len(names) == 1 && (last < '0' || last > '9') {
		return t.say("the %s", words)
	}
	return words
}

// several says whether a sentence speaks of more than one: several names,
// several of one name, or a name that speaks of several.
func several(uses []recipe.SurfaceUse) bool {
	if len(uses) != 1 {
		return true
	}
	name, on := uses[0].Name, uses[0].Surface
	return on != nil && on.Count.OK && on.Count.Value > 1 ||
		strings.HasSuffix(name, "s") && !strings.HasSuffix(name, "ss") && !strings.HasSuffix(name, "is")
}

func useNames(uses []recipe.SurfaceUse) []string {
	names := make([]string, len(uses))
	for i, u := range uses {
		names[i] = u.Name
	}
	return names
}

// close writes what ends a step: where to go when a checkpoint fails, and how
// to clean down.
func (w *stepWriter) close() {
	w.states()
	before := len(w.parts)
	if w.step.ReturnTo.Written() {
		w.goBack(w.step.ReturnTo)
	} else if w.checked && !w.ownReturnForAll() {
		w.add(Part{Kind: GoBack, Label: w.say("If not, go back to"), Step: w.step.Number, StepTitle: w.say("and repeat")})
	}
	if w.own && len(w.parts) > before {
		// Below a way back of one checkpoint "If not" would be read as of that.
		w.parts[before].Label = w.say("If any other is not so, go back to")
	}
	w.backBeforeStops(before)
	w.label(w.say("Clean down:"), written(w.step.CleanDown))
}

// backBeforeStops moves the way back of a step, which was just added behind the
// checkpoints, before those of the end that stop the work: below them "If not"
// would be read as "if there is no reason to stop".
func (w *stepWriter) backBeforeStops(end int) {
	from := end
	for i := end - 1; i >= 0; i-- {
		kind := w.parts[i].Kind
		if kind == Check && from < end {
			rotate(w.parts[from:], end-from)
			return
		}
		if kind == StopHere {
			from = i
		} else if kind != Method && kind != Right && kind != Wrong {
			return
		}
	}
}

// rotate brings the parts from n on to the front.
func rotate(parts []Part, n int) {
	copy(parts, slices.Concat(parts[n:], parts[:n]))
}

// ownReturnForAll says whether every checkpoint says for itself what happens
// when it fails.
func (w *stepWriter) ownReturnForAll() bool {
	for i := range w.step.Body {
		if e := &w.step.Body[i]; e.Kind == recipe.Check && !e.Check.Return.Written() && !e.Check.Stops {
			return false
		}
	}
	return true
}

func (w *stepWriter) goBack(f recipe.Field[recipe.Return]) {
	p := Part{Kind: GoBack, Label: w.say("If not, go back to")}
	n := f.Value.Step
	switch {
	case !f.OK || n < 1 || n > len(w.recipe.Steps):
		title := strings.TrimSpace(f.Span.Text())
		if f.Value.Title != "" {
			title = f.Value.Title
		}
		p.Words = plain(title)
	case n == w.step.Number:
		p.Step, p.StepTitle = n, w.say("and repeat")
	default:
		p.Step, p.StepTitle = n, w.recipe.Steps[n-1].Title
	}
	w.add(p)
}
