package trade

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTablesLoad reads the tables afresh: every row has a source, every word
// one table borrows of another is there.
func TestTablesLoad(t *testing.T) {
	_, report := readTables(func(name string) []byte {
		text, err := tableFiles.ReadFile("tables/" + name)
		require.NoError(t, err)
		return text
	})
	for _, d := range report {
		t.Errorf("%s:%d: %s", d.Span.Place().Name, d.Span.Place().Line, d.Message)
	}
}

// TestBrokenTableIsFound: the loader sees what it is meant to see.
func TestBrokenTableIsFound(t *testing.T) {
	for name, c := range map[string]struct{ file, old, new, message string }{
		"no source":       {"words.yaml", "name: relief, means: \"Raised detail with low places between.\", source: common practice", "name: relief, means: relief", "nothing of its source"},
		"unknown scale":   {"abrasives.yaml", "FEPA F, ANSI, JIS, µm", "FEPA F, ANSY, JIS, µm", "no scale ANSY"},
		"unknown key":     {"machines.yaml", "hand-held: yes", "handheld: yes", "no key of a row"},
		"unknown shape":   {"machines.yaml", "reach: [flat, ring]", "reach: [flat, rung]", "no shape rung"},
		"unknown topic":   {"machines.yaml", "topics: [belt, ears]", "topics: [belt, eers]", "no caution eers"},
		"unknown mix":     {"abrasives.yaml", "felt: [mud, paste]", "felt: [mudd, paste]", "no mudd on felt"},
		"not a number":    {"glasses.yaml", "density: 2.5", "density: two", "no number"},
		"upside down":     {"media.yaml", "rim: [2, 5]", "rim: [5, 2]", "behind the high one"},
		"unknown bond":    {"tools.yaml", "{any: plated}", "{any: glued}", "no bond glued"},
		"unknown drive":   {"machines.yaml", "driven: {air:", "driven: {aire:", "no drive aire"},
		"no such kind":    {"reach.yaml", "belts: [wet belt", "belts: [wett belt", "no machine wett belt"},
		"no such mix":     {"media.yaml", "mixes: [cream, milk]", "mixes: [creem, milk]", "no mix creem"},
		"no such glass":   {"glasses.yaml", "like: soda-lime", "like: sodalime", "no glass sodalime"},
		"no such caution": {"deeds-dust.yaml", "topic: slurry", "topic: slury", "no caution slury"},
		"no deed":         {"deeds-hands.yaml", "order: [", "ordre: [", "no key of a row"},
		"no signal word":  {"cautions.yaml", "signal: Warning", "signal: Alarm", "signal word"},
	} {
		t.Run(name, func(t *testing.T) {
			_, report := readTables(func(file string) []byte {
				text, err := tableFiles.ReadFile("tables/" + file)
				require.NoError(t, err)
				if file != c.file {
					return text
				}
				require.Contains(t, string(text), c.old)
				return []byte(strings.Replace(string(text), c.old, c.new, 1))
			})
			require.NotEmpty(t, report)
			assert.Contains(t, report[0].Message, c.message)
		})
	}
}

// TestNamesAreOne: no name stands for two things of one kind, so that nothing
// an author writes can be taken for something else.
func TestNamesAreOne(t *testing.T) {
	h := BuiltIn()
	seen := map[string]string{}
	add := func(kind, name string, also []string) {
		for _, n := range append([]string{name}, also...) {
			key := kind + " " + norm(n)
			if first, ok := seen[key]; ok {
				t.Errorf("%s %q is %s and %s", kind, n, first, name)
			}
			seen[key] = name
		}
	}
	for _, f := range h.Families {
		add("abrasive", f.Name, f.Also)
	}
	for _, x := range h.Tools {
		add("abrasive", x.Name, x.Also)
	}
	for _, b := range builtIn().bonds {
		add("abrasive", string(b.bond), b.also)
	}
	for _, m := range h.Media {
		add("medium", m.Name, m.Also)
	}
	for _, k := range h.Kinds {
		add("machine", k.Name, k.Also)
	}
	for _, g := range h.Glasses {
		add("glass", g.Name, g.Also)
	}
	for _, u := range builtIn().unlisted {
		add("glass", u.name, u.also)
	}
	for _, k := range h.Kinds {
		for _, names := range k.driven {
			add("machine", names[0], names[1:])
		}
	}
	for _, d := range builtIn().drives {
		add("drive", d.name, d.also)
	}
	for _, s := range h.Shapes {
		add("shape", s.Name, s.Also)
	}
	for _, w := range h.Waters {
		add("water", w.Name, w.Also)
	}
	for _, f := range h.Finishes {
		add("finish", f.Name, f.Also)
	}
	for _, m := range h.Mixes {
		add("mix", m.Name, m.Also)
	}
	for _, x := range h.Tests {
		add("test", x.Name, x.Also)
	}
}

