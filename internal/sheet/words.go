package sheet

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"coldwright/internal/recipe"
)

// nbsp keeps a number and its unit on one line.
const nbsp = "\u00a0"

// written is the field as text: its value, or what the author wrote where it
// could not be read, so that a draft loses nothing.
func written(f recipe.Field[string]) string {
	if f.OK {
		return f.Value
	}
	return strings.TrimSpace(f.Span.Text())
}

// joined is the words that are there, with a separator.
func joined(separator string, words ...string) string {
	kept := words[:0:0]
	for _, w := range words {
		if w != "" {
			kept = append(kept, w)
		}
	}
	return strings.Join(kept, separator)
}

// capital is the text with its first letter large.
func capital(text string) string {
	r, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return text
	}
	return string(unicode.ToUpper(r)) + text[size:]
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// followed is a word with an ending, or nothing; prefixed a word with what
// goes before it, or nothing.
func followed(word, ending string) string {
	if word == "" {
		return ""
	}
	return word + ending
}

// duration is a sum of minutes, in hours where it is whole half hours from two
// on.
func (t tongue) duration(m float64) string {
	if halves := m / 30; m >= 120 && halves == math.Trunc(halves) {
		return t.figure(m/60, 4) + nbsp + t.name("h")
	}
	return t.figure(m, 4) + nbsp + t.name("min")
}

// and is a list in a sentence of a finding: A, B and C.
func and(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// count is a number with the right one of two words, in a finding.
func count(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + more
}
