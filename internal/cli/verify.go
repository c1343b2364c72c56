package cli

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldwright/internal/keys"
	"coldwright/internal/recipe"
	"coldwright/internal/report"
	"coldwright/internal/rules"
	"coldwright/internal/stamp"
)

// The statuses of verify: what a page is worth.
const (
	current    = "current"
	notCurrent = "not current"
	noMark     = "unreadable"
)

// verdict is what verify says of one page.
type verdict struct {
	Text   string `json:"text"`
	Status string `json:"status"`
	// Reasons are short words for programs, Message and Help sentences.
	Reasons []string `json:"reasons"`
	Message string   `json:"message"`
	Help    string   `json:"help"`
	Mark    string   `json:"mark,omitempty"`
	// Page is the page as its mark or its words say it is.
	Page *verdictPage `json:"page,omitempty"`
	// House is what the files hold today.
	House *verdictHouse `json:"house,omitempty"`
	// Changes are the entries of the change record after the page's revision.
	Changes []verdictChange `json:"changes,omitempty"`
}

type verdictPage struct {
	Recipe   string `json:"recipe,omitempty"`
	Revision int    `json:"revision,omitempty"`
	Design   string `json:"design,omitempty"`
	// For is the part of the recipe a card is for.
	For   string `json:"for,omitempty"`
	Draft bool   `json:"draft"`
}

type verdictHouse struct {
	Recipe    string `json:"recipe"`
	File      string `json:"file"`
	Title     string `json:"title"`
	Revision  int    `json:"revision"`
	Effective string `json:"effective"`
	// Marks are those of the whole recipe in every design, as printed today.
	Marks map[string]string `json:"marks"`
}

type verdictChange struct {
	Revision int    `json:"revision"`
	Date     string `json:"date"`
	Kind     string `json:"kind"`
	Note     string `json:"note"`
}

func (e *env) verifyCommand() *cobra.Command {
	format := "text"
	known := []string{"text", "json"}
	cmd := &cobra.Command{
		Use:   "verify TEXT",
		Short: "Say whether a page on the wall is what the house would print today",
		Long: `Verify takes what the square code of a page holds, scanned or typed: the name of
the recipe, its revision and the mark. Capitals, spaces and hyphens do not
matter, O is taken for 0 and I and L for 1. The mark alone will do. With - the
text is read from a scanner that types.

It exits 0 where the page is current, 1 where it is not, and 2 where the text
cannot be a mark. It writes nothing.`,
		Example: example(`coldwright verify "CAST-WEIGHT R2 QF37-K2M4-B" --house recipes`, "coldwright verify qf37k2m4b"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, known); err != nil {
				return err
			}
			text, err := e.pageText(args)
			if err != nil {
				return err
			}
			v, err := e.verify(text)
			if err != nil {
				return err
			}
			return e.sayVerdict(v, format)
		},
	}
	cmd.Flags().StringVar(&format, "format", format, "how the answer is written, a `WORD` of text or json")
	_ = cmd.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(known, cobra.ShellCompDirectiveNoFileComp))
	e.dated(cmd)
	return cmd
}

// pageText is the text of a page from the command line or from the first line
// of the standard input.
func (e *env) pageText(args []string) (string, error) {
	if len(args) == 0 {
		return "", usagef("give the text of the page, as in CAST-WEIGHT R2 QF37-K2M4-B")
	}
	if len(args) > 1 || args[0] != "-" {
		return strings.Join(args, " "), nil
	}
	line, err := bufio.NewReader(io.LimitReader(e.in, 1<<10)).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", readError("standard input", err)
	}
	return strings.TrimSpace(line), nil
}

// verify says what a page is worth.
func (e *env) verify(text string) (*verdict, error) {
	v := &verdict{Text: text, Reasons: []string{}}
	page, err := stamp.Read(text)
	var slip *stamp.Slip
	if errors.As(err, &slip) {
		v.say(noMark, "slip", slip.Message, slip.Help)
		return v, nil
	}
	v.Mark = page.Mark.String()
	v.Page = &verdictPage{Revision: page.Revision}
	today, err := e.day()
	if err != nil {
		return nil, err
	}
	h, names, err := e.verifiedHouse()
	if err != nil {
		return nil, err
	}
	known := names
	if page.ID != "" && !h.namesBook(page.ID) {
		known = slices.DeleteFunc(slices.Clone(names), func(name string) bool { return stamp.Fold(firstID(name)) != page.ID })
	}
	f := e.find(h, known, today, page)
	if f == nil && len(known) < len(names) {
		// Nothing of that name, as it is easily seen: the mark may be known, or
		// the name be written in an unusual way.
		f = e.find(h, names, today, page)
	}
	if f != nil && (page.ID == "" || page.ID == stamp.Fold(f.id)) {
		v.compare(f, page)
	} else {
		v.unknown(f, page, names)
	}
	return v, nil
}

