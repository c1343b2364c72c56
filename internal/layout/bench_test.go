package layout

import (
	"testing"

	"coldwright/internal/draw"
)

// BenchmarkLay is the cost of laying a six-step sheet of three pages.
func BenchmarkLay(b *testing.B) {
	s := weight()
	b.ReportAllocs()
	for b.Loop() {
		Lay(s)
	}
}

// BenchmarkMeasureOnly is the bare cost beside it: the width of every text of
// the same sheet, taken once.
func BenchmarkMeasureOnly(b *testing.B) {
	doc, _ := Lay(weight())
	var all []draw.Text
	for _, p := range doc.Pages {
		for _, r := range p.Runs {
			for _, it := range r.Items {
				if t, ok := it.(draw.Text); ok {
					all = append(all, t)
				}
			}
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		for _, t := range all {
			look{style: t.Style, size: t.Size}.width(t.Text)
		}
	}
}
