package parse

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark/util"

	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// flatten is every inline of blocks, children after their parents.
func flatten(blocks []prose.Block) []prose.Inline {
	var out []prose.Inline
	var line func([]prose.Inline)
	line = func(ins []prose.Inline) {
		for _, in := range ins {
			out = append(out, in)
			line(in.Children)
		}
	}
	for _, b := range blocks {
		line(b.Inlines)
		for _, row := range b.Rows {
			for _, cell := range row {
				line(cell)
			}
		}
		out = append(out, flatten(b.Blocks)...)
	}
	return out
}

// TestInlineKinds sets one of each kind and looks at all of it.
func TestInlineKinds(t *testing.T) {
	type want struct {
		kind           prose.InlineKind
		text, target   string
		title, written string
	}
	for text, all := range map[string][]want{
		"plain":         {{prose.Text, "plain", "", "", "plain"}},
		"*it* x":        {{prose.Emphasis, "", "", "", "*it*"}, {prose.Text, "it", "", "", "it"}, {prose.Text, " x", "", "", " x"}},
		"a **b**":       {{prose.Text, "a ", "", "", "a "}, {prose.Strong, "", "", "", "**b**"}, {prose.Text, "b", "", "", "b"}},
		"~~no~~":        {{prose.Strike, "", "", "", "~~no~~"}, {prose.Text, "no", "", "", "no"}},
		"`a  &amp; b`":  {{prose.Code, "a  &amp; b", "", "", "a  &amp; b"}},
		"[w](u \"t\")":  {{prose.Link, "", "u", "t", "[w](u \"t\")"}, {prose.Text, "w", "", "", "w"}},
		"![w](u.png)":   {{prose.Image, "", "u.png", "", "![w](u.png)"}, {prose.Text, "w", "", "", "w"}},
		"<a@b.c>":       {{prose.Link, "", "mailto:a@b.c", "", "<a@b.c>"}, {prose.Text, "a@b.c", "", "", "<a@b.c>"}},
		"<http://a.b>":  {{prose.Link, "", "http://a.b", "", "<http://a.b>"}, {prose.Text, "http://a.b", "", "", "<http://a.b>"}},
		"a\nb":          {{prose.Text, "a", "", "", "a"}, {prose.Soft, "", "", "", ""}, {prose.Text, "b", "", "", "b"}},
		"a  \nb":        {{prose.Text, "a", "", "", "a"}, {prose.Break, "", "", "", ""}, {prose.Text, "b", "", "", "b"}},
		"a\\\nb":        {{prose.Text, "a", "", "", "a"}, {prose.Break, "", "", "", ""}, {prose.Text, "b", "", "", "b"}},
		"x <b>y":        {{prose.Text, "x ", "", "", "x "}, {prose.Raw, "<b>", "", "", "<b>"}, {prose.Text, "y", "", "", "y"}},
		"snake_case *":  {{prose.Text, "snake_case *", "", "", "snake_case *"}},
		"1.5 &micro;m":  {{prose.Text, "1.5 µm", "", "", "1.5 &micro;m"}},
		"[a\\]b](u\\*)": {{prose.Link, "", "u*", "", "[a\\]b](u\\*)"}, {prose.Text, "a]b", "", "", "a\\]b"}},
	} {
		blocks := notesOf(t, empty, text)
		require.Len(t, blocks, 1, text)
		require.Equal(t, prose.Paragraph, blocks[0].Kind)
		var got []want
		for _, in := range flatten(blocks) {
			got = append(got, want{in.Kind, in.Text, in.Target, in.Title, in.Span.Text()})
		}
		assert.Equal(t, all, got, text)
	}
}

