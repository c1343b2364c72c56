package sheet

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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

// The minutes allowed and the minutes needed are two figures, on two lines.
func TestMinutesNeededStandBelow(t *testing.T) {
	small := func(id string, step int) string {
		return strings.ReplaceAll(fullStep(t, demoSheet(t, id), step).Settings.Minutes.Small, nbsp, " ")
	}
	assert.Regexp(t, `^12 to 20\nneeds \d`, small("crystal-bowl-rim", 6))
	assert.Regexp(t, `^needs \d`, small("cast-weight", 2))
	assert.Equal(t, "8 to 15", small("crystal-bowl-rim", 1), "nothing to reckon")
}
