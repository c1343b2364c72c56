package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/source"
)

var leadGlass = need{
	topic: "lead glass",
	rule: check.Rule{
		ID: "lead-glass-work", Severity: diag.Error, Concern: diag.People,
		Title:  "Work on lead glass carries a note: wet only, no food, drink or smoking, wash hands.",
		Why:    "Lead comes in through dust and through hands. Unknown glass counts as lead, and so do enamel, paint, lustre and gilding.",
		Source: "29 CFR 1910.1025; Control of Lead at Work Regulations 2002; Directive (EU) 2024/869; seen second-hand",
		Quiet:  "the glass is a known one without lead and bears no such skin",
		Bad:    "glass: unknown   (and nothing on lead)",
		Good:   "cautions: [lead glass, lead slurry]",
	},
	calls: leadCalls,
}

// leadCalls points at what makes the piece lead work: once, for the step that
// touches it first.
func leadCalls(f *safety) []call {
	c := call{step: -1, because: "", span: f.r.Glass.Span}
	switch {
	case f.r.GlassUnknown:
		c.because = "The glass is unknown, and unknown glass is handled as lead glass"
	case f.lead:
		c.because = capital(f.r.Glass.Value.Name) + " is handled as lead glass"
	case f.leadCoat:
		c.span = f.r.Coating.Kind.Span
		c.because = "The " + f.r.Coating.Kind.Value + " on the piece may hold lead"
	case f.putty:
		// What it is used on is no lead glass: the step that uses it is at fault.
		c.span = f.puttyAt()[0]
		c.because = "Putty powder used to be made with lead, and is handled as lead until its data sheet says otherwise"
		c.step = f.stepAt(c.span) - 1
		return []call{c}
	default:
		return nil
	}
	for i := range f.steps {
		if f.steps[i].s.Working() || f.steps[i].soak {
			c.step = i
			return []call{c}
		}
	}
	return nil
}

var leadSlurry = need{
	topic: "lead slurry",
	rule: check.Rule{
		ID: "lead-slurry-apart", Severity: diag.Error, Concern: diag.People,
		Title:  "The slurry of lead glass carries a note: its own labelled bucket, no drain, hazardous waste.",
		Why:    "Lead slurry in the common bucket makes the whole bucket lead waste, and in the drain it is somebody else's water.",
		Source: "40 CFR 261.24 (5 mg/l lead in the leachate); European List of Waste 10 11 13*; seen second-hand",
		Quiet:  "the glass is a known one without lead, or no step is wet",
		Bad:    "glass: lead crystal   (wet work, and nothing on its slurry)",
		Good:   "cautions: [lead glass, lead slurry]",
	},
	calls: func(f *safety) []call {
		if len(leadCalls(f)) == 0 {
			return nil
		}
		return wetWork(f, func(i int, s *stepFacts) string {
			switch {
			case !f.leadSlurryAt(i):
				return ""
			case s.soak:
				return "The bath and its rinse draw lead out of the glass"
			case !f.lead && !f.leadCoat:
				return "The slurry of putty powder is handled as lead slurry here"
			}
			return "Wet work on glass that is handled as lead makes lead slurry here"
		})
	},
}

// leadSlurryAt says whether what step i makes is lead slurry: on lead glass all
// of it, else what has putty powder in it.
func (f *safety) leadSlurryAt(i int) bool {
	if f.lead || f.leadCoat {
		return true
	}
	for _, span := range f.puttyAt() {
		if step := f.stepAt(span); step == 0 || step == i+1 {
			return true
		}
	}
	return false
}

// wetWork are the steps that make slurry, and the soaks, for which because gives
// a reason.
func wetWork(f *safety, because func(i int, s *stepFacts) string) []call {
	return each(func(_ *safety, i int, s *stepFacts) (call, bool) {
		if !(s.p.Wet && s.works() || s.soak) {
			return call{}, false
		}
		why := because(i, s)
		return call{span: s.at(s.s.Water.Span), because: why}, why != ""
	})(f)
}

