package words_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"coldwright/internal/testkit"
)

// saying are the calls that say a fixed phrase, with the places of the phrases
// among what they are given.
var saying = map[string][]int{"say": {0}, "Say": {0}, "fixed": {0}, "filled": {0}, "count": {1, 2}, "about": {1, 2}}

// wholly are constants, variables and functions all of whose texts are said.
var wholly = map[string]bool{
	"guidance": true, "daggerWords": true, "cardGuidance": true, "cardGuidanceBuilt": true, "trainingFoot": true,
	"trainingBoxes": true, "readingRule": true, "stepColumns": true, "surfaceColumns": true, "howToRead": true, "numerals": true,
}

// saidIn are the fixed phrases that the code of a package says.
func saidIn(t testing.TB, pkg string) map[string]bool {
	said := map[string]bool{}
	files, err := filepath.Glob(filepath.Join(testkit.Root(t), "internal", pkg, "*.go"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	consts := map[string]string{}
	var trees []*ast.File
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		tree, err := parser.ParseFile(token.NewFileSet(), name, text, 0)
		require.NoError(t, err)
		trees = append(trees, tree)
		ast.Inspect(tree, func(n ast.Node) bool {
			if v, ok := n.(*ast.ValueSpec); ok && len(v.Names) == 1 && len(v.Values) == 1 {
				if words, ok := textOf(v.Values[0], nil); ok {
					consts[v.Names[0].Name] = words
				}
			}
			return true
		})
	}
	all := func(n ast.Node) {
		ast.Inspect(n, func(n ast.Node) bool {
			e, ok := n.(ast.Expr)
			if !ok {
				return true
			}
			words, ok := textOf(e, consts)
			if ok && words != "" {
				said[words] = true
			}
			return !ok
		})
	}
	for _, tree := range trees {
		ast.Inspect(tree, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.CallExpr:
				name := ""
				switch f := n.Fun.(type) {
				case *ast.Ident:
					name = f.Name
				case *ast.SelectorExpr:
					name = f.Sel.Name
				}
				for _, at := range saying[name] {
					if _, free := n.Fun.(*ast.Ident); at < len(n.Args) && !free {
						if words, ok := textOf(n.Args[at], consts); ok && words != "" {
							said[words] = true
						}
					}
				}
			case *ast.ValueSpec:
				if wholly[n.Names[0].Name] {
					for _, v := range n.Values {
						all(v)
					}
				}
				if n.Names[0].Name == "sectionTitles" {
					for _, e := range n.Values[0].(*ast.CompositeLit).Elts {
						all(e.(*ast.KeyValueExpr).Value)
					}
				}
			case *ast.FuncDecl:
				if wholly[n.Name.Name] {
					all(n.Body)
				}
			}
			return true
		})
	}
	return said
}

// saidOnPages are the fixed phrases of the templates pages for a browser are
// written by: {{.Say "Move on when"}}.
func saidOnPages(t testing.TB) map[string]bool {
	said := map[string]bool{}
	files, err := filepath.Glob(filepath.Join(testkit.Root(t), "internal", "web", "*.html"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		for _, after := range strings.Split(string(testkit.Read(t, name)), `.Say "`)[1:] {
			phrase, _, ok := strings.Cut(after, `"`)
			require.True(t, ok)
			said[phrase] = true
		}
	}
	return said
}

// textOf is the text of a constant expression.
func textOf(e ast.Expr, consts map[string]string) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		if e.Kind != token.STRING {
			return "", false
		}
		words, err := strconv.Unquote(e.Value)
		return words, err == nil
	case *ast.Ident:
		words, ok := consts[e.Name]
		return words, ok
	case *ast.BinaryExpr:
		a, ok := textOf(e.X, consts)
		b, also := textOf(e.Y, consts)
		return a + b, ok && also
	}
	return "", false
}
