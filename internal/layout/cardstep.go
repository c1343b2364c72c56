package layout

import (
	"slices"
	"strconv"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
)

// cardColumns are where the words of a step stand, the same in every step, so
// that values line up down the card. All are from the left of the step.
type cardColumns struct {
	// words is where everything but the number begins.
	words draw.Unit
	// left is the width of the settings and the facts, right where the title
	// and the checkpoints begin; on a narrow card both have the whole width.
	left, right draw.Unit
	// lined is true where the settings stand in columns: the minutes end and
	// the machine begins at these places, the speed ends at the last.
	lined                  bool
	minutes, unit, machine draw.Unit
	speed, speedUnit       draw.Unit
	// machineMost is the widest name of a machine that stands beside its speed.
	machineMost draw.Unit
}

// wideGap parts unbreakable groups of large words on one line.
const wideGap = "\u00a0\u00a0 "

// columns measures all steps.
func (c *cardSetter) columns() cardColumns {
	k := cardColumns{machineMost: c.mm(24)}
	for _, st := range c.steps.Steps {
		k.words = max(k.words, c.one(strconv.Itoa(st.Number), bold(c.numberSize())).width, c.benchWidth(st.Bench))
	}
	k.words += c.mm(2.6)
	if slices.ContainsFunc(c.steps.Steps, func(st sheet.CardStep) bool { return st.Number > 9 }) {
		// "10 800 mesh" would else be read as one figure.
		k.words += c.mm(1.8)
	}
	k.left = c.width - k.words
	if c.wide() {
		k.right = c.width * 475 / 1000
		k.left = k.right - k.words - c.mm(3)
	} else {
		k.right = k.words
	}
	small := regular(c.body)
	// Settings that do not stand in columns are tried a little smaller.
	for c.large = c.settingSize(); ; c.large = max(c.large-draw.Pt(1), leastSetting) {
		if c.lineUp(&k, bold(c.large), small); k.lined {
			return k
		}
		if c.large == leastSetting || c.large < c.body*5/4 {
			break
		}
	}
	c.large = c.settingSize()
	return k
}

// leastSetting is the smallest type of a setting.
var leastSetting = draw.Pt(16)

// lineUp works out where the settings stand in large and small words, if they
// go beside each other.
func (c *cardSetter) lineUp(k *cardColumns, big, small look) {
	gap, space := c.mm(2.6), c.mm(1)
	var minutes, minUnit, machine, alone, speed, speedUnit draw.Unit
	for _, st := range c.steps.Steps {
		g, m := big.width(st.Grade), big.width(st.Minutes)
		if g > 0 {
			g += gap
		}
		minutes = max(minutes, g+m)
		minUnit = max(minUnit, small.width(st.MinutesUnit))
		if w := small.width(st.Machine); w <= k.machineMost && st.Speed != "" {
			machine = max(machine, w)
		} else if w <= k.machineMost {
			alone = max(alone, w)
		}
		speed = max(speed, big.width(st.Speed))
		speedUnit = max(speedUnit, small.width(st.SpeedUnit))
	}
	k.minutes = minutes
	k.unit = k.minutes + space
	k.machine = k.unit + minUnit + gap
	k.speed = k.machine + machine + c.mm(1.8) + speed
	k.speedUnit = k.speed + space
	spare := k.left - max(k.speedUnit+speedUnit, k.machine+alone)
	if most := c.width * 54 / 100; spare < 0 && c.wide() && k.right-spare <= most {
		k.right -= spare
		k.left -= spare
		spare = 0
	}
	k.lined = spare >= 0
	if k.lined && c.wide() {
		// What is over goes between the groups.
		k.minutes += spare / 4
		k.unit += spare / 4
		k.machine += spare / 2
		k.speed += spare
		k.speedUnit += spare
	} else if k.lined {
		between := min(spare/2, c.mm(8))
		k.minutes += between
		k.unit += between
		k.machine += 2 * between
		k.speed += 2 * between
		k.speedUnit += 2 * between
	}
}

