package rules

import (
	"strconv"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var anotherRevisionTold = check.Rule{
	ID: "another-revision-told", Severity: diag.Error, Concern: diag.Card,
	Title: "No words of a recipe call it another revision than its front matter does.",
	Why: "Every sheet and card prints the revision in its head. Where the words below it name another, whoever stands before the card on the wall cannot tell which of the two is in force, " +
		"and laminated cards outlive the change.",
	Source: "common practice; ISO 9001:2015, 7.5.2, asks that a document can be told from its earlier states",
	Quiet: "another recipe's revision is named, or that of a drawing or a shop file; it is told as history (\"since revision 2\", \"revision 2 took 20 minutes\", a list of changes); " +
		"or the words do not say that this recipe, card or sheet is that revision. Where all that was changed since is wording, it is a note",
	Bad:  "This card is revision 4.   (revision: 5)",
	Good: "This card replaces revision 4.",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := c.Recipe
		if !r.Revision.OK {
			return
		}
		f := safetyOf(c)
		if !f.scan.has(signRevision) {
			return
		}
		for _, h := range f.scan.hits {
			if h.sign != signRevision || !f.told(h.at) {
				continue
			}
			number, end := revisionAt(f.read.Bytes, h.at)
			if number == 0 || number == r.Revision.Value || !f.ownRevision(h.at, end) {
				continue
			}
			span := f.read.span(h.at, end)
			finding := check.Finding{
				Span: span, Step: f.stepAt(span),
				Message: "The words call this revision " + itoa(number) + ", and the recipe is revision " + itoa(r.Revision.Value) + ".",
				Help:    "Take the number out: every page prints the revision in its head. If it is history, say so, as in “since revision " + itoa(number) + "”.",
			}
			switch {
			case number > r.Revision.Value:
				finding.Help = "If the recipe was changed, write `revision: " + itoa(number) + "` and what was changed. Else take the number out of the words: every page prints the revision in its head."
			case wordingSince(r, number):
				finding.Severity = diag.Note
			}
			found(finding)
		}
	},
}

// wordingSince says whether all that was changed after a revision is wording, and
// the record has each.
func wordingSince(r *recipe.Recipe, number int) bool {
	seen := map[int]bool{}
	for i := range r.Changes {
		change := &r.Changes[i]
		if !change.Revision.OK || change.Revision.Value <= number || change.Revision.Value > r.Revision.Value {
			continue
		}
		if change.Kind.Value != "wording" {
			return false
		}
		seen[change.Revision.Value] = true
	}
	return len(seen) == r.Revision.Value-number
}

// revisionAt is the number of a revision whose word opens at byte at, and where
// it ends: "revision 4", "rev. 4", "Revision: 4". 0 where none is named.
func revisionAt(text []byte, at int) (number, end int) {
	end = at + len("rev")
	if openFold(text[at:], "revision") {
		end = at + len("revision")
	}
	if end < len(text) && isLetter(text[end]) {
		return 0, at
	}
	for end < len(text) && strings.IndexByte(" .:#\n", text[end]) >= 0 && end-at < 20 {
		end++
	}
	if openFold(text[end:], "no. ") || openFold(text[end:], "number ") {
		end += strings.IndexByte(string(text[end:]), ' ') + 1
	}
	first := end
	for end < len(text) && isDigit(text[end]) && end-first < 4 {
		end++
	}
	if first == end || end < len(text) && (isLetter(text[end]) || isDigit(text[end]) || text[end] == '.' && end+1 < len(text) && isDigit(text[end+1])) {
		return 0, at
	}
	number, err := strconv.Atoi(string(text[first:end]))
	if err != nil {
		return 0, at
	}
	return number, end
}

// What is said where a paper calls itself a revision. revisedThings are what has a
// revision here, thisOnes what stands before them, calledBy what may stand between
// them and the revision, byItself what may follow where nothing stands before it.
var (
	revisedThings = wordSet("card recipe sheet procedure page copy paper print printout instruction instructions")
	thisOnes      = wordSet("this the our your wall bench laminated printed process work working training")
	calledBy      = wordSet("is are at as on in for of the this a that hung hangs stands bench wall piece now being by carries bears shows says here you hold holds goes with belongs to printed laminated matches x a b c d e w")
	byItself      = wordSet("approved issued printed dated hung valid current by on in of from the studio lead checker bench hand card sheet recipe this as wall " +
		"january february march april may june july august september october november december jan feb mar apr jun jul aug sep sept oct nov dec")
	pastDeeds = wordSet("took had was were used asked ran said called brought put made did gave left needed worked changed added dropped cut let went began ended stood wanted lacked " +
		"until till before when while")
	pastForce = wordSet("old older obsolete void withdrawn superseded replaced replaces supersedes longer earlier former formerly destroyed torn down instead since")
	readIt    = wordSet("reading read follow use using hold have")
)

