package rules_test

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

// modelRules are those that speak from the model of what a step does.
var modelRules = []string{"damage-not-cleared", "shines-but-pits-left", "finish-not-reached", "stock-left"}

// byModel are the findings of the model's rules.
func byModel(list diag.List) (out diag.List) {
	for _, d := range list {
		for _, id := range modelRules {
			if d.Rule == id {
				out.Add(d)
			}
		}
	}
	return out
}

// What anybody at the bench would mark in the margin, with the minutes usual for
// each step: common practice. None may stop a print while the numbers are the
// built-in ones.
func TestWhatTheTradeWouldMarkIsFound(t *testing.T) {
	pumice, cerium := timed("10 min", pumiced("2F", felt, onLap)), timed("8 min", ceriumed(holed, onLap))
	belt := timed("10 min", tool("silicon carbide belt P220", "wet belt at 5 m/s"))
	byHand := func(minutes, grain string) string {
		return timed(minutes, loose(grain, "plate glass, 400 mm", "by hand", "cream"))
	}
	for _, c := range []struct {
		fact string
		text []byte
	}{
		{"pumice on a sawn face", pieceOf("flat", sawn, "bright polish", pumice, cerium)},
		{"pumice after a plated 60 disc", pieceOf("flat", sawn, "bright polish", timed("10 min", tool("plated diamond disc 60 mesh, 300 mm", onLap)), pumice, cerium)},
		{"pumice after loose 80", pieceOf("flat", sawn, "bright polish", timed("15 min", onIron("silicon carbide F80")), pumice, cerium)},
		{"cerium after a belt P220", pieceOf("edge", "fused", "bright polish", belt, timed("10 min", ceriumed("felt belt", "wet belt at 4 m/s")))},
		{"cerium after a plated 500 disc", pieceOf("flat", "fused", "bright polish", timed("20 min", tool("plated diamond disc 500 mesh, 300 mm", onLap)), cerium)},
		{"cerium on a sawn face for an optic", pieceOf("flat", sawn, "optical polish", cerium)},
		{"two minutes by hand on a large back", []byte(strings.Replace(string(pieceOf("flat", "ground, silicon carbide F80", "matte", byHand("2 min", "silicon carbide F220"))), "area: 96 cm²", "area: 450 cm²", 1))},
		{"a saw and then the finest grit", pieceOf("flat", sawn, "fine matte", timed("8 min", onIron("silicon carbide F600")))},
		{"a belt of no written time, and cerium on a flat lap", pieceOf("flat", "fused", "bright polish", tool("silicon carbide belt P220", "wet belt at 5 m/s"), cerium)},
	} {
		t.Run(c.fact, func(t *testing.T) {
			read, checked := findings(trade.BuiltIn(), "piece.md", c.text)
			require.Empty(t, lines(t, worseThanNote(read)))
			found := byModel(checked)
			assert.NotEmpty(t, worseThanNote(found), "must be found:\n%s", lines(t, found))
			for _, d := range found {
				assert.LessOrEqual(t, d.Severity, diag.Warning, d.Message)
				wellWritten(t, d)
			}
		})
	}
}

// What the house has measured itself may stop a print: the same step and the
// same minutes, once by the built-in numbers and once by the house's.
func TestWhatTheHouseMeasuredWeighsMore(t *testing.T) {
	const stock = "stock:\n  R600: {abrasive: resin diamond pad, grade: 600 mesh, diameter: 300 mm}\n  CE: {abrasive: cerium oxide, grade: 1.5 µm}\n"
	const measured = "measured:\n  - {stock: R600, damage: 9 µm, dated: 2026-01-10}\n  - {stock: CE, rate: 0.2 µm/min, area: 96 cm², dated: 2026-01-10}\n"
	text := pieceOf("flat", "ground, silicon carbide F600", "optical polish", timed("60 min", tool("R600", onLap)), timed("8 min", loose("CE", holed, onLap, "cream")))
	severity := func(shop string) diag.Severity {
		_, checked := findings(laid(t, shop), "piece.md", text)
		list := of(checked, "damage-not-cleared")
		require.Len(t, list, 1, lines(t, checked))
		return list[0].Severity
	}
	assert.Equal(t, diag.Warning, severity(stock), "by the built-in numbers")
	assert.Equal(t, diag.Error, severity(stock+measured), "by the house's own")
	half := "measured:\n  - {stock: CE, rate: 0.2 µm/min, area: 96 cm², dated: 2026-01-10}\n"
	assert.Equal(t, diag.Warning, severity(stock+half), "how deep it goes is still a guess")
}

