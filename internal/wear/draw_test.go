package wear

import (
	"math"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawGlass(t *rapid.T) Glass {
	g, ok := Default().Glass(rapid.SampledFrom([]string{"soda-lime", "lead-crystal", "borosilicate", "fused-silica"}).Draw(t, "glass"))
	require.True(t, ok)
	return g
}

// drawTool draws a tool that works.
func drawTool(t *rapid.T) Tool {
	tool := Tool{
		Family:  Family(rapid.IntRange(int(Diamond), int(Cerium)).Draw(t, "family")),
		Bond:    Bond(rapid.IntRange(int(Loose), int(Urethane)).Draw(t, "bond")),
		GrainUM: math.Exp(rapid.Float64Range(math.Log(0.3), math.Log(500)).Draw(t, "ln grain")),
	}
	if rapid.Bool().Draw(t, "loose") {
		tool.Bond = Loose
	}
	if tool.Bond == Loose {
		of := []LapClass{HardLap, Pitch, Pad, Cork, Felt, Brush}
		switch tool.Family {
		case Pumice:
			of = of[2:]
		case Cerium:
			of = of[1:]
		}
		tool.Lap = rapid.SampledFrom(of).Draw(t, "lap")
	}
	if tool.Family < Pumice && rapid.IntRange(0, 4).Draw(t, "acts") == 0 {
		tool.ActsLikeUM = rapid.Float64Range(5, 80).Draw(t, "acts like")
	}
	if rapid.IntRange(0, 9).Draw(t, "stray") == 0 {
		tool.RogueUM = rapid.Float64Range(5, 200).Draw(t, "rogue")
	}
	return tool
}

// drawShopStep draws a step a shop might do, and some no shop would.
func drawShopStep(t *rapid.T) Step {
	s := Step{
		Tool:           drawTool(t),
		Glass:          drawGlass(t),
		ForceN:         rapid.Float64Range(2, 200).Draw(t, "force"),
		AreaM2:         rapid.Float64Range(1e-4, 0.2).Draw(t, "area"),
		SpeedMS:        rapid.Float64Range(0.02, 15).Draw(t, "speed"),
		Load:           rapid.Float64Range(0.02, 30).Draw(t, "load"),
		Minutes:        rapid.Float64Range(0, 40).Draw(t, "minutes"),
		ChargeEveryMin: rapid.SampledFrom([]float64{0, 0.5, 1, 2, 3, 7.3, 60}).Draw(t, "every"),
		LapAreaM2:      rapid.Float64Range(0.005, 0.4).Draw(t, "lap area"),
	}
	if s.ChargeEveryMin > 0 {
		s.RunDownMin = rapid.SampledFrom([]float64{0, 0.25, 1, 2, 5, 20}).Draw(t, "down")
	}
	if rapid.IntRange(0, 5).Draw(t, "unknown") == 0 {
		s.Glass, s.GlassForRates = Default().UnknownGlass()
	}
	return s
}

func drawState(t *rapid.T) State {
	mid := rapid.Float64Range(0, 150).Draw(t, "damage")
	return State{
		DLowUM: mid * rapid.Float64Range(0, 1).Draw(t, "low"), DUM: mid,
		DHighUM: mid * rapid.Float64Range(1, 4).Draw(t, "high"),
		RtUM:    rapid.Float64Range(0, 25).Draw(t, "Rt"),
		StockUM: rapid.SampledFrom([]float64{0, 0, 200, 500}).Draw(t, "stock"),
	}
}

// wide draws a number anywhere between two limits, on a scale of logarithms,
// and the limits themselves.
func wide(t *rapid.T, what string, least, most float64) float64 {
	switch rapid.IntRange(0, 9).Draw(t, what+" end") {
	case 0:
		return least
	case 1:
		return most
	}
	return min(max(math.Exp(rapid.Float64Range(math.Log(least), math.Log(most)).Draw(t, "ln "+what)), least), most)
}

func drawWideStep(t *rapid.T) (State, Step) {
	s := Step{Tool: drawTool(t), Glass: drawGlass(t),
		ForceN: wide(t, "force", 1e-6, 1e6), AreaM2: wide(t, "area", 1e-9, 1e4), SpeedMS: wide(t, "speed", 1e-6, 1e3),
		Load: wide(t, "load", 1e-9, 1e12), Minutes: wide(t, "minutes", 1e-12, MostMinutes),
		LapAreaM2: wide(t, "lap area", 1e-9, 1e4)}
	s.Tool.GrainUM = wide(t, "grain", LeastGrainUM, MostGrainUM)
	if rapid.Bool().Draw(t, "charged") {
		s.ChargeEveryMin, s.RunDownMin = wide(t, "every", 1e-3, MostMinutes), wide(t, "down", 1e-3, MostMinutes)
	}
	if rapid.IntRange(0, 4).Draw(t, "measured") == 0 {
		s.House = Measurement{RateFactor: wide(t, "rate factor", 1e-4, 1e4), DamageFactor: wide(t, "damage factor", 1e-4, 1e4),
			BreakdownJM2: wide(t, "work", 1, 1e12)}
	}
	d := wide(t, "damage", 1e-12, MostDepthUM/2)
	return State{DLowUM: d / 2, DUM: d, DHighUM: d * 2, RtUM: wide(t, "Rt", 1e-12, MostDepthUM), StockUM: wide(t, "stock", 1e-12, MostDepthUM)}, s
}