// cardStepSetter sets one step.
type cardStepSetter struct {
	*cardSetter
	st sheet.CardStep
	// x and width are the room of the step.
	x, width draw.Unit
	details  []string
	facts    []sheet.Labelled
}

// step sets one step of several.
func (c *cardSetter) step(st sheet.CardStep) slab {
	s := cardStepSetter{cardSetter: c, st: st, x: c.left, width: c.cardWidth(), details: st.Details, facts: st.Facts}
	if st.OnlyIf == "" {
		return s.set()
	}
	pad := c.mm(1.4)
	s.x += pad
	s.width -= 2 * pad
	inner := s.set()
	out := slab{height: inner.height + 2*pad}
	frame := draw.MM(.4)
	out.runs = append(out.runs, run{role: draw.Artifact, items: []draw.Item{draw.Rect{
		At: pt(c.left+frame/2, frame/2), Width: c.cardWidth() - frame, Height: out.height - frame, Stroke: frame,
	}}})
	out.runs = append(out.runs, movedRuns(inner.runs, 0, pad)...)
	return out
}

func (c *cardSetter) cardWidth() draw.Unit { return c.layer.width }

func (s *cardStepSetter) set() slab {
	var out slab
	if s.st.OnlyIf != "" {
		out.grow(0, s.lines(spans(look{style: draw.SemiBold, size: s.body}, s.st.OnlyIf), s.x+s.cols.words, s.width-s.cols.words, draw.Paragraph))
	}
	if len([]rune(s.st.Bench)) > 2 {
		s.details = append(slices.Clone(s.details), s.fixed("bench %s", s.st.Bench))
	}
	settings := s.settings()
	if s.wide() {
		out.grow(0, s.wideStep(settings))
	} else {
		out.grow(0, s.narrowStep(settings))
	}
	for _, w := range s.st.Warnings {
		out.grow(s.mm(.3), s.warning(w, s.x, s.x+s.cols.words, s.width-s.cols.words))
	}
	return out
}

// first is the distance from the top of a step to the baseline of its large
// words.
func (s *cardStepSetter) first() draw.Unit {
	return max(caps(s.numberSize()), caps(s.large)) + s.mm(.2)
}

// wideStep is a step in two columns: settings and facts at the left, title and
// checkpoints at the right.
func (s *cardStepSetter) wideStep(settings slab) slab {
	rightX := s.x + s.cols.right
	rightW := s.width - s.cols.right
	leftX := s.x + s.cols.words
	left := settings
	left.grow(0, s.lines(spans(regular(s.body), s.join()), leftX, s.cols.left, draw.Paragraph))
	right, back := s.title(rightX, rightW)
	right.grow(0, s.checks(rightX, rightW))
	right.grow(0, back)
	factsLeft := s.lines(s.labelled(s.facts, " · "), leftX, s.cols.left, draw.Paragraph)
	factsBelow := s.lines(s.labelled(s.facts, " · "), leftX, s.width-s.cols.words, draw.Paragraph)
	number := s.number()
	out := slab{runs: right.titleFirst(number, left), height: max(left.height, right.height, number.height)}
	if l := left.height + factsLeft.height; max(l, right.height, number.height) < out.height+factsBelow.height {
		out.runs = append(out.runs, movedRuns(factsLeft.runs, 0, left.height)...)
		out.height = max(out.height, l)
		return out
	}
	out.runs = append(out.runs, movedRuns(factsBelow.runs, 0, out.height)...)
	out.height += factsBelow.height
	return out
}

// titleFirst are the runs of a step in the order they are read: the number and
// the title, the bench, the settings and facts, the checkpoints. The first run
// of the slab is the title.
func (right slab) titleFirst(number, left slab) []run {
	head := number.runs[0]
	head.items = append(slices.Clone(head.items), right.runs[0].items...)
	return slices.Concat([]run{head}, number.runs[1:], left.runs, right.runs[1:])
}

