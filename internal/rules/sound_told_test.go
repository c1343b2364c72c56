package rules_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/trade"
)

// Whole pieces with words of their own, in the order of a step, before the first step
// or as the stop, each sound beside the facts and near what a rule looks for: a ban, what
// was before, what is done to something else. Common practice.
func TestSoundWordsBesideTheFacts(t *testing.T) {
	const (
		wheel = "metal diamond wheel 120 mesh, 200 mm"
		lathe = "lathe at 500 rpm"
	)
	lapped := string(pieceOf("flat", "ground, silicon carbide F600", "bright polish", pumiced("2F", "felt pad, solid, 300 mm", onLap), timed("60 min", ceriumed("felt pad, hard, 300 mm", onLap))))
	ironed := string(pieceOf("flat", "as cast", "matte", onIron("silicon carbide F80"), onIron("silicon carbide F220")))
	cut := strings.Replace(string(pieceOf("groove", "new", "matte", tool(wheel, lathe, "Depth: 2 mm"))), "size: ", "hollow: true, wall: 9 mm, size: ", 1)
	blast := string(pieceOf("flat", "fire polished", "matte", stepOf("Blast the face", "Surface: face", "Abrasive: aluminium oxide F180", "Machine: blast cabinet", "Water: dry", "Pressure: 2 bar", "Time: 5 min")))
	masked := strings.Replace(blast, "surfaces:\n", "surfaces:\n  - {name: foot, shape: flat, from: fire polished, to: untouched}\n  - {name: lip, shape: ring, from: fire polished, to: untouched}\n", 1)
	masked = strings.Replace(masked, "- Water: dry\n", "- Water: dry\n- Mask: foot\n", 1)
	for _, c := range []struct{ where, base, sentences string }{
		{"order", lapped, soundOnFelt}, {"order", ironed, soundOnIron}, {"order", cut, soundCuts}, {"order", blast, soundBlasts}, {"order", masked, soundMasks},
		{"lead", ironed, soundPurpose}, {"lead", lapped, soundPurpose}, {"stop", lapped, soundStops}, {"wash", ironed, soundWashes}, {"look", ironed, soundLooks},
	} {
		known := map[string]bool{}
		_, checked := findings(trade.BuiltIn(), "piece.md", []byte(c.base))
		for _, d := range checked {
			known[d.Rule] = true
		}
		for sentence := range strings.Lines(c.sentences) {
			if sentence = strings.TrimSpace(sentence); sentence == "" {
				continue
			}
			text := c.base
			switch c.where {
			case "order":
				text += "\n1. " + sentence + "\n"
			case "lead":
				text = strings.Replace(text, "---\n\n", "---\n\n"+sentence+"\n\n", 1)
			case "stop":
				text = strings.Replace(text, "---\n\n", "stop: \""+sentence+"\"\n---\n\n", 1)
			case "wash":
				text = strings.Replace(text, "Clean-down: wash everything", "Clean-down: "+sentence, 1)
			case "look":
				text += "\n- [ ] " + sentence + "\n"
			}
			assert.NotEqual(t, c.base, text)
			read, checked := findings(trade.BuiltIn(), "piece.md", []byte(text))
			for _, d := range worseThanNote(append(read, checked...)) {
				assert.True(t, known[d.Rule], "%s %s: %s %s", c.where, sentence, d.Rule, d.Message)
			}
		}
	}
}

