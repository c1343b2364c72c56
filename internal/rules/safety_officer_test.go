package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

// With every caution in force, what a safety officer would strike out is found,
// and what only sounds like it is let be: common practice. The sentences were
// written apart from the tables.
func TestWithEveryCautionInForce(t *testing.T) {
	cautions := "cautions: ["
	for i, topic := range trade.BuiltIn().Topics {
		if i > 0 {
			cautions += ", "
		}
		cautions += topic.Name
	}
	cautions += "]\n"
	soda, lead := piece{extra: cautions}, piece{extra: cautions, glass: "lead crystal"}
	heavy := piece{extra: cautions, form: "{form: sawn block, size: 300 x 300 x 100 mm}"}
	found := func(p piece, facts, sentence string) (rules []string) {
		for _, d := range check.Run(contextOf(t, "", ordering(p, facts, sentence)), safetyRules) {
			if d.Severity >= diag.Warning && d.Rule != "wheel-sound-and-speed" {
				rules = append(rules, d.Rule)
			}
		}
		return rules
	}
	for _, c := range []struct {
		p               piece
		facts, sentence string
	}{
		{lead, lapStep, "Have a coffee at the lap while it runs."},
		{lead, lapStep, "Let the rinse water run away down the sink."},
		{lead, lapStep, "Sweep the dried mud off the bench."},
		{lead, lapStep, "Finish with a few dry strokes."},
		{lead, lapStep, "Turn the water off for the last minute so that you see the scratch."},
		{soda, lapStep, "If the GFCI trips, reset it and carry on."},
		{soda, lapStep, "Hold the RCD in with tape."},
		{soda, lapStep, "Unplug it with wet hands if need be."},
		{soda, lapStep, "Pick grit off the pad as it goes round."},
		{soda, lapStep, "Steady the disc with your fingertips until it stops."},
		{soda, lapStep, "Cool the hot spot with a splash of cold water."},
		{soda, lapStep, "When it gets hot hold it under the tap."},
		{soda, brushed, "Wear cotton gloves against the pumice."},
		{soda, brushed, "Polish the inside with a rag on your finger."},
		{soda, brushed, "Wrap the abrasive paper around the foot while it spins."},
		{soda, brushed, "Shake the pumice over the brush from the bag."},
		{soda, sawn, "Take the guard off, it is in the way."},
		{soda, sawn, "Push the last bit through with your thumbs."},
		{soda, sawn, "Pick the offcut out while the blade runs down."},
		{soda, sawn, "Hold the piece by hand without the fence."},
		{soda, stoned, "Run the new wheel up while you stand in front of it."},
		{soda, stoned, "Skip the ring test if you are in a hurry."},
		{soda, stoned, "The guard is not needed for this."},
		{soda, stoned, "Set the rest 6 mm from the wheel."},
		{soda, blasted, "Open the door as soon as you let go of the pedal."},
		{soda, blasted, "Blow the cabinet out with the air hose."},
		{soda, blasted, "You can blast with the door open to see the edge."},
		{soda, rubbed, "Blow the dust away."},
		{soda, rubbed, "A dust mask is a waste of time."},
		{soda, rubbed, "You do not need a mask for ten strokes."},
		{soda, belted, "Straighten the belt with your hand."},
		{soda, belted, "Wear gloves, the belt is rough."},
		{soda, lapStep, "Add a dash of bleach to the vinegar."},
		{soda, lapStep, "Soak it in vinegar; gloves are not necessary."},
		{soda, lapStep, "Rub with linseed oil and toss the rag in the bin."},
		{soda, lapStep, "Look into the laser to find the bubble."},
		{heavy, lapStep, "Lift it on while the lap is running."},
		{soda, drilled, "Hold the drill under the tap to cool it."},
		{soda, lapStep, "Pour the sludge into the toilet."},
		{soda, lapStep, "Rinse the tub out into the drain."},
		{soda, lapStep, "Jet-wash the tank once a month."},
	} {
		assert.NotEmpty(t, found(c.p, c.facts, c.sentence), c.sentence)
	}
	for _, c := range []struct {
		p               piece
		facts, sentence string
	}{
		{lead, lapStep, "Coffee-brown streaks show where it is thin."},
		{lead, lapStep, "Lunch is the time to let it drain; wash your hands first."},
		{lead, lapStep, "Tea towels are not for this bench."},
		{lead, lapStep, "Leave the piece in the rack overnight, then take it home."},
		{lead, lapStep, "Put the mud in its own bucket; it never goes to the bin."},
		{lead, lapStep, "Dry it with a towel and look."},
		{lead, lapStep, "Turn the water off, lift the piece, and dry it to look."},
		{soda, lapStep, "Press the RCD test button; if it does not trip, stop."},
		{soda, lapStep, "Dry your hands, then pull the plug."},
		{soda, lapStep, "The switch stays within reach of the left hand."},
		{soda, lapStep, "Switch off, wait, then pick grit off the pad."},
		{soda, lapStep, "Stop the disc with the switch and wait until it stands."},
		{soda, lapStep, "Let it cool in air on the rack before you rinse it."},
		{soda, lapStep, "Rinse the cold piece under the tap."},
		{soda, lapStep, "Without pressure the pad glides."},
		{soda, lapStep, "Leave a third of the pad dry at the rim."},
		{soda, lapStep, "Lean on nothing; hold it with both hands."},
		{soda, lapStep, "Force is not needed."},
		{soda, lapStep, "Feel the arris with a thumbnail, disc stopped."},
		{soda, lapStep, "Carry on until the marker is gone."},
		{soda, lapStep, "Leave the guard ring at the edge."},
		{soda, lapStep, "Hold it in your hand and look along it."},
		{soda, lapStep, "Run the water over the whole pad before the glass touches."},
		{soda, lapStep, "Work in the wet, never in the dry."},
		{soda, lapStep, "Stand close, elbows in, and let the weight do the work."},
		{soda, lapStep, "Tip the piece so that the trailing edge lands first."},
		{soda, brushed, "Hold the vase over the brush with both hands round the foot."},
		{soda, brushed, "Spread the mud with the spatula while the brush turns."},
		{soda, brushed, "Sprinkle water on the mud when it stiffens."},
		{soda, brushed, "Gloves off, rings off, then switch on."},
		{soda, brushed, "The brush throws: stand to one side."},
		{soda, brushed, "Wet the brush with a sponge while it turns slowly."},
		{soda, sawn, "Ease off at the last centimetre and let the blade cut through."},
		{soda, sawn, "Clamp the offcut too, so that it does not fall."},
		{soda, sawn, "Wait until the blade stands, then reach for the offcut."},
		{soda, stoned, "Dress the stone when it loads, with the guard on."},
		{soda, stoned, "Stand aside for the first minute."},
		{soda, stoned, "Lift the glass, shut the tap, let the stone spin dry, stop."},
		{soda, blasted, "Mask the rim with tape and check the tape without lifting it."},
		{soda, blasted, "Keep the door shut and the extraction on; count to thirty, open."},
		{soda, rubbed, "Wipe the dust up with a wet cloth, mask still on."},
		{soda, belted, "Touch the belt lightly with the corner and roll."},
		{soda, belted, "Check the belt with the machine off and unplugged."},
		{soda, lapStep, "Soak it in vinegar; bleach is never added."},
		{soda, lapStep, "Hang the oily cloth flat outdoors; linseed oil heats."},
		{soda, lapStep, "Shine the laser down through the block at the bench."},
		{soda, lapStep, "Tape the corner, then cut the tape with a knife on the board."},
		{soda, lapStep, "Leave it off the machine until it is cool."},
		{soda, lapStep, "Take the splash guard off and wash it after the machine has stopped."},
		{soda, lapStep, "You may drink the view: the strip light runs straight."},
		{soda, lapStep, "A cracked piece goes into the cullet; wheel and pad are washed."},
	} {
		assert.Empty(t, found(c.p, c.facts, c.sentence), c.sentence)
	}
}
