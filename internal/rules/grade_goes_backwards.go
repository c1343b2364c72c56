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
		"Sizes are held against each other where the grain meets the glass in the same way: loose on a hard plate with loose on a hard plate, bonded with bonded. " +
		"Across the two only a grain more than three times coarser is spoken of. A disc, wheel or hard plate after pumice or cerium takes their work off, whatever its grain.",
	Source: "common practice",
	Quiet:  "the step is marked as rework with its reason, re-seams an arris, blasts a masked piece at a bench gone back to with a reason, or is done only if something is seen",
	Bad:    "Abrasive: silicon carbide F220   (a step after silicon carbide F400)",
	Good:   "Surface: back (rework: a line of the 270 disc shows)",
	Check:  checkBackwards,
}

// Kinds of going backwards.
const (
	sameLap   = "same lap"
	acrossLap = "across"
	undone    = "undone"
)

type backwardsKey struct{}

// goesBackwards are the works that go back to a coarser grain, worked out once.
func goesBackwards(c *check.Context) *together {
	return c.Once(backwardsKey{}, func() any {
		faults := &together{}
		for i := range c.Plan.Chains {
			if chain := &c.Plan.Chains[i]; !untouched(chain.Surface) {
				backwards(c, chain, faults)
			}
		}
		return faults
	}).(*together)
}

func checkBackwards(c *check.Context, found func(check.Finding)) {
	goesBackwards(c).tell(found, func(key fault, s several, before, w *process.Work) check.Finding {
		f := check.Finding{Help: "Swap the two steps. If it is meant, write `Surface: " + s.names() + " (rework: the reason)`."}
		switch key.kind {
		case undone:
			f.Message = "Step " + itoa(w.Step.Number) + " works " + s.the() + " with " + nameOf(w.Abrasive) +
				" after " + stepNo(before.Step) + " worked there with " + nameOf(before.Abrasive) + "."
			f.Help = "Grind first, then pumice, then cerium. If it is meant, write `Surface: " + s.names() + " (rework: the reason)`."
		default:
			f.Message = "Step " + itoa(w.Step.Number) + " puts " + grainOf(w) + " on " + s.the() +
				" after " + stepNo(before.Step) + " left " + s.them() + " at " + grainOf(before) + "."
			if odd := oddOne(c, s[0], before, w); odd != nil {
				f.Help = "Look whether " + grainOf(odd) + " in " + stepNo(odd.Step) + " is a slip: without it the grains run from coarse to fine. If it is meant, write `Surface: " + s.names() + " (rework: the reason)`."
			}
		}
		return f
	})
}

// oddOne is the one of two works in the wrong order that stands out of a row that
// is else in order; nil where swapping the two mends it, or nothing so simple does.
func oddOne(c *check.Context, s *recipe.Surface, before, w *process.Work) *process.Work {
	var row []*process.Work
	at := -1
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		if chain.Surface != s {
			continue
		}
		for j := range chain.Works {
			one := &chain.Works[j]
			if !live(one) || one.Class != w.Class || one.Abrasive.Family == nil {
				continue
			}
			if one.Step == w.Step {
				at = len(row)
			}
			row = append(row, one)
		}
	}
	if at < 1 || row[at-1].Step != before.Step {
		return nil
	}
	prevBack := at > 1 && coarser(row[at-2], w)
	nextBack := at+1 < len(row) && coarser(before, row[at+1])
	switch {
	case prevBack && !nextBack:
		return w
	case nextBack && !prevBack:
		return before
	}
	return nil
}

// backwards walks one chain and remembers the last work of each lap class, and
// the last of the polishing kinds.
func backwards(c *check.Context, chain *process.Chain, faults *together) {
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
		before, other := last[w.Class], last[otherLap(w.Class)]
		switch {
		case quiet:
		case w.Class != "" && before != nil && coarser(before, w):
			faults.add(faultOf(before, w, sameLap), chain.Surface, before, w)
		case shine != nil && undoes(c.House, shine, w):
			if !pastStop(c.House, chain, i) {
				faults.add(faultOf(shine, w, undone), chain.Surface, shine, w)
			}
			// What follows is held against the step that went back.
			clear(last)
			shine = nil
		case other != nil && farCoarser(other, w):
			faults.add(faultOf(other, w, acrossLap), chain.Surface, other, w)
			clear(last)
		}
		last[w.Class] = w
		if !isWork(w.Abrasive, trade.Grind) && (shine == nil || isWork(w.Abrasive, trade.Polish)) {
			shine = w
		}
	}
}

// otherLap is the other of the two classes whose grains meet the glass without
// a cushion: loose on a hard plate, and bonded.
func otherLap(c trade.LapClass) trade.LapClass {
	switch c {
	case trade.Hard:
		return trade.Bonded
	case trade.Bonded:
		return trade.Hard
	}
	return "none"
}

// farCoarser says whether w is so much coarser than what another lap class left
// that nobody takes the one for the finer.
func farCoarser(before, w *process.Work) bool {
	if !isWork(before.Abrasive, trade.Grind) || !isWork(w.Abrasive, trade.Grind) || !comparable(before.Abrasive, w.Abrasive) {
		return false
	}
	had, has := effective(before), effective(w)
	return had > 0 && has > outcomes().across*had
}

// effective is the grain in µm a work leaves the marks of: a bond that gives
// leaves those of a finer one.
func effective(w *process.Work) float64 {
	if gives := outcomes().gives[w.Abrasive.Bond]; gives > 0 && !actsLike(w.Abrasive).Written() {
		return w.Grain / gives
	}
	return w.Grain
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
func comparable(a, b *trade.Abrasive) bool {
	if a.Family == nil || b.Family == nil {
		return false
	}
	return a.Family == b.Family || a.Family.Comparable && b.Family.Comparable
}

// undoes says whether a work spoils the shine an earlier one brought: pumice
// after cerium, or a grind. A fine grain on felt or a pad, or one that leaves
// more than the pumice did, brightens the face and is left alone.
func undoes(h *trade.House, shine, w *process.Work) bool {
	if isWork(w.Abrasive, trade.Polish) {
		return false
	}
	if isWork(w.Abrasive, trade.Prepolish) {
		return isWork(shine.Abrasive, trade.Polish)
	}
	_, dull, known := outcomes().ranks(h, shine)
	bright, _, ok := outcomes().ranks(h, w)
	if w.Class == trade.Hard || w.Class == trade.Bonded {
		return !known || !ok || bright.Rank <= dull.Rank
	}
	return known && ok && bright.Rank < dull.Rank
}
