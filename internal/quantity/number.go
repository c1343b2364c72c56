package quantity

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// largest is above anything at a bench: a thousand kilometres in millimetres.
const largest = 1e9

// vulgar are the fractions that are one character.
var vulgar = map[rune]float64{
	'½': 1.0 / 2, '⅓': 1.0 / 3, '⅔': 2.0 / 3, '¼': 1.0 / 4, '¾': 3.0 / 4,
	'⅕': 1.0 / 5, '⅖': 2.0 / 5, '⅗': 3.0 / 5, '⅘': 4.0 / 5, '⅙': 1.0 / 6, '⅚': 5.0 / 6,
	'⅛': 1.0 / 8, '⅜': 3.0 / 8, '⅝': 5.0 / 8, '⅞': 7.0 / 8,
}

// comma is what is said of 1,5 where the house writes 1.5.
const comma = "Numbers are written with a point here, not with a comma."

// ParseNumber reads a number that stands alone: 12, 1.5, ½, 1/2, 1 1/2, 0½.
func ParseNumber(text string, o Options) (float64, *Error) {
	start := skip(text, 0)
	n, end, err := Scan(text, o)
	if err != nil {
		return 0, err
	}
	rest := skip(text, end)
	if rest < len(text) {
		stop := trimmed(text)
		return 0, fault(rest, stop,
			"A number stands alone here, without "+quote(text[rest:stop])+".",
			"Write "+text[start:end]+".")
	}
	return n, nil
}

// Scan reads the number that text begins with, spaces before it skipped, and
// gives the byte after it. What follows is not looked at, except for what
// could be a part of the same number.
func Scan(text string, o Options) (amount float64, end int, err *Error) {
	start := skip(text, 0)
	fail := func(end int, message, help string) (float64, int, *Error) {
		return 0, end, fault(start, end, message, help)
	}
	if start == len(text) {
		return fail(start, "There is no amount here.", "Write a number and its unit.")
	}
	r, size := utf8.DecodeRuneInString(text[start:])
	if f, ok := vulgar[r]; ok {
		return f, start + size, nil
	}
	if r == '-' || r == '−' || r == '–' || r == '+' {
		return fail(trimmed(text), "An amount has no sign before it and is never less than nothing.", "Write the number alone.")
	}
	if r == '.' || r == ',' {
		stop := digits(text, start+1)
		if stop > start+1 {
			return fail(stop, "A point without a nought before it is lost on a wet sheet.", "Write 0."+text[start+1:stop]+".")
		}
	}
	if r < '0' || r > '9' {
		return fail(trimmed(text), "The amount does not begin with a number.", "Write the number first, then its unit.")
	}
	whole := digits(text, start)
	if whole-start > 12 {
		return fail(whole, "This number is larger than anything at a bench.", "Write the amount in a larger unit.")
	}
	end = whole
	point := false
	if end < len(text) && (text[end] == '.' || text[end] == ',') {
		stop := digits(text, end+1)
		switch {
		case stop == end+1 && text[end] == ',':
			return fail(end+1, "A comma stands after the number with nothing behind it.", "Write "+text[start:end]+".")
		case stop == end+1:
			return fail(end+1, "A point stands after the number with nothing behind it.", "Write "+text[start:end]+".")
		}
		if e := mark(text, start, end, stop, o); e != nil {
			return 0, stop, e
		}
		point, end = true, stop
		if end-whole > 14 {
			return fail(end, "This number has more places than anything at a bench can hold.", "Write it shorter.")
		}
	}
	amount, bad := strconv.ParseFloat(strings.Replace(text[start:end], ",", ".", 1), 64)
	if bad != nil {
		return fail(end, "This number cannot be read.", "Write it in plain figures, as 12 or 1.5.")
	}
	if !point {
		var e *Error
		if amount, end, e = fraction(text, start, end, amount); e != nil {
			return 0, e.End, e
		}
	}
	if e := beside(text, start, end); e != nil {
		return 0, e.End, e
	}
	if amount > largest {
		return fail(end, "This number is larger than anything at a bench.", "Write the amount in a larger unit.")
	}
	return amount, end, nil
}

// mark judges the point or comma at byte at, of a number from start to stop.
func mark(text string, start, at, stop int, o Options) *Error {
	left, right := text[start:at], text[at+1:stop]
	if stop+1 < len(text) && (text[stop] == '.' || text[stop] == ',') && digits(text, stop+1) > stop+1 {
		for stop < len(text) && (text[stop] == '.' || text[stop] == ',') && digits(text, stop+1) > stop+1 {
			stop = digits(text, stop+1)
		}
		return fault(start, stop, "Nothing may part the thousands of a number.", "Write the figures without a break, as 12000.")
	}
	thousands := len(right) == 3 && len(left) <= 3 && left != "0"
	isComma := text[at] == ','
	short := strings.TrimRight(right, "0")
	if isComma && !o.DecimalComma {
		if thousands {
			return fault(start, stop, quote(text[start:stop])+" can be read in two ways.",
				"Write "+left+right+", or "+strings.TrimSuffix(left+"."+short, ".")+".")
		}
		return fault(start, stop, comma, "Write "+left+"."+right+".").put(text, left+"."+right)
	}
	if !isComma && o.DecimalComma && thousands {
		return fault(start, stop, quote(text[start:stop])+" can be read in two ways.",
			"Write "+left+right+", or "+strings.TrimSuffix(left+","+short, ",")+".")
	}
	return nil
}

