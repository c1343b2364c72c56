package cli

import (
	"bytes"
	"encoding/csv"
	"fmt"
	stdhtml "html"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"coldwright/internal/draw"
	"coldwright/internal/layout"
	"coldwright/internal/parse"
	"coldwright/internal/pdf"
	"coldwright/internal/process"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
	"coldwright/internal/web"
	"coldwright/internal/words"
)

// voids are the elements that have no end tag (HTML Living Standard, 13.1.2).
var voids = []string{"meta", "link", "br", "hr", "img", "input"}

// element is an element of a page with what stands in it.
type element struct {
	name  string
	attrs map[string]string
	text  strings.Builder
}

// soundPage holds a page against what a browser would have to put right: it
// reads the tokens, keeps its own stack, and wants the tree an HTML5 parser
// builds to have the same elements in the same order and depth, so that nothing
// was moved, closed or dropped. It gives back all elements and the text a
// reader sees.
func soundPage(t testing.TB, page []byte) ([]*element, string) {
	t.Helper()
	require.NotContains(t, string(page), "\x00")
	var all []*element
	var stack []*element
	var written []string
	var text strings.Builder
	z := html.NewTokenizer(bytes.NewReader(page))
	for {
		kind := z.Next()
		if kind == html.ErrorToken {
			break
		}
		tok := z.Token()
		switch kind {
		case html.StartTagToken, html.SelfClosingTagToken:
			e := &element{name: tok.Data, attrs: map[string]string{}}
			for _, a := range tok.Attr {
				_, twice := e.attrs[a.Key]
				require.Falsef(t, twice, "<%s> has %s twice", tok.Data, a.Key)
				e.attrs[a.Key] = a.Val
			}
			all = append(all, e)
			written = append(written, fmt.Sprintf("%d %s", len(stack), tok.Data))
			if kind == html.StartTagToken && !slices.Contains(voids, tok.Data) {
				stack = append(stack, e)
			}
		case html.EndTagToken:
			require.NotEmptyf(t, stack, "</%s> ends nothing", tok.Data)
			require.Equal(t, stack[len(stack)-1].name, tok.Data, "an end tag ends the last element")
			stack = stack[:len(stack)-1]
		case html.TextToken:
			for _, e := range stack {
				e.text.WriteString(tok.Data)
			}
			if !slices.ContainsFunc(stack, func(e *element) bool { return slices.Contains([]string{"style", "script", "title"}, e.name) }) {
				text.WriteString(tok.Data + " ")
			}
		}
	}
	require.Empty(t, stack, "every element ends")
	doc, err := html.Parse(bytes.NewReader(page))
	require.NoError(t, err)
	var built []string
	var walk func(n *html.Node, depth int)
	walk = func(n *html.Node, depth int) {
		if n.Type == html.ElementNode {
			built = append(built, fmt.Sprintf("%d %s", depth, n.Data))
			depth++
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c, depth)
		}
	}
	walk(doc, 0)
	require.Equal(t, strings.ToLower(strings.Join(written, "\n")), strings.ToLower(strings.Join(built, "\n")), "a browser puts something right")
	return all, text.String()
}

