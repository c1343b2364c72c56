package quantity

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// Parse reads one amount with its unit, as in 12 mm, 1 1/2 in, 50 cm². The
// kinds are those that may stand here; with none any will do. Nothing but
// spaces may follow the unit.
func Parse(text string, o Options, kinds ...Kind) (Value, *Error) {
	v, err := part(text, 0, len(text), o, kinds)
	if err != nil {
		return Value{}, err
	}
	if !v.Written() {
		return Value{}, bare(text, 0, len(text), kinds, Unit{})
	}
	if v.Amount == 0 && !o.Nought && !mayBeNought(v.Unit) {
		return Value{}, nought(text)
	}
	return v, nil
}

// mayBeNought says whether nothing is an amount as good as any: no lead, no
// price, no depth of damage. A speed, a time or an area of nothing is a slip.
func mayBeNought(u Unit) bool {
	switch u.Kind {
	case Money, Share, Angle, Rate, Vibration, Sound:
		return true
	case Length:
		return u == Micrometre
	}
	return false
}

func nought(text string) *Error {
	start, stop := skip(text, 0), trimmed(text)
	return fault(start, stop, "An amount of nothing cannot be meant here: "+text[start:stop]+".",
		"Write what it really is, or leave it out.")
}

// ParseRange reads an amount that may have a low and a high end: 8 min,
// 10-15 min, 6-8-12 min (low, usual, high). One amount is all three; of two,
// the usual one is halfway between. The unit stands at the end or at each.
// The amounts must not fall.
func ParseRange(text string, o Options, kinds ...Kind) (low, usual, high Value, err *Error) {
	var spans [][2]int
	from := 0
	for i, r := range text {
		if r == '-' || r == '–' || r == '—' || r == '−' {
			if i == skip(text, 0) && from == 0 {
				continue // a sign: refused below as one
			}
			spans = append(spans, [2]int{from, i})
			from = i + utf8.RuneLen(r)
		}
	}
	spans = append(spans, [2]int{from, len(text)})
	none := func(e *Error) (Value, Value, Value, *Error) { return Value{}, Value{}, Value{}, e }
	if len(spans) > 3 {
		return none(fault(0, trimmed(text), "A range has no more than three amounts: low, usual and high.", "Write it as 6-8-12 min."))
	}
	for _, s := range spans {
		if skip(text[:s[1]], s[0]) == s[1] && len(spans) > 1 {
			return none(fault(0, trimmed(text), "An amount is missing beside the dash.", "Write it as 10-15 min."))
		}
	}
	vs, err := parts(text, spans, o, kinds)
	if err != nil {
		return none(err)
	}
	for i := 1; i < len(vs); i++ {
		if vs[i].Unit.Kind != vs[0].Unit.Kind {
			return none(fault(0, trimmed(text), "The amounts of a range measure different things.", "Write them all in one unit, as 6-8-12 min."))
		}
		if vs[i].Amount*vs[i].Unit.Factor < vs[i-1].Amount*vs[i-1].Unit.Factor*(1-1e-12) {
			if len(vs) == 2 {
				// The dash of 1-1/2 in joins a number and its fraction.
				if _, _, dash := Scan(text, o); dash != nil {
					return none(dash)
				}
			}
			return none(fault(0, trimmed(text), "The amounts of a range do not rise.", "Write the low one first and the high one last."))
		}
	}
	if last := vs[len(vs)-1]; last.Amount == 0 && !o.Nought && !mayBeNought(last.Unit) {
		return none(nought(text))
	}
	switch len(vs) {
	case 1:
		return vs[0], vs[0], vs[0], nil
	case 2:
		middle := Value{(vs[0].In(vs[1].Unit) + vs[1].Amount) / 2, vs[1].Unit}
		return vs[0], middle, vs[1], nil
	}
	return vs[0], vs[1], vs[2], nil
}

// parts reads the amounts between the bytes of spans; one without a unit takes
// that of the next to its right.
func parts(text string, spans [][2]int, o Options, kinds []Kind) ([]Value, *Error) {
	vs := make([]Value, len(spans))
	for i, s := range spans {
		v, err := part(text, s[0], s[1], o, kinds)
		if err != nil {
			return nil, err
		}
		vs[i] = v
	}
	last := len(vs) - 1
	if !vs[last].Written() {
		var hint Unit
		for _, v := range vs {
			if v.Written() {
				hint = v.Unit
			}
		}
		return nil, bare(text, spans[last][0], spans[last][1], kinds, hint)
	}
	for i := last - 1; i >= 0; i-- {
		if !vs[i].Written() {
			vs[i].Unit = vs[i+1].Unit
		}
	}
	return vs, nil
}

