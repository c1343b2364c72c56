package wear

import "math"

// RqUM is the mean roughness of a face whose lowest and highest points lie
// RtUM apart.
func (m *Model) RqUM(s State) float64 { return s.RtUM / m.rtOverRq }

// SmoothRqUM is the mean roughness below which a lamp shows head-on.
func (m *Model) SmoothRqUM() float64 { return m.wavelength / m.smooth }

// TIS is the share of the light reflected by a face that is scattered, 0 to 1.
// Source: H. E. Bennett, J. O. Porteus, J. Opt. Soc. Am. 51 (1961) 123.
func (m *Model) TIS(rqUM float64) float64 { return scattered(4 * math.Pi * rqUM / m.wavelength) }

// LampDeg is the angle in degrees above the face up to which a lamp's outline
// shows in it when dry; 90 is head-on. Rayleigh's criterion.
func (m *Model) LampDeg(rqUM float64) float64 {
	sine := m.wavelength / (8 * rqUM)
	if !(sine < 1) { // no roughness at all is head-on too
		return 90
	}
	return math.Asin(sine) * 180 / math.Pi
}

// HazeDry is the share of the light going through one face that is scattered
// when it is dry, 0 to 1; HazeWet when it is wet, which is why a grey face
// looks clear under water.
func (m *Model) HazeDry(rqUM float64) float64 {
	return scattered(2 * math.Pi * m.hazeDry * rqUM / m.wavelength)
}

// HazeWet is the haze of a wet face.
func (m *Model) HazeWet(rqUM float64) float64 {
	return scattered(2 * math.Pi * m.hazeWet * rqUM / m.wavelength)
}

// Gloss60 is the gloss at 60° in gloss units; the part that makes an image
// only, so a meter reads more.
func (m *Model) Gloss60(rqUM float64) float64 {
	cos60 := 0.5
	return m.glossSmooth * (1 - scattered(4*math.Pi*rqUM*cos60/m.wavelength))
}

func scattered(phase float64) float64 { return -math.Expm1(-phase * phase) }

// Finish is what a face looks like: by its roughness, and at the bright end by
// whether the high damage is gone. Figure and edge are not looked at.
func (m *Model) Finish(s State) Finish {
	switch rq := m.RqUM(s); {
	case rq >= m.matte:
		return Matte
	case rq >= m.fineMatte:
		return FineMatte
	case rq >= m.satin:
		return Satin
	case rq >= m.SmoothRqUM():
		return Lustre
	case s.DHighUM <= m.optical:
		return OpticalPolish
	}
	return BrightPolish
}
