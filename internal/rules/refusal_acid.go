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
		"Creams and pastes that etch glass work by fluoride too. A sheet on the wall is no training for it.",
	Source: "common practice of hydrofluoric acid protocols (calcium gluconate gel, trained users only); seen second-hand",
	Quiet: "the sentence only forbids it (\"No acid polish on this glass.\"), a glass only looks etched, the fluoride is calcium fluoride or part of a cerium, " +
		"or the acid is vinegar, acetic or citric",
	Bad:  "1. Dab etching cream on the missed spot.",
	Good: "stop: Satin. No etching cream on this piece.",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		var sites []source.Span
		for _, m := range acidIn(c.Recipe.File, &f.scan) {
			if !f.isTopic(m) {
				sites = append(sites, m)
			}
		}
		for _, line := range f.citedLines() {
			own := scanText(line.File.Text[line.Start:line.End])
			for i := range own.acid {
				own.acid[i].at += line.Start
			}
			for _, m := range acidIn(line.File, &own) {
				if m.Start >= line.Start && m.End <= line.End {
					sites = append(sites, m)
				}
			}
		}
		if len(sites) == 0 {
			return
		}
		first := sites[0]
		finding := check.Finding{
			Span: first, Step: f.stepAt(first),
			Message: "\"" + oneLine(first.Text()) + "\" names work with acid or fluoride. No sheet is made for that, not even a draft.",
			Help:    "Take it out. To forbid it, say only that, as in \"No acid polish on this glass\".",
		}
		for _, s := range sites[1:] {
			finding.Also = append(finding.Also, diag.Site{Span: s, Step: f.stepAt(s)})
		}
		found(finding)
	},
}

// mostSites is how many places one finding lists.
const mostSites = 20

// acidIn are the words of a file that name acid or fluoride work and do more
// than forbid it. The scan is of the same file.
func acidIn(file *source.File, s *scan) []source.Span {
	if file == nil || !s.has(signFluor, signAcid, signEtch, signFrost, signHF) {
		return nil
	}
	var spans []source.Span
	last := -1
	for _, h := range s.acid {
		if h.at < last {
			continue
		}
		if len(spans) == mostSites {
			break
		}
		start, end := sentence(file.Text, h.at)
		words := splitWords(string(file.Text[start:end]))
		for i := range words {
			words[i].start += start
			words[i].end += start
		}
		i := 0
		for i < len(words) && words[i].end <= h.at {
			i++
		}
		if i == len(words) || h.sign == signHF && isInitials(file.Text, start, len(words)) {
			continue
		}
		from, to, ok := acidTerm(words, i, s.has(signVinegar, signAcetic, signCitric))
		if !ok {
			continue
		}
		span := file.Span(words[from].start, words[to-1].end)
		last = span.End
		if !onlyForbids(words, from, to) && !forbiddenAround(file.Text, start, end, words) {
			spans = append(spans, span)
		}
	}
	return spans
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
	case "approved", "by", "signed", "initials", "checked", "who":
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
	case w == "hf":
		return i, i + 1, at(i+1) != "free"
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
		for from, to = i, i+1; to < len(words) && (at(to) == "acid" || creams[at(to)]) && words[to].gap == space; to++ {
		}
		return from, to, true
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
	case weak[at(i-1)], resisting[next], at(i-1) == "non" || at(i-1) == "anti":
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
	if weakNamed || at(i-1) == "lead" || words[i].text == "acid" && at(i-2) == "lead" && at(i-1) == "and" {
		return 0, 0, false
	}
	return i, to, true
}

