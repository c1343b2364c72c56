package cli

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/layout"
	"coldwright/internal/parse"
	"coldwright/internal/pdf"
	"coldwright/internal/picture"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// made is a recipe of a given size.
type made struct {
	steps, surfaces int
	pictures        bool
	title           string
}

const (
	shortTitle = "Cup"
	longTitle  = "Kiln-cast bowl of lead crystal with a bright rim, a fine matte outside and an inside left as it came out of the mould twice"
)

// everySize has every pair of a number of steps, of surfaces, with or without
// pictures, and a title of 3 or over 120 characters.
var everySize = []made{
	{1, 1, false, shortTitle}, {1, 9, true, longTitle},
	{3, 1, true, longTitle}, {3, 9, false, shortTitle},
	{19, 1, false, longTitle}, {19, 9, true, shortTitle},
	{60, 1, true, shortTitle}, {60, 9, false, longTitle},
}

func (m made) id() string {
	id := fmt.Sprintf("size-%d-%d", m.steps, m.surfaces)
	if m.pictures {
		id += "-shown"
	}
	return id
}

// text is the recipe: no two steps say the same, so that each word is looked up
// where it belongs, and amounts stand at every place of a line.
func (m made) text() string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("---\nrecipe: %s\ntitle: %s\nrevision: 4\ndate: 2026-10-05\napproved: studio lead\nglass: soda-lime", m.id(), m.title)
	line("piece: {form: cast, size: 120 x 80 x 45 mm, mould: removed}\nsurfaces:")
	for k := range m.surfaces {
		line("  - {name: face %c, shape: flat, area: %d cm², from: \"sawn, diamond 100 mesh\", to: bright polish, tile: T5}", 'a'+k, 40+k)
	}
	line("stop: Bright faces. The seam stays 1 mm wide.\ncautions: [sharp arris, dry powder]\n---\n\nTakes a sawn casting to clear faces.\n")
	for k := range m.steps {
		s := [][5]string{
			{"R325", "", "LAP4 at 200 rpm", "flood", ""},
			{"S220", "iron lap, 600 mm", "IRON at 75 rpm", "drip", "cream"},
			{"P2F", "FELT-P", "LAP4 at 150 rpm", "damp", "mud"},
			{"CE", "FELT-C", "LAP4 at 150 rpm", "damp", "cream"},
		}[k%4]
		line("## Round %d of face %c\n\n- Surface: face %c\n- Abrasive: %s", k+1, 'a'+k%m.surfaces, 'a'+k%m.surfaces, s[0])
		if s[1] != "" {
			line("- Medium: %s", s[1])
		}
		line("- Machine: %s\n- Water: %s", s[2], s[3])
		if s[4] != "" {
			line("- Mix: %s\n- Charge: every 2 min", s[4])
		}
		line("- Time: %d min\n- Bench: %c\n- Clean-down: rinse piece, plate and hands, %d times over\n", 4+k%9, 'A'+k%5, k+2)
		line("1. Set down %d mm from the rim, no more than %d mm in, and keep to 600 rpm or 10 m/s as the wheel is worn; after %d min turn the piece a quarter and wait 30 s, with 2F and 1.5 µm alike.", 10+k, 20+k, 1+k%7)
		line("2. Lift off in turn %d.\n   - Key point: slowly, never at once, count %d.\n   - Reason: the edge chips after stroke %d.\n", k+1, k+3, k+5)
		if m.pictures {
			line("![The path in round %d](pictures/%s)\n", k+1, []string{"lap-path.png", "hold-block.png", "seam-and-tape.png"}[k%3])
		}
		line("- [ ] Ten-power: one size of pit, field %d\n- [ ] Raking lamp: no line of round %d left\n", k+1, k)
	}
	return b.String()
}

// demoPrints is the house of the demo recipes, with its pictures.
type demoPrints struct {
	house  *trade.House
	parser *parse.Parser
	shown  sheet.Pictures
}

