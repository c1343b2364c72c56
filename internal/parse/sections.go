package parse

import (
	"fmt"
	"strings"

	"github.com/yuin/goldmark/ast"

	"coldwright/internal/diag"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// title is the heading of a step, for those that refer to it.
type title struct{ words, folded string }

// part is where in the text a block stands.
type part int

const (
	purpose part = iota
	steps
	closing
)

// partOf says where a heading of the level leads from a part.
func partOf(now part, level int, titled bool) part {
	switch {
	case now == closing:
		return closing
	case level == 2:
		return steps
	case level == 1 && (now == steps || titled):
		return closing
	}
	return now
}

// sections reads the text: its title, what it is for, the steps, the notes.
func (r *reading) sections(root ast.Node) {
	r.meantSteps(root)
	r.headings(root)
	rec := r.recipe
	now, titled := purpose, false
	var s *stepReading
	for n := root.FirstChild(); n != nil; n = n.NextSibling() {
		h, isHeading := n.(*ast.Heading)
		if isHeading && h.Level <= 2 {
			next := partOf(now, h.Level, titled)
			if now == steps && (next == closing || h.Level == 2) {
				r.endStep(s, r.blockSpan(n).Start)
			}
			was := now
			now = next
			switch {
			case now == steps && h.Level == 2:
				s = r.stepAt(s, r.startStep(h))
				continue
			case now == purpose && h.Level == 1:
				titled = true
				r.heading(h)
				continue
			case now == closing && was != closing:
				r.step = 0
				r.closing = h
			case now == closing:
				r.stepForm(h)
			}
		}
		switch now {
		case purpose:
			r.purpose(n)
		case steps:
			s.block(n)
		case closing:
			rec.Notes = r.blockOf(rec.Notes, n, 0)
		}
	}
	if now == steps {
		r.endStep(s, r.base+r.trimBody(0, len(r.body)))
	}
	if s != nil {
		room := s.body[:cap(s.body)]
		clear(room)
		room = room[:0]
		r.rooms.Put(&room)
	}
	r.step = 0
	r.noSteps()
	r.leftovers(root)
}

// noSteps reports a recipe without steps.
func (r *reading) noSteps() {
	switch {
	case len(r.recipe.Steps) > 0:
	case r.closing != nil:
		r.say(NoSteps, r.blockSpan(r.closing), "The recipe has no step: this heading begins the notes, and no ## line stands before it.",
			"Write each step under a line that begins with ## and gives the order: ## Flatten the base")
	default:
		r.say(NoSteps, r.span(0, 0), "The recipe has no step.",
			"Write each step under a line that begins with ## and gives the order: ## Flatten the base")
	}
}

// headings gathers the titles of all steps, so that a step may name a later
// one.
func (r *reading) headings(root ast.Node) {
	now, titled := purpose, false
	for n := root.FirstChild(); n != nil; n = n.NextSibling() {
		h, ok := n.(*ast.Heading)
		if !ok || h.Level > 2 {
			continue
		}
		now = partOf(now, h.Level, titled)
		if h.Level == 1 {
			titled = true
		}
		if now == steps && h.Level == 2 {
			words := r.plain(h)
			r.titles = append(r.titles, title{words, fold(words)})
		}
	}
	r.recipe.Steps = make([]recipe.Step, 0, len(r.titles))
}

// plain are the words of a heading, whatever marks they carry.
func (r *reading) plain(n ast.Node) string {
	if t, ok := n.FirstChild().(*ast.Text); ok && n.ChildCount() == 1 {
		return collapse(r.words(t.Segment.Start, t.Segment.Stop))
	}
	// Pictures and HTML of a heading are counted when the step is read.
	pictures, html, findings := r.recipe.Pictures, r.html, len(*r.list)
	words := prose.Words(r.inlinesOf(n, 0))
	r.recipe.Pictures, r.html, *r.list = pictures, html, (*r.list)[:findings]
	return strings.Join(strings.Fields(words), " ")
}

// heading reads the title above the text, which has to say what the front
// matter says.
func (r *reading) heading(h *ast.Heading) {
	words := strings.Join(strings.Fields(prose.Words(r.inlinesOf(h, 0))), " ")
	t := r.recipe.Title
	if !t.OK || strings.EqualFold(strings.Join(strings.Fields(t.Value), " "), words) {
		return
	}
	at := r.blockSpan(h)
	if h.Lines().Len() > 0 {
		first, last := h.Lines().At(0), h.Lines().At(h.Lines().Len()-1)
		at = r.span(first.Start, r.trimBody(first.Start, last.Stop))
	}
	line, _ := r.file.Position(t.Span.Start)
	r.say(TitleDiffers, at,
		fmt.Sprintf("The heading calls the recipe %s, the front matter in line %d calls it %s.", quote(words), line, quote(t.Value)),
		"Write the same title in both places, or leave the heading out.")
}

// purpose reads a block before the first step.
func (r *reading) purpose(n ast.Node) {
	if q, ok := n.(*ast.Blockquote); ok {
		if notices := r.noticesOf(q); notices != nil {
			r.recipe.Notices = append(r.recipe.Notices, notices...)
			return
		}
	}
	facts := false
	switch n := n.(type) {
	case *ast.List:
		known, all := r.factual(n, false)
		facts = known > 0 && all
	case *plainFacts:
		facts = true
	}
	if facts && !r.early {
		r.early = true
		r.say(FactsLate, firstLine(r.blockSpan(n)), "Facts stand here before the first step, so they belong to none.",
			"Write them below the ## line of their step.")
	}
	r.recipe.Purpose = r.blockOf(r.recipe.Purpose, n, 0)
}

// stepAt is the reading of a step, in the room of the one before it.
func (r *reading) stepAt(s *stepReading, step *recipe.Step) *stepReading {
	var body []recipe.Element
	if s == nil {
		s = new(stepReading)
		if room, ok := r.rooms.Get().(*[]recipe.Element); ok {
			body = *room
		}
	} else {
		body = s.body[:0]
	}
	*s = stepReading{reading: r, step: step, from: len(*r.list), body: body}
	return s
}

// startStep opens the next step.
func (r *reading) startStep(h *ast.Heading) *recipe.Step {
	rec := r.recipe
	number := len(rec.Steps) + 1
	r.step = number
	rec.Steps = append(rec.Steps, recipe.Step{Number: number, Title: r.titles[number-1].words})
	step := &rec.Steps[number-1]
	step.Words = r.inlinesOf(h, 0)
	step.All = r.blockSpan(h)
	step.Span = step.All
	if h.Lines().Len() > 0 {
		first, last := h.Lines().At(0), h.Lines().At(h.Lines().Len()-1)
		step.Span = r.span(first.Start, r.trimBody(first.Start, last.Stop))
	}
	r.stepForm(h)
	if step.Title == "" {
		_, next := r.line(step.All.Start)
		step.All.End = r.trimEnd(step.All.Start, next)
		r.say(StepUntitled, step.All, "This step gives no order.",
			"Write behind the ## what is to be done: ## Flatten the base")
	}
	return step
}

// endStep closes a step that goes up to a byte of the file, and gives the
// findings of others in it its number.
func (r *reading) endStep(s *stepReading, end int) {
	start := s.step.All.Start
	for end > start && isSpace(r.all[end-1]) {
		end--
	}
	s.step.All = source.Span{File: r.file, Start: start, End: end}
	s.close()
}

// stepNamed finds the step a reference means: by its title, or by the
// beginning of its title if only one begins so. What it does not find it
// reports and gives 0.
func (r *reading) stepNamed(at source.Span, words string) int {
	want := fold(strings.Trim(words, `"“”.`))
	if want == "" {
		return 0
	}
	same, begins, count := 0, 0, 0
	for i, t := range r.titles {
		if t.folded == want {
			if same > 0 {
				r.say(UnknownStep, at, fmt.Sprintf("Two steps are called %s: %d and %d.", quote(words), same, i+1),
					"Give each step a title of its own.")
				return 0
			}
			same = i + 1
		}
		if strings.HasPrefix(t.folded, want) {
			begins = i + 1
			count++
		}
	}
	switch {
	case same > 0:
		return same
	case count == 1:
		return begins
	case count > 1:
		r.say(UnknownStep, at, fmt.Sprintf("More than one step begins with %s.", quote(words)),
			"Write more of the title: "+r.titles[begins-1].words+".")
		return 0
	}
	all := make([]string, len(r.titles))
	for i, t := range r.titles {
		all[i] = t.words
	}
	r.say(UnknownStep, at, fmt.Sprintf("No step is called %s.", quote(words)), r.nearestStep(words, all))
	r.mended(diag.Word(at, words, clearStep(words, all)))
	return 0
}
