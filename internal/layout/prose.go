package layout

import (
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
)

// place is where prose is set: from x over width, in a look.
type place struct {
	x, width draw.Unit
	look     look
	pictures sheet.Pictures
	// depth counts lists and quotes; the room stops shrinking after deepest.
	depth int
	decor []*decor
	// chars is the most characters on a line.
	chars int
	role  draw.Role
}

const (
	// deepest is the depth from which on an indent grows no further.
	deepest = 6
	// codeWhole is the most lines of code that are not torn by a page's end.
	codeWhole = 20
	// proseChars is the longest line of prose, by WCAG 2.2, 1.4.8.
	proseChars = 80
)

var (
	// hang is the column that numbers and marks stand in.
	hang = draw.MM(6)
	// narrowest is the room below which an indent is not taken off.
	narrowest = draw.MM(30)
	// lineGap is the room between parts, paragraphGap between paragraphs.
	lineGap      = draw.MM(.4)
	paragraphGap = draw.MM(1.6)
)

func (p place) measure() measure { return measure{width: p.width, chars: p.chars} }

// in is the place moved in by an indent, as long as there is room.
func (p place) in(by draw.Unit) place {
	p.depth++
	if p.depth <= deepest && p.width-by >= narrowest {
		p.x += by
		p.width -= by
	}
	return p
}

// inlines turns the author's words into spans. Pictures are taken out and
// returned in order, with the words before each left in place.
func (l *layer) inlines(in []prose.Inline, lk look, pictures *[]prose.Inline) []span {
	var out []span
	l.appendInlines(&out, in, lk, pictures)
	return out
}

func (l *layer) appendInlines(out *[]span, in []prose.Inline, lk look, pictures *[]prose.Inline) {
	for _, n := range in {
		switch n.Kind {
		case prose.Text, prose.Raw:
			// A line end within raw words is a space here.
			*out = append(*out, span{lk, flat(n.Text), n.Span})
		case prose.Code:
			code := lk
			if code.style == draw.Regular || code.style == draw.Italic {
				code.style = draw.SemiBold
			}
			*out = append(*out, span{code, flat(n.Text), n.Span})
		case prose.Soft:
			*out = append(*out, span{lk, " ", n.Span})
		case prose.Break:
			*out = append(*out, span{lk, "\n", n.Span})
		case prose.Emphasis:
			l.appendInlines(out, n.Children, slanted(lk), pictures)
		case prose.Strong:
			l.appendInlines(out, n.Children, lk.bolder(), pictures)
		case prose.Strike:
			struck := lk
			struck.strike = true
			l.appendInlines(out, n.Children, struck, pictures)
		case prose.Link:
			l.appendLink(out, n, lk, pictures)
		case prose.Footnote:
			l.appendFootnote(out, n, lk)
		case prose.Image:
			if pictures != nil {
				*pictures = append(*pictures, n)
				continue
			}
			l.appendInlines(out, n.Children, slanted(lk), pictures)
		}
	}
}

// slanted is emphasis: italic, and bold where the words are bold already,
// since there is no bold italic.
func slanted(lk look) look {
	if lk.style == draw.Regular {
		lk.style = draw.Italic
	}
	return lk
}

// appendLink sets the words of a link and, since nobody can click on paper,
// behind them where it leads, unless the words say so.
func (l *layer) appendLink(out *[]span, n prose.Inline, lk look, pictures *[]prose.Inline) {
	linked := lk
	if clickable(n.Target) {
		linked.link = n.Target
	}
	l.appendInlines(out, n.Children, linked, pictures)
	words := strings.TrimSpace(prose.Words(n.Children))
	if bare := strings.TrimPrefix(n.Target, "mailto:"); bare != "" && bare != words && "http://"+words != bare && bare[0] != '#' {
		*out = append(*out, span{lk, " (" + bare + ")", n.Span})
	}
}

// clickable are addresses a reader can follow from a PDF; files of the house
// are not with it.
func clickable(target string) bool {
	for _, scheme := range []string{"http://", "https://", "mailto:"} {
		if len(target) > len(scheme) && strings.EqualFold(target[:len(scheme)], scheme) {
			return true
		}
	}
	return false
}

func (l *layer) appendFootnote(out *[]span, n prose.Inline, lk look) {
	mark := lk
	mark.size = lk.size * 65 / 100
	mark.rise = lk.size * 35 / 100
	mark.plain = true
	if l.footnotes[n.Index] {
		mark.link = "#" + footnoteAnchor(n.Index)
	}
	// A word joiner keeps the mark with its word.
	*out = append(*out, span{mark, string(wordJoiner) + strconv.Itoa(n.Index), n.Span})
}

func footnoteAnchor(index int) string { return "footnote-" + strconv.Itoa(index) }

// flat is text with its line ends as spaces.
func flat(s string) string {
	if strings.ContainsAny(s, "\r\n") {
		return strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ").Replace(s)
	}
	return s
}

