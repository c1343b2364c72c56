package layout

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/typeface"
)

// slab is a part of a card that is never cut: what it draws, Y counted from its
// own top.
type slab struct {
	height draw.Unit
	runs   []run
}

// grow is the slab with another below it.
func (s *slab) grow(gap draw.Unit, other slab) {
	if other.height == 0 && len(other.runs) == 0 {
		return
	}
	if s.height > 0 {
		s.height += gap
	}
	s.runs = append(s.runs, movedRuns(other.runs, 0, s.height)...)
	s.height += other.height
}

// cardSetter sets one card at one size of body text.
type cardSetter struct {
	*layer
	fu     *furniture
	card   *sheet.Card
	panels sheet.CautionPanels
	steps  sheet.CardSteps
	halts  string

	body draw.Unit
	// lead is the distance of baselines in thousandths of the size.
	lead draw.Unit
	// large is the size of the settings of a step.
	large draw.Unit
	cols  cardColumns
}

// The distances of baselines that are tried, the more open first.
var cardLeads = []draw.Unit{1160, 1050}

// mm is a length that goes with the size of the text: v millimetres at 12 pt.
func (c *cardSetter) mm(v float64) draw.Unit {
	return draw.Unit(math.Round(float64(draw.MM(v)) * float64(c.body) / float64(draw.Pt(12))))
}

func (c *cardSetter) pitch(size draw.Unit) draw.Unit { return size * c.lead / 1000 }

// sinks is how far the letters of a size reach below their baseline.
func sinks(size draw.Unit) draw.Unit { return size * 24 / 100 }

func caps(size draw.Unit) draw.Unit { return typeface.Get(draw.Bold).CapHeight(size) }

// settingSize, titleSize and numberSize are the sizes of the large words at
// this size of text. Settings are read at arm's length: 16 pt or more.
func (c *cardSetter) settingSize() draw.Unit { return max(draw.Pt(16), c.body*3/2) }
func (c *cardSetter) titleSize() draw.Unit   { return c.body * 7 / 6 }
func (c *cardSetter) numberSize() draw.Unit  { return c.body * 5 / 3 }

// wide says whether a step stands in two columns.
func (c *cardSetter) wide() bool { return c.width >= c.mm(165) }

// lines is text from x on, broken to a width.
func (c *cardSetter) lines(text []span, x, width draw.Unit, role draw.Role) slab {
	return c.linesOf(c.text.lines(text, measure{width: width}), x, role)
}

func (c *cardSetter) linesOf(lines []line, x draw.Unit, role draw.Role) slab {
	var s slab
	if len(lines) == 0 {
		return s
	}
	var items []draw.Item
	for _, ln := range lines {
		p := c.pitch(ln.size)
		items = ln.put(items, x, s.height+p-sinks(ln.size))
		s.height += p
	}
	s.runs = []run{{key: c.key(), role: role, items: items}}
	return s
}

// cardFace is a face of a card: its steps from and to, by index.
type cardFace struct{ from, to int }

// cardPlan is a card set at one size.
type cardPlan struct {
	*cardSetter
	head slab
	// every stands on every face below the head.
	every slab
	foot  slab
	parts []slab
	// room is the height for steps on a face.
	room  draw.Unit
	faces []cardFace
}

// layCard puts a card onto one face, or two. Where that cannot be it lays
// nothing and says how much is missing.
func (l *layer) layCard(page sheet.PageSetup) ([]draw.Page, diag.List) {
	for faces := 1; faces <= 2; faces++ {
		if plan := l.planCard(page, faces); plan != nil {
			return plan.draw(), nil
		}
	}
	return nil, diag.List{l.cardTooFull(page)}
}

// planCard is the card at the largest size that goes on so many faces; nil
// where none does.
func (l *layer) planCard(page sheet.PageSetup, faces int) *cardPlan {
	kind := l.sheet.Card.Type
	if !l.goesOn(page, faces) {
		return nil
	}
	for size := kind.Largest; size >= kind.Smallest; size = max(size-1, kind.Smallest) {
		for _, lead := range cardLeads {
			p := l.setCard(page, draw.Pt(size), lead, faces)
			if p.divide(faces) {
				return p
			}
		}
		if size == kind.Smallest {
			break
		}
	}
	return nil
}

// goesOn says whether a card goes on so many faces at its smallest.
func (l *layer) goesOn(page sheet.PageSetup, faces int) bool {
	return l.setCard(page, draw.Pt(l.sheet.Card.Type.Smallest), cardLeads[len(cardLeads)-1], faces).divide(faces)
}

