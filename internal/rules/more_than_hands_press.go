package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

var moreThanHands = check.Rule{
	ID: "more-than-hands-press", Severity: diag.Warning, Concern: diag.People, Trade: true,
	Title: "No hand is asked for more force than a pair of hands can give.",
	Why: "Whoever leans on a turning disc with all their weight falls into it when the piece slips, and what no hand can hold for a minute is a slip of the pen or a figure for a machine. " +
		"Two hands and the body behind them push with about 200 N, for moments.",
	Source: "EN 1005-3 (200 N, pushing while standing), from memory; the house's `hand force` under `limits`",
	Quiet: "the machine presses by itself or by a lever, the house has written a force of its own for it, the step speaks of a weight, an arm, a clamp or a jig that presses, " +
		"or the figure is what something weighs. The house's own `hand force` makes it an error",
	Bad:  "Pressure: 900 N   (Machine: by hand)",
	Good: "Pressure: 40 N",
	Check: func(c *check.Context, found func(check.Finding)) {
		limit := c.House.Limits.HandForce
		if limit.Value <= 0 {
			return
		}
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Working() || !pressedByHand(step) {
				continue
			}
			at, force, ok := forceIn(step)
			if !ok || force <= limit.Value || pressedOtherwise(step) {
				continue
			}
			f := check.Finding{
				Span: at, Step: step.Number, Severity: diag.Warning,
				Message: capital(stepNo(step)) + " asks for " + figure(force) + " N " + handsAt(step) + ". Two hands push with " + figure(limit.Value) + " N at most, and not for long.",
				Help:    "Write the force a hand gives, as `Pressure: 40 N`, or say in the step what else presses: a weight, an arm, a jig.",
			}
			if limit.House {
				f.Severity = diag.Error
				f.Message = capital(stepNo(step)) + " asks for " + figure(force) + " N " + handsAt(step) + ". The house's limit is " + figure(limit.Value) + " N."
			}
			found(f)
		}
	},
}

// pressedByHand says whether it is hands that press in the step, as far as its
// machine says.
func pressedByHand(step *recipe.Step) bool {
	m := step.Machine.Value
	return m.Kind != nil && m.Kind.Pressed && (m.Unit == nil || !m.Unit.Force.Written())
}

// handsAt says where the hands press.
func handsAt(step *recipe.Step) string {
	if !powered(step) {
		return "by hand"
	}
	return "of the hands that hold the work"
}

// forceIn is the greatest force in N the step asks for, by its Pressure or in its
// words, and where.
func forceIn(step *recipe.Step) (at source.Span, newton float64, ok bool) {
	if p := step.Pressure; p.OK && p.Value.Value.Unit.Kind == quantity.Force {
		at, newton, ok = p.Span, p.Value.Value.In(quantity.Newton), true
	}
	for i := range step.Body {
		one := &step.Body[i]
		if one.Kind != recipe.Order && one.Kind != recipe.Words || !one.Span.Known() {
			continue
		}
		text := one.Span.Bytes()
		for n := range len(text) {
			if !isDigit(text[n]) || n > 0 && (isDigit(text[n-1]) || text[n-1] == '.' || text[n-1] == ',') || !forceUnit(text[n:]) {
				continue
			}
			start, end := sentence(text, n)
			for text[start] == ' ' || text[start] == '\n' {
				start++
			}
			if f := pressedWith(string(text[start:end])); f > newton {
				at, newton, ok = one.Span.File.Span(one.Span.Start+start, one.Span.Start+end), f, true
			}
		}
	}
	return at, newton, ok
}

// forceUnit says whether text opens with a number and a unit in which a press is
// spoken of.
func forceUnit(text []byte) bool {
	n := 0
	for n < len(text) && (isDigit(text[n]) || text[n] == '.' || text[n] == ',' || text[n] == ' ' || text[n] == '-') {
		n++
	}
	end := n
	for end < len(text) && isLetter(text[end]) {
		end++
	}
	return end-n <= len("kilograms") && newtons[strings.ToLower(string(text[n:end]))] > 0
}

// newtons are the units in which a press is spoken of.
var newtons = map[string]float64{
	"n": 1, "newton": 1, "newtons": 1, "kn": 1000, "kg": kilo, "kgf": kilo, "kilo": kilo, "kilos": kilo, "kilogram": kilo, "kilograms": kilo,
	"lb": pounds, "lbs": pounds, "lbf": pounds, "pound": pounds, "pounds": pounds,
}

// kilo and pounds are the weights of one kilogram and one pound in N.
var (
	kilo   = quantity.Value{Amount: 1, Unit: quantity.KilogramForce}.In(quantity.Newton)
	pounds = quantity.Value{Amount: 1, Unit: quantity.PoundForce}.In(quantity.Newton)
)

var (
	// pressVerbs order a press; pressOf are beside a figure that is no press of hands.
	pressVerbs = wordSet("press lean push bear force load hold put apply use give squeeze shove")
	pressOf    = wordSet("weighs weigh weighing lift lifts carry lifting lead sand bag bags shot chuck jig arm spring clamp lever hydraulic pneumatic cylinder fixture " +
		"two second helper hoist trolley scale scales under below grams dose powder water pumice cerium carbide grit tension torque motor breaks break strength breaking pulls vice jaw jaws bears holds gives withstands stands takes")
)

// pressedWith is the force in N a sentence tells hands to press with; 0 where it
// tells them nothing of the kind.
func pressedWith(text string) float64 {
	words := splitWords(text)
	markMoods(words)
	ordered, force := false, 0.0
	for i := range words {
		w := &words[i]
		if pressOf[w.text] {
			return 0
		}
		if pressVerbs[w.text] && w.mood == plain && (imperative(words, i) || secondOrder(words, i) || orderedWhen(words, i)) {
			ordered = true
		}
		if i > 0 && w.mood == plain {
			if i+2 < len(words) && words[i+1].text == "of" && (words[i+2].text == "pressure" || words[i+2].text == "force") || w.text == "n" || w.text == "newton" || w.text == "newtons" || w.text == "kgf" {
				ordered = ordered || isDigit(words[i-1].text[0])
			}
			if n, err := quantity.ParseNumber(words[i-1].text, quantity.Options{}); err == nil && newtons[w.text] > 0 {
				force = max(force, n*newtons[w.text])
			}
		}
	}
	if !ordered {
		return 0
	}
	return force
}

// pressedOtherwise says whether a step speaks of what presses in place of hands.
func pressedOtherwise(step *recipe.Step) bool {
	words := splitWords(stepWords(step))
	markMoods(words)
	for i := range words {
		w := &words[i]
		if w.mood != plain {
			continue
		}
		switch w.stem {
		case "clamp", "jig", "fixture", "lever", "spring", "ballast", "overarm", "cylinder", "hydraulic", "pneumatic", "arm", "ram", "deadweight", "chuck":
			return true
		case "weight":
			before := ""
			if i > 0 {
				before = words[i-1].text
			}
			if before != "your" && before != "body" && before != "full" && before != "own" {
				return true
			}
		}
	}
	return false
}
