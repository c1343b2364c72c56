package layout

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
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

// demoBook binds the demo house, each recipe several times under other names.
func demoBook(t *testing.T, times int) *sheet.Book {
	t.Helper()
	root := filepath.Join(testkit.Root(t), "recipes")
	text, err := os.ReadFile(filepath.Join(root, "shop.yaml"))
	require.NoError(t, err)
	var found diag.List
	h := trade.Lay(source.New("shop.yaml", text), &found)
	parser := parse.New(h)
	var entries []sheet.BookEntry
	for n := range times {
		for _, path := range testkit.Files(t, root, "*.md") {
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			id := strings.TrimSuffix(filepath.Base(path), ".md")
			if n > 0 {
				text = []byte(strings.Replace(string(text), "recipe: "+id, fmt.Sprintf("recipe: %s-%d", id, n), 1))
				id = fmt.Sprintf("%s-%d", id, n)
			}
			r, _ := parser.Parse(source.New(id+".md", text))
			p := process.Of(r, h)
			entries = append(entries, sheet.BookEntry{Anchor: id, Plan: p, Sheet: func() (*sheet.Sheet, diag.List) {
				return sheet.Build(p, sheet.FindDesign("process sheet"), sheet.Options{})
			}})
		}
	}
	left := []sheet.Left{{ID: "broken", Title: "A broken one", Why: "a finding stops its print"}}
	book, bad := sheet.BuildBook(h, sheet.FindDesign("house book"), entries, left, sheet.Options{})
	require.Empty(t, bad)
	return book
}

// bindWhole binds a book and has all its pages drawn.
func bindWhole(k *sheet.Book) *Bound {
	bound := Bind(k)
	for _, part := range bound.Parts {
		bound.Pages = append(bound.Pages, part()...)
	}
	return bound
}

// Every number of a page that the contents, the register and the index print is
// that of the page it leads to, and every page says its own number.
func TestBookNumbersLeadWhereTheySay(t *testing.T) {
	testkit.Long(t)
	for _, times := range []int{1, 9} {
		book := demoBook(t, times)
		bound := bindWhole(book)
		require.Len(t, bound.Pages, bound.Total)
		pageOf := map[string]int{}
		for i, p := range bound.Pages {
			for _, r := range p.Runs {
				for _, it := range r.Items {
					if a, ok := it.(draw.Anchor); ok {
						require.NotContains(t, pageOf, a.Name, "a place stands once")
						pageOf[a.Name] = i + 1
					}
				}
			}
		}
		numbers := 0
		for i, p := range bound.Pages {
			words := strings.ReplaceAll(pageWords(p), "\u00a0", " ")
			assert.Contains(t, words, fmt.Sprintf("page %d of %d", i+1, len(bound.Pages)))
			ofHouse := strings.Contains(words, "house book")
			for _, x := range texts(p) {
				to, linked := strings.CutPrefix(x.Text.Link, "#")
				if !linked {
					continue
				}
				require.Contains(t, pageOf, to, "a link leads nowhere")
				if n, err := strconv.Atoi(x.Text.Text); ofHouse && err == nil {
					assert.Equalf(t, pageOf[to], n, "page %d: %s", i+1, to)
					numbers++
				}
			}
		}
		// Each recipe stands in the contents, the register and at least five
		// times in the index.
		assert.Greater(t, numbers, 7*5*times)
		for _, m := range bound.Bookmarks {
			assert.Contains(t, pageOf, m.Anchor, m.Title)
		}
		for _, list := range bound.Found {
			assert.Empty(t, list)
		}
		assert.Empty(t, bound.Sections)
	}
}

// Nothing stands on anything, or outside the margins, on any page of a book.
func TestBookPagesAreSound(t *testing.T) {
	book := demoBook(t, 9)
	bound := bindWhole(book)
	p := book.Page
	left, right, slack := draw.MM(p.Left), bound.Width-draw.MM(p.Right), draw.MM(.02)
	for n, page := range bound.Pages {
		all := texts(page)
		for i, a := range all {
			require.Truef(t, a.left >= left-slack && a.right <= right+slack && a.bottom <= bound.Height-draw.MM(p.Bottom)+slack, "page %d: %q leaves the margins", n+1, a.Text.Text)
			for _, b := range all[:i] {
				if a.left+slack < b.right && b.left+slack < a.right && a.top+slack < b.bottom && b.top+slack < a.bottom {
					require.Failf(t, "text on text", "page %d: %q and %q", n+1, a.Text.Text, b.Text.Text)
				}
			}
		}
		if n+1 < len(bound.Pages) {
			requireNoHeadingAtFoot(t, page, n)
		}
	}
}

// The mark of a book moves with any of its recipes, and with what it leaves out.
func TestBookMark(t *testing.T) {
	mark := func(change func(k *sheet.Book)) string {
		k := demoBook(t, 1)
		change(k)
		Bind(k)
		return k.Front[0].Mark.String()
	}
	same := mark(func(*sheet.Book) {})
	assert.Equal(t, same, mark(func(*sheet.Book) {}))
	assert.NotEqual(t, same, mark(func(k *sheet.Book) {
		build := k.Entries[2].Sheet
		k.Entries[2].Sheet = func() (*sheet.Sheet, diag.List) {
			s, found := build()
			s.Title += "."
			s.Stamp()
			return s, found
		}
	}))
}

func TestBookGolden(t *testing.T) {
	book := demoBook(t, 1)
	bound := bindWhole(book)
	requireContrast(t, bound.Document)
	var keep []draw.Page
	for _, p := range bound.Pages {
		if strings.Contains(pageWords(p), "house book") {
			keep = append(keep, p)
		}
	}
	doc := *bound.Document
	doc.Pages = keep
	// The mark moves with every word of every recipe; the rest of these pages
	// does not.
	var lines []string
	for line := range strings.Lines(Dump(&doc)) {
		if strings.Contains(line, book.Front[0].Mark.String()) || strings.Contains(line, "path of") && strings.Contains(line, "from 185.49 11.00") {
			continue
		}
		lines = append(lines, line)
	}
	testkit.Golden(t, testkit.Data(t, "layout", "house-book.txt"), []byte(strings.Join(lines, "")))
}
