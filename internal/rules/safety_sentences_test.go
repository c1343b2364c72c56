package rules

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

const (
	lapStep = "Abrasive: resin diamond pad 325 mesh|Machine: flat lap, 300 mm at 150 rpm|Water: flood"
	belted  = "Abrasive: silicon carbide belt P120|Machine: wet belt|Water: flood"
	brushed = "Abrasive: pumice 2F|Medium: horsehair brush wheel, 150 mm|Machine: lathe at 300 rpm|Water: damp|Mix: mud"
	blasted = "Abrasive: aluminium oxide F120|Machine: blast cabinet|Pressure: 1.6 bar"
)

// ordering is a recipe with one working step that bears a sentence.
func ordering(p piece, facts, sentence string) string {
	p.steps = strings.Replace(aStep("Work the face", strings.Split(facts, "|")...), "- [ ]", "1. "+sentence+"\n\n- [ ]", 1)
	if strings.Contains(facts, "lathe") {
		p.shape = "convex"
	}
	return p.text()
}

// What is sand for blasting and what is not; common practice.
func TestSandAndSlagInSentences(t *testing.T) {
	for sentence, want := range map[string]diag.Severity{
		"Sandblast with beach sand.":                                    diag.Refusal,
		"Sandblast the logo with play sand.":                            diag.Refusal,
		"Blast it with clean sand.":                                     diag.Refusal,
		"Load the pot with builder's sand and blast.":                   diag.Refusal,
		"Fill the blaster with river sand.":                             diag.Refusal,
		"Blasting goes best with washed quartz sand.":                   diag.Refusal,
		"Blast with coal slag.":                                         diag.Error,
		"The logo is sandblasted with slag from the yard.":              diag.Error,
		"Sandblast with aluminium oxide.":                               0,
		"It came sandblasted.":                                          0,
		"Blast with garnet sand.":                                       0,
		"Sand the arris, then blast with aluminium oxide.":              0,
		"Never blast with sand.":                                        0,
		"Do not blast with coal slag.":                                  0,
		"No play sand in the blast cabinet.":                            0,
		"Keep play sand out of the blast cabinet.":                      0,
		"Blast with silica-free sand.":                                  0,
		"Sandblast, never with slag.":                                   0,
		"Wash the beach sand off the piece.":                            0,
		"Sand the edge with wet paper before the piece is sandblasted.": 0,
	} {
		for where, text := range map[string]string{
			"order": ordering(piece{}, lapStep, sentence),
			"blast": ordering(piece{}, blasted, sentence),
			"lead":  ordering(piece{lead: sentence}, lapStep, "Slowly."),
			"stop":  ordering(piece{extra: "stop: \"" + sentence + "\"\n"}, lapStep, "Slowly."),
			"notes": ordering(piece{}, lapStep, "Slowly.") + "# Notes\n\n" + sentence + "\n",
		} {
			found := severities(contextOf(t, "", text))
			assert.Equal(t, want, max(found["sand-as-blast-media"], found["slag-as-blast-media"]), "%s: %s", where, sentence)
		}
	}
	// What was done to the piece elsewhere is no work of the shop.
	assert.NotContains(t, severities(contextOf(t, "", ordering(piece{from: "sandblasted"}, lapStep, "Slowly."))), "sand-as-blast-media")
}

