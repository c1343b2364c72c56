package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/prose"
	"coldwright/internal/testkit"
)

// saidAt are the cautions of a step in full, as words.
func saidAt(t testing.TB, id string, number int) string {
	t.Helper()
	s, found := Build(open(t, testkit.Root(t)+"/recipes/"+id+".md"), FindDesign("process sheet"), Options{})
	require.Empty(t, found)
	var words []string
	for _, b := range s.Blocks {
		if st, ok := b.(StepInFull); ok && st.Number == number {
			for _, p := range st.Parts {
				if p.Kind == Warn {
					words = append(words, prose.Words(p.Words))
				}
			}
		}
	}
	return strings.Join(words, "\n")
}

// The first wheel is inspected, run up for a minute, and goes on with the plug
// out, as the next does (29 CFR 1910.215(d)(1) on the wheel, 1910.147(a)(2) on
// the plug).
func TestTheFirstWheelIsMountedToo(t *testing.T) {
	for _, step := range []int{3, 4} {
		said := saidAt(t, "lens-vase", step)
		for _, want := range []string{"Inspect", "marked speed", "unplug", "Run one minute"} {
			assert.Contains(t, strings.ToLower(said), strings.ToLower(want), "step %d", step)
		}
	}
	assert.NotContains(t, saidAt(t, "lens-vase", 1), "wheel")
}

// Mould, acid and blade are told of where they are met.
func TestMouldAcidAndSawAtTheirSteps(t *testing.T) {
	assert.Contains(t, saidAt(t, "relief-panel", 1), "Mould silica")
	assert.Contains(t, saidAt(t, "relief-panel", 2), "no bleach")
	assert.Contains(t, saidAt(t, "relief-panel", 2), "Mould silica")
	assert.Contains(t, saidAt(t, "relief-panel", 3), "Never reach past")
	for _, step := range []int{4, 6, 17} {
		said := saidAt(t, "relief-panel", step)
		for _, not := range []string{"Mould", "bleach", "reach past"} {
			assert.NotContains(t, said, not, "step %d", step)
		}
	}
}

// cardWords is what a card says, flat.
func cardWords(t testing.TB, text string, o Options) string {
	t.Helper()
	p := read(t, string(testkit.Read(t, testkit.Root(t)+"/recipes/shop.yaml")), text)
	s, _ := Build(p, FindDesign("bench card"), o)
	require.NotNil(t, s)
	return dump(s)
}

// A card for some of the steps has the cautions those steps call for, and what
// is true of the piece; no caution of the recipe is on none of its cards.
func TestCardsCarryTheCautionsOfTheirSteps(t *testing.T) {
	relief := string(testkit.Read(t, testkit.Root(t)+"/recipes/relief-panel.md"))
	brush := cardWords(t, relief, Options{Bench: "D"})
	for _, not := range []string{"Mould silica", "bleach", "polarisers", "reach past", "Left running", "Ear protection"} {
		assert.NotContains(t, brush, not)
	}
	assert.Contains(t, brush, "Dry hands often.", "wet hands are a matter of the whole piece")
	assert.Contains(t, cardWords(t, relief, Options{From: 3, To: 3}), "Ear protection", "the saw is loud, though the note hangs on the belt")
	assert.Contains(t, cardWords(t, relief, Options{From: 3, To: 3}), "polarisers")
	bowl := string(testkit.Read(t, testkit.Root(t)+"/recipes/crystal-bowl-rim.md"))
	assert.Contains(t, cardWords(t, bowl, Options{From: 1, To: 1}), "Lead")

	for _, id := range demos {
		p := open(t, testkit.Root(t)+"/recipes/"+id+".md")
		b := &builder{recipe: p.Recipe, house: p.House, plan: p}
		b.topics = b.allTopics()
		for _, topic := range b.topics {
			on := 0
			for i := range p.Recipe.Steps {
				b.shows = make([]bool, len(p.Recipe.Steps))
				b.shows[i] = true
				if b.cardCalls(topic) {
					on++
				}
			}
			assert.Positive(t, on, "%s: %s", id, topic.Name)
		}
	}
}

// A topic that the author names, and that no step is seen to call for, is on
// every card: it is not for a table to know better.
func TestANamedTopicWithNoStepIsOnEveryCard(t *testing.T) {
	relief := string(testkit.Read(t, testkit.Root(t)+"/recipes/relief-panel.md"))
	words := strings.ReplaceAll(relief, "saw and drill", "oily rags, wet floor, run-up")
	card := cardWords(t, words, Options{Bench: "D"})
	assert.Contains(t, card, "Oily rags")
	assert.Contains(t, card, "Slippery floor", "named, so it holds beyond the laps it hangs on")
	assert.Contains(t, card, "Run one minute")
	// An acid that is no fact of the step is found in its orders.
	soak := strings.Replace(relief, "- Water: soak\n", "- Water: flood\n", 1)
	assert.Contains(t, cardWords(t, soak, Options{From: 2, To: 2}), "bleach")
	assert.NotContains(t, cardWords(t, soak, Options{From: 6, To: 6}), "bleach")
}
