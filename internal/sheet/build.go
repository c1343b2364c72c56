package sheet

import (
	"fmt"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
	"coldwright/internal/words"
)

// Options are what a print is asked for beside its recipe and its design.
type Options struct {
	// Paper replaces the paper of the house and of the design; "" for none.
	Paper string
	// Landscape and Portrait turn the paper; with neither it lies as the design
	// says.
	Landscape, Portrait bool
	// Punch is the side kept clear for the holes of a binder: "left" or "top";
	// empty for none.
	Punch string
	// Surface and Bench are what a card is for, From and To the first and last
	// step on it; all of it where they are empty.
	Surface, Bench string
	From, To       int
	// With is a language to say the fixed words in beside the house's; nil for
	// none.
	With *words.Language
	// Draft marks the print as a draft even where the recipe is approved.
	Draft bool
	// Copy is the number of an issued copy, 0 for none.
	Copy     int
	Pictures Pictures
	// Findings are what the check of the recipe found.
	Findings diag.List
}

// guidance stands at the foot of every page.
const guidance = "Computed values are guidance; prove them on a test piece. Local codes and trained, licensed people come first."

// dagger marks a built-in value, one the house has not confirmed; daggerWords
// explain it at the foot, short enough that the foot is one line.
const (
	dagger      = "†"
	daggerWords = "† built-in value"
)

// builder gathers what one sheet says.
type builder struct {
	tongue
	plan   *process.Plan
	design *Design
	recipe *recipe.Recipe
	house  *trade.House
	opt    Options
	found  diag.List
	// topics are the caution topics of the recipe, facts what they choose
	// their wording by.
	topics []*trade.Topic
	facts  map[string]float64
	// built is true once a built-in value was printed.
	built bool
	// shown are the house tests whose method was printed already.
	shown map[string]bool
	// met are the machines whose kind was said in a step in full already.
	met map[string]bool
	// standing by machine: the topics that hold from an earlier step on.
	standing map[string]map[string]bool
	// reckoning is what the model says; nil until it is asked.
	reckoning *process.Reckoning
	// shows are the steps of the recipe that a card has.
	shows []bool
}

// Build says what the sheet of a recipe says in a design. What cannot be done
// as asked is a finding; the sheet is nil only where there is no paper for it.
func Build(p *process.Plan, d *Design, o Options) (*Sheet, diag.List) {
	speak := o.speaker(p.House)
	if speak.Second() == nil {
		s, found := buildIn(p, d, o, speak)
		if s != nil {
			s.Stamp()
		}
		return s, found
	}
	house, beside := speak.Apart()
	s, found := buildIn(p, d, o, house)
	if s != nil {
		// Both say the same, part for part, and what the author wrote is the same
		// in both.
		other, _ := buildIn(p, d, o, beside)
		s.beside(other)
		s.Words, s.Spoken = speak, speak.Tag()
		s.Stamp()
	}
	return s, found
}

// speaker speaks the language of the house, and the one asked for beside it;
// nil for English.
func (o Options) speaker(h *trade.House) *words.Speaker {
	speak := words.Speak(words.Find(h.Language), o.With)
	if speak.Tag() == "" {
		return nil
	}
	return speak
}

func buildIn(p *process.Plan, d *Design, o Options, speak *words.Speaker) (*Sheet, diag.List) {
	b := &builder{
		tongue: tongue{speak: speak, brief: d.Page == CardPage || d.Page == TrainingPage},
		plan:   p, design: d, recipe: p.Recipe, house: p.House, opt: o,
		shown: map[string]bool{}, met: map[string]bool{}, standing: map[string]map[string]bool{},
	}
	b.topics, b.facts = b.allTopics(), b.topicFacts()
	page, ok := b.page(d)
	if !ok || page.Kind == CardPage && !b.chooseSteps() {
		return nil, b.found
	}
	s := &Sheet{Design: d.Name, Page: page, Identity: b.identity(d), Draft: b.draft(), Meta: b.meta(d), Words: speak, Spoken: speak.Tag()}
	for _, spec := range d.Blocks {
		if kind := findBlock(spec.Name); kind != nil {
			s.Blocks = append(s.Blocks, kind.make(b, spec)...)
		}
	}
	if page.Kind == CardPage {
		s.Card = b.card(d)
		s.Card.Guidance = joined(" ", s.Card.Guidance, b.unread())
		b.manyCautions(s.Blocks)
		return s, b.found
	}
	s.Foot = b.say(guidance)
	if d.Page == TrainingPage {
		s.Foot = b.say(trainingFoot) + "\n" + s.Foot
	}
	if b.built {
		s.Foot += " " + b.say(daggerWords) + "."
	}
	s.Foot = joined(" ", s.Foot, b.unread())
	return s, b.found
}

