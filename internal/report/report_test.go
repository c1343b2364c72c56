package report_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/report"
	"coldwright/internal/source"
)

// at makes a finding on the first place of words in text.
func at(t *testing.T, text, words string) diag.Diagnostic {
	t.Helper()
	f := source.New("recipes/optic-block.md", []byte(text))
	i := strings.Index(text, words)
	require.GreaterOrEqual(t, i, 0)
	return diag.Diagnostic{
		Rule: "a-rule", Severity: diag.Warning, Concern: diag.Piece,
		Span: f.Span(i, i+len(words)), Message: "Something is at fault.",
	}
}

func text(t *testing.T, sum report.Summary, colour bool, list ...diag.Diagnostic) string {
	t.Helper()
	strict := sum.Strict
	sum = report.Summarise(list, sum.Recipes)
	sum.Strict = strict
	var b strings.Builder
	require.NoError(t, report.Text(&b, list, sum, report.Look{Colour: colour}))
	return b.String()
}

// marked is the two lines that show the fault.
func marked(t *testing.T, d diag.Diagnostic) (line, carets string) {
	t.Helper()
	lines := strings.Split(text(t, report.Summary{Recipes: 1}, false, d), "\n")
	require.Greater(t, len(lines), 3)
	return lines[1], lines[2]
}

func TestTextIsLaidOutAsTheDeskReadsIt(t *testing.T) {
	d := at(t, strings.Repeat("\n", 63)+"- Abrasive: cerium oxide 1.5 µm\n", "cerium oxide 1.5 µm")
	d.Rule = "damage-not-cleared"
	d.Message = "The faces come to step 6 with about 9.7 µm of damage (4.0 to 24), from the resin pad of step 5. Eight minutes of cerium take off about 3 µm."
	d.Help = "pumice 2F on a felt pad between them, about 10 min; or 26 min of cerium here."
	assert.Equal(t, `recipes/optic-block.md:64:13  warning  damage-not-cleared
   64 | - Abrasive: cerium oxide 1.5 µm
      |             ^^^^^^^^^^^^^^^^^^^
   The faces come to step 6 with about 9.7 µm of damage (4.0 to 24), from the
   resin pad of step 5.
   Eight minutes of cerium take off about 3 µm.
   Mend: pumice 2F on a felt pad between them, about 10 min; or 26 min of cerium
   here.

8 recipes, 1 warning, nothing that stops a print.   coldwright explain damage-not-cleared
`, text(t, report.Summary{Recipes: 8}, false, d))
}

func TestCaretsStandUnderTheWords(t *testing.T) {
	cases := []struct{ name, line, words string }{
		{"plain", "- Water: gushing", "gushing"},
		{"after a tab", "\t- Water:\tgushing", "gushing"},
		{"after wide characters", "- Water: 水 多 gushing", "gushing"},
		{"wide words", "- Water: 水水 here", "水水"},
		{"after accents made of two characters", "- Wate\u0301r: gushing", "gushing"},
		{"at the very start", "gushing water", "gushing"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			line, carets := marked(t, at(t, c.line, c.words))
			i := strings.Index(line, c.words)
			require.GreaterOrEqual(t, i, 0)
			assert.Equal(t, uniseg.StringWidth(line[:i]), strings.Index(carets, "^"))
			assert.Equal(t, uniseg.StringWidth(c.words), strings.Count(carets, "^"))
			assert.NotContains(t, line, "\t")
		})
	}
}

