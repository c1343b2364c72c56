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

// looseWords are how a hand calls what he has in mind. Who comes after him has not.
var looseWords = []string{"the", "a", "an", "my", "our", "your", "that", "this", "usual", "normal", "favourite", "favorite", "good", "old", "new", "worn", "used", "same", "other", "last", "next", "fine", "finer",
	"finest", "coarse", "coarser", "medium", "rough", "soft", "hard", "big", "small", "one"}

// loosely reports that an abrasive is called by nothing but such words, with the
// lines of the house's stock that may be meant.
func (p *phrase) loosely(words []word, from, to int) bool {
	start, end := words[from].start, words[to-1].end
	code, worn, first := "", false, from
	if s := p.h.stockLine(p.text[start:words[from].end]); s != nil {
		code = s.Code
		first++
	}
	for _, w := range words[first:to] {
		said := strings.Trim(w.norm, "()")
		if !slices.Contains(looseWords, said) {
			return false
		}
		worn = worn || said == "worn" || said == "old" || said == "used"
	}
	help := "Write the abrasive, its form and its grade, or the code of a line of stock."
	message := quote(p.text[start:end]) + " does not say which one is meant."
	lines := p.alike(words)
	if bare := p.stockOf(p.bare, p.toolIn(words)); len(bare) > 0 {
		lines = bare
	}
	switch {
	case code != "":
		message, help = quote(p.text[start:end])+" says more than the code of a line of stock.", "Write "+code+"."
	case len(lines) > 0:
		help = "Which one: " + strings.Join(lines, ", ") + "? Write its code."
	}
	if worn {
		help += " That it is worn is written in its line of the shop file, as `worn: yes`, with what it acts like now."
	}
	p.say(UnknownAbrasive, start, end, message, help)
	return true
}

// alike are up to four lines of the stock, by code, that are the tool the words
// name; none where they name none.
func (p *phrase) alike(words []word) []string {
	tool := p.toolIn(words)
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

// toolIn is the tool the words name; nil where they name none.
func (p *phrase) toolIn(words []word) (tool *Tool) {
	for i := range words {
		if term, n := p.h.look.abrasive.at(words, i); n > 0 && term.tool != nil {
			tool = term.tool
		}
	}
	return tool
}
