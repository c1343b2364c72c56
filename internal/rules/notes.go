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
	// loose is true at n where other words may stand before stem n.
	loose []bool
}

// widest is how many words may stand where a phrase has "..".
const widest = 6

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
	return p
}

// splitPhrase gives the stems of a phrase and where it is loose.
func splitPhrase(phrase string) (stems []string, loose []bool) {
	for n, part := range strings.Split(phrase, "..") {
		for i, w := range splitWords(part) {
			stems = append(stems, w.stem)
			loose = append(loose, n > 0 && i == 0)
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
		if n > 0 && !p.loose[n] && w.gap != space {
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
		if n == 0 || !p.loose[n] || skip >= widest {
			return 0, 0, false
		}
	}
	return 0, 0, false
}

// idea is an idea ready to be looked for.
type idea struct {
	trade.Idea
	patterns []pattern
}

func newIdea(i trade.Idea) idea {
	ready := idea{Idea: i, patterns: make([]pattern, len(i.Phrases))}
	for n, phrase := range i.Phrases {
		ready.patterns[n] = newPattern(phrase, i.Forbid)
	}
	return ready
}

// in says whether the note carries the idea.
func (d *idea) in(n note) bool {
	met := false
	for i := range d.patterns {
		p := &d.patterns[i]
		if len(p.stems) == 0 {
			continue
		}
		for at := range n.words {
			m, _, ok := p.matchAt(n.words, at, 0)
			if !ok || m == waived {
				continue
			}
			switch {
			case p.asks == either, p.asks == said && m == plain, p.asks == banned && m == forbidden:
				met = true
			case p.asks == banned && d.Forbid && ordered(n.words, at):
				// The note orders what it ought to forbid.
				return false
			}
		}
	}
	return met
}

// ordered says whether word i is what a sentence tells the reader to do or to
// wear: it opens a clause, or stands close behind "wear" or "use".
func ordered(words []noteWord, i int) bool {
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

// lacks are the ideas the note does not carry.
func (n note) lacks(ideas []*idea) []*idea {
	var missing []*idea
	for _, i := range ideas {
		if !i.in(n) {
			missing = append(missing, i)
		}
	}
	return missing
}

// says is the idea in the words of its first phrase, for a help line.
func (d *idea) says() string {
	if len(d.Phrases) == 0 {
		return ""
	}
	phrase := d.Phrases[0]
	never := d.Forbid
	for prefix, a := range map[string]bool{"never:": true, "do:": false, "any:": false} {
		if rest, ok := strings.CutPrefix(phrase, prefix); ok {
			phrase, never = rest, a
		}
	}
	phrase = strings.TrimSpace(strings.ReplaceAll(phrase, " .. ", " … "))
	if never {
		return "never: " + phrase
	}
	return phrase
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
