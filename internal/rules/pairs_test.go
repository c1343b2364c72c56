package rules_test

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/rules"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// tool is a working step with a bonded or coated tool.
func tool(abrasive, machine string, more ...string) string {
	return stepOf("Work the face with "+abrasive, append([]string{"Surface: face", "Abrasive: " + abrasive, "Machine: " + machine, "Water: drip", "Clean-down: wash everything"}, more...)...)
}

// swap is a step with one line written otherwise, or left out.
func swap(step, old, new string) string {
	if new == "" {
		return strings.Replace(step, "- "+old+"\n", "", 1)
	}
	return strings.Replace(step, old, new, 1)
}

const (
	sawn   = "sawn, diamond 100 mesh"
	ground = "ground, silicon carbide F400"
)

// titled is a step with another title.
func titled(title, step string) string {
	_, rest, _ := strings.Cut(step, "\n")
	return "## " + title + "\n" + rest
}

// timed is a step with its time.
func timed(minutes, step string) string {
	return strings.Replace(step, "- Water:", "- Time: "+minutes+"\n- Water:", 1)
}

func onIron(grain string) string { return loose(grain, plate, onLap, "cream") }

func pumiced(grade, medium, machine string) string {
	return loose("pumice "+grade, medium, machine, "mud")
}

func ceriumed(medium, machine string) string {
	return loose("cerium oxide 1.5 µm", medium, machine, "cream")
}

