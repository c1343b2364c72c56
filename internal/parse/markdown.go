package parse

import (
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// newMarkdown is a parser for CommonMark with GitHub-flavoured tables, task
// lists and strikethrough, and footnotes. The priorities are the library's own.
func newMarkdown() parser.Parser {
	p := parser.NewParser(
		parser.WithBlockParsers(parser.DefaultBlockParsers()...),
		parser.WithInlineParsers(parser.DefaultInlineParsers()...),
		parser.WithParagraphTransformers(util.Prioritized(linkDefinitions{parser.LinkReferenceParagraphTransformer}, 100)),
	)
	p.AddOptions(
		parser.WithParagraphTransformers(util.Prioritized(extension.NewTableParagraphTransformer(), 200)),
		parser.WithASTTransformers(
			util.Prioritized(extension.NewTableASTTransformer(), 0),
			util.Prioritized(extension.NewFootnoteASTTransformer(), 999),
		),
		parser.WithBlockParsers(util.Prioritized(footnoteParser{extension.NewFootnoteBlockParser()}, 999)),
		parser.WithInlineParsers(
			util.Prioritized(taskBox{}, 0),
			util.Prioritized(extension.NewFootnoteParser(), 101),
			util.Prioritized(extension.NewStrikethroughParser(), 500),
		),
	)
	return p
}

// footnote is a footnote and where it starts in the body. The library drops
// those nothing refers to; we do not.
type footnote struct {
	*east.Footnote
	start int
}

var footnotesKey = parser.NewContextKey()

// footnoteParser keeps every footnote it opens.
type footnoteParser struct{ parser.BlockParser }

func (p footnoteParser) Open(parent ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	_, at := reader.Position()
	n, state := p.BlockParser.Open(parent, reader, pc)
	if f, ok := n.(*east.Footnote); ok {
		notes, _ := pc.Get(footnotesKey).([]*footnote)
		pc.Set(footnotesKey, append(notes, &footnote{f, at.Start + max(pc.BlockOffset(), 0)}))
	}
	return n, state
}

func footnotesOf(pc parser.Context) []*footnote {
	notes, _ := pc.Get(footnotesKey).([]*footnote)
	return notes
}

// linkDefinitions looks for link definitions only in paragraphs that open with
// a bracket, as every one with a definition does; the library's own looks with
// some ceremony at each.
type linkDefinitions struct{ parser.ParagraphTransformer }

func (l linkDefinitions) Transform(n *ast.Paragraph, reader text.Reader, pc parser.Context) {
	if n.Lines().Len() == 0 {
		return
	}
	seg := n.Lines().At(0)
	for _, b := range reader.Source()[seg.Start:seg.Stop] {
		switch b {
		case ' ', '\t':
			continue
		case '[':
			l.ParagraphTransformer.Transform(n, reader, pc)
		}
		return
	}
}

// taskBox reads the box of a task item. Unlike the library's it asks for a space
// behind the box, as GitHub's specification (0.29, 5.3) does, so that a link
// called x stays a link.
type taskBox struct{}

func (taskBox) Trigger() []byte { return []byte{'['} }

func (taskBox) Parse(parent ast.Node, block text.Reader, _ parser.Context) ast.Node {
	if parent.Kind() == ast.KindLink || parent.HasChildren() {
		return nil
	}
	item := parent.Parent()
	if item == nil || item.Kind() != ast.KindListItem || item.FirstChild() != parent {
		return nil
	}
	line, _ := block.PeekLine()
	if len(line) < 3 || line[0] != '[' || line[2] != ']' {
		return nil
	}
	ticked := line[1] == 'x' || line[1] == 'X'
	if !ticked && line[1] != ' ' && line[1] != '\t' {
		return nil
	}
	n := 3
	for n < len(line) && isSpace(line[n]) {
		n++
	}
	if n == 3 && n < len(line) {
		return nil
	}
	block.Advance(n)
	return east.NewTaskCheckBox(ticked)
}
