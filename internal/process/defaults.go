package process

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"coldwright/internal/wear"
)

//go:embed defaults.csv
var defaultsText string

// Assumed is one default of the reckoning.
type Assumed struct {
	Name   string
	Value  float64
	Unit   string
	Source string
}

var readDefaults = sync.OnceValues(func() ([]Assumed, map[string]float64) {
	rows := csv.NewReader(strings.NewReader(defaultsText))
	rows.Comment = '#'
	all, err := rows.ReadAll()
	if err != nil {
		panic(fmt.Sprintf("process: defaults.csv: %v", err))
	}
	list := make([]Assumed, 0, len(all))
	byName := make(map[string]float64, len(all))
	for _, row := range all[1:] {
		v, err := strconv.ParseFloat(row[1], 64)
		if err != nil || v <= 0 {
			panic(fmt.Sprintf("process: defaults.csv: %s is %q", row[0], row[1]))
		}
		list = append(list, Assumed{row[0], v, row[2], row[3]})
		byName[row[0]] = v
	}
	return list, byName
})

// Defaults are what a step is taken to run at where nobody says, in the order
// of the table. The usual force and the disc of each kind of machine stand in
// the trade tables.
func Defaults() []Assumed {
	list, _ := readDefaults()
	return append([]Assumed(nil), list...)
}

// usual is one default; a name that is not there is a mistake of ours.
func usual(name string) float64 {
	_, byName := readDefaults()
	v, ok := byName[name]
	if !ok {
		panic("process: no default " + name)
	}
	return v
}

// model is the process model with its built-in constants.
var model = sync.OnceValue(wear.Default)
