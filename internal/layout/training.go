package layout

import (
	"strconv"
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/typeface"
)

// Where a training sheet stands, from the left of its text.
var (
	// teachNumber is the room for the number of a step.
	teachNumber = draw.MM(9)
	// teachHang is the room for the triangle before a caution.
	teachHang = draw.MM(5.6)
	// teachGap is the room between columns.
	teachGap = draw.MM(3)
	// teachLabel is the room for what a checkpoint looks at, teachMark that for
	// its tick or cross.
	teachLabel = draw.MM(24)
	teachMark  = draw.MM(4.6)
	// boxWide and boxHigh are a box for initials.
	boxWide = draw.MM(34)
	boxHigh = draw.MM(7)
	boxGap  = draw.MM(2)
	// teachTitle is the size of a step's title, teachNumeral of its number.
	teachTitle, teachNumeral = draw.Pt(12), draw.Pt(18)
)

// teachRow is where a row of a training sheet stands and how wide its columns are.
type teachRow struct {
	titleX, keyX, reasonX          draw.Unit
	titleWide, keyWide, reasonWide draw.Unit
}

// teachColumns share the width: a good quarter is the title's, of the rest a
// little more than half the key point's.
func (l *layer) teachColumns() teachRow {
	rest := l.width - teachNumber
	c := teachRow{titleX: l.left + teachNumber, titleWide: rest * 27 / 100}
	c.keyX = c.titleX + c.titleWide + teachHang
	room := rest - c.titleWide - teachHang - teachGap
	c.keyWide = room * 55 / 100
	c.reasonX = c.keyX + c.keyWide + teachGap
	c.reasonWide = room - c.keyWide
	// The sign of a caution beside a full line of the title stands clear of it.
	c.titleWide -= draw.MM(1.5)
	return c
}

// learner are the lines at the head: what is written on them stands above.
func (l *layer) learner(s sheet.Learner) flow {
	var f flow
	gap := draw.MM(6)
	room := l.width - 3*gap
	wides := []draw.Unit{room * 24 / 100, room * 24 / 100, room * 34 / 100, room * 18 / 100}
	small := regular(smallSize)
	trained := spans(small, l.fixed("Trained on")+" ")
	trained = append(trained, spans(bold(smallSize), s.Revision)...)
	if s.Change != "" {
		trained = append(trained, span{look: small, text: ", " + s.Change})
	}
	above := draw.MM(8)
	var cells []cell
	var lines []run
	x := l.left
	for i, text := range [][]span{spans(small, l.fixed("Learner")), spans(small, l.fixed("Trainer")), trained, spans(small, l.fixed("Look again on"))} {
		cells = append(cells, cell{text: text, x: x, width: wides[i], role: draw.Paragraph})
		if i != 2 {
			lines = append(lines, across(x, wides[i], above, draw.MM(.25)))
		}
		x += wides[i] + gap
	}
	atoms := l.row(cells, rowStyle{head: above + draw.MM(1.5), foot: draw.MM(1)})
	atoms[0].runs = append(lines, atoms[0].runs...)
	f.add(atoms...)
	if s.Since != "" {
		from := len(f.atoms)
		f.add(l.paragraph(spans(body(), flat(s.Since)), l.place())...)
		if len(f.atoms) > from {
			f.atoms[from].above += draw.MM(1.4)
		}
	}
	f.whole(0)
	return f
}

// aim is where the surfaces and the piece stop.
func (l *layer) aim(a sheet.Aim) flow {
	var f flow
	put := func(label string, text []span) {
		if len(text) == 0 {
			return
		}
		p := l.place().in(draw.MM(12))
		p.chars = 95
		from := len(f.atoms)
		f.add(l.paragraph(text, p)...)
		f.lineAt(from, bodySize, nil)
		first := &f.atoms[from]
		first.runs = append([]run{{key: l.key(), role: draw.Paragraph, items: l.one(label, bold(bodySize)).put(nil, l.left, first.base)}}, first.runs...)
		first.above += lineGap
	}
	var text []span
	for _, s := range a.Surfaces {
		if len(text) > 0 {
			text = append(text, span{look: body(), text: " · "})
		}
		text = append(text, span{look: body(), text: flat(s.Label) + ": "}, span{look: body(), text: flat(s.Words)})
	}
	put(l.fixed("Aim"), text)
	put(l.fixed("STOP"), spans(bold(bodySize), flat(a.Stop)))
	return f
}

