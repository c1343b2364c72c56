package trade

import (
	"fmt"
	"slices"
	"strings"
)

// colours are words by which a shop calls a pad or a powder that its maker
// coloured. Where a colour is the name of a grain, as in green silicon carbide,
// the tables of abrasives know it.
var colours = []string{"purple", "violet", "pink", "red", "orange", "yellow", "green", "blue", "turquoise", "brown", "black", "white", "grey", "gray", "gold", "silver"}

// colour reports that an abrasive is called by a colour, with the lines of the
// house's stock that may be meant.
func (p *phrase) colour(words []word, from, to int) bool {
	for i := from; i < to; i++ {
		if !slices.Contains(colours, words[i].norm) {
			continue
		}
		help := "Write the abrasive, its form and its grade instead of the colour, or the code of a line of stock."
		if lines := p.alike(words); len(lines) > 0 {
			help = "Which one: " + strings.Join(lines, ", ") + "? Write its code."
		}
		p.say(UnknownAbrasive, words[i].start, words[i].end,
			fmt.Sprintf("%s is a colour, and colours differ from maker to maker.", quote(p.text[words[i].start:words[i].end])), help)
		return true
	}
	return false
}

// alike are up to four lines of the stock, by code, that are the tool the words
// name; none where they name none.
func (p *phrase) alike(words []word) []string {
	var tool *Tool
	for i := range words {
		if term, n := p.h.look.abrasive.at(words, i); n > 0 && term.tool != nil {
			tool = term.tool
		}
	}
	if tool == nil {
		return nil
	}
	var lines []string
	for _, code := range sortedCodes(p.h.Stock) {
		if s := p.h.Stock[code]; s.Abrasive.Tool == tool && !s.Retired && len(lines) < 4 {
			lines = append(lines, code)
		}
	}
	return lines
}
