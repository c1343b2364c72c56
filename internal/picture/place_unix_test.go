//go:build unix

package picture

import (
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A pipe nobody writes to must not be waited for.
func TestPipesAreRefused(t *testing.T) {
	root := houseFolder(t)
	require.NoError(t, syscall.Mkfifo(filepath.Join(root, "pipe.png"), 0o644))
	for name, try := range tries(root, "", "pipe.png") {
		done := make(chan error, 1)
		go func() { done <- try() }()
		select {
		case err := <-done:
			assert.Equal(t, NotAFile, errorOf(err).Fault, name)
			sentence(t, errorOf(err))
		case <-time.After(10 * time.Second):
			t.Fatalf("%s waits for a pipe", name)
		}
	}
}
