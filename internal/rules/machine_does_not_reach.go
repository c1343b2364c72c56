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