// TestEscapes holds the resolving of escapes against the specification
// (CommonMark 0.31, 2.4 and 2.5) and every name of HTML 5 the Markdown library
// knows.
func TestEscapes(t *testing.T) {
	for text, want := range map[string]string{
		`\!\"\#\$\%\&\'\(\)\*\+\,\-\.\/\:\;\<\=\>\?\@\[\\\]\^\_\` + "`" + `\{\|\}\~`: "!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~",
		`\a \é \ `:                  `\a \é \ `,
		`\&amp;`:                    `&amp;`,
		`&amp;amp;`:                 `&amp;`,
		`&#35; &#1234; &#992; &#0;`: "# Ӓ Ϡ \ufffd",
		`&#X22; &#XD06; &#xcab;`:    "\" ആ ಫ",
		`&#xd800; &#x110000;`:       "\ufffd \ufffd",
		`&#12345678; &#x1234567; &#; &#x; &x; &a b`:          `&#12345678; &#x1234567; &#; &#x; &x; &a b`,
		`&frac12; &micro; &CounterClockwiseContourIntegral;`: "½ µ ∳",
		`&hi &;`: `&hi &;`,
		`&`:      `&`,
		`\`:      `\`,
	} {
		assert.Equal(t, want, unescape(text), text)
	}
	// The names are those of the library's own table; the characters of some
	// are in the HTML standard, 13.5.
	for _, name := range []string{"nbsp", "times", "deg", "le", "ge", "half", "Oslash", "rarr"} {
		e, ok := util.LookUpHTML5EntityByName(name)
		require.True(t, ok, name)
		assert.Equal(t, string(e.Characters), unescape("&"+name+";"), name)
	}
	assert.Equal(t, "½", unescape("&half;"))
	assert.Equal(t, "×", unescape("&times;"))
	assert.Equal(t, "\u00a0", unescape("&nbsp;"))
}

func TestTable(t *testing.T) {
	blocks := notesOf(t, empty, "| grit | min \\| max | |\n|:--|:-:|--:|\n| F220 | `a\\|b` | 8 |\n| F400 |\n")
	require.Len(t, blocks, 1)
	b := blocks[0]
	assert.Equal(t, prose.Table, b.Kind)
	assert.Equal(t, []prose.Align{prose.Left, prose.Centre, prose.Right}, b.Aligns)
	require.Len(t, b.Rows, 3)
	var cells []string
	for _, row := range b.Rows {
		require.Len(t, row, 3)
		for _, cell := range row {
			cells = append(cells, prose.Words(cell))
		}
	}
	assert.Equal(t, []string{"grit", "min | max", "", "F220", "a|b", "8", "F400", "", ""}, cells)
}

func TestBlocks(t *testing.T) {
	blocks := notesOf(t, empty, "3) a\n4) b\n\n   c\n\n***\n\n```\nx\n y\n```\n\n\tz\n\n<p>\nq\n</p>\n\n> r\n\n### s\n")
	var kinds []prose.BlockKind
	for _, b := range blocks {
		kinds = append(kinds, b.Kind)
	}
	assert.Equal(t, []prose.BlockKind{prose.List, prose.Rule, prose.CodeBlock, prose.CodeBlock, prose.RawBlock, prose.Quote, prose.Heading}, kinds)
	list := blocks[0]
	assert.True(t, list.Ordered)
	assert.Equal(t, 3, list.Start)
	assert.False(t, list.Tight)
	require.Len(t, list.Blocks, 2)
	assert.Equal(t, "b\nc", prose.BlockWords(list.Blocks[1].Blocks))
	assert.Equal(t, "x\n y", blocks[2].Text)
	assert.Equal(t, "z", blocks[3].Text)
	assert.Equal(t, "<p>\nq\n</p>", blocks[4].Text)
	assert.Equal(t, 3, blocks[6].Level)
}

// Footnotes keep their numbers; one nothing refers to is reported and kept, and
// one inside another loses no word.
func TestFootnotes(t *testing.T) {
	text := "Felt[^b] or cork[^a].\n\n[^a]: First *set* down.\n\n[^b]: Second.\n\n    Its second paragraph.\n\n[^c]: Nowhere.\n\n[^d]: [^e]: Inside.\n"
	r, list := read(empty, before+text)
	var notes []string
	for i, b := range r.Footnotes {
		assert.Equal(t, prose.FootnoteText, b.Kind)
		assert.Equal(t, i+1, b.Index)
		notes = append(notes, prose.BlockWords(b.Blocks))
	}
	require.GreaterOrEqual(t, len(notes), 4)
	assert.Equal(t, []string{"Second.\nIts second paragraph.", "First set down.", "Nowhere."}, notes[:3])
	assert.Contains(t, strings.Join(notes[3:], "\n"), "Inside.")
	var marks []int
	for _, in := range flatten(r.Notes) {
		if in.Kind == prose.Footnote {
			marks = append(marks, in.Index)
		}
	}
	assert.Equal(t, []int{1, 2}, marks)
	assert.Contains(t, said(list), "19:1 unused-footnote: Nothing in the text points to this footnote; it prints after the others. Write [^c] where it belongs.")
}

// A definition nobody uses prints nowhere, and so does the second of two with
// one name: both are said.
func TestUnusedLinks(t *testing.T) {
	_, list := read(empty, before+"See [Here] and [so][b].\n\n[here]: u\n[b]: v\n[c]: w\n[B]: x\n")
	var got []string
	for _, d := range list {
		if d.Rule == UnusedLink {
			got = append(got, d.Span.Text())
		}
	}
	assert.Equal(t, []string{"[c]: w", "[B]: x"}, got)
}

func TestRawHTMLIsOneFinding(t *testing.T) {
	r, list := read(empty, "---\n---\n\n## One\n\na <b>c</b>\n\n## Two\n\n<div>\nd\n</div>\n")
	var found int
	for _, d := range list {
		if d.Rule == RawHTML {
			found++
			assert.Equal(t, 1, d.Step)
			assert.Equal(t, "<b>", d.Span.Text())
			require.Len(t, d.Also, 2)
			assert.Equal(t, 2, d.Also[1].Step)
			assert.Equal(t, "<div>\nd\n</div>", d.Also[1].Span.Text())
		}
	}
	assert.Equal(t, 1, found)
	require.Len(t, r.Steps, 2)
	assert.Equal(t, "a <b>c</b>", prose.BlockWords(r.Steps[0].Body[0].Blocks))
}

// holds checks what is true of every text that was read: a text says what its
// place says, and a child stands where its parent stands.
func holds(t testing.TB, blocks []prose.Block, in source.Span) {
	for _, b := range blocks {
		if b.Span.Known() && in.Known() && (b.Span.Start < in.Start || b.Span.End > in.End) {
			t.Errorf("block %v at %d-%d outside %d-%d", b.Kind, b.Span.Start, b.Span.End, in.Start, in.End)
		}
		if b.Span.Start > b.Span.End || b.Span.End > len(b.Span.File.Text) {
			t.Errorf("block at %d-%d", b.Span.Start, b.Span.End)
		}
		for _, in := range flatten([]prose.Block{{Inlines: b.Inlines, Rows: b.Rows}}) {
			if in.Span.Known() && (in.Span.Start > in.Span.End || in.Span.Start < 0 || in.Span.End > len(in.Span.File.Text)) {
				t.Errorf("inline at %d-%d", in.Span.Start, in.Span.End)
			}
			if in.Kind == prose.Text && in.Span.Known() && len(in.Text) == in.Span.End-in.Span.Start &&
				utf8.ValidString(in.Span.Text()) && !strings.ContainsAny(in.Span.Text(), "\\&\x00<") && in.Text != in.Span.Text() {
				t.Errorf("text %q stands at %q", in.Text, in.Span.Text())
			}
		}
		holds(t, b.Blocks, source.Span{})
	}
}

func TestPlacesOfCommonMark(t *testing.T) {
	for _, e := range examples(t) {
		holds(t, notesOf(t, empty, e.Markdown), source.Span{})
		if t.Failed() {
			t.Fatalf("example %d: %q", e.Example, e.Markdown)
		}
	}
}

// A heading inside a step that no facts follow is a heading, and what looks
// like a mark forgotten and is none stays words.
func TestWordsThatStayWords(t *testing.T) {
	text := "---\nrecipe: x\n---\n\n## Smooth\n\n- Time: 4 min\n\n### Why\n\n- a brush is soft\n- a wheel is not\n\n" +
		"### Also\n\nGrit #400 or ##, and\n#5 is the lamp.\n\n- [ ](away) is a link\n- [x](y) too\n\n-5 degrees in the hall\n\nSee \\![a](b c) or ![d](e.png) and (f g).\n\n> Notice the line.\n\n> Warnings are on the wall.\n"
	r, list := read(empty, text)
	for _, d := range list {
		assert.Contains(t, []string{MissingKey, "front-matter"}, d.Rule, d.Message)
	}
	require.Len(t, r.Steps, 1)
	words := ""
	checks := 0
	for _, e := range r.Steps[0].Body {
		words += prose.BlockWords(e.Blocks) + "\n"
		if e.Kind == recipe.Check {
			checks++
		}
	}
	assert.Zero(t, checks)
	for _, want := range []string{"Why", "Also", "#5 is the lamp.", "-5 degrees", "![a](b c)"} {
		assert.Contains(t, words, want)
	}
}
