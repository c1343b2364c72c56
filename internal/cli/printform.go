package cli

import (
	"bytes"
	"encoding/csv"
	"slices"

	"coldwright/internal/sheet"
	"coldwright/internal/web"
)

// form is what kind of file a print is written as.
type form string

const (
	toPDF  form = "pdf"
	toHTML form = "html"
	toCSV  form = "csv"
)

func formNames() []string { return []string{string(toPDF), string(toHTML), string(toCSV)} }

// ending is the end of a file's name.
func (f form) ending() string { return "." + string(f) }

// readForm reads the form a print is asked for, and says where what is asked
// cannot be had in it: a page for a browser is of one recipe, and a table has no
// paper.
func (job *printJob) readForm(name, on string) error {
	if err := oneOf("--to", name, formNames()); err != nil {
		return err
	}
	switch job.to = form(name); {
	case job.to == toPDF:
		return nil
	case job.design.OfHouse() || job.design.OfBook():
		return usagef("a %s is of the whole house and comes as PDF only; --to %s is for the designs of one recipe", job.design.Name, job.to)
	case on != "":
		return usagef("--sheet puts cards on one paper, and --to %s has none; leave one of them out", job.to)
	case job.to == toHTML:
		return nil
	}
	if !slices.ContainsFunc(job.design.Blocks, func(b sheet.BlockSpec) bool { return b.Name == sheet.StepTableBlock }) {
		return usagef("a %s has no table of the steps; leave out --as %q, or choose a design that has one", job.design.Name, job.design.Name)
	}
	return nil
}

// write writes what a sheet says in a form other than PDF.
func (job printJob) write(out *printed, content *sheet.Sheet) {
	switch job.to {
	case toHTML:
		out.bytes, out.err = web.Page(content)
	case toCSV:
		out.bytes, out.err = csvOf(content)
	}
	out.extent = plural(content.Steps(), "step")
}

// byteOrderMark tells a spreadsheet that the file is UTF-8. RFC 4180 neither
// asks for nor forbids it; without it the most used ones take µ and ü apart.
const byteOrderMark = "\uFEFF"

// csvOf is the table of the steps by RFC 4180: fields in quotes where they need
// them, a comma between, each record ended by CR LF, the first the heads.
func csvOf(s *sheet.Sheet) ([]byte, error) {
	b := bytes.NewBufferString(byteOrderMark)
	w := csv.NewWriter(b)
	w.UseCRLF = true
	if err := w.WriteAll(s.StepRecords()); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
