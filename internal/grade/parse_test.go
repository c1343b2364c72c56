package grade

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParse(t *testing.T) {
	for text, want := range map[string]string{
		"F400": "F400", "f400": "F400", "F 400": "F400", "FEPA F400": "F400", "FEPA F 400": "F400", " F400 ": "F400",
		"P400": "P400", "p 400": "P400", "FEPA P400": "P400",
		"CAMI 400": "CAMI 400", "cami400": "CAMI 400", "US 400": "CAMI 400", "us400": "CAMI 400",
		"ANSI 400": "ANSI 400", "JIS 400": "JIS 400", "JIS #400": "JIS 400", "JIS#400": "JIS 400", "#400": "JIS 400", "# 400": "JIS 400",
		"D46": "D46", "d 46": "D46", "400 mesh": "400 mesh", "400mesh": "400 mesh", "400 MESH": "400 mesh",
		"325/400 mesh": "325/400 mesh", "325 / 400 mesh": "325/400 mesh", "140/170": "140/170 mesh", "220F": "F220", "60 f": "F60",
		"1.5 µm": "1.5 µm", "1.5 \u03bcm": "1.5 µm", "1.5um": "1.5 µm", "6 micron": "6 µm", "6 microns": "6 µm", "½ µm": "0.5 µm", "1/4 micron": "0.25 µm",
		"4-8 µm": "4-8 µm", "4–8 µm": "4-8 µm", "4 - 8 um": "4-8 µm", "4 µm - 8 µm": "4-8 µm",
		"2F": "2F", "2f": "2F", "FF": "2F", "FFF": "3F", "FFFF": "4F", "4F": "4F", "F": "F",
		"0½": "0½", "0 ½": "0½", "0 1/2": "0½", "0-1/2": "0½", "0¾": "0¾", "1½": "1½", "1 1/2": "1½",
		"No. 60 sieve": "No. 60 sieve", "no 60 sieve": "No. 60 sieve", "No.60 sieve": "No. 60 sieve", "sieve No. 60": "No. 60 sieve",
		"F\u00a0400": "F400",
	} {
		g, ok := Parse(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, g.Label, text)
	}
	for _, text := range []string{"", " ", "400", "F410", "F0400", "F4 00", "F-400", "fine", "0", "1", "2", "3", "1/2", "½", "400 grit", "mesh", "mesh 400",
		"325/399 mesh", "0 µm", "-5 µm", "20000 µm", "8-4 µm", "4-8", "1,5 µm", "NaN µm", "µm", "D25", "5F", "2 F F", "No. 60", "P", "JIS", "##400", "F400 P400", "D46 mesh",
		"a very long writing that no grade of any scale could ever have in all the world"} {
		g, ok := Parse(text)
		assert.False(t, ok, "%q was read as %s", text, g.Label)
	}
}

// Settled by the trade: US 400 is the coated scale on paper and belts, the
// loose and bonded one elsewhere.
func TestReading(t *testing.T) {
	g, ok := Reading{Loose: true}.Parse("US 220")
	require.True(t, ok)
	assert.Equal(t, "ANSI 220", g.Label)
	assert.NotEqual(t, mustParse(t, "US 220").Size, g.Size)
	g, ok = Reading{Loose: true}.Parse("F220")
	require.True(t, ok)
	assert.Equal(t, "F220", g.Label)
	g, ok = Reading{DecimalComma: true}.Parse("1,5 µm")
	require.True(t, ok)
	assert.Equal(t, "1.5 µm", g.Label)
}

// Every grade reads back as it prints; a degree of pumice that is a number
// alone only where pumice is spoken of.
func TestLabelsReadBack(t *testing.T) {
	for _, info := range Scales() {
		for _, g := range All(info.Scale) {
			back, ok := Parse(g.Label)
			if figures(g.Label) {
				assert.False(t, ok, g.Label)
				back, _, ok = FromTail("pumice " + g.Label)
			}
			assert.True(t, ok, g.Label)
			assert.Equal(t, g, back)
		}
	}
}

func TestBare(t *testing.T) {
	for _, text := range []string{"400", " 400 ", "400 grit", "grit 400", "400-grit", "1.5", "0", "220 Grit"} {
		assert.True(t, Bare(text), text)
	}
	for _, text := range []string{"", "F400", "400 mesh", "0½", "grit", "4.", ".5", "1.2.3", "400 400", "1234567890123"} {
		assert.False(t, Bare(text), text)
	}
}

func TestOnScale(t *testing.T) {
	for _, c := range []struct {
		scale        Scale
		number, want string
	}{
		{FEPAF, "400", "F400"}, {FEPAP, "400", "P400"}, {CAMI, "400", "CAMI 400"}, {ANSI, "400", "ANSI 400"}, {JIS, "400", "JIS 400"},
		{FEPAD, "46", "D46"}, {Mesh, "400", "400 mesh"}, {Sieve, "400", "No. 400 sieve"}, {Pumice, "1", "1"}, {Pumice, "0 1/2", "0½"},
		{Pumice, "FF", "2F"}, {Micron, "1.5", "1.5 µm"}, {Mesh, "400 grit", "400 mesh"}, {FEPAF, "F400", "F400"},
	} {
		g, ok := OnScale(c.scale, c.number)
		assert.True(t, ok, "%s %s", c.scale, c.number)
		assert.Equal(t, c.want, g.Label)
		assert.Equal(t, c.scale, g.Scale)
	}
	for _, c := range []struct {
		scale  Scale
		number string
	}{{FEPAF, "410"}, {FEPAF, "P400"}, {FEPAD, "400"}, {Pumice, "400"}, {"moon", "400"}, {Micron, "0"}, {FEPAF, ""}} {
		_, ok := OnScale(c.scale, c.number)
		assert.False(t, ok, "%s %s", c.scale, c.number)
	}
}

