package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/source"
)

// freeSilicaLimit is the share of free silica in a blast medium, in per cent,
// from which it counts as sand: HSE OC 273/18, seen second-hand.
const freeSilicaLimit = 1.0

var sandAsBlastMedia = check.Rule{
	ID: "sand-as-blast-media", Severity: diag.Refusal, Concern: diag.People,
	Title:  "No sheet is made for blasting with sand or anything else that holds 1 % or more of free silica.",
	Why:    "Sand breaks to dust that scars the lungs for good. In Great Britain it has been forbidden for blasting for decades.",
	Source: "COSHH Schedule 2; HSE OC 273/18 (1 % free silica); seen second-hand",
	Quiet:  "the medium is garnet sand, silica-free, or holds less than 1 % by its stock line; to sand is no sand, and a surface that came sandblasted is no work of this recipe",
	Bad:    "Abrasive: play sand   (Machine: blast cabinet)",
	Good:   "Abrasive: aluminium oxide F120   (Machine: blast cabinet)",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		said := map[int]bool{}
		say := func(span source.Span, step int, what string) {
			if said[step] {
				return
			}
			said[step] = true
			found(check.Finding{
				Span: span, Step: step,
				Message: capital(what) + " in a blast makes dust of free silica, which scars the lungs. No sheet is made for that, not even a draft.",
				Help:    "Change the medium: aluminium oxide, silicon carbide, or garnet with less than 1 % free silica by its data sheet.",
			})
		}
		for i := range f.steps {
			s := &f.steps[i]
			if !s.blast {
				continue
			}
			if span, what, ok := f.sandIn(s); ok {
				say(span, s.s.Number, what)
			}
		}
		f.blastsWith(signSand, func(words []noteWord, i int, span source.Span) {
			if from, ok := sandNamed(words, i); ok {
				what := ""
				for _, w := range words[from : i+1] {
					what += " " + w.text
				}
				say(span, f.stepAt(span), what[1:])
			}
		})
	},
}

// blastsWith looks at every sentence outside the front matter's keys that
// speaks of blasting and of the sign as a word by itself: words is the sentence
// and i the word. What is forbidden, or kept out, is left out.
func (f *safety) blastsWith(what sign, look func(words []noteWord, i int, span source.Span)) {
	for _, h := range f.scan.hits {
		if h.sign != what || !f.told(h.at) {
			continue
		}
		start, end := sentence(f.read.Bytes, h.at)
		words := readNote(string(f.read.Bytes[start:end])).words
		blast := false
		for i := range words {
			w := words[i].text
			blast = blast || strings.HasPrefix(w, "blast") || strings.HasPrefix(w, "sandblast") || strings.HasPrefix(w, "shotblast")
		}
		for i := 0; blast && i < len(words); i++ {
			if words[i].start+start == h.at && words[i].mood == plain && !keptAway(words, i) {
				look(words, i, f.read.span(h.at, words[i].end+start))
			}
		}
	}
}

// keptAway says whether the sentence keeps word i out of something or takes it
// off: "keep sand out of the cabinet", "wash the sand off".
func keptAway(words []noteWord, i int) bool {
	for j := i + 1; j < len(words) && j <= i+3 && words[j].gap != fullStop; j++ {
		switch words[j].text {
		case "out", "away", "off":
			return true
		}
	}
	return false
}

// sandNamed says whether word i is sand as a medium, and where its name begins:
// "beach sand", "blast with clean sand". Sand is a verb too.
func sandNamed(words []noteWord, i int) (from int, ok bool) {
	if words[i].text != "sand" || i == 0 || words[i].gap != space {
		return 0, false
	}
	if i+1 < len(words) && words[i+1].text == "free" {
		return 0, false
	}
	before := words[i-1].text
	if noSand[before] {
		return 0, false
	}
	if sands[before] && before != "fine" && before != "coarse" && before != "dried" && before != "sharp" && before != "blast" && before != "blasting" {
		return i - 1, true
	}
	for j := i - 1; j >= 0 && j >= i-4 && words[j+1].gap == space; j-- {
		if noSand[words[j].text] || words[j].text == "free" {
			return 0, false
		}
		switch words[j].text {
		case "with", "using", "use", "of", "load", "fill":
			return j + 1, true
		}
	}
	return 0, false
}

// quartzSand is the family of the trade tables that is never blasted with.
const quartzSand = "quartz sand"

// sandIn is where a blast step takes sand, and what it calls it.
func (f *safety) sandIn(s *stepFacts) (source.Span, string, bool) {
	a := s.s.Abrasive
	if fam := a.Value.Family; fam != nil && fam.Name == quartzSand {
		return a.Span, oneLine(a.Span.Text()), true
	}
	if stock := a.Value.Stock; stock != nil {
		switch {
		case stock.FreeSilica >= freeSilicaLimit:
			return a.Span, stock.Code + ", with " + figure(stock.FreeSilica) + " % free silica by its stock line,", true
		case stock.FreeSilica < 0 && isSand(a.Value.Words):
			return a.Span, stock.Code + ", which is sand by its stock line,", true
		}
	}
	if isSand(readWords(a.Span.Text())) {
		return a.Span, oneLine(a.Span.Text()), true
	}
	if !f.scan.has(signSand) {
		return source.Span{}, "", false
	}
	for _, said := range sayings(s.s) {
		words := readNote(readWords(said.text)).words
		for i := range words {
			if words[i].text == "sand" && i > 0 && words[i].gap == space && sands[words[i-1].text] && words[i].mood == plain && !keptAway(words, i) {
				return said.span, words[i-1].text + " sand", true
			}
		}
	}
	return source.Span{}, "", false
}

