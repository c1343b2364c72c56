package layout

import (
	"coldwright/internal/draw"
	"coldwright/internal/typeface"
)

// side is how text stands in its room.
type side int

const (
	toLeft side = iota
	toMiddle
	toRight
)

// cell is the text of one field of a row.
type cell struct {
	text []span
	x    draw.Unit
	// width is the room; text is broken to it.
	width draw.Unit
	side  side
	role  draw.Role
	// under stands below the text, in a room of its own width; on the right
	// side both end where the cell does.
	under      []span
	underWidth draw.Unit
	// anchor names the place of the cell, for links to it.
	anchor string
}

// rowStyle is how a row stands.
type rowStyle struct {
	// head is the room from the top of the row to the top of its first
	// capital letters, foot from the last baseline to the end of the row.
	head, foot draw.Unit
	// rule is the line under the row, 0 for none, from x over width.
	rule     draw.Unit
	x, width draw.Unit
}

// row sets cells side by side on shared baselines, one atom a line, all kept
// together as long as a page takes them.
func (l *layer) row(cells []cell, st rowStyle) []atom {
	set := make([][]line, len(cells))
	count := 1
	for i, c := range cells {
		set[i] = l.text.lines(c.text, measure{width: c.width})
		if len(c.under) > 0 {
			set[i] = append(set[i], l.text.lines(c.under, measure{width: c.underWidth})...)
		}
		count = max(count, len(set[i]))
	}
	keys := make([]int, len(cells))
	for i := range keys {
		keys[i] = l.key()
	}
	atoms := make([]atom, count)
	// Every line ends where the descenders of body text do; those of larger
	// words reach into the room the next line has above its letters.
	tail := below(bodySize)
	for k := range atoms {
		var size, follows draw.Unit
		for _, lines := range set {
			if k < len(lines) {
				size = max(size, lines[k].size)
				if k > 0 {
					follows = max(follows, lines[k-1].size)
				}
			}
		}
		if size == 0 {
			size = bodySize
		}
		a := &atoms[k]
		base := leading(size) - tail
		if k == 0 {
			base = st.head + typeface.Get(draw.Bold).CapHeight(size)
		} else if follows > size {
			base += draw.MM(.4)
		}
		a.base = base
		a.height = base + tail
		a.glued = k < count-1
		if k == count-1 {
			a.height = base + max(st.foot, below(size))
		}
		for i, lines := range set {
			if k >= len(lines) || len(lines[k].pieces) == 0 {
				continue
			}
			x := cells[i].x
			switch cells[i].side {
			case toRight:
				// Both rooms of a cell end at the same place.
				x += cells[i].width - lines[k].width
			case toMiddle:
				x += (cells[i].width - lines[k].width) / 2
			}
			r := run{key: keys[i], role: cells[i].role}
			if k == 0 && cells[i].anchor != "" {
				r.items = append(r.items, draw.Anchor{At: draw.Point{X: x, Y: 0}, Name: cells[i].anchor})
			}
			r.items = lines[k].put(r.items, x, base)
			a.runs = append(a.runs, r)
		}
		if k == count-1 && st.rule > 0 {
			a.runs = append(a.runs, across(st.x, st.width, a.height, st.rule))
		}
	}
	return atoms
}

// across is a line over the page.
func across(x, width, y, stroke draw.Unit) run {
	return run{role: draw.Artifact, items: []draw.Item{draw.Line{
		From: draw.Point{X: x, Y: y}, To: draw.Point{X: x + width, Y: y}, Width: stroke,
	}}}
}

// share gives columns their widths: what each would like, and where a column
// needs more for its widest word, that is taken from those with room to spare.
// All are in Units; the sum of the result is the sum of like, or more where
// not even the least widths fit.
func share(like, least []draw.Unit) []draw.Unit {
	out := make([]draw.Unit, len(like))
	var lack, spare draw.Unit
	for i := range like {
		out[i] = max(like[i], least[i])
		lack += out[i] - like[i]
		spare += max(0, like[i]-least[i])
	}
	if lack == 0 || spare == 0 {
		return out
	}
	take := min(lack, spare)
	left := take
	last := -1
	for i := range like {
		if room := like[i] - least[i]; room > 0 {
			part := take * room / spare
			out[i] -= part
			left -= part
			last = i
		}
	}
	if last >= 0 {
		out[last] -= left
	}
	return out
}
