package keys

import (
	"bytes"
	"fmt"
)

// level is a column in which keys begin.
type level struct {
	in int
	// key is the last key written there; full is true where words follow it
	// on its line, so that nothing may stand below it further in.
	key  string
	full bool
}

// chunk goes through the lines of a chunk for the mistakes people make.
func (m *mender) chunk(c chunk) {
	levels := []level{{in: m.base}}
	block, skip := -1, 0
	var tabs []int
	var spaces []swap
	for i := c.first; i < c.last; i++ {
		in, line := m.lineAt(i)
		if len(line) == 0 || i < skip {
			continue
		}
		if block >= 0 {
			if in > block {
				continue
			}
			block = -1
		}
		if line[0] == '#' || bytes.HasPrefix(line, []byte("---")) {
			continue
		}
		at := m.lines[i] + in
		tabbed := bytes.Count(m.text[m.lines[i]:at], []byte{'\t'})
		if n := tabbed; n > 0 {
			// A tab counts as the two spaces most people mean by it.
			for j := m.lines[i]; j < at; j++ {
				if m.text[j] == '\t' {
					spaces = append(spaces, swap{j, 1, "  "})
				}
			}
			m.swaps = append(m.swaps, spaces[len(spaces)-n:]...)
			tabs = append(tabs, i)
			in += n
		}
		col, item := in, false
		for len(line) > 0 && line[0] == '-' && (len(line) == 1 || line[1] == ' ' || line[1] == '\t') {
			for len(levels) > 1 && levels[len(levels)-1].in > col {
				levels = levels[:len(levels)-1]
			}
			n := 1
			for n < len(line) && (line[n] == ' ' || line[n] == '\t') {
				n++
			}
			line, at, col, item = line[n:], at+n, col+n, true
		}
		if len(line) == 0 {
			continue
		}
		end, value, ok := splitKey(line)
		if !ok {
			if n := glued(line); n > 0 && (item || !levels[len(levels)-1].full || col <= levels[len(levels)-1].in) {
				m.say(SpaceMissing, at, at+len(line),
					fmt.Sprintf("A space is missing after the colon of %s.", quote(clip(string(line)))),
					fmt.Sprintf("Write %s: %s", line[:n], line[n+1:]))
				space := swap{at + n + 1, 0, " "}
				(*m.report).Mended(m.swapsMend("Puts a space behind the colon of “"+clip(string(line[:n]))+"”.", space))
				m.swaps = append(m.swaps, space)
				end, value, ok = n, n+1, true
			}
		}
		if !ok {
			top := levels[len(levels)-1]
			if item {
				levels = append(levels, level{in: col, full: true})
				skip, block = m.value("", at, i, c.last, col-2)
				continue
			}
			if col > top.in {
				if !top.full {
					skip, block = m.value(top.key, at, i, c.last, top.in)
				}
				continue
			}
			if line[0] == '{' || line[0] == '[' {
				skip, block = m.value("", at, i, c.last, col)
				continue
			}
			m.say(Broken, at, at+len(line),
				fmt.Sprintf("%s is no key with a value, and it does not belong to the line above.", quote(clip(string(line)))),
				"Write a key, a colon and a space before it; if it goes on with the line above, put two more spaces before it.")
			m.swaps = append(m.swaps, swap{at, len(line), ""})
			continue
		}
		key := string(line[:end])
		if item {
			levels = append(levels, level{in: col})
		} else if col != levels[len(levels)-1].in {
			levels = m.indent(levels, i, at, in, key, tabbed > 0)
		}
		top := &levels[len(levels)-1]
		top.key, top.full = key, value < len(line) && line[value] != '#'
		if top.full {
			skip, block = m.value(key, at+value, i, c.last, top.in)
		}
	}
	if len(tabs) > 0 {
		at := m.lines[tabs[0]]
		in, _ := m.lineAt(tabs[0])
		m.say(TabBeforeKey, at, at+in,
			fmt.Sprintf("A tab stands before the words of %s.", plural(len(tabs), "this line", "lines from here on")),
			"Write spaces before the key instead, two for each tab.")
		(*m.report).Mended(m.swapsMend("Writes two spaces for each tab before a key.", spaces...))
	}
}

