package rules

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/check"
	"coldwright/internal/diag"
)

// More of what a safety officer strikes out at the bench, each with sound sentences
// that come near it. Common practice; the wheel, its blotters, its speed and its rest
// by 29 CFR 1910.215.
func TestWhatIsStruckOutAtTheBench(t *testing.T) {
	for _, c := range []struct {
		facts, sentence string
		found           bool
	}{
		{lapStep, "Eat your sandwich at the bench while it laps.", true},
		{lapStep, "Brush the dried sludge into the dustpan.", true},
		{lapStep, "Rinse the lead mud off in the kitchen sink.", true},
		{lapStep, "Take the overalls home to be washed.", true},
		{lapStep, "Tip what is left in the tub down the loo.", true},
		{lapStep, "Plug it straight into the wall, the breaker keeps tripping.", true},
		{lapStep, "Use a two-way adaptor on the floor behind the tray.", true},
		{sawn, "Change the blade while it coasts down.", true},
		{sawn, "Take the blade guard off for tall pieces.", true},
		{sawn, "Hold the block against the fence with your thumb behind the blade.", true},
		{sawn, "Twist the piece if the cut wanders.", true},
		{brushed, "Leave the chuck key in the chuck.", true},
		{brushed, "Start the lathe with the key still in the chuck.", true},
		{brushed, "Let your scarf hang.", true},
		{brushed, "Hold emery cloth by its ends round the foot.", true},
		{stoned, "Mount a wheel without its blotters.", true},
		{stoned, "Fit the 5000 rpm wheel even if the machine runs faster.", true},
		{stoned, "Drive the wheel on with a hammer.", true},
		{stoned, "Grind on the side of the wheel.", true},
		{stoned, "Leave the wheel standing in its trough overnight.", true},
		{belted, "Run the belt though its joint is coming apart.", true},
		{belted, "Tape a torn belt and go on.", true},
		{belted, "Hold small pieces against the belt with your fingertips.", true},
		{belted, "Push the piece into the nip between belt and roller.", true},
		{lapStep, "Your own spectacles are enough.", true},
		{sawn, "Put cotton wool in your ears.", true},
		{lapStep, "Carry the sawn block by its fresh edges.", true},
		{lapStep, "Pick up the broken pieces with bare hands.", true},
		{lapStep, "Run it until it smokes.", true},
		{blasted, "Use the cabinet with the window cracked.", true},
		{blasted, "Leave the extraction off, it is noisy.", true},
		{blasted, "Put your bare arm through the glove port.", true},
		{blasted, "Point the nozzle at your glove to feel if it works.", true},
		{rubbed, "A paper mask is enough.", true},
		{rubbed, "A wet handkerchief will do for a mask.", true},
		{rubbed, "Empty the vacuum bag into the bin and shake it.", true},
		{handLapped, "Lick your finger to see whether it is dry.", true},
		{handLapped, "Taste the slurry for grit.", true},
		{left, "Leave it on all night with nobody there.", true},
		{lapStep, "Keep the cerium in a yoghurt pot.", true},
		{lapStep, "Put the powder in a coffee tin without a label.", true},
		{lapStep, "Heat the piece with a torch to dry it quickly.", true},
		{lapStep, "Warm the rim with a blowtorch, then go on grinding.", true},
		{lapStep, "Stand on an upturned bucket to reach.", true},
		{lapStep, "Bridge the stop switch.", true},
		{lapStep, "Bypass the foot switch so it runs by itself.", true},
		{lapStep, "Reach across the turning disc for the marker.", true},
		{lapStep, "Rub the grit out of your eye.", true},
		{lapStep, "Lay the hose across the walkway.", true},

		{lapStep, "Eat outside; nothing to eat or drink comes to the lap.", false},
		{sawn, "Wait until the blade has coasted down, then change it.", false},
		{sawn, "The blade guard stays on for tall pieces too.", false},
		{sawn, "Back the piece out only with the blade stopped.", false},
		{sawn, "Never twist the piece in the cut.", false},
		{brushed, "Take the chuck key out before you start.", false},
		{brushed, "Roll long sleeves up.", false},
		{stoned, "A wheel without blotters is not mounted.", false},
		{stoned, "Never grind on the side of the wheel.", false},
		{stoned, "Dress with the diamond dresser, guard on, standing aside.", false},
		{belted, "A belt whose joint opens goes in the bin.", false},
		{belted, "Small pieces go in the holder, not in the fingertips.", false},
		{lapStep, "Your own spectacles are not enough.", false},
		{lapStep, "Sweep the broken pieces up wet, never with bare hands.", false},
		{lapStep, "Two people lift the 30 kg block.", false},
		{lapStep, "If it steams, stop.", false},
		{lapStep, "Warm water, hand warm, in winter.", false},
		{blasted, "A cabinet with a cracked window is not used.", false},
		{rubbed, "A paper mask is not enough.", false},
		{left, "It runs overnight; somebody looks in at ten and at six.", false},
		{drilled, "Ease off before the breakthrough.", false},
		{lapStep, "Keep the cerium in its lidded, labelled tub.", false},
		{lapStep, "Children stay behind the line.", false},
		{lapStep, "The stop switch is tried before the first piece.", false},
		{lapStep, "Stop the disc before you reach across it.", false},
		{lapStep, "Phones stay in the locker.", false},
		{lapStep, "If you cut yourself, stop; press, wash, cover, tell.", false},
		{lapStep, "If grit gets in your eye, do not rub; rinse at the eye wash.", false},
		{lapStep, "Mop the floor at every break.", false},
		{lapStep, "Lay the hose along the wall.", false},
		{lapStep, "Dry it with a towel, never with a torch.", false},
		{wheeled, "Wait while the wheel coasts down, then change it.", false},
		{sawn, "Let the blade coast to a stop before you clean the table.", false},
		{belted, "Wipe the bench with a rag while the belt runs down.", false},
		{lapStep, "Brush the mud off the plate with the hand brush under water.", false},
		{ironed, "Brush the pad clean once, from the centre out, while it turns.", false},
		{ironed, "Scrape the slurry to its pot with a plastic card, plate stopped.", false},
		{wheeled, "Hold the dressing stick in both hands against the turning wheel.", false},
		{felted, "Press the felt lightly; keep the turning felt wet with the spray.", false},
		{lapStep, "Hold the sponge to the turning pad to wet it.", false},
		{wheeled, "Tap the stopped wheel with a wooden handle: it must ring clear.", false},
		{stoned, "Knock the wheel gently with a wooden hammer handle and listen.", false},
		{stoned, "No blotter goes on a metal diamond wheel.", false},
		{stoned, "If the machine runs faster than the wheel's mark, fit another wheel.", false},
		{stoned, "Hold a straight edge against the side of the wheel to see whether it stands true.", false},
		{stoned, "Stand to the side of the wheel as it comes up to speed.", false},
		{stoned, "Put water in its trough so that the wheel picks it up.", false},
		{stoned, "Set the rest to 2 mm.", false},
		{brushed, "Keep the chuck key in the drawer below the chuck.", false},
		{brushed, "Hold the tape by its ends round the foot and press it down.", false},
		{brushed, "Keep the key on its hook.", false},
		{belted, "Fingertip pressure is enough.", false},
		{belted, "Press to the belt with fingertip pressure, no more.", false},
		{belted, "Keep fingers out of the nip between belt and roller.", false},
		{belted, "A torn belt is binned, never taped.", false},
		{lapStep, "Wash the felt in boiling water and let it cool.", false},
		{lapStep, "Warm the wax with the hair dryer and lift the block off.", false},
		{lapStep, "Keep the brushes in a biscuit tin.", false},
		{lapStep, "Keep the cerium in its own tub; the brush for it in a biscuit tin.", false},
		{lapStep, "Polish until the face is hand-warm, then rest it.", false},
		{lapStep, "Work until the wax smokes? Never.", false},
		{lapStep, "If it steams, lift off and wait.", false},
		{sawn, "Keep both hands in front of the fence, away from the blade.", false},
		{sawn, "Keep your hands behind the blade guard.", false},
		{sawn, "Use a push stick, never a thumb behind the blade.", false},
		{sawn, "Turn the piece and make the second cut.", false},
		{lapStep, "Stand on the mat.", false},
		{lapStep, "Stand the block on a crate.", false},
		{lapStep, "Run the hose across the aisle only under its cover.", false},
		{blasted, "Hold it in bare hands outside the cabinet and look at the tape.", false},
		{blasted, "A cabinet with a cracked window stays shut.", false},
		{rubbed, "A paper mask is not enough.", false},
		{handLapped, "Never lick a finger.", false},
		{lapStep, "The tone is a matter of taste.", false},
		{lapStep, "Cotton wool in the tube keeps the slurry out.", false},
		{lapStep, "Put cotton wool in the bore while you lap.", false},
		{lapStep, "Carry it by its seamed edge.", false},
		{lapStep, "Lift the piece away with both hands, then press the stop.", false},
		{lapStep, "With one hand on the stop switch and the other on the tap, wait.", false},
		{lapStep, "One hand steadies, the other presses.", false},
		{felted, "Hold the foot in one hand and the bowl in the other.", false},
		{drilled, "Pull the lever with one hand; the piece sits in the vice.", false},
		{ironed, "The same bucket serves all pieces of one grade.", false},
		{ironed, "Use the same water for the whole of this step.", false},
		{ironed, "Wipe the ring of the plate dry and look before the next grade.", false},
		{ironed, "Wipe your glasses between grades.", false},
		{ironed, "Own cloth, own sponge, own bucket for each grade.", false},
		{ironed, "After the wash wipe the plate with a clean cloth, then the next grade.", false},
		{ironed, "Fresh water and a fresh sponge for F400; never the same cloth as for F220.", false},
		{wheeled, "Clear the swarf from the tray with a stick while the drain runs.", false},
		{wheeled, "If the wheel clogs, switch off, let it stop and clear it with a stick.", false},
		{sawn, "If an offcut jams, stop the blade first; then a stick, not a finger.", false},
		{lapStep, "Last spring somebody cleared the turning disc with a rag and lost a nail.", false},
		{brushed, "A rag on a turning brush is wound up before you can let go.", false},
		{lapStep, "Pick up the broken pieces with tongs.", false},
		{lapStep, "Pick the wax bits off with your fingers.", false},
		{handLapped, "Wipe the dust up wet; a dry rag only moves it.", false},
		{handLapped, "Clean the plate with a rag and water.", false},
		{handLapped, "Hold the pad in one hand; one hand is enough for a rim this small.", false},
		{lapStep, "Look through the window of the polished face.", false},
		{lapStep, "The torch beam shows the scratches; dry the face first.", false},
		{lapStep, "Dry it with a towel and look with a torch.", false},
		{lapStep, "Sight over the flame of a candle? No: use the lamp.", false},
		{lapStep, "Bridge the gap between the two tapes.", false},
		{lapStep, "The bypass tap stays open.", false},

		{wheeled, "Swarf is cleared from the wheel with a stick as it turns.", true},
		{ironed, "If the plate loads up, clear it with a stick while it turns.", true},
		{wheeled, "The wheel can be cleared with a stick while it is running.", true},
		{felted, "Use a stick to clear the felt while it spins.", true},
		{belted, "Use your fingers to clear the belt while it runs.", true},
		{wheeled, "Take a rag and wipe the wheel clean while it turns.", true},
		{wheeled, "Without stopping the wheel, hook the shard out with a wire.", true},
		{sawn, "Scoop the sludge out of the tray with your hand while the blade turns.", true},
		{felted, "Hold a rag to the felt as it runs to take off the old cerium.", true},
		{lapStep, "One hand on the piece will do.", true},
		{lapStep, "A single hand is sufficient.", true},
		{belted, "Press the piece on with your right hand alone.", true},
		{lapStep, "Steer the piece with one hand only.", true},
		{lapStep, "Hold the piece by one hand and the hose by the other.", true},
		{lapStep, "Both hands are not needed.", true},
		{lapStep, "There is no need for two hands.", true},
		{ironed, "No rinse between F220 and F400, a wipe is enough.", true},
		{ironed, "Between the grits just wipe the plate.", true},
		{ironed, "Go straight from F220 to F400 on the same slurry.", true},
		{ironed, "The plate does not need washing between grades.", true},
		{ironed, "Skip the wash between grades.", true},
		{rubbed, "Clean the dust away with a dry cloth.", true},
		{rubbed, "Use a dry rag for the dust.", true},
		{rubbed, "Dust off with a rag.", true},
		{rubbed, "Knock the dust off your apron.", true},
		{lapStep, "Both hands are needed.", false},
		{lapStep, "Two hands on the piece; none is needed at the switch, it has a foot pedal.", false},
		{lapStep, "One hand on the tap is enough once the lap stands.", false},
		{lapStep, "Your right hand only steers, the left presses.", false},
		{lapStep, "The left hand alone presses while the right one only steers.", false},
		{ironed, "Wash between grades; do not skip it.", false},
		{ironed, "Never skip the wash between grades.", false},
		{ironed, "No wash between grades means a scratch at the polish.", false},
		{ironed, "There is no rinse between the two charges of one grade.", false},
		{ironed, "Go from F220 to F400 on a fresh slurry.", false},
		{ironed, "Go on with the same slurry until the marker is gone.", false},
		{ironed, "Use a stick to stir the slurry while the plate turns.", false},
		{ironed, "Use a spatula to feed slurry while the plate turns.", false},
		{ironed, "Stir the pot with a stick while the lap runs.", false},
		{wheeled, "Use the alumina stick in both hands while the wheel turns.", false},
		{wheeled, "Without stopping the wheel, hold the dressing stick to it.", false},
		{wheeled, "Do not stop the wheel with a stick.", false},
		{rubbed, "Dust off with a damp rag.", false},
		{rubbed, "Knock nothing off your apron; wipe it wet.", false},

		{rubbed, "Blow the brush clean with the air line first.", true},
		{rubbed, "The air line stays shut; the brush is washed in its bucket.", false},
		{lapStep, "Overnight in citric acid with a splash of bleach, then rinse.", true},
		{lapStep, "Overnight in citric acid; a splash of bleach in it is never allowed.", false},
		{lapStep, "Citric acid never stands on one shelf with the bleach.", false},

		{rubbed, "Pull the mask under your chin to read the scale.", true},
		{rubbed, "Take your mask off to see better.", true},
		{rubbed, "An open window instead of the extraction is enough.", true},
		{rubbed, "Open the window instead of starting the extraction.", true},
		{lapStep, "Tip the used cerium on the roses.", true},
		{lapStep, "Spread the settled mud on the lawn.", true},
		{lapStep, "Put the lead mud into the other bucket.", true},
		{brushed, "Your ring may stay on.", true},
		{belted, "Fit the belt against its arrow.", true},
		{belted, "Run it with the arrow the wrong way.", true},
		{lapStep, "Land the piece with its leading edge first.", true},
		{lapStep, "Answer the phone while you hold the piece on.", true},
		{lapStep, "Work in sandals, it is warm.", true},
		{lapStep, "Measure the cerium in a coffee mug.", true},
		{sawn, "Start the saw with the piece against the blade.", true},
		{sawn, "Cut small pieces freehand.", true},
		{lapStep, "Let children hold the piece on for a moment.", true},
		{lapStep, "If you cut yourself, wrap it and finish the step first.", true},
		{rubbed, "Take the mask off once the dust is wiped up.", false},
		{rubbed, "Never pull the mask under your chin.", false},
		{rubbed, "An open window will do nothing for the dust; the extraction does.", false},
		{rubbed, "Open the window as well and leave the extraction on.", false},
		{lapStep, "Tip the clear water off and bag the mud.", false},
		{lapStep, "Mud of lead glass never goes into the other bucket.", false},
		{brushed, "Rings off; no ring may stay on.", false},
		{belted, "Fit the belt with its arrow along the run.", false},
		{belted, "Never run a belt against its arrow.", false},
		{lapStep, "Land the trailing edge first, then the rest.", false},
		{lapStep, "Answer the phone once the lap is stopped.", false},
		{lapStep, "Phones stay in the locker while the lap runs.", false},
		{lapStep, "Wear shoes that grip; nobody works in sandals.", false},
		{lapStep, "Measure the cerium in the marked beaker, never in a coffee mug.", false},
		{sawn, "Start the saw clear of the piece, then feed.", false},
		{sawn, "Nothing is cut freehand.", false},
		{lapStep, "Let visitors watch from behind the line.", false},
		{lapStep, "If you cut yourself, stop, press it and wash it; finish the step another day.", false},
	} {
		var list diag.List
		for _, d := range check.Run(contextOf(t, "", ordering(piece{extra: everyCaution()}, c.facts, c.sentence)), All) {
			if d.Rule == "caution-contradicted" {
				list.Add(d)
			}
		}
		assert.Equal(t, c.found, len(list) == 1, "%s %v", c.sentence, list)
	}
}

