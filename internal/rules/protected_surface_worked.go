package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var protectedWorked = check.Rule{
	ID: "protected-surface-worked", Severity: diag.Error, Concern: diag.Piece,
	Title: "A surface that is to stay untouched is not worked, and stands masked beside a blast.",
	Why: "A fire polish or a cast skin is gone with the first grain and does not come back. A blast reaches everything in the cabinet " +
		"that is not under tape, a finished face too.",
	Source: "common practice",
	Quiet:  "the surface is masked in the step, or coated-surface-worked says it",
	Bad:    "Machine: blast cabinet   (with the dome untouched and no Mask before it)",
	Good:   "Mask: dome",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			if !untouched(chain.Surface) || coated(c.Recipe, chain.Surface) {
				continue
			}
			var places []place
			for j := range chain.Works {
				if w := &chain.Works[j]; !w.Masked {
					places = append(places, place{w.Step, useSpan(w.Step, chain.Surface)})
				}
			}
			gather(places, found, func(subject string, many bool) check.Finding {
				works := " works "
				if many {
					works = " work "
				}
				return check.Finding{
					Surface: chain.Surface.Name.Value,
					Message: subject + works + the(chain.Surface) + ", which" + verb(chain.Surface, " is", " are") + " to stay untouched.",
					Help:    "Take it out of the step, mask it, or give it a stop that may be worked.",
				}
			})
		}
		for i := range c.Recipe.Steps {
			if blasting(&c.Recipe.Steps[i]) && c.Recipe.Steps[i].Working() {
				besideBlast(c, i, found)
			}
		}
	},
}

// besideBlast finds what stands bare in the cabinet while something else is
// blasted.
func besideBlast(c *check.Context, n int, found func(check.Finding)) {
	step := &c.Recipe.Steps[n]
	var bare []string
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		s := chain.Surface
		if c.Plan.Steps[n].Masked[s.Name.Value] || names(step, s) && len(step.Surfaces) > 0 {
			continue
		}
		if untouched(s) || finished(c.House, chain, step) {
			bare = append(bare, the(s))
		}
	}
	if len(bare) == 0 {
		return
	}
	are := " is"
	if len(bare) > 1 || many(bare[0]) {
		are = " are"
	}
	found(check.Finding{
		Span: step.Machine.Span, Step: step.Number,
		Message: "Step " + itoa(step.Number) + " blasts while " + listed(bare, "and") + are + " bare. What is untouched or finished does not outlast the grain.",
		Help:    "Write `Mask:` with " + listed(bare, "and") + ", in this step or before it.",
	})
}

// finished says whether a surface has been brought brighter than a blast
// leaves it and is not worked again after the step.
func finished(h *trade.House, chain *process.Chain, step *recipe.Step) bool {
	stop := stopOf(chain.Surface)
	if stop == nil || stop.Rank <= 1 {
		return false
	}
	done := false
	for i := range chain.Works {
		w := &chain.Works[i]
		if !live(w) {
			continue
		}
		if w.Step.Number >= step.Number {
			return false
		}
		bright, _, ok := outcomes().ranks(h, w)
		done = ok && bright.Rank >= stop.Rank
	}
	return done
}
