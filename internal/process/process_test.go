package process_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

const shop = `
stock:
  D60: {abrasive: plated diamond disc, grade: 60 mesh, bench: A, diameter: 400 mm}
  R325: {abrasive: resin diamond pad, grade: 325 mesh, acts like: F600, bench: C}
  S220: {abrasive: silicon carbide, grade: F220, bench: B, pack: 1 kg, price: 10.00 EUR, dated: 2026-09-01}
  CE: {abrasive: cerium oxide, grade: 1.5 µm, bench: E, pack: 500 g, price: 30.00 EUR, dated: 2026-09-01, ready mixed: yes}
media:
  BR: {medium: horsehair brush wheel, kept for: pumice, diameter: 150 mm}
machines:
  LAP: {kind: flat lap, diameter: 400 mm, maximum: 450 rpm}
  LATHE: {kind: lathe, maximum: 1500 rpm}
benches: [A, B, C, D, E]
`

const head = `---
recipe: test-piece
title: Test piece
revision: 1
date: 2026-11-01
glass: soda-lime
piece: {form: sawn block, size: 300 x 300 x 100 mm}
surfaces:
  - {name: top, shape: flat, area: 100 cm², from: "sawn, diamond 100 mesh", to: bright polish}
  - {name: edge, shape: edge, length: 300 mm, width: 20 mm, from: as cast, to: matte}
  - {name: dome, shape: convex, from: fire polished, to: untouched}
---
`

// plan reads steps under the head above and works them out.
func plan(t *testing.T, steps string) *process.Plan {
	t.Helper()
	var report diag.List
	h := trade.Lay(source.New("shop.yaml", []byte(shop)), &report)
	require.Empty(t, report)
	r, report := parse.New(h).Parse(source.New("test.md", []byte(head+steps)))
	require.Empty(t, report)
	return process.Of(r, h)
}

// step is a step with facts, one a line.
func step(title string, facts ...string) string {
	return "\n## " + title + "\n\n- " + strings.Join(facts, "\n- ") + "\n"
}

func chain(p *process.Plan, name string) *process.Chain {
	for i := range p.Chains {
		if p.Chains[i].Surface.Name.Value == name {
			return &p.Chains[i]
		}
	}
	return nil
}

func TestChainsFollowTheSteps(t *testing.T) {
	p := plan(t, step("Flatten", "Surface: top", "Abrasive: D60", "Machine: LAP at 300 rpm", "Water: flood", "Time: 5 min")+
		step("Edge", "Surface: edge", "Abrasive: silicon carbide belt P120", "Machine: wet belt at 5 m/s", "Water: drip", "Time: 5 min")+
		step("Wash", "Surface: all", "Water: flood")+
		step("Smooth", "Surface: top, edge", "Abrasive: R325", "Machine: LAP at 200 rpm", "Water: flood", "Time: 5 min"))
	top, edge := chain(p, "top"), chain(p, "edge")
	require.Len(t, top.Works, 2)
	require.Len(t, edge.Works, 2)
	assert.Equal(t, []int{1, 3, 4}, top.Touches)
	assert.Equal(t, []int{2, 3, 4}, edge.Touches)
	assert.Equal(t, []int{3}, chain(p, "dome").Touches)
	assert.InDelta(t, 250, top.Works[0].Grain, 1e-9, "the size on the label of a 60 mesh disc")
	assert.InDelta(t, 9.3, top.Works[1].Grain, 1e-9, "what the pad acts like, F600, is 9.3 µm by FEPA 42-2")
	assert.Equal(t, trade.Bonded, top.Works[0].Class)
}

