package parse

import "coldwright/internal/diag"

// The ids of the findings made while a recipe is read. Those of the front
// matter's form are keys.Mistakes.
const (
	FrontMatter    = "front-matter"
	EmptyFile      = "empty-file"
	NotText        = "not-text"
	TooLong        = "too-long"
	TooTangled     = "too-tangled"
	MissingKey     = "missing-key"
	BadValue       = "unreadable-value"
	BadID          = "recipe-name"
	BadDate        = "unreadable-date"
	BadNumber      = "unreadable-number"
	BadAmount      = "unreadable-amount"
	UnknownWord    = "unknown-word"
	UnknownGlass   = "unknown-glass"
	UnknownShape   = "unknown-shape"
	UnknownFinish  = "unknown-finish"
	UnknownSurface = "unknown-surface"
	UnknownTopic   = "unknown-topic"
	UnknownTile    = "unknown-tile"
	UnknownTest    = "unknown-test"
	UnknownBench   = "unknown-bench"
	UnknownStep    = "unknown-step"
	UnknownFact    = "unknown-fact"
	SurfaceTwice   = "surface-twice"
	FactTwice      = "fact-twice"
	FactForm       = "fact-form"
	FactsLate      = "facts-late"
	BadFact        = "unreadable-fact"
	ChoiceInFact   = "choice-in-fact"
	TitleDiffers   = "title-differs"
	NoSteps        = "no-steps"
	StepUntitled   = "step-untitled"
	StepHeading    = "step-heading"
	KeyPointPlace  = "key-point-place"
	TickBox        = "tick-box"
	PictureName    = "picture-name"
	SignalWord     = "signal-word"
	CautionQuote   = "caution-not-quoted"
	RawHTML        = "raw-html"
	UnusedNote     = "unused-footnote"
	UnusedLink     = "unused-link"
)

// Mistake is one thing reading a recipe asks of it, for those who explain it.
type Mistake struct {
	ID       string
	Severity diag.Severity
	// Title says in one line what is asked, Why what happens otherwise.
	Title, Why string
	// Bad and Good are lines of a recipe.
	Bad, Good string
}

