package wear

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStartingStates(t *testing.T) {
	m, g := Default(), soda(t)
	sawn, err := m.Sawn(150, g)
	require.NoError(t, err)
	assert.InEpsilon(t, m.BandUM(150, 0.55), sawn.DUM, 1e-12)
	assert.InEpsilon(t, m.BandUM(150, 0.35), sawn.DLowUM, 1e-12)
	assert.InEpsilon(t, m.BandUM(150, 0.75), sawn.DHighUM, 1e-12)
	assert.InEpsilon(t, sawn.DUM/7.4, sawn.RtUM, 1e-12)

	blasted, err := m.Sandblasted(180, g)
	require.NoError(t, err)
	assert.InEpsilon(t, m.BandUM(180, 0.9), blasted.DUM, 1e-12)
	assert.InEpsilon(t, m.BandUM(180, 0.55), blasted.DLowUM, 1e-12)
	assert.InEpsilon(t, m.BandUM(180, 1), blasted.DHighUM, 1e-12)
	assert.InEpsilon(t, blasted.DUM/6.7, blasted.RtUM, 1e-12)
	cast, err := m.AsCast(g)
	require.NoError(t, err)
	assert.Equal(t, blasted, cast)

	// A casting is less even than fused work, and that than a sawn face.
	assert.Greater(t, m.StockCastUM(), m.StockFusedUM())
	assert.Greater(t, m.StockFusedUM(), m.StockSawnUM())
	for _, bad := range []Tool{{}, soft(Pumice, HardLap, 45)} {
		_, err = m.Ground(bad, g)
		assert.Error(t, err)
	}
	_, err = m.Ground(hard(Alumina, 9), Glass{})
	assert.Error(t, err)

	// A written damage takes the range and the roughness with it.
	written, err := m.WithDamage(sawn, 40)
	require.NoError(t, err)
	assert.Equal(t, 40.0, written.DUM)
	assert.InEpsilon(t, sawn.DHighUM/sawn.DUM, written.DHighUM/40, 1e-12)
	assert.InEpsilon(t, sawn.DLowUM/sawn.DUM, written.DLowUM/40, 1e-12)
	assert.InEpsilon(t, 40/7.4, written.RtUM, 1e-12)
	bare, err := m.WithDamage(State{StockUM: 300}, 40)
	require.NoError(t, err)
	assert.InEpsilon(t, 40/6.7, bare.RtUM, 1e-12)
	bare.RtUM = 0
	assert.Equal(t, State{DLowUM: 20, DUM: 40, DHighUM: 60, StockUM: 300}, bare)
	none, err := m.WithDamage(sawn, 0)
	require.NoError(t, err)
	assert.Equal(t, State{}, none)
	_, err = m.WithDamage(sawn, -1)
	assert.Error(t, err)
}

func TestUnknownGlassIsTakenAsTheWorse(t *testing.T) {
	m := Default()
	damage, rates := m.UnknownGlass()
	s := iron(damage, hard(SiliconCarbide, 58), 10)
	s.GlassForRates = rates
	unknown := run(t, m, State{}, s)[0]
	lead, soda := run(t, m, State{}, iron(damage, s.Tool, 10))[0], run(t, m, State{}, iron(rates, s.Tool, 10))[0]
	assert.Equal(t, soda.RemovedUM, unknown.RemovedUM)
	assert.Equal(t, lead.After.DUM, unknown.After.DUM)
	assert.Greater(t, lead.After.DUM, soda.After.DUM)
}

func TestABlastTakesOneGrainOff(t *testing.T) {
	m, g := Default(), soda(t)
	own, err := m.Sandblasted(58, g)
	require.NoError(t, err)
	r, err := m.Blast(State{StockUM: 200}, 58, g)
	require.NoError(t, err)
	assert.Equal(t, 58.0, r.RemovedUM)
	assert.Equal(t, NothingHanded, r.Verdict)
	own.StockUM = 142
	assert.Equal(t, own, r.After)
	// Old damage that goes deeper stays, less a grain.
	old := State{DLowUM: 50, DUM: 120, DHighUM: 300, RtUM: 12}
	r, err = m.Blast(old, 58, g)
	require.NoError(t, err)
	assert.Equal(t, Doubtful, r.Verdict)
	assert.Equal(t, 62.0, r.After.DUM)
	assert.Equal(t, 242.0, r.After.DHighUM)
	assert.Equal(t, own.RtUM, r.After.RtUM, "what lies deeper does not roughen the blasted texture")
	r, err = m.Blast(State{RtUM: 100, DUM: 200, DHighUM: 300}, 58, g)
	require.NoError(t, err)
	assert.Equal(t, 42.0, r.After.RtUM, "a texture deeper than a grain is not gone")
	for _, grain := range []float64{0, -5, 1e5} {
		_, err = m.Blast(old, grain, g)
		assert.Error(t, err, grain)
	}
}