// TestHardness holds the table against hardness published elsewhere: Mohs's
// own scale has corundum 9 and diamond 10 (F. Mohs, 1822); pumice is 6 against
// glass 5 to 5½ (common practice); Knoop numbers of silicon carbide 2480,
// boron carbide 2750, corundum about 2100, quartz 820, diamond 7000 (CRC
// Handbook of Chemistry and Physics, from memory).
func TestHardness(t *testing.T) {
	h := BuiltIn()
	within := func(name string, mohs float64) {
		f := h.FindFamily(name)
		require.NotNil(t, f, name)
		assert.LessOrEqual(t, f.Mohs[0], mohs, name)
		assert.GreaterOrEqual(t, f.Mohs[1], mohs, name)
	}
	within("diamond", 10)
	within("aluminium oxide", 9)
	within("quartz sand", 7)
	within("pumice", 6)
	assert.GreaterOrEqual(t, h.FindFamily("pumice").Mohs[1], 5.5, "pumice must scratch glass at 5 to 5½")
	for name, knoop := range map[string]float64{"silicon carbide": 2480, "boron carbide": 2750, "aluminium oxide": 2100, "quartz sand": 820, "diamond": 7000} {
		k := h.FindFamily(name).Knoop
		assert.LessOrEqual(t, k[0], knoop, name)
		assert.GreaterOrEqual(t, k[1], knoop, name)
	}
	order := []string{"pumice", "garnet", "emery", "aluminium oxide", "silicon carbide", "diamond"}
	for i := 1; i < len(order); i++ {
		assert.Less(t, h.FindFamily(order[i-1]).Mohs[0], h.FindFamily(order[i]).Mohs[0], "%s under %s", order[i-1], order[i])
	}
	for _, f := range h.Families {
		assert.Greater(t, f.Density, f.Bulk, "%s: a powder is lighter than its grains", f.Name)
		assert.Positive(t, f.Bulk, f.Name)
	}
}

// TestGlasses: densities of ISO 3585 (borosilicate 3.3: 2.23 g/cm³), fused
// silica 2.20, soda-lime 2.5; E 64 GPa for ISO 3585 glass, 72 to 73 GPa for
// soda-lime and fused silica (data sheets). Lead glass is heavier and softer.
func TestGlasses(t *testing.T) {
	h := BuiltIn()
	for name, want := range map[string][2]float64{
		"soda-lime": {2.5, 72}, "borosilicate": {2.23, 64}, "fused silica": {2.2, 73},
	} {
		g := h.FindGlass(name)
		require.NotNil(t, g, name)
		assert.InDelta(t, want[0], g.Density, 0.02, name)
		assert.InDelta(t, want[1], g.E, 1.5, name)
		assert.False(t, g.Lead, name)
	}
	lead := h.FindGlass("lead crystal")
	assert.True(t, lead.Lead)
	assert.InDelta(t, 3.0, lead.Density, 0.15)
	assert.Less(t, lead.H, h.FindGlass("soda-lime").H)
	assert.Greater(t, lead.Polish, h.FindGlass("soda-lime").Polish)
	assert.Same(t, lead, h.FindGlass("Lead-bearing casting crystal"))
	assert.Same(t, h.FindGlass("soda-lime"), h.FindGlass("float"))
	assert.Same(t, lead, h.FindGlass("24 % lead crystal"))
	assert.Nil(t, h.FindGlass("unknown"), "unknown is no glass of the tables")
	// Of a glass that is called free of lead only the house can say what it is.
	for _, name := range []string{"lead-free crystal", "Lead free crystal", "barium crystal"} {
		assert.Nil(t, h.FindGlass(name), name)
		help, ok := h.GlassHelp(name)
		assert.True(t, ok, name)
		assert.Contains(t, help, "glasses", name)
		assert.Contains(t, help, "glass: unknown", name)
	}
	_, ok := h.GlassHelp("lead crystal")
	assert.False(t, ok)
}

