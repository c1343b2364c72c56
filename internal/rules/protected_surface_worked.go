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
		"that is not under tape, a finished face too. Beside a blast a bare face that is to be matte, or a seamed arris, is a warning.",
	Source: "common practice",
	Quiet:  "the surface is masked in the step, a later step works it again, a blast made it what it is, only seamed arrises are bare beside what is masked, or coated-surface-worked says it",
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
	var bare, seams several
	severity := diag.Warning
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		s := chain.Surface
		if c.Plan.Steps[n].Masked[s.Name.Value] || names(step, s) {
			continue
		}
		switch {
		case untouched(s):
			severity = diag.Error
		case !finished(c.House, chain, step):
			continue
		case stopOf(s).Rank > 1:
			severity = diag.Error
		case stopIs(s, "seamed"):
			seams = append(seams, s)
			continue
		}
		bare = append(bare, s)
	}
	// An arris lies under the edge of the tape on the faces beside it.
	if len(bare) > 0 || len(c.Plan.Steps[n].Masked) == 0 {
		bare = append(bare, seams...)
	}
	if len(bare) == 0 {
		return
	}
	found(check.Finding{
		Span: step.Machine.Span, Step: step.Number, Severity: severity,
		Message: "Step " + itoa(step.Number) + " blasts while " + bare.the() + bare.verb(" is", " are") + " bare. What is untouched or finished does not outlast the grain.",
		Help:    "Write `Mask:` with " + bare.the() + ", in this step or before it.",
	})
}

// finished says whether a surface has come to its stop before a blast and is
// not worked again after it. What a blast left is not harmed by another.
func finished(h *trade.House, chain *process.Chain, step *recipe.Step) bool {
	stop := stopOf(chain.Surface)
	if stop == nil || stop.Name == "removed" {
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
		done = stop.Rank == 0 || ok && bright.Rank >= stop.Rank
		if w.Class == trade.Blast && stop.Rank <= 1 {
			done = false
		}
	}
	return done
}
