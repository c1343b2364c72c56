// Package layout puts the content of a sheet onto pages: text, lines, shapes
// and pictures at fixed places in whole draw.Units. The same sheet gives the
// same drawing list everywhere.
//
// Content first becomes a flow of atoms, the least parts a page can be cut
// into, with what must stay together marked; then the flow is cut into pages
// and every page gets its head and foot.
package layout

import (
	"fmt"
	"strconv"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/stamp"
)

// layer lays one sheet.
type layer struct {
	sheet *sheet.Sheet
	text  setter
	// left and width are the room for text, in Units from the paper's edge.
	left, width draw.Unit
	keys        int
	// anchors of the steps by number.
	anchors map[int]string
	// footnotes are the indexes that have a text, anchored those set already.
	footnotes, anchored map[int]bool
	marks               []draw.Bookmark
	in                  inBook
}

// fixed is a fixed phrase of the page in its language, as sheet.Sheet.Words says
// it; a test finds every phrase said so.
func (l *layer) fixed(english string, fill ...any) string { return l.sheet.Words.Say(english, fill...) }

// key is a new key for runs.
func (l *layer) key() int {
	l.keys++
	return l.keys
}

// Lay puts a sheet onto pages. Characters the typeface does not hold are
// findings; they print as their code points. Nothing else can fail: what is
// too much for one page goes on to the next.
//
// A card is the exception: what does not go on two faces is a finding, and the
// document then is nil, because nothing on a card is clipped or dropped.
func Lay(s *sheet.Sheet) (*draw.Document, diag.List) {
	doc := &draw.Document{
		Title: s.Meta.Title, Subject: s.Meta.Subject, Author: s.Meta.Author,
		Keywords: s.Meta.Keywords, Language: s.Meta.Language, Date: s.Meta.Date,
	}
	if s.Page.Kind == sheet.CardPage && s.Card != nil {
		page := cardMargins(s.Page, s.Draft != nil)
		doc.Width, doc.Height = draw.MM(page.Width), draw.MM(page.Height)
		l := newLayer(s, page, alone)
		pages, found := l.layCard(page)
		if pages == nil {
			return nil, found
		}
		doc.Pages = pages
		return doc, append(append(found, l.text.findings()...), EnglishLeft(s)...)
	}
	x := lay(s, alone)
	doc.Width, doc.Height = x.width, x.height
	doc.Pages, doc.Bookmarks = x.pages, x.layer.marks
	x.dress(0, len(doc.Pages))
	return doc, append(x.layer.text.findings(), EnglishLeft(s)...)
}

// EnglishRule is the id of the finding that words of a page are missing in the
// language of the house.
const EnglishRule = "words-in-english"

// EnglishLeft is the note that fixed words of a page were printed in English, because
// the table of the language has not got them.
func EnglishLeft(s *sheet.Sheet) diag.List {
	missing := s.Words.Missing()
	if len(missing) == 0 {
		return nil
	}
	const named = 3
	message := "Fixed words of the page have no words in " + s.Words.Languages() + " and print in English: “" +
		strings.Join(missing[:min(named, len(missing))], "”, “") + "”"
	if more := len(missing) - named; more > 0 {
		message += " and " + strconv.Itoa(more) + " more"
	}
	return diag.List{{Rule: EnglishRule, Severity: diag.Note, Concern: diag.Card, Message: strings.ReplaceAll(message, "~", " ") + "."}}
}

// inBook is what a sheet knows of the book it is bound in: the most pages its
// identity block keeps room for, and on which page a place is; and its square
// code where that has been worked out before.
type inBook struct {
	most   int
	pageOf map[string]int
	square *stamp.Square
}

// alone is a sheet bound with no other.
var alone = inBook{most: mostPages}

// laid is a sheet on pages that have no head and foot yet.
type laid struct {
	*layer
	*furniture
	width, height draw.Unit
	pages         []draw.Page
}

// dress puts head and foot on the pages, the first of which is page from of of,
// counted from 0.
func (x *laid) dress(from, of int) {
	for i := range x.pages {
		x.furniture.dress(&x.pages[i], i, from+i, of)
	}
}

func lay(s *sheet.Sheet, in inBook) *laid {
	page := sound(s.Page)
	l := newLayer(s, page, in)
	x := &laid{layer: l, furniture: l.furniture(page), width: draw.MM(page.Width), height: draw.MM(page.Height)}
	fu := x.furniture
	var f flow
	if fu.longTitle != "" {
		p := l.place()
		p.look, p.role = bold(headSize), draw.Heading1
		f.add(l.paragraph(spans(p.look, fu.longTitle), p)...)
	}
	f.join(fu.standingInFlow)
	if columns(s) > 1 {
		x.pages = l.inColumns(&f, fu)
		return x
	}
	head := len(f.atoms)
	// Words the margins have no room for stand behind the text.
	beside, behind := l.glossary(), []sheet.GlossaryWord(nil)
	if !l.hasMargin() {
		beside, behind = nil, beside
	}
	for {
		f, l.marks = f.upTo(head), nil
		l.flowBlocks(&f, behind)
		f.keepEnd()
		x.pages = paginate(&f, fu.frame)
		placed, rest := l.margin(x.pages, fu.frame, beside)
		if len(rest) == 0 {
			return x
		}
		beside, behind = placed, append(behind, rest...)
	}
}

