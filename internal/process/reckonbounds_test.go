package process_test

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

func saneAll(t assert.TestingT, r *process.Reckoning) {
	for i := range r.Surfaces {
		s := r.Surfaces[i]
		s.Surface = nil
		testkit.SaneNumbers(t, s)
		for n := range s.Steps {
			st := s.Steps[n]
			assert.LessOrEqual(t, st.After.DLowUM, st.After.DUM)
			assert.LessOrEqual(t, st.After.DUM, st.After.DHighUM)
		}
	}
	testkit.SaneNumbers(t, r.Totals)
}

// Whatever is written, what comes out is a number that can be or a sentence.
func TestNothingAbsurdComesOut(t *testing.T) {
	facts := map[string][]string{
		"Abrasive": {"D60", "R325", "S220", "CE", "pumice 2F", "pumice 3", "silicon carbide F8", "silicon carbide 0.1 µm", "silicon carbide 5000 µm", "diamond 0.1 µm", "diamond 5000 µm",
			"metal diamond blade", "cerium oxide 99 µm", "emery F80", "glass bead 150 µm", "rottenstone", "boron carbide F220", "urethane silicon carbide wheel", "moondust 7", ""},
		"Medium":   {"iron lap", "felt pad", "pitch lap", "BR", "cork wheel", "urethane pad", "pan", "felt block", ""},
		"Machine":  {"LAP at 300 rpm", "LAP at 10000 rpm", "LATHE at 450 rpm", "vibrating lap", "wet belt", "wet belt at 5 m/s", "by hand", "blast cabinet", "hand-held polisher", "drill at 1 rpm", "wet saw", "LAP at 0 rpm", "sink", ""},
		"Water":    {"flood", "drip", "damp", "dry", ""},
		"Charge":   {"every 2 min", "every 2 min, last 3 min without", "once", "every 0 min", "every 0.001 s", ""},
		"Time":     {"0 min", "1 s", "8 min", "6 x 3 min", "10 min + 300 h alone", "99999 h", ""},
		"Pressure": {"light", "firm", "own weight", "1 N", "0 N", "100000 kgf", "1.6 bar", ""},
	}
	surfaces := []string{
		`{name: top, shape: flat, area: 100 cm², from: "sawn, diamond 100 mesh", to: bright polish}`,
		`{name: top, shape: flat, area: 0 cm², from: sawn, to: satin}`,
		`{name: top, shape: flat, area: 10 m², from: as cast, to: optical polish}`,
		`{name: top, shape: flat, from: fused, to: matte}`,
		`{name: top, shape: arris, length: 1 mm, from: new, to: seamed}`,
		`{name: top, shape: flat, count: 100000, area: 1 mm², from: "sandblasted, pumice 3", to: lustre}`,
		`{name: top, shape: ring, area: 5 cm², from: "ground, cerium oxide", to: dirty polish}`,
		`{name: top, shape: flat, area: 5 cm², from: "sawn, damage 900 mm, uneven 5 m", to: lustre}`,
		`{name: top, shape: flat, area: 5 cm², from: "fire polished, damage 0 µm, uneven 0 mm", to: lustre}`,
	}
	glasses := []string{"soda-lime", "lead crystal", "unknown", "moonglass", "fused silica"}
	var report diag.List
	h := trade.Lay(source.New("shop.yaml", []byte(shop)), &report)
	require.Empty(t, report)
	parser := parse.New(h)
	rapid.Check(t, func(t *rapid.T) {
		text := "---\nrecipe: r\ntitle: R\nrevision: 1\ndate: 2026-10-05\nglass: " + rapid.SampledFrom(glasses).Draw(t, "glass") +
			"\npiece: {form: cast, size: 80 mm dia x 45 mm}\nsurfaces:\n  - " + rapid.SampledFrom(surfaces).Draw(t, "surface") + "\n---\n"
		for range rapid.IntRange(1, 4).Draw(t, "steps") {
			text += "\n## Work\n\n- Surface: top\n"
			for _, name := range []string{"Abrasive", "Medium", "Machine", "Water", "Charge", "Time", "Pressure"} {
				if value := rapid.SampledFrom(facts[name]).Draw(t, name); value != "" {
					text += "- " + name + ": " + value + "\n"
				}
			}
		}
		r, _ := parser.Parse(source.New("r.md", []byte(text)))
		saneAll(t, process.Of(r, h).Reckon())
	})
}

// Every recipe that came with the program, whatever else is wrong with it.
func TestEveryRecipeReckons(t *testing.T) {
	root := testkit.Root(t)
	n := 0
	for _, dir := range []string{"recipes", "testdata", "templates"} {
		err := filepath.WalkDir(filepath.Join(root, dir), func(path string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() || filepath.Ext(path) != ".md" {
				return err
			}
			h := trade.BuiltIn()
			if text, err := os.ReadFile(filepath.Join(filepath.Dir(path), "shop.yaml")); err == nil {
				var report diag.List
				h = trade.Lay(source.New("shop.yaml", text), &report)
			}
			r, _ := parse.New(h).Parse(source.New(path, testkit.Read(t, path)))
			saneAll(t, process.Of(r, h).Reckon())
			n++
			return nil
		})
		require.NoError(t, err)
	}
	assert.Greater(t, n, 50)
}

func TestTheDefaultsAreSaidAndSourced(t *testing.T) {
	seen := map[string]bool{}
	for _, d := range process.Defaults() {
		assert.False(t, seen[d.Name], d.Name)
		seen[d.Name] = true
		assert.Positive(t, d.Value, d.Name)
		assert.NotEmpty(t, d.Unit, d.Name)
		assert.True(t, strings.HasSuffix(d.Source, "common practice") || strings.HasSuffix(d.Source, "from memory") || strings.Contains(d.Source, "from memory,"), "%s: %s", d.Name, d.Source)
	}
}

// BenchmarkReckon reckons 1,000 recipes, the demo house's over and over, on one
// core and on all.
func BenchmarkReckon(b *testing.B) {
	root := filepath.Join(testkit.Root(b), "recipes")
	names, err := filepath.Glob(filepath.Join(root, "*.md"))
	require.NoError(b, err)
	var report diag.List
	h := trade.Lay(source.New("shop.yaml", testkit.Read(b, filepath.Join(root, "shop.yaml"))), &report)
	plans := make([]*process.Plan, 1000)
	for i := range plans {
		name := names[i%len(names)]
		r, _ := parse.New(h).Parse(source.New(name, testkit.Read(b, name)))
		plans[i] = process.Of(r, h)
	}
	b.Run("one-core", func(b *testing.B) {
		for b.Loop() {
			for _, p := range plans {
				p.Reckon()
			}
		}
	})
	b.Run("all-cores", func(b *testing.B) {
		for b.Loop() {
			var wait sync.WaitGroup
			n := runtime.GOMAXPROCS(0)
			for w := range n {
				wait.Add(1)
				go func() {
					defer wait.Done()
					for i := w; i < len(plans); i += n {
						plans[i].Reckon()
					}
				}()
			}
			wait.Wait()
		}
	})
}
