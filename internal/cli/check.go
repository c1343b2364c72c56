package cli

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/report"
	"coldwright/internal/rules"
)

var formats = []string{"text", "lines", "json", "sarif"}

func (e *env) checkCommand() *cobra.Command {
	format, strict, watch := "text", false, false
	cmd := &cobra.Command{
		Use:   "check PATH…",
		Short: "Check recipes and say what a careful master would strike out",
		Long: `Check reads recipes and says what would hurt somebody, spoil the piece or leave
an apprentice guessing: the place, the words at fault, and what to write instead.

With --watch it goes on: whenever a recipe, the shop file, a design or a picture
is saved it names the file and checks again. Ctrl-C ends it, with the status of
the last check.

It exits 0 where nothing stops a print, 1 where something does.`,
		Example: example("coldwright check recipes", "coldwright check --strict recipes/optic-block.md", "coldwright check --watch recipes"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, formats); err != nil {
				return err
			}
			if watch {
				return e.watchPaths(args, format, strict)
			}
			return e.check(args, format, strict)
		},
	}
	cmd.Flags().StringVar(&format, "format", format, "how findings are written, a `WORD` of text, lines, json or sarif")
	cmd.Flags().BoolVar(&strict, "strict", false, "let a warning stop a print too")
	cmd.Flags().BoolVar(&watch, "watch", false, "check again whenever something is saved, until Ctrl-C")
	_ = cmd.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(formats, cobra.ShellCompDirectiveNoFileComp))
	e.dated(cmd)
	return cmd
}

// oneOf says what is wrong with the value of an option that takes a few words.
func oneOf(option, value string, known []string) error {
	if slices.Contains(known, value) {
		return nil
	}
	text := fmt.Sprintf("%s takes %s, not %q", option, orList(known), value)
	if near := keys.Nearest(value, known); near != "" {
		text += fmt.Sprintf("; did you mean %q?", near)
	}
	return usageError{text}
}

func orList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// visit is one run over recipes of one house or several.
type visit struct {
	recipes []read
	// list are all findings in the order they are read in.
	list diag.List
	// designs are those of the houses' own designs, which stop a print in them
	// and in no other.
	designs diag.List
	// unread is how many files could not be read.
	unread int
}

// visit reads and checks what paths name, each recipe by the house around its
// path. What could not be read is said on the error stream and makes the
// status Unreadable. The plans are there for those who ask to keep them.
func (e *env) visit(paths []string, keep bool) (*visit, error) {
	if len(paths) == 0 {
		return nil, usagef("name a recipe, a folder of recipes, or - for standard input")
	}
	today, err := e.day()
	if err != nil {
		return nil, err
	}
	shops, problems, err := e.shops(paths)
	if err != nil {
		return nil, err
	}
	for _, p := range problems {
		e.cannot(p)
	}
	v := &visit{unread: len(problems)}
	if len(shops) == 0 && len(problems) == 0 {
		e.cannot(fmt.Errorf("there is no recipe in %s: recipes are files that end in .md", strings.Join(paths, ", ")))
	}
	p := e.newProgress()
	for _, s := range shops {
		v.recipes = append(v.recipes, e.readAll(s.house, s.names, today, keep, p)...)
		s.findings.Add(rules.CheckHouse(s.House)...)
		v.list.Add(s.findings...)
		v.designs.Add(s.designFound...)
	}
	p.end()
	for _, r := range v.recipes {
		if r.err != nil {
			e.cannot(r.err)
			v.unread++
			continue
		}
		v.list.Add(r.found...)
	}
	v.list.Sort()
	return v, nil
}

// shop is a house and the recipes that were asked for of it.
type shop struct {
	*house
	names []string
}

// shops are the houses around paths with the recipes that paths name, each
// house and each recipe once. What could not be looked at is in problems.
func (e *env) shops(paths []string) (shops []*shop, problems []error, err error) {
	byDir := map[string]*shop{}
	seen := map[string]bool{}
	for _, path := range paths {
		names, bad := recipeFiles(path)
		problems = append(problems, bad...)
		if len(names) == 0 {
			continue
		}
		h, err := e.openHouse(path)
		if err != nil {
			return nil, nil, err
		}
		dir, absErr := filepath.Abs(h.dir)
		if absErr != nil {
			dir = h.dir
		}
		s := byDir[dir]
		if s == nil {
			s = &shop{house: h}
			byDir[dir] = s
			shops = append(shops, s)
		}
		for _, name := range names {
			if !seen[name] {
				seen[name] = true
				s.names = append(s.names, name)
			}
		}
	}
	return shops, problems, nil
}

// cannot says that something could not be read or written.
func (e *env) cannot(err error) {
	fmt.Fprintf(e.err, "coldwright: %v\n", err)
	e.problems = append(e.problems, err.Error())
	e.status = Unreadable
}

// judge lowers the status to Stopped where the findings stop a print.
func (e *env) judge(list diag.List, strict bool) {
	if e.status == OK && (list.Worst() >= diag.Error || strict && list.Worst() >= diag.Warning) {
		e.status = Stopped
	}
}

// summary sums the visit up for the report.
func (e *env) summary(v *visit, strict bool) report.Summary {
	sum := report.Summarise(v.list, 0)
	for _, r := range v.recipes {
		if r.entry != nil {
			sum.Recipes++
		}
	}
	sum.Unread, sum.Strict, sum.Silent = v.unread, strict, e.quiet
	return sum
}

func (e *env) check(paths []string, format string, strict bool) error {
	v, err := e.visit(paths, false)
	if err != nil {
		return err
	}
	v.list.Add(v.designs...)
	v.list.Sort()
	switch format {
	case "lines":
		err = report.Lines(e.out, v.list)
	case "json":
		err = report.JSON(e.out, v.list, e.summary(v, strict))
	case "sarif":
		err = report.SARIF(e.out, v.list, report.Log{
			Rules: ruleTexts(), Problems: e.problems, Unnamed: standardInput, Absolute: wholePath,
		})
	default:
		if len(v.recipes) == 0 && len(v.list) == 0 {
			break // what went wrong is said already
		}
		sum := e.summary(v, strict)
		sum.Mend = mendPaths(v.list, paths)
		err = report.Text(e.out, v.list, sum, look(e.out))
	}
	if err != nil {
		return fmt.Errorf("the findings could not be written: %s", because(err))
	}
	e.judge(v.list, strict)
	return nil
}

// wholePath is where a file lies, whatever folder the command runs in, with
// links followed and forward slashes. What cannot be followed stays as it is.
func wholePath(name string) string {
	whole, err := filepath.Abs(filepath.FromSlash(name))
	if err != nil {
		return name
	}
	if followed, err := filepath.EvalSymlinks(whole); err == nil {
		whole = followed
	}
	return filepath.ToSlash(whole)
}

// ruleTexts are the words of every rule.
func ruleTexts() []report.RuleText {
	texts := make([]report.RuleText, len(rules.All))
	for i, r := range rules.All {
		r = rules.Plain(r)
		texts[i] = report.RuleText{
			ID: r.ID, Severity: r.Severity, Protects: rules.Protects(r.Concern), Title: r.Title,
			Why: r.Why, Source: r.Source, Quiet: r.Quiet, Bad: r.Bad, Good: r.Good,
		}
	}
	return texts
}
