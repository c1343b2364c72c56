package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
)

// The air pressure in bar that glass is blasted at, low to high: common
// practice. Under it the grain falls out of the nozzle, over it it chips the
// edges and breaks itself.
const (
	leastBlast = 0.5
	mostBlast  = 6
)

var blastPressure = check.Rule{
	ID: "blast-pressure", Severity: diag.Warning, Concern: diag.Piece,
	Title: "Glass is blasted at a pressure that glass takes.",
	Why: "Most work is done at one to three bar. Far over it the grain goes deep, chips the edges, lifts the mask and shatters; far under it nothing happens. " +
		"A comma that slipped is found at the bench by the first piece, and so is a pressure that nobody wrote.",
	Source: "common practice",
	Quiet:  "the air's pressure lies between 0.5 and 6 bar, is a word, or stands in a sentence of the step",
	Bad:    "Pressure: 16 bar",
	Good:   "Pressure: 1.6 bar",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			p := step.Pressure
			if blasting(step) && step.Working() && !p.Written() && !pressureTold(step) {
				found(check.Finding{
					Span: step.Span, Step: step.Number, Severity: diag.Note,
					Message: capital(stepNo(step)) + " blasts, and nothing says at what pressure.",
					Help:    "Write `Pressure:` with the air it is done at, as `1.5 bar` or `20 psi`.",
				})
			}
			if !blasting(step) || !step.Working() || !p.OK || !p.Value.Value.Written() || p.Value.Value.Unit.Kind != quantity.Pressure {
				continue
			}
			bar := p.Value.Value.In(quantity.Bar)
			if bar >= leastBlast && bar <= mostBlast {
				continue
			}
			f := check.Finding{
				Span: p.Span, Step: step.Number,
				Message: capital(stepNo(step)) + " blasts at " + p.Span.Text() + ". Glass is usually blasted at one to three bar (15 to 45 psi), seldom under " + figure(leastBlast) + " or over " + figure(mostBlast) + ".",
				Help:    "Look whether a comma has slipped, or the unit is another.",
			}
			found(f)
		}
	},
}

// pressureTold says whether a sentence of a step speaks of its pressure.
func pressureTold(step *recipe.Step) bool {
	for _, w := range splitWords(stepWords(step)) {
		if w.text == "bar" || w.text == "psi" || w.text == "kpa" || w.stem == "pressur" {
			return true
		}
	}
	return false
}
