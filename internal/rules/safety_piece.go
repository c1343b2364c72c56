package rules

import (
	"math"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

var sharpArris = need{
	topic: "sharp arris",
	rule: check.Rule{
		ID: "sharp-arris", Severity: diag.Error, Concern: diag.People,
		Title:  "Sawing or flat grinding before any arris is seamed carries a note on sharp edges.",
		Why:    "An edge fresh from the saw or the lap is a knife, and wet glass slips in the hand.",
		Source: "common practice; ASTM E2875 for hand protection, seen second-hand",
		Quiet:  "an arris is seamed first, or the step only polishes",
		Bad:    "## Flatten the base   (before the rim is seamed, no caution)",
		Good:   "cautions: [sharp arris]",
	},
	calls: func(f *safety) []call {
		for i := range f.steps {
			s := &f.steps[i]
			if s.seams() {
				return nil
			}
			if !s.grinds {
				continue
			}
			if s.is(wetSaw) || s.cuts() {
				return []call{{step: i, span: s.at(), because: "A cut leaves sharp edges here, and no arris was seamed before"}}
			}
			for _, surface := range s.p.Works {
				if edged[shapeOf(surface)] {
					return []call{{step: i, span: s.at(), because: "Grinding " + the(surface) + " leaves a sharp edge here, and no arris was seamed before"}}
				}
			}
		}
		return nil
	},
}

// edged are shapes that end in an edge where they are ground.
var edged = wordSet("flat ring bevel facets edge groove")

// cuts says whether the step saws or drills.
func (s *stepFacts) cuts() bool {
	t := s.s.Abrasive.Value.Tool
	return t != nil && t.Cutting
}

// drills says whether the step makes a hole with a drill that is held in the hand.
func (s *stepFacts) drills() bool {
	if !s.is(handDrill) {
		return false
	}
	for _, surface := range s.p.Works {
		if shapeOf(surface) == "hole" {
			return true
		}
	}
	return false
}

// seams says whether the step works an arris.
func (s *stepFacts) seams() bool {
	for _, surface := range s.p.Works {
		if seam(surface) {
			return true
		}
	}
	return false
}

// Masses in kg from which one piece is heavy: a studio default, the HSE's
// figure for women at waist height, and the NIOSH load constant; seen
// second-hand.
const (
	heavyOne   = 10
	heavyTwo   = 16
	heavyHoist = 23
)

var heavyPiece = need{
	topic: "heavy piece",
	rule: check.Rule{
		ID: "heavy-piece", Severity: diag.Error, Concern: diag.People,
		Title:  "A piece over 10 kg carries a note on its weight: over 16 kg two people, over 23 kg a hoist or trolley.",
		Why:    "Wet glass held out over a wheel is heavier than it weighs.",
		Source: "NIOSH lifting equation, load constant 23 kg; HSE manual handling figures 16 and 25 kg; seen second-hand; 10 kg is common practice",
		Quiet:  "one piece is 10 kg or less, or neither its mass nor its size is known, or it is hollow and no mass is written; up to 16 kg it only warns",
		Bad:    "piece: {form: cast, size: 300 x 300 x 100 mm}   (about 22.5 kg)",
		Good:   "cautions: [heavy piece]",
	},
	facts: func(f *safety) map[string]float64 { return map[string]float64{"mass": f.c.Plan.Mass} },
	calls: func(f *safety) []call {
		mass := f.c.Plan.Mass
		if mass <= heavyOne {
			return nil
		}
		p := f.r.Piece
		c := call{step: firstStep(f), because: "One piece weighs " + figure(mass) + " kg"}
		if f.c.Plan.MassFromSize {
			c.because = "One piece weighs about " + figure(mass) + " kg, worked out from its size"
		}
		for _, s := range []source.Span{p.Mass.Span, p.Size.Span, p.Span} {
			if s.Known() {
				c.span = s
				break
			}
		}
		if mass <= heavyTwo {
			c.severity = diag.Warning
		}
		return []call{c}
	},
}

var strain = need{
	topic:  "strain",
	answer: "say above the first step that the glass is annealed, if it is",
	rule: check.Rule{
		ID: "strain-check", Severity: diag.Warning, Concern: diag.People,
		Title:  "Sawing or coarse grinding of glass not stated as annealed carries a note: look for strain first.",
		Why:    "Strained glass bursts when it is cut, in the hands.",
		Source: "common practice",
		Quiet:  "the recipe says that the glass is annealed, or nothing is sawn or ground coarser than 100 µm",
		Bad:    "Machine: wet saw   (and nothing on strain)",
		Good:   "cautions: [strain]",
	},
	calls: each(func(f *safety, _ int, s *stepFacts) (call, bool) {
		const coarse = 100 // µm
		if !s.grinds || !s.powered || f.scan.has(signAnneal) && !f.notAnnealed() {
			return call{}, false
		}
		grain := grainSize(&s.s.Abrasive.Value)
		switch {
		case s.is(wetSaw, drillPress) || s.cuts() || s.drills():
			return call{span: s.at(), same: "strain", because: "The glass is cut here, and nothing says that it is annealed"}, true
		case grain > coarse:
			return call{span: s.at(s.s.Abrasive.Span), same: "strain", because: "The glass is ground coarse here, and nothing says that it is annealed"}, true
		}
		return call{}, false
	}),
}

// grainSize is the grain of an abrasive in µm, 0 where none is written.
func grainSize(a *trade.Abrasive) float64 {
	if like := actsLike(a); like.Written() {
		return like.Size
	}
	return a.Grade.Size
}

// notAnnealed says whether every mention of annealing denies it.
func (f *safety) notAnnealed() bool {
	for _, h := range f.scan.hits {
		if h.sign == signAnneal && !f.bannedAt(h.at) && !contains(string(f.read.Bytes[max(0, h.at-2):h.at]), "un") {
			return false
		}
	}
	return true
}

var thinWare = need{
	topic: "thin ware",
	rule: check.Rule{
		ID: "thin-ware", Severity: diag.Warning, Concern: diag.People,
		Title:  "Hollow ware carries a note: press lightly, palms off the opening, stop at a tick.",
		Why:    "Thin glass breaks in the hand that holds it.",
		Source: "common practice",
		Quiet:  "the piece is not stated as hollow",
		Bad:    "piece: {form: blown, hollow: true, wall: 3 mm}   (and nothing on it)",
		Good:   "cautions: [thin ware]",
	},
	calls: func(f *safety) []call {
		if !f.r.Piece.Hollow.Value {
			return nil
		}
		for i := range f.steps {
			if s := &f.steps[i]; s.powered && s.works() {
				return []call{{step: i, span: f.r.Piece.Hollow.Span, because: "The piece is hollow and is held to a machine"}}
			}
		}
		return nil
	},
}

var laserTest = need{
	topic: "laser test",
	rule: check.Rule{
		ID: "laser-test", Severity: diag.Warning, Concern: diag.People,
		Title:  "A test with a laser carries a note: Class 2, 1 mW or less, never at faces.",
		Why:    "Polished glass throws the beam back into the room.",
		Source: "IEC 60825-1 laser classes, from memory; common practice",
		Quiet:  "no laser is spoken of, or only forbidden",
		Bad:    "- [ ] Laser: a clean line through the block   (and nothing on the beam)",
		Good:   "cautions: [laser test]",
	},
	calls: namedIn(signLaser, "A laser is used here"),
}

var oilyRags = need{
	topic: "oily rags",
	rule: check.Rule{
		ID: "oily-rags", Severity: diag.Warning, Concern: diag.People,
		Title:  "Linseed or tung oil carries a note on its rags.",
		Why:    "Rags with a drying oil heat by themselves and catch fire in the night.",
		Source: "common practice",
		Quiet:  "no drying oil is named, or it is only forbidden",
		Bad:    "1. Wipe linseed oil over the satin face.   (and nothing on the rags)",
		Good:   "cautions: [oily rags]",
	},
	calls: namedIn(signOil, "A drying oil is used here"),
}

// namedIn are the steps that name a thing and do not only forbid it.
func namedIn(what sign, because string) func(f *safety) []call {
	return func(f *safety) []call {
		if !f.scan.has(what) {
			return nil
		}
		return each(func(f *safety, _ int, s *stepFacts) (call, bool) {
			span, ok := f.hitIn(s.s, what)
			if !ok {
				return call{}, false
			}
			return call{span: span, because: because}, true
		})(f)
	}
}

var sawAndDrill = need{
	topic: "saw and drill",
	rule: check.Rule{
		ID: "saw-and-drill", Severity: diag.Warning, Concern: diag.People,
		Title:  "Sawing and drilling carry a note: clamp or fence, slow at the exit, never reach past.",
		Why:    "A piece that twists is gripped by the blade, and the hand goes with it.",
		Source: "common practice",
		Quiet:  "nothing is sawn or drilled by machine",
		Bad:    "Machine: wet saw   (and nothing on how the piece is held)",
		Good:   "cautions: [saw and drill]",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !s.powered || !s.s.Working() || !(s.is(wetSaw, drillPress) || s.cuts() || s.drills()) {
			return call{}, false
		}
		return call{span: s.at(), because: "The glass is sawn or drilled here"}, true
	}),
}

