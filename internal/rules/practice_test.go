package rules_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/rules"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// stepOf is one working step: a fact a line, and a checkpoint.
func stepOf(title string, facts ...string) string {
	return "## " + title + "\n\n- " + strings.Join(facts, "\n- ") + "\n\n- [ ] Raking lamp: even, no line of the last grade\n\n"
}

// pieceOf is a recipe of one surface and the steps on it. The mask is written
// in where a step must not see to safety notes: they are other rules' work.
func pieceOf(shape, from, to string, steps ...string) []byte {
	return []byte(`---
recipe: piece
title: A piece
revision: 1
date: 2026-03-02
approved: studio lead
glass: soda-lime
piece: {form: cast, size: 120 x 80 x 40 mm, mould: removed}
surfaces:
  - {name: face, shape: ` + shape + `, area: 96 cm², from: "` + from + `", to: ` + to + `}
---

` + strings.Join(steps, ""))
}

func loose(grain, medium, machine, mix string) string {
	return stepOf("Work the face with "+grain+" on "+medium, "Surface: face", "Abrasive: "+grain, "Medium: "+medium, "Machine: "+machine, "Water: damp", "Mix: "+mix, "Clean-down: wash everything")
}

const (
	onLap   = "flat lap at 150 rpm"
	onLathe = "lathe at 450 rpm"
	plate   = "iron lap, 300 mm"
	felt    = "felt pad, solid, 300 mm"
	holed   = "felt pad, perforated, 300 mm"
	brush   = "horsehair brush wheel, 150 mm"
	cork    = "cork pad, 300 mm"
)

