package rules

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

func amountOf(x float64, u quantity.Unit) quantity.Value { return quantity.Value{Amount: x, Unit: u} }

// v = π d n. The most turns at 50 m/s and the pair 3183 and 3184 rpm are worked
// out by hand: 50 × 60000 / (π d), rounded down.
func TestMostTurnsAtFiftyMetresPerSecond(t *testing.T) {
	fifty := amountOf(50, quantity.MetrePerSecond)
	for mm, rpm := range map[float64]float64{100: 9549, 150: 6366, 200: 4774, 300: 3183, 400: 2387} {
		assert.Contains(t, slower(fifty, mm, amountOf(1, quantity.RPM), ""), "Write "+strconv.Itoa(int(rpm))+" rpm")
		_, over := above(amountOf(rpm, quantity.RPM), fifty, mm)
		assert.False(t, over, mm)
		// Half a per cent is given, since turns and diameters are round figures.
		_, over = above(amountOf(rpm+1, quantity.RPM), fifty, mm)
		assert.False(t, over, mm)
		_, over = above(amountOf(rpm*1.004, quantity.RPM), fifty, mm)
		assert.False(t, over, mm)
		_, over = above(amountOf(rpm*1.006, quantity.RPM), fifty, mm)
		assert.True(t, over, mm)
	}
	speed, over := above(amountOf(3500, quantity.RPM), fifty, 300)
	assert.True(t, over)
	assert.InDelta(t, 54.98, speed, 0.005)
	speed, over = above(amountOf(3000, quantity.RPM), fifty, 300)
	assert.False(t, over)
	assert.InDelta(t, 47.12, speed, 0.005)
}

// Two speeds in one unit are compared as they stand: a mark in rpm knows no
// tolerance. 1 m/s = 196.85 ft/min, so that 3500 ft/min is 17.78 m/s and 6500
// is 33.02.
func TestMarksInOneUnitKnowNoTolerance(t *testing.T) {
	for _, c := range []struct {
		speed, maximum quantity.Value
		over           bool
	}{
		{amountOf(1725, quantity.RPM), amountOf(1725, quantity.RPM), false},
		{amountOf(1726, quantity.RPM), amountOf(1725, quantity.RPM), true},
		{amountOf(17.78, quantity.MetrePerSecond), amountOf(3500, quantity.FootPerMinute), false},
		{amountOf(17.79, quantity.MetrePerSecond), amountOf(3500, quantity.FootPerMinute), true},
		{amountOf(6500, quantity.FootPerMinute), amountOf(33.02, quantity.MetrePerSecond), false},
		{amountOf(6501, quantity.FootPerMinute), amountOf(33.02, quantity.MetrePerSecond), true},
		{quantity.Value{}, amountOf(50, quantity.MetrePerSecond), false},
		{amountOf(9999, quantity.RPM), quantity.Value{}, false},
	} {
		_, over := above(c.speed, c.maximum, 0)
		assert.Equal(t, c.over, over, "%v against %v", c.speed, c.maximum)
	}
	_, over := above(amountOf(9999, quantity.RPM), amountOf(1, quantity.MetrePerSecond), 0)
	assert.False(t, over, "without a diameter nobody can say")
}

// Every maximum counts: that of the wheel, of the medium and of the machine;
// 29 CFR 1910.215(d)(1), seen second-hand.
func TestEveryMaximumCounts(t *testing.T) {
	shop := `stock:
  W1: {abrasive: silicon carbide wheel, grade: F80, diameter: 300 mm, maximum: 1200 rpm}
media:
  FW: {medium: felt wheel, diameter: 200 mm, maximum: 600 rpm}
machines:
  SLOW: {kind: bench grinder, maximum: 1000 rpm}
  FAST: {kind: bench grinder, maximum: 2800 rpm}
  LATHE: {kind: lathe, maximum: 1500 rpm}
`
	wheel := func(machine string) string {
		return aStep("Grind the face", "Abrasive: W1", "Machine: "+machine, "Water: drip")
	}
	felt := func(machine string) string {
		return aStep("Polish the face", "Abrasive: cerium oxide 1.5 µm", "Medium: FW", "Machine: "+machine, "Water: damp", "Mix: cream")
	}
	for steps, want := range map[string]diag.Severity{
		wheel("SLOW at 1000 rpm"): 0,
		wheel("SLOW at 1001 rpm"): diag.Refusal, // above the machine's own
		wheel("FAST at 1201 rpm"): diag.Refusal, // above the wheel's
		wheel("FAST at 1200 rpm"): diag.Error,   // the machine could go faster than the wheel may
		wheel("FAST"):             diag.Refusal, // and nothing holds it back
		felt("LATHE at 600 rpm"):  0,
		felt("LATHE at 601 rpm"):  diag.Refusal,
	} {
		assert.Equal(t, want, severities(contextOf(t, shop, piece{shape: "edge", steps: steps}.text()))["wheel-over-speed"], steps)
	}
}

