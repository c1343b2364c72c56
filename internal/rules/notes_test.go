package rules

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// The simple endings of English: common practice. A stem is no prefix.
func TestStemsTakeEndingsOffAndNothingElse(t *testing.T) {
	for _, family := range []string{
		"wipe wipes wiped wiping", "mop mops mopped mopping", "wash washes washed washing", "carry carries carried carrying",
		"dry dries dried drying", "stop stops stopped stopping", "glove gloves gloved", "sleeve sleeves", "label labels labelled labelling",
		"settle settles settled settling", "tap taps tapped tapping", "drill drills drilled drilling", "crack cracks cracked", "seam seams seamed seaming",
		"bevel bevels bevelled", "wet wets wetted wetting", "unplug unplugs unplugged", "spin spins spinning",
	} {
		words := strings.Fields(family)
		for _, w := range words[1:] {
			assert.Equal(t, stem(words[0]), stem(w), w)
		}
	}
	for _, pair := range [][2]string{
		{"ear", "early"}, {"spin", "spindle"}, {"ring", "during"}, {"ring", "spring"}, {"lead", "leading"}, {"glass", "glasses"},
		{"mask", "masking"}, {"extract", "extraction"}, {"hair", "chair"}, {"edge", "ledge"}, {"nip", "snip"}, {"wet", "wetter"},
	} {
		assert.NotEqual(t, stem(pair[0]), stem(pair[1]), pair)
	}
}

func TestSplitWordsKeepsFiguresAndPlaces(t *testing.T) {
	text := "Don’t wet-and-dry it: 3mm (1/8 in), 1.5 mm — pâte de verre.\nSecond\n\nthird"
	var words []string
	for _, w := range splitWords(text) {
		words = append(words, w.text)
		if w.text != "dont" {
			assert.Equal(t, w.text, strings.ToLower(text[w.start:w.end]))
		}
	}
	assert.Equal(t, strings.Fields("dont wet and dry it 3 mm 1/8 in 1.5 mm pâte de verre second third"), words)
	gaps := map[string]gap{}
	for _, w := range splitWords(text) {
		gaps[w.text] = w.gap
	}
	assert.Equal(t, fullStop, gaps["third"], "an empty line ends a sentence")
	assert.Equal(t, fullStop, gaps["second"], "so does a full stop")
	assert.Equal(t, comma, gaps["pâte"])
	assert.Equal(t, space, gaps["verre"])
}

// Whether a sentence says, forbids or waives a word: common practice.
func TestMoods(t *testing.T) {
	for _, c := range []struct {
		text, word string
		want       mood
	}{
		{"Wear a mask.", "mask", plain},
		{"No mask.", "mask", forbidden},
		{"No need for a mask.", "mask", waived},
		{"A mask is not needed.", "mask", waived},
		{"A mask is not required here.", "mask", waived},
		{"A mask is unnecessary.", "mask", waived},
		{"Mask optional.", "mask", waived},
		{"You don't need a mask.", "mask", waived},
		{"Never work without a mask.", "mask", plain},
		{"Never forget your mask.", "mask", plain},
		{"Do not take off your mask.", "mask", plain},
		{"Never take your mask off.", "mask", plain},
		{"Take your mask off.", "mask", forbidden},
		{"No trip, no work, wear a mask.", "mask", plain},
		{"It does not slip, wear a mask.", "mask", plain},
		{"No gloves; wear a mask.", "mask", plain},
		{"No gloves. Mask on.", "mask", plain},
		{"No gloves but a mask.", "mask", plain},
		{"Not only goggles, a mask too.", "mask", plain},
		{"Never mind the heat, wear a mask.", "mask", plain},
		{"Gloves off at the machine.", "gloves", forbidden},
		{"Gloves and rings off.", "gloves", forbidden},
		{"Remove gloves first.", "gloves", forbidden},
		{"No rings, gloves, loose cuffs.", "gloves", forbidden},
		{"Never wear rings, gloves or a lanyard.", "gloves", forbidden},
		{"Gloves must not be worn.", "gloves", forbidden},
		{"Gloves are forbidden.", "gloves", forbidden},
		{"Gloves never.", "gloves", forbidden},
		{"Keep slurry out of the drain.", "drain", forbidden},
		{"Never keep it out of the drain.", "drain", forbidden},
		{"Nothing down the drain.", "drain", forbidden},
		{"Not in the sink, not in the drain.", "drain", forbidden},
	} {
		words := readNote(c.text).words
		found := false
		for _, w := range words {
			if w.text == c.word {
				assert.Equal(t, c.want, w.mood, "%q in %q", c.word, c.text)
				found = true
			}
		}
		require.True(t, found, c.text)
	}
}

