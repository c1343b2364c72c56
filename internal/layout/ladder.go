package layout

import (
	"math"
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/typeface"
)

// barGrey fills what a step leaves. It stands 3.3:1 off white and has an
// outline besides, so that it is told from the open bar in any print.
var barGrey = draw.Ink{R: 0x8C, G: 0x8C, B: 0x8C}

// Where a chart stands, in mm across a text width of 178 mm.
const (
	ladderNone   = 45  // the place for no damage at all
	ladderStart  = 56  // ladderLeast
	ladderEnd    = 134 // ladderMost
	ladderBeyond = 137 // the head of an arrow that goes further
	ladderWords  = 139.6
)

// ladderLeast and ladderMost in µm are the ends of the axis.
const ladderLeast, ladderMost = 0.1, 500

// The lanes of a row in mm from its top.
const (
	ladderRow    = 10.4
	laneArrives  = 3
	laneTaken    = 5.6
	laneLeft     = 8.3
	ladderBar    = 2.4
	ladderLine   = .5  // the arrow
	ladderMark   = .8  // the likeliest
	ladderHair   = .2  // staircase and axis
	ladderStroke = .35 // outlines
)

// ladder sets the chart of one surface: rows as high as their words, the head
// again on every page, the axis under the last row of each.
func (l *layer) ladder(c sheet.Ladder) flow {
	var f flow
	head := l.ladderHead(c)
	f.add(head...)
	f.glue(0)
	if len(c.Rows) > 0 {
		again := &cont{atoms: head}
		numbers := draw.MM(7)
		for _, r := range c.Rows {
			if n := l.one(r.Numbers, ladderNumber(r.Numbers)); n.width+draw.MM(1.6) > numbers {
				numbers = n.width + draw.MM(1.6)
			}
		}
		numbers = min(numbers, draw.MM(20))
		leaves := l.leavesLook(c.Rows)
		from := 0
		for _, part := range l.ladderParts(len(c.Rows)) {
			var up draw.Unit
			for i, r := range c.Rows[part[0]:part[1]] {
				var before *sheet.LadderRow
				if i > 0 {
					before = &c.Rows[part[0]+i-1]
				}
				a := l.rung(r, before, up, numbers, leaves)
				up = a.height
				a.cont = again
				// The last row keeps its axis, the first another one.
				a.glued = i == 0 || part[0]+i+1 == part[1]
				f.add(a)
			}
			axis := l.ladderAxis()
			axis.cont = again
			f.add(axis)
			f.whole(from)
			from = len(f.atoms)
		}
	}
	words := joined(" ", append([]string{c.Rule}, c.Words...)...)
	if words != "" {
		if len(c.Rows) > 0 {
			f.glueLast()
		}
		from := len(f.atoms)
		p := l.place()
		p.chars = 105
		f.add(l.paragraph(spans(p.look, words), p)...)
		if from < len(f.atoms) {
			f.atoms[from].above += draw.MM(.6)
		}
		f.whole(0)
	}
	return f
}

// ladderParts cuts many rows into stretches a page takes, each with an axis.
func (l *layer) ladderParts(rows int) [][2]int {
	page := sound(l.sheet.Page)
	most := max(3, int((page.Height-page.Top-page.Bottom-70)/ladderRow))
	var parts [][2]int
	stretches := (rows + most - 1) / most
	for i := range stretches {
		parts = append(parts, [2]int{rows * i / stretches, rows * (i + 1) / stretches})
	}
	return parts
}

// ladderX is a place across the page given for a width of 178 mm.
func (l *layer) ladderX(mm float64) draw.Unit {
	return l.left + draw.Unit(math.Round(float64(l.width)*mm/178))
}

// depthX is where a depth in µm stands: none has a place of its own, left of
// the axis.
func (l *layer) depthX(um float64) draw.Unit {
	if !(um > 0) {
		return l.ladderX(ladderNone)
	}
	um = min(max(um, ladderLeast), ladderMost)
	return l.ladderX(ladderStart + (ladderEnd-ladderStart)*math.Log(um/ladderLeast)/math.Log(ladderMost/ladderLeast))
}

