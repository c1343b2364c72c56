package parse

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"gopkg.in/yaml.v3"

	"coldwright/internal/source"
)

// bare reads the same bytes with the two libraries alone: the front matter into
// nodes, the body into a tree, by one parser that is used again.
func bare(t testing.TB) func() {
	all := exampleText(t)
	end := 4
	for string(all[end:end+5]) != "\n---\n" {
		end++
	}
	head, body := all[4:end+1], all[end+5:]
	p := goldmark.New(goldmark.WithExtensions(extension.Table, extension.TaskList, extension.Footnote, extension.Strikethrough)).Parser()
	return func() {
		var n yaml.Node
		if err := yaml.Unmarshal(head, &n); err != nil {
			t.Fatal(err)
		}
		if p.Parse(text.NewReader(body), parser.WithContext(parser.NewContext())).ChildCount() == 0 {
			t.Fatal("nothing was read")
		}
	}
}

func ours(t testing.TB) func() {
	p, err := quillfen()
	require.NoError(t, err)
	all := exampleText(t)
	return func() {
		if r, list := p.Parse(source.New("cast-weight.md", all)); len(r.Steps) != 6 || len(list) != 0 {
			t.Fatal("the recipe was not read")
		}
	}
}

// BenchmarkParse reads the example recipe on one goroutine beside the bare
// libraries on the same bytes. "ratio" is ours to bare: batches of both in turn,
// the fastest of each, so that other work on the machine counts for neither.
func BenchmarkParse(b *testing.B) {
	plain, whole := bare(b), ours(b)
	b.Run("bare", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			plain()
		}
	})
	b.Run("recipe", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			whole()
		}
	})
	b.Run("ratio", func(b *testing.B) {
		const batch = 20
		timed := func(f func()) time.Duration {
			start := time.Now()
			for range batch {
				f()
			}
			return time.Since(start)
		}
		mine, theirs := time.Hour, time.Hour
		for b.Loop() {
			theirs = min(theirs, timed(plain))
			mine = min(mine, timed(whole))
		}
		b.ReportMetric(float64(mine)/float64(theirs), "ratio")
		b.ReportMetric(float64(mine.Microseconds())/batch, "µs/recipe")
		b.ReportMetric(float64(theirs.Microseconds())/batch, "µs/bare")
	})
}
