package rules

import (
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var noCleanDown = check.Rule{
	ID: "no-clean-down", Severity: diag.Warning, Concern: diag.Piece,
	Title:  "Shared kit is washed before a finer grade comes to it.",
	Why:    "A few grains that stay on the plate, in the water or in the apron scratch the next grade, and a scratch found at the polish costs the whole way back.",
	Source: "common practice",
	Quiet: "each grade has its own machine, the next step there is not finer, a wash stands between the two, or grit-carry-over says it; " +
		"between two bonded discs on one lap it is a note",
	Bad:   "Abrasive: silicon carbide F220   (on the plate that F80 was on, with no Clean-down)",
	Good:  "Clean-down: scrape the slurry to its pot, scrub the plate, new bucket",
	Check: checkCleanDown,
}

func checkCleanDown(c *check.Context, found func(check.Finding)) {
	type pair struct{ grit, next *recipe.Step }
	var grit, discs []pair
	steps := c.Recipe.Steps
	for i := range steps {
		step := &steps[i]
		if !step.Abrasive.OK || !shared(step) {
			continue
		}
		next := nextThere(steps, i)
		if next == nil || !next.Abrasive.OK || !finerGrain(step.Abrasive.Value, next.Abrasive.Value) || washed(steps[i:next.Number-1]) {
			continue
		}
		switch {
		case loose(step.Abrasive.Value) || !isWork(next.Abrasive.Value, trade.Grind):
			grit = append(grit, pair{step, next})
		case step.Machine.Value.Kind.Tooled:
			discs = append(discs, pair{step, next})
		}
	}
	if len(grit)+len(discs) > 0 {
		// Where the note on carrying grit over is missing too, that rule says it.
		said := map[int]bool{}
		gritCarryOver.ready().Check(c, func(f check.Finding) {
			said[f.Step] = true
			for _, s := range f.Also {
				said[s.Step] = true
			}
		})
		told := func(p pair) bool { return said[p.grit.Number] }
		grit, discs = slices.DeleteFunc(grit, told), slices.DeleteFunc(discs, told)
	}
	report := func(pairs []pair, severity diag.Severity) {
		places := make([]place, len(pairs))
		for i, p := range pairs {
			places[i] = place{p.grit, p.grit.Span}
		}
		gather(places, found, func(subject string, many bool) check.Finding {
			first := pairs[0]
			f := check.Finding{Severity: severity, Help: "Write `Clean-down:` with what is washed: piece, plate, hands, bucket, apron."}
			if many {
				f.Message = subject + " are each followed by a finer grain on the same machine, and nothing is written of washing in between."
			} else {
				f.Message = subject + " leaves " + nameOf(first.grit.Abrasive.Value) + " on the " + machineName(first.grit.Machine.Value) + ", " +
					stepNo(first.next) + " comes to it with " + nameOf(first.next.Abrasive.Value) + ", and nothing is written of washing in between."
			}
			return f
		})
	}
	report(grit, 0)
	report(discs, diag.Note)
}

// shared says whether the step is done on a machine that others are done on
// too. What is held in the hand is its own kit, and air carries a blast away.
func shared(s *recipe.Step) bool {
	return s.Machine.OK && s.Machine.Value.Kind != nil && s.Machine.Value.Kind.Powered && !blasting(s)
}

// nextThere is the next working step on the same machine.
func nextThere(steps []recipe.Step, i int) *recipe.Step {
	key := machineKey(steps[i].Machine.Value)
	for j := i + 1; j < len(steps); j++ {
		if steps[j].Working() && machineKey(steps[j].Machine.Value) == key && !steps[j].OnlyIf.Written() {
			return &steps[j]
		}
	}
	return nil
}

// washed says whether one of the steps is cleaned up after, or a later one
// among them is itself a wash.
func washed(steps []recipe.Step) bool {
	for i := range steps {
		s := &steps[i]
		if s.CleanDown.Written() {
			return true
		}
		if i > 0 && !s.Working() && s.Water.OK && s.Water.Value.Kind != nil && s.Water.Value.Kind.Wet {
			return true
		}
	}
	return false
}

// finerGrain says whether b would be scratched by grains that a leaves about.
// Here the grain itself counts, not what its tool acts like.
func finerGrain(a, b trade.Abrasive) bool {
	if a.Family == nil || b.Family == nil {
		return false
	}
	if x, y := workRank(a.Family.Work), workRank(b.Family.Work); x != y {
		return x < y
	}
	if a.Grade.Scale == grade.Pumice && b.Grade.Scale == grade.Pumice {
		return b.Grade.Order < a.Grade.Order
	}
	if a.Family.Work != trade.Grind {
		return false
	}
	x, y := a.Grade.Size, b.Grade.Size
	return x > 0 && y > 0 && y < x && !nearSize(x, y)
}

func workRank(w trade.Work) int {
	switch w {
	case trade.Grind:
		return 1
	case trade.Prepolish:
		return 2
	case trade.Polish:
		return 3
	}
	return 0
}
