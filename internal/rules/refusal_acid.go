package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/source"
)

var acidNamed = check.Rule{
	ID: "acid-or-fluoride-named", Severity: diag.Refusal, Concern: diag.People,
	Title: "No sheet is made for work with hydrofluoric acid, fluorides, etching cream or any acid but vinegar, acetic and citric.",
	Why: "A burn of hydrofluoric acid may not be felt until it is deep, and a palm's breadth of skin has killed. " +
		"Creams, pastes and salts that etch or matt glass work by fluoride too, and acid polish is hydrofluoric acid with sulphuric. A sheet on the wall is no training for it. " +
		"It is found however it is spelled, and in remarks, file names and addresses too.",
	Source: "common practice of hydrofluoric acid protocols (calcium gluconate gel, trained users only); seen second-hand",
	Quiet: "the sentence only forbids it (\"No acid polish on this glass.\"), a glass only looks etched, the fluoride is calcium fluoride or part of a cerium, " +
		"or the acid is vinegar, acetic or citric. A surface that came acid-polished from the factory is no work of this shop: there it only warns where the glass is not written as lead glass. " +
		"HF that may be somebody's initials is an error and no refusal",
	Bad:  "1. Dab etching cream on the missed spot.",
	Good: "stop: Satin. No etching cream on this piece.",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		var refused, doubtful, states []source.Span
		sort := func(s acidSite) {
			switch {
			case f.isTopic(s.Span):
			case s.state || f.arrives(s.Span):
				states = append(states, s.Span)
			case s.doubtful:
				doubtful = append(doubtful, s.Span)
			default:
				refused = append(refused, s.Span)
			}
		}
		for _, s := range acidIn(&f.read, &f.scan, mostSites) {
			sort(s)
		}
		for _, line := range f.citedLines() {
			for _, s := range acidSites(line.File) {
				if s.Start >= line.Start && s.End <= line.End {
					sort(s)
				}
			}
		}
		say := func(spans []source.Span, finding check.Finding) {
			if len(spans) == 0 {
				return
			}
			finding.Span, finding.Step = spans[0], f.stepAt(spans[0])
			for _, s := range spans[1:] {
				finding.Also = append(finding.Also, diag.Site{Span: s, Step: f.stepAt(s)})
			}
			found(finding)
		}
		if len(refused) > 0 {
			say(refused, check.Finding{
				Message: "\"" + oneLine(refused[0].Text()) + "\" names work with acid or fluoride. No sheet is made for that, not even a draft.",
				Help:    "Take it out. To forbid it, say only that, as in \"No acid polish on this glass\".",
			})
		}
		if len(doubtful) > 0 {
			say(doubtful, check.Finding{
				Severity: diag.Error,
				Message:  "\"" + oneLine(doubtful[0].Text()) + "\" may be somebody, or a code of the house, and may be hydrofluoric acid.",
				Help:     "If it is a person, write the name in full; if a code, take other letters. If it is the acid, take it out: no sheet is made for that.",
			})
		}
		if len(states) > 0 && !f.lead {
			say(states, check.Finding{
				Severity: diag.Warning,
				Message:  "\"" + oneLine(states[0].Text()) + "\" is how cut lead crystal comes from a factory, and the glass is not written as lead glass.",
				Help:     "If the piece is cut crystal, write `glass: lead crystal`; if nobody knows, write `glass: unknown`.",
			})
		}
	},
}

// arrives says whether the span lies in what a surface is when it comes to the
// bench.
func (f *safety) arrives(span source.Span) bool {
	for i := range f.r.Surfaces {
		from := f.r.Surfaces[i].From.Span
		if from.Known() && span.File == from.File && span.Start >= from.Start && span.End <= from.End {
			return true
		}
	}
	return false
}

// mostSites is how many places one finding lists.
const mostSites = 20

// acidSite is a place that names acid or fluoride.
type acidSite struct {
	source.Span
	// doubtful is true where it may be somebody's initials, state where it says
	// how the piece left its factory.
	doubtful, state bool
}

