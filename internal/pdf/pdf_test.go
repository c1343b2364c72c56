package pdf

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"

	reader "github.com/ledongthuc/pdf"
	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	imagefont "golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"coldwright/internal/draw"
	"coldwright/internal/typeface"
)

// printIn names the variable that makes this test binary write the sample and
// its digest instead of testing.
const printIn = "COLDWRIGHT_PDF_DIGEST"

func TestMain(m *testing.M) {
	if os.Getenv(printIn) != "" {
		out, err := Write(sample(3))
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		fmt.Print(digest(out))
		os.Exit(0)
	}
	api.DisableConfigDir() // the validator would write to the home folder
	os.Exit(m.Run())
}

func digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

func written(t testing.TB, doc *draw.Document) []byte {
	t.Helper()
	out, err := Write(doc)
	require.NoError(t, err)
	return out
}

func opened(t testing.TB, file []byte) *reader.Reader {
	t.Helper()
	r, err := reader.NewReader(bytes.NewReader(file), int64(len(file)))
	require.NoError(t, err)
	return r
}

// valid holds a file against an independent library's reading of ISO 32000-1.
func valid(t testing.TB, file []byte) {
	t.Helper()
	conf := model.NewDefaultConfiguration()
	conf.ValidationMode = model.ValidationStrict
	require.NoError(t, api.Validate(bytes.NewReader(file), conf))
}

func TestFilesAreValid(t *testing.T) {
	for _, pages := range []int{1, 2, 25} {
		valid(t, written(t, sample(pages)))
	}
	bare := &draw.Document{Width: draw.Pt(612), Height: draw.Pt(792), Pages: make([]draw.Page, 2)}
	valid(t, written(t, bare))
	wide := sample(1)
	wide.Width, wide.Height = wide.Height, wide.Width
	file := written(t, wide)
	valid(t, file)
	box := opened(t, file).Page(1).V.Key("MediaBox")
	assert.InDelta(t, 841.89, box.Index(2).Float64(), 0.005) // ISO 216: A4 is 210 by 297 mm
	assert.InDelta(t, 595.28, box.Index(3).Float64(), 0.005)
}

// lines are the texts of a page, each line whole, read by another library.
func lines(p reader.Page) []string {
	var out []string
	last := -1.0
	for _, piece := range p.Content().Text {
		if piece.Y != last {
			out = append(out, "")
			last = piece.Y
		}
		out[len(out)-1] += piece.S
	}
	return out
}

func TestTextReadsBack(t *testing.T) {
	r := opened(t, written(t, sample(2)))
	require.Equal(t, 2, r.NumPage())
	for n := 1; n <= 2; n++ {
		got := lines(r.Page(n))
		for _, w := range words {
			assert.Contains(t, got, w)
		}
		assert.Contains(t, got, fmt.Sprintf("Step %d", n))
		assert.Contains(t, got, fmt.Sprintf("QC-%d r1", n))
	}
}

// Lines broken by layout read back with a space between their words; pieces of
// one word, raised marks and words broken at a hyphen without.
func TestWordsStayApart(t *testing.T) {
	at := func(x, y float64, s string) draw.Text {
		return draw.Text{At: draw.Point{X: draw.Pt(x), Y: draw.Pt(y)}, Size: draw.Pt(10), Text: s}
	}
	wide := typeface.Get(draw.Regular).Width("grade", draw.Pt(10)).Points()
	raised := at(10+wide, 16, "1")
	raised.Size = draw.Pt(6)
	for _, c := range []struct {
		items []draw.Item
		want  string
	}{
		{[]draw.Item{at(10, 20, "one grade"), at(10, 34, "before the next")}, "one grade before the next"},
		{[]draw.Item{at(10, 20, "one grade "), at(10, 34, "before")}, "one grade before"},
		{[]draw.Item{at(10, 20, "one grade"), at(10, 34, " before")}, "one grade before"},
		{[]draw.Item{at(10, 20, "rev 8"), draw.Line{}, at(200, 20, "page 1")}, "rev 8 page 1"},
		{[]draw.Item{at(200, 20, "page 1"), at(10, 20, "rev 8")}, "page 1 rev 8"},
		{[]draw.Item{at(10, 20, "grade"), at(10+wide, 20, "s")}, "grades"},
		{[]draw.Item{at(10, 20, "grade"), raised, at(10+wide+4, 20, ",")}, "grade1,"},
		{[]draw.Item{at(10, 20, "gold-"), at(10, 34, "plated")}, "gold-plated"},
		{[]draw.Item{at(10, 20, "stop –"), at(10, 34, "then rinse")}, "stop – then rinse"},
		{[]draw.Item{at(10, 20, "-"), at(10, 34, "then")}, "- then"},
	} {
		got := ""
		for _, piece := range opened(t, written(t, one(c.items...))).Page(1).Content().Text {
			got += piece.S
		}
		assert.Equal(t, c.want, got)
	}
}

