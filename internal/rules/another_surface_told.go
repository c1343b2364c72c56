package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var anotherSurfaceTold = check.Rule{
	ID: "another-surface-told", Severity: diag.Warning, Concern: diag.Piece,
	Title: "The title of a step and its Surface fact name the same surface.",
	Why: "\"Rim, last grit\" over a fact that names the bevels sends whoever reads the title to the rim and ticks off the bevels. " +
		"One of the two was copied from another step, and every check of the grades is made on the fact.",
	Source: "common practice",
	Quiet: "the title names no surface or one the step works too, the name stands behind a word like \"to\", \"from\" or \"of\", it is a verb as in \"Face the foot\", " +
		"what is worked is not what it speaks of first (\"Rest it on its rim\", \"Mind the lip\"), the title speaks of a seam, or the step works all surfaces",
	Bad:  "## Rim, last grit   (Surface: bevels)",
	Good: "## Rim, last grit   (Surface: rim)",
	Check: func(c *check.Context, found func(check.Finding)) {
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			told := titleElsewhere(c, step)
			if told == nil {
				continue
			}
			var works several
			for _, use := range step.Surfaces {
				works = append(works, use.Surface)
			}
			found(check.Finding{
				Span: step.Surfaces[0].Span, Step: step.Number, Surface: told.Name.Value,
				Message: "By its title " + stepNo(step) + ", \"" + step.Title + "\", works " + the(told) + ", and its `Surface:` names " + works.the() + ".",
				Help:    "Write `Surface: " + told.Name.Value + "`, or put the title right.",
			})
		}
	},
}

type titlesKey struct{}

// titleElsewhere is the surface that the title of a working step names where the
// step works others only; nil where all is well. Worked out once for all steps.
func titleElsewhere(c *check.Context, step *recipe.Step) *recipe.Surface {
	return c.Once(titlesKey{}, func() any {
		told := make([]*recipe.Surface, len(c.Recipe.Steps))
		for i := range c.Recipe.Steps {
			told[i] = surfaceOfTitle(c.Recipe, &c.Recipe.Steps[i])
		}
		return told
	}).([]*recipe.Surface)[step.Number-1]
}

var (
	// seamTitles are what is done to the edges of the surface that is named.
	seamTitles = wordSet("seam break ease soften roll chamfer arris arrises edge edges bevel tape mask cover protect match fit")
	// notWorked stand before a surface that is not the one worked.
	notWorked = wordSet("to from beside above below under near before after against of off like than without round towards toward with for")
	// everyOne stand behind a verb at the head of a title: "Face the foot".
	everyOne = wordSet("the a both all each every it them")
	// goingBack stand behind a word that is no surface there: "Back to the coarse wheel",
	// "Finer disc, face up".
	goingBack = wordSet("to again at on in over up down outward outwards side")
	// asideWords are words behind which a title names what is held, spared, looked at or
	// held up as an example, and not what is worked: "Rest it on its rim", "Finer, never
	// over the lip", "Mind the base", "Same again, as on the face".
	asideWords = wordSet("not never nor no keep mind watch spare leave hold rest lay lie stand set place put as same meet")
	// sparedWords stand behind a surface that is left alone for now: "Next grit, bevels
	// untouched", "Second grit (the rim comes later)".
	sparedWords = wordSet("untouched untouchable spared left comes waits later bare taped masked covered protected stays")
)

// surfaceOfTitle is the one surface a title names where the step does not work it.
func surfaceOfTitle(r *recipe.Recipe, step *recipe.Step) *recipe.Surface {
	if !step.Working() || step.Every || len(step.Surfaces) == 0 {
		return nil
	}
	for _, use := range step.Surfaces {
		if use.Surface == nil {
			return nil
		}
	}
	if !mayName(r, step) {
		return nil
	}
	var told *recipe.Surface
	words := splitWords(step.Title)
	for i := range words {
		next, before := "", ""
		if i+1 < len(words) && words[i+1].gap == space {
			next = words[i+1].text
		}
		if i > 0 && words[i].gap == space {
			before = words[i-1].text
			if before == "the" && i > 1 {
				before = words[i-2].text
			}
		}
		if told == nil && asideWords[words[i].text] {
			return nil
		}
		s := surfaceCalled(r, words[i].stem)
		switch {
		case s == nil:
			if seamTitles[words[i].text] {
				return nil
			}
		case uses(step, s), partOfName(step, words[i].stem):
			return nil
		case sparedWords[next], (i == 0 || words[i].gap != space) && (next == "down" || next == "up"), i == 0 && everyOne[next], (words[i].text == "back" || words[i].text == "face") && goingBack[next], notWorked[before], shapeOf(s) == "stub":
		case told != nil && told != s, seam(s):
			return nil
		default:
			told = s
		}
	}
	return told
}

// mayName says whether a title may name a surface that its step does not work: most
// do not, and their words need not be looked at.
func mayName(r *recipe.Recipe, step *recipe.Step) bool {
	const head = 3 // letters a name and its plural have alike
	title := lower(step.Title)
	for i := range r.Surfaces {
		s := &r.Surfaces[i]
		name := lower(s.Name.Value)
		if !uses(step, s) && strings.Contains(title, name[:min(head, len(name))]) {
			return true
		}
	}
	return false
}

// partOfName says whether a word is part of the name of a surface the step works:
// "back" of the back edge.
func partOfName(step *recipe.Step, stemmed string) bool {
	for _, use := range step.Surfaces {
		for _, w := range splitWords(use.Name) {
			if w.stem == stemmed {
				return true
			}
		}
	}
	return false
}
