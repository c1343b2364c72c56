// Package sheet says what a page has to say: a recipe, its plan and a design
// become blocks of content in order. Where anything stands on the paper is
// none of its business; layout draws the blocks.
package sheet

import (
	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/stamp"
	"coldwright/internal/trade"
	"coldwright/internal/words"
)

// Sheet is one print of one recipe in one design. A field marked as uncounted
// is no part of what the page says: see Fingerprint.
type Sheet struct {
	// Design is the design's name: "process sheet".
	Design string
	Page   PageSetup `uncounted:""`
	Identity
	// Draft is nil for an approved print.
	Draft *Draft
	// Card is nil on every other kind of page.
	Card   *Card
	Blocks []Block
	// Foot are the guidance sentences at the foot of every page.
	Foot string
	// Spoken is the language of the fixed words, "" for English, "de+en" for a
	// sheet in two; Words says them.
	Spoken string
	Words  *words.Speaker `uncounted:""`
	// Meta is what the file says of itself.
	Meta Meta `uncounted:""`
}

// PageSetup is the paper and its margins in millimetres.
type PageSetup struct {
	// Kind says how the page is laid; empty for a sheet.
	Kind PageKind
	// Paper is "A4", "Letter" and so on; Width and Height in mm, turned where
	// Landscape is asked for.
	Paper                    string
	Width, Height            float64
	Left, Right, Top, Bottom float64
}

// Identity stands in the same corner of every face.
type Identity struct {
	// House and Kind head the page: "Quillfen Cold Shop", "process sheet".
	House, Kind string
	Title       string
	ID          string
	Revision    int
	// Effective is the date as it prints, ISO 8601.
	Effective string
	// Approved says who; empty on a draft.
	Approved string
	// Copy is the number of an issued copy, 0 for none; a draft has none.
	Copy int `uncounted:""`
	// Mark is the short fingerprint of what the sheet says.
	Mark stamp.Mark `uncounted:""`
	// Standing are lines a face must carry where a rule was lowered or a
	// finding accepted.
	Standing []string
}

// Draft marks every page.
type Draft struct {
	// Reason is what the tab says: "not approved, not for the bench".
	Reason string
	// Short says it beside the word DRAFT in the identity block.
	Short string
}

// Meta goes into the file's own description.
type Meta struct {
	Title, Subject, Author string
	Keywords               []string
	Language               string
	// Date is YYYY-MM-DD.
	Date string
}

// Block is one part of a sheet.
type Block interface{ block() }

// Purpose is the text before the first step.
type Purpose struct {
	Blocks   []prose.Block
	Pictures Pictures
}

// SurfaceTable is the piece's surfaces with their stops.
type SurfaceTable struct{ Rows []SurfaceRow }

// SurfaceRow is one surface.
type SurfaceRow struct{ Name, Shape, Arrives, StopsAt, Tile string }

// Piece is the piece in one line.
type Piece struct{ Words string }

// Stop is where the piece stops and what must not come after.
type Stop struct{ Words string }

// Cautions are the notes before the first step, gravest first.
type Cautions struct {
	// Panels are the two strongest; Lines the rest.
	Panels, Lines []CautionNote
}

// CautionNote is one caution with its signal word.
type CautionNote struct {
	Signal trade.Signal
	// Title names the hazard; empty for the author's own words.
	Title string
	Words string
	// Second are the words in the language beside that of the house; empty where
	// there is none.
	Second string
	// Rich are the author's own words where they are not plain.
	Rich []prose.Block
	// Sign is an ISO 7010 code, empty for none.
	Sign string
}

// Places says where help is: first aid, eye wash, stop switch. Each row is a
// bold name and its words; they stand close below the cautions.
type Places struct{ Rows []Place }

// Place is one of them.
type Place struct{ Name, Words string }

// Prose is the places as one paragraph, each name in bold.
func (p Places) Prose() []prose.Block {
	var line []prose.Inline
	for i, row := range p.Rows {
		if i > 0 {
			line = append(line, prose.Inline{Kind: prose.Text, Text: " · "})
		}
		name := []prose.Inline{{Kind: prose.Text, Text: row.Name}}
		line = append(line, prose.Inline{Kind: prose.Strong, Children: name},
			prose.Inline{Kind: prose.Text, Text: " " + row.Words})
	}
	return []prose.Block{{Kind: prose.Paragraph, Inlines: line}}
}

