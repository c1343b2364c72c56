package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var finishedLeftOpen = check.Rule{
	ID: "finished-left-open", Severity: diag.Warning, Concern: diag.Piece,
	Title: "A polished face is covered while another is ground on a machine.",
	Why: "Slurry runs over the whole piece, and one grain under a hand or a clamp draws a line across the polish. " +
		"A face that is bright is finished, or it is under tape.",
	Source: "common practice",
	Quiet:  "the polished face is masked, is polished again later, the grinding is a seam or is done by hand, it is a blast (protected-surface-worked says that), or the step itself is one that another rule strikes out",
	Bad:    "Surface: back   (ground with F220 after the front was polished, and no Mask)",
	Good:   "Mask: front",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Working() || step.OnlyIf.Written() || !powered(step) || blasting(step) || !isWork(&step.Abrasive.Value, trade.Grind) || onlySeams(c, i) || misplaced(c, i) {
				continue
			}
			var open several
			for j := range c.Plan.Chains {
				chain := &c.Plan.Chains[j]
				s := chain.Surface
				if c.Plan.Steps[i].Masked[s.Name.Value] || names(step, s) || untouched(s) {
					continue
				}
				if stop := stopOf(s); stop != nil && stop.Polish && polishedBefore(chain, step) {
					open = append(open, s)
				}
			}
			if len(open) == 0 {
				continue
			}
			found(check.Finding{
				Span: abrasiveSpan(step), Step: step.Number, Surface: open.first(),
				Message: capital(stepNo(step)) + " grinds with " + nameOf(&step.Abrasive.Value) + " while " + open.the() + ", already polished," + open.verb(" stands", " stand") + " open.",
				Help:    "Write `Mask: " + open.names() + "` in this step or before it, or grind first and polish last.",
			})
		}
	},
}

// onlySeams says whether all that a step works is an arris.
func onlySeams(c *check.Context, n int) bool {
	works := c.Plan.Steps[n].Works
	for _, s := range works {
		if !seam(s) {
			return false
		}
	}
	return true
}

// misplaced says whether all a step grinds is to stay untouched or has been
// polished before: the step itself is at fault then.
func misplaced(c *check.Context, n int) bool {
	step := &c.Recipe.Steps[n]
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		if !names(step, chain.Surface) || untouched(chain.Surface) || c.Plan.Steps[n].Masked[chain.Surface.Name.Value] {
			continue
		}
		polished := false
		for j := range chain.Works {
			w := &chain.Works[j]
			polished = polished || live(w) && w.Step.Number < step.Number && isWork(w.Abrasive, trade.Polish)
		}
		if !polished {
			return false
		}
	}
	return true
}

// polishedBefore says whether a surface was polished before a step and is not
// worked again after it.
func polishedBefore(chain *process.Chain, step *recipe.Step) bool {
	done := false
	for i := range chain.Works {
		w := &chain.Works[i]
		if !live(w) {
			continue
		}
		if w.Step.Number >= step.Number {
			return false
		}
		done = isWork(w.Abrasive, trade.Polish)
	}
	return done
}
