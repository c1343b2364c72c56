package quantity

import (
	"strings"
	"unicode/utf8"
)

// ParseSize reads the size of a piece: 120 x 80 x 40 mm, or 80 mm dia x 45 mm.
// The cross may be x or ×; a diameter is marked dia, Ø or ⌀, before or after
// its number; the unit stands once at the end or at each. A piece has two or
// three sides, or a diameter and, where it is no ball, a height; what it has
// not is empty and unwritten.
func ParseSize(text string, o Options) (sides []Value, diameter, height Value, err *Error) {
	none := func(e *Error) ([]Value, Value, Value, *Error) { return nil, Value{}, Value{}, e }
	whole := func(message, help string) ([]Value, Value, Value, *Error) {
		return none(fault(skip(text, 0), max(skip(text, 0), trimmed(text)), message, help))
	}
	const shape = "Write it as 120 x 80 x 40 mm, or as 80 mm dia x 45 mm."
	var spans [][2]int
	from := 0
	for i, r := range text {
		if r == 'x' || r == 'X' || r == '×' {
			spans = append(spans, [2]int{from, i})
			from = i + utf8.RuneLen(r)
		}
	}
	spans = append(spans, [2]int{from, len(text)})
	if len(spans) > 3 {
		return whole("A size has no more than three sides.", shape)
	}
	round := -1
	for i := range spans {
		s, marked := unmark(text, spans[i])
		spans[i] = s
		if skip(text[:s[1]], s[0]) == s[1] {
			return whole("A side is missing from the size.", shape)
		}
		if marked && round >= 0 {
			return whole("Two diameters stand in one size.", shape)
		}
		if marked {
			round = i
		}
	}
	vs, err := parts(text, spans, o, []Kind{Length})
	if err != nil {
		return none(err)
	}
	for i, v := range vs {
		if v.Amount == 0 {
			return none(fault(skip(text, spans[i][0]), trimmed(text[:spans[i][1]]), "A side of the piece is nought.", shape))
		}
	}
	switch {
	case round < 0 && len(vs) == 1:
		return whole("One length alone is no size.", shape)
	case round < 0:
		return vs, Value{}, Value{}, nil
	case len(vs) == 3:
		return whole("A round piece has a diameter and a height, nothing more.", "Write it as 80 mm dia x 45 mm.")
	case len(vs) == 2:
		return nil, vs[round], vs[1-round], nil
	}
	return nil, vs[0], Value{}, nil
}

// marks are the words for a diameter.
var marks = []string{"diameter", "diam.", "diam", "dia.", "dia", "ø", "⌀"}

// unmark takes the word for a diameter off either end of a span.
func unmark(text string, s [2]int) (span [2]int, marked bool) {
	s[0] = skip(text[:s[1]], s[0])
	s[1] = max(s[0], trimmed(text[:s[1]]))
	for _, m := range marks {
		if n, ok := prefixFold(text[s[0]:s[1]], m); ok {
			return [2]int{s[0] + n, s[1]}, true
		}
	}
	for _, m := range marks {
		if n, ok := suffixFold(text[s[0]:s[1]], m); ok {
			return [2]int{s[0], s[1] - n}, true
		}
	}
	return s, false
}

// prefixFold is the length in bytes of the beginning of text that is word,
// capitals or not.
func prefixFold(text, word string) (int, bool) {
	if len(text) < len(word) || !strings.EqualFold(text[:len(word)], word) {
		return 0, false
	}
	return len(word), true
}

// suffixFold is the same for the end.
func suffixFold(text, word string) (int, bool) {
	if len(text) < len(word) || !strings.EqualFold(text[len(text)-len(word):], word) {
		return 0, false
	}
	return len(word), true
}