// teachHeads are the heads of the columns; every page of the breakdown has
// them.
func (l *layer) teachHeads() []atom {
	c := l.teachColumns()
	lk := bold(smallSize)
	return l.row([]cell{
		{text: spans(lk, l.fixed("Important step")), x: c.titleX, width: c.titleWide, role: draw.TableHead},
		{text: spans(lk, l.fixed("Key point")), x: c.keyX, width: c.keyWide, role: draw.TableHead},
		{text: spans(lk, l.fixed("Reason")), x: c.reasonX, width: c.reasonWide, role: draw.TableHead},
	}, rowStyle{head: draw.MM(1.2), foot: draw.MM(1.4), rule: draw.MM(.5), x: l.left, width: l.width})
}

// teachSetter sets one step of a training sheet.
type teachSetter struct {
	*layer
	teachRow
	st   sheet.TrainingStep
	flow flow
	// cuts are the atoms before which the step may be cut.
	cuts []int
}

// teach sets a step as it is taught: title and settings at the left, the rows
// of order, key point and reason beside them, then the checkpoints, then the
// boxes for initials. heads are the heads of its columns.
func (l *layer) teach(st sheet.TrainingStep, heads *cont) flow {
	s := teachSetter{layer: l, teachRow: l.teachColumns(), st: st}
	s.points()
	s.beside()
	checks := len(s.flow.atoms)
	for _, c := range st.Checks {
		s.cuts = append(s.cuts, len(s.flow.atoms))
		s.check(c)
	}
	if len(s.flow.atoms) > checks {
		s.flow.atoms[checks].above += draw.MM(.9)
	}
	s.boxes()
	f := s.flow
	f.atoms[len(f.atoms)-1].glued = false
	again := under(heads, s.continued())
	for i := range f.atoms {
		if i == 0 {
			f.atoms[i].cont = heads
			continue
		}
		f.atoms[i].cont = under(again, f.atoms[i].cont)
	}
	f.whole(0)
	f.mayCut(0, s.cuts...)
	if st.Number > 0 {
		l.marks = append(l.marks, draw.Bookmark{Level: 1, Title: strconv.Itoa(st.Number) + " " + oneLine(prose.Words(st.Title)), Anchor: st.Anchor})
	}
	return f
}

// topBase is the first baseline of a step: that of its number.
func (s *teachSetter) topBase() draw.Unit {
	return draw.MM(1.5) + typeface.Get(draw.Bold).CapHeight(teachNumeral)
}

// points are the rows beside the title.
func (s *teachSetter) points() {
	for i, p := range s.st.Points {
		from := len(s.flow.atoms)
		s.point(p)
		if i > 0 && len(s.flow.atoms) > from {
			s.flow.atoms[from].above += draw.MM(.8)
			s.cuts = append(s.cuts, from)
		}
	}
	if len(s.flow.atoms) > 0 {
		// The first row stands on the baseline of the title.
		first := &s.flow.atoms[0]
		down := s.topBase() - first.base
		first.runs = movedRuns(first.runs, 0, down)
		first.height += down
		first.base += down
	}
}

