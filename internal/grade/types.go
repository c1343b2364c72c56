// Package grade turns the names of abrasive grades into grain sizes. Each
// scale is a table with its source; a conversion always says which scale it
// read and how the size was measured.
package grade

// Scale is a grade scale.
type Scale string

const (
	FEPAF  Scale = "FEPA F"
	FEPAP  Scale = "FEPA P"
	CAMI   Scale = "CAMI"   // ANSI coated
	ANSI   Scale = "ANSI"   // ANSI loose and bonded
	JIS    Scale = "JIS"    // JIS R6001
	FEPAD  Scale = "FEPA D" // diamond, ISO 6106
	Micron Scale = "µm"     // grain size written out
	Mesh   Scale = "mesh"   // the label diamond tools are sold by
	Sieve  Scale = "sieve"  // ASTM E11
	Pumice Scale = "pumice" // degrees of fineness
)

// Grade is a grade in one scale. The zero Grade is none.
type Grade struct {
	Scale Scale
	// Label is how it prints: "F400", "P400", "CAMI 400", "JIS 400", "D46",
	// "1.5 µm", "325 mesh", "No. 60 sieve", "2F".
	Label string
	// Size is the median or mean grain in µm; Low and High its limits where
	// known, else 0. See Basis for what the limits are.
	Size, Low, High float64
	// Order sorts the degrees of pumice: rises with coarseness. 0 elsewhere.
	Order int
	// Method says how the size was measured, Basis what Low and High mean.
	Method, Basis string
	// Source cites the table; Standing is "published", "cross-checked",
	// "from memory", "derived" or "default", and speaks of the size. A size in
	// micrometres stands "as written".
	Source, Standing string
}

// Written says whether there is a grade at all.
func (g Grade) Written() bool { return g.Scale != "" }

// Default says whether the size is a built-in default that the house should
// confirm: shop labels and degrees of pumice have no standard behind them.
//
// A size of a standard that is given from memory is none: a house can look it
// up, not set it.
func (g Grade) Default() bool { return g.Standing == "default" }
