package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

var dryDust = need{
	topic: "dry dust",
	rule: check.Rule{
		ID: "dry-abrasive-step", Severity: diag.Error, Concern: diag.People,
		Title:  "A dry abrasive step carries a note on dust: extraction, mask, wiping up wet.",
		Why:    "Glass and abrasive dust harm the lungs, and dust that is wiped up dry is in the air again.",
		Source: "29 CFR 1910.1000 Table Z-1 (particulates not otherwise regulated), seen second-hand",
		Quiet:  "water is on the work, the step is a blast, or the glass holds lead, which is never worked dry at all",
		Bad:    "Water: dry   (and nothing on dust)",
		Good:   "cautions: [dry dust]",
	},
	calls: each(func(f *safety, _ int, s *stepFacts) (call, bool) {
		if !(s.p.Dry && s.works() && !f.lead) {
			return call{}, false
		}
		return call{span: s.at(s.s.Water.Span), because: "This step works dry"}, true
	}),
}

var dryPowder = need{
	topic: "dry powder",
	rule: check.Rule{
		ID: "loose-powder-open", Severity: diag.Error, Concern: diag.People,
		Title:  "A powder that is handled dry carries a note: wet it first, wear a mask.",
		Why:    "Pumice, cerium and carbide are never finer in the air than when they are spooned from the pot.",
		Source: "29 CFR 1910.1000 Table Z-1 and 1910.134, seen second-hand; common practice",
		Quiet:  "the stock line says `ready mixed`, or the grain is bonded",
		Bad:    "Abrasive: cerium oxide 1.5 µm   (and nothing on powder)",
		Good:   "cautions: [dry powder]",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !(s.p.Powder) {
			return call{}, false
		}
		return call{span: s.at(s.s.Abrasive.Span), because: capital(nameOf(s.s.Abrasive.Value)) + " is a loose powder and comes to this step dry"}, true
	}),
}

var mouldResidue = need{
	topic: "mould residue",
	rule: check.Rule{
		ID: "mould-residue-on-casting", Severity: diag.Error, Concern: diag.People,
		Title:  "A casting that may still hold mould material carries a note on its silica.",
		Why:    "Plaster-silica mould, kiln wash and fibre paper hold crystalline silica. It scars lungs, and it comes off as dust.",
		Source: "29 CFR 1910.1053 (respirable crystalline silica), seen second-hand",
		Quiet:  "the recipe says `mould: removed`; fused and slumped work only where kiln wash or fibre paper is named",
		Bad:    "piece: {form: cast, mould: still on}   (and nothing on mould residue)",
		Good:   "piece: {form: cast, mould: removed}",
	},
	calls: func(f *safety) []call {
		p := f.r.Piece
		at := func(spans ...source.Span) []call {
			for _, s := range append(spans, p.Form.Span, p.Span) {
				if s.Known() {
					return []call{{step: firstStep(f), span: s, because: mouldWords(p.Form.Value, p.Mould.Value)}}
				}
			}
			return nil
		}
		if p.Mould.OK && p.Mould.Value == "removed" {
			return nil
		}
		if p.Mould.OK {
			return at(p.Mould.Span)
		}
		switch p.Form.Value {
		case "cast":
			return at()
		case "fused", "slumped":
			if span, ok := f.hitAnywhere(signKilnWash, signFibrePaper); ok {
				return at(span)
			}
		}
		if span, ok := f.hitAnywhere(signDivest); ok {
			return at(span)
		}
		return nil
	},
}

func mouldWords(form, mould string) string {
	switch {
	case mould != "":
		return "The mould is still on the piece"
	case form == "cast":
		return "The piece is cast, and nothing says that the mould is all off"
	}
	return "The piece may still bear what it was fired in or on"
}

// firstStep is where a note for the whole piece may stand at the latest; -1
// where there are no steps.
func firstStep(f *safety) int {
	if len(f.steps) == 0 {
		return -1
	}
	return 0
}

var sweeping = need{
	topic: "sweeping",
	rule: check.Rule{
		ID: "no-dry-sweep", Severity: diag.Error, Concern: diag.People,
		Title:  "Where there is dry dust the recipe says that it is wiped up wet, never swept or blown.",
		Why:    "A broom and an air line put the dust back to where it is breathed.",
		Source: "29 CFR 1910.1053(h) and 1910.242(b), seen second-hand",
		Quiet:  "no step is dry, none handles dry powder and none is a blast",
		Bad:    "Water: dry   (and nothing on sweeping)",
		Good:   "always: [sweeping]   (in the shop file)",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		switch {
		case s.blast:
			return call{span: s.at(), because: "The blast of this step leaves dust behind"}, true
		case s.p.Dry && s.works():
			return call{span: s.at(s.s.Water.Span), because: "This step works dry and leaves dust"}, true
		case s.p.Powder:
			return call{span: s.at(s.s.Abrasive.Span), because: capital(nameOf(s.s.Abrasive.Value)) + " is handled dry here"}, true
		}
		return call{}, false
	}),
}

var blastCabinet = need{
	topic: "blast cabinet",
	rule: check.Rule{
		ID: "blast-cabinet", Severity: diag.Error, Concern: diag.People,
		Title:  "A blast carries a note: door shut, extraction on, gloves whole, wait until the air is clear.",
		Why:    "What hangs in the cabinet is the finest dust of the shop, and it comes out when the door opens.",
		Source: "WAC 296-818-30010; 29 CFR 1910.94(a); seen second-hand",
		Quiet:  "no step is a blast",
		Bad:    "Machine: blast cabinet   (and nothing on it)",
		Good:   "cautions: [blast cabinet]",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !(s.blast) {
			return call{}, false
		}
		return call{span: s.at(), because: "This step blasts"}, true
	}),
}

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
	case f.putty:
		c.span, _ = f.hitAnywhere(signPutty)
		c.because = "Putty powder used to be made with lead, and is handled as lead until its data sheet says otherwise"
	case f.leadCoat:
		c.span = f.r.Coating.Kind.Span
		c.because = "The " + f.r.Coating.Kind.Value + " on the piece may hold lead"
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
		return wetWork(f, func(s *stepFacts) string {
			if s.soak {
				return "The bath and its rinse draw lead out of the glass"
			}
			return "Wet work on glass that is handled as lead makes lead slurry here"
		})
	},
}

// wetWork are the steps that make slurry, and the soaks.
func wetWork(f *safety, because func(s *stepFacts) string) []call {
	return each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !(s.p.Wet && s.works() || s.soak) {
			return call{}, false
		}
		return call{span: s.at(s.s.Water.Span), because: because(s)}, true
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
		if len(leadCalls(f)) > 0 {
			return nil
		}
		return each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
			if !(s.p.Wet && s.works()) {
				return call{}, false
			}
			return call{span: s.at(s.s.Water.Span), because: "Wet work makes slurry here"}, true
		})(f)
	},
}

var leadAndAcid = need{
	topic: "lead and acid",
	rule: check.Rule{
		ID: "lead-and-acid", Severity: diag.Warning, Concern: diag.People,
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
	if span, ok := f.hitIn(s.s, signVinegar, signAcetic, signCitric, signRemover, signDescale, signCleaner, signDissolver); ok {
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

// bonded says whether the step works with a bonded grinding wheel on a machine
// that a wheel is mounted on.
func (s *stepFacts) bondedWheel() bool {
	a := s.s.Abrasive.Value
	return s.wheel && a.Bond != trade.Loose && a.Bond != trade.Coated && s.is(turningLathe, uprightPolisher, benchGrinder)
}
