package layout

import (
	"strconv"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
)

// pageAt is the page a place is on as it prints; room is kept for its figures
// where that is not known yet.
func (l *layer) pageAt(anchor string) string {
	if page, ok := l.in.pageOf[anchor]; ok {
		return strconv.Itoa(page + 1)
	}
	return strconv.Itoa(l.in.most)
}

// linked is a number of a page that leads there.
func (l *layer) linked(anchor string, lk look) []span {
	if anchor == "" {
		return nil
	}
	lk.link, lk.plain = "#"+anchor, true
	return spans(lk, l.pageAt(anchor))
}

// cover is the first page: the name of the house and what book this is.
func (l *layer) cover(c sheet.Cover) flow {
	var f flow
	p := l.place()
	p.look, p.role = bold(draw.Pt(36)), draw.Heading2
	f.add(l.paragraph(spans(p.look, l.sheet.House), p)...)
	if len(f.atoms) > 0 {
		f.atoms[0].above = draw.MM(60)
		// Room at the head of a page falls away; the cover keeps its own.
		room := draw.MM(60)
		f.atoms[0].runs = movedRuns(f.atoms[0].runs, 0, room)
		f.atoms[0].height += room
	}
	p.look, p.role = regular(titleSize), draw.Paragraph
	f.add(l.paragraph(spans(p.look, l.sheet.Kind), p)...)
	name := draw.MM(40)
	for i, r := range c.Rows {
		atoms := l.row([]cell{
			{text: spans(bold(headSize), r.Name), x: l.left, width: name - gutter, role: draw.TableCell},
			{text: spans(regular(headSize), r.Words), x: l.left + name, width: l.width - name, role: draw.TableCell},
		}, rowStyle{head: draw.MM(2), foot: draw.MM(2.4), rule: thin, x: l.left, width: l.width})
		if i == 0 {
			atoms[0].above = draw.MM(30)
		}
		f.add(atoms...)
	}
	return f
}

// contents are the recipes by group: title and page number large, what the
// recipe is in one line below.
func (l *layer) contents(c sheet.Contents) flow {
	var f flow
	number := bold(settingSize)
	room := l.one(strconv.Itoa(l.in.most), number).width + gutter
	for g, group := range c.Groups {
		p := l.place()
		p.look, p.role = bold(bodySize), draw.Heading2
		head := l.paragraph(spans(p.look, group.Title), p)
		if len(head) == 0 {
			continue
		}
		last := &head[len(head)-1]
		last.height += draw.MM(.9)
		last.runs = append(last.runs, across(l.left, l.width, last.height, thin))
		if g > 0 {
			head[0].above = draw.MM(5)
		}
		f.add(head...)
		f.glueLast()
		for _, r := range group.Rows {
			from := len(f.atoms)
			title := bold(headSize)
			if r.Anchor != "" {
				title.link, title.plain = "#"+r.Anchor, true
			}
			only := r.ID+r.Glass+r.Stops+r.Minutes == ""
			st := rowStyle{head: draw.MM(2.2), foot: draw.MM(1)}
			if only {
				st = rowStyle{head: draw.MM(2.2), foot: draw.MM(2.2), rule: thin, x: l.left, width: l.width}
			}
			f.add(l.row([]cell{
				{text: spans(title, r.Title), x: l.left, width: l.width - room, role: draw.TableCell},
				{text: l.linked(r.Anchor, number), x: l.left + l.width - room, width: room, side: toRight, role: draw.TableCell},
			}, st)...)
			if !only {
				f.glueLast()
				f.add(l.contentsLine(r)...)
			}
			f.whole(from)
		}
	}
	return f
}

// contentsLine is one line of what a recipe is.
func (l *layer) contentsLine(r sheet.ContentsRow) []atom {
	id, glass, minutes := l.width*27/100, l.width*23/100, l.width*11/100
	cells := []cell{
		{text: spans(body(), r.ID), x: l.left, width: id - draw.MM(2), role: draw.TableCell},
		{text: spans(body(), r.Glass), x: l.left + id, width: glass - draw.MM(2), role: draw.TableCell},
		{text: spans(body(), r.Stops), x: l.left + id + glass, width: l.width - id - glass - minutes - draw.MM(2), role: draw.TableCell},
		{text: spans(body(), r.Minutes), x: l.left + l.width - minutes, width: minutes, side: toRight, role: draw.TableCell},
	}
	// The word lead stands in a frame of its own before the glass.
	word := l.one(l.fixed("LEAD"), bold(bodySize))
	frame := word.width + draw.MM(2)
	if r.Lead {
		cells[1].x += frame + draw.MM(1.4)
		cells[1].width -= frame + draw.MM(1.4)
	}
	atoms := l.row(cells, rowStyle{head: draw.MM(1.1), foot: draw.MM(2.2), rule: thin, x: l.left, width: l.width})
	if r.Lead {
		base := atoms[0].base
		lead := run{key: l.key(), role: draw.TableCell, items: word.put(nil, l.left+id+draw.MM(1), base)}
		atoms[0].runs = append(atoms[0].runs, lead, run{role: draw.Artifact, items: []draw.Item{draw.Rect{
			At: pt(l.left+id, base-draw.MM(3.1)), Width: frame, Height: draw.MM(4), Stroke: draw.MM(.35),
		}}})
	}
	return atoms
}