// narrowStep is a step in one column.
func (s *cardStepSetter) narrowStep(settings slab) slab {
	x, width := s.x+s.cols.words, s.width-s.cols.words
	number := s.number()
	out, back := s.title(x, width)
	out.runs = out.titleFirst(number, slab{})
	out.grow(s.mm(.2), settings)
	out.grow(0, s.lines(spans(regular(s.body), s.join()), x, width, draw.Paragraph))
	out.grow(0, s.checks(x, width))
	out.grow(0, back)
	out.grow(0, s.lines(s.labelled(s.facts, " · "), x, width, draw.Paragraph))
	out.height = max(out.height, number.height)
	return out
}

// join are the facts in short words.
func (s *cardStepSetter) join() string { return joined(", ", s.details...) }

// number is the large number with the letter of the bench in a box below.
func (s *cardStepSetter) number() slab {
	base := s.first()
	n := s.one(strconv.Itoa(s.st.Number), bold(s.numberSize()))
	out := slab{height: base + s.mm(.6), runs: []run{{key: s.key(), role: draw.Heading2, items: n.put(nil, s.x, base)}}}
	w := s.benchWidth(s.st.Bench)
	if w == 0 {
		return out
	}
	letter := s.one(s.st.Bench, bold(s.body))
	stroke := draw.MM(.3)
	top := base + s.mm(1.5)
	high := caps(s.body) + s.mm(1.6)
	out.runs = append(out.runs,
		run{role: draw.Artifact, items: []draw.Item{draw.Rect{At: pt(s.x+stroke/2, top), Width: w - stroke, Height: high, Stroke: stroke}}},
		run{key: s.key(), role: draw.Paragraph, items: letter.put(nil, s.x+(w-letter.width)/2, top+(high+caps(s.body))/2)})
	out.height = top + high
	return out
}

// title is the title with where to go back to at its right end; back is the
// same on a line of its own, where it has too many words for that.
func (s *cardStepSetter) title(x, width draw.Unit) (out, back slab) {
	lk := bold(s.titleSize())
	room := width
	short := line{}
	if s.st.Back > 0 && s.st.BackTitle == "" {
		short = s.backWords()
		room -= short.width + s.hookHang() + s.mm(2)
	} else {
		back = s.backLine(x, width, s.st.Back, s.st.BackTitle, s.st.BackWords)
	}
	lines := s.surfaceLines(s.inlines(s.st.Title, lk, nil), s.st.Surface, room)
	base := s.first()
	key := s.key()
	var items []draw.Item
	for i, ln := range lines {
		items = ln.put(items, x, base+s.pitch(s.titleSize())*draw.Unit(i))
	}
	out.runs = append(out.runs, run{key: key, role: draw.Heading2, items: items})
	if short.width > 0 {
		at := x + width - short.width
		out.runs = append(out.runs, s.mark(hooked, at-s.hookHang(), base), run{key: s.key(), role: draw.Paragraph, items: short.put(nil, at, base)})
	}
	out.height = base + s.pitch(s.titleSize())*draw.Unit(max(len(lines)-1, 0)) + sinks(s.titleSize())
	return out, back
}

// backWords are "back to 3" on one line.
func (s *cardStepSetter) backWords() line {
	number := bold(s.titleSize())
	return s.text.lines([]span{{look: regular(s.body), text: s.fixed("back to") + string(noBreakSpace)}, {look: number, text: strconv.Itoa(s.st.Back)}}, measure{width: 1 << 40})[0]
}

// backLine is where to go back to on a line of its own.
func (c *cardSetter) backLine(x, width draw.Unit, step int, title, words string) slab {
	if step == 0 && words == "" {
		return slab{}
	}
	out := c.lines(c.backSpans(step, title, words), x+c.hookHang(), width-c.hookHang(), draw.Paragraph)
	out.runs = append([]run{c.mark(hooked, x, c.firstBase(c.titleSizeIf(step > 0)))}, out.runs...)
	return out
}

// firstBase is the baseline of the first line of lines of a size.
func (c *cardSetter) firstBase(size draw.Unit) draw.Unit { return c.pitch(size) - sinks(size) }

func (c *cardSetter) titleSizeIf(large bool) draw.Unit {
	if large {
		return c.titleSize()
	}
	return c.body
}

// hookHang is the room the hooked arrow stands in before its words.
func (c *cardSetter) hookHang() draw.Unit { return c.mm(5.2) }

