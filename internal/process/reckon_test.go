package process_test

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
	"coldwright/internal/wear"
)

// reckonText reads a recipe by a shop file and reckons it. What cannot be read
// is left to the caller: a reckoning is asked for of any recipe.
func reckonText(t testing.TB, shopText, text string) *process.Reckoning {
	t.Helper()
	var report diag.List
	h := trade.Lay(source.New("shop.yaml", []byte(shopText)), &report)
	require.Empty(t, report)
	r, _ := parse.New(h).Parse(source.New("test.md", []byte(text)))
	return process.Of(r, h).Reckon()
}

func reckonFile(t testing.TB, name string) *process.Reckoning {
	t.Helper()
	return reckonText(t, string(testkit.Read(t, filepath.Join(filepath.Dir(name), "shop.yaml"))), string(testkit.Read(t, name)))
}

func surface(t testing.TB, r *process.Reckoning, name string) *process.SurfaceReckoning {
	t.Helper()
	for i := range r.Surfaces {
		if r.Surfaces[i].Surface.Name.Value == name {
			return &r.Surfaces[i]
		}
	}
	require.Fail(t, "no surface "+name)
	return nil
}

// near compares a number with one that was printed with so many places.
func near(t *testing.T, want, got float64, places int, what string) {
	t.Helper()
	half := 0.5
	for range places {
		half /= 10
	}
	assert.InDelta(t, want, got, half*1.02+1e-9, what)
}

// The numbers are those of the worked example that the model was given with,
// reckoned apart from this program by two others that agree.
func TestTheExampleRecipe(t *testing.T) {
	r := reckonFile(t, filepath.Join(testkit.Root(t), "internal/parse/testdata/example/cast-weight.md"))
	base := surface(t, r, "base")
	require.Len(t, base.Steps, 4)
	steps := base.Steps
	assert.Equal(t, 200.0, base.Arrives.StockUM)

	grind := steps[0]
	near(t, 298, grind.Result.RemovedUM, 0, "F220 takes off")
	near(t, 5.3, grind.Result.Expected.Minutes, 1, "F220 needs, for the saw's stock")
	// The low value is 17.75 before it is printed.
	assert.InDelta(t, 17.8, grind.After.DLowUM, 0.06)
	near(t, 43.1, grind.After.DUM, 1, "F220 leaves")
	near(t, 55.5, grind.After.DHighUM, 1, "F220 leaves at most")

	pad := steps[1]
	near(t, 92, pad.Result.RemovedUM, 0, "the pad takes off")
	near(t, 2.3, pad.Result.Expected.Minutes, 1, "the pad needs")
	near(t, 3.0, pad.Result.Safe.Minutes, 1, "the pad needs to be safe")
	assert.InDelta(t, 5.9, pad.After.DLowUM, 0.06)
	near(t, 9.7, pad.After.DUM, 1, "the pad leaves")
	near(t, 16.2, pad.After.DHighUM, 1, "the pad leaves at most")
	near(t, 0.219, pad.RqUM, 3, "roughness of the pad")
	assert.Equal(t, wear.FineMatte, pad.Finish)

	pumice := steps[2]
	near(t, 11.3, pumice.Result.RemovedUM, 1, "2F takes off")
	near(t, 8.6, pumice.Result.Expected.Minutes, 1, "2F needs")
	near(t, 14.3, pumice.Result.Safe.Minutes, 1, "2F needs to be safe")
	assert.Equal(t, wear.Likely, pumice.Result.Verdict)
	near(t, 0.46, pumice.After.DLowUM, 2, "2F leaves at least")
	near(t, 0.92, pumice.After.DUM, 2, "2F leaves")
	near(t, 4.9, pumice.After.DHighUM, 1, "2F leaves at most")
	near(t, 0.059, pumice.RqUM, 3, "roughness of 2F")
	assert.Equal(t, wear.Lustre, pumice.Finish)

	cerium := steps[3]
	near(t, 3.0, cerium.Result.RemovedUM, 1, "cerium takes off")
	near(t, 2.4, cerium.Result.Expected.Minutes, 1, "cerium needs")
	near(t, 12.9, cerium.Result.Safe.Minutes, 1, "cerium needs to be safe")
	assert.Equal(t, wear.BrightPolish, base.Finish)
	assert.True(t, base.Reached)
	assert.Zero(t, base.Off)

	assert.Empty(t, surface(t, r, "dome").Steps)
	assert.Equal(t, 39.0, r.Totals.Attended)
	assert.Equal(t, 10.0, r.Totals.Alone)
	require.Len(t, r.Totals.Amounts, 3)
	// F220 has a charge at the start and seven more, each a teaspoon of 5 ml at
	// 1.5 g/ml; pumice at 0, 2, 4, 6 and 8 minutes, at 0.8 g/ml.
	assert.InDelta(t, 8*5*1.5, r.Totals.Amounts[0].Grams, 1e-9)
	assert.InDelta(t, 5*5*0.8, r.Totals.Amounts[1].Grams, 1e-9)
	assert.Equal(t, 8.0, r.Totals.Amounts[2].Grams)
	assert.True(t, r.Totals.Amounts[2].Written)
	assert.False(t, r.Totals.Amounts[0].Written)
	assert.InDelta(t, 60*0.010+20*0.006+8*0.045, r.Totals.Cost["EUR"], 1e-9)
	assert.True(t, r.Totals.CostDefault)
}

