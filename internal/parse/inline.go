package parse

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"coldwright/internal/diag"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// arena hands out slices of inlines cut from large ones: a recipe has some
// hundreds, most of them alone in their paragraph.
type arena []prose.Inline

// take gives an empty slice with room for n.
func (a *arena) take(n int) []prose.Inline {
	if n > len(*a) {
		if n > 16 {
			return make([]prose.Inline, 0, n)
		}
		*a = make([]prose.Inline, 32)
	}
	s := (*a)[:0:n]
	*a = (*a)[n:]
	return s
}

// inlinesOf turns the children of a node into inlines. depth is how many
// inlines they stand in.
func (r *reading) inlinesOf(parent ast.Node, depth int) []prose.Inline {
	n := 0
	for c := parent.FirstChild(); c != nil; c = c.NextSibling() {
		n++
		if t, ok := c.(*ast.Text); ok && (t.SoftLineBreak() || t.HardLineBreak()) {
			n++
		}
	}
	if n == 0 {
		if depth == 0 {
			return r.unread(parent)
		}
		return nil
	}
	out := r.inlines.take(n)
	for c := parent.FirstChild(); c != nil; c = c.NextSibling() {
		if t, ok := c.(*ast.Text); ok {
			out, c = r.textOf(out, t)
			continue
		}
		if in, ok := r.inlineOf(c, depth); ok {
			out = append(out, in)
		}
	}
	return out
}

// unread gives the words of a block whose inlines the library never read: a
// footnote inside a footnote is left so.
func (r *reading) unread(n ast.Node) []prose.Inline {
	if n.Type() != ast.TypeBlock || n.IsRaw() || n.Lines().Len() == 0 {
		return nil
	}
	var out []prose.Inline
	for i := range n.Lines().Len() {
		seg := n.Lines().At(i)
		start, end := seg.Start, seg.Stop
		for end > start && isSpace(r.body[end-1]) {
			end--
		}
		if i > 0 {
			out = append(out, prose.Inline{Kind: prose.Soft, Span: r.span(start, start)})
		}
		out = append(out, prose.Inline{Text: r.words(start, end), Span: r.span(start, end)})
	}
	return out
}

// words are the bytes start to end of the body with escapes resolved.
func (r *reading) words(start, end int) string {
	return unescape(r.clean(r.all[r.base+start : r.base+end]))
}

// textOf adds a text and the texts that follow it without a gap, and the line
// break after it. It gives the last node it used.
func (r *reading) textOf(out []prose.Inline, t *ast.Text) ([]prose.Inline, ast.Node) {
	start, end := t.Segment.Start, t.Segment.Stop
	if t.Segment.Padding == 0 && !t.IsRaw() {
		for !t.SoftLineBreak() && !t.HardLineBreak() {
			next, ok := t.NextSibling().(*ast.Text)
			if !ok || next.Segment.Start != end || next.Segment.Padding != 0 || next.IsRaw() {
				break
			}
			t, end = next, next.Segment.Stop
		}
	}
	if end > start {
		if strings.IndexByte(r.all[r.base+start:r.base+end], '!') >= 0 {
			r.spoiltPicture(start, end)
		}
		out = append(out, prose.Inline{Text: r.words(start, end), Span: r.span(start, end)})
	}
	switch {
	case t.HardLineBreak():
		out = append(out, prose.Inline{Kind: prose.Break, Span: r.span(end, end)})
	case t.SoftLineBreak():
		out = append(out, prose.Inline{Kind: prose.Soft, Span: r.span(end, end)})
	}
	return out, t
}

func (r *reading) inlineOf(n ast.Node, depth int) (prose.Inline, bool) {
	in := prose.Inline{}
	switch n := n.(type) {
	case *ast.String:
		in.Text = string(n.Value)
		return in, true
	case *ast.Emphasis:
		in.Kind = prose.Emphasis
		if n.Level == 2 {
			in.Kind = prose.Strong
		}
	case *east.Strikethrough:
		in.Kind = prose.Strike
	case *ast.CodeSpan:
		in.Kind = prose.Code
		in.Text, in.Span = r.codeOf(n)
		return in, true
	case *ast.Link:
		in.Kind = prose.Link
		in.Target, in.Title = r.target(n.Destination), r.target(n.Title)
		r.refer(n.Reference)
	case *ast.Image:
		in.Kind = prose.Image
		in.Target, in.Title = r.target(n.Destination), r.target(n.Title)
		r.refer(n.Reference)
	case *ast.AutoLink:
		label := r.clean(string(n.Label(r.body)))
		in.Kind = prose.Link
		in.Target = r.clean(string(n.URL(r.body)))
		if n.AutoLinkType == ast.AutoLinkEmail && !strings.HasPrefix(strings.ToLower(in.Target), "mailto:") {
			in.Target = "mailto:" + in.Target
		}
		in.Span = r.inlineSpan(n)
		in.Children = append(r.inlines.take(1), prose.Inline{Text: label, Span: in.Span})
		return in, true
	case *ast.RawHTML:
		in.Kind = prose.Raw
		in.Text = r.clean(string(n.Segments.Value(r.body)))
		if k := n.Segments.Len(); k > 0 {
			in.Span = r.span(n.Segments.At(0).Start, n.Segments.At(k-1).Stop)
		}
		r.html = append(r.html, diag.Site{Span: in.Span, Step: r.step})
		return in, true
	case *east.FootnoteLink:
		in.Kind = prose.Footnote
		in.Index = n.Index
		in.Span = r.inlineSpan(n)
		return in, true
	case *east.FootnoteBacklink, *east.TaskCheckBox:
		return in, false
	}
	// What stands too deep inside other marks keeps its words and loses the
	// marks.
	if depth >= maxShown && in.Kind != prose.Image {
		start, end := extent(n)
		return prose.Inline{Text: r.words(start, end), Span: r.span(start, end)}, end > start
	}
	in.Children = r.inlinesOf(n, depth+1)
	in.Span = r.inlineSpan(n)
	if in.Kind == prose.Image {
		r.recipe.Pictures = append(r.recipe.Pictures, r.pictureOf(in))
	}
	return in, true
}

