package report

import (
	"encoding/json"
	"io"

	"coldwright/internal/diag"
	"coldwright/internal/source"
)

type jsonReport struct {
	Findings []jsonFinding `json:"findings"`
	Summary  jsonSummary   `json:"summary"`
}

type jsonFinding struct {
	File     string     `json:"file"`
	Line     int        `json:"line"`
	Col      int        `json:"col"`
	EndLine  int        `json:"end_line"`
	EndCol   int        `json:"end_col"`
	Severity string     `json:"severity"`
	Rule     string     `json:"rule"`
	Message  string     `json:"message"`
	Mend     string     `json:"mend"`
	Step     int        `json:"step"`
	Surface  string     `json:"surface"`
	Also     []jsonSite `json:"also,omitempty"`
	// Accepted is there where the lead has overruled the finding.
	Accepted *jsonAccepted `json:"accepted,omitempty"`
}

type jsonAccepted struct {
	Was    string `json:"was"`
	Reason string `json:"reason"`
	Until  string `json:"until"`
}

type jsonSite struct {
	File string `json:"file"`
	Line int    `json:"line"`
	Col  int    `json:"col"`
	Step int    `json:"step"`
}

type jsonSummary struct {
	Recipes  int `json:"recipes"`
	Refusals int `json:"refusals"`
	Errors   int `json:"errors"`
	Warnings int `json:"warnings"`
	Notes    int `json:"notes"`
	Accepted int `json:"accepted"`
	Unread   int `json:"unread,omitempty"`
}

// JSON writes the findings and their summary as one object. Lines and columns
// count from 1, columns in characters; the end is the place behind the last
// word at fault. A finding that points nowhere has line 0, one outside the
// steps step 0. A finding the lead has overruled is a note that says what it
// was; the summary counts it as accepted and not as a note.
func JSON(w io.Writer, list diag.List, sum Summary) error {
	r := jsonReport{
		Findings: make([]jsonFinding, 0, len(list)),
		Summary: jsonSummary{
			Recipes: sum.Recipes, Refusals: sum.Refusals, Errors: sum.Errors, Warnings: sum.Warnings, Notes: sum.Notes,
			Accepted: sum.Accepted, Unread: sum.Unread,
		},
	}
	for _, d := range list {
		p := d.Span.Place()
		f := jsonFinding{
			File: p.Name, Line: p.Line, Col: p.Column, EndLine: p.EndLine, EndCol: p.EndColumn,
			Severity: d.Severity.String(), Rule: d.Rule, Message: d.Message, Mend: d.Help,
			Step: d.Step, Surface: d.Surface,
		}
		for _, s := range d.Also {
			f.Also = append(f.Also, site(s.Span, s.Step))
		}
		if a := d.Accepted; a != nil {
			f.Accepted = &jsonAccepted{Was: a.Was.String(), Reason: a.Reason, Until: a.Until}
		}
		r.Findings = append(r.Findings, f)
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(r)
}

func site(s source.Span, step int) jsonSite {
	p := s.Place()
	return jsonSite{File: p.Name, Line: p.Line, Col: p.Column, Step: step}
}
