package sheet

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// open reads a recipe in the house of its folder. What is wrong with either
// fails the test.
func open(t testing.TB, path string) *process.Plan {
	t.Helper()
	var report diag.List
	shop := filepath.Join(filepath.Dir(path), "shop.yaml")
	house := trade.Lay(source.New("shop.yaml", testkit.Read(t, shop)), &report)
	r, found := parse.New(house).Parse(source.New(filepath.Base(path), testkit.Read(t, path)))
	report.Add(found...)
	for _, d := range report {
		require.Less(t, d.Severity, diag.Error, "%s: %s", d.Span.Text(), d.Message)
	}
	return process.Of(r, house)
}

// read reads a recipe given as text in a house given as text.
func read(t testing.TB, shop, text string) *process.Plan {
	t.Helper()
	var report diag.List
	house := trade.Lay(source.New("shop.yaml", []byte(shop)), &report)
	r, _ := parse.New(house).Parse(source.New("recipe.md", []byte(text)))
	return process.Of(r, house)
}

func build(t testing.TB, p *process.Plan, o Options) *Sheet {
	t.Helper()
	s, found := Build(p, FindDesign("process sheet"), o)
	require.Empty(t, found)
	require.NotNil(t, s)
	return s
}

func blockOf[B Block](t testing.TB, s *Sheet) B {
	t.Helper()
	for _, b := range s.Blocks {
		if x, ok := b.(B); ok {
			return x
		}
	}
	var none B
	require.Failf(t, "block missing", "%T", none)
	return none
}

func TestGolden(t *testing.T) {
	for _, name := range []string{"cast-weight/cast-weight", "everything/everything"} {
		t.Run(filepath.Base(name), func(t *testing.T) {
			s := build(t, open(t, testkit.Data(t, "sheets", name+".md")), Options{})
			testkit.Golden(t, testkit.Data(t, "sheets", name+".want"), []byte(dump(s)))
		})
	}
}

// TestEveryWordReachesTheSheet holds the words of a recipe against those of
// its sheet: each must stand there at least as often as the author wrote it.
func TestEveryWordReachesTheSheet(t *testing.T) {
	paths := []string{
		testkit.Data(t, "sheets", "cast-weight", "cast-weight.md"),
		testkit.Data(t, "sheets", "everything", "everything.md"),
	}
	paths = append(paths, testkit.Files(t, filepath.Join(testkit.Root(t), "recipes"), "*.md")...)
	for _, path := range paths {
		t.Run(filepath.Base(path), func(t *testing.T) {
			plan := open(t, path)
			have := count1(wordsOf(dump(build(t, plan, Options{}))))
			want := count1(recipeWords(t, plan.Recipe))
			require.Greater(t, len(want), 100)
			for word, n := range want {
				assert.GreaterOrEqualf(t, have[word], n, "%q", word)
			}
		})
	}
}

func count1(words []string) map[string]int {
	m := map[string]int{}
	for _, w := range words {
		m[w]++
	}
	return m
}

// wordsOf are the words of a text: letters and figures that stand together.
func wordsOf(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsNumber(r)
	})
}

