package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

var stopToldOtherwise = check.Rule{
	ID: "stop-told-otherwise", Severity: diag.Warning, Concern: diag.Piece,
	Title: "The stop and the title name the finish each surface is to come to.",
	Why: "The stop is what is read across the bench on every face of the card. Where it says \"bright bevel\" and the surface is to stay matte, " +
		"half of the shop works to the one and half to the other.",
	Source: "common practice",
	Quiet:  "the finish and the surface do not stand beside each other, the sentence forbids the finish, two surfaces share the name, or both finishes stand at one place in the order",
	Bad:    "stop: Bright edge, bright bevel.   (and {name: bevel, shape: bevel, to: matte})",
	Good:   "stop: Bright edge, matte bevel.",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := c.Recipe
		told := tellsOtherwise(c, "stop", r.Stop)
	titles:
		for _, f := range tellsOtherwise(c, "title", r.Title) {
			for i := range told {
				if told[i].Surface == f.Surface {
					told[i].Also = append(told[i].Also, diag.Site{Span: f.Span})
					continue titles
				}
			}
			told = append(told, f)
		}
		for _, f := range told {
			found(f)
		}
	},
}

// tellsOtherwise finds a finish beside the name of a surface that stops at another.
func tellsOtherwise(c *check.Context, what string, f recipe.Field[string]) (told []check.Finding) {
	if !f.OK {
		return nil
	}
	words := splitWords(f.Value)
	markMoods(words)
	at := make([]*recipe.Surface, len(words)) // the surface each word names
	for i := range words {
		if at[i] = surfaceCalled(c.Recipe, words[i].stem); at[i] == nil {
			at[i] = surfaceShaped(c.Recipe, words[i].stem)
		}
	}
	for i := 0; i < len(words); i++ {
		finish, n := finishAt(c.House, words, i)
		if n == 0 || words[i].mood != plain {
			continue
		}
		if one := onlyWorked(c.Recipe); one != nil && (what == "stop" && words[i].gap == fullStop && (i+n == len(words) || words[i+n].gap == fullStop) || what == "title" && i > 0 && words[i].gap == comma && i+n == len(words)) {
			if stop := stopOf(one); stop.Rank != finish.Rank && (n > 1 || finish.Rank != brightRank || stop.Rank < lustreRank) {
				said := f.Value[words[i].start:words[i+n-1].end]
				told = append(told, check.Finding{
					Span: spanOf(f.Span, said), Surface: one.Name.Value,
					Message: "The " + what + " says \"" + said + "\", and " + the(one) + verb(one, " is", " are") + " to come to " + stop.Name + ".",
					Help:    "Write the " + what + " and the `to:` of " + the(one) + " alike.",
				})
			}
		}
		for _, j := range besideFinish(words, at, i, i+n) {
			s := at[j]
			stop := stopOf(s)
			if stop == nil || stop.Rank == 0 || stop.Rank == finish.Rank || n == 1 && finish.Rank == brightRank && stop.Rank >= lustreRank {
				continue // "bright" alone is said of all that shines
			}
			if ofAny(words, i, max(i+n-1, j)) {
				continue
			}
			from, to := min(i, j), max(i+n-1, j)
			said := f.Value[words[from].start:words[to].end]
			told = append(told, check.Finding{
				Span: spanOf(f.Span, said), Surface: s.Name.Value,
				Message: "The " + what + " says \"" + said + "\", and " + the(s) + verb(s, " is", " are") + " to come to " + stop.Name + ".",
				Help:    "Write the " + what + " and the `to:` of " + the(s) + " alike.",
			})
		}
		i += n - 1
	}
	return told
}

