package parse

import (
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark/util"
)

// unescape resolves the backslashes and the named and numbered characters of
// Markdown in s: \* is *, &frac12; is ½, &#181; is µ. Text without any comes
// back as it is.
func unescape(s string) string {
	i, j := strings.IndexByte(s, '\\'), strings.IndexByte(s, '&')
	if i < 0 || j >= 0 && j < i {
		i = j
	}
	if i < 0 {
		return s
	}
	var b strings.Builder
	b.Grow(len(s))
	from := 0
	for i < len(s) {
		switch s[i] {
		case '\\':
			if i+1 < len(s) && punct(s[i+1]) {
				b.WriteString(s[from:i])
				b.WriteByte(s[i+1])
				i += 2
				from = i
				continue
			}
		case '&':
			if chars, n := entity(s[i:]); n > 0 {
				b.WriteString(s[from:i])
				b.WriteString(chars)
				i += n
				from = i
				continue
			}
		}
		i++
	}
	b.WriteString(s[from:])
	return b.String()
}

// punct says whether b may stand behind a backslash.
func punct(b byte) bool {
	return b >= '!' && b <= '/' || b >= ':' && b <= '@' || b >= '[' && b <= '`' || b >= '{' && b <= '~'
}

// entity reads the character reference s begins with and its length in bytes,
// 0 where it begins with none. The limits are those of CommonMark 0.31, 2.5.
func entity(s string) (chars string, n int) {
	end := 1
	for end < len(s) && end < 40 && s[end] != ';' {
		end++
	}
	if end < 2 || end >= len(s) || s[end] != ';' {
		return "", 0
	}
	name := s[1:end]
	if name[0] != '#' {
		e, ok := util.LookUpHTML5EntityByName(name)
		if !ok {
			return "", 0
		}
		return string(e.Characters), end + 1
	}
	digits, base, most := name[1:], rune(10), 7
	if len(digits) > 0 && (digits[0] == 'x' || digits[0] == 'X') {
		digits, base, most = digits[1:], 16, 6
	}
	if len(digits) == 0 || len(digits) > most {
		return "", 0
	}
	var c rune
	for i := 0; i < len(digits); i++ {
		d := digit(digits[i])
		if d < 0 || d >= base {
			return "", 0
		}
		c = c*base + d
	}
	if c == 0 || !utf8.ValidRune(c) {
		c = utf8.RuneError
	}
	return string(c), end + 1
}

func digit(b byte) rune {
	switch {
	case b >= '0' && b <= '9':
		return rune(b - '0')
	case b >= 'a' && b <= 'f':
		return rune(b-'a') + 10
	case b >= 'A' && b <= 'F':
		return rune(b-'A') + 10
	}
	return -1
}