func TestLongLinesAreCutRoundTheFault(t *testing.T) {
	for name, line := range map[string]string{
		"fault at the end":       strings.Repeat("before ", 40) + "FAULT",
		"fault in the middle":    strings.Repeat("before ", 40) + "FAULT" + strings.Repeat(" after", 40),
		"fault at the start":     "FAULT" + strings.Repeat(" after", 40),
		"fault longer than line": strings.Repeat("before ", 10) + "FAULT" + strings.Repeat("T", 300),
	} {
		t.Run(name, func(t *testing.T) {
			shown, carets := marked(t, at(t, line, strings.TrimRight("FAULT"+strings.Repeat("T", strings.Count(line, "T")-1), " ")))
			assert.LessOrEqual(t, uniseg.StringWidth(shown), 80)
			assert.LessOrEqual(t, uniseg.StringWidth(carets), 80)
			assert.Contains(t, shown, "…")
			i := strings.Index(shown, "FAULT")
			require.GreaterOrEqual(t, i, 0)
			assert.Equal(t, uniseg.StringWidth(shown[:i]), strings.Index(carets, "^"))
		})
	}
}

// A file that is one enormous line must not cost a cell for each of its bytes.
func TestAnEnormousLineIsCutFirst(t *testing.T) {
	line, carets := marked(t, at(t, strings.Repeat("µ", 1<<20)+"FAULT"+strings.Repeat("µ", 1<<20), "FAULT"))
	assert.LessOrEqual(t, uniseg.StringWidth(line), 80)
	i := strings.Index(line, "FAULT")
	require.GreaterOrEqual(t, i, 0)
	assert.Equal(t, uniseg.StringWidth(line[:i]), strings.Index(carets, "^"))
}

func TestFullStopsInsideASentence(t *testing.T) {
	d := at(t, "x", "x")
	d.Message = "A No. 60 sieve is no label. Write 60 mesh."
	assert.Contains(t, text(t, report.Summary{}, false, d), "\n   A No. 60 sieve is no label.\n   Write 60 mesh.\n")
}

func TestAFaultWithoutWidthHasOneCaret(t *testing.T) {
	d := at(t, "recipe: a\n", "recipe: a")
	d.Span.End = d.Span.Start
	_, carets := marked(t, d)
	assert.Equal(t, "      | ^", carets)
	// Past the end of the line too.
	d.Span.Start, d.Span.End = 9, 9
	_, carets = marked(t, d)
	assert.Equal(t, "      |          ^", carets)
}

func TestAFaultOverSeveralLinesIsMarkedOnItsFirst(t *testing.T) {
	_, carets := marked(t, at(t, "one two  \nthree", "two  \nthree"))
	assert.Equal(t, "      |     ^^^", carets)
}

func TestAFindingThatPointsNowhere(t *testing.T) {
	d := diag.Diagnostic{Rule: "no-steps", Severity: diag.Error, Message: "There is nothing to do."}
	assert.Equal(t, "error  no-steps\n   There is nothing to do.\n\n1 recipe, 1 error. The error stops the print.   coldwright explain no-steps\n",
		text(t, report.Summary{Recipes: 1}, false, d))
}

func TestNothingFromAFileReachesTheTerminalAsACommand(t *testing.T) {
	d := at(t, "- Water: \x1b[2Jgushing \u202e", "gushing")
	d.Message = "Water \x1b[31m is not known."
	d.Span.File.Name = "a\x1b]0;b.md"
	for _, out := range []string{text(t, report.Summary{Recipes: 1}, false, d), lines(t, d)} {
		assert.NotContains(t, out, "\x1b")
		assert.NotContains(t, out, "\u202e")
	}
}

func TestFurtherPlacesAreListed(t *testing.T) {
	d := at(t, "one\ntwo\nthree\n", "one")
	f := d.Span.File
	d.Also = []diag.Site{{Span: f.Span(4, 7), Step: 4}, {Span: source.New("shop.yaml", []byte("\n\nx")).Span(2, 3)}}
	assert.Contains(t, text(t, report.Summary{Recipes: 1}, false, d), "   Also line 2 (step 4), shop.yaml line 3.\n")
}

