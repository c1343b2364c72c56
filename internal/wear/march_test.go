package wear

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// march does a step in small steps of time, as the model's equations are
// written: dh = r dt, D = max(D − r dt, own), Rt alike, and a new start at each
// charge. It shares with Step the band, the bite and Preston's constant of new
// grain, but nothing that sums over time.
func march(t testing.TB, m *Model, before State, s Step, dt float64) (State, float64) {
	t.Helper()
	rates := s.GlassForRates
	if rates == (Glass{}) {
		rates = s.Glass
	}
	fresh := m.freshK(s.Tool, rates) * s.ForceN / s.AreaM2 * s.SpeedMS * 6e7
	if s.House.RateFactor > 0 {
		fresh *= s.House.RateFactor
	}
	bite := m.bite(s.Tool, s.Glass, s.Load, s.House.DamageFactor)
	rough := m.roughness(s.Tool)
	soft := s.Tool.lap().Compliant()
	size := func(float64) float64 { return s.Tool.GrainUM }
	if s.Tool.crushed() {
		work := m.breakdown[s.Tool.Family]
		if s.House.BreakdownJM2 > 0 {
			work = s.House.BreakdownJM2
		}
		tau := work / (60 * s.ForceN * s.SpeedMS / s.LapAreaM2)
		least := m.left[s.Tool.Family] * s.Tool.GrainUM
		size = func(age float64) float64 { return least + (s.Tool.GrainUM-least)*math.Exp(-age/tau) }
	}
	rate := func(age float64) float64 {
		if s.Tool.Family == Pumice {
			return fresh
		}
		return fresh * math.Pow(size(age)/s.Tool.GrainUM, 0.75)
	}

	// The charges, from the last back to the first.
	every, down := s.ChargeEveryMin, s.RunDownMin
	if down == 0 {
		down = every
	}
	if !s.Tool.crushed() {
		every, down = 0, 0
	}
	var lengths []float64
	switch {
	case every == 0 || down >= s.Minutes:
		lengths = []float64{s.Minutes}
	default:
		lengths = []float64{down}
		for rest := s.Minutes - down; rest > 1e-9; rest -= every {
			lengths = append([]float64{min(every, rest)}, lengths...)
		}
	}
	at, removed := before, 0.0
	for i, length := range lengths {
		// On a compliant lap one own damage holds for the whole charge.
		whole := every
		if i == len(lengths)-1 {
			whole = down
		}
		if len(lengths) == 1 {
			whole = min(every, down)
		}
		var crushed depth
		if whole > 0 && length < whole {
			crushed = bite.at(size(whole))
			crushed = depth{crushed.low * length / whole, crushed.mid * length / whole, max(crushed.high*length/whole, bite.rogue)}
		} else {
			crushed = bite.at(size(length))
		}
		settle := func(age, off float64) {
			own := crushed
			if !soft {
				own = bite.at(size(age))
			}
			at.DLowUM = max(at.DLowUM-off, own.low)
			at.DUM = max(at.DUM-off, own.mid)
			at.DHighUM = max(at.DHighUM-off, own.high)
			end := max(own.mid/rough.kappa, rough.floor)
			if s.Tool.Family == Cerium {
				end = min(rough.floor, before.RtUM)
			}
			at.RtUM = max(at.RtUM-rough.level*off, end)
			at.StockUM = max(at.StockUM-off, 0)
			removed += off
		}
		settle(0, 0)
		for age := 0.0; age < length-1e-9; {
			d := min(dt, length-age)
			off := rate(age+d/2) * d
			age += d
			settle(age, off)
		}
	}
	return at, removed
}

// agree holds a closed form against a march.
func agree(t require.TestingT, m *Model, tb testing.TB, before State, s Step, dt, share float64) {
	r, err := m.Step(before, s)
	require.NoError(t, err)
	at, removed := march(tb, m, before, s, dt)
	// What is left is a difference: its error is measured against what went.
	near := func(what string, want, got, was float64) {
		assert.InDeltaf(t, want, got, share*max(want, min(removed, was))+1e-9, "%s of %+v after %+v", what, s, before)
	}
	assert.InEpsilon(t, removed, r.RemovedUM, share)
	near("low damage", at.DLowUM, r.After.DLowUM, before.DLowUM)
	near("damage", at.DUM, r.After.DUM, before.DUM)
	near("high damage", at.DHighUM, r.After.DHighUM, before.DHighUM)
	near("Rt", at.RtUM, r.After.RtUM, before.RtUM)
	near("stock", at.StockUM, r.After.StockUM, before.StockUM)
}

func TestClosedFormAgainstAMarchOfASecond(t *testing.T) {
	m := Default()
	var before State
	for _, s := range chainA(soda(t)) {
		agree(t, m, t, before, s, 1./60, 0.0011)
		r, err := m.Step(before, s)
		require.NoError(t, err)
		before = r.After
	}
}

