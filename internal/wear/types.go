package wear

import "fmt"

// Family is what an abrasive is made of.
type Family int

// The families. The zero Family is none and is refused.
const (
	Diamond Family = iota + 1
	SiliconCarbide
	Alumina
	Garnet
	Pumice
	Cerium
	families
)

var familyNames = [families]string{"", "diamond", "silicon carbide", "alumina", "garnet", "pumice", "cerium"}

// String is the family's name.
func (f Family) String() string { return nameOf(int(f), familyNames[:], "family") }

// Bond is how the grain is held.
type Bond int

// The bonds. The zero Bond is none and is refused.
const (
	Loose Bond = iota + 1
	Plated
	Metal
	Vitrified
	Resin
	Coated
	Rubber
	Urethane
	bonds
)

var bondNames = [bonds]string{"", "loose", "plated", "metal", "vitrified", "resin", "coated", "rubber", "urethane"}

// String is the bond's name.
func (b Bond) String() string { return nameOf(int(b), bondNames[:], "bond") }

// LapClass is what carries loose grain. A bonded tool is its own lap, whatever
// stands here.
type LapClass int

// The lap classes; all but HardLap give under the grain.
const (
	NoLap LapClass = iota
	HardLap
	Pitch
	Pad
	Cork
	Felt
	Brush
	laps
)

var lapNames = [laps]string{"", "hard", "pitch", "pad", "cork", "felt", "brush"}

// String is the class's name.
func (l LapClass) String() string { return nameOf(int(l), lapNames[:], "lap class") }

// Compliant says whether the grain is cushioned.
func (l LapClass) Compliant() bool { return l >= Pitch && l <= Brush }

func nameOf(i int, names []string, what string) string {
	if i < 0 || i >= len(names) {
		return fmt.Sprintf("%s %d", what, i)
	}
	return names[i]
}

// Glass is what the model asks of a glass: its stiffness, its hardness (by
// indentation, not Knoop), its toughness, and how much faster it polishes than
// soda-lime.
type Glass struct {
	EGPa, HGPa, KcMPaSqrtM, PolishFactor float64
}

// Tool is the grain and what holds it.
type Tool struct {
	Family Family
	Bond   Bond
	// Lap carries loose grain; bonded tools need none.
	Lap LapClass
	// GrainUM is the size of new grain in µm.
	GrainUM float64
	// ActsLikeUM is the size in µm of the loose grade whose finish the tool
	// leaves, where the house knows better than its label; 0 where it says
	// nothing. Only for grain that fractures glass, so not for pumice or cerium.
	ActsLikeUM float64
	// RogueUM is the size in µm of coarser grain that may have got in above one
	// part in ten thousand; 0 for none. It counts in the high damage only.
	RogueUM float64
}

// Step is one step on one face.
type Step struct {
	Tool Tool
	// Glass sets how deep damage goes, and how fast glass comes off unless
	// GlassForRates is set: glass of unknown kind counts as lead crystal for
	// damage and as soda-lime for rates.
	Glass         Glass
	GlassForRates Glass
	// ForceN presses the whole face, AreaM2; a wheel that touches only a patch
	// takes off as much, since pressure x share of the face = ForceN / AreaM2.
	ForceN, AreaM2 float64
	// SpeedMS is the mean speed of the lap under the face.
	SpeedMS float64
	// Load is the pressure on the grain against the usual hand's: see LoadOnLap
	// and LoadOnPatch.
	Load float64
	// Minutes this face is worked; 0 leaves everything as it is.
	Minutes float64
	// ChargeEveryMin is the interval between charges of loose grain, 0 for one
	// charge at the start. RunDownMin is how long before the stop the last
	// charge goes on, 0 for the interval.
	ChargeEveryMin, RunDownMin float64
	// LapAreaM2 carries the charge. Only loose grain that breaks down asks for
	// it.
	LapAreaM2 float64
	// House is what the house has measured of this very work.
	House Measurement
}

// Measurement is what the house has measured of one tool on one glass. The
// zero Measurement changes nothing.
type Measurement struct {
	// RateFactor is the rate measured over the rate reckoned.
	RateFactor float64
	// DamageFactor is the tool's own damage measured over the one reckoned.
	DamageFactor float64
	// BreakdownJM2 is the work per area that wears a charge down, in place of
	// the family's.
	BreakdownJM2 float64
}

// State is what a face is like between two steps.
type State struct {
	// DLowUM, DUM and DHighUM are how deep the damage goes: low, expected, high.
	DLowUM, DUM, DHighUM float64
	// RtUM is the roughness from the lowest to the highest point.
	RtUM float64
	// StockUM is the unevenness that must come off before the face is true.
	StockUM float64
}

// Verdict says whether a step clears the damage it was handed.
type Verdict int

const (
	// NothingHanded is the verdict where there was no damage to clear.
	NothingHanded Verdict = iota
	// No: less came off than the low damage.
	No
	// Doubtful: at least the low damage came off.
	Doubtful
	// Likely: at least the expected damage came off.
	Likely
	// Certain: at least the high damage came off.
	Certain
)

// String is the verdict in a word, a dash where nothing was handed in.
func (v Verdict) String() string {
	return nameOf(int(v), []string{"–", "no", "doubtful", "likely", "certain"}, "verdict")
}

// Finish is what a face looks like, from matte to optical polish.
type Finish int

// The finishes, in order of brightness.
const (
	Matte Finish = iota + 1
	FineMatte
	Satin
	Lustre
	BrightPolish
	OpticalPolish
)

// String is the finish as the trade says it.
func (f Finish) String() string {
	return nameOf(int(f), []string{"", "matte", "fine matte", "satin", "lustre", "bright polish", "optical polish"}, "finish")
}

// Reach says whether minutes were asked for and whether they ever come.
type Reach int

const (
	// NotAsked: there is nothing to reach.
	NotAsked Reach = iota
	// Reached: the minutes are those of Needed.Minutes.
	Reached
	// Never: no number of minutes up to MostMinutes does it.
	Never
)

// Needed is how long something takes.
type Needed struct {
	Reach Reach
	// Minutes is 0 unless Reach is Reached.
	Minutes float64
}

// Result is what a step does.
type Result struct {
	// PressurePa is the force over the face.
	PressurePa float64
	// KPerPa and RateUMMin are means over the step; those of fresh grain where
	// it lasts no time.
	KPerPa, RateUMMin float64
	RemovedUM         float64
	// TauMin is the life of a charge; 0 for grain that does not break down.
	TauMin float64
	// GrainMeanUM over the step and GrainEndUM at the stop.
	GrainMeanUM, GrainEndUM float64
	// Charges is how many charges go on; 0 for grain that takes none.
	Charges int
	// Spent is true where a charge is left so long that it cuts little; pumice
	// never is, it goes on working as it gets finer.
	Spent bool
	// After is the face as the step leaves it.
	After State
	// Verdict is on the damage handed in, not on stock.
	Verdict Verdict
	// Expected and Safe are the minutes this step needs to take off the stock
	// and the expected, or the high, damage it was handed.
	Expected, Safe Needed
	// Gloss is how long until the face is as smooth as a lamp needs to show
	// head-on; asked only of cerium oxide and of the finest hard grain.
	Gloss Needed
}
