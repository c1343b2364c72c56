package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
)

var lonePiece = check.Rule{
	ID: "lone-piece-in-pan", Severity: diag.Warning, Concern: diag.Piece,
	Title: "No piece runs alone in a vibrating pan.",
	Why: "One piece alone wanders, knocks against the wall of the pan and chips, and wears its own path into the plate. " +
		"Company, a bumper or weights keep it going round.",
	Source: "common practice",
	Quiet:  "several run together, the step speaks of a bumper, ring, weights or company, or the piece is more than half as wide as the pan",
	Bad:    "Machine: vibrating lap   (one piece, and nothing that keeps it company)",
	Good:   "1. Two weights with their bumpers beside it.",
	Check: func(c *check.Context, found func(check.Finding)) {
		p := &c.Recipe.Piece
		if p.Count.Written() && (!p.Count.OK || p.Count.Value > 1) {
			return
		}
		var places []place
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			m := step.Machine.Value
			if !step.Working() || m.Kind == nil || !m.Kind.AtOnce || fillsPan(p, m.Diameter, m.Kind.Diameter) {
				continue
			}
			if keptCompany(step) {
				return
			}
			places = append(places, place{step, step.Machine.Span})
		}
		gather(places, found, func(subject string, many bool) check.Finding {
			runs := " runs"
			if many {
				runs = " run"
			}
			return check.Finding{
				Message: subject + runs + " one piece alone in the " + machineName(places[0].step.Machine.Value) + ". Nothing keeps it from wandering and knocking.",
				Help:    "Say in the step what goes in with it: a bumper, weights, scrap pieces. If several run together, write `count:` in `piece:`.",
			}
		})
	},
}

// company are the stems of what runs in a pan beside the piece.
var company = stemSet("bumper weight ring company scrap dummy dummies filler spacer collar together")

func keptCompany(step *recipe.Step) bool {
	for _, w := range splitWords(stepWords(step)) {
		if company[w.stem] {
			return true
		}
	}
	return false
}

// fillsPan says whether the piece is more than half as wide as the pan.
func fillsPan(p *recipe.Piece, written quantity.Value, usual float64) bool {
	pan := usual
	if written.Written() {
		pan = written.In(quantity.Millimetre)
	}
	if !p.Size.OK || pan <= 0 {
		return false
	}
	wide := 0.0
	if d := p.Size.Value.Diameter; d.Written() {
		wide = d.In(quantity.Millimetre)
	}
	for i, side := range p.Size.Value.Sides {
		if i < 2 {
			wide = max(wide, side.In(quantity.Millimetre))
		}
	}
	return wide > pan/2
}