// accessible holds a page against what WCAG 2.2 asks of its markup: a language
// (3.1.1), a title (2.4.2), headings in order (1.3.1), names of pictures (1.1.1),
// labels of boxes (4.1.2), heads of tables with their scope, and links that lead
// somewhere.
func accessible(t testing.TB, all []*element, links []string) {
	t.Helper()
	ids := map[string]bool{}
	level, labels, boxes := 0, 0, 0
	for _, e := range all {
		if id, ok := e.attrs["id"]; ok {
			assert.Falsef(t, ids[id], "id %q twice", id)
			ids[id] = true
		}
	}
	for _, e := range all {
		switch e.name {
		case "html":
			assert.NotEmpty(t, e.attrs["lang"])
		case "title":
			assert.NotEmpty(t, strings.TrimSpace(e.text.String()))
		case "h1", "h2", "h3", "h4", "h5", "h6":
			n := int(e.name[1] - '0')
			assert.LessOrEqualf(t, n, level+1, "%s %q skips a level", e.name, e.text.String())
			assert.NotEmpty(t, strings.TrimSpace(e.text.String()), "a heading has words")
			level = n
		case "img":
			assert.NotEmpty(t, e.attrs["alt"])
			assert.Regexp(t, `^data:image/(png|jpeg);base64,`, e.attrs["src"])
		case "svg":
			if e.attrs["aria-hidden"] != "true" {
				assert.Equal(t, "img", e.attrs["role"])
				assert.NotEmpty(t, e.attrs["aria-label"])
			}
		case "label":
			labels++
			assert.NotEmpty(t, strings.TrimSpace(e.text.String()), "a box is called something")
		case "input":
			boxes++
			assert.Equal(t, "checkbox", e.attrs["type"])
		case "th":
			assert.Contains(t, []string{"row", "col"}, e.attrs["scope"])
			assert.NotEmpty(t, strings.TrimSpace(e.text.String()))
		}
		for name, value := range e.attrs {
			switch {
			case name == "href" && strings.HasPrefix(value, "#"):
				assert.Truef(t, ids[value[1:]], "%s leads nowhere", value)
			case name == "href" && slices.Contains(links, value), name == "href" && value == "data:,", name == "src":
			default:
				assert.NotRegexpf(t, `(?i)(https?:)?//|javascript:`, value, "<%s %s>", e.name, name)
			}
		}
	}
	assert.Equal(t, boxes, labels, "every box has its label")
}

// counted are the words of a text with how often each stands in it.
func counted(text string) map[string]int {
	n := map[string]int{}
	for _, w := range visible(strings.ToLower(text)) {
		n[w]++
	}
	return n
}

// sheetWords are all texts of a sheet that a face says, by walking its content:
// an own way, beside the one that writes the page.
func sheetWords(v reflect.Value, b *strings.Builder) {
	switch x := v.Interface().(type) {
	case []prose.Inline:
		b.WriteString(" " + prose.Words(x) + " ")
		return
	case []prose.Block:
		b.WriteString(" " + prose.BlockWords(x) + " ")
		return
	case *draw.Image, sheet.Pictures, sheet.Meta, sheet.PageSetup:
		return
	}
	switch v.Kind() {
	case reflect.String:
		b.WriteString(" " + v.String() + " ")
	case reflect.Slice:
		for i := range v.Len() {
			sheetWords(v.Index(i), b)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			sheetWords(v.Elem(), b)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if _, out := f.Tag.Lookup("uncounted"); !f.IsExported() || out || quietFields[f.Name] {
				continue
			}
			sheetWords(v.Field(i), b)
		}
	}
}

// quietFields are texts that are read aloud or stand for something drawn.
var quietFields = map[string]bool{"Alt": true, "Sign": true, "Signal": true, "Spoken": true, "Design": true, "Target": true}

// demoPages shows what every recipe of the demo house says in a design, and its
// page.
func demoPages(t testing.TB, design string, see func(name string, s *sheet.Sheet, page []byte)) {
	t.Helper()
	require.Equal(t, 5, pagesOf(t, filepath.Join(testkit.Root(t), "recipes"), design, sheet.Options{}, see))
}

// pagesOf is demoPages for another house and with what is asked for.
func pagesOf(t testing.TB, dir, design string, asked sheet.Options, see func(name string, s *sheet.Sheet, page []byte)) int {
	t.Helper()
	var said bytes.Buffer
	e := &env{out: &said, err: &said, quiet: true}
	e.today = "2026-11-25"
	v, err := e.visit([]string{dir}, true)
	require.NoError(t, err)
	job := printJob{to: toHTML, design: sheet.FindDesign(design), asked: asked}
	for i := range v.recipes {
		s, _ := job.content(&v.recipes[i])
		require.NotNil(t, s)
		page, err := web.Page(s)
		require.NoError(t, err)
		see(s.ID, s, page)
	}
	return len(v.recipes)
}

