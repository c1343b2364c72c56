package rules

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// noteWord is one word of a sentence somebody wrote.
type noteWord struct {
	// text is the word in lower case, stem the word without a simple ending.
	text, stem string
	// start and end are its bytes in the text that was split.
	start, end int
	// gap is what stands between it and the word before.
	gap gap
	// mood says whether the sentence orders, forbids or waives it.
	mood mood
	// allowed is true where the sentence lets the reader do as they like with it:
	// "long hair is fine".
	allowed bool
	// lost is true where the word means something else here.
	lost bool
}

// gap is what parts two words.
type gap int

const (
	space gap = iota
	// comma is a comma, a dash or a bracket: the clause ends, the sentence runs on.
	comma
	// fullStop is the end of a sentence, a colon, a semicolon or a new paragraph.
	fullStop
)

// mood says what a sentence does with a word.
type mood int

const (
	plain mood = iota
	// forbidden is what the reader is told not to do, use or wear.
	forbidden
	// waived is what the reader is told there is no need of.
	waived
)

// splitWords cuts a text into words. Hyphens part words ("wet-and-dry" is three),
// an apostrophe does not ("don't" is "dont"), and a number parts from the unit
// written against it ("3mm" is two).
func splitWords(text string) []noteWord {
	return addWords(make([]noteWord, 0, len(text)/5+1), text)
}

// addWords puts the words of a text at the end of a list.
func addWords(words []noteWord, text string) []noteWord {
	between := fullStop
	for i := 0; i < len(text); {
		n := wordLength(text[i:])
		if n == 0 {
			between = max(between, gapOf(text, i))
			i++
			continue
		}
		w := lower(text[i : i+n])
		words = append(words, noteWord{text: w, stem: stem(w), start: i, end: i + n, gap: between})
		between = space
		i += n
	}
	return words
}

// wordLength is the length of the word that text opens with, 0 where it opens
// with none.
func wordLength(text string) int {
	i := 0
	for i < len(text) {
		c := text[i]
		switch {
		case isLetter(c), isDigit(c):
			i++
			continue
		case c >= utf8.RuneSelf:
			if r, size := utf8.DecodeRuneInString(text[i:]); unicode.IsLetter(r) || unicode.IsMark(r) || unicode.IsNumber(r) || i > 0 && unicode.Is(unicode.Cf, r) {
				i += size
				continue
			}
		case (c == '.' || c == ',' || c == '/') && i > 0 && isDigit(text[i-1]) && i+1 < len(text) && isDigit(text[i+1]):
			i += 2
			continue
		case c == '\'' && i > 0 && i+1 < len(text) && isLetter(text[i+1]):
			i += 2
			continue
		}
		if strings.HasPrefix(text[i:], "’") && i > 0 && len(text) > i+3 && isLetter(text[i+3]) {
			i += 4
			continue
		}
		break
	}
	if i == 0 || !isDigit(text[0]) {
		return i
	}
	// A number parts from what is written against it.
	for n := 1; n < i; n++ {
		if !isDigit(text[n]) && text[n] != '.' && text[n] != ',' && text[n] != '/' {
			return n
		}
	}
	return i
}

func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }
func isDigit(c byte) bool  { return c >= '0' && c <= '9' }

// gapOf is the gap the byte at i makes.
func gapOf(text string, i int) gap {
	switch text[i] {
	case '.', '!', '?', ':', ';':
		return fullStop
	case '\n':
		// A line end inside a paragraph is a space; an empty line ends it.
		if i+1 < len(text) && text[i+1] == '\n' {
			return fullStop
		}
		return space
	case ',', '(', ')', '[', ']':
		return comma
	}
	if rest := text[i:]; strings.HasPrefix(rest, "–") || strings.HasPrefix(rest, "—") {
		return comma
	}
	return space
}

// lower is w in lower case, without apostrophes and joined letters.
func lower(w string) string {
	capital := false
	for i := 0; i < len(w); i++ {
		c := w[i]
		if c == '\'' || c >= 0x80 {
			return plainLetters.Replace(strings.ToLower(w))
		}
		capital = capital || c >= 'A' && c <= 'Z'
	}
	if capital {
		return strings.ToLower(w)
	}
	return w
}

// plainLetters takes out apostrophes, and the joined letters and unseen signs that
// come with a text pasted from a printed page.
var plainLetters = strings.NewReplacer("'", "", "’", "", "ﬂ", "fl", "ﬁ", "fi", "ﬀ", "ff",
	"\u00ad", "", "\u200b", "", "\u200c", "", "\u200d", "", "\u2060", "", "\ufeff", "")

// irregular are words whose stem the endings do not give, and words that only
// look as if they bore an ending: spectacles are no glass, a leading edge is
// no lead, masking is tape.
var irregular = map[string]string{
	"glasses": "glasses", "leading": "leading", "masking": "masking", "masked": "masked",
	"used": "use", "uses": "use", "using": "use",
	"labelled": "label", "labelling": "label", "bevelled": "bevel", "bevelling": "bevel",
	"lying": "lie", "tied": "tie", "ties": "tie", "tying": "tie", "worn": "wear",
	"jewelry": "jewellery", "jewels": "jewellery", "mold": "mould", "molds": "mould",
	"molding": "mould", "moulding": "mould", "swept": "sweep", "shutting": "shut",
	"held": "hold", "kept": "keep", "ceiling": "ceiling", "evening": "evening", "drawing": "drawing",
	"lens": "lens", "gas": "gas", "this": "this", "always": "always", "its": "its", "does": "does",
	"ate": "eat", "drank": "drink", "drunk": "drink", "ground": "ground", "people": "person", "persons": "person",
}

// oddLengths are the lengths of the irregular words that begin with a letter, one
// bit for each: nearly every word is passed over by it.
var oddLengths = func() (lengths [256]uint32) {
	for w := range irregular {
		lengths[w[0]] |= 1 << (len(w) & 31)
	}
	return lengths
}()

// stem takes a plural, -ed or -ing off a word, so that "wipe", "wipes",
// "wiped" and "wiping" are one. It knows nothing of prefixes: "early" keeps its
// own, and so do "spindle" and "during".
func stem(w string) string {
	if w != "" && oddLengths[w[0]]&(1<<(len(w)&31)) != 0 {
		if s, ok := irregular[w]; ok {
			return s
		}
	}
	if len(w) <= 3 {
		return w
	}
	switch {
	case strings.HasSuffix(w, "ies") && len(w) > 4:
		w = w[:len(w)-3] + "y"
	case strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss") && !strings.HasSuffix(w, "us") && !strings.HasSuffix(w, "is"):
		w = w[:len(w)-1]
	}
	switch {
	case strings.HasSuffix(w, "ied") && len(w) > 4:
		w = w[:len(w)-3] + "y"
	case strings.HasSuffix(w, "ing") && len(w) > 5:
		w = undouble(w[:len(w)-3])
	case strings.HasSuffix(w, "ed") && len(w) > 4 && w[len(w)-3] != 'e':
		w = undouble(w[:len(w)-2])
	}
	if len(w) > 3 && w[len(w)-1] == 'e' {
		w = w[:len(w)-1]
	}
	return w
}

// undouble takes back the letter that was doubled before an ending.
func undouble(w string) string {
	n := len(w)
	if n < 4 || w[n-1] != w[n-2] || strings.IndexByte("flsze", w[n-1]) >= 0 {
		return w
	}
	return w[:n-1]
}