// acidIn are the words of a file, as it is read, that name acid or fluoride work
// and do more than forbid it; no more than most of them. The scan is of the same
// reading.
func acidIn(read *reading, s *scan, most int) []acidSite {
	if len(s.acid) == 0 {
		return nil
	}
	all := read.Bytes
	var sites []acidSite
	last := -1
	for _, h := range s.acid {
		if h.at < last {
			continue
		}
		if len(sites) == most {
			break
		}
		start, end := sentence(all, h.at)
		text := string(all[start:end])
		dots := 0
		if h.sign == signHF && all[h.at+1] == '.' {
			// "H.F." is one word, and its full stop ends no sentence.
			dots = 3
			if h.at+3 < len(all) && all[h.at+3] == '.' {
				dots = 4
				_, end = sentence(all, min(h.at+4, len(all)))
			}
			text = string(all[start:h.at]) + "HF  "[:dots] + string(all[h.at+dots:max(end, h.at+dots)])
		}
		words := splitWords(text)
		for i := range words {
			words[i].start += start
			words[i].end += start
		}
		i := 0
		for i < len(words) && words[i].end <= h.at {
			i++
		}
		initials := h.sign == signHF || h.sign == signABF
		if i == len(words) || initials && isInitials(all, start, len(words)) {
			continue
		}
		from, to, ok := acidTerm(words, i, s.has(signVinegar, signAcetic, signCitric))
		if !ok {
			continue
		}
		begin, finish := words[from].start, max(words[to-1].end, h.at+dots)
		site := acidSite{Span: read.span(begin, finish)}
		last = finish
		if onlyForbids(words, from, to) || forbiddenAround(all, start, end, words) {
			continue
		}
		site.doubtful = initials && to == i+1 && !substance(words, i)
		site.state = fromTheFactory(words, from, to)
		sites = append(sites, site)
	}
	return sites
}

// isInitials says whether the sentence that begins at byte start is a name:
// "approved: HF".
func isInitials(text []byte, start, words int) bool {
	if words > 2 {
		return false
	}
	from, to := sentence(text, max(0, start-2))
	before := splitWords(string(text[from:min(to, start)]))
	if len(before) == 0 {
		return false
	}
	switch before[len(before)-1].text {
	case "approved", "by", "signed", "initials", "checked", "who", "approves", "works", "checks", "checker":
		return true
	}
	return false
}

// Words of acid work. What is refused and what is not: common practice.
var (
	// harmlessFluor are words with "fluor" in them that are no fluoride.
	harmlessFluor = []string{"fluoresc", "fluorit", "fluorspar", "fluoropol", "fluorocarbon", "fluoroelast", "fluorophosph"}
	// mineral may stand before a fluoride that is a mineral, a glass or a polish.
	mineral = wordSet("calcium cerium lanthanum ceria magnesium")
	// holding may stand behind the fluorine of a cerium.
	holding = wordSet("bearing containing doped rich")
	// weak are the acids called by name that are no refusal.
	weak = wordSet("citric acetic ethanoic")
	// weakBehind are those that stand behind the word, in French and Italian.
	weakBehind = wordSet("citrique acétique citrico acetico")
	// anyAcid may stand before "acid" and names none.
	anyAcid = wordSet("organic mild basic")
	// resisting may stand behind "acid" where nothing is done with it.
	resisting = wordSet("free resistant resistance proof green yellow rain")
	// creams are what etches and frosts, beside an acid.
	creams = wordSet("cream creme crème paste gel solution bath liquid fluid compound salt salts agent chemical powder dip kit")
	// polishes may stand before a cream that only polishes.
	polishes = wordSet("cerium ceria oxide pumice rouge alumina diamond polish polishing tin zirconia tripoli thin thick of")
	// deeds make an acid a job, whatever weak acid is named elsewhere.
	deeds = wordSet("polish polished polishing dip dipped dipping etch etched etching frost frosted frosting")
)

