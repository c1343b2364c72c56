package sheet

import (
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
			row.Cost = b.money(a.Cost, a.Currency) + b.daggerIf(!a.Written)
			cost[a.Currency] += a.Cost
			priced++
			guessed = guessed || !a.Written
			if a.Dated != "" && date == "" {
				row.What = b.say("%s, price of %s", row.What, b.speak.Date(a.Dated))
			}
		}
		rows = append(rows, row)
	}
	if priced > 1 {
		what := b.say("of known price")
		if date != "" {
			what = b.say("at prices of %s", b.speak.Date(date))
		}
		for _, currency := range sortedKeys(cost) {
			rows = append(rows, AmountRow{What: what, Cost: b.money(cost[currency], currency) + b.daggerIf(guessed)})
		}
	}
	var unwritten []string
	for _, a := range t.Amounts {
		if !known[a.What] {
			unwritten = append(unwritten, a.What)
		}
	}
	if len(unwritten) > 0 {
		rows = append(rows, AmountRow{What: strings.Join(unwritten, ", "), Amount: b.say("amount not written")})
	}
	if litres := b.reckoned().Totals.WaterL; spec.Usual && litres > 0 {
		rows = append(rows, AmountRow{What: b.say("water"), Amount: b.approx(litres) + nbsp + b.name("l") + b.daggerIf(true)})
	}
	rows = append(rows,
		AmountRow{What: b.say("at the bench"), Amount: b.minutesOrNone(t.Attended)},
		AmountRow{What: b.say("alone"), Amount: b.minutesOrNone(t.Alone)})
	if t.WaterMinutes > 0 {
		rows = append(rows, AmountRow{What: b.say("water running"), Amount: b.minutesOrNone(t.WaterMinutes)})
	}
	if t.Untimed > 0 {
		rows = append(rows, AmountRow{What: b.say("no time written"), Amount: b.count(t.Untimed, "1 step", "%d steps")})
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
		return b.grams(a.Grams)
	}
	return b.approx(a.Grams) + nbsp + b.name("g") + b.daggerIf(true)
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

func (t tongue) minutesOrNone(m float64) string {
	if m <= 0 {
		return t.say("none")
	}
	return t.duration(m)
}

// trainAgain are the kinds of change after which a hand who knew the sheet no
// longer does.
var trainAgain = map[string]bool{"safety": true, "method": true}

func (b *builder) changes(BlockSpec) []Block {
	var c Changes
	for _, change := range b.recipe.Changes {
		row := ChangeRow{Date: b.dateOf(change.Date), Kind: b.name(written(change.Kind)), Note: written(change.Note)}
		if change.Revision.OK {
			row.Revision = b.say("rev %d", change.Revision.Value)
		} else {
			row.Revision = strings.TrimSpace(change.Revision.Span.Text())
		}
		if trainAgain[written(change.Kind)] {
			row.Kind = b.say("%s, train again", row.Kind)
		}
		row.Kind = followed(row.Kind, ".")
		c.Rows = append(c.Rows, row)
	}
	if b.recipe.Review.Written() {
		c.Review = b.say("The house reads it again by %s.", b.dateOf(b.recipe.Review))
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
	works, checks := b.say("bench hand"), b.say("checker")
	if who := b.house.Roles[roleWorks]; who != "" {
		works = who
	}
	if who := b.house.Roles[roleChecks]; who != "" {
		checks = who
	}
	lines := []string{b.say("Piece"), b.say("%s, date", capital(works))}
	for _, role := range sortedKeys(b.house.Roles) {
		switch role {
		case roleApproves, roleWorks, roleChecks:
			continue
		}
		line := capital(b.name(role))
		if who := b.house.Roles[role]; who != "" {
			line += " (" + who + ")"
		}
		lines = append(lines, b.say("%s, date", line))
	}
	return []Block{SignOff{Lines: append(lines, b.say("%s, date", joined(", ", capital(checks), b.tileWords())))}}
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
		return b.say("against tile %s", tiles[0])
	}
	return b.say("against tiles %s", b.and(tiles))
}
