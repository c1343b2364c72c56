package layout

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// houseOf is a house of the test data.
func houseOf(t *testing.T, folder string) *trade.House {
	t.Helper()
	var found diag.List
	h := trade.Lay(source.New("shop.yaml", testkit.Read(t, testkit.Data(t, folder, "shop.yaml"))), &found)
	require.Empty(t, found)
	return h
}

func planOf(t *testing.T, h *trade.House, folder, id string) *process.Plan {
	t.Helper()
	r, found := parse.New(h).Parse(source.New(id+".md", testkit.Read(t, testkit.Data(t, folder, id+".md"))))
	require.Empty(t, found)
	return process.Of(r, h)
}

// The drawing of whole process sheets: an edge on stones, a bore, a coated tile
// blasted on its back.
func TestProcessSheetGoldens(t *testing.T) {
	const folder = "sound"
	for _, id := range []string{"lip-on-stones", "lamp-base-bore", "dichroic-on-the-face"} {
		t.Run(id, func(t *testing.T) {
			s, _ := sheet.Build(planOf(t, houseOf(t, folder), folder, id), sheet.FindDesign("process sheet"), sheet.Options{})
			require.NotNil(t, s)
			doc, found := Lay(s)
			assert.Empty(t, found)
			requireSound(t, s, doc)
			requireContrast(t, doc)
			testkit.Golden(t, testkit.Data(t, "layout", "process-"+id+".txt"), []byte(Dump(doc)))
		})
	}
}

// The charts of two more houses.
func TestGradeChartGoldens(t *testing.T) {
	for _, folder := range []string{"sequences", "sound"} {
		t.Run(folder, func(t *testing.T) {
			s, bad := sheet.BuildHouse(houseOf(t, folder), sheet.FindDesign("grade chart"), sheet.Options{})
			require.Empty(t, bad)
			doc, found := Lay(s)
			assert.Empty(t, found)
			requireContrast(t, doc)
			testkit.Golden(t, testkit.Data(t, "layout", "grade-chart-"+folder+".txt"), []byte(Dump(doc)))
		})
	}
}

// The contents and the index of a book of one recipe and of one of three.
func TestBookGoldens(t *testing.T) {
	for name, ids := range map[string][]string{
		"one": {"bowl-rim"}, "three": {"disc-lustre", "panel-edge", "vase-facets"},
	} {
		t.Run(name, func(t *testing.T) {
			h := houseOf(t, "sequences")
			var entries []sheet.BookEntry
			for _, id := range ids {
				p := planOf(t, h, "sequences", id)
				entries = append(entries, sheet.BookEntry{Anchor: id, Plan: p, Sheet: func() (*sheet.Sheet, diag.List) {
					return sheet.Build(p, sheet.FindDesign("process sheet"), sheet.Options{})
				}})
			}
			book, bad := sheet.BuildBook(h, sheet.FindDesign("house book"), entries, nil, sheet.Options{})
			require.Empty(t, bad)
			bound := bindWhole(book)
			requireContrast(t, bound.Document)
			doc := *bound.Document
			doc.Pages = nil
			for _, p := range bound.Pages {
				words := pageWords(p)
				if strings.Contains(words, "house book") && (strings.Contains(words, "Contents") || strings.Contains(words, "Index")) {
					doc.Pages = append(doc.Pages, p)
				}
			}
			require.NotEmpty(t, doc.Pages)
			doc.Bookmarks = []draw.Bookmark{}
			var lines []string
			for line := range strings.Lines(Dump(&doc)) {
				// The mark moves with every word of every recipe.
				if strings.Contains(line, book.Front[0].Mark.String()) || strings.Contains(line, "path of") && strings.Contains(line, "from 185.49 11.00") {
					continue
				}
				lines = append(lines, line)
			}
			testkit.Golden(t, testkit.Data(t, "layout", "house-book-"+name+".txt"), []byte(strings.Join(lines, "")))
		})
	}
}
