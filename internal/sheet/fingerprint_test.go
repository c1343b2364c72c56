package sheet

import (
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// paper is a recipe with its shop file as they lie on the disk.
type paper struct{ shop, recipe string }

func demo(t testing.TB, name string) paper {
	dir := filepath.Join(testkit.Root(t), "recipes")
	return paper{string(testkit.Read(t, filepath.Join(dir, "shop.yaml"))), string(testkit.Read(t, filepath.Join(dir, name)))}
}

var targets = regexp.MustCompile(`\]\(([^)#:]+\.png)`)

// shades gives every picture a recipe shows samples of its own.
func shades(p paper) Pictures {
	ready := Pictures{}
	for i, m := range targets.FindAllStringSubmatch(p.recipe, -1) {
		ready[m[1]] = &draw.Image{Width: 2, Height: 1, Grey: true, Samples: []byte{byte(i), 7}}
	}
	return ready
}

func (p paper) sheet(t testing.TB) *Sheet {
	return build(t, read(t, p.shop, p.recipe), Options{Pictures: shades(p)})
}

// swaps puts the parts of a file that begin in the first column, or the
// entries one level in, in another order.
func swaps(t *rapid.T, text string, begins *regexp.Regexp) string {
	at := begins.FindAllStringIndex(text, -1)
	if len(at) < 2 {
		return text
	}
	var parts []string
	for i := range at {
		end := len(text)
		if i+1 < len(at) {
			end = at[i+1][0]
		}
		parts = append(parts, text[at[i][0]:end])
	}
	return text[:at[0][0]] + strings.Join(rapid.Permutation(parts).Draw(t, "order"), "")
}

var (
	keyInFirstColumn = regexp.MustCompile(`(?m)^[a-z]`)
	stockLine        = regexp.MustCompile(`(?m)^  [A-Z0-9-]+: \{`)
	boundary         = regexp.MustCompile(`(?m)^[a-z ]+:`)
)

// inSection does something with the lines of one section of a shop file.
func inSection(shop, name string, do func(string) string) string {
	from := strings.Index(shop, "\n"+name+":\n")
	if from < 0 {
		return shop
	}
	from += len(name) + 3
	to := len(shop)
	if next := boundary.FindStringIndex(shop[from:]); next != nil {
		to = from + next[0]
	}
	return shop[:from] + do(shop[from:to]) + shop[to:]
}

// What is no part of the words does not move the mark: comments, blank lines,
// spaces, how lines are wrapped and marked up, the order of keys and entries,
// the names of pictures, the machine's way of ending lines.
func TestMarkIsUnmovedByWhatIsNotSaid(t *testing.T) {
	names := []string{"cast-weight.md", "relief-panel.md", "optic-block.md", "lens-vase.md", "crystal-bowl-rim.md"}
	was := map[string]*Sheet{}
	for _, name := range names {
		was[name] = demo(t, name).sheet(t)
	}
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.SampledFrom(names).Draw(rt, "recipe")
		p := demo(t, name)
		yes := func(what string) bool { return rapid.Bool().Draw(rt, what) }
		head, body, _ := strings.Cut(strings.TrimPrefix(p.recipe, "---\n"), "\n---\n")
		if yes("order of the front matter") {
			head = strings.TrimRight(swaps(rt, head+"\n", keyInFirstColumn), "\n")
		}
		if yes("comments in it") {
			head = "# read with care\n" + strings.ReplaceAll(head, "\n", "   # so\n")
		}
		if yes("blank lines") {
			body = strings.ReplaceAll(body, "\n\n", "\n\n\n")
		}
		if yes("wrapping") {
			body = regexp.MustCompile(`(\pL) (\pL)`).ReplaceAllString(body, "$1  $2")
			body = regexp.MustCompile(`(?m)^(\pL[^\n]*\pL),?\n(\pL)`).ReplaceAllStringFunc(body, func(s string) string { return strings.Replace(s, "\n", " ", 1) })
		}
		if yes("bullets") {
			body = regexp.MustCompile(`(?m)^- `).ReplaceAllString(body, "* ")
		}
		if yes("names of pictures") {
			body = strings.ReplaceAll(body, ".png", "-2.png")
		}
		p.recipe = "---\n" + head + "\n---\n" + body
		if yes("line ends") {
			p.recipe = strings.ReplaceAll(p.recipe, "\n", "\r\n")
		}
		if yes("order of the shop file") {
			p.shop = swaps(rt, p.shop, keyInFirstColumn)
		}
		for _, section := range []string{"stock", "media", "machines"} {
			if yes("order of " + section) {
				p.shop = inSection(p.shop, section, func(s string) string { return swaps(rt, s, stockLine) })
			}
		}
		if yes("comments in the shop file") {
			p.shop = "# ours\n" + strings.ReplaceAll(p.shop, "\n\n", "\n# and\n\n")
		}
		o := Options{
			Pictures: shades(p), Landscape: yes("landscape"),
			Paper: rapid.SampledFrom([]string{"", "Letter", "A3"}).Draw(rt, "paper"), Copy: rapid.IntRange(0, 9).Draw(rt, "copy"),
		}
		s := build(t, read(t, p.shop, p.recipe), o)
		if s.Mark != was[name].Mark {
			require.Equal(rt, saidBy(was[name]), saidBy(s))
			require.Equal(rt, was[name].Mark, s.Mark)
		}
	})
}

