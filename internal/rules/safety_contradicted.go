package rules

import (
	"bytes"
	"slices"
	"strings"
	"sync"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

var cautionContradicted = check.Rule{
	ID: "caution-contradicted", Severity: diag.Error, Concern: diag.People,
	Title: "No sentence tells the reader to do what a caution of the recipe forbids.",
	Why: "A sheet that says never to tip slurry down the sink, and four lines further down says to, is believed in the line that is nearer to the hand. " +
		"No test is made with a hand on what turns, however slow it is.",
	Source: "common practice",
	Quiet: "the sentence forbids the deed, only tells what comes of it, or stands behind \"Wrong:\"; the caution is not in force in the recipe. " +
		"It knows the deeds of a list, not every way of saying them",
	Bad:  "1. Tip the slurry down the sink.",
	Good: "1. Pour the slurry into its bucket.",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		if !f.scan.has(signAct, signWaive, signBare, signGlove, signVisitor) {
			return
		}
		said := map[int]bool{}
		d := forbiddenDeeds()
		var maybe []int
		for i := 0; i < len(f.scan.hits); {
			h := f.scan.hits[i]
			if !ofDeeds(h.sign) || !f.told(h.at) {
				i++
				continue
			}
			start, end := sentence(f.read.Bytes, h.at)
			maybe = maybe[:0]
			for first := i; i < len(f.scan.hits) && (i == first || f.scan.hits[i].at < end); i++ {
				maybe = append(maybe, d.byStem[f.scan.hits[i].word]...)
			}
			f.contradicted(start, end, maybe, func(finding check.Finding) {
				said[finding.Step] = true
				found(finding)
			})
		}
		f.glovesAtBelts(said, found)
	},
}

// ofDeeds says whether a sign may be part of a deed.
func ofDeeds(s sign) bool {
	return s == signAct || s == signWaive || s == signBare || s == signGlove || s == signVisitor
}

// act is a deed ready to be looked for.
type act struct {
	trade.Act
	// topic is the caution that forbids it first.
	topic             string
	order, of, unless map[string]bool
	// stems are the stems of its verbs.
	stems map[string]bool
	as    []pattern
}

// actList is acts by the words that may order them.
type actList struct {
	all []act
	// by holds the acts by their verbs and the stems of those.
	by map[string][]int
	// byStem holds the acts that may stand where a sign word was found.
	byStem [][]int
}

// forbiddenDeeds are the deeds of the built-in cautions, made ready once.
var forbiddenDeeds = sync.OnceValue(func() actList {
	d := actList{by: map[string][]int{}, byStem: make([][]int, len(signWords))}
	for _, t := range trade.BuiltIn().Topics {
		for _, a := range t.Acts {
			ready := act{
				Act: a, topic: t.Name, order: wordSet(strings.Join(a.Order, " ")), stems: stemSet(strings.Join(a.Order, " ")),
				of: ofSet(a.Of), unless: ofSet(a.Unless), as: readied(a.As, false),
			}
			for _, n := range ready.signs() {
				d.byStem[n] = append(d.byStem[n], len(d.all))
			}
			for w := range ready.stems {
				d.by[w] = append(d.by[w], len(d.all))
			}
			for w := range ready.order {
				if !ready.stems[w] {
					d.by[w] = append(d.by[w], len(d.all))
				}
			}
			d.all = append(d.all, ready)
		}
	}
	return d
})