func TestFromTail(t *testing.T) {
	for text, want := range map[string][2]string{
		"resin diamond pad 325 mesh":     {"resin diamond pad ", "325 mesh"},
		"pumice 2F":                      {"pumice ", "2F"},
		"pumice F":                       {"pumice ", "F"},
		"pumice 1":                       {"pumice ", "1"},
		"Pumice powder 0":                {"Pumice powder ", "0"},
		"pumice 0 1/2":                   {"pumice ", "0½"},
		"silicon carbide F220":           {"silicon carbide ", "F220"},
		"silicon carbide F 220":          {"silicon carbide ", "F220"},
		"silicon carbide FEPA F 220":     {"silicon carbide ", "F220"},
		"silicon carbide belt P120":      {"silicon carbide belt ", "P120"},
		"cerium oxide 1.5 µm":            {"cerium oxide ", "1.5 µm"},
		"diamond paste 4 - 8 µm":         {"diamond paste ", "4-8 µm"},
		"aluminium oxide JIS #1000":      {"aluminium oxide ", "JIS 1000"},
		"aluminium oxide No. 60 sieve":   {"aluminium oxide ", "No. 60 sieve"},
		"metal diamond wheel 60/80 mesh": {"metal diamond wheel ", "60/80 mesh"},
		"F400":                           {"", "F400"},
		"  silicon  carbide\tF400  ":     {"  silicon  carbide\t", "F400"},
	} {
		g, start, ok := FromTail(text)
		assert.True(t, ok, text)
		assert.Equal(t, want[1], g.Label, text)
		assert.Equal(t, want[0], text[:start], text)
	}
	for _, text := range []string{"", "silicon carbide", "silicon carbide 220", "silicon carbide F410", "F400 silicon carbide", "felt pad 1", "diamond saw blade"} {
		_, _, ok := FromTail(text)
		assert.False(t, ok, text)
	}
	number, start, ok := BareTail("silicon carbide 220 grit")
	assert.True(t, ok)
	assert.Equal(t, "220", number)
	assert.Equal(t, 16, start)
	number, start, ok = BareTail("resin diamond pad 325")
	assert.True(t, ok)
	assert.Equal(t, "325", number)
	assert.Equal(t, 18, start)
	for _, text := range []string{"", "silicon carbide", "silicon carbide F220", "pad 325 mesh"} {
		_, _, ok := BareTail(text)
		assert.False(t, ok, text)
	}
	s, number, start, ok := MarkedTail("silicon carbide F410")
	assert.True(t, ok)
	assert.Equal(t, FEPAF, s)
	assert.Equal(t, "410", number)
	assert.Equal(t, 16, start)
	_, _, _, ok = MarkedTail("silicon carbide")
	assert.False(t, ok)
}

func TestAdvice(t *testing.T) {
	for text, want := range map[string][2]string{
		"F410":          {"F410 is no grade of FEPA F.", "The nearest are F400 and F500."},
		"P9000":         {"P9000 is no grade of FEPA P.", "The nearest is P2500."},
		"D25":           {"D25 is no grade of FEPA D.", "Finer than D46 a code needs its maker: write the micrometres, as 20-30 µm."},
		"45 mesh":       {"45 mesh is no label that is known here.", "The nearest are 40 mesh and 50 mesh."},
		"No. 800 sieve": {"ASTM E11 has no sieve of the number 800.", "There is no sieve finer than No. 635: write the micrometres."},
		"600":           {"The number 600 alone does not say which scale it is on.", "Write F600, P600, CAMI 600, ANSI 600, JIS 600 or 600 mesh, whichever is meant."},
		"7777":          {"The number 7777 alone does not say which scale it is on. No scale has it.", "Write the grade as its maker does, with its scale, or the grain size, as 15 µm."},
		"quite fine":    {"quite fine is no grade.", "Write a grade with its scale, as F400, P400, CAMI 400, JIS 400, D46, 400 mesh, 1.5 µm or 2F."},
	} {
		message, help, ok := Advice(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, [2]string{message, help}, text)
	}
	_, _, ok := Advice("F400")
	assert.False(t, ok)
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"F400", "JIS #400", "4-8 µm", "0 1/2", "No. 60 sieve", "325/400 mesh", "pumice 1", "silicon carbide F220", "", "\xff", "µm", "1e9 µm",
		"1/0 µm", "-\u00a0-", "220 grit", "grit", "½½ µm", "us", "US400"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, r := range []Reading{{}, {Loose: true, DecimalComma: true}} {
			g, ok := r.Parse(s)
			if ok != g.Written() || ok && (g.Size < finest || g.Size > coarsest || math.IsNaN(g.Size) || g.Label == "") {
				t.Fatalf("%q: %+v", s, g)
			}
			if back, again := Parse(g.Label); ok && !figures(g.Label) && (!again || back.Label != g.Label) {
				t.Fatalf("%q prints as %q, which reads as %+v", s, g.Label, back)
			}
		}
		if _, start, ok := FromTail(s); ok && (start < 0 || start >= len(s)) {
			t.Fatalf("%q: %d", s, start)
		}
		BareTail(s)
		MarkedTail(s)
		Meanings(s)
		if _, ok := Report(s, nil); !ok {
			if message, help, ok := Advice(s); !ok || message == "" || help == "" {
				t.Fatalf("%q has no advice", s)
			}
		}
	})
}

func BenchmarkParse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := Parse("CAMI 400"); !ok {
			b.Fatal("not read")
		}
	}
}

func BenchmarkFromTail(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, _, ok := FromTail("resin diamond pad 325 mesh"); !ok {
			b.Fatal("not read")
		}
	}
}

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := load(); err != nil {
			b.Fatal(err)
		}
	}
}