func newDemo(t testing.TB) *demoPrints {
	t.Helper()
	d := &demoPrints{house: cardHouse(t), shown: sheet.Pictures{}}
	d.parser = parse.New(d.house)
	for _, name := range []string{"lap-path.png", "hold-block.png", "seam-and-tape.png"} {
		image, err := picture.Load(filepath.Join(testkit.Root(t), "recipes"), ".", "pictures/"+name, 700)
		require.NoError(t, err)
		d.shown["pictures/"+name] = image
	}
	return d
}

func (d *demoPrints) read(t testing.TB, m made) *recipe.Recipe {
	r, found := d.parser.Parse(source.New(m.id()+".md", []byte(m.text())))
	require.Empty(t, found, m.id())
	require.Len(t, r.Steps, m.steps)
	return r
}

// print makes the file of a recipe; nil and the findings where it does not fit.
func (d *demoPrints) print(t testing.TB, r *recipe.Recipe, design string, o sheet.Options) ([]byte, *sheet.Sheet, diag.List) {
	t.Helper()
	o.Pictures = d.shown
	content, found := sheet.Build(process.Of(r, d.house), sheet.FindDesign(design), o)
	require.NotNil(t, content, "%v", found)
	doc, more := layout.Lay(content)
	found.Add(more...)
	if doc == nil {
		return nil, content, found
	}
	file, err := pdf.Write(doc)
	require.NoError(t, err)
	return file, content, found
}

// requirePaper holds every word of a printed file against what holds of every
// page: within the margins, and none on another.
func requirePaper(t testing.TB, name string, file []byte, page sheet.PageSetup) []inked {
	t.Helper()
	const pt = 72 / 25.4
	left, right := page.Left*pt-.1, (page.Width-page.Right)*pt+.1
	top, bottom := page.Top*pt-.1, (page.Height-page.Bottom)*pt+.1
	words := byPoppler(t, file)
	require.NotEmpty(t, words)
	for i, w := range words {
		require.Truef(t, w.left >= left && w.right <= right && w.top() >= top && w.base <= bottom, "%s: %q leaves the margins: %+v", name, w.text, w)
		for _, v := range words[max(0, i-400):i] {
			if v.base > w.base+30 || v.base < w.base-30 {
				continue
			}
			if v.page == w.page && v.left+.1 < w.right && w.left+.1 < v.right && v.top()+.1 < w.base && w.top()+.1 < v.base {
				require.Failf(t, "text on text", "%s: %+v and %+v", name, v, w)
			}
		}
	}
	// No line, shape or picture either, at 50 dots to the inch; half a millimetre
	// is left to what stands higher than capitals.
	for n, r := range rasters(t, file, 50, 1, len(words), false) {
		clear := func(mm float64) int { return int(math.Floor((mm-.6)/25.4*50)) - 1 }
		first, last := clear(page.Left)+1, r.width-1-clear(page.Right)
		upper, lower := clear(page.Top), r.height-1-clear(page.Bottom)
		for y := range r.height {
			for x := 0; x < r.width; x++ {
				if y > upper && y < lower && x == first {
					// Over the words to the other margin.
					x = last
				}
				if r.at(x, y) != [3]byte{255, 255, 255} {
					require.Failf(t, "the margin is printed on", "%s: page %d at %d, %d of %d × %d dots", name, n+1, x, y, r.width, r.height)
				}
			}
		}
	}
	return words
}

var amount = regexp.MustCompile(`\d+(?:\.\d+)? (?:mm|rpm|m/s|min|s|µm|cm²|mesh)\b`)

// requireAmountsWhole: a number and its unit are never on two lines.
func requireAmountsWhole(t testing.TB, name, text string, words []inked) {
	t.Helper()
	pairs := map[string]bool{}
	for _, a := range amount.FindAllString(text, -1) {
		pairs[a] = true
	}
	seen := 0
	for i, w := range words[1:] {
		before := words[i]
		if pairs[strings.TrimLeft(before.text, "(")+" "+strings.TrimRight(w.text, ".,;†)")] {
			seen++
			require.Truef(t, before.page == w.page && math.Abs(before.base-w.base) < .1, "%s: %q is torn from %q", name, before.text, w.text)
		}
	}
	require.NotZero(t, seen, name)
}