// Kept are all of them, in the order of the ids. Every one is a finding about
// the card itself.
var Kept = []Mistake{
	{FrontMatter, diag.Error, "The recipe opens with its front matter between two lines of three hyphens",
		"Without it nobody knows which piece, which revision and which surfaces the steps are for.",
		"# Flatten the base", "---\nrecipe: cast-weight\n---"},
	{EmptyFile, diag.Error, "The file holds a recipe",
		"An empty file prints nothing, and the bench would go on with an older card.",
		"(nothing)", "---\nrecipe: cast-weight\n---"},
	{NotText, diag.Error, "Every character can be read",
		"A character that was saved in another way prints as a blot, and it may stand in a grade or a caution.",
		"1.5 \xff\xfem", "1.5 µm"},
	{TooLong, diag.Error, "The file is not longer than 2 MB",
		"A recipe is a few pages; a file of this length is something else, or holds a picture pasted into the text.",
		"(a file of 10 MB)", "![How it is held](pictures/hold.png)"},
	{TooTangled, diag.Error, "Quotes, lists, brackets and tables stay within what a sheet can hold",
		"What stands dozens of levels deep can neither be set on paper nor read at a bench.",
		"> > > > > > > > > > (and on)", "> Caution: a drying pad grabs."},
	{MissingKey, diag.Error, "The front matter, the piece and each surface say what they have to",
		"A sheet without its revision, glass or surfaces cannot be checked or told from an older one.",
		"surfaces:\n  - {name: base, shape: flat}", "surfaces:\n  - {name: base, shape: flat, from: as cast, to: satin}"},
	{BadValue, diag.Error, "A value can be read where it stands",
		"What cannot be read is neither checked nor printed.",
		"title: [Cast paperweight]", "title: Cast paperweight"},
	{BadID, diag.Error, "A recipe is named in lower-case letters, figures and hyphens",
		"Printed files, training records and codes on cards carry the name; it has to work in each of them and must never point into a folder.",
		"recipe: ../Cast Weight", "recipe: cast-weight"},
	{BadDate, diag.Error, "Dates are days, written year, month, day",
		"05/10/26 is one day here and another elsewhere.",
		"date: 5.10.2026", "date: 2026-10-05"},
	{BadNumber, diag.Error, "Revisions and counts are whole numbers from 1 on",
		"Somebody at the bench has to see at once which of two cards is the newer.",
		"revision: 2b", "revision: 3"},
	{BadAmount, diag.Error, "An amount is a number and its unit",
		"A number alone is read as inches by one hand and millimetres by the next.",
		"- Time: 8", "- Time: 8 min"},
	{UnknownWord, diag.Error, "Words of a closed list are known ones",
		"What the checker does not know it cannot hold against the glass.",
		"- Water: wett", "- Water: wet"},
	{UnknownGlass, diag.Error, "The glass is one the house knows, or unknown",
		"Lead, hardness and weight all follow from the glass.",
		"glass: soda line", "glass: soda-lime"},
	{UnknownShape, diag.Error, "The shape of a surface is a known one",
		"The shape says which wheels, pads and brushes reach it.",
		"shape: flatt", "shape: flat"},
	{UnknownFinish, diag.Error, "The finish of a surface is a known one",
		"The finish is where the piece stops; without it nobody can tell when it is done.",
		"to: shiny", "to: bright polish"},
	{UnknownSurface, diag.Error, "A step works on surfaces the piece has",
		"A mistyped name leaves a surface unworked and says nothing of it.",
		"- Surface: bsae", "- Surface: base"},
	{UnknownTopic, diag.Error, "A caution called by name is one there is",
		"A mistyped caution would not print, and somebody would work without it.",
		"cautions: [dry dusts]", "cautions: [dry dust]"},
	{UnknownTile, diag.Error, "A sample tile is one the house keeps",
		"A piece cannot be held beside a tile that is not there.",
		"tile: T99", "tile: T5"},
	{UnknownTest, diag.Note, "A checkpoint that opens with a test opens with one of the house",
		"The method of a known test prints beside the checkpoint; that of a mistyped one does not.",
		"- [ ] Raking lmap: no line left", "- [ ] Raking lamp: no line left"},
	{UnknownBench, diag.Error, "A step is done at a bench of the house",
		"The order of benches keeps coarse grit away from the finer ones.",
		"- Bench: Q", "- Bench: D"},
	{UnknownStep, diag.Error, "A step to go back to is one there is",
		"When a test fails, the card must not send anybody nowhere.",
		"- Return to: Smoothe the bass", "- Return to: Smooth the base"},
	{UnknownFact, diag.Error, "A fact has a name the format knows",
		"A mistyped fact would print and not be checked.",
		"- Mashine: flat lap", "- Machine: flat lap, 300 mm at 150 rpm"},
	{SurfaceTwice, diag.Error, "Each surface has a name of its own",
		"A step must say without doubt which one it works.",
		"- {name: base, …}\n- {name: base, …}", "- {name: base, …}\n- {name: rim, …}"},
	{FactTwice, diag.Error, "A fact is written once in a step",
		"Two speeds for one disc, and the wrong one is read.",
		"- Time: 8 min\n- Time: 12 min", "- Time: 8-10-12 min"},
	{FactForm, diag.Error, "The list of facts holds facts and nothing else",
		"An instruction among the facts is overlooked at the bench.",
		"- Surface: base\n- light hand", "- Surface: base\n\n1. Light hand."},
	{FactsLate, diag.Error, "Facts stand at the top of their step",
		"On the card they stand in one table; at the bench nobody looks for a speed below a picture.",
		"1. Set down slowly.\n\n- Time: 8 min", "- Time: 8 min\n\n1. Set down slowly."},
	{BadFact, diag.Error, "The value of a fact can be read",
		"What cannot be read cannot be held against the glass, and somebody has to guess it.",
		"- Charge: sometimes", "- Charge: every 2 min"},
	{ChoiceInFact, diag.Error, "A fact says one thing, not two to choose from",
		"Which of two grades, felts or machines it is decides what the next step is handed; a card that leaves it open leaves it to the newest hand in the shop.",
		"- Abrasive: silicon carbide F220 or F400 as needed", "- Abrasive: silicon carbide F220"},
	{TitleDiffers, diag.Error, "The heading and the front matter give the recipe one title",
		"With two titles nobody knows which piece the card is for.",
		"title: Cast weight\n# Pressed weight", "title: Cast weight\n# Cast weight"},
	{NoSteps, diag.Error, "A recipe has steps",
		"A card without steps tells nobody what to do.",
		"Flatten the base.", "## Flatten the base"},
	{StepUntitled, diag.Error, "A step gives an order in its heading",
		"The heading is what is read across the bench.",
		"##", "## Flatten the base"},
	{StepHeading, diag.Error, "A step stands under a line that begins with ## and a space",
		"Under any other line its facts and checks would belong to the step before it.",
		"##Smooth the base", "## Smooth the base"},
	{KeyPointPlace, diag.Error, "Key points belong to an instruction, right and wrong to a checkpoint",
		"A key point with nothing before it prints beside nothing.",
		"- Key point: load the glass.", "1. Wet the pad.\n   - Key point: load the glass."},
	{TickBox, diag.Error, "A checkpoint has an empty box and says what must be true",
		"A box that is none prints no box, and one that is ticked already is never looked at.",
		"- [] Raking lamp: no line left", "- [ ] Raking lamp: no line left"},
	{PictureName, diag.Error, "The name of a picture's file has no space",
		"With a space in the name the line prints as words, and the bench does without the picture.",
		"![How it is held](my photo.jpg)", "![How it is held](my-photo.jpg)"},
	{SignalWord, diag.Warning, "A caution opens with Danger, Warning, Caution or Notice",
		"With a mistyped word it prints as plain text, and no rule counts it.",
		"> Warnnig: both hands.", "> Warning: both hands."},
	{CautionQuote, diag.Note, "A caution stands in a quote",
		"As a plain paragraph it prints among the words, where it is overlooked.",
		"Caution: a drying pad grabs.", "> Caution: a drying pad grabs."},
	{RawHTML, diag.Warning, "The text is written for paper",
		"Marks of a web page mean nothing on a sheet; they print as they stand so that no word is lost.",
		"Wet <b>both</b> sides.", "Wet **both** sides."},
	{UnusedNote, diag.Warning, "Something in the text points to each footnote",
		"A footnote nothing points to is read by nobody.",
		"[^1]: Or a cork wheel.", "Felt.[^1]\n\n[^1]: Or a cork wheel."},
	{UnusedLink, diag.Note, "Each link that is set down is used",
		"The line itself never prints; if it was meant as words, they are lost.",
		"[drawing]: pictures/hold.png", "See the [drawing].\n\n[drawing]: pictures/hold.png"},
}

var severities = func() map[string]diag.Severity {
	m := make(map[string]diag.Severity, len(Kept))
	for _, k := range Kept {
		m[k.ID] = k.Severity
	}
	return m
}()

func severity(id string) diag.Severity { return severities[id] }
