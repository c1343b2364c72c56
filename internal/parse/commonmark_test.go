package parse

import (
	"bytes"
	"encoding/json"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	ghtml "github.com/yuin/goldmark/renderer/html"

	"coldwright/internal/prose"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// example is one of the 652 examples of the CommonMark specification, 0.31
// (https://spec.commonmark.org/0.31.2/), as the Markdown library carries them.
type example struct {
	Markdown string `json:"markdown"`
	HTML     string `json:"html"`
	Example  int    `json:"example"`
	Section  string `json:"section"`
}

func examples(t testing.TB) []example {
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/yuin/goldmark").Output()
	require.NoError(t, err)
	raw, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(out)), "_test", "spec.json"))
	require.NoError(t, err)
	var all []example
	require.NoError(t, json.Unmarshal(raw, &all))
	require.Len(t, all, 652)
	return all
}

// before is a recipe up to its notes.
const before = "---\nrecipe: notes\n---\n\n## Look\n\nWords.\n\n# Notes\n\n"

func notesOf(t testing.TB, p *Parser, text string) []prose.Block {
	r, _ := p.Parse(source.New("notes.md", []byte(before+text)))
	require.NotEmpty(t, r.Notes)
	require.Equal(t, prose.Heading, r.Notes[0].Kind)
	return append(r.Notes[1:], r.Footnotes...)
}

// TestCommonMarkWords sets every example of the specification below the notes
// of a recipe: every word a reader of its reference HTML sees is in the prose.
func TestCommonMarkWords(t *testing.T) {
	p := New(&trade.House{})
	md := goldmark.New(
		goldmark.WithExtensions(extension.Table, extension.TaskList, extension.Footnote, extension.Strikethrough),
		goldmark.WithRendererOptions(ghtml.WithUnsafe()))
	words := 0
	for _, e := range examples(t) {
		got := map[string]int{}
		for _, w := range visible(allWords(notesOf(t, p, e.Markdown))) {
			got[w]++
		}
		// The specification's own HTML, and what the library makes of the text
		// with the same extensions as ours.
		var b bytes.Buffer
		require.NoError(t, md.Convert([]byte(e.Markdown), &b))
		for name, page := range map[string]string{"specification": e.HTML, "library": b.String()} {
			want := map[string]int{}
			for _, w := range visible(strip(page)) {
				want[w]++
				words++
			}
			for w, n := range want {
				assert.GreaterOrEqual(t, got[w], n, "example %d (%s), %s: %q of %q is missing from the prose", e.Example, e.Section, name, w, e.Markdown)
			}
		}
	}
	assert.Greater(t, words, 2000, "the examples have words to compare")
}

var (
	tags     = regexp.MustCompile(`(?s)<!--.*?-->|<[^>]*>`)
	altTexts = regexp.MustCompile(`<img [^>]*alt="([^"]*)"[^>]*>`)
)

// strip is what a reader of a page sees: tags gone, alternative words of
// pictures kept, characters resolved.
func strip(page string) string {
	page = altTexts.ReplaceAllString(page, " $1 ")
	return html.UnescapeString(tags.ReplaceAllString(page, " "))
}

// visible are the words of a text: runs of letters and figures.
func visible(text string) []string {
	return strings.FieldsFunc(text, func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) })
}

// allWords is every word of the blocks, with gaps where a page has tags.
func allWords(blocks []prose.Block) string {
	var b strings.Builder
	var line func(ins []prose.Inline)
	line = func(ins []prose.Inline) {
		for _, in := range ins {
			switch in.Kind {
			case prose.Break, prose.Soft:
				b.WriteByte(' ')
			case prose.Text:
				b.WriteString(in.Text)
			default: // a tag of the page is a gap there too
				b.WriteString(" " + in.Text + " ")
				line(in.Children)
				b.WriteByte(' ')
			}
		}
	}
	var block func(bs []prose.Block)
	block = func(bs []prose.Block) {
		for _, bl := range bs {
			line(bl.Inlines)
			b.WriteByte('\n')
			if bl.Kind == prose.RawBlock {
				b.WriteString(strip(bl.Text) + "\n")
			}
			b.WriteString(bl.Text)
			b.WriteByte('\n')
			for _, row := range bl.Rows {
				for _, cell := range row {
					line(cell)
					b.WriteByte('\n')
				}
			}
			block(bl.Blocks)
		}
	}
	block(blocks)
	return b.String()
}