func TestClosedFormAgainstAFineMarch(t *testing.T) {
	m := Default()
	rapid.Check(t, func(rt *rapid.T) {
		before, s := drawState(rt), drawShopStep(rt)
		s.Minutes = rapid.Float64Range(0.05, 12).Draw(rt, "minutes")
		// The march must be fine against the life of a charge.
		dt := 1. / 600
		if c := m.charge(&s); c.tau > 0 {
			dt = min(dt, c.tau/2000)
		}
		if s.Minutes/dt > 2e5 {
			rt.Skip("too long to march")
		}
		agree(rt, m, t, before, s, dt, 0.0011)
	})
}

// drawCushioned draws grain that breaks down on a lap that gives, so slowly
// worked that what each charge bites can still be seen after it.
func drawCushioned(t *rapid.T) (State, Step) {
	s := Step{
		Tool: soft(rapid.SampledFrom([]Family{SiliconCarbide, Alumina, Garnet, Pumice}).Draw(t, "family"),
			rapid.SampledFrom([]LapClass{Pad, Cork, Felt, Brush}).Draw(t, "lap"), rapid.Float64Range(1, 200).Draw(t, "grain")),
		Glass: drawGlass(t), ForceN: 10, AreaM2: rapid.Float64Range(0.1, 5).Draw(t, "area"), SpeedMS: 0.2,
		Load:           rapid.Float64Range(0.1, 10).Draw(t, "load"),
		LapAreaM2:      rapid.Float64Range(0.0001, 0.005).Draw(t, "lap area"),
		ChargeEveryMin: rapid.SampledFrom([]float64{0.5, 1, 2, 3}).Draw(t, "every"),
		RunDownMin:     rapid.Float64Range(0.25, 9).Draw(t, "down"),
	}
	s.Minutes = s.RunDownMin + rapid.Float64Range(0, 7).Draw(t, "more")
	d := rapid.Float64Range(0, 0.5).Draw(t, "damage")
	return State{DUM: d, DHighUM: d, RtUM: d / 7}, s
}

func TestCushionedChargesAgainstAMarch(t *testing.T) {
	m := Default()
	seen := map[string]int{}
	rapid.Check(t, func(rt *rapid.T) {
		before, s := drawCushioned(rt)
		dt := max(min(1./600, m.charge(&s).tau/1000), 1e-5)
		agree(rt, m, t, before, s, dt, 0.0011)
		// Which charge set what is left.
		r, err := m.Step(before, s)
		require.NoError(rt, err)
		w := m.work(&s)
		p := w.rhythm.over(s.Minutes)
		for i, k := range w.marks(p) {
			if k.own.mid-k.since == r.After.DUM {
				seen[[]string{"last", "the one before"}[i]]++
			}
		}
	})
	assert.NotZero(t, seen["last"])
	assert.NotZero(t, seen["the one before"])
}

func TestCushionedChargesNeverJump(t *testing.T) {
	m := Default()
	rapid.Check(t, func(rt *rapid.T) {
		before, s := drawCushioned(rt)
		n := rapid.IntRange(0, 3).Draw(rt, "n")
		s.Minutes = s.RunDownMin + float64(n)*s.ChargeEveryMin - 1e-7
		a, err := m.Step(before, s)
		require.NoError(rt, err)
		s.Minutes += 2e-7
		b, err := m.Step(before, s)
		require.NoError(rt, err)
		own := m.work(&s).bite
		tol := 1e-5 * max(1, own.at(s.Tool.GrainUM).mid)
		assert.InDelta(rt, a.After.DUM, b.After.DUM, tol)
		assert.InDelta(rt, a.After.RtUM, b.After.RtUM, tol)
	})
}

func TestFirstChargeStillShows(t *testing.T) {
	// A first charge of three quarters of its interval, then a full one and a
	// long run-down, on felt so large that next to nothing comes off: by hand.
	m, g := Default(), soda(t)
	s := Step{Tool: soft(Pumice, Felt, 45), Glass: g, ForceN: 10, AreaM2: 5, SpeedMS: 0.2, Load: 1,
		LapAreaM2: 0.002, ChargeEveryMin: 2, RunDownMin: 8, Minutes: 9.5}
	tau := 0.6e5 * 0.002 / (60 * 2)
	size := func(age float64) float64 { return 9 + 36*math.Exp(-age/tau) }
	rate := 1.5e-12 * 2 * 0.2 * 6e7
	r, err := m.Step(State{}, s)
	require.NoError(t, err)
	assert.InDelta(t, 0.75*0.265*size(2)/5-8*rate, r.After.DUM, 1e-9)
	s.Minutes = 11.5
	r, err = m.Step(State{}, s)
	require.NoError(t, err)
	assert.InDelta(t, 0.265*size(2)/5-8*rate, r.After.DUM, 1e-9)
	s.Minutes = 8
	r, err = m.Step(State{}, s)
	require.NoError(t, err)
	assert.InDelta(t, 0.265*size(8)/5, r.After.DUM, 1e-9)
	s.Minutes = 1
	r, err = m.Step(State{}, s)
	require.NoError(t, err)
	assert.InDelta(t, 0.5*0.265*size(2)/5, r.After.DUM, 1e-9)
}