// indent finds the column a key that begins at byte at of line i belongs to,
// in being the spaces before it, and reports it where it fits none. A tab is as
// wide as the editor likes: what stands behind one is taken to go on with the
// keys above, and the tab itself is reported by others.
func (m *mender) indent(levels []level, i, at, in int, key string, tabbed bool) []level {
	top := levels[len(levels)-1]
	to := top.in
	switch {
	case in > top.in && !top.full && top.key != "":
		return append(levels, level{in: in})
	case tabbed && (in > top.in || !exact(levels, in)):
		for len(levels) > 1 && levels[len(levels)-1].key == "" {
			levels = levels[:len(levels)-1]
		}
		to = levels[len(levels)-1].in
	case in > top.in && top.key != "":
		m.say(SpacesBefore, m.lines[i], at+len(key),
			fmt.Sprintf("%s stands further in than %s, whose words are on its own line.", quote(clip(key)), quote(clip(top.key))),
			fmt.Sprintf("Begin both in one column; if this line goes on with the sentence of %s, put quotes around the whole sentence.", clip(top.key)))
	default:
		last := top
		for len(levels) > 1 && levels[len(levels)-1].in > in {
			last = levels[len(levels)-1]
			levels = levels[:len(levels)-1]
		}
		to = levels[len(levels)-1].in
		if to == in {
			return levels
		}
		if last.in > in && last.in-in < in-to {
			levels = append(levels, last)
			to = last.in
		}
		m.say(SpacesBefore, m.lines[i], at+len(key),
			fmt.Sprintf("The spaces before %s fit no key above it.", quote(clip(key))),
			"Begin it in the same column as the keys it belongs with.")
	}
	spaces := bytes.Repeat([]byte{' '}, to)
	// Tabs before the key have their own swaps, which this one replaces.
	kept := m.swaps[:0]
	for _, s := range m.swaps {
		if s.at < m.lines[i] || s.at >= at {
			kept = append(kept, s)
		}
	}
	m.swaps = append(kept, swap{m.lines[i], at - m.lines[i], string(spaces)})
	return levels
}

// exact says whether keys begin in the column.
func exact(levels []level, in int) bool {
	for _, l := range levels {
		if l.in == in {
			return true
		}
	}
	return false
}

// value looks at the value that begins at byte at of line i; last is the first
// line behind the chunk and in the column of its key. It gives the first line
// that is not part of it any more, and the column whose deeper lines are a
// block of text, -1 for none.
func (m *mender) value(key string, at, i, last, in int) (next, block int) {
	end := m.lineEnd(i)
	switch c := m.text[at]; c {
	case '|', '>':
		if head := m.text[at:end]; len(head) <= 3 || bytes.HasPrefix(head[1:], []byte(" #")) {
			return i + 1, in
		}
		m.wrapSay(SignQuotes, key, at, end, "")
		return i + 1, -1
	case '"', '\'':
		return m.quoted(key, at, i, last, in), -1
	case '{', '[':
		said, swaps := len(*m.report), len(m.swaps)
		limit := m.lineEnd(m.flowLimit(i, last, in))
		stop := m.flow(at, limit)
		line := i
		for line+1 < len(m.lines) && m.lines[line+1] <= stop {
			line++
		}
		rest := m.text[min(stop, m.lineEnd(line)):m.lineEnd(line)]
		if t := bytes.TrimSpace(rest); len(t) > 0 && t[0] != '#' {
			*m.report, m.swaps = (*m.report)[:said], m.swaps[:swaps]
			if line == i {
				m.wrapSay(SignQuotes, key, at, end, "")
			}
		}
		return line + 1, -1
	case '*', '&', '!', '%', '@', '`', ',', ']', '}':
		m.wrapSay(SignQuotes, key, at, end, "")
		return i + 1, -1
	case '-', '?':
		if at+1 == end {
			// A dash for nothing is a word like any other.
			m.wrap(at, end)
			m.quiet = true
			return i + 1, -1
		}
		if m.text[at+1] == ' ' {
			m.wrapSay(SignQuotes, key, at, end, "")
			return i + 1, -1
		}
	}
	// A plain sentence, perhaps over several lines.
	stop := m.plainStop(at, end)
	colon := holdsColon(m.text[at:stop])
	next = i + 1
	for ; next < last; next++ {
		deep, line := m.lineAt(next)
		if len(line) == 0 || deep <= in || line[0] == '-' || line[0] == '#' || bytes.IndexByte(line, ':') >= 0 {
			break
		}
		stop = m.lineEnd(next)
	}
	if colon {
		m.wrapSay(ColonQuotes, key, at, stop, "")
		return next, -1
	}
	return i + 1, -1
}