// Facts of common practice, each as a pair of recipes: one that must be found
// fault with and one that must not. They come from the trade, not from a page;
// what is tested is that the checker knows them.
func TestCommonPractice(t *testing.T) {
	grind := func(grain string) string { return loose(grain, plate, onLap, "cream") }
	cases := []struct {
		fact, rule string
		wrong      []byte
		right      []byte
	}{
		{
			"a brush wheel reaches relief, a flat pad does not", "medium-does-not-reach",
			pieceOf("relief", "as cast", "satin", loose("pumice 2F", felt, onLathe, "mud")),
			pieceOf("relief", "as cast", "satin", loose("pumice 2F", brush, onLathe, "mud")),
		},
		{
			"a brush wheel reaches ground lenses, a flat pad does not", "medium-does-not-reach",
			pieceOf("facets", "ground, silicon carbide F400", "satin", loose("pumice 2F", cork, onLathe, "mud")),
			pieceOf("facets", "ground, silicon carbide F400", "satin", loose("pumice 2F", brush, onLathe, "mud")),
		},
		{
			"a flat lap reaches no relief, a lathe does", "machine-does-not-reach",
			pieceOf("relief", "as cast", "satin", loose("pumice 2F", brush, onLap, "mud")),
			pieceOf("relief", "as cast", "satin", loose("pumice 2F", brush, onLathe, "mud")),
		},
		{
			"a solid felt pad suits pumice better than a perforated one", "medium-variant",
			pieceOf("flat", "ground, silicon carbide F400", "lustre", loose("pumice 2F", holed, onLap, "mud")),
			pieceOf("flat", "ground, silicon carbide F400", "lustre", loose("pumice 2F", felt, onLap, "mud")),
		},
		{
			"a perforated felt pad is right for cerium", "medium-variant",
			pieceOf("flat", "ground, silicon carbide F400", "lustre", loose("pumice 2F", holed, onLap, "mud")),
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", loose("cerium oxide 1.5 µm", holed, onLap, "cream")),
		},
		{
			"pumice is mixed to mud", "mix-does-not-suit",
			pieceOf("flat", "ground, silicon carbide F400", "lustre", loose("pumice 2F", felt, onLap, "milk")),
			pieceOf("flat", "ground, silicon carbide F400", "lustre", loose("pumice 2F", felt, onLap, "mud")),
		},
		{
			"mud is too thick for cerium", "mix-does-not-suit",
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", loose("cerium oxide 1.5 µm", felt, onLap, "mud")),
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", loose("cerium oxide 1.5 µm", felt, onLap, "cream")),
		},
		{
			"parts are held against the words: one to twelve is no cream", "mix-does-not-suit",
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", loose("cerium oxide 1.5 µm", felt, onLap, "1 : 12 by volume")),
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", loose("cerium oxide 1.5 µm", felt, onLap, "1 : 2 by volume")),
		},
		{
			"4F pumice is finer than 2F, though both lie near a 325 label", "grade-goes-backwards",
			pieceOf("flat", "ground, silicon carbide F400", "lustre", loose("pumice 4F", felt, onLap, "mud"), loose("pumice 2F", felt, onLap, "mud")),
			pieceOf("flat", "ground, silicon carbide F400", "lustre", loose("pumice 2F", felt, onLap, "mud"), loose("pumice 4F", felt, onLap, "mud")),
		},
		{
			"F pumice is finer than 0, and 0 than 0½", "grade-goes-backwards",
			pieceOf("flat", "ground, silicon carbide F400", "lustre", loose("pumice 0", felt, onLap, "mud"), loose("pumice 0½", felt, onLap, "mud")),
			pieceOf("flat", "ground, silicon carbide F400", "lustre", loose("pumice 0½", felt, onLap, "mud"), loose("pumice 0", felt, onLap, "mud"), loose("pumice F", felt, onLap, "mud")),
		},
		{
			"a plated disc leaves marks too deep, whatever its number; a resin pad and pumice clear them", "damage-not-cleared",
			pieceOf("flat", "fused, uneven 0.01 mm", "bright polish", timed("20 min", tool("plated diamond disc 500 mesh, 300 mm", onLap)), timed("10 min", ceriumed(holed, onLap))),
			pieceOf("flat", "fused, uneven 0.01 mm", "bright polish", timed("20 min", tool("plated diamond disc 500 mesh, 300 mm", onLap)),
				timed("10 min", tool("resin diamond pad 325 mesh, 300 mm", onLap)), timed("20 min", pumiced("2F", felt, onLap)), timed("15 min", ceriumed(holed, onLap))),
		},
		{
			"pumice between the loose grain and the cerium", "damage-not-cleared",
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", timed("8 min", ceriumed(holed, onLap))),
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", timed("12 min", pumiced("2F", felt, onLap)), timed("8 min", ceriumed(holed, onLap))),
		},
		{
			"a dirty polish goes from pumice on a brush to its stop, and keeps the texture of the blast", "damage-not-cleared",
			pieceOf("relief", "sandblasted, silicon carbide F220", "bright polish", timed("10 min", ceriumed(brush, onLathe))),
			pieceOf("relief", "sandblasted, silicon carbide F220", "dirty polish", timed("20 min", pumiced("2F", brush, onLathe)), timed("10 min", ceriumed(brush, onLathe))),
		},
		{
			"a resin pad finishes finer than a plated disc of a higher number", "grade-goes-backwards",
			pieceOf("flat", "as cast", "fine matte",
				stepOf("First", "Surface: face", "Abrasive: plated diamond disc 400 mesh, 300 mm", "Machine: "+onLap, "Water: flood"),
				stepOf("Second", "Surface: face", "Abrasive: plated diamond disc 140 mesh, 300 mm", "Machine: "+onLap, "Water: flood")),
			pieceOf("flat", "as cast", "fine matte",
				stepOf("First", "Surface: face", "Abrasive: plated diamond disc 400 mesh, 300 mm", "Machine: "+onLap, "Water: flood"),
				stepOf("Second", "Surface: face", "Abrasive: resin diamond pad 325 mesh, 300 mm", "Machine: "+onLap, "Water: flood")),
		},
		{
			"loose grains on a hard plate are not held against a resin pad by size", "grade-goes-backwards",
			pieceOf("flat", "as cast", "fine matte", grind("silicon carbide F600"), grind("silicon carbide F400")),
			pieceOf("flat", "as cast", "fine matte", grind("silicon carbide F400"), stepOf("Smooth", "Surface: face", "Abrasive: resin diamond pad 325 mesh, 300 mm", "Machine: "+onLap, "Water: flood")),
		},
		{
			"rework may go back, with its reason", "grade-goes-backwards",
			pieceOf("flat", "as cast", "matte", grind("silicon carbide F400"), grind("silicon carbide F220")),
			pieceOf("flat", "as cast", "matte", grind("silicon carbide F400"), strings.Replace(grind("silicon carbide F220"), "Surface: face", "Surface: face (rework: a line shows)", 1), grind("silicon carbide F400")),
		},
		{
			"a step done only if something is seen is left out of the chain", "grade-goes-backwards",
			pieceOf("flat", "as cast", "matte", grind("silicon carbide F400"), grind("silicon carbide F220")),
			pieceOf("flat", "as cast", "matte", grind("silicon carbide F400"), strings.Replace(grind("silicon carbide F220"), "- Water", "- Only if: a line shows\n- Water", 1)),
		},
		{
			"a masked piece may be blasted again with a coarser grain, with the reason at the bench", "grade-goes-backwards",
			pieceOf("relief", "as cast", "matte", blasted("F220", "X"), blasted("F120", "X")),
			pieceOf("relief", "as cast", "matte", blasted("F220", "X"), blasted("F120", "X, back because the rest is masked")),
		},
		{
			"an arris is seamed again with the pad in hand", "grade-goes-backwards",
			pieceOf("edge", "as cast", "matte", seamed("silicon carbide paper P400"), seamed("silicon carbide paper P120")),
			pieceOf("arris", "new", "seamed", seamed("silicon carbide paper P400"), seamed("silicon carbide paper P120")),
		},
		{
			"US 400 and P800 are one grain", "same-size-twice",
			pieceOf("edge", "as cast", "matte", seamed("silicon carbide paper US 400"), seamed("silicon carbide paper P800")),
			pieceOf("edge", "as cast", "matte", seamed("silicon carbide paper P400"), seamed("silicon carbide paper US 400")),
		},
		{
			"the same paper taken twice is no second grade", "same-size-twice",
			pieceOf("edge", "as cast", "matte", seamed("silicon carbide paper US 400"), seamed("silicon carbide paper P800")),
			pieceOf("edge", "as cast", "matte", seamed("silicon carbide paper P800"), seamed("silicon carbide paper P800")),
		},
		{
			"an iron lap carries all its grades, scrubbed between; a felt does not", "one-medium-two-compounds",
			pieceOf("flat", "as cast", "bright polish", loose("pumice 2F", felt, onLap, "mud"), loose("cerium oxide 1.5 µm", felt, onLap, "cream")),
			pieceOf("flat", "as cast", "matte", grind("silicon carbide F220"), grind("aluminium oxide F400")),
		},
		{
			"pumice on felt is no clear polish; cerium is", "finish-not-reached",
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", loose("pumice 4F", felt, onLap, "mud")),
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", loose("pumice 4F", cork, onLap, "mud"), loose("cerium oxide 1.5 µm", felt, onLap, "cream")),
		},
		{
			"loose 400 leaves matte, a few minutes of pumice on felt lustre", "finish-not-reached",
			pieceOf("flat", "ground, silicon carbide F600", "lustre", timed("10 min", grind("silicon carbide F400"))),
			pieceOf("flat", "ground, silicon carbide F600", "lustre", timed("7 min", pumiced("2F", felt, onLap))),
		},
		{
			"grinding after the polish undoes it", "work-after-stop",
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", loose("cerium oxide 1.5 µm", felt, onLap, "cream"), grind("silicon carbide F220")),
			pieceOf("flat", "as cast", "bright polish", grind("silicon carbide F600"), loose("cerium oxide 1.5 µm", felt, onLap, "cream")),
		},
		{
			"pumice comes before cerium", "grade-goes-backwards",
			pieceOf("flat", "ground, silicon carbide F600", "lustre", loose("cerium oxide 1.5 µm", felt, onLap, "cream"), loose("pumice 2F", cork, onLap, "mud")),
			pieceOf("flat", "ground, silicon carbide F600", "bright polish", loose("pumice 2F", cork, onLap, "mud"), loose("cerium oxide 1.5 µm", felt, onLap, "cream")),
		},
	}
	h := laid(t, "benches: {order: [X, A, B, C, D, E], any: [W]}\n")
	for _, c := range cases {
		t.Run(c.fact, func(t *testing.T) {
			read, checked := findings(h, "wrong.md", c.wrong)
			assert.Empty(t, lines(t, worseThanNote(read)))
			wrong := of(checked, c.rule)
			assert.NotEmpty(t, wrong, "must be found fault with:\n%s", lines(t, checked))
			for _, d := range wrong {
				wellWritten(t, d)
			}
			read, checked = findings(h, "right.md", c.right)
			assert.Empty(t, lines(t, worseThanNote(read)))
			assert.Empty(t, lines(t, of(checked, c.rule)))
		})
	}
}