var (
	// sands are words that say which sand is meant.
	sands = wordSet("play silica quartz beach river sea dune desert dried builders sharp silver washed fine coarse blasting blast pool filter")
	// noSand are words in front of "sand" that make it another mineral.
	noSand = wordSet("garnet olivine corundum oxide carbide zircon staurolite")
	// silicas are words for free silica.
	silicas = wordSet("sand silica quartz flint cristobalite")
)

// isSand says whether the words name sand or free silica as a medium.
func isSand(text string) bool {
	words := splitWords(text)
	for i := range words {
		if !silicas[words[i].stem] {
			continue
		}
		if i > 0 && (noSand[words[i-1].text] || words[i-1].text == "no" || words[i-1].text == "low" || words[i-1].text == "without") ||
			i > 1 && words[i-1].text == "of" && words[i-2].text == "free" {
			continue
		}
		if i > 1 && words[i-1].text == "free" && words[i-2].text == "no" {
			continue
		}
		if i+1 < len(words) && words[i+1].text == "free" {
			continue
		}
		return true
	}
	return false
}

var slagAsBlastMedia = check.Rule{
	ID: "slag-as-blast-media", Severity: diag.Error, Concern: diag.People,
	Title:  "Coal slag is no blast medium for a glass shop.",
	Why:    "Coal slag brings beryllium and other metals into the dust of the cabinet.",
	Source: "common practice; OSHA on abrasive blasting, seen second-hand",
	Quiet:  "nothing that is blasted is blasted with slag, or the sentence forbids it",
	Bad:    "Abrasive: coal slag   (Machine: blast cabinet)",
	Good:   "Abrasive: aluminium oxide F120   (Machine: blast cabinet)",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		said := map[int]bool{}
		say := func(span source.Span, step int) {
			if !said[step] {
				said[step] = true
				found(check.Finding{
					Span: span, Step: step,
					Message: "Slag as a blast medium brings beryllium and other metals into the dust.",
					Help:    "Change the medium: aluminium oxide, silicon carbide or garnet.",
				})
			}
		}
		for i := range f.steps {
			s := &f.steps[i]
			if !s.blast {
				continue
			}
			span, ok := f.hitIn(s.s, signSlag)
			if !ok && contains(s.s.Abrasive.Value.Words, "slag") {
				span, ok = s.at(s.s.Abrasive.Span), true
			}
			if ok {
				say(span, s.s.Number)
			}
		}
		f.blastsWith(signSlag, func(_ []noteWord, _ int, span source.Span) { say(span, f.stepAt(span)) })
	},
}

var blastOnLead = check.Rule{
	ID: "blast-on-lead", Severity: diag.Error, Concern: diag.People,
	Title:  "Blasting lead or unknown glass needs the notes on lead and on the cabinet, and extraction that is HEPA-filtered or ducted out.",
	Why:    "A blast turns lead glass to the finest dust there is, and a bag filter gives part of it back to the room.",
	Source: "29 CFR 1910.1025, seen second-hand; common practice",
	Quiet:  "the glass is a known one without lead, or the notes and the extraction are written",
	Bad:    "Machine: blast cabinet   (glass: unknown, and nothing on extraction)",
	Good:   "1. Extraction ducted outside, on before the door is shut.",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		if !f.lead {
			return
		}
		for i := range f.steps {
			s := &f.steps[i]
			if !s.blast {
				continue
			}
			var missing []string
			for _, topic := range []string{"lead glass", "blast cabinet"} {
				if !f.named[topic] && !f.hangs(topic, i) && !f.answer(c.House.FindTopic(topic), nil, i).full {
					missing = append(missing, "the note on "+topic)
				}
			}
			if !f.ducted(s) {
				missing = append(missing, "an extraction with a HEPA filter or a duct outside")
			}
			if len(missing) > 0 {
				found(check.Finding{
					Span: s.at(), Step: s.s.Number,
					Message: "Glass that is handled as lead is blasted here, and this is missing: " + listed(missing, "and") + ".",
					Help:    "Add `lead glass` and `blast cabinet` to `cautions:`, and write in the step what takes the dust: \"Extraction ducted outside\" or \"HEPA extraction on\".",
				})
				return
			}
		}
	},
}

// ducted says whether the step, what stands before the steps or the house's
// machine declares a HEPA filter or a duct.
func (f *safety) ducted(s *stepFacts) bool {
	if u := s.s.Machine.Value.Unit; u != nil && contains(entry(u.Span).Text(), "hepa", "ducted") {
		return true
	}
	for _, h := range f.scan.hits {
		if (h.sign == signHEPA || h.sign == signDuct) && !f.bannedAt(h.at) {
			return true
		}
	}
	return false
}
