package rules

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/diag"
)

// What is around the work is spoken of only where the recipe's facts or words
// give cause: common practice. rule is the finding, "" for none of them.
func TestWhatIsAroundTheWork(t *testing.T) {
	around := []string{"piece-can-be-thrown", "wet-floor", "label-the-pot", "fresh-cut", "lone-work", "visitors"}
	for _, c := range []struct{ facts, sentence, rule string }{
		{"Abrasive: plated diamond disc 140 mesh|Water: drip", "Slowly.", "piece-can-be-thrown"},
		{"Abrasive: cerium oxide 1.5 µm|Medium: felt pad, 300 mm|Water: damp|Mix: cream", "Slowly.", "piece-can-be-thrown"},
		{"Abrasive: plated diamond disc 140 mesh|Water: drip|Pressure: own weight", "Slowly.", ""},
		{lapStep, "Slowly.", ""},
		{belted, "Slowly.", ""},
		{brushed, "Slowly.", ""},
		{"Abrasive: resin diamond pad 325 mesh|Machine: air polisher, 100 mm at 900 rpm|Water: flood", "Slowly.", "wet-floor"},
		{"Abrasive: resin diamond pad 325 mesh|Machine: air polisher, 100 mm at 900 rpm|Water: spray", "Slowly.", ""},

		{lapStep, "Keep what is left of the mud in a jar.", "label-the-pot"},
		{lapStep, "Store the cream in an old tin.", "label-the-pot"},
		{lapStep, "Stop, then decant the rest into a bottle.", "label-the-pot"},
		{lapStep, "Keep the mud in its labelled pot.", ""},
		{lapStep, "Keep the rest in a jar and write the grit on it.", ""},
		{lapStep, "Keep the lid on the pot.", ""},
		{lapStep, "Keep sand out of the pot.", ""},
		{lapStep, "Never keep mud in a cup.", ""},
		{lapStep, "Mix a little in a cup.", ""},
		{lapStep, "Hold the spotlight low; you can see a potential fault.", ""},

		{brushed, "You can do this on your own.", "lone-work"},
		{brushed, "Done after hours it takes half the time.", "lone-work"},
		{brushed, "Single-handed it takes ten minutes.", "lone-work"},
		{brushed, "Never work alone.", ""},
		{brushed, "Not on your own.", ""},
		{brushed, "Use your own brush.", ""},
		{brushed, "Leave the rim alone.", ""},
		{"Abrasive: silicon carbide paper P400|Machine: by hand|Water: wet", "You can do this on your own.", ""},
		{lapStep, "You can do this on your own.", ""},

		{lapStep, "On open days show visitors the first face.", "visitors"},
		{lapStep, "Children may try it.", "visitors"},
		{lapStep, "No visitors at the lap.", ""},
		{lapStep, "Keep children away from the lap.", ""},
		{lapStep, "Keep visitors out.", ""},

		{lapStep, "Collect the shards in the bin.", "fresh-cut"},
		{lapStep, "No splinter may be left.", ""},
	} {
		got := severities(contextOf(t, "", ordering(piece{}, c.facts, c.sentence)))
		for _, rule := range around {
			severity, found := got[rule]
			assert.Equal(t, rule == c.rule, found, "%s: %s", c.sentence, rule)
			if found {
				assert.Equal(t, diag.Warning, severity)
			}
		}
	}
	// To break an arris is to seam it; to snap a stub off is not.
	lap := aStep("Smooth the face", strings.Split(lapStep, "|")...)
	for title, cuts := range map[string]bool{"Snap off the stub": true, "Nip the sprue": true, "Break the arris": false, "Knock the corners down by hand": false, "Wash the piece": false} {
		_, found := severities(contextOf(t, "", piece{steps: "## " + title + "\n\n- Surface: face\n\n" + lap}.text()))["fresh-cut"]
		assert.Equal(t, cuts, found, title)
	}
	// A house's note answers, by name or in free words.
	for _, p := range []piece{{extra: "cautions: [lone work]\n"}, {lead: "> Warning: never alone at the lathe. Tell someone and set a call time."}} {
		assert.NotContains(t, severities(contextOf(t, "", ordering(p, brushed, "You can do this on your own."))), "lone-work")
	}
}
