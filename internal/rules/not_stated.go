package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

var surfaceNotStated = check.Rule{
	ID: "surface-not-stated", Severity: diag.Error, Concern: diag.Piece,
	Title:  "A working step says which surface it works.",
	Why:    "Nobody can follow a surface from its first grain to its stop when a step on the way does not say that it is there.",
	Source: "common practice",
	Quiet:  "the step takes no glass off (masking, washing, looking)",
	Bad:    "Abrasive: silicon carbide F400   (and no Surface)",
	Good:   "Surface: base",
	Check: func(c *check.Context, found func(check.Finding)) {
		var places []place
		for i := range c.Recipe.Steps {
			if step := &c.Recipe.Steps[i]; namesNoSurface(step) {
				places = append(places, place{step, abrasiveSpan(step)})
			}
		}
		gather(places, found, func(subject string, many bool) check.Finding {
			says := " takes glass off and does not say where."
			if many {
				says = " take glass off and do not say where."
			}
			f := check.Finding{Message: subject + says, Help: "Write `Surface:` with what is worked."}
			if names := several(surfacesOf(c.Recipe)).names(); names != "" {
				f.Help = "Write `Surface:` with what is worked of: " + names + "."
			}
			return f
		})
	},
}

// namesNoSurface says whether a step takes glass off and says nothing of where.
// A name that could not be read is not nothing.
func namesNoSurface(step *recipe.Step) bool {
	if !step.Working() || step.Every || len(step.Surfaces) > 0 {
		return false
	}
	for _, f := range step.Facts {
		if f.Name == "Surface" {
			return false
		}
	}
	return true
}

func surfacesOf(r *recipe.Recipe) []*recipe.Surface {
	var all []*recipe.Surface
	for i := range r.Surfaces {
		if s := &r.Surfaces[i]; s.Name.Value != "" && !untouched(s) {
			all = append(all, s)
		}
	}
	return all
}

var machineNotStated = check.Rule{
	ID: "machine-not-stated", Severity: diag.Warning, Concern: diag.People, Trade: true,
	Title: "A working step says on which machine it is done, or by hand.",
	Why: "Speed, reach and most of the notes that protect people hang on the machine. Where none is written, nothing can be said of them, " +
		"and whoever is new takes the one that is free.",
	Source: "common practice",
	Quiet:  "the step takes no glass off (masking, washing, looking)",
	Bad:    "Medium: horsehair brush wheel, 150 mm   (and no Machine)",
	Good:   "Machine: lathe at 450 rpm",
	Check: func(c *check.Context, found func(check.Finding)) {
		var places []place
		for i := range c.Recipe.Steps {
			if step := &c.Recipe.Steps[i]; step.Working() && !step.Machine.Written() {
				places = append(places, place{step, abrasiveSpan(step)})
			}
		}
		gather(places, found, func(subject string, many bool) check.Finding {
			says := " does not say on which machine it is done."
			if many {
				says = " do not say on which machine they are done."
			}
			return check.Finding{Message: subject + says, Help: "Write `Machine:` with its code or its kind and speed, or `Machine: by hand`."}
		})
	},
}

var abrasiveNotStated = check.Rule{
	ID: "abrasive-not-stated", Severity: diag.Warning, Concern: diag.Piece,
	Title: "A step that charges a lap, wheel, pad or brush says with what grain.",
	Why: "A step with no Abrasive counts as handling: it is left out of the chain of grades, and of what is asked about water, tests and dust. " +
		"A wheel and a mix with nothing on it are a line that was forgotten.",
	Source: "common practice",
	Quiet:  "the step washes or soaks: what is held in the hand or used at the sink is what it is scrubbed with",
	Bad:    "Medium: felt pad, 300 mm   (Machine: flat lap at 150 rpm, and no Abrasive)",
	Good:   "Abrasive: pumice 2F",
	Check: func(c *check.Context, found func(check.Finding)) {
		var nothing toldAlike
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if step.Working() {
				continue
			}
			at, what := grainless(step)
			if what != "" {
				nothing.add(place{step, at}, what, "Write `Abrasive:` with the powder and its grade. If nothing is ground or polished there, take the line out.")
			}
		}
		nothing.tell(found, func(what string, many bool) string {
			if many {
				return " say " + what + ", and not what grain it is."
			}
			return " says " + what + ", and not what grain it is."
		})
	},
}

// grainless says what a step with no abrasive writes that only a grain has use
// for, and where; "" where it is handling.
func grainless(step *recipe.Step) (at source.Span, what string) {
	switch soaks := step.Water.Value.Kind != nil && step.Water.Value.Kind.Name == "soak"; {
	case step.Working():
	case step.Charge.Written():
		return step.Charge.Span, "how often fresh grain is put on"
	case step.Medium.Written() && (powered(step) || !step.Machine.Written() && mediumTurns(step)):
		return step.Medium.Span, "what carries the grain"
	case step.Mix.Written() && !soaks && (powered(step) || step.Medium.Written()):
		return step.Mix.Span, "how the grain is mixed"
	}
	return step.Span, ""
}

// mediumTurns says whether the medium of a step is one that turns.
func mediumTurns(step *recipe.Step) bool {
	k := step.Medium.Value.Kind
	return k != nil && k.Rim.High > 0
}