// Dry work on lead glass, as it is said at the bench, and what is only said to
// be dry; common practice.
func TestDryWorkOnLeadInSentences(t *testing.T) {
	for sentence, want := range map[string]bool{
		"Do the last bit dry so you can see.":                  true,
		"Finish it dry.":                                       true,
		"Run it dry.":                                          true,
		"Then run the pad dry for ten seconds.":                true,
		"Grind dry.":                                           true,
		"Dry grinding for the last stroke.":                    true,
		"Wet it, then take the last stroke dry.":               true,
		"The last stroke is done dry.":                         true,
		"Finish with a dry felt.":                              true,
		"Polish the rim dry until it shines.":                  true,
		"Work the corner bone dry.":                            true,
		"The last pass goes without water so you can see.":     true,
		"Run the last minute with no water.":                   true,
		"Lift it and finish without any water.":                true,
		"Never run it without water.":                          false,
		"Work it without water marks.":                         false,
		"If the lap goes without water it cracks.":             false,
		"Brush until no water is left.":                        false,
		"Check it without water on it.":                        false,
		"You can sand it dry.":                                 true,
		"Wipe dry.":                                            false,
		"Let it dry.":                                          false,
		"Test dry.":                                            false,
		"Dry the piece.":                                       false,
		"Stand to dry.":                                        false,
		"Dry, 10x.":                                            false,
		"Never grind dry.":                                     false,
		"Do not finish it dry.":                                false,
		"Never let it run dry.":                                false,
		"The pad must not run dry.":                            false,
		"If the pad runs dry, add water.":                      false,
		"If you run it dry it cracks.":                         false,
		"Do the test dry.":                                     false,
		"Take it out and dry it.":                              false,
		"Finish with a dry cloth.":                             false,
		"Use wet-and-dry paper.":                               false,
		"Lift the work off, water off, run it dry, then stop.": false,
		"Work off first. Water off. Run it dry, then stop.":    false,
		"Rub with a dry towel.":                                false,
		"Polish until the strip is dry.":                       false,
		"Dry grinding puts lead into the air.":                 false,
		"Wash at once, stand on edge, dry half an hour.":       false,
		"Finish: look at it dry.":                              false,
		"Do it with dry hands.":                                false,
		"Work damp, never dry, never flooded.":                 false,
	} {
		for _, glass := range []string{"lead crystal", "unknown"} {
			_, found := severities(contextOf(t, "", ordering(piece{glass: glass}, lapStep, sentence)))["dry-work-on-lead"]
			assert.Equal(t, want, found, "%s: %s", glass, sentence)
		}
		assert.NotContains(t, severities(contextOf(t, "", ordering(piece{}, lapStep, sentence))), "dry-work-on-lead", sentence)
	}
}

// A wheel, a brush or a belt runs on a machine, whether or not the step names
// one; common practice.
func TestWhatTurnsWithoutAMachine(t *testing.T) {
	for facts, want := range map[string][]string{
		"Abrasive: pumice 2F|Medium: horsehair brush wheel, 150 mm|Water: damp|Mix: mud": {"eyes-covered", "power-near-water", "spindle-grabs", "keep-wet-and-cool"},
		"Abrasive: metal diamond wheel 120 mesh|Water: drip":                             {"eyes-covered", "power-near-water", "spindle-grabs", "keep-wet-and-cool"},
		"Abrasive: silicon carbide belt P120|Water: flood":                               {"eyes-covered", "power-near-water", "belt-nip", "keep-wet-and-cool"},
		"Abrasive: plated diamond disc 140 mesh|Water: flood":                            {"eyes-covered", "power-near-water", "keep-wet-and-cool"},
		"Abrasive: cerium oxide 1.5 µm|Medium: felt pad, 300 mm|Water: damp|Mix: cream":  {"eyes-covered", "power-near-water", "keep-wet-and-cool"},
		"Abrasive: cerium oxide 1.5 µm|Medium: felt block|Water: damp|Mix: cream":        nil,
		"Abrasive: plated diamond hand pad 120 mesh|Water: wet":                          nil,
		"Abrasive: silicon carbide paper P400|Water: wet":                                nil,
		"Abrasive: silicon carbide F220|Medium: glass plate|Water: wet|Mix: cream":       nil,
	} {
		asked := asksFor(contextOf(t, "", piece{shape: "convex", steps: aStep("Work the face", strings.Split(facts, "|")...)}.text()))
		for _, id := range []string{"eyes-covered", "power-near-water", "spindle-grabs", "belt-nip", "keep-wet-and-cool"} {
			assert.Equal(t, slices.Contains(want, id), slices.Contains(asked, id), "%s: %s", facts, id)
		}
	}
}

