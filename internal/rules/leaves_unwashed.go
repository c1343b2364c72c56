package rules

import (
	"bytes"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var leavesUnwashed = check.Rule{
	ID: "leaves-unwashed", Severity: diag.Warning, Concern: diag.Piece,
	Title: "The piece is washed after its last work.",
	Why: "Cerium, pumice and grit that dry on a piece sit in every pit and arris, scratch the next face they are wiped over, and go with the piece into a hand or a box. " +
		"Nothing is seen under slurry, so that the last test was made on a dirty face.",
	Source: "common practice",
	Quiet: "a wash, a rinse or a wipe is written at the last working step or after it, also in its Clean-down or in the closing notes; a wet step that takes nothing off follows; " +
		"or the recipe leads on to another. Where the last grain is no powder it is a note",
	Bad:  "## Polish the base   (cerium, and nothing after it)",
	Good: "## Wash and sign   (Water: flood)",
	Check: func(c *check.Context, found func(check.Finding)) {
		steps := c.Recipe.Steps
		last := len(steps) - 1
		for last >= 0 && (!steps[last].Working() || steps[last].OnlyIf.Written()) {
			last--
		}
		if last < 0 || c.Recipe.Unread {
			return
		}
		end := &steps[last]
		wet := end.Water.OK && end.Water.Value.Kind != nil && end.Water.Value.Kind.Wet
		if !wet || !end.Abrasive.OK || blasting(end) || cleansAfter(steps[last:]) || leadsOn(c.Recipe) {
			return
		}
		f := check.Finding{
			Span: end.Span, Step: end.Number,
			Message: capital(stepNo(end)) + " is the last that works the piece, with " + nameOf(&end.Abrasive.Value) + ", and nothing is written of washing it afterwards.",
			Help:    "Put a step at the end that washes the piece (`Water: flood`), or write the wash into its `Clean-down:`.",
		}
		if !loose(&end.Abrasive.Value) && isWork(&end.Abrasive.Value, trade.Grind) {
			f.Severity = diag.Note
		}
		found(f)
	},
}

// cleanWords are the stems of getting a piece clean.
var cleanWords = stemSet("wash rinse scrub hose flush wipe clean sponge swill dip soak")

// cleansAfter says whether the first of the steps, which works the piece, or any
// after it gets it clean.
func cleansAfter(steps []recipe.Step) bool {
	for i := range steps {
		s := &steps[i]
		for _, f := range s.Facts {
			if f.Name == "" && saysClean(f.Value) {
				return true // a misspelt Clean-down, which is reported
			}
		}
		if cleanedDown(s) || !s.Working() && s.Water.OK && s.Water.Value.Kind != nil && s.Water.Value.Kind.Wet || saysClean(stepWords(s)) {
			return true
		}
	}
	return false
}

func saysClean(text string) bool {
	for _, w := range splitWords(text) {
		if cleanWords[w.stem] {
			return true
		}
	}
	return false
}

// leadsOn says whether what stands around the steps washes the piece or leads on
// to another recipe.
func leadsOn(r *recipe.Recipe) bool {
	around := r.Stop.Value + ". " + prose.BlockWords(r.Purpose) + ". " + prose.BlockWords(r.Notes)
	return saysClean(around) || bytes.Contains(r.File.Text, []byte(".md)"))
}
