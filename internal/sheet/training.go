package sheet

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"coldwright/internal/process"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// Learner are the lines at the head of a training sheet: who learns, who
// teaches, on which revision, and when it is looked at again.
type Learner struct {
	// Revision is "rev 2", Change what kind of change that was.
	Revision, Change string
	// Since says which change ended earlier training; empty where none did.
	Since string
}

// Aim is where the piece stops.
type Aim struct {
	// Surfaces say of each surface how it stops.
	Surfaces []Labelled
	Stop     string
}

// TrainingStep is one step as it is taught.
type TrainingStep struct {
	// Number is 0 for what is taught before the first step.
	Number int
	Title  []prose.Inline
	Anchor string `uncounted:""`
	OnlyIf string
	// Setup is what the step is done with, in one line.
	Setup  string
	Points []TrainingPoint
	Checks []TrainingCheck
	// Pictures are those that stand in the words of the points.
	Pictures Pictures
	// Boxes are what initials are for.
	Boxes []string
}

// TrainingPoint is one row: what to do, what makes or breaks it, and why.
type TrainingPoint struct {
	// Signal is set for a caution.
	Signal trade.Signal
	// Words are the order, Key what makes or breaks it, Reason why.
	Words, Key, Reason []prose.Inline
	// Blocks are further prose of the order, below it.
	Blocks []prose.Block
	// Whole is true for words that give order and reason in one.
	Whole bool
	// Picture is set for a picture of the step, which is a row of its own.
	Picture *Picture
}

// TrainingCheck is what a checkpoint looks like when it is right and when it
// is wrong.
type TrainingCheck struct {
	// Label is the test, the tile or the place that is looked at.
	Label        string
	Right, Wrong [][]prose.Inline
	// Stops is true where it ends the work: Right then says when.
	Stops bool
}

// Glossary are the words of a training sheet, explained beside it.
type Glossary struct{ Words []GlossaryWord }

// GlossaryWord is one of them.
type GlossaryWord struct {
	Word, Means string
	// Step is the number of the step that uses it first, 0 before them.
	Step int
}

func (Learner) block()      {}
func (Aim) block()          {}
func (TrainingStep) block() {}
func (Glossary) block()     {}

// trainingFoot says what initials on a training sheet are, and what ends them.
const trainingFoot = "Initials in each box say what was seen that day. A safety or method change in the recipe ends them: train again."

// trainingBoxes are what initials are for where a design says nothing.
var trainingBoxes = []string{"shown", "done with help", "done alone", "date"}

// learner is the head of a training sheet.
func (b *builder) learner(BlockSpec) []Block {
	r := b.recipe
	l := Learner{Revision: b.say("rev~%s", strconv.Itoa(r.Revision.Value))}
	if !r.Revision.OK {
		l.Revision = b.say("rev~%s", strings.TrimSpace(r.Revision.Span.Text()))
	}
	if r.Revision.Value == 1 && len(r.Changes) == 0 {
		l.Change = b.say("first issue")
	}
	for _, c := range r.Changes {
		if c.Revision.Value == r.Revision.Value && c.Kind.Written() {
			l.Change = b.say("%s change", b.name(written(c.Kind)))
		}
		if c.Revision.OK && trainAgain[written(c.Kind)] {
			head := joined(", ", b.say("Rev~%d", c.Revision.Value), b.dateOf(c.Date), b.say("%s change", b.name(written(c.Kind))))
			l.Since = joined(" ", joined(": ", head, followed(strings.TrimRight(written(c.Note), ". "), ".")), b.say("Training on an earlier revision is at an end."))
		}
	}
	return []Block{l}
}

// aim is where the surfaces and the piece stop.
func (b *builder) aim(BlockSpec) []Block {
	a := Aim{Stop: written(b.recipe.Stop)}
	for i := range b.recipe.Surfaces {
		row := b.surfaceRow(&b.recipe.Surfaces[i])
		a.Surfaces = append(a.Surfaces, Labelled{row.Name, joined(", ", row.StopsAt, b.filled("tile~%s", row.Tile))})
	}
	if a.Stop == "" && a.Surfaces == nil {
		return nil
	}
	return []Block{a}
}

// taught are the caution topics by the index of the step they are taught at: the
// first that calls for them, or -1 where that is before the first step.
func (b *builder) taught() map[int][]*trade.Topic {
	at := map[int][]*trade.Topic{}
	for _, t := range b.topics {
		first := -1
		c := callOf(t.Name)
		switch {
		case c != nil && c.before:
		case slices.Contains(b.house.Always, t) && !t.Again:
			// What stands on every recipe is no matter of one step.
		default:
			if steps := b.stepsCalling(t); len(steps) > 0 {
				first = steps[0]
			}
		}
		at[first] = append(at[first], t)
	}
	return at
}

