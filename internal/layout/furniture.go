package layout

import (
	"math"
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/typeface"
)

var (
	titleSize  = draw.Pt(22)
	titlePitch = draw.MM(8.6)
	// headRule is the line under the head of a page.
	headRule = draw.MM(.7)
	// bodyGap is the room between that line and the text, and above the foot.
	bodyGap = draw.MM(1.6)
	// hatchIn is how far the frame of a draft stands from the edge, hatchWide
	// how wide it is.
	hatchIn   = draw.MM(5)
	hatchWide = draw.MM(3.6)
	// tabHigh is how high the tabs of a draft are.
	tabHigh = draw.MM(6)
	// tabSize is the type of the reason in the tab of a draft.
	tabSize = draw.Pt(12)
)

// furniture is what every page carries: head, identity, foot, and the frame of
// a draft.
type furniture struct {
	*layer
	page          sheet.PageSetup
	width, height draw.Unit
	// shift moves the head down and the foot up to clear the tabs of a draft.
	shift    draw.Unit
	identity identity
	// first and rest are the heads of the first page and the following.
	first, rest head
	// firstSize is the size of the title on the first page.
	firstSize draw.Unit
	// longTitle is set where the title is too long to stand in the head.
	longTitle string
	// standingInFlow are the standing lines where they are too many to stand
	// on every page.
	standingInFlow flow
	foot           []line
	footLine       draw.Unit
	tab            []line
}

// head is the head of a page.
type head struct {
	title []line
	pitch draw.Unit
	top   draw.Unit
	// standing are the lines a face must carry, at standingAt.
	standing   []line
	standingAt draw.Unit
	// rule is where the line under the head is.
	rule draw.Unit
}

func (l *layer) furniture(page sheet.PageSetup) *furniture {
	fu := &furniture{layer: l, page: page, width: draw.MM(page.Width), height: draw.MM(page.Height), firstSize: titleSize}
	if page.Kind == sheet.TrainingPage {
		// Its room is for the breakdown.
		fu.firstSize = headSize
	}
	if l.sheet.Draft != nil {
		fu.shift = draw.MM(1.6)
		fu.tab = l.draftTab()
	}
	fu.identity = l.identity(l.width * 55 / 100)
	fu.foot = l.text.lines(spans(regular(footSize), l.sheet.Foot), measure{width: l.width})
	fu.footLine = fu.footTop() - draw.MM(4)
	fu.heads()
	return fu
}

// top is where the head begins.
func (fu *furniture) top() draw.Unit {
	top := draw.MM(fu.page.Top)
	if len(fu.tab) > 1 {
		// A long reason makes the tab grow down.
		top += leading(tabSize) * draw.Unit(len(fu.tab)-1)
	}
	return top + fu.shift
}

// footTop is the baseline of the first line of the foot.
func (fu *furniture) footTop() draw.Unit {
	bottom := fu.height - draw.MM(fu.page.Bottom) - fu.shift*3/2
	if fu.sheet.Draft != nil {
		// Clear of the tab, however low the page lets the foot stand.
		bottom = min(bottom, fu.height-hatchIn-tabHigh-below(footSize)+draw.MM(.45))
	}
	n := max(len(fu.foot), 1)
	return bottom - draw.MM(.6) - leading(footSize)*draw.Unit(n-1)
}

// titleRoom is the width for the title beside the identity block.
func (fu *furniture) titleRoom() draw.Unit {
	return fu.layer.width - max(fu.identity.width, draw.MM(54)) - draw.MM(3)
}

// heads works out both heads.
func (fu *furniture) heads() {
	s := fu.sheet
	room := fu.titleRoom()
	title := flat(s.Title)
	first, pitch := fu.firstSize, titlePitch
	if first == headSize {
		pitch = leading(headSize)
	}
	fu.first = fu.head(title, first, pitch, room)
	if fu.first.rule > fu.height*45/100 {
		fu.longTitle = title
		fu.first = fu.head(shortened(title, 60), first, pitch, room)
	}
	fu.rest = fu.head(title, headSize, leading(headSize), room)
	// A title a word too long for its line is set a little smaller rather than
	// take a line more on every page.
	for size := headSize - draw.Pt(.5); len(fu.rest.title) == 2 && size >= draw.Pt(12); size -= draw.Pt(.5) {
		if h := fu.head(title, size, leading(headSize), room); len(h.title) == 1 {
			fu.rest = h
		}
	}
	if len(fu.rest.title) > 4 {
		fu.rest = fu.head(shortened(title, 110), headSize, leading(headSize), room)
	}
	if len(s.Standing) == 0 {
		return
	}
	lines := fu.standing(s.Standing)
	if h := leading(smallSize) * draw.Unit(len(lines)); h > draw.MM(45) {
		p := fu.place()
		p.look = look{style: draw.SemiBold, size: smallSize}
		for _, words := range s.Standing {
			fu.standingInFlow.add(fu.paragraph(spans(p.look, words), p)...)
		}
		lines = fu.standing([]string{fu.fixed("Lowered rules and accepted findings: see the lines at the head of page 1.")})
	}
	fu.first.stand(lines)
	fu.rest.stand(lines)
}

