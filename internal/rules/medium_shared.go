package rules

import (
	"cmp"
	"fmt"
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var mediumShared = check.Rule{
	ID: "medium-shared", Severity: diag.Error, Concern: diag.Piece,
	Title:  "A felt, cork, brush or pad of the house carries one compound in all recipes.",
	Why:    "Each recipe is right by itself, and yet the felt that takes pumice on Monday takes cerium on Tuesday. The grains of Monday are still in it, and nobody at the bench can know.",
	Source: "common practice",
	Quiet: "the lap is hard and is scrubbed, the shop file says what the medium is `kept for` (each recipe is held against that), the medium is not called by its code, " +
		"the step says that it is new or changed, or only one of the recipes was read",
	Bad:    "Medium: FELT-1   (with pumice in one recipe, with cerium oxide in another)",
	Good:   "FELT-1: {medium: felt pad, kept for: pumice}   (and FELT-2 for cerium oxide, in the shop file)",
	Across: checkShared,
}

// sharedMedia are the house's felts, pads and brushes that a recipe puts a powder on.
func sharedMedia(r *recipe.Recipe) []check.Use {
	var all []check.Use
	for i := range r.Steps {
		step := &r.Steps[i]
		m, a := step.Medium.Value, &step.Abrasive.Value
		if !step.Medium.OK || !step.Abrasive.OK || m.Stock == nil || m.Stock.KeptFor != "" || m.Kind == nil || a.Family == nil || !loose(a) || !m.Kind.Lap.Compliant() {
			continue
		}
		if saysNew(stepWords(step), m.Kind.Name) || saysNew(step.CleanDown.Value, m.Kind.Name) {
			continue
		}
		all = append(all, check.Use{
			Code: m.Stock.Code, Powder: a.Family.Name, Medium: mediumName(m),
			Site: diag.Site{Span: step.Medium.Span, Step: step.Number},
		})
	}
	return all
}

// mostPlaces is how many places of others a finding names.
const mostPlaces = 3

func checkShared(s *check.Shelf, found func(*check.Entry, check.Finding)) {
	type used struct {
		*check.Entry
		check.Use
	}
	byCode := map[string][]used{}
	for _, e := range s.Entries {
		for _, u := range e.Uses {
			byCode[u.Code] = append(byCode[u.Code], used{e, u})
		}
	}
	codes := make([]string, 0, len(byCode))
	for code := range byCode {
		codes = append(codes, code)
	}
	slices.Sort(codes)
	for _, code := range codes {
		// Which compound it is that most recipes put on it; of two as common, the
		// one that comes first in the alphabet.
		recipes := map[string]int{}
		seen := map[*check.Entry]map[string]bool{}
		for _, u := range byCode[code] {
			if seen[u.Entry] == nil {
				seen[u.Entry] = map[string]bool{}
			}
			if !seen[u.Entry][u.Powder] {
				seen[u.Entry][u.Powder] = true
				recipes[u.Powder]++
			}
		}
		if len(recipes) < 2 {
			continue
		}
		powders := make([]string, 0, len(recipes))
		for powder := range recipes {
			powders = append(powders, powder)
		}
		slices.SortFunc(powders, func(a, b string) int { return cmp.Or(recipes[b]-recipes[a], cmp.Compare(a, b)) })
		usual := powders[0]
		var places []diag.Site
		var first used
		for _, u := range byCode[code] {
			if u.Powder == usual && len(seen[u.Entry]) == 1 {
				if places == nil {
					first = u
				}
				places = append(places, u.Site)
			}
		}
		if places == nil {
			continue // only within single recipes, which is told there
		}
		told := map[*check.Entry]bool{}
		for _, u := range byCode[code] {
			// A recipe that puts both on it is told of that by itself.
			if u.Powder == usual || told[u.Entry] || len(seen[u.Entry]) > 1 {
				continue
			}
			told[u.Entry] = true
			found(u.Entry, check.Finding{
				Span: u.Site.Span, Step: u.Site.Step,
				Message: fmt.Sprintf("Step %d puts %s on %s, the %s that takes %s in %s. Rinsing does not clear it.",
					u.Site.Step, u.Powder, code, u.Medium, usual, first.Recipe.File.Name),
				Help: "Give each compound its own: a line in the shop file for each, with `kept for`.",
				Also: places[:min(len(places), mostPlaces)],
			})
		}
	}
}