var slurryToDrain = need{
	topic: "slurry",
	rule: check.Rule{
		ID: "slurry-never-to-drain", Severity: diag.Error, Concern: diag.People,
		Title:  "Wet work carries a note on its slurry: not down the drain, let it settle, mud by local rules.",
		Why:    "Slurry sets in a trap like mortar, and what may go to a sewer is for the local authority to say.",
		Source: "40 CFR 403.5(b)(3); European List of Waste 10 11 14; seen second-hand",
		Quiet:  "no step is wet, or the slurry is lead slurry, which has its own note",
		Bad:    "Water: flood   (and nothing on slurry)",
		Good:   "always: [slurry]   (in the shop file)",
	},
	calls: func(f *safety) []call {
		lead := len(leadCalls(f)) > 0
		return each(func(f *safety, i int, s *stepFacts) (call, bool) {
			if !(s.p.Wet && s.works()) || lead && f.leadSlurryAt(i) {
				return call{}, false
			}
			return call{span: s.at(s.s.Water.Span), because: "Wet work makes slurry here"}, true
		})(f)
	},
}

var leadAndAcid = need{
	topic: "lead and acid",
	rule: check.Rule{
		ID: "lead-and-acid", Severity: diag.Error, Concern: diag.People,
		Title:  "A soak of lead glass in a weak acid carries a note: bath and rinse are lead waste.",
		Why:    "Even vinegar draws lead out of lead glass.",
		Source: "common practice",
		Quiet:  "the glass is a known one without lead, or nothing is soaked",
		Bad:    "1. Soak the bowl in vinegar.   (glass: lead crystal)",
		Good:   "cautions: [lead glass, lead slurry, acid soak, lead and acid]",
	},
	calls: each(func(f *safety, _ int, s *stepFacts) (call, bool) {
		if !(s.soak && (f.lead || f.leadCoat)) {
			return call{}, false
		}
		return call{span: soakSpan(f, s), because: "Glass that is handled as lead is soaked here"}, true
	}),
}

var acidSoak = need{
	topic: "acid soak",
	rule: check.Rule{
		ID: "acid-soak", Severity: diag.Error, Concern: diag.People,
		Title:  "A soak in vinegar, acetic or citric acid or a cleaner carries a note: eyes, gloves, never with bleach.",
		Why:    "Weak acid still hurts eyes and skin, and with bleach it gives chlorine.",
		Source: "common practice",
		Quiet:  "nothing is soaked, or the sentence only forbids it",
		Bad:    "1. Soak the bowl in vinegar overnight.   (and nothing on it)",
		Good:   "cautions: [acid soak]",
	},
	calls: each(func(f *safety, _ int, s *stepFacts) (call, bool) {
		if !(s.soak) {
			return call{}, false
		}
		return call{span: soakSpan(f, s), because: "The piece meets a weak acid or a cleaner here"}, true
	}),
}

func soakSpan(f *safety, s *stepFacts) source.Span {
	if !s.soak {
		return source.Span{}
	}
	if span, ok := f.hitIn(s.s, signVinegar, signAcetic, signCitric, signRemover, signDescale, signBrighten, signCleaner, signDissolver); ok {
		return span
	}
	return s.s.Span
}

var leadAndYou = need{
	topic: "lead and you",
	rule: check.Rule{
		ID: "lead-and-you", Severity: diag.Warning, Concern: diag.People,
		Title:  "Work on lead glass says who must ask before they start.",
		Why:    "Lead harms the unborn and the young most, and they may not know that the bowl on the bench is lead glass.",
		Source: "Control of Lead at Work Regulations 2002, seen second-hand",
		Quiet:  "the glass is a known one without lead",
		Bad:    "glass: lead crystal   (and nothing on who must ask)",
		Good:   "cautions: [lead glass, lead slurry, lead and you]",
	},
	calls: func(f *safety) []call {
		if !f.lead {
			return nil
		}
		return leadCalls(f)
	},
}
