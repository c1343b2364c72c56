package layout

import (
	"coldwright/internal/draw"
	"coldwright/internal/prose"
)

const (
	// printDPI is the resolution pictures are made for, leastDPI the one
	// below which they are not blown up.
	printDPI = 300
	leastDPI = 150
)

// tallest is the most height a picture takes on a page.
var tallest = draw.MM(90)

// pictureSize is how large a picture prints in a room. Large says that it
// fills the width as far as its samples reach, else it prints at the size it
// was made for.
func pictureSize(img *draw.Image, width, height draw.Unit, large bool) (w, h draw.Unit) {
	if img == nil || img.Width <= 0 || img.Height <= 0 {
		return 0, 0
	}
	dpi := printDPI
	if large {
		dpi = leastDPI
	}
	w = min(width, draw.Unit(int64(img.Width)*72000/int64(dpi)))
	h = scaled(w, img.Height, img.Width)
	if h > height {
		h = height
		w = min(w, scaled(h, img.Width, img.Height))
	}
	return max(w, 1), max(h, 1)
}

// scaled is u × a / b. The product stays far inside the range for any picture
// that fits into memory.
func scaled(u draw.Unit, a, b int) draw.Unit {
	return draw.Unit(int64(u) * int64(a) / int64(b))
}

// pictureAtoms draws a picture with its caption below. alt says what it shows,
// where that is not the caption.
func (l *layer) pictureAtoms(img *draw.Image, caption []span, alt, target string, p place, large bool) []atom {
	w, h := pictureSize(img, p.width, tallest, large)
	var atoms []atom
	if h > 0 {
		if alt == "" {
			alt = plainText(caption)
		}
		if alt == "" {
			alt = target
		}
		atoms = append(atoms, atom{
			above: draw.MM(1), height: h + draw.MM(1.4), glued: len(caption) > 0, decor: p.decor,
			runs: []run{{key: l.key(), role: draw.Figure, alt: alt, items: []draw.Item{
				draw.Picture{At: draw.Point{X: p.x}, Width: w, Height: h, Image: img},
			}}},
		})
	} else {
		// No picture to be had: its words still stand, and its name.
		caption = append(spans(p.look.bolder(), l.fixed("Picture")+" "), caption...)
		caption = append(caption, span{look: p.look, text: " (" + target + ")"})
	}
	p.role = draw.Caption
	words := l.paragraph(caption, p)
	if h == 0 && len(words) > 0 {
		words[0].above += draw.MM(1)
	}
	return append(atoms, words...)
}

func plainText(text []span) string {
	s := ""
	for _, sp := range text {
		s += sp.text
	}
	return s
}

// inlinePicture sets a picture the author put into the text, below the words
// it stands in.
func (l *layer) inlinePicture(f *flow, n prose.Inline, p place) {
	img := p.pictures[n.Target]
	p.look = p.look.in(draw.Regular).at(smallSize)
	shows := l.inlines(n.Children, p.look, nil)
	caption := shows
	if n.Title != "" {
		caption = spans(p.look, n.Title)
		if img == nil && len(shows) > 0 {
			caption = append(append(caption, span{look: p.look, text: " – "}), shows...)
		}
	}
	f.add(l.pictureAtoms(img, caption, plainText(shows), n.Target, p, false)...)
}
