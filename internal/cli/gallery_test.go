package cli

import (
	"bytes"
	"cmp"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/sheet"
	"coldwright/internal/testkit"
)

// galleryWide is the width of a picture of the README's gallery, in dots.
const galleryWide = 420

// gallery are the pages the README shows: the demo house, each design.
var gallery = []struct {
	name, design, file string
	page               int
}{
	{"process-sheet-1", "process sheet", "cast-weight-r*-process-sheet.pdf", 1},
	{"process-sheet-2", "process sheet", "cast-weight-r*-process-sheet.pdf", 2},
	{"bench-card", "bench card", "cast-weight-r*-bench-card.pdf", 1},
	{"training-sheet", "training sheet", "cast-weight-r*-training-sheet.pdf", 1},
	{"house-book", "house book", "house-book-r*.pdf", 2},
	{"grade-chart", "grade chart", "grade-chart-r*.pdf", 1},
}

// TestGallery holds the README's pictures of printed pages to be small, shown,
// of every design, and of the pages as they print today. With -update it makes
// them anew, which needs pdftoppm.
func TestGallery(t *testing.T) {
	root := testkit.Root(t)
	readme := string(testkit.Read(t, filepath.Join(root, "README.md")))
	shown := map[string]bool{}
	for _, g := range gallery {
		shown[g.design] = true
		at := "testdata/readme/gallery/" + g.name + ".png"
		assert.Contains(t, readme, "]("+at+")")
		if testkit.Updating() {
			continue
		}
		file := testkit.Read(t, filepath.Join(root, filepath.FromSlash(at)))
		assert.LessOrEqual(t, len(file), 40<<10, at)
		picture, err := png.Decode(bytes.NewReader(file))
		require.NoError(t, err, at)
		assert.IsType(t, (*image.Paletted)(nil), picture, at)
		assert.Equal(t, galleryWide, picture.Bounds().Dx(), at)
	}
	for _, d := range sheet.Designs() {
		assert.Truef(t, shown[d.Name], "the gallery has no %s", d.Name)
	}

	tool(t, "pdftoppm", "poppler-utils")
	out := t.TempDir()
	recipes := filepath.Join(root, "recipes")
	one := filepath.Join(recipes, "cast-weight.md")
	var said bytes.Buffer
	for _, d := range sheet.Designs() {
		what := one
		if d.Page == sheet.BookPage || d.Page == sheet.ChartPage {
			what = recipes
		}
		Main([]string{"print", "--today", "2026-11-25", "--quiet", "--out", out, "--as", d.Name, what}, strings.NewReader(""), &said, &said)
	}
	for _, g := range gallery {
		files := testkit.Files(t, out, g.file)
		require.Len(t, files, 1, said.String())
		number := fmt.Sprint(g.page)
		page := ran(t, testkit.Read(t, files[0]), "-scale-to-x", fmt.Sprint(galleryWide), "-scale-to-y", "-1", "-f", number, "-l", number)
		require.Len(t, page, 1)
		path := filepath.Join(root, "testdata", "readme", "gallery", g.name+".png")
		if testkit.Updating() {
			var file bytes.Buffer
			best := png.Encoder{CompressionLevel: png.BestCompression}
			require.NoError(t, best.Encode(&file, fewColours(page[0])))
			require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
			require.NoError(t, os.WriteFile(path, file.Bytes(), 0o644))
			continue
		}
		picture, err := png.Decode(bytes.NewReader(testkit.Read(t, path)))
		require.NoError(t, err)
		require.Equal(t, page[0].height, picture.Bounds().Dy(), g.name)
		// Another release of the tool softens edges a little otherwise; other
		// words give several times this.
		assert.Lessf(t, apart(page[0], picture), 6., "%s is no longer what prints: run the test with -update", g.name)
	}
}

// apart is the mean difference of the dots of two pictures, white to black 255.
func apart(r raster, p image.Image) float64 {
	sum := 0
	for y := range r.height {
		for x := range r.width {
			was, is := color.GrayModel.Convert(p.At(x, y)).(color.Gray), r.at(x, y)
			now := color.GrayModel.Convert(color.RGBA{is[0], is[1], is[2], 255}).(color.Gray)
			sum += max(int(was.Y), int(now.Y)) - min(int(was.Y), int(now.Y))
		}
	}
	return float64(sum) / float64(r.width*r.height)
}

// fewColours is a page in the 32 colours it has most of, each dot in the
// nearest.
func fewColours(r raster) *image.Paletted {
	count := map[[3]byte]int{}
	for i := 0; i < len(r.dots); i += 3 {
		// Neighbouring shades count as one.
		dot := [3]byte(r.dots[i:])
		for k, v := range dot {
			dot[k] = byte((int(v) + 8) / 17 * 17)
		}
		count[dot]++
	}
	var all [][3]byte
	for dot := range count {
		all = append(all, dot)
	}
	slices.SortFunc(all, func(a, b [3]byte) int {
		return cmp.Or(count[b]-count[a], bytes.Compare(a[:], b[:]))
	})
	var palette color.Palette
	for _, dot := range all[:min(32, len(all))] {
		palette = append(palette, color.RGBA{dot[0], dot[1], dot[2], 255})
	}
	picture := image.NewPaletted(image.Rect(0, 0, r.width, r.height), palette)
	nearest := map[[3]byte]uint8{}
	for y := range r.height {
		for x := range r.width {
			dot := r.at(x, y)
			i, known := nearest[dot]
			if !known {
				i = uint8(palette.Index(color.RGBA{dot[0], dot[1], dot[2], 255}))
				nearest[dot] = i
			}
			picture.Pix[picture.PixOffset(x, y)] = i
		}
	}
	return picture
}
