package asread

import (
	"bytes"
	"slices"
	"strings"
	"unicode/utf8"
)

// Place says where in a word a stem has to stand for the word to be looked for.
type Place int

// Places of a stem.
const (
	// Anywhere: "fluor" in "hydrofluoric".
	Anywhere Place = iota
	// Edge: the word opens or ends with it.
	Edge
	// Opens: the word opens with it.
	Opens
	// Alone: it is the word.
	Alone
	// Broken: it is the word, and a blank or the end of a line may cut it as well.
	Broken
)

// Words are words that are looked for however something unseen cuts them.
type Words struct {
	stems []stem
	// pairs holds, for two letters, whether a cut between them may cut a stem.
	pairs [1 << 10]bool
	// broken are the words a blank may cut, torn the pairs of letters it may stand
	// between, opens the pairs that those words open with.
	broken      map[string]bool
	torn, opens [1 << 10]bool
	// tornAfter holds the letters behind which one may stand.
	tornAfter [32]bool
}

type stem struct {
	word  string
	place Place
}

// NewWords makes the words ready that have one of the stems, which are given in
// lower case by their places.
func NewWords(stems map[Place][]string) *Words {
	w := &Words{broken: map[string]bool{}}
	for place, list := range stems {
		for _, s := range list {
			w.stems = append(w.stems, stem{s, place})
			for i := 1; i < len(s); i++ {
				w.pairs[pairOf(s[i-1], s[i])] = true
				if place == Broken {
					w.torn[pairOf(s[i-1], s[i])] = true
					w.tornAfter[s[i-1]&31] = true
				}
			}
			if place == Broken && len(s) > 1 {
				w.broken[s] = true
				w.opens[pairOf(s[0], s[1])] = true
			}
		}
	}
	return w
}

func pairOf(a, b byte) int { return int(a&31)<<5 | int(b&31) }

// whole says whether a word, in lower case, has a stem that runs over one of
// the cuts.
func (w *Words) whole(word []byte, cuts []int) bool {
	over := func(from, n int) bool {
		for _, c := range cuts {
			if c > from && c < from+n {
				return true
			}
		}
		return false
	}
	for _, s := range w.stems {
		n := len(s.word)
		if n > len(word) {
			continue
		}
		opens := string(word[:n]) == s.word && over(0, n)
		switch s.place {
		case Anywhere:
			for at := 0; at+n <= len(word); at++ {
				if string(word[at:at+n]) == s.word && over(at, n) {
					return true
				}
			}
		case Edge:
			if opens || string(word[len(word)-n:]) == s.word && over(len(word)-n, n) {
				return true
			}
		case Opens:
			if opens {
				return true
			}
		default:
			if opens && n == len(word) {
				return true
			}
		}
	}
	return false
}

// piece is a letter of a word and where it stands.
type piece struct {
	is byte
	at int
}

// at is the word that a text opens with, where something that is not read cuts
// it and it is looked for; n is how far it goes, 0 where it is no such word.
func (w *Words) at(text []byte) (n int, word []piece) {
	if len(text) == 0 || kinds[text[0]] != letter {
		return 0, nil
	}
	if n, word = w.cutAt(text); n > 0 {
		return n, word
	}
	if n, word = w.spacedAt(text); n > 0 {
		return n, word
	}
	return w.tornAt(text)
}

// cutAt is a word that marks, tags and unseen signs cut, or digits stand in.
func (w *Words) cutAt(text []byte) (n int, found []piece) {
	// Nearly every look finds no word: what it gathers stays off the heap.
	var lowRoom [longest]byte
	var cutRoom [longest]int
	var wordRoom [longest]piece
	low, cuts, word := lowRoom[:0], cutRoom[:0], wordRoom[:0]
	digits := false
	for n < len(text) && len(word) < longest {
		c := text[n]
		if kinds[c] == letter || digitBetween(text, n) {
			digits = digits || kinds[c] == digit || tall(text, n)
			word = append(word, piece{c, n})
			low = append(low, c|0x20)
			n++
			continue
		}
		gap := cutLength(text[n:])
		if gap == 0 || n+gap >= len(text) || kinds[text[n+gap]] != letter {
			break
		}
		cuts = append(cuts, len(word))
		n += gap
	}
	if digits {
		for _, as := range leetAs {
			read, all := bytes.Clone(low), bytesCuts(cuts, word)
			for i := range word {
				if k := strings.IndexByte(leet, word[i].is); k >= 0 && (word[i].is != 'I' || tall(text, word[i].at)) {
					read[i] = as[k]
				}
			}
			if w.whole(read, all) {
				for i := range word {
					if strings.IndexByte(leet, word[i].is) >= 0 {
						word[i].is = read[i]
					}
				}
				return n, slices.Clone(word)
			}
		}
	}
	if len(cuts) > 0 && w.whole(low, cuts) {
		return n, slices.Clone(word)
	}
	return 0, nil
}

