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

// TestCommonMarkPrints sets every example of the CommonMark specification 0.31
// (spec.commonmark.org), as the Markdown library carries them, under the notes
// of a recipe and prints it: the PDF holds every word that a reader of the
// specification's own HTML sees.
func TestCommonMarkPrints(t *testing.T) {
	testkit.Long(t)
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/yuin/goldmark").Output()
	require.NoError(t, err)
	raw, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(out)), "_test", "spec.json"))
	require.NoError(t, err)
	var examples []struct {
		Markdown, HTML, Section string
		Example                 int
	}
	require.NoError(t, json.Unmarshal(raw, &examples))
	require.Len(t, examples, 652)
	h := trade.BuiltIn()
	parser := parse.New(h)
	design := sheet.FindDesign("process sheet")
	words := 0
	for _, e := range examples {
		r, _ := parser.Parse(source.New("notes.md", []byte("---\nrecipe: notes\ntitle: Notes\nrevision: 1\ndate: 2026-11-01\n---\n\n## Look\n\nWords.\n\n# Notes\n\n"+e.Markdown)))
		content, _ := sheet.Build(process.Of(r, h), design, sheet.Options{Draft: true})
		pages, _ := layout.Lay(content)
		file, err := pdf.Write(pages)
		require.NoErrorf(t, err, "example %d: %q", e.Example, e.Markdown)
		got := squeezed(textOf(t, file))
		page := html.UnescapeString(tags.ReplaceAllString(altTexts.ReplaceAllString(e.HTML, " $1 "), " "))
		for _, w := range visible(page) {
			words++
			assert.Containsf(t, got, squeezed(asPrinted(w)), "example %d (%s): %q", e.Example, e.Section, e.Markdown)
		}
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
