package rules

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// piece is a recipe for a test, in few words.
type piece struct {
	glass, form, from, extra, lead, steps string
	shape, to                             string
}

func (p piece) text() string {
	or := func(s, other string) string {
		if s == "" {
			return other
		}
		return s
	}
	return fmt.Sprintf(`---
recipe: block
title: A block
revision: 1
date: 2026-03-02
approved: studio lead
glass: %s
piece: %s
surfaces:
  - {name: face, shape: %s, area: 80 cm², from: "%s", to: %s}
%s---

%s

%s
`, or(p.glass, "soda-lime"), or(p.form, "{form: sawn block, size: 100 x 80 x 40 mm}"), or(p.shape, "flat"),
		or(p.from, "sawn, diamond 100 mesh"), or(p.to, "fine matte"), p.extra, p.lead, p.steps)
}

// lap is a step with some facts; each is one line.
func aStep(title string, facts ...string) string {
	return "## " + title + "\n\n- Surface: face\n- " + strings.Join(facts, "\n- ") + "\n- Time: 5 min\n\n- [ ] Raking lamp: one sheen\n\n"
}

// contextOf reads a recipe against a shop file. Nothing in either may be at
// fault in its format.
func contextOf(t *testing.T, shop, text string) *check.Context {
	t.Helper()
	h := trade.BuiltIn()
	if shop != "" {
		var list diag.List
		h = trade.Lay(source.New("shop.yaml", []byte(shop)), &list)
		require.Empty(t, list, "the shop file")
	}
	r, list := parse.New(h).Parse(source.New("x.md", []byte(text)))
	for _, d := range list {
		require.Less(t, d.Severity, diag.Error, "%s\n%s", d.Message, text)
	}
	return &check.Context{House: h, Recipe: r, Plan: process.Of(r, h), Today: recipe.Date{Year: 2026, Month: 6, Day: 1}}
}

// asksFor are the ids of the rules that anything in the recipe calls for,
// whether or not a note answers them.
func asksFor(c *check.Context) []string {
	f := safetyOf(c)
	var ids []string
	for _, n := range needs {
		if n.asks(f) {
			ids = append(ids, n.rule.ID)
		}
	}
	slices.Sort(ids)
	return ids
}

// severities are the findings by rule, the gravest of each.
func severities(c *check.Context) map[string]diag.Severity {
	found := map[string]diag.Severity{}
	for _, d := range check.Run(c, safetyRules) {
		found[d.Rule] = max(found[d.Rule], d.Severity)
	}
	return found
}

// lesser are rules that only ever warn; the twelve recipes say nothing of them.
func lesser(ids []string) []string {
	return slices.DeleteFunc(slices.Clone(ids), func(id string) bool {
		for _, r := range safetyRules {
			if r.ID == id {
				return r.Severity < diag.Error
			}
		}
		return false
	})
}

const (
	discs = "machines:\n  L1: {kind: flat lap, diameter: 300 mm}\n  L2: {kind: flat lap, diameter: 300 mm}\n  L3: {kind: flat lap, diameter: 300 mm}\n"
)

