package cli

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/testkit"
)

// played are folders in which a test says when something happens.
type played struct {
	stir     chan error
	followed [][]string
}

func (p *played) follow(dirs []string) error {
	p.followed = append(p.followed, dirs)
	return nil
}

func (p *played) stirred() <-chan error { return p.stir }

// demoRecipe copies a recipe of the demo house that gives no finding, with the
// shop file, and gives the folder.
func demoRecipe(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{shopFile, "cast-weight.md"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), testkit.Read(t, filepath.Join(testkit.Root(t), "recipes", name)), 0o644))
	}
	require.NoError(t, os.CopyFS(filepath.Join(dir, "pictures"), os.DirFS(filepath.Join(testkit.Root(t), "recipes", "pictures"))))
	return dir
}

// put writes a file as an editor does: beside it first, then renamed over it.
func put(t *testing.T, name, text string) {
	t.Helper()
	require.NoError(t, os.WriteFile(name+"~", []byte(text), 0o644))
	require.NoError(t, os.Rename(name+"~", name))
}

// TestWatchWaitsUntilASaveHasSettled plays the folders and the clock: no time
// goes by but what the test lets go by.
func TestWatchWaitsUntilASaveHasSettled(t *testing.T) {
	dir := demoRecipe(t)
	t.Chdir(dir)
	sound := string(testkit.Read(t, "cast-weight.md"))
	synctest.Test(t, func(t *testing.T) {
		out, errs := newTold(), newTold()
		e := &env{out: out, err: errs, today: "2026-11-25"}
		f := &played{stir: make(chan error)}
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan error)
		go func() { ended <- e.watch(ctx, f, []string{"."}, false) }()
		// reads is what was written since it was asked last.
		reads := func() string {
			synctest.Wait()
			return out.all()
		}
		first := reads()
		assert.Contains(t, first, "1 recipe, no findings")
		assert.True(t, strings.HasSuffix(first, "\nWaiting for the next save; Ctrl-C ends.\n"), first)
		assert.Equal(t, []string{".", "pictures"}, f.followed[0])

		// Half a save: nothing is read until the folder has been quiet.
		require.NoError(t, os.Remove("cast-weight.md"))
		f.stir <- nil
		time.Sleep(settles - time.Millisecond)
		put(t, "cast-weight.md", strings.Replace(sound, "\n- Water:", "\n- Watter:", 1))
		f.stir <- nil
		time.Sleep(settles - time.Millisecond)
		assert.Empty(t, reads())
		time.Sleep(2 * time.Millisecond)
		second := reads()
		assert.True(t, strings.HasPrefix(second, "\ncast-weight.md was saved.\n\n"), second)
		assert.Contains(t, second, "unknown-fact")
		assert.Equal(t, Stopped, e.status)

		// Something that is no save, a file nothing depends on: silence.
		put(t, "notes.txt", "x")
		f.stir <- nil
		time.Sleep(time.Second)
		assert.Empty(t, reads())

		// A folder that never comes to rest is looked at all the same.
		put(t, "cast-weight.md", sound)
		for range 2 * settlesAtMost / settles {
			f.stir <- nil
			time.Sleep(settles / 2)
		}
		third := reads()
		assert.Contains(t, third, "cast-weight.md was saved.")
		assert.Contains(t, third, "no findings")
		assert.Equal(t, OK, e.status)
		time.Sleep(time.Second)
		assert.Empty(t, reads())

		// What cannot be read is said, and the watch goes on.
		require.NoError(t, os.Remove("cast-weight.md"))
		f.stir <- nil
		time.Sleep(time.Second)
		assert.Contains(t, reads(), "cast-weight.md is gone.")
		assert.Contains(t, errs.all(), "there is no recipe in .")
		assert.Equal(t, Unreadable, e.status)
		put(t, "cast-weight.md", sound)
		f.stir <- errors.New("the wire is cut")
		time.Sleep(time.Second)
		assert.Contains(t, reads(), "cast-weight.md is new.")
		assert.Contains(t, errs.all(), "the folders could not be watched without a gap: the wire is cut")

		// A new folder is followed from then on, hidden ones are not.
		require.NoError(t, os.Mkdir("small", 0o755))
		require.NoError(t, os.Mkdir(".git", 0o755))
		f.stir <- nil
		time.Sleep(time.Second)
		assert.Empty(t, reads())
		assert.Equal(t, []string{".", "pictures", "small"}, f.followed[len(f.followed)-1])

		stop()
		require.NoError(t, <-ended)
		assert.Empty(t, reads(), "it ends without a word")
		assert.Equal(t, OK, e.status)
	})
}

