package parse

import (
	"fmt"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/text"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

const factCount = 17

// factTable are the facts a step may open with, in the format's spelling and
// order.
var factTable = [factCount]struct {
	name string
	read func(*stepReading, value)
}{
	{"Surface", (*stepReading).surfaceFact},
	{"Abrasive", (*stepReading).abrasiveFact},
	{"Medium", (*stepReading).mediumFact},
	{"Machine", (*stepReading).machineFact},
	{"Water", (*stepReading).waterFact},
	{"Mix", (*stepReading).mixFact},
	{"Charge", (*stepReading).chargeFact},
	{"Time", (*stepReading).timeFact},
	{"Pressure", (*stepReading).pressureFact},
	{"Depth", (*stepReading).depthFact},
	{"Bench", (*stepReading).benchFact},
	{"Clean-down", (*stepReading).cleanFact},
	{"Return to", (*stepReading).returnFact},
	{"Amount", (*stepReading).amountFact},
	{"Mask", (*stepReading).maskFact},
	{"Unmask", (*stepReading).unmaskFact},
	{"Only if", (*stepReading).onlyIfFact},
}

// factNames are their names, factIndex their places by folded name.
var factNames, factIndex = func() (all []string, at map[string]int) {
	at = make(map[string]int, len(factTable)+1)
	for i, f := range factTable {
		all = append(all, f.name)
		at[fold(f.name)] = i
		at[f.name] = i
	}
	at["cleandown"] = at["clean down"]
	return all, at
}()

// factMeant are words people write for a fact.
var factMeant = map[string]string{
	"surfaces": "Surface", "face": "Surface", "faces": "Surface", "area": "Surface",
	"grit": "Abrasive", "grade": "Abrasive", "powder": "Abrasive", "compound": "Abrasive",
	"wheel": "Medium", "pad": "Medium", "lap": "Medium", "felt": "Medium", "brush": "Medium",
	"speed": "Machine", "rpm": "Machine", "lathe": "Machine", "equipment": "Machine",
	"coolant": "Water", "slurry": "Mix", "consistency": "Mix", "feed": "Charge",
	"minutes": "Time", "duration": "Time", "force": "Pressure", "load": "Pressure",
	"station": "Bench", "place": "Bench", "cleanup": "Clean-down", "clean up": "Clean-down", "cleaning": "Clean-down",
	"go back to": "Return to", "back to": "Return to", "return": "Return to",
	"quantity": "Amount", "tape": "Mask", "cover": "Mask", "uncover": "Unmask", "if": "Only if",
}

// factLine is a line in the form of a fact: Name: value. Places are bytes of
// the body.
type factLine struct {
	name, folded       string
	nameStart, nameEnd int
	start, end         int
	// fact is the place in factTable, -1 for an unknown name.
	fact int
}

// factLine reads an item as a fact. ok is false where it has not the form of
// one: a name of up to three words, a colon, a value.
func (r *reading) factLine(item ast.Node) (l factLine, ok bool) {
	block := item.FirstChild()
	switch block.(type) {
	case *ast.TextBlock, *ast.Paragraph:
	default:
		return l, false
	}
	lines := block.Lines()
	if lines.Len() == 0 {
		return l, false
	}
	return r.factLineIn(lines.At(0), lines.At(lines.Len()-1))
}

// factLineIn reads lines of the body, from the first to the last, as a fact.
func (r *reading) factLineIn(first, last text.Segment) (l factLine, ok bool) {
	line := r.all[r.base+first.Start : r.base+first.Stop]
	colon := strings.IndexByte(line, ':')
	if colon < 1 || colon > maxLabel {
		return l, false
	}
	from, to := 0, colon
	for from < to && nameMark(line[from]) {
		from++
	}
	for to > from && nameMark(line[to-1]) {
		to--
	}
	if from == to {
		return l, false
	}
	opening := strings.TrimSpace(line[:from])
	l.name = line[from:to]
	l.nameStart, l.nameEnd = first.Start+from, first.Start+to
	l.start, l.end = first.Start+colon+1, r.trimBody(first.Start+colon+1, last.Stop)
	for l.start < l.end && isSpace(r.body[l.start]) {
		l.start++
	}
	// Marks that opened before the name and close behind the colon, or at the
	// end of the line.
	if opening != "" && strings.TrimSpace(line[to:colon]) == "" {
		if v := r.body[l.start:l.end]; strings.HasPrefix(string(v), opening) {
			l.start += len(opening)
		} else if strings.HasSuffix(string(v), opening) {
			l.end -= len(opening)
		}
	}
	l.start, l.end = r.unwrap(l.start, l.end)
	var known bool
	if l.fact, known = factIndex[l.name]; !known {
		l.folded = fold(l.name)
		if l.fact, known = factIndex[l.folded]; !known {
			if l.fact, known = r.own.facts[l.folded]; !known {
				l.fact = -1
			}
		}
	}
	if !known && strings.Count(l.folded, " ") > 2 {
		return l, false
	}
	return l, true
}

func nameMark(b byte) bool { return b == '*' || b == '_' || b == '`' || b == ' ' || b == '\t' }

// unwrap takes marks of emphasis or code off a value that stands wholly inside
// them, and spaces.
func (r *reading) unwrap(start, end int) (int, int) {
	for {
		for start < end && isSpace(r.body[start]) {
			start++
		}
		end = r.trimBody(start, end)
		if end-start < 3 {
			return start, end
		}
		c := r.body[start]
		if c != '*' && c != '_' && c != '`' || r.body[end-1] != c {
			return start, end
		}
		inner := strings.Trim(string(r.body[start:end]), string(c))
		if strings.IndexByte(inner, c) >= 0 {
			return start, end // marks around parts of it
		}
		start, end = start+1, end-1
	}
}

// factual counts the items of a list that carry the name of a fact, and says
// whether all do that are neither checkpoints nor belong to one. With any it is
// content with one.
func (r *reading) factual(list *ast.List, any bool) (known int, all bool) {
	all = true
	for c := list.FirstChild(); c != nil; c = c.NextSibling() {
		if taskOf(c) != "" || c.FirstChild() == nil {
			continue // a hyphen with nothing behind it is no line of anything
		}
		line, ok := r.factLine(c)
		switch {
		case ok && line.fact >= 0:
			known++
			if any {
				return known, all
			}
		case ok && r.label(line.folded) != 0:
		default:
			all = false
		}
	}
	return known, all
}

// likeFacts says whether a list with no known fact is one of facts all the
// same: its first line is in the form of one, and its name nearly known.
func (r *reading) likeFacts(list *ast.List) bool {
	for c := list.FirstChild(); c != nil; c = c.NextSibling() {
		if taskOf(c) != "" {
			continue
		}
		line, ok := r.factLine(c)
		return ok && (factMeant[line.folded] != "" || keys.Nearest(line.name, r.own.names) != "")
	}
	return false
}

// value is the value of a fact.
type value struct {
	text string
	at   source.Span
	// exact is true where byte n of text is byte n of at.
	exact bool
	// item holds it; nil for a plain fact, which has no marks and nothing below.
	item ast.Node
	name string
}

// part is where the bytes start to end of the value stand.
func (v value) part(start, end int) source.Span {
	if !v.exact || start < 0 || end > len(v.text) || end <= start {
		return v.at
	}
	return v.at.Part(start, end)
}

// fact reads one line of the list of facts. item is nil for a plain one.
func (s *stepReading) fact(l factLine, item ast.Node) {
	text := s.all[s.base+l.start : s.base+l.end]
	f := recipe.Fact{NameSpan: s.span(l.nameStart, l.nameEnd), Span: s.span(l.start, l.end)}
	v := value{at: f.Span, exact: true, item: item}
	if strings.IndexByte(text, '\n') >= 0 || strings.IndexByte(text, '\t') >= 0 || strings.IndexByte(text, '\r') >= 0 {
		// Line ends and tabs are spaces; every byte keeps its place.
		text = strings.NewReplacer("\r", " ", "\n", " ", "\t", " ").Replace(text)
	}
	v.text = s.clean(text)
	if resolved := unescape(v.text); resolved != v.text || len(v.text) != l.end-l.start {
		v.text, v.exact = resolved, false
	}
	f.Value = collapse(v.text)
	if item != nil {
		s.factHTML(item.FirstChild())
	}
	if l.fact < 0 {
		s.step.Facts = append(s.step.Facts, f)
		if meant, ok := s.unknownFact(f.NameSpan, l.name); ok {
			s.meant = append(s.meant, meantFact{meant, v, len(*s.list) - 1})
		}
	} else {
		s.known(l, f, v)
	}
	if item != nil {
		s.below(item)
	}
}

// known reads a fact whose name is known.
func (s *stepReading) known(l factLine, f recipe.Fact, v value) {
	f.Name = factTable[l.fact].name
	v.name = f.Name
	if s.step.Facts == nil {
		s.step.Facts = make([]recipe.Fact, 0, factsFrom(v.item))
	}
	s.step.Facts = append(s.step.Facts, f)
	if first := s.given[l.fact]; first.Known() {
		line, _ := s.file.Position(first.Start)
		s.say(FactTwice, f.NameSpan, fmt.Sprintf("%s is written twice in this step; the first stands in line %d.", f.Name, line),
			"Keep one of the two.")
		return
	}
	s.given[l.fact] = f.NameSpan
	if v.text == "" {
		v.at = f.NameSpan
		s.say(BadFact, f.NameSpan, fmt.Sprintf("The fact %s says nothing.", f.Name), "Write its value behind the colon, or take the line out.")
	}
	if s.choice(v) {
		return
	}
	factTable[l.fact].read(s, v)
}

// choice reports a fact that leaves a choice of two, and keeps in mind that it
// was written.
func (s *stepReading) choice(v value) bool {
	i := strings.Index(v.text, " or ")
	if i <= 0 || strings.IndexByte(v.text[:i], '(') >= 0 {
		return false
	}
	help := "Keep the one that goes with the steps before and after it. For the other write a step of its own with `Only if:` and what must be seen."
	switch v.name {
	case "Abrasive":
		s.step.Abrasive.Span = v.at
	case "Medium":
		s.step.Medium.Span = v.at
	case "Machine":
		s.step.Machine.Span = v.at
	case "Water":
		s.step.Water.Span = v.at
	case "Mix":
		s.step.Mix.Span = v.at
	case "Time":
		s.step.Time.Span = v.at
		help = "Write one, or the lowest, the usual and the most: 6-8-12 min."
	case "Charge":
		s.step.Charge.Span = v.at
		help = "Write one."
	case "Pressure":
		s.step.Pressure.Span = v.at
		help = "Write one."
	case "Depth":
		s.step.Depth.Span = v.at
		help = "Write the deepest it may be."
	default:
		return false
	}
	s.say(ChoiceInFact, v.at, fmt.Sprintf("%s leaves a choice of two: %s.", v.name, quote(collapse(v.text))), help)
	return true
}

// colonless reads a line among the facts that is one but for its colon: "Water
// damp". What cannot be read so is left as it is.
func (s *stepReading) colonless(item ast.Node) bool {
	block := item.FirstChild()
	if taskOf(item) != "" || block == nil || block.Type() != ast.TypeBlock || block.Lines().Len() != 1 || block.NextSibling() != nil {
		return false
	}
	at := block.Lines().At(0)
	end := s.trimBody(at.Start, at.Stop)
	line := string(s.reading.body[at.Start:end])
	for n := 2; n > 0; n-- {
		words := strings.Fields(line)
		if len(words) <= n {
			continue
		}
		name := strings.Join(words[:n], " ")
		fact, known := factIndex[fold(name)]
		if !known || !strings.HasPrefix(line, name+" ") || s.given[fact].Known() {
			continue
		}
		start := at.Start + len(name)
		for isSpace(s.reading.body[start]) {
			start++
		}
		before, kept := len(*s.list), *s.step
		l := factLine{name: name, nameStart: at.Start, nameEnd: at.Start + len(name), start: start, end: end, fact: fact}
		s.fact(l, item)
		if len(*s.list) > before {
			*s.list, *s.step, s.given[fact] = (*s.list)[:before], kept, source.Span{}
			return false
		}
		whole := s.span(at.Start, end)
		s.say(FactForm, whole, "The colon behind "+name+" is missing.", "Write `- "+name+": "+string(s.reading.body[start:end])+"`.")
		s.mended(diag.Word(s.span(at.Start, at.Start+len(name)), name, name+":"))
		return true
	}
	return false
}

// meantFact is a fact whose name was misspelt: fact is the one most likely
// meant.
type meantFact struct {
	fact int
	v    value
	// said is the place in the list of the finding.
	said int
}

// readMeant reads the facts whose names were misspelt as the ones they most
// likely are, unless the step says those too. The slip itself is reported
// already; without this a slip in `Water` would also be called a step without
// water.
func (s *stepReading) readMeant() {
	for _, m := range s.meant {
		if !s.given[m.fact].Known() && m.v.text != "" {
			before := len(*s.list)
			s.given[m.fact] = m.v.at
			m.v.name = factTable[m.fact].name
			factTable[m.fact].read(s, m.v)
			// Another word for a fact is the slip it looks like where what stands
			// behind it can be read as that fact.
			if d := &(*s.list)[m.said]; !d.Mend.Known() && factMeant[fold(d.Span.Text())] == m.v.name && len(*s.list) == before {
				d.Mend = diag.Word(d.Span, d.Span.Text(), m.v.name)
			}
		}
	}
}

// factsFrom is about how many facts there are from an item on.
func factsFrom(item ast.Node) int {
	n := 1
	for c := item.NextSibling(); c != nil && n < factCount; c = c.NextSibling() {
		n++
	}
	return n
}

// unknownFact reports a name that is no fact's and gives the fact that was
// most likely meant.
func (s *stepReading) unknownFact(at source.Span, name string) (meant int, ok bool) {
	near := factMeant[fold(name)]
	if near == "" {
		near = keys.Nearest(name, s.own.names)
	}
	help := "The facts of a step are " + strings.Join(factNames, ", ") + ". Anything else goes below them as an instruction."
	if near != "" {
		help = "Write " + near + "."
	}
	s.say(UnknownFact, at, fmt.Sprintf("%s is no fact of a step.", capital(quote(name))), help)
	if factMeant[fold(name)] == "" {
		s.slip(at, name, s.own.names)
	}
	if meant, ok = factIndex[fold(near)]; !ok {
		meant, ok = s.own.facts[fold(near)]
	}
	return meant, ok
}

// factHTML keeps in mind the HTML in a fact's line.
func (s *stepReading) factHTML(block ast.Node) {
	for c := block.FirstChild(); c != nil; c = c.NextSibling() {
		if c.Kind() == ast.KindRawHTML {
			s.inlineOf(c, 0)
		}
	}
}

// below reads what stands under a fact: checkpoints are taken, everything
// else is kept as words and reported.
func (s *stepReading) below(item ast.Node) {
	first := item.FirstChild()
	if first == nil || first.NextSibling() == nil {
		return
	}
	blocks, after := s.inside(nil, item, first)
	if len(blocks) > 0 {
		line := firstLine(blocks[0].Span)
		message, help := "Nothing but its value stands behind a fact.", "Write it as an instruction below the facts."
		fact := strings.TrimLeft(line.Text(), "-*+ \t")
		if colon := strings.IndexByte(fact, ':'); colon > 0 {
			if i, known := factIndex[fold(fact[:colon])]; known {
				message = "The line of " + factNames[i] + " is set in, as if it belonged to the fact above it."
				help = "Let it begin as far left as the fact above it: - " + fact
			}
		}
		s.say(FactForm, line, message, help)
		s.add(recipe.Element{Kind: recipe.Words, Span: blocks[0].Span, Blocks: blocks})
	}
	for i := range after {
		s.owned = s.owned || after[i].Kind == recipe.Check
	}
	s.follow(after)
}

// collapse sets spaces in a row as one.
func collapse(s string) string {
	if !strings.Contains(s, "  ") {
		return strings.TrimSpace(s)
	}
	return strings.Join(strings.Fields(s), " ")
}

// freeText is a fact in free words, its marks of emphasis resolved.
func (s *stepReading) freeText(v value) recipe.Field[string] {
	words := collapse(v.text)
	if v.item == nil {
		return recipe.Field[string]{Value: words, Span: v.at, OK: words != ""}
	}
	block := v.item.FirstChild()
	if block != nil && strings.ContainsAny(words, "*_`[~<") {
		// Its inlines have been read or will be nowhere else: no picture or
		// HTML is counted twice.
		pictures, html := s.recipe.Pictures, s.html
		if _, rest, ok := labelOf(s.inlinesOf(block, 0)); ok {
			words = collapse(prose.Words(rest))
		}
		s.recipe.Pictures, s.html = pictures, html
	}
	return recipe.Field[string]{Value: words, Span: v.at, OK: words != ""}
}

// surfacesIn reads names of surfaces with commas or "and" between them. all is
// true for the one word all.
func (s *stepReading) surfacesIn(v value, from, to int) (uses []recipe.SurfaceUse, all bool) {
	var room [8][2]int
	gap := false
	for _, p := range pieces(v.text[from:to], ',', room[:0]) {
		start, end := from+p[0], from+p[1]
		if start == end {
			if !gap {
				s.say(BadFact, v.at, "A surface is missing beside a comma.", "Write the names with commas between them: base, rim.")
			}
			gap = true
			continue
		}
		words := v.text[start:end]
		if cut, ok := strings.CutPrefix(words, "and "); ok {
			start += len(words) - len(cut)
			words = cut
		}
		folded := fold(words)
		if folded == "all" {
			all = true
			continue
		}
		if _, ok := s.surfaces[folded]; !ok {
			if i := strings.Index(words, " and "); i >= 0 {
				// One level is enough for "base and rim"; more follow in turn.
				left, _ := s.surfacesIn(v, start, start+i)
				right, _ := s.surfacesIn(v, start+i+len(" and "), end)
				uses = append(append(uses, left...), right...)
				continue
			}
		}
		use := recipe.SurfaceUse{Name: words, Span: v.part(start, end)}
		if i, ok := s.surfaces[folded]; ok {
			use.Surface = &s.recipe.Surfaces[i]
			use.Name = use.Surface.Name.Value
			repeated := false
			for _, u := range uses {
				repeated = repeated || u.Surface == use.Surface
			}
			if repeated {
				s.say(BadFact, use.Span, fmt.Sprintf("The surface %s is named twice in one line.", quote(use.Name)), "Name it once.")
				continue
			}
		} else {
			s.noSurface(use.Span, words)
		}
		uses = append(uses, use)
	}
	return uses, all
}
