package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"

	reader "github.com/ledongthuc/pdf"
	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/layout"
	"coldwright/internal/parse"
	"coldwright/internal/pdf"
	"coldwright/internal/process"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
	"coldwright/internal/typeface"
)

// textOf is the text of a PDF as an independent reader finds it.
func textOf(t testing.TB, file []byte) string {
	t.Helper()
	r, err := reader.NewReader(bytes.NewReader(file), int64(len(file)))
	require.NoError(t, err)
	plain, err := r.GetPlainText()
	require.NoError(t, err)
	text, err := io.ReadAll(plain)
	require.NoError(t, err)
	return string(text)
}

// visible are the words of a text: runs of letters and figures.
func visible(text string) []string {
	return strings.FieldsFunc(text, func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) })
}

// squeezed is a text without anything but letters and figures, so that a word
// broken over two lines is still one.
func squeezed(text string) string { return strings.Join(visible(text), "") }

// asPrinted is a word with every character the typeface lacks as its code
// point, the way it prints.
func asPrinted(word string) string {
	face := typeface.Get(draw.Regular)
	var b strings.Builder
	for _, r := range word {
		if face.Has(r) && r <= 0xFFFF {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "U%04X", r)
		}
	}
	return b.String()
}

var (
	tags     = regexp.MustCompile(`(?s)<!--.*?-->|<[^>]*>`)
	altTexts = regexp.MustCompile(`<img [^>]*alt="([^"]*)"[^>]*>`)
)

// specExample is one of the 652 examples of the CommonMark specification 0.31
// (spec.commonmark.org), as the Markdown library carries them.
type specExample struct {
	Markdown, HTML, Section string
	Example                 int
}

func specExamples(t *testing.T) []specExample {
	t.Helper()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/yuin/goldmark").Output()
	require.NoError(t, err)
	raw, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(out)), "_test", "spec.json"))
	require.NoError(t, err)
	var examples []specExample
	require.NoError(t, json.Unmarshal(raw, &examples))
	require.Len(t, examples, 652)
	return examples
}

// plan is a recipe with the example where a design prints prose.
func (e *specExample) plan(parser *parse.Parser, h *trade.House, id string) *process.Plan {
	r, _ := parser.Parse(source.New(id+".md", []byte("---\nrecipe: "+id+"\ntitle: Notes\nrevision: 1\ndate: 2026-11-01\n---\n\n## Look\n\nWords.\n\n# Notes\n\n"+e.Markdown)))
	return process.Of(r, h)
}

// isIn says that every word a reader of the specification's own HTML sees is in
// a text read back, and how many those are.
func (e *specExample) isIn(t *testing.T, text, where string) (words int) {
	t.Helper()
	got := squeezed(text)
	page := html.UnescapeString(tags.ReplaceAllString(altTexts.ReplaceAllString(e.HTML, " $1 "), " "))
	for _, w := range visible(page) {
		words++
		assert.Containsf(t, got, squeezed(asPrinted(w)), "%s: example %d (%s): %q", where, e.Example, e.Section, e.Markdown)
	}
	return words
}

// TestCommonMarkPrints sets every example of the specification under the notes
// of a recipe and prints it in each design for one recipe that carries them: the
// PDF holds every word.
func TestCommonMarkPrints(t *testing.T) {
	testkit.Long(t)
	examples := specExamples(t)
	h := trade.BuiltIn()
	for _, name := range []string{"process sheet", "training sheet"} {
		design := sheet.FindDesign(name)
		counts := make([]int, len(examples))
		forEach(len(examples), func(i int) {
			e := &examples[i]
			content, _ := sheet.Build(e.plan(parse.New(h), h, "notes"), design, sheet.Options{Draft: true})
			pages, _ := layout.Lay(content)
			file, err := pdf.Write(pages)
			if !assert.NoErrorf(t, err, "example %d: %q", e.Example, e.Markdown) {
				return
			}
			counts[i] = e.isIn(t, textOf(t, file), name)
		})
		words := 0
		for _, n := range counts {
			words += n
		}
		assert.Greater(t, words, 1000, "the examples have words to compare")
	}
}

