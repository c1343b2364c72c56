package sheet

import (
	"slices"
	"strings"

	"coldwright/internal/process"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// moment is a step as a caution sees it.
type moment struct {
	*recipe.Step
	plan process.StepPlan
	// kind is the kind of machine it is done on; one without a name where none
	// is known.
	kind trade.MachineKind
	// inMould is true while nothing has taken glass off a piece that came with
	// its mould on.
	inMould bool
}

// moment is step i as a caution sees it.
func (b *builder) moment(i int) moment {
	m := moment{Step: &b.recipe.Steps[i]}
	if i < len(b.plan.Steps) {
		m.plan = b.plan.Steps[i]
	}
	if kind := m.Machine.Value.Kind; kind != nil {
		m.kind = *kind
	}
	m.inMould = b.recipe.Piece.Mould.Value == "still on" &&
		!slices.ContainsFunc(b.recipe.Steps[:i+1], func(s recipe.Step) bool { return s.Working() })
	return m
}

// says whether the title or the orders of the step have a word that begins so.
func (m moment) says(stems ...string) bool {
	text := strings.Builder{}
	text.WriteString(m.Title)
	for i := range m.Body {
		if e := &m.Body[i]; e.Kind == recipe.Order || e.Kind == recipe.Words {
			text.WriteString(" " + prose.BlockWords(e.Blocks))
		} else if e.Kind == recipe.Check {
			text.WriteString(" " + prose.Words(e.Check.Words))
		}
	}
	for _, word := range strings.FieldsFunc(strings.ToLower(text.String()), func(r rune) bool { return !letter(r) }) {
		if slices.ContainsFunc(stems, func(stem string) bool { return strings.HasPrefix(word, stem) }) {
			return true
		}
	}
	return false
}

// wheel says whether the step runs a mounted grinding wheel.
func (m moment) wheel() bool { return m.Abrasive.Value.Tool != nil && m.Abrasive.Value.Tool.Wheel }

// mounts says whether something goes on the machine: another than before, or
// the first wheel, which is inspected and run up whoever put it there.
func (m moment) mounts() bool { return m.plan.Changed || m.plan.First && m.wheel() }

// cuts says whether the step takes glass off with a tool that does not give.
func (m moment) cuts() bool {
	return m.Working() && !m.plan.Class.Compliant() && m.plan.Class != trade.Blast
}

// call says which steps a topic is for.
type call struct {
	topic string
	// each is true for a thing done at one moment (a powder spooned, a wheel
	// changed): it is said every time. The others hold on from step to step
	// and are said again only on another machine, so that a sheet of eight
	// lap steps does not say the same eight times.
	each bool
	// before is true for what is learnt before the first step, although some
	// steps call for it and others do not.
	before bool
	when   func(m moment) bool
}

// calls are the topics whose steps can be told from the facts. A topic that
// hangs on a kind of machine is called for wherever that machine is used, and
// needs no row here; any other without a row may be for every step.
var calls = []call{
	{topic: "dry dust", when: func(m moment) bool { return m.plan.Dry && m.plan.Class != trade.Blast }},
	{topic: "dry powder", each: true, when: func(m moment) bool { return m.plan.Powder }},
	{topic: "mould residue", each: true, when: func(m moment) bool {
		return m.inMould || m.says("mould", "mold", "investment", "plaster", "devest", "divest", "kiln wash", "fibre paper", "fiber paper")
	}},
	{topic: "unplug", each: true, when: moment.mounts},
	{topic: "run-up", each: true, when: func(m moment) bool { return m.mounts() && m.wheel() }},
	{topic: "wheel check", each: true, when: func(m moment) bool { return m.mounts() && m.wheel() }},
	{topic: "rotating spindle", when: func(m moment) bool { return m.kind.Spindle }},
	{topic: "keep wet", when: func(m moment) bool {
		return m.Working() && m.plan.Wet && m.kind.Powered && m.plan.Class != trade.Blast
	}},
	{topic: "blast cabinet", when: func(m moment) bool { return m.plan.Class == trade.Blast }},
	{topic: "held cloth", when: func(m moment) bool {
		a := m.Abrasive.Value
		return m.kind.Spindle && a.Tool != nil && a.Bond == trade.Coated
	}},
	{topic: "acid soak", each: true, when: func(m moment) bool {
		soak := m.Water.OK && m.Water.Value.Kind != nil && m.Water.Value.Kind.Name == "soak"
		return soak && !m.Working() || m.says("acid", "vinegar", "citric", "acetic", "descal")
	}},
	{topic: "saw and drill", each: true, when: func(m moment) bool {
		return m.Working() && (m.kind.Name == "wet saw" || strings.Contains(m.kind.Name, "drill") || m.says("saw", "drill"))
	}},
	{topic: "strain", before: true, when: func(m moment) bool { return m.cuts() && m.kind.Powered }},
	{topic: "ears", when: func(m moment) bool { return m.kind.Loud || slices.Contains(m.kind.Topics, "ears") }},
	{topic: "laser test", when: func(m moment) bool { return m.says("laser", "pointer") }},
	{topic: "power near water", when: func(m moment) bool { return m.kind.Powered && m.plan.Wet }},
	{topic: "eyes", when: func(m moment) bool { return m.Working() }},
	{topic: "slurry", when: func(m moment) bool { return m.plan.Wet && (m.Working() || m.CleanDown.Written()) }},
	{topic: "sweeping", when: func(m moment) bool { return m.plan.Dry || m.plan.Powder || m.plan.Class == trade.Blast }},
	{topic: "grit carry-over", when: func(m moment) bool { return m.Working() }},
	{topic: "running alone", when: func(m moment) bool { return m.Time.OK && m.Time.Value.Alone.Amount > 0 }},
	// An edge is fresh where glass was ground or sawn away, not on a felt.
	{topic: "sharp arris", when: moment.cuts},
}

// callOf is the row of a topic; nil where it has none.
func callOf(topic string) *call {
	for i := range calls {
		if calls[i].topic == topic {
			return &calls[i]
		}
	}
	return nil
}

// calledFor says whether step i calls for a topic, by its own facts or by its
// kind of machine, and whether it says so each time.
func (b *builder) calledFor(t *trade.Topic, i int) (called, each bool) {
	m := b.moment(i)
	if c := callOf(t.Name); c != nil {
		return c.when(m), c.each
	}
	return slices.Contains(m.kind.Topics, t.Name), false
}

// stepsCalling are the steps that call for a topic, by index. None means that
// it cannot be told, and that the topic is for all of them.
func (b *builder) stepsCalling(t *trade.Topic) []int {
	if callOf(t.Name) == nil && b.named(t) {
		// The author asks for it beyond the machines it hangs on.
		return nil
	}
	var steps []int
	for i := range b.recipe.Steps {
		if called, _ := b.calledFor(t, i); called {
			steps = append(steps, i)
		}
	}
	return steps
}

// named says whether the author names a topic.
func (b *builder) named(t *trade.Topic) bool {
	return slices.ContainsFunc(b.recipe.Cautions, func(c recipe.Topic) bool { return c.Topic == t })
}
