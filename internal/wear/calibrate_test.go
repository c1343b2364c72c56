package wear

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestAMeasurementComesBackOutOfTheModel(t *testing.T) {
	m := Default()
	rapid.Check(t, func(rt *rapid.T) {
		s := drawShopStep(rt)
		s.Minutes = rapid.Float64Range(0.5, 30).Draw(rt, "T")
		s.Tool.RogueUM = 0

		// Weighed.
		removed := rapid.Float64Range(0.5, 2).Draw(rt, "rate") * must(m.Step(State{}, s))(rt).RemovedUM
		f, err := m.MeasuredRate(s, removed)
		if removed < 1e-6 {
			assert.Error(rt, err)
			return
		}
		require.NoError(rt, err)
		s.House.RateFactor = f
		assert.InEpsilon(rt, removed, must(m.Step(State{}, s))(rt).RemovedUM, 1e-9)

		if s.Tool.Family == Cerium {
			_, err = m.MeasuredDamage(s, 3)
			assert.Error(rt, err)
			return
		}
		// Damage found.
		d := rapid.Float64Range(1, 50).Draw(rt, "d")
		if f, err = m.MeasuredDamage(s, d); err == nil {
			s.House.DamageFactor = f
			assert.InEpsilon(rt, d, must(m.Step(State{}, s))(rt).After.DUM, 1e-9)
		}
		// The lamp looked at.
		deg := rapid.Float64Range(2, 30).Draw(rt, "lamp")
		if f, err = m.MeasuredLamp(s, deg); err == nil {
			s.House.DamageFactor = f
			assert.InEpsilon(rt, deg, m.LampDeg(m.RqUM(must(m.Step(State{}, s))(rt).After)), 1e-6)
		}
		// The charge listened to.
		if !s.Tool.crushed() {
			return
		}
		quiet := rapid.Float64Range(0.5, 30).Draw(rt, "quiet")
		if s.House.BreakdownJM2, err = m.MeasuredSpent(s, quiet); err == nil {
			assert.InEpsilon(rt, quiet/3, must(m.Step(State{}, s))(rt).TauMin, 1e-9)
		}
	})
}

func must(r Result, err error) func(require.TestingT) Result {
	return func(t require.TestingT) Result {
		require.NoError(t, err)
		return r
	}
}

func TestAMeasurementChangesWhatItIsOf(t *testing.T) {
	m, g := Default(), soda(t)
	s := iron(g, hard(SiliconCarbide, 58), 10)
	before := fresh(t, hard(SiliconCarbide, 180), g)
	plain := run(t, m, before, s)[0]
	s.House.RateFactor = 1.5
	faster := run(t, m, before, s)[0]
	assert.InEpsilon(t, 1.5*plain.RemovedUM, faster.RemovedUM, 1e-12)
	assert.Equal(t, plain.GrainEndUM, faster.GrainEndUM)
	assert.Equal(t, plain.After.RtUM, faster.After.RtUM, "the end of the charge sets the roughness")
	s.House = Measurement{DamageFactor: 0.5}
	shallow := run(t, m, before, s)[0]
	assert.Equal(t, plain.RemovedUM, shallow.RemovedUM)
	assert.InEpsilon(t, 0.5*plain.After.DUM, shallow.After.DUM, 1e-12)
	// A measurement in the middle of what a bench note can hold, and one no
	// bench can have seen.
	_, err := m.MeasuredRate(s, 180)
	require.NoError(t, err)
	for _, um := range []float64{0, -1, math.NaN(), math.Inf(1), 5e6} {
		_, err = m.MeasuredRate(s, um)
		assert.Error(t, err, um)
	}
	for _, deg := range []float64{0, -1, 90, 91, math.NaN()} {
		_, err = m.MeasuredLamp(s, deg)
		assert.Error(t, err, deg)
	}
	_, err = m.MeasuredSpent(iron(g, bonded(Resin, 45), 5), 4)
	assert.Error(t, err)
	for _, loss := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err = RemovedByWeightUM(loss, 0.01, 2.5)
		assert.Error(t, err, loss)
	}
}
