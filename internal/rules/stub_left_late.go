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
	Title: "A sprue or a stub comes off, and its place is levelled, before any face is smoothed.",
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
			for j := range stub.Works {
				if w := &stub.Works[j]; live(w) && !fine(w) && tookOffLate(c, stub, w, found) {
					break
				}
			}
		}
	},
}

// tookOffLate reports a coarse work on a stub that comes when another surface
// has been smoothed.
func tookOffLate(c *check.Context, stub *process.Chain, w *process.Work, found func(check.Finding)) bool {
	var open several
	var last *process.Work
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		s := chain.Surface
		if chain == stub || seam(s) || untouched(s) || names(w.Step, s) || c.Plan.Steps[w.Step.Number-1].Masked[s.Name.Value] {
			continue
		}
		if before := smoothedBefore(chain, w.Step); before != nil {
			open = append(open, s)
			if last == nil || before.Step.Number > last.Step.Number {
				last = before
			}
		}
	}
	if len(open) == 0 {
		return false
	}
	found(check.Finding{
		Span: useSpan(w.Step, stub.Surface), Step: w.Step.Number, Surface: stub.Surface.Name.Value,
		Message: capital(stepNo(w.Step)) + " works " + the(stub.Surface) + " with " + nameOf(w.Abrasive) + " after " + stepNo(last.Step) + " has brought " + open.the() + " to " + grainOf(last) + ".",
		Help:    "Take " + the(stub.Surface) + " off and level its place before anything is smoothed, or mask " + open.the() + " first.",
	})
	return true
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
