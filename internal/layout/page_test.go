package layout

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/unicode/norm"
	"pgregory.net/rapid"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
	"coldwright/internal/typeface"
)

// letter is 8.5 × 11 in (ANSI/ASME Y14.1), a4Wide A4 turned (ISO 216).
var (
	letter = sheet.PageSetup{Paper: "Letter", Width: 215.9, Height: 279.4, Left: 20, Right: 12, Top: 11, Bottom: 9}
	a4Wide = sheet.PageSetup{Paper: "A4", Width: 297, Height: 210, Left: 14, Right: 12, Top: 11, Bottom: 8}
)

// placed is a text with its box: from the top of its capitals to the baseline.
type placed struct {
	draw.Text
	left, right, top, bottom draw.Unit
}

func texts(p draw.Page) []placed {
	var out []placed
	for _, r := range p.Runs {
		for _, it := range r.Items {
			t, ok := it.(draw.Text)
			if !ok {
				continue
			}
			trimmed := strings.TrimLeft(t.Text, " ")
			lk := look{style: t.Style, size: t.Size, spacing: t.Spacing}
			left := t.At.X + lk.width(t.Text[:len(t.Text)-len(trimmed)])
			out = append(out, placed{
				Text: t, left: left, right: t.At.X + lk.width(strings.TrimRight(t.Text, " ")),
				top: t.At.Y - typeface.Get(t.Style).CapHeight(t.Size), bottom: t.At.Y,
			})
		}
	}
	return out
}

// sound checks what holds of every page of every sheet: nothing outside the
// margins, no text on text, no heading at the foot, only characters the face
// holds.
func requireSound(t require.TestingT, s *sheet.Sheet, doc *draw.Document) {
	left, right := draw.MM(s.Page.Left), doc.Width-draw.MM(s.Page.Right)
	top, bottom := draw.MM(s.Page.Top), doc.Height-draw.MM(s.Page.Bottom)
	slack := draw.MM(.02)
	require.NotEmpty(t, doc.Pages)
	for n, page := range doc.Pages {
		all := texts(page)
		for i, a := range all {
			require.Emptyf(t, typeface.Get(a.Style).Missing(a.Text.Text), "page %d: %q", n+1, a.Text.Text)
			if s.Draft == nil {
				require.Truef(t, a.left >= left-slack && a.right <= right+slack && a.top >= top-slack && a.bottom <= bottom+slack,
					"page %d: %q at %s %s to %s leaves the margins", n+1, a.Text.Text, mm(a.left), mm(a.bottom), mm(a.right))
			}
			for _, b := range all[:i] {
				if a.left+slack < b.right && b.left+slack < a.right && a.top+slack < b.bottom && b.top+slack < a.bottom &&
					strings.TrimSpace(a.Text.Text) != "" && strings.TrimSpace(b.Text.Text) != "" {
					require.Failf(t, "text on text", "page %d: %q and %q at %s %s", n+1, a.Text.Text, b.Text.Text, mm(a.left), mm(a.bottom))
				}
			}
		}
		if s.Draft == nil {
			for _, r := range page.Runs {
				for _, it := range r.Items {
					requireInside(t, it, left-slack, right+slack, top-slack, bottom+slack)
				}
			}
		}
		if n+1 < len(doc.Pages) {
			requireNoHeadingAtFoot(t, page, n)
		}
		requireIdentity(t, s, page, n, len(doc.Pages))
	}
}

func requireInside(t require.TestingT, it draw.Item, left, right, top, bottom draw.Unit) {
	in := func(p draw.Point, grow draw.Unit) {
		require.Truef(t, p.X-grow >= left-draw.MM(.4) && p.X+grow <= right+draw.MM(.4) && p.Y >= top-draw.MM(.4) && p.Y <= bottom,
			"%T at %s %s leaves the margins", it, mm(p.X), mm(p.Y))
	}
	switch v := it.(type) {
	case draw.Line:
		in(v.From, 0)
		in(v.To, 0)
	case draw.Rect:
		in(v.At, 0)
		in(draw.Point{X: v.At.X + v.Width, Y: v.At.Y + v.Height}, 0)
	case draw.Picture:
		in(v.At, 0)
		in(draw.Point{X: v.At.X + v.Width, Y: v.At.Y + v.Height}, 0)
	case draw.Path:
		for _, s := range v.Segs {
			if s.Op != draw.Close {
				in(s.P[0], 0)
			}
		}
	}
}

