package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
)

// wallShare is the part of the thinnest wall a cut may take, where the house
// has set no depth of its own: common practice.
const wallShare = 3

var cutDeeperThanWall = check.Rule{
	ID: "cut-deeper-than-wall", Severity: diag.Warning, Concern: diag.Piece,
	Title: "A cut into hollow ware takes no more than a third of its thinnest wall.",
	Why: "What is left under a cut carries the blow of the wheel and every warm wash after it. A blown wall is never even: " +
		"a facet that is shallow in one place is through in another.",
	Source: "common practice",
	Quiet:  "no wall is written and the piece is not hollow, the surface is a ring, edge, bevel, hole or stub, or a saw or core drill cuts; as deep as the wall is an error, and a depth or a wall that is not written is a note, and so is a wall that is measured when it has been cut",
	Bad:    "Depth: 3 mm   (a wall of 6 mm)",
	Good:   "Depth: 2 mm",
	Check: func(c *check.Context, found func(check.Finding)) {
		p := &c.Recipe.Piece
		asked := false
		measuredLate(c, found)
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Working() || !cutsIn(c, i) {
				continue
			}
			switch {
			case step.Depth.OK && p.Wall.OK:
				tooDeep(p, step, found)
			case step.Depth.OK && !p.Wall.Written() && p.Hollow.Value && !asked:
				asked = true
				found(check.Finding{
					Span: step.Depth.Span, Step: step.Number, Severity: diag.Note,
					Message: capital(stepNo(step)) + " cuts " + step.Depth.Span.Text() + " deep into a hollow piece, and nothing says how thin its wall is.",
					Help:    "Write `wall:` in `piece:` with the thinnest place.",
				})
			case !step.Depth.Written() && p.Wall.OK && p.Hollow.Value && !asked && opens(c, i):
				asked = true
				found(check.Finding{
					Span: abrasiveSpan(step), Step: step.Number, Severity: diag.Note,
					Message: capital(stepNo(step)) + " cuts into a wall of " + p.Wall.Span.Text() + ", and nothing says how deep it may go.",
					Help:    "Write `Depth:`; a third of the thinnest wall is " + third(p.Wall.Value) + ".",
				})
			}
		}
	},
}

// measuredLate finds a step that measures the wall behind the first cut into it, with
// none before.
func measuredLate(c *check.Context, found func(check.Finding)) {
	var cut *recipe.Step
	for i := range c.Recipe.Steps {
		step := &c.Recipe.Steps[i]
		if step.Working() {
			if cut == nil && step.Depth.Written() && cutsIn(c, i) {
				cut = step
			}
			continue
		}
		if !strings.Contains(step.Title, "all") {
			continue
		}
		measures, wall := false, false
		for _, w := range splitWords(step.Title) {
			measures = measures || w.text == "measure" || w.text == "map"
			wall = wall || w.text == "wall"
		}
		if !measures || !wall {
			continue
		}
		if cut != nil {
			found(check.Finding{
				Span: step.Span, Step: step.Number, Severity: diag.Note,
				Message: capital(stepNo(step)) + " measures the wall after " + stepNo(cut) + " has cut into it.",
				Help:    "Put it before " + stepNo(cut) + ".",
			})
		}
		return
	}
}

func tooDeep(p *recipe.Piece, step *recipe.Step, found func(check.Finding)) {
	depth, wall := step.Depth.Value.In(quantity.Millimetre), p.Wall.Value.In(quantity.Millimetre)
	const slack = 1.02 // 2 mm of a 5.9 mm wall is a third at the bench
	switch {
	case depth >= wall:
		found(check.Finding{
			Span: step.Depth.Span, Step: step.Number, Severity: diag.Error,
			Message: capital(stepNo(step)) + " cuts " + step.Depth.Span.Text() + " deep, and the wall is " + p.Wall.Span.Text() + ": the cut goes through.",
			Help:    "Write a depth of no more than a third of the thinnest wall, " + third(p.Wall.Value) + ".",
		})
	case depth > slack*wall/wallShare:
		found(check.Finding{
			Span: step.Depth.Span, Step: step.Number,
			Message: capital(stepNo(step)) + " cuts " + step.Depth.Span.Text() + " deep. A third of the thinnest wall, " + p.Wall.Span.Text() + ", is " + third(p.Wall.Value) + ".",
			Help:    "Cut shallower or flatter, or choose a thicker blank.",
		})
	}
}

// third is a third of a wall in its own unit.
func third(wall quantity.Value) string {
	return figure(wall.Amount/wallShare) + " " + wall.Unit.Symbol
}

// intoWall are the shapes that are cut from the side into a wall. A ring, an
// edge and a bevel go down along it, and a hole is to go through.
var intoWall = wordSet("facets groove concave convex relief flat inside")

// cutsIn says whether a step grinds into the wall of the piece.
func cutsIn(c *check.Context, n int) bool {
	if t := c.Recipe.Steps[n].Abrasive.Value.Tool; t != nil && t.Cutting {
		return false
	}
	for _, s := range c.Plan.Steps[n].Works {
		if intoWall[shapeOf(s)] {
			return true
		}
	}
	return false
}

// opens says whether a step is the first to grind facets or grooves, which
// arrive with their blown skin.
func opens(c *check.Context, n int) bool {
	step := &c.Recipe.Steps[n]
	if !powered(step) || blasting(step) {
		return false
	}
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		shape := shapeOf(chain.Surface)
		if shape != "facets" && shape != "groove" || chain.Surface.From.Value.How == "ground" {
			continue
		}
		for j := range chain.Works {
			if w := &chain.Works[j]; live(w) {
				if w.Step == step {
					return true
				}
				break
			}
		}
	}
	return false
}