// backSpans are "back to 3 Smooth the base".
func (c *cardSetter) backSpans(step int, title, words string) []span {
	text := spans(regular(c.body), c.fixed("back to")+" ")
	if step > 0 {
		text[0].text = c.fixed("back to") + string(noBreakSpace)
		text = append(text, span{look: bold(c.titleSize()), text: strconv.Itoa(step)})
		words = joined(" ", title, words)
	}
	if words != "" {
		text = append(text, span{look: regular(c.body), text: " " + words})
	}
	return text
}

// settings are the large words of a step. Where they do not stand in columns
// they follow each other and go on to a second line.
func (s *cardStepSetter) settings() slab {
	st := s.st
	big, small := bold(s.large), regular(s.body)
	x := s.x + s.cols.words
	base := s.first()
	if !s.wide() {
		base = caps(s.large) + s.mm(.9)
	}
	// width is less in a frame.
	width := s.cols.left
	if !s.wide() {
		width = s.width - s.cols.words
	}
	machine := st.Machine
	if small.width(machine) > s.cols.machineMost {
		s.details = append([]string{machine}, s.details...)
		machine = ""
	}
	instead := spans(look{style: draw.SemiBold, size: s.body}, st.Instead)
	if s.cols.lined && width >= s.cols.left {
		var items []draw.Item
		put := func(text string, lk look, at draw.Unit, side side) {
			if text == "" {
				return
			}
			ln := s.one(text, lk)
			if side == toRight {
				at -= ln.width
			}
			items = ln.put(items, x+at, base)
		}
		free := s.cols.minutes - big.width(st.Minutes) - s.mm(2)
		put(st.Grade, big, 0, toLeft)
		if len(instead) > 0 {
			if wide, _ := s.text.natural(instead); wide <= free {
				put(st.Instead, instead[0].look, 0, toLeft)
			} else {
				s.details = append([]string{st.Instead}, s.details...)
			}
		}
		put(st.Minutes, big, s.cols.minutes, toRight)
		put(st.MinutesUnit, small, s.cols.unit, toLeft)
		put(machine, small, s.cols.machine, toLeft)
		put(st.Speed, big, s.cols.speed, toRight)
		put(st.SpeedUnit, small, s.cols.speedUnit, toLeft)
		if len(items) == 0 {
			if s.wide() {
				return slab{height: base + sinks(s.large)}
			}
			return slab{}
		}
		return slab{height: base + sinks(s.large), runs: []run{{key: s.key(), role: draw.Paragraph, items: items}}}
	}
	text := s.settingSpans(st.Grade, st.Instead, machine, big, small)
	lines := s.text.lines(text, measure{width: width})
	if len(lines) == 0 {
		if s.wide() {
			return slab{height: base + sinks(s.large)}
		}
		return slab{}
	}
	var items []draw.Item
	y := base
	for i, ln := range lines {
		if i > 0 {
			y += s.pitch(ln.size)
		}
		items = ln.put(items, x, y)
	}
	return slab{height: y + sinks(lines[len(lines)-1].size), runs: []run{{key: s.key(), role: draw.Paragraph, items: items}}}
}

// settingGroups are the large words, what belongs together in one group.
func (s *cardStepSetter) settingGroups(grade, instead, machine string, big, small look) [][]span {
	var groups [][]span
	group := func(parts ...[]span) {
		var text []span
		for _, p := range parts {
			if len(p) > 0 && len(text) > 0 {
				text = append(text, span{look: small, text: string(noBreakSpace)})
			}
			text = append(text, p...)
		}
		if len(text) > 0 {
			groups = append(groups, text)
		}
	}
	group(spans(big, grade))
	group(spans(look{style: draw.SemiBold, size: s.body}, instead))
	group(spans(big, s.st.Minutes), spans(small, s.st.MinutesUnit))
	group(spans(small, machine), spans(big, s.st.Speed), spans(small, s.st.SpeedUnit))
	return groups
}

