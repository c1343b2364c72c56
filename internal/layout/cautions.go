package layout

import (
	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/signs"
	"coldwright/internal/trade"
	"coldwright/internal/typeface"
)

var (
	panelGap   = draw.MM(6)
	panelStrip = draw.MM(8)
	panelSign  = draw.MM(12.5)
	// panelHigh is the height from which on a caution takes a panel of the
	// whole width, panelMost that from which on it is no panel but a line,
	// which can be cut at a page's end.
	panelHigh = draw.MM(42)
	panelMost = draw.MM(75)
	lineSign  = draw.MM(7)
	lineText  = draw.MM(9.2)
)

// cautions sets the strongest as panels, two side by side, and the rest as
// lines.
func (l *layer) cautions(c sheet.Cautions) flow {
	var f flow
	lines := make([]sheet.CautionNote, 0, len(c.Panels)+len(c.Lines))
	wide := (l.width - panelGap) / 2
	var row []panel
	flush := func() {
		if len(row) == 0 {
			return
		}
		width := wide
		if len(row) == 1 && len(c.Panels) > 1 {
			// Beside it would be nothing.
			width = l.width
			row[0].inner = l.panelText(row[0].note, width)
		}
		a := l.panelRow(row, width)
		if len(f.atoms) > 0 {
			a.above = draw.MM(3)
		}
		f.add(a)
		row = nil
	}
	for _, n := range c.Panels {
		inner := l.panelText(n, wide)
		switch {
		case heightOf(inner) <= panelHigh:
			if row = append(row, panel{n, inner}); len(row) == 2 {
				flush()
			}
		case heightOf(l.panelText(n, l.width)) <= panelMost:
			flush()
			row = append(row, panel{note: n})
			flush()
		default:
			lines = append(lines, n)
		}
	}
	flush()
	lines = append(lines, c.Lines...)
	for i, n := range lines {
		from := len(f.atoms)
		l.cautionLine(&f, n)
		if len(f.atoms) > from && from > 0 {
			gap := draw.MM(.6)
			if i == 0 {
				gap = draw.MM(2.4)
			}
			f.atoms[from].above += gap
		}
	}
	return f
}

// panel is a caution set for its frame.
type panel struct {
	note  sheet.CautionNote
	inner []atom
}

// panelText is what stands under the signal word of a panel of a width.
func (l *layer) panelText(n sheet.CautionNote, width draw.Unit) []atom {
	p := place{x: draw.MM(2.8), width: width - draw.MM(5.6), look: body(), chars: 95}
	if signs.Has(n.Sign) {
		p.x = draw.MM(18.2)
		p.width = width - p.x - draw.MM(2.8)
	}
	var f flow
	f.add(l.paragraph(spans(bold(bodySize), n.Title), p)...)
	f.add(l.paragraph(spans(body(), n.Words), p)...)
	l.blocks(&f, n.Rich, p)
	return f.atoms
}

// panelRow sets panels side by side in frames of one height.
func (l *layer) panelRow(panels []panel, width draw.Unit) atom {
	padTop, padBottom := draw.MM(1.9), draw.MM(2)
	var height draw.Unit
	for _, p := range panels {
		h := heightOf(p.inner)
		if signs.Has(p.note.Sign) {
			h = max(h, panelSign)
		}
		height = max(height, panelStrip+padTop+h+padBottom)
	}
	a := atom{height: height}
	for i, p := range panels {
		x := l.left + draw.Unit(i)*(width+panelGap)
		a.runs = append(a.runs, l.panelFrame(p.note, x, width, height)...)
		a.runs = append(a.runs, stacked(p.inner, x, panelStrip+padTop)...)
	}
	return a
}

