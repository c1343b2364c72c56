package quantity

import (
	"math"
	"strconv"
	"strings"
)

// figures are the significant figures an amount prints with at most.
const figures = 6

// String prints the amount as a bench reads it: 50 cm², 1.5 µm, 45°, with a
// space that may break. A price has two places.
func (v Value) String() string { return v.text(" ") }

// NoBreak is String with a space that does not break (U+00A0).
func (v Value) NoBreak() string { return v.text("\u00a0") }

func (v Value) text(gap string) string {
	if !v.Written() {
		return ""
	}
	number := Format(v.Amount, figures)
	if v.Unit.Kind == Money {
		number = strconv.FormatFloat(v.Amount, 'f', 2, 64)
	}
	if v.Unit == Degree {
		gap = ""
	}
	return number + gap + v.Unit.Symbol
}

// join sets a number and a unit side by side.
func join(number, symbol string) string {
	if symbol == Degree.Symbol {
		return number + symbol
	}
	return number + " " + symbol
}

// Format prints a number with so many significant figures at most, without an
// exponent and without noughts at the end of a fraction: 0.0123, 1200. What is
// no number prints as a dash.
func Format(amount float64, figures int) string {
	if math.IsNaN(amount) || math.IsInf(amount, 0) {
		return "–"
	}
	if amount == 0 {
		return "0"
	}
	figures = max(1, min(figures, 17))
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(amount, 'e', figures-1, 64), 64)
	if err != nil {
		return "–"
	}
	places := max(0, figures-1-int(math.Floor(math.Log10(math.Abs(rounded)))))
	s := strconv.FormatFloat(rounded, 'f', places, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