func (s *teachSetter) point(p sheet.TrainingPoint) {
	var lead []span
	if p.Signal > 0 {
		lead = s.signalText(p.Signal, "", body())
	}
	from := len(s.flow.atoms)
	if p.Picture != nil {
		s.picture(p.Picture)
		return
	}
	if p.Whole && p.Signal > 0 {
		// What is said of several hazards stands on a line for each.
		p.Words = onLines(p.Words)
	}
	words := append(lead, s.inlines(p.Words, body(), nil)...)
	switch key := s.inlines(p.Key, bold(bodySize), nil); {
	case p.Whole || len(key)+len(p.Reason) == 0:
		s.flow.add(s.paragraph(words, s.wide())...)
	case len(key) == 0:
		s.pair(words, p.Reason)
	default:
		s.flow.add(s.paragraph(words, s.wide())...)
		s.further(p.Blocks, from)
		p.Blocks = nil
		if len(s.flow.atoms) > from {
			s.flow.glueLast()
		}
		row := len(s.flow.atoms)
		s.pair(key, p.Reason)
		if row > from && len(s.flow.atoms) > row {
			s.flow.atoms[row].above += lineGap
		}
	}
	s.further(p.Blocks, from)
	if p.Signal > 0 && len(s.flow.atoms) > from {
		first := &s.flow.atoms[from]
		if look := signals[signalOf(p.Signal)]; look.alert {
			mark := run{role: draw.Artifact, items: alert(s.keyX-draw.MM(5.2), first.base+draw.MM(.6), draw.MM(4.4), draw.Black, look.fill)}
			first.runs = append([]run{mark}, first.runs...)
		}
	}
}

// wide is the place of words that take the columns of key point and reason.
func (s *teachSetter) wide() place {
	return place{x: s.keyX, width: s.keyWide + teachGap + s.reasonWide, look: body(), chars: proseChars, pictures: s.st.Pictures}
}

// pair is one row of two columns.
func (s *teachSetter) pair(left []span, reason []prose.Inline) {
	right := s.inlines(reason, body(), nil)
	if len(left)+len(right) == 0 {
		return
	}
	tight := rowStyle{head: above(bodySize) - typeface.Get(draw.Bold).CapHeight(bodySize)}
	s.flow.add(s.row([]cell{
		{text: left, x: s.keyX, width: s.keyWide, role: draw.TableCell},
		{text: right, x: s.reasonX, width: s.reasonWide, role: draw.TableCell},
	}, tight)...)
}

// picture is a picture of the step, with its caption beside it.
func (s *teachSetter) picture(pic *sheet.Picture) {
	lk := regular(smallSize)
	caption := spans(lk, pic.Caption)
	at := place{x: s.keyX, width: s.keyWide, look: lk, chars: proseChars}
	if pic.Image == nil {
		at.width += teachGap + s.reasonWide
		s.flow.add(s.pictureAtoms(nil, caption, pic.Alt, pic.Target, at, true)...)
		return
	}
	alt := pic.Alt
	if alt == "" {
		alt = pic.Caption
	}
	atoms := s.pictureAtoms(pic.Image, nil, alt, pic.Target, at, true)
	words := s.paragraph(caption, place{x: s.reasonX, width: s.reasonWide, look: lk, chars: proseChars, role: draw.Caption})
	row := atom{above: draw.MM(1), height: max(heightOf(atoms), heightOf(words)), runs: stacked(atoms, 0, 0)}
	row.runs = append(row.runs, stacked(words, 0, 0)...)
	row.base = above(smallSize)
	s.flow.add(row)
}

// further are blocks of prose below the words of a row.
func (s *teachSetter) further(blocks []prose.Block, from int) {
	if len(blocks) == 0 {
		return
	}
	inner := len(s.flow.atoms)
	s.blocks(&s.flow, blocks, s.wide())
	if len(s.flow.atoms) > inner && inner > from {
		s.flow.atoms[inner].above += lineGap
		s.flow.atoms[inner-1].glued = true
	}
}

