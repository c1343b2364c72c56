// Package trade knows what a cold shop has and does: abrasives, what carries
// them, machines and what each reaches, glasses, cautions, tests and finishes.
// The built-in tables are data a glassworker could correct; the shop file is
// laid over them.
package trade

import (
	"coldwright/internal/grade"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

// Source says where a row of a table comes from: a citation, "common
// practice" or "from memory".
type Source string

// LapClass says how what carries the grain meets the glass.
type LapClass string

const (
	Hard LapClass = "hard"
	// The compliant classes give under the grain.
	Pitch LapClass = "pitch"
	Pad   LapClass = "pad"
	Cork  LapClass = "cork"
	Felt  LapClass = "felt"
	Brush LapClass = "brush"
	// Bonded grain is its own medium.
	Bonded LapClass = "bonded"
	// Blast is grain thrown by air.
	Blast LapClass = "blast"
)

// Compliant says whether the grain is cushioned.
func (c LapClass) Compliant() bool {
	switch c {
	case Pitch, Pad, Cork, Felt, Brush:
		return true
	}
	return false
}

// Work is what a family of abrasive is for.
type Work string

const (
	Grind     Work = "grind"
	Prepolish Work = "pre-polish"
	Polish    Work = "polish"
)

// Bond is how the grain is held.
type Bond string

const (
	Loose     Bond = "loose"
	Plated    Bond = "plated"
	Metal     Bond = "metal"
	Resin     Bond = "resin"
	Vitrified Bond = "vitrified"
	Rubber    Bond = "rubber"
	Urethane  Bond = "urethane"
	Coated    Bond = "coated"
)

// Family is an abrasive by what it is made of.
type Family struct {
	Name string
	// Also are further names people write.
	Also []string
	Work Work
	// Scales are the grade scales each bond of this family is sold in.
	Scales map[Bond][]grade.Scale
	// Mohs is the hardness range; Knoop in kgf/mm²; Density of the solid in
	// g/cm³; Bulk of the dry powder in g/ml.
	Mohs, Knoop   [2]float64
	Density, Bulk float64
	// Laps are the classes a loose grain of this family may run on.
	Laps []LapClass
	// Mixes are the consistencies that suit it, by lap class.
	Mixes map[LapClass][]string
	// Comparable is false where grain size does not compare with other
	// families (pumice breaks down, cerium works by chemistry too).
	Comparable bool
	// Size is the size in µm a grade-less powder is taken to have, a marked
	// default; 0 where there is none.
	Size   float64
	Source Source

	// ready are the words by which its loose grain is sold ready mixed.
	ready []string
}

// Tool is a bonded or coated thing by the words that name it: "pad", "disc",
// "belt", "wheel", "hand pad", "blade", "paper", "burr", "stone".
type Tool struct {
	Name string
	Also []string
	// Bond is set where the word itself says it (belt and paper: coated).
	Bond Bond
	// Cutting is true for a saw blade or core drill, whose grade may be
	// missing.
	Cutting bool
	// Wheel is true for a grinding wheel that is mounted and must be sound.
	Wheel bool
	// Rim is the range of rim speed in m/s, by bond where it differs; the key
	// "" stands for every other bond.
	Rim map[Bond]Range
	// Reach are the shapes it can work, On the kinds of machine it runs on;
	// empty for all.
	Reach, On []string
	// LargeReach is what is left of its reach where it is over Large (mm) across; 0
	// where size makes no difference.
	Large      float64
	LargeReach []string
	Source     Source

	// usual is the bond where the author writes none, by family; the key nil
	// stands for every other family.
	usual map[*Family]Bond
	// grain is the family where the author writes none.
	grain *Family
}

// Range is a low and a high limit and whether the house set them itself.
type Range struct {
	Low, High float64
	House     bool
	Source    Source
}

// MediumKind is what carries a loose abrasive.
type MediumKind struct {
	Name string
	Also []string
	Lap  LapClass
	// Variants are words that may follow: solid, perforated.
	Variants []string
	// Shapes it can reach.
	Reach []string
	// On are the kinds of machine it runs on; empty for all.
	On  []string
	Rim Range
	// Mixes are consistencies that suit it whatever the powder, over and above
	// those the powder asks for.
	Mixes []string
	// House is true where the shop file defines it.
	House  bool
	Source Source
}

// MachineKind is a kind of machine, or "by hand".
type MachineKind struct {
	Name string
	Also []string
	// Reach are the shapes it can work.
	Reach []string
	// Powered is false only by hand and at the sink.
	Powered bool
	// Spindle is true where turning work or a turning tool can take hold of
	// cloth, hair and gloves.
	Spindle bool
	// Handheld is true for a machine that is held in the hand.
	Handheld bool
	// Rims is how many times faster than on other machines the rim of what gives
	// or grinds flat may run on it; 0 where no faster.
	Rims float64
	// AtOnce is true where all pieces are worked at the same time, unattended.
	AtOnce bool
	// Diameter of its disc or wheel in mm and the mean force in N where nobody
	// says otherwise.
	Diameter, Force float64
	// Pressed is true where the hands press: no lever, feed or weight does.
	Pressed bool
	// Tooled is true where the diameter written at the machine is that of
	// the turning disc itself (flat lap); false where the wheel has its own.
	Tooled bool
	// Topics print when the machine is used.
	Topics []string
	// Loud says whether it is taken as loud where no figure is written.
	Loud   bool
	Source Source

	// throws is true where air throws the grain.
	throws bool
	// driven are names that say the drive too, by drive.
	driven map[string][]string
}

// Glass is a glass.
type Glass struct {
	Name string
	Also []string
	// Density in g/cm³.
	Density float64
	// E in GPa, H in GPa, Kc in MPa·m^½; Polish is the polish factor.
	E, H, Kc, Polish float64
	// Lead is true where it is to be handled as lead glass.
	Lead bool
	// PbO is the share of lead oxide in per cent, 0 where unknown.
	PbO    float64
	House  bool
	Source Source
}

// Signal is a signal word of ANSI Z535.6.
type Signal int

const (
	Notice Signal = iota + 1
	Caution
	Warning
	Danger
)

// String is the word as printed in a panel.
func (s Signal) String() string {
	return [...]string{"", "NOTICE", "CAUTION", "WARNING", "DANGER"}[s]
}

// Topic is a caution the format knows by name.
type Topic struct {
	Name   string
	Signal Signal
	// Title is the words that head the panel.
	Title string
	// Full words stand before the first step, Short at each step it is for.
	Full, Short string
	// Why is what the caution is for, for who learns the work.
	Why string
	// Wordings replace Signal, Full and Short where a fact of the recipe says
	// so; the last whose Over is passed by the fact holds.
	Wordings []Wording
	// Sign is an ISO 7010 code, empty for none.
	Sign string
	// AtStep is true where the note must stand at the step, Again where its
	// short form is said there, if only as well as before the first step.
	AtStep, Again bool
	// InPlaceOf are standing topics whose words do not hold where this one is
	// in force: a sheet that names this one leaves them out.
	InPlaceOf []string
	// Standing is false for topics that may not be `always:`.
	Standing bool
	// Rule is the id of the rule it answers.
	Rule string
	// Ideas are what a note in free words must carry.
	Ideas []Idea
	// Acts are what nobody may be told to do where the topic is in force.
	Acts []Act
	// House is true where the words are the house's own; Span is then where the
	// shop file says them.
	House  bool
	Span   source.Span
	Source Source
}

// Act is a deed that a caution forbids, as a sentence of a recipe would order it.
type Act struct {
	// Tell is what the caution says of it: "never tip slurry down a drain".
	Tell string
	// Order are the verbs that order it, Of words of which one must stand in the
	// sentence, As phrases of which one must; Of may be empty.
	Order, Of, As []string
	// Unless are words beside which it is not meant.
	Unless []string
	// Here is true where only a step that itself calls for the topic counts.
	Here bool
	// Bare is true where the phrases order it by themselves, without a verb.
	Bare bool
	// Waived is true where the phrases name what the caution asks for, and the deed
	// is to say that there is no need of it, or to leave it off.
	Waived bool
	// Also are further topics that forbid it.
	Also []string
}

// Wording is what a topic says past a limit of one fact: "mass" in kg,
// "wheel" in mm, "noise" in dB(A).
type Wording struct {
	Fact        string
	Over        float64
	Signal      Signal
	Full, Short string
}

// Idea is one thing a note must say: any of its phrases will do.
type Idea struct {
	// Forbid is true where the note must tell the reader not to.
	Forbid  bool
	Phrases []string
	// Tell is the idea in plain words of the bench: "wash your hands".
	Tell string
	// Spoilt are phrases that undo the idea wherever the note says them, Weak
	// those that name less than it asks for.
	Spoilt, Weak []string
	// Fact and Over limit the idea to recipes whose fact ("mass" in kg, "wheel"
	// in mm) is over the figure; of several ideas with one fact only those with
	// the highest figure passed are asked for. An idea without a fact always is.
	Fact string
	Over float64
}

// Test is a test the house makes of a surface, always dry.
type Test struct {
	Name          string
	Also          []string
	Method, Shows string
	House         bool
	Source        Source
}

// Finish is a word of acceptance.
type Finish struct {
	Name string
	Also []string
	// Called is what people say who may mean this finish, or another.
	Called []string
	// Rank rises from matte to optical polish; 0 for untouched, removed and
	// seamed, which are stops but no finish.
	Rank int
	// Polish is true where only a polishing step reaches it.
	Polish bool
	// Means says it in a sentence, for the margin of the training sheet.
	Means  string
	Source Source
}

// Shape is a shape a surface may have.
type Shape struct {
	Name string
	Also []string
	// Means says it in words.
	Means  string
	Source Source
}

// Mix is a word for a consistency.
type Mix struct {
	Name string
	Also []string
	// Low and High are volumes of water to one of powder, 0 where none is
	// given.
	Low, High float64
	// Rank rises from thick to thin.
	Rank   int
	Source Source
}

// Water is a word for how wet the work is.
type Water struct {
	Name string
	Also []string
	// Wet is false only for dry.
	Wet bool
	// Running is true where water runs by itself while the step lasts.
	Running bool
	// Flow in litres a minute, a default.
	Flow   float64
	Source Source
}

// Tile is a sample of a finish the house keeps.
type Tile struct {
	Code         string
	Finish, Lamp string
}

// Bench is one of the house's benches.
type Bench struct {
	Name string
	// Rank rises from dirty to clean; Any is true for one that stands outside
	// the order, as a wash bench does.
	Rank int
	Any  bool
}

// Stock is a line of the house's abrasives.
type Stock struct {
	Code                     string
	Span                     source.Span
	Abrasive                 Abrasive
	ActsLike                 grade.Grade
	Bench                    string
	Diameter                 quantity.Value
	Maximum                  quantity.Value // rpm or m/s
	Pack                     quantity.Value
	Price                    quantity.Value
	Dated                    string
	Worn                     bool
	Retired                  bool
	ReadyMixed, FluorideFree bool
	// FreeSilica in per cent; negative where not written.
	FreeSilica float64
}

// MediumStock is a line of the house's wheels, pads, felts and brushes.
type MediumStock struct {
	Code     string
	Span     source.Span
	Medium   Medium
	KeptFor  string
	Diameter quantity.Value
	Maximum  quantity.Value
}

// Machine is one of the house's machines.
type Machine struct {
	Code     string
	Span     source.Span
	Kind     *MachineKind
	Diameter quantity.Value
	Maximum  quantity.Value // rpm or m/s
	// Reach is the house's own list; nil where the kind's holds.
	Reach []string
	// Drive is "air", "battery", "mains" or "wet rated"; empty where not
	// written.
	Drive     string
	Water     string
	Force     quantity.Value
	Noise     quantity.Value
	Vibration quantity.Value
}

// Abrasive is what an Abrasive fact or a stock line says.
type Abrasive struct {
	Family *Family
	Bond   Bond
	// Tool is nil for a loose grain.
	Tool *Tool
	// Grade is the zero Grade where none is written.
	Grade grade.Grade
	// ActsLike is set by a stock line.
	ActsLike grade.Grade
	Diameter quantity.Value
	// ReadyMixed is true for a paste, a slurry or a suspension: no dry powder is
	// spooned out.
	ReadyMixed bool
	// Stock is the line it cites, nil where it is written out.
	Stock *Stock
	// Words are the family, form and tool as they print, without the grade:
	// "resin diamond pad", "silicon carbide".
	Words string
}

// Medium is what a Medium fact or a media line says.
type Medium struct {
	Kind     *MediumKind
	Variant  string
	Diameter quantity.Value
	Stock    *MediumStock
	// Words are how it prints without code and diameter: "felt pad, solid".
	Words string
}

// MachineUse is what a Machine fact says.
type MachineUse struct {
	Kind *MachineKind
	// Unit is the house's machine it cites, nil where only a kind is written.
	Unit     *Machine
	Diameter quantity.Value
	// Speed is rpm or m/s; unwritten where the author wrote none. Of a range it
	// is the higher end, and SpeedLow the lower; else SpeedLow is unwritten.
	Speed, SpeedLow quantity.Value
	// Drive is what the author wrote, else that of the house's machine: "air",
	// "battery", "mains" or "wet rated"; empty where neither says.
	Drive string
}

// Measured is a measurement of the house's own.
type Measured struct {
	Stock, Medium, Machine, Glass string
	Area, Pressure, Speed         quantity.Value
	Rate, Damage, Lamp            quantity.Value
	SpentAfter, ClearedAfter      quantity.Value
	Dated, By                     string
	Span                          source.Span
}

// RuleSetting is what the house makes of one rule.
type RuleSetting struct {
	Rule, Severity, Because string
	Span                    source.Span
}

// Limits are the house's own limits.
type Limits struct {
	// GradeStep is the widest step in grain size the house allows, as a ratio;
	// the zero Limit where it has set none.
	GradeStep Limit
	// HandForce is the most force in N that is asked of a pair of hands.
	HandForce Limit
	// Card is the paper of the bench card; TypeFloor its smallest type.
	Card      string
	TypeFloor quantity.Value
	// Rules is by rule id.
	Rules map[string]RuleSetting
}

// Limit is one number the house may set.
type Limit struct {
	Value  float64
	House  bool
	Source Source
}

// blasts says whether it throws the grain by air.
func (k *MachineKind) blasts() bool { return k.throws }
