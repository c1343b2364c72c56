package layout

import (
	"coldwright/internal/draw"
)

// atom is the least part of a page: one line of a paragraph, one line of all
// cells of a row, one picture. A page may end behind every atom that is not
// glued to the next.
type atom struct {
	// above is room that falls away at the top of a page.
	above, height draw.Unit
	// runs are what it draws, Y counted from its own top.
	runs []run
	// over is a line drawn above it, but not at the top of a page, where the
	// line under the head stands already.
	over *run
	// rises is true for an atom with room of its own below that line, which at
	// the top of a page takes the room under the head instead.
	rises bool
	// base is the baseline of its first line.
	base draw.Unit
	// glued keeps the next atom on the same page where that can be.
	glued bool
	// cont are the heads to print again where a page begins with this atom.
	cont *cont
	// decor are the frames and bars it lies in, outermost first.
	decor []*decor
}

// run is a draw.Run that may be continued: runs of one key on one page become
// one, so that a paragraph reads whole.
type run struct {
	key   int
	role  draw.Role
	alt   string
	items []draw.Item
}

// cont is what heads the rest of something after a page break.
type cont struct {
	outer *cont
	atoms []atom
}

// list are all heads from the outermost on.
func (c *cont) list() []atom {
	if c == nil {
		return nil
	}
	return append(c.outer.list(), c.atoms...)
}

// decor is drawn around or beside the atoms it belongs to, on every page they
// come to stand on.
type decor struct {
	x, width draw.Unit
	// bar is a stroke at the left, else a frame all round.
	bar    bool
	stroke draw.Unit
	// pad is the room between the frame and the atoms, above and below.
	pad draw.Unit
}

// flow is content in order, ready to be cut into pages.
type flow struct {
	atoms []atom
	// wholes are ranges of atoms that move to the next page together if they
	// fit on one.
	wholes [][2]int
	// cuts say of the wholes by start before which atoms each may be cut all the
	// same, if much of a page would stay empty else.
	cuts map[int][]int
}

func (f *flow) add(atoms ...atom) { f.atoms = append(f.atoms, atoms...) }

// whole marks what was added from an index on as one that stays together.
func (f *flow) whole(from int) {
	if len(f.atoms)-from > 1 {
		f.wholes = append(f.wholes, [2]int{from, len(f.atoms)})
	}
}

// mayCut lets the whole that begins at an index be cut before others where
// moving it would leave much of a page empty.
func (f *flow) mayCut(start int, before ...int) {
	if f.cuts == nil {
		f.cuts = map[int][]int{}
	}
	f.cuts[start] = append(f.cuts[start], before...)
}

// keepEnd keeps so much of the end together that the last page never holds a
// line or two alone.
func (f *flow) keepEnd() {
	var h draw.Unit
	for i := len(f.atoms) - 1; i > 0; i-- {
		if h += f.atoms[i].height + f.atoms[i].above; h >= leastEnd {
			return
		}
		f.atoms[i-1].glued = true
	}
}

// leastEnd is the least that stands on a last page.
var leastEnd = draw.MM(30)

// glue keeps everything added from an index on, and what follows it, together.
func (f *flow) glue(from int) {
	for i := max(from, 0); i < len(f.atoms); i++ {
		f.atoms[i].glued = true
	}
}

// glueLast keeps the last atom with what follows.
func (f *flow) glueLast() { f.glue(len(f.atoms) - 1) }

// upTo is the flow before an atom.
func (f *flow) upTo(n int) flow {
	return flow{atoms: f.atoms[:n:n]}
}

// join takes another flow on.
func (f *flow) join(g flow) {
	n := len(f.atoms)
	f.atoms = append(f.atoms, g.atoms...)
	for _, w := range g.wholes {
		f.wholes = append(f.wholes, [2]int{w[0] + n, w[1] + n})
	}
	for start, list := range g.cuts {
		for _, before := range list {
			f.mayCut(start+n, before+n)
		}
	}
}

// space puts room above the first atom.
func (f *flow) space(above draw.Unit) {
	if len(f.atoms) > 0 {
		f.atoms[0].above += above
	}
}

func (f *flow) height() draw.Unit { return heightOf(f.atoms) }

// heightOf is how high atoms stand at the top of a page.
func heightOf(atoms []atom) draw.Unit {
	var h draw.Unit
	for i, a := range atoms {
		h += a.height
		if i > 0 {
			h += a.above
		}
	}
	return h
}

// frame is where the atoms of a page go.
type frame struct{ top, bottom draw.Unit }