// Pairs of recipes of common practice: what the one does wrong the other does
// right. severity is that of the finding.
func TestPairs(t *testing.T) {
	bright := func(from string, steps ...string) []byte {
		return pieceOf("flat", from, "bright polish", append(steps, pumiced("2F", cork, onLap), ceriumed(holed, onLap))...)
	}
	// Cerium for so long that by its minutes it clears whatever it is handed.
	bare := func(shape string, steps ...string) []byte {
		return pieceOf(shape, "fire polished", "bright polish", steps...)
	}
	cases := []struct {
		fact, rule string
		severity   diag.Severity
		wrong      []byte
		right      []byte
	}{
		// What a step takes off of what it is handed.
		{
			"a saw mark does not come out under pumice; the plate takes it off", "stock-left", diag.Warning,
			bright(sawn), bright(sawn, timed("40 min", onIron("silicon carbide F120")), timed("12 min", onIron("silicon carbide F400"))),
		},
		{
			"nor do the marks of a 60 disc; those of a 325 resin pad do", "damage-not-cleared", diag.Warning,
			bright("fused", timed("10 min", tool("plated diamond disc 60 mesh, 300 mm", onLap))),
			bright("fused", timed("10 min", tool("plated diamond disc 60 mesh, 300 mm", onLap)), timed("15 min", tool("plated diamond disc 270 mesh, 300 mm", onLap)), timed("15 min", tool("resin diamond pad 325 mesh, 300 mm", onLap))),
		},
		{
			"nor those of loose 80, though it shines; those of loose 600 do", "shines-but-pits-left", diag.Warning,
			bright("fused", timed("10 min", onIron("silicon carbide F80"))),
			bright("fused", timed("10 min", onIron("silicon carbide F80")), timed("15 min", onIron("silicon carbide F220")), timed("15 min", onIron("silicon carbide F400")), timed("15 min", onIron("silicon carbide F600"))),
		},
		{
			"a grade is worked until the last one is gone, on a matte face too", "damage-not-cleared", diag.Warning,
			pieceOf("flat", "fused", "matte", timed("10 min", onIron("silicon carbide F80")), timed("1 min", onIron("silicon carbide F400"))),
			pieceOf("flat", "fused", "matte", timed("10 min", onIron("silicon carbide F80")), timed("15 min", onIron("silicon carbide F220")), timed("10 min", onIron("silicon carbide F400"))),
		},
		{
			"pumice on a brush keeps what lies under a satin", "damage-not-cleared", diag.Warning,
			pieceOf("convex", "fire polished", "satin", timed("20 min", tool("metal diamond wheel 60 mesh, 200 mm", onLathe)), timed("0.2 min", tool("metal diamond wheel 270 mesh, 200 mm", onLathe)), timed("20 min", pumiced("2F", brush, onLathe))),
			pieceOf("convex", "fire polished", "satin", timed("5 min", tool("metal diamond wheel 270 mesh, 200 mm", onLathe)), timed("20 min", pumiced("2F", brush, onLathe))),
		},
		{
			"a plated 500 disc is fine enough by its number alone", "damage-not-cleared", diag.Warning,
			pieceOf("flat", "fused", "bright polish", timed("20 min", tool("plated diamond disc 500 mesh, 300 mm", onLap)), timed("10 min", ceriumed(holed, onLap))),
			pieceOf("flat", "fused", "bright polish", timed("90 min", tool("resin diamond pad 600 mesh, 300 mm", onLap)), timed("20 min", pumiced("2F", felt, onLap)), timed("10 min", ceriumed(holed, onLap))),
		},
		{
			"it shines before the pits are gone", "shines-but-pits-left", diag.Note,
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", timed("6 min", pumiced("2F", felt, onLap)), timed("8 min", ceriumed(holed, onLap))),
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", timed("15 min", pumiced("2F", felt, onLap)), timed("12 min", ceriumed(holed, onLap))),
		},
		{
			"five hours where six minutes do is a slip of the pen", "minutes-far-off", diag.Note,
			pieceOf("flat", "ground, silicon carbide F220", "matte", timed("10 min", onIron("silicon carbide F400")), timed("300 min", onIron("silicon carbide F600"))),
			pieceOf("flat", "ground, silicon carbide F220", "matte", timed("10 min", onIron("silicon carbide F400")), timed("12 min", onIron("silicon carbide F600"))),
		},
		{
			"the ridges of a 60 disc wear a fine resin pad; two middle discs save it", "pad-worn-by-coarse-marks", diag.Warning,
			pieceOf("flat", "fused", "fine matte", timed("20 min", tool("plated diamond disc 60 mesh, 300 mm", onLap)), timed("90 min", tool("resin diamond pad 325 mesh, 300 mm", onLap))),
			pieceOf("flat", "fused", "fine matte", timed("20 min", tool("plated diamond disc 60 mesh, 300 mm", onLap)), timed("20 min", tool("plated diamond disc 140 mesh, 300 mm", onLap)),
				timed("20 min", tool("plated diamond disc 270 mesh, 300 mm", onLap)), timed("30 min", tool("resin diamond pad 325 mesh, 300 mm", onLap))),
		},
		{
			"cerium straight from a resin pad costs the minutes pumice would save", "prepolish-would-save", diag.Note,
			pieceOf("flat", "ground, resin diamond 325 mesh", "bright polish", timed("90 min", ceriumed(holed, onLap))),
			pieceOf("flat", "ground, resin diamond 325 mesh", "bright polish", timed("20 min", pumiced("2F", felt, onLap)), timed("10 min", ceriumed(holed, onLap))),
		},

		// Coarse after fine from one lap class to another.
		{
			"nobody takes a 60 disc after a resin pad", "grade-goes-backwards", diag.Error,
			pieceOf("flat", "fused", "matte", onIron("silicon carbide F220"), tool("plated diamond disc 60 mesh, 300 mm", onLap)),
			pieceOf("flat", "fused", "matte", tool("plated diamond disc 60 mesh, 300 mm", onLap), onIron("silicon carbide F220")),
		},
		{
			"nor loose 220 after a resin 600", "grade-goes-backwards", diag.Error,
			pieceOf("flat", "fused", "matte", tool("resin diamond pad 600 mesh, 300 mm", onLap), onIron("silicon carbide F220")),
			pieceOf("flat", "fused", "matte", tool("resin diamond pad 325 mesh, 300 mm", onLap), onIron("silicon carbide F400")),
		},
		{
			"a plate that goes over the last belt lines may be a little coarser", "grade-goes-backwards", diag.Error,
			pieceOf("flat", "fused", "matte", onIron("silicon carbide F400"), tool("silicon carbide belt P80", "wet belt at 5 m/s")),
			pieceOf("flat", "fused", "matte", tool("silicon carbide belt P400", "wet belt at 5 m/s"), onIron("silicon carbide F220")),
		},
		{
			"no disc comes after the pumice", "grade-goes-backwards", diag.Error,
			pieceOf("flat", ground, "bright polish", pumiced("2F", cork, onLap), tool("resin diamond pad 600 mesh, 300 mm", onLap), ceriumed(holed, onLap)),
			pieceOf("flat", ground, "bright polish", pumiced("2F", cork, onLap), swap(tool("resin diamond pad 600 mesh, 300 mm", onLap), "Surface: face", "Surface: face (rework: a line shows)"), ceriumed(holed, onLap)),
		},

		// What the last grind leaves.
		{
			"a saw leaves no satin", "finish-not-reached", diag.Warning,
			pieceOf("flat", "as cast", "satin", tool("metal diamond blade, 250 mm", "wet saw at 1400 rpm")),
			pieceOf("flat", "as cast", "matte", tool("metal diamond blade, 250 mm", "wet saw at 1400 rpm")),
		},
		{
			"no stop that asks for a polish is reached without one", "finish-not-reached", diag.Error,
			pieceOf("concave", "fire polished", "bright polish", tool("metal diamond wheel 270 mesh, 200 mm", onLathe)),
			pieceOf("concave", "fire polished", "matte", tool("metal diamond wheel 270 mesh, 200 mm", onLathe)),
		},

		{
			"cerium does not follow a belt P220 on a narrow edge; it follows P400", "cerium-on-a-coarse-grind", diag.Warning,
			bare("edge", tool("silicon carbide belt P220", "wet belt at 5 m/s"), timed("60 min", ceriumed("felt belt", "wet belt at 4 m/s"))),
			bare("edge", tool("silicon carbide belt P400", "wet belt at 5 m/s"), timed("60 min", ceriumed("felt belt", "wet belt at 4 m/s"))),
		},
		{
			"a plated 500 is coarser than its number, a resin 325 finer", "cerium-on-a-coarse-grind", diag.Warning,
			bare("facets", tool("plated diamond wheel 500 mesh, 150 mm", onLathe), timed("60 min", ceriumed("felt wheel, 200 mm", onLathe))),
			bare("facets", tool("resin diamond wheel 325 mesh, 150 mm", onLathe), timed("60 min", ceriumed("felt wheel, 200 mm", onLathe))),
		},
		{
			"after a 270 wheel comes pumice, then cerium", "cerium-on-a-coarse-grind", diag.Warning,
			bare("concave", tool("metal diamond wheel 270 mesh, 200 mm", onLathe), timed("60 min", ceriumed("felt wheel, 200 mm", onLathe))),
			bare("concave", tool("metal diamond wheel 270 mesh, 200 mm", onLathe), pumiced("2F", "cork wheel, 200 mm", onLathe), timed("60 min", ceriumed("felt wheel, 200 mm", onLathe))),
		},

		// What is written twice, and what fits no piece.
		{
			"the third disc is not the second one", "same-size-twice", diag.Warning,
			pieceOf("flat", "fused", "matte", tool("plated diamond disc 140 mesh, 300 mm", onLap), titled("Face, third disc", tool("plated diamond disc 140 mesh, 300 mm", onLap))),
			pieceOf("flat", "fused", "matte", tool("plated diamond disc 140 mesh, 300 mm", onLap), titled("Go over it once more", tool("plated diamond disc 140 mesh, 300 mm", onLap))),
		},
		{
			"a face of 96 mm² is none of a piece 12 cm long", "size-does-not-fit", diag.Warning,
			bytes.Replace(pieceOf("flat", "fused", "matte", onIron("silicon carbide F220")), []byte("96 cm²"), []byte("96 mm²"), 1),
			bytes.Replace(pieceOf("flat", "fused", "matte", onIron("silicon carbide F220")), []byte("96 cm²"), []byte("900 mm²"), 1),
		},
		{
			"cerium is washed off, at the latest by the step after it", "leaves-unwashed", diag.Warning,
			bare("flat", swap(ceriumed(holed, onLap), "Clean-down: wash everything", "")),
			bare("flat", swap(ceriumed(holed, onLap), "Clean-down: wash everything", ""), stepOf("Palm wash", "Surface: face", "Water: flood")),
		},
		{
			"no hand presses with 900 N", "more-than-hands-press", diag.Warning,
			pieceOf("flat", "fused", "matte", swap(onIron("silicon carbide F220"), "Water: damp", "Water: damp\n- Pressure: 900 N")),
			pieceOf("flat", "fused", "matte", swap(onIron("silicon carbide F220"), "Water: damp", "Water: damp\n- Pressure: 900 N")+"1. The arm presses with its weights; the hand only steers.\n\n"),
		},
		{
			"a second charge comes within the step", "charge-never-due", diag.Note,
			pieceOf("flat", "fused", "matte", timed("10 min", swap(onIron("silicon carbide F220"), "Water: damp", "Water: damp\n- Charge: every 30 min"))),
			pieceOf("flat", "fused", "matte", timed("10 min + 3 h alone", swap(onIron("silicon carbide F220"), "Water: damp", "Water: damp\n- Charge: every 30 min"))),
		},
		{
			"a cloth takes no loose grain off a plate", "no-clean-down", diag.Warning,
			pieceOf("flat", "fused", "matte", swap(onIron("silicon carbide F80"), "wash everything", "wipe the plate with a damp cloth"), onIron("silicon carbide F220")),
			pieceOf("flat", "fused", "matte", swap(onIron("silicon carbide F80"), "wash everything", "scrub the plate, then wipe it with a damp cloth"), onIron("silicon carbide F220")),
		},
		{
			"a chip is ground out, a crack is shown", "cracked-piece-worked", diag.Error,
			pieceOf("flat", "fused", "matte", onIron("silicon carbide F220")+"1. A small crack may be ground out.\n\n"),
			pieceOf("flat", "fused", "matte", onIron("silicon carbide F220")+"1. A small chip may be ground out, a crack may not. Grind until the cracks of the 80 are out.\n\n"),
		},
		{
			"an order names the grain of its step", "another-grade-told", diag.Warning,
			pieceOf("flat", "fused", "matte", onIron("silicon carbide F220")+"1. Smooth with 400.\n\n"),
			pieceOf("flat", "fused", "matte", onIron("silicon carbide F220")+"1. Smooth with the 220 until the lines of the 120 are gone. Work with 120 strokes, then go on with 400.\n\n"),
		},

		// Felts and brushes.
		{
			"a new felt is another felt", "one-medium-two-compounds", diag.Error,
			pieceOf("flat", ground, "bright polish", pumiced("2F", felt, onLap), ceriumed(felt, onLap)),
			pieceOf("flat", ground, "bright polish", pumiced("2F", felt, onLap), ceriumed(felt, onLap)+"1. A new felt pad for the cerium.\n\n"),
		},
		{
			"a felt that is never new is the old one", "one-medium-two-compounds", diag.Error,
			pieceOf("flat", ground, "bright polish", pumiced("2F", felt, onLap), ceriumed(felt, onLap)+"1. No new felt is needed.\n\n"),
			pieceOf("flat", ground, "bright polish", swap(pumiced("2F", felt, onLap), "Clean-down: wash everything", "Clean-down: wash everything, change the felt"), ceriumed(felt, onLap)),
		},
		{
			"a brush wheel is the horsehair brush wheel", "one-medium-two-compounds", diag.Error,
			pieceOf("relief", ground, "lustre", pumiced("2F", "horsehair brush wheel, 150 mm", onLathe), ceriumed("brush wheel, 150 mm", onLathe)),
			pieceOf("relief", ground, "lustre", pumiced("2F", "horsehair brush wheel, 150 mm", onLathe), ceriumed("nylon brush wheel, 150 mm", onLathe)),
		},
		{
			"2F stays in the brush and works on under 4F", "one-medium-two-compounds", diag.Warning,
			pieceOf("relief", ground, "satin", pumiced("4F", "B-2F", onLathe)),
			pieceOf("relief", ground, "satin", pumiced("2F", "B-2F", onLathe)),
		},
		{
			"4F brushes never see 2F", "one-medium-two-compounds", diag.Error,
			pieceOf("relief", ground, "satin", pumiced("2F", "B-4F", onLathe)),
			pieceOf("relief", ground, "satin", pumiced("4F", "B-4F", onLathe)),
		},

		// Cleaning down.
		{
			"a Clean-down that says none is none", "no-clean-down", diag.Warning,
			pieceOf("flat", "fused", "matte", swap(onIron("silicon carbide F80"), "wash everything", "not needed"), onIron("silicon carbide F220")),
			pieceOf("flat", "fused", "matte", swap(onIron("silicon carbide F80"), "wash everything", "no grain left on the plate"), onIron("silicon carbide F220")),
		},
		{
			"a rinsed hand pad leaves the iron plate as it was", "no-clean-down", diag.Warning,
			pieceOf("flat", "fused", "matte", swap(onIron("silicon carbide F80"), "Clean-down: wash everything", ""),
				swap(tool("plated diamond hand pad 120 mesh", "by hand", "Only if: an edge chips"), "wash everything", "rinse pad and hands"), onIron("silicon carbide F220")),
			pieceOf("flat", "fused", "matte", swap(onIron("silicon carbide F80"), "Clean-down: wash everything", ""),
				swap(tool("plated diamond hand pad 120 mesh", "by hand", "Only if: an edge chips"), "wash everything", "rinse pad and hands, scrub the plate"), onIron("silicon carbide F220")),
		},
		{
			"two discs on one lap are washed between, two plates of the house are two plates", "no-clean-down", diag.Warning,
			pieceOf("flat", "fused", "matte", swap(tool("plated diamond disc 60 mesh, 300 mm", onLap), "Clean-down: wash everything", ""), tool("plated diamond disc 140 mesh, 300 mm", onLap)),
			pieceOf("flat", "fused", "matte", swap(loose("silicon carbide F80", "PLATE-80", onLap, "cream"), "Clean-down: wash everything", ""), loose("silicon carbide F220", "PLATE-220", onLap, "cream")),
		},

		{
			"a piece brings the grit of the plate to the brush; rinsed it does not", "no-clean-down", diag.Warning,
			pieceOf("relief", "fused", "satin", swap(tool("resin diamond hand pad 325 mesh", "by hand"), "Clean-down: wash everything", ""), pumiced("2F", brush, onLathe)),
			pieceOf("relief", "fused", "satin", swap(tool("resin diamond hand pad 325 mesh", "by hand"), "wash everything", "rinse the piece"), pumiced("2F", brush, onLathe)),
		},

		// Wheels and machines.
		{
			"a slow plate only takes longer, one that hardly turns is a slip", "rim-speed-out-of-range", diag.Warning,
			pieceOf("flat", "fused", "matte", loose("silicon carbide F400", plate, "flat lap at 3 rpm", "cream")),
			pieceOf("flat", "fused", "matte", loose("silicon carbide F400", plate, "flat lap at 60 rpm", "cream")),
		},
		{
			"a brush wheel does not turn by hand", "medium-does-not-fit-machine", diag.Error,
			pieceOf("relief", ground, "satin", pumiced("2F", brush, "by hand")),
			pieceOf("relief", ground, "satin", pumiced("2F", "hand brush", "by hand")),
		},
		{
			"a felt block is held to turning work", "medium-does-not-fit-machine", diag.Error,
			pieceOf("edge", ground, "bright polish", ceriumed("felt wheel, 200 mm", onLap)),
			pieceOf("edge", ground, "bright polish", ceriumed("felt block", onLathe)),
		},
		{
			"a grinding wheel follows no relief, a burr does", "medium-does-not-reach", diag.Error,
			pieceOf("relief", "as cast", "matte", tool("metal diamond wheel 120 mesh, 200 mm", onLathe)),
			pieceOf("relief", "as cast", "matte", tool("plated diamond burr 120 mesh, 20 mm", "drill at 2000 rpm")),
		},

		// Checkpoints and tiles.
		{
			"Done is no test", "no-checkpoint", diag.Warning,
			pieceOf("flat", "fused", "matte", swap(onIron("silicon carbide F220"), "Raking lamp: even, no line of the last grade", "Looks good, done")),
			pieceOf("flat", "fused", "matte", swap(onIron("silicon carbide F220"), "Raking lamp: even, no line of the last grade", "Even grey, no line left")),
		},
		{
			"who decides is no test either", "no-checkpoint", diag.Warning,
			pieceOf("flat", "fused", "matte", swap(onIron("silicon carbide F220"), "Raking lamp: even, no line of the last grade", "Stop: a crack: the lead decides")),
			pieceOf("flat", "fused", "matte", onIron("silicon carbide F220")+"- [ ] Stop: a crack: the lead decides\n\n"),
		},
	}
	h := laid(t, `benches: {order: [X, A, B, C, D, E], any: [W]}
media:
  B-2F: {medium: "horsehair brush wheel, 150 mm", kept for: pumice 2F}
  B-4F: {medium: "horsehair brush wheel, 150 mm", kept for: pumice 4F}
  PLATE-80: {medium: "iron lap, 300 mm"}
  PLATE-220: {medium: "iron lap, 300 mm"}
always: [grit carry-over]
`)
	for _, c := range cases {
		t.Run(c.fact, func(t *testing.T) {
			read, checked := findings(h, "wrong.md", c.wrong)
			assert.Empty(t, lines(t, worseThanNote(read)))
			wrong := of(checked, c.rule)
			if assert.Len(t, wrong, 1, "must be found fault with once:\n%s", lines(t, checked)) {
				assert.Equal(t, c.severity, wrong[0].Severity, wrong[0].Message)
				wellWritten(t, wrong[0])
			}
			read, checked = findings(h, "right.md", c.right)
			assert.Empty(t, lines(t, worseThanNote(read)))
			assert.Empty(t, lines(t, of(checked, c.rule)))
		})
	}
}

