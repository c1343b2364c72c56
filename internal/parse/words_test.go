package parse

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// TestWordsHousesWrite: what houses write for water, mixes, benches and forms is
// read without a finding.
func TestWordsHousesWrite(t *testing.T) {
	p, err := quillfen()
	require.NoError(t, err)
	read := func(old, new string) (*recipe.Recipe, []string) {
		text := string(exampleText(t))
		require.Contains(t, text, old)
		r, list := p.Parse(source.New("a.md", []byte(strings.Replace(text, old, new, 1))))
		return r, said(list)
	}
	water := func(r *recipe.Recipe) recipe.Water {
		for _, s := range r.Steps {
			if strings.Contains(s.Water.Span.Text(), "flood") || strings.Contains(s.Water.Span.Text(), "mist") || strings.Contains(s.Water.Span.Text(), "running") {
				return s.Water.Value
			}
		}
		return recipe.Water{}
	}
	r, list := read("Water: drip", "Water: recirculated flood")
	require.Empty(t, list)
	assert.Equal(t, "flood", water(r).Kind.Name)
	assert.True(t, water(r).Recirculated)
	r, list = read("Water: drip", "Water: bucket flood, recirculated")
	require.Empty(t, list)
	assert.True(t, water(r).Bucket && water(r).Recirculated)
	r, list = read("Water: drip", "Water: mist")
	require.Empty(t, list)
	assert.Equal(t, "spray", water(r).Kind.Name)
	r, list = read("Water: drip", "Water: running water")
	require.Empty(t, list)
	assert.True(t, water(r).Kind.Running)
	for _, c := range [][2]string{
		{"Water: drip", "Water: dripping"}, {"Mix: cream", "Mix: thin cream"}, {"Bench: A", "Bench: bench A"}, {"form: cast", "form: kiln-cast"},
		{"glass: soda-lime", "glass: full lead crystal"}, {"shape: arris", "shape: arrises"},
	} {
		_, list := read(c[0], c[1])
		assert.Empty(t, list, c[1])
	}
	r, _ = read("form: cast", "form: kiln-cast")
	assert.Equal(t, "cast", r.Piece.Form.Value)

	// A step has one mix; the first is kept, and the change is asked for.
	for _, words := range []string{"cream, then milk", "cream then milk", "cream to milk"} {
		r, list = read("Mix: cream", "Mix: "+words)
		require.Len(t, list, 1, words)
		assert.Contains(t, list[0], "more than one mix")
		assert.Contains(t, list[0], "Mix: cream")
		mixes := map[string]bool{}
		for _, s := range r.Steps {
			if s.Mix.Value.Word != nil {
				mixes[s.Mix.Value.Word.Name] = true
			}
		}
		assert.True(t, mixes["cream"], words)
		assert.False(t, mixes["milk"], words)
	}
	// A glass that is called free of lead is handled as unknown.
	r, list = read("glass: soda-lime", "glass: lead-free crystal")
	require.Len(t, list, 1)
	assert.Contains(t, list[0], "glasses")
	assert.True(t, r.GlassUnknown)
	// A facet ground on a flat lap is a flat face.
	_, list = read("shape: arris", "shape: facet")
	require.Len(t, list, 1)
	assert.Contains(t, list[0], "ground on a flat lap is flat")
}
