package keys

import (
	"bytes"
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"coldwright/internal/diag"
	"coldwright/internal/source"
)

// convert makes a value of what the library read. under is the node whose key
// it inherits, nil for the whole text.
func (r *reading) convert(y *yaml.Node, under *node, depth int) node {
	var n node
	if under != nil {
		n.key, n.keyStart, n.keyEnd = under.key, under.keyStart, under.keyEnd
	}
	start := r.at(y.Line, y.Column)
	if byReference(y) {
		start = r.byReference(y, start)
	}
	if depth > deepest {
		n.kind, n.start, n.end = Unread, r.place(start), r.place(start)
		r.tooDeep(r.file.Span(n.start, min(n.end+1, len(r.file.Text))))
		return n
	}
	switch y.Kind {
	case yaml.ScalarNode:
		r.scalar(&n, y, start)
	case yaml.SequenceNode:
		n.kind = List
		n.start = r.place(start)
		n.end = min(n.start+1, len(r.file.Text))
		n.kids = make([]node, 0, len(y.Content))
		for _, c := range y.Content {
			n.kids = append(n.kids, r.convert(c, &n, depth+1))
			n.end = max(n.end, n.kids[len(n.kids)-1].end)
		}
		if y.Style&yaml.FlowStyle != 0 {
			n.end = r.closing(n.end, ']')
		}
	case yaml.MappingNode:
		n.kind = Map
		n.start = r.place(start)
		n.end = min(n.start+1, len(r.file.Text))
		r.entries(&n, y, depth)
		if y.Style&yaml.FlowStyle != 0 {
			n.end = r.closing(n.end, '}')
		}
	default:
		n.kind, n.start = Unread, r.place(start)
		n.end = r.place(start + 1 + len(y.Value))
	}
	return n
}

// entries converts the keys of a map, reporting those that stand twice and
// those that are no word.
func (r *reading) entries(n *node, y *yaml.Node, depth int) {
	n.kids = make([]node, 0, len(y.Content)/2)
	var seen map[string]int
	flow := y.Style&yaml.FlowStyle != 0
	for i := 0; i+1 < len(y.Content); i += 2 {
		ky, vy := y.Content[i], y.Content[i+1]
		if ky.Kind != yaml.ScalarNode {
			at := r.at(ky.Line, ky.Column)
			r.report.Add(diag.Diagnostic{
				Rule: Broken, Severity: diag.Error, Concern: diag.Card, Span: r.span(at, at+1),
				Message: "A key is a word, not a list and not something in braces.",
				Help:    "Put quotes around the whole value if it begins with a bracket or a brace.",
			})
			continue
		}
		var key node
		kat := r.at(ky.Line, ky.Column)
		if byReference(ky) {
			kat = r.byReference(ky, kat)
		}
		r.scalar(&key, ky, kat)
		if flow && !key.quoted && vy.Value == "" && len(key.text) > 1 && strings.HasSuffix(key.text, ":") {
			// The colon stood right before the brace: a key without a value.
			key.text = strings.TrimRight(key.text, ": ")
			key.end = key.start + len(key.text)
		}
		if flow && r.torn(n, &key, vy) {
			continue
		}
		if ky.Tag == "!!merge" {
			r.report.Add(diag.Diagnostic{
				Rule: WrittenByRef, Severity: diag.Error, Concern: diag.Card, Span: r.file.Span(key.start, key.end),
				Message: "“<<” is not taken here.", Help: "Write the keys and values out where they are used.",
			})
			continue
		}
		key.key, key.keyStart, key.keyEnd = key.text, key.start, key.end
		value := r.convert(vy, &key, depth+1)
		if value.kind == Empty && r.unread[ky.Line] {
			value.kind = Unread
		}
		first := -1
		if len(y.Content) <= 24 {
			for j := range n.kids {
				if n.kids[j].key == key.text {
					first = j
					break
				}
			}
		} else {
			if seen == nil {
				seen = make(map[string]int, len(y.Content)/2)
			}
			if j, ok := seen[key.text]; ok {
				first = j
			} else {
				seen[key.text] = len(n.kids)
			}
		}
		n.end = max(n.end, value.end)
		if first >= 0 {
			was := n.kids[first]
			line, _ := r.file.Position(was.keyStart)
			r.report.Add(diag.Diagnostic{
				Rule: RepeatedKey, Severity: diag.Error, Concern: diag.Card, Span: r.file.Span(key.start, key.end),
				Message: fmt.Sprintf("%s is written twice; the first stands in line %d.", quote(clip(key.text)), line),
				Help:    "Keep one of the two.",
				Also:    []diag.Site{{Span: r.file.Span(was.keyStart, was.keyEnd)}},
			})
			continue
		}
		n.kids = append(n.kids, value)
	}
}

