package rules

import (
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/parse"
	"coldwright/internal/trade"
)

// formatRules are kept while a file is read, so they have no check here: they
// stand in the list so that `explain` knows every id a finding can bear.
var formatRules = slices.Concat(
	[]check.Rule{houseRule, houseCautions, acceptedFinding},
	mistakes(keys.Mistakes),
	mistakes(trade.Mistakes),
	parseRules(),
	pageRules,
)

// houseRule is what check.Settings reports of a shop file.
var houseRule = check.Rule{
	ID: "house-rule", Severity: diag.Error, Concern: diag.Card,
	Title: "A house sets only rules there are, and never lowers what protects people.",
	Why: "A setting for a rule that does not exist does nothing, and nobody notices. What protects people may be raised from a warning to an error; " +
		"to lower it would hide it from the hand at the bench.",
	Source: "common practice",
	Quiet:  "the rule is one the house may set: raised, or lowered where no person is hurt by it",
	Bad:    "limits: {rules: {power-near-water: {severity: warning, because: we know}}}",
	Good:   "limits: {rules: {damage-not-cleared: {severity: error, because: lines came up at polish twice}}}",
}

// acceptedFinding is what check.Accept reports of an entry.
var acceptedFinding = check.Rule{
	ID: check.AcceptedRule, Severity: diag.Error, Concern: diag.Card,
	Title: "A finding is overruled by its rule, with a day on which it is looked at again.",
	Why: "An entry for a rule that does not exist, or past its day, overrules nothing, and nobody notices. " +
		"What protects people is not the lead's to overrule. An entry with nothing left to overrule is a warning: " +
		"it would overrule the next fault of that kind unseen. What is overruled is still named, with its reason, in every list of findings and on the sheet.",
	Source: "common practice",
	Quiet:  "the rule is one that may be overruled, it finds something there, and the day has not gone by",
	Bad:    "accepted: [{finding: eyes-covered, reason: we know, until: 2020-01-01}]",
	Good:   "accepted: [{finding: damage-not-cleared @ Smooth the base, reason: proved on ten pieces, until: 2027-10-05}]",
}

// mistakes are those of front matter, shop file, abrasives, media and machines.
func mistakes(list []keys.Mistake) []check.Rule {
	rules := make([]check.Rule, len(list))
	for i, m := range list {
		severity := diag.Error
		if m.ID == trade.PriceUndated {
			severity = diag.Warning
		}
		rules[i] = check.Rule{
			ID: m.ID, Severity: severity, Concern: diag.Card,
			Title: m.Title, Why: m.Why, Source: formatSource, Quiet: formatQuiet(m.ID), Bad: m.Bad, Good: m.Good,
		}
	}
	return rules
}

// parseRules are the mistakes of the whole recipe.
func parseRules() []check.Rule {
	rules := make([]check.Rule, len(parse.Kept))
	for i, m := range parse.Kept {
		rules[i] = check.Rule{
			ID: m.ID, Severity: m.Severity, Concern: diag.Card,
			Title: m.Title, Why: m.Why, Source: formatSource, Quiet: formatQuiet(m.ID), Bad: m.Bad, Good: m.Good,
		}
	}
	return rules
}

// formatQuiet says when a mistake of the format is none.
func formatQuiet(id string) string {
	switch id {
	case trade.BareGrade:
		return "the shop file says under `bare numbers` what a number means for that abrasive"
	case trade.PriceUndated:
		return "no price is written"
	case parse.UnknownBench:
		return "the shop file lists no benches"
	case parse.UnknownGlass:
		return "the glass is written as unknown; then it counts as lead glass"
	case parse.UnknownStep:
		return "the beginning of a title is enough where only one step begins so"
	case parse.UnknownTest:
		return "no test of the house is spelt nearly so, or a surface bears the name"
	case parse.TitleDiffers:
		return "no heading gives a title, or the two differ in capitals and spaces only"
	}
	return never
}

// never stands where a rule makes no exception.
const never = "never"

// formatSource stands where a rule comes from nothing but the format.
const formatSource = "the recipe format"
