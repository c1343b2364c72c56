package sheet

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/prose"
	"coldwright/internal/testkit"
)

func buildCard(t testing.TB, name string, o Options) (*Sheet, diag.List) {
	t.Helper()
	return Build(open(t, filepath.Join(testkit.Root(t), "recipes", name+".md")), FindDesign("bench card"), o)
}

func panelWords(p CautionPanels) string {
	var words []string
	for _, panel := range p.Panels {
		for _, n := range panel.Notes {
			words = append(words, n.Words)
		}
	}
	return strings.Join(words, " ")
}

// A kind of page is documented from its own rows: every block and every option
// in a whole sentence, the needed ones among those that may stand on it.
func TestPagesAreDocumented(t *testing.T) {
	for _, page := range Pages() {
		assert.Regexp(t, `^[A-Z].*\.$`, page.About)
		needed := 0
		for _, b := range page.Blocks {
			assert.Regexp(t, `^[A-Z].*\.$`, b.About, b.Name)
			if b.Needed {
				needed++
			}
			for _, o := range b.Options {
				assert.Regexp(t, `^[A-Z].*\.$`, o.About, "%s: %s", b.Name, o.Name)
				assert.NotEmpty(t, o.Usual, "%s: %s", b.Name, o.Name)
			}
		}
		assert.Positive(t, needed, page.Kind)
	}
	for _, d := range Designs() {
		assert.NotEmpty(t, d.Page, d.Name)
	}
}

func TestCardDesignNamesWhatIsWrong(t *testing.T) {
	good := "name: x\npage: card\npaper: A5\nblocks: [caution panels, card steps, stop]\n"
	d, found := load(t, good)
	require.Empty(t, found)
	assert.Equal(t, CardPage, d.Page)
	assert.Equal(t, TypeRange{16, 12}, d.Type, "where a design is silent")
	assert.InDelta(t, 5, d.Portrait.Left, 1e-9, "the film of a lamination needs 3 mm past the paper; words keep 5 mm inside")
	d, found = load(t, good+"orientation: landscape\ntype: {largest: 20 pt, smallest: 14 pt}\n")
	require.Empty(t, found)
	assert.True(t, d.Turned)
	assert.Equal(t, TypeRange{20, 14}, d.Type)
	for _, c := range []struct{ text, message, help string }{
		{strings.Replace(good, "card\n", "crad\n", 1), "no kind of page called “crad”", "“card”"},
		{strings.Replace(good, "caution panels, ", "", 1), "“caution panels” is left out; no card", "- caution panels"},
		{strings.Replace(good, "stop]", "stop, purpose]", 1), "“purpose” does not stand on a card", ""},
		{strings.Replace(good, "card steps", "card stpes", 1), "no block called “card stpes”", "“card steps”"},
		{good + "orientation: lanscape\n", "no way to lay a paper", "orientation: landscape"},
		{good + "type: {smallest: 10 pt}\n", "12 pt to 30 pt", "smallest: 14 pt"},
		{good + "type: {smallest: 14}\n", "12 pt to 30 pt", "smallest: 14 pt"},
		{good + "type: {largest: 13 pt, smallest: 14 pt}\n", "smallest type is larger", "largest: 16 pt"},
		{goodDesign + "type: {largest: 16 pt}\n", "not for a design to choose", "Leave"},
	} {
		d, found := load(t, c.text)
		assert.Nil(t, d, c.text)
		require.NotEmpty(t, found, c.text)
		assert.Contains(t, found[0].Message, c.message)
		assert.Contains(t, found[0].Help, c.help)
	}
}

// A card for a bench or a surface has the steps done there, and the cautions
// they call for.
func TestCardForABench(t *testing.T) {
	all, _ := buildCard(t, "cast-weight", Options{})
	require.NotNil(t, all)
	assert.Len(t, blockOf[CardSteps](t, all).Steps, 6)
	assert.Empty(t, all.Card.Of)
	assert.Equal(t, "A5", all.Page.Paper)
	assert.Greater(t, all.Page.Width, all.Page.Height, "A5 lies on its long side, whatever paper the house writes on")

	d, _ := buildCard(t, "cast-weight", Options{Bench: "d"})
	steps := blockOf[CardSteps](t, d).Steps
	require.Len(t, steps, 1)
	assert.Equal(t, 4, steps[0].Number)
	assert.Equal(t, "Bench D", d.Card.Heading)
	assert.Equal(t, "step 4 of\u00a06", d.Card.Of)
	assert.Equal(t, 3, steps[0].Back)
	assert.Equal(t, "Smooth the base", steps[0].BackTitle, "the step to go back to is not on the card, so its title is")
	words := panelWords(blockOf[CautionPanels](t, d))
	assert.NotContains(t, words, "Sharp edge", "nothing is cut on a felt")
	assert.Contains(t, words, "RCD")

	hand, _ := buildCard(t, "cast-weight", Options{Bench: "A"})
	words = panelWords(blockOf[CautionPanels](t, hand))
	assert.Contains(t, words, "Sharp edge")
	assert.NotContains(t, words, "RCD", "a hand pad has no plug")

	wash, _ := buildCard(t, "cast-weight", Options{Surface: "dome"})
	numbers := wash.Card.Numbers
	assert.Equal(t, []int{1, 6}, numbers, "the dome is taped, and washed with all the rest")
	assert.Equal(t, "steps 1 and 6 of\u00a06", wash.Card.Of)

	// What can be parted further is said to be; one step cannot.
	for _, c := range []struct {
		o    Options
		help string
	}{
		{Options{}, "Print a card for one bench or one surface."},
		{Options{From: 1, To: 5}, "Print a card for fewer steps, with --steps."},
		{Options{Bench: "B"}, ""},
	} {
		help := ""
		_, found := buildCard(t, "cast-weight", c.o)
		for _, d := range found {
			if d.Rule == CardCautionsRule {
				help = d.Help
			}
		}
		assert.Equal(t, c.help, help, c.o)
	}

	none, found := buildCard(t, "cast-weight", Options{Surface: "doem"})
	assert.Nil(t, none)
	require.Len(t, found, 1)
	assert.Equal(t, CardEmptyRule, found[0].Rule)
	assert.Contains(t, found[0].Help, "“dome”")
}

