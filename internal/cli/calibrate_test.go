package cli

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/testkit"
)

// demoHouse is a copy of the demo house that may be written to.
func demoHouse(t *testing.T) string {
	t.Helper()
	to := t.TempDir()
	require.NoError(t, os.CopyFS(to, os.DirFS(filepath.Join(testkit.Root(t), "recipes"))))
	return to
}

// wholeReckoning is every figure of every recipe of a house, as other programs
// read it.
func wholeReckoning(t *testing.T, house string) []map[string]any {
	t.Helper()
	said, complained, status := run("reckon", "--format", "json", house)
	require.Equal(t, OK, status, complained)
	var all []map[string]any
	require.NoError(t, json.Unmarshal([]byte(said), &all))
	require.Len(t, all, 5)
	return all
}

func list(v any) []map[string]any {
	var out []map[string]any
	for _, one := range v.([]any) {
		out = append(out, one.(map[string]any))
	}
	return out
}

// fallsOut are the figures of a step that follow from what it is handed; all
// others are its own, and only a measurement of its own work may move them.
var fallsOut = []string{
	"damage_low_um", "damage_um", "damage_high_um", "rt_um", "rq_um", "lamp_deg", "haze_dry", "haze_wet", "clears",
	"minutes_expected", "minutes_safe", "finish",
}

// A measurement changes the steps that are done with that abrasive, on that
// medium and machine, in that glass: nothing before them, nothing on another
// surface, nothing of the totals, and after them only what follows from what
// they hand on.
func TestAMeasurementChangesWhatItShouldAndNoMore(t *testing.T) {
	weighed := func(options ...string) []string {
		return append(options, "--before", "1520.42 g", "--after", "1519.20 g", "--time", "8 min", "--area", "50 cm²")
	}
	for name, c := range map[string]struct {
		note []string
		// steps are those measured, and whether their own rate moves with it.
		steps []string
		rate  bool
	}{
		"weighed on iron in soda-lime": {
			weighed("--stock", "S220", "--medium", "iron lap", "--machine", "IRON", "--glass", "soda-lime", "--speed", "75 rpm", "--pressure", "40 N"),
			[]string{"cast-weight/base/2"}, true,
		},
		"the same in lead crystal": {
			weighed("--stock", "S220", "--medium", "iron lap", "--machine", "IRON", "--glass", "lead crystal", "--speed", "110 rpm", "--pressure", "40 N"),
			[]string{"crystal-bowl-rim/rim/5"}, true,
		},
		"pumice on the felt for pumice": {
			weighed("--stock", "P2F", "--medium", "FELT-P", "--machine", "LAP4", "--glass", "soda-lime", "--speed", "150 rpm"),
			[]string{"cast-weight/base/4", "optic-block/faces/11"}, true,
		},
		"pumice on the brush": {
			weighed("--stock", "P2F", "--medium", "BRUSH-2F", "--machine", "LATHE", "--glass", "soda-lime", "--speed", "450 rpm"),
			[]string{"lens-vase/field/6", "relief-panel/face/17"}, true,
		},
		"a pad, whatever the glass": {
			[]string{"--stock", "R325", "--machine", "LAP4", "--lamp", "14°"},
			[]string{"cast-weight/base/3", "optic-block/faces/8"}, false,
		},
		"one disc": {
			[]string{"--stock", "D270", "--machine", "LAP4", "--glass", "soda-lime", "--damage", "60 µm"},
			[]string{"optic-block/faces/6", "relief-panel/back/8"}, false,
		},
		"a medium the house does not use with it": {
			weighed("--stock", "S220", "--medium", "glass plate", "--machine", "IRON", "--glass", "soda-lime"), nil, true,
		},
		"a glass it does not work": {
			weighed("--stock", "D60", "--machine", "LAP4", "--glass", "borosilicate"), nil, true,
		},
	} {
		t.Run(name, func(t *testing.T) {
			house := demoHouse(t)
			before := wholeReckoning(t, house)
			_, complained, status := run(append(append([]string{"calibrate", "--write", "--today", "2026-10-06"}, c.note...), house)...)
			require.Equal(t, OK, status, complained)
			var moved []string
			for i, after := range wholeReckoning(t, house) {
				was := before[i]
				assert.Equal(t, was["totals"], after["totals"], "%s: the totals", was["recipe"])
				for s, surface := range list(after["surfaces"]) {
					old := list(was["surfaces"])[s]
					measured := false
					for n, step := range list(surface["steps"]) {
						had := list(old["steps"])[n]
						at := fmt.Sprintf("%s/%s/%v", was["recipe"], old["name"], had["number"])
						own := slices.Contains(c.steps, at)
						measured = measured || own
						switch {
						case own:
							moved = append(moved, at)
							assert.NotEqual(t, had, step, at)
							assert.Equal(t, c.rate, fmt.Sprint(had["rate_um_min"]) != fmt.Sprint(step["rate_um_min"]), at)
							if c.rate {
								assert.Equal(t, "measured", step["basis"], at)
							} else {
								assert.Equal(t, had["removed_um"], step["removed_um"], at)
							}
						case !measured:
							assert.Equal(t, had, step, "%s comes before what was measured, or has nothing of it", at)
						default:
							for _, key := range fallsOut {
								delete(had, key)
								delete(step, key)
							}
							assert.Equal(t, had, step, "%s only follows what was measured", at)
						}
					}
					if !measured {
						assert.Equal(t, old, surface, "%s %s", was["recipe"], old["name"])
					}
					for _, key := range slices.Collect(maps.Keys(surface)) {
						if key != "steps" && key != "finish" && key != "reached" {
							assert.Equal(t, old[key], surface[key], key)
						}
					}
				}
			}
			slices.Sort(moved)
			assert.Equal(t, c.steps, moved)
		})
	}
}

// What is said of a change on the terminal names the recipes that change, and no
// other.
func TestCalibrateShowsWhatChanges(t *testing.T) {
	house := demoHouse(t)
	said, _, status := run("calibrate", "--stock", "P2F", "--medium", "FELT-P", "--machine", "LAP4", "--glass", "soda-lime", "--area", "50 cm²",
		"--before", "200 g", "--after", "199.9 g", "--time", "10 min", house)
	require.Equal(t, OK, status)
	for _, name := range []string{"cast-weight: base", "optic-block: faces"} {
		assert.Contains(t, said, name)
	}
	for _, name := range []string{"crystal-bowl-rim", "lens-vase", "relief-panel", "arrises"} {
		assert.NotContains(t, said, name)
	}
}