// recipeWords are the words of a recipe without those that are the format's
// own: keys, names of facts, `x` and `at` between figures, `true`.
func recipeWords(t *testing.T, r *recipe.Recipe) []string {
	var words []string
	add := func(text string) {
		for _, w := range wordsOf(text) {
			switch w {
			case "x", "at", "true", "rework", "back", "once":
				continue
			}
			words = append(words, w)
		}
	}
	var report diag.List
	var walk func(v keys.Value)
	walk = func(v keys.Value) {
		switch v.Kind() {
		case keys.Scalar:
			if key, _ := v.Key(); key == "cautions" {
				return
			}
			add(v.Text())
		case keys.List:
			for _, item := range v.List() {
				walk(item)
			}
		case keys.Map:
			for _, e := range v.Entries(&report) {
				if e.Key != "cautions" {
					walk(e.Value)
				}
			}
		}
	}
	head := strings.Trim(r.Head.Text(), "-\n")
	from := r.Head.Start + strings.Index(r.Head.Text(), head)
	walk(keys.Read(r.File, from, from+len(head), &report))
	require.Empty(t, report)
	facts := map[string]bool{}
	for i := range r.Steps {
		for _, f := range r.Steps[i].Facts {
			facts[f.NameSpan.Text()] = true
			facts[strings.TrimSuffix(f.NameSpan.Text(), ":")] = true
		}
	}
	body := string(r.File.Text[r.Head.End:])
	for _, line := range strings.Split(body, "\n") {
		line = strings.TrimLeft(line, "- >#")
		for _, mark := range []string{"[ ] ", "Key point:", "Reason:", "Right:", "Wrong:"} {
			line = strings.TrimPrefix(line, mark)
		}
		if name, value, ok := strings.Cut(line, ":"); ok && facts[name] {
			line = value
		}
		// Where a link or a picture leads is no word of the author's, nor is
		// the mark of a footnote.
		for {
			from := strings.Index(line, "](")
			if from < 0 {
				break
			}
			to := strings.Index(line[from:], ")")
			line = line[:from] + line[from+to+1:]
		}
		line = strings.ReplaceAll(line, "[^one]", "")
		add(line)
	}
	return words
}

const smallShop = "house: {name: Quillfen Cold Shop}\n"

// small is a recipe of one step with further lines in the front matter and in
// the step.
func small(front, facts, rest string) string {
	return fmt.Sprintf(`---
recipe: small
title: A small one
revision: 1
date: 2026-01-02
%s
---

## Grind the face

- Surface: face
%s

%s
`, front, facts, rest)
}

const face = "glass: soda-lime\napproved: studio lead\npiece: {form: sheet, size: 80 x 80 x 8 mm}\nsurfaces:\n  - {name: face, shape: flat, area: 64 cm², from: as cast, to: matte}"

func TestDrafts(t *testing.T) {
	approved := small(face, "", "")
	s := build(t, read(t, smallShop, approved), Options{})
	assert.Nil(t, s.Draft)
	assert.Equal(t, "studio lead", s.Approved)

	s = build(t, read(t, smallShop, strings.Replace(approved, "approved: studio lead\n", "", 1)), Options{})
	require.NotNil(t, s.Draft)
	assert.Contains(t, s.Draft.Reason, "not approved")
	assert.Empty(t, s.Approved)

	s = build(t, read(t, smallShop, approved), Options{Draft: true})
	require.NotNil(t, s.Draft)
	assert.Empty(t, s.Approved, "a draft bears nobody's name")

	s = build(t, read(t, smallShop, approved), Options{Findings: diag.List{{Rule: "x", Severity: diag.Error}, {Rule: "y", Severity: diag.Note}}})
	require.NotNil(t, s.Draft)
	assert.Contains(t, s.Draft.Reason, "1 finding")
}

func TestPaper(t *testing.T) {
	p := read(t, "house: {paper: Letter}\n", small(face, "", ""))
	s := build(t, p, Options{})
	assert.Equal(t, "Letter", s.Page.Paper)
	assert.Equal(t, 215.9, s.Page.Width)
	s = build(t, p, Options{Paper: "a5", Landscape: true})
	assert.Equal(t, PageSetup{Kind: SheetPage, Paper: "A5", Width: 210, Height: 148, Left: 14, Right: 12, Top: 11, Bottom: 8}, s.Page)
	s, found := Build(p, FindDesign("process sheet"), Options{Paper: "A44"})
	assert.Nil(t, s)
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Message, "A44")
}

