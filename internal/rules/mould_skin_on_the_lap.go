package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var mouldSkin = check.Rule{
	ID: "mould-skin-on-the-lap", Severity: diag.Error, Concern: diag.Piece,
	Title: "A cast piece comes out of its mould, and its skin is washed off, before a machine grinds it.",
	Why: "Plaster and silica that cling to the glass break off under the disc: they scratch, blunt and load it, and they hide cracks. " +
		"What is knocked off dry is dust of free silica.",
	Source: "common practice",
	Quiet:  "the mould is removed, or a step before the first machine strips, soaks, brushes or washes the piece",
	Bad:    "piece: {form: cast, mould: still on}   (and the first step is the flat lap)",
	Good:   "## Strip the mould damp   (then soak and brush, before the first disc)",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := c.Recipe
		if r.Piece.Mould.Value != "still on" && !arrivesInMould(r) {
			return
		}
		for i := range r.Steps {
			step := &r.Steps[i]
			if devests(step) {
				return
			}
			if !step.Working() || !powered(step) {
				continue
			}
			found(check.Finding{
				Span: step.Machine.Span, Step: step.Number,
				Message: "The piece comes with its mould still on, and " + stepNo(step) + " puts it on " + aMachine(step.Machine.Value) + " with nothing before it that takes the mould off.",
				Help:    "Put a step before it: strip the mould damp, soak, brush the recesses. If that has been done, write `mould: removed`.",
			})
			return
		}
	},
}

// arrivesInMould says whether a surface is written to come with its mould.
func arrivesInMould(r *recipe.Recipe) bool {
	if r.Piece.Mould.Written() {
		return false
	}
	for i := range r.Surfaces {
		words := strings.ToLower(r.Surfaces[i].From.Value.Words)
		if strings.Contains(words, "mould still on") || strings.Contains(words, "mold still on") || strings.Contains(words, "in investment") {
			return true
		}
	}
	return false
}

// devestWords are the stems of what is done to a mould.
var devestWords = []string{"strip", "soak", "brush", "wash", "devest", "divest", "break out", "chip", "dig out", "take the mould", "take the mold", "mould off", "mold off", "scrub", "peel", "rinse"}

// devests says whether a step takes no glass off and speaks of getting the
// mould off.
func devests(step *recipe.Step) bool {
	if step.Working() {
		return false
	}
	if w := step.Water.Value.Kind; w != nil && w.Wet {
		return true
	}
	return hasAny(strings.ToLower(stepWords(step)), devestWords)
}

func hasAny(text string, stems []string) bool {
	for _, stem := range stems {
		if strings.Contains(text, stem) {
			return true
		}
	}
	return false
}
