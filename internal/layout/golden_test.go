package layout

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/testkit"
)

// part of the weight's sheet: its blocks that keep says yes to.
func some(keep func(sheet.Block) bool) *sheet.Sheet {
	s := weight()
	var blocks []sheet.Block
	for _, b := range s.Blocks {
		if keep(b) {
			blocks = append(blocks, b)
		}
	}
	s.Blocks = blocks
	return s
}

func TestGolden(t *testing.T) {
	draft := some(func(b sheet.Block) bool { _, ok := b.(sheet.Purpose); return ok })
	draft.Draft, draft.Approved = &sheet.Draft{Reason: "not approved, not for the bench", Short: "not approved"}, ""
	draft.Standing = []string{"The house counts wheel-speed as a warning only: it trues the wheel weekly."}
	written := some(func(sheet.Block) bool { return false })
	written.Page = letter
	written.Blocks = []sheet.Block{sheet.Notes{Blocks: everyProse(), Footnotes: []prose.Block{
		{Kind: prose.FootnoteText, Index: 1, Blocks: []prose.Block{para("Trued wet.")}},
	}}}
	for name, s := range map[string]*sheet.Sheet{
		"draft": draft,
		"head-and-cautions": some(func(b sheet.Block) bool {
			switch b.(type) {
			case sheet.SurfaceTable, sheet.Piece, sheet.Stop, sheet.Cautions, sheet.Places:
				return true
			}
			return false
		}),
		"ladder":     some(func(b sheet.Block) bool { _, ok := b.(sheet.Ladder); return ok }),
		"step-table": some(func(b sheet.Block) bool { _, ok := b.(sheet.StepTable); return ok }),
		"steps": some(func(b sheet.Block) bool {
			st, ok := b.(sheet.StepInFull)
			return ok && (st.Number == 2 || st.Number == 4 || st.Number == 5)
		}),
		"end": some(func(b sheet.Block) bool {
			switch b.(type) {
			case sheet.Amounts, sheet.Changes, sheet.Notes, sheet.SignOff:
				return true
			}
			return false
		}),
		"prose": written,
	} {
		t.Run(name, func(t *testing.T) {
			doc, found := Lay(s)
			assert.Empty(t, found)
			if name != "steps" {
				// Cut out of their sheet, two steps link to one that is not there.
				requireSound(t, s, doc)
			}
			testkit.Golden(t, testkit.Data(t, "layout", name+".txt"), []byte(Dump(doc)))
		})
	}
}

// everyProse has each kind of block and word once.
func everyProse() []prose.Block {
	in := func(k prose.InlineKind, words string) prose.Inline {
		return prose.Inline{Kind: k, Children: text(words)}
	}
	plain := func(words string) prose.Inline { return prose.Inline{Kind: prose.Text, Text: words} }
	cells := func(words ...string) [][]prose.Inline {
		row := make([][]prose.Inline, len(words))
		for i, w := range words {
			row[i] = text(w)
		}
		return row
	}
	item := func(task string, blocks ...prose.Block) prose.Block {
		return prose.Block{Kind: prose.Item, Task: task, Tight: true, Blocks: blocks}
	}
	return []prose.Block{
		{Kind: prose.Heading, Level: 1, Inlines: text("Notes")},
		{Kind: prose.Paragraph, Inlines: []prose.Inline{
			plain("Plain, "), in(prose.Strong, "bold"), plain(", "), in(prose.Emphasis, "italic"), plain(", "),
			{Kind: prose.Code, Text: "code"}, plain(", "), in(prose.Strike, "struck"), plain(", "),
			{Kind: prose.Link, Target: "https://example.org/lap", Children: text("a link")}, plain(", a mark"),
			{Kind: prose.Footnote, Index: 1}, plain(","), {Kind: prose.Soft}, {Kind: prose.Raw, Text: "<b>"},
			{Kind: prose.Break}, plain("and a line of its own."),
		}},
		{Kind: prose.List, Ordered: true, Start: 3, Tight: true, Blocks: []prose.Block{
			item("", para("Third")),
			item("", para("Fourth"), prose.Block{Kind: prose.List, Tight: true, Blocks: []prose.Block{
				item("", para("inside")), item(" ", para("to do")), item("x", para("done")),
			}}),
		}},
		{Kind: prose.Quote, Blocks: []prose.Block{para("Said once."), {Kind: prose.Quote, Blocks: []prose.Block{para("Said twice.")}}}},
		{Kind: prose.CodeBlock, Text: "one\n    two  three\n"},
		{Kind: prose.RawBlock, Text: "<div>\n  raw\n</div>\n"},
		{Kind: prose.Rule},
		{Kind: prose.Table, Aligns: []prose.Align{prose.Left, prose.Centre, prose.Right}, Rows: [][][]prose.Inline{
			cells("Grit", "Leaves", "µm"), cells("F220", "grey", "58"), cells("F400", "fine grey", "17.3"),
		}},
		{Kind: prose.Paragraph, Inlines: []prose.Inline{plain("See "), {Kind: prose.Image, Target: "gone.png", Children: text("How it is held")}}},
	}
}

