package wear

import (
	_ "embed" // constants.csv
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Standing says what a constant rests on.
type Standing int

const (
	// Published: a citation stands in Source.
	Published Standing = iota + 1
	// Derived from published numbers.
	Derived
	// HouseDefault is a guess until the house measures.
	HouseDefault
	// Measured by the house itself.
	Measured
)

var standingNames = []string{"", "published", "derived", "house default", "measured"}

// String is the standing as constants.csv writes it.
func (s Standing) String() string { return nameOf(int(s), standingNames, "standing") }

// Constant is one number of the model.
type Constant struct {
	// Name is its parts with points between: "grind.k".
	Name  string
	Value float64
	// Unit is "1" for plain numbers, "share" and "position" for those between
	// 0 and 1.
	Unit     string
	Standing Standing
	// Source is a citation, what a guess goes by, or who measured it and when.
	Source string
}

// Table is the constants of a model in the order of constants.csv. The zero
// Table is empty; start from Constants.
type Table struct {
	rows  []Constant
	index map[string]int
}

//go:embed constants.csv
var constantsCSV string

// builtIn reads constants.csv once.
var builtIn = sync.OnceValue(func() Table {
	t, err := readTable(constantsCSV)
	if err != nil {
		panic("constants.csv: " + err.Error())
	}
	return t
})

// Constants are the built-in constants.
func Constants() Table { return builtIn() }

// All are the constants in order.
func (t Table) All() []Constant { return slices.Clone(t.rows) }

// Get finds a constant by name.
func (t Table) Get(name string) (Constant, bool) {
	i, ok := t.index[name]
	if !ok {
		return Constant{}, false
	}
	return t.rows[i], true
}

// With is the table with one value as the house measured it; source says who
// and when. The table it is called on stays as it is. Names that are not there,
// values that cannot be and the exponent the closed form is built on are
// refused with an *InputError.
func (t Table) With(name string, value float64, source string) (Table, error) {
	i, ok := t.index[name]
	if !ok {
		return Table{}, &InputError{Field: name, Why: "is no constant of the model"}
	}
	if name == "grind.exponent" {
		return Table{}, &InputError{Field: name, Value: value, Why: "is fixed: the sums over a charge are built on it"}
	}
	row := t.rows[i]
	if err := row.admits(value); err != nil {
		return Table{}, err
	}
	row.Value, row.Standing, row.Source = value, Measured, source
	rows := slices.Clone(t.rows)
	rows[i] = row
	return Table{rows: rows, index: t.index}, nil
}

// admits says whether a constant may have a value.
func (c Constant) admits(v float64) error {
	most := math.MaxFloat64
	if c.Unit == "position" || c.Unit == "share" {
		most = 1
	}
	switch {
	case math.IsNaN(v) || v > most:
		return &InputError{Field: c.Name, Value: v, Why: fmt.Sprintf("must be a number up to %g", most)}
	case v < 0 || v == 0 && c.Unit != "position":
		return &InputError{Field: c.Name, Value: v, Why: "must be above zero"}
	}
	return nil
}

func readTable(text string) (Table, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	r.FieldsPerRecord = 5
	records, err := r.ReadAll()
	if err != nil {
		return Table{}, err
	}
	t := Table{index: make(map[string]int, len(records))}
	for i, rec := range records {
		if i == 0 {
			if got := strings.Join(rec, ","); got != "name,value,unit,standing,source" {
				return Table{}, fmt.Errorf("the columns are %q", got)
			}
			continue
		}
		value, err := strconv.ParseFloat(rec[1], 64)
		if err != nil {
			return Table{}, fmt.Errorf("%s: %w", rec[0], err)
		}
		standing := Standing(slices.Index(standingNames, rec[3]))
		c := Constant{Name: rec[0], Value: value, Unit: rec[2], Standing: standing, Source: rec[4]}
		switch _, twice := t.index[c.Name]; {
		case c.Name == "" || c.Unit == "" || c.Source == "":
			return Table{}, fmt.Errorf("line %q has an empty column", rec)
		case standing < Published || standing > HouseDefault:
			return Table{}, fmt.Errorf("%s: no standing %q", c.Name, rec[3])
		case twice:
			return Table{}, fmt.Errorf("%s stands twice", c.Name)
		}
		if err := c.admits(c.Value); err != nil {
			return Table{}, err
		}
		t.index[c.Name] = len(t.rows)
		t.rows = append(t.rows, c)
	}
	return t, nil
}
