package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var mouldSkin = check.Rule{
	ID: "mould-skin-on-the-lap", Severity: diag.Error, Concern: diag.Piece,
	Title: "A cast piece comes out of its mould, and its skin is washed off, before a machine grinds it.",
	Why: "Plaster and silica that cling to the glass break off under the disc: they scratch, blunt and load it, and they hide cracks. " +
		"Where it is said to be removed and a step takes it off all the same, the notes on its dust are left out. " +
		"What is knocked off dry is dust of free silica.",
	Source: "common practice",
	Quiet:  "the mould is removed and no title takes it off, or a step before the first machine strips, soaks, brushes or washes the piece",
	Bad:    "piece: {form: cast, mould: still on}   (and the first step is the flat lap)",
	Good:   "## Strip the mould damp   (then soak and brush, before the first disc)",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := c.Recipe
		if r.Piece.Mould.Value != trade.MouldOn && !arrivesInMould(r) {
			strippedAnyway(r, found)
			return
		}
		for i := range r.Steps {
			step := &r.Steps[i]
			if devests(step) {
				return
			}
			if !step.Working() || !powered(step) {
				continue
			}
			found(check.Finding{
				Span: step.Machine.Span, Step: step.Number,
				Message: "The piece comes with its mould still on, and " + stepNo(step) + " puts it on " + aMachine(step.Machine.Value) + " with nothing before it that takes the mould off.",
				Help:    "Put a step before it: strip the mould damp, soak, brush the recesses. If that has been done, write `mould: removed`.",
			})
			return
		}
	},
}

// strippedAnyway finds a step that takes a mould off by its title, where the piece is
// said to come without one.
func strippedAnyway(r *recipe.Recipe, found func(check.Finding)) {
	if !r.Piece.Mould.OK {
		return
	}
	for i := range r.Steps {
		step := &r.Steps[i]
		if step.Working() {
			continue
		}
		mould, off := false, false
		for _, w := range splitWords(step.Title) {
			mould = mould || w.stem == "mould" || w.stem == "investment"
			off = off || w.text == "off" || w.text == "strip"
		}
		if mould && off {
			found(check.Finding{
				Span: r.Piece.Mould.Span, Severity: diag.Warning, Also: []diag.Site{{Span: step.Span, Step: step.Number}},
				Message: "The piece is said to come without its mould, and " + stepNo(step) + ", \"" + step.Title + "\", takes it off.",
				Help:    "Write `mould: still on`, or take the step out.",
			})
			return
		}
	}
}

// arrivesInMould says whether a piece of which nothing is written that can be read
// comes with its mould by other words: those of its mould, of how a surface
// arrives, or of a casting before the first step.
func arrivesInMould(r *recipe.Recipe) bool {
	if r.Piece.Mould.OK {
		return false
	}
	if r.Piece.Mould.Written() {
		state, _ := trade.MouldSaid(r.Piece.Mould.Span.Text())
		return state == trade.MouldOn
	}
	for i := range r.Surfaces {
		if state, _ := trade.MouldSaid(r.Surfaces[i].From.Value.Words); state == trade.MouldOn {
			return true
		}
	}
	return r.Piece.Form.Value == "cast" && toldInMould(r)
}

// toldInMould says whether the words before the first step have the piece come in
// its mould.
func toldInMould(r *recipe.Recipe) bool {
	for i := range r.Purpose {
		for _, sentence := range strings.FieldsFunc(prose.BlockWords(r.Purpose[i:i+1]), func(c rune) bool { return strings.ContainsRune(".!?:;", c) }) {
			if state, _ := trade.MouldSaid(sentence); state == trade.MouldOn && hasAny(strings.ToLower(sentence), comesWords) {
				return true
			}
		}
	}
	return false
}

// comesWords are how a piece is told to come to the bench.
var comesWords = []string{"come", "arrive", "start", "still in", "still invested", "brought", "handed", "delivered", "for a", "for an", "takes a"}

// devestWords are the stems of what is done to a mould.
var devestWords = []string{"strip", "soak", "brush", "wash", "devest", "divest", "break out", "chip", "dig out", "take the mould", "take the mold", "mould off", "mold off", "scrub", "peel", "rinse"}

// devests says whether a step takes no glass off and speaks of getting the
// mould off.
func devests(step *recipe.Step) bool {
	if step.Working() {
		return false
	}
	if w := step.Water.Value.Kind; w != nil && w.Wet {
		return true
	}
	return hasAny(strings.ToLower(stepWords(step)), devestWords)
}

func hasAny(text string, stems []string) bool {
	for _, stem := range stems {
		if strings.Contains(text, stem) {
			return true
		}
	}
	return false
}
