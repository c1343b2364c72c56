package parse

import (
	"fmt"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// mouldField reads whether the mould is still on. Words of the bench that say so
// otherwise are answered by the word they mean.
func (r *reading) mouldField(v keys.Value) recipe.Field[string] {
	const what = "state of a mould"
	text, at, ok := r.scalar(v)
	f := recipe.Field[string]{Span: at}
	if !ok {
		return f
	}
	if f.Value, f.OK = r.wordOf(text, mouldStates); f.OK {
		return f
	}
	state, spoken := trade.MouldSaid("mould " + text)
	if !spoken {
		r.unknown(UnknownWord, at, text, what, r.inOwn(mouldStates))
		return f
	}
	r.say(UnknownWord, at, fmt.Sprintf("%s is no %s known here.", capital(quote(text)), what), r.mouldHelp(state))
	if state != "" {
		r.mended(diag.Word(at, text, r.inOwn([]string{state})[0]))
	}
	return f
}

// mouldHelp says how what was said of the mould is written: state as
// trade.MouldSaid gives it.
func (r *reading) mouldHelp(state string) string {
	if state != "" {
		return "Write " + r.inOwn([]string{state})[0] + "."
	}
	own := r.inOwn(mouldStates)
	return "Write " + own[0] + " while anything of the mould clings to the glass; a step before the first machine then takes it off damp. " +
		"Write " + own[1] + " where the piece comes soaked, brushed and washed clean."
}

// mouldInArrival reports words of a surface's arrival that speak of the mould; a
// piece has one, and it is spoken of there. False where they do not.
func (r *reading) mouldInArrival(v keys.Value, part [2]int, first bool) bool {
	words := v.Text()[part[0]:part[1]]
	state, spoken := trade.MouldSaid(words)
	if !spoken {
		return false
	}
	help := "Write as cast here, and "
	if !first {
		help = "Leave it out here, and write "
	}
	own := r.inOwn(mouldStates)
	switch state {
	case trade.MouldOn:
		help += "`mould: " + own[0] + "` for the piece."
	case trade.MouldOff:
		help += "`mould: " + own[1] + "` for the piece."
	default:
		help += "for the piece `mould: " + own[0] + "` while anything of it clings to the glass, or `mould: " + own[1] + "` where it comes soaked, brushed and washed clean."
	}
	r.say(UnknownWord, v.Part(part[0], part[1]), fmt.Sprintf("%s speaks of the mould, and does not say how the surface arrives.", capital(quote(words))), help)
	return true
}

// speaksOfMould is a quick look for words that mouldInArrival may know.
func speaksOfMould(lower string) bool {
	for _, w := range [...]string{"mould", "mold", "invest", "plaster", "vested"} {
		if strings.Contains(lower, w) {
			return true
		}
	}
	return false
}