// Common practice: after a 325 resin pad a face is dull; a few minutes of 2F
// pumice on felt show the ceiling lamp and cut the minutes of cerium. The
// figures are those the model was given with.
func TestTheBenchTestTheTradeKnows(t *testing.T) {
	for _, c := range []struct {
		minutes string
		left    float64
	}{{"2", 6.9}, {"4", 4.1}, {"6", 1.3}} {
		r := reckonText(t, `
stock:
  CE: {abrasive: cerium oxide, grade: 1.5 µm}
`, `---
recipe: bench
title: Bench test
revision: 1
date: 2026-10-05
glass: soda-lime
piece: {form: cast, size: 80 mm dia x 45 mm, mould: removed}
surfaces:
  - {name: face, shape: flat, area: 40 cm², from: "ground, resin diamond pad 325 mesh", to: bright polish}
---
`+step("Pumice", "Surface: face", "Abrasive: pumice 2F", "Medium: felt pad", "Machine: flat lap, 300 mm at 150 rpm",
			"Water: damp", "Charge: every 2 min", "Time: "+c.minutes+" min")+
			step("Cerium", "Surface: face", "Abrasive: CE", "Medium: felt pad", "Machine: flat lap, 300 mm at 150 rpm", "Water: damp", "Time: 8 min"))
		face := surface(t, r, "face")
		require.Len(t, face.Steps, 2, c.minutes)
		near(t, 0.219, face.Arrives.RtUM/6, 3, "before")
		near(t, 0.062, face.Steps[0].RqUM, 3, c.minutes)
		assert.Equal(t, 90.0, face.Steps[0].LampDeg, "the lamp shows head-on")
		assert.Equal(t, wear.Lustre, face.Steps[0].Finish)
		// 1.25 µm after six minutes, before it is printed.
		assert.InDelta(t, c.left, face.Steps[0].After.DUM, 0.06, c.minutes)
		near(t, 1.1, face.Steps[1].Result.Gloss.Minutes, 1, "gloss minutes of the cerium")
		assert.InDelta(t, 1.571, face.Steps[0].In.SpeedMS.Value, 0.001)
	}
}

// The sequences are what experienced people work by, with their usual minutes.
// A model that cries wolf on sound work is wrong.
func TestSoundSequencesReachTheirStops(t *testing.T) {
	names, err := filepath.Glob(filepath.Join(testkit.Root(t), "testdata/sequences/*.md"))
	require.NoError(t, err)
	require.Len(t, names, 7)
	judged, refused := 0, []string{}
	for _, name := range names {
		r := reckonFile(t, name)
		for i := range r.Surfaces {
			s := &r.Surfaces[i]
			where := filepath.Base(name) + " " + s.Surface.Name.Value
			assert.Empty(t, s.Cannot, where)
			if !s.Asks {
				continue
			}
			judged++
			assert.GreaterOrEqual(t, s.Off, -1, where)
			assert.LessOrEqual(t, s.Off, 1, where)
			stop := s.Surface.To.Value
			for n := range s.Steps {
				st := &s.Steps[n]
				assert.Empty(t, st.Cannot, where)
				if stop.Polish && st.Result.Verdict == wear.No {
					refused = append(refused, where)
				}
				shape := s.Surface.Shape.Value.Name
				if grinds := !st.Polish() && st.In.Tool.Family != wear.Pumice && !st.Blast; grinds && n > 0 && shape != "arris" && shape != "bevel" {
					assert.GreaterOrEqual(t, st.Result.Verdict, wear.Likely, "%s, %s", where, st.Steps[0].Title)
				}
			}
		}
	}
	assert.Equal(t, 13, judged)
	assert.Equal(t, []string{"cube-optical.md arrises", "cube-optical.md faces"}, slices.Sorted(slices.Values(refused)),
		"the two known ones: polishing by hand, and cerium straight from a 600 resin pad")
}

