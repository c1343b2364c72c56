package keys

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"coldwright/internal/diag"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
)

// read reads a whole text.
func read(text string) (Value, diag.List) {
	var report diag.List
	f := source.New("r.md", []byte(text))
	return Read(f, 0, len(text), &report), report
}

// get follows keys down from v.
func get(t *testing.T, v Value, path ...string) Value {
	t.Helper()
	for _, key := range path {
		require.Equal(t, Map, v.Kind(), "%s", key)
		found := false
		for _, e := range v.Entries(nil) {
			if e.Key == key {
				v, found = e.Value, true
			}
		}
		require.True(t, found, "no %s", key)
	}
	return v
}

// plainWords are words no finding may use: they speak of a file format.
var plainWords = []string{"yaml", "mapping", "node", "scalar", "token", "indent", "syntax", "parse", "anchor", "alias", "string"}

func bench(t *testing.T, report diag.List) {
	t.Helper()
	known := map[string]bool{}
	for _, m := range Mistakes {
		known[m.ID] = true
	}
	for _, d := range report {
		for _, w := range plainWords {
			assert.NotContains(t, strings.ToLower(d.Message+" "+d.Help), w)
		}
		assert.True(t, known[d.Rule], d.Rule)
		assert.True(t, d.Span.Known())
		assert.Equal(t, diag.Error, d.Severity)
		assert.Equal(t, diag.Card, d.Concern)
		assert.True(t, strings.HasSuffix(d.Message, "."), d.Message)
	}
}

func TestPlaces(t *testing.T) {
	text := "title: Größe µ\npiece: {form: cast, size: \"80 mm x 40 mm\"}\nnote: 'it''s'\nlist:\n  - one\n  - JIS 400 # remark\nstop: |\n  Bright base.\n\n  Never touched.\nlong: one\n  two\nempty:\nnumber: 2\ndate: 2026-10-05\nyes: on\n"
	v, report := read(text)
	require.Empty(t, report)
	for _, c := range []struct{ key, text string }{
		{"title", "Größe µ"}, {"number", "2"}, {"date", "2026-10-05"}, {"yes", "on"},
	} {
		one := get(t, v, c.key)
		assert.Equal(t, c.text, one.Text())
		assert.Equal(t, c.text, one.Span().Text())
		key, at := one.Key()
		assert.Equal(t, c.key, key)
		assert.Equal(t, c.key, at.Text())
	}
	size := get(t, v, "piece", "size")
	assert.True(t, size.Quoted())
	assert.Equal(t, "80 mm x 40 mm", size.Span().Text())
	assert.Equal(t, "40 mm", size.Part(8, 13).Text())
	assert.Equal(t, "{form: cast, size: \"80 mm x 40 mm\"}", get(t, v, "piece").Span().Text())
	note := get(t, v, "note")
	assert.Equal(t, "it's", note.Text())
	assert.Equal(t, "it''s", note.Span().Text())
	assert.Equal(t, "it''s", note.Part(0, 2).Text(), "an escaped text has no parts")
	items := get(t, v, "list").List()
	require.Len(t, items, 2)
	assert.Equal(t, "JIS 400", items[1].Span().Text())
	remark, at := items[1].Comment()
	assert.Equal(t, " remark", remark)
	assert.Equal(t, "# remark", at.Text())
	key, _ := items[1].Key()
	assert.Equal(t, "list", key)
	stop := get(t, v, "stop")
	assert.Equal(t, "Bright base.\n\nNever touched.", stop.Text())
	assert.Equal(t, "Bright base.\n\n  Never touched.", stop.Span().Text())
	long := get(t, v, "long")
	assert.Equal(t, "one two", long.Text())
	assert.Equal(t, "one\n  two", long.Span().Text())
	assert.Equal(t, Empty, get(t, v, "empty").Kind())
	assert.Len(t, get(t, v, "title").List(), 1)
	assert.Nil(t, get(t, v, "empty").List())
}

func TestReadsAPartOfAFile(t *testing.T) {
	text := "---\r\nrecipe: cast\r\npiece:\r\n  form: blown\r\n---\r\nBody.\r\n"
	f := source.New("r.md", []byte(text))
	var report diag.List
	v := Read(f, 5, strings.LastIndex(text, "---"), &report)
	require.Empty(t, report)
	form := get(t, v, "piece", "form")
	assert.Equal(t, "blown", form.Text())
	assert.Equal(t, 4, form.Span().Place().Line)
	assert.Equal(t, 9, form.Span().Place().Column)
}

