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
		Quiet:  never,
		Bad:    "![How it is held](../../somewhere/hold.png)",
		Good:   "![How it is held](pictures/hold.png)",
	},
	{
		ID: picture.SmallID, Severity: diag.Warning, Concern: diag.Card,
		Title:  "A picture has dots enough for the room it stands in",
		Why:    "Below 150 dots to the inch the dots show and the grip does not. Such a picture is not blown up; it prints small.",
		Source: "150 to 300 dots to the inch for pictures in print, common practice",
		Quiet:  "The longer side has 295 dots or more.",
		Bad:    "![How it is held](pictures/thumbnail.jpg)",
		Good:   "![How it is held](pictures/hold.jpg)",
	},
	{
		ID: "character-not-in-font", Severity: diag.Warning, Concern: diag.Card,
		Title:  "Every character can be printed as itself",
		Why:    "The sheet's typeface holds the Latin, Greek and Cyrillic alphabets. Any other character prints as its number, so that nothing is lost.",
		Source: "common practice",
		Quiet:  never,
		Bad:    "1. Go slowly \U0001F40C",
		Good:   "1. Go slowly.",
	},
	{
		ID: "design", Severity: diag.Error, Concern: diag.Card,
		Title:  "A design of a sheet says only what a sheet can do",
		Why:    "A mistyped block would be left off every sheet printed with the design.",
		Source: formatSource,
		Quiet:  never,
		Bad:    "blocks: [purpose, surfaces, step tabel]",
		Good:   "blocks: [purpose, surfaces, step table]",
	},
	{
		ID: "card-does-not-fit", Severity: diag.Error, Concern: diag.Card,
		Title:  "A bench card holds all of its steps on two faces, large enough to read",
		Why:    "A card is read at arm's length with wet hands. Smaller type is guessed at, and what is cut off at the edge is not done.",
		Source: "letters 1/200 of the distance they are read at, common practice for signs and labels: 12 pt serve to 0.85 m",
		Quiet:  never,
		Bad:    "coldwright print --as \"bench card\" --paper A6 relief-panel.md",
		Good:   "coldwright print --as \"bench card\" --steps 1-4 relief-panel.md",
	},
	{
		ID: "card-many-cautions", Severity: diag.Note, Concern: diag.Card,
		Title:  "A bench card says a few cautions, so that each is read",
		Why:    "The eye that has read ten cautions reads no eleventh. Nothing is left out for that: a card for one bench or one surface simply has fewer.",
		Source: "common practice",
		Quiet:  never,
		Bad:    "coldwright print --as \"bench card\" relief-panel.md",
		Good:   "coldwright print --as \"bench card\" --bench D relief-panel.md",
	},
	{
		ID: "card-has-no-step", Severity: diag.Note, Concern: diag.Card,
		Title:  "A card for a bench, a surface or some steps has at least one step",
		Why:    "A card without a step would hang at a bench where nothing of the recipe is done.",
		Source: "common practice",
		Quiet:  never,
		Bad:    "coldwright print --as \"bench card\" --bench Q cast-weight.md",
		Good:   "coldwright print --as \"bench card\" --bench D cast-weight.md",
	},
	{
		ID: "words-in-english", Severity: diag.Note, Concern: diag.Card,
		Title:  "The fixed words of a page are in the language of the house",
		Why:    "A hand who reads no English must not meet a caution in it. Nothing is left out for that: what has no words in the language prints in English.",
		Source: "common practice",
		Quiet:  "the house writes in English, or says no language",
		Bad:    "language: fr",
		Good:   "language: de",
	},
}
