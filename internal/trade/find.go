package trade

import (
	"sync"

	"coldwright/internal/grade"
)

// look is how a house finds things by their words. It is made once and then
// only read, save for the texts read before, which sync.Map guards.
type look struct {
	glasses  lexicon[*Glass]
	shapes   lexicon[*Shape]
	finishes lexicon[*Finish]
	topics   lexicon[*Topic]
	tests    lexicon[*Test]
	mixes    lexicon[*Mix]
	waters   lexicon[*Water]
	benches  lexicon[*Bench]
	kinds    lexicon[*MachineKind]
	tiles    map[string]*Tile
	media    lexicon[*MediumKind]
	families lexicon[*Family]
	// abrasive holds every word an abrasive phrase may be made of; medium
	// those of a medium's phrase.
	abrasive lexicon[abrasiveTerm]
	medium   lexicon[mediumTerm]
	// bare is what a number without a scale means.
	bare map[bareKey]grade.Scale

	// Texts that were read without a finding: the same words stand in many
	// recipes.
	abrasives, mediums, machines sync.Map
}

// abrasiveTerm is what a phrase in an abrasive's words stands for: one of the
// three, or nothing, for words that say no more.
type abrasiveTerm struct {
	family *Family
	bond   Bond
	tool   *Tool
}

// mediumTerm is a kind of medium, or a word for a variant.
type mediumTerm struct {
	kind    *MediumKind
	variant string
}

// bareKey is what a bare number belongs to.
type bareKey struct {
	family *Family
	bond   Bond
	tool   *Tool
}

// BuiltIn is a house without a shop file. It is the same one every time.
func BuiltIn() *House { return withoutShop() }

var withoutShop = sync.OnceValue(func() *House {
	h := builtInHouse()
	h.prepare()
	return h
})

// builtInHouse is a house of the built-in tables; its own lists may be grown
// and its rows replaced, but not the rows themselves changed.
func builtInHouse() *House {
	b := builtIn()
	return &House{
		Families: b.families, Tools: b.tools, Media: b.media, Kinds: b.kinds, Glasses: b.glasses, Shapes: b.shapes,
		Finishes: b.finishes, Mixes: b.mixes, Waters: b.waters, Tests: b.tests, Topics: b.topics,
		Roles: map[string]string{}, Places: map[string]string{},
		Stock: map[string]*Stock{}, MediumStock: map[string]*MediumStock{}, Machines: map[string]*Machine{},
		Limits: Limits{GradeStep: b.gradeStep, Rules: map[string]RuleSetting{}},
	}
}

// prepare makes the house ready to be asked.
func (h *House) prepare() {
	l := &look{tiles: map[string]*Tile{}, bare: map[bareKey]grade.Scale{}}
	h.look = l
	// What the house calls something comes before what the trade does.
	for _, own := range []bool{true, false} {
		for _, g := range h.Glasses {
			if g.House == own {
				names(&l.glasses, g, g.Name, g.Also)
			}
		}
		for _, t := range h.Tests {
			if t.House == own {
				names(&l.tests, t, t.Name, t.Also)
			}
		}
	}
	for _, s := range h.Shapes {
		l.shapes.add(s.Name, s)
	}
	for _, f := range h.Finishes {
		names(&l.finishes, f, f.Name, f.Also)
	}
	for _, t := range h.Topics {
		l.topics.add(t.Name, t)
	}
	for _, m := range h.Mixes {
		names(&l.mixes, m, m.Name, m.Also)
	}
	for _, w := range h.Waters {
		l.waters.add(w.Name, w)
	}
	for i := range h.Benches {
		l.benches.add(h.Benches[i].Name, &h.Benches[i])
	}
	for i := range h.Tiles {
		l.tiles[h.Tiles[i].Code] = &h.Tiles[i]
	}
	for _, k := range h.Kinds {
		names(&l.kinds, k, k.Name, k.Also)
	}
	for _, f := range h.Families {
		names(&l.families, f, f.Name, f.Also)
		names(&l.abrasive, abrasiveTerm{family: f}, f.Name, f.Also)
	}
	for _, t := range h.Tools {
		names(&l.abrasive, abrasiveTerm{tool: t}, t.Name, t.Also)
	}
	b := builtIn()
	for _, w := range b.bonds {
		names(&l.abrasive, abrasiveTerm{bond: w.bond}, string(w.bond), w.also)
	}
	for _, w := range b.idle {
		l.abrasive.add(w, abrasiveTerm{})
	}
	for _, m := range h.Media {
		names(&l.media, m, m.Name, m.Also)
		names(&l.medium, mediumTerm{kind: m}, m.Name, m.Also)
	}
	for _, m := range h.Media {
		for _, v := range m.Variants {
			l.medium.add(v, mediumTerm{variant: v})
		}
	}
}

