package rules_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/diag"
)

// onSurface is a step on another surface than the face.
func onSurface(surface, step string) string {
	return strings.Replace(step, "Surface: face", "Surface: "+surface, 1)
}

// tested is a step with another checkpoint.
func tested(checkpoint, step string) string {
	return strings.Replace(step, "Raking lamp: even, no line of the last grade", checkpoint, 1)
}

// ordered is a step with an instruction.
func ordered(order, step string) string {
	return strings.Replace(step, "\n- [ ]", "\n1. "+order+"\n\n- [ ]", 1)
}

// handled is a step that takes no glass off.
func handled(title string, facts ...string) string {
	return "## " + title + "\n\n- " + strings.Join(facts, "\n- ") + "\n\n- [ ] Looked at from all sides\n\n"
}

// What the bench knows of order, company, walls and tests, each as recipes that
// must be found fault with and recipes that must not: common practice.
func TestWhatTheBenchKnows(t *testing.T) {
	const (
		base   = `{name: face, shape: flat, area: 96 cm², from: "ground, silicon carbide F80", to: bright polish}`
		matte  = `{name: face, shape: flat, area: 96 cm², from: "ground, silicon carbide F80", to: matte}`
		back   = `{name: back, shape: flat, area: 96 cm², from: "ground, silicon carbide F80", to: matte}`
		stub   = `{name: stub, shape: stub, from: as cast, to: removed}`
		arris  = `{name: arris, shape: arris, length: 400 mm, width: 1 mm, from: new, to: seamed}`
		bevel  = `{name: bevel, shape: bevel, length: 400 mm, width: 3 mm, from: new, to: satin}`
		square = `{name: face, shape: edge, length: 300 mm, width: 10 mm, from: "sawn, diamond 100 mesh", to: matte}`
		relief = `{name: face, shape: relief, area: 96 cm², from: as cast, to: lustre}`
	)
	bright := pumiced("2F", felt, onLap) + ceriumed(holed, onLap)
	fineGrind := onIron("silicon carbide F400")
	coarse := onIron("silicon carbide F220")
	saw := onSurface("stub", tool("metal diamond blade, 250 mm", "wet saw at 1400 rpm"))
	seamed := onSurface("arris", tool("plated diamond hand pad 120 mesh", "by hand"))
	belt := tool("silicon carbide belt P80", "wet belt at 5 m/s")
	facet := func(depth string) string {
		return tool("metal diamond wheel 120 mesh, 200 mm", "lathe at 700 rpm", depth)
	}
	vessel := func(wall string, steps ...string) []byte {
		return []byte(strings.Replace(string(pieceOf("facets", "fire polished", "matte", steps...)), "{form: cast, size: 120 x 80 x 40 mm, mould: removed}",
			"{form: blown, size: 120 mm dia x 200 mm, mass: 1 kg, hollow: true"+wall+"}", 1))
	}
	pan := stepOf("In the pan", "Surface: face", "Abrasive: silicon carbide F220", "Medium: iron pan", "Machine: vibrating lap", "Water: pool", "Mix: cream")
	piece := func(old, new string, text []byte) []byte {
		return []byte(strings.Replace(string(text), old, new, 1))
	}
	grits := func(checkpoint string) []byte {
		return pieceOf("flat", ground, "matte", onIron("silicon carbide F80"), onIron("silicon carbide F220"), onIron("silicon carbide F400"),
			tested(checkpoint, onIron("silicon carbide F600")))
	}
	polish := func(checkpoint string, facts ...string) []byte {
		text := strings.Replace(tested(checkpoint, ceriumed(holed, onLap)), "- Clean-down", "- "+strings.Join(append(facts, "Clean-down"), "\n- "), 1)
		return pieceOf("flat", ground, "bright polish", onIron("silicon carbide F600"), pumiced("2F", felt, onLap), text)
	}
	// tray is a large back that goes by hand between two discs.
	tray := func(minutes string) []byte {
		byHand := loose("silicon carbide F220", "glass plate", "by hand", "cream")
		if minutes != "" {
			byHand = timed(minutes, byHand)
		}
		text := pieceOf("flat", "as cast", "matte", timed("40 min", tool("plated diamond disc 60 mesh, 300 mm", onLap)), byHand,
			timed("40 min", tool("plated diamond disc 270 mesh, 300 mm", onLap)), timed("40 min", onIron("silicon carbide F400")))
		return []byte(strings.Replace(string(text), "area: 96 cm²", "area: 450 cm²", 1))
	}
	blastAt := func(pressure string) []byte {
		return piece("Pressure: 1.5 bar", "Pressure: "+pressure, pieceOf("relief", "as cast", "matte", blasted("F220", "X")))
	}
	light := swap(ceriumed(brush, onLathe), "Clean-down: wash everything", "")
	cases := []struct {
		rule     string
		severity diag.Severity
		wrong    map[string][]byte
		right    map[string][]byte
	}{
		{
			"stub-left-late", diag.Warning,
			map[string][]byte{
				"after a fine grind": withSurfaces([]string{matte, stub}, onIron("silicon carbide F600"), saw),
				"after the polish":   withSurfaces([]string{base, stub}, fineGrind, bright, saw),
			},
			map[string][]byte{
				"first of all":             withSurfaces([]string{matte, stub}, saw, onIron("silicon carbide F600")),
				"after coarse grinding":    withSurfaces([]string{matte, stub}, coarse, saw, onIron("silicon carbide F600")),
				"after the seams":          withSurfaces([]string{matte, stub, arris}, seamed, saw, onIron("silicon carbide F600")),
				"while the face is masked": withSurfaces([]string{matte, stub}, onIron("silicon carbide F600"), swap(saw, "Surface: stub", "Surface: stub\n- Mask: face")),
				"and the face ground anew": withSurfaces([]string{matte, stub}, onIron("silicon carbide F600"), saw, strings.Replace(coarse, "Surface: face", "Surface: face (rework: the saw slipped)", 1)),
			},
		},
		{
			"finished-left-open", diag.Warning,
			map[string][]byte{
				"a back is ground":  withSurfaces([]string{base, back}, fineGrind, bright, onSurface("back", coarse)),
				"a stub is sawn":    withSurfaces([]string{base, stub}, fineGrind, bright, saw),
				"an edge is belted": withSurfaces([]string{base, strings.Replace(square, "face", "edge", 1)}, fineGrind, bright, onSurface("edge", belt)),
			},
			map[string][]byte{
				"under tape":           withSurfaces([]string{base, back}, fineGrind, bright, swap(onSurface("back", coarse), "Surface: back", "Surface: back\n- Mask: face")),
				"polish comes last":    withSurfaces([]string{base, back}, onSurface("back", coarse), fineGrind, bright),
				"a seam by hand":       withSurfaces([]string{base, arris}, fineGrind, bright, seamed),
				"by hand":              withSurfaces([]string{base, back}, fineGrind, bright, onSurface("back", loose("silicon carbide F220", "glass plate", "by hand", "cream"))),
				"a matte face is open": withSurfaces([]string{matte, back}, fineGrind, onSurface("back", coarse)),
				"it is polished again": withSurfaces([]string{base, back}, fineGrind, bright, onSurface("back", coarse), ceriumed(holed, onLap)),
				"a step seldom needed": withSurfaces([]string{base, back}, fineGrind, bright, swap(onSurface("back", coarse), "Surface: back", "Surface: back\n- Only if: it rocks")),
			},
		},
		{
			"polish-runs-over", diag.Warning,
			map[string][]byte{
				"felt beside a satin bevel": withSurfaces([]string{base, bevel}, fineGrind, onSurface("bevel", tool("resin diamond hand pad 400 mesh", "by hand")), bright),
			},
			map[string][]byte{
				"masked":                  withSurfaces([]string{base, bevel}, fineGrind, onSurface("bevel", tool("resin diamond hand pad 400 mesh", "by hand")), pumiced("2F", felt, onLap), swap(ceriumed(holed, onLap), "Surface: face", "Surface: face\n- Mask: bevel")),
				"cut afterwards":          withSurfaces([]string{base, bevel}, fineGrind, bright, onSurface("bevel", tool("resin diamond hand pad 400 mesh", "by hand"))),
				"on pitch":                withSurfaces([]string{base, bevel}, fineGrind, onSurface("bevel", tool("resin diamond hand pad 400 mesh", "by hand")), ceriumed("pitch, 300 mm", "flat lap at 60 rpm")),
				"as bright as the face":   withSurfaces([]string{base, strings.Replace(bevel, "satin", "bright polish", 1)}, fineGrind, onSurface("bevel", tool("resin diamond hand pad 400 mesh", "by hand")), bright),
				"both polished in a step": withSurfaces([]string{base, bevel}, fineGrind, onSurface("bevel", tool("resin diamond hand pad 400 mesh", "by hand")), onSurface("face, bevel", ceriumed(holed, onLap))),
			},
		},
		{
			"no-seam-first", diag.Warning,
			map[string][]byte{
				"a sawn edge on belt 80":   withSurfaces([]string{square, arris}, belt, seamed),
				"the text says not to":     withSurfaces([]string{square}, ordered("No seam is needed.", belt)),
				"cast, seamed too late":    withSurfaces([]string{strings.Replace(square, `"sawn, diamond 100 mesh"`, "as cast", 1), arris}, belt, seamed),
				"a sawn face on a 60 disc": pieceOf("flat", sawn, "matte", tool("plated diamond disc 60 mesh, 300 mm", onLap)),
			},
			map[string][]byte{
				"seamed first":           withSurfaces([]string{square, arris}, seamed, belt),
				"seamed in the step":     withSurfaces([]string{square}, ordered("Break the arris first, a millimetre.", belt)),
				"fused, the edge round":  withSurfaces([]string{strings.Replace(square, `"sawn, diamond 100 mesh"`, "fused", 1)}, belt),
				"cast, nothing to seam":  withSurfaces([]string{strings.Replace(square, `"sawn, diamond 100 mesh"`, "as cast", 1)}, belt),
				"by hand":                withSurfaces([]string{square}, tool("plated diamond hand pad 120 mesh", "by hand")),
				"a fine belt":            withSurfaces([]string{square}, tool("silicon carbide belt P220", "wet belt at 5 m/s")),
				"no corner on a dome":    pieceOf("convex", sawn, "matte", belt),
				"the saw makes the edge": pieceOf("flat", sawn, "matte", tool("metal diamond blade, 250 mm", "wet saw at 1400 rpm")),
			},
		},
		{
			"cut-deeper-than-wall", diag.Warning,
			map[string][]byte{
				"half the wall":         vessel(", wall: 6 mm", facet("Depth: 3 mm")),
				"in another unit":       vessel(", wall: 0.25 in", facet("Depth: 3 mm")),
				"the second step of it": vessel(", wall: 6 mm", facet("Depth: 1.5 mm"), tool("metal diamond wheel 270 mesh, 200 mm", "lathe at 700 rpm", "Depth: 2.5 mm")),
			},
			map[string][]byte{
				"a third of the wall":  vessel(", wall: 6 mm", facet("Depth: 2 mm")),
				"a bore goes through":  []byte(strings.Replace(string(vessel(", wall: 6 mm", tool("metal diamond core drill, 20 mm", "drill at 1200 rpm", "Depth: 8 mm"))), "shape: facets", "shape: hole", 1)),
				"a rim is taken down":  []byte(strings.Replace(string(vessel(", wall: 6 mm", tool("plated diamond disc 60 mesh, 300 mm", onLap, "Depth: 4 mm"))), "shape: facets", "shape: ring", 1)),
				"solid, nothing to go": pieceOf("facets", "fire polished", "matte", facet("Depth: 9 mm")),
			},
		},
		{
			"cut-deeper-than-wall", diag.Error,
			map[string][]byte{"through the wall": vessel(", wall: 3 mm", facet("Depth: 3 mm"))}, nil,
		},
		{
			"cut-deeper-than-wall", diag.Note,
			map[string][]byte{
				"nobody knows the wall":  vessel("", facet("Depth: 2 mm")),
				"nobody knows the depth": vessel(", wall: 6 mm", facet("Bench: A")),
			}, nil,
		},
		{
			"lone-piece-in-pan", diag.Warning,
			map[string][]byte{"one piece": pieceOf("flat", ground, "matte", pan)},
			map[string][]byte{
				"six of them":         piece("mould: removed}", "mould: removed, count: 6}", pieceOf("flat", ground, "matte", pan)),
				"with a bumper":       pieceOf("flat", ground, "matte", ordered("A rubber bumper round it.", pan)),
				"it fills the pan":    piece("120 x 80 x 40 mm", "320 x 80 x 40 mm", pieceOf("flat", ground, "matte", pan)),
				"on a lap that turns": pieceOf("flat", ground, "matte", coarse),
			},
		},
		{
			"no-way-back", diag.Warning,
			map[string][]byte{
				"polish again":        polish("Ten-power: no line left"),
				"to the step itself":  polish("Ten-power: no scratch -> Work the face with cerium oxide 1.5 µm on "+holed, "Return to: Work the face with cerium oxide 1.5 µm on "+holed),
				"a scratch in a word": polish("Free of scratches under the ten-power"),
			},
			map[string][]byte{
				"back to the fine grind": polish("Ten-power: no line left", "Return to: Work the face with silicon carbide F600 on "+plate),
				"the test has its own":   polish("Ten-power: no line left -> Work the face with silicon carbide F600 on " + plate),
				"who decides":            polish("Ten-power: no line left\n- [ ] Stop: a line shows: the studio lead decides"),
				"a lamp is no line":      polish("Strip light: the lamp is one line, without a break"),
				"haze is polished on":    polish("Ceiling lamp: no haze"),
				"polished here only":     pieceOf("flat", ground, "bright polish", pumiced("2F", felt, onLap), tested("Ten-power: no line left", ceriumed(holed, onLap))),
			},
		},
		{
			"return-too-fine", diag.Warning,
			map[string][]byte{
				"two grades on":     grits("Ten-power: no line of the 80 -> Work the face with silicon carbide F400 on " + plate),
				"the step in hand":  grits("Ten-power: no line of the F80 left"),
				"220 under the 600": grits("Ten-power: no scratch of the 220 left"),
			},
			map[string][]byte{
				"the grade after it":  grits("Ten-power: no line of the 80 -> Work the face with silicon carbide F220 on " + plate),
				"the grade itself":    grits("Ten-power: no line of the 80 -> Work the face with silicon carbide F80 on " + plate),
				"the last grade":      grits("Ten-power: no line of the 400 left"),
				"no grade is named":   grits("Ten-power: no line left"),
				"a size of pit":       grits("Ten-power: no pit over 80 µm"),
				"a number of minutes": grits("Ten-power: no line left after 80 seconds"),
			},
		},
		{
			"minutes-too-few", diag.Warning,
			map[string][]byte{"by hand on a tray": tray("2 min")},
			map[string][]byte{
				"an hour of it":       tray("60 min"),
				"nobody wrote a time": tray(""),
				"a small face":        []byte(strings.Replace(string(tray("2 min")), "450 cm²", "8 cm²", 1)),
			},
		},
		{
			"blast-pressure", diag.Warning,
			map[string][]byte{"a slipped comma": blastAt("15 bar"), "nothing comes out": blastAt("1.6 psi")},
			map[string][]byte{"bar": blastAt("1.5 bar"), "psi": blastAt("40 psi"), "kPa": blastAt("150 kPa"), "not written": blastAt("light")},
		},
		{
			"longer-than-a-day", diag.Warning,
			map[string][]byte{"hours for minutes": pieceOf("flat", ground, "matte", timed("12 h", coarse))},
			map[string][]byte{
				"a long morning":     pieceOf("flat", ground, "matte", timed("4 h", coarse)),
				"alone over night":   pieceOf("flat", ground, "matte", timed("20 min + 14 h alone", coarse)),
				"six faces of a day": pieceOf("flat", ground, "matte", timed("6 x 2 h", coarse)),
				"a crate of them":    piece("mould: removed}", "mould: removed, count: 40}", pieceOf("flat", ground, "matte", timed("12 h", coarse))),
			},
		},
		{
			"test-made-wet", diag.Warning,
			map[string][]byte{
				"wet":              pieceOf("flat", ground, "matte", tested("Wet: no line shows", coarse)),
				"while wet":        pieceOf("flat", ground, "matte", tested("Raking lamp: even while wet", coarse)),
				"looked at wet":    pieceOf("flat", ground, "matte", tested("Raking lamp: no line, looked at wet", coarse)),
				"look at it wet":   pieceOf("flat", ground, "matte", tested("Raking lamp: no line; look at it wet", coarse)),
				"wet the face":     pieceOf("flat", ground, "matte", tested("Wet the face and look: one tone", coarse)),
				"the face wet":     pieceOf("flat", ground, "matte", tested("Raking lamp, the face wet: one tone", coarse)),
				"under the tap":    pieceOf("flat", ground, "matte", tested("No scratch to be seen under the tap", coarse)),
				"in running water": pieceOf("flat", ground, "matte", tested("No line under running water", coarse)),
			},
			map[string][]byte{
				"dry":               pieceOf("flat", ground, "matte", tested("Raking lamp: dry, one tone", coarse)),
				"not wet":           pieceOf("flat", ground, "matte", tested("Raking lamp: one tone, never looked at wet", coarse)),
				"not at it wet":     pieceOf("flat", ground, "matte", tested("Raking lamp: one tone; do not look at it wet", coarse)),
				"at the wet pad":    pieceOf("flat", ground, "matte", tested("Raking lamp: one tone; look at the wet pad for grit", coarse)),
				"rinsed, then dry":  pieceOf("flat", ground, "matte", tested("Wet it, let it dry, look: one tone", coarse)),
				"the felt is wet":   pieceOf("flat", ground, "matte", tested("The felt is wet, not flooded", coarse)),
				"the plate is wet":  pieceOf("flat", ground, "matte", tested("Even grey, the plate still wet", coarse)),
				"the rinse":         pieceOf("flat", ground, "matte", tested("Rinse bowl: no grit in the water", coarse)),
				"water breaks":      pieceOf("flat", ground, "matte", tested("The face wet without a bead: no grease", coarse)),
				"a leak":            pieceOf("flat", ground, "matte", tested("No bubbles under water", coarse)),
				"no wet mark stays": pieceOf("flat", ground, "matte", tested("No wet edge left on the bench", coarse)),
			},
		},
		{
			"marker-not-dried", diag.Warning,
			map[string][]byte{"at once": pieceOf("flat", ground, "matte", tested("Paint marker across, ground away", coarse))},
			map[string][]byte{
				"left to dry":      pieceOf("flat", ground, "matte", tested("Paint marker across, dry, ground away", coarse)),
				"dry by the order": pieceOf("flat", ground, "matte", ordered("Marker both ways, and let it dry.", tested("No marker left", coarse))),
				"the known test":   pieceOf("flat", ground, "matte", tested("Marker twice: gone both times", coarse)),
				"a grid is drawn":  pieceOf("flat", ground, "matte", strings.Replace(handled("Draw the grid", "Surface: face"), "Looked at from all sides", "The marker lines meet", 1), coarse),
				"wax pencil":       pieceOf("flat", ground, "matte", tested("No wax pencil left", coarse)),
			},
		},
		{
			"two-choices", diag.Warning,
			map[string][]byte{
				"as needed":       pieceOf("flat", ground, "matte", ordered("Smooth with 220 or 400 as needed.", coarse)),
				"in the title":    pieceOf("flat", ground, "matte", strings.Replace(coarse, "## Work the face with silicon carbide F220", "## Smooth with F220 or F400", 1)),
				"degrees":         pieceOf("flat", ground, "lustre", ordered("Take 2F or 4F.", pumiced("2F", felt, onLap))),
				"the 80 or 120":   pieceOf("flat", ground, "matte", ordered("Use the 80 or 120 disc.", coarse)),
				"behind a clause": pieceOf("flat", ground, "matte", ordered("If it is rough, 120 or 220.", coarse)),
			},
			map[string][]byte{
				"minutes":         pieceOf("flat", ground, "matte", ordered("Grind for 80 or 100 seconds, then turn it.", coarse)),
				"speeds":          pieceOf("flat", ground, "matte", ordered("Turn at 100 or 120 rpm.", coarse)),
				"turns":           pieceOf("flat", ground, "matte", ordered("A quarter or 180 degrees each minute.", coarse)),
				"only if":         pieceOf("flat", ground, "matte", coarse, ordered("Take 220 or 400.", swap(coarse, "Surface: face", "Surface: face\n- Only if: a line shows"))),
				"words":           pieceOf("flat", ground, "matte", ordered("A tick or a warm wall: stop.", coarse)),
				"in a checkpoint": pieceOf("flat", ground, "matte", tested("No line of the 80 or 120 left", coarse)),
			},
		},
		{
			"dries-in-texture", diag.Warning,
			map[string][]byte{
				"nothing follows":    withSurfaces([]string{relief}, pumiced("2F", brush, onLathe), light),
				"another face first": withSurfaces([]string{relief, back}, pumiced("2F", "nylon brush wheel, 150 mm", onLathe), light, onSurface("back", coarse), handled("Wash", "Surface: all", "Water: flood")),
				"looked at first":    withSurfaces([]string{relief}, light, handled("Look at it", "Surface: all"), handled("Wash", "Surface: all", "Water: flood")),
			},
			map[string][]byte{
				"washed at once":     withSurfaces([]string{relief}, light, handled("Wash", "Surface: all", "Water: flood")),
				"washed in the step": withSurfaces([]string{relief}, ordered("Rinse at once, stiff brush.", light)),
				"by the Clean-down":  withSurfaces([]string{relief}, ceriumed(brush, onLathe)),
				"a flat face":        pieceOf("flat", ground, "bright polish", swap(ceriumed(holed, onLap), "Clean-down: wash everything", "")),
				"pumice is no cement": withSurfaces([]string{relief},
					swap(pumiced("2F", brush, onLathe), "Clean-down: wash everything", "")),
			},
		},
		{
			"sealed-and-polished", diag.Warning,
			map[string][]byte{
				"oil on a polish": withSurfaces([]string{base}, fineGrind, bright, handled("Rub in a drop of oil", "Surface: face")),
				"sealer":          withSurfaces([]string{base}, fineGrind, bright, handled("Seal the face", "Surface: all")),
			},
			map[string][]byte{
				"a matte face is sealed": withSurfaces([]string{matte}, fineGrind, handled("Seal the face", "Surface: face")),
				"another face":           withSurfaces([]string{base, back}, onSurface("back", coarse), fineGrind, bright, handled("Seal the back", "Surface: back")),
				"not to be sealed":       withSurfaces([]string{base}, fineGrind, bright, handled("Do not seal it", "Surface: face")),
				"wax pencil":             withSurfaces([]string{base}, fineGrind, bright, handled("Number it in wax pencil", "Surface: face")),
				"the tape is sealed":     withSurfaces([]string{base}, fineGrind, handled("Seal the edges of the tape", "Surface: face"), bright),
				"oil is wiped off":       withSurfaces([]string{base}, fineGrind, bright, handled("Wipe the machine oil off", "Surface: face")),
			},
		},
		{
			"sealed-and-polished", diag.Error,
			map[string][]byte{"polished after the wax": withSurfaces([]string{base}, fineGrind, handled("Wax the face", "Surface: face"), bright)}, nil,
		},
	}
	h := laid(t, "benches: {order: [X, A, B, C, D, E], any: [W]}\n")
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			for name, text := range c.wrong {
				read, checked := findings(h, "wrong.md", text)
				assert.Empty(t, lines(t, worseThanNote(read)), name)
				wrong := of(checked, c.rule)
				if assert.Len(t, wrong, 1, "%s must be found fault with once:\n%s", name, lines(t, checked)) {
					assert.Equal(t, c.severity, wrong[0].Severity, name)
					wellWritten(t, wrong[0])
				}
			}
			for name, text := range c.right {
				read, checked := findings(h, "right.md", text)
				assert.Empty(t, lines(t, worseThanNote(read)), name)
				assert.Empty(t, lines(t, of(checked, c.rule)), name)
			}
		})
	}
}

