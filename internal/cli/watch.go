package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/fsnotify/fsnotify"
)

const (
	// settles is how long folders must stay quiet before a save counts as made:
	// an editor writes beside the file, takes the old one away and renames.
	settles = 100 * time.Millisecond
	// settlesAtMost is how long a check waits for quiet that does not come.
	settlesAtMost = 2 * time.Second
	// mostNamed is how many files are named that were saved in one go.
	mostNamed = 5
)

// folders says when something happened in one of the folders it was told of.
type folders interface {
	// follow says which folders count from now on.
	follow(dirs []string) error
	// stirred gives nil for something that happened in a folder, and what went
	// wrong with the watching itself.
	stirred() <-chan error
}

// watch checks paths, and again whenever a recipe, a shop file, a design or a
// picture around them is saved, until ctx ends. The status is that of the last
// check.
func (e *env) watch(ctx context.Context, f folders, paths []string, strict bool) error {
	var before map[string]fs.FileInfo
	for {
		// First the watching, then the looking, then the reading: what is saved
		// in between is seen the next time round.
		dirs := e.foldersOf(paths)
		if err := f.follow(dirs); err != nil {
			return err
		}
		now := whatLies(dirs)
		said := ""
		if before != nil {
			said = whatChanged(before, now)
		}
		if before == nil || said != "" {
			if said != "" {
				fmt.Fprintf(e.out, "\n%s\n", said)
			}
			e.status, e.problems = OK, nil
			if err := e.check(paths, "text", strict); err != nil {
				if before == nil {
					return err
				}
				e.cannot(err)
			}
			if !e.quiet {
				fmt.Fprintln(e.out, "\nWaiting for the next save; Ctrl-C ends.")
			}
		}
		before = now
		if !e.settled(ctx, f) {
			return nil
		}
	}
}

// settled waits until something happened and has come to rest. It gives false
// where ctx ended.
func (e *env) settled(ctx context.Context, f folders) bool {
	var rest, enough <-chan time.Time
	for {
		select {
		case <-ctx.Done():
			return false
		case err := <-f.stirred():
			if err != nil {
				e.cannot(fmt.Errorf("the folders could not be watched without a gap: %s", because(err)))
			}
			rest = time.After(settles)
			if enough == nil {
				enough = time.After(settlesAtMost)
			}
		case <-rest:
			return true
		case <-enough:
			return true
		}
	}
}

// foldersOf are the folders a check of paths looks into: the house around each,
// and the folders of recipes, each with those below it.
func (e *env) foldersOf(paths []string) []string {
	all := map[string]bool{}
	for _, path := range paths {
		if info, err := os.Stat(path); err == nil && info.IsDir() {
			below(path, all)
		} else {
			all[filepath.Dir(path)] = true
		}
		if e.house != "" {
			below(e.house, all)
		} else if dir := houseAround(path); dir != "" {
			below(dir, all)
		}
	}
	return slices.Sorted(maps.Keys(all))
}

// below adds a folder and those below it that are not hidden.
func below(dir string, all map[string]bool) {
	_ = filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			// The check itself says what cannot be read.
			return fs.SkipDir
		case !d.IsDir():
		case name != dir && strings.HasPrefix(d.Name(), "."):
			return fs.SkipDir
		default:
			all[filepath.Clean(name)] = true
		}
		return nil
	})
}

// looksAt are the endings of files that a check depends on: recipes, shop files
// and designs, pictures.
var looksAt = map[string]bool{
	".md": true, ".yaml": true, ".yml": true,
	".png": true, ".jpg": true, ".jpeg": true, ".gif": true, ".webp": true,
}

// whatLies are the files in folders that a check depends on, by their names.
func whatLies(dirs []string) map[string]fs.FileInfo {
	files := map[string]fs.FileInfo{}
	for _, dir := range dirs {
		entries, err := os.ReadDir(dir)
		if err != nil {
			continue // the check itself says so
		}
		for _, entry := range entries {
			if entry.IsDir() || strings.HasPrefix(entry.Name(), ".") || !looksAt[strings.ToLower(filepath.Ext(entry.Name()))] {
				continue
			}
			name := filepath.Join(dir, entry.Name())
			if info, err := os.Stat(name); err == nil {
				files[name] = info
			}
		}
	}
	return files
}