// Sound work of other kinds than the sequences: by hand on plates, papers and
// stones, in the pan, on pitch, on stone wheels, in the cabinet, with a way
// back. What is stated is what an expert may overrule; all else would be a false
// alarm.
func TestSoundWorkIsLeftAlone(t *testing.T) {
	dir := testkit.Data(t, "sound")
	h := houseIn(t, dir)
	assert.Empty(t, rules.CheckHouse(h))
	stated := map[string][]string{
		// The model is known to be too slow for a vibrating pan.
		"bases-in-the-pan.md": {"stock-left"},
		// Cerium straight from a 600 resin pad, in fewer minutes than the model asks.
		"bevel-on-the-lap.md": {"shines-but-pits-left"},
	}
	files := testkit.Files(t, dir, "*.md")
	require.GreaterOrEqual(t, len(files), 15)
	for _, path := range files {
		name := filepath.Base(path)
		t.Run(name, func(t *testing.T) {
			read, checked := findings(h, name, testkit.Read(t, path))
			var ids []string
			for _, d := range worseThanNote(append(read, checked...)) {
				ids = append(ids, d.Rule)
			}
			assert.Equal(t, stated[name], ids, lines(t, worseThanNote(append(read, checked...))))
		})
	}
}

// Sound work of a dozen kinds more, on the stock of the sequences: brush work, a
// turned foot, a lap bevel, a saw cut, a bore, cast paste, cut facets, a fused rim,
// a stopper's seat, hand pads alone, a belt edge, a flat on pitch. All of it stands
// without a finding above a note.
func TestVariedWorkIsLeftAlone(t *testing.T) {
	h := houseIn(t, testkit.Data(t, "sequences"))
	files := testkit.Files(t, testkit.Data(t, "varied"), "*.md")
	require.GreaterOrEqual(t, len(files), 12)
	for _, path := range files {
		read, checked := findings(h, filepath.Base(path), testkit.Read(t, path))
		assert.Empty(t, lines(t, worseThanNote(append(read, checked...))))
	}
}

