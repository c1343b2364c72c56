package parse

import (
	"fmt"
	"strings"

	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// sheet stands for glass that comes from a sheet: how a surface of it arrives
// hangs on where it lies.
const sheet = "sheet"

// arrivalWords are the words a surface's arrival may begin with and what each
// means; of two that begin alike the longer stands first.
var arrivalWords = func() (all []struct{ word, how string }) {
	add := func(how string, words ...string) {
		for _, w := range words {
			all = append(all, struct{ word, how string }{w, how})
		}
	}
	add(sheet, "cut from sheet", "cut sheet", "float glass", "sheet glass", "float", "sheet")
	// As cut crystal comes from its factory: a face without lines, as from the fire.
	add("fire polished", "acid polished")
	// Pressed glass has the skin and the swell of its mould, as cast glass has.
	add("as cast", "as pressed", "pressed")
	// An edge that was broken off: from a score, by heat along one, or with pliers.
	add("cut", "scored and cut", "scored and broken", "scored and snapped", "scored", "as cut", "cut and snapped", "cut and broken", "snapped", "cracked off",
		"nipped", "grozed")
	for _, how := range arrivals {
		add(how, how)
	}
	return all
}()

// sheetArrival is how a surface of sheet glass arrives: its faces as they left
// the fire, its edges as they broke from the score.
func sheetArrival(shape *trade.Shape) string {
	if shape != nil {
		switch shape.Name {
		case "edge", "arris", "bevel", "hole":
			return "cut"
		}
	}
	return "fire polished"
}

// arrivalHelp says what to write instead of words that say no arrival.
func arrivalHelp(words string, known []string) string {
	if near := keys.Nearest(words, known); near != "" {
		return "Write " + near + "."
	}
	return "Write sawn, sandblasted or ground, each with what did it (sawn, diamond 100 mesh); as cast, fused or fire polished; " +
		"cut for the edge of a sheet as it was scored and broken; or new for what the first step makes."
}

// arrivalField reads how a surface comes to the bench: a word, with an
// abrasive, a damage and an unevenness where they are known.
func (r *reading) arrivalField(v keys.Value, shape *trade.Shape) recipe.Field[recipe.Arrival] {
	text, at, ok := r.scalar(v)
	f := recipe.Field[recipe.Arrival]{Span: at}
	if !ok {
		return f
	}
	a := recipe.Arrival{Words: strings.TrimSpace(text)}
	good := true
	abrasiveFrom, abrasiveTo := -1, -1
	var room [8][2]int
	for i, part := range pieces(text, ',', room[:0]) {
		words := text[part[0]:part[1]]
		lower := strings.ToLower(words)
		switch {
		case i == 0:
			how, rest := arrival(lower, arrivalWords)
			if how == "" && len(r.own.arrivals) > 0 {
				how, rest = arrival(lower, r.own.arrivals)
			}
			if how == sheet {
				how = sheetArrival(shape)
			}
			if how == "" {
				good = false
				if r.mouldInArrival(v, part, true) {
					continue
				}
				r.say(UnknownWord, v.Part(part[0], part[1]), fmt.Sprintf("%s does not say how a surface arrives.", capital(quote(words))),
					arrivalHelp(words, r.names.arrivals))
				r.slip(v.Part(part[0], part[1]), words, r.names.arrivals)
				continue
			}
			a.How = how
			if rest < len(words) {
				abrasiveFrom, abrasiveTo = part[0]+rest, part[1]
			}
		case words == "":
			good = false
			r.say(BadValue, v.Part(max(part[0]-1, 0), part[1]), "Nothing stands behind this comma.", "Take the comma out.")
		case strings.HasPrefix(lower, "damage"):
			good = r.measure(v, part, "damage", &a.Damage) && good
		case strings.HasPrefix(lower, "uneven"):
			good = r.measure(v, part, "uneven", &a.Uneven) && good
		case speaksOfMould(lower) && r.mouldInArrival(v, part, false):
			good = false
		default:
			if abrasiveFrom < 0 {
				abrasiveFrom = part[0]
			}
			abrasiveTo = part[1]
		}
	}
	if abrasiveFrom >= 0 {
		var read bool
		a.Abrasive, read = r.house.ReadAbrasive(v.Part(abrasiveFrom, abrasiveTo), text[abrasiveFrom:abrasiveTo], r.list)
		good = good && read
	}
	f.Value, f.OK = a, good
	return f
}

// arrival finds the word a text begins with and where the rest of it starts,
// behind a with.
func arrival(lower string, known []struct{ word, how string }) (how string, rest int) {
	folded := lower
	if strings.IndexByte(lower, '-') >= 0 {
		folded = strings.ReplaceAll(lower, "-", " ")
	}
	for _, a := range known {
		w := a.word
		if !strings.HasPrefix(folded, w) {
			continue
		}
		if len(folded) == len(w) {
			return a.how, len(w)
		}
		if folded[len(w)] != ' ' {
			continue
		}
		rest := len(w)
		for rest < len(lower) && lower[rest] == ' ' {
			rest++
		}
		if strings.HasPrefix(lower[rest:], "with ") {
			rest += len("with ")
		}
		return a.how, rest
	}
	return "", 0
}

// measure reads "damage 40 µm" and "uneven 0.4 mm" in a part of a value.
func (r *reading) measure(v keys.Value, part [2]int, word string, into *quantity.Value) bool {
	text := v.Text()[part[0]+len(word) : part[1]]
	numbers := r.house.Numbers
	numbers.Nought = true
	value, err := quantity.Parse(text, numbers, quantity.Length)
	if err != nil {
		start := part[0] + len(word) + err.Start
		at := v.Part(start, start+err.End-err.Start)
		if err.End <= err.Start {
			at = v.Part(part[0], part[1])
		}
		help := err.Help
		if word == "damage" {
			help = "Write it in micrometres: damage 40 µm." // µm is never the first guess for a length
		}
		r.say(BadAmount, at, err.Message, help)
		return false
	}
	*into = value
	return true
}
