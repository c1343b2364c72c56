package pdf

import (
	"errors"
	"fmt"
	"strconv"

	"github.com/go-pdf/fpdf"

	"coldwright/internal/draw"
	"coldwright/internal/typeface"
)

// painter draws the pages of one part and notes what the file needs beside them.
type painter struct {
	drawn
	pdf    *fpdf.Fpdf
	height draw.Unit
	number int // of the page being drawn, from 0 in its part

	// What is set now, so that nothing is set twice.
	style        draw.Style
	size         draw.Unit
	spacing      draw.Unit
	width        draw.Unit
	dash         draw.Unit
	stroke, fill draw.Ink

	operators []byte
	pictured  map[string]int // Image.Key to place in pictures
}

// drawn is a part on paper. Its pages count from 0.
type drawn struct {
	// contents are the pages, compressed.
	contents [][]byte
	fonts    [len(typeface.Styles)]fontUse
	pictures []*draw.Image
	anchors  []anchor
	links    []link
	leaves   []leaf
	marked   []int // how many leaves each page has
	// err is what stopped the drawing, on page failed.
	err    error
	failed int
}

// anchor is a place with a name.
type anchor struct {
	name string
	place
}

// place is a point on a page.
type place struct {
	page int
	at   draw.Point
}

// link is a rectangle on a page that leads somewhere.
type link struct {
	page                     int
	left, top, right, bottom draw.Unit
	baseline                 draw.Unit
	target                   string
}

// leaf is one stretch of a page's content in the document's structure.
type leaf struct {
	role draw.Role
	alt  string
	page int
	// mark is the number of the stretch on its page.
	mark int
	// left is where its first item stands: rows of a table are told by it.
	left draw.Unit
}

// paint draws the pages of a part.
func paint(doc *draw.Document, part func() []draw.Page) *drawn {
	p := &painter{height: doc.Height, number: -1, width: -1, pictured: map[string]int{}}
	p.err = guarded(func() error {
		pages := part()
		if len(pages) == 0 {
			return nil
		}
		var err error
		size := fpdf.SizeType{Wd: doc.Width.Points(), Ht: doc.Height.Points()}
		// "P" keeps width and height as they are.
		content := fpdf.CreateTpl(fpdf.PointType{}, size, "P", "pt", "", func(t *fpdf.Tpl) {
			p.pdf = &t.Fpdf
			for i := 0; i < len(pages) && err == nil; i++ {
				err = p.page(&pages[i])
			}
		})
		if err != nil {
			return err
		}
		for n := range pages {
			one, err := content.FromPage(n + 1)
			if err != nil {
				return err
			}
			p.contents = append(p.contents, deflate(one.Bytes()))
		}
		return nil
	})
	p.failed = max(p.number, 0)
	return &p.drawn
}

func (p *painter) page(page *draw.Page) error {
	p.number++
	if p.number > 0 { // the library opens the first itself
		p.pdf.AddPage()
	}
	// The library carries everything over that it knows of.
	p.style, p.size, p.spacing = -1, 0, 0
	p.marked = append(p.marked, 0)
	for i := range page.Runs {
		if err := p.run(&page.Runs[i]); err != nil {
			return err
		}
	}
	return p.pdf.Error()
}

// run draws the items of a run between marks that tie them to the structure.
func (p *painter) run(run *draw.Run) error {
	if !known(run.Role) {
		return fmt.Errorf("%q is not a role a stretch of a page can have", run.Role)
	}
	first := 0
	for first < len(run.Items) && !visible(run.Items[first]) {
		if err := p.item(run.Items[first]); err != nil {
			return err
		}
		first++
	}
	if first == len(run.Items) {
		return nil
	}
	if run.Role == draw.Artifact {
		p.pdf.RawWriteStr("/Artifact BMC")
	} else {
		mark := p.marked[p.number]
		p.marked[p.number]++
		p.leaves = append(p.leaves, leaf{run.Role, run.Alt, p.number, mark, left(run.Items[first])})
		p.pdf.RawWriteStr("/" + string(run.Role) + " <</MCID " + strconv.Itoa(mark) + ">> BDC")
	}
	for i := first; i < len(run.Items); i++ {
		item := run.Items[i]
		if t, ok := item.(draw.Text); ok && parted(&t, run.Items[i+1:]) {
			item = spaced{t}
		}
		if err := p.item(item); err != nil {
			return err
		}
	}
	p.pdf.RawWriteStr("EMC")
	return nil
}

