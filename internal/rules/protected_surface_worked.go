package rules

import (
	"bytes"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

var protectedWorked = check.Rule{
	ID: "protected-surface-worked", Severity: diag.Error, Concern: diag.Piece,
	Title: "A surface that is to stay untouched is not worked, and stands masked beside a blast.",
	Why: "A fire polish or a cast skin is gone with the first grain and does not come back. A blast reaches everything in the cabinet " +
		"that is not under tape, a finished face too. Beside a blast a bare face that is to be matte, or a seamed arris, is a warning.",
	Source: "common practice",
	Quiet:  "the surface is masked in the step, a later step works it again, a blast made it what it is, only seamed arrises are bare beside what is masked, or coated-surface-worked says it",
	Bad:    "Machine: blast cabinet   (with the dome untouched and no Mask before it)",
	Good:   "Mask: dome",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Plan.Chains {
			chain := &c.Plan.Chains[i]
			if !untouched(chain.Surface) || coated(c.Recipe, chain.Surface) {
				continue
			}
			var places []place
			for j := range chain.Works {
				if w := &chain.Works[j]; !w.Masked {
					places = append(places, place{w.Step, useSpan(w.Step, chain.Surface)})
				}
			}
			gather(places, found, func(subject string, many bool) check.Finding {
				works := " works "
				if many {
					works = " work "
				}
				return check.Finding{
					Surface: chain.Surface.Name.Value,
					Message: subject + works + the(chain.Surface) + ", which" + verb(chain.Surface, " is", " are") + " to stay untouched.",
					Help:    "Take it out of the step, mask it, or give it a stop that may be worked.",
				}
			})
		}
		for i := range c.Recipe.Steps {
			protectedTold(c, i, found)
			if blasting(&c.Recipe.Steps[i]) && c.Recipe.Steps[i].Working() {
				besideBlast(c, i, found)
			}
		}
	},
}

// protectedTold finds an order of the n-th step to work what is to stay untouched:
// "Give the strip a touch too."
func protectedTold(c *check.Context, n int, found func(check.Finding)) {
	step := &c.Recipe.Steps[n]
	if !step.Working() || step.OnlyIf.Written() {
		return
	}
	for i := range c.Recipe.Surfaces {
		s := &c.Recipe.Surfaces[i]
		name := []byte(s.Name.Value)
		if !untouched(s) || len(name) == 0 || uses(step, s) {
			continue
		}
		for j := range step.Body {
			one := &step.Body[j]
			if !isOrder(one) || !bytes.Contains(one.Span.Bytes(), name) {
				continue
			}
			if at := toldToWork(one.Span, s); at.Known() {
				found(check.Finding{
					Span: at, Step: step.Number, Surface: s.Name.Value, Severity: diag.Warning,
					Message: "\"" + oneLine(at.Text()) + "\" in " + stepNo(step) + " works " + the(s) + ", which" + verb(s, " is", " are") + " to stay untouched.",
					Help:    "Take it out of the sentence, or give " + the(s) + " a stop that may be worked.",
				})
				break
			}
		}
	}
}

var (
	// worksOn are orders that take glass off what stands right behind them.
	worksOn = wordSet("grind polish sand lap smooth pumice buff flatten")
	// touches are what a surface is given that takes glass off it.
	touches = wordSet("touch pass lick minute polish grind")
)

// toldToWork is the place in an order where a surface is told to be worked.
func toldToWork(at source.Span, s *recipe.Surface) source.Span {
	words := splitWords(at.Text())
	markMoods(words)
	want := stem(lower(s.Name.Value))
	for i := range words {
		if words[i].stem != want || words[i].mood != plain || i == 0 || words[i].gap != space {
			continue
		}
		from := i - 1
		if words[from].text == "the" && from > 0 && words[i-1].gap == space {
			from--
		}
		open := from == 0 || words[from].gap != space || words[from-1].text == "and" || words[from-1].text == "then" || isDigit(words[from-1].text[0])
		next := func(n int) string {
			if i+n < len(words) && words[i+n].gap == space {
				return words[i+n].text
			}
			return ""
		}
		switch {
		case !open || words[from].mood != plain:
		case worksOn[words[from].text] && (next(1) == "" || next(1) == "too" || next(1) == "as" || next(1) == "and"):
			return at.File.Span(at.Start+words[from].start, at.Start+words[i].end)
		case words[from].text == "give" && next(1) == "a" && touches[next(2)]:
			return at.File.Span(at.Start+words[from].start, at.Start+words[i+2].end)
		}
	}
	return source.Span{}
}

// besideBlast finds what stands bare in the cabinet while something else is
// blasted.
func besideBlast(c *check.Context, n int, found func(check.Finding)) {
	step := &c.Recipe.Steps[n]
	var bare, seams several
	severity := diag.Warning
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		s := chain.Surface
		if c.Plan.Steps[n].Masked[s.Name.Value] || names(step, s) {
			continue
		}
		switch {
		case untouched(s):
			severity = diag.Error
		case !finished(c.House, chain, step):
			continue
		case stopOf(s).Rank > 1:
			severity = diag.Error
		case stopIs(s, "seamed"):
			seams = append(seams, s)
			continue
		}
		bare = append(bare, s)
	}
	// An arris lies under the edge of the tape on the faces beside it.
	if len(bare) > 0 || len(c.Plan.Steps[n].Masked) == 0 {
		bare = append(bare, seams...)
	}
	if len(bare) == 0 {
		return
	}
	found(check.Finding{
		Span: step.Machine.Span, Step: step.Number, Severity: severity,
		Message: "Step " + itoa(step.Number) + " blasts while " + bare.the() + bare.verb(" is", " are") + " bare. What is untouched or finished does not outlast the grain.",
		Help:    "Write `Mask:` with " + bare.the() + ", in this step or before it.",
	})
}

// finished says whether a surface has come to its stop before a blast and is
// not worked again after it. What a blast left is not harmed by another.
func finished(h *trade.House, chain *process.Chain, step *recipe.Step) bool {
	stop := stopOf(chain.Surface)
	if stop == nil || stop.Name == "removed" {
		return false
	}
	done := false
	for i := range chain.Works {
		w := &chain.Works[i]
		if !live(w) {
			continue
		}
		if w.Step.Number >= step.Number {
			return false
		}
		bright, _, ok := outcomes().ranks(h, w)
		done = stop.Rank == 0 || ok && bright.Rank >= stop.Rank
		if w.Class == trade.Blast && stop.Rank <= 1 {
			done = false
		}
	}
	return done
}
