package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var testMadeWet = check.Rule{
	ID: "test-made-wet", Severity: diag.Warning, Concern: diag.Test,
	Title:  "A surface is looked at dry.",
	Why:    "Water fills every pit and line: a wet face looks a whole finish brighter than it is, and what was passed at the sink shows on the shelf.",
	Source: "common practice",
	Quiet:  "the checkpoint also says dry, looks at water, felt or pad and not at glass, looks for a leak or grease, or tells the reader not to look wet",
	Bad:    "- [ ] Wet: no line shows",
	Good:   "- [ ] Raking lamp: rinsed, dried, no line shows",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			for j := range step.Body {
				if step.Body[j].Kind != recipe.Check {
					continue
				}
				one := step.Body[j].Check
				words := lookedAtWet(c.Recipe, one.Text)
				if words == "" && houseTest(one) {
					words = lookedAtWet(c.Recipe, one.Test.Method)
				}
				if words != "" {
					found(check.Finding{
						Span: one.Span, Step: step.Number,
						Message: capital(stepNo(step)) + " looks at the glass " + words + ". Water fills the lines and hides them.",
						Help:    "Let it be rinsed, dried and then looked at, and write so.",
					})
				}
			}
		}
	},
}

// ownTest is what a checkpoint says, with the method of a test of the house's
// own.
func ownTest(one *recipe.Checkpoint) string {
	if houseTest(one) {
		return one.Text + ". " + one.Test.Method
	}
	return one.Text
}

func houseTest(one *recipe.Checkpoint) bool { return one.Test != nil && one.Test.House }

// mayBeWet is a quick look for the words lookedAtWet judges by.
func mayBeWet(text string) bool {
	return strings.Contains(text, "wet") || strings.Contains(text, "Wet") || strings.Contains(text, "water") || strings.Contains(text, "nder the tap")
}

var (
	// whenWords stand before a wet that is how the glass is looked at.
	whenWords = wordSet("while when still looks looked seen checked kept")
	// looks are the stems of looking.
	looks = stemSet("look looked")
	// ofWater are the stems of what only water shows: a leak, grease.
	ofWater = stemSet("bubble leak grease greasy bead sheets film drain")
	// glassWords are the stems of what is looked at.
	glassWords = stemSet("glass face surface edge rim base back front piece foot bevel facet ring side polish")
	// notGlass are the stems of what is looked at that may be wet.
	notGlass = stemSet("pad felt brush belt wheel disc lap plate paper sponge cloth cork mould investment plaster bubble leak tape mask pitch floor bench")
)

// lookedAtWet says how a test is made on wet glass: "under running water"; ""
// where it is not.
func lookedAtWet(r *recipe.Recipe, text string) string {
	if !mayBeWet(text) {
		return ""
	}
	words := splitWords(text)
	markMoods(words)
	for i := range words {
		if words[i].stem == stem("dry") && words[i].mood == plain || ofWater[words[i].stem] {
			return ""
		}
	}
	at := func(i int) *noteWord {
		if i < 0 || i >= len(words) {
			return &noteWord{gap: fullStop}
		}
		return &words[i]
	}
	for i := range words {
		w := &words[i]
		if w.mood == waived || notTo(words, i) {
			continue
		}
		before, after := at(i-1), at(i+1)
		switch w.text {
		case "wet", "wetted":
			switch {
			case w.gap == space && notGlass[before.stem], w.gap == space && (before.text == "still" || before.text == "kept" || before.text == "is" || before.text == "are" || before.text == "stays") && notGlass[at(i-2).stem], after.gap == space && notGlass[after.stem]:
			case w.gap != space && after.gap != space,
				w.gap == space && whenWords[before.text],
				w.gap == space && before.text == "at" && looks[at(i-2).stem],
				w.gap == space && before.text == "it" && at(i-2).text == "at" && looks[at(i-3).stem],
				w.gap == space && glassLike(r, before),
				after.gap == space && glassLike(r, after),
				w.gap != space && (after.text == "it" || after.text == "the") && after.gap == space && !notGlass[at(i+2).stem]:
				return "while it is wet"
			}
		case "under", "through":
			for j := i + 1; j < len(words) && j <= i+3 && words[j].gap == space; j++ {
				switch words[j].text {
				case "water", "tap":
					if rinsed(words) {
						continue
					}
					return strings.ToLower(text[w.start:words[j].end])
				case "running", "the", "clear", "clean", "cold", "a", "flowing":
					continue
				}
				break
			}
		}
	}
	return ""
}

// notTo says whether a sentence tells the reader not to: "no wet edge", "never
// looked at wet". A "no line" further off says what is to be seen.
func notTo(words []noteWord, i int) bool {
	for j := i - 1; j >= 0 && j >= i-4 && words[j+1].gap != fullStop; j-- {
		switch words[j].text {
		case "not", "never", "dont", "nor", "instead":
			return true
		case "no":
			return j == i-1
		}
	}
	return false
}

// glassLike says whether a word is a part of the piece.
func glassLike(r *recipe.Recipe, w *noteWord) bool {
	if glassWords[w.stem] {
		return true
	}
	for i := range r.Surfaces {
		if strings.EqualFold(r.Surfaces[i].Name.Value, w.text) {
			return true
		}
	}
	return false
}

// rinsed says whether a test looks at what the water carries off.
func rinsed(words []noteWord) bool {
	for i := range words {
		switch words[i].stem {
		case stem("rinse"), stem("grit"), stem("slurry"), stem("clear"), stem("wash"), stem("squeak"), stem("slime"):
			return true
		}
	}
	return false
}

var markerNotDried = check.Rule{
	ID: "marker-not-dried", Severity: diag.Warning, Concern: diag.Test,
	Title:  "Paint marker is let dry before it is ground away.",
	Why:    "Wet marker washes off in the first turn, on the low places too, and the face counts as worked where no grain has been.",
	Source: "common practice",
	Quiet:  "the step or the house's method of the test says that it dries, the built-in test Marker twice is named, or nothing is ground in the step (lines are only drawn)",
	Bad:    "- [ ] Marker both ways, ground away",
	Good:   "- [ ] Marker twice: gone both times",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			for j := range step.Body {
				if step.Body[j].Kind != recipe.Check || !step.Working() {
					continue
				}
				one := step.Body[j].Check
				if one.Test != nil && !one.Test.House || !marks(one.Text) && !(houseTest(one) && (marks(one.Test.Method) || marks(one.Test.Name))) ||
					dries(ownTest(one)) || dries(stepWords(step)) {
					continue
				}
				found(check.Finding{
					Span: one.Span, Step: step.Number,
					Message: capital(stepNo(step)) + " tests with marker and does not let it dry: wet marker washes off the low places too.",
					Help:    "Write `Marker twice:`, or that the marker is left to dry before the grinding goes on.",
				})
			}
		}
	},
}

// marks says whether a test is made with marker.
func marks(text string) bool {
	return strings.Contains(text, "arker") || strings.Contains(text, "elt tip") || strings.Contains(text, "elt-tip")
}

// dries says whether a text lets anything dry.
func dries(text string) bool {
	if !strings.Contains(text, "dr") && !strings.Contains(text, "Dr") && !strings.Contains(text, "DR") {
		return false
	}
	words := splitWords(text)
	for i := range words {
		// "over the dry face" lets nothing dry.
		if words[i].stem == stem("dry") && !(i+1 < len(words) && words[i+1].gap == space && glassWords[words[i+1].stem]) {
			return true
		}
	}
	return false
}
