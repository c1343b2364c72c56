package rules_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/report"
	"coldwright/internal/rules"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// today is the day every fixture is read on.
var today = recipe.Date{Year: 2026, Month: 6, Day: 1}

// houseIn is the house of a folder of fixtures: its shop file without a
// finding, or the built-in one.
func houseIn(t testing.TB, dir string) *trade.House {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, "shop.yaml"))
	if err != nil {
		return trade.BuiltIn()
	}
	var list diag.List
	h := trade.Lay(source.New("shop.yaml", text), &list)
	require.Empty(t, lines(t, list), "the shop file has findings")
	return h
}

// findings are those of reading a recipe and of checking it.
func findings(h *trade.House, name string, text []byte) (read, checked diag.List) {
	r, read := parse.New(h).Parse(source.New(name, text))
	checked = check.Run(&check.Context{House: h, Recipe: r, Plan: process.Of(r, h), Today: today}, rules.All)
	checked.Sort()
	return read, checked
}

// shelfOf are recipes by the names of their files, read into a house that has
// no others; a link holds where it leads to one of the files.
func shelfOf(h *trade.House, texts map[string]string) *check.Shelf {
	s := &check.Shelf{House: h, Closed: true, All: true, Today: today}
	for name, text := range texts {
		r, _ := parse.New(h).Parse(source.New(name, []byte(text)))
		s.Entries = append(s.Entries, rules.Enter(r))
	}
	s.Holds = func(e *check.Entry, target string) bool {
		_, ok := texts[path.Join(path.Dir(e.Recipe.File.Name), target)]
		return ok
	}
	return s
}

// across is what is found of one recipe of a shelf beside the others.
func across(s *check.Shelf, name string) diag.List {
	for i, list := range rules.AcrossHouse(s) {
		if s.Entries[i].Recipe.File.Name == name {
			list.Sort()
			return list
		}
	}
	return nil
}

// beside is what is found of a fixture beside the recipes of the folder
// among.
func beside(t *testing.T, h *trade.House, dir, name string) diag.List {
	t.Helper()
	texts := map[string]string{name: string(testkit.Read(t, filepath.Join(dir, name)))}
	paths, err := filepath.Glob(filepath.Join(dir, "among", "*.md"))
	require.NoError(t, err)
	for _, p := range paths {
		texts["among/"+filepath.Base(p)] = string(testkit.Read(t, p))
	}
	return across(shelfOf(h, texts), name)
}

func of(list diag.List, rule string) diag.List {
	var some diag.List
	for _, d := range list {
		if d.Rule == rule {
			some.Add(d)
		}
	}
	return some
}

func lines(t testing.TB, list diag.List) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, report.Lines(&b, list))
	return b.String()
}

func TestTheRulesAreWhole(t *testing.T) {
	require.NoError(t, check.Validate(rules.All))
	for _, r := range rules.All {
		assert.NotContains(t, r.Title, "\n", "%s: a title is one line", r.ID)
		assert.LessOrEqual(t, len(r.Title), 160, "%s: a title is one line", r.ID)
		assert.NotEmpty(t, r.Quiet, "%s does not say when it keeps still", r.ID)
		r = rules.Plain(r)
		for name, text := range map[string]string{"title": r.Title, "why": r.Why, "quiet": r.Quiet} {
			assert.Contains(t, ".?", text[len(text)-1:], "%s: the %s is no whole sentence: %s", r.ID, name, text)
			first, _ := utf8.DecodeRuneInString(text)
			assert.False(t, unicode.IsLower(first), "%s: the %s opens small: %s", r.ID, name, text)
			for _, word := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) }) {
				assert.NotContains(t, notOfTheBench, word, "%s: %s", r.ID, text)
			}
		}
	}
}

// Each rule that checks has a folder of its own: good.md without a finding of
// the rule, bad.md that trips it, bad.want with what it says.
func TestEachRuleOnItsFixtures(t *testing.T) {
	dir := testkit.Data(t, "rules")
	byID := map[string]check.Rule{}
	for _, r := range rules.All {
		byID[r.ID] = r
	}
	seen := map[string]bool{}
	for _, id := range testkit.Folders(t, dir) {
		seen[id] = true
		t.Run(id, func(t *testing.T) {
			rule, known := byID[id]
			require.True(t, known, "there is no rule of this name")
			h := houseIn(t, filepath.Join(dir, id))
			good := testkit.Read(t, filepath.Join(dir, id, "good.md"))
			read, checked := findings(h, "good.md", good)
			checked.Add(beside(t, h, filepath.Join(dir, id), "good.md")...)
			assert.Empty(t, lines(t, of(append(checked, read...), id)))
			assert.Empty(t, lines(t, read), "good.md has mistakes of the format")

			read, checked = findings(h, "bad.md", testkit.Read(t, filepath.Join(dir, id, "bad.md")))
			checked.Add(beside(t, h, filepath.Join(dir, id), "bad.md")...)
			if rule.Check != nil || rule.Across != nil {
				assert.Empty(t, lines(t, read), "bad.md has mistakes of the format")
			}
			all := append(checked, read...)
			all.Sort()
			got := of(all, id)
			require.NotEmpty(t, got, "bad.md does not trip the rule")
			for _, d := range got {
				wellWritten(t, d)
			}
			testkit.Golden(t, filepath.Join(dir, id, "bad.want"), []byte(lines(t, got)))
		})
	}
	for _, r := range rules.All {
		if r.Check != nil || r.Across != nil {
			assert.True(t, seen[r.ID], "the rule %s has no folder in testdata/rules", r.ID)
		}
	}
}

