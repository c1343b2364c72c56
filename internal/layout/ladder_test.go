package layout

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/testkit"
)

// ladderOf is a sheet with nothing but a chart.
func ladderOf(c sheet.Ladder) *sheet.Sheet {
	s := weight()
	s.Blocks = []sheet.Block{c}
	return s
}

func figures(p draw.Page) []draw.Run {
	var out []draw.Run
	for _, r := range p.Runs {
		if r.Role == draw.Figure {
			out = append(out, r)
		}
	}
	return out
}

// Places on the axis by the measures of the design: 0.1 µm at 56 mm and 500 µm
// at 134 mm from the left of the text, evenly by the logarithm.
func TestLadderAxis(t *testing.T) {
	l := &layer{sheet: weight(), left: draw.MM(20), width: draw.MM(178)}
	mm := func(um float64) float64 { return l.depthX(um).Millimetres() - 20 }
	assert.InDelta(t, 56, mm(.1), .01)
	assert.InDelta(t, 134, mm(500), .01)
	assert.InDelta(t, 45, mm(0), .01, "none has a place of its own")
	assert.InDelta(t, mm(10)-mm(1), mm(100)-mm(10), .01, "decades are alike")
	assert.InDelta(t, 78/math.Log10(5000), mm(10)-mm(1), .01)
	assert.InDelta(t, 56, mm(.001), .01, "beyond the axis stands at its end")
	assert.InDelta(t, 134, mm(9000), .01)
	assert.InDelta(t, 45, mm(math.NaN()), .01)
}

// The bars end where their figures stand, and an arrow ends past the open bar
// just where more is taken than came.
func TestLadderRowsAreDrawnToScale(t *testing.T) {
	s := ladderOf(weightLadder())
	doc, _ := Lay(s)
	requireSound(t, s, doc)
	l := &layer{sheet: s, left: draw.MM(20), width: draw.MM(178)}
	figs := figures(doc.Pages[0])
	rows := weightLadder().Rows
	require.Len(t, figs, len(rows))
	for i, r := range rows {
		assert.NotEmpty(t, figs[i].Alt)
		var bars []draw.Rect
		head := draw.Unit(-1)
		for _, it := range figs[i].Items {
			switch v := it.(type) {
			case draw.Rect:
				bars = append(bars, v)
			case draw.Path:
				head = v.Segs[0].P[0].X
			}
		}
		require.Len(t, bars, 2)
		for k, d := range []sheet.Depth{r.Arrives, r.Left} {
			assert.InDelta(t, float64(l.depthX(d.Low)), float64(bars[k].At.X-bars[k].Stroke/2), 2)
			assert.InDelta(t, float64(l.depthX(d.High)), float64(bars[k].At.X+bars[k].Width+bars[k].Stroke/2), 2)
		}
		assert.Equal(t, draw.White, *bars[0].Fill)
		assert.Equal(t, draw.Ink{R: 0x8c, G: 0x8c, B: 0x8c}, *bars[1].Fill)
		assert.Equal(t, l.depthX(r.TakenUM), head)
		assert.Equal(t, r.TakenUM > r.Arrives.High, head > bars[0].At.X+bars[0].Width)
	}
	// An outline keeps the grey bar apart from white by 3:1 (WCAG 2.2, 1.4.11),
	// the grey itself too.
	assert.GreaterOrEqual(t, contrast(barGrey, draw.White), 3.0)
}

// A chart longer than a page has its head and its axis on every page, and rows
// stay whole.
func TestLongLadderRepeatsHeadAndAxis(t *testing.T) {
	c := weightLadder()
	rows := c.Rows
	for i := len(rows); i < 60; i++ {
		r := rows[i%len(rows)]
		r.Numbers = fmt.Sprint(i + 2)
		c.Rows = append(c.Rows, r)
	}
	s := ladderOf(c)
	doc, _ := Lay(s)
	requireSound(t, s, doc)
	require.Greater(t, len(doc.Pages), 2)
	drawn := 0
	for n, p := range doc.Pages {
		words := pageWords(p)
		rows := len(figures(p))
		drawn += rows
		if rows == 0 {
			continue
		}
		for _, once := range []string{c.Title, "taken off", "none 0.1"} {
			assert.Equalf(t, 1, strings.Count(words, once), "page %d: %q", n+1, once)
		}
		assert.Equal(t, rows, strings.Count(words, "takes "), "page %d", n+1)
	}
	assert.Equal(t, 60, drawn)
}

