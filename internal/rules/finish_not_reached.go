package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

var finishNotReached = check.Rule{
	ID: "finish-not-reached", Severity: diag.Error, Concern: diag.Piece,
	Title: "The steps leave the finish a surface stops at.",
	Why: "The order promises a finish the steps do not give. A 270 wheel leaves grey, pumice on a brush a sheen, and only cerium a clear polish. " +
		"A stop that asks for a polish and has no polishing step is an error. Else the finish is reckoned from the grain and the minutes: one place off the stop is a note, two are a warning; " +
		"where the house has measured, a warning and an error. More lustre than asked is a note only.",
	Source: "common practice; the roughness of a face from the depth of its damage: published ratios of the two for ground optical glass",
	Quiet: "no step works the surface at all (surface-never-worked), damage-not-cleared has spoken of it, an arris or bevel is worked by hand, one of its steps cannot be reckoned, " +
		"its polish is told of a surface under a mask (masked-surface-worked), its area or length is far from what the piece can have (size-does-not-fit), or another rule finds the order of its steps wrong",
	Bad:  "- {name: hollow, shape: concave, to: bright polish}   (and a last step with a 270 mesh wheel)",
	Good: "Abrasive: cerium oxide 1.5 µm   (as the last step on the hollow)",
	Check: func(c *check.Context, found func(check.Finding)) {
		none := noPolish(c, found)
		r := reckoning(c)
		var ones reckonedOnes
		for i := range r.judged {
			j := &r.judged[i]
			last := len(j.Steps) - 1
			if none[j.Surface.Name.Value] || j.Off == 0 || j.Finish == 0 || j.known <= last || j.fault.step >= 0 && j.Off < 0 || byHandOnAnArris(j.Surface, &j.Steps[last]) {
				continue
			}
			ones.add(reckonedFault{
				step: j.Steps[last].Steps[0].Number, severity: j.atMost(j.finishSeverity(), &j.Steps[last]), kind: j.stop.Name + j.Finish.String(),
			}, j)
		}
		ones.tell(found, func(j *judged) float64 { return j.Steps[len(j.Steps)-1].RqUM }, func(_ reckonedFault, j *judged, all several) check.Finding {
			st := &j.Steps[len(j.Steps)-1]
			f := check.Finding{
				Span: all[0].To.Span,
				Message: capital(all.the()) + all.verb(" is", " are") + " to come to " + j.stop.Name + ". By its grain and minutes " + stepNo(st.Steps[0]) + ", " +
					nameOf(&st.Steps[0].Abrasive.Value) + ", leaves " + j.Finish.String() + lampWords(st) + ".",
				Help: "Missing is " + outcomes().reachedBy[j.stop.Name] + ". Or write `to: " + j.Finish.String() + "` if that is where it stops.",
			}
			if j.Off < 0 && !st.Grinds() && j.stop.Rank <= lustreRank {
				f.Help = "Give " + stepNo(st.Steps[0]) + " longer; or missing is" + f.Help[len("Missing is"):]
			}
			if j.Off > 0 {
				f.Help = "If it may be that bright, write `to: " + j.Finish.String() + "`. Else stop sooner, or with a coarser grain."
			}
			if j.origin[len(j.Steps)-1] == arrival && j.Off < 0 && !st.Grinds() {
				f.Message += " " + capital(all.the()) + all.verb(" arrives", " arrive") + " with " + damageOf(j.Arrives) + " (" + j.Surface.From.Value.Words + ")."
			}
			f.Help += j.guessed(st)
			return f
		})
	},
}

// lampWords are what a lamp shows on the face, for the margin of a finding.
func lampWords(st *process.StepReckoning) string {
	if st.Finish >= wear.Lustre {
		return ""
	}
	return ": a lamp shows in it up to about " + two(st.LampDeg) + "° from the face"
}

// finishSeverity is that of a finish off the stop.
func (j *judged) finishSeverity() diag.Severity {
	last := len(j.Steps) - 1
	st := &j.Steps[last]
	measured := st.In.House.DamageFactor != 0 && st.In.Minutes.Standing == process.Written
	if !st.Grinds() {
		measured = st.In.House.RateFactor != 0 && st.In.Minutes.Standing == process.Written && j.depthMeasured(j.origin[last])
	}
	switch {
	case j.Off > 0:
		return diag.Note
	case j.Off < -1:
		return severityOf(wear.No, measured)
	}
	return severityOf(wear.Doubtful, measured)
}

// noPolish reports the surfaces that are to be polished and have no polishing
// step; by name. That rests on no number.
func noPolish(c *check.Context, found func(check.Finding)) map[string]bool {
	none := map[string]bool{}
	if unreadable(c.Recipe) {
		return none
	}
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		stop := stopOf(chain.Surface)
		if stop == nil || !stop.Polish {
			continue
		}
		var last *process.Work
		polished := false
		for n := range chain.Works {
			if w := &chain.Works[n]; live(w) {
				// What is worked past its stop had reached it.
				last, polished = w, polished || mayShine(c.House, w, stop) || w.Abrasive.Family == nil
			}
		}
		if last == nil || polished || grainForgotten(c.Recipe, chain.Surface) {
			continue
		}
		none[chain.Surface.Name.Value] = true
		if shinesUnderMask(c, chain, stop) {
			continue
		}
		found(check.Finding{
			Severity: diag.Error, Span: chain.Surface.To.Span, Surface: chain.Surface.Name.Value, Step: last.Step.Number,
			Message: capital(the(chain.Surface)) + verb(chain.Surface, " is", " are") + " to come to " + stop.Name + ", and no step polishes " + several{chain.Surface}.them() +
				". The last one there is " + stepNo(last.Step) + ", " + nameOf(last.Abrasive) + carriedBy(last) + ".",
			Help: "Missing is " + outcomes().reachedBy[stop.Name] + ". Or write `to:` and the finish where it stops.",
		})
	}
	return none
}

// grainForgotten says whether a step on a surface charges a lap with a grain it
// does not name: that may be the polish, and it is reported.
func grainForgotten(r *recipe.Recipe, s *recipe.Surface) bool {
	for i := range r.Steps {
		if _, what := grainless(&r.Steps[i]); what != "" && names(&r.Steps[i], s) {
			return true
		}
	}
	return false
}

// shinesUnderMask says whether a step names a surface to polish it while it lies
// under a mask: masked-surface-worked says so, and the polish is not missing.
func shinesUnderMask(c *check.Context, chain *process.Chain, stop *trade.Finish) bool {
	for i := range chain.Works {
		w := &chain.Works[i]
		if w.Masked && !w.Step.Every && !w.OnlyIf && mayShine(c.House, w, stop) {
			return true
		}
	}
	return false
}

// mayShine says whether a work is a kind that can polish at all.
func mayShine(h *trade.House, w *process.Work, stop *trade.Finish) bool {
	if isWork(w.Abrasive, trade.Polish) {
		return true
	}
	most, _, ok := outcomes().ranks(h, w)
	return !ok || most.Rank >= min(stop.Rank, brightRank)
}

// carriedBy is what carries a loose grain, for a sentence: " on a felt pad".
func carriedBy(w *process.Work) string {
	if w.Class == trade.Blast || !loose(w.Abrasive) || !w.Step.Medium.OK {
		return ""
	}
	return onMedium(w.Step.Medium.Value)
}

// onMedium is a medium for a sentence; "" where it is not known.
func onMedium(m trade.Medium) string {
	if m.Kind == nil {
		return ""
	}
	return " on " + article(mediumName(m))
}
