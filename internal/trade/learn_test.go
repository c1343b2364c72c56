package trade

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Words with more than one sense are explained only in the sense of the bench.
func TestWordsAreExplainedInTheirSense(t *testing.T) {
	for text, want := range map[string][]string{
		"Load the glass, not only the pad.":                     {"load"},
		"A pressed pad loads with glass, skids and burns.":      {"loaded", "skids"},
		"P100 or FFP3 mask on. Powder into water.":              {"P100 or FFP3"},
		"Mask, then blast the face":                             {"mask"},
		"Dry hands often. Cream. Cover cuts.":                   nil,
		"Wash at once, stand on edge.":                          nil,
		"Seam all twelve arrises":                               {"seam", "arris"},
		"Gone both times, no island left":                       {"island"},
		"Brush wheel, and the felt":                             {"brush wheel", "felt pad"},
		"resin diamond hand pad 120 mesh":                       {"resin diamond pad"},
		"Land in the slow centre, against the turn: a landing.": {"land", "slow centre", "against the turn"},
	} {
		var got []string
		for _, w := range BuiltIn().WordsIn(text) {
			got = append(got, w.Word)
		}
		assert.Equal(t, want, got, text)
	}
}

// What wrong looks like hangs on the work before it.
func TestWrongHangsOnTheWork(t *testing.T) {
	h := BuiltIn()
	raking := h.FindTest("Raking lamp")
	assert.Contains(t, h.Wrong(raking, "blast", "loose", "grind"), "specks")
	assert.Contains(t, h.Wrong(raking, "hard", "loose", "grind"), "grade before")
	assert.Contains(t, h.Wrong(raking, "brush", "loose", "pre-polish"), "low places")
	assert.Contains(t, h.Wrong(raking, Handling), "bloom")
	assert.Equal(t, h.Wrong(h.FindTest("Ten-power"), Handling), h.Wrong(&Test{Name: "Loupe"}, Handling), "a house may use another of its names")
	assert.Empty(t, h.Wrong(&Test{Name: "Moon through it"}, Handling))
	assert.Empty(t, h.Wrong(nil))
	// Every test of the trade has a row that holds whatever the work, or one for
	// each kind of it.
	for _, test := range h.Tests {
		for _, work := range []Work{Grind, Polish} {
			assert.NotEmpty(t, h.Wrong(test, string(work), string(Hard), string(Loose)), "%s after %s", test.Name, work)
		}
	}
}

func TestEveryCautionSaysWhatItIsFor(t *testing.T) {
	seen := map[string]string{}
	for _, topic := range BuiltIn().Topics {
		assert.Regexp(t, `^[A-Z].*[.]$`, topic.Why, topic.Name)
		assert.LessOrEqual(t, len(topic.Why), 90, topic.Name)
		assert.Empty(t, seen[topic.Why], topic.Name)
		seen[topic.Why] = topic.Name
	}
}
