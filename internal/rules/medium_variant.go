package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
)

var betterVariantRule = check.Rule{
	ID: "medium-variant", Severity: diag.Note, Concern: diag.Card,
	Title:  "The felt is the kind that suits the powder.",
	Why:    "A solid felt pad holds pumice mud between itself and the glass; in a perforated one the mud sinks into the holes. The holes are there to let cerium breathe.",
	Source: "common practice",
	Quiet:  "the medium says no variant",
	Bad:    "Medium: felt pad, perforated   (with pumice 2F)",
	Good:   "Medium: felt pad, solid",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			m, a := step.Medium.Value, &step.Abrasive.Value
			if !step.Medium.OK || m.Kind == nil || m.Variant == "" || a.Family == nil {
				continue
			}
			for _, v := range outcomes().variants {
				if v.family != a.Family.Name || v.medium != m.Kind.Name || v.than != m.Variant {
					continue
				}
				found(check.Finding{
					Span: step.Medium.Span, Step: step.Number,
					Message: "Step " + itoa(step.Number) + " runs " + a.Family.Name + " on a " + v.than + " " + v.medium + ". A " + v.better + " one suits it better: " + v.because + ".",
					Help:    "Write `Medium: " + v.medium + ", " + v.better + "` where the house has one.",
				})
			}
		}
	},
}
