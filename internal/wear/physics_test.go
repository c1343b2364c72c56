package wear

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Formulas against values published for them, or worked from the published
// formula apart from this code.

func TestBandOfDamage(t *testing.T) {
	// J. C. Lambropoulos, OFT (2000) 17–18: 0.3 L^0.68 < depth < 2 L^0.85.
	m := Default()
	for _, c := range []struct{ l, low, high float64 }{
		{3, 0.633, 5.088}, {5, 0.896, 7.855}, {7, 1.127, 10.456}, {9.3, 1.367, 13.312}, {15, 1.892, 19.985},
		{17.3, 2.084, 22.562}, {20, 2.300, 25.521}, {30, 3.031, 36.023}, {40, 3.686, 46.002}, {58, 4.745, 63.088},
		{80, 5.905, 82.919}, {180, 10.250, 165.201},
	} {
		assert.InDelta(t, c.low, m.BandUM(c.l, 0), 5e-4)
		assert.InDelta(t, c.high, m.BandUM(c.l, 1), 5e-4)
	}
	assert.InDelta(t, 10.602, m.BandUM(9.3, 0.9), 5e-4)
	assert.Equal(t, m.BandUM(9.3, 1), m.BandUM(9.3, 1.7))
	assert.Equal(t, m.BandUM(9.3, 0), m.BandUM(9.3, -3))
}

func TestDepthOverRoughness(t *testing.T) {
	g := soda(t)
	// Loose alumina: 6.7 ± 0.8 (N. Belkhir et al., 2011): Rt 3.66 and 7.5 go with
	// 24.5 and 50.25 µm.
	loose := fresh(t, hard(Alumina, 40), g)
	assert.InDelta(t, 24.5, 3.66*loose.DUM/loose.RtUM, 0.05)
	assert.InDelta(t, 50.25, 7.5*loose.DUM/loose.RtUM, 0.005)
	// The low end reaches down to 2.92 (F. Lakhdari, 2018; spread 0.75).
	assert.InDelta(t, 2.92, loose.DLowUM/loose.RtUM, 0.75)
	// Bound diamond: 7.4 ± 1.3 (Z. Dong et al., 2014), 6.4 ± 1.3 (P. P. Hed,
	// D. F. Edwards, 1987).
	for _, b := range []Bond{Plated, Metal, Vitrified, Resin, Coated, Rubber, Urethane} {
		s := fresh(t, bonded(b, 40), g)
		assert.InDelta(t, 7.4, s.DUM/s.RtUM, 1e-9, b)
		assert.InDelta(t, 6.4, s.DUM/s.RtUM, 1.3, b)
	}
}

func TestRoughnessPairs(t *testing.T) {
	// N. Belkhir, D. Bouzid, V. Herold (2007): peak to valley and Rq.
	m := Default()
	sum := 0.0
	for _, c := range []struct{ rt, rq float64 }{{7.5, 1.39}, {3.66, 0.57}, {2.88, 0.51}, {2.10, 0.33}} {
		assert.InEpsilon(t, c.rq, m.RqUM(State{RtUM: c.rt}), 0.12)
		sum += c.rt / c.rq
	}
	assert.InDelta(t, 5.96, sum/4, 0.005)
	assert.InEpsilon(t, sum/4, 1/m.RqUM(State{RtUM: 1}), 0.01)
}

func TestPositionOfLooseAlumina(t *testing.T) {
	// The four measured roughnesses times 6.7 stand at these places in the band.
	m := Default()
	for _, c := range []struct{ l, rt, at float64 }{{80, 7.5, 0.81}, {40, 3.66, 0.75}, {20, 2.88, 0.88}, {7, 2.10, 1.13}} {
		low, high := m.BandUM(c.l, 0), m.BandUM(c.l, 1)
		assert.InDelta(t, c.at, math.Log(6.7*c.rt/low)/math.Log(high/low), 0.005)
		if c.l > 7 {
			d := fresh(t, hard(Alumina, c.l), soda(t))
			assert.Less(t, d.DLowUM, 6.7*c.rt)
			assert.Greater(t, d.DHighUM, 6.7*c.rt)
		}
	}
}

