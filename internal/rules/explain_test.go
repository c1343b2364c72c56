package rules_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/grade"
	"coldwright/internal/rules"
)

func fitsTerminal(t *testing.T, text string) {
	t.Helper()
	for _, line := range strings.Split(text, "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
		assert.Equal(t, strings.TrimRight(line, " "), line)
	}
	assert.True(t, strings.HasSuffix(text, "\n"))
}

func TestExplainAllListsEachRuleOnce(t *testing.T) {
	text := rules.ExplainAll()
	fitsTerminal(t, text)
	for _, r := range rules.All {
		assert.Equal(t, 1, strings.Count(text, "\n  "+r.ID+" "), r.ID)
	}
}

func TestListHasEachRuleOnce(t *testing.T) {
	text := rules.List()
	for _, r := range rules.All {
		assert.Equal(t, 1, strings.Count(text, "- `"+r.ID+"` ("), r.ID)
	}
}

func TestExplainSaysAllThereIsOfARule(t *testing.T) {
	for _, r := range rules.All {
		text, ok := rules.Explain(r.ID)
		require.True(t, ok)
		fitsTerminal(t, text)
		words := strings.Join(strings.Fields(text), " ")
		for _, part := range []string{r.Title, r.Why, r.Source} {
			// The first letter may have been made a large one.
			_, size := utf8.DecodeRuneInString(part)
			assert.Contains(t, words, strings.Join(strings.Fields(part[size:]), " "), r.ID)
		}
		for _, line := range strings.Split(r.Bad+"\n"+r.Good, "\n") {
			assert.Contains(t, words, strings.Join(strings.Fields(line), " "), r.ID)
		}
	}
}

func TestExplainOfAnUnknownRuleNamesTheNearest(t *testing.T) {
	text, ok := rules.Explain("damage-not-cleard")
	assert.False(t, ok)
	assert.Equal(t, `there is no rule "damage-not-cleard"; the nearest is damage-not-cleared`, text)
	text, ok = rules.Explain("zzzzzzzzzzz")
	assert.False(t, ok)
	assert.Contains(t, text, "coldwright explain lists them")
}

func TestExplainTakesAnIDInAnyCase(t *testing.T) {
	_, ok := rules.Explain("  Damage-Not-Cleared ")
	assert.True(t, ok)
}

// What bare-grade says of 400 is what the tables of the scales hold.
func TestBareGradeCountsTheSizesOf400(t *testing.T) {
	sizes := map[float64]bool{}
	low, high := math.Inf(1), 0.0
	for _, g := range grade.Meanings("400") {
		sizes[g.Size] = true
		low, high = min(low, g.Size), max(high, g.Size)
	}
	text, ok := rules.Explain("bare-grade")
	require.True(t, ok)
	assert.Len(t, sizes, 6)
	assert.Contains(t, text, fmt.Sprintf("400 is six grain sizes, from %.0f to %.0f µm", low, high))
}

func TestARuleWithoutExceptionsSaysSo(t *testing.T) {
	text, _ := rules.Explain("repeated-key")
	assert.Contains(t, text, "\nQuiet    Never.\n")
}
