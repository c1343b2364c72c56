package process

import (
	"fmt"
	"math"

	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

// ReckonedTotals are what the whole piece takes, with what nobody wrote filled
// in by defaults.
type ReckonedTotals struct {
	// Attended and Alone in minutes; Untimed is how many steps say nothing of
	// time.
	Attended, Alone float64
	Untimed         int
	// Amounts are by thing, in the order of the steps. An amount that is not
	// Written is a default.
	Amounts []Amount
	// WaterL is the water in litres, a default throughout.
	WaterL float64
	// Cost by currency, of what has a dated price.
	Cost map[string]float64
	// CostDefault is true where an amount nobody wrote is in the cost.
	CostDefault bool
	// Longest is the step that takes most of the attended time, LongestMinutes
	// how much of it; nil where no step says its time.
	Longest        *recipe.Step
	LongestMinutes float64
}

// mostGrams of a powder nobody wrote an amount of that one piece is taken to
// use, a tonne; beyond it a time or a charge must be written wrongly.
const mostGrams = 1e6

func (p *Plan) reckonTotals(notes *[]string) ReckonedTotals {
	t := ReckonedTotals{Attended: p.Totals.Attended, Alone: p.Totals.Alone, Untimed: p.Totals.Untimed, Cost: map[string]float64{}}
	at := map[string]int{}
	for i := range p.Recipe.Steps {
		step := &p.Recipe.Steps[i]
		if step.OnlyIf.Written() {
			continue
		}
		minutes := step.Time.Value.Usual.In(quantity.Minute)
		if step.Time.OK && minutes > t.LongestMinutes {
			t.Longest, t.LongestMinutes = step, minutes
		}
		t.WaterL += water(step)
		for _, a := range amounts(p.House, step) {
			if !a.Written {
				a.Grams = p.usualGrams(i)
				if a.Grams > mostGrams {
					*notes = append(*notes, fmt.Sprintf("By its time and its charges step %d would use more than a tonne of powder, which is left out: look at both.", step.Number))
					continue
				}
				a.price(step.Abrasive.Value.Stock)
			}
			if !(a.Grams > 0) {
				continue
			}
			if a.Currency != "" {
				t.Cost[a.Currency] += a.Cost
				t.CostDefault = t.CostDefault || !a.Written
			}
			n, seen := at[a.What]
			if !seen {
				at[a.What] = len(t.Amounts)
				t.Amounts = append(t.Amounts, a)
				continue
			}
			have := &t.Amounts[n]
			have.Grams += a.Grams
			have.Cost += a.Cost
			have.Written = have.Written && a.Written
			if have.Currency == "" {
				have.Currency, have.Dated = a.Currency, a.Dated
			}
		}
	}
	return t
}

// water is what a step uses of it, in litres: by the minute while somebody
// works, and while a machine works alone. What runs in a circle is not used up.
func water(step *recipe.Step) float64 {
	w := step.Water.Value
	if !step.Time.OK || w.Kind == nil || w.Recirculated {
		return 0
	}
	minutes := step.Time.Value.Usual.In(quantity.Minute)
	if step.Working() {
		minutes += step.Time.Value.Alone.In(quantity.Minute)
	}
	flow := w.Kind.Flow
	if k := step.Machine.Value.Kind; k != nil && k.Name == "wet saw" && w.Kind.Running {
		flow = usual("saw.water")
	}
	return minutes * flow
}

// usualGrams is what a step uses of a powder nobody wrote an amount of: a
// teaspoon a charge, or by the face for cerium oxide with no charge written. A
// blast's grain goes round and is not counted.
func (p *Plan) usualGrams(i int) float64 {
	step, plan := &p.Recipe.Steps[i], &p.Steps[i]
	a := &step.Abrasive.Value
	if plan.Class == trade.Blast || a.Family == nil || a.Bond != trade.Loose {
		return 0
	}
	family, _ := familyOf(a.Family.Name)
	if family == wear.Cerium && !step.Charge.OK {
		area := 0.0
		for _, s := range plan.Works {
			if one, cannot := p.faceArea(s); cannot == "" {
				area += one.Value * float64(max(1, s.Count.Value))
			}
		}
		return usual("cerium") * area * 100 // 100 faces of 100 cm² are a square metre
	}
	if !step.Time.OK {
		return 0
	}
	minutes := step.Time.Value.Usual.In(quantity.Minute) + step.Time.Value.Alone.In(quantity.Minute)
	every, down := usualCharge(step.Machine.Value.Kind, step, lapOf(plan.Class)), 0.0
	if step.Charge.OK {
		every, down = step.Charge.Value.Every.In(quantity.Minute), step.Charge.Value.Last.In(quantity.Minute)
	}
	grams := charged(minutes, every, down) * usual("spoon") * a.Family.Bulk
	if math.IsNaN(grams) || math.IsInf(grams, 0) {
		return 0
	}
	return grams
}

// charged is how many charges go on in some minutes: counted back from the
// end, and one at the start.
func charged(minutes, every, down float64) float64 {
	if down <= 0 {
		down = every
	}
	if !(minutes > 0) {
		return 0
	}
	if !(every > 0) || minutes <= down {
		return 1
	}
	const slack = 1e-9
	return 1 + math.Ceil((minutes-down)/every-slack)
}