// settingSpans are the large words one behind the other.
func (s *cardStepSetter) settingSpans(grade, instead, machine string, big, small look) []span {
	var text []span
	for i, g := range s.settingGroups(grade, instead, machine, big, small) {
		if i > 0 {
			text = append(text, span{look: small, text: wideGap})
		}
		text = append(text, g...)
	}
	return text
}

// checks are what must be true before moving on.
func (c *cardStepSetter) checks(x, width draw.Unit) slab {
	var out slab
	for _, k := range c.st.Checks {
		out.grow(0, c.check(k, x, width))
	}
	return out
}

func (c *cardSetter) check(k sheet.CardCheck, x, width draw.Unit) slab {
	text := c.inlines(k.Words, regular(c.body), nil)
	if k.Back > 0 || k.BackWords != "" {
		text = append(text, span{look: regular(c.body), text: " ("})
		if k.Back > 0 {
			text = append(text, span{look: regular(c.body), text: c.fixed("back to") + string(noBreakSpace)}, span{look: bold(c.body), text: strconv.Itoa(k.Back)})
			text = append(text, spans(regular(c.body), prefixedBy(" ", joined(" ", k.BackTitle, k.BackWords)))...)
		} else {
			text = append(text, span{look: regular(c.body), text: c.fixed("back to") + " " + k.BackWords})
		}
		text = append(text, span{look: regular(c.body), text: ")"})
	}
	out := c.lines(text, x+c.hang(), width-c.hang(), draw.ListItem)
	of := forward
	if k.Stops {
		of = halt
	}
	out.runs = append([]run{c.mark(of, x, c.pitch(c.body)-sinks(c.body))}, out.runs...)
	return out
}

func prefixedBy(before, words string) string {
	if words == "" {
		return ""
	}
	return before + words
}

// warning is a caution at a step: triangle, signal word, words.
func (c *cardSetter) warning(p sheet.Part, markX, x, width draw.Unit) slab {
	lk := regular(c.body)
	text := c.signalText(p.Signal, "", lk)
	text = append(text, c.inlines(apartOnCard(p.Words), lk, nil)...)
	out := c.lines(text, x, width, draw.Paragraph)
	out.grow(c.mm(.4), c.proseSlab(p.Blocks, x, width))
	signal := signalOf(p.Signal)
	if look := signals[signal]; look.alert {
		size := c.mm(4.4)
		base := c.pitch(c.body) - sinks(c.body)
		out.runs = append([]run{{role: draw.Artifact, items: alert(max(markX, x-size-c.mm(1.2)), base+c.mm(.5), size, draw.Black, look.fill)}}, out.runs...)
	}
	return out
}

// onlyStep is the step of a card that has one: its settings as large as can
// be, the panels with the cautions of the step, the checkpoints. On two faces
// the checkpoints stand on the second, the panels on both.
func (c *cardSetter) onlyStep(st sheet.CardStep, faces int) []slab {
	c.cols = cardColumns{machineMost: c.cardWidth()}
	x, width := c.left, c.cardWidth()
	size := c.body * 10 / 7
	title := append(spans(bold(size), strconv.Itoa(st.Number)+string(noBreakSpace)+string(noBreakSpace)), c.inlines(st.Title, bold(size), nil)...)
	head := c.linesOf(c.surfaceLines(title, st.Surface, width), x, draw.Heading2)
	panels := c.panelSet(withWarnings(c.panels.Panels, st.Warnings))
	s := cardStepSetter{cardSetter: c, st: st, x: x, width: width, details: st.Details}
	out := c.lines(spans(look{style: draw.SemiBold, size: c.body}, st.OnlyIf), x, width, draw.Paragraph)
	out.grow(0, head)
	out.grow(c.mm(.8), s.largest(x, width))
	if st.Bench != "" {
		s.details = append(slices.Clone(s.details), s.fixed("bench %s", st.Bench))
	}
	out.grow(c.mm(.8), c.lines(spans(regular(c.body), s.join()), x, width, draw.Paragraph))
	out.grow(c.mm(1.4), panels)
	if faces == 1 {
		out.grow(c.mm(1.2), s.then(x, width))
		return []slab{out}
	}
	second := slab{height: head.height, runs: asArtifacts(head.runs)}
	second.grow(c.mm(1.4), slab{height: panels.height, runs: asArtifacts(panels.runs)})
	second.grow(c.mm(1.2), s.then(x, width))
	return []slab{out, second}
}

