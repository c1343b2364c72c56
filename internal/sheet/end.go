package sheet

import (
	"strconv"
	"strings"

	"coldwright/internal/process"
)

func (b *builder) amounts(spec BlockSpec) []Block {
	if len(b.recipe.Steps) == 0 {
		return nil
	}
	t := b.plan.Totals
	used := b.used(spec)
	date := oneDate(used)
	var rows []AmountRow
	known := map[string]bool{}
	cost, priced, guessed := map[string]float64{}, 0, false
	for _, a := range used {
		known[a.What] = true
		row := AmountRow{What: a.What, Amount: b.amount(a)}
		if a.Cost > 0 {
			row.Cost = money(a.Cost, a.Currency) + b.daggerIf(!a.Written)
			cost[a.Currency] += a.Cost
			priced++
			guessed = guessed || !a.Written
			if a.Dated != "" && date == "" {
				row.What += ", price of " + a.Dated
			}
		}
		rows = append(rows, row)
	}
	if priced > 1 {
		what := "of known price"
		if date != "" {
			what = "at prices of " + date
		}
		for _, currency := range sortedKeys(cost) {
			rows = append(rows, AmountRow{What: what, Cost: money(cost[currency], currency) + b.daggerIf(guessed)})
		}
	}
	var unwritten []string
	for _, a := range t.Amounts {
		if !known[a.What] {
			unwritten = append(unwritten, a.What)
		}
	}
	if len(unwritten) > 0 {
		rows = append(rows, AmountRow{What: strings.Join(unwritten, ", "), Amount: "amount not written"})
	}
	if litres := b.reckoned().Totals.WaterL; spec.Usual && litres > 0 {
		rows = append(rows, AmountRow{What: "water", Amount: approx(litres) + nbsp + "l" + b.daggerIf(true)})
	}
	rows = append(rows,
		AmountRow{What: "at the bench", Amount: minutesOrNone(t.Attended)},
		AmountRow{What: "alone", Amount: minutesOrNone(t.Alone)})
	if t.WaterMinutes > 0 {
		rows = append(rows, AmountRow{What: "water running", Amount: minutesOrNone(t.WaterMinutes)})
	}
	if t.Untimed > 0 {
		rows = append(rows, AmountRow{What: "no time written", Amount: count(t.Untimed, "step", "steps")})
	}
	return []Block{Amounts{Rows: rows}}
}

// used are the amounts with a figure: those written and, if asked for, what is
// usual where none is.
func (b *builder) used(spec BlockSpec) []process.Amount {
	from := b.plan.Totals.Amounts
	if spec.Usual {
		from = b.reckoned().Totals.Amounts
	}
	var used []process.Amount
	for _, a := range from {
		if a.Grams > 0 && (a.Written || spec.Usual) {
			used = append(used, a)
		}
	}
	return used
}

// amount is one of them in grams, with two figures where it is the usual one.
func (b *builder) amount(a process.Amount) string {
	if a.Written {
		return grams(a.Grams)
	}
	return approx(a.Grams) + nbsp + "g" + b.daggerIf(true)
}

// daggerIf is the dagger where a value is built in.
func (b *builder) daggerIf(yes bool) string {
	if !yes {
		return ""
	}
	return b.mark(process.Default)
}

// oneDate is the day all of several prices are of, which is said once; empty
// where they are of more than one day.
func oneDate(amounts []process.Amount) string {
	date, priced := "", 0
	for _, a := range amounts {
		if a.Cost <= 0 {
			continue
		}
		if priced++; priced == 1 {
			date = a.Dated
		}
		if a.Dated != date {
			return ""
		}
	}
	if priced < 2 {
		return ""
	}
	return date
}

func minutesOrNone(m float64) string {
	if m <= 0 {
		return "none"
	}
	return duration(m)
}

// trainAgain are the kinds of change after which a hand who knew the sheet no
// longer does.
var trainAgain = map[string]bool{"safety": true, "method": true}

func (b *builder) changes(BlockSpec) []Block {
	var c Changes
	for _, change := range b.recipe.Changes {
		row := ChangeRow{Date: dateOf(change.Date), Kind: written(change.Kind), Note: written(change.Note)}
		if change.Revision.OK {
			row.Revision = "rev " + strconv.Itoa(change.Revision.Value)
		} else {
			row.Revision = strings.TrimSpace(change.Revision.Span.Text())
		}
		if trainAgain[row.Kind] {
			row.Kind += ", train again"
		}
		row.Kind = followed(row.Kind, ".")
		c.Rows = append(c.Rows, row)
	}
	if b.recipe.Review.Written() {
		c.Review = "The house reads it again by " + dateOf(b.recipe.Review) + "."
	}
	if len(c.Rows) == 0 && c.Review == "" {
		return nil
	}
	return []Block{c}
}

// The roles of the shop file that a sheet knows by name. Who approves signs
// the recipe, not each piece.
const (
	roleApproves = "approves"
	roleWorks    = "works"
	roleChecks   = "checks"
)

// signOff are the lines to sign on: the design's own, else the piece, who
// works it, the house's further roles, and last who checks it.
func (b *builder) signOff(spec BlockSpec) []Block {
	if spec.Lines != nil {
		return []Block{SignOff{Lines: spec.Lines}}
	}
	works, checks := "bench hand", "checker"
	if who := b.house.Roles[roleWorks]; who != "" {
		works = who
	}
	if who := b.house.Roles[roleChecks]; who != "" {
		checks = who
	}
	lines := []string{"Piece", capital(works) + ", date"}
	for _, role := range sortedKeys(b.house.Roles) {
		switch role {
		case roleApproves, roleWorks, roleChecks:
			continue
		}
		line := capital(role)
		if who := b.house.Roles[role]; who != "" {
			line += " (" + who + ")"
		}
		lines = append(lines, line+", date")
	}
	return []Block{SignOff{Lines: append(lines, capital(checks)+b.tileWords()+", date")}}
}

// tileWords name the tiles the piece is held against.
func (b *builder) tileWords() string {
	var tiles []string
	seen := map[string]bool{}
	for i := range b.recipe.Surfaces {
		if tile := written(b.recipe.Surfaces[i].Tile); tile != "" && !seen[tile] {
			seen[tile] = true
			tiles = append(tiles, tile)
		}
	}
	switch len(tiles) {
	case 0:
		return ""
	case 1:
		return ", against tile " + tiles[0]
	}
	return ", against tiles " + and(tiles)
}