// requireNoHeadingAtFoot: below every heading stands something that is none.
func requireNoHeadingAtFoot(t require.TestingT, page draw.Page, n int) {
	var lowest, heading draw.Unit
	words := ""
	for _, r := range page.Runs {
		for _, it := range r.Items {
			v, ok := it.(draw.Text)
			if !ok || r.Role == draw.Artifact {
				continue
			}
			switch r.Role {
			case draw.Heading2, draw.Heading3, draw.TableHead:
				if v.At.Y > heading {
					heading, words = v.At.Y, v.Text
				}
			default:
				lowest = max(lowest, v.At.Y)
			}
		}
	}
	require.Truef(t, heading == 0 || lowest > heading, "page %d ends with the heading %q:\n%s", n+1, words, Dump(&draw.Document{Pages: []draw.Page{page}}))
}

// requireIdentity: every face carries id, revision, date, approver and its own
// number, whatever else it holds (ISO 9001, 7.5.3).
func requireIdentity(t require.TestingT, s *sheet.Sheet, page draw.Page, n, of int) {
	all := ""
	for _, p := range texts(page) {
		all += p.Text.Text
	}
	all = bare(all)
	for _, want := range []string{s.ID, fmt.Sprintf("rev%d", s.Revision), s.Effective, s.Approved, fmt.Sprintf("page%dof%d", n+1, of), s.Foot} {
		require.Containsf(t, all, bare(want), "page %d", n+1)
	}
	if s.Draft != nil {
		require.GreaterOrEqual(t, strings.Count(all, "DRAFT"), 3)
	}
}

// manySteps is a sheet of n steps and m surfaces.
func manySteps(n, m int, title string) *sheet.Sheet {
	s := weight()
	s.Title, s.Meta.Title = title, title
	steps := weightSteps()
	var blocks []sheet.Block
	for _, b := range s.Blocks {
		switch b := b.(type) {
		case sheet.SurfaceTable:
			rows := b.Rows
			b.Rows = nil
			for i := range m {
				b.Rows = append(b.Rows, rows[i%len(rows)])
			}
			blocks = append(blocks, b)
		case sheet.StepTable:
			rows := b.Rows
			b.Rows = nil
			for i := range n {
				r := rows[i%len(rows)]
				r.Number = i + 1
				b.Rows = append(b.Rows, r)
			}
			blocks = append(blocks, b)
		case sheet.Ladder:
			rows := b.Rows
			b.Rows = nil
			for i := range n {
				r := rows[i%len(rows)]
				r.Numbers = strconv.Itoa(i + 1)
				b.Rows = append(b.Rows, r)
			}
			for range min(m, 3) {
				blocks = append(blocks, b)
			}
		case sheet.StepInFull:
			if b.Number > 1 {
				continue
			}
			for i := range n {
				st := steps[i%len(steps)].(sheet.StepInFull)
				st.Number, st.Anchor = i+1, fmt.Sprintf("step-%d", i+1)
				blocks = append(blocks, st)
			}
		default:
			blocks = append(blocks, b)
		}
	}
	s.Blocks = blocks
	return s
}

func TestPagesOfEverySize(t *testing.T) {
	testkit.Long(t)
	long := "Kiln-cast bowl of lead crystal with a bright rim, a fine matte outside and an inside left as it came out of the mould twice"
	require.GreaterOrEqual(t, len(long), 120)
	for _, page := range []sheet.PageSetup{a4, letter, a4Wide} {
		for _, steps := range []int{1, 3, 19, 60} {
			for _, surfaces := range []int{1, 9} {
				for _, title := range []string{"Cup", long} {
					s := manySteps(steps, surfaces, title)
					s.Page = page
					doc, found := Lay(s)
					assert.Empty(t, found)
					requireSound(t, s, doc)
					assert.InDelta(t, page.Width, doc.Width.Millimetres(), .001)
					assert.InDelta(t, page.Height, doc.Height.Millimetres(), .001)
				}
			}
		}
	}
}

