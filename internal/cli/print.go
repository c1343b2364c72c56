package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/layout"
	"coldwright/internal/pdf"
	"coldwright/internal/report"
	"coldwright/internal/sheet"
	"coldwright/internal/words"
)

// printJob is what one print is asked for.
type printJob struct {
	design *sheet.Design
	out    string
	// asked is what the page is asked to be.
	asked sheet.Options
	draft bool
	// on is the paper several cards are put on; nil for none.
	on *sheet.Paper
	// strict lets a warning stop a print too.
	strict bool
	// to is the form the print is written in.
	to form
}

// usualDesign is the design where none is asked for.
const usualDesign = "process sheet"

func (e *env) printCommand() *cobra.Command {
	job := printJob{out: "printed"}
	as, steps, on, with, to := "process sheet", "", "", "", string(toPDF)
	cmd := &cobra.Command{
		Use:   "print PATH…",
		Short: "Print recipes as process sheets and bench cards",
		Long: `Print checks recipes and writes those that hold as PDF, one file a recipe, into
the folder printed. A recipe with an error is named and not printed; --draft
prints it with every page marked DRAFT. A refusal is never printed. The fixed
words of a page are in the language of the house; --with-language sets another
beside it on a bench card.

--to html writes one page for a browser a recipe: all that is needed is in the
file, and boxes that were ticked stay ticked on the device until the page says
something else. --to csv writes the table of the steps for a spreadsheet.`,
		Example: example("coldwright print recipes", "coldwright print --draft --paper Letter recipes/optic-block.md",
			`coldwright print --as "bench card" --paper A6 --portrait --bench D recipes/cast-weight.md`,
			"coldwright print --to html recipes/cast-weight.md"),
		RunE: func(cmd *cobra.Command, args []string) error {
			var err error
			if job.design, err = e.designAsked(as, args); err != nil || job.design == nil {
				return err
			}
			if job.asked.Paper != "" {
				name, ok := sheet.PaperName(job.asked.Paper)
				if !ok {
					return oneOf("--paper", job.asked.Paper, sheet.PaperNames())
				}
				job.asked.Paper = name
			}
			if cmd.Flags().Changed("copy") {
				switch {
				case job.asked.Copy < 1:
					return usagef("--copy takes the number of the copy, from 1 on")
				case job.draft:
					return usagef("a draft carries no copy number: print it without --copy, or without --draft")
				}
			}
			if job.out == "" {
				return usagef("--out takes the folder to print into")
			}
			if err := job.cardOptions(steps, on); err != nil {
				return err
			}
			if with != "" {
				if job.asked.With = words.Find(with); job.asked.With == nil {
					return oneOf("--with-language", with, words.Tags())
				}
				if job.design.Page != sheet.CardPage {
					return usagef("--with-language is for bench cards: add --as \"bench card\"")
				}
			}
			job.asked.Draft = job.draft
			if err := job.readForm(to, on); err != nil {
				return err
			}
			if job.design.OfBook() {
				return e.printBook(args, job)
			}
			if job.design.OfHouse() {
				return e.printHouse(args, job)
			}
			return e.print(args, job)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&as, "as", as, "the `DESIGN` to print")
	flags.StringVar(&to, "to", to, "the `FORM` of the file: pdf, html for a tablet, or csv of the steps")
	flags.StringVar(&job.out, "out", job.out, "the `FOLDER` to print into")
	asked := &job.asked
	flags.StringVar(&asked.Paper, "paper", "", "the `PAPER`, such as A4 or Letter (default: the house's, else the design's)")
	flags.BoolVar(&asked.Landscape, "landscape", false, "lay the paper on its long side")
	flags.BoolVar(&asked.Portrait, "portrait", false, "stand the paper on its short side")
	flags.StringVar(&asked.Punch, "punch", "", "keep a `SIDE`, left or top, clear for the holes of a binder")
	flags.StringVar(&asked.Surface, "surface", "", "a card for one `SURFACE` only")
	flags.StringVar(&asked.Bench, "bench", "", "a card for one `BENCH` only")
	flags.StringVar(&steps, "steps", "", "a card for some `STEPS` only, such as 1-6")
	flags.StringVar(&on, "sheet", "", "put several cards on one `PAPER`, with lines to cut along")
	flags.StringVar(&with, "with-language", "", "a card in the house's language and, beside it, another `LANGUAGE`: "+strings.Join(words.Tags(), ", "))
	flags.BoolVar(&job.draft, "draft", false, "print recipes with errors too, every page marked DRAFT")
	flags.IntVar(&asked.Copy, "copy", 0, "the `NUMBER` of this copy, printed on every page")
	flags.BoolVar(&job.strict, "strict", false, "let a warning stop a print too")
	_ = cmd.MarkFlagDirname("out")
	_ = cmd.RegisterFlagCompletionFunc("as", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return e.completeDesigns(), cobra.ShellCompDirectiveNoFileComp
	})
	_ = cmd.RegisterFlagCompletionFunc("to", cobra.FixedCompletions(formNames(), cobra.ShellCompDirectiveNoFileComp))
	_ = cmd.RegisterFlagCompletionFunc("sheet", cobra.FixedCompletions(sheet.PaperNames(), cobra.ShellCompDirectiveNoFileComp))
	_ = cmd.RegisterFlagCompletionFunc("with-language", cobra.FixedCompletions(words.Tags(), cobra.ShellCompDirectiveNoFileComp))
	_ = cmd.RegisterFlagCompletionFunc("punch", cobra.FixedCompletions([]string{"left", "top"}, cobra.ShellCompDirectiveNoFileComp))
	_ = cmd.RegisterFlagCompletionFunc("paper", cobra.FixedCompletions(sheet.PaperNames(), cobra.ShellCompDirectiveNoFileComp))
	e.dated(cmd)
	return cmd
}

