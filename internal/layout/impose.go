package layout

import (
	"fmt"
	"math"

	"coldwright/internal/draw"
	"coldwright/internal/sheet"
)

var (
	// cutCorner is the radius a card is cut to at its corners, so that a
	// laminated one has no corner to cut a hand or to split.
	cutCorner = draw.MM(3)
	// cutMark is the length of the marks to cut along, cutOff their distance from
	// the card.
	cutMark, cutOff = draw.MM(4), draw.MM(1)
	// cutGap is the most room between two cards.
	cutGap  = draw.MM(6)
	cutLine = draw.MM(.15)
)

// PerSheet is how many cards of a size in mm go on a paper, whichever way it
// lies, and whether it then lies on its long side.
func PerSheet(width, height float64, paper sheet.Paper) (count int, turned bool) {
	grid := func(w, h float64) int {
		// Half a hundredth of a millimetre is no reason to leave a card off.
		return int((w+.005)/width) * int((h+.005)/height)
	}
	upright, lying := grid(paper.Width, paper.Height), grid(paper.Height, paper.Width)
	if lying > upright {
		return lying, true
	}
	return upright, false
}

// Impose puts the faces of cards of one size onto sheets of a paper, in order,
// each in a line to cut along with round corners, and marks outside it where
// there is room. Nil where no card goes on the paper.
func Impose(cards []*draw.Document, paper sheet.Paper) *draw.Document {
	if len(cards) == 0 {
		return nil
	}
	w, h := cards[0].Width, cards[0].Height
	count, turned := PerSheet(w.Millimetres(), h.Millimetres(), paper)
	if count == 0 {
		return nil
	}
	width, height := draw.MM(paper.Width), draw.MM(paper.Height)
	if turned {
		width, height = height, width
	}
	slack := draw.MM(.005)
	columns, rows := int((width+slack)/w), int((height+slack)/h)
	out := &draw.Document{
		Width: width, Height: height, Title: cards[0].Title, Author: cards[0].Author, Language: cards[0].Language,
		Keywords: cards[0].Keywords,
	}
	var faces []draw.Page
	for _, c := range cards {
		faces = append(faces, c.Pages...)
		out.Date = max(out.Date, c.Date)
		if c.Title != out.Title {
			out.Title = fmt.Sprintf("Bench cards, %d of them", len(cards))
		}
	}
	out.Subject = fmt.Sprintf("%d faces to cut from %s", len(faces), paper.Name)
	xs, ys := placesFor(columns, w, width), placesFor(rows, h, height)
	for i, face := range faces {
		at := i % count
		if at == 0 {
			out.Pages = append(out.Pages, draw.Page{})
		}
		page := &out.Pages[len(out.Pages)-1]
		x, y := xs[at%columns], ys[at/columns]
		page.Runs = append(page.Runs, draw.Run{Role: draw.Artifact, Items: cutItems(x, y, w, h, xs, ys, width, height)})
		for _, r := range face.Runs {
			items := make([]draw.Item, len(r.Items))
			for k, it := range r.Items {
				items[k] = moved(it, x, y)
			}
			page.Runs = append(page.Runs, draw.Run{Role: r.Role, Alt: r.Alt, Items: items})
		}
	}
	return out
}

// placesFor is where so many things of a size begin along a length, with equal
// room between them and the rest at the ends.
func placesFor(count int, size, length draw.Unit) []draw.Unit {
	spare := max(length-size*draw.Unit(count), 0)
	gap := min(cutGap, spare/draw.Unit(count+1))
	first := (length - size*draw.Unit(count) - gap*draw.Unit(count-1)) / 2
	out := make([]draw.Unit, count)
	for i := range out {
		out[i] = max(first, 0) + (size+gap)*draw.Unit(i)
	}
	return out
}

// cutItems are the line a card is cut along and the marks outside its corners.
func cutItems(x, y, w, h draw.Unit, xs, ys []draw.Unit, width, height draw.Unit) []draw.Item {
	right, bottom := x+w, y+h
	r := cutCorner
	// The arm of a Bézier curve that draws a quarter of a circle.
	k := draw.Unit(math.Round(float64(r) * (1 - .5523)))
	corner := func(from, a, b, to draw.Point) []draw.Seg {
		return []draw.Seg{{Op: draw.LineTo, P: [3]draw.Point{from}}, {Op: draw.CurveTo, P: [3]draw.Point{a, b, to}}}
	}
	segs := []draw.Seg{{Op: draw.MoveTo, P: [3]draw.Point{pt(x+r, y)}}}
	segs = append(segs, corner(pt(right-r, y), pt(right-k, y), pt(right, y+k), pt(right, y+r))...)
	segs = append(segs, corner(pt(right, bottom-r), pt(right, bottom-k), pt(right-k, bottom), pt(right-r, bottom))...)
	segs = append(segs, corner(pt(x+r, bottom), pt(x+k, bottom), pt(x, bottom-k), pt(x, bottom-r))...)
	segs = append(segs, corner(pt(x, y+r), pt(x, y+k), pt(x+k, y), pt(x+r, y))...)
	items := []draw.Item{draw.Path{Segs: append(segs, draw.Seg{Op: draw.Close}), Stroke: cutLine}}
	// room is how far a mark may reach from an edge before the paper or the
	// next card.
	room := func(edge draw.Unit, towards int, starts []draw.Unit, size, length draw.Unit) draw.Unit {
		free := edge
		if towards > 0 {
			free = length - edge
		}
		for _, s := range starts {
			if towards > 0 && s >= edge {
				free = min(free, s-edge)
			}
			if towards < 0 && s+size <= edge {
				free = min(free, edge-s-size)
			}
		}
		return min(cutMark, free-2*cutOff)
	}
	mark := func(from, to draw.Point) {
		items = append(items, draw.Line{From: from, To: to, Width: cutLine})
	}
	for _, cx := range []draw.Unit{x, right} {
		for _, cy := range []draw.Unit{y, bottom} {
			dx, dy := draw.Unit(-1), draw.Unit(-1)
			if cx == right {
				dx = 1
			}
			if cy == bottom {
				dy = 1
			}
			if n := room(cx, int(dx), xs, w, width); n > 0 {
				mark(pt(cx+dx*cutOff, cy), pt(cx+dx*(cutOff+n), cy))
			}
			if n := room(cy, int(dy), ys, h, height); n > 0 {
				mark(pt(cx, cy+dy*cutOff), pt(cx, cy+dy*(cutOff+n)))
			}
		}
	}
	return items
}
