package keys

import (
	"bytes"
	"fmt"
	"sort"
	"strings"
)

// piece is one value inside braces or brackets.
type piece struct {
	key        string
	keyAt      int
	start, end int
	// plain is true for words without quotes; rule is set where they need
	// them.
	plain bool
	rule  string
	// asks is true where the words hold a ?, which the library refuses inside
	// braces and which is no mistake.
	asks bool
}

// flow goes through the braces or brackets that open at byte at; nothing
// behind limit belongs to them. It gives the byte behind their end.
func (m *mender) flow(at, limit int) int {
	open, shut := m.text[at], byte('}')
	if open == '[' {
		shut = ']'
	}
	var last piece
	flush := func() {
		from := last.start
		if last.key != "" {
			from = last.keyAt
		}
		words := string(m.text[last.start:last.end])
		point := words
		if last.rule == CommaQuotes {
			point = pointed(words)
		}
		for i := range point {
			if point[i] != words[i] {
				m.swaps = append(m.swaps, swap{last.start + i, 1, "."})
			}
		}
		switch {
		case point != words && strings.IndexByte(point, ',') < 0:
			m.report.Add(commaNumber(m.span(from, last.end), last.key, words, point))
			(*m.report).Mended(pointMend(m.span(last.start, last.end), point))
		case last.rule != "":
			m.report.Add(needsQuotes(last.rule, m.span(from, last.end), last.key, point, inside(open)))
			// A colon may as well begin the next key, its comma forgotten.
			if last.rule != OpenQuotes && last.rule != ColonQuotes {
				(*m.report).Mended(m.quotes(m.span(last.start, last.end), point))
			}
			m.wrap(last.start, last.end)
		}
		if last.rule == "" && last.asks {
			m.wrap(last.start, last.end)
			m.quiet = true
		}
		last = piece{}
	}
	for p := at + 1; ; {
		done := p
		p = m.gap(p, limit)
		if p >= limit {
			flush()
			m.say(OpenBrace, at, at+1, fmt.Sprintf("The %s opened here is never closed.", signName(open)), fmt.Sprintf("Write a %c behind the last value.", shut))
			// Not behind a remark, which would swallow it.
			close := swap{done, 0, string(shut)}
			(*m.report).Mended(m.swapsMend("Puts a "+string(shut)+" behind the last value.", close))
			m.swaps = append(m.swaps, close)
			return limit
		}
		switch c := m.text[p]; {
		case c == shut:
			flush()
			return p + 1
		case c == '}' || c == ']':
			flush()
			m.say(OpenBrace, at, at+1, fmt.Sprintf("The %s opened here is closed by a %s.", signName(open), signName(c)), fmt.Sprintf("Write a %c first.", shut))
			m.swaps = append(m.swaps, swap{p, 0, string(shut)})
			(*m.report).Mended(m.swapsMend("Puts a "+string(shut)+" before the "+string(c)+".", m.swaps[len(m.swaps)-1]))
			return p
		case c == ',':
			p++
			continue
		}
		if open == '[' {
			flush()
			last, p = m.piece(piece{}, p, limit)
			continue
		}
		end, value := m.flowKey(p, limit)
		if end > 0 {
			flush()
			key := piece{key: string(m.text[p:end]), keyAt: p}
			last, p = m.piece(key, m.valueAt(value, limit), limit)
			continue
		}
		// Words without a colon: the tail of the value before the comma.
		tail, next := m.piece(piece{}, p, limit)
		if last.plain && last.key != "" {
			last.end, last.rule = tail.end, CommaQuotes
		} else if tail.end > tail.start {
			m.say(CommaQuotes, tail.start, tail.end,
				fmt.Sprintf("%s stands inside braces without a colon and a value.", quote(clip(string(m.text[tail.start:tail.end])))),
				"Inside braces write key: value, parted by commas.")
		}
		p = max(next, p+1)
	}
}

func inside(open byte) string {
	if open == '[' {
		return " inside brackets"
	}
	return " inside braces"
}

func signName(c byte) string {
	switch c {
	case '[', ']':
		return fmt.Sprintf("bracket %c", c)
	}
	return fmt.Sprintf("brace %c", c)
}

