package grade

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"coldwright/internal/quantity"
)

// Held is a line of the house's stock.
type Held struct {
	Code string
	// Grade is that of the line; Words are what it is, without the grade.
	Grade Grade
	Words string
}

// width is the widest line of a report, in characters.
const width = 80

// near is how far off a neighbour may be, as a ratio, to be worth naming.
const near = 1.5

// Report says what a grade means. A number alone has every meaning set side by
// side; a grade with its scale has its size, limits, source and nearest
// neighbours on the other scales and in the stock; the name of a scale has all
// its grades; nothing has the list of the scales. False is a query that is
// none of these; the text then says so and what to write.
func Report(query string, stock []Held) (text string, ok bool) {
	query = strings.TrimSpace(query)
	var p page
	if query == "" {
		p.scales()
		return p.String(), true
	}
	if g, ok := Parse(query); ok {
		p.grade(g, stock)
		return p.String(), true
	}
	if g, start, ok := FromTail(query); ok && strings.EqualFold(strings.TrimSpace(query[:start]), "pumice") {
		p.grade(g, stock)
		return p.String(), true
	}
	if number, bare := bareNumber(query); bare {
		if list := Meanings(number); len(list) > 0 {
			p.meanings(number, list)
			return p.String(), true
		}
	}
	for _, t := range all.scales {
		if strings.EqualFold(query, string(t.info.Scale)) && t.info.Scale != Micron {
			p.scale(t)
			return p.String(), true
		}
	}
	message, help, _ := Advice(query)
	return message + " " + help, false
}

// page gathers the lines of a report.
type page struct{ strings.Builder }

func (p *page) line(words ...string) {
	p.WriteString(strings.TrimRight(strings.Join(words, ""), " "))
	p.WriteByte('\n')
}

// wrap sets text after a lead that stands in so many columns, and goes on under
// itself.
func (p *page) wrap(lead string, indent int, text string) {
	line, used := pad(lead, indent), 0
	for _, word := range strings.Fields(text) {
		if used > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			p.line(line)
			line, used = strings.Repeat(" ", indent), 0
		}
		if used > 0 {
			line += " "
		}
		line += word
		used++
	}
	p.line(line)
}

// row sets cells into columns of the widths, the last as wide as it is.
func (p *page) row(widths []int, cells ...string) {
	line := "  "
	for i, c := range cells {
		if i < len(widths) {
			c = pad(c, widths[i])
		}
		line += c
	}
	p.line(line)
}

// pad fills a text up to so many columns, and always parts it from the next.
func pad(text string, columns int) string {
	gap := columns - utf8.RuneCountInString(text)
	if gap < 1 && columns > 0 {
		gap = 1
	}
	return text + strings.Repeat(" ", max(gap, 0))
}

func (p *page) scales() {
	p.line("The scales of grain size, and how a grade of each is written:")
	p.line()
	for _, t := range all.scales {
		written := "1.5 µm, 4-8 µm"
		if n := len(t.grades); n > 0 {
			written = t.grades[0].Label + " to " + t.grades[n-1].Label
		}
		p.wrap(pad("  "+string(t.info.Scale), 11)+written, 41, t.info.Name)
	}
	p.line()
	p.wrap("", 0, "A number alone has no size: the same number is another grain on every scale. "+
		"Name a grade, as F400, or a number, as 400, or a scale, as FEPA F.")
}

func (p *page) scale(t *table) {
	p.line(string(t.info.Scale), ": ", t.info.Name)
	p.line()
	p.about(t.info)
	p.line()
	columns := []int{15, 10, 18}
	p.row(columns, "written", "size", "limits", "standing")
	for _, g := range t.grades {
		p.row(columns, g.Label, size(g), limits(g), g.Standing)
	}
	p.line()
	p.wrap("", 0, t.info.Note)
}

// about says how a scale is measured and what it rests on.
func (p *page) about(s ScaleInfo) {
	p.wrap("  measured", 13, s.Method)
	p.wrap("  limits", 13, s.Limits)
	p.wrap("  source", 13, s.Standard)
	p.wrap("  standing", 13, s.Standing)
}

func (p *page) meanings(number string, list []Grade) {
	p.wrap("", 0, number+" alone is no grade: a recipe must write its scale. It may mean:")
	p.line()
	columns := []int{8, 15, 10, 18}
	p.row(columns, "scale", "written", "size", "limits", "standing")
	for _, g := range list {
		p.row(columns, string(g.Scale), named(g), size(g), limits(g), g.Standing)
	}
	p.line()
	grains := slices.DeleteFunc(slices.Clone(list), func(g Grade) bool {
		return g.Scale == Sieve || g.Scale == Pumice || g.Scale == Micron
	})
	if len(grains) > 1 {
		bySize := func(a, b Grade) int { return cmp.Compare(a.Size, b.Size) }
		coarse, fine := slices.MaxFunc(grains, bySize), slices.MinFunc(grains, bySize)
		if r := Ratio(fine, coarse); r > 1.05 {
			p.wrap("", 0, fmt.Sprintf("The coarsest of these grains, %s, is %s times the finest, %s.",
				coarse.Label, quantity.Format(r, 2), fine.Label))
			p.line()
		}
	}
	p.line("How each was measured, and what its limits are")
	for _, g := range list {
		text := capital(g.Method) + "."
		if g.Low > 0 {
			text += " Limits: " + g.Basis + "."
		}
		text += " Source: " + g.Source + "."
		p.wrap("  "+named(g), 18, text)
	}
	p.line()
	p.wrap("", 0, "A house may settle what a bare number means, for one abrasive in one form, under “bare numbers” in its shop file.")
}

