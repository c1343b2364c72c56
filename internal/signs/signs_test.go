package signs

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/draw"
)

// Every drawing reads, stays in its square and has its shape's colours: ISO
// 3864-1 gives warnings a yellow triangle with a black edge, orders a blue
// disc, prohibitions a red ring on white.
func TestSigns(t *testing.T) {
	size := draw.MM(12.5)
	require.NotEmpty(t, Codes())
	for _, code := range Codes() {
		items := Draw(code, draw.MM(10), draw.MM(20), size)
		require.NotEmpty(t, items, code)
		assert.NotEmpty(t, Meaning(code))
		assert.True(t, Has(code))
		assert.Regexp(t, `^[WMP]0\d\d$`, code)
		inks := map[draw.Ink]bool{}
		for _, it := range items {
			p := it.(draw.Path)
			inks[*p.Fill] = true
			for _, s := range p.Segs {
				if s.Op == draw.Close {
					continue
				}
				for _, at := range s.P[:map[draw.Op]int{draw.MoveTo: 1, draw.LineTo: 1, draw.CurveTo: 3}[s.Op]] {
					assert.Truef(t, at.X >= draw.MM(10) && at.X <= draw.MM(22.5) && at.Y >= draw.MM(20) && at.Y <= draw.MM(32.5), "%s leaves its square", code)
				}
			}
		}
		first := *items[0].(draw.Path).Fill
		second := *items[1].(draw.Path).Fill
		switch code[0] {
		case 'W':
			assert.Equal(t, draw.Black, first)
			assert.Equal(t, yellow, second)
		case 'M':
			assert.Equal(t, blue, first)
			assert.True(t, inks[draw.White])
		case 'P':
			assert.Equal(t, red, first)
			assert.Equal(t, draw.White, second)
			assert.True(t, inks[draw.Black])
		}
	}
	assert.Nil(t, Draw("W999", 0, 0, size))
	assert.False(t, Has(""))
}
