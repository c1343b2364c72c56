package rules

import (
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
)

var coatingBareBeside = check.Rule{
	ID: "coating-bare-beside-work", Severity: diag.Warning, Concern: diag.Piece,
	Title: "A coating lies under tape while the edges beside it are ground or polished.",
	Why: "Slurry runs over the edge on to the face, and the hand that holds the piece rubs it in: a film under a thousandth of a millimetre is scratched before anybody sees it. " +
		"A touch too far with the stone takes it off at the edge.",
	Source: "common practice",
	Quiet: "the coating is masked or `capped` with clear glass, it is flashed or an enamel, the step only works other faces, or the coated surface itself is worked, " +
		"which coated-surface-worked says",
	Bad:  "Surface: edges   (coating: {kind: dichroic, on: face}, and no Mask before it)",
	Good: "Mask: face",
	Check: func(c *check.Context, found func(check.Finding)) {
		coating := c.Recipe.Coating
		if coating == nil || !coating.On.OK || coating.Capped.Written() || coating.Kind.Value == "flashed" || coating.Kind.Value == "enamel" {
			return
		}
		kind := "coating"
		if coating.Kind.OK {
			kind = coating.Kind.Value + " coating"
		}
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			s := chain.Surface
			if s.Name.Value != coating.On.Value || slices.ContainsFunc(chain.Works, func(w process.Work) bool { return !w.Masked }) {
				continue
			}
			var places []place
			var beside several
			for j := range c.Recipe.Steps {
				step := &c.Recipe.Steps[j]
				plan := &c.Plan.Steps[j]
				if !step.Working() || step.OnlyIf.Written() || plan.Masked[s.Name.Value] {
					continue
				}
				if w := rimOf(plan.Works); w != nil {
					places = append(places, place{step, useSpan(step, w)})
					if !slices.Contains(beside, w) {
						beside = append(beside, w)
					}
				}
			}
			gather(places, found, func(subject string, many bool) check.Finding {
				works := " works "
				if many {
					works = " work "
				}
				return check.Finding{
					Surface: s.Name.Value,
					Message: subject + works + beside.the() + " while the " + kind + " of " + the(s) + " lies bare beside it.",
					Help:    "Write `Mask: " + s.Name.Value + "` in this step or before it, and `Unmask:` when the grit is washed off.",
				}
			})
		}
	},
}

// rimOf is the first of the surfaces that goes round a face: an edge, an arris, a
// bevel or a ring.
func rimOf(works []*recipe.Surface) *recipe.Surface {
	for _, w := range works {
		switch shapeOf(w) {
		case "edge", "arris", "bevel", "ring":
			return w
		}
	}
	return nil
}