// TestMistakes writes each mistake once: the finding names the words at fault
// and what to write, and the rest of the text is read.
func TestMistakes(t *testing.T) {
	for _, c := range []struct {
		name, text, rule, at, help string
		line                       int
		// want are values that must be read all the same.
		want map[string]string
	}{
		{"comma in braces", "s: {name: base, from: sawn, diamond 100 mesh, to: satin}\nz: 1\n", CommaQuotes, "from: sawn, diamond 100 mesh", `Write from: "sawn, diamond 100 mesh"`, 1, map[string]string{"s/name": "base", "s/from": "sawn, diamond 100 mesh", "s/to": "satin", "z": "1"}},
		{"two commas in braces", "s: {from: sawn, diamond, 100 mesh}\n", CommaQuotes, "from: sawn, diamond, 100 mesh", `Write from: "sawn, diamond, 100 mesh"`, 1, map[string]string{"s/from": "sawn, diamond, 100 mesh"}},
		{"colon in braces", "s: {to: bright: yes, a: it's}\nz: 1\n", ColonQuotes, "to: bright: yes", `Write to: "bright: yes"`, 1, map[string]string{"s/to": "bright: yes", "s/a": "it's", "z": "1"}},
		{"colon in a sentence", "title: Cast: base bright\nz: 1\n", ColonQuotes, "Cast: base bright", `Write title: "Cast: base bright"`, 1, map[string]string{"title": "Cast: base bright", "z": "1"}},
		{"colon and quotes in a sentence", "title: It's \"new\": yes\n", ColonQuotes, "It's \"new\": yes", `Write title: 'It''s "new": yes'`, 1, map[string]string{"title": "It's \"new\": yes"}},
		{"colon in a list", "c:\n  - one: two: three\n  - four\n", ColonQuotes, "two: three", `Write one: "two: three"`, 2, nil},
		{"colon deep inside", "a:\n  b:\n    c: d: e\n  f: g\n", ColonQuotes, "d: e", `Write c: "d: e"`, 3, map[string]string{"a/b/c": "d: e", "a/f": "g"}},
		{"tab", "a:\n\tb: c\n\td: e\nz: 1\n", TabBeforeKey, "\t", "Write spaces before the key instead, two for each tab.", 2, map[string]string{"a/b": "c", "a/d": "e", "z": "1"}},
		{"too far in", "piece:\n  form: cast\n   size: 3 mm\n  mould: removed\n", SpacesBefore, "   size", "", 3, map[string]string{"piece/size": "3 mm", "piece/mould": "removed"}},
		{"first line too far in", "  a: b\nc: d\n", SpacesBefore, "  a", "", 1, map[string]string{"a": "b", "c": "d"}},
		{"no space", "title:Cast\nz: 1\n", SpaceMissing, "title:Cast", "Write title: Cast", 1, map[string]string{"title": "Cast", "z": "1"}},
		{"grade eaten", "grade: JIS #400\n", CommentEats, "#400", `Write grade: "JIS #400"`, 1, map[string]string{"grade": "JIS #400"}},
		{"whole grade eaten", "grade: #400\n", CommentEats, "#400", `Write grade: "#400"`, 1, map[string]string{"grade": "#400"}},
		{"grade eaten in brackets", "g: [JIS #400, F80]\nz: 1\n", CommentEats, "JIS #400", `Write "JIS #400"`, 1, map[string]string{"z": "1"}},
		{"emphasis", "stop: *Never* touch it\n", SignQuotes, "*Never* touch it", `Write stop: "*Never* touch it"`, 1, map[string]string{"stop": "*Never* touch it"}},
		{"exclamation", "stop: !Never touch it\n", SignQuotes, "!Never touch it", `Write stop: "!Never touch it"`, 1, map[string]string{"stop": "!Never touch it"}},
		{"per cent", "a: %5\nz: 1\n", SignQuotes, "%5", `Write a: "%5"`, 1, map[string]string{"a": "%5", "z": "1"}},
		{"backslash", "a: \"b\\qc\"\nz: 1\n", SignQuotes, "\"b\\qc\"", `Write a: 'b\qc'`, 1, map[string]string{"a": "b\\qc", "z": "1"}},
		{"words after quotes", "a: \"b\" c\nz: 1\n", SignQuotes, "\"b\" c", `Write a: '"b" c'`, 1, map[string]string{"a": "\"b\" c", "z": "1"}},
		{"open quotes", "a: \"b\nz: 1\n", OpenQuotes, "\"b", `Write a: "b"`, 1, map[string]string{"a": "b", "z": "1"}},
		{"open bracket", "a: [b, c\nz: 1\n", OpenBrace, "[", "Write a ] behind the last value.", 1, map[string]string{"z": "1"}},
		{"open brace in a list", "s:\n  - {a: b\n  - {a: c}\nz: 1\n", OpenBrace, "{", "Write a } behind the last value.", 2, map[string]string{"z": "1"}},
		{"wrong bracket", "a: {b: [c, d}\nz: 1\n", OpenBrace, "[", "Write a ] first.", 1, map[string]string{"z": "1"}},
		{"stray words", "a: b\nfoo bar\nz: 1\n", Broken, "foo bar", "", 2, map[string]string{"a": "b", "z": "1"}},
		{"list without a key", "- a\n- b\nz: 1\n", Broken, "- a", "", 1, map[string]string{"z": "1"}},
		{"dashes", "a: b\n---\nz: 1\n", SecondText, "---", "Take the line out.", 2, map[string]string{"a": "b", "z": "1"}},
		{"tab at the top", "a: b\n\tc: d\ne: f\n", TabBeforeKey, "\t", "", 2, map[string]string{"a": "b", "c": "d", "e": "f"}},
		{"tab in the first line", "\ta: b\nc: d\n", TabBeforeKey, "\t", "", 1, map[string]string{"a": "b", "c": "d"}},
		{"tab in a list", "s:\n  - a: b\n\tc: d\n    e: f\nz: 1\n", TabBeforeKey, "\t", "", 3, map[string]string{"z": "1"}},
		{"tabs and spaces", "s:\n\ta: b\n  c: d\nz: 1\n", TabBeforeKey, "\t", "", 2, map[string]string{"s/a": "b", "s/c": "d", "z": "1"}},
		{"whole grade eaten in braces", "s: {a: b, grade: #400, c: d}\nz: 1\n", CommentEats, "grade: #400", `Write grade: "#400"`, 1, map[string]string{"s/a": "b", "s/grade": "#400", "s/c": "d", "z": "1"}},
		{"remark in braces", "s: {a: [b], # it\nz: 1\n", OpenBrace, "{", "", 1, map[string]string{"z": "1"}},
		{"comma of a number", "s: {grade: 1,5 µm, c: d}\nz: 1\n", CommaQuotes, "grade: 1,5 µm", "Write grade: 1.5 µm", 1, map[string]string{"s/grade": "1.5 µm", "s/c": "d", "z": "1"}},
		{"commas of a number and of words", "s: {from: sawn, damage 1,5 µm}\n", CommaQuotes, "from: sawn, damage 1,5 µm", `Write from: "sawn, damage 1.5 µm"`, 1, map[string]string{"s/from": "sawn, damage 1.5 µm"}},
		{"comma of thousands", "s: {price: 1,200 EUR}\n", CommaQuotes, "price: 1,200 EUR", `Write price: "1,200 EUR"`, 1, map[string]string{"s/price": "1,200 EUR"}},
		{"key without a value in braces", "s: {a: b, c:, d: e, f:}\nt: {g: h, i j}\n", CommaQuotes, "g: h, i j", "", 2, map[string]string{"s/a": "b", "s/c": "", "s/d": "e", "s/f": ""}},
		{"twice", "a: b\nc: d\na: e\n", RepeatedKey, "a", "Keep one of the two.", 3, map[string]string{"a": "b", "c": "d"}},
		{"anchor", "a: &x b\nz: 1\n", WrittenByRef, "&x", "", 1, map[string]string{"a": "b", "z": "1"}},
		{"broken bytes", "a: b\xffc\nz: 1\n", UnreadableByte, "\xff", "", 1, map[string]string{"z": "1"}},
		{"NUL", "a: b\x00\nz: 1\n", UnreadableByte, "\x00", "", 1, map[string]string{"z": "1"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			v, report := read(c.text)
			bench(t, report)
			require.Len(t, report, 1, "%+v", report)
			d := report[0]
			assert.Equal(t, c.rule, d.Rule)
			assert.Equal(t, c.at, d.Span.Text())
			assert.Equal(t, c.line, d.Span.Place().Line)
			if c.help != "" {
				assert.Equal(t, c.help, d.Help)
			}
			for path, text := range c.want {
				one := get(t, v, strings.Split(path, "/")...)
				assert.Equal(t, text, one.Text(), path)
			}
		})
	}
}

