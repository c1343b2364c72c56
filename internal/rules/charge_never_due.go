package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
)

// leastCharge is the shortest interval in minutes at which anybody puts fresh
// grain on by hand: common practice, with a wide margin.
const leastCharge = 10.0 / 60

var chargeNeverDue = check.Rule{
	ID: "charge-never-due", Severity: diag.Note, Concern: diag.Grade,
	Title: "Fresh grain that is put on every so often is put on within the step.",
	Why: "\"Every 30 min\" in a step of ten is one charge at the start, and whoever reads it waits for a second that never comes, or takes the step for a longer one. Nor does anybody charge every three seconds. " +
		"One of the two figures is often a slip.",
	Source: "common practice",
	Quiet:  "the step says no minutes, is over several faces or pieces that share a charge, or lasts as long as the interval at its longest or alone",
	Bad:    "Charge: every 30 min   (Time: 10 min)",
	Good:   "Charge: once",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			t, charge := step.Time, step.Charge.Value
			if !step.Working() || !step.Charge.OK || !t.OK || charge.Once || !t.Value.Usual.Written() ||
				c.Recipe.Piece.Count.OK && c.Recipe.Piece.Count.Value > 1 {
				continue
			}
			lasts := t.Value.High.In(quantity.Minute) + t.Value.Alone.In(quantity.Minute)
			every, last := charge.Every.In(quantity.Minute), charge.Last.In(quantity.Minute)
			f := check.Finding{Span: step.Charge.Span, Step: step.Number}
			switch {
			case every > 0 && every < leastCharge:
				f.Severity = diag.Warning
				f.Message = capital(stepNo(step)) + " puts fresh grain on every " + amount(charge.Every) + ". Nobody charges so often, and it would wash off before it works."
				f.Help = "Look whether the unit is a slip: `Charge: every " + figure(charge.Every.Amount) + " min`. What runs on by itself is `Water: drip`."
			case every > lasts:
				f.Message = capital(stepNo(step)) + " puts fresh grain on every " + figure(every) + " min and lasts " + figure(lasts) + " min at the longest. No second charge ever comes."
				f.Help = "Write `Charge: once`, or look which of the two figures is meant otherwise."
			case last >= lasts && last > 0:
				f.Message = capital(stepNo(step)) + " goes without fresh grain for its last " + figure(last) + " min and lasts " + figure(lasts) + " min at the longest. No second charge ever comes."
				f.Help = "Write `Charge: once`, or look which of the two figures is meant otherwise."
			default:
				continue
			}
			found(f)
		}
	},
}
