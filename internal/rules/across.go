package rules

import (
	"fmt"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/recipe"
)

// repeatedID is kept over the whole house, since one recipe alone cannot break
// it.
var repeatedID = check.Rule{
	ID: "repeated-id", Severity: diag.Error, Concern: diag.Card,
	Title:  "Every recipe of the house has an id of its own.",
	Why:    "The id is what stands on the card and names the printed file. Two recipes of one id print over each other, and nobody can tell which card hangs on the wall.",
	Source: "common practice",
	Quiet:  "Only the recipes that were read together are compared.",
	Bad:    "recipe: bowl-rim        (in two files)",
	Good:   "recipe: bowl-rim-small",
}

// Check checks one recipe by all rules and lays what the lead has overruled
// over what they find. The list it gives is not sorted. Of a file that could
// not be read as a recipe, or not to its end, it says nothing: that has been
// reported, and what would be missing may stand in what was not read.
func Check(c *check.Context) diag.List {
	if c.Recipe.Unread {
		return nil
	}
	return check.Accept(c, check.Run(c, All), All, keys.Nearest)
}

// AcrossHouse finds what only shows when recipes are read side by side. It
// does not depend on the order they come in. others are the ids of the house's
// recipes that were not read now, with their files.
func AcrossHouse(recipes []*recipe.Recipe, others map[string]string) diag.List {
	first := map[string]string{}
	for id, name := range others {
		first[id] = name
	}
	for _, r := range recipes {
		if !r.ID.OK {
			continue
		}
		_, other := others[r.ID.Value]
		have, ok := first[r.ID.Value]
		if !ok || !other && r.File.Name < have {
			first[r.ID.Value] = r.File.Name
		}
	}
	var list diag.List
	for _, r := range recipes {
		have := first[r.ID.Value]
		if !r.ID.OK || have == r.File.Name {
			continue
		}
		list.Add(diag.Diagnostic{
			Rule: repeatedID.ID, Severity: repeatedID.Severity, Concern: repeatedID.Concern, Span: r.ID.Span,
			Message: fmt.Sprintf("The id %q is taken by %s.", r.ID.Value, have),
			Help:    "Give this recipe an id of its own; the printed file and the card bear it.",
		})
	}
	return list
}
