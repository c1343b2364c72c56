package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var maskedWorked = check.Rule{
	ID: "masked-surface-worked", Severity: diag.Error, Concern: diag.Piece,
	Title: "A surface under a mask is not one that a step says it works.",
	Why: "Either the tape is to come off first and nobody says so, or the name stands there by a slip. " +
		"At the bench somebody grinds through the tape.",
	Source: "common practice",
	Quiet:  "the step takes no glass off, it names all surfaces (then masked ones are left alone), or it takes the mask off itself",
	Bad:    "Surface: base, dome   (the dome is masked since step 1)",
	Good:   "Unmask: dome   (in the step or before it)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Surfaces {
			s := &c.Recipe.Surfaces[i]
			places := workedUnderMask(c, s)
			if len(places) == 0 {
				continue
			}
			since := maskedSince(c.Recipe, s.Name.Value, places[0].step.Number-1)
			gather(places, found, func(subject string, many bool) check.Finding {
				names := " names "
				if many {
					names = " name "
				}
				return check.Finding{
					Surface: s.Name.Value,
					Message: subject + names + the(s) + ", which" + verb(s, " has", " have") + " been masked since step " + itoa(since) + ".",
					Help:    "Take " + s.Name.Value + " out of `Surface:`, or write `Unmask: " + s.Name.Value + "` before it is worked.",
				}
			})
		}
	},
}

// workedUnderMask are the places where a step names a surface to work it that
// lies under a mask.
func workedUnderMask(c *check.Context, s *recipe.Surface) (places []place) {
	for j := range c.Recipe.Steps {
		step := &c.Recipe.Steps[j]
		if step.Working() && !step.Every && c.Plan.Steps[j].Masked[s.Name.Value] && uses(step, s) {
			places = append(places, place{step, useSpan(step, s)})
		}
	}
	return places
}

// uses says whether a step names the surface.
func uses(step *recipe.Step, s *recipe.Surface) bool {
	for _, use := range step.Surfaces {
		if use.Surface == s {
			return true
		}
	}
	return false
}

// maskedSince is the number of the last step up to the n-th that masks the
// surface.
func maskedSince(r *recipe.Recipe, name string, n int) int {
	for i := n; i >= 0; i-- {
		for _, use := range r.Steps[i].Mask {
			if use.Name == name {
				return r.Steps[i].Number
			}
		}
	}
	return r.Steps[n].Number
}
