// Package asread is a text as the eye reads it on a sheet, whatever it was
// written with: entities and escapes are decoded, letters of another alphabet
// that look like Latin ones are taken for those, and a word that something
// unseen cuts in two is one word again. A word that is looked for is then found
// however it was spelled, and its place in the text as written is still known.
package asread

import (
	"html"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Text is a text as it is read. Where nothing in it is disguised Bytes are the
// very bytes that were read.
type Text struct {
	Bytes []byte
	// from and to are, for every byte, where what it was read from begins and
	// ends in the text as written; nil where nothing was changed.
	from, to []int32
}

// Span gives the stretch of the text as written from which the bytes from up
// to but without to were read.
func (t *Text) Span(from, to int) (start, end int) {
	if t.from == nil {
		return from, to
	}
	if len(t.from) == 0 {
		return 0, 0
	}
	if from >= len(t.from) {
		end = int(t.to[len(t.to)-1])
		return end, end
	}
	start = int(t.from[from])
	if to <= from {
		return start, start
	}
	return start, int(t.to[min(to, len(t.to))-1])
}

// Changed says whether the text is read otherwise than it is written.
func (t *Text) Changed() bool { return t.from != nil }

// longest is how long a word may be to be put together again.
const longest = 64

// Read reads a text in which the words are looked for.
func Read(text []byte, words *Words) Text {
	if !words.disguised(text) {
		return Text{Bytes: text}
	}
	r := reader{words: words}
	r.decode(text)
	decoded := r.out
	r.out = Text{from: []int32{}, to: []int32{}}
	r.join(decoded)
	return r.out
}

// kinds of bytes that may be part of a disguise.
const (
	nothing = iota
	letter
	mark // stands between letters and is not read: see cutLength
	entity
	wide // the first byte of a rune that is not ASCII
	digit
	blank
)

var kinds = func() (table [256]uint8) {
	for c := range 256 {
		switch {
		case c|0x20 >= 'a' && c|0x20 <= 'z':
			table[c] = letter
		case c == '&':
			table[c] = entity
		case strings.IndexByte("-*_~`<[]\\", byte(c)) >= 0:
			table[c] = mark
		case c >= utf8.RuneSelf:
			table[c] = wide
		case c != 'I' && strings.IndexByte(leet, byte(c)) >= 0:
			table[c] = digit
		case c == ' ' || c == '\n' || c == '.':
			table[c] = blank
		}
	}
	return table
}()

// passed are the bytes that are never part of a disguise.
var passed = func() (table [256]bool) {
	for c, kind := range kinds {
		table[c] = kind == nothing || kind == letter && c != 'I'
	}
	return table
}()

// leet are digits and signs that are put for letters, and the large I that is
// put for an l.
const leet = "0135@$I"

// leetAs are the letters they are put for, in two ways.
var leetAs = []string{"oiesasl", "olesasl"}

// disguised says whether anything in a text may be read otherwise than it is
// written. Nearly every text is passed over by it in one go.
func (w *Words) disguised(text []byte) bool {
	for i := 0; i < len(text); i++ {
		if passed[text[i]] {
			continue
		}
		kind := kinds[text[i]]
		switch kind {
		case blank:
			// Nearly every blank stands between two whole words.
			if i == 0 || kinds[text[i-1]] != letter || i > 1 && kinds[text[i-2]] == letter && !w.tornAfter[text[i-1]&31] {
				continue
			}
		case letter: // an I
			if i == 0 || text[i-1] < 'a' || kinds[text[i-1]] != letter {
				continue
			}
		case entity:
			if n, _ := entityAt(text[i:]); n > 0 {
				return true
			}
			continue
		case wide:
			if strange(text[i:]) {
				return true
			}
			for i+1 < len(text) && text[i+1]&0xC0 == 0x80 {
				i++
			}
			continue
		case mark:
			if text[i] == '\\' {
				if n, _ := escapeAt(text[i:]); n > 0 {
					return true
				}
			}
		}
		if i == 0 || i+1 == len(text) || kinds[text[i-1]] != letter {
			continue
		}
		if next := text[i+1]; kinds[next] == letter {
			pair := pairOf(text[i-1], next)
			switch {
			case kind == mark && text[i] != '<' && !w.pairs[pair]:
				continue
			case kind == blank && !w.torn[pair] && i > 1 && kinds[text[i-2]] == letter:
				continue
			case kind == blank && !w.torn[pair] && i+2 < len(text) && kinds[text[i+2]] == letter:
				continue
			}
		} else if kind == digit && kinds[next] != digit || text[i] == ']' && next != '(' && next != '[' && kinds[next] != mark {
			continue
		}
		if w.cut(text, i, kind) {
			return true
		}
	}
	return false
}

// cut says whether the byte at i, behind a letter, cuts a word that is looked
// for.
func (w *Words) cut(text []byte, i int, kind uint8) bool {
	next := i
	for next < len(text) && next < i+longest && kinds[text[next]] != letter {
		next++
	}
	if next == len(text) {
		return false
	}
	from := i
	for from > 0 && i-from < longest && kinds[text[from-1]] == letter {
		from--
	}
	pair := pairOf(text[i-1], text[next])
	switch kind {
	case blank:
		if w.torn[pair] && w.opens[pairOf(text[from], text[from+1])] {
			if n, _ := w.tornAt(text[from:]); n > 0 {
				return true
			}
		}
		if from < i-1 || next+1 < len(text) && kinds[text[next+1]] == letter {
			return false
		}
	case mark:
		if !w.pairs[pair] && text[i] != '<' && text[i] != '[' && text[i] != ']' {
			return false
		}
	}
	// The word may have been cut before: look from where its first piece opens.
	for from > 0 && i-from < longest && kinds[text[from-1]] != nothing && kinds[text[from-1]] != wide && (kind == blank || kinds[text[from-1]] != blank) {
		from--
	}
	for ; from < i; from++ {
		if kinds[text[from]] == letter && (from == 0 || kinds[text[from-1]] != letter) {
			if n, _ := w.at(text[from:]); n > i-from {
				return true
			}
		}
	}
	return false
}

// strange says whether a rune may be read as something else: it is no letter of
// the bench's own languages, no sign of measure and no punctuation.
func strange(text []byte) bool {
	switch text[0] {
	case 0xC2: // U+0080 to U+00BF: signs of measure, and the soft hyphen
		return len(text) > 1 && text[1] == 0xAD
	case 0xC3: // U+00C0 to U+00FF
		r, _ := utf8.DecodeRune(text)
		return !strings.ContainsRune("äöüÄÖÜßæøåÆØÅ×÷", r)
	case 0xCE: // the Greek mu of µm
		return len(text) < 2 || text[1] != 0xBC
	case 0xE2: // dashes, quotation marks, arrows, signs of mathematics
		r, _ := utf8.DecodeRune(text)
		return unseen(r) || r == '\u2010' || r == '\u2011' || r >= 0x2100 && r < 0x2190
	}
	return true
}

// unseen says whether a rune leaves no mark on paper.
func unseen(r rune) bool {
	return r == '\u00ad' || unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Variation_Selector, r) || r == '\u034f' || r == '\u115f' || r == '\u3164'
}

