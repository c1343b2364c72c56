package quantity

import "math"

// RimSpeed is the speed in m/s of the rim of a disc or wheel of so many
// millimetres across at so many turns a minute: v = π d n.
func RimSpeed(diameterMM, rpm float64) float64 {
	return math.Pi * diameterMM / 1000 * rpm / 60
}

// RimRPM is the turns a minute at which a disc or wheel of so many millimetres
// across has the rim speed in m/s; 0 where there is no diameter.
func RimRPM(diameterMM, speed float64) float64 {
	if diameterMM <= 0 {
		return 0
	}
	return speed * 60 / (math.Pi * diameterMM / 1000)
}

// modulus of the Baumé scale for liquids heavier than water at 60 °F.
const modulus = 145

// SpecificGravity is that of a slurry that reads so many degrees Baumé on the
// heavy scale (water 0, at 60 °F): 145/(145 − Bé). It is 0 from 145 degrees
// on, where there is none.
func SpecificGravity(baume float64) float64 {
	if baume >= modulus {
		return 0
	}
	return modulus / (modulus - baume)
}

// Baume is the reading on the heavy scale of a slurry of the specific gravity:
// 145 − 145/SG; 0 where the gravity is not above that of water.
func Baume(gravity float64) float64 {
	if gravity <= 1 {
		return 0
	}
	return modulus - modulus/gravity
}