// torn says whether a key inside braces is really the end of the value before
// it, cut off by a comma, and joins the two again.
func (r *reading) torn(n *node, key *node, value *yaml.Node) bool {
	if value.Kind != yaml.ScalarNode || value.Tag != "!!null" || value.Value != "" || value.Style != 0 || key.quoted {
		return false
	}
	// An empty value has its colon behind the key, a torn one a comma or brace.
	text := r.file.Text
	for at := key.end; at < len(text); at++ {
		if text[at] == ' ' || text[at] == '\n' || text[at] == '\r' {
			continue
		}
		if text[at] == ':' {
			return false
		}
		break
	}
	if len(n.kids) == 0 || n.kids[len(n.kids)-1].kind > Scalar || n.kids[len(n.kids)-1].quoted {
		r.report.Add(diag.Diagnostic{
			Rule: CommaQuotes, Severity: diag.Error, Concern: diag.Card, Span: r.file.Span(key.start, key.end),
			Message: fmt.Sprintf("%s stands inside braces without a colon and a value.", quote(clip(key.text))),
			Help:    "Inside braces write key: value, parted by commas.",
		})
		return true
	}
	last := &n.kids[len(n.kids)-1]
	if last.kind == Empty {
		last.start = key.start
	}
	last.kind, last.text = Scalar, pointed(string(text[last.start:key.end]))
	last.end, last.exact = key.end, true
	n.end = key.end
	// A value cut into three has been reported with its first comma.
	if r.remarks[last.keyStart] {
		for i := range *r.report {
			if d := &(*r.report)[i]; d.Rule == CommaQuotes && d.Span.Start == last.keyStart {
				*d = r.commaQuotes(last)
			}
		}
		return true
	}
	r.mark(last.keyStart)
	r.report.Add(r.commaQuotes(last))
	return true
}

func (r *reading) mark(at int) {
	if r.remarks == nil {
		r.remarks = map[int]bool{}
	}
	r.remarks[at] = true
}

func (r *reading) commaQuotes(n *node) diag.Diagnostic {
	at := r.file.Span(n.keyStart, n.end)
	written := string(r.file.Text[n.start:n.end])
	if written != n.text && strings.IndexByte(n.text, ',') < 0 {
		d := commaNumber(at, n.key, written, n.text)
		d.Mend = pointMend(r.file.Span(n.start, n.end), n.text)
		return d
	}
	d := needsQuotes(CommaQuotes, at, n.key, n.text, " inside braces")
	d.Mend = r.quotes(r.file.Span(n.start, n.end), n.text)
	return d
}

// pointed are words in which the comma of a number inside braces, which cuts it
// in two, is the point that was meant. A comma before three figures may part
// thousands and stays.
func pointed(words string) string {
	var out []byte
	for i := 1; i+1 < len(words); i++ {
		if words[i] != ',' || !figure(words[i-1]) || !figure(words[i+1]) {
			continue
		}
		n := i + 1
		for n < len(words) && figure(words[n]) {
			n++
		}
		if n-i-1 == 3 {
			continue
		}
		if out == nil {
			out = []byte(words)
		}
		out[i] = '.'
	}
	if out == nil {
		return words
	}
	return string(out)
}

func figure(c byte) bool { return c >= '0' && c <= '9' }

// commaNumber is the finding of a number that a comma inside braces cuts in
// two.
func commaNumber(at source.Span, key, written, point string) diag.Diagnostic {
	return diag.Diagnostic{
		Rule: CommaQuotes, Severity: diag.Error, Concern: diag.Card, Span: at,
		Message: fmt.Sprintf("Inside braces the comma of %s cuts the number in two.", quote(clip(keyed(key, written)))),
		Help:    fmt.Sprintf("Write %s", keyed(key, point)),
	}
}

