package sheet

import (
	"slices"
	"strconv"

	"coldwright/internal/diag"
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

// cardCalls says whether any step of the card calls for a topic. One that no
// step of the recipe can be told to call for is on every card.
func (b *builder) cardCalls(t *trade.Topic) bool {
	steps := b.stepsCalling(t)
	return len(steps) == 0 || slices.ContainsFunc(steps, func(i int) bool { return b.shows[i] })
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
		if n := b.timesCalled(t); t.Again && n > 0 && n <= fewSteps && b.wording(t, b.facts).Short != "" {
			at[t.Name] = true
		}
	}
	return at
}

// timesCalled is how many steps of the card call for a topic.
func (b *builder) timesCalled(t *trade.Topic) int {
	n := 0
	for i := range b.recipe.Steps {
		if called, _ := b.calledFor(t, i); called && b.shows[i] {
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

// cardWarnings are the cautions of step i: the author's in full, the topics
// said at steps in short, those of one signal word in one.
func (b *builder) cardWarnings(i int, at map[string]bool) []Part {
	var parts []Part
	step := &b.recipe.Steps[i]
	said := ownWarnings(step)
	for k := range step.Body {
		if e := &step.Body[k]; e.Kind == recipe.Warn {
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
		if called, _ := b.calledFor(t, i); !called || slices.Contains(said, bareWords(w.Short)) || slices.Contains(said, bareWords(w.Full)) {
			continue
		}
		parts = append(parts, Part{Kind: Warn, Signal: w.Signal, Words: plain(w.Short)})
	}
	return oneEach(parts)
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