// Every character of every face reads back as itself, and each is a glyph of
// its own: otherwise one would read back as another.
func TestEveryCharacterReadsBack(t *testing.T) {
	for _, style := range typeface.Styles {
		face := typeface.Get(style)
		var all []rune
		seen := map[uint16]rune{}
		for r := rune(0x21); r <= 0xFFFF; r++ {
			if !face.Has(r) {
				continue
			}
			g := face.Glyph(r)
			if other, twice := seen[g]; twice {
				t.Errorf("%s: U+%04X and U+%04X are one glyph", face.Name(), r, other)
			}
			seen[g] = r
			all = append(all, r)
		}
		doc := &draw.Document{Width: draw.MM(210), Height: draw.MM(297), Pages: make([]draw.Page, 1)}
		var want []string
		for i := 0; i < len(all); i += 40 {
			s := string(all[i:min(i+40, len(all))])
			want = append(want, s)
			doc.Pages[0].Runs = append(doc.Pages[0].Runs, draw.Run{Role: draw.Paragraph, Items: []draw.Item{
				draw.Text{At: draw.Point{X: 0, Y: draw.Pt(float64(20 + i/2))}, Style: style, Size: draw.Pt(9), Text: s}}})
		}
		file := written(t, doc)
		valid(t, file)
		assert.Equal(t, want, lines(opened(t, file).Page(1)), face.Name())
	}
}

// The widths in the file are those golang.org/x/image/font/sfnt reads from the
// face, in thousandths of the size.
func TestWidthsAreThoseOfTheFace(t *testing.T) {
	data, err := os.ReadFile("../typeface/fonts/IBMPlexSans-Bold.ttf")
	require.NoError(t, err)
	other, err := sfnt.Parse(data)
	require.NoError(t, err)
	var buf sfnt.Buffer
	text := "Wim—š"
	page := opened(t, written(t, one(draw.Text{Style: draw.Bold, Size: draw.Pt(20), Text: text}))).Page(1)
	require.Len(t, page.Fonts(), 1)
	font := page.Font(page.Fonts()[0]).V
	assert.Contains(t, font.Key("BaseFont").Name(), "+IBMPlexSans-Bold")
	widths := map[int]float64{}
	w := font.Key("DescendantFonts").Index(0).Key("W")
	for i := 0; i < w.Len(); i += 2 {
		for k := range w.Index(i + 1).Len() {
			widths[int(w.Index(i).Int64())+k] = w.Index(i + 1).Index(k).Float64()
		}
	}
	for _, r := range text {
		g, err := other.GlyphIndex(&buf, r)
		require.NoError(t, err)
		advance, err := other.GlyphAdvance(&buf, g, fixed.I(1000), imagefont.HintingNone)
		require.NoError(t, err)
		assert.InDelta(t, float64(advance)/64, widths[int(g)], 0.5, string(r))
	}
}

func TestPlacesOnThePage(t *testing.T) {
	doc := one(draw.Text{At: draw.Point{X: draw.Pt(50), Y: draw.Pt(60)}, Size: draw.Pt(20), Text: "W"})
	pieces := opened(t, written(t, doc)).Page(1).Content().Text
	require.Len(t, pieces, 1)
	// Down from the top left corner in a drawing, up from the bottom in a PDF.
	assert.InDelta(t, 50, pieces[0].X, 0.011)
	assert.InDelta(t, 841.89-60, pieces[0].Y, 0.011)
	assert.InDelta(t, 20, pieces[0].FontSize, 0.011)
}

