package rules

import (
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
)

// several are the surfaces one step brings to one fault.
type several []*recipe.Surface

// the is the surfaces for a sentence: "the base", "the edges and the bevel".
func (s several) the() string {
	names := make([]string, len(s))
	for i, one := range s {
		names[i] = the(one)
	}
	return listed(names, "and")
}

// verb is the form of a verb that goes with them.
func (s several) verb(one, more string) string {
	if len(s) > 1 || len(s) == 1 && many(s[0].Name.Value) {
		return more
	}
	return one
}

// them is the word that stands for them further on.
func (s several) them() string { return s.verb("it", "them") }

// names is them as a Surface fact names them.
func (s several) names() string {
	text := ""
	for i, one := range s {
		if i > 0 {
			text += ", "
		}
		text += one.Name.Value
	}
	return text
}

// first is the name of the first of them, for the finding.
func (s several) first() string { return s[0].Name.Value }

// together gathers what is alike but for the surface, so that one step on two
// surfaces is spoken of once.
type together struct {
	order []fault
	all   map[fault]*alike
}

// fault tells one fault from another: by the step, the one before it, and what
// is wrong.
type fault struct {
	step, before int
	kind         string
}

type alike struct {
	surfaces several
	w        *process.Work
	before   *process.Work
}

// add says that the work w brings the fault of the key to a surface, after
// another work where there is one.
func (t *together) add(key fault, s *recipe.Surface, before, w *process.Work) {
	if t.all == nil {
		t.all = map[fault]*alike{}
	}
	have := t.all[key]
	if have == nil {
		have = &alike{w: w, before: before}
		t.all[key] = have
		t.order = append(t.order, key)
	}
	have.surfaces = append(have.surfaces, s)
}

// has says whether a work on a surface is among the faults.
func (t *together) has(w *process.Work, s *recipe.Surface) bool {
	for _, key := range t.order {
		if key.step == w.Step.Number && slices.Contains(t.all[key].surfaces, s) {
			return true
		}
	}
	return false
}

// tell reports every fault once. The finding stands at the step's abrasive
// where say names no place.
func (t *together) tell(found func(check.Finding), say func(key fault, s several, before, w *process.Work) check.Finding) {
	for _, key := range t.order {
		one := t.all[key]
		f := say(key, one.surfaces, one.before, one.w)
		if !f.Span.Known() {
			f.Span = abrasiveSpan(one.w.Step)
		}
		f.Step, f.Surface = one.w.Step.Number, one.surfaces.first()
		found(f)
	}
}

// faultOf is the fault of a work after another; before may be nil.
func faultOf(before, w *process.Work, kind string) fault {
	key := fault{step: w.Step.Number, kind: kind}
	if before != nil {
		key.before = before.Step.Number
	}
	return key
}
