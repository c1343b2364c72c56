package typeface

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"coldwright/internal/draw"
)

const sample = "Grind with F400, 17 µm (½ cup) — Škoda, Đorđe, ΩЖя ≤ ≥ ‘é’ àçñü"

func glyphsOf(f *Face, s string) []uint16 {
	var out []uint16
	for _, r := range s {
		out = append(out, f.Glyph(r))
	}
	return out
}

// The outlines of a subset are held against those of the whole face as another
// reader, golang.org/x/image/font/sfnt, draws both.
func TestSubsetDrawsTheSameOutlines(t *testing.T) {
	for _, style := range Styles {
		f := Get(style)
		sub, err := f.Subset(glyphsOf(f, sample))
		require.NoError(t, err)
		assert.Less(t, len(sub.Data), len(files[style])/8)
		assert.Equal(t, uint32(0xB1B0AFBA), checksum(sub.Data))

		whole, err := sfnt.Parse(files[style])
		require.NoError(t, err)
		part, err := sfnt.Parse(completed(t, f, sub))
		require.NoError(t, err)
		var a, b sfnt.Buffer
		ppem := fixed.I(f.UnitsPerEm())
		for _, g := range sub.Glyphs {
			want, err := whole.LoadGlyph(&a, sfnt.GlyphIndex(g), ppem, nil)
			require.NoError(t, err)
			got, err := part.LoadGlyph(&b, sfnt.GlyphIndex(g), ppem, nil)
			require.NoError(t, err)
			require.Equalf(t, want, got, "%s glyph %d", f.Name(), g)
		}
		for _, r := range sample {
			assert.Contains(t, sub.Glyphs, f.Glyph(r))
		}
		assert.True(t, slices.IsSorted(sub.Glyphs))
		assert.Zero(t, sub.Glyphs[0])
		// A glyph nobody asked for is blank.
		unused := f.Glyph('Q')
		require.NotContains(t, sub.Glyphs, unused)
		got, err := part.LoadGlyph(&b, sfnt.GlyphIndex(unused), ppem, nil)
		require.NoError(t, err)
		assert.Empty(t, got)
	}
}

// completed gives a subset the tables a PDF does without, for a reader that
// wants them.
func completed(t *testing.T, f *Face, sub *Subset) []byte {
	t.Helper()
	tables := []tagged{{"OS/2", f.tables["OS/2"]}, {"cmap", f.tables["cmap"]}}
	file := table(sub.Data)
	for i := range file.u16(4) {
		record := file.slice(12+16*i, 16)
		tables = append(tables, tagged{string(record[:4]), file.slice(int(record.u32(8)), int(record.u32(12)))})
	}
	return assemble(append(tables, tagged{"name", f.tables["name"]}, tagged{"post", f.tables["post"]}))
}

func TestSubsetDoesNotDependOnOrder(t *testing.T) {
	f := Get(draw.Bold)
	used := glyphsOf(f, sample)
	one, err := f.Subset(used)
	require.NoError(t, err)
	slices.Reverse(used)
	two, err := f.Subset(append(used, used...))
	require.NoError(t, err)
	assert.Equal(t, one, two)
}

func TestSubsetOfNothingIsTheMissingGlyph(t *testing.T) {
	sub, err := Get(draw.Regular).Subset(nil)
	require.NoError(t, err)
	assert.Equal(t, []uint16{0}, sub.Glyphs)
}

func TestSubsetOfEverything(t *testing.T) {
	for _, style := range Styles {
		f := Get(style)
		var all []uint16
		for g := range f.Glyphs() {
			all = append(all, uint16(g))
		}
		sub, err := f.Subset(all)
		require.NoError(t, err)
		assert.Equal(t, all, sub.Glyphs)
	}
}

func TestSubsetRefusesAGlyphThatIsNotThere(t *testing.T) {
	_, err := Get(draw.Regular).Subset([]uint16{0xFFFF})
	assert.ErrorContains(t, err, "no glyph 65535")
}

// Outlines that are cut short are an error, never a panic.
func TestSubsetSurvivesDamage(t *testing.T) {
	at := span(Get(draw.Regular), "glyf", 1<<20)
	file := slices.Clone(regular)
	for i := at[0]; i < at[1]; i++ {
		file[i] = byte(i*131 + i>>3)
	}
	f, err := Parse(file)
	require.NoError(t, err)
	failed := 0
	for g := range f.Glyphs() {
		if _, err := f.Subset([]uint16{uint16(g)}); err != nil {
			failed++
		}
	}
	assert.Greater(t, failed, 100)
}

func BenchmarkSubset(b *testing.B) {
	f := Get(draw.Regular)
	used := glyphsOf(f, sample)
	for b.Loop() {
		if _, err := f.Subset(used); err != nil {
			b.Fatal(err)
		}
	}
}