// reader puts a text as it is read together.
type reader struct {
	words *Words
	out   Text
}

func (r *reader) emit(s string, from, to int) {
	r.out.Bytes = append(r.out.Bytes, s...)
	for range len(s) {
		r.out.from = append(r.out.from, int32(from))
		r.out.to = append(r.out.to, int32(to))
	}
}

// decode reads entities, escapes and letters that are written otherwise.
func (r *reader) decode(text []byte) {
	r.out = Text{Bytes: make([]byte, 0, len(text)), from: make([]int32, 0, len(text)), to: make([]int32, 0, len(text))}
	for i := 0; i < len(text); {
		n, s := entityAt(text[i:])
		if n == 0 {
			n, s = escapeAt(text[i:])
		}
		if n == 0 {
			_, n = utf8.DecodeRune(text[i:])
			s = string(text[i : i+n])
		}
		// What marks a letter stands behind it.
		if c, size := utf8.DecodeRune(text[i+n:]); c == '\u0308' && strings.Contains("aouAOU", s) {
			s = norm.NFC.String(s + string(c))
			n += size
		}
		r.emit(latin(s), i, i+n)
		i += n
	}
	r.alphabets()
}

// entityAt is the entity of HTML that a text opens with, and how long it is; 0
// where it opens with none.
func entityAt(text []byte) (n int, is string) {
	const most = 34
	if len(text) < 3 || text[0] != '&' {
		return 0, ""
	}
	for n = 1; n < len(text) && n < most; n++ {
		switch c := text[n]; {
		case c == ';':
			s := string(text[:n+1])
			if is = html.UnescapeString(s); is != s {
				return n + 1, is
			}
			return 0, ""
		case c != '#' && kinds[c] != letter && (c < '0' || c > '9'):
			return 0, ""
		}
	}
	return 0, ""
}