// The demo recipes are written so that nothing is left under a polish and every
// stop is met, by the numbers as by the bench.
func TestDemoRecipesReachTheirStops(t *testing.T) {
	judged := 0
	for _, name := range testkit.Files(t, filepath.Join(testkit.Root(t), "recipes"), "*.md") {
		r := reckonFile(t, name)
		for i := range r.Surfaces {
			s := &r.Surfaces[i]
			where := filepath.Base(name) + " " + s.Surface.Name.Value
			assert.Empty(t, s.Cannot, where)
			if !s.Asks {
				continue
			}
			judged++
			assert.True(t, s.Reached, where)
			assert.LessOrEqual(t, s.Off, 1, where)
			for n, asked := range s.Clears() {
				st := &s.Steps[n]
				assert.Empty(t, st.Cannot, where)
				if asked && st.Verdict != wear.NothingHanded && s.Arrives.StockUM == 0 {
					assert.GreaterOrEqual(t, st.Verdict, wear.Likely, "%s, %s", where, st.Steps[0].Title)
				}
				// A casting may come true in two steps; the polish clears all.
				if asked && n == len(s.Steps)-1 {
					assert.GreaterOrEqual(t, st.Verdict, wear.Likely, "%s, %s", where, st.Steps[0].Title)
					assert.LessOrEqual(t, st.After.StockUM, 10.0, where)
				}
			}
		}
	}
	assert.Equal(t, 8, judged)
}

// inputs are those of one step on a face of 100 cm².
func inputs(t *testing.T, facts ...string) process.Inputs {
	t.Helper()
	r := reckonText(t, shop, head+step("Work", append([]string{"Surface: top"}, facts...)...))
	top := surface(t, r, "top")
	require.Len(t, top.Steps, 1)
	require.Empty(t, top.Steps[0].Cannot)
	return top.Steps[0].In
}

