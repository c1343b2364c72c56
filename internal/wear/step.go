package wear

import "math"

// Step reckons what a step does to a face. It is exact, not marched: the
// deepest damage a charge can leave is at its start or at its end. A step that
// cannot be reckoned, or a state no face can be in, is an error and no result.
func (m *Model) Step(before State, s Step) (Result, error) {
	if err := s.Check(); err != nil {
		return Result{}, err
	}
	if err := before.Check(); err != nil {
		return Result{}, err
	}
	w := m.work(&s)
	p := w.rhythm.over(s.Minutes)
	r := Result{PressurePa: s.ForceN / s.AreaM2, TauMin: w.charge.tau}
	r.RemovedUM = w.charge.removedIn(w.rhythm, s.Minutes)
	if s.Minutes > 0 {
		r.RateUMMin = r.RemovedUM / s.Minutes
		r.After = w.after(before, p, r.RemovedUM)
		sizes := w.charge.sizeMinutes(p.last)
		if p.fulls > 0 {
			sizes += p.fulls * w.charge.sizeMinutes(p.full)
		}
		if p.first > 0 {
			sizes += w.charge.sizeMinutes(p.first)
		}
		r.GrainMeanUM = sizes / s.Minutes
		r.GrainEndUM = w.charge.size(p.last)
	} else {
		r.RateUMMin, r.After = w.charge.fresh, before
		r.GrainMeanUM, r.GrainEndUM = s.Tool.GrainUM, s.Tool.GrainUM
	}
	r.KPerPa = r.RateUMMin / (r.PressurePa * s.SpeedMS * umPerMinute)
	if s.Tool.crushed() && s.Minutes > 0 {
		r.Charges = p.charges()
		oldest := p.last
		if p.fulls > 0 {
			oldest = max(oldest, p.full)
		}
		r.Spent = s.Tool.Family != Pumice && max(oldest, p.first) > m.spent*r.TauMin
	}
	r.Verdict = verdict(before, r.RemovedUM)
	if before.DHighUM > 0 || before.StockUM > 0 {
		r.Expected = w.charge.needed(w.rhythm, max(before.DUM, before.StockUM))
		r.Safe = w.charge.needed(w.rhythm, max(before.DHighUM, before.StockUM))
	}
	if s.Tool.Family == Cerium || s.Tool.Family != Pumice && s.Tool.GrainUM <= m.fineSize {
		r.Gloss = w.gloss(before, m.rtOverRq*m.SmoothRqUM())
	}
	return r, nil
}

func verdict(before State, removedUM float64) Verdict {
	switch {
	case before.DHighUM == 0:
		return NothingHanded
	case removedUM >= before.DHighUM:
		return Certain
	case removedUM >= before.DUM:
		return Likely
	case removedUM >= before.DLowUM:
		return Doubtful
	}
	return No
}

// work is a step made ready to be reckoned.
type work struct {
	tool   Tool
	charge charge
	bite   bite
	rough  roughness
	rhythm rhythm
}

func (m *Model) work(s *Step) *work {
	return &work{
		tool:   s.Tool,
		charge: m.charge(s),
		bite:   m.bite(s.Tool, s.Glass, s.Load, s.House.DamageFactor),
		rough:  m.roughness(s.Tool),
		rhythm: s.rhythm(),
	}
}

// mark is one moment of a step that may have set the damage left: its own
// damage then, and what came off after it, both in µm.
type mark struct {
	own   depth
	since float64
}

// marks are the moments that count, after those of earlier charges are gone.
func (w *work) marks(p pattern) []mark {
	c := &w.charge
	var buf [2]mark
	if !w.tool.lap().Compliant() {
		// A charge bites deepest when new; then either what it bit is ground
		// away faster than it gets finer, or its end counts.
		end := mark{own: w.bite.at(c.size(p.last))}
		if c.tau == 0 {
			return append(buf[:0], end)
		}
		return append(buf[:0], mark{w.bite.at(c.grain), c.removed(p.last)}, end)
	}
	if p.only {
		return append(buf[:0], mark{own: w.onlyCharge(p.last)})
	}
	// Of the charges before the last the one just before it counts: whatever an
	// earlier one bit was no deeper, and more has come off since.
	out := append(buf[:0], mark{own: w.bite.at(c.size(p.last))})
	full := w.bite.at(c.size(p.full))
	switch {
	case p.fulls > 0:
		out = append(out, mark{full, c.removed(p.last)})
	case p.first > 0:
		out = append(out, mark{w.bite.share(full, p.first/p.full), c.removed(p.last)})
	}
	return out
}

