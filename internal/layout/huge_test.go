package layout

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/trade"
)

// What nobody would write still ends, in time, with every word on a page. The
// ceiling is generous: it is there to catch work that grows with the square.
func TestHugeContentEnds(t *testing.T) {
	nested := para("inmost")
	list := para("inmost")
	for range 10_000 {
		nested = prose.Block{Kind: prose.Quote, Blocks: []prose.Block{nested}}
		list = prose.Block{Kind: prose.List, Blocks: []prose.Block{{Kind: prose.Item, Blocks: []prose.Block{list}}}}
	}
	var rows [][][]prose.Inline
	for range 3000 {
		rows = append(rows, [][]prose.Inline{text("one"), text("two words"), text(strings.Repeat("three ", 5))})
	}
	long := strings.Repeat("Wet the felt and go on. ", 20_000)
	word := strings.Repeat("abcdefghij", 50_000)
	for name, b := range map[string]sheet.Block{
		"nested quotes":  sheet.Notes{Blocks: []prose.Block{nested}},
		"nested lists":   sheet.Notes{Blocks: []prose.Block{list}},
		"long paragraph": sheet.Notes{Blocks: []prose.Block{para(long)}},
		"long word":      sheet.Notes{Blocks: []prose.Block{para(word)}},
		"long code":      sheet.Notes{Blocks: []prose.Block{{Kind: prose.CodeBlock, Text: strings.Repeat("  x\n", 20_000)}}},
		"long table":     sheet.Notes{Blocks: []prose.Block{{Kind: prose.Table, Rows: rows}}},
		"long cell":      sheet.StepTable{Rows: []sheet.StepRow{{Number: 1, Do: long[:60_000], Medium: word[:20_000]}}},
		"long stop":      sheet.Stop{Words: long[:20_000]},
		"long panel":     sheet.Cautions{Panels: []sheet.CautionNote{{Signal: trade.Warning, Words: long[:100_000]}}},
		"long settings":  sheet.StepInFull{Number: 1, Title: text(long[:5_000]), Settings: sheet.Settings{Medium: sheet.Setting{Big: long[:9_000], Small: word[:9_000]}}},
		"long sign-off":  sheet.SignOff{Lines: []string{long[:9_000], word[:9_000]}},
		"numbers":        sheet.Notes{Blocks: []prose.Block{para(strings.Repeat("1 × ", 50_000))}},
	} {
		t.Run(name, func(t *testing.T) {
			s := weight()
			s.Blocks = []sheet.Block{b}
			start := time.Now()
			doc, _ := Lay(s)
			assert.Less(t, time.Since(start), 10*time.Second)
			for i, p := range doc.Pages {
				if i > 20 {
					break
				}
				for _, x := range texts(p) {
					require.LessOrEqual(t, x.bottom.Millimetres(), 297-8.9)
					require.LessOrEqual(t, x.right.Millimetres(), 210-11.9)
				}
			}
		})
	}
}

// A head as long as a page leaves room for the text all the same.
func TestHugeHead(t *testing.T) {
	s := weight()
	s.Title = strings.Repeat("Cast paperweight with a base ", 60)
	s.ID = strings.Repeat("cast-weight-", 12)
	s.Approved = strings.Repeat("studio lead ", 12)
	s.House = strings.Repeat("Quillfen Cold Shop ", 12)
	for range 60 {
		s.Standing = append(s.Standing, "Accepted by the lead: grade-step, because the pad is worn, until 2026-12-31.")
	}
	doc, _ := Lay(s)
	require.Less(t, len(doc.Pages), 14)
	all := bare(allText(doc))
	assert.Contains(t, all, bare(s.Title))
	assert.Contains(t, all, bare(s.ID))
	assert.Equal(t, 60, strings.Count(all, "Acceptedbythelead"))
	requireSound(t, s, doc)
}
