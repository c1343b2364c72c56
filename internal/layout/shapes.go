package layout

import (
	"math"

	"coldwright/internal/draw"
	"coldwright/internal/trade"
)

// The colours of signal panels, by signal word, with the text on them.
// Contrast by WCAG 2.2: WARNING 7.0, CAUTION 12.5, NOTICE 8.1, DANGER 7.9.
var signals = map[trade.Signal]struct {
	fill, text draw.Ink
	// alert is true where the alert triangle stands before the word: wherever
	// somebody can be hurt (ANSI Z535.6).
	alert bool
}{
	trade.Danger:  {draw.Ink{R: 0x9B, G: 0x24, B: 0x23}, draw.White, true},
	trade.Warning: {draw.Ink{R: 0xE5, G: 0x78, B: 0x00}, draw.Black, true},
	trade.Caution: {draw.Ink{R: 0xF2, G: 0xC2, B: 0x00}, draw.Black, true},
	trade.Notice:  {draw.Ink{R: 0x00, G: 0x53, B: 0x87}, draw.White, false},
}

// signalOf is the signal word, the mildest where none is given.
func signalOf(s trade.Signal) trade.Signal {
	if _, ok := signals[s]; !ok {
		return trade.Notice
	}
	return s
}

func pt(x, y draw.Unit) draw.Point { return draw.Point{X: x, Y: y} }

// polygon is a closed shape through points.
func polygon(points ...draw.Point) []draw.Seg {
	segs := make([]draw.Seg, 0, len(points)+1)
	for i, p := range points {
		op := draw.LineTo
		if i == 0 {
			op = draw.MoveTo
		}
		segs = append(segs, draw.Seg{Op: op, P: [3]draw.Point{p}})
	}
	return append(segs, draw.Seg{Op: draw.Close})
}

func filled(ink draw.Ink, segs []draw.Seg) draw.Path { return draw.Path{Segs: segs, Fill: &ink} }

func box(x, y, w, h draw.Unit, ink draw.Ink) draw.Rect {
	return draw.Rect{At: pt(x, y), Width: w, Height: h, Fill: &ink}
}

// tickBox is a box to tick, 4.2 mm, on the line with baseline base.
func tickBox(x, base draw.Unit, ticked bool) run {
	side, stroke := draw.MM(3.9), draw.MM(.3)
	x += stroke / 2
	top := base - draw.MM(3.1)
	items := []draw.Item{draw.Rect{At: pt(x, top), Width: side, Height: side, Stroke: stroke}}
	if ticked {
		items = append(items,
			draw.Line{From: pt(x+draw.MM(.8), top+draw.MM(2)), To: pt(x+draw.MM(1.6), top+draw.MM(3)), Width: draw.MM(.5)},
			draw.Line{From: pt(x+draw.MM(1.6), top+draw.MM(3)), To: pt(x+draw.MM(3.2), top+draw.MM(.8)), Width: draw.MM(.5)})
	}
	return run{role: draw.Artifact, items: items}
}

// alert is the safety alert triangle: an edge and mark of one ink round a fill.
// size is its width; its base stands on y.
func alert(x, y, size draw.Unit, edge, fill draw.Ink) []draw.Item {
	h := size * 88 / 100
	at := func(fx, fy int64) draw.Point {
		return pt(x+size*draw.Unit(fx)/1000, y-h+h*draw.Unit(fy)/1000)
	}
	return []draw.Item{
		filled(edge, rounded(size/12, at(500, 0), at(1000, 1000), at(0, 1000))),
		filled(fill, rounded(size/30, at(500, 170), at(865, 915), at(135, 915))),
		filled(edge, polygon(at(445, 360), at(555, 360), at(535, 680), at(465, 680))),
		filled(edge, disc(at(500, 790), size*6/100)),
	}
}

