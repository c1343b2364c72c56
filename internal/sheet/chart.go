package sheet

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/quantity"
	"coldwright/internal/trade"
)

// GradeChart is the house's stock and the grade scales on one logarithmic axis
// of grain size in µm.
type GradeChart struct {
	// Words stand under the title.
	Words string
	// FromUM and ToUM are the ends of the axis.
	FromUM, ToUM float64
	// Stock are the house's codes, fine to coarse.
	Stock []ChartStock
	// Lanes are the scales, by the size their Number has, fine to coarse.
	Lanes []ChartLane
	// Degrees is the lane of pumice, whose order is sure and whose sizes are
	// not; without marks where the chart has none.
	Degrees ChartLane
	// Remarks are sentences below the lanes.
	Remarks []string
}

// ChartStock is what hangs over one place of the axis: the codes of one size
// and what they are.
type ChartStock struct {
	Codes, Words string
	UM           float64
}

// ChartLane is one scale.
type ChartLane struct {
	// Name is the number in its scale, "F400", or the name of the lane; Size is
	// what the number comes to, What the scale grades.
	Name, Size, What string
	Marks            []ChartMark
}

// ChartMark is one grade on its lane.
type ChartMark struct {
	// Label is the number without the words of its scale.
	Label string
	// UM is its size, LowUM and HighUM its limits where known.
	UM, LowUM, HighUM float64
	// Number marks the number the chart is about, Held a grade in the house's
	// stock.
	Number, Held bool
}

func (GradeChart) block() {}

// The ends of the axis in µm, wider only where the house's stock is.
const chartFrom, chartTo = 1, 300

// chartNumber is what a chart is about where its design says nothing: a number
// that hangs in most shops in several sizes.
const chartNumber = "400"

// houseBuilder gathers what a page of the house itself says.
type houseBuilder struct {
	tongue
	house *trade.House
	// entries are the recipes of a book, left those that something stops.
	entries []BookEntry
	left    []Left
	// built is true once a built-in value was printed.
	built bool
}

// gradeChart is the chart of the house's stock.
func (b *houseBuilder) gradeChart(spec BlockSpec) []Block {
	number := spec.Number
	if number == "" {
		number = chartNumber
	}
	c := GradeChart{
		Words:  b.say("A bare %s says nothing. Say which scale, or give the stock code.", number),
		FromUM: chartFrom, ToUM: chartTo,
	}
	c.Stock = b.chartStock()
	for _, s := range c.Stock {
		c.FromUM, c.ToUM = min(c.FromUM, s.UM), max(c.ToUM, s.UM)
	}
	held := map[grade.Scale]map[string]bool{}
	for _, code := range sortedKeys(b.house.Stock) {
		if b.house.Stock[code].Retired {
			continue
		}
		g := b.house.Stock[code].Abrasive.Grade
		if held[g.Scale] == nil {
			held[g.Scale] = map[string]bool{}
		}
		held[g.Scale][g.Label] = true
	}
	lane := map[grade.Scale]bool{}
	sizes := map[float64]bool{}
	for _, info := range grade.Scales() {
		if info.Scale == grade.Micron || info.Scale == grade.Pumice || !slices.Contains(spec.Scales, string(info.Scale)) && held[info.Scale] == nil {
			continue
		}
		lane[info.Scale] = true
		l := b.lane(info, number, held[info.Scale], c.FromUM, c.ToUM)
		if n := l.number(); n != nil {
			sizes[n.UM] = true
		}
		c.Lanes = append(c.Lanes, l)
	}
	slices.SortStableFunc(c.Lanes, func(x, y ChartLane) int { return cmp.Compare(x.at(), y.at()) })
	if info, ok := grade.Info(grade.Pumice); ok {
		c.Degrees = b.lane(info, "", held[grade.Pumice], c.FromUM, c.ToUM)
		c.Degrees.Name, c.Degrees.Size, c.Degrees.What = b.say("Pumice"), "", b.say("by degrees: the order is sure, the size is not")
	}
	c.Remarks = b.chartRemarks(number, lane)
	return []Block{c}
}

// number is the mark the chart is about, nil where the scale has none.
func (l *ChartLane) number() *ChartMark {
	for i := range l.Marks {
		if l.Marks[i].Number {
			return &l.Marks[i]
		}
	}
	return nil
}

// at is where the number stands on the axis; a scale without it comes last.
func (l *ChartLane) at() float64 {
	if n := l.number(); n != nil {
		return n.UM
	}
	return math.Inf(1)
}