// panelFrame is a panel without its text: strip with signal word, frame, sign.
func (l *layer) panelFrame(n sheet.CautionNote, x, width, height draw.Unit) []run {
	signal := signalOf(n.Signal)
	look := signals[signal]
	frame := draw.MM(.45)
	ground := run{role: draw.Artifact, items: []draw.Item{
		box(x, 0, width, panelStrip, look.fill),
		draw.Rect{At: pt(x+frame/2, frame/2), Width: width - frame, Height: height - frame, Stroke: frame},
		draw.Line{From: pt(x, panelStrip), To: pt(x+width, panelStrip), Width: frame},
	}}
	at := x + draw.MM(2.8)
	if look.alert {
		size := draw.MM(6.8)
		// The triangle takes the ink of the word and shows the strip's colour
		// as its mark.
		ground.items = append(ground.items, alertSolid(at, panelStrip-draw.MM(1), size, look.text, look.fill)...)
		at += size + draw.MM(2.2)
	}
	lk := panelWord(look.text)
	base := (panelStrip + typeface.Get(draw.Bold).CapHeight(lk.size)) / 2
	runs := []run{ground, {key: l.key(), role: draw.Paragraph, items: l.one(l.fixed(signal.String()), lk).put(nil, at, base)}}
	if signs.Has(n.Sign) {
		runs = append(runs, l.signRun(n.Sign, x+draw.MM(2.9), panelStrip+draw.MM(2), panelSign))
	}
	return runs
}

// panelWord is the signal word of a panel.
func panelWord(ink draw.Ink) look {
	lk := bold(draw.Pt(17.5))
	lk.ink, lk.spacing = ink, lk.size*3/100
	return lk
}

func (l *layer) signRun(code string, x, y, size draw.Unit) run {
	return run{role: draw.Figure, alt: l.fixed("%s (after ISO 7010 %s)", l.fixed(signs.Meaning(code)), code), items: signs.Draw(code, x, y, size)}
}

// cautionLine is one caution over the whole width: sign, signal word, title
// and words.
func (l *layer) cautionLine(f *flow, n sheet.CautionNote) {
	from := len(f.atoms)
	p := place{x: l.left + lineText, width: l.width - lineText, look: body(), chars: 110}
	text := l.signalText(n.Signal, n.Title, p.look)
	rest := n.Rich
	if n.Words != "" {
		text = append(text, span{look: p.look, text: n.Words})
	} else if len(rest) > 0 && rest[0].Kind == prose.Paragraph && len(shown(rest[0].Inlines)) == 0 {
		text = append(text, l.inlines(rest[0].Inlines, p.look, nil)...)
		rest = rest[1:]
	}
	f.add(l.paragraph(text, p)...)
	if len(rest) > 0 {
		f.glueLast()
		inner := len(f.atoms)
		l.blocks(f, rest, p)
		if len(f.atoms) > inner {
			f.atoms[inner].above += lineGap
		}
	}
	// The lines stand at the middle of the sign.
	least := lineSign
	mark := l.signRun(n.Sign, l.left, 0, lineSign)
	if !signs.Has(n.Sign) {
		least = draw.MM(4.6)
		signal := signalOf(n.Signal)
		mark = run{}
		if signals[signal].alert {
			mark = run{role: draw.Artifact, items: alert(l.left+draw.MM(1.2), draw.MM(4.3), draw.MM(4.6), draw.Black, signals[signal].fill)}
		}
	}
	if len(f.atoms) == from {
		return
	}
	first := &f.atoms[from]
	if spare := least - heightOf(f.atoms[from:]); spare > 0 {
		first.height += spare / 2
		for i := range first.runs {
			first.runs[i].items = movedRuns(first.runs[i:i+1], 0, spare/2)[0].items
		}
		f.atoms[len(f.atoms)-1].height += spare - spare/2
	}
	if len(mark.items) > 0 {
		first.runs = append([]run{mark}, first.runs...)
	}
	// A sign must not hang below its own words onto the next page.
	for i, h := from, first.height; i < len(f.atoms)-1 && h < least; i++ {
		f.atoms[i].glued = true
		h += f.atoms[i+1].height
	}
}

// signalText is the signal word with the title of the hazard.
func (l *layer) signalText(signal trade.Signal, title string, lk look) []span {
	heavy := lk.bolder()
	text := spans(heavy, l.fixed(signalOf(signal).String())+" ")
	if title != "" {
		// The title is a name, so a full stop parts it from the words.
		if c := title[len(title)-1]; c != '.' && c != '!' && c != '?' && c != ':' {
			title += "."
		}
		text = append(text, span{look: heavy, text: title + " "})
	}
	return text
}

// alertSolid is the alert triangle in one ink, its mark in the ground's.
func alertSolid(x, y, size draw.Unit, ink, ground draw.Ink) []draw.Item {
	items := alert(x, y, size, ink, ink)
	for _, i := range []int{2, 3} {
		p := items[i].(draw.Path)
		fill := ground
		p.Fill = &fill
		items[i] = p
	}
	return items
}