// A stop that is no finish asks nothing, and an arris by hand gets no finding.
func TestTheModelKeepsStill(t *testing.T) {
	for name, text := range map[string][]byte{
		"seamed":               pieceOf("arris", sawn, "seamed", timed("1 min", seamed("silicon carbide paper P400"))),
		"removed":              pieceOf("flat", "as cast", "removed", timed("1 min", onIron("silicon carbide F600"))),
		"arris by hand":        pieceOf("arris", sawn, "bright polish", timed("1 min", seamed("silicon carbide paper P400")), timed("1 min", loose("cerium oxide 1.5 µm", "felt block", "by hand", "cream"))),
		"pumice on a hard lap": pieceOf("flat", sawn, "lustre", timed("5 min", loose("pumice 2F", plate, onLap, "mud"))),
	} {
		_, checked := findings(trade.BuiltIn(), "piece.md", text)
		assert.Empty(t, lines(t, byModel(checked)), name)
	}
}

// Where nobody wrote an area or a machine the usual ones serve, and what is said
// by them is a note that says so.
func TestWhatNobodyWroteMakesANoteAtMost(t *testing.T) {
	whole := string(pieceOf("flat", sawn, "matte", timed("8 min", onIron("silicon carbide F600"))))
	_, checked := findings(trade.BuiltIn(), "piece.md", []byte(whole))
	require.Len(t, of(checked, "stock-left"), 1, lines(t, checked))
	assert.Equal(t, diag.Warning, of(checked, "stock-left")[0].Severity)
	noMachine := regexp.MustCompile(`(?m)^- Machine: .*\n`).ReplaceAllString(whole, "")
	for name, c := range map[string]struct{ text, help string }{
		"no area":    {strings.Replace(whole, "area: 96 cm², ", "", 1), "the area of the face ("},
		"no machine": {noMachine, "its machine (flat lap)"},
	} {
		require.NotEqual(t, whole, c.text, name)
		_, checked := findings(trade.BuiltIn(), "piece.md", []byte(c.text))
		found := of(checked, "stock-left")
		require.Len(t, found, 1, "%s: %s", name, lines(t, checked))
		assert.Equal(t, diag.Note, found[0].Severity, name)
		assert.Contains(t, found[0].Help, c.help, name)
	}
}

// Common practice: a brush or pumice brings a sheen over whatever it is given,
// and the lines of a saw show under it. A blast or a grind in between takes them
// out.
func TestSawMarksUnderASheenAreFound(t *testing.T) {
	brush := timed("15 min", loose("pumice 2F", "horsehair brush wheel, 150 mm", "lathe at 450 rpm", "mud"))
	wheel := timed("20 min", tool("metal diamond wheel 270 mesh, 200 mm", "lathe at 700 rpm"))
	for name, c := range map[string]struct {
		text []byte
		rule string
	}{
		"a curved face, sawn and brushed": {pieceOf("convex", sawn, "satin", brush), "damage-not-cleared"},
		"a flat, sawn and brushed":        {pieceOf("ring", sawn, "satin", brush), "stock-left"},
		"with coarse pumice":              {pieceOf("ring", sawn, "satin", strings.Replace(brush, "2F", "1", 1)), "stock-left"},
		"ground between":                  {pieceOf("convex", sawn, "satin", wheel, brush), ""},
		"a texture that is kept":          {pieceOf("convex", "sandblasted, aluminium oxide F220", "satin", brush), ""},
	} {
		read, checked := findings(trade.BuiltIn(), "piece.md", c.text)
		require.Empty(t, lines(t, worseThanNote(read)), name)
		var said []string
		for _, d := range byModel(checked) {
			if d.Severity >= diag.Warning {
				said = append(said, d.Rule)
				wellWritten(t, d)
			}
		}
		if c.rule == "" {
			assert.Empty(t, said, "%s: %s", name, lines(t, checked))
		} else {
			assert.Equal(t, []string{c.rule}, said, "%s: %s", name, lines(t, checked))
		}
	}
}