func (fu *furniture) standing(words []string) []line {
	var out []line
	for _, w := range words {
		lk := look{style: draw.SemiBold, size: smallSize}
		out = append(out, fu.text.lines(spans(lk, flat(w)), measure{width: fu.layer.width})...)
	}
	return out
}

// stand puts lines between title and rule.
func (h *head) stand(lines []line) {
	h.standing = lines
	h.standingAt = h.rule - draw.MM(.6)
	h.rule += leading(smallSize)*draw.Unit(len(lines)) + draw.MM(.4)
}

// head sets a title at a size.
func (fu *furniture) head(title string, size, pitch, room draw.Unit) head {
	h := head{pitch: pitch, top: fu.top()}
	h.title = fu.text.lines(spans(bold(size), title), measure{width: room})
	last := h.baseline(size, len(h.title)-1)
	h.rule = last + draw.MM(3.8)
	if size != titleSize {
		h.rule = last + draw.MM(2.4)
	}
	// The identity block may be the higher.
	h.rule = max(h.rule, h.top+fu.identity.clear()+headRule/2)
	return h
}

// baseline of a line of the title.
func (h *head) baseline(size draw.Unit, i int) draw.Unit {
	first := h.top + draw.MM(9)
	if size == titleSize {
		first = h.top + draw.MM(11.8)
	}
	return first + h.pitch*draw.Unit(max(i, 0))
}

// shortened is a title cut at a word, with a sign that it goes on.
func shortened(title string, most int) string {
	r := []rune(title)
	if len(r) <= most {
		return title
	}
	cut := string(r[:most])
	if i := strings.LastIndexByte(cut, ' '); i > most/2 {
		cut = cut[:i]
	}
	return cut + " …"
}

// frame is the room for text on a page.
func (fu *furniture) frame(page int) frame {
	h := fu.rest
	if page == 0 {
		h = fu.first
	}
	return frame{top: h.rule + headRule/2 + bodyGap, bottom: fu.footLine - bodyGap}
}

// dress puts the furniture on a page, its head before what stands there.
// Page counts from the first of its sheet, number from the first of all that
// are bound with it.
func (fu *furniture) dress(p *draw.Page, page, number, of int) {
	h, size, role := fu.rest, headSize, draw.Artifact
	if page == 0 {
		h, size, role = fu.first, fu.firstSize, draw.Heading1
	}
	other := draw.Artifact
	if page == 0 {
		other = draw.Paragraph
	}
	var runs []draw.Run
	add := func(role draw.Role, items []draw.Item) {
		if len(items) > 0 {
			runs = append(runs, draw.Run{Role: role, Items: items})
		}
	}
	if fu.sheet.Draft != nil {
		add(draw.Artifact, fu.hatch())
		add(draw.Artifact, fu.tabs())
	}
	kind := joined(" · ", fu.sheet.House, fu.sheet.Kind)
	add(other, fu.one(kind, body()).fit(fu, fu.titleRoom()).put(nil, fu.left, h.top+draw.MM(3.4)))
	var title []draw.Item
	for i, ln := range h.title {
		title = ln.put(title, fu.left, h.baseline(size, i))
	}
	add(role, title)
	words, square := fu.identity.at(fu.left+fu.layer.width, h.top, number, of)
	add(other, words)
	add(draw.Artifact, square)
	var standing []draw.Item
	for i, ln := range h.standing {
		standing = ln.put(standing, fu.left, h.standingAt+leading(smallSize)*draw.Unit(i+1)-below(smallSize))
	}
	add(other, standing)
	add(draw.Artifact, across(fu.left, fu.layer.width, h.rule, headRule).items)
	p.Runs = append(runs, p.Runs...)
	foot := across(fu.left, fu.layer.width, fu.footLine, draw.MM(.2)).items
	for i, ln := range fu.foot {
		foot = ln.put(foot, fu.left, fu.footTop()+leading(footSize)*draw.Unit(i))
	}
	p.Runs = append(p.Runs, draw.Run{Role: draw.Artifact, Items: foot})
}

// fit is the line set small enough for a width.
func (ln line) fit(fu *furniture, width draw.Unit) line {
	if ln.width <= width || len(ln.pieces) == 0 {
		return ln
	}
	lk := ln.pieces[0].look
	lk.size = max(draw.Pt(8.5), draw.Unit(int64(lk.size)*int64(width)/int64(ln.width)))
	text := ""
	for _, p := range ln.pieces {
		text += p.text
	}
	lines := fu.text.lines(spans(lk, text), measure{width: width})
	return lines[0]
}

