package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"coldwright/internal/parse"
	"coldwright/templates"
)

func (e *env) newCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "new house DIR | new recipe ID | new design NAME",
		Short: "Start a house, a recipe or a design from the shipped starters",
		Long: `New starts a house (a folder with a shop file and a first recipe), or a recipe or
a design in the house around the current folder. Nothing that is there already
is touched.`,
		Example: example("coldwright new house my-shop", "coldwright new recipe bowl-rim", `coldwright new design "our card" --from "bench card"`),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return oneOf("new", args[0], []string{"house", "recipe", "design"})
			}
			return usagef("say what to start: new house DIR, new recipe ID or new design NAME")
		},
	}
	cmd.AddCommand(
		&cobra.Command{
			Use: "house DIR", Short: "Start a house: a shop file and a first recipe",
			Example: example("coldwright new house my-shop"),
			RunE: func(_ *cobra.Command, args []string) error {
				if len(args) != 1 {
					return usagef("new house takes the folder to start it in")
				}
				return e.newHouse(args[0])
			},
		},
		&cobra.Command{
			Use: "recipe ID", Short: "Start a recipe in the house around the current folder",
			Example: example("coldwright new recipe bowl-rim"),
			RunE: func(_ *cobra.Command, args []string) error {
				if len(args) != 1 {
					return usagef("new recipe takes the recipe's id, such as bowl-rim")
				}
				return e.newRecipe(args[0])
			},
		},
	)
	for _, c := range cmd.Commands() {
		e.dated(c)
	}
	cmd.AddCommand(e.newDesignCommand())
	return cmd
}

// newHouse writes the starter house into a folder, all of it or nothing.
func (e *env) newHouse(dir string) error {
	day, err := e.day()
	if err != nil {
		return err
	}
	files := templates.House(day.String())
	for _, f := range files {
		name := filepath.Join(dir, filepath.FromSlash(f.Name))
		if _, err := os.Lstat(name); err == nil {
			return fmt.Errorf("%s is there already; nothing was written", filepath.ToSlash(name))
		}
	}
	for _, f := range files {
		name := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := writeNew(name, f.Text); err != nil {
			return err
		}
		e.sayWrote(name)
	}
	return nil
}

// newRecipe writes the starter recipe under an id into the house.
func (e *env) newRecipe(id string) error {
	day, err := e.day()
	if err != nil {
		return err
	}
	id = strings.TrimSuffix(id, ".md")
	if !parse.GoodID(id) {
		return usagef("%q is no recipe id: write lower-case letters, digits and hyphens, such as bowl-rim", id)
	}
	dir := e.house
	if dir == "" {
		dir = houseAround(".")
	}
	if dir == "" {
		dir = "."
	}
	// Where the house keeps its recipes in a folder of their own, so does this.
	if info, err := os.Stat(filepath.Join(dir, "recipes")); err == nil && info.IsDir() {
		dir = filepath.Join(dir, "recipes")
	}
	name := filepath.Join(dir, id+".md")
	if err := writeNew(name, templates.Recipe(id, day.String())); err != nil {
		return err
	}
	e.sayWrote(name)
	return nil
}

func (e *env) sayWrote(name string) {
	if !e.quiet {
		fmt.Fprintln(e.out, filepath.ToSlash(name))
	}
}
