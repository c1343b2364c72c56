package cli

import (
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/layout"
	"coldwright/internal/pdf"
	"coldwright/internal/sheet"
)

// cardOptions reads what is asked of a card, and says where it is asked of a
// page that is none.
func (job *printJob) cardOptions(steps, on string) error {
	o := &job.asked
	if o.Landscape && o.Portrait {
		return usagef("a paper lies --landscape or stands --portrait, not both")
	}
	if o.Punch != "" {
		if err := oneOf("--punch", o.Punch, []string{"left", "top"}); err != nil {
			return err
		}
	}
	if steps != "" {
		var ok bool
		if o.From, o.To, ok = stepRange(steps); !ok {
			return usagef("--steps takes a step or the first and the last, such as 4 or 1-6, not %q", steps)
		}
	}
	if job.design.Page == sheet.CardPage {
		return job.putOn(on)
	}
	for _, option := range []struct{ name, value string }{{"--surface", o.Surface}, {"--bench", o.Bench}, {"--steps", steps}, {"--sheet", on}} {
		if option.value != "" {
			return usagef("%s is for cards: add --as %q", option.name, "bench card")
		}
	}
	return nil
}

// putOn reads the paper several cards are put on.
func (job *printJob) putOn(name string) error {
	if name == "" {
		return nil
	}
	paper, ok := sheet.FindPaper(name)
	if !ok {
		return oneOf("--sheet", name, sheet.PaperNames())
	}
	job.on = &paper
	return nil
}

// together puts the cards of one print on common sheets: one file, in the place
// of the first card's.
func (job *printJob) together(jobs []printed) error {
	if job.on == nil {
		return nil
	}
	var cards []*draw.Document
	var first *printed
	for i := range jobs {
		if jobs[i].card == nil {
			continue
		}
		if first == nil {
			first = &jobs[i]
		}
		cards = append(cards, jobs[i].card)
	}
	if first == nil {
		return nil
	}
	if len(cards) > 1 {
		first.file = filepath.Join(job.out, job.called()+job.draftPart()+".pdf")
	}
	doc := layout.Impose(cards, *job.on)
	if doc == nil {
		return usagef("a card is larger than %s, the paper it is to go on", job.on.Name)
	}
	first.extent = plural(len(doc.Pages), "page")
	first.bytes, first.err = pdf.Write(doc)
	return nil
}

// noneAtAll makes it an error that a card was asked for and no recipe has a step
// for it. That some have none is only said.
func noneAtAll(jobs []printed) {
	isEmpty := func(d diag.Diagnostic) bool { return d.Rule == sheet.CardEmptyRule }
	for i := range jobs {
		if !slices.ContainsFunc(jobs[i].findings, isEmpty) {
			return
		}
	}
	for i := range jobs {
		for k := range jobs[i].findings {
			if isEmpty(jobs[i].findings[k]) {
				jobs[i].findings[k].Severity = diag.Error
			}
		}
	}
}

// draftPart marks the name of a file: a draft that was asked for never takes
// the place of the page itself.
func (job *printJob) draftPart() string {
	if job.draft {
		return "-draft"
	}
	return ""
}

// stepRange reads "4" and "1-6".
func stepRange(text string) (from, to int, ok bool) {
	first, last, two := strings.Cut(text, "-")
	from, err := strconv.Atoi(strings.TrimSpace(first))
	to = from
	if err == nil && two {
		to, err = strconv.Atoi(strings.TrimSpace(last))
	}
	return from, to, err == nil && from > 0 && to >= from
}

// called is the design as part of the name of a file. What a card is for and
// the paper it is asked on stand in it, so that no card takes the place of
// another.
func (job *printJob) called() string {
	if job.to == toCSV {
		return "step-table"
	}
	name := job.design.FileName()
	if job.design.Page != sheet.CardPage {
		return name
	}
	o := job.asked
	if o.Surface != "" {
		name += "-" + filePart(o.Surface)
	}
	if o.Bench != "" {
		name += "-bench-" + filePart(o.Bench)
	}
	switch {
	case o.From > 0 && o.To > o.From:
		name += "-steps-" + strconv.Itoa(o.From) + "-" + strconv.Itoa(o.To)
	case o.From > 0:
		name += "-step-" + strconv.Itoa(o.From)
	}
	if o.Paper != "" && o.Paper != job.design.Paper {
		name += "-" + filePart(o.Paper)
	}
	if o.Portrait && job.design.Turned {
		name += "-portrait"
	}
	if o.Landscape && !job.design.Turned {
		name += "-landscape"
	}
	if job.on != nil {
		name += "-on-" + filePart(job.on.Name)
	}
	return name
}

// filePart is a word as part of the name of a file: letters and figures, the
// rest as hyphens.
func filePart(word string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return '-'
	}, strings.TrimSpace(word))
}