// gap steps over spaces, line ends and remarks.
func (m *mender) gap(p, limit int) int {
	for p < limit {
		switch c := m.text[p]; {
		case c == ' ' || c == '\t' || c == '\n' || c == '\r':
			p++
		case c == '#' && p > 0 && (m.text[p-1] == ' ' || m.text[p-1] == '\n'):
			for p < limit && m.text[p] != '\n' {
				p++
			}
		default:
			return p
		}
	}
	return p
}

// valueAt is where the value begins whose key's colon stands before byte p: as
// gap, but a # before a figure, or with the end of the braces behind it, begins
// a grade and no remark.
func (m *mender) valueAt(p, limit int) int {
	for p < limit && (m.text[p] == ' ' || m.text[p] == '\t') {
		p++
	}
	if p+1 < limit && m.text[p] == '#' {
		line := m.text[p:min(limit, m.lineEnd(m.lineOf(p)))]
		if c := m.text[p+1]; c >= '0' && c <= '9' || bytes.IndexByte(line, '}') > 0 {
			return p
		}
	}
	return m.gap(p, limit)
}

// flowKey is where a key inside braces ends and its value begins; zeros where
// the words up to the next comma hold no colon.
func (m *mender) flowKey(p, limit int) (end, value int) {
	if c := m.text[p]; c == '"' || c == '\'' {
		close := quotedEnd(m.text[:limit], p)
		if colon := m.gap(min(close+1, limit), limit); colon < limit && m.text[colon] == ':' {
			return colon, colon + 1
		}
		return 0, 0
	}
	for i := p; i < limit; i++ {
		switch m.text[i] {
		case ',', '{', '}', '[', ']', '\n', '\r':
			return 0, 0
		case ':':
			if i+1 >= limit || bytes.IndexByte([]byte(" \t\n\r,{}[]\"'"), m.text[i+1]) >= 0 {
				if i == p {
					return 0, 0
				}
				return i, i + 1
			}
		}
	}
	return 0, 0
}

// piece reads the value that begins at p and gives it with the byte behind it.
func (m *mender) piece(v piece, p, limit int) (piece, int) {
	v.start, v.end = p, p
	if p >= limit {
		return v, p
	}
	switch c := m.text[p]; c {
	case '{', '[':
		p = m.flow(p, limit)
		v.end = p
		return v, p
	case '"', '\'':
		close := quotedEnd(m.text[:limit], p)
		if close < limit {
			next := m.gap(close+1, limit)
			if next >= limit || bytes.IndexByte([]byte(",}]"), m.text[next]) >= 0 {
				if c == '"' && badEscape(m.text[p+1:close]) {
					m.quoted(v.key, p, m.lineOf(p), m.lineOf(p)+1, 0)
				}
				v.end = close + 1
				return v, close + 1
			}
			// Words behind the closing quotes: all of it is one value.
			v.rule, v.plain = SignQuotes, true
			p = close + 1
			break
		}
		// Never closed: take the words up to the next sign as they are.
		v.rule, v.plain = OpenQuotes, true
		p++
	case '*', '&', '!', '%', '@', '`', '|', '>', '?':
		v.rule, v.plain = SignQuotes, true
		p++
	case '#':
		v.rule = CommentEats
		p++
	case '-':
		if p+1 < limit && m.text[p+1] == ' ' {
			v.rule = SignQuotes
		}
	}
	v.plain = true
	for p < limit {
		c := m.text[p]
		if c == ',' || c == '}' || c == ']' {
			break
		}
		switch {
		case c == '[' || c == '{':
			// A bracket inside words: what it holds belongs to them.
			shut := byte(']')
			if c == '{' {
				shut = '}'
			}
			n := bytes.IndexAny(m.text[p:limit], string(shut)+"\n")
			if n < 0 || m.text[p+n] == '\n' {
				n = 0
			}
			p += n
			v.rule = SignQuotes
		case c == ':' && p+1 < limit && (m.text[p+1] == ' ' || m.text[p+1] == '\n'):
			v.rule = ColonQuotes
		case c == '?':
			v.asks = true
		case c == '#' && (m.text[p-1] == ' ' || m.text[p-1] == '\t'):
			v.rule = CommentEats
		}
		p++
	}
	v.end = v.start + len(bytes.TrimRight(m.text[v.start:min(p, limit)], " \t\r\n"))
	return v, p
}

// lineOf is the line, from 0, of a byte of the text.
func (m *mender) lineOf(at int) int {
	return sort.SearchInts(m.lines, at+1) - 1
}
