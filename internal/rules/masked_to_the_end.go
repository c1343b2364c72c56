package rules

import (
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var maskedToTheEnd = check.Rule{
	ID: "masked-to-the-end", Severity: diag.Warning, Concern: diag.Card,
	Title:  "What is masked is unmasked before the piece leaves.",
	Why:    "A tape that no step takes off is found by the customer, or lifts with its edge full of grit.",
	Source: "common practice",
	Quiet:  "a later step unmasks the surface, or one works it under its mask (masked-surface-worked)",
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
		type covered struct {
			use  recipe.SurfaceUse
			step *recipe.Step
			all  several
		}
		var order []*covered
		for i := range c.Recipe.Surfaces {
			s := &c.Recipe.Surfaces[i]
			if !masked[s.Name.Value] || len(workedUnderMask(c, s)) > 0 {
				continue
			}
			use, step := lastMask(c.Recipe, s.Name.Value)
			if step == nil {
				continue
			}
			if at := slices.IndexFunc(order, func(o *covered) bool { return o.step == step }); at >= 0 {
				order[at].all = append(order[at].all, s)
				continue
			}
			order = append(order, &covered{use, step, several{s}})
		}
		for _, o := range order {
			if bare, at := bareUnmasked(c, o.step); at != nil {
				found(check.Finding{
					Span: bare.Span, Step: at.Number, Surface: o.all.first(), Also: []diag.Site{{Span: o.use.Span, Step: o.step.Number}},
					Message: "Step " + itoa(at.Number) + " takes the mask off " + the(bare.Surface) + verb(bare.Surface, ", which has", ", which have") + " none; " +
						o.all.the() + o.all.verb(" stays", " stay") + " masked from step " + itoa(o.step.Number) + " to the end.",
					Help: "Write `Unmask: " + o.all.names() + "`.",
				})
				continue
			}
			found(check.Finding{
				Span: o.use.Span, Step: o.step.Number, Surface: o.all.first(),
				Message: "Step " + itoa(o.step.Number) + " masks " + o.all.the() + ", and no later step takes the mask off.",
				Help:    "Write `Unmask: " + o.all.names() + "` in " + unmasking(c.Recipe, o.step) + ".",
			})
		}
	},
}

// unmasking is the step behind another that takes the mask off by its title, in
// words for where to write it.
func unmasking(r *recipe.Recipe, after *recipe.Step) string {
	for i := after.Number; i < len(r.Steps); i++ {
		if titledUnmask(r.Steps[i].Title) {
			return stepNo(&r.Steps[i]) + ", \"" + r.Steps[i].Title + "\""
		}
	}
	return "the step that takes it off"
}

// bareUnmasked is the first place behind a step where the mask is taken off a
// surface that has none; nil where there is no such step.
func bareUnmasked(c *check.Context, after *recipe.Step) (recipe.SurfaceUse, *recipe.Step) {
	for i := after.Number; i < len(c.Recipe.Steps); i++ {
		for _, use := range c.Recipe.Steps[i].Unmask {
			if use.Surface != nil && !c.Plan.Steps[i-1].Masked[use.Name] {
				return use, &c.Recipe.Steps[i]
			}
		}
	}
	return recipe.SurfaceUse{}, nil
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
