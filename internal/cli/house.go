package cli

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

const (
	shopFile = "shop.yaml"
	// mostText is the most that is read of one text file, in bytes. What is
	// longer is read that far and one byte further, so that the reader of
	// recipes can say it is too long.
	mostText = 2 << 20
)

// house is a shop on disk.
type house struct {
	// dir is the folder that holds the shop file, or the one of the recipes
	// where there is no shop file.
	dir string
	*trade.House
	// findings are those of the shop file itself.
	findings diag.List
	// own are the designs of the house, designFound what is wrong with them.
	own         []ownDesign
	designFound diag.List
	// pictures are those made ready for print, by folder and name: many
	// recipes show the same.
	pictures sync.Map
}

// openHouse finds and reads the house around a path.
func (e *env) openHouse(path string) (*house, error) {
	dir := e.house
	if dir == "" {
		dir = houseAround(path)
	} else if info, err := os.Stat(dir); err != nil {
		return nil, readError(dir, err)
	} else if !info.IsDir() {
		return nil, usagef("--house takes a folder; %s is a file", dir)
	}
	h := &house{dir: dir}
	if dir == "" {
		h.dir = folderOf(path)
	}
	e.readDesigns(h)
	name := filepath.Join(h.dir, shopFile)
	if info, err := os.Stat(name); errors.Is(err, fs.ErrNotExist) || err == nil && info.IsDir() {
		e.misnamed(h.dir)
		h.House = trade.BuiltIn()
		return h, nil
	}
	text, err := readText(name)
	if err != nil {
		return nil, err
	}
	h.House = trade.Lay(source.New(filepath.ToSlash(name), text), &h.findings)
	return h, nil
}

// misnamed says so where a folder holds what was most likely meant as its shop
// file: it is not read, and silence would look as if it were.
func (e *env) misnamed(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, entry := range entries {
		switch low := strings.ToLower(entry.Name()); {
		case low == shopFile && entry.IsDir():
			e.cannot(fmt.Errorf("%s is a folder; the shop file of a house is a file of that name", filepath.ToSlash(filepath.Join(dir, entry.Name()))))
		case low == shopFile && entry.Name() != shopFile, low == "shop.yml", low == "shop.yaml.txt":
			e.cannot(fmt.Errorf("%s was not read: the shop file of a house is called %s", filepath.ToSlash(filepath.Join(dir, entry.Name())), shopFile))
		}
	}
}

// houseAround is the nearest folder, from the path upwards, that holds a shop
// file; "" where there is none.
func houseAround(path string) string {
	dir := folderOf(path)
	absolute, err := filepath.Abs(dir)
	if err != nil {
		return ""
	}
	for {
		if info, err := os.Stat(filepath.Join(dir, shopFile)); err == nil && !info.IsDir() {
			return dir
		}
		parent := filepath.Dir(absolute)
		if parent == absolute {
			return ""
		}
		absolute, dir = parent, filepath.Join(dir, "..")
	}
}

// folderOf is the folder of a path: itself where it is one.
func folderOf(path string) string {
	if path == "-" {
		return "."
	}
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return filepath.Clean(path)
	}
	return filepath.Dir(path)
}

// recipeFiles are the recipes that a path names, in order. What could not be
// looked at is in problems.
func recipeFiles(path string) (files []string, problems []error) {
	if path == "-" {
		return []string{"-"}, nil
	}
	info, err := os.Stat(path)
	if err != nil {
		return nil, []error{readError(path, err)}
	}
	if !info.IsDir() {
		return []string{filepath.Clean(path)}, nil
	}
	err = filepath.WalkDir(path, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			problems = append(problems, readError(name, err))
			if d != nil && d.IsDir() {
				return fs.SkipDir
			}
		case d.IsDir() && name != path && strings.HasPrefix(d.Name(), "."):
			return fs.SkipDir
		case !d.IsDir() && isRecipe(d.Name()):
			files = append(files, filepath.Clean(name))
		}
		return nil
	})
	if err != nil {
		problems = append(problems, readError(path, err))
	}
	slices.Sort(files)
	return files, problems
}

