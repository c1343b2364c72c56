package cli

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-pdf/fpdf"
	"github.com/stretchr/testify/require"

	"coldwright/internal/draw"
	"coldwright/internal/layout"
	"coldwright/internal/parse"
	"coldwright/internal/pdf"
	"coldwright/internal/process"
	"coldwright/internal/sheet"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
)

// demo is the demo house and n recipes: those of the demo house over and over,
// each time with other ids, titles and minutes.
func demo(b testing.TB, n int) (*house, []*source.File) {
	b.Helper()
	root := filepath.Join(testkit.Root(b), "recipes")
	e := &env{}
	h, err := e.openHouse(root)
	require.NoError(b, err)
	names, problems := recipeFiles(root)
	require.Empty(b, problems)
	files := make([]*source.File, n)
	for i := range files {
		name := names[i%len(names)]
		words := string(testkit.Read(b, name))
		words = strings.Replace(words, "\ntitle: ", fmt.Sprintf("\ntitle: No. %d, ", i), 1)
		words = strings.Replace(words, "\nrecipe: ", fmt.Sprintf("\nrecipe: n%d-", i), 1)
		words = strings.Replace(words, "- Time: 8 min", fmt.Sprintf("- Time: %d min", 5+i%7), 1)
		files[i] = source.New(fmt.Sprintf("%s/n%d-%s", filepath.Dir(name), i, filepath.Base(name)), []byte(words))
	}
	return h, files
}

// BenchmarkPrint sets the printing of 100 sheets, from the recipe read to the
// finished file, beside the bare library drawing the same words: by its own
// UTF-8 fonts, and by the product's writer alone.
func BenchmarkPrint(b *testing.B) {
	h, files := demo(b, 100)
	parser := parse.New(h.House)
	design := sheet.FindDesign("process sheet")
	plans := make([]*process.Plan, len(files))
	pictures := make([]sheet.Pictures, len(files))
	pages := make([]*draw.Document, len(files))
	lay := func(i int) *draw.Document {
		content, _ := sheet.Build(plans[i], design, sheet.Options{Pictures: pictures[i]})
		doc, _ := layout.Lay(content)
		return doc
	}
	for i, f := range files {
		r, list := parser.Parse(f)
		require.Empty(b, list)
		plans[i] = process.Of(r, h.House)
		pictures[i], list = loadPictures(h, filepath.Join(testkit.Root(b), "recipes"), r)
		require.Empty(b, list)
		pages[i] = lay(i)
	}
	b.Run("ours", func(b *testing.B) {
		for b.Loop() {
			for i := range plans {
				if _, err := pdf.Write(lay(i)); err != nil {
					b.Fatal(err)
				}
			}
		}
	})
	b.Run("bare-utf8", func(b *testing.B) {
		faces := faceFiles(b)
		for b.Loop() {
			for _, doc := range pages {
				bareUTF8(b, doc, faces)
			}
		}
	})
	b.Run("writer-alone", func(b *testing.B) {
		for b.Loop() {
			for _, doc := range pages {
				if _, err := pdf.Write(doc); err != nil {
					b.Fatal(err)
				}
			}
		}
	})
}

// faceFiles are the four faces as files.
func faceFiles(b testing.TB) [4][]byte {
	var faces [4][]byte
	for style, name := range map[draw.Style]string{draw.Regular: "Regular", draw.Italic: "Italic", draw.SemiBold: "SemiBold", draw.Bold: "Bold"} {
		faces[style] = testkit.Read(b, filepath.Join(testkit.Root(b), "internal/typeface/fonts/IBMPlexSans-"+name+".ttf"))
	}
	return faces
}

// bareUTF8 draws the words of a document with the bare library's own fonts.
func bareUTF8(b testing.TB, doc *draw.Document, faces [4][]byte) {
	f := newBare(doc, faces)
	f.draw(doc.Pages)
	f.end(b)
}

// bare is the bare library with a face of its own for each of ours.
type bare struct{ *fpdf.Fpdf }

func newBare(doc *draw.Document, faces [4][]byte) bare {
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: doc.Width.Points(), Ht: doc.Height.Points()}})
	for style, face := range faces {
		f.AddUTF8FontFromBytes(fmt.Sprint("f", style), "", face)
	}
	return bare{f}
}

func (f bare) draw(pages []draw.Page) {
	for _, page := range pages {
		f.AddPage()
		for _, run := range page.Runs {
			for _, item := range run.Items {
				if t, ok := item.(draw.Text); ok {
					f.SetFont(fmt.Sprint("f", int(t.Style)), "", t.Size.Points())
					f.Text(t.At.X.Points(), t.At.Y.Points(), t.Text)
				}
			}
		}
	}
}

func (f bare) end(b testing.TB) {
	var out bytes.Buffer
	require.NoError(b, f.Output(&out))
}
