package parse

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// empty is a house that knows nothing: enough to read what is not about
// glass.
var empty = New(&trade.House{})

func read(p *Parser, text string) (*recipe.Recipe, diag.List) {
	return p.Parse(source.New("a.md", []byte(text)))
}

// said are findings as one line each: place, rule, message, help.
func said(list diag.List) []string {
	var out []string
	for _, d := range list {
		p := d.Span.Place()
		out = append(out, fmt.Sprintf("%d:%d %s: %s %s", p.Line, p.Column, d.Rule, d.Message, d.Help))
	}
	return out
}

// rules are the ids of findings.
func rules(list diag.List) []string {
	var out []string
	for _, d := range list {
		out = append(out, d.Rule)
	}
	return out
}

func TestNotARecipe(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want string
	}{
		"empty":      {"", "1:1 empty-file: The file is empty. Write a recipe into it: coldwright new starts one."},
		"only space": {"\ufeff \r\n\t\n", "1:1 empty-file: The file is empty. Write a recipe into it: coldwright new starts one."},
		"no front matter": {"## Flatten the base\n\nWords.\n",
			"1:1 front-matter: The recipe has no front matter: its first line is no line of three hyphens. " +
				"Begin the file with a line ---, then recipe, title, revision, date, glass, piece and surfaces, then a line ---."},
		"too long": {"---\n---\n" + strings.Repeat("a plain line of words\n", 120000),
			"1:1 too-long: The file is too long for a recipe: it is longer than 2 MB, and no more than that is read. Keep pictures in files of their own, and one recipe in a file."},
	} {
		t.Run(name, func(t *testing.T) {
			r, list := read(empty, c.text)
			require.NotNil(t, r)
			assert.Equal(t, []string{c.want}, said(list))
			assert.Equal(t, diag.Error, list.Worst())
		})
	}
}

func TestFrontMatterUnclosed(t *testing.T) {
	r, list := read(empty, "---\ntitle: Cast weight\n\n## Flatten\n\nWords.\n")
	assert.Equal(t, "1:1 front-matter: The front matter is not closed: no second line of three hyphens follows. Write a line --- between the keys and the text.", said(list)[0])
	assert.Equal(t, "Cast weight", r.Title.Value, "what stands there is read all the same")
	require.Len(t, r.Steps, 1)
	assert.Equal(t, "Flatten", r.Steps[0].Title)
}

func TestFrontMatterAfterEmptyLines(t *testing.T) {
	r, list := read(empty, "\n\n---\ntitle: Cast weight\n---\n\n## Flatten\n")
	assert.Equal(t, "3:1 front-matter: The front matter does not begin in the first line of the file. Take out the empty lines above it.", said(list)[0])
	assert.Equal(t, "Cast weight", r.Title.Value)
	require.Len(t, r.Steps, 1)
}

func TestNotText(t *testing.T) {
	r, list := read(empty, "---\ntitle: Cast w\xe9ight\n---\n\n## Flatten\n\nA \xff and a word.\n")
	var of []string
	for i, d := range list {
		if d.Rule == NotText || d.Rule == keys.UnreadableByte {
			of = append(of, said(list[i : i+1])[0])
			require.Len(t, d.Also, 1)
			assert.Equal(t, "\xff", d.Also[0].Span.Text())
		}
	}
	assert.Equal(t, []string{"2:14 not-text: 2 characters from this line on are saved in another character set, so they cannot be read. " +
		"Save the file as UTF-8 in your editor, then look at each of them again."}, of)
	assert.False(t, r.Unread)
	require.Len(t, r.Steps, 1)
	assert.Equal(t, "A \ufffd and a word.", prose.BlockWords(r.Steps[0].Body[0].Blocks))
}

