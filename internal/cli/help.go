package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"coldwright/internal/keys"
)

// helpCommand is `coldwright help COMMAND`, the same as `coldwright COMMAND
// --help`.
func (e *env) helpCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "What a command does",
		RunE: func(cmd *cobra.Command, args []string) error {
			at, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 {
				var known []string
				for _, c := range cmd.Root().Commands() {
					known = append(known, c.Name())
				}
				if near := keys.Nearest(args[len(args)-1], known); near != "" {
					return usagef("there is no command %q; did you mean %q?", args[len(args)-1], near)
				}
				return usagef("there is no command %q; coldwright --help lists them", args[len(args)-1])
			}
			return at.Help()
		},
	}
}

// shells are those that can finish commands by themselves, each with how its
// script is written.
var shells = []string{"bash", "zsh", "fish", "powershell"}

func (e *env) completionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "A script that lets your shell finish commands: bash, zsh, fish or powershell",
		Long: `Completion writes a script for your shell. With it the tab key finishes commands,
options, rules and papers. Load it where your shell starts, for example in
~/.bashrc:

  source <(coldwright completion bash)`,
		Example:   example("coldwright completion zsh"),
		ValidArgs: shells,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usagef("name one shell: bash, zsh, fish or powershell")
			}
			if err := oneOf("completion", args[0], shells); err != nil {
				return err
			}
			var err error
			switch root := cmd.Root(); args[0] {
			case "bash":
				err = root.GenBashCompletionV2(e.out, true)
			case "zsh":
				err = root.GenZshCompletion(e.out)
			case "fish":
				err = root.GenFishCompletion(e.out, true)
			case "powershell":
				err = root.GenPowerShellCompletionWithDesc(e.out)
			}
			if err != nil {
				return fmt.Errorf("the script could not be written: %s", because(err))
			}
			return nil
		},
	}
}
