package rules

import (
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

var machineReach = check.Rule{
	ID: "machine-does-not-reach", Severity: diag.Error, Concern: diag.Piece,
	Title: "The machine reaches the shape of the surface.",
	Why: "A flat lap cannot touch the bottom of a hollow; it takes the rim down instead. What each kind of machine reaches stands in the trade tables; " +
		"a machine of the house may have its own `reach`.",
	Source: "common practice",
	Quiet:  "the surface is masked in the step, or its shape is not written",
	Bad:    "Machine: flat lap, 300 mm at 150 rpm   (on a concave hollow)",
	Good:   "Machine: lathe at 450 rpm",
	Check: func(c *check.Context, found func(check.Finding)) {
		reach(c, found, func(s *recipe.Step) (string, bool, func(string) bool) {
			m := s.Machine.Value
			if !s.Machine.OK || m.Kind == nil {
				return "", false, nil
			}
			list := m.Kind.Reach
			if m.Unit != nil && m.Unit.Reach != nil {
				list = m.Unit.Reach
			}
			return machineName(m), true, covers(list)
		}, func(shape string) []string {
			var can []string
			for _, k := range c.House.Kinds {
				if slices.Contains(k.Reach, shape) && k.Powered {
					can = append(can, k.Name)
				}
			}
			return can
		}, func(s *recipe.Step) source.Span { return s.Machine.Span })
	},
}

var mediumReach = check.Rule{
	ID: "medium-does-not-reach", Severity: diag.Error, Concern: diag.Piece,
	Title: "The wheel, pad or brush reaches the shape of the surface.",
	Why: "A flat or stiff wheel polishes the high places of a relief and leaves the rest, or takes the ridges of ground lenses off. " +
		"A brush follows the form.",
	Source: "common practice",
	Quiet:  "the surface is masked in the step, or its shape is not written",
	Bad:    "Medium: felt pad, 300 mm   (on a relief)",
	Good:   "Medium: horsehair brush wheel, 150 mm",
	Check: func(c *check.Context, found func(check.Finding)) {
		reach(c, found, func(s *recipe.Step) (string, bool, func(string) bool) {
			m := s.Medium.Value
			if !s.Medium.OK || m.Kind == nil {
				return "", false, nil
			}
			return mediumName(m), true, covers(m.Kind.Reach)
		}, func(shape string) []string {
			var can []string
			for _, m := range c.House.Media {
				if slices.Contains(m.Reach, shape) {
					can = append(can, m.Name)
				}
			}
			return can
		}, func(s *recipe.Step) source.Span { return s.Medium.Span })
	},
}

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
				Message: subject + works + why.surface + " with a " + why.tool + ". Its shape is " + why.shape + ", which a " + why.tool + " does not reach.",
			}
			if others := can(why.shape); len(others) > 0 {
				f.Help = "Write one that does: " + listed(others[:min(4, len(others))], "or") + "."
			}
			return f
		})
	}
}
