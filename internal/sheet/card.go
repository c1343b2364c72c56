package sheet

import (
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/process"
	"coldwright/internal/prose"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// Card is what only a bench card says.
type Card struct {
	// Heading says what a card for less than the whole recipe is for, "Bench
	// D"; empty for all of it.
	Heading string
	// Of says which steps it has, where not all: "step 4 of 6".
	Of string
	// Guidance are the two guidance sentences in their short form.
	Guidance string
	// Type is how large its body text may be and must be, in points.
	Type TypeRange `uncounted:""`
	// Numbers are the steps of the card, Steps how many the recipe has.
	Numbers []int
	Steps   int
}

// CautionPanels are the cautions of a card: one panel a signal word, gravest
// first.
type CautionPanels struct{ Panels []CautionPanel }

// CautionPanel holds every caution of one signal word.
type CautionPanel struct {
	Signal trade.Signal
	Notes  []CautionNote
}

// CardSteps are the steps of a card.
type CardSteps struct {
	// Shared are the facts all steps have in common.
	Shared []Labelled
	Steps  []CardStep
}

// Labelled are words with the label before them.
type Labelled struct{ Label, Words string }

// CardStep is one step as a card says it: its facts, cautions and checkpoints,
// and nothing else. What is absent is empty.
type CardStep struct {
	Number int
	Title  []prose.Inline
	// Surface is empty where the title names it.
	Surface, Bench string
	OnlyIf         string
	// Grade stands large; Instead are the words in its place on a step that has
	// none.
	Grade, Instead string
	// Minutes stand large with their unit.
	Minutes, MinutesUnit string
	// Machine is its code or its kind, Speed the large number beside it.
	Machine, Speed, SpeedUnit string
	// Details are the other facts, in short words, in order.
	Details []string
	// Facts are those that need their label.
	Facts  []Labelled
	Checks []CardCheck
	// Back is the step to go back to where a checkpoint fails, 0 for none;
	// BackTitle its title where it is not on the card. BackWords are what was
	// written where no step bears the title.
	Back                 int
	BackTitle, BackWords string
	// Warnings are the cautions of the step, gravest first.
	Warnings []Part
}

// CardCheck is one checkpoint.
type CardCheck struct {
	Words []prose.Inline
	// Stops is true where it ends the work.
	Stops bool
	// Back is its own step to go back to, 0 for none, with its title where it is
	// not on the card; BackWords are what was written where no step bears it.
	Back                 int
	BackTitle, BackWords string
}

func (CautionPanels) block() {}
func (CardSteps) block()     {}

const (
	// cardGuidance and cardGuidanceBuilt are the guidance sentences of a card, the
	// second where it prints a built-in value.
	cardGuidance      = "Figures guide: test first. Local codes rule."
	cardGuidanceBuilt = "Figures guide, " + dagger + " built in: test first. Local codes rule."
	// fewSteps is how many steps may say a caution for themselves. What more of
	// them call for is said once, in the panels that stand on every face.
	fewSteps = 2
	// calmCautions is how many panels and cautions at steps a hand still reads.
	calmCautions = 5
)

// The rules a card is held to.
const (
	// CardFitRule is the id of the finding that a card is too full.
	CardFitRule = "card-does-not-fit"
	// CardCautionsRule is the id of the finding that a card says too much of what
	// to beware of.
	CardCautionsRule = "card-many-cautions"
	// CardEmptyRule is the id of the finding that a card would hold no step.
	CardEmptyRule = "card-has-no-step"
)

// chooseSteps decides which steps a card has. What is asked for and is not
// there is a finding; false where the card would be empty.
func (b *builder) chooseSteps() bool {
	b.shows = make([]bool, len(b.recipe.Steps))
	any := false
	for i := range b.recipe.Steps {
		number := b.recipe.Steps[i].Number
		b.shows[i] = (b.opt.Surface == "" || b.touches(i, b.opt.Surface)) &&
			(b.opt.Bench == "" || strings.EqualFold(benchName(&b.recipe.Steps[i]), strings.TrimSpace(b.opt.Bench))) &&
			(b.opt.From == 0 || number >= b.opt.From) && (b.opt.To == 0 || number <= b.opt.To)
		any = any || b.shows[i]
	}
	if !any && len(b.recipe.Steps) > 0 {
		b.found.Add(b.noStep())
	}
	return any || len(b.recipe.Steps) == 0
}

// touches says whether a step is at a surface: works it, handles it, covers it
// or uncovers it.
func (b *builder) touches(i int, surface string) bool {
	step := &b.recipe.Steps[i]
	named := func(name string) bool { return strings.EqualFold(name, strings.TrimSpace(surface)) }
	if !slices.ContainsFunc(b.recipe.Surfaces, func(s recipe.Surface) bool { return named(written(s.Name)) }) {
		return false
	}
	if step.Every {
		if !step.Working() {
			return true
		}
		return slices.ContainsFunc(b.worksOf(i), func(s *recipe.Surface) bool { return named(s.Name.Value) })
	}
	uses := slices.Concat(step.Surfaces, step.Mask, step.Unmask)
	return step.UnmaskAll || slices.ContainsFunc(uses, func(u recipe.SurfaceUse) bool { return named(u.Name) })
}

// noStep says that nothing of the recipe belongs on the card asked for.
func (b *builder) noStep() diag.Diagnostic {
	var asked []string
	help := ""
	if b.opt.Surface != "" {
		asked = append(asked, "the surface “"+b.opt.Surface+"”")
		var names []string
		for i := range b.recipe.Surfaces {
			names = append(names, written(b.recipe.Surfaces[i].Name))
		}
		help = nearestOf(b.opt.Surface, names, "Its surfaces are ")
	}
	if b.opt.Bench != "" {
		asked = append(asked, "the bench “"+b.opt.Bench+"”")
		var names []string
		for i := range b.recipe.Steps {
			if name := benchName(&b.recipe.Steps[i]); name != "" && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
		help = joined(" ", help, nearestOf(b.opt.Bench, names, "Its benches are "))
	}
	if b.opt.From > 0 {
		asked = append(asked, "steps "+strconv.Itoa(b.opt.From)+" to "+strconv.Itoa(b.opt.To))
		help = joined(" ", help, "It has "+count(len(b.recipe.Steps), "step.", "steps."))
	}
	return diag.Diagnostic{
		Rule: CardEmptyRule, Severity: diag.Note, Concern: diag.Card, Span: b.recipe.File.Span(0, 0),
		Message: "No step of “" + written(b.recipe.ID) + "” is for " + b.and(asked) + ".", Help: help,
	}
}

func nearestOf(name string, known []string, intro string) string {
	if len(known) == 0 {
		return ""
	}
	if near := keys.Nearest(name, known); near != "" && !strings.EqualFold(near, name) {
		return "The nearest is “" + near + "”."
	}
	return intro + and(known) + "."
}

// card is what the head of a card says.
func (b *builder) card(d *Design) *Card {
	c := &Card{Type: d.Type, Steps: len(b.recipe.Steps), Guidance: b.say(cardGuidance)}
	for i, shows := range b.shows {
		if shows {
			c.Numbers = append(c.Numbers, b.recipe.Steps[i].Number)
		}
	}
	if b.built {
		c.Guidance = b.say(cardGuidanceBuilt)
	}
	var heading []string
	if b.opt.Bench != "" {
		heading = append(heading, b.say("Bench %s", b.benchAsWritten()))
	}
	if b.opt.Surface != "" {
		heading = append(heading, capital(b.surfaceAsWritten()))
	}
	c.Heading = strings.Join(heading, ", ")
	if len(c.Numbers) < c.Steps {
		c.Of = b.say("%s of~%d", b.stepNumbers(c.Numbers), c.Steps)
	}
	if floor := b.house.Limits.TypeFloor; floor.Written() {
		// A house may ask for more than the design, never for less.
		const pointsPerMM = 72 / 25.4
		c.Type.Smallest = max(c.Type.Smallest, floor.In(quantity.Millimetre)*pointsPerMM)
		c.Type.Largest = max(c.Type.Largest, c.Type.Smallest)
	}
	return c
}

// benchAsWritten is the bench as the recipe spells it.
func (b *builder) benchAsWritten() string {
	for i := range b.recipe.Steps {
		if name := benchName(&b.recipe.Steps[i]); strings.EqualFold(name, strings.TrimSpace(b.opt.Bench)) {
			return name
		}
	}
	return b.opt.Bench
}

// surfaceAsWritten is the surface as the recipe spells it.
func (b *builder) surfaceAsWritten() string {
	for i := range b.recipe.Surfaces {
		if name := written(b.recipe.Surfaces[i].Name); strings.EqualFold(name, strings.TrimSpace(b.opt.Surface)) {
			return name
		}
	}
	return b.opt.Surface
}

// stepNumbers are steps in words: "step 4", "steps 2 to 5", "steps 2, 4 and 5".
func (t tongue) stepNumbers(numbers []int) string {
	if len(numbers) == 1 {
		return t.say("step %s", strconv.Itoa(numbers[0]))
	}
	var parts []string
	for i := 0; i < len(numbers); {
		k := i
		for k+1 < len(numbers) && numbers[k+1] == numbers[k]+1 {
			k++
		}
		switch {
		case k-i >= 2:
			parts = append(parts, t.say("%d to %d", numbers[i], numbers[k]))
		case k > i:
			parts = append(parts, strconv.Itoa(numbers[i]), strconv.Itoa(numbers[k]))
		default:
			parts = append(parts, strconv.Itoa(numbers[i]))
		}
		i = k + 1
	}
	return t.say("steps %s", t.and(parts))
}

// cardSteps are the steps of a card, in order.
func (b *builder) cardSteps(spec BlockSpec) []Block {
	var block CardSteps
	at := b.cautionsAtSteps(spec)
	for i := range b.recipe.Steps {
		if b.shows[i] {
			block.Steps = append(block.Steps, b.cardStep(i, at))
		}
	}
	if len(block.Steps) == 0 {
		return nil
	}
	if spec.Once {
		block.share(b.tongue)
	}
	return []Block{block}
}

// cardStep is step i as a card says it.
func (b *builder) cardStep(i int, at map[string]bool) CardStep {
	step := &b.recipe.Steps[i]
	var plan process.StepPlan
	if i < len(b.plan.Steps) {
		plan = b.plan.Steps[i]
	}
	c := CardStep{
		Number: step.Number, Title: step.Words, Bench: benchName(step), OnlyIf: b.onlyIf(step),
		Surface: b.surfaceWords(step, plan.Works),
	}
	if len(c.Title) == 0 {
		c.Title = plain(step.Title)
	}
	if b.opt.Bench != "" {
		c.Bench = ""
	}
	if named(prose.Words(c.Title), c.Surface) || b.opt.Surface != "" && strings.EqualFold(c.Surface, strings.TrimSpace(b.opt.Surface)) {
		c.Surface = ""
	}
	b.cardSettings(&c, i)
	if step.Rework != "" {
		c.Facts = append(c.Facts, Labelled{b.say("Rework:"), step.Rework})
	}
	if step.Bench.OK && step.Bench.Value.Because != "" {
		c.Facts = append(c.Facts, Labelled{b.say("At bench %s because:", benchName(step)), step.Bench.Value.Because})
	}
	seen := map[string]bool{}
	for _, f := range step.Facts {
		// A fact nobody knows, or one that is written twice, prints as it stands.
		if f.Name == "" || seen[f.Name] {
			c.Facts = append(c.Facts, Labelled{strings.TrimRight(f.NameSpan.Text(), ": ") + ":", f.Value})
		}
		seen[f.Name] = true
	}
	if words := written(step.CleanDown); words != "" {
		c.Facts = append(c.Facts, Labelled{b.say("Clean down:"), words})
	}
	b.cardChecks(&c, step)
	c.Warnings = b.cardWarnings(i, at)
	return c
}

// named says whether a title names every one of the surfaces.
func named(title, surfaces string) bool {
	if surfaces == "" {
		return true
	}
	words := strings.FieldsFunc(strings.ToLower(title), func(r rune) bool { return !letter(r) })
	for _, name := range strings.Split(strings.ReplaceAll(surfaces, nbsp, " "), ", ") {
		for _, word := range strings.Fields(strings.ToLower(name)) {
			if !slices.Contains(words, word) {
				return false
			}
		}
	}
	return true
}

func letter(r rune) bool {
	return r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r > 127
}

// cardSettings are the large words of a step and the facts in short words.
func (b *builder) cardSettings(c *CardStep, i int) {
	step := &b.recipe.Steps[i]
	var details []string
	if a := step.Abrasive; a.OK {
		c.Grade = b.speak.Number(a.Value.Grade.Label)
		code := ""
		if a.Value.Stock != nil {
			code = a.Value.Stock.Code
		}
		words := b.abrasive(a.Value)
		if c.Grade == "" {
			c.Instead, words = words, ""
		}
		amount := ""
		if ownAmount(step) {
			amount = b.shortAmount(step)
		}
		details = append(details, words, b.abrasiveDiameter(a.Value), b.sizeOf(a.Value), code, amount)
	} else {
		details = append(details, strings.TrimSpace(a.Span.Text()))
	}
	details = append(details, b.cardMedium(step.Medium))
	c.Machine = b.cardMachine(step)
	c.Speed, c.SpeedUnit, _ = b.speedWords(i, false)
	minutes := b.minutesSetting(step.Time)
	c.Minutes, c.MinutesUnit = minutes.Big, minutes.Unit
	if small := minutes.Small; small != "" {
		if last := small[len(small)-1]; last >= '0' && last <= '9' && minutes.Unit != "" {
			small += nbsp + minutes.Unit
		}
		details = append(details, small)
	}
	details = append(details, b.waterWords(step.Water), b.waterSource(step.Water), b.mixWords(step))
	details = append(details, b.filled("pressure %s", b.pressureWords(step.Pressure)), b.filled("depth %s", b.amountOf(step.Depth)))
	if !ownAmount(step) {
		details = append(details, b.amountWords(step.Amount))
	}
	masks := b.maskFacts(step)
	if c.Grade == "" && c.Instead == "" && len(masks) > 0 && !step.Abrasive.Written() {
		c.Instead = strings.ToLower(strings.TrimSuffix(masks[0].Label, ":")) + " " + masks[0].Words
		masks = masks[1:]
	}
	c.Facts = append(c.Facts, masks...)
	for _, d := range details {
		if d != "" {
			c.Details = append(c.Details, d)
		}
	}
}

// maskFacts are what a step covers and uncovers.
func (t tongue) maskFacts(step *recipe.Step) []Labelled {
	var facts []Labelled
	if names := useNames(step.Mask); len(names) > 0 {
		facts = append(facts, Labelled{t.say("Mask:"), t.and(names)})
	}
	if step.UnmaskAll {
		facts = append(facts, Labelled{t.say("Unmask:"), t.say("all")})
	}
	if names := useNames(step.Unmask); len(names) > 0 {
		facts = append(facts, Labelled{t.say("Unmask:"), t.and(names)})
	}
	return facts
}

// cardMedium is the medium as one name: "solid felt pad FELT-P".
func (t tongue) cardMedium(f recipe.Field[trade.Medium]) string {
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	kind, variant, _ := strings.Cut(t.medium(f.Value), ", ")
	code := ""
	if f.Value.Stock != nil {
		code = f.Value.Stock.Code
	}
	if t.speak.Tag() != "" {
		variant, kind = kind, variant
	}
	return joined(" ", variant, kind, t.mediumDiameter(f.Value), code)
}

// cardMachine is the machine's code, else its kind with its diameter.
func (b *builder) cardMachine(step *recipe.Step) string {
	f := step.Machine
	if !f.OK {
		return strings.TrimSpace(f.Span.Text())
	}
	m := f.Value
	name, drive, diameter := "", b.name(m.Drive), ""
	if m.Kind != nil {
		name = b.name(m.Kind.Name)
	}
	if m.Diameter.Written() {
		diameter = b.value(m.Diameter)
	}
	if m.Unit != nil {
		name = m.Unit.Code
		if m.Drive == m.Unit.Drive {
			drive = ""
		}
		if m.Diameter == m.Unit.Diameter {
			diameter = ""
		}
	}
	return joined(" ", name, diameter, drive)
}

func (b *builder) cardChecks(c *CardStep, step *recipe.Step) {
	asks := false
	for i := range step.Body {
		e := &step.Body[i]
		if e.Kind != recipe.Check {
			continue
		}
		check := CardCheck{Words: e.Check.Words, Stops: e.Check.Stops}
		if e.Check.Return.Written() && !sameStep(e.Check.Return, step.ReturnTo) {
			check.Back, check.BackTitle, check.BackWords = b.backTo(e.Check.Return)
		} else if !e.Check.Stops {
			asks = true
		}
		c.Checks = append(c.Checks, check)
	}
	switch {
	case step.ReturnTo.Written():
		c.Back, c.BackTitle, c.BackWords = b.backTo(step.ReturnTo)
	case asks:
		c.Back = step.Number
	}
}

// backTo is the step to go back to, with its title where it is not on the card.
func (b *builder) backTo(f recipe.Field[recipe.Return]) (step int, title, words string) {
	n := f.Value.Step
	if !f.OK || n < 1 || n > len(b.recipe.Steps) {
		if f.Value.Title != "" {
			return 0, "", f.Value.Title
		}
		return 0, "", strings.TrimSpace(f.Span.Text())
	}
	if !b.shows[n-1] {
		title = b.recipe.Steps[n-1].Title
	}
	return n, title, ""
}

// share takes out of the steps what all of them say alike.
func (c *CardSteps) share(t tongue) {
	if len(c.Steps) < 2 {
		return
	}
	all := func(get func(*CardStep) string) string {
		first := get(&c.Steps[0])
		for i := range c.Steps {
			if get(&c.Steps[i]) != first {
				return ""
			}
		}
		return first
	}
	if words := all(func(s *CardStep) string { return s.Surface }); words != "" {
		c.Shared = append(c.Shared, Labelled{t.say("surface"), words})
		for i := range c.Steps {
			c.Steps[i].Surface = ""
		}
	}
	if words := all(func(s *CardStep) string { return s.Bench }); words != "" {
		c.Shared = append(c.Shared, Labelled{t.say("bench"), words})
		for i := range c.Steps {
			c.Steps[i].Bench = ""
		}
	}
	if words := all(func(s *CardStep) string { return s.Machine }); words != "" {
		c.Shared = append(c.Shared, Labelled{"", words})
		for i := range c.Steps {
			c.Steps[i].Machine = ""
		}
	}
	for _, d := range slices.Clone(c.Steps[0].Details) {
		if d[0] >= '0' && d[0] <= '9' {
			// A figure, such as an amount, says nothing without its step.
			continue
		}
		if all(func(s *CardStep) string {
			if slices.Contains(s.Details, d) {
				return d
			}
			return ""
		}) != "" {
			c.Shared = append(c.Shared, Labelled{"", d})
			for i := range c.Steps {
				c.Steps[i].Details = slices.DeleteFunc(slices.Clone(c.Steps[i].Details), func(x string) bool { return x == d })
			}
		}
	}
	for _, f := range slices.Clone(c.Steps[0].Facts) {
		if all(func(s *CardStep) string {
			if slices.Contains(s.Facts, f) {
				return f.Words
			}
			return ""
		}) != "" {
			c.Shared = append(c.Shared, f)
			for i := range c.Steps {
				c.Steps[i].Facts = slices.DeleteFunc(slices.Clone(c.Steps[i].Facts), func(x Labelled) bool { return x == f })
			}
		}
	}
}