func TestPreston(t *testing.T) {
	// B. J. Tesar, B. A. Fuchs: 16e-14 cm²/dyn. 1 cm²/dyn = 1e-4 m² / 1e-5 N.
	const perPa = 16e-14 * 1e-4 / 1e-5
	assert.InEpsilon(t, 1.6e-12, perPa, 1e-12)
	for _, c := range []struct{ k, rate float64 }{{perPa, 0.96}, {1.6e-13, 0.096}} {
		table, err := Constants().With("cerium.felt", c.k, "B. J. Tesar, B. A. Fuchs")
		require.NoError(t, err)
		m, err := New(table)
		require.NoError(t, err)
		s := Step{Tool: soft(Cerium, Felt, 1.5), Glass: soda(t), ForceN: 100, AreaM2: 0.01, SpeedMS: 1, Load: 1, Minutes: 7}
		r := run(t, m, State{}, s)[0]
		assert.Equal(t, 10000.0, r.PressurePa)
		assert.InEpsilon(t, c.rate, r.RateUMMin, 1e-9)
		assert.InEpsilon(t, c.k, r.KPerPa, 1e-9)
	}
	m := Default()
	assert.InEpsilon(t, math.Sqrt(1.6e-13*1.6e-12), m.cerium[Felt], 0.02)
	// L. M. Cook, J. Non-Cryst. Solids 120 (1990) 152: no polish is faster than
	// 1/(2E).
	for lap := Pitch; lap <= Brush; lap++ {
		assert.Less(t, m.cerium[lap], 1/(2*72e9))
		assert.Less(t, m.pumice[lap], 1/(2*72e9))
	}
}

func TestGlassFactors(t *testing.T) {
	// E^½/H: T. Suratwala et al. (2019); E^(5/4)/(Kc H²): indentation fracture.
	m := Default()
	for _, c := range []struct {
		name         string
		damage, rate float64
	}{{"soda-lime", 1, 1}, {"lead-crystal", 1.12, 1.37}, {"borosilicate", 0.86, 0.71}, {"fused-silica", 0.63, 0.40}} {
		g, ok := m.Glass(c.name)
		require.True(t, ok)
		assert.InDelta(t, c.damage, m.DamageFactor(g), 0.005, c.name)
		assert.InDelta(t, c.rate, m.RateFactor(g), 0.005, c.name)
	}
	damage, rates := m.UnknownGlass()
	assert.InDelta(t, 1.12, m.DamageFactor(damage), 0.005)
	assert.Equal(t, 1.0, m.RateFactor(rates))
	_, ok := m.Glass("butter")
	assert.False(t, ok)
}

func TestGlassAgainstIndentation(t *testing.T) {
	// B. R. Lawn, A. G. Evans, D. B. Marshall (1980): c = (chi P/Kc)^(2/3) with
	// chi = 0.016 (E/H)^½; threshold of B. R. Lawn, A. G. Evans (1977); ductile
	// depth of T. G. Bifano et al. (1991). Worked for soda-lime from 72 GPa,
	// 5.5 GPa and 0.75 MPa·m^½: this holds the row of the table to them.
	g := soda(t)
	e, h, kc := g.EGPa*1e9, g.HGPa*1e9, g.KcMPaSqrtM*1e6
	chi := 0.016 * math.Sqrt(e/h)
	assert.InDelta(t, 0.0579, chi, 5e-5)
	for _, c := range []struct{ n, um float64 }{{0.005, 0.53}, {0.05, 2.46}, {0.2, 6.20}, {1, 18.13}, {10, 84.15}} {
		assert.InDelta(t, c.um, math.Pow(chi*c.n/kc, 2./3)*1e6, 0.006)
	}
	assert.InDelta(t, 0.82, 44.2*math.Pow(kc/h, 2)*1e6, 0.005)
	assert.InDelta(t, 0.042, 2.2e4*math.Pow(kc, 4)/math.Pow(h, 3), 0.0005)
	assert.InDelta(t, 37, 0.15*e/h*math.Pow(kc/h, 2)*1e9, 0.5)
}

func TestScatter(t *testing.T) {
	// H. E. Bennett, J. O. Porteus (1961).
	m := Default()
	for _, c := range []struct{ nm, tis float64 }{{1, 0.0005}, {2, 0.0021}, {3, 0.0047}, {5, 0.0130}, {10, 0.0509},
		{17.2, 0.1431}, {20, 0.1885}, {50, 0.7288}, {100, 0.9946}} {
		assert.InDelta(t, c.tis, m.TIS(c.nm/1000), 1.5e-4, c.nm)
	}
	assert.InDelta(t, 0.0172, m.SmoothRqUM(), 5e-5)
	assert.InDelta(t, 0.143, m.TIS(m.SmoothRqUM()), 5e-4)
	// What is left at Fraunhofer's and at Rayleigh's limit.
	assert.InDelta(t, 0.857, 1-m.TIS(0.55/32), 5e-4)
	assert.InDelta(t, 0.085, 1-m.TIS(0.55/8), 5e-4)
	assert.InDelta(t, math.Exp(-math.Pi*math.Pi/4), 1-m.TIS(0.55/8), 1e-12)
	table, err := Constants().With("optics.wavelength", 0.6328, "helium-neon laser")
	require.NoError(t, err)
	red, err := New(table)
	require.NoError(t, err)
	for _, c := range []struct{ nm, tis float64 }{{1, 0.00039}, {2, 0.00158}, {5, 0.00981}, {10, 0.03867}} {
		assert.InDelta(t, c.tis, red.TIS(c.nm/1000), 6e-6)
	}
}

