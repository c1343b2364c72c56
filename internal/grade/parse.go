package grade

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"coldwright/internal/quantity"
)

// Reading says how a house reads what may be read in two ways.
type Reading struct {
	// Loose is true for loose grain and bonded tools, where US 400 is the
	// scale ANSI; on paper and belts it is the coated one, CAMI.
	Loose bool
	// DecimalComma is true where the house's language writes 1,5 µm.
	DecimalComma bool
}

// Parse reads a grade that says its scale: F400, P400, CAMI 400, ANSI 400,
// JIS 400, #400, D46, 400 mesh, 325/400 mesh, No. 60 sieve, 1.5 µm, 4-8 µm,
// 2F, 0½. Capitals and spaces are free, 220F is F220 and 140/170 a pair of
// sieves. US 400 is the coated scale here. False is a writing that is not known, a number alone, or a number that its
// scale does not have; Advice tells these apart.
func Parse(text string) (Grade, bool) { return Reading{}.Parse(text) }

// Parse is the package's Parse with the house's reading.
func (r Reading) Parse(text string) (Grade, bool) {
	var room [longest]byte
	k, ok := canonical(room[:0], text)
	if !ok || len(k) == 0 {
		return Grade{}, false
	}
	if r.Loose && len(k) > 2 && k[0] == 'u' && k[1] == 's' && len(k) < longest-2 {
		var loose [longest]byte
		k = append(append(loose[:0], "ansi"...), k[2:]...)
	}
	if g, ok := all.written[string(k)]; ok {
		return g, true
	}
	if g, ok := reordered(k); ok {
		return g, true
	}
	return r.micron(k)
}

// reordered reads two writings that can mean nothing else: 220F for F220, where
// two figures and more set it apart from the pumice 2F, and the sieve pair
// 140/170 without its mesh.
func reordered(k []byte) (Grade, bool) {
	var room [longest + 4]byte
	if n := len(k) - 1; n > 1 && k[n] == 'f' && figures(k[:n]) {
		g, ok := all.written[string(append(append(room[:0], 'f'), k[:n]...))]
		return g, ok
	}
	if i := bytes.IndexByte(k, '/'); i > 1 && len(k) > i+2 && figures(k[:i]) && figures(k[i+1:]) {
		g, ok := all.written[string(append(append(room[:0], k...), "mesh"...))]
		return g, ok
	}
	return Grade{}, false
}

// longest is the most letters a grade may have in canonical writing.
const longest = 40

// canonical puts a writing into small letters without the spaces that do not
// part two figures, with u for the micro sign and one kind of dash. It is
// false where the writing is longer than any grade.
func canonical(to []byte, text string) ([]byte, bool) {
	gap := false
	for i := 0; i < len(text); {
		c := text[i]
		size := 1
		letter := text[i : i+1]
		switch {
		case c == ' ' || c == '\t' || c == '\n' || c == '\r':
			gap = true
			i++
			continue
		case c >= 'A' && c <= 'Z':
			c += 'a' - 'A'
			letter = lowerCase[c-'a' : c-'a'+1]
		case c >= 0x80:
			var r rune
			r, size = utf8.DecodeRuneInString(text[i:])
			switch r {
			case '\u00a0', '\u2007', '\u2009', '\u202f':
				gap = true
				i += size
				continue
			case 'µ', 'μ':
				letter = "u"
			case '–', '—', '−', '‐', '‑':
				letter = "-"
			default:
				letter = text[i : i+size]
			}
			c = letter[0]
		}
		if gap && len(to) > 0 && isFigure(to[len(to)-1]) && isFigure(c) {
			to = append(to, ' ')
		}
		gap = false
		if len(to)+len(letter) > longest-1 {
			return nil, false
		}
		to = append(to, letter...)
		i += size
	}
	return to, true
}

const lowerCase = "abcdefghijklmnopqrstuvwxyz"

// key is canonical for the tables.
func key(text string) string {
	k, _ := canonical(nil, text)
	return string(k)
}

func isFigure(c byte) bool { return c >= '0' && c <= '9' }

