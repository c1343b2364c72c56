package layout

import (
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/source"
	"coldwright/internal/typeface"
)

// look is how a stretch of text is set.
type look struct {
	style draw.Style
	size  draw.Unit
	ink   draw.Ink
	// rise lifts the text above the baseline, for the marks of footnotes.
	rise draw.Unit
	// spacing is added after every character.
	spacing draw.Unit
	strike  bool
	// sits keeps a larger size from making its line higher.
	sits bool
	// link is where a click leads; plain keeps such text without a line under
	// it.
	link  string
	plain bool
}

// width is how wide s runs in the look.
func (l look) width(s string) draw.Unit {
	w := typeface.Get(l.style).Width(s, l.size)
	if l.spacing != 0 {
		for range s {
			w += l.spacing
		}
	}
	return w
}

// in is the look in another style.
func (l look) in(s draw.Style) look {
	l.style = s
	return l
}

// at is the look at another size.
func (l look) at(size draw.Unit) look {
	l.size = size
	return l
}

// bolder is the look a step heavier; text that is heavy already stays.
func (l look) bolder() look {
	if l.style != draw.Bold {
		l.style = draw.Bold
	}
	return l
}

// span is a stretch of text in one look. A line feed in text is a line break
// the author asked for.
type span struct {
	look look
	text string
	at   source.Span
}

// spans are one stretch of text, or none for no text.
func spans(l look, text string) []span {
	if text == "" {
		return nil
	}
	return []span{{look: l, text: text}}
}

// The sizes of a sheet.
var (
	bodySize    = draw.Pt(10)
	smallSize   = draw.Pt(9)
	footSize    = draw.Pt(8.5)
	headSize    = draw.Pt(14)
	settingSize = draw.Pt(18)
)

func regular(size draw.Unit) look { return look{style: draw.Regular, size: size} }
func bold(size draw.Unit) look    { return look{style: draw.Bold, size: size} }

// body is the text of a sheet.
func body() look { return regular(bodySize) }

// leading is the distance from one baseline to the next at a size: 4.25 mm at
// 10 pt.
func leading(size draw.Unit) draw.Unit {
	return size * 1205 / 1000
}

// below is what a line of a size needs under its baseline.
func below(size draw.Unit) draw.Unit { return size * 28 / 100 }

// above is what a line of a size needs over its baseline.
func above(size draw.Unit) draw.Unit { return leading(size) - below(size) }

// joined are the words that are there, with a separator between them.
func joined(sep string, words ...string) string {
	var out []string
	for _, w := range words {
		if w != "" {
			out = append(out, w)
		}
	}
	return strings.Join(out, sep)
}
