package layout

import (
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/typeface"
)

// surfaceColumns are the columns of the surface table: where they begin in mm
// for a text width of 178 mm.
var surfaceColumns = []struct {
	head string
	x    float64
	side side
}{
	{"Surface", 0, toLeft},
	{"Shape and size", 23.9, toLeft},
	{"Arrives", 65.9, toLeft},
	{"Stops at", 111.9, toLeft},
	{"Tile", 160, toRight},
}

// surfaces sets the table of surfaces with their stops, which stays whole if
// it fits on a page.
func (l *layer) surfaces(t sheet.SurfaceTable) flow {
	const designed = 178
	n := len(surfaceColumns)
	like, least := make([]draw.Unit, n), make([]draw.Unit, n)
	gap := draw.MM(3)
	for c, col := range surfaceColumns {
		end := float64(designed)
		if c+1 < n {
			end = surfaceColumns[c+1].x
		}
		like[c] = draw.Unit(float64(l.width) * (end - col.x) / designed)
		if c+1 < n {
			like[c] -= gap
		}
	}
	rows := make([][][]span, len(t.Rows))
	for i, r := range t.Rows {
		stop, tile := bold(headSize), bold(headSize)
		rows[i] = [][]span{
			spans(bold(bodySize), r.Name), orDash(spans(body(), r.Shape)), orDash(spans(body(), r.Arrives)),
			orDash(spans(stop, r.StopsAt)), orDash(spans(tile, r.Tile)),
		}
		for c, text := range rows[i] {
			_, need := l.text.natural(text)
			least[c] = max(least[c], min(need, like[c]*2))
		}
	}
	widths := share(like, least)
	var total draw.Unit
	for c := range widths {
		total += widths[c]
	}
	if total+gap*draw.Unit(n-1) > l.width {
		widths = like
	}
	xs := make([]draw.Unit, n)
	x := l.left
	for c := range widths {
		xs[c] = x
		x += widths[c] + gap
	}
	head := make([]cell, n)
	for c, col := range surfaceColumns {
		head[c] = cell{text: spans(regular(smallSize), l.fixed(col.head)), x: xs[c], width: widths[c], side: col.side, role: draw.TableHead}
	}
	var f flow
	top := l.row(head, rowStyle{head: draw.MM(1.6), foot: draw.MM(1.7), rule: draw.MM(.3), x: l.left, width: l.width})
	top[len(top)-1].glued = true
	f.add(top...)
	again := &cont{atoms: top}
	for i, fields := range rows {
		cells := make([]cell, n)
		for c := range fields {
			cells[c] = cell{text: fields[c], x: xs[c], width: widths[c], side: surfaceColumns[c].side, role: draw.TableCell}
		}
		st := rowStyle{head: draw.MM(1.5), foot: draw.MM(2.1)}
		if i == len(rows)-1 {
			st.foot = draw.MM(1.4)
		}
		atoms := l.row(cells, st)
		if i > 0 {
			rule := across(l.left, l.width, 0, thin)
			atoms[0].over = &rule
		}
		for k := range atoms {
			atoms[k].cont = again
		}
		f.add(atoms...)
	}
	f.whole(0)
	return f
}

// piece is the piece in a line.
func (l *layer) piece(p sheet.Piece) flow {
	var f flow
	if p.Words == "" {
		return f
	}
	at := l.place()
	at.chars = 105
	text := append(spans(bold(bodySize), l.fixed("Piece")+" "), span{look: body(), text: p.Words})
	f.add(l.paragraph(text, at)...)
	return f
}

// stop is the one solid black bar of a sheet: octagon, STOP, the sentence.
func (l *layer) stop(s sheet.Stop) flow {
	var f flow
	if s.Words == "" {
		return f
	}
	word := bold(draw.Pt(24))
	word.ink, word.spacing = draw.White, word.size*4/100
	sign := l.one(l.fixed("STOP"), word)
	textX := l.left + draw.MM(15.7) + sign.width + draw.MM(6)
	room := l.left + l.width - draw.MM(4) - textX
	var lines []line
	size := draw.Pt(15)
	for _, size = range []draw.Unit{draw.Pt(15), draw.Pt(13), draw.Pt(11)} {
		lk := bold(size)
		lk.ink = draw.White
		lines = l.text.lines(sentences(lk, s.Words), measure{width: room})
		if len(lines) <= 4 {
			break
		}
	}
	pitch := leading(size)
	height := max(draw.MM(16), pitch*draw.Unit(len(lines))+draw.MM(4))
	key := l.key()
	if height <= draw.MM(90) {
		f.add(atom{height: height, runs: []run{
			l.stopGround(0, height, sign),
			{key: key, role: draw.Paragraph, items: l.stopLines(lines, textX, (height-pitch*draw.Unit(len(lines)))/2, pitch)},
		}})
		return f
	}
	// Too much for one piece: a bar a line, one joining the next.
	for i := range lines {
		h, ground := pitch, run{role: draw.Artifact}
		if i == 0 {
			h = max(pitch, draw.MM(16))
			ground = l.stopGround(0, h, sign)
		} else {
			ground.items = []draw.Item{box(l.left, 0, l.width, h, draw.Black)}
		}
		f.add(atom{height: h, glued: i == 0, runs: []run{ground, {
			key: key, role: draw.Paragraph, items: l.stopLines(lines[i:i+1], textX, (h-pitch)/2, pitch),
		}}})
	}
	return f
}

