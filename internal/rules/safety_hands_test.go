package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

const (
	handLapped = "Abrasive: silicon carbide F220|Medium: glass plate|Machine: by hand|Water: drip|Mix: cream"
	wheeled    = "Abrasive: metal diamond wheel 120 mesh, 200 mm|Machine: lathe at 500 rpm|Water: flood"
	felted     = "Abrasive: cerium oxide|Medium: felt wheel, 200 mm|Machine: upright polisher at 400 rpm|Water: damp|Mix: cream"
	ironed     = "Abrasive: silicon carbide F220|Medium: iron lap, 400 mm|Machine: flat lap, 400 mm at 75 rpm|Water: drip|Mix: cream"
)

// everyCaution is the line that puts every caution on a recipe.
func everyCaution() string {
	line := "cautions: ["
	for i, topic := range trade.BuiltIn().Topics {
		if i > 0 {
			line += ", "
		}
		line += topic.Name
	}
	return line + "]\n"
}

// What hands, sticks and cloths must not do at what turns and between two grades,
// and what comes near it and is sound: a dressing stick on a turning wheel is how
// a wheel is opened, a wooden one is thrown. Common practice.
func TestHandsSticksAndCloths(t *testing.T) {
	for _, c := range []struct {
		facts, sentence string
		found           bool
	}{
		{wheeled, "Clear the wheel with a stick while it turns.", true},
		{felted, "Clean the turning felt with a stick.", true},
		{felted, "Scrape the felt with a lath while it runs.", true},
		{belted, "Knock the clogged bits off the moving belt with a batten.", true},
		{lapStep, "Rub the pad clean with a rag as it turns.", true},
		{wheeled, "With the wheel running, pick out the jammed chip with a screwdriver.", true},
		{belted, "Free a stuck chip from the running belt with a finger.", true},
		{felted, "Dress the felt with a rag while it turns.", true},
		{lapStep, "Hold a wooden stick to the spinning disc to clear the swarf.", true},
		{wheeled, "Keep the wheel turning and flick the debris away with a dowel.", true},
		{sawn, "Push the offcut clear with a stick while the blade turns.", true},
		{lapStep, "Clear debris off the disc by hand without switching off.", true},
		{wheeled, "If it clogs, clear it with a stick while it is turning.", true},
		{lapStep, "One hand is enough for this.", true},
		{lapStep, "Hold the piece with one hand.", true},
		{belted, "Hold it one-handed against the belt and spray with the other.", true},
		{lapStep, "Use a single hand.", true},
		{felted, "You only need one hand here.", true},
		{lapStep, "The piece is small: hold it single-handed.", true},
		{brushed, "Keep one hand in your pocket.", true},
		{ironed, "Wipe the plate with a cloth, then the next grade.", true},
		{ironed, "Use the same cloth for all grades.", true},
		{ironed, "Wipe the piece with the same damp cloth between grades; no need to wash.", true},
		{ironed, "Wiping with a rag is enough between the grits.", true},
		{ironed, "A quick wipe will do between F220 and F400.", true},
		{ironed, "Use the same sponge for the next grade.", true},
		{rubbed, "Wipe the dust off with a dry rag.", true},
		{rubbed, "Dust the bench down with a dry cloth.", true},
		{rubbed, "Wipe away the dry dust with your sleeve.", true},

		{wheeled, "Never clear the wheel with a stick while it turns.", false},
		{wheeled, "Do not poke at a turning wheel with a stick.", false},
		{wheeled, "Dress the wheel with a dressing stick while it turns.", false},
		{wheeled, "Hold the alumina stick flat to the turning wheel until it cuts again.", false},
		{wheeled, "Open the diamond with a dressing stone, water on, wheel turning.", false},
		{belted, "Clean the belt with the rubber stick while it runs.", false},
		{wheeled, "Stop the wheel, then clear the swarf with a stick.", false},
		{wheeled, "Switch off, wait until the wheel stands, and pick the chip out with a wooden stick.", false},
		{brushed, "Feed the mud to the turning brush with a wooden spatula.", false},
		{felted, "Rake the felt with the wire card at slow speed.", false},
		{ironed, "Spread the grit on the turning plate with a brush.", false},
		{sawn, "Only with the blade stopped, clear the offcut with a stick.", false},
		{wheeled, "A stick held to a turning wheel is thrown at whoever stands in line.", false},
		{lapStep, "Touch a stick of chalk to the face and look where it catches.", false},
		{lapStep, "Grind out the small chips at the edge.", false},
		{lapStep, "Hold it with both hands.", false},
		{lapStep, "Lift off with one hand on the switch.", false},
		{lapStep, "One hand on each side.", false},
		{lapStep, "One hand holds the lamp, the other turns the piece; disc stopped.", false},
		{lapStep, "Never hold it with one hand.", false},
		{lapStep, "One hand is never enough.", false},
		{handLapped, "Hold the pad in one hand and the foot in the other.", false},
		{handLapped, "One hand is enough for the little pad.", false},
		{ironed, "Wipe the piece dry with a clean cloth and look.", false},
		{ironed, "Wash piece, hands and plate; then wipe dry.", false},
		{ironed, "A wipe with a cloth is no wash between grades.", false},
		{ironed, "Never use the same cloth for two grades.", false},
		{ironed, "Bin the cloth after each grade.", false},
		{ironed, "Use the same cloth as in step 2 to dry your hands.", false},
		{rubbed, "Wipe the dust up with a damp cloth.", false},
		{rubbed, "Wipe the bench with a wet rag, never a dry one.", false},
	} {
		var list diag.List
		for _, d := range check.Run(contextOf(t, "", ordering(piece{extra: everyCaution()}, c.facts, c.sentence)), All) {
			if d.Rule == "caution-contradicted" {
				list.Add(d)
			}
		}
		assert.Equal(t, c.found, len(list) == 1, c.sentence)
		assert.LessOrEqual(t, len(list), 1, c.sentence)
	}
}
