package layout

import (
	"math"
	"strconv"
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/typeface"
)

// Where a grade chart stands, in mm.
const (
	chartAxis   = 80  // the start of the axis from the left of the text
	chartRight  = 15  // the end of the axis from the right of it, room for a code
	chartTier   = 6.2 // from one row of stock codes to the next
	chartRuler  = 12  // the axis with its figures
	laneMost    = 22  // a lane where there is room
	laneLeast   = 14
	laneDegrees = 13
)

// bandGrey is the band of the degrees of pumice, whose sizes are not sure.
var bandGrey = draw.Ink{R: 0xC4, G: 0xC4, B: 0xC4}

// chart is a grade chart being laid.
type chart struct {
	*layer
	c        sheet.GradeChart
	from, to draw.Unit
	// shapes and words are what is drawn so far, y how far down.
	shapes, words []draw.Item
	y             draw.Unit
}

// gradeChart sets the whole chart as one part of a page, or its stock and its
// lanes as two where they are too high for one.
func (l *layer) gradeChart(c sheet.GradeChart) flow {
	page := sound(l.sheet.Page)
	room := draw.MM(page.Height - page.Top - page.Bottom - 38)
	ch := &chart{layer: l, c: c, from: l.left + draw.MM(chartAxis), to: l.left + l.width - draw.MM(chartRight)}
	remarks := l.text.lines(spans(regular(smallSize), joined(" ", c.Remarks...)), measure{width: l.width})
	foot := draw.MM(3) + leading(smallSize)*draw.Unit(len(remarks))
	fixed := draw.MM(9+chartRuler+laneDegrees) + foot
	flags, tiers := ch.flags(true)
	lanes := draw.Unit(len(c.Lanes))
	stock := func() draw.Unit { return draw.MM(chartTier) * draw.Unit(max(tiers, 2)) }
	if fixed+stock()+lanes*draw.MM(laneLeast) > room {
		flags, tiers = ch.flags(false)
	}
	var f flow
	lk := regular(headSize)
	line := l.one(c.Words, lk)
	words := atom{height: draw.MM(7.4), base: draw.MM(4.4)}
	words.runs = []run{{key: l.key(), role: draw.Paragraph, items: line.put(nil, l.left, words.base)}}
	f.add(words)
	ch.stock(flags, tiers)
	apart := fixed+stock()+lanes*draw.MM(laneLeast) > room
	if apart {
		ch.ruler()
		f.add(ch.done())
		room -= draw.MM(chartRuler) + foot
	} else {
		room -= fixed + stock()
	}
	pitch := max(min(room/max(lanes, 1), draw.MM(laneMost)), draw.MM(laneLeast))
	ch.ruler()
	ch.lanes(pitch)
	f.add(ch.done())
	last := atom{above: draw.MM(3), height: leading(smallSize) * draw.Unit(len(remarks)), base: above(smallSize)}
	r := run{key: l.key(), role: draw.Paragraph}
	for i, ln := range remarks {
		r.items = ln.put(r.items, l.left, above(smallSize)+leading(smallSize)*draw.Unit(i))
	}
	last.runs = []run{r}
	f.add(last)
	f.glue(max(0, len(f.atoms)-2))
	return f
}

// done takes what is drawn so far as one part.
func (ch *chart) done() atom {
	a := atom{height: ch.y, base: draw.MM(4.4)}
	a.runs = []run{{role: draw.Artifact, items: ch.shapes}, {key: ch.key(), role: draw.Paragraph, items: ch.words}}
	ch.shapes, ch.words, ch.y = nil, nil, 0
	return a
}

// x is where a size stands on the axis.
func (ch *chart) x(um float64) draw.Unit {
	um = min(max(um, ch.c.FromUM), ch.c.ToUM)
	return ch.from + draw.Unit(math.Round(float64(ch.to-ch.from)*math.Log(um/ch.c.FromUM)/math.Log(ch.c.ToUM/ch.c.FromUM)))
}

// flag is a stock code with its words beside the arrow that points from it to
// its size.
type flag struct {
	code, words    line
	at, left, wide draw.Unit
	tier           int
}