// StepTable is all steps at a glance.
type StepTable struct {
	Rows  []StepRow
	Total StepTotal
}

// StepRow is one step in the table. Absent things are empty and print as a
// dash.
type StepRow struct {
	Number  int
	Do      string
	Surface string
	// Grade is large, Abrasive with its size in µm below it.
	Grade, Abrasive string
	Medium          string
	// Speed is the large number with its Unit; Machine and rim speed below.
	Speed, SpeedUnit, Machine string
	Water, Mix                string
	Minutes                   string
	Alone                     string
	Bench                     string
	// OnlyIf is set for a step that is done only when something is seen.
	OnlyIf string
}

// StepTotal is the last row of the table.
type StepTotal struct{ Words, Minutes string }

// StepInFull is one step with everything said of it.
type StepInFull struct {
	Number int
	Title  []prose.Inline
	Anchor string `uncounted:""`
	// Surface and Bench stand to the right of the title.
	Surface, Bench string
	// OnlyIf puts the step into a frame with these words at its head.
	OnlyIf string
	// Settings stand in fixed columns, so that values line up down the page.
	Settings Settings
	Parts    []Part
	Pictures Pictures
	// Lamp stands beside the checkpoints; nil for none.
	Lamp *Lamp
}

// Settings are the large words of a step.
type Settings struct {
	Abrasive, Minutes, Speed, Water, Medium Setting
}

// Setting is a large word, its unit at body size and a small line below.
type Setting struct{ Big, Unit, Small string }

// PartKind is what a Part of a step is.
type PartKind int

const (
	// Words is prose.
	Words PartKind = iota
	// Order is one instruction with its number or a bullet.
	Order
	// KeyPoint and Because belong to the Order before them.
	KeyPoint
	Because
	// Warn is a caution, the author's or the short form of a topic.
	Warn
	// State is a fact in bold words: "From here the dome is masked."
	State
	// MoveOn heads the checkpoints.
	MoveOn
	// Check is a checkpoint with a box to tick.
	Check
	// Method is how the test of the Check before it is made.
	Method
	// Right and Wrong say what the Check before them looks like.
	Right
	Wrong
	// GoBack says where to go when a checkpoint fails.
	GoBack
	// StopHere is a checkpoint that ends the work and says who decides.
	StopHere
	// Label is a labelled line: "Clean down:", "Charge:".
	Label
	// Shown is a picture at its place.
	Shown
)

// Part is one line or paragraph of a step.
type Part struct {
	Kind PartKind
	// Mark is an Order's number ("1.") or empty for a bullet.
	Mark string
	// Label heads a Label or State part.
	Label string
	Words []prose.Inline
	// Blocks are further prose that belongs to the part.
	Blocks []prose.Block
	Signal trade.Signal
	// Step and StepTitle are where GoBack leads; Step 0 has only words.
	Step      int
	StepTitle string
	// Own is true for a GoBack of the Check before it alone.
	Own     bool
	Picture *Picture
}

// Picture is a picture made ready, with its caption.
type Picture struct {
	Target  string `uncounted:""`
	Caption string
	// Alt says what the picture shows, for who cannot see it.
	Alt string
	// Image is nil where the picture could not be had; the caption prints.
	Image *draw.Image
}

// Pictures are pictures by the target the author wrote.
type Pictures map[string]*draw.Image

// Amounts are what the piece takes.
type Amounts struct{ Rows []AmountRow }

// AmountRow is one line of it: what, how much, what it costs.
type AmountRow struct{ What, Amount, Cost string }

// Changes is the change record.
type Changes struct {
	Rows []ChangeRow
	// Review is the sentence about the next reading; empty for none.
	Review string
}

// ChangeRow is one revision.
type ChangeRow struct {
	Revision, Date string
	// Kind in bold: "method, train again".
	Kind, Note string
}

// Notes are the closing notes.
type Notes struct {
	Blocks    []prose.Block
	Footnotes []prose.Block
	Pictures  Pictures
}

// SignOff are lines to sign on.
type SignOff struct{ Lines []string }

func (Purpose) block()      {}
func (SurfaceTable) block() {}
func (Piece) block()        {}
func (Stop) block()         {}
func (Cautions) block()     {}
func (Places) block()       {}
func (StepTable) block()    {}
func (StepInFull) block()   {}
func (Amounts) block()      {}
func (Changes) block()      {}
func (Notes) block()        {}
func (SignOff) block()      {}
