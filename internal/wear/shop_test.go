package wear

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Work that several tests set up alike.

func soda(t testing.TB) Glass {
	g, ok := Default().Glass("soda-lime")
	require.True(t, ok)
	return g
}

func hard(f Family, grainUM float64) Tool {
	return Tool{Family: f, Bond: Loose, Lap: HardLap, GrainUM: grainUM}
}

func soft(f Family, lap LapClass, grainUM float64) Tool {
	return Tool{Family: f, Bond: Loose, Lap: lap, GrainUM: grainUM}
}

func bonded(b Bond, grainUM float64) Tool {
	return Tool{Family: Diamond, Bond: b, GrainUM: grainUM}
}

// iron is a step on a 100 cm² face on an iron lap: 40 N, 1.5 m/s, a charge each
// minute.
func iron(g Glass, t Tool, minutes float64) Step {
	return Step{Tool: t, Glass: g, ForceN: 40, AreaM2: 0.01, SpeedMS: 1.5, Load: 1, Minutes: minutes,
		ChargeEveryMin: 1, LapAreaM2: 0.090}
}

// wheel is a step on the same face on a felt wheel: 40 N, 5 m/s.
func wheel(g Glass, t Tool, minutes float64) Step {
	return Step{Tool: t, Glass: g, ForceN: 40, AreaM2: 0.01, SpeedMS: 5, Load: 1, Minutes: minutes,
		ChargeEveryMin: 2, LapAreaM2: 0.047}
}

// chainA is the worked chain of six steps: 80, 220, 400, 600 silicon carbide
// on iron, pumice and cerium on felt.
func chainA(g Glass) []Step {
	s600 := iron(g, hard(SiliconCarbide, 9.3), 8)
	s600.RunDownMin = 2
	pumice := wheel(g, soft(Pumice, Felt, 30), 8)
	pumice.RunDownMin = 3
	return []Step{
		iron(g, hard(SiliconCarbide, 180), 10),
		iron(g, hard(SiliconCarbide, 58), 10),
		iron(g, hard(SiliconCarbide, 17.3), 9),
		s600,
		pumice,
		wheel(g, soft(Cerium, Felt, 1.5), 10),
	}
}

// run reckons steps one after the other.
func run(t testing.TB, m *Model, before State, steps ...Step) []Result {
	t.Helper()
	out := make([]Result, len(steps))
	for i, s := range steps {
		r, err := m.Step(before, s)
		require.NoError(t, err)
		out[i], before = r, r.After
	}
	return out
}

// fresh is a face as a tool leaves it.
func fresh(t testing.TB, tool Tool, g Glass) State {
	t.Helper()
	s, err := Default().Ground(tool, g)
	require.NoError(t, err)
	return s
}