// What cannot be reckoned is said in its row, and a chart without rows is words.
func TestLadderInWords(t *testing.T) {
	c := weightLadder()
	c.Rows[1] = sheet.LadderRow{Numbers: "3", Title: "Smooth", Setting: "325 mesh", Cannot: "No time is written, so it is not known what this step takes off."}
	s := ladderOf(c)
	doc, _ := Lay(s)
	requireSound(t, s, doc)
	assert.Len(t, figures(doc.Pages[0]), 3)
	assert.Contains(t, bare(allText(doc)), bare(c.Rows[1].Cannot))
	s = ladderOf(sheet.Ladder{Title: "What each step does", Words: []string{"Rim and dome: nothing to reckon."}})
	doc, _ = Lay(s)
	requireSound(t, s, doc)
	assert.Empty(t, figures(doc.Pages[0]))
	assert.NotContains(t, allText(doc), "arrives")
	assert.Contains(t, bare(allText(doc)), bare("Rim and dome: nothing to reckon."))
}

// Whatever is reckoned and however its step is called, the chart stays inside
// the margins, no text on another, and no words are lost.
func TestAnyLadder(t *testing.T) {
	testkit.Long(t)
	rapid.Check(t, func(t *rapid.T) {
		depth := rapid.Custom(func(t *rapid.T) sheet.Depth {
			f := rapid.SampledFrom([]float64{0, .001, .1, .8, 9.7, 120, 500, 4000, 1e6})
			return sheet.Depth{Low: f.Draw(t, "low"), Likely: f.Draw(t, "likely"), High: f.Draw(t, "high")}
		})
		c := sheet.Ladder{Title: anyText().Draw(t, "title"), Measure: "in µm", Rule: anyText().Draw(t, "rule")}
		for i := range rapid.IntRange(0, 9).Draw(t, "rows") {
			r := sheet.LadderRow{
				Numbers: rapid.SampledFrom([]string{"1", "12", "2\u00a0+\u00a04", "11\u00a0+\u00a012\u00a0+\u00a013\u00a0+\u00a014"}).Draw(t, "numbers"),
				Title:   "t" + anyText().Draw(t, "step"), Setting: anyText().Draw(t, "setting"),
				Arrives: depth.Draw(t, "arrives"), Left: depth.Draw(t, "left"), TakenUM: rapid.SampledFrom([]float64{0, .01, 7, 2000}).Draw(t, "taken"),
				Verdict: "doubtful", Takes: "takes 1600†", Leaves: "leaves 0.69† (0.40\u00a0to\u00a00.91)", Alt: "a",
			}
			if i%4 == 3 {
				r.Cannot = "c" + anyText().Draw(t, "cannot")
			}
			c.Rows = append(c.Rows, r)
		}
		for _, page := range []sheet.PageSetup{a4, letter, a4Wide} {
			s := ladderOf(c)
			s.Page = page
			doc, _ := Lay(s)
			requireSound(t, s, doc)
		}
	})
}

// The lamp stands to scale at the angle it is drawn for: its ray meets the face
// at that angle from level.
func TestLampAngle(t *testing.T) {
	for _, degrees := range []float64{2, 4, 18, 45, 69} {
		items, height := lampItems(0, degrees)
		ray := items[1].(draw.Line)
		got := math.Atan2(float64(ray.To.Y-ray.From.Y), float64(ray.To.X-ray.From.X)) * 180 / math.Pi
		assert.InDelta(t, degrees, got, .1)
		assert.Less(t, ray.From.X, ray.To.X, "the lamp is at the left")
		eye := items[2].(draw.Line)
		assert.Greater(t, eye.To.X, eye.From.X, "the eye at the right")
		assert.Less(t, height, draw.MM(20))
	}
	items, _ := lampItems(0, 90)
	ray := items[1].(draw.Line)
	assert.Equal(t, ray.From.X, ray.To.X, "straight down")
}

// A lamp figure stands in the right column below the step's picture, and is
// said in words for who cannot see it.
func TestLampStandsBesideTheCheckpoints(t *testing.T) {
	s := oneStep(func(*sheet.StepInFull) {})
	doc, _ := Lay(s)
	requireSound(t, s, doc)
	page := doc.Pages[0]
	figs := figures(page)
	require.Len(t, figs, 2, "the picture and the lamp")
	assert.Equal(t, "Above 4° from level no outline.", figs[1].Alt)
	words := find(t, page, "no outline")
	assert.Greater(t, words.top, find(t, page, "The path, from above").bottom)
	assert.GreaterOrEqual(t, words.left, draw.MM(198-50+27))
}