func TestSameBytes(t *testing.T) {
	first := written(t, sample(3))
	assert.Equal(t, digest(first), digest(written(t, sample(3))))
	for _, env := range [][]string{
		{"TZ=UTC", "GOMAXPROCS=1"},
		{"TZ=Pacific/Kiritimati", "GOMAXPROCS=7"},
		{"TZ=America/Los_Angeles", "LANG=tr_TR.UTF-8", "GOGC=5"},
	} {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(append(os.Environ(), printIn+"=1"), env...)
		cmd.Dir = t.TempDir()
		out, err := cmd.Output()
		require.NoError(t, err)
		assert.Equal(t, digest(first), string(out), strings.Join(env, " "))
	}
}

// What has been written before must not show: a subset from the store, a new
// one, and one past the bound of the store are the same.
func TestSameBytesWhateverWasWrittenBefore(t *testing.T) {
	empty := func() {
		kept.Lock()
		clear(kept.programs)
		kept.Unlock()
	}
	empty()
	want := digest(written(t, sample(1)))
	written(t, sheetOf([]string{"Ж", "Ω", "ł", "é"}))
	assert.Equal(t, want, digest(written(t, sample(1))))
	empty()
	kept.Lock()
	for i := range maxKept {
		kept.programs[fmt.Sprint(i)] = nil
	}
	kept.Unlock()
	assert.Equal(t, want, digest(written(t, sample(1))))
	assert.Len(t, kept.programs, maxKept)
	empty()
}

func TestManyAtOnce(t *testing.T) {
	want := digest(written(t, sample(2)))
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 4 {
				out, err := Write(sample(2))
				assert.NoError(t, err)
				assert.Equal(t, want, digest(out))
			}
		})
	}
	wg.Wait()
}

// one is a document of one page with the items given.
func one(items ...draw.Item) *draw.Document {
	return &draw.Document{Width: draw.MM(210), Height: draw.MM(297),
		Pages: []draw.Page{{Runs: []draw.Run{{Role: draw.Paragraph, Items: items}}}}}
}

func TestErrors(t *testing.T) {
	text := func(s string) draw.Text { return draw.Text{Size: draw.Pt(10), Text: s} }
	linked := text("here")
	linked.Link = "#nowhere"
	styled := text("bold")
	styled.Style = 9
	marked := one(text("a"))
	marked.Bookmarks = []draw.Bookmark{{Title: "Rim", Anchor: "rim"}}
	dated := one(text("a"))
	dated.Date = "2 March 2026"
	tongue := one(text("a"))
	tongue.Language = "en GB)"
	role := one(text("a"))
	role.Pages[0].Runs[0].Role = "Span"
	flat := one()
	flat.Height = 0
	huge := one()
	huge.Width = draw.Pt(14401)
	short := colours()
	short.Samples = short.Samples[1:]
	for name, c := range map[string]struct {
		doc  *draw.Document
		says string
	}{
		"no document":       {nil, "no page"},
		"no pages":          {&draw.Document{Width: 1, Height: 1}, "no page"},
		"no height":         {flat, "cannot be written"},
		"too wide":          {huge, "cannot be written"},
		"uncovered":         {one(text("a硝b")), `IBMPlexSans-Regular has no '硝' (U+785D)`},
		"above U+FFFF":      {one(text("grind 😀")), `no '😀' (U+1F600)`},
		"tab":               {one(text("a\tb")), "U+0009"},
		"no size":           {one(draw.Text{Text: "a"}), "no size"},
		"no such face":      {one(styled), "face"},
		"link to nowhere":   {one(linked), `page 1: a link leads to "#nowhere"`},
		"bookmark":          {marked, `bookmark "Rim" leads to "rim"`},
		"two of one name":   {one(draw.Anchor{Name: "rim"}, draw.Anchor{Name: "rim"}), `two places are named "rim"`},
		"date":              {dated, `"2 March 2026" is not a date`},
		"language":          {tongue, "language"},
		"role":              {role, `"Span"`},
		"no image":          {one(draw.Picture{}), "missing"},
		"short image":       {one(draw.Picture{Image: short}), "160 by 120"},
		"flat image":        {one(draw.Picture{Image: &draw.Image{Grey: true}}), "0 by 0"},
		"shape without":     {one(draw.Path{Stroke: 1, Segs: []draw.Seg{{Op: draw.LineTo}}}), "begin with a move"},
		"shape of a kind":   {one(draw.Path{Stroke: 1, Segs: []draw.Seg{{}, {Op: 7}}}), "kind 7"},
		"nothing to draw":   {one(nil), "cannot be drawn"},
		"pointer to a text": {one(&draw.Text{Text: "a", Size: 1}), "cannot be drawn"},
	} {
		out, err := Write(c.doc)
		assert.Nil(t, out, name)
		if assert.Error(t, err, name) {
			assert.Contains(t, err.Error(), c.says, name)
			assert.NotContains(t, err.Error(), "drawing failed", name)
		}
	}
}

