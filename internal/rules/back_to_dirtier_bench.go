package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var backToDirtier = check.Rule{
	ID: "back-to-dirtier-bench", Severity: diag.Warning, Concern: diag.Piece,
	Title:  "Work never goes back to a dirtier bench without a reason.",
	Why:    "The piece brings coarse grain back to the clean benches in its arrises and recesses, and so do hands and aprons.",
	Source: "common practice",
	Quiet:  "the bench gives its reason, the step is rework or done only if something is seen, the bench stands outside the order, or grade-goes-backwards, work-after-stop or unknown-surface finds the step at the wrong place",
	Bad:    "Bench: X   (after a step at bench C)",
	Good:   "Bench: X, back because the edges are masked",
	Check: func(c *check.Context, found func(check.Finding)) {
		var last *recipe.Step
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Bench.OK || step.Bench.Value.Bench.Any || step.OnlyIf.Written() {
				continue
			}
			bench := step.Bench.Value
			if last != nil && bench.Bench.Rank < last.Bench.Value.Bench.Rank && bench.Because == "" && step.Rework == "" && !outOfOrder(c, step) && !strangeSurface(step) {
				found(check.Finding{
					Span: step.Bench.Span, Step: step.Number,
					Message: "Step " + itoa(step.Number) + " goes back to bench " + bench.Bench.Name + " after " + stepNo(last) + " at the cleaner bench " + last.Bench.Value.Bench.Name + ".",
					Help:    "Put the step earlier, or write the reason: `Bench: " + bench.Bench.Name + ", back because ...`.",
				})
			}
			last = step
		}
	},
}

// strangeSurface says whether a step names only surfaces that the piece has not
// got, as one copied from another recipe.
func strangeSurface(step *recipe.Step) bool {
	if step.Every || len(step.Surfaces) == 0 {
		return step.Working() && !namesNoSurface(step) && !step.Every
	}
	for _, use := range step.Surfaces {
		if use.Surface != nil {
			return false
		}
	}
	return true
}