// otherIDs are the ids of the house's recipes that were not asked for, with
// their files: an id is unique in the whole house, not only in what was read.
// left is how many recipes that is, with an id or without.
func (h *house) otherIDs(names []string) (others map[string]string, left int) {
	if h.File == nil {
		return nil, 0
	}
	asked := make(map[string]bool, len(names))
	for _, name := range names {
		if absolute, err := filepath.Abs(name); err == nil {
			asked[absolute] = true
		}
	}
	// What cannot be looked at here was not asked for, so nothing is said of it.
	all, _ := recipeFiles(h.dir)
	others = map[string]string{}
	for _, name := range all {
		absolute, err := filepath.Abs(name)
		if err != nil || asked[absolute] {
			continue
		}
		left++
		if id := firstID(name); id != "" {
			others[id] = filepath.ToSlash(name)
		}
	}
	return others, left
}

// leadsTo says whether there is a file where a link of a recipe leads: beside the
// recipe, or below the house where it begins with a stroke.
func (h *house) leadsTo(e *check.Entry, target string) bool {
	dir := folderOf(filepath.FromSlash(e.Recipe.File.Name))
	if strings.HasPrefix(target, "/") {
		dir = h.dir
	}
	info, err := os.Stat(filepath.Join(dir, filepath.FromSlash(target)))
	return err == nil && !info.IsDir()
}

// firstID is the id a recipe gives in its head, read no further than that; ""
// where it gives none that is easily seen.
func firstID(name string) string {
	f, err := os.Open(name)
	if err != nil {
		return ""
	}
	defer f.Close()
	lines := bufio.NewScanner(io.LimitReader(f, 64<<10))
	for n := 0; lines.Scan(); n++ {
		line := strings.TrimRight(strings.TrimPrefix(lines.Text(), "\ufeff"), " \r")
		if n > 0 && line == "---" {
			return ""
		}
		if id, ok := strings.CutPrefix(line, "recipe:"); ok {
			id, _, _ = strings.Cut(id, " #")
			return strings.Trim(strings.TrimSpace(id), "\"'")
		}
	}
	return ""
}

// isRecipe says whether a file in a folder of recipes is one: a Markdown file
// that is not hidden and not the folder's own README.
func isRecipe(name string) bool {
	return strings.EqualFold(filepath.Ext(name), ".md") && !strings.HasPrefix(name, ".") &&
		!strings.EqualFold(name, "README.md")
}

// readText reads a text file, or a little more than mostText of it.
func readText(name string) ([]byte, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, readError(name, err)
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s cannot be read: it is no ordinary file", filepath.ToSlash(name))
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, readError(name, err)
	}
	defer f.Close()
	// Room for the whole of it and for the last read that meets the end.
	text := bytes.NewBuffer(make([]byte, 0, min(info.Size(), mostText)+bytes.MinRead))
	if _, err := text.ReadFrom(io.LimitReader(f, mostText+1)); err != nil {
		return nil, readError(name, err)
	}
	return text.Bytes(), nil
}

// readError says in plain words why something could not be read.
func readError(name string, err error) error {
	return fmt.Errorf("%s cannot be read: %s", filepath.ToSlash(name), because(err))
}

// because is the bare cause of a failure of the disk.
func because(err error) string {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.Is(err, syscall.ENOSPC):
		return "the disk is full"
	case errors.Is(err, syscall.ENOTDIR), errors.Is(err, fs.ErrExist):
		return "a file stands where a folder is wanted"
	case errors.Is(err, syscall.EROFS):
		return "nothing can be written there"
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file or folder"
	case errors.Is(err, fs.ErrPermission):
		return "this user is not allowed to"
	case errors.As(err, &path):
		return path.Err.Error()
	case errors.As(err, &link):
		return link.Err.Error()
	}
	return err.Error()
}
