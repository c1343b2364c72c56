// Package diag is the one kind of finding there is, from the first byte read
// to the last page laid out. It prints nothing.
package diag

import (
	"cmp"
	"slices"

	"coldwright/internal/source"
)

// Severity says what a finding stops.
type Severity int

const (
	// Note stops nothing.
	Note Severity = iota + 1
	// Warning stops nothing unless the lead asked for it.
	Warning
	// Error stops the print; a draft may still be printed.
	Error
	// Refusal stops the print and the draft.
	Refusal
)

// String is the word the command prints.
func (s Severity) String() string {
	switch s {
	case Note:
		return "note"
	case Warning:
		return "warning"
	case Error:
		return "error"
	case Refusal:
		return "refusal"
	}
	return "unknown"
}

// Concern says what a finding is about; findings are read in this order.
type Concern int

const (
	// People is what can hurt somebody.
	People Concern = iota + 1
	// Piece is what spoils the glass.
	Piece
	// Test is a missing test: nobody can tell when a step is done.
	Test
	// Grade is a step between grades.
	Grade
	// Card is the paper itself: identity, words, completeness.
	Card
)

// Site is one of several places with the same cause.
type Site struct {
	Span source.Span
	// Step is the number of the step, from 1; 0 outside the steps.
	Step int
}

// Diagnostic is one finding.
type Diagnostic struct {
	// Rule is the id `explain` knows it by.
	Rule     string
	Severity Severity
	Concern  Concern
	// Span is the words at fault.
	Span source.Span
	// Message says in plain sentences what is wrong.
	Message string
	// Help says what to write instead; empty where the message says it all.
	Help string
	// Step is the number of the step at fault, from 1; 0 outside the steps.
	Step int
	// Surface is the surface at fault, where it is one.
	Surface string
	// Also are further places with the same cause.
	Also []Site
	// Mend is the one obvious correction; the zero Mend where there is none, or
	// where more than one would do.
	Mend Mend
	// Accepted is what the lead wrote to overrule it; nil where nobody did. A
	// finding that is overruled is a note, whatever it was.
	Accepted *Accepted
}

// Accepted is a finding overruled.
type Accepted struct {
	// Was is the severity the finding would have.
	Was Severity
	// Reason is the lead's, without a full stop.
	Reason string
	// Until is the day on which it is looked at again, 2026-10-05; empty where
	// that could not be read.
	Until string
	// Span is the entry that overrules it.
	Span source.Span
}

// List gathers findings.
type List []Diagnostic

// Add puts findings at the end.
func (l *List) Add(d ...Diagnostic) { *l = append(*l, d...) }

// Worst is the gravest severity in the list; 0 in an empty one.
func (l List) Worst() Severity {
	var worst Severity
	for _, d := range l {
		worst = max(worst, d.Severity)
	}
	return worst
}

// Count is how many findings are of the severity.
func (l List) Count(s Severity) int {
	n := 0
	for _, d := range l {
		if d.Severity == s {
			n++
		}
	}
	return n
}

// Once is the list without what it tells again of the same place. Two parts of a
// value that cannot be placed apart are both told at the whole of it.
func (l List) Once() List {
	if len(l) < 2 {
		return l
	}
	type key struct {
		rule, message, help string
		span                source.Span
	}
	told := make(map[key]bool, len(l))
	return slices.DeleteFunc(l, func(d Diagnostic) bool {
		k := key{d.Rule, d.Message, d.Help, d.Span}
		again := told[k]
		told[k] = true
		return again
	})
}

// Joined makes one finding of those that say the same of several places of one
// file: the first bears it and all their corrections, the places of the others
// are listed. The order stays that of the first.
func (l List) Joined() List {
	type key struct {
		rule, message, help string
		severity            Severity
		file                *source.File
	}
	var out List
	first := make(map[key]int, len(l))
	for _, d := range l {
		k := key{d.Rule, d.Message, d.Help, d.Severity, d.Span.File}
		at, seen := first[k]
		if !seen || d.Span.File == nil || d.Accepted != nil || out[at].Span == d.Span {
			first[k] = len(out)
			out = append(out, d)
			continue
		}
		out[at].Also = append(slices.Clip(out[at].Also), Site{Span: d.Span, Step: d.Step})
		out[at].Also = append(out[at].Also, d.Also...)
		if d.Mend.Known() {
			have := &out[at].Mend
			have.Does, have.Edits = d.Mend.Does, append(slices.Clip(have.Edits), d.Mend.Edits...)
		}
	}
	return out
}

// Sort puts the list into the order it is read in: refusals first, then what
// hurts people, what spoils the piece, missing tests, grade jumps and the card
// itself; within these by file and place. The order does not depend on the one
// the findings came in.
func (l List) Sort() {
	slices.SortStableFunc(l, func(a, b Diagnostic) int {
		return cmp.Or(
			cmp.Compare(boolInt(b.Severity == Refusal), boolInt(a.Severity == Refusal)),
			cmp.Compare(a.Concern, b.Concern),
			cmp.Compare(fileName(a), fileName(b)),
			cmp.Compare(a.Span.Start, b.Span.Start),
			cmp.Compare(a.Span.End, b.Span.End),
			cmp.Compare(b.Severity, a.Severity),
			cmp.Compare(a.Rule, b.Rule),
			cmp.Compare(a.Message, b.Message),
			cmp.Compare(a.Step, b.Step),
			cmp.Compare(a.Surface, b.Surface),
			cmp.Compare(a.Help, b.Help),
		)
	})
}

func fileName(d Diagnostic) string {
	if d.Span.File == nil {
		return ""
	}
	return d.Span.File.Name
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}