// etchCream judges a word of etching or frosting: it is refused where a cream,
// a paste or the like is put to it, not where a glass only looks so.
func etchCream(words []noteWord, i int) (from, to int, ok bool) {
	const near = 4
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

// Words of a ban. A ban on use passes; a ban on one way of using it does not.
var (
	banThing = wordSet("no nor neither without avoid")
	banDeed  = wordSet("never not dont cannot cant mustnt shouldnt wont")
	// banFill may stand between the negation and the acid.
	banFill = wordSet("any more other kind kinds sort sorts of the a an with even in by to for such weak strong hot cold dilute " +
		"hydrofluoric ammonium sodium potassium hydrogen acid fluoride bifluoride difluoride hf etch etching etched frosting frost cream creme paste " +
		"polish polishing polished dip dipping bath or nor and be glass work commercial mixed here touched be ever")
	// banVerbs may stand there once, right behind a negation of a deed.
	banVerbs = wordSet("use used using apply applied applying try put do done allow allowed bring take polish dip etch frost treat reach touch add want keep")
	// banTail may open what follows the acid in a ban.
	banTail = wordSet("and or nor on to for here ever anywhere please work works of at in inside is are must may will this at not never")
	// banBut makes a ban a rule of use.
	banBut = wordSet("except unless until till without save longer before after while when if where only but instead alone")
	// banEnd says behind the acid that there is to be none.
	banEnd = wordSet("forbidden banned prohibited barred never")
	banNot = wordSet("allowed permitted used done wanted welcome accepted made offered")
	// banMid may stand between the acid and the end of a ban.
	banMid = wordSet("is are be must may will shall can work works of any kind on this these that the a glass piece in here house shop studio " +
		"strictly always ever acid polish polishing etching cream paste fluoride or and nor to all lead crystal")
)

// onlyForbids says whether the sentence does no more with words from up to to
// than forbid them.
func onlyForbids(words []noteWord, from, to int) bool {
	for j := to; j < len(words); j++ {
		w := words[j].text
		if banBut[w] && !((w == "but" || w == "only") && words[j].gap != space) {
			return false
		}
		if (w == "other" || w == "apart") && j+1 < len(words) && (words[j+1].text == "than" || words[j+1].text == "from") {
			return false
		}
	}
	return (bannedBefore(words, from) && tailOfBan(words, to)) || bannedBehind(words, to)
}

// bannedBefore says whether a negation right before word i takes it in.
func bannedBefore(words []noteWord, i int) bool {
	verb := false
	for j := i - 1; j >= 0; j-- {
		w := words[j].text
		switch {
		case banDeed[w], banThing[w]:
			if verb && banThing[w] && w != "nor" {
				return false
			}
			for k := j - 1; (w == "without" || w == "avoid") && k >= 0 && k >= j-4 && words[k+1].gap == space; k-- {
				if banDeed[words[k].text] || words[k].text == "no" || words[k].text == "nobody" || words[k].text == "nothing" {
					return false // "never without acid"
				}
			}
			return w != "nor" || j == 0 || bannedBefore(words, j)
		case w == "do" || w == "must" || w == "should":
			// "do not": the negation stood behind it, so this is none.
			return false
		case banVerbs[w] && !banFill[w], banVerbs[w] && j > 0 && (banDeed[words[j-1].text] || words[j-1].text == "be"):
			if j == 0 || words[j].gap != space {
				return false
			}
			prev := words[j-1].text
			if !banDeed[prev] && prev != "be" && prev != "or" && prev != "nor" && prev != "to" {
				return false
			}
			verb = true
		case banFill[w]:
		default:
			return false
		}
	}
	return false
}

// tailOfBan says whether what stands behind word i leaves the ban a ban.
func tailOfBan(words []noteWord, i int) bool {
	return i >= len(words) || words[i].gap != space || banTail[words[i].text]
}

// bannedBehind says whether the words from i on say that there is to be none.
func bannedBehind(words []noteWord, i int) bool {
	for j := i; j < len(words) && j < i+9; j++ {
		w := words[j].text
		switch {
		case banEnd[w] && !(w == "never" && j+1 < len(words) && words[j+1].gap == space && !banNot[words[j+1].text]):
			return true
		case w == "not" || w == "never":
			k := j + 1
			for k < len(words) && banMid[words[k].text] {
				k++
			}
			return k == len(words) && k > j+1 || k < len(words) && banNot[words[k].text]
		case !banMid[w]:
			return false
		}
	}
	return false
}

// forbiddenAround says whether the sentence stands behind "Not allowed:" or
// before ": never".
func forbiddenAround(text []byte, start, end int, words []noteWord) bool {
	for _, w := range words {
		if banBut[w.text] {
			return false
		}
	}
	if start > 0 && text[start-1] == ':' {
		from, to := sentence(text, max(0, start-2))
		if onlyBan(splitWords(string(text[from:to]))) {
			return true
		}
	}
	if end < len(text) && text[end] == ':' && end+2 < len(text) {
		from, to := sentence(text, end+2)
		return onlyBan(splitWords(string(text[from:to])))
	}
	return false
}

// onlyBan says whether the words are a ban by themselves: "not allowed here".
func onlyBan(words []noteWord) bool {
	ban := false
	for _, w := range words {
		switch {
		case banEnd[w.text] || w.text == "not" || w.text == "no":
			ban = true
		case !banNot[w.text] && !banMid[w.text]:
			return false
		}
	}
	return ban
}

// oneLine is a text with every run of white space as one space.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