func (r *reading) pictureOf(in prose.Inline) recipe.Picture {
	return recipe.Picture{Target: in.Target, Alt: prose.Words(in.Children), Title: in.Title, Step: r.step, Span: in.Span}
}

// target is the file or address of a link, or its title, with escapes
// resolved.
func (r *reading) target(b []byte) string {
	if len(b) == 0 {
		return ""
	}
	return unescape(r.clean(string(b)))
}

// refer keeps in mind that a link definition is used.
func (r *reading) refer(ref *ast.ReferenceLink) {
	if ref == nil {
		return
	}
	if r.used == nil {
		r.used = map[string]bool{}
	}
	r.used[reference(ref.Value)] = true
}

func (r *reading) codeOf(n *ast.CodeSpan) (string, source.Span) {
	first, ok := n.FirstChild().(*ast.Text)
	if !ok {
		return "", r.inlineSpan(n)
	}
	start, end := first.Segment.Start, first.Segment.Stop
	if n.ChildCount() == 1 && first.Segment.Padding == 0 && !strings.HasSuffix(r.all[r.base+start:r.base+end], "\n") {
		return r.clean(r.all[r.base+start : r.base+end]), r.span(start, end)
	}
	var b strings.Builder
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		t, ok := c.(*ast.Text)
		if !ok {
			continue
		}
		value := string(t.Segment.Value(r.body))
		if trimmed := strings.TrimRight(value, "\r\n"); trimmed != value {
			value = trimmed + " "
		}
		b.WriteString(value)
		end = max(end, t.Segment.Stop)
	}
	return r.clean(b.String()), r.span(start, end)
}

// inlineSpan is where an inline stands, with its marks where the library knows
// them.
func (r *reading) inlineSpan(n ast.Node) source.Span {
	start, end := extent(n)
	if at := n.Pos(); at >= 0 && (at < start || end == 0) {
		start = at
		end = max(end, start)
	}
	switch n := n.(type) {
	case *ast.Link:
		end = r.linkEnd(end, n.Reference)
	case *ast.Image:
		end = r.linkEnd(end, n.Reference)
	case *ast.Emphasis:
		end += n.Level
	case *east.Strikethrough:
		for end < len(r.body) && r.body[end] == '~' {
			end++
		}
	case *ast.AutoLink:
		end = start + len(n.Label(r.body)) + len("<>")
	case *east.FootnoteLink:
		if i := strings.IndexByte(r.all[r.base+start:], ']'); i >= 0 {
			end = start + i + 1
		}
	}
	end = min(end, len(r.body))
	return r.span(min(start, end), end)
}

// linkEnd moves the end of a link's words behind its target.
func (r *reading) linkEnd(end int, ref *ast.ReferenceLink) int {
	rest := r.all[r.base+end:]
	i := strings.IndexByte(rest, ']')
	if i < 0 {
		return end
	}
	i++
	if i < len(rest) && (ref == nil && rest[i] == '(' || ref != nil && rest[i] == '[') {
		closing := byte(')')
		if ref != nil {
			closing = ']'
		}
		depth := 0
		for j := i; j < len(rest) && rest[j] != '\n'; j++ {
			switch rest[j] {
			case '\\':
				j++
			case rest[i]:
				depth++
			case closing:
				if depth--; depth == 0 {
					return end + j + 1
				}
			}
		}
	}
	return end + i
}

// extent is the stretch from the first text inside an inline to the last; 0, 0
// where it holds none.
func extent(n ast.Node) (start, end int) {
	first := n
	for first.FirstChild() != nil {
		first = first.FirstChild()
	}
	last := n
	for last.LastChild() != nil {
		last = last.LastChild()
	}
	if first == n {
		return 0, 0
	}
	start = first.Pos()
	switch t := last.(type) {
	case *ast.Text:
		end = t.Segment.Stop
	default:
		end = last.Pos() + 1
	}
	if start < 0 || end < start {
		return 0, 0
	}
	return start, end
}
