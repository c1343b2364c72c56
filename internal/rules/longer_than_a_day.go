package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
)

// dayMinutes are those of a working day at the bench.
const dayMinutes = 8 * 60

// faceMinutes are the most anybody gives one of several faces at one grain: common
// practice, with a wide margin.
const faceMinutes = 4 * 60

var longerThanADay = check.Rule{
	ID: "longer-than-a-day", Severity: diag.Warning, Concern: diag.Grade,
	Title: "No step keeps a hand at the bench for longer than a day.",
	Why: "Twelve hours for twelve minutes is a slip of the pen, and it goes into the plan of the week and the price of the piece. " +
		"What truly takes days is several steps, each with something to look at.",
	Source: "common practice",
	Quiet:  "the time is four hours or less on each of several faces, the recipe is for several pieces, the machine runs alone meanwhile, or it is eight hours or less",
	Bad:    "Time: 12 h",
	Good:   "Time: 12 min   (or `20 min + 12 h alone`)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			t := step.Time
			if !t.OK || !t.Value.Usual.Written() || step.Machine.Value.Kind != nil && step.Machine.Value.Kind.AtOnce ||
				c.Recipe.Piece.Count.OK && c.Recipe.Piece.Count.Value > 1 {
				continue
			}
			m, each := t.Value.Usual.In(quantity.Minute), ""
			if t.Value.Times > 1 {
				m, each = m/float64(t.Value.Times), " on each face"
			}
			if m > dayMinutes || each != "" && m > faceMinutes {
				found(check.Finding{
					Span: t.Span, Step: step.Number,
					Message: capital(stepNo(step)) + " keeps a hand at the bench for " + two(m/60) + " hours" + each + ".",
					Help:    "Look whether hours were written for minutes. What the machine does by itself is written `+ 12 h alone`; what takes days is better several steps.",
				})
			}
		}
	},
}
