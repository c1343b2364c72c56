package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var gradeGoesBackwards = check.Rule{
	ID: "grade-goes-backwards", Severity: diag.Error, Concern: diag.Piece,
	Title: "No coarser grain comes to a surface after a finer one.",
	Why: "A coarser grain cuts through what the finer one did: its minutes are lost and its work must be done again. " +
		"Sizes are held against each other only where the grain meets the glass in the same way: loose on a hard plate with loose on a hard plate, bonded with bonded.",
	Source: "common practice",
	Quiet:  "the step is marked as rework with its reason, re-seams an arris, blasts a masked piece at a bench gone back to with a reason, or is done only if something is seen",
	Bad:    "Abrasive: silicon carbide F220   (a step after silicon carbide F400)",
	Good:   "Surface: back (rework: a line of the 270 disc shows)",
	Check:  checkBackwards,
}

func checkBackwards(c *check.Context, found func(check.Finding)) {
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		if untouched(chain.Surface) {
			continue
		}
		backwards(c, chain, found)
	}
}

// backwards walks one chain and remembers the last work of each lap class, and
// the last of the polishing kinds.
func backwards(c *check.Context, chain *process.Chain, found func(check.Finding)) {
	last := map[trade.LapClass]*process.Work{}
	var shine *process.Work
	for i := range chain.Works {
		w := &chain.Works[i]
		if !live(w) || w.Abrasive.Family == nil {
			continue
		}
		if w.Rework {
			// Rework opens the chain anew: what follows is held against it.
			clear(last)
			shine = nil
		}
		quiet := w.Rework || seam(chain.Surface) || w.Class == trade.Blast && reasoned(w.Step)
		before := last[w.Class]
		switch {
		case quiet:
		case w.Class != "" && before != nil && coarser(before, w):
			found(check.Finding{
				Span: abrasiveSpan(w.Step), Step: w.Step.Number, Surface: chain.Surface.Name.Value,
				Message: "Step " + itoa(w.Step.Number) + " puts " + grainOf(w) + " on " + the(chain.Surface) +
					" after " + stepNo(before.Step) + " left it at " + grainOf(before) + ".",
				Help: "Swap the two steps. If it is meant, write `Surface: " + chain.Surface.Name.Value + " (rework: the reason)`.",
			})
		case shine != nil && undoes(c.House, shine, w) && !pastStop(c.House, chain, i):
			found(check.Finding{
				Span: abrasiveSpan(w.Step), Step: w.Step.Number, Surface: chain.Surface.Name.Value,
				Message: "Step " + itoa(w.Step.Number) + " works " + the(chain.Surface) + " with " + nameOf(w.Abrasive) +
					" after " + stepNo(shine.Step) + " worked there with " + nameOf(shine.Abrasive) + ".",
				Help: "Grind first, then pumice, then cerium. If it is meant, write `Surface: " + chain.Surface.Name.Value + " (rework: the reason)`.",
			})
		}
		last[w.Class] = w
		if !isWork(w.Abrasive, trade.Grind) && (shine == nil || isWork(w.Abrasive, trade.Polish)) {
			shine = w
		}
	}
}

// reasoned says whether the step is at a bench gone back to with a reason.
func reasoned(s *recipe.Step) bool { return s.Bench.OK && s.Bench.Value.Because != "" }

// coarser says whether w takes the surface back to a coarser grain than before
// had it at. Both meet the glass in the same way.
func coarser(before, w *process.Work) bool {
	a, b := before.Abrasive, w.Abrasive
	if a.Grade.Scale == grade.Pumice && b.Grade.Scale == grade.Pumice {
		return b.Grade.Order > a.Grade.Order
	}
	if !comparable(a, b) || before.Grain <= 0 || w.Grain <= 0 {
		return false
	}
	grain := w.Grain
	if !actsLike(b).Written() {
		// A bond that gives leaves less than its number says.
		if gives := outcomes().gives[b.Bond]; gives > 0 && outcomes().gives[a.Bond] == 0 {
			grain /= gives
		}
	}
	return grain > before.Grain && !nearSize(grain, before.Grain)
}

// comparable says whether the sizes of two abrasives may be held against each
// other: pumice and cerium are not judged by size beside other families.
func comparable(a, b trade.Abrasive) bool {
	if a.Family == nil || b.Family == nil {
		return false
	}
	return a.Family == b.Family || a.Family.Comparable && b.Family.Comparable
}

// undoes says whether a work spoils the shine an earlier one brought: pumice
// after cerium, or a grind duller than what was there. A grain that gives or is
// fine enough to brighten the face is left alone.
func undoes(h *trade.House, shine, w *process.Work) bool {
	if isWork(w.Abrasive, trade.Polish) {
		return false
	}
	if isWork(w.Abrasive, trade.Prepolish) {
		return isWork(shine.Abrasive, trade.Polish)
	}
	_, dull, known := outcomes().ranks(h, shine)
	bright, _, ok := outcomes().ranks(h, w)
	return known && ok && bright.Rank < dull.Rank
}