func TestAllLeavesTheProtectedAndTheMaskedAlone(t *testing.T) {
	p := plan(t, step("Mask", "Surface: edge", "Mask: edge")+
		step("Blast", "Surface: all", "Abrasive: silicon carbide F220", "Machine: blast cabinet", "Water: dry", "Time: 5 min")+
		step("Unmask", "Surface: all", "Unmask: all", "Water: flood")+
		step("Blast again", "Surface: all", "Abrasive: silicon carbide F220", "Machine: blast cabinet", "Water: dry", "Time: 5 min"))
	assert.Empty(t, chain(p, "dome").Works, "a protected surface is not worked by `all`")
	edge := chain(p, "edge")
	require.Len(t, edge.Works, 2)
	assert.True(t, edge.Works[0].Masked)
	assert.False(t, edge.Works[1].Masked)
	assert.Equal(t, trade.Blast, edge.Works[0].Class)
	assert.True(t, p.Steps[1].Masked["edge"])
	assert.False(t, p.Steps[3].Masked["edge"])
	require.Len(t, p.Steps[1].Works, 1)
	assert.Equal(t, "top", p.Steps[1].Works[0].Name.Value)
	assert.False(t, p.Steps[1].Powder, "grain in a blast cabinet is not handled as a loose powder")
}

// v = π d n: 0.4 m at 300 a minute runs 6.28 m/s at the rim, 0.15 m at 450
// runs 3.53 m/s (arithmetic).
func TestRimSpeeds(t *testing.T) {
	p := plan(t, step("Flatten", "Surface: top", "Abrasive: D60", "Machine: LAP at 300 rpm", "Water: flood", "Time: 5 min")+
		step("Brush", "Surface: top", "Abrasive: pumice 2F", "Medium: BR", "Machine: LATHE at 450 rpm", "Water: damp", "Mix: mud", "Time: 5 min")+
		step("Belt", "Surface: edge", "Abrasive: silicon carbide belt P120", "Machine: wet belt at 5 m/s", "Water: drip", "Time: 5 min")+
		step("Unknown wheel", "Surface: edge", "Abrasive: pumice 2F", "Medium: cork wheel", "Machine: LATHE at 450 rpm", "Water: damp", "Mix: mud", "Time: 5 min"))
	assert.InDelta(t, 6.283, p.Steps[0].Rim, 0.001)
	assert.InDelta(t, 3.534, p.Steps[1].Rim, 0.001)
	assert.Equal(t, 150.0, p.Steps[1].Diameter)
	assert.Equal(t, 5.0, p.Steps[2].Rim)
	assert.Zero(t, p.Steps[3].Rim, "a wheel of no written size has no rim speed")
	assert.Equal(t, 450.0, p.Steps[3].RPM)
}

func TestAChangeIsAnotherToolOnTheSameMachine(t *testing.T) {
	lap := func(abrasive string, more ...string) []string {
		return append([]string{"Surface: top", "Abrasive: " + abrasive, "Machine: LAP at 150 rpm", "Water: damp", "Time: 5 min"}, more...)
	}
	p := plan(t, step("One", lap("D60")...)+step("Two", lap("D60")...)+step("Three", lap("R325")...)+
		step("Four", lap("pumice 2F", "Medium: felt pad, solid", "Mix: mud")...)+
		step("Five", lap("CE", "Medium: felt pad, solid", "Mix: cream")...)+
		step("By hand", "Surface: edge", "Abrasive: plated diamond hand pad 120 mesh", "Machine: by hand", "Water: wet", "Time: 5 min"))
	var got, first []bool
	for _, s := range p.Steps {
		got, first = append(got, s.Changed), append(first, s.First)
	}
	assert.Equal(t, []bool{false, false, true, true, false, false}, got)
	assert.Equal(t, []bool{true, false, false, false, false, false}, first, "what is first put on a machine is no change")
	assert.True(t, p.Steps[3].Powder)
	assert.False(t, p.Steps[4].Powder, "a powder that comes ready mixed is not handled dry")
}

// 300 × 300 × 100 mm at 2.5 g/cm³ is 22.5 kg (arithmetic; 2.5 is the handbook
// density of soda-lime glass).
func TestMassFromSizeAndDensity(t *testing.T) {
	p := plan(t, step("Look", "Surface: top"))
	assert.InDelta(t, 22.5, p.Mass, 0.1)
	assert.True(t, p.MassFromSize)
}

