// Package prose is what an author wrote around the facts: paragraphs, lists,
// tables, pictures. Parse makes it, sheet draws it, so that neither the rules
// nor the pages know any Markdown library.
package prose

import (
	"strings"

	"coldwright/internal/source"
)

// InlineKind is what an Inline is.
type InlineKind int

const (
	// Text is words; entities and escapes are already resolved.
	Text InlineKind = iota
	Emphasis
	Strong
	Strike
	Code
	// Link holds its words as children; Target is where it leads.
	Link
	// Image has its alternative words as children; Target is the file.
	Image
	// Break is a line break the author asked for.
	Break
	// Soft is a line end in the file that reads as a space.
	Soft
	// Footnote refers to the block Footnote of the same Index.
	Footnote
	// Raw is HTML, printed as what it is.
	Raw
)

// Inline is a stretch of a line.
type Inline struct {
	Kind InlineKind
	// Text of Text, Code and Raw.
	Text     string
	Children []Inline
	// Target of Link and Image, with Title where one is written.
	Target, Title string
	Index         int
	Span          source.Span
}

// BlockKind is what a Block is.
type BlockKind int

const (
	Paragraph BlockKind = iota
	Heading
	// List holds Items.
	List
	// Item is one entry of a list and holds blocks.
	Item
	// Quote holds blocks.
	Quote
	// CodeBlock has Text.
	CodeBlock
	// Table holds Rows; the first is its head.
	Table
	// Rule is a line across.
	Rule
	// RawBlock is HTML, printed as what it is.
	RawBlock
	// FootnoteText holds the blocks of footnote Index.
	FootnoteText
)

// Align is how a column of a table stands.
type Align int

const (
	Left Align = iota
	Centre
	Right
)

// Block is a stretch of the text from one line on.
type Block struct {
	Kind BlockKind
	// Level of a Heading, from 1.
	Level   int
	Inlines []Inline
	Blocks  []Block
	// Ordered lists count from Start.
	Ordered bool
	Start   int
	// Tight is true for a list whose items stand close.
	Tight bool
	// Task is "" for a plain item, " " or "x" for a task item.
	Task string
	// Text of a CodeBlock or RawBlock, line by line.
	Text string
	// Rows of a Table, each a list of cells.
	Rows   [][][]Inline
	Aligns []Align
	Index  int
	Span   source.Span
}

// Words is the plain text of inlines, with breaks as spaces.
func Words(inlines []Inline) string {
	var b strings.Builder
	words(&b, inlines)
	return b.String()
}

func words(b *strings.Builder, inlines []Inline) {
	for _, in := range inlines {
		switch in.Kind {
		case Text, Code, Raw:
			b.WriteString(in.Text)
		case Break, Soft:
			b.WriteByte(' ')
		default:
			words(b, in.Children)
		}
	}
}

// BlockWords is the plain text of blocks, one line each.
func BlockWords(blocks []Block) string {
	var b strings.Builder
	blockWords(&b, blocks)
	return strings.TrimRight(b.String(), "\n")
}

func blockWords(b *strings.Builder, blocks []Block) {
	for _, bl := range blocks {
		if len(bl.Inlines) > 0 {
			words(b, bl.Inlines)
			b.WriteByte('\n')
		}
		if bl.Text != "" {
			b.WriteString(bl.Text)
			b.WriteByte('\n')
		}
		for _, row := range bl.Rows {
			for i, cell := range row {
				if i > 0 {
					b.WriteByte(' ')
				}
				words(b, cell)
			}
			b.WriteByte('\n')
		}
		blockWords(b, bl.Blocks)
	}
}
