package parse

import (
	"bytes"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// newMarkdown is a parser for CommonMark with GitHub-flavoured tables, task
// lists and strikethrough, and footnotes. The priorities are the library's own.
// With quick, plain facts are read whole; without, they come as lists.
func newMarkdown(quick bool) parser.Parser {
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
	// Before setext headings, and behind headings with a space.
	p.AddOptions(parser.WithBlockParsers(util.Prioritized(gluedItem{}, 90), util.Prioritized(gluedHeading{}, 610)))
	if quick {
		// Before rules across and lists.
		p.AddOptions(parser.WithBlockParsers(util.Prioritized(factParser{}, 150)))
	}
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
	line := reader.Source()[seg.Start:seg.Stop]
	for i, b := range line {
		switch b {
		case ' ', '\t':
			continue
		case '[':
			if b := line[i:]; len(b) > 2 && b[1] == ' ' && b[2] == ']' {
				return // a checkpoint: no link is named by a space
			}
			l.ParagraphTransformer.Transform(n, reader, pc)
		}
		return
	}
}

// taskBox reads the box of a task item. Unlike the library's it asks for a space
// behind a ticked box, as GitHub's specification (0.29, 5.3) does, so that a link
// called x stays a link; of an empty one a missing space is reported.
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
	n, ticked := box(line)
	if n == 0 {
		return nil
	}
	block.Advance(n)
	return east.NewTaskCheckBox(ticked)
}

// plainFacts are lines of the list of facts a step opens with, directly below each
// other: "- Time: 8 min". Half the lines of a recipe are such; read whole, as one
// block without inlines, they cost a fraction of list items. Lines with any mark
// of Markdown, or with more below them, are left to the library.
type plainFacts struct{ ast.BaseBlock }

var kindPlainFacts = ast.NewNodeKind("PlainFacts")

func (*plainFacts) Kind() ast.NodeKind { return kindPlainFacts }

func (*plainFacts) IsRaw() bool { return true }

func (n *plainFacts) Dump(source []byte, level int) { ast.DumpHelper(n, source, level, nil, nil) }

type factParser struct{}

func (factParser) Trigger() []byte { return []byte{'-'} }

func (factParser) Open(parent ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	if parent.Kind() != ast.KindDocument || pc.BlockOffset() != 0 {
		return nil, parser.NoChildren
	}
	switch last := parent.LastChild().(type) {
	case *ast.Heading:
		if last.Level != 2 {
			return nil, parser.NoChildren
		}
	case *plainFacts:
		if last.glued(reader.Source()) {
			return nil, parser.NoChildren
		}
	default:
		return nil, parser.NoChildren
	}
	n := &plainFacts{}
	if !n.take(reader) {
		return nil, parser.NoChildren
	}
	return n, parser.NoChildren
}

func (factParser) Continue(n ast.Node, reader text.Reader, _ parser.Context) parser.State {
	if !n.(*plainFacts).take(reader) {
		return parser.Close
	}
	reader.AdvanceToEOL()
	return parser.Continue | parser.NoChildren
}

// take takes the line the reader is at into the block, if it is a plain fact.
func (n *plainFacts) take(reader text.Reader) bool {
	line, at := reader.PeekLine()
	if at.Padding != 0 || !isPlainFact(line) || !standsAlone(reader.Source(), at.Stop) {
		return false
	}
	n.Lines().Append(at.WithStart(at.Start + len("- ")))
	return true
}

func (factParser) Close(ast.Node, text.Reader, parser.Context) {}

func (factParser) CanInterruptParagraph() bool { return false }

func (factParser) CanAcceptIndentedLine() bool { return false }

// isPlainFact says whether a line is the name of a fact, a colon and a value
// without any mark.
func isPlainFact(line []byte) bool {
	return len(line) >= 4 && line[0] == '-' && line[1] == ' ' && plainFactLine(line[2:])
}

// plainFactLine says so of a line behind its hyphen.
func plainFactLine(line []byte) bool {
	colon := 0
	for ; colon < len(line) && line[colon] != ':'; colon++ {
		if colon > maxLabel {
			return false
		}
	}
	if colon == len(line) {
		return false
	}
	if _, known := factIndex[string(line[:colon])]; !known {
		return false
	}
	for _, b := range bytes.TrimSuffix(line[colon+1:], []byte("\r\n")) {
		if marks[b] {
			return false
		}
	}
	return true
}

// marks are the bytes that may mean something to Markdown within a line.
var marks = func() (m [256]bool) {
	for _, b := range []byte("\\`*_~[]<&!\t\r\x00") {
		m[b] = true
	}
	return m
}()

// standsAlone says whether nothing from byte at on goes on with the list item
// before it: the next line is another item, or empty and what follows not set
// in.
func standsAlone(source []byte, at int) bool {
	empty := false
	for at < len(source) {
		switch source[at] {
		case '\n':
			empty = true
		case '\r':
			if at+1 < len(source) && source[at+1] != '\n' {
				return false // no line end to Markdown
			}
		case ' ', '\t':
			return false
		case '-':
			return empty || at+1 < len(source) && source[at+1] == ' '
		default:
			return empty
		}
		at++
	}
	return true
}
