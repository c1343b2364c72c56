package cli

import (
	"io"

	"coldwright/internal/diag"
	"coldwright/internal/layout"
	"coldwright/internal/pdf"
	"coldwright/internal/sheet"
	"coldwright/internal/stamp"
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
	entries, left, of := job.entries(v.recipes)
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
	return e.bookDone(v, job, func(to io.Writer) error { return pdf.WriteParts(to, bound.Document, bound.Parts) }, bound.Total)
}

// entries are the recipes of a book, those it leaves out, and of each entry the
// recipe as it was read.
func (job printJob) entries(recipes []read) (entries []sheet.BookEntry, left []sheet.Left, of []*read) {
	each := job
	each.design = sheet.FindDesign(usualDesign)
	if len(recipes) > 0 {
		if own := recipes[0].findDesign(usualDesign); own != nil {
			each.design = own
		}
	}
	for i := range recipes {
		r := &recipes[i]
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
	return entries, left, of
}

// bookFace is the first page of the book of these recipes, with the mark that
// all sections of the book bear; nil where there is none to print.
func (job printJob) bookFace(h *house, recipes []read) *sheet.Sheet {
	entries, left, _ := job.entries(recipes)
	asked := job.asked
	asked.Findings = h.findings
	book, _ := sheet.BuildBook(h.House, job.design, entries, left, asked)
	if book == nil || len(entries) == 0 || len(book.Front) == 0 {
		return nil
	}
	marks := make([]stamp.Mark, len(entries))
	forEach(len(entries), func(i int) {
		if s, _ := entries[i].Sheet(); s != nil {
			marks[i] = s.Mark
		}
	})
	book.Stamp(marks)
	return book.Front[0]
}

// bookDone says what was found and lets write fill the file of the book.
func (e *env) bookDone(v *visit, job printJob, write func(to io.Writer) error, pages int) error {
	if err := e.sayOfHouse(v, job); err != nil {
		return err
	}
	return e.saveHousePage(v.recipes[0].house, job, write, pages)
}

// oneOfThem is the first of two texts that says something.
func oneOfThem(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
