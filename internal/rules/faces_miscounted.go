package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
)

var facesMiscounted = check.Rule{
	ID: "faces-miscounted", Severity: diag.Warning, Concern: diag.Grade,
	Title:  "A time that is so many times a face counts the faces there are.",
	Why:    "\"4 x 8 min\" on six faces leaves two of them out, or gives each less than it needs; the card says one thing and the piece asks for another.",
	Source: "common practice",
	Quiet:  "the step names one face only, or the one number goes into the other, as where two faces are done at a time or each is gone over twice",
	Bad:    "Time: 4 x 8 min   (Surface: faces, of which there are six)",
	Good:   "Time: 6 x 8 min",
	Check: func(c *check.Context, found func(check.Finding)) {
		pieces := 1
		if n := c.Recipe.Piece.Count; n.OK {
			pieces = max(1, n.Value)
		}
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			times := step.Time.Value.Times
			if !step.Working() || !step.Time.OK || times < 2 || step.Every {
				continue
			}
			faces := 0
			for _, use := range step.Surfaces {
				if use.Surface == nil {
					faces = 0
					break
				}
				faces++
				if n := use.Surface.Count; n.OK {
					faces += max(1, n.Value) - 1
				}
			}
			all := faces * pieces
			if faces < 2 || all%times == 0 || times%all == 0 || times%faces == 0 || times == pieces || times == len(step.Surfaces) {
				continue
			}
			found(check.Finding{
				Span: step.Time.Span, Step: step.Number,
				Message: capital(stepNo(step)) + " takes its minutes " + itoa(times) + " times, and it works " + itoa(faces) + " faces.",
				Help:    "Write the minutes of one face behind the number of faces, as in `Time: " + itoa(faces) + " x " + figure(step.Time.Value.Usual.In(quantity.Minute)/float64(times)) + " min`, or the time for all of them.",
			})
		}
	},
}