// chartStock are the lines of the shop file that have a grain size, those of
// one size and words together. A worn line is still on the shelf, a retired one
// is not.
func (b *houseBuilder) chartStock() []ChartStock {
	type key struct {
		words string
		um    float64
	}
	by := map[key][]string{}
	for _, code := range sortedKeys(b.house.Stock) {
		s := b.house.Stock[code]
		g := s.Abrasive.Grade
		words := joined(" ", b.abrasive(s.Abrasive), g.Label)
		if !g.Written() && s.ActsLike.Written() {
			g = s.ActsLike
			words = joined(" ", b.abrasive(s.Abrasive), b.say("acts like %s", g.Label))
		}
		if s.Retired || g.Size <= 0 {
			continue
		}
		if g.Default() {
			b.built = true
			words += dagger
		}
		k := key{words, g.Size}
		by[k] = append(by[k], code)
	}
	var out []ChartStock
	for k, codes := range by {
		out = append(out, ChartStock{Codes: strings.Join(codes, ", "), Words: k.words, UM: k.um})
	}
	slices.SortFunc(out, func(x, y ChartStock) int {
		return cmp.Or(cmp.Compare(x.UM, y.UM), cmp.Compare(x.Codes, y.Codes))
	})
	return out
}

// lane is one scale between two sizes, its marks coarse to fine.
func (b *houseBuilder) lane(info grade.ScaleInfo, number string, held map[string]bool, from, to float64) ChartLane {
	l := ChartLane{Name: string(info.Scale), What: b.say(info.Short)}
	for _, g := range grade.All(info.Scale) {
		if g.Size < from || g.Size > to {
			continue
		}
		m := ChartMark{Label: shortLabel(g), UM: g.Size, LowUM: g.Low, HighUM: g.High, Held: held[g.Label], Number: number != "" && shortLabel(g) == number}
		if m.Number {
			l.Name = g.Label
			l.Size = b.figure(g.Size, 2) + nbsp + "µm"
			if g.Default() {
				b.built = true
				l.Size += dagger
			}
		}
		l.Marks = append(l.Marks, m)
	}
	return l
}

// shortLabel is the number of a grade without the words of its scale.
func shortLabel(g grade.Grade) string {
	if g.Scale == grade.Pumice {
		return g.Label
	}
	return strings.Trim(g.Label, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz. ")
}

// chartRemarks say where the sizes come from, and what the number is in the
// scales that have no lane.
func (b *houseBuilder) chartRemarks(number string, lane map[grade.Scale]bool) []string {
	words := []string{b.say("Middle sizes from the grading standards; a thick line shows the limits where they are known.")}
	if lane[grade.Mesh] {
		words = append(words, b.say("A mesh label is what diamond is sold by; no standard stands behind it."))
	}
	var also []string
	for _, g := range grade.Meanings(number) {
		if !lane[g.Scale] {
			also = append(also, g.Label+" "+b.figure(g.Size, 2)+nbsp+"µm")
		}
	}
	if len(also) > 0 {
		words = append(words, b.say("Not in this house: %s.", b.and(also)))
	}
	return append(words, b.say("A resin pad leaves a finer face than its grain."))
}

// numerals are the words of small numbers, as a title has them.
var numerals = []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"}

// chartTitle says how many sizes one number has on the chart.
func (t tongue) chartTitle(c GradeChart) string {
	sizes := map[string]bool{}
	for i := range c.Lanes {
		if n := c.Lanes[i].number(); n != nil {
			sizes[quantity.Format(n.UM, 2)] = true
		}
	}
	if n := len(sizes); n > 1 && n < len(numerals) {
		return t.say("One number, %s sizes", t.name(numerals[n]))
	}
	return t.say("Grades and their grain sizes")
}

// BuildHouse says what a page of the house says in a design. What cannot be
// done as asked is a finding; the sheet is nil only where there is no paper for
// it.
func BuildHouse(h *trade.House, d *Design, o Options) (*Sheet, diag.List) {
	var found diag.List
	page, ok := pageOf(d, h, o, &found)
	if !ok {
		return nil, found
	}
	b := &houseBuilder{tongue: tongue{speak: o.speaker(h)}, house: h}
	s := b.page(d, page, o)
	for _, spec := range d.Blocks {
		if kind := findBlock(spec.Name); kind != nil && kind.house != nil {
			s.Blocks = append(s.Blocks, kind.house(b, spec)...)
		}
	}
	for _, block := range s.Blocks {
		if c, ok := block.(GradeChart); ok {
			s.Title = b.chartTitle(c)
			break
		}
	}
	if b.built {
		s.Foot += " " + b.say(daggerWords) + "."
	}
	s.Meta.Title = s.Title
	s.Stamp()
	return s, found
}
