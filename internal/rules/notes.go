package rules

import (
	"strings"
	"sync"

	"coldwright/internal/trade"
)

// A note in free words is judged sentence by sentence. Words are compared
// whole, with simple endings taken off. What a sentence forbids or waives does
// not count as said, and what it orders does not count as forbidden.
//
// A phrase of an idea is a few words of the bench:
//
//	wipe wet           the words, one after the other
//	wipe .. wet        at most six words may stand between
//	down ~ drain       at most two words may stand between
//	never: dry         the note must forbid it, whatever the idea is
//	do: bare hands     the note must say it and not forbid it
//	any: hair          forbidden or not, it is spoken of ("no loose hair")
//
// Without a word in front a phrase is looked for the way its idea asks: said
// where the idea is a "do", forbidden where it is a "don't".

// note is an author's words, ready to be judged.
type note struct {
	words []noteWord
}

// readNote splits a note and marks what it forbids and waives.
func readNote(text string) note {
	n := note{splitWords(text)}
	markMoods(n.words)
	markDecoys(n.words)
	return n
}

// asks says how a phrase is to be met.
type asks int

const (
	said asks = iota
	banned
	either
)

// pattern is a phrase ready to be looked for.
type pattern struct {
	asks  asks
	stems []string
	// loose is how many other words may stand before each stem.
	loose []int
	// marks are those of the stems, openings those of how they begin.
	marks, openings uint64
}

// markOf is one bit of 64 for a stem; two stems may have one.
func markOf(stem string) uint64 {
	n := len(stem)
	if n == 0 {
		return 1
	}
	return 1 << ((uint(stem[0])*7 + uint(stem[n/2])*5 + uint(stem[n-1])*3 + uint(n)*11) & 63)
}

// marksOf are the marks of the words: a phrase one of whose marks is missing does not
// stand among them.
func marksOf(words []noteWord) (marks uint64) {
	for i := range words {
		marks |= markOf(words[i].stem)
	}
	return marks
}

// widest and narrow are how many words may stand where a phrase has ".." and "~".
const (
	widest = 6
	narrow = 2
)

func newPattern(phrase string, forbid bool) pattern {
	p := pattern{}
	if forbid {
		p.asks = banned
	}
	for prefix, a := range map[string]asks{"never:": banned, "do:": said, "any:": either} {
		if rest, ok := strings.CutPrefix(phrase, prefix); ok {
			p.asks, phrase = a, rest
			break
		}
	}
	p.stems, p.loose = splitPhrase(phrase)
	for _, stem := range p.stems {
		p.marks |= markOf(stem)
	}
	p.openings = openingsOf(p.stems)
	return p
}

// splitPhrase gives the stems of a phrase and where it is loose.
func splitPhrase(phrase string) (stems []string, loose []int) {
	room := 0
	for _, part := range strings.Fields(phrase) {
		switch part {
		case "..":
			room = widest
			continue
		case "~":
			room = narrow
			continue
		}
		for _, w := range splitWords(part) {
			stems = append(stems, w.stem)
			loose = append(loose, room)
			room = 0
		}
	}
	return stems, loose
}

// matchAt says whether the pattern's words from n on stand at word i or, where
// it is loose, a little after; end is the word behind the last one. The worst
// mood of the words that matched is in m.
func (p *pattern) matchAt(words []noteWord, i, n int) (m mood, end int, ok bool) {
	for skip := 0; i < len(words); skip, i = skip+1, i+1 {
		w := &words[i]
		if n > 0 && w.gap == fullStop {
			return 0, 0, false
		}
		if n > 0 && p.loose[n] == 0 && w.gap != space {
			return 0, 0, false
		}
		if !w.lost && w.stem == p.stems[n] {
			if n+1 == len(p.stems) {
				return w.mood, i + 1, true
			}
			if rest, end, ok := p.matchAt(words, i+1, n+1); ok {
				return max(rest, w.mood), end, true
			}
		}
		if n == 0 || skip >= p.loose[n] {
			return 0, 0, false
		}
	}
	return 0, 0, false
}

