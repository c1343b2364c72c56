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
	Quiet:  "the medium is garnet sand, silica-free, or holds less than 1 % by its stock line",
	Bad:    "Abrasive: play sand   (Machine: blast cabinet)",
	Good:   "Abrasive: aluminium oxide F120   (Machine: blast cabinet)",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		for i := range f.steps {
			s := &f.steps[i]
			if !s.blast {
				continue
			}
			if span, what, ok := f.sandIn(s); ok {
				found(check.Finding{
					Span: span, Step: s.s.Number,
					Message: capital(what) + " in a blast cabinet makes dust of free silica, which scars the lungs. No sheet is made for that, not even a draft.",
					Help:    "Change the medium: aluminium oxide, silicon carbide, or garnet with less than 1 % free silica by its data sheet.",
				})
			}
		}
	},
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
	if isSand(a.Span.Text()) {
		return a.Span, oneLine(a.Span.Text()), true
	}
	if !f.scan.has(signSand) {
		return source.Span{}, "", false
	}
	for _, said := range sayings(s.s) {
		words := readNote(said.text).words
		for i := range words {
			if words[i].text == "sand" && i > 0 && words[i].gap == space && sands[words[i-1].text] && words[i].mood == plain {
				return said.span, words[i-1].text + " sand", true
			}
		}
	}
	return source.Span{}, "", false
}

var (
	// sands are words that say which sand is meant.
	sands = wordSet("play silica quartz beach river kiln-dried dried builders builder's sharp silver washed fine coarse blasting blast sea dune pool filter")
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
	Quiet:  "no blast step names slag, or the sentence forbids it",
	Bad:    "Abrasive: coal slag   (Machine: blast cabinet)",
	Good:   "Abrasive: aluminium oxide F120   (Machine: blast cabinet)",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		for i := range f.steps {
			s := &f.steps[i]
			if !s.blast {
				continue
			}
			span, ok := f.hitIn(s.s, signSlag)
			if ok && f.bannedAt(span.Start) {
				ok = false
			}
			if !ok && contains(s.s.Abrasive.Value.Words, "slag") {
				span, ok = s.at(s.s.Abrasive.Span), true
			}
			if ok {
				found(check.Finding{
					Span: span, Step: s.s.Number,
					Message: "Slag as a blast medium brings beryllium and other metals into the dust.",
					Help:    "Change the medium: aluminium oxide, silicon carbide or garnet.",
				})
			}
		}
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

var dryWorkOnLead = check.Rule{
	ID: "dry-work-on-lead", Severity: diag.Refusal, Concern: diag.People,
	Title:  "No sheet is made for dry work on lead glass or on unknown glass.",
	Why:    "Dry work on lead glass puts lead into the air and on the hands, and a mask does not keep it off the sandwich.",
	Source: "NIOSH HETA 86-070-1774; 29 CFR 1910.1025; seen second-hand",
	Quiet:  "the work is wet, is a blast, or the glass is a known one without lead",
	Bad:    "Water: dry   (glass: lead crystal)",
	Good:   "Water: drip",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		if !f.lead {
			return
		}
		var first *check.Finding
		for i := range f.steps {
			s := &f.steps[i]
			if s.blast {
				continue
			}
			span := s.s.Water.Span
			if !(s.p.Dry && s.s.Working()) {
				var ok bool
				if span, ok = f.hitIn(s.s, signDry); !ok || f.bannedAt(span.Start) {
					continue
				}
			}
			if first == nil {
				first = &check.Finding{
					Span: s.at(span), Step: s.s.Number,
					Message: f.leadName() + " is worked dry here. No sheet is made for that, not even a draft.",
					Help:    "Work it wet: `Water: drip`, `spray` or `flood`.",
				}
				if f.r.GlassUnknown {
					first.Help += " If the glass is known to hold no lead, say which it is."
				}
				continue
			}
			first.Also = append(first.Also, diag.Site{Span: s.at(span), Step: s.s.Number})
		}
		if first != nil {
			found(*first)
		}
	},
}