// fraction reads what may follow the whole number that ends at end: the lower
// part of 1/2, or a fraction beside it as in 1½, 1 ½ and 1 1/2.
func fraction(text string, start, end int, whole float64) (float64, int, *Error) {
	if under, stop, ok := lower(text, end); ok {
		if under == 0 {
			return 0, stop, fault(start, stop, "Nothing can be shared out by nought.", "Write the fraction as 1/2 or 3/4.")
		}
		return whole / under, stop, nil
	}
	next := skip(text, end)
	if next == len(text) {
		return whole, end, nil
	}
	r, size := utf8.DecodeRuneInString(text[next:])
	if f, ok := vulgar[r]; ok {
		return whole + f, next + size, nil
	}
	dash := next == end && text[next] == '-'
	if next == end && !dash {
		return whole, end, nil
	}
	from := next
	if dash {
		from++
	}
	stop := digits(text, from)
	if stop == from || stop-from > 3 {
		return whole, end, nil
	}
	under, last, ok := lower(text, stop)
	if !ok {
		return whole, end, nil
	}
	over, _ := strconv.ParseFloat(text[from:stop], 64)
	if over >= under {
		if dash {
			return whole, end, nil
		}
		return 0, last, fault(from, last, "The fraction beside the whole number is not smaller than one.", "Write a fraction as in 1 1/2.")
	}
	if dash {
		if over/under > whole {
			return whole, end, nil // a range that rises
		}
		apart := text[start:end] + " " + text[from:last]
		return 0, last, fault(start, last, "A dash between a number and its fraction reads as a range.", "Write "+apart+".").put(text, apart)
	}
	return whole + over/under, last, nil
}

// lower reads the stroke and the lower number of a fraction at byte at.
func lower(text string, at int) (under float64, end int, ok bool) {
	switch {
	case strings.HasPrefix(text[at:], "/"):
		at++
	case strings.HasPrefix(text[at:], "⁄"):
		at += len("⁄")
	default:
		return 0, at, false
	}
	end = digits(text, at)
	if end == at || end-at > 4 {
		return 0, at, false
	}
	under, _ = strconv.ParseFloat(text[at:end], 64)
	return under, end, true
}

// beside refuses a second number after the first: thousands set apart.
func beside(text string, start, end int) *Error {
	next := skip(text, end)
	if next < len(text) && next == end && (text[next] == '\'' || text[next] == '_') {
		next++
	} else if next == end {
		return nil
	}
	stop := digits(text, next)
	if stop == next {
		return nil
	}
	if stop-next == 3 {
		whole := text[start:end] + text[next:stop]
		return fault(start, stop, "Nothing may part the thousands of a number.", "Write "+whole+".").put(text, whole)
	}
	return fault(start, stop, "Two numbers stand side by side.", "Write one number and its unit.")
}

// digits is the byte after the figures that begin at byte at.
func digits(text string, at int) int {
	for at < len(text) && text[at] >= '0' && text[at] <= '9' {
		at++
	}
	return at
}

// skip is the byte after the spaces that begin at byte at.
func skip(text string, at int) int {
	for at < len(text) {
		if text[at] == ' ' || text[at] == '\t' || text[at] == '\n' || text[at] == '\r' {
			at++
			continue
		}
		if text[at] < 0x80 {
			return at
		}
		r, size := utf8.DecodeRuneInString(text[at:])
		if !space(r) {
			return at
		}
		at += size
	}
	return at
}

// space says whether a character is a space of some width.
func space(r rune) bool {
	switch r {
	case ' ', '\t', '\n', '\r', '\u00a0', '\u2007', '\u2009', '\u202f':
		return true
	}
	return false
}

// trimmed is the byte after the last character that is no space.
func trimmed(text string) int { return len(strings.TrimRightFunc(text, space)) }

// fold is text in lower case.
func fold(text string) string { return strings.ToLower(text) }

// quote sets the author's words apart, cut to what a line can hold.
func quote(words string) string {
	words = strings.ToValidUTF8(words, "\ufffd")
	if r := []rune(words); len(r) > 30 {
		words = string(r[:29]) + "…"
	}
	return "“" + words + "”"
}
