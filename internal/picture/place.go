package picture

import (
	"errors"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// Allowed is the path of the picture a recipe names, once it is sure that it
// is an ordinary file inside the house folder and that no link leads out. The
// arguments are Load's; every error is an *Error. The path is for showing: who
// opens it later opens whatever stands there then. Load does not.
func Allowed(houseRoot, recipeDir, target string) (string, error) {
	f, err := open(houseRoot, recipeDir, target)
	if err != nil {
		return "", err
	}
	defer f.Close()
	return f.Name(), nil
}

// open opens a picture through the house folder, which the system then lets
// nothing lead out of, links included.
func open(houseRoot, recipeDir, target string) (*os.File, error) {
	name, err := resolve(recipeDir, target)
	if err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(houseRoot)
	if err != nil {
		return nil, fault(Unreadable, target, "The picture %s cannot be read: the house folder cannot be opened.",
			"Make the house folder readable.")
	}
	defer root.Close()

	info, err := root.Stat(name)
	if errors.Is(err, fs.ErrNotExist) && strings.Contains(name, "%") {
		// Many editors write a space in a picture's name as %20.
		if plain, bad := url.PathUnescape(target); bad == nil && !strings.ContainsAny(plain, "\\\x00") {
			if other, bad := resolve(recipeDir, plain); bad == nil {
				if i, bad := root.Stat(other); bad == nil {
					name, info, err = other, i, nil
				}
			}
		}
	}
	if err != nil {
		return nil, unopened(root, name, target, err)
	}
	// Opening a pipe would wait for somebody to write to it.
	if err := ordinary(target, info); err != nil {
		return nil, err
	}
	f, err := root.Open(name)
	if err != nil {
		return nil, unopened(root, name, target, err)
	}
	// What was opened may have been changed since it was looked at.
	if info, err = f.Stat(); err == nil {
		err = ordinary(target, info)
	} else {
		err = unreadable(target)
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

const beside = "Put the picture in the house folder and write its name as seen from the recipe, such as pictures/rim.png."

// resolve is the name of a picture as seen from the house folder, in the
// system's own form. It looks at no disk.
func resolve(recipeDir, target string) (string, error) {
	switch {
	case strings.TrimSpace(target) == "":
		return "", &Error{Fault: BadTarget, Name: target, Message: "This picture has no file name.", help: beside}
	case strings.ContainsFunc(target, func(r rune) bool { return r < 0x20 || r == 0x7F }):
		return "", fault(BadTarget, target, "The picture name %s holds a character that no file name may hold.", beside)
	case strings.HasPrefix(target, `\`):
		return "", fault(BadTarget, target, "The picture %s is written from the top of a disk, and pictures are taken only from the house folder.", beside)
	case scheme(target) == 1:
		return "", fault(BadTarget, target, "The picture %s is written with a drive letter, and pictures are taken only from the house folder.", beside)
	case strings.Contains(target, `\`):
		return "", fault(BadTarget, target, "The picture %s is written with a backslash, which not every machine understands.",
			"Write / between folder and file.")
	case scheme(target) > 1, strings.HasPrefix(target, "//"):
		return "", fault(BadTarget, target, "The picture %s is somewhere on a network, and pictures are taken only from the house folder.", beside)
	case strings.HasPrefix(target, "/"):
		return "", fault(BadTarget, target, "The picture %s is written from the top of a disk, and pictures are taken only from the house folder.", beside)
	}
	name := path.Join(filepath.ToSlash(recipeDir), target)
	if name == ".." || strings.HasPrefix(name, "../") {
		return "", outside(target)
	}
	local := filepath.FromSlash(name)
	if !filepath.IsLocal(local) {
		return "", fault(BadTarget, target, "The picture %s has a name that this machine keeps for other things.", beside)
	}
	return local, nil
}

// scheme is the length of what stands before the colon of an address or behind
// a drive letter; 0 where the target begins with neither.
func scheme(target string) int {
	for i := range len(target) {
		c := target[i]
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		switch {
		case letter, i > 0 && (c >= '0' && c <= '9' || c == '+' || c == '-' || c == '.'):
		case c == ':':
			return i
		default:
			return 0
		}
	}
	return 0
}

func outside(target string) *Error {
	return fault(Outside, target, "The picture %s lies outside the house folder.", "Copy the picture into the house folder.")
}

func unreadable(target string) *Error {
	return fault(Unreadable, target, "The picture %s is there but cannot be read.", "Give yourself leave to read the file.")
}

// ordinary refuses anything that is not a plain file.
func ordinary(target string, info fs.FileInfo) error {
	switch mode := info.Mode(); {
	case mode.IsRegular():
		return nil
	case mode.IsDir():
		return fault(NotAFile, target, "The picture %s is a folder, not a file.", "Name the file in it.")
	}
	return fault(NotAFile, target, "The picture %s is not an ordinary file.", "Name a file that holds a picture.")
}

// unopened says why a picture could not be opened.
func unopened(root *os.Root, name, target string, err error) *Error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if like := otherCase(root, name); like != "" {
			return fault(Missing, target, "There is no picture %s in the house folder.",
				"A file there is written "+quoted(like)+": write it so, capitals and all.")
		}
		return fault(Missing, target, "There is no picture %s in the house folder.",
			"Put the picture there, or correct its name; the name is read as seen from the recipe.")
	case errors.Is(err, fs.ErrPermission):
		return unreadable(target)
	case throughLink(root, name):
		// The system refuses a link that leads out of the house, and any that
		// is not written as seen from where it stands.
		return fault(Outside, target, "The picture %s is reached by a link that leads outside the house folder.",
			"Copy the picture into the house folder.")
	}
	return unreadable(target)
}

// throughLink reports whether any part of a path is a symbolic link.
func throughLink(root *os.Root, name string) bool {
	for part := name; part != "." && part != string(filepath.Separator); part = filepath.Dir(part) {
		if info, err := root.Lstat(part); err == nil && info.Mode()&fs.ModeSymlink != 0 {
			return true
		}
	}
	return false
}

// otherCase is a file of the same name but for capitals, or "".
func otherCase(root *os.Root, name string) string {
	dir, err := root.Open(filepath.Dir(name))
	if err != nil {
		return ""
	}
	defer dir.Close()
	const most = 10_000 // names; more would be slow to read for one hint
	names, _ := dir.Readdirnames(most)
	for _, n := range names {
		if strings.EqualFold(n, filepath.Base(name)) {
			return n
		}
	}
	return ""
}

// read reads a picture's file, and never more than the limit.
func read(target string, f *os.File) ([]byte, error) {
	if info, err := f.Stat(); err == nil && info.Size() > MaxBytes {
		return nil, bigFile(target)
	}
	data, err := io.ReadAll(io.LimitReader(f, MaxBytes+1))
	if err != nil {
		return nil, unreadable(target)
	}
	if len(data) > MaxBytes {
		return nil, bigFile(target)
	}
	return data, nil
}

func bigFile(target string) *Error {
	return fault(TooLarge, target, "The picture %s is too large a file.", "Make it smaller than 20 megabytes.")
}