// Every input is what the words say, and remembers who said it.
func TestWordsBecomeInputs(t *testing.T) {
	written, dflt := process.Written, process.Default
	lap := inputs(t, "Abrasive: D60", "Machine: LAP at 300 rpm", "Water: flood", "Time: 6-8-12 min")
	assert.Equal(t, process.Input{Value: 40, Standing: dflt}, lap.ForceN)
	assert.InDelta(t, 2.0/3*6.283185, lap.SpeedMS.Value, 1e-5, "two thirds of the rim of 400 mm at 300 rpm")
	assert.Equal(t, written, lap.SpeedMS.Standing)
	assert.Equal(t, process.Input{Value: 0.01, Standing: written}, lap.AreaM2)
	assert.Equal(t, process.Input{Value: 8, Standing: written}, lap.Minutes, "6-8-12 min is 8 as a rule")
	assert.Equal(t, 1.0, lap.Load, "40 N on 100 cm² is the usual pressure")
	assert.Equal(t, dflt, lap.Basis())

	for words, newton := range map[string]float64{"light": 10, "medium": 40, "firm": 80, "25 N": 25, "2 kPa": 20} {
		in := inputs(t, "Abrasive: D60", "Machine: LAP at 300 rpm", "Water: flood", "Time: 5 min", "Pressure: "+words)
		assert.InDelta(t, newton, in.ForceN.Value, 1e-9, words)
	}
	force := inputs(t, "Abrasive: D60", "Machine: LAP at 300 rpm", "Water: flood", "Time: 5 min", "Pressure: 25 N")
	assert.Equal(t, written, force.ForceN.Standing)

	slow := inputs(t, "Abrasive: R325", "Machine: LAP", "Water: flood", "Time: 5 min")
	assert.InDelta(t, 2.0/3*3.14159265*0.4*200/60, slow.SpeedMS.Value, 1e-6, "a resin pad of no written speed runs at 200 rpm")
	assert.Equal(t, dflt, slow.SpeedMS.Standing)

	grit := inputs(t, "Abrasive: S220", "Medium: iron lap", "Machine: LAP at 110 rpm", "Water: drip", "Time: 5 min")
	assert.Equal(t, process.Input{Value: 1, Standing: dflt}, grit.ChargeEveryMin, "a drip-fed iron lap")
	assert.InDelta(t, 0.12566, grit.LapAreaM2.Value, 1e-5, "the disc of 400 mm")
	pooled := inputs(t, "Abrasive: S220", "Medium: iron lap", "Machine: LAP at 110 rpm", "Water: pool", "Time: 5 min")
	assert.Equal(t, 3.0, pooled.ChargeEveryMin.Value)
	last := inputs(t, "Abrasive: S220", "Medium: iron lap", "Machine: LAP at 110 rpm", "Water: pool", "Time: 9 min", "Charge: every 2 min, last 3 min without")
	assert.Equal(t, 2.0, last.ChargeEveryMin.Value)
	assert.Equal(t, 3.0, last.RunDownMin.Value)
	once := inputs(t, "Abrasive: S220", "Medium: iron lap", "Machine: LAP at 110 rpm", "Water: pool", "Time: 9 min", "Charge: once")
	assert.Zero(t, once.ChargeEveryMin.Value)

	brush := inputs(t, "Abrasive: pumice 2F", "Medium: BR", "Machine: LATHE at 450 rpm", "Water: damp", "Time: 5 min")
	assert.InDelta(t, 3.534, brush.SpeedMS.Value, 1e-3, "the whole rim speed of a wheel")
	assert.InDelta(t, 3.14159265*0.15*0.04, brush.LapAreaM2.Value, 1e-7, "its rim, 40 mm wide")
	assert.Equal(t, wear.Brush, brush.Tool.Lap)
	hand := inputs(t, "Abrasive: R325", "Machine: by hand", "Water: wet", "Time: 5 min")
	assert.Equal(t, [2]float64{20, 0.3}, [2]float64{hand.ForceN.Value, hand.SpeedMS.Value})
	plate := inputs(t, "Abrasive: S220", "Medium: glass plate", "Machine: by hand", "Water: pool", "Time: 5 min")
	assert.Equal(t, [3]float64{30, 0.3, 0.06}, [3]float64{plate.ForceN.Value, plate.SpeedMS.Value, plate.LapAreaM2.Value})
	assert.InDelta(t, 0.75, plate.Load, 1e-9, "30 N on 100 cm² of a plate is three quarters of the usual pressure")

	// The weight of 22.5 kg of glass on a vibrating lap, the whole of its time.
	pan := inputs(t, "Abrasive: S220", "Medium: pan", "Machine: vibrating lap", "Water: pool", "Time: 10 min + 3 h alone")
	assert.InDelta(t, 22.5*9.80665, pan.ForceN.Value, 1e-6)
	assert.Equal(t, 190.0, pan.Minutes.Value)
	assert.Equal(t, 60.0, pan.ChargeEveryMin.Value)
	assert.InDelta(t, 0.03, pan.LapAreaM2.Value, 1e-9, "three times the face")

	own := reckonText(t, strings.Replace(shop, "maximum: 450 rpm}", "maximum: 450 rpm, force: 60 N}", 1),
		head+step("Work", "Surface: top", "Abrasive: S220", "Medium: iron lap", "Machine: LAP at 300 rpm", "Water: flood", "Charge: every 2 min", "Time: 5 min"))
	in := surface(t, own, "top").Steps[0].In
	assert.Equal(t, process.Input{Value: 60, Standing: process.House}, in.ForceN)
	assert.Equal(t, "written", in.Basis().String(), "nothing of it is a default")
}

