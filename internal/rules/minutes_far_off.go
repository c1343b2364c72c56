package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/wear"
)

var minutesFarOff = check.Rule{
	ID: "minutes-far-off", Severity: diag.Warning, Concern: diag.Grade,
	Title: "The minutes written are near those a step needs.",
	Why: "A time many times longer than a step needs is a slip of the pen, or minutes that are paid for and take good glass off. Held against it are the minutes that take off the highest damage reckoned. " +
		"A range whose end is more than five times its middle is a slip too. Over six times what is needed is a note; where the house has measured what the step takes off, a warning. A time too short is damage-not-cleared's.",
	Source: "common practice",
	Quiet:  "the ends of a range are no more than five times apart from its middle; area or machine is not written, the step is the first on the surface or follows a cut (it gives the shape as well), keeps a texture on purpose, follows a relief, is done by hand, makes the last polish, or is no more than ten minutes over; where the recipe is for several pieces, the minutes may be for them all",
	Bad:    "Time: 80 min   (loose F600 after F400, 96 cm²)",
	Good:   "Time: 8 min",
	Check: func(c *check.Context, found func(check.Finding)) {
		// Force, speed and the model itself are each good to a factor of about two.
		const times, over = 6, 10
		wideRanges(c, found)
		r := reckoning(c)
		var ones reckonedOnes
		at := func(j *judged) int {
			for n := 1; n < j.known; n++ {
				st := &j.Steps[n]
				kind := st.In.Kind
				safe := minutesOf(st.Result.Safe)
				if !st.Grinds() || j.Steps[n-1].Cut || kind == nil || !kind.Powered || kind.AtOnce || st.In.Minutes.Standing != process.Written || !(safe > 0) || roughing(st) || j.guessed(st) != "" {
					continue
				}
				// A relief is drawn with the wheel: its minutes are those of the form.
				if shapeOf(j.Surface) == "relief" {
					continue
				}
				if m := st.In.Minutes.Value / float64(max(c.Recipe.Piece.Count.Value, 1)); m > times*safe && m > safe+over {
					return n
				}
			}
			return -1
		}
		for i := range r.judged {
			j := &r.judged[i]
			n := at(j)
			if n < 0 {
				continue
			}
			key := reckonedFault{step: j.Steps[n].Steps[0].Number, severity: diag.Note}
			if j.Steps[n].In.House.RateFactor != 0 {
				key.severity = diag.Warning
			}
			ones.add(key, j)
		}
		ones.tell(found, func(j *judged) float64 { return -j.Steps[at(j)].In.Minutes.Value }, func(_ reckonedFault, j *judged, all several) check.Finding {
			st := &j.Steps[at(j)]
			by := "By the model it"
			if st.In.House.RateFactor != 0 {
				by = "By what the house measured it"
			}
			return check.Finding{
				Span: timeSpan(st.Steps[0]),
				Message: capital(stepNo(st.Steps[0])) + " works " + all.the() + " for " + two(st.In.Minutes.Value) + " min" + aFace(j, st) + ". " + by + " takes off what it is handed in about " +
					minuteRange(st) + ".",
				Help: "Look whether the time is a slip of the pen; if the minutes are the house's own, let it measure what the step takes off.",
			}
		})
	},
}

// roughing says whether a step works with a grain so coarse that it shapes.
func roughing(st *process.StepReckoning) bool { return st.In.Grain.Value >= fineGrain }

// timeSpan is where a step's time stands.
func timeSpan(step *recipe.Step) source.Span {
	if step.Time.OK {
		return step.Time.Span
	}
	return abrasiveSpan(step)
}

// minutesOf are minutes needed; 0 where none are asked or they never come.
func minutesOf(n wear.Needed) float64 {
	if n.Reach != wear.Reached {
		return 0
	}
	return n.Minutes
}

// minuteRange is how long a step needs, expected to safe: "2.4 to 4.1 min".
func minuteRange(st *process.StepReckoning) string {
	low, high := two(minutesOf(st.Result.Expected)), two(minutesOf(st.Result.Safe))
	if low == high {
		return low + " min"
	}
	return low + " to " + high + " min"
}

// wideRanges finds minutes from low to high of which one has a figure too many or
// too few.
func wideRanges(c *check.Context, found func(check.Finding)) {
	const most = 5
	for i := range c.Recipe.Steps {
		step := &c.Recipe.Steps[i]
		t := step.Time.Value
		if !step.Time.OK || !t.Low.Written() || !t.Usual.Written() || !t.High.Written() {
			continue
		}
		low, usual, high := t.Low.In(quantity.Minute), t.Usual.In(quantity.Minute), t.High.In(quantity.Minute)
		if low > 0 && (usual > most*low || high > most*usual) {
			found(check.Finding{
				Span: timeSpan(step), Step: step.Number, Severity: diag.Warning,
				Message: capital(stepNo(step)) + " takes " + two(usual) + " min as a rule, and from " + two(low) + " to " + two(high) + " min. Nobody can plan with that.",
				Help:    "Look whether one of the three has a figure too many or too few.",
			})
		}
	}
}
