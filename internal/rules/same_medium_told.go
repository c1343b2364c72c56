package rules

import (
	"bytes"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// The words of a step may put a powder on what another was on, whatever its Medium
// says: "same felt as before, rinsed", "the pumice wheel will do".

// sharedKit is what holds a powder and does not let it go, takesUp what is done with
// it where it is used, leavesIt where it is not.
var (
	sharedKit = wordSet("felt felts pad pads wheel wheels brush brushes mop mops cork corks belt belts buff buffs bob bobs")
	takesUp   = wordSet("use used using will do take")
	leavesIt  = wordSet("never not no dont cannot off away cover covers bag bagged hang hangs remove removed lift store change changed swap swapped put keep kept instead without apart unless other another new own than whether")
	asBefore  = wordSet("as again rinsed washed will is does and before scrubbed brushed")
)

// toldShared finds words of step i that put its powder on what an earlier step had
// another powder on.
func toldShared(c *check.Context, i int, found func(check.Finding)) {
	step := &c.Recipe.Steps[i]
	if !step.Abrasive.OK || step.Abrasive.Value.Family == nil || !loose(&step.Abrasive.Value) || !step.Medium.OK || step.Medium.Value.Kind == nil || !step.Medium.Value.Kind.Lap.Compliant() {
		return
	}
	before := otherPowderBefore(c.Recipe.Steps[:i], step)
	if before == nil {
		return
	}
	for j := range step.Body {
		one := &step.Body[j]
		if one.Kind != recipe.Order && one.Kind != recipe.Words || !one.Span.Known() {
			continue
		}
		if at := sharedIn(one.Span, before.Abrasive.Value.Family.Name, step.Abrasive.Value.Family.Name); at.Known() {
			found(check.Finding{
				Span: at, Step: step.Number,
				Message: "\"" + oneLine(at.Text()) + "\" in " + stepNo(step) + " puts " + nameOf(&step.Abrasive.Value) + " on what " + before.Abrasive.Value.Family.Name + " was on in " +
					stepNo(before) + ". Rinsing does not clear it.",
				Help: "Give each compound its own, and take the words out: a line in the shop file for each, with `kept for`.",
				Also: []diag.Site{{Span: before.Medium.Span, Step: before.Number}},
			})
			return
		}
	}
}

// otherPowderBefore is the last step that had a powder on what gives, where that was
// another than the step's.
func otherPowderBefore(steps []recipe.Step, step *recipe.Step) *recipe.Step {
	for n := len(steps) - 1; n >= 0; n-- {
		s := &steps[n]
		if !s.Abrasive.OK || s.Abrasive.Value.Family == nil || !loose(&s.Abrasive.Value) || !s.Medium.OK || s.Medium.Value.Kind == nil || !s.Medium.Value.Kind.Lap.Compliant() {
			continue
		}
		if s.Abrasive.Value.Family == step.Abrasive.Value.Family {
			return nil
		}
		return s
	}
	return nil
}

// sharedIn is the place in a stretch of a step that speaks of the same medium, or of
// the other powder's.
func sharedIn(at source.Span, other, own string) source.Span {
	raw := at.Bytes()
	lead := []byte(other[:1])
	if word := splitWords(other); len(word) > 0 {
		lead = []byte(word[0].text)
	}
	if !bytes.Contains(raw, []byte("ame ")) && !bytes.Contains(raw, lead) {
		return source.Span{}
	}
	text := at.Text()
	words := splitWords(text)
	for n := 0; n+1 < len(words); n++ {
		w, next := words[n], words[n+1]
		if next.gap != space || !sharedKit[next.text] {
			continue
		}
		first, last := sentenceOfWord(words, n)
		same, pumice := w.text == "same", w.text == string(lead)
		uses := false
		for _, one := range words[first:last] {
			uses = uses || takesUp[one.text]
			same = same && one.text != splitWords(own)[0].text
			if leavesIt[one.text] {
				same, pumice = false, false
			}
		}
		end := n + 2
		for end < len(words) && words[end].gap == space && sharedKit[words[end].text] {
			end++
		}
		if same && end < len(words) && end < last && words[end].gap == space && !asBefore[words[end].text] {
			same = false // "the same felt for all six faces"
		}
		if same || pumice && uses {
			return at.File.Span(at.Start+w.start, at.Start+words[end-1].end)
		}
	}
	return source.Span{}
}

// sentenceOfWord are the words of the sentence that word n stands in.
func sentenceOfWord(words []noteWord, n int) (first, last int) {
	for first = n; first > 0 && words[first].gap != fullStop; first-- {
	}
	for last = n + 1; last < len(words) && words[last].gap != fullStop; last++ {
	}
	return first, last
}