// inOrder finds texts one behind the other.
func inOrder(t testing.TB, name, all string, texts []string) {
	t.Helper()
	rest := all
	for _, want := range texts {
		want = squeezed(want)
		at := strings.Index(rest, want)
		require.GreaterOrEqualf(t, at, 0, "%s: %q is lost or out of order", name, want)
		rest = rest[at+len(want):]
	}
}

// bodyOf are the lines an author wrote, section by section, without the facts,
// read without our own reader.
func bodyOf(text string) (sections [][]string) {
	_, body, _ := strings.Cut(text, "\n---\n")
	fact := regexp.MustCompile(`^- [A-Z][a-z-]+( to| if)?: `)
	mark := regexp.MustCompile(`^\s*(\d+\. |- \[.\] |- |## |# |> )?(Key point: |Reason: |Right: |Wrong: |Warning: |Caution: |Notice: )?`)
	shown := regexp.MustCompile(`!\[([^\]]*)\]\([^)]*?(?: "([^"]*)")?\)`)
	for line := range strings.Lines(body) {
		line = strings.TrimRight(line, "\n")
		if line == "" || fact.MatchString(line) {
			continue
		}
		if strings.HasPrefix(line, "#") || len(sections) == 0 {
			sections = append(sections, nil)
		}
		line = shown.ReplaceAllString(line, "$1")
		last := len(sections) - 1
		sections[last] = append(sections[last], mark.ReplaceAllString(line, ""))
	}
	return sections
}

// TestEverySizePrints prints recipes of every size by every design and holds
// what is on the paper against what must hold of each, by readers that are not
// ours. A card that does not fit says so.
func TestEverySizePrints(t *testing.T) {
	testkit.Long(t)
	tool(t, "pdftotext", "poppler-utils")
	api.DisableConfigDir()
	var cards atomic.Int32
	for _, m := range everySize {
		t.Run(m.id(), func(t *testing.T) {
			t.Parallel()
			cards.Add(int32(printEveryWay(t, m)))
		})
	}
	t.Cleanup(func() { assert.Greater(t, int(cards.Load()), 6) })
}

// printEveryWay prints one recipe by every design and says how many cards fitted.
func printEveryWay(t *testing.T, m made) (cards int) {
	d := newDemo(t)
	r := d.read(t, m)
	for _, as := range []struct {
		design string
		o      sheet.Options
	}{
		{"process sheet", sheet.Options{}}, {"training sheet", sheet.Options{Paper: "Letter"}},
		{"bench card", sheet.Options{}}, {"bench card", sheet.Options{Paper: "4x6", Portrait: true}}, {"bench card", sheet.Options{Paper: "A4", Portrait: true}},
	} {
		name := m.id() + " as " + as.design + " " + as.o.Paper
		file, content, found := d.print(t, r, as.design, as.o)
		if file == nil {
			require.Equal(t, sheet.CardFitRule, found[len(found)-1].Rule, name)
			require.Regexp(t, `[1-9][0-9]* mm (are missing|more than a face has)`, found[len(found)-1].Message)
			continue
		}
		require.NoError(t, api.Validate(bytes.NewReader(file), nil), name)
		words := requirePaper(t, name, file, content.Page)
		requireAmountsWhole(t, name, m.text(), words)
		if as.design == "bench card" {
			cards++
			requireCardOnPaper(t, name, file, content, words)
			continue
		}
		requireNoHeadingAtFoot(t, name, r, words)
		all := squeezed(withoutFurniture(words))
		if m.surfaces == 9 && m.steps < 9 && as.design == "process sheet" {
			// The order of the tags; the tool takes too long over more.
			all = squeezed(aloud(t, file))
		}
		sections := bodyOf(m.text())
		for i, section := range sections[1:] {
			// The head that the rest of a step has on the next page.
			all = strings.ReplaceAll(all, strconv.Itoa(i+1)+squeezed(section[0])+"continued", "")
		}
		for k, section := range sections {
			if k > 0 && as.design == "process sheet" {
				// The step in full: behind its settings, all it says.
				at := strings.LastIndex(all, squeezed(section[0]))
				require.GreaterOrEqualf(t, at, 0, "%s: %q is lost or out of order", name, section[0])
				all = all[at:]
			}
			if as.design == "process sheet" {
				inOrder(t, name, all, section)
			} else if k > 0 {
				// The work broken down: its parts stand side by side, without
				// pictures.
				for _, line := range section {
					if strings.HasPrefix(line, "The path in round") {
						continue
					}
					require.Contains(t, strings.ToLower(all), strings.ToLower(squeezed(line)), name)
				}
			}
		}
		if as.design == "process sheet" {
			requireStepTable(t, name, m, words)
		}
	}
	return cards
}