// then is what comes after the work of the only step: its checkpoints, where to
// go back to, and the facts that have a label.
func (s *cardStepSetter) then(x, width draw.Unit) slab {
	var out slab
	st := s.st
	if len(st.Checks) > 0 {
		out = s.lines(spans(bold(s.body), s.fixed("Move on when")), x+s.hang(), width-s.hang(), draw.Paragraph)
		out.runs = append([]run{s.mark(forward, x, s.firstBase(s.body))}, out.runs...)
		for _, k := range st.Checks {
			check := s.check(k, x, width)
			if !k.Stops {
				// The mark stands at the head of the list.
				check.runs = check.runs[1:]
			}
			out.grow(s.mm(.3), check)
		}
	}
	if st.Back > 0 || st.BackWords != "" {
		if st.Back == st.Number {
			st.BackTitle = s.fixed("and repeat")
		}
		text := append(spans(bold(s.body), s.ifNot(st.Checks)+" "), s.backSpans(st.Back, st.BackTitle, st.BackWords)...)
		text[1].look = bold(s.body)
		line := s.lines(text, x+s.hookHang(), width-s.hookHang(), draw.Paragraph)
		line.runs = append([]run{s.mark(hooked, x, s.firstBase(s.titleSizeIf(st.Back > 0)))}, line.runs...)
		out.grow(s.mm(.6), line)
	}
	out.grow(s.mm(1), s.lines(s.labelled(st.Facts, " · "), x, width, draw.Paragraph))
	return out
}

// largest are the settings of the only step, spread over the width where they go
// on one line.
func (s *cardStepSetter) largest(x, width draw.Unit) slab {
	small := regular(s.body)
	for size := s.body * 2; ; size = max(size-draw.Pt(1), s.settingSize()) {
		groups := s.settingGroups(s.st.Grade, s.st.Instead, s.st.Machine, bold(size), small)
		if len(groups) == 0 {
			return slab{}
		}
		var sum draw.Unit
		for _, g := range groups {
			wide, _ := s.text.natural(g)
			sum += wide
		}
		spare := width - sum
		if n := draw.Unit(len(groups) - 1); spare >= n*s.mm(3) {
			at, gap := x, s.mm(12)
			if n > 0 {
				gap = min(gap, spare/n)
			}
			out := slab{height: s.pitch(size)}
			for _, g := range groups {
				ln := s.text.lines(g, measure{width: width})[0]
				out.runs = append(out.runs, run{key: s.key(), role: draw.Paragraph, items: ln.put(nil, at, out.height-sinks(size))})
				at += ln.width + gap
			}
			return out
		}
		if size <= s.settingSize() {
			return s.lines(s.settingSpans(s.st.Grade, s.st.Instead, s.st.Machine, bold(size), small), x, width, draw.Paragraph)
		}
	}
}

// withWarnings puts the cautions of the only step of a card into its panels.
func withWarnings(panels []sheet.CautionPanel, warnings []sheet.Part) []sheet.CautionPanel {
	out := slices.Clone(panels)
	for _, w := range warnings {
		blocks := w.Blocks
		if len(w.Words) > 0 {
			blocks = append([]prose.Block{{Kind: prose.Paragraph, Inlines: apartOnCard(w.Words)}}, w.Blocks...)
		}
		signal := signalOf(w.Signal)
		note := sheet.CautionNote{Signal: signal, Rich: blocks}
		i := slices.IndexFunc(out, func(p sheet.CautionPanel) bool { return signalOf(p.Signal) == signal })
		if i < 0 {
			out = append(out, sheet.CautionPanel{Signal: signal, Notes: []sheet.CautionNote{note}})
			continue
		}
		out[i].Notes = append([]sheet.CautionNote{note}, out[i].Notes...)
	}
	slices.SortStableFunc(out, func(a, b sheet.CautionPanel) int { return int(signalOf(b.Signal)) - int(signalOf(a.Signal)) })
	return out
}