// piece of several surfaces.
func withSurfaces(surfaces []string, steps ...string) []byte {
	return []byte("---\nrecipe: piece\ntitle: A piece\nrevision: 1\ndate: 2026-03-02\napproved: studio lead\nglass: soda-lime\n" +
		"piece: {form: cast, size: 120 x 80 x 40 mm, mould: removed}\nsurfaces:\n  - " + strings.Join(surfaces, "\n  - ") + "\n---\n\n" + strings.Join(steps, ""))
}

// One step on two surfaces is spoken of once, with both.
func TestOneStepOnTwoSurfacesIsOneFinding(t *testing.T) {
	both := func(step string) string { return strings.Replace(step, "Surface: face", "Surface: face, edges", 1) }
	text := withSurfaces([]string{
		`{name: face, shape: flat, area: 96 cm², from: fused, to: bright polish}`, `{name: edges, shape: edge, area: 60 cm², from: fused, to: bright polish}`,
	}, both(tool("silicon carbide belt P400", "wet belt at 5 m/s")), both(tool("silicon carbide belt P80", "wet belt at 5 m/s")), both(ceriumed("felt belt", "wet belt at 4 m/s")))
	_, checked := findings(trade.BuiltIn(), "piece.md", text)
	list := of(checked, "grade-goes-backwards")
	require.Len(t, list, 1, lines(t, checked))
	assert.Contains(t, list[0].Message, "on the face and the edges after step 1 left them at P400")
	assert.Contains(t, list[0].Help, "Surface: face, edges (rework")
	assert.Empty(t, of(checked, "damage-not-cleared"), "the coarse belt is the fault, and it has been said")

	text = withSurfaces([]string{
		`{name: dome, shape: relief, area: 96 cm², from: fused, to: matte}`, `{name: bowl, shape: inside, area: 60 cm², from: fused, to: matte}`,
	}, strings.Replace(onIron("silicon carbide F220"), "Surface: face", "Surface: dome, bowl", 1))
	_, checked = findings(trade.BuiltIn(), "piece.md", text)
	list = of(checked, "machine-does-not-reach")
	require.Len(t, list, 1)
	assert.Contains(t, list[0].Message, "the dome and the bowl with a flat lap. The shapes there are relief and inside")
}