var runningAlone = need{
	topic: "running alone",
	rule: check.Rule{
		ID: "running-alone", Severity: diag.Warning, Concern: diag.People,
		Title:  "A machine that is left running carries a note: water, drain, cord, a name and a stop time.",
		Why:    "A machine nobody watches runs dry, floods or burns.",
		Source: "common practice",
		Quiet:  "no machine runs in minutes written `alone`",
		Bad:    "Time: 20 min + 3 h alone   (Machine: vibrating lap, no caution)",
		Good:   "cautions: [running alone]",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !s.powered || !s.s.Time.OK || s.s.Time.Value.Alone.Amount <= 0 {
			return call{}, false
		}
		return call{span: s.at(s.s.Time.Span), because: s.machine() + " is left running alone here"}, true
	}),
}

// wetLimit is how long hands may be wet in a day before skin suffers, in
// minutes: TRGS 401, seen second-hand.
const wetLimit = 120

var wetHands = need{
	topic: "wet hands",
	rule: check.Rule{
		ID: "wet-hands-long", Severity: diag.Warning, Concern: diag.People,
		Title:  "More than two hours of wet work carry a note on skin.",
		Why:    "Wet hands crack, and cracked hands let in what is in the water.",
		Source: "TRGS 401 (two hours of wet work a day), seen second-hand",
		Quiet:  "the wet steps take two hours or less, or no times are written",
		Bad:    "Time: 3 h   (Water: flood, and nothing on hands)",
		Good:   "cautions: [wet hands]",
	},
	calls: func(f *safety) []call {
		minutes, last := 0.0, -1
		for i := range f.steps {
			s := &f.steps[i]
			if s.p.Wet && s.s.Time.OK && !s.s.OnlyIf.Written() {
				minutes += s.s.Time.Value.Usual.In(quantity.Minute)
				last = i
			}
			if minutes > wetLimit {
				break
			}
		}
		if minutes <= wetLimit {
			return nil
		}
		s := &f.steps[last]
		return []call{{step: last, span: s.at(s.s.Time.Span), because: "Wet work comes to more than two hours with this step"}}
	},
}

