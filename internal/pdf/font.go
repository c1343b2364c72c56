package pdf

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"maps"
	"slices"
	"strconv"
	"sync"

	"coldwright/internal/typeface"
)

// blocks are the stretches of Unicode a subset is rounded up to. Most sheets
// then ask for the same subset of a face, which is made once per process; the
// few kilobytes more are cheaper than making one for every sheet.
var blocks = [...][2]rune{
	{0x20, 0x7E},
	{0xA0, 0xFF},
	{0x100, 0x17F},
	{0x370, 0x3FF},
	{0x400, 0x45F},
}

// marks are the characters outside ASCII that instructions are written with;
// they come with the first block.
const marks = "\u00A0×·°±½¼¾µ–—‘’“”…•−≤≥≈→†‡"

var isMark = func() map[rune]bool {
	m := map[rune]bool{}
	for _, r := range marks {
		m[r] = true
	}
	return m
}()

// fontUse is what one document uses of one face.
type fontUse struct {
	face *typeface.Face // nil while the document has no text in it
	// blocks has a bit for every block, the first being always there.
	blocks uint
	// others are characters in no block.
	others map[rune]bool
}

// note records that r is used.
func (u *fontUse) note(r rune) {
	if r <= blocks[0][1] || isMark[r] {
		return
	}
	for i, b := range blocks {
		if r >= b[0] && r <= b[1] {
			u.blocks |= 1 << i
			return
		}
	}
	if u.others == nil {
		u.others = map[rune]bool{}
	}
	u.others[r] = true
}

// join adds what another part of the document uses.
func (u *fontUse) join(o *fontUse) {
	u.face = o.face
	u.blocks |= o.blocks
	for r := range o.others {
		u.note(r)
	}
}

// characters is the set the subset is made for, in order.
func (u *fontUse) characters() []rune {
	var out []rune
	for i, b := range blocks {
		if i == 0 || u.blocks>>i&1 == 1 {
			for r := b[0]; r <= b[1]; r++ {
				out = append(out, r)
			}
		}
	}
	out = append(out, []rune(marks)...)
	out = slices.AppendSeq(out, maps.Keys(u.others))
	slices.Sort(out)
	return slices.Compact(out)
}

// program is a subset of a face, ready to be written into any document.
type program struct {
	// name is the face's PostScript name behind the tag of six letters that
	// marks a subset (ISO 32000-1, 9.6.4).
	name string
	// widths is the inside of the /W array.
	widths []byte
	// file is the object with the TrueType file, toUnicode the one with the map
	// from glyphs to characters, cidSet the one with the list of glyphs.
	file, toUnicode, cidSet []byte
}

// maxKept bounds how many subsets a process keeps. A house in one script needs
// four; past the bound, subsets are made anew each time.
const maxKept = 64

var kept = struct {
	sync.Mutex
	programs map[string]*program
}{programs: map[string]*program{}}

// program is the subset for what the document uses, from the store where one
// like it has been made. Whether it comes from there changes no byte.
func (u *fontUse) program() (*program, error) {
	set := u.characters()
	key := u.face.Name() + string(set)
	kept.Lock()
	p := kept.programs[key]
	kept.Unlock()
	if p != nil {
		return p, nil
	}
	p, err := newProgram(u.face, set)
	if err != nil {
		return nil, err
	}
	kept.Lock()
	defer kept.Unlock()
	if len(kept.programs) < maxKept {
		kept.programs[key] = p
	}
	return p, nil
}

func newProgram(face *typeface.Face, set []rune) (*program, error) {
	var used []uint16
	meaning := map[uint16]rune{}
	for _, r := range set {
		g := face.Glyph(r)
		if g == 0 {
			continue // a block need not be held in full
		}
		if _, twice := meaning[g]; !twice {
			meaning[g] = r
			used = append(used, g)
		}
	}
	sub, err := face.Subset(used)
	if err != nil {
		return nil, err
	}
	p := &program{name: tag(sub.Data) + "+" + face.Name()}
	for i, g := range sub.Glyphs {
		if i == 0 || g != sub.Glyphs[i-1]+1 {
			if i > 0 {
				p.widths = append(p.widths, ']')
			}
			p.widths = strconv.AppendInt(p.widths, int64(g), 10)
			p.widths = append(p.widths, '[')
		} else {
			p.widths = append(p.widths, ' ')
		}
		p.widths = strconv.AppendInt(p.widths, int64(thousandths(face, face.GlyphAdvance(g))), 10)
	}
	p.widths = append(p.widths, ']')

	p.file = streamObject(fmt.Appendf(nil, "/Filter/FlateDecode/Length1 %d", len(sub.Data)), deflate(sub.Data))
	p.toUnicode = streamObject([]byte("/Filter/FlateDecode"), deflate(toUnicode(used, meaning)))
	set8 := make([]byte, int(sub.Glyphs[len(sub.Glyphs)-1])/8+1)
	for _, g := range sub.Glyphs {
		set8[g/8] |= 0x80 >> (g % 8)
	}
	p.cidSet = streamObject([]byte("/Filter/FlateDecode"), deflate(set8))
	return p, nil
}