func TestStepNumbers(t *testing.T) {
	for want, numbers := range map[string][]int{
		"step 4": {4}, "steps 2 and 3": {2, 3}, "steps 2 to 5": {2, 3, 4, 5}, "steps 1, 3 to 5 and 9": {1, 3, 4, 5, 9},
	} {
		assert.Equal(t, want, tongue{}.stepNumbers(numbers))
	}
}

// What must stand at its step stands there where few steps call for it, else in
// the panels; the author's own words are kept whole, and nothing is said in
// neither place.
func TestCautionsOfACardAreKept(t *testing.T) {
	for _, name := range []string{"cast-weight", "optic-block", "lens-vase", "relief-panel", "crystal-bowl-rim"} {
		p := open(t, filepath.Join(testkit.Root(t), "recipes", name+".md"))
		s, found := Build(p, FindDesign("bench card"), Options{})
		require.NotNil(t, s)
		assert.LessOrEqual(t, found.Worst(), diag.Note)
		words := panelWords(blockOf[CautionPanels](t, s))
		for _, step := range blockOf[CardSteps](t, s).Steps {
			for _, w := range step.Warnings {
				words += " " + prose.Words(w.Words)
			}
		}
		b := &builder{plan: p, recipe: p.Recipe, house: p.House, standing: map[string]map[string]bool{}}
		facts := b.topicFacts()
		for _, topic := range b.allTopics() {
			assert.Contains(t, words, topic.Wording(facts).Short, "%s: %s", name, topic.Name)
		}
		for i := range p.Recipe.Steps {
			for k := range p.Recipe.Steps[i].Body {
				if e := &p.Recipe.Steps[i].Body[k]; e.Notice != nil {
					assert.Contains(t, words, e.Notice.Text)
				}
			}
		}
	}
}

// What all steps say alike stands once before them.
func TestSharedFacts(t *testing.T) {
	c := CardSteps{Steps: []CardStep{
		{Bench: "B", Machine: "LAP4", Details: []string{"damp", "20 g"}, Facts: []Labelled{{"Clean down:", "rinse"}}},
		{Bench: "B", Machine: "LAP4", Details: []string{"20 g", "damp"}, Facts: []Labelled{{"Clean down:", "scrub"}}},
	}}
	c.share(tongue{})
	assert.Equal(t, []Labelled{{"bench", "B"}, {"", "LAP4"}, {"", "damp"}}, c.Shared)
	assert.Empty(t, c.Steps[0].Machine+c.Steps[1].Bench)
	assert.Equal(t, []string{"20 g"}, c.Steps[1].Details, "an amount says nothing without its step")
	assert.Equal(t, "scrub", c.Steps[1].Facts[0].Words)
	one := CardSteps{Steps: []CardStep{{Bench: "B"}}}
	one.share(tongue{})
	assert.Empty(t, one.Shared)
}

// A house may ask for larger type than the design, never for smaller.
func TestTypeFloorOfTheHouse(t *testing.T) {
	recipe := "---\nrecipe: cup\ntitle: Cup\nrevision: 1\ndate: 2026-11-01\n---\n\n## Look\n\n- [ ] Seen\n"
	for shop, want := range map[string]float64{"limits: {type floor: 14 pt}\n": 14, "limits: {type floor: 9 pt}\n": 12, "": 12} {
		s, _ := Build(read(t, shop, recipe), FindDesign("bench card"), Options{})
		require.NotNil(t, s)
		assert.InDelta(t, want, s.Card.Type.Smallest, 1e-6, shop)
	}
	s, _ := Build(read(t, "limits: {card: A6}\n", recipe), FindDesign("bench card"), Options{})
	assert.Equal(t, "A6", s.Page.Paper)
	s, _ = Build(read(t, "", recipe), FindDesign("bench card"), Options{Punch: "left", Portrait: true})
	assert.InDelta(t, 20, s.Page.Left, 1e-9, "ISO 838: with all tolerances a hole reaches 16.25 mm in")
	assert.Less(t, s.Page.Width, s.Page.Height)
}