// stopGround is the bar with the octagon and the word.
func (l *layer) stopGround(y, height draw.Unit, sign line) run {
	mid := y + height/2
	c := pt(l.left+draw.MM(8.5), mid)
	caps := typeface.Get(draw.Bold).CapHeight(sign.size)
	items := []draw.Item{
		box(l.left, y, l.width, height, draw.Black),
		filled(draw.White, octagon(c, draw.MM(5.6))),
		filled(draw.Black, octagon(c, draw.MM(4.6))),
	}
	return run{role: draw.Paragraph, key: l.key(), items: sign.put(items, l.left+draw.MM(15.7), mid+caps/2)}
}

func (l *layer) stopLines(lines []line, x, y, pitch draw.Unit) []draw.Item {
	var items []draw.Item
	for i, ln := range lines {
		// Capitals stand in the middle of their line.
		base := y + pitch*draw.Unit(i) + (pitch+typeface.Get(draw.Bold).CapHeight(ln.size))/2
		items = ln.put(items, x, base)
	}
	return items
}

// sentences begins a line with every sentence.
func sentences(lk look, text string) []span {
	return spans(lk, strings.ReplaceAll(flat(text), ". ", ".\n"))
}

// places says where help is.
func (l *layer) places(p sheet.Places) flow {
	var text []span
	for i, r := range p.Rows {
		if i > 0 {
			text = append(text, spans(body(), " · ")...)
		}
		text = append(text, spans(bold(bodySize), joined("", r.Name, " "))...)
		text = append(text, spans(body(), r.Words)...)
	}
	at := l.place()
	at.chars = 105
	var f flow
	f.add(l.paragraph(text, at)...)
	return f
}

// headed is a heading with a strong line under it.
func (l *layer) headed(words string, x, width draw.Unit) []atom {
	p := place{x: x, width: width, look: bold(headSize), role: draw.Heading2}
	atoms := l.paragraph(spans(p.look, words), p)
	last := &atoms[len(atoms)-1]
	last.height += draw.MM(.9)
	last.runs = append(last.runs, across(x, width, last.height, strong))
	last.glued = true
	return atoms
}

// amountsAndChanges stand side by side where both are given and fit.
func (l *layer) amountsAndChanges(a *sheet.Amounts, c *sheet.Changes) flow {
	var f flow
	if a != nil && len(a.Rows) == 0 {
		a = nil
	}
	if c != nil && len(c.Rows) == 0 && c.Review == "" {
		c = nil
	}
	gap := draw.MM(8)
	half := (l.width - gap) / 2
	if a != nil && c != nil {
		left, right := l.amounts(*a, l.left, half), l.changes(*c, l.left+half+gap, half)
		if h := max(left.height(), right.height()); h <= draw.MM(110) {
			runs := append(stacked(left.atoms, 0, 0), stacked(right.atoms, 0, 0)...)
			f.add(atom{height: h, runs: runs})
			return l.ruledOff(f)
		}
	}
	if a != nil {
		wide := l.width
		if c == nil {
			// Figures stand near what they are of.
			wide = half
		}
		f.join(l.amounts(*a, l.left, wide))
		f.whole(0)
	}
	if c != nil {
		g := l.changes(*c, l.left, l.width)
		if len(f.atoms) > 0 {
			g.space(draw.MM(4))
		}
		g.whole(0)
		f.join(g)
	}
	return l.ruledOff(f)
}

// ruledOff puts a line over what follows the steps.
func (l *layer) ruledOff(f flow) flow {
	if len(f.atoms) > 0 {
		room := draw.MM(2)
		first := &f.atoms[0]
		first.runs = movedRuns(first.runs, 0, room)
		first.height += room
		rule := across(l.left, l.width, 0, draw.MM(.4))
		first.over, first.rises = &rule, true
	}
	return f
}

