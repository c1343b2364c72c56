package layout

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
)

// A line that ends in a colon goes to the next page with what it leads to.
func TestWordsStayWithTheTableTheyAnnounce(t *testing.T) {
	table := prose.Block{Kind: prose.Table, Rows: [][][]prose.Inline{
		{text("Seen"), text("Cause")}, {text("a dot"), text("a grain")}, {text("a line"), text("a grade left early")},
	}}
	ends := 0
	for lines := 20; lines < 60; lines++ {
		var blocks []prose.Block
		for range lines {
			blocks = append(blocks, para("One line."))
		}
		blocks = append(blocks, para("What was found says how far to go back:"), table)
		for range 20 {
			blocks = append(blocks, para("One line."))
		}
		sh := weight()
		sh.Blocks = []sheet.Block{sheet.Notes{Blocks: blocks}}
		doc, _ := Lay(sh)
		require.NotNil(t, doc)
		for _, page := range doc.Pages {
			said := allText(&draw.Document{Pages: []draw.Page{page}})
			if strings.Contains(said, "how far to go back:") {
				assert.Contains(t, said, "Seen", "%d lines", lines)
			}
		}
		if len(doc.Pages) > 1 {
			ends++
		}
	}
	assert.Positive(t, ends)
}

// On a card no line begins with the dot between two cautions of a step.
func TestCautionsOfAStepOnACardAreApart(t *testing.T) {
	words := append(append(text("Mask on."), text(sheet.Apart)...), text("Guard on.")...)
	assert.Equal(t, "Mask on.\u00a0 Guard on.", prose.Words(apartOnCard(words)))
	words[0].Text = "mask on"
	assert.Equal(t, "mask on · Guard on.", prose.Words(apartOnCard(words)))
}
