package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"

	"github.com/go-pdf/fpdf"

	"coldwright/internal/draw"
	"coldwright/internal/typeface"
)

// painter draws pages and notes what the finishing pass has to add.
type painter struct {
	pdf    *fpdf.Fpdf
	height draw.Unit
	number int // of the page being drawn, from 0

	// What the library has set now, so that nothing is set twice.
	style        draw.Style
	size         draw.Unit
	spacing      draw.Unit
	width        draw.Unit
	dash         draw.Unit
	stroke, fill draw.Ink
	letters      draw.Ink

	fonts    [len(typeface.Styles)]fontUse
	encoded  []byte
	pictures []*draw.Image
	pictured map[string]int // Image.Key to place in pictures
	anchors  map[string]place
	links    []link
	leaves   []leaf
	marked   []int // how many leaves each page has
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

func newPainter(doc *draw.Document) *painter {
	pdf := fpdf.NewCustom(&fpdf.InitType{
		OrientationStr: "P", // keeps width and height as they are
		UnitStr:        "pt",
		Size:           fpdf.SizeType{Wd: doc.Width.Points(), Ht: doc.Height.Points()},
	})
	pdf.SetCatalogSort(true)
	// Pages are compressed in the finishing pass, with writers used again.
	pdf.SetCompression(false)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(0, 0, 0)
	pdf.SetLineCapStyle("butt")
	pdf.SetLineJoinStyle("miter")
	return &painter{
		pdf: pdf, height: doc.Height, number: -1, style: -1, width: -1,
		pictured: map[string]int{}, anchors: map[string]place{},
	}
}

// output is the file as the library writes it.
func (p *painter) output() ([]byte, error) {
	var out bytes.Buffer
	if err := p.pdf.Output(&out); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func (p *painter) page(page *draw.Page) error {
	p.pdf.AddPage()
	p.number++
	p.spacing = 0 // the library carries everything else over
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
		if _, twice := p.anchors[it.Name]; twice {
			return fmt.Errorf("two places are named %q", it.Name)
		}
		p.anchors[it.Name] = place{p.number, it.At}
	default:
		return fmt.Errorf("a %T cannot be drawn", item)
	}
	return nil
}

// text is the one way text reaches a page. The library is given glyph numbers,
// two bytes each, in a stand-in font of which it knows no widths: none of its
// own ways to measure, wrap or underline text may be used. spaced puts a space
// behind it.
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
		p.pdf.AddFontFromBytes(use.face.Name(), "", stub(use.face), nil)
	}
	code := p.encoded[:0]
	for _, r := range t.Text {
		g := use.face.Glyph(r)
		if g == 0 {
			return fmt.Errorf("the face %s has no %q (U+%04X), which %q holds", use.face.Name(), r, r, t.Text)
		}
		use.note(r)
		code = append(code, byte(g>>8), byte(g))
	}
	if spaced {
		g := use.face.Glyph(' ')
		code = append(code, byte(g>>8), byte(g))
	}
	p.encoded = code

	if p.style != t.Style || p.size != t.Size {
		p.pdf.SetFont(use.face.Name(), "", t.Size.Points())
		p.style, p.size = t.Style, t.Size
	}
	if p.spacing != t.Spacing {
		p.pdf.RawWriteStr(strconv.FormatFloat(t.Spacing.Points(), 'f', 3, 64) + " Tc")
		p.spacing = t.Spacing
	}
	if p.letters != t.Ink {
		p.pdf.SetTextColor(int(t.Ink.R), int(t.Ink.G), int(t.Ink.B))
		p.letters = t.Ink
	}
	p.pdf.Text(t.At.X.Points(), t.At.Y.Points(), string(code))
	if t.Link != "" {
		p.link(t, use.face)
	}
	return nil
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
