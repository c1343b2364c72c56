package rules

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
)

// 200 N by EN 1005-3 is 20.4 kgf or 45 lbf: 20 kg pass and 25 kg do not.
func TestForcesOfHands(t *testing.T) {
	for _, c := range []struct {
		facts, sentence string
		found           bool
	}{
		{handLapped, "Press with 900 N by hand.", true},
		{handLapped, "Lean on it with 80 kg.", true},
		{lapStep, "Press down with 500 N.", true},
		{belted, "Push it against the belt with 60 kg.", true},
		{handLapped, "Bear down with your full weight, about 90 kg.", true},
		{felted, "Press the foot on with 40 kilos.", true},
		{handLapped, "Press as hard as you can, 300 N or more.", true},
		{lapStep, "Lean on the block with 100 lb.", true},
		{handLapped, "Press lightly, about 20 N.", false},
		{handLapped, "Press with the weight of the hand, about 3 kg.", false},
		{lapStep, "Set the 20 kg lead weight on the block.", false},
		{lapStep, "The press gives 900 N on the chuck; let it do the work.", false},
		{lapStep, "The piece weighs 30 kg: two people lift it.", false},
		{lapStep, "Put 40 kg of lead on the block and let it run.", false},
		{lapStep, "Never press with more than 200 N.", false},
		{lapStep, "Use 30 kg pumice sacks to prop the door.", false},
		{lapStep, "Press with 900 N by the arm, not by hand.", false},
		{handLapped, "Press with 5 N at the end, 20 N before.", false},
		{handLapped, "Do not lean on it with 80 kg.", false},
		{handLapped, "Press with 15 kg.", false},
		{handLapped, "The hand presses with 900 N.", true},
		{handLapped, "About 90 kg of pressure.", true},
		{handLapped, "Put all your weight, 85 kg, on it.", true},
		{lapStep, "With 600 N on the piece for five minutes.", true},
		{handLapped, "A blow of 600 N breaks the rim, so set it down softly.", false},
		{handLapped, "The vice holds with 900 N.", false},
		{belted, "Tension the belt to 300 N.", false},
		{handLapped, "The plate bears 300 N and no more.", false},
		{lapStep, "The arm gives 300 N.", false},
		{lapStep, "Keep the load under 250 N.", false},
		{handLapped, "Press with 20 kg.", false},
		{handLapped, "Press with 25 kg.", true},
		{handLapped, "Press with 44 lb.", false},
		{handLapped, "Press with 46 lb.", true},
	} {
		list := check.Run(contextOf(t, "", ordering(piece{}, c.facts, c.sentence)), []check.Rule{moreThanHands})
		if assert.Equal(t, c.found, len(list) == 1, c.sentence) && c.found {
			assert.Equal(t, diag.Warning, list[0].Severity)
			assert.Contains(t, list[0].Message, "at most, and not for long")
		}
	}
}

// What the house has written itself is an error, and a machine with a force of its
// own presses with that.
func TestForcesOfHandsInAHouse(t *testing.T) {
	pressed := func(machine string) string {
		return ordering(piece{}, "Abrasive: resin diamond pad 325 mesh|Machine: "+machine+"|Water: flood|Pressure: 180 N", "Slowly.")
	}
	rule := []check.Rule{moreThanHands}
	assert.Empty(t, check.Run(contextOf(t, "", pressed("flat lap, 300 mm at 150 rpm")), rule))
	shop := "limits: {hand force: 150 N}\nmachines:\n  ARM: {kind: flat lap, diameter: 300 mm, force: 300 N}\n  LAP: {kind: flat lap, diameter: 300 mm}\n"
	list := check.Run(contextOf(t, shop, pressed("LAP at 150 rpm")), rule)
	require.Len(t, list, 1)
	assert.Equal(t, diag.Error, list[0].Severity)
	assert.True(t, strings.HasSuffix(list[0].Message, "The house's limit is 150 N."), list[0].Message)
	assert.Empty(t, check.Run(contextOf(t, shop, pressed("ARM at 150 rpm")), rule))
}
