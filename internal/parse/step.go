package parse

import (
	"fmt"
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"

	"coldwright/internal/keys"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// stepReading is one step while it is read.
type stepReading struct {
	*reading
	step *recipe.Step
	// from is the number of findings there were before the step.
	from int
	// begun is true behind the first block that is no list of facts; owned is true once there is an
	// instruction or checkpoint, at place owner of the body, for key points to
	// belong to.
	begun, owned bool
	owner        int
	// given are the places of the facts written so far, late says that facts
	// below the top were reported.
	given [factCount]source.Span
	late  bool
	// goesOn is true directly behind plain facts: to the author a list there is
	// the same list.
	goesOn bool
	// meant are the facts with misspelt names.
	meant []meantFact
	// body are the elements of the step so far.
	body []recipe.Element
}

// close puts the elements into the step and gives what others found in it its
// number.
func (s *stepReading) close() {
	s.readMeant()
	if len(s.body) > 0 {
		s.step.Body = append(make([]recipe.Element, 0, len(s.body)), s.body...)
	}
	for i := s.from; i < len(*s.list); i++ {
		if d := &(*s.list)[i]; d.Step == 0 {
			d.Step = s.step.Number
		}
	}
}

// block reads one block of a step.
func (s *stepReading) block(n ast.Node) {
	goesOn := s.goesOn
	s.goesOn = false
	switch n := n.(type) {
	case *plainFacts:
		s.plain(n)
		return
	case *ast.List:
		if s.listOf(n, goesOn) && !s.begun {
			return
		}
	case *ast.Blockquote:
		s.quote(n)
	case *ast.Paragraph:
		s.paragraph(n)
	default:
		s.words(n)
	}
	s.begun = true
}

// plain reads facts without marks, each a line.
func (s *stepReading) plain(n *plainFacts) {
	s.gluedFact(n, s.begun)
	s.goesOn = !s.begun
	if s.begun && !s.late {
		s.late = true
		s.say(FactsLate, firstLine(s.blockSpan(n)), "Facts stand here below other words of the step.",
			"Write all facts in one list at the top of the step.")
	}
	lines := n.Lines()
	if s.step.Facts == nil {
		s.step.Facts = make([]recipe.Fact, 0, min(lines.Len(), factCount))
	}
	for i := range lines.Len() {
		at := lines.At(i)
		if line, ok := s.factLineIn(at, at); ok {
			s.fact(line, nil)
		}
	}
}

// add puts an element at the end of the step. Elements are large, so they
// gather in one place for all steps and are copied once.
func (s *stepReading) add(e recipe.Element) { s.body = append(s.body, e) }

// owning adds an element for an instruction or checkpoint to be read into.
// Nothing may be added before it is read.
func (s *stepReading) owning() *recipe.Element {
	s.owned, s.owner = true, len(s.body)
	s.body = append(s.body, recipe.Element{})
	return &s.body[s.owner]
}

// follow adds what stands inside an instruction or checkpoint.
func (s *stepReading) follow(after []recipe.Element) {
	for i := range after {
		if after[i].Kind == recipe.Check {
			s.owner = len(s.body)
		}
		s.add(after[i])
	}
}

// words keeps a block as it is.
func (s *stepReading) words(n ast.Node) {
	if blocks := s.blockOf(nil, n, 0); len(blocks) > 0 {
		s.add(recipe.Element{Kind: recipe.Words, Span: blocks[0].Span, Blocks: blocks})
	}
}

func (s *stepReading) quote(n *ast.Blockquote) {
	notices := s.noticesOf(n)
	if notices == nil {
		s.words(n)
		return
	}
	for i := range notices {
		s.add(recipe.Element{Kind: recipe.Warn, Span: notices[i].Span, Notice: &notices[i]})
	}
}

func (s *stepReading) paragraph(n *ast.Paragraph) {
	inlines := s.inlinesOf(n, 0)
	if len(inlines) == 0 {
		return
	}
	if shown := s.shown(inlines); shown != nil {
		for _, e := range shown {
			s.add(e)
		}
		return
	}
	span := s.blockSpan(n)
	if name, _, ok := labelOf(inlines); ok && s.signalOf(name) != 0 {
		s.say(CautionQuote, span, fmt.Sprintf("This %s stands in no quote, so it is plain text and answers no rule.", strings.ToLower(name)),
			"Write > and a space before it.")
		s.mended(s.putting(span.Start, "> ", "Makes this "+strings.ToLower(name)+" a quote, so that it counts as one."))
	}
	s.add(recipe.Element{Kind: recipe.Words, Span: span, Blocks: []prose.Block{{Span: span, Inlines: inlines}}})
}

// shown are the pictures of a paragraph that holds nothing else; nil where it
// holds words.
func (s *stepReading) shown(inlines []prose.Inline) []recipe.Element {
	n := 0
	for _, in := range inlines {
		switch {
		case in.Kind == prose.Image:
			n++
		case in.Kind == prose.Soft || in.Kind == prose.Break:
		case in.Kind == prose.Text && strings.TrimSpace(in.Text) == "":
		default:
			return nil
		}
	}
	if n == 0 {
		return nil
	}
	out := make([]recipe.Element, 0, n)
	for _, in := range inlines {
		if in.Kind == prose.Image {
			picture := s.pictureOf(in)
			out = append(out, recipe.Element{Kind: recipe.Shown, Span: in.Span, Picture: &picture})
		}
	}
	return out
}

// listOf reads a list of a step: its facts, instructions, checkpoints. facts is
// true where it holds facts; goesOn is true where it goes on with a list of them.
func (s *stepReading) listOf(list *ast.List, goesOn bool) (facts bool) {
	if !list.IsOrdered() {
		known, all := s.factual(list, !s.begun)
		switch {
		case !s.begun:
			facts = known > 0 || goesOn || s.likeFacts(list)
		case known > 0 && all:
			facts = true
			if !s.late {
				s.late = true
				s.say(FactsLate, firstLine(s.blockSpan(list)), "Facts stand here below other words of the step.",
					"Write all facts in one list at the top of the step.")
			}
		}
	}
	mark := 0
	if list.IsOrdered() {
		mark = list.Start
	}
	ended := false
	for c := list.FirstChild(); c != nil; c = c.NextSibling() {
		item, ok := c.(*ast.ListItem)
		if !ok {
			continue
		}
		if facts {
			// Behind an empty line Markdown goes on with the same list; to the
			// author the facts are over.
			line, form := s.factLine(item)
			known := form && line.fact >= 0
			gap := item.HasBlankPreviousLines() && c != list.FirstChild() || goesOn && c == list.FirstChild() && list.HasBlankPreviousLines()
			ended = ended || !known && gap
			if known || form && !ended && !s.belongs(item) {
				s.fact(line, item)
				continue
			}
			if !ended && !form && s.colonless(item) {
				continue
			}
		}
		s.item(item, mark, facts && !ended)
		if list.IsOrdered() {
			mark++
		}
	}
	return facts
}

// belongs says whether an item of a list is a key point, a reason or a sign of
// right and wrong.
func (s *stepReading) belongs(item ast.Node) bool {
	line, ok := s.factLine(item)
	return ok && s.label(line.folded) != 0
}

// item reads an instruction, a checkpoint or what belongs to the one before.
// among is true in the list of facts, where an instruction has no place.
func (s *stepReading) item(item *ast.ListItem, mark int, among bool) {
	if task := taskOf(item); task != "" {
		s.follow(s.checkpoint(s.owning(), item, task))
		return
	}
	if kind := s.belonging(item); kind != 0 {
		var owner *recipe.Element
		if s.owned {
			owner = &s.body[s.owner]
		}
		for _, e := range s.attach(owner, kind, item) {
			s.add(e)
		}
		return
	}
	if among {
		s.say(FactForm, firstLine(s.blockSpan(item)), "This line stands among the facts and is none: a fact is a name, a colon and a value.",
			"Write it as an instruction below the facts, or as a fact: Time: 8 min")
	}
	s.follow(s.order(s.owning(), item, mark))
}

// Kinds of line that belong to the item before them.
const (
	keyPoint = 1 + iota
	reason
	right
	wrong
)

var belongings = map[string]int{"key point": keyPoint, "reason": reason, "right": right, "wrong": wrong}

// belonging says which of them an item is, 0 for none.
func (r *reading) belonging(item ast.Node) int {
	first := item.FirstChild()
	if first == nil || first.Type() != ast.TypeBlock || first.Lines().Len() == 0 {
		return 0
	}
	switch r.body[first.Lines().At(0).Start] {
	case 'k', 'K', 'r', 'R', 'w', 'W', '*', '_', '`':
	default:
		if len(r.own.labels) > 0 {
			break
		}
		return 0 // the quick way out, for nearly every line
	}
	if line, ok := r.factLine(item); ok {
		return r.label(line.folded)
	}
	return 0
}

// order reads an instruction into e. after are the checkpoints, cautions and
// pictures that stand inside it.
func (s *stepReading) order(e *recipe.Element, item *ast.ListItem, mark int) (after []recipe.Element) {
	e.Kind, e.Span, e.Mark = recipe.Order, s.blockSpan(item), mark
	e.Blocks, after = s.inside(e, item, nil)
	return after
}

// inside reads the blocks of an item that is owner, or stands in it. What is
// neither words nor belongs to the owner comes back as elements of their own.
func (s *stepReading) inside(owner *recipe.Element, item ast.Node, skip ast.Node) (blocks []prose.Block, after []recipe.Element) {
	for c := item.FirstChild(); c != nil; c = c.NextSibling() {
		if c == skip {
			continue
		}
		switch n := c.(type) {
		case *ast.List:
			list, more := s.nested(owner, n)
			after = append(after, more...)
			if len(list.Blocks) > 0 {
				blocks = append(blocks, list)
			}
		case *ast.Blockquote:
			notices := s.noticesOf(n)
			for i := range notices {
				after = append(after, recipe.Element{Kind: recipe.Warn, Span: notices[i].Span, Notice: &notices[i]})
			}
			if notices == nil {
				blocks = s.blockOf(blocks, n, 1)
			}
		case *ast.Paragraph, *ast.TextBlock:
			inlines := s.inlinesOf(n, 0)
			if shown := s.shown(inlines); shown != nil {
				after = append(after, shown...)
			} else if len(inlines) > 0 {
				blocks = append(blocks, prose.Block{Span: s.blockSpan(n), Inlines: inlines})
			}
		default:
			blocks = s.blockOf(blocks, n, 1)
		}
	}
	return blocks, after
}

// nested reads a list inside an item: key points and the like go to the owner,
// checkpoints stand on their own, the rest stays a list.
func (s *stepReading) nested(owner *recipe.Element, n *ast.List) (list prose.Block, after []recipe.Element) {
	list = prose.Block{Kind: prose.List, Ordered: n.IsOrdered(), Start: n.Start, Tight: n.IsTight, Span: s.blockSpan(n)}
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		item, ok := c.(*ast.ListItem)
		if !ok {
			continue
		}
		if task := taskOf(item); task != "" {
			var e recipe.Element
			more := s.checkpoint(&e, item, task)
			after = append(append(after, e), more...)
			continue
		}
		if kind := s.belonging(item); kind != 0 {
			// Below a checkpoint of its own, it belongs to that.
			to := owner
			for i := range after {
				if after[i].Kind == recipe.Check {
					to = &after[i]
				}
			}
			after = append(after, s.attach(to, kind, item)...)
			continue
		}
		blocks, more := s.inside(owner, item, nil)
		after = append(after, more...)
		list.Blocks = append(list.Blocks, prose.Block{Kind: prose.Item, Span: s.blockSpan(item), Blocks: blocks})
	}
	return list, after
}

