package rules

import (
	"math"
	"slices"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

// The stops that shine, by their rank.
const (
	lustreRank  = int(wear.Lustre)
	brightRank  = int(wear.BrightPolish)
	opticalRank = int(wear.OpticalPolish)
)

// leftNothing is the damage in µm below which none is taken to be left, and
// stockSlack the unevenness that is none.
const (
	leftNothing = 0.05
	stockSlack  = 10
)

type reckonedKey struct{}

// reckoned is what the model says of a recipe, worked out once for all rules.
type reckoned struct {
	*process.Reckoning
	c *check.Context
	// judged are the surfaces that are spoken of, with their faults.
	judged []judged
}

// judged is a surface that stops at a finish.
type judged struct {
	*process.SurfaceReckoning
	stop  *trade.Finish
	chain *process.Chain
	// origin is by step where the damage comes from that the step is handed: the
	// number of an earlier one in Steps, or arrival.
	origin []int
	// fault is what is not cleared; its step is -1 where all is.
	fault clearance
	// known is how many steps there are before one that cannot be reckoned.
	known int
}

// arrival is the origin of damage a surface comes to the bench with.
const arrival = -1

// clearance is a step that does not clear what it is handed.
type clearance struct {
	step, origin int
	verdict      wear.Verdict
	// shines is true where a bright stop is reached to the eye all the same.
	shines bool
}

func reckoning(c *check.Context) *reckoned {
	return c.Once(reckonedKey{}, func() any {
		out := &reckoned{c: c}
		if unreadable(c.Recipe) {
			return out
		}
		out.Reckoning = c.Plan.ReckonAsNeeded()
		for i := range out.Surfaces {
			s := &out.Surfaces[i]
			if !s.Asks || s.Cannot != "" || len(s.Steps) == 0 || astray(c, &c.Plan.Chains[i]) || sizeDoubted(c, s.Surface) || grainForgotten(c.Recipe, s.Surface) {
				continue
			}
			j := judged{SurfaceReckoning: s, stop: s.Surface.To.Value, chain: &c.Plan.Chains[i]}
			j.origins()
			j.clear()
			out.judged = append(out.judged, j)
		}
		return out
	}).(*reckoned)
}

// astray says whether another rule finds the order of a chain wrong, so that
// what the model says of it would be the same fault again.
func astray(c *check.Context, chain *process.Chain) bool {
	for i := range chain.Works {
		w := &chain.Works[i]
		if live(w) && (isBeyond(c.House, chain, w) || pastStop(c.House, chain, i) || goesBackwards(c).has(w, chain.Surface) || outOfReach(c, w.Step, chain.Surface) || refused(c, w.Step.Number-1)) {
			return true
		}
	}
	return false
}

// outOfReach says whether a step cannot work a surface with what it names: its
// wheel does not run on the machine, or one of the two does not reach.
func outOfReach(c *check.Context, step *recipe.Step, s *recipe.Surface) bool {
	shape := shapeOf(s)
	if m := step.Machine.Value; shape != "" && step.Machine.OK && m.Kind != nil && !covers(machineReaches(m), shape) {
		return true
	}
	if with, ok := carrierOf(step); ok && shape != "" && !blasting(step) && !covers(with.reach, shape) {
		return true
	}
	return misfits(step) || blasting(step) && step.Abrasive.OK && !loose(&step.Abrasive.Value)
}

// origins works out whose damage every step is handed.
func (j *judged) origins() {
	j.origin = make([]int, len(j.Steps)+1)
	at := arrival
	j.known = len(j.Steps)
	for n := range j.Steps {
		st := &j.Steps[n]
		j.origin[n] = at
		switch {
		case st.Cannot != "":
			j.known = min(j.known, n)
		case st.Cut, st.After.DUM > max(0, st.Before.DUM-st.Result.RemovedUM)+1e-9:
			at = n
		}
	}
	j.origin[len(j.Steps)] = at
}

// clear finds what is not cleared, judged against the stop: before a bright or
// optical polish by the last polishing step, else by the last of the grinding
// steps that come before pumice, brush or blast.
func (j *judged) clear() {
	j.fault.step = -1
	last, unknown := -1, -1
	for n := range j.Steps {
		st := &j.Steps[n]
		switch {
		case st.Cannot != "":
			unknown = n
		case j.stop.Rank >= brightRank:
			if st.Polish() {
				last = n
			}
		case st.Grinds():
			last = n
		}
		if j.stop.Rank < brightRank && st.Cannot == "" && !st.Cut && !st.Grinds() {
			if end := j.sawUnderSheen(n); end >= 0 {
				last = end
			}
			break
		}
	}
	if last < 0 || byHandOnAnArris(j.Surface, &j.Steps[last]) {
		return
	}
	if unknown >= last || unknown >= 0 && j.origin[last] <= unknown {
		// What it is handed is not known, unless a step since then left it.
		return
	}
	st := &j.Steps[last]
	if v := st.Result.Verdict; v == wear.No || v == wear.Doubtful {
		j.fault = clearance{step: last, origin: j.origin[last], verdict: v}
		j.fault.shines = j.stop.Rank == brightRank && st.Finish >= wear.BrightPolish
	}
}

// sawUnderSheen is the last step of a surface whose end still shows the marks of
// a saw, where nothing but pumice, brush or the like came after them: those are
// no texture that is kept on purpose. n is the first such step; -1 where there
// are none, or stock-left says it.
func (j *judged) sawUnderSheen(n int) int {
	end := len(j.Steps) - 1
	from := j.origin[len(j.Steps)]
	sawn := from == arrival && j.Surface.From.Value.How == "sawn" || from >= 0 && j.Steps[from].Cut
	if !sawn || from >= n || j.known <= end || j.uneven() >= 0 {
		return -1
	}
	return end
}

// byHandOnAnArris says whether an arris or a bevel is worked by hand: the model
// is known to ask too much there.
func byHandOnAnArris(s *recipe.Surface, st *process.StepReckoning) bool {
	shape, kind := shapeOf(s), st.In.Kind
	return (shape == "arris" || shape == "bevel") && kind != nil && !kind.Powered
}

// byHandOnAnEdge says the same of the narrow edge of a sheet, where a hand bears
// on less than the whole of it: what is said there is a note at most.
func byHandOnAnEdge(s *recipe.Surface, st *process.StepReckoning) bool {
	kind := st.In.Kind
	return shapeOf(s) == "edge" && kind != nil && !kind.Powered
}

// guessed is what a step is reckoned by that nobody wrote, so that what is said
// of it is a note at most: a machine, or the area of its face. "" where both are
// written.
func (j *judged) guessed(st *process.StepReckoning) string {
	var open []string
	if st.In.KindStanding == process.Default {
		open = append(open, "its machine ("+st.In.Kind.Name+")")
	}
	if st.In.AreaM2.Standing == process.Default && shapeOf(j.Surface) != "arris" && shapeOf(j.Surface) != "bevel" {
		open = append(open, "the area of "+several{j.Surface}.the()+" ("+two(st.In.AreaM2.Value*1e4)+" cm²)")
	}
	if len(open) == 0 {
		return ""
	}
	return " Taken for want of what is not written: " + strings.Join(open, " and ") + "."
}

// atMost is a severity, but a note where the step is reckoned by a guess.
func (j *judged) atMost(s diag.Severity, st *process.StepReckoning) diag.Severity {
	if j.guessed(st) != "" {
		return min(s, diag.Note)
	}
	return s
}

// measured says whether what a clearance rests on has been measured by the
// house: what the step takes off, and how deep what it is handed goes.
func (j *judged) measured(f clearance) bool {
	st := &j.Steps[f.step]
	return st.In.House.RateFactor != 0 && st.In.Minutes.Standing == process.Written && st.In.AreaM2.Standing != process.Default && j.depthMeasured(f.origin)
}

// depthMeasured says whether the depth of the damage an origin leaves rests on
// no default.
func (j *judged) depthMeasured(origin int) bool {
	if origin == arrival {
		return j.Surface.From.OK && j.Surface.From.Value.Damage.Written()
	}
	return j.Steps[origin].In.House.DamageFactor != 0
}

// severityOf is that of a verdict: a number that rests on defaults never stops
// a print.
func severityOf(v wear.Verdict, measured bool) diag.Severity {
	switch {
	case v == wear.No && measured:
		return diag.Error
	case v == wear.No, measured:
		return diag.Warning
	}
	return diag.Note
}

// reckonedFault tells one finding of the model from another: one step, and the
// one its damage comes from, on several surfaces is one.
type reckonedFault struct {
	step, from int
	severity   diag.Severity
	kind       string
}

// reckonedOnes gathers findings of the model that are alike but for the surface.
type reckonedOnes struct {
	order []reckonedFault
	all   map[reckonedFault][]*judged
}

func (t *reckonedOnes) add(key reckonedFault, j *judged) {
	if t.all == nil {
		t.all = map[reckonedFault][]*judged{}
	}
	if t.all[key] == nil {
		t.order = append(t.order, key)
	}
	t.all[key] = append(t.all[key], j)
}

// tell reports each once. say is asked with the surface that is worst off, by
// the measure of worse, and the names of them all.
func (t *reckonedOnes) tell(found func(check.Finding), worse func(j *judged) float64, say func(key reckonedFault, j *judged, all several) check.Finding) {
	for _, key := range t.order {
		var all several
		worst := t.all[key][0]
		for _, j := range t.all[key] {
			all = append(all, j.Surface)
			if worse(j) > worse(worst) {
				worst = j
			}
		}
		f := say(key, worst, all)
		if f.Severity == 0 {
			f.Severity = key.severity
		}
		f.Step, f.Surface = key.step, all.first()
		found(f)
	}
}

// two is a computed number with two figures.
func two(v float64) string { return quantity.Format(v, 2) }

// enough is minutes to two figures that suffice when they are written: the
// nearest figure may fall short of what is needed, and the finding would stay.
func enough(minutes float64) string {
	if minutes <= 0 {
		return two(minutes)
	}
	figure := math.Pow(10, math.Floor(math.Log10(minutes))-1)
	return two(math.Ceil(minutes/figure-1e-9) * figure)
}

// damageOf is damage with its range: "about 9.7 µm of damage (4 to 24)".
func damageOf(s wear.State) string {
	low, high := two(s.DLowUM), two(s.DHighUM)
	if low == high {
		return "about " + two(s.DUM) + " µm of damage"
	}
	return "about " + two(s.DUM) + " µm of damage (" + low + " to " + high + ")"
}

// source is where damage comes from: "from the resin diamond pad 325 mesh of
// step 5", "which it arrives with".
func (j *judged) source(origin int, all several) string {
	if origin == arrival {
		return "which " + all.verb("it arrives", "they arrive") + " with (" + j.Surface.From.Value.Words + ")"
	}
	st := &j.Steps[origin]
	return "from the " + nameOf(&st.Steps[0].Abrasive.Value) + " of " + stepNo(st.Steps[0])
}

// numberWords are the minutes a sentence may open with.
var numberWords = []string{"", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve"}

// minutesOpen are minutes at the head of a sentence: "Eight minutes", "The 26 min".
func minutesOpen(m float64) string {
	if n := int(math.Round(m)); n >= 1 && n < len(numberWords) && math.Abs(m-float64(n)) < 1e-6 {
		if n == 1 {
			return "One minute"
		}
		return numberWords[n] + " minutes"
	}
	return "The " + two(m) + " min"
}

// aFace is " a face" where the minutes reckoned are not the step's whole time.
func aFace(j *judged, st *process.StepReckoning) string {
	all := 0.0
	for _, s := range st.Steps {
		t := s.Time.Value
		if t.Times > 1 {
			return " each"
		}
		all += t.Usual.In(quantity.Minute) + t.Alone.In(quantity.Minute)
	}
	switch {
	case st.Untimed && j.Count <= 1, !st.Untimed && math.Abs(all-st.In.Minutes.Value) < 1e-6*all:
		return ""
	case j.Count > 1:
		return " a face"
	}
	return " there"
}

// powder is what works in a step, without its grade: "cerium oxide".
func powder(st *process.StepReckoning) string {
	a := &st.Steps[0].Abrasive.Value
	if a.Family != nil && (a.Bond == trade.Loose || st.Polish()) {
		if a.Family.Work == trade.Grind {
			return nameOf(a)
		}
		return a.Family.Name
	}
	return "the " + nameOf(a)
}

// takesOff is what a step takes off in its time: "Eight minutes of cerium oxide
// take off about 3 µm."
func (j *judged) takesOff(st *process.StepReckoning) string {
	m, off := st.In.Minutes.Value, two(st.Result.RemovedUM)
	if st.Untimed {
		open := "No time is written; "
		if st.Steps[0].Time.Written() {
			open = "Its time cannot be read; "
		}
		return open + two(m) + " min" + aFace(j, st) + " of " + powder(st) + " would take off about " + off + " µm."
	}
	open := minutesOpen(m)
	verb := " take"
	if open == "One minute" {
		verb = " takes"
	}
	return open + aFace(j, st) + " of " + powder(st) + verb + " off about " + off + " µm."
}

// longest are the minutes on one face beyond which nobody is told to go on with
// the step he has.
const longest = 90

// bearable says whether a time needed is one somebody can be told to take.
func bearable(n wear.Needed, st *process.StepReckoning) bool {
	if n.Reach != wear.Reached {
		return false
	}
	kind := st.In.Kind
	return n.Minutes <= longest || kind != nil && kind.AtOnce
}

// pumiceOn is pumice 2F on what it would run on at the machine of a step.
func pumiceOn(p process.Pumiced, kind *trade.MachineKind) string {
	if p.Brush {
		return "pumice 2F on a brush"
	}
	return "pumice 2F on " + article(outcomes().pumiceMedium(kind))
}

// wayOut says how a clearance that fails is mended.
func (j *judged) wayOut(r *reckoned, f clearance) string {
	st := &j.Steps[f.step]
	if st.Before.StockUM > stockSlack && j.uneven() < 0 && !st.Polish() {
		return j.flatten(f.step) + j.guessed(st)
	}
	needed, here := st.Result.Expected, ""
	if bearable(needed, st) {
		here = enough(needed.Minutes) + " min" + aFace(j, st) + " of " + powder(st) + " here"
	}
	var ways []string
	if ways = j.shortWork(r.c, f); len(ways) > 0 {
		here = ""
	} else if st.Polish() {
		pumice := slices.IndexFunc(j.Steps[f.origin+1:f.step], func(s process.StepReckoning) bool { return s.In.Tool.Family == wear.Pumice })
		if pumice >= 0 {
			p := &j.Steps[f.origin+1+pumice]
			if need := p.Result.Expected; bearable(need, p) {
				ways = append(ways, enough(need.Minutes)+" min"+aFace(j, p)+" of "+powder(p)+" at "+stepNo(p.Steps[0]))
			}
		} else if p, ok := r.PumiceBefore(j.SurfaceReckoning, f.step); ok && st.In.Tool.Lap != wear.Pitch && bearable(p.Pumice, st) && p.Pumice.Minutes < needed.Minutes {
			ways = append(ways, pumiceOn(p, st.In.Kind)+" between them, about "+enough(p.Pumice.Minutes)+" min"+aFace(j, st))
		}
		if len(ways) == 0 {
			ways = append(ways, j.finerFirst(f, pumice >= 0))
			here = ""
			if j.fineEnough(f.origin) && needed.Reach == wear.Reached {
				here = enough(needed.Minutes) + " min" + aFace(j, st) + " of " + powder(st) + " here"
			}
		}
	} else {
		if !st.Grinds() && !st.Blast {
			return "Grind the marks of the saw out before it, down to about loose F400 or a 325 mesh resin pad." + j.guessed(st)
		}
		between := "a grade between the two"
		if f.origin == arrival {
			between = "a coarser grade first"
		} else if two := j.skipped(f); two != nil {
			between = gradeBetween(r.c, two)
		}
		if here == "" && j.near(f) && needed.Reach == wear.Reached {
			// Nobody puts a grade between two that are neighbours.
			ways = append(ways, "by these figures it needs "+enough(needed.Minutes)+" min"+aFace(j, st)+" of "+powder(st)+" here")
			if kind := st.In.Kind; kind != nil && !kind.Powered {
				ways[0] += "; a machine is sooner there than the hand"
			}
		} else if here == "" {
			ways = append(ways, between)
		} else {
			return "Write " + here + ", or put in " + between + "." + j.guessed(st)
		}
	}
	if here != "" {
		ways = append(ways, here)
	}
	for i, way := range ways {
		if i == 0 {
			way = capital(way)
		}
		ways[i] = way
	}
	text := ways[0]
	if len(ways) > 1 {
		text += "; or " + ways[1]
	}
	return text + "." + j.guessed(st)
}