// TestCommonPractice holds the tables against facts every cold shop knows.
func TestCommonPractice(t *testing.T) {
	h := BuiltIn()
	// A brush wheel reaches relief and ground lenses, flat wheels do not.
	for _, brush := range []string{"brush wheel", "horsehair brush wheel", "plant-fibre brush wheel"} {
		assert.Subset(t, h.FindMedium(brush).Reach, []string{"relief", "facets"}, brush)
	}
	for _, flat := range []string{"felt pad", "iron lap", "cork pad", "urethane pad", "glass plate"} {
		assert.NotContains(t, h.FindMedium(flat).Reach, "relief", flat)
		assert.NotContains(t, h.FindMedium(flat).Reach, "facets", flat)
		assert.NotContains(t, h.FindMedium(flat).Reach, "concave", flat)
		assert.Contains(t, h.FindMedium(flat).Reach, "flat", flat)
	}
	for _, wheel := range []string{"felt wheel", "cork wheel"} {
		assert.NotContains(t, h.FindMedium(wheel).Reach, "relief", wheel)
	}
	assert.NotContains(t, h.FindKind("flat lap").Reach, "concave")
	assert.NotContains(t, h.FindKind("lathe").Reach, "flat")
	assert.Contains(t, h.FindKind("lathe").Reach, "facets")
	// Pumice and cerium run on what gives, never on a hard lap; loose silicon
	// carbide runs on a hard one.
	for _, powder := range []string{"pumice", "cerium oxide", "tin oxide", "rottenstone"} {
		f := h.FindFamily(powder)
		assert.NotContains(t, f.Laps, Hard, powder)
		assert.Contains(t, f.Laps, Felt, powder)
		assert.Contains(t, f.Laps, Brush, powder)
		assert.False(t, f.Comparable, powder)
	}
	assert.Equal(t, []LapClass{Hard}, h.FindFamily("silicon carbide").Laps)
	// Pumice is mixed to mud, thicker than cerium, and loose grit to a slurry.
	rank := func(family string, lap LapClass) int {
		return h.FindMix(h.FindFamily(family).Mixes[lap][0]).Rank
	}
	assert.Equal(t, "mud", h.FindFamily("pumice").Mixes[Brush][0])
	assert.Less(t, rank("pumice", Felt), rank("cerium oxide", Felt))
	assert.Less(t, rank("pumice", Felt), rank("silicon carbide", Hard))
	// A small wheel goes into a hollow piece; what is soft and held in the hand
	// goes into the low places of a relief and over a flat face alike.
	for _, wheel := range []string{"felt wheel", "cork wheel", "rubber wheel"} {
		assert.Contains(t, h.FindMedium(wheel).Reach, "inside", wheel)
	}
	for _, soft := range []string{"nylon pad", "hand brush", "soft cloth"} {
		assert.Subset(t, h.FindMedium(soft).Reach, []string{"flat", "relief"}, soft)
		assert.Contains(t, h.FindMedium(soft).On, "by hand", soft)
	}
	assert.Subset(t, h.FindKind("wet saw").Reach, []string{"ring", "bevel", "edge"})
	// What turns on a spindle does not turn on a flat lap, and the other way
	// round; what is held in the hand is on no machine.
	for _, m := range h.Media {
		last := m.Name[strings.LastIndex(m.Name, " ")+1:]
		switch last {
		case "wheel":
			assert.NotContains(t, m.On, "flat lap", m.Name)
			assert.Contains(t, m.On, "lathe", m.Name)
		case "lap", "plate":
			assert.Contains(t, m.On, "flat lap", m.Name)
			assert.NotContains(t, m.On, "bench grinder", m.Name)
			assert.Contains(t, m.Reach, "flat", m.Name)
		case "belt":
			assert.Contains(t, m.On, "wet belt", m.Name)
		case "block":
			assert.Equal(t, []string{"by hand", "sink"}, m.On, m.Name)
		}
		assert.NotEmpty(t, m.On, m.Name)
	}
	for _, tool := range h.Tools {
		assert.NotEmpty(t, tool.On, tool.Name)
		assert.NotEmpty(t, tool.Reach, tool.Name)
		assert.NotContains(t, tool.On, "blast cabinet", tool.Name)
	}
	// The pan of a vibrating lap: carbide as paste, pumice as cream on felt.
	sic, pumice := Abrasive{Family: h.FindFamily("silicon carbide")}, Abrasive{Family: h.FindFamily("pumice")}
	assert.Contains(t, MixesFor(sic, Medium{Kind: h.FindMedium("pan")}, Hard), "paste")
	assert.NotContains(t, MixesFor(sic, Medium{Kind: h.FindMedium("iron lap")}, Hard), "paste")
	assert.Contains(t, MixesFor(pumice, Medium{Kind: h.FindMedium("felt-lined pan")}, Felt), "cream")
	assert.NotContains(t, MixesFor(pumice, Medium{Kind: h.FindMedium("felt wheel")}, Felt), "cream")
	assert.Equal(t, "mud", MixesFor(pumice, Medium{Kind: h.FindMedium("felt-lined pan")}, Felt)[0])
	// A solid and a perforated felt pad are told apart.
	assert.Subset(t, h.FindMedium("felt pad").Variants, []string{"solid", "perforated"})
	// After loose silicon carbide, pumice on horsehair or cork, then cerium on
	// felt.
	assert.Equal(t, []Work{Grind, Prepolish, Polish}, []Work{h.FindFamily("silicon carbide").Work, h.FindFamily("pumice").Work, h.FindFamily("cerium oxide").Work})
	assert.Equal(t, Brush, h.FindMedium("horsehair brush wheel").Lap)
	assert.Equal(t, Cork, h.FindMedium("cork wheel").Lap)
	assert.Equal(t, Felt, h.FindMedium("felt wheel").Lap)
	// Rims: discs run faster than loose grit, polish slower than grinding.
	assert.Less(t, h.FindMedium("felt pad").Rim.High, h.FindMedium("iron lap").Rim.High)
	for _, tool := range h.Tools {
		for bond, r := range tool.Rim {
			assert.Less(t, r.Low, r.High, "%s %s", bond, tool.Name)
			assert.False(t, r.House)
		}
	}
}

