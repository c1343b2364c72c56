package layout

import (
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/stamp"
)

// The identity block stands at the top right of every face: four lines, and to
// the right of them the square code of the same. It is the same at every size
// of paper.
var (
	identitySize = draw.Pt(8.5)
	identityHead = draw.Pt(10.5)
	// module is the side of one module of the square, a little over .5 mm, so
	// that all of them are the same number of whole Units.
	module = draw.Unit(1418)
	// identityGap is the room between the lines and the square.
	identityGap = draw.MM(2.6)
)

// mostPages is the number the block of a sheet keeps room for beside "page".
const mostPages = 88

// identity is the identity block of a print.
type identity struct {
	*layer
	// most is the width the lines may take.
	most   draw.Unit
	square *stamp.Square
	// shapes are the square drawn at shapesAt.
	shapes   []draw.Item
	shapesAt draw.Point
	// width is that of the whole block, height that of its lines or its
	// square, whichever is more.
	width, height draw.Unit
}

// identity works the block out. It takes at most the given width, if need be in
// more lines than four.
func (l *layer) identity(most draw.Unit) identity {
	b := identity{layer: l, square: l.in.square}
	s := l.sheet
	if s.Mark != "" && b.square == nil {
		// A text no square can hold stands in print alone.
		b.square, _ = stamp.Encode(stamp.Text(s.ID, s.Revision, s.Mark))
	}
	b.most = most - b.side() - identityGap
	b.height = draw.MM(2.6)
	for i, ln := range b.lines(l.in.most-1, l.in.most) {
		if i > 0 {
			b.height += identityPitch(i)
		}
		b.width = max(b.width, ln.width)
	}
	b.width += b.side() + identityGap
	// The lines are a little taller than their last baseline.
	b.height = max(b.height+below(identitySize), b.side())
	return b
}

// side is the side of the square without its quiet zone; of one with no mark
// it is that of version 2, so that nothing moves.
func (b *identity) side() draw.Unit {
	if b.square == nil {
		return module * 25
	}
	return module * draw.Unit(b.square.Size)
}

// clear is how far down from its top the block keeps everything else away:
// the quiet zone of the square belongs to it. The zone on the other sides lies
// in the gap and in the margins of the paper, which are 5 mm or more.
func (b *identity) clear() draw.Unit {
	return max(b.height+draw.MM(.6), b.side()+stamp.Quiet*module)
}

// lines are the four lines every face carries, in this order.
func (b *identity) lines(page, of int) []line {
	s := b.sheet
	small, strong := regular(identitySize), bold(identitySize)
	rows := [][]span{
		spans(bold(identityHead), joined(" · ", s.ID, revision(s))),
		spans(small, joined(" · ", effective(s), copyNumber(s))),
	}
	if s.Draft != nil {
		white := strong
		white.ink, white.spacing = draw.White, white.size*8/100
		rows = append(rows, append(spans(white, b.fixed("DRAFT")), span{look: small, text: "\u00a0\u00a0" + s.Draft.Short}))
	} else {
		rows = append(rows, spans(small, b.fixed("approved: %s", s.Approved)))
	}
	number := b.fixed("page~%d~of~%d", page+1, of)
	if s.Mark == "" {
		rows = append(rows, spans(small, number))
	} else {
		rows = append(rows, append(spans(strong, unbroken(s.Mark.String())), span{look: small, text: " · " + number}))
	}
	var out []line
	for _, r := range rows {
		out = append(out, b.text.lines(r, measure{width: b.most})...)
	}
	return out
}

// unbroken keeps a text with hyphens on one line.
func unbroken(s string) string {
	return strings.ReplaceAll(s, "-", string(wordJoiner)+"-"+string(wordJoiner))
}

func effective(s *sheet.Sheet) string {
	switch {
	case s.Effective == "":
		return s.Words.Say("no date")
	case s.Draft != nil:
		return s.Words.Say("for %s", s.Effective)
	}
	return s.Words.Say("effective %s", s.Effective)
}

// copyNumber is the number of an issued copy. A draft is never one, and says
// so.
func copyNumber(s *sheet.Sheet) string {
	switch {
	case s.Draft != nil:
		return s.Words.Say("no copy no.")
	case s.Copy > 0:
		return s.Words.Say("copy~%d", s.Copy)
	}
	return ""
}

// identityPitch is the distance of line i of the block from the one before.
func identityPitch(i int) draw.Unit {
	if i == 1 {
		return draw.MM(3.4)
	}
	return draw.MM(3.1)
}

// at draws the block with its top right corner at a place, its lines and its
// square apart.
func (b *identity) at(right, top draw.Unit, page, of int) (words, square []draw.Item) {
	edge := right - b.side() - identityGap
	y := top + draw.MM(2.6)
	for i, ln := range b.lines(page, of) {
		if i > 0 {
			y += identityPitch(i)
		}
		x := edge - ln.width
		for _, p := range ln.pieces {
			if p.look.ink == draw.White {
				pad := draw.MM(.8)
				words = append(words, box(x+p.x-pad, y-draw.MM(2.5), p.width+2*pad-p.look.spacing, draw.MM(2.95), draw.Black))
			}
		}
		words = ln.put(words, x, y)
	}
	return words, b.drawn(right-b.side(), top)
}

// drawn is the square with its corner at a place, worked out once for all the
// pages that have it there.
func (b *identity) drawn(left, top draw.Unit) []draw.Item {
	at := pt(left, top)
	if b.square == nil || b.shapes != nil && b.shapesAt == at {
		return b.shapes
	}
	var segs []draw.Seg
	for _, shape := range b.square.Outlines() {
		corners := make([]draw.Point, len(shape))
		for i, c := range shape {
			corners[i] = pt(left+module*draw.Unit(c.X), top+module*draw.Unit(c.Y))
		}
		segs = append(segs, polygon(corners...)...)
	}
	b.shapes, b.shapesAt = []draw.Item{filled(draw.Black, segs)}, at
	return b.shapes
}

// revision is the number of a revision in words; a page of a house that counts
// none has none.
func revision(s *sheet.Sheet) string {
	if s.Revision == 0 {
		return ""
	}
	return s.Words.Say("rev~%d", s.Revision)
}
