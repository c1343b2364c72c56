package sheet

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/source"
)

func load(t *testing.T, text string) (*Design, diag.List) {
	t.Helper()
	var report diag.List
	d := LoadDesign(source.New("a-design.yaml", []byte(text)), &report)
	return d, report
}

const goodDesign = `name: our sheet
paper: a4
portrait: {left: 25 mm, right: 1/2 in}
blocks:
  - stop
  - cautions: {panels: 1}
  - steps in full: {test methods: no}
  - sign-off: {lines: [Piece, "Made by, date"]}
`

func TestDesignIsRead(t *testing.T) {
	d, report := load(t, goodDesign)
	require.Empty(t, report)
	require.NotNil(t, d)
	assert.Equal(t, "our sheet", d.Name)
	assert.Equal(t, "our-sheet", d.FileName())
	assert.Equal(t, "A4", d.Paper)
	assert.InDelta(t, 25, d.Portrait.Left, 1e-9)
	assert.InDelta(t, 12.7, d.Portrait.Right, 1e-9)
	assert.InDelta(t, 11, d.Portrait.Top, 1e-9, "a side that is not written is the usual one")
	require.Len(t, d.Blocks, 4)
	assert.Equal(t, 1, d.Blocks[1].Panels)
	assert.False(t, d.Blocks[2].Methods)
	assert.True(t, d.Blocks[2].Short)
	assert.Equal(t, []string{"Piece", "Made by, date"}, d.Blocks[3].Lines)
}

func TestDesignNamesWhatIsWrong(t *testing.T) {
	tail := "blocks:\n  - stop\n  - cautions\n  - steps in full\n"
	head := "name: x\npaper: A4\n"
	for _, c := range []struct{ name, text, at, message, help string }{
		{"no name", "paper: A4\n" + tail, "", "A design needs a name", "name: process sheet"},
		{"no paper", "name: x\n" + tail, "", "A design needs a paper", "paper: A4"},
		{"no blocks", head, "", "A design needs a list of blocks", "steps in full"},
		{"unknown paper", "name: x\npaper: Leter\n" + tail, "Leter", "no paper called “Leter”", "The nearest is Letter"},
		{"unknown block", head + "blocks:\n  - stop\n  - cautoins\n  - steps in full\n", "cautoins", "no block called “cautoins”", "“cautions”"},
		{"twice", head + tail + "  - stop\n", "stop", "stands twice; the first is in line 4", "Keep one"},
		{"left out", head + "blocks:\n  - stop\n  - steps in full\n", "", "“cautions” is left out", "- cautions"},
		{"panels", head + "blocks:\n  - stop\n  - cautions: {panels: 3}\n  - steps in full\n", "3", "0, 1 or 2", "panels: 2"},
		{"yes or no", head + "blocks:\n  - stop\n  - cautions\n  - steps in full: {test methods: perhaps}\n", "perhaps", "yes or no", "test methods: yes"},
		{"no options", head + "blocks:\n  - stop: {panels: 2}\n  - cautions\n  - steps in full\n", "", "takes no options", "alone"},
		{"margin without a unit", head + "portrait: {left: 20}\n" + tail, "20", "The margin left cannot be read", ""},
		{"margin too small", head + "portrait: {left: 2 mm}\n" + tail, "2 mm", "keeps 5 to 50 mm clear", "5 mm or more"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, report := load(t, c.text)
			assert.Nil(t, d)
			require.NotEmpty(t, report)
			found := report[0]
			assert.Equal(t, diag.Error, found.Severity)
			assert.Contains(t, found.Message, c.message)
			assert.Contains(t, found.Help, c.help)
			assert.True(t, found.Span.Known())
			if c.at != "" {
				assert.Equal(t, c.at, found.Span.Text())
			}
		})
	}
}

func TestDesignRefusesUnknownKeysAndOptions(t *testing.T) {
	for _, text := range []string{
		"name: x\npaper: A4\npotrait: {}\nblocks: [stop, cautions, steps in full]\n",
		"name: x\npaper: A4\nblocks:\n  - stop\n  - cautions: {panel: 2}\n  - steps in full\n",
		"", "[]", "just words", "name: [", "blocks: {stop: 1}",
	} {
		d, report := load(t, text)
		assert.Nil(t, d, "%q", text)
		assert.NotEmpty(t, report, "%q", text)
	}
}