// requireCardOnPaper: nothing under 12 pt but what says which card it is and
// the two sentences of guidance, and those not under 8.5; what to look for, the
// cautions and the stop all there.
func requireCardOnPaper(t testing.TB, name string, file []byte, s *sheet.Sheet, words []inked) {
	t.Helper()
	small := strings.Fields(strings.Join([]string{
		s.ID, "rev", fmt.Sprint(s.Revision), "effective", s.Effective, "approved:", s.Approved, s.Mark.String(),
		"page 1 of 2 page 2 of 2 no copy no. ·", s.Card.Guidance,
	}, " "))
	both, _ := inPieces(t, file)
	for _, w := range append(both, words...) {
		if w.size < 11.99 {
			require.GreaterOrEqualf(t, w.size, 8.49, "%s: %q", name, w.text)
			require.Containsf(t, small, w.text, "%s: set in %g pt", name, w.size)
		}
	}
	require.LessOrEqual(t, words[len(words)-1].page, 2, name)
	var b strings.Builder
	for _, w := range words {
		b.WriteString(w.text)
	}
	all := squeezed(b.String())
	require.Contains(t, all, "STOP", name)
	for _, block := range s.Blocks {
		if stop, ok := block.(sheet.Stop); ok {
			require.Contains(t, all, squeezed(stop.Words), name)
		}
	}
}

// printedLine is a run of words on one baseline.
type printedLine struct {
	page        int
	base        float64
	first, text string
}

func linesOf(words []inked) (lines []printedLine) {
	for _, w := range words {
		if n := len(lines) - 1; n >= 0 && lines[n].page == w.page && math.Abs(lines[n].base-w.base) < .1 {
			lines[n].text += w.text
		} else {
			lines = append(lines, printedLine{w.page, w.base, w.text, w.text})
		}
	}
	return lines
}

// withoutFurniture is the text in the order it is drawn, without the lines that
// begin alike at one place of every page that follows the first.
func withoutFurniture(words []inked) string {
	lines := linesOf(words)
	key := func(l printedLine) string { return fmt.Sprintf("%.1f %s", l.base, l.first) }
	on := map[string]map[int]bool{}
	for _, l := range lines {
		if on[key(l)] == nil {
			on[key(l)] = map[int]bool{}
		}
		on[key(l)][l.page] = true
	}
	pages := words[len(words)-1].page
	var b strings.Builder
	for _, l := range lines {
		if pages < 3 || len(on[key(l)]) < pages-1 {
			b.WriteString(l.text)
		}
	}
	return b.String()
}