func TestLoweredRulesAndAcceptedFindingsShowOnTheFace(t *testing.T) {
	shop := smallShop + "limits:\n  rules:\n    damage-not-cleared: {severity: warning, because: We know our plate.}\n"
	text := small(face+"\naccepted:\n  - {finding: no-clean-down @ Grind, reason: One bench only., until: 2026-12-31}", "", "")
	p := read(t, shop, text)
	s := build(t, p, Options{})
	assert.Equal(t, []string{"Accepted by the lead until 2026-12-31: no clean down at the step Grind. Reason: One bench only. [no-clean-down]"}, s.Standing,
		"a rule that found nothing here has lowered nothing")
	found := diag.List{
		{Rule: "damage-not-cleared", Severity: diag.Warning, Step: 1, Message: "F80 leaves pits four times as deep as F400 clears."},
		{Rule: "damage-not-cleared", Severity: diag.Warning, Step: 1, Message: "And again."},
		{
			Rule: "no-clean-down", Severity: diag.Note, Step: 1, Message: "Step 1 does not say how to clean down.",
			Accepted: &diag.Accepted{Was: diag.Warning, Reason: "One bench only", Span: p.Recipe.Accepted[0].Span},
		},
	}
	s = build(t, p, Options{Findings: found})
	assert.Equal(t, []string{
		"The house only warns of this: Step 1: F80 leaves pits four times as deep as F400 clears. And at 1 more place. Reason: We know our plate. [damage-not-cleared]",
		"Accepted by the lead until 2026-12-31: Step 1 does not say how to clean down. Reason: One bench only. [no-clean-down]",
	}, s.Standing)
	// What the check turned down is not called accepted.
	found = diag.List{{Rule: "accepted-finding", Severity: diag.Error, Span: p.Recipe.Accepted[0].Finding.Span, Message: "That day has gone by."}}
	s = build(t, p, Options{Findings: found})
	assert.Equal(t, []string{"Asked to be accepted, and not: no-clean-down @ Grind. Reason: One bench only."}, s.Standing)
}

func TestCautionsStandInOrder(t *testing.T) {
	shop := smallShop + "always: [eyes, slurry]\n"
	text := strings.Replace(small(face+"\ncautions: [grit carry-over, sharp arris, dry powder]", "", ""),
		"\n## Grind", "\n> Warning: mind the step.\n\n## Grind", 1)
	c := blockOf[Cautions](t, build(t, read(t, shop, text), Options{}))
	require.Len(t, c.Panels, 2)
	assert.Equal(t, "mind the step.", c.Panels[0].Words, "the author's own stands first in its signal word")
	h := trade.BuiltIn()
	var titles []string
	for _, n := range append(c.Panels[1:], c.Lines...) {
		titles = append(titles, n.Title)
	}
	var want []string
	for _, name := range []string{"dry powder", "eyes", "sharp arris", "grit carry-over", "slurry"} {
		want = append(want, h.FindTopic(name).Title)
	}
	assert.Equal(t, want, titles, "warnings, cautions, notices; within each the recipe's own before the standing ones")
}

func TestHeavyPieceSaysOnlyTheLineForItsMass(t *testing.T) {
	for mass, word := range map[string]trade.Signal{"12 kg": trade.Caution, "17 kg": trade.Warning, "25 kg": trade.Warning} {
		front := strings.Replace(face, "80 x 80 x 8 mm}", "80 x 80 x 8 mm, mass: "+mass+"}", 1) + "\ncautions: [heavy piece]"
		c := blockOf[Cautions](t, build(t, read(t, smallShop, small(front, "", "")), Options{}))
		require.Len(t, c.Panels, 1)
		note := c.Panels[0]
		assert.Equal(t, word, note.Signal, mass)
		assert.Equal(t, mass == "25 kg", strings.Contains(strings.ToLower(note.Words), "hoist"), "%s: %s", mass, note.Words)
	}
}

