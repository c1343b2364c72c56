package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var noWayBack = check.Rule{
	ID: "no-way-back", Severity: diag.Warning, Concern: diag.Test,
	Title: "A polish that shows a line sends the piece back to a grade that clears it.",
	Why: "Where nothing is written a failed test means: this step again. Cerium takes off a few thousandths of a millimetre, so a line is still there " +
		"after the second hour, and the face has gone wavy meanwhile.",
	Source: "common practice",
	Quiet:  "the step or the checkpoint has a Return to before it, a checkpoint that opens with Stop: says who decides, the test speaks of no line or scratch, or the surface comes to this recipe ground and is only polished here",
	Bad:    "- [ ] Ten-power: no line left   (with cerium, and no Return to)",
	Good:   "- [ ] Ten-power: no line left -> Smooth the base",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !isWork(&step.Abrasive.Value, trade.Polish) || returnsBefore(step.ReturnTo, step) || step.ReturnTo.Written() && !step.ReturnTo.OK || stopsAnywhere(step) {
				continue
			}
			back := clearer(c, step)
			if back == nil {
				continue
			}
			for j := range step.Body {
				one := step.Body[j].Check
				if step.Body[j].Kind != recipe.Check || one.Return.Written() && !one.Return.OK || returnsBefore(one.Return, step) || !speaksOfLines(one.Text) {
					continue
				}
				found(check.Finding{
					Span: one.Span, Step: step.Number,
					Message: capital(stepNo(step)) + " looks for lines and, where one shows, says no more than to polish again. A polish does not take a line out.",
					Help:    "Write `Return to:` with the step that clears it, as `" + back.Title + "`.",
				})
				break
			}
		}
	},
}

// returnsBefore says whether a way back leads to an earlier step.
func returnsBefore(r recipe.Field[recipe.Return], step *recipe.Step) bool {
	return r.OK && r.Value.Step > 0 && r.Value.Step < step.Number
}

func stopsAnywhere(step *recipe.Step) bool {
	for i := range step.Body {
		if step.Body[i].Kind == recipe.Check && step.Body[i].Check.Stops {
			return true
		}
	}
	return false
}

// clearer is the last grinding step before one on a surface it works, nil where
// there is none.
func clearer(c *check.Context, step *recipe.Step) *recipe.Step {
	var back *recipe.Step
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		if untouched(chain.Surface) || !names(step, chain.Surface) {
			continue
		}
		for j := range chain.Works {
			w := &chain.Works[j]
			if live(w) && w.Step.Number < step.Number && isWork(w.Abrasive, trade.Grind) && w.Class != trade.Blast && (back == nil || w.Step.Number > back.Number) {
				back = w.Step
			}
		}
	}
	return back
}

// lineWords are the stems of what a polish does not take out.
var lineWords = stemSet("line scratch sleek")

// speaksOfLines says whether a checkpoint looks for lines: not for the line of
// a lamp or of an edge.
func speaksOfLines(text string) bool {
	words := splitWords(text)
	for i := range words {
		if !lineWords[words[i].stem] {
			continue
		}
		before := ""
		if i > 0 {
			before = words[i-1].text
		}
		// "the strip lamp is one line", "no line of the tape"
		switch before {
		case "one", "straight", "unbroken", "clean", "clear", "sharp", "mask", "tape", "water":
			continue
		}
		if i+2 < len(words) && words[i+1].text == "of" && tapeWords[words[min(i+3, len(words)-1)].stem] {
			continue
		}
		return true
	}
	return false
}

var tapeWords = stemSet("tape mask masked wax pencil marker")

