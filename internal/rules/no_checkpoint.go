package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var noCheckpoint = check.Rule{
	ID: "no-checkpoint", Severity: diag.Warning, Concern: diag.Test,
	Title: "Every working step says how one sees that it is done.",
	Why: "When to change grade is the hard part of the craft. A step without a test ends when the hand is tired; " +
		"what was left shows at the polish.",
	Source: "common practice",
	Quiet:  "the step takes no glass off (masking, washing, looking)",
	Bad:    "Time: 8 min   (and no checkpoint)",
	Good:   "- [ ] Raking lamp: no line of the last disc left",
	Check: func(c *check.Context, found func(check.Finding)) {
		var places []place
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if step.Working() && !hasCheck(step) {
				places = append(places, place{step, step.Span})
			}
		}
		gather(places, found, func(subject string, many bool) check.Finding {
			has := " has no checkpoint."
			if many {
				has = " have no checkpoint."
			}
			f := check.Finding{Message: subject + has + " How does an apprentice see that the step is done?",
				Help: "Write a line that begins with `- [ ]` and says what must be seen on the dry glass."}
			if tests := houseTests(c); tests != "" {
				f.Help += " The house's tests are " + tests + "."
			}
			return f
		})
	},
}

func hasCheck(step *recipe.Step) bool {
	for i := range step.Body {
		if step.Body[i].Kind == recipe.Check {
			return true
		}
	}
	return false
}

// houseTests are up to four tests the house itself has written down.
func houseTests(c *check.Context) string {
	var names []string
	for _, t := range c.House.Tests {
		if t.House && len(names) < 4 {
			names = append(names, t.Name)
		}
	}
	return listed(names, "and")
}
