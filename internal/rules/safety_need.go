package rules

import (
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// need is a note that the recipe must carry where something in it calls for
// one. A rule is a topic, what calls for it, and how grave it is to leave it out.
type need struct {
	rule check.Rule
	// topic is the caution that answers it.
	topic string
	// calls are the places that call for the note, in the order of the steps.
	calls func(f *safety) []call
	// facts are what the topic's wording depends on; nil where nothing.
	facts func(f *safety) map[string]float64
	// answer is another way to answer than a note, for the help; "" for none.
	answer string
	// also finds what no note answers; nil where there is nothing such.
	also func(f *safety, found func(check.Finding))
}

// call is one place that calls for a note.
type call struct {
	// step is an index into the steps, -1 for the recipe as a whole.
	step int
	span source.Span
	// because says what calls for it: a whole sentence without its full stop.
	because string
	// same is the reason without the names of machines and powders: calls with one
	// reason are one finding. Empty where because is the same for all.
	same string
	// answer is another way to answer it than a note, as that of the need.
	answer string
	// severity replaces the rule's own where not 0.
	severity diag.Severity
}

// ready is the rule with its check.
func (n need) ready() check.Rule {
	n.rule.Check = func(c *check.Context, found func(check.Finding)) { n.check(safetyOf(c), found) }
	return n.rule
}

// asks says whether anything in the recipe calls for the note.
func (n need) asks(f *safety) bool { return len(n.calls(f)) > 0 }

func (n need) check(f *safety, found func(check.Finding)) {
	if n.also != nil {
		n.also(f, found)
	}
	topic := f.c.House.FindTopic(n.topic)
	named := f.named[n.topic]
	if named && (n.facts == nil || topic == nil || !topic.House) {
		return
	}
	calls := n.calls(f)
	if len(calls) == 0 {
		return
	}
	var facts map[string]float64
	if n.facts != nil {
		facts = n.facts(f)
		n.houseWords(topic, facts, calls[0], f.number(calls[0].step), found)
	}
	if named {
		return
	}
	var open []call
	for _, c := range calls {
		if !f.hangs(n.topic, c.step) {
			open = append(open, c)
		}
	}
	if len(open) == 0 {
		return
	}
	var groups []group
	for _, c := range open {
		a := f.answer(topic, facts, c.step)
		if a.full {
			continue
		}
		same := c.same
		if same == "" {
			same = c.because
		}
		at := slices.IndexFunc(groups, func(g group) bool { return g.same == same })
		if at < 0 {
			groups = append(groups, group{same: same, near: a})
			at = len(groups) - 1
		}
		groups[at].left = append(groups[at].left, c)
	}
	for _, g := range groups {
		found(n.finding(f, topic, g.left, g.near))
	}
}

// houseWords holds the house's own words for a topic against what the recipe's
// figures ask of it: words that do for 12 kg may not do for 40.
func (n need) houseWords(topic *trade.Topic, facts map[string]float64, c call, step int, found func(check.Finding)) {
	if topic == nil || !topic.House {
		return
	}
	missing := readNote(topic.Full).lacks(asked(topic, facts))
	wanted := wantedSignal(topic, facts)
	if len(missing) == 0 && topic.Signal >= wanted {
		return
	}
	finding := check.Finding{Span: c.span, Step: step, Message: placedIn(c.because, step) + ". The house's words for \"" + n.topic + "\" do not say all that this asks for."}
	if len(missing) > 0 {
		finding.Help = "In the shop file let them " + wanting(missing) + "."
	} else {
		finding.Message = placedIn(c.because, step) + ". The house's words for \"" + n.topic + "\" open with " + word(topic.Signal) + ", which is too weak a word for this."
		finding.Help = "In the shop file let them open with `" + word(wanted) + ":`."
	}
	found(finding)
}

// wantedSignal is the weakest signal word that a topic may bear for the figures,
// whoever wrote its words.
func wantedSignal(topic *trade.Topic, facts map[string]float64) trade.Signal {
	wanted := topic.Wording(facts).Signal
	if own := trade.BuiltIn().FindTopic(topic.Name); topic.House && own != nil {
		wanted = max(wanted, own.Wording(facts).Signal)
	}
	return wanted
}

// group are the places that call for a note for one and the same reason.
type group struct {
	same string
	left []call
	near answer
}

// hangs says whether the topic hangs on the machine of the step.
func (f *safety) hangs(topic string, step int) bool {
	if step < 0 || f.steps[step].kind == nil {
		return false
	}
	for _, t := range f.steps[step].kind.Topics {
		if t == topic {
			return true
		}
	}
	return false
}

// answer is how near the author's own cautions come to a topic.
type answer struct {
	// full is true where one carries every idea with a signal word at least as
	// strong.
	full bool
	// span is the one that comes nearest, where one comes near at all.
	span source.Span
	// lacks is what that one does not say; none where only its word is weak.
	lacks []lack
	// early is true where it says all and stands before the first step, but
	// must stand at the step.
	early  bool
	signal trade.Signal
}

// answer looks through the author's cautions that hold for the step: those
// before the first step, unless the note must stand at the step, those of the
// step itself, and those of earlier steps on the same machine.
func (f *safety) answer(topic *trade.Topic, facts map[string]float64, step int) answer {
	var best answer
	if topic == nil || len(topic.Ideas) == 0 {
		return best
	}
	ideas := asked(topic, facts)
	wanted := wantedSignal(topic, facts)
	nearest := 0
	var strong []placed
	for _, p := range f.allNotices() {
		if !f.holds(p.step, step) {
			continue
		}
		lacks := p.note.lacks(ideas)
		early := topic.AtStep && p.step < 0 && step >= 0
		if p.Signal >= wanted && !early {
			if len(lacks) == 0 {
				return answer{full: true}
			}
			strong = append(strong, p)
		}
		if carried := len(ideas) - len(lacks); carried > nearest && near(carried, len(ideas)) {
			nearest = carried
			best = answer{span: p.Span, lacks: lacks, early: early && len(lacks) == 0, signal: p.Signal}
		}
	}
	// Cautions that stand at one place may say between them what is asked.
	for i := 0; i < len(strong); {
		j := i + 1
		for j < len(strong) && strong[j].step == strong[i].step {
			j++
		}
		if j-i > 1 {
			notes := make([]note, 0, j-i)
			for _, p := range strong[i:j] {
				notes = append(notes, p.note)
			}
			if len(betweenThem(notes, ideas)) == 0 {
				return answer{full: true}
			}
		}
		i = j
	}
	return best
}

// near says whether a caution that carries some of the ideas of a topic comes
// near it: two of them, or all but one.
func near(carried, all int) bool { return carried >= 2 || carried > 0 && carried >= all-1 }

// holds says whether a caution written at one step holds at another.
func (f *safety) holds(written, step int) bool {
	switch {
	case written < 0:
		return true
	case step < 0:
		return false
	case written == step:
		return true
	case written > step:
		return false
	}
	key := machineKey(f.steps[step].s.Machine.Value)
	return key != "" && key == machineKey(f.steps[written].s.Machine.Value)
}

// finding puts the places that are left into one finding.
func (n need) finding(f *safety, topic *trade.Topic, left []call, near answer) check.Finding {
	first := left[0]
	out := check.Finding{Span: first.span, Step: f.number(first.step)}
	for _, c := range left {
		if s := c.severity; s != 0 {
			out.Severity = max(out.Severity, s)
		}
	}
	var b strings.Builder
	b.WriteString(placedIn(first.because, f.number(first.step)))
	b.WriteString(". ")
	note := "the note \"" + n.topic + "\""
	switch {
	case near.early:
		b.WriteString("The caution before the first step is " + note + ", and this one must stand at the step.")
	case near.span.Known() && len(near.lacks) == 0:
		b.WriteString("The caution written is " + note + ", but " + word(near.signal) + " is too weak a word for it.")
	case near.span.Known():
		b.WriteString("A caution is written, but it is not recognised as " + note + "; name the topic.")
	default:
		b.WriteString(strings.ToUpper(note[:1]) + note[1:] + " is missing.")
	}
	if len(left) > 1 {
		numbers := make([]string, 0, len(left))
		for _, c := range left[1:] {
			out.Also = append(out.Also, diag.Site{Span: c.span, Step: f.number(c.step)})
			if c.step >= 0 {
				numbers = append(numbers, strconv.Itoa(f.number(c.step)))
			}
		}
		switch {
		case len(numbers) == 1:
			b.WriteString(" The same goes for step " + numbers[0] + ".")
		case len(numbers) > 1:
			b.WriteString(" The same goes for steps " + listed(numbers, "and") + ".")
		}
	}
	out.Message = b.String()
	if n.answer == "" {
		n.answer = first.answer
	}
	out.Help = n.help(topic, near)
	// Where the missing fact answers as well as the note, only the lead knows which.
	if n.answer == "" && !near.early && (!near.span.Known() || len(near.lacks) > 0) {
		out.Mend = addTopic(f.c, n.topic)
	}
	return out
}

// placedIn says a reason with the number of its step: "here" becomes "in step
// 3", and "this step" becomes "step 3".
func placedIn(because string, step int) string {
	if step == 0 {
		return because
	}
	number := "step " + strconv.Itoa(step)
	because = strings.Replace(because, "This step", capital(number), 1)
	because = strings.Replace(because, "this step", number, 1)
	if rest, ok := strings.CutSuffix(because, " here"); ok {
		return rest + " in " + number
	}
	return strings.Replace(because, " here,", " in "+number+",", 1)
}

// help says what to write.
func (n need) help(topic *trade.Topic, near answer) string {
	help := "Add `" + n.topic + "` to `cautions:`"
	if topic == nil || topic.Standing {
		help += ", or to `always:` in the shop file"
	}
	switch {
	case near.early:
		help += "; or move the caution to the step"
	case near.span.Known() && len(near.lacks) == 0:
		help += "; or let the caution open with `" + word(topic.Wording(nil).Signal) + ":`"
	case near.span.Known():
		help += "; or let the caution " + wanting(near.lacks)
	}
	if n.answer != "" {
		help += "; or " + n.answer
	}
	return help + "."
}

// word is a signal word as an author writes it.
func word(s trade.Signal) string {
	w := s.String()
	if w == "" {
		return "no signal word"
	}
	return w[:1] + strings.ToLower(w[1:])
}

func (f *safety) number(step int) int {
	if step < 0 {
		return 0
	}
	return f.steps[step].s.Number
}

// each gathers the steps that call for a note: where gives the words to point
// at and why, and false where the step does not call for it.
func each(where func(f *safety, i int, s *stepFacts) (call, bool)) func(f *safety) []call {
	return func(f *safety) []call {
		var calls []call
		for i := range f.steps {
			if c, ok := where(f, i, &f.steps[i]); ok {
				c.step = i
				calls = append(calls, c)
			}
		}
		return calls
	}
}
