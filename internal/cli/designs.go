package cli

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"coldwright/internal/diag"
	"coldwright/internal/report"
	"coldwright/internal/sheet"
)

func (e *env) designsCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "designs [NAME]",
		Short: "The designs there are, and what each block of a design takes",
		Long: `Designs lists the designs a page can be printed in, built-in and the house's
own, and for every kind of page the blocks that may stand on it with what each
takes. With a name it shows one design.

A house's own designs lie in its folder designs; new design starts one.`,
		Example: example("coldwright designs", `coldwright designs "bench card"`),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return usagef("designs takes one name at a time; a name of several words stands in quotes")
			}
			h := &house{dir: e.houseOf(".")}
			e.readDesigns(h)
			if len(args) == 0 {
				return e.listDesigns(h)
			}
			return e.showDesign(h, args[0])
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return e.completeDesigns(), cobra.ShellCompDirectiveNoFileComp
		},
	}
}

// completeDesigns are the names of the designs of the house around the working
// folder.
func (e *env) completeDesigns() []string {
	own, _, _ := ownDesigns(e.houseOf("."))
	h := &house{own: own}
	return designNames(h.designs())
}

// listDesigns lists the designs, then what each kind of page takes.
func (e *env) listDesigns(h *house) error {
	if err := e.sayDesignFaults(h); err != nil {
		return err
	}
	var rows [][]string
	for _, d := range h.designs() {
		rows = append(rows, []string{d.Name, string(d.Page), paperOf(d), h.whence(d)})
	}
	for i := range h.own {
		if h.own[i].design == nil {
			rows = append(rows, []string{h.own[i].name, "has mistakes", "", h.own[i].file.Name})
		}
	}
	var b strings.Builder
	b.WriteString(report.Table([]report.Column{{Head: "design", Width: 18}, {Head: "page", Width: 15}, {Head: "paper", Width: 16}, {Head: "from", Width: 30}}, rows))
	for _, page := range sheet.Pages() {
		fmt.Fprintf(&b, "\nOn a %s\n", page.Kind)
		b.WriteString(report.Paragraph(page.About, ""))
		for _, block := range page.Blocks {
			describe(&b, block, nil)
		}
	}
	_, err := fmt.Fprint(e.out, b.String())
	return err
}

// sayDesignFaults says what is wrong with the house's own designs.
func (e *env) sayDesignFaults(h *house) error {
	if len(h.designFound) == 0 {
		return nil
	}
	list := slices.Clone(h.designFound)
	list.Sort()
	if err := report.Text(e.out, list, e.summary(&visit{list: list}, false), look(e.out)); err != nil {
		return fmt.Errorf("the findings could not be written: %s", because(err))
	}
	fmt.Fprintln(e.out)
	e.judge(list, false)
	return nil
}

// whence is the file of a design, or that it is built in.
func (h *house) whence(d *sheet.Design) string {
	for i := range h.own {
		if h.own[i].design == d {
			return h.own[i].file.Name
		}
	}
	return "built in"
}

func paperOf(d *sheet.Design) string {
	if d.Turned {
		return d.Paper + ", landscape"
	}
	return d.Paper
}

// describe says what a block is and what it takes; of a block in a design also
// what that writes.
func describe(b *strings.Builder, block sheet.BlockHelp, spec *sheet.BlockSpec) {
	head := "  " + block.Name
	if block.Needed {
		head += " (cannot be left out)"
	}
	b.WriteString(head + "\n" + report.Paragraph(block.About, "      "))
	for _, o := range block.Options {
		words := o.Kind + "; where nothing is written, " + o.Usual
		if spec != nil {
			words = o.Usual + ", as nothing is written"
			if written, ok := spec.Written[o.Name]; ok {
				words = strings.Join(strings.Fields(written), " ")
			}
		}
		b.WriteString("      " + o.Name + ": " + words + "\n" + report.Paragraph(o.About, "          "))
	}
}