// flags puts the finer codes left of their arrows and the coarser ones right of
// them, each as low as it goes: above all arrows it would cross. Where the sides
// change is chosen so that they stand lowest. Without words there are the codes
// alone, those of one size together.
func (ch *chart) flags(words bool) ([]flag, int) {
	var all []flag
	for _, g := range ch.grouped(words) {
		f := flag{code: ch.shrunk(g.Codes, bold(draw.Pt(12)), draw.MM(flagMost)), at: ch.x(g.UM)}
		f.wide = f.code.width
		if words {
			f.words = ch.shrunk(g.Words, body(), f.at-ch.left-draw.MM(3)-f.wide)
			f.wide += f.words.width + draw.MM(1.2)
		}
		all = append(all, f)
	}
	best, least := []flag(nil), 0
	for turn := len(all); turn >= 0; turn-- {
		if turn < len(all) && all[turn].at+draw.MM(1.6)+all[turn].wide > ch.left+ch.width {
			break
		}
		set, tiers := ch.raised(all, turn)
		if best == nil || tiers < least {
			best, least = set, tiers
		}
	}
	return best, least
}

// flagMost is the most a flag's codes take in mm; more codes hang on a second
// flag.
const flagMost = 42

// grouped are the codes as they hang: no wider than a flag, and where there are
// no words those of one size together.
func (ch *chart) grouped(words bool) []sheet.ChartStock {
	var out []sheet.ChartStock
	for _, s := range ch.c.Stock {
		for i, code := range strings.Split(s.Codes, ", ") {
			n := len(out) - 1
			if n >= 0 && out[n].UM == s.UM && (i > 0 || !words) {
				both := out[n].Codes + ", " + code
				if ch.one(both, bold(draw.Pt(12))).width <= draw.MM(flagMost) {
					out[n].Codes = both
					continue
				}
			}
			out = append(out, sheet.ChartStock{Codes: code, Words: s.Words, UM: s.UM})
		}
	}
	return out
}

// shrunk is one line of text in a size that fits the room, and 6 points at
// least.
func (ch *chart) shrunk(text string, lk look, room draw.Unit) line {
	ln := ch.one(text, lk)
	for ln.width > room && lk.size > draw.Pt(6) {
		lk = lk.at(max(lk.size*9/10, draw.Pt(6)))
		ln = ch.one(text, lk)
	}
	return ln
}

// raised places the flags where those from turn on stand right of their arrows.
func (ch *chart) raised(all []flag, turn int) ([]flag, int) {
	set := append([]flag{}, all...)
	tiers := 0
	for i := range turn {
		f := &set[i]
		f.left = max(f.at-draw.MM(1.6)-f.wide, ch.left)
		for k := range i {
			if set[k].at >= f.left-draw.MM(.8) {
				f.tier = max(f.tier, set[k].tier+1)
			}
		}
		tiers = max(tiers, f.tier+1)
	}
	for i := len(set) - 1; i >= turn; i-- {
		f := &set[i]
		f.left = f.at + draw.MM(1.6)
		for k := i + 1; k < len(set); k++ {
			if set[k].at <= f.left+f.wide+draw.MM(.8) {
				f.tier = max(f.tier, set[k].tier+1)
			}
		}
		tiers = max(tiers, f.tier+1)
	}
	return set, tiers
}

// headWords put a bold head with a line below it at the left of the chart.
func (ch *chart) headWords(head, below string, y draw.Unit) {
	ch.words = ch.one(head, bold(headSize)).put(ch.words, ch.left, y)
	ch.words = ch.one(below, body()).put(ch.words, ch.left, y+leading(headSize)-draw.MM(.4))
}

func (ch *chart) stock(flags []flag, tiers int) {
	tiers = max(tiers, 2)
	pitch := draw.MM(chartTier)
	// The head stands in the upper corner; a code that would touch it goes up.
	head := ch.left + draw.MM(42)
	for _, f := range flags {
		if f.left < head && f.tier > tiers-3 {
			tiers = f.tier + 3
		}
	}
	ch.headWords(ch.fixed("In this house"), ch.fixed("by stock code"), draw.MM(4.4))
	foot := pitch * draw.Unit(tiers)
	for _, f := range flags {
		base := foot - pitch*draw.Unit(f.tier) - draw.MM(1.4)
		x := f.left
		ch.words = f.code.put(ch.words, x, base)
		ch.words = f.words.put(ch.words, x+f.code.width+draw.MM(1.2), base)
		ch.shapes = append(ch.shapes,
			draw.Line{From: pt(f.at, base-draw.MM(3.4)), To: pt(f.at, foot-draw.MM(2)), Width: draw.MM(.4)},
			filled(draw.Black, polygon(pt(f.at, foot+draw.MM(.2)), pt(f.at-draw.MM(1), foot-draw.MM(2.2)), pt(f.at+draw.MM(1), foot-draw.MM(2.2)))))
	}
	ch.y = foot
}

