package rules

import (
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// covers says of a list of shapes whether it holds one; an empty list and the
// word any hold all.
func covers(list []string) func(string) bool {
	return func(shape string) bool {
		return len(list) == 0 || slices.Contains(list, shape) || slices.Contains(list, "any")
	}
}

// reach looks at every surface a step works. One tool on one shape is one
// cause, however many steps there are.
func reach(c *check.Context, found func(check.Finding),
	tool func(*recipe.Step) (name string, ok bool, covers func(string) bool),
	can func(shape string) []string,
	at func(*recipe.Step) source.Span,
) {
	type cause struct{ tool, shape, surface string }
	var order []cause
	var places map[cause][]place
	for i := range c.Plan.Steps {
		step := &c.Recipe.Steps[i]
		if !step.Working() {
			continue
		}
		name, ok, covers := tool(step)
		if !ok {
			continue
		}
		for _, s := range c.Plan.Steps[i].Works {
			shape := shapeOf(s)
			if shape == "" || covers(shape) || untouched(s) {
				continue
			}
			if places == nil {
				places = map[cause][]place{}
			}
			why := cause{name, shape, s.Name.Value}
			if places[why] == nil {
				order = append(order, why)
			}
			places[why] = append(places[why], place{step, at(step)})
		}
	}
	for _, why := range order {
		gather(places[why], found, func(subject string, many bool) check.Finding {
			works := " works the "
			if many {
				works = " work the "
			}
			f := check.Finding{
				Surface: why.surface,
				Message: subject + works + why.surface + " with " + article(why.tool) + ". The shape there is " + why.shape + ", which " + article(why.tool) + " does not reach.",
			}
			if others := can(why.shape); len(others) > 0 {
				f.Help = "Write one that does: " + listed(others[:min(4, len(others))], "or") + "."
			}
			return f
		})
	}
}