func TestDraftOfEverySize(t *testing.T) {
	for _, reason := range []string{"not approved, not for the bench", strings.Repeat("12 findings stop it, not for the bench, ", 6)} {
		s := manySteps(3, 3, "Cup")
		s.Approved, s.Draft = "", &sheet.Draft{Reason: reason}
		doc, _ := Lay(s)
		requireSound(t, s, doc)
	}
}

// The head of a table stands again on every page it goes on to.
func TestStepTableHeadRepeats(t *testing.T) {
	doc, _ := Lay(manySteps(60, 1, "Cup"))
	seen := 0
	for n, p := range doc.Pages {
		rows, heads := 0, 0
		for _, r := range p.Runs {
			for _, it := range r.Items {
				if v, ok := it.(draw.Text); ok {
					if r.Role == draw.TableCell && v.Size == settingSize {
						rows++
					}
					if v.Text == "Machine, speed" {
						heads++
					}
				}
			}
		}
		if rows > 0 {
			seen++
			assert.Equalf(t, 1, heads, "page %d", n+1)
		}
	}
	assert.Greater(t, seen, 2)
}

// Minutes stand flush right, one under the other, and the first lines of a row
// on one baseline.
func TestFiguresLineUp(t *testing.T) {
	doc, _ := Lay(weight())
	rights, bases := map[draw.Unit]int{}, map[draw.Unit]map[string]bool{}
	for _, p := range texts(doc.Pages[0]) {
		if p.Size == headSize && (p.Text.Text == "4" || p.Text.Text == "8" || p.Text.Text == "10" || p.Text.Text == "5") {
			rights[p.right]++
		}
		if p.At.Y > draw.MM(170) {
			if bases[p.At.Y] == nil {
				bases[p.At.Y] = map[string]bool{}
			}
			bases[p.At.Y][strings.TrimSpace(p.Text.Text)] = true
		}
	}
	require.Len(t, rights, 1)
	shared := false
	for _, row := range bases {
		shared = shared || row["2"] && row["Flatten the base"] && row["base"] && row["F220"] && row["150"] && row["drip"] && row["8"] && row["B"]
	}
	assert.True(t, shared, "the first words of a row share a baseline")
	// The settings of all steps stand at the same places.
	at := map[string]map[draw.Unit]bool{}
	for _, page := range doc.Pages {
		for _, p := range texts(page) {
			if p.Size == settingSize && (strings.HasPrefix(p.Text.Text, "150") || p.Text.Text == "damp" || p.Text.Text == "drip") {
				k := p.Text.Text[:1]
				if at[k] == nil {
					at[k] = map[draw.Unit]bool{}
				}
				at[k][p.left] = true
			}
		}
	}
	for k, places := range at {
		assert.Lenf(t, places, 1, "settings that begin with %q", k)
	}
}

// A step that fits on a page is never cut.
func TestStepsStayWhole(t *testing.T) {
	doc, _ := Lay(manySteps(19, 3, "Cup"))
	for _, p := range doc.Pages {
		assert.NotContains(t, allText(&draw.Document{Pages: []draw.Page{p}}), "(continued)")
	}
}

// A step longer than a page is cut between its parts and says so.
func TestLongStepGoesOn(t *testing.T) {
	s := weight()
	st := weightSteps()[1].(sheet.StepInFull)
	var parts []sheet.Part
	for i := range 60 {
		parts = append(parts, sheet.Part{Kind: sheet.Order, Mark: fmt.Sprintf("%d.", i+1), Words: text("Go round once more, lightly, and look at the whole face before the next pass over it is begun.")})
	}
	st.Parts = append(parts, st.Parts...)
	s.Blocks = []sheet.Block{st}
	doc, _ := Lay(s)
	requireSound(t, s, doc)
	require.Greater(t, len(doc.Pages), 1)
	for _, p := range doc.Pages[1:] {
		assert.Contains(t, allText(&draw.Document{Pages: []draw.Page{p}}), "Flatten the base  (continued)")
	}
}

