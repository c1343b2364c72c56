package rules

import (
	"math"
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

var sizeDoesNotFit = check.Rule{
	ID: "size-does-not-fit", Severity: diag.Warning, Concern: diag.Grade,
	Title: "Areas, lengths, wall and mass can be those of a piece of that size.",
	Why: "64 mm² where 64 cm² was meant makes every minute, gram and depth reckoned from it wrong by a hundred, and the sheet carries the slip to the bench. " +
		"The figures are held against the size of the piece.",
	Source: "geometry: the faces of a block or a cylinder of that size; a wide margin for what is neither is common practice",
	Quiet: "the piece has no size (then only a wall of what is not hollow is asked about), two sides are those of a sheet, the surface is a groove, a hole, a stub or facets (of those only what is more than the whole piece has is asked about), " +
		"or the figure is not a hundred times too small for a whole face, a rim no narrower than half a millimetre, and no more than the piece has",
	Bad:  "- {name: base, shape: flat, area: 50 mm²}   (of a weight 80 mm across)",
	Good: "- {name: base, shape: flat, area: 50 cm²}",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := c.Recipe
		askForm(&r.Piece, found)
		b, ok := boxOf(r.Piece.Size)
		if !ok {
			return
		}
		for _, f := range oversized(r, sizeFaults(c)) {
			found(f)
		}
		p := &r.Piece
		if wall := p.Wall; wall.OK && wall.Value.In(quantity.Millimetre) >= b.sides[0]/2 {
			found(check.Finding{
				Span:    wall.Span,
				Message: "A wall of " + wall.Span.Text() + " leaves no hollow in a piece of " + p.Size.Span.Text() + ".",
				Help:    "Look whether the wall or the size is a slip of the pen. `wall:` is the thinnest place of a hollow piece.",
			})
		}
		askMass(c, found)
		b.askShell(c, found)
	},
}

type sizeKey struct{}

// sizeFaults are the areas and lengths that cannot be those of the piece, worked
// out once: what the model would say of such a surface is the same fault again.
func sizeFaults(c *check.Context) []check.Finding {
	return c.Once(sizeKey{}, func() any {
		var faults []check.Finding
		if b, ok := boxOf(c.Recipe.Piece.Size); ok {
			for i := range c.Recipe.Surfaces {
				keep := func(f check.Finding) { faults = append(faults, f) }
				b.askArea(&c.Recipe.Surfaces[i], keep)
				b.askLength(&c.Recipe.Surfaces[i], keep)
				b.askWidth(&c.Recipe.Surfaces[i], keep)
			}
		}
		return faults
	}).([]check.Finding)
}

// sizeDoubted says whether the area or the length of a surface is so far off that
// nothing can be reckoned from it: an area a little too large is still near enough.
func sizeDoubted(c *check.Context, s *recipe.Surface) bool {
	const far = 5 // times the largest face: an inch for a centimetre makes 6.5
	if !slices.ContainsFunc(sizeFaults(c), func(f check.Finding) bool { return f.Surface == s.Name.Value }) {
		return false
	}
	b, _ := boxOf(c.Recipe.Piece.Size)
	if b.tooWide(s) {
		return true
	}
	area, largest := areaOf(s)*100, slices.Max(b.faces)
	return area <= largest || area > far*largest
}

// oversized makes one finding of several lengths that are all more than the piece
// has: its own size is then the likelier slip.
func oversized(r *recipe.Recipe, faults []check.Finding) []check.Finding {
	var long several
	var at []diag.Site
	for _, f := range faults {
		for i := range r.Surfaces {
			if s := &r.Surfaces[i]; s.Name.Value == f.Surface && f.Span == s.Length.Span {
				long, at = append(long, s), append(at, diag.Site{Span: f.Span})
			}
		}
	}
	if len(long) < 2 {
		return faults
	}
	faults = slices.DeleteFunc(slices.Clone(faults), func(f check.Finding) bool {
		return slices.ContainsFunc(at, func(s diag.Site) bool { return s.Span == f.Span })
	})
	size := r.Piece.Size.Span
	return append(faults, check.Finding{
		Span: size, Surface: long.first(), Also: at,
		Message: capital(long.the()) + " are each longer than all edges of a piece of " + size.Text() + " together.",
		Help:    "Look whether the size of the piece or its unit is a slip of the pen, or whether the lengths are.",
	})
}

// askForm asks about a wall of what is not hollow, and about a piece that is no
// sheet and has two sides: nobody can reckon its mass.
func askForm(p *recipe.Piece, found func(check.Finding)) {
	if p.Wall.OK && p.Hollow.OK && !p.Hollow.Value {
		found(check.Finding{
			Span:    p.Hollow.Span,
			Message: "The piece is said not to be hollow, and a wall of " + p.Wall.Span.Text() + " is written. One of the two is wrong, and hollow ware is held more lightly.",
			Help:    "Write `hollow: true`, or take `wall:` out.",
		})
	}
	if s := p.Size; s.OK && len(s.Value.Sides) == 2 && p.Form.OK && p.Form.Value != "sheet" && !p.Mass.Written() {
		found(check.Finding{
			Span:    s.Span,
			Message: "A size of " + s.Span.Text() + " is two sides of a block or a round piece without its `dia`, so that nobody can say what it weighs.",
			Help:    "Write the third side, as in `120 x 80 x 40 mm`, or the diameter, as in `80 mm dia x 45 mm`.",
		})
	}
}

