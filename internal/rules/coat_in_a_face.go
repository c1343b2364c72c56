package rules

import (
	"slices"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/trade"
)

// A coat that is written as a surface of its own, or only told of, lies in some
// face, and it is that face which is ground. Where it lies is known from its name
// ("top strip"), from words that place it there ("a dichroic strip in the top"), or
// guessed by its shape.

// coatInFaces finds steps that work a face in which a coat lies bare.
func coatInFaces(c *check.Context, found func(check.Finding)) {
	f := safetyOf(c)
	coating := c.Recipe.Coating
	named := coating != nil && coating.On.OK
	if !named && !f.scan.has(signCoat) || coating != nil && coating.Capped.Written() {
		return
	}
	told := f.coatsTold()
	if coveredIn(told) {
		return
	}
	said := map[*process.Chain]bool{}
	for i := range c.Plan.Chains {
		part := &c.Plan.Chains[i]
		kind := coatOf(c.Recipe, part.Surface, told)
		if kind == "" || !untouched(part.Surface) {
			continue
		}
		own := append(f.partTold(part.Surface, kind), told...)
		if coveredIn(own) {
			return
		}
		at, sure := whereCoatLies(c, part, own)
		for _, face := range at {
			if named && coating.On.Value == face.Surface.Name.Value || said[face] || !sure && len(workedBare(c, face, part.Surface)) == 0 {
				continue
			}
			said[face] = true
			tellCoat(c, face, part.Surface, kind, sure, found)
		}
	}
	for _, t := range told {
		for _, face := range t.at {
			if chain := chainOf(c, face); chain != nil && !said[chain] && !(named && coating.On.Value == face.Name.Value) && !untouched(face) {
				said[chain] = true
				tellCoat(c, chain, nil, t.kind, true, found)
			}
		}
	}
}

// coveredIn says whether clear glass or tape is said to lie over a coat.
func coveredIn(told []coatTold) bool {
	return slices.ContainsFunc(told, func(t coatTold) bool { return t.covered })
}

// workedBare are the steps that work a face while the part of it that bears a coat
// is not masked; part may be nil. A blast beside it is another rule's.
func workedBare(c *check.Context, face *process.Chain, part *recipe.Surface) (places []place) {
	for i := range face.Works {
		w := &face.Works[i]
		if w.Masked || part != nil && (w.Class == trade.Blast || c.Plan.Steps[w.Step.Number-1].Masked[part.Name.Value]) {
			continue
		}
		places = append(places, place{w.Step, useSpan(w.Step, face.Surface)})
	}
	return places
}

// tellCoat reports the steps that work a face in which a coat lies. sure is false
// where nothing says that it lies there.
func tellCoat(c *check.Context, face *process.Chain, part *recipe.Surface, kind string, sure bool, found func(check.Finding)) {
	on := face.Surface.Name.Value
	what := article(kind)
	if part != nil {
		on = part.Name.Value
		what = the(part)
		if !strings.Contains(strings.ToLower(on), firstWord(kind)) {
			what += ", which is " + coatedWord(kind) + ","
		}
	}
	capped := "write `coating:` with its kind, `on: " + on + "` and, as `capped: 3 mm`, the clear glass that lies over it"
	if known := coatKind(kind); known != "" {
		capped = "write `coating: {kind: " + known + ", on: " + on + ", capped: 3 mm}` with the clear glass that lies over it"
	}
	gather(workedBare(c, face, part), found, func(subject string, many bool) check.Finding {
		works := " works "
		if many {
			works = " work "
		}
		if sure {
			return check.Finding{
				Surface: face.Surface.Name.Value,
				Message: subject + works + the(face.Surface) + ", and " + what + " lies in " + several{face.Surface}.them() + ". Any grain takes such a coat off.",
				Help:    "Mask it and stay clear of it, work the other side, or " + capped + ".",
			}
		}
		f := check.Finding{
			Surface: face.Surface.Name.Value, Severity: diag.Warning,
			Message: subject + works + the(face.Surface) + ", and nothing says in which face " + what + " lies. If it lies there, any grain takes it off.",
			Help:    "Say where it lies, as in “" + capital(the(part)) + " lies in the back.” Else mask it in those steps, or " + capped + ".",
		}
		if otherFace(c, face.Surface, part) {
			f.Severity = diag.Note
		}
		return f
	})
}

// otherFace says whether a face of the same shape is not worked at all, so that the
// part may well lie there. Of one that stays untouched whole no part need be named.
func otherFace(c *check.Context, face, part *recipe.Surface) bool {
	for i := range c.Plan.Chains {
		chain := &c.Plan.Chains[i]
		if s := chain.Surface; s != face && s != part && !untouched(s) && shapeOf(s) == shapeOf(part) && len(workedBare(c, chain, part)) == 0 {
			return true
		}
	}
	return false
}

// coatOf is the coat a surface bears: by the coating that is written of it, by its
// name, or by words that name it and a coat. "" where it bears none that is known.
func coatOf(r *recipe.Recipe, s *recipe.Surface, told []coatTold) string {
	if coated(r, s) {
		if r.Coating.Kind.OK {
			return r.Coating.Kind.Value + " coating"
		}
		return "coating"
	}
	for _, t := range told {
		if t.surface == s {
			return t.kind
		}
	}
	return ""
}

// whereCoatLies are the faces in which a part that bears a coat lies; sure is false
// where only its shape speaks for them. None where it is a face of its own, or lies
// where nothing is worked.
func whereCoatLies(c *check.Context, part *process.Chain, told []coatTold) (at []*process.Chain, sure bool) {
	name := splitWords(part.Surface.Name.Value)
	for i := range c.Plan.Chains {
		if s := c.Plan.Chains[i].Surface; s != part.Surface && hasName(name, splitWords(s.Name.Value)) >= 0 {
			at = append(at, &c.Plan.Chains[i])
		}
	}
	if len(at) > 0 {
		return at, true
	}
	for _, w := range name {
		if faceWords[w.stem] {
			return nil, false
		}
	}
	for _, t := range told {
		if t.surface != nil && t.surface != part.Surface {
			continue
		}
		for _, s := range t.at {
			at = append(at, chainOf(c, s))
		}
		if t.elsewhere || len(at) > 0 {
			return at, true
		}
	}
	for i := range c.Plan.Chains {
		if s := c.Plan.Chains[i].Surface; s != part.Surface && !untouched(s) && shapeOf(s) == shapeOf(part.Surface) && shapeOf(s) != "" {
			at = append(at, &c.Plan.Chains[i])
		}
	}
	return at, false
}

func chainOf(c *check.Context, s *recipe.Surface) *process.Chain {
	for i := range c.Plan.Chains {
		if c.Plan.Chains[i].Surface == s {
			return &c.Plan.Chains[i]
		}
	}
	return nil
}

// faceWords are words for a face of a piece, not for a part of one.
var faceWords = stemSet("face front back top bottom base underside side wall inside outside interior dome foot rim edge lip body bowl hollow bevel cut facet")
