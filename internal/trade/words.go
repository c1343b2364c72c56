package trade

import (
	"strings"
	"unicode/utf8"
)

// norm is a word or phrase the way it is looked up: lower case, hyphens as
// spaces, single spaces. A text that is so already is given back as it is.
func norm(s string) string {
	plain := true
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= 'A' && c <= 'Z' || c == '-' || c == '_' || c == '\t' || c == '\n' || c == '\r' || c >= utf8.RuneSelf ||
			c == ' ' && (i == 0 || i == len(s)-1 || s[i-1] == ' ') {
			plain = false
			break
		}
	}
	if plain {
		return s
	}
	s = strings.Map(func(r rune) rune {
		switch r {
		case '-', '_', '‐', '‑', '–', '\u00a0', '\u202f':
			return ' '
		case '’':
			return '\''
		}
		return r
	}, strings.ToLower(s))
	return strings.Join(strings.Fields(s), " ")
}

// word is one word of a text: where it stands and how it is looked up.
type word struct {
	start, end int
	norm       string
}

// split takes the stretch start to end of text apart into words. A hyphen
// parts words as a space does, so that metal-bond and metal bond are one.
func split(to []word, text string, start, end int) []word {
	for i := start; i < end; {
		r, size := utf8.DecodeRuneInString(text[i:end])
		if gap(r) {
			i += size
			continue
		}
		from := i
		for i < end {
			r, size = utf8.DecodeRuneInString(text[i:end])
			if gap(r) {
				break
			}
			i += size
		}
		to = append(to, word{from, i, norm(text[from:i])})
	}
	return to
}

func gap(r rune) bool {
	switch r {
	case ' ', '-', '_', '\t', '\n', '\r', '\u00a0', '\u202f', '\u2009', '‐', '‑':
		return true
	}
	return false
}

// part is a stretch between two commas.
type part struct{ start, end int }

// parts cuts text at its commas; a comma between two figures is a decimal one
// and cuts nothing.
func parts(text string) []part {
	var all []part
	from := 0
	add := func(end int) {
		for from < end && (text[from] == ' ' || text[from] == '\t') {
			from++
		}
		to := end
		for to > from && (text[to-1] == ' ' || text[to-1] == '\t') {
			to--
		}
		all = append(all, part{from, to})
	}
	for i := 0; i < len(text); i++ {
		if text[i] != ',' || i > 0 && i+1 < len(text) && figure(text[i-1]) && figure(text[i+1]) {
			continue
		}
		add(i)
		from = i + 1
	}
	add(len(text))
	return all
}

func figure(c byte) bool { return c >= '0' && c <= '9' }

// lexicon finds the phrases of a trade in words.
type lexicon[T any] struct {
	terms map[string]T
	// longest is the number of words of the longest phrase.
	longest int
	// names are all phrases as people write them, for the nearest one.
	names []string
}

// add makes a phrase known. One that is known already stays what it was.
func (l *lexicon[T]) add(name string, t T) {
	if l.terms == nil {
		l.terms = map[string]T{}
	}
	key := norm(name)
	if _, ok := l.terms[key]; ok || key == "" {
		return
	}
	l.terms[key] = t
	l.names = append(l.names, name)
	l.longest = max(l.longest, strings.Count(key, " ")+1)
}

// at is the longest phrase that begins with word i, and how many words it has.
func (l *lexicon[T]) at(words []word, i int) (t T, n int) {
	var room [64]byte
	for n = min(l.longest, len(words)-i); n > 0; n-- {
		key := room[:0]
		for j := i; j < i+n; j++ {
			if j > i {
				key = append(key, ' ')
			}
			key = append(key, words[j].norm...)
		}
		if t, ok := l.terms[string(key)]; ok {
			return t, n
		}
	}
	return t, 0
}

// quote puts an author's words into the quotes of a finding, on one line.
func quote(s string) string {
	s = strings.ToValidUTF8(strings.Join(strings.Fields(s), " "), "\ufffd")
	if utf8.RuneCountInString(s) > 60 {
		s = strings.TrimSpace(string([]rune(s)[:57])) + "…"
	}
	return "“" + s + "”"
}

// capital begins a sentence.
func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}

// listed joins words for people.
func listed(words []string, last string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " " + last + " " + words[len(words)-1]
}