// askMass asks about a mass that no piece of the size has: heavier than solid, or
// next to nothing.
func askMass(c *check.Context, found func(check.Finding)) {
	const (
		over  = 1.4   // the size is written rounded, and the glass may be a heavier one
		under = 0.005 // the thinnest ware is some hundredths of the solid
	)
	solid, mass := c.Plan.MassAtMost, c.Recipe.Piece.Mass
	if !mass.OK || solid <= 0 {
		return
	}
	f := check.Finding{Span: mass.Span, Help: "Look whether the mass or its unit is a slip of the pen."}
	switch kg := mass.Value.In(quantity.Kilogram); {
	case kg > over*solid:
		f.Message = "The mass of " + mass.Span.Text() + " is more than a solid piece of " + c.Recipe.Piece.Size.Span.Text() + " weighs, which is about " + two(solid) + " kg."
	case kg < under*solid:
		f.Message = "The mass of " + mass.Span.Text() + " is next to nothing for a piece of " + c.Recipe.Piece.Size.Span.Text() + "; solid it would weigh about " + two(solid) + " kg."
	default:
		return
	}
	found(f)
}

// askShell asks about a wall so thick that the piece would weigh many times what is
// written.
func (b *box) askShell(c *check.Context, found func(check.Finding)) {
	const least = 0.25 // of a cylinder or box of that wall: a bowl that opens has a third to a half of it
	p := &c.Recipe.Piece
	solid := c.Plan.MassAtMost
	if !p.Wall.OK || !p.Mass.OK || solid <= 0 || p.Hollow.OK && !p.Hollow.Value {
		return
	}
	wall := p.Wall.Value.In(quantity.Millimetre)
	outer, inner := 1.0, 1.0
	for i, side := range b.sides {
		outer *= side
		if i == 0 {
			inner *= side - wall // open at one end
		} else {
			inner *= side - 2*wall
		}
	}
	if wall >= b.sides[0]/2 || inner <= 0 {
		return
	}
	shell := solid * (1 - inner/outer)
	if kg := p.Mass.Value.In(quantity.Kilogram); kg < least*shell {
		found(check.Finding{
			Span:    p.Wall.Span,
			Message: "With a wall of " + p.Wall.Span.Text() + " a piece of " + b.words + " weighs about " + two(shell) + " kg, and " + p.Mass.Span.Text() + " is written.",
			Help:    "Look whether the wall, the mass or one of their units is a slip of the pen.",
		})
	}
}

// box is the size of a piece.
type box struct {
	words string
	// sides in mm, the shortest first.
	sides []float64
	// faces are the areas in mm² of the faces it has, all the area of all of them,
	// edges the length in mm of all its edges.
	faces      []float64
	all, edges float64
	// across is the diameter in mm, 0 for a block.
	across float64
}

func boxOf(size recipe.Field[recipe.Size]) (box, bool) {
	if !size.OK {
		return box{}, false
	}
	b := box{words: size.Span.Text()}
	s := size.Value
	switch {
	case s.Diameter.Written() && s.Height.Written():
		d, h := s.Diameter.In(quantity.Millimetre), s.Height.In(quantity.Millimetre)
		b.across, b.sides = d, []float64{d, d, h}
		b.faces = []float64{math.Pi / 4 * d * d, math.Pi * d * h}
		b.all, b.edges = 2*b.faces[0]+b.faces[1], 4*math.Pi*d+4*h
	case len(s.Sides) == 3:
		for _, side := range s.Sides {
			b.sides = append(b.sides, side.In(quantity.Millimetre))
		}
		x, y, z := b.sides[0], b.sides[1], b.sides[2]
		b.faces = []float64{x * y, x * z, y * z}
		b.all, b.edges = 2*(x*y+x*z+y*z), 4*(x+y+z)
	default:
		return box{}, false
	}
	slices.Sort(b.sides)
	return b, b.sides[0] > 0
}

// Shapes that are as large as a face of the piece, and those of which there is
// no telling how small they are.
var (
	wholeFaces = wordSet("flat relief convex inside")
	anySize    = wordSet("groove hole stub facets")
)

