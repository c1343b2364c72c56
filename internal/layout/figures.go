package layout

import (
	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/trade"
)

// Figure is a drawing by itself, for a page that layout does not lay: its top
// left corner is at 0, 0.
type Figure struct {
	Width, Height draw.Unit
	Items         []draw.Item
}

// Signal is how a signal word is shown: its colours, and whether the alert
// triangle stands before it.
type Signal struct {
	Fill, Text draw.Ink
	Alert      bool
}

// SignalOf is the signal word, the mildest where it is none, and its look.
func SignalOf(s trade.Signal) (trade.Signal, Signal) {
	s = signalOf(s)
	look := signals[s]
	return s, Signal{look.fill, look.text, look.alert}
}

// AlertFigure is the alert triangle of a signal word as it stands before words.
// On is the same on a ground of the word's own colour.
func AlertFigure(s trade.Signal, on bool) Figure {
	look := signals[signalOf(s)]
	size := draw.MM(6)
	f := Figure{Width: size, Height: size * 88 / 100}
	if on {
		f.Items = alertSolid(0, f.Height, size, look.text, look.fill)
	} else {
		f.Items = alert(0, f.Height, size, draw.Black, look.fill)
	}
	return f
}

// StopFigure is the octagon before the word STOP, for a black ground.
func StopFigure() Figure {
	f := Figure{Width: draw.MM(12), Height: draw.MM(12)}
	c := pt(f.Width/2, f.Height/2)
	f.Items = []draw.Item{filled(draw.White, octagon(c, draw.MM(5.6))), filled(draw.Black, octagon(c, draw.MM(4.6)))}
	return f
}

// Mark is one of the marks that stand before words.
type Mark int

const (
	// Forward stands before what must be true to move on, Back before where to
	// go when it is not, Halt before what ends the work.
	Forward Mark = iota
	Back
	Halt
	// Good and Bad stand before what right and what wrong looks like.
	Good
	Bad
)

// MarkFigure is a mark in a square.
func MarkFigure(k Mark) Figure {
	f := Figure{Width: draw.MM(4.4), Height: draw.MM(4.4)}
	draws := [...]func(x, base draw.Unit) run{Forward: forward, Back: hooked, Halt: halt, Good: tick, Bad: cross}
	f.Items = draws[k](draw.MM(.3), draw.MM(3.5)).items
	return f
}

// LampFigure is the side view of a lamp mirrored in a face.
func LampFigure(f sheet.Lamp) Figure {
	items, height := lampItems(0, f.Degrees)
	return Figure{draw.MM(lampWidth), height, items}
}

// ladderFrom and ladderTo are the ends of the drawing of a chart by itself, in
// mm across a text width of 178.
const ladderFrom, ladderTo = ladderNone - 5, ladderBeyond + 9

// byItself is a layer for a figure that stands on no page.
func byItself(of *sheet.Sheet) *layer { return &layer{width: draw.MM(178), sheet: of} }

// LadderRowFigure is what arrives, what is taken off and what is left in one row of
// a chart; without items where there is nothing to draw.
func LadderRowFigure(r sheet.LadderRow) Figure {
	l := byItself(&sheet.Sheet{})
	f := Figure{Width: draw.MM(ladderTo - ladderFrom), Height: draw.MM(ladderRow)}
	if r.Cannot == "" {
		f.Items = movedAll(append(l.grid(f.Height), l.lanes(r)...), -draw.MM(ladderFrom))
	}
	return f
}

// LadderAxisFigure is the axis under the rows of a chart of a sheet, with its
// figures.
func LadderAxisFigure(of *sheet.Sheet) Figure {
	a := byItself(of).ladderAxis()
	f := Figure{Width: draw.MM(ladderTo - ladderFrom), Height: a.height}
	for _, r := range a.runs[1:] {
		f.Items = append(f.Items, movedAll(r.items, -draw.MM(ladderFrom))...)
	}
	return f
}

// LadderKey is what the bar or arrow in the key of a chart stands for.
type LadderKey int

const (
	KeyArrives LadderKey = iota
	KeyTaken
	KeyLeft
)

// LadderKeyFigure is the sample of a bar in the key of a chart.
func LadderKeyFigure(k LadderKey) Figure {
	f := Figure{Width: draw.MM(9), Height: draw.MM(3.4)}
	mid := f.Height / 2
	if k == KeyTaken {
		f.Items = arrow(draw.MM(.3), draw.MM(8.7), mid)
		return f
	}
	fill := draw.White
	if k == KeyLeft {
		fill = barGrey
	}
	f.Items = append(ladderBox(draw.MM(1), draw.MM(8), mid, fill), likeliest(draw.MM(4.5), mid))
	return f
}

// movedAll are items moved to the right.
func movedAll(items []draw.Item, by draw.Unit) []draw.Item {
	out := make([]draw.Item, len(items))
	for i, it := range items {
		out[i] = moved(it, by, 0)
	}
	return out
}
