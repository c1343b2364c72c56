package check

import (
	"slices"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// Shelf is the recipes of a house side by side, for the rules that hold over
// all of them.
type Shelf struct {
	House *trade.House
	// Entries are the recipes that were read, in any order.
	Entries []*Entry
	// Others are the ids of the house's recipes that were not read now, with
	// their files.
	Others map[string]string
	// Closed is true where Entries and Others are all the recipes there are, so
	// that one that is in neither is not there at all.
	Closed bool
	// All is true where none was left unread, so that what was not found is not
	// there to be found.
	All bool
	// Holds says whether there is a file where a link of an entry leads. Nil says
	// that nobody can tell.
	Holds func(e *Entry, target string) bool
	// Today is the day dates are held against.
	Today recipe.Date
}

// Entry is what the house needs of one recipe once it has been checked by
// itself. It is small: a house may hold many thousands.
type Entry struct {
	// Recipe holds the id and what was overruled; of its steps only the titles, and
	// of its file perhaps the front matter only.
	Recipe *recipe.Recipe
	// Ways are the places where the reader is sent to another recipe.
	Ways []Way
	// Uses are the media the house knows by a code, each with a powder on it.
	Uses []Use
}

// Way is a place that sends the reader to another recipe.
type Way struct {
	// Target is what is named there: the file of a link, or a recipe's id.
	Target string
	Finding
	// Link is true for a link, false for words.
	Link bool
}

// Use is a powder on a medium of the house.
type Use struct {
	// Code is that of the medium, Powder the name of the powder's family.
	Code, Powder string
	// Medium is what the medium is, in words.
	Medium string
	Site   diag.Site
}

// Across checks the recipes of a house by the rules that hold over all of them,
// and lays the house's own severities and what the leads have overruled over
// what they find. The findings are those of each entry, in the order of the
// entries; they do not depend on that order.
func Across(s *Shelf, rules []Rule) []diag.List {
	lists := make([]diag.List, len(s.Entries))
	at := make(map[*Entry]int, len(s.Entries))
	for i, e := range s.Entries {
		at[e] = i
	}
	inOrder := *s
	inOrder.Entries = slices.Clone(s.Entries)
	slices.SortStableFunc(inOrder.Entries, func(a, b *Entry) int {
		return strings.Compare(a.Recipe.File.Name, b.Recipe.File.Name)
	})
	for i := range rules {
		rule := &rules[i]
		if rule.Across == nil {
			continue
		}
		rule.Across(&inOrder, func(e *Entry, f Finding) {
			severity := rule.Severity
			if f.Severity != 0 {
				severity = f.Severity
			}
			lists[at[e]].Add(stamped(rule, f, laidOver(rule, severity, s.House)))
		})
	}
	for i, e := range s.Entries {
		lists[i] = acceptAcross(s, e, lists[i], rules)
	}
	return lists
}

// acceptAcross lays what the lead has overruled of these rules over a recipe's
// findings. An entry that overrules nothing is one where the whole house was
// read; what else is wrong with an entry Accept has said.
func acceptAcross(s *Shelf, e *Entry, list diag.List, rules []Rule) diag.List {
	for _, a := range e.Recipe.Accepted {
		id, title := idAndTitle(a)
		i := slices.IndexFunc(rules, func(r Rule) bool { return r.ID == id && r.Across != nil })
		if i < 0 || !a.Finding.OK || !rules[i].mayBeOverruled() || pastDay(a, s.Today) {
			continue
		}
		if !overrule(list, e.Recipe, &rules[i], a, title) && s.All {
			list.Add(nothingLeft(a))
		}
	}
	return list
}
