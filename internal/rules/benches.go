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
	Quiet:  "the bench gives its reason, the step is rework or done only if something is seen, or the bench stands outside the order",
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
			if last != nil && bench.Bench.Rank < last.Bench.Value.Bench.Rank && bench.Because == "" && step.Rework == "" {
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

var maskedToTheEnd = check.Rule{
	ID: "masked-to-the-end", Severity: diag.Warning, Concern: diag.Card,
	Title:  "What is masked is unmasked before the piece leaves.",
	Why:    "A tape that no step takes off is found by the customer, or lifts with its edge full of grit.",
	Source: "common practice",
	Quiet:  "a later step unmasks the surface",
	Bad:    "Mask: dome   (and no Unmask in any later step)",
	Good:   "Unmask: dome",
	Check: func(c *check.Context, found func(check.Finding)) {
		if len(c.Plan.Steps) == 0 {
			return
		}
		masked := c.Plan.Steps[len(c.Plan.Steps)-1].Masked
		if len(masked) == 0 {
			return
		}
		for i := range c.Recipe.Surfaces {
			name := c.Recipe.Surfaces[i].Name.Value
			if !masked[name] {
				continue
			}
			use, step := lastMask(c.Recipe, name)
			if step == nil {
				continue
			}
			found(check.Finding{
				Span: use.Span, Step: step.Number, Surface: name,
				Message: "Step " + itoa(step.Number) + " masks " + the(&c.Recipe.Surfaces[i]) + ", and no later step takes the mask off.",
				Help:    "Write `Unmask: " + name + "` in the step that takes it off.",
			})
		}
	},
}

// lastMask is the last place a surface is masked at.
func lastMask(r *recipe.Recipe, name string) (recipe.SurfaceUse, *recipe.Step) {
	for i := len(r.Steps) - 1; i >= 0; i-- {
		for _, use := range r.Steps[i].Mask {
			if use.Name == name {
				return use, &r.Steps[i]
			}
		}
	}
	return recipe.SurfaceUse{}, nil
}

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