func TestAllMistakesAtOnce(t *testing.T) {
	v, report := read("title: Cast: base\nrevison: 2\npiece: {form: cast, size: 1, 2 mm}\nsurfaces:\n  - {name: rim, to: seamed: yes}\n  - {name: base}\n\tstop: x\ndate: 1\ndate: 2\n")
	bench(t, report)
	v.Fields("the front matter", []string{"title", "revision", "piece", "surfaces", "stop", "date"}, &report)
	var rules []string
	for _, d := range report {
		rules = append(rules, d.Rule)
	}
	for _, want := range []string{ColonQuotes, CommaQuotes, TabBeforeKey, RepeatedKey, UnknownKey} {
		assert.Contains(t, rules, want)
	}
	assert.Equal(t, "1, 2 mm", get(t, v, "piece", "size").Text())
	assert.Equal(t, Map, get(t, v, "surfaces").List()[1].Kind())
}

// TestUnreadIsNotMissing: lines nothing could be made of leave their key.
func TestUnreadIsNotMissing(t *testing.T) {
	v, report := read("a: 1\nb:\n  c: d\n  - e\nz: 3\n")
	require.NotEmpty(t, report)
	bench(t, report)
	assert.Equal(t, Unread, get(t, v, "b").Kind())
	assert.Equal(t, "3", get(t, v, "z").Text())
	assert.Equal(t, Missing, Value{}.Kind())
	assert.Equal(t, Missing, v.Fields("x", []string{"a", "b", "z"}, nil).Get("q").Kind())
}

