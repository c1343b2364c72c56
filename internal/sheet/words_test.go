package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/trade"
)

// stepOf is the first step in full of a small recipe.
func stepOf(t *testing.T, shop, front, facts, rest string, o Options) StepInFull {
	t.Helper()
	o.Draft = true
	return blockOf[StepInFull](t, build(t, read(t, shop, small(front, facts, rest)), o))
}

func warnings(s StepInFull) []string {
	var lines []string
	for _, p := range s.Parts {
		if p.Kind == Warn {
			lines = append(lines, p.Signal.String()+" "+prose.Words(p.Words))
		}
	}
	return lines
}

// The short forms of one signal word stand in one line; one the author says at
// that step in the same words is not said twice.
func TestShortFormsShareALine(t *testing.T) {
	front := face + "\ncautions: [dry powder, blast cabinet]"
	facts := "- Abrasive: silicon carbide F220\n- Machine: blast cabinet\n- Water: dry\n- Pressure: 2 bar"
	h := trade.BuiltIn()
	blast, powder := h.FindTopic("blast cabinet").Wording(nil), h.FindTopic("dry powder").Wording(nil)
	require.Equal(t, blast.Signal, powder.Signal, "the two share a word, or this shows nothing")
	lines := warnings(stepOf(t, smallShop, front, facts, "", Options{}))
	joined := strings.Join(lines, "\n")
	assert.Contains(t, joined, blast.Short)
	assert.Equal(t, 1, strings.Count(joined, "WARNING"), joined)

	said := warnings(stepOf(t, smallShop, front, facts, "> Warning: "+strings.ToLower(blast.Short), Options{}))
	assert.Equal(t, 1, strings.Count(strings.ToLower(strings.Join(said, "\n")), strings.ToLower(blast.Short)), "%v", said)
}

// What the author says before the first step in a topic's own words stands
// once, under the topic's name and sign.
func TestATopicIsNotRepeatedInItsOwnWords(t *testing.T) {
	eyes := trade.BuiltIn().FindTopic("eyes")
	text := strings.Replace(small(face+"\ncautions: [eyes]", "", ""), "\n## Grind", "\n> Notice: "+eyes.Wording(nil).Full+"\n\n## Grind", 1)
	c := blockOf[Cautions](t, build(t, read(t, smallShop, text), Options{}))
	require.Len(t, append(c.Panels, c.Lines...), 1)
	assert.Equal(t, CautionNote{Signal: eyes.Wording(nil).Signal, Title: eyes.Title, Words: eyes.Wording(nil).Full, Sign: signCode(eyes.Sign)}, c.Panels[0])
}

func TestCaptionOfAPicture(t *testing.T) {
	shown := func(markdown string, o Options) Picture {
		for _, p := range stepOf(t, smallShop, face, "", "1. Hold it.\n\n"+markdown, o).Parts {
			if p.Kind == Shown {
				return *p.Picture
			}
		}
		require.Fail(t, "no picture")
		return Picture{}
	}
	img := &draw.Image{Width: 10, Height: 10}
	have := Options{Pictures: Pictures{"a.png": img}}
	assert.Equal(t, Picture{Target: "a.png", Caption: "The path", Alt: "A disc from above", Image: img}, shown(`![A disc from above](a.png "The path")`, have))
	assert.Equal(t, Picture{Target: "a.png", Caption: "A disc from above", Alt: "A disc from above", Image: img}, shown("![A disc from above](a.png)", have))
	assert.Equal(t, "The path – A disc from above", shown(`![A disc from above](a.png "The path")`, Options{}).Caption, "without the picture all its words stand")
}

// One surface is masked, several are, and so is one whose name means several.
func TestMaskSentences(t *testing.T) {
	front := strings.Replace(face, "surfaces:", "surfaces:\n  - {name: dome, shape: convex, from: as cast, to: untouched}\n  - {name: facet 1, shape: facets, from: as cast, to: untouched}\n  - {name: edges, shape: edge, from: as cast, to: untouched}\n  - {name: strip, shape: flat, count: 2, from: as cast, to: untouched}", 1)
	for mask, want := range map[string]string{
		"dome": "From here the dome is masked.", "edges": "From here the edges are masked.",
		"strip": "From here the strip are masked.", "dome, edges, strip": "From here dome, edges and strip are masked.",
		"facet 1": "From here facet 1 is masked.",
	} {
		said := ""
		for _, p := range stepOf(t, smallShop, front, "- Mask: "+mask, "1. Tape it.", Options{}).Parts {
			if p.Kind == State {
				said = prose.Words(p.Words)
			}
		}
		assert.Equal(t, want, said)
	}
}

