package report_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/report"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
)

type object = map[string]any

// sarif is a log that keeps to the published schema, as a program reads it.
func sarif(t *testing.T, log report.Log, list ...diag.Diagnostic) (run object) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.SARIF(&b, list, log))
	testkit.KeepsToSARIF(t, b.Bytes())
	var whole struct{ Runs []object }
	require.NoError(t, json.Unmarshal(b.Bytes(), &whole))
	require.Len(t, whole.Runs, 1)
	return whole.Runs[0]
}

// get follows keys and numbers into what was read.
func get(t *testing.T, from any, path ...any) any {
	t.Helper()
	for _, step := range path {
		switch step := step.(type) {
		case string:
			from = from.(object)[step]
		case int:
			list, _ := from.([]any)
			require.Greater(t, len(list), step, "%v", path)
			from = list[step]
		}
	}
	return from
}

// found is a finding on a stretch of bytes.
func found(name, text string, start, end int) diag.Diagnostic {
	return diag.Diagnostic{
		Rule: "a-rule", Severity: diag.Error, Concern: diag.Piece, Message: "Something is at fault.",
		Span: source.New(name, []byte(text)).Span(start, end),
	}
}

// Regions by SARIF 2.1.0, 3.30.2: the examples of the standard, on its own four
// lines, and the rules it gives beside them.
func TestSARIFRegions(t *testing.T) {
	const four = "abcd\r\nefg\r\nhijk\r\nlmn\r\n"
	cases := []struct {
		name, text                        string
		start, end                        int
		line, column, endLine, endColumn_ float64
	}{
		{"example 1, the characters bc", four, 1, 3, 1, 2, 1, 4},
		{"example 4, over two lines", four, 6, 15, 2, 1, 3, 5},
		{"example 5, a line with its ending", four, 6, 11, 2, 1, 3, 1},
		{"example 6, an insertion point", four, 1, 1, 1, 2, 1, 2},
		{"example 7, the beginning of the file", four, 0, 0, 1, 1, 1, 1},
		{"example 8, the very end of the file", four, 22, 22, 4, 6, 4, 6},
		{"the end of a file without a last line ending", "ab\ncd", 5, 5, 2, 3, 2, 3},
		{"a file with nothing in it", "", 0, 0, 1, 1, 1, 1},
		{"a byte order mark is no character", "\ufeffabcd", 4, 6, 1, 2, 1, 4},
		{"an accent of two characters is two units", "e\u0301x", 3, 4, 1, 3, 1, 4},
		{"a character of three bytes is one unit", "水x", 3, 4, 1, 2, 1, 3},
		{"a character beyond the basic plane is two units", "🔥x", 4, 5, 1, 3, 1, 4},
		{"a family of seven characters is eleven units", "👨‍👩‍👧‍👦x", 25, 26, 1, 12, 1, 13},
		{"a span past the end is brought to it", "ab", 1, 9, 1, 2, 1, 3},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			run := sarif(t, report.Log{}, found("a.md", c.text, c.start, c.end))
			assert.Equal(t, "utf16CodeUnits", run["columnKind"])
			assert.Equal(t, object{"startLine": c.line, "startColumn": c.column, "endLine": c.endLine, "endColumn": c.endColumn_},
				get(t, run, "results", 0, "locations", 0, "physicalLocation", "region"))
		})
	}
}

// Names of files by RFC 3986; what leads upwards is given whole, since a reader
// should reject it otherwise (SARIF 2.1.0, 3.10.2).
func TestSARIFNamesOfFiles(t *testing.T) {
	whole := func(name string) string { return "/srv/the house/" + name[3:] }
	for name, want := range map[string]string{
		"recipes/optic-block.md":    "recipes/optic-block.md",
		"./a//b.md":                 "a/b.md",
		"my recipes/Schüssel #1.md": "my%20recipes/Sch%C3%BCssel%20%231.md",
		"100%.md":                   "100%25.md",
		"a?b[c].md":                 "a%3Fb%5Bc%5D.md",
		"note: foot.md":             "note%3A%20foot.md",
		"/srv/house/a.md":           "file:///srv/house/a.md",
		"C:/Häuser/a.md":            "file:///C:/H%C3%A4user/a.md",
		"//bench/share/a.md":        "file:///bench/share/a.md",
		"../shop.yaml":              "file:///srv/the%20house/shop.yaml",
		"a/../b.md":                 "b.md",
	} {
		run := sarif(t, report.Log{Absolute: whole}, found(name, "x", 0, 1))
		assert.Equal(t, want, get(t, run, "results", 0, "locations", 0, "physicalLocation", "artifactLocation", "uri"), name)
	}
}