// draftTab are the words after DRAFT in the tab at the top.
func (l *layer) draftTab() []line {
	lk := look{style: draw.SemiBold, size: tabSize, ink: draw.White}
	return l.text.lines(spans(lk, flat(l.sheet.Draft.Reason)), measure{width: l.width * 6 / 10})
}

// tabs are the black tabs at head and foot of a draft.
func (fu *furniture) tabs() []draw.Item {
	lk := bold(draw.Pt(15))
	lk.ink, lk.spacing = draw.White, lk.size*8/100
	word := fu.one(fu.fixed("DRAFT"), lk)
	caps := typeface.Get(draw.Bold).CapHeight(lk.size)
	height := tabHigh
	extra := leading(tabSize) * draw.Unit(max(len(fu.tab), 1)-1)
	var wide draw.Unit
	for _, ln := range fu.tab {
		wide = max(wide, ln.width)
	}
	pad := draw.MM(4)
	top := hatchIn
	base := top + (height+caps)/2
	width := pad + word.width + pad
	if wide > 0 {
		width += wide + pad
	}
	items := []draw.Item{box(fu.left, top, width, height+extra, draw.Black)}
	items = word.put(items, fu.left+pad, base)
	for i, ln := range fu.tab {
		items = ln.put(items, fu.left+pad+word.width+pad, base+leading(tabSize)*draw.Unit(i)-draw.MM(.2))
	}
	width = word.width + 2*pad + draw.MM(2)
	x := (fu.width - width) / 2
	y := fu.height - hatchIn - height
	items = append(items, box(x, y, width, height, draw.Black))
	return word.put(items, x+(width-word.width)/2, y+(height+caps)/2)
}

// hatch is the hatched frame of a draft: black 1.3 of every 3 mm at 45°.
func (fu *furniture) hatch() []draw.Item {
	w, h := fu.width-2*hatchIn, fu.height-2*hatchIn
	var items []draw.Item
	for _, r := range []draw.Rect{
		{At: pt(hatchIn, hatchIn), Width: w, Height: hatchWide},
		{At: pt(hatchIn, hatchIn+h-hatchWide), Width: w, Height: hatchWide},
		{At: pt(hatchIn, hatchIn+hatchWide), Width: hatchWide, Height: h - 2*hatchWide},
		{At: pt(hatchIn+w-hatchWide, hatchIn+hatchWide), Width: hatchWide, Height: h - 2*hatchWide},
	} {
		items = append(items, hatched(r))
	}
	return items
}

// hatched fills a rectangle with stripes that rise to the right. They lie on
// one raster over the whole page, so that the sides meet. Each stripe is cut
// to the rectangle, so that no clipping is needed.
func hatched(r draw.Rect) draw.Path {
	// A stripe is where x + y lies between k × period and that plus black.
	period := draw.Unit(math.Round(float64(draw.MM(3)) * math.Sqrt2))
	black := draw.Unit(math.Round(float64(draw.MM(1.3)) * math.Sqrt2))
	x0, y0, x1, y1 := r.At.X, r.At.Y, r.At.X+r.Width, r.At.Y+r.Height
	var segs []draw.Seg
	for k := (x0 + y0 - black) / period; k*period < x1+y1; k++ {
		if s := stripe(x0, y0, x1, y1, k*period, k*period+black); len(s) > 2 {
			segs = append(segs, polygon(s...)...)
		}
	}
	return filled(draw.Black, segs)
}

// stripe is the part of a rectangle where from ≤ x + y ≤ to, its corners in
// order.
func stripe(x0, y0, x1, y1, from, to draw.Unit) []draw.Point {
	corners := []draw.Point{pt(x0, y0), pt(x1, y0), pt(x1, y1), pt(x0, y1)}
	keep := clipSum(corners, func(p draw.Point) draw.Unit { return p.X + p.Y - from })
	return clipSum(keep, func(p draw.Point) draw.Unit { return to - p.X - p.Y })
}

// clipSum keeps the part of a convex shape where side is not negative. All its
// edges lie along x, along y or along the stripe, so cuts are whole Units.
func clipSum(shape []draw.Point, side func(draw.Point) draw.Unit) []draw.Point {
	var out []draw.Point
	for i, p := range shape {
		q := shape[(i+1)%len(shape)]
		a, b := side(p), side(q)
		if a >= 0 {
			out = append(out, p)
		}
		if (a < 0) != (b < 0) {
			t := float64(a) / float64(a-b)
			out = append(out, pt(p.X+draw.Unit(math.Round(float64(q.X-p.X)*t)), p.Y+draw.Unit(math.Round(float64(q.Y-p.Y)*t))))
		}
	}
	return out
}
