package cli

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/layout"
	"coldwright/internal/pdf"
	"coldwright/internal/sheet"
	"coldwright/internal/testkit"
)

// madeUp is a house with n made-up recipes on disk.
func madeUp(b testing.TB, n int) string {
	b.Helper()
	folder := filepath.Join(b.TempDir(), "house")
	for _, w := range testkit.Recipes(1, n) {
		name := filepath.Join(folder, filepath.FromSlash(w.Name))
		require.NoError(b, os.MkdirAll(filepath.Dir(name), 0o755))
		require.NoError(b, os.WriteFile(name, w.Text, 0o644))
	}
	require.NoError(b, os.WriteFile(filepath.Join(folder, shopFile), testkit.Read(b, filepath.Join(testkit.Root(b), "recipes", shopFile)), 0o644))
	return folder
}

// bindHouse reads, checks and binds a house, and gives how many of its recipes
// are in the book.
func bindHouse(b testing.TB, folder string) (*layout.Bound, int) {
	b.Helper()
	e := &env{out: io.Discard, err: io.Discard, today: "2026-11-25"}
	v, err := e.visit([]string{folder}, true)
	require.NoError(b, err)
	job := printJob{design: sheet.FindDesign("house book")}
	entries, left, _ := job.entries(v.recipes)
	book, _ := sheet.BuildBook(v.recipes[0].house.House, job.design, entries, left, job.asked)
	require.NotNil(b, book)
	return layout.Bind(book), len(entries)
}

// bareBook is what the bare library takes of the cores to draw the words of a
// book by its own fonts; that the pages are laid does not count.
func bareBook(b testing.TB, bound *layout.Bound) time.Duration {
	used := processorTime()
	f := newBare(bound.Document, faceFiles(b))
	total := processorTime() - used
	for _, part := range bound.Parts {
		pages := part()
		used = processorTime()
		f.draw(pages)
		total += processorTime() - used
	}
	used = processorTime()
	f.end(b)
	return total + processorTime() - used
}

// BenchmarkBook is the command itself over a house of made-up recipes on disk,
// from the first file read to the book written, in a process of its own. Of
// 1,120 recipes, 1,000 are in the book; the others are stopped by a finding. The
// ratio is to the bare library drawing the same words.
func BenchmarkBook(b *testing.B) {
	dir := b.TempDir()
	command := filepath.Join(dir, "coldwright")
	build, err := exec.Command("go", "build", "-o", command, "coldwright/cmd/coldwright").CombinedOutput()
	require.NoError(b, err, string(build))
	for _, n := range []int{112, 1120} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			folder := madeUp(b, n)
			out := filepath.Join(b.TempDir(), "printed")
			var ours time.Duration
			var peak float64
			for b.Loop() {
				run := exec.Command(command, "print", "--as", "house book", "--today", "2026-11-25", "--out", out, folder)
				err := run.Run()
				require.Equal(b, Stopped, run.ProcessState.ExitCode(), err)
				ours += run.ProcessState.UserTime() + run.ProcessState.SystemTime()
				peak = max(peak, peakMB(run.ProcessState))
			}
			files, err := filepath.Glob(filepath.Join(out, "*.pdf"))
			require.NoError(b, err)
			require.Len(b, files, 1)
			info, err := os.Stat(files[0])
			require.NoError(b, err)
			// Only now: the system counts to a process what the one that began it
			// held then.
			bound, recipes := bindHouse(b, folder)
			theirs := bareBook(b, bound)
			ours /= time.Duration(b.N)
			b.ReportMetric(float64(recipes), "recipes")
			b.ReportMetric(float64(bound.Total), "pages")
			b.ReportMetric(float64(info.Size())/1e6, "MB-file")
			b.ReportMetric(peak, "MB-peak")
			b.ReportMetric(ours.Seconds(), "cpu-s")
			b.ReportMetric(ours.Seconds()/theirs.Seconds(), "cpu-ratio")
		})
	}
}

// heldWhile counts what is written and looks, each half megabyte, how much
// memory is held.
type heldWhile struct {
	written int
	held    []int64
}

func (h *heldWhile) Write(p []byte) (int, error) {
	if h.written += len(p); h.written>>19 > len(h.held) {
		h.held = append(h.held, int64(memoryHeld()))
	}
	return len(p), nil
}

// A book takes not much more than the bare library takes for its words alone,
// and is never in memory whole. Both ceilings lie far above what is measured.
func TestBookCosts(t *testing.T) {
	testkit.Long(t)
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	folder := madeUp(t, 120)
	used := processorTime()
	bound, _ := bindHouse(t, folder)
	require.NoError(t, pdf.WriteParts(io.Discard, bound.Document, bound.Parts))
	ours := processorTime() - used
	ratio := ours.Seconds() / bareBook(t, bound).Seconds()
	t.Logf("%.2f times the bare library", ratio)
	assert.Less(t, ratio, 8.0)

	// So many parts are in hand at once as there are cores.
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(2))
	var h heldWhile
	require.NoError(t, pdf.WriteParts(&h, bound.Document, bound.Parts))
	// The last part is the index, larger than any recipe.
	third := len(h.held) / 3
	require.Greater(t, third, 5)
	// The middle ones: the largest hang on which parts are just in hand together.
	middle := func(held []int64) int64 { return slices.Sorted(slices.Values(held))[len(held)/2] }
	grown := middle(h.held[third:2*third]) - middle(h.held[:third])
	t.Logf("%d pages: %.1f MB more held for a third of %.1f MB written", bound.Total, float64(grown)/1e6, float64(h.written)/1e6)
	assert.Less(t, grown, int64(h.written/6))
}

// memoryHeld is the memory in use after everything unused is gone.
func memoryHeld() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
