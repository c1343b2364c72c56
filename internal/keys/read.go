package keys

import (
	"bytes"
	"fmt"
	"sort"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"coldwright/internal/diag"
	"coldwright/internal/source"
)

const (
	// longest is the size in bytes of the longest text that is read.
	longest = 1 << 20
	// deepest is how many levels may be nested.
	deepest = 100
)

// reading is a text while it is read.
type reading struct {
	file   *source.File
	report *diag.List
	// text is what the YAML library is given: the bytes of the file from base
	// on, unreadable ones replaced one for one, and with edits once it had to
	// be mended.
	text  []byte
	base  int
	edits []edit
	// lines are the offsets in text of the first byte of each line, counted
	// the way the library counts lines.
	lines []int
	// line, column and offset are where the last place was looked up: places
	// come in the order of the text.
	line, column, offset int
	// unread are the lines, from 1, of what could not be mended.
	unread map[int]bool
	// remarks are the places whose # has been reported already.
	remarks map[int]bool
}

// edit is a change of length in the text: from byte at on, offsets of the text
// less shift are those of the file.
type edit struct{ at, shift int }

// Read reads the bytes start to end of f. What cannot be read is reported and
// gives a Value of Kind Unread, or the zero Value where nothing is left;
// reading never panics, whatever the bytes. After a mistake the rest is read
// all the same, so that one pass finds them all.
func Read(f *source.File, start, end int, report *diag.List) (v Value) {
	start = max(0, min(start, len(f.Text)))
	end = max(start, min(end, len(f.Text)))
	if bytes.HasPrefix(f.Text[start:end], []byte("\ufeff")) {
		start += 3
	}
	if end-start > longest {
		report.Add(diag.Diagnostic{
			Rule: TooLong, Severity: diag.Error, Concern: diag.Card, Span: f.Span(start, min(end, start+1)),
			Message: fmt.Sprintf("This text is %d kB long; more than %d kB is not read.", (end-start)/1024, longest/1024),
			Help:    "Look for something that was pasted in by mistake.",
		})
		return Value{}
	}
	r := &reading{file: f, report: report, base: start, text: f.Text[start:end]}
	defer func() {
		// The library is trusted with well-formed text only; if it fails on
		// something else, that is a finding and not the end of the program.
		if recover() != nil {
			r.broken(f.Span(start, end))
			v = Value{}
		}
	}()
	deep := r.clean()
	if deep {
		return Value{}
	}
	var doc yaml.Node
	said := len(*report)
	if err := yaml.Unmarshal(r.text, &doc); err != nil || r.dedents() {
		doc = yaml.Node{}
		// What is mended and what is read of it may meet the same fault.
		defer func() { once(report, said) }()
		if !r.mend(&doc) {
			return Value{f, &node{kind: Unread, start: start, end: end}}
		}
	}
	root := &node{kind: Empty, start: start, end: start}
	if len(doc.Content) == 1 {
		r.rewind()
		r.behind(doc.Content[0])
		r.rewind()
		*root = r.convert(doc.Content[0], nil, 0)
	}
	return Value{f, root}
}

// once takes out of a report, from a finding on, what is told a second time.
func once(report *diag.List, from int) {
	type told struct {
		rule, message string
		at            source.Span
	}
	seen := map[told]bool{}
	kept := (*report)[:from]
	for _, d := range (*report)[from:] {
		key := told{d.Rule, d.Message, d.Span}
		if !seen[key] {
			seen[key] = true
			kept = append(kept, d)
		}
	}
	*report = kept
}

