package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var stockAtAnotherBench = check.Rule{
	ID: "stock-at-another-bench", Severity: diag.Warning, Concern: diag.Piece,
	Title:  "A line of stock is not used at a cleaner bench than the house keeps it at.",
	Why:    "A bench letter is a state of cleanliness. Blast grain or a coarse disc at the pumice bench leaves grit there that the next piece finds.",
	Source: "common practice",
	Quiet:  "the step writes no bench or a reason behind it, the stock line has none, the bench is no cleaner than the stock's or is one for any state, the step is done by hand or only seams arrises, or another rule finds its grade out of order",
	Bad:    "Bench: D   (with X220, which the shop file keeps at bench X)",
	Good:   "Bench: X",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			s := step.Abrasive.Value.Stock
			if !step.Abrasive.OK || s == nil || s.Bench == "" || !step.Bench.OK || step.Bench.Value.Because != "" || step.Bench.Value.Bench.Any {
				continue
			}
			own := c.House.FindBench(s.Bench)
			if own == nil || own.Any || own.Rank >= step.Bench.Value.Bench.Rank || onlySeams(c, i) || !powered(step) && !blasting(step) || outOfOrder(c, step) {
				continue
			}
			found(check.Finding{
				Span: step.Bench.Span, Step: step.Number,
				Message: capital(stepNo(step)) + " uses " + s.Code + " at bench " + step.Bench.Value.Bench.Name + ", and the house keeps it at bench " + own.Name + ".",
				Help:    "Write `Bench: " + own.Name + "`, or the reason: `Bench: " + step.Bench.Value.Bench.Name + ", back because ...`.",
			})
		}
	},
}

// outOfOrder says whether another rule finds the grade of a step out of order.
func outOfOrder(c *check.Context, step *recipe.Step) bool {
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		for j := range chain.Works {
			if w := &chain.Works[j]; w.Step == step && live(w) &&
				(goesBackwards(c).has(w, chain.Surface) || isBeyond(c.House, chain, w) || pastStop(c.House, chain, j)) {
				return true
			}
		}
	}
	return false
}
