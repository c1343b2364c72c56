package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var mediumReach = check.Rule{
	ID: "medium-does-not-reach", Severity: diag.Error, Concern: diag.Piece,
	Title: "The wheel, disc, pad or brush reaches the shape of the surface.",
	Why: "A flat or stiff wheel works the high places of a relief and leaves the rest, or takes the ridges of ground lenses off. " +
		"A brush follows the form.",
	Source: "common practice",
	Quiet:  "the surface is masked in the step, its shape is not written, or another rule says that the machine does not reach it or does not take the wheel",
	Bad:    "Medium: felt pad, 300 mm   (on a relief)",
	Good:   "Medium: horsehair brush wheel, 150 mm",
	Check: func(c *check.Context, found func(check.Finding)) {
		var all []short
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			with, ok := carrierOf(step)
			if !ok || !step.Working() || blasting(step) {
				continue
			}
			s := notReached(c, i, with.reach)
			if len(s) == 0 || with.tool && len(machineShort(c, i)) > 0 {
				continue
			}
			if _, wrong := misfit(step); wrong {
				continue
			}
			all = gatherShort(all, article(with.name), s, place{step, with.span})
		}
		tellShort(all, found, func(step *recipe.Step, shapes []string) string {
			if with, _ := carrierOf(step); with.tool {
				if others := toolsFor(c, step, shapes); len(others) > 0 {
					return "Write a tool that does, as " + article(listed(others, "or")) + ", or a loose grain on what follows the form."
				}
				return "Write a tool that follows the form, or a loose grain on what does."
			}
			if others := mediaFor(c, step, shapes); len(others) > 0 {
				return "Write one that does: " + listed(others, "or") + "."
			}
			return "Write one that follows the form, and a machine that takes it."
		})
	},
}
