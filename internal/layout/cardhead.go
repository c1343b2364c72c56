package layout

import (
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/signs"
	"coldwright/internal/trade"
)

// head is the top of a face without its identity: what the card is for, which
// marks it uses, and the guidance sentences.
func (c *cardSetter) head() slab {
	var s slab
	room := c.fu.titleRoom()
	title := flat(c.sheet.Title)
	size := max(draw.Pt(16), c.body*4/3)
	if c.card.Heading != "" {
		s.grow(0, c.lines(spans(bold(max(draw.Pt(18), c.body*10/7)), c.card.Heading), c.left, room, draw.Heading1))
		if c.wide() {
			s.grow(0, c.lines(spans(bold(c.body), title), c.left, room, draw.Paragraph))
		}
	} else {
		s.grow(0, c.linesOf(c.titleLines(title, size, room), c.left, draw.Heading1))
	}
	if c.card.Of != "" {
		s.grow(0, c.lines(spans(regular(max(draw.Pt(12), c.body)), c.card.Of), c.left, room, draw.Paragraph))
	}
	c.legend(&s, room)
	s.height = max(s.height, c.fu.identity.clear())
	for _, words := range c.sheet.Standing {
		s.grow(c.mm(.6), c.lines(spans(look{style: draw.SemiBold, size: c.body}, flat(words)), c.left, c.width, draw.Paragraph))
	}
	return s
}

// titleLines are a title on one line if a little less than its size does it,
// else on two, else on as many as it takes in the size of the text.
func (c *cardSetter) titleLines(title string, size, room draw.Unit) []line {
	at := func(size draw.Unit) []line {
		return c.text.lines(spans(bold(size), title), measure{width: room})
	}
	for try := size; try >= max(draw.Pt(14), c.body*11/10); try -= draw.Pt(.5) {
		if lines := at(try); len(lines) == 1 {
			return lines
		}
	}
	lines := at(size)
	for len(lines) > 2 && size > c.body {
		size = max(size-draw.Pt(1), c.body)
		lines = at(size)
	}
	return lines
}

// legend says what the marks stand for, with the guidance behind it or, where
// that is too long, below. The guidance alone may be smaller than the text.
func (c *cardSetter) legend(s *slab, room draw.Unit) {
	guide := func(size draw.Unit) line { return c.one(c.card.Guidance, regular(size)) }
	size := c.body
	for size > identitySize && guide(size).width > room {
		size = max(size-draw.Pt(.5), identitySize)
	}
	if len(c.steps.Steps) < 2 {
		s.grow(0, c.lines(spans(regular(size), c.card.Guidance), c.left, room, draw.Paragraph))
		return
	}
	hang := c.hang()
	words := c.one(c.fixed("move on when"), regular(c.body))
	var k slab
	k.height = c.pitch(c.body)
	base := k.height - sinks(c.body)
	k.runs = []run{c.mark(forward, c.left, base), {key: c.key(), role: draw.Paragraph, items: words.put(nil, c.left+hang, base)}}
	at := c.left + hang + words.width + c.mm(4)
	for try := c.body; try >= identitySize; try -= draw.Pt(.5) {
		if g := guide(try); at+g.width <= c.left+room {
			k.runs = append(k.runs, run{key: c.key(), role: draw.Paragraph, items: g.put(nil, at, base)})
			s.grow(0, k)
			return
		}
	}
	s.grow(0, k)
	s.grow(0, c.lines(spans(regular(size), c.card.Guidance), c.left, room, draw.Paragraph))
}

// hang is the room marks stand in before their words.
func (c *cardSetter) hang() draw.Unit { return c.mm(4.8) }

// mark is a mark of the sheet at the size of the card's text.
func (c *cardSetter) mark(of func(x, base draw.Unit) run, x, base draw.Unit) run {
	r := of(x, base)
	r.items = grown(r.items, pt(x, base), float64(c.body)/float64(draw.Pt(12)))
	return r
}

// grown are shapes at another size, about a point that stays.
func grown(items []draw.Item, about draw.Point, by float64) []draw.Item {
	scale := func(u draw.Unit) draw.Unit { return draw.Unit(math.Round(float64(u) * by)) }
	at := func(p draw.Point) draw.Point {
		return pt(about.X+scale(p.X-about.X), about.Y+scale(p.Y-about.Y))
	}
	out := make([]draw.Item, len(items))
	for i, it := range items {
		if v, ok := it.(draw.Path); ok {
			segs := make([]draw.Seg, len(v.Segs))
			for k, s := range v.Segs {
				segs[k] = draw.Seg{Op: s.Op, P: [3]draw.Point{at(s.P[0]), at(s.P[1]), at(s.P[2])}}
			}
			v.Segs, v.Stroke = segs, scale(v.Stroke)
			it = v
		}
		out[i] = it
	}
	return out
}

