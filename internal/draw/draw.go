// Package draw is what a laid-out document is made of: pages of text, lines,
// shapes and pictures at fixed places. Layout makes it, pdf writes it, tests
// compare it. It knows no recipe and no file format.
package draw

import "math"

// Unit is a length on paper: a thousandth of a point (1/72 inch). All places
// are whole Units, so that the same recipe gives the same bytes everywhere.
type Unit int64

// Pt is a number of points.
func Pt(v float64) Unit { return Unit(math.Round(v * 1000)) }

// MM is a number of millimetres.
func MM(v float64) Unit { return Unit(math.Round(v * 72000 / 25.4)) }

// Points is the length in points.
func (u Unit) Points() float64 { return float64(u) / 1000 }

// Millimetres is the length in millimetres.
func (u Unit) Millimetres() float64 { return float64(u) * 25.4 / 72000 }

// Point is a place on a page: X to the right and Y down from the top left
// corner.
type Point struct{ X, Y Unit }

// Ink is a colour in sRGB.
type Ink struct{ R, G, B uint8 }

var (
	Black = Ink{}
	White = Ink{255, 255, 255}
)

// Style is one of the faces text is set in.
type Style int

const (
	Regular Style = iota
	Italic
	SemiBold
	Bold
)

// Item is one thing on a page: Text, Line, Rect, Path, Picture or Anchor.
type Item interface{ item() }

// Text is one run of characters in one face and size, on one baseline.
type Text struct {
	// At is the start of the baseline.
	At    Point
	Style Style
	Size  Unit
	Ink   Ink
	// Spacing is added after every character.
	Spacing Unit
	// Text holds only characters the face covers.
	Text string
	// Link is where a click leads: a web address, or "#name" for an Anchor.
	Link string
}

// Line is a straight stroke.
type Line struct {
	From, To Point
	Width    Unit
	Ink      Ink
	// Dash is the length of dash and gap; 0 is a solid line.
	Dash Unit
}

// Rect is a rectangle, filled, stroked or both.
type Rect struct {
	At            Point
	Width, Height Unit
	// Fill is nil for none.
	Fill *Ink
	// Stroke is the width of the outline, 0 for none.
	Stroke Unit
	Ink    Ink
}

// Op is one move of a Path.
type Op int

const (
	MoveTo Op = iota
	LineTo
	// CurveTo is a cubic Bézier with P[0], P[1] as controls and P[2] the end.
	CurveTo
	Close
)

// Seg is one piece of a Path; MoveTo and LineTo use P[0] only.
type Seg struct {
	Op Op
	P  [3]Point
}

// Path is a free shape, filled, stroked or both.
type Path struct {
	Segs []Seg
	// Fill is nil for none.
	Fill *Ink
	// EvenOdd fills by the even-odd rule instead of the winding number.
	EvenOdd bool
	// Stroke is the width of the outline, 0 for none.
	Stroke Unit
	Ink    Ink
	// Clip, where not nil, limits the drawing to this rectangle.
	Clip *Rect
}

// Picture is a raster picture scaled to a rectangle.
type Picture struct {
	At            Point
	Width, Height Unit
	Image         *Image
}

// Anchor is a place that links and bookmarks lead to; it draws nothing.
type Anchor struct {
	At   Point
	Name string
}

func (Text) item()    {}
func (Line) item()    {}
func (Rect) item()    {}
func (Path) item()    {}
func (Picture) item() {}
func (Anchor) item()  {}

// Image is a picture made ready for print: flattened on white, upright, no
// metadata. Two equal pictures have the same Key.
type Image struct {
	// Key is a hash of the samples, in hexadecimal; where there is a JPEG, of
	// those it was made from.
	Key string
	// Width and Height are in samples.
	Width, Height int
	// Grey has one channel of 8 bits, else three.
	Grey bool
	// Samples are the rows from the top, without padding; none where there is a
	// JPEG.
	Samples []byte
	// JPEG is a photograph as a baseline JPEG file of one or three channels,
	// with nothing in it but the picture.
	JPEG []byte
}

// Role is what a Run is in the document's structure, by the standard
// structure types of ISO 32000-1, 14.8.4.
type Role string

const (
	// Artifact is furniture that a reading aloud leaves out.
	Artifact  Role = "Artifact"
	Heading1  Role = "H1"
	Heading2  Role = "H2"
	Heading3  Role = "H3"
	Paragraph Role = "P"
	ListItem  Role = "LI"
	TableHead Role = "TH"
	TableCell Role = "TD"
	Figure    Role = "Figure"
	Caption   Role = "Caption"
	Note      Role = "Note"
)

// Run is a stretch of items that belong together in reading.
type Run struct {
	Role Role
	// Alt says in words what a Figure shows.
	Alt   string
	Items []Item
}

// Page is one face of paper.
type Page struct {
	// Runs stand in reading order.
	Runs []Run
}

// Bookmark leads to an Anchor.
type Bookmark struct {
	Level  int
	Title  string
	Anchor string
}

// Document is a whole print: pages of one size.
type Document struct {
	Width, Height Unit
	Pages         []Page

	Title    string
	Subject  string
	Author   string
	Keywords []string
	// Language is a BCP 47 tag.
	Language string
	// Date is the date the document carries as made and changed, YYYY-MM-DD.
	// It comes from the recipe, never from the clock.
	Date      string
	Bookmarks []Bookmark
}
