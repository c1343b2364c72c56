package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// absurd is a recipe that has little in it but what is asked for.
func absurd(surface string, facts ...string) string {
	text := "---\nrecipe: absurd\ntitle: Absurd\nrevision: 1\ndate: 2026-10-05\nglass: soda-lime\npiece: {form: block, size: 100 x 100 x 50 mm}\nsurfaces:\n  - {name: top, " +
		surface + "}\n---\n"
	for n, f := range facts {
		text += fmt.Sprintf("\n## Step %d\n\n- Surface: top\n- %s\n", n+1, strings.ReplaceAll(f, "; ", "\n- "))
	}
	return text
}

// bounded demands of everything in a piece of JSON that its numbers can be.
func bounded(t *testing.T, v any, path string) {
	switch v := v.(type) {
	case float64:
		assert.False(t, math.IsNaN(v) || math.IsInf(v, 0) || v < 0 || v > 1e9, "%s is %g", path, v)
	case map[string]any:
		for k, one := range v {
			bounded(t, one, path+"."+k)
		}
		if low, ok := v["damage_low_um"].(float64); ok {
			assert.LessOrEqual(t, low, v["damage_um"].(float64), path)
			assert.LessOrEqual(t, v["damage_um"].(float64), v["damage_high_um"].(float64), path)
			assert.LessOrEqual(t, v["damage_high_um"].(float64), 1e6, "%s: deeper than a metre", path)
			assert.LessOrEqual(t, v["lamp_deg"].(float64), 90.0, path)
			assert.LessOrEqual(t, v["haze_dry"].(float64), 1.0, path)
		}
	case []any:
		for _, one := range v {
			bounded(t, one, path)
		}
	}
}

// Whatever is written, the command answers with numbers that can be, a sentence
// in its place, or a finding; it never falls over.
func TestAbsurdRecipesThroughTheCommand(t *testing.T) {
	const flat = `shape: flat, area: 100 cm², from: "sawn, diamond 100 mesh", to: bright polish`
	const grit = "Medium: iron lap; Machine: flat lap, 300 mm at 110 rpm; Water: drip; Time: 8 min"
	strange := regexp.MustCompile(`NaN|Inf|e\+|e-0|%!|null pointer|panic`)
	for name, text := range map[string]string{
		"no minutes":           absurd(flat, "Abrasive: silicon carbide F220; "+strings.Replace(grit, "8 min", "0 min", 1)),
		"a second":             absurd(flat, "Abrasive: silicon carbide F220; "+strings.Replace(grit, "8 min", "1 s", 1)),
		"ten years":            absurd(flat, "Abrasive: silicon carbide F220; "+strings.Replace(grit, "8 min", "87600 h", 1)),
		"no area":              absurd(strings.Replace(flat, "100 cm²", "0 cm²", 1), "Abrasive: silicon carbide F220; "+grit),
		"ten square metres":    absurd(strings.Replace(flat, "100 cm²", "10 m²", 1), "Abrasive: silicon carbide F220; "+grit, "Abrasive: cerium oxide 1.5 µm; Medium: felt pad; Machine: flat lap at 150 rpm; Time: 8 min"),
		"a square millimetre":  absurd(strings.Replace(flat, "100 cm²", "1 mm²", 1), "Abrasive: silicon carbide F220; "+grit),
		"one newton":           absurd(flat, "Abrasive: silicon carbide F220; Pressure: 1 N; "+grit),
		"no newton":            absurd(flat, "Abrasive: silicon carbide F220; Pressure: 0 N; "+grit),
		"ten tonnes":           absurd(flat, "Abrasive: silicon carbide F220; Pressure: 100000 N; "+grit),
		"10,000 rpm":           absurd(flat, "Abrasive: silicon carbide F220; "+strings.Replace(grit, "110 rpm", "10000 rpm", 1)),
		"no rpm":               absurd(flat, "Abrasive: silicon carbide F220; "+strings.Replace(grit, "110 rpm", "0 rpm", 1)),
		"grain of 0.1 µm":      absurd(flat, "Abrasive: silicon carbide 0.1 µm; "+grit),
		"grain of 5,000 µm":    absurd(flat, "Abrasive: silicon carbide 5000 µm; "+grit, "Abrasive: cerium oxide 1.5 µm; Medium: felt pad; Machine: flat lap at 150 rpm; Time: 8 min"),
		"grain of nothing":     absurd(flat, "Abrasive: silicon carbide 0 µm; "+grit),
		"a charge of no time":  absurd(flat, "Abrasive: silicon carbide F220; Charge: every 0 min; "+grit),
		"a charge each second": absurd(flat, "Abrasive: silicon carbide F220; Charge: every 1 s; "+grit),
		"a metre of damage":    absurd(strings.Replace(flat, "100 mesh", "100 mesh, damage 5 m, uneven 20 m", 1), "Abrasive: silicon carbide F220; "+grit),
		"a million faces":      absurd("count: 1000000, "+flat, "Abrasive: silicon carbide F220; "+grit),
		"a hair's arris":       absurd("shape: arris, length: 0.001 mm, from: new, to: bright polish", "Abrasive: resin diamond hand pad 400 mesh; Machine: by hand; Time: 8 min"),
		"nothing but a finish": absurd("to: bright polish", "Time: 8 min"),
		"no facts":             absurd(flat),
		"a bare abrasive":      absurd(flat, "Abrasive: silicon carbide F220"),
		"nothing of a step":    absurd(flat, "Medium: felt pad"),
		"nothing at all":       "",
		"only a head":          "---\nrecipe: r\n---\n",
		"pumice on iron":       absurd(flat, "Abrasive: pumice 2F; "+grit),
		"cerium on iron":       absurd(flat, "Abrasive: cerium oxide 1.5 µm; "+grit),
	} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "absurd.md")
			require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
			for _, args := range [][]string{
				{"reckon", file},
				{"reckon", "--format", "json", file},
				{"reckon", "--format", "csv", file},
				{"check", "--today", "2026-11-01", file},
			} {
				said, complained, status := run(args...)
				assert.Contains(t, []int{OK, Stopped}, status, "%v: %s", args, complained)
				assert.NotEmpty(t, said+complained, args)
				assert.Empty(t, strange.FindString(said+complained), args)
				switch {
				case len(args) == 2:
					for _, line := range strings.Split(said, "\n") {
						assert.LessOrEqual(t, uniseg.StringWidth(line), 80, line)
					}
				case args[2] == "json":
					var v any
					require.NoError(t, json.Unmarshal([]byte(said), &v), said)
					bounded(t, v, name)
				}
			}
		})
	}
}
