package parse

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/util"

	"coldwright/internal/diag"
	"coldwright/internal/prose"
	"coldwright/internal/source"
)

// blocksOf turns the children of a block into blocks. depth is how many blocks
// they stand in.
func (r *reading) blocksOf(parent ast.Node, depth int) []prose.Block {
	var out []prose.Block
	for c := parent.FirstChild(); c != nil; c = c.NextSibling() {
		out = r.blockOf(out, c, depth)
	}
	return out
}

// blockOf adds what a node of the tree says to out.
func (r *reading) blockOf(out []prose.Block, n ast.Node, depth int) []prose.Block {
	if n.Type() != ast.TypeBlock {
		return out
	}
	if depth > maxShown && n.FirstChild() != nil && n.FirstChild().Type() == ast.TypeBlock {
		return r.flat(out, n)
	}
	b := prose.Block{Span: r.blockSpan(n)}
	switch n := n.(type) {
	case *ast.Paragraph, *ast.TextBlock:
		b.Inlines = r.inlinesOf(n, 0)
		if len(b.Inlines) == 0 {
			return out
		}
	case *ast.Heading:
		b.Kind, b.Level = prose.Heading, n.Level
		b.Inlines = r.inlinesOf(n, 0)
	case *ast.List:
		b.Kind, b.Ordered, b.Start, b.Tight = prose.List, n.IsOrdered(), n.Start, n.IsTight
		for c := n.FirstChild(); c != nil; c = c.NextSibling() {
			b.Blocks = append(b.Blocks, r.itemOf(c, depth+1))
		}
	case *ast.ListItem:
		return append(out, r.itemOf(n, depth))
	case *plainFacts:
		return r.plainItems(out, n)
	case *ast.Blockquote:
		b.Kind = prose.Quote
		b.Blocks = r.blocksOf(n, depth+1)
	case *ast.CodeBlock, *ast.FencedCodeBlock:
		b.Kind = prose.CodeBlock
		b.Text = strings.TrimSuffix(r.linesOf(n), "\n")
	case *ast.HTMLBlock:
		b.Kind = prose.RawBlock
		text := r.linesOf(n)
		if n.HasClosure() {
			text += r.clean(string(n.ClosureLine.Value(r.body)))
			b.Span.End = r.base + r.trimBody(n.ClosureLine.Start, n.ClosureLine.Stop)
		}
		b.Text = strings.TrimSuffix(strings.ReplaceAll(text, "\r\n", "\n"), "\n")
		r.html = append(r.html, diag.Site{Span: b.Span, Step: r.step})
	case *ast.ThematicBreak:
		b.Kind = prose.Rule
	case *east.Table:
		b.Kind = prose.Table
		r.tableOf(&b, n)
	case *ast.LinkReferenceDefinition, *east.FootnoteList:
		return out // read at the end of the file
	default:
		b.Inlines = r.inlinesOf(n, 0)
		b.Blocks = r.blocksOf(n, depth+1)
	}
	return append(out, b)
}

// itemOf is one entry of a list.
func (r *reading) itemOf(n ast.Node, depth int) prose.Block {
	return prose.Block{
		Kind: prose.Item, Span: r.blockSpan(n), Task: taskOf(n),
		Blocks: r.blocksOf(n, depth+1),
	}
}

// plainItems sets facts that belong to no step as the list items they are.
func (r *reading) plainItems(out []prose.Block, n *plainFacts) []prose.Block {
	if !isPlain(n.PreviousSibling()) || len(out) == 0 {
		out = append(out, prose.Block{Kind: prose.List, Tight: true, Span: r.blockSpan(n)})
	}
	list := &out[len(out)-1]
	for _, seg := range n.Lines().Sliced(0, n.Lines().Len()) {
		start, end := seg.Start, r.trimBody(seg.Start, seg.Stop)
		words := r.span(start, end)
		item := prose.Block{Kind: prose.Item, Span: r.span(r.lineStart(r.base+start)-r.base, end), Blocks: []prose.Block{{
			Span: words, Inlines: []prose.Inline{{Text: r.words(start, end), Span: words}},
		}}}
		list.Blocks = append(list.Blocks, item)
		list.Span = list.Span.To(item.Span)
	}
	return out
}

// taskOf is " " or "x" for a task item, else "".
func taskOf(item ast.Node) string {
	first := item.FirstChild()
	if first == nil {
		return ""
	}
	switch box := first.FirstChild().(type) {
	case *east.TaskCheckBox:
		if box.IsChecked {
			return "x"
		}
		return " "
	}
	return ""
}

// flat sets the words of blocks that stand too deep one below the other.
func (r *reading) flat(out []prose.Block, n ast.Node) []prose.Block {
	if !r.deep {
		r.deep = true
		r.say(TooTangled, r.blockSpan(n), "Quotes and lists stand too deep inside one another here; what lies deeper prints without its marks.",
			"Break it into shorter lists.")
	}
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		out = r.blockOf(out, c, maxShown+1)
	}
	return out
}

// linesOf are the lines of a code or HTML block, each with its line end.
func (r *reading) linesOf(n ast.Node) string {
	var b strings.Builder
	for i := range n.Lines().Len() {
		seg := n.Lines().At(i)
		line := seg.Value(r.body)
		if k := len(line); k > 1 && line[k-1] == '\n' && line[k-2] == '\r' {
			b.Write(line[:k-2])
			b.WriteByte('\n')
			continue
		}
		b.Write(line)
	}
	return r.clean(b.String())
}