// ladderHead is the title with what is measured, and the key to the bars over
// the line the rows hang from.
func (l *layer) ladderHead(c sheet.Ladder) []atom {
	measure := l.one(c.Measure, regular(smallSize))
	p := place{x: l.left, width: l.width - measure.width - draw.MM(4), look: bold(headSize), role: draw.Heading2}
	atoms := l.paragraph(spans(p.look, c.Title), p)
	if len(atoms) == 0 {
		return nil
	}
	if len(c.Rows) == 0 {
		return atoms
	}
	if len(measure.pieces) > 0 {
		atoms[0].runs = append(atoms[0].runs, run{key: l.key(), role: draw.Paragraph, items: measure.put(nil, l.left+l.width-measure.width, atoms[0].base)})
	}
	lk := regular(smallSize)
	base := draw.MM(4.2)
	mid := base - typeface.Get(lk.style).XHeight(lk.size)/2
	key := atom{height: draw.MM(6.4), base: base}
	var shapes, words []draw.Item
	x := l.ladderX(ladderNone) - draw.MM(4)
	say := func(s string) {
		ln := l.one(s, lk)
		words = ln.put(words, x, base)
		x += ln.width + draw.MM(5)
	}
	bar := func(fill draw.Ink) {
		shapes = append(shapes, ladderBox(x, x+draw.MM(7), mid, fill)...)
		shapes = append(shapes, likeliest(x+draw.MM(3.5), mid))
		x += draw.MM(8.3)
	}
	bar(draw.White)
	say(l.fixed("arrives"))
	shapes = append(shapes, arrow(x, x+draw.MM(8.5), mid)...)
	x += draw.MM(9.8)
	say(l.fixed("taken off"))
	bar(barGrey)
	say(l.fixed("left"))
	say(l.fixed("mark: likeliest"))
	words = l.one(l.fixed("Clears it?"), bold(smallSize)).put(words, max(x, l.ladderX(ladderWords)), base)
	key.runs = append(key.runs, run{role: draw.Artifact, items: shapes}, run{key: l.key(), role: draw.Paragraph, items: words},
		across(l.left, l.width, key.height, strong))
	return append(atoms, key)
}

// ladderNumber is how the number of a row is set.
func ladderNumber(numbers string) look {
	if strings.ContainsRune(numbers, '+') {
		return bold(draw.Pt(12))
	}
	return bold(headSize)
}

// rung is one row: who it is, the three lanes, what it comes to in words. up is
// how high the row before it is.
func (l *layer) rung(r sheet.LadderRow, before *sheet.LadderRow, up, numbers draw.Unit, leaves look) atom {
	const top = 4.3
	base := draw.MM(top)
	pitch := leading(bodySize)
	titleX := l.left + numbers
	number := l.text.lines(spans(ladderNumber(r.Numbers), r.Numbers), measure{width: numbers})
	title := l.text.lines(append(spans(bold(bodySize), r.Title+"\n"), span{look: body(), text: r.Setting}), measure{width: l.ladderX(ladderNone-2) - titleX})
	a := atom{base: base, height: draw.MM(ladderRow)}
	var items []draw.Item
	for i, ln := range number {
		items = ln.put(items, l.left, base+pitch*draw.Unit(i))
	}
	for i, ln := range title {
		items = ln.put(items, titleX, base+pitch*draw.Unit(i))
	}
	words, lines := l.rungWords(r, base, pitch, leaves)
	lines = max(lines, len(title), len(number))
	a.height = max(a.height, base+pitch*draw.Unit(lines-1)+draw.MM(1.7))
	a.runs = append(a.runs, run{key: l.key(), role: draw.Paragraph, items: items})
	if r.Cannot == "" {
		grid := l.grid(a.height)
		a.runs = append(a.runs, run{role: draw.Artifact, items: grid}, run{key: l.key(), role: draw.Figure, alt: r.Alt, items: l.lanes(r)})
	}
	a.runs = append(a.runs, run{key: l.key(), role: draw.Paragraph, items: words})
	if before != nil {
		rule := across(l.left, l.width, 0, thin)
		if before.Cannot == "" && r.Cannot == "" && !r.Arrives.None() {
			rule.items = append(rule.items, l.stairs(r.Arrives, draw.MM(laneLeft+ladderBar/2)-up)...)
		}
		a.over = &rule
	}
	return a
}

// leavesLook is how what is left is set in all rows: smaller where one would
// take a second line else.
func (l *layer) leavesLook(rows []sheet.LadderRow) look {
	room := l.left + l.width - l.ladderX(ladderWords)
	for _, r := range rows {
		if wide, _ := l.text.natural(spans(body(), r.Leaves)); wide > room {
			return regular(smallSize)
		}
	}
	return body()
}

// rungWords are the verdict with what is taken and left, or why there is
// nothing to draw; lines is how many lines they take.
func (l *layer) rungWords(r sheet.LadderRow, base, pitch draw.Unit, leaves look) (items []draw.Item, lines int) {
	x := l.ladderX(ladderWords)
	room := l.left + l.width - x
	if r.Cannot != "" {
		x = l.ladderX(ladderNone)
		set := l.text.lines(spans(body(), r.Cannot), measure{width: l.left + l.width - x})
		for i, ln := range set {
			items = ln.put(items, x, base+pitch*draw.Unit(i))
		}
		return items, len(set)
	}
	verdict := l.one(r.Verdict, bold(draw.Pt(12)))
	items = verdict.put(items, x, base)
	takes := l.one(r.Takes, body())
	at := max(draw.MM(19), verdict.width+draw.MM(1.4))
	items = takes.put(items, x+min(at, max(room-takes.width, verdict.width+draw.MM(.8))), base)
	set := l.text.lines(spans(leaves, r.Leaves), measure{width: room})
	for i, ln := range set {
		items = ln.put(items, x, base+pitch*draw.Unit(i+1))
	}
	return items, len(set) + 1
}