// formTopics are the caution topics the format names.
var formTopics = strings.Split("dry dust,dry powder,mould residue,sweeping,lead glass,lead slurry,slurry,power near water,unplug,"+
	"rotating spindle,held cloth,wheel check,rest and guard,run-up,spin dry,belt,eyes,ears,sharp arris,heavy piece,keep wet,tank water,"+
	"blast cabinet,grit carry-over,thrown piece,vibration,wet hands,wet floor,label the pot,"+
	"wet power tool,strain,thin ware,laser test,acid soak,lead and acid,oily rags,saw and drill,running alone,lone work,visitors,lead and you,fresh cut", ",")

func TestTopics(t *testing.T) {
	h := BuiltIn()
	var names []string
	rules := map[string]string{}
	for _, topic := range h.Topics {
		names = append(names, topic.Name)
		assert.Empty(t, rules[topic.Rule], "%s answers the rule of %s", topic.Name, rules[topic.Rule])
		rules[topic.Rule] = topic.Name
		// DANGER is kept for what is refused outright (ANSI Z535.6: sparingly).
		assert.Less(t, topic.Signal, Danger, topic.Name)
		assert.Regexp(t, regexp.MustCompile(`^([WMPFE]\d{3})?$`), topic.Sign, topic.Name)
		for _, text := range []string{topic.Full, topic.Short} {
			assert.True(t, strings.HasSuffix(text, "."), topic.Name)
			assert.Less(t, len(topic.Short), len(topic.Full), topic.Name)
		}
	}
	assert.ElementsMatch(t, formTopics, names)
	for _, never := range []string{"lead glass", "lead slurry", "heavy piece", "mould residue", "blast cabinet", "dry dust"} {
		assert.False(t, h.FindTopic(never).Standing, never)
	}
	for _, starter := range []string{"power near water", "eyes", "unplug", "sweeping", "slurry", "keep wet", "grit carry-over"} {
		assert.True(t, h.FindTopic(starter).Standing, starter)
	}
	for _, at := range []string{"dry dust", "dry powder", "unplug", "rotating spindle", "held cloth", "run-up", "belt", "keep wet", "blast cabinet"} {
		assert.True(t, h.FindTopic(at).AtStep, at)
	}
	// A note before the first step is enough for these, but they are said where
	// the mould comes off and where the wheel goes on.
	for _, at := range []string{"mould residue", "wheel check"} {
		assert.False(t, h.FindTopic(at).AtStep, at)
	}
	for _, topic := range h.Topics {
		assert.True(t, topic.Again || !topic.AtStep, topic.Name)
		assert.True(t, !topic.Again || topic.Short != "", "%s has words for its step", topic.Name)
	}
	for _, at := range []string{"mould residue", "wheel check", "acid soak", "saw and drill"} {
		assert.True(t, h.FindTopic(at).Again, at)
	}
}

// claims are what no sheet may say: a reassurance, or that a note removes a
// hazard.
var claims = []string{"is safe", "are safe", "harmless", "compliant", "risk assessed", "no risk", "lead-free", "down the drain is", "below the limit", "cannot hurt", "fully protects", "causes silicosis"}

