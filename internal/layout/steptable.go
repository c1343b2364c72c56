package layout

import (
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
)

// stepColumn is a column of the step table.
type stepColumn struct {
	head     string
	x, width float64
	side     side
}

// stepColumns are the columns of the step table in mm, for a text width of 178 mm: where they
// begin and how much of the room to the next they take.
var stepColumns = []stepColumn{
	{"Step", 0, 7.8, toLeft},
	{"", 9.2, 31, toLeft},
	{"Surface", 42.4, 12, toLeft},
	{"Abrasive", 56.4, 31.1, toLeft},
	{"Medium", 89.2, 18.3, toLeft},
	{"Machine, speed", 109.2, 23.6, toLeft},
	{"Water, mix", 134.6, 23.2, toLeft},
	{"min", 159.4, 8, toRight},
	{"bench", 168.8, 9.2, toRight},
}

const (
	colNumber = iota
	colDo
	colSurface
	colAbrasive
	colMedium
	colMachine
	colWater
	colMinutes
	colBench
)

// grows are the columns that take the room of one that is left out, drops those
// that are left out where no row has anything to say in them.
var (
	grows = map[int]bool{colDo: true, colAbrasive: true, colMedium: true, colMachine: true, colWater: true}
	drops = map[int]bool{colSurface: true, colAbrasive: true, colMedium: true, colMachine: true, colWater: true, colBench: true}
)

// dash prints where a row has nothing to say.
const dash = "–"

// stepTable sets all steps at a glance, first lines of all fields on one
// baseline, the head again on every page.
func (l *layer) stepTable(t sheet.StepTable) flow {
	rows := make([][][]span, len(t.Rows))
	for i, r := range t.Rows {
		rows[i] = l.stepFields(r)
	}
	table := l.stepWidths(rows, l.one(t.Total.Minutes, bold(headSize)).width)
	var f flow
	var head []cell
	for _, c := range table.shown {
		col := stepColumns[c]
		field := table.cell(c, spans(regular(smallSize), l.fixed(col.head)))
		if field.role = draw.TableHead; c == colNumber {
			// The head of a narrow column may run into the free room beside it.
			field.width = table.xs[colDo] + table.widths[colDo] - field.x
		}
		head = append(head, field)
	}
	top := l.row(head, rowStyle{head: draw.MM(.4), foot: draw.MM(1.7), rule: strong, x: l.left, width: l.width})
	top[len(top)-1].glued = true
	f.add(top...)
	again := &cont{atoms: top}
	for i, fields := range rows {
		var cells []cell
		for _, c := range table.shown {
			cells = append(cells, table.cell(c, fields[c]))
		}
		atoms := l.row(cells, rowStyle{head: draw.MM(1.7), foot: draw.MM(2.1)})
		if i > 0 {
			rule := across(l.left, l.width, 0, thin)
			atoms[0].over = &rule
		}
		for k := range atoms {
			atoms[k].cont = again
		}
		f.add(atoms...)
		// No row stands alone under the head, or alone above the total.
		if i == 0 || i == len(rows)-2 {
			f.glueLast()
		}
	}
	l.stepTotal(&f, t.Total, table, again)
	return f
}

// stepGrid is where the columns of a step table stand.
type stepGrid struct {
	// shown are the columns that print, in order; xs and widths have the place
	// of every one of them by its index.
	shown      []int
	xs, widths []draw.Unit
}

func (g *stepGrid) cell(column int, text []span) cell {
	return cell{text: text, x: g.xs[column], width: g.widths[column], side: stepColumns[column].side, role: draw.TableCell}
}

func (l *layer) stepTotal(f *flow, t sheet.StepTotal, g stepGrid, again *cont) {
	if t.Words == "" && t.Minutes == "" {
		return
	}
	f.glueLast()
	words := spans(body(), t.Words)
	if head, rest, ok := strings.Cut(t.Words, ": "); ok {
		words = append(spans(bold(bodySize), head+": "), span{look: body(), text: rest})
	}
	minutes := g.cell(colMinutes, spans(bold(headSize), t.Minutes))
	// Its room begins where the column before ends.
	last := g.xs[colMinutes] - draw.MM(2)
	for _, c := range g.shown {
		if c < colMinutes {
			last = g.xs[c] + g.widths[c]
		}
	}
	minutes.width += minutes.x - last
	minutes.x = last
	atoms := l.row([]cell{
		{text: words, x: g.xs[colDo], width: last - g.xs[colDo], role: draw.TableCell}, minutes,
	}, rowStyle{head: draw.MM(1.5), foot: draw.MM(1.2)})
	rule := across(l.left, l.width, 0, thin)
	atoms[0].over = &rule
	for k := range atoms {
		atoms[k].cont = again
	}
	f.add(atoms...)
}

