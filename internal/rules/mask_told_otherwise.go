package rules

import (
	"bytes"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

var maskToldOtherwise = check.Rule{
	ID: "mask-told-otherwise", Severity: diag.Warning, Concern: diag.Piece,
	Title: "What a sentence puts tape on stands in the Mask fact too.",
	Why: "The facts are what the tablet ticks off and what is checked against every later step. A foot that is taped in the sentence and not in the facts is bare for all of them, " +
		"and for whoever reads the facts only.",
	Source: "common practice",
	Quiet:  "the surface is masked in the step or before it, it is one that may be worked, the sentence forbids the tape, or the step masks nothing at all",
	Bad:    "1. Two layers of tape on lip and foot.   (Mask: lip)",
	Good:   "Mask: lip, foot",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
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

// coverWords are what covers a surface.
var coverWords = stemSet("tape mask cover masking layer vinyl film resist")

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
		tape = tape || coverWords[words[i].stem]
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
