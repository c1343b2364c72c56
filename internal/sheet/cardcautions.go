package sheet

import (
	"slices"
	"strconv"

	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// cardTopics are the cautions a card has by name: those of the recipe, without
// the ones that no step of the card calls for.
func (b *builder) cardTopics() []*trade.Topic {
	var list []*trade.Topic
	for _, t := range b.topics {
		if b.wholeRecipe() || b.cardCalls(t) {
			list = append(list, t)
		}
	}
	return list
}

// wholeRecipe says whether the card has every step.
func (b *builder) wholeRecipe() bool { return !slices.Contains(b.shows, false) }

// cardCalls says whether any step of the card calls for a topic. One that
// nothing in a step can tell is always called for.
func (b *builder) cardCalls(t *trade.Topic) bool {
	known := false
	for i := range b.recipe.Steps {
		called, can := b.belongs(t, i)
		known = known || can
		if b.shows[i] && called {
			return true
		}
	}
	return !known
}

// belongs says whether a topic concerns a step, and whether that can be told.
func (b *builder) belongs(t *trade.Topic, i int) (called, known bool) {
	step := &b.recipe.Steps[i]
	var plan process.StepPlan
	if i < len(b.plan.Steps) {
		plan = b.plan.Steps[i]
	}
	if at, _ := calledFor(t, step, &plan); at {
		return true, true
	}
	for _, c := range calls {
		if c.topic == t.Name {
			return false, true
		}
	}
	for _, c := range concerns {
		if c.topic == t.Name {
			return c.when(step, &plan), true
		}
	}
	// A topic of a kind of machine concerns the steps at it.
	for k := range b.recipe.Steps {
		if kind := b.recipe.Steps[k].Machine.Value.Kind; kind != nil && slices.Contains(kind.Topics, t.Name) {
			return false, true
		}
	}
	return false, false
}

// concerns are the topics whose steps can be told, beside those of calls. They
// are read only for a card of some of the steps; a topic without a row stands on
// every card.
var concerns = []struct {
	topic string
	when  func(step *recipe.Step, plan *process.StepPlan) bool
}{
	{"power near water", func(s *recipe.Step, p *process.StepPlan) bool {
		k := s.Machine.Value.Kind
		return k != nil && k.Powered && p.Wet
	}},
	{"eyes", func(s *recipe.Step, _ *process.StepPlan) bool { return s.Working() }},
	{"slurry", func(s *recipe.Step, p *process.StepPlan) bool { return p.Wet && (s.Working() || s.CleanDown.Written()) }},
	{"sweeping", func(s *recipe.Step, p *process.StepPlan) bool { return p.Dry || p.Powder || p.Class == trade.Blast }},
	{"grit carry-over", func(s *recipe.Step, _ *process.StepPlan) bool { return s.Working() }},
	{"acid soak", func(s *recipe.Step, _ *process.StepPlan) bool {
		return !s.Working() && s.Water.OK && s.Water.Value.Kind != nil && s.Water.Value.Kind.Name == "soak"
	}},
	{"running alone", func(s *recipe.Step, _ *process.StepPlan) bool { return s.Time.OK && s.Time.Value.Alone.Amount > 0 }},
	// An edge is fresh where glass was ground or sawn away, not on a felt.
	{"sharp arris", func(s *recipe.Step, p *process.StepPlan) bool {
		return s.Working() && !p.Class.Compliant() && p.Class != trade.Blast
	}},
	{"saw and drill", func(s *recipe.Step, _ *process.StepPlan) bool {
		k := s.Machine.Value.Kind
		return k != nil && (k.Name == "wet saw" || k.Name == "drill")
	}},
}

// cautionsAtSteps are the topics a card says at the steps that call for them
// and not in its panels: those that must stand at their step and that so few
// steps call for that they take no more room there.
func (b *builder) cautionsAtSteps(spec BlockSpec) map[string]bool {
	at := map[string]bool{}
	if !spec.Short {
		return at
	}
	for _, t := range b.cardTopics() {
		if n := b.timesCalled(t); t.AtStep && n > 0 && n <= fewSteps && b.wording(t, b.facts).Short != "" {
			at[t.Name] = true
		}
	}
	return at
}

// timesCalled is how many steps of the card call for a topic.
func (b *builder) timesCalled(t *trade.Topic) int {
	n := 0
	for i := range b.recipe.Steps {
		if !b.shows[i] || i >= len(b.plan.Steps) {
			continue
		}
		if called, _ := calledFor(t, &b.recipe.Steps[i], &b.plan.Steps[i]); called {
			n++
		}
	}
	return n
}

// cautionPanels puts what is said before the first step into one panel a signal
// word, gravest first; within one word the recipe's own come first.
func (b *builder) cautionPanels(BlockSpec) []Block {
	at := map[string]bool{}
	for _, spec := range b.design.Blocks {
		if spec.Name == "card steps" {
			at = b.cautionsAtSteps(spec)
		}
	}
	var notes []CautionNote
	for _, n := range b.recipe.Notices {
		notes = append(notes, ownNote(n))
	}
	own := len(notes)
	for _, t := range b.recipe.Cautions {
		if name := written(recipe.Field[string]{Span: t.Span}); t.Topic == nil && name != "" {
			notes = append(notes, CautionNote{Signal: trade.Caution, Words: b.say("“%s”: no caution of this name is known.", name)})
		}
	}
	for _, t := range b.cardTopics() {
		w := b.wording(t, b.facts)
		if at[t.Name] {
			continue
		}
		if i := sameWords(notes[:own], w); i >= 0 {
			notes[i].Signal, notes[i].Sign = max(notes[i].Signal, w.Signal), signCode(t.Sign)
			continue
		}
		words := w.Short
		if words == "" {
			words = w.Full
		}
		notes = append(notes, CautionNote{Signal: w.Signal, Words: words, Sign: signCode(t.Sign)})
	}
	if len(notes) == 0 {
		return nil
	}
	slices.SortStableFunc(notes, func(a, b CautionNote) int { return int(b.Signal) - int(a.Signal) })
	var block CautionPanels
	for _, n := range notes {
		last := len(block.Panels) - 1
		if last < 0 || block.Panels[last].Signal != n.Signal {
			block.Panels = append(block.Panels, CautionPanel{Signal: n.Signal})
			last++
		}
		block.Panels[last].Notes = append(block.Panels[last].Notes, n)
	}
	return []Block{block}
}

// cardWarnings are the cautions of one step: the author's in full, the topics
// said at steps in short, those of one signal word in one.
func (b *builder) cardWarnings(step *recipe.Step, plan *process.StepPlan, at map[string]bool) []Part {
	var parts []Part
	said := ownWarnings(step)
	for i := range step.Body {
		if e := &step.Body[i]; e.Kind == recipe.Warn {
			p := proseParts(e.Notice.Blocks)
			p.Kind, p.Signal = Warn, e.Notice.Signal
			parts = append(parts, p)
		}
	}
	for _, t := range b.cardTopics() {
		if !at[t.Name] {
			continue
		}
		w := b.wording(t, b.facts)
		if called, _ := calledFor(t, step, plan); !called || slices.Contains(said, bareWords(w.Short)) || slices.Contains(said, bareWords(w.Full)) {
			continue
		}
		parts = append(parts, Part{Kind: Warn, Signal: w.Signal, Words: plain(w.Short)})
	}
	slices.SortStableFunc(parts, func(a, b Part) int { return int(b.Signal) - int(a.Signal) })
	merged := parts[:0:0]
	for _, p := range parts {
		if last := len(merged) - 1; last >= 0 && merged[last].Signal == p.Signal && len(merged[last].Blocks) == 0 {
			words := append(slices.Clone(merged[last].Words), plain(Apart)...)
			merged[last].Words, merged[last].Blocks = append(words, p.Words...), p.Blocks
			continue
		}
		merged = append(merged, p)
	}
	return merged
}

// manyCautions is the note that a card says too much of what to beware of.
func (b *builder) manyCautions(blocks []Block) {
	panels, lines := 0, 0
	for _, block := range blocks {
		switch block := block.(type) {
		case CautionPanels:
			panels = len(block.Panels)
		case CardSteps:
			for _, s := range block.Steps {
				lines += len(s.Warnings)
			}
		}
	}
	shown := 0
	for _, is := range b.shows {
		if is {
			shown++
		}
	}
	if panels+lines <= calmCautions || shown <= 1 {
		return
	}
	help := "Print a card for one bench or one surface."
	if b.opt.Bench != "" || b.opt.Surface != "" || b.opt.From != 0 || b.opt.To != 0 {
		help = "Print a card for fewer steps, with --steps."
	}
	b.found.Add(diag.Diagnostic{
		Rule: CardCautionsRule, Severity: diag.Note, Concern: diag.Card, Span: b.recipe.File.Span(0, 0),
		Message: "The card of “" + written(b.recipe.ID) + "” has " + count(panels, "panel", "panels") + " of cautions and " +
			count(lines, "caution at a step", "cautions at steps") + "; past " + strconv.Itoa(calmCautions) + " in all, the eye skips them. Nothing was left out.",
		Help: help,
	})
}
