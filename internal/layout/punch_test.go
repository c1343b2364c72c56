package layout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/draw"
)

// The two holes of ISO 838 are 6 ± 0.5 mm wide, 80 ± 0.5 mm apart about the
// middle of the sheet, and their centres 12 ± 1 mm from its edge. With every
// tolerance against it, a hole reaches 16.25 mm into the paper.
func TestPunchedHolesMissTheWords(t *testing.T) {
	const (
		centre, off   = 12.0, 1.0
		wide, wider   = 6.0, 0.5
		apart, astray = 80.0, 0.5
	)
	s := weight()
	doc, _ := Lay(s)
	require.InDelta(t, 297, doc.Height.Millimetres(), 0.01, "A4 by ISO 216")
	reach := draw.MM(centre + off + (wide+wider)/2)
	for _, middle := range []float64{297.0/2 - apart/2, 297.0/2 + apart/2} {
		top := draw.MM(middle - astray - (wide+wider)/2)
		foot := draw.MM(middle + astray + (wide+wider)/2)
		for n, page := range doc.Pages {
			for _, text := range texts(page) {
				if text.bottom > top && text.top < foot {
					assert.Greaterf(t, text.left, reach, "page %d: %q would be punched", n+1, text.Text.Text)
				}
			}
		}
	}
}