func (p *page) grade(g Grade, stock []Held) {
	info, _ := Info(g.Scale)
	head := named(g) + ": " + size(g)
	if g.Default() {
		head += " by default"
	}
	if g.Scale != Micron && g.Scale != Pumice {
		head += ", " + info.Name
	}
	p.wrap("", 0, head)
	p.line()
	if g.Low > 0 || g.Scale != Micron {
		text := limits(g)
		if g.Low > 0 {
			text += ": " + g.Basis
		}
		p.wrap("  limits", 13, text)
	}
	p.wrap("  measured", 13, g.Method)
	p.wrap("  source", 13, g.Source)
	standing := g.Standing
	if g.Default() {
		standing += ": the house should confirm the size"
	}
	p.wrap("  standing", 13, standing)
	if info.Note != "" {
		p.line()
		p.wrap("", 0, info.Note)
	}
	p.line()
	if g.Scale == Pumice {
		p.degrees(g)
	} else {
		p.neighbours(g)
	}
	if len(stock) > 0 {
		p.line()
		p.stock(g, stock)
	}
}

// degrees names the degrees of pumice beside g.
func (p *page) degrees(g Grade) {
	p.line("Beside it in the order")
	columns := []int{10, 10}
	for _, other := range all.byScale[Pumice].grades {
		switch other.Order - g.Order {
		case 1:
			p.row(columns, "coarser", named(other))
		case -1:
			p.row(columns, "finer", named(other))
		}
	}
}

func (p *page) neighbours(g Grade) {
	p.line("Nearest on the other scales")
	columns := []int{18, 11, 15}
	var none []string
	for _, n := range Neighbours(g, 1) {
		if away(g, n) > math.Log(near) {
			none = append(none, string(n.Scale))
			continue
		}
		p.row(columns, n.Label, size(n), apart(g, n), n.Standing)
	}
	if len(none) > 0 {
		p.wrap("  no grade near:", 18, strings.Join(none, ", "))
	}
}

// stock names the lines of the house that lie near g, or the one that lies
// least far; of pumice, by the order.
func (p *page) stock(g Grade, stock []Held) {
	far := func(h Held) float64 {
		if g.Scale == Pumice {
			return math.Abs(float64(h.Grade.Order - g.Order))
		}
		return away(g, h.Grade)
	}
	held := slices.DeleteFunc(slices.Clone(stock), func(h Held) bool {
		return h.Grade.Size <= 0 || h.Grade.Scale == Sieve || (h.Grade.Scale == Pumice) != (g.Scale == Pumice)
	})
	slices.SortStableFunc(held, func(a, b Held) int {
		return cmp.Or(cmp.Compare(far(a), far(b)), strings.Compare(a.Code, b.Code))
	})
	p.line("In the house's stock")
	if len(held) == 0 {
		p.line("  nothing to set beside it")
	}
	columns := []int{18, 11, 15}
	for i, h := range held[:min(len(held), 8)] {
		if i > 0 && g.Scale != Pumice && far(h) > math.Log(near) {
			break
		}
		off := apart(g, h.Grade)
		if g.Scale == Pumice {
			off = [...]string{"finer", "the same", "coarser"}[cmp.Compare(h.Grade.Order, g.Order)+1]
		}
		words := h.Grade.Label
		if h.Words != "" {
			words = h.Words + " " + words
		}
		p.row(columns, h.Code, size(h.Grade), off, cut(words, width-2-18-11-15))
	}
}

// cut shortens text to so many characters.
func cut(text string, columns int) string {
	if r := []rune(text); len(r) > columns {
		return string(r[:columns-1]) + "…"
	}
	return text
}

// apart says how far the grain of b is from that of a.
func apart(a, b Grade) string {
	r := Ratio(a, b)
	switch {
	case math.Abs(r-1) < 0.005:
		return "the same"
	case r > 1:
		return quantity.Format((r-1)*100, 2) + " % coarser"
	}
	return quantity.Format((1-r)*100, 2) + " % finer"
}

// size is the grain as it prints.
func size(g Grade) string { return quantity.Format(g.Size, 4) + " µm" }

// limits are the limits as they print; empty where there are none.
func limits(g Grade) string {
	if g.Scale == Micron && g.Low <= 0 {
		return ""
	}
	if g.Low <= 0 {
		return "none seen"
	}
	return quantity.Format(g.Low, 4) + " to " + quantity.Format(g.High, 4) + " µm"
}

// capital begins a sentence.
func capital(text string) string {
	r, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return text
	}
	return strings.ToUpper(string(r)) + text[size:]
}
