package rules

import (
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

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
