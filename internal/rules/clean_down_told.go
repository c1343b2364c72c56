package rules

import (
	"slices"
	"strings"

	"coldwright/internal/recipe"
)

// cleanWord is what a word of a Clean-down does there.
type cleanWord uint8

const (
	// saysNone is a word of those that say no, saysLater of those that put it off.
	saysNone cleanWord = 1 << iota
	saysLater
	// besideNone stands around them and washes nothing.
	besideNone
	// carries is done where grain is carried away.
	carries
)

// cleanDownWords are the words of a Clean-down that tell whether anything is washed.
var cleanDownWords = func() map[string]cleanWord {
	all := map[string]cleanWord{}
	add := func(w cleanWord, words string) {
		for word := range wordSet(words) {
			all[word] |= w
		}
	}
	add(saysNone, "none nothing no not na nil skip skipped omit omitted never without unnecessary")
	add(saysLater, "later end day days evening tonight tomorrow week weekly friday shift night monthly")
	add(besideNone, "needed necessary required n a at this step clean cleaning down wash washing is here yet of the in on once every each before we leave home when after job all done until then it")
	for word := range carriesOff {
		all[word] |= carries
	}
	return all
}()

// ifDirty are how a wash is made to hang on somebody's eye. The grain that matters is
// not seen on a plate.
var ifDirty = []string{" if needed", " if necessary", " if dirty", " if it looks", " if it is dirty", " as needed", " when needed", " when dirty", " where needed", " as required", " if required"}

// cleanedDown says whether a step has a Clean-down that washes anything: "none",
// "not needed, same plate" and "at the end of the day" are none.
func cleanedDown(s *recipe.Step) bool {
	if !s.CleanDown.Written() {
		return false
	}
	text := strings.ToLower(s.CleanDown.Value)
	if strings.ContainsAny(text, "/'") {
		text = noMarks.Replace(text)
	}
	// Each clause by itself: one that washes is enough.
	denied, words := false, false
	for len(text) > 0 {
		clause, rest := text, ""
		if i := strings.IndexAny(text, ",;.(:"); i >= 0 {
			clause, rest = text[:i], text[i+1:]
		}
		washes, no, any := clauseWashes(clause, denied)
		if washes {
			return true
		}
		denied, words = denied || no, words || any
		text = rest
	}
	return words && !denied
}

// clauseWashes says whether a clause of a Clean-down washes anything, whether it says
// that nothing is washed, and whether it has any word. Behind a clause that says so,
// what speaks of no wash is the reason for it.
func clauseWashes(clause string, denied bool) (washes, no, any bool) {
	later, more, wash := false, false, false
	for word := range strings.FieldsFuncSeq(clause, notLetter) {
		any = true
		w := cleanDownWords[word]
		no = no || w&saysNone != 0
		later = later || w&saysLater != 0
		more = more || w&(saysNone|saysLater|besideNone) == 0
		wash = wash || w&carries != 0
	}
	switch {
	case !any:
		return false, false, false
	case !more:
		return false, no || later, true
	case !wash && (later && !no || no && strings.Contains(clause, "need") || no && strings.Contains(clause, "necess")), slices.ContainsFunc(ifDirty, func(c string) bool { return strings.Contains(clause, c) }):
		return false, true, true
	case denied:
		return wash, no, true
	}
	return true, no, true
}
