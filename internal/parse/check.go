package parse

import (
	"fmt"
	"strings"

	"github.com/yuin/goldmark/ast"

	"coldwright/internal/keys"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// labelOf cuts the label off a line, as in "Raking lamp: no line left": its
// name and the words behind the colon. The name may stand in bold or italics.
func labelOf(inlines []prose.Inline) (name string, rest []prose.Inline, ok bool) {
	if len(inlines) == 0 {
		return "", inlines, false
	}
	first := inlines[0]
	switch first.Kind {
	case prose.Text:
		i := strings.IndexByte(first.Text, ':')
		if i < 1 || i > maxLabel {
			return "", inlines, false
		}
		return strings.TrimSpace(first.Text[:i]), behind(inlines, first, i+1), true
	case prose.Strong, prose.Emphasis:
		words := strings.TrimSpace(prose.Words(first.Children))
		if len(words) > maxLabel {
			return "", inlines, false
		}
		if strings.HasSuffix(words, ":") {
			rest := inlines[1:]
			if len(rest) > 0 && rest[0].Kind == prose.Text {
				rest = behind(inlines[1:], rest[0], 0)
			}
			return strings.TrimSpace(strings.TrimSuffix(words, ":")), rest, words != ":"
		}
		if len(inlines) > 1 && inlines[1].Kind == prose.Text && strings.HasPrefix(inlines[1].Text, ":") && words != "" {
			return words, behind(inlines[1:], inlines[1], 1), true
		}
		// All of the line in bold.
		if len(first.Children) > 0 && first.Children[0].Kind == prose.Text {
			name, rest, ok := labelOf(first.Children)
			if ok {
				first.Children = rest
				return name, append([]prose.Inline{first}, inlines[1:]...), true
			}
		}
	}
	return "", inlines, false
}

// maxLabel is the longest name before a colon, in bytes.
const maxLabel = 40

// behind are inlines without the first n bytes of the first, a text, and the
// spaces after them.
func behind(inlines []prose.Inline, first prose.Inline, n int) []prose.Inline {
	cut := first.Text[n:]
	trimmed := strings.TrimLeft(cut, " \t")
	n += len(cut) - len(trimmed)
	if trimmed == "" {
		rest := inlines[1:]
		if len(rest) > 0 && rest[0].Kind == prose.Soft {
			rest = rest[1:]
		}
		return rest
	}
	if first.Span.End-first.Span.Start == len(first.Text) {
		first.Span.Start += n
	}
	first.Text = trimmed
	out := make([]prose.Inline, len(inlines))
	copy(out, inlines)
	out[0] = first
	return out
}

var signals = map[string]trade.Signal{
	"danger": trade.Danger, "warning": trade.Warning, "caution": trade.Caution, "notice": trade.Notice,
}

var signalWords = []string{"Danger", "Warning", "Caution", "Notice"}

// signalsMeant are words that are often written for a signal word.
var signalsMeant = map[string]string{"careful": "Caution", "attention": "Caution", "beware": "Warning", "hazard": "Warning", "peril": "Danger"}

// signalOf is the signal a word stands for, 0 for none.
func (p *Parser) signalOf(word string) trade.Signal {
	if len(p.own.signals) > 0 {
		if s := p.own.signals[fold(word)]; s != 0 {
			return s
		}
	}
	if len(word) > len("warning") {
		return 0
	}
	if s, ok := signals[word]; ok {
		return s
	}
	return signals[strings.ToLower(word)]
}

// noticesOf reads a quote that opens with a signal word: one notice for every
// paragraph, or line, that opens with one. nil where the quote is plain text.
func (r *reading) noticesOf(q *ast.Blockquote) []recipe.Notice {
	first, ok := q.FirstChild().(*ast.Paragraph)
	if !ok || !r.signalled(first) {
		return nil
	}
	var out []recipe.Notice
	for c := q.FirstChild(); c != nil; c = c.NextSibling() {
		p, ok := c.(*ast.Paragraph)
		if !ok {
			n := &out[len(out)-1]
			n.Blocks = r.blockOf(n.Blocks, c, 1)
			n.Span = n.Span.To(r.blockSpan(c))
			continue
		}
		inlines := r.inlinesOf(p, 0)
		span := r.blockSpan(p)
		for from := 0; from < len(inlines); {
			to := from + 1
			for to < len(inlines) && !r.opens(inlines, to) {
				to++
			}
			words := inlines[from:to]
			at := source.Span{File: r.file, Start: span.Start, End: span.End}
			if from > 0 {
				at.Start = inlines[from].Span.Start
			}
			if to < len(inlines) {
				words = inlines[from : to-1] // without the line end
				at.End = inlines[to-1].Span.Start
			}
			from = to
			name, rest, labelled := labelOf(words)
			signal := trade.Signal(0)
			if labelled {
				signal = r.signalOf(name)
			}
			if signal == 0 && len(out) > 0 {
				n := &out[len(out)-1]
				n.Blocks = append(n.Blocks, prose.Block{Span: at, Inlines: words})
				n.Span = n.Span.To(at)
				continue
			}
			n := recipe.Notice{Signal: signal, Span: at}
			if len(rest) > 0 {
				n.Blocks = []prose.Block{{Span: at, Inlines: rest}}
			}
			out = append(out, n)
		}
	}
	for i := range out {
		out[i].Text = prose.BlockWords(out[i].Blocks)
		if strings.TrimSpace(out[i].Text) == "" {
			r.say(SignalWord, out[i].Span, "Nothing stands behind this signal word.", "Write what is to be done or left.")
		}
	}
	return out
}

// opens says whether a line that begins with a signal word starts at inline i.
func (r *reading) opens(inlines []prose.Inline, i int) bool {
	if k := inlines[i-1].Kind; k != prose.Soft && k != prose.Break {
		return false
	}
	name, _, ok := labelOf(inlines[i:])
	return ok && r.signalOf(name) != 0
}

// signalled says whether a paragraph opens with a signal word, and reports a
// mistyped one.
func (r *reading) signalled(p *ast.Paragraph) bool {
	if p.Lines().Len() == 0 {
		return false
	}
	seg := p.Lines().At(0)
	line := r.all[r.base+seg.Start : r.base+seg.Stop]
	i := strings.IndexByte(line, ':')
	if i >= 0 && i <= maxLabel && r.signalOf(strings.Trim(line[:i], "*_ ")) != 0 {
		return true
	}
	if r.colonless(line, seg.Start) || i < 0 || i > maxLabel {
		return false
	}
	word := strings.Trim(line[:i], "*_ ")
	if len(word) < 5 || len(word) > 10 || strings.ContainsAny(word, " ,.") {
		return false
	}
	near := signalsMeant[strings.ToLower(word)]
	if near == "" {
		near = keys.Nearest(word, r.own.signalWords)
	}
	if near != "" {
		start := r.base + seg.Start + strings.Index(line, word)
		r.say(SignalWord, r.file.Span(start, start+len(word)),
			fmt.Sprintf("%s is no signal word, so this quote is plain text and answers no rule.", capital(quote(word))),
			"Write "+near+".")
		r.slip(r.file.Span(start, start+len(word)), word, r.own.signalWords)
	}
	return false
}

// colonless reports a line that opens with a signal word and has no colon behind
// it. start is its place in the body. "Notice the line" may be an order, so that
// word has to stand in capitals or in bold.
func (r *reading) colonless(line string, start int) bool {
	opening := strings.TrimLeft(line, "*_")
	word := opening
	if i := strings.IndexAny(opening, " *_.!,-–—\n"); i >= 0 {
		word = opening[:i]
	}
	if len(word) == 0 || word[0] < 'A' || word[0] > 'Z' || r.signalOf(word) == 0 {
		return false
	}
	bold := len(opening) < len(line)
	if !bold && word != strings.ToUpper(word) && r.signalOf(word) == trade.Notice {
		return false
	}
	at := start + len(line) - len(opening)
	r.say(SignalWord, r.span(at, at+len(word)), fmt.Sprintf("No colon stands behind %s, so this quote is plain text and answers no rule.", word),
		"Write "+word+": and what is to be done or left.")
	if after := opening[len(word):]; strings.HasPrefix(after, " ") && len(strings.TrimSpace(after)) > 0 {
		r.mended(r.putting(r.base+at+len(word), ":", "Puts a colon behind "+word+"."))
	}
	return true
}

// checkpoint reads a task item into e. after are the elements that stand inside
// it.
func (s *stepReading) checkpoint(e *recipe.Element, item *ast.ListItem, task string) (after []recipe.Element) {
	first := item.FirstChild()
	c := &recipe.Checkpoint{Span: s.blockSpan(first)}
	e.Kind, e.Span, e.Check = recipe.Check, s.blockSpan(item), c
	s.spaces(first)
	if task == "x" {
		s.say(TickBox, c.Span, "This checkpoint is ticked already, before anybody has looked.",
			"Write - [ ] with a space between the brackets.")
		if text := c.Span.Text(); len(text) > 2 && text[0] == '[' && text[2] == ']' {
			s.mended(instead(c.Span.Part(1, 2), " ", "Empties the tick box."))
		}
	}
	inlines := s.inlinesOf(first, 0)
	inlines, c.Return = s.goBack(inlines)
	c.Words = inlines
	c.Text = collapse(prose.Words(inlines))
	if c.Text == "" {
		s.say(TickBox, c.Span, "This checkpoint says nothing of what must be true.",
			"Write what is looked at and what it has to show: - [ ] Raking lamp: no line left")
	}
	if name, _, ok := labelOf(inlines); ok {
		s.opening(c, name, inlines)
	}
	if c.Tile == "" {
		c.Tile = s.tileIn(c.Text)
	}
	if first.NextSibling() != nil {
		var blocks []prose.Block
		blocks, after = s.inside(e, item, first)
		e.Blocks = append(e.Blocks, blocks...)
	}
	return after
}

// opening reads what a checkpoint opens with: a test, a tile, a stop.
func (s *stepReading) opening(c *recipe.Checkpoint, name string, inlines []prose.Inline) {
	folded := fold(name)
	if folded == "stop" || s.own.stops[folded] {
		c.Stops = true
		return
	}
	if code, ok := strings.CutPrefix(folded, "tile "); ok {
		code = strings.TrimSpace(name[len(name)-len(code):])
		if t := s.house.FindTile(code); t != nil {
			c.Tile = t.Code
		} else {
			at := inlines[0].Span
			at.End = min(at.End, at.Start+len(name))
			s.tile(at, code)
		}
		return
	}
	if c.Test = s.house.FindTest(name); c.Test != nil {
		return
	}
	if _, surface := s.surfaces[folded]; surface {
		return
	}
	if near := keys.Nearest(name, s.names.tests); near != "" {
		at := inlines[0].Span
		at.End = min(at.End, at.Start+len(name))
		s.say(UnknownTest, at, fmt.Sprintf("%s is no test of the house, so no method prints for it.", capital(quote(name))),
			"Write "+near+" if that is the test meant.")
		s.slip(at, name, s.names.tests)
	}
}

// tileIn is the code of the first tile a text names, as in "matches tile T5".
func (s *stepReading) tileIn(text string) string {
	if len(s.house.Tiles) == 0 {
		return ""
	}
	for from := 0; ; {
		i := strings.Index(text[from:], "ile ")
		if i < 0 {
			return ""
		}
		at := from + i
		from = at + len("ile ")
		if at == 0 || text[at-1] != 't' && text[at-1] != 'T' {
			continue
		}
		word := text[from:]
		if j := strings.IndexAny(word, " ,.;:)"); j >= 0 {
			word = word[:j]
		}
		if t := s.house.FindTile(word); t != nil {
			return t.Code
		}
	}
}

// goBack cuts the step to go back to off the end of a checkpoint, as in
// "no grey -> Smooth the base".
func (s *stepReading) goBack(inlines []prose.Inline) ([]prose.Inline, recipe.Field[recipe.Return]) {
	var f recipe.Field[recipe.Return]
	for i := len(inlines) - 1; i >= 0; i-- {
		in := inlines[i]
		if in.Kind != prose.Text {
			continue
		}
		at, size := strings.LastIndex(in.Text, "->"), len("->")
		if j := strings.LastIndex(in.Text, "→"); j > at {
			at, size = j, len("→")
		}
		if at < 0 {
			continue
		}
		tail := append([]prose.Inline{{Text: in.Text[at+size:]}}, inlines[i+1:]...)
		words := strings.Join(strings.Fields(prose.Words(tail)), " ")
		start, end := in.Span.Start, inlines[len(inlines)-1].Span.End
		if in.Span.End-in.Span.Start == len(in.Text) {
			start += at + size
			for start < end && isSpace(s.all[start]) {
				start++
			}
		}
		f.Span = source.Span{File: s.file, Start: start, End: max(end, start)}
		if words == "" {
			s.say(UnknownStep, s.file.Span(max(start-size, 0), start), "No step stands behind the arrow.",
				"Write the title of the step to go back to, or take the arrow out.")
		} else {
			f.Value.Title = words
			f.Value.Step = s.stepNamed(f.Span, words)
			f.OK = f.Value.Step > 0
		}
		out := make([]prose.Inline, i, i+1)
		copy(out, inlines[:i])
		if left := strings.TrimRight(in.Text[:at], " \t"); left != "" {
			if in.Span.End-in.Span.Start == len(in.Text) {
				in.Span.End = in.Span.Start + len(left)
			}
			in.Text = left
			out = append(out, in)
		}
		return out, f
	}
	return inlines, f
}
