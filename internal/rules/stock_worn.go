package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

var stockRetired = check.Rule{
	ID: "stock-retired", Severity: diag.Error, Concern: diag.Piece,
	Title: "A step takes nothing that the house has retired.",
	Why: "What is retired is off the shelf or no longer cuts as its label says. The hand at the bench takes the next best thing, " +
		"and the chain of grades is no longer the one that was proved.",
	Source: "common practice",
	Quiet:  "the line is not marked `retired` in the shop file",
	Bad:    "Abrasive: D140   (and in the shop file `D140: {…, retired: true}`)",
	Good:   "Abrasive: D140B   (the line that took its place)",
	Check: func(c *check.Context, found func(check.Finding)) {
		stockLines(c, found, func(s *trade.Stock) bool { return s.Retired }, func(subject, takes string, s *trade.Stock) check.Finding {
			f := check.Finding{
				Message: subject + takes + s.Code + ", which the house has retired.",
				Help:    "Write the code of the line that took its place; if it is in use again, take `retired` out of the shop file.",
			}
			if near := sameKind(c, s); near != "" {
				f.Help = "The house has " + near + " of the same kind and grade. " + f.Help
			}
			return f
		})
	},
}

var stockWorn = check.Rule{
	ID: "stock-worn", Severity: diag.Note, Concern: diag.Grade,
	Title:  "A worn disc, belt or pad is used as what it has become.",
	Why:    "A worn tool cuts as a finer one does: it leaves the last grade's lines in, and the finer lines it makes itself hide them until the polish.",
	Source: "common practice",
	Quiet:  "the stock line says what it acts like, or is not marked `worn`",
	Bad:    "Abrasive: B80   (and in the shop file `B80: {…, worn: true}`)",
	Good:   "B80: {abrasive: silicon carbide belt, grade: P80, worn: true, acts like: P120}   (in the shop file)",
	Check: func(c *check.Context, found func(check.Finding)) {
		worn := func(s *trade.Stock) bool { return s.Worn && !s.Retired && !s.ActsLike.Written() }
		stockLines(c, found, worn, func(subject, takes string, s *trade.Stock) check.Finding {
			return check.Finding{
				Message: subject + takes + s.Code + ", which the shop file marks as worn. It cuts finer than " + gradeOr(s) + " and may leave the lines of the grade before.",
				Help:    "Put a new one on and take `worn` out of the shop file, or say there what it acts like now: `acts like:` and a grade.",
			}
		})
	},
}

// gradeOr is the grade of a stock line, or words for it.
func gradeOr(s *trade.Stock) string {
	if s.Abrasive.Grade.Written() {
		return s.Abrasive.Grade.Label
	}
	return "its label says"
}

// stockLines reports every line of the stock of which is holds, once, with all
// steps that take it.
func stockLines(c *check.Context, found func(check.Finding), is func(*trade.Stock) bool, say func(subject, takes string, s *trade.Stock) check.Finding) {
	var order []*trade.Stock
	var places map[*trade.Stock][]place
	for i := range c.Recipe.Steps {
		step := &c.Recipe.Steps[i]
		s := step.Abrasive.Value.Stock
		if s == nil || !is(s) {
			continue
		}
		if places == nil {
			places = map[*trade.Stock][]place{}
		}
		if places[s] == nil {
			order = append(order, s)
		}
		places[s] = append(places[s], place{step, abrasiveSpan(step)})
	}
	for _, s := range order {
		gather(places[s], found, func(subject string, many bool) check.Finding {
			takes := " takes "
			if many {
				takes = " take "
			}
			return say(subject, takes, s)
		})
	}
}

// sameKind is the first line of the stock, by code, of the same abrasive and
// grade that is in use; "" where there is none.
func sameKind(c *check.Context, old *trade.Stock) string {
	best := ""
	for code, s := range c.House.Stock {
		a, b := s.Abrasive, old.Abrasive
		if s != old && !s.Retired && !s.Worn && a.Family == b.Family && a.Bond == b.Bond && a.Tool == b.Tool && a.Grade.Label == b.Grade.Label && (best == "" || code < best) {
			best = code
		}
	}
	return best
}
