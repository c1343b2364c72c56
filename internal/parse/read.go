package parse

import (
	"fmt"
	"slices"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// named reads the house's things: what ReadAbrasive and its kin give.
func named[T any](v value, read func(source.Span, string, *value) (T, bool)) recipe.Field[T] {
	f := recipe.Field[T]{Span: v.at}
	if v.text == "" {
		return f
	}
	f.Value, f.OK = read(v.at, v.text, &v)
	return f
}

func (s *stepReading) abrasiveFact(v value) {
	s.step.Abrasive = named(v, func(at source.Span, text string, _ *value) (trade.Abrasive, bool) {
		return s.house.ReadAbrasive(at, text, s.list)
	})
}

func (s *stepReading) mediumFact(v value) {
	s.step.Medium = named(v, func(at source.Span, text string, _ *value) (trade.Medium, bool) {
		return s.house.ReadMedium(at, text, s.list)
	})
}

func (s *stepReading) machineFact(v value) {
	s.step.Machine = named(v, func(at source.Span, text string, _ *value) (trade.MachineUse, bool) {
		return s.house.ReadMachine(at, text, s.list)
	})
}

// noSurface reports a surface the piece has not.
func (r *reading) noSurface(at source.Span, name string) {
	if r.surfaceless {
		return // the list itself could not be read, or is missing
	}
	all := make([]string, 0, len(r.recipe.Surfaces))
	for i := range r.recipe.Surfaces {
		if s := &r.recipe.Surfaces[i]; s.Name.OK && !slices.Contains(all, s.Name.Value) {
			all = append(all, s.Name.Value)
		}
	}
	help := nearest(name, all)
	if keys.Nearest(name, all) == "" {
		help += " Or add it to the surfaces of the front matter."
	}
	r.say(UnknownSurface, at, fmt.Sprintf("The piece has no surface %s.", quote(name)), help)
	r.slip(at, name, all)
}

func (s *stepReading) surfaceFact(v value) {
	to := len(v.text)
	if i := strings.IndexByte(v.text, '('); i >= 0 {
		to = i
		s.rework(v, i)
	}
	for to > 0 && v.text[to-1] == ' ' {
		to--
	}
	if v.text == "" {
		return
	}
	if to == 0 {
		s.say(BadFact, v.at, "No surface is named here.", "Write its name before the bracket.")
		return
	}
	s.step.Surfaces, s.step.Every = s.surfacesIn(v, 0, to)
	if s.step.Every && len(s.step.Surfaces) > 0 {
		s.say(BadFact, v.at, "“all” stands beside the name of a surface.", "Write all alone, or the names alone.")
	}
}

// rework reads "(rework: why)" from byte i of a Surface fact on.
func (s *stepReading) rework(v value, i int) {
	inner := strings.TrimSpace(v.text[i:])
	end := strings.LastIndexByte(inner, ')')
	word, reason, colon := "", "", false
	if end == len(inner)-1 {
		word, reason, colon = strings.Cut(inner[1:end], ":")
	}
	reason = collapse(reason)
	if fold(word) != "rework" || !colon || reason == "" {
		s.say(BadFact, v.part(i, len(v.text)), fmt.Sprintf("%s does not say why the surface is worked again.", capital(quote(inner))),
			"Write the reason in this form: (rework: a scratch from the last pad)")
		return
	}
	s.step.Rework = reason
}

func (s *stepReading) maskFact(v value) {
	var all bool
	if v.text == "" {
		return
	}
	s.step.Mask, all = s.surfacesIn(v, 0, len(v.text))
	if all {
		s.step.Mask = nil
		for i := range s.recipe.Surfaces {
			surface := &s.recipe.Surfaces[i]
			s.step.Mask = append(s.step.Mask, recipe.SurfaceUse{Name: surface.Name.Value, Span: v.at, Surface: surface})
		}
	}
}

func (s *stepReading) unmaskFact(v value) {
	if v.text != "" {
		s.step.Unmask, s.step.UnmaskAll = s.surfacesIn(v, 0, len(v.text))
	}
}

func (s *stepReading) waterFact(v value) {
	s.step.Water.Span = v.at
	if v.text == "" {
		return
	}
	var room [4][2]int
	parts := pieces(v.text, ',', room[:0])
	word := v.text[parts[0][0]:parts[0][1]]
	w := s.house.FindWater(word)
	water := recipe.Water{Kind: w}
	if w == nil {
		// Where it comes from may stand in front: recirculated flood.
		if rest, ok := cutFold(word, "recirculated "); ok {
			w, water.Recirculated = s.house.FindWater(rest), true
		} else if rest, ok := cutFold(word, "bucket "); ok {
			w, water.Bucket = s.house.FindWater(rest), true
		}
		water.Kind = w
	}
	if w == nil {
		s.unknown(UnknownWord, v.part(parts[0][0], parts[0][1]), word, "word for water", s.names.waters)
		return
	}
	for _, p := range parts[1:] {
		word := fold(v.text[p[0]:p[1]])
		if usual := s.own.values[word]; usual != "" {
			word = usual
		}
		switch word {
		case "recirculated":
			water.Recirculated = true
		case "bucket":
			water.Bucket = true
		default:
			s.say(UnknownWord, v.part(p[0], p[1]), fmt.Sprintf("%s does not say where the water comes from.", capital(quote(v.text[p[0]:p[1]]))),
				nearest(word, waterSources))
			s.slip(v.part(p[0], p[1]), v.text[p[0]:p[1]], waterSources)
			return
		}
	}
	s.step.Water.Value, s.step.Water.OK = water, true
}

func (s *stepReading) mixFact(v value) {
	s.step.Mix.Span = v.at
	if v.text == "" {
		return
	}
	if m := s.house.FindMix(v.text); m != nil {
		s.step.Mix.Value, s.step.Mix.OK = recipe.Mix{Word: m}, true
		return
	}
	colon := strings.IndexByte(v.text, ':')
	if colon < 0 {
		if first := s.firstMix(v.text); first != nil {
			s.step.Mix.Value, s.step.Mix.OK = recipe.Mix{Word: first}, true
			s.say(BadFact, v.at, fmt.Sprintf("%s is more than one mix.", capital(quote(v.text))),
				"Write the one the step begins with, as Mix: "+first.Name+", and the change as an instruction where it is made.")
			return
		}
		if figure(v.text[0]) {
			s.say(BadFact, v.at, fmt.Sprintf("%s is no mix.", capital(quote(v.text))), "Write powder and water in parts: 1 : 0.6 by volume.")
			return
		}
		s.unknown(UnknownWord, v.at, v.text, "word for a mix", s.names.mixes)
		return
	}
	right := strings.TrimSpace(v.text[colon+1:])
	byVolume := strings.HasSuffix(strings.ToLower(right), "by volume")
	if !byVolume {
		s.say(BadFact, v.at, "The parts of this mix do not say how they are measured.", "Write "+strings.TrimSpace(v.text[:colon])+" : "+right+" by volume.")
		return
	}
	right = strings.TrimSpace(right[:len(right)-len("by volume")])
	powder, err := quantity.ParseNumber(strings.TrimSpace(v.text[:colon]), s.house.Numbers)
	var water float64
	if err == nil {
		water, err = quantity.ParseNumber(right, s.house.Numbers)
	}
	switch {
	case err != nil:
		s.say(BadAmount, v.at, err.Message, "Write powder and water in parts: 1 : 0.6 by volume.")
	case powder <= 0 || water <= 0:
		s.say(BadFact, v.at, "A part of this mix is nought.", "Write powder and water in parts: 1 : 0.6 by volume.")
	default:
		s.step.Mix.Value, s.step.Mix.OK = recipe.Mix{Powder: powder, Water: water}, true
	}
}

// firstMix is the first of several mixes: cream, then milk.
func (s *stepReading) firstMix(text string) *trade.Mix {
	for _, between := range []string{",", " then ", " to "} {
		first, rest, ok := strings.Cut(text, between)
		if !ok {
			continue
		}
		rest = strings.TrimSpace(rest)
		if later, ok := cutFold(rest, "then "); ok {
			rest = later
		}
		if m := s.house.FindMix(strings.TrimSpace(first)); m != nil && s.house.FindMix(rest) != nil {
			return m
		}
	}
	return nil
}

// amount reads the bytes start to end of a fact as one amount.
func (s *stepReading) amount(v value, start, end int, kinds ...quantity.Kind) (quantity.Value, bool) {
	q, err := quantity.Parse(v.text[start:end], s.house.Numbers, kinds...)
	if err != nil {
		at := v.part(start+err.Start, start+err.End)
		s.say(BadAmount, at, err.Message, err.Help)
		s.mended(diag.Word(at, err.Words, err.Put))
		return quantity.Value{}, false
	}
	return q, true
}

const chargeForms = "Write every 2 min, or every 2 min, last 3 min without, or once."

func (s *stepReading) chargeFact(v value) {
	s.step.Charge.Span = v.at
	if v.text == "" {
		return
	}
	var c recipe.Charge
	var room [4][2]int
	for i, p := range pieces(v.text, ',', room[:0]) {
		words := v.text[p[0]:p[1]]
		_, every := cutFold(words, "every ")
		_, last := cutFold(words, "last ")
		const without = " without"
		switch {
		case i == 0 && strings.EqualFold(words, "once"):
			c.Once = true
		case i == 0 && every:
			q, ok := s.amount(v, p[0]+len("every "), p[1], quantity.Time)
			if !ok {
				return
			}
			c.Every = q
		case i == 1 && !c.Once && last && len(words) > len("last"+without) && strings.EqualFold(words[len(words)-len(without):], without):
			q, ok := s.amount(v, p[0]+len("last "), p[1]-len(without), quantity.Time)
			if !ok {
				return
			}
			c.Last = q
		default:
			s.say(BadFact, v.part(p[0], p[1]), fmt.Sprintf("%s does not say how often fresh grain is put on.", capital(quote(v.text[p[0]:p[1]]))), chargeForms)
			return
		}
	}
	s.step.Charge.Value, s.step.Charge.OK = c, true
}

const timeForms = "Write 8 min, or 6-8-12 min (low, usual, high), or 6 x 3 min, with + 3 h alone where the machine runs unattended."

func (s *stepReading) timeFact(v value) {
	s.step.Time.Span = v.at
	if v.text == "" {
		return
	}
	t := recipe.Time{Times: 1}
	seen := false
	var room [4][2]int
	for i, p := range pieces(v.text, '+', room[:0]) {
		words := v.text[p[0]:p[1]]
		n := len(words) - len("alone")
		isAlone := n > 0 && strings.EqualFold(words[n:], "alone")
		switch {
		case words == "":
			s.say(BadFact, v.at, "A time is missing beside the +.", timeForms)
			return
		case isAlone && !t.Alone.Written():
			q, ok := s.amount(v, p[0], p[0]+len(strings.TrimRight(words[:n], " ")), quantity.Time)
			if !ok {
				return
			}
			t.Alone = q
		case i > 0 || seen:
			s.say(BadFact, v.part(p[0], p[1]), fmt.Sprintf("%s is a second time for one step.", capital(quote(words))), timeForms)
			return
		default:
			if !s.attended(v, p, &t) {
				return
			}
			seen = true
		}
	}
	s.step.Time.Value, s.step.Time.OK = t, true
}

// attended reads the time somebody stands by: one amount, a range, or so many
// faces times one.
func (s *stepReading) attended(v value, p [2]int, t *recipe.Time) bool {
	text := v.text[p[0]:p[1]]
	from := 0
	if n, rest := times(text); n > 0 {
		t.Times, from = n, rest
	} else if n < 0 {
		s.say(BadFact, v.part(p[0], p[1]), fmt.Sprintf("%s does not say how many faces take how long.", capital(quote(text))), timeForms)
		return false
	}
	low, usual, high, err := span(text[from:], s.house.Numbers)
	if err != nil {
		at := v.part(p[0]+from+err.Start, p[0]+from+err.End)
		if perFace(text[from+err.Start:]) {
			if from > 0 {
				s.say(BadAmount, at, "A time with a cross is that of each face already.", "Write "+strings.TrimSpace(text[:from+err.Start])+".")
				return false
			}
			s.say(BadAmount, at, "A time is that of the whole step, for all its faces.",
				"Write how many faces there are before it: 6 x "+strings.TrimSpace(text[from:from+err.Start])+" where there are six.")
			return false
		}
		s.say(BadAmount, at, err.Message, err.Help)
		s.mended(diag.Word(at, err.Words, err.Put))
		return false
	}
	n := float64(t.Times)
	low.Amount, usual.Amount, high.Amount = low.Amount*n, usual.Amount*n, high.Amount*n
	t.Low, t.Usual, t.High = low, usual, high
	return true
}

// perFace says whether the words behind a time make it that of one face.
func perFace(words string) bool {
	for _, one := range [...]string{"per ", "each", "a face", "a side", "every "} {
		if _, ok := cutFold(words, one); ok {
			return true
		}
	}
	return false
}

// span reads one time or a range of them.
func span(text string, o quantity.Options) (low, usual, high quantity.Value, err *quantity.Error) {
	for i := 0; i < len(text); i++ {
		if text[i] == '-' || text[i] >= 0x80 {
			return quantity.ParseRange(text, o, quantity.Time)
		}
	}
	one, err := quantity.Parse(text, o, quantity.Time)
	return one, one, one, err
}

// times reads the "6 x" a text begins with and where the rest starts; 0 where
// there is no cross, -1 where no number stands before it.
func times(text string) (n, rest int) {
	i := strings.IndexAny(text, "xX×")
	if i < 0 {
		return 0, 0
	}
	n, ok := whole(strings.TrimSpace(text[:i]))
	if !ok || n < 1 {
		return -1, 0
	}
	if strings.HasPrefix(text[i:], "×") {
		return n, i + len("×")
	}
	return n, i + 1
}

func (s *stepReading) pressureFact(v value) {
	s.step.Pressure.Span = v.at
	if v.text == "" {
		return
	}
	folded := fold(v.text)
	if usual := s.own.values[folded]; usual != "" {
		folded = usual
	}
	for _, w := range pressureWords {
		if w == folded {
			s.step.Pressure.Value, s.step.Pressure.OK = recipe.Pressure{Word: w}, true
			return
		}
	}
	if !figure(v.text[0]) {
		s.say(UnknownWord, v.at, fmt.Sprintf("%s is no pressure known here.", capital(quote(v.text))),
			strings.TrimSuffix(nearest(v.text, s.inOwn(pressureWords)), ".")+", or a force: 40 N.")
		s.slip(v.at, v.text, s.inOwn(pressureWords))
		return
	}
	if number(v.text) {
		help := "Write a force, " + v.text + " N, or of a blast the pressure of the air, " + v.text + " bar."
		s.say(BadAmount, v.at, "The unit is missing after "+v.text+".", help)
		return
	}
	if q, ok := s.amount(v, 0, len(v.text), quantity.Force, quantity.Pressure); ok {
		s.step.Pressure.Value, s.step.Pressure.OK = recipe.Pressure{Value: q}, true
	}
}

// number says whether a text is nothing but a number.
func number(text string) bool { return strings.Trim(text, "0123456789.") == "" }

func (s *stepReading) depthFact(v value) {
	s.step.Depth.Span = v.at
	if v.text != "" {
		s.step.Depth.Value, s.step.Depth.OK = s.amount(v, 0, len(v.text), quantity.Length)
	}
}

func (s *stepReading) benchFact(v value) {
	s.step.Bench.Span = v.at
	if v.text == "" {
		return
	}
	name, because := v.text, ""
	if i := strings.IndexByte(name, ','); i >= 0 {
		rest := collapse(name[i+1:])
		name = strings.TrimSpace(name[:i])
		reason, ok := cutFold(rest, "back because ")
		if !ok || strings.TrimSpace(reason) == "" {
			s.say(BadFact, v.part(i, len(v.text)), fmt.Sprintf("%s does not say why the work goes back.", capital(quote(rest))),
				"Write "+name+", back because and the reason.")
		} else {
			because = reason
		}
	}
	b := trade.Bench{Name: name}
	if len(s.house.Benches) > 0 {
		found := s.house.FindBench(name)
		if found == nil {
			help := nearest(name, s.names.benches)
			s.say(UnknownBench, v.part(0, len(name)), fmt.Sprintf("The house has no bench %s.", quote(name)), help)
			s.slip(v.part(0, len(name)), name, s.names.benches)
			return
		}
		b = *found
	}
	s.step.Bench.Value, s.step.Bench.OK = recipe.Bench{Bench: b, Because: because}, true
}

// cutFold cuts a beginning off, capitals or not.
func cutFold(s, prefix string) (string, bool) {
	if len(s) < len(prefix) || !strings.EqualFold(s[:len(prefix)], prefix) {
		return s, false
	}
	return s[len(prefix):], true
}

func (s *stepReading) cleanFact(v value) { s.step.CleanDown = s.freeText(v) }

func (s *stepReading) onlyIfFact(v value) { s.step.OnlyIf = s.freeText(v) }

func (s *stepReading) returnFact(v value) {
	f := s.freeText(v)
	s.step.ReturnTo.Span = v.at
	if !f.OK {
		return
	}
	n := s.stepNamed(v.at, f.Value)
	s.step.ReturnTo.Value, s.step.ReturnTo.OK = recipe.Return{Title: f.Value, Step: n}, n > 0
}

func (s *stepReading) amountFact(v value) {
	s.step.Amount.Span = v.at
	if v.text == "" {
		return
	}
	var all []recipe.Amount
	good := true
	for _, p := range amounts(v.text) {
		a, ok := s.oneAmount(v, p)
		good = good && ok
		all = append(all, a)
	}
	s.step.Amount.Value, s.step.Amount.OK = all, good
}

// amounts cuts "8 g cerium oxide, 20 ml water and 2 g pumice" into its parts: at
// commas, and at an "and" before a figure.
func amounts(text string) [][2]int {
	var all [][2]int
	for _, p := range pieces(text, ',', nil) {
		from := p[0]
		if strings.HasPrefix(text[from:p[1]], "and ") {
			from += len("and ")
		}
		for i := from; i+5 < p[1]; i++ {
			if strings.HasPrefix(text[i:], " and ") && figure(text[i+5]) {
				all = append(all, [2]int{from, i})
				from = i + 5
			}
		}
		all = append(all, [2]int{from, p[1]})
	}
	return all
}

func (s *stepReading) oneAmount(v value, p [2]int) (a recipe.Amount, ok bool) {
	text := v.text[p[0]:p[1]]
	_, end, err := quantity.Scan(text, s.house.Numbers)
	number := end
	if err != nil {
		s.say(BadAmount, v.part(p[0]+err.Start, p[0]+err.End), err.Message, "Write an amount and what it is of: 8 g cerium oxide.")
		return a, false
	}
	// The unit is the word behind the number.
	for end < len(text) && text[end] == ' ' {
		end++
	}
	stop := end
	for stop < len(text) && text[stop] != ' ' {
		stop++
	}
	if _, unit := quantity.Named(text[end:stop]); stop == end || !unit && end < len(text) && stop < len(text) {
		s.say(BadAmount, v.part(p[0], p[0]+number), fmt.Sprintf("The unit is missing after %s.", text[:number]),
			"Write an amount with its unit and what it is of: 8 g cerium oxide.")
		return a, false
	}
	if a.Value, ok = s.amount(v, p[0], p[0]+stop, quantity.Mass, quantity.Volume); !ok {
		return a, false
	}
	a.Of = collapse(text[stop:])
	if of, cut := cutFold(a.Of, "of "); cut {
		a.Of = of
	}
	if a.Of == "" {
		s.say(BadFact, v.part(p[0], p[1]), fmt.Sprintf("%s does not say of what.", capital(quote(text))),
			"Write an amount and what it is of: "+text+" cerium oxide.")
		return a, false
	}
	return a, true
}