// saysAll says that a page is sound and has every word of its sheet, as often.
func saysAll(t testing.TB, s *sheet.Sheet, page []byte) (text string) {
	t.Helper()
	all, text := soundPage(t, page)
	accessible(t, all, nil)
	var said strings.Builder
	sheetWords(reflect.ValueOf(*s), &said)
	have := counted(text)
	for w, n := range counted(said.String()) {
		assert.GreaterOrEqualf(t, have[w], n, "%q", w)
	}
	return text
}

var oneRecipe = []string{"process sheet", "bench card", "training sheet"}

// Every page of the demo house is sound HTML, has what assistive technology
// needs, asks for nothing outside, and says every word the sheet says, as often.
func TestPagesOfTheDemoHouse(t *testing.T) {
	for _, design := range oneRecipe {
		demoPages(t, design, func(name string, s *sheet.Sheet, page []byte) {
			t.Run(design+" "+name, func(t *testing.T) {
				text := saysAll(t, s, page)
				assert.Contains(t, text, s.Mark.String())
				assert.Contains(t, string(page), `data-mark="`+s.Mark.String()+`"`)
			})
		})
	}
}

// A German house has its pages in German, and its cards in two languages where
// that is asked for.
func TestPagesOfAGermanHouse(t *testing.T) {
	dir := testkit.Data(t, "languages", "de")
	for _, design := range oneRecipe {
		for _, with := range []*words.Language{nil, words.Find("en")} {
			if with != nil && design != "bench card" {
				continue
			}
			n := pagesOf(t, dir, design, sheet.Options{With: with}, func(_ string, s *sheet.Sheet, page []byte) {
				text := saysAll(t, s, page)
				assert.Contains(t, string(page), `<html lang="de"`)
				assert.Contains(t, text, "STOPP")
				assert.Equal(t, with != nil, strings.Contains(text, "Move on when"))
			})
			assert.NotZero(t, n)
		}
	}
}

// The page says what the PDF of the same recipe says: every word an independent
// reader finds in the PDF stands on the page, but for what only paper has.
func TestPagesSayWhatThePDFSays(t *testing.T) {
	onPaper := map[string]bool{"page": true, "of": true, "continued": true, "words": true}
	for _, design := range oneRecipe {
		pdfs := 0
		demoPages(t, design, func(name string, s *sheet.Sheet, page []byte) {
			_, text := soundPage(t, page)
			have := squeezed(strings.ToLower(text))
			pages, _ := layout.Lay(s)
			if pages == nil {
				// A card too full for its paper is none in PDF.
				return
			}
			pdfs++
			file, err := pdf.Write(pages)
			require.NoError(t, err)
			for w := range counted(textOf(t, file)) {
				// A word cut at a line's end stands in two runs: both are there.
				if !onPaper[w] && strings.Trim(w, "0123456789") != "" {
					assert.Truef(t, strings.Contains(have, w), "%s, %s: %q", design, name, w)
				}
			}
		})
		assert.NotZero(t, pdfs, design)
	}
}

// TestCommonMarkInPages sets every example of the specification under the notes
// of a recipe: the page is sound and holds every word that a reader of the
// specification's own HTML sees.
func TestCommonMarkInPages(t *testing.T) {
	h := trade.BuiltIn()
	parser := parse.New(h)
	words := 0
	for _, e := range specExamples(t) {
		content, _ := sheet.Build(e.plan(parser, h, "notes"), sheet.FindDesign("process sheet"), sheet.Options{Draft: true})
		page, err := web.Page(content)
		require.NoError(t, err)
		all, text := soundPage(t, page)
		for _, one := range all {
			if one.name == "a" && !strings.HasPrefix(one.attrs["href"], "#") {
				assert.Regexpf(t, `(?i)^(https?://|mailto:)`, one.attrs["href"], "example %d", e.Example)
				text += " " + one.attrs["href"]
			}
		}
		have := squeezed(text)
		for _, w := range visible(stdhtml.UnescapeString(tags.ReplaceAllString(altTexts.ReplaceAllString(e.HTML, " $1 "), " "))) {
			words++
			assert.Truef(t, strings.Contains(have, w), "example %d: %q in %q", e.Example, w, e.Markdown)
		}
	}
	assert.Greater(t, words, 1000)
}