func TestNoReassurance(t *testing.T) {
	h := BuiltIn()
	check := func(where, text string) {
		for _, c := range claims {
			assert.NotContains(t, strings.ToLower(text), c, where)
		}
	}
	for _, topic := range h.Topics {
		check(topic.Name, topic.Full+" "+topic.Short+" "+topic.Title)
		for _, w := range topic.Wordings {
			check(topic.Name, w.Full+" "+w.Short)
		}
	}
	for _, test := range h.Tests {
		check(test.Name, test.Method+" "+test.Shows)
	}
}

// TestWordings: 16 and 23 kg (guidance of labour inspectorates; NIOSH lifting
// equation), a ring test for vitrified wheels over 100 mm (state codes that
// mirror 29 CFR 1910.215), hearing protection compulsory from 85 dB(A)
// (Directive 2003/10/EC).
func TestWordings(t *testing.T) {
	h := BuiltIn()
	heavy := h.FindTopic("heavy piece")
	for mass, want := range map[float64]string{0: "support", 12: "support", 16: "support", 16.1: "Two people", 23: "Two people", 23.1: "hoist"} {
		w := heavy.Wording(map[string]float64{"mass": mass})
		assert.Contains(t, w.Full, want, "%v kg", mass)
		assert.Equal(t, mass > 16, w.Signal == Warning, "%v kg", mass)
		assert.Contains(t, w.Full, "Stop the machine")
	}
	wheel := h.FindTopic("wheel check")
	assert.NotContains(t, wheel.Wording(map[string]float64{"wheel": 100}).Full, "ring")
	assert.Contains(t, wheel.Wording(map[string]float64{"wheel": 100.1}).Full, "ring clear")
	ears := h.FindTopic("ears")
	assert.NotContains(t, ears.Wording(map[string]float64{"noise": 84}).Full, "must")
	assert.Contains(t, ears.Wording(map[string]float64{"noise": 85}).Full, "must wear")
	assert.Equal(t, h.FindTopic("eyes").Full, h.FindTopic("eyes").Wording(nil).Full)
}

// TestOrderOfFinishes: from matte to optical polish, dirty polish at the place
// of lustre; what is a stop and no finish has no rank.
func TestOrderOfFinishes(t *testing.T) {
	h := BuiltIn()
	order := []string{"matte", "fine matte", "satin", "lustre", "bright polish", "optical polish"}
	for i, name := range order {
		assert.Equal(t, i+1, h.FindFinish(name).Rank, name)
	}
	assert.Equal(t, h.FindFinish("lustre").Rank, h.FindFinish("dirty polish").Rank)
	for _, name := range []string{"untouched", "removed", "seamed"} {
		assert.Zero(t, h.FindFinish(name).Rank, name)
	}
	assert.Nil(t, h.FindFinish("shiny"))
	shapes := []string{"flat", "ring", "convex", "concave", "relief", "facets", "groove", "edge", "bevel", "arris", "hole", "inside", "stub"}
	var have []string
	for _, s := range h.Shapes {
		have = append(have, s.Name)
	}
	assert.ElementsMatch(t, shapes, have)
	for _, s := range shapes {
		reached := slices.ContainsFunc(h.Kinds, func(k *MachineKind) bool { return k.Powered && !k.throws && slices.Contains(k.Reach, s) })
		assert.True(t, reached, "no machine reaches %s", s)
		held := slices.ContainsFunc(h.Media, func(m *MediumKind) bool { return slices.Contains(m.Reach, s) })
		assert.True(t, held, "no medium reaches %s", s)
	}
	for _, w := range []string{"flood", "drip", "spray", "damp", "pool", "wet", "soak"} {
		assert.True(t, h.FindWater(w).Wet, w)
	}
	assert.False(t, h.FindWater("dry").Wet)
	for _, kind := range []string{"flat lap", "vibrating lap", "wet belt", "lathe", "upright polisher", "hand-held polisher", "drill", "wet saw", "blast cabinet", "bench grinder", "by hand"} {
		assert.NotNil(t, h.FindKind(kind), kind)
	}
	for _, test := range h.Tests {
		if test.Name != "Rinse bowl" {
			assert.Contains(t, test.Method, "ry", "%s is made dry", test.Name)
		}
	}
	// A wheel or a hand inside the turning disc is no test.
	for _, test := range h.Tests {
		assert.NotContains(t, strings.ToLower(test.Method), "turning")
	}
}

// BenchmarkTables is what the built-in tables cost, once a process.
func BenchmarkTables(b *testing.B) {
	for b.Loop() {
		readTables(func(name string) []byte {
			text, err := tableFiles.ReadFile("tables/" + name)
			if err != nil {
				b.Fatal(err)
			}
			return text
		})
	}
}