// rounded is a closed shape with room taken off its corners.
func rounded(room draw.Unit, points ...draw.Point) []draw.Seg {
	n := len(points)
	var segs []draw.Seg
	toward := func(a, b draw.Point, by draw.Unit) draw.Point {
		dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
		f := float64(by) / math.Hypot(dx, dy)
		return pt(a.X+draw.Unit(math.Round(dx*f)), a.Y+draw.Unit(math.Round(dy*f)))
	}
	for i, c := range points {
		before, after := points[(i+n-1)%n], points[(i+1)%n]
		op := draw.LineTo
		if i == 0 {
			op = draw.MoveTo
		}
		segs = append(segs,
			draw.Seg{Op: op, P: [3]draw.Point{toward(c, before, room)}},
			draw.Seg{Op: draw.CurveTo, P: [3]draw.Point{toward(c, before, room/3), toward(c, after, room/3), toward(c, after, room)}})
	}
	return append(segs, draw.Seg{Op: draw.Close})
}

// disc is a circle as four curves.
func disc(c draw.Point, r draw.Unit) []draw.Seg {
	k := draw.Unit(math.Round(float64(r) * .5523))
	x, y := c.X, c.Y
	return []draw.Seg{
		{Op: draw.MoveTo, P: [3]draw.Point{pt(x+r, y)}},
		{Op: draw.CurveTo, P: [3]draw.Point{pt(x+r, y+k), pt(x+k, y+r), pt(x, y+r)}},
		{Op: draw.CurveTo, P: [3]draw.Point{pt(x-k, y+r), pt(x-r, y+k), pt(x-r, y)}},
		{Op: draw.CurveTo, P: [3]draw.Point{pt(x-r, y-k), pt(x-k, y-r), pt(x, y-r)}},
		{Op: draw.CurveTo, P: [3]draw.Point{pt(x+k, y-r), pt(x+r, y-k), pt(x+r, y)}},
		{Op: draw.Close},
	}
}

// octagon stands around a middle, its flats a distance of half from it.
func octagon(c draw.Point, half draw.Unit) []draw.Seg {
	// tan 22.5°: half a side of an octagon of half-width 1.
	s := draw.Unit(math.Round(float64(half) * .41421))
	return polygon(
		pt(c.X-s, c.Y-half), pt(c.X+s, c.Y-half), pt(c.X+half, c.Y-s), pt(c.X+half, c.Y+s),
		pt(c.X+s, c.Y+half), pt(c.X-s, c.Y+half), pt(c.X-half, c.Y+s), pt(c.X-half, c.Y-s))
}

// forward is the solid triangle before "Move on when".
func forward(x, base draw.Unit) run {
	top, h, w := base-draw.MM(2.6), draw.MM(2.7), draw.MM(2.9)
	x += draw.MM(.4)
	return run{role: draw.Artifact, items: []draw.Item{
		filled(draw.Black, polygon(pt(x, top), pt(x+w, top+h/2), pt(x, top+h))),
	}}
}

// hooked is the arrow that turns back, before "If not, go back to". It differs
// from forward in shape and direction.
func hooked(x, base draw.Unit) run {
	x += draw.MM(.2)
	at := func(mx, my float64) draw.Point { return pt(x+draw.MM(mx), base+draw.MM(my)) }
	return run{role: draw.Artifact, items: []draw.Item{
		filled(draw.Black, polygon(at(0, -1.75), at(1.5, -3.2), at(1.5, -.3))),
		draw.Path{
			Segs: []draw.Seg{
				{Op: draw.MoveTo, P: [3]draw.Point{at(1.3, -1.75)}},
				{Op: draw.LineTo, P: [3]draw.Point{at(2.3, -1.75)}},
				{Op: draw.CurveTo, P: [3]draw.Point{at(3.6, -1.75), at(3.6, .35), at(2.3, .35)}},
				{Op: draw.LineTo, P: [3]draw.Point{at(1, .35)}},
			},
			Stroke: draw.MM(.65),
		},
	}}
}

// halt is the small octagon before a checkpoint that ends the work.
func halt(x, base draw.Unit) run {
	c := pt(x+draw.MM(2.1), base-draw.MM(1.25))
	return run{role: draw.Artifact, items: []draw.Item{
		filled(draw.Black, octagon(c, draw.MM(2))),
		filled(draw.White, octagon(c, draw.MM(1.45))),
		filled(draw.Black, octagon(c, draw.MM(1.15))),
	}}
}
