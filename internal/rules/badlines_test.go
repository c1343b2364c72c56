package rules_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/rules"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// badLine is one row of the table of bad lines: a small slip in a sound recipe,
// or in the shop file it stands on, and all that must be found.
type badLine struct {
	line       int
	base, rule string
	// slips are what is written otherwise, in order.
	slips []slip
	want  []string
}

// slip is one place written otherwise, in the recipe or in the shop file.
type slip struct {
	shop     bool
	old, new string
}

func (b badLine) String() string { return fmt.Sprintf("line %d, %s %s", b.line, b.base, b.rule) }

// badLines reads testdata/badlines/lines.txt: "== recipe rule", the slips, each
// behind "- " and "+ " or, of the shop file, "shop - " and "shop + ", and below
// them the findings: "severity rule [words at fault] message". A ⏎ is a line end.
func badLines(t *testing.T) (path string, rows []badLine) {
	t.Helper()
	path = filepath.Join(testkit.Data(t, "badlines"), "lines.txt")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	ends := func(s string) string { return strings.ReplaceAll(s, "⏎", "\n") }
	for n, line := range strings.Split(string(text), "\n") {
		if head, ok := strings.CutPrefix(line, "== "); ok {
			base, rule, _ := strings.Cut(head, " ")
			rows = append(rows, badLine{line: n + 1, base: base, rule: rule})
			continue
		}
		if line == "" || len(rows) == 0 {
			continue
		}
		b := &rows[len(rows)-1]
		place, shop := strings.CutPrefix(line, "shop ")
		switch mark, words, _ := strings.Cut(place, " "); mark {
		case "-":
			b.slips = append(b.slips, slip{shop, ends(words), ""})
		case "+":
			b.slips[len(b.slips)-1].new = ends(words)
		default:
			b.want = append(b.want, line)
		}
	}
	return path, rows
}

// soundPair is a sound recipe and the shop file it stands on.
type soundPair struct{ recipe, shop string }

func soundRecipe(t *testing.T, name string) soundPair {
	t.Helper()
	for _, dir := range []string{"sequences", "sound"} {
		dir = testkit.Data(t, dir)
		if text, err := os.ReadFile(filepath.Join(dir, name+".md")); err == nil {
			return soundPair{string(text), string(testkit.Read(t, filepath.Join(dir, "shop.yaml")))}
		}
	}
	t.Fatalf("there is no sound recipe %s", name)
	return soundPair{}
}

// foundIn is all that is found in a recipe by a set of rules.
func foundIn(t *testing.T, s soundPair, set []check.Rule) diag.List {
	t.Helper()
	var laid diag.List
	h := trade.Lay(source.New("shop.yaml", []byte(s.shop)), &laid)
	require.Empty(t, lines(t, laid))
	r, read := parse.New(h).Parse(source.New("recipe.md", []byte(s.recipe)))
	all := append(read, check.Run(&check.Context{House: h, Recipe: r, Plan: process.Of(r, h), Today: today}, set)...)
	all.Sort()
	return all
}

// saidOf is a finding as the table writes it.
func saidOf(d diag.Diagnostic) string {
	return fmt.Sprintf("%s %s [%s] %s", d.Severity, d.Rule, strings.ReplaceAll(d.Span.Text(), "\n", "⏎"), d.Message)
}

// broken is the sound recipe of a row with its slip.
func (b badLine) broken(t *testing.T) (sound, slipped soundPair) {
	t.Helper()
	sound = soundRecipe(t, b.base)
	slipped = sound
	for _, one := range b.slips {
		text := &slipped.recipe
		if one.shop {
			text = &slipped.shop
		}
		require.Equal(t, 1, strings.Count(*text, one.old), "%s: %q stands once", b, one.old)
		*text = strings.Replace(*text, one.old, one.new, 1)
	}
	return sound, slipped
}

// added are the findings of a row that the sound recipe does not give, by a set
// of rules, as the table writes them.
func (b badLine) added(t *testing.T, set []check.Rule) (list []string, findings diag.List) {
	t.Helper()
	sound, slipped := b.broken(t)
	known := map[string]bool{}
	for _, d := range foundIn(t, sound, set) {
		known[stepNumber.ReplaceAllString(saidOf(d), "step")] = true
	}
	for _, d := range foundIn(t, slipped, set) {
		if text := saidOf(d); !known[stepNumber.ReplaceAllString(text, "step")] {
			list = append(list, text)
			findings.Add(d)
		}
	}
	return list, findings
}

// stepNumber changes where a slip takes a step out.
var stepNumber = regexp.MustCompile(`[Ss]tep \d+`)

// One slip in sound work gives the finding it must, word for word, and nothing
// nobody looked for. Run with -update the table is written anew, to be read as a
// glassworker would.
func TestBadLines(t *testing.T) {
	testkit.Long(t)
	path, rows := badLines(t)
	assert.GreaterOrEqual(t, len(rows), 80)
	var out strings.Builder
	for _, b := range rows {
		got, findings := b.added(t, rules.All)
		hit := of(findings, b.rule)
		assert.NotEmpty(t, hit, "%s: not found:\n%s", b, strings.Join(got, "\n"))
		for _, d := range findings {
			wellWritten(t, d)
		}
		if testkit.Updating() {
			fmt.Fprintf(&out, "== %s %s\n", b.base, b.rule)
			for _, one := range b.slips {
				where := ""
				if one.shop {
					where = "shop "
				}
				for _, side := range []string{"- " + one.old, "+ " + one.new} {
					out.WriteString(strings.TrimRight(where+strings.ReplaceAll(side, "\n", "⏎"), " ") + "\n")
				}
			}
			out.WriteString(strings.Join(got, "\n") + "\n\n")
			continue
		}
		assert.Equal(t, strings.Join(b.want, "\n"), strings.Join(got, "\n"), b.String())
	}
	if testkit.Updating() {
		require.NoError(t, os.WriteFile(path, []byte(strings.TrimRight(out.String(), "\n")+"\n"), 0o644))
	}
}

// A rule that is taken out is missed by each of its rows.
func TestBadLinesMissARuleThatIsTakenOut(t *testing.T) {
	testkit.Long(t)
	_, rows := badLines(t)
	for _, b := range rows {
		var set []check.Rule
		for _, r := range rules.All {
			if r.ID != b.rule {
				set = append(set, r)
			}
		}
		if at := slices.IndexFunc(rules.All, func(r check.Rule) bool { return r.ID == b.rule }); at < 0 || rules.All[at].Check == nil {
			continue // kept while the file is read
		}
		got, _ := b.added(t, set)
		assert.NotEqual(t, strings.Join(b.want, "\n"), strings.Join(got, "\n"), b.String())
	}
}