// onlyCharge is the own damage on a compliant lap of a charge that is the only
// one, at an age in minutes. Cushioned grain is crushed before it has crossed
// the face, so a charge counts as it ends; one cut short before its interval
// has not worked the whole face yet.
func (w *work) onlyCharge(age float64) depth {
	whole := min(w.rhythm.every, w.rhythm.down)
	if age < whole {
		return w.bite.share(w.bite.at(w.charge.size(whole)), age/whole)
	}
	return w.bite.at(w.charge.size(age))
}

// share is part of a depth, for a charge that worked part of its time. Rogue
// grain needs no time.
func (b *bite) share(d depth, part float64) depth {
	return depth{d.low * part, d.mid * part, max(d.high*part, b.rogue)}
}

func (w *work) after(before State, p pattern, removed float64) State {
	level := w.rough.level
	out := State{
		DLowUM:  max(before.DLowUM-removed, 0),
		DUM:     max(before.DUM-removed, 0),
		DHighUM: max(before.DHighUM-removed, 0),
		RtUM:    max(before.RtUM-level*removed, 0),
		StockUM: max(before.StockUM-removed, 0),
	}
	if w.tool.Family == Cerium {
		out.DHighUM = max(out.DHighUM, w.bite.rogue)
		out.RtUM = max(out.RtUM, min(w.rough.floor, before.RtUM))
		return out
	}
	for _, k := range w.marks(p) {
		out.DLowUM = max(out.DLowUM, k.own.low-k.since)
		out.DUM = max(out.DUM, k.own.mid-k.since)
		out.DHighUM = max(out.DHighUM, k.own.high-k.since)
		out.RtUM = max(out.RtUM, w.rough.end(k.own.mid)-level*k.since)
	}
	return out
}

// gloss is the least minutes until Rt falls below a limit in µm.
func (w *work) gloss(before State, limit float64) Needed {
	c, level := &w.charge, w.rough.level
	if w.tool.Family == Cerium {
		return c.needed(w.rhythm, (before.RtUM-limit)/level)
	}
	end := func(d depth) float64 { return w.rough.end(d.mid) }
	down := w.rhythm.down
	if w.rhythm.every == 0 {
		down = MostMinutes
	}
	if end(w.bite.at(c.size(down))) >= limit {
		return Needed{Reach: Never}
	}
	if before.RtUM < limit {
		return Needed{Reach: Reached}
	}
	old := c.needed(w.rhythm, (before.RtUM-limit)/level)
	if old.Reach == Never || c.tau == 0 {
		return old
	}
	from := old.Minutes
	if !w.tool.lap().Compliant() {
		// The fresh bite must be ground away, and the grain be fine enough, before
		// the run-down is over: both only get better as it lasts.
		fine := func(age float64) bool {
			return end(w.bite.at(c.grain))-c.removed(age) < limit && end(w.bite.at(c.size(age))) < limit
		}
		if !fine(down) {
			return Needed{Reach: Never}
		}
		return Needed{Reach: Reached, Minutes: max(from, firstTrue(fine, 0, down))}
	}
	fine := func(minutes float64) bool {
		for _, k := range w.marks(w.rhythm.over(minutes)) {
			if end(k.own)-level*k.since >= limit {
				return false
			}
		}
		return true
	}
	switch {
	case fine(from):
		return old
	case from >= down:
		// Earlier charges bite again and again: it gets no better.
		return Needed{Reach: Never}
	}
	// The only charge bites more until its interval is over, then gets finer
	// until the run-down is.
	return Needed{Reach: Reached, Minutes: firstTrue(fine, from, down)}
}

// firstTrue finds where a condition that stays true once it is, and is true at
// hi, becomes true.
func firstTrue(cond func(float64) bool, lo, hi float64) float64 {
	if cond(lo) {
		return lo
	}
	for range 200 {
		mid := lo + (hi-lo)/2
		if hi > 2*lo && lo > 0 {
			mid = math.Sqrt(lo * hi)
		}
		if mid <= lo || mid >= hi {
			break
		}
		if cond(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}
