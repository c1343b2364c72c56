package sheet

import (
	"slices"
	"strings"
	"unicode"

	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// cautions puts the gravest first; within one signal word the recipe's own
// come first, then those of its machines, then the standing ones of the house,
// because the eye that has read ten standing notes reads no eleventh.
func (b *builder) cautions(spec BlockSpec) []Block {
	notes := b.allCautions()
	if len(notes) == 0 {
		return nil
	}
	n := min(spec.Panels, len(notes))
	c := Cautions{Panels: notes[:n:n]}
	if n < len(notes) {
		c.Lines = notes[n:]
	}
	return []Block{c}
}

func (b *builder) allCautions() []CautionNote {
	var notes []CautionNote
	for _, n := range b.recipe.Notices {
		notes = append(notes, ownNote(n))
	}
	own := len(notes)
	for _, t := range b.recipe.Cautions {
		if name := strings.TrimSpace(t.Span.Text()); t.Topic == nil && name != "" {
			notes = append(notes, CautionNote{Signal: trade.Caution, Words: b.say("“%s”: no caution of this name is known.", name)})
		}
	}
	for _, t := range b.topics {
		w := b.wording(t, b.facts)
		if i := sameWords(notes[:own], w); i >= 0 {
			// The author's own words are the topic's: they stand once, under
			// its name and sign and the graver of the two signal words.
			notes[i].Signal = max(notes[i].Signal, w.Signal)
			notes[i].Title, notes[i].Sign = b.title(t), signCode(t.Sign)
			continue
		}
		notes = append(notes, CautionNote{Signal: w.Signal, Title: b.title(t), Words: w.Full, Sign: signCode(t.Sign)})
	}
	slices.SortStableFunc(notes, func(a, b CautionNote) int { return int(b.Signal) - int(a.Signal) })
	return notes
}

// sameWords is the index of the note that says what a topic says, or -1.
func sameWords(notes []CautionNote, w trade.Wording) int {
	full := bareWords(w.Full)
	return slices.IndexFunc(notes, func(n CautionNote) bool {
		return n.Title == "" && n.Words != "" && bareWords(n.Words) == full
	})
}

// bareWords are the letters and figures of a text, which is what two cautions
// are compared by.
func bareWords(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsNumber(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, text)
}

// ownNote is a caution in the author's words.
func ownNote(n recipe.Notice) CautionNote {
	note := CautionNote{Signal: n.Signal}
	if text, ok := justWords(n.Blocks); ok {
		note.Words = text
	} else {
		note.Rich = n.Blocks
	}
	return note
}

// justWords is the text of one plain paragraph; false where the author used
// more than words.
func justWords(blocks []prose.Block) (string, bool) {
	if len(blocks) != 1 || blocks[0].Kind != prose.Paragraph {
		return "", false
	}
	for _, in := range blocks[0].Inlines {
		if in.Kind != prose.Text && in.Kind != prose.Soft {
			return "", false
		}
	}
	return prose.Words(blocks[0].Inlines), true
}

// allTopics are the caution topics of the recipe, each once: its own, those of
// the machines it uses, those that stand on every recipe of the house unless a
// stricter one is among the others.
func (b *builder) allTopics() []*trade.Topic {
	var list []*trade.Topic
	seen := map[string]bool{}
	add := func(t *trade.Topic) {
		if t != nil && !seen[t.Name] {
			seen[t.Name] = true
			list = append(list, t)
		}
	}
	for _, t := range b.recipe.Cautions {
		add(t.Topic)
	}
	for i := range b.recipe.Steps {
		if kind := b.recipe.Steps[i].Machine.Value.Kind; kind != nil {
			for _, name := range kind.Topics {
				add(b.house.FindTopic(name))
			}
		}
	}
	for _, t := range b.house.Always {
		if !slices.ContainsFunc(list, func(own *trade.Topic) bool { return slices.Contains(own.InPlaceOf, t.Name) }) {
			add(t)
		}
	}
	return list
}

// signCode is the first ISO 7010 code of a table cell: a letter and three
// figures.
func signCode(cell string) string {
	for i := 0; i+4 <= len(cell); i++ {
		if letter := cell[i]; letter != 'W' && letter != 'M' && letter != 'P' && letter != 'E' && letter != 'F' {
			continue
		}
		if digits(cell[i+1:i+4]) && (i == 0 || cell[i-1] == ' ' || cell[i-1] == ';') {
			return cell[i : i+4]
		}
	}
	return ""
}

func digits(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

// Apart stands between the short forms of several cautions in one line.
const Apart = " · "

// shortForms are the topics step i calls for, gravest first, those of one
// signal word in one line. Only topics that must stand at their step are said
// there at all, and none that the author says at that step in the same words,
// nor those the step has said already.
func (b *builder) shortForms(i int, already []*trade.Topic) []Part {
	var parts []Part
	step := &b.recipe.Steps[i]
	said := ownWarnings(step)
	machine := machineName(step.Machine.Value)
	for _, t := range b.topics {
		if !t.Again {
			continue
		}
		called, each := b.calledFor(t, i)
		if !called || !each && b.stands(machine, t.Name) || slices.Contains(already, t) {
			continue
		}
		w := b.wording(t, b.facts)
		if w.Short == "" || slices.Contains(said, bareWords(w.Short)) || slices.Contains(said, bareWords(w.Full)) {
			continue
		}
		parts = append(parts, Part{Kind: Warn, Signal: w.Signal, Words: plain(w.Short)})
	}
	return oneEach(parts)
}

// oneEach are cautions of a step, gravest first, those of one signal word in
// one.
func oneEach(parts []Part) []Part {
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

// ownWarnings are the words of the cautions the author wrote at a step.
func ownWarnings(step *recipe.Step) []string {
	var said []string
	for i := range step.Body {
		if e := &step.Body[i]; e.Kind == recipe.Warn {
			said = append(said, bareWords(prose.BlockWords(e.Notice.Blocks)))
		}
	}
	return said
}

// stands says whether a topic was said already for the machine, and keeps in
// mind that it is now. Work that names no machine counts as one place.
func (b *builder) stands(machine, topic string) bool {
	said := b.standing[machine]
	if said == nil {
		said = map[string]bool{}
		b.standing[machine] = said
	}
	if said[topic] {
		return true
	}
	said[topic] = true
	return false
}

func machineName(m trade.MachineUse) string {
	switch {
	case m.Unit != nil:
		return m.Unit.Code
	case m.Kind != nil:
		return m.Kind.Name
	}
	return ""
}