// part reads the amount between two bytes of text. Where the unit is missing
// the value has an amount and is not Written.
func part(text string, from, to int, o Options, kinds []Kind) (Value, *Error) {
	amount, end, err := Scan(text[from:to], o)
	if err != nil {
		if e := letters(text[:to], from, kinds); e != nil {
			return Value{}, e
		}
		if stop := skip(text[:to], from+end); err.Message == comma && stop < trimmed(text[:to]) {
			// The whole amount says best what to write.
			if u, ok := lookup(text[stop:trimmed(text[:to])], kinds); ok {
				err.Help = "Write " + join(strings.Replace(text[from+err.Start:from+err.End], ",", ".", 1), u.Symbol) + "."
			}
		}
		err.Start += from
		err.End += from
		if onlyMoney(kinds) && strings.HasPrefix(err.Message, "The amount does not begin") {
			err.Help = "Write the number first, then the currency, as 10.00 EUR."
		}
		return Value{}, err
	}
	start := skip(text[:to], from+end)
	stop := trimmed(text[:to])
	if start >= stop {
		return Value{Amount: amount}, nil
	}
	name := text[start:stop]
	u, ok := lookup(name, kinds)
	if !ok {
		if e := letters(text[:to], from, kinds); e != nil {
			return Value{}, e
		}
		return Value{}, unknown(text, from, from+end, start, stop, kinds)
	}
	if !allowed(u.Kind, kinds) {
		return Value{}, fault(start, stop,
			quote(name)+" measures "+u.Kind.String()+"; "+asked(kinds)+" is asked for here.",
			"Write the amount in "+list(kinds)+".")
	}
	return Value{amount, u}, nil
}

// lookup finds the unit, a currency only where a price may stand.
func lookup(name string, kinds []Kind) (Unit, bool) {
	if u, ok := Named(name); ok && (allowed(u.Kind, kinds) || !allowed(Money, kinds)) {
		return u, true
	}
	if allowed(Money, kinds) {
		if u, ok := Currency(name); ok {
			return u, true
		}
	}
	return Named(name)
}

func allowed(k Kind, kinds []Kind) bool {
	if len(kinds) == 0 {
		return true
	}
	for _, want := range kinds {
		if want == k {
			return true
		}
	}
	return false
}

func onlyMoney(kinds []Kind) bool { return len(kinds) == 1 && kinds[0] == Money }

// bare is the finding of a number without its unit between two bytes of text.
func bare(text string, from, to int, kinds []Kind, hint Unit) *Error {
	start, stop := skip(text[:to], from), trimmed(text[:to])
	number := text[start:stop]
	help := "Write the unit: "
	switch {
	case hint.Kind != 0:
		help += number + " " + hint.Symbol + "."
	case len(kinds) == 0:
		help += number + " mm, or whatever is meant."
	default:
		if allowed(Rotation, kinds) {
			// What turns is set in turns.
			kinds = []Kind{Rotation}
		}
		for i, k := range kinds {
			if i > 0 && i == len(kinds)-1 {
				help += " or "
			} else if i > 0 {
				help += ", "
			}
			help += join(number, usual(k))
		}
		help += "."
	}
	return fault(start, stop, "The unit is missing after "+number+".", help)
}

// letters is the finding of a number in which a letter stands for a figure: O
// for nought, l or I for one. nil where the text from byte from on is none.
func letters(text string, from int, kinds []Kind) *Error {
	start := skip(text, from)
	end := start
	letter, figures := byte(0), false
	fixed := []byte(nil)
	for ; end < len(text); end++ {
		c := text[end]
		switch {
		case c >= '0' && c <= '9':
			figures = true
		case c == 'O' || c == 'o':
			letter, c = text[end], '0'
		case c == 'l' || c == 'I':
			letter, c = text[end], '1'
		case c == '.' || c == ',':
		default:
			goto read
		}
		fixed = append(fixed, c)
	}
read:
	if letter == 0 || !figures {
		return nil
	}
	stop := trimmed(text)
	rest := text[min(skip(text, end), stop):stop]
	if u, ok := lookup(rest, kinds); rest != "" && (!ok || !allowed(u.Kind, kinds)) {
		return nil
	}
	called := "nought"
	if letter == 'l' || letter == 'I' {
		called = "one"
	}
	help := "Write the figure " + called + " in its place, and the unit behind the number."
	if rest != "" {
		help = "Write the figure " + called + " in its place: " + string(fixed) + text[end:stop] + "."
	}
	return fault(start, end, "The "+string(letter)+" in "+quote(text[start:end])+" is a letter and no figure.", help).put(text, string(fixed))
}

