package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/picture"
)

// pageRules are kept where a sheet is made, after the recipe has been checked.
var pageRules = []check.Rule{
	{
		ID: picture.RuleID, Severity: diag.Error, Concern: diag.Card,
		Title:  "A picture is there, can be read, and lies in the house's own folder",
		Why:    "A sheet with a hole where the grip should be seen is worse than none, and a picture from outside the house cannot be printed again by anybody else.",
		Source: "common practice",
		Bad:    "![How it is held](../../somewhere/hold.png)",
		Good:   "![How it is held](pictures/hold.png)",
	},
	{
		ID: "character-not-in-font", Severity: diag.Warning, Concern: diag.Card,
		Title:  "Every character can be printed as itself",
		Why:    "The sheet's typeface holds the Latin, Greek and Cyrillic alphabets. Any other character prints as its number, so that nothing is lost.",
		Source: "common practice",
		Bad:    "1. Go slowly \U0001F40C",
		Good:   "1. Go slowly.",
	},
	{
		ID: "design", Severity: diag.Error, Concern: diag.Card,
		Title:  "A design of a sheet says only what a sheet can do",
		Why:    "A mistyped block would be left off every sheet printed with the design.",
		Source: formatSource,
		Bad:    "blocks: [purpose, surfaces, step tabel]",
		Good:   "blocks: [purpose, surfaces, step table]",
	},
}
