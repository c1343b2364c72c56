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
		parser.WithParagraphTransformers(parser.DefaultParagraphTransformers()...),
	)
	p.AddOptions(
		parser.WithParagraphTransformers(util.Prioritized(extension.NewTableParagraphTransformer(), 200)),
		parser.WithASTTransformers(
			util.Prioritized(extension.NewTableASTTransformer(), 0),
			util.Prioritized(extension.NewFootnoteASTTransformer(), 999),
		),
		parser.WithBlockParsers(util.Prioritized(footnoteParser{extension.NewFootnoteBlockParser()}, 999)),
		parser.WithInlineParsers(
			util.Prioritized(extension.NewTaskCheckBoxParser(), 0),
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
