package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
)

// seen is the least depth in µm of what can be seen under a shine.
const seen = 0.1

var shinesButPitsLeft = check.Rule{
	ID: "shines-but-pits-left", Severity: diag.Warning, Concern: diag.Piece,
	Title: "A bright face has nothing left under its shine.",
	Why: "Cerium makes a face shine long before it has reached the bottom of what the grind left: \"it shines\" and \"nothing is left\" are two times. " +
		"The piece looks done at the wheel, and grey specks or lines show when the light comes from the side. The rule speaks where the model expects the shine and damage under it; " +
		"a warning where less comes off than the least depth, else a note, and one degree more where the house has measured.",
	Source: "common practice; reckoned as damage-not-cleared is",
	Quiet:  "the stop is not bright polish (an optical one is damage-not-cleared's), nothing is expected to be left, or less than a tenth of a micrometre, which nobody sees, or an arris or bevel is polished by hand",
	Bad:    "Time: 5 min   (cerium oxide, after three minutes of pumice on loose F600)",
	Good:   "Time: 12 min",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := reckoning(c)
		var ones reckonedOnes
		for i := range r.judged {
			j := &r.judged[i]
			if f := j.fault; f.step >= 0 && f.shines && !underCerium(c, j) && j.Steps[f.step].After.DUM >= seen {
				ones.add(j.key(f), j)
			}
		}
		ones.tell(found, (*judged).handed, func(_ reckonedFault, j *judged, all several) check.Finding {
			st := &j.Steps[j.fault.step]
			return check.Finding{
				Span: abrasiveSpan(st.Steps[0]),
				Message: capital(all.the()) + all.verb(" shines", " shine") + " after " + stepNo(st.Steps[0]) + ", with " + damageOf(st.After) + " still under the shine, " +
					j.source(j.fault.origin, all) + ". " + j.takesOff(st),
				Help: j.wayOut(r, j.fault),
			}
		})
	},
}
