package typeface

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
)

// Subset is a TrueType file with the outlines of some glyphs only. Glyphs keep
// the numbers they have in the face.
type Subset struct {
	// Data is the file: glyf, head, hhea, hmtx, loca and maxp, which is what a
	// PDF needs of a CIDFontType2 program (ISO 32000-1, 9.9), without hinting.
	Data []byte
	// Glyphs are the glyphs with an outline in Data, in order: those asked for,
	// glyph 0, and the parts that composite glyphs are made of.
	Glyphs []uint16
}

var errGlyph = errors.New("typeface: the outline of a glyph is cut short")

// Subset makes a file with the outlines of the glyphs used. The same set gives
// the same bytes, in whatever order it comes. A glyph number the face does not
// have is an error.
func (f *Face) Subset(used []uint16) (*Subset, error) {
	glyphs, err := f.closure(used)
	if err != nil {
		return nil, err
	}
	// Everything after the last glyph kept is left off.
	count := int(glyphs[len(glyphs)-1]) + 1
	glyf, loca, err := f.outlines(glyphs, count)
	if err != nil {
		return nil, err
	}

	head := slices.Clone(f.tables["head"])
	binary.BigEndian.PutUint32(head[8:], 0)
	binary.BigEndian.PutUint16(head[50:], 1) // loca holds 32-bit offsets
	maxp := slices.Clone(f.tables["maxp"])
	binary.BigEndian.PutUint16(maxp[4:], uint16(count))
	hhea := slices.Clone(f.tables["hhea"])
	hmtx := f.tables["hmtx"]
	if count < f.long {
		binary.BigEndian.PutUint16(hhea[34:], uint16(count))
		hmtx = hmtx[:4*count]
	} else {
		hmtx = hmtx[:4*f.long+2*(count-f.long)]
	}
	data := assemble([]tagged{
		{"glyf", glyf}, {"head", head}, {"hhea", hhea}, {"hmtx", hmtx}, {"loca", loca}, {"maxp", maxp},
	})
	return &Subset{Data: data, Glyphs: glyphs}, nil
}

// outline is the description of a glyph in glyf; empty for a blank one.
func (f *Face) outline(g uint16) table {
	return f.tables["glyf"][f.loca[g]:f.loca[g+1]]
}

// closure is the set of glyphs used, glyph 0, and every glyph these are
// composed of, in order.
func (f *Face) closure(used []uint16) ([]uint16, error) {
	keep := make([]bool, len(f.advances))
	keep[0] = true
	todo := []uint16{0}
	add := func(g uint16) error {
		if int(g) >= len(keep) {
			return fmt.Errorf("typeface: %s has no glyph %d", f.name, g)
		}
		if !keep[g] {
			keep[g] = true
			todo = append(todo, g)
		}
		return nil
	}
	for _, g := range used {
		if err := add(g); err != nil {
			return nil, err
		}
	}
	var out []uint16
	for len(todo) > 0 {
		g := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		out = append(out, g)
		outline := f.outline(g)
		if len(outline) == 0 || outline.i16(0) >= 0 {
			continue
		}
		for c, err := range components(outline) {
			if err != nil {
				return nil, err
			}
			if err := add(c.glyph); err != nil {
				return nil, err
			}
		}
	}
	slices.Sort(out)
	return out, nil
}

// component is one part of a composite glyph.
type component struct {
	glyph uint16
	// flags stand at bytes at and at+1; the part ends before byte end.
	flags   uint16
	at, end int
}

// Flags of a component (OpenType specification, glyf table).
const (
	argsAreWords     = 0x0001
	haveScale        = 0x0008
	moreComponents   = 0x0020
	haveXYScale      = 0x0040
	haveTwoByTwo     = 0x0080
	haveInstructions = 0x0100
)