// attach gives a key point, a reason or a sign to the item it belongs to. What
// has no such item is reported and kept as words.
func (s *stepReading) attach(owner *recipe.Element, kind int, item ast.Node) []recipe.Element {
	first := item.FirstChild()
	inlines := s.inlinesOf(first, 0)
	name, rest, _ := labelOf(inlines)
	blocks, after := []prose.Block(nil), []recipe.Element(nil)
	fits := owner != nil && (owner.Kind == recipe.Order && kind <= reason || owner.Kind == recipe.Check && kind >= right)
	if !fits {
		span := s.blockSpan(item)
		what, where := "an instruction", "Write it below the instruction it explains."
		if kind >= right {
			what, where = "a checkpoint", "Write it below the checkpoint it explains."
		}
		s.say(KeyPointPlace, firstLine(span), fmt.Sprintf("%s belongs to %s, and none stands before it here.", capital(quote(name)), what), where)
		blocks = s.blockOf(blocks, item, 1)
		list := prose.Block{Kind: prose.List, Tight: true, Span: span, Blocks: blocks}
		return []recipe.Element{{Kind: recipe.Words, Span: span, Blocks: []prose.Block{list}}}
	}
	span := s.blockSpan(first)
	switch kind {
	case keyPoint:
		owner.KeyPoints = append(owner.KeyPoints, recipe.KeyPoint{Point: rest, Span: span})
	case reason:
		if n := len(owner.KeyPoints); n > 0 && owner.KeyPoints[n-1].Reason == nil {
			k := &owner.KeyPoints[n-1]
			k.Reason, k.Span = rest, k.Span.To(span)
		} else {
			owner.KeyPoints = append(owner.KeyPoints, recipe.KeyPoint{Reason: rest, Span: span})
		}
	case right:
		owner.Check.Right = append(owner.Check.Right, rest)
	case wrong:
		owner.Check.Wrong = append(owner.Check.Wrong, rest)
	}
	blocks, after = s.inside(owner, item, first)
	owner.Blocks = append(owner.Blocks, blocks...)
	return after
}