// printed is what became of one recipe.
type printed struct {
	// file is what is printed, or would have been.
	file string
	// extent says how much there is in it: "3 pages".
	extent string
	bytes  []byte
	// unnumbered is true for a draft that was asked for with a copy number.
	unnumbered bool
	// card is a card that is to go on a sheet with others.
	card *draw.Document
	// findings are those that came up on the way to the page.
	findings diag.List
	// held is true where the recipe was not to be printed at all.
	held bool
	err  error
}

func (e *env) print(paths []string, job printJob) error {
	v, err := e.visit(paths, true)
	if err != nil || len(v.recipes) == 0 {
		return err
	}
	jobs := make([]printed, len(v.recipes))
	p := e.newProgress()
	forEach(len(jobs), func(i int) {
		jobs[i] = job.make(&v.recipes[i])
		p.step("printing", len(jobs))
	})
	p.end()

	if err := job.together(jobs); err != nil {
		return err
	}
	noneAtAll(jobs)
	taken := map[string]bool{}
	for i := range jobs {
		p := &jobs[i]
		for _, d := range p.findings {
			// What is wrong with the paper or the design is said once for all.
			again := func(o diag.Diagnostic) bool { return o.Rule == d.Rule && o.Message == d.Message && !o.Span.Known() }
			if d.Span.Known() || !slices.ContainsFunc(v.list, again) {
				v.list.Add(d)
			}
		}
		if p.bytes != nil && taken[p.file] {
			*p = printed{file: p.file, held: true}
		}
		taken[p.file] = taken[p.file] || p.bytes != nil
	}
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
	return e.save(v, jobs, job)
}

// save writes what was made and says what became of every recipe.
func (e *env) save(v *visit, jobs []printed, job printJob) error {
	if !slices.ContainsFunc(jobs, func(p printed) bool { return p.bytes != nil }) {
		return e.sayHeld(v, jobs, job)
	}
	if err := os.MkdirAll(job.out, 0o755); err != nil {
		return writeError(job.out, err)
	}
	sheets := 0
	for i := range jobs {
		p := &jobs[i]
		switch {
		case p.err != nil:
			e.cannot(fmt.Errorf("%s: %v", filepath.ToSlash(v.recipes[i].name), p.err))
		case p.bytes != nil:
			if err := writeWhole(p.file, p.bytes); err != nil {
				e.cannot(err)
				continue
			}
			sheets++
			if !e.quiet {
				fmt.Fprintf(e.out, "%s  %s\n", filepath.ToSlash(p.file), p.extent)
			}
			if p.unnumbered {
				fmt.Fprintf(e.out, "%s  carries no copy number: it is a draft\n", filepath.ToSlash(p.file))
			}
		}
	}
	if err := e.sayHeld(v, jobs, job); err != nil {
		return err
	}
	if !e.quiet {
		fmt.Fprintf(e.out, "%s printed.\n", plural(sheets, "sheet"))
	}
	return nil
}

