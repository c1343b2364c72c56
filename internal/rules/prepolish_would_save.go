package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/wear"
)

var prepolishWouldSave = check.Rule{
	ID: "prepolish-would-save", Severity: diag.Note, Concern: diag.Grade,
	Title: "No cerium is spent on what a pre-polish takes off sooner.",
	Why: "Pumice takes glass off faster than cerium and leaves little for it. Cerium straight from a pad or a loose grain does the work of both, in more minutes and with the dearer powder. " +
		"The rule says which step, and about how many minutes a pumice step before it would save in all.",
	Source: "common practice: one pumice step cuts cerium minutes considerably; reckoned from the removal of both",
	Quiet:  "area or machine is not written, pumice has been there, the polish runs on pitch, which is for the figure as much as for the shine, less than a third of the minutes and less than three would be saved, an arris or bevel is polished by hand, or damage-not-cleared or shines-but-pits-left says the way out",
	Bad:    "Time: 30 min   (cerium oxide, straight after a resin pad 325 mesh)",
	Good:   "Abrasive: pumice 2F   (for 10 min on a felt pad, and then 6 min of cerium)",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := reckoning(c)
		var ones reckonedOnes
		for i := range r.judged {
			j := &r.judged[i]
			n, p, ok := j.saving(r)
			if !ok || underCerium(c, j) {
				continue
			}
			ones.add(reckonedFault{step: j.Steps[n].Steps[0].Number, severity: diag.Note, kind: pumiceOn(p, j.Steps[n].In.Kind)}, j)
		}
		ones.tell(found, func(j *judged) float64 { return j.After.DHighUM }, func(_ reckonedFault, j *judged, all several) check.Finding {
			n, p, _ := j.saving(r)
			st := &j.Steps[n]
			m := st.In.Minutes.Value
			return check.Finding{
				Span: abrasiveSpan(st.Steps[0]),
				Message: capital(stepNo(st.Steps[0])) + " gives " + all.the() + " " + two(m) + " min" + aFace(j, st) + " of " + powder(st) + ", and needs about " + minuteRange(st) +
					", because " + all.verb("it comes", "they come") + " to it with " + damageOf(st.Before) + ".",
				Help: capital(pumiceOn(p, st.In.Kind)) + " before it, about " + two(p.Pumice.Minutes) + " min" + aFace(j, st) + ", would leave about " + two(p.Step.Minutes) + " min to the " + powder(st) +
					": " + two(minutesOf(st.Result.Expected)-p.Pumice.Minutes-p.Step.Minutes) + " min less in all.",
			}
		})
	},
}

// saving is what pumice before the first polishing step would save, and which
// step that is.
func (j *judged) saving(r *reckoned) (int, process.Pumiced, bool) {
	const share, least = 1.0 / 3, 3
	if j.stop.Rank < brightRank || j.fault.step >= 0 {
		return 0, process.Pumiced{}, false
	}
	for n := range j.known {
		st := &j.Steps[n]
		if st.In.Tool.Family == wear.Pumice {
			break
		}
		if !st.Polish() {
			continue
		}
		if st.In.Tool.Lap == wear.Pitch {
			break
		}
		now := minutesOf(st.Result.Expected)
		if st.Before.StockUM > stockSlack || j.guessed(st) != "" || byHandOnAnArris(j.Surface, st) || now < least {
			break
		}
		p, ok := r.PumiceBefore(j.SurfaceReckoning, n)
		if !ok || p.Pumice.Reach != wear.Reached || p.Step.Reach == wear.Never {
			break
		}
		saved := now - p.Pumice.Minutes - p.Step.Minutes
		return n, p, saved >= least && saved >= share*now
	}
	return 0, process.Pumiced{}, false
}
