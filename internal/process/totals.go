package process

import (
	"strings"

	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// setTotals adds up what the whole piece takes. A step that is done only when
// something is seen is left out.
func (p *Plan) setTotals() {
	t := &p.Totals
	t.Cost = map[string]float64{}
	at := map[string]int{}
	for i := range p.Recipe.Steps {
		step := &p.Recipe.Steps[i]
		if step.OnlyIf.Written() {
			continue
		}
		if step.Time.OK {
			t.Attended += step.Time.Value.Usual.In(quantity.Minute)
			t.Alone += step.Time.Value.Alone.In(quantity.Minute)
			if w := step.Water.Value.Kind; w != nil && w.Running {
				t.WaterMinutes += step.Time.Value.Usual.In(quantity.Minute)
			}
		} else {
			t.Untimed++
		}
		for _, a := range amounts(p.House, step) {
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
	for _, a := range t.Amounts {
		if a.Currency != "" {
			t.Cost[a.Currency] += a.Cost
		}
	}
}

// amounts are what one step uses up: what its author wrote, or the bare name
// of a loose powder nobody wrote an amount for.
func amounts(h *trade.House, step *recipe.Step) []Amount {
	a := &step.Abrasive.Value
	if step.Amount.OK {
		list := make([]Amount, 0, len(step.Amount.Value))
		for _, w := range step.Amount.Value {
			grams := w.Value.In(quantity.Gram)
			if grams == 0 {
				continue
			}
			one := Amount{What: w.Of, Grams: grams, Written: true}
			stock := a.Stock
			if stock == nil || !sameThing(w.Of, a) {
				stock = h.FindStock(strings.TrimSpace(w.Of))
			}
			if one.What == "" {
				one.What = named(a)
			}
			one.price(stock)
			list = append(list, one)
		}
		return list
	}
	if step.Abrasive.OK && a.Bond == trade.Loose && step.Working() {
		return []Amount{{What: named(a)}}
	}
	return nil
}

// sameThing says whether the words of an amount mean the step's abrasive: they
// name its family or its code, or nothing at all.
func sameThing(of string, a *trade.Abrasive) bool {
	of = strings.ToLower(strings.TrimSpace(of))
	if of == "" || a.Stock != nil && of == strings.ToLower(a.Stock.Code) {
		return true
	}
	return a.Family != nil && strings.HasPrefix(of, strings.ToLower(a.Family.Name))
}

// named is a powder by family and grade.
func named(a *trade.Abrasive) string {
	words := a.Words
	if a.Family != nil && a.Bond == trade.Loose {
		words = a.Family.Name
	}
	if a.Grade.Written() && (a.Family == nil || a.Family.Work != trade.Polish) {
		words += " " + a.Grade.Label
	}
	return words
}

// price works out what the amount costs by the dated price of its stock line.
func (a *Amount) price(s *trade.Stock) {
	if s == nil || !s.Price.Written() || !s.Pack.Written() {
		return
	}
	pack := s.Pack.In(quantity.Gram)
	if pack <= 0 {
		return
	}
	a.Cost = a.Grams / pack * s.Price.Amount
	a.Currency, a.Dated = s.Price.Unit.Symbol, s.Dated
}