// escapeAt is the letter that a text opens with as it may be written between
// quotation marks in front matter: "\x66", "\u0066", "\U00000066".
func escapeAt(text []byte) (n int, is string) {
	if len(text) < 4 || text[0] != '\\' {
		return 0, ""
	}
	switch text[1] {
	case 'x':
		n = 4
	case 'u':
		n = 6
	case 'U':
		n = 10
	}
	if n == 0 || len(text) < n {
		return 0, ""
	}
	code, err := strconv.ParseUint(string(text[2:n]), 16, 32)
	if err != nil || code > unicode.MaxRune {
		return 0, ""
	}
	return n, string(rune(code))
}

// latin is a letter with its marks taken off, or the plain letters that a
// ligature, a wide or a mathematical letter stands for (Unicode Standard Annex
// 15); anything else as it is. The letters of German and the North keep theirs.
func latin(s string) string {
	if len(s) < 2 || strings.Contains("äöüÄÖÜßæøåÆØÅ", s) {
		return s
	}
	c, size := utf8.DecodeRuneInString(s)
	if size < len(s) {
		return s
	}
	if unicode.Is(unicode.Mn, c) {
		return "\u00ad" // a mark on the letter before: not read
	}
	plain := strings.Map(func(c rune) rune {
		if unicode.Is(unicode.Mn, c) {
			return -1
		}
		return c
	}, norm.NFKD.String(s))
	for i := range len(plain) {
		if kinds[plain[i]] != letter {
			return s
		}
	}
	return plain
}

// twins are letters of other alphabets that are read as Latin ones: a part of
// the table of Unicode Technical Standard 39.
var twins = func() map[rune]string {
	table := map[rune]string{}
	for latin, others := range map[string]string{
		"a": "аαɑ", "b": "ЬƄ", "c": "сϲⅽ", "d": "ԁⅾժ", "e": "еҽ", "f": "ƒſẝғ", "g": "ɡց", "h": "һհ", "i": "іιɩı", "j": "ј", "k": "κк", "l": "ӏⅼǀι", "m": "м",
		"n": "пηո", "o": "оοσօ", "p": "рρ", "q": "ԛ", "r": "гᴦ", "s": "ѕꜱ", "t": "тτ", "u": "υսц", "v": "νѵ", "w": "ԝω", "x": "хχ", "y": "уүγ", "z": "ᴢ",
		"A": "АΑᴀ", "B": "ВΒ", "C": "СϹᴄ", "D": "ᴅ", "E": "ЕΕᴇ", "F": "Ϝꜰ", "H": "НΗʜ", "I": "ІΙӀɪ", "K": "КΚ", "L": "ʟ", "M": "МΜ", "N": "Νɴ", "O": "ОΟᴏ", "P": "РΡ",
		"R": "ʀ", "S": "Ѕ", "T": "ТΤᴛ", "U": "ᴜ", "X": "ХΧ", "Y": "ҮΥ", "Z": "Ζ",
	} {
		for _, c := range others {
			if _, ok := table[c]; !ok {
				table[c] = latin
			}
		}
	}
	return table
}()