// idea is an idea ready to be looked for.
type idea struct {
	trade.Idea
	patterns, spoilt, weak []pattern
}

func newIdea(i trade.Idea) idea {
	return idea{Idea: i, patterns: readied(i.Phrases, i.Forbid), spoilt: readied(i.Spoilt, false), weak: readied(i.Weak, false)}
}

// readied are phrases ready to be looked for.
func readied(phrases []string, forbid bool) []pattern {
	list := make([]pattern, 0, len(phrases))
	for _, phrase := range phrases {
		if p := newPattern(phrase, forbid); len(p.stems) > 0 {
			list = append(list, p)
		}
	}
	return list
}

// verdict is what a note makes of an idea.
type verdict struct {
	// carried is true where the note says it.
	carried bool
	// undone are words of the note that undo the idea, less words that name less
	// than it asks for; "" for none.
	undone, less string
}

// in says whether the note carries the idea.
func (d *idea) in(n note) bool { return d.judge(n).carried }

// judge says what the note makes of the idea.
func (d *idea) judge(n note) verdict {
	var v verdict
	named := false
	for i := range d.patterns {
		p := &d.patterns[i]
		for at := range n.words {
			m, end, ok := p.matchAt(n.words, at, 0)
			if !ok || m == waived {
				continue
			}
			switch {
			case p.asks == either && !anyAllowed(n.words[at:end]), p.asks == said && m == plain, p.asks == banned && m == forbidden:
				v.carried = true
				named = named || d.weak != nil && strings.ContainsAny(d.Phrases[i], "0123456789")
			case p.asks == banned && d.Forbid && ordered(n.words, at) && !d.instead(n, at):
				// The note orders what it ought to forbid.
				return verdict{undone: n.words[at].text}
			}
		}
	}
	if words := n.plainly(d.spoilt); words != "" {
		return verdict{undone: words}
	}
	// A class that is named outright counts whatever else is named.
	if words := n.plainly(d.weak); words != "" && !named {
		return verdict{less: strings.ToUpper(words)}
	}
	return v
}

// instead says whether what the note orders at a word is one of the things that
// meet the idea: "eat and drink outside".
func (d *idea) instead(n note, at int) bool {
	for i := range d.patterns {
		p := &d.patterns[i]
		if p.asks != said {
			continue
		}
		if m, _, ok := p.matchAt(n.words, at, 0); ok && m == plain {
			return true
		}
	}
	return false
}

// plainly are the words of the note that say one of the phrases and neither
// forbid nor waive it; "" where it says none.
func (n note) plainly(phrases []pattern) string {
	for i := range phrases {
		for at := range n.words {
			m, end, ok := phrases[i].matchAt(n.words, at, 0)
			if ok && (m == plain || phrases[i].asks == either) {
				words := make([]string, 0, end-at)
				for _, w := range n.words[at:end] {
					words = append(words, w.text)
				}
				return strings.Join(words, " ")
			}
		}
	}
	return ""
}

func anyAllowed(words []noteWord) bool {
	for i := range words {
		if words[i].allowed {
			return true
		}
	}
	return false
}

// ordered says whether word i is what a sentence tells the reader to do or to
// wear: it opens a clause, or stands close behind "wear" or "use".
func ordered(words []noteWord, i int) bool {
	if meals[words[i].stem] && i > 0 && servings[words[i-1].text] {
		return false // "food, drink and cigarettes stay outside"
	}
	for back := i; back >= 0 && i-back <= 4; back-- {
		w := &words[back]
		if back < i && (w.stem == "wear" || w.stem == "use" || w.stem == "don") && w.mood == plain {
			return true
		}
		if w.gap == space {
			if back == i {
				continue
			}
			switch w.text {
			case "then", "and", "always", "just", "please", "so":
				return back == i-1 && verbs[words[i].stem] && !meals[words[i].stem]
			}
			continue
		}
		return verbs[words[i].stem] && (back == i || back == i-1 && opener[w.text])
	}
	return false
}

