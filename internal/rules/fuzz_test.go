package rules_test

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/report"
	"coldwright/internal/rules"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// The most bytes that are fuzzed at once, and the longest they may take. A
// recipe is checked in about a millisecond; the limit is for what grows faster
// than the file does.
const (
	mostFuzzed = 1 << 15
	longest    = 20 * time.Second
)

// cutRecipe parts a recipe into its front matter and its body, without the lines of
// hyphens.
func cutRecipe(t testing.TB, text []byte) (head, body string) {
	t.Helper()
	head, body, ok := strings.Cut(strings.TrimPrefix(string(text), "---\n"), "\n---\n")
	require.True(t, ok)
	return head, body
}

// fuzzSeeds are the sound recipes and the bad ones of every rule.
func fuzzSeeds(t testing.TB) [][]byte {
	var seeds [][]byte
	for _, dir := range []string{"sequences", "sound"} {
		for _, path := range testkit.Files(t, testkit.Data(t, dir), "*.md") {
			seeds = append(seeds, testkit.Read(t, path))
		}
	}
	for _, id := range testkit.Folders(t, testkit.Data(t, "rules")) {
		if text := testkit.Read(t, filepath.Join(testkit.Data(t, "rules"), id, "bad.md")); bytes.HasPrefix(text, []byte("---\n")) && bytes.Contains(text, []byte("\n---\n")) {
			seeds = append(seeds, text)
		}
	}
	return seeds
}

// allTheWay reads, reckons, checks and reports one recipe and demands what must
// be true of any.
func allTheWay(t *testing.T, h *trade.House, name string, text []byte) {
	slow := time.AfterFunc(longest, func() { panic("checking does not end: " + string(text)) })
	defer slow.Stop()
	file := source.New(name, text)
	list, plan := checked(h, file)
	whole(t, list, file)
	again, _ := checked(h, source.New(name, text))
	require.Equal(t, lines(t, list), lines(t, again), "checked twice, it is told twice otherwise")

	reckoned := plan.Reckon()
	for i := range reckoned.Surfaces {
		s := reckoned.Surfaces[i]
		s.Surface = nil
		testkit.SaneNumbers(t, s)
	}
	testkit.SaneNumbers(t, reckoned.Totals)

	var out bytes.Buffer
	require.NoError(t, report.JSON(&out, list, report.Summarise(list, 1)))
	require.True(t, json.Valid(out.Bytes()) && utf8.Valid(out.Bytes()), "the JSON cannot be read: %s", out.Bytes())
	if n := strings.Count(lines(t, list), "\n"); n != len(list) {
		t.Errorf("%d findings in %d lines", len(list), n)
	}
	require.NoError(t, report.Text(&out, list, report.Summarise(list, 1), report.Look{}))
}

func checked(h *trade.House, file *source.File) (diag.List, *process.Plan) {
	r, list := parse.New(h).Parse(file)
	plan := process.Of(r, h)
	list.Add(rules.Check(&check.Context{House: h, Recipe: r, Plan: plan, Today: today})...)
	list.Sort()
	return list, plan
}

// whole demands of every finding that it is complete and stands in one of the
// files, and that it is not told twice.
func whole(t *testing.T, list diag.List, files ...*source.File) {
	t.Helper()
	inside := func(s source.Span) bool {
		for _, f := range files {
			if s.File == f {
				return s.Start >= 0 && s.Start <= s.End && s.End <= len(f.Text)
			}
		}
		return false
	}
	for i, d := range list {
		if d.Rule == "" || d.Message == "" || d.Severity < diag.Note || d.Severity > diag.Refusal || d.Concern < diag.People || d.Concern > diag.Card {
			t.Errorf("half a finding: %+v", d)
		}
		if !inside(d.Span) {
			t.Errorf("%s stands at %d to %d: %s", d.Rule, d.Span.Start, d.Span.End, d.Message)
		}
		for _, s := range d.Also {
			if !inside(s.Span) {
				t.Errorf("%s stands also at %d to %d: %s", d.Rule, s.Span.Start, s.Span.End, d.Message)
			}
		}
		if last := d.Message[len(d.Message)-1]; last != '.' && last != '?' && last != '!' {
			t.Errorf("%s does not end: %q", d.Rule, d.Message)
		}
		if i > 0 && d.Rule == list[i-1].Rule && d.Span == list[i-1].Span && d.Message == list[i-1].Message {
			t.Errorf("%s is told twice: %s", d.Rule, d.Message)
		}
	}
}