// behind reports what stands behind the brace that closes a text which is
// nothing but braces: the library stops there in silence.
func (r *reading) behind(root *yaml.Node) {
	if root.Style&yaml.FlowStyle == 0 {
		return
	}
	level, from := 0, r.at(root.Line, root.Column)
	at := bytes.IndexAny(r.text[from:], "{[")
	if at < 0 {
		return
	}
	for at += from; at < len(r.text); at++ {
		switch c := r.text[at]; c {
		case '{', '[':
			level++
		case '}', ']':
			level--
		case '"', '\'':
			if bytes.IndexByte([]byte(" \t\r\n,:{["), r.text[at-1]) >= 0 {
				at = quotedEnd(r.text, at)
			}
		case '#':
			if r.text[at-1] == ' ' || r.text[at-1] == '\t' || r.text[at-1] == '\n' {
				for at+1 < len(r.text) && r.text[at+1] != '\n' {
					at++
				}
			}
		}
		if level == 0 {
			break
		}
	}
	m := mender{reading: r}
	start := m.gap(min(at+1, len(r.text)), len(r.text))
	stop := start
	for stop < len(r.text) && r.text[stop] != '\n' && r.text[stop] != '\r' {
		stop++
	}
	if start < stop {
		r.report.Add(diag.Diagnostic{
			Rule: Broken, Severity: diag.Error, Concern: diag.Card, Span: r.span(start, stop),
			Message: "From here on nothing is read: a brace before it closes the whole text.",
			Help:    "Take the outermost braces away and write each key on a line of its own.",
		})
	}
}

// broken reports lines that could not be read and that nothing better is known
// of.
func (r *reading) broken(at source.Span) {
	r.report.Add(diag.Diagnostic{
		Rule: Broken, Severity: diag.Error, Concern: diag.Card, Span: at,
		Message: "These lines cannot be read as keys with values.",
		Help:    "Write one key a line, a colon and a space behind it, and put quotes around a value that holds a comma, a colon or a bracket.",
	})
}

// clean finds what the library would choke on without saying where: bytes that
// are no text, more levels than any recipe has, a second document. It replaces
// such bytes one for one and gives true where nothing can be read.
func (r *reading) clean() (deep bool) {
	text := r.text
	r.lines = append(make([]int, 0, 32), 0)
	owned := false
	own := func() {
		if !owned {
			r.text = bytes.Clone(r.text)
			text, owned = r.text, true
		}
	}
	level := 0
	// bad are bytes that are no character, odd characters that never print.
	var bad, odd []int
	for i := 0; i < len(text); {
		c := text[i]
		switch {
		case c == '\n':
			i++
			r.lines = append(r.lines, i)
			continue
		case c == '\r':
			i++
			if i < len(text) && text[i] == '\n' {
				i++
			}
			r.lines = append(r.lines, i)
			continue
		case c == '[' || c == '{':
			level++
			if level > deepest {
				r.tooDeep(r.file.Span(r.base+i, r.base+i+1))
				return true
			}
		case c == ']' || c == '}':
			level = max(0, level-1)
		case c < ' ' && c != '\t' || c == 0x7f:
			odd = append(odd, i)
			own()
			text[i] = '?'
		case c >= utf8.RuneSelf:
			ch, size := utf8.DecodeRune(text[i:])
			switch {
			case ch == utf8.RuneError && size == 1:
				bad = append(bad, i)
				own()
				text[i] = '?'
			case ch < 0xa0 && ch != 0x85, ch == '\ufffe', ch == '\uffff',
				// A mark of byte order has no business inside a text.
				ch == '\ufeff':
				odd = append(odd, i)
				own()
				for j := i; j < i+size; j++ {
					text[j] = '?'
				}
			case ch == 0x85, ch == '\u2028', ch == '\u2029':
				// The library takes these for line ends, nobody else does.
				own()
				for j := i; j < i+size; j++ {
					text[j] = ' '
				}
			}
			i += size
			continue
		}
		i++
	}
	r.unreadable(bad)
	r.unreadable(odd)
	written := false
	for i, at := range r.lines {
		end := len(text)
		if i+1 < len(r.lines) {
			end = r.lines[i+1]
		}
		line := bytes.TrimRight(text[at:end], " \t\r\n")
		switch {
		case len(line) == 0 || line[0] == '#':
		case bytes.HasPrefix(line, []byte("---")) && (len(line) == 3 || line[3] == ' '),
			bytes.HasPrefix(line, []byte("...")) && (len(line) == 3 || line[3] == ' '):
			if !written && line[0] == '-' {
				written = true
				continue
			}
			r.report.Add(diag.Diagnostic{
				Rule: SecondText, Severity: diag.Error, Concern: diag.Card,
				Span:    r.file.Span(r.base+at, r.base+at+len(line)),
				Message: fmt.Sprintf("A line of %s stands in the middle of the keys.", line[:3]),
				Help:    "Take the line out.",
				Mend: diag.Mend{
					Does:  fmt.Sprintf("Takes the line of %s out.", line[:3]),
					Edits: []diag.Edit{{Span: r.file.Span(r.base+at, r.base+end)}},
				},
			})
			own()
			for j := at; j < at+len(line); j++ {
				text[j] = ' '
			}
		default:
			written = true
		}
	}
	return false
}

