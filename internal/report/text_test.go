package report_test

import (
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/report"
)

// wide is what Text writes on a terminal of so many columns.
func wide(t *testing.T, columns int, list ...diag.Diagnostic) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, report.Text(&b, list, report.Summarise(list, 1), report.Look{Columns: columns}))
	return b.String()
}

// The lines that show a fault, letter for letter. Columns are those of Unicode
// Standard Annex 11: an ideograph and an emoji take two, a mark that stands on
// the letter before it none. What is cut off is marked on the side it is cut on.
func TestTheLineAtFaultIsShown(t *testing.T) {
	cases := []struct {
		name, line, words string
		columns           int
		shown, carets     string
	}{
		{"a short line stands whole", "- Water: gushing", "gushing", 40,
			"    1 | - Water: gushing",
			"      |          ^^^^^^^"},
		{"a tab becomes spaces up to the next fourth column", "-\tWater:\tgushing", "gushing", 40,
			"    1 | -   Water:  gushing",
			"      |             ^^^^^^^"},
		{"a tab that is the fault is marked as wide as it is shown", "-\tWater", "\t", 40,
			"    1 | -   Water",
			"      |  ^^^"},
		{"ideographs take two columns", "- Water: 水磨 gushing", "gushing", 40,
			"    1 | - Water: 水磨 gushing",
			"      |               ^^^^^^^"},
		{"ideographs at fault have two carets each", "- Water: 水磨.", "水磨", 40,
			"    1 | - Water: 水磨.",
			"      |          ^^^^"},
		{"so have wide Latin letters", "- ＡＢ: x", "ＡＢ", 40,
			"    1 | - ＡＢ: x",
			"      |   ^^^^"},
		{"a letter and its mark take one column", "- Wate\u0301r: gushing", "gushing", 40,
			"    1 | - Wate\u0301r: gushing",
			"      |          ^^^^^^^"},
		{"a mark at fault is shown under its letter", "- Wate\u0301r", "\u0301", 40,
			"    1 | - Wate\u0301r",
			"      |      ^"},
		{"an emoji of several characters takes two", "- 👨‍👩‍👧‍👦: gushing", "gushing", 40,
			"    1 | - 👨‍👩‍👧‍👦: gushing",
			"      |       ^^^^^^^"},
		{"an emoji at fault", "- 🔥🔥 x", "🔥🔥", 40,
			"    1 | - 🔥🔥 x",
			"      |   ^^^^"},
		{"a character without width has one caret", "- a\u200bb", "\u200b", 40,
			"    1 | - a\u200bb",
			"      |    ^"},
		{"cut behind", "- Water: gushing over the whole of the plate and the floor", "gushing", 40,
			"    1 | - Water: gushing over the whole…",
			"      |          ^^^^^^^"},
		{"cut before", "the pad is wetted and wrung until no drop runs; then: gushing", "gushing", 40,
			"    1 | …til no drop runs; then: gushing",
			"      |                          ^^^^^^^"},
		{"cut on both sides", "the pad is wetted and wrung until no drop runs, and gushing from then on", "runs", 40,
			"    1 | …ntil no drop runs, and gushing…",
			"      |               ^^^^"},
		{"a fault longer than the line is marked as far as it shows", "- Water: " + strings.Repeat("gush", 20), strings.Repeat("gush", 20), 40,
			"    1 | … Water: gushgushgushgushgushgu…",
			"      |          ^^^^^^^^^^^^^^^^^^^^^^"},
		{"an ideograph is not cut in half", strings.Repeat("水", 40) + "x", "x", 40,
			"    1 | …水水水水水水水水水水水水水水水x",
			"      |                                ^"},
		{"a wider terminal shows more", "the pad is wetted and wrung until no drop runs, and gushing from then on", "runs", 100,
			"    1 | the pad is wetted and wrung until no drop runs, and gushing from then on",
			"      |                                           ^^^^"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			lines := strings.Split(wide(t, c.columns, at(t, c.line, c.words)), "\n")
			assert.Equal(t, c.shown, lines[1])
			assert.Equal(t, c.carets, lines[2])
		})
	}
}