func TestLinksAndBookmarksLeadSomewhere(t *testing.T) {
	doc, _ := Lay(weight())
	anchors, links := map[string]int{}, map[string]bool{}
	for _, p := range doc.Pages {
		for _, r := range p.Runs {
			for _, it := range r.Items {
				switch v := it.(type) {
				case draw.Anchor:
					anchors[v.Name]++
				case draw.Text:
					if strings.HasPrefix(v.Link, "#") {
						links[v.Link[1:]] = true
					}
				}
			}
		}
	}
	require.NotEmpty(t, links)
	for l := range links {
		assert.Equalf(t, 1, anchors[l], "%s", l)
	}
	require.Len(t, doc.Bookmarks, 6)
	for _, b := range doc.Bookmarks {
		assert.Equalf(t, 1, anchors[b.Anchor], "%s", b.Anchor)
	}
	assert.Equal(t, "2 Flatten the base", doc.Bookmarks[1].Title)
}

// The same sheet gives the same drawing.
func TestSameSheetSameDrawing(t *testing.T) {
	a, _ := Lay(weight())
	b, _ := Lay(weight())
	assert.Equal(t, Dump(a), Dump(b))
}

// anyBlocks is prose of any shape. Words hold no marks a list or table would
// set of its own accord.
func anyBlocks(depth int) *rapid.Generator[[]prose.Block] {
	return rapid.Custom(func(t *rapid.T) []prose.Block {
		n := rapid.IntRange(0, 4).Draw(t, "blocks")
		if depth < 4 {
			n++
		}
		out := make([]prose.Block, n)
		for i := range out {
			out[i] = anyBlock(depth).Draw(t, "block")
		}
		if n > 0 {
			// A heading with nothing under it has nothing to stay with.
			out = append(out, para("end"))
		}
		return out
	})
}

func anyWords() *rapid.Generator[[]prose.Inline] {
	return rapid.Custom(func(t *rapid.T) []prose.Inline {
		n := rapid.IntRange(1, 5).Draw(t, "runs")
		out := make([]prose.Inline, n)
		for i := range out {
			words := prose.Inline{Kind: prose.Text, Text: anyText().Draw(t, "text")}
			kind := rapid.SampledFrom([]prose.InlineKind{prose.Text, prose.Emphasis, prose.Strong, prose.Strike, prose.Code, prose.Soft, prose.Raw}).Draw(t, "kind")
			switch kind {
			case prose.Text:
				out[i] = words
			case prose.Code, prose.Raw:
				out[i] = prose.Inline{Kind: kind, Text: words.Text}
			case prose.Soft:
				out[i] = prose.Inline{Kind: kind}
			default:
				out[i] = prose.Inline{Kind: kind, Children: []prose.Inline{words}}
			}
		}
		return out
	})
}

