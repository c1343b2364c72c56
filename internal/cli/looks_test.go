package cli

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/recipe"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
)

// demoRecipe is a recipe of the demo house.
func (d *demoPrints) demoRecipe(t *testing.T, id string) *recipe.Recipe {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(testkit.Root(t), "recipes", id+".md"))
	require.NoError(t, err)
	r, _ := d.parser.Parse(source.New(id+".md", text))
	return r
}

// TestStepAndGradeAreReadApart: "10 800 mesh" read from a card must not be one
// figure. The room behind the number of a step is more than three spaces of its
// type (a space is about a quarter of the size).
func TestStepAndGradeAreReadApart(t *testing.T) {
	tool(t, "pdftotext", "poppler-utils")
	d := newDemo(t)
	file, _, found := d.print(t, d.demoRecipe(t, "optic-block"), "bench card", sheet.Options{Paper: "A4", Portrait: true})
	require.NotNil(t, file, "%v", found)
	words := byPoppler(t, file)
	seen := 0
	for i, w := range words[:len(words)-1] {
		next := words[i+1]
		if n, err := strconv.Atoi(w.text); err != nil || n < 10 || w.left > 20 {
			continue
		}
		if next.page == w.page && math.Abs(next.base-w.base) < 3 {
			seen++
			assert.Greater(t, next.left-w.right, 12.0, "%q and %q", w.text, next.text)
		}
	}
	assert.GreaterOrEqual(t, seen, 3)
}

// TestNoLineBeginsWithTheDotOfASurface: a surface that goes to a line of its own
// leaves the dot behind that stands between it and the title.
func TestNoLineBeginsWithTheDotOfASurface(t *testing.T) {
	tool(t, "pdftotext", "poppler-utils")
	d := newDemo(t)
	file, _, found := d.print(t, d.demoRecipe(t, "optic-block"), "bench card", sheet.Options{Paper: "A4", Portrait: true})
	require.NotNil(t, file, "%v", found)
	words := byPoppler(t, file)
	dots := 0
	for i, w := range words {
		if w.text != "·" {
			continue
		}
		dots++
		before := words[i-1]
		assert.True(t, before.page == w.page && before.right < w.left+.1 && math.Abs(before.base-w.base) < 3, "a dot leads a line behind %q", before.text)
	}
	assert.Greater(t, dots, 3)
}

// TestNoPageOfWordsAlone: a training sheet ends with boxes for initials, not on
// a page that holds nothing but the words its margins had no room for.
func TestNoPageOfWordsAlone(t *testing.T) {
	tool(t, "pdftotext", "poppler-utils")
	d := newDemo(t)
	for _, id := range []string{"cast-weight", "crystal-bowl-rim", "lens-vase", "optic-block", "relief-panel"} {
		file, _, found := d.print(t, d.demoRecipe(t, id), "training sheet", sheet.Options{})
		require.NotNil(t, file, "%s: %v", id, found)
		words := byPoppler(t, file)
		last, boxes := words[len(words)-1].page, 0
		for _, w := range words {
			if w.page == last && w.text == "shown" {
				boxes++
			}
		}
		assert.NotZero(t, boxes, id)
	}
}