// scalar fills n with a text that starts at byte at.
func (r *reading) scalar(n *node, y *yaml.Node, at int) {
	n.kind, n.text = Scalar, y.Value
	text := r.text
	end := at
	switch {
	case at >= len(text):
		at, end = len(text), len(text)
		if y.Value == "" {
			n.kind = Empty
		}
	case y.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0:
		end = quotedEnd(text, at)
		at++
		end = max(at, end)
		n.quoted = true
		n.exact = string(text[at:end]) == y.Value
	case y.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		at, end = r.block(y, at)
		for len(n.text) > 0 && n.text[len(n.text)-1] == '\n' {
			n.text = n.text[:len(n.text)-1]
		}
		n.exact = string(text[at:end]) == n.text
	default:
		end = at + len(y.Value)
		if y.Style&yaml.TaggedStyle != 0 {
			end = r.signed(n, y, at)
			break
		}
		if end <= len(text) && string(text[at:end]) == y.Value {
			n.exact = true
		} else {
			end = plainEnd(text, at, y.Value)
		}
		if y.Value == "" || y.Value == "~" {
			n.kind, n.text = Empty, ""
		}
		if stop := r.remark(n, at, end); stop > end {
			if n.exact = true; at == end {
				at = stop - len(n.text)
			}
			end = stop
		}
	}
	n.start, n.end = r.place(at), r.place(end)
	if n.end < n.start {
		n.end = n.start
	}
	if n.kind == Empty && r.unread[y.Line] {
		n.kind = Unread
	}
	// A quote doubled or added while mending is not in the file.
	if n.exact && len(r.edits) > 0 {
		n.exact = string(r.file.Text[n.start:n.end]) == n.text
	}
}

// remark reports a # that swallows a number: what follows it on the line is a
// grade and no remark. It gives where the value ends.
func (r *reading) remark(n *node, at, end int) (stop int) {
	text := r.text
	i := end
	for i < len(text) && (text[i] == ' ' || text[i] == '\t') {
		i++
	}
	if i+1 >= len(text) || text[i] != '#' || i == at && n.kind != Empty || i == end && n.kind == Scalar {
		return end
	}
	if c := text[i+1]; c < '0' || c > '9' {
		return end
	}
	stop = i
	for stop < len(text) && text[stop] != '\n' && text[stop] != '\r' {
		stop++
	}
	from := at
	if n.kind == Empty {
		from = i
	}
	d := needsQuotes(CommentEats, r.span(i, stop), n.key, string(text[from:stop]), "")
	d.Message = fmt.Sprintf("From a space and a # on the line is a remark, so %s is lost.", quote(clip(string(text[i:stop]))))
	r.report.Add(d)
	// A number alone is the grade that was meant, and is read as that.
	whole := bytes.TrimRight(text[from:stop], " \t")
	for _, c := range text[i+1 : from+len(whole)] {
		if !figure(c) {
			return end
		}
	}
	(*r.report).Mended(r.quotes(r.span(from, from+len(whole)), string(whole)))
	n.kind, n.text = Scalar, string(whole)
	return from + len(whole)
}

// needsQuotes is the finding that words have to be put in quotes.
func needsQuotes(rule string, at source.Span, key, words, where string) diag.Diagnostic {
	if strings.ContainsAny(words, "\n\r") {
		words = strings.Join(strings.Fields(words), " ")
	}
	line := words
	fixed := inQuotes(words)
	if key != "" {
		line = key + ": " + words
		fixed = key + ": " + fixed
	}
	return diag.Diagnostic{
		Rule: rule, Severity: diag.Error, Concern: diag.Card, Span: at,
		Message: fmt.Sprintf("%s%s needs quotes.", quote(clip(line)), where),
		Help:    fmt.Sprintf("Write %s", fixed),
	}
}