const (
	soundOnFelt = `
		Not the pumice felt again, however well it has been rinsed.
		You will be asked whether the pumice felt would do, rinsed: it would not.
		The pumice felt would do no good here.
		Somebody used the pumice felt for this in May, and we threw both away.
		The same felt serves for all the faces of the set.
		The same felt, since it was bought, has had cerium and nothing else.
		Same hand, same minutes, but the other felt.
		What the pumice felt leaves, this one takes.
		Take the cover off the cerium felt; the pumice felt keeps its own.
		Use the pad with the red dot and not the pumice pad.
		The old pumice wheel hangs on the wall as a warning.
		Use the board to wring the pad.
		Do not flood the pad.
		Flooding it only washes the cerium into the bowl.
		A flood of water is for the diamonds, not for felt.
		Some flood it to keep it cool; a damp sponge does that and keeps the powder.
		If the pad is flooded by mistake, wring it and begin again.
		Rinse with a flood of water when it is off the felt.
		Flood the bowl afterwards, with the felt out of it.
		At 300 rpm it would throw the cream at the wall.
		Not 300 rpm, even if you are late.
		Up to last year we ran it at 300 rpm and changed felts each week.
		The lap could do 300 rpm; it is not asked to.
		From 200 rpm on the felt gets hot, so we stay where we are.
		Spin the felt dry at 250 rpm, glass off, cover on.
		Start at 60 rpm until it sits.
		The motor is marked 1400 rpm, the disc is not.
		In the old shop it ran at 400 rpm, on a smaller pad.
		If it ever shows 200 rpm, stop it and call the electrician.
		Polish on until the F600 has gone.
		What the 400 left ought to be gone by now.
		Should you still see the 220, no felt will help you.
		Polish with all your patience.
		Work with the 4 kg of your two hands.
		Polish with 40 N, no more.
		Do not polish with 1200 grit or anything else out of that drawer.
		Some polish with 3000 mesh diamond instead; we do not.
		The piece is warm after 10 min; rest it for 5.
		It goes grey, then milky, then black, and black is what you want.
		The crack in the old felt does not matter, but a crack in the glass does: stop there.
		Bright is what it will be, and not before the hour is up.
	`
	soundOnIron = `
		The F400 has its own plate.
		Never go on to the 400 on this plate.
		Do not grind with the 60 to save time.
		The old hands ground with 60 here, and spent a day getting it out.
		Then comes the 400, on the other bench.
		Grind until the marker is gone twice.
		Grind on with fresh grit.
		If a deep one is left, grind it with the 80 again, and wash.
		When it is even, the 400 follows.
		Work on 100 mm of the plate, not always the same.
		Smooth on, smooth off, and count to 60.
		Lap it on 220 V only.
		Keep it at 75 rpm; at 150 rpm the grit leaves the plate before it has worked.
		We had 120 g of grit in there once, which is a kilo too much by the feel of it.
		A quarter of a millimetre comes off.
		What is 3 mm deep stays; ask the lead.
		The chip on the corner is 2 mm deep and 5 mm wide, and that decides how long this takes.
		One revolution of the piece every ten strokes.
		Give it two revs by hand before you switch on.
	`
	soundCuts = `
		Never cut more than 2 mm deep.
		Three millimetres deep was what the old drawing said.
		The old card said 3 mm deep; strike it out.
		At 3 mm deep the wall is thinner than a third, and that is why it is two.
		A groove 3 mm deep looks no deeper than one of two, once polished.
		Not 3 mm deep, whatever the drawing says.
		If it comes out 3 mm deep, show it to the lead.
		It was 3 mm deep on the vase we lost.
		The wheel is 3 mm wide.
		Cut it in two passes, one millimetre each.
		The tray is 40 mm deep and wants to be half full.
		Sink it until the water in the groove is as high as the nail.
		The wheel would stand 1200 rpm; the vase would not.
		This wheel used to run at 900 rpm, on the thick ware only.
		Stop at 500 rpm, as the facts say; the lever has a notch there.
		Bring it up to 500 rpm before the glass touches.
		The bowl hums at 700 rpm: stay below.
		Dress it at 900 rpm, glass away.
	`
	soundBlasts = `
		Nobody blasts at 4 bar here.
		The compressor stands at 7 bar; the regulator makes two of it.
		At 4 bar the tape lets go.
		With 4 bar you are through the vinyl in a breath.
		It was 3 bar until revision 3.
		The gauge shows 6 bar with the pedal up and 2 bar with it down.
		If the gauge shows 3 bar, turn it back.
		Test the hose at 8 bar in January, with nobody near.
		Before, with the sand we no longer use, it was 4 bar.
		Go easier on the edges, at one bar or so.
	`
	soundMasks = `
		Tape on the foot, burnished down.
		Two layers on the foot; the lip needs none, since it faces away.
		The lip is left bare: no grain gets there.
		Mask the foot and leave the lip.
		Tape the foot, then hold the piece by the lip.
		Tape over the foot and a hand's breadth short of the lip.
		The tape of the foot overlaps itself by a finger.
		Never put tape on the lip; it pulls the gold off.
		Cover the foot with vinyl; the lip is inside the clamp and covered by it.
		Vinyl on the foot, and on the lip nothing.
		Once the foot is taped, look at the lip against the light.
		No tape for the lip.
	`
	soundPurpose = `
		Softer than lead crystal and kinder to the hands.
		If the blank turns out to be lead crystal, this is not its recipe.
		Lead crystal would want its own bucket; this does not.
		People take it for lead crystal because it is heavy.
		It looks like lead crystal and rings like a pan.
		Lead crystal came through this shop until 1998.
		My father cut lead crystal at this wheel.
		The shelf next door holds the lead crystal; nothing from there comes here.
		Those who come from lead crystal will find it hard.
		A studio lead looks at each.
		We used to make this in lead crystal.
		What we learnt on lead crystal does not hold here.
		Before revision 1 there was only talk.
		The revision is at the bottom of the card.
		In rev. 2 of the old book it was called the grey face.
		This replaces the sheet of 2019, which had four grits.
		Cracks come from hurry.
		A cracked piece is a finished piece; shelve it.
		Children of the house have all learnt on this one.
		My children learnt it in an afternoon.
		A child could hold it, it weighs so little.
		It is a piece for guests to eat from, so it has to be clean.
		The public never sees this side.
		Every visitor asks how it is made, and this is the answer.
	`
	soundStops = `
		Bright, and no more than bright. A matte face would be another order.
		It is bright when it is done; satin is only half way.
		Bright face. The rest is nobody's business.
		Never a satin face, never a matte one.
		From matte to bright on one face.
		Not satin: bright.
		Bright polish on the face; the customer once had it in satin and sent it back.
		Stop when the face is bright. What comes after is wear.
		The satin face of the sample is not this one.
		Satin faces are for lamps; this is a paperweight, and bright.
	`
	soundWashes = `
		plate, ring, piece and hands under running water
		no grain is to stay: scrub, rinse, scrub again
		nothing is put away wet; plate hosed and propped up
		hose it all; the tub is emptied later
		rinse now, scrub the gutter at the end of the day
		brush into every groove; if it still feels sandy, once more
		all of it, never only the plate
		scrub plate, piece, nails. No grit past this bench
		wash as you would want to find it
		bowl out, bowl scrubbed, bowl in; fresh water for the next grit
		ring and block brushed, not wiped
		not before it has stopped: then the plate is hosed and brushed
		plate into the tub, brushed; nothing needed for the motor
	`
	soundLooks = `
		Marker: gone, twice, dry
		It stands still on plate glass when you tap a corner
		Hold it up to the window, and no line of the 80 is left
		Ten-power, three places: one size of pit
		After 3 hours of drying no white shows in the pits
		Wet it, let it dry for two minutes, and look: one grey
		A second person finds no line either
		It does not rock
	`
)