func TestFields(t *testing.T) {
	v, report := read("recipe: a\nglas: lead\ntitel: b\nxyzzy: 1\n")
	f := v.Fields("the front matter", []string{"recipe", "title", "glass"}, &report)
	require.Len(t, report, 3)
	bench(t, report)
	assert.Equal(t, "“glas” is no key of the front matter.", report[0].Message)
	assert.Equal(t, "Write glass.", report[0].Help)
	assert.Equal(t, "Write title.", report[1].Help)
	assert.Equal(t, "The keys of the front matter are recipe, title and glass.", report[2].Help)
	assert.Equal(t, "a", f.Get("recipe").Text())
	assert.Equal(t, "lead", f.Get("glass").Text(), "a slip is read as the key that was meant")
	assert.Equal(t, "b", f.Get("title").Text())
	assert.Len(t, f.Entries(), 3)

	v, report = read("glas: lead\nglass: soda-lime\ntitel: a\ntitl: b\n")
	f = v.Fields("the front matter", []string{"title", "glass"}, &report)
	assert.Len(t, report, 3)
	assert.Equal(t, "soda-lime", f.Get("glass").Text(), "what is written right counts")
	assert.Equal(t, "a", f.Get("title").Text(), "of two slips the first counts")

	v, report = read("piece: cast\n")
	get(t, v, "piece").Fields("the piece", []string{"form"}, &report)
	require.Len(t, report, 1)
	assert.Equal(t, NotKeys, report[0].Rule)
	assert.Equal(t, "The piece takes keys with their values, not “cast”.", report[0].Message)

	many := strings.Builder{}
	for i := range 2000 {
		fmt.Fprintf(&many, "k%d: 1\n", i)
	}
	v, report = read(many.String())
	v.Fields("the shop file", []string{"house"}, &report)
	assert.Len(t, report, maxUnknown+1)
	assert.Equal(t, "1950 more keys of the shop file are unknown.", report[maxUnknown].Message)
}

