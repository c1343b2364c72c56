package rules

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

const (
	sweepable = "Abrasive: pumice 2F|Medium: felt pad|Machine: flat lap, 300 mm at 150 rpm|Water: damp|Mix: mud"
	pasted    = "Abrasive: aluminium oxide F120|Machine: blast cabinet|Pressure: 1.6 bar"
)

// What a sentence orders against the cautions, and what only sounds like it:
// common practice.
func TestContradictedCautions(t *testing.T) {
	for _, c := range []struct {
		facts, sentence, note string
	}{
		{lapStep, "Tip the slurry down the sink.", "slurry"},
		{lapStep, "Rinse, then empty the bucket into the floor drain.", "slurry"},
		{lapStep, "The mud goes down the drain.", "slurry"},
		{lapStep, "The slurry is tipped into the gully.", "slurry"},
		{lapStep, "Hose the grit into the drain.", "slurry"},
		{lapStep, "Pour it down the kitchen sink.", "slurry"},
		{lapStep, "Never tip the slurry down the sink.", ""},
		{lapStep, "Do not empty the bucket into the drain.", ""},
		{lapStep, "Slurry tipped down the sink sets like mortar.", ""},
		{lapStep, "If slurry goes down the sink it sets like mortar.", ""},
		{lapStep, "Anybody who tips slurry down the sink pays the plumber.", ""},
		{lapStep, "Pour the slurry into the settling tub under the sink.", ""},
		{lapStep, "Empty the bucket into the sink with the settling trap.", ""},
		{lapStep, "Keep slurry out of the sink.", ""},
		{lapStep, "Hose the plate into the trap.", ""},
		{lapStep, "Rinse the piece in the sink.", ""},
		{lapStep, "Let the slurry settle overnight.", ""},

		{lapStep, "Quench in cold water.", "keep wet"},
		{lapStep, "If it gets hot, dip it in cold water.", "keep wet"},
		{lapStep, "Then cool it under the cold tap.", "keep wet"},
		{lapStep, "The warm piece is quenched.", "keep wet"},
		{lapStep, "Do not quench.", ""},
		{lapStep, "No cold water on it.", ""},
		{lapStep, "Hot? Lift off and wait, never under the cold tap.", ""},
		{lapStep, "A warm piece quenched in cold water cracks.", ""},
		{lapStep, "Rinse in cold water.", ""},
		{lapStep, "Warm the wax and peel the label.", ""},

		{sweepable, "Blow the dust off with the air line.", "sweeping"},
		{sweepable, "Clean the bench with compressed air.", "sweeping"},
		{sweepable, "Sweep up the powder.", "sweeping"},
		{sweepable, "Brush the dust off the bench.", "sweeping"},
		{pasted, "Blow the dust off with the air gun.", "sweeping"},
		{sweepable, "Never blow the dust off.", ""},
		{sweepable, "Brush the dust off the bench with a wet brush.", ""},
		{sweepable, "Brush the face with pumice.", ""},
		{sweepable, "Blow the water off and look.", ""},
		{sweepable, "Use the compressed air polisher.", ""},

		{belted, "Wear gloves at the belt.", "belt"},
		{belted, "Wear thick gloves.", "belt"},
		{belted, "Wear gloves to carry it.", ""},
		{lapStep, "Wear gloves at the wheel.", "sharp arris"},
		{lapStep, "No gloves at the wheel.", ""},
		{lapStep, "Gloves for carrying, off at the wheel.", ""},

		{brushed, "Polish the inside with a cloth wound round the finger.", "rotating spindle"},
		{brushed, "Press a folded cloth on the turning vase.", "rotating spindle"},
		{brushed, "Hold the paper against the turning rim with a backing block.", ""},
		{brushed, "Never wind a cloth round the finger.", ""},
		{brushed, "Close your hand around the foot.", ""},
		{lapStep, "Rub the corner with wet paper wrapped round a finger.", ""},

		{brushed, "Hold the lip in a cloth.", "rotating spindle"},
		{brushed, "Grip the foot with a rag.", "rotating spindle"},
		{belted, "Hold the panel with a rag.", "belt"},
		{brushed, "Hold the vase in both hands, never in a cloth.", ""},
		{brushed, "Wrap the vase in a cloth to carry it.", ""},
		{brushed, "Stop it, then hold the foot in a soft cloth to look.", ""},

		{brushed, "Switch off and brake the wheel with a block of wood.", "rotating spindle"},
		{brushed, "Switch off and let the wheel run down.", ""},
		{lapStep, "One hand is enough for this.", "thrown piece"},
		{lapStep, "One hand is never enough.", ""},
		{lapStep, "Leave it running over lunch.", "thrown piece"},
		{lapStep, "Leave the water running while you lift off.", ""},
		{lapStep, "Leave the lap running and lift the piece off.", ""},
		{lapStep, "Leave it running while you look at the face.", ""},
		{lapStep, "Slow the feed with a light hand.", ""},
		{brushed, "Stop, and steady the foot on a block of wood.", ""},
		{lapStep, "Thumb along the rim while the disc runs: no catch.", "thrown piece"},
		{lapStep, "Disc stopped, thumb along the rim: no catch.", ""},

		{lapStep, "Let it run dry at the end for the gloss.", "keep wet"},
		{lapStep, "For the last minute run it dry.", "keep wet"},
		{lapStep, "Run the felt dry to finish.", "keep wet"},
		{lapStep, "End with a few dry strokes.", "keep wet"},
		{lapStep, "Never let the felt run dry.", ""},
		{lapStep, "If the pad runs dry, stop and wet it.", ""},
		{lapStep, "Let the felt go nearly dry at the end.", ""},
		{lapStep, "Draw the marker lines and let it dry.", ""},
		{lapStep, "Stop, then polish it dry with a clean cloth.", ""},
		{lapStep, "At the end tip the slurry down the sink.", "slurry"},

		{brushed, "Feel with the palm while it turns.", "rotating spindle"},
		{lapStep, "Feel the slow wet pad for grit with your palm.", "thrown piece"},
		{lapStep, "Lay a hand on the slowly turning pad and feel for grit.", "thrown piece"},
		{belted, "Touch the running belt with a fingertip.", "belt"},
		{lapStep, "Stop the disc, then feel the pad with a palm.", ""},
		{lapStep, "Feel the edge with a fingertip.", ""},
		{lapStep, "Hold the piece with both hands while the disc turns.", ""},
		{lapStep, "Rub each face with the palm under running water.", ""},
		{lapStep, "Turn the piece and feel the edge with a thumbnail.", ""},
		{lapStep, "Never touch a turning pad with a finger.", ""},

		{lapStep, "If it overheats drop it straight into cold water.", "keep wet"},
		{lapStep, "If you drop it into cold water hot it cracks.", ""},
		{lapStep, "When you finish, tip the slurry down the sink.", "slurry"},
		{lapStep, "You can rinse the mud down the sink.", "slurry"},
		{lapStep, "Let the slurry run to the drain.", "slurry"},
		{lapStep, "With the pad turning slowly, feel for grit with your palm.", "thrown piece"},
		{lapStep, "Rest your fingertips lightly on the slow felt to feel for grit.", "thrown piece"},
		{brushed, "Hold a rag against the spinning foot.", "rotating spindle"},
		{sweepable, "Dry-brush the powder from the bench.", "sweeping"},
		{lapStep, "If the RCD trips, tape it down.", "power near water"},
		{lapStep, "Never tape the RCD down.", ""},
		{lapStep, "Tape the rim.", ""},
		{belted, "Take the guard off to see better.", "belt"},
		{belted, "Never take the guard off.", ""},
		{belted, "Take the splash guard off and wash it.", ""},
		{pasted, "Open the door at once to look.", "blast cabinet"},
		{pasted, "Wait, then open the door.", ""},
		{lapStep + ", recirculated", "Pressure wash the tank.", "tank water"},
		{lapStep + ", recirculated", "Scrub the tank; never pressure wash it.", ""},
	} {
		for where, text := range map[string]string{
			"order":      ordering(piece{}, c.facts, c.sentence),
			"checkpoint": strings.Replace(ordering(piece{}, c.facts, "Slowly."), "- [ ] Raking lamp: one sheen", "- [ ] "+c.sentence, 1),
			"prose":      strings.Replace(ordering(piece{}, c.facts, "Slowly."), "1. Slowly.", c.sentence, 1),
			"lead":       ordering(piece{lead: c.sentence}, c.facts, "Slowly."),
		} {
			if where == "lead" && c.sentence == "Wear thick gloves." {
				continue // said outside the steps it may be meant for carrying
			}
			list := of(contextOf(t, "", text), "caution-contradicted")
			if c.note == "" {
				assert.Empty(t, list, "%s: %s", where, c.sentence)
				continue
			}
			if assert.Len(t, list, 1, "%s: %s", where, c.sentence) {
				assert.Equal(t, diag.Error, list[0].Severity)
				assert.Contains(t, list[0].Message, "the note \""+c.note+"\"", "%s: %s", where, c.sentence)
			}
		}
	}
}

