package cli

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/testkit"
)

// twoHouses are two houses with many recipes, some spoilt, in a folder of their
// own, and the paths of the recipes.
func twoHouses(t *testing.T) (dir string, paths []string) {
	t.Helper()
	dir = t.TempDir()
	shop := testkit.Read(t, filepath.Join(testkit.Root(t), "recipes", shopFile))
	for house, extra := range map[string]string{"one": "", "two": "\nlimits: {rules: {no-such-rule: {severity: error, because: a slip}, another-slip: {severity: error, because: a slip}}}\n"} {
		for _, w := range testkit.Recipes(7, 40) {
			name := filepath.Join(dir, house, filepath.FromSlash(w.Name))
			require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
			text := w.Text
			if len(paths)%9 == 0 {
				text = append(bytes.Clone(text), "\nThen follow recipe piece-00003 or recipe piece-90003, see [it](piece-1.md).\n"...)
			}
			require.NoError(t, os.WriteFile(name, text, 0o644))
			paths = append(paths, name)
		}
		text := string(shop)
		if strings.Contains(text, "\nlimits:") {
			extra = strings.Replace(extra, "\nlimits: ", "\n# ", 1)
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, house, shopFile), []byte(text+extra), 0o644))
	}
	return dir, paths
}

// Whatever order the files come in, on however many cores, in this process or
// another: the report is the same byte by byte, in every format.
func TestTheReportDoesNotDependOnTheRun(t *testing.T) {
	dir, paths := twoHouses(t)
	arguments := func(format string, paths []string) []string {
		return append([]string{"check", "--today", "2026-11-25", "--format", format}, paths...)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, format := range formats {
		var want string
		for n, cores := range []int{1, 2, 8} {
			runtime.GOMAXPROCS(cores)
			some := append([]string{}, paths...)
			if n > 0 {
				rand.New(rand.NewPCG(uint64(n), 5)).Shuffle(len(some), func(i, j int) { some[i], some[j] = some[j], some[i] })
			}
			var out, problems bytes.Buffer
			require.Equal(t, Stopped, Main(arguments(format, some), nil, &out, &problems), problems.String())
			if n == 0 {
				want = out.String()
				require.Contains(t, want, "unknown-recipe")
				require.Contains(t, want, "repeated-id")
				continue
			}
			require.True(t, want == out.String(), "%s on %d cores, shuffled: %s", format, cores, firstDifference(want, out.String()))
		}
		// Another process has other seeds for its maps and another clock.
		for _, cores := range []string{"1", "8"} {
			run := exec.Command("coldwright", arguments(format, paths)...)
			run.Env = append(os.Environ(), "GOMAXPROCS="+cores, "TZ=Pacific/Auckland", "LANG=de_DE.UTF-8")
			out, _ := run.Output()
			require.Equal(t, Stopped, run.ProcessState.ExitCode())
			require.True(t, want == string(out), "%s in another process: %s", format, firstDifference(want, string(out)))
		}
	}
	// A folder and the files in it are the same house.
	var files, folders bytes.Buffer
	Main(arguments("json", paths), nil, &files, &bytes.Buffer{})
	Main(arguments("json", []string{filepath.Join(dir, "two"), filepath.Join(dir, "one")}), nil, &folders, &bytes.Buffer{})
	assert.True(t, files.String() == folders.String(), firstDifference(files.String(), folders.String()))
}

// firstDifference is the first line in which two texts differ.
func firstDifference(a, b string) string {
	const much = 300
	left, right := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(left), len(right)) {
		if left[i] != right[i] {
			return fmt.Sprintf("line %d\n%s\n%s", i+1, left[i][:min(much, len(left[i]))], right[i][:min(much, len(right[i]))])
		}
	}
	return fmt.Sprintf("%d and %d lines", len(left), len(right))
}
