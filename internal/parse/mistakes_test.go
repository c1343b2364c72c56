package parse

import (
	"flag"
	goast "go/ast"
	goparser "go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/keys"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

var update = flag.Bool("update", false, "rewrite the findings in testdata/mistakes.txt")

// mistake is one slip of the pen in the example recipe: the words old became
// the words new, and these are the findings.
type mistake struct{ old, new, want string }

// mistakes reads testdata/mistakes.txt: blocks of "- old", "+ new" and findings,
// with an empty line between; ⏎ is a line end.
func mistakes(t *testing.T) (string, []mistake) {
	name := filepath.Join("testdata", "mistakes.txt")
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	var all []mistake
	for _, block := range strings.Split(strings.TrimSpace(string(text)), "\n\n") {
		var m mistake
		var want []string
		for _, line := range strings.Split(block, "\n") {
			switch {
			case strings.HasPrefix(line, "- "):
				m.old = strings.ReplaceAll(line[2:], "⏎", "\n")
			case strings.HasPrefix(line, "+ "):
				m.new = strings.ReplaceAll(line[2:], "⏎", "\n")
			default:
				want = append(want, line)
			}
		}
		m.want = strings.Join(want, "\n")
		all = append(all, m)
	}
	return name, all
}

// TestSingleMistakes makes one mistake at a time in the example recipe and
// wants its finding, in its place, and no other.
func TestSingleMistakes(t *testing.T) {
	p, err := quillfen()
	require.NoError(t, err)
	sound := string(exampleText(t))
	name, all := mistakes(t)
	var out strings.Builder
	for _, m := range all {
		require.Equal(t, 1, strings.Count(sound, m.old), "%q stands once in the example", m.old)
		f := source.New("a.md", []byte(strings.Replace(sound, m.old, m.new, 1)))
		_, list := p.Parse(f)
		list.Sort()
		var got []string
		for i, d := range list {
			got = append(got, said(list[i : i+1])[0]+" ["+strings.ReplaceAll(d.Span.Text(), "\n", "⏎")+"]")
		}
		if *update {
			out.WriteString("- " + strings.ReplaceAll(m.old, "\n", "⏎") + "\n+ " + strings.ReplaceAll(m.new, "\n", "⏎") + "\n" + strings.Join(got, "\n") + "\n\n")
			continue
		}
		assert.Equal(t, m.want, strings.Join(got, "\n"), "%q instead of %q", m.new, m.old)
		assert.NotEmpty(t, got, "%q instead of %q", m.new, m.old)
	}
	if *update {
		require.NoError(t, os.WriteFile(name, []byte(strings.TrimRight(out.String(), "\n")+"\n"), 0o644))
		t.Fatal("findings rewritten; read them")
	}
}

// What the findings say is said to glassworkers.
func TestWordsOfTheBench(t *testing.T) {
	_, all := mistakes(t)
	for _, m := range all {
		lower := strings.ToLower(m.want)
		for _, word := range []string{"yaml", "syntax", "token", "node", "parse", "string", "integer", "scalar", "mapping", "invalid", "regexp", "markdown"} {
			assert.NotContains(t, lower, word, m.want)
		}
	}
	for _, k := range Kept {
		for _, text := range []string{k.Title, k.Why, k.Bad, k.Good} {
			assert.NotEmpty(t, text, k.ID)
		}
		assert.NotZero(t, k.Severity, k.ID)
		assert.True(t, strings.HasSuffix(k.Why, "."), k.ID)
	}
}

// Every id there is a constant for has its explanation, once, and shares its
// name with none of the findings about keys and trade.
func TestEveryIDIsKept(t *testing.T) {
	file, err := goparser.ParseFile(token.NewFileSet(), "ids.go", nil, 0)
	require.NoError(t, err)
	kept := map[string]int{}
	for _, k := range Kept {
		kept[k.ID]++
	}
	constants := 0
	for _, d := range file.Decls {
		g, ok := d.(*goast.GenDecl)
		if !ok || g.Tok != token.CONST {
			continue
		}
		for _, spec := range g.Specs {
			id, err := strconv.Unquote(spec.(*goast.ValueSpec).Values[0].(*goast.BasicLit).Value)
			require.NoError(t, err)
			assert.Equal(t, 1, kept[id], id)
			constants++
		}
	}
	assert.Equal(t, len(Kept), constants)
	for _, m := range append(append([]keys.Mistake{}, keys.Mistakes...), trade.Mistakes...) {
		assert.Zero(t, kept[m.ID], "%s is another's", m.ID)
	}
}

// Whole days written day first, as the CLDR short and medium dates of de, it and
// en-GB are; what may be two days is left to its author.
func TestDayFirst(t *testing.T) {
	for text, want := range map[string]string{
		"20.11.2026": "2026-11-20", "5.10.2026": "2026-10-05", "20/11/2026": "2026-11-20", "20-11-2026": "2026-11-20",
		"05/10/2026": "", "31.2.2026": "", "5.10.26": "", "2026-10-05": "", "5.13.2026": "", "a.b.2026": "",
	} {
		assert.Equal(t, want, dayFirst(text), text)
	}
}

// Bare carriage returns end a line for no reader of Markdown.
func TestOldLineEnds(t *testing.T) {
	_, list := New(nil).Parse(source.New("x.md", []byte("---\rrecipe: x\r---\r\r## A\r")))
	require.Len(t, list, 1)
	assert.Equal(t, NotText, list[0].Rule)
}

// The names of surfaces as keys are one slip, told once.
func TestSurfacesByName(t *testing.T) {
	_, list := New(nil).Parse(source.New("x.md", []byte("---\nrecipe: x\nsurfaces:\n  rim: {shape: flat}\n  foot: {shape: flat}\n---\n\n## A\n\n- Surface: rim\n")))
	var about []string
	for _, d := range list {
		if strings.Contains(d.Message, "surface") {
			about = append(about, d.Rule+" "+d.Help)
		}
	}
	assert.Equal(t, []string{BadValue + " Write - {name: rim, and its other keys behind that; so for each surface."}, about)
}