// notOfTheBench are words no glassworker would use of a recipe.
var notOfTheBench = []string{"yaml", "syntax", "node", "token", "parse", "string", "null", "nil", "boolean", "integer", "%!"}

// wellWritten holds a finding against the house style: whole sentences in
// words of the bench, that point at a place.
func wellWritten(t *testing.T, d diag.Diagnostic) {
	t.Helper()
	assert.True(t, d.Span.Known(), "points nowhere: %s", d.Message)
	for name, text := range map[string]string{"message": d.Message, "help": d.Help} {
		if text == "" && name == "help" {
			continue
		}
		require.NotEmpty(t, text)
		first, _ := utf8.DecodeRuneInString(text)
		assert.False(t, first >= 'a' && first <= 'z', "%s does not open with a large letter: %s", name, text)
		assert.Contains(t, ".?!", text[len(text)-1:], "%s does not end: %s", name, text)
		for _, word := range strings.Fields(strings.ToLower(text)) {
			assert.NotContains(t, notOfTheBench, strings.Trim(word, ".,:;`\"()"), text)
		}
		assert.NotContains(t, text, "  ")
		assert.NotContains(t, text, "%!")
	}
}

// The sequences are sound work from end to end, each a way the trade brings a
// piece to its stop. A checker that finds fault with them cries wolf.
func TestSoundSequencesGiveNoFalseAlarm(t *testing.T) {
	dir := testkit.Data(t, "sequences")
	h := houseIn(t, dir)
	assert.Empty(t, rules.CheckHouse(h))
	// Cerium straight from a 600 resin pad: 8 min a face written, about 24 needed.
	stated := map[string]string{"cube-optical.md": "damage-not-cleared"}
	for _, path := range testkit.Files(t, dir, "*.md") {
		name := filepath.Base(path)
		t.Run(name, func(t *testing.T) {
			read, checked := findings(h, name, testkit.Read(t, path))
			var loud diag.List
			for _, d := range append(read, checked...) {
				if d.Severity > diag.Note && (d.Severity > diag.Warning || d.Rule != stated[name]) {
					loud.Add(d)
				}
			}
			assert.Empty(t, lines(t, loud))
		})
	}
}

// A sequence with its steps in another order, or one taken out, is no longer
// sound: something must be said.
func TestASequenceDisturbedIsNoticed(t *testing.T) {
	dir := testkit.Data(t, "sequences")
	h := houseIn(t, dir)
	for _, c := range []struct{ file, old, new, rule string }{
		{"panel-satin.md", "Time: 16-20-30 min", "Time: 2 min", "damage-not-cleared"},
		{"panel-satin.md", "- Unmask: back, edges\n", "", "masked-to-the-end"},
		{"panel-satin.md", "- Clean-down: rinse the panel, take the brush off\n", "", "no-clean-down"},
		{"panel-satin.md", "Medium: BRUSH-4F", "Medium: FELTW-C", "one-medium-two-compounds"},
		{"cube-optical.md", "Abrasive: R600", "Abrasive: D140", "grade-goes-backwards"},
		{"vessel-foot.md", "Abrasive: R325", "Abrasive: D270", "shines-but-pits-left"},
		{"vase-facets.md", "- Medium: BRUSH-2F", "- Medium: CORK-4F", "medium-does-not-reach"},
		{"disc-lustre.md", "- Mask: back\n", "", "protected-surface-worked"},
		{"bowl-rim.md", "Mix: mud", "Mix: milk", "mix-does-not-suit"},
		{"bowl-rim.md", "to: satin", "to: matte", "work-after-stop"},
		{"vessel-foot.md", "Machine: LATHE at 400 rpm", "Machine: LATHE at 1400 rpm", "rim-speed-out-of-range"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			text := string(testkit.Read(t, filepath.Join(dir, c.file)))
			require.Contains(t, text, c.old)
			_, checked := findings(h, c.file, []byte(strings.Replace(text, c.old, c.new, 1)))
			assert.NotEmpty(t, of(checked, c.rule), lines(t, checked))
		})
	}
}

func TestFindingsDoNotDependOnTheRun(t *testing.T) {
	dir := testkit.Data(t, "sequences")
	h := houseIn(t, dir)
	for _, path := range testkit.Files(t, dir, "*.md") {
		text := []byte(strings.ReplaceAll(string(testkit.Read(t, path)), "- Water:", "- Bench: A\n- Water:"))
		_, first := findings(h, "a.md", text)
		for range 5 {
			_, again := findings(h, "a.md", text)
			require.Equal(t, lines(t, first), lines(t, again))
		}
	}
}