// 300 × 300 × 100 mm of soda-lime at 2.5 g/cm³ is 22.5 kg and 250 × 250 × 103
// mm is 16.09 kg, by hand. 23 kg is the load constant of the NIOSH lifting
// equation, 16 kg the HSE's figure for women at waist height; seen second-hand.
func TestHeavyPieces(t *testing.T) {
	for _, c := range []struct {
		size     string
		kg       float64
		severity diag.Severity
		note     string
		answered bool
	}{
		{"200 x 200 x 100 mm", 10, 0, "", true},
		{"200 x 200 x 101 mm", 10.1, diag.Warning, "", false},
		{"200 x 200 x 101 mm", 10.1, diag.Warning, "Caution: rest it on a support.", true},
		{"250 x 250 x 102 mm", 15.94, diag.Warning, "", false},
		{"250 x 250 x 103 mm", 16.09, diag.Error, "", false},
		{"250 x 250 x 103 mm", 16.09, diag.Error, "Warning: rest it on a support.", false},
		{"250 x 250 x 103 mm", 16.09, diag.Error, "Caution: two people lift it.", false},
		{"250 x 250 x 103 mm", 16.09, diag.Error, "Warning: two people lift it.", true},
		{"300 x 300 x 100 mm", 22.5, diag.Error, "Warning: two people lift it.", true},
		{"300 x 300 x 103 mm", 23.175, diag.Error, "Warning: two people lift it.", false},
		{"300 x 300 x 103 mm", 23.175, diag.Error, "Warning: use the hoist.", true},
	} {
		p := piece{form: "{form: sawn block, size: " + c.size + "}", steps: aStep("Smooth the face", "Abrasive: resin diamond pad 325 mesh", "Machine: flat lap, 300 mm at 150 rpm", "Water: flood")}
		if c.note != "" {
			p.lead = "> " + c.note
		}
		ctx := contextOf(t, "", p.text())
		assert.InDelta(t, c.kg, ctx.Plan.Mass, 0.005)
		got, found := severities(ctx)["heavy-piece"]
		assert.Equal(t, !c.answered, found, "%s %q", c.size, c.note)
		if found {
			assert.Equal(t, c.severity, got, c.size)
		}
	}
}

// A(8) = a·√(t/8 h): 5 m/s² for 2 h is 2.5, 10 m/s² for 2 h is 5.0; Directive
// 2002/44/EC, seen second-hand.
func TestDailyVibration(t *testing.T) {
	assert.InDelta(t, 2.5, dailyVibration(5, 120), 1e-9)
	assert.InDelta(t, 5.0, dailyVibration(10, 120), 1e-9)
	assert.InDelta(t, 5.0, dailyVibration(5, 480), 1e-9)
	polish := func(minutes string) string {
		return strings.ReplaceAll(aStep("Polish the face", "Abrasive: resin diamond pad 325 mesh", "Machine: HP", "Water: spray"), "5 min", minutes)
	}
	for _, c := range []struct {
		shake, minutes, cautions string
		found                    bool
	}{
		{"5 m/s²", "119 min", "", false},
		{"5 m/s²", "120 min", "", true},
		{"5 m/s²", "120 min", "vibration", false},
		{"10 m/s²", "121 min", "vibration", true},
	} {
		p := piece{steps: polish(c.minutes), extra: "cautions: [" + c.cautions + "]\n"}
		got, found := severities(contextOf(t, "machines:\n  HP: {kind: hand-held polisher, vibration: "+c.shake+"}\n", p.text()))["hand-vibration"]
		assert.Equal(t, c.found, found, c)
		if found {
			assert.Equal(t, diag.Warning, got)
		}
	}
}

// 80 and 85 dB(A): Directive 2003/10/EC, seen second-hand. A saw without a
// figure is loud; a flat lap without one is not known to be.
func TestNoise(t *testing.T) {
	for kind, facts := range map[string][2]string{
		"wet saw": {"metal diamond blade", "LOUD"}, "flat lap": {"resin diamond pad 325 mesh", "LOUD at 150 rpm"},
	} {
		for noise, want := range map[string]diag.Severity{"79 dB(A)": 0, "80 dB(A)": diag.Warning, "84 dB(A)": diag.Warning, "85 dB(A)": diag.Error, "": 0} {
			shop := "machines:\n  LOUD: {kind: " + kind + ", diameter: 300 mm"
			if noise != "" {
				shop += ", noise: " + noise
			} else if kind == "wet saw" {
				want = diag.Error
			}
			c := contextOf(t, shop+"}\n", piece{steps: aStep("Work the face", "Abrasive: "+facts[0], "Machine: "+facts[1], "Water: flood")}.text())
			assert.Equal(t, want, severities(c)["loud-machine"], "%s %s", kind, noise)
		}
	}
}

