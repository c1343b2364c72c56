package process_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/process"
	"coldwright/internal/wear"
)

// pieceOf is a recipe of one surface and one grinding step.
func pieceOf(piece, surface string, facts ...string) string {
	return "---\nrecipe: r\ntitle: R\nrevision: 1\ndate: 2026-10-05\nglass: soda-lime\npiece: " + piece +
		"\nsurfaces:\n  - " + surface + "\n---\n" + step("Work", append([]string{"Surface: top"}, facts...)...)
}

// Geometry of solids, worked by hand: the area of a face by the size of the
// piece, always marked as a default.
func TestAnAreaNobodyWroteIsTakenFromTheSize(t *testing.T) {
	for _, c := range []struct {
		piece, surface string
		cm2            float64
	}{
		{"{form: block, size: 80 x 80 x 80 mm}", "shape: flat, count: 6", 64},
		{"{form: block, size: 100 x 50 x 20 mm}", "shape: flat, count: 6", (50 + 20 + 10.) / 3},
		{"{form: block, size: 20 x 250 x 180 mm}", "shape: flat", 450},
		{"{form: cast, size: 80 mm dia x 45 mm}", "shape: flat", 50.27},
		{"{form: cast, size: 80 mm dia x 45 mm}", "shape: edge", 113.1},
		{"{form: cast, size: 250 x 180 x 22 mm}", "shape: edge", 189.2},
		{"{form: cast, size: 250 x 180 x 22 mm}", "shape: edge, length: 250 mm", 55},
		{"{form: cast, size: 240 mm dia x 90 mm, hollow: true, wall: 12 mm}", "shape: ring", 85.95},
		{"{form: blown, size: 160 mm dia x 280 mm, hollow: true, wall: 6 mm}", "shape: facets", 1407.4},
		{"{form: block, size: 80 x 80 x 80 mm}", "shape: arris", 96 * 0.12},
		{"{form: block, size: 80 x 80 x 80 mm}", "shape: arris, length: 100 mm", 1.2},
		{"{form: block}", "shape: flat", 100},
	} {
		r := reckonText(t, shop, pieceOf(c.piece, "{name: top, "+c.surface+", from: new, to: matte}", "Abrasive: S220", "Medium: iron lap", "Machine: LAP at 110 rpm", "Time: 5 min"))
		top := surface(t, r, "top")
		require.Empty(t, top.Cannot, c.surface)
		assert.InDelta(t, c.cm2, top.AreaM2.Value*1e4, 0.05, "%s of %s", c.surface, c.piece)
		assert.Equal(t, process.Default, top.AreaM2.Standing, c.surface)
		assert.Equal(t, process.Default, top.Steps[0].Basis, c.surface)
	}
	// What was written and cannot be read is not guessed at, and neither is what
	// the size does not tell.
	for _, s := range []string{"shape: flat, area: 5 grains", "shape: groove", "shape: bevel", "shape: ring"} {
		r := reckonText(t, shop, pieceOf("{form: block, size: 80 x 80 x 80 mm}", "{name: top, "+s+", from: new, to: matte}", "Abrasive: S220", "Machine: by hand", "Time: 5 min"))
		assert.Contains(t, surface(t, r, "top").Cannot, "The area of this surface", s)
	}
}