// Whatever the fault and the terminal, no line is wider than it, the carets
// stand under the fault, and an ellipsis stands where something was cut off and
// nowhere else.
func TestEveryCutKeepsItsPromise(t *testing.T) {
	var line strings.Builder
	for i := range rune(90) {
		// No character stands twice, so that what is shown is one place.
		switch letter := string('Ā' + i); i % 6 {
		case 0:
			line.WriteString(letter)
		case 1:
			line.WriteRune('水' + i)
		case 2:
			line.WriteString(letter + "\u0301")
		case 3:
			line.WriteRune('🐀' + i)
		case 4:
			line.WriteByte('\t')
		case 5:
			line.WriteString(letter + " ")
		}
	}
	text := line.String()
	var starts []int
	for g, at := uniseg.NewGraphemes(text), 0; g.Next(); at += len(g.Str()) {
		starts = append(starts, at)
	}
	for _, columns := range []int{40, 41, 62, 80, 133} {
		for n, start := range starts {
			end := starts[min(n+3, len(starts)-1)]
			if end == start {
				continue
			}
			d := at(t, text, "Ā")
			d.Span.Start, d.Span.End = start, end
			out := strings.Split(wide(t, columns, d), "\n")
			shown, carets := out[1], out[2]
			require.LessOrEqual(t, uniseg.StringWidth(shown), columns)
			require.LessOrEqual(t, uniseg.StringWidth(carets), columns)
			body := strings.SplitN(shown, " | ", 2)[1]
			flat := strings.NewReplacer("\t", "", " ", "").Replace
			inner := strings.TrimSuffix(strings.TrimPrefix(body, "…"), "…")
			require.Contains(t, flat(text), flat(inner))
			require.Equal(t, !strings.HasPrefix(flat(text), flat(inner)), strings.HasPrefix(body, "…"), body)
			require.Equal(t, !strings.HasSuffix(flat(text), flat(inner)), strings.HasSuffix(body, "…"), body)
			marked := strings.SplitN(carets, " | ", 2)[1]
			from := len(marked) - len(strings.TrimLeft(marked, " "))
			// The first letter over the carets is the first at fault.
			column, first := 0, ""
			for g := uniseg.NewGraphemes(body); g.Next(); column += g.Width() {
				if column == from {
					first = g.Str()
				}
			}
			want := text[start:]
			g := uniseg.NewGraphemes(want)
			g.Next()
			if g.Str() != "\t" {
				require.Equal(t, g.Str(), first, "at byte %d in %d columns", start, columns)
			}
		}
	}
}

func TestWordsKeepToTheTerminal(t *testing.T) {
	d := at(t, "- Water: gushing", "gushing")
	d.Message = strings.Repeat("Every word has its place here and is read. ", 6)
	d.Help = strings.Repeat("磨砂玻璃的边缘要先倒角然后再抛光", 8) + " Write it."
	for _, c := range []struct{ columns, most int }{{0, 80}, {20, 40}, {40, 40}, {80, 80}, {91, 91}, {240, 100}} {
		out := wide(t, c.columns, d)
		most := 0
		for _, line := range strings.Split(strings.TrimRight(out, "\n"), "\n")[1:] {
			most = max(most, uniseg.StringWidth(line))
		}
		assert.LessOrEqual(t, most, c.most, out)
		assert.Greater(t, most, c.most-8, "%d columns: the room is used", c.columns)
		assert.Equal(t, strings.Count(d.Help, "磨"), strings.Count(out, "磨"), "nothing is lost where wide words break")
	}
}

func TestANarrowTerminalGetsTheLastLineInTwo(t *testing.T) {
	d := at(t, "x", "x")
	assert.True(t, strings.HasSuffix(wide(t, 60, d), "\n1 recipe, 1 warning, nothing that stops a print.\ncoldwright explain a-rule\n"))
	assert.True(t, strings.HasSuffix(wide(t, 80, d), "\n1 recipe, 1 warning, nothing that stops a print.   coldwright explain a-rule\n"))
}

// What the lead has accepted stands below the rest in a list of its own.
func TestAcceptedFindingsStandBelow(t *testing.T) {
	d := at(t, "- Water: gushing\n- Time: 8 min\n", "gushing")
	d.Also = []diag.Site{{Span: d.Span.File.Span(17, 20), Step: 4}}
	d.Message = "Step 2 has no checkpoint. How does an apprentice see that it is done?"
	d.Severity = diag.Note
	d.Accepted = &diag.Accepted{Was: diag.Warning, Reason: "the lead looks himself", Until: "2027-10-05"}
	other := at(t, "- Water: gushing", "Water")
	const want = `recipes/optic-block.md:1:3  warning  a-rule
    1 | - Water: gushing
      |   ^^^^^
   Something is at fault.

Accepted by the lead:
   recipes/optic-block.md:1:10  warning  a-rule
      Step 2 has no checkpoint.
      How does an apprentice see that it is done?
      Also line 2 (step 4).
      Until 2027-10-05. Reason: the lead looks himself.

1 recipe, 1 warning, 1 finding accepted, nothing that stops a print.   coldwright explain a-rule
`
	assert.Equal(t, want, text(t, report.Summary{Recipes: 1}, false, d, other))
	only := text(t, report.Summary{Recipes: 1}, false, d)
	assert.True(t, strings.HasPrefix(only, "Accepted by the lead:\n"), only)
	assert.True(t, strings.HasSuffix(only, "\n1 recipe, 1 finding accepted, nothing that stops a print.\n"), only)

	assert.Equal(t, "recipes/optic-block.md:1:10: note: a-rule: Step 2 has no checkpoint. How does an apprentice see that it is done? "+
		"The lead has overruled this until 2027-10-05: the lead looks himself.\n", lines(t, d))
	var b strings.Builder
	require.NoError(t, report.JSON(&b, diag.List{d, other}, report.Summarise(diag.List{d, other}, 1)))
	assert.Contains(t, b.String(), `"accepted": {
        "was": "warning",
        "reason": "the lead looks himself",
        "until": "2027-10-05"
      }`)
	assert.Contains(t, b.String(), `"warnings": 1,
    "notes": 0,
    "accepted": 1`)
}
