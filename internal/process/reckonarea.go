package process

import (
	"math"
	"slices"

	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
)

// faceArea is the area of one face of a surface: as written, else length x
// width, else what the size of the piece makes of a surface of that shape. Where
// there is none it says why in a sentence.
func (p *Plan) faceArea(s *recipe.Surface) (Input, string) {
	const ask = "write its area, or its length and width."
	if s.Area.Written() && !s.Area.OK || s.Length.Written() && !s.Length.OK || s.Width.Written() && !s.Width.OK {
		return Input{}, "The area of this surface could not be read, so nothing can be reckoned for it: " + ask
	}
	area, standing := 0.0, Written
	switch {
	case s.Area.OK:
		area = s.Area.Value.In(quantity.SquareMetre)
	case s.Length.OK:
		width := s.Width.Value.In(quantity.Metre)
		if !s.Width.OK {
			width, standing = p.usualWidth(s), Default
		}
		area = s.Length.Value.In(quantity.Metre) * width
	default:
		area, standing = p.areaBySize(s), Default
	}
	if !(area > 0) || math.IsInf(area, 1) {
		return Input{}, "The area of this surface is not written, so nothing can be reckoned for it: " + ask
	}
	return Input{area, standing}, ""
}

// block is the size of a piece in m: its sides from the longest to the
// shortest, or a diameter and a height.
type block struct {
	long, wide, thick float64
	across, high      float64
}

func (p *Plan) block() (b block, ok bool) {
	size := p.Recipe.Piece.Size
	if !size.OK {
		return b, false
	}
	if size.Value.Diameter.Written() {
		b.across, b.high = size.Value.Diameter.In(quantity.Metre), size.Value.Height.In(quantity.Metre)
		return b, b.across > 0 && b.high > 0
	}
	if len(size.Value.Sides) != 3 {
		return b, false
	}
	sides := make([]float64, 0, 3)
	for _, side := range size.Value.Sides {
		sides = append(sides, side.In(quantity.Metre))
	}
	slices.Sort(sides)
	b.thick, b.wide, b.long = sides[0], sides[1], sides[2]
	return b, b.thick > 0
}

// usualWidth in m is the width of a surface whose length alone is written: that
// of a seam, or how thick the piece is at its edge.
func (p *Plan) usualWidth(s *recipe.Surface) float64 {
	switch shapeName(s) {
	case "arris", "bevel":
		return usual("arris.width") / 1000
	case "edge":
		if b, ok := p.block(); ok {
			return max(b.thick, b.high)
		}
	}
	return 0
}

// areaBySize in m² is that of one face by its shape and the size of the piece,
// for want of a written one; 0 where the size says nothing of it. Where no size
// is written either, a face is one of 100 cm², on which the trade gives its
// minutes.
func (p *Plan) areaBySize(s *recipe.Surface) float64 {
	shape := shapeName(s)
	b, ok := p.block()
	round := math.Pi / 4 * b.across * b.across
	switch shape {
	case "flat", "relief", "convex", "concave", "facets", "inside":
		switch {
		case !ok:
			return usual("face.area") / 1e4
		case b.across > 0 && shape == "facets":
			return math.Pi * b.across * b.high
		case b.across > 0:
			return round
		case s.Count.Value == 6:
			return (b.long*b.wide + b.long*b.thick + b.wide*b.thick) / 3
		}
		return b.long * b.wide
	case "ring":
		wall := p.Recipe.Piece.Wall.Value.In(quantity.Metre)
		if p.Recipe.Piece.Wall.OK && b.across > wall {
			return math.Pi * (b.across - wall) * wall
		}
	case "edge":
		return b.around() * max(b.thick, b.high)
	case "arris":
		if s.Count.Value > 1 {
			return 0
		}
		corners := 2 * b.around()
		if b.thick > 0 {
			corners += 4 * b.thick
		}
		return corners * usual("arris.width") / 1000
	}
	return 0
}

// around is the way round the piece in m.
func (b block) around() float64 { return 2*(b.long+b.wide) + math.Pi*b.across }

func shapeName(s *recipe.Surface) string {
	if s.Shape.Value == nil {
		return ""
	}
	return s.Shape.Value.Name
}
