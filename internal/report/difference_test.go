package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/diag"
	"coldwright/internal/source"
)

// TestDifferenceOnATerminal: nothing in a file can do anything to a terminal,
// and elsewhere every byte stays.
func TestDifferenceOnATerminal(t *testing.T) {
	const diff = "--- a\n+++ a\n@@ -1,2 +1,2 @@\n one\r\n-t\x1b[2Jow\r\n+t\two\r\n"
	assert.Equal(t, diff, Difference(diff, false, true))
	shown := Difference(diff, true, false)
	assert.NotContains(t, shown, "\x1b")
	assert.NotContains(t, shown, "\r")
	assert.Contains(t, shown, "\n one\n-t\uFFFD[2Jow\n+t    wo\n")
	assert.Contains(t, Difference(diff, true, true), "\x1b[32m+t    wo\x1b[0m\n")
}

func TestWhatCanBeMendedIsSaid(t *testing.T) {
	f := source.New("a.md", []byte("tow\n"))
	plain := diag.Diagnostic{Rule: "a", Severity: diag.Error, Span: f.Span(0, 3)}
	slip := plain
	slip.Mend = diag.Word(slip.Span, "tow", "two")
	for want, list := range map[string]diag.List{
		"":                      {plain},
		"This can be mended":    {slip},
		"1 of these can be":     {slip, plain},
		"Both can be mended":    {slip, slip},
		"All 3 of these can be": {slip, slip, slip},
	} {
		var b strings.Builder
		assert.NoError(t, Text(&b, list, Summary{Recipes: 1, Errors: len(list), Mend: "a.md"}, Look{}))
		if want == "" {
			assert.NotContains(t, b.String(), "mended")
			continue
		}
		assert.Contains(t, b.String(), "\n"+want)
		assert.True(t, strings.HasSuffix(b.String(), "mended:   coldwright mend a.md\n"), b.String())
	}
}