func (r *reading) tableOf(b *prose.Block, n *east.Table) {
	for _, a := range n.Alignments {
		switch a {
		case east.AlignCenter:
			b.Aligns = append(b.Aligns, prose.Centre)
		case east.AlignRight:
			b.Aligns = append(b.Aligns, prose.Right)
		default:
			b.Aligns = append(b.Aligns, prose.Left)
		}
	}
	for row := n.FirstChild(); row != nil; row = row.NextSibling() {
		cells := make([][]prose.Inline, 0, row.ChildCount())
		for cell := row.FirstChild(); cell != nil; cell = cell.NextSibling() {
			cells = append(cells, r.inlinesOf(cell, 0))
		}
		b.Rows = append(b.Rows, cells)
	}
}

// blockSpan is where a block stands, from its first mark to its last word.
func (r *reading) blockSpan(n ast.Node) source.Span {
	start, end := n.Pos(), r.blockEnd(n)
	if start < 0 || start > end {
		start = blockStart(n)
	}
	if start < 0 {
		start = end
	}
	// Behind tabs the library may place a mark past the end of its line.
	start = min(start, len(r.body))
	return r.span(start, min(max(start, end), len(r.body)))
}

func blockStart(n ast.Node) int {
	for n != nil && n.Type() == ast.TypeBlock {
		if n.Lines().Len() > 0 {
			return n.Lines().At(0).Start
		}
		if n.Pos() >= 0 {
			return n.Pos()
		}
		n = n.FirstChild()
	}
	return -1
}

// blockEnd is the end of a block's last word.
func (r *reading) blockEnd(n ast.Node) int {
	end := max(n.Pos(), 0)
	if k := n.Lines().Len(); k > 0 {
		first, last := n.Lines().At(0), n.Lines().At(k-1)
		end = max(end, r.trimBody(first.Start, last.Stop))
	}
	for c := n.LastChild(); c != nil && c.Type() == ast.TypeBlock; c = c.PreviousSibling() {
		if e := r.blockEnd(c); e > end {
			return e
		}
	}
	return end
}

func (r *reading) trimBody(start, end int) int {
	for end > start && isSpace(r.body[end-1]) {
		end--
	}
	return end
}

// reference is a link label as the library compares it.
func reference(label []byte) string { return util.ToLinkReference(label) }

// leftovers reads what belongs to no place: footnotes, and link definitions
// and footnotes nothing points to.
func (r *reading) leftovers(root ast.Node) {
	r.step = 0
	count := 0
	for _, f := range r.notes {
		count = max(count, f.Index)
	}
	// A footnote may be dropped from the tree; what was opened is known.
	blocks := make([]prose.Block, 0, len(r.notes))
	for index := 1; index <= count; index++ {
		for _, f := range r.notes {
			if f.Index == index {
				blocks = append(blocks, r.footnoteOf(f, index))
				break
			}
		}
	}
	for _, f := range r.notes {
		if f.Index > 0 {
			continue
		}
		count++
		b := r.footnoteOf(f, count)
		blocks = append(blocks, b)
		r.say(UnusedNote, b.Span, "Nothing in the text points to this footnote; it prints after the others.",
			"Write [^"+string(f.Ref)+"] where it belongs.")
	}
	if len(blocks) > 0 {
		r.recipe.Footnotes = blocks
	}
	if r.links {
		r.definitions(root, 0)
	}
}

func (r *reading) footnoteOf(f *footnote, index int) prose.Block {
	end := f.start
	for c := f.LastChild(); c != nil; c = c.PreviousSibling() {
		if c.Type() == ast.TypeBlock {
			end = max(end, r.blockEnd(c))
			break
		}
	}
	return prose.Block{
		Kind: prose.FootnoteText, Index: index,
		Span: r.span(f.start, end), Blocks: r.blocksOf(f, 1),
	}
}

// definitions reports link definitions no link uses: they would print nowhere.
func (r *reading) definitions(n ast.Node, depth int) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		if c.Type() != ast.TypeBlock || depth > maxNest {
			return
		}
		d, ok := c.(*ast.LinkReferenceDefinition)
		if !ok {
			r.definitions(c, depth+1)
			continue
		}
		label := reference(d.Label)
		switch {
		case r.defined[label]:
			r.say(UnusedLink, r.blockSpan(d), "A link of this name is set down before, so this line counts for nothing and prints nowhere.",
				"Give it another name, or take the line out.")
		case !r.used[label]:
			r.say(UnusedLink, r.blockSpan(d), "Nothing in the text uses this link, so this line prints nowhere.",
				"Write ["+r.clean(string(d.Label))+"] where it belongs, or take the line out.")
		}
		if r.defined == nil {
			r.defined = map[string]bool{}
		}
		r.defined[label] = true
	}
}

// rawHTML reports all HTML of the file as one finding.
func (r *reading) rawHTML() {
	if len(r.html) == 0 {
		return
	}
	first := r.html[0]
	r.list.Add(diag.Diagnostic{
		Rule: RawHTML, Severity: severity(RawHTML), Concern: diag.Card,
		Span: first.Span, Step: first.Step, Also: r.html[1:],
		Message: "This is written for a web page; on paper it prints as it stands, marks and all.",
		Help:    "Write it in plain words; **two stars** on either side make bold.",
	})
}