func (l *layer) amounts(a sheet.Amounts, x, width draw.Unit) flow {
	var f flow
	f.add(l.headed(l.fixed("Amounts and waste"), x, width)...)
	var amount, cost draw.Unit
	for _, r := range a.Rows {
		w, _ := l.text.natural(spans(body(), r.Cost))
		cost = max(cost, w)
		if r.Cost != "" {
			w, _ = l.text.natural(spans(body(), r.Amount))
			amount = max(amount, w)
		}
	}
	gap := draw.MM(4)
	cost, amount = min(cost, width*30/100), min(amount, width*30/100)
	for i, r := range a.Rows {
		st := rowStyle{head: draw.MM(1.5), foot: draw.MM(1.9), rule: thin, x: x, width: width}
		if i == len(a.Rows)-1 {
			st.rule = 0
		}
		var cells []cell
		if r.Cost != "" {
			first := width - cost - amount - 2*gap
			cells = []cell{
				{text: spans(body(), r.What), x: x, width: first, role: draw.TableCell},
				{text: spans(body(), r.Amount), x: x + first + gap, width: amount, side: toRight, role: draw.TableCell},
				{text: spans(body(), r.Cost), x: x + width - cost, width: cost, side: toRight, role: draw.TableCell},
			}
		} else {
			// Without a price the amount stands flush at the right.
			w, _ := l.text.natural(spans(body(), r.Amount))
			w = min(w+1, width*45/100)
			cells = []cell{
				{text: spans(body(), r.What), x: x, width: width - w - gap, role: draw.TableCell},
				{text: spans(body(), r.Amount), x: x + width - w, width: w, side: toRight, role: draw.TableCell},
			}
		}
		f.add(l.row(cells, st)...)
	}
	return f
}

func (l *layer) changes(c sheet.Changes, x, width draw.Unit) flow {
	var f flow
	f.add(l.headed(l.fixed("Changes"), x, width)...)
	var rev, date draw.Unit
	for _, r := range c.Rows {
		w, _ := l.text.natural(spans(bold(bodySize), r.Revision))
		rev = max(rev, w)
		w, _ = l.text.natural(spans(body(), r.Date))
		date = max(date, w)
	}
	gap := draw.MM(2.2)
	rev, date = min(rev, width*25/100), min(date, width*30/100)
	for i, r := range c.Rows {
		st := rowStyle{head: draw.MM(1.5), foot: draw.MM(1.9), rule: thin, x: x, width: width}
		if i == len(c.Rows)-1 && c.Review == "" {
			st.rule = 0
		}
		words := spans(bold(bodySize), r.Kind)
		if r.Kind != "" && r.Note != "" {
			words[0].text += " "
		}
		words = append(words, spans(body(), r.Note)...)
		at := rev + gap + date + gap
		f.add(l.row([]cell{
			{text: spans(bold(bodySize), r.Revision), x: x, width: rev, role: draw.TableCell},
			{text: spans(body(), r.Date), x: x + rev + gap, width: date, role: draw.TableCell},
			{text: words, x: x + at, width: width - at, role: draw.TableCell},
		}, st)...)
	}
	if c.Review != "" {
		f.glueLast()
		f.add(l.row([]cell{{text: spans(body(), c.Review), x: x, width: width, role: draw.Paragraph}},
			rowStyle{head: draw.MM(1.5), foot: draw.MM(1.4)})...)
	}
	return f
}

// notes are the author's closing notes with the footnotes of the whole text.
func (l *layer) notes(n sheet.Notes) flow {
	var f flow
	p := l.place()
	p.pictures = n.Pictures
	l.blocks(&f, n.Blocks, p)
	if len(f.atoms) > 0 && n.Blocks[0].Kind != prose.Heading {
		var g flow
		g.add(l.headed(l.fixed("Notes"), l.left, l.width)...)
		g.atoms[len(g.atoms)-1].height += draw.MM(1.2)
		g.join(f)
		f = g
	}
	for i := range n.Footnotes {
		from := len(f.atoms)
		l.block(&f, &n.Footnotes[i], p)
		if len(f.atoms) == from {
			continue
		}
		f.atoms[from].above += lineGap
		if i == 0 {
			f.atoms[from].above += draw.MM(4.4)
			line := across(l.left, draw.MM(40), -draw.MM(1.4), thin)
			f.atoms[from].runs = append(f.atoms[from].runs, line)
		}
	}
	return f
}

// signOff are lines to sign on, up to three side by side, each with what goes
// on it printed below.
func (l *layer) signOff(s sheet.SignOff) flow {
	var f flow
	gap := draw.MM(6)
	for rest := s.Lines; len(rest) > 0; {
		n := min(3, len(rest))
		if len(rest) == 4 {
			n = 2
		}
		wide := (l.width - gap*draw.Unit(n-1)) / draw.Unit(n)
		// Room to write above the line.
		room := draw.MM(11)
		cells := make([]cell, n)
		rules := make([]run, n)
		for i, words := range rest[:n] {
			x := l.left + draw.Unit(i)*(wide+gap)
			cells[i] = cell{text: spans(regular(smallSize), words), x: x, width: wide, role: draw.Paragraph}
			rules[i] = across(x, wide, room, draw.MM(.25))
		}
		atoms := l.row(cells, rowStyle{head: room + draw.MM(1.6), foot: draw.MM(1.2)})
		atoms[0].runs = append(rules, atoms[0].runs...)
		f.add(atoms...)
		rest = rest[n:]
	}
	f.whole(0)
	return f
}