// A piece with a wall is hollow, whether or not that is written: a bowl of
// 220 × 90 mm with a wall of 9 mm weighs about 2 kg, as a full block of that
// size 8.6 (arithmetic, as above).
func TestAWallIsNoSolidPiece(t *testing.T) {
	text := func(piece string) *process.Plan {
		r, _ := parse.New(trade.BuiltIn()).Parse(source.New("a.md", []byte("---\nrecipe: a\ntitle: A\nrevision: 1\ndate: 2026-03-02\nglass: soda-lime\npiece: {form: cast, size: 220 mm dia x 90 mm"+piece+"}\nsurfaces:\n  - {name: base, shape: flat, from: as cast, to: matte}\n---\n\n## Look\n\n- Surface: base\n")))
		return process.Of(r, trade.BuiltIn())
	}
	assert.InDelta(t, 8.6, text("").Mass, 0.1)
	for _, piece := range []string{", wall: 9 mm", ", hollow: true", ", hollow: true, wall: 9 mm"} {
		assert.Zero(t, text(piece).Mass, piece)
	}
	assert.InDelta(t, 2, text(", wall: 9 mm, mass: 2 kg").Mass, 1e-9)
}

func TestTotals(t *testing.T) {
	p := plan(t, step("Grind", "Surface: top", "Abrasive: S220", "Medium: iron lap, 400 mm", "Machine: flat lap, 400 mm at 100 rpm", "Water: drip", "Mix: cream", "Time: 6-8-12 min", "Amount: 40 g silicon carbide F220")+
		step("Again", "Surface: top", "Abrasive: S220", "Medium: iron lap, 400 mm", "Machine: flat lap, 400 mm at 100 rpm", "Water: drip", "Mix: cream", "Time: 2 x 3 min", "Amount: 20 g silicon carbide F220")+
		step("Pumice", "Surface: top", "Abrasive: pumice 2F", "Medium: felt pad, solid", "Machine: LAP at 100 rpm", "Water: damp", "Mix: mud", "Time: 10 min")+
		step("Polish", "Surface: top", "Abrasive: CE", "Medium: felt pad, perforated", "Machine: LAP at 100 rpm", "Water: damp", "Mix: cream", "Time: 8 min", "Amount: 8 g cerium oxide")+
		step("Again if a line shows", "Surface: top", "Abrasive: CE", "Medium: felt pad, perforated", "Machine: LAP at 100 rpm", "Water: damp", "Mix: cream", "Time: 30 min", "Only if: a line shows")+
		step("Dry", "Surface: all", "Water: flood", "Time: 4 min + 30 min alone")+
		step("Sign", "Surface: all"))
	got := p.Totals
	assert.InDelta(t, 8+6+10+8+4, got.Attended, 1e-9)
	assert.InDelta(t, 30, got.Alone, 1e-9)
	assert.Equal(t, 1, got.Untimed)
	assert.InDelta(t, 8+6+4, got.WaterMinutes, 1e-9)
	require.Len(t, got.Amounts, 3)
	assert.Equal(t, process.Amount{What: "silicon carbide F220", Grams: 60, Cost: 0.6, Currency: "EUR", Dated: "2026-09-01", Written: true}, rounded(got.Amounts[0]))
	assert.Equal(t, process.Amount{What: "pumice 2F"}, got.Amounts[1], "a powder nobody wrote an amount for is named")
	assert.Equal(t, "cerium oxide", got.Amounts[2].What)
	assert.InDelta(t, 8.0/500*30, got.Amounts[2].Cost, 1e-9)
	assert.InDelta(t, 0.6+0.48, got.Cost["EUR"], 1e-9)
}

func rounded(a process.Amount) process.Amount {
	a.Grams = float64(int(a.Grams*1000+0.5)) / 1000
	a.Cost = float64(int(a.Cost*1000+0.5)) / 1000
	return a
}

func TestReworkAndOnlyIfAreMarked(t *testing.T) {
	p := plan(t, step("Grind", "Surface: top (rework: a line showed)", "Abrasive: D60", "Machine: LAP at 300 rpm", "Water: flood", "Time: 5 min")+
		step("Maybe", "Surface: top", "Abrasive: D60", "Machine: LAP at 300 rpm", "Water: flood", "Time: 5 min", "Only if: a line shows"))
	works := chain(p, "top").Works
	require.Len(t, works, 2)
	assert.True(t, works[0].Rework)
	assert.True(t, works[1].OnlyIf)
}