// figures says whether there is nothing but figures.
func figures[T string | []byte](k T) bool {
	if len(k) == 0 {
		return false
	}
	for i := range len(k) {
		if !isFigure(k[i]) {
			return false
		}
	}
	return true
}

// finest and coarsest grain a micrometre figure may give.
const finest, coarsest = 0.001, 10000

// micron reads a grain size written out, a single one or from-to.
func (r Reading) micron(k []byte) (Grade, bool) {
	s := string(k)
	switch {
	case strings.HasSuffix(s, "um"):
		s = s[:len(s)-2]
	case strings.HasSuffix(s, "microns"):
		s = s[:len(s)-7]
	case strings.HasSuffix(s, "micron"):
		s = s[:len(s)-6]
	default:
		return Grade{}, false
	}
	from, to, between := strings.Cut(s, "-")
	from = strings.TrimSuffix(from, "um")
	low, ok := r.grain(from)
	if !ok {
		return Grade{}, false
	}
	g := Grade{
		Scale: Micron, Size: low, Label: quantity.Format(low, 6) + " µm",
		Method: "as written", Source: "written out as a size", Standing: "as written",
	}
	if !between {
		return g, true
	}
	high, ok := r.grain(to)
	if !ok || high <= low {
		return Grade{}, false
	}
	g.Size, g.Low, g.High = (low+high)/2, low, high
	g.Label = quantity.Format(low, 6) + "-" + quantity.Format(high, 6) + " µm"
	g.Method, g.Basis = "middle of the sizes written", "as written"
	return g, true
}

func (r Reading) grain(s string) (float64, bool) {
	n, err := quantity.ParseNumber(s, quantity.Options{DecimalComma: r.DecimalComma})
	return n, err == nil && n >= finest && n <= coarsest
}

// Bare says whether text is a number without a scale: 400, or 400 grit, which
// says no more.
func Bare(text string) bool {
	_, ok := bareNumber(text)
	return ok
}

// bareNumber is the number of a text that has no scale.
func bareNumber(text string) (string, bool) {
	s := strings.TrimSpace(text)
	if n := len(s) - len("grit"); n > 0 && strings.EqualFold(s[n:], "grit") {
		s = strings.TrimRight(s[:n], " -\u00a0")
	} else if n := len("grit"); len(s) > n && strings.EqualFold(s[:n], "grit") {
		s = strings.TrimLeft(s[n:], " \u00a0")
	}
	if len(s) > 12 || !figures(strings.Replace(s, ".", "", 1)) || s[0] == '.' || s[len(s)-1] == '.' {
		return "", false
	}
	return s, true
}

// OnScale is what a number means on a scale: 400 on FEPA F is F400, 1 on
// pumice the degree 1, 1.5 on µm 1.5 µm. A grade that says the scale itself is
// read too. False where the scale has no such grade: Nearest names what it
// has.
func OnScale(s Scale, number string) (Grade, bool) {
	t := all.byScale[s]
	if t == nil {
		return Grade{}, false
	}
	if bare, ok := bareNumber(number); ok {
		number = bare
	}
	if s == Micron {
		if g, ok := Parse(number + " µm"); ok {
			return g, true
		}
	} else if i, ok := t.number[key(number)]; ok {
		return t.grades[i], true
	}
	if g, ok := Parse(number); ok && g.Scale == s {
		return g, true
	}
	return Grade{}, false
}

// Marked reads a writing that says its scale but whose number need not be a
// grade of it: F410 gives FEPA F and 410. Degrees of pumice and sizes in
// micrometres have no such mark.
func Marked(text string) (s Scale, number string, ok bool) {
	var room [longest]byte
	k, fits := canonical(room[:0], text)
	if !fits {
		return "", "", false
	}
	for _, t := range all.scales {
		for _, p := range t.info.written {
			if p.before == "" && p.after == "" || len(k) <= len(p.before)+len(p.after) {
				continue
			}
			if string(k[:len(p.before)]) != p.before || string(k[len(k)-len(p.after):]) != p.after {
				continue
			}
			if n := string(k[len(p.before) : len(k)-len(p.after)]); figures(n) {
				return t.info.Scale, n, true
			}
		}
	}
	return "", "", false
}
