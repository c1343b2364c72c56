package wear

import "math"

// RimSpeedMS is the speed of the rim of what turns, for its diameter in m.
func RimSpeedMS(diameterM, rpm float64) float64 { return math.Pi * diameterM * rpm / 60 }

// MeanDiscSpeedMS is the mean speed under work that dwells evenly over a disc.
func MeanDiscSpeedMS(diameterM, rpm float64) float64 { return RimSpeedMS(diameterM, rpm) * 2 / 3 }

// DiscAreaM2 is the area of a disc.
func DiscAreaM2(diameterM float64) float64 { return math.Pi / 4 * diameterM * diameterM }

// RimAreaM2 is the area of the rim of a wheel of a width in m.
func RimAreaM2(diameterM, widthM float64) float64 { return math.Pi * diameterM * widthM }

// SpecificGravity is that of a slurry of so many degrees Baumé, for what is
// heavier than water: 145 / (145 − °Bé), the United States scale. Degrees are
// bounded to 0 to 70, beyond any slurry.
func SpecificGravity(baume float64) float64 {
	if !(baume > 0) {
		return 1
	}
	return 145 / (145 - min(baume, 70))
}

// PowderGPerL is how much powder in g is in a litre of slurry of a specific
// gravity, for powder of a density in g/cm³ that sinks in water.
func PowderGPerL(specificGravity, densityGCM3 float64) (float64, error) {
	if err := within(
		limit{"densityGCM3", densityGCM3, 1.01, 30},
		limit{"specificGravity", specificGravity, 1, densityGCM3},
	); err != nil {
		return 0, err
	}
	return 1000 * (specificGravity - 1) * densityGCM3 / (densityGCM3 - 1), nil
}

// Baume is the degrees Baumé of a specific gravity, the inverse of
// SpecificGravity: 145 − 145 / gravity. What is no heavier than water has none.
func Baume(specificGravity float64) float64 {
	if !(specificGravity > 1) {
		return 0
	}
	return 145 - 145/specificGravity
}
