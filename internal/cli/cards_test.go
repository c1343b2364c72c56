package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/layout"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// cardHouse is the house of the demo recipes.
func cardHouse(t testing.TB) *trade.House {
	var report diag.List
	h := trade.Lay(source.New("shop.yaml", testkit.Read(t, filepath.Join(testkit.Root(t), "recipes", "shop.yaml"))), &report)
	require.Empty(t, report)
	return h
}

// card lays the card of a recipe; nil where it does not fit.
func card(t testing.TB, h *trade.House, r *recipe.Recipe, o sheet.Options) (*draw.Document, diag.List) {
	content, found := sheet.Build(process.Of(r, h), sheet.FindDesign("bench card"), o)
	require.NotNil(t, content, "%v", found)
	doc, more := layout.Lay(content)
	found.Add(more...)
	return doc, found
}

// The drawing of three cards, so that a change to any is seen.
func TestGoldenCards(t *testing.T) {
	h := cardHouse(t)
	for name, o := range map[string]sheet.Options{
		"cast-weight": {},
		"lens-vase":   {Paper: "A4", Portrait: true},
		"optic-block": {Paper: "5x8", Portrait: true, Bench: "D"},
	} {
		file := filepath.Join(testkit.Root(t), "recipes", name+".md")
		r, _ := parse.New(h).Parse(source.New(name+".md", testkit.Read(t, file)))
		doc, _ := card(t, h, r, o)
		require.NotNil(t, doc, name)
		testkit.Golden(t, testkit.Data(t, "cards", name+".txt"), []byte(layout.Dump(doc)))
	}
}

// read as a reading aloud would have it: what is furniture is left out.
func readAloud(doc *draw.Document) string {
	var b strings.Builder
	for _, p := range doc.Pages {
		for _, r := range p.Runs {
			if r.Role == draw.Artifact {
				continue
			}
			for _, it := range r.Items {
				if v, ok := it.(draw.Text); ok {
					b.WriteString(v.Text)
				}
			}
		}
	}
	return squeezed(strings.ToLower(b.String()))
}

// requireOnCard finds every checkpoint, caution, clean-down, mask and return of
// every step of a recipe, step by step, and its stop.
func requireOnCard(t testing.TB, r *recipe.Recipe, text string) {
	t.Helper()
	plain := func(words string) string { return squeezed(strings.ToLower(words)) }
	require.Contains(t, text, plain(r.Stop.Value))
	for _, n := range r.Notices {
		require.Contains(t, text, plain(n.Text))
	}
	rest := text
	for i := range r.Steps {
		step := &r.Steps[i]
		title := plain(step.Title)
		at := strings.Index(rest, title)
		require.GreaterOrEqualf(t, at, 0, "%s: step %d is lost or out of order", r.ID.Value, step.Number)
		rest = rest[at+len(title):]
		mine := rest
		if i+1 < len(r.Steps) {
			if next := strings.Index(rest, plain(r.Steps[i+1].Title)); next >= 0 {
				mine = rest[:next]
			}
		}
		want := []string{step.CleanDown.Value, step.Rework, step.Bench.Value.Because, step.Abrasive.Value.Grade.Label, step.Pressure.Value.Word}
		for _, u := range append(step.Mask, step.Unmask...) {
			want = append(want, u.Name)
		}
		for k := range step.Body {
			switch e := &step.Body[k]; e.Kind {
			case recipe.Check:
				want = append(want, prose.Words(e.Check.Words))
			case recipe.Warn:
				want = append(want, e.Notice.Text)
			}
		}
		for _, f := range step.Facts {
			switch f.Name {
			case "Mix", "Water", "Depth", "Bench":
				word, _, _ := strings.Cut(f.Value, ",")
				want = append(want, word)
			}
		}
		for _, w := range want {
			// What all steps share stands once at the head.
			if !strings.Contains(mine, plain(w)) {
				require.Containsf(t, text[:max(strings.Index(text, "allsteps"), 0)+400], plain(w), "%s: %q is not at step %d", r.ID.Value, w, step.Number)
				require.Containsf(t, text, "allsteps", "%s: %q is not at step %d", r.ID.Value, w, step.Number)
			}
		}
	}
}

// TestCardsSayEverything lays the cards of the demo recipes and of made-up ones
// and looks every fact, checkpoint and caution up.
func TestCardsSayEverything(t *testing.T) {
	testkit.Long(t)
	h := cardHouse(t)
	root := testkit.Root(t)
	names, problems := recipeFiles(filepath.Join(root, "recipes"))
	require.Empty(t, problems)
	texts := map[string][]byte{}
	for _, name := range names {
		texts[name] = testkit.Read(t, name)
	}
	for _, w := range testkit.Recipes(7, 60) {
		texts[w.Name] = w.Text
	}
	parser := parse.New(h)
	laid := 0
	for name, text := range texts {
		r, _ := parser.Parse(source.New(name, text))
		if r.Unread || len(r.Steps) == 0 {
			continue
		}
		for _, o := range []sheet.Options{{Paper: "A4", Portrait: true}, {Paper: "Letter"}, {}} {
			doc, found := card(t, h, r, o)
			if doc == nil {
				assert.Equal(t, sheet.CardFitRule, found[len(found)-1].Rule, name)
				continue
			}
			laid++
			requireOnCard(t, r, readAloud(doc))
		}
	}
	assert.Greater(t, laid, 40)
}

// TestCardsPrint prints the cards of the demo house on the papers they fit and
// holds every file against an independent validator and reader.
func TestCardsPrint(t *testing.T) {
	api.DisableConfigDir()
	root := testkit.Root(t)
	out := t.TempDir()
	var said bytes.Buffer
	print := func(options ...string) {
		args := append([]string{"print", "--as", "bench card", "--today", "2026-11-25", "--out", out}, options...)
		Main(append(args, filepath.Join(root, "recipes")), strings.NewReader(""), &said, &said)
	}
	print("--paper", "A4", "--portrait")
	print("--bench", "D", "--portrait")
	print("--bench", "D", "--portrait", "--sheet", "A4")
	files, err := os.ReadDir(out)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 9, said.String())
	for _, f := range files {
		file := testkit.Read(t, filepath.Join(out, f.Name()))
		require.NoError(t, api.Validate(bytes.NewReader(file), nil), f.Name())
		assert.Contains(t, squeezed(textOf(t, file)), "STOP", f.Name())
	}
}