func TestTheLastLineSaysWhatStopsAPrint(t *testing.T) {
	of := func(s ...diag.Severity) (list diag.List) {
		for _, severity := range s {
			list.Add(diag.Diagnostic{Rule: "r", Severity: severity, Message: "M."})
		}
		return list
	}
	lastLine := func(list diag.List, sum report.Summary) string {
		out := strings.TrimRight(text(t, sum, false, list...), "\n")
		return out[strings.LastIndex(out, "\n")+1:]
	}
	assert.Equal(t, "1 recipe, no findings, nothing that stops a print.", lastLine(nil, report.Summary{Recipes: 1}))
	assert.Equal(t, "2 recipes, 2 notes, nothing that stops a print.   coldwright explain r",
		lastLine(of(diag.Note, diag.Note), report.Summary{Recipes: 2}))
	assert.Equal(t, "2 recipes, 2 errors, 1 warning. The errors stop the print.   coldwright explain r",
		lastLine(of(diag.Error, diag.Error, diag.Warning), report.Summary{Recipes: 2}))
	assert.Equal(t, "1 recipe, 1 refusal, 1 error. The refusal stops the print and the draft.   coldwright explain r",
		lastLine(of(diag.Refusal, diag.Error), report.Summary{Recipes: 1}))
	assert.Equal(t, "1 recipe, 1 warning. The warning stops the print, as asked.   coldwright explain r",
		lastLine(of(diag.Warning), report.Summary{Recipes: 1, Strict: true}))
}

func TestColourAddsToTheWordsOnly(t *testing.T) {
	d := at(t, "- Water: gushing", "gushing")
	coloured := text(t, report.Summary{Recipes: 1}, true, d)
	assert.Contains(t, coloured, "\x1b[1;33mwarning\x1b[0m")
	plain := coloured
	for _, code := range []string{"\x1b[1;33m", "\x1b[0m"} {
		plain = strings.ReplaceAll(plain, code, "")
	}
	assert.Equal(t, text(t, report.Summary{Recipes: 1}, false, d), plain)
}

func lines(t *testing.T, list ...diag.Diagnostic) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, report.Lines(&b, list))
	return b.String()
}

func TestLines(t *testing.T) {
	d := at(t, "a\n- Körnung: x\n", "x")
	d.Message = "Two\nlines."
	assert.Equal(t, "recipes/optic-block.md:2:12: warning: a-rule: Two lines.\nerror: r: M.\n",
		lines(t, d, diag.Diagnostic{Rule: "r", Severity: diag.Error, Message: "M."}))
}

func TestJSON(t *testing.T) {
	d := at(t, "a\n- Körnung: x <b>\n", "x <b>")
	d.Help, d.Step, d.Surface = "y.", 3, "back"
	d.Also = []diag.Site{{Span: d.Span.File.Span(0, 1), Step: 1}}
	var b strings.Builder
	list := diag.List{d, {Rule: "r", Severity: diag.Note, Message: "M."}}
	require.NoError(t, report.JSON(&b, list, report.Summarise(list, 2)))
	var got struct {
		Findings []map[string]any
		Summary  map[string]int
	}
	require.NoError(t, json.Unmarshal([]byte(b.String()), &got))
	assert.Equal(t, map[string]any{
		"file": "recipes/optic-block.md", "line": 2.0, "col": 12.0, "end_line": 2.0, "end_col": 17.0,
		"severity": "warning", "rule": "a-rule", "message": "Something is at fault.", "mend": "y.",
		"step": 3.0, "surface": "back",
		"also": []any{map[string]any{"file": "recipes/optic-block.md", "line": 1.0, "col": 1.0, "step": 1.0}},
	}, got.Findings[0])
	assert.NotContains(t, got.Findings[1], "also")
	assert.Equal(t, map[string]int{"recipes": 2, "refusals": 0, "errors": 0, "warnings": 1, "notes": 1, "accepted": 0}, got.Summary)
}

func TestJSONOfNothingIsAnEmptyList(t *testing.T) {
	var b strings.Builder
	require.NoError(t, report.JSON(&b, nil, report.Summary{}))
	assert.Contains(t, b.String(), `"findings": []`)
}
