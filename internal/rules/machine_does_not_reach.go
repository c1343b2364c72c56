package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var machineReach = check.Rule{
	ID: "machine-does-not-reach", Severity: diag.Error, Concern: diag.Piece,
	Title: "The machine reaches the shape of the surface.",
	Why: "A flat lap cannot touch the bottom of a hollow; it takes the rim down instead. What each kind of machine reaches stands in the trade tables; " +
		"a machine of the house may have its own `reach`.",
	Source: "common practice",
	Quiet:  "the surface is masked in the step, or its shape is not written",
	Bad:    "Machine: flat lap, 300 mm at 150 rpm   (on a concave hollow)",
	Good:   "Machine: lathe at 450 rpm",
	Check: func(c *check.Context, found func(check.Finding)) {
		var all []short
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if s := machineShort(c, i); len(s) > 0 {
				all = gatherShort(all, aMachine(step.Machine.Value), s, place{step, step.Machine.Span})
			}
		}
		tellShort(all, found, func(step *recipe.Step, shapes []string) string {
			if reached := machineReached(c, step); step.Every && len(reached) > 0 {
				return "Write `Surface: " + reached.names() + "` if those are all it works."
			}
			if others := machinesFor(c, step, shapes); len(others) > 0 {
				return "Write one that does: " + listed(others, "or") + "."
			}
			return "Write another machine, or work it by hand."
		})
	},
}
