package layout

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/trade"
)

// luminance and contrast are the formulas of WCAG 2.2, "relative luminance"
// and "contrast ratio".
func luminance(i draw.Ink) float64 {
	channel := func(v uint8) float64 {
		c := float64(v) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*channel(i.R) + 0.7152*channel(i.G) + 0.0722*channel(i.B)
}

func contrast(a, b draw.Ink) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + .05) / (min(la, lb) + .05)
}

// The formula gives the ratios worked out elsewhere by WCAG 2.2, to 0.01.
func TestContrastFormula(t *testing.T) {
	ink := func(hex uint32) draw.Ink { return draw.Ink{R: uint8(hex >> 16), G: uint8(hex >> 8), B: uint8(hex)} }
	for _, c := range []struct {
		a, b  uint32
		ratio float64
	}{
		{0x9B2423, 0xFFFFFF, 7.86}, {0xD05D29, 0x000000, 5.28}, {0xF9A800, 0x000000, 10.63},
		{0x005387, 0xFFFFFF, 8.12}, {0x237F52, 0xFFFFFF, 4.97},
		// Pairs that must fail 4.5:1.
		{0xFFFFFF, 0xF9A800, 1.98}, {0xFFFFFF, 0xD05D29, 3.98}, {0x2B2B2C, 0xD05D29, 3.56},
		{0x000000, 0xFFFFFF, 21},
	} {
		assert.InDeltaf(t, c.ratio, contrast(ink(c.a), ink(c.b)), .01, "%06X on %06X", c.a, c.b)
	}
}

// ground is the colour under a point: the last filled rectangle before the
// text that holds it.
func ground(under []draw.Rect, p draw.Point) draw.Ink {
	ink := draw.White
	for _, r := range under {
		if p.X >= r.At.X && p.X <= r.At.X+r.Width && p.Y >= r.At.Y && p.Y <= r.At.Y+r.Height {
			ink = *r.Fill
		}
	}
	return ink
}

// Every text of a drawing has 7:1 against what lies under it (WCAG 2.2, 1.4.6).
func TestContrastOfEveryText(t *testing.T) {
	s := weight()
	s.Draft = &sheet.Draft{Reason: "not approved, not for the bench", Short: "not approved"}
	s.Blocks = append([]sheet.Block{sheet.Cautions{Panels: []sheet.CautionNote{
		{Signal: trade.Danger, Words: "a"}, {Signal: trade.Warning, Words: "b"},
		{Signal: trade.Caution, Words: "c"}, {Signal: trade.Notice, Words: "d"},
	}}}, s.Blocks...)
	doc, _ := Lay(s)
	white := 0
	for _, page := range doc.Pages {
		var under []draw.Rect
		for _, r := range page.Runs {
			for _, it := range r.Items {
				switch v := it.(type) {
				case draw.Rect:
					if v.Fill != nil {
						under = append(under, v)
					}
				case draw.Text:
					look := look{style: v.Style, size: v.Size, spacing: v.Spacing}
					lead := look.width(v.Text[:len(v.Text)-len(strings.TrimLeft(v.Text, " "))])
					for _, p := range []draw.Point{{X: v.At.X + lead, Y: v.At.Y}, {X: v.At.X + look.width(v.Text), Y: v.At.Y - v.Size/2}} {
						g := ground(under, p)
						require.GreaterOrEqualf(t, contrast(v.Ink, g), 6.99, "%q: %v on %v", v.Text, v.Ink, g)
					}
					if v.Ink == draw.White {
						white++
					} else {
						require.Equal(t, draw.Black, v.Ink, "all text is black or white")
					}
				}
			}
		}
	}
	assert.Greater(t, white, 8, "the bar, the tabs and the dark strips have white words")
}