var returnTooFine = check.Rule{
	ID: "return-too-fine", Severity: diag.Warning, Concern: diag.Test,
	Title: "A line of a grade sends the piece back to that grade or to the one after it.",
	Why: "The grade that follows one is the last that clears its lines in a bearable time. Sent back to a finer one, or kept at the step in hand, " +
		"the line is only rubbed bright and comes up again at the polish.",
	Source: "common practice",
	Quiet:  "the checkpoint names no grade or stock line of an earlier step on the surface, or the way back is to that grade or the next one",
	Bad:    "- [ ] Ten-power: no line of the 80 left -> Last grit   (F600, with F220 and F400 between)",
	Good:   "- [ ] Ten-power: no line of the 80 left -> Second grit   (F220)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Working() || i < 2 {
				continue
			}
			for j := range step.Body {
				one := step.Body[j].Check
				if step.Body[j].Kind != recipe.Check || one.Stops || !hasDigit(one.Text) {
					continue
				}
				fault, next := namedGrade(c, step, one.Text)
				if next == nil {
					continue
				}
				back, span := step, one.Span
				switch {
				case one.Return.OK:
					back, span = &c.Recipe.Steps[max(one.Return.Value.Step, 1)-1], one.Return.Span
				case one.Return.Written():
					continue
				case step.ReturnTo.OK && step.ReturnTo.Value.Step > 0:
					back = &c.Recipe.Steps[step.ReturnTo.Value.Step-1]
				case step.ReturnTo.Written():
					continue
				}
				if back.Number <= next.Step.Number || back.Number > step.Number {
					continue
				}
				way := "sends the piece back to " + stepNo(back)
				if back == step {
					way = "says no more than to do the step again"
				}
				found(check.Finding{
					Span: span, Step: step.Number,
					Message: capital(stepNo(step)) + " looks for lines of " + grainOf(fault) + " from " + stepNo(fault.Step) + " and, where one shows, " + way + ", with " + nameOf(&back.Abrasive.Value) + ". That grain does not take them out.",
					Help:    "Send it to " + stepNo(next.Step) + ", `" + next.Step.Title + "`, or to " + stepNo(fault.Step) + ".",
				})
				break
			}
		}
	},
}

func hasDigit(text string) bool { return strings.ContainsAny(text, "0123456789") }

// namedGrade is the last earlier work on a surface of the step whose grade or
// stock line a checkpoint names beside the word for a line, and the work there
// that comes after it; nil where there is none or none comes before the step.
func namedGrade(c *check.Context, step *recipe.Step, text string) (fault, next *process.Work) {
	words := splitWords(text)
	about := false
	for i := range words {
		about = about || lineWords[words[i].stem] || words[i].stem == stem("mark") || words[i].stem == stem("pit")
	}
	if !about {
		return nil, nil
	}
	said := wordsWithFigures(text)
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		if untouched(chain.Surface) || !names(step, chain.Surface) {
			continue
		}
		var before []*process.Work
		for j := range chain.Works {
			if w := &chain.Works[j]; live(w) && w.Step.Number < step.Number && isWork(w.Abrasive, trade.Grind) {
				before = append(before, w)
			}
		}
		for j := len(before) - 2; j >= 0; j-- {
			if before[j].Abrasive.Grade.Label != before[j+1].Abrasive.Grade.Label && callsIt(said, before[j].Abrasive) {
				return before[j], before[j+1]
			}
		}
	}
	return nil, nil
}

// wordsWithFigures are the words of a text that hold a figure, in capitals:
// "D140", "F220", "80". A number with a unit or a share behind it is none.
func wordsWithFigures(text string) []string {
	var out []string
	all := strings.FieldsFunc(strings.ToUpper(text), func(r rune) bool { return strings.ContainsRune(" ,.;:()\t\n", r) })
	for i, w := range all {
		if hasDigit(w) && (i+1 == len(all) || !unitWords[all[i+1]]) {
			out = append(out, w)
		}
	}
	return out
}

var unitWords = wordSet("MM CM M \u00b5M \u039cM IN MIN MINUTES MINUTE S SECONDS H HOURS TIMES X % RPM PLACES POINTS FACES PIECES DEGREES TURNS POWER KG G")

// callsIt says whether one of the words is the stock line, the grade or the
// number of an abrasive.
func callsIt(said []string, a *trade.Abrasive) bool {
	label := strings.ToUpper(a.Grade.Label)
	number := strings.TrimFunc(label, func(r rune) bool { return r < '0' || r > '9' })
	for _, w := range said {
		if a.Stock != nil && strings.EqualFold(w, a.Stock.Code) || label != "" && (w == label || w == number) {
			return true
		}
	}
	return false
}