// told is a stream a test can wait on.
type told struct {
	mu   sync.Mutex
	text strings.Builder
	more chan struct{}
}

func newTold() *told { return &told{more: make(chan struct{}, 1)} }

func (w *told) Write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	select {
	case w.more <- struct{}{}:
	default:
	}
	return w.text.Write(p)
}

// all gives what was written and forgets it.
func (w *told) all() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	text := w.text.String()
	w.text.Reset()
	return text
}

// until waits for words, gives all up to them and forgets it.
func (w *told) until(t *testing.T, words string) string {
	t.Helper()
	for {
		w.mu.Lock()
		text := w.text.String()
		if _, rest, ok := strings.Cut(text, words); ok {
			w.text.Reset()
			w.text.WriteString(rest)
			w.mu.Unlock()
			return strings.TrimSuffix(text, rest)
		}
		w.mu.Unlock()
		select {
		case <-w.more:
		case <-time.After(time.Minute):
			require.Failf(t, "nothing came", "waited for %q, got %q", words, text)
		}
	}
}

// TestWatchOnDisk watches a real folder through the command, and ends it as a
// person would.
func TestWatchOnDisk(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a program cannot interrupt itself on Windows")
	}
	dir := demoRecipe(t)
	t.Chdir(dir)
	sound := string(testkit.Read(t, "cast-weight.md"))
	shop := string(testkit.Read(t, shopFile))
	out, errs := newTold(), newTold()
	ended := make(chan int)
	go func() {
		ended <- Main([]string{"check", "--watch", "--today", "2026-11-25", "cast-weight.md"}, strings.NewReader(""), out, errs)
	}()
	const waiting = "Waiting for the next save; Ctrl-C ends.\n"
	assert.Contains(t, out.until(t, waiting), "no findings")

	put(t, "cast-weight.md", strings.Replace(sound, "\n- Water:", "\n- Watter:", 1))
	got := out.until(t, waiting)
	assert.Contains(t, got, "cast-weight.md was saved.")
	assert.Contains(t, got, "unknown-fact")

	put(t, "cast-weight.md", sound+"\n")
	assert.Contains(t, out.until(t, waiting), "no findings")

	put(t, shopFile, shop+"\nlapps: x\n")
	got = out.until(t, waiting)
	assert.Contains(t, got, "shop.yaml was saved.")
	assert.Contains(t, got, "lapps")

	require.NoError(t, os.Mkdir("sheets", 0o755))
	put(t, filepath.Join("sheets", "bench-label.yaml"), "name: bench label\n")
	assert.Contains(t, out.until(t, waiting), "sheets/bench-label.yaml is new.")

	self, err := os.FindProcess(os.Getpid())
	require.NoError(t, err)
	require.NoError(t, self.Signal(os.Interrupt))
	assert.Equal(t, Stopped, <-ended, "the status is that of the last check")
}

func TestWatchOfWhatCannotBeWatched(t *testing.T) {
	for words, args := range map[string][]string{
		"--watch writes text":      {"check", "--watch", "--format", "json", "."},
		"standard input is none":   {"check", "--watch", "-"},
		"name a recipe, a folder ": {"check", "--watch"},
	} {
		var out, errs bytes.Buffer
		assert.Equal(t, Usage, Main(args, strings.NewReader(""), &out, &errs))
		assert.Contains(t, errs.String(), words)
		assert.Empty(t, out.String())
	}
}

func TestManySavesAreNotAllNamed(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	for _, name := range []string{"a.md", "b.md", "c.md", "d.md", "e.md", "f.md"} {
		put(t, name, "x")
	}
	assert.Equal(t, "a.md is new.\nb.md is new.\nc.md is new.\nd.md is new.\ne.md is new.\nf.md is new.\n", whatChanged(nil, whatLies([]string{"."})),
		"one more is named rather than counted")
	put(t, "g.md", "x")
	assert.Equal(t, "a.md is new.\nb.md is new.\nc.md is new.\nd.md is new.\ne.md is new.\nAnd 2 more files came, went or were saved.\n",
		whatChanged(nil, whatLies([]string{"."})))
}