// What is no recipe at all gives one finding, and is marked as not read.
func TestUnread(t *testing.T) {
	const words = "---\nrecipe: x\n---\n\n## Flatten\n\nWords.\n"
	wide := "\xff\xfe"
	for _, c := range words {
		wide += string([]byte{byte(c), 0})
	}
	for name, c := range map[string]struct{ file, text, want string }{
		"a picture":     {"a.md", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "not-text"},
		"noughts":       {"a.md", words + "\x00", "not-text"},
		"wide":          {"a.md", wide, "not-text"},
		"another set":   {"a.md", words + strings.Repeat("\xcf\xf0\xe8 ", 20), "not-text"},
		"the shop file": {"shop.yaml", "house: {name: x}\n", "front-matter"},
		"empty":         {"a.md", "\n", "empty-file"},
		"too long":      {"a.md", words + strings.Repeat("a plain line\n", 200000), "too-long"},
	} {
		r, list := empty.Parse(source.New(c.file, []byte(c.text)))
		assert.Equal(t, []string{c.want}, rules(list), name)
		assert.True(t, r.Unread, name)
		assert.Empty(t, r.Steps, name)
	}
	r, list := read(empty, words+strings.Repeat("> ", 1000)+"a")
	assert.Contains(t, rules(list), TooTangled)
	assert.True(t, r.Unread)
	assert.Equal(t, "x", r.ID.Value)
}

func TestFrontMatterWithoutItsFirstLine(t *testing.T) {
	r, list := read(empty, "title: Cast weight\n---\n\n## Flatten\n")
	assert.Equal(t, "1:1 front-matter: The line of three hyphens above the front matter is missing. Write a line --- above it.", said(list)[0])
	assert.Equal(t, "Cast weight", r.Title.Value)
	require.Len(t, r.Steps, 1)
}

// A file from another system reads the same, place for place.
func TestLineEndsAndMarkOfOrder(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("testdata", "tour.md"))
	require.NoError(t, err)
	_, plain := read(empty, string(text))
	require.NotEmpty(t, plain)
	for name, other := range map[string]string{
		"CRLF": strings.ReplaceAll(string(text), "\n", "\r\n"),
		"BOM":  "\ufeff" + string(text),
	} {
		_, list := read(empty, other)
		want := said(plain)
		if name == "BOM" {
			// The mark counts as a character of the first line.
			for i := range want {
				want[i] = strings.Replace(want[i], "1:1 ", "1:2 ", 1)
			}
		}
		assert.Equal(t, want, said(list), name)
	}
	a, _ := read(empty, string(text))
	b, _ := read(empty, strings.ReplaceAll(string(text), "\n", "\r\n"))
	require.Equal(t, len(a.Steps), len(b.Steps))
	for i := range a.Steps {
		require.Equal(t, len(a.Steps[i].Body), len(b.Steps[i].Body))
		for j := range a.Steps[i].Body {
			assert.Equal(t, prose.BlockWords(a.Steps[i].Body[j].Blocks), prose.BlockWords(b.Steps[i].Body[j].Blocks))
		}
		for j := range a.Steps[i].Facts {
			assert.Equal(t, a.Steps[i].Facts[j].Value, b.Steps[i].Facts[j].Value)
		}
	}
	assert.Equal(t, prose.BlockWords(a.Notes), prose.BlockWords(b.Notes))
}