// requireNoHeadingAtFoot: under the title of a step stands more of it.
func requireNoHeadingAtFoot(t testing.TB, name string, r *recipe.Recipe, words []inked) {
	t.Helper()
	titles := map[string]bool{}
	for i := range r.Steps {
		titles[squeezed(r.Steps[i].Title)] = true
	}
	// The foot is what stands lowest on all.
	pages := map[int][]printedLine{}
	for _, l := range linesOf(words) {
		pages[l.page] = append(pages[l.page], l)
	}
	foots := map[string]int{}
	for _, lines := range pages {
		for _, l := range lines {
			foots[fmt.Sprintf("%.1f %s", l.base, l.text)]++
		}
	}
	for n, lines := range pages {
		slices.SortStableFunc(lines, func(a, b printedLine) int { return int(math.Round(10 * (a.base - b.base))) })
		for len(lines) > 0 && len(pages) > 1 && foots[fmt.Sprintf("%.1f %s", lines[len(lines)-1].base, lines[len(lines)-1].text)] == len(pages) {
			lines = lines[:len(lines)-1]
		}
		require.NotEmptyf(t, lines, "%s: page %d has no words of its own", name, n)
		last := strings.TrimLeft(squeezed(lines[len(lines)-1].text), "0123456789")
		require.Falsef(t, titles[last] && n < len(pages), "%s: page %d ends with %q", name, n, last)
	}
}

// requireStepTable: the head of the table stands on each page the table goes on
// to, every step has its row, and the minutes end one under the other.
func requireStepTable(t testing.TB, name string, m made, words []inked) {
	t.Helper()
	type head struct{ base, min float64 }
	heads := map[int]head{}
	last := inked{}
	for i, w := range words {
		if w.text == "bench" && i > 0 && words[i-1].text == "min" && math.Abs(words[i-1].base-w.base) < .1 {
			_, twice := heads[w.page]
			require.Falsef(t, twice, "%s: two heads on page %d", name, w.page)
			heads[w.page] = head{w.base, words[i-1].right}
		}
		if w.text == "whole" && words[i-1].text == "The" && last.page == 0 {
			last = w
		}
	}
	require.NotEmpty(t, heads, name)
	require.NotZero(t, last.page, "%s: no total", name)
	rows := 0
	minutes := regexp.MustCompile(`^\d+$`)
	for _, w := range words {
		h, ok := heads[w.page]
		if !ok || w.base <= h.base || w.page == last.page && w.base >= last.base-.1 || !minutes.MatchString(w.text) || w.size < 12 {
			continue
		}
		if w.right > h.min-20 && w.left < h.min {
			rows++
			require.InDeltaf(t, h.min, w.right, .6, "%s: %+v", name, w)
		}
	}
	require.Equal(t, m.steps, rows, "%s: rows under a head", name)
}

// TestEveryKindOfFileIsSound prints the demo house as every kind of file and
// holds each against an independent validator and, where they are there, qpdf
// and mutool: none has a word to say.
func TestEveryKindOfFileIsSound(t *testing.T) {
	testkit.Long(t)
	api.DisableConfigDir()
	recipes := filepath.Join(testkit.Root(t), "recipes")
	one := filepath.Join(recipes, "cast-weight.md")
	out := t.TempDir()
	var said bytes.Buffer
	for _, args := range [][]string{
		{one}, {one, "--draft", "--paper", "Letter"}, {one, "--as", "bench card"}, {one, "--as", "bench card", "--paper", "A4", "--punch", "left"},
		{recipes, "--as", "bench card", "--bench", "D", "--portrait", "--sheet", "A4"}, {recipes, "--as", "training sheet"},
		{recipes, "--as", "house book"}, {recipes, "--as", "grade chart"}, {recipes, "--as", "grade chart", "--paper", "A3"},
	} {
		Main(append([]string{"print", "--today", "2026-11-25", "--out", out}, args...), strings.NewReader(""), &said, &said)
	}
	files, err := os.ReadDir(out)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 12, said.String())
	for _, f := range files {
		file := testkit.Read(t, filepath.Join(out, f.Name()))
		require.NoError(t, api.Validate(bytes.NewReader(file), nil), f.Name())
		requireValid(t, f.Name(), file)
	}
}
