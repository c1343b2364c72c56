package rules

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/diag"
)

const (
	sawn    = "Abrasive: metal diamond blade|Machine: wet saw, 300 mm at 1500 rpm|Water: flood"
	stoned  = "Abrasive: vitrified silicon carbide wheel F80, 300 mm|Machine: bench grinder at 600 rpm|Water: drip"
	drilled = "Abrasive: metal diamond burr 120 mesh|Machine: mains drill at 900 rpm|Water: spray"
	left    = "Abrasive: silicon carbide F220|Medium: iron lap|Machine: vibrating lap|Water: drip|Mix: cream"
	rubbed  = "Abrasive: silicon carbide paper P400|Machine: by hand|Water: dry"
)

// Deeds a safety officer would strike out, each with sound sentences that come
// near it: common practice. note is the caution it goes against, "" for none.
func TestDeedsASafetyOfficerStrikesOut(t *testing.T) {
	lead := piece{glass: "lead crystal"}
	heavy := piece{form: "{form: sawn block, size: 300 x 300 x 100 mm}"}
	for _, c := range []struct {
		p                     piece
		facts, sentence, note string
	}{
		{lead, lapStep, "Keep your tea beside the splash ring.", "lead glass"},
		{lead, lapStep, "Sandwiches may be eaten at the bench.", ""}, // "may be eaten" orders nothing by the list
		{lead, lapStep, "Eat at the bench if time is short.", "lead glass"},
		{lead, lapStep, "Keep tea and coffee in the kitchen.", ""},
		{lead, lapStep, "Never bring coffee to the lap.", ""},
		{lead, lapStep, "Cool the coffee-coloured rim slowly.", ""},
		{lead, lapStep, "Take your overalls home to wash.", "lead glass"},
		{lead, lapStep, "Never take overalls home.", ""},
		{lead, lapStep, "Rinse the bowl in the kitchen sink.", "lead glass"},
		{lead, lapStep, "Wash your hands in the kitchen before you eat.", ""},
		{lead, lapStep, "Tip the grey water on the flower bed.", "lead slurry"},
		{lead, lapStep, "Empty the tub in the yard.", "lead slurry"},
		{lead, lapStep, "Put the mud into the bin.", "lead slurry"},
		{lead, lapStep, "Put the mud into the lidded bin for hazardous waste.", ""},
		{piece{}, lapStep, "Tip the slurry over the fence.", "slurry"},
		{piece{}, lapStep, "Wash the mat in the yard.", ""},

		{piece{}, lapStep, "If the RCD trips, use the extension lead.", "power near water"},
		{piece{}, lapStep, "If the RCD trips, stop and report it.", ""},
		{piece{}, lapStep, "There is no need for an RCD here.", "power near water"},
		{piece{}, lapStep, "An RCD is not needed.", "power near water"},
		{piece{}, lapStep, "Run it without the RCD.", "power near water"},
		{piece{}, lapStep, "Without an RCD nobody starts the lap.", ""},
		{piece{}, lapStep, "Never run it without the RCD.", ""},
		{piece{}, lapStep, "Push the plug in with wet hands.", "power near water"},
		{piece{}, lapStep, "Wet hands crack; dry them.", ""},
		{piece{}, lapStep, "Lay the cord in the tray.", "power near water"},
		{piece{}, lapStep, "Lay the cord out of the wet.", ""},
		{piece{}, lapStep, "Number the faces with the electric engraver held under the tap.", "power near water"},
		{piece{}, lapStep, "Touch up the corner with the mains drill, dripping water on it.", "power near water"},
		{piece{}, lapStep, "Number the faces with the electric engraver, dry, before anything gets wet.", ""},
		{piece{}, lapStep, "Touch up the corner with the air drill, dripping water on it.", ""},
		{piece{}, lapStep, "Stand in the puddle and reach across.", "power near water"},
		{piece{}, lapStep, "Stand the piece in water.", ""},

		{piece{}, sawn, "Change the blade with the switch off; the plug can stay in.", "unplug"},
		{piece{}, sawn, "Change the blade without unplugging.", "unplug"},
		{piece{}, sawn, "Unplug, then change the blade.", ""},
		{piece{}, stoned, "Adjust the rest while the wheel is running.", "rotating spindle"},
		{piece{}, stoned, "Adjust the water while the wheel is running.", ""},
		{piece{}, belted, "Clean the rollers while it turns.", "belt"},
		{piece{}, belted, "Stop the belt, then clean the rollers.", ""},
		{piece{}, drilled, "Hold the trigger in with a cable tie.", "power near water"},
		{piece{}, left, "Tape the switch down.", "power near water"},
		{piece{}, left, "Tape the rim with vinyl tape.", ""},

		{piece{}, brushed, "Slow the chuck with the flat of your hand.", "rotating spindle"},
		{piece{}, brushed, "Stop the wheel with a thumb.", "rotating spindle"},
		{piece{}, brushed, "Stop the wheel with a piece of wood to look.", "rotating spindle"},
		{piece{}, brushed, "Stop the wheel, then hold the piece of wood under the foot.", ""},
		{piece{}, brushed, "Stand at the brush with your sleeves loose.", "rotating spindle"},
		{piece{}, brushed, "Stand at the brush with your sleeves tucked.", ""},
		{piece{}, stoned, "Dress the wheel dry when it glazes.", "keep wet"},
		{piece{}, stoned, "Dress the wheel; dry it before it goes back.", ""},
		{piece{}, brushed, "Stop the wheel, then feel the wall with a thumb.", ""},
		{piece{}, lapStep, "Brake the disc by hand.", "thrown piece"},
		{piece{}, brushed, "Leave your watch on.", "rotating spindle"},
		{piece{}, brushed, "Sleeves can hang; it is slow.", "rotating spindle"},
		{piece{}, brushed, "Leave your watch in the box.", ""},
		{piece{}, brushed, "Let the drips hang off the foot.", ""},
		{piece{}, brushed, "Loop a strip of emery over the turning foot.", "rotating spindle"},
		{piece{}, brushed, "Lay a strip of felt on a block over the turning foot.", ""},

		{piece{}, stoned, "Use the cracked wheel for now.", "wheel check"},
		{piece{}, stoned, "Bin a cracked wheel.", ""},
		{piece{}, stoned, "Look at the rim for a crack before you mount the wheel.", ""},
		{piece{}, stoned, "Set the rest 10 mm off the wheel.", "rest and guard"},
		{piece{}, stoned, "Set the rest 2 mm off the wheel.", ""},
		{piece{}, stoned, "Wedge the guard open.", "rest and guard"},
		{piece{}, stoned, "Leave the guard on.", ""},
		{piece{}, sawn, "Lift the guard out of the way.", "saw and drill"},
		{piece{}, stoned, "Stand in front of the wheel as it starts.", "wheel check"},
		{piece{}, stoned, "Never stand in line with the wheel.", ""},

		{piece{}, belted, "Guide the edge of the belt with a finger.", "belt"},
		{piece{}, belted, "Guide the piece along with both hands.", ""},
		{piece{}, belted, "Touch the belt to feel how warm it is.", "belt"},
		{piece{}, belted, "Touch the belt with the rim, lightly.", ""},
		{piece{}, lapStep, "Leave your goggles off, they mist up.", "eyes"},
		{piece{}, lapStep, "No need for safety glasses here.", "eyes"},
		{piece{}, lapStep, "Grind it without goggles.", "eyes"},
		{piece{}, lapStep, "Take the goggles off once the lap has stopped.", ""},
		{piece{}, lapStep, "No goggles, no grinding.", ""},
		{piece{}, sawn, "Ear defenders are not needed for one cut.", "ears"},
		{piece{}, sawn, "Ear defenders may come off after the cut.", ""},
		{heavy, lapStep, "Lift the block on while the lap is running.", "heavy piece"},
		{heavy, lapStep, "Stop the lap, then lift the block on.", ""},
		{piece{}, lapStep, "If the glass steams, put it straight in the bucket.", "keep wet"},
		{piece{}, lapStep, "If it feels warm, lift it off and let it stand.", ""},
		{piece{}, lapStep, "Lift it and quench it in cold water.", "keep wet"},
		{piece{}, lapStep, "Slurry and rinse water go to the tub.", ""},
		{piece{}, lapStep, "Run the last minute without water.", "keep wet"},
		{piece{}, lapStep, "Without water it cracks.", ""},
		{piece{}, lapStep, "Let it get hot, it shines quicker.", "keep wet"},
		{piece{}, lapStep, "Do not let it get hot.", ""},
		{piece{}, lapStep, "Let the tap run hot for the rinse.", ""},

		{piece{}, blasted, "Leave the lid ajar to see.", "blast cabinet"},
		{piece{}, blasted, "Wait, then leave the door open.", ""},
		{piece{}, blasted, "Even passes, door open a hand to see better.", "blast cabinet"},
		{piece{}, blasted, "Even passes with the door ajar.", "blast cabinet"},
		{piece{}, blasted, "Work with the door open a hand.", "blast cabinet"},
		{piece{}, blasted, "If the door stands open a hand, stop and shut it.", ""},
		{piece{}, blasted, "No passes with the door open.", ""},
		{piece{}, blasted, "Use the gloves with the hole for now.", "blast cabinet"},
		{piece{}, blasted, "If a glove has a hole, change it.", ""},
		{piece{}, blasted, "Blast it without the extraction.", "blast cabinet"},
		{piece{}, blasted, "Shake the filter in the yard.", "blast cabinet"},
		{piece{}, blasted, "A cloth over the mouth will do.", "blast cabinet"},
		{piece{}, blasted, "Shake the grit off and dust the piece with the air gun.", "sweeping"},
		{piece{}, blasted, "Sweep the dust together with a broom.", "sweeping"},
		{piece{}, blasted, "Leave it to dry overnight, then rub the dust out.", "sweeping"},
		{piece{}, blasted, "Let the white dry in the texture and brush it out.", "sweeping"},
		{piece{}, blasted, "Never let the white dry in the texture; brush it out wet.", ""},
		{piece{}, blasted, "Let it dry, then look for white in the texture.", ""},
		{piece{}, rubbed, "A mask is optional.", "dry dust"},
		{piece{}, rubbed, "A mask is not needed once the dust is wiped up.", ""},
		{piece{}, brushed, "No need for a mask.", "dry powder"},
		{piece{}, brushed, "Sprinkle dry pumice on the brush.", "dry powder"},
		{piece{}, brushed, "Sprinkle the pumice into water.", ""},
		{piece{form: "{form: cast, size: 100 x 80 x 40 mm, mould: still on}"}, lapStep, "Knock the plaster off dry.", "mould residue"},
		{piece{form: "{form: cast, size: 100 x 80 x 40 mm, mould: still on}"}, lapStep, "Soak it until the plaster is soft.", ""},

		{piece{}, sawn, "Reach over the blade and pull the offcut clear.", "saw and drill"},
		{piece{}, sawn, "Never reach over the blade.", ""},
		{piece{}, sawn, "Force it through at the end.", "saw and drill"},
		{piece{}, sawn, "Feed it slowly, without force.", ""},
		{piece{shape: "hole"}, drilled, "Hold the piece in your lap.", "saw and drill"},
		{piece{}, drilled, "Dip the drill into the water now and then.", "wet power tool"},
		{piece{}, drilled, "Dip the drill bit into the water now and then.", ""},
		{piece{form: "{form: blown, size: 100 mm dia x 200 mm, hollow: true, wall: 3 mm}"}, lapStep, "If it ticks, carry on gently.", "thin ware"},
		{piece{}, sawn, "Saw the tempered sheet all the same.", "strain"},

		{piece{}, lapStep, "Soak it in vinegar with a cup of bleach.", "acid soak"},
		{piece{}, lapStep, "Soak it in citric acid, and pour water into the acid as it dries.", "acid soak"},
		{piece{}, lapStep, "Fish it out of the vinegar with bare hands.", "acid soak"},
		{piece{}, lapStep, "Fish it out of the vinegar with gloves on.", ""},
		{piece{}, lapStep, "Keep the vinegar in a lemonade bottle.", "acid soak"},
		{piece{}, lapStep, "Throw the linseed oil rags in the bin.", "oily rags"},
		{piece{}, lapStep, "Linseed oil: put the rags in a lidded can of water.", ""},
		{piece{}, lapStep, "Laser: look along the beam for bubbles.", "laser test"},
		{piece{}, lapStep, "Laser: look at the spot on the wall.", ""},
	} {
		text := ordering(c.p, c.facts, c.sentence)
		if strings.Contains(c.sentence, "home") || c.facts == left {
			text = strings.Replace(text, "- Time: 5 min", "- Time: 5 min + 3 h alone", 1)
		}
		list := of(contextOf(t, "", text), "caution-contradicted")
		if c.note == "" {
			assert.Empty(t, list, c.sentence)
			continue
		}
		if assert.Len(t, list, 1, c.sentence) {
			assert.Equal(t, diag.Error, list[0].Severity)
			assert.Contains(t, list[0].Message, "the note \""+c.note+"\"", c.sentence)
		}
	}
}