// FuzzHead puts any front matter before a sound body.
func FuzzHead(f *testing.F) {
	dir := testkit.Data(f, "sequences")
	h := houseIn(f, dir)
	_, body := cutRecipe(f, testkit.Read(f, filepath.Join(dir, "panel-satin.md")))
	for _, seed := range fuzzSeeds(f) {
		head, _ := cutRecipe(f, seed)
		f.Add(head)
	}
	for _, odd := range []string{"", "{", "a: &a [*a, *a]", "recipe: x\nsurfaces:\n- {name: a, count: 1e9, area: 1e9 m²}\n- {name: a}", "piece: {size: 0 x 0 x 0 mm, mass: 1000000 kg}", "\ufeff\x00\xff: 1", "surfaces: {name: back, from: \"sawn, damage 900000 m\"}",
		"accepted: [{finding: a @ b, reason: \"\", until: 0000-00-00}]", "date: 2026-02-30\nrevision: 99999999999999999999"} {
		f.Add(odd)
	}
	f.Fuzz(func(t *testing.T, head string) {
		if len(head) <= mostFuzzed {
			allTheWay(t, h, "a.md", []byte("---\n"+head+"\n---\n"+body))
		}
	})
}

// onFace brings the steps of other pieces to the face of the panel, so that
// they reach the rules.
var onFace = strings.NewReplacer("Surface: base", "Surface: face", "Surface: faces", "Surface: face", "Surface: front", "Surface: face",
	"Surface: foot", "Surface: edges", "Surface: top", "Surface: face", "Surface: rim", "Surface: edges", "Surface: arrises", "Surface: arris")

// FuzzBody puts any body behind a sound front matter.
func FuzzBody(f *testing.F) {
	dir := testkit.Data(f, "sequences")
	h := houseIn(f, dir)
	head, _ := cutRecipe(f, testkit.Read(f, filepath.Join(dir, "panel-satin.md")))
	for _, seed := range fuzzSeeds(f) {
		_, body := cutRecipe(f, seed)
		f.Add(onFace.Replace(body))
	}
	for _, odd := range []string{"", "##", "## a\n- Time: 999999999 h\n- Surface: face\n- Abrasive: D60\n- Machine: LAP4 at 0 rpm", "## a\n\n- Surface: all\n- Abrasive: cerium oxide 0.001 µm\n- Medium: felt pad\n- Charge: every 0.0001 s\n- Time: 1 s\n- Pressure: 1000000 kgf\n",
		strings.Repeat("> ", 200) + "a", "## a\n> Danger: no acid\n> no need for a mask\n", "[a](a.md) then follow b, see [c](#d)", "## a\n- Return to: a\n- [ ] a -> a\n- [x] b\n"} {
		f.Add(odd)
	}
	f.Fuzz(func(t *testing.T, body string) {
		if len(body) <= mostFuzzed {
			allTheWay(t, h, "a.md", []byte("---\n"+head+"\n---\n"+body))
		}
	})
}

// FuzzShop checks a sound recipe by any shop file.
func FuzzShop(f *testing.F) {
	dir := testkit.Data(f, "sequences")
	text := testkit.Read(f, filepath.Join(dir, "panel-satin.md"))
	f.Add(testkit.Read(f, filepath.Join(dir, "shop.yaml")))
	f.Add(testkit.Read(f, filepath.Join(testkit.Root(f), "recipes", "shop.yaml")))
	for _, id := range testkit.Folders(f, testkit.Data(f, "rules")) {
		if paths, _ := filepath.Glob(filepath.Join(testkit.Data(f, "rules"), id, "shop.yaml")); len(paths) == 1 {
			f.Add(testkit.Read(f, paths[0]))
		}
	}
	for _, odd := range []string{"", "{", "{stock: {}}\nhouse: x", "limits: {rules: {a: off}}", "stock: {S220: {abrasive: silicon carbide, grade: F220, acts like: 1e9 µm, price: 0 EUR, pack: 0 kg}}",
		"measured: {stock: S220}", "glasses: {g: {E: 0 GPa, H: -1, density: 0}}", "benches: {order: [A, A], any: A}", "media: {PLATE: {medium: \"iron lap, 0 mm\", kept for: x}}\nmachines: {IRON: {kind: flat lap, diameter: 999999999 mm, maximum: 0 rpm}}"} {
		f.Add([]byte(odd))
	}
	f.Fuzz(func(t *testing.T, shop []byte) {
		if len(shop) > mostFuzzed {
			return
		}
		slow := time.AfterFunc(longest, func() { panic("the shop file does not end: " + string(shop)) })
		file := source.New("shop.yaml", shop)
		var list diag.List
		h := trade.Lay(file, &list)
		list.Add(rules.CheckHouse(h)...)
		list.Sort()
		slow.Stop()
		whole(t, list, file)
		allTheWay(t, h, "a.md", text)
	})
}
