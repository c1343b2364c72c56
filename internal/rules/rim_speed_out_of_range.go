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
	ID: "rim-speed-out-of-range", Severity: diag.Error, Concern: diag.People, Trade: true,
	Title: "The rim of a wheel, disc or pad runs neither too fast nor too slow for what it is.",
	Why: "Too fast throws the slurry, burns felt and can throw the piece; too slow does nothing. The rim speed is what travels from one machine to another: " +
		"π times the diameter times the turns; of a belt it is the speed of the belt itself. Where the range is the house's own this is an error, where it is the built-in one a warning. " +
		"Above the marked maximum of a wheel is another rule, and a refusal.",
	Source: "common practice; v = π d n",
	Quiet: "no range is known, no speed is written, loose grain on a hard lap runs slower than the built-in range, and not ten times slower, wheel-over-speed refuses it already, or the machine does not take the wheel at all or the wheel does not reach the surface; " +
		"where only the diameter is missing, it asks for it instead of guessing",
	Bad:  "Medium: felt wheel, 250 mm   (Machine: upright polisher at 1750 rpm)",
	Good: "Machine: upright polisher at 400 rpm",
	Check: func(c *check.Context, found func(check.Finding)) {
		var all outOfRange
		for i := range c.Recipe.Steps {
			step, plan := &c.Recipe.Steps[i], &c.Plan.Steps[i]
			limits, what := rimRange(step)
			if kind := step.Machine.Value.Kind; kind != nil && kind.Rims > 1 && !limits.House {
				limits.High *= kind.Rims
			}
			if limits.High <= 0 || !step.Machine.OK || !step.Machine.Value.Speed.Written() || misfits(step) || carrierShort(c, i) {
				continue
			}
			if plan.Rim <= 0 {
				if plan.Diameter <= 0 && step.Machine.Value.Speed.Unit.Kind == quantity.Rotation {
					message := "Step " + itoa(step.Number) + " gives the turns and no diameter, so nobody can say how fast the rim of the " + what + " runs."
					if isBelt(what) {
						message = "Step " + itoa(step.Number) + " gives turns, and they do not say how fast the " + what + " runs."
					}
					found(check.Finding{
						Span: step.Machine.Span, Step: step.Number, Severity: diag.Note, Message: message, Help: withDiameter(step, what),
					})
				}
				continue
			}
			if within(plan.Rim, limits) || refused(c, i) || slowLap(step, plan, limits) {
				continue
			}
			if tooWide(plan, what) {
				found(wideCarrier(step, plan, what))
				continue
			}
			all.add(step, plan, limits, what)
		}
		all.tell(found)
	},
}

// widestWheel is the diameter in mm beyond which nobody runs a wheel or brush, and
// widestLap that of a lap or pad: common practice.
const (
	widestWheel = 1000
	widestLap   = 3000
)

// tooWide says whether the diameter of what turns is a slip of the pen: then its
// rim speed says nothing yet.
func tooWide(plan *process.StepPlan, what string) bool {
	if strings.HasSuffix(what, "wheel") {
		return plan.Diameter > widestWheel
	}
	return plan.Diameter > widestLap
}

func wideCarrier(step *recipe.Step, plan *process.StepPlan, what string) check.Finding {
	f := check.Finding{
		Span: step.Machine.Span, Step: step.Number, Severity: diag.Warning,
		Message: "The " + what + " of " + stepNo(step) + " would be " + figure(plan.Diameter) + " mm across.",
		Help:    "Look whether its diameter or its unit is a slip of the pen.",
	}
	switch m, a := step.Medium, step.Abrasive; {
	case m.Value.Stock != nil && loose(&a.Value):
		f.Span, f.Help = m.Span, f.Help[:len(f.Help)-1]+", in the line of "+m.Value.Stock.Code+" in the shop file."
	case a.Value.Stock != nil && !loose(&a.Value):
		f.Span, f.Help = a.Span, f.Help[:len(f.Help)-1]+", in the line of "+a.Value.Stock.Code+" in the shop file."
	}
	return f
}

