// Package keys reads texts of keys and values (the front matter of a recipe,
// the shop file, a design) into values that know where they stand. It is the
// only importer of the YAML library; what it says of a mistake it says in
// words of the bench.
package keys

import (
	"coldwright/internal/diag"
	"coldwright/internal/source"
)

// Kind is what a Value is.
type Kind int

const (
	// Missing is a value that is not there at all.
	Missing Kind = iota
	// Empty is a key with nothing behind it.
	Empty
	// Scalar is one text.
	Scalar
	// List is several values.
	List
	// Map is keys with values.
	Map
)

// Value is one value of a text.
type Value struct{ todo struct{} }

// Entry is one key and its value.
type Entry struct {
	Key     string
	KeySpan source.Span
	Value   Value
}

// Read reads the bytes start to end of f. What cannot be read is reported and
// gives the zero Value; reading never panics, whatever the bytes.
func Read(f *source.File, start, end int, report *diag.List) Value { panic("to be written") }

// Kind says what v is.
func (v Value) Kind() Kind { panic("to be written") }

// Span is where v stands; of a quoted text the part between the quotes, so
// that byte n of Text is byte n of the Span wherever nothing is escaped.
func (v Value) Span() source.Span { panic("to be written") }

// Key is the key v stands under, and where.
func (v Value) Key() (string, source.Span) { panic("to be written") }

// Text is the text of a Scalar, as written, without quotes.
func (v Value) Text() string { panic("to be written") }

// List are the values of a List; a Scalar or Map gives a list of itself.
func (v Value) List() []Value { panic("to be written") }

// Entries are the entries of a Map in order. A key written twice is reported
// with the place of the first and left out. What is no map is reported.
func (v Value) Entries(report *diag.List) []Entry { panic("to be written") }

// Fields are the entries of a Map that takes known keys only: an unknown key
// is reported with the nearest known one. where names the map for people ("a
// surface", "the front matter").
func (v Value) Fields(where string, known []string, report *diag.List) Fields { panic("to be written") }

// Fields are values by key.
type Fields struct{ todo struct{} }

// Get is the value under key; of Kind Missing where there is none.
func (f Fields) Get(key string) Value { panic("to be written") }

// Nearest is the word of known that text most likely meant, or "" where none
// is near. It serves keys, facts, units, shapes and every other closed list.
func Nearest(text string, known []string) string { panic("to be written") }