// signs are indices of the sign words where the deed may stand: those in its
// phrases, and where a phrase has none, those in its things or its verbs.
func (a *act) signs() []int {
	var list []int
	if a.Waived {
		for n, w := range signWords {
			if w.sign == signWaive {
				list = append(list, n)
			}
		}
		return list
	}
	for _, phrase := range a.As {
		n := signsIn(strings.TrimPrefix(phrase, "any: "))
		if len(n) == 0 {
			for _, w := range append(slices.Clone(a.Of), a.Order...) {
				n = append(n, signsIn(w)...)
			}
		}
		list = append(list, n...)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// signsIn are indices of the sign words of deeds in a phrase, with nothing or a
// small word in its gaps.
func signsIn(phrase string) []int {
	var list []int
	for _, gap := range []string{" ", " the ", " your ", " a "} {
		s := scanText([]byte("it " + strings.ReplaceAll(strings.ReplaceAll(phrase, " .. ", gap), " ~ ", gap) + " it"))
		for _, h := range s.hits {
			if ofDeeds(h.sign) {
				list = append(list, h.word)
			}
		}
	}
	return list
}

// ordering are those of the acts one of whose verbs stands in the sentence, and
// those that need none, in the order of the table. With free set what is to be
// tipped away needs none either.
func (d *actList) ordering(words []noteWord, maybe []int, free bool) []int {
	var list []int
	for i := range words {
		for _, n := range d.by[words[i].text] {
			if slices.Contains(maybe, n) {
				list = append(list, n)
			}
		}
		if words[i].stem == words[i].text {
			continue
		}
		for _, n := range d.by[words[i].stem] {
			if slices.Contains(maybe, n) {
				list = append(list, n)
			}
		}
	}
	for _, n := range maybe {
		if a := &d.all[n]; a.Bare || a.Waived || free && a.order["tip"] {
			list = append(list, n)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// ofSet holds the words as they are, and the stems of those that are no -ing
// form: "turning" is not "turn".
func ofSet(list []string) map[string]bool {
	set := map[string]bool{}
	for _, w := range list {
		w = lower(w)
		set[w] = true
		if !strings.HasSuffix(w, "ing") {
			set[stem(w)] = true
		}
	}
	return set
}

// contradicted looks in one sentence of the recipe for deeds that a caution in
// force forbids, among those that may stand there.
func (f *safety) contradicted(start, end int, maybe []int, found func(check.Finding)) {
	text := f.read.Bytes
	label := labelBefore(text, start)
	if badLabels[label] {
		return
	}
	free := label == "clean-down"
	d := forbiddenDeeds()
	if free {
		maybe = append(maybe, d.by["tip"]...)
	}
	if openings, sure := openingsIn(text[start:end]); sure {
		maybe = slices.DeleteFunc(maybe, func(n int) bool { return !d.all[n].mayOpen(openings) })
	}
	if len(maybe) == 0 {
		return
	}
	f.words = addWords(f.words[:0], string(text[start:end]))
	words := f.words
	slices.Sort(maybe)
	marks := marksOf(words)
	maybe = slices.DeleteFunc(slices.Compact(maybe), func(n int) bool { return !d.all[n].mayStand(words, marks) })
	if len(maybe) == 0 {
		return
	}
	list := d.ordering(words, maybe, free)
	markMoods(words)
	markDecoys(words)
	for _, i := range list {
		a := &d.all[i]
		from, to, ok := a.orderedIn(words, free)
		if !ok {
			continue
		}
		for n := 0; n < 6 && to < len(words) && words[to].gap == space; n++ {
			to++ // the rest of the clause, so that what is quoted is a sentence
		}
		span := f.read.span(start+words[from].start, start+words[to-1].end)
		step := f.stepAt(span)
		topic, ok := f.forbids(a, step)
		if !ok || underBan(text, start) || onceSaid(text[start:end], words, from) {
			continue
		}
		if step > 0 && f.steps[step-1].spindle && a.as[0].stems[0] == "glov" {
			continue // spindle-grabs says so
		}
		where := ""
		if step > 0 {
			where = " in step " + itoa(step)
		}
		found(check.Finding{
			Span: span, Step: step,
			Message: "\"" + oneLine(span.Text()) + "\"" + where + " goes against the note \"" + topic + "\": " + a.Tell + ".",
			Help:    "Take it out, or write it as the note has it.",
		})
		return
	}
}

// orderedIn says whether the sentence orders the deed, and in which words. With
// free set it needs no verb: what stands behind "Clean-down:" is to be done.
func (a *act) orderedIn(words []noteWord, free bool) (from, to int, ok bool) {
	if a.Waived {
		return a.waivedIn(words)
	}
	from = -1
	for i := range words {
		if a.orders(words, i) {
			from = i
			break
		}
	}
	if from < 0 && !free && !a.Bare {
		return 0, 0, false
	}
	at, end, ok := a.phraseIn(words)
	if !ok {
		return 0, 0, false
	}
	of := len(a.Of) == 0
	for i := range words {
		w := &words[i]
		if a.unless[w.text] || a.unless[w.stem] {
			return 0, 0, false
		}
		of = of || a.of[w.text] || a.of[w.stem]
	}
	if from < 0 {
		from = 0
	}
	return min(from, at), max(end, from+1), of
}

// mayOpen says whether a sentence whose words open so may hold a phrase of the deed.
func (a *act) mayOpen(openings uint64) bool {
	for i := range a.as {
		if a.as[i].openings&^openings == 0 {
			return true
		}
	}
	return false
}

// mayStand says whether the words of one of the deed's phrases all stand in the
// sentence, in their order, whatever stands between them and whatever is said of
// them, and one of its things: most sentences that hold one word of a deed hold no
// other.
func (a *act) mayStand(words []noteWord, marks uint64) bool {
	for i := range a.as {
		if p := &a.as[i]; p.marks&^marks == 0 && p.mayStand(words) {
			return len(a.of) == 0 || slices.ContainsFunc(words, func(w noteWord) bool { return a.of[w.text] || a.of[w.stem] })
		}
	}
	return false
}

// mayStand says whether the words of a phrase stand in the sentence in their order,
// whatever stands between them.
func (p *pattern) mayStand(words []noteWord) bool {
	left := p.stems
	for j := range words {
		if words[j].stem == left[0] {
			if left = left[1:]; len(left) == 0 {
				return true
			}
		}
	}
	return false
}

// phraseIn is where one of the deed's phrases stands, not forbidden and not waived.
func (a *act) phraseIn(words []noteWord) (at, end int, ok bool) {
	for i := range a.as {
		first := a.as[i].stems[0]
		for at := range words {
			if words[at].stem != first {
				continue
			}
			m, end, ok := a.as[i].matchAt(words, at, 0)
			if ok && (m == plain || a.as[i].asks == either) {
				return at, end, true
			}
		}
	}
	return 0, 0, false
}

// orders says whether word i is one of the act's verbs, given as an order: "tip
// it", "it is tipped", "it goes".
func (a *act) orders(words []noteWord, i int) bool {
	w := &words[i]
	if w.mood != plain || w.lost || w.text == "have" && i+1 < len(words) && words[i+1].text == "been" || comesToNothing(words, i) {
		return false
	}
	if a.order[w.text] && w.text != "goes" && (w.text != "go" || imperative(words, i)) {
		return imperative(words, i) || orderedWhen(words, i) || secondOrder(words, i) || permitted(words, i)
	}
	passive := strings.HasSuffix(w.text, "ed") && i > 0 && (words[i-1].text == "is" || words[i-1].text == "are" || words[i-1].text == "be") && a.stems[w.stem]
	if !passive && !(a.order[w.text] && (w.text == "goes" || w.text == "go")) {
		return false
	}
	for j := i; j >= 0; j-- {
		if conditions[words[j].text] || relatives[words[j].text] {
			return false
		}
		if words[j].gap != space {
			break
		}
	}
	return true
}

// harms are what comes of a deed in a sentence that warns of it.
var harms = wordSet("chip chips crack cracks break breaks burst bursts shell shells splits jams grabs throws thrown lose loses lost warning hospital bleed bleeds ruin ruins spoils regret scratch scratches")

// comesToNothing says whether the order at word i is none after all: "skip nothing",
// "rub your eyes with nothing that was here", "leave the building only when the pan
// stands", "force the cut and it chips".
func comesToNothing(words []noteWord, i int) bool {
	for j := i + 1; j < len(words) && words[j].gap != fullStop; j++ {
		next := ""
		if j+1 < len(words) && words[j+1].gap == space {
			next = words[j+1].text
		}
		switch words[j].text {
		case "nothing":
			if j == i+1 || words[j-1].text == "with" {
				return true
			}
		case "only":
			if next == "when" || next == "once" || next == "after" {
				for _, w := range words[j+2:] {
					if standsStill[w.text] {
						return true
					}
				}
			}
		case "and":
			if words[i].gap == fullStop && (next == "it" || next == "you" || next == "the" || next == "he" || next == "they") {
				for _, w := range words[j+2:] {
					if w.gap == fullStop {
						break
					}
					if harms[w.text] {
						return true
					}
				}
			}
		}
	}
	return false
}

// standsStill are words of what no longer turns.
var standsStill = wordSet("stands stand stopped stop still rest standstill off out")

// onceSaid says whether the deed at word from stands in quotes that somebody said
// once: "\"One hand will do,\" he said".
func onceSaid(text []byte, words []noteWord, from int) bool {
	if before := text[:words[from].start]; !bytes.HasSuffix(before, []byte{'"'}) && !bytes.HasSuffix(before, []byte("“")) {
		return false
	}
	for i := from + 1; i+1 < len(words); i++ {
		if once := words[i+1].text; once != "said" && once != "thought" && once != "swore" {
			continue
		}
		switch words[i].text {
		case "he", "she", "they", "somebody":
			return true
		}
	}
	return false
}

// relatives are words behind which a verb says what something does.
var relatives = wordSet("that which who whoever what whatever anything wherever where how why")

// forbids says which caution in force forbids the act at the step; 0 is outside
// the steps.
func (f *safety) forbids(a *act, step int) (topic string, ok bool) {
	topics := append([]string{a.topic}, a.Also...)
	for _, name := range topics {
		if step > 0 && f.inForce(name, step, true) {
			return name, true
		}
	}
	for _, name := range topics {
		if f.inForce(name, step, a.Here) {
			return name, true
		}
	}
	return "", false
}

// inForce says whether a caution stands on the recipe, by name or because
// something in it calls for it; with here set a step must call for it itself.
func (f *safety) inForce(topic string, step int, here bool) bool {
	here = here && step > 0
	if f.named[topic] && !here {
		return true
	}
	for i := range f.steps {
		if (!here || i+1 == step) && f.hangs(topic, i) {
			return true
		}
	}
	for i := range needs {
		if needs[i].topic != topic {
			continue
		}
		for _, c := range needs[i].calls(f) {
			if !here || c.step+1 == step {
				return true
			}
		}
	}
	return false
}

// glovesAtBelts finds steps at a belt that tell the reader to wear gloves, but
// for those of which something was said.
func (f *safety) glovesAtBelts(said map[int]bool, found func(check.Finding)) {
	if !f.scan.has(signGlove) {
		return
	}
	for i := range f.steps {
		s := &f.steps[i]
		if !s.belt || s.spindle || said[s.s.Number] {
			continue
		}
		for _, says := range sayings(s.s) {
			if !ordersGloves(says.text) {
				continue
			}
			found(check.Finding{
				Span: f.gloveIn(says.span), Step: s.s.Number,
				Message: capital(stepNo(s.s)) + " tells the reader to wear gloves, and the note \"belt\" says: no gloves, the belt pulls them in.",
				Help:    "Write \"No gloves at the belt\", or \"Gloves for carrying only, off at the belt\".",
			})
			break
		}
	}
}

// badLabels are what stands before a colon where what follows is not to be done,
// or only tells why.
var badLabels = wordSet("wrong never not avoid reason forbidden bad")

// labelBefore is the last word before the colon that a sentence stands behind,
// "clean-down" whole; "" where there is none.
func labelBefore(text []byte, start int) string {
	i := start
	for i > 0 && (text[i-1] == ' ' || text[i-1] == '*') {
		i--
	}
	if i == 0 || text[i-1] != ':' {
		return ""
	}
	i--
	end := i
	for i > 0 && (isLetter(text[i-1]) || text[i-1] == '-') {
		i--
	}
	return strings.ToLower(string(text[i:end]))
}

// underBan says whether the sentence at start lies in a list below words that
// forbid: "Never:" with the deeds below it.
func underBan(text []byte, start int) bool {
	for at := bytes.LastIndexByte(text[:start], '\n'); at > 0; {
		before := bytes.LastIndexByte(text[:at], '\n')
		line := bytes.TrimSpace(text[before+1 : at])
		if len(line) > 0 && !opensItem(line) {
			if line[len(line)-1] != ':' {
				return false
			}
			for _, w := range splitWords(string(line)) {
				if w.text == "never" || w.text == "not" || w.text == "dont" || w.text == "wrong" || w.text == "no" || w.text == "avoid" || w.text == "forbidden" {
					return true
				}
			}
			return false
		}
		at = before
	}
	return false
}

// opensItem says whether a line is an item of a list.
func opensItem(line []byte) bool {
	switch c := line[0]; {
	case c == '-' || c == '*' || c == '+':
		return true
	case isDigit(c):
		n := 0
		for n < len(line) && isDigit(line[n]) {
			n++
		}
		return n < len(line) && (line[n] == '.' || line[n] == ')')
	}
	return false
}