// paragraph sets text as lines, two of which never stand alone.
func (l *layer) paragraph(text []span, p place) []atom {
	return l.paragraphOf(l.text.lines(text, p.measure()), p, toLeft)
}

func (l *layer) paragraphOf(lines []line, p place, s side) []atom {
	atoms := make([]atom, len(lines))
	key := l.key()
	role := p.role
	if role == "" {
		role = draw.Paragraph
	}
	for i, ln := range lines {
		base := above(ln.size)
		x := p.x
		if s == toRight {
			x += p.width - ln.width
		}
		atoms[i] = atom{
			height: base + below(ln.size), base: base, decor: p.decor,
			glued: len(lines) > 1 && (i == 0 || i == len(lines)-2),
			runs:  []run{{key: key, role: role, items: ln.put(nil, x, base)}},
		}
		if n := len(lines); n == 3 && i == 1 {
			// Two and one would leave a line alone.
			atoms[i].glued = true
		}
	}
	return atoms
}

// blocks sets prose. Every block but the first stands a little below the one
// before.
func (l *layer) blocks(f *flow, list []prose.Block, p place) {
	for i := range list {
		from := len(f.atoms)
		l.block(f, &list[i], p)
		if i > 0 && len(f.atoms) > from {
			f.atoms[from].above += paragraphGap
		}
		if len(f.atoms) > from && i+1 < len(list) && announces(&list[i]) {
			f.glueLast()
		}
	}
}

// announces says whether a paragraph leads to what follows: its last line is
// then never left alone at the foot of a page.
func announces(b *prose.Block) bool {
	return b.Kind == prose.Paragraph && strings.HasSuffix(strings.TrimSpace(prose.Words(b.Inlines)), ":")
}

func (l *layer) block(f *flow, b *prose.Block, p place) {
	switch b.Kind {
	case prose.Paragraph:
		l.words(f, b.Inlines, p)
	case prose.Heading:
		l.heading(f, b, p)
	case prose.List:
		l.list(f, b, p)
	case prose.Item:
		l.item(f, b, p, "•")
	case prose.Quote:
		l.quote(f, b, p)
	case prose.CodeBlock:
		l.code(f, b.Text, b.Span, p, true)
	case prose.RawBlock:
		l.code(f, b.Text, b.Span, p, false)
	case prose.Table:
		l.table(f, b, p)
	case prose.Rule:
		f.add(atom{
			height: draw.MM(1.4), above: draw.MM(.6), decor: p.decor, glued: true,
			runs: []run{across(p.x, p.width, draw.MM(.7), draw.MM(.2))},
		})
	case prose.FootnoteText:
		l.footnote(f, b, p)
	}
}

// words sets a paragraph, its pictures below it.
func (l *layer) words(f *flow, in []prose.Inline, p place) {
	from := len(f.atoms)
	var pictures []prose.Inline
	text := l.inlines(in, p.look, &pictures)
	f.add(l.paragraph(text, p)...)
	for i, pic := range pictures {
		if i == 0 && len(f.atoms) > from {
			// The first picture stays with the words it belongs to.
			f.glueLast()
		}
		l.inlinePicture(f, pic, p)
	}
}

func (l *layer) heading(f *flow, b *prose.Block, p place) {
	from := len(f.atoms)
	h := p
	h.look = bold(headingSize(b.Level))
	h.role = draw.Heading3
	l.words(f, b.Inlines, h)
	if len(f.atoms) > from {
		f.atoms[from].above += draw.MM(1.5)
		f.glue(from)
	}
}

func headingSize(level int) draw.Unit {
	switch {
	case level <= 1:
		return headSize
	case level == 2:
		return draw.Pt(12)
	}
	return draw.Pt(10.5)
}

func (l *layer) list(f *flow, b *prose.Block, p place) {
	for i := range b.Blocks {
		mark := "•"
		if p.depth%2 == 1 {
			mark = "–"
		}
		if b.Ordered {
			mark = strconv.Itoa(b.Start+i) + "."
		}
		from := len(f.atoms)
		l.item(f, &b.Blocks[i], p, mark)
		if i > 0 && len(f.atoms) > from {
			f.atoms[from].above += lineGap
			if !b.Tight {
				f.atoms[from].above += paragraphGap - lineGap
			}
		}
	}
}

// item sets an entry of a list with its mark hanging before it.
func (l *layer) item(f *flow, b *prose.Block, p place, mark string) {
	wide := hang
	if w := p.look.width(mark) + draw.MM(1.2); b.Task == "" && w > wide {
		wide = min(w, p.width/3)
	}
	inner := p.in(wide)
	inner.role = draw.ListItem
	if inner.x == p.x {
		// No room to hang the mark in: it stands before the words.
		l.marked(f, b, inner, mark)
		return
	}
	from := len(f.atoms)
	l.itemBlocks(f, b, inner)
	f.lineAt(from, p.look.size, p.decor)
	first := &f.atoms[from]
	base := first.base
	if b.Task != "" {
		first.runs = append([]run{tickBox(p.x, base, b.Task != " ")}, first.runs...)
		return
	}
	items := l.one(mark, p.look).put(nil, p.x, base)
	if len(first.runs) > 0 && first.runs[0].role == draw.ListItem {
		first.runs[0].items = append(items, first.runs[0].items...)
		return
	}
	first.runs = append([]run{{key: l.key(), role: draw.ListItem, items: items}}, first.runs...)
}

