package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

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
