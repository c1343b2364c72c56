package layout

import (
	"unicode/utf8"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/source"
	"coldwright/internal/typeface"
)

// Unprintable names the characters of a file that no page can print as
// themselves, each once, at its first place. Laying the pages out finds the
// same ones, so that a check says what a print would.
func Unprintable(f *source.File) diag.List {
	var s setter
	face := typeface.Get(draw.Regular)
	for i := 0; i < len(f.Text); {
		if f.Text[i] < utf8.RuneSelf {
			i++
			continue
		}
		r, n := utf8.DecodeRune(f.Text[i:])
		if r != utf8.RuneError || n > 1 {
			if !face.Has(r) || r > 0xFFFF {
				s.buf = s.buf[:0]
				s.rune(face, r, span{at: f.Span(i, i+n)})
			}
		}
		i += n
	}
	return s.findings()
}