// bytesCuts are the cuts with one on both sides of every digit.
func bytesCuts(cuts []int, word []piece) []int {
	all := append([]int{}, cuts...)
	for i := range word {
		if strings.IndexByte(leet, word[i].is) >= 0 {
			all = append(all, i, i+1)
		}
	}
	return all
}

// digitBetween says whether byte n is a digit or a sign in place of a letter, with
// a letter or another such on both sides.
func digitBetween(text []byte, n int) bool {
	return n > 0 && n+1 < len(text) && kinds[text[n]] == digit && (kinds[text[n-1]] == letter || kinds[text[n-1]] == digit) &&
		(kinds[text[n+1]] == letter || kinds[text[n+1]] == digit)
}

// tall says whether byte n is a large I behind a small letter, which is read as
// an l.
func tall(text []byte, n int) bool {
	return n > 0 && text[n] == 'I' && text[n-1] >= 'a' && kinds[text[n-1]] == letter
}

// spacedAt is a word whose letters are spaced out, "a c i d" or "a. c. i. d.".
func (w *Words) spacedAt(text []byte) (n int, word []piece) {
	const least = 4
	var low []byte
	for n < len(text) && len(word) < longest && kinds[text[n]] == letter && (n+1 == len(text) || kinds[text[n+1]] != letter) {
		word = append(word, piece{text[n], n})
		low = append(low, text[n]|0x20)
		n++
		gap := 0
		for n+gap < len(text) && gap < 4 && strings.IndexByte(" .-*_", text[n+gap]) >= 0 {
			gap++
		}
		if gap == 0 || n+gap >= len(text) || kinds[text[n+gap]] != letter || n+gap+1 < len(text) && kinds[text[n+gap+1]] == letter {
			break
		}
		n += gap
	}
	if len(word) < least || !w.whole(low, every(len(low))) {
		return 0, nil
	}
	return n, word
}

// tornAt is a word that one blank or the end of a line cuts in two.
func (w *Words) tornAt(text []byte) (n int, found []piece) {
	var lowRoom [longest]byte
	var wordRoom [longest]piece
	low, word := lowRoom[:0], wordRoom[:0]
	for part := range 2 {
		if part == 1 {
			gap := len(text[n:]) - len(bytes.TrimLeft(text[n:], " \t\r\n>\\"))
			if gap == 0 || bytes.Count(text[n:n+gap], []byte("\n")) > 1 {
				return 0, nil
			}
			n += gap
		}
		for n < len(text) && kinds[text[n]] == letter {
			if len(word) == longest {
				return 0, nil
			}
			word = append(word, piece{text[n], n})
			low = append(low, text[n]|0x20)
			n++
		}
	}
	if !w.broken[string(low)] {
		return 0, nil
	}
	return n, slices.Clone(word)
}

// cutLength is how many bytes a text opens with that may cut a word and are not
// read; 0 for none.
func cutLength(text []byte) (n int) {
	const most = 300
	for n < len(text) && n < most {
		switch c := text[n]; {
		case c == '<':
			k := tagLength(text[n:])
			if k == 0 {
				return n
			}
			n += k
		case c == ']':
			n += 1 + targetLength(text[n+1:])
		case kinds[c] == mark:
			n++
		case kinds[c] == wide:
			r, size := utf8.DecodeRune(text[n:])
			if !unseen(r) && r != '\u2010' && r != '\u2011' {
				return n
			}
			n += size
		case n > 0 && breakLength(text[n:]) > 0:
			n += breakLength(text[n:]) // "flu-" at the end of a line
		default:
			return n
		}
	}
	return n
}

// breakLength is how long the break of a line is that a text opens with, with
// what sets the next line in; 0 where there is none.
func breakLength(text []byte) int {
	n, lines := 0, 0
	for n < len(text) && strings.IndexByte(" \t\r\n>", text[n]) >= 0 {
		if text[n] == '\n' {
			lines++
		}
		n++
	}
	if lines != 1 {
		return 0
	}
	return n
}

// tagLength is how long the tag or the remark of HTML is that a text opens with.
func tagLength(text []byte) int {
	const most = 240
	if bytes.HasPrefix(text, []byte("<!--")) {
		if end := bytes.Index(text[:min(len(text), most)], []byte("-->")); end > 0 {
			return end + 3
		}
		return 0
	}
	if len(text) < 3 || kinds[text[1]] != letter && text[1] != '/' {
		return 0
	}
	return bytes.IndexByte(text[:min(len(text), most)], '>') + 1
}

// targetLength is how long the target is that stands behind the words of a link.
func targetLength(text []byte) int {
	const most = 240
	if len(text) == 0 {
		return 0
	}
	switch text[0] {
	case '(':
		return bytes.IndexByte(text[:min(len(text), most)], ')') + 1
	case '[':
		return bytes.IndexByte(text[:min(len(text), most)], ']') + 1
	}
	return 0
}
