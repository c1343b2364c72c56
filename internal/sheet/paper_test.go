package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

// A sheet whose tables would cut their words is refused with the papers that
// take it; a card is measured where it is set.
func TestSmallPaperIsRefused(t *testing.T) {
	h := trade.BuiltIn()
	for _, c := range []struct {
		design string
		o      Options
		want   string
	}{
		{"process sheet", Options{Paper: "A4"}, ""},
		{"process sheet", Options{Paper: "Letter", Punch: "left"}, ""},
		{"process sheet", Options{Paper: "A5", Landscape: true, Punch: "top"}, ""},
		// A5 is 148 mm wide (ISO 216): 32 mm of margins leave 116 mm.
		{"process sheet", Options{Paper: "A5"}, "A process sheet does not fit on A5 upright: its margins leave 116 mm by 190 mm, and its tables would cut words."},
		{"training sheet", Options{Paper: "A6"}, "A training sheet does not fit on A6 upright: its margins leave 73 mm by 128 mm, and its tables would cut words."},
		{"house book", Options{Paper: "4x6", Landscape: true}, "A house book does not fit on 4x6 on its long side: its margins leave 126 mm by 83 mm, and its tables would cut words."},
		{"grade chart", Options{Paper: "A5"}, "A grade chart does not fit on A5 on its long side: its margins leave 184 mm by 129 mm, and its tables would cut words."},
		{"grade chart", Options{Paper: "A3"}, ""},
		{"bench card", Options{Paper: "A6"}, ""},
	} {
		var found diag.List
		_, ok := pageOf(FindDesign(c.design), h, c.o, &found)
		if c.want == "" {
			assert.True(t, ok, "%s on %s", c.design, c.o.Paper)
			assert.Empty(t, found)
			continue
		}
		assert.False(t, ok, "%s on %s", c.design, c.o.Paper)
		require.Len(t, found, 1)
		assert.Equal(t, c.want, found[0].Message)
		assert.Contains(t, found[0].Help, "It fits on A3, A4")
	}
}
