// Package process says what every step of a recipe works on, with what, and
// in which order: the chain of each surface, rim speeds, and what the whole
// piece takes in minutes, powder, water and money.
package process

import (
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// Plan is a recipe with its chains worked out.
type Plan struct {
	Recipe *recipe.Recipe
	House  *trade.House
	// Chains are by surface, in the order of Recipe.Surfaces.
	Chains []Chain
	// Steps are by step, in the order of Recipe.Steps.
	Steps []StepPlan
	// Mass of one piece in kg; 0 where neither mass nor size and density are
	// known. MassFromSize is true where it was worked out from the size.
	Mass         float64
	MassFromSize bool
	// MassAtMost in kg is the mass the piece would have if it were solid; 0
	// where its size or its glass is unknown.
	MassAtMost float64
	Totals     Totals
}

// Chain is one surface and every step that takes glass off it, in order.
type Chain struct {
	Surface *recipe.Surface
	Works   []Work
	// Touches are all steps that name the surface, handling steps included, by
	// number.
	Touches []int
}

// Work is one step as it meets one surface.
type Work struct {
	Step     *recipe.Step
	Abrasive *trade.Abrasive
	Class    trade.LapClass
	// Grain is the size in µm the step works with: what its stock line acts
	// like, else its grade; 0 where unknown.
	Grain float64
	// Masked is true where the surface is masked in this step: the step leaves
	// it alone.
	Masked bool
	// Rework is true where the author marked it so.
	Rework bool
	// OnlyIf is true for a step that is done only when something is seen: it is
	// left out of the chain of grades.
	OnlyIf bool
}

// StepPlan is what one step runs at.
type StepPlan struct {
	Class trade.LapClass
	// Diameter in mm of what turns; DiameterFrom says where it came from in words of the
	// recipe ("the medium", "the machine"); 0 and "" where unknown.
	Diameter     float64
	DiameterFrom string
	// RPM and Rim (m/s); 0 where unknown.
	RPM, Rim float64
	// Masked are the surfaces masked while the step is done, by name.
	Masked map[string]bool
	// Works are the surfaces the step takes glass off, masked ones left out.
	Works []*recipe.Surface
	// Changed is true where the disc, pad, brush, wheel or belt differs from
	// the last one on the same machine.
	Changed bool
	// First is true where it is the first that the recipe puts on its machine:
	// whether it was there already, nobody wrote.
	First bool
	// Dry, Wet and Powder: no water; any water; a loose powder that is handled
	// dry.
	Dry, Wet, Powder bool
}

// Totals are what the whole piece takes.
type Totals struct {
	// Attended and Alone in minutes.
	Attended, Alone float64
	// Untimed is how many steps say nothing of time.
	Untimed int
	// WaterMinutes is how long water runs.
	WaterMinutes float64
	Amounts      []Amount
	// Cost by currency.
	Cost map[string]float64
}

// Amount is what is used up of one thing.
type Amount struct {
	What  string
	Grams float64
	// Cost in Currency from the dated price of the stock line; 0 where there
	// is none.
	Cost            float64
	Currency, Dated string
	// Written is false where a working powder has no amount written.
	Written bool
}