// ruler is the axis with its figures.
func (ch *chart) ruler() {
	top := ch.y + draw.MM(.3)
	ch.headWords(ch.fixed("Grain size in µm"), ch.fixed("fine left, coarse right"), top+draw.MM(4.6))
	ch.shapes = append(ch.shapes, draw.Line{From: pt(ch.from, top), To: pt(ch.to, top), Width: draw.MM(.7)})
	var before draw.Unit
	for _, um := range ch.figures() {
		x := ch.x(um.um)
		long := draw.MM(1.2)
		if um.words != "" {
			long = draw.MM(2)
			ln := ch.one(um.words, bold(draw.Pt(12)))
			if x-ln.width/2 > before+draw.MM(1) || before == 0 {
				ch.words = ln.put(ch.words, x-ln.width/2, top+draw.MM(6.8))
				before = x + ln.width/2
			}
		}
		ch.shapes = append(ch.shapes, draw.Line{From: pt(x, top), To: pt(x, top+long), Width: draw.MM(.3)})
	}
	ch.y = top + draw.MM(chartRuler-.3)
}

// figure is a tick of the axis with its words; empty for a tick alone.
type figure struct {
	um    float64
	words string
}

// figures are the ticks of the axis: 1, 2 and 5 of each power of ten have
// words.
func (ch *chart) figures() []figure {
	var out []figure
	for e := math.Floor(math.Log10(ch.c.FromUM)); e <= math.Log10(ch.c.ToUM); e++ {
		decade := math.Pow(10, e)
		for k := 1.0; k < 10; k++ {
			um := decade * k
			if um < ch.c.FromUM*.9999 || um > ch.c.ToUM*1.0001 {
				continue
			}
			f := figure{um: um}
			if k == 1 || k == 2 || k == 5 {
				f.words = strconv.FormatFloat(math.Round(um*1000)/1000, 'f', -1, 64)
			}
			out = append(out, f)
		}
	}
	return out
}

// lanes draws the scales one below the other, and the degrees of pumice last.
func (ch *chart) lanes(pitch draw.Unit) {
	top := ch.y - draw.MM(chartRuler-.3)
	first := ch.y
	foot := first + pitch*draw.Unit(len(ch.c.Lanes)) + draw.MM(3)
	var lines []draw.Item
	for _, f := range ch.figures() {
		if f.words != "" {
			lines = append(lines, draw.Line{From: pt(ch.x(f.um), top+draw.MM(8.2)), To: pt(ch.x(f.um), foot), Width: draw.MM(.2)})
		}
	}
	for i := range ch.c.Lanes {
		if x, ok := ch.numberAt(i); ok {
			y := first + pitch*draw.Unit(i) + ch.axisIn(pitch)
			lines = append(lines, draw.Line{From: pt(x, top), To: pt(x, y), Width: draw.MM(.6)})
		}
	}
	ch.shapes = append(ch.shapes, lines...)
	for i := range ch.c.Lanes {
		ch.lane(i, pitch)
		ch.y += pitch
		ch.shapes = append(ch.shapes, draw.Line{From: pt(ch.left, ch.y), To: pt(ch.left+ch.width, ch.y), Width: draw.MM(.2)})
	}
	ch.degrees()
}

// axisIn is how far down in a lane its own axis runs.
func (ch *chart) axisIn(pitch draw.Unit) draw.Unit { return pitch * 45 / 100 }

func (ch *chart) numberAt(lane int) (draw.Unit, bool) {
	for _, m := range ch.c.Lanes[lane].Marks {
		if m.Number {
			return ch.x(m.UM), true
		}
	}
	return 0, false
}

// span is a stretch across the page that is taken.
type stretch struct{ from, to draw.Unit }

func free(taken []stretch, from, to draw.Unit) bool {
	for _, s := range taken {
		if from < s.to && to > s.from {
			return false
		}
	}
	return true
}

