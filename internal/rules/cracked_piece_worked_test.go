package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/check"
	"coldwright/internal/diag"
)

// A crack is shown to somebody who decides; chips, bruises and the cracks that a
// grain leaves under a ground face are ground out: common practice.
func TestCrackedPiecesAreNotWorkedOn(t *testing.T) {
	for sentence, found := range map[string]bool{
		"A small crack may be ground out.":                               true,
		"Grind past the crack.":                                          true,
		"Cracks under 5 mm are fine.":                                    true,
		"If the piece has a crack, grind on.":                            true,
		"Small cracks can be ground out on the belt.":                    true,
		"Hairline cracks do not matter.":                                 true,
		"A crack shorter than 5 mm is no reason to stop.":                true,
		"Work the crack out with the 60.":                                true,
		"Sand the crack away.":                                           true,
		"Carry on if a crack shows.":                                     true,
		"Take the rim down past the crack.":                              true,
		"Ignore cracks at the edge.":                                     true,
		"If it cracks, keep grinding and see.":                           true,
		"A cracked piece may still be polished.":                         true,
		"Saw round the crack.":                                           true,
		"Cracks up to 3 mm are acceptable.":                              true,
		"A short crack at the rim is no problem, grind it away.":         true,
		"Short cracks in the rim are ground away on the 60.":             true,
		"Polish the cracked piece.":                                      true,
		"When a crack runs in from the edge, go on with light pressure.": true,
		"Grind until you are through the crack.":                         true,
		"A crack can be taken out with the 120.":                         true,
		"Chase the crack with the 80.":                                   true,
		"A hairline crack will not hurt; press on.":                      true,
		"Do not stop for a small crack.":                                 true,
		"Never mind the crack in the foot.":                              true,
		"Grind until the crack is gone.":                                 true,
		"There is no need to stop for a crack.":                          true,

		"Work slowly at the end, or a crack runs back into the face.":                       false,
		"Take the piece away if it cracks.":                                                 false,
		"If it cracks, carry on with the next piece.":                                       false,
		"If no crack shows, go on.":                                                         false,
		"No crack? Go on with the 220.":                                                     false,
		"When the cracks are gone, go on.":                                                  false,
		"Once the cracks are out, carry on to the finer pad.":                               false,
		"Ignore the crackle in the glass.":                                                  false,
		"A crack that is ground on will run.":                                               false,
		"A crack that is polished over opens again in the window.":                          false,
		"Grinding past a crack breaks the piece.":                                           false,
		"Do not grind past the crack.":                                                      false,
		"A crack may not be ground out.":                                                    false,
		"Only chips may be ground out, not cracks.":                                         false,
		"See whether a crack can be ground out.":                                            false,
		"In spring a crack was ground out and the bowl broke.":                              false,
		"Grind past the chip and watch that no crack starts.":                               false,
		"Grind until the cracks are gone.":                                                  false,
		"Fine cracks are no problem here, the resin pad takes them.":                        false,
		"Polish over the edge lightly; pressed hard it cracks.":                             false,
		"Run water over the spot or it cracks.":                                             false,
		"Take it off the lap at once when it cracks and put it aside.":                      false,
		"Bruises can be ground out.":                                                        false,
		"Bin a cracked wheel, never use it.":                                                false,
		"Dress the wheel, then look for a crack in the bond.":                               false,
		"Cracked pieces go to the cullet.":                                                  false,
		"A cracked piece is not ground.":                                                    false,
		"Do not go on if the rim is cracked.":                                               false,
		"Saw off the cracked end, 10 mm past it, as the lead has marked.":                   false,
		"A crack stays a crack: polishing does not close it.":                               false,
		"If a crack shows, stop and ask the studio lead.":                                   false,
		"Stop at any crack.":                                                                false,
		"A crack is never ground out.":                                                      false,
		"Never grind past a crack.":                                                         false,
		"Grind until the cracks of the saw are gone.":                                       false,
		"The cracks that F80 leaves under the pits come off here.":                          false,
		"Work until the fine cracks of the last grade are out.":                             false,
		"Chips and bruises may be ground out; a crack may not.":                             false,
		"Look for cracks with the lamp before you start.":                                   false,
		"Without water it cracks.":                                                          false,
		"Wet hands crack; cream them.":                                                      false,
		"A crack in the wax lets slurry in; wax again.":                                     false,
		"If it cracks, that is the end of the piece: tell the lead.":                        false,
		"The lead decides whether a crack may be ground out.":                               false,
		"The lead has seen the crack in the foot and has had it marked: grind to the mark.": false,
		"Open the door a crack and look at the tank.":                                       false,
		"Crackle in the glass is part of the work.":                                         false,
		"Cracked belts go in the bin.":                                                      false,
		"Cracks can be worked through if they are short.":                                   true,
		"It is all right to grind a cracked piece.":                                         true,
		"If there is a crack, work round it.":                                               true,
		"Just grind the crack off.":                                                         true,
		"Cracks of less than 5 mm are not a fault; continue.":                               true,
		"Where it is cracked, press less and go on.":                                        true,
		"A hairline crack polishes out.":                                                    true,
		"Cracks smaller than a fingernail may stay.":                                        true,
		"Should a crack appear, keep on grinding gently.":                                   true,
		"You can grind a small crack away.":                                                 true,
		"Small cracks are removed with the 60 disc.":                                        true,
		"The crack in the foot is ground away here.":                                        true,
		"Grind away cracks up to 5 mm.":                                                     true,
		"We don't bother about small cracks.":                                               true,
		"A crack in the rim is tolerable.":                                                  true,
		"Grind the rim until the crack has disappeared.":                                    true,
		"Work over the crack with a light hand.":                                            true,
		"Cracks cannot be ground out.":                                                      false,
		"Cracks may not be polished away, they run on.":                                     false,
		"It is not right to grind a cracked piece.":                                         false,
		"Is it right to grind a cracked piece? No.":                                         false,
		"A crack does not polish out.":                                                      false,
		"A crack never stays where it is.":                                                  false,
		"The crack in the old foot was left and the bowl split.":                            false,
		"No crack may stay.":                                                                false,
		"A crack may not be left.":                                                          false,
		"Worry about small cracks: show them.":                                              false,
		"A crack is no small matter; show it to the lead.":                                  false,
		"Chips are no problem, cracks are.":                                                 false,
		"Do not work round it when a crack shows, stop.":                                    false,
	} {
		for where, text := range map[string]string{
			"order": ordering(piece{}, lapStep, sentence),
			"lead":  ordering(piece{lead: sentence}, lapStep, "Slowly."),
			"notes": ordering(piece{}, lapStep, "Slowly.") + "# Notes\n\n" + sentence + "\n",
		} {
			list := check.Run(contextOf(t, "", text), []check.Rule{crackedWorked})
			if !found {
				assert.Empty(t, list, "%s: %s", where, sentence)
				continue
			}
			if assert.Len(t, list, 1, "%s: %s", where, sentence) {
				assert.Equal(t, diag.Error, list[0].Severity)
			}
		}
	}
}