// The range of a time stands under the usual one and borrows its unit; with
// anything more beside it, it has its own.
func TestRangeOfATime(t *testing.T) {
	for written, want := range map[string]Setting{
		"8 min":                  {Big: "8", Unit: "min"},
		"6-8-12 min":             {Big: "8", Unit: "min", Small: "6 to 12"},
		"6 x 10 min":             {Big: "6 × 10", Unit: "min", Small: "60 min in all"},
		"6-8-12 min + 3 h alone": {Big: "8", Unit: "min", Small: "6 to 12 min, then 3 h alone"},
	} {
		s := stepOf(t, smallShop, face, "- Time: "+written, "", Options{}).Settings.Minutes
		s.Big, s.Small = strings.ReplaceAll(s.Big, nbsp, " "), strings.ReplaceAll(s.Small, nbsp, " ")
		assert.Equal(t, want, s, written)
	}
}

// The day of the prices is said once where it is the same for all.
func TestDayOfThePrices(t *testing.T) {
	shop := smallShop + "stock:\n  CE: {abrasive: cerium oxide, grade: 1.5 µm, pack: 1 kg, price: 45 EUR, dated: 2026-09-01}\n  S: {abrasive: silicon carbide, grade: F220, pack: 1 kg, price: 10 EUR, dated: 2026-%s}\n"
	amounts := func(day string) string {
		facts := "- Abrasive: CE\n- Medium: felt pad\n- Machine: by hand\n- Water: damp\n- Amount: 8 g cerium oxide\n\n## Then again\n\n- Surface: face\n- Abrasive: S\n- Medium: iron lap\n- Machine: by hand\n- Water: drip\n- Amount: 10 g silicon carbide"
		s := build(t, read(t, strings.Replace(shop, "%s", day, 1), small(face, facts, "")), Options{Draft: true})
		var words []string
		for _, r := range blockOf[Amounts](t, s).Rows {
			words = append(words, r.What)
		}
		return strings.Join(words, "\n")
	}
	assert.Equal(t, 1, strings.Count(amounts("09-01"), "2026-09-01"), amounts("09-01"))
	assert.Contains(t, amounts("09-02"), "price of 2026-09-01")
	assert.Contains(t, amounts("09-02"), "price of 2026-09-02")
}

// A range of speeds, what drives a machine and a thin cream print as they were
// written.
func TestWhatWasWrittenOfMachineAndMix(t *testing.T) {
	facts := "- Abrasive: silicon carbide F220\n- Medium: iron lap\n- Machine: flat lap, 400 mm at 150-200 rpm\n- Water: drip\n- Mix: thin cream"
	set := stepOf(t, smallShop, face, facts, "", Options{}).Settings
	assert.Equal(t, "150–200", set.Speed.Big)
	assert.Equal(t, "rpm", set.Speed.Unit)
	assert.Contains(t, set.Water.Small+set.Medium.Small+set.Abrasive.Small, "thin cream")
	facts = "- Abrasive: resin diamond hand pad 200 mesh\n- Machine: hand-held polisher, battery\n- Water: spray"
	set = stepOf(t, smallShop, face, facts, "", Options{}).Settings
	assert.Equal(t, "hand-held polisher", set.Speed.Big)
	assert.Equal(t, "battery", set.Speed.Small)
}

// Short facts share a line.
func TestShortFactsShareALine(t *testing.T) {
	var labels []string
	for _, p := range stepOf(t, smallShop, face, "- Pressure: light\n- Depth: 2 mm", "1. Go on.", Options{}).Parts {
		if p.Kind == Label {
			labels = append(labels, p.Label+" "+strings.ReplaceAll(prose.Words(p.Words), nbsp, " "))
		}
	}
	assert.Equal(t, []string{"Pressure: light · Depth: 2 mm"}, labels)
}