// stepFields are the words of a row, column by column.
func (l *layer) stepFields(r sheet.StepRow) [][]span {
	big, text, do := bold(headSize), body(), look{style: draw.SemiBold, size: bodySize}
	number := bold(settingSize)
	number.link, number.plain = l.stepLink(r.Number), true
	fields := make([][]span, len(stepColumns))
	fields[colNumber] = spans(number, strconv.Itoa(r.Number))
	fields[colDo] = underneath(spans(do, r.Do), text, r.OnlyIf)
	fields[colSurface] = orDash(spans(text, r.Surface))
	switch {
	case r.Grade != "":
		fields[colAbrasive] = underneath(spans(big, r.Grade), text, r.Abrasive)
	default:
		fields[colAbrasive] = orDash(spans(text, r.Abrasive))
	}
	fields[colMedium] = orDash(spans(text, r.Medium))
	speed := spans(big, r.Speed)
	if r.Speed != "" && r.SpeedUnit != "" {
		speed[0].text += string(noBreakSpace)
		speed = append(speed, span{look: text, text: r.SpeedUnit})
	}
	fields[colMachine] = orDash(underneath(speed, text, r.Machine))
	fields[colWater] = orDash(underneath(spans(do, r.Water), text, r.Mix))
	fields[colMinutes] = orDash(underneath(spans(big, r.Minutes), regular(smallSize), r.Alone))
	bench := big
	if len([]rune(r.Bench)) > 3 {
		bench = look{style: draw.SemiBold, size: bodySize}
	}
	fields[colBench] = orDash(spans(bench, r.Bench))
	return fields
}

// stepLink leads to a step in full, where the sheet has it.
func (l *layer) stepLink(number int) string {
	if a := l.anchors[number]; a != "" {
		return "#" + a
	}
	return ""
}

// underneath puts words on a line of their own under the first.
func underneath(first []span, lk look, words string) []span {
	if words == "" {
		return first
	}
	if len(first) > 0 {
		first = append(first, span{look: lk, text: "\n"})
	}
	return append(first, span{look: lk, text: words})
}

func orDash(text []span) []span {
	if len(text) == 0 {
		return spans(body(), dash)
	}
	return text
}

// saysNothing says whether a field prints as a dash.
func saysNothing(text []span) bool { return len(text) == 1 && text[0].text == dash }

// stepColumnsFor are the columns that any row has something to say in, and how
// wide the design wants them in mm, with the room of those left out shared
// among the ones that hold words.
func stepColumnsFor(rows [][][]span) (shown []int, want []float64) {
	const designed = 178
	var gone, growing float64
	want = make([]float64, len(stepColumns))
	for c, col := range stepColumns {
		end := float64(designed)
		if c+1 < len(stepColumns) {
			end = stepColumns[c+1].x
		}
		empty := drops[c] && len(rows) > 0
		for _, fields := range rows {
			empty = empty && saysNothing(fields[c])
		}
		if empty {
			gone += end - col.x
			continue
		}
		shown = append(shown, c)
		want[c] = col.width
		if grows[c] {
			growing += col.width
		}
	}
	for _, c := range shown {
		if grows[c] {
			want[c] += gone * want[c] / growing
		}
	}
	return shown, want
}

