package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
)

var unnamedCleaner = check.Rule{
	ID: "unnamed-cleaner", Severity: diag.Error, Concern: diag.People,
	Title:  "A scale, rust, brick, toilet, wheel or aluminium cleaner is named in the stock, with `fluoride free`.",
	Why:    "Some of these cleaners hold bifluoride, and the front of the bottle does not say so.",
	Source: "common practice",
	Quiet:  "a line of the stock says `fluoride free` of it, or the sentence only forbids it",
	Bad:    "1. Soak the base in scale remover.",
	Good:   "1. Soak the base in vinegar.",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		if !f.scan.has(signCleaner, signRemover, signDescale, signBrighten, signDissolver) {
			return
		}
		seen := map[string]bool{}
		for _, h := range f.scan.hits {
			if h.sign < signCleaner || h.sign > signDissolver {
				continue
			}
			from, to, ok := cleanerAt(f.read.Bytes, h.at)
			if !ok {
				continue
			}
			span := f.read.span(from, to)
			name := strings.ToLower(oneLine(string(f.read.Bytes[from:to])))
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
var cleaned = wordSet("scale limescale lime rust brick wheel wheels rim alloy aluminium aluminum masonry stone concrete cement calcium stain toilet lavatory urinal grout tile tiles patio hull chrome spot mineral deposit deposits")

// cleanerAt is the cleaner named around byte at: "rust remover", "descaler".
func cleanerAt(text []byte, at int) (from, to int, ok bool) {
	start := at
	for start > 0 && (isLetter(text[start-1]) || text[start-1] >= 0x80) {
		start--
	}
	end := wordEnd(text, at)
	word := strings.ToLower(string(text[start:end]))
	if strings.HasPrefix(word, "descal") || strings.HasPrefix(word, "derust") {
		return start, end, true
	}
	before := start
	for before > 0 && (text[before-1] == ' ' || text[before-1] == '-' || text[before-1] == '\n') {
		before--
	}
	from = before
	for from > 0 && isLetter(text[from-1]) {
		from--
	}
	first := strings.ToLower(string(text[from:before]))
	switch {
	case cleaned[first]:
		return from, end, true
	case first == "bowl" && from > len("toilet ") && strings.EqualFold(string(text[from-len("toilet "):from-1]), "toilet"):
		return from - len("toilet "), end, true
	case word == "brightener" && first != "optical":
		return start, end, true
	}
	return 0, 0, false
}

// fluorideFree says whether a line of the house's stock declares the cleaner
// free of fluoride: by its name, or by a code that stands in the same sentence.
func (f *safety) fluorideFree(name string, at int) bool {
	start, end := sentence(f.read.Bytes, at)
	said := splitWords(string(f.read.Bytes[start:end]))
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
