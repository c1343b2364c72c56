package keys

import (
	"bytes"
	"strings"
	"unicode"

	"coldwright/internal/diag"
	"coldwright/internal/source"
)

// quotes is the correction that puts words at a place into quotes, as inQuotes
// would write them. It is none where the file does not say them there byte for
// byte, line ends aside.
func (r *reading) quotes(at source.Span, words string) diag.Mend {
	if !at.Known() || !sameWords(at.Text(), words) {
		return diag.Mend{}
	}
	return quotesMend(at)
}

// swapsMend is the correction that makes swaps of the text.
func (m *mender) swapsMend(does string, swaps ...swap) diag.Mend {
	mend := diag.Mend{Does: does}
	for _, s := range swaps {
		mend.Edits = append(mend.Edits, diag.Edit{Span: m.span(s.at, s.at+s.cut), Text: s.put})
	}
	return mend
}

// sameWords says whether two texts differ in their spaces only.
func sameWords(a, b string) bool {
	return a == b || strings.Join(strings.Fields(a), " ") == strings.Join(strings.Fields(b), " ")
}

// quotesMend puts the words at a place into quotes. Where they hold quotes
// themselves, or a backslash, single ones are put round them and those inside
// doubled.
func quotesMend(at source.Span) diag.Mend {
	text := at.Text()
	m := diag.Mend{Does: "Puts quotes round “" + clip(text) + "”."}
	sign := `"`
	if strings.ContainsAny(text, `"\`) {
		sign = "'"
	}
	put := func(i int, text string) {
		m.Edits = append(m.Edits, diag.Edit{Span: at.Part(i, i), Text: text})
	}
	put(0, sign)
	if sign == "'" {
		for i := range len(text) {
			if text[i] == '\'' {
				put(i, "'")
			}
		}
	}
	put(len(text), sign)
	return m
}

// pointMend puts the points of a number in the place of its commas.
func pointMend(at source.Span, point string) diag.Mend {
	words := at.Text()
	m := diag.Mend{Does: "Writes a point for the comma of “" + clip(words) + "”."}
	if len(words) != len(point) {
		return diag.Mend{}
	}
	for i := range len(words) {
		if words[i] != point[i] {
			m.Edits = append(m.Edits, diag.Edit{Span: at.Part(i, i+1), Text: point[i : i+1]})
		}
	}
	return m
}

// bracketed is the correction that puts several values without brackets into
// some.
func (v Value) bracketed(words []string) diag.Mend {
	for _, w := range words {
		if !Plain(w) {
			return diag.Mend{}
		}
	}
	n := v.node
	if !n.exact {
		return diag.Mend{}
	}
	at := v.Span()
	m := diag.Mend{Does: "Puts brackets round the values behind " + quote(clip(n.key)) + "."}
	m.Edits = append(m.Edits, diag.Edit{Span: at.Part(0, 0), Text: "["})
	for i := range len(n.text) {
		if n.text[i] == ';' {
			m.Edits = append(m.Edits, diag.Edit{Span: at.Part(i, i+1), Text: ","})
		}
	}
	m.Edits = append(m.Edits, diag.Edit{Span: at.Part(len(n.text), len(n.text)), Text: "]"})
	return m
}

// Plain says whether words can stand as a value of a list without quotes.
func Plain(words string) bool {
	return words != "" && strings.TrimSpace(words) == words && !strings.ContainsAny(words, ",:#{}[]\"'&*!|>%@`\\\n\r\t") &&
		words[0] != '-' && words[0] != '?'
}

// AsValue is words as they have to be written behind a key.
func AsValue(words string) string {
	if Plain(words) {
		return words
	}
	return inQuotes(words)
}

// LineEnd is how the lines of a file end: in the way its first one does.
func LineEnd(f *source.File) string {
	if i := bytes.IndexByte(f.Text, '\n'); i > 0 && f.Text[i-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}

// NextLine is the edit that puts a line behind the one that a byte of the file
// stands in. Only at the end of a file that ends within a line does the end
// of that line come with it.
func NextLine(f *source.File, at int, line string) diag.Edit {
	end := LineEnd(f)
	if i := bytes.IndexByte(f.Text[at:], '\n'); i >= 0 {
		return diag.Edit{Span: f.Span(at+i+1, at+i+1), Text: line + end}
	}
	return diag.Edit{Span: f.Span(len(f.Text), len(f.Text)), Text: end + line + end}
}

// AddTo is the edits that put one more member at the end of the list v, in the
// form the file has that list in: in its brackets, or on a line of its own. A
// single value, or keys that stand alone, become a list of two. It gives false where v is nothing that
// one more can be added to without touching what stands there.
func (v Value) AddTo(member string) ([]diag.Edit, bool) {
	if v.node == nil {
		return nil, false
	}
	f, span := v.file, v.Span()
	put := func(at int, text string) diag.Edit { return diag.Edit{Span: f.Span(at, at), Text: text} }
	all := v.List()
	switch v.Kind() {
	case Scalar:
		n := v.node
		if n.quoted {
			span.Start, span.End = span.Start-1, span.End+1
		} else if !n.exact || strings.ContainsAny(n.text, ",;\n\r#") {
			return nil, false
		}
		if n.keyEnd > span.Start || bytes.IndexByte(f.Text[n.keyEnd:span.Start], '\n') >= 0 {
			return nil, false
		}
		return []diag.Edit{put(span.Start, "["), put(span.End, ", "+member+"]")}, true
	case List, Map:
	default:
		return nil, false
	}
	lone := v.Kind() == Map
	switch first := f.Text[span.Start]; {
	case first == '{':
		return []diag.Edit{put(span.Start, "["), put(span.End, ", "+member+"]")}, true
	case first == '[' && len(all) == 0:
		return []diag.Edit{put(span.Start+1, member)}, true
	case first == '[':
		last := all[len(all)-1]
		at := last.Span().End
		if last.Quoted() {
			at++
		}
		return []diag.Edit{put(at, ", "+member)}, true
	case first != '-' && !lone || len(all) == 0:
		return nil, false
	}
	begin := bytes.LastIndexByte(f.Text[:span.Start], '\n') + 1
	indent := string(f.Text[begin:span.Start])
	if strings.TrimLeft(indent, " ") != "" {
		return nil, false
	}
	if lone {
		edits := hyphened(span)
		return append(edits, NextLine(f, span.End, indent+"- "+member)), true
	}
	gap := 1
	for span.Start+gap < len(f.Text) && f.Text[span.Start+gap] == ' ' {
		gap++
	}
	last := all[len(all)-1].Span()
	unsure := func(c rune) bool { return unicode.IsControl(c) && c != '\n' && c != '\r' && c != '\t' }
	if words := last.Text(); strings.HasSuffix(words, "\n") || strings.ContainsFunc(words, unsure) {
		// Where a control character stands, the place of what is round it is not sure.
		return nil, false
	}
	return []diag.Edit{NextLine(f, last.End, indent+"-"+strings.Repeat(" ", max(1, gap-1))+member)}, true
}

// hyphened makes keys that stand alone, key below key, the first member of a
// list: a hyphen before them, and their further lines set in as far.
func hyphened(span source.Span) []diag.Edit {
	f := span.File
	edits := []diag.Edit{{Span: f.Span(span.Start, span.Start), Text: "- "}}
	for at := span.Start; ; {
		next := bytes.IndexByte(f.Text[at:span.End], '\n')
		if next < 0 {
			return edits
		}
		at += next + 1
		if at == span.End {
			return edits
		}
		if c := f.Text[at]; c != '\n' && c != '\r' {
			edits = append(edits, diag.Edit{Span: f.Span(at, at), Text: "  "})
		}
	}
}
