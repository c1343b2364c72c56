package rules

import (
	"slices"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

var polishOnHardLap = check.Rule{
	ID: "polish-powder-on-hard-lap", Severity: diag.Error, Concern: diag.Piece,
	Title: "Pumice and cerium run on something that gives.",
	Why: "On iron, steel or plate glass the powder is crushed or rolls away: pumice scratches and cerium does nothing. " +
		"Both want felt, cork, a brush or a pad.",
	Source: "common practice",
	Quiet:  "never, where pumice or cerium is loose on a hard lap",
	Bad:    "Medium: iron lap, 300 mm   (with cerium oxide 1.5 µm)",
	Good:   "Medium: felt pad, 300 mm",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			a, m := &step.Abrasive.Value, step.Medium.Value
			if !step.Abrasive.OK || !step.Medium.OK || m.Kind == nil || a.Family == nil || !loose(a) || isWork(a, trade.Grind) {
				continue
			}
			if len(a.Family.Laps) == 0 && m.Kind.Lap.Compliant() || slices.Contains(a.Family.Laps, m.Kind.Lap) {
				continue
			}
			found(check.Finding{
				Span: step.Medium.Span, Step: step.Number,
				Message: "Step " + itoa(step.Number) + " runs " + nameOf(a) + " on " + article(mediumName(m)) + ". " + powderFault(m.Kind.Lap),
				Help:    "Write " + carriers(c, i) + ".",
			})
		}
	},
}

// powderFault says what a lap that does not suit a polishing powder does.
func powderFault(lap trade.LapClass) string {
	if lap == trade.Hard {
		return "A hard lap crushes the powder against the glass or lets it roll away; it wants something that gives."
	}
	return "That lap does not suit the powder."
}
