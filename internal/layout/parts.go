package layout

import (
	"slices"
	"strconv"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
)

// parts sets what a step says, in order. Key points stay with their order,
// and checkpoints with one another and with where to go back to.
func (s *stepSetter) parts() {
	checks, moveOn := -1, -1
	for i, p := range s.st.Parts {
		from := len(s.flow.atoms)
		belongs := ofCheck[p.Kind]
		if !belongs && checks >= 0 {
			s.flow.whole(checks)
			checks = -1
		}
		if belongs && checks < 0 {
			checks = from
		}
		if p.Kind == sheet.MoveOn && moveOn < 0 {
			moveOn = from
		}
		if i > 0 && (!belongs || p.Kind == sheet.MoveOn || s.inLongList(i)) {
			s.cuts = append(s.cuts, from)
		}
		if clings[p.Kind] && i > 0 && from > 0 {
			s.flow.glueLast()
		}
		s.part(p)
		if len(s.flow.atoms) == from {
			continue
		}
		gap := lineGap
		switch {
		case i == 0:
			gap = draw.MM(.9)
		case p.Kind == sheet.MoveOn:
			gap = draw.MM(1.1)
		case p.Kind == sheet.Words || p.Kind == sheet.Shown:
			gap = draw.MM(.8)
		}
		s.flow.atoms[from].above += gap
		if p.Kind == sheet.MoveOn || p.Kind == sheet.Label && i == 0 {
			s.flow.glueLast()
		}
	}
	if checks >= 0 {
		s.flow.whole(checks)
	}
	if s.st.Lamp != nil {
		if moveOn < 0 {
			moveOn = len(s.flow.atoms)
		}
		s.figures = append(s.figures, sideFigure{at: moveOn, atoms: s.lamp(*s.st.Lamp), last: true})
	}
	if n := len(s.flow.atoms); n > 0 {
		s.flow.atoms[n-1].glued = false
		s.flow.atoms[n-1].height += draw.MM(1)
	}
}

// keptChecks is how many checkpoints of a long list stay together at either side
// of a cut.
const keptChecks = 2

// inLongList says whether part i is a checkpoint in the midst of a long list.
func (s *stepSetter) inLongList(i int) bool {
	if s.st.Parts[i].Kind != sheet.Check {
		return false
	}
	count := func(parts []sheet.Part, from, by int) (n int) {
		for k := from; k >= 0 && k < len(parts) && ofCheck[parts[k].Kind]; k += by {
			if parts[k].Kind == sheet.Check {
				n++
			}
		}
		return n
	}
	return count(s.st.Parts, i-1, -1) >= keptChecks && count(s.st.Parts, i, 1) >= keptChecks
}

// ofCheck are the parts a checkpoint is made of.
var ofCheck = map[sheet.PartKind]bool{
	sheet.MoveOn: true, sheet.Check: true, sheet.Method: true, sheet.Right: true,
	sheet.Wrong: true, sheet.GoBack: true, sheet.StopHere: true,
}

// clings are the parts that stay with the one before.
var clings = map[sheet.PartKind]bool{
	sheet.KeyPoint: true, sheet.Because: true, sheet.Method: true, sheet.Right: true,
	sheet.Wrong: true, sheet.GoBack: true,
}

// at is the place of words in the step, behind the hanging column.
func (s *stepSetter) at(by draw.Unit) place {
	return place{
		x: s.x + by, width: s.words - by, look: body(), chars: proseChars,
		pictures: s.st.Pictures, role: draw.Paragraph, depth: 1,
	}
}