func anyBlock(depth int) *rapid.Generator[prose.Block] {
	return rapid.Custom(func(t *rapid.T) prose.Block {
		kinds := []prose.BlockKind{prose.Paragraph, prose.Paragraph, prose.Heading, prose.CodeBlock, prose.RawBlock, prose.Rule, prose.Table}
		if depth > 0 {
			kinds = append(kinds, prose.Quote, prose.List)
		}
		b := prose.Block{Kind: rapid.SampledFrom(kinds).Draw(t, "kind")}
		switch b.Kind {
		case prose.Paragraph, prose.Heading:
			b.Level = rapid.IntRange(1, 6).Draw(t, "level")
			b.Inlines = anyWords().Draw(t, "words")
		case prose.CodeBlock, prose.RawBlock:
			b.Text = "x" + anyText().Draw(t, "code")
		case prose.Quote:
			b.Blocks = anyBlocks(depth-1).Draw(t, "inner")
		case prose.List:
			b.Ordered, b.Start, b.Tight = rapid.Bool().Draw(t, "ordered"), rapid.IntRange(0, 1_000_000).Draw(t, "start"), rapid.Bool().Draw(t, "tight")
			for range rapid.IntRange(1, 4).Draw(t, "items") {
				b.Blocks = append(b.Blocks, prose.Block{Kind: prose.Item, Blocks: anyBlocks(depth-1).Draw(t, "inner"), Task: rapid.SampledFrom([]string{"", " ", "x"}).Draw(t, "task")})
			}
		case prose.Table:
			columns := rapid.IntRange(1, 12).Draw(t, "columns")
			for range rapid.IntRange(2, 5).Draw(t, "rows") {
				var row [][]prose.Inline
				for range rapid.IntRange(1, columns).Draw(t, "cells") {
					row = append(row, append(text("x"), anyWords().Draw(t, "cell")...))
				}
				b.Rows = append(b.Rows, row)
			}
			b.Aligns = []prose.Align{prose.Left, prose.Right, prose.Centre}
		}
		return b
	})
}

// Whatever an author writes is laid within the margins, no text on another,
// and nothing is lost.
func TestAnyProse(t *testing.T) {
	testkit.Long(t)
	rapid.Check(t, func(t *rapid.T) {
		blocks := anyBlocks(4).Draw(t, "prose")
		s := weight()
		st := weightSteps()[0].(sheet.StepInFull)
		st.Parts = append(st.Parts, sheet.Part{Kind: sheet.Order, Words: anyWords().Draw(t, "order"), Blocks: blocks})
		st.Title = anyWords().Draw(t, "title")
		st.Settings.Medium.Big = anyText().Draw(t, "medium")
		s.Blocks = []sheet.Block{
			sheet.Purpose{Blocks: blocks},
			sheet.Stop{Words: anyText().Draw(t, "stop")},
			sheet.Cautions{
				Panels: []sheet.CautionNote{{Signal: trade.Warning, Rich: blocks, Sign: "W012"}, {Signal: trade.Notice, Title: "t", Words: anyText().Draw(t, "words")}},
				Lines:  []sheet.CautionNote{{Signal: trade.Caution, Rich: blocks}, {Signal: trade.Notice, Words: anyText().Draw(t, "line")}},
			},
			st, sheet.Notes{Blocks: blocks},
		}
		doc, _ := Lay(s)
		requireSound(t, s, doc)
		requireWords(t, doc, blocks)
	})
}

// requireWords finds the words of every paragraph, whole and in order.
func requireWords(t require.TestingT, doc *draw.Document, blocks []prose.Block) {
	var all strings.Builder
	for _, p := range doc.Pages {
		for _, r := range p.Runs {
			if r.Role == draw.Artifact {
				continue
			}
			for _, it := range r.Items {
				if v, ok := it.(draw.Text); ok {
					all.WriteString(v.Text)
				}
			}
		}
	}
	rest := dashless(all.String())
	for _, want := range paragraphs(blocks) {
		i := strings.Index(rest, want)
		require.GreaterOrEqualf(t, i, 0, "%q is lost or out of order", want)
		rest = rest[i+len(want):]
	}
}

// dashless is text without spaces and hyphens, as line breaks may add those.
func dashless(s string) string { return norm.NFD.String(strings.ReplaceAll(bare(s), "-", "")) }

// paragraphs are the words of prose as they must print.
func paragraphs(blocks []prose.Block) []string {
	var out []string
	shown := func(text string) {
		var s setter
		s.load(spans(body(), text), false)
		if p := dashless(string(s.buf)); p != "" {
			out = append(out, p)
		}
	}
	for _, b := range blocks {
		if len(b.Inlines) > 0 {
			shown(prose.Words(b.Inlines))
		}
		if b.Text != "" {
			shown(b.Text)
		}
		out = append(out, paragraphs(b.Blocks)...)
	}
	return out
}
