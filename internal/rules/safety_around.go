package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/source"
)

// What is around the work: the piece that is thrown, the floor, the pots, who
// else is there and who is not. Most of it no recipe states, so that these rules
// speak only where its facts or its own words do.

var thrownPiece = need{
	topic: "thrown piece",
	rule: check.Rule{
		ID: "piece-can-be-thrown", Severity: diag.Warning, Concern: diag.People,
		Title:  "A piece held to a turning disc carries a note: both hands, and the edge that meets the turn never first.",
		Why:    "A disc that catches an edge takes the piece out of the hands.",
		Source: "common practice",
		Quiet: "the step names its machine: a flat lap brings this note with it, and at spindles, belts and saws their own notes say it; " +
			"or the piece lies on the disc by its own weight",
		Bad:  "Abrasive: plated diamond disc 140 mesh   (no machine, and nothing on how the piece is held)",
		Good: "Machine: flat lap, 300 mm at 150 rpm",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if s.turns == "" || s.spindle || s.belt || !s.works() || s.s.Pressure.Value.Word == "own weight" {
			return call{}, false
		}
		return call{span: s.at(), because: s.machine() + " can snatch the piece that is held to it here"}, true
	}),
}

var wetFloor = need{
	topic: "wet floor",
	rule: check.Rule{
		ID: "wet-floor", Severity: diag.Warning, Concern: diag.People,
		Title:  "Wet work with a tool held in the hand carries a note on the floor.",
		Why:    "No tray catches what a hand-held tool throws, and slurry on a floor is as slippery as soap.",
		Source: "common practice",
		Quiet:  "the machine stands and has its own tray (a flat lap brings this note with it), or the water only drips or is sprayed",
		Bad:    "Machine: air polisher   (Water: flood, and nothing on the floor)",
		Good:   "cautions: [wet floor]",
	},
	calls: each(func(_ *safety, _ int, s *stepFacts) (call, bool) {
		if !s.handheld || !s.powered || !s.works() || !s.p.Wet {
			return call{}, false
		}
		if w := s.s.Water.Value.Kind; w != nil && w.Flow >= pours {
			return call{span: s.at(s.s.Water.Span), because: "Nothing catches the water of the " + s.machineName() + " here"}, true
		}
		return call{}, false
	}),
}

// pours is the flow in litres a minute from which water does not stay where the
// work is: the usual flow of a flood.
const pours = 1

var labelThePot = need{
	topic: "label the pot",
	rule: check.Rule{
		ID: "label-the-pot", Severity: diag.Warning, Concern: diag.People,
		Title:  "What is kept in a pot, a jar or a bottle carries a note: label it.",
		Why:    "Grey mud looks like any other, vinegar looks like water, and whoever opens the pot was not there when it was filled.",
		Source: "29 CFR 1910.1200(f), seen second-hand",
		Quiet:  "nothing is kept, what is mixed is used up in its step, or the sentence says that it is labelled",
		Bad:    "1. Keep what is left of the mud in a jar.",
		Good:   "1. Keep what is left of the mud in its labelled jar.",
	},
	calls: each(func(f *safety, _ int, s *stepFacts) (call, bool) {
		for h := range f.hitsIn(s.s, signKept) {
			if span, ok := f.keptAt(h.at); ok {
				return call{span: span, because: "Something is kept for later here"}, true
			}
		}
		return call{}, false
	}),
}

// keptAt says whether the sentence around a pot, a jar or the like tells the
// reader to keep something in it, unlabelled.
func (f *safety) keptAt(at int) (source.Span, bool) {
	start, end := sentence(f.read.Bytes, at)
	words := readNote(string(f.read.Bytes[start:end])).words
	from, pot := -1, -1
	for i := range words {
		w := &words[i]
		switch {
		case labelSaid[w.stem]:
			return source.Span{}, false
		case from < 0 && keeping[w.stem] && (imperative(words, i) || secondOrder(words, i)):
			from = i
		case from >= 0 && pot < 0 && pots[w.stem] && w.mood == plain && i > from && inBefore(words, i):
			pot = i
		}
	}
	if pot < 0 {
		return source.Span{}, false
	}
	return f.read.span(start+words[from].start, start+words[pot].end), true
}

// inBefore says whether an "in" or "into" stands close before word i.
func inBefore(words []noteWord, i int) bool {
	for j := i - 1; j >= 0 && j >= i-4; j-- {
		if words[j].text == "in" || words[j].text == "into" {
			return true
		}
	}
	return false
}

var (
	keeping   = stemSet("keep store save decant")
	pots      = stemSet("pot jar tub tin bottle can beaker cup mug container carton")
	labelSaid = stemSet("label mark write name tag")
)

var loneWork = need{
	topic: "lone work",
	rule: check.Rule{
		ID: "lone-work", Severity: diag.Warning, Concern: diag.People,
		Title:  "Work that the recipe lets somebody do alone at a saw, lathe, belt or blast, on lead or a heavy piece, carries a note.",
		Why:    "Nobody can press the stop or call for help if nobody is there.",
		Source: "common practice",
		Quiet:  "nothing in the recipe says that somebody works alone, or it forbids it; a machine that runs `alone` is not meant",
		Bad:    "1. This can be done on your own after hours.   (Machine: lathe)",
		Good:   "1. Not on your own: somebody else is in the shop.",
	},
	calls: func(f *safety) []call {
		risky := f.lead || f.c.Plan.Mass > heavyTwo
		for i := range f.steps {
			s := &f.steps[i]
			risky = risky || s.blast || s.belt || s.spindle && s.powered
		}
		if !risky {
			return nil
		}
		return f.saidOnce(signAlone, aloneWords, "The recipe lets somebody work alone")
	},
}

