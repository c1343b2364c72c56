package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var polishRunsOver = check.Rule{
	ID: "polish-runs-over", Severity: diag.Warning, Concern: diag.Piece,
	Title: "A bevel that is to stay matte or satin is masked while the face beside it is polished.",
	Why: "Felt and brush give: they roll over the line between the two and leave a shine on the bevel that no wash takes off. " +
		"A bevel lies beside the face, ring or edge it was cut from.",
	Source: "common practice",
	Quiet:  "the bevel is masked, is worked again afterwards, the polish runs on a belt or on pitch, or the bevel is to be as bright",
	Bad:    "Surface: rim   (cerium on felt, the satin bevels bare beside it)",
	Good:   "Mask: bevels",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			s := chain.Surface
			stop := stopOf(s)
			if shapeOf(s) != "bevel" || stop == nil || stop.Rank == 0 || stop.Rank > satinRank {
				continue
			}
			var places []place
			var beside *recipe.Surface
			for j := range c.Recipe.Steps {
				step := &c.Recipe.Steps[j]
				if !rolls(step, &c.Plan.Steps[j]) || c.Plan.Steps[j].Masked[s.Name.Value] || names(step, s) || !doneBefore(chain, step) {
					continue
				}
				for _, w := range c.Plan.Steps[j].Works {
					switch shapeOf(w) {
					case "flat", "ring", "edge":
						if beside == nil {
							beside = w
						}
						if w == beside {
							places = append(places, place{step, useSpan(step, w)})
						}
					}
				}
			}
			gather(places, found, func(subject string, many bool) check.Finding {
				polishes := " polishes "
				if many {
					polishes = " polish "
				}
				return check.Finding{
					Surface: s.Name.Value,
					Message: subject + polishes + the(beside) + " on what gives while " + the(s) + ", to stay " + stop.Name + "," + verb(s, " is", " are") + " bare beside it.",
					Help:    "Write `Mask: " + s.Name.Value + "` in this step or before it.",
				}
			})
		}
	},
}

// satinRank is the rank of the brightest finish that a stray polish spoils.
const satinRank = 3

// rolls says whether a step polishes on felt or a brush that turns.
func rolls(step *recipe.Step, plan *process.StepPlan) bool {
	if !step.Working() || step.OnlyIf.Written() || !isWork(&step.Abrasive.Value, trade.Polish) || !powered(step) {
		return false
	}
	if step.Machine.Value.Kind.Name == wetBelt {
		return false
	}
	return plan.Class == trade.Felt || plan.Class == trade.Brush
}

// doneBefore says whether a surface was worked before a step and is not worked
// again after it.
func doneBefore(chain *process.Chain, step *recipe.Step) bool {
	done := false
	for i := range chain.Works {
		w := &chain.Works[i]
		if !live(w) {
			continue
		}
		if w.Step.Number >= step.Number {
			return false
		}
		done = true
	}
	return done
}
