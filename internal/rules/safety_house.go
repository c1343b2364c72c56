package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// houseCautions is what houseWords reports of the house's own caution words.
var houseCautions = check.Rule{
	ID: "house-caution-words", Severity: diag.Error, Concern: diag.People,
	Title: "The house's own words for a caution say everything the caution is there to say.",
	Why: "A topic answers its rule wherever it is named, so that words of the house which leave something out would leave it out on every sheet. " +
		"A house that writes in another language keeps the topic's own words beside its own.",
	Source: "common practice",
	Quiet:  "the house has written no words of its own",
	Bad:    "cautions: {power near water: Mind the plugs.}",
	Good:   "power near water: RCD only, press TEST first. Dry hands at plugs.",
}

// houseWords holds the house's own caution words against the ideas of their
// topics, and looks through the whole shop file for acid and fluoride work.
// It is done once for a house, not for every recipe.
func houseWords(h *trade.House) diag.List {
	var list diag.List
	for _, t := range h.Topics {
		if !t.House || len(t.Ideas) == 0 {
			continue
		}
		missing := readNote(t.Full).lacks(asked(t, lowestFacts(t)))
		if len(missing) == 0 {
			continue
		}
		span := t.Span
		if !span.Known() && h.File != nil {
			span = h.File.Span(0, 0)
		}
		list.Add(diag.Diagnostic{
			Rule: houseCautions.ID, Severity: houseCautions.Severity, Concern: houseCautions.Concern, Span: span,
			Message: "The house's words for " + t.Name + " do not say all that this caution must say.",
			Help:    "Let them " + wanting(missing) + ", each in the house's own way; or take the line out and keep the words Coldwright has.",
		})
	}
	if h.File == nil {
		return list
	}
	sites := acidSites(h.File)
	for _, site := range sites[:min(len(sites), mostSites)] {
		span := site.Span
		if inCaution(h, span) || site.state {
			continue
		}
		if site.doubtful {
			list.Add(diag.Diagnostic{
				Rule: acidNamed.ID, Severity: diag.Error, Concern: acidNamed.Concern, Span: span,
				Message: "\"" + oneLine(span.Text()) + "\" in the shop file may be somebody, or a code of the house, and may be hydrofluoric acid.",
				Help:    "If it is a person, write the name in full; if a code, take other letters. If it is the acid, take it out: no sheet is made for that.",
			})
			continue
		}
		list.Add(diag.Diagnostic{
			Rule: acidNamed.ID, Severity: acidNamed.Severity, Concern: acidNamed.Concern, Span: span,
			Message: "The shop file names work with acid or fluoride: \"" + oneLine(span.Text()) + "\". No sheet is made for that.",
			Help:    "Take it out. To forbid it, say only that, as in \"No acid polish in this house\".",
		})
	}
	return list
}

// inCaution says whether the span lies in the house's own words for a caution
// on soaks, which speak of weak acid.
func inCaution(h *trade.House, span source.Span) bool {
	for _, t := range h.Topics {
		if t.House && t.Span.Known() && (t.Name == acidSoak.topic || t.Name == leadAndAcid.topic) &&
			span.Start >= t.Span.Start && span.End <= t.Span.End {
			return true
		}
	}
	return false
}

// lowestFacts are facts just past the lowest figure of every limited idea, so
// that what a topic asks at the least is asked.
func lowestFacts(t *trade.Topic) map[string]float64 {
	facts := map[string]float64{}
	for _, i := range t.Ideas {
		if i.Fact == "" {
			continue
		}
		if have, ok := facts[i.Fact]; !ok || i.Over+1 < have {
			facts[i.Fact] = i.Over + 1
		}
	}
	return facts
}