func TestSARIFOfStandardInput(t *testing.T) {
	run := sarif(t, report.Log{Unnamed: "standard input"}, found("standard input", "x", 0, 1))
	assert.Equal(t, object{"index": 0.0}, get(t, run, "results", 0, "locations", 0, "physicalLocation", "artifactLocation"))
	assert.Equal(t, "standard input", get(t, run, "artifacts", 0, "description", "text"))
}

func TestSARIFResults(t *testing.T) {
	f := source.New("a.md", []byte("one\ntwo\nthree\n"))
	rules := []report.RuleText{
		{ID: "first", Severity: diag.Refusal, Protects: "What hurts people", Title: "No fluorides.", Why: "They burn.", Source: "common practice", Bad: "{a: b}", Good: "water"},
		{ID: "second", Severity: diag.Warning, Protects: "Missing tests", Title: "A test ends a step.", Why: "Clocks do not see.", Source: "x", Quiet: "Masking.", Bad: "b", Good: "g"},
	}
	at := func(severity diag.Severity, rule string) diag.Diagnostic {
		return diag.Diagnostic{Rule: rule, Severity: severity, Span: f.Span(0, 3), Message: "Use {1}."}
	}
	several := at(diag.Warning, "second")
	several.Help, several.Step, several.Surface = "Write {x}.", 2, "base"
	several.Also = []diag.Site{{Span: f.Span(4, 7), Step: 3}, {Span: f.Span(8, 13)}}
	over := at(diag.Note, "second")
	over.Accepted = &diag.Accepted{Was: diag.Warning, Reason: "proved on ten pieces", Until: "2027-10-05", Span: f.Span(8, 9)}
	run := sarif(t, report.Log{Rules: rules, Problems: []string{"b.md cannot be read"}},
		at(diag.Refusal, "first"), several, at(diag.Note, "third"), over,
		diag.Diagnostic{Rule: "second", Severity: diag.Error, Message: "It points nowhere."})

	// 3.11.5: braces are doubled, or they would ask for an argument.
	assert.Equal(t, "Use {{1}}.", get(t, run, "results", 0, "message", "text"))
	assert.Equal(t, "Use {{1}}.\nMend: Write {{x}}.", get(t, run, "results", 1, "message", "text"))
	for i, want := range []string{"error", "warning", "note", "warning", "error"} {
		assert.Equal(t, want, get(t, run, "results", i, "level"), i)
	}
	assert.Equal(t, object{"severity": "refusal"}, get(t, run, "results", 0, "properties"))
	assert.Equal(t, object{"severity": "warning", "step": 2.0, "surface": "base"}, get(t, run, "results", 1, "properties"))
	// 3.27.6: the index is that of the rule, and stays out where there is none.
	assert.Equal(t, 0.0, get(t, run, "results", 0, "ruleIndex"))
	assert.Equal(t, 1.0, get(t, run, "results", 1, "ruleIndex"))
	assert.NotContains(t, get(t, run, "results", 2), "ruleIndex")
	// Further places bear ids of their own (3.28.2).
	assert.Equal(t, 1.0, get(t, run, "results", 1, "relatedLocations", 0, "id"))
	assert.Equal(t, "Step 3.", get(t, run, "results", 1, "relatedLocations", 0, "message", "text"))
	assert.Equal(t, 2.0, get(t, run, "results", 1, "relatedLocations", 1, "id"))
	assert.Equal(t, 3.0, get(t, run, "results", 1, "relatedLocations", 1, "physicalLocation", "region", "startLine"))
	// 3.27.23: an empty list says that a result is not suppressed.
	assert.Equal(t, []any{}, get(t, run, "results", 0, "suppressions"))
	assert.Equal(t, "proved on ten pieces", get(t, run, "results", 3, "suppressions", 0, "justification"))
	assert.Equal(t, "inSource", get(t, run, "results", 3, "suppressions", 0, "kind"))
	assert.Equal(t, "accepted", get(t, run, "results", 3, "suppressions", 0, "status"))
	assert.Equal(t, object{"until": "2027-10-05"}, get(t, run, "results", 3, "suppressions", 0, "properties"))
	assert.Equal(t, 3.0, get(t, run, "results", 3, "suppressions", 0, "location", "physicalLocation", "region", "startLine"))
	assert.NotContains(t, get(t, run, "results", 4), "locations")

	assert.Equal(t, "first", get(t, run, "tool", "driver", "rules", 0, "id"))
	assert.Equal(t, "No fluorides.", get(t, run, "tool", "driver", "rules", 0, "shortDescription", "text"))
	assert.Equal(t, "They burn.", get(t, run, "tool", "driver", "rules", 0, "fullDescription", "text"))
	assert.Equal(t, "They burn.\nSource: common practice\nBad: {{a: b}}\nGood: water", get(t, run, "tool", "driver", "rules", 0, "help", "text"))
	assert.Equal(t, "error", get(t, run, "tool", "driver", "rules", 0, "defaultConfiguration", "level"))
	assert.Equal(t, []any{"What hurts people"}, get(t, run, "tool", "driver", "rules", 0, "properties", "tags"))
	assert.Equal(t, "warning", get(t, run, "tool", "driver", "rules", 1, "defaultConfiguration", "level"))
	assert.Equal(t, false, get(t, run, "invocations", 0, "executionSuccessful"))
	assert.Equal(t, "b.md cannot be read", get(t, run, "invocations", 0, "toolExecutionNotifications", 0, "message", "text"))
}

