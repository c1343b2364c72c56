package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// smoothed is the grain in µm from which on a face is being refined: what comes
// after it is to be finer.
const smoothed = 40

var stubLeftLate = check.Rule{
	ID: "stub-left-late", Severity: diag.Warning, Concern: diag.Piece,
	Title: "A sprue or a stub comes off before any face is smoothed.",
	Why: "The saw and the coarse belt throw chips and grit over what is already fine, the piece is clamped on its finished faces, " +
		"and a chip that runs in under the stub costs the face beside it.",
	Source: "common practice",
	Quiet:  "only coarse grinding and seams come before it, what was smoothed is masked meanwhile, or the stub stops at untouched",
	Bad:    "## Saw the stub off   (after the back was brought to F600)",
	Good:   "## Saw the stub off   (as the first working step)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Plan.Chains {
			stub := &c.Plan.Chains[i]
			if shapeOf(stub.Surface) != "stub" && !stopIs(stub.Surface, "removed") || untouched(stub.Surface) {
				continue
			}
			first := firstLive(stub)
			if first == nil {
				continue
			}
			var open several
			var last *process.Work
			for j := range c.Plan.Chains {
				chain := &c.Plan.Chains[j]
				if chain == stub || seam(chain.Surface) || untouched(chain.Surface) || c.Plan.Steps[first.Step.Number-1].Masked[chain.Surface.Name.Value] {
					continue
				}
				if w := smoothedBefore(chain, first.Step); w != nil {
					open = append(open, chain.Surface)
					if last == nil || w.Step.Number > last.Step.Number {
						last = w
					}
				}
			}
			if len(open) == 0 {
				continue
			}
			found(check.Finding{
				Span: useSpan(first.Step, stub.Surface), Step: first.Step.Number, Surface: stub.Surface.Name.Value,
				Message: capital(stepNo(first.Step)) + " takes " + the(stub.Surface) + " off after " + stepNo(last.Step) + " has brought " + open.the() + " to " + grainOf(last) + ".",
				Help:    "Take " + the(stub.Surface) + " off before anything is smoothed, or mask " + open.the() + " first.",
			})
		}
	},
}

// firstLive is the first work of a chain that is done in every case, nil where
// there is none.
func firstLive(chain *process.Chain) *process.Work {
	for i := range chain.Works {
		if live(&chain.Works[i]) {
			return &chain.Works[i]
		}
	}
	return nil
}

// smoothedBefore is the last work on a surface before a step that smooths or
// polishes it and is not followed by coarse work after the step.
func smoothedBefore(chain *process.Chain, step *recipe.Step) *process.Work {
	var last *process.Work
	for i := range chain.Works {
		w := &chain.Works[i]
		if !live(w) {
			continue
		}
		if w.Step.Number >= step.Number {
			if last != nil && !fine(w) {
				return nil // it is ground again, so nothing is lost
			}
			break
		}
		if fine(w) {
			last = w
		}
	}
	return last
}

// fine says whether a work refines a face: a fine grain, pumice or polish.
func fine(w *process.Work) bool {
	if w.Abrasive.Family == nil || w.Class == trade.Blast {
		return false
	}
	return w.Abrasive.Family.Work != trade.Grind || w.Grain > 0 && w.Grain < smoothed
}
