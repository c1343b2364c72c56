package trade

import (
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

// House is everything one shop knows: the built-in tables with its shop file
// laid over them. It does not change once it is loaded, so that recipes may be
// read by several goroutines at a time.
type House struct {
	// File is the shop file, nil where the house has none.
	File *source.File

	Name, Place string
	// Revision counts the shop file from 1, Date (ISO 8601) and Approved say
	// since when and by whom; 0 and empty where not written. They stand on the
	// pages of the house itself: the book and the grade chart.
	Revision       int
	Date, Approved string

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

	look *look
}