func (s *stepSetter) part(p sheet.Part) {
	l := s.layer
	from := len(s.flow.atoms)
	at := s.at(hang)
	switch p.Kind {
	case sheet.Words:
		s.say(nil, p, s.at(0))
	case sheet.Order:
		mark := p.Mark
		if mark == "" {
			mark = "•"
		}
		at.role = draw.ListItem
		s.say(nil, p, at)
		s.hangText(from, mark)
	case sheet.KeyPoint:
		s.labelled(s.fixed("Key point"), bold(bodySize), p)
	case sheet.Because:
		s.labelled(s.fixed("because"), body(), p)
	case sheet.Right:
		s.labelled(s.fixed("Right"), bold(bodySize), p)
	case sheet.Wrong:
		s.labelled(s.fixed("Wrong"), bold(bodySize), p)
	case sheet.Method:
		s.say(spans(body(), s.fixed("How:")+" "), p, at)
	case sheet.Warn:
		at.chars = warnChars
		s.say(l.signalText(p.Signal, "", at.look), s.onLines(p, at), at)
		signal := signalOf(p.Signal)
		if look := signals[signal]; look.alert {
			s.hangRun(from, run{role: draw.Artifact, items: alert(s.x, s.base(from)+draw.MM(.7), draw.MM(4.6), draw.Black, look.fill)})
		}
	case sheet.State:
		lead := spans(bold(bodySize), p.Label)
		at.look = bold(bodySize)
		s.say(lead, p, at)
	case sheet.MoveOn:
		words := p.Words
		if len(words) == 0 {
			words = inlineText(s.fixed("Move on when"))
		}
		at.look = bold(bodySize)
		s.say(nil, sheet.Part{Words: words, Blocks: p.Blocks}, at)
		s.hangRun(from, forward(s.x, s.base(from)))
	case sheet.Check:
		at.role = draw.ListItem
		s.say(nil, p, at)
		s.hangRun(from, tickBox(s.x, s.base(from), false))
	case sheet.StopHere:
		at.role = draw.ListItem
		s.say(nil, p, at)
		s.hangRun(from, halt(s.x, s.base(from)))
	case sheet.GoBack:
		x := s.x
		if p.Own {
			// It stands below the words of its checkpoint, not below its box.
			x, at = s.x+hang, s.at(2*hang)
		}
		s.say(s.goBack(p), sheet.Part{Words: p.Words, Blocks: p.Blocks}, at)
		s.hangRun(from, hooked(x, s.base(from)))
	case sheet.Label:
		s.say(spans(bold(bodySize), joined("", p.Label, " ")), p, at)
	case sheet.Shown:
		s.shown(p)
	}
}

// warnChars is the longest line of a caution at its step: what is said of
// several hazards in a few words each stands better on one.
const warnChars = 95

// onLines gives each of several cautions a line of its own where not all of
// them fit on one.
func (s *stepSetter) onLines(p sheet.Part, at place) sheet.Part {
	if !slices.ContainsFunc(p.Words, apart) {
		return p
	}
	text := append(s.signalText(p.Signal, "", at.look), s.inlines(p.Words, at.look, nil)...)
	if len(s.text.lines(text, at.measure())) < 2 {
		return p
	}
	p.Words = onLines(p.Words)
	return p
}

// onLines are words with each of several cautions on a line of its own.
func onLines(words []prose.Inline) []prose.Inline {
	words = slices.Clone(words)
	for i := range words {
		if apart(words[i]) {
			words[i] = prose.Inline{Kind: prose.Break}
		}
	}
	return words
}

// apart says whether words stand only between two cautions.
func apart(in prose.Inline) bool { return in.Kind == prose.Text && in.Text == sheet.Apart }

// goBack are the words of where to go when a checkpoint fails.
func (s *stepSetter) goBack(p sheet.Part) []span {
	label := p.Label
	if label == "" {
		label = s.fixed("If not, go back to")
	}
	text := spans(bold(bodySize), label+" ")
	if p.Step == 0 {
		return text
	}
	number := bold(headSize)
	number.sits = true
	number.link, number.plain = s.stepLink(p.Step), true
	// The number stays with the words before it.
	text[0].text = label + string(noBreakSpace)
	text = append(text, span{look: number, text: strconv.Itoa(p.Step)})
	title := body()
	title.link, title.plain = number.link, true
	if p.StepTitle != "" {
		text = append(text, span{look: body(), text: " "}, span{look: title, text: p.StepTitle})
	}
	if len(p.Words) > 0 {
		text = append(text, span{look: body(), text: " "})
	}
	return text
}

// say sets the words of a part behind a lead, then its further blocks.
func (s *stepSetter) say(lead []span, p sheet.Part, at place) {
	var pictures []prose.Inline
	text := append(lead, s.inlines(p.Words, at.look, &pictures)...)
	from := len(s.flow.atoms)
	s.flow.add(s.paragraph(text, at)...)
	for _, pic := range pictures {
		s.inlinePicture(&s.flow, pic, at)
	}
	if len(p.Blocks) == 0 {
		return
	}
	inner := len(s.flow.atoms)
	plain := at
	plain.look = body()
	s.blocks(&s.flow, p.Blocks, plain)
	if len(s.flow.atoms) > inner && inner > from {
		s.flow.atoms[inner].above += lineGap
		s.flow.atoms[inner-1].glued = true
	}
}

// keyRoom is the room for the labels of this page; a language may have longer
// ones than "Key point" and "because".
func (s *stepSetter) keyRoom() draw.Unit {
	room := keyColumn
	for _, label := range []string{s.fixed("Key point"), s.fixed("Right"), s.fixed("Wrong")} {
		room = max(room, s.one(label, bold(bodySize)).width+draw.MM(1.5))
	}
	return max(room, s.one(s.fixed("because"), body()).width+draw.MM(1.5))
}

