package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var protectedWorked = check.Rule{
	ID: "protected-surface-worked", Severity: diag.Error, Concern: diag.Piece,
	Title: "A surface that is to stay untouched is not worked, and stands masked beside a blast.",
	Why: "A fire polish or a cast skin is gone with the first grain and does not come back. A blast reaches everything in the cabinet " +
		"that is not under tape, a finished face too.",
	Source: "common practice",
	Quiet:  "the surface is masked in the step",
	Bad:    "Machine: blast cabinet   (with the dome untouched and no Mask before it)",
	Good:   "Mask: dome",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			if !untouched(chain.Surface) {
				continue
			}
			var places []place
			for j := range chain.Works {
				if w := &chain.Works[j]; !w.Masked {
					places = append(places, place{w.Step, useSpan(w.Step, chain.Surface)})
				}
			}
			gather(places, found, func(subject string, many bool) check.Finding {
				works := " works "
				if many {
					works = " work "
				}
				return check.Finding{
					Surface: chain.Surface.Name.Value,
					Message: subject + works + the(chain.Surface) + ", which is to stay untouched.",
					Help:    "Take it out of the step, mask it, or give it a stop that may be worked.",
				}
			})
		}
		for i := range c.Recipe.Steps {
			if blasting(&c.Recipe.Steps[i]) && c.Recipe.Steps[i].Working() {
				besideBlast(c, i, found)
			}
		}
	},
}

// besideBlast finds what stands bare in the cabinet while something else is
// blasted.
func besideBlast(c *check.Context, n int, found func(check.Finding)) {
	step := &c.Recipe.Steps[n]
	var bare []string
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		s := chain.Surface
		if c.Plan.Steps[n].Masked[s.Name.Value] || names(step, s) && len(step.Surfaces) > 0 {
			continue
		}
		if untouched(s) || finished(c.House, chain, step) {
			bare = append(bare, the(s))
		}
	}
	if len(bare) == 0 {
		return
	}
	are := " is"
	if len(bare) > 1 {
		are = " are"
	}
	found(check.Finding{
		Span: step.Machine.Span, Step: step.Number,
		Message: "Step " + itoa(step.Number) + " blasts while " + listed(bare, "and") + are + " bare. What is untouched or finished does not outlast the grain.",
		Help:    "Write `Mask:` with " + listed(bare, "and") + ", in this step or before it.",
	})
}

// finished says whether a surface has been brought brighter than a blast
// leaves it and is not worked again after the step.
func finished(h *trade.House, chain *process.Chain, step *recipe.Step) bool {
	stop := stopOf(chain.Surface)
	if stop == nil || stop.Rank <= 1 {
		return false
	}
	done := false
	for i := range chain.Works {
		w := &chain.Works[i]
		if !live(w) {
			continue
		}
		if w.Step.Number >= step.Number {
			return false
		}
		bright, _, ok := outcomes().ranks(h, w)
		done = ok && bright.Rank >= stop.Rank
	}
	return done
}

var coatedWorked = check.Rule{
	ID: "coated-surface-worked", Severity: diag.Error, Concern: diag.Piece,
	Title: "A surface with a coating on it is not ground, blasted or polished.",
	Why: "A dichroic film is under a thousandth of a millimetre thick, gold and lustre hardly more: any grade takes it off at a touch. " +
		"A flashed skin is thicker, and is a warning.",
	Source: "common practice",
	Quiet:  "the coating is `capped` with clear glass, or the surface is masked in the step",
	Bad:    "coating: {kind: dichroic, on: top}   (and a step with Surface: top)",
	Good:   "coating: {kind: dichroic, on: top, capped: 3 mm}",
	Check: func(c *check.Context, found func(check.Finding)) {
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
					Message: subject + works + the(chain.Surface) + ", which bears a " + kind + ". Any grain takes it off.",
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
