package rules_test

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/rules"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// Whole houses of their own: a flat shop that counts in inches, a cutting room for
// lead crystal, an optical bench, a yard that works large castings by hand; and, full of
// warnings, history and asides, a shop without a file of its own, a glass yard, a hall of
// cutters and a bench for instruments. All of it stands without a finding above a note; what a lead has overruled says so.
func TestSoundHousesAreLeftAlone(t *testing.T) {
	count := 0
	for _, name := range []string{"flat", "cutting", "optical", "casting", "bare", "lakeside", "hall", "valley"} {
		dir := testkit.Data(t, "houses", name)
		h := trade.BuiltIn()
		if name != "bare" {
			h = houseIn(t, dir)
		}
		assert.Empty(t, rules.CheckHouse(h))
		for _, path := range testkit.Files(t, dir, "*.md") {
			count++
			t.Run(name+"/"+filepath.Base(path), func(t *testing.T) {
				read, checked := findings(h, filepath.Base(path), testkit.Read(t, path))
				assert.Empty(t, lines(t, worseThanNote(append(read, checked...))))
			})
		}
	}
	assert.GreaterOrEqual(t, count, 32)
}

// Small water-fed pads and felts run faster in the hand than large ones on a lap
// (common practice): π · 100 mm · 1200 rpm are 6.28 m/s, 2500 rpm 13.1 m/s and 4500 rpm 23.6 m/s.
func TestASmallPadInTheHandRunsFaster(t *testing.T) {
	for machine, want := range map[string]int{
		"hand-held air polisher at 1200 rpm": 0,
		"hand-held air polisher at 2500 rpm": 0,
		"hand-held air polisher at 4500 rpm": 1,
		"lathe at 1200 rpm":                  1,
	} {
		_, checked := findings(trade.BuiltIn(), "piece.md", pieceOf("edge", "fused", "matte", tool("resin diamond pad 200 mesh, 100 mm", machine)))
		assert.Len(t, of(checked, "rim-speed-out-of-range"), want, machine)
	}
}

// On pitch the figure is polished, not only the shine: nobody puts pumice on felt
// between a fine grind and a pitch lap (common practice of the optical bench).
func TestNoPumiceIsAskedForBeforePitch(t *testing.T) {
	polish := func(medium, mix string) []byte {
		return pieceOf("flat", "ground, silicon carbide F600", "optical polish",
			timed("280 min", loose("cerium oxide 1.5 µm", medium, "flat lap, 300 mm at 100 rpm", mix)))
	}
	_, checked := findings(trade.BuiltIn(), "piece.md", polish("felt pad, hard, 300 mm", "cream"))
	require.Len(t, of(checked, "prepolish-would-save"), 1, lines(t, checked))
	_, checked = findings(trade.BuiltIn(), "piece.md", polish("pitch lap, 300 mm", "milk"))
	assert.Empty(t, lines(t, of(checked, "prepolish-would-save")))
}

// Copper wheels go from a pin's head upwards, are fed with emery and oil and follow
// a relief; a wheel of cork does not (common practice of engravers).
func TestACopperWheelDrawsARelief(t *testing.T) {
	engraved := func(medium, mix string) []byte {
		return pieceOf("relief", "fire polished", "matte", loose("emery F220", medium, "lathe at 900 rpm", mix))
	}
	_, checked := findings(trade.BuiltIn(), "piece.md", engraved("copper wheel, 40 mm", "paste"))
	for _, rule := range []string{"medium-does-not-reach", "mix-does-not-suit"} {
		assert.Empty(t, lines(t, of(checked, rule)))
	}
	_, checked = findings(trade.BuiltIn(), "piece.md", pieceOf("relief", "fire polished", "satin", pumiced("2F", "cork wheel, 200 mm", "lathe at 400 rpm")))
	assert.Len(t, of(checked, "medium-does-not-reach"), 1)
}

// What is said of damage says too that the face is not yet true, and then it is the
// coarse step that goes on; with the stock said by its own rule it is said once.
func TestAFaceNotYetTrueIsToldOnce(t *testing.T) {
	text := pieceOf("flat", "as cast, uneven 1 mm", "matte",
		tool("plated diamond disc 60 mesh, 300 mm", "flat lap, 300 mm at 250 rpm", "Time: 1 min"), tool("plated diamond disc 140 mesh, 300 mm", "flat lap, 300 mm at 250 rpm", "Time: 1 min"))
	_, checked := findings(trade.BuiltIn(), "piece.md", text)
	list := of(checked, "damage-not-cleared")
	require.Len(t, list, 1, lines(t, checked))
	assert.Contains(t, list[0].Message, "mm still to come off before it is true.")
	assert.Contains(t, list[0].Help, "Go on with step 1 for about ")

	text = pieceOf("flat", "as cast, uneven 1 mm", "matte",
		tool("silicon carbide belt P120", "wet belt at 5 m/s", "Time: 1 min"), tool("silicon carbide belt P280", "wet belt at 5 m/s", "Time: 1 min"))
	_, checked = findings(trade.BuiltIn(), "piece.md", text)
	assert.Len(t, of(checked, "stock-left"), 1, lines(t, checked))
	assert.Empty(t, lines(t, of(checked, "damage-not-cleared")))
}

// Whoever comes from an 800 mesh resin pad is not sent to a 325 mesh one, nor to
// the pumice that is there already.
func TestTheWayOutIsFinerThanWhatWasThere(t *testing.T) {
	dir := testkit.Data(t, "houses", "casting")
	text := string(testkit.Read(t, filepath.Join(dir, "vessel.md")))
	for _, s := range [][2]string{{"area: 90 cm²", "area: 300 cm²"}, {"Time: 90 min", "Time: 20 min"}, {"Time: 45 min", "Time: 5 min"}} {
		require.Contains(t, text, s[0])
		text = strings.Replace(text, s[0], s[1], 1)
	}
	_, checked := findings(houseIn(t, dir), "vessel.md", []byte(text))
	list := append(of(checked, "damage-not-cleared"), of(checked, "shines-but-pits-left")...)
	require.Len(t, list, 1, lines(t, checked))
	assert.Contains(t, list[0].Help, "A finer grain before it than step 11; or ")
	assert.NotContains(t, list[0].Help, "325 mesh")
	assert.NotContains(t, list[0].Help, "umice")
}

// Seven ends waxed in one block share the force and the minutes.
func TestMinutesForSeveralPiecesMayBeForThemAll(t *testing.T) {
	text := string(pieceOf("flat", "ground, silicon carbide F220", "matte", timed("20 min", onIron("silicon carbide F400")), timed("75 min", onIron("silicon carbide F600"))))
	_, checked := findings(trade.BuiltIn(), "piece.md", []byte(text))
	require.Len(t, of(checked, "minutes-far-off"), 1, lines(t, checked))
	_, checked = findings(trade.BuiltIn(), "piece.md", []byte(strings.Replace(text, "40 mm, mould", "40 mm, count: 7, mould", 1)))
	assert.Empty(t, lines(t, of(checked, "minutes-far-off")))
}
