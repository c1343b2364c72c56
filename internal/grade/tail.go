package grade

import (
	"strings"
	"unicode/utf8"
)

// most is the number of words a grade may have: "No. 60 sieve" with spaces to
// spare.
const most = 5

// FromTail finds the grade that an abrasive phrase ends with, and the byte it
// starts at: resin diamond pad 325 mesh, silicon carbide F220, pumice 2F,
// cerium oxide 1.5 µm. A degree of pumice that is a number alone, as in
// pumice 1, is read where the phrase speaks of pumice.
func FromTail(text string) (g Grade, start int, ok bool) { return Reading{}.FromTail(text) }

// FromTail is the package's FromTail with the house's reading.
func (r Reading) FromTail(text string) (g Grade, start int, ok bool) {
	starts, n := tails(text)
	for i := n - 1; i >= 0; i-- {
		if g, ok := r.Parse(text[starts[i]:]); ok {
			return g, starts[i], true
		}
	}
	for i := min(n, 2) - 1; i >= 0; i-- {
		if g, ok := OnScale(Pumice, text[starts[i]:]); ok && mentions(text[:starts[i]], "pumice") {
			return g, starts[i], true
		}
	}
	return Grade{}, 0, false
}

// BareTail finds the number without a scale that an abrasive phrase ends with,
// and the byte it starts at: resin diamond pad 325, silicon carbide 220 grit.
func BareTail(text string) (number string, start int, ok bool) {
	starts, n := tails(text)
	for i := min(n, 2) - 1; i >= 0; i-- {
		if number, ok := bareNumber(text[starts[i]:]); ok {
			return number, starts[i], true
		}
	}
	return "", 0, false
}

// MarkedTail finds at the end of an abrasive phrase a writing that says its
// scale, whether or not the scale has the number: silicon carbide F410.
func MarkedTail(text string) (s Scale, number string, start int, ok bool) {
	starts, n := tails(text)
	for i := n - 1; i >= 0; i-- {
		if s, number, ok := Marked(text[starts[i]:]); ok {
			return s, number, starts[i], true
		}
	}
	return "", "", 0, false
}

// tails are the bytes at which the last words of text start, the last first.
func tails(text string) (starts [most]int, n int) {
	end := len(strings.TrimRight(text, " \t\r\n\u00a0"))
	for end > 0 && n < most {
		start := end
		for start > 0 {
			r, size := utf8.DecodeLastRuneInString(text[:start])
			if r == ' ' || r == '\t' || r == '\n' || r == '\r' || r == '\u00a0' || r == '\u202f' || r == '\u2009' {
				break
			}
			start -= size
		}
		starts[n] = start
		n++
		for start > 0 {
			r, size := utf8.DecodeLastRuneInString(text[:start])
			if r != ' ' && r != '\t' && r != '\n' && r != '\r' && r != '\u00a0' && r != '\u202f' && r != '\u2009' {
				break
			}
			start -= size
		}
		end = start
	}
	return starts, n
}

// mentions says whether text has the word, capitals or not.
func mentions(text, word string) bool {
	for text != "" {
		end := strings.IndexAny(text, " \t,;")
		first := text
		if end < 0 {
			text = ""
		} else {
			first, text = text[:end], text[end+1:]
		}
		if strings.EqualFold(first, word) {
			return true
		}
	}
	return false
}
