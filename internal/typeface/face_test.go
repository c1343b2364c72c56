package typeface

import (
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"coldwright/internal/draw"
)

var files = [...][]byte{draw.Regular: regular, draw.Italic: italic, draw.SemiBold: semiBold, draw.Bold: bold}

// Every character, width and height is held against what the Go project's own
// reader of the same files, golang.org/x/image/font/sfnt, says of them.
func TestFacesAgreeWithAnotherReader(t *testing.T) {
	for _, style := range Styles {
		f := Get(style)
		other, err := sfnt.Parse(files[style])
		require.NoError(t, err)
		var buf sfnt.Buffer

		assert.Equal(t, int(other.UnitsPerEm()), f.UnitsPerEm())
		assert.Equal(t, other.NumGlyphs(), f.Glyphs())
		name, err := other.Name(&buf, sfnt.NameIDPostScript)
		require.NoError(t, err)
		assert.Equal(t, name, f.Name())

		ppem := fixed.Int26_6(f.UnitsPerEm() << 6)
		held := 0
		for r := rune(0x20); r <= 0xFFFF; r++ {
			g, err := other.GlyphIndex(&buf, r)
			require.NoError(t, err)
			require.Equalf(t, uint16(g), f.Glyph(r), "%s U+%04X", f.Name(), r)
			adv, err := other.GlyphAdvance(&buf, g, ppem, font.HintingNone)
			require.NoError(t, err)
			require.Equalf(t, adv.Round(), f.Advance(r), "%s U+%04X", f.Name(), r)
			require.Equal(t, f.Advance(r), f.GlyphAdvance(uint16(g)))
			if g != 0 {
				held++
			}
		}
		assert.Greater(t, held, 800)

		m, err := other.Metrics(&buf, ppem, font.HintingNone)
		require.NoError(t, err)
		size := draw.Unit(f.UnitsPerEm())
		assert.EqualValues(t, m.Ascent.Round(), f.Ascent(size))
		assert.EqualValues(t, m.Descent.Round(), f.Descent(size))
		assert.EqualValues(t, m.CapHeight.Round(), f.CapHeight(size))
		assert.EqualValues(t, m.XHeight.Round(), f.XHeight(size))
	}
}

func TestStylesAreTheFourFaces(t *testing.T) {
	// Weight classes: OpenType specification, OS/2 table, usWeightClass.
	for _, c := range []struct {
		style  draw.Style
		weight int
		slant  bool
	}{{draw.Regular, 400, false}, {draw.Italic, 400, true}, {draw.SemiBold, 600, false}, {draw.Bold, 700, false}} {
		f := Get(c.style)
		assert.Equal(t, c.weight, f.Weight(), f.Name())
		assert.Equal(t, c.slant, f.Angle() < 0, f.Name())
		assert.Same(t, f, Get(c.style))
	}
	assert.Same(t, Get(draw.Regular), Get(draw.Style(-1)))
	assert.Same(t, Get(draw.Regular), Get(draw.Style(9)))
}

// What the trade writes has to be in every face, or it would print as a box.
func TestFacesHoldWhatTheTradeWrites(t *testing.T) {
	const text = "0123456789 µm ½ ¼ ¾ ≤ ≥ ≈ × ± ° – − — † ‡ · • … ‘’ “” № → ′ ″ " +
		"ĀāČčĐđĘęŁłŃńŐőŘřŠšŤťŮůŹźŻżŽž ΑΒΓΔΩαβγδπω АБВГДЕЖЯабвгдежя Ra"
	for _, style := range Styles {
		assert.Empty(t, Get(style).Missing(text), Get(style).Name())
	}
}

// A table of numbers only lines up where all digits are equally wide.
func TestDigitsAreEquallyWide(t *testing.T) {
	for _, style := range Styles {
		f := Get(style)
		for _, r := range "123456789" {
			assert.Equal(t, f.Advance('0'), f.Advance(r), f.Name())
		}
	}
}