// visible reports whether an item puts anything on the page.
func visible(item draw.Item) bool {
	switch it := item.(type) {
	case draw.Anchor:
		return false
	case draw.Text:
		return it.Text != ""
	}
	return true
}

// left is where an item begins.
func left(item draw.Item) draw.Unit {
	switch it := item.(type) {
	case draw.Text:
		return it.At.X
	case draw.Line:
		return min(it.From.X, it.To.X)
	case draw.Rect:
		return it.At.X
	case draw.Path:
		if len(it.Segs) > 0 {
			return it.Segs[0].P[0].X
		}
	case draw.Picture:
		return it.At.X
	}
	return 0
}

func (p *painter) item(item draw.Item) error {
	switch it := item.(type) {
	case draw.Text:
		return p.text(&it, false)
	case spaced:
		return p.text(&it.Text, true)
	case draw.Line:
		p.pen(it.Width, it.Ink, it.Dash)
		p.pdf.Line(it.From.X.Points(), it.From.Y.Points(), it.To.X.Points(), it.To.Y.Points())
	case draw.Rect:
		p.rect(&it)
	case draw.Path:
		return p.path(&it)
	case draw.Picture:
		return p.picture(&it)
	case draw.Anchor:
		p.anchors = append(p.anchors, anchor{it.Name, place{p.number, it.At}})
	default:
		return fmt.Errorf("a %T cannot be drawn", item)
	}
	return nil
}

// text is the one way text reaches a page: as glyph numbers, two bytes each.
// The library, which counts in characters of one byte, does not see it. spaced
// puts a space behind it.
func (p *painter) text(t *draw.Text, spaced bool) error {
	if t.Text == "" {
		return nil
	}
	if t.Size <= 0 {
		return fmt.Errorf("the text %q has no size", t.Text)
	}
	if t.Style < 0 || int(t.Style) >= len(p.fonts) {
		return fmt.Errorf("the text %q is in a face there is none of", t.Text)
	}
	use := &p.fonts[t.Style]
	if use.face == nil {
		use.face = typeface.Get(t.Style)
	}
	p.brush(t.Ink)
	b := append(p.operators[:0], "BT "...)
	if p.style != t.Style || p.size != t.Size {
		b = append(append(b, fontName(t.Style)...), ' ')
		b = append(appendUnit(b, t.Size), " Tf "...)
		p.style, p.size = t.Style, t.Size
	}
	if p.spacing != t.Spacing {
		b = append(appendUnit(b, t.Spacing), " Tc "...)
		p.spacing = t.Spacing
	}
	b = strconv.AppendFloat(b, t.At.X.Points(), 'f', 2, 64)
	b = append(b, ' ')
	b = strconv.AppendFloat(b, (p.height - t.At.Y).Points(), 'f', 2, 64)
	b = append(b, " Td ("...)
	for _, r := range t.Text {
		g := use.face.Glyph(r)
		if g == 0 {
			return fmt.Errorf("the face %s has no %q (U+%04X), which %q holds", use.face.Name(), r, r, t.Text)
		}
		use.note(r)
		b = appendGlyph(b, g)
	}
	if spaced {
		b = appendGlyph(b, use.face.Glyph(' '))
	}
	b = append(b, ") Tj ET"...)
	p.operators = b
	p.pdf.RawWriteStr(string(b))
	if t.Link != "" {
		p.link(t, use.face)
	}
	return nil
}

// fontName is what a face is called on the pages.
func fontName(s draw.Style) string { return "/F" + strconv.Itoa(int(s)) }

// appendGlyph writes the number of a glyph within a string, where some bytes
// have a meaning of their own (ISO 32000-1, 7.3.4.2).
func appendGlyph(b []byte, glyph uint16) []byte {
	for _, c := range [...]byte{byte(glyph >> 8), byte(glyph)} {
		switch c {
		case '(', ')', '\\':
			b = append(b, '\\', c)
		case '\r':
			b = append(b, '\\', 'r')
		default:
			b = append(b, c)
		}
	}
	return b
}

// link notes where a linked text stands. Pieces of one link that follow one
// another on a line become one rectangle.
func (p *painter) link(t *draw.Text, face *typeface.Face) {
	width := face.Width(t.Text, t.Size) + t.Spacing*draw.Unit(len([]rune(t.Text)))
	l := link{
		page: p.number, target: t.Link, baseline: t.At.Y,
		left: t.At.X, right: t.At.X + width,
		top: t.At.Y - face.Ascent(t.Size), bottom: t.At.Y + face.Descent(t.Size),
	}
	if n := len(p.links); n > 0 {
		last := &p.links[n-1]
		gap := l.left - last.right
		if last.page == l.page && last.target == l.target && last.baseline == l.baseline && gap >= -t.Size && gap <= t.Size {
			last.right = max(last.right, l.right)
			last.top, last.bottom = min(last.top, l.top), max(last.bottom, l.bottom)
			return
		}
	}
	p.links = append(p.links, l)
}

