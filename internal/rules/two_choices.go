package rules

import (
	"bytes"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

var twoChoices = check.Rule{
	ID: "two-choices", Severity: diag.Warning, Concern: diag.Grade,
	Title: "A step names one grade, not two to choose from.",
	Why: "\"220 or 400 as needed\" leaves the hardest decision of the craft to whoever stands there, and the next step is right for one of the two only. " +
		"A house procedure decides it once.",
	Source: "common practice",
	Quiet:  "the step is done only if something is seen, the numbers are minutes, speeds, lengths or counts, or a checkpoint or caution says it",
	Bad:    "1. Smooth with 220 or 400 as needed.",
	Good:   "Only if: a line of the 120 still shows   (in a step of its own with the 220)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Working() || step.OnlyIf.Written() {
				continue
			}
			span := choiceIn(c, step.Span)
			for j := range step.Body {
				if one := &step.Body[j]; !span.Known() && (one.Kind == recipe.Order || one.Kind == recipe.Words) {
					span = choiceIn(c, one.Span)
				}
			}
			if span.Known() {
				found(check.Finding{
					Span: span, Step: step.Number,
					Message: capital(stepNo(step)) + " leaves a choice of two grades: " + span.Text() + ".",
					Help:    "Keep the one that goes with the steps before and after it; for the other write a step of its own with `Only if:` and what must be seen.",
				})
			}
		}
	},
}

// choiceIn is the place in a stretch of the recipe where two grades stand with
// an "or" between them.
func choiceIn(c *check.Context, at source.Span) source.Span {
	if !at.Known() || !bytes.Contains(at.Bytes(), []byte(" or ")) {
		return source.Span{}
	}
	text := at.Text()
	for from := 0; ; {
		n := strings.Index(text[from:], " or ")
		if n < 0 {
			return source.Span{}
		}
		left, right := from+n, from+n+len(" or ")
		from = right
		start := strings.LastIndexAny(text[:left], " \n\t(,") + 1
		one := strings.Trim(text[start:left], "*_`\"")
		if rest, ok := strings.CutPrefix(text[right:], "the "); ok {
			right = len(text) - len(rest)
		}
		end := right
		for end < len(text) && !strings.ContainsRune(" \n\t),.;:!?", rune(text[end])) {
			end++
		}
		two := strings.Trim(text[right:end], "*_`\"")
		if one == two || one == "" || two == "" || !gradeLike(c, one, two, text[end:]) {
			continue
		}
		return at.File.Span(at.Start+start, at.Start+end)
	}
}

// behindGrades are the words that may follow two bare numbers that are grades.
var behindGrades = wordSet("as mesh grit grain disc discs pad pads belt belts paper papers wheel wheels lap powder if whichever where depending first again")

// gradeLike says whether two words are grades or lines of the house's stock.
func gradeLike(c *check.Context, one, two, behind string) bool {
	if c.House.FindStock(one) != nil && c.House.FindStock(two) != nil {
		return true
	}
	number := func(w string) string { return strings.TrimLeft(w, "FPDfpd#") }
	if !usualNumbers[number(one)] || !usualNumbers[number(two)] {
		return pumiceWord(one) && pumiceWord(two)
	}
	if len(number(one)) < len(one) || len(number(two)) < len(two) {
		return true
	}
	behind = strings.TrimLeft(behind, " \n\t")
	if behind == "" || strings.ContainsRune(".,;:!?)", rune(behind[0])) {
		return true
	}
	word, _, _ := strings.Cut(behind, " ")
	return behindGrades[strings.ToLower(strings.Trim(word, ".,;:"))]
}

// usualNumbers are the numbers under which grains are sold.
var usualNumbers = wordSet("60 80 100 120 140 150 180 200 220 230 240 270 280 320 325 360 400 500 600 700 800 1000 1200 1500 2000 3000")

// pumiceWord says whether a word is a degree of pumice.
func pumiceWord(w string) bool {
	if !hasDigit(w) {
		return false
	}
	_, ok := grade.OnScale(grade.Pumice, w)
	return ok
}
