package rules

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/trade"
)

// The figures a caution in free words must keep to, each with one that keeps to
// it and the next that does not.
func TestFiguresInFreeWords(t *testing.T) {
	lacks := func(topic, note string) bool {
		top := trade.BuiltIn().FindTopic(topic)
		return len(readNote(note).lacks(asked(top, map[string]float64{"wheel": 300, "mass": 30, "noise": 90}))) > 0
	}
	for _, c := range []struct {
		source, topic, note string // %s is the figure
		keeps, breaks       []string
	}{
		// 1/8 in is 3.175 mm.
		{"29 CFR 1910.215(a)(4), seen second-hand", "rest and guard", "Set the rest within %s of the wheel, stopped. Guard on.",
			[]string{"3 mm", "1/8 in", "2 mm", "1.5 mm", "1/16 in"}, []string{"4 mm", "5 mm", "6 mm", "1/4 in", "3 cm", "13 mm", "a finger's breadth"}},
		{"29 CFR 1910.215(a)(4), seen second-hand", "rest and guard", "Rest: %s off the stopped wheel. Set the rest. Guard on.",
			[]string{"no more than 3 mm", "3 mm at most"}, []string{"more than 3 mm", "at least 3 mm", "3 mm or more", "over 3 mm"}},
		{"state codes that follow 29 CFR 1910.215, seen second-hand", "run-up", "Run it %s with the guard on. Stand aside.",
			[]string{"one minute", "1 minute", "60 s", "a full minute", "2 min"}, []string{"30 s", "half a minute", "10 seconds", "1 s"}},
		{"42 CFR 84 (P100 99.97 %, N95 95 %) and EN 149 (FFP3 99 %, FFP2 94 %), seen second-hand", "dry powder", "Spoon the powder into water. Wear a %s.",
			[]string{"P100", "FFP3 mask", "respirator with P3 filters"}, []string{"FFP2 mask", "N95 mask", "FFP1 mask", "paper mask", "KN95 mask"}},
		{"UL 943 Class A (5 mA) and 30 mA residual current devices, seen second-hand", "power near water", "%s, press TEST first. Dry hands at plugs.",
			[]string{"GFCI (5 mA)", "RCD of 30 mA", "Earth leakage breaker", "RCBO"}, []string{"Fuse of 13 A", "Surge strip", "Plain socket"}},
		{"NIOSH lifting equation (23 kg) and HSE figures (16 kg), seen second-hand", "heavy piece", "%s, machine stopped.",
			[]string{"Hoist", "Trolley"}, []string{"Two people lift it", "Rest it on a support"}},
		{"IEC 60825-1, Class 2, from memory", "laser test", "%s pointer. Never at a face.",
			[]string{"Class 2", "1 mW"}, []string{"Class 3", "5 mW", "Green"}},
		{"29 CFR 1910.1053(b) (HEPA, 99.97 % at 0.3 µm), seen second-hand", "sweeping", "Never sweep or blow. %s.",
			[]string{"HEPA vacuum", "Mop"}, []string{"Household vacuum", "Shop vacuum"}},
	} {
		for _, figure := range c.keeps {
			assert.False(t, lacks(c.topic, strings.ReplaceAll(c.note, "%s", figure)), "%s: %s (%s)", c.topic, figure, c.source)
		}
		for _, figure := range c.breaks {
			assert.True(t, lacks(c.topic, strings.ReplaceAll(c.note, "%s", figure)), "%s: %s (%s)", c.topic, figure, c.source)
		}
	}
}

// Exposure limits are background: no caution prints one, so that no sheet can be
// read as saying that it is kept.
func TestNoCautionPrintsAnExposureLimit(t *testing.T) {
	for _, topic := range trade.BuiltIn().Topics {
		texts := []string{topic.Full, topic.Short, topic.Title}
		for _, w := range topic.Wordings {
			texts = append(texts, w.Full, w.Short)
		}
		for _, text := range texts {
			for _, sign := range []string{"mg/m", "µg", "ppm", "PEL", "WEL", "TLV", "dB", "m/s²", "mg/l", "per cent lead"} {
				assert.NotContains(t, text, sign, topic.Name)
			}
		}
	}
}
