package web

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/layout"
	"coldwright/internal/stamp"
)

// svg writes drawings as the inner part of an SVG image: shapes, and the few
// figures of an axis. Only attributes are used, since a style would need leave
// of the page's policy.
type svg struct{ strings.Builder }

// length is a length in points with two decimals.
func length(u draw.Unit) string {
	return strconv.FormatFloat(float64((u+sign(u)*5)/10)/100, 'f', -1, 64)
}

func sign(u draw.Unit) draw.Unit {
	if u < 0 {
		return -1
	}
	return 1
}

func ink(i draw.Ink) string { return fmt.Sprintf("#%02x%02x%02x", i.R, i.G, i.B) }

// inner are the shapes of a figure.
func inner(items []draw.Item) template.HTML {
	var s svg
	for _, it := range items {
		s.item(it)
	}
	// Every part is a number, a colour or an escaped text.
	return template.HTML(s.String())
}

func (s *svg) item(it draw.Item) {
	switch v := it.(type) {
	case draw.Rect:
		fmt.Fprintf(s, `<rect x="%s" y="%s" width="%s" height="%s"`, length(v.At.X), length(v.At.Y), length(v.Width), length(v.Height))
		s.paint(v.Fill, v.Stroke, v.Ink)
	case draw.Line:
		fmt.Fprintf(s, `<path d="M%s %sL%s %s"`, length(v.From.X), length(v.From.Y), length(v.To.X), length(v.To.Y))
		s.paint(nil, v.Width, v.Ink)
	case draw.Path:
		s.WriteString(`<path d="`)
		for _, g := range v.Segs {
			s.seg(g)
		}
		s.WriteByte('"')
		if v.EvenOdd {
			s.WriteString(` fill-rule="evenodd"`)
		}
		s.paint(v.Fill, v.Stroke, v.Ink)
	case draw.Text:
		fmt.Fprintf(s, `<text x="%s" y="%s" font-size="%s" fill="%s">%s</text>`,
			length(v.At.X), length(v.At.Y), length(v.Size), ink(v.Ink), template.HTMLEscapeString(v.Text))
	}
}

func (s *svg) seg(g draw.Seg) {
	at := func(p draw.Point) { fmt.Fprintf(s, "%s %s", length(p.X), length(p.Y)) }
	switch g.Op {
	case draw.MoveTo:
		s.WriteByte('M')
		at(g.P[0])
	case draw.LineTo:
		s.WriteByte('L')
		at(g.P[0])
	case draw.CurveTo:
		s.WriteByte('C')
		for i, p := range g.P {
			if i > 0 {
				s.WriteByte(' ')
			}
			at(p)
		}
	case draw.Close:
		s.WriteByte('Z')
	}
}

func (s *svg) paint(fill *draw.Ink, stroke draw.Unit, of draw.Ink) {
	if fill != nil {
		fmt.Fprintf(s, ` fill="%s"`, ink(*fill))
	} else {
		s.WriteString(` fill="none"`)
	}
	if stroke > 0 {
		fmt.Fprintf(s, ` stroke="%s" stroke-width="%s"`, ink(of), length(stroke))
	}
	s.WriteString("/>")
}

// drawing is a figure for the page.
type drawing struct {
	ID, Box, Alt string
	Inner        template.HTML
}

func figure(f layout.Figure) drawing {
	return drawing{Box: "0 0 " + length(f.Width) + " " + length(f.Height), Inner: inner(f.Items)}
}

// square is the square code of a print with its quiet zone; nil where no code
// holds the text.
func square(text string) *drawing {
	code, err := stamp.Encode(text)
	if err != nil {
		return nil
	}
	var b strings.Builder
	b.WriteString(`<path fill="#000000" d="`)
	for _, shape := range code.Outlines() {
		for i, c := range shape {
			op := byte('L')
			if i == 0 {
				op = 'M'
			}
			fmt.Fprintf(&b, "%c%d %d", op, c.X+stamp.Quiet, c.Y+stamp.Quiet)
		}
		b.WriteByte('Z')
	}
	b.WriteString(`"/>`)
	side := strconv.Itoa(code.Size + 2*stamp.Quiet)
	return &drawing{Box: "0 0 " + side + " " + side, Inner: template.HTML(b.String())}
}
