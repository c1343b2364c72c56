package wear

import (
	"math"
)

// RemovedByWeightUM is the mean depth in µm that went with a loss of mass in g
// from a face: 1 g off 100 cm² of density 2.5 is 40 µm.
func RemovedByWeightUM(lossG, areaM2, densityGCM3 float64) (float64, error) {
	if err := within(
		limit{"lossG", lossG, 1e-6, 1e6},
		limit{"areaM2", areaM2, 1e-9, 1e4},
		limit{"densityGCM3", densityGCM3, 0.1, 30},
	); err != nil {
		return 0, err
	}
	return lossG / (densityGCM3 * areaM2), nil
}

// RqOfLampUM is the mean roughness in µm of a dry face in which a lamp's
// outline shows up to an angle in degrees. At 90 it shows head-on, which says
// only that the face is at least so smooth, and is refused.
func (m *Model) RqOfLampUM(deg float64) (float64, error) {
	if err := between("deg", deg, 0.1, 90); err != nil {
		return 0, err
	}
	if deg == 90 {
		return 0, &InputError{Field: "deg", Value: deg, Why: "says only that the face is smooth, not how smooth"}
	}
	return m.wavelength / (8 * math.Sin(deg*math.Pi/180)), nil
}

// MeasuredRate is the rate factor of a step that took off removedUM in its
// minutes.
func (m *Model) MeasuredRate(s Step, removedUM float64) (float64, error) {
	s.House.RateFactor = 0
	if err := s.Check(); err != nil {
		return 0, err
	}
	if err := within(limit{"Minutes", s.Minutes, 1e-3, MostMinutes}, limit{"removedUM", removedUM, 1e-6, MostDepthUM}); err != nil {
		return 0, err
	}
	w := m.work(&s)
	return factor(removedUM / w.charge.removedIn(w.rhythm, s.Minutes))
}

// MeasuredLamp is the damage factor of a step that left a face in which a
// lamp's outline shows up to an angle in degrees, once the roughness it was
// handed is gone.
func (m *Model) MeasuredLamp(s Step, deg float64) (float64, error) {
	rq, err := m.RqOfLampUM(deg)
	if err != nil {
		return 0, err
	}
	r := m.roughness(s.Tool)
	rt := rq * m.rtOverRq
	if rt <= r.floor {
		return 0, &InputError{Field: "deg", Value: deg, Why: "is smoother than such a step leaves a face"}
	}
	return m.measuredOwn(s, rt*r.kappa, r.level*r.kappa)
}

// MeasuredDamage is the damage factor of a step that left damage of a depth in
// µm, once the damage it was handed is gone: for one, what cerium oxide had to
// take off until the last grey was gone.
func (m *Model) MeasuredDamage(s Step, damageUM float64) (float64, error) {
	if err := between("damageUM", damageUM, 1e-3, MostDepthUM); err != nil {
		return 0, err
	}
	return m.measuredOwn(s, damageUM, 1)
}

// measuredOwn finds the factor that brings the deepest of a step's marks to a
// depth in µm; share is what of the removal after a mark counts against it.
func (m *Model) measuredOwn(s Step, depthUM, share float64) (float64, error) {
	s.House.DamageFactor = 0
	if err := s.Check(); err != nil {
		return 0, err
	}
	if s.Tool.Family == Cerium {
		return 0, &InputError{Field: "Family", Value: float64(Cerium), Why: "makes no damage to measure"}
	}
	if err := between("Minutes", s.Minutes, 1e-3, MostMinutes); err != nil {
		return 0, err
	}
	w := m.work(&s)
	f := math.Inf(1)
	for _, k := range w.marks(w.rhythm.over(s.Minutes)) {
		f = min(f, (depthUM+share*k.since)/k.own.mid)
	}
	return factor(f)
}

// MeasuredSpent is the work per area in J/m² that wears down a charge which
// went quiet after some minutes of a step.
func (m *Model) MeasuredSpent(s Step, minutes float64) (float64, error) {
	s.House.BreakdownJM2 = 0
	if err := s.Check(); err != nil {
		return 0, err
	}
	if !s.Tool.crushed() {
		return 0, &InputError{Field: "Family", Value: float64(s.Tool.Family), Why: "does not break down"}
	}
	if err := between("minutes", minutes, 1e-3, MostMinutes); err != nil {
		return 0, err
	}
	work := minutes / m.spent * 60 * s.ForceN * s.SpeedMS / s.LapAreaM2
	return work, between("BreakdownJM2", work, 1, 1e12)
}

// factor refuses a measurement so far from the model that one of its figures
// must be wrong.
func factor(f float64) (float64, error) {
	return f, between("measured over reckoned", f, 1e-4, 1e4)
}
