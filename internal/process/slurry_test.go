package process_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"coldwright/internal/process"
	"coldwright/internal/trade"
)

// The hydrometer scale for what is heavier than water is 145 − 145/SG (United
// States National Bureau of Standards, Circular 59). The values are arithmetic
// from the densities: at 20 % by weight a litre of water carries 250 g, and the
// gravity is 1 / (0.2/density + 0.8).
func TestSlurryByBaume(t *testing.T) {
	for _, c := range []struct {
		family      string
		baume, grav float64
	}{{"silicon carbide", 19.9375, 1.15942}, {"aluminium oxide", 21.6582, 1.17558}} {
		f := trade.BuiltIn().FindFamily(c.family)
		s, err := process.SlurryOfBaume(2, c.baume, f.Density, f.Bulk)
		require.NoError(t, err)
		assert.InDelta(t, c.grav, s.SpecificGravity, 1e-4, c.family)
		assert.InDelta(t, 250, s.PowderG/s.WaterL, 0.01, c.family)
		assert.InDelta(t, 0.2, s.PowderG/(s.PowderG+s.WaterL*1000), 1e-5, c.family)
		assert.InDelta(t, c.baume, s.Baume, 1e-9, c.family)
		assert.Equal(t, 2.0, s.VolumeL)
	}
}

// A slurry is its water and its grain and nothing else, and by whichever way it
// is asked for it is the same one.
func TestSlurryKeepsItsVolume(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		volume := rapid.Float64Range(0.01, 100).Draw(t, "litres")
		density := rapid.Float64Range(1.5, 8).Draw(t, "density")
		bulk := density * rapid.Float64Range(0.2, 0.6).Draw(t, "packing")
		parts := rapid.Float64Range(0.9, 150).Draw(t, "water to one")
		s, err := process.SlurryOf(volume, parts, density, bulk)
		require.NoError(t, err)
		assert.InEpsilon(t, volume, s.WaterL+s.PowderG/density/1000, 1e-9)
		assert.InEpsilon(t, parts, s.Parts, 1e-9)
		if s.Baume > 70 {
			return
		}
		again, err := process.SlurryOfBaume(volume, s.Baume, density, bulk)
		require.NoError(t, err)
		assert.InEpsilon(t, s.PowderG, again.PowderG, 1e-6)
	})
}

func TestSlurryThatCannotBe(t *testing.T) {
	nan := math.NaN()
	for _, v := range [][4]float64{{0, 2, 3.2, 1.5}, {nan, 2, 3.2, 1.5}, {1, 0, 3.2, 1.5}, {1, -1, 3.2, 1.5}, {1, 2, 0, 1.5}, {1, 2, 3.2, 0}, {1, 2, 1.5, 3}, {1e9, 2, 3.2, 1.5}, {1, math.Inf(1), 3.2, 1.5}} {
		_, err := process.SlurryOf(v[0], v[1], v[2], v[3])
		assert.Error(t, err, v)
	}
	for _, v := range [][3]float64{{0, 20, 3.2}, {1, 0, 3.2}, {1, nan, 3.2}, {1, 70, 1.5}, {1, 20, nan}} {
		_, err := process.SlurryOfBaume(v[0], v[1], v[2], 0)
		assert.Error(t, err, v)
	}
}

func TestSlurriesOfARecipe(t *testing.T) {
	text := head +
		step("Grind", "Surface: top", "Abrasive: S220", "Medium: iron lap", "Machine: LAP at 110 rpm", "Water: drip", "Mix: cream", "Time: 8 min") +
		step("Pad", "Surface: top", "Abrasive: R325", "Machine: LAP at 200 rpm", "Water: flood", "Time: 5 min") +
		step("Polish", "Surface: top", "Abrasive: cerium oxide 1.5 µm", "Medium: felt pad", "Machine: LAP at 150 rpm", "Water: damp", "Mix: 1 : 10 by volume", "Time: 8 min")
	all := reckonText(t, shop, text).Plan.Slurries(2)
	require.Len(t, all, 2, "the pad mixes nothing")
	grind, polish := all[0], all[1]
	require.Empty(t, grind.Cannot)
	// Two volumes of water to one of powder at 1.5 g/ml and 3.2 g/cm³: 1.5 kg to
	// two litres of water, which is 2.469 l.
	assert.InDelta(t, 1500/2.46875*2, grind.Slurry.PowderG, 1e-6)
	assert.Greater(t, grind.Thick.PowderG, grind.Slurry.PowderG)
	assert.Less(t, grind.Thin.PowderG, grind.Slurry.PowderG)
	require.Empty(t, polish.Cannot)
	assert.InDelta(t, 10, polish.Slurry.Parts, 1e-9)
	assert.Equal(t, polish.Thin, polish.Thick)
	assert.NotEmpty(t, reckonText(t, shop, text).Plan.Slurries(0)[0].Cannot)
}

// The speed and the force of a measurement are read as those of a recipe are:
// what was measured at half the speed comes off twice as fast at all of it.
func TestMeasuredAtAnotherSpeed(t *testing.T) {
	text := head + step("Pad", "Surface: top", "Abrasive: R325", "Machine: LAP at 200 rpm", "Water: flood", "Pressure: 40 N", "Time: 5 min")
	removed := func(more string) float64 {
		r := reckonText(t, shop+"measured:\n  - {stock: R325, rate: 10 µm/min"+more+"}\n", text)
		return surface(t, r, "top").Steps[0].Result.RemovedUM
	}
	assert.InDelta(t, 50, removed(""), 1e-9)
	assert.InDelta(t, 50, removed(", speed: 200 rpm, pressure: 40 N"), 1e-9)
	assert.InDelta(t, 100, removed(", speed: 100 rpm"), 1e-9)
	assert.InDelta(t, 25, removed(", pressure: 80 N"), 1e-9)
	// A speed in metres a second is the rim's, there as here.
	rim := reckonText(t, shop, head+step("Pad", "Surface: top", "Abrasive: R325", "Machine: LAP at 4 m/s", "Water: flood", "Pressure: 40 N", "Time: 5 min"))
	plain := reckonText(t, shop, text)
	ratio := surface(t, plain, "top").Steps[0].In.SpeedMS.Value / surface(t, rim, "top").Steps[0].In.SpeedMS.Value
	assert.InEpsilon(t, 50*ratio, removed(", speed: 4 m/s"), 1e-9)
}
