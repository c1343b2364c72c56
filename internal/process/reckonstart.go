package process

import (
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

// looseWhenUnnamed is what a face ground with nothing named is taken to be ground
// with.
const looseWhenUnnamed = wear.SiliconCarbide

// arrives is the state a surface comes to the bench in.
func (r *reckoner) arrives(s *recipe.Surface) (wear.State, Standing, string) {
	a := s.From.Value
	if !s.From.OK {
		return wear.State{}, Default, "How this surface comes to the bench is not written, so nothing can be reckoned for it: write from: and sawn, ground, as cast or the like."
	}
	m := r.model
	state, stock, basis := wear.State{}, 0.0, Default
	grain := ownGrain(&a.Abrasive).Value
	var err error
	switch a.How {
	case "sawn":
		if grain > 0 {
			basis = Written
		} else {
			grain = m.SawUM()
		}
		state, err = m.Sawn(grain, r.damage)
		stock = m.StockSawnUM()
	case "sandblasted":
		if grain > 0 {
			basis = Written
		} else {
			grain = usual("blast.grain")
		}
		state, err = m.Sandblasted(grain, r.damage)
	case "ground":
		tool := groundTool(&a.Abrasive, grain)
		if grain > 0 {
			basis = Written
		}
		state, err = m.Ground(tool, r.damage)
	case "as cast":
		state, err = m.AsCast(r.damage)
		stock = m.StockCastUM()
	case "fused":
		stock = m.StockFusedUM()
	default: // fire polished, cut, new: no damage that grinding made
		basis = Written
	}
	if err == nil && stockShape(s.Shape.Value) {
		state.StockUM = stock
	}
	if err == nil && a.Damage.Written() {
		basis = Written
		state, err = m.WithDamage(state, a.Damage.In(quantity.Micrometre))
	}
	if a.Uneven.Written() {
		state.StockUM = a.Uneven.In(quantity.Micrometre)
		if stock > 0 {
			basis = Written
		}
	}
	if err == nil {
		err = state.Check()
	}
	if err != nil {
		return wear.State{}, Default, "How this surface comes to the bench is beyond what can be reckoned with: look at its grade, its damage and its unevenness."
	}
	return state, basis, ""
}

// groundTool is what left a ground face so. Nothing named is loose silicon
// carbide; a powder that does not grind on a hard lap was on felt.
func groundTool(a *trade.Abrasive, grain float64) wear.Tool {
	t := wear.Tool{Family: looseWhenUnnamed, Bond: wear.Loose, Lap: wear.HardLap, GrainUM: grain}
	if grain <= 0 {
		t.GrainUM = usual("blast.grain")
	}
	if a.Family != nil {
		if f, _ := familyOf(a.Family.Name); f != 0 {
			t.Family = f
		}
	}
	if b := bondOf(a.Bond); b != 0 {
		t.Bond = b
	}
	t.ActsLikeUM = actsLike(a, t.Family)
	if t.Family == wear.Pumice || t.Family == wear.Cerium {
		t.Lap = wear.Felt
	}
	return t
}

// actsLike is the size in µm of the loose grade whose finish a tool leaves; 0
// where nothing is said, and for powders whose grain does not compare.
func actsLike(a *trade.Abrasive, f wear.Family) float64 {
	if f == wear.Pumice || f == wear.Cerium {
		return 0
	}
	switch {
	case a.ActsLike.Written():
		return a.ActsLike.Size
	case a.Stock != nil && a.Stock.ActsLike.Written():
		return a.Stock.ActsLike.Size
	}
	return 0
}

// reckonedAs are families the model has no figures for, by what they are
// reckoned as: hardness and use next to theirs, from memory.
var reckonedAs = map[string]struct {
	family wear.Family
	name   string
}{
	"emery":           {wear.Alumina, "aluminium oxide"},
	"boron carbide":   {wear.SiliconCarbide, "silicon carbide"},
	"quartz sand":     {wear.Garnet, "garnet"},
	"rottenstone":     {wear.Pumice, "pumice"},
	"tin oxide":       {wear.Cerium, "cerium oxide"},
	"iron oxide":      {wear.Cerium, "cerium oxide"},
	"zirconium oxide": {wear.Cerium, "cerium oxide"},
}

// familyOf is the model's family and, where that is another's, its name; 0
// where nothing is near it.
func familyOf(name string) (wear.Family, string) {
	switch name {
	case "diamond":
		return wear.Diamond, ""
	case "silicon carbide":
		return wear.SiliconCarbide, ""
	case "aluminium oxide":
		return wear.Alumina, ""
	case "garnet":
		return wear.Garnet, ""
	case "pumice":
		return wear.Pumice, ""
	case "cerium oxide":
		return wear.Cerium, ""
	}
	as := reckonedAs[name]
	return as.family, as.name
}

func bondOf(b trade.Bond) wear.Bond {
	switch b {
	case trade.Loose:
		return wear.Loose
	case trade.Plated:
		return wear.Plated
	case trade.Metal:
		return wear.Metal
	case trade.Resin:
		return wear.Resin
	case trade.Vitrified:
		return wear.Vitrified
	case trade.Rubber:
		return wear.Rubber
	case trade.Urethane:
		return wear.Urethane
	case trade.Coated:
		return wear.Coated
	}
	return 0
}

func lapOf(c trade.LapClass) wear.LapClass {
	switch c {
	case trade.Hard:
		return wear.HardLap
	case trade.Pitch:
		return wear.Pitch
	case trade.Pad:
		return wear.Pad
	case trade.Cork:
		return wear.Cork
	case trade.Felt:
		return wear.Felt
	case trade.Brush:
		return wear.Brush
	}
	return wear.NoLap
}