// sayHeld names the recipes that were not printed, and the older prints of
// them that are now out of date.
func (e *env) sayHeld(v *visit, jobs []printed, job printJob) error {
	fresh := map[string]bool{}
	for i := range jobs {
		if jobs[i].bytes != nil {
			fresh[jobs[i].file] = true
		}
	}
	for i := range jobs {
		if !jobs[i].held {
			continue
		}
		name := filepath.ToSlash(v.recipes[i].name)
		fmt.Fprintf(e.out, "%s  not printed\n", name)
		for _, old := range olderPrints(job, &v.recipes[i]) {
			if fresh[old] {
				continue
			}
			fmt.Fprintf(e.out, "%s  is out of date: it is from before the findings above\n", filepath.ToSlash(old))
		}
	}
	return nil
}

// olderPrints are the files of earlier prints of a recipe in the same design.
func olderPrints(job printJob, r *read) []string {
	if r.plan == nil || !r.plan.Recipe.ID.OK {
		return nil
	}
	entries, err := os.ReadDir(job.out)
	if err != nil {
		return nil
	}
	var old []string
	for _, entry := range entries {
		rest, isOurs := strings.CutPrefix(entry.Name(), r.plan.Recipe.ID.Value+"-r")
		number, isOurs2 := strings.CutSuffix(rest, "-"+job.called()+job.to.ending())
		if isOurs && isOurs2 && number != "" && strings.Trim(number, "0123456789") == "" {
			old = append(old, filepath.Join(job.out, entry.Name()))
		}
	}
	return old
}

// stops says whether findings as grave as the worst stop this print: a refusal
// always does, an error unless a draft is asked for, a warning where it is
// asked to.
func (job printJob) stops(worst diag.Severity) bool {
	switch {
	case job.draft:
		return worst >= diag.Refusal
	case job.strict:
		return worst >= diag.Warning
	}
	return worst >= diag.Error
}

// make turns one recipe into the bytes of its file.
func (job printJob) make(r *read) printed {
	if r.plan == nil {
		return printed{}
	}
	rec := r.plan.Recipe
	worst := max(r.findings.Worst(), r.found.Worst())
	if !rec.ID.OK || !rec.Revision.OK || job.stops(worst) {
		return printed{held: true}
	}
	out := printed{file: filepath.Join(job.out, fmt.Sprintf("%s-r%d-%s%s%s", rec.ID.Value, rec.Revision.Value, job.called(), job.draftPart(), job.to.ending()))}
	content, findings := job.content(r)
	out.findings.Add(findings...)
	if content == nil || job.stops(out.findings.Worst()) {
		out.held = true
		return out
	}
	out.unnumbered = job.asked.Copy > 0 && content.Copy == 0
	if job.to != toPDF {
		job.write(&out, content)
		out.add(layout.EnglishLeft(content), r)
		return out
	}
	pages, findings := layout.Lay(content)
	out.add(findings, r)
	if pages == nil || job.stops(out.findings.Worst()) {
		out.held = true
		return out
	}
	if job.on != nil {
		out.card = pages
		return out
	}
	out.extent = plural(len(pages.Pages), "page")
	out.bytes, out.err = pdf.Write(pages)
	return out
}

// add are findings that came up while the page was made.
func (p *printed) add(findings diag.List, r *read) {
	for _, d := range findings {
		if !d.Span.Known() {
			d.Span = r.plan.Recipe.File.Span(0, 0)
		}
		if !said(r.found, d) {
			p.findings.Add(d)
		}
	}
}

// content is what the pages of a recipe say, with what was found on the way.
func (job printJob) content(r *read) (*sheet.Sheet, diag.List) {
	var found diag.List
	pictures, bad := loadPictures(r.house, folderOf(r.name), r.plan.Recipe)
	for _, d := range bad {
		if !said(r.found, d) {
			found.Add(d)
		}
	}
	asked := job.asked
	asked.Pictures, asked.Findings = pictures, r.found
	content, more := sheet.Build(r.plan, job.design, asked)
	found.Add(more...)
	return content, found
}

// said says whether the list holds the finding already.
func said(list diag.List, d diag.Diagnostic) bool {
	return slices.ContainsFunc(list, func(o diag.Diagnostic) bool {
		return o.Rule == d.Rule && (o.Span == d.Span || o.Message == d.Message)
	})
}