// A table too wide for its columns names every field instead.
func TestWideTableBecomesAList(t *testing.T) {
	var head, row [][]prose.Inline
	for range 14 {
		head = append(head, text("Microcrystalline"))
		row = append(row, text("unbreakableword"))
	}
	s := weight()
	s.Blocks = []sheet.Block{sheet.Notes{Blocks: []prose.Block{{Kind: prose.Table, Rows: [][][]prose.Inline{head, row, row}}}}}
	doc, _ := Lay(s)
	requireSound(t, s, doc)
	assert.Equal(t, 28, strings.Count(bare(allText(doc)), "Microcrystalline:unbreakableword"))
}

// Where a link leads stands in print, unless its words say so; only what a
// reader of the file can follow is a link.
func TestLinksInPrint(t *testing.T) {
	s := weight()
	link := func(target, words string) prose.Block {
		return prose.Block{Kind: prose.Paragraph, Inlines: []prose.Inline{{Kind: prose.Link, Target: target, Children: text(words)}}}
	}
	s.Blocks = []sheet.Block{sheet.Notes{Blocks: []prose.Block{
		link("https://example.org/a", "one"), link("https://example.org/b", "https://example.org/b"),
		link("other.md", "two"), link("#nowhere", "three"), link("javascript:x", "four"),
	}}}
	doc, _ := Lay(s)
	all := bare(allText(doc))
	assert.Contains(t, all, "one(https://example.org/a)https://example.org/btwo(other.md)threefour(javascript:x)")
	links := 0
	for _, p := range texts(doc.Pages[0]) {
		if p.Link != "" {
			links++
			assert.True(t, strings.HasPrefix(p.Link, "https://example.org/"))
		}
	}
	assert.Equal(t, 2, links)
}

// Pictures stand at the width of their samples, never beyond 150 to the inch
// in the column of a step, 300 in the text.
func TestPictureSizes(t *testing.T) {
	w, h := pictureSize(grey(590, 295), draw.MM(50), draw.MM(90), true)
	assert.InDelta(t, 50, w.Millimetres(), .01)
	assert.InDelta(t, 25, h.Millimetres(), .02)
	w, _ = pictureSize(grey(150, 150), draw.MM(50), draw.MM(90), true)
	assert.InDelta(t, 25.4, w.Millimetres(), .01)
	w, _ = pictureSize(grey(600, 300), draw.MM(170), draw.MM(90), false)
	assert.InDelta(t, 50.8, w.Millimetres(), .01)
	_, h = pictureSize(grey(10, 3000), draw.MM(170), draw.MM(90), false)
	assert.InDelta(t, 90, h.Millimetres(), .01)
}
