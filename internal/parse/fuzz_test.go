package parse

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
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
				holds(t, e.Notice.Blocks, source.Span{})
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