// verifiedHouse is the house a page is held against: the one that was named,
// else the one around the working folder.
func (e *env) verifiedHouse() (*house, []string, error) {
	dir := e.house
	if dir == "" {
		if dir = houseAround("."); dir == "" {
			return nil, nil, usagef("there is no %s in this folder or above it, so no house to hold the page against; --house FOLDER names the house", shopFile)
		}
	}
	h, err := e.openHouse(dir)
	if err != nil {
		return nil, nil, err
	}
	h.findings.Add(rules.CheckHouse(h.House)...)
	names, problems := recipeFiles(dir)
	for _, p := range problems {
		e.cannot(p)
	}
	if len(names) == 0 && len(problems) == 0 {
		return nil, nil, fmt.Errorf("there is no recipe in %s; --house names the folder that holds the house", filepath.ToSlash(dir))
	}
	return h, names, nil
}

// find reads recipes and finds what a page is of: that whose mark it bears,
// else, where the page names it, the first of that name. Nil where there is
// neither.
func (e *env) find(h *house, names []string, today recipe.Date, page stamp.Reading) *face {
	p := e.newProgress()
	recipes := e.readAll(h, names, today, true, p)
	found := make([]face, len(recipes))
	forEach(len(recipes), func(i int) {
		if recipes[i].plan != nil {
			found[i] = ofRecipe(&recipes[i], page.Mark)
		}
		p.step("comparing", len(recipes))
	})
	p.end()
	for i := range recipes {
		if recipes[i].err != nil {
			e.cannot(recipes[i].err)
		}
	}
	found = append(found, ofHouse(h, page.Mark)...)
	if page.ID == "" || h.namesBook(page.ID) {
		found = append(found, ofBook(h, recipes, page.Mark)...)
	}
	var named *face
	for i := range found {
		switch {
		case found[i].sheet != nil:
			return &found[i]
		case named == nil && page.ID != "" && stamp.Fold(found[i].id) == page.ID:
			named = &found[i]
		}
	}
	return named
}

// say sets the answer.
func (v *verdict) say(status, reason, message, help string) {
	v.Status, v.Message, v.Help = status, message, help
	v.Reasons = append(v.Reasons, reason)
}

// unknown is the answer where no recipe of the house is named as the page says,
// or none bears the mark.
func (v *verdict) unknown(f *face, page stamp.Reading, names []string) {
	switch {
	case f != nil:
		v.hold(f)
		v.say(notCurrent, "name-differs",
			fmt.Sprintf("The mark is that of %s, and the page names another recipe.", f.words()),
			"Read the page again: name and mark stand in the same corner.")
	case page.Written != "":
		help := "It was renamed or withdrawn, or it belongs to another house. Take the page down until somebody knows."
		var ids []string
		for _, name := range names {
			ids = append(ids, firstID(name))
		}
		if near := keys.Nearest(strings.ToLower(page.Written), ids); near != "" {
			help = "The nearest name is " + near + "."
		}
		v.Page.Recipe = page.Written
		v.say(notCurrent, "unknown-recipe", fmt.Sprintf("The house has no recipe called %s.", page.Written), help)
	default:
		v.say(notCurrent, "unknown-mark",
			fmt.Sprintf("Nothing the house would print today bears the mark %s.", page.Mark),
			"Give the name and the revision with it, as they stand above the mark, to hear what changed.")
	}
}

// sayVerdict writes the answer and sets the status.
func (e *env) sayVerdict(v *verdict, format string) error {
	switch v.Status {
	case current:
		e.status = OK
	case noMark:
		e.status = Usage
	default:
		if e.status == OK {
			e.status = Stopped
		}
	}
	if format == "json" {
		out := json.NewEncoder(e.out)
		out.SetEscapeHTML(false)
		out.SetIndent("", "  ")
		return out.Encode(v)
	}
	if e.quiet && v.Status == current {
		return nil
	}
	var b strings.Builder
	b.WriteString(report.Paragraph(capitalised(v.Status)+". "+v.Message, ""))
	if len(v.Changes) > 0 {
		b.WriteString("Changed since:\n")
		for _, c := range v.Changes {
			b.WriteString(report.Paragraph(c.words(), "   "))
		}
	}
	if v.Help != "" {
		b.WriteString(report.Paragraph(v.Help, ""))
	}
	_, err := io.WriteString(e.out, b.String())
	return err
}

func (c verdictChange) words() string {
	words := fmt.Sprintf("rev %d", c.Revision)
	if c.Date != "" {
		words += ", " + c.Date
	}
	if c.Kind != "" {
		words += ", " + c.Kind
	}
	if c.Note != "" {
		words += ": " + c.Note
	}
	return words
}
