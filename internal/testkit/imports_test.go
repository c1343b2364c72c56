package testkit

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mayImport is who may import whom, of our own packages and of others'. A
// package reaches what stands behind it here and nothing else; the standard
// library is open to all. Tests may also use testAlso.
var mayImport = map[string][]string{
	"cmd/coldwright":    {"internal/cli"},
	"internal/source":   {},
	"internal/quantity": {},
	"internal/asread":   {"golang.org/x/text"},
	"internal/draw":     {},
	"internal/diag":     {"internal/source"},
	"internal/grade":    {"internal/quantity"},
	"internal/keys":     {"internal/source", "internal/diag", "gopkg.in/yaml.v3", "github.com/hbollon/go-edlib"},
	"internal/words":    {"internal/source", "internal/diag", "internal/keys"},
	"internal/trade":    {"internal/source", "internal/diag", "internal/quantity", "internal/grade", "internal/keys", "internal/words"},
	"internal/prose":    {"internal/source"},
	"internal/stamp":    {"github.com/boombuler/barcode"},
	"internal/recipe":   {"internal/source", "internal/quantity", "internal/trade", "internal/prose"},
	"internal/parse":    {"internal/source", "internal/diag", "internal/quantity", "internal/grade", "internal/keys", "internal/words", "internal/trade", "internal/prose", "internal/recipe", "github.com/yuin/goldmark"},
	"internal/wear":     {},
	"internal/process":  {"internal/wear", "internal/source", "internal/quantity", "internal/grade", "internal/trade", "internal/recipe"},
	"internal/check":    {"internal/source", "internal/diag", "internal/trade", "internal/recipe", "internal/process"},
	"internal/mend":     {"internal/source", "internal/diag", "internal/keys", "github.com/aymanbagabas/go-udiff"},
	"internal/rules":    {"internal/asread", "internal/source", "internal/diag", "internal/quantity", "internal/grade", "internal/keys", "internal/trade", "internal/prose", "internal/recipe", "internal/parse", "internal/picture", "internal/wear", "internal/process", "internal/check"},
	"internal/report":   {"internal/source", "internal/diag", "github.com/rivo/uniseg"},
	"internal/typeface": {"internal/draw"},
	"internal/picture":  {"internal/draw", "golang.org/x/image"},
	"internal/sheet":    {"internal/source", "internal/diag", "internal/quantity", "internal/grade", "internal/keys", "internal/words", "internal/trade", "internal/prose", "internal/recipe", "internal/wear", "internal/process", "internal/draw", "internal/stamp", "templates"},
	"internal/layout":   {"internal/source", "internal/diag", "internal/trade", "internal/words", "internal/prose", "internal/draw", "internal/sheet", "internal/signs", "internal/stamp", "internal/typeface", "github.com/rivo/uniseg", "golang.org/x/text"},
	"internal/signs":    {"internal/draw"},
	"internal/pdf":      {"internal/draw", "internal/typeface", "github.com/go-pdf/fpdf"},
	"internal/web":      {"internal/trade", "internal/prose", "internal/draw", "internal/sheet", "internal/signs", "internal/stamp", "internal/layout"},
	"internal/cli":      {"internal/", "templates", "github.com/fsnotify/fsnotify", "github.com/spf13/cobra", "golang.org/x/term"},
	"internal/testkit":  {},
	"templates":         {},
}

// testAlso is what tests may use on top of their package.
var testAlso = []string{"internal/", "templates", "github.com/", "golang.org/x/", "gopkg.in/yaml.v3", "pgregory.net/rapid"}

func TestImportsRunOneWay(t *testing.T) {
	root := Root(t)
	seen := map[string]bool{}
	for _, top := range []string{"cmd", "internal", "templates"} {
		err := filepath.WalkDir(filepath.Join(root, top), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || filepath.Ext(path) != ".go" {
				return err
			}
			rel, _ := filepath.Rel(root, path)
			pkg := filepath.ToSlash(filepath.Dir(rel))
			allowed, known := mayImport[pkg]
			require.Truef(t, known, "package %s has no line in the policy", pkg)
			seen[pkg] = true
			isTest := strings.HasSuffix(path, "_test.go")
			if pkg == "internal/testkit" || isTest {
				allowed = append(slices.Clone(allowed), testAlso...)
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
			require.NoError(t, err)
			for _, spec := range file.Imports {
				name, err := strconv.Unquote(spec.Path.Value)
				require.NoError(t, err)
				if standard(name) {
					continue
				}
				short := strings.TrimPrefix(name, "coldwright/")
				assert.Truef(t, allows(allowed, short), "%s imports %s, which the policy does not let it", filepath.ToSlash(rel), name)
				if short == "internal/testkit" {
					assert.Truef(t, isTest, "%s imports the test kit outside a test", filepath.ToSlash(rel))
				}
			}
			return nil
		})
		require.NoError(t, err)
	}
	for pkg := range mayImport {
		assert.Truef(t, seen[pkg], "the policy has a line for %s, which is not there", pkg)
	}
}

// standard says whether an import path is the standard library's: its first
// element has no dot, and it is not ours.
func standard(path string) bool {
	first, _, _ := strings.Cut(path, "/")
	return !strings.Contains(first, ".") && first != "coldwright"
}

// allows says whether a list lets a path in: itself, a folder below it, or
// everything behind a prefix that ends in a slash.
func allows(list []string, path string) bool {
	return slices.ContainsFunc(list, func(a string) bool {
		return path == a || strings.HasPrefix(path, strings.TrimSuffix(a, "/")+"/")
	})
}

// noOutside are calls that only the command may make: below it there is no
// clock, no working directory, no stream and no end of the program.
var noOutside = []string{"os.Exit", "os.Stdout", "os.Stderr", "os.Stdin", "time.Now", "os.Getwd", "os.Chdir", "filepath.Abs"}

func TestOnlyTheCommandKnowsTheWorldOutside(t *testing.T) {
	root := Root(t)
	err := filepath.WalkDir(filepath.Join(root, "internal"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		rel, _ := filepath.Rel(root, path)
		rel = filepath.ToSlash(rel)
		if strings.HasPrefix(rel, "internal/cli/") || strings.HasPrefix(rel, "internal/testkit/") {
			return nil
		}
		text := string(Read(t, path))
		for _, call := range noOutside {
			assert.NotContainsf(t, text, call, "%s", rel)
		}
		return nil
	})
	require.NoError(t, err)
}

func TestNoFileIsTooLongToRead(t *testing.T) {
	root := Root(t)
	for _, top := range []string{"cmd", "internal", "templates"} {
		err := filepath.WalkDir(filepath.Join(root, top), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || filepath.Ext(path) != ".go" {
				return err
			}
			assert.LessOrEqualf(t, strings.Count(string(Read(t, path)), "\n"), 600, "%s", path)
			return nil
		})
		require.NoError(t, err)
	}
}
