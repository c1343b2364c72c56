package cli

import (
	"bytes"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/layout"
	"coldwright/internal/pdf"
	"coldwright/internal/process"
	"coldwright/internal/sheet"
	"coldwright/internal/testkit"
)

// TestBookOfEverySize binds recipes of several sizes and reads the book back:
// within the margins, nothing on anything, amounts whole, the step tables
// with their heads, and the numbers of the contents one under the other.
func TestBookOfEverySize(t *testing.T) {
	tool(t, "pdftotext", "poppler-utils")
	api.DisableConfigDir()
	d := newDemo(t)
	var entries []sheet.BookEntry
	all := ""
	for _, m := range []made{everySize[1], everySize[2], everySize[4]} {
		p := process.Of(d.read(t, m), d.house)
		all += m.text()
		entries = append(entries, sheet.BookEntry{Anchor: m.id(), Plan: p, Sheet: func() (*sheet.Sheet, diag.List) {
			return sheet.Build(p, sheet.FindDesign("process sheet"), sheet.Options{Pictures: d.shown})
		}})
	}
	book, found := sheet.BuildBook(d.house, sheet.FindDesign("house book"), entries, nil, sheet.Options{})
	require.Empty(t, found)
	bound := layout.Bind(book)
	var written bytes.Buffer
	require.NoError(t, pdf.WriteParts(&written, bound.Document, bound.Parts))
	file := written.Bytes()
	require.NoError(t, api.Validate(bytes.NewReader(file), nil))
	words := requirePaper(t, "house book", file, book.Page)
	requireAmountsWhole(t, "house book", all, words)
	edge := (book.Page.Width - book.Page.Right) * 72 / 25.4
	numbers := 0
	number := regexp.MustCompile(`^\d+$`)
	for _, w := range words {
		if w.page == 2 && number.MatchString(w.text) && w.size > 13 && w.left > edge/2 {
			numbers++
			assert.InDelta(t, edge, w.right, .6, "%+v", w)
		}
	}
	assert.GreaterOrEqual(t, numbers, len(entries)+3)
}

// shade is the relative luminance of WCAG 2.2.
func shade(dot [3]byte) float64 {
	channel := func(v byte) float64 {
		c := float64(v) / 255
		if c <= .04045 {
			return c / 12.92
		}
		return math.Pow((c+.055)/1.055, 2.4)
	}
	return .2126*channel(dot[0]) + .7152*channel(dot[1]) + .0722*channel(dot[2])
}

// TestContrastOnPaper measures every word of a page of each design in the dots
// a printer would set: 7:1 against its ground (WCAG 2.2, 1.4.6), the words of
// signal panels 4.5:1 (1.4.3).
func TestContrastOnPaper(t *testing.T) {
	testkit.Long(t)
	tool(t, "pdftoppm", "poppler-utils")
	out := t.TempDir()
	recipes := filepath.Join(testkit.Root(t), "recipes")
	one := filepath.Join(recipes, "cast-weight.md")
	var said bytes.Buffer
	for _, args := range [][]string{
		{one}, {one, "--draft", "--paper", "Letter"}, {one, "--as", "bench card"}, {one, "--as", "training sheet"},
		{recipes, "--as", "grade chart"}, {recipes, "--as", "house book"},
	} {
		Main(append([]string{"print", "--today", "2026-11-25", "--out", out}, args...), strings.NewReader(""), &said, &said)
	}
	const dpi = 100
	signal := map[string]bool{"DANGER": true, "WARNING": true, "CAUTION": true, "NOTICE": true}
	files := testkit.Files(t, out, "*.pdf")
	require.Len(t, files, 6, said.String())
	for _, path := range files {
		file := testkit.Read(t, path)
		pages := rasters(t, file, dpi, 1, 1, true)
		measured := 0
		for _, w := range byPoppler(t, file) {
			if w.page > len(pages) || strings.Trim(w.text, "–-·.,") == "" {
				continue
			}
			dots := map[[3]byte]int{}
			count := 0
			r := pages[w.page-1]
			for y := int(w.top() * dpi / 72); y <= int(w.base*dpi/72); y++ {
				for x := int(w.left * dpi / 72); x < int(w.right*dpi/72)+1; x++ {
					dots[r.at(x, y)]++
					count++
				}
			}
			var ground [3]byte
			for dot, n := range dots {
				if n > dots[ground] {
					ground = dot
				}
			}
			best := 0.
			for dot, n := range dots {
				if n*30 > count {
					a, b := shade(dot), shade(ground)
					best = max(best, (max(a, b)+.05)/(min(a, b)+.05))
				}
			}
			least := 6.99
			if signal[w.text] {
				least = 4.5
			}
			measured++
			require.GreaterOrEqualf(t, best, least, "%s: %+v on %v", filepath.Base(path), w, ground)
		}
		assert.Greaterf(t, measured, 10, "%s", path)
	}
}