// Where a caution stands decides what it answers.
func TestWhereACautionHolds(t *testing.T) {
	spindle := "> Warning: no gloves, cuffs closed, hair tied, rings off. Stop before you reach in."
	wet := "> Caution: keep it wet. Warm: lift off. Never quench it."
	lap := aStep("Smooth the face", "Abrasive: resin diamond pad 325 mesh", "Machine: flat lap, 300 mm at 150 rpm", "Water: flood")
	belt := aStep("Belt the face", "Abrasive: silicon carbide belt P120", "Machine: wet belt", "Water: flood")
	in := func(step, note string) string { return strings.Replace(step, "- [ ]", note+"\n\n- [ ]", 1) }
	for name, c := range map[string]struct {
		lead, steps, rule string
		also              int
		answered          bool
	}{
		"at the step":                               {"", in(lap, wet), "keep-wet-and-cool", 0, true},
		"before the first step, but due at each":    {wet, lap, "keep-wet-and-cool", 0, false},
		"in an earlier step on the same machine":    {"", in(lap, wet) + lap, "keep-wet-and-cool", 0, true},
		"in a later step":                           {"", lap + in(lap, wet), "keep-wet-and-cool", 0, false},
		"in an earlier step on another machine":     {"", in(belt, wet) + lap, "keep-wet-and-cool", 0, false},
		"two steps without it are one finding":      {"", lap + belt, "keep-wet-and-cool", 1, false},
		"before the first step, for the recipe":     {"> Warning: goggles on.", lap + belt, "eyes-covered", 0, true},
		"in the closing notes it answers nothing":   {"", lap + "# Notes\n\n> Warning: goggles on.\n", "eyes-covered", 0, false},
		"a quote without a signal word is no note":  {"> Goggles on.", lap, "eyes-covered", 0, false},
		"a word too weak":                           {"> Notice: goggles on.", lap, "eyes-covered", 0, false},
		"a stronger word":                           {"> Danger: goggles on.", lap, "eyes-covered", 0, true},
		"half of it":                                {"> Warning: RCD socket only.", lap, "power-near-water", 0, false},
		"a topic hangs on the lathe by the tables":  {"", strings.Replace(lap, "flat lap, 300 mm", "lathe", 1), "spindle-grabs", 0, true},
		"a note at the lathe is not asked at a lap": {"", in(lap, spindle), "spindle-grabs", 0, true},
	} {
		ctx := contextOf(t, "", piece{lead: c.lead, steps: c.steps, shape: "edge"}.text())
		var found diag.List
		for _, n := range needs {
			if n.rule.ID == c.rule {
				n.check(safetyOf(ctx), func(f check.Finding) {
					found.Add(diag.Diagnostic{Message: f.Message, Help: f.Help, Also: f.Also, Span: f.Span})
				})
			}
		}
		if c.answered {
			assert.Empty(t, found, name)
			continue
		}
		require.Len(t, found, 1, name)
		assert.Len(t, found[0].Also, c.also, name)
		assert.True(t, found[0].Span.Known(), name)
		assert.Contains(t, found[0].Help, "`cautions:`", name)
	}
}

// What a house writes in place of a topic's words is held against the same
// ideas, once for the house.
func TestTheHousesOwnWords(t *testing.T) {
	held := func(shop string) diag.List {
		var list diag.List
		h := trade.Lay(source.New("shop.yaml", []byte(shop)), &list)
		require.Empty(t, list)
		return houseWords(h)
	}
	assert.Empty(t, held("cautions:\n  power near water: RCD socket only, press TEST first. Dry hands at the plug.\n"))
	bad := held("house:\n  name: A\ncautions:\n  power near water: Mind the plugs.\n  eyes: Goggles on.\n")
	require.Len(t, bad, 1)
	assert.Equal(t, "house-caution-words", bad[0].Rule)
	assert.Equal(t, diag.Error, bad[0].Severity)
	assert.Equal(t, 4, bad[0].Span.Place().Line)
	assert.Contains(t, bad[0].Help, "dry hand")
	assert.Empty(t, held("cautions:\n  acid soak: Vinegar and no fluoride. Goggles and gloves. Never with bleach. The acid goes into water.\n"))
	for shop, refused := range map[string]bool{
		"stock:\n  EC: {abrasive: pumice, grade: 2F}\ncautions:\n  eyes: Goggles on when you use the etching cream.\n": true,
		"cautions:\n  eyes: Goggles on. No etching cream in this house.\n":                                             false,
		"stock:\n  DS1: {fluoride free: yes}\n":                                                                        false,
		"limits:\n  rules:\n    eyes-covered: {severity: error, because: acid polish was done here once}\n":            true,
	} {
		got := false
		for _, d := range held(shop) {
			got = got || d.Rule == "acid-or-fluoride-named" && d.Severity == diag.Refusal
		}
		assert.Equal(t, refused, got, shop)
	}
}