func TestHazeDryAndWet(t *testing.T) {
	m := Default()
	for _, c := range []struct{ um, dry, wet float64 }{{0.02, 0.014, 0.0018}, {0.05, 0.084, 0.011}, {0.1, 0.297, 0.045},
		{0.2, 0.756, 0.167}, {0.5, 1, 0.681}} {
		assert.InDelta(t, c.dry, m.HazeDry(c.um), 6e-4)
		assert.InDelta(t, c.wet, m.HazeWet(c.um), 6e-4)
	}
}

func TestLampAngle(t *testing.T) {
	// Rayleigh: smooth where Rq < wavelength / (8 sin angle).
	m := Default()
	for _, c := range []struct{ um, deg, tol float64 }{{0.1375, 30, 1e-9}, {0.2, 20.11, 0.005}, {0.07, 79.2, 0.05}, {0.1, 43.4, 0.05},
		{0.3, 13.3, 0.06}, {0.5, 7.9, 0.05}, {0.79, 5.0, 0.05}, {1, 3.9, 0.05}, {2, 2.0, 0.05}, {3, 1.3, 0.05}, {0.0172, 90, 0}, {0, 90, 0}} {
		assert.InDelta(t, c.deg, m.LampDeg(c.um), c.tol+1e-12, c.um)
		if c.deg < 90 {
			back, err := m.RqOfLampUM(m.LampDeg(c.um))
			require.NoError(t, err)
			assert.InEpsilon(t, c.um, back, 1e-9)
		}
	}
}

func TestGloss(t *testing.T) {
	// ISO 2813 geometry, index 1.52 against black glass of 1.567: reflection at
	// 60° by Fresnel.
	fresnel := func(n float64) float64 {
		c, s2 := 0.5, 0.75
		root := math.Sqrt(n*n - s2)
		rs := (c - root) / (c + root)
		rp := (n*n*c - root) / (n*n*c + root)
		return (rs*rs + rp*rp) / 2
	}
	m := Default()
	assert.InDelta(t, 100*fresnel(1.52)/fresnel(1.567), m.Gloss60(0), 0.15)
	for _, c := range []struct{ nm, gu, tol float64 }{{0, 92.4, 1e-9}, {17.2, 88.9, 0.1}, {43.8, 72, 0.5}, {100, 25, 0.6}, {137.5, 7.8, 0.05}, {200, 0.5, 0.05}} {
		assert.InDelta(t, c.gu, m.Gloss60(c.nm/1000), c.tol, c.nm)
	}
}

func TestSpeeds(t *testing.T) {
	for _, c := range []struct{ m, rpm, want float64 }{{0.30, 300, 4.71}, {0.30, 600, 9.42}, {0.15, 1750, 13.74},
		{0.254, 1750, 23.27}, {0.406, 201, 4.28}, {0.61, 120, 3.83}, {0.20, 3000, 31.4}} {
		assert.InDelta(t, c.want, RimSpeedMS(c.m, c.rpm), 0.02)
	}
	// Even dwell over a disc: by summing rings.
	sum, area := 0.0, 0.0
	for i := range 10000 {
		r := (float64(i) + 0.5) / 10000 * 0.15
		sum, area = sum+RimSpeedMS(2*r, 300)*r, area+r
	}
	assert.InEpsilon(t, sum/area, MeanDiscSpeedMS(0.30, 300), 1e-6)
	assert.InDelta(t, 0.0707, DiscAreaM2(0.3), 5e-5)
	assert.InDelta(t, 0.0251, RimAreaM2(0.2, 0.04), 5e-5)
}