// Beside a blast: what is untouched or polished is an error, what is matte a
// warning; a mask, another blast or a later step is no fault. A seamed arris is
// named where nothing is masked.
func TestWhatStandsBareBesideABlast(t *testing.T) {
	step := func(surface, step string) string {
		return strings.Replace(step, "Surface: face", "Surface: "+surface, 1)
	}
	matte := step("back", onIron("silicon carbide F400"))
	blast := blasted("F220", "X, back because the back is masked")
	front := `{name: face, shape: relief, area: 96 cm², from: as cast, to: matte}`
	back := func(to string) string {
		return `{name: back, shape: flat, area: 96 cm², from: "ground, silicon carbide F220", to: ` + to + `}`
	}
	arris := `{name: arrises, shape: arris, length: 400 mm, width: 1 mm, from: new, to: seamed}`
	h := laid(t, "benches: {order: [X, A, B, C, D, E], any: [W]}\n")
	for _, c := range []struct {
		name string
		text []byte
		want string
		sev  diag.Severity
	}{
		{"matte", withSurfaces([]string{front, back("matte")}, matte, blast), "while the back is bare", diag.Warning},
		{"polished", withSurfaces([]string{front, back("bright polish")}, matte, step("back", pumiced("2F", cork, onLap)), step("back", ceriumed(holed, onLap)), blast), "while the back is bare", diag.Error},
		{"untouched", withSurfaces([]string{front, back("untouched")}, blast), "while the back is bare", diag.Error},
		{"matte, with its arrises", withSurfaces([]string{front, back("matte"), arris}, matte, step("arrises", seamed("silicon carbide paper P220")), blast), "while the back and the arrises are bare", diag.Warning},
		{"matte under a mask", withSurfaces([]string{front, back("matte"), arris}, matte, step("arrises", seamed("silicon carbide paper P220")), swap(blast, "Surface: face", "Surface: face\n- Mask: back")), "", 0},
		{"ground again afterwards", withSurfaces([]string{front, back("matte")}, matte, blast, step("back", onIron("silicon carbide F600"))), "", 0},
		{"matte by a blast", withSurfaces([]string{front, back("matte")}, step("back", blast), blast), "", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, checked := findings(h, "piece.md", c.text)
			list := of(checked, "protected-surface-worked")
			if c.want == "" {
				assert.Empty(t, lines(t, list))
				return
			}
			require.Len(t, list, 1, lines(t, checked))
			assert.Contains(t, list[0].Message, c.want)
			assert.Equal(t, c.sev, list[0].Severity)
		})
	}
}