// A saw that leaves less than saws usually do says so at the surface it makes: the
// grind after it has that much to take off, no more. Common practice of tube cutting.
func TestASawMayLeaveLess(t *testing.T) {
	ends := func(from string) []byte {
		return pieceOf("ring", from, "matte", tool("metal diamond blade", "wet saw, 200 mm at 2400 rpm"), timed("5 min", onIron("silicon carbide F220")))
	}
	_, checked := findings(trade.BuiltIn(), "piece.md", ends("new"))
	assert.Len(t, of(checked, "stock-left"), 1, lines(t, checked))
	_, checked = findings(trade.BuiltIn(), "piece.md", ends("new, uneven 0.02 mm"))
	assert.Empty(t, lines(t, of(checked, "stock-left")))
}

// A blank from the press comes with the skin of its mould.
func TestPressedGlassArrivesAsCast(t *testing.T) {
	for _, from := range []string{"pressed", "as pressed, uneven 0.3 mm"} {
		read, _ := findings(trade.BuiltIn(), "piece.md", pieceOf("flat", from, "matte", onIron("silicon carbide F80")))
		assert.Empty(t, lines(t, read), from)
	}
}

// Titles that name another surface than the one worked, and speak of how the piece
// lies, of what is spared or of an example; and those that say what is worked.
func TestTitlesThatOnlyMentionASurface(t *testing.T) {
	at := func(title string) int {
		text := strings.Replace(string(pieceOf("flat", "ground, silicon carbide F80", "matte", onIron("silicon carbide F220"))), "surfaces:\n",
			"surfaces:\n  - {name: rim, shape: ring, area: 20 cm², from: as cast, to: matte}\n", 1)
		before, behind, found := strings.Cut(text, "## ")
		assert.True(t, found)
		_, behind, _ = strings.Cut(behind, "\n")
		_, checked := findings(trade.BuiltIn(), "piece.md", []byte(before+"## "+title+"\n"+behind))
		return len(of(checked, "another-surface-told"))
	}
	for _, title := range []string{"Rim, next grit", "Grind the rim down", "Next grit on the rim", "Rim, and mind the bowl", "Smooth the rim, last grit", "Last grit, rim"} {
		assert.Equal(t, 1, at(title), title)
	}
	for _, title := range []string{
		"Face, clear of the rim", "Rest it on its rim, next grit", "Lay it on the rim and go on", "Turn it over, rim down", "Rim up, next grit", "Finer, and never over the rim", "Next grit, not on the rim",
		"Mind the rim", "Watch the rim", "Same again, as on the rim", "Make it as true as the rim", "Second grit (the rim comes later)", "Next grit, rim untouched", "Leave the rim, do the face",
		"Hold it by the rim", "Down to the rim", "Flatten it to meet the rim", "Keep off the rim",
	} {
		assert.Zero(t, at(title), title)
	}
}

