package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/process"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// The table of outcomes is tested by its structure: each word is one the house
// knows, each row has its source, a finer grain never leaves less, and nothing
// falls between the rows.
func TestTheTableOfOutcomes(t *testing.T) {
	o, report := readOutcome(source.New("outcome.yaml", outcomeText))
	require.Empty(t, report)
	h := trade.BuiltIn()

	for _, l := range o.leaves {
		most, least := h.FindFinish(l.brightest), h.FindFinish(l.dullest)
		require.NotNil(t, most, l.brightest)
		require.NotNil(t, least, l.dullest)
		assert.GreaterOrEqual(t, most.Rank, least.Rank)
		assert.Positive(t, least.Rank)
		assert.NotEmpty(t, l.source)
		assert.NotEmpty(t, l.laps)
	}

	works := map[trade.Work][]trade.LapClass{
		trade.Grind:     {trade.Hard, trade.Pitch, trade.Pad, trade.Cork, trade.Felt, trade.Brush, trade.Bonded, trade.Blast},
		trade.Prepolish: {trade.Pitch, trade.Pad, trade.Cork, trade.Felt, trade.Brush, trade.Bonded},
		trade.Polish:    {trade.Pitch, trade.Pad, trade.Cork, trade.Felt, trade.Brush, trade.Bonded},
	}
	bonds := []trade.Bond{trade.Loose, trade.Plated, trade.Metal, trade.Resin, trade.Vitrified, trade.Rubber, trade.Urethane, trade.Coated}
	for work, laps := range works {
		for _, lap := range laps {
			for _, bond := range bonds {
				last := 99
				for _, grain := range []float64{0.1, 0.5, 1, 1.5, 3, 5, 9, 12, 15, 17, 23, 35, 45, 60, 75, 100, 180, 250, 1000} {
					w := &process.Work{Class: lap, Grain: grain, Abrasive: &trade.Abrasive{Family: &trade.Family{Work: work}, Bond: bond}}
					most, _, ok := o.ranks(h, w)
					require.True(t, ok, "%s %s %s %v µm", work, lap, bond, grain)
					assert.LessOrEqual(t, most.Rank, last, "%s %s %s: %v µm leaves more than a finer grain", work, lap, bond, grain)
					last = most.Rank
				}
			}
		}
	}

	for _, f := range h.Finishes {
		if f.Rank > 0 {
			assert.NotEmpty(t, o.reachedBy[f.Name], f.Name)
		}
	}
	for name := range o.reachedBy {
		assert.NotNil(t, h.FindFinish(name), name)
	}
	for _, v := range o.variants {
		medium := h.FindMedium(v.medium)
		require.NotNil(t, medium)
		assert.Contains(t, medium.Variants, v.better)
		assert.Contains(t, medium.Variants, v.than)
		assert.NotNil(t, h.FindFamily(v.family))
	}
	for kind, name := range o.pumiceOn {
		medium := h.FindMedium(name)
		require.NotNil(t, medium, name)
		assert.Contains(t, medium.On, kind, name)
		assert.Contains(t, []trade.LapClass{trade.Felt, trade.Cork}, medium.Lap)
	}
	// Whatever a grain lies in, one that may come before cerium leaves a finer one
	// to do so, and a blast never does.
	for _, bond := range bonds {
		for _, lap := range works[trade.Grind] {
			assert.True(t, lap == trade.Blast || o.forCerium(lap, bond, 9), "%s %s", lap, bond)
			assert.False(t, lap != trade.Bonded && bond != trade.Loose && o.forCerium(lap, bond, 105), "%s %s", lap, bond)
		}
	}
	assert.False(t, o.forCerium(trade.Blast, trade.Loose, 9))
	// A face 75 mm across has π/4 · 7.5² = 44.2 cm².
	assert.InDelta(t, 44.2, o.largeFace, 0.5)
}

func TestFigures(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 1.5: "1.5", 17.3: "17.3", 58: "58", 250: "250", 1234: "1234", 0.25: "0.25", 3.6: "3.6", 16.666: "16.7", 99.96: "100", 9.996: "10"} {
		assert.Equal(t, want, figure(x))
	}
}

func TestAClockIsNoTest(t *testing.T) {
	for _, text := range []string{"Done when 10 minutes", "10 min", "after about ten minutes", "Time is up", "When the timer rings"} {
		assert.True(t, isClock(text), text)
	}
	for _, text := range []string{"", "Marker twice: gone both times", "10 minutes and no grey left", "Done", "even after 10 minutes under the lamp"} {
		assert.False(t, isClock(text), text)
	}
}