// labelled sets words beside a label, all such words at one place.
func (s *stepSetter) labelled(label string, lk look, p sheet.Part) {
	from := len(s.flow.atoms)
	at := s.at(hang + s.keyRoom())
	s.say(nil, p, at)
	s.flow.lineAt(from, bodySize, nil)
	first := &s.flow.atoms[from]
	items := s.one(label, lk).put(nil, s.x+hang, s.base(from))
	first.runs = append([]run{{key: s.key(), role: draw.Paragraph, items: items}}, first.runs...)
}

// hangText sets a mark in the hanging column of a part.
func (s *stepSetter) hangText(from int, mark string) {
	s.flow.lineAt(from, bodySize, nil)
	first := &s.flow.atoms[from]
	mk := s.one(mark, body())
	items := mk.put(nil, s.x, s.base(from))
	if mk.width > hang-draw.MM(.8) {
		// A long mark ends where the column does.
		items = mk.put(nil, s.x+hang-draw.MM(.8)-mk.width, s.base(from))
	}
	if len(first.runs) > 0 && first.runs[0].role == draw.ListItem {
		first.runs[0].items = append(items, first.runs[0].items...)
		return
	}
	first.runs = append([]run{{key: s.key(), role: draw.ListItem, items: items}}, first.runs...)
}

// base is the baseline of the first line set from an index on.
func (s *stepSetter) base(from int) draw.Unit {
	s.flow.lineAt(from, bodySize, nil)
	return s.flow.atoms[from].base
}

func (s *stepSetter) hangRun(from int, r run) {
	first := &s.flow.atoms[from]
	first.runs = append([]run{r}, first.runs...)
}

// shown puts a picture into the right column, or into the text where it has
// no picture to show or too much to say for a narrow column.
func (s *stepSetter) shown(p sheet.Part) {
	if p.Picture == nil {
		return
	}
	pic := p.Picture
	lk := regular(smallSize)
	at := s.at(hang)
	at.look = lk
	if pic.Image == nil {
		s.flow.add(s.pictureAtoms(nil, spans(lk, pic.Caption), pic.Alt, pic.Target, at, true)...)
		return
	}
	side := place{x: s.right - pictureColumn, width: pictureColumn, look: lk, chars: proseChars}
	if len(s.decor) > 0 {
		side.x, side.width = s.right-pictureColumn+draw.MM(2), pictureColumn-draw.MM(2)
	}
	atoms := s.pictureAtoms(pic.Image, spans(lk, pic.Caption), pic.Alt, pic.Target, side, true)
	if heightOf(atoms) > draw.MM(110) {
		at.width = s.words - hang
		s.flow.add(s.pictureAtoms(pic.Image, spans(lk, pic.Caption), pic.Alt, pic.Target, at, true)...)
		return
	}
	s.figures = append(s.figures, sideFigure{at: len(s.flow.atoms), atoms: atoms})
}

// sideBySide hangs the pictures of the right column onto the atoms they stand
// beside. A picture rises as far as there is room, so that a short step with
// one picture begins and ends with it; the atoms beside it stay on its page.
func (s *stepSetter) sideBySide(start int) {
	if len(s.figures) == 0 {
		return
	}
	f := &s.flow
	gap := draw.MM(2.5)
	next := start
	for _, fig := range s.figures {
		h := heightOf(fig.atoms)
		// Up from its own place by its height, but not above the one before.
		i := min(fig.at, len(f.atoms))
		for room := h; i > next && room > 0 && !fig.last; i-- {
			room -= f.atoms[i-1].above + f.atoms[i-1].height
		}
		i = max(i, next)
		if i >= len(f.atoms) {
			a := atom{above: gap}
			if next == start {
				a.above = draw.MM(1)
			}
			f.add(a)
		}
		// The atoms beside it, and room below them if it is higher.
		need := h + draw.MM(.4) + gap
		k, have := i, f.atoms[i].height
		for ; have < need && k+1 < len(f.atoms); k++ {
			f.atoms[k].glued = true
			have += f.atoms[k+1].above + f.atoms[k+1].height
		}
		if have < need {
			f.atoms[k].height += need - have
		}
		// It is read where the author put it, wherever it is drawn.
		owner := max(min(fig.at-1, k), i)
		var down draw.Unit
		for j := i; j < owner; j++ {
			down += f.atoms[j].height + f.atoms[j+1].above
		}
		f.atoms[owner].runs = append(f.atoms[owner].runs, stacked(fig.atoms, 0, draw.MM(.4)-down)...)
		next = k + 1
	}
}
