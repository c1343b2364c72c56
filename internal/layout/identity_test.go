package layout

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/stamp"
	"coldwright/internal/typeface"
)

// squareOf is the square code of a page: the one path of many straight edges
// that stands right of everything else in the head.
func squareOf(t require.TestingT, p draw.Page) draw.Path {
	var found []draw.Path
	for _, r := range p.Runs {
		for _, it := range r.Items {
			if path, ok := it.(draw.Path); ok && r.Role == draw.Artifact && len(r.Items) == 1 && len(path.Segs) > 200 && straightOnly(path) {
				found = append(found, path)
			}
		}
	}
	require.Len(t, found, 1, "one square a page, drawn as one path")
	return found[0]
}

func straightOnly(p draw.Path) bool {
	var last draw.Point
	for _, s := range p.Segs {
		if s.Op == draw.CurveTo || s.Op == draw.LineTo && (s.P[0].X == last.X) == (s.P[0].Y == last.Y) {
			return false
		}
		last = s.P[0]
	}
	return true
}

// bounds of a path.
func bounds(p draw.Path) (left, top, right, bottom draw.Unit) {
	left, top = p.Segs[0].P[0].X, p.Segs[0].P[0].Y
	for _, s := range p.Segs {
		if s.Op == draw.Close {
			continue
		}
		left, right = min(left, s.P[0].X), max(right, s.P[0].X)
		top, bottom = min(top, s.P[0].Y), max(bottom, s.P[0].Y)
	}
	return
}

// requireQuiet: nothing stands in the quiet zone of the square, the edge of the
// paper included.
func requireQuiet(t require.TestingT, doc *draw.Document, page draw.Page) {
	left, top, right, bottom := bounds(squareOf(t, page))
	quiet := draw.Unit(stamp.Quiet) * module
	require.GreaterOrEqual(t, left, quiet)
	require.GreaterOrEqual(t, top, quiet)
	require.GreaterOrEqual(t, doc.Width-right, quiet)
	left, top, right, bottom = left-quiet, top-quiet, right+quiet, bottom+quiet
	clear := func(what string, l, tp, r, b draw.Unit) {
		require.Truef(t, r <= left || l >= right || b <= top || tp >= bottom, "%s in the quiet zone", what)
	}
	for _, r := range page.Runs {
		for _, it := range r.Items {
			switch it := it.(type) {
			case draw.Text:
				w := look{style: it.Style, size: it.Size, spacing: it.Spacing}.width(it.Text)
				clear(it.Text, it.At.X, it.At.Y-typeface.Get(it.Style).CapHeight(it.Size), it.At.X+w, it.At.Y)
			case draw.Line:
				clear("line", min(it.From.X, it.To.X), min(it.From.Y, it.To.Y)-it.Width/2, max(it.From.X, it.To.X), max(it.From.Y, it.To.Y)+it.Width/2)
			case draw.Rect:
				clear("box", it.At.X, it.At.Y, it.At.X+it.Width, it.At.Y+it.Height)
			}
		}
	}
}

// The block is the same on every face: four lines, and the square at the top
// right with its quiet zone clear, whatever stands beside it.
func TestIdentityBlock(t *testing.T) {
	long := strings.TrimSpace(strings.Repeat("Cased overlay goblet with a cut foot and a polished lip ", 3))[:120]
	longest := strings.Repeat("cast-weight-", 6)[:64]
	for _, c := range []struct {
		name, id, title string
		modules         int
		change          func(*sheet.Sheet)
	}{
		{"plain", "cast-weight", "Cast paperweight", 25, nil},
		{"short", "b", "Rim", 21, nil},
		{"long title", "cast-weight", long, 25, nil},
		{"id of 29 letters with the mark", "cast-weight-la", long, 25, nil},
		{"one letter more", "cast-weight-lar", long, 29, nil},
		{"longest id", longest, long, 37, nil},
		{"draft", "cast-weight", long, 25, func(s *sheet.Sheet) {
			s.Draft, s.Approved = &sheet.Draft{Reason: "not approved, not for the bench", Short: "not approved"}, ""
		}},
		{"draft, longest id", longest, long, 37, func(s *sheet.Sheet) {
			s.Draft, s.Approved = &sheet.Draft{Reason: "a draft of an approved recipe, not for the bench", Short: "not for the bench"}, ""
		}},
		{"letter", "cast-weight", long, 25, func(s *sheet.Sheet) { s.Page = letter }},
		{"long name", "cast-weight", long, 25, func(s *sheet.Sheet) { s.Approved = strings.Repeat("the lead of the grinding hall ", 4) }},
		{"standing", "cast-weight", long, 25, func(s *sheet.Sheet) { s.Standing = []string{"The house only warns of this: so."} }},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := weight()
			s.ID, s.Title = c.id, c.title
			if c.change != nil {
				c.change(s)
			}
			doc, _ := Lay(s)
			requireSound(t, s, doc)
			var first draw.Path
			for i, page := range doc.Pages {
				requireQuiet(t, doc, page)
				path := squareOf(t, page)
				left, top, right, bottom := bounds(path)
				assert.Equal(t, draw.Unit(c.modules)*module, right-left)
				assert.Equal(t, right-left, bottom-top)
				assert.Equal(t, doc.Width-draw.MM(s.Page.Right), right, "flush with the right margin")
				if i == 0 {
					first = path
				}
				assert.Equal(t, first, path, "the same at the same place on every page")
				all := bare(pageWords(page))
				for _, want := range []string{s.Mark.String(), fmt.Sprintf("page%dof%d", i+1, len(doc.Pages))} {
					assert.Contains(t, all, want)
				}
				if s.Draft != nil {
					assert.Contains(t, all, "nocopyno.")
					assert.NotContains(t, all, "copy3")
				} else {
					assert.Contains(t, all, "copy3")
				}
			}
		})
	}
	// A module is .5 mm or more (readable on a worn, wet page by a telephone).
	assert.GreaterOrEqual(t, module.Millimetres(), .5)
}

// Without a copy number the line says nothing of one, and nothing moves.
func TestNoCopyNumber(t *testing.T) {
	s := weight()
	with, _ := Lay(s)
	s.Copy = 0
	without, _ := Lay(s)
	assert.NotContains(t, allText(without), "copy")
	assert.Equal(t, squareOf(t, with.Pages[1]), squareOf(t, without.Pages[1]))
	assert.Equal(t, find(t, with.Pages[1], "approved:").At, find(t, without.Pages[1], "approved:").At)
}
