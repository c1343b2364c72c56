package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var dryWhereWet = check.Rule{
	ID: "dry-where-wet", Severity: diag.Error, Concern: diag.People,
	Title: "A saw, a diamond tool or a belt on a machine, and cerium or pumice on what gives, do not run dry; a mould does not come off dry.",
	Why: "Dry glass heats at one spot and cracks in the hand, dust flies that no note on dust takes out of the air, a resin bond burns, " +
		"and a felt that dries grabs the piece.",
	Source: "common practice; 29 CFR 1910.1053 on wet methods, seen second-hand",
	Quiet: "the step is a blast, or is done by hand with paper, pad or file; on lead and unknown glass dry work is refused outright. " +
		"With a burr it only warns, and where a blade or a drill runs no more than damp",
	Bad:  "Water: dry   (Machine: wet saw)",
	Good: "Water: flood",
	Check: func(c *check.Context, found func(check.Finding)) {
		if s := stripsDry(c.Recipe); s != nil {
			found(check.Finding{
				Span: s.Water.Span, Step: s.Number,
				Message: capital(stepNo(s)) + " takes the mould off dry, and its dust may hold silica, which scars the lungs.",
				Help:    "Write `Water: spray` or `soak`, and let the step say how the mould is kept wet.",
			})
		}
		f := safetyOf(c)
		if f.lead {
			return
		}
		for i := range f.steps {
			s := &f.steps[i]
			if s.sawsDamp() {
				found(check.Finding{
					Span: s.at(s.s.Water.Span), Step: s.s.Number, Severity: diag.Warning,
					Message: capital(stepNo(s.s)) + " runs only damp, and a blade or a drill that no water runs to cracks the glass and throws dust.",
					Help:    "Write `Water: flood`, `drip` or `spray`, and let the step say how the water comes.",
				})
			}
			if !s.p.Dry || !s.works() {
				continue
			}
			what, severity := s.mustBeWet()
			if what == "" {
				continue
			}
			water := "`Water: flood`, `drip` or `spray`"
			if loose(&s.s.Abrasive.Value) {
				water = "`Water: damp`"
			}
			found(check.Finding{
				Span: s.at(s.s.Water.Span), Step: s.s.Number, Severity: severity,
				Message: capital(stepNo(s.s)) + " runs dry, and " + what + ".",
				Help:    "Write " + water + ", and let the step say how the water comes.",
			})
		}
	},
}

// sawsDamp says whether a blade or a drill runs with no more water than damp.
func (s *stepFacts) sawsDamp() bool {
	w := s.s.Water
	return w.OK && w.Value.Kind != nil && w.Value.Kind.Name == "damp" && s.works() && s.cuts() && s.powered
}

// mustBeWet says what comes of running the step dry, and how grave it is; ""
// where it may be dry.
func (s *stepFacts) mustBeWet() (what string, severity diag.Severity) {
	a := &s.s.Abrasive.Value
	soft := s.p.Class.Compliant() && loose(a)
	switch {
	case s.cuts() && s.powered, s.is(wetSaw, drillPress):
		return "a blade or a drill without water cracks the glass and throws dust", diag.Error
	case soft && isFamily(a, "cerium oxide"):
		return "cerium polishes only while it is damp: a felt or pad that dries grabs the piece and heats it", diag.Error
	case soft && isFamily(a, "pumice"):
		return "pumice works only while it is damp: what carries it heats the glass and throws dust when it dries", diag.Error
	case !s.powered:
		return "", 0
	case a.Tool != nil && a.Tool.Name == "burr":
		return "a burr without water heats the glass and throws dust", diag.Warning
	case a.Bond == trade.Resin:
		return "a resin bond without water burns, heats the glass and throws dust", diag.Error
	case isFamily(a, "diamond") && !loose(a):
		return "a diamond tool without water heats the glass and throws dust", diag.Error
	case s.belt:
		return "a belt without water heats the glass and throws dust", diag.Error
	case s.wheel:
		return "a wheel without water heats the glass and throws dust", diag.Error
	}
	return "", 0
}

// isFamily says whether the abrasive is of the family of that name.
func isFamily(a *trade.Abrasive, name string) bool { return a.Family != nil && a.Family.Name == name }

// stripsDry is a step that takes off a mould and says that it is done dry; nil
// where there is none.
func stripsDry(r *recipe.Recipe) *recipe.Step {
	if r.Piece.Mould.Value != "still on" && !arrivesInMould(r) {
		return nil
	}
	for i := range r.Steps {
		s := &r.Steps[i]
		if s.Working() || !s.Water.OK || s.Water.Value.Kind == nil || s.Water.Value.Kind.Name != "dry" {
			continue
		}
		mould, strips := false, false
		for _, w := range splitWords(stepWords(s)) {
			mould = mould || mouldStems[w.stem]
			strips = strips || stripStems[w.stem]
		}
		if mould && strips {
			return s
		}
	}
	return nil
}

var (
	mouldStems = stemSet("mould mold investment plaster fibre fiber")
	stripStems = stemSet("off away out strip knock chip break brush scrape clean dig pick peel")
)
