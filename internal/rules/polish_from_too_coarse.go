package rules

import (
	"math"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/trade"
)

var polishTooCoarse = check.Rule{
	ID: "polish-from-too-coarse", Severity: diag.Error, Concern: diag.Piece,
	Title: "Pumice and cerium start on a face that is fine enough.",
	Why: "Cerium takes off too little to reach the bottom of a coarse mark: the face shines and the lines shine with it. " +
		"It wants F400 (17 µm) or finer before it, or a resin pad, or pumice. Plated grain leaves marks too deep whatever its number; " +
		"where only that is the matter, it is a warning. Pumice takes off more, and no more than that: before a polish it wants loose F400, a belt P400, a 325 mesh resin pad " +
		"or a fine wheel, before a sheen loose F220, a 270 mesh wheel or a fine blast. For a sheen, or where pumice only takes longer, it is a warning.",
	Source: "common practice",
	Quiet:  "cerium is to leave a dirty polish, pumice or cerium has been there before, the grain before it is what grade-goes-backwards speaks of, or the step takes the surface beyond its stop (work-after-stop)",
	Bad:    "Abrasive: cerium oxide 1.5 µm   (straight after a belt P220)",
	Good:   "Abrasive: pumice 2F   (on cork or felt, between a belt P400 and the cerium)",
	Check: func(c *check.Context, found func(check.Finding)) {
		if unreadable(c.Recipe) {
			return
		}
		var faults together
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			if untouched(chain.Surface) {
				continue
			}
			var before *process.Work
			for j := range chain.Works {
				w := &chain.Works[j]
				if !live(w) {
					continue
				}
				back := before != nil && goesBackwards(c).has(before, chain.Surface)
				if !isWork(w.Abrasive, trade.Grind) && !isBeyond(c.House, chain, w) && !back {
					startsPolish(chain, before, w, &faults)
				}
				before = w
			}
		}
		faults.tell(found, tooCoarse)
	},
}

// Kinds of a start from too coarse a face.
const (
	fromCoarse = "coarse"
	fromPlated = "plated"
	pumiceLong = "long way"
	pumiceFar  = "too far"
	pumiceDull = "sheen"
)

// startsPolish looks at what a polish or a pumice is begun from: the work
// before it, or how the surface arrived.
func startsPolish(chain *process.Chain, before, w *process.Work, faults *together) {
	if w.Abrasive.Family == nil {
		return
	}
	from, class, grain := startOf(chain, before)
	if grain <= 0 || from.Family != nil && from.Family.Work != trade.Grind {
		return
	}
	kind := ""
	if isWork(w.Abrasive, trade.Polish) {
		ok, rough := outcomes().mayPolish(from, grain)
		switch {
		case ok || stopIs(chain.Surface, "dirty polish"):
		case rough:
			kind = fromPlated
		default:
			kind = fromCoarse
		}
	} else if stop := stopOf(chain.Surface); stop != nil && (stop.Polish || shines(stop)) {
		limit := outcomes().beforePumice(from, class, stop.Polish)
		switch {
		case limit <= 0 || grain <= limit*(1+outcomes().sameSize):
		case !stop.Polish:
			kind = pumiceDull
		case grain <= limit*outcomes().pumiceMargin:
			kind = pumiceLong
		default:
			kind = pumiceFar
		}
	}
	if kind == "" {
		return
	}
	key := faultOf(before, w, kind)
	if stop := stopOf(chain.Surface); stop != nil {
		key.words = stop.Name
	}
	if before == nil {
		key.words += ", " + chain.Surface.From.Value.Words
	}
	faults.add(key, chain.Surface, before, w)
}

// startOf is what left the surface as a work finds it, and its grain in µm: the
// work before, or what it arrived from. A saw is coarse, whatever is written of
// it; 0 is a grain nobody knows.
func startOf(chain *process.Chain, before *process.Work) (a trade.Abrasive, class trade.LapClass, grain float64) {
	if before != nil {
		if before.Abrasive.Family != nil && before.Abrasive.Tool != nil && before.Abrasive.Tool.Cutting && before.Grain == 0 {
			return before.Abrasive, before.Class, math.Inf(1)
		}
		if before.Abrasive.Family == nil || !before.Abrasive.Grade.Written() && !actsLike(before.Abrasive).Written() {
			// What a powder without a grade is taken for is no ground to stand on.
			return
		}
		return before.Abrasive, before.Class, before.Grain
	}
	if !chain.Surface.From.OK {
		return
	}
	from := chain.Surface.From.Value
	class = trade.Hard
	switch {
	case from.How == "sawn" && from.Abrasive.Family == nil:
		return from.Abrasive, trade.Bonded, math.Inf(1)
	case from.Abrasive.Family == nil:
		return
	case from.How == "sandblasted":
		class = trade.Blast
	case !loose(from.Abrasive):
		class = trade.Bonded
	}
	return from.Abrasive, class, process.Grain(from.Abrasive)
}

// shines says whether a stop is one pumice reaches.
func shines(f *trade.Finish) bool {
	switch f.Name {
	case "satin", "lustre", "dirty polish":
		return true
	}
	return false
}

// tooCoarse says what is wrong with a start.
func tooCoarse(key fault, s several, before, w *process.Work) check.Finding {
	step, stop := "step "+itoa(w.Step.Number), stopOf(s[0])
	left := s.verb("arrives ", "arrive ") + s[0].From.Value.Words
	if before != nil {
		left = s.verb("is", "are") + " at " + grainOf(before)
		if before.Grain == 0 {
			left = s.verb("comes", "come") + " from " + article(nameOf(before.Abrasive))
		}
	}
	switch key.kind {
	case fromPlated:
		from := capital(s.the()) + " " + left
		if before != nil {
			from = capital(stepNo(before.Step)) + " leaves " + s.the() + " at " + grainOf(before)
		}
		return check.Finding{
			Severity: diag.Warning,
			Message:  from + ", and " + step + " starts to polish " + s.them() + ". A plated tool leaves marks deeper than its number says.",
			Help:     "Put a resin pad, loose F400 to F600 or pumice between the two.",
		}
	case fromCoarse:
		return check.Finding{
			Message: capital(s.the()) + " " + left + " when " + step + " starts to polish " + s.them() + ". Cerium needs " + size(outcomes().entry[""]) + " or finer, or pumice first.",
			Help:    "Add a finer grind and pumice before this step.",
		}
	}
	f := check.Finding{
		Message: capital(s.the()) + " " + left + " when " + step + " starts with pumice. ",
		Help:    "Add a finer grind before this step: loose F400, a belt P400 or a 325 mesh resin pad.",
	}
	switch key.kind {
	case pumiceFar:
		f.Message += "Pumice does not reach the bottom of those marks, and they show in the " + stop.Name + "."
	case pumiceLong:
		f.Severity = diag.Warning
		f.Message += "Pumice is a long time over those marks, and what it leaves of them shows in the " + stop.Name + "."
	default:
		f.Severity = diag.Warning
		f.Message += "Pumice does not reach the bottom of those marks, and they stay under the sheen."
		f.Help = "Add a finer grind before this step: loose F220, a 270 mesh wheel or a blast with F220."
	}
	return f
}
