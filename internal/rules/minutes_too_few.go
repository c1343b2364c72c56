package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
)

// tooFew is how many times more minutes a step must need than it has before its
// time cannot be: force, speed and the model are each good to a factor of about
// two.
const tooFew = 10

// leastSeconds is how long one of many faces is at the wheel at the very least:
// it is found, laid on and taken off.
const leastSeconds = 2

var minutesTooFew = check.Rule{
	ID: "minutes-too-few", Severity: diag.Warning, Concern: diag.Grade,
	Title: "A grinding step has a time in which it can do anything.",
	Why: "Two minutes of 220 by hand on a face the size of a tray do not reach its middle. The step is skipped in all but name, and the next grade does its work, " +
		"at a tenth of the speed. What is needed is reckoned; a tenth of that is a slip of the pen, or a machine that was meant and not written. " +
		"Nor is each of many faces found, laid to the wheel and lifted off in less than two seconds.",
	Source: "common practice",
	Quiet:  "the step has a tenth of the minutes it needs, or lacks less than five, and each of five faces or more has two seconds; the usual range of a house that measured it is kept; it runs in a pan, or on an arris, bevel or edge by hand; or damage-not-cleared or stock-left says it",
	Bad:    "Time: 2 min   (F220 by hand on plate glass, 450 cm² that a 60 disc left)",
	Good:   "Time: 50 min",
	Check: func(c *check.Context, found func(check.Finding)) {
		const lacks = 5 // minutes
		r := reckoning(c)
		var ones reckonedOnes
		at := func(j *judged) int {
			for n := 0; n < j.known; n++ {
				st := &j.Steps[n]
				need := minutesOf(st.Result.Expected)
				if n == j.fault.step || !st.Grinds() || st.Cut || st.In.Kind == nil || st.In.Kind.AtOnce || st.In.Minutes.Standing != process.Written || need <= 0 || j.guessed(st) != "" ||
					byHandOnAnArris(j.Surface, st) || byHandOnAnEdge(j.Surface, st) {
					continue
				}
				if m := st.In.Minutes.Value; m*tooFew < need && m+lacks < need {
					return n
				}
			}
			return -1
		}
		for i := range r.judged {
			if j := &r.judged[i]; j.uneven() < 0 {
				if n := at(j); n >= 0 && !j.hasty(n) {
					ones.add(reckonedFault{step: j.Steps[n].Steps[0].Number, severity: diag.Warning}, j)
				}
			}
		}
		tellHasty(r, found)
		ones.tell(found, func(j *judged) float64 { return minutesOf(j.Steps[at(j)].Result.Expected) }, func(_ reckonedFault, j *judged, all several) check.Finding {
			st := &j.Steps[at(j)]
			return check.Finding{
				Span: timeSpan(st.Steps[0]),
				Message: capital(stepNo(st.Steps[0])) + " works " + all.the() + " for " + two(st.In.Minutes.Value) + " min" + aFace(j, st) + " with " + nameOf(&st.Steps[0].Abrasive.Value) +
					". It needs about " + two(minutesOf(st.Result.Expected)) + " min to take off what it is handed.",
				Help: "Look whether the time or the machine is a slip of the pen. A grade that has no time to work is better left out.",
			}
		})
	},
}

// hasty says whether a grinding step has less than leastSeconds for each of many
// faces that come to the wheel one by one.
func (j *judged) hasty(n int) bool {
	const many = 5
	st := &j.Steps[n]
	return j.Count >= many && st.Cannot == "" && st.Grinds() && st.In.Kind != nil && !st.In.Kind.AtOnce && st.In.Minutes.Standing == process.Written && st.In.Minutes.Value*60 < leastSeconds
}

// tellHasty reports them.
func tellHasty(r *reckoned, found func(check.Finding)) {
	for i := range r.judged {
		j := &r.judged[i]
		for n := 0; n < j.known; n++ {
			if !j.hasty(n) {
				continue
			}
			st := &j.Steps[n]
			found(check.Finding{
				Span: timeSpan(st.Steps[0]), Step: st.Steps[0].Number, Surface: j.Surface.Name.Value,
				Message: capital(stepNo(st.Steps[0])) + " works " + the(j.Surface) + ", " + itoa(j.Count) + " faces, in the time of " + two(st.In.Minutes.Value*60) + " s each. " +
					"No face is found, laid to the wheel and lifted off in that.",
				Help: "Look whether the time is a slip of the pen; for one face at a time write it as `" + itoa(j.Count) + " x 20 s`.",
			})
		}
	}
}