// Every id a finding can bear stands in the list, so that `explain` knows it.
func TestEveryIDIsExplained(t *testing.T) {
	// The mistakes of the built-in tables never reach anybody: a test of theirs
	// keeps them empty.
	known := map[string]bool{"table": true}
	for _, r := range rules.All {
		known[r.ID] = true
	}
	count := 0
	dirs := packages(t)
	constants := map[string]string{}
	for _, dir := range dirs {
		constantsIn(t, dir, constants)
	}
	for _, dir := range dirs {
		for id, at := range idsIn(t, dir, constants) {
			count++
			assert.True(t, known[id], "%s reports %q, which no rule explains", at, id)
		}
	}
	assert.Greater(t, count, 10)
}

func packages(t *testing.T) (dirs []string) {
	t.Helper()
	root := filepath.Join(testkit.Root(t), "internal")
	for _, name := range testkit.Folders(t, root) {
		dirs = append(dirs, filepath.Join(root, name))
	}
	return dirs
}

// constantsIn adds the words that names of a package stand for, by the name
// with its package before it.
func constantsIn(t *testing.T, dir string, constants map[string]string) {
	t.Helper()
	each(t, dir, func(_ string, n ast.Node) {
		if spec, ok := n.(*ast.ValueSpec); ok && len(spec.Names) == len(spec.Values) {
			for i, value := range spec.Values {
				if text, ok := literal(value); ok {
					constants[filepath.Base(dir)+"."+spec.Names[i].Name] = text
				}
			}
		}
	})
}

// idsIn are the words that stand as the Rule of a finding in the source of a
// package, written out or by the name of a constant, with the file they are in.
func idsIn(t *testing.T, dir string, constants map[string]string) map[string]string {
	t.Helper()
	ids := map[string]string{}
	eachFinding(t, dir, constants, func(name, id string, _ map[string]ast.Expr) { ids[id] = name })
	return ids
}

// eachFinding gives each finding that the source of a package writes out, with
// its id and its fields.
func eachFinding(t *testing.T, dir string, constants map[string]string, f func(name, id string, fields map[string]ast.Expr)) {
	t.Helper()
	each(t, dir, func(name string, n ast.Node) {
		composite, ok := n.(*ast.CompositeLit)
		if !ok || !isDiagnostic(composite.Type) {
			return
		}
		fields := map[string]ast.Expr{}
		for _, e := range composite.Elts {
			if pair, ok := e.(*ast.KeyValueExpr); ok {
				if key, ok := pair.Key.(*ast.Ident); ok {
					fields[key.Name] = pair.Value
				}
			}
		}
		id := ""
		switch value := fields["Rule"].(type) {
		case *ast.BasicLit:
			id, _ = literal(value)
		case *ast.Ident:
			id = constants[filepath.Base(dir)+"."+value.Name]
		case *ast.SelectorExpr:
			if pkg, ok := value.X.(*ast.Ident); ok {
				id = constants[pkg.Name+"."+value.Sel.Name]
			}
		}
		if id != "" {
			f(name, id, fields)
		}
	})
}

// TestExplainSaysTheSeverityThatIsGiven holds what explain says of a rule that is
// kept while files are read against the source that finds it.
func TestExplainSaysTheSeverityThatIsGiven(t *testing.T) {
	said := map[string]string{}
	for _, r := range rules.All {
		// That of an accepted finding is told in words: it has two.
		if r.Check == nil && r.Across == nil && r.ID != check.AcceptedRule {
			said[r.ID] = r.Severity.String()
		}
	}
	dirs := packages(t)
	constants := map[string]string{}
	for _, dir := range dirs {
		constantsIn(t, dir, constants)
	}
	count := 0
	for _, dir := range dirs {
		eachFinding(t, dir, constants, func(name, id string, fields map[string]ast.Expr) {
			given, ok := fields["Severity"].(*ast.SelectorExpr)
			if !ok || said[id] == "" {
				return
			}
			count++
			assert.Equal(t, said[id], strings.ToLower(given.Sel.Name), "%s in %s", id, name)
		})
	}
	assert.Greater(t, count, 5)
}

// each looks at every part of the source of a package, tests left out.
func each(t *testing.T, dir string, f func(name string, n ast.Node)) {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(dir, "*.go"))
	require.NoError(t, err)
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool { f(path, n); return true })
	}
}

func isDiagnostic(e ast.Expr) bool {
	selector, ok := e.(*ast.SelectorExpr)
	return ok && isName(selector.X, "diag") && selector.Sel.Name == "Diagnostic"
}

func isName(e ast.Expr, name string) bool {
	ident, ok := e.(*ast.Ident)
	return ok && ident.Name == name
}

func literal(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(lit.Value)
	return text, err == nil
}