// lineAt sees to it that the atom at an index is a line of text for a mark to
// hang on: before a picture or a rule, and where nothing stands, an empty one.
func (f *flow) lineAt(i int, size draw.Unit, decor []*decor) {
	if i < len(f.atoms) && f.atoms[i].base > 0 {
		return
	}
	empty := atom{height: leading(size), base: above(size), decor: decor, glued: i < len(f.atoms)}
	f.atoms = slices.Insert(f.atoms, i, empty)
}

// marked is an entry too deep to hang its mark: the mark leads its words.
func (l *layer) marked(f *flow, b *prose.Block, p place, mark string) {
	if b.Task == " " {
		mark = "[ ]"
	} else if b.Task != "" {
		mark = "[x]"
	}
	lead := []prose.Inline{{Kind: prose.Text, Text: mark + " "}}
	if len(b.Inlines) > 0 {
		l.words(f, append(lead, b.Inlines...), p)
		l.blocks(f, b.Blocks, p)
		return
	}
	if len(b.Blocks) > 0 && b.Blocks[0].Kind == prose.Paragraph {
		l.words(f, append(lead, b.Blocks[0].Inlines...), p)
		l.blocks(f, b.Blocks[1:], p)
		return
	}
	l.words(f, lead, p)
	l.blocks(f, b.Blocks, p)
}

func (l *layer) itemBlocks(f *flow, b *prose.Block, p place) {
	if len(b.Inlines) > 0 {
		l.words(f, b.Inlines, p)
	}
	for i := range b.Blocks {
		from := len(f.atoms)
		l.block(f, &b.Blocks[i], p)
		if len(f.atoms) > from && (i > 0 || len(b.Inlines) > 0) {
			gap := lineGap
			if b.Blocks[i].Kind != prose.List && !b.Tight {
				gap = paragraphGap
			}
			f.atoms[from].above += gap
		}
	}
}

// one is a short text on one line.
func (l *layer) one(text string, lk look) line {
	lines := l.text.lines(spans(lk, text), measure{width: 1 << 40})
	if len(lines) == 0 {
		return line{size: lk.size}
	}
	return lines[0]
}

func (l *layer) quote(f *flow, b *prose.Block, p place) {
	inner := p.in(draw.MM(4))
	if inner.x > p.x {
		bar := &decor{bar: true, x: p.x + draw.MM(.8), stroke: draw.MM(.5)}
		inner.decor = append(p.decor[:len(p.decor):len(p.decor)], bar)
	}
	l.blocks(f, b.Blocks, inner)
	if len(b.Inlines) > 0 {
		l.words(f, b.Inlines, inner)
	}
}

// code sets text line by line with its spaces, in a thin frame where framed.
func (l *layer) code(f *flow, text string, at source.Span, p place, framed bool) {
	text = strings.TrimRight(strings.ReplaceAll(text, "\r\n", "\n"), "\n")
	pad := draw.MM(1.2)
	if framed {
		box := &decor{x: p.x, width: p.width, stroke: draw.MM(.2), pad: pad}
		p.decor = append(p.decor[:len(p.decor):len(p.decor)], box)
		p.x += draw.MM(2)
		p.width -= draw.MM(4)
	}
	from := len(f.atoms)
	lines := l.text.lines([]span{{p.look, text, at}}, measure{width: p.width, keep: true})
	f.add(l.paragraphOf(lines, p, toLeft)...)
	if framed && len(f.atoms) > from {
		f.atoms[from].above += pad
		f.add(atom{height: pad})
		if len(lines) <= codeWhole {
			f.whole(from)
		}
	}
}

func (l *layer) footnote(f *flow, b *prose.Block, p place) {
	from := len(f.atoms)
	p.look = p.look.at(smallSize)
	l.item(f, &prose.Block{Kind: prose.Item, Blocks: b.Blocks, Inlines: b.Inlines, Tight: true}, p, strconv.Itoa(b.Index))
	if len(f.atoms) > from && len(f.atoms[from].runs) > 0 && !l.anchored[b.Index] {
		l.anchored[b.Index] = true
		first := &f.atoms[from]
		anchor := draw.Anchor{At: draw.Point{X: p.x}, Name: footnoteAnchor(b.Index)}
		first.runs[0].items = append([]draw.Item{anchor}, first.runs[0].items...)
		for i := from; i < len(f.atoms); i++ {
			for k := range f.atoms[i].runs {
				if r := &f.atoms[i].runs[k]; r.role == draw.ListItem {
					r.role = draw.Note
				}
			}
		}
	}
}
