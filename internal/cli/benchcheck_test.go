package cli

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/text"
	"gopkg.in/yaml.v3"

	"coldwright/internal/check"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/rules"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
)

var benchDay = recipe.Date{Year: 2026, Month: 11, Day: 25}

// manyRecipes are the demo house and n made-up recipes for it.
func manyRecipes(b testing.TB, n int) (*house, []testkit.Written) {
	b.Helper()
	h, err := (&env{}).openHouse(filepath.Join(testkit.Root(b), "recipes"))
	require.NoError(b, err)
	return h, testkit.Recipes(1, n)
}

// checker reads one recipe, reckons it and checks it by all rules.
func checker(h *house) func(w *testkit.Written) {
	parser := parse.New(h.House)
	return func(w *testkit.Written) {
		r, _ := parser.Parse(source.New(w.Name, w.Text))
		c := &check.Context{House: h.House, Recipe: r, Plan: process.Of(r, h.House), Today: benchDay}
		rules.Check(c)
		rules.Enter(r)
	}
}

// bareReader reads the same bytes with the two libraries alone: the front
// matter into nodes, the body into a tree, by one parser that is used again.
func bareReader() func(w *testkit.Written) {
	markdown := goldmark.New(goldmark.WithExtensions(extension.Table, extension.TaskList, extension.Footnote, extension.Strikethrough)).Parser()
	return func(w *testkit.Written) {
		head, body, _ := bytes.Cut(w.Text[4:], []byte("\n---\n"))
		var node yaml.Node
		_ = yaml.Unmarshal(head, &node) // some are spoilt on purpose
		markdown.Parse(text.NewReader(body))
	}
}

// BenchmarkCheck sets the reading and checking of 10,000 made-up recipes beside
// the bare libraries reading the same bytes.
func BenchmarkCheck(b *testing.B) {
	h, all := manyRecipes(b, 10_000)
	spareGarbage() // as the command does; the libraries gain by it too
	one, bare := checker(h), bareReader()
	for _, side := range []struct {
		name string
		f    func()
	}{
		{"bare", func() { each(all, bare) }},
		{"ours", func() { each(all, one) }},
		{"ours-all-cores", func() { forEach(len(all), func(i int) { one(&all[i]) }) }},
	} {
		b.Run(side.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				side.f()
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(len(all)), "µs/recipe")
		})
	}
	// The ratios are ours to bare on one goroutine, and ours on all cores to bare
	// on one: hundreds of recipes in turn, so that other work on the machine falls
	// on all of them. "cpu-ratio" counts what was used of all cores, with the
	// garbage collector's share.
	b.Run("ratio", func(b *testing.B) {
		var ours, theirs, cores, oursCPU, theirsCPU time.Duration
		for b.Loop() {
			for from := 0; from < len(all); from += 100 {
				some := all[from : from+100]
				used := processorTime()
				theirs += timed(func() { each(some, bare) })
				theirsCPU, used = theirsCPU+processorTime()-used, processorTime()
				ours += timed(func() { each(some, one) })
				oursCPU += processorTime() - used
				cores += timed(func() { forEach(len(some), func(i int) { one(&some[i]) }) })
			}
		}
		b.ReportMetric(ours.Seconds()/theirs.Seconds(), "ratio")
		b.ReportMetric(oursCPU.Seconds()/theirsCPU.Seconds(), "cpu-ratio")
		b.ReportMetric(cores.Seconds()/theirs.Seconds(), "cores-ratio")
		b.ReportMetric(ours.Seconds()/cores.Seconds(), "scaling")
		b.ReportMetric(float64(runtime.GOMAXPROCS(0)), "cores")
		b.ReportMetric(float64(oursCPU.Microseconds())/float64(b.N)/float64(len(all)), "cpu-µs/recipe")
	})
}

func each(all []testkit.Written, f func(w *testkit.Written)) {
	for i := range all {
		f(&all[i])
	}
}

func timed(f func()) time.Duration {
	start := time.Now()
	f()
	return time.Since(start)
}

// A ceiling far above what is measured on a quiet machine: it is there for what
// makes checking many times as slow, not for what makes it a little slower.
func TestCheckingCostsLittleMoreThanReading(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second")
	}
	const ceiling = 4
	h, all := manyRecipes(t, 200)
	one, bare := checker(h), bareReader()
	var ours, theirs time.Duration
	for range 5 {
		used := processorTime()
		each(all, bare)
		theirs, used = theirs+processorTime()-used, processorTime()
		each(all, one)
		ours += processorTime() - used
	}
	ratio := ours.Seconds() / theirs.Seconds()
	t.Logf("%.2f times the bare parse", ratio)
	assert.Less(t, ratio, float64(ceiling))
}

// BenchmarkCommand is the command itself over a folder of recipes on disk, a
// process of its own: time and peak memory for each recipe show whether the cost
// grows as the house does.
func BenchmarkCommand(b *testing.B) {
	dir := b.TempDir()
	command := filepath.Join(dir, "coldwright")
	build := exec.Command("go", "build", "-o", command, "coldwright/cmd/coldwright")
	out, err := build.CombinedOutput()
	require.NoError(b, err, string(out))
	for _, n := range []int{1000, 10_000, 30_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			folder := filepath.Join(b.TempDir(), "house")
			size := 0
			for _, w := range testkit.Recipes(1, n) {
				name := filepath.Join(folder, filepath.FromSlash(w.Name))
				require.NoError(b, os.MkdirAll(filepath.Dir(name), 0o755))
				require.NoError(b, os.WriteFile(name, w.Text, 0o644))
				size += len(w.Text)
			}
			require.NoError(b, os.WriteFile(filepath.Join(folder, shopFile), testkit.Read(b, filepath.Join(testkit.Root(b), "recipes", shopFile)), 0o644))
			var peak, processor float64
			for b.Loop() {
				run := exec.Command(command, "check", "--today", "2026-11-25", "--format", "lines", folder)
				err := run.Run()
				require.Equal(b, Stopped, run.ProcessState.ExitCode(), err)
				peak = max(peak, peakMB(run.ProcessState))
				processor += run.ProcessState.UserTime().Seconds() + run.ProcessState.SystemTime().Seconds()
			}
			b.ReportMetric(b.Elapsed().Seconds()*1e6/float64(b.N)/float64(n), "µs/recipe")
			b.ReportMetric(processor*1e6/float64(b.N)/float64(n), "cpu-µs/recipe")
			b.ReportMetric(peak, "MB-peak")
			b.ReportMetric(float64(size)/1e6, "MB-files")
		})
	}
}