// stepWidths are the columns for this page and these words: those of the
// design, shifted where a column's widest word needs more. total is the width of
// the minutes of all steps, which have the gap before their column too.
func (l *layer) stepWidths(rows [][][]span, total draw.Unit) stepGrid {
	const designed = 178
	shown, want := stepColumnsFor(rows)
	scale := func(mm float64) draw.Unit {
		return draw.Unit(float64(l.width) * mm / designed)
	}
	n := len(shown)
	like, least, gaps := make([]draw.Unit, n), make([]draw.Unit, n), make([]draw.Unit, n)
	weights := make([]int, n)
	for k, c := range shown {
		col := stepColumns[c]
		like[k] = scale(want[c])
		switch {
		case c == colDo:
			// What is to be done is what the eye runs down the page for.
			weights[k] = 2
		case c != colNumber && col.side == toLeft:
			weights[k] = 1
		}
		if k+1 < n {
			gaps[k] = scale(stepColumns[c+1].x - col.x - col.width)
		}
		if c != colNumber && c != colDo {
			least[k], _ = l.text.natural(spans(regular(smallSize), l.fixed(col.head)))
		}
	}
	parts := make([][][]part, len(rows))
	for i, fields := range rows {
		parts[i] = make([][]part, n)
		for k, c := range shown {
			parts[i][k] = l.text.parts(fields[c])
			for _, p := range parts[i][k] {
				least[k] = max(least[k], p.width)
			}
		}
	}
	for k, c := range shown {
		if c == colMinutes && k > 0 {
			least[k] = max(least[k], total-gaps[k-1])
		}
	}
	for k := range least {
		// One long word must not take the whole page: it is broken instead.
		least[k] = min(least[k], max(like[k]*17/10, draw.MM(14)))
	}
	widths := share(like, least)
	var all draw.Unit
	for k := range widths {
		all += widths[k] + gaps[k]
	}
	if all > l.width {
		// Not even the least widths fit: the design's own, words broken.
		widths = like
	} else {
		lessLines(parts, widths, least, weights)
	}
	g := stepGrid{shown: shown, xs: make([]draw.Unit, len(stepColumns)), widths: make([]draw.Unit, len(stepColumns))}
	x := l.left
	for k, c := range shown {
		g.xs[c], g.widths[c] = x, widths[k]
		x += widths[k] + gaps[k]
	}
	// The last column is flush with the margin whatever was rounded.
	last := shown[n-1]
	g.xs[last] = l.left + l.width - g.widths[last]
	return g
}

// roomSteps are how much room is tried to be moved at once, in the order tried.
// Which order ends best depends on the words, so each has its turn.
var roomSteps = [][]draw.Unit{
	{draw.MM(1), draw.MM(2.5), draw.MM(5)},
	{draw.MM(1), draw.MM(2), draw.MM(3), draw.MM(4), draw.MM(6), draw.MM(8), draw.MM(11), draw.MM(15)},
	{draw.MM(15), draw.MM(10), draw.MM(7), draw.MM(5), draw.MM(3), draw.MM(2), draw.MM(1)},
}

// lessLines moves room between the columns of words as long as that makes the
// rows lower or, at one height, breaks fewer lines, each counted by the weight
// of its column. Columns without a weight hold no words and stay as they are.
func lessLines(rows [][][]part, widths, least []draw.Unit, weights []int) {
	best, cost := slices.Clone(widths), -1
	for _, steps := range roomSteps {
		tried := slices.Clone(widths)
		if c := moveRoom(rows, tried, least, weights, steps); cost < 0 || c < cost {
			best, cost = tried, c
		}
	}
	copy(widths, best)
}

// moveRoom is lessLines with one list of steps; what is left to bear is its
// result.
func moveRoom(rows [][][]part, widths, least []draw.Unit, weights []int, steps []draw.Unit) (cost int) {
	// A line of height counts for as much as all the lines in a long table.
	const high = 1 << 16
	n := len(widths)
	// counts has the lines of every field as the columns are now.
	counts := make([][]int, len(rows))
	for i, r := range rows {
		counts[i] = make([]int, n)
		most := 0
		for c := range r {
			counts[i][c] = countLines(r[c], widths[c])
			most = max(most, counts[i][c])
			cost += counts[i][c] * weights[c]
		}
		cost += high * most
	}
	with := func(from, to int, step draw.Unit) int {
		sum := 0
		for i, r := range rows {
			a, b := countLines(r[from], widths[from]-step), countLines(r[to], widths[to]+step)
			most, lines := max(a, b), a*weights[from]+b*weights[to]
			for c, k := range counts[i] {
				if c != from && c != to {
					most = max(most, k)
					lines += k * weights[c]
				}
			}
			sum += high*most + lines
		}
		return sum
	}
	for moved := true; moved; {
		moved = false
		for _, step := range steps {
			for to := range weights {
				if weights[to] == 0 || !breaks(counts, to) {
					continue
				}
				for from := range weights {
					if from == to || weights[from] == 0 || widths[from]-step < least[from] {
						continue
					}
					if c := with(from, to, step); c < cost {
						cost, moved = c, true
						widths[from] -= step
						widths[to] += step
						for i, r := range rows {
							counts[i][from] = countLines(r[from], widths[from])
							counts[i][to] = countLines(r[to], widths[to])
						}
					}
				}
			}
		}
	}
	return cost
}

// breaks says whether any field of a column has more than one line.
func breaks(counts [][]int, column int) bool {
	for _, row := range counts {
		if row[column] > 1 {
			return true
		}
	}
	return false
}