func (p *painter) pen(width draw.Unit, ink draw.Ink, dash draw.Unit) {
	if p.width != width {
		p.pdf.SetLineWidth(width.Points())
		p.width = width
	}
	if p.stroke != ink {
		p.pdf.SetDrawColor(int(ink.R), int(ink.G), int(ink.B))
		p.stroke = ink
	}
	if p.dash != dash {
		var pattern []float64
		if dash > 0 {
			pattern = []float64{dash.Points(), dash.Points()}
		}
		p.pdf.SetDashPattern(pattern, 0)
		p.dash = dash
	}
}

func (p *painter) brush(ink draw.Ink) {
	if p.fill != ink {
		p.pdf.SetFillColor(int(ink.R), int(ink.G), int(ink.B))
		p.fill = ink
	}
}

// tools sets brush and pen and gives the library's word for what to do with a
// shape; empty where there is nothing to do.
func (p *painter) tools(fill *draw.Ink, stroke draw.Unit, ink draw.Ink) string {
	how := ""
	if fill != nil {
		p.brush(*fill)
		how = "F"
	}
	if stroke > 0 {
		p.pen(stroke, ink, 0)
		how += "D"
	}
	return how
}

func (p *painter) rect(r *draw.Rect) {
	if how := p.tools(r.Fill, r.Stroke, r.Ink); how != "" {
		p.pdf.Rect(r.At.X.Points(), r.At.Y.Points(), r.Width.Points(), r.Height.Points(), how)
	}
}

func (p *painter) path(path *draw.Path) error {
	if len(path.Segs) == 0 {
		return nil
	}
	if path.Segs[0].Op != draw.MoveTo {
		return errors.New("a shape does not begin with a move")
	}
	// Colours are set before the clip, whose end undoes what is set inside.
	how := p.tools(path.Fill, path.Stroke, path.Ink)
	if how == "" {
		return nil
	}
	if path.EvenOdd && path.Fill != nil {
		how += "*"
	}
	if c := path.Clip; c != nil {
		p.pdf.ClipRect(c.At.X.Points(), c.At.Y.Points(), c.Width.Points(), c.Height.Points(), false)
	}
	for i := range path.Segs {
		s := &path.Segs[i]
		x, y := s.P[0].X.Points(), s.P[0].Y.Points()
		switch s.Op {
		case draw.MoveTo:
			p.pdf.MoveTo(x, y)
		case draw.LineTo:
			p.pdf.LineTo(x, y)
		case draw.CurveTo:
			p.pdf.CurveBezierCubicTo(x, y, s.P[1].X.Points(), s.P[1].Y.Points(), s.P[2].X.Points(), s.P[2].Y.Points())
		case draw.Close:
			p.pdf.ClosePath()
		default:
			return fmt.Errorf("a shape has a piece of kind %d", s.Op)
		}
	}
	p.pdf.DrawPath(how)
	if path.Clip != nil {
		p.pdf.ClipEnd()
	}
	return nil
}

// picture places a picture. The library's own embedding orders pictures of one
// width by chance, so they are embedded in the finishing pass.
func (p *painter) picture(pic *draw.Picture) error {
	img := pic.Image
	if img == nil {
		return errors.New("a picture is missing")
	}
	n, known := p.pictured[img.Key]
	if !known {
		if err := whole(img); err != nil {
			return err
		}
		n = len(p.pictures)
		p.pictures = append(p.pictures, img)
		p.pictured[img.Key] = n
	}
	b := append([]byte(nil), "q "...)
	b = appendUnit(b, pic.Width)
	b = append(b, " 0 0 "...)
	b = appendUnit(b, pic.Height)
	b = append(b, ' ')
	b = appendUnit(b, pic.At.X)
	b = append(b, ' ')
	b = appendUnit(b, p.height-pic.At.Y-pic.Height)
	b = append(b, " cm /Im"...)
	b = strconv.AppendInt(b, int64(n), 10)
	b = append(b, " Do Q"...)
	p.pdf.RawWriteStr(string(b))
	return nil
}

// appendUnit writes a length in points.
func appendUnit(b []byte, u draw.Unit) []byte {
	return strconv.AppendFloat(b, u.Points(), 'f', 3, 64)
}