// facts are names with their words, one row each.
func (l *layer) facts(t sheet.Facts) flow {
	var f flow
	f.add(l.headed(t.Title, l.left, l.width)...)
	name := l.width * 25 / 100
	for i, r := range t.Rows {
		from := len(f.atoms)
		f.add(l.row([]cell{
			{text: spans(bold(bodySize), r.Name), x: l.left, width: name - gutter, role: draw.TableCell},
			{text: spans(body(), r.Words), x: l.left + name, width: min(l.width-name, draw.MM(135)), role: draw.TableCell},
		}, rowStyle{head: draw.MM(1.5), foot: draw.MM(1.9), rule: thin, x: l.left, width: l.width})...)
		f.whole(from)
		if i == 0 {
			f.whole(0)
		}
	}
	return f
}

// register is the list of revisions under a head that is repeated.
func (l *layer) register(g sheet.Register) flow {
	var f flow
	wide := []draw.Unit{draw.MM(24), draw.MM(38), draw.MM(17), draw.MM(18), 0, draw.MM(13)}
	wide[4] = l.width - wide[0] - wide[1] - wide[2] - wide[3] - wide[5]
	cells := func(role draw.Role, words ...[]span) []cell {
		out := make([]cell, len(words))
		x := l.left
		for i, w := range words {
			out[i] = cell{text: w, x: x, width: wide[i] - draw.MM(2), role: role}
			x += wide[i]
		}
		last := &out[len(out)-1]
		last.side, last.x, last.width = toRight, l.left+l.width-wide[5], wide[5]
		return out
	}
	small := regular(smallSize)
	head := l.row(cells(draw.TableHead, spans(small, l.fixed("Date")), spans(small, l.fixed("Recipe")), spans(small, l.fixed("Revision")), spans(small, l.fixed("Kind")), spans(small, l.fixed("What changed")), spans(small, l.fixed("page"))),
		rowStyle{head: draw.MM(1.2), foot: draw.MM(1.7), rule: strong, x: l.left, width: l.width})
	f.add(head...)
	f.glue(0)
	again := &cont{atoms: head}
	for _, r := range g.Rows {
		from := len(f.atoms)
		f.add(l.row(cells(draw.TableCell, spans(body(), r.Date), spans(bold(bodySize), r.ID), spans(body(), r.Revision), spans(body(), r.Kind), spans(body(), r.Note), l.linked(r.Anchor, bold(bodySize))),
			rowStyle{head: draw.MM(1.5), foot: draw.MM(1.9), rule: thin, x: l.left, width: l.width})...)
		f.whole(from)
		for i := from; i < len(f.atoms); i++ {
			f.atoms[i].cont = again
		}
	}
	return f
}

// columns is in how many columns the blocks of a sheet stand: an index in two.
func columns(s *sheet.Sheet) int {
	if len(s.Blocks) == 1 {
		if _, ok := s.Blocks[0].(sheet.Index); ok {
			return 2
		}
	}
	return 1
}

// inColumns sets an index in two columns a page.
func (l *layer) inColumns(f *flow, fu *furniture) []draw.Page {
	whole := l.width
	gap := draw.MM(9)
	l.width = (whole - gap) / 2
	for _, b := range l.sheet.Blocks {
		if x, ok := b.(sheet.Index); ok {
			f.join(l.index(x))
		}
	}
	shift := l.width + gap
	narrow := paginate(f, func(page int) frame { return fu.frame(page / 2) })
	l.width = whole
	pages := narrow[:0]
	for i := 0; i < len(narrow); i += 2 {
		page := narrow[i]
		if i+1 < len(narrow) {
			for _, r := range narrow[i+1].Runs {
				for k := range r.Items {
					r.Items[k] = moved(r.Items[k], shift, 0)
				}
				page.Runs = append(page.Runs, r)
			}
		}
		pages = append(pages, page)
	}
	return pages
}

// index is one column of an index: what, and below it the recipes that use it
// with their pages.
func (l *layer) index(x sheet.Index) flow {
	var f flow
	strongNumber := bold(bodySize)
	room := l.one(strconv.Itoa(l.in.most), strongNumber).width + draw.MM(3)
	for i, s := range x.Sections {
		head := l.headed(s.Title, l.left, l.width)
		if i > 0 {
			head[0].above = draw.MM(6)
		}
		from := len(f.atoms)
		f.add(head...)
		for k, e := range s.Entries {
			at := len(f.atoms)
			name := l.row([]cell{{text: spans(strongNumber, e.Words), x: l.left, width: l.width, role: draw.TableHead}}, rowStyle{head: draw.MM(1.4), foot: draw.MM(.6)})
			f.add(name...)
			f.glueLast()
			again := &cont{atoms: name}
			for n, u := range e.Uses {
				st := rowStyle{head: draw.MM(.9), foot: draw.MM(.6)}
				if n == len(e.Uses)-1 {
					st.foot, st.rule, st.x, st.width = draw.MM(1.9), thin, l.left, l.width
				}
				use := body()
				row := l.row([]cell{
					{text: spans(use, u.Words), x: l.left + draw.MM(4), width: l.width - draw.MM(4) - room, role: draw.TableCell},
					{text: l.linked(u.Anchor, strongNumber), x: l.left + l.width - room, width: room, side: toRight, role: draw.TableCell},
				}, st)
				if n > 0 {
					for q := range row {
						row[q].cont = again
					}
				}
				f.add(row...)
			}
			if len(e.Uses) <= 8 {
				f.whole(at)
			}
			if k == 0 && len(e.Uses) <= 8 {
				f.whole(from)
			}
		}
	}
	return f
}
