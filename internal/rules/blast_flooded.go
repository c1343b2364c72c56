package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
)

var blastFlooded = check.Rule{
	ID: "blast-flooded", Severity: diag.Warning, Concern: diag.Piece,
	Title: "No water runs into a blast.",
	Why: "Wet grain cakes in the hopper and stops the nozzle, and the mask lifts. The water of the step before was copied with the rest of it. " +
		"A blast that throws its grain with water is another machine, and sprays.",
	Source: "common practice",
	Quiet:  "the blast is dry, or is told to be a wet one by `spray`, `wet` or `damp`; on lead and unknown glass other rules speak of the blast",
	Bad:    "Water: flood   (Machine: blast cabinet)",
	Good:   "Water: dry",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			kind := step.Water.Value.Kind
			if !step.Working() || !step.Water.OK || kind == nil || !blasting(step) || safetyOf(c).lead {
				continue
			}
			does := ""
			switch kind.Name {
			case "flood":
				does = "floods"
			case "drip":
				does = "drips water into"
			case "soak", "pool":
				does = "puts under water"
			default:
				continue
			}
			found(check.Finding{
				Span: step.Water.Span, Step: step.Number,
				Message: capital(stepNo(step)) + " " + does + " a blast. Wet grain cakes and stops the nozzle.",
				Help:    "Write `Water: dry`; where the blast throws its grain with water, `Water: spray`.",
			})
		}
	},
}
