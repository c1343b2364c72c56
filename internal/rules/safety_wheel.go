package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

var wheelCheck = need{
	topic: "wheel check",
	rule: check.Rule{
		ID: "wheel-sound-and-speed", Severity: diag.Error, Concern: diag.People,
		Title:  "A bonded grinding wheel carries a note: look for cracks, ring a vitrified one, compare the marked speed.",
		Why:    "A cracked wheel or one run above its mark comes apart, and the pieces go as fast as its rim.",
		Source: "29 CFR 1910.215(d)(1), seen second-hand; ring test of vitrified wheels over 100 mm from state codes, seen second-hand",
		Quiet:  "no bonded wheel runs on a lathe, upright polisher or bench grinder; it does not know a wheel from its looks",
		Bad:    "Abrasive: vitrified silicon carbide wheel F80   (no caution)",
		Good:   "cautions: [wheel check]",
	},
	also: unmarkedWheel,
	facts: func(f *safety) map[string]float64 {
		facts := map[string]float64{}
		for i := range f.steps {
			if s := &f.steps[i]; s.bondedWheel() && s.s.Abrasive.Value.Bond == trade.Vitrified {
				facts["wheel"] = max(facts["wheel"], s.p.Diameter)
			}
		}
		return facts
	},
	calls: func(f *safety) []call {
		return each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
			switch {
			case s.bondedWheel():
				return call{span: s.at(s.s.Abrasive.Span), same: "bonded", because: "A bonded wheel runs" + s.onMachine() + " here"}, true
			case titleTells(s.s.Title, mounting, wheels) && !s.s.Working() && f.bondedComes():
				return call{span: s.s.Span, because: "A wheel is changed here"}, true
			}
			return call{}, false
		})(f)
	},
}

// unmarkedWheel warns of a bonded wheel whose speed is written and whose marked
// maximum is not: nobody can hold the one against the other.
func unmarkedWheel(f *safety, found func(check.Finding)) {
	for i := range f.steps {
		s := &f.steps[i]
		a := &s.s.Abrasive.Value
		if !s.bondedWheel() || !s.s.Machine.Value.Speed.Written() || a.Stock != nil && a.Stock.Maximum.Written() {
			continue
		}
		found(check.Finding{
			Span: s.at(s.s.Abrasive.Span), Step: s.s.Number, Severity: diag.Warning,
			Message: "The wheel of " + stepNo(s.s) + " has a speed written and no marked maximum to hold it against.",
			Help:    "Put the wheel into the stock of the shop file with `maximum:` as it is marked on the wheel, and cite its code.",
		})
	}
}

// bondedComes says whether a bonded wheel runs in the recipe at all.
func (f *safety) bondedComes() bool {
	for i := range f.steps {
		if f.steps[i].bondedWheel() {
			return true
		}
	}
	return false
}

var restAndGuard = need{
	topic: "rest and guard",
	rule: check.Rule{
		ID: "rest-and-guard-gaps", Severity: diag.Error, Concern: diag.People,
		Title:  "Off-hand grinding at a bench grinder carries a note: rest within 3 mm, set with the wheel stopped, guard on.",
		Why:    "Glass that slips between wheel and rest jams, and the wheel breaks.",
		Source: "29 CFR 1910.215(a)(4) and (b)(9), seen second-hand",
		Quiet:  "no wheel runs on a bench grinder",
		Bad:    "Machine: bench grinder at 1450 rpm   (and nothing on the rest)",
		Good:   "cautions: [rest and guard]",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !(s.is(benchGrinder) && s.bondedWheel()) {
			return call{}, false
		}
		return call{span: s.at(), because: "The piece is held to a wheel of the bench grinder here"}, true
	}),
}

var runUp = need{
	topic: "run-up",
	rule: check.Rule{
		ID: "new-wheel-run-up", Severity: diag.Error, Concern: diag.People,
		Title:  "A bonded wheel that was just mounted carries a note: one minute at working speed, guard on, stand aside.",
		Why:    "A wheel that was hurt in the store or in mounting comes apart in its first minute.",
		Source: "state codes that follow 29 CFR 1910.215, seen second-hand",
		Quiet:  "the same wheel stays on, or what is changed is no bonded wheel",
		Bad:    "## Change the wheel   (and nothing on running it up)",
		Good:   "cautions: [unplug, wheel check, run-up]",
	},
	calls: each(func(f *safety, _ int, s *stepFacts) (call, bool) {
		switch {
		case s.bondedWheel() && s.p.Changed:
			return call{span: s.at(s.s.Abrasive.Span), same: "mounted", because: "Another bonded wheel goes on" + strings.TrimPrefix(s.onMachine(), " on") + " here"}, true
		case titleTells(s.s.Title, mounting, wheels) && (s.bondedWheel() || !s.s.Working() && f.bondedComes()):
			return call{span: s.s.Span, because: "A wheel is mounted here"}, true
		}
		return call{}, false
	}),
}

var spinDry = need{
	topic: "spin dry",
	rule: check.Rule{
		ID: "water-off-spin-dry", Severity: diag.Error, Concern: diag.People,
		Title:  "A porous wheel that runs wet carries a note: work off, water off, spin dry, then stop; never left in water.",
		Why:    "A wheel that has drunk water on one side is out of balance and can burst at the next start.",
		Source: "ANSI B7.1 clause 9.12, seen second-hand",
		Quiet:  "the wheel is not vitrified, or it runs dry",
		Bad:    "Abrasive: vitrified silicon carbide wheel F80   (Water: drip)",
		Good:   "cautions: [spin dry]",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !(s.wheel && s.powered && s.p.Wet && s.s.Abrasive.Value.Bond == trade.Vitrified) {
			return call{}, false
		}
		return call{span: s.at(s.s.Abrasive.Span), because: "A porous wheel runs wet here"}, true
	}),
}

// bondedWheel says whether the step works with a bonded grinding wheel on a machine
// that a wheel is mounted on, or on one that it does not name.
func (s *stepFacts) bondedWheel() bool {
	a := &s.s.Abrasive.Value
	return s.wheel && a.Bond != trade.Loose && a.Bond != trade.Coated && (s.is(turningLathe, uprightPolisher, benchGrinder) || s.kind == nil && s.powered)
}

// onMachine is " on the lathe"; nothing where the step names no machine.
func (s *stepFacts) onMachine() string {
	if s.kind == nil {
		return ""
	}
	return " on the " + machineName(s.s.Machine.Value)
}