// carrierShort says whether what turns in the n-th step does not reach what it is
// to work: medium-does-not-reach says so, and another will run at another speed.
func carrierShort(c *check.Context, n int) bool {
	with, ok := carrierOf(&c.Recipe.Steps[n])
	return ok && len(notReached(c, n, with.reach)) > 0
}

// slowLap says whether loose grain runs on a hard lap slower than is usual, as for
// a true face or in a bore: it only takes longer. Ten times slower is a slip.
func slowLap(step *recipe.Step, plan *process.StepPlan, limits trade.Range) bool {
	const slip = 10
	return !limits.House && plan.Class == trade.Hard && loose(&step.Abrasive.Value) && plan.Rim < limits.Low && plan.Rim > limits.Low/slip
}

// refused says whether the speed of a step is refused already.
func refused(c *check.Context, n int) bool {
	f, over := overSpeed(&safetyOf(c).steps[n])
	return over && (f.Severity == 0 || f.Severity == diag.Refusal)
}

// rimRange is the range of rim speed in m/s of what turns in the step, and its
// name.
func rimRange(step *recipe.Step) (trade.Range, string) {
	m, a := step.Medium.Value, &step.Abrasive.Value
	switch {
	case step.Abrasive.OK && a.Tool != nil:
		limits, ok := a.Tool.Rim[a.Bond]
		if !ok {
			limits = a.Tool.Rim[""]
		}
		return limits, a.Tool.Name
	case step.Medium.OK && m.Kind != nil:
		return m.Kind.Rim, m.Kind.Name
	}
	return trade.Range{}, ""
}

// isBelt says whether what turns is a belt, which has a speed and no rim.
func isBelt(what string) bool { return strings.HasSuffix(what, "belt") }

// withDiameter says where the diameter is written.
func withDiameter(step *recipe.Step, what string) string {
	switch {
	case isBelt(what):
		return "Write the speed of the belt itself, as in `Machine: wet belt at 5 m/s`."
	case step.Abrasive.OK && step.Abrasive.Value.Tool != nil && step.Abrasive.Value.Stock == nil:
		return "Write it behind the abrasive, as in `Abrasive: " + nameOf(&step.Abrasive.Value) + ", 200 mm`."
	case step.Medium.OK && step.Medium.Value.Stock != nil && loose(&step.Abrasive.Value):
		return "Write `diameter:` in the line of " + step.Medium.Value.Stock.Code + " in the shop file."
	case step.Medium.OK && loose(&step.Abrasive.Value):
		return "Write it behind the medium, as in `Medium: " + what + ", 250 mm`."
	case step.Abrasive.Value.Stock != nil:
		return "Write `diameter:` in the line of " + step.Abrasive.Value.Stock.Code + " in the shop file."
	}
	return "Write it behind the abrasive, as in `Abrasive: " + nameOf(&step.Abrasive.Value) + ", 200 mm`."
}

// within says whether a rim speed lies in a range. Turns and diameters are
// written in round figures.
func within(rim float64, limits trade.Range) bool {
	const slack = 0.02
	return rim >= limits.Low*(1-slack) && rim <= limits.High*(1+slack)
}

// outOfRange gathers the steps whose rims run too fast or too slow, by what is said
// of them.
type outOfRange struct {
	order []rimFault
	at    map[rimFault][]place
}

// rimFault is what is said of a rim: what turns and how fast, the range, and what to
// write instead.
type rimFault struct {
	what, turning, runs, whose, help string
	severity                         diag.Severity
}

