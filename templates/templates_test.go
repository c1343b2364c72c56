package templates

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStarters(t *testing.T) {
	files := House("2026-03-04")
	var names []string
	for _, f := range files {
		names = append(names, f.Name)
		assert.NotContains(t, string(f.Text), markDate, "%s: every date is filled in", f.Name)
	}
	assert.Equal(t, []string{"recipes/coaster.md", "shop.yaml"}, names)

	text := string(Recipe("bowl-rim", "2026-03-04"))
	assert.Contains(t, text, "recipe: bowl-rim\n")
	assert.Contains(t, text, "date: 2026-03-04\n")
	assert.NotContains(t, text, markID)
	assert.NotContains(t, text, markDate)
}

func TestDesignsShip(t *testing.T) {
	files, err := Sheets.ReadDir("sheets")
	require.NoError(t, err)
	assert.NotEmpty(t, files)
}