// blasted is a blast with silicon carbide.
func blasted(grade, bench string) string {
	return stepOf("Blast with "+grade, "Surface: face", "Abrasive: silicon carbide "+grade, "Machine: blast cabinet", "Water: dry", "Pressure: 1.5 bar", "Bench: "+bench)
}

// seamed is a step by hand with a paper or pad.
func seamed(abrasive string) string {
	return stepOf("Rub with "+abrasive, "Surface: face", "Abrasive: "+abrasive, "Machine: by hand", "Water: wet")
}

func worseThanNote(list diag.List) diag.List {
	var worse diag.List
	for _, d := range list {
		if d.Severity > diag.Note {
			worse.Add(d)
		}
	}
	return worse
}

// The house's own limit of a step in grade is used on a large face, and said to
// be its own; without one the model alone judges.
func TestTheHousesOwnGradeStep(t *testing.T) {
	steps := []string{
		stepOf("First", "Surface: face", "Abrasive: plated diamond disc 60 mesh, 300 mm", "Machine: "+onLap, "Water: flood", "Clean-down: wash"),
		stepOf("Second", "Surface: face", "Abrasive: plated diamond disc 325 mesh, 300 mm", "Machine: "+onLap, "Water: flood"),
	}
	at := func(h *trade.House, area string) diag.List {
		text := strings.Replace(string(pieceOf("flat", "as cast", "matte", steps...)), "area: 96 cm²", area, 1)
		_, checked := findings(h, "piece.md", []byte(text))
		return of(checked, "house-grade-step")
	}
	h := laid(t, "limits: {grade step: 3}\n")
	list := at(h, "area: 96 cm²")
	if assert.Len(t, list, 1) {
		assert.Contains(t, list[0].Message, "the house's limit is 3")
	}
	assert.Empty(t, at(h, "area: 40 cm²"), "a face under 75 mm across takes a wide step")
	assert.Len(t, at(h, "length: 120 mm, width: 80 mm"), 1)
	assert.Empty(t, at(h, "length: 120 mm"), "nobody knows how large it is")
	assert.Empty(t, at(laid(t, "limits: {grade step: 6}\n"), "area: 96 cm²"))
	assert.Empty(t, at(trade.BuiltIn(), "area: 96 cm²"), "the house has set none")
}

