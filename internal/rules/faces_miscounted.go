package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
)

var facesMiscounted = check.Rule{
	ID: "faces-miscounted", Severity: diag.Warning, Concern: diag.Grade,
	Title:  "A time that is so many times a face counts the faces there are.",
	Why:    "\"4 x 8 min\" on six faces leaves two of them out, or gives each less than it needs; the card says one thing and the piece asks for another.",
	Source: "common practice",
	Quiet:  "the step names one face only, or the one number goes into the other, as where two faces are done at a time or each is gone over twice",
	Bad:    "Time: 4 x 8 min   (Surface: faces, of which there are six)",
	Good:   "Time: 6 x 8 min",
	Check: func(c *check.Context, found func(check.Finding)) {
		pieces := 1
		if n := c.Recipe.Piece.Count; n.OK {
			pieces = max(1, n.Value)
		}
		var wrong []miscount
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			times := step.Time.Value.Times
			if !step.Working() || !step.Time.OK || times < 2 || step.Every {
				continue
			}
			faces := 0
			for _, use := range step.Surfaces {
				if use.Surface == nil {
					faces = 0
					break
				}
				faces++
				if n := use.Surface.Count; n.OK {
					faces += max(1, n.Value) - 1
				}
			}
			all := faces * pieces
			if faces < 2 || all%times == 0 || times%all == 0 || times%faces == 0 || times == pieces || times == len(step.Surfaces) {
				continue
			}
			wrong = append(wrong, miscount{times, faces, namesOfUses(step), check.Finding{
				Span: step.Time.Span, Step: step.Number,
				Message: capital(stepNo(step)) + " takes its minutes " + itoa(times) + " times, and it works " + itoa(faces) + " faces.",
				Help:    "Write the minutes of one face behind the number of faces, as in `Time: " + itoa(faces) + " x " + figure(step.Time.Value.Usual.In(quantity.Minute)/float64(times)) + " min`, or the time for all of them.",
			}})
		}
		tellMiscounts(wrong, found)
	},
}

// miscount is a step whose time counts other faces than there are.
type miscount struct {
	times, faces int
	on           string
	check.Finding
}

// tellMiscounts reports steps that count the same surfaces alike as one: it is then
// the count of the surface that is wrong.
func tellMiscounts(all []miscount, found func(check.Finding)) {
	for i, one := range all {
		first := true
		for _, before := range all[:i] {
			first = first && (before.times != one.times || before.on != one.on)
		}
		if !first {
			continue
		}
		steps := []string{itoa(one.Step)}
		for _, later := range all[i+1:] {
			if later.times == one.times && later.on == one.on {
				steps = append(steps, itoa(later.Step))
				one.Also = append(one.Also, diag.Site{Span: later.Span, Step: later.Step})
			}
		}
		if len(steps) > 1 {
			one.Message = "Steps " + listed(steps, "and") + " take their minutes " + itoa(one.times) + " times, and work " + itoa(one.faces) + " faces."
			one.Help = "Write `count: " + itoa(one.times) + "` at the surface if it has so many, or the number of faces in each of the times."
		}
		found(one.Finding)
	}
}

// namesOfUses is the surfaces of a step as one word to hold against another's.
func namesOfUses(step *recipe.Step) string {
	text := ""
	for _, use := range step.Surfaces {
		text += use.Name + ","
	}
	return text
}