// Whole steps as a studio lead writes them, full of warnings, bans and history. None
// is found more fault with than the bare step. Common practice.
func TestStepsFullOfWarnings(t *testing.T) {
	for name, c := range map[string]struct{ facts, body string }{
		"dressing": {wheeled, "1. When the wheel glazes, hold the dressing stick in both hands, flat to the turning wheel, water on.\n" +
			"   - Key point: a dressing stick, never a wooden one.\n   - Reason: a lath held to a turning wheel is thrown.\n" +
			"2. Swarf in the tray: stop the wheel first, then clear it with a stick.\n"},
		"crack": {lapStep, "1. Grind until chips and bruises are out and the cracks of the saw are gone.\n" +
			"2. A crack is never ground out, however short; stop and show it to the studio lead.\n\n" +
			"In March a crack of 4 mm was ground on and the block parted in two hands. Since then nobody grinds past a crack.\n"},
		"one hand": {lapStep, "1. Both hands on the piece; one hand is never enough.\n2. Lift off with both, then one hand to the switch.\n\n" +
			"With the disc stopped hold the piece in one hand and the lamp in the other.\n"},
		"cloth": {ironed, "1. Own cloth and own sponge for each grade; never the same cloth for two.\n2. A wipe is no wash: scrub the plate, then wipe it dry.\n" +
			"   - Key point: cloths hold grain in the weave; bin them after the grade.\n"},
		"belt": {belted, "1. Look at the joint of the belt; a torn belt is binned, never taped.\n2. Clean the running belt with the rubber stick in both hands, nothing else.\n" +
			"3. Fingers stay out of the nip, and no piece shorter than a hand goes to the belt without its holder.\n"},
		"saw": {sawn, "1. Fence, clamp, slow at the exit; no thumb behind the blade, and nothing is twisted in the cut.\n" +
			"2. If an offcut jams, stop the blade and wait; then a push stick.\n\nBefore the guard was made somebody flicked an offcut away with a dowel while it ran, and the dowel came back.\n"},
		"felt": {felted, "1. Rake the felt with its card at slow speed, standing aside.\n2. Damp, never dry, never until it smokes; if it feels warm lift off and rest it.\n" +
			"   - Reason: a rag on a turning felt is wound up with the finger in it.\n"},
		"force": {handLapped, "1. The hand's own weight, about 30 N; never lean on it with your full weight, 80 kg break a plate.\n2. The plate weighs 25 kg: two people turn it.\n"},
		"stone": {stoned, "1. Guard on, rest at 2 mm, never on the side of the wheel.\n2. If the machine runs faster than the wheel's mark, take another wheel.\n" +
			"3. A wheel that was dropped is cracked until it has rung clear.\n"},
		"hand dust": {rubbed, "1. Extraction on, FFP3 mask on; a paper mask is not enough, nor is a cloth over the mouth.\n2. Wipe the dust up with a damp cloth, never a dry one, never with the sleeve.\n"},
		"blast":     {blasted, "1. Door shut, gloves whole, extraction on; a cabinet with a cracked window is not used.\n2. Count to twenty, then open; no bare arm through the port, no nozzle pointed at a glove.\n"},
		"pan": {left, "1. It runs on its own; somebody looks in every hour and signs the sheet.\n2. Nobody wedges or bridges the stop switch.\n" +
			"   - Reason: a pan that ran dry at night cracked three bases.\n"},
	} {
		p := piece{extra: everyCaution()}
		known := map[string]bool{}
		text := ordering(p, c.facts, "Slowly.")
		for _, d := range check.Run(contextOf(t, "", text), All) {
			known[d.Rule] = true
		}
		for where, whole := range map[string]string{
			"step":  strings.Replace(text, "1. Slowly.\n", c.body, 1),
			"notes": text + "\n# Notes\n\n" + c.body,
		} {
			assert.NotEqual(t, text, whole)
			for _, d := range check.Run(contextOf(t, "", whole), All) {
				assert.False(t, !known[d.Rule] && d.Severity > diag.Note, "%s, %s: %s %s", name, where, d.Rule, d.Message)
			}
		}
	}
}

// A word of a deed that opens the line of a key is a sentence of its own; the check
// comes to an end, and finds what stands below.
func TestADeedInTheFirstWordOfALine(t *testing.T) {
	body := ordering(piece{extra: everyCaution()}, lapStep, "Look at it.\nLoo: none here.\n\n1. Tip the slurry down the loo.")
	var list diag.List
	for _, d := range check.Run(contextOf(t, "", body), All) {
		if d.Rule == "caution-contradicted" {
			list.Add(d)
		}
	}
	assert.Len(t, list, 1)
}