// A supplier's usual advice takes a face under 75 mm across from a 60 disc straight
// to a 325 pad; on a larger one the pad wears out (common practice). A house that
// has set its own step is asked that alone.
func TestACoarseDiscWearsAFinePad(t *testing.T) {
	at := func(h *trade.House, area, second, surface string) diag.List {
		text := strings.Replace(string(pieceOf("flat", "as cast", "matte",
			stepOf("First", "Surface: face", "Abrasive: D60", "Machine: "+onLap, "Water: flood", "Time: 30 min", "Clean-down: wash"),
			stepOf("Second", "Surface: "+surface, "Abrasive: "+second, "Machine: "+onLap, "Water: flood", "Time: 90 min"))), "area: 96 cm²", area, 1)
		read, checked := findings(h, "piece.md", []byte(text))
		assert.Empty(t, lines(t, read))
		return of(checked, "pad-worn-by-coarse-marks")
	}
	const stock = "stock:\n  D60: {abrasive: plated diamond disc, grade: 60 mesh, diameter: 300 mm}\n  D140: {abrasive: plated diamond disc, grade: 140 mesh, diameter: 300 mm}\n" +
		"  D270: {abrasive: plated diamond disc, grade: 270 mesh, diameter: 300 mm}\n  R325: {abrasive: resin diamond pad, grade: 325 mesh, diameter: 300 mm}\n"
	h := laid(t, stock)
	list := at(h, "area: 96 cm²", "R325", "face")
	if assert.Len(t, list, 1) {
		assert.Equal(t, diag.Warning, list[0].Severity)
		assert.Contains(t, list[0].Help, "D140 (105 µm) and D270 (53 µm)")
	}
	assert.Empty(t, at(h, "area: 40 cm²", "R325", "face"), "a small face")
	assert.Empty(t, at(h, "length: 120 mm", "R325", "face"), "nobody knows how large it is")
	assert.Empty(t, at(h, "area: 96 cm²", "D270", "face"), "no resin pad")
	assert.Empty(t, at(h, "area: 96 cm²", "R325", "face (rework: a scratch)"), "rework")
	assert.Empty(t, at(laid(t, "limits: {grade step: 6}\n"+stock), "area: 96 cm²", "R325", "face"), "the house's own step")
}