func TestToolThatActsLikeALooseGrade(t *testing.T) {
	// A urethane wheel of no grade that leaves the finish of F400: deep as F400,
	// but rate, bond and the ratio of roughness stay its own, and neither load
	// nor time changes it.
	m, g := Default(), soda(t)
	own := Tool{Family: SiliconCarbide, Bond: Urethane, GrainUM: 45}
	acts := own
	acts.ActsLikeUM = 17.3
	a, b := iron(g, own, 5), iron(g, acts, 5)
	x, y := run(t, m, State{}, a)[0], run(t, m, State{}, b)[0]
	assert.Equal(t, x.RemovedUM, y.RemovedUM)
	loose := fresh(t, hard(SiliconCarbide, 17.3), g)
	assert.InEpsilon(t, loose.DUM, y.After.DUM, 1e-12)
	assert.InEpsilon(t, loose.DLowUM, y.After.DLowUM, 1e-12)
	assert.InEpsilon(t, loose.DHighUM, y.After.DHighUM, 1e-12)
	assert.InEpsilon(t, y.After.DUM/7.4, y.After.RtUM, 1e-12)
	b.Load = 8
	assert.Equal(t, y.After, run(t, m, State{}, b)[0].After)
}

func TestLoadDeepensLooseGrainOnly(t *testing.T) {
	m, g := Default(), soda(t)
	at := func(tool Tool, load float64) float64 {
		_, mid, _, err := m.OwnDamageUM(tool, g, load, tool.GrainUM)
		require.NoError(t, err)
		return mid
	}
	grit := hard(SiliconCarbide, 58)
	assert.InEpsilon(t, math.Pow(2, 0.2), at(grit, 2)/at(grit, 1), 1e-12)
	assert.InEpsilon(t, 2, at(grit, 1e6)/at(grit, 1), 1e-12)
	assert.InEpsilon(t, 0.5, at(grit, 1e-6)/at(grit, 1), 1e-12)
	assert.Equal(t, at(bonded(Resin, 45), 1), at(bonded(Resin, 45), 9))
	assert.Zero(t, at(soft(Cerium, Felt, 1.5), 9))
	assert.Equal(t, 1.0, m.LoadOnLap(40, 0.01))
	assert.Equal(t, 1.0, m.LoadOnPatch(30))
}

func TestRogueGrainCountsInTheHighDamageOnly(t *testing.T) {
	// T. Suratwala et al. (2008): above one part in ten thousand, damage tends to
	// that of the coarse size alone.
	m, g := Default(), soda(t)
	clean := run(t, m, State{}, iron(g, hard(SiliconCarbide, 9.3), 8))[0]
	tool := hard(SiliconCarbide, 9.3)
	tool.RogueUM = 58
	stray := run(t, m, State{}, iron(g, tool, 8))[0]
	assert.Equal(t, clean.After.DUM, stray.After.DUM)
	assert.Equal(t, clean.After.RtUM, stray.After.RtUM)
	assert.InEpsilon(t, fresh(t, hard(SiliconCarbide, 58), g).DHighUM, stray.After.DHighUM, 1e-12)
	// Grit in the cerium spoils an optical polish and nothing else.
	pol := soft(Cerium, Felt, 1.5)
	assert.Equal(t, OpticalPolish, m.Finish(run(t, m, clean.After, wheel(g, pol, 60))[0].After))
	pol.RogueUM = 9.3
	assert.Equal(t, BrightPolish, m.Finish(run(t, m, clean.After, wheel(g, pol, 60))[0].After))
}

func TestBondedPumiceAndCeriumCountAsOnAPad(t *testing.T) {
	m, g := Default(), soda(t)
	before := fresh(t, bonded(Resin, 45), g)
	for _, f := range []Family{Pumice, Cerium} {
		pad := wheel(g, soft(f, Pad, 45), 5)
		rubber := wheel(g, Tool{Family: f, Bond: Rubber, GrainUM: 45}, 5)
		rubber.LapAreaM2 = 0 // carries no charge
		x, y := run(t, m, before, pad)[0], run(t, m, before, rubber)[0]
		assert.Equal(t, x.RemovedUM, y.RemovedUM)
		assert.Zero(t, y.Charges)
		assert.Zero(t, y.TauMin)
	}
}

func TestChargesAreCountedBackFromTheEnd(t *testing.T) {
	g := soda(t)
	for _, c := range []struct {
		every, down, minutes float64
		want                 int
	}{{2, 3, 8, 4}, {1, 0, 10, 10}, {1, 2, 8, 7}, {0, 0, 30, 1}, {2, 5, 4, 1}, {2, 5, 5, 1}, {2, 5, 5.5, 2}, {0.1, 0, 1, 10}, {1, 0, 0, 0}} {
		s := wheel(g, soft(Pumice, Felt, 45), c.minutes)
		s.ChargeEveryMin, s.RunDownMin = c.every, c.down
		assert.Equal(t, c.want, run(t, Default(), State{}, s)[0].Charges, "%+v", c)
	}
	assert.Zero(t, run(t, Default(), State{}, wheel(g, soft(Cerium, Felt, 1.5), 10))[0].Charges)
}