// saidBy is a sheet as the dump for goldens writes it down, without what does
// not count: paper, what the file says of itself, names of pictures, spaces.
func saidBy(s *Sheet) string {
	said := *s
	said.Page, said.Meta, said.Mark, said.Copy = PageSetup{}, Meta{}, "", 0
	return manySpaces.ReplaceAllString(pictureName.ReplaceAllString(dump(&said), "$1"), " ")
}

var (
	manySpaces  = regexp.MustCompile(` +`)
	pictureName = regexp.MustCompile(`(?m)^( *- shown:.*)\[[^\]]*\]`)
)

var letterRun = regexp.MustCompile(`[\pL\pN]+`)

// Whatever word of a recipe or a shop file is changed: where the dump of the
// sheet is another, so is the mark.
func TestMarkMovesWithEveryWord(t *testing.T) {
	testkit.Long(t)
	moved := 0
	rapid.Check(t, func(rt *rapid.T) {
		p := demo(t, rapid.SampledFrom([]string{"cast-weight.md", "relief-panel.md", "lens-vase.md"}).Draw(rt, "recipe"))
		was := p.sheet(t)
		text := &p.recipe
		if rapid.IntRange(0, 4).Draw(rt, "file") == 0 {
			text = &p.shop
		}
		at := rapid.SampledFrom(letterRun.FindAllStringIndex(*text, -1)).Draw(rt, "word")
		last := (*text)[at[1]-1]
		put := rapid.SampledFrom([]string{"x", "7", "", " and"}).Draw(rt, "instead")
		if put == string(last) {
			return
		}
		*text = (*text)[:at[1]-1] + put + (*text)[at[1]:]
		s, _ := Build(read(t, p.shop, p.recipe), FindDesign("process sheet"), Options{Pictures: shades(p)})
		if s == nil {
			return // a paper there is none of
		}
		if saidBy(s) != saidBy(was) {
			moved++
			require.NotEqual(rt, was.Mark, s.Mark)
		}
	})
	require.Positive(t, moved)
}

// leaves goes through every text, number and answer of a sheet; change makes
// it another and back makes it what it was.
func leaves(v reflect.Value, path string, counts bool, do func(path string, counts bool, change, back func())) {
	switch v.Type() {
	case reflect.TypeFor[source.Span](), reflect.TypeFor[Pictures](), reflect.TypeFor[*draw.Image]():
		return
	}
	set := func(to reflect.Value) {
		old := reflect.New(v.Type()).Elem()
		old.Set(v)
		do(path, counts, func() { v.Set(to.Convert(v.Type())) }, func() { v.Set(old) })
	}
	switch v.Kind() {
	case reflect.String:
		set(reflect.ValueOf(v.String() + " more"))
	case reflect.Int:
		next := v.Int() + 1
		if next > int64(trade.Danger) && v.Type() == reflect.TypeFor[trade.Signal]() {
			next = int64(trade.Notice)
		}
		set(reflect.ValueOf(next))
	case reflect.Bool:
		set(reflect.ValueOf(!v.Bool()))
	case reflect.Float64:
		set(reflect.ValueOf(v.Float()*1.01 + .001))
	case reflect.Slice:
		for i := range v.Len() {
			leaves(v.Index(i), path, counts, do)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			leaves(v.Elem(), path, counts, do)
		}
	case reflect.Interface:
		copied := reflect.New(v.Elem().Type()).Elem()
		copied.Set(v.Elem())
		leaves(copied, v.Elem().Type().Name(), counts, func(path string, counts bool, change, back func()) {
			do(path, counts, func() { change(); v.Set(copied) }, func() { back(); v.Set(copied) })
		})
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			_, left := f.Tag.Lookup(uncounted)
			leaves(v.Field(i), path+"."+f.Name, counts && !left, do)
		}
	}
}