// Minutes are shared by area; `6 x 3 min` are three each.
func TestMinutesOfOneFace(t *testing.T) {
	// The edge is 300 x 20 mm, 60 cm², beside 100 cm² of top.
	r := reckonText(t, shop, head+step("Both", "Surface: top, edge", "Abrasive: D60", "Machine: LAP at 300 rpm", "Water: flood", "Time: 8 min"))
	assert.InDelta(t, 5, surface(t, r, "top").Steps[0].In.Minutes.Value, 1e-9)
	assert.InDelta(t, 3, surface(t, r, "edge").Steps[0].In.Minutes.Value, 1e-9)
	six := strings.Replace(head, "area: 100 cm²", "count: 6, area: 100 cm²", 1)
	for words, each := range map[string]float64{"6 x 3 min": 3, "24 min": 4} {
		r = reckonText(t, shop, six+step("Six", "Surface: top", "Abrasive: D60", "Machine: LAP at 300 rpm", "Water: flood", "Time: "+words))
		assert.InDelta(t, each, surface(t, r, "top").Steps[0].In.Minutes.Value, 1e-9, words)
	}
}

// Starting states: sizes and depths by the published band, 0.3 L^0.68 to
// 2 L^0.85, worked by hand where a number stands here.
func TestHowSurfacesArrive(t *testing.T) {
	arrive := func(from string) wear.State {
		r := reckonText(t, shop, strings.Replace(head, "from: \"sawn, diamond 100 mesh\"", "from: \""+from+"\"", 1))
		s := surface(t, r, "top")
		require.Empty(t, s.Cannot, from)
		return s.Arrives
	}
	// 150 µm in a metal bond, position 0.55: 9.05^0.45 x 141.5^0.55 = 41.1.
	sawn := arrive("sawn, diamond 100 mesh")
	assert.InDelta(t, 41.1, sawn.DUM, 0.1)
	assert.Equal(t, sawn, arrive("sawn"), "a saw of no written grade is of 150 µm")
	assert.Equal(t, 200.0, sawn.StockUM)
	// 58 µm at 0.9: 48.7, as loose grain bites.
	blasted := arrive("sandblasted, silicon carbide F220")
	assert.InDelta(t, 48.7, blasted.DUM, 0.1)
	assert.Zero(t, blasted.StockUM)
	assert.InDelta(t, blasted.DUM, arrive("ground, silicon carbide F220").DUM, 1e-9)
	assert.InEpsilon(t, arrive("sandblasted, silicon carbide F80").DUM, arrive("as cast").DUM, 0.03, "about as deep as F80 blasts")
	assert.Equal(t, 500.0, arrive("as cast").StockUM)
	assert.Equal(t, wear.State{StockUM: 300}, arrive("fused"))
	for _, from := range []string{"fire polished", "new", "cut"} {
		assert.Equal(t, wear.State{}, arrive(from), from)
	}
	own := arrive("sawn, diamond 100 mesh, uneven 0.4 mm, damage 82.2 µm")
	assert.InDelta(t, 400, own.StockUM, 1e-9)
	assert.InDelta(t, 82.2, own.DUM, 1e-9)
	assert.InDelta(t, 82.2/sawn.DUM, own.DHighUM/sawn.DHighUM, 1e-9, "the range goes with it")
	wide := arrive("fire polished, damage 40 µm")
	assert.InDeltaSlice(t, []float64{20, 40, 60, 40 / 6.7}, []float64{wide.DLowUM, wide.DUM, wide.DHighUM, wide.RtUM}, 1e-9)
}

func TestWhatLeavesTheGlassAlone(t *testing.T) {
	facts := []string{"Abrasive: D60", "Machine: LAP at 300 rpm", "Water: flood", "Time: 5 min"}
	r := reckonText(t, shop, head+step("Wash", "Surface: all", "Water: flood", "Time: 5 min")+
		step("Mask", "Surface: edge", "Mask: edge", "Time: 5 min")+
		step("Both", append([]string{"Surface: all"}, facts...)...)+
		step("Only", append([]string{"Surface: top", "Only if: a line shows"}, facts...)...))
	top, edge := surface(t, r, "top"), surface(t, r, "edge")
	require.Len(t, top.Steps, 1)
	assert.Equal(t, 5.0, top.Steps[0].In.Minutes.Value, "masked faces take none of the time")
	assert.Empty(t, edge.Steps)
	assert.Equal(t, edge.Arrives, edge.After)
	assert.Equal(t, 15.0, r.Totals.Attended)
	// A rework step may deepen.
	r = reckonText(t, shop, head+step("Fine", append([]string{"Surface: top", "Abrasive: R325"}, facts[1:]...)...)+
		step("Back", append([]string{"Surface: top (rework: a shell)"}, facts...)...))
	top = surface(t, r, "top")
	require.Len(t, top.Steps, 2)
	assert.Greater(t, top.Steps[1].After.DUM, top.Steps[0].After.DUM)
}

