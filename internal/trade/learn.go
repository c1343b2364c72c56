package trade

import (
	"slices"
	"strings"
	"sync"
	"unicode"
)

// Fault is what a test shows where the work is not yet there.
type Fault struct {
	// Test is the name of a built-in test.
	Test string
	// After is the work it is made after; see After.
	After  []string
	Seen   string
	Source Source
}

// Word is a word of the bench for who is new to it.
type Word struct {
	Word string
	// Forms are what is looked for in a text.
	Forms  []string
	Means  string
	Source Source
}

// Handling is what Wrong takes as the work of a step that takes nothing off.
const Handling = "handling"

// afterWords are the words a fault may name its work by.
var afterWords = []string{
	string(Grind), string(Prepolish), string(Polish), string(Loose), string(Coated), string(Hard), string(Pad), string(Cork),
	string(Felt), string(Brush), string(Bonded), string(Blast), Handling,
}

// learning reads what is there for who learns the work.
func (t *table) learning(b *base, top row) {
	for _, r := range t.rows(top.Get("faults"), "test", "after", "seen", "source") {
		f := &Fault{Test: r.must("test"), After: r.list("after"), Seen: r.must("seen"), Source: r.source()}
		if !slices.ContainsFunc(b.tests, func(known *Test) bool { return known.Name == f.Test }) {
			t.wrong(r.Span(), "There is no test %s.", f.Test)
		}
		for _, word := range f.After {
			if !slices.Contains(afterWords, word) {
				t.wrong(r.Span(), "There is no work %s.", word)
			}
		}
		b.faults = append(b.faults, f)
	}
	taken := map[string]bool{}
	for _, r := range t.rows(top.Get("glossary"), "word", "also", "forms", "means", "source") {
		w := &Word{Word: r.must("word"), Forms: r.list("forms"), Means: r.must("means"), Source: r.source()}
		if w.Forms == nil {
			w.Forms = append([]string{w.Word}, r.list("also")...)
		}
		for _, form := range w.Forms {
			key := strings.Join(wordsOf(form), " ")
			if key == "" || taken[key] {
				t.wrong(r.Span(), "The form %s stands twice.", form)
			}
			taken[key] = true
		}
		b.glossary = append(b.glossary, w)
	}
}

// Wrong is what a test shows where the work before it is not yet done; empty
// where the tables say nothing. After is what the grain is for, how it is held
// and what carries it, or Handling. A test that only the house knows has no
// row.
func (h *House) Wrong(test *Test, after ...string) string {
	if test == nil {
		return ""
	}
	b := builtIn()
	name := ""
	for _, known := range b.tests {
		if norm(known.Name) == norm(test.Name) || slices.ContainsFunc(known.Also, func(also string) bool { return norm(also) == norm(test.Name) }) {
			name = known.Name
			break
		}
	}
	for _, f := range b.faults {
		if f.Test == name && !slices.ContainsFunc(f.After, func(word string) bool { return !slices.Contains(after, word) }) {
			return f.Seen
		}
	}
	return ""
}

// FindWord is the word of the glossary of that name; nil where there is none.
func (h *House) FindWord(name string) *Word {
	for _, w := range builtIn().glossary {
		if strings.EqualFold(w.Word, name) {
			return w
		}
	}
	return nil
}

// WordsIn are the words of the glossary a text uses, in the order it does, each
// once. Of two that begin at one place the longer is meant.
func (h *House) WordsIn(text string) []*Word {
	var found []*Word
	tokens := wordsOf(text)
	for i := 0; i < len(tokens); {
		n := 1
		for _, f := range glossaryForms()[tokens[i]] {
			if len(f.tokens) <= len(tokens)-i && slices.Equal(f.tokens, tokens[i:i+len(f.tokens)]) {
				if !slices.Contains(found, f.word) {
					found = append(found, f.word)
				}
				n = len(f.tokens)
				break
			}
		}
		i += n
	}
	return found
}

// wordForm is one form of a word of the glossary, cut into its tokens.
type wordForm struct {
	tokens []string
	word   *Word
}

// glossaryForms are the forms by their first token, the longest first.
var glossaryForms = sync.OnceValue(func() map[string][]wordForm {
	by := map[string][]wordForm{}
	for _, w := range builtIn().glossary {
		for _, form := range w.Forms {
			tokens := wordsOf(form)
			by[tokens[0]] = append(by[tokens[0]], wordForm{tokens, w})
		}
	}
	for _, forms := range by {
		slices.SortStableFunc(forms, func(a, b wordForm) int { return len(b.tokens) - len(a.tokens) })
	}
	return by
})

// wordsOf are the words of a text in small letters, without what stands between
// them.
func wordsOf(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}