func TestMembers(t *testing.T) {
	known := func(s string) bool { return s == "keep wet" || s == "eyes" }
	for text, want := range map[string]string{
		"a: [keep wet, eyes]":     "keep wet|eyes",
		"a: keep wet":             "keep wet",
		"a:\n  - eyes\n  - x":     "eyes|x",
		"a:":                      "",
		"a: x, y":                 "x, y",
		"a: keep wet, eyes":       "!keep wet|eyes",
		"a: keep wet , x, eyes,":  "!keep wet|x|eyes",
		"a: keep wet; eyes":       "!keep wet|eyes",
		"a:\n  keep wet,\n  eyes": "!keep wet|eyes",
	} {
		v, report := read(text + "\n")
		require.Empty(t, report)
		got := ""
		for i, one := range get(t, v, "a").Members(known, &report) {
			if i > 0 {
				got += "|"
			}
			got += one.Text()
			if !strings.Contains(text, "\n") {
				assert.Equal(t, one.Text(), one.Span().Text())
			}
			key, _ := one.Key()
			assert.Equal(t, "a", key)
		}
		if len(report) > 0 {
			bench(t, report)
			require.Len(t, report, 1)
			assert.Equal(t, NoBrackets, report[0].Rule)
			assert.Equal(t, "Write a: ["+strings.ReplaceAll(got, "|", ", ")+"]", report[0].Help)
			got = "!" + got
		}
		assert.Equal(t, want, got, text)
	}
}

// A question mark inside braces is no mistake, and neither is a dash for
// nothing.
func TestQuietMending(t *testing.T) {
	for text, want := range map[string]string{
		"s: {a: why?, b: c}\n":             "why?",
		"s: {a: what? this, b: c}\n":       "what? this",
		"s:\n  a: -\n  b: c\n":             "-",
		"s: {b: c, a: why?}\nt: {u: v?}\n": "why?",
	} {
		v, report := read(text)
		assert.Empty(t, report, text)
		assert.Equal(t, want, get(t, v, "s", "a").Text(), text)
		assert.Equal(t, want, get(t, v, "s", "a").Span().Text(), text)
		assert.Equal(t, "c", get(t, v, "s", "b").Text(), text)
	}
}

func TestNearest(t *testing.T) {
	known := []string{"recipe", "title", "revision", "surfaces", "machine", "medium", "clean-down", "bench", "F"}
	for text, want := range map[string]string{
		"Title": "title", "titel": "title", "tilte": "title", "surface": "surfaces", "machien": "machine",
		"Clean down": "clean-down", "cleandown": "clean-down", "rev": "revision", "bnech": "bench",
		"glass": "", "x": "", "": "", "weather": "", "f": "F", "m": "",
		strings.Repeat("long ", 40): "",
	} {
		assert.Equal(t, want, Nearest(text, known), text)
	}
}

func TestBadTexts(t *testing.T) {
	testkit.Long(t)
	bomb := "a: &a [x,x,x,x,x,x,x,x,x]\n"
	for c := 'b'; c < 'k'; c++ {
		bomb += fmt.Sprintf("%c: &%c [%s]\n", c, c, strings.Repeat(fmt.Sprintf("*%c,", c-1), 9))
	}
	for name, text := range map[string]string{
		"alias bomb":       bomb,
		"merge":            "a: &a {b: c}\nd: {<<: *a}\n",
		"unknown alias":    "a: *nobody\nb: 1\n",
		"nested brackets":  strings.Repeat("[", 10000),
		"nested braces":    "a: " + strings.Repeat("{a: ", 10000),
		"nested dashes":    strings.Repeat("- ", 10000) + "a",
		"nested questions": strings.Repeat("? ", 10000),
		"nested lines":     stairs(400),
		"10 MB":            strings.Repeat("a: b\n", 2<<20),
		"long line":        "a: " + strings.Repeat("b: ", 100000),
		"long braces":      "a: {" + strings.Repeat("b, ", 30000) + "}",
		"many quotes":      strings.Repeat("a: \"b\n", 20000),
		"many tabs":        strings.Repeat("a:\n\tb: c\n", 5000),
		"many colons":      strings.Repeat(": ", 50000),
		"wild bytes":       "\x80\x81\xfe\xff: \xc0\xaf\n\xed\xa0\x80\n",
	} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			_, report := read(text)
			bench(t, report)
			require.NotEmpty(t, report)
			// A generous ceiling: none of these may hang the bench.
			assert.Less(t, time.Since(start), 30*time.Second)
		})
	}
	for _, text := range []string{"", "\n\n", "# only a remark\n", "---\n", "\ufeff"} {
		v, report := read(text)
		assert.Empty(t, report, "%q", text)
		assert.Equal(t, Empty, v.Kind(), "%q", text)
		assert.Empty(t, v.Entries(nil))
	}
}

// stairs is a text of keys each further in than the last.
func stairs(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}

