package rules

import (
	"strings"
	"unicode"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var noCheckpoint = check.Rule{
	ID: "no-checkpoint", Severity: diag.Warning, Concern: diag.Test,
	Title: "Every working step says how one sees that it is done.",
	Why: "When to change grade is the hard part of the craft. A step without a test ends when the hand is tired; " +
		"what was left shows at the polish.",
	Source: "common practice",
	Quiet:  "the step takes no glass off (masking, washing, looking), or polishes an edge, bevel or arris by the nail; a clock in place of a test is another rule",
	Bad:    "Time: 8 min   (and no checkpoint, or one that says no more than \"Done\")",
	Good:   "- [ ] Raking lamp: no line of the last disc left",
	Check: func(c *check.Context, found func(check.Finding)) {
		var none, empty, blind []place
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Working() {
				continue
			}
			if hasCheck(step) {
				if polishUnseen(c, i) {
					blind = append(blind, place{step, firstCheck(step).Span})
				}
				continue
			}
			if first := firstCheck(step); first != nil {
				empty = append(empty, place{step, first.Span})
			} else {
				none = append(none, place{step, step.Span})
			}
		}
		report := func(places []place, one, more string) {
			gather(places, found, func(subject string, many bool) check.Finding {
				says := one
				if many {
					says = more
				}
				f := check.Finding{
					Message: subject + says + " How does an apprentice see that the step is done?",
					Help:    "Write a line that begins with `- [ ]` and says what must be seen on the dry glass.",
				}
				if tests := houseTests(c); tests != "" {
					f.Help += " The house's tests are " + tests + "."
				}
				return f
			})
		}
		report(none, " has no checkpoint.", " have no checkpoint.")
		report(blind, " polishes, and its test shows nothing of a polish.", " polish, and their tests show nothing of a polish.")
		report(empty, " has a checkpoint that tests nothing.", " have checkpoints that test nothing.")
	},
}

// notOfPolish are tests that show edges, flatness, work left out or grit, whatever
// the face shines like.
var notOfPolish = map[string]bool{"Thumbnail": true, "Steel rule": true, "Marker twice": true, "Rinse bowl": true}

// polishUnseen says whether the n-th step polishes a face and is tested by nothing
// that shows it.
func polishUnseen(c *check.Context, n int) bool {
	step := &c.Recipe.Steps[n]
	if !isWork(&step.Abrasive.Value, trade.Polish) {
		return false
	}
	shines := false
	for _, s := range c.Plan.Steps[n].Works {
		switch stop := stopOf(s); shapeOf(s) {
		case "arris", "bevel", "edge":
			return false
		default:
			shines = shines || stop != nil && stop.Rank >= lustreRank
		}
	}
	for i := range step.Body {
		one := step.Body[i].Check
		if step.Body[i].Kind == recipe.Check && !one.Stops && (one.Test == nil || one.Tile != "" || !notOfPolish[one.Test.Name]) {
			return false
		}
	}
	return shines
}

// firstCheck is the first checkpoint of a step.
func firstCheck(step *recipe.Step) *recipe.Checkpoint {
	for i := range step.Body {
		if step.Body[i].Kind == recipe.Check {
			return step.Body[i].Check
		}
	}
	return nil
}

// hasCheck says whether a step has a checkpoint that tests something.
func hasCheck(step *recipe.Step) bool {
	for i := range step.Body {
		if step.Body[i].Kind == recipe.Check && !emptyCheck(step.Body[i].Check) {
			return true
		}
	}
	return false
}

// doneWords are words of a checkpoint that says no more than that the work is
// done.
var doneWords = map[string]bool{
	"done": true, "finished": true, "finish": true, "ready": true, "complete": true, "completed": true, "ok": true, "okay": true, "good": true, "fine": true, "nice": true,
	"well": true, "looks": true, "look": true, "looking": true, "it": true, "is": true, "are": true, "all": true, "checked": true, "check": true, "passed": true, "pass": true,
	"signed": true, "sign": true, "off": true, "initials": true, "initialled": true, "initialed": true, "approved": true, "yes": true, "the": true, "step": true, "work": true,
	"and": true, "as": true, "it's": true, "right": true, "by": true, "lead": true, "studio": true, "everything": true, "satisfied": true, "great": true, "perfect": true,
	"when": true, "until": true, "till": true, "if": true, "smooth": true, "shiny": true, "feels": true, "feel": true, "happy": true, "you": true, "like": true, "enough": true, "to": true, "eye": true, "eyes": true,
	"should": true, "be": true, "now": true,
}

// emptyCheck says whether a checkpoint tests nothing: it only ends the work, or
// only says that it is done.
func emptyCheck(one *recipe.Checkpoint) bool {
	if one.Stops {
		return true
	}
	if one.Test != nil || one.Tile != "" {
		return false
	}
	words := strings.FieldsFunc(strings.ToLower(one.Text), func(r rune) bool { return !unicode.IsLetter(r) && r != '\'' })
	for _, word := range words {
		if !doneWords[word] {
			return false
		}
	}
	return len(words) > 0
}

// houseTests are up to four tests the house itself has written down.
func houseTests(c *check.Context) string {
	var names []string
	for _, t := range c.House.Tests {
		if t.House && len(names) < 4 {
			names = append(names, t.Name)
		}
	}
	return listed(names, "and")
}
