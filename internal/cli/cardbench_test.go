package cli

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"coldwright/internal/parse"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
)

// BenchmarkCards lays one card that fits on two faces of A5 and one that fits
// on none, which takes every size that is tried.
func BenchmarkCards(b *testing.B) {
	h := cardHouse(b)
	for _, name := range []string{"cast-weight", "relief-panel"} {
		r, _ := parse.New(h).Parse(source.New(name+".md", testkit.Read(b, filepath.Join(testkit.Root(b), "recipes", name+".md"))))
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				_, found := card(b, h, r, sheet.Options{})
				require.LessOrEqual(b, len(found), 2)
			}
		})
	}
}
