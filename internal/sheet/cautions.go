package sheet

import (
	"slices"
	"strings"
	"unicode"

	"coldwright/internal/process"
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

// call says when a step calls for the short form of a topic.
type call struct {
	topic string
	// each is true for a thing done at one moment (a powder spooned, a wheel
	// changed): it is said every time. The others hold on from step to step
	// and are said again only on another machine, so that a sheet of eight
	// lap steps does not say the same eight times.
	each bool
	when func(step *recipe.Step, plan *process.StepPlan) bool
}

// calls are the topics whose step can be told from the facts. A topic that
// hangs on a kind of machine is called for wherever that machine is used, and
// needs no row here.
var calls = []call{
	{"dry dust", false, func(_ *recipe.Step, p *process.StepPlan) bool { return p.Dry && p.Class != trade.Blast }},
	{"dry powder", true, func(_ *recipe.Step, p *process.StepPlan) bool { return p.Powder }},
	{"unplug", true, func(_ *recipe.Step, p *process.StepPlan) bool { return p.Changed }},
	{"run-up", true, func(s *recipe.Step, p *process.StepPlan) bool { return p.Changed && wheel(s) }},
	{"wheel check", true, func(s *recipe.Step, p *process.StepPlan) bool { return p.Changed && wheel(s) }},
	{"rotating spindle", false, func(s *recipe.Step, _ *process.StepPlan) bool {
		k := s.Machine.Value.Kind
		return k != nil && k.Spindle
	}},
	{"keep wet", false, func(s *recipe.Step, p *process.StepPlan) bool {
		k := s.Machine.Value.Kind
		return s.Working() && p.Wet && k != nil && k.Powered && p.Class != trade.Blast
	}},
	{"blast cabinet", false, func(_ *recipe.Step, p *process.StepPlan) bool { return p.Class == trade.Blast }},
	{"held cloth", false, func(s *recipe.Step, _ *process.StepPlan) bool {
		k, a := s.Machine.Value.Kind, s.Abrasive.Value
		return k != nil && k.Spindle && a.Tool != nil && a.Bond == trade.Coated
	}},
}

// wheel says whether the step runs a mounted grinding wheel.
func wheel(s *recipe.Step) bool {
	a := s.Abrasive.Value
	return a.Tool != nil && a.Tool.Wheel
}

// Apart stands between the short forms of several cautions in one line.
const Apart = " · "

// shortForms are the topics a step calls for, gravest first, those of one
// signal word in one line. Only topics that must stand at their step are said
// there at all, and none that the author says at that step in the same words.
func (b *builder) shortForms(step *recipe.Step, plan *process.StepPlan) []Part {
	var parts []Part
	said := ownWarnings(step)
	machine := machineName(step.Machine.Value)
	for _, t := range b.topics {
		if !t.AtStep {
			continue
		}
		called, each := calledFor(t, step, plan)
		if !called || !each && b.stands(machine, t.Name) {
			continue
		}
		w := b.wording(t, b.facts)
		if w.Short == "" || slices.Contains(said, bareWords(w.Short)) || slices.Contains(said, bareWords(w.Full)) {
			continue
		}
		same := slices.IndexFunc(parts, func(p Part) bool { return p.Signal == w.Signal })
		if same < 0 {
			parts = append(parts, Part{Kind: Warn, Signal: w.Signal, Words: plain(w.Short)})
			continue
		}
		line := &parts[same]
		line.Words = append(append(line.Words, plain(Apart)...), plain(w.Short)...)
	}
	slices.SortStableFunc(parts, func(a, b Part) int { return int(b.Signal) - int(a.Signal) })
	return parts
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

func calledFor(t *trade.Topic, step *recipe.Step, plan *process.StepPlan) (called, each bool) {
	for _, c := range calls {
		if c.topic == t.Name {
			return c.when(step, plan), c.each
		}
	}
	kind := step.Machine.Value.Kind
	return kind != nil && slices.Contains(kind.Topics, t.Name), false
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