// One finding for each reason, and steps with another reason are not lent it.
func TestStepsAreGroupedByTheirReason(t *testing.T) {
	shop := "machines:\n  SAW: {kind: wet saw, diameter: 300 mm, noise: 84 dB(A)}\n  BLAST: {kind: blast cabinet, noise: 83 dB(A)}\n"
	saw := aStep("Saw the face", "Abrasive: metal diamond blade", "Machine: SAW at 1500 rpm", "Water: flood")
	blast := aStep("Blast the face", "Abrasive: aluminium oxide F120", "Machine: BLAST", "Pressure: 1.6 bar")
	list := of(contextOf(t, shop, piece{steps: saw + blast + saw}.text()), "loud-machine")
	require.Len(t, list, 2)
	assert.Contains(t, list[0].Message, "84 dB(A)")
	assert.Len(t, list[0].Also, 1)
	assert.Contains(t, list[1].Message, "83 dB(A)")
	assert.Empty(t, list[1].Also)

	soak := "## Soak the face\n\n- Surface: face\n\n1. Soak it in vinegar.\n\n"
	lap := aStep("Smooth the face", strings.Split(lapStep, "|")...)
	list = of(contextOf(t, "", piece{glass: "lead crystal", steps: soak + lap + lap}.text()), "lead-slurry-apart")
	require.Len(t, list, 2)
	assert.Contains(t, list[0].Message, "bath")
	assert.Equal(t, 1, list[0].Step)
	assert.Contains(t, list[1].Message, "Wet work")
	assert.Len(t, list[1].Also, 1)
}

// Putty powder on soda-lime makes lead slurry where it is used and nowhere
// else; common practice.
func TestPuttyPowderIsFoundWhereItIsUsed(t *testing.T) {
	lap := aStep("Smooth the face", strings.Split(lapStep, "|")...)
	putty := strings.Replace(aStep("Polish the face", "Abrasive: cerium oxide 1.5 µm", "Medium: felt pad", "Machine: flat lap, 300 mm at 150 rpm", "Water: damp", "Mix: cream"),
		"- [ ]", "1. A little putty powder with it.\n\n- [ ]", 1)
	c := contextOf(t, "", piece{steps: lap + putty}.text())
	for _, rule := range []string{"lead-glass-work", "lead-slurry-apart"} {
		list := of(c, rule)
		require.Len(t, list, 1, rule)
		assert.Equal(t, 2, list[0].Step, rule)
		assert.Empty(t, list[0].Also, rule)
		assert.Contains(t, strings.ToLower(list[0].Message), "putty powder", rule)
	}
	list := of(c, "slurry-never-to-drain")
	require.Len(t, list, 1)
	assert.Equal(t, 1, list[0].Step)
	assert.Empty(t, of(contextOf(t, "", piece{steps: lap + strings.Replace(putty, "A little putty", "No putty", 1)}.text()), "lead-glass-work"))
}

// of are the findings of one rule.
func of(c *check.Context, rule string) diag.List {
	var list diag.List
	for _, d := range check.Run(c, safetyRules) {
		if d.Rule == rule {
			list.Add(d)
		}
	}
	return list
}

// Two cautions that stand at one place may say between them what a note asks,
// unless one of them orders what it forbids.
func TestCautionsAddUp(t *testing.T) {
	for lead, answered := range map[string]bool{
		"> Warning: RCD on this bench, tested daily.\n\n> Warning: Dry hands at the plug.":                                 true,
		"> Warning: RCD on this bench, tested daily.\n\n> Notice: Dry hands at the plug.":                                  false,
		"> Warning: RCD on this bench, tested daily.\n\n> Warning: Goggles on.":                                            false,
		"> Warning: RCD on this bench, tested daily.\n\n> Warning: Dry hands at the plug. If the RCD trips, tape it down.": false,
	} {
		c := contextOf(t, "", piece{lead: lead, steps: aStep("Smooth the face", strings.Split(lapStep, "|")...)}.text())
		assert.Equal(t, answered, len(of(c, "power-near-water")) == 0, lead)
	}
}