// What stands below "Never:" or behind "Wrong:" is no order, and a Clean-down
// needs no verb to be one.
func TestWhatIsSaidAroundADeed(t *testing.T) {
	text := ordering(piece{}, lapStep, "Slowly.")
	for old, c := range map[string]struct {
		with  string
		found int
	}{
		"1. Slowly.":     {"Never do these:\n\n- Quench in cold water\n- Tip the slurry down the sink", 0},
		"- [ ] Raking":   {"- [ ] Cool to the hand\n  - Wrong: quench it in cold water\n- [ ] Raking", 0},
		"- Time: 5 min":  {"- Time: 5 min\n- Clean-down: slurry into the drain", 1},
		"- Water: flood": {"- Water: flood\n- Clean-down: sludge to the pot; wash the plate", 0},
	} {
		require.Contains(t, text, old)
		assert.Len(t, of(contextOf(t, "", strings.Replace(text, old, c.with, 1)), "caution-contradicted"), c.found, c.with)
	}
	// On lead glass clear water is no better.
	assert.Len(t, of(contextOf(t, "", ordering(piece{glass: "lead crystal"}, lapStep, "Pour the clear water down the drain.")), "caution-contradicted"), 1)
	assert.Empty(t, of(contextOf(t, "", ordering(piece{}, lapStep, "Pour the clear water down the drain.")), "caution-contradicted"))
}

// A deed whose words the scan does not look for would never be found: each of
// its phrases, or else all its things or all its verbs, must be among the signs.
func TestEveryDeedIsLookedFor(t *testing.T) {
	seen := func(words string) bool { return len(signsIn(words)) > 0 }
	all := func(list []string) bool {
		for _, w := range list {
			if !seen(w) {
				return false
			}
		}
		return len(list) > 0
	}
	for _, topic := range trade.BuiltIn().Topics {
		for _, a := range topic.Acts {
			for _, as := range a.As {
				as = strings.TrimPrefix(as, "any: ")
				assert.True(t, a.Waived || seen(as) || all(a.Of) || all(a.Order), "%s: %s", topic.Name, as)
			}
			assert.NotEmpty(t, a.Tell)
			for _, also := range a.Also {
				assert.NotNil(t, trade.BuiltIn().FindTopic(also), also)
			}
		}
	}
}