// acidTerm is the stretch of words around word i that names acid or fluoride;
// false where the word means something else. weakNamed is true where the text
// names vinegar or another weak acid, which "the acid" then stands for.
func acidTerm(words []noteWord, i int, weakNamed bool) (from, to int, ok bool) {
	w := words[i].text
	at := func(n int) string {
		if n < 0 || n >= len(words) {
			return ""
		}
		return words[n].text
	}
	switch {
	case w == "hf" || w == "abf":
		return i, throughCreams(words, i+1), at(i+1) != "free"
	case strongAcid(w):
		return i, throughCreams(words, i+1), at(i+1) != "free"
	case w == "matting" || w == "pickling":
		return mattingSalt(words, i)
	case isForeignAcid(w):
		return i, i + 1, true
	case strings.Contains(w, "fluor"):
		for _, harmless := range harmlessFluor {
			if strings.Contains(w, harmless) {
				return 0, 0, false
			}
		}
		if at(i-2) == "acid" && at(i-1) == "or" && at(i+1) == "named" {
			return 0, 0, false // this rule's own name
		}
		if mineral[at(i-1)] || at(i+1) == "free" || w == "fluor" && at(i+1) == "crown" {
			return 0, 0, false
		}
		if w == "fluorine" && (holding[at(i+1)] || anyOf(words, "cerium", "ceria")) {
			return 0, 0, false
		}
		return i, throughCreams(words, i+1), true
	case strings.HasPrefix(w, "acid"):
		return bareAcid(words, i, at, weakNamed)
	case strings.Contains(w, "acid"):
		return i, i + 1, w != "placid" && w != "antacid"
	case strings.HasPrefix(w, "etchant"):
		return i, i + 1, true
	case strings.HasPrefix(w, "etch"), strings.HasPrefix(w, "frost"):
		return etchCream(words, i)
	}
	return 0, 0, false
}

// bareAcid judges the word "acid" by its neighbours.
func bareAcid(words []noteWord, i int, at func(int) string, weakNamed bool) (from, to int, ok bool) {
	next := at(i + 1)
	switch {
	case words[i].text == "acidic" || words[i].text == "acidity":
		return 0, 0, false
	case weak[at(i-1)], weakBehind[next], resisting[next], at(i-1) == "non" || at(i-1) == "anti":
		return 0, 0, false
	case next == "or" && at(i+2) == "fluoride" && at(i+3) == "named":
		return 0, 0, false // this rule's own name
	case next == "soak" && (at(i+2) == "" || words[i+2].gap != space) && words[i].gap != space:
		return 0, 0, false // the caution of that name
	}
	to = i + 1
	if deeds[next] && words[to].gap == space {
		return i, i + 2, true
	}
	if before := at(i - 1); strings.HasSuffix(before, "ic") && !anyAcid[before] && words[i].gap == space {
		return i - 1, to, true
	}
	if weakNamed || at(i-1) == "lead" || words[i].text == "acid" && at(i-2) == "lead" && at(i-1) == "and" {
		return 0, 0, false
	}
	return i, to, true
}

// etchCream judges a word of etching or frosting: it is refused where a cream,
// a paste or the like is put to it, not where a glass only looks so.
func etchCream(words []noteWord, i int) (from, to int, ok bool) {
	const near = 4
	for cream := range creams {
		if strings.HasSuffix(words[i].text, cream) {
			return i, throughCreams(words, i+1), true // "etchingcream"
		}
	}
	looks := strings.HasSuffix(words[i].text, "ed")
	with := false
	for j := i + 1; j < len(words) && j <= i+near && words[j].gap == space; j++ {
		switch w := words[j].text; {
		case w == "with" || w == "by" || w == "in" || w == "using":
			with = true
		case creams[w]:
			if polishes[words[j-1].text] || looks && !with || j > i+2 && !with && words[j-1].stem != "frost" && words[j-1].stem != "etch" {
				return 0, 0, false
			}
			return i, j + 1, true
		}
	}
	for j := i - 1; j >= 0 && j >= i-3 && words[j+1].gap == space; j-- {
		if w := words[j].text; creams[w] && w != "compound" && w != "powder" && w != "polish" && !looks {
			return j, i + 1, true
		}
	}
	return 0, 0, false
}

// anyOf says whether one of the texts is among the words.
func anyOf(words []noteWord, texts ...string) bool {
	for _, w := range words {
		for _, t := range texts {
			if w.text == t {
				return true
			}
		}
	}
	return false
}

// oneLine is a text with every run of white space as one space.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// throughCreams is where the acids and creams end that stand from word i on.
func throughCreams(words []noteWord, i int) int {
	for i < len(words) && words[i].gap == space && (words[i].text == "acid" || creams[words[i].text]) {
		i++
	}
	return i
}

