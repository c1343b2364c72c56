package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var driesInTexture = check.Rule{
	ID: "dries-in-texture", Severity: diag.Warning, Concern: diag.Piece,
	Title:  "Cerium is washed out of a texture before it dries.",
	Why:    "Cerium that dries in the low places of a relief or a blast sets like cement. It shows as a pink bloom for ever, and nothing that takes it out leaves the face as it was.",
	Source: "common practice",
	Quiet:  "the step washes the piece in its own words or Clean-down, the very next step is a wet one on the surface, or the face has no texture to keep",
	Bad:    "## A light cerium   (on a blasted relief, and the next step is on another surface)",
	Good:   "## Wash at once, stiff brush   (as the very next step)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			if !textured(chain) {
				continue
			}
			for j := range chain.Works {
				w := &chain.Works[j]
				if !live(w) || !isWork(w.Abrasive, trade.Polish) || washedOut(c, chain.Surface, w.Step) {
					continue
				}
				found(check.Finding{
					Span: abrasiveSpan(w.Step), Step: w.Step.Number, Surface: chain.Surface.Name.Value,
					Message: capital(stepNo(w.Step)) + " brings " + nameOf(w.Abrasive) + " into the texture of " + the(chain.Surface) + ", and nothing is written of washing it out before it dries.",
					Help:    "Write `Clean-down:` with a wash of the piece and a stiff brush, or a wet step on " + the(chain.Surface) + " straight after.",
				})
			}
		}
	},
}

// textured says whether a surface keeps low places in which powder stays: a
// relief, or a blast that is brought to no more than a lustre.
func textured(chain *process.Chain) bool {
	s := chain.Surface
	if shapeOf(s) == "relief" {
		return true
	}
	stop := stopOf(s)
	if stop == nil || stop.Polish || stop.Rank == 0 {
		return false
	}
	if s.From.Value.How == "sandblasted" {
		return true
	}
	for i := range chain.Works {
		if w := &chain.Works[i]; live(w) && w.Class == trade.Blast {
			return true
		}
	}
	return false
}

// washWords are the stems of getting powder off a piece.
var washWords = stemSet("wash rinse scrub hose flush")

// washedOut says whether what a step brings to a surface is washed off before
// it dries: by the step, by a wet step straight after it, or because the same
// powder goes on there.
func washedOut(c *check.Context, s *recipe.Surface, step *recipe.Step) bool {
	for _, w := range splitWords(step.CleanDown.Value + ". " + stepWords(step)) {
		if washWords[w.stem] {
			return true
		}
	}
	if step.Number >= len(c.Recipe.Steps) {
		return false
	}
	next := &c.Recipe.Steps[step.Number]
	if !names(next, s) {
		return false
	}
	if next.Working() {
		return isWork(&next.Abrasive.Value, trade.Polish)
	}
	if w := next.Water.Value.Kind; w != nil && w.Wet {
		return true
	}
	for _, w := range splitWords(stepWords(next)) {
		if washWords[w.stem] {
			return true
		}
	}
	return false
}