// notSaid are the parts of prose that do not reach the paper, or only as room.
var notSaid = regexp.MustCompile(`\.(Tight|Aligns|Start|Ordered|Level|Index|Task|Text|Title|Target)$`)

// Every single value of a sheet moves the mark, but for those that are marked
// as uncounted; those never do.
func TestEveryValueCounts(t *testing.T) {
	everything := open(t, testkit.Data(t, "sheets", "everything", "everything.md"))
	sheets := []*Sheet{build(t, open(t, testkit.Data(t, "sheets", "cast-weight", "cast-weight.md")), Options{})}
	for _, d := range Designs() {
		var s *Sheet
		if d.OfHouse() {
			s, _ = BuildHouse(everything.House, d, Options{})
		} else {
			s, _ = Build(everything, d, Options{})
		}
		sheets = append(sheets, s)
	}
	still := map[string]bool{}
	for _, s := range sheets {
		s.Draft = &Draft{Reason: "not approved", Short: "not approved"}
		s.Standing = []string{"The house only warns of this."}
		s.Stamp()
		was, values := Fingerprint(s), 0
		leaves(reflect.ValueOf(s).Elem(), "Sheet", true, func(path string, counts bool, change, back func()) {
			values++
			change()
			is := Fingerprint(s)
			back()
			if is != was {
				assert.Truef(t, counts, "%s moves the mark and should not", path)
				return
			}
			if counts && !notSaid.MatchString(path) {
				assert.Failf(t, "does not count", "%s of the %s", path, s.Kind)
			}
			if !counts {
				still[path] = true
			}
		})
		assert.Equal(t, was, Fingerprint(s), "the sheet is as it was")
		assert.Greater(t, values, 100)
	}
	for _, path := range []string{"Sheet.Page.Paper", "Sheet.Page.Left", "Sheet.Meta.Title", "Sheet.Identity.Copy", "Sheet.Identity.Mark", "StepInFull.Anchor"} {
		assert.Truef(t, still[path], "%s", path)
	}
}

func inline(kind prose.InlineKind, text string, children ...prose.Inline) prose.Inline {
	return prose.Inline{Kind: kind, Text: text, Children: children}
}

