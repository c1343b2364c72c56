package rules

import (
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var returnGoesOn = check.Rule{
	ID: "return-goes-on", Severity: diag.Warning, Concern: diag.Test,
	Title: "A failed test sends the piece back to a step on the same surface, never on.",
	Why: "A line of the last grade does not come out under a finer one. The way is back, to the grade that clears it. " +
		"A step that works another surface clears nothing either.",
	Source: "common practice",
	Quiet: "the step goes back to itself, to an earlier one on a surface it works, or to one that takes nothing off; " +
		"a checkpoint speaks of a seam, a chip or what the nail catches; or another-surface-told finds the surface of one of the two steps wrong",
	Bad:  "Return to: Polish the base   (in a step before it)",
	Good: "Return to: Flatten the base",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			on := func(r recipe.Field[recipe.Return]) {
				if !r.OK || r.Value.Step <= step.Number {
					return
				}
				found(check.Finding{
					Span: r.Span, Step: step.Number,
					Message: "Step " + itoa(step.Number) + " sends a piece that fails its test on to step " + itoa(r.Value.Step) + ", a later one.",
					Help:    "Write the step that clears the fault: this one or one before it.",
				})
			}
			on(step.ReturnTo)
			if to := worksElsewhere(c, step); to != nil {
				found(check.Finding{
					Span: step.ReturnTo.Span, Step: step.Number,
					Message: capital(stepNo(step)) + " sends a piece that fails its test back to " + stepNo(to) + ", which works " + several(c.Plan.Steps[to.Number-1].Works).the() +
						" and not " + several(c.Plan.Steps[i].Works).the() + ".",
					Help: "Write the step that clears the fault on " + several(c.Plan.Steps[i].Works).the() + ".",
				})
			}
			for j := range step.Body {
				if step.Body[j].Kind == recipe.Check {
					on(step.Body[j].Check.Return)
				}
			}
		}
	},
}

// worksElsewhere is the step that a Return to leads back to where it works none
// of the surfaces of the step itself; nil where all is well. Where a checkpoint
// speaks of a chip or a seam it may be the seam that is to be done again.
func worksElsewhere(c *check.Context, step *recipe.Step) *recipe.Step {
	if !returnsBefore(step.ReturnTo, step) || !step.Working() {
		return nil
	}
	to := &c.Recipe.Steps[step.ReturnTo.Value.Step-1]
	here, there := c.Plan.Steps[step.Number-1].Works, c.Plan.Steps[to.Number-1].Works
	if titleElsewhere(c, step) != nil || titleElsewhere(c, to) != nil {
		return nil // one of the two names the wrong surface
	}
	if !to.Working() || len(here) == 0 || len(there) == 0 || slices.ContainsFunc(there, func(s *recipe.Surface) bool { return slices.Contains(here, s) }) {
		return nil
	}
	for i := range step.Body {
		if step.Body[i].Kind != recipe.Check {
			continue
		}
		for _, w := range splitWords(step.Body[i].Check.Text) {
			if edgeFaults[w.stem] {
				return nil
			}
		}
	}
	return to
}

var edgeFaults = stemSet("seam chip shell catch thumbnail nail")