// A rim speed past the built-in range is a warning, past the house's own an
// error; v = π d n, so a 250 mm wheel at 1750 rpm runs at 22.9 m/s.
func TestRimSpeedStandsOnWhoSetTheRange(t *testing.T) {
	text := pieceOf("convex", "ground, silicon carbide F600", "bright polish", loose("cerium oxide 1.5 µm", "felt wheel, 250 mm", "upright polisher at 1750 rpm", "cream"))
	h := trade.BuiltIn()
	_, checked := findings(h, "piece.md", text)
	list := of(checked, "rim-speed-out-of-range")
	if assert.Len(t, list, 1) {
		assert.Equal(t, diag.Warning, list[0].Severity)
		assert.Contains(t, list[0].Message, "22.9 m/s")
		assert.Equal(t, "Write 380 rpm, or anything from 230 to 530 rpm.", list[0].Help)
	}
	_, checked = findings(laid(t, "limits: {rim speed: {felt wheel: 3-7 m/s}}\n"), "piece.md", text)
	list = of(checked, "rim-speed-out-of-range")
	if assert.Len(t, list, 1) {
		assert.Equal(t, diag.Error, list[0].Severity)
	}
	_, checked = findings(h, "piece.md", []byte(strings.Replace(string(text), "felt wheel, 250 mm", "felt wheel", 2)))
	list = of(checked, "rim-speed-out-of-range")
	if assert.Len(t, list, 1) {
		assert.Equal(t, diag.Note, list[0].Severity)
		assert.Contains(t, list[0].Message, "no diameter")
	}
}

// laid is the house of a shop file.
func laid(t *testing.T, text string) *trade.House {
	t.Helper()
	var list diag.List
	h := trade.Lay(source.New("shop.yaml", []byte(text)), &list)
	require.Empty(t, lines(t, list))
	return h
}

