package rules

import (
	"math"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

var rimSpeed = check.Rule{
	ID: "rim-speed-out-of-range", Severity: diag.Error, Concern: diag.People,
	Title: "The rim of a wheel, disc or pad runs neither too fast nor too slow for what it is.",
	Why: "Too fast throws the slurry, burns felt and can throw the piece; too slow does nothing. The rim speed is what travels from one machine to another: " +
		"π times the diameter times the turns. Where the range is the house's own this is an error, where it is the built-in one a warning. " +
		"Above the marked maximum of a wheel is another rule, and a refusal.",
	Source: "common practice; v = π d n",
	Quiet:  "no range is known, or no speed is written; where only the diameter is missing, it asks for it instead of guessing",
	Bad:    "Medium: felt wheel, 250 mm   (Machine: upright polisher at 1750 rpm)",
	Good:   "Machine: upright polisher at 400 rpm",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step, plan := &c.Recipe.Steps[i], &c.Plan.Steps[i]
			limits, what := rimRange(step)
			if limits.High <= 0 || !step.Machine.OK || !step.Machine.Value.Speed.Written() {
				continue
			}
			if plan.Rim <= 0 {
				if plan.Diameter <= 0 && step.Machine.Value.Speed.Unit.Kind == quantity.Rotation {
					found(check.Finding{
						Span: step.Machine.Span, Step: step.Number, Severity: diag.Note,
						Message: "Step " + itoa(step.Number) + " gives the turns and no diameter, so nobody can say how fast the rim of the " + what + " runs.",
						Help:    withDiameter(step, what),
					})
				}
				continue
			}
			outOfRange(step, plan, limits, what, found)
		}
	},
}

// rimRange is the range of rim speed in m/s of what turns in the step, and its
// name.
func rimRange(step *recipe.Step) (trade.Range, string) {
	m, a := step.Medium.Value, step.Abrasive.Value
	if step.Medium.OK && m.Kind != nil {
		return m.Kind.Rim, m.Kind.Name
	}
	if step.Abrasive.OK && a.Tool != nil {
		limits, ok := a.Tool.Rim[a.Bond]
		if !ok {
			limits = a.Tool.Rim[""]
		}
		return limits, a.Tool.Name
	}
	return trade.Range{}, ""
}

// withDiameter says where the diameter is written.
func withDiameter(step *recipe.Step, what string) string {
	switch {
	case strings.HasSuffix(what, "belt"):
		return "Write the speed of the belt itself, as in `Machine: wet belt at 5 m/s`."
	case step.Medium.OK && step.Medium.Value.Stock != nil:
		return "Write `diameter:` in the line of " + step.Medium.Value.Stock.Code + " in the shop file."
	case step.Medium.OK:
		return "Write it behind the medium, as in `Medium: " + what + ", 250 mm`."
	case step.Abrasive.Value.Stock != nil:
		return "Write `diameter:` in the line of " + step.Abrasive.Value.Stock.Code + " in the shop file."
	}
	return "Write it behind the abrasive, as in `Abrasive: " + nameOf(step.Abrasive.Value) + ", 200 mm`."
}

func outOfRange(step *recipe.Step, plan *process.StepPlan, limits trade.Range, what string, found func(check.Finding)) {
	// Turns and diameters are written in round figures.
	const slack = 0.02
	if plan.Rim >= limits.Low*(1-slack) && plan.Rim <= limits.High*(1+slack) {
		return
	}
	f := check.Finding{Span: step.Machine.Span, Step: step.Number}
	whose := "The house's range for it is "
	if !limits.House {
		f.Severity = diag.Warning
		whose = "The usual range for it, which the house has not set, is "
	}
	f.Message = "The " + what + " of " + stepNo(step) + turning(plan) + " runs at " + figure(plan.Rim) + " m/s at the rim. " +
		whose + figure(limits.Low) + " to " + figure(limits.High) + " m/s."
	f.Help = "Write " + figure(limits.Low) + " to " + figure(limits.High) + " m/s."
	if plan.Diameter > 0 && step.Machine.Value.Speed.Unit.Kind == quantity.Rotation {
		if low, high := turns(limits.Low, plan.Diameter, math.Ceil), turns(limits.High, plan.Diameter, math.Floor); low < high {
			f.Help = "Write " + itoa(low) + " to " + itoa(high) + " rpm."
		}
	}
	found(f)
}

// turning is what the speed was worked out from: ", 250 mm at 1750 rpm,".
func turning(plan *process.StepPlan) string {
	if plan.Diameter <= 0 || plan.RPM <= 0 {
		return ""
	}
	return ", " + figure(plan.Diameter) + " mm at " + itoa(int(math.Round(plan.RPM))) + " rpm,"
}

// turns is the speed in rpm that gives v m/s at the rim of a wheel of mm, in
// tens.
func turns(v, mm float64, round func(float64) float64) int {
	return int(round(v/(math.Pi*mm/1000)*60/10) * 10)
}