// showDesign shows one design: its page, and its blocks in order with what they
// say.
func (e *env) showDesign(h *house, name string) error {
	for i := range h.own {
		if o := &h.own[i]; o.called(name) && o.design == nil {
			of := func(d diag.Diagnostic) bool { return d.Span.File != o.file }
			return e.sayDesignFaults(&house{designFound: slices.DeleteFunc(slices.Clone(h.designFound), of)})
		}
	}
	d := h.findDesign(name)
	if d == nil {
		names := designNames(h.designs())
		return oneOf("designs", name, names)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s, %s: a %s on %s\n", d.Name, h.whence(d), d.Page, paperOf(d))
	var page sheet.PageHelp
	for _, p := range sheet.Pages() {
		if p.Kind == d.Page {
			page = p
		}
	}
	b.WriteString(report.Paragraph(page.About, ""))
	m := d.Portrait
	if d.Turned {
		m = d.Landscape
	}
	fmt.Fprintf(&b, "Clear at the left %g mm, right %g mm, top %g mm, foot %g mm.\n", m.Left, m.Right, m.Top, m.Bottom)
	if d.Type != (sheet.TypeRange{}) {
		fmt.Fprintf(&b, "Its text is %g pt at most and %g pt at least.\n", d.Type.Largest, d.Type.Smallest)
	}
	b.WriteString("\n")
	stands := map[string]bool{}
	for i := range d.Blocks {
		stands[d.Blocks[i].Name] = true
		for _, block := range page.Blocks {
			if block.Name == d.Blocks[i].Name {
				describe(&b, block, &d.Blocks[i])
			}
		}
	}
	var left []string
	for _, block := range page.Blocks {
		if !stands[block.Name] {
			left = append(left, block.Name)
		}
	}
	if len(left) > 0 {
		b.WriteString("\n" + report.Paragraph("It leaves out: "+strings.Join(left, ", ")+".", ""))
	}
	_, err := fmt.Fprint(e.out, b.String())
	return err
}

// newDesignCommand starts a design as a copy of another.
func (e *env) newDesignCommand() *cobra.Command {
	from := usualDesign
	cmd := &cobra.Command{
		Use: "design NAME", Short: "Start a design in the house around the current folder, as a copy of another",
		Example: example(`coldwright new design "our card" --from "bench card"`),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usagef("new design takes the name of the design; a name of several words stands in quotes")
			}
			return e.newDesign(args[0], from)
		},
	}
	cmd.Flags().StringVar(&from, "from", from, "the `DESIGN` to copy")
	_ = cmd.RegisterFlagCompletionFunc("from", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return e.completeDesigns(), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// newDesign copies a design into the house under a name, its remarks with it.
func (e *env) newDesign(name, from string) error {
	name = strings.Join(strings.Fields(name), " ")
	if !goodDesignName(name) {
		return usagef("%q is no name for a design: write a letter first, then letters, figures, spaces and hyphens, such as our bench card", name)
	}
	h := &house{dir: e.houseOf(".")}
	e.readDesigns(h)
	d := h.findDesign(from)
	if d == nil {
		for i := range h.own {
			if h.own[i].called(from) {
				return fmt.Errorf("%s has mistakes, so it was not copied; coldwright designs says which", h.own[i].file.Name)
			}
		}
		return oneOf("--from", from, designNames(h.designs()))
	}
	for i := range h.own {
		if h.own[i].called(name) {
			return fmt.Errorf("a design %q is there already, in %s; it was left as it is", h.own[i].name, h.own[i].file.Name)
		}
	}
	text, at := d.NameSpan.File.Text, d.NameSpan
	copied := slices.Concat(text[:at.Start], []byte(name), text[at.End:])
	file := filepath.Join(h.dir, designsFolder, (&sheet.Design{Name: name}).FileName()+".yaml")
	if err := writeNew(file, copied); err != nil {
		return err
	}
	e.sayWrote(file)
	return nil
}

// goodDesignName says whether a name can stand in the file of a design as it is.
func goodDesignName(name string) bool {
	for i, r := range name {
		if !unicode.IsLetter(r) && (i == 0 || !unicode.IsDigit(r) && r != ' ' && r != '-') {
			return false
		}
	}
	return name != "" && len(name) <= 60
}