// names adds a thing under all its names.
func names[T any](l *lexicon[T], t T, name string, also []string) {
	l.add(name, t)
	for _, a := range also {
		l.add(a, t)
	}
}

// find is what a name stands for, whatever its case.
func find[T any](l *lexicon[T], name string) T {
	if t, ok := l.terms[name]; ok {
		return t
	}
	return l.terms[norm(name)]
}

// The Find methods look a word up, whatever its case and by any of its names.
// They give nil where the house does not know it.

// FindGlass finds a glass.
func (h *House) FindGlass(name string) *Glass { return find(&h.look.glasses, name) }

// FindShape finds a shape of a surface.
func (h *House) FindShape(name string) *Shape { return find(&h.look.shapes, name) }

// FindFinish finds a word of acceptance.
func (h *House) FindFinish(name string) *Finish { return find(&h.look.finishes, name) }

// FindTopic finds a caution the format knows by name.
func (h *House) FindTopic(name string) *Topic { return find(&h.look.topics, name) }

// FindTest finds a test of the house, or a built-in one.
func (h *House) FindTest(name string) *Test { return find(&h.look.tests, name) }

// FindMix finds a consistency.
func (h *House) FindMix(name string) *Mix { return find(&h.look.mixes, name) }

// FindWater finds a word for how wet the work is.
func (h *House) FindWater(name string) *Water { return find(&h.look.waters, name) }

// FindBench finds a bench; nil always where the house has named none.
func (h *House) FindBench(name string) *Bench { return find(&h.look.benches, name) }

// FindTile finds a sample tile by its code, which is taken as it is written.
func (h *House) FindTile(code string) *Tile { return h.look.tiles[code] }

// FindKind finds a kind of machine.
func (h *House) FindKind(name string) *MachineKind { return find(&h.look.kinds, name) }

// FindMedium finds a kind of medium.
func (h *House) FindMedium(name string) *MediumKind { return find(&h.look.media, name) }

// FindFamily finds an abrasive by what it is made of.
func (h *House) FindFamily(name string) *Family { return find(&h.look.families, name) }

// Wording is what the topic says for the facts given (mass in kg, wheel in
// mm, noise in dB(A)): its signal word, full and short words.
func (t *Topic) Wording(facts map[string]float64) Wording {
	w := Wording{Signal: t.Signal, Full: t.Full, Short: t.Short}
	for _, other := range t.Wordings {
		if facts[other.Fact] > other.Over {
			w = other
		}
	}
	return w
}

// Class is the lap class an abrasive meets the glass with: that of its medium,
// Bonded where it is its own, Blast on a blast cabinet; empty where a loose
// grain has no medium.
func Class(a Abrasive, m Medium, k *MachineKind) LapClass {
	switch {
	case a.Family == nil:
		return ""
	case k != nil && k.blasts():
		return Blast
	case a.Bond != Loose && a.Bond != "":
		return Bonded
	case m.Kind != nil:
		return m.Kind.Lap
	}
	return ""
}
