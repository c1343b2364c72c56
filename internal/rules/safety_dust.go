package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/source"
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
		return call{span: s.at(s.s.Abrasive.Span), same: "powder", because: capital(nameOf(&s.s.Abrasive.Value)) + " is a loose powder and comes to this step dry"}, true
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
		if p.Mould.Written() && (!p.Mould.OK || p.Mould.Value == "removed") {
			// A state that cannot be read is said where it stands.
			return nil
		}
		if p.Mould.OK {
			return at(p.Mould.Span)
		}
		switch p.Form.Value {
		case "cast":
			calls := at()
			for i := range calls {
				calls[i].answer = "write `mould: removed` under `piece:`, if it has come off and is washed away"
			}
			return calls
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
			return call{span: s.at(s.s.Abrasive.Span), same: "powder", because: capital(nameOf(&s.s.Abrasive.Value)) + " is handled dry here"}, true
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
