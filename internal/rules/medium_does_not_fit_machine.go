package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var mediumFitsMachine = check.Rule{
	ID: "medium-does-not-fit-machine", Severity: diag.Error, Concern: diag.Piece,
	Title: "The wheel, disc, pad, brush or belt is one its machine takes.",
	Why: "A felt wheel has a bore and wants a spindle, a pad lies on a plate, a belt runs over rollers. Where the two do not belong together one of them is a slip, " +
		"and nobody at the bench knows which.",
	Source: "common practice",
	Quiet:  "machine or medium is not written, the tables name no machines for it, it is held in the hand against work that turns on a spindle (on a lap, belt or saw it warns), or machine-does-not-reach says that the machine is the wrong one",
	Bad:    "Medium: felt wheel, 200 mm   (Machine: flat lap at 400 rpm)",
	Good:   "Medium: felt pad, 300 mm",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			with, wrong := misfit(step)
			if !wrong || len(machineShort(c, i)) > 0 {
				continue
			}
			runs := " on " + aMachine(step.Machine.Value)
			if !powered(step) {
				runs = " " + step.Machine.Value.Kind.Name
			}
			severity := diag.Error
			if inTheHand(with.on) {
				severity = diag.Warning
			}
			found(check.Finding{
				Span: with.span, Step: step.Number, Severity: severity,
				Message: "Step " + itoa(step.Number) + " works with " + article(with.name) + runs + ". " + takes(with),
				Help:    otherFit(c, i, with),
			})
		}
	},
}

// takes says where a wheel, pad or belt runs.
func takes(with carrier) string {
	var on []string
	hand := ""
	for _, name := range with.on {
		switch name {
		case "by hand":
			hand = ", or is used by hand"
		case "sink":
			// Work by hand too, where it is washed.
		default:
			on = append(on, name)
		}
	}
	if len(on) == 0 {
		return "It is used by hand."
	}
	return "It runs on " + article(listed(on, "or")) + hand + "."
}

// otherFit says what to write instead.
func otherFit(c *check.Context, n int, with carrier) string {
	step := &c.Recipe.Steps[n]
	shapes := shapesOf(several(c.Plan.Steps[n].Works))
	machines := machinesFor(c, step, shapes)
	var media []string
	if !with.tool {
		media = mediaFor(c, step, shapes)
	}
	switch {
	case len(media) > 0 && len(machines) > 0:
		return "Write `Medium:` with " + listed(media, "or") + ", or `Machine:` with " + listed(machines, "or") + "."
	case len(media) > 0:
		return "Write `Medium:` with " + listed(media, "or") + "."
	case len(machines) > 0:
		return "Write `Machine:` with " + listed(machines, "or") + "."
	case with.tool:
		return "Write the tool or the machine that was meant."
	}
	return "Write the medium or the machine that was meant."
}

// misfits says whether a step's machine does not take what the step works with:
// then its speed says nothing yet.
func misfits(step *recipe.Step) bool {
	_, wrong := misfit(step)
	return wrong
}
