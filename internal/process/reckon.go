package process

import (
	"errors"
	"slices"

	"coldwright/internal/recipe"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

// Standing says what a number rests on, the weakest first.
type Standing int

const (
	// Default is a built-in guess, until the house or the author says.
	Default Standing = iota + 1
	// House is a figure of the shop file.
	House
	// Written is what the author wrote in the recipe.
	Written
	// Measured is what the house measured.
	Measured
)

// String is the standing in a word. What the house set counts as written.
func (s Standing) String() string {
	switch s {
	case House, Written:
		return "written"
	case Measured:
		return "measured"
	}
	return "default"
}

// Input is one number that goes into the model and what it rests on.
type Input struct {
	Value float64
	// Standing is 0 where the number is not asked for.
	Standing Standing
}

// Inputs are what the model is asked with: the words of a step as numbers.
type Inputs struct {
	Tool wear.Tool
	// Grain in µm of new grain.
	Grain Input
	// ForceN on the whole face, AreaM2 of one face, SpeedMS the mean under it.
	ForceN, AreaM2, SpeedMS Input
	// LapAreaM2 carries the charge.
	LapAreaM2 Input
	// Minutes one face is worked; ChargeEveryMin 0 is one charge at the start,
	// RunDownMin 0 the interval.
	Minutes, ChargeEveryMin, RunDownMin Input
	// Load as the model takes it.
	Load float64
	// Kind is the machine it is reckoned on; KindStanding is Default where nobody
	// names one and it is the usual one for such a tool.
	Kind         *trade.MachineKind
	KindStanding Standing
	// As names the abrasive it is reckoned as, where the model knows none of its
	// own; "" where it does.
	As string
	// House is what the house has measured of it.
	House wear.Measurement
}

// Basis is what a step's numbers rest on: measured where the house measured
// its rate, else the weakest of its inputs.
func (in *Inputs) Basis() Standing {
	if in.House.RateFactor != 0 {
		return Measured
	}
	basis := Written
	for _, i := range [...]Input{in.Grain, in.ForceN, in.AreaM2, in.SpeedMS, in.LapAreaM2, in.Minutes, in.ChargeEveryMin} {
		if i.Standing != 0 {
			basis = min(basis, i.Standing)
		}
	}
	if in.As != "" || in.KindStanding == Default {
		basis = Default
	}
	return basis
}

// StepReckoning is what one step does to one surface. Steps that follow each
// other with one tool at one setting are reckoned and judged as one.
type StepReckoning struct {
	// Steps are the steps it stands for, one or more.
	Steps []*recipe.Step
	In    Inputs
	// Result is zero where the step cannot be reckoned; of a blast only the
	// grain, what came off, the state and the verdict are set, of a cut only the
	// state.
	Result        wear.Result
	Before, After wear.State
	Blast, Cut    bool
	// Untimed is true where no time is written and the minutes are those needed.
	Untimed bool
	// trueShape is true on shapes that a cut leaves uneven.
	trueShape bool
	// cutUneven is the unevenness a cut leaves on a surface it makes, in µm, where its
	// arrival says how much; 0 where it does not.
	cutUneven float64
	// RqUM, LampDeg, HazeDry, HazeWet and Finish are those of After.
	RqUM, LampDeg, HazeDry, HazeWet float64
	Finish                          wear.Finish
	Basis                           Standing
	// Verdict says whether the step clears what it was handed, the unevenness
	// counted in; that of Result is on the damage alone.
	Verdict wear.Verdict
	// Cannot says in a sentence why it cannot be reckoned; the state then
	// passes as it was.
	Cannot string
}

// Polish says whether the step is one that polishes, so that clearing what it
// was handed is the end of the chain.
func (s *StepReckoning) Polish() bool { return s.In.Tool.Family == wear.Cerium }

// Grinds says whether the step is one of the grinding steps: hard grain on a
// hard lap, or bonded.
func (s *StepReckoning) Grinds() bool {
	t := s.In.Tool
	return !s.Blast && !s.Cut && t.Family != wear.Pumice && t.Family != wear.Cerium && (t.Bond != wear.Loose || !t.Lap.Compliant())
}

// SurfaceReckoning is one surface and what every step does to it.
type SurfaceReckoning struct {
	Surface *recipe.Surface
	// AreaM2 is that of one face, a default where it is taken from the size of
	// the piece; Count how many there are.
	AreaM2 Input
	Count  int
	// Arrives is the state it comes in; ArrivesBasis what that rests on.
	Arrives      wear.State
	ArrivesBasis Standing
	Steps        []StepReckoning
	After        wear.State
	// Finish is what it looks like in the end; 0 where nothing works it or
	// nothing can be said.
	Finish wear.Finish
	// Asks is true where the stop is a finish; Off is then how many places the
	// finish lies above (brighter) or below the stop, and Reached whether the
	// stop is reached. Stops that are no finish ask nothing and are reached.
	Asks    bool
	Off     int
	Reached bool
	// Cannot says in a sentence why the surface cannot be reckoned at all.
	Cannot string
}

// Clears says of each step whether the stop asks it to clear what it is
// handed. Before a bright or optical polish every step is asked; pumice, brush
// and blast keep the texture of a matte face, a sheen or a lustre, so there it
// is asked of the grinding steps before the first of them (common practice),
// and of that one and the rest too while it is a saw's marks they are handed:
// those are no texture. Where the stop is no finish, none is.
func (s *SurfaceReckoning) Clears() []bool {
	out := make([]bool, len(s.Steps))
	if !s.Asks {
		return out
	}
	bright := s.Surface.To.Value.Rank >= int(wear.BrightPolish)
	soft, sawn := false, s.Surface.From.Value.How == "sawn"
	for i := range s.Steps {
		st := &s.Steps[i]
		soft = soft || st.Cannot == "" && !st.Cut && !st.Grinds()
		out[i] = bright || !soft || sawn
		if st.Cannot == "" {
			sawn = st.Cut || sawn && !st.bitesDeepest()
		}
	}
	return out
}

// bitesDeepest says whether the damage after a step is the step's own.
func (s *StepReckoning) bitesDeepest() bool {
	return s.After.DUM > max(0, s.Before.DUM-s.Result.RemovedUM)+1e-9
}

// Reckoning is what the model says of a recipe.
type Reckoning struct {
	Plan     *Plan
	Surfaces []SurfaceReckoning
	Totals   ReckonedTotals
	// Notes are measurements and amounts that could not be used, in sentences.
	Notes []string

	by *reckoner
}

// Reckon works out what every step does to every surface. It never fails:
// what cannot be reckoned says so in a sentence.
func (p *Plan) Reckon() *Reckoning {
	return (&reckoner{plan: p, model: model()}).recipe()
}

// ReckonAsNeeded is Reckon, but a step that says no time is taken to be worked
// until it has taken off what it was handed with the high damage of it, or for
// as long as anybody stands at such a step. Its minutes are then a default.
func (p *Plan) ReckonAsNeeded() *Reckoning {
	return (&reckoner{plan: p, model: model(), asNeeded: true}).recipe()
}

func (r *reckoner) recipe() *Reckoning {
	r.glass()
	p := r.plan
	out := &Reckoning{Plan: p, Surfaces: make([]SurfaceReckoning, len(p.Chains)), by: r}
	for i := range p.Chains {
		out.Surfaces[i] = r.surface(&p.Chains[i])
	}
	out.Totals = p.reckonTotals(&r.notes)
	out.Notes = r.notes
	return out
}

type reckoner struct {
	plan  *Plan
	model *wear.Model
	// damage and rates are the glass; rates is the zero Glass where it is the
	// same.
	damage, rates wear.Glass
	// asNeeded is true where a step without a time takes what it needs.
	asNeeded bool
	notes    []string
}

func (r *reckoner) glass() {
	r.damage, r.rates = r.model.UnknownGlass()
	if g := r.plan.Recipe.Glass.Value; g != nil && r.plan.Recipe.Glass.OK {
		if known := (wear.Glass{EGPa: g.E, HGPa: g.H, KcMPaSqrtM: g.Kc, PolishFactor: g.Polish}); g.E > 0 && g.H > 0 && g.Kc > 0 && g.Polish > 0 {
			r.damage, r.rates = known, wear.Glass{}
		}
	}
}

// surface reckons one chain.
func (r *reckoner) surface(c *Chain) SurfaceReckoning {
	s := c.Surface
	out := SurfaceReckoning{Surface: s, Count: max(1, s.Count.Value)}
	stop := s.To.Value
	out.Asks = s.To.OK && stop != nil && stop.Rank > 0
	out.AreaM2, out.Cannot = r.plan.faceArea(s)
	works := c.Works
	leaves := func(w Work) bool { return w.Masked || w.OnlyIf }
	if slices.ContainsFunc(works, leaves) {
		works = slices.DeleteFunc(slices.Clone(works), leaves)
	}
	if !out.Asks && out.Cannot != "" {
		// A stub that is sawn off or a wall nobody touches asks nothing.
		out.Cannot, out.Reached = "", true
		return out
	}
	if out.Cannot == "" {
		out.Arrives, out.ArrivesBasis, out.Cannot = r.arrives(s)
	}
	if out.Cannot != "" {
		return out
	}
	state, whole := out.Arrives, true
	out.Steps = make([]StepReckoning, 0, len(works))
	for i := range works {
		one := r.prepare(c, out.AreaM2, works, i)
		if n := len(out.Steps); n > 0 && sameWork(&out.Steps[n-1], &one) {
			last := &out.Steps[n-1]
			last.Steps = append(last.Steps, one.Steps...)
			last.In.Minutes.Value += one.In.Minutes.Value
			last.In.Minutes.Standing = min(last.In.Minutes.Standing, one.In.Minutes.Standing)
			state = r.run(last, last.Before)
			continue
		}
		state = r.run(&one, state)
		out.Steps = append(out.Steps, one)
	}
	for i := range out.Steps {
		whole = whole && out.Steps[i].Cannot == ""
	}
	out.After = state
	if len(out.Steps) > 0 {
		out.Finish = r.model.Finish(state)
	}
	out.judge(r.model, whole)
	return out
}

// judge holds the end of the chain against the stop. Optical polish asks for
// no damage where it is expected, though the high value may still stand.
func (s *SurfaceReckoning) judge(m *wear.Model, whole bool) {
	if !s.Asks {
		s.Reached = true
		return
	}
	if s.Finish == 0 {
		return
	}
	// The finishes of the model and the ranks of the words run alike from matte,
	// 1, to optical polish, 6.
	rank := int(s.Finish)
	if s.Finish == wear.BrightPolish && s.After.DUM <= leftNothing {
		rank = int(wear.OpticalPolish)
	}
	stop := s.Surface.To.Value.Rank
	if s.Finish >= wear.BrightPolish && stop == int(wear.BrightPolish) {
		rank = stop
	}
	// A dirty polish is one whose low places stay as they are: how bright the high
	// ones get beyond a lustre is nothing to it.
	if s.Surface.To.Value.Name == "dirty polish" {
		rank = min(rank, stop)
	}
	s.Off = rank - stop
	s.Reached = whole && s.Off >= 0
}

// leftNothing is the damage in µm below which none is taken to be left.
const leftNothing = 0.05

// sameWork says whether a step goes on with the tool and the setting of the
// one before it.
func sameWork(a, b *StepReckoning) bool {
	if a.Cannot != "" || b.Cannot != "" || a.Cut || b.Cut || a.Blast || b.Blast {
		return false
	}
	x, y := a.In, b.In
	x.Minutes, y.Minutes = Input{}, Input{}
	last, next := a.Steps[len(a.Steps)-1], b.Steps[0]
	return x == y && sameTool(last, next)
}

func sameTool(a, b *recipe.Step) bool {
	x, y := &a.Abrasive.Value, &b.Abrasive.Value
	return x.Stock == y.Stock && x.Words == y.Words && x.Grade.Label == y.Grade.Label &&
		a.Medium.Value.Stock == b.Medium.Value.Stock && a.Medium.Value.Words == b.Medium.Value.Words &&
		a.Machine.Value.Kind == b.Machine.Value.Kind && a.Machine.Value.Unit == b.Machine.Value.Unit
}

// run reckons a step that is made ready and gives the state after it.
func (r *reckoner) run(one *StepReckoning, before wear.State) wear.State {
	one.Before, one.After = before, before
	if one.Cannot == "" {
		r.reckon(one)
	}
	m := r.model
	one.RqUM = m.RqUM(one.After)
	one.LampDeg, one.HazeDry, one.HazeWet = m.LampDeg(one.RqUM), m.HazeDry(one.RqUM), m.HazeWet(one.RqUM)
	one.Finish = m.Finish(one.After)
	one.Basis = one.In.Basis()
	return one.After
}

func (r *reckoner) reckon(one *StepReckoning) {
	var result wear.Result
	var err error
	switch {
	case one.Cut:
		// A cut makes a new face, whatever was there before.
		result.After, err = r.model.Sawn(one.In.Grain.Value, r.damage)
		if one.trueShape {
			result.After.StockUM = r.model.StockSawnUM()
			if one.cutUneven > 0 {
				result.After.StockUM = one.cutUneven
			}
		}
	case one.Blast:
		result, err = r.model.Blast(one.Before, one.In.Grain.Value, r.damage)
	default:
		if one.Untimed && one.In.Minutes.Value == 0 {
			one.In.Minutes = Input{r.asLongAsNeeded(one), Default}
		}
		result, err = r.model.Step(one.Before, r.step(&one.In))
	}
	if err != nil {
		one.Cannot = plainly(err)
		return
	}
	if result.RemovedUM > wear.MostDepthUM {
		one.Cannot = "By its force, speed and time this step would take more than a metre of glass off, which cannot be: look at all three."
		return
	}
	one.Result, one.After = result, result.After
	if !one.Cut {
		one.Verdict = clears(one.Before, result.RemovedUM)
	}
}

// trueWithinUM is the unevenness in µm a face may have and still be true.
const trueWithinUM = 10

// clears is the verdict with the unevenness counted in, as the minutes needed
// count it: where a face is not true yet, its low places are not worked at all,
// whatever came off the high ones. Nothing off by half is "no", as with damage
// whose depth is written.
func clears(before wear.State, removedUM float64) wear.Verdict {
	stock := before.StockUM
	if stock <= trueWithinUM {
		stock = 0
	}
	left := stock - removedUM
	switch {
	case before.DHighUM == 0 && stock == 0:
		return wear.NothingHanded
	case left <= trueWithinUM && removedUM >= before.DHighUM:
		return wear.Certain
	case left <= trueWithinUM && removedUM >= before.DUM:
		return wear.Likely
	case removedUM >= max(before.DLowUM, stock/2):
		return wear.Doubtful
	}
	return wear.No
}

// step is the model's own form of the inputs.
func (r *reckoner) step(in *Inputs) wear.Step {
	return wear.Step{
		Tool: in.Tool, Glass: r.damage, GlassForRates: r.rates,
		ForceN: in.ForceN.Value, AreaM2: in.AreaM2.Value, SpeedMS: in.SpeedMS.Value, Load: in.Load,
		Minutes: in.Minutes.Value, ChargeEveryMin: in.ChargeEveryMin.Value, RunDownMin: in.RunDownMin.Value,
		LapAreaM2: in.LapAreaM2.Value, House: in.House,
	}
}

// inputWords are the model's inputs in words of the bench.
var inputWords = map[string]string{
	"GrainUM": "size of the grain", "ActsLikeUM": "size of the grade the tool acts like", "ForceN": "force", "AreaM2": "area",
	"SpeedMS": "speed", "Load": "pressure on the grain", "Minutes": "time", "ChargeEveryMin": "time between charges",
	"RunDownMin": "time without a fresh charge", "LapAreaM2": "area that carries the charge", "DUM": "damage it comes with",
	"StockUM": "unevenness it comes with", "House.RateFactor": "rate the house measured", "House.DamageFactor": "damage the house measured",
	"House.BreakdownJM2": "life of a charge the house measured", "EGPa": "stiffness of the glass", "HGPa": "hardness of the glass",
	"KcMPaSqrtM": "toughness of the glass", "PolishFactor": "polish factor of the glass",
}

// plainly is what the model refuses in words of the bench.
func plainly(err error) string {
	var input *wear.InputError
	switch {
	case errors.Is(err, wear.ErrPumiceLap):
		return "Pumice cuts on felt, pad, cork or brush only: on a hard lap or on pitch it does nothing but wear out."
	case errors.Is(err, wear.ErrCeriumLap):
		return "Cerium oxide polishes on a lap that gives: on a hard lap it does nothing."
	case errors.As(err, &input):
		if words := inputWords[input.Field]; words != "" {
			return "The " + words + " is beyond what can be reckoned with, so nothing is said of this step."
		}
	}
	return "This step cannot be reckoned: its figures do not go together."
}

// stockShape says whether a shape is one whose unevenness has to come off before they are true.
func stockShape(s *trade.Shape) bool {
	return s != nil && (s.Name == "flat" || s.Name == "ring" || s.Name == "edge")
}
