package parse

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"coldwright/internal/diag"
)

// What follows reads lines in which one space is missing as what they were
// meant to be. To Markdown they are plain words, so that a step, a fact or a
// checkpoint would be lost in the one before it.

// gluedHeading reads "##Smooth the base" as the heading of a step.
type gluedHeading struct{}

func (gluedHeading) Trigger() []byte { return []byte{'#'} }

func (gluedHeading) Open(parent ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	line, at := reader.PeekLine()
	if parent.Kind() != ast.KindDocument || pc.BlockOffset() != 0 || at.Padding != 0 || !bytes.HasPrefix(line, []byte("##")) {
		return nil, parser.NoChildren
	}
	if c, _ := utf8.DecodeRune(line[2:]); !unicode.IsLetter(c) && !unicode.IsDigit(c) {
		return nil, parser.NoChildren
	}
	h := ast.NewHeading(2)
	words := at.WithStart(at.Start + len("##"))
	h.Lines().Append(words.TrimRightSpace(reader.Source()))
	reader.AdvanceToEOL()
	return h, parser.NoChildren
}

func (gluedHeading) Continue(ast.Node, text.Reader, parser.Context) parser.State { return parser.Close }

func (gluedHeading) Close(ast.Node, text.Reader, parser.Context) {}

func (gluedHeading) CanInterruptParagraph() bool { return true }

func (gluedHeading) CanAcceptIndentedLine() bool { return false }

// gluedItem reads "-Water: drip" among the facts as a fact, and "-[ ] No line"
// as a checkpoint.
type gluedItem struct{}

func (gluedItem) Trigger() []byte { return []byte{'-'} }

func (gluedItem) Open(parent ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	line, at := reader.PeekLine()
	if parent.Kind() != ast.KindDocument || pc.BlockOffset() != 0 || at.Padding != 0 || len(line) < 4 || line[0] != '-' {
		return nil, parser.NoChildren
	}
	words := at.WithStart(at.Start + 1)
	if line[1] == '[' {
		if n, _ := box(line[1:]); n == 0 {
			return nil, parser.NoChildren
		}
		list, item, block := ast.NewList('-'), ast.NewListItem(1), ast.NewTextBlock()
		item.SetPos(at.Start)
		block.SetPos(words.Start)
		block.Lines().Append(words)
		item.AppendChild(item, block)
		list.AppendChild(list, item)
		reader.AdvanceToEOL()
		return list, parser.NoChildren
	}
	switch last := parent.LastChild().(type) {
	case *ast.Heading, *plainFacts:
	case *ast.List:
		if last.IsOrdered() {
			return nil, parser.NoChildren
		}
	default:
		return nil, parser.NoChildren
	}
	if !plainFactLine(line[1:]) {
		return nil, parser.NoChildren
	}
	n := &plainFacts{}
	n.Lines().Append(words)
	return n, parser.NoChildren
}

func (gluedItem) Continue(ast.Node, text.Reader, parser.Context) parser.State { return parser.Close }

func (gluedItem) Close(ast.Node, text.Reader, parser.Context) {}

func (gluedItem) CanInterruptParagraph() bool { return true }

func (gluedItem) CanAcceptIndentedLine() bool { return false }

// box reads the box of a checkpoint a line begins with: how many bytes it has
// with the spaces behind it, 0 where the line begins with none, and whether it
// is ticked. An empty box needs no space behind it and none inside, as they are
// often forgotten; what may be a link is none.
func box(line []byte) (n int, ticked bool) {
	switch {
	case len(line) < 2 || line[0] != '[':
		return 0, false
	case line[1] == ']':
		n = 2
	case len(line) < 3 || line[2] != ']':
		return 0, false
	case line[1] == ' ' || line[1] == '\t':
		n = 3
	case line[1] == 'x' || line[1] == 'X':
		n, ticked = 3, true
	default:
		return 0, false
	}
	from := n
	for n < len(line) && isSpace(line[n]) {
		n++
	}
	if n == from && n < len(line) && (ticked || line[n] == '(' || line[n] == '[' || line[n] == ':') {
		return 0, false
	}
	return n, ticked
}

// spaces reports a space that is missing in the box of a checkpoint whose words
// are in the block.
func (r *reading) spaces(block ast.Node) {
	if block == nil || block.Lines().Len() == 0 {
		return
	}
	seg := block.Lines().At(0)
	line := r.body[seg.Start:seg.Stop]
	at := r.span(seg.Start, min(seg.Start+3, seg.Stop))
	switch {
	case bytes.HasPrefix(line, []byte("[]")):
		at.End--
		r.say(TickBox, at, "“[]” is no tick box: the space between its brackets is missing.", "Write - [ ] with a space between the brackets.")
		r.mended(r.putting(at.Start+1, " ", "Puts the space into the tick box."))
	case seg.Start > 0 && r.body[seg.Start-1] == '-':
		at.Start--
		r.say(TickBox, at, "A space is missing between the hyphen and the tick box.", "Write - [ ] with a space behind the hyphen.")
		space := r.putting(at.Start+1, " ", "Puts a space before the tick box.")
		if len(line) > 3 && line[2] == ']' && !isSpace(line[3]) {
			space.Does = "Puts a space before the tick box and one behind it."
			space.Edits = append(space.Edits, diag.Edit{Span: r.file.Span(at.End, at.End), Text: " "})
		}
		r.mended(space)
	case len(line) > 3 && !isSpace(line[3]):
		r.say(TickBox, at, "A space is missing behind this tick box.", "Write - [ ] and a space behind it.")
		r.mended(r.putting(at.End, " ", "Puts a space behind the tick box."))
	}
}

