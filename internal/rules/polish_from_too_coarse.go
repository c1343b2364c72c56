package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/trade"
)

var polishTooCoarse = check.Rule{
	ID: "polish-from-too-coarse", Severity: diag.Error, Concern: diag.Piece,
	Title: "Cerium starts on a face that is fine enough.",
	Why: "Cerium takes off too little to reach the bottom of a coarse mark: the face shines and the lines shine with it. " +
		"It wants F400 (17 µm) or finer before it, or a resin pad, or pumice. Plated grain leaves marks too deep whatever its number; " +
		"where only that is the matter, it is a warning.",
	Source: "common practice",
	Quiet:  "the surface stops at dirty polish, or pumice stands between",
	Bad:    "Abrasive: cerium oxide 1.5 µm   (straight after a belt P220)",
	Good:   "Abrasive: pumice 2F   (on cork or felt, between the belt and the cerium)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			if stopIs(chain.Surface, "dirty polish") || untouched(chain.Surface) {
				continue
			}
			var before *process.Work
			for j := range chain.Works {
				w := &chain.Works[j]
				if !live(w) {
					continue
				}
				if isWork(w.Abrasive, trade.Polish) {
					startsPolish(chain, before, w, found)
				}
				before = w
			}
		}
	},
}

// startsPolish looks at what a polish is begun from: the work before it, or
// how the surface arrived.
func startsPolish(chain *process.Chain, before, w *process.Work, found func(check.Finding)) {
	var ok, rough bool
	var from, left string
	switch {
	case before == nil:
		a := chain.Surface.From.Value.Abrasive
		if !chain.Surface.From.OK || a.Family == nil || a.Family.Work != trade.Grind {
			return
		}
		ok, rough = outcomes().mayPolish(a, process.Grain(a))
		from = capital(the(chain.Surface)) + verb(chain.Surface, " arrives ", " arrive ") + chain.Surface.From.Value.Words
		left = verb(chain.Surface, "arrives ", "arrive ") + chain.Surface.From.Value.Words
	case isWork(before.Abrasive, trade.Grind):
		ok, rough = outcomes().mayPolish(before.Abrasive, before.Grain)
		from = capital(stepNo(before.Step)) + " leaves " + the(chain.Surface) + " at " + grainOf(before)
		left = verb(chain.Surface, "is at ", "are at ") + grainOf(before)
	default:
		return
	}
	switch {
	case ok:
	case rough:
		found(check.Finding{
			Span: abrasiveSpan(w.Step), Step: w.Step.Number, Surface: chain.Surface.Name.Value, Severity: diag.Warning,
			Message: from + ", and step " + itoa(w.Step.Number) + " starts to polish it. A plated tool leaves marks deeper than its number says.",
			Help:    "Put a resin pad, loose 400 to 600 or pumice between the two.",
		})
	default:
		found(check.Finding{
			Span: abrasiveSpan(w.Step), Step: w.Step.Number, Surface: chain.Surface.Name.Value,
			Message: capital(the(chain.Surface)) + " " + left + " when step " + itoa(w.Step.Number) + " starts to polish it. Cerium needs " +
				size(outcomes().entry[""]) + " or finer, or pumice first.",
			Help: "Add a finer grind and pumice before this step.",
		})
	}
}
