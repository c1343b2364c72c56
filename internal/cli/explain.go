package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"coldwright/internal/rules"
)

func (e *env) explainCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "explain [RULE]",
		Short:   "What a rule asks, why, and how to write it right",
		Long:    "Explain lists the rules by what they protect. With a rule it says what the rule\nasks and why, where it comes from, when it keeps still, a bad line and a good one.",
		Example: example("coldwright explain", "coldwright explain power-near-water"),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return usagef("explain takes one rule at a time")
			}
			if len(args) == 0 {
				_, err := fmt.Fprint(e.out, rules.ExplainAll())
				return err
			}
			text, ok := rules.Explain(args[0])
			if !ok {
				return usageError{text}
			}
			_, err := fmt.Fprint(e.out, text)
			return err
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			var ids []string
			for _, r := range rules.All {
				ids = append(ids, r.ID+"\t"+r.Title)
			}
			return ids, cobra.ShellCompDirectiveNoFileComp
		},
	}
}
