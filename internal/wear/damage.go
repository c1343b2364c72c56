package wear

import "math"

// lap is the class a tool works as: bonded pumice and cerium work as on a pad,
// other bonded tools on no lap but their own.
func (t Tool) lap() LapClass {
	switch {
	case t.Bond == Loose:
		return t.Lap
	case t.Family == Pumice || t.Family == Cerium:
		return Pad
	}
	return NoLap
}

// crushed says whether the grain breaks down as it works.
func (t Tool) crushed() bool {
	return t.Bond == Loose && t.Family != Diamond && t.Family != Cerium
}

// lowOf and highOf are the ends of the published band of damage, in µm, for a
// grain in µm.
func (m *Model) lowOf(grainUM float64) float64  { return m.bandLow * math.Pow(grainUM, m.bandLowExp) }
func (m *Model) highOf(grainUM float64) float64 { return m.bandHigh * math.Pow(grainUM, m.bandHighExp) }

// BandUM is the damage in µm that grain of a size in µm makes at a position in
// the published band: 0 its low end, 1 its high end, on a scale of logarithms.
// Positions outside are taken to the nearer end.
func (m *Model) BandUM(grainUM, position float64) float64 {
	p := m.band(position)
	return p.factor * math.Pow(grainUM, p.exponent)
}

// power is factor x size^exponent.
type power struct{ factor, exponent float64 }

func (m *Model) band(position float64) power {
	u := min(max(position, 0), 1)
	return power{
		factor:   math.Pow(m.bandLow, 1-u) * math.Pow(m.bandHigh, u),
		exponent: (1-u)*m.bandLowExp + u*m.bandHighExp,
	}
}

// bite is a tool's own damage as it goes with the size of its grain.
type bite struct {
	low, mid, high power
	// rogue is what coarser grain adds to the high damage, in µm.
	rogue float64
}

// depth is damage in µm: low, expected, high.
type depth struct{ low, mid, high float64 }

func (b *bite) at(grainUM float64) depth {
	d := depth{mid: b.mid.factor}
	switch {
	case b.mid.factor == 0: // cerium
	case b.low.exponent == b.high.exponent:
		// Cushioned grain and what acts like a loose grade go by one power.
		g := 1.0
		if b.mid.exponent == 1 {
			g = grainUM
		} else if b.mid.exponent != 0 {
			g = math.Pow(grainUM, b.mid.exponent)
		}
		d = depth{b.low.factor * g, b.mid.factor * g, b.high.factor * g}
	default:
		l := math.Log(grainUM)
		d = depth{
			b.low.factor * math.Exp(b.low.exponent*l),
			b.mid.factor * math.Exp(b.mid.exponent*l),
			b.high.factor * math.Exp(b.high.exponent*l),
		}
	}
	// Nothing is damaged deeper than the deepest that is reckoned with.
	d.low = min(d.low, MostDepthUM)
	d.mid = min(max(d.mid, d.low), MostDepthUM)
	d.high = min(max(d.high, d.mid, b.rogue), MostDepthUM)
	return d
}

// bite is how a tool bites into a glass under a load, with the house's factor.
func (m *Model) bite(t Tool, g Glass, load, house float64) bite {
	if house == 0 {
		house = 1
	}
	s := m.DamageFactor(g) * house
	around := func(u, spread, factor float64) bite {
		b := bite{low: m.band(u - spread), mid: m.band(u), high: m.band(u + spread)}
		b.low.factor *= factor
		b.mid.factor *= factor
		b.high.factor *= factor
		return b
	}
	var b bite
	lap := t.lap()
	cushioned := power{exponent: 1}
	if lap.Compliant() {
		cushioned.factor = m.loadFactor(load) * s * m.cushion[lap] / m.cushionDivisor
	}
	switch {
	case t.Family == Cerium:
		// Cerium makes no damage, but grit that got into it does.
		if t.RogueUM > t.GrainUM {
			b.rogue = min(m.cushionHigh*cushioned.factor*t.RogueUM, MostDepthUM)
		}
		return b
	case t.ActsLikeUM > 0:
		b = around(m.actsAt, m.looseSpread, s)
	case lap.Compliant():
		b = bite{low: cushioned, mid: cushioned, high: cushioned}
		b.low.factor *= m.cushionLow
		b.high.factor *= m.cushionHigh
	case t.Bond != Loose:
		b = around(m.bondAt[t.Bond], m.bondSpread, s)
	default:
		b = around(m.looseAt[t.Family], m.looseSpread, s*m.loadFactor(load))
	}
	if t.RogueUM > t.GrainUM {
		b.rogue = min(b.high.factor*math.Pow(t.RogueUM, b.high.exponent), MostDepthUM)
	}
	if t.ActsLikeUM > 0 {
		for _, p := range []*power{&b.low, &b.mid, &b.high} {
			*p = power{factor: p.factor * math.Pow(t.ActsLikeUM, p.exponent)}
		}
	}
	return b
}

// OwnDamageUM is the damage in µm that a tool makes with grain of the size
// given, under a load: low, expected, high.
func (m *Model) OwnDamageUM(t Tool, g Glass, load, grainUM float64) (low, mid, high float64, err error) {
	if err = t.check(); err != nil {
		return 0, 0, 0, err
	}
	if err = g.check(); err != nil {
		return 0, 0, 0, err
	}
	if err = within(limit{"Load", load, 1e-9, 1e12}, limit{"GrainUM", grainUM, smallest, MostGrainUM}); err != nil {
		return 0, 0, 0, err
	}
	b := m.bite(t, g, load, 0)
	d := b.at(grainUM)
	return d.low, d.mid, d.high, nil
}

// roughness is how Rt follows from damage.
type roughness struct {
	kappa float64 // damage over Rt
	floor float64 // least Rt in µm
	level float64 // share of what comes off that comes off Rt
}

func (m *Model) roughness(t Tool) roughness {
	lap := t.lap()
	switch {
	case lap.Compliant():
		r := roughness{kappa: m.kappaSoft, level: m.level[lap]}
		switch {
		case t.Family == Pumice:
			r.floor = m.rtOverRq * m.floorPumice
		case t.Family == Cerium:
			r.floor = m.rtOverRq * m.floorCerium
		case t.GrainUM <= m.fineSize:
			r.floor = m.rtOverRq * m.floorFine
		default:
			r.floor = m.rtOverRq * m.floorHard
		}
		return r
	case t.Bond == Loose:
		return roughness{kappa: m.kappaLoose, level: 1}
	}
	return roughness{kappa: m.kappaBonded, level: 1}
}

// end is the Rt in µm that damage of its own leaves.
func (r roughness) end(ownUM float64) float64 { return max(ownUM/r.kappa, r.floor) }