// TestCommonMarkPrintsInABook binds all examples in one house book: the pages
// of each recipe hold every word of its example.
func TestCommonMarkPrintsInABook(t *testing.T) {
	testkit.Long(t)
	examples := specExamples(t)
	h := trade.BuiltIn()
	parser := parse.New(h)
	entries := make([]sheet.BookEntry, len(examples))
	for i := range examples {
		id := fmt.Sprintf("notes-%d", i)
		plan := examples[i].plan(parser, h, id)
		entries[i] = sheet.BookEntry{Anchor: id, Plan: plan, Sheet: func() (*sheet.Sheet, diag.List) {
			return sheet.Build(plan, sheet.FindDesign("process sheet"), sheet.Options{Draft: true})
		}}
	}
	book, _ := sheet.BuildBook(h, sheet.FindDesign("house book"), entries, nil, sheet.Options{Draft: true})
	require.NotNil(t, book)
	bound := layout.Bind(book)
	pages := make([]int, len(bound.Parts))
	parts := make([]func() []draw.Page, len(bound.Parts))
	for i, part := range bound.Parts {
		parts[i] = func() []draw.Page {
			p := part()
			pages[i] = len(p)
			return p
		}
	}
	var file bytes.Buffer
	require.NoError(t, pdf.WriteParts(&file, bound.Document, parts))
	r, err := reader.NewReader(bytes.NewReader(file.Bytes()), int64(file.Len()))
	require.NoError(t, err)
	first, words := 0, 0
	for i, n := range pages {
		// Sections of the house stand before and behind the recipes.
		if at := i - len(book.Front); at >= 0 && at < len(examples) {
			text := ""
			for p := range n {
				on := r.Page(first + p + 1)
				said, err := on.GetPlainText(nil)
				require.NoError(t, err)
				text += said
			}
			require.Contains(t, text, fmt.Sprintf("notes-%d", at))
			words += examples[at].isIn(t, text, "house book")
		}
		first += n
	}
	assert.Greater(t, words, 1000, "the examples have words to compare")
}

// TestDemoSheets prints the demo house and holds every file against an
// independent validator, and its words against the recipe's own.
func TestDemoSheets(t *testing.T) {
	api.DisableConfigDir()
	root := testkit.Root(t)
	out := t.TempDir()
	var said bytes.Buffer
	status := Main([]string{"print", "--today", "2026-11-25", "--out", out, filepath.Join(root, "recipes")}, strings.NewReader(""), &said, &said)
	require.Equal(t, OK, status, said.String())
	names, problems := recipeFiles(filepath.Join(root, "recipes"))
	require.Empty(t, problems)
	printed, err := os.ReadDir(out)
	require.NoError(t, err)
	require.Len(t, printed, len(names))
	for _, name := range names {
		id := strings.TrimSuffix(filepath.Base(name), ".md")
		matches, err := filepath.Glob(filepath.Join(out, id+"-r*-process-sheet.pdf"))
		require.NoError(t, err)
		require.Len(t, matches, 1)
		file := testkit.Read(t, matches[0])
		require.NoError(t, api.Validate(bytes.NewReader(file), nil), matches[0])
		got := squeezed(strings.ToLower(textOf(t, file)))
		_, body, found := strings.Cut(string(testkit.Read(t, name))[4:], "\n---\n")
		require.True(t, found)
		// The names of the facts give way to columns and signs; pictures to
		// themselves.
		body = regexp.MustCompile(`(?m)^- [A-Z][a-z-]+( to| if)?:|\]\(pictures/[^)]*\)|^ *- (Key point|Reason|Right|Wrong):`).ReplaceAllString(body, " ")
		for _, w := range visible(body) {
			assert.Containsf(t, got, squeezed(strings.ToLower(w)), "%s: the word %q is not on the sheet", name, w)
		}
	}
}
