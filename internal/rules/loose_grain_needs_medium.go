package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var looseGrainNeedsMedium = check.Rule{
	ID: "loose-grain-needs-medium", Severity: diag.Error, Concern: diag.Piece,
	Title: "A loose grain says what carries it; a bonded tool carries its own.",
	Why: "Pumice on a brush and pumice on felt leave two finishes, silicon carbide on iron and on felt two depths of damage. " +
		"Without the medium nobody can do the step twice alike.",
	Source: "common practice",
	Quiet:  "the step is a blast, where air carries the grain",
	Bad:    "Abrasive: pumice 2F   (and no Medium)",
	Good:   "Medium: horsehair brush wheel, 150 mm",
	Check: func(c *check.Context, found func(check.Finding)) {
		var bare toldAlike
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Abrasive.OK || c.Plan.Steps[i].Class == trade.Blast {
				continue
			}
			a := &step.Abrasive.Value
			switch {
			case loose(a) && !step.Medium.Written() && !blasting(step):
				bare.add(place{step, step.Abrasive.Span}, nameOf(a), "Write `Medium:` with "+carriers(c, i)+".")
			case !loose(a) && step.Medium.OK:
				found(check.Finding{
					Span: step.Medium.Span, Step: step.Number, Severity: diag.Warning,
					Message: "Step " + itoa(step.Number) + " works with " + nameOf(a) + ", which holds its own grain, and names " + article(mediumName(step.Medium.Value)) + " to carry it as well.",
					Help:    "Take the Medium out, or write the loose grain that was meant.",
				})
			case !loose(a) && a.Tool != nil && (step.Mix.Written() || step.Charge.Written()):
				span, what := step.Mix.Span, "Mix"
				if !step.Mix.Written() {
					span, what = step.Charge.Span, "Charge"
				}
				found(check.Finding{
					Span: span, Step: step.Number, Severity: diag.Warning,
					Message: "Step " + itoa(step.Number) + " works with " + nameOf(a) + ", which holds its own grain, and has a " + what + " as a loose one would.",
					Help:    "Take it out, or write the loose grain that was meant.",
				})
			}
		}
		bare.tell(found, func(grain string, many bool) string {
			if many {
				return " work with " + grain + ", a loose grain, and do not say what carries it."
			}
			return " works with " + grain + ", a loose grain, and does not say what carries it."
		})
	},
}

func blasting(s *recipe.Step) bool {
	return s.Machine.OK && s.Machine.Value.Kind != nil && s.Machine.Value.Kind.Name == "blast cabinet"
}

// carriers are media a loose grain of a step may run on, on its machine and for
// its surfaces, in words.
func carriers(c *check.Context, n int) string {
	step := &c.Recipe.Steps[n]
	names := mediaFor(c, step, shapesOf(several(c.Plan.Steps[n].Works)))
	if len(names) == 0 {
		return "the lap, wheel, pad or brush it runs on"
	}
	return listed(names, "or")
}