// everyFace is what stands on every face between head and steps: the panels
// and the facts all steps share.
func (c *cardSetter) everyFace() slab {
	s := c.panelSet(c.panels.Panels)
	if len(c.steps.Shared) > 0 {
		s.grow(c.mm(1), c.lines(append(spans(bold(c.body), c.fixed("All steps:")+" "), c.labelled(c.steps.Shared, ", ")...), c.left, c.width, draw.Paragraph))
	}
	return s
}

// labelled are facts with their labels in bold, one behind the other.
func (c *cardSetter) labelled(facts []sheet.Labelled, apart string) []span {
	var text []span
	for i, f := range facts {
		if i > 0 {
			text = append(text, span{look: regular(c.body), text: apart})
		}
		if f.Label != "" {
			text = append(text, span{look: bold(c.body), text: f.Label + " "})
		}
		text = append(text, span{look: regular(c.body), text: f.Words})
	}
	return text
}

// panelSet sets the panels side by side where a card is wide enough, else one
// below the other.
func (c *cardSetter) panelSet(panels []sheet.CautionPanel) slab {
	var s slab
	if len(panels) == 0 {
		return s
	}
	var strips draw.Unit
	for _, p := range panels {
		strips += c.stripWidth(p) + c.mm(2.2)
	}
	if c.width < c.mm(150) || strips > c.width && c.sheet.Words.Second() != nil {
		for _, p := range panels {
			s.grow(c.mm(1), c.panel(p, c.left, c.width, 0))
		}
		return s
	}
	gap := c.mm(2.2)
	widths := c.panelWidths(panels, c.width-gap*draw.Unit(len(panels)-1))
	var height draw.Unit
	for i, p := range panels {
		height = max(height, c.panel(p, 0, widths[i], 0).height)
	}
	x := c.left
	for i, p := range panels {
		s.runs = append(s.runs, c.panel(p, x, widths[i], height).runs...)
		x += widths[i] + gap
	}
	s.height = height
	return s
}

// panelWidths share a width among panels so that the highest is as low as can
// be: room goes to the highest from whichever stays lowest for it.
func (c *cardSetter) panelWidths(panels []sheet.CautionPanel, width draw.Unit) []draw.Unit {
	n := len(panels)
	widths, least := make([]draw.Unit, n), make([]draw.Unit, n)
	natural, words := make([]float64, n), make([][]part, n)
	var sum float64
	spare := width
	for i, p := range panels {
		words[i] = c.text.parts(c.panelWords(p))
		var wide draw.Unit
		for _, w := range words[i] {
			wide += w.width + w.gap
		}
		natural[i] = float64(max(wide, 1))
		sum += natural[i]
		least[i] = min(c.stripWidth(p), width/draw.Unit(n))
		spare -= least[i]
	}
	for i := range widths {
		widths[i] = least[i] + draw.Unit(float64(spare)*natural[i]/sum)
	}
	height := func(i int) draw.Unit {
		inner := widths[i] - 2*c.panelPad()
		h := c.pitch(c.body) * draw.Unit(countLines(words[i], inner))
		if rest := c.panelRest(panels[i], 0, inner); rest.height > 0 {
			h += rest.height
		}
		return h
	}
	step := draw.MM(1)
	for range 150 {
		high := 0
		for i := range panels {
			if height(i) > height(high) {
				high = i
			}
		}
		best, low := height(high), -1
		for i := range panels {
			if i == high || widths[i]-step < least[i] {
				continue
			}
			widths[i] -= step
			if h := height(i); h < best {
				best, low = h, i
			}
			widths[i] += step
		}
		if low < 0 {
			break
		}
		widths[low] -= step
		widths[high] += step
	}
	var used draw.Unit
	for _, w := range widths {
		used += w
	}
	widths[0] += width - used
	return widths
}

// panelPad is the room between the frame of a panel and its words.
func (c *cardSetter) panelPad() draw.Unit { return c.mm(1.6) }

// panelWords are the words of a panel in one paragraph, without those the
// author set as more than one.
func (c *cardSetter) panelWords(p sheet.CautionPanel) []span {
	text := c.panelText(p)
	if second := c.panelSecond(p); len(second) > 0 {
		// Its room; it is set by itself.
		text = append(append(text, span{look: regular(c.body), text: " "}), second...)
	}
	return text
}

// panelSecond are the words of a panel in the language beside that of the house.
func (c *cardSetter) panelSecond(p sheet.CautionPanel) []span {
	var text []span
	for _, n := range p.Notes {
		if n.Second == "" {
			continue
		}
		if len(text) > 0 {
			text = append(text, span{look: regular(c.body), text: between(text[len(text)-1].text)})
		}
		text = append(text, spans(regular(c.body), capital(n.Second))...)
	}
	return text
}