// topicPoint is a caution as a row: what to do, and what it is for.
func (b *builder) topicPoint(t *trade.Topic) TrainingPoint {
	w := b.wording(t, b.facts)
	words := w.Short
	if words == "" {
		words = w.Full
	}
	return TrainingPoint{Signal: w.Signal, Words: plain(words), Reason: plain(b.why(t))}
}

// noticePoint is a caution in the author's own words, which give order and
// reason in one.
func noticePoint(n recipe.Notice) TrainingPoint {
	p := proseParts(n.Blocks)
	return TrainingPoint{Signal: n.Signal, Words: capitalWords(p.Words), Blocks: p.Blocks, Whole: true}
}

// capitalWords are words that begin a row, with their first letter large.
func capitalWords(words []prose.Inline) []prose.Inline {
	if len(words) == 0 || words[0].Kind != prose.Text {
		return words
	}
	out := slices.Clone(words)
	out[0].Text = capital(out[0].Text)
	return out
}

// gravest puts cautions in the order of their signal words.
func gravest(points []TrainingPoint) {
	slices.SortStableFunc(points, func(a, b TrainingPoint) int { return int(b.Signal) - int(a.Signal) })
}

// cautionsToLearn are the cautions of no one step, taught before the first.
func (b *builder) cautionsToLearn(spec BlockSpec) []Block {
	s := TrainingStep{Title: plain(b.say("Before the first step")), Boxes: b.boxes(spec)}
	var said []string
	for _, n := range b.recipe.Notices {
		s.Points = append(s.Points, noticePoint(n))
		said = append(said, bareWords(prose.BlockWords(n.Blocks)))
	}
	for _, t := range b.recipe.Cautions {
		if name := strings.TrimSpace(t.Span.Text()); t.Topic == nil && name != "" {
			s.Points = append(s.Points, TrainingPoint{Signal: trade.Caution, Words: plain(b.say("“%s”: no caution of this name is known.", name)), Whole: true})
		}
	}
	for _, t := range b.taught()[-1] {
		if w := b.wording(t, b.facts); !slices.Contains(said, bareWords(w.Full)) {
			s.Points = append(s.Points, b.topicPoint(t))
		}
	}
	if len(s.Points) == 0 {
		return nil
	}
	gravest(s.Points)
	return []Block{s}
}

// stepsToLearn are the steps as they are taught.
func (b *builder) stepsToLearn(spec BlockSpec) []Block {
	taught := b.taught()
	var blocks []Block
	for i := range b.recipe.Steps {
		step := &b.recipe.Steps[i]
		s := TrainingStep{
			Number: step.Number, Title: step.Words, Anchor: Anchor(step.Number), OnlyIf: b.onlyIf(step), Boxes: b.boxes(spec),
			Pictures: b.opt.Pictures,
		}
		if len(s.Title) == 0 {
			s.Title = plain(step.Title)
		}
		plan := b.moment(i).plan
		if spec.Setup {
			s.Setup = b.setup(step)
		}
		s.Points = b.points(i, taught[i])
		for k := range step.Body {
			if e := &step.Body[k]; e.Kind == recipe.Check {
				s.Checks = append(s.Checks, b.trainingCheck(e.Check, step, &plan, spec.Faults))
			}
		}
		blocks = append(blocks, s)
	}
	return blocks
}

// setup is what a step is done with: grain, what carries it, the mix.
func (b *builder) setup(step *recipe.Step) string {
	abrasive := strings.TrimSpace(step.Abrasive.Span.Text())
	if step.Abrasive.OK {
		a := step.Abrasive.Value
		abrasive = joined(" ", b.abrasive(a), strings.ReplaceAll(b.speak.Number(a.Grade.Label), " ", nbsp))
	}
	medium := strings.TrimSpace(step.Medium.Span.Text())
	if step.Medium.OK {
		medium, _, _ = strings.Cut(b.medium(step.Medium.Value), ",")
	}
	mix := strings.TrimSpace(step.Mix.Span.Text())
	if step.Mix.OK && step.Mix.Value.Word != nil {
		mix = b.name(step.Mix.Value.Word.Name)
	}
	return capital(joined(", ", abrasive, medium, mix, b.waterWords(step.Water)))
}