// opener are words an order may open with.
var opener = map[string]bool{"then": true, "and": true, "always": true, "just": true, "please": true, "so": true}

// verbs are what a note may not order where it ought to forbid it.
var verbs = stemSet("sweep brush blow wrap loop quench jet eat drink smoke tip pour soak dry stand park leave")

// meals are verbs that are nouns as well behind an "and": "food and drink".
var meals = stemSet("eat drink smoke")

// servings are what stands before a meal's word that is a thing.
var servings = wordSet("food foods drink drinks meal meals snack snacks coffee tea")

// ideasOf are the ideas of a topic, made ready once.
func ideasOf(t *trade.Topic) []idea {
	if ready, ok := readyIdeas.Load(t); ok {
		return ready.([]idea)
	}
	ready := make([]idea, len(t.Ideas))
	for i := range t.Ideas {
		ready[i] = newIdea(t.Ideas[i])
	}
	readyIdeas.Store(t, ready)
	return ready
}

var readyIdeas sync.Map

// asked are the ideas of a topic that hold for the facts: of several ideas
// with one fact only those with the highest figure passed.
func asked(t *trade.Topic, facts map[string]float64) []*idea {
	all := ideasOf(t)
	highest := map[string]float64{}
	for i := range all {
		if f := all[i].Fact; f != "" && facts[f] > all[i].Over {
			highest[f] = max(highest[f], all[i].Over)
		}
	}
	list := make([]*idea, 0, len(all))
	for i := range all {
		over, passed := highest[all[i].Fact]
		if all[i].Fact == "" || passed && all[i].Over == over {
			list = append(list, &all[i])
		}
	}
	return list
}

// lack is an idea a note does not carry, and why.
type lack struct {
	*idea
	verdict
}

// lacks are the ideas the note does not carry.
func (n note) lacks(ideas []*idea) []lack {
	var missing []lack
	for _, i := range ideas {
		if v := i.judge(n); !v.carried {
			missing = append(missing, lack{i, v})
		}
	}
	return missing
}

// betweenThem are the ideas that several notes do not carry between them: each is
// to be said by one of them and undone by none.
func betweenThem(notes []note, ideas []*idea) []lack {
	var missing []lack
	for _, i := range ideas {
		var all verdict
		for _, n := range notes {
			v := i.judge(n)
			all.carried = all.carried || v.carried
			if v.undone != "" {
				all.undone = v.undone
			}
		}
		if !all.carried || all.undone != "" {
			missing = append(missing, lack{i, all})
		}
	}
	return missing
}

// says is the idea in plain words of the bench, for a help line.
func (d *idea) says() string { return d.Tell }

// wanting is what the note is still to say, or to leave out, for a help line:
// "also say "wash your hands" and leave out "tape it down"".
func wanting(missing []lack) string {
	var says, out, weak []string
	for _, m := range missing {
		switch {
		case m.undone != "":
			out = append(out, "\""+m.undone+"\"")
		case m.less != "":
			weak = append(weak, "\""+m.less+"\" is less than this note asks for")
		}
		if !(m.undone != "" && m.carried) {
			says = append(says, "\""+m.says()+"\"")
		}
	}
	var parts []string
	if len(says) > 0 {
		parts = append(parts, "also say "+listed(says, "and"))
	}
	if len(out) > 0 {
		parts = append(parts, "leave out "+listed(out, "and"))
	}
	text := strings.Join(parts, ", and ")
	if len(weak) > 0 {
		text += "; " + listed(weak, "and")
	}
	return text
}

// stemSet is a set of the stems of words.
func stemSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[stem(w)] = true
	}
	return set
}

// wordSet is a set of words as they are.
func wordSet(words string) map[string]bool {
	s := map[string]bool{}
	for _, w := range strings.Fields(words) {
		s[w] = true
	}
	return s
}
