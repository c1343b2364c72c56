package sheet

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// TestBrokenRecipesLoseNoWords takes lines out of a recipe at random, so that
// steps lose their headings, facts stand twice and lists run into each other,
// and looks for the words of what is left on the draft.
func TestBrokenRecipesLoseNoWords(t *testing.T) {
	path := testkit.Data(t, "sheets", "everything", "everything.md")
	var report diag.List
	house := trade.Lay(source.New("shop.yaml", testkit.Read(t, testkit.Data(t, "sheets", "everything", "shop.yaml"))), &report)
	require.Empty(t, report)
	parser := parse.New(house)
	head, body, _ := strings.Cut(strings.TrimPrefix(string(testkit.Read(t, path)), "---\n"), "---\n")
	// A draft bears nobody's name.
	head = strings.Replace(head, "approved: studio lead\n", "", 1)
	lines := strings.Split(body, "\n")
	for seed := range uint64(200) {
		random := rand.New(rand.NewPCG(seed, 1))
		kept := make([]string, 0, len(lines))
		for _, line := range lines {
			// A footnote without its mark is no text of the recipe, and a mark
			// without its footnote reads as it stands.
			if random.IntN(8) > 0 || strings.Contains(line, "[^one]") {
				kept = append(kept, line)
			}
		}
		text := "---\n" + head + "---\n" + strings.Join(kept, "\n")
		r, found := parser.Parse(source.New(fmt.Sprintf("seed-%d.md", seed), []byte(text)))
		s, _ := Build(process.Of(r, house), FindDesign("process sheet"), Options{Draft: true, Findings: found})
		require.NotNil(t, s)
		have := count1(wordsOf(dump(s)))
		for word := range count1(recipeWords(t, r)) {
			if !assert.Positivef(t, have[word], "seed %d: %q", seed, word) {
				return
			}
		}
	}
}

func BenchmarkBuild(b *testing.B) {
	plan := open(b, testkit.Data(b, "sheets", "cast-weight", "cast-weight.md"))
	design := FindDesign("process sheet")
	for b.Loop() {
		if s, _ := Build(plan, design, Options{}); s == nil {
			b.Fatal("no sheet")
		}
	}
}
