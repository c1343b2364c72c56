package rules

import (
	"strings"

	"coldwright/internal/prose"
	"coldwright/internal/recipe"
)

// stepWords is everything a step says below its facts, and its title. It is
// asked for only where something has been found.
func stepWords(step *recipe.Step) string {
	var b strings.Builder
	b.WriteString(step.Title)
	say := func(text string) {
		if text != "" {
			b.WriteString(". ")
			b.WriteString(text)
		}
	}
	for i := range step.Body {
		one := &step.Body[i]
		say(prose.BlockWords(one.Blocks))
		for _, k := range one.KeyPoints {
			say(prose.Words(k.Point))
		}
		switch one.Kind {
		case recipe.Check:
			say(one.Check.Text)
		case recipe.Warn:
			say(one.Notice.Text)
		}
	}
	return b.String()
}
