package rules

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

var anotherGradeTold = check.Rule{
	ID: "another-grade-told", Severity: diag.Warning, Concern: diag.Grade,
	Title: "The orders and the title of a step name the grade and the powder its facts name.",
	Why: "\"Smooth with 400\" under a 270 wheel leaves whoever stands there to choose, and a bare 400 is four sizes of grain. " +
		"The chain of grades, the minutes and the washing between are reckoned from the facts alone.",
	Source: "common practice",
	Quiet: "the number, code or powder is that of the step's own grain or stock line, it has a unit behind it, the sentence speaks of a seam or opens with when it is done, the step is done only if something is seen, " +
		"or the words do not order work with it",
	Bad:  "1. Smooth with 400.   (Abrasive: metal diamond wheel 270 mesh)",
	Good: "1. Smooth with the same wheel.   (or a step of its own for the 400)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Working() || !step.Abrasive.OK || step.OnlyIf.Written() {
				continue
			}
			if told := titlePowder(c.House, step); told != "" {
				found(check.Finding{
					Span: step.Abrasive.Span, Step: step.Number,
					Message: "By its title " + stepNo(step) + ", \"" + step.Title + "\", works with " + told + ", and its `Abrasive:` names " + nameOf(&step.Abrasive.Value) + ".",
					Help:    "Write the one that is meant in both.",
				})
			}
			for j := range step.Body {
				one := &step.Body[j]
				if one.Kind != recipe.Order && one.Kind != recipe.Words {
					continue
				}
				if span, code, powder := otherGradeIn(c.House, step, one.Span); span.Known() {
					f := check.Finding{
						Span: span, Step: step.Number,
						Message: "\"" + oneLine(span.Text()) + "\" in " + stepNo(step) + " names a grade, and the step works with " + nameOf(&step.Abrasive.Value) + ".",
						Help:    "Write the grade of the step, or take it out; another grade is a step of its own, with its scale or stock code.",
					}
					switch {
					case code != nil:
						f.Message = "\"" + oneLine(span.Text()) + "\" in " + stepNo(step) + " takes up " + nameOf(&code.Abrasive) + ", and the step works with " + nameOf(&step.Abrasive.Value) + "."
						f.Help = "Take it out; work with " + code.Code + " is a step of its own, with its own water, minutes and washing."
					case powder != nil:
						f.Message = "\"" + oneLine(span.Text()) + "\" in " + stepNo(step) + " takes up " + powder.Name + ", and the step works with " + nameOf(&step.Abrasive.Value) + "."
						f.Help = "Take it out; work with " + powder.Name + " is a step of its own, on a medium of its own."
					}
					found(f)
					break
				}
			}
		}
	},
}

// workOrders are the verbs that order work with a grade, besideWords what is done
// beside it with a finer hand.
var (
	workOrders = wordSet("smooth grind work sand lap rub polish finish level flatten true refine")
	// feedOrders put a powder to the work; a number behind them is a quantity.
	feedOrders  = wordSet("top charge load feed dress")
	besideWords = wordSet("seam arris arrises edge edges corner corners chip chips hand")
)

// otherGradeIn is the place in a stretch of the recipe where work with another
// grade than the step's is ordered, and the stock line or the powder it is where it
// is named by that.
func otherGradeIn(h *trade.House, step *recipe.Step, at source.Span) (source.Span, *trade.Stock, *trade.Family) {
	if !at.Known() {
		return source.Span{}, nil, nil
	}
	for _, join := range gradeJoins {
		if !bytes.Contains(at.Bytes(), join) {
			continue
		}
		if span, code, powder := otherGradeBehind(h, step, at, string(join)); span.Known() {
			return span, code, powder
		}
	}
	return source.Span{}, nil, nil
}

// gradeJoins stand between the verb of an order and the grade it works with.
var gradeJoins = [][]byte{[]byte(" with "), []byte(" on ")}