// setCard sets all parts of a card at a size, for so many faces.
func (l *layer) setCard(page sheet.PageSetup, body, lead draw.Unit, faces int) *cardPlan {
	c := &cardSetter{layer: l, card: l.sheet.Card, body: body, lead: lead}
	c.fu = &furniture{layer: l, page: page, width: draw.MM(page.Width), height: draw.MM(page.Height)}
	c.fu.identity = l.identity(l.width * 55 / 100)
	if l.sheet.Draft != nil {
		c.fu.tab = l.draftTab()
	}
	for _, b := range l.sheet.Blocks {
		switch b := b.(type) {
		case sheet.CautionPanels:
			c.panels = b
		case sheet.CardSteps:
			c.steps = b
		case sheet.Stop:
			c.halts = b.Words
		}
	}
	p := &cardPlan{cardSetter: c}
	p.head = c.head()
	p.foot = c.stopBar()
	if len(c.steps.Steps) == 1 {
		p.parts = c.onlyStep(c.steps.Steps[0], faces)
	} else {
		p.every = c.everyFace()
		c.cols = c.columns()
		for _, st := range c.steps.Steps {
			p.parts = append(p.parts, c.step(st))
		}
	}
	p.room = c.bottom() - c.top() - p.head.height - c.gapAbove(p.every) - p.every.height - c.gapAbove(p.foot) - p.foot.height
	return p
}

// gapAbove is the room above a part of a face, none above an empty one.
func (c *cardSetter) gapAbove(s slab) draw.Unit {
	if s.height == 0 {
		return 0
	}
	return c.mm(1.2)
}

// top and bottom are where a face begins and ends. The frame of a draft takes
// its room within the margins.
func (c *cardSetter) top() draw.Unit {
	top := draw.MM(c.fu.page.Top)
	if c.sheet.Draft != nil {
		top = max(top, hatchIn+draw.MM(6)+leading(tabSize)*draw.Unit(max(len(c.fu.tab), 1)-1)+draw.MM(1))
	}
	return top
}

func (c *cardSetter) bottom() draw.Unit {
	bottom := draw.MM(c.fu.page.Bottom)
	if c.sheet.Draft != nil {
		bottom = max(bottom, hatchIn+draw.MM(7))
	}
	return c.fu.height - bottom
}

// cardMargins are the margins of a card at its sides: the frame of a draft
// stands within them.
func cardMargins(p sheet.PageSetup, draft bool) sheet.PageSetup {
	if draft {
		in := hatchIn.Millimetres() + hatchWide.Millimetres() + 1.2
		p.Left, p.Right = max(p.Left, in), max(p.Right, in)
	}
	return p
}

// between is the least room from one step to the next, half of it on either
// side of the line between them.
func (c *cardSetter) between() draw.Unit { return c.mm(1.9) }

// need is the height of steps from and to, with the line above the first.
func (p *cardPlan) need(from, to int) draw.Unit {
	var h draw.Unit
	for _, s := range p.parts[from:to] {
		h += p.between() + s.height
	}
	return h
}

// divide puts the steps onto so many faces; false where they do not go on.
func (p *cardPlan) divide(faces int) bool {
	n := len(p.parts)
	switch {
	case p.room <= 0:
		return false
	case faces == 1:
		p.faces = []cardFace{{0, n}}
		return p.need(0, n) <= p.room
	}
	best := draw.Unit(-1)
	for k := 1; k < n; k++ {
		a, b := p.need(0, k), p.need(k, n)
		if a > p.room || b > p.room {
			continue
		}
		if d := max(a, b) - min(a, b); best < 0 || d < best {
			best = d
			p.faces = []cardFace{{0, k}, {k, n}}
		}
	}
	return best >= 0
}

// greedy is how many of the steps from on go on one face.
func (p *cardPlan) greedy(from int) int {
	to := from
	for to < len(p.parts) && p.need(from, to+1) <= p.room {
		to++
	}
	return to
}

// draw draws the faces.
func (p *cardPlan) draw() []draw.Page {
	pages := make([]draw.Page, len(p.faces))
	for i, f := range p.faces {
		pages[i] = p.face(f, i)
	}
	return pages
}

// cardStretch is the most that is added between two steps where a face has room to
// spare, at 12 pt.
const cardStretch = 5

