package process

import (
	"math"

	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// Of works a recipe out. It never fails: what is missing is zero.
func Of(r *recipe.Recipe, h *trade.House) *Plan {
	p := &Plan{Recipe: r, House: h, Steps: make([]StepPlan, len(r.Steps)), Chains: make([]Chain, len(r.Surfaces))}
	chainOf := make(map[*recipe.Surface]*Chain, len(r.Surfaces))
	for i := range r.Surfaces {
		p.Chains[i].Surface = &r.Surfaces[i]
		chainOf[&r.Surfaces[i]] = &p.Chains[i]
	}
	masked := map[string]bool{}
	mounted := map[string]string{}
	for i := range r.Steps {
		step := &r.Steps[i]
		masked = maskedAfter(masked, step)
		plan := &p.Steps[i]
		plan.Masked = masked
		plan.Class = trade.Class(step.Abrasive.Value, step.Medium.Value, step.Machine.Value.Kind)
		plan.setSpeed(step)
		plan.setWater(step)
		plan.Changed, plan.First = changed(mounted, step)
		work := Work{
			Step: step, Abrasive: &step.Abrasive.Value, Class: plan.Class,
			Grain: Grain(&step.Abrasive.Value), OnlyIf: step.OnlyIf.Written(),
		}
		for _, use := range uses(r, step) {
			chain := chainOf[use.Surface]
			if chain == nil {
				continue
			}
			chain.Touches = append(chain.Touches, step.Number)
			if !step.Working() {
				continue
			}
			w := work
			w.Masked = masked[use.Surface.Name.Value]
			w.Rework = use.Rework
			chain.Works = append(chain.Works, w)
			if !w.Masked {
				plan.Works = append(plan.Works, use.Surface)
			}
		}
	}
	p.setMass()
	p.setTotals()
	return p
}

// Grain is the size in µm an abrasive works with: what its stock line acts
// like, else its grade, else what its family is taken to have; 0 where unknown.
func Grain(a *trade.Abrasive) float64 {
	switch {
	case a.ActsLike.Written():
		return a.ActsLike.Size
	case a.Stock != nil && a.Stock.ActsLike.Written():
		return a.Stock.ActsLike.Size
	case a.Grade.Written():
		return a.Grade.Size
	case a.Family != nil:
		return a.Family.Size
	}
	return 0
}

type use struct {
	Surface *recipe.Surface
	Rework  bool
}

// uses are the surfaces a step names. `all` on a working step means every
// surface that is to be worked at all; masked ones are sorted out later.
func uses(r *recipe.Recipe, step *recipe.Step) []use {
	if step.Every {
		list := make([]use, 0, len(r.Surfaces))
		for i := range r.Surfaces {
			s := &r.Surfaces[i]
			if step.Working() && Untouched(s) {
				continue
			}
			list = append(list, use{Surface: s})
		}
		return list
	}
	list := make([]use, 0, len(step.Surfaces))
	for _, s := range step.Surfaces {
		if s.Surface != nil {
			list = append(list, use{s.Surface, step.Rework != ""})
		}
	}
	return list
}

// Untouched says whether the surface is protected: it must not be ground,
// blasted or polished.
func Untouched(s *recipe.Surface) bool {
	return s.To.OK && s.To.Value != nil && s.To.Value.Name == "untouched"
}

// maskedAfter is what lies under a mask once the step's own masks are on and
// off. The map it was given is left as it was: earlier steps hold on to it.
func maskedAfter(before map[string]bool, step *recipe.Step) map[string]bool {
	if len(step.Mask) == 0 && len(step.Unmask) == 0 && !step.UnmaskAll {
		return before
	}
	after := make(map[string]bool, len(before)+len(step.Mask))
	if !step.UnmaskAll {
		for name := range before {
			after[name] = true
		}
	}
	for _, s := range step.Unmask {
		delete(after, s.Name)
	}
	for _, s := range step.Mask {
		after[s.Name] = true
	}
	return after
}

// setSpeed works out diameter, turns and rim speed.
func (p *StepPlan) setSpeed(step *recipe.Step) {
	m := step.Machine.Value
	p.Diameter, p.DiameterFrom = diameter(step)
	switch m.Speed.Unit.Kind {
	case quantity.Rotation:
		p.RPM = m.Speed.In(quantity.RPM)
		p.Rim = quantity.RimSpeed(p.Diameter, p.RPM)
	case quantity.Speed:
		p.Rim = m.Speed.In(quantity.MetrePerSecond)
		if p.Diameter > 0 {
			p.RPM = p.Rim / (math.Pi * p.Diameter / 1000) * 60
		}
	}
}

// diameter is that of what turns, in mm: the wheel's own, or the disc of a
// machine whose disc is always of one size.
func diameter(step *recipe.Step) (mm float64, from string) {
	m := step.Machine.Value
	try := func(v quantity.Value, words string) bool {
		if v.Written() && mm == 0 {
			mm, from = v.In(quantity.Millimetre), words
		}
		return mm > 0
	}
	medium, abrasive := step.Medium.Value, &step.Abrasive.Value
	if holdsItsGrain(step) {
		// A medium written beside a bonded tool carries nothing.
		medium = trade.Medium{}
	}
	if try(medium.Diameter, "the medium") || medium.Stock != nil && try(medium.Stock.Diameter, "the media line") {
		return
	}
	if try(abrasive.Diameter, "the abrasive") || abrasive.Stock != nil && try(abrasive.Stock.Diameter, "the stock line") {
		return
	}
	if m.Kind != nil && !m.Kind.Tooled {
		return
	}
	if try(m.Diameter, "the machine") || m.Unit != nil && try(m.Unit.Diameter, "the machine") {
		return
	}
	return
}

// holdsItsGrain says whether the step works with a bonded or coated tool, which
// is its own medium.
func holdsItsGrain(step *recipe.Step) bool {
	a := &step.Abrasive.Value
	return step.Abrasive.OK && a.Family != nil && a.Bond != "" && a.Bond != trade.Loose
}

func (p *StepPlan) setWater(step *recipe.Step) {
	if water := step.Water.Value.Kind; water != nil {
		p.Wet = water.Wet
		p.Dry = !water.Wet && step.Working()
	}
	a := &step.Abrasive.Value
	p.Powder = step.Abrasive.OK && a.Bond == trade.Loose && p.Class != trade.Blast && !a.ReadyMixed
}

// changed says whether the step puts another disc, pad, brush, wheel or belt
// on its machine than the last step there left on it.
func changed(mounted map[string]string, step *recipe.Step) (another, first bool) {
	m := step.Machine.Value
	if m.Kind == nil || !m.Kind.Powered || !step.Working() {
		return false, false
	}
	machine := m.Kind.Name
	if m.Unit != nil {
		machine = m.Unit.Code
	}
	tool := ""
	switch medium, a := step.Medium.Value, &step.Abrasive.Value; {
	case holdsItsGrain(step), medium.Kind == nil && medium.Stock == nil && a.Bond != trade.Loose:
		tool = a.Words + " " + a.Grade.Label
	case medium.Stock != nil:
		tool = medium.Stock.Code
	case medium.Kind != nil:
		tool = medium.Words
	}
	if tool == "" {
		return false, false
	}
	last, before := mounted[machine]
	mounted[machine] = tool
	return before && last != tool, !before
}

// setMass works out the mass of one piece.
func (p *Plan) setMass() {
	piece := p.Recipe.Piece
	var density float64
	switch g := p.Recipe.Glass.Value; {
	case g != nil:
		density = g.Density
	case p.Recipe.GlassUnknown:
		if g := p.House.FindGlass("soda-lime"); g != nil {
			density = g.Density
		}
	}
	if piece.Size.OK {
		p.MassAtMost = volume(piece.Size.Value) * density / 1000
	}
	switch {
	case piece.Mass.OK:
		p.Mass = piece.Mass.Value.In(quantity.Kilogram)
	case p.MassAtMost > 0 && !piece.Hollow.Value && !piece.Wall.Written():
		p.Mass, p.MassFromSize = p.MassAtMost, true
	}
}

// volume of a solid block or disc in cm³.
func volume(s recipe.Size) float64 {
	if s.Diameter.Written() {
		d, h := s.Diameter.In(quantity.Centimetre), s.Height.In(quantity.Centimetre)
		return math.Pi / 4 * d * d * h
	}
	if len(s.Sides) != 3 {
		return 0
	}
	v := 1.0
	for _, side := range s.Sides {
		v *= side.In(quantity.Centimetre)
	}
	return v
}
