package rules

import (
	"iter"
	"slices"
	"strings"
	"sync"

	"coldwright/internal/check"
	"coldwright/internal/keys"
	"coldwright/internal/process"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// safety is what the safety rules ask of one recipe, worked out once.
type safety struct {
	c *check.Context
	r *recipe.Recipe
	// read is the recipe as it is read, scan what was found in that.
	read reading
	scan scan
	// named are the topics that stand on the recipe by name.
	named map[string]bool
	steps []stepFacts
	// lead is true where the piece is to be handled as lead glass, leadCoat
	// where only its coating may hold lead, putty where "putty powder" is named.
	lead, leadCoat, putty bool

	notices  []placed
	gathered bool

	// words is room for the sentence that is looked at.
	words []noteWord
}

// stepFacts are what one step does, as far as safety asks.
type stepFacts struct {
	s    *recipe.Step
	p    *process.StepPlan
	kind *trade.MachineKind
	// powered, spindle and handheld are the machine's; blast, belt, wheel and
	// soak what is done.
	powered, spindle, handheld, blast, belt, wheel, soak bool
	// turns is what turns where the step names no machine: "felt wheel".
	turns string
	// grinds is true where glass comes off by grinding or sawing, not by polish.
	grinds bool
}

// placed is an author's caution and where it stands; step is -1 before the
// first step.
type placed struct {
	recipe.Notice
	step int
	note note
}

type safetyKey struct{}

// safetyOf is what the safety rules share of one recipe.
func safetyOf(c *check.Context) *safety {
	return c.Once(safetyKey{}, func() any { return newSafety(c) }).(*safety)
}

func newSafety(c *check.Context) *safety {
	r := c.Recipe
	f := &safety{c: c, r: r, named: make(map[string]bool, len(r.Cautions)+len(c.House.Always)), steps: make([]stepFacts, len(r.Steps))}
	if r.File != nil {
		f.read = readingOf(r.File)
		f.scan = scanText(f.read.Bytes)
	}
	for _, t := range r.Cautions {
		if t.Topic != nil {
			f.named[t.Topic.Name] = true
		} else if t.Span.Known() {
			// A mistyped topic is reported as such, and not as absent too.
			f.named[keys.Nearest(t.Span.Text(), topicNames(c.House))] = true
		}
	}
	for _, t := range c.House.Always {
		f.named[t.Name] = true
	}
	f.lead = r.GlassUnknown || r.Glass.Value != nil && (r.Glass.Value.Lead || r.Glass.Value.PbO > 0)
	if r.Coating != nil {
		switch r.Coating.Kind.Value {
		case "enamel", "paint", "lustre", "gilding":
			f.leadCoat = true
		}
	}
	f.putty = f.puttyAt() != nil
	for i := range r.Steps {
		f.steps[i] = factsOf(&r.Steps[i], &c.Plan.Steps[i], c.House)
	}
	if f.scan.has(soaks...) {
		f.markSoaks()
	}
	return f
}

// puttyAt are the places that name putty powder and do not only forbid it.
func (f *safety) puttyAt() []source.Span {
	if !f.scan.has(signPutty) {
		return nil
	}
	var spans []source.Span
	for _, h := range f.scan.hits {
		if h.sign == signPutty && !f.bannedAt(h.at) {
			spans = append(spans, f.read.span(h.at, h.at+len("putty powder")))
		}
	}
	return spans
}

func topicNames(h *trade.House) []string {
	names := make([]string, len(h.Topics))
	for i, t := range h.Topics {
		names[i] = t.Name
	}
	return names
}

func factsOf(s *recipe.Step, p *process.StepPlan, h *trade.House) stepFacts {
	m, a := s.Machine.Value, &s.Abrasive.Value
	f := stepFacts{s: s, p: p, kind: m.Kind}
	if m.Kind != nil {
		f.powered, f.spindle, f.handheld = m.Kind.Powered, m.Kind.Spindle, m.Kind.Handheld
		f.belt = m.Kind.Name == wetBelt
	} else if !s.Machine.Written() {
		f.runsOn(h)
	}
	f.blast = p.Class == trade.Blast || blasting(s)
	if a.Tool != nil {
		f.wheel = a.Tool.Wheel
		f.belt = f.belt || a.Tool.Name == "belt" && f.powered
	}
	cuts := a.Tool != nil && a.Tool.Cutting || m.Kind != nil && m.Kind.Name == wetSaw
	f.grinds = s.Working() && !f.blast && (cuts || isWork(a, trade.Grind))
	return f
}

// runsOn takes from what the step works with what its machine is, where the step
// names none: a wheel, a brush, a belt or a disc runs, and so does a pad of a
// written diameter.
func (f *stepFacts) runsOn(h *trade.House) {
	a, m := &f.s.Abrasive.Value, f.s.Medium.Value
	var on []string
	switch {
	case m.Kind != nil:
		on, f.turns = m.Kind.On, mediumName(m)
	case a.Tool != nil && a.Bond != trade.Loose:
		on, f.turns = a.Tool.On, a.Tool.Name
	}
	if len(on) == 0 {
		f.turns = ""
		return
	}
	machines, spindles := 0, 0
	byHand := false
	for _, name := range on {
		for _, k := range h.Kinds {
			if k.Name != name {
				continue
			}
			byHand = byHand || !k.Powered
			if k.Powered {
				machines++
				if k.Spindle {
					spindles++
				}
			}
		}
	}
	f.powered = machines > 0 && (!byHand || f.p.Diameter > 0 || contains(f.turns, "belt", "disc", "blade"))
	f.spindle = f.powered && spindles == machines
	f.belt = f.powered && contains(f.turns, "belt")
	if !f.powered {
		f.turns = ""
	}
}

// Kinds of machine the safety rules tell apart by name.
const (
	wetBelt         = "wet belt"
	wetSaw          = "wet saw"
	drillPress      = "drill"
	handDrill       = "hand-held drill"
	turningLathe    = "lathe"
	uprightPolisher = "upright polisher"
	benchGrinder    = "bench grinder"
)

// works says whether the step takes glass off by anything but a blast.
func (s *stepFacts) works() bool { return s.s.Working() && !s.blast }

// is says whether the step is done on a machine of one of the kinds.
func (s *stepFacts) is(kinds ...string) bool {
	if s.kind == nil {
		return false
	}
	for _, k := range kinds {
		if s.kind.Name == k {
			return true
		}
	}
	return false
}

// at is where the step names its machine, else the first of its facts that
// stands, else its title.
func (s *stepFacts) at(spans ...source.Span) source.Span {
	for _, span := range append(spans, s.s.Machine.Span, s.s.Abrasive.Span, s.s.Water.Span) {
		if span.Known() {
			return span
		}
	}
	return s.s.Span
}

// machine is the step's machine for a sentence: "The flat lap LAP3"; where it
// names none, what turns: "The felt wheel".
func (s *stepFacts) machine() string { return "The " + s.machineName() }

// machineName is the machine without its article.
func (s *stepFacts) machineName() string {
	if s.turns != "" {
		return s.turns
	}
	return machineName(s.s.Machine.Value)
}

// stepAt is the number of the step a span lies in, 0 outside the steps.
func (f *safety) stepAt(span source.Span) int {
	if span.File != f.r.File {
		return 0
	}
	for i := range f.r.Steps {
		if s := &f.r.Steps[i]; s.All.Known() && span.Start >= s.All.Start && span.Start < s.All.End {
			return s.Number
		}
	}
	return 0
}

// isTopic says whether the span lies in the list of cautions, where "acid
// soak" is the name of a note.
func (f *safety) isTopic(span source.Span) bool {
	for _, t := range f.r.Cautions {
		if t.Topic != nil && t.Span.Known() && span.Start >= t.Span.Start && span.End <= t.Span.End {
			return true
		}
	}
	return false
}

// citedLines are the lines of the shop file that the recipe's steps cite, where
// the shop file names acid at all.
func (f *safety) citedLines() []source.Span {
	var lines []source.Span
	if len(acidSites(f.c.House.File)) == 0 {
		return nil
	}
	for i := range f.steps {
		if s := f.steps[i].s.Abrasive.Value.Stock; s != nil && s.Span.Known() {
			lines = append(lines, entry(s.Span))
		}
		if s := f.steps[i].s.Medium.Value.Stock; s != nil && s.Span.Known() {
			lines = append(lines, entry(s.Span))
		}
	}
	return lines
}

// acidSites are the places of a shop file that name acid or fluoride work. They
// are found once for a file.
func acidSites(file *source.File) []acidSite {
	if file == nil {
		return nil
	}
	if known, ok := acidFiles.Load(file); ok {
		return known.([]acidSite)
	}
	read := readingOf(file)
	s := scanText(read.Bytes)
	sites := acidIn(&read, &s, len(s.acid))
	acidFiles.Store(file, sites)
	return sites
}

var acidFiles sync.Map

// entry is the whole entry of a shop file that begins with the key at span: its
// line and the lines below it that are set in further.
func entry(span source.Span) source.Span {
	if !span.Known() {
		return span
	}
	line, column := span.File.Position(span.Start)
	last := line
	for last < span.File.Lines() {
		next := span.File.Line(last + 1)
		set := len(next) - len(strings.TrimLeft(next, " "))
		if strings.TrimSpace(next) != "" && set < column {
			break
		}
		last++
	}
	return span.File.Span(span.Start, span.File.Offset(last, len(span.File.Line(last))+1))
}

// told says whether byte at of what was read is told to the reader: it lies in the
// title, in the stop or below the front matter.
func (f *safety) told(at int) bool {
	head := f.r.Head
	at = f.read.raw(at)
	if !head.Known() || at < head.Start || at >= head.End {
		return true
	}
	for _, span := range []source.Span{f.r.Title.Span, f.r.Stop.Span} {
		if span.Known() && at >= span.Start && at < span.End {
			return true
		}
	}
	return false
}

// hitsIn are the places within a step where one of the signs was found.
func (f *safety) hitsIn(s *recipe.Step, any ...sign) iter.Seq[hit] {
	return func(yield func(hit) bool) {
		if !s.All.Known() {
			return
		}
		for _, h := range f.scan.hits {
			if !slices.Contains(any, h.sign) {
				continue
			}
			if at := f.read.raw(h.at); at >= s.All.Start && at < s.All.End && !yield(h) {
				return
			}
		}
	}
}

// hitIn is the first place within a step where one of the signs was found and is
// not only forbidden.
func (f *safety) hitIn(s *recipe.Step, any ...sign) (source.Span, bool) {
	for h := range f.hitsIn(s, any...) {
		if !f.bannedAt(h.at) {
			return f.wordAt(h.at), true
		}
	}
	return source.Span{}, false
}

// wordAt is the word that a hit at byte at of what was read lies in, from there
// on.
func (f *safety) wordAt(at int) source.Span { return f.read.span(at, wordEnd(f.read.Bytes, at)) }

// hitAnywhere is the first place in the recipe where one of the signs was found.
func (f *safety) hitAnywhere(any ...sign) (source.Span, bool) {
	for _, h := range f.scan.hits {
		for _, w := range any {
			if h.sign == w {
				return f.wordAt(h.at), true
			}
		}
	}
	return source.Span{}, false
}

// wordEnd is where the word that byte at lies in ends.
func wordEnd(text []byte, at int) int {
	for at < len(text) && (isLetter(text[at]) || isDigit(text[at]) || text[at] >= 0x80) {
		at++
	}
	return at
}

// soaks are the signs of a weak acid or a cleaner.
var soaks = []sign{signVinegar, signAcetic, signCitric, signCleaner, signRemover, signDescale, signBrighten, signDissolver}

// markSoaks marks the steps whose words put the piece into vinegar, a named
// weak acid or a cleaner: the sentence must not only forbid it.
func (f *safety) markSoaks() {
	for i := range f.steps {
		s := &f.steps[i]
		for h := range f.hitsIn(s.s, soaks...) {
			if h.sign >= signCleaner {
				if _, _, ok := cleanerAt(f.read.Bytes, h.at); !ok {
					continue
				}
			}
			if !f.bannedAt(h.at) {
				s.soak = true
				break
			}
		}
	}
}

// bannedAt says whether the sentence around byte at of what was read only forbids the word there.
func (f *safety) bannedAt(at int) bool {
	start, end := sentence(f.read.Bytes, at)
	n := readNote(string(f.read.Bytes[start:end]))
	for _, w := range n.words {
		if w.end > at-start {
			return w.mood != plain
		}
	}
	return false
}

// notes are the author's own cautions, read once and only where a rule is not
// answered by a topic.
func (f *safety) allNotices() []placed {
	if f.gathered {
		return f.notices
	}
	f.gathered = true
	for _, n := range f.r.Notices {
		f.notices = append(f.notices, placed{n, -1, readNote(n.Text)})
	}
	for i := range f.r.Steps {
		for j := range f.r.Steps[i].Body {
			if e := &f.r.Steps[i].Body[j]; e.Kind == recipe.Warn {
				f.notices = append(f.notices, placed{*e.Notice, i, readNote(e.Notice.Text)})
			}
		}
	}
	return f.notices
}

// saying is one stretch of what a step tells the reader, in words.
type saying struct {
	text string
	span source.Span
}

// sayings are the words of a step: its title, facts, orders with their key
// points, cautions and checkpoints.
func sayings(s *recipe.Step) []saying {
	list := []saying{{s.Title, s.Span}}
	for _, fact := range s.Facts {
		list = append(list, saying{fact.Value, fact.Span})
	}
	for i := range s.Body {
		e := &s.Body[i]
		switch e.Kind {
		case recipe.Warn:
			list = append(list, saying{e.Notice.Text, e.Notice.Span})
		case recipe.Check:
			list = append(list, saying{e.Check.Text, e.Check.Span})
		default:
			if words := prose.BlockWords(e.Blocks); words != "" {
				list = append(list, saying{words, e.Span})
			}
		}
		for _, k := range e.KeyPoints {
			list = append(list, saying{prose.Words(k.Point) + ". " + prose.Words(k.Reason), k.Span})
		}
	}
	return list
}

// titleTells says whether the title opens with one of the verbs and names one
// of the things after it.
func titleTells(title string, verbs, things map[string]bool) bool {
	first := wordLength(title)
	if first == 0 || !verbs[stem(lower(title[:first]))] {
		return false
	}
	if things == nil {
		return true
	}
	for _, w := range splitWords(title[first:]) {
		if things[w.stem] {
			return true
		}
	}
	return false
}

// contains says whether the words of a house hold one of the texts, whatever
// the case.
func contains(words string, texts ...string) bool {
	words = strings.ToLower(words)
	for _, t := range texts {
		if strings.Contains(words, t) {
			return true
		}
	}
	return false
}
