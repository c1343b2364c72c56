package pdf

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/go-pdf/fpdf"
	"github.com/stretchr/testify/require"

	"coldwright/internal/draw"
	"coldwright/internal/typeface"
)

// sheetOf is a document of text and lines alone, of about the words a process
// sheet of two pages holds: what is compared below is the same words.
func sheetOf(words []string) *draw.Document {
	doc := sample(1)
	doc.Bookmarks, doc.Pages = nil, nil
	for range 2 {
		page := draw.Page{}
		for i := range 48 {
			at := draw.Point{X: draw.MM(20), Y: draw.MM(20 + 5*float64(i))}
			page.Runs = append(page.Runs, draw.Run{Role: draw.Paragraph, Items: []draw.Item{
				draw.Text{At: at, Style: draw.Style(i % 4), Size: draw.Pt(10.5), Text: words[i%len(words)]},
			}})
		}
		doc.Pages = append(doc.Pages, page)
	}
	return doc
}

// eachText calls visit for every text of a document, and turn for every page.
func eachText(doc *draw.Document, turn func(), visit func(t draw.Text)) {
	for _, page := range doc.Pages {
		turn()
		for _, run := range page.Runs {
			for _, item := range run.Items {
				if t, ok := item.(draw.Text); ok {
					visit(t)
				}
			}
		}
	}
}

// BenchmarkWrite writes a sheet as it is handed out: subset faces, tags,
// metadata, compressed.
func BenchmarkWrite(b *testing.B) {
	doc := sheetOf(words[:3])
	b.ReportAllocs()
	size := 0
	for b.Loop() {
		out, err := Write(doc)
		if err != nil {
			b.Fatal(err)
		}
		size = len(out)
	}
	b.ReportMetric(float64(size), "bytes")
}

// BenchmarkWriteNewSubsets is a sheet whose subsets have not been made before.
func BenchmarkWriteNewSubsets(b *testing.B) {
	doc := sheetOf(words[:3])
	for b.Loop() {
		kept.Lock()
		clear(kept.programs)
		kept.Unlock()
		if _, err := Write(doc); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkBareGlyphs draws the same words with the bare library by the
// glyph-number route, and hands out a file nobody could read: no faces.
func BenchmarkBareGlyphs(b *testing.B) {
	doc := sheetOf(words[:3])
	stubs := map[draw.Style][]byte{}
	for _, s := range typeface.Styles {
		stubs[s] = stub(typeface.Get(s))
	}
	b.ReportAllocs()
	size := 0
	for b.Loop() {
		pdf := fpdf.New("P", "pt", "A4", "")
		pdf.SetAutoPageBreak(false, 0)
		for _, s := range typeface.Styles {
			pdf.AddFontFromBytes(typeface.Get(s).Name(), "", stubs[s], nil)
		}
		eachText(doc, pdf.AddPage, func(t draw.Text) {
			face := typeface.Get(t.Style)
			code := make([]byte, 0, 2*len(t.Text))
			for _, r := range t.Text {
				g := face.Glyph(r)
				code = append(code, byte(g>>8), byte(g))
			}
			pdf.SetFont(face.Name(), "", t.Size.Points())
			pdf.Text(t.At.X.Points(), t.At.Y.Points(), string(code))
		})
		var out bytes.Buffer
		if err := pdf.Output(&out); err != nil {
			b.Fatal(err)
		}
		size = out.Len()
	}
	b.ReportMetric(float64(size), "bytes")
}

// BenchmarkBareUnicode draws the same words with the bare library's own
// Unicode fonts, each face read anew as the library wants it.
func BenchmarkBareUnicode(b *testing.B) {
	doc := sheetOf(words[:3])
	faces := map[draw.Style][]byte{}
	for s, name := range map[draw.Style]string{draw.Regular: "Regular", draw.Italic: "Italic", draw.SemiBold: "SemiBold", draw.Bold: "Bold"} {
		file, err := os.ReadFile(filepath.Join("..", "typeface", "fonts", "IBMPlexSans-"+name+".ttf"))
		require.NoError(b, err)
		faces[s] = file
	}
	b.ReportAllocs()
	size := 0
	for b.Loop() {
		pdf := fpdf.New("P", "pt", "A4", "")
		pdf.SetAutoPageBreak(false, 0)
		for _, s := range typeface.Styles {
			pdf.AddUTF8FontFromBytes(typeface.Get(s).Name(), "", faces[s])
		}
		eachText(doc, pdf.AddPage, func(t draw.Text) {
			pdf.SetFont(typeface.Get(t.Style).Name(), "", t.Size.Points())
			pdf.Text(t.At.X.Points(), t.At.Y.Points(), t.Text)
		})
		var out bytes.Buffer
		if err := pdf.Output(&out); err != nil {
			b.Fatal(err)
		}
		size = out.Len()
	}
	b.ReportMetric(float64(size), "bytes")
}

// BenchmarkPhotograph writes a page with a photograph 50 mm wide at 300 dots to
// the inch.
func BenchmarkPhotograph(b *testing.B) {
	const w, h = 591, 443
	samples := make([]byte, 0, w*h*3)
	noise := uint32(1)
	for y := range h {
		for x := range w {
			noise = noise*1664525 + 1013904223
			grain := int(noise >> 28)
			samples = append(samples, byte(x*200/w+grain), byte(y*200/h+grain), byte((x+y)*100/w+grain))
		}
	}
	doc := one(draw.Picture{Width: draw.MM(50), Height: draw.MM(37.5), Image: newImage(w, h, false, samples)})
	size := 0
	for b.Loop() {
		out, err := Write(doc)
		if err != nil {
			b.Fatal(err)
		}
		size = len(out)
	}
	b.ReportMetric(float64(size), "bytes")
}

// stubPrefix begins the names of the stand-in fonts the library draws with.
const stubPrefix = "STANDIN"

// stub is the definition of a stand-in font for a face, in the form the
// library reads. It has no widths and no file.
func stub(face *typeface.Face) []byte {
	b, err := json.Marshal(map[string]any{
		"Tp": "TrueType", "Name": stubPrefix + face.Name(), "Cw": make([]int, 256), "Up": -100, "Ut": 50,
	})
	if err != nil {
		panic(err) // numbers and plain strings always have a form in JSON
	}
	return b
}