func TestSARIFOfNothing(t *testing.T) {
	run := sarif(t, report.Log{})
	assert.Equal(t, []any{}, run["results"])
	assert.Equal(t, true, get(t, run, "invocations", 0, "executionSuccessful"))
	assert.NotContains(t, run, "artifacts")
}

// A correction is there as SARIF carries one (3.55 to 3.57): what is taken out,
// what is put in, an insertion where nothing is taken out.
func TestSARIFCarriesCorrections(t *testing.T) {
	f := source.New("a.md", []byte("- Watter: wet\n- Time: 5\n"))
	d := diag.Diagnostic{
		Rule: "unknown-fact", Severity: diag.Error, Span: f.Span(2, 8), Message: "“Watter” is no fact of a step.",
		Mend: diag.Mend{Does: "Writes “Water”.", Edits: []diag.Edit{
			{Span: f.Span(2, 8), Text: "Water"}, {Span: f.Span(9, 13)}, {Span: f.Span(23, 23), Text: " min"},
		}},
	}
	run := sarif(t, report.Log{}, d, found("a.md", "x", 0, 1))
	region := func(line, from, to float64) object {
		return object{"startLine": line, "startColumn": from, "endLine": line, "endColumn": to}
	}
	assert.Equal(t, "Writes “Water”.", get(t, run, "results", 0, "fixes", 0, "description", "text"))
	assert.Equal(t, object{
		"artifactLocation": object{"uri": "a.md"},
		"replacements": []any{
			object{"deletedRegion": region(1, 3, 9), "insertedContent": object{"text": "Water"}},
			object{"deletedRegion": region(1, 10, 14)},
			object{"deletedRegion": region(2, 10, 10), "insertedContent": object{"text": " min"}},
		},
	}, get(t, run, "results", 0, "fixes", 0, "artifactChanges", 0))
	assert.NotContains(t, get(t, run, "results", 1), "fixes")
}
