package rules

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
)

// The house's own words are held against the figures of every recipe: what does
// for 12 kg does not for 40. NIOSH lifting equation (23 kg) and HSE figures (16
// kg), seen second-hand.
func TestTheHousesWordsAndTheFigures(t *testing.T) {
	lap := aStep("Smooth the face", strings.Split(lapStep, "|")...)
	for _, c := range []struct {
		words, size string
		found       bool
	}{
		{"Wet glass slips. Rest its weight on a support.", "220 x 220 x 100 mm", false},         // 12.1 kg
		{"Wet glass slips. Rest its weight on a support.", "300 x 300 x 100 mm", true},          // 22.5 kg
		{"Warning: two people lift it on to the support.", "300 x 300 x 100 mm", false},         // 22.5 kg
		{"Two people lift it on to the support.", "300 x 300 x 100 mm", true},                   // the word is too weak
		{"Warning: two people lift it on to the support.", "340 x 340 x 110 mm", true},          // 31.8 kg
		{"Warning: hoist it on to the support; two people guide.", "340 x 340 x 110 mm", false}, // 31.8 kg
	} {
		p := piece{form: "{form: sawn block, size: " + c.size + "}", extra: "cautions: [heavy piece]\n", steps: lap}
		list := of(contextOf(t, "cautions:\n  heavy piece: \""+c.words+"\"\n", p.text()), "heavy-piece")
		if !c.found {
			assert.Empty(t, list, "%s %s", c.words, c.size)
			continue
		}
		require.Len(t, list, 1, "%s %s", c.words, c.size)
		assert.Equal(t, diag.Error, list[0].Severity)
		assert.Contains(t, list[0].Message, "The house's words")
		assert.Contains(t, list[0].Help, "In the shop file")
	}
}

// An enamel may hold lead: it is not worked dry, and the glass beside it may be.
// Common practice; Directive (EU) 2024/869 names lead in any form.
func TestDryWorkOnALeadCoat(t *testing.T) {
	dry := aStep("Ease the face", "Abrasive: silicon carbide paper P400", "Machine: by hand", "Water: dry")
	for coating, want := range map[string]diag.Severity{
		"{kind: enamel, on: face}": diag.Error, "{kind: gilding, on: face}": diag.Error, "{kind: dichroic, on: face}": 0, "{kind: enamel, on: back}": 0,
	} {
		text := piece{steps: dry, extra: "coating: " + coating + "\n"}.text()
		text = strings.Replace(text, "surfaces:\n", "surfaces:\n  - {name: back, shape: flat, area: 80 cm², from: new, to: untouched}\n", 1)
		assert.Equal(t, want, severities(contextOf(t, "", text))["dry-work-on-lead"], coating)
	}
}

// An air tool without a figure is taken as loud, and only warns; Directive
// 2003/10/EC, seen second-hand.
func TestAirToolsAreLoud(t *testing.T) {
	for machine, want := range map[string]diag.Severity{"air polisher": diag.Warning, "battery polisher": 0} {
		steps := aStep("Smooth the face", "Abrasive: resin diamond pad 325 mesh", "Machine: "+machine+", 100 mm at 900 rpm", "Water: drip")
		assert.Equal(t, want, severities(contextOf(t, "", piece{steps: steps}.text()))["loud-machine"], machine)
	}
}

// A grinding wheel runs on something, whether or not the step says on what.
func TestAWheelWithoutAMachine(t *testing.T) {
	steps := aStep("Grind the face", "Abrasive: vitrified silicon carbide wheel F80, 300 mm", "Water: drip")
	list := of(contextOf(t, "", piece{shape: "edge", steps: steps}.text()), "wheel-sound-and-speed")
	require.NotEmpty(t, list)
	assert.NotContains(t, list[0].Message, "on the  ")
}