// Of prose the words count, what marks them out, and nothing of how its file
// was cut into lines.
func TestMarkOfProse(t *testing.T) {
	mark := func(pictures Pictures, blocks ...prose.Block) string {
		s := &Sheet{Blocks: []Block{Notes{Blocks: blocks, Pictures: pictures}}}
		s.Stamp()
		return s.Mark.String()
	}
	line := func(inlines ...prose.Inline) prose.Block { return prose.Block{Inlines: inlines} }
	text := func(s string) prose.Inline { return inline(prose.Text, s) }
	soft, brk := inline(prose.Soft, ""), inline(prose.Break, "")
	was := mark(nil, line(text("wet the felt")))
	for name, same := range map[string]prose.Block{
		"cut up":       line(text("wet "), text("the"), soft, text("felt")),
		"spaces":       line(text(" wet  the\tfelt ")),
		"no break":     line(text("wet\u00A0the felt")),
		"soft hyphen":  line(text("wet the fe\u00ADlt")),
		"close spaced": {Tight: true, Inlines: []prose.Inline{text("wet the felt")}},
	} {
		assert.Equalf(t, was, mark(nil, same), "%s", name)
	}
	picture := func(target, title string) prose.Inline {
		return prose.Inline{Kind: prose.Image, Target: target, Title: title, Children: []prose.Inline{text("felt")}}
	}
	link := func(target string) prose.Inline {
		return prose.Inline{Kind: prose.Link, Target: target, Children: []prose.Inline{text("felt")}}
	}
	item := func(task string) prose.Block { return prose.Block{Kind: prose.Item, Task: task} }
	list := func(ordered bool, start int, items ...prose.Block) prose.Block {
		return prose.Block{Kind: prose.List, Ordered: ordered, Start: start, Blocks: items}
	}
	grey := func(sample byte) *draw.Image {
		return &draw.Image{Width: 1, Height: 1, Grey: true, Samples: []byte{sample}}
	}
	one, two := Pictures{"a.png": grey(1), "b.png": grey(1), "spare.png": grey(9)}, Pictures{"a.png": grey(2)}
	all := map[string]string{"": was}
	for name, other := range map[string]string{
		"another word":       mark(nil, line(text("wet the belt"))),
		"joined words":       mark(nil, line(text("wetthe felt"))),
		"a word apart":       mark(nil, line(text("wet the"), inline(prose.Strong, "", text("felt")))),
		"strong":             mark(nil, line(text("wet the "), inline(prose.Strong, "", text("felt")))),
		"emphasis":           mark(nil, line(text("wet the "), inline(prose.Emphasis, "", text("felt")))),
		"struck out":         mark(nil, line(text("wet the "), inline(prose.Strike, "", text("felt")))),
		"a break":            mark(nil, line(text("wet the"), brk, text("felt"))),
		"two paragraphs":     mark(nil, line(text("wet the")), line(text("felt"))),
		"a heading":          mark(nil, prose.Block{Kind: prose.Heading, Level: 2, Inlines: []prose.Inline{text("wet the felt")}}),
		"a smaller one":      mark(nil, prose.Block{Kind: prose.Heading, Level: 3, Inlines: []prose.Inline{text("wet the felt")}}),
		"a link":             mark(nil, line(text("wet the "), link("https://example.org/a"))),
		"another link":       mark(nil, line(text("wet the "), link("https://example.org/b"))),
		"a link inside":      mark(nil, line(text("wet the "), link("#one"))),
		"a picture":          mark(one, line(text("wet the "), picture("a.png", ""))),
		"its samples":        mark(two, line(text("wet the "), picture("a.png", ""))),
		"its caption":        mark(one, line(text("wet the "), picture("a.png", "so"))),
		"a picture missing":  mark(nil, line(text("wet the "), picture("a.png", ""))),
		"a list":             mark(nil, list(false, 0, item(""))),
		"a numbered list":    mark(nil, list(true, 1, item(""))),
		"counted on":         mark(nil, list(true, 2, item(""))),
		"a box":              mark(nil, list(false, 0, item(" "))),
		"a ticked box":       mark(nil, list(false, 0, item("x"))),
		"two entries":        mark(nil, list(false, 0, item(""), item(""))),
		"a list in a list":   mark(nil, list(false, 0, prose.Block{Kind: prose.Item, Blocks: []prose.Block{list(false, 0)}})),
		"code":               mark(nil, prose.Block{Kind: prose.CodeBlock, Text: "wet the felt"}),
		"code, spaced":       mark(nil, prose.Block{Kind: prose.CodeBlock, Text: "wet  the felt"}),
		"a table":            mark(nil, prose.Block{Kind: prose.Table, Rows: [][][]prose.Inline{{{text("wet")}, {text("felt")}}}}),
		"a table of two":     mark(nil, prose.Block{Kind: prose.Table, Rows: [][][]prose.Inline{{{text("wet")}}, {{text("felt")}}}}),
		"a footnote":         mark(nil, line(text("wet the felt"), prose.Inline{Kind: prose.Footnote, Index: 1})),
		"another footnote":   mark(nil, line(text("wet the felt"), prose.Inline{Kind: prose.Footnote, Index: 2})),
		"the words in quote": mark(nil, prose.Block{Kind: prose.Quote, Blocks: []prose.Block{line(text("wet the felt"))}}),
	} {
		for before, mark := range all {
			assert.NotEqualf(t, mark, other, "%q and %q", before, name)
		}
		all[name] = other
	}
	assert.Equal(t, all["a link inside"], mark(nil, line(text("wet the "), link("#two"))))
	assert.Equal(t, all["a picture"], mark(one, line(text("wet the "), picture("b.png", ""))), "the same picture by another name")
}