// An iron wheel on the lathe, fed with wet grit, is the old way to rough a cut; an iron
// lap lies flat. Common practice of cutters.
func TestAnIronWheelRoughsACut(t *testing.T) {
	for medium, want := range map[string]int{"iron wheel, 350 mm": 0, "steel wheel, 350 mm": 0, "iron lap, 350 mm": 1} {
		_, checked := findings(trade.BuiltIn(), "piece.md", pieceOf("facets", "fire polished", "matte", loose("silicon carbide F120", medium, "lathe at 300 rpm", "cream")))
		assert.Len(t, of(checked, "medium-does-not-reach"), want, medium)
		assert.Empty(t, lines(t, of(checked, "rim-speed-out-of-range")), medium)
	}
}

// One speed that is too high for every pad on a machine is one finding with its places.
func TestOneSpeedForManyPadsIsToldOnce(t *testing.T) {
	pad := func(grade, rpm string) string {
		return tool("resin diamond pad "+grade+", 100 mm", "hand-held air polisher at "+rpm+" rpm")
	}
	_, checked := findings(trade.BuiltIn(), "piece.md", pieceOf("edge", "fused", "matte", pad("60 mesh", "4500"), pad("120 mesh", "4500"), pad("200 mesh", "4500"), pad("400 mesh", "5000")))
	list := of(checked, "rim-speed-out-of-range")
	assert.Len(t, list, 2, lines(t, list))
	assert.Len(t, list[0].Also, 2)
	assert.Contains(t, list[0].Message, "The pads of steps 1, 2 and 3, 100 mm at 4500 rpm, run at 23.6 m/s at the rim.")
	assert.Contains(t, list[1].Message, "The pad of step 4, 100 mm at 5000 rpm, runs at ")
}

// Pads are sold as 150 mesh too, between 140 and 170. A cork belt that leaves too
// little of a shine is first of all given longer.
func TestPadsOfOneFiftyAndABeltTooShort(t *testing.T) {
	read, _ := findings(trade.BuiltIn(), "piece.md", pieceOf("flat", "fused", "matte", tool("resin diamond pad 150 mesh, 300 mm", onLap)))
	assert.Empty(t, lines(t, read))
	_, checked := findings(trade.BuiltIn(), "piece.md", pieceOf("edge", "ground, silicon carbide F400", "satin", timed("1 min", loose("pumice 2F", "cork belt", "wet belt at 5 m/s", "paste"))))
	list := of(checked, "finish-not-reached")
	assert.Len(t, list, 1, lines(t, checked))
	assert.Contains(t, list[0].Help, "Give step 1 longer; or missing is ")
}