// panelText are the words of a panel, one caution behind the other.
func (c *cardSetter) panelText(p sheet.CautionPanel) []span {
	var text []span
	for _, n := range p.Notes {
		words := n.Words
		var own []span
		if words == "" && len(n.Rich) > 0 && n.Rich[0].Kind == prose.Paragraph {
			own = c.inlines(n.Rich[0].Inlines, regular(c.body), nil)
		} else {
			own = spans(regular(c.body), words)
		}
		if len(own) == 0 {
			continue
		}
		if len(text) > 0 {
			text = append(text, span{look: regular(c.body), text: between(text[len(text)-1].text)})
		}
		// Each begins as a sentence does.
		own[0].text = capital(own[0].text)
		text = append(text, own...)
	}
	return text
}

// between is what stands between two cautions in one panel, the first of which
// ends with these words: room after a sentence, so that no dot begins a line.
func between(before string) string {
	if ended(before) {
		return "\u00a0 "
	}
	return " · "
}

// apartOnCard puts the same between the cautions of a step.
func apartOnCard(words []prose.Inline) []prose.Inline {
	words = slices.Clone(words)
	for i := range words {
		if i > 0 && apart(words[i]) {
			words[i].Text = between(words[i-1].Text)
		}
	}
	return words
}

// ended says whether words end a sentence.
func ended(text string) bool {
	text = strings.TrimRight(text, " ")
	return text != "" && strings.ContainsRune(".!?:;", rune(text[len(text)-1]))
}

// capital is the text with its first letter large. The micro sign is no letter:
// its capital would be another unit.
func capital(text string) string {
	r, size := utf8.DecodeRuneInString(text)
	if size == 0 || r == 'µ' {
		return text
	}
	return string(unicode.ToUpper(r)) + text[size:]
}

// panelRest is what an author set below the first paragraph of a caution.
func (c *cardSetter) panelRest(p sheet.CautionPanel, x, width draw.Unit) slab {
	var s slab
	for _, n := range p.Notes {
		rest := n.Rich
		if len(rest) > 0 && rest[0].Kind == prose.Paragraph {
			rest = rest[1:]
		}
		s.grow(c.mm(.6), c.proseSlab(rest, x, width))
	}
	return s
}

// proseSlab is an author's prose as one piece.
func (c *cardSetter) proseSlab(blocks []prose.Block, x, width draw.Unit) slab {
	if len(blocks) == 0 {
		return slab{}
	}
	var f flow
	c.blocks(&f, blocks, place{x: x, width: width, look: regular(c.body)})
	return slab{height: f.height(), runs: stacked(f.atoms, 0, 0)}
}

func (c *cardSetter) strip() draw.Unit     { return c.mm(6.3) }
func (c *cardSetter) stripSign() draw.Unit { return c.mm(5.6) }

// stripWidth is the least width of a panel: its signal word with one sign.
func (c *cardSetter) stripWidth(p sheet.CautionPanel) draw.Unit {
	w := c.mm(4) + c.signalWord(p.Signal, 0).width
	if signals[signalOf(p.Signal)].alert {
		w += c.mm(6.5)
	}
	if len(panelSigns(p)) > 0 {
		w += c.stripSign() + c.mm(2)
	}
	return w
}

// signalWord is the word of a strip, as large as fits into a room but no smaller
// than the text: in two languages it can be too long for its panel.
func (c *cardSetter) signalWord(s trade.Signal, room draw.Unit) line {
	lk := bold(c.body * 3 / 2)
	for {
		lk.ink, lk.spacing = signals[signalOf(s)].text, lk.size*3/100
		word := c.one(c.fixed(signalOf(s).String()), lk)
		if word.width <= room || lk.size <= c.body || c.sheet.Words.Second() == nil {
			return word
		}
		lk.size = max(c.body, lk.size-draw.Pt(.5))
	}
}

// panelSigns are the signs of a panel's cautions, each once.
func panelSigns(p sheet.CautionPanel) []string {
	var codes []string
	seen := map[string]bool{}
	for _, n := range p.Notes {
		if signs.Has(n.Sign) && !seen[n.Sign] {
			seen[n.Sign] = true
			codes = append(codes, n.Sign)
		}
	}
	return codes
}