// Common practice: on what a tool or a medium usually runs.
func TestAMachineNobodyWroteIsTheUsualOne(t *testing.T) {
	for _, c := range []struct{ shape, abrasive, medium, machine string }{
		{"flat", "resin diamond pad 325 mesh", "", "flat lap"},
		{"flat", "S220", "iron lap", "flat lap"},
		{"flat", "pumice 2F", "felt pad", "flat lap"},
		{"relief", "pumice 2F", "horsehair brush wheel", "lathe"},
		{"concave", "metal diamond wheel 270 mesh", "", "lathe"},
		{"edge", "silicon carbide belt P220", "", "wet belt"},
		{"edge", "resin diamond hand pad 400 mesh", "", "by hand"},
		{"flat", "cerium oxide 1.5 µm", "felt block", "by hand"},
	} {
		facts := []string{"Abrasive: " + c.abrasive, "Time: 5 min"}
		if c.medium != "" {
			facts = append(facts, "Medium: "+c.medium)
		}
		what := pieceOf("{form: block, size: 80 x 80 x 80 mm}", "{name: top, shape: "+c.shape+", area: 20 cm², from: new, to: matte}", facts...)
		r := reckonText(t, shop, what)
		st := surface(t, r, "top").Steps[0]
		require.Empty(t, st.Cannot, c.abrasive)
		assert.Equal(t, c.machine, st.In.Kind.Name, "%s on %s", c.abrasive, c.medium)
		assert.Equal(t, process.Default, st.In.KindStanding)
		assert.Equal(t, process.Default, st.Basis)
		named := reckonText(t, shop, what+"- Machine: "+c.machine+"\n")
		assert.Equal(t, st.Result, surface(t, named, "top").Steps[0].Result, "as if it were written")
		assert.Equal(t, process.Written, surface(t, named, "top").Steps[0].In.KindStanding)
	}
	r := reckonText(t, shop, pieceOf("{form: block}", "{name: top, shape: flat, area: 20 cm², from: new, to: matte}", "Abrasive: S220", "Medium: iron lap", "Machine: windmill", "Time: 5 min"))
	assert.Contains(t, surface(t, r, "top").Steps[0].Cannot, "could not be read")
}

// A face that is not true has low places the grain does not reach: whatever came
// off the high ones, it is not cleared before the unevenness is off.
func TestAFaceThatIsNotTrueIsNotCleared(t *testing.T) {
	at := func(minutes float64, from string) process.StepReckoning {
		r := reckonText(t, shop, pieceOf("{form: block, size: 80 x 80 x 80 mm}", "{name: top, shape: flat, area: 100 cm², from: "+from+", to: matte}",
			"Abrasive: S220", "Medium: iron lap", "Machine: LAP at 110 rpm", "Charge: every 1 min", fmt.Sprintf("Time: %.2f min", minutes)))
		return surface(t, r, "top").Steps[0]
	}
	const uneven, flat = `"sawn, damage 40 µm, uneven 0.2 mm"`, `"sawn, damage 40 µm, uneven 0 mm"`
	needs := at(1, uneven).Result.Expected.Minutes
	for share, want := range map[float64]wear.Verdict{0.3: wear.No, 0.7: wear.Doubtful, 1.01: wear.Certain} {
		st := at(share*needs, uneven)
		assert.Equal(t, want, st.Verdict, "%g of the minutes, %g µm off", share, st.Result.RemovedUM)
		assert.Equal(t, at(share*needs, flat).Result.Verdict, at(share*needs, flat).Verdict, "a true face by its damage alone")
	}
	assert.Equal(t, wear.Certain, at(0.7*needs, uneven).Result.Verdict, "by the damage alone")
	fused := at(1, "fused")
	assert.Equal(t, wear.NothingHanded, fused.Result.Verdict)
	assert.Equal(t, wear.No, fused.Verdict)
	assert.Equal(t, wear.NothingHanded, at(1, "fire polished").Verdict)
}

// Below a bright polish a brush keeps the texture it is given, but the marks of
// a saw are none.
func TestWhatKeepsATexture(t *testing.T) {
	keeps := func(from, to string) bool {
		r := reckonText(t, shop, pieceOf("{form: block, size: 80 x 80 x 80 mm}", "{name: top, shape: convex, area: 100 cm², from: "+from+", to: "+to+"}",
			"Abrasive: pumice 2F", "Medium: horsehair brush wheel", "Machine: lathe", "Time: 5 min"))
		return !surface(t, r, "top").Clears()[0]
	}
	assert.True(t, keeps("sandblasted", "satin"))
	assert.True(t, keeps("as cast", "satin"))
	assert.False(t, keeps("sawn", "satin"))
	assert.False(t, keeps("sandblasted", "bright polish"))
}
