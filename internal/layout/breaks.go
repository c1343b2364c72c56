package layout

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/rivo/uniseg"
)

// cut is a part of text that stays on one line where there is room for it.
type cut struct {
	// start and end bound what is drawn; next is where the next part begins,
	// behind the spaces that are dropped where the line ends.
	start, end, next int
	// hard ends the line; hyphen shows a hyphen where the line ends.
	hard, hyphen bool
	// glued parts hold a place where the plain rule would let a line end.
	glued bool
}

// appendCuts finds where lines may end, by the line breaking algorithm of
// Unicode (UAX #14). With glue, a number stays with its unit, a range or a
// grade is not torn, and a code keeps its hyphen.
func appendCuts(cuts []cut, text string, odd, glue bool) []cut {
	first := len(cuts)
	for i := 0; i < len(text); {
		// A token is what stands between spaces.
		end := i
		for end < len(text) && text[end] != ' ' && text[end] != '\n' {
			end++
		}
		next, hard := end, false
		for next < len(text) && text[next] == ' ' {
			next++
		}
		if next < len(text) && text[next] == '\n' {
			next, hard = next+1, true
		}
		if glue && !hard && next > end && next < len(text) && end > i {
			if stop := tokenEnd(text, next); sticks(text[i:end], text[next:stop]) {
				end, next, hard = glueOn(text, i, next, stop)
				cuts = append(cuts, cut{start: i, end: end, next: next, hard: hard, glued: true})
				i = next
				continue
			}
		}
		cuts = appendToken(cuts, text, i, end, odd, glue)
		if n := len(cuts); n > first {
			cuts[n-1].next, cuts[n-1].hard = next, hard
		}
		i = next
	}
	return cuts
}

func tokenEnd(text string, i int) int {
	for i < len(text) && text[i] != ' ' && text[i] != '\n' {
		i++
	}
	return i
}

// glueOn takes further tokens on as long as each sticks to the one before.
func glueOn(text string, start, next, stop int) (end, after int, hard bool) {
	last := next
	for {
		after = stop
		for after < len(text) && text[after] == ' ' {
			after++
		}
		if after < len(text) && text[after] == '\n' {
			return stop, after + 1, true
		}
		if after >= len(text) || after == stop {
			return stop, after, false
		}
		further := tokenEnd(text, after)
		if !sticks(text[last:stop], text[after:further]) {
			return stop, after, false
		}
		last, stop = after, further
	}
}

// appendToken cuts one token, which holds no space.
func appendToken(cuts []cut, text string, start, end int, odd, glue bool) []cut {
	token := text[start:end]
	if start == end {
		// A line that is empty because the author ended it at once.
		return append(cuts, cut{start: start, end: end, next: end})
	}
	for len(token) > longToken {
		// No line takes so much, so where it is cut does not matter, but
		// measuring it again for every line would.
		at := clusterEnd(token, longToken)
		if at >= len(token) {
			break
		}
		cuts = append(cuts, cut{start: start, end: start + at, next: start + at})
		start += at
		token = text[start:end]
	}
	if simple(token) {
		return append(cuts, cut{start: start, end: end, next: end})
	}
	glued := false
	from, state := 0, -1
	for rest := token; rest != ""; {
		var segment string
		segment, rest, _, state = uniseg.FirstLineSegmentInString(rest, state)
		at := len(token) - len(rest)
		if rest == "" {
			break
		}
		if glue && holds(token, at) {
			glued = true
			continue
		}
		c := cut{start: start + from, end: start + at, next: start + at, glued: glued}
		if strings.HasSuffix(segment, string(softHyphen)) {
			c.hyphen = true
		}
		cuts = append(cuts, c)
		from, glued = at, false
	}
	return append(cuts, cut{start: start + from, end: end, next: end, glued: glued})
}

// longToken is more bytes than any line takes.
const longToken = 600

// clusterEnd is the first end of a character, with all that belongs to it, at
// or behind an offset.
func clusterEnd(token string, offset int) int {
	at := offset
	for at > 0 && !utf8.RuneStart(token[at]) {
		at--
	}
	for at > 0 && at < len(token) {
		r, n := utf8.DecodeRuneInString(token[at:])
		if !unicode.Is(unicode.M, r) && r != wordJoiner && r != '\u200D' {
			break
		}
		at += n
	}
	return at
}

// simple says that a token holds no place to break: only letters, digits and
// marks that stay with their neighbours in UAX #14.
func simple(token string) bool {
	for i := 0; i < len(token); i++ {
		c := token[i]
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9':
		case c == '.' || c == ',' || c == '\'' || c == '"' || c == ':' || c == ';' || c == '%' || c == '_':
		case (c == '(' || c == ')') && (i == 0 || i == len(token)-1):
		default:
			return false
		}
	}
	return true
}

