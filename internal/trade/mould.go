package trade

import (
	"slices"
	"strings"
)

// The states of the mould of a cast piece.
const (
	MouldOn  = "still on"
	MouldOff = "removed"
)

// mouldWords tell what words of the bench say of a mould: in the order they are
// asked, each by one of its words or, where it has some, by a word behind one of
// the openings. The first that holds is what is said.
var mouldWords = []struct {
	state     string
	opened    []string
	words     []string
	ambiguous bool
}{
	{state: MouldOn, words: []string{"invested", "undivested", "undevested"}},
	{state: MouldOn, opened: []string{"not", "not yet", "un"}, words: []string{"divested", "devested", "demoulded", "removed", "stripped", "broken", "off", "clean", "cleaned"}},
	{state: MouldOff, words: []string{"divested", "devested", "demoulded"}},
	// Whoever has broken the mould off has not yet washed what clings to the glass.
	{ambiguous: true, opened: []string{"out of", "from"}, words: []string{"investment", "mould", "plaster"}},
	{state: MouldOn, opened: []string{"in", "with"}, words: []string{"investment", "mould", "plaster"}},
	{state: MouldOn, opened: []string{"mould", "investment", "plaster", "skin"}, words: []string{"on"}},
	{state: MouldOff, opened: []string{"mould", "investment", "plaster"}, words: []string{"off", "removed", "gone", "stripped", "clean", "cleaned"}},
}

// besideMould are words that may stand between an opening and its word.
var besideMould = []string{"the", "its", "a", "this", "still", "skin", "is", "fresh", "straight", "plaster", "left"}

// MouldSaid is what words of the bench say of the mould of a cast piece: state is
// MouldOn or MouldOff; "" where they only say that it comes out of one, so that
// something of it may cling to the glass. spoken is false where they speak of no
// mould.
func MouldSaid(words string) (state string, spoken bool) {
	list := strings.FieldsFunc(strings.ReplaceAll(strings.ToLower(words), "mold", "mould"), func(r rune) bool {
		return r == ' ' || r == ',' || r == '-' || r == '.' || r == '\n' || r == '\t'
	})
	for _, one := range mouldWords {
		for i, w := range list {
			if !slices.Contains(one.words, w) {
				continue
			}
			if len(one.opened) == 0 || slices.ContainsFunc(one.opened, func(opening string) bool { return opens(list[:i], opening) }) {
				return one.state, true
			}
		}
	}
	return "", false
}

// opens says whether the words end with an opening, whatever may stand beside it.
func opens(words []string, opening string) bool {
	want := strings.Fields(opening)
	for n := len(words); n >= len(want); n-- {
		if slices.Equal(words[n-len(want):n], want) {
			return true
		}
		if n == 0 || !slices.Contains(besideMould, words[n-1]) {
			return false
		}
	}
	return false
}
