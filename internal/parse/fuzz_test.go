package parse

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// FuzzParse reads whatever it is given: no panic, every finding whole and in
// its place, every text where it says it stands.
func FuzzParse(f *testing.F) {
	p, err := quillfen()
	require.NoError(f, err)
	tour, err := os.ReadFile(filepath.Join("testdata", "tour.md"))
	require.NoError(f, err)
	for _, seed := range []string{
		string(exampleText(f)), string(tour), "", "---\n", "---\n---\n", "\ufeff---\r\n---\r\n## a\r\n- Time: 8\r\n",
		before + "- Surface: a, b and c (rework: x)\n- Amount: 8 g a and 2 g b\n- Time: 6 x 3 min + 2 h alone\n- Mix: 1 : 2 by volume\n",
		"---\nrecipe: x\nsurfaces: [{name: a, from: \"sawn, diamond 100 mesh, damage 3 µm\"}]\n---\n## a\n- Bench: X, back because y\n- Charge: every 2 min, last 1 min without\n- [ ] x -> a\n  - Right: b\n",
		before + "- Surface: a\n-Water: drip\n- Time: 4 min\n-Bench: A\n\nx\n-Mix: mud\n- [ ]a\n-[ ] b\n- [] c\n##Next\n-Time: 3 min\n- a\n### Not\n- b\n#### Step\n- Time: 1 min\n![a](b c.png)\n",
		before + "> Danger: a\n> Caution: b\n\n[^a]: [^b]: c\n\nx[^a]\n\n[q]: w\n\n<b>\n\n|a|\n|-|\n|`\\|`|\n",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 1<<16 {
			return
		}
		file := source.New("a.md", []byte(text))
		r, list := p.Parse(file)
		sound(t, file, list)
		same(t, p, file)
		holds(t, r.Purpose, source.Span{})
		holds(t, r.Notes, source.Span{})
		holds(t, r.Footnotes, source.Span{})
		for i := range r.Steps {
			s := &r.Steps[i]
			if s.Number != i+1 || s.All.Start > s.All.End {
				t.Errorf("step %d is numbered %d and stands at %d-%d", i+1, s.Number, s.All.Start, s.All.End)
			}
			for _, e := range s.Body {
				holds(t, e.Blocks, source.Span{})
				if e.Kind == recipe.Warn {
					holds(t, e.Notice.Blocks, source.Span{})
				}
				if e.Check != nil != (e.Kind == recipe.Check) || e.Notice != nil != (e.Kind == recipe.Warn) || e.Picture != nil != (e.Kind == recipe.Shown) {
					t.Errorf("an element of kind %d points to what it is not, or to nothing", e.Kind)
				}
			}
			if n := s.ReturnTo.Value.Step; n < 0 || n > len(r.Steps) {
				t.Errorf("go back to step %d of %d", n, len(r.Steps))
			}
		}
	})
}

// sound checks what is true of every finding.
func sound(t testing.TB, file *source.File, list diag.List) {
	for _, d := range list {
		if d.Rule == "" || d.Message == "" || d.Severity == 0 || d.Concern == 0 {
			t.Errorf("half a finding: %+v", d)
		}
		if d.Span.File != file || d.Span.Start < 0 || d.Span.Start > d.Span.End || d.Span.End > len(file.Text) {
			t.Errorf("%s stands at %d-%d of %d: %s", d.Rule, d.Span.Start, d.Span.End, len(file.Text), d.Message)
		}
	}
}

// same reads a file with plain facts read whole and as the library's lists:
// both ways give the same facts, words and findings.
func same(t testing.TB, p *Parser, file *source.File) {
	slow := New(p.house)
	slow.markdown = newMarkdown(false)
	a, said1 := p.Parse(file)
	b, said2 := slow.Parse(file)
	if one, two := fmt.Sprint(said(said1)), fmt.Sprint(said(said2)); one != two {
		t.Errorf("findings differ:\n%s\n%s", one, two)
	}
	if one, two := outline(a), outline(b); one != two {
		t.Errorf("recipes differ:\n%s\n%s", one, two)
	}
}

// outline is what a recipe says and where.
func outline(r *recipe.Recipe) string {
	var b strings.Builder
	for i := range r.Steps {
		s := &r.Steps[i]
		fmt.Fprintf(&b, "%d %s %d-%d\n", s.Number, s.Title, s.All.Start, s.All.End)
		for _, f := range s.Facts {
			fmt.Fprintf(&b, "  %s=%s %d-%d\n", f.Name, f.Value, f.Span.Start, f.Span.End)
		}
		for _, e := range s.Body {
			text := ""
			if e.Kind == recipe.Check {
				text = e.Check.Text
			}
			fmt.Fprintf(&b, "  %d %d %q %q %d-%d %d\n", e.Kind, e.Mark, prose.BlockWords(e.Blocks), text, e.Span.Start, e.Span.End, len(e.KeyPoints))
		}
	}
	fmt.Fprintf(&b, "%q", prose.BlockWords(r.Notes))
	return b.String()
}

func TestPlainFactsReadTheSame(t *testing.T) {
	p, err := quillfen()
	require.NoError(t, err)
	all := []string{string(exampleText(t))}
	_, wrong := mistakes(t)
	for _, m := range wrong {
		all = append(all, strings.Replace(all[0], m.old, m.new, 1))
	}
	for _, facts := range []string{
		"- Time: 8 min\n- Water: wet\n", "- Time: 8 min\n\n- Water: wet\n", "- Time: 8 min\n  more\n", "- Time: 8 min\nmore\n",
		"- Time: 8 min\n\n  more\n", "- Time: 8 min\n\nmore\n", "- Time: 8 min\n- [ ] x\n- y\n", "- Time: 8 min\n\n- y\n- Water: wet\n- Key point: z\n",
		"- Time: 8 min\n- y\n\n- z\n- Depth: 2 mm", "- Time: 8 min\n---\n", "- Time: 8 min\n- - -\n", "- Time: 8 min\n* Water: wet\n", "- Time: 8 *min*\n- Water: wet\n",
		"- Time: 8 min\n## Next\n", "- Time: 8 min\n1. x\n", "- Time: 8 min\n  - [ ] x\n", "- Time:\n- Water: wet", "- Time: 8 min\n-\tWater: wet\n", "\n\n- Time: 8 min\n-\n",
		"- Water: wet\n- Light: x\n", "x\n\n- Time: 8 min\n", "- Time: 8 min\n\n\n\n    code\n", "- Time: 8 min\n```\nx\n```\n", "- Time: 8 min\n\n- Time: 9 min\n\nx\n\n- Water: wet\n",
	} {
		all = append(all, before[:len(before)-len("Words.\n\n# Notes\n\n")]+facts, before+"## A\n\n"+facts)
	}
	for _, text := range all {
		for _, text := range []string{text, strings.ReplaceAll(text, "\n", "\r\n")} {
			if same(t, p, source.New("a.md", []byte(text))); t.Failed() {
				t.Fatalf("%q", text)
			}
		}
	}
}