// Daily vibration A(8) in m/s²: Directive 2002/44/EC, seen second-hand.
const (
	shakeAction = 2.5
	shakeLimit  = 5
	workingDay  = 480 // min
)

var handVibration = need{
	topic: "vibration",
	rule: check.Rule{
		ID: "hand-vibration", Severity: diag.Warning, Concern: diag.People,
		Title:  "A hand-held tool that shakes the hand over 2.5 m/s² in a day carries a note.",
		Why:    "Vibration takes the feeling out of fingers for good.",
		Source: "Directive 2002/44/EC: A(8) of 2.5 and 5 m/s², A(8) = a·√(t/8 h); seen second-hand",
		Quiet:  "the house's machine has no `vibration`, or the minutes keep it at 2.5 or below",
		Bad:    "Time: 3 h   (with a grinder of 5 m/s², and nothing on vibration)",
		Good:   "cautions: [vibration]",
	},
	also: func(f *safety, found func(check.Finding)) {
		if a, s := f.shaking(); a > shakeLimit {
			found(check.Finding{
				Span: s.at(), Step: s.s.Number, Severity: diag.Warning,
				Message: "Hand-held work with the figures of the shop file comes to " + figure(a) + " m/s² over a day of eight hours, above the 5 m/s² of the directive.",
				Help:    "Take fewer minutes with the tool, or another tool.",
			})
		}
	},
	calls: func(f *safety) []call {
		a, s := f.shaking()
		if a < shakeAction {
			return nil
		}
		return []call{{step: s.s.Number - 1, span: s.at(), because: "Hand-held work comes to " + figure(a) + " m/s² over a day of eight hours with the figures of the shop file"}}
	},
}

// shaking is the vibration A(8) in m/s² that the recipe's hand-held steps add
// up to, and the first of them.
func (f *safety) shaking() (float64, *stepFacts) {
	sum := 0.0
	var first *stepFacts
	for i := range f.steps {
		s := &f.steps[i]
		u := s.s.Machine.Value.Unit
		if !s.handheld || u == nil || !u.Vibration.Written() || !s.s.Time.OK {
			continue
		}
		sum += square(dailyVibration(u.Vibration.In(quantity.MetrePerSecondSquared), s.s.Time.Value.Usual.In(quantity.Minute)))
		if first == nil {
			first = s
		}
	}
	return math.Sqrt(sum), first
}

// dailyVibration is A(8) in m/s² of a tool of a m/s² used for some minutes.
func dailyVibration(a, minutes float64) float64 { return a * math.Sqrt(minutes/workingDay) }

func square(x float64) float64 { return x * x }