// beside sets number, title and settings at the left of the rows, and keeps
// the rows they stand beside together.
func (s *teachSetter) beside() {
	if len(s.flow.atoms) == 0 {
		s.flow.add(atom{base: s.topBase()})
	}
	head := run{key: s.key(), role: draw.Heading2}
	if s.st.Anchor != "" {
		head.items = append(head.items, draw.Anchor{At: pt(s.left, 0), Name: s.st.Anchor})
	}
	y := s.topBase()
	height := y + draw.MM(1)
	x, wide := s.titleX, s.titleWide
	if s.st.Number > 0 {
		size := teachNumeral
		if s.st.Number > 99 {
			size = draw.Pt(12)
		}
		head.items = s.one(strconv.Itoa(s.st.Number), bold(size)).put(head.items, s.left, y)
	} else {
		x, wide = s.left, s.titleWide+teachNumber
	}
	for i, ln := range s.text.lines(s.inlines(s.st.Title, bold(teachTitle), nil), measure{width: wide}) {
		if i > 0 {
			y += leading(teachTitle)
		}
		head.items = ln.put(head.items, x, y)
		height = y + below(teachTitle)
	}
	left := []run{head}
	for _, text := range [][]span{spans(bold(smallSize), s.st.OnlyIf), spans(regular(smallSize), s.st.Setup)} {
		small := run{key: s.key(), role: draw.Paragraph}
		for k, ln := range s.text.lines(text, measure{width: wide}) {
			if k == 0 {
				y += draw.MM(.8)
			}
			y += leading(smallSize)
			small.items = ln.put(small.items, x, y)
			height = y + below(smallSize)
		}
		if len(small.items) > 0 {
			left = append(left, small)
		}
	}
	a := s.flow.atoms
	first := &a[0]
	first.runs = append(left, first.runs...)
	rule := across(s.left, s.layer.width, 0, draw.MM(.4))
	first.over = &rule
	have, k := a[0].height, 0
	for ; have < height && k+1 < len(a); k++ {
		a[k].glued = true
		have += a[k+1].above + a[k+1].height
	}
	if have < height {
		a[k].height += height - have
	}
	// A title never stands alone at the foot of a page.
	a[k].glued = true
}

// continued is the head of the rest of a step on the next page.
func (s *teachSetter) continued() *cont {
	text := s.inlines(s.st.Title, bold(bodySize), nil)
	if s.st.Number > 0 {
		text = append(spans(bold(bodySize), strconv.Itoa(s.st.Number)+string(noBreakSpace)), text...)
	}
	text = append(text, span{look: body(), text: " " + s.layer.fixed("(continued)")})
	lines := s.text.lines(text, measure{width: s.layer.width})
	if len(lines) > 2 {
		lines = s.text.lines(spans(body(), s.layer.fixed("(continued)")), measure{width: s.layer.width})
	}
	c := &cont{}
	for i, ln := range lines {
		a := atom{height: leading(bodySize), runs: []run{{items: ln.put(nil, s.left, above(bodySize))}}}
		if i == len(lines)-1 {
			a.height += draw.MM(.6)
		}
		c.atoms = append(c.atoms, a)
	}
	return c
}

// check is one checkpoint: what is looked at, what is right, what is wrong.
func (s *teachSetter) check(c sheet.TrainingCheck) {
	x := s.left + teachNumber
	label := cell{text: spans(bold(bodySize), flat(c.Label)), x: x, width: teachLabel - draw.MM(1.2), role: draw.TableCell}
	from := x + teachLabel
	room := s.left + s.layer.width - from
	style := rowStyle{head: draw.MM(1.3), foot: 0}
	if c.Stops {
		cells := []cell{label, {text: s.answers(c.Right), x: from + teachMark, width: room - teachMark, role: draw.TableCell}}
		atoms := s.row(cells, style)
		mark := halt(from-draw.MM(.4), atoms[0].base)
		atoms[0].runs = append([]run{mark}, atoms[0].runs...)
		s.flow.add(atoms...)
		return
	}
	half := (room - teachGap) / 2
	wrong := from + half + teachGap
	cells := []cell{
		label,
		{text: s.answers(c.Right), x: from + teachMark, width: half - teachMark, role: draw.TableCell},
		{text: s.answers(c.Wrong), x: wrong + teachMark, width: half - teachMark, role: draw.TableCell},
	}
	atoms := s.row(cells, style)
	// Each mark is read before the words it stands at; a cell without words has
	// no run in the row and no mark.
	base, words := atoms[0].base, atoms[0].runs
	var marked []run
	for i, mark := range []run{{}, tick(from, base), cross(wrong, base)} {
		if len(s.text.lines(cells[i].text, measure{width: cells[i].width})) == 0 {
			continue
		}
		if i > 0 {
			marked = append(marked, mark)
		}
		marked, words = append(marked, words[0]), words[1:]
	}
	atoms[0].runs = marked
	s.flow.add(atoms...)
}

