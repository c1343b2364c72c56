package rules

import (
	"bytes"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

var maskToldOtherwise = check.Rule{
	ID: "mask-told-otherwise", Severity: diag.Warning, Concern: diag.Piece,
	Title: "What a sentence or the title of a step puts tape on stands in the Mask fact too.",
	Why: "The facts are what the tablet ticks off and what is checked against every later step. A foot that is taped in the sentence and not in the facts is bare for all of them, " +
		"and for whoever reads the facts only. So is it where a mask is taken off that no step puts on.",
	Source: "common practice",
	Quiet:  "the surface is masked in the step or before it, it is one that may be worked, the sentence forbids the tape, the step masks nothing at all and its title names nothing to mask, or the words before the first step say that the piece comes taped",
	Bad:    "1. Two layers of tape on lip and foot.   (Mask: lip)",
	Good:   "Mask: lip, foot",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			neverMasked(c, i, found)
			if s := bareByTitle(c, i); s != nil {
				found(check.Finding{
					Span: step.Span, Step: step.Number, Surface: s.Name.Value,
					Message: "By its title " + stepNo(step) + " masks " + the(s) + ", and its facts do not.",
					Help:    "Write `- Mask: " + s.Name.Value + "` among its facts, or take " + several{s}.them() + " out of the title.",
				})
				continue
			}
			if len(step.Mask) == 0 {
				continue
			}
			for j := range step.Body {
				s, span := bareInTapeOrder(c, i, &step.Body[j])
				if s == nil {
					continue
				}
				found(check.Finding{
					Span: span, Step: step.Number, Surface: s.Name.Value,
					Message: capital(stepNo(step)) + " tells the reader to tape " + the(s) + ", and its `Mask:` does not name " + several{s}.them() + ".",
					Help:    "Write " + s.Name.Value + " behind `Mask:` too, or take " + several{s}.them() + " out of the sentence.",
				})
				break
			}
		}
	},
}

// bareByTitle is a surface that the title of the n-th step orders to be taped, as
// in "Mask the bowl", and that has no mask in it; nil where there is none.
func bareByTitle(c *check.Context, n int) *recipe.Surface {
	title := c.Recipe.Steps[n].Title
	if !strings.Contains(title, "ask ") && !strings.Contains(title, "ape ") {
		return nil
	}
	words := splitWords(title)
	for i := range words {
		if t := words[i].text; t != "mask" && t != "tape" || i > 0 && words[i].gap == space && words[i-1].text != "and" && words[i-1].text != "then" {
			continue
		}
		j := i + 1
		if j < len(words) && words[j].text == "the" {
			j++
		}
		if j >= len(words) || words[j].gap != space {
			continue
		}
		if s := surfaceCalled(c.Recipe, words[j].stem); s != nil && !c.Plan.Steps[n].Masked[s.Name.Value] && (j+1 == len(words) || words[j+1].gap != space || words[j+1].text == "and") {
			return s
		}
	}
	return nil
}

// coverWords are what covers a surface.
var coverWords = stemSet("tape mask cover masking layer vinyl film resist")

// baresWords end what is covered: "mask the foot and leave the lip", "a hand's breadth
// short of the lip".
var baresWords = wordSet("leave keep hold short clear free bare look wash not")

// bareInTapeOrder is a surface to be left untouched that an order of the n-th step
// puts tape on, beside one that is masked, and that is not masked itself.
func bareInTapeOrder(c *check.Context, n int, one *recipe.Element) (*recipe.Surface, source.Span) {
	if !isOrder(one) || !bytes.Contains(one.Span.Bytes(), []byte("ta")) && !bytes.Contains(one.Span.Bytes(), []byte("as")) && !bytes.Contains(one.Span.Bytes(), []byte("over")) {
		return nil, source.Span{}
	}
	masked := c.Plan.Steps[n].Masked
	words := splitWords(one.Span.Text())
	markMoods(words)
	tape, beside := false, false
	var bare *recipe.Surface
	var at source.Span
	for i := range words {
		if words[i].gap == fullStop {
			tape, beside, bare = false, false, nil
		}
		if words[i].mood != plain {
			continue
		}
		tape = tape && !baresWords[words[i].text] || coverWords[words[i].stem]
		s := surfaceCalled(c.Recipe, words[i].stem)
		switch {
		case s == nil || !tape:
		case masked[s.Name.Value]:
			beside = true
		case untouched(s) && bare == nil && (words[i-1].text == "and" || words[i-1].text == "the" || words[i-1].text == "on" || words[i].gap == comma):
			bare, at = s, one.Span.File.Span(one.Span.Start+words[i].start, one.Span.Start+words[i].end)
		}
		if tape && beside && bare != nil {
			return bare, at
		}
	}
	return nil, source.Span{}
}