// ofAny says whether the words from first to last begin a sentence about all such
// surfaces instead of naming one: "a polished rim creeps".
func ofAny(words []noteWord, first, last int) bool {
	if last+2 < len(words) && words[last+1].text == "of" {
		for _, w := range words[last+2 : min(last+5, len(words))] {
			if w.text == "sample" || w.text == "other" || w.text == "old" {
				return true // another face
			}
		}
	}
	if first > 0 && words[first].gap == space && words[first-1].text == "the" {
		return false
	}
	if last+1 >= len(words) || words[last+1].gap != space {
		return false
	}
	switch words[last+1].text {
	case "and", "or", "but", "with", "on", "at", "in", "of", "to", "from", "over", "under", "round", "the", "where", "as":
		return false
	}
	return true
}

// surfaceCalled is the only surface whose name is that one word, in the singular or
// the plural.
func surfaceCalled(r *recipe.Recipe, stemmed string) *recipe.Surface {
	var one *recipe.Surface
	for i := range r.Surfaces {
		if name := r.Surfaces[i].Name.Value; stem(lower(name)) == stemmed {
			if one != nil {
				return nil
			}
			one = &r.Surfaces[i]
		}
	}
	return one
}

// shapeNouns are shapes that a stop calls a surface by, whatever its name is.
var shapeNouns = stemSet("facet relief bevel edge groove")

// surfaceShaped is the only surface of a shape that a stop calls it by: "satin
// facets".
func surfaceShaped(r *recipe.Recipe, stemmed string) *recipe.Surface {
	if !shapeNouns[stemmed] {
		return nil
	}
	var one *recipe.Surface
	for i := range r.Surfaces {
		if s := &r.Surfaces[i]; stem(shapeOf(s)) == stemmed {
			if one != nil {
				return nil
			}
			one = s
		}
	}
	return one
}

// onlyWorked is the surface of a piece of which no other comes to a finish; nil
// where several do.
func onlyWorked(r *recipe.Recipe) *recipe.Surface {
	var one *recipe.Surface
	for i := range r.Surfaces {
		s := &r.Surfaces[i]
		if stop := stopOf(s); stop == nil || stop.Rank == 0 && !untouched(s) {
			return nil
		} else if stop.Rank > 0 {
			if one != nil {
				return nil
			}
			one = s
		}
	}
	return one
}

// finishAt is the finish that the words from i on name, two words before one.
func finishAt(h *trade.House, words []noteWord, i int) (f *trade.Finish, n int) {
	for n := 2; n > 0; n-- {
		if i+n > len(words) || n == 2 && words[i+1].gap != space {
			continue
		}
		text := words[i].text
		if n == 2 {
			text += " " + words[i+1].text
		}
		if f := h.FindFinish(text); f != nil && f.Rank > 0 {
			return f, n
		}
	}
	return nil, 0
}

// besideFinish are the words that name the surfaces a finish from word i up to end
// is said of: "satin bevels", "bright foot and hollow", "satin on the face",
// "bevels satin".
func besideFinish(words []noteWord, at []*recipe.Surface, i, end int) []int {
	var list []int
	j := end
	if j < len(words) && words[j].gap == space && words[j].text == "on" {
		j++
	}
	if j > end && j < len(words) && words[j].gap == space && words[j].text == "the" {
		j++
	}
	for j < len(words) && words[j].gap == space && at[j] != nil {
		if j+1 < len(words) && words[j+1].gap == space && words[j+1].text != "and" && at[j+1] != nil {
			return nil // "satin rim bevels" speaks of the bevels
		}
		list = append(list, j)
		if j+1 >= len(words) || words[j+1].gap != space || words[j+1].text != "and" {
			break
		}
		j += 2
	}
	ends := end == len(words) || words[end].gap != space || words[end].text == "and"
	if len(list) == 0 && ends && i > 0 && words[i].gap == space && at[i-1] != nil && (i == 1 || words[i-1].gap != space || words[i-2].text == "and" || words[i-2].text == "the") {
		list = append(list, i-1)
	}
	return list
}

// spanOf is the place of words in a stretch, the whole of it where they do not
// stand there as they are.
func spanOf(at source.Span, words string) source.Span {
	if n := strings.Index(at.Text(), words); n >= 0 {
		return at.Part(n, n+len(words))
	}
	return at
}
