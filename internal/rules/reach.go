package rules

import (
	"slices"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// covers says whether a list of shapes holds one; an empty list and the word
// any hold all.
func covers(list []string, shape string) bool {
	return len(list) == 0 || slices.Contains(list, shape) || slices.Contains(list, "any")
}

// fits says whether what runs on a list of machines runs on this one; an empty
// list is all of them.
func fits(on []string, k *trade.MachineKind) bool {
	return k == nil || len(on) == 0 || slices.Contains(on, k.Name)
}

// machineReaches is the list of shapes a machine works.
func machineReaches(m trade.MachineUse) []string {
	if m.Unit != nil && m.Unit.Reach != nil {
		return m.Unit.Reach
	}
	return m.Kind.Reach
}

// carrier is what a step works with on its machine: the medium of a loose
// grain, or the bonded tool itself.
type carrier struct {
	name      string
	span      source.Span
	reach, on []string
	// tool is true for a bonded tool.
	tool bool
}

// carrierOf is what carries the grain of a step, false where it is not known.
// A medium written beside a bonded tool is another rule's.
func carrierOf(s *recipe.Step) (carrier, bool) {
	a, m := &s.Abrasive.Value, s.Medium.Value
	switch {
	case s.Abrasive.OK && !loose(a) && a.Tool != nil:
		name := a.Words
		if name == "" {
			name = a.Tool.Name
		}
		shapes := a.Tool.Reach
		if large := a.Tool.Large; large > 0 && toolDiameter(a) > large {
			shapes = a.Tool.LargeReach
		}
		return carrier{name, s.Abrasive.Span, shapes, a.Tool.On, true}, true
	case s.Abrasive.OK && !loose(a):
		return carrier{}, false
	case s.Medium.OK && m.Kind != nil:
		return carrier{mediumName(m), s.Medium.Span, m.Kind.Reach, m.Kind.On, false}, true
	}
	return carrier{}, false
}

// toolDiameter of a bonded tool in mm, 0 where it is not written.
func toolDiameter(a *trade.Abrasive) float64 {
	d := a.Diameter
	if !d.Written() && a.Stock != nil {
		d = a.Stock.Diameter
	}
	if !d.Written() {
		return 0
	}
	return d.In(quantity.Millimetre)
}

// notReached are the surfaces of a step whose shape a list does not hold.
func notReached(c *check.Context, n int, list []string) several {
	var out several
	for _, s := range c.Plan.Steps[n].Works {
		if shape := shapeOf(s); shape != "" && !covers(list, shape) && !untouched(s) {
			out = append(out, s)
		}
	}
	return out
}

// machineShort are the surfaces of a step its machine does not reach.
func machineShort(c *check.Context, n int) several {
	step := &c.Recipe.Steps[n]
	if m := step.Machine.Value; step.Working() && step.Machine.OK && m.Kind != nil {
		return notReached(c, n, machineReaches(m))
	}
	return nil
}

// machineReached are the surfaces of a step its machine reaches.
func machineReached(c *check.Context, step *recipe.Step) several {
	n := step.Number - 1
	short := machineShort(c, n)
	var out several
	for _, s := range c.Plan.Steps[n].Works {
		if !slices.Contains(short, s) && shapeOf(s) != "" && !untouched(s) {
			out = append(out, s)
		}
	}
	return out
}

// misfit says whether what carries the grain of a step does not belong on its
// machine. What is held in the hand may be held to turning work.
func misfit(step *recipe.Step) (carrier, bool) {
	if !step.Machine.OK || step.Machine.Value.Kind == nil || blasting(step) {
		return carrier{}, false
	}
	with, ok := carrierOf(step)
	return with, ok && !fits(with.on, step.Machine.Value.Kind) && !(powered(step) && inTheHand(with.on) && !onALap(step))
}

// onALap says whether what is held in the hand is told to run on a machine that is
// itself what works: a block or hand pad lies on no lap and no belt. A felt or cork
// with a diameter is a disc, whatever it is called.
func onALap(step *recipe.Step) bool {
	if step.Medium.Value.Diameter.Written() || step.Medium.OK && step.Medium.Value.Stock == nil && !strings.Contains(step.Medium.Span.Text(), " ") {
		return false
	}
	switch step.Machine.Value.Kind.Name {
	case "flat lap", "vibrating lap", "wet belt", "wet saw":
		return true
	}
	return false
}

// inTheHand says whether a list of machines is hand and sink alone.
func inTheHand(on []string) bool {
	for _, name := range on {
		if name != byHand && name != atSink {
			return false
		}
	}
	return len(on) > 0
}

// The places where nothing turns.
const (
	byHand = "by hand"
	atSink = "sink"
)

// shapesOf are the shapes of surfaces, each once.
func shapesOf(s several) []string {
	var shapes []string
	for _, one := range s {
		if shape := shapeOf(one); shape != "" && !slices.Contains(shapes, shape) {
			shapes = append(shapes, shape)
		}
	}
	return shapes
}

func coversAll(list, shapes []string) bool {
	for _, shape := range shapes {
		if !covers(list, shape) {
			return false
		}
	}
	return true
}

// mediaFor are kinds of medium the grain of a step may run on that the machine
// takes and that reach the shapes: one of each lap class, the common ones
// first, up to four. A machine that does not reach the shapes itself is left
// out of it.
func mediaFor(c *check.Context, step *recipe.Step, shapes []string) []string {
	a, kind := &step.Abrasive.Value, step.Machine.Value.Kind
	if step.Machine.OK && kind != nil && !coversAll(machineReaches(step.Machine.Value), shapes) {
		kind = nil
	}
	var names []string
	var laps []trade.LapClass
	take := func(common bool) {
		for _, m := range c.House.Media {
			suits := a.Family == nil || len(a.Family.Laps) == 0 || slices.Contains(a.Family.Laps, m.Lap)
			turning := len(m.On) == 0 || inTheHand(m.On)
			if !suits || common != (m.Source == "common practice") || !fits(m.On, kind) || !coversAll(m.Reach, shapes) ||
				slices.Contains(laps, m.Lap) || turning && (kind == nil || kind.Powered) {
				continue
			}
			laps = append(laps, m.Lap)
			names = append(names, m.Name)
		}
	}
	take(true)
	take(false)
	return names[:min(4, len(names))]
}

func powered(step *recipe.Step) bool {
	return step.Machine.OK && step.Machine.Value.Kind != nil && step.Machine.Value.Kind.Powered
}

// toolsFor are the turning tools that reach the shapes on the machine of a step;
// up to three. A smaller one of the same kind comes first.
func toolsFor(c *check.Context, step *recipe.Step, shapes []string) []string {
	var names []string
	mine := step.Abrasive.Value.Tool
	if mine.Large > 0 && coversAll(mine.Reach, shapes) {
		names = append(names, mine.Name+" of "+figure(mine.Large)+" mm or less")
	}
	for _, t := range c.House.Tools {
		if t != mine && !t.Cutting && len(t.Rim) > 0 && len(t.On) > 0 && fits(t.On, step.Machine.Value.Kind) && coversAll(t.Reach, shapes) {
			names = append(names, t.Name)
		}
	}
	return names[:min(3, len(names))]
}

// machinesFor are powered machines that reach the shapes and take what carries
// the grain of a step; up to four.
func machinesFor(c *check.Context, step *recipe.Step, shapes []string) []string {
	var names []string
	with, known := carrierOf(step)
	for _, k := range c.House.Kinds {
		if k.Powered && len(k.Reach) > 0 && !slices.Contains(k.Reach, "any") && coversAll(k.Reach, shapes) && (!known || fits(with.on, k)) {
			names = append(names, k.Name)
		}
	}
	return names[:min(4, len(names))]
}

// short is what one step's tool does not reach, for one finding over several
// steps.
type short struct {
	tool     string
	surfaces several
	step     *recipe.Step
	places   []place
}

// gatherShort joins steps that fall short of the same surfaces with the same
// tool.
func gatherShort(all []short, tool string, surfaces several, p place) []short {
	for i := range all {
		if all[i].tool == tool && slices.Equal(all[i].surfaces, surfaces) {
			all[i].places = append(all[i].places, p)
			return all
		}
	}
	return append(all, short{tool, surfaces, p.step, []place{p}})
}

// tellShort reports each; way is what to write instead.
func tellShort(all []short, found func(check.Finding), way func(step *recipe.Step, shapes []string) string) {
	for _, one := range all {
		gather(one.places, found, func(subject string, many bool) check.Finding {
			works := " works "
			if many {
				works = " work "
			}
			shapes := shapesOf(one.surfaces)
			shape := "The shape there is "
			if len(shapes) > 1 {
				shape = "The shapes there are "
			}
			return check.Finding{
				Surface: one.surfaces.first(),
				Message: subject + works + one.surfaces.the() + " with " + one.tool + ". " + shape + listed(shapes, "and") + ", which " + one.tool + " does not reach.",
				Help:    way(one.step, shapes),
			}
		})
	}
}