// components yields the parts of a composite outline in turn, or an error
// where it is cut short, and then nothing more.
func components(outline table) func(yield func(component, error) bool) {
	return func(yield func(component, error) bool) {
		at := 10
		for {
			c := component{glyph: uint16(outline.u16(at + 2)), flags: uint16(outline.u16(at)), at: at, end: at + 6}
			if c.flags&argsAreWords != 0 {
				c.end += 2
			}
			switch {
			case c.flags&haveScale != 0:
				c.end += 2
			case c.flags&haveXYScale != 0:
				c.end += 4
			case c.flags&haveTwoByTwo != 0:
				c.end += 8
			}
			if c.end > len(outline) {
				yield(component{}, errGlyph)
				return
			}
			if !yield(c, nil) || c.flags&moreComponents == 0 {
				return
			}
			at = c.end
		}
	}
}

// outlines are the glyf and loca tables for the glyphs kept, of count glyphs.
func (f *Face) outlines(glyphs []uint16, count int) (glyf, loca []byte, err error) {
	loca = make([]byte, 0, 4*(count+1))
	next := 0
	for g := range count {
		loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
		if int(glyphs[next]) != g {
			continue
		}
		next++
		if glyf, err = appendUnhinted(glyf, f.outline(uint16(g))); err != nil {
			return nil, nil, err
		}
		for len(glyf)%4 != 0 {
			glyf = append(glyf, 0)
		}
	}
	return glyf, binary.BigEndian.AppendUint32(loca, uint32(len(glyf))), nil
}

// appendUnhinted copies an outline without the instructions that fit it to a
// coarse screen: print does not need them, and they are half the file.
func appendUnhinted(out []byte, outline table) ([]byte, error) {
	if len(outline) == 0 {
		return out, nil
	}
	if len(outline) < 10 {
		return nil, errGlyph
	}
	if contours := outline.i16(0); contours >= 0 {
		at := 10 + 2*contours
		rest := at + 2 + outline.u16(at)
		if rest > len(outline) {
			return nil, errGlyph
		}
		out = append(out, outline[:at]...)
		out = append(out, 0, 0)
		return append(out, outline[rest:]...), nil
	}
	out = append(out, outline[:10]...)
	for c, err := range components(outline) {
		if err != nil {
			return nil, err
		}
		out = binary.BigEndian.AppendUint16(out, c.flags&^haveInstructions)
		out = append(out, outline[c.at+2:c.end]...)
	}
	return out, nil
}

type tagged struct {
	tag  string
	body []byte
}

// assemble is a TrueType file of the tables, which stand in order of their
// tags, with its checksums.
func assemble(tables []tagged) []byte {
	steps := 0
	for 2<<steps <= len(tables) {
		steps++
	}
	size := 12 + 16*len(tables)
	for _, t := range tables {
		size += (len(t.body) + 3) &^ 3
	}
	out := make([]byte, 12+16*len(tables), size)
	be := binary.BigEndian
	be.PutUint32(out, 0x00010000)
	be.PutUint16(out[4:], uint16(len(tables)))
	be.PutUint16(out[6:], uint16(16<<steps))
	be.PutUint16(out[8:], uint16(steps))
	be.PutUint16(out[10:], uint16(16*len(tables)-16<<steps))
	head := -1
	for i, t := range tables {
		record := out[12+16*i:]
		copy(record, t.tag)
		be.PutUint32(record[4:], checksum(t.body))
		be.PutUint32(record[8:], uint32(len(out)))
		be.PutUint32(record[12:], uint32(len(t.body)))
		if t.tag == "head" {
			head = len(out)
		}
		out = append(out, t.body...)
		for len(out)%4 != 0 {
			out = append(out, 0)
		}
	}
	if head >= 0 {
		be.PutUint32(out[head+8:], 0xB1B0AFBA-checksum(out))
	}
	return out
}

// checksum adds b up as big-endian numbers of 32 bits, zeros after its end
// (OpenType specification, "Calculating checksums").
func checksum(b []byte) uint32 {
	sum := uint32(0)
	for ; len(b) >= 4; b = b[4:] {
		sum += binary.BigEndian.Uint32(b)
	}
	var last [4]byte
	copy(last[:], b)
	return sum + binary.BigEndian.Uint32(last[:])
}
