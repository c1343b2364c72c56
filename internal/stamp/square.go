package stamp

import (
	"fmt"

	"github.com/boombuler/barcode/qr"
)

// Quiet is how many modules round a square must stay white (ISO/IEC 18004).
const Quiet = 4

// Square is a square code of black and white modules.
type Square struct {
	// Size is how many modules a side has: 25 in version 2, 4 more in each
	// version above.
	Size  int
	black []bool
}

// Encode is a text as a QR code of ISO/IEC 18004 at level Q, where a quarter
// of the code may be lost to water and wear. Capitals, figures, spaces and
// hyphens take the least room; a text is as small a version as holds it.
func Encode(text string) (*Square, error) {
	mode := qr.AlphaNumeric
	if !alphanumeric(text) {
		mode = qr.Unicode
	}
	code, err := qr.Encode(text, qr.Q, mode)
	if err != nil {
		return nil, fmt.Errorf("the square code of %q: %w", text, err)
	}
	side := code.Bounds().Dx()
	s := &Square{Size: side, black: make([]bool, side*side)}
	for y := range side {
		for x := range side {
			r, _, _, _ := code.At(x, y).RGBA()
			s.black[y*side+x] = r == 0
		}
	}
	return s, nil
}

// alphanumeric says whether the smaller mode can hold a text.
func alphanumeric(text string) bool {
	for _, r := range text {
		if !(r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r == ' ' || r == '-') {
			return false
		}
	}
	return true
}

// Black says whether a module is black; outside the square none is.
func (s *Square) Black(x, y int) bool {
	return x >= 0 && y >= 0 && x < s.Size && y < s.Size && s.black[y*s.Size+x]
}

// Corner is a corner of modules: X to the right and Y down, from 0 to Size.
type Corner struct{ X, Y int }

// Outlines are the edges between black and white as closed shapes, each a list
// of the corners where it turns. Black lies to the right of the way they run,
// so that they fill alike by the winding number and by even and odd.
func (s *Square) Outlines() [][]Corner {
	n := s.Size + 1
	done := make([]bool, n*n)
	var all [][]Corner
	for y := range n {
		for x := range n {
			// The first edge to the right of a shape begins at a corner of it:
			// one that led up to it would have been met before.
			start := Corner{x, y}
			if done[y*n+x] || !s.edge(start, right) {
				continue
			}
			var shape []Corner
			for at, way := start, right; len(shape) == 0 || at != start || way != right; {
				shape = append(shape, at)
				for turned := false; !turned; {
					if way == right {
						done[at.Y*n+at.X] = true
					}
					at = Corner{at.X + steps[way].X, at.Y + steps[way].Y}
					// To turn to the right first keeps modules apart that touch
					// at a corner.
					for _, turn := range [3]int{1, 0, 3} {
						if next := (way + turn) % 4; s.edge(at, next) {
							turned, way = turn != 0, next
							break
						}
					}
				}
			}
			all = append(all, shape)
		}
	}
	return all
}

// The ways an edge runs, in order of turning right; steps are those of one
// module.
const right = 0

var steps = [4]Corner{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}

// edge says whether an edge runs that way from a corner, black on its right.
func (s *Square) edge(c Corner, way int) bool {
	x, y := c.X, c.Y
	switch way {
	case right:
		return s.Black(x, y) && !s.Black(x, y-1)
	case 1:
		return s.Black(x-1, y) && !s.Black(x, y)
	case 2:
		return s.Black(x-1, y-1) && !s.Black(x-1, y)
	}
	return s.Black(x, y-1) && !s.Black(x-1, y-1)
}
