package sheet

import (
	"strconv"
	"strings"
)

// StepTableBlock is the name of the block that is a table of all steps.
const StepTableBlock = "step table"

// Steps is how many steps the sheet has.
func (s *Sheet) Steps() int {
	n := 0
	for _, b := range s.Blocks {
		switch b := b.(type) {
		case StepInFull:
			n++
		case TrainingStep:
			n += min(b.Number, 1)
		case CardSteps:
			n += len(b.Steps)
		}
	}
	return n
}

// StepRecords are the heads of the step table and a record for each step, in
// the words of the sheet: what stands in two lines of a field on paper has two
// fields here, a unit its own. What is absent is empty.
func (s *Sheet) StepRecords() [][]string {
	w := s.Words
	records := [][]string{{
		w.Say("Step"), w.Say("Work"), w.Say("Only if"), w.Say("Surface"), w.Say("Grade"), w.Say("Abrasive"), w.Say("Medium"),
		w.Say("Speed"), w.Say("Unit"), w.Say("Machine"), w.Say("Water"), w.Say("Mix"), w.Say("min"), w.Say("alone"), w.Say("bench"),
	}}
	for _, b := range s.Blocks {
		table, ok := b.(StepTable)
		if !ok {
			continue
		}
		for _, r := range table.Rows {
			record := []string{
				strconv.Itoa(r.Number), r.Do, r.OnlyIf, r.Surface, r.Grade, r.Abrasive, r.Medium,
				r.Speed, r.SpeedUnit, r.Machine, r.Water, r.Mix, r.Minutes, r.Alone, r.Bench,
			}
			for i := range record {
				record[i] = cell(record[i])
			}
			records = append(records, record)
		}
	}
	return records
}

// cell is a text as a field of a spreadsheet: its spaces are plain ones, and
// one that a spreadsheet would take for a formula has an apostrophe before it,
// by which spreadsheets know a text (the usual guard; OWASP, CSV injection).
// A number with its sign stays a number.
func cell(s string) string {
	s = strings.TrimSpace(strings.Map(func(r rune) rune {
		switch r {
		case '\u00A0', '\u202F', '\t', '\r', '\n':
			return ' '
		case '\u2060', '\u00AD':
			return -1
		}
		return r
	}, s))
	if s == "" || !strings.ContainsRune("=+-@＝＋－＠", []rune(s)[0]) {
		return s
	}
	if _, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64); err == nil {
		return s
	}
	return "'" + s
}