// unreadable reports characters at bytes of the text as one finding.
func (r *reading) unreadable(at []int) {
	if len(at) == 0 {
		return
	}
	span := func(i int) source.Span {
		_, size := utf8.DecodeRune(r.file.Text[r.base+i:])
		return r.file.Span(r.base+i, r.base+i+size)
	}
	d := diag.Diagnostic{
		Rule: UnreadableByte, Severity: diag.Error, Concern: diag.Card, Span: span(at[0]),
		Message: "A character here cannot be read.",
		Help:    "Save the file as UTF-8 in your editor and write the character again.",
	}
	for _, i := range at[1:min(len(at), 20)] {
		d.Also = append(d.Also, diag.Site{Span: span(i)})
	}
	if len(at) > 1 {
		d.Message = fmt.Sprintf("%d characters from here on cannot be read.", len(at))
	}
	r.report.Add(d)
}

func (r *reading) tooDeep(at source.Span) {
	r.report.Add(diag.Diagnostic{
		Rule: TooDeep, Severity: diag.Error, Concern: diag.Card, Span: at,
		Message: fmt.Sprintf("Braces or lists are nested more than %d deep here.", deepest),
		Help:    "Look for something that was pasted in by mistake.",
	})
}

// dedents says whether a line begins further out than the first one: the
// library stops there in silence.
func (r *reading) dedents() bool {
	first := -1
	for i := range r.lines {
		in, line := r.lineAt(i)
		if len(line) == 0 || line[0] == '#' || bytes.HasPrefix(line, []byte("---")) {
			continue
		}
		if first < 0 {
			first = in
			if first == 0 {
				return false
			}
		}
		if in < first {
			return true
		}
	}
	return false
}

// lineAt is the number of spaces and tabs before line i of the text, from 0,
// and the rest of it without its end.
func (r *reading) lineAt(i int) (indent int, line []byte) {
	end := len(r.text)
	if i+1 < len(r.lines) {
		end = r.lines[i+1]
	}
	line = bytes.TrimRight(r.text[r.lines[i]:end], " \t\r\n")
	for indent < len(line) && (line[indent] == ' ' || line[indent] == '\t') {
		indent++
	}
	return indent, line[indent:]
}

// rewind makes the next place be looked up from the top.
func (r *reading) rewind() { r.line, r.column, r.offset = 1, 1, 0 }

// at is the offset in text of a line and a column in characters, from 1.
func (r *reading) at(line, column int) int {
	if line < 1 || line > len(r.lines) {
		return len(r.text)
	}
	if line != r.line || column < r.column {
		r.line, r.column, r.offset = line, 1, r.lines[line-1]
	}
	for r.column < column && r.offset < len(r.text) {
		r.offset++
		for r.offset < len(r.text) && r.text[r.offset]&0xc0 == 0x80 {
			r.offset++
		}
		r.column++
	}
	return r.offset
}

// place is the offset in the file of an offset in text.
func (r *reading) place(at int) int {
	shift := 0
	if n := sort.Search(len(r.edits), func(i int) bool { return r.edits[i].at > at }); n > 0 {
		shift = r.edits[n-1].shift
	}
	return max(r.base, min(at-shift+r.base, len(r.file.Text)))
}

// span is the span in the file of two offsets in text.
func (r *reading) span(start, end int) source.Span {
	s := r.place(start)
	return r.file.Span(s, max(s, r.place(end)))
}
