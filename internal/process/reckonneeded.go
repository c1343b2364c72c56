package process

import (
	"coldwright/internal/quantity"
	"coldwright/internal/wear"
)

// asLongAsNeeded are the minutes a step without a time is taken to be worked:
// those that take off the stock and the high damage it is handed, but no longer
// than anybody stands at such a step. A machine that works alone has a day.
func (r *reckoner) asLongAsNeeded(one *StepReckoning) float64 {
	most := usual("untimed.machine")
	switch kind := one.In.Kind; {
	case kind != nil && kind.AtOnce:
		most = usual("untimed.alone")
	case kind != nil && !kind.Powered:
		most = usual("untimed.hand")
	}
	if kind := one.In.Kind; kind == nil || !kind.AtOnce {
		const square = 0.01 // m²: the minutes are those of a face of 100 cm²
		most *= max(1, one.In.AreaM2.Value/square)
	}
	asked := r.step(&one.In)
	asked.Minutes = 0
	result, err := r.model.Step(one.Before, asked)
	if err != nil || result.Safe.Reach == wear.NotAsked {
		return min(most, usual("untimed.least"))
	}
	needed := longer(result.Safe, result.Gloss)
	if needed.Reach == wear.Never {
		needed = result.Safe
	}
	if needed.Reach == wear.Never {
		return most
	}
	return min(most, max(needed.Minutes, usual("untimed.least")))
}

// Pumiced is what pumice 2F before a step would do.
type Pumiced struct {
	// Brush is true where it would run on a brush, as the step does, Cork where it
	// would run on cork, as it does on a belt; else it runs on felt.
	Brush, Cork bool
	// Pumice are the minutes one face needs of it to take off the stock and the
	// expected damage, Step those the step itself then needs to take off the
	// rest and, where it polishes, to shine.
	Pumice, Step wear.Needed
}

// PumiceBefore reckons pumice 2F in front of the n-th step of a surface, at that
// step's own machine, force and speed, charged as is usual. It is false where
// nothing can be reckoned.
func (r *Reckoning) PumiceBefore(s *SurfaceReckoning, n int) (Pumiced, bool) {
	st := &s.Steps[n]
	if r.by == nil || st.Cannot != "" || st.Blast || st.Cut {
		return Pumiced{}, false
	}
	m := r.by.model
	polish := r.by.step(&st.In)
	step := polish
	step.Tool = wear.Tool{Family: wear.Pumice, Bond: wear.Loose, Lap: wear.Felt, GrainUM: usual("pumice.2F")}
	out := Pumiced{Brush: st.In.Tool.Lap == wear.Brush}
	switch {
	case out.Brush:
		step.Tool.Lap = wear.Brush
	case st.In.Kind != nil && st.In.Kind.Name == "wet belt":
		out.Cork, step.Tool.Lap = true, wear.Cork
	}
	step.House, step.Minutes, step.RunDownMin = wear.Measurement{}, 0, 0
	step.ChargeEveryMin, step.LapAreaM2 = usual("charge.other"), usual("pad.area")
	if kind := st.In.Kind; kind != nil && kind.Diameter > 0 {
		step.LapAreaM2 = wear.DiscAreaM2(quantity.Value{Amount: kind.Diameter, Unit: quantity.Millimetre}.In(quantity.Metre))
	}
	needed, err := m.Step(st.Before, step)
	if err != nil {
		return Pumiced{}, false
	}
	out.Pumice = needed.Expected
	if out.Pumice.Reach != wear.Reached {
		return out, out.Pumice.Reach == wear.Never
	}
	step.Minutes = out.Pumice.Minutes
	before, err := m.Step(st.Before, step)
	if err != nil {
		return Pumiced{}, false
	}
	polish.Minutes = 0
	after, err := m.Step(before.After, polish)
	if err != nil {
		return Pumiced{}, false
	}
	out.Step = longer(after.Expected, after.Gloss)
	return out, true
}

// longer is the longer of two waits; what is not asked is none.
func longer(a, b wear.Needed) wear.Needed {
	if a.Reach == wear.Never || b.Reach == wear.Never {
		return wear.Needed{Reach: wear.Never}
	}
	if b.Reach == wear.NotAsked || a.Reach == wear.Reached && a.Minutes >= b.Minutes {
		return a
	}
	return b
}
