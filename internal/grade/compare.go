package grade

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Meanings are all the grades that a bare number may mean, in the order of the
// scales. Micrometres are among them up to 100, as no powder is sold by them
// above.
func Meanings(number string) []Grade {
	if n, ok := bareNumber(number); ok {
		number = n
	}
	var list []Grade
	for _, t := range all.scales {
		if g, ok := OnScale(t.info.Scale, number); ok && (g.Scale != Micron || g.Size <= 100) {
			list = append(list, g)
		}
	}
	return list
}

// Nearest are the grades of a scale on either side of a number it does not
// have; one where the number lies beyond its end. For a scale without numbers,
// and for what is no number, there are none.
func Nearest(s Scale, number string) []Grade {
	t := all.byScale[s]
	if n, ok := bareNumber(number); ok {
		number = n
	}
	want, err := strconv.ParseFloat(number, 64)
	if t == nil || err != nil || s == Pumice {
		return nil
	}
	below, above := -1, -1
	var low, high float64
	for n, i := range t.number {
		have, err := strconv.ParseFloat(n, 64)
		if err != nil {
			continue
		}
		if have <= want && (below < 0 || have > low) {
			below, low = i, have
		}
		if have >= want && (above < 0 || have < high) {
			above, high = i, have
		}
	}
	var list []Grade
	if below >= 0 {
		list = append(list, t.grades[below])
	}
	if above >= 0 && above != below {
		list = append(list, t.grades[above])
	}
	return list
}

// Neighbours are the grades of each other scale whose size is nearest to g's,
// at most n of each, the nearest first; Ratio tells how far off they are.
// Sieves are left out, as an opening is not a grain; so are degrees of pumice,
// whose sizes are not known well enough, and g's own scale. A degree of pumice
// has none.
func Neighbours(g Grade, n int) []Grade {
	if g.Size <= 0 || g.Scale == Pumice {
		return nil
	}
	var list []Grade
	for _, t := range all.scales {
		if s := t.info.Scale; s == g.Scale || s == Sieve || s == Pumice {
			continue
		}
		near := slices.Clone(t.grades)
		slices.SortStableFunc(near, func(a, b Grade) int { return cmp.Compare(away(g, a), away(g, b)) })
		list = append(list, near[:min(max(n, 0), len(near))]...)
	}
	return list
}

// Ratio is how many times the grain of b is that of a; 0 where a size is not
// known.
func Ratio(a, b Grade) float64 {
	if a.Size <= 0 {
		return 0
	}
	return b.Size / a.Size
}

// away is how far two grains are apart, by ratio.
func away(a, b Grade) float64 { return math.Abs(math.Log(Ratio(a, b))) }

// Advice says why a writing is no grade, and what to write instead, in plain
// sentences. It is false where the writing is a grade.
func Advice(text string) (message, help string, ok bool) {
	if _, fine := Parse(text); fine {
		return "", "", false
	}
	shown := clip(strings.TrimSpace(text))
	if number, bare := bareNumber(text); bare {
		message = "The number " + number + " alone does not say which scale it is on."
		var writings []string
		for _, g := range Meanings(number) {
			writings = append(writings, named(g))
		}
		if len(writings) == 0 {
			return message + " No scale has it.", "Write the grade as its maker does, with its scale, or the grain size, as 15 µm.", true
		}
		return message, "Write " + or(writings) + ", whichever is meant.", true
	}
	if s, number, marked := Marked(text); marked {
		message = shown + " is no grade of " + string(s) + "."
		switch s {
		case Mesh:
			message = shown + " is no label that is known here."
		case Sieve:
			message = "ASTM E11 has no sieve of the number " + number + "."
		}
		near := Nearest(s, number)
		labels := make([]string, len(near))
		for i, g := range near {
			labels[i] = g.Label
		}
		n, _ := strconv.ParseFloat(number, 64)
		switch {
		case s == FEPAD && n < 46:
			return message, "Finer than D46 a code needs its maker: write the micrometres, as 20-30 µm.", true
		case s == Sieve && n > 635:
			return message, "There is no sieve finer than No. 635: write the micrometres.", true
		case len(labels) == 1:
			return message, "The nearest is " + labels[0] + ".", true
		}
		return message, "The nearest are " + labels[0] + " and " + labels[1] + ".", true
	}
	return shown + " is no grade.", "Write a grade with its scale, as F400, P400, CAMI 400, JIS 400, D46, 400 mesh, 1.5 µm or 2F.", true
}

// named is the label, with the word pumice before a degree, which is a number
// or a letter alone.
func named(g Grade) string {
	if g.Scale == Pumice {
		return "pumice " + g.Label
	}
	return g.Label
}

// clip cuts what a reader wrote to what a line can hold.
func clip(text string) string {
	text = strings.Join(strings.Fields(strings.ToValidUTF8(text, "\ufffd")), " ")
	if r := []rune(text); len(r) > 30 {
		return string(r[:29]) + "…"
	}
	if text == "" {
		return "An empty grade"
	}
	return text
}

func or(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