func TestMistakesAreWritten(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range Mistakes {
		assert.False(t, seen[m.ID], m.ID)
		seen[m.ID] = true
		for _, text := range []string{m.Title, m.Why, m.Bad, m.Good} {
			assert.NotEmpty(t, text, m.ID)
		}
	}
}

// A text that is one pair of braces ends where they close; what stands behind
// is not lost in silence.
func TestTextBehindBracesIsReported(t *testing.T) {
	for _, c := range []struct {
		text, behind string
		keys         int
	}{
		{"{a: {b: c}}\nd: e\n", "d: e", 1},
		{"{a: b\n}\n}\n", "}", 1},
		{"# {\n{a: \"}\", b: 'c''}'}\n\n d: e\nf", "d: e", 2},
	} {
		var report diag.List
		v := Read(source.New("shop.yaml", []byte(c.text)), 0, len(c.text), &report)
		require.Len(t, report, 1, c.text)
		assert.Equal(t, Broken, report[0].Rule)
		assert.Equal(t, c.behind, report[0].Span.Text())
		assert.Len(t, v.Entries(&report), c.keys, "what stands inside is read")
	}
	for _, text := range []string{"{a: b}", "{a: b} # c\n\n# d\n", "{a: Bob's}\n", "[a, 'b]']\n", "{a: \"}\"}\n", "# {\n{a: b,\n# }\n c: d}\n"} {
		var report diag.List
		Read(source.New("shop.yaml", []byte(text)), 0, len(text), &report)
		assert.Empty(t, report, text)
	}
}

// What is mended and what is read afterwards may meet one fault; it is told
// once.
func TestAFaultIsToldOnce(t *testing.T) {
	var report diag.List
	Read(source.New("a.md", []byte("{0")), 0, 2, &report)
	seen := map[string]bool{}
	for _, d := range report {
		assert.False(t, seen[d.Message], d.Message)
		seen[d.Message] = true
	}
	assert.Len(t, report, 2, "the brace, and the word without a colon")
}

// FuzzRead: whatever the bytes, reading ends, and every value stands inside
// the file.
func FuzzRead(f *testing.F) {
	for _, s := range []string{"a: b\n", "s:\n  - {a: b, c d, e: \"f\"}\n", "a: |\n  b\n c", "a: 'b''c'\r\n\tz: *x", "? a\n: [b, {c: d}]", "a: \"\\q\" b: {", "\ufeffa: #400", "- - a\n -b:c\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		file := source.New("f.md", text)
		var report diag.List
		slow := time.AfterFunc(5*time.Second, func() { panic(fmt.Sprintf("reading does not end: %q", text)) })
		v := Read(file, 0, len(text), &report)
		slow.Stop()
		walk(t, v, len(text), &report)
		for _, d := range report {
			if d.Span.Start < 0 || d.Span.End < d.Span.Start || d.Span.End > len(text) {
				t.Fatalf("%s at %d to %d of %d", d.Rule, d.Span.Start, d.Span.End, len(text))
			}
		}
	})
}

func walk(t *testing.T, v Value, size int, report *diag.List) {
	at := v.Span()
	if at.Start < 0 || at.End < at.Start || at.End > size {
		t.Fatalf("%q stands at %d to %d of %d", v.Text(), at.Start, at.End, size)
	}
	v.Comment()
	switch v.Kind() {
	case Map:
		for _, e := range v.Entries(report) {
			walk(t, e.Value, size, report)
		}
	case List:
		for _, e := range v.List() {
			walk(t, e, size, report)
		}
	}
}

// frontMatter is a front matter of ordinary size.
var frontMatter = "recipe: cast-weight\ntitle: Cast paperweight, base bright\nrevision: 2\ndate: 2026-10-05\nglass: soda-lime\npiece: {form: cast, size: 80 mm dia x 45 mm, mould: removed}\nsurfaces:\n" +
	strings.Repeat("  - {name: base, shape: flat, area: 50 cm², from: \"sawn, diamond 100 mesh\", to: bright polish, tile: T5}\n", 5)

func BenchmarkRead(b *testing.B) {
	f := source.New("r.md", []byte(frontMatter))
	b.Run("keys", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			var report diag.List
			Read(f, 0, len(f.Text), &report)
		}
	})
	b.Run("library alone", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			var n yaml.Node
			if err := yaml.Unmarshal(f.Text, &n); err != nil {
				b.Fatal(err)
			}
		}
	})
}
