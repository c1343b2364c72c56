package process

import (
	"fmt"
	"slices"

	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

// prepare turns the words of one work of a chain into what the model is asked
// with. area is that of one face.
func (r *reckoner) prepare(c *Chain, area Input, works []Work, i int) StepReckoning {
	one := r.inputs(c.Surface, area, works[i])
	if one.Cannot == "" && !one.Blast && !one.Cut {
		r.measured(c, area, works, i, &one.In)
	}
	return one
}

// inputs are a step's without what the house has measured of it.
func (r *reckoner) inputs(s *recipe.Surface, area Input, w Work) StepReckoning {
	step, a := w.Step, w.Abrasive
	plan := &r.plan.Steps[step.Number-1]
	one := StepReckoning{Steps: []*recipe.Step{step}, trueShape: stockShape(s.Shape.Value)}
	if a := s.From.Value; a.How == "new" && a.Uneven.Written() {
		one.cutUneven = a.Uneven.In(quantity.Micrometre)
	}
	in := &one.In
	in.AreaM2 = area
	if !step.Abrasive.OK || a.Family == nil {
		one.Cannot = "What takes the glass off in this step could not be read, so nothing can be reckoned for it."
		return one
	}
	one.Blast = w.Class == trade.Blast
	one.Cut = a.Tool != nil && a.Tool.Cutting
	in.Grain = ownGrain(a)
	in.Minutes = r.minutes(step, s, area, plan)
	family, as := familyOf(a.Family.Name)
	switch {
	case one.Cut:
		if in.Grain.Value == 0 {
			in.Grain = Input{r.model.SawUM(), Default}
		}
		in.Tool = wear.Tool{Family: wear.Diamond, Bond: wear.Metal, GrainUM: in.Grain.Value}
		return one
	case in.Grain.Value <= 0:
		one.Cannot = "The size of the grain is not known, so nothing can be reckoned for this step: write its grade, or what its stock line acts like."
		return one
	case one.Blast:
		in.Tool = wear.Tool{Family: family, GrainUM: in.Grain.Value}
		return one
	case family == 0:
		one.Cannot = fmt.Sprintf("How fast %s takes glass off on a lap is not known, so nothing can be reckoned for this step.", a.Family.Name)
		return one
	}
	in.As = as
	in.Tool = wear.Tool{
		Family: family, Bond: bondOf(a.Bond), Lap: lapOf(w.Class), GrainUM: in.Grain.Value, ActsLikeUM: actsLike(a, family),
	}
	if in.Tool.Bond == 0 {
		in.Tool.Bond = wear.Loose
	}
	if in.Tool.Bond == wear.Loose && in.Tool.Lap == wear.NoLap {
		one.Cannot = "No medium is written that carries the loose grain, so nothing can be reckoned for this step."
		return one
	}
	if in.Kind, in.KindStanding = r.machine(step, s); in.Kind == nil {
		one.Cannot = "The machine of this step could not be read, so neither its force nor its speed is known: write it, or by hand."
		return one
	}
	one.Cannot = r.setting(step, plan, in)
	one.Untimed = r.asNeeded && !step.Time.OK
	if one.Cannot == "" && !step.Time.OK && !one.Untimed {
		one.Cannot = "No time is written, so it is not known what this step takes off."
	}
	return one
}

// machine is what a step is done on: what is written, else the usual machine
// for its tool or its medium that reaches the surface; nil where one is written
// that could not be read.
func (r *reckoner) machine(step *recipe.Step, s *recipe.Surface) (*trade.MachineKind, Standing) {
	if step.Machine.OK && step.Machine.Value.Kind != nil {
		return step.Machine.Value.Kind, Written
	}
	if step.Machine.Written() {
		return nil, 0
	}
	runs, shape := []string{"by hand"}, shapeName(s)
	switch a, m := &step.Abrasive.Value, step.Medium.Value; {
	case holdsItsGrain(step) && a.Tool != nil:
		runs = a.Tool.On
	case m.Kind != nil:
		runs = m.Kind.On
	}
	for _, name := range append(slices.Clone(runs), "by hand") {
		kind := r.plan.House.FindKind(name)
		if kind != nil && (shape == "" || slices.Contains(kind.Reach, "any") || slices.Contains(kind.Reach, shape)) {
			return kind, Default
		}
	}
	return r.plan.House.FindKind("by hand"), Default
}

// ownGrain is the size in µm of a tool's own grain: its grade, else what its
// stock line acts like, else what its family is taken to have.
func ownGrain(a *trade.Abrasive) Input {
	standing := func(g bool) Standing {
		if g {
			return Default
		}
		return Written
	}
	switch {
	case a.Grade.Written() && a.Grade.Size > 0:
		return Input{a.Grade.Size, standing(a.Grade.Default())}
	case a.ActsLike.Written():
		return Input{a.ActsLike.Size, House}
	case a.Stock != nil && a.Stock.ActsLike.Written():
		return Input{a.Stock.ActsLike.Size, House}
	case a.Family != nil && a.Family.Size > 0:
		return Input{a.Family.Size, Default}
	}
	return Input{}
}

// minutes are those one face is worked: of the step's time its share by area,
// the time of one face where it is written so, and the whole time where a
// machine works all of them at once.
func (r *reckoner) minutes(step *recipe.Step, s *recipe.Surface, area Input, plan *StepPlan) Input {
	if !step.Time.OK {
		return Input{}
	}
	t := step.Time.Value
	all := t.Usual.In(quantity.Minute) + t.Alone.In(quantity.Minute)
	if k := step.Machine.Value.Kind; k != nil && k.AtOnce {
		return Input{all, Written}
	}
	if t.Times > 1 {
		return Input{all / float64(t.Times), Written}
	}
	sum, standing := 0.0, Written
	for _, other := range plan.Works {
		one, cannot := r.plan.faceArea(other)
		if cannot != "" {
			continue
		}
		if len(plan.Works) > 1 {
			standing = min(standing, one.Standing)
		}
		sum += one.Value * float64(max(1, other.Count.Value))
	}
	if !(sum > 0) {
		return Input{all / float64(max(1, s.Count.Value)), Written}
	}
	return Input{all * area.Value / sum, standing}
}

// setting fills in force, speed, charged area, load and charges by the kind of
// machine.
func (r *reckoner) setting(step *recipe.Step, plan *StepPlan, in *Inputs) string {
	kind := in.Kind
	diameter := Input{plan.Diameter / 1000, Written}
	if plan.Diameter <= 0 {
		diameter = Input{kind.Diameter / 1000, Default}
	}
	loose := in.Tool.Bond == wear.Loose
	force := Input{kind.Force, Default}
	patch := true
	area := Input{usual("pad.area"), Default}
	disc := func() Input {
		if diameter.Value <= 0 {
			return area
		}
		return Input{wear.DiscAreaM2(diameter.Value), diameter.Standing}
	}
	middle := middleOfRange(step)
	rim := func(usually string) Input {
		if plan.Rim > 0 {
			return Input{plan.Rim * middle, Written}
		}
		if plan.RPM > 0 && diameter.Value > 0 {
			return Input{wear.RimSpeedMS(diameter.Value, plan.RPM) * middle, diameter.Standing}
		}
		return Input{usual(usually), Default}
	}
	switch kind.Name {
	case "flat lap":
		patch = false
		in.SpeedMS = lapSpeed(plan, diameter, in.Tool, middle)
		area = disc()
	case "vibrating lap":
		patch = false
		in.SpeedMS = Input{usual("speed.pan"), Default}
		if plan.Rim > 0 {
			in.SpeedMS = Input{plan.Rim * middle, Written}
		}
		area = Input{usual("pan.area") * in.AreaM2.Value, Default}
		force = r.weight(in.AreaM2)
	case "wet belt":
		in.SpeedMS = rim("speed.belt")
		area = Input{usual("belt.length") * usual("belt.width") / 1e6, Default}
	case "hand-held polisher":
		in.SpeedMS = rim("speed.held")
		area = disc()
	case "by hand", "sink":
		in.SpeedMS = Input{usual("speed.hand"), Default}
		if plan.Rim > 0 {
			in.SpeedMS = Input{plan.Rim * middle, Written}
		}
		if loose && !in.Tool.Lap.Compliant() {
			patch = false
			force, area = Input{usual("force.plate"), Default}, Input{usual("plate.area"), Default}
		} else {
			force = Input{usual("force.pad"), Default}
		}
		if plan.Diameter > 0 {
			area = disc()
		}
	default:
		in.SpeedMS = rim("speed.wheel")
		if diameter.Value > 0 {
			area = Input{wear.RimAreaM2(diameter.Value, usual("wheel.width")/1000), Default}
		}
	}
	var cannot string
	if in.ForceN, cannot = r.force(step, force, in.AreaM2); cannot != "" {
		return cannot
	}
	if loose && in.Tool.Family != wear.Cerium && in.Tool.Family != wear.Diamond {
		in.LapAreaM2 = area
		if cannot = charges(step, in); cannot != "" {
			return cannot
		}
	}
	in.Load = r.model.LoadOnPatch(in.ForceN.Value)
	if !patch {
		in.Load = r.model.LoadOnLap(in.ForceN.Value, in.AreaM2.Value)
	}
	return ""
}

// middleOfRange is the middle of a range of speeds as a share of its higher
// end, at which the plan runs; 1 where one speed is written.
func middleOfRange(step *recipe.Step) float64 {
	m := step.Machine.Value
	if low, high := m.SpeedLow.In(m.Speed.Unit), m.Speed.Amount; low > 0 && high > low {
		return (low + high) / 2 / high
	}
	return 1
}

// lapSpeed is the mean under work that dwells evenly over a turning disc: two
// thirds of the rim's.
func lapSpeed(plan *StepPlan, diameter Input, t wear.Tool, middle float64) Input {
	const mean = 2.0 / 3
	if plan.Rim > 0 {
		return Input{plan.Rim * mean * middle, Written}
	}
	if plan.RPM > 0 {
		return Input{wear.MeanDiscSpeedMS(diameter.Value, plan.RPM) * middle, diameter.Standing}
	}
	name := "rpm.felt"
	switch {
	case t.Bond == wear.Loose && !t.Lap.Compliant():
		name = "rpm.loose"
	case t.Bond == wear.Plated || t.Bond == wear.Metal || t.Bond == wear.Vitrified:
		name = "rpm.diamond"
	case t.Bond != wear.Loose:
		name = "rpm.resin"
	}
	return Input{wear.MeanDiscSpeedMS(diameter.Value, usual(name)), Default}
}

// weight is the force of a piece that lies on the lap by itself.
func (r *reckoner) weight(area Input) Input {
	if r.plan.Mass > 0 {
		standing := Written
		if r.plan.MassFromSize {
			standing = Default
		}
		return Input{quantity.Value{Amount: r.plan.Mass, Unit: quantity.KilogramForce}.In(quantity.Newton), standing}
	}
	return Input{usual("pressure.pan") * 1000 * area.Value, Default}
}

// force is the one the author wrote, by figure or by word, else the house's,
// else the usual one.
func (r *reckoner) force(step *recipe.Step, usually Input, area Input) (Input, string) {
	if unit := step.Machine.Value.Unit; unit != nil && unit.Force.Written() {
		usually = Input{unit.Force.In(quantity.Newton), House}
	}
	out := usually
	if p := step.Pressure.Value; step.Pressure.OK {
		switch {
		case p.Value.Unit.Kind == quantity.Force:
			out = Input{p.Value.In(quantity.Newton), Written}
		case p.Value.Unit.Kind == quantity.Pressure:
			out = Input{p.Value.In(quantity.Kilopascal) * 1000 * area.Value, Written}
		case p.Word == "light":
			out = Input{usual("force.light"), Default}
		case p.Word == "firm":
			out.Value *= usual("force.firm")
		case p.Word == "own weight":
			out = r.weight(area)
		}
	}
	if !(out.Value > 0) {
		return out, "The force of this step is not known, so nothing can be reckoned for it: write Pressure: and a force."
	}
	return out, ""
}

// charges fills in how often fresh grain goes on.
func charges(step *recipe.Step, in *Inputs) string {
	if c := step.Charge.Value; step.Charge.OK {
		in.ChargeEveryMin = Input{c.Every.In(quantity.Minute), Written}
		in.RunDownMin = Input{c.Last.In(quantity.Minute), Written}
		switch {
		case c.Once:
			return ""
		case !(in.ChargeEveryMin.Value > 0):
			return "A fresh charge every 0 min cannot be: write how many minutes lie between two charges, or once."
		case c.Last.Written() && !(in.RunDownMin.Value > 0):
			return "A last charge 0 min before the stop cannot be: write how many minutes are worked without a fresh one."
		}
		return ""
	}
	every := usualCharge(in.Kind, step, in.Tool.Lap)
	in.ChargeEveryMin = Input{every, Default}
	return ""
}

// usualCharge is how often in minutes fresh grain goes on where nobody says.
func usualCharge(kind *trade.MachineKind, step *recipe.Step, lap wear.LapClass) float64 {
	water := step.Water.Value.Kind
	switch {
	case kind != nil && kind.AtOnce:
		return usual("charge.pan")
	case kind != nil && kind.Name == "flat lap" && lap == wear.HardLap && water != nil && water.Name == "drip":
		return usual("charge.drip")
	}
	return usual("charge.other")
}
