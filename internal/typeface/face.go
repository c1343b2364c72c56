// Package typeface is the four faces of IBM Plex Sans that sheets are set in:
// which characters they hold, how wide text runs, and the glyphs a PDF needs.
//
// Every Face is read once per process and never changes, so that any number of
// goroutines can share it. All measures are whole numbers and rounded in one
// way, so that the same text takes the same room on every machine.
//
// The faces are embedded as their makers published them, under the SIL Open
// Font License 1.1 (fonts/OFL.txt); they may not be altered under their name.
package typeface

import (
	_ "embed"
	"fmt"
	"sync"

	"coldwright/internal/draw"
)

var (
	//go:embed fonts/IBMPlexSans-Regular.ttf
	regular []byte
	//go:embed fonts/IBMPlexSans-Italic.ttf
	italic []byte
	//go:embed fonts/IBMPlexSans-SemiBold.ttf
	semiBold []byte
	//go:embed fonts/IBMPlexSans-Bold.ttf
	bold []byte

	//go:embed fonts/OFL.txt
	licence string
)

// Styles are the styles Get has a face for, in the order of draw.Style.
var Styles = [...]draw.Style{draw.Regular, draw.Italic, draw.SemiBold, draw.Bold}

var faces = [...]func() *Face{
	draw.Regular:  once("Regular", regular),
	draw.Italic:   once("Italic", italic),
	draw.SemiBold: once("SemiBold", semiBold),
	draw.Bold:     once("Bold", bold),
}

// once reads a face the first time it is asked for. An embedded face that
// cannot be read is a broken build, which no caller can mend.
func once(name string, file []byte) func() *Face {
	return sync.OnceValue(func() *Face {
		f, err := Parse(file)
		if err != nil {
			panic(fmt.Sprintf("typeface: the embedded face %s: %v", name, err))
		}
		return f
	})
}

// Get is the face for a style. A style outside draw's four is set in Regular.
func Get(style draw.Style) *Face {
	if style < 0 || int(style) >= len(faces) {
		style = draw.Regular
	}
	return faces[style]()
}

// Licence is the text of the licence the faces come under.
func Licence() string { return licence }

// Face is one face, read from a TrueType file. It is immutable.
type Face struct {
	name   string
	tables map[string]table
	// em is the number of font units in the size of the face.
	em int
	// loca has where each glyph's outline begins in glyf, and one more.
	loca     []uint32
	advances []uint16
	// long is how many glyphs have an entry of their own in hmtx.
	long int
	// glyphs maps a character to its glyph in pages of 256; nil is an empty page.
	glyphs [256]*[256]uint16

	ascent, descent, capHeight, xHeight int
	weight                              int
	box                                 [4]int
	angle                               float64
}

// Name is the PostScript name of the face, such as IBMPlexSans-Bold.
func (f *Face) Name() string { return f.name }

// UnitsPerEm is the number of font units in the size of the face.
func (f *Face) UnitsPerEm() int { return f.em }

// Glyphs is the number of glyphs in the face, .notdef included.
func (f *Face) Glyphs() int { return len(f.advances) }

// Glyph is the number of the glyph for r, or 0, the glyph that stands for a
// missing character, where the face has none. Nothing above U+FFFF is held.
func (f *Face) Glyph(r rune) uint16 {
	if r < 0x20 || r > 0xFFFF {
		return 0
	}
	page := f.glyphs[r>>8]
	if page == nil {
		return 0
	}
	return page[r&0xFF]
}

// Has reports whether the face holds a glyph for r. Control characters count
// as not held, whatever the face says of them.
func (f *Face) Has(r rune) bool { return f.Glyph(r) != 0 }

// Missing is every character of s the face does not hold, each once, in the
// order they first appear; nil where it holds them all. A byte that is not
// UTF-8 counts as U+FFFD.
func (f *Face) Missing(s string) []rune {
	var out []rune
next:
	for _, r := range s {
		if f.Has(r) {
			continue
		}
		for _, seen := range out {
			if seen == r {
				continue next
			}
		}
		out = append(out, r)
	}
	return out
}

// Advance is how far r moves the pen, in font units (UnitsPerEm to the size).
// A character the face does not hold has the advance of glyph 0.
func (f *Face) Advance(r rune) int { return int(f.advances[f.Glyph(r)]) }

// GlyphAdvance is how far a glyph moves the pen, in font units; 0 for a number
// the face does not have.
func (f *Face) GlyphAdvance(glyph uint16) int {
	if int(glyph) >= len(f.advances) {
		return 0
	}
	return int(f.advances[glyph])
}

// Width is how wide s runs at a size, without kerning or letter spacing. It is
// rounded once, for the whole of s, to the nearest Unit and up from a half.
func (f *Face) Width(s string, size draw.Unit) draw.Unit {
	sum := 0
	for _, r := range s {
		sum += int(f.advances[f.Glyph(r)])
	}
	return f.scale(sum, size)
}

// Ascent is how far the tallest letters with accents rise above the baseline.
func (f *Face) Ascent(size draw.Unit) draw.Unit { return f.scale(f.ascent, size) }

// Descent is how far the lowest letters hang below the baseline, a positive
// length.
func (f *Face) Descent(size draw.Unit) draw.Unit { return f.scale(f.descent, size) }

// CapHeight is the height of a flat capital such as H.
func (f *Face) CapHeight(size draw.Unit) draw.Unit { return f.scale(f.capHeight, size) }

// XHeight is the height of a small letter without an ascender, such as x.
func (f *Face) XHeight(size draw.Unit) draw.Unit { return f.scale(f.xHeight, size) }

// Weight is the weight class of the face by the OpenType specification: 400 is
// regular, 600 semibold, 700 bold.
func (f *Face) Weight() int { return f.weight }

// Box is the smallest rectangle around all glyphs: left, bottom, right, top,
// in font units, up being positive.
func (f *Face) Box() [4]int { return f.box }

// Angle is the slant of the face in degrees from upright, anticlockwise, as
// the OpenType specification counts it: negative for an italic.
func (f *Face) Angle() float64 { return f.angle }

// scale turns font units into a length at a size, rounded half up.
func (f *Face) scale(units int, size draw.Unit) draw.Unit {
	n, em := int64(units)*int64(size), int64(f.em)
	q := (2*n + em) / (2 * em)
	// Division rounds towards zero; half up means towards the floor.
	if (2*n+em)%(2*em) < 0 {
		q--
	}
	return draw.Unit(q)
}
