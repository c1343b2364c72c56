package wear

import "math"

// charge is how one charge of grain works, minute by minute.
type charge struct {
	grain float64 // µm when new
	// spentGrain in µm is what it wears down to, tau in minutes how fast; tau is
	// 0 for grain that does not break down.
	spentGrain, tau float64
	// fresh is the rate of new grain in µm a minute, spent that of spent grain.
	fresh, spent float64
	// fades is true where the rate falls with the grain.
	fades bool
	// excess is new grain over spent grain, less 1.
	excess float64
}

// freshK is Preston's constant of new grain in 1/Pa.
func (m *Model) freshK(t Tool, rates Glass) float64 {
	lap := t.lap()
	switch t.Family {
	case Pumice:
		return m.pumice[lap] * math.Pow(t.GrainUM/m.pumiceSize, m.pumiceExp) * rates.PolishFactor
	case Cerium:
		return m.cerium[lap] * rates.PolishFactor
	}
	k := m.grindK * math.Pow(t.GrainUM/m.grindSize, m.grindExp) * m.RateFactor(rates)
	if t.Bond != Loose {
		kf := m.grindFamily[t.Family]
		if t.Family == Diamond {
			kf = m.grindBondedDiamond
		}
		return k * m.grindBond[t.Bond] * kf
	}
	k *= m.grindFamily[t.Family]
	if lap.Compliant() {
		k *= m.grindSoft
	}
	return k
}

// umPerMinute turns m/s into µm a minute.
const umPerMinute = 6e7

func (m *Model) charge(s *Step) charge {
	rates := s.GlassForRates
	if rates == (Glass{}) {
		rates = s.Glass
	}
	c := charge{grain: s.Tool.GrainUM, spentGrain: s.Tool.GrainUM}
	c.fresh = m.freshK(s.Tool, rates) * s.ForceN / s.AreaM2 * s.SpeedMS * umPerMinute
	if s.House.RateFactor > 0 {
		c.fresh *= s.House.RateFactor
	}
	if !s.Tool.crushed() {
		return c
	}
	work := m.breakdown[s.Tool.Family]
	if s.House.BreakdownJM2 > 0 {
		work = s.House.BreakdownJM2
	}
	left := m.left[s.Tool.Family]
	c.tau = work / (60 * s.ForceN * s.SpeedMS / s.LapAreaM2)
	c.spentGrain = left * c.grain
	c.fades = s.Tool.Family != Pumice
	c.excess = 1/left - 1
	c.spent = c.fresh * math.Pow(left, m.grindExp)
	return c
}

// size is the grain in µm at an age in minutes.
func (c *charge) size(age float64) float64 {
	if c.tau == 0 {
		return c.grain
	}
	return c.spentGrain + (c.grain-c.spentGrain)*math.Exp(-age/c.tau)
}

// sizeMinutes is the grain in µm summed over the minutes of a charge.
func (c *charge) sizeMinutes(age float64) float64 {
	if c.tau == 0 {
		return c.grain * age
	}
	return c.spentGrain*age - (c.grain-c.spentGrain)*c.tau*math.Expm1(-age/c.tau)
}

// rate is µm a minute at an age.
func (c *charge) rate(age float64) float64 {
	if !c.fades {
		return c.fresh
	}
	y := math.Sqrt(math.Sqrt(1 + c.excess*math.Exp(-age/c.tau)))
	return c.spent * y * y * y
}

// removed is what one charge takes off, in µm, by an age in minutes: the rate,
// which goes as the grain to the power 3/4, summed in closed form with
// y = (grain / spent grain)^(1/4).
func (c *charge) removed(age float64) float64 {
	if !c.fades {
		return c.fresh * age
	}
	x := age / c.tau
	if x < 1e-6 {
		return c.fresh * age
	}
	return c.spent * c.tau * (c.sum(0) - c.sum(x))
}

// sum is 4/3 y³ + ln((y−1)/(y+1)) + 2 atan y at x lives of a charge.
func (c *charge) sum(x float64) float64 {
	// y − 1 is small for an old charge, where 1 + … would lose it.
	less1 := math.Expm1(0.25 * math.Log1p(c.excess*math.Exp(-x)))
	lnLess1 := math.Log(c.excess/4) - x
	if x <= 40 {
		lnLess1 = math.Log(less1)
	}
	y := 1 + less1
	return 4./3*y*y*y + lnLess1 - math.Log(1+y) + 2*math.Atan(y)
}

// minutesFor is the age in minutes at which one charge has taken off µm.
func (c *charge) minutesFor(um float64) float64 {
	if um <= 0 {
		return 0
	}
	age := um / c.fresh
	if !c.fades {
		return age
	}
	// The rate falls with age, so every step of Newton's stays short of the
	// answer and none overshoots.
	for range 60 {
		step := (um - c.removed(age)) / c.rate(age)
		if !(step > 1e-13*age) {
			break
		}
		age += step
	}
	return age
}

// pattern is how a step's minutes fall to its charges, counted back from its
// end: a first charge that may be short, full ones, and the last.
type pattern struct {
	first, full, last float64 // minutes
	fulls             float64 // how many full ones
	// only is true where the charge at the start is the only one.
	only bool
}

// rhythm is the interval between charges and the run-down after the last, in
// minutes; zero where there is one charge at the start.
type rhythm struct{ every, down float64 }

func (s *Step) rhythm() rhythm {
	if !s.Tool.crushed() || s.ChargeEveryMin == 0 {
		return rhythm{}
	}
	if s.RunDownMin == 0 {
		return rhythm{s.ChargeEveryMin, s.ChargeEveryMin}
	}
	return rhythm{s.ChargeEveryMin, s.RunDownMin}
}

func (r rhythm) over(minutes float64) pattern {
	if r.every == 0 || r.down >= minutes {
		return pattern{last: minutes, only: true}
	}
	rest := minutes - r.down
	n := math.Floor(rest / r.every)
	first := rest - n*r.every
	// A sliver of a charge is a rounding of the division.
	switch sliver := 1e-9 * r.every; {
	case first <= sliver:
		first = 0
	case first >= r.every-sliver:
		n, first = n+1, 0
	}
	return pattern{first: first, full: r.every, fulls: n, last: r.down}
}

// charges is how many are put on.
func (p pattern) charges() int {
	n := int(p.fulls) + 1
	if p.first > 0 {
		n++
	}
	return n
}

// removedIn is what comes off in µm over a step of some minutes.
func (c *charge) removedIn(r rhythm, minutes float64) float64 {
	p := r.over(minutes)
	h := c.removed(p.last)
	if p.fulls > 0 {
		h += p.fulls * c.removed(p.full)
	}
	if p.first > 0 {
		h += c.removed(p.first)
	}
	return h
}

// needed is the least minutes of a step, its charges counted back from its
// end, that takes off some µm.
func (c *charge) needed(r rhythm, um float64) Needed {
	if um <= 0 {
		return Needed{Reach: Reached}
	}
	var minutes float64
	switch {
	case !c.fades || r.every == 0:
		minutes = c.minutesFor(um)
	default:
		last := c.removed(r.down)
		if um <= last {
			minutes = c.minutesFor(um)
			break
		}
		um -= last
		full := c.removed(r.every)
		n := math.Floor(um / full)
		minutes = r.down + n*r.every + c.minutesFor(um-n*full)
	}
	if !(minutes <= MostMinutes) {
		return Needed{Reach: Never}
	}
	return Needed{Reach: Reached, Minutes: minutes}
}