var visitors = need{
	topic: "visitors",
	rule: check.Rule{
		ID: "visitors", Severity: diag.Warning, Concern: diag.People,
		Title:  "Work at a machine before visitors or children carries a note.",
		Why:    "Who does not know the shop stands where the chips fly.",
		Source: "common practice",
		Quiet:  "no visitors are spoken of, or the sentence keeps them out",
		Bad:    "1. On open days show the visitors the first cut.   (Machine: lathe)",
		Good:   "1. No visitors at the lathe.",
	},
	calls: func(f *safety) []call {
		for i := range f.steps {
			if s := &f.steps[i]; s.powered || s.blast {
				return f.saidOnce(signVisitor, visitorWords, "Others look on at a machine")
			}
		}
		return nil
	},
}

var freshCut = need{
	topic: "fresh cut",
	rule: check.Rule{
		ID: "fresh-cut", Severity: diag.Warning, Concern: diag.People,
		Title:  "Breaking glass off by hand, and broken glass, carry a note on cuts.",
		Why:    "Broken edges cut deep, and what to do is to be known before it bleeds.",
		Source: "common practice",
		Quiet:  "nothing is broken, snapped or nipped off, and no broken glass or shards are handled",
		Bad:    "## Snap off the stub   (and nothing on cuts)",
		Good:   "cautions: [fresh cut]",
	},
	calls: each(func(f *safety, _ int, s *stepFacts) (call, bool) {
		if s.breaksOff() {
			return call{span: s.s.Span, because: "Glass is broken off here"}, true
		}
		for h := range f.hitsIn(s.s, signShard) {
			if !f.bannedAt(h.at) && f.told(h.at) {
				return call{span: f.wordAt(h.at), because: "Broken glass is handled here"}, true
			}
		}
		return call{}, false
	}),
}

// breaksOff says whether the step breaks glass off, by its title. To break an
// arris is to seam it.
func (s *stepFacts) breaksOff() bool {
	return !s.s.Working() && titleTells(s.s.Title, chipping, nil) && !contains(s.s.Title, "arris", "edge", "corner")
}

// saidOnce is the first place where the recipe says one of the phrases and does
// not forbid it.
func (f *safety) saidOnce(what sign, phrases []pattern, because string) []call {
	if !f.scan.has(what) {
		return nil
	}
	for _, h := range f.scan.hits {
		if h.sign != what || !f.told(h.at) {
			continue
		}
		start, end := sentence(f.read.Bytes, h.at)
		n := readNote(string(f.read.Bytes[start:end]))
		if n.plainly(phrases) == "" || what == signVisitor && (n.keepsOff() || !n.looksOn()) || f.inNoteAt(h.at) {
			continue
		}
		span := f.wordAt(h.at)
		return []call{{step: f.stepAt(span) - 1, span: span, because: because}}
	}
	return nil
}

// keepsOff says whether a sentence keeps somebody away: "visitors stay behind the
// line".
func (n note) keepsOff() bool {
	for i := range n.words {
		switch n.words[i].text {
		case "away", "out", "behind", "back", "off", "outside", "leave", "stop":
			return true
		}
	}
	return false
}

// lookOnWords tell that somebody is there while the work goes on.
var (
	lookOnWords = wordSet("show shows shown showing watch watches watching look looks looking come comes coming visit visits stand stands standing sit sits try tries present around among " +
		"demonstrate demonstrated demonstration let lets welcome allowed invite invited join tour class classes lesson group groups attend gather crowd bring brings see sees open day days front audience " +
		"onlooker onlookers spectator spectators take takes talk explain help helps")
	othersHere = stemSet("visitor guest children child public")
)

// looksOn says whether a sentence with a word for others has them at the machine:
// "on open days show visitors the first face", "children may try it". "A child could
// hold it", "the children's things" and "for guests to eat from" have not.
func (n note) looksOn() bool {
	for i := range n.words {
		w := &n.words[i]
		if lookOnWords[w.text] && w.mood == plain {
			return true
		}
		if i > 0 && w.gap == space && othersHere[n.words[i-1].stem] && (w.text == "may" || w.text == "can") {
			return true
		}
	}
	return false
}

// inNoteAt says whether byte at of what was read lies in a caution of the author.
func (f *safety) inNoteAt(at int) bool {
	raw := f.read.raw(at)
	for _, p := range f.allNotices() {
		if p.Span.Known() && raw >= p.Span.Start && raw < p.Span.End {
			return true
		}
	}
	return false
}

var (
	aloneWords = patterns("work alone", "working alone", "alone in", "alone at", "you are alone", "if alone", "when alone", "on your own", "by yourself", "single handed",
		"nobody else is", "nobody else in", "after hours", "when the shop is closed", "when everybody has gone", "one person is enough", "one person will do")
	visitorWords = patterns("visitor", "guest", "children", "a child", "school class", "school group", "open day", "open days", "the public", "audience", "onlooker", "spectator")
)