// grid are the hairlines of the powers of ten.
func (l *layer) grid(height draw.Unit) []draw.Item {
	var items []draw.Item
	for _, um := range []float64{.1, 1, 10, 100} {
		x := l.depthX(um)
		items = append(items, draw.Line{From: pt(x, 0), To: pt(x, height), Width: draw.MM(ladderHair)})
	}
	return items
}

// lanes are what arrives, what is taken off and what is left.
func (l *layer) lanes(r sheet.LadderRow) []draw.Item {
	var items []draw.Item
	bar := func(d sheet.Depth, lane float64, fill draw.Ink) {
		mid := draw.MM(lane)
		low, high := l.depthX(d.Low), l.depthX(d.High)
		if high > low {
			items = append(items, ladderBox(low, high, mid, fill)...)
		}
		items = append(items, likeliest(l.depthX(d.Likely), mid))
	}
	bar(r.Arrives, laneArrives, draw.White)
	if r.TakenUM > 0 {
		y, to := draw.MM(laneTaken), l.depthX(r.TakenUM)
		if r.TakenUM > ladderMost {
			to = l.ladderX(ladderBeyond)
		}
		items = append(items, arrow(l.ladderX(ladderNone+3), to, y)...)
		items = append(items, draw.Line{From: pt(to, y), To: pt(to, draw.MM(laneArrives-ladderBar/2-.5)), Width: draw.MM(ladderHair)})
	}
	bar(r.Left, laneLeft, barGrey)
	return items
}

// stairs drop what the row above left onto what arrives, Y counted from the
// top of the row below; from is the foot of the bar above.
func (l *layer) stairs(d sheet.Depth, from draw.Unit) []draw.Item {
	var items []draw.Item
	for _, um := range []float64{d.Low, d.High} {
		x := l.depthX(um)
		items = append(items, draw.Line{From: pt(x, from), To: pt(x, draw.MM(laneArrives-ladderBar/2)), Width: draw.MM(ladderHair)})
	}
	return items
}

func ladderBox(from, to, mid draw.Unit, fill draw.Ink) []draw.Item {
	// The outline lies inside, so that the bar ends where its figures do.
	stroke := draw.MM(ladderStroke)
	height := draw.MM(ladderBar)
	return []draw.Item{draw.Rect{
		At: pt(from+stroke/2, mid-height/2+stroke/2), Width: max(to-from-stroke, stroke), Height: height - stroke, Fill: &fill, Stroke: stroke,
	}}
}

// likeliest is the heavy mark.
func likeliest(x, mid draw.Unit) draw.Item {
	half := draw.MM(ladderBar/2 + .25)
	return draw.Line{From: pt(x, mid-half), To: pt(x, mid+half), Width: draw.MM(ladderMark)}
}

// arrow points to the right.
func arrow(from, to, y draw.Unit) []draw.Item {
	head := draw.MM(2.3)
	return []draw.Item{
		draw.Line{From: pt(from, y), To: pt(max(from, to-head), y), Width: draw.MM(ladderLine)},
		filled(draw.Black, polygon(pt(to, y), pt(to-head, y-draw.MM(1)), pt(to-head, y+draw.MM(1)))),
	}
}

// ladderAxis is the axis under the rows.
func (l *layer) ladderAxis() atom {
	a := atom{height: draw.MM(6.2)}
	a.runs = append(a.runs, across(l.left, l.width, 0, thin))
	var ticks, labels []draw.Item
	for decade := ladderLeast; decade < ladderMost; decade *= 10 {
		for k := 1.0; k < 10 && decade*k <= ladderMost*1.001; k++ {
			long := .9
			if k == 1 || decade*k > ladderMost*.999 {
				long = 1.9
			}
			x := l.depthX(decade * k)
			ticks = append(ticks, draw.Line{From: pt(x, 0), To: pt(x, draw.MM(long)), Width: draw.MM(ladderHair)})
		}
	}
	base := draw.MM(5)
	for _, one := range []struct {
		words string
		x     draw.Unit
	}{
		{l.fixed("none"), l.ladderX(ladderNone)}, {l.sheet.Words.Number("0.1"), l.depthX(.1)}, {"1", l.depthX(1)}, {"10", l.depthX(10)},
		{"100", l.depthX(100)}, {"500", l.depthX(500)},
	} {
		ln := l.one(one.words, regular(smallSize))
		labels = ln.put(labels, one.x-ln.width/2, base)
	}
	unit := l.one("µm", regular(smallSize))
	labels = unit.put(labels, l.ladderX(ladderWords), base)
	a.base = base
	// The figures of the rows say the numbers; the axis is left out of what is
	// read aloud.
	a.runs = append(a.runs, run{role: draw.Artifact, items: ticks}, run{role: draw.Artifact, items: labels})
	return a
}
