package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/wear"
)

var damageNotCleared = check.Rule{
	ID: "damage-not-cleared", Severity: diag.Warning, Concern: diag.Piece,
	Title: "Each step takes off what the one before it broke.",
	Why: "Under every ground face lie cracks deeper than the marks that show. A step that takes off less than they are deep leaves them, and they come up grey or as lines at the polish. " +
		"What each step takes off and leaves is reckoned from its grain, force, speed and time. It is held against the stop: before a bright or optical polish the last polishing step must clear " +
		"what it is handed; pumice, brush and blast keep the texture of a matte face, a sheen or a lustre, so there it is asked of the grinding steps before them; the marks of a saw are no texture. " +
		"Less than the least depth is a warning, and so is less than the expected one where a large face went from one grain to another more than 3.6 times finer; else that is a note; where the house has measured both the step and the damage, an error and a warning.",
	Source: "Preston, J. Soc. Glass Technol. 11 (1927) 214, for what a step takes off; published depths of damage under ground glass against grain size, quoted from memory; the rest common practice",
	Quiet: "the surface stops at untouched, removed or seamed; an arris or bevel is worked by hand (of an edge, and of a face that is refined by hand to less than a bright polish, it is a note at most); the grain is not known, or what is written of area and machine cannot be read (where none is written the usual ones serve, for a note at most); another rule finds the order of its steps or the size of the surface wrong, or refuses a speed; " +
		"a face is not yet true when that step begins, and no grade is missing (stock-left); or a bright stop shines all the same (shines-but-pits-left)",
	Bad:  "Time: 8 min   (cerium oxide, straight after a resin pad 325 mesh)",
	Good: "Abrasive: pumice 2F   (for 10 min on a felt pad, between the pad and the cerium)",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := reckoning(c)
		var ones reckonedOnes
		for i := range r.judged {
			j := &r.judged[i]
			if f := j.fault; f.step >= 0 && !f.shines && !underCerium(c, j) && (f.step != j.uneven() || j.skipped(f) != nil) {
				ones.add(j.key(f), j)
			}
		}
		ones.tell(found, (*judged).handed, func(_ reckonedFault, j *judged, all several) check.Finding {
			st := &j.Steps[j.fault.step]
			return check.Finding{
				Span: abrasiveSpan(st.Steps[0]),
				Message: capital(all.the()) + all.verb(" comes", " come") + " to " + stepNo(st.Steps[0]) + " with " + damageOf(st.Before) + ", " +
					j.source(j.fault.origin, all) + j.untrue(st, all) + ". " + j.takesOff(st),
				Help: j.wayOut(r, j.fault),
			}
		})
	},
}

// key is a clearance that fails, as the model's findings are told apart.
func (j *judged) key(f clearance) reckonedFault {
	key := reckonedFault{step: j.Steps[f.step].Steps[0].Number, severity: severityOf(f.verdict, j.measured(f))}
	if key.severity == diag.Note && j.skipped(f) != nil {
		key.severity = diag.Warning
	}
	if byHandOnAnEdge(j.Surface, &j.Steps[f.step]) || j.byHandUnderASheen(f) {
		key.severity = diag.Note
	}
	key.severity = j.atMost(key.severity, &j.Steps[f.step])
	if f.origin != arrival {
		key.from = j.Steps[f.origin].Steps[0].Number
	} else {
		key.kind = j.Surface.From.Value.Words
	}
	return key
}

// byHandUnderASheen says whether a hand pad refines a face that stops short of a
// bright polish: the model is known to ask too many minutes of a hand, and what is
// left there is no more than texture. It is a note then.
func (j *judged) byHandUnderASheen(f clearance) bool {
	in := &j.Steps[f.step].In
	return j.stop.Rank < brightRank && in.Kind != nil && !in.Kind.Powered && in.Tool.Bond != wear.Loose && f.origin != arrival && j.skipped(f) == nil
}

// untrue is what is still to come off at a step before the face is true; "" where
// nothing is, or where stock-left says so.
func (j *judged) untrue(st *process.StepReckoning, all several) string {
	if st.Before.StockUM <= stockSlack || j.uneven() >= 0 {
		return ""
	}
	return ", and with " + two(st.Before.StockUM/1000) + " mm still to come off before " + all.verb("it is", "they are") + " true"
}

// handed is the damage in µm the step at fault is handed.
func (j *judged) handed() float64 { return j.Steps[j.fault.step].Before.DUM }
