package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestUnreadable tries a recipe and a shop file that this user may not read.
func TestUnreadable(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("root may read every file: run as an ordinary user to see this test")
	}
	for _, name := range []string{"a.md", shopFile} {
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, "a.md"), []byte("---\nrecipe: a\n---\n"), 0o644))
		require.NoError(t, os.WriteFile(filepath.Join(dir, shopFile), nil, 0o644))
		require.NoError(t, os.Chmod(filepath.Join(dir, name), 0))
		var out, errs bytes.Buffer
		assert.Equal(t, Unreadable, Main([]string{"check", dir}, strings.NewReader(""), &out, &errs), name)
		assert.Contains(t, errs.String(), name+" cannot be read: this user is not allowed to")
		assert.NotContains(t, out.String(), "nothing that stops a print")
	}
}

// TestWriteWhole leaves either the whole file or the one that was there, and
// nothing beside it.
func TestWriteWhole(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "sheet.pdf")
	require.NoError(t, writeWhole(name, []byte("first")))
	require.NoError(t, writeWhole(name, []byte("second")))
	got, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, "second", string(got))

	// A folder of that name cannot be replaced by a file.
	blocked := filepath.Join(dir, "blocked")
	require.NoError(t, os.MkdirAll(filepath.Join(blocked, "full"), 0o755))
	require.Error(t, writeWhole(blocked, []byte("third")))
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	assert.Equal(t, []string{"blocked", "sheet.pdf"}, names, "no half file stays behind")

	if _, err := os.Stat("/dev/full"); err == nil {
		// A full disk, as Linux plays it.
		f, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
		require.NoError(t, err)
		defer f.Close()
		_, err = f.Write([]byte("x"))
		require.Error(t, err)
		assert.Equal(t, "the disk is full", because(err))
	}
}