func TestSlurry(t *testing.T) {
	// United States degrees Baumé, 145/(145 − °Bé).
	for _, c := range []struct{ be, sg float64 }{{0, 1}, {1, 1.0069}, {3, 1.0211}, {5, 1.0357}, {10, 1.0741}, {15, 1.1154}, {40, 1.381}, {60, 1.706}} {
		assert.InDelta(t, c.sg, SpecificGravity(c.be), 5e-4)
	}
	for _, be := range []float64{-3, 145, 1e9, math.Inf(1), math.NaN()} {
		sg := SpecificGravity(be)
		assert.True(t, sg >= 1 && sg < 2, be)
	}
	for _, c := range []struct{ density, grams float64 }{{6.5, 42}, {2.35, 62}, {3.21, 52}} {
		got, err := PowderGPerL(SpecificGravity(5), c.density)
		require.NoError(t, err)
		assert.InDelta(t, c.grams, got, 0.5)
	}
	_, err := PowderGPerL(1.2, 0.9)
	assert.Error(t, err)
	_, err = PowderGPerL(4, 3.2)
	assert.Error(t, err, "heavier than the powder itself")
}

func TestWeighing(t *testing.T) {
	// 1 g off 100 cm² of density 2.5 is 40 µm.
	um, err := RemovedByWeightUM(1, 0.01, 2.5)
	require.NoError(t, err)
	assert.InDelta(t, 40, um, 1e-9)
}

// Common practice ----------------------------------------------------------

func TestDiamondCutsFasterThanGritAndGritThanPumice(t *testing.T) {
	// At one number, 60 to 600, by the minute.
	m, g := Default(), soda(t)
	for _, grain := range []float64{250, 106, 58, 45, 25, 17.3, 9.3} {
		plated := run(t, m, State{}, iron(g, bonded(Plated, grain), 5))[0]
		grit := run(t, m, State{}, iron(g, hard(SiliconCarbide, grain), 5))[0]
		felt := iron(g, soft(Pumice, Felt, grain), 5)
		pumice := run(t, m, State{}, felt)[0]
		assert.Greater(t, plated.RateUMMin, grit.RateUMMin, grain)
		assert.Greater(t, grit.RateUMMin, pumice.RateUMMin, grain)
		// In depth loose grit on iron goes deeper than a bonded tool.
		for _, b := range []Bond{Plated, Metal, Vitrified, Resin} {
			assert.Greater(t, fresh(t, hard(SiliconCarbide, grain), g).DUM, fresh(t, bonded(b, grain), g).DUM)
		}
	}
}

func TestBrushAndPumiceStopShortOfPolish(t *testing.T) {
	// However long, and whatever the lap: semi-translucent at most, 2F and finer
	// satin at least.
	m, g := Default(), soda(t)
	for _, lap := range []LapClass{Pad, Cork, Felt, Brush} {
		for _, grain := range []float64{30, 37, 45} {
			s := wheel(g, soft(Pumice, lap, grain), 600)
			after := run(t, m, fresh(t, bonded(Resin, 45), g), s)[0].After
			assert.LessOrEqual(t, m.Finish(after), Lustre)
			assert.GreaterOrEqual(t, m.Finish(after), Satin)
		}
	}
	s := wheel(g, soft(Pumice, Brush, 45), 20)
	assert.Equal(t, Satin, m.Finish(run(t, m, fresh(t, bonded(Resin, 45), g), s)[0].After))
}

func TestABlastedFaceGainsSheenOnPumiceAlone(t *testing.T) {
	m, g := Default(), soda(t)
	blasted, err := m.Sandblasted(58, g)
	require.NoError(t, err)
	assert.Equal(t, Matte, m.Finish(blasted))
	s := wheel(g, soft(Pumice, Brush, 45), 12)
	assert.Greater(t, m.Finish(run(t, m, blasted, s)[0].After), FineMatte)
}

func TestPumiceBreaksDownFasterAndGoesOnWorking(t *testing.T) {
	m, g := Default(), soda(t)
	on := func(tool Tool, minutes float64) Result {
		s := wheel(g, tool, minutes)
		s.ChargeEveryMin = 0
		return run(t, m, State{}, s)[0]
	}
	pumice, grit := on(soft(Pumice, Felt, 45), 1), on(soft(SiliconCarbide, Felt, 45), 1)
	assert.Less(t, pumice.TauMin, grit.TauMin)
	assert.Less(t, pumice.GrainEndUM, grit.GrainEndUM)
	assert.Equal(t, pumice.RateUMMin, on(soft(Pumice, Felt, 45), 30).RateUMMin)
	assert.Greater(t, grit.RateUMMin, on(soft(SiliconCarbide, Felt, 45), 30).RateUMMin)
	assert.False(t, on(soft(Pumice, Felt, 45), 30).Spent)
	assert.True(t, on(soft(SiliconCarbide, Felt, 45), 30).Spent)
}