// Two steps that follow each other with one tool at one setting are as one step
// of their minutes, judged as one.
func TestOneToolTwiceIsOneStep(t *testing.T) {
	work := func(title, minutes string, more ...string) string {
		return step(title, append([]string{"Surface: top", "Abrasive: S220", "Medium: iron lap", "Machine: LAP at 110 rpm", "Water: drip", "Charge: every 2 min", "Time: " + minutes}, more...)...)
	}
	twice := surface(t, reckonText(t, shop, head+work("One", "4 min")+step("Look", "Surface: top")+work("Two", "6 min")), "top")
	once := surface(t, reckonText(t, shop, head+work("Both", "10 min")), "top")
	require.Len(t, twice.Steps, 1)
	require.Len(t, twice.Steps[0].Steps, 2)
	assert.Equal(t, once.After, twice.After)
	assert.Equal(t, once.Steps[0].Result, twice.Steps[0].Result)
	apart := surface(t, reckonText(t, shop, head+work("One", "4 min")+work("Two", "6 min", "Pressure: firm")), "top")
	assert.Len(t, apart.Steps, 2, "another setting is another step")
}

// What the house measured wins, and only where it was measured.
func TestMeasuredValuesWin(t *testing.T) {
	text := head + step("Grind", "Surface: top", "Abrasive: S220", "Medium: iron lap", "Machine: LAP at 110 rpm", "Water: drip", "Time: 8 min") +
		step("Pad", "Surface: top", "Abrasive: R325", "Machine: LAP at 200 rpm", "Water: flood", "Time: 5 min") +
		step("Polish", "Surface: top", "Abrasive: CE", "Medium: felt pad", "Machine: LAP at 150 rpm", "Water: damp", "Time: 8 min")
	plain := surface(t, reckonText(t, shop, text), "top")
	with := func(lines string) *process.SurfaceReckoning {
		r := reckonText(t, shop+"measured:\n"+lines, text)
		assert.Empty(t, r.Notes)
		return surface(t, r, "top")
	}
	rate := with("  - {stock: S220, machine: LAP, glass: soda-lime, rate: 20 µm/min, dated: 2026-09-01, by: bench hand}\n")
	assert.InDelta(t, 160, rate.Steps[0].Result.RemovedUM, 1e-6)
	assert.Equal(t, process.Measured, rate.Steps[0].Basis)
	assert.Equal(t, "measured", rate.Steps[0].Basis.String())
	assert.Equal(t, plain.Steps[2].Result.RemovedUM, rate.Steps[2].Result.RemovedUM, "no other step")
	elsewhere := with("  - {stock: S220, machine: LATHE, rate: 20 µm/min}\n  - {stock: S220, glass: lead crystal, rate: 20 µm/min}\n  - {stock: S220, medium: felt pad, rate: 20 µm/min}\n")
	assert.Equal(t, plain.After, elsewhere.After)
	best := with("  - {stock: S220, machine: LAP, rate: 20 µm/min, dated: 2026-01-01}\n  - {stock: S220, rate: 5 µm/min, dated: 2026-09-01}\n")
	assert.InDelta(t, 160, best.Steps[0].Result.RemovedUM, 1e-6, "the one that says most counts")

	lamp := with("  - {stock: R325, lamp: 12°}\n")
	assert.InDelta(t, 12, lamp.Steps[1].LampDeg, 0.01)
	deep := with("  - {stock: R325, damage: 14 µm}\n")
	assert.InDelta(t, 14, deep.Steps[1].After.DUM, 0.01)
	// Twelve minutes of cerium took the grey off: the pad went as deep as that.
	grey := with("  - {stock: R325, cleared after: 12 min}\n")
	assert.InDelta(t, 12, grey.Steps[2].Result.Expected.Minutes, 0.01)
	spent := with("  - {stock: S220, spent after: 2 min}\n")
	assert.NotEqual(t, plain.Steps[0].Result.TauMin, spent.Steps[0].Result.TauMin)
	assert.InDelta(t, 2.0/3, spent.Steps[0].Result.TauMin, 1e-6, "a charge is spent after three lives")

	odd := reckonText(t, shop+"measured:\n  - {stock: CE, cleared after: 12 min}\n", text)
	require.Len(t, odd.Notes, 1)
	assert.Contains(t, odd.Notes[0], "not of the polish")
}

