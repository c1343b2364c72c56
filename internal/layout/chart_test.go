package layout

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

var a3Wide = sheet.PageSetup{Paper: "A3", Width: 420, Height: 297, Left: 14, Right: 12, Top: 11, Bottom: 8}

// chartOf is the grade chart of a shop file.
func chartOf(t require.TestingT, shop string) *sheet.Sheet {
	var found diag.List
	h := trade.Lay(source.New("shop.yaml", []byte(shop)), &found)
	require.Empty(t, found)
	s, bad := sheet.BuildHouse(h, sheet.FindDesign("grade chart"), sheet.Options{})
	require.Empty(t, bad)
	return s
}

func demoChart(t *testing.T) *sheet.Sheet {
	shop, err := os.ReadFile(testkit.Root(t) + "/recipes/shop.yaml")
	require.NoError(t, err)
	return chartOf(t, string(shop))
}

func TestGradeChartGolden(t *testing.T) {
	s := demoChart(t)
	doc, found := Lay(s)
	assert.Empty(t, found)
	requireSound(t, s, doc)
	require.Len(t, doc.Pages, 1)
	requireContrast(t, doc)
	testkit.Golden(t, testkit.Data(t, "layout", "grade-chart.txt"), []byte(Dump(doc)))
}

// The foot of a draft stands clear of the tab below it, however near the edge
// the page lets it come.
func TestTheTabOfADraftCoversNoWord(t *testing.T) {
	s := chartOf(t, "house: {name: A House, revision: 1, date: 2026-03-02}\n")
	require.NotNil(t, s.Draft)
	doc, _ := Lay(s)
	requireSound(t, s, doc)
	seen := 0
	for _, one := range texts(doc.Pages[0]) {
		if strings.HasPrefix(one.Text.Text, "Computed values") {
			seen++
			assert.LessOrEqual(t, one.bottom+below(one.Size)-draw.MM(.2), doc.Height-hatchIn-tabHigh, "%s", mm(one.bottom))
		}
	}
	assert.Equal(t, 1, seen)
}

// Every number on the chart stands at its size on one axis, evenly by the
// logarithm: the sizes are those of FEPA 42-2 (F400: 17.3 µm), FEPA 43-2 (P400:
// 35.0 µm) and ANSI B74.18 (CAMI 400: 23.6 µm), all seen second-hand.
func TestNumbersStandAtTheirSizes(t *testing.T) {
	s := demoChart(t)
	doc, _ := Lay(s)
	at := map[string]draw.Unit{}
	for _, um := range []string{"1", "10", "100"} {
		at[um] = centre(t, doc.Pages[0], um, draw.Bold, draw.Pt(12))
	}
	decade := at["10"] - at["1"]
	assert.InDelta(t, float64(decade), float64(at["100"]-at["10"]), 10)
	var blocks []draw.Unit
	for _, x := range texts(doc.Pages[0]) {
		if x.Text.Text == "400" && x.Ink == draw.White {
			blocks = append(blocks, (x.left+x.right)/2)
		}
	}
	require.Len(t, blocks, 4)
	for i, um := range []float64{17.3, 23.6, 35, 37} {
		want := float64(at["1"]) + float64(decade)*math.Log10(um)
		assert.InDelta(t, want, float64(blocks[i]), float64(draw.MM(.2)), "%g µm", um)
	}
}

func centre(t *testing.T, p draw.Page, words string, style draw.Style, size draw.Unit) draw.Unit {
	t.Helper()
	for _, x := range texts(p) {
		if x.Text.Text == words && x.Style == style && x.Size == size {
			return (x.left + x.right) / 2
		}
	}
	require.Failf(t, "not on the page", "%q", words)
	return 0
}

// A line of stock is on the chart whatever else hangs in the shop, on A4 and
// A3, and nothing stands on anything.
func TestAnyStockIsOnTheChart(t *testing.T) {
	testkit.Long(t)
	grades := []string{
		"abrasive: silicon carbide, grade: F80", "abrasive: silicon carbide, grade: F1200", "abrasive: silicon carbide, grade: F400",
		"abrasive: plated diamond disc, grade: 60 mesh", "abrasive: resin diamond pad, grade: 3000 mesh", "abrasive: pumice, grade: 2F",
		"abrasive: cerium oxide, grade: 1.5 µm", "abrasive: cerium oxide, grade: 0.3 µm", "abrasive: silicon carbide, grade: JIS 1000",
		"abrasive: silicon carbide belt, grade: P400", "abrasive: silicon carbide belt, grade: US 220", "abrasive: plated diamond disc, grade: D126",
	}
	rapid.Check(t, func(t *rapid.T) {
		shop := "house: {name: A House, revision: 1, date: 2026-10-05, approved: studio lead}\nstock:\n"
		var codes []string
		for i := range rapid.IntRange(0, 30).Draw(t, "lines") {
			code := fmt.Sprintf("%s%d", rapid.SampledFrom([]string{"A", "LONGCODE-", "S"}).Draw(t, "code"), i)
			codes = append(codes, code)
			shop += fmt.Sprintf("  %s: {%s}\n", code, rapid.SampledFrom(grades).Draw(t, "grade"))
		}
		s := chartOf(t, shop)
		for _, page := range []sheet.PageSetup{a4Wide, a3Wide} {
			s.Page = page
			doc, _ := Lay(s)
			requireSound(t, s, doc)
			words := strings.Join(strings.FieldsFunc(allText(doc), func(r rune) bool { return r == ' ' || r == ',' }), " ") + " "
			for _, code := range codes {
				assert.Contains(t, words, code+" ")
			}
		}
	})
}