func (p *cardPlan) face(f cardFace, i int) draw.Page {
	var runs []run
	if p.sheet.Draft != nil {
		runs = append(runs, run{role: draw.Artifact, items: p.fu.hatch()}, run{role: draw.Artifact, items: p.fu.tabs()})
	}
	y := p.top()
	head := p.head.runs
	if i > 0 {
		// What stands on both faces is no new content on the second.
		head = asArtifacts(head)
	}
	runs = append(runs, movedRuns(head, 0, y)...)
	words, square := p.fu.identity.at(p.left+p.width, y, i, len(p.faces))
	runs = append(runs, run{role: draw.Paragraph, items: words}, run{role: draw.Artifact, items: square})
	y += p.head.height
	if p.every.height > 0 {
		y += p.gapAbove(p.every)
		every := p.every.runs
		if i > 0 {
			every = asArtifacts(every)
		}
		runs = append(runs, movedRuns(every, 0, y)...)
		y += p.every.height
	}
	spare := p.room - p.need(f.from, f.to)
	extra := min(spare/draw.Unit(max(f.to-f.from, 1)), p.mm(cardStretch))
	for k := f.from; k < f.to; k++ {
		gap := p.between() + extra
		if len(p.steps.Steps) > 1 {
			runs = append(runs, movedRuns([]run{across(p.left, p.width, 0, draw.MM(.5))}, 0, y+gap*45/100)...)
		}
		y += gap
		runs = append(runs, movedRuns(p.parts[k].runs, 0, y)...)
		y += p.parts[k].height
	}
	if p.foot.height > 0 {
		foot := p.foot.runs
		if i > 0 {
			foot = asArtifacts(foot)
		}
		runs = append(runs, movedRuns(foot, 0, p.bottom()-p.foot.height)...)
	}
	page := draw.Page{}
	for _, r := range merged(runs) {
		if len(r.items) > 0 {
			page.Runs = append(page.Runs, draw.Run{Role: r.role, Alt: r.alt, Items: r.items})
		}
	}
	return page
}

func asArtifacts(runs []run) []run {
	out := slices.Clone(runs)
	for i := range out {
		out[i].role, out[i].alt = draw.Artifact, ""
	}
	return out
}

// cardTooFull says how much is missing, and what to do.
func (l *layer) cardTooFull(page sheet.PageSetup) diag.Diagnostic {
	p := l.setCard(page, draw.Pt(l.sheet.Card.Type.Smallest), cardLeads[len(cardLeads)-1], 2)
	n := len(p.parts)
	paper := page.Paper + " " + lies(page)
	name := "“" + l.sheet.ID + "”"
	if of := l.sheet.Card.Of; of != "" {
		if l.sheet.Words.Tag() != "" {
			// Findings are English, whatever the card is in.
			of = fmt.Sprintf("%d of its %d steps", len(l.sheet.Card.Numbers), l.sheet.Card.Steps)
		}
		name += ", " + of + ","
	}
	d := diag.Diagnostic{Rule: sheet.CardFitRule, Severity: diag.Error, Concern: diag.Card}
	size := quantityOf(l.sheet.Card.Type.Smallest) + " pt"
	numbers := l.sheet.Card.Numbers
	var most draw.Unit
	widest := 0
	for i := range n {
		if h := p.need(i, i+1); h > most {
			most, widest = h, i
		}
	}
	if n == 0 || most > p.room {
		what := "the cautions and the stop"
		if n > 0 {
			what = "step " + strconv.Itoa(numbers[min(widest, len(numbers)-1)])
		}
		d.Message = fmt.Sprintf("The card of %s does not fit on %s: at %s %s alone needs %d mm more than a face has.", name, paper, size, what, wholeMM(most-p.room))
		d.Help = joined(" ", "Print it on a larger paper.", cmp.Or(l.largerPaper(page), l.severalOn(page)))
		return d
	}
	second := p.greedy(p.greedy(0))
	d.Message = fmt.Sprintf("The card of %s does not fit on %s: at %s, both faces used, %d mm are missing.", name, paper, size, wholeMM(p.need(second, n)))
	p.room = max(p.room*spared/100, most)
	d.Help = joined(" ", fmt.Sprintf("Split off the later steps, with %s.", p.stepOptions()), l.largerPaper(page))
	return d
}

// shares are as few cards as hold all the steps, each about as full as the
// others.
func (p *cardPlan) shares() []cardFace {
	n := len(p.parts)
	count := 0
	for i := 0; i < n; count++ {
		i = p.greedy(p.greedy(i))
	}
	// most[i] is the height of the fullest of so many cards with the steps
	// before i, from[i] where its last begins.
	const none = draw.Unit(math.MaxInt64)
	most := make([]draw.Unit, n+1)
	for i := 1; i <= n; i++ {
		most[i] = none
	}
	var starts [][]int
	for range count {
		next, from := make([]draw.Unit, n+1), make([]int, n+1)
		for to := range next {
			next[to] = none
			for i := 0; i < to; i++ {
				if most[i] == none || p.greedy(p.greedy(i)) < to {
					continue
				}
				if h := max(most[i], p.need(i, to)); h < next[to] {
					next[to], from[to] = h, i
				}
			}
		}
		most = next
		starts = append(starts, from)
	}
	out := make([]cardFace, count)
	to := n
	for k := count - 1; k >= 0; k-- {
		out[k] = cardFace{starts[k][to], to}
		to = out[k].from
	}
	return out
}