func TestStopsAndHowFarTheyAre(t *testing.T) {
	ends := func(stop string, from string) *process.SurfaceReckoning {
		text := strings.Replace(head, "to: bright polish, tile", "to: "+stop+", tile", 1)
		text = strings.Replace(text, `to: bright polish}`, "to: "+stop+"}", 1)
		text = strings.Replace(text, `from: "sawn, diamond 100 mesh"`, `from: "`+from+`"`, 1)
		return surface(t, reckonText(t, shop, text+step("Polish", "Surface: top", "Abrasive: CE", "Medium: felt pad", "Machine: LAP at 150 rpm", "Water: damp", "Time: 30 min")), "top")
	}
	assert.True(t, ends("bright polish", "fire polished").Reached)
	assert.True(t, ends("optical polish", "fire polished").Reached)
	left := ends("optical polish", "fire polished, damage 40 µm")
	assert.False(t, left.Reached, "it shines, with pits left")
	dirty := ends("dirty polish", "fire polished")
	assert.True(t, dirty.Reached)
	assert.Zero(t, dirty.Off, "anything brighter than a lustre is one too")
	seamed := ends("seamed", "fire polished")
	assert.False(t, seamed.Asks)
	assert.True(t, seamed.Reached)
}

// Units of the totals, against arithmetic.
func TestTotalsOfThePiece(t *testing.T) {
	r := reckonText(t, shop, head+
		step("Grind", "Surface: top", "Abrasive: S220", "Medium: iron lap", "Machine: LAP at 110 rpm", "Water: drip", "Charge: every 2 min, last 3 min without", "Time: 8 min")+
		step("Polish", "Surface: top", "Abrasive: CE", "Medium: felt pad", "Machine: LAP at 150 rpm", "Water: damp", "Time: 10 min")+
		step("Wash", "Surface: all", "Water: flood", "Time: 3 min + 20 min alone"))
	require.Len(t, r.Totals.Amounts, 2)
	// Counted back from 8: at 5, 3, 1 and 0.
	assert.InDelta(t, 4*5*1.5, r.Totals.Amounts[0].Grams, 1e-9)
	assert.InDelta(t, 10, r.Totals.Amounts[1].Grams, 1e-9, "10 g on 100 cm²")
	assert.InDelta(t, 0.35*8+0.05*10+2*3, r.Totals.WaterL, 1e-9)
	assert.InDelta(t, 30*0.010+10*0.060, r.Totals.Cost["EUR"], 1e-9)
	assert.Equal(t, "Polish", r.Totals.Longest.Title)
	assert.Equal(t, 10.0, quantity.Value{Amount: r.Totals.LongestMinutes, Unit: quantity.Minute}.In(quantity.Minute))
}

// A glass nobody can name counts as lead for damage and as soda-lime for rates.
// The factors are the published scaling of depth, and how much faster lead
// crystal grinds, as the model was given with them.
func TestGlasses(t *testing.T) {
	work := func(glass string) *process.SurfaceReckoning {
		return surface(t, reckonText(t, shop, strings.Replace(head, "glass: soda-lime", "glass: "+glass, 1)+
			step("Pad", "Surface: top", "Abrasive: R325", "Machine: LAP at 200 rpm", "Water: flood", "Time: 5 min")), "top")
	}
	soda, lead, unknown := work("soda-lime"), work("lead crystal"), work("unknown")
	assert.InDelta(t, 1.37, lead.Steps[0].Result.RemovedUM/soda.Steps[0].Result.RemovedUM, 0.005)
	assert.InDelta(t, 1.12, lead.Arrives.DUM/soda.Arrives.DUM, 0.005)
	assert.InDelta(t, soda.Steps[0].Result.RemovedUM, unknown.Steps[0].Result.RemovedUM, 1e-9)
	assert.InDelta(t, lead.Arrives.DUM, unknown.Arrives.DUM, 1e-9)
}
