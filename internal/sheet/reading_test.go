package sheet

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/prose"
	"coldwright/internal/testkit"
)

// demoSheet is a recipe of the demo house.
func demoSheet(t *testing.T, id string) *Sheet {
	t.Helper()
	return build(t, open(t, filepath.Join(testkit.Root(t), "recipes", id+".md")), Options{})
}

func fullStep(t *testing.T, s *Sheet, number int) StepInFull {
	t.Helper()
	for _, b := range s.Blocks {
		if st, ok := b.(StepInFull); ok && st.Number == number {
			return st
		}
	}
	require.Failf(t, "step missing", "%d", number)
	return StepInFull{}
}

// "If not" below "Stop: bands seen" would send back the hand who saw no bands.
func TestTheWayBackStandsBeforeTheStop(t *testing.T) {
	const recipe = "---\nrecipe: a\n---\n\n## Look\n\n- Surface: all\n- Time: 4 min\n\n"
	kinds := func(checks string) []PartKind {
		var list []PartKind
		for _, p := range fullStep(t, build(t, read(t, "", recipe+checks), Options{}), 1).Parts {
			switch p.Kind {
			case Check, StopHere, GoBack, Right, Wrong:
				list = append(list, p.Kind)
			}
		}
		return list
	}
	assert.Equal(t, []PartKind{Check, GoBack, StopHere}, kinds("- [ ] No bands\n- [ ] Stop: bands seen\n"))
	assert.Equal(t, []PartKind{Check, GoBack, StopHere, StopHere}, kinds("- [ ] No bands\n- [ ] Stop: bands seen\n- [ ] Stop: a crack\n"))
	assert.Equal(t, []PartKind{StopHere, Check, GoBack}, kinds("- [ ] Stop: bands seen\n- [ ] No bands\n"))
	assert.Equal(t, []PartKind{Check, Right, GoBack, StopHere, Wrong}, kinds("- [ ] No bands\n  - Right: dark.\n- [ ] Stop: bands seen\n  - Wrong: a cross.\n"))
	assert.Equal(t, []PartKind{StopHere}, kinds("- [ ] Stop: bands seen\n"), "nothing to go back for")
}

// Water off lead mud is not used again, and the mud is no common waste: the note
// on common slurry would say the opposite of the one on lead.
func TestLeadSlurryStandsInPlaceOfSlurry(t *testing.T) {
	titles := func(s *Sheet) []string {
		var list []string
		c := blockOf[Cautions](t, s)
		for _, n := range slices.Concat(c.Panels, c.Lines) {
			list = append(list, n.Title)
		}
		return list
	}
	lead := titles(demoSheet(t, "crystal-bowl-rim"))
	assert.Contains(t, lead, "Lead slurry")
	assert.NotContains(t, lead, "Slurry")
	assert.Contains(t, lead, "Grit carry-over", "the other standing notes stay")
	assert.Contains(t, titles(demoSheet(t, "optic-block")), "Slurry")

	written := titles(build(t, read(t, "always: [slurry]\n", "---\nrecipe: a\ncautions: [lead slurry, slurry]\n---\n"), Options{}))
	assert.Equal(t, []string{"Lead slurry", "Slurry"}, written, "what the author names is kept")
}

// The dagger stands behind the unit, and the words say what has to be true.
func TestWhatMustComeOff(t *testing.T) {
	words := func(id string) string {
		var all []string
		for _, b := range demoSheet(t, id).Blocks {
			if l, ok := b.(Ladder); ok {
				all = append(all, l.Words...)
			}
		}
		return strings.ReplaceAll(strings.Join(all, " "), nbsp, " ")
	}
	assert.Contains(t, words("cast-weight"), "200 µm must come off before the base is true.")
	assert.Contains(t, words("optic-block"), "200 µm must come off before the faces are true.")
	assert.Contains(t, words("crystal-bowl-rim"), "500 µm† must come off before the rim is true.")
	assert.Contains(t, words("relief-panel"), "Still to come off before the edges are true: 230 µm† after step 5 and 5.9 µm† after step 9.")
}

// The minutes a step needs stand on a line of their own, with their unit.
func TestMinutesNeededHaveTheirUnit(t *testing.T) {
	needs := func(id string, step int) string {
		for _, p := range fullStep(t, demoSheet(t, id), step).Parts {
			if words := strings.ReplaceAll(prose.Words(p.Words), nbsp, " "); p.Label == "Needs:" {
				words, _, _ = strings.Cut(words, " · ")
				return words
			}
		}
		return ""
	}
	assert.Regexp(t, `^\d+ to \d+ min†?$`, needs("crystal-bowl-rim", 6))
	assert.Regexp(t, `^\d\S*( to \S+)? min†?$`, needs("cast-weight", 2))
	assert.Empty(t, needs("crystal-bowl-rim", 1), "nothing to reckon")
	assert.NotContains(t, fullStep(t, demoSheet(t, "cast-weight"), 2).Settings.Minutes.Small, "needs")
}

// A way back of one checkpoint stands with it, and that of the step says that
// it is for the others.
func TestWhoseWayBackItIs(t *testing.T) {
	const head = "---\nrecipe: a\ntitle: A\nrevision: 1\ndate: 2026-10-05\nglass: soda-lime\n---\n\n## Cut\n\n1. Cut it.\n\n## Look\n\n"
	labels := func(checks string) (own []bool, labels []string) {
		s, _ := Build(read(t, "", head+checks), FindDesign("process sheet"), Options{})
		require.NotNil(t, s)
		for _, p := range fullStep(t, s, 2).Parts {
			if p.Kind == GoBack {
				own, labels = append(own, p.Own), append(labels, p.Label)
			}
		}
		return own, labels
	}
	own, words := labels("- [ ] Rim bright\n- [ ] Foot dry -> Cut\n")
	assert.Equal(t, []bool{true, false}, own)
	assert.Equal(t, []string{"If not, go back to", "If any other is not so, go back to"}, words)
	own, words = labels("- Return to: Cut\n\n- [ ] Rim bright\n- [ ] Foot dry -> Look\n")
	assert.Equal(t, []bool{true, false}, own)
	assert.Equal(t, "If any other is not so, go back to", words[1])
	own, words = labels("- [ ] Rim bright\n- [ ] Foot dry\n")
	assert.Equal(t, []bool{false}, own)
	assert.Equal(t, []string{"If not, go back to"}, words)
	own, _ = labels("- [ ] Rim bright -> Cut\n- [ ] Foot dry -> Cut\n")
	assert.Equal(t, []bool{true, true}, own)
}