// TestCautionsInFreeWords holds pairs of notes against the ideas of the
// built-in topics. The verdicts are common practice: what a safety officer of
// a shop would let pass.
func TestCautionsInFreeWords(t *testing.T) {
	h := trade.BuiltIn()
	for _, row := range cautionRows(t) {
		topic, expected, text := row[0], row[1], row[2]
		if topic == "acid" {
			assert.Equal(t, expected == "refuse", len(acidWords(text)) > 0, text)
			continue
		}
		named := h.FindTopic(topic)
		require.NotNil(t, named, topic)
		signal, words, ok := strings.Cut(text, ":")
		require.True(t, ok, text)
		require.Equal(t, strings.ToLower(named.Wording(map[string]float64{"mass": 20}).Signal.String()), strings.ToLower(signal), "the word of %s in %q", topic, text)
		missing := readNote(words).lacks(asked(named, map[string]float64{"wheel": 300, "mass": 20}))
		verdict := "pass"
		var lacks []string
		if len(missing) > 0 {
			verdict = "miss"
			for _, m := range missing {
				lacks = append(lacks, m.says())
			}
		}
		assert.Equal(t, expected, verdict, "%s: %q lacks %q", topic, text, lacks)
	}
}

func cautionRows(t *testing.T) [][]string {
	t.Helper()
	f, err := os.Open(testkit.Data(t, "notes", "cautions.csv"))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 100)
	return rows[1:]
}

// Every topic's own words carry the ideas it is held for, at every limit it
// knows: the table of words and the table of ideas are two tables.
func TestTopicsSayWhatTheyAsk(t *testing.T) {
	for _, topic := range trade.BuiltIn().Topics {
		cases := []map[string]float64{lowestFacts(topic)}
		for _, i := range topic.Ideas {
			if i.Fact != "" {
				cases = append(cases, map[string]float64{i.Fact: i.Over + 0.5})
			}
		}
		for _, w := range topic.Wordings {
			cases = append(cases, map[string]float64{w.Fact: w.Over + 0.5})
		}
		for _, facts := range cases {
			for _, m := range readNote(topic.Wording(facts).Full).lacks(asked(topic, facts)) {
				t.Errorf("%s at %v: its words do not carry %q", topic.Name, facts, m.says())
			}
		}
	}
}

// A phrase that no text could meet would be dead weight in the table.
func TestEveryPhraseOfTheTableCanBeMet(t *testing.T) {
	for _, topic := range trade.BuiltIn().Topics {
		for _, i := range topic.Ideas {
			for _, phrase := range i.Phrases {
				p := newPattern(phrase, i.Forbid)
				require.NotEmpty(t, p.stems, "%s: %q", topic.Name, phrase)
				words := phrase
				for _, prefix := range []string{"never:", "do:", "any:"} {
					words = strings.TrimPrefix(words, prefix)
				}
				text := strings.ReplaceAll(words, " .. ", " quite ")
				if p.asks == banned || strings.Contains(phrase, "without") {
					text = "Never " + text
				}
				one := newIdea(trade.Idea{Forbid: i.Forbid, Phrases: []string{phrase}})
				assert.True(t, one.in(readNote(text)), "%s: %q is not found in %q", topic.Name, phrase, text)
			}
		}
	}
}

func FuzzReadNote(f *testing.F) {
	for _, s := range []string{"", "No.", "Never keep it out of", "don't", "’", "1/8", "\xff\xfe", "no no no need not", "off off off", "3mm½", "keep out of the", "H.F", "h.f.", "-:\n- Never:\n- tip it down the sink", "finish it dry", "blast with sand", "Clean-down: mud down the sink", "ÄTZ", "is quenched", "flu&shy;oride", "d\u00adry run&nbsp;it d&#114;y"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		n := readNote(text)
		for i := range n.words {
			w := n.words[i]
			if w.start < 0 || w.end > len(text) || w.start >= w.end || w.mood < plain || w.mood > waived {
				t.Fatalf("%q: word %+v", text, w)
			}
		}
		ordersGloves(text)
		acidWords(text)
		f := &safety{r: &recipe.Recipe{File: source.New("x.md", []byte(text))}}
		f.read = readingOf(f.r.File)
		f.scan = scanText(f.read.Bytes)
		for _, h := range f.scan.hits {
			start, end := sentence(f.read.Bytes, h.at)
			words := readNote(string(f.read.Bytes[start:end])).words
			for _, a := range forbiddenDeeds().all {
				a.orderedIn(words, true)
			}
			labelBefore(f.read.Bytes, start)
			underBan(f.read.Bytes, start)
			f.dryWorkAt(h.at)
		}
		f.blastsWith(signSand, func(words []noteWord, i int, _ source.Span) { sandNamed(words, i) })
	})
}