// otherGradeBehind looks for it behind one of the words that join a grade to its
// verb.
func otherGradeBehind(h *trade.House, step *recipe.Step, at source.Span, join string) (source.Span, *trade.Stock, *trade.Family) {
	text := at.Text()
	for from := 0; ; {
		n := strings.Index(text[from:], join)
		if n < 0 {
			return source.Span{}, nil, nil
		}
		from += n + len(join)
		number, end := gradeBehind(text[from:])
		var powder *trade.Family
		code, codeEnd := codeBehind(h, step, text[from:])
		switch {
		case code != nil:
			end = codeEnd
		case number == "" && join == " with ":
			powder, end = powderBehind(h, step, text[from:])
		}
		if code == nil && powder == nil && (number == "" || ownGrade(step, number)) {
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
		if !seam && (opensWork(words) || powder != nil && len(words) > 0 && feedOrders[words[0].text]) {
			first := start + strings.Index(text[start:], text[start+words[0].start:start+words[0].end])
			return at.File.Span(at.Start+first, at.Start+from+end), code, powder
		}
	}
}

// codeBehind is the stock line whose code a text opens with, and its end: a tool or
// grain that is not the step's own. nil where it is none.
func codeBehind(h *trade.House, step *recipe.Step, text string) (*trade.Stock, int) {
	rest := strings.TrimPrefix(text, "the ")
	n := 0
	for n < len(rest) && (isDigit(rest[n]) || rest[n] >= 'A' && rest[n] <= 'Z' || rest[n] == '-') {
		n++
	}
	if n < 2 {
		return nil, 0
	}
	s := h.FindStock(rest[:n])
	if s == nil || s == step.Abrasive.Value.Stock || s.Abrasive.Family == nil || nameOf(&s.Abrasive) == nameOf(&step.Abrasive.Value) {
		return nil, 0
	}
	return s, len(text) - len(rest) + n
}

// titlePowder is the powder, or the resin pad, that the title of a step names where
// its facts name another; "" where they agree or the title names none.
func titlePowder(h *trade.House, step *recipe.Step) string {
	a := &step.Abrasive.Value
	if a.Family == nil {
		return ""
	}
	if !namesPowder(h, step.Title) {
		return ""
	}
	told := ""
	words := splitWords(step.Title)
	for i := range words {
		w := words[i].text
		if i > 0 && (notWorked[words[i-1].text] && words[i-1].text != "with" || words[i-1].text == "the" && i > 1 && notWorked[words[i-2].text] && words[i-2].text != "with" || words[i-1].text == "no") {
			continue
		}
		if w == "resin" && i+1 < len(words) && words[i+1].gap == space && gradeNouns[words[i+1].text] {
			if a.Bond == trade.Resin {
				return ""
			}
			told = "a resin " + words[i+1].text
			continue
		}
		f := h.FindFamily(w)
		switch {
		case f == nil || f.Work == trade.Grind:
		case f == a.Family:
			return ""
		default:
			told = f.Name
		}
	}
	return told
}

// namesPowder says whether a title has a word for a powder that polishes, or for
// resin, in it: few have.
func namesPowder(h *trade.House, title string) bool {
	for from := 0; from < len(title); {
		n := 0
		for from+n < len(title) && (isLetter(title[from+n]) || title[from+n] >= utf8.RuneSelf) {
			n++
		}
		if n > 2 {
			w := title[from : from+n]
			if f := h.FindFamily(w); f != nil && f.Work != trade.Grind || strings.EqualFold(w, "resin") {
				return true
			}
		}
		from += n + 1
	}
	return false
}

// smallWords may stand between "with" and a powder: "with a touch of cerium".
var smallWords = wordSet("a the an little touch of pinch dab bit some fresh light last final spoonful spoon drop quick short")

// powderBehind is the polish or pumice a text opens with, and its end, where the
// step works with another powder.
func powderBehind(h *trade.House, step *recipe.Step, text string) (*trade.Family, int) {
	const most = 6
	at := 0
	for i := 0; i < most; i++ {
		rest := text[at:]
		n := 0
		for n < len(rest) && (isLetter(rest[n]) || rest[n] >= utf8.RuneSelf) {
			n++
		}
		if n == 0 {
			break
		}
		if !smallWords[rest[:n]] {
			f := h.FindFamily(rest[:n])
			if f == nil || f.Work == trade.Grind || f == step.Abrasive.Value.Family {
				break
			}
			return f, at + n
		}
		at += n
		if at < len(text) && (text[at] == ' ' || text[at] == '\n') {
			at++
		}
	}
	return nil, 0
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
	a := &step.Abrasive.Value
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