// What a near miss leaves out is told in plain words, and a caution that speaks
// of something else is no near miss.
func TestNearMissesSpeakPlainly(t *testing.T) {
	finding := func(p piece, facts, rule string) diag.Diagnostic {
		p.steps = aStep("Work the face", strings.Split(facts, "|")...)
		list := of(contextOf(t, "", p.text()), rule)
		require.Len(t, list, 1, rule)
		return list[0]
	}
	d := finding(piece{glass: "lead crystal", lead: "> Warning: lead glass. Work it wet."}, lapStep, "lead-glass-work")
	assert.Contains(t, d.Message, "not recognised")
	assert.Contains(t, d.Help, `also say "never eat, drink or smoke here" and "wash your hands"`)

	d = finding(piece{glass: "lead crystal", lead: "> Warning: wash your hands."}, lapStep, "lead-glass-work")
	assert.Contains(t, d.Message, "is missing")
	assert.NotContains(t, d.Help, "also say")

	d = finding(piece{lead: "> Warning: the RCD trips, so tape it down. Test it. Dry hands."}, lapStep, "power-near-water")
	assert.Contains(t, d.Help, `leave out "tape it"`)

	dusty := "Abrasive: silicon carbide paper P400|Machine: by hand|Water: dry"
	p := piece{steps: strings.Replace(aStep("Work the face", strings.Split(dusty, "|")...), "- [ ]", "> Warning: extraction on, FFP2 mask on, wipe wet.\n\n- [ ]", 1)}
	list := of(contextOf(t, "", p.text()), "dry-abrasive-step")
	require.Len(t, list, 1)
	assert.Contains(t, list[0].Help, `"wear a P100 or FFP3 mask"; "FFP2" is less than this note asks for.`)
}

// No help line leaks how the tables are written: no dots, no prefixes.
func TestIdeasAreToldInPlainWords(t *testing.T) {
	for _, topic := range trade.BuiltIn().Topics {
		for _, i := range topic.Ideas {
			assert.NotEmpty(t, i.Tell, topic.Name)
			assert.NotContains(t, i.Tell, "..", topic.Name)
			assert.NotContains(t, i.Tell, "…", topic.Name)
			for _, phrase := range append(slices.Clone(i.Spoilt), i.Weak...) {
				assert.NotEmpty(t, newPattern(phrase, false).stems, "%s: %s", topic.Name, phrase)
			}
		}
	}
}

// Cleaners that may hold bifluoride by what they are for; common practice.
func TestUnnamedCleaners(t *testing.T) {
	for sentence, want := range map[string]bool{
		"Soak it in aluminium brightener.":            true,
		"Use the brightener for a minute.":            true,
		"Toilet cleaner takes the scale off.":         true,
		"Pour toilet bowl cleaner on it.":             true,
		"A descaler for kettles.":                     true,
		"Lime remover, ten minutes.":                  true,
		"Brick cleaner from the yard.":                true,
		"Brush the deruster on.":                      true,
		"Wash with grout cleaner.":                    true,
		"Never use toilet cleaner.":                   false,
		"Glass cleaner on a cloth.":                   false,
		"Tape residue remover.":                       false,
		"A cleaner face.":                             false,
		"Soap with an optical brightener.":            false,
		"The face is brighter and cleaner each time.": false,
	} {
		assert.Equal(t, want, len(of(contextOf(t, "", ordering(piece{}, lapStep, sentence)), "unnamed-cleaner")) > 0, sentence)
	}
	// Lemon juice is citric acid: a soak that carries its note.
	assert.Len(t, of(contextOf(t, "", ordering(piece{}, lapStep, "Soak it in lemon juice.")), "acid-soak"), 1)
	lead := of(contextOf(t, "", ordering(piece{glass: "lead crystal"}, lapStep, "Soak it in lemon juice.")), "lead-and-acid")
	require.Len(t, lead, 1)
	assert.Equal(t, diag.Error, lead[0].Severity)
}

