package rules

import (
	"sync"
	"unicode/utf8"
)

// openingMark is one bit of 64 for the first two letters of a word, whatever their
// case; 0 stands for the second where it has only one.
func openingMark(one, two byte) uint64 {
	return 1 << ((uint(one&31)*13 + uint(two&31)) & 63)
}

// openingsIn are the marks of the words of a text, before it is split: a phrase one
// of whose marks is missing does not stand in it. sure is false where a letter is
// none of the twenty-six, and another may be read for it.
func openingsIn(text []byte) (marks uint64, sure bool) {
	inside := false
	for i, c := range text {
		if c >= utf8.RuneSelf {
			return 0, false
		}
		letter := isLetter(c)
		if letter && !inside {
			two := byte(0)
			if i+1 < len(text) && isLetter(text[i+1]) {
				two = text[i+1]
			}
			marks |= openingMark(c, two)
		}
		inside = letter
	}
	return marks, true
}

// openingsOf are the marks of the stems of a phrase. A stem that words of another
// opening may have ("went" of "go") has none.
func openingsOf(stems []string) (marks uint64) {
	for _, s := range stems {
		switch {
		case s == "" || !isLetter(s[0]) || otherwiseOpened()[s]:
		case len(s) == 1:
			marks |= openingMark(s[0], 0)
		case isLetter(s[1]):
			marks |= openingMark(s[0], s[1])
		}
	}
	return marks
}

// otherwiseOpened are the stems of words that do not open as they do.
var otherwiseOpened = sync.OnceValue(func() map[string]bool {
	odd := map[string]bool{}
	for word, s := range irregular {
		if len(word) < 2 || len(s) < 2 || word[:2] != s[:2] {
			odd[s] = true
		}
	}
	return odd
})
