package layout

import (
	"strconv"
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/typeface"
)

var (
	// numberColumn is the room for the large number of a step.
	numberColumn = draw.MM(11)
	// pictureColumn is the room for pictures at the right, with the gap to it.
	pictureColumn = draw.MM(50)
	// keyColumn is the room for "Key point" and "because".
	keyColumn = draw.MM(18)
	// numeral is the size of that number; of two figures and more it is set in
	// numerals, so that the title keeps its distance.
	numeral, numerals = draw.Pt(24), draw.Pt(19)
)

// settingColumns are the settings strip in mm, for a width of 167 mm.
var settingColumns = []float64{40, 19, 32.5, 41.5, 34}

// stepSetter sets one step in full.
type stepSetter struct {
	*layer
	st sheet.StepInFull
	// x and width are the room right of the number; words what is left of it
	// beside the pictures.
	x, width, words draw.Unit
	// right is the right end of the room.
	right draw.Unit
	cont  *cont
	decor []*decor
	flow  flow
	// cuts are the atoms before which the step may be cut.
	cuts []int
	// figures are the pictures at the right with where they belong.
	figures []sideFigure
}

// sideFigure is a picture in the right column: it belongs beside the atom at.
type sideFigure struct {
	at    int
	atoms []atom
	// last is true for one that does not rise above its place while there is
	// room beside what follows.
	last bool
}

// step sets a step in full. It moves to the next page whole if it fits on one;
// else it is cut between its parts and goes on under its own head.
func (l *layer) step(st sheet.StepInFull) flow {
	s := stepSetter{layer: l, st: st, x: l.left + numberColumn, right: l.left + l.width}
	if st.OnlyIf != "" {
		// The frame takes room at the right; the columns stay where they are
		// in every step.
		s.right -= draw.MM(2)
		s.decor = []*decor{{x: l.left, width: l.width, stroke: draw.MM(.4), pad: draw.MM(.7)}}
	}
	s.width = s.right - s.x
	s.words = s.width
	if s.hasPictures() {
		s.words = s.width - pictureColumn - draw.MM(1)
	}
	s.head()
	s.settings()
	start := len(s.flow.atoms)
	s.parts()
	s.sideBySide(start)
	f := s.flow
	for i := range f.atoms {
		f.atoms[i].decor = append(s.decor[:len(s.decor):len(s.decor)], f.atoms[i].decor...)
		if i > 0 {
			// What has heads of its own repeats the step's before them.
			f.atoms[i].cont = under(s.cont, f.atoms[i].cont)
		}
	}
	if st.OnlyIf != "" {
		f.add(atom{height: draw.MM(1.6), decor: s.decor, cont: s.cont})
		f.atoms[len(f.atoms)-2].glued = true
	}
	f.whole(0)
	f.mayCut(0, s.cuts...)
	l.marks = append(l.marks, draw.Bookmark{Level: 1, Title: strconv.Itoa(st.Number) + " " + oneLine(prose.Words(st.Title)), Anchor: anchorOf(st)})
	return f
}