// paginate cuts a flow into pages, drawing as it goes. frameOf is the room on
// a page, counted from 0; every page from the second on has the same.
func paginate(f *flow, frameOf func(page int) frame) []draw.Page {
	p := pager{flow: f, frameOf: frameOf, byStart: map[int]int{}}
	f2 := frameOf(1)
	p.full = f2.bottom - f2.top
	p.wholesThatFit()
	p.open(0)
	atoms := f.atoms
	for i := 0; i < len(atoms); {
		end := p.together(i)
		if !p.fits(i, end) && !p.fresh {
			for to := p.cutOf(i); i < to; i++ {
				p.place(&atoms[i])
			}
			p.turn(i)
			continue
		}
		// On a fresh page even what does not fit begins; as much as does
		// goes on it.
		for end > i+1 && !p.fits(i, end) {
			end--
		}
		for ; i < end; i++ {
			p.place(&atoms[i])
		}
	}
	p.close()
	return p.pages
}

type pager struct {
	flow    *flow
	frameOf func(int) frame
	// full is the room on a following page.
	full draw.Unit
	// byStart has the furthest end of the wholes that fit a page, by start.
	byStart map[int]int

	pages []draw.Page
	frame frame
	y     draw.Unit
	// fresh is true while nothing but repeated heads stands on the page.
	fresh bool
	// first is true until anything stands on the page.
	first bool
	// keys finds the run of a key on this page.
	keys   map[int]int
	decors decors
}

func (p *pager) wholesThatFit() {
	heights := make([]draw.Unit, len(p.flow.atoms)+1)
	for i, a := range p.flow.atoms {
		heights[i+1] = heights[i] + a.above + a.height
	}
	for _, w := range p.flow.wholes {
		first := p.flow.atoms[w[0]]
		h := heights[w[1]] - heights[w[0]] - first.above
		if first.cont != nil {
			h += heightOf(first.cont.list())
		}
		if h <= p.full {
			p.byStart[w[0]] = max(p.byStart[w[0]], w[1])
		}
	}
}

// together is the end of what has to stand on one page with atom i. What is
// too much for any page is cut down to what is glued, then to the atom.
func (p *pager) together(i int) int {
	for _, wholes := range []bool{true, false} {
		end, ok := p.reach(i, wholes)
		if ok {
			return end
		}
	}
	// Glued without end, like a row higher than a page: its beginning.
	atoms, end := p.flow.atoms, i+1
	for h := atoms[i].height; end < len(atoms) && end-i < 4 && atoms[end-1].glued; end++ {
		if h += atoms[end].above + atoms[end].height; h > p.full/2 {
			break
		}
	}
	return end
}

func (p *pager) reach(i int, wholes bool) (end int, ok bool) {
	atoms := p.flow.atoms
	var h draw.Unit
	if c := atoms[i].cont; c != nil {
		h = heightOf(c.list())
	}
	end = i + 1
	for k := i; k < end; k++ {
		h += atoms[k].height
		if k > i {
			h += atoms[k].above
		}
		if h > p.full {
			return end, false
		}
		if atoms[k].glued && k+1 == end && end < len(atoms) {
			end++
		}
		if to := p.byStart[k]; wholes && to > end {
			end = to
		}
	}
	return end, true
}

// mostEmpty is how much of a page may stay empty before a whole is cut.
const mostEmpty = 25 // %

// leastRest is the least of a whole that stands on the page after a cut, and
// leastHead the least that stands before it.
var leastRest, leastHead = draw.MM(13), draw.MM(24)

// cutOf is where the whole that begins at atom i is cut because else too much
// of the page would stay empty: as late as there is room; i where it is not.
func (p *pager) cutOf(i int) int {
	list := p.flow.cuts[i]
	empty := (p.frame.bottom - p.y) * 100
	if len(list) == 0 || empty <= mostEmpty*(p.frame.bottom-p.frame.top) {
		return i
	}
	atoms := p.flow.atoms
	best := i
	for _, to := range list {
		if to > best && !atoms[to-1].glued && p.fits(i, to) && heightOf(atoms[i:to]) >= leastHead &&
			(p.byStart[i] <= to || heightOf(atoms[to:p.byStart[i]]) >= leastRest) {
			best = to
		}
	}
	return best
}

func (p *pager) fits(i, end int) bool {
	y := p.y
	for k := i; k < end; k++ {
		if k > i || !p.first {
			y += p.flow.atoms[k].above
		}
		y += p.flow.atoms[k].height
		if y > p.frame.bottom {
			return false
		}
	}
	return true
}

func (p *pager) open(page int) {
	p.pages = append(p.pages, draw.Page{})
	p.frame = p.frameOf(page)
	p.y, p.fresh, p.first = p.frame.top, true, true
	p.keys = map[int]int{}
	p.decors = decors{}
}

// turn begins a page whose first atom is atom i.
func (p *pager) turn(i int) {
	p.close()
	p.open(len(p.pages))
	for _, head := range p.flow.atoms[i].cont.list() {
		// A head that is repeated is no new content: it is left out of what
		// is read aloud.
		again := head
		again.runs = make([]run, len(head.runs))
		for k, r := range head.runs {
			again.runs[k] = run{role: draw.Artifact, items: r.items}
		}
		p.place(&again)
	}
	p.fresh = true
}

