package trade

import (
	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

// The ids of the findings of this package. Those above the line are shared
// with the reader of recipes, which explains them.
const (
	BadAmount      = "unreadable-amount"
	BadDate        = "unreadable-date"
	BadNumber      = "unreadable-number"
	BadValue       = "unreadable-value"
	UnknownWord    = "unknown-word"
	UnknownGlass   = "unknown-glass"
	UnknownShape   = "unknown-shape"
	UnknownFinish  = "unknown-finish"
	UnknownTopic   = "unknown-topic"
	UnknownBench   = "unknown-bench"
	UnknownSurface = "unknown-surface"

	UnknownAbrasive = "unknown-abrasive"
	BondMissing     = "bond-not-written"
	NotSoldSo       = "not-sold-so"
	UnknownGrade    = "unknown-grade"
	BareGrade       = "bare-grade"
	GradeNotSold    = "scale-not-sold"
	GradeMissing    = "grade-missing"
	UnknownMedium   = "unknown-medium"
	UnknownMachine  = "unknown-machine"
	SaidTwice       = "said-twice"
	CodeTwice       = "code-twice"
	StockUnknown    = "unknown-stock"
	StockMissing    = "stock-incomplete"
	PriceUndated    = "price-undated"
	NotStanding     = "caution-not-standing"
	SignalWeak      = "caution-weaker"
	// NoWords is explained with the findings of a page.
	NoWords = "words-in-english"
)

// Mistakes are the findings that are this package's own.
var Mistakes = []keys.Mistake{
	{ID: UnknownAbrasive, Title: "Every word of an abrasive is known", Why: "What is not known has no grain size, no lap it may run on and no caution.", Bad: "Abrasive: purple pad", Good: "Abrasive: resin diamond pad 325 mesh"},
	{ID: BondMissing, Title: "A tool says how its grain is held", Why: "At one number a plated disc cuts far deeper than a resin pad.", Bad: "Abrasive: diamond disc 120 mesh", Good: "Abrasive: plated diamond disc 120 mesh"},
	{ID: NotSoldSo, Title: "An abrasive is written in a form it is sold in", Why: "A form nobody sells is a slip of the pen for another.", Bad: "Abrasive: plated pumice disc 2F", Good: "Abrasive: pumice 2F"},
	{ID: UnknownGrade, Title: "A grade is one its scale has", Why: "A number the scale does not have has no grain size.", Bad: "Abrasive: silicon carbide F410", Good: "Abrasive: silicon carbide F400"},
	{ID: BareGrade, Title: "A grade says its scale", Why: "400 is six grain sizes, from 17 to 38 µm, by the scale that is meant.", Bad: "Abrasive: silicon carbide 400", Good: "Abrasive: silicon carbide F400"},
	{ID: GradeNotSold, Title: "A grade is on a scale its abrasive is sold in", Why: "There is no F number on diamond and no P number on loose grit: one of the two words is wrong.", Bad: "Abrasive: silicon carbide P400", Good: "Abrasive: silicon carbide F400"},
	{ID: GradeMissing, Title: "An abrasive has a grade", Why: "Without a grade nobody can lay out the same grain again.", Bad: "Abrasive: silicon carbide", Good: "Abrasive: silicon carbide F220"},
	{ID: UnknownMedium, Title: "Every word of a medium is known", Why: "What carries the grain decides what it leaves on the glass and which shapes it reaches.", Bad: "Medium: fetl pad", Good: "Medium: felt pad"},
	{ID: UnknownMachine, Title: "Every machine is known", Why: "The machine decides which shapes can be reached and which cautions print.", Bad: "Machine: flt lap at 150 rpm", Good: "Machine: flat lap, 300 mm at 150 rpm"},
	{ID: SaidTwice, Title: "A fact is written once", Why: "Of two figures only one can hold, and nobody can tell which was meant.", Bad: "S220: {abrasive: silicon carbide F220, grade: F400}", Good: "S220: {abrasive: silicon carbide, grade: F220}"},
	{ID: CodeTwice, Title: "A code stands for one thing", Why: "A code on two lines of stock, media or machines cannot be cited.", Bad: "P1 under stock and P1 under machines", Good: "P1 under stock and LAP1 under machines"},
	{ID: StockUnknown, Title: "A measured line cites what the house has", Why: "A measurement of something the house does not have serves nothing.", Bad: "measured: [{stock: S22, rate: 18 µm/min}]", Good: "measured: [{stock: S220, rate: 18 µm/min}]"},
	{ID: StockMissing, Title: "A line of the shop file says what it is", Why: "A code without an abrasive, a medium or a kind stands for nothing.", Bad: "R325: {bench: C}", Good: "R325: {abrasive: resin diamond pad, grade: 325 mesh, bench: C}"},
	{ID: PriceUndated, Title: "A price has a date", Why: "Prices of powders have risen sixfold within a year; an old one misleads.", Bad: "CE: {abrasive: cerium oxide, price: 45.00 EUR}", Good: "CE: {abrasive: cerium oxide, pack: 1 kg, price: 45.00 EUR, dated: 2026-09-01}"},
	{ID: NotStanding, Title: "Only standing cautions stand on every recipe", Why: "A caution that is on every card whether it applies or not is soon read by nobody.", Bad: "always: [lead glass]", Good: "cautions: [lead glass]   (in the recipe)"},
	{ID: SignalWeak, Title: "The house's own caution is as strong as the usual one", Why: "A weaker signal word tells the reader that less can happen.", Bad: "eyes: \"Caution: glasses on.\"", Good: "eyes: \"Warning: safety glasses on before you switch on.\""},
}

// say reports a mistake.
func say(report *diag.List, rule string, at source.Span, message, help string) {
	report.Add(diag.Diagnostic{Rule: rule, Severity: diag.Error, Concern: diag.Card, Span: at, Message: message, Help: help})
}

// slip gives the finding said last the word of a closed list that was meant,
// where there is only one it can be.
func slip(report *diag.List, at source.Span, words string, known []string) {
	report.Mended(diag.Word(at, words, keys.Clear(words, known)))
}

// slipOf does so for the bytes start to end of a text.
func slipOf(report *diag.List, at source.Span, text string, start, end int, near string) {
	report.Mended(diag.Word(stretch(at, text, start, end), text[start:end], near))
}

// stretch is where the bytes start to end of text stand. Where the text is not
// the file's byte for byte it is the whole of at.
func stretch(at source.Span, text string, start, end int) source.Span {
	if !at.Known() || at.End-at.Start != len(text) || start < 0 || end > len(text) || end < start {
		return at
	}
	return at.Part(start, end)
}

// sayAmount reports an amount of which text is the stretch that begins at byte
// from of whole.
func sayAmount(report *diag.List, at source.Span, whole string, from int, err *quantity.Error) {
	at = stretch(at, whole, from+err.Start, from+err.End)
	say(report, BadAmount, at, err.Message, err.Help)
	report.Mended(diag.Word(at, err.Words, err.Put))
}
