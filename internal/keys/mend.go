package keys

import (
	"bytes"
	"fmt"
	"slices"

	"gopkg.in/yaml.v3"

	"coldwright/internal/diag"
)

// mend is what is done with a text the library does not take: it is cut at its
// outermost keys, and the pieces that cannot be read by themselves are gone
// through line by line for the mistakes people make. Each is reported and put
// right in a copy, so that the rest is read and nothing is called missing that
// stands there. It gives false where nothing helped.
func (r *reading) mend(doc *yaml.Node) bool {
	said := len(*r.report)
	m := mender{reading: r, base: r.outermost()}
	all := m.chunks()
	for i, c := range all {
		if i == 0 && len(all) > 1 && m.orphan(c) {
			continue
		}
		if !m.reads(c) {
			m.chunk(c)
		}
	}
	m.apply()
	if yaml.Unmarshal(r.text, doc) == nil && !r.dedents() {
		if len(*r.report) == said && !m.quiet {
			r.broken(r.file.Span(r.base, r.base+len(r.text)))
		}
		return true
	}
	r.unread = map[int]bool{}
	for _, c := range m.chunks() {
		if !m.reads(c) {
			m.blank(c, said)
		}
	}
	*doc = yaml.Node{}
	if yaml.Unmarshal(r.text, doc) == nil {
		return true
	}
	if len(*r.report) == said {
		r.broken(r.span(0, len(r.text)))
	}
	return false
}

// orphan says whether a list stands before the first key, and takes it out.
func (m *mender) orphan(c chunk) bool {
	for i := c.first; i < c.last; i++ {
		in, line := m.lineAt(i)
		if len(line) == 0 || line[0] == '#' || bytes.HasPrefix(line, []byte("---")) {
			continue
		}
		if line[0] != '-' {
			return false
		}
		m.say(Broken, m.lines[i]+in, m.lineEnd(i), "This list stands under no key.", "Write the key it belongs to and a colon on the line before it.")
		start, end := m.bytes(chunk{i, c.last})
		m.swaps = append(m.swaps, swap{start, end - start, ""})
		return true
	}
	return false
}

// mender puts right what can be.
type mender struct {
	*reading
	// base is the number of spaces before the outermost keys.
	base  int
	swaps []swap
	// quiet is true where something was put right that is no mistake.
	quiet bool
}

// swap puts put in the place of cut bytes of the text.
type swap struct {
	at, cut int
	put     string
}

// chunk is a stretch of lines, from 0, the last left out.
type chunk struct{ first, last int }

// outermost is the least number of spaces before any line.
func (r *reading) outermost() int {
	least := -1
	for i := range r.lines {
		in, line := r.lineAt(i)
		if len(line) == 0 || line[0] == '#' {
			continue
		}
		if least < 0 || in < least {
			least = in
		}
		if least == 0 {
			break
		}
	}
	return max(0, least)
}

// chunks cuts the text at its outermost keys. A stretch that cannot be read by
// itself and can with those below it is left whole: the library takes words
// inside braces from whatever column they begin in, and what is read must not
// hang on a mistake elsewhere.
func (m *mender) chunks() []chunk {
	cuts := m.cuts()
	var all []chunk
	for i := 0; i < len(cuts); i++ {
		c := cuts[i]
		if !m.reads(c) {
			for j := i + 1; j < len(cuts) && j <= i+mostGoingOn; j++ {
				if on := (chunk{c.first, cuts[j].last}); m.reads(on) {
					c, i = on, j
					break
				}
			}
		}
		all = append(all, c)
	}
	return all
}

// mostGoingOn is how many lines in the column of the outermost keys are tried
// as the end of a value begun above them.
const mostGoingOn = 8

// cuts are where the outermost keys begin.
func (m *mender) cuts() []chunk {
	var all []chunk
	first := 0
	for i := range m.lines {
		in, line := m.lineAt(i)
		if in != m.base || len(line) == 0 || bytes.IndexByte([]byte("#-]}"), line[0]) >= 0 {
			continue
		}
		if i > first && !m.bare(chunk{first, i}) {
			all = append(all, chunk{first, i})
			first = i
		}
	}
	return append(all, chunk{first, len(m.lines)})
}

// bare says whether a chunk holds nothing but empty lines and remarks.
func (m *mender) bare(c chunk) bool {
	for i := c.first; i < c.last; i++ {
		if _, line := m.lineAt(i); len(line) > 0 && line[0] != '#' {
			return false
		}
	}
	return true
}

// bytes is the text of a chunk.
func (m *mender) bytes(c chunk) (start, end int) {
	end = len(m.text)
	if c.last < len(m.lines) {
		end = m.lines[c.last]
	}
	return m.lines[c.first], end
}

// reads says whether a chunk can be read by itself, as keys or as a list.
func (m *mender) reads(c chunk) bool {
	start, end := m.bytes(c)
	var doc yaml.Node
	if yaml.Unmarshal(m.text[start:end], &doc) != nil {
		return false
	}
	if len(doc.Content) == 0 {
		return true
	}
	if doc.Content[0].Kind == yaml.ScalarNode {
		return false
	}
	// Lines further in than the outermost keys belong to none of them.
	in := doc.Content[0].Column - 1
	return in <= m.base || doc.Content[0].Kind == yaml.SequenceNode
}