// A line of the shop file that is worn or retired is spoken of once, with every
// step that takes it, and the way out names what is left on the shelf.
func TestWornAndRetiredStock(t *testing.T) {
	steps := []string{tool("B80", "wet belt at 5 m/s"), tool("B80", "wet belt at 5 m/s"), tool("B120", "wet belt at 5 m/s")}
	at := func(shop, rule string) diag.List {
		h := laid(t, "stock:\n  B80: {abrasive: silicon carbide belt, grade: P80"+shop+"}\n  B120: {abrasive: silicon carbide belt, grade: P120}\n  B80N: {abrasive: silicon carbide belt, grade: P80}\n")
		_, checked := findings(h, "piece.md", pieceOf("edge", "fused", "matte", steps...))
		return of(checked, rule)
	}
	list := at(", retired: true", "stock-retired")
	if assert.Len(t, list, 1) {
		assert.Equal(t, diag.Error, list[0].Severity)
		assert.Equal(t, "Steps 1 and 2 take B80, which the house has retired.", list[0].Message)
		assert.Contains(t, list[0].Help, "B80N")
		assert.Len(t, list[0].Also, 1)
	}
	assert.Empty(t, at(", retired: true", "stock-worn"))
	list = at(", worn: true", "stock-worn")
	if assert.Len(t, list, 1) {
		assert.Equal(t, diag.Note, list[0].Severity)
	}
	assert.Empty(t, at(", worn: true, acts like: P120", "stock-worn"))
	assert.Empty(t, at("", "stock-worn"))
	assert.Empty(t, at("", "stock-retired"))
}
