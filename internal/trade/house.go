package trade

import (
	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

// House is everything one shop knows: the built-in tables with its shop file
// laid over them. It does not change once it is loaded, so that recipes may be
// read by several goroutines at a time.
type House struct {
	// File is the shop file, nil where the house has none.
	File *source.File

	Name, Place   string
	Paper, Units  string
	Language      string
	Numbers       quantity.Options
	Roles, Places map[string]string

	Families []*Family
	Tools    []*Tool
	Media    []*MediumKind
	Kinds    []*MachineKind
	Glasses  []*Glass
	Shapes   []*Shape
	Finishes []*Finish
	Mixes    []*Mix
	Waters   []*Water
	Tests    []*Test
	Topics   []*Topic
	Tiles    []Tile

	Stock       map[string]*Stock
	MediumStock map[string]*MediumStock
	Machines    map[string]*Machine
	Benches     []Bench
	Measured    []Measured
	Limits      Limits
	// Always are the topics that stand on every recipe.
	Always []*Topic
}

// BuiltIn is a house without a shop file.
func BuiltIn() *House { panic("to be written") }

// Lay reads a shop file and lays it over the built-in tables. All its mistakes
// are reported; what could be read stands.
func Lay(f *source.File, report *diag.List) *House { panic("to be written") }

// The Find methods look a word up, whatever its case and by any of its names.
// They give nil where the house does not know it.

func (h *House) FindGlass(name string) *Glass       { panic("to be written") }
func (h *House) FindShape(name string) *Shape       { panic("to be written") }
func (h *House) FindFinish(name string) *Finish     { panic("to be written") }
func (h *House) FindTopic(name string) *Topic       { panic("to be written") }
func (h *House) FindTest(name string) *Test         { panic("to be written") }
func (h *House) FindMix(name string) *Mix           { panic("to be written") }
func (h *House) FindWater(name string) *Water       { panic("to be written") }
func (h *House) FindBench(name string) *Bench       { panic("to be written") }
func (h *House) FindTile(code string) *Tile         { panic("to be written") }
func (h *House) FindKind(name string) *MachineKind  { panic("to be written") }
func (h *House) FindMedium(name string) *MediumKind { panic("to be written") }
func (h *House) FindFamily(name string) *Family     { panic("to be written") }

// ReadAbrasive reads what an Abrasive fact, a stock line or an arrival says:
// "resin diamond pad 325 mesh", "silicon carbide F220", or the code of a stock
// line. Byte n of text is byte n of at. What is wrong is reported; false where
// nothing usable is left.
func (h *House) ReadAbrasive(at source.Span, text string, report *diag.List) (Abrasive, bool) {
	panic("to be written")
}

// ReadMedium reads "felt pad, solid", "iron lap, 300 mm" or a code.
func (h *House) ReadMedium(at source.Span, text string, report *diag.List) (Medium, bool) {
	panic("to be written")
}

// ReadMachine reads "flat lap, 300 mm at 150 rpm" or "LAP3 at 150 rpm".
func (h *House) ReadMachine(at source.Span, text string, report *diag.List) (MachineUse, bool) {
	panic("to be written")
}

// ReadGrade reads a grade for a family and bond, refusing scales it is not
// sold in and bare numbers the house has not explained.
func (h *House) ReadGrade(at source.Span, text string, f *Family, b Bond, report *diag.List) (grade.Grade, bool) {
	panic("to be written")
}

// Wording is what the topic says for the facts given (mass in kg, wheel in
// mm, noise in dB(A)): its signal word, full and short words.
func (t *Topic) Wording(facts map[string]float64) Wording { panic("to be written") }

// Class is the lap class an abrasive meets the glass with: that of its medium,
// Bonded where it is its own, Blast on a blast cabinet.
func Class(a Abrasive, m Medium, k *MachineKind) LapClass { panic("to be written") }