// Cascades: what one line causes is said once.
func TestOneLineOneFinding(t *testing.T) {
	shop := laid(t, "machines:\n  LAP: {kind: flat lap, diameter: 300 mm, maximum: 300 rpm}\n")
	text := pieceOf("flat", "fused", "matte", loose("silicon carbide F220", plate, "LAP at 900 rpm", "cream"))
	_, checked := findings(shop, "piece.md", text)
	assert.Len(t, of(checked, "wheel-over-speed"), 1)
	assert.Empty(t, of(checked, "rim-speed-out-of-range"), "the refusal says it")

	// Cerium on a face that is to stay matte.
	text = pieceOf("flat", "fused", "matte", onIron("silicon carbide F220"), ceriumed(holed, onLap))
	_, checked = findings(trade.BuiltIn(), "piece.md", text)
	assert.Len(t, of(checked, "work-after-stop"), 1)
	assert.Empty(t, of(checked, "damage-not-cleared"))

	// A disc with a plate written beside it: its speed is the disc's own.
	text = pieceOf("flat", "fused", "matte", tool("plated diamond disc 140 mesh, 300 mm", "flat lap at 250 rpm", "Medium: iron lap, 600 mm"))
	_, checked = findings(trade.BuiltIn(), "piece.md", text)
	assert.Len(t, of(checked, "loose-grain-needs-medium"), 1)
	for _, rule := range []string{"rim-speed-out-of-range", "medium-does-not-reach", "medium-does-not-fit-machine", "mix-does-not-suit"} {
		assert.Empty(t, lines(t, of(checked, rule)))
	}

	// A felt belt on a flat lap: it does not fit, and its speed is no matter.
	text = pieceOf("flat", ground, "bright polish", ceriumed("felt belt", "flat lap, 300 mm at 900 rpm"))
	_, checked = findings(trade.BuiltIn(), "piece.md", text)
	assert.Len(t, of(checked, "medium-does-not-fit-machine"), 1)
	assert.Empty(t, of(checked, "rim-speed-out-of-range"))
}

