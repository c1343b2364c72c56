package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/rules"
	"coldwright/internal/source"
	"coldwright/internal/trade"
	"coldwright/templates"
)

// TestStartersCheckClean checks what `new` writes: a lead's first sight of the
// program must hold no finding but that nobody has approved it yet.
func TestStartersCheckClean(t *testing.T) {
	var report diag.List
	files := map[string][]byte{}
	for _, f := range templates.House("2026-10-05") {
		files[f.Name] = f.Text
	}
	house := trade.Lay(source.New("shop.yaml", files["shop.yaml"]), &report)
	require.Empty(t, report)
	for name, in := range map[string]struct {
		house *trade.House
		text  []byte
	}{
		"coaster":                {house, files["recipes/coaster.md"]},
		"recipe":                 {house, templates.Recipe("bowl-rim", "2026-10-05")},
		"recipe without a house": {trade.BuiltIn(), templates.Recipe("bowl-rim", "2026-10-05")},
	} {
		t.Run(name, func(t *testing.T) {
			r, found := parse.New(in.house).Parse(source.New(name+".md", in.text))
			assert.Empty(t, found)
			plan := process.Of(r, in.house)
			c := &check.Context{House: in.house, Recipe: r, Plan: plan, Today: recipe.Date{Year: 2026, Month: 10, Day: 5}}
			for _, d := range check.Run(c, rules.All) {
				assert.Equal(t, diag.Note, d.Severity, "%s: %s", d.Rule, d.Message)
			}
			s := build(t, plan, Options{})
			require.NotNil(t, s.Draft, "nobody has approved it yet")
			assert.Len(t, blockOf[StepTable](t, s).Rows, 4)
		})
	}
}
