package cli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/testkit"
)

// run is the command with its arguments: what it says and its exit status.
func run(args ...string) (said, complained string, status int) {
	var out, err bytes.Buffer
	status = Main(args, strings.NewReader(""), &out, &err)
	return out.String(), err.String(), status
}

func soundRecipes(t *testing.T) []string {
	root := testkit.Root(t)
	demo, err := filepath.Glob(filepath.Join(root, "recipes/*.md"))
	require.NoError(t, err)
	sequences, err := filepath.Glob(filepath.Join(root, "testdata/sequences/*.md"))
	require.NoError(t, err)
	return append(demo, sequences...)
}

// Every page fits a terminal of 80 columns and holds nothing that is no number.
func TestReckonFitsTheTerminal(t *testing.T) {
	for _, name := range soundRecipes(t) {
		pages := [][]string{{"reckon", name}}
		for step := 1; step <= strings.Count(string(testkit.Read(t, name)), "\n## "); step += 2 {
			pages = append(pages, []string{"reckon", "--quiet", "--without", fmt.Sprint(step), name})
		}
		for _, args := range pages {
			said, complained, status := run(args...)
			require.Equal(t, OK, status, "%v: %s", args, complained)
			assert.Contains(t, said, guidance)
			for _, word := range []string{"NaN", "Inf", "e+", "%!"} {
				assert.NotContains(t, said, word, args)
			}
			for _, line := range strings.Split(said, "\n") {
				assert.LessOrEqual(t, uniseg.StringWidth(line), 80, "%v: %s", args, line)
			}
		}
	}
}

// The keys other programs read, as they are promised, and numbers of at most
// six figures.
func TestReckonForOtherPrograms(t *testing.T) {
	demo := filepath.Join(testkit.Root(t), "recipes")
	said, _, status := run("reckon", "--format", "json", filepath.Join(demo, "cast-weight.md"))
	require.Equal(t, OK, status)
	var one map[string]any
	require.NoError(t, json.Unmarshal([]byte(said), &one))
	keys := func(v any) []string {
		var list []string
		for k := range v.(map[string]any) {
			list = append(list, k)
		}
		return list
	}
	assert.ElementsMatch(t, []string{"recipe", "revision", "surfaces", "totals"}, keys(one))
	base := one["surfaces"].([]any)[0]
	assert.ElementsMatch(t, []string{"name", "from", "to", "reached", "finish", "steps"}, keys(base))
	first := base.(map[string]any)["steps"].([]any)[0]
	assert.ElementsMatch(t, strings.Fields(`step number abrasive grain_um grain_end_um minutes pressure_pa speed_ms rate_um_min removed_um
		damage_low_um damage_um damage_high_um rt_um rq_um lamp_deg haze_dry haze_wet clears minutes_expected minutes_safe finish basis`), keys(first))
	assert.ElementsMatch(t, []string{"attended_min", "alone_min", "abrasive_g", "water_l", "cost"}, keys(one["totals"]))

	var several []map[string]any
	said, _, _ = run("reckon", "--format", "json", demo)
	require.NoError(t, json.Unmarshal([]byte(said), &several))
	assert.Len(t, several, 5)
	for _, number := range regexp.MustCompile(`: (-?[0-9.]+)`).FindAllStringSubmatch(said, -1) {
		figures := strings.Trim(strings.Replace(number[1], ".", "", 1), "0")
		assert.LessOrEqual(t, len(figures), 6, number[1])
	}
	for _, r := range several {
		for _, surface := range list(r["surfaces"]) {
			for _, step := range list(surface["steps"]) {
				assert.Contains(t, []string{"certain", "likely", "doubtful", "no", ""}, step["clears"])
				assert.Contains(t, []string{"measured", "written", "default"}, step["basis"])
				assert.NotZero(t, step["number"])
			}
		}
	}

	said, _, _ = run("reckon", "--format", "json", "--without", "4", filepath.Join(demo, "cast-weight.md"))
	require.NoError(t, json.Unmarshal([]byte(said), &one))
	assert.Equal(t, "without Pre-polish the base", one["change"])
	assert.Contains(t, one["difference"], "instead of")

	said, _, _ = run("reckon", "--format", "csv", demo)
	lines, err := csv.NewReader(strings.NewReader(said)).ReadAll()
	require.NoError(t, err, "every line has the columns of the head")
	assert.Equal(t, csvHeads, lines[0])
	assert.Greater(t, len(lines), 30)
	assert.Equal(t, "0.333333", figure(1.0/3).text())
	assert.Equal(t, "1234570", figure(1234567).text())
}

// Common practice: one pumice step cuts cerium minutes considerably, and a fine
// hand in the polish saves nothing before it.
func TestWhatPumiceSaves(t *testing.T) {
	weight := filepath.Join(testkit.Root(t), "recipes/cast-weight.md")
	minutes := func(args ...string) float64 {
		said, complained, status := run(append([]string{"reckon", "--format", "json", weight}, args...)...)
		require.Equal(t, OK, status, complained)
		var r struct {
			Changed struct {
				Surfaces []struct {
					Steps []struct {
						Step     string   `json:"step"`
						Expected *float64 `json:"minutes_expected"`
					}
				}
			}
		}
		require.NoError(t, json.Unmarshal([]byte(said), &r))
		steps := r.Changed.Surfaces[0].Steps
		last := steps[len(steps)-1]
		require.Equal(t, "Polish the base", last.Step)
		require.NotNil(t, last.Expected)
		return *last.Expected
	}
	same := minutes("--set", "Polish the base: Time=9 min")
	without := minutes("--without", "Pre-polish the base")
	again := minutes("--without", "Pre-polish the base", "--add", "pumice 2F on a felt pad, 10 min, after Smooth the base")
	assert.Greater(t, without, 4*same)
	assert.Less(t, again, without/4)
}

// The trade's oldest argument, on the optic block: what the pumice costs and
// what it saves, in one sentence, whose figures are those of the table.
func TestTheOpticBlockWithoutItsPumice(t *testing.T) {
	block := filepath.Join(testkit.Root(t), "recipes/optic-block.md")
	said, complained, status := run("reckon", "--format", "json", "--without", "Pre-polish", block)
	require.Equal(t, OK, status, complained)
	var r struct {
		Difference        string
		Original, Changed struct {
			Surfaces []struct {
				Finish string
				Steps  []struct {
					Expected float64 `json:"minutes_expected"`
				}
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(said), &r))
	was, is := r.Original.Surfaces[0].Steps, r.Changed.Surfaces[0].Steps
	require.Len(t, is, len(was)-1)
	before, after := 6*was[len(was)-1].Expected, 6*is[len(is)-1].Expected
	assert.Equal(t, "optical polish", r.Original.Surfaces[0].Finish)
	assert.Equal(t, "bright polish", r.Changed.Surfaces[0].Finish)
	assert.Contains(t, r.Difference, fmt.Sprintf("about %s min", two(after)))
	assert.Contains(t, r.Difference, fmt.Sprintf("instead of %s (", two(before)))
	assert.Contains(t, r.Difference, fmt.Sprintf("%s min more (%s min more in all)", two(after-before), two(after-before-60)), "60 min of pumice are saved")
}
