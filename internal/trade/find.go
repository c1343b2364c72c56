package trade

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"coldwright/internal/grade"
	"coldwright/internal/words"
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
	// drives are the words for what turns a machine; driven the drive a name of
	// a machine says itself.
	drives   lexicon[string]
	driven   map[string]string
	unlisted lexicon[*unlisted]
	// The lines of the shop file by their codes as they are looked up, nil
	// where two codes differ in nothing else.
	stock       map[string]*Stock
	mediumStock map[string]*MediumStock
	machine     map[string]*Machine
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
	// spoken is how the bond prints where it is not its own name.
	spoken string
	// ready is the word where it says that the grain comes ready mixed.
	ready string
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
		Limits: Limits{Rules: map[string]RuleSetting{}, HandForce: b.handForce},
	}
}

// prepare makes the house ready to be asked.
func (h *House) prepare() {
	l := &look{
		tiles: map[string]*Tile{}, bare: map[bareKey]grade.Scale{}, driven: map[string]string{},
		stock: map[string]*Stock{}, mediumStock: map[string]*MediumStock{}, machine: map[string]*Machine{},
	}
	h.look = l
	// In another language the names of the trade are read in it too.
	own := words.Find(h.Language)
	also := func(name string, all []string) []string { return append(slices.Clip(all), own.Names(name)...) }
	// What the house calls something comes before what the trade does.
	for _, ofHouse := range []bool{true, false} {
		for _, g := range h.Glasses {
			if g.House == ofHouse {
				names(&l.glasses, g, g.Name, also(g.Name, g.Also))
			}
		}
		for _, t := range h.Tests {
			if t.House == ofHouse {
				names(&l.tests, t, t.Name, also(t.Name, t.Also))
			}
		}
	}
	for _, s := range h.Shapes {
		names(&l.shapes, s, s.Name, also(s.Name, s.Also))
	}
	for _, f := range h.Finishes {
		names(&l.finishes, f, f.Name, also(f.Name, f.Also))
	}
	for _, t := range h.Topics {
		l.topics.add(t.Name, t)
	}
	for _, m := range h.Mixes {
		names(&l.mixes, m, m.Name, also(m.Name, m.Also))
	}
	for _, w := range h.Waters {
		names(&l.waters, w, w.Name, also(w.Name, w.Also))
	}
	for i := range h.Benches {
		l.benches.add(h.Benches[i].Name, &h.Benches[i])
	}
	for i := range h.Tiles {
		l.tiles[h.Tiles[i].Code] = &h.Tiles[i]
	}
	b := builtIn()
	for _, k := range h.Kinds {
		names(&l.kinds, k, k.Name, also(k.Name, k.Also))
		for _, d := range b.drives {
			for _, name := range k.driven[d.name] {
				l.kinds.add(name, k)
				l.driven[norm(name)] = d.name
			}
		}
	}
	for _, d := range b.drives {
		names(&l.drives, d.name, d.name, also(d.name, d.also))
	}
	for i := range b.unlisted {
		names(&l.unlisted, &b.unlisted[i], b.unlisted[i].name, b.unlisted[i].also)
	}
	for _, f := range h.Families {
		names(&l.families, f, f.Name, also(f.Name, f.Also))
		names(&l.abrasive, abrasiveTerm{family: f}, f.Name, also(f.Name, f.Also))
	}
	for _, t := range h.Tools {
		names(&l.abrasive, abrasiveTerm{tool: t}, t.Name, also("tool: "+t.Name, t.Also))
	}
	for _, w := range b.bonds {
		names(&l.abrasive, abrasiveTerm{bond: w.bond}, string(w.bond), also("bond: "+string(w.bond), w.also))
		for _, s := range w.spoken {
			l.abrasive.add(s, abrasiveTerm{bond: w.bond, spoken: w.spoken[0]})
		}
	}
	for _, w := range b.ready {
		l.abrasive.add(w, abrasiveTerm{ready: w})
	}
	for _, f := range h.Families {
		for _, w := range f.ready {
			l.abrasive.add(w, abrasiveTerm{ready: w})
		}
	}
	for _, w := range b.idle {
		l.abrasive.add(w, abrasiveTerm{})
	}
	for _, m := range h.Media {
		names(&l.media, m, m.Name, also(m.Name, m.Also))
		names(&l.medium, mediumTerm{kind: m}, m.Name, also(m.Name, m.Also))
	}
	for _, m := range h.Media {
		for _, v := range m.Variants {
			l.medium.add(v, mediumTerm{variant: v})
			for _, w := range own.Names(v) {
				l.medium.add(w, mediumTerm{variant: v})
			}
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
	t, ok := l.terms[name]
	if ok {
		return t
	}
	if plain := norm(name); plain != name {
		return l.terms[plain]
	}
	return t
}

// The Find methods look a word up, whatever its case and by any of its names.
// They give nil where the house does not know it.

// FindGlass finds a glass.
func (h *House) FindGlass(name string) *Glass { return find(&h.look.glasses, name) }

// GlassHelp says what to write for a glass whose name does not say what it
// holds, as lead-free crystal; false where the name is not one of those.
func (h *House) GlassHelp(name string) (help string, ok bool) {
	g := find(&h.look.unlisted, name)
	if g == nil {
		return "", false
	}
	return fmt.Sprintf("What it holds stands on its maker's sheet, not in its name. List it under “glasses” in the shop file, as %s: {like: %s}, with PbO: and its share if it has any; until then write glass: unknown.",
		name, g.like), true
}

// FindShape finds a shape of a surface.
func (h *House) FindShape(name string) *Shape { return find(&h.look.shapes, name) }

// FindFinish finds a word of acceptance.
func (h *House) FindFinish(name string) *Finish { return find(&h.look.finishes, name) }

// FinishesCalled are the finishes that whoever writes so may mean: "shiny" is said of
// a lustre and of a bright polish. In their order, from dull to bright.
func (h *House) FinishesCalled(words string) (all []*Finish) {
	said := " " + norm(words) + " "
	for _, f := range h.Finishes {
		for _, called := range f.Called {
			if strings.Contains(said, " "+called+" ") {
				all = append(all, f)
				break
			}
		}
	}
	return all
}

// TileOf is the code of the house's first tile, by code, that shows a finish; "" where it
// has none.
func (h *House) TileOf(f *Finish) string {
	code := ""
	for _, tile := range h.Tiles {
		if tile.Finish == f.Name && (code == "" || tile.Code < code) {
			code = tile.Code
		}
	}
	return code
}

// FindTopic finds a caution the format knows by name.
func (h *House) FindTopic(name string) *Topic { return find(&h.look.topics, name) }

// FindTest finds a test of the house, or a built-in one.
func (h *House) FindTest(name string) *Test { return find(&h.look.tests, name) }

// FindMix finds a consistency.
func (h *House) FindMix(name string) *Mix { return find(&h.look.mixes, name) }

// FindWater finds a word for how wet the work is.
func (h *House) FindWater(name string) *Water { return find(&h.look.waters, name) }

// FindBench finds a bench, with or without the word bench in front; nil always
// where the house has named none.
func (h *House) FindBench(name string) *Bench {
	if b := find(&h.look.benches, name); b != nil {
		return b
	}
	if rest, ok := strings.CutPrefix(norm(name), "bench "); ok {
		return find(&h.look.benches, rest)
	}
	return nil
}

// FindTile finds a sample tile by its code, which is taken as it is written.
func (h *House) FindTile(code string) *Tile { return h.look.tiles[code] }

// FindKind finds a kind of machine.
func (h *House) FindKind(name string) *MachineKind { return find(&h.look.kinds, name) }

// FindMedium finds a kind of medium.
func (h *House) FindMedium(name string) *MediumKind { return find(&h.look.media, name) }

// FindFamily finds an abrasive by what it is made of.
func (h *House) FindFamily(name string) *Family { return find(&h.look.families, name) }

// MixesFor are the consistencies that suit a loose grain on what carries it,
// the usual one first; none where the tables know of none.
func MixesFor(a Abrasive, m Medium, class LapClass) []string {
	if a.Family == nil {
		return nil
	}
	suits := a.Family.Mixes[class]
	if len(suits) == 0 || m.Kind == nil {
		return suits
	}
	for _, mix := range m.Kind.Mixes {
		if !slices.Contains(suits, mix) {
			suits = append(slices.Clip(suits), mix)
		}
	}
	return suits
}

// WetDrive says whether a machine that is held in the hand may be used with
// water by what turns it: air, battery, or mains made for wet use.
func WetDrive(drive string) bool {
	for _, d := range builtIn().drives {
		if d.name == drive {
			return d.wet
		}
	}
	return false
}

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