// What may not run dry, and what may: common practice.
func TestDryWhereWet(t *testing.T) {
	for facts, want := range map[string]diag.Severity{
		"Abrasive: metal diamond blade|Machine: wet saw, 300 mm at 1500 rpm|Water: dry":                             diag.Error,
		"Abrasive: metal diamond blade|Machine: wet saw, 300 mm at 1500 rpm|Water: damp":                            diag.Warning,
		"Abrasive: metal diamond blade|Machine: wet saw, 300 mm at 1500 rpm|Water: drip":                            0,
		"Abrasive: resin diamond pad 325 mesh|Machine: flat lap, 300 mm at 150 rpm|Water: dry":                      diag.Error,
		"Abrasive: plated diamond disc 140 mesh|Machine: flat lap, 300 mm at 150 rpm|Water: dry":                    diag.Error,
		"Abrasive: metal diamond wheel 120 mesh|Machine: lathe at 450 rpm|Water: dry":                               diag.Error,
		"Abrasive: cerium oxide 1.5 µm|Medium: felt pad|Machine: flat lap, 300 mm at 150 rpm|Water: dry|Mix: cream": diag.Error,
		"Abrasive: pumice 2F|Medium: horsehair brush wheel, 150 mm|Machine: lathe at 300 rpm|Water: dry|Mix: mud":   diag.Error,
		"Abrasive: cerium oxide 1.5 µm|Medium: felt block|Machine: by hand|Water: dry|Mix: cream":                   diag.Error,
		"Abrasive: silicon carbide belt P120|Machine: wet belt|Water: dry":                                          diag.Error,
		"Abrasive: plated diamond burr 120 mesh|Machine: hand-held polisher|Water: dry":                             diag.Warning,
		"Abrasive: silicon carbide paper P400|Machine: by hand|Water: dry":                                          0,
		"Abrasive: plated diamond hand pad 120 mesh|Machine: by hand|Water: dry":                                    0,
		"Abrasive: aluminium oxide F120|Machine: blast cabinet|Water: dry":                                          0,
		"Abrasive: resin diamond pad 325 mesh|Machine: flat lap, 300 mm at 150 rpm|Water: flood":                    0,
	} {
		text := piece{shape: "convex", extra: "cautions: [dry dust, sweeping]\n", steps: aStep("Work the face", strings.Split(facts, "|")...)}.text()
		assert.Equal(t, want, severities(contextOf(t, "", text))["dry-where-wet"], facts)
	}
	lead := piece{glass: "lead crystal", steps: aStep("Work the face", "Abrasive: resin diamond pad 325 mesh", "Machine: flat lap, 300 mm at 150 rpm", "Water: dry")}.text()
	assert.NotContains(t, severities(contextOf(t, "", lead)), "dry-where-wet", "it is refused outright")
}

// What a machine may run at is changed by no wheel, and a belt is no wheel.
func TestTheMendForTooMuchSpeed(t *testing.T) {
	shop := "machines:\n  B: {kind: wet belt, maximum: 8 m/s}\n  L: {kind: flat lap, diameter: 300 mm, maximum: 200 rpm}\nstock:\n  P1: {abrasive: silicon carbide belt, grade: P120, maximum: 6 m/s}\n"
	for facts, c := range map[string]struct{ help, not string }{
		"Abrasive: silicon carbide belt P120|Machine: B at 9 m/s|Water: flood":    {"Write 8 m/s or less;", "another"},
		"Abrasive: resin diamond pad 325 mesh|Machine: L at 300 rpm|Water: flood": {"Write 200 rpm or less;", "another"},
		"Abrasive: P1|Machine: B at 7 m/s|Water: flood":                           {"or less, or take another belt;", "wheel"},
	} {
		list := of(contextOf(t, shop, piece{steps: aStep("Work the face", strings.Split(facts, "|")...)}.text()), "wheel-over-speed")
		require.Len(t, list, 1, facts)
		assert.Contains(t, list[0].Help, c.help)
		assert.NotContains(t, list[0].Help, c.not)
	}
}
