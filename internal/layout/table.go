package layout

import (
	"coldwright/internal/draw"
	"coldwright/internal/prose"
)

var (
	// thin is the line between rows, strong the one under a head.
	thin   = draw.MM(.2)
	strong = draw.MM(.5)
	// gutter is the room between two columns of a table.
	gutter = draw.MM(4)
)

// table sets a table by what stands in its columns. One that is too wide for
// the page becomes a list that names every field.
func (l *layer) table(f *flow, b *prose.Block, p place) {
	columns := 0
	for _, r := range b.Rows {
		columns = max(columns, len(r))
	}
	if columns == 0 {
		return
	}
	like := make([]draw.Unit, columns)
	least := make([]draw.Unit, columns)
	var pictures []prose.Inline
	rows := make([][][]span, len(b.Rows))
	for i, r := range b.Rows {
		rows[i] = make([][]span, len(r))
		lk := p.look
		if i == 0 {
			lk = lk.bolder().at(smallSize)
		}
		for c, in := range r {
			rows[i][c] = l.inlines(in, lk, nil)
			pictures = append(pictures, shown(in)...)
			wide, narrow := l.text.natural(rows[i][c])
			like[c] = max(like[c], wide)
			least[c] = max(least[c], narrow)
		}
	}
	room := p.width - gutter*draw.Unit(columns-1)
	widths, ok := fitColumns(like, least, room)
	if !ok {
		l.tableAsList(f, b, rows, p)
	} else {
		l.tableRows(f, b, rows, widths, p)
	}
	for _, pic := range pictures {
		l.inlinePicture(f, pic, p)
	}
}

// shown are the pictures within words.
func shown(in []prose.Inline) []prose.Inline {
	var out []prose.Inline
	for _, n := range in {
		if n.Kind == prose.Image {
			out = append(out, n)
			continue
		}
		out = append(out, shown(n.Children)...)
	}
	return out
}

// fitColumns gives columns what they would like if there is room, else their
// least widths and a share of the rest by what they lack. It fails where not
// even the least widths fit.
func fitColumns(like, least []draw.Unit, room draw.Unit) ([]draw.Unit, bool) {
	var wish, need draw.Unit
	for i := range like {
		wish += like[i]
		need += least[i]
	}
	if need > room {
		return nil, false
	}
	out := make([]draw.Unit, len(like))
	if wish <= room {
		copy(out, like)
		return out, true
	}
	rest, lack := room-need, wish-need
	for i := range like {
		// In floating point, since the product of two sums may pass the
		// range; rounded down, so that the columns never pass the room.
		out[i] = least[i] + draw.Unit(float64(rest)*(float64(like[i]-least[i])/float64(lack)))
	}
	return out, true
}

func (l *layer) tableRows(f *flow, b *prose.Block, rows [][][]span, widths []draw.Unit, p place) {
	var total draw.Unit
	for _, w := range widths {
		total += w
	}
	total += gutter * draw.Unit(len(widths)-1)
	var head *cont
	for i, r := range rows {
		st := rowStyle{head: draw.MM(1.5), foot: draw.MM(1.7), x: p.x, width: total}
		role := draw.TableCell
		if i == 0 {
			st.rule, role = strong, draw.TableHead
		}
		cells := make([]cell, len(r))
		x := p.x
		for c := range widths {
			if c < len(r) {
				cells[c] = cell{text: r[c], x: x, width: widths[c], role: role}
				if c < len(b.Aligns) {
					cells[c].side = sideOf(b.Aligns[c])
				}
			}
			x += widths[c] + gutter
		}
		atoms := l.row(cells, st)
		if i > 1 {
			rule := across(p.x, total, 0, thin)
			atoms[0].over = &rule
		}
		for k := range atoms {
			atoms[k].decor = p.decor
			if i > 0 {
				atoms[k].cont = head
			}
		}
		if i == 0 && len(rows) > 1 {
			atoms[len(atoms)-1].glued = true
			// A head that takes much of the page is not worth repeating.
			if heightOf(atoms) < draw.MM(40) {
				head = &cont{atoms: atoms}
			}
		}
		f.add(atoms...)
	}
}

func sideOf(a prose.Align) side {
	switch a {
	case prose.Centre:
		return toMiddle
	case prose.Right:
		return toRight
	}
	return toLeft
}

// tableAsList sets every row as its fields, one below the other, each with
// the head of its column.
func (l *layer) tableAsList(f *flow, b *prose.Block, rows [][][]span, p place) {
	for i := 1; i < len(rows); i++ {
		from := len(f.atoms)
		for c, text := range rows[i] {
			if len(text) == 0 {
				continue
			}
			var line []span
			if c < len(rows[0]) && len(rows[0][c]) > 0 {
				for _, h := range rows[0][c] {
					h.look.size = p.look.size
					line = append(line, h)
				}
				line = append(line, span{look: p.look.bolder(), text: ": "})
			}
			atoms := l.paragraph(append(line, text...), p)
			if len(f.atoms) == from && len(atoms) > 0 && i > 1 {
				atoms[0].above += draw.MM(1.2)
			}
			f.add(atoms...)
			if c+1 < len(rows[i]) {
				f.glueLast()
			}
		}
		if n := len(f.atoms); n > from && i+1 < len(rows) {
			last := &f.atoms[n-1]
			last.glued = false
			last.height += draw.MM(1)
			last.runs = append(last.runs, across(p.x, p.width, last.height, thin))
		}
	}
	if len(rows) == 1 {
		// A head without rows still has words.
		for _, text := range rows[0] {
			f.add(l.paragraph(text, p)...)
		}
	}
}
