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