// spared is how much of a face is reckoned with for a card of fewer steps, in
// percent: it carries some cautions at its steps that all steps together carry
// in their panels.
const spared = 70

// stepOptions are the options that print the steps on as few cards as hold them.
func (p *cardPlan) stepOptions() string {
	numbers := p.card.Numbers
	var cards []string
	for _, f := range p.shares() {
		words := strconv.Itoa(numbers[f.from])
		if f.to-f.from > 1 {
			words += "-" + strconv.Itoa(numbers[f.to-1])
		}
		cards = append(cards, "--steps "+words)
	}
	last := len(cards) - 1
	if last == 0 {
		return cards[0]
	}
	return strings.Join(cards[:last], ", ") + " and " + cards[last]
}

// wholeMM is a length in whole millimetres, rounded up.
func wholeMM(u draw.Unit) int { return int(math.Ceil(u.Millimetres())) }

func quantityOf(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func lies(p sheet.PageSetup) string {
	if p.Width > p.Height {
		return "landscape"
	}
	return "portrait"
}

// largestCard is the largest a card can be, in mm²: a little over A4.
const largestCard = 64000

// largerPaper names the smallest paper of the same series that the card would go
// on, and how to ask for it.
func (l *layer) largerPaper(page sheet.PageSetup) string {
	try, ok := smallestLarger(page, func(try sheet.PageSetup) bool {
		other := newLayer(l.sheet, try, alone)
		return other.goesOn(try, 1) || other.goesOn(try, 2)
	})
	if !ok {
		return ""
	}
	return fmt.Sprintf("It fits on %s %s, with --paper %s --%s.", try.Paper, lies(try), try.Paper, lies(try))
}

// severalOn names, for a card too much for any one paper, the smallest paper on
// which each of its steps has room, and the cards it makes there.
func (l *layer) severalOn(page sheet.PageSetup) string {
	set := func(try sheet.PageSetup) *cardPlan {
		p := newLayer(l.sheet, try, alone).setCard(try, draw.Pt(l.sheet.Card.Type.Smallest), cardLeads[len(cardLeads)-1], 2)
		p.room = p.room * spared / 100
		return p
	}
	try, ok := smallestLarger(page, func(try sheet.PageSetup) bool {
		p := set(try)
		for i := range p.parts {
			if p.need(i, i+1) > p.room {
				return false
			}
		}
		return len(p.steps.Steps) > 1
	})
	if !ok {
		return ""
	}
	return fmt.Sprintf("On %s %s, with --paper %s --%s, it makes several cards, with %s.", try.Paper, lies(try), try.Paper, lies(try), set(try).stepOptions())
}

// smallestLarger is the smallest larger paper of the same series, standing or
// lying, that answers.
func smallestLarger(page sheet.PageSetup, answers func(sheet.PageSetup) bool) (sheet.PageSetup, bool) {
	best, area := page, math.Inf(1)
	own, _ := sheet.FindPaper(page.Paper)
	for _, paper := range sheet.Papers() {
		for _, turned := range []bool{false, true} {
			try := page
			try.Paper, try.Width, try.Height = paper.Name, paper.Width, paper.Height
			if turned {
				try.Width, try.Height = paper.Height, paper.Width
			}
			a := paper.Width * paper.Height
			if a <= page.Width*page.Height || a >= area || a > largestCard || paper.ISO() != own.ISO() {
				continue
			}
			if answers(try) {
				best, area = try, a
			}
		}
	}
	return best, !math.IsInf(area, 1)
}

// benchWidth is the width of the box with the letter of a bench; 0 for a name
// too long for one.
func (c *cardSetter) benchWidth(name string) draw.Unit {
	if name == "" || len([]rune(name)) > 2 {
		return 0
	}
	return c.one(name, bold(c.body)).width + c.mm(2)
}

// ifNot heads the way back of a step: where a checkpoint has its own, it is that
// of the others.
func (c *cardSetter) ifNot(checks []sheet.CardCheck) string {
	if slices.ContainsFunc(checks, func(k sheet.CardCheck) bool { return k.Back > 0 || k.BackWords != "" }) {
		return c.fixed("If any other is not so, go")
	}
	return c.fixed("If not, go")
}
