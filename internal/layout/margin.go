package layout

import (
	"coldwright/internal/draw"
	"coldwright/internal/sheet"
)

var (
	// marginWide is the margin of words, marginGap the room between it and the
	// text; the line between them stands in its middle.
	marginWide = draw.MM(31)
	marginGap  = draw.MM(6)
	// marginLeast is the least that is left for the text; on a narrower page
	// the words stand behind it.
	marginLeast = draw.MM(110)
)

// marginTop is the anchor where the margin begins.
const marginTop = "words"

// glossary are the words of a sheet; nil where it explains none.
func (l *layer) glossary() []sheet.GlossaryWord {
	for _, b := range l.sheet.Blocks {
		if g, ok := b.(sheet.Glossary); ok {
			return g.Words
		}
	}
	return nil
}

// hasMargin says whether the words stand in a margin of their own.
func (l *layer) hasMargin() bool {
	return len(l.glossary()) > 0 && l.width-marginWide-marginGap >= marginLeast
}

// word is one word with its meaning, set for the margin.
func (l *layer) word(w sheet.GlossaryWord, x draw.Unit) []atom {
	p := place{x: x, width: marginWide}
	p.look = bold(bodySize)
	atoms := l.paragraph(spans(p.look, flat(w.Word)), p)
	p.look = regular(smallSize)
	return append(atoms, l.paragraph(spans(p.look, flat(w.Means)), p)...)
}

// margin puts each word beside the step that uses it first, or as near behind
// it as there is room, else before it, and parts those that were placed from
// those no page has room for. What the margins have no room for stands at the
// foot of a page with room, so that a word or two make no page of their own.
// Unless all have, nothing is drawn.
func (l *layer) margin(pages []draw.Page, frameOf func(int) frame, words []sheet.GlossaryWord) (placed, rest []sheet.GlossaryWord) {
	var open marginSetter
	for i, gap := range wordGaps {
		m := marginSetter{layer: l, x: l.left + l.width - marginWide, frameOf: frameOf, pages: pages, gap: gap}
		m.begin()
		var in, out []sheet.GlossaryWord
		for _, w := range words {
			if m.place(w) {
				in = append(in, w)
			} else {
				out = append(out, w)
			}
		}
		if len(out) == 0 {
			m.draw()
			return in, nil
		}
		if i == 0 {
			open, placed, rest = m, in, out
		}
	}
	if open.atFoot(rest) {
		open.draw()
		return words, nil
	}
	return placed, rest
}

// wordGaps are the distances of two words that are tried, the more open first.
var wordGaps = []draw.Unit{draw.MM(1.6), draw.MM(1.1)}

// atFoot draws words below the text of the last page that has room for them.
func (m *marginSetter) atFoot(words []sheet.GlossaryWord) bool {
	full := m.width
	m.width = full - marginWide - marginGap
	list := m.wordList(words)
	m.width = full
	for i := len(m.pages) - 1; i >= m.first; i-- {
		y := lowest(&m.pages[i]) + draw.MM(7)
		if y+list.height() > m.frameOf(i).bottom {
			continue
		}
		for _, r := range stacked(list.atoms, 0, y) {
			m.pages[i].Runs = append(m.pages[i].Runs, draw.Run{Role: r.role, Alt: r.alt, Items: r.items})
		}
		return true
	}
	return false
}

type marginSetter struct {
	*layer
	x       draw.Unit
	frameOf func(int) frame
	pages   []draw.Page
	// gap is between two words.
	gap draw.Unit
	// first is the page the margin begins on.
	first int
	// y is how far the margin of each page is taken.
	y []draw.Unit
	// top is where it begins, list what stands in it.
	top  []draw.Unit
	list [][][]atom
	// pageOf is the page each step begins on.
	pageOf map[string]int
}