// holds says whether a place inside a token must not end a line although the
// plain rule allows it: within ranges, units, grades and codes.
func holds(token string, at int) bool {
	before, bn := utf8.DecodeLastRuneInString(token[:at])
	switch before {
	case softHyphen, zeroSpace:
		return false
	case '-', '\u2010', '\u2013', '\u2014', '/':
	default:
		// What stands before a dash: "4" in "4–6" where the dash leads a line.
		after, _ := utf8.DecodeRuneInString(token[at:])
		switch after {
		case '\u2013', '/', '\u00D7', '\u2212', '\u00B1':
			return true
		}
		return digitNear(token, at)
	}
	if before == '\u2014' {
		return false
	}
	left, right := 0, 0
	for i := at - bn; i > 0; {
		r, n := utf8.DecodeLastRuneInString(token[:i])
		if !unicode.IsLetter(r) {
			if unicode.IsDigit(r) {
				return true
			}
			break
		}
		left++
		i -= n
	}
	for _, r := range token[at:] {
		if !unicode.IsLetter(r) {
			if unicode.IsDigit(r) && right == 0 {
				return true
			}
			break
		}
		right++
	}
	if before == '/' {
		return left < 3 || right < 3 || strings.HasPrefix(token[at:], "min")
	}
	return left < 2 || right < 2
}

// digitNear says whether a figure touches the place.
func digitNear(token string, at int) bool {
	b, _ := utf8.DecodeLastRuneInString(token[:at])
	a, _ := utf8.DecodeRuneInString(token[at:])
	return b < 0x2E80 && a < 0x2E80 && (unicode.IsDigit(b) || unicode.IsDigit(a))
}

// sticks says whether two words apart by a space stay on one line.
func sticks(a, b string) bool {
	last, _ := utf8.DecodeLastRuneInString(a)
	first, _ := utf8.DecodeRuneInString(b)
	switch {
	case isDash(a) || isTimes(a):
		return numeric(first)
	case isDash(b):
		return numeric(last)
	case isTimes(b):
		return numeric(last) || unitWords[trimEnd(a)]
	case numeric(last) && numeric(first) && strings.IndexByte(b, '/') > 0 && number(a):
		// 1 1/2 in
		return true
	case numeric(last):
		if number(a) || strings.ContainsAny(a, "–-/") && numeric(firstOf(a)) {
			return unitWords[trimEnd(b)]
		}
	case numeric(first):
		return leads[strings.ToLower(strings.TrimLeft(a, "(["))]
	}
	return false
}

func firstOf(s string) rune {
	r, _ := utf8.DecodeRuneInString(strings.TrimLeft(s, "(<>≤≥≈±+-−"))
	return r
}

// number says whether a word is a figure and nothing else.
func number(s string) bool {
	s = strings.TrimLeft(s, "(<>≤≥≈±+-−")
	for _, r := range s {
		if !numeric(r) && r != '.' && r != ',' && r != '/' && r != '–' && r != '-' {
			return false
		}
	}
	return s != ""
}

func numeric(r rune) bool {
	return r >= '0' && r <= '9' || r == '½' || r == '¼' || r == '¾' || r == '⅓' || r == '⅔' || r == '⅛'
}

func isDash(s string) bool  { return s == "–" || s == "-" || s == "−" }
func isTimes(s string) bool { return s == "×" || s == "x" }

// trimEnd takes off the marks that may follow a unit.
func trimEnd(s string) string { return strings.TrimRight(s, ".,;:)]!?†") }

// unitWords are what a figure must not be torn from.
var unitWords = set(
	"mm", "cm", "dm", "m", "in", "ft", "µm", "μm", "nm", "km",
	"mm²", "cm²", "dm²", "m²", "in²", "mm2", "cm2", "m2", "mm³", "cm³", "m³", "mm3", "cm3", "m3",
	"g", "kg", "mg", "lb", "oz", "t", "l", "L", "ml", "mL", "cl",
	"rpm", "m/s", "mm/s", "mm/min", "m/min", "ft/min", "m/s²", "1/min", "min⁻¹",
	"s", "min", "h", "d", "hours", "hour", "minutes", "minute", "seconds", "days",
	"N", "kN", "kgf", "lbf", "kPa", "MPa", "Pa", "bar", "psi",
	"V", "A", "W", "kW", "mA", "mW", "Hz", "kHz", "lx", "dB", "dB(A", "dB(A)", "K", "°C", "°F", "°",
	"%", "mesh", "pt", "grit", "EUR", "USD", "GBP", "CHF", "SEK", "NOK", "DKK", "CZK", "PLN", "€", "$", "£",
	"g/cm³", "kg/m³", "g/l", "N/cm²", "µm/min", "mm³/min", "g/min", "ppm", "deg", "degrees", "dia", "°Bé", "Bé",
)

// leads are the words a figure must not be torn from in front.
var leads = set(
	"no.", "nos.", "nr.", "n°", "fig.", "p.", "pp.", "jis", "cami", "us", "fepa", "iso", "ansi", "rev", "rev.",
	"revision", "step", "steps", "page", "±", "<", ">", "≤", "≥", "≈", "ca.",
)

func set(words ...string) map[string]bool {
	m := make(map[string]bool, len(words))
	for _, w := range words {
		m[w] = true
	}
	return m
}