// A fault that panics comes out as an error.
func TestPanicsBecomeErrors(t *testing.T) {
	assert.ErrorContains(t, guarded(func() error { panic("broken") }), "drawing failed: broken")
	good := func() []draw.Page { return sample(1).Pages }
	err := WriteParts(io.Discard, sample(1), []func() []draw.Page{good, func() []draw.Page { panic("broken") }})
	assert.ErrorContains(t, err, "page 2: drawing failed: broken")
}

func TestTextThatIsNotUTF8(t *testing.T) {
	// Layout replaces it; here each stray byte is the sign for a lost character,
	// which the face holds.
	doc := one(draw.Text{Size: draw.Pt(10), Text: "a\xff\xfeb\xe2\x82"})
	doc.Title, doc.Bookmarks = "t\xff\x00\n", nil
	file := written(t, doc)
	valid(t, file)
	assert.Equal(t, []string{"a\uFFFD\uFFFDb\uFFFD\uFFFD"}, lines(opened(t, file).Page(1)))
}

// A document of many parts reads as its pages do, and its parts are parts of
// its structure too; links and bookmarks lead across them.
func TestParts(t *testing.T) {
	doc := sample(5)
	whole := opened(t, written(t, doc))
	var parts []func() []draw.Page
	for _, cut := range [][2]int{{0, 2}, {2, 2}, {2, 3}, {3, 5}} {
		parts = append(parts, func() []draw.Page { return doc.Pages[cut[0]:cut[1]] })
	}
	var out bytes.Buffer
	require.NoError(t, WriteParts(&out, doc, parts))
	valid(t, out.Bytes())
	r := opened(t, out.Bytes())
	require.Equal(t, 5, r.NumPage())
	for n := 1; n <= 5; n++ {
		assert.Equal(t, lines(whole.Page(n)), lines(r.Page(n)))
		page := r.Page(n).V
		dest := page.Key("Annots").Index(1).Key("Dest")
		assert.Equal(t, r.Page(1).V.String(), dest.Index(0).String())
		assert.EqualValues(t, n-1, page.Key("StructParents").Int64())
		assert.Equal(t, whole.Page(n).V.Key("Resources").Key("XObject").Keys(), page.Key("Resources").Key("XObject").Keys())
	}
	assert.Equal(t, 3, bytes.Count(out.Bytes(), []byte("/Subtype/Image")))
	var want, got []string
	roles(t, root(t, written(t, sample(2))).Key("StructTreeRoot").Key("K").Index(0), 1, &want)
	want[0] = " Part"
	tree := root(t, out.Bytes()).Key("StructTreeRoot")
	roles(t, tree.Key("K").Index(0), 0, &got)
	assert.Equal(t, append([]string{"Document"}, want...), got[:1+len(want)])
	assert.Equal(t, 4, strings.Count(strings.Join(got, "\n"), "\n Part"))
	nums := tree.Key("ParentTree").Key("Nums")
	require.Equal(t, 10, nums.Len())
	assert.Equal(t, r.Page(5).V.String(), nums.Index(9).Index(0).Key("Pg").String())

	var again bytes.Buffer
	require.NoError(t, WriteParts(&again, doc, parts))
	assert.Equal(t, digest(out.Bytes()), digest(again.Bytes()))

	assert.ErrorContains(t, WriteParts(io.Discard, doc, append(parts, parts[0])), `page 6: two places are named`)
	assert.ErrorContains(t, WriteParts(io.Discard, doc, []func() []draw.Page{parts[1], parts[1]}), "no page")
	assert.ErrorIs(t, WriteParts(full{}, doc, parts), errFull)
}

// full is a disk with no room left.
type full struct{}

var errFull = errors.New("no room")

func (full) Write([]byte) (int, error) { return 0, errFull }