// points are the rows of step i: its topics, gravest first, then those said again
// at it in short, then what the author wrote and shows, in the author's order.
func (b *builder) points(i int, topics []*trade.Topic) []TrainingPoint {
	var points []TrainingPoint
	step := &b.recipe.Steps[i]
	said := ownWarnings(step)
	for _, t := range topics {
		w := b.wording(t, b.facts)
		if !slices.Contains(said, bareWords(w.Short)) && !slices.Contains(said, bareWords(w.Full)) {
			points = append(points, b.topicPoint(t))
		}
	}
	for _, p := range b.shortForms(i, topics) {
		points = append(points, TrainingPoint{Signal: p.Signal, Words: p.Words, Whole: true})
	}
	gravest(points)
	for k := range step.Body {
		switch e := &step.Body[k]; e.Kind {
		case recipe.Order:
			p := proseParts(e.Blocks)
			row := TrainingPoint{Words: p.Words, Blocks: p.Blocks}
			for k, key := range e.KeyPoints {
				if k > 0 {
					row = TrainingPoint{}
				}
				row.Key, row.Reason = capitalWords(key.Point), capitalWords(key.Reason)
				points = append(points, row)
			}
			if len(e.KeyPoints) == 0 {
				points = append(points, row)
			}
		case recipe.Warn:
			points = append(points, noticePoint(*e.Notice))
		case recipe.Shown:
			points = append(points, TrainingPoint{Picture: b.picture(*e.Picture)})
		case recipe.Words:
			if p := proseParts(e.Blocks); len(e.Blocks) > 0 {
				points = append(points, TrainingPoint{Words: p.Words, Blocks: p.Blocks, Whole: true})
			}
		}
	}
	return points
}

// labelMost is the most letters before a colon that still are a label.
const labelMost = 24

// splitLabel takes the label off words such as "Thumbnail: nothing catches".
func splitLabel(words []prose.Inline) (label string, rest []prose.Inline) {
	if len(words) == 0 || words[0].Kind != prose.Text {
		return "", words
	}
	before, after, ok := strings.Cut(words[0].Text, ":")
	if !ok || utf8.RuneCountInString(before) > labelMost || after != "" && after[0] != ' ' || strings.TrimSpace(after) == "" && len(words) == 1 {
		return "", words
	}
	rest = slices.Clone(words)
	rest[0].Text = strings.TrimLeft(after, " ")
	return strings.TrimSpace(before), rest
}

// trainingCheck is a checkpoint with what right and wrong look like: the
// author's words, then the tile's, and where the author says nothing of wrong
// what the trade knows of such a test after such work.
func (b *builder) trainingCheck(c *recipe.Checkpoint, step *recipe.Step, plan *process.StepPlan, faults bool) TrainingCheck {
	label, words := splitLabel(c.Words)
	out := TrainingCheck{Label: label, Stops: c.Stops, Right: [][]prose.Inline{words}}
	if label == "" {
		out.Label = b.say("Check")
	}
	out.Right = append(out.Right, c.Right...)
	if t := b.house.FindTile(c.Tile); t != nil && !c.Stops {
		if words := joined(": ", t.Finish, t.Lamp); words != "" {
			out.Right = append(out.Right, plain(t.Code+", "+words))
		}
	}
	if c.Stops {
		return out
	}
	back := b.wayBack(c, step)
	test := c.Test
	if test == nil && c.Tile != "" {
		test = b.house.FindTest("Tile")
	}
	seen := ""
	if faults {
		seen = b.house.Wrong(test, after(step, plan)...)
	}
	switch {
	case len(c.Wrong) > 0:
		out.Wrong = append(slices.Clone(c.Wrong), plain(capital(back)+"."))
	case seen != "":
		out.Wrong = [][]prose.Inline{plain(b.say(seen) + "; " + back)}
	default:
		out.Wrong = [][]prose.Inline{plain(b.say("not so: %s", back))}
	}
	return out
}

// after is the work a checkpoint is made after, in the words of the table of
// faults.
func after(step *recipe.Step, plan *process.StepPlan) []string {
	if !step.Working() {
		return []string{trade.Handling}
	}
	words := []string{string(plan.Class), string(step.Abrasive.Value.Bond)}
	if f := step.Abrasive.Value.Family; f != nil {
		words = append(words, string(f.Work))
	}
	return words
}

// wayBack says what follows where a checkpoint fails: its own way back, else that
// of the step, else the step once more, unless what stops the work holds.
func (b *builder) wayBack(c *recipe.Checkpoint, step *recipe.Step) string {
	back := step.ReturnTo
	if c.Return.Written() {
		back = c.Return
	}
	words := b.say("repeat this step")
	switch n := back.Value.Step; {
	case !back.Written() || n == step.Number:
	case !back.OK || n < 1 || n > len(b.recipe.Steps):
		words = b.say("go back to %s", strings.TrimSpace(back.Span.Text()))
	default:
		words = b.say("go back to step~%d", n)
	}
	if !c.Return.Written() && stopsWork(step) {
		words = b.say("where Stop holds, stop, else %s", words)
	}
	return words
}

// stopsWork says whether a checkpoint of the step ends the work.
func stopsWork(step *recipe.Step) bool {
	return slices.ContainsFunc(step.Body, func(e recipe.Element) bool { return e.Kind == recipe.Check && e.Check.Stops })
}

// boxes are what initials are for.
func (t tongue) boxes(s BlockSpec) []string {
	asked := s.Boxes
	if asked == nil {
		asked = trainingBoxes
	}
	boxes := make([]string, len(asked))
	for i, box := range asked {
		boxes[i] = t.name(box)
	}
	return boxes
}