func (p *pager) place(a *atom) {
	page := &p.pages[len(p.pages)-1]
	if !p.first {
		p.y += a.above
		if a.over != nil && !p.fresh {
			p.put(page, *a.over)
		}
	} else if a.rises {
		p.y -= bodyGap
	}
	for _, r := range a.runs {
		p.put(page, r)
	}
	p.decors.see(a.decor, p.y, p.y+a.height)
	p.y += a.height
	p.first, p.fresh = false, false
}

// put draws a run at the height reached.
func (p *pager) put(page *draw.Page, r run) {
	at, known := p.keys[r.key]
	if r.key == 0 || !known {
		at = len(page.Runs)
		page.Runs = append(page.Runs, draw.Run{Role: r.role, Alt: r.alt})
		p.keys[r.key] = at
	}
	for _, it := range r.items {
		page.Runs[at].Items = append(page.Runs[at].Items, moved(it, 0, p.y))
	}
}

// close draws the frames and bars of the page.
func (p *pager) close() {
	page := &p.pages[len(p.pages)-1]
	for _, r := range p.decors.runs() {
		page.Runs = append(page.Runs, draw.Run{Role: r.role, Items: r.items})
	}
}

// decors gathers how far frames and bars reach on a page.
type decors struct {
	extent map[*decor][2]draw.Unit
	order  []*decor
}

func (d *decors) see(list []*decor, top, bottom draw.Unit) {
	for _, one := range list {
		if d.extent == nil {
			d.extent = map[*decor][2]draw.Unit{}
		}
		e, known := d.extent[one]
		if !known {
			d.order = append(d.order, one)
			e[0] = top
		}
		e[1] = bottom
		d.extent[one] = e
	}
}

func (d *decors) runs() []run {
	var out []run
	for _, one := range d.order {
		e := d.extent[one]
		top, bottom := e[0]-one.pad, e[1]+one.pad
		var it draw.Item
		if one.bar {
			it = draw.Line{From: draw.Point{X: one.x, Y: top}, To: draw.Point{X: one.x, Y: bottom}, Width: one.stroke}
		} else {
			it = draw.Rect{At: draw.Point{X: one.x, Y: top}, Width: one.width, Height: bottom - top, Stroke: one.stroke}
		}
		out = append(out, run{role: draw.Artifact, items: []draw.Item{it}})
	}
	return out
}

// moved is an item at another place.
func moved(it draw.Item, dx, dy draw.Unit) draw.Item {
	add := func(p draw.Point) draw.Point { return draw.Point{X: p.X + dx, Y: p.Y + dy} }
	switch v := it.(type) {
	case draw.Text:
		v.At = add(v.At)
		return v
	case draw.Line:
		v.From, v.To = add(v.From), add(v.To)
		return v
	case draw.Rect:
		v.At = add(v.At)
		return v
	case draw.Picture:
		v.At = add(v.At)
		return v
	case draw.Anchor:
		v.At = add(v.At)
		return v
	case draw.Path:
		segs := make([]draw.Seg, len(v.Segs))
		for i, s := range v.Segs {
			segs[i] = draw.Seg{Op: s.Op, P: [3]draw.Point{add(s.P[0]), add(s.P[1]), add(s.P[2])}}
		}
		v.Segs = segs
		if v.Clip != nil {
			clip := *v.Clip
			clip.At = add(clip.At)
			v.Clip = &clip
		}
		return v
	}
	return it
}

// movedRuns are runs at another place.
func movedRuns(runs []run, dx, dy draw.Unit) []run {
	out := make([]run, len(runs))
	for i, r := range runs {
		out[i] = r
		out[i].items = make([]draw.Item, len(r.items))
		for k, it := range r.items {
			out[i].items[k] = moved(it, dx, dy)
		}
	}
	return out
}

// stacked draws atoms below one another from y on, as one piece.
func stacked(atoms []atom, x, y draw.Unit) []run {
	var runs []run
	var d decors
	for i, a := range atoms {
		if i > 0 {
			y += a.above
			if a.over != nil {
				runs = append(runs, movedRuns([]run{*a.over}, x, y)...)
			}
		}
		runs = append(runs, movedRuns(a.runs, x, y)...)
		d.see(a.decor, y, y+a.height)
		y += a.height
	}
	return append(merged(runs), movedRuns(d.runs(), x, 0)...)
}

// merged puts the runs of one key together.
func merged(runs []run) []run {
	at := map[int]int{}
	var out []run
	for _, r := range runs {
		if i, ok := at[r.key]; ok && r.key != 0 {
			out[i].items = append(out[i].items, r.items...)
			continue
		}
		at[r.key] = len(out)
		out = append(out, r)
	}
	return out
}