// page chooses the paper: the command's, else the house's, else the design's.
// What paper a house writes its sheets on says nothing of its cards.
func (b *builder) page(d *Design) (PageSetup, bool) {
	return pageOf(d, b.house, b.opt, &b.found)
}

func pageOf(d *Design, house *trade.House, o Options, found *diag.List) (PageSetup, bool) {
	name, at := d.Paper, d.Span
	ofHouse := house.Paper
	if d.Page == CardPage {
		ofHouse = house.Limits.Card
	}
	if ofHouse != "" {
		name, at = ofHouse, source.Span{}
		if house.File != nil {
			at = house.File.Span(0, 0)
		}
	}
	if o.Paper != "" {
		name, at = o.Paper, source.Span{}
	}
	paper, ok := FindPaper(name)
	if !ok {
		found.Add(unknownPaper(at, name))
		return PageSetup{}, false
	}
	turned := o.Landscape || d.Turned && !o.Portrait
	page := setUp(d, paper, turned, o.Punch)
	if !page.room(d) {
		found.Add(paperTooSmall(at, d, page, turned, o.Punch))
		return PageSetup{}, false
	}
	return page, true
}

// setUp lays a design on a paper, turned on its long side or not.
func setUp(d *Design, paper Paper, turned bool, punch string) PageSetup {
	m := d.Portrait
	page := PageSetup{Kind: d.Page, Paper: paper.Name, Width: paper.Width, Height: paper.Height}
	if turned {
		m = d.Landscape
		page.Width, page.Height = paper.Height, paper.Width
	}
	page.Left, page.Right, page.Top, page.Bottom = m.Left, m.Right, m.Top, m.Bottom
	switch punch {
	case "left":
		page.Left = max(page.Left, punchMargin)
	case "top":
		page.Top = max(page.Top, punchMargin)
	}
	return page
}

// clear is what a page has inside its margins, in mm.
func (p PageSetup) clear() (wide, high float64) {
	return p.Width - p.Left - p.Right, p.Height - p.Top - p.Bottom
}

// room says whether a page has the room its kind needs.
func (p PageSetup) room(d *Design) bool {
	wide, high := p.clear()
	for i := range pageKinds {
		if k := &pageKinds[i]; k.name == d.Page {
			return wide >= k.wide && high >= k.high
		}
	}
	return true
}

// paperTooSmall is what is said of a paper that cuts the words of a design, with
// the papers that do not.
func paperTooSmall(at source.Span, d *Design, page PageSetup, turned bool, punch string) diag.Diagnostic {
	var fit []string
	for _, p := range papers() {
		switch {
		case setUp(d, p, turned, punch).room(d):
			fit = append(fit, p.Name)
		case !turned && setUp(d, p, true, punch).room(d):
			fit = append(fit, p.Name+" with --landscape")
		case turned && setUp(d, p, false, punch).room(d):
			fit = append(fit, p.Name+" with --portrait")
		}
	}
	lies := "upright"
	if turned {
		lies = "on its long side"
	}
	wide, high := page.clear()
	message := fmt.Sprintf("A %s does not fit on %s %s: its margins leave %.0f mm by %.0f mm, and its tables would cut words.", d.Name, page.Paper, lies, wide, high)
	help := "Make the margins of the design smaller."
	if len(fit) > 0 {
		help = "It fits on " + and(fit) + "."
	}
	if d.Page == SheetPage {
		help += " For small paper there is the bench card: --as \"bench card\"."
	}
	return diag.Diagnostic{Rule: DesignRule, Severity: diag.Error, Concern: diag.Card, Span: at, Message: message, Help: help}
}

