package rules

import (
	"bytes"
	"strconv"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

var anotherFigureTold = check.Rule{
	ID: "another-figure-told", Severity: diag.Warning, Concern: diag.Grade,
	Title: "The orders of a step give no higher speed, deeper cut or higher blast pressure than its facts.",
	Why: "Whoever stands at the wheel does what the sentence says, and every check of the speed, of the wall and of the pressure is made on the facts. " +
		"A speed in a sentence that is above a marked maximum is refused by wheel-over-speed.",
	Source: "common practice",
	Quiet: "the figure is no more than the fact, the sentence forbids it or names a limit not to be passed, it speaks of a step before, of spinning dry or of dressing, " +
		"the step is done only if something is seen, or no order stands before the figure",
	Bad:  "1. Run it at 400 rpm for the last minute.   (Machine: flat lap at 120 rpm)",
	Good: "1. For the last minute bear on less.",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Working() || step.OnlyIf.Written() {
				continue
			}
			for _, f := range figuresTold(c)[i] {
				if finding, ok := f.against(c, i); ok {
					finding.Span, finding.Step = f.span, step.Number
					found(finding)
					break
				}
			}
		}
	},
}

// toldFigure is a figure an order gives beside the facts.
type toldFigure struct {
	value quantity.Value
	span  source.Span
	// beside is true where the sentence is about something else than the work.
	beside bool
}

// against holds a figure against the fact of its kind in the n-th step.
func (f *toldFigure) against(c *check.Context, n int) (check.Finding, bool) {
	const slack = 1.05 // a figure is written round
	if f.beside {
		return check.Finding{}, false
	}
	step := &c.Recipe.Steps[n]
	words := "\"" + oneLine(f.span.Text()) + "\" in " + stepNo(step)
	switch f.value.Unit.Kind {
	case quantity.Rotation:
		fact := step.Machine.Value.Speed
		if !step.Machine.OK || !fact.Written() || tooFastTold(c, n, f.value) != "" {
			return check.Finding{}, false
		}
		if more, over := above(f.value, fact, c.Plan.Steps[n].Diameter); !over || more <= fact.Amount*slack {
			return check.Finding{}, false
		}
		return check.Finding{
			Message: words + " runs faster than the facts of the step, which say " + amount(fact) + ".",
			Help:    "Write the speed in `Machine:` alone. Another speed is a step of its own.",
		}, true
	case quantity.Length:
		deep := f.value.In(quantity.Millimetre)
		if !cutsIn(c, n) {
			return check.Finding{}, false
		}
		wall := c.Recipe.Piece.Wall
		finding := check.Finding{Help: "Write the depth in `Depth:` alone."}
		if wall.OK {
			finding.Help = "Write the depth in `Depth:` alone; a third of the thinnest wall is " + third(wall.Value) + "."
			if deep >= wall.Value.In(quantity.Millimetre) {
				finding.Severity = diag.Error
			}
		}
		switch {
		case step.Depth.OK && deep > slack*step.Depth.Value.In(quantity.Millimetre):
			finding.Message = words + " goes deeper than the facts of the step, which say " + step.Depth.Span.Text() + "."
		case !step.Depth.Written() && wall.OK && deep > slack*wall.Value.In(quantity.Millimetre)/wallShare:
			finding.Message = words + " goes deeper than a third of the thinnest wall, " + wall.Span.Text() + "."
		default:
			return check.Finding{}, false
		}
		return finding, true
	case quantity.Pressure:
		fact := step.Pressure.Value.Value
		if !blasting(step) || !step.Pressure.OK || fact.Unit.Kind != quantity.Pressure || f.value.In(fact.Unit) <= slack*fact.Amount {
			return check.Finding{}, false
		}
		return check.Finding{
			Message: words + " blasts harder than the facts of the step, which say " + step.Pressure.Span.Text() + ".",
			Help:    "Write the pressure in `Pressure:` alone.",
		}, true
	}
	return check.Finding{}, false
}

// figuresTold are the figures that the orders of each step tell.
func figuresTold(c *check.Context) map[int][]toldFigure {
	return c.Once(figuresKey{}, func() any {
		all := map[int][]toldFigure{}
		for i := range c.Recipe.Steps {
			if list := figuresIn(&c.Recipe.Steps[i]); list != nil {
				all[i] = list
			}
		}
		return all
	}).(map[int][]toldFigure)
}

type figuresKey struct{}

// figuresIn are the figures that the orders of a working step tell.
func figuresIn(step *recipe.Step) (list []toldFigure) {
	if !step.Working() {
		return nil
	}
	for j := range step.Body {
		one := &step.Body[j]
		if one.Kind != recipe.Order && one.Kind != recipe.Words || !one.Span.Known() {
			continue
		}
		text := one.Span.Bytes()
		if !bytes.Contains(text, []byte("rpm")) && !bytes.Contains(text, []byte("deep")) && !bytes.Contains(text, []byte(" bar")) && !bytes.Contains(text, []byte("psi")) {
			continue
		}
		words := splitWords(one.Span.Text())
		markMoods(words)
		for i := range words {
			value, from, to := figureAt(words, i)
			if !value.Written() || words[i].mood != plain || !orderedFigure(words, from, to) || onlyTold(words, to) {
				continue
			}
			first := clauseAt(words, from)
			list = append(list, toldFigure{beside: besideIn(words, from, to), value: value, span: one.Span.File.Span(one.Span.Start+words[first].start, one.Span.Start+words[to].end)})
		}
	}
	return list
}