// isOrder says whether an element tells the reader what to do.
func isOrder(one *recipe.Element) bool {
	return (one.Kind == recipe.Order || one.Kind == recipe.Words) && one.Span.Known()
}

// neverMasked finds masks that the n-th step takes off and no step has put on. A
// piece that comes to the bench taped says so before the first step.
func neverMasked(c *check.Context, n int, found func(check.Finding)) {
	step := &c.Recipe.Steps[n]
	if len(step.Unmask) == 0 && !step.UnmaskAll {
		unmasksByTitle(c, n, found)
		return
	}
	if len(c.Plan.Steps[len(c.Plan.Steps)-1].Masked) > 0 {
		return // what stays masked to the end is spoken of there
	}
	f := check.Finding{Step: step.Number}
	for i := range step.Facts {
		if step.Facts[i].Name == "Unmask" {
			f.Span = step.Facts[i].Span
		}
	}
	masked := func(name string) bool {
		for i := range n {
			for _, use := range c.Recipe.Steps[i].Mask {
				if name == "" || use.Name == name {
					return true
				}
			}
		}
		return false
	}
	var bare several
	for _, use := range step.Unmask {
		if use.Surface != nil && !masked(use.Name) {
			bare = append(bare, use.Surface)
		}
	}
	switch {
	case !f.Span.Known():
		return
	case step.UnmaskAll && !masked(""):
		f.Message = capital(stepNo(step)) + " takes every mask off, and no step puts one on."
		f.Help = "Write `Mask:` with what is covered in the step that does it, or take `Unmask:` out."
	case len(bare) > 0:
		f.Surface = bare.first()
		f.Message = capital(stepNo(step)) + " takes the mask off " + bare.the() + ", and no step puts one on."
		f.Help = "Write `Mask: " + bare.names() + "` in the step that does it, or take it out of `Unmask:`."
	default:
		return
	}
	if !comesMasked(c.Recipe) {
		found(f)
	}
}

// unmasksByTitle finds a title that takes a mask off where no mask is left on: a
// step before it has it, or its fact stands at the wrong place.
func unmasksByTitle(c *check.Context, n int, found func(check.Finding)) {
	step := &c.Recipe.Steps[n]
	if n == 0 || len(c.Plan.Steps[n-1].Masked) > 0 || !titledUnmask(step.Title) {
		return
	}
	for i := range n {
		before := &c.Recipe.Steps[i]
		if len(before.Unmask) == 0 && !before.UnmaskAll {
			continue
		}
		found(check.Finding{
			Span: step.Span, Step: step.Number,
			Message: "By its title " + stepNo(step) + " takes the mask off, and the facts take it off in " + stepNo(before) + " already.",
			Help:    "Put the `Unmask:` of " + stepNo(before) + " into " + stepNo(step) + ", or mend the title.",
		})
		return
	}
}

// titledUnmask says whether a title speaks of taking a mask off.
func titledUnmask(title string) bool {
	if !strings.Contains(title, "ask") && !strings.Contains(title, "ape") {
		return false
	}
	words := splitWords(title)
	for i := range words {
		switch w := words[i].text; {
		case w == "unmask" || w == "untape":
			return true
		case (w == "tape" || w == "mask") && i+1 < len(words) && words[i+1].text == "off":
			return true
		}
	}
	return false
}

// comesMasked says whether the words before the first step speak of a mask.
func comesMasked(r *recipe.Recipe) bool {
	if len(r.Steps) == 0 || r.File == nil {
		return false
	}
	for _, w := range splitWords(string(r.File.Text[:r.Steps[0].All.Start])) {
		if coverWords[w.stem] {
			return true
		}
	}
	return false
}
