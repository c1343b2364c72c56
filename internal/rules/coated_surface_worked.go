package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
)

var coatedWorked = check.Rule{
	ID: "coated-surface-worked", Severity: diag.Error, Concern: diag.Piece,
	Title: "A surface with a coating on it, or in which a coated part lies, is not ground, blasted or polished.",
	Why: "A dichroic film is under a thousandth of a millimetre thick, gold and lustre hardly more: any grade takes it off at a touch. " +
		"A flashed skin is thicker, and is a warning. " +
		"A coated part that is a surface of its own, as a dichroic strip, lies in some face: where its name or words of the recipe say in which, that face is not worked; " +
		"where nothing says so and it may be one that is worked, that is a warning, or a note where another face is left alone.",
	Source: "common practice",
	Quiet:  "the coating is `capped` with clear glass, or told to lie under it; the surface or the coated part is masked in the step; or the part is said to lie elsewhere",
	Bad:    "coating: {kind: dichroic, on: top}   (and a step with Surface: top)",
	Good:   "coating: {kind: dichroic, on: top, capped: 3 mm}",
	Check: func(c *check.Context, found func(check.Finding)) {
		coatInFaces(c, found)
		coating := c.Recipe.Coating
		if coating == nil || !coating.On.OK {
			return
		}
		kind := "coating"
		if coating.Kind.OK {
			kind = coating.Kind.Value + " coating"
		}
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			if chain.Surface.Name.Value != coating.On.Value {
				continue
			}
			var places []place
			for j := range chain.Works {
				w := &chain.Works[j]
				switch {
				case w.Masked:
				case !coating.Capped.Written():
					places = append(places, place{w.Step, useSpan(w.Step, chain.Surface)})
				case coating.Capped.OK && w.Step.Depth.OK && deeper(w.Step.Depth.Value, coating.Capped.Value):
					found(check.Finding{
						Span: w.Step.Depth.Span, Step: w.Step.Number, Surface: chain.Surface.Name.Value,
						Message: "Step " + itoa(w.Step.Number) + " goes deeper than the clear glass over the " + kind + " of " + the(chain.Surface) + ".",
						Help:    "Write a depth that stays in the clear glass.",
					})
				}
			}
			gather(places, found, func(subject string, many bool) check.Finding {
				works := " works "
				if many {
					works = " work "
				}
				f := check.Finding{
					Surface: chain.Surface.Name.Value,
					Message: subject + works + the(chain.Surface) + ", which" + verb(chain.Surface, " bears ", " bear ") + article(kind) + ". Any grain takes it off.",
					Help:    "Mask it, work the other side, or write `capped:` with the clear glass that lies over it.",
				}
				if coating.Kind.Value == "flashed" {
					f.Severity = diag.Warning
					f.Message = subject + works + the(chain.Surface) + ", which has a flashed skin. It is a millimetre thick at most."
				}
				return f
			})
		}
	},
}

// deeper says whether the length a reaches past b.
func deeper(a, b quantity.Value) bool {
	return a.Amount*a.Unit.Factor > b.Amount*b.Unit.Factor
}

// coated says whether a surface bears a coating with no clear glass over it.
func coated(r *recipe.Recipe, s *recipe.Surface) bool {
	c := r.Coating
	return c != nil && c.On.OK && c.On.Value == s.Name.Value && !c.Capped.Written()
}