// alphabets takes letters for their Latin twins in every word that mixes two
// alphabets, or that is one that is looked for, and drops what is not seen.
func (r *reader) alphabets() {
	in := r.out
	r.out = Text{Bytes: make([]byte, 0, len(in.Bytes)), from: make([]int32, 0, len(in.from)), to: make([]int32, 0, len(in.to))}
	for i := 0; i < len(in.Bytes); {
		end, mixed, other := i, false, false
		var read []byte
		for end < len(in.Bytes) {
			c, size := utf8.DecodeRune(in.Bytes[end:])
			if kinds[in.Bytes[end]] != letter && !(c >= utf8.RuneSelf && unicode.IsLetter(c)) && !unseen(c) {
				break
			}
			switch twin, ok := twins[c]; {
			case ok:
				other, read = true, append(read, twin...)
			case kinds[in.Bytes[end]] == letter:
				mixed, read = true, append(read, in.Bytes[end])
			case c >= utf8.RuneSelf && unicode.IsLetter(c):
				read = append(read, in.Bytes[end:end+size]...)
			}
			end += size
		}
		if end == i {
			_, size := utf8.DecodeRune(in.Bytes[i:])
			end, other = i+size, false
		}
		take := other && (mixed || len(read) < longest && r.words.whole(lowered(read), every(len(read))))
		for i < end {
			c, size := utf8.DecodeRune(in.Bytes[i:])
			if unseen(c) {
				i += size
				continue
			}
			if twin, ok := twins[c]; ok && take {
				r.emit(twin, int(in.from[i]), int(in.to[i]))
			} else {
				r.emit(string(in.Bytes[i:i+size]), int(in.from[i]), int(in.to[i]))
			}
			i += size
		}
	}
}

// lowered is a word in lower case.
func lowered(word []byte) []byte {
	low := make([]byte, len(word))
	for i, c := range word {
		if c >= 'A' && c <= 'Z' {
			c |= 0x20
		}
		low[i] = c
	}
	return low
}

// every is a cut between all letters of a word.
func every(n int) []int {
	cuts := make([]int, 0, n)
	for i := 1; i < n; i++ {
		cuts = append(cuts, i)
	}
	return cuts
}

// join puts words together again that something cuts, where they are looked for.
// What stood between their letters follows the text, so that it is read as well.
func (r *reader) join(in Text) {
	var between [][2]int
	for i := 0; i < len(in.Bytes); {
		if n, read := r.words.in(in.Bytes, i); n > 0 {
			for _, p := range read {
				r.emit(string(p.is), int(in.from[i+p.at]), int(in.to[i+p.at]))
			}
			for k := 1; k < len(read); k++ {
				if from, to := i+read[k-1].at+1, i+read[k].at; to-from > 2 {
					between = append(between, [2]int{from, to})
				}
			}
			i += n
			continue
		}
		_, size := utf8.DecodeRune(in.Bytes[i:])
		r.emit(string(in.Bytes[i:i+size]), int(in.from[i]), int(in.to[i]))
		i += size
	}
	for _, b := range between {
		if at := int(in.from[b[0]]); hasLetter(in.Bytes[b[0]:b[1]]) {
			r.emit("\n\n", at, at)
			for i := b[0]; i < b[1]; i++ {
				r.emit(string(in.Bytes[i:i+1]), int(in.from[i]), int(in.to[i]))
			}
		}
	}
}

// in is the word that opens at byte i of a text: see at.
func (w *Words) in(text []byte, i int) (n int, word []piece) {
	if i > 0 && kinds[text[i-1]] == letter {
		return 0, nil
	}
	return w.at(text[i:])
}

func hasLetter(text []byte) bool {
	for _, c := range text {
		if kinds[c] == letter {
			return true
		}
	}
	return false
}
