package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var amountDoesNotFit = check.Rule{
	ID: "amount-does-not-fit", Severity: diag.Warning, Concern: diag.Card,
	Title:  "The amount is of the powder the step works with, and one a bench uses up.",
	Why:    "\"120 g cerium oxide\" under a grit step is laid out as it stands and goes on the plate. Kilograms where grams were meant make the cost of the piece, and the order for next month, wrong by a thousand.",
	Source: "common practice",
	Quiet:  "the amount is of no powder, the step's own powder is among the amounts, or it is no more than 3 kg of a polish or pumice, or 10 kg of a grit",
	Bad:    "Amount: 45 kg cerium oxide   (for six faces of 64 cm²)",
	Good:   "Amount: 45 g cerium oxide",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if !step.Amount.OK || !step.Abrasive.OK || step.Abrasive.Value.Family == nil {
				continue
			}
			own := step.Abrasive.Value.Family
			var other *trade.Family
			for _, a := range step.Amount.Value {
				family := powderOf(c.House, a)
				if family == own {
					other = nil
					break
				}
				if other == nil {
					other = family
				}
			}
			if other != nil {
				found(check.Finding{
					Span: step.Amount.Span, Step: step.Number,
					Message: capital(stepNo(step)) + " uses up " + other.Name + " by its amount, and it works with " + nameOf(&step.Abrasive.Value) + ".",
					Help:    "Write the amount of what the step works with, or put the `Abrasive:` right.",
				})
				continue
			}
			most := 10.0
			if !isWork(&step.Abrasive.Value, trade.Grind) {
				most = 3
			}
			for _, a := range step.Amount.Value {
				if a.Value.Unit.Kind == quantity.Mass && a.Value.In(quantity.Kilogram) > most {
					found(check.Finding{
						Span: step.Amount.Span, Step: step.Number,
						Message: capital(stepNo(step)) + " uses up " + amount(a.Value) + " of powder. Nobody lays out so much for one step.",
						Help:    "Look whether the amount or its unit is a slip of the pen: grams are written g.",
					})
					break
				}
			}
		}
	},
}

// powderOf is what an amount is of, nil where that is no powder of the trade.
func powderOf(h *trade.House, a recipe.Amount) *trade.Family {
	if a.Of == "" {
		return nil
	}
	if s := h.FindStock(a.Of); s != nil {
		return s.Abrasive.Family
	}
	return h.FindFamily(a.Of)
}
