package keys

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/source"
)

// TestClear: what may be written unasked is what no other word is near to.
func TestClear(t *testing.T) {
	for _, c := range []struct {
		text  string
		known []string
		want  string
	}{
		{"revison", []string{"revision", "review", "recipe"}, "revision"},
		{"Cautions", []string{"cautions", "changes"}, "cautions"},
		{"keep-wet", []string{"keep wet", "eyes"}, "keep wet"},
		{"rev", []string{"revision", "title"}, "revision"},
		{"re", []string{"revision", "recipe"}, ""},
		// Two as near.
		{"eyrs", []string{"eyes", "ears"}, ""},
		{"bae", []string{"base", "bale"}, ""},
		// One letter, or a figure, may be another name.
		{"bench C", []string{"bench A", "bench D"}, ""},
		{"lamp B", []string{"lamp A"}, ""},
		{"pad 400", []string{"pad 600"}, ""},
		{"tile T5", []string{"tile T6"}, ""},
		// Nothing near.
		{"rain", []string{"drip", "flood"}, ""},
		{"", []string{"drip"}, ""},
	} {
		assert.Equal(t, c.want, Clear(c.text, c.known), "%q among %v", c.text, c.known)
	}
}

// TestAddTo puts one more member into whatever list stands there, and reads it
// again.
func TestAddTo(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"a: [x, y]\nb: 1\n", "a: [x, y, z]\nb: 1\n"},
		{"a: [x, y, ]\n", "a: [x, y, z, ]\n"},
		{"a: []\n", "a: [z]\n"},
		{"a: ['x', \"y\"] # r\n", "a: ['x', \"y\", z] # r\n"},
		{"a: [\n  x, # r\n  y # s, ]\n]\n", "a: [\n  x, # r\n  y, z # s, ]\n]\n"},
		{"a:\n  - x\n  - y # r\nb: 1\n", "a:\n  - x\n  - y # r\n  - z\nb: 1\n"},
		{"a:\r\n-  x\r\nb: 1\r\n", "a:\r\n-  x\r\n-  z\r\nb: 1\r\n"},
		{"a:\n  - x", "a:\n  - x\n  - z\n"},
		{"a: x\n", "a: [x, z]\n"},
		{"a: 'x, y'  # r\n", "a: ['x, y', z]  # r\n"},
		{"a: {k: 1}\n", "a: [{k: 1}, z]\n"},
		{"a:\n  k: 1\n  l: 2\nb: 1\n", "a:\n  - k: 1\n    l: 2\n  - z\nb: 1\n"},
	} {
		var list diag.List
		f := source.New("a", []byte(c.text))
		edits, ok := Read(f, 0, len(f.Text), &list).Fields("this", []string{"a", "b"}, &list).Get("a").AddTo("z")
		require.True(t, ok, "%q", c.text)
		got := diag.Apply(f.Text, edits)
		assert.Equal(t, c.want, string(got))
		g := source.New("a", got)
		all := Read(g, 0, len(got), &list).Fields("this", []string{"a", "b"}, &list).Get("a").List()
		require.Empty(t, list)
		assert.Equal(t, "z", all[len(all)-1].Text(), "%q", got)
	}
	for _, text := range []string{"a:\n", "b: 1\n", "a: |\n  x\n", "a: x,\n  y\n", "a: x, y\n"} {
		var list diag.List
		f := source.New("a", []byte(text))
		_, ok := Read(f, 0, len(f.Text), &list).Fields("this", []string{"a", "b"}, &list).Get("a").AddTo("z")
		assert.False(t, ok, "%q", text)
	}
}

// TestReadAloneAsWithAnother: what a value says does not hang on whether some
// other line is at fault, not even where braces, brackets or quotes go on in the
// first column.
func TestReadAloneAsWithAnother(t *testing.T) {
	for _, text := range []string{
		"piece: {form: cast, mould:\nremoved}\n",
		"piece: {form: cast, mould: removed,\nsize: 80 mm}\n",
		"piece: {form: cast,\nsize: 80 mm,\nmould: removed\n}\n",
		"cautions: [sharp arris,\ndry powder]\n",
	} {
		read := func(text string) (plain any, list diag.List) {
			f := source.New("a", []byte(text))
			v := Read(f, 0, len(f.Text), &list)
			for _, e := range v.Entries(nil) {
				if e.Key == "piece" || e.Key == "cautions" {
					return says(e.Value), list
				}
			}
			return nil, list
		}
		whole, list := read(text + "stop: Bright base.\n")
		require.Empty(t, list)
		require.NotEmpty(t, whole)
		beside, list := read("title: A weight: base bright\n" + text + "stop: Bright base.\n")
		assert.Equal(t, whole, beside, "%q", text)
		if assert.Len(t, list, 1, "%q", text) {
			assert.Equal(t, ColonQuotes, list[0].Rule)
		}
	}
}

// says is all the words of a value.
func says(v Value) []string {
	switch v.Kind() {
	case Map:
		var all []string
		for _, e := range v.Entries(nil) {
			all = append(append(all, e.Key), says(e.Value)...)
		}
		return all
	case List:
		var all []string
		for _, one := range v.List() {
			all = append(all, says(one)...)
		}
		return all
	}
	return []string{v.Text()}
}