// newLayer is a layer for a sheet on a page.
func newLayer(s *sheet.Sheet, page sheet.PageSetup, in inBook) *layer {
	l := &layer{
		sheet: s, left: draw.MM(page.Left), in: in,
		width:     draw.MM(page.Width) - draw.MM(page.Left) - draw.MM(page.Right),
		anchors:   map[int]string{},
		footnotes: map[int]bool{}, anchored: map[int]bool{},
	}
	for _, b := range s.Blocks {
		switch b := b.(type) {
		case sheet.StepInFull:
			l.anchors[b.Number] = anchorOf(b)
		case sheet.Notes:
			for _, n := range b.Footnotes {
				if len(n.Blocks)+len(n.Inlines) > 0 {
					l.footnotes[n.Index] = true
				}
			}
		}
	}
	return l
}

// anchorOf is the name links to a step use.
func anchorOf(st sheet.StepInFull) string {
	if st.Anchor != "" {
		return st.Anchor
	}
	return fmt.Sprintf("step-%d", st.Number)
}

// sound is the page, or A4 with the margins of a process sheet where none is
// given or no room is left on it.
func sound(p sheet.PageSetup) sheet.PageSetup {
	if p.Width-p.Left-p.Right < 60 || p.Height-p.Top-p.Bottom < 100 {
		return sheet.PageSetup{Paper: "A4", Width: 210, Height: 297, Left: 20, Right: 12, Top: 11, Bottom: 9}
	}
	return p
}

// place is the whole width of the page in body text.
func (l *layer) place() place {
	return place{x: l.left, width: l.width, look: body(), chars: proseChars}
}

// flowBlocks turns the blocks into a flow, in order. Amounts and changes that
// follow each other stand side by side.
//
// Where words have a margin of their own, what stands before the breakdown of
// the work is as wide as the page, the rest leaves room for the margin. words
// are those that stand behind the text.
func (l *layer) flowBlocks(f *flow, words []sheet.GlossaryWord) {
	blocks := l.sheet.Blocks
	full, margin := l.width, l.hasMargin()
	defer func() { l.width = full }()
	var heads *cont
	for i := 0; i < len(blocks); i++ {
		var g flow
		gap := draw.MM(3.2)
		switch b := blocks[i].(type) {
		case sheet.Purpose:
			p := l.place()
			p.look, p.pictures = regular(draw.Pt(10.5)), b.Pictures
			l.blocks(&g, b.Blocks, p)
			if gap = draw.MM(.6); i > 0 {
				gap = draw.MM(2)
			}
		case sheet.SurfaceTable:
			g = l.surfaces(b)
		case sheet.Piece:
			g = l.piece(b)
			gap = draw.MM(1.6)
		case sheet.Stop:
			g = l.stop(b)
			gap = draw.MM(3)
		case sheet.Cautions:
			g = l.cautions(b)
			gap = draw.MM(3)
		case sheet.Places:
			g = l.places(b)
			gap = draw.MM(1.6)
		case sheet.StepTable:
			g = l.stepTable(b)
			gap = draw.MM(2.5)
		case sheet.Ladder:
			g = l.ladder(b)
			gap = draw.MM(3)
		case sheet.Cover:
			g = l.cover(b)
		case sheet.Contents:
			g = l.contents(b)
		case sheet.Facts:
			g = l.facts(b)
			gap = draw.MM(5)
		case sheet.Register:
			g = l.register(b)
		case sheet.GradeChart:
			g = l.gradeChart(b)
			gap = draw.MM(3)
		case sheet.StepInFull:
			g = l.step(b)
			gap = draw.MM(2)
		case sheet.Learner:
			g = l.learner(b)
			gap = draw.MM(1)
		case sheet.Aim:
			g = l.aim(b)
			gap = draw.MM(1.4)
		case sheet.TrainingStep:
			first := heads == nil
			if first {
				if margin {
					l.width = full - marginWide - marginGap
				}
				heads = &cont{atoms: l.teachHeads()}
			}
			g = l.teach(b, heads)
			gap = 0
			if first {
				g = l.underHeads(heads, g, margin)
				gap = draw.MM(2.4)
			}
		case sheet.Amounts:
			var c *sheet.Changes
			if i+1 < len(blocks) {
				if next, ok := blocks[i+1].(sheet.Changes); ok {
					c = &next
					i++
				}
			}
			g = l.amountsAndChanges(&b, c)
			gap = draw.MM(2.2)
		case sheet.Changes:
			g = l.amountsAndChanges(nil, &b)
			gap = draw.MM(2.2)
		case sheet.Notes:
			g = l.notes(b)
			gap = draw.MM(4)
		case sheet.SignOff:
			g = l.signOff(b)
			gap = draw.MM(3)
			f.glueLast()
		}
		if len(g.atoms) == 0 {
			continue
		}
		if len(f.atoms) > 0 {
			g.space(gap)
		}
		f.join(g)
	}
	if len(words) > 0 {
		g := l.wordList(words)
		g.space(draw.MM(4))
		f.join(g)
	}
}

// inlineText is plain words as an author's.
func inlineText(s string) []prose.Inline {
	if s == "" {
		return nil
	}
	return []prose.Inline{{Kind: prose.Text, Text: s}}
}