// strongAcids are how words open that name an acid which is neither vinegar,
// acetic nor citric: acid polish is hydrofluoric acid with sulphuric.
var strongAcids = []string{
	"sulphuric", "sulfuric", "sulphamic", "sulfamic", "oxalic", "muriatic", "hydrochlor", "hydrobrom", "nitric", "phosphoric", "vitriol", "h2so4", "hno3", "h3po4", "hcl",
}

func strongAcid(w string) bool {
	for _, s := range strongAcids {
		if strings.HasPrefix(w, s) {
			return true
		}
	}
	return false
}

// mattingSalt judges "matting" and "pickling": refused where a salt, a paste or
// a bath is put to it. Matting with pumice is no acid work.
func mattingSalt(words []noteWord, i int) (from, to int, ok bool) {
	for j := i + 1; j < len(words) && j <= i+2 && words[j].gap == space; j++ {
		if mattingThings[words[j].text] {
			return i, throughCreams(words, j+1), true
		}
	}
	for j := i - 1; j >= 0 && j >= i-2 && words[j+1].gap == space; j-- {
		if mattingThings[words[j].text] {
			return j, i + 1, true
		}
	}
	return 0, 0, false
}

// mattingThings matt glass, or pickle, by fluoride. A compound or a powder for
// matting may be an abrasive.
var mattingThings = wordSet("acid salt salts paste cream bath solution dip liquid fluid gel")

// isForeignAcid says whether a German word names an acid other than vinegar,
// acetic and citric, or what etches. "Sätze" and "Plätze" only sound like it.
func isForeignAcid(w string) bool {
	for _, acid := range []string{"säure", "saeure"} {
		if strings.Contains(w, acid) {
			return !strings.HasPrefix(w, "zitronen") && !strings.HasPrefix(w, "citronen") && !strings.HasPrefix(w, "essig")
		}
	}
	if strings.HasPrefix(w, "ätz") || strings.HasPrefix(w, "aetz") {
		return true
	}
	for _, etch := range []string{"mattätz", "mattaetz", "glasätz", "tiefätz", "anätz", "abätz"} {
		if strings.Contains(w, etch) {
			return true
		}
	}
	return false
}

var (
	// hfNext and hfPrev are what stands beside HF where it is a substance.
	hfNext = wordSet("acid cream creme crème paste gel solution bath baths liquid fluid compound salt salts powder dip dips dipped kit etch etches etching etched " +
		"polish polished polishing fume fumes vapour vapor gas soak tank spray burn burns treatment touch touches attack attacks eat eats strength")
	hfPrev = wordSet("in into with without no some any more take takes took use uses using add adds adding apply dilute diluted concentrated conc strong weak hot cold " +
		"aqueous pure anhydrous neat let contain contains containing holds smell splash brush")
)

// substance says whether HF at word i stands where a substance would.
func substance(words []noteWord, i int) bool {
	if i+1 < len(words) && words[i+1].gap == space {
		next := words[i+1].text
		if hfNext[next] || isDigit(next[0]) {
			return true
		}
	}
	if i == 0 || words[i].gap != space {
		return false
	}
	return hfPrev[words[i-1].text] || isDigit(words[i-1].text[0]) ||
		words[i-1].text == "of" && i > 1 && amounts[words[i-2].text]
}

// amounts may stand before "of HF".
var amounts = wordSet("drop drops ml bath solution percent g bottle litre liter trace cent rest smell")

// fromTheFactory says whether the words say how the piece left its factory:
// "was acid polished at the factory before it came". What the shop is to do
// is never said so.
func fromTheFactory(words []noteWord, from, to int) bool {
	if !strings.HasSuffix(words[to-1].text, "ed") || from > 0 && commands[words[from-1].stem] {
		return false
	}
	for i, w := range words {
		switch w.text {
		case "factory", "manufacturer", "supplier", "maker", "makers":
			return true
		case "came", "arrived", "arrives", "comes", "bought", "received", "supplied":
			// "comes to bench B" is said of work in the house.
			if i+1 == len(words) || words[i+1].text != "to" {
				return true
			}
		}
	}
	return false
}