// leadName is the glass for a sentence.
func (f *safety) leadName() string {
	if f.r.GlassUnknown || f.r.Glass.Value == nil {
		return "Unknown glass, which counts as lead glass,"
	}
	return capital(f.r.Glass.Value.Name) + ", which is handled as lead glass,"
}

var unnamedCleaner = check.Rule{
	ID: "unnamed-cleaner", Severity: diag.Error, Concern: diag.People,
	Title:  "A scale, rust, brick, wheel or aluminium cleaner is named in the stock, with `fluoride free`.",
	Why:    "Some of these cleaners hold bifluoride, and the front of the bottle does not say so.",
	Source: "common practice",
	Quiet:  "a line of the stock says `fluoride free` of it, or the sentence only forbids it",
	Bad:    "1. Soak the base in scale remover.",
	Good:   "1. Soak the base in vinegar.",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		if !f.scan.has(signCleaner, signRemover, signDescale, signDissolver) {
			return
		}
		seen := map[string]bool{}
		for _, h := range f.scan.hits {
			if h.sign < signCleaner || h.sign > signDissolver {
				continue
			}
			span, ok := cleanerAt(f.r.File.Text, h.at)
			if !ok {
				continue
			}
			span.File = f.r.File
			name := strings.ToLower(oneLine(span.Text()))
			if seen[name] || f.bannedAt(h.at) || f.fluorideFree(name, h.at) {
				continue
			}
			seen[name] = true
			found(check.Finding{
				Span: span, Step: f.stepAt(span),
				Message: "\"" + oneLine(span.Text()) + "\" may hold bifluoride; nothing says what it is.",
				Help:    "Enter it in the stock of the shop file with `fluoride free: true` once its data sheet says so, or write vinegar or citric acid.",
			})
		}
	},
}

// cleaned are the things whose cleaners may hold bifluoride.
var cleaned = wordSet("scale limescale lime rust brick wheel wheels rim alloy aluminium aluminum masonry stone concrete calcium stain")

// cleanerAt is the cleaner named around byte at: "rust remover", "descaler".
// The span has no file.
func cleanerAt(text []byte, at int) (source.Span, bool) {
	start := at
	for start > 0 && (isLetter(text[start-1]) || text[start-1] >= 0x80) {
		start--
	}
	end := wordEnd(text, at)
	if strings.HasPrefix(strings.ToLower(string(text[start:end])), "descal") {
		return source.Span{Start: start, End: end}, true
	}
	before := start
	for before > 0 && (text[before-1] == ' ' || text[before-1] == '-' || text[before-1] == '\n') {
		before--
	}
	from := before
	for from > 0 && isLetter(text[from-1]) {
		from--
	}
	if !cleaned[strings.ToLower(string(text[from:before]))] {
		return source.Span{}, false
	}
	return source.Span{Start: from, End: end}, true
}

// fluorideFree says whether a line of the house's stock declares the cleaner
// free of fluoride: by its name, or by a code that stands in the same sentence.
func (f *safety) fluorideFree(name string, at int) bool {
	start, end := sentence(f.r.File.Text, at)
	said := splitWords(string(f.r.File.Text[start:end]))
	for code, line := range f.c.House.Stock {
		if !line.FluorideFree {
			continue
		}
		if contains(entry(line.Span).Text(), name) || contains(line.Abrasive.Words, name) {
			return true
		}
		if c := splitWords(code); len(c) > 0 {
			for i := range said {
				if sameWords(said[i:], c) {
					return true
				}
			}
		}
	}
	return false
}

func sameWords(have, want []noteWord) bool {
	if len(have) < len(want) {
		return false
	}
	for i := range want {
		if have[i].text != want[i].text {
			return false
		}
	}
	return true
}
