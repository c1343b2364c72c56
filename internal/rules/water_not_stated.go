package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
)

var waterNotStated = check.Rule{
	ID: "water-not-stated", Severity: diag.Error, Concern: diag.People, Trade: true,
	Title: "Every working step says how wet it is.",
	Why: "Dry work cracks the glass with heat, burns resin pads and fills the air with dust. " +
		"Whoever reads the sheet must not have to guess.",
	Source: "common practice",
	Quiet:  "the step blasts, or takes no glass off (masking, washing, looking)",
	Bad:    "Abrasive: plated diamond disc 60 mesh   (and no Water)",
	Good:   "Water: flood",
	Check: func(c *check.Context, found func(check.Finding)) {
		var places []place
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if step.Working() && !step.Water.Written() && !blasting(step) {
				places = append(places, place{step, abrasiveSpan(step)})
			}
		}
		gather(places, found, func(subject string, many bool) check.Finding {
			says := " works the glass and says nothing of water."
			if many {
				says = " work the glass and say nothing of water."
			}
			return check.Finding{Message: subject + says, Help: "Write `Water:` with flood, drip, spray, damp or whatever is done."}
		})
	},
}