// whatChanged says in whole sentences, a line each, what was saved, came or
// went; it is empty where nothing did.
func whatChanged(before, now map[string]fs.FileInfo) string {
	var lines []string
	for name, info := range now {
		switch old := before[name]; {
		case old == nil:
			lines = append(lines, filepath.ToSlash(name)+" is new.")
		case old.Size() != info.Size() || !old.ModTime().Equal(info.ModTime()) || !os.SameFile(old, info):
			lines = append(lines, filepath.ToSlash(name)+" was saved.")
		}
	}
	for name := range before {
		if now[name] == nil {
			lines = append(lines, filepath.ToSlash(name)+" is gone.")
		}
	}
	slices.Sort(lines)
	if more := len(lines) - mostNamed; more > 1 {
		lines = append(lines[:mostNamed], fmt.Sprintf("And %d more files came, went or were saved.", more))
	}
	text := strings.Join(lines, "\n")
	if text != "" {
		text += "\n"
	}
	return text
}

// diskFolders watches folders on disk. Whole folders are watched, not files:
// an editor that saves by renaming puts another file in the place of the old.
type diskFolders struct {
	w    *fsnotify.Watcher
	on   map[string]bool
	stir chan error
	done chan struct{}
}

// watchDisk starts watching; close ends it.
func watchDisk() (*diskFolders, error) {
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, fmt.Errorf("the folders cannot be watched: %s", because(err))
	}
	f := &diskFolders{w: w, on: map[string]bool{}, stir: make(chan error, 1), done: make(chan struct{})}
	go f.pass()
	return f, nil
}

// pass passes on what happens. One thing that waits to be looked at stands for
// all that come after it.
func (f *diskFolders) pass() {
	for {
		var problem error
		select {
		case event, ok := <-f.w.Events:
			if !ok {
				return
			}
			if event.Op == fsnotify.Chmod {
				continue
			}
		case err, ok := <-f.w.Errors:
			if !ok {
				return
			}
			// Where more happened than could be told, everything is looked at.
			if !errors.Is(err, fsnotify.ErrEventOverflow) {
				problem = err
			}
		}
		if problem == nil {
			select {
			case f.stir <- nil:
			default:
			}
			continue
		}
		select {
		case f.stir <- problem:
		case <-f.done:
			return
		}
	}
}

func (f *diskFolders) close() {
	close(f.done)
	f.w.Close()
}

func (f *diskFolders) stirred() <-chan error { return f.stir }

func (f *diskFolders) follow(dirs []string) error {
	wanted := make(map[string]bool, len(dirs))
	for _, dir := range dirs {
		wanted[dir] = true
		// A folder that was taken away and came back must be added anew, and to
		// add one twice does nothing.
		err := f.w.Add(dir)
		if errors.Is(err, syscall.ENOSPC) {
			return fmt.Errorf("%s cannot be watched: this machine watches too many folders already", filepath.ToSlash(dir))
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s cannot be watched: %s", filepath.ToSlash(dir), because(err))
		}
		f.on[dir] = true
	}
	for dir := range f.on {
		if !wanted[dir] {
			_ = f.w.Remove(dir) // it may be gone already
			delete(f.on, dir)
		}
	}
	return nil
}

// watchPaths watches until the user interrupts. A second interrupt ends a check
// that is still running.
func (e *env) watchPaths(paths []string, format string, strict bool) error {
	if format != "text" {
		return usagef("--watch writes text for the desk; leave --format %s away", format)
	}
	if slices.Contains(paths, "-") {
		return usagef("--watch looks at files; standard input is none")
	}
	f, err := watchDisk()
	if err != nil {
		return err
	}
	defer f.close()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop)
	return e.watch(ctx, f, paths, strict)
}