func TestStepRow(t *testing.T) {
	s := build(t, open(t, testkit.Data(t, "sheets", "cast-weight", "cast-weight.md")), Options{})
	table := blockOf[StepTable](t, s)
	require.Len(t, table.Rows, 6)
	row := table.Rows[1]
	assert.Equal(t, "F220", row.Grade)
	assert.Equal(t, "silicon carbide, 58\u00a0µm", row.Abrasive, "FEPA 42: F220 has a median of 58 µm")
	assert.Equal(t, "150", row.Speed)
	assert.Equal(t, "rpm", row.SpeedUnit)
	assert.Equal(t, "LAP3, rim\u00a02.4\u00a0m/s", row.Machine, "π × 0.300 m × 150/60 s = 2.36 m/s")
	assert.Equal(t, "cream, fresh every 1\u00a0min", row.Mix)
	assert.Equal(t, "8", row.Minutes)
	assert.Contains(t, table.Rows[0].Abrasive, "†", "a shop label has no standard: its size is the program's own")
	assert.True(t, strings.HasSuffix(s.Foot, "† built-in value."), s.Foot)
	last := table.Rows[5]
	assert.Empty(t, last.Grade+last.Abrasive+last.Medium+last.Speed)
	assert.Equal(t, "10\u00a0min alone", last.Alone)
	assert.Equal(t, "39", table.Total.Minutes, "4 + 8 + 5 + 10 + 8 + 4")
	cerium := AmountRow{What: "cerium oxide", Amount: "8\u00a0g", Cost: "0.36\u00a0EUR"}
	assert.Contains(t, blockOf[Amounts](t, s).Rows, cerium, "8 g at 45 EUR a kilogram")
	piece := blockOf[Piece](t, s)
	assert.Contains(t, piece.Words, "about 0.57\u00a0kg (from its size)", "π/4 × 8² × 4.5 cm³ × 2.5 g/cm³ = 0.566 kg")
	assert.Contains(t, piece.Words, "soda-lime glass")
}

func TestNoDaggerWithoutABuiltInValue(t *testing.T) {
	p := read(t, smallShop, small(face, "- Abrasive: silicon carbide F220\n- Medium: iron lap, 300 mm\n- Machine: by hand\n- Water: drip", ""))
	s := build(t, p, Options{})
	assert.NotContains(t, dump(s), "†")
}

func TestWhatCouldNotBeReadStillPrints(t *testing.T) {
	text := small(strings.Replace(face, "matte", "shiny", 1)+"\ncautions: [dragons]",
		"- Abrasive: grindstone sludge\n- Mediun: bucket lid\n- Time: a while\n- Water: torrent\n- Charge: now and then\n- Depth: deep\n- Bench: Z9", "1. Go on.")
	s, _ := Build(read(t, smallShop+"benches: [A, B]\n", text), FindDesign("process sheet"), Options{Draft: true})
	require.NotNil(t, s)
	all := dump(s)
	for _, words := range []string{"shiny", "dragons", "grindstone sludge", "bucket lid", "a while", "torrent", "now and then", "deep", "Z9"} {
		assert.Contains(t, all, words)
	}
}

func TestEmptyRecipe(t *testing.T) {
	for _, text := range []string{"", "---\n---\n", "# Only a title\n", "\x00\xff"} {
		s, _ := Build(read(t, "", text), FindDesign("process sheet"), Options{Draft: true})
		require.NotNil(t, s)
	}
}

// TestASheetNeverClaims looks for reassurance the program must not print of
// its own accord.
func TestASheetNeverClaims(t *testing.T) {
	paths := testkit.Files(t, filepath.Join(testkit.Root(t), "recipes"), "*.md")
	for _, path := range paths {
		text := strings.ToLower(dump(build(t, open(t, path), Options{})))
		for _, claim := range []string{"risk assessed", "compliant", "is safe", "are safe", "harmless", "lead-free", "no risk", "below the limit", "silicosis"} {
			assert.NotContains(t, text, claim, path)
		}
	}
}

func TestShortFormsStandWhereTheyAreCalledFor(t *testing.T) {
	p := open(t, testkit.Data(t, "sheets", "cast-weight", "cast-weight.md"))
	h := p.House
	short := func(topic string) string { return h.FindTopic(topic).Wording(nil).Short }
	where := map[string][]int{}
	for _, b := range build(t, p, Options{}).Blocks {
		step, ok := b.(StepInFull)
		if !ok {
			continue
		}
		for _, part := range step.Parts {
			for _, topic := range []string{"dry powder", "keep wet", "unplug", "eyes"} {
				for _, words := range part.Words {
					if part.Kind == Warn && words.Text == short(topic) {
						where[topic] = append(where[topic], step.Number)
					}
				}
			}
		}
	}
	assert.Equal(t, []int{2, 4, 5}, where["dry powder"], "loose powder is spooned in these")
	assert.Equal(t, []int{2}, where["keep wet"], "all power work is on one machine: said once there")
	assert.Equal(t, []int{3, 4, 5}, where["unplug"], "another disc or felt goes on in these")
	assert.Empty(t, where["eyes"], "not a note that must stand at a step")
}
