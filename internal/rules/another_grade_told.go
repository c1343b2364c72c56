package rules

import (
	"bytes"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

var anotherGradeTold = check.Rule{
	ID: "another-grade-told", Severity: diag.Warning, Concern: diag.Grade,
	Title: "The orders of a step name the grade its facts name.",
	Why: "\"Smooth with 400\" under a 270 wheel leaves whoever stands there to choose, and a bare 400 is four sizes of grain. " +
		"The chain of grades, the minutes and the washing between are reckoned from the facts alone.",
	Source: "common practice",
	Quiet: "the number is that of the step's own grain or stock line, it has a unit behind it, the sentence speaks of a seam or opens with when it is done, the step is done only if something is seen, " +
		"or the words do not order work with it",
	Bad:  "1. Smooth with 400.   (Abrasive: metal diamond wheel 270 mesh)",
	Good: "1. Smooth with the same wheel.   (or a step of its own for the 400)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Working() || !step.Abrasive.OK || step.OnlyIf.Written() {
				continue
			}
			for j := range step.Body {
				one := &step.Body[j]
				if one.Kind != recipe.Order && one.Kind != recipe.Words {
					continue
				}
				if span := otherGradeIn(step, one.Span); span.Known() {
					found(check.Finding{
						Span: span, Step: step.Number,
						Message: "\"" + oneLine(span.Text()) + "\" in " + stepNo(step) + " names a grade, and the step works with " + nameOf(step.Abrasive.Value) + ".",
						Help:    "Write the grade of the step, or take it out; another grade is a step of its own, with its scale or stock code.",
					})
					break
				}
			}
		}
	},
}

// workOrders are the verbs that order work with a grade, besideWords what is done
// beside it with a finer hand.
var (
	workOrders  = wordSet("smooth grind work sand lap rub polish finish level flatten true refine")
	besideWords = wordSet("seam arris arrises edge edges corner corners chip chips hand")
)

// otherGradeIn is the place in a stretch of the recipe where work with another
// grade than the step's is ordered.
func otherGradeIn(step *recipe.Step, at source.Span) source.Span {
	if !at.Known() {
		return source.Span{}
	}
	for _, join := range gradeJoins {
		if !bytes.Contains(at.Bytes(), join) {
			continue
		}
		if span := otherGradeBehind(step, at, string(join)); span.Known() {
			return span
		}
	}
	return source.Span{}
}

// gradeJoins stand between the verb of an order and the grade it works with.
var gradeJoins = [][]byte{[]byte(" with "), []byte(" on ")}

// otherGradeBehind looks for it behind one of the words that join a grade to its
// verb.
func otherGradeBehind(step *recipe.Step, at source.Span, join string) source.Span {
	text := at.Text()
	for from := 0; ; {
		n := strings.Index(text[from:], join)
		if n < 0 {
			return source.Span{}
		}
		from += n + len(join)
		number, end := gradeBehind(text[from:])
		if number == "" || ownGrade(step, number) {
			continue
		}
		start := 1 + strings.LastIndexAny(text[:from-1], ",.!?:;\n")
		words := splitWords(text[start : from+end])
		if len(words) > 0 && isDigit(words[0].text[0]) {
			words = words[1:] // the number of the order
		}
		if start > 0 && (text[start-1] == ':' || text[start-1] == ',' && opensIf(text[:start-1])) {
			words = nil // what is done where something is seen
		}
		seam := false
		for _, w := range words {
			seam = seam || besideWords[w.text]
		}
		if !seam && opensWork(words) {
			first := start + strings.Index(text[start:], text[start+words[0].start:start+words[0].end])
			return at.File.Span(at.Start+first, at.Start+from+end)
		}
	}
}

// opensIf says whether the last sentence of a text opens with a condition.
func opensIf(text string) bool {
	words := splitWords(text[1+strings.LastIndexAny(text, ".!?;\n"):])
	return len(words) > 0 && (words[0].text == "if" || words[0].text == "should" || words[0].text == "unless" || words[0].text == "where")
}

// opensWork says whether words open with the order to work.
func opensWork(words []noteWord) bool {
	for len(words) > 1 && (words[0].text == "then" || words[0].text == "now" || words[0].text == "next" || words[0].text == "and") {
		words = words[1:]
	}
	switch {
	case len(words) == 0:
		return false
	case len(words) > 1 && (words[0].text == "go" && words[1].text == "over" || words[0].text == "touch" && words[1].text == "up"):
		return true
	}
	return workOrders[words[0].text]
}

// gradeBehind is the number of a grade that text opens with, and its end: "400",
// "the F400", "P400 paper". "" where it is none, or a quantity.
func gradeBehind(text string) (number string, end int) {
	rest := text
	for _, small := range []string{"the ", "a ", "loose ", "grit ", "mesh "} {
		rest = strings.TrimPrefix(rest, small)
	}
	n := 0
	for n < len(rest) && (isDigit(rest[n]) || n == 0 && strings.IndexByte("FPDR#", rest[0]) >= 0) {
		n++
	}
	number = strings.TrimLeft(rest[:n], "FPDR#")
	if !usualNumbers[number] {
		return "", 0
	}
	behind := strings.TrimLeft(rest[n:], " ")
	end = len(text) - len(rest) + n
	if behind == "" || strings.IndexByte(".,;:!?)\n", behind[0]) >= 0 {
		return number, end
	}
	word, _, _ := strings.Cut(behind, " ")
	if behindGrades[strings.ToLower(strings.Trim(word, ".,;:\n"))] || afterGrades[word] || len(number) < n {
		return number, end
	}
	return "", 0
}

// afterGrades may follow a grade in an order.
var afterGrades = wordSet("until till and on over in")

// ownGrade says whether the number is among those of the step's own abrasive.
func ownGrade(step *recipe.Step, number string) bool {
	a := step.Abrasive.Value
	texts := []string{a.Words, a.Grade.Label, step.Abrasive.Span.Text(), step.Title, nameOf(a)}
	if a.Stock != nil {
		texts = append(texts, a.Stock.Code)
	}
	for _, text := range texts {
		for _, w := range splitWords(text) {
			if strings.Trim(w.text, "fpdr") == number || strings.HasSuffix(w.text, number) {
				return true
			}
		}
	}
	return false
}
