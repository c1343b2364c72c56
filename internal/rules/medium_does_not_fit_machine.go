package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var mediumFitsMachine = check.Rule{
	ID: "medium-does-not-fit-machine", Severity: diag.Error, Concern: diag.Piece,
	Title: "The wheel, disc, pad, brush or belt is one its machine takes.",
	Why: "A felt wheel has a bore and wants a spindle, a pad lies on a plate, a belt runs over rollers. Where the two do not belong together one of them is a slip, " +
		"and nobody at the bench knows which.",
	Source: "common practice",
	Quiet:  "a disc or pad is no more than a quarter wider than its lap, machine or medium is not written, the tables name no machines for it, it is held in the hand against work that turns on a spindle (on a lap, belt or saw it warns), or machine-does-not-reach says that the machine is the wrong one",
	Bad:    "Medium: felt wheel, 200 mm   (Machine: flat lap at 400 rpm)",
	Good:   "Medium: felt pad, 300 mm",
	Check: func(c *check.Context, found func(check.Finding)) {
		overhangs(c, found)
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			if a := &step.Abrasive.Value; blasting(step) && step.Abrasive.OK && !loose(a) && a.Tool != nil {
				found(check.Finding{
					Span: step.Abrasive.Span, Step: step.Number,
					Message: capital(stepNo(step)) + " blasts with " + article(nameOf(a)) + ", which no air throws.",
					Help:    "Write the loose grain the cabinet is filled with, or the machine that was meant.",
				})
				continue
			}
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

// overhangs finds laps that are much smaller than the discs, pads and plates put on
// them: one of the two diameters is a slip of the pen.
func overhangs(c *check.Context, found func(check.Finding)) {
	const most = 1.25
	told := map[*trade.Machine][]place{}
	var order []*trade.Machine
	for i := range c.Recipe.Steps {
		step, plan := &c.Recipe.Steps[i], &c.Plan.Steps[i]
		unit := step.Machine.Value.Unit
		if !step.Machine.OK || unit == nil || unit.Kind == nil || unit.Kind.Name != "flat lap" || !unit.Diameter.Written() || plan.DiameterFrom == "the machine" {
			continue
		}
		if plan.Diameter > most*unit.Diameter.In(quantity.Millimetre) {
			if told[unit] == nil {
				order = append(order, unit)
			}
			told[unit] = append(told[unit], place{step, step.Machine.Span})
		}
	}
	for _, unit := range order {
		across := figure(c.Plan.Steps[told[unit][0].step.Number-1].Diameter)
		gather(told[unit], found, func(subject string, many bool) check.Finding {
			puts := " puts"
			if many {
				puts = " put"
			}
			return check.Finding{
				Severity: diag.Warning,
				Message:  subject + puts + " what is " + across + " mm across on " + unit.Code + ", which is " + amount(unit.Diameter) + " across.",
				Help:     "Look whether one of the two diameters in the shop file is a slip of the pen.",
			}
		})
	}
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