// The twelve recipes by which a safety officer's reading of the notes was put
// down: which notes each asks for. Common practice with the standards that the
// rules name. The eleventh, a sign-off gone stale, is no matter of one recipe.
func TestTheTwelveRecipes(t *testing.T) {
	lap := func(n, mesh string) string {
		return aStep("Smooth with "+mesh, "Abrasive: resin diamond pad "+mesh+" mesh", "Machine: "+n+" at 150 rpm", "Water: flood")
	}
	t.Run("1 a block on three flat laps", func(t *testing.T) {
		c := contextOf(t, discs, piece{
			form:  "{form: sawn block, size: 200 x 200 x 150 mm}",
			steps: lap("L1", "220") + lap("L2", "400") + lap("L3", "600"),
		}.text())
		assert.Equal(t, []string{"eyes-covered", "grit-carry-over", "heavy-piece", "keep-wet-and-cool", "power-near-water", "sharp-arris", "slurry-never-to-drain"},
			lesser(asksFor(c)))
		assert.Equal(t, diag.Warning, severities(c)["heavy-piece"], "15 kg")
		assert.InDelta(t, 15, c.Plan.Mass, 1e-9)
	})
	t.Run("2 a lead vase polished at the lathe", func(t *testing.T) {
		c := contextOf(t, "stock:\n  CE: {abrasive: cerium oxide, grade: 1.5 µm, ready mixed: yes}\n", piece{
			glass: "lead crystal", form: "{form: blown, size: 100 mm dia x 200 mm, hollow: true, wall: 6 mm}", shape: "convex", to: "bright polish",
			from:  "ground, pumice 2F",
			steps: aStep("Polish the face", "Abrasive: CE", "Medium: felt wheel, 200 mm", "Machine: lathe at 300 rpm", "Water: damp, recirculated", "Mix: cream"),
		}.text())
		assert.Equal(t, []string{"eyes-covered", "keep-wet-and-cool", "lead-glass-work", "lead-slurry-apart", "power-near-water", "recirculated-water-care", "spindle-grabs"},
			lesser(asksFor(c)))
		dry := contextOf(t, "", strings.ReplaceAll(piece{
			glass: "lead crystal", shape: "convex", to: "bright polish", from: "ground, pumice 2F",
			steps: aStep("Polish the face", "Abrasive: CE", "Medium: felt wheel, 200 mm", "Machine: lathe at 300 rpm", "Water: damp, recirculated", "Mix: cream"),
		}.text(), "Abrasive: CE", "Abrasive: cerium oxide 1.5 µm"))
		assert.Contains(t, asksFor(dry), "loose-powder-open")
	})
	rub := aStep("Ease the face", "Abrasive: silicon carbide paper P400", "Machine: by hand", "Water: dry")
	t.Run("3 a dry rub", func(t *testing.T) {
		for _, glass := range []string{"lead crystal", "unknown"} {
			assert.Equal(t, diag.Refusal, severities(contextOf(t, "", piece{glass: glass, steps: rub}.text()))["dry-work-on-lead"], glass)
		}
		c := contextOf(t, "", piece{steps: rub}.text())
		assert.Subset(t, asksFor(c), []string{"dry-abrasive-step", "no-dry-sweep"})
		assert.NotContains(t, severities(c), "dry-work-on-lead")
	})
	blast := func(medium string) string {
		return aStep("Blast the face", "Abrasive: "+medium, "Machine: blast cabinet", "Pressure: 1.6 bar")
	}
	t.Run("4 a blast", func(t *testing.T) {
		assert.Equal(t, diag.Refusal, severities(contextOf(t, "", piece{steps: blast("play sand")}.text()))["sand-as-blast-media"])
		c := contextOf(t, "", piece{steps: blast("aluminium oxide F120")}.text())
		assert.Equal(t, []string{"blast-cabinet", "eyes-covered", "loud-machine", "no-dry-sweep"}, lesser(asksFor(c)))
		assert.NotContains(t, severities(c), "sand-as-blast-media")
		for share, refused := range map[string]bool{"0.9 %": false, "1.0 %": true, "1 %": true, "0.99 %": false} {
			shop := "stock:\n  GB: {abrasive: garnet, grade: 120 mesh, free silica: " + share + "}\n"
			_, found := severities(contextOf(t, shop, piece{steps: blast("GB")}.text()))["sand-as-blast-media"]
			assert.Equal(t, refused, found, share)
		}
	})
	grind := func(abrasive, rpm string) string {
		return aStep("Grind the face", "Abrasive: "+abrasive, "Machine: bench grinder at "+rpm+" rpm", "Water: drip")
	}
	t.Run("5 a vitrified wheel of 300 mm", func(t *testing.T) {
		shop := "stock:\n  W1: {abrasive: silicon carbide wheel, grade: F80, diameter: 300 mm, maximum: 50 m/s}\n" +
			"  W2: {abrasive: silicon carbide wheel, grade: F120, diameter: 300 mm, maximum: 50 m/s}\n"
		over := severities(contextOf(t, shop, piece{shape: "edge", steps: grind("W1", "3500")}.text()))
		assert.Equal(t, diag.Refusal, over["wheel-over-speed"], "300 mm at 3500 rpm is 54.98 m/s")
		c := contextOf(t, shop, piece{shape: "edge", steps: grind("W1", "3000") + grind("W2", "3000")}.text())
		assert.NotContains(t, severities(c), "wheel-over-speed", "300 mm at 3000 rpm is 47.12 m/s")
		assert.Subset(t, asksFor(c), []string{"unplug-to-change", "wheel-sound-and-speed", "new-wheel-run-up", "eyes-covered", "rest-and-guard-gaps"})
	})
	t.Run("6 a wheel of 80 mm need not ring", func(t *testing.T) {
		note := "> Warning: look for cracks. The marked speed must be above the machine's."
		for diameter, missing := range map[string]bool{"80 mm": false, "100 mm": false, "101 mm": true, "300 mm": true} {
			c := contextOf(t, "stock:\n  W1: {abrasive: silicon carbide wheel, grade: F80, diameter: "+diameter+", maximum: 50 m/s}\n",
				piece{shape: "edge", lead: note, steps: grind("W1", "1000")}.text())
			_, found := severities(c)["wheel-sound-and-speed"]
			assert.Equal(t, missing, found, diameter)
		}
	})
	t.Run("7 gloves at a spindle", func(t *testing.T) {
		for words, wrong := range map[string]bool{
			"Wear gloves and hold the block to the brush.":                      true,
			"Gloves on, then bring it to the brush.":                            true,
			"Put on your gloves before you start.":                              true,
			"Hold it with gloved hands, wearing gloves throughout.":             true,
			"Thin gloves are allowed.":                                          true,
			"Nitrile gloves keep pumice off the skin.":                          true,
			"Gloves are fine here.":                                             true,
			"Gloves help the grip.":                                             true,
			"Wear gloves at the wheel.":                                         true,
			"Gloves are allowed for carrying.":                                  false,
			"Gloves are not allowed.":                                           false,
			"Keep gloves away from the wheel.":                                  false,
			"Gloves for carrying only, off at the machine.":                     false,
			"Wear cut-resistant gloves to carry the piece.":                     false,
			"No gloves at the lathe.":                                           false,
			"Never wear gloves here.":                                           false,
			"Take your gloves off before you start.":                            false,
			"Bare hands only.":                                                  false,
			"Gloves are forbidden.":                                             false,
			"Slide the piece into the gap like a hand into a glove.":            false,
			"Wear gloves for the vinegar soak; gloves off at the lathe.":        false,
			"Wear safety glasses. The gloves stay in the drawer at the spindle": false,
		} {
			text := piece{
				shape: "convex", extra: "cautions: [rotating spindle]\n",
				steps: strings.Replace(aStep("Brush the face", "Abrasive: pumice 2F", "Medium: horsehair brush wheel, 150 mm", "Machine: lathe at 300 rpm", "Water: damp", "Mix: mud"),
					"- [ ]", "1. "+words+"\n\n- [ ]", 1),
			}.text()
			_, found := severities(contextOf(t, "", text))["spindle-grabs"]
			assert.Equal(t, wrong, found, words)
			if words == "Bare hands only." {
				continue
			}
			before := piece{shape: "convex", extra: "cautions: [rotating spindle]\n", lead: words, steps: strings.Replace(text[strings.Index(text, "## "):], "1. "+words+"\n", "", 1)}.text()
			_, found = severities(contextOf(t, "", before))["spindle-grabs"]
			assert.Equal(t, wrong, found, "before the steps: %s", words)
		}
	})
	t.Run("8 no need for a mask", func(t *testing.T) {
		brush := aStep("Brush the face", "Abrasive: pumice 2F", "Medium: horsehair brush wheel, 150 mm", "Machine: lathe at 300 rpm", "Water: damp", "Mix: mud")
		with := func(note string) map[string]diag.Severity {
			return severities(contextOf(t, "", piece{shape: "convex", steps: strings.Replace(brush, "- [ ]", "> "+note+"\n\n- [ ]", 1)}.text()))
		}
		assert.Contains(t, with("Warning: spoon the powder into water; no need for a mask."), "loose-powder-open")
		assert.NotContains(t, with("Warning: spoon the powder into water; mask on while you do."), "loose-powder-open")
		assert.Contains(t, with("Caution: spoon the powder into water; mask on while you do."), "loose-powder-open", "the word is too weak")
	})
	t.Run("9 a belt and 22.5 kg", func(t *testing.T) {
		c := contextOf(t, "", piece{
			form:  "{form: sawn block, size: 300 x 300 x 100 mm}",
			steps: aStep("Belt the face", "Abrasive: silicon carbide belt P120", "Machine: wet belt", "Water: flood"),
		}.text())
		assert.Subset(t, asksFor(c), []string{"belt-nip", "heavy-piece"})
		assert.Equal(t, diag.Error, severities(c)["heavy-piece"])
	})
	t.Run("10 etching cream and an etched look", func(t *testing.T) {
		step := aStep("Smooth the face", "Abrasive: resin diamond pad 600 mesh", "Machine: flat lap, 300 mm at 150 rpm", "Water: flood")
		assert.Equal(t, diag.Refusal, severities(contextOf(t, "", piece{steps: step, extra: "stop: Dab etching cream on it.\n"}.text()))["acid-or-fluoride-named"])
		assert.NotContains(t, severities(contextOf(t, "", piece{steps: step, extra: "stop: A soft etched look from 600 grit.\n"}.text())), "acid-or-fluoride-named")
	})
	t.Run("12 wet hands", func(t *testing.T) {
		wet := strings.ReplaceAll(lap("L1", "220"), "5 min", "45 min")
		for n, asked := range map[int]bool{2: false, 3: true} {
			c := contextOf(t, discs, piece{steps: strings.Repeat(wet, n)}.text())
			assert.Equal(t, asked, slices.Contains(asksFor(c), "wet-hands-long"), n)
		}
	})
}
