// Package signs draws safety signs: own simple drawings in the shapes and
// colours of ISO 3864-1, each for the meaning a number of ISO 7010 stands for.
// The standard's own drawings are not copied. A number without a drawing has
// none: words without a sign beat a wrong sign.
package signs

import (
	"math"
	"strconv"
	"strings"
	"sync"

	"coldwright/internal/draw"
)

// The colours. Source: ISO 3864-1 gives the shapes their colours; the values
// are chosen so that black on yellow and white on blue and red pass 4.5:1 by
// WCAG 2.2.
var (
	yellow = draw.Ink{R: 0xF2, G: 0xC2, B: 0x00}
	blue   = draw.Ink{R: 0x00, G: 0x53, B: 0x87}
	red    = draw.Ink{R: 0x9B, G: 0x24, B: 0x23}
)

// Has says whether there is a drawing for an ISO 7010 number such as "W012".
func Has(code string) bool {
	_, ok := table[code]
	return ok
}

// Meaning is what the sign of a number says, in words; empty without one.
func Meaning(code string) string { return table[code].meaning }

// Codes is how many signs there are.
func Codes() []string {
	codes := make([]string, 0, len(table))
	for code := range table {
		codes = append(codes, code)
	}
	return codes
}

// Draw is the sign of a number with the top left corner of its square at x
// and y; nil where there is no drawing.
func Draw(code string, x, y, size draw.Unit) []draw.Item {
	shapes, ok := built()[code]
	if !ok {
		return nil
	}
	items := make([]draw.Item, len(shapes))
	for i, s := range shapes {
		ink := s.ink
		items[i] = draw.Path{Segs: placed(s.segs, x, y, size), Fill: &ink}
	}
	return items
}

// shape is a filled outline in a square of 1000.
type shape struct {
	ink  draw.Ink
	segs []seg
}

type seg struct {
	op draw.Op
	p  [3]point
}

type point struct{ x, y float64 }

func placed(segs []seg, x, y, size draw.Unit) []draw.Seg {
	at := func(p point) draw.Point {
		return draw.Point{
			X: x + draw.Unit(math.Round(p.x*float64(size)/1000)),
			Y: y + draw.Unit(math.Round(p.y*float64(size)/1000)),
		}
	}
	out := make([]draw.Seg, len(segs))
	for i, s := range segs {
		out[i] = draw.Seg{Op: s.op, P: [3]draw.Point{at(s.p[0]), at(s.p[1]), at(s.p[2])}}
	}
	return out
}

// built are all drawings, made once.
var built = sync.OnceValue(func() map[string][]shape {
	all := make(map[string][]shape, len(table))
	for code, s := range table {
		symbol := read(s.drawing, code[0])
		if code[0] == 'W' {
			inward(symbol)
		}
		all[code] = append(base(code), symbol...)
		if code[0] == 'P' {
			// The bar lies over the symbol.
			all[code] = append(all[code], shape{red, capsule(232, 232, 768, 768, 85)})
		}
	}
	return all
})

// inward draws a symbol in towards the middle of the triangle, clear of its
// edge.
func inward(symbol []shape) {
	const by = 0.88
	for _, s := range symbol {
		for i := range s.segs {
			for k, p := range s.segs[i].p {
				s.segs[i].p[k] = point{500 + (p.x-500)*by, 622 + (p.y-640)*by}
			}
		}
	}
}

// base is the shape under the symbol: a triangle warns, a disc orders, a ring
// forbids.
func base(code string) []shape {
	switch code[0] {
	case 'W':
		return []shape{
			{draw.Black, triangle(500, 600, 560, 60)},
			{yellow, triangle(500, 600, 440, 25)},
		}
	case 'M':
		return []shape{{blue, circle(500, 500, 495)}}
	case 'P':
		return []shape{{red, circle(500, 500, 495)}, {draw.White, circle(500, 500, 395)}}
	}
	return nil
}

// triangle is an equilateral triangle, point up, with rounded corners: its
// middle, the distance of its corners from it, and the room taken off them.
func triangle(cx, cy, r, round float64) []seg {
	var c [3]point
	for i := range c {
		a := -math.Pi/2 + float64(i)*2*math.Pi/3
		c[i] = point{cx + r*math.Cos(a), cy + r*math.Sin(a)}
	}
	var out []seg
	for i := range c {
		before, after := c[(i+2)%3], c[(i+1)%3]
		from, to := towards(c[i], before, round), towards(c[i], after, round)
		op := draw.LineTo
		if i == 0 {
			op = draw.MoveTo
		}
		out = append(out, seg{op, [3]point{from}}, seg{draw.CurveTo, [3]point{
			towards(c[i], before, round/3), towards(c[i], after, round/3), to,
		}})
	}
	return append(out, seg{op: draw.Close})
}

