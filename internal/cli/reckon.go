package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
)

var reckonFormats = []string{"text", "json", "csv"}

func (e *env) reckonCommand() *cobra.Command {
	format, mix := "text", ""
	var w whatIf
	cmd := &cobra.Command{
		Use:   "reckon PATH…",
		Short: "Reckon what each step does to the glass, and what it takes",
		Long: `Reckon says, surface by surface, what every step takes off, how deep the damage
goes that it leaves, what the face looks like, whether it clears the step before,
and how many minutes that needs; and what the piece takes in minutes, powder,
water and money.

Minutes are those for all faces of a surface; a step that writes none is reckoned
with those it needs. The angle is how far above the dry face a lamp's outline
still shows in it; 90° is head-on. --without, --set and --add change
one recipe for the asking and set the two side by side; the file stays as it is.

It exits 0 where everything could be reckoned, 1 where something could not.`,
		Example: example(`coldwright reckon --without "Pre-polish the base" recipes/cast-weight.md`),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, reckonFormats); err != nil {
				return err
			}
			return e.reckon(args, format, mix, w)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&format, "format", format, "how it is written, a `WORD` of text, json or csv")
	flags.StringArrayVar(&w.without, "without", nil, "leave a `STEP` out, by its title, the beginning of it, or its number")
	flags.StringArrayVar(&w.set, "set", nil, "write another fact at a step, in `WORDS` such as \"Polish the base: Time=12 min\"")
	flags.StringArrayVar(&w.add, "add", nil, "put a step in, in `WORDS` such as \"pumice 2F on a felt pad, 10 min, after STEP\"")
	flags.StringVar(&mix, "mix", "", "say what powder and water make a `VOLUME` at each step that writes a mix, such as \"2 l\"")
	_ = cmd.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(reckonFormats, cobra.ShellCompDirectiveNoFileComp))
	return cmd
}

// reckoned is one recipe reckoned, and as it would be otherwise where that was
// asked for.
type reckoned struct {
	as      *process.Reckoning
	changed *process.Reckoning
	// change is what was changed, in words.
	change string
	// mixL is the volume in litres that --mix asks for, 0 where it does not.
	mixL float64
}

func (e *env) reckon(paths []string, format, mix string, w whatIf) error {
	if mix != "" && format == "csv" {
		return usagef("--mix goes with --format text or json: a line of csv is one step on one surface")
	}
	v, err := e.visit(paths, true)
	if err != nil {
		return err
	}
	var list []reckoned
	for i := range v.recipes {
		r := &v.recipes[i]
		if r.plan == nil || r.err != nil {
			continue
		}
		if r.plan.Recipe.Unread {
			e.cannot(fmt.Errorf("%s cannot be reckoned: it cannot be read as a recipe; coldwright check says why", r.plan.Recipe.File.Name))
			e.status = Stopped
			continue
		}
		if n := r.found.Count(diag.Error) + r.found.Count(diag.Refusal); n > 0 && !e.quiet {
			fmt.Fprintf(e.err, "coldwright: %s has %s that %s a print: coldwright check says what\n",
				r.plan.Recipe.File.Name, plural(n, "finding"), map[bool]string{true: "stops", false: "stop"}[n == 1])
		}
		litres, err := mixVolume(mix, r.plan.House.Numbers)
		if err != nil {
			return err
		}
		list = append(list, reckoned{as: r.plan.ReckonAsNeeded(), mixL: litres})
	}
	if w.asked() {
		if len(list) != 1 || len(v.recipes) != 1 {
			return usagef("--without, --set and --add take one recipe at a time")
		}
		plan := list[0].as.Plan
		changed, words, err := w.apply(parse.New(plan.House), plan.Recipe)
		if err != nil {
			return err
		}
		list[0].changed, list[0].change = process.Of(changed, plan.House).ReckonAsNeeded(), words
	}
	for _, one := range list {
		r := one.as
		if one.changed != nil {
			r = one.changed
		}
		if e.status == OK && !wholly(r) {
			e.status = Stopped
		}
	}
	switch format {
	case "json":
		err = reckonJSON(e.out, list)
	case "csv":
		err = reckonCSV(e.out, list)
	default:
		err = reckonText(e.out, list)
	}
	if err != nil {
		return fmt.Errorf("the reckoning could not be written: %s", because(err))
	}
	return nil
}

// wholly says whether every step of every surface could be reckoned.
func wholly(r *process.Reckoning) bool {
	for i := range r.Surfaces {
		s := &r.Surfaces[i]
		if s.Cannot != "" {
			return false
		}
		for n := range s.Steps {
			if s.Steps[n].Cannot != "" {
				return false
			}
		}
	}
	return true
}

func reckonText(w io.Writer, list []reckoned) error {
	for i, one := range list {
		text := reckonPage(one.as)
		plan := one.as.Plan
		if one.changed != nil {
			text, plan = comparePage(one), one.changed.Plan
		}
		if one.mixL > 0 {
			text += "\n" + mixPage(plan, one.mixL)
		}
		if i > 0 {
			text = "\n" + text
		}
		if _, err := io.WriteString(w, text); err != nil {
			return err
		}
	}
	return nil
}