// tell reports each fault once.
func (o *outOfRange) tell(found func(check.Finding)) {
	for _, f := range o.order {
		gather(o.at[f], found, func(subject string, many bool) check.Finding {
			steps, plural, runs := strings.ToLower(subject[:1])+subject[1:], "", " runs at "
			if many {
				plural, runs = "s", " run at "
			}
			return check.Finding{
				Severity: f.severity,
				Message:  "The " + f.what + plural + " of " + steps + f.turning + runs + f.runs + ". " + f.whose + ".",
				Help:     f.help,
			}
		})
	}
}

func (o *outOfRange) add(step *recipe.Step, plan *process.StepPlan, limits trade.Range, what string) {
	f := rimFault{what: what, turning: turning(plan, what)}
	whose := "The house's range for it is "
	if !limits.House {
		f.severity = diag.Warning
		whose = "The usual range for it, which the house has not set, is "
	}
	written := step.Machine.Value.Speed
	runs := figure(plan.Rim) + " m/s"
	if other(written.Unit) {
		runs = amount(written) + ", which is " + figure(plan.Rim) + " m/s"
	}
	if !isBelt(what) {
		runs += " at the rim"
	}
	f.runs, f.whose, f.help = runs, whose+inUnit(limits, written.Unit), rightSpeed(step, plan, limits)
	if o.at == nil {
		o.at = map[rimFault][]place{}
	}
	if o.at[f] == nil {
		o.order = append(o.order, f)
	}
	o.at[f] = append(o.at[f], place{step, step.Machine.Span})
}

// other says whether a speed is written in a unit of its own, as ft/min.
func other(u quantity.Unit) bool {
	return u.Kind == quantity.Speed && u.Symbol != quantity.MetrePerSecond.Symbol
}

// inUnit is a range in m/s, and in the author's own unit where that is another.
func inUnit(limits trade.Range, u quantity.Unit) string {
	text := figure(limits.Low) + " to " + figure(limits.High) + " m/s"
	if other(u) {
		text += " (" + figure(limits.Low/u.Factor) + " to " + figure(limits.High/u.Factor) + " " + u.Symbol + ")"
	}
	return text
}

// rightSpeed names one speed to write, in the middle of the range and no more
// than the machine goes, and the range about it.
func rightSpeed(step *recipe.Step, plan *process.StepPlan, limits trade.Range) string {
	written, most := step.Machine.Value.Speed, 0.0
	if unit := step.Machine.Value.Unit; unit != nil && unit.Maximum.Written() && unit.Maximum.Unit.Kind == written.Unit.Kind {
		most = unit.Maximum.In(written.Unit)
	}
	low, high := limits.Low/written.Unit.Factor, limits.High/written.Unit.Factor
	if written.Unit.Kind == quantity.Rotation {
		if plan.Diameter <= 0 {
			return ""
		}
		low, high = turns(limits.Low, plan.Diameter, math.Ceil), turns(limits.High, plan.Diameter, math.Floor)
	}
	if most > 0 {
		high = min(high, most)
	}
	if low > high {
		return "This machine does not go at such a speed with it. Take another diameter or another machine."
	}
	middle := round2((low + high) / 2)
	return "Write " + figures(middle) + " " + written.Unit.Symbol + ", or anything from " + figure(low) + " to " + figure(high) + " " + written.Unit.Symbol + "."
}

// round2 rounds to two figures, as one sets a speed.
func round2(x float64) float64 {
	if x <= 0 {
		return x
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Round(x/step) * step
}

// turning is what the speed was worked out from: ", 250 mm at 1750 rpm,".
func turning(plan *process.StepPlan, what string) string {
	if plan.Diameter <= 0 || plan.RPM <= 0 || isBelt(what) {
		return ""
	}
	return ", " + figure(plan.Diameter) + " mm at " + itoa(int(math.Round(plan.RPM))) + " rpm,"
}

// turns is the speed in rpm that gives v m/s at the rim of a wheel of mm, in
// tens.
func turns(v, mm float64, round func(float64) float64) float64 {
	return round(turnsOf(v, mm)/10) * 10
}
