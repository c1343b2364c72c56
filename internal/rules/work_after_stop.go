package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var workAfterStop = check.Rule{
	ID: "work-after-stop", Severity: diag.Error, Concern: diag.Piece,
	Title: "Nothing works a surface beyond its stop.",
	Why: "Cerium on a face that was to stay satin cannot be taken back, and a grind after the polish undoes it. " +
		"Most spoilt pieces were finished once.",
	Source: "common practice",
	Quiet:  "the step is marked as rework with its reason, is done only if something is seen, or re-seams an arris",
	Bad:    "Abrasive: cerium oxide 1.5 µm   (on a face that stops at satin)",
	Good:   "- {name: face, shape: relief, to: lustre}   (if the shine is wanted)",
	Check: func(c *check.Context, found func(check.Finding)) {
		var brighter, duller together
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			for j := range chain.Works {
				w := &chain.Works[j]
				if isBeyond(c.House, chain, w) {
					brighter.add(faultOf(nil, w, stopOf(chain.Surface).Name), chain.Surface, nil, w)
				}
				if pastStop(c.House, chain, j) {
					duller.add(faultOf(nil, w, stopOf(chain.Surface).Name), chain.Surface, nil, w)
				}
			}
		}
		var all []beyond
		brighter.tell(func(f check.Finding) { all[len(all)-1].Finding = f }, func(key fault, s several, _, w *process.Work) check.Finding {
			_, dull, _ := outcomes().ranks(c.House, w)
			f := check.Finding{
				Message: "Step " + itoa(w.Step.Number) + " puts " + nameOf(w.Abrasive) + carriedBy(w) + " on " + s.the() + ", which " + s.verb("stops", "stop") + " at " + key.kind +
					". It leaves " + dull.Name + " or brighter.",
				Help: "Take the step out, or write `to: " + dull.Name + "` if that is what is wanted.",
			}
			if isWork(w.Abrasive, trade.Prepolish) {
				// Pumice only softens a ground face; cerium cannot be taken back.
				f.Severity = diag.Warning
			}
			all = append(all, beyond{on: s.names(), stop: key.kind, rank: dull.Rank, work: w})
			return f
		})
		tellBeyond(all, found)
		duller.tell(found, func(key fault, s several, _, w *process.Work) check.Finding {
			return check.Finding{
				Message: "Step " + itoa(w.Step.Number) + " works " + s.the() + " with " + nameOf(w.Abrasive) + " after " + s.verb("it had come to its", "they had come to their") + " stop, " + key.kind + ".",
				Help:    "Put this step before the one that brings " + s.the() + " to " + s.verb("its", "their") + " stop. If it is meant, write `Surface: " + s.names() + " (rework: the reason)`.",
			}
		})
		afterStopStep(c, found)
	},
}

// beyond is a step that takes surfaces beyond their stop.
type beyond struct {
	check.Finding
	on, stop string
	rank     int
	work     *process.Work
}

// tellBeyond reports the steps that take the same surfaces beyond one stop together,
// at the first of the brightest: a stop written wrong is then told once.
func tellBeyond(all []beyond, found func(check.Finding)) {
	for len(all) > 0 {
		top, rest := all[0], all[:0:0]
		var same []beyond
		for _, one := range all {
			if one.on != top.on || one.stop != top.stop {
				rest = append(rest, one)
				continue
			}
			same = append(same, one)
		}
		for _, one := range same {
			if one.rank > top.rank {
				top = one
			}
		}
		var also []string
		for _, one := range same {
			if one.work != top.work {
				also = append(also, itoa(one.Step))
				top.Also = append(top.Also, diag.Site{Span: abrasiveSpan(one.work.Step), Step: one.Step})
			}
		}
		switch len(also) {
		case 0:
		case 1:
			top.Message += " Step " + also[0] + " goes beyond it too."
		default:
			top.Message += " Steps " + listed(also, "and") + " go beyond it too."
		}
		found(top.Finding)
		all = rest
	}
}

// isBeyond says whether a work leaves the surface brighter than its stop,
// whatever comes before it.
func isBeyond(h *trade.House, chain *process.Chain, w *process.Work) bool {
	stop := stopOf(chain.Surface)
	if stop == nil || stop.Rank == 0 || !live(w) || w.Rework || isWork(w.Abrasive, trade.Grind) {
		return false
	}
	_, dull, ok := outcomes().ranks(h, w)
	return ok && dull.Rank > stop.Rank
}

// pastStop says whether the n-th work of a chain takes a surface that had
// reached its stop to a duller finish.
func pastStop(h *trade.House, chain *process.Chain, n int) bool {
	w := &chain.Works[n]
	stop := stopOf(chain.Surface)
	if !live(w) || w.Rework || stop == nil || stop.Rank == 0 || w.Class == trade.Blast && reasoned(w.Step) {
		return false
	}
	if n == 0 {
		return false
	}
	bright, _, ok := outcomes().ranks(h, w)
	if !ok || bright.Rank >= stop.Rank {
		return false
	}
	reached := false
	for i := 0; i < n; i++ {
		before := &chain.Works[i]
		if !live(before) {
			continue
		}
		if before.Rework {
			reached = false
		}
		// What only might have reached it counts where it is a polishing kind
		// or leaves no less.
		if most, least, ok := outcomes().ranks(h, before); ok && most.Rank >= stop.Rank {
			reached = reached || !isWork(before.Abrasive, trade.Grind) || least.Rank >= stop.Rank
		}
	}
	return reached
}

// afterStopStep finds working steps behind one whose title says Stop.
func afterStopStep(c *check.Context, found func(check.Finding)) {
	for i := range c.Recipe.Steps {
		stop := &c.Recipe.Steps[i]
		if stop.Working() || !titledStop(stop.Title) {
			continue
		}
		for j := i + 1; j < len(c.Recipe.Steps); j++ {
			after := &c.Recipe.Steps[j]
			if !after.Working() || after.OnlyIf.Written() || after.Rework != "" {
				continue
			}
			for _, s := range c.Plan.Steps[j].Works {
				if !names(stop, s) {
					continue
				}
				found(check.Finding{
					Span: abrasiveSpan(after), Step: after.Number, Surface: s.Name.Value,
					Message: "Step " + itoa(after.Number) + " works " + the(s) + " after " + stepNo(stop) + ", \"" + stop.Title + "\".",
					Help:    "Put the step before it, or give " + stepNo(stop) + " another title.",
				})
				break
			}
		}
	}
}

// titledStop says whether a title opens with the word stop.
func titledStop(title string) bool {
	const word = "stop"
	if len(title) < len(word) || !strings.EqualFold(title[:len(word)], word) {
		return false
	}
	rest := title[len(word):]
	return rest == "" || strings.ContainsAny(rest[:1], " .:,;!-")
}

// names says whether the step is about the surface.
func names(step *recipe.Step, s *recipe.Surface) bool {
	return step.Every || len(step.Surfaces) == 0 || uses(step, s)
}
