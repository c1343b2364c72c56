package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"coldwright/internal/layout"
	"coldwright/internal/pdf"
	"coldwright/internal/report"
	"coldwright/internal/rules"
	"coldwright/internal/sheet"
)

// printHouse prints a page of the house itself, once whatever recipes the paths
// name.
func (e *env) printHouse(paths []string, job printJob) error {
	if len(paths) == 0 {
		return usagef("name the folder of the house whose %s to print", job.design.Name)
	}
	var h *house
	for _, path := range paths {
		if _, err := os.Stat(path); err != nil && path != "-" {
			return readError(path, err)
		}
		one, err := e.openHouse(path)
		if err != nil {
			return err
		}
		if h != nil && filepath.Clean(one.dir) != filepath.Clean(h.dir) {
			return usagef("a %s is of one house; print one house at a time", job.design.Name)
		}
		h = one
	}
	if h.File == nil {
		e.cannot(fmt.Errorf("there is no %s in %s, so there is no house to print a %s of", shopFile, filepath.ToSlash(h.dir), job.design.Name))
		return nil
	}
	list := h.findings
	list.Add(rules.CheckHouse(h.House)...)
	var write func(to io.Writer) error
	pages := 0
	if !job.stops(list.Worst()) {
		asked := job.asked
		asked.Findings = list
		content, found := sheet.BuildHouse(h.House, job.design, asked)
		list.Add(found...)
		if content != nil {
			doc, found := layout.Lay(content)
			for _, d := range found {
				if !d.Span.Known() {
					d.Span = h.File.Span(0, 0)
				}
				list.Add(d)
			}
			if !job.stops(list.Worst()) {
				bytes, err := pdf.Write(doc)
				if err != nil {
					return err
				}
				write = func(to io.Writer) error {
					_, err := to.Write(bytes)
					return err
				}
				pages = len(doc.Pages)
			}
		}
	}
	if err := e.sayOfHouse(&visit{list: list}, job); err != nil {
		return err
	}
	return e.saveHousePage(h, job, write, pages)
}

// saveHousePage lets write fill the file of a page of the house, or says that it
// was not printed.
func (e *env) saveHousePage(h *house, job printJob, write func(to io.Writer) error, pages int) error {
	if write == nil {
		fmt.Fprintf(e.out, "%s  not printed\n", job.design.Name)
		return nil
	}
	if err := os.MkdirAll(job.out, 0o755); err != nil {
		return writeError(job.out, err)
	}
	name := job.design.FileName()
	if h.Revision > 0 {
		name = fmt.Sprintf("%s-r%d", name, h.Revision)
	}
	if job.draft {
		name += "-draft"
	}
	file := filepath.Join(job.out, name+".pdf")
	if err := writeBy(file, write); err != nil {
		return err
	}
	if !e.quiet {
		fmt.Fprintf(e.out, "%s  %s\n", filepath.ToSlash(file), plural(pages, "page"))
		if h.Approved == "" && !job.draft {
			fmt.Fprint(e.out, report.Paragraph(approveHouse(h), ""))
		}
	}
	return nil
}

// approveHouse says why the pages of a house are drafts, and what to write.
func approveHouse(h *house) string {
	return fmt.Sprintf("It bears DRAFT, for nobody has approved the pages of the house. Write `approved:` with the role of who did under `house:` in %s, and `revision:` and `date:` beside it.",
		filepath.ToSlash(filepath.Join(h.dir, shopFile)))
}

// sayOfHouse says what was found on the way to a page of the house.
func (e *env) sayOfHouse(v *visit, job printJob) error {
	v.list.Sort()
	if len(v.list) > 0 {
		if err := report.Text(e.out, v.list, e.summary(v, job.strict), look(e.out)); err != nil {
			return fmt.Errorf("the findings could not be written: %s", because(err))
		}
		if !e.quiet {
			fmt.Fprintln(e.out)
		}
	}
	e.judge(v.list, job.strict)
	return nil
}
