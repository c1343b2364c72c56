package sheet

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/testkit"
)

func demoBook(t *testing.T, left ...Left) *Book {
	t.Helper()
	var entries []BookEntry
	for _, path := range testkit.Files(t, filepath.Join(testkit.Root(t), "recipes"), "*.md") {
		p := open(t, path)
		entries = append(entries, BookEntry{Anchor: p.Recipe.ID.Value, Plan: p})
	}
	k, found := BuildBook(entries[0].Plan.House, FindDesign("house book"), entries, left, Options{})
	require.Empty(t, found)
	return k
}

func partOf[T Block](t *testing.T, k *Book) T {
	t.Helper()
	for _, list := range [][]*Sheet{k.Front, k.Back} {
		for _, s := range list {
			for _, b := range s.Blocks {
				if v, ok := b.(T); ok {
					return v
				}
			}
		}
	}
	var none T
	require.Failf(t, "no such part", "%T", none)
	return none
}

// The contents group the recipes by the form of the piece, frame lead glass and
// name what is left out.
func TestContents(t *testing.T) {
	c := partOf[Contents](t, demoBook(t, Left{ID: "broken", Title: "A broken one", Why: "a finding stops its print"}))
	var titles []string
	lead := 0
	for _, g := range c.Groups {
		titles = append(titles, g.Title)
		for _, r := range g.Rows {
			if r.Lead {
				lead++
				assert.Contains(t, r.ID, "crystal-bowl-rim")
			}
		}
	}
	assert.Equal(t, []string{"Blown", "Cast", "Sawn block", "Not in this book", "The house"}, titles)
	assert.Equal(t, 1, lead)
	last := c.Groups[3].Rows[0]
	assert.Equal(t, "A broken one", last.Title)
	assert.Empty(t, last.Anchor)
	assert.Equal(t, "a finding stops its print", last.Stops)
}

// The register has the newest revision first and every change of every recipe.
func TestRegister(t *testing.T) {
	k := demoBook(t)
	g := partOf[Register](t, k)
	want := 0
	for _, e := range k.Entries {
		want += len(e.Plan.Recipe.Changes)
	}
	assert.Len(t, g.Rows, want)
	for i := 1; i < len(g.Rows); i++ {
		assert.LessOrEqual(t, g.Rows[i].Date, g.Rows[i-1].Date)
	}
}

// The index has every abrasive, medium, machine, piece and finish, the abrasives
// coarse to fine, and of a finish the brightest first.
func TestIndex(t *testing.T) {
	x := partOf[Index](t, demoBook(t))
	by := map[string][]string{}
	uses := map[string][]string{}
	for _, s := range x.Sections {
		for _, e := range s.Entries {
			by[s.Title] = append(by[s.Title], e.Words)
			for _, u := range e.Uses {
				uses[e.Words] = append(uses[e.Words], u.Words)
			}
		}
	}
	abrasives := by["Abrasive, coarse to fine"]
	at := func(words string) int {
		for i, a := range abrasives {
			if a == words {
				return i
			}
		}
		require.Failf(t, "not in the index", "%q of %q", words, abrasives)
		return -1
	}
	assert.Less(t, at("silicon carbide F80, 185\u00a0µm"), at("silicon carbide F220, 58\u00a0µm"))
	assert.Less(t, at("silicon carbide F220, 58\u00a0µm"), at("cerium oxide 1.5 µm"))
	assert.Contains(t, by["Machine"], "wet saw, SAW")
	assert.Equal(t, []string{"optical polish", "bright polish"}, by["Finish"][:2])
	assert.Equal(t, []string{"optic-block, faces"}, uses["optical polish"])
	assert.Contains(t, by["Piece"], "sawn block, soda-lime")
}

func TestStepsWords(t *testing.T) {
	for want, steps := range map[string][]int{"step\u00a02": {2}, "steps\u00a02, 4": {2, 4}, "steps\u00a03 to 5": {3, 4, 5}, "steps\u00a01, 2": {1, 2}, "steps\u00a01, 2, 9": {1, 2, 9}} {
		assert.Equal(t, want, tongue{}.stepsWords(steps))
	}
}
