package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/trade"
)

var padWorn = check.Rule{
	ID: "pad-worn-by-coarse-marks", Severity: diag.Warning, Concern: diag.Grade,
	Title: "On a large face a fine resin pad does not follow straight on a coarse diamond disc.",
	Why: "By its minutes a fine pad may well take off what a 60 disc left. But it takes it off the ridges first, and they wear a resin pad down as a dressing stone does: it goes hollow, " +
		"it must be replaced, and the deepest lines stay and show at the polish. One or two middle discs cost a few minutes each. " +
		"The rule looks at faces over 44 cm² (75 mm across) and at a step more than 3.6 times finer.",
	Source: "common practice",
	Quiet: "the face is small or its area is not written; the house has set a `grade step`, or has measured both the disc and the pad; another kind of tool works between the two; the pad is run by hand; " +
		"the step is rework, or is done only if something is seen; another rule finds the order of the steps wrong; or damage-not-cleared speaks of the same two steps as a warning",
	Bad:  "Abrasive: resin diamond pad 325 mesh   (450 cm², straight after a plated disc 60 mesh)",
	Good: "Abrasive: plated diamond disc 140 mesh   (then 270 mesh, then the resin pad)",
	Check: func(c *check.Context, found func(check.Finding)) {
		if limit := c.House.Limits.GradeStep; limit.House || unreadable(c.Recipe) {
			return
		}
		var faults together
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			if untouched(chain.Surface) || areaOf(chain.Surface) <= outcomes().largeFace {
				continue
			}
			neighbours(chain, func(before, w *process.Work) {
				if wearsPad(before, w) && !astray(c, chain) && !saidByModel(c, chain, before, w) {
					faults.add(faultOf(before, w, ""), chain.Surface, before, w)
				}
			})
		}
		faults.tell(found, func(_ fault, s several, before, w *process.Work) check.Finding {
			faces := make([]string, len(s))
			for i, one := range s {
				faces[i] = the(one) + ", " + figure(areaOf(one)) + " cm²"
			}
			f := check.Finding{
				Message: capital(stepNo(w.Step)) + " goes with a resin pad straight from " + grainOf(before) + " to " + grainOf(w) + " on " + listed(faces, "and") +
					". The ridges of the coarse disc wear the pad out, and the deepest lines stay until the polish.",
				Help: "Put a middle disc between the two, as 140 and then 270 mesh after a 60.",
			}
			if between := stockBetween(c, before, w); len(between) == 1 {
				f.Help = "Put " + between[0] + " from the stock between the two."
			} else if len(between) > 1 {
				f.Help = "Put a middle disc between the two. In the stock are " + listed(between, "and") + "."
			}
			f.Help += " A house whose pads stand such a step says so by `grade step` in its limits."
			return f
		})
	},
}

// wearsPad says whether a work with a resin pad comes straight on a metal or
// plated tool so coarse that its ridges wear the pad.
func wearsPad(before, w *process.Work) bool {
	a, b := before.Abrasive, w.Abrasive
	return !w.Rework && b.Bond == trade.Resin && b.Tool != nil && powered(w.Step) && powered(before.Step) &&
		(a.Bond == trade.Plated || a.Bond == trade.Metal) && a.Tool != nil && !a.Tool.Cutting && wide(before, w, outcomes().wide)
}

// saidByModel says whether the model warns of the step between two works, or knows
// both from what the house has measured.
func saidByModel(c *check.Context, chain *process.Chain, before, w *process.Work) bool {
	r := reckoning(c)
	for i := range r.judged {
		j := &r.judged[i]
		if j.Surface != chain.Surface {
			continue
		}
		if f := j.fault; f.step >= 0 && j.key(f).severity >= diag.Warning {
			if two := j.skipped(f); two != nil && two[0].Step == before.Step && two[1].Step == w.Step {
				return true
			}
		}
		for n := 1; n < len(j.Steps); n++ {
			if j.Steps[n].Steps[0] == w.Step && j.Steps[n-1].Steps[0] == before.Step {
				return j.Steps[n].In.House.RateFactor != 0 && j.Steps[n-1].In.House.DamageFactor != 0
			}
		}
	}
	return false
}