// apply makes the swaps.
func (m *mender) apply() {
	if len(m.swaps) == 0 {
		return
	}
	slices.SortStableFunc(m.swaps, func(a, b swap) int { return a.at - b.at })
	var text []byte
	from, shift := 0, 0
	for _, s := range m.swaps {
		if s.at < from {
			continue
		}
		text = append(text, m.text[from:s.at]...)
		text = append(text, s.put...)
		from = s.at + s.cut
		if n := len(s.put) - s.cut; n != 0 {
			shift += n
			m.edits = append(m.edits, edit{len(text), shift})
		}
	}
	m.text = append(text, m.text[from:]...)
	m.lines = m.lines[:1]
	for i := 0; i < len(m.text); i++ {
		switch c := m.text[i]; {
		case c == '\r' && i+1 < len(m.text) && m.text[i+1] == '\n':
		case c == '\n' || c == '\r':
			m.lines = append(m.lines, i+1)
		}
	}
	m.swaps = nil
}

// blank gives up a chunk, of a list only the members that cannot be read. said
// is how many findings there were before mending: lines of which something has
// been said already are not reported again.
func (m *mender) blank(c chunk, said int) {
	var items []int
	least := -1
	for i := c.first; i < c.last; i++ {
		in, line := m.lineAt(i)
		if len(line) == 0 || line[0] != '-' || (len(line) > 1 && line[1] != ' ') {
			continue
		}
		if least < 0 || in < least {
			least, items = in, nil
		}
		if in == least {
			items = append(items, i)
		}
	}
	for n, i := range items {
		part := chunk{i, c.last}
		if n+1 < len(items) {
			part.last = items[n+1]
		}
		start, end := m.bytes(part)
		var doc yaml.Node
		if yaml.Unmarshal(m.text[start:end], &doc) == nil {
			continue
		}
		in, _ := m.lineAt(i)
		m.clear(i, start+in+1, end, said)
	}
	if len(items) > 0 && m.reads(c) {
		return
	}
	start, end := m.bytes(c)
	in, line := m.lineAt(c.first)
	for i := c.first; len(line) == 0 || line[0] == '#'; {
		i++
		if i >= c.last {
			return
		}
		in, line = m.lineAt(i)
		start = m.lines[i]
	}
	if _, value, ok := splitKey(line); ok && in == m.base {
		start += in + value
	}
	m.clear(c.first, start, end, said)
}

// clear puts spaces over the bytes start to end.
func (m *mender) clear(line, start, end, said int) {
	from := start
	for from < end && (m.text[from] == ' ' || m.text[from] == '\n' || m.text[from] == '\r') {
		from++
	}
	stop := from
	for stop < end && m.text[stop] != '\n' && m.text[stop] != '\r' {
		stop++
	}
	at, whole := m.span(from, stop), m.span(start, end)
	told := false
	for _, d := range (*m.report)[said:] {
		told = told || d.Span.Start >= whole.Start-60 && d.Span.Start <= whole.End
	}
	if !told {
		m.broken(at)
	}
	m.text = bytes.Clone(m.text)
	for i := start; i < end; i++ {
		if m.text[i] != '\n' && m.text[i] != '\r' {
			m.text[i] = ' '
		}
	}
	for i, at := range m.lines {
		if at <= start {
			m.unread[i+1] = true
			delete(m.unread, i)
		}
	}
	m.unread[line+1] = true
}

// say reports a mistake.
func (m *mender) say(rule string, start, end int, message, help string) {
	m.report.Add(diag.Diagnostic{
		Rule: rule, Severity: diag.Error, Concern: diag.Card, Span: m.span(start, end), Message: message, Help: help,
	})
}

// wrap puts the bytes start to end of the text into quotes.
func (m *mender) wrap(start, end int) {
	m.swaps = append(m.swaps, swap{start, 0, "'"})
	for i := start; i < end; i++ {
		if m.text[i] == '\'' {
			m.swaps = append(m.swaps, swap{i, 0, "'"})
		}
	}
	m.swaps = append(m.swaps, swap{end, 0, "'"})
}

// wrapSay puts words into quotes and says that they need them.
func (m *mender) wrapSay(rule, key string, start, end int, where string) {
	words := string(m.text[start:end])
	m.report.Add(needsQuotes(rule, m.span(start, end), key, words, where))
	(*m.report).Mended(m.quotes(m.span(start, end), words))
	m.wrap(start, end)
}

// splitKey is where the key of a line ends and its value begins, both in
// bytes of the line.
func splitKey(line []byte) (end, value int, ok bool) {
	i := 0
	if len(line) == 0 || bytes.IndexByte([]byte("{[|>,]}"), line[0]) >= 0 {
		return 0, 0, false
	}
	if line[0] == '"' || line[0] == '\'' {
		i = quotedEnd(line, 0) + 1
		for i < len(line) && line[i] == ' ' {
			i++
		}
		if i >= len(line) || line[i] != ':' {
			return 0, 0, false
		}
	}
	for ; i < len(line); i++ {
		if line[i] == '#' && i > 0 && line[i-1] == ' ' {
			return 0, 0, false
		}
		if line[i] == ':' && (i+1 == len(line) || line[i+1] == ' ' || line[i+1] == '\t') {
			value = i + 1
			for value < len(line) && (line[value] == ' ' || line[value] == '\t') {
				value++
			}
			return i, value, i > 0
		}
	}
	return 0, 0, false
}

// glued is where the colon stands in a line like "title:Cast", 0 where the
// line is none.
func glued(line []byte) int {
	for i, c := range line {
		switch {
		case c == ':' && i > 0 && i+1 < len(line) && line[i+1] != '/' && line[i+1] != ':':
			return i
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c == '-', c == ' ' && i < 20:
		default:
			return 0
		}
	}
	return 0
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return fmt.Sprintf("%d %s", n, many)
}