// byReference says whether y is not simply the value that stands there. A
// plain value with a sign of its own before it is dealt with by signed.
func byReference(y *yaml.Node) bool {
	plain := y.Kind == yaml.ScalarNode && y.Style == yaml.TaggedStyle
	return y.Anchor != "" || y.Kind == yaml.AliasNode || y.Style&yaml.TaggedStyle != 0 && !plain
}

// signed reads words that begin with a ! and gives where they end.
func (r *reading) signed(n *node, y *yaml.Node, at int) int {
	end := at
	for end < len(r.text) && r.text[end] > ' ' {
		end++
	}
	for end < len(r.text) && (r.text[end] == ' ' || r.text[end] == '\n' || r.text[end] == '\r') {
		end++
	}
	end = plainEnd(r.text, end, y.Value)
	n.text = string(bytes.TrimSpace(r.text[at:end]))
	end = at + len(n.text)
	n.exact = true
	r.report.Add(needsQuotes(SignQuotes, r.span(at, end), n.key, n.text, ""))
	(*r.report).Mended(r.quotes(r.span(at, end), n.text))
	return end
}

// byReference reports what is not written out and gives where the value itself
// starts.
func (r *reading) byReference(y *yaml.Node, at int) int {
	end := at
	for end < len(r.text) && r.text[end] > ' ' && r.text[end] != ',' {
		end++
	}
	r.report.Add(diag.Diagnostic{
		Rule: WrittenByRef, Severity: diag.Error, Concern: diag.Card, Span: r.span(at, end),
		Message: fmt.Sprintf("%s at the beginning of a value is not taken as words.", quote(clip(string(r.text[at:end])))),
		Help:    "Write the value out where it is used; if the sign belongs to the words, put quotes around the whole value.",
	})
	if y.Kind == yaml.AliasNode {
		return at
	}
	for {
		for end < len(r.text) && (r.text[end] == ' ' || r.text[end] == '\n' || r.text[end] == '\r') {
			end++
		}
		if end >= len(r.text) || (r.text[end] != '&' && r.text[end] != '!') {
			return end
		}
		for end < len(r.text) && r.text[end] > ' ' {
			end++
		}
	}
}

// quotedEnd is where the closing quote of a text in quotes stands.
func quotedEnd(text []byte, at int) int {
	if at >= len(text) {
		return at
	}
	q := text[at]
	for i := at + 1; i < len(text); i++ {
		switch {
		case q == '"' && text[i] == '\\':
			i++
		case text[i] == q && q == '\'' && i+1 < len(text) && text[i+1] == q:
			i++
		case text[i] == q:
			return i
		}
	}
	return len(text)
}

// plainEnd is where words that run over several lines end.
func plainEnd(text []byte, at int, value string) int {
	i, p := 0, at
	space := func(c byte) bool { return c == ' ' || c == '\n' || c == '\r' || c == '\t' }
	for i < len(value) && p < len(text) {
		switch {
		case space(value[i]):
			for i < len(value) && space(value[i]) {
				i++
			}
			for p < len(text) && space(text[p]) {
				p++
			}
		case value[i] == text[p]:
			i, p = i+1, p+1
		case space(text[p]):
			p++
		default:
			return p
		}
	}
	return p
}

// block is where the lines under a | or > begin and end.
func (r *reading) block(y *yaml.Node, at int) (start, end int) {
	indent := -1
	start, end = at, at+1
	for i := y.Line; i < len(r.lines); i++ {
		in, line := r.lineAt(i)
		if len(line) == 0 {
			continue
		}
		if indent < 0 {
			// The lines belong to the block only if they stand further in than
			// the line that opens it.
			open, _ := r.lineAt(y.Line - 1)
			if in <= open && in == 0 || y.Value == "" {
				return start, end
			}
			indent, start = in, r.lines[i]+in
		}
		if in < indent {
			break
		}
		end = r.lines[i] + in + len(line)
	}
	return start, max(start, end)
}

// closing is where the list or the braces end whose last value ends at the
// byte at of the file.
func (r *reading) closing(at int, sign byte) int {
	text := r.file.Text
	for i := at; i < len(text); i++ {
		switch text[i] {
		case sign:
			return i + 1
		case ' ', '\n', '\r', '\t', ',', '"', '\'', '}', ']':
		default:
			return at
		}
	}
	return at
}