// What a house makes of the rules is held against the rules themselves.
func TestTheHousesSettingsAreLaidOver(t *testing.T) {
	settings := func(set string) *trade.House { return laid(t, "limits: {rules: {"+set+"}}\n") }
	assert.Empty(t, lines(t, rules.CheckHouse(settings("house-grade-step: {severity: error, because: lines came up twice}"))))
	// Rules of the trade that concern people are the house's to lower.
	assert.Empty(t, lines(t, rules.CheckHouse(settings("rim-speed-out-of-range: {severity: warning, because: an old lathe}, water-not-stated: {severity: warning, because: all our work is wet}"))))
	for _, wrong := range []string{
		"house-grade-stop: {severity: error, because: a slip of the pen}",
		"power-near-water: {severity: warning, because: we know}",
		"dry-work-on-lead: {severity: error, because: we know}",
		"bare-grade: {severity: warning, because: we know}",
	} {
		list := rules.CheckHouse(settings(wrong))
		if assert.Len(t, list, 1, wrong) {
			wellWritten(t, list[0])
		}
	}

	text := pieceOf("flat", "as cast", "matte", loose("silicon carbide F220", plate, onLap, "cream"))
	text = []byte(strings.Replace(string(text), "- [ ] Raking lamp", "Raking lamp", 1))
	_, checked := findings(trade.BuiltIn(), "piece.md", text)
	require.Len(t, of(checked, "no-checkpoint"), 1)
	assert.Equal(t, diag.Warning, of(checked, "no-checkpoint")[0].Severity)
	_, checked = findings(settings("no-checkpoint: {severity: error, because: apprentices read these}"), "piece.md", text)
	assert.Equal(t, diag.Error, of(checked, "no-checkpoint")[0].Severity)
	// What protects people stays, whatever the house writes.
	_, checked = findings(settings("slurry-never-to-drain: {severity: warning, because: we know}"), "piece.md", text)
	require.NotEmpty(t, of(checked, "slurry-never-to-drain"))
	assert.Equal(t, diag.Error, of(checked, "slurry-never-to-drain")[0].Severity)
}

// The way out of a jump names what is on the shelf and can lie on that lap.
func TestAJumpNamesTheStockBetween(t *testing.T) {
	h := laid(t, `limits: {grade step: 3.6}
stock:
  D60: {abrasive: plated diamond disc, grade: 60 mesh, diameter: 300 mm}
  D140: {abrasive: plated diamond disc, grade: 140 mesh, diameter: 300 mm}
  D270: {abrasive: plated diamond disc, grade: 270 mesh, diameter: 300 mm}
  OLD: {abrasive: plated diamond disc, grade: 170 mesh, diameter: 300 mm, retired: true}
  B120: {abrasive: silicon carbide belt, grade: P120}
  S120: {abrasive: silicon carbide, grade: F120}
`)
	text := pieceOf("flat", "as cast", "matte",
		stepOf("First", "Surface: face", "Abrasive: D60", "Machine: "+onLap, "Water: flood", "Clean-down: wash"),
		stepOf("Second", "Surface: face", "Abrasive: resin diamond pad 325 mesh, 300 mm", "Machine: "+onLap, "Water: flood"))
	_, checked := findings(h, "piece.md", text)
	list := of(checked, "house-grade-step")
	require.Len(t, list, 1)
	for _, code := range []string{"D140", "D270"} {
		assert.Contains(t, list[0].Help, code)
	}
	for _, code := range []string{"OLD", "B120", "S120"} {
		assert.NotContains(t, list[0].Help, code)
	}
}

// One cause is one finding: a coated surface that is to stay untouched is
// spoken of once, and so is a wash that is missing.
func TestOneCauseIsSaidOnce(t *testing.T) {
	text := strings.Replace(string(pieceOf("flat", "fused", "untouched", loose("silicon carbide F220", plate, onLap, "cream"))),
		"piece: {", "coating: {kind: dichroic, on: face}\npiece: {", 1)
	_, checked := findings(trade.BuiltIn(), "piece.md", []byte(text))
	assert.Len(t, of(checked, "coated-surface-worked"), 1)
	assert.Empty(t, of(checked, "protected-surface-worked"))

	grind := func(grain string) string {
		return strings.Replace(loose(grain, plate, onLap, "cream"), "- Clean-down: wash everything\n", "", 1)
	}
	dirty := pieceOf("flat", "as cast", "matte", grind("silicon carbide F80"), grind("silicon carbide F220"), grind("silicon carbide F400"))
	_, checked = findings(trade.BuiltIn(), "piece.md", dirty)
	assert.Len(t, of(checked, "grit-carry-over"), 1)
	assert.Empty(t, of(checked, "no-clean-down"))
	_, checked = findings(laid(t, "always: [grit carry-over]\n"), "piece.md", dirty)
	assert.Empty(t, of(checked, "grit-carry-over"))
	list := of(checked, "no-clean-down")
	require.Len(t, list, 1)
	assert.Len(t, list[0].Also, 1, "the second step is named with the first")
}