// A finding gives the damage with its range and two figures, says where it comes
// from, what the step takes off, and both ways out.
func TestAFindingOfTheModelIsWhole(t *testing.T) {
	text := pieceOf("flat", "ground, silicon carbide F400", "optical polish", timed("20 min", tool("resin diamond pad 600 mesh, 300 mm", onLap)), timed("8 min", ceriumed(holed, onLap)))
	_, checked := findings(trade.BuiltIn(), "piece.md", text)
	list := of(checked, "damage-not-cleared")
	require.Len(t, list, 1, lines(t, checked))
	assert.Regexp(t, `^The face comes to step 2 with about [0-9.]+ µm of damage \([0-9.]+ to [0-9.]+\), from the .+ of step 1\. Eight minutes of cerium oxide take off about [0-9.]+ µm\.$`, list[0].Message)
	assert.Regexp(t, `^Pumice 2F on a felt pad between them, about [0-9.]+ min; or [0-9.]+ min of cerium oxide here\.$`, list[0].Help)
	assert.Empty(t, of(checked, "finish-not-reached"), "one cause is one finding")
	assert.Empty(t, of(checked, "prepolish-would-save"))
}

// Whoever writes the minutes a finding asks for has cleared it: 25 of 25.3
// would not do.
func TestTheMinutesAskedForSuffice(t *testing.T) {
	asked := regexp.MustCompile("Write ([0-9.]+) min of")
	tried := 0
	for minutes := 2; minutes < 25; minutes++ {
		work := func(minutes string) diag.List {
			_, list := findings(trade.BuiltIn(), "piece.md", pieceOf("flat", "ground, silicon carbide F220", "matte",
				timed(minutes+" min", loose("silicon carbide F400", "glass plate", "by hand", "cream"))))
			return only(list, "damage-not-cleared")
		}
		for _, d := range work(strconv.Itoa(minutes)) {
			m := asked.FindStringSubmatch(d.Help)
			require.NotNil(t, m, d.Help)
			assert.Empty(t, work(m[1]), "%d min, then %s", minutes, m[1])
			tried++
		}
	}
	assert.Positive(t, tried)
}

// A saw that is said to work all surfaces makes the faces and not the arris: the
// way out is to name the faces, and no other machine.
func TestAllSurfacesOfASaw(t *testing.T) {
	text := strings.Replace(string(pieceOf("flat", "sawn", "matte",
		stepOf("Saw it out", "Surface: all", "Abrasive: metal diamond blade, 350 mm", "Machine: wet saw at 1400 rpm", "Water: flood"))),
		"surfaces:\n", "surfaces:\n  - {name: edges, shape: arris, length: 400 mm, width: 1 mm, from: new, to: seamed}\n", 1)
	_, list := findings(trade.BuiltIn(), "piece.md", []byte(text))
	list = only(list, "machine-does-not-reach")
	require.Len(t, list, 1)
	assert.Equal(t, "Write `Surface: face` if those are all it works.", list[0].Help)
}

// only are the findings of one rule.
func only(list diag.List, rule string) (out diag.List) {
	for _, d := range list {
		if d.Rule == rule {
			out = append(out, d)
		}
	}
	return out
}