// unknown is the finding of a unit that is not known, from start to stop, of a
// number that stands from from to end.
func unknown(text string, from, end, start, stop int, kinds []Kind) *Error {
	name := text[start:stop]
	number := text[skip(text, from):end]
	if r, _ := utf8.DecodeRuneInString(name); r == '-' || r == '–' || r == '—' || r == '−' {
		return fault(start, stop, "One amount is asked for here, not a range.", "Write a single number and its unit.")
	}
	// A known unit with more words behind it.
	for i, r := range name {
		if i > 16 {
			break // no unit is as long
		}
		if space(r) && i > 0 {
			if u, ok := lookup(name[:i], kinds); ok && allowed(u.Kind, kinds) && meant[fold(clip(name))] == "" {
				more := skip(text, start+i)
				return fault(more, stop, "Nothing may follow the unit: "+quote(text[more:stop])+".",
					"Write only "+join(number, u.Symbol)+".")
			}
		}
	}
	e := &Error{Start: start, End: stop, Message: quote(name) + " is no unit known here."}
	if symbol, ok := meant[fold(clip(name))]; ok {
		u, known := Named(symbol)
		if !known {
			u, _ = Currency(symbol)
		}
		if allowed(u.Kind, kinds) {
			e.Help = "Write " + join(number, symbol) + "."
			e.Words, e.Put = name, symbol
			return e
		}
	}
	if onlyMoney(kinds) {
		e.Message = quote(name) + " is no currency known here."
		e.Help = "Write three capital letters for the currency: " + number + " EUR."
		return e
	}
	if near, ok := nearest(name, kinds); ok {
		e.Help = "Write " + join(number, near) + "."
		if sameLetters(fold(name), fold(near)) {
			e.Words, e.Put = name, near
		}
		return e
	}
	e.Help = "Write the amount in " + list(kinds) + "."
	return e
}

// clip is the beginning of a name, one letter longer than any that is known.
func clip(name string) string { return name[:min(len(name), 24)] }

// usual is the unit a hint writes for a kind.
func usual(k Kind) string {
	if k == Money {
		return "EUR"
	}
	for _, u := range units {
		if u.Kind == k {
			return u.Symbol
		}
	}
	return ""
}

// asked names the kinds, as in "a length or an area".
func asked(kinds []Kind) string {
	words := make([]string, len(kinds))
	for i, k := range kinds {
		words[i] = k.String()
	}
	return or(words)
}

// list names the units of the kinds.
func list(kinds []Kind) string {
	var words []string
	for _, u := range units {
		if len(kinds) > 0 && allowed(u.Kind, kinds) {
			words = append(words, u.Symbol)
		}
	}
	if len(kinds) > 0 && allowed(Money, kinds) {
		words = append(words, "the three capital letters of a currency")
	}
	if len(kinds) == 0 {
		words = []string{"mm", "cm²", "g", "min", "rpm", "another unit of the bench"}
	}
	return or(words)
}

func or(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// nearest is the unit of the kinds whose name is at most two letters off, and
// never all of them.
func nearest(name string, kinds []Kind) (string, bool) {
	if utf8.RuneCountInString(name) > 12 {
		return "", false
	}
	name = fold(name)
	best, at := "", 3
	for _, u := range units {
		if !allowed(u.Kind, kinds) {
			continue
		}
		if sameLetters(name, fold(u.Symbol)) {
			return u.Symbol, true
		}
		d := distance(name, fold(u.Symbol))
		if d < at && d < max(utf8.RuneCountInString(name), 2) && d < utf8.RuneCountInString(u.Symbol) {
			best, at = u.Symbol, d
		}
	}
	return best, best != ""
}

// sameLetters says whether two names have the same three letters or more, in
// another order: rmp for rpm.
func sameLetters(a, b string) bool {
	x, y := []rune(a), []rune(b)
	slices.Sort(x)
	slices.Sort(y)
	return len(x) > 2 && slices.Equal(x, y)
}

// distance counts the letters to change, add or drop from a to b.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	row := make([]int, len(y)+1)
	for j := range row {
		row[j] = j
	}
	for i := range x {
		diagonal := row[0]
		row[0] = i + 1
		for j := range y {
			cost := 1
			if x[i] == y[j] {
				cost = 0
			}
			next := min(row[j+1]+1, row[j]+1, diagonal+cost)
			diagonal, row[j+1] = row[j+1], next
		}
	}
	return row[len(y)]
}