// panel is one panel: a strip with the signal word and the signs, the words
// below. It is at least as high as asked for.
func (c *cardSetter) panel(p sheet.CautionPanel, x, width, least draw.Unit) slab {
	signal := signalOf(p.Signal)
	look := signals[signal]
	frame, strip := draw.MM(.45), c.strip()
	pad := c.panelPad()
	inner := c.lines(c.panelText(p), x+pad, width-2*pad, draw.Paragraph)
	inner.grow(c.mm(.6), c.panelRest(p, x+pad, width-2*pad))
	if second := c.panelSecond(p); len(second) > 0 {
		inner.grow(c.mm(.8), c.lines(second, x+pad, width-2*pad, draw.Paragraph))
	}
	height := max(least, strip+c.mm(.5)+inner.height+c.mm(.9))
	s := slab{height: height}
	ground := run{role: draw.Artifact, items: []draw.Item{
		box(x, 0, width, strip, look.fill),
		draw.Rect{At: pt(x+frame/2, frame/2), Width: width - frame, Height: height - frame, Stroke: frame},
		draw.Line{From: pt(x, strip), To: pt(x+width, strip), Width: frame},
	}}
	at := x + c.mm(1.6)
	if look.alert {
		size := c.mm(5.4)
		ground.items = append(ground.items, alertSolid(at, strip-c.mm(.8), size, look.text, look.fill)...)
		at += size + c.mm(1.6)
	}
	word := c.signalWord(p.Signal, x+width-at-c.mm(1.6))
	base := (strip + caps(c.body*3/2)) / 2
	s.runs = append(s.runs, ground, run{key: c.key(), role: draw.Paragraph, items: word.put(nil, at, base)})
	// As many signs as there is room for; their words stand below.
	// They stand in the order of the words, so that eye and text go one way.
	sign, gap, codes := c.stripSign(), c.mm(.8), panelSigns(p)
	room := width - (at - x) - word.width - c.mm(1.5)
	for len(codes) > 0 && draw.Unit(len(codes))*(sign+gap) > room {
		codes = codes[:len(codes)-1]
	}
	var row []run
	signX := x + width - draw.Unit(len(codes))*(sign+gap)
	for _, code := range codes {
		row = append(row, c.signRun(code, signX, (strip-sign)/2, sign))
		signX += sign + gap
	}
	s.runs = append(s.runs, row...)
	s.runs = append(s.runs, movedRuns(inner.runs, 0, strip+c.mm(.5))...)
	return s
}

// stopBar is the one solid black bar of a face.
func (c *cardSetter) stopBar() slab {
	var s slab
	if c.halts == "" {
		return s
	}
	size := c.body * 4 / 3
	white := func(size draw.Unit) look {
		lk := bold(size)
		lk.ink = draw.White
		return lk
	}
	word := white(size)
	word.spacing = size * 4 / 100
	sign := c.one(c.fixed("STOP"), word)
	r := c.mm(2.7)
	textX := c.left + c.mm(2.4) + 2*r + c.mm(2) + sign.width + c.mm(4)
	room := c.left + c.width - c.mm(2) - textX
	lines := c.text.lines(spans(white(size), flat(c.halts)), measure{width: room})
	for len(lines) > 1 && size > c.body {
		size = max(size-draw.Pt(1), c.body)
		lines = c.text.lines(spans(white(size), flat(c.halts)), measure{width: room})
	}
	text := c.linesOf(lines, textX, draw.Paragraph)
	s.height = max(c.mm(8), text.height+c.mm(2.4))
	mid := s.height / 2
	middle := pt(c.left+c.mm(2.4)+r, mid)
	s.runs = append(s.runs, run{role: draw.Artifact, items: []draw.Item{
		box(c.left, 0, c.width, s.height, draw.Black),
		filled(draw.White, octagon(middle, r)),
		filled(draw.Black, octagon(middle, r*82/100)),
	}})
	s.runs = append(s.runs, run{key: c.key(), role: draw.Paragraph, items: sign.put(nil, c.left+c.mm(2.4)+2*r+c.mm(2), mid+caps(sign.size)/2)})
	// The middle of the capitals stands in the middle of the bar.
	first, last := c.pitch(size)-sinks(size)-caps(size), text.height-sinks(size)
	down := mid - (first+last)/2
	s.runs = append(s.runs, movedRuns(text.runs, 0, down)...)
	return s
}

// surfaceLines are a title and its surface behind a dot; where that would begin a
// line of its own, it does so without the dot.
func (c *cardSetter) surfaceLines(title []span, surface string, room draw.Unit) []line {
	alone := c.text.lines(title, measure{width: room})
	if surface == "" {
		return alone
	}
	small := regular(c.body)
	both := c.text.lines(append(slices.Clone(title), span{look: small, text: " ·" + string(noBreakSpace) + surface}), measure{width: room})
	if len(both) == len(alone) {
		return both
	}
	return append(alone, c.text.lines(spans(small, surface), measure{width: room})...)
}