// A recipe that cites a line of stock is held for what the line says.
func TestStockLinesAreReadForAcid(t *testing.T) {
	shop := "stock:\n  P1:\n    abrasive: pumice\n    grade: 2F\n    bench: A\n    # thinned with hydrofluoric acid\n  P2: {abrasive: pumice, grade: 2F}\nbenches: [A]\n"
	step := func(code string) string {
		return aStep("Brush the face", "Abrasive: "+code, "Medium: horsehair brush wheel, 150 mm", "Machine: lathe at 300 rpm", "Water: damp", "Mix: mud")
	}
	assert.Equal(t, diag.Refusal, severities(contextOf(t, shop, piece{shape: "convex", steps: step("P1")}.text()))["acid-or-fluoride-named"])
	assert.NotContains(t, severities(contextOf(t, shop, piece{shape: "convex", steps: step("P2")}.text())), "acid-or-fluoride-named")
}

// A sheet never says that anybody or anything is safe, and neither does a rule.
func TestNoRuleReassures(t *testing.T) {
	for _, r := range safetyRules {
		for _, text := range []string{r.Title, r.Why, r.Quiet, r.Bad, r.Good, r.Source} {
			for _, w := range splitWords(text) {
				assert.NotContains(t, []string{"safe", "safely", "compliant", "harmless", "certified"}, w.text, "%s: %q", r.ID, text)
			}
		}
	}
	for _, topic := range trade.BuiltIn().Topics {
		for _, text := range []string{topic.Full, topic.Short} {
			for _, w := range splitWords(text) {
				assert.NotContains(t, []string{"safe", "safely", "compliant", "harmless", "certified"}, w.text, "%s: %q", topic.Name, text)
			}
		}
	}
}

// Every note a rule asks for is a topic of the tables, and the topic names the
// rule.
func TestEveryNeedHasItsTopic(t *testing.T) {
	h := trade.BuiltIn()
	for _, n := range needs {
		topic := h.FindTopic(n.topic)
		require.NotNil(t, topic, n.topic)
		assert.Equal(t, n.rule.ID, topic.Rule, n.topic)
		assert.NotEmpty(t, topic.Ideas, n.topic)
	}
	atStep := map[string]bool{
		"dry dust": true, "dry powder": true, "unplug": true, "rotating spindle": true, "held cloth": true, "run-up": true,
		"belt": true, "keep wet": true, "blast cabinet": true, "acid soak": true, "saw and drill": true,
	}
	for name := range atStep {
		assert.True(t, h.FindTopic(name).AtStep, "%s must stand at the step", name)
	}
}

// A topic that is mistyped is a mistake of its own and no missing note.
func TestAMistypedTopicIsNotAlsoMissing(t *testing.T) {
	p := piece{steps: aStep("Smooth the face", "Abrasive: resin diamond pad 325 mesh", "Machine: flat lap, 300 mm at 150 rpm", "Water: flood")}.text()
	for cautions, missing := range map[string]bool{"power near water": false, "power near watter": false, "eyes": true} {
		h := trade.BuiltIn()
		r, _ := parse.New(h).Parse(source.New("x.md", []byte(strings.Replace(p, "---\n\n", "cautions: ["+cautions+"]\n---\n\n", 1))))
		_, found := severities(&check.Context{House: h, Recipe: r, Plan: process.Of(r, h)})["power-near-water"]
		assert.Equal(t, missing, found, cautions)
	}
}

// How a piece left its factory is no work of the shop, but cut crystal that was
// acid-polished is lead glass; common practice.
func TestAcidPolishedAtTheFactory(t *testing.T) {
	step := aStep("Smooth the face", "Abrasive: resin diamond pad 325 mesh", "Machine: flat lap, 300 mm at 150 rpm", "Water: flood")
	for glass, want := range map[string]diag.Severity{"lead crystal": 0, "unknown": 0, "soda-lime": diag.Warning} {
		assert.Equal(t, want, severities(contextOf(t, "", piece{glass: glass, from: "acid polished", steps: step}.text()))["acid-or-fluoride-named"], glass)
		told := piece{glass: glass, lead: "The bowl was acid polished at the factory before it came.", steps: step}.text()
		assert.Equal(t, want, severities(contextOf(t, "", told))["acid-or-fluoride-named"], glass)
	}
	asked := piece{lead: "Ask HF about this.", steps: step}.text()
	assert.Equal(t, diag.Error, severities(contextOf(t, "", asked))["acid-or-fluoride-named"])
}