// punchMargin is kept clear, in mm, where a page is punched. ISO 838 puts the
// middle of its 6 mm holes 12 mm from the edge; with all tolerances a hole
// reaches 16.25 mm in.
const punchMargin = 20

func (b *builder) identity(d *Design) Identity {
	r := b.recipe
	id := Identity{
		House: b.house.Name, Kind: b.name(d.Name),
		Title: written(r.Title), ID: written(r.ID),
		Revision: r.Revision.Value, Effective: b.dateOf(r.Date),
		Standing: b.standingLines(),
	}
	if !b.isDraft() {
		id.Approved, id.Copy = written(r.Approved), b.opt.Copy
	}
	return id
}

func (b *builder) isDraft() bool {
	return b.opt.Draft || !b.recipe.Approved.Written() || b.opt.Findings.Worst() >= diag.Error
}

// draft says why a print is a draft; nil for an approved one.
func (b *builder) draft() *Draft {
	if !b.isDraft() {
		return nil
	}
	d := &Draft{Reason: b.say("a draft of an approved recipe, not for the bench"), Short: b.say("not for the bench")}
	if !b.recipe.Approved.Written() {
		d.Reason, d.Short = b.say("not approved, not for the bench"), b.say("not approved")
	}
	if stops := b.opt.Findings.Count(diag.Error) + b.opt.Findings.Count(diag.Refusal); stops > 0 {
		d.Reason = b.count(stops, "1 finding stops it, not for the bench", "%d findings stop it, not for the bench")
	}
	return d
}

func (b *builder) meta(d *Design) Meta {
	r := b.recipe
	m := Meta{
		Title:    written(r.Title),
		Subject:  strings.TrimSpace(joined(" ", b.name(d.Name), written(r.ID), b.say("rev %d", r.Revision.Value))),
		Author:   b.house.Name,
		Language: b.house.Language,
		Date:     isoDate(r.Date),
	}
	if m.Language == "" {
		m.Language = words.Default
	}
	if !b.isDraft() {
		m.Author = joined(", ", m.Author, written(r.Approved))
	}
	seen := map[string]bool{}
	add := func(word string) {
		if word != "" && !seen[word] {
			seen[word] = true
			m.Keywords = append(m.Keywords, word)
		}
	}
	add(written(r.ID))
	add(b.glassName(r))
	for i := range r.Steps {
		add(b.abrasive(r.Steps[i].Abrasive.Value))
	}
	return m
}

func (b *builder) purpose(BlockSpec) []Block {
	if len(b.recipe.Purpose) == 0 {
		return nil
	}
	return []Block{Purpose{Blocks: b.recipe.Purpose, Pictures: b.opt.Pictures}}
}

func (b *builder) stop(BlockSpec) []Block {
	if !b.recipe.Stop.Written() {
		return nil
	}
	return []Block{Stop{Words: written(b.recipe.Stop)}}
}

func (b *builder) places(BlockSpec) []Block {
	var rows []Place
	for _, name := range sortedKeys(b.house.Places) {
		rows = append(rows, Place{Name: capital(b.name(name)), Words: b.house.Places[name]})
	}
	if rows == nil {
		return nil
	}
	return []Block{Places{Rows: rows}}
}

func (b *builder) notes(BlockSpec) []Block {
	if len(b.recipe.Notes) == 0 && len(b.recipe.Footnotes) == 0 {
		return nil
	}
	return []Block{Notes{Blocks: b.recipe.Notes, Footnotes: b.recipe.Footnotes, Pictures: b.opt.Pictures}}
}

// plain is text as prose.
func plain(text string) []prose.Inline {
	return []prose.Inline{{Kind: prose.Text, Text: text}}
}
