package layout

import (
	"strconv"
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
)

// The columns of the step table in mm, for a text width of 178 mm: where they
// begin and how much of the room to the next they take.
var stepColumns = []struct {
	head     string
	x, width float64
	side     side
}{
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

// dash prints where a row has nothing to say.
const dash = "–"

// stepTable sets all steps at a glance, first lines of all fields on one
// baseline, the head again on every page.
func (l *layer) stepTable(t sheet.StepTable) flow {
	rows := make([][][]span, len(t.Rows))
	for i, r := range t.Rows {
		rows[i] = l.stepFields(r)
	}
	xs, widths := l.stepWidths(rows)
	var f flow
	head := make([]cell, len(stepColumns))
	for c, col := range stepColumns {
		head[c] = cell{text: spans(regular(smallSize), col.head), x: xs[c], width: widths[c], side: col.side, role: draw.TableHead}
	}
	// The head of a narrow column may run into the free room beside it.
	head[colNumber].width = xs[colDo] + widths[colDo] - xs[colNumber]
	top := l.row(head, rowStyle{head: draw.MM(.4), foot: draw.MM(1.7), rule: strong, x: l.left, width: l.width})
	top[len(top)-1].glued = true
	f.add(top...)
	again := &cont{atoms: top}
	for i, fields := range rows {
		cells := make([]cell, len(fields))
		for c := range fields {
			cells[c] = cell{text: fields[c], x: xs[c], width: widths[c], side: stepColumns[c].side, role: draw.TableCell}
		}
		atoms := l.row(cells, rowStyle{head: draw.MM(1.7), foot: draw.MM(2.3)})
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
	l.stepTotal(&f, t.Total, xs, widths, again)
	return f
}

func (l *layer) stepTotal(f *flow, t sheet.StepTotal, xs, widths []draw.Unit, again *cont) {
	if t.Words == "" && t.Minutes == "" {
		return
	}
	f.glueLast()
	words := spans(body(), t.Words)
	if head, rest, ok := strings.Cut(t.Words, ": "); ok {
		words = append(spans(bold(bodySize), head+": "), span{look: body(), text: rest})
	}
	last := xs[colWater] + widths[colWater]
	atoms := l.row([]cell{
		{text: words, x: xs[colDo], width: last - xs[colDo], role: draw.TableCell},
		{text: spans(bold(headSize), t.Minutes), x: last, width: xs[colMinutes] + widths[colMinutes] - last, side: toRight, role: draw.TableCell},
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
	fields[colDo] = underneath(spans(do, r.Do), text, asOnlyIf(r.OnlyIf))
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

// asOnlyIf are the words of a step that is done only when something is seen.
func asOnlyIf(words string) string {
	if words == "" || strings.HasPrefix(strings.ToLower(words), "only if") {
		return words
	}
	return "Only if " + words
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

// stepWidths are the columns for this page and these words: those of the
// design, shifted where a column's widest word needs more.
func (l *layer) stepWidths(rows [][][]span) (xs, widths []draw.Unit) {
	const designed = 178
	n := len(stepColumns)
	scale := func(mm float64) draw.Unit {
		return draw.Unit(float64(l.width) * mm / designed)
	}
	like, least := make([]draw.Unit, n), make([]draw.Unit, n)
	gaps := make([]draw.Unit, n)
	for c, col := range stepColumns {
		like[c] = scale(col.width)
		if c+1 < n {
			gaps[c] = scale(stepColumns[c+1].x - col.x - col.width)
		}
		least[c], _ = l.text.natural(spans(regular(smallSize), col.head))
		if c == colNumber || c == colDo {
			least[c] = 0
		}
	}
	parts := make([][][]part, len(rows))
	for i, fields := range rows {
		parts[i] = make([][]part, n)
		for c := range fields {
			parts[i][c] = l.text.parts(fields[c])
			for _, p := range parts[i][c] {
				least[c] = max(least[c], p.width)
			}
		}
	}
	for c := range least {
		// One long word must not take the whole page: it is broken instead.
		least[c] = min(least[c], max(like[c]*17/10, draw.MM(14)))
	}
	widths = share(like, least)
	var total draw.Unit
	for c := range widths {
		total += widths[c] + gaps[c]
	}
	if total > l.width {
		// Not even the least widths fit: the design's own, words broken.
		widths = like
	} else {
		lessLines(parts, widths, least)
	}
	xs = make([]draw.Unit, n)
	x := l.left
	for c := range widths {
		xs[c] = x
		x += widths[c] + gaps[c]
	}
	// The last column is flush with the margin whatever was rounded.
	xs[n-1] = l.left + l.width - widths[n-1]
	return xs, widths
}

// lessLines moves room between columns as long as that makes the rows lower
// or, at one height, breaks fewer lines.
func lessLines(rows [][][]part, widths, least []draw.Unit) {
	// A line of height counts for as much as all the lines in a long table.
	const high = 1 << 16
	n := len(widths)
	// counts has the lines of every field as the columns are now.
	counts := make([][]int, len(rows))
	cost := 0
	for i, r := range rows {
		counts[i] = make([]int, n)
		most := 0
		for c := range r {
			counts[i][c] = countLines(r[c], widths[c])
			most = max(most, counts[i][c])
			cost += counts[i][c]
		}
		cost += high * most
	}
	with := func(from, to int, step draw.Unit) int {
		sum := 0
		for i, r := range rows {
			a, b := countLines(r[from], widths[from]-step), countLines(r[to], widths[to]+step)
			most, lines := max(a, b), a+b
			for c, k := range counts[i] {
				if c != from && c != to {
					most = max(most, k)
					lines += k
				}
			}
			sum += high*most + lines
		}
		return sum
	}
	for moved := true; moved; {
		moved = false
		for _, step := range []draw.Unit{draw.MM(1), draw.MM(2.5), draw.MM(5)} {
			for to := colDo; to <= colWater; to++ {
				if !breaks(counts, to) {
					continue
				}
				for from := colDo; from <= colWater; from++ {
					if from == to || widths[from]-step < least[from] {
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
