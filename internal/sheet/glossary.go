package sheet

import (
	"slices"
	"strings"

	"coldwright/internal/grade"
	"coldwright/internal/prose"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// glossary explains the words this sheet uses, each at the step that uses it
// first: finishes, grades, tests, and the words of the bench in what stands on
// the sheet.
func (b *builder) glossary(spec BlockSpec) []Block {
	g := glossaryWriter{builder: b, seen: map[string]bool{}}
	if spec.Finishes {
		for i := range b.recipe.Surfaces {
			if f := b.recipe.Surfaces[i].To; f.OK && f.Value != nil {
				g.add(g.name(f.Value.Name), g.say(uncapital(f.Value.Means)))
			}
		}
	}
	for _, other := range b.design.Blocks {
		switch other.Name {
		case "aim":
			for _, block := range b.aim(other) {
				a := block.(Aim)
				g.words(a.Stop)
			}
		case "cautions to learn":
			for _, block := range b.cautionsToLearn(other) {
				g.step(block.(TrainingStep))
			}
		}
	}
	for _, other := range b.design.Blocks {
		if other.Name != "steps to learn" {
			continue
		}
		for i, block := range b.stepsToLearn(other) {
			step := &b.recipe.Steps[i]
			g.at = step.Number
			if spec.Grades && other.Setup {
				g.grades(step)
			}
			if spec.Tests {
				g.tests(step)
			}
			if m := step.Mix; other.Setup && m.OK && m.Value.Word != nil {
				g.mix(m.Value.Word)
			}
			g.step(block.(TrainingStep))
		}
	}
	if g.list == nil {
		return nil
	}
	return []Block{Glossary{Words: g.list}}
}

// glossaryWriter gathers words.
type glossaryWriter struct {
	*builder
	at   int
	seen map[string]bool
	list []GlossaryWord
}

func (g *glossaryWriter) add(word, means string) {
	if means == "" || g.seen[strings.ToLower(word)] {
		return
	}
	g.seen[strings.ToLower(word)] = true
	g.list = append(g.list, GlossaryWord{Word: word, Means: means, Step: g.at})
}

// words explains what a text says.
func (g *glossaryWriter) words(text string) {
	for _, w := range g.house.WordsIn(text) {
		means := g.name(w.Means)
		if g.speak.Tag() != "" && means == w.Means {
			// An English explanation would help nobody here.
			continue
		}
		g.add(g.name(w.Word), means)
	}
}

// step explains the words of a step in the order it says them.
func (g *glossaryWriter) step(s TrainingStep) {
	// A full stop between the texts keeps the last word of one and the first of
	// the next from being taken for one.
	g.words(prose.Words(s.Title))
	g.words(s.OnlyIf)
	g.words(s.Setup)
	for _, p := range s.Points {
		g.words(prose.Words(p.Words))
		g.words(prose.BlockWords(p.Blocks))
		g.words(prose.Words(p.Key))
		g.words(prose.Words(p.Reason))
	}
	for _, c := range s.Checks {
		g.words(c.Label)
		for _, line := range slices.Concat(c.Right, c.Wrong) {
			g.words(prose.Words(line))
		}
	}
}

// mix explains a consistency, with its parts.
func (g *glossaryWriter) mix(m *trade.Mix) {
	w := g.house.FindWord(m.Name)
	if w == nil {
		return
	}
	means := g.say(w.Means)
	if m.Low > 0 && m.High > 0 {
		means = g.say("%s; %s~to~%s of water to 1 of powder", means, g.figure(m.Low, 3), g.figure(m.High, 3))
	}
	g.add(g.name(w.Word), means)
}

// grades explains the scales of a step's grades with what each comes to.
func (g *glossaryWriter) grades(step *recipe.Step) {
	a := step.Abrasive
	if !a.OK || !a.Value.Grade.Written() || a.Value.Grade.Scale == grade.Micron {
		return
	}
	label := a.Value.Grade
	info, ok := grade.Info(label.Scale)
	if !ok {
		return
	}
	g.add(label.Label, joined(": ", g.say(info.Short), g.micrometres(label)))
}

// tests explains how the tests of a step are made and what each shows.
func (g *glossaryWriter) tests(step *recipe.Step) {
	for i := range step.Body {
		e := &step.Body[i]
		if e.Kind != recipe.Check || e.Check.Test == nil {
			continue
		}
		name, method, shows := g.test(e.Check.Test)
		g.add(name, joined(" ", method, g.filled("Shows %s.", shows)))
	}
}

// uncapital is a sentence of the tables as the words behind a term.
func uncapital(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToLower(s[:1]) + strings.TrimSuffix(s[1:], ".")
}