// A design counts by what of it reaches the page, a caution by its words, a
// house by its name.
func TestMarkOfDesignAndHouse(t *testing.T) {
	p := demo(t, "cast-weight.md")
	plan := read(t, p.shop, p.recipe)
	design := *FindDesign("process sheet")
	mark := func(d Design, o Options) string {
		s, found := Build(plan, &d, o)
		require.Empty(t, found)
		return s.Mark.String()
	}
	was := mark(design, Options{})
	wide := design
	wide.Portrait.Left, wide.Paper = 45, "Letter"
	assert.Equal(t, was, mark(wide, Options{}), "margins and paper")
	assert.Equal(t, was, mark(design, Options{Findings: diag.List{{Rule: "a-note", Severity: diag.Note, Message: "So."}}}), "a finding that is not on the page")
	for i := range design.Blocks {
		less := design
		less.Blocks = slices.Delete(slices.Clone(design.Blocks), i, i+1)
		s, _ := Build(plan, &less, Options{})
		full, _ := Build(plan, &design, Options{})
		assert.Equalf(t, len(s.Blocks) != len(full.Blocks), was != s.Mark.String(), "without %s", design.Blocks[i].Name)
	}
	turned := design
	turned.Blocks = slices.Clone(design.Blocks)
	slices.Reverse(turned.Blocks)
	assert.NotEqual(t, was, mark(turned, Options{}), "another order")
	assert.NotEqual(t, was, mark(design, Options{Draft: true}), "a draft")
	assert.NotEqual(t, was, mark(design, Options{Findings: diag.List{{Rule: "x", Severity: diag.Error, Message: "So."}}}), "what stops it stands on the tab")

	other := paper{strings.Replace(p.shop, "Quillfen Cold Shop\n", "Quillfen Glass\n", 1), p.recipe}
	require.NotEqual(t, p.shop, other.shop)
	assert.NotEqual(t, was, other.sheet(t).Mark.String(), "the name of the house")
	unused := paper{strings.Replace(p.shop, "grade: 60 mesh", "grade: 50 mesh", 1), p.recipe}
	require.NotEqual(t, p.shop, unused.shop)
	assert.Equal(t, p.sheet(t).Mark, unused.sheet(t).Mark, "a disc the recipe does not use")

	reworded := paper{p.shop + "\ncautions:\n  dry powder: Wet it first, and wear the mask.\n", p.recipe}
	assert.NotEqual(t, p.sheet(t).Mark, reworded.sheet(t).Mark, "the words of a caution")
	idle := paper{p.shop + "\ncautions:\n  blast cabinet: Gloves on, door shut.\n", p.recipe}
	assert.Equal(t, p.sheet(t).Mark, idle.sheet(t).Mark, "a caution that does not reach this page")
}

// Every design that can be printed gives its sheets a mark.
func TestEveryDesignIsStamped(t *testing.T) {
	p := demo(t, "cast-weight.md")
	seen := map[string]string{}
	for _, d := range Designs() {
		plan := read(t, p.shop, p.recipe)
		var s *Sheet
		if d.OfHouse() {
			s, _ = BuildHouse(plan.House, d, Options{})
		} else {
			s, _ = Build(plan, d, Options{})
		}
		require.NotNil(t, s, d.Name)
		require.Len(t, string(s.Mark), 9, d.Name)
		assert.Emptyf(t, seen[string(s.Mark)], "%s says the same", d.Name)
		seen[string(s.Mark)] = d.Name
		assert.Equal(t, s.Mark, func() any { s.Stamp(); return s.Mark }(), "nothing is added after the stamp")
	}
}

// What draws nothing is left out of a text, spaces are one.
func TestSpaced(t *testing.T) {
	for in, want := range map[string]string{
		"": "", " ": "", "a b": "a b", " a\u00A0\n b ": "a b", "F\u2060-\u206080": "F-80", "größe": "größe", "2\u202F%": "2 %",
	} {
		assert.Equalf(t, want, spaced(in), "%q", in)
	}
	assert.Equal(t, " a ", spacedInside(" a "))
}

func BenchmarkFingerprint(b *testing.B) {
	s := build(b, open(b, testkit.Data(b, "sheets", "everything", "everything.md")), Options{})
	for b.Loop() {
		Fingerprint(s)
	}
}
