package layout

import (
	"math"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
)

// The lamp figure in mm: its width, the piece with its middle, and how far lamp
// and eye stand off.
const (
	lampWidth    = 27
	lampPiece    = 11.3
	lampThick    = 2
	lampReach    = 10.4
	lampSteepest = 70
)

// lamp sets the side view of a lamp mirrored in a face, with its words beside
// it, as a figure of the right column.
func (s *stepSetter) lamp(f sheet.Lamp) []atom {
	x, width := s.right-pictureColumn, pictureColumn
	if len(s.decor) > 0 {
		x, width = x+draw.MM(2), width-draw.MM(2)
	}
	wordsX := x + draw.MM(lampWidth+1.6)
	lines := s.text.lines(spans(regular(smallSize), f.Words), measure{width: x + width - wordsX})
	items, height := lampItems(x, f.Degrees)
	pitch := leading(smallSize)
	set := pitch * draw.Unit(len(lines))
	total := max(height, set)
	if down := total - height; down > 0 {
		for i := range items {
			items[i] = moved(items[i], 0, down)
		}
	}
	// The words stand at the height of the middle of the drawing.
	top := (total - set) / 2
	var words []draw.Item
	for i, ln := range lines {
		words = ln.put(words, wordsX, top+pitch*draw.Unit(i)+above(smallSize))
	}
	return []atom{{above: draw.MM(1), height: total + draw.MM(.6), runs: []run{
		{key: s.key(), role: draw.Figure, alt: f.Alt, items: items},
		{key: s.key(), role: draw.Caption, items: words},
	}}}
}

// lampItems draws the side view from x on and says how high it is.
func lampItems(x draw.Unit, degrees float64) ([]draw.Item, draw.Unit) {
	down := degrees >= 90
	angle := min(degrees, lampSteepest) * math.Pi / 180
	reach, foot := lampReach*math.Cos(angle), 0.0
	rise := lampReach * math.Sin(angle)
	if down {
		// Lamp and eye stand side by side over the piece.
		rise, reach, foot = 7.2, 2.1, 2.1
	}
	const half = 1.7 // half the height of eye and lamp
	mid := float64(lampWidth) / 2
	face := rise + half
	at := func(mx, my float64) draw.Point { return pt(x+draw.MM(mx), draw.MM(my)) }
	hair, line := draw.MM(.25), draw.MM(.5)
	lamp, eye := at(mid-reach, half), at(mid+reach, half)
	items := []draw.Item{
		draw.Rect{At: at(mid-lampPiece/2, face), Width: draw.MM(lampPiece), Height: draw.MM(lampThick), Stroke: line},
		draw.Line{From: lamp, To: at(mid-foot, face), Width: hair},
		draw.Line{From: at(mid+foot, face), To: eye, Width: hair},
	}
	if down {
		// A square corner: straight down is square to the face.
		const corner = 1.5
		items = append(items,
			draw.Line{From: at(mid+foot, face-corner), To: at(mid+foot+corner, face-corner), Width: hair},
			draw.Line{From: at(mid+foot+corner, face-corner), To: at(mid+foot+corner, face), Width: hair})
	} else {
		items = append(items, lampArc(at(mid, face), draw.MM(6.6), angle, hair), levelLine(at, mid, face, hair))
	}
	// The lamp turns its open side to the piece.
	turn := angle
	if down {
		turn = math.Pi / 2
	}
	items = append(items, lampHead(lamp, turn)...)
	items = append(items, eyeShape(eye)...)
	return items, draw.MM(face + lampThick + .3)
}

// levelLine carries the face on to the left, so that the arc has a level to
// stand on.
func levelLine(at func(x, y float64) draw.Point, mid, face float64, width draw.Unit) draw.Item {
	return draw.Line{From: at(mid-8.2, face), To: at(mid-lampPiece/2, face), Width: width}
}

// lampArc runs from level up to the ray at the left of a point.
func lampArc(c draw.Point, r draw.Unit, angle float64, width draw.Unit) draw.Item {
	k := 4.0 / 3 * math.Tan(angle/4)
	at := func(ux, uy float64) draw.Point {
		return pt(c.X-draw.Unit(math.Round(float64(r)*ux)), c.Y-draw.Unit(math.Round(float64(r)*uy)))
	}
	sin, cos := math.Sincos(angle)
	return draw.Path{Stroke: width, Segs: []draw.Seg{
		{Op: draw.MoveTo, P: [3]draw.Point{at(1, 0)}},
		{Op: draw.CurveTo, P: [3]draw.Point{at(1, k), at(cos+k*sin, sin-k*cos), at(cos, sin)}},
	}}
}

// lampHead is a solid shade with a round back, at the end of a ray that comes
// down to the right at an angle.
func lampHead(p draw.Point, angle float64) []draw.Item {
	sin, cos := math.Sincos(angle)
	at := func(along, side float64) draw.Point {
		return pt(p.X+draw.MM(along*cos-side*sin), p.Y+draw.MM(along*sin+side*cos))
	}
	return []draw.Item{filled(draw.Black, []draw.Seg{
		{Op: draw.MoveTo, P: [3]draw.Point{at(.5, -1.35)}},
		{Op: draw.LineTo, P: [3]draw.Point{at(.5, 1.35)}},
		{Op: draw.LineTo, P: [3]draw.Point{at(-.8, 1.35)}},
		{Op: draw.CurveTo, P: [3]draw.Point{at(-2.6, .9), at(-2.6, -.9), at(-.8, -1.35)}},
		{Op: draw.Close},
	})}
}

// eyeShape is an open eye around a point.
func eyeShape(c draw.Point) []draw.Item {
	at := func(mx, my float64) draw.Point { return pt(c.X+draw.MM(mx), c.Y+draw.MM(my)) }
	white := draw.White
	return []draw.Item{
		draw.Path{Fill: &white, Stroke: draw.MM(.35), Segs: []draw.Seg{
			{Op: draw.MoveTo, P: [3]draw.Point{at(-1.8, 0)}},
			{Op: draw.CurveTo, P: [3]draw.Point{at(-.8, -1.5), at(.8, -1.5), at(1.8, 0)}},
			{Op: draw.CurveTo, P: [3]draw.Point{at(.8, 1.5), at(-.8, 1.5), at(-1.8, 0)}},
			{Op: draw.Close},
		}},
		filled(draw.Black, disc(c, draw.MM(.65))),
	}
}
