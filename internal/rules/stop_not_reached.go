package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/trade"
)

var stopNotReached = check.Rule{
	ID: "stop-not-reached", Severity: diag.Error, Concern: diag.Piece,
	Title: "The last step on a surface can leave the finish it stops at.",
	Why: "The order promises a finish the steps do not give. A 270 wheel leaves grey, pumice on a brush a sheen, " +
		"and only cerium a clear polish.",
	Source: "common practice",
	Quiet:  "no step works the surface at all (that is another finding), or what the last step leaves is not known",
	Bad:    "- {name: hollow, shape: concave, to: bright polish}   (and a last step with a 270 mesh wheel)",
	Good:   "Abrasive: cerium oxide 1.5 µm   (as the last step on the hollow)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			stop := stopOf(chain.Surface)
			if stop == nil || stop.Rank == 0 || unreadable(c.Recipe) {
				continue
			}
			var last *process.Work
			past := false
			for j := range chain.Works {
				if w := &chain.Works[j]; live(w) {
					last = w
					past = past || pastStop(c.House, chain, j)
				}
			}
			if last == nil || past {
				// What was worked past its stop had reached it.
				continue
			}
			most, _, ok := outcomes().ranks(c.House, last)
			if !ok || most.Rank >= stop.Rank {
				continue
			}
			found(check.Finding{
				Span: chain.Surface.To.Span, Surface: chain.Surface.Name.Value, Step: last.Step.Number,
				Message: capital(the(chain.Surface)) + verb(chain.Surface, " is", " are") + " to come to " + stop.Name + ". The last step there is " + stepNo(last.Step) + ", " + nameOf(last.Abrasive) +
					carriedBy(last) + ", which leaves " + most.Name + " at best.",
				Help: "Missing is " + outcomes().reachedBy[stop.Name] + ". Or write `to: " + most.Name + "` if that is where it stops.",
			})
		}
	},
}

// carriedBy is what carries a loose grain, for a sentence: " on a felt pad".
func carriedBy(w *process.Work) string {
	if w.Class == trade.Blast || !loose(w.Abrasive) || !w.Step.Medium.OK {
		return ""
	}
	return " on " + article(mediumName(w.Step.Medium.Value))
}