// nearestStep says which title to write.
func (r *reading) nearestStep(words string, all []string) string {
	number := strings.TrimLeft(strings.TrimPrefix(fold(words), "step"), " #")
	if n, ok := whole(strings.TrimPrefix(number, "no. ")); ok && n >= 1 && n <= len(all) {
		return fmt.Sprintf("Numbers move when a step comes between, titles do not. Step %d is called %s; write the title of the one that is meant.", n, all[n-1])
	}
	if near := keys.Nearest(words, all); near != "" {
		return "Write " + near + "."
	}
	// The beginning of a title is enough, so it may be the beginning that is
	// mistyped.
	count := len(strings.Fields(words))
	beginnings := make([]string, len(all))
	for i, t := range all {
		w := strings.Fields(t)
		beginnings[i] = strings.Join(w[:min(count, len(w))], " ")
	}
	if near := keys.Nearest(words, beginnings); near != "" {
		return "Write " + all[slices.Index(beginnings, near)] + "."
	}
	var best []string
	most := 0
	for _, t := range r.titles {
		n := 0
		for _, w := range strings.Fields(fold(words)) {
			if len(w) > 3 && strings.Contains(t.folded, w) {
				n++
			}
		}
		switch {
		case n > most:
			best, most = []string{t.words}, n
		case n == most && n > 0 && len(best) < 3:
			best = append(best, t.words)
		}
	}
	if n := len(best); n > 1 {
		return "Write the title of a step, perhaps " + strings.Join(best[:n-1], "; ") + " or " + best[n-1] + "."
	} else if n == 1 {
		return "Write the title of a step, perhaps " + best[0] + "."
	}
	if n := len(all); n > 1 && n < short {
		return "Write the title of a step: " + strings.Join(all[:n-1], "; ") + " or " + all[n-1] + "."
	}
	return "Write the title of a step as it stands behind its ##."
}