// answers are several answers, each on lines of its own.
func (s *teachSetter) answers(lines [][]prose.Inline) []span {
	var text []span
	for _, line := range lines {
		if strings.TrimSpace(prose.Words(line)) == "" {
			continue
		}
		if len(text) > 0 {
			text = append(text, span{look: body(), text: "\n"})
		}
		text = append(text, s.inlines(line, body(), nil)...)
	}
	return text
}

// boxes are those for initials.
func (s *teachSetter) boxes() {
	n := draw.Unit(len(s.st.Boxes))
	if n == 0 {
		return
	}
	x := s.left + teachNumber
	room := s.layer.width - teachNumber
	wide := min(boxWide, (room-boxGap*(n-1))/n)
	last := min(boxWide, room-(wide+boxGap)*(n-1))
	if n > 1 && last < wide*7/10 || last < draw.MM(18) {
		wide = (room - boxGap*(n-1)) / n
		last = wide
	} else if full := (boxWide+boxGap)*(n-1) + draw.MM(20); full <= room {
		wide, last = boxWide, min(boxWide, room-(boxWide+boxGap)*(n-1))
	}
	a := atom{above: draw.MM(1.3), height: boxHigh + draw.MM(1.6), base: draw.MM(3.2)}
	words := run{key: s.key(), role: draw.Paragraph}
	var frames run
	frames.role = draw.Artifact
	for i, box := range s.st.Boxes {
		w := wide
		if i == int(n)-1 {
			w = last
		}
		frames.items = append(frames.items, draw.Rect{At: pt(x, 0), Width: w, Height: boxHigh, Stroke: draw.MM(.3)})
		lines := s.text.lines(spans(regular(smallSize), flat(box)), measure{width: w - draw.MM(1.6)})
		for k, ln := range lines {
			words.items = ln.put(words.items, x+draw.MM(.9), draw.MM(3.1)+leading(smallSize)*draw.Unit(k))
		}
		x += w + boxGap
	}
	a.runs = []run{frames, words}
	if len(s.flow.atoms) > 0 {
		s.flow.glueLast()
	}
	s.flow.add(a)
}

// tick and cross stand before what is right and what is wrong; who cannot see
// them is told.
func tick(x, base draw.Unit) run {
	at := func(mx, my float64) draw.Point { return pt(x+draw.MM(mx), base+draw.MM(my)) }
	w := draw.MM(.7)
	return run{role: draw.Figure, alt: "right:", items: []draw.Item{
		draw.Path{Stroke: w, Segs: []draw.Seg{
			{Op: draw.MoveTo, P: [3]draw.Point{at(.2, -1.1)}},
			{Op: draw.LineTo, P: [3]draw.Point{at(1.2, -.1)}},
			{Op: draw.LineTo, P: [3]draw.Point{at(3, -2.3)}},
		}},
	}}
}

func cross(x, base draw.Unit) run {
	at := func(mx, my float64) draw.Point { return pt(x+draw.MM(mx), base+draw.MM(my)) }
	w := draw.MM(.7)
	return run{role: draw.Figure, alt: "wrong:", items: []draw.Item{
		draw.Line{From: at(.3, -2.3), To: at(2.5, -.1), Width: w},
		draw.Line{From: at(2.5, -2.3), To: at(.3, -.1), Width: w},
	}}
}

// underHeads puts the heads of the columns over the first step, and the place
// where the margin begins.
func (l *layer) underHeads(heads *cont, g flow, margin bool) flow {
	var f flow
	f.add(heads.atoms...)
	if margin {
		at := run{role: draw.Artifact, items: []draw.Item{draw.Anchor{At: pt(l.left, 0), Name: marginTop}}}
		first := f.atoms[0]
		f.atoms[0].runs = append([]run{at}, first.runs...)
	}
	f.glue(0)
	g.atoms[0].over = nil
	f.join(g)
	return f
}
