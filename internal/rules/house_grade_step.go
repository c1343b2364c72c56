package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
)

var houseGradeStep = check.Rule{
	ID: "house-grade-step", Severity: diag.Warning, Concern: diag.Grade,
	Title: "No step on a large face is wider than the house's own limit.",
	Why: "A house that has written `grade step` has found how much finer a step may be before its fine disc wears out on the marks of the coarse one. " +
		"The rule looks at faces over 44 cm² (75 mm across), between two steps that follow each other and meet the glass in the same way.",
	Source: "the house's shop file; common practice for the size of the face",
	Quiet:  "the house has set no `grade step`, the face is small or its area is not written, another kind of lap works between the two, the powder is pumice or cerium, or the step is rework",
	Bad:    "Abrasive: resin diamond pad 325 mesh   (450 cm², after a plated disc 60 mesh, where the house says 3)",
	Good:   "Abrasive: plated diamond disc 140 mesh   (then 270 mesh, then the resin pad)",
	Check:  checkGradeStep,
}

func checkGradeStep(c *check.Context, found func(check.Finding)) {
	limit := c.House.Limits.GradeStep
	if !limit.House || limit.Value <= 0 || unreadable(c.Recipe) {
		return
	}
	var faults together
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		if areaOf(chain.Surface) <= outcomes().largeFace {
			continue
		}
		neighbours(chain, func(before, w *process.Work) {
			if !w.Rework && wide(before, w, limit.Value) {
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
			Message: "Step " + itoa(w.Step.Number) + " goes from " + grainOf(before) + " to " + grainOf(w) + " on " + listed(faces, "and") + ". That is " +
				figure(before.Grain/w.Grain) + " times finer in one step; the house's limit is " + figure(limit.Value) + ".",
			Help: "Put a grade between the two, or expect lines at the polish.",
		}
		between := stockBetween(c, before, w)
		switch len(between) {
		case 0:
		case 1:
			f.Help = "Put " + between[0] + " from the stock between the two."
		default:
			f.Help = "Put a grade between the two. In the stock are " + listed(between, "and") + "."
		}
		return f
	})
}

// neighbours calls f with every two works that follow each other on a surface
// in the same lap class.
func neighbours(chain *process.Chain, f func(before, w *process.Work)) {
	var before *process.Work
	for i := range chain.Works {
		w := &chain.Works[i]
		if !live(w) {
			continue
		}
		if before != nil && w.Class != "" && before.Class == w.Class {
			f(before, w)
		}
		before = w
	}
}

// wide says whether the step from before to w is more than limit times finer.
func wide(before, w *process.Work, limit float64) bool {
	a, b := before.Abrasive.Family, w.Abrasive.Family
	return a != nil && b != nil && a.Comparable && b.Comparable && w.Grain > 0 && before.Grain > limit*w.Grain
}