// figureUnits are the units of a figure in a sentence.
var figureUnits = map[string]quantity.Unit{
	"rpm": quantity.RPM, "mm": quantity.Millimetre, "millimetre": quantity.Millimetre, "millimetres": quantity.Millimetre,
	"millimeter": quantity.Millimetre, "millimeters": quantity.Millimetre, "bar": quantity.Bar, "psi": quantity.PSI,
}

// figureAt is the figure whose unit is word i, and its first and last word. A
// length counts where it is a depth.
func figureAt(words []noteWord, i int) (v quantity.Value, from, to int) {
	unit, ok := figureUnits[words[i].text]
	if !ok || i == 0 || words[i].gap != space {
		return v, 0, 0
	}
	n, ok := numberOf(words[i-1].text)
	if !ok {
		return v, 0, 0
	}
	from, to = i-1, i
	if unit.Kind == quantity.Length {
		if i+1 == len(words) || words[i+1].gap != space || words[i+1].text != "deep" {
			return v, 0, 0
		}
		to = i + 1
	}
	return quantity.Value{Amount: n, Unit: unit}, from, to
}

// numberOf is a number in figures or, up to twelve, in words.
func numberOf(word string) (float64, bool) {
	if isDigit(word[0]) {
		n, err := strconv.ParseFloat(word, 64)
		return n, err == nil
	}
	for n := 1; n < len(numberWords); n++ {
		if strings.EqualFold(word, numberWords[n]) {
			return float64(n), true
		}
	}
	return 0, false
}

var (
	// figureOrders are what orders a speed, a depth or a pressure.
	figureOrders = stemSet("run turn set spin bring take go use start speed raise switch finish polish grind cut work drive sink blast shoot open put keep let deep")
	// limitWords make a figure one that is not to be passed or was so before.
	limitWords = wordSet("over above more most maximum max limit marked under below less than beyond exceed exceeding exceeds top not never was were had instead before until from earlier used")
	// besideFigures say that the sentence is about something else: a felt spun dry, a
	// wheel that is dressed, the air of the house.
	besideFigures = wordSet("dry dress dressing true truing rinse clean main mains gauge compressor supply line")
)

// byItselfWords may follow a figure that is an order by itself: "Two bar for the low
// places".
var byItselfWords = wordSet("for on in at here now from to till until with through all only then and deep again over")

// orderedFigure says whether the figure that begins at a word is ordered: its
// sentence has an order before it, or is nothing but the figure, and no limit.
func orderedFigure(words []noteWord, from, to int) bool {
	const near = 4
	ordered := words[from].gap == fullStop && (to+1 >= len(words) || words[to+1].gap != space || byItselfWords[words[to+1].text])
	for i := from - 1; i >= 0; i-- {
		if from-i <= near && limitWords[words[i].text] {
			return false
		}
		ordered = ordered || figureOrders[words[i].stem] && words[i].mood == plain
		if words[i].gap == fullStop {
			// The number of the order is no word of it.
			return ordered || i == from-1 && isDigit(words[i].text[0])
		}
	}
	return ordered
}

// onlyTold says whether what follows the figure that ends at a word only tells of it:
// "three millimetres deep was what the drawing said", "400 rpm is too much".
func onlyTold(words []noteWord, to int) bool {
	if to+1 >= len(words) || words[to+1].gap != space {
		return false
	}
	switch words[to+1].text {
	case "was", "were", "would":
		return true
	case "is":
		return to+2 < len(words) && words[to+2].text == "too"
	}
	return false
}

// besideIn says whether the sentence with the figure is about something else than
// the work.
func besideIn(words []noteWord, from, to int) bool {
	for i := clauseAt(words, from); i < len(words) && (i <= to || words[i].gap != fullStop); i++ {
		if besideFigures[words[i].text] {
			return true
		}
	}
	return false
}

// clauseAt is the first word of the sentence a word stands in, behind the number
// of the order.
func clauseAt(words []noteWord, at int) int {
	for i := at; i > 0; i-- {
		if words[i].gap == fullStop {
			return i
		}
	}
	if at > 0 && isDigit(words[0].text[0]) {
		return 1
	}
	return 0
}

// tooFastTold is whose maximum in the n-th step a speed told in a sentence is
// above, and the maximum; "" where it is none.
func tooFastTold(c *check.Context, n int, speed quantity.Value) string {
	s := &c.Recipe.Steps[n]
	mm := c.Plan.Steps[n].Diameter
	if u := s.Machine.Value.Unit; u != nil {
		if _, over := above(speed, u.Maximum, mm); over {
			return "maximum of " + u.Code + ", " + amount(u.Maximum)
		}
	}
	if a := s.Abrasive.Value.Stock; a != nil {
		if _, over := above(speed, a.Maximum, mm); over {
			return "marked maximum of " + a.Code + ", " + amount(a.Maximum)
		}
	}
	if m := s.Medium.Value.Stock; m != nil {
		if _, over := above(speed, m.Maximum, mm); over {
			return "marked maximum of " + m.Code + ", " + amount(m.Maximum)
		}
	}
	return ""
}

// speedsTold finds speeds told in the n-th step that are above a maximum.
func speedsTold(c *check.Context, n int, found func(check.Finding)) {
	for _, f := range figuresTold(c)[n] {
		if f.value.Unit.Kind != quantity.Rotation {
			continue
		}
		whose := tooFastTold(c, n, f.value)
		if whose == "" {
			continue
		}
		found(check.Finding{
			Span: f.span, Step: c.Recipe.Steps[n].Number,
			Message: "\"" + oneLine(f.span.Text()) + "\" in " + stepNo(&c.Recipe.Steps[n]) + " goes above the " + whose + ". No sheet is made for that, not even a draft.",
			Help:    "Take it out; the speed of the step stands in `Machine:`.",
		})
		return
	}
}