// glued says whether no space stands behind the hyphen; such a fact is a block of
// its own.
func (n *plainFacts) glued(source []byte) bool {
	start := n.Lines().At(0).Start
	return start > 0 && source[start-1] == '-'
}

// gluedFact reports a fact without the space behind its hyphen; late is true
// where other words of the step stand above it.
func (r *reading) gluedFact(n *plainFacts, late bool) {
	if !n.glued(r.body) {
		return
	}
	seg := n.Lines().At(0)
	end := r.trimBody(seg.Start, seg.Stop)
	r.say(FactForm, r.span(seg.Start-1, end), "A space follows the hyphen of a fact, and here it is missing.",
		"Write - "+r.clean(string(r.body[seg.Start:end])))
	if below, ok := n.NextSibling().(*ast.Paragraph); ok && below.Lines().Len() > 0 &&
		bytes.IndexByte(r.body[seg.Stop:max(seg.Stop, below.Lines().At(0).Start)], '\n') < 0 {
		// As an item of a list the fact would take the words of the next line in.
		return
	}
	if late && r.joinsWords(n) {
		return
	}
	r.mended(r.putting(r.base+seg.Start, " ", "Puts a space behind the hyphen."))
}

// joinsWords says whether a space behind the hyphen would put the fact into one
// list with what is no fact, so that below other words it would be taken for
// words itself.
func (r *reading) joinsWords(n *plainFacts) bool {
	above, below := n.PreviousSibling(), n.NextSibling()
	for isPlain(above) {
		above = above.PreviousSibling()
	}
	for isPlain(below) {
		below = below.NextSibling()
	}
	for _, beside := range []ast.Node{above, below} {
		if list, ok := beside.(*ast.List); ok && !list.IsOrdered() {
			if _, facts := r.factual(list, false); !facts {
				return true
			}
		}
	}
	return false
}

func isPlain(n ast.Node) bool {
	_, ok := n.(*plainFacts)
	return ok
}

// meantSteps takes headings of another level that stand right above a list of
// facts for those of steps, and keeps in mind what they were.
func (r *reading) meantSteps(root ast.Node) {
	now, titled := purpose, false
	for n := root.FirstChild(); n != nil; n = n.NextSibling() {
		h, ok := n.(*ast.Heading)
		if !ok {
			continue
		}
		if h.Level != 2 && now != closing && r.aboveFacts(h) && (h.Level > 1 || titled || !r.isTitle(h)) {
			if r.levels == nil {
				r.levels = map[*ast.Heading]int{}
			}
			r.levels[h] = h.Level
			h.Level = 2
		}
		if h.Level <= 2 {
			now = partOf(now, h.Level, titled)
			titled = titled || h.Level == 1
		}
	}
}

// aboveFacts says whether a heading stands right above a list of facts.
func (r *reading) aboveFacts(h *ast.Heading) bool {
	list, ok := h.NextSibling().(*ast.List)
	if !ok || list.IsOrdered() {
		return false
	}
	known, all := r.factual(list, false)
	return known > 0 && all
}

// isTitle says whether a heading says what the title of the front matter says.
func (r *reading) isTitle(h *ast.Heading) bool {
	return !r.recipe.Title.OK || fold(r.plain(h)) == fold(r.recipe.Title.Value)
}

// stepForm reports the heading of a step that is not written as one.
func (r *reading) stepForm(h *ast.Heading) {
	at := r.blockSpan(h)
	words := strings.TrimSpace(r.plain(h))
	if level := r.levels[h]; level > 0 {
		r.say(StepHeading, at, fmt.Sprintf("The facts below make this the heading of a step, and it begins with %s.", strings.Repeat("#", level)),
			"Write ## "+words)
		if mark, n := strings.Repeat("#", level), r.lineStart(at.Start); strings.HasPrefix(r.all[n:], mark+" ") {
			r.mended(instead(r.file.Span(n, n+level), "##", "Makes this the heading of a step."))
		}
		return
	}
	if h.Lines().Len() == 0 {
		return
	}
	if start := h.Lines().At(0).Start; start > 0 && r.body[start-1] == '#' {
		r.say(StepHeading, at, "A space is missing behind the ## of this heading.", "Write ## "+words)
		r.mended(r.putting(r.base+start, " ", "Puts a space behind the ##."))
	}
}

// spoiltPicture reports a picture in the text from start to end whose file has
// a space in its name: to Markdown that is no picture.
func (r *reading) spoiltPicture(start, end int) {
	for at := start; at < end; {
		words := r.all[r.base+at : r.base+end]
		i := strings.Index(words, "![")
		if i < 0 {
			return
		}
		j := strings.Index(words[i:], "](")
		if j < 0 {
			return
		}
		from := i + j + len("](")
		k := strings.IndexByte(words[from:], ')')
		if k < 0 {
			return
		}
		name := words[from : from+k]
		if strings.ContainsAny(strings.TrimSpace(name), " \t") && (i == 0 || words[i-1] != '\\') {
			fixed := strings.ReplaceAll(strings.TrimSpace(name), " ", "%20")
			r.say(PictureName, r.span(at+from, at+from+k), "A picture's file has a space in its name here, so its line prints as words and the picture is missing.",
				"Take the space out of the file's name, or write %20 for it: "+r.clean(words[i:from]+fixed)+")")
		}
		at += from + k
	}
}