// begin finds where the margin and the steps begin.
func (m *marginSetter) begin() {
	m.pageOf = map[string]int{}
	m.first = len(m.pages)
	m.top = make([]draw.Unit, len(m.pages))
	m.list = make([][][]atom, len(m.pages))
	for i := range m.pages {
		m.top[i] = m.frameOf(i).top
		for _, r := range m.pages[i].Runs {
			for _, it := range r.Items {
				a, ok := it.(draw.Anchor)
				if !ok {
					continue
				}
				if a.Name == marginTop {
					m.first, m.top[i] = i, a.At.Y
				} else if _, known := m.pageOf[a.Name]; !known {
					m.pageOf[a.Name] = i
				}
			}
		}
	}
	m.y = append([]draw.Unit{}, m.top...)
	for i := range m.y {
		m.y[i] += draw.MM(6.4)
	}
}

// place finds room for a word.
func (m *marginSetter) place(w sheet.GlossaryWord) bool {
	atoms := m.word(w, m.x)
	h := heightOf(atoms)
	from := m.first
	if w.Step > 0 {
		from = max(from, m.pageOf[sheet.Anchor(w.Step)])
	}
	for _, i := range m.nearest(from) {
		gap := m.gap
		if len(m.list[i]) == 0 {
			gap = 0
		}
		if m.y[i]+gap+h > m.frameOf(i).bottom {
			continue
		}
		m.list[i] = append(m.list[i], atoms)
		m.y[i] += gap + h
		return true
	}
	return false
}

// nearest are the pages with a margin: from a page on, then those before it.
func (m *marginSetter) nearest(from int) []int {
	var order []int
	for i := from; i < len(m.pages); i++ {
		order = append(order, i)
	}
	for i := from - 1; i >= m.first; i-- {
		order = append(order, i)
	}
	return order
}

// draw puts the margins on their pages, each with a line at its left.
func (m *marginSetter) draw() {
	for i := range m.pages {
		if len(m.list[i]) == 0 {
			continue
		}
		page := &m.pages[i]
		bottom := max(lowest(page), m.y[i])
		line := draw.Line{From: pt(m.x-marginGap/2, m.top[i]), To: pt(m.x-marginGap/2, bottom), Width: draw.MM(.25)}
		page.Runs = append(page.Runs, draw.Run{Role: draw.Artifact, Items: []draw.Item{line}})
		role := draw.Heading2
		if i > m.first {
			role = draw.Artifact
		}
		head := m.one(m.fixed("Words"), bold(smallSize))
		page.Runs = append(page.Runs, draw.Run{Role: role, Items: head.put(nil, m.x, m.top[i]+draw.MM(3.5))})
		y := m.top[i] + draw.MM(6.4)
		for k, w := range m.list[i] {
			if k > 0 {
				y += m.gap
			}
			for _, r := range stacked(w, 0, y) {
				page.Runs = append(page.Runs, draw.Run{Role: r.role, Items: r.items})
			}
			y += heightOf(w)
		}
	}
}

// lowest is how far down a page is taken by words and lines.
func lowest(p *draw.Page) draw.Unit {
	var y draw.Unit
	for _, r := range p.Runs {
		for _, it := range r.Items {
			switch v := it.(type) {
			case draw.Text:
				y = max(y, v.At.Y)
			case draw.Line:
				y = max(y, v.From.Y, v.To.Y)
			case draw.Rect:
				y = max(y, v.At.Y+v.Height)
			case draw.Picture:
				y = max(y, v.At.Y+v.Height)
			}
		}
	}
	return y
}

// wordList are those no margin had room for, behind everything else.
func (l *layer) wordList(list []sheet.GlossaryWord) flow {
	var f flow
	f.add(l.headed(l.fixed("Words"), l.left, l.width)...)
	for _, w := range list {
		from := len(f.atoms)
		text := append(spans(bold(bodySize), flat(w.Word)+" "), spans(body(), flat(w.Means))...)
		f.add(l.paragraph(text, l.place())...)
		f.atoms[from].above += draw.MM(.8)
	}
	return f
}
