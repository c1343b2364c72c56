package cli

import (
	"coldwright/internal/diag"
	"coldwright/internal/layout"
	"coldwright/internal/pdf"
	"coldwright/internal/sheet"
)

// printBook binds the recipes of one house into a book. Those that something
// stops are left out, and the book says so; the status is then FindingsStop.
func (e *env) printBook(paths []string, job printJob) error {
	v, err := e.visit(paths, true)
	if err != nil || len(v.recipes) == 0 {
		return err
	}
	h := v.recipes[0].house
	for i := range v.recipes {
		if v.recipes[i].dir != h.dir {
			return usagef("a %s is of one house; print one house at a time", job.design.Name)
		}
	}
	each := job
	each.design = sheet.FindDesign("process sheet")
	var entries []sheet.BookEntry
	var left []sheet.Left
	var of []*read
	for i := range v.recipes {
		r := &v.recipes[i]
		if r.plan == nil {
			continue
		}
		rec := r.plan.Recipe
		if worst := max(r.findings.Worst(), r.found.Worst()); !rec.ID.OK || !rec.Revision.OK || job.stops(worst) {
			left = append(left, sheet.Left{ID: rec.ID.Value, Title: oneOfThem(rec.Title.Value, r.name), Why: "a finding stops its print"})
			continue
		}
		of = append(of, r)
		entries = append(entries, sheet.BookEntry{Anchor: rec.ID.Value, Plan: r.plan, Sheet: func() (*sheet.Sheet, diag.List) { return each.content(r) }})
	}
	asked := job.asked
	asked.Findings = h.findings
	book, found := sheet.BuildBook(h.House, job.design, entries, left, asked)
	if book == nil || len(entries) == 0 || job.stops(h.findings.Worst()) {
		v.list.Add(found...)
		return e.bookDone(v, job, nil, 0)
	}
	bound := layout.Bind(book)
	for i, list := range bound.Found {
		for _, d := range list {
			if !d.Span.Known() {
				d.Span = of[i].plan.Recipe.File.Span(0, 0)
			}
			if !said(of[i].found, d) {
				found.Add(d)
			}
		}
	}
	for _, d := range bound.Sections {
		if !d.Span.Known() && h.File != nil {
			d.Span = h.File.Span(0, 0)
		}
		found.Add(d)
	}
	v.list.Add(found...)
	if job.stops(found.Worst()) {
		return e.bookDone(v, job, nil, 0)
	}
	bytes, err := pdf.Write(bound.Document)
	if err != nil {
		return err
	}
	return e.bookDone(v, job, bytes, len(bound.Pages))
}

// bookDone says what was found and writes the book.
func (e *env) bookDone(v *visit, job printJob, bytes []byte, pages int) error {
	if err := e.sayOfHouse(v, job); err != nil {
		return err
	}
	return e.saveHousePage(v.recipes[0].house, job, bytes, pages)
}

// oneOfThem is the first of two texts that says something.
func oneOfThem(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