// towards is the point a length away from a in the direction of b.
func towards(a, b point, length float64) point {
	d := math.Hypot(b.x-a.x, b.y-a.y)
	return point{a.x + (b.x-a.x)*length/d, a.y + (b.y-a.y)*length/d}
}

// bow is the arm of a Bézier curve that draws a quarter of a circle of radius
// 1 to within 0.03 %.
const bow = 0.5523

func circle(cx, cy, r float64) []seg {
	k := r * bow
	return []seg{
		{draw.MoveTo, [3]point{{cx + r, cy}}},
		{draw.CurveTo, [3]point{{cx + r, cy + k}, {cx + k, cy + r}, {cx, cy + r}}},
		{draw.CurveTo, [3]point{{cx - k, cy + r}, {cx - r, cy + k}, {cx - r, cy}}},
		{draw.CurveTo, [3]point{{cx - r, cy - k}, {cx - k, cy - r}, {cx, cy - r}}},
		{draw.CurveTo, [3]point{{cx + k, cy - r}, {cx + r, cy - k}, {cx + r, cy}}},
		{op: draw.Close},
	}
}

// capsule is a stroke with round ends.
func capsule(x1, y1, x2, y2, width float64) []seg {
	r := width / 2
	d := math.Hypot(x2-x1, y2-y1)
	if d == 0 {
		return circle(x1, y1, r)
	}
	// Along and across the stroke.
	ax, ay := (x2-x1)/d*r, (y2-y1)/d*r
	nx, ny := -ay, ax
	k := bow
	return []seg{
		{draw.MoveTo, [3]point{{x1 + nx, y1 + ny}}},
		{draw.LineTo, [3]point{{x2 + nx, y2 + ny}}},
		{draw.CurveTo, [3]point{{x2 + nx + k*ax, y2 + ny + k*ay}, {x2 + ax + k*nx, y2 + ay + k*ny}, {x2 + ax, y2 + ay}}},
		{draw.CurveTo, [3]point{{x2 + ax - k*nx, y2 + ay - k*ny}, {x2 - nx + k*ax, y2 - ny + k*ay}, {x2 - nx, y2 - ny}}},
		{draw.LineTo, [3]point{{x1 - nx, y1 - ny}}},
		{draw.CurveTo, [3]point{{x1 - nx - k*ax, y1 - ny - k*ay}, {x1 - ax - k*nx, y1 - ay - k*ny}, {x1 - ax, y1 - ay}}},
		{draw.CurveTo, [3]point{{x1 - ax + k*nx, y1 - ay + k*ny}, {x1 + nx - k*ax, y1 + ny - k*ay}, {x1 + nx, y1 + ny}}},
		{op: draw.Close},
	}
}

// read turns a drawing into shapes. A drawing is a row of words: a colour (b,
// w, y, u for black, white, yellow, blue), O for a disc (middle, radius), K for
// a stroke with round ends (from, to, width), P for a polygon (its corners).
func read(drawing string, kind byte) []shape {
	ink := draw.Black
	if kind == 'M' {
		ink = draw.White
	}
	var out []shape
	words := strings.Fields(drawing)
	for i := 0; i < len(words); {
		command := words[i]
		i++
		var n []float64
		for i < len(words) {
			v, err := strconv.ParseFloat(words[i], 64)
			if err != nil {
				break
			}
			n = append(n, v)
			i++
		}
		switch {
		case command == "b":
			ink = draw.Black
		case command == "w":
			ink = draw.White
		case command == "y":
			ink = yellow
		case command == "u":
			ink = blue
		case command == "O" && len(n) == 3:
			out = append(out, shape{ink, circle(n[0], n[1], n[2])})
		case command == "K" && len(n) == 5:
			out = append(out, shape{ink, capsule(n[0], n[1], n[2], n[3], n[4])})
		case command == "P" && len(n) >= 6 && len(n)%2 == 0:
			segs := []seg{{draw.MoveTo, [3]point{{n[0], n[1]}}}}
			for k := 2; k < len(n); k += 2 {
				segs = append(segs, seg{draw.LineTo, [3]point{{n[k], n[k+1]}}})
			}
			out = append(out, shape{ink, append(segs, seg{op: draw.Close})})
		default:
			panic("signs: a drawing holds the word " + command + ", which is none")
		}
	}
	return out
}
