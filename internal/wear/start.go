package wear

// Ground is a face as a tool leaves it with fresh grain under the usual load,
// whatever was there before.
func (m *Model) Ground(t Tool, g Glass) (State, error) {
	if err := t.check(); err != nil {
		return State{}, err
	}
	if err := g.check(); err != nil {
		return State{}, err
	}
	b := m.bite(t, g, 1, 0)
	d := b.at(t.GrainUM)
	return State{DLowUM: d.low, DUM: d.mid, DHighUM: d.high, RtUM: m.roughness(t).end(d.mid)}, nil
}

// SawUM is the grain in µm of a saw whose grade is not written.
func (m *Model) SawUM() float64 { return m.saw }

// Sawn is a face as a metal-bonded diamond saw of a grain in µm leaves it,
// without stock.
func (m *Model) Sawn(grainUM float64, g Glass) (State, error) {
	return m.Ground(Tool{Family: Diamond, Bond: Metal, GrainUM: grainUM}, g)
}

// Sandblasted is a face as a blasting medium of a grain in µm leaves it.
func (m *Model) Sandblasted(grainUM float64, g Glass) (State, error) {
	if err := between("GrainUM", grainUM, LeastGrainUM, MostGrainUM); err != nil {
		return State{}, err
	}
	if err := g.check(); err != nil {
		return State{}, err
	}
	s := m.DamageFactor(g)
	d := s * m.BandUM(grainUM, m.blastAt)
	return State{
		DLowUM:  s * m.BandUM(grainUM, m.blastLow),
		DUM:     d,
		DHighUM: s * m.BandUM(grainUM, m.blastHigh),
		RtUM:    d / m.kappaLoose,
	}, nil
}

// AsCast is the mould side of a casting, without stock.
func (m *Model) AsCast(g Glass) (State, error) { return m.Sandblasted(m.cast, g) }

// The stock of a flat, ring or edge surface as it comes, in µm; other shapes
// carry none.
func (m *Model) StockSawnUM() float64 { return m.stockSawn }

// StockCastUM is the stock of a casting.
func (m *Model) StockCastUM() float64 { return m.stockCast }

// StockFusedUM is the stock of fused work, whose faces carry no damage.
func (m *Model) StockFusedUM() float64 { return m.stockFused }

// WithDamage is a state with an expected damage in µm as the author wrote it.
// What was there is scaled, roughness too; where nothing was, the range is a
// wide one and the roughness that of loose grain.
func (m *Model) WithDamage(s State, damageUM float64) (State, error) {
	if err := s.Check(); err != nil {
		return State{}, err
	}
	if err := between("DUM", damageUM, 0, MostDepthUM/10); err != nil {
		return State{}, err
	}
	if s.DUM > 0 {
		by := damageUM / s.DUM
		s.DLowUM, s.DUM, s.DHighUM, s.RtUM = by*s.DLowUM, damageUM, by*s.DHighUM, by*s.RtUM
	} else {
		s.DLowUM, s.DUM, s.DHighUM = m.writtenLow*damageUM, damageUM, m.writtenHigh*damageUM
		s.RtUM = damageUM / m.kappaLoose
	}
	return s, s.Check()
}

// Blast reckons a blast with a grain in µm: it takes one grain size off
// wherever it reaches and leaves the sandblasted face, whatever the minutes.
// Of the Result only the grain, what came off, the state and the verdict are
// set.
func (m *Model) Blast(before State, grainUM float64, g Glass) (Result, error) {
	if err := before.Check(); err != nil {
		return Result{}, err
	}
	own, err := m.Sandblasted(grainUM, g)
	if err != nil {
		return Result{}, err
	}
	after := State{
		DLowUM:  max(before.DLowUM-grainUM, own.DLowUM),
		DUM:     max(before.DUM-grainUM, own.DUM),
		DHighUM: max(before.DHighUM-grainUM, own.DHighUM),
		StockUM: max(before.StockUM-grainUM, 0),
	}
	// The texture is the blast's own, unless a coarser one lies deeper than what
	// came off; hidden damage does not roughen it.
	after.RtUM = max(before.RtUM-grainUM, own.RtUM)
	return Result{
		RemovedUM: grainUM, GrainMeanUM: grainUM, GrainEndUM: grainUM,
		After: after, Verdict: verdict(before, grainUM),
	}, nil
}
