package testkit

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// recorder is a test that notes that it failed.
type recorder struct {
	testing.TB
	failed bool
}

func (r *recorder) Helper()               {}
func (r *recorder) Name() string          { return "recorder" }
func (r *recorder) Errorf(string, ...any) { r.failed = true }
func (r *recorder) FailNow()              { r.failed = true; runtime.Goexit() }

// fails says whether a test of its own would fail.
func fails(run func(testing.TB)) bool {
	r := &recorder{}
	done := make(chan struct{})
	go func() {
		defer close(done)
		run(r)
	}()
	<-done
	return r.failed
}

func TestGolden(t *testing.T) {
	if Updating() {
		t.Skip("with -update every golden file is written")
	}
	path := filepath.Join(t.TempDir(), "a", "got.want")
	golden := func(got string) bool {
		return fails(func(tb testing.TB) { Golden(tb, path, []byte(got)) })
	}
	assert.True(t, golden("words"), "a missing golden file must fail")
	_, err := os.Stat(path)
	assert.ErrorIs(t, err, os.ErrNotExist, "and must not be written by itself")

	*update = true
	assert.False(t, golden("words"))
	*update = false
	require.FileExists(t, path)
	assert.False(t, golden("words"))
	assert.True(t, golden("other words"))
}

func TestFilesMustBeThere(t *testing.T) {
	assert.True(t, fails(func(tb testing.TB) { Files(tb, t.TempDir(), "*.md") }))
	assert.True(t, fails(func(tb testing.TB) { Read(tb, filepath.Join(t.TempDir(), "none")) }))
}
