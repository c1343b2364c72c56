package rules

import (
	"strings"
	"unicode"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var timeInPlaceOfTest = check.Rule{
	ID: "time-in-place-of-test", Severity: diag.Warning, Concern: diag.Test,
	Title: "A clock does not end a step, nor a count of strokes; a test does.",
	Why: "The minutes a step needs change with the hand, the glass and the wear of the tool. " +
		"The usual time belongs in the facts, what must be seen belongs in the checkpoint.",
	Source: "common practice",
	Quiet:  "the step takes no glass off (a soak, drying), or the machine runs alone and the next step on that surface has a test",
	Bad:    "- [ ] Done when 10 minutes are over",
	Good:   "- [ ] Marker twice: gone both times, no island left",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Working() {
				continue
			}
			clock := onlyClock(step)
			if clock == nil || step.Time.Value.Alone.Written() && testFollows(c.Recipe.Steps[i+1:]) {
				continue
			}
			f := check.Finding{
				Span: clock.Span, Step: step.Number,
				Message: "Step " + itoa(step.Number) + " ends on a clock.",
				Help:    "Keep the minutes in `Time:` and write what must be seen on the dry glass before the step is done.",
			}
			if isCount(clock.Text) {
				f.Message = "Step " + itoa(step.Number) + " ends on a count of what the hand does."
				f.Help = "Keep the count in an order of the step and write what must be seen on the dry glass before it is done."
			}
			found(f)
		}
	},
}

// onlyClock is the first checkpoint of a step whose checkpoints are all
// nothing but a time; nil where one of them tests something, or there is none.
func onlyClock(step *recipe.Step) *recipe.Checkpoint {
	var first *recipe.Checkpoint
	for i := range step.Body {
		if step.Body[i].Kind != recipe.Check {
			continue
		}
		check := step.Body[i].Check
		if emptyCheck(check) {
			continue
		}
		if check.Test != nil || check.Tile != "" || !isClock(check.Text) {
			return nil
		}
		if first == nil {
			first = check
		}
	}
	return first
}

// clockWords may stand round a time without making a test of it.
var clockWords = map[string]bool{
	"done": true, "when": true, "after": true, "for": true, "about": true, "the": true, "is": true, "are": true, "up": true,
	"over": true, "time": true, "clock": true, "timer": true, "at": true, "least": true, "have": true, "has": true, "passed": true,
	"to": true, "of": true, "or": true, "and": true, "a": true, "an": true, "full": true, "rings": true, "work": true, "ready": true, "gone": true, "by": true,
	"min": true, "mins": true, "minute": true, "minutes": true, "h": true, "hour": true, "hours": true, "s": true, "sec": true, "second": true, "seconds": true,
	"half": true, "quarter": true, "one": true, "two": true, "three": true, "four": true, "five": true, "six": true, "seven": true, "eight": true, "nine": true, "ten": true,
	"eleven": true, "twelve": true, "thirteen": true, "fourteen": true, "fifteen": true, "sixteen": true, "seventeen": true, "eighteen": true, "nineteen": true,
	"twenty": true, "thirty": true, "forty": true, "fifty": true, "sixty": true, "ninety": true,
	"stop": true, "bell": true, "it": true, "been": true, "both": true, "ways": true, "on": true, "radio": true, "rung": true, "rang": true, "made": true, "each": true, "side": true, "per": true, "face": true, "counted": true, "hundred": true,
	"song": true, "songs": true, "pass": true, "passes": true, "stroke": true, "strokes": true, "turns": true, "revolutions": true, "count": true, "ground": true, "polished": true, "worked": true, "run": true, "ran": true, "long": true, "enough": true, "all": true,
}

// timeWords make a time of the rest.
var timeWords = map[string]bool{
	"min": true, "mins": true, "minute": true, "minutes": true, "h": true, "hour": true, "hours": true, "sec": true, "second": true, "seconds": true,
	"time": true, "clock": true, "timer": true, "song": true, "songs": true,
	"pass": true, "passes": true, "stroke": true, "strokes": true, "revolutions": true, "count": true, "counted": true,
}

// countWords are those of them that count what the hand does.
var countWords = map[string]bool{"pass": true, "passes": true, "stroke": true, "strokes": true, "revolutions": true, "count": true, "counted": true}

// isCount says whether a checkpoint that only measures work counts it.
func isCount(text string) bool {
	for word := range strings.FieldsFuncSeq(strings.ToLower(text), notLetter) {
		if countWords[word] {
			return true
		}
	}
	return false
}

// isClock says whether a checkpoint speaks of nothing but time.
func isClock(text string) bool {
	clock := false
	for _, word := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if !clockWords[word] {
			return false
		}
		clock = clock || timeWords[word]
	}
	return clock
}

// testFollows says whether the next steps test the glass before it is worked
// again.
func testFollows(steps []recipe.Step) bool {
	for i := range steps {
		if hasCheck(&steps[i]) && onlyClock(&steps[i]) == nil {
			return true
		}
		if steps[i].Working() {
			return false
		}
	}
	return false
}
