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
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			beyond(c, chain, found)
			for j := range chain.Works {
				if w := &chain.Works[j]; pastStop(c.House, chain, j) {
					found(check.Finding{
						Span: abrasiveSpan(w.Step), Step: w.Step.Number, Surface: chain.Surface.Name.Value,
						Message: "Step " + itoa(w.Step.Number) + " works " + the(chain.Surface) + " with " + nameOf(w.Abrasive) + " after it had come to its stop, " +
							stopOf(chain.Surface).Name + ".",
						Help: "Put this step before the last one on " + the(chain.Surface) + ". If it is meant, write `Surface: " + chain.Surface.Name.Value + " (rework: the reason)`.",
					})
				}
			}
		}
		afterStopStep(c, found)
	},
}

// beyond finds a work that leaves the surface brighter than its stop, whatever
// comes before it.
func beyond(c *check.Context, chain *process.Chain, found func(check.Finding)) {
	stop := stopOf(chain.Surface)
	if stop == nil || stop.Rank == 0 {
		return
	}
	for i := range chain.Works {
		w := &chain.Works[i]
		if !live(w) || w.Rework || isWork(w.Abrasive, trade.Grind) {
			continue
		}
		if _, dull, ok := outcomes().ranks(c.House, w); ok && dull.Rank > stop.Rank {
			severity := diag.Error
			if isWork(w.Abrasive, trade.Prepolish) {
				// Pumice only softens a ground face; cerium cannot be taken back.
				severity = diag.Warning
			}
			found(check.Finding{
				Severity: severity,
				Span:     abrasiveSpan(w.Step), Step: w.Step.Number, Surface: chain.Surface.Name.Value,
				Message: "Step " + itoa(w.Step.Number) + " puts " + nameOf(w.Abrasive) + carriedBy(w) + " on " + the(chain.Surface) + ", which" + verb(chain.Surface, " stops", " stop") + " at " + stop.Name +
					". It leaves " + dull.Name + " or brighter.",
				Help: "Take the step out, or write `to: " + dull.Name + "` if that is what is wanted.",
			})
		}
	}
}

// pastStop says whether the n-th work of a chain takes a surface that had
// reached its stop to a duller finish.
func pastStop(h *trade.House, chain *process.Chain, n int) bool {
	w := &chain.Works[n]
	stop := stopOf(chain.Surface)
	if !live(w) || w.Rework || stop == nil || stop.Rank == 0 || w.Class == trade.Blast && reasoned(w.Step) {
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
	if step.Every || len(step.Surfaces) == 0 {
		return true
	}
	for _, use := range step.Surfaces {
		if use.Surface == s {
			return true
		}
	}
	return false
}