// What an author writes stays words: no element, no address that runs anything,
// no character that hides or turns what stands after it.
func TestNothingAnAuthorWritesRuns(t *testing.T) {
	h := trade.BuiltIn()
	text := "---\nrecipe: bad\ntitle: \"</title><script>alert(1)</script>\"\nrevision: 1\ndate: 2026-11-01\nsurfaces:\n  - {name: \"<img src=x onerror=alert(2)>\", shape: flat, from: as cast, to: matte}\n---\n\n" +
		"## Look <b onclick=alert(3)>\n\n1. [go](javascript:alert(4)) <script>alert(5)</script> [files](../shop.yaml) [web](HTTPS://example.org/?a=1&b=2)\n- [ ] ok </label><script>alert(6)</script>\n\n" +
		"![x\" onerror=\"alert(7)](nowhere.png)\n\n# Notes\n\n<iframe src=\"https://example.org\"></iframe>\n\nturned\u202Eback and \x07bell\n"
	r, _ := parse.New(h).Parse(source.New("bad.md", []byte(text)))
	for _, design := range oneRecipe {
		content, _ := sheet.Build(process.Of(r, h), sheet.FindDesign(design), sheet.Options{Draft: true})
		page, err := web.Page(content)
		require.NoError(t, err)
		all, seen := soundPage(t, page)
		scripts := 0
		for _, e := range all {
			assert.NotContains(t, []string{"iframe", "b onclick"}, e.name)
			if e.name == "script" {
				scripts++
				assert.NotContains(t, e.text.String(), "alert")
			}
			for name, value := range e.attrs {
				assert.False(t, strings.HasPrefix(name, "on"), name)
				assert.NotContains(t, strings.ToLower(value), "javascript:")
			}
		}
		assert.LessOrEqual(t, scripts, 1)
		accessible(t, all, []string{"HTTPS://example.org/?a=1&b=2", "https://example.org/?a=1&b=2"})
		assert.Contains(t, seen, "<script>alert(1)</script>")
		if design == "process sheet" {
			assert.Contains(t, seen, "(javascript:alert(4))")
			assert.Contains(t, seen, "turnedU+202Eback")
			assert.Contains(t, seen, "<iframe")
		}
	}
}

// The table of the steps reads back by another's reader of RFC 4180 as the
// process sheet says it: a record for each step, every field of it.
func TestStepTablesReadBack(t *testing.T) {
	demoPages(t, "process sheet", func(name string, s *sheet.Sheet, _ []byte) {
		file, err := csvOf(s)
		require.NoError(t, err)
		text, marked := strings.CutPrefix(string(file), byteOrderMark)
		require.True(t, marked)
		assert.Equal(t, strings.Count(text, "\n"), strings.Count(text, "\r\n"), "every record ends with CR LF")
		records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		require.NoError(t, err)
		at := slices.IndexFunc(s.Blocks, func(b sheet.Block) bool { _, ok := b.(sheet.StepTable); return ok })
		rows := s.Blocks[at].(sheet.StepTable).Rows
		require.Len(t, records, len(rows)+1, name)
		for i, r := range rows {
			var want strings.Builder
			sheetWords(reflect.ValueOf(r), &want)
			got := squeezed(strings.Join(records[i+1], " "))
			assert.Equal(t, squeezed(fmt.Sprint(r.Number)), squeezed(records[i+1][0]))
			for _, w := range visible(want.String()) {
				assert.Contains(t, got, w, name)
			}
		}
	})
}

func TestPagesDoNotChange(t *testing.T) {
	kept := map[string][]byte{}
	for range 2 {
		demoPages(t, "process sheet", func(name string, _ *sheet.Sheet, page []byte) {
			if before, ok := kept[name]; ok {
				assert.True(t, bytes.Equal(before, page), name)
			}
			kept[name] = page
		})
	}
	assert.Len(t, kept, 5)
}
