package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
)

// shells is the grain in µm from which on a square edge shells under a disc or
// a belt.
const shells = 100

var noSeamFirst = check.Rule{
	ID: "no-seam-first", Severity: diag.Warning, Concern: diag.Piece,
	Title: "A square edge is seamed before a coarse disc or belt meets it.",
	Why: "A coarse grain that runs off a square edge tears shells out of it, and a shell is deeper than all the grades that follow take off. " +
		"A light arris of a millimetre lets the grain run off.",
	Source: "common practice",
	Quiet:  "an arris or bevel is worked before it or in the same step, the text before it speaks of one, the surface does not come sawn, cut or ground, nor cast with an arris that is seamed later, it has no corner, the work is done by hand, or the grain is finer than 100 µm",
	Bad:    "Abrasive: silicon carbide belt P80   (the first step, on a sawn edge)",
	Good:   "## Seam every arris   (1 mm, before the first belt)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Working() || step.OnlyIf.Written() {
				continue
			}
			if breaksEdge(c, i) {
				return
			}
			grain := process.Grain(&step.Abrasive.Value)
			tool := step.Abrasive.Value.Tool
			if !powered(step) || blasting(step) || grain < shells || tool != nil && tool.Cutting {
				continue
			}
			var square several
			for _, s := range c.Plan.Steps[i].Works {
				switch shapeOf(s) {
				case "flat", "ring", "edge":
					switch s.From.Value.How {
					case "sawn", "cut", "ground":
						square = append(square, s)
					case "as cast":
						// A cast edge may be round; where it is to be seamed it is not.
						if seamedLater(c, i) {
							square = append(square, s)
						}
					}
				}
			}
			if len(square) == 0 {
				continue
			}
			if speaksOfSeam(c.Recipe, i) {
				return
			}
			found(check.Finding{
				Span: abrasiveSpan(step), Step: step.Number, Surface: square.first(),
				Message: capital(stepNo(step)) + " puts " + nameOf(&step.Abrasive.Value) + " on " + square.the() + ", and no arris was seamed before: the edge may shell.",
				Help:    "Put a step before it that seams the arris, about 1 mm, by hand or with a fine belt.",
			})
			return
		}
	},
}

// seamedLater says whether an arris is worked after the n-th step.
func seamedLater(c *check.Context, n int) bool {
	for i := n + 1; i < len(c.Recipe.Steps); i++ {
		for _, s := range c.Plan.Steps[i].Works {
			if seam(s) {
				return true
			}
		}
	}
	return false
}

// breaksEdge says whether a step works an arris or a bevel.
func breaksEdge(c *check.Context, n int) bool {
	for _, s := range c.Plan.Steps[n].Works {
		if seam(s) || shapeOf(s) == "bevel" {
			return true
		}
	}
	return false
}

// seamWords are the stems of breaking an edge.
var seamWords = stemSet("seam arris chamfer bevel")

// speaksOfSeam says whether a step up to the n-th says that the edge is broken,
// without a surface for it.
func speaksOfSeam(r *recipe.Recipe, n int) bool {
	for i := 0; i <= n; i++ {
		words := splitWords(stepWords(&r.Steps[i]))
		markMoods(words)
		for _, w := range words {
			if w.mood == plain && seamWords[w.stem] {
				return true
			}
		}
	}
	return false
}
