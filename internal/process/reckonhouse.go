package process

import (
	"fmt"
	"strings"

	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

// measured lays what the house has measured over the inputs of one work. Of
// several measurements of one thing the one that says most of how it was made
// counts, and of those the last.
func (r *reckoner) measured(c *Chain, area Input, works []Work, i int, in *Inputs) {
	if len(r.plan.House.Measured) == 0 || works[i].Abrasive.Stock == nil {
		return
	}
	var rate, damage, spent *trade.Measured
	for n := range r.plan.House.Measured {
		m := &r.plan.House.Measured[n]
		if !r.fits(m, works[i]) {
			continue
		}
		if m.Rate.Written() {
			rate = better(rate, m)
		}
		if m.Damage.Written() || m.Lamp.Written() || m.ClearedAfter.Written() {
			damage = better(damage, m)
		}
		if m.SpentAfter.Written() {
			spent = better(spent, m)
		}
	}
	var house wear.Measurement
	if spent != nil {
		v, err := r.model.MeasuredSpent(r.asMeasured(spent, works[i], in), spent.SpentAfter.In(quantity.Minute))
		house.BreakdownJM2 = r.used(v, err, spent, "minutes until the charge was spent")
	}
	base := *in
	base.House.BreakdownJM2 = house.BreakdownJM2
	if rate != nil {
		s := r.asMeasured(rate, works[i], &base)
		v, err := r.model.MeasuredRate(s, rate.Rate.In(quantity.MicrometrePerMinute)*s.Minutes)
		house.RateFactor = r.used(v, err, rate, "rate")
		base.House.RateFactor = house.RateFactor
	}
	if damage != nil {
		house.DamageFactor = r.measuredDamage(c, area, works, i, damage, &base)
	}
	in.House = house
}

// measuredDamage turns damage, a lamp's angle, or the minutes until the last
// grey was gone into a factor.
func (r *reckoner) measuredDamage(c *Chain, area Input, works []Work, i int, m *trade.Measured, in *Inputs) float64 {
	s := r.asMeasured(m, works[i], in)
	switch {
	case m.Damage.Written():
		v, err := r.model.MeasuredDamage(s, m.Damage.In(quantity.Micrometre))
		return r.used(v, err, m, "damage")
	case m.Lamp.Written():
		v, err := r.model.MeasuredLamp(s, m.Lamp.In(quantity.Degree))
		return r.used(v, err, m, "lamp angle")
	}
	if s.Tool.Family == wear.Cerium {
		return r.used(0, fmt.Errorf("names the polish"), m, "minutes until the grey was gone")
	}
	// What the polish after it took off in that time is how deep it went.
	for j := i + 1; j < len(works); j++ {
		polish := r.prepare(c, area, works, j)
		if polish.Cannot != "" || !polish.Polish() {
			continue
		}
		p := r.step(&polish.In)
		p.Minutes = m.ClearedAfter.In(quantity.Minute)
		took, err := r.model.Step(wear.State{}, p)
		if err != nil {
			return r.used(0, err, m, "minutes until the grey was gone")
		}
		v, err := r.model.MeasuredDamage(s, took.RemovedUM)
		return r.used(v, err, m, "minutes until the grey was gone")
	}
	return 0
}

// asMeasured is the step as it was when the house measured it: area, pressure
// and speed where the measurement gives them, read as those of a recipe are,
// else those of the recipe.
func (r *reckoner) asMeasured(m *trade.Measured, w Work, in *Inputs) wear.Step {
	if !m.Area.Written() && !m.Pressure.Written() && !m.Speed.Written() {
		return r.step(in)
	}
	step, plan, own := *w.Step, r.plan.Steps[w.Step.Number-1], *in
	if m.Area.Written() {
		own.AreaM2 = Input{m.Area.In(quantity.SquareMetre), Measured}
	}
	if m.Pressure.Written() {
		step.Pressure = recipe.Field[recipe.Pressure]{Value: recipe.Pressure{Value: m.Pressure}, OK: true}
	}
	if m.Speed.Written() {
		step.Machine.Value.Speed, step.Machine.Value.SpeedLow = m.Speed, quantity.Value{}
		plan.setSpeed(&step)
	}
	if r.setting(&step, &plan, &own) != "" {
		return r.step(in)
	}
	return r.step(&own)
}

// used is a factor that could be worked out; one that could not is 0 and said
// once.
func (r *reckoner) used(v float64, err error, m *trade.Measured, what string) float64 {
	if err == nil {
		return v
	}
	note := fmt.Sprintf("The %s measured of %s cannot be used: it is too far from what such a step does, or does not go with it.", what, m.Stock)
	if strings.Contains(err.Error(), "names the polish") {
		note = fmt.Sprintf("The %s measured of %s cannot be used: write the code of what left the grey, not of the polish.", what, m.Stock)
	}
	for _, said := range r.notes {
		if said == note {
			return 0
		}
	}
	r.notes = append(r.notes, note)
	return 0
}

// fits says whether a measurement was made of this work: its stock, and its
// medium, machine and glass where they are given.
func (r *reckoner) fits(m *trade.Measured, w Work) bool {
	step, h := w.Step, r.plan.House
	if w.Abrasive.Stock == nil || m.Stock != w.Abrasive.Stock.Code {
		return false
	}
	if m.Medium != "" {
		medium := step.Medium.Value
		byCode := medium.Stock != nil && medium.Stock.Code == m.Medium
		if !byCode && (medium.Kind == nil || h.MediumStock[m.Medium] != nil || h.FindMedium(m.Medium) != medium.Kind) {
			return false
		}
	}
	if m.Machine != "" {
		machine := step.Machine.Value
		byCode := machine.Unit != nil && machine.Unit.Code == m.Machine
		if !byCode && (machine.Kind == nil || h.Machines[m.Machine] != nil || h.FindKind(m.Machine) != machine.Kind) {
			return false
		}
	}
	if m.Glass != "" {
		g := r.plan.Recipe.Glass.Value
		return g != nil && h.FindGlass(m.Glass) == g
	}
	return true
}

// better is the measurement that says more of how it was made, or the later.
func better(have, m *trade.Measured) *trade.Measured {
	if have == nil {
		return m
	}
	said := func(m *trade.Measured) (n int) {
		for _, s := range []string{m.Medium, m.Machine, m.Glass} {
			if s != "" {
				n++
			}
		}
		return n
	}
	if a, b := said(have), said(m); a != b {
		if a > b {
			return have
		}
		return m
	}
	if m.Dated < have.Dated {
		return have
	}
	return m
}