// lane draws one scale: its name and the size of the number, its ticks, the
// labels that have room, the house's grades with a dot and their limits.
func (ch *chart) lane(i int, pitch draw.Unit) {
	lane := ch.c.Lanes[i]
	axis := ch.y + ch.axisIn(pitch)
	big := bold(draw.Pt(20))
	ch.words = ch.one(lane.Name, big).put(ch.words, ch.left, axis+draw.MM(.6))
	size := ch.one(lane.Size, big)
	ch.words = size.put(ch.words, ch.from-draw.MM(8)-size.width, axis+draw.MM(.6))
	ch.words = ch.one(lane.What, body()).put(ch.words, ch.left, axis+draw.MM(5.2))
	ch.shapes = append(ch.shapes, draw.Line{From: pt(ch.from, axis), To: pt(ch.to, axis), Width: draw.MM(.3)})
	var taken []stretch
	for k := i + 1; k < len(ch.c.Lanes); k++ {
		if x, ok := ch.numberAt(k); ok {
			taken = append(taken, stretch{x - draw.MM(.9), x + draw.MM(.9)})
		}
	}
	// The number and the house's grades have the first right to the room.
	for _, m := range lane.Marks {
		x := ch.x(m.UM)
		ch.shapes = append(ch.shapes, draw.Line{From: pt(x, axis-draw.MM(1.8)), To: pt(x, axis), Width: draw.MM(.3)})
		if (m.Number || m.Held) && m.LowUM > 0 && m.HighUM > m.LowUM {
			ch.shapes = append(ch.shapes, draw.Line{From: pt(ch.x(m.LowUM), axis), To: pt(ch.x(m.HighUM), axis), Width: draw.MM(.9)})
		}
	}
	for _, m := range lane.Marks {
		if m.Number {
			ch.number(m, axis, &taken)
		}
	}
	for _, m := range lane.Marks {
		if m.Held && !m.Number {
			x := ch.x(m.UM)
			ch.shapes = append(ch.shapes, filled(draw.Black, disc(pt(x, axis), draw.MM(1.3))))
			ch.label(m.Label, bold(draw.Pt(11)), x, axis, &taken)
		}
	}
	for _, m := range lane.Marks {
		if !m.Held && !m.Number {
			ch.label(m.Label, regular(smallSize), ch.x(m.UM), axis, &taken)
		}
	}
}

// number is the black block of the number the chart is about.
func (ch *chart) number(m sheet.ChartMark, axis draw.Unit, taken *[]stretch) {
	lk := bold(draw.Pt(16))
	lk.ink = draw.White
	ln := ch.one(m.Label, lk)
	x, half := ch.x(m.UM), ln.width/2+draw.MM(1.2)
	y := axis - draw.MM(3.6)
	ch.shapes = append(ch.shapes, box(x-half, y, half*2, draw.MM(8.2), draw.Black))
	ch.words = ln.put(ch.words, x-ln.width/2, y+draw.MM(4.1)+typeface.Get(lk.style).CapHeight(lk.size)/2)
	*taken = append(*taken, stretch{x - half, x + half})
}

// label puts the number of a tick below it where there is room, on white so
// that no line runs through it.
func (ch *chart) label(words string, lk look, x, axis draw.Unit, taken *[]stretch) {
	ln := ch.one(words, lk)
	from, to := x-ln.width/2, x+ln.width/2
	if to > ch.left+ch.width || !free(*taken, from-draw.MM(.8), to+draw.MM(.8)) {
		return
	}
	*taken = append(*taken, stretch{from, to})
	ch.shapes = append(ch.shapes, box(from-draw.MM(.3), axis+draw.MM(1.6), ln.width+draw.MM(.6), draw.MM(3.9), draw.White))
	ch.words = ln.put(ch.words, from, axis+draw.MM(4.9))
}

// degrees is the band of pumice.
func (ch *chart) degrees() {
	d := ch.c.Degrees
	if len(d.Marks) == 0 {
		return
	}
	axis := ch.y + draw.MM(4.4)
	ch.words = ch.one(d.Name, bold(headSize)).put(ch.words, ch.left, axis+draw.MM(.6))
	ch.words = ch.one(d.What, body()).put(ch.words, ch.left, axis+draw.MM(5.4))
	low, high := d.Marks[0].UM, d.Marks[0].UM
	for _, m := range d.Marks {
		low, high = min(low, m.UM, positive(m.LowUM, m.UM)), max(high, m.UM, m.HighUM)
	}
	ch.shapes = append(ch.shapes, box(ch.x(low), axis-draw.MM(1), ch.x(high)-ch.x(low), draw.MM(2), bandGrey))
	var taken []stretch
	for _, m := range d.Marks {
		if m.Held {
			ch.shapes = append(ch.shapes, filled(draw.Black, disc(pt(ch.x(m.UM), axis), draw.MM(1.3))))
			ch.label(m.Label, bold(draw.Pt(11)), ch.x(m.UM), axis, &taken)
		}
	}
	for _, m := range d.Marks {
		if !m.Held {
			ch.shapes = append(ch.shapes, draw.Line{From: pt(ch.x(m.UM), axis-draw.MM(1.6)), To: pt(ch.x(m.UM), axis+draw.MM(1.2)), Width: draw.MM(.5)})
			ch.label(m.Label, regular(bodySize), ch.x(m.UM), axis, &taken)
		}
	}
	ch.y += draw.MM(laneDegrees)
}

// positive is a limit where it is known, else the size itself.
func positive(limit, size float64) float64 {
	if limit > 0 {
		return limit
	}
	return size
}
