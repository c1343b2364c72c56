// Package cli is the command: it reads and writes all files, knows the clock
// and the terminal, and turns what it finds into an exit status.
package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"coldwright/internal/keys"
	"coldwright/internal/recipe"
	"coldwright/internal/report"
)

// The exit statuses of the command.
const (
	// OK: nothing that stops a print.
	OK = 0
	// Stopped: something stops a print.
	Stopped = 1
	// Usage: the command line is wrong.
	Usage = 2
	// Unreadable: something could not be read or written.
	Unreadable = 3
)

// usageError is a command line that cannot be carried out as it stands.
type usageError struct{ text string }

func (e usageError) Error() string { return e.text }

func usagef(format string, args ...any) error {
	return usageError{fmt.Sprintf(format, args...)}
}

// env is what every command works with.
type env struct {
	in       io.Reader
	out, err io.Writer

	house string
	today string
	quiet bool
	// problems are what could not be read or written, as it was said.
	problems []string
	// status is what the command exits with where nothing else went wrong.
	status int
}

// Main runs the command with its arguments and gives the exit status.
func Main(args []string, in io.Reader, out, err io.Writer) int {
	e := &env{in: in, out: out, err: err}
	root := e.root()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(err)
	problem := root.Execute()
	if problem == nil {
		return e.status
	}
	fmt.Fprintf(err, "coldwright: %v\n", problem)
	var failed failure
	if errors.As(problem, &failed) {
		return Unreadable
	}
	return Usage
}

// failure is a command that was understood and could not be carried out. Every
// other error is a command line that is wrong.
type failure struct{ error }

// marking makes what the commands themselves run into a failure, so that it is
// told from what the command line's library says of a wrong line.
func marking(cmd *cobra.Command) {
	cmd.DisableFlagsInUseLine = true
	cmd.InitDefaultHelpFlag()
	cmd.Flags().Lookup("help").Usage = "say what the command does"
	for _, c := range cmd.Commands() {
		marking(c)
	}
	run := cmd.RunE
	if run == nil {
		return
	}
	cmd.RunE = func(c *cobra.Command, args []string) error {
		err := run(c, args)
		var usage usageError
		if err == nil || errors.As(err, &usage) {
			return err
		}
		return failure{err}
	}
}

func (e *env) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "coldwright COMMAND",
		Short: "House procedures for the glass coldworking shop: checked, and printed for the bench",
		Long: `Coldwright reads a house's procedures for grinding, smoothing, pre-polishing
and polishing glass, checks them as a careful master would, and prints them as
process sheets.

A PATH is a recipe, a folder of recipes, or - for one recipe on standard input.
The house is the folder that holds shop.yaml.`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return cmd.Help()
			}
			var known []string
			for _, c := range cmd.Commands() {
				known = append(known, c.Name())
			}
			if near := keys.Nearest(args[0], known); near != "" {
				return usagef("there is no command %q; did you mean %q?", args[0], near)
			}
			return usagef("there is no command %q; coldwright --help lists them", args[0])
		},
	}
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return usagef("%s; %s --help says what it takes", plainly(err.Error()), cmd.CommandPath())
	})
	root.SetUsageTemplate(usageWords)
	root.SetHelpCommand(e.helpCommand())
	flags := root.PersistentFlags()
	flags.StringVar(&e.house, "house", "", "the `FOLDER` of the house, where it is not the one around PATH")
	flags.BoolVar(&e.quiet, "quiet", false, "say only what went wrong")
	_ = root.MarkPersistentFlagDirname("house")
	root.AddCommand(e.checkCommand(), e.printCommand(), e.gradeCommand(), e.explainCommand(), e.reckonCommand(), e.calibrateCommand(), e.mendCommand(), e.verifyCommand(), e.designsCommand(), e.newCommand(), e.completionCommand())
	marking(root)
	return root
}

// usageWords is the foot of every help page.
const usageWords = `Write:
  {{.UseLine}} [options]{{if .HasExample}}

For example:
{{.Example}}{{end}}{{if .HasAvailableSubCommands}}

Commands:{{range .Commands}}{{if .IsAvailableCommand}}
  {{rpad .Name .NamePadding}} {{.Short}}{{end}}{{end}}{{end}}{{if .HasAvailableLocalFlags}}

Options:
{{.LocalFlags.FlagUsages | trimTrailingWhitespaces}}{{end}}{{if .HasAvailableInheritedFlags}}

Options of every command:
{{.InheritedFlags.FlagUsages | trimTrailingWhitespaces}}{{end}}
`

// plainly puts what the command line's library says of an option into plain
// words.
func plainly(text string) string {
	for _, p := range []struct{ from, to string }{
		{"unknown flag: ", "there is no option "},
		{"flag needs an argument: ", "a value is missing behind "},
		{"bad flag syntax: ", "this is no option: "},
	} {
		if rest, ok := strings.CutPrefix(text, p.from); ok {
			if _, letter, found := strings.Cut(rest, " in -"); found {
				rest = "-" + letter
			}
			return p.to + rest
		}
	}
	if rest, ok := strings.CutPrefix(text, "unknown shorthand flag: "); ok {
		_, option, _ := strings.Cut(rest, " in ")
		return "there is no option " + option
	}
	if rest, ok := strings.CutPrefix(text, "invalid argument "); ok {
		value, rest, _ := strings.Cut(rest, " for ")
		option, _, _ := strings.Cut(rest, " flag")
		return strings.Trim(option, `"`) + " does not take " + value
	}
	return text
}

// dated gives a command the --today option.
func (e *env) dated(cmd *cobra.Command) {
	cmd.Flags().StringVar(&e.today, "today", "", "the day to hold dates against, `YYYY-MM-DD` (default: today)")
}

// day is the day dates are held against.
func (e *env) day() (recipe.Date, error) {
	at := time.Now()
	if e.today != "" {
		var err error
		if at, err = time.Parse(time.DateOnly, e.today); err != nil {
			return recipe.Date{}, usagef("--today takes a date such as 2026-10-05, not %q", e.today)
		}
	}
	return recipe.Date{Year: at.Year(), Month: int(at.Month()), Day: at.Day()}, nil
}

// colour says whether w is a terminal that wants colour.
func colour(w io.Writer) bool {
	return terminal(w) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}

func terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// look is how w is written to: in colour and as wide as it is where it is a
// terminal.
func look(w io.Writer) report.Look {
	l := report.Look{Colour: colour(w)}
	if f, ok := w.(*os.File); ok {
		if columns, _, err := term.GetSize(int(f.Fd())); err == nil {
			l.Columns = columns
		}
	}
	return l
}

// plural is "1 recipe" or "2 recipes".
func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// example is the last part of a command's help.
func example(lines ...string) string { return "  " + strings.Join(lines, "\n  ") }
