package rules

import (
	"math"
	"strconv"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

var wheelOverSpeed = check.Rule{
	ID: "wheel-over-speed", Severity: diag.Refusal, Concern: diag.People,
	Title: "Nothing turns faster than the maximum marked on it or set for its machine.",
	Why:   "A wheel above its marked speed comes apart, and its pieces go as fast as its rim.",
	Source: "29 CFR 1910.215(d)(1); EN 12413 and EN 13236; seen second-hand; v = π d n, with 0.5 % for diameters and turns written in round figures " +
		"where one has to be worked out from the other",
	Quiet: "no maximum is written, or no speed, or a sentence names a speed and does not order it; two speeds in the same unit are compared as they stand. Where only the top speed of the machine " +
		"is above the mark of a grinding wheel and the step writes a speed within it, it is an error and no refusal",
	Bad:  "Machine: bench grinder at 3500 rpm   (300 mm wheel marked 50 m/s)",
	Good: "Machine: bench grinder at 3000 rpm",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		for i := range f.steps {
			if finding, ok := overSpeed(&f.steps[i]); ok {
				found(finding)
			}
			speedsTold(c, i, found)
		}
	},
}

// speedTolerance is the tolerance of a speed that had to be worked out from turns and
// a diameter.
const speedTolerance = 1.005

// runs is a speed something runs at, in rpm or m/s.
type runs struct {
	speed quantity.Value
	span  source.Span
	// top is true where it is the fastest the machine goes.
	top bool
}

// overSpeed says whether the step runs anything above a maximum.
func overSpeed(s *stepFacts) (check.Finding, bool) {
	use, a, m := s.s.Machine.Value, &s.s.Abrasive.Value, s.s.Medium.Value
	written := runs{speed: use.Speed, span: s.s.Machine.Span}
	type limit struct {
		maximum quantity.Value
		whose   string
		runs    runs
		// others says that another wheel or belt would do too.
		others bool
	}
	limits := make([]limit, 0, 4) // all there can be
	marked := func(maximum quantity.Value, whose string, wheel bool) {
		if !maximum.Written() {
			return
		}
		limits = append(limits, limit{maximum, whose, written, true})
		// A grinding wheel must stand the fastest its machine goes.
		if use.Unit != nil && wheel {
			limits = append(limits, limit{maximum, whose, runs{use.Unit.Maximum, s.s.Machine.Span, true}, true})
		}
	}
	if a.Stock != nil {
		marked(a.Stock.Maximum, "marked maximum of "+a.Stock.Code, s.wheel && a.Bond != trade.Loose)
	}
	if m.Stock != nil {
		marked(m.Stock.Maximum, "marked maximum of "+m.Stock.Code, false)
	}
	if use.Unit != nil && use.Unit.Maximum.Written() {
		limits = append(limits, limit{use.Unit.Maximum, "maximum of " + use.Unit.Code, written, false})
	}
	for _, l := range limits {
		speed, over := above(l.runs.speed, l.maximum, s.p.Diameter)
		if !over {
			continue
		}
		finding := check.Finding{
			Span: s.at(l.runs.span), Step: s.s.Number,
			Message: "Step " + itoa(s.s.Number) + " runs at " + amount(l.runs.speed) + workedOut(speed, l.runs.speed, l.maximum, s.p.Diameter) +
				", above the " + l.whose + ", " + amount(l.maximum) + ". No sheet is made for that, not even a draft.",
			Help: slower(l.maximum, s.p.Diameter, l.runs.speed, s.other(l.others)),
		}
		if l.runs.top {
			finding.Message = "The " + machineName(use) + " of " + stepNo(s.s) + " goes up to " + amount(l.runs.speed) +
				workedOut(speed, l.runs.speed, l.maximum, s.p.Diameter) + ", above the " + l.whose + ", " + amount(l.maximum) + "."
			finding.Help = "Mount a " + s.turning() + " that is marked for the top speed of the machine; or, if the machine cannot go faster than that, write so at `maximum:` in the shop file."
			// A wheel that is told to run within its mark is not yet above it.
			if use.Speed.Written() {
				finding.Severity = diag.Error
			}
		}
		return finding, true
	}
	return check.Finding{}, false
}

// above compares a speed with a maximum; speed is in the unit of the maximum.
// Where the units differ the diameter in mm is needed and a tolerance given.
func above(speed, maximum quantity.Value, mm float64) (inUnit float64, over bool) {
	if !speed.Written() || !maximum.Written() || maximum.Amount <= 0 {
		return 0, false
	}
	if speed.Unit.Kind == maximum.Unit.Kind {
		inUnit = speed.In(maximum.Unit)
		return inUnit, inUnit > maximum.Amount*(1+1e-9)
	}
	if mm <= 0 {
		return 0, false
	}
	switch maximum.Unit.Kind {
	case quantity.Speed:
		metres := quantity.RimSpeed(mm, speed.In(quantity.RPM))
		inUnit = metres / maximum.Unit.Factor
	case quantity.Rotation:
		inUnit = turnsOf(speed.In(quantity.MetrePerSecond), mm) / (maximum.Unit.Factor / quantity.RPM.Factor)
	default:
		return 0, false
	}
	return inUnit, inUnit > maximum.Amount*speedTolerance
}

// turnsOf is the speed in rpm of a wheel of mm whose rim runs at v m/s.
func turnsOf(v, mm float64) float64 { return v * 60000 / (math.Pi * mm) }

// amount is a speed as it was written.
func amount(v quantity.Value) string { return figures(v.Amount) + " " + v.Unit.Symbol }

// figures is a number with up to four figures, "3184" and "54.98".
func figures(x float64) string {
	if x >= 1000 {
		return itoa(int(math.Round(x)))
	}
	return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
}

// workedOut says what the speed comes to in the unit of the maximum.
func workedOut(inUnit float64, speed, maximum quantity.Value, mm float64) string {
	if speed.Unit.Kind == maximum.Unit.Kind {
		return ""
	}
	return " with " + figures(mm) + " mm, which is " + figures(inUnit) + " " + maximum.Unit.Symbol
}

// slower says which speed would do; other is what else would, or "".
func slower(maximum quantity.Value, mm float64, speed quantity.Value, other string) string {
	most := maximum
	if speed.Unit.Kind == quantity.Rotation && maximum.Unit.Kind == quantity.Speed && mm > 0 {
		most = quantity.Value{Amount: math.Floor(turnsOf(maximum.In(quantity.MetrePerSecond), mm)), Unit: quantity.RPM}
	}
	return "Write " + amount(most) + " or less" + other + "; if the maximum is wrong, put it right in the shop file."
}

// other offers another wheel where the maximum is the wheel's: what a machine
// may run at no wheel changes.
func (s *stepFacts) other(marked bool) string {
	if !marked {
		return ""
	}
	return ", or take another " + s.turning()
}

// turning is what turns, in a word: "belt", "wheel", "brush wheel", "disc".
func (s *stepFacts) turning() string {
	if k := s.s.Medium.Value.Kind; k != nil {
		return k.Name
	}
	if t := s.s.Abrasive.Value.Tool; t != nil {
		return t.Name
	}
	return "wheel"
}
