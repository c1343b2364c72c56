// Package testkit holds what several tests need: comparing with a golden file
// and walking folders of fixtures. Only tests import it.
package testkit

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// update rewrites the golden files from what the tests got.
var update = flag.Bool("update", false, "rewrite the golden files")

// Updating says whether the golden files are being rewritten.
func Updating() bool { return *update }

// Golden compares got with the file at path. A file that is not there fails
// the test; with -update it is written.
func Golden(t testing.TB, path string, got []byte) {
	t.Helper()
	if *update {
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, got, 0o644))
		return
	}
	want, err := os.ReadFile(path)
	require.NoErrorf(t, err, "the golden file %s is missing; look at what the test gives, then run it with -update", path)
	assert.Equal(t, string(want), string(got), "differs from %s; if that is meant, run the test with -update", path)
}

// Root is the top folder of the project, found from the folder the test runs
// in by its go.mod.
func Root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		parent := filepath.Dir(dir)
		require.NotEqual(t, parent, dir, "no go.mod above the test")
		dir = parent
	}
}

// Data is the path of a file or folder under the project's testdata.
func Data(t testing.TB, parts ...string) string {
	t.Helper()
	return filepath.Join(append([]string{Root(t), "testdata"}, parts...)...)
}

// Read is the content of a file that must be there.
func Read(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return data
}

// Folders are the names of the folders in dir, in order.
func Folders(t testing.TB, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		if e.IsDir() {
			names = append(names, e.Name())
		}
	}
	return names
}

// Files are the paths of the files in dir whose name matches pattern, in
// order; there must be one.
func Files(t testing.TB, dir, pattern string) []string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(dir, pattern))
	require.NoError(t, err)
	require.NotEmptyf(t, paths, "no %s in %s", pattern, dir)
	return paths
}

// Long skips a test of one goroutine that takes minutes beside the race
// detector, which would find nothing in it; the plain run has it.
func Long(t testing.TB) {
	t.Helper()
	if Race {
		t.Skip("long, and of one goroutine: left to the run without the race detector")
	}
}