// thousandths turns font units into thousandths of the size, which a PDF
// counts in, rounded half up.
func thousandths(face *typeface.Face, units int) int {
	em := face.UnitsPerEm()
	n := units*1000*2 + em
	if n < 0 {
		n -= 2*em - 1
	}
	return n / (2 * em)
}

// tag is six letters that depend on nothing but the subset.
func tag(data []byte) string {
	h := crc32.ChecksumIEEE(data)
	var t [6]byte
	for i := range t {
		t[i] = 'A' + byte(h%26)
		h /= 26
	}
	return string(t[:])
}

// toUnicode is the CMap that text is read back by (ISO 32000-1, 9.10.3).
func toUnicode(used []uint16, meaning map[uint16]rune) []byte {
	glyphs := slices.Clone(used)
	slices.Sort(glyphs)
	var out bytes.Buffer
	out.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo <</Registry (Adobe)/Ordering (UCS)/Supplement 0>> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	// A list may hold 100 entries at most.
	for part := range slices.Chunk(glyphs, 100) {
		fmt.Fprintf(&out, "%d beginbfchar\n", len(part))
		for _, g := range part {
			fmt.Fprintf(&out, "<%04X> <%04X>\n", g, meaning[g])
		}
		out.WriteString("endbfchar\n")
	}
	out.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
	return out.Bytes()
}

// Flags of a font descriptor (ISO 32000-1, 9.8.2).
const (
	flagSymbolic = 1 << 2 // glyphs are chosen by number
	flagItalic   = 1 << 6
)

// putFonts writes the faces.
func (b *binder) putFonts() error {
	for i := range b.fonts {
		u := &b.fonts[i]
		if u.face == nil {
			continue
		}
		p, err := u.program()
		if err != nil {
			return err
		}
		program, unicode, cids := b.add(p.file), b.add(p.toUnicode), b.add(p.cidSet)
		at, descendant, descriptor := b.fontAt[i], b.reserve(), b.reserve()
		face, box := u.face, u.face.Box()
		flags := flagSymbolic
		if face.Angle() != 0 {
			flags |= flagItalic
		}
		const em = 1000
		b.put(at, fmt.Appendf(nil, "<</Type/Font/Subtype/Type0/BaseFont/%s/Encoding/Identity-H"+
			"/DescendantFonts[%d 0 R]/ToUnicode %d 0 R>>", p.name, descendant, unicode))
		b.put(descendant, fmt.Appendf(nil, "<</Type/Font/Subtype/CIDFontType2/BaseFont/%s"+
			"/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/CIDToGIDMap/Identity"+
			"/DW 0/W[%s]/FontDescriptor %d 0 R>>", p.name, p.widths, descriptor))
		b.put(descriptor, fmt.Appendf(nil, "<</Type/FontDescriptor/FontName/%s/Flags %d"+
			"/FontBBox[%d %d %d %d]/ItalicAngle %s/Ascent %d/Descent %d/CapHeight %d/XHeight %d/StemV %d"+
			"/CIDSet %d 0 R/FontFile2 %d 0 R>>", p.name, flags,
			thousandths(face, box[0]), thousandths(face, box[1]), thousandths(face, box[2]), thousandths(face, box[3]),
			strconv.FormatFloat(face.Angle(), 'f', -1, 64),
			face.Ascent(em), -face.Descent(em), face.CapHeight(em), face.XHeight(em), stem(face.Weight()),
			cids, program))
	}
	return nil
}

// stem guesses the width of an upright stroke, in thousandths of the size,
// from the weight class: TrueType does not say it, a font descriptor must, and
// no reader of an embedded font uses it. The form of the guess is common
// practice.
func stem(weight int) int { return 50 + weight*weight/(65*65) }
