package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/trade"
)

var ceriumOnCoarse = check.Rule{
	ID: "cerium-on-a-coarse-grind", Severity: diag.Warning, Concern: diag.Piece,
	Title: "Cerium comes to a bright face after a fine grind or after pumice, never straight after a coarse one.",
	Why: "Cerium takes off very little. On a small face long minutes may bring it through, and they round the edges and wave the face; on a larger one the lines of the grind shine with the rest. " +
		"Cerium may follow loose grain to about F400, a resin pad to about 325 mesh, a belt to about P400, a metal or vitrified wheel to about 700 mesh. A plated disc leaves deeper lines than its number says.",
	Source: "common practice",
	Quiet: "the stop is no bright or optical polish; pumice has been there between the two; an arris or bevel is worked by hand; the grain is not known; " +
		"damage-not-cleared or shines-but-pits-left says it as a warning; the house has measured both steps, and by its figures the cerium clears what it is handed; or another rule finds the order of the steps wrong",
	Bad:  "Abrasive: cerium oxide 1.5 µm   (straight after a metal diamond wheel 270 mesh)",
	Good: "Abrasive: pumice 2F   (on a cork wheel, between the diamond wheel and the cerium)",
	Check: func(c *check.Context, found func(check.Finding)) {
		coarseUnderCerium(c).tell(found, func(_ fault, s several, before, w *process.Work) check.Finding {
			ready := "loose F400 or a 325 mesh resin pad"
			if before.Abrasive.Tool != nil && before.Abrasive.Tool.Name == "belt" {
				ready = "a belt P400"
			}
			on := outcomes().pumiceMedium(w.Step.Machine.Value.Kind)
			if w.Class == trade.Brush {
				on = "brush"
			}
			return check.Finding{
				Message: capital(stepNo(w.Step)) + " polishes " + s.the() + " with " + nameOf(w.Abrasive) + " straight after " + stepNo(before.Step) + " ground " + s.them() +
					" with " + withGrain(before) + ". Cerium takes off too little for marks of that size: they come up as lines or grey under the shine.",
				Help: "Put pumice between the two, as 2F on " + article(on) + "; or a grind down to " + ready + " and then the cerium.",
			}
		})
	},
}

// withGrain is an abrasive and its grain in µm: "silicon carbide belt P220 (68
// µm)".
func withGrain(w *process.Work) string {
	if w.Grain <= 0 || actsLike(w.Abrasive).Written() {
		return nameOf(w.Abrasive)
	}
	return nameOf(w.Abrasive) + " (" + size(w.Grain) + ")"
}

type ceriumKey struct{}

// coarseUnderCerium are the polishing works that follow a coarse grind, worked
// out once.
func coarseUnderCerium(c *check.Context) *together {
	return c.Once(ceriumKey{}, func() any {
		faults := &together{}
		var r *reckoned
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			before, w := toCerium(chain)
			if w == nil {
				continue
			}
			if r == nil {
				r = reckoning(c)
			}
			if astray(c, chain) || r.speaks(chain, w) {
				continue
			}
			faults.add(faultOf(before, w, ""), chain.Surface, before, w)
		}
		return faults
	}).(*together)
}

// toCerium are the grind and the polish of a bright surface that follow each
// other where the grind is too coarse for it; nil where there are none such.
func toCerium(chain *process.Chain) (before, w *process.Work) {
	if stop := stopOf(chain.Surface); stop == nil || stop.Rank < brightRank || seam(chain.Surface) {
		return nil, nil
	}
	var last *process.Work
	for i := range chain.Works {
		w := &chain.Works[i]
		if !live(w) {
			continue
		}
		if w.Abrasive.Family == nil {
			last = nil
			continue
		}
		if last != nil && isWork(w.Abrasive, trade.Polish) && isWork(last.Abrasive, trade.Grind) && w.Class.Compliant() && tooCoarse(last) && !handOnNarrow(chain, w) {
			return last, w
		}
		last = w
	}
	return nil, nil
}

// tooCoarse says whether a grind is too coarse for cerium to follow.
func tooCoarse(w *process.Work) bool {
	lap, bond := w.Class, w.Abrasive.Bond
	if actsLike(w.Abrasive).Written() {
		lap, bond = trade.Hard, trade.Loose
	}
	return w.Grain > 0 && !outcomes().forCerium(lap, bond, w.Grain)
}

// handOnNarrow says whether a polish goes over an arris or a bevel by hand.
func handOnNarrow(chain *process.Chain, w *process.Work) bool {
	shape := shapeOf(chain.Surface)
	return (shape == "arris" || shape == "bevel") && !powered(w.Step)
}

// speaks says whether the model warns of a surface, or the house's own figures
// have it cleared.
func (r *reckoned) speaks(chain *process.Chain, w *process.Work) bool {
	for i := range r.judged {
		j := &r.judged[i]
		if j.Surface != chain.Surface {
			continue
		}
		if j.fault.step >= 0 {
			return j.key(j.fault).severity >= diag.Warning
		}
		for n := range j.Steps {
			if st := &j.Steps[n]; st.Steps[0] == w.Step {
				return j.measured(clearance{step: n, origin: j.origin[n]})
			}
		}
	}
	return false
}

// underCerium says whether cerium-on-a-coarse-grind says what there is to say of
// a surface whose fault is but a note.
func underCerium(c *check.Context, j *judged) bool {
	faults := coarseUnderCerium(c)
	for _, key := range faults.order {
		for _, s := range faults.all[key].surfaces {
			if s == j.Surface {
				return true
			}
		}
	}
	return false
}