// TestTangled gives what takes a reader of Markdown out of all proportion. Each
// is refused, or read in a time nobody waits for.
func TestTangled(t *testing.T) {
	const head = "---\ntitle: x\n---\n\n## Step\n\n"
	rep := func(s string, bytes int) string { return strings.Repeat(s, bytes/len(s)) }
	table := func(columns, rows int) string {
		return "|" + strings.Repeat("a|", columns) + "\n|" + strings.Repeat("-|", columns) + "\n" + strings.Repeat("a\n", rows)
	}
	var stairs strings.Builder
	for i := 0; stairs.Len() < 200000; i++ {
		stairs.WriteString(strings.Repeat(" ", 2*i) + "- a\n")
	}
	refused := map[string]string{
		"10,000 quotes in one line":  strings.Repeat("> ", 10000) + "a",
		"10,000 quotes, no spaces":   strings.Repeat(">", 10000) + "a",
		"10,000 lists in one line":   strings.Repeat("- ", 10000) + "a",
		"10,000 numbers in one line": strings.Repeat("1. ", 10000) + "a",
		"stairs of lists":            stairs.String(),
		"brackets":                   rep("[a](", 100000),
		"brackets in brackets":       rep("[", 100000),
		"brackets and more":          rep("[a]((", 100000),
		"brackets, one a paragraph":  rep("[a](b)\n\n", 300000),
		"stars":                      rep("*a **a ", 200000),
		"a table of 100 columns":     table(100, 3),
		"a table without end":        table(60, 10000),
	}
	for name, text := range refused {
		start := time.Now()
		r, list := read(empty, head+text)
		assert.Contains(t, rules(list), TooTangled, name)
		assert.Equal(t, "x", r.Title.Value, name)
		assert.Less(t, time.Since(start), 10*time.Second, name)
	}
	taken := map[string]string{
		"quotes up to the limit": rep(strings.Repeat("> ", 15)+"a\n", 1<<19),
		"brackets in paragraphs": strings.Repeat(rep("[a]((", 2000)+"\n\n", 30),
		"stars in paragraphs":    strings.Repeat(rep("a**bc* ", 20000)+"\n\n", 20),
		"ticks":                  rep("a`b``c```", 1<<19),
		"tags":                   rep("<a x='", 1<<19),
		"lists":                  rep("- a\n", 1<<19),
		"ampersands":             rep("&a", 1<<19),
		"a line across":          rep("- ", 1<<19),
		"lines":                  rep("\n", 1<<19),
	}
	for name, text := range taken {
		start := time.Now()
		_, list := read(empty, head+text)
		assert.NotContains(t, rules(list), TooTangled, name)
		assert.Less(t, time.Since(start), time.Minute, name)
		t.Log(name, time.Since(start).Round(time.Millisecond))
	}
}

// What stands deeper than the pages can show keeps its words and is reported
// once.
func TestDeepWordsStay(t *testing.T) {
	text := "---\ntitle: x\n---\n\n## Step\n\n" + strings.Repeat("> ", 40) + "the last word\n\n" +
		strings.Repeat("*a **b ", 30) + "end" + strings.Repeat("** *", 30) + "\n"
	r, list := read(empty, text)
	n := 0
	for _, d := range list {
		if d.Rule == TooTangled {
			n++
		}
	}
	assert.Equal(t, 1, n)
	words := ""
	for _, e := range r.Steps[0].Body {
		words += prose.BlockWords(e.Blocks) + "\n"
	}
	assert.Contains(t, words, "the last word")
	assert.Contains(t, words, "end")
	assert.LessOrEqual(t, deepest(r.Steps[0].Body[0].Blocks), maxShown+3)
}

func deepest(blocks []prose.Block) int {
	n := 0
	for _, b := range blocks {
		n = max(n, 1+deepest(b.Blocks))
	}
	return n
}

// Whoever writes that nobody has approved has approved nothing.
func TestNotApproved(t *testing.T) {
	for _, word := range []string{"", "no", "No", "not yet", "null", "~", "-", `"-"`, "none", "pending", "TBD", "?"} {
		r, list := read(empty, "---\napproved: "+word+"\n---\n\n## Flatten\n")
		assert.False(t, r.Approved.Written(), word)
		for _, d := range list {
			assert.NotContains(t, d.Message, "approved", word)
		}
	}
	for _, word := range []string{"studio lead", "NO, lead", "Noé", "X. P."} {
		r, _ := read(empty, "---\napproved: "+word+"\n---\n\n## Flatten\n")
		assert.Equal(t, word, r.Approved.Value)
	}
}
