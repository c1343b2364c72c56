package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/source"
	"coldwright/internal/trade"
	"coldwright/templates"
)

// TestStartersRead reads what `new` writes: a lead's first sight of the
// program must hold no finding that stops a print.
func TestStartersRead(t *testing.T) {
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
			s := build(t, process.Of(r, in.house), Options{})
			require.NotNil(t, s.Draft, "nobody has approved it yet")
			assert.Len(t, blockOf[StepTable](t, s).Rows, 4)
		})
	}
}