// A belt has a speed and no rim, and the author's unit is answered in kind.
// 300 ft/min are 1.524 m/s: the international foot is 0.3048 m.
func TestABeltHasASpeed(t *testing.T) {
	text := pieceOf("edge", "fused", "matte", tool("silicon carbide belt P120", "wet belt at 300 ft/min"))
	_, checked := findings(trade.BuiltIn(), "piece.md", text)
	list := of(checked, "rim-speed-out-of-range")
	require.Len(t, list, 1)
	assert.Contains(t, list[0].Message, "runs at 300 ft/min, which is 1.52 m/s.")
	assert.NotContains(t, list[0].Message, " rim")
	assert.Contains(t, list[0].Message, "3 to 8 m/s (591 to 1575 ft/min)")
	assert.Equal(t, "Write 1100 ft/min, or anything from 591 to 1575 ft/min.", list[0].Help)
	wellWritten(t, list[0])
}

// The ways out that are offered are ways out: no machine that does not take the
// wheel, no medium the powder does not run on.
func TestTheWayOutIsOne(t *testing.T) {
	_, checked := findings(trade.BuiltIn(), "piece.md", pieceOf("relief", "as cast", "satin", pumiced("2F", brush, onLap)))
	list := of(checked, "machine-does-not-reach")
	require.Len(t, list, 1)
	assert.Contains(t, list[0].Help, "lathe")
	assert.NotContains(t, list[0].Help, "wet belt")
	assert.NotContains(t, list[0].Help, "blast")

	_, checked = findings(trade.BuiltIn(), "piece.md", pieceOf("facets", ground, "satin", pumiced("2F", felt, onLathe)))
	list = of(checked, "medium-does-not-reach")
	require.Len(t, list, 1)
	assert.Contains(t, list[0].Help, "brush wheel")
	for _, no := range []string{"iron lap", "felt belt", "pan"} {
		assert.NotContains(t, list[0].Help, no)
	}

	_, checked = findings(trade.BuiltIn(), "piece.md", pieceOf("relief", "as cast", "matte", tool("metal diamond wheel 120 mesh, 200 mm", onLathe)))
	list = of(checked, "medium-does-not-reach")
	require.Len(t, list, 1)
	assert.Equal(t, "Write a tool that does, as a wheel of 75 mm or less or burr, or a loose grain on what follows the form.", list[0].Help)

	h := laid(t, "limits: {grade step: 3.6}\nstock:\n  S120: {abrasive: silicon carbide, grade: F120}\n  X120: {abrasive: silicon carbide, grade: F120, free silica: 0 %}\n  L120: {abrasive: metal diamond wheel, grade: 120 mesh, diameter: 200 mm}\n")
	_, checked = findings(h, "piece.md", pieceOf("flat", "as cast", "matte", onIron("silicon carbide F60"), onIron("silicon carbide F220")))
	list = of(checked, "house-grade-step")
	require.Len(t, list, 1)
	assert.Equal(t, "Put S120 (109 µm) from the stock between the two.", list[0].Help)
}

// Of a file that could not be read as a recipe nothing is said to be missing.
func TestNothingIsMissingFromWhatWasNotRead(t *testing.T) {
	h := trade.BuiltIn()
	text := []byte("\n")
	r, read := parse.New(h).Parse(source.New("other.md", text))
	require.NotEmpty(t, read)
	require.True(t, r.Unread)
	r.Steps = []recipe.Step{{Number: 1, Title: "Grind"}}
	assert.Empty(t, rules.Check(&check.Context{House: h, Recipe: r, Plan: process.Of(r, h), Today: today}))
}
