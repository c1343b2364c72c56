package rules

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/check"
	"coldwright/internal/diag"
)

// Sentences five masters wrote in their own words, each near something that is
// struck out and each sound: a ban, what was done once, what is done when it has
// stopped, another meaning of the word. With every caution in force none brings a
// finding the bare step has not. Common practice.
func TestSoundSentencesNearADeed(t *testing.T) {
	for facts, sentences := range soundSentences {
		p := piece{extra: everyCaution()}
		known := map[string]bool{}
		for _, d := range check.Run(contextOf(t, "", ordering(p, facts, "Slowly.")), All) {
			known[d.Rule] = true
		}
		for sentence := range strings.Lines(sentences) {
			sentence = strings.TrimSpace(sentence)
			if sentence == "" {
				continue
			}
			for _, d := range check.Run(contextOf(t, "", ordering(p, facts, sentence)), All) {
				assert.False(t, !known[d.Rule] && d.Severity > diag.Note, "%s: %s %s", sentence, d.Rule, d.Message)
			}
		}
	}
}

var soundSentences = map[string]string{
	lapStep: `
		Take home what you learnt, leave the overalls on the hook.
		The mask stays over nose and mouth, not under the chin, until the last of it is wiped up.
		Who wants to talk steps outside, and only there takes the mask off.
		A mask pulled down to see the scale is no mask; the scale stands where you can read it with it on.
		The window may be open in summer, but it is the hood that does the work.
		An open window does not replace the extraction.
		With the window open and the extraction off you only spread it.
		The roses of my neighbour died of somebody's clear water; ours goes to the settling tank.
		Nothing goes on the lawn.
		The lawn behind the shop is grey to this day.
		The other bucket is for soda-lime and never sees this mud.
		Not into the other bucket.
		Two buckets, two labels; what is in the other bucket is none of this piece's business.
		A ring may look harmless; it comes off.
		Watches may be left in the drawer with the rings.
		The arrow on the belt points the way it runs.
		A belt that was put on against its arrow came apart at the joint in four seconds.
		Look for the arrow before you fit it, and fit it that way.
		Land with the trailing edge; the leading edge follows once the piece sits.
		If the leading edge touches first, the disc takes it from you.
		What meets the turn never touches first.
		The leading edge is always a finger's breadth up until the heel has landed.
		Let it ring: the phone waits.
		No phone in the hand, no earphone in the ear.
		If the phone rings, stop the disc, lift off, and then decide whether you want to answer.
		The telephone hangs in the office for a reason.
		Sandals stay at the beach.
		Somebody came in sandals once and went home in a bandage.
		Shoes with soles that grip; bare feet are for the pool.
		Beakers with marks are for cerium, mugs with handles are for people.
		A coffee mug was used for cerium once, and once is how you learn.
		The blade turns freely before the glass comes near it.
		Start the saw, count three, bring the glass.
		Never start it with the block against the blade.
		Freehand is for drawing.
		Small pieces are waxed to a larger one and clamped, since freehand they tip.
		Visitors see it from behind the line, with glasses on, and the disc stopped.
		Nobody but the one who signs touches the piece, however nicely a child asks.
		If you cut yourself: stop, press, wash, plaster, tell. The step can wait.
		A cut first, the glass after.
		Whoever bleeds stops.
		Blood on the glass washes off, grit in a cut does not.
		The trigger is not locked; let go and it stops.
		We took the lock off the trigger in the spring.
		Tie the cord up, not the switch down.
		The foot switch is kept free: nothing on it, nothing wedged under it.
		A broken switch is not bridged, it is changed.
		The interlock was bypassed when we bought it; now it works.
		Do not lift the splash guard to see better while it runs: stop it.
		The splash guard comes off to be washed, when the lap is off.
		Take the splash ring off, wash it, put it back.
		It runs with the guard or it does not run.
		No guard, no grinding.
		Dress the wheel with its guard on.
		The dresser is held in both hands on the rest, a stick never.
		Stop it with the switch and with nothing else.
		Let it coast; it takes eleven seconds, and I have counted.
		While it coasts nothing is touched.
		Wait till it has run down before you wipe the disc.
		Touch the disc when it has stopped: it should be cool.
		Put a finger on the pad after it has come to rest; slick means spent.
		Feel for a step with a nail, the machine off and the plug in your other hand.
		Never reach over the blade for the tap; the tap is on the near side.
		A push stick goes where a thumb would like to.
		Never a thumb behind the cut.
		If it pinches, stop the saw before you touch anything.
		A piece that is jammed is freed with the blade at rest.
		Gloves for carrying; gloves off at anything that turns.
		Rubber gloves for the vinegar bath, no gloves at the spindle.
		Cloth, string, hair and sleeve are what a spindle eats.
		The rag lives on the nail, not on the lathe.
		Do not wind paper round the finger; the block is there for it.
		The mud in this tub settles by morning; the clear water is drawn off, the mud bagged and labelled.
		What the town does with our mud stands in the letter by the door.
		The drain has a trap; even so nothing but hand-washing goes in.
		Not a drop of it goes down the sink.
		The sink is for hands.
		Wipe up what drips before somebody slips.
		Dry floor, dry plug, dry hands: then switch.
		The RCD is tested on Mondays; if it does not trip, nobody works.
		No water near the socket, no socket near the water.
		A cord with a nick is cut in two so that nobody uses it again.
		The extraction is on before the first stroke and stays on for five minutes after the last.
		Dust that you see is not the dust that hurts.
		Compressed air is for the tool and never for the bench, the floor or you.
		Nobody blows a piece dry with the air line.
		We had an air gun at this bench; it hangs in the office as a warning.
		No brooms: mop or vacuum.
		If you must sweep, you have not wetted enough.
		Sweep nothing.
		Soak what has dried on before you scrape it off.
		Hot? Off. Cold water is not a coolant for hot glass, it is a hammer.
		It cools on the rack, and no one hurries it.
		A warm piece goes on wood, not on steel and not in water.
		Never out of the hot bath into the cold.
		Lukewarm first, then cool, then cold, a minute each.
		If it cracked while you were at lunch, it was warm when you left.
		Do not leave it turning when you go for lunch.
		When you leave, it is off.
		The belt is looked at, all round, before it runs.
		A nick in a belt means a new belt.
		Do not glue belts.
		A worn belt is no reason to push.
		The harder you press the less it cuts.
		Let the wheel cut; you steer.
		Full weight is for shovels.
		Do not hang on the lever.
		The load is the weight of the ring and no more.
		Chips on the lower edge come from haste at the exit.
		Take the last millimetre as if it were the only one.
		Lead is not in this glass, but the bucket rule holds anyhow: what is grey goes in the tub.
		Wash your hands before you eat, smoke, or touch your face.
		Smoking is done at the far gate.
		Your cup stays in the kitchen, also when it is empty.
		No food in here, no exceptions, not even birthdays.
		Birthday cake is eaten next door.
		If in doubt, ask; if still in doubt, stop.
		A tick means stop. Two ticks mean you did not.
		Ticks are what you listen for.
		Look along the crack, if there is one, with the lamp behind; then show it.
		A crack that stops at a bubble is still a crack.
		A crack is not a scratch: a scratch ends at the surface.
		Mark the end of the crack with a pencil and show the lead.
		Where there was a crack in the sample, this piece has none; look all the same.
		Nobody saws past a crack.
		Bruises are ground out, cracks are shown.
		The crackle of the frit is part of the design and stays.
		Fine cracks under the saw cut go with the first disc.
		The glue line may look like a crack; wet it, and it vanishes.
		We do not finish with cerium here.
		Cerium comes at the next bench, not here.
		Pumice would only round it.
		A touch of cerium would brighten it, which is just what we do not want.
		Do not finish it with cerium, whatever it looks like.
		The last man finished these with cerium, and the next man had to take it off.
		Some use alumina for this; we have none.
		When the pumice is used up, spoon on more.
		Polish with the felt of the house, not with the one from the box.
		With 30 min it is done, with 40 it is done better.
		Work with the grain of the wood beneath you.
		Finish on a Friday and it will be wet on a Monday.
		Finish on time.
		Grind on the outer third of the plate.
		Smooth on the left, then on the right.
		Rub with the ball of the thumb when the piece is dry and lies on the table.
		Take home what you learnt, leave the overalls on the hook.
		Sandwiches, tea and talk belong in the kitchen; the wheel does not mind waiting.
		Eat before you begin, since nobody works well hungry, and not at the lap.
		The mud looks like milky tea when it is right.
		Drink a glass of water in the kitchen every hour; the hands dry out and so do you.
		Coffee rings on the wooden bench are the one thing I allow no one to add to.
		When the sludge in the tub has dried, wet it again and scrape it into the sack with the shovel.
		Dried slurry on the splash ring is soaked with the sponge first and then wiped.
		We used to sweep the dried mud into a dustpan, and the vacuum man showed us on his meter what that did.
		The rinse water stands in the tub overnight; what is clear goes where the town allows, what is not stays.
		Never down the loo, never down the yard gully, never "only this once".
		Nothing from this bucket meets the kitchen sink.
		The extension lead was thrown out in 2022 after it had lain in the wet for a winter.
		If the breaker trips twice, the machine stays off until the electrician has been.
		The plug hangs above the splash line, dry, and dry hands pull it.
		A second adaptor behind the tray is what the insurance man took a photograph of; there is none now.
		Lead with the trailing edge and let the glass come down like a boat.
		Reach for the switch with the free hand once both feet of the piece are on the towel.
		With the disc stopped I hold the block in one hand and the lamp in the other.
		One hand holds the lamp, and the block lies on the towel meanwhile.
		One hand on the hose lever is enough to shut it; both hands stay on the glass while anything turns.
		Two hands, however small the piece: one hand is how the last one flew.
		"One hand will do," he said, and then we looked for it under the press.
		A rag in the apron string is for the hands, and it comes off before the lap is switched on.
		Wipe the face dry, look, wet it again, go on.
		When the lap stands still, wipe the middle of the pad with two fingers and rub them together: you feel the grain.
		Feel along the edge with a nail, lap off and at rest.
		A thumb along the rim, when everything has stopped, tells you more than the lamp.
		The back of the hand on the glass tells you how warm it is; take it off the pad for that.
		If it is warm, go slower and give it more water; if it is hot, off with it, on to the dry towel.
		Hot glass and cold water: you have seen what that does to a tumbler.
		Do not cool it in the bucket; a towel and ten minutes cost nothing.
		Let it get hand-warm by itself before it goes into the rinse.
		It must never run dry; a dry pad whistles, then smokes, then burns a white edge.
		If there is no water, there is no work.
		Turn the water off only when the glass is off.
		Water off, glass off, disc off, in that order only if you want a scratch: glass first.
		When the pad smokes it is too late; when it smells it is nearly so.
		Between the grades the washing takes longer than the grinding, and that is as it should be.
		Skip nothing here, least of all the rinse.
		Who skips the washing between two grits will find the 60 in the 400, in the middle, on a Friday.
		We never go from one grit to the next on the same slurry.
		The same sponge never does for two grades; each bench has its colour.
		The same water may stay for the whole of one grade.
		Wiping is not washing: a cloth moves grit, running water takes it.
		A quick wipe to see, a proper wash to go on.
		A cloth is for looking, the hose is for cleaning.
		Lick your finger to turn a page in the office, not here.
		Never taste what is on your lip; rinse.
		Yoghurt pots are for the kitchen; powder lives in tins with a label and a lid.
		There was pumice in a honey jar once, and that was once too often.
		The hose lies along the wall, over the gangway, on its hooks.
		Stand on the duckboard, not on a crate, and if you are short ask for the step.
		Stand the block on the crate with the felt, never yourself.
		Leave it running only as long as you stand before it.
		Before lunch the lap is stopped and the tap is shut; nothing is left turning.
		Reaching across the turning disc for the spray bottle cost somebody a sleeve.
		A splinter in the eye is rinsed at the blue door, not rubbed.
		Your own spectacles are no safety glasses; ask for a pair that goes over them.
		Rub your eyes with nothing that has been in here.
		Boiling water is for tea; the glass gets lukewarm.
		No torch, no heat gun and no stove dries this piece; the towel does.
		Warm the wax with the heat gun, never the glass.
		A crack in the felt does no harm; a crack in the glass ends the day.
		Look for a crack wherever you heard a tick.
		Cracks that run from the edge are shown to the lead.
		If you find a crack, however short, do not go on: put it aside and say so.
		The small cracks of the saw are gone when the marker has gone twice.
		Nobody has ever ground a crack out; they only made it longer.
		We ground a crack out in 2019, and the block is now two paperweights.
		The wax cracks when it is cold; press on once it is warm.
		A cracked pad is changed, and nobody minds the price.
		It costs a little force at first, then none.
		Full weight of the arm is too much; the weight of the hands is right.
		The block itself weighs 4 kg and needs no help.
		Never press with more than a bag of sugar weighs.
	`,
	sawn: `
		Plug in your pocket, then the blade comes off.
		Change the blade only after it has coasted to a stop and the plug is out.
		The guard comes off for cleaning with the plug pulled, and goes back before the plug does.
		Somebody took the guard off for tall pieces in the old shop; it is the reason there is a new one.
		Thumbs beside the block, never behind the blade.
		Push the end through with the stick, not with your thumbs.
		Do not twist the block in the cut; if it wanders, back it out straight, with the blade stopped.
		If the cut wanders, stop the saw, turn the slab about and begin again from the other side.
		What falls on the far side stays there until the blade stands.
		The offcut is fetched when the blade has stopped, and not by reaching over it.
		Reach past nothing, lean over nothing.
		Feed as slowly as you can bear, then half of that.
		No force is needed: a blade that wants to be pushed wants to be dressed.
		Force the cut and it chips on the underside.
		A piece held in the hand is not held; it is clamped or it is not sawn.
		Cotton wool in the ears is no ear protection; the muffs hang by the door.
		Carry the slab by its flats, since the sawn edge is a knife.
		Shards go into the tin with tongs and brush, never with bare hands.
		A strained block is not cut at all.
		Tempered glass never comes to the saw: look for the stamp.
		Bright bands under the polarisers mean stop and ask.
		Switch off, count to ten, look, and then take the offcut.
		The belt of the saw is tightened in the winter, with the plug out.
		Keep the jet on the blade; if the jet fails, lift off and stop.
	`,
	brushed: `
		The key of the chuck hangs on its chain, and while it is not there nobody switches on.
		Take the chuck key out before anything else, put it on its hook, then look again.
		A key left in the chuck once went through the window of the office.
		Scarves, cords of hoods and loose sleeves stay in the locker.
		Let your hair down at home; here it is tied.
		Leave rings and watch in the drawer.
		Never hold emery cloth by its ends round the foot; use the backing block.
		A cloth round a turning foot takes the hand with it.
		With the lathe stopped, pull the cloth through the stem by both ends.
		Do not brake the chuck with the palm; it stops when it stops.
		The spindle runs down by itself; nobody slows it with a stick or a hand.
		A stick at the wheel is for dressing, and only the dresser is held there.
		Clear the brush when it stands, with the comb.
		Comb the bristles with the brush stopped and the plug out.
		Mud goes to the glass, not to the turning brush.
		The strings of the apron are tied behind.
		No gloves at the spindle; barrier cream does for cold hands.
		Gloves off, sleeves up, then switch on.
		Sprinkle nothing: wet the pumice, then spread it.
		Shake the bottle of wet pumice before you pour.
		While it turns no finger goes to it, not even to feel whether it is warm.
		Hold it in both hands and bring it up from below.
		The brush may be run slower for a relief, never faster than its mark.
		The foot pedal stops it; it is never wedged, tied or taped.
		If the pedal sticks, stop, pull the plug, report it.
	`,
	stoned: `
		Hang it on a finger and tap it: a sound wheel rings, a cracked one clacks and is broken up at once.
		A wheel that fell is a cracked wheel until somebody has rung it.
		Never fit a wheel without its blotters, one each side.
		The blotters go on both sides, and the nut only hand-tight and a quarter.
		The wheel's mark says 3600; the machine does 2800; that is the right way about.
		If the machine runs faster than the mark on the wheel, that wheel stays in the cupboard.
		It slides on by hand; a wheel that must be hammered on does not fit.
		The side of the wheel is not for grinding; it has no strength there.
		Chalk the side of the wheel with the number, standing still.
		Work from the side, not in front of the wheel, for the first minute.
		Nobody stands in line with it while it runs up.
		The rest is set at 2 mm, with the wheel stopped; at 5 mm the glass goes down between.
		The rest used to be 6 mm off and took a corner in; now it is two.
		Guard on, always; if it is in your way, the piece is too big for this wheel.
		Let it throw its water before you stop it; a stone that stands in its trough is heavy on one side.
		Empty the trough at night so that the wheel does not stand in water.
		Skip the ring test and you skip the only warning it gives you.
		The ring test is not left out, not even for a wheel that came yesterday.
	`,
	blasted: `
		A cracked window in the cabinet is changed before the next piece.
		Do not point the nozzle at your glove, however thick it is.
		No arm goes in bare; both gloves are tight at the cuff.
		A glove with a hole is thrown out, and we do not tape them.
		The door is opened when the window is clear, and not as soon as the pedal is up.
		Count twenty with the extraction running, then open the door.
		The bag is emptied with the vacuum on and the mask on.
		We never beat the filter in the yard; the neighbours have washing.
	`,
	belted: `
		Fingers stay off the belt, also to feel whether the joint is sound: stop it first.
		Track the belt with the knob; a hand on its edge is a hand less.
		A torn belt goes into the bin, a split one too.
		Never tape a belt, never staple one, never run one with its joint coming apart.
		The joint is looked at before each belt goes on.
		Nothing shorter than a hand goes to the belt without the holder.
		The nip between belt and roller is behind the guard; leave it there.
		Press with the palms, fingertips curled away from the belt.
		With the belt stopped, feel along it for a stone.
		Gloves off before the belt is switched on.
	`,
	rubbed: `
		Mask on, extraction on, and a damp cloth for what falls down.
		A paper mask is not enough for this.
		Dust on the apron is wiped off damp, not beaten out.
		The bench is wiped wet; the broom lives in the yard.
	`,
	drilled: `
		The drill is held by its two handles, cord over the shoulder, dry; water comes from the sponge and not from a bath.
		Only the burr goes into the water, the tool stays out of it.
		A mains drill is not for the wet; ask for the air drill.
		Ease off when you feel it come through; do not push.
	`,
	left: `
		It runs by itself, though somebody looks in every hour and signs.
		Nobody goes home while a pan is running, or else it is stopped.
		The pan is stopped before we lock up, whatever is in it.
		Leave the building only when the pan stands.
		In 2018 it ran all night with nobody in the house, and in the morning there were three bases and a smell.
		Hang the slate on the door: name, time, telephone.
	`,
	wheeled: `
		Touch the wheel with nothing but glass and the dresser.
		A wheel is not slowed with a block of wood; it runs down.
		Press lightly; should a tick be heard, off with it and look.
		Swarf under the wheel is cleared when it has stopped, wet, with the brush.
		Hold the dressing stick in both hands, flat on the rest, water on.
		The wooden lath beside the lathe is for opening the window.
		Stop, wait, and wipe the rim of the wheel clean.
	`,
	felted: `
		The felt is fed before it is thirsty: dry felt smokes.
		If you smell burnt wool, you have waited too long; off, and damp it.
		Nobody polishes until it steams; warm is all it has to be.
		The felt spins in its cover, and nobody stands over it to look.
		Dry felts are wetted the evening before.
		A felt that has dropped on the floor is a pumice felt from then on, and pumice felts are not used for cerium.
		Do not let the drip flood it.
		The rag hangs on the rail, out of reach of the spindle.
		Dab the cream on with the brush when the felt has stopped; when it turns, drop it from the bottle, hands away.
	`,
	handLapped: `
		Carry on until the pencil is gone twice.
		The plate lies on a wet towel so that it stays put.
		Take a spoon of grit, a spoon of water, and no more.
		Press as if you were ironing silk.
		One hand guides, the other only rests on it.
		With one hand you tilt, with two you do not.
		Nobody asks for strength here: two kilograms on the glass is plenty.
		Wash plate, glass, hands and sleeves before the finer grit is so much as opened.
		Wipe the plate with the flat of the hand to feel for a coarse grain, then rinse the hand.
		A newspaper under the plate is changed with each grit, for it keeps what it caught.
	`,
	ironed: `
		The iron is scraped with the plate stopped, and the mud goes in the tub.
		Grit is fed with the brush at the edge, hands off the plate.
		No finger goes near the middle while it turns.
		When the plate stands, feel for a burr with the nail.
		Do not go from the 220 to the 400 without scrubbing the iron.
		Two grits on one plate is a thing you do once.
		The F80 stays on its own plate.
		Lower the ring on to the plate before it turns.
		Set the block down while the plate stands, then start it slowly.
		Never load a running plate.
	`,
}
