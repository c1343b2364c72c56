package rules

import (
	"strings"
	"unicode/utf8"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/trade"
)

// CheckHouse says which of the house's settings of rules cannot hold, which of
// its own caution words leave something out, and whether its shop file names
// acid work.
func CheckHouse(h *trade.House) diag.List {
	list := append(houseWords(h), check.Settings(h, All, keys.Nearest)...)
	list.Sort()
	return list
}

// concerns are what rules protect, in the order findings are read in.
var concerns = []struct {
	concern diag.Concern
	words   string
}{
	{diag.People, "What hurts people"},
	{diag.Piece, "What spoils the piece"},
	{diag.Test, "Missing tests"},
	{diag.Grade, "Steps in grade"},
	{diag.Card, "The card itself"},
}

// explainWidth is the width of a terminal in columns.
const explainWidth = 80

// ExplainAll lists every rule with one line of what it asks, by what it
// protects.
func ExplainAll() string {
	var b strings.Builder
	wide := 0
	for _, r := range All {
		wide = max(wide, len(r.ID))
	}
	for _, c := range concerns {
		b.WriteString(c.words + "\n")
		for _, r := range All {
			if r.Concern != c.concern {
				continue
			}
			line := "  " + r.ID + strings.Repeat(" ", wide-len(r.ID)+2)
			fill(&b, title(r), line, strings.Repeat(" ", len(line)))
		}
		b.WriteString("\n")
	}
	b.WriteString("coldwright explain RULE says what a rule asks, why, and how to write it right.\n")
	return b.String()
}

// List is every rule as a list in Markdown, by what it protects.
func List() string {
	var b strings.Builder
	for _, c := range concerns {
		b.WriteString("**" + c.words + "**\n\n")
		for _, r := range All {
			if r.Concern == c.concern {
				b.WriteString("- `" + r.ID + "` (" + r.Severity.String() + "): " + title(r) + "\n")
			}
		}
		b.WriteString("\n")
	}
	return b.String()
}

// Protects says in a few words what a concern is about: "What hurts people".
func Protects(c diag.Concern) string {
	for _, one := range concerns {
		if one.concern == c {
			return one.words
		}
	}
	return ""
}

// Plain is a rule with its texts as whole sentences.
func Plain(r check.Rule) check.Rule {
	r.Title, r.Why, r.Source, r.Quiet = title(r), capital(r.Why), capital(r.Source), capital(quiet(r.Quiet))
	return r
}

// title is a rule's title with its full stop.
func title(r check.Rule) string {
	return strings.TrimSuffix(strings.TrimSpace(r.Title), ".") + "."
}

// Explain says what a rule asks, why, its source, when it keeps still, a bad
// line and a good one. For an id there is none of it names the nearest and
// gives false.
func Explain(id string) (string, bool) {
	id = strings.ToLower(strings.TrimSpace(id))
	for _, r := range All {
		if r.ID == id {
			return explained(r), true
		}
	}
	ids := make([]string, len(All))
	for i, r := range All {
		ids[i] = r.ID
	}
	text := "there is no rule \"" + id + "\""
	if near := keys.Nearest(id, ids); near != "" {
		return text + "; the nearest is " + near, false
	}
	return text + "; coldwright explain lists them", false
}

func explained(r check.Rule) string {
	var b strings.Builder
	r = Plain(r)
	b.WriteString(r.ID + "  " + r.Severity.String() + "\n")
	fill(&b, r.Title, "", "")
	part := func(name, words string) {
		if strings.TrimSpace(words) == "" {
			return
		}
		b.WriteByte('\n')
		head := name + strings.Repeat(" ", 9-len(name))
		fill(&b, words, head, strings.Repeat(" ", len(head)))
	}
	part("Why", r.Why)
	part("Source", r.Source)
	part("Quiet", r.Quiet)
	// Lines of a recipe stand as they are written; a remark behind one that is
	// too long goes on the next.
	line := func(name, words string) {
		for i, l := range strings.Split(strings.TrimRight(words, "\n"), "\n") {
			head := strings.Repeat(" ", 9)
			if i == 0 {
				head = name + head[len(name):]
			}
			if utf8.RuneCountInString(head+l) <= explainWidth {
				b.WriteString(strings.TrimRight(head+l, " ") + "\n")
				continue
			}
			text, remark, _ := strings.Cut(l, "   (")
			fill(&b, text, head, strings.Repeat(" ", 11))
			if remark != "" {
				fill(&b, "("+remark, strings.Repeat(" ", 11), strings.Repeat(" ", 11))
			}
		}
	}
	b.WriteByte('\n')
	line("Bad", r.Bad)
	line("Good", r.Good)
	return b.String()
}

// quiet is when a rule keeps still, as a sentence.
func quiet(words string) string {
	words = strings.TrimSuffix(strings.TrimSpace(words), ".")
	if words == "" {
		return ""
	}
	return words + "."
}

// fill writes words in lines of a terminal, the first behind first, the others
// behind rest.
func fill(b *strings.Builder, words, first, rest string) {
	line, empty := first, true
	for _, word := range strings.Fields(words) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > explainWidth {
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
}