func TestWidthIsRoundedOnce(t *testing.T) {
	f := Get(draw.Regular)
	// A digit is 600 units of 1000: at a size of 1 Unit that is 0.6.
	require.Equal(t, 600, f.Advance('0'))
	require.Equal(t, 1000, f.UnitsPerEm())
	for _, c := range []struct {
		text string
		size draw.Unit
		want draw.Unit
	}{
		{"", 10500, 0}, {"0", 10500, 6300}, {"00", 10500, 12600},
		{"0", 1, 1}, {"00", 1, 1}, {"000", 1, 2}, {"00000", 1, 3},
		{"0", draw.Pt(0.015), 9}, {"0", -1, -1}, {"00", -1, -1}, {"0", 0, 0},
	} {
		assert.Equalf(t, c.want, f.Width(c.text, c.size), "%q at %d", c.text, c.size)
	}
	// A half goes up on both sides of nothing: 5 and -5 tenths.
	assert.EqualValues(t, 1, f.scale(500, 1))
	assert.EqualValues(t, 0, f.scale(500, -1))
	assert.EqualValues(t, 0, f.scale(499, 1))
	assert.EqualValues(t, -1, f.scale(501, -1))
}

func TestMissing(t *testing.T) {
	f := Get(draw.Regular)
	assert.Nil(t, f.Missing("plain"))
	assert.Equal(t, []rune{'硝', '⌀', '😀'}, f.Missing("a硝b⌀c硝d😀"))
	assert.Equal(t, []rune{0, '\t', 0x7F}, f.Missing("\x00\t\x7f\t"))
	// Bytes that are not UTF-8 read as U+FFFD, which the face does hold.
	assert.Empty(t, f.Missing("\xff"))
	assert.Equal(t, f.GlyphAdvance(0), f.Advance('硝'))
	assert.Zero(t, f.GlyphAdvance(0xFFFF))
	assert.False(t, f.Has(-1))
	assert.False(t, f.Has(0x10FFFF))
}

func TestFacesAreShared(t *testing.T) {
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for _, style := range Styles {
				Get(style).Width("The same face from many places at once", draw.Pt(12))
			}
		})
	}
	wg.Wait()
}

func TestLicenceNamesTheReservedName(t *testing.T) {
	assert.Contains(t, Licence(), "SIL OPEN FONT LICENSE")
	assert.Contains(t, Licence(), `Reserved Font Name "Plex"`)
}

func TestParseRefusesBrokenFiles(t *testing.T) {
	for _, file := range [][]byte{nil, {}, []byte("OTTO"), []byte(strings.Repeat("\x00", 64)), []byte("not a typeface at all")} {
		_, err := Parse(file)
		assert.Error(t, err)
	}
	for n := 0; n < len(regular); n += 997 {
		_, err := Parse(regular[:n])
		require.Errorf(t, err, "cut to %d bytes", n)
	}
}

// Every byte of the part that steers reading is damaged in turn: an error or a
// face that can be measured and subset, never a panic.
func TestParseSurvivesDamage(t *testing.T) {
	spans := [][2]int{{0, 12 + 16*32}}
	f := Get(draw.Regular)
	for _, tag := range []string{"head", "hhea", "maxp", "OS/2"} {
		spans = append(spans, span(f, tag, 64))
	}
	spans = append(spans, span(f, "cmap", 400), span(f, "loca", 200), span(f, "name", 200))
	for _, s := range spans {
		for at := s[0]; at < s[1]; at++ {
			for _, b := range []byte{0, 0x7F, 0xFF} {
				file := append([]byte(nil), regular...)
				file[at] = b
				broken, err := Parse(file)
				if err != nil {
					continue
				}
				broken.Width("Grind the rim level.", draw.Pt(12))
			}
		}
	}
}

// span is where the first n bytes of a table stand in the file.
func span(f *Face, tag string, n int) [2]int {
	t := f.tables[tag]
	for i := range len(f.tables) {
		record := table(regular).slice(12+16*i, 16)
		if string(record[:4]) == tag {
			at := int(record.u32(8))
			return [2]int{at, at + min(n, len(t))}
		}
	}
	panic("no table " + tag)
}

func BenchmarkWidth(b *testing.B) {
	f := Get(draw.Regular)
	const s = "Work F400 on the iron lap until the sawn marks are gone, then clean down."
	b.SetBytes(int64(len(s)))
	for b.Loop() {
		f.Width(s, draw.Pt(10.5))
	}
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := Parse(regular); err != nil {
			b.Fatal(err)
		}
	}
}

// A TrueType file carries its own checksum: all of it, read as big-endian
// numbers of 32 bits, adds up to 0xB1B0AFBA (OpenType specification, head
// table, checksumAdjustment). A file converted or altered on its way does not.
func TestFacesAreAsPublished(t *testing.T) {
	for style, file := range files {
		require.Zero(t, len(file)%4)
		sum := uint32(0)
		for at := 0; at < len(file); at += 4 {
			sum += table(file).u32(at)
		}
		assert.Equal(t, uint32(0xB1B0AFBA), sum, Get(draw.Style(style)).Name())
	}
}