// askArea asks about the area of one face.
func (b *box) askArea(s *recipe.Surface, found func(check.Finding)) {
	const (
		mm2     = 100   // in a cm²
		inch2   = 645.2 // mm² in a square inch
		most    = 4     // times all faces: inside and out, and a relief has more than it covers
		slanted = 1.6   // a plane through the corners of a block has up to √2 of its largest face
	)
	area := areaOf(s) * mm2
	if area <= 0 {
		return
	}
	span, words := s.Area.Span, s.Area.Span.Text()
	if !s.Area.OK {
		span, words = s.Span, two(area/mm2)+" cm²"
		if s.Width.OK {
			span = s.Width.Span
		}
	}
	count := 1.0
	if s.Count.OK {
		count = max(1, float64(s.Count.Value))
	}
	shape := shapeOf(s)
	largest := slices.Max(b.faces)
	switch {
	case shape == "flat" && area > slanted*largest, area*count > most*b.all:
		if area*count > most*b.all && area <= largest {
			if s.Count.OK {
				span = s.Count.Span
			}
			words = itoa(int(count)) + " faces of " + words
		}
		b.tellArea(s, span, words, " is more than a piece of "+b.words+" has", area/mm2, found)
	case wholeFaces[shape] && b.isFace(area*inch2):
		b.tellArea(s, span, words, " is a spot "+two(math.Sqrt(area))+" mm across on a piece of "+b.words, 0, found)
	case wholeFaces[shape] && b.isFace(area*mm2):
		b.tellArea(s, span, words, " is a spot "+two(math.Sqrt(area))+" mm across on a piece of "+b.words, area*mm2, found)
	case shape == "ring" && b.across > 0 && area < b.leastRing():
		b.tellArea(s, span, words, " would be a rim a fraction of a millimetre wide on a piece of "+b.words, 0, found)
	}
}

// isFace says whether an area in mm² is that of a whole face of the piece.
func (b *box) isFace(area float64) bool {
	const near = 0.15
	for _, face := range b.faces {
		if math.Abs(area-face) <= near*face {
			return true
		}
	}
	return false
}

// leastRing is the area in mm² of the narrowest rim on the smallest foot of a
// round piece.
func (b *box) leastRing() float64 {
	const foot, wide = 0.3, 0.5 // share of the diameter, mm
	return math.Pi * foot * b.across * wide
}

// tellArea reports an area; meant is the area in mm² of the same figure in
// another unit where that is a face of the piece, so that it can be named.
func (b *box) tellArea(s *recipe.Surface, span source.Span, words, is string, meant float64, found func(check.Finding)) {
	f := check.Finding{
		Span: span, Surface: s.Name.Value,
		Message: "The area of " + the(s) + ", " + words + "," + is + ".",
		Help:    "Look whether the figure or its unit is a slip of the pen, or whether the size of the piece is.",
	}
	if s.Area.OK && b.isFace(meant) {
		other := ""
		switch s.Area.Value.Unit.Symbol {
		case "mm²":
			other = "cm²"
		case "cm²":
			other = "mm²"
			if meant > areaOf(s)*100 {
				other = "dm²"
			}
		}
		if other != "" {
			f.Help = "If `area: " + figure(s.Area.Value.Amount) + " " + other + "` is meant, write so. Else look whether the size of the piece is right."
		}
	}
	found(f)
}

// tooWide says whether an edge is wider than a sheet or slab is thick, a mitre
// allowed.
func (b *box) tooWide(s *recipe.Surface) bool {
	const mitre, sheet = 2, 3
	return shapeOf(s) == "edge" && b.across == 0 && b.sides[1] > sheet*b.sides[0] && s.Width.OK && s.Width.Value.In(quantity.Millimetre) > mitre*b.sides[0]
}

// askWidth asks about the width of the edge of a sheet or slab.
func (b *box) askWidth(s *recipe.Surface, found func(check.Finding)) {
	if !b.tooWide(s) {
		return
	}
	found(check.Finding{
		Span: s.Width.Span, Surface: s.Name.Value,
		Message: capital(the(s)) + verb(s, " is ", " are ") + s.Width.Span.Text() + " wide, and a piece of " + b.words + " has no edge of that width.",
		Help:    "Look whether the width or its unit is a slip of the pen. `width:` is across the edge, `length:` along it.",
	})
}

// askLength asks about the length of an edge, an arris or a bevel.
func (b *box) askLength(s *recipe.Surface, found func(check.Finding)) {
	const most = 4 // times all edges: a worked edge has two arrises
	shape := shapeOf(s)
	if !s.Length.OK || anySize[shape] || shape != "edge" && shape != "arris" && shape != "bevel" {
		return
	}
	length := s.Length.Value.In(quantity.Millimetre)
	if s.Count.OK {
		length *= max(1, float64(s.Count.Value))
	}
	if length > most*b.edges {
		found(check.Finding{
			Span: s.Length.Span, Surface: s.Name.Value,
			Message: capital(the(s)) + verb(s, " is ", " are ") + two(length/1000) + " m long, and all edges of a piece of " + b.words + " come to " + two(b.edges/1000) + " m.",
			Help:    "Look whether the length or its unit is a slip of the pen. `length:` is that of one where a count is written.",
		})
	}
}
