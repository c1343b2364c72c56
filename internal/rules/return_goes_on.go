package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var returnGoesOn = check.Rule{
	ID: "return-goes-on", Severity: diag.Warning, Concern: diag.Test,
	Title:  "A failed test sends the piece back, never on.",
	Why:    "A line of the last grade does not come out under a finer one. The way is back, to the grade that clears it.",
	Source: "common practice",
	Quiet:  "the step goes back to itself or to an earlier one",
	Bad:    "Return to: Polish the base   (in a step before it)",
	Good:   "Return to: Flatten the base",
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
			for j := range step.Body {
				if step.Body[j].Kind == recipe.Check {
					on(step.Body[j].Check.Return)
				}
			}
		}
	},
}
