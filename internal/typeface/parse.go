package typeface

import (
	"encoding/binary"
	"errors"
	"fmt"
	"unicode/utf16"
)

// table is one table of a TrueType file. Reading past its end gives zeros:
// what is read is checked once, afterwards, instead of at every number.
type table []byte

func (t table) u16(at int) int {
	if at < 0 || at+2 > len(t) {
		return 0
	}
	return int(binary.BigEndian.Uint16(t[at:]))
}

func (t table) i16(at int) int { return int(int16(t.u16(at))) }

func (t table) u32(at int) uint32 {
	if at < 0 || at+4 > len(t) {
		return 0
	}
	return binary.BigEndian.Uint32(t[at:])
}

// slice is n bytes from at, or nothing where they are not all there.
func (t table) slice(at, n int) table {
	if at < 0 || n < 0 || at > len(t) || n > len(t)-at {
		return nil
	}
	return t[at : at+n : at+n]
}

// needed are the tables a face cannot be set or embedded without, and the
// least length of each that holds every field read here (OpenType
// specification 1.9, "Font tables").
var needed = map[string]int{
	"head": 54, "hhea": 36, "maxp": 6, "hmtx": 4, "loca": 4, "glyf": 1,
	"cmap": 4, "OS/2": 90, "post": 32, "name": 6,
}

// Parse reads a TrueType file with TrueType outlines and a Unicode character
// map. It keeps file and expects nobody to change it. A file that is cut
// short or inconsistent is an error, never a panic.
func Parse(file []byte) (*Face, error) {
	f := &Face{}
	if err := f.readTables(file); err != nil {
		return nil, err
	}
	if err := f.readMetrics(); err != nil {
		return nil, err
	}
	if err := f.readLoca(); err != nil {
		return nil, err
	}
	if err := f.readCharacters(); err != nil {
		return nil, err
	}
	f.name = f.readName()
	if f.name == "" {
		return nil, errors.New("it has no PostScript name")
	}
	return f, nil
}

func (f *Face) readTables(file table) error {
	if v := file.u32(0); v != 0x00010000 && v != 0x74727565 {
		return errors.New("it is not a TrueType file")
	}
	n := file.u16(4)
	f.tables = make(map[string]table, n)
	for i := range n {
		record := file.slice(12+16*i, 16)
		if record == nil {
			return errors.New("its list of tables is cut short")
		}
		tag := string(record[:4])
		body := file.slice(int(record.u32(8)), int(record.u32(12)))
		if body == nil {
			return fmt.Errorf("its table %q lies outside the file", tag)
		}
		f.tables[tag] = body
	}
	for tag, least := range needed {
		if len(f.tables[tag]) < least {
			return fmt.Errorf("its table %q is missing or cut short", tag)
		}
	}
	return nil
}

func (f *Face) readMetrics() error {
	head, hhea, os2 := f.tables["head"], f.tables["hhea"], f.tables["OS/2"]
	f.em = head.u16(18)
	if f.em < 16 || f.em > 16384 {
		return fmt.Errorf("it has %d units to the em, outside 16 to 16384", f.em)
	}
	for i := range f.box {
		f.box[i] = head.i16(36 + 2*i)
	}
	f.ascent, f.descent = hhea.i16(4), -hhea.i16(6)
	f.weight = os2.u16(4)
	if os2.u16(0) < 2 {
		return errors.New("its OS/2 table is too old to give the height of capitals")
	}
	f.xHeight, f.capHeight = os2.i16(86), os2.i16(88)
	f.angle = float64(int32(f.tables["post"].u32(4))) / 65536

	glyphs, hmtx := f.tables["maxp"].u16(4), f.tables["hmtx"]
	f.long = hhea.u16(34)
	if glyphs == 0 || f.long == 0 || f.long > glyphs || len(hmtx) < 4*f.long+2*(glyphs-f.long) {
		return errors.New("its table of widths does not fit its number of glyphs")
	}
	f.advances = make([]uint16, glyphs)
	for g := range f.advances {
		f.advances[g] = uint16(hmtx.u16(4 * min(g, f.long-1)))
	}
	return nil
}

func (f *Face) readLoca() error {
	loca, glyf := f.tables["loca"], f.tables["glyf"]
	short := f.tables["head"].u16(50) == 0
	width := 4
	if short {
		width = 2
	}
	f.loca = make([]uint32, len(f.advances)+1)
	if len(loca) < width*len(f.loca) {
		return errors.New("its index of glyphs is cut short")
	}
	last := uint32(0)
	for g := range f.loca {
		at := loca.u32(4 * g)
		if short {
			at = 2 * uint32(loca.u16(2*g))
		}
		if at < last || int64(at) > int64(len(glyf)) {
			return fmt.Errorf("its index of glyphs is out of order at glyph %d", g)
		}
		f.loca[g], last = at, at
	}
	return nil
}

// readCharacters reads the Unicode character map: platform 3, encoding 1,
// format 4, which every TrueType file for the basic plane carries.
func (f *Face) readCharacters() error {
	cmap := f.tables["cmap"]
	for i := range cmap.u16(2) {
		record := cmap.slice(4+8*i, 8)
		if record.u16(0) != 3 || record.u16(2) != 1 {
			continue
		}
		at := int(record.u32(4))
		sub := cmap.slice(at, cmap.u16(at+2))
		if sub.u16(0) != 4 || len(sub) < 16 {
			continue
		}
		return f.readSegments(sub)
	}
	return errors.New("it has no Unicode character map")
}

func (f *Face) readSegments(sub table) error {
	n := sub.u16(6) / 2
	ends, starts, deltas, offsets := 14, 16+2*n, 16+4*n, 16+6*n
	if len(sub) < offsets+2*n {
		return errors.New("its character map is cut short")
	}
	mapped := false
	next := 0
	for s := range n {
		start, end := sub.u16(starts+2*s), sub.u16(ends+2*s)
		// Segments that overlap would be read again and again.
		if start < next || end < start {
			return errors.New("its character map is out of order")
		}
		next = end + 1
		delta, at := sub.u16(deltas+2*s), offsets+2*s
		offset := sub.u16(at)
		for c := start; c <= end && c < 0xFFFF; c++ {
			g := c
			if offset != 0 {
				if g = sub.u16(at + offset + 2*(c-start)); g == 0 {
					continue
				}
			}
			g = (g + delta) & 0xFFFF
			if g == 0 {
				continue
			}
			if g >= len(f.advances) {
				return fmt.Errorf("its character map gives U+%04X a glyph it does not have", c)
			}
			page := f.glyphs[c>>8]
			if page == nil {
				page = new([256]uint16)
				f.glyphs[c>>8] = page
			}
			page[c&0xFF] = uint16(g)
			mapped = true
		}
	}
	if !mapped {
		return errors.New("its character map is empty")
	}
	return nil
}

// readName finds the PostScript name, name 6 in the Windows encoding, and
// leaves it empty where it could not stand in a PDF as it is.
func (f *Face) readName() string {
	name := f.tables["name"]
	storage := name.u16(4)
	for i := range name.u16(2) {
		record := name.slice(6+12*i, 12)
		if record.u16(0) != 3 || record.u16(6) != 6 {
			continue
		}
		raw := name.slice(storage+record.u16(10), record.u16(8))
		units := make([]uint16, len(raw)/2)
		for k := range units {
			units[k] = uint16(raw.u16(2 * k))
		}
		s := string(utf16.Decode(units))
		for _, r := range s {
			plain := r == '-' || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z'
			if !plain {
				return ""
			}
		}
		return s
	}
	return ""
}