// ownRevision says whether the words around a revision, from byte at to end of what
// was read, say that this recipe is that revision.
func (f *safety) ownRevision(at, end int) bool {
	text := f.read.Bytes
	start, _ := sentence(text, at)
	if start > 0 && text[start-1] == ':' {
		start, _ = sentence(text, start-1) // "Card at bench C: revision 4"
	}
	_, stop := sentence(text, end)
	line := end
	for line < len(text) && text[line] != '\n' {
		line++
	}
	before, after := splitWords(string(text[start:at])), splitWords(string(text[end:stop]))
	mine := f.ofThis(after)
	switch {
	case len(after) > 1 && isDigit(after[1].text[0]) && (after[0].text == "and" || after[0].text == "or" || after[0].text == "to"):
		return false // a range of them
	case len(after) > 0 && pastDeeds[after[0].text], mine && len(after) > 3 && pastDeeds[after[3].text], outOfForce(before), outOfForce(after):
		return false
	case len(after) > 0 && after[0].text == "of" && !mine:
		return false // of something else
	}
	if title := f.r.Title.Span; title.Known() && f.read.raw(at) >= title.Start && f.read.raw(at) < title.End {
		return len(after) == 0
	}
	if mine && (len(before) == 0 || readIt[before[len(before)-1].text]) {
		return true
	}
	if len(before) == 0 {
		rest := text[end:line]
		return opensLine(text, at) && !toldInList(text, at) && !strings.HasPrefix(strings.TrimLeft(string(rest), " "), ":") && all(splitWords(string(rest)), byItself)
	}
	return len(before) == 2 && before[0].text == "this" && before[1].text == "is" || f.subjectIsThis(before)
}

// outOfForce says whether words speak of a paper that no longer holds.
func outOfForce(words []noteWord) bool {
	for _, w := range words {
		if pastForce[w.text] {
			return true
		}
	}
	return false
}

// ofThis says whether words open with "of this recipe", "of the card".
func (f *safety) ofThis(words []noteWord) bool {
	return len(words) > 2 && words[0].text == "of" && (words[1].text == "this" || words[1].text == "the") && revisedThings[words[2].text] && (len(words) == 3 || words[3].text != "of")
}

// subjectIsThis says whether the words before a revision speak of this recipe, and
// of nothing else that may have one.
func (f *safety) subjectIsThis(before []noteWord) bool {
	for i, w := range before {
		if !revisedThings[w.text] {
			continue
		}
		n := i
		for n > 0 && thisOnes[before[n-1].text] {
			n--
		}
		if n > 0 && before[n].gap == space || n == i && i > 0 {
			return false
		}
		for _, rest := range before[i+1:] {
			if !calledBy[rest.text] && !f.ownName(rest.text) {
				return false
			}
		}
		return true
	}
	return false
}

// ownName says whether a word is one of the recipe's id or title.
func (f *safety) ownName(word string) bool {
	for _, name := range []string{f.r.ID.Value, f.r.Title.Value} {
		for _, w := range splitWords(name) {
			if w.text == word {
				return true
			}
		}
	}
	return false
}

// toldInList says whether byte at stands in an item of a list, in a table or in a
// heading: there revisions are told one by one.
func toldInList(text []byte, at int) bool {
	line := at
	for line > 0 && text[line-1] != '\n' {
		line--
	}
	head := strings.TrimLeft(string(text[line:at]), " >")
	return head != "" && (strings.IndexByte("-*+#|", head[0]) >= 0 && !strings.HasPrefix(head, "**") || isDigit(head[0]))
}

// opensLine says whether nothing but marks stands before byte at in its line.
func opensLine(text []byte, at int) bool {
	for at > 0 && text[at-1] != '\n' {
		if at--; isLetter(text[at]) || isDigit(text[at]) || text[at] >= 0x80 {
			return false
		}
	}
	return true
}

// all says whether every word is one of the set or a number.
func all(words []noteWord, set map[string]bool) bool {
	for _, w := range words {
		if !set[w.text] && !isDigit(w.text[0]) {
			return false
		}
	}
	return true
}
