// Package recipe is a house procedure as plain values, each with the place it
// was written. It knows no file format, no rule and no paper.
package recipe

import (
	"fmt"

	"coldwright/internal/prose"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// Field is a value and where it stands. A field that was written but could not
// be read has a Span and is not OK; one that is missing has neither, so that
// an unreadable grade is never also reported as absent.
type Field[T any] struct {
	Value T
	Span  source.Span
	OK    bool
}

// Written says whether the author wrote anything there.
func (f Field[T]) Written() bool { return f.Span.Known() }

// Recipe is one procedure for one kind of piece.
type Recipe struct {
	File *source.File
	// Head is the front matter.
	Head source.Span
	// Unread is true where the file could not be read as a recipe, or not to
	// its end: it is empty, too long, no text, some other file, or too tangled
	// below its front matter. That has been reported. Whoever finds something
	// missing then says nothing: it may stand in what was not read.
	Unread bool

	ID       Field[string]
	Title    Field[string]
	Revision Field[int]
	Date     Field[Date]
	Approved Field[string]
	Review   Field[Date]
	Glass    Field[*trade.Glass]
	// GlassUnknown is true for `glass: unknown`: lead for every rule of safety.
	GlassUnknown bool
	Coating      *Coating
	Piece        Piece
	Surfaces     []Surface
	SurfacesSpan source.Span
	Stop         Field[string]
	Cautions     []Topic
	CautionsSpan source.Span
	Changes      []Change
	ChangesSpan  source.Span
	Accepted     []Accepted

	// Purpose is what stands before the first step, without the title and the
	// author's cautions.
	Purpose []prose.Block
	// Notices are the author's own cautions before the first step; they stand
	// for the whole recipe.
	Notices []Notice
	Steps   []Step
	// Notes is what follows the steps.
	Notes []prose.Block
	// Footnotes of the whole text, by Index.
	Footnotes []prose.Block
	// Pictures are all the pictures shown, in order of appearance.
	Pictures []Picture
}

// Date is a day; the zero Date is none.
type Date struct{ Year, Month, Day int }

// String is the date as ISO 8601 writes it: 2026-10-05.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

// Before says whether the day comes before another.
func (d Date) Before(o Date) bool {
	switch {
	case d.Year != o.Year:
		return d.Year < o.Year
	case d.Month != o.Month:
		return d.Month < o.Month
	}
	return d.Day < o.Day
}

// Coating is a skin that must not be ground.
type Coating struct {
	Kind Field[string]
	// On is the surface it lies on.
	On     Field[string]
	Capped Field[quantity.Value]
	Span   source.Span
}

// Piece is the thing worked.
type Piece struct {
	Span   source.Span
	Form   Field[string]
	Size   Field[Size]
	Count  Field[int]
	Mass   Field[quantity.Value]
	Hollow Field[bool]
	Wall   Field[quantity.Value]
	Mould  Field[string] // "still on" or "removed"
}

// Size is the size of one piece: a block with Sides, or round with Diameter
// and Height.
type Size struct {
	Sides    []quantity.Value
	Diameter quantity.Value
	Height   quantity.Value
	Words    string
}

// Surface is one surface of the piece.
type Surface struct {
	Span   source.Span
	Name   Field[string]
	Shape  Field[*trade.Shape]
	Count  Field[int]
	Area   Field[quantity.Value]
	Length Field[quantity.Value]
	Width  Field[quantity.Value]
	From   Field[Arrival]
	To     Field[*trade.Finish]
	Tile   Field[string]
}

// Arrival is how a surface comes to the bench.
type Arrival struct {
	// How is one of "sawn", "sandblasted", "ground", "as cast", "fire
	// polished", "fused", "cut" (scored and broken from a sheet), "new".
	How string
	// Abrasive is what left it so; its Family is nil where none is named.
	Abrasive trade.Abrasive
	Damage   quantity.Value
	Uneven   quantity.Value
	// Words are how it prints.
	Words string
}

// Topic is a caution called by name.
type Topic struct {
	Topic *trade.Topic // nil where unknown
	Span  source.Span
}

// Change is one entry of the change record.
type Change struct {
	Span     source.Span
	Revision Field[int]
	Date     Field[Date]
	Kind     Field[string] // safety, method, wording
	Note     Field[string]
}

// Accepted is a finding the lead has overruled.
type Accepted struct {
	Span    source.Span
	Finding Field[string]
	Reason  Field[string]
	Until   Field[Date]
}

// Notice is a caution in the author's own words.
type Notice struct {
	Signal trade.Signal
	// Blocks are its words without the signal word.
	Blocks []prose.Block
	Text   string
	Span   source.Span
}

// Picture is a picture the text shows.
type Picture struct {
	Target string
	Alt    string
	// Title is the caption written behind the file's name, if any.
	Title string
	// Step is the number of the step, 0 outside the steps.
	Step int
	Span source.Span
}

// Step is one order given at the bench.
type Step struct {
	// Number counts from 1.
	Number int
	Title  string
	Words  []prose.Inline
	// Span is the heading's words; All is the step with everything in it.
	Span, All source.Span
	// Facts are the facts as written, in order.
	Facts []Fact

	Surfaces []SurfaceUse
	// Every is true for `Surface: all`.
	Every bool
	// Rework is the reason in `back (rework: …)`; empty where none is written.
	Rework    string
	Abrasive  Field[trade.Abrasive]
	Medium    Field[trade.Medium]
	Machine   Field[trade.MachineUse]
	Water     Field[Water]
	Mix       Field[Mix]
	Charge    Field[Charge]
	Time      Field[Time]
	Pressure  Field[Pressure]
	Depth     Field[quantity.Value]
	Bench     Field[Bench]
	CleanDown Field[string]
	ReturnTo  Field[Return]
	Amount    Field[[]Amount]
	Mask      []SurfaceUse
	Unmask    []SurfaceUse
	// UnmaskAll is true for `Unmask: all`.
	UnmaskAll bool
	// OnlyIf is what must be seen for the step to be done at all.
	OnlyIf Field[string]

	// Body is everything below the facts in the order it was written.
	Body []Element
}

// Working says whether the step takes glass off: it names an abrasive.
func (s *Step) Working() bool { return s.Abrasive.Written() }

// Fact is one line of the list a step opens with.
type Fact struct {
	// Name is the fact's name in the format's spelling, empty where unknown.
	Name  string
	Value string
	// NameSpan and Span are the name and the value.
	NameSpan, Span source.Span
}

// SurfaceUse names a surface of the piece.
type SurfaceUse struct {
	Name string
	Span source.Span
	// Surface points into Recipe.Surfaces; nil where there is no such one.
	Surface *Surface
}

// Water is how wet a step is.
type Water struct {
	Kind *trade.Water
	// Recirculated and Bucket say where it comes from.
	Recirculated, Bucket bool
}

// Mix is a consistency: a word of the trade tables or parts.
type Mix struct {
	Word *trade.Mix // nil where parts are written
	// Powder and Water are parts by volume.
	Powder, Water float64
}

// Charge is how often fresh grain is put on.
type Charge struct {
	Once  bool
	Every quantity.Value
	// Last is the time without fresh grain at the end; unwritten where none.
	Last quantity.Value
}

// Time is what a step takes.
type Time struct {
	// Low, Usual and High are for the step as a whole; equal where only one is
	// written.
	Low, Usual, High quantity.Value
	// Times is the number of faces in `6 x 3 min`, else 1; Usual is then the
	// total.
	Times int
	// Alone is the time the machine works unattended.
	Alone quantity.Value
}

// Pressure is a word or a force, or the air pressure of a blast.
type Pressure struct {
	Word  string // light, medium, firm, own weight
	Value quantity.Value
}

// Bench is where the step is done.
type Bench struct {
	Bench trade.Bench
	// Because is the reason for going back to a dirtier one.
	Because string
}

// Return is the step to go back to when a checkpoint fails.
type Return struct {
	Title string
	// Step is its number, 0 where no step bears the title.
	Step int
}

// Amount is what a step uses up.
type Amount struct {
	Value quantity.Value
	Of    string
}

// ElementKind is what an Element of a step is.
type ElementKind int

const (
	// Words is a paragraph, quote, table or other prose.
	Words ElementKind = iota
	// Order is one numbered or bulleted instruction.
	Order
	// Check is a checkpoint.
	Check
	// Warn is a caution in the author's words.
	Warn
	// Shown is a picture that stands alone.
	Shown
)

// Element is one thing below the facts of a step.
type Element struct {
	Kind ElementKind
	Span source.Span
	// Blocks of Words; of an Order its words without key points.
	Blocks []prose.Block
	// Mark is the number of an Order, 0 for a bullet.
	Mark      int
	KeyPoints []KeyPoint
	// Check, Notice and Picture are nil but for a Check, a Warn and a Shown.
	Check   *Checkpoint
	Notice  *Notice
	Picture *Picture
}

// KeyPoint is what makes or breaks an instruction, and why.
type KeyPoint struct {
	Point, Reason []prose.Inline
	Span          source.Span
}

// Checkpoint is what must be true before moving on.
type Checkpoint struct {
	// Words without the mark, the return and the nested lines.
	Words []prose.Inline
	Text  string
	// Test is the house test it opens with, nil where none.
	Test *trade.Test
	// Tile is the code of the tile it opens with or names.
	Tile string
	// Stops is true where it ends the work and says who decides.
	Stops bool
	// Return is its own step to go back to.
	Return Field[Return]
	// Right and Wrong say what each looks like.
	Right, Wrong [][]prose.Inline
	Span         source.Span
}
