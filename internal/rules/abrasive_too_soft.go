package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

var abrasiveTooSoft = check.Rule{
	ID: "abrasive-too-soft", Severity: diag.Warning, Concern: diag.Piece,
	Title: "Grain on a hard lap is clearly harder than the glass.",
	Why: "On iron or plate glass a grain cuts by being pressed into the face. One that is hardly harder than the glass is blunted instead: it rolls, wears to flour and scratches, and the minutes are lost. " +
		"It wants about one step of Mohs more than the glass.",
	Source: "F. Mohs, 1822, for the scale; the hardness of abrasives from ceramics handbooks, seen second-hand; the margin is common practice",
	Quiet:  "the grain is bonded or on something that gives, its hardness or the glass is not known, or polish-powder-on-hard-lap speaks of it",
	Bad:    "Abrasive: garnet F220   (on an iron lap, and the glass is fused silica)",
	Good:   "Abrasive: silicon carbide F220",
	Check: func(c *check.Context, found func(check.Finding)) {
		glass := c.Recipe.Glass.Value
		if !c.Recipe.Glass.OK || glass == nil {
			return
		}
		hardness, ok := outcomes().mohs[glass.Name]
		if !ok {
			hardness = outcomes().mohs[""]
		}
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			a := &step.Abrasive.Value
			if !step.Abrasive.OK || a.Family == nil || !loose(a) || !isWork(a, trade.Grind) || c.Plan.Steps[i].Class != trade.Hard {
				continue
			}
			// The softest of it is what blunts.
			soft := a.Family.Mohs[0]
			if soft <= 0 || soft >= hardness+outcomes().softer {
				continue
			}
			found(check.Finding{
				Span: abrasiveSpan(step), Step: step.Number,
				Message: "Step " + itoa(step.Number) + " grinds " + glass.Name + " with " + nameOf(a) + onMedium(step.Medium.Value) + ". " +
					capital(a.Family.Name) + " is " + figure(soft) + " on the scale of Mohs and the glass " + figure(hardness) + ": it is blunted before it cuts.",
				Help: "Write silicon carbide, aluminium oxide or diamond.",
			})
		}
	},
}