// under puts the outermost head of a chain below another.
func under(outer, inner *cont) *cont {
	if inner == nil {
		return outer
	}
	return &cont{outer: under(outer, inner.outer), atoms: inner.atoms}
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func (s *stepSetter) hasPictures() bool {
	if s.st.Lamp != nil {
		return true
	}
	for _, p := range s.st.Parts {
		if p.Kind == sheet.Shown && p.Picture != nil && p.Picture.Image != nil {
			return true
		}
	}
	return false
}

// head is the line over the step, its number, title, surface and bench.
func (s *stepSetter) head() {
	st := s.st
	var where []span
	if st.Surface != "" {
		where = append(where, span{look: body(), text: st.Surface})
	}
	if st.Bench != "" {
		if len(where) > 0 {
			where = append(where, span{look: body(), text: " · "})
		}
		where = append(where, span{look: body(), text: s.fixed("bench") + string(noBreakSpace)}, span{look: bold(headSize), text: st.Bench})
	}
	wide, _ := s.text.natural(where)
	wide = min(wide, s.width*45/100)
	var indent draw.Unit
	if len(s.decor) > 0 {
		indent = draw.MM(2)
	}
	title := s.inlines(st.Title, bold(headSize), nil)
	titles := s.text.lines(title, measure{width: s.width - wide - draw.MM(4)})
	wheres := s.text.lines(where, measure{width: wide + 1})
	size := numeral
	if st.Number > 9 {
		size = numerals
	}
	number := s.one(strconv.Itoa(st.Number), bold(size))
	top := draw.MM(1.9)
	base := top + typeface.Get(draw.Bold).CapHeight(numeral)
	if st.OnlyIf != "" {
		s.onlyIf(indent)
	}
	// The title stands on the baseline of the number, which may take more room
	// than the number column where it has three figures.
	titleX := max(s.x, s.left+indent+number.width+draw.MM(.8))
	rows := max(len(titles), len(wheres), 1)
	keyTitle, keyWhere := s.key(), s.key()
	for i := range rows {
		a := atom{glued: true}
		y := above(headSize)
		if i == 0 {
			y = base
			a.runs = append(a.runs, run{role: draw.Artifact, items: []draw.Item{draw.Anchor{At: pt(s.left, 0), Name: anchorOf(st)}}})
			if st.OnlyIf == "" {
				rule := across(s.left, s.layer.width, 0, draw.MM(.4))
				a.over, a.rises = &rule, true
			}
			items := number.put(nil, s.left+indent, y)
			a.runs = append(a.runs, run{key: keyTitle, role: draw.Heading2, items: items})
		}
		if i < len(titles) {
			a.runs = append(a.runs, run{key: keyTitle, role: draw.Heading2, items: titles[i].put(nil, titleX, y)})
		}
		if i < len(wheres) {
			a.runs = append(a.runs, run{key: keyWhere, role: draw.Paragraph, items: wheres[i].put(nil, s.right-wheres[i].width, y)})
		}
		a.height = y + below(headSize)
		s.flow.add(a)
	}
	s.continued(title, titleX, indent)
}

// onlyIf heads a step that is done only when something is seen.
func (s *stepSetter) onlyIf(indent draw.Unit) {
	p := place{x: s.left + indent, width: s.right - s.left - indent, look: bold(bodySize)}
	atoms := s.paragraph(spans(p.look, s.st.OnlyIf), p)
	if len(atoms) == 0 {
		return
	}
	s.flow.add(atom{height: draw.MM(1.2), glued: true})
	s.flow.add(atoms...)
	s.flow.glue(0)
}

// continued is the head of the rest of a step on the next page.
func (s *stepSetter) continued(title []span, x, indent draw.Unit) {
	text := append(title[:len(title):len(title)], span{look: body(), text: " " + s.fixed("(continued)")})
	lines := s.text.lines(text, measure{width: s.right - x})
	if len(lines) > 3 {
		lines = s.text.lines(spans(body(), s.fixed("(continued)")), measure{width: s.right - x})
	}
	var atoms []atom
	for i, ln := range lines {
		a := atom{decor: s.decor}
		y := above(headSize)
		if i == 0 {
			y = draw.MM(1.2) + typeface.Get(draw.Bold).CapHeight(headSize)
			a.runs = append(a.runs, run{items: s.one(strconv.Itoa(s.st.Number), bold(headSize)).put(nil, s.left+indent, y)})
		}
		a.runs = append(a.runs, run{items: ln.put(nil, x, y)})
		a.height = y + below(headSize)
		if i == len(lines)-1 {
			a.height += draw.MM(.6)
		}
		atoms = append(atoms, a)
	}
	s.cont = &cont{atoms: atoms}
}

// settings are the large words of the step, in columns at the same place in
// every step. The small words below each may run on under its neighbours as far
// as those have none.
func (s *stepSetter) settings() {
	set := s.st.Settings
	list := []sheet.Setting{set.Abrasive, set.Minutes, set.Speed, set.Water, set.Medium}
	said := false
	for _, one := range list {
		said = said || one != (sheet.Setting{})
	}
	if !said {
		return
	}
	cells := s.settingCells(list)
	from := len(s.flow.atoms)
	s.flow.add(s.row(cells, rowStyle{head: draw.MM(2.1), foot: draw.MM(1.3)})...)
	s.flow.glue(from)
}

// minutesSetting is the index of the minutes, which stand flush right.
const minutesSetting = 1

func (s *stepSetter) settingCells(list []sheet.Setting) []cell {
	// The strip is laid out for the whole width, frame or none.
	full := s.left + s.layer.width - s.x
	const designed = 167
	gap := draw.MM(2)
	cells := make([]cell, len(list))
	x := s.x
	for i, one := range list {
		wide := draw.Unit(float64(full) * settingColumns[i] / designed)
		c := cell{x: x, width: wide - gap, role: draw.Paragraph}
		x += wide
		switch i {
		case minutesSetting:
			c.side = toRight
			c.width = wide - draw.MM(3.7)
		case len(list) - 1:
			c.width = s.right - c.x
		}
		room := c.width
		if i == minutesSetting {
			room = max(room, c.x+c.width-s.widest(cells[0])-gap-cells[0].x)
		}
		if c.text, c.under = s.setting(one, room); len(c.text) == 0 {
			// With no large word above them the small ones lead.
			c.text, c.under = c.under, nil
		}
		cells[i] = c
	}
	for i := range cells {
		c := &cells[i]
		c.underWidth = c.width
		if i == minutesSetting || len(c.under) == 0 {
			continue
		}
		next := i + 1
		for next < len(cells) && len(cells[next].under) == 0 && s.oneLine(cells[next]) {
			next++
		}
		end := s.right
		if next < len(cells) {
			end = cells[next].x - gap
		}
		c.underWidth = max(c.underWidth, end-c.x)
	}
	s.minutesRoom(cells, gap)
	return cells
}

// widest is the widest line of the large words of a cell.
func (s *stepSetter) widest(c cell) draw.Unit {
	var wide draw.Unit
	for _, ln := range s.text.lines(c.text, measure{width: c.width}) {
		wide = max(wide, ln.width)
	}
	return wide
}

// oneLine says whether the large words of a cell take one line at most.
func (s *stepSetter) oneLine(c cell) bool {
	return len(s.text.lines(c.text, measure{width: c.width})) <= 1
}

// minutesRoom lets what stands at the minutes reach left as far as the
// abrasive leaves room. Where that is too little for the widest of its small
// words, those of the abrasive give way.
func (s *stepSetter) minutesRoom(cells []cell, gap draw.Unit) {
	first, c := &cells[0], &cells[minutesSetting]
	end := c.x + c.width
	if _, least := s.text.natural(c.under); least > 0 && len(first.under) > 0 {
		least = min(least, end-first.x-first.width/2)
		first.underWidth = min(first.underWidth, end-least-gap-first.x)
	}
	// taken is how far to the right a line of the abrasive reaches.
	taken := func(lines []line) draw.Unit {
		var to draw.Unit
		for _, ln := range lines {
			to = max(to, first.x+ln.width+gap)
		}
		return to
	}
	large := s.text.lines(first.text, measure{width: first.width})
	small := taken(s.text.lines(first.under, measure{width: first.underWidth}))
	if to := max(first.x, taken(large), small); to < c.x {
		c.x = to
	}
	c.width = end - c.x
	// A second large line of the abrasive stands beside the first small one.
	from := max(first.x, small)
	if len(large) > 1 {
		from = max(from, taken(large[1:]))
	}
	c.underWidth = max(c.width, end-from)
}

// setting is a large word with its unit, and small words below. A word too
// long for its column is set smaller before it is broken.
func (s *stepSetter) setting(one sheet.Setting, width draw.Unit) (large, small []span) {
	for _, size := range []draw.Unit{settingSize, headSize, draw.Pt(12)} {
		large = spans(bold(size), one.Big)
		if one.Unit != "" && one.Big != "" {
			large[len(large)-1].text += string(noBreakSpace)
			large = append(large, span{look: body(), text: one.Unit})
		}
		if wide, _ := s.text.natural(large); wide <= width {
			break
		}
	}
	return large, spans(body(), one.Small)
}