// lineEnd is the byte behind the last word of line i.
func (m *mender) lineEnd(i int) int {
	in, line := m.lineAt(i)
	return m.lines[i] + in + len(line)
}

// plainStop is where the words from at to end stop before a remark.
func (m *mender) plainStop(at, end int) int {
	for i := at + 1; i < end; i++ {
		if m.text[i] == '#' && (m.text[i-1] == ' ' || m.text[i-1] == '\t') {
			return at + len(bytes.TrimRight(m.text[at:i], " \t"))
		}
	}
	return end
}

// holdsColon says whether words hold a colon that would part a key from its
// value.
func holdsColon(words []byte) bool {
	for i, c := range words {
		if c == ':' && (i+1 == len(words) || words[i+1] == ' ' || words[i+1] == '\t') {
			return true
		}
	}
	return false
}

// quoted looks at a value in quotes.
func (m *mender) quoted(key string, at, i, last, in int) (next int) {
	end := m.lineEnd(i)
	limit := m.lineEnd(m.flowLimit(i, last, in))
	close := quotedEnd(m.text[:limit], at)
	if close >= limit {
		m.say(OpenQuotes, at, end, "The quotes opened here are never closed.",
			fmt.Sprintf("Write %s", keyed(key, inQuotes(string(bytes.TrimRight(m.text[at+1:end], `"'`))))))
		if rest := m.text[at+1 : end]; !bytes.ContainsAny(rest, "\"'\\#") {
			(*m.report).Mended(m.swapsMend("Closes the quotes behind “"+clip(string(rest))+"”.", swap{end, 0, string(m.text[at])}))
		}
		// Single quotes on both sides hold whatever stands between.
		m.swaps = append(m.swaps, swap{at, 1, ""})
		m.wrap(at+1, end)
		return i + 1
	}
	line := i
	for line+1 < len(m.lines) && m.lines[line+1] <= close {
		line++
	}
	stop := m.lineEnd(line)
	rest := bytes.TrimSpace(m.text[close+1 : stop])
	switch {
	case len(rest) > 0 && rest[0] != '#':
		m.report.Add(needsQuotes(SignQuotes, m.span(at, stop), key, string(m.text[at:stop]), " around the whole value:"))
		d := &(*m.report)[len(*m.report)-1]
		d.Message = fmt.Sprintf("Words go on behind the closing quotes of %s.", quote(clip(keyed(key, string(m.text[at:stop])))))
		d.Mend = m.quotes(d.Span, string(m.text[at:stop]))
		m.wrap(at, stop)
	case m.text[at] == '"' && badEscape(m.text[at+1:close]):
		m.say(SignQuotes, at, close+1, "A backslash inside these quotes is not taken as it stands.",
			fmt.Sprintf("Write %s", keyed(key, "'"+string(bytes.ReplaceAll(m.text[at+1:close], []byte("'"), []byte("''")))+"'")))
		single := []swap{{at, 1, "'"}}
		for i := at + 1; i < close; i++ {
			if m.text[i] == '\'' {
				single = append(single, swap{i, 0, "'"})
			}
		}
		single = append(single, swap{close, 1, "'"})
		(*m.report).Mended(m.swapsMend("Puts “"+clip(string(m.text[at+1:close]))+"” into single quotes, which take a backslash as it stands.", single...))
		m.swaps = append(m.swaps, single...)
	}
	return line + 1
}

// keyed is a key with its value, or the value alone.
func keyed(key, value string) string {
	if key == "" {
		return value
	}
	return key + ": " + value
}

// badEscape says whether a backslash in double quotes stands before a letter
// that has no meaning there.
func badEscape(words []byte) bool {
	for i := 0; i+1 < len(words); i++ {
		if words[i] == '\\' {
			i++
			if bytes.IndexByte([]byte("0abtnvfre \"/\\N_LPxuU\n\r\t"), words[i]) < 0 {
				return true
			}
		}
	}
	return false
}

// flowLimit is the last line that may belong to a value that begins in line i
// and whose key stands in column in.
func (m *mender) flowLimit(i, last, in int) int {
	for j := i + 1; j < last; j++ {
		deep, line := m.lineAt(j)
		if len(line) == 0 {
			continue
		}
		if line[0] == '}' || line[0] == ']' {
			i = j
			continue
		}
		if deep <= in || line[0] == '-' {
			break
		}
		i = j
	}
	return i
}
