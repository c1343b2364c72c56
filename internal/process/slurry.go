package process

import (
	"errors"

	"coldwright/internal/recipe"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

// Slurry is powder and water that make up a volume.
type Slurry struct {
	// PowderG of dry powder and WaterL of water make VolumeL of slurry.
	PowderG, WaterL, VolumeL float64
	// Parts is how many volumes of water stand to one of dry powder, as it is
	// spooned with the air between its grains; 0 where the bulk is not known.
	Parts float64
	// SpecificGravity of the whole, and the same in degrees Baumé.
	SpecificGravity, Baume float64
}

// The reasons for which a slurry cannot be worked out.
var (
	ErrSlurryVolume = errors.New("the volume of a slurry lies between a millilitre and 1000 litres")
	ErrSlurryPowder = errors.New("how heavy the powder is, is not known")
	ErrSlurryMix    = errors.New("no such slurry can be: it has no water, or more powder than goes into it")
)

// SlurryOf is a slurry of volumes of water to one volume of dry powder, for a
// powder whose grain has a density in g/cm³ and which lies at bulk g/ml.
func SlurryOf(volumeL, waterToOne, densityGCM3, bulkGML float64) (Slurry, error) {
	switch {
	case !(volumeL >= 1e-3 && volumeL <= 1e3):
		return Slurry{}, ErrSlurryVolume
	case !(densityGCM3 > 1 && densityGCM3 <= 30 && bulkGML > 0 && bulkGML <= densityGCM3):
		return Slurry{}, ErrSlurryPowder
	case !(waterToOne > 0 && waterToOne <= 1e4):
		return Slurry{}, ErrSlurryMix
	}
	// Water goes into the air between the grains, so that one volume of powder
	// swells the water by its grain alone.
	powder := volumeL / (waterToOne + bulkGML/densityGCM3)
	return slurry(volumeL, powder*bulkGML*1000, densityGCM3, bulkGML)
}

// SlurryOfBaume is a slurry of so many degrees Baumé. bulk is 0 where it is not
// known.
func SlurryOfBaume(volumeL, baume, densityGCM3, bulkGML float64) (Slurry, error) {
	if !(volumeL >= 1e-3 && volumeL <= 1e3) {
		return Slurry{}, ErrSlurryVolume
	}
	if !(densityGCM3 > 1 && densityGCM3 <= 30 && bulkGML >= 0 && bulkGML <= densityGCM3) {
		return Slurry{}, ErrSlurryPowder
	}
	perL, err := wear.PowderGPerL(wear.SpecificGravity(baume), densityGCM3)
	if err != nil || !(baume > 0) {
		return Slurry{}, ErrSlurryMix
	}
	return slurry(volumeL, perL*volumeL, densityGCM3, bulkGML)
}

func slurry(volumeL, powderG, density, bulk float64) (Slurry, error) {
	water := volumeL - powderG/density/1000
	if !(water > 0) {
		return Slurry{}, ErrSlurryMix
	}
	s := Slurry{PowderG: powderG, WaterL: water, VolumeL: volumeL, SpecificGravity: (powderG/1000 + water) / volumeL}
	s.Baume = wear.Baume(s.SpecificGravity)
	if bulk > 0 {
		s.Parts = water / (powderG / bulk / 1000)
	}
	return s, nil
}

// StepSlurry is the slurry of one step that writes its mix.
type StepSlurry struct {
	Step   *recipe.Step
	Slurry Slurry
	// Thin and Thick are the ends of what the word allows; both are Slurry where
	// parts are written.
	Thin, Thick Slurry
	// Cannot says in a sentence why it cannot be worked out.
	Cannot string
}

// Slurries are what a volume in litres takes, for every step that writes a mix.
// Density and bulk are those of the family, from the trade tables: defaults,
// every one.
func (p *Plan) Slurries(volumeL float64) []StepSlurry {
	var all []StepSlurry
	for i := range p.Recipe.Steps {
		step := &p.Recipe.Steps[i]
		if !step.Mix.OK {
			continue
		}
		one := StepSlurry{Step: step}
		a, mix := &step.Abrasive.Value, step.Mix.Value
		low, high := 0.0, 0.0
		switch {
		case mix.Word != nil:
			low, high = mix.Word.Low, mix.Word.High
		case mix.Powder > 0:
			low, high = mix.Water/mix.Powder, mix.Water/mix.Powder
		}
		switch {
		case !step.Abrasive.OK || a.Family == nil || a.Bond != trade.Loose:
			one.Cannot = "There is no loose powder in this step to mix."
		case a.ReadyMixed:
			one.Cannot = "It comes ready mixed."
		case a.Family.Density <= 1 || a.Family.Bulk <= 0:
			one.Cannot = "How heavy " + a.Family.Name + " is, is not known."
		case !(low > 0):
			one.Cannot = "How much water this consistency takes is not known: write parts, as 1 : 2 by volume."
		default:
			var err [3]error
			one.Slurry, err[0] = SlurryOf(volumeL, (low+high)/2, a.Family.Density, a.Family.Bulk)
			one.Thick, err[1] = SlurryOf(volumeL, low, a.Family.Density, a.Family.Bulk)
			one.Thin, err[2] = SlurryOf(volumeL, high, a.Family.Density, a.Family.Bulk)
			if errors.Join(err[:]...) != nil {
				one.Cannot = "Such a slurry cannot be worked out: look at its parts and the volume."
			}
		}
		all = append(all, one)
	}
	return all
}