func TestBuiltInDesigns(t *testing.T) {
	require.NotEmpty(t, Designs())
	d := FindDesign("Process sheet")
	require.NotNil(t, d, "the process sheet ships with the program")
	assert.Same(t, d, FindDesign("process-sheet"))
	assert.Nil(t, FindDesign("poster"))
	var names []string
	for _, spec := range d.Blocks {
		names = append(names, spec.Name)
	}
	var all []string
	for _, block := range Pages()[0].Blocks {
		all = append(all, block.Name)
	}
	assert.ElementsMatch(t, all, names, "the process sheet leaves nothing out")
	assert.InDelta(t, 20, d.Portrait.Left, 1e-9, "ISO 838 holes stand 12 mm in and are 6 mm wide: 20 mm keep clear of them")
}

func TestPapers(t *testing.T) {
	size := func(name string) (w, h float64) {
		p, ok := FindPaper(name)
		require.True(t, ok, name)
		assert.NotEmpty(t, p.Source, name)
		return p.Width, p.Height
	}
	// ISO 216: A0 is 841 x 1189 mm, and each size is the one before it cut in
	// half across its long side, rounded down to whole millimetres.
	w, h := 841.0, 1189.0
	for _, name := range []string{"A1", "A2", "A3", "A4", "A5", "A6"} {
		w, h = math.Floor(h/2), w
		if name == "A1" || name == "A2" {
			continue
		}
		gotW, gotH := size(name)
		assert.Equal(t, []float64{w, h}, []float64{gotW, gotH}, name)
	}
	// Inch papers, by the inch of 25.4 mm of 1959.
	for name, inches := range map[string][2]float64{
		"letter": {8.5, 11}, "half-letter": {5.5, 8.5}, "4x6": {4, 6}, "5x8": {5, 8},
	} {
		gotW, gotH := size(name)
		assert.InDelta(t, inches[0]*25.4, gotW, 1e-9, name)
		assert.InDelta(t, inches[1]*25.4, gotH, 1e-9, name)
	}
	_, ok := FindPaper("A44")
	assert.False(t, ok)
	assert.Len(t, PaperNames(), len(Papers()))
}

// What the list of blocks says of an option holds: what is meant where nothing
// is written, and that it does something.
func TestOptionsAreWhatTheirHelpSays(t *testing.T) {
	for _, page := range Pages() {
		for _, block := range page.Blocks {
			assert.NotEmpty(t, block.About, block.Name)
			kind := findBlock(block.Name)
			bare := designReader{&diag.List{}}.block(kind, keysOf(t, ""))
			for i, o := range block.Options {
				assert.NotEmpty(t, o.About, o.Name)
				assert.NotEmpty(t, o.Usual, o.Name)
				require.NotEmpty(t, o.Kind, o.Name)
				if o.Kind != "yes or no" {
					continue
				}
				yes, no := bare, bare
				kind.options[i].read(designReader{&diag.List{}}, &yes, keysOf(t, "yes"))
				kind.options[i].read(designReader{&diag.List{}}, &no, keysOf(t, "no"))
				usual := map[string]BlockSpec{"yes": yes, "no": no}[o.Usual]
				assert.Equal(t, bare, usual, "%s of %s", o.Name, block.Name)
				assert.NotEqual(t, yes, no, "%s of %s", o.Name, block.Name)
			}
		}
		for _, name := range pageKinds[slices.IndexFunc(pageKinds, func(k pageKind) bool { return k.name == page.Kind })].needed {
			assert.True(t, slices.ContainsFunc(page.Blocks, func(b BlockHelp) bool { return b.Name == name && b.Needed }), name)
		}
	}
}

// Every block belongs to a kind of page, and every built-in design says all its
// options, so that a copy of it shows what there is to change.
func TestBuiltInDesignsShowTheirOptions(t *testing.T) {
	on := map[string]bool{}
	for _, page := range Pages() {
		for _, block := range page.Blocks {
			on[block.Name] = true
		}
	}
	for _, kind := range blockKinds {
		assert.True(t, on[kind.name], kind.name)
	}
	for _, d := range Designs() {
		for _, spec := range d.Blocks {
			for _, o := range findBlock(spec.Name).options {
				if spec.Name != "sign-off" {
					assert.Contains(t, spec.Written, o.name, "%s of %s", spec.Name, d.Name)
				}
			}
		}
	}
}

func keysOf(t *testing.T, text string) keys.Value {
	t.Helper()
	if text == "" {
		return keys.Value{}
	}
	var report diag.List
	f := source.New("a.yaml", []byte("a: "+text))
	v := keys.Read(f, 0, len(f.Text), &report).Fields("a", []string{"a"}, &report).Get("a")
	require.Empty(t, report)
	return v
}
