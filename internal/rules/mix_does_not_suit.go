package rules

import (
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var mixDoesNotSuit = check.Rule{
	ID: "mix-does-not-suit", Severity: diag.Warning, Concern: diag.Piece,
	Title: "The mix suits the powder and what carries it.",
	Why: "Pumice works as mud that stays on the bristle, loose grit as a wet slurry, cerium nearly liquid. " +
		"Too thin and the wheel throws it off; too thick and it drags.",
	Source: "common practice",
	Quiet:  "the water is recirculated from a tank, the medium is kept for another powder (one-medium-two-compounds), or the tables know no mix for the pair",
	Bad:    "Mix: milk   (pumice on a brush wheel)",
	Good:   "Mix: mud",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			a := &step.Abrasive.Value
			if !step.Mix.OK || !step.Abrasive.OK || a.Family == nil || !loose(a) || step.Water.Value.Recirculated {
				continue
			}
			suits := trade.MixesFor(*a, step.Medium.Value, c.Plan.Steps[i].Class)
			if kept := step.Medium.Value.Stock; kept != nil && kept.KeptFor != "" {
				if family, _ := keptFamily(c.House, kept.KeptFor); family != nil && family != a.Family {
					continue // one of the two codes is a slip
				}
			}
			if len(suits) == 0 || mixSuits(c.House, step.Mix.Value, suits) {
				continue
			}
			var mend diag.Mend
			if len(suits) == 1 && step.Mix.Value.Word != nil {
				mend = diag.Word(step.Mix.Span, step.Mix.Span.Text(), suits[0])
			}
			found(check.Finding{
				Span: step.Mix.Span, Step: step.Number, Mend: mend,
				Message: "Step " + itoa(step.Number) + " mixes " + a.Family.Name + " as " + mixName(step.Mix.Value) + on(step) + ". It is usual as " + listed(suits, "or") + ".",
				Help:    "Write `Mix: " + suits[0] + "`.",
			})
		}
	},
}

func on(step *recipe.Step) string {
	if !step.Medium.OK {
		return ""
	}
	return " on " + article(mediumName(step.Medium.Value))
}

func mixName(m recipe.Mix) string {
	if m.Word != nil {
		return m.Word.Name
	}
	return figure(m.Powder) + " : " + figure(m.Water)
}

// mixSuits says whether a mix is one of those that suit; parts are held
// against the limits of the words.
func mixSuits(h *trade.House, m recipe.Mix, suits []string) bool {
	if m.Word != nil {
		return slices.Contains(suits, m.Word.Name)
	}
	if m.Powder <= 0 {
		return true
	}
	low, high := 0.0, 0.0
	for _, name := range suits {
		word := h.FindMix(name)
		if word == nil || word.High == 0 {
			return true
		}
		if low == 0 || word.Low < low {
			low = word.Low
		}
		high = max(high, word.High)
	}
	ratio := m.Water / m.Powder
	// The words overlap at the bench: a tenth either way is the same mix.
	return ratio >= 0.9*low && ratio <= 1.1*high
}
