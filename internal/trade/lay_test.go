package trade

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

func lay(text string) (*House, diag.List) {
	var report diag.List
	h := Lay(source.New("shop.yaml", []byte(text)), &report)
	return h, report
}

// TestLayAWholeHouse lays a shop file that uses every key.
func TestLayAWholeHouse(t *testing.T) {
	text, err := os.ReadFile("testdata/whole.yaml")
	require.NoError(t, err)
	h, report := lay(string(text))
	for _, d := range report {
		t.Errorf("%d: %s %s", d.Span.Place().Line, d.Message, d.Help)
	}
	assert.Equal(t, "Quillfen Cold Shop", h.Name)
	assert.Equal(t, "A4", h.Paper)
	assert.Equal(t, "en", h.Language)
	assert.False(t, h.Numbers.DecimalComma)

	// A bare number means what the house says, for the form it says it of.
	a, ok, report := abrasive(h, "resin diamond pad 325")
	require.Empty(t, report)
	assert.True(t, ok)
	assert.Equal(t, "325 mesh", a.Grade.Label)
	_, ok, _ = abrasive(h, "resin diamond wheel 325")
	assert.False(t, ok)
	a, ok, _ = abrasive(h, "silicon carbide 220")
	assert.True(t, ok)
	assert.Equal(t, "F220", a.Grade.Label)

	// A code is the line it stands for.
	a, ok, report = abrasive(h, "R325")
	require.Empty(t, report)
	assert.True(t, ok)
	assert.Same(t, h.Stock["R325"], a.Stock)
	assert.Equal(t, "325 mesh", a.Grade.Label)
	assert.Equal(t, "F600", a.ActsLike.Label)
	assert.InDelta(t, 400, a.Diameter.In(quantity.Millimetre), 1e-9)
	assert.InDelta(t, 450, a.Stock.Maximum.In(quantity.RPM), 1e-9)
	a, _, _ = abrasive(h, "R325, 200 mm")
	assert.InDelta(t, 200, a.Diameter.In(quantity.Millimetre), 1e-9)
	assert.Same(t, h.Stock["R325"], a.Stock)
	assert.InDelta(t, 400, h.Stock["R325"].Abrasive.Diameter.In(quantity.Millimetre), 1e-9)
	ce := h.Stock["CE"]
	assert.True(t, ce.ReadyMixed)
	assert.Equal(t, "E", ce.Bench)
	assert.Equal(t, "2026-09-01", ce.Dated)
	assert.InDelta(t, 45, ce.Price.Amount, 1e-9)
	assert.InDelta(t, 1, ce.Pack.In(quantity.Kilogram), 1e-9)
	assert.True(t, h.Stock["B80"].Worn)
	assert.True(t, h.Stock["D60"].Retired)
	assert.InDelta(t, 0.1, h.Stock["X220"].FreeSilica, 1e-9)
	assert.Negative(t, h.Stock["CE"].FreeSilica)
	assert.True(t, h.Stock["RUSTOFF"].FluorideFree)

	m, ok, _ := medium(h, "FELT-P")
	assert.True(t, ok)
	assert.Equal(t, "felt pad, solid", m.Words)
	assert.Equal(t, "pumice", m.Stock.KeptFor)
	b := h.MediumStock["BRUSH"]
	assert.Equal(t, "pumice 2F", b.KeptFor)
	assert.InDelta(t, 150, b.Medium.Diameter.In(quantity.Millimetre), 1e-9)

	use, ok, _ := machine(h, "LAP3 at 150 rpm")
	assert.True(t, ok)
	assert.Same(t, h.Machines["LAP3"], use.Unit)
	assert.Equal(t, "flat lap", use.Kind.Name)
	assert.InDelta(t, 300, use.Diameter.In(quantity.Millimetre), 1e-9)
	assert.Equal(t, []string{"flat", "ring"}, use.Unit.Reach)
	assert.InDelta(t, 82, h.Machines["BELT"].Noise.In(quantity.Decibel), 1e-9)

	assert.Less(t, h.FindBench("x").Rank, h.FindBench("E").Rank)
	assert.True(t, h.FindBench("W").Any)
	assert.Nil(t, h.FindBench("Z"))

	own := h.FindGlass("Quillfen crystal")
	require.NotNil(t, own)
	assert.True(t, own.Lead && own.House)
	assert.InDelta(t, 3.1, own.Density, 1e-9)
	assert.InDelta(t, 30, own.PbO, 1e-9)
	assert.InDelta(t, h.FindGlass("lead crystal").H, own.H, 1e-9)

	assert.Equal(t, "satin", h.FindTile("T2").Finish)
	lamp := h.FindTest("raking LAMP")
	assert.True(t, lamp.House)
	assert.Contains(t, lamp.Method, "two directions")
	assert.False(t, h.FindTest("Pencil").House)

	require.Len(t, h.Measured, 1)
	assert.InDelta(t, 18, h.Measured[0].Rate.Amount, 1e-9)
	assert.InDelta(t, 48, h.Measured[0].Damage.In(quantity.Micrometre), 1e-9)
	assert.Equal(t, "bench hand", h.Measured[0].By)

	assert.Equal(t, Limit{Value: 3, House: true, Source: "the house"}, h.Limits.GradeStep)
	assert.Equal(t, "A5", h.Limits.Card)
	assert.InDelta(t, 12*0.0254/72*1000, h.Limits.TypeFloor.In(quantity.Millimetre), 1e-9)
	assert.Equal(t, Range{Low: 3, High: 6, House: true, Source: "the house"}, h.FindMedium("felt wheel").Rim)
	fw, _, _ := medium(h, "felt wheel")
	assert.True(t, fw.Kind.Rim.House)
	wheel, _, _ := abrasive(h, "metal diamond wheel 120 mesh")
	assert.Equal(t, 14.0, wheel.Tool.Rim[Metal].High)
	assert.False(t, wheel.Tool.Rim[Resin].House)
	assert.Equal(t, "error", h.Limits.Rules["damage-not-cleared"].Severity)
	assert.Equal(t, "warning", h.Limits.Rules["checkpoint-missing"].Severity)
	assert.NotEmpty(t, h.Limits.Rules["checkpoint-missing"].Because)

	require.Len(t, h.Always, 3)
	assert.Equal(t, "power near water", h.Always[0].Name)
	assert.Same(t, h.FindTopic("eyes"), h.Always[1])
	assert.True(t, h.Always[1].House)
	assert.Equal(t, "Specs with side shields before you switch on, visitors too.", h.Always[1].Full)
	assert.Equal(t, Warning, h.Always[1].Signal)
	assert.True(t, h.Always[1].Span.Known())
	assert.Equal(t, "studio lead", h.Roles["approves"])
	assert.Equal(t, "by the door", h.Places["first aid"])

	// The built-in house stays what it is.
	assert.False(t, BuiltIn().FindTopic("eyes").House)
	assert.False(t, BuiltIn().FindMedium("felt wheel").Rim.House)
	assert.Nil(t, BuiltIn().FindGlass("Quillfen crystal"))
	assert.False(t, BuiltIn().Tools[slicesIndex(BuiltIn().Tools, "wheel")].Rim[Metal].House)
}

func slicesIndex(all []*Tool, name string) int {
	for i, t := range all {
		if t.Name == name {
			return i
		}
	}
	return -1
}

func TestEmptyShop(t *testing.T) {
	for _, text := range []string{"", "# nothing yet\n", "house:\n"} {
		h, report := lay(text)
		assert.Empty(t, report, "%q", text)
		assert.NotNil(t, h.FindGlass("soda-lime"))
		assert.Equal(t, BuiltIn().Limits.GradeStep, h.Limits.GradeStep)
		assert.False(t, h.Limits.GradeStep.House)
	}
}

func TestDecimalComma(t *testing.T) {
	h, report := lay("house: {language: de}\nstock:\n  CE: {abrasive: cerium oxide, grade: \"1,5 µm\"}\n")
	require.Empty(t, report)
	assert.InDelta(t, 1.5, h.Stock["CE"].Abrasive.Grade.Size, 1e-9)
	a, ok, report := abrasive(h, "cerium oxide 1,5 µm")
	require.Empty(t, report)
	assert.True(t, ok)
	assert.InDelta(t, 1.5, a.Grade.Size, 1e-9)
}

// TestShopMistakes writes each mistake of a shop file once.
func TestShopMistakes(t *testing.T) {
	for _, c := range []struct{ text, rule, at, help string }{
		{"hous: {name: x}\n", "unknown-key", "hous", "Write house."},
		{"house: {nme: x}\n", "unknown-key", "nme", "Write name."},
		{"house: {paper: A44}\n", UnknownWord, "A44", "Write A4."},
		{"house: {units: metrik}\n", UnknownWord, "metrik", "Write metric."},
		{"house: {language: English!}\n", UnknownWord, "English!", "en"},
		{"house: {name: [a, b]}\n", BadValue, "[a, b]", "one value"},
		{"house: Quillfen\n", "keys-wanted", "Quillfen", ""},
		{"bare numbers: {resin diamond pad: meshh}\n", UnknownWord, "meshh", "Write mesh."},
		{"bare numbers: {resin dimaond pad: mesh}\n", UnknownAbrasive, "dimaond", "diamond"},
		{"bare numbers: {diamond disc: mesh}\n", BondMissing, "diamond disc", "plated diamond disc"},
		{"bare numbers: {resin diamond pad: FEPA F}\n", GradeNotSold, "FEPA F", "mesh"},
		{"stock:\n  R: {abrasive: resin diamond pad, grade: 325}\n", BareGrade, "325", "325 mesh"},
		{"stock:\n  R: {abrasive: resin diamond pad}\n", GradeMissing, "R", "grade:"},
		{"stock:\n  R: {abrasive: resin diamond pad 325 mesh, grade: 325 mesh}\n", SaidTwice, "grade", "one place"},
		{"stock:\n  R: {abrasive: resin diamont pad, grade: 325 mesh}\n", UnknownAbrasive, "diamont", "diamond"},
		{"stock:\n  R: {abrasive: silicon carbide, grade: P400}\n", GradeNotSold, "P400", "F280"},
		{"stock:\n  R: {abrasive: silicon carbide, grade: F222}\n", UnknownGrade, "F222", "F220"},
		{"stock:\n  R: {bench: C}\n", StockMissing, "R", "abrasive:"},
		{"benches: [A, B]\nstock:\n  R: {abrasive: silicon carbide F80, bench: C}\n", UnknownBench, "C", "A and B"},
		{"stock:\n  R: {abrasive: silicon carbide F80, diameter: 300}\n", BadAmount, "300", "300 mm"},
		{"stock:\n  R: {abrasive: silicon carbide F80, pack: 1 kilo}\n", BadAmount, "kilo", "1 kg"},
		{"stock:\n  R: {abrasive: silicon carbide F80, price: 10 EUR}\n", PriceUndated, "10 EUR", "dated:"},
		{"stock:\n  R: {abrasive: silicon carbide F80, dated: 2026-02-30}\n", BadDate, "2026-02-30", "2026-09-01"},
		{"stock:\n  R: {abrasive: silicon carbide F80, worn: very}\n", BadValue, "very", "yes or no"},
		{"stock:\n  R: {abrasive: silicon carbide F80, free silica: 2}\n", BadAmount, "2", "2"},
		{"stock:\n  R: {abrasive: silicon carbide F80, maximum: 40 mm}\n", BadAmount, "mm", "rpm"},
		{"stock:\n  R: {abrasive: silicon carbide F80, acts like: 600}\n", BareGrade, "600", "F600"},
		{"stock:\n  R: {abrasive: silicon carbide F80, colour: blue}\n", "unknown-key", "colour", ""},
		{"stock:\n  R: {abrasive: silicon carbide F80}\nmedia:\n  R: {medium: felt pad}\n", CodeTwice, "R", "another code"},
		{"media:\n  M: {medium: felt pad}\nmachines:\n  M: {kind: lathe}\n", CodeTwice, "M", "another code"},
		{"media:\n  F: {medium: fetl pad}\n", UnknownMedium, "fetl pad", "felt pad"},
		{"media:\n  F: {medium: felt pad, solid}\n", "comma-needs-quotes", "medium: felt pad, solid", `Write medium: "felt pad, solid"`},
		{"media:\n  F: {kept for: pumice}\n", StockMissing, "F", "medium:"},
		{"media:\n  F: {medium: felt pad, kept for: pumise}\n", UnknownAbrasive, "pumise", "pumice"},
		{"machines:\n  L: {kind: flat lab}\n", UnknownMachine, "flat lab", "Write flat lap."},
		{"machines:\n  L: {diameter: 300 mm}\n", StockMissing, "L", "kind:"},
		{"machines:\n  L: {kind: flat lap, noise: 82 dB}\n", BadAmount, "dB", "dB(A)"},
		{"machines:\n  L: {kind: lathe, reach: [concav]}\n", UnknownShape, "concav", "Write concave."},
		{"machines:\n  L: {kind: lathe, force: 30 kg}\n", BadAmount, "kg", "N"},
		{"benches: {order: [A, B, A]}\n", SaidTwice, "A", "one place"},
		{"benches: A\n", BadValue, "A", "[A, B, C]"},
		{"glasses:\n  Our glass: {density: 2.5 g/cm³}\n", StockMissing, "Our glass", "like:"},
		{"glasses:\n  Our glass: {like: sodalime}\n", UnknownGlass, "sodalime", "soda-lime"},
		{"glasses:\n  Our glass: {like: soda-lime, PbO: 24}\n", BadAmount, "24", "24 %"},
		{"glasses:\n  Our glass: {like: soda-lime, density: 25 g/cm³}\n", BadValue, "25 g/cm³", "2.5 g/cm³"},
		{"glasses:\n  unknown: {like: soda-lime}\n", BadValue, "unknown", ""},
		{"tests:\n  Lamp: {shows: lines}\n", StockMissing, "Lamp", "method:"},
		{"tiles:\n  T9: {finish: shiny}\n", UnknownFinish, "shiny", "matte"},
		{"tiles:\n  T9: {finish: brigth polish}\n", UnknownFinish, "brigth polish", "Write bright polish."},
		{"tiles:\n  T9: {lamp: glow}\n", StockMissing, "T9", "finish:"},
		{"measured:\n  - {stock: S9, rate: 3 µm/min}\n", StockUnknown, "S9", ""},
		{"measured:\n  - {rate: 3 µm/min}\n", StockMissing, "{rate: 3 µm/min}", "stock:"},
		{"stock:\n  S: {abrasive: silicon carbide F80}\nmeasured:\n  - {stock: S}\n", StockMissing, "{stock: S}", "rate"},
		{"stock:\n  S: {abrasive: silicon carbide F80}\nmeasured:\n  - {stock: S, rate: 3}\n", BadAmount, "3", "3"},
		{"limits: {grade step: wide}\n", BadNumber, "wide", "as 3"},
		{"limits: {grade step: 0.5}\n", BadNumber, "0.5", "as 3"},
		{"limits: {card: A55}\n", UnknownWord, "A55", "Write A5."},
		{"limits: {type floor: 12}\n", BadAmount, "12", "12 mm"},
		{"limits: {rim speed: {fetl wheel: 3-6 m/s}}\n", UnknownMedium, "fetl wheel", "Write felt wheel."},
		{"limits: {rim speed: {felt wheel: 3-6}}\n", BadAmount, "6", "m/s"},
		{"limits: {rules: {damage-not-cleared: fatal}}\n", UnknownWord, "fatal", "warning or error"},
		{"limits: {rules: {damage-not-cleared: {because: x}}}\n", StockMissing, "damage-not-cleared", "severity"},
		{"stock:\n  S: {abrasive: silicon carbide F80, price: 1 EUR, dated: 0206-02-03}\n", BadDate, "0206-02-03", "Is the year right?"},
		{"always: [eyse]\n", UnknownTopic, "eyse", "Write eyes."},
		{"always: [lead glass]\n", NotStanding, "lead glass", "cautions"},
		{"always: [eyes, eyes]\n", SaidTwice, "eyes", "one place"},
		{"cautions: {eyse: Glasses on.}\n", UnknownTopic, "eyse", "Write eyes."},
		{"cautions: {eyes: \"Caution: glasses on.\"}\n", SignalWeak, "Caution: glasses on.", "Warning:"},
		{"roles: {approves: [a, b]}\n", BadValue, "[a, b]", ""},
		{"places: {first aid: }\n", BadValue, "first aid", "take the line out"},
		{"stock:\n  J: {abrasive: silicon carbide, grade: JIS #400}\n", "comment-eats-grade", "grade: JIS #400", `Write grade: "JIS #400"`},
	} {
		_, report := lay(c.text)
		require.Len(t, report, 1, "%s %+v", c.text, report)
		d := report[0]
		assert.Equal(t, c.rule, d.Rule, c.text)
		assert.Equal(t, c.at, d.Span.Text(), c.text)
		assert.Contains(t, d.Help, c.help, c.text)
		assert.True(t, strings.HasSuffix(d.Message, "."), d.Message)
	}
}

// TestAllMistakesInOnePass: one slip does not hide the next.
func TestAllMistakesInOnePass(t *testing.T) {
	h, report := lay("house: {paper: A44}\nstock:\n  R: {abrasive: resin dimaond pad, grade: 325 mesh}\n  S: {abrasive: silicon carbide, grade: 220}\n  T: {abrasive: silicon carbide, grade: F80}\nalways: [eyse, unplug]\n")
	assert.Len(t, report, 4)
	// What could be read stands, and a recipe that cites a line with a mistake
	// is not told of the mistake again.
	_, ok, more := abrasive(h, "R")
	assert.False(t, ok)
	assert.Empty(t, more)
	a, ok, more := abrasive(h, "T")
	assert.True(t, ok)
	assert.Empty(t, more)
	assert.Equal(t, grade.FEPAF, a.Grade.Scale)
	assert.Len(t, h.Always, 2, "a slip is read as the caution that was meant")
}

// TestSlipsAreReadAsMeant: one finding for one slip, and nothing that hangs on
// it is lost.
func TestSlipsAreReadAsMeant(t *testing.T) {
	for text, rule := range map[string]string{
		"allways: [eyes, unplug]\n":                                   "unknown-key",
		"always: eyes, unplug\n":                                      "brackets-missing",
		"always: [eyess, unplug]\n":                                   UnknownTopic,
		"always: [eyes, unplug]\nmachine: {LAP: {kind: flat lap}}\n":  "unknown-key",
		"always: [eyes, unplug]\nmachines: {LAP: {knid: flat lap}}\n": "unknown-key",
		"always: [eyes, unplug]\nmachines: {LAP: {kind: flat lap, reach: \"flat\"}}\nbenches: A, B\n": "brackets-missing",
		"always: [eyes, unplug]\nstock: {S: {abrasive: silicon carbide, grade: #400}}\n":              "comment-eats-grade",
	} {
		h, report := lay(text)
		require.Len(t, report, 1, text)
		assert.Equal(t, rule, report[0].Rule, text)
		assert.Len(t, h.Always, 2, text)
		for _, m := range h.Machines {
			assert.Equal(t, "flat lap", m.Kind.Name)
		}
		for _, s := range h.Stock {
			assert.Equal(t, "JIS 400", s.Abrasive.Grade.Label)
		}
	}
	h, report := lay("cautions: {eyess: \"Warning: glasses on.\"}\n")
	require.Len(t, report, 1)
	assert.Equal(t, "glasses on.", h.FindTopic("eyes").Full)
	// A decimal comma inside braces, where the house writes none.
	h, report = lay("stock:\n  CE: {abrasive: cerium oxide, grade: 1,5 µm, price: 45.00 EUR, dated: 2026-09-01}\n")
	require.Len(t, report, 1)
	assert.Equal(t, "Write grade: 1.5 µm", report[0].Help)
	assert.Equal(t, "1.5 µm", h.Stock["CE"].Abrasive.Grade.Label)
}

// TestNearlyACode: a code in small letters or with a slip names the line meant.
func TestNearlyACode(t *testing.T) {
	h, report := lay("stock:\n  S220: {abrasive: silicon carbide F220}\nmedia:\n  FELT-P: {medium: felt pad}\nmachines:\n  LAP3: {kind: flat lap}\n")
	require.Empty(t, report)
	for _, text := range []string{"S22O", "S-220", "S202", "s22o"} {
		_, ok, report := abrasive(h, text)
		assert.False(t, ok)
		require.Len(t, report, 1, text)
		assert.Equal(t, "Write S220.", report[0].Help, text)
	}
	for _, text := range []string{"FELTP", "feltp", "FLET-P"} {
		_, _, report := medium(h, text)
		require.Len(t, report, 1, text)
		assert.Equal(t, "Write FELT-P.", report[0].Help, text)
	}
	for _, text := range []string{"LPA3 at 90 rpm", "LAP-3"} {
		_, _, report := machine(h, text)
		require.Len(t, report, 1, text)
		assert.Equal(t, "Write LAP3.", report[0].Help, text)
	}
	// Another letter or figure is another line: it is named, not taken.
	_, _, report = abrasive(h, "S120")
	require.Len(t, report, 1)
	assert.Contains(t, report[0].Help, "The house has S220 (silicon carbide F220).")
	_, _, report = medium(h, "FELT-B")
	require.Len(t, report, 1)
	assert.Contains(t, report[0].Help, "The house has FELT-P (felt pad).")
	_, _, report = machine(h, "LAP4 at 90 rpm")
	require.Len(t, report, 1)
	assert.Contains(t, report[0].Help, "The house has LAP3 (flat lap).")
	// Far from every code there is nothing to name.
	_, _, report = medium(h, "BRUSH-9")
	require.Len(t, report, 1)
	assert.NotContains(t, report[0].Help, "FELT")
	_, ok, report := medium(h, "felt")
	assert.True(t, ok && len(report) == 0)
}

// TestCodesInAnyCase: a code in small letters is the line, unless the words say
// something else by themselves.
func TestCodesInAnyCase(t *testing.T) {
	h, report := lay("stock:\n  S220: {abrasive: silicon carbide F220}\n  PUMICE: {abrasive: pumice 2F}\n  CERIUM: {abrasive: silicon carbide F80}\n" +
		"media:\n  FELT-P: {medium: felt pad}\n  CORK: {medium: felt pad}\n  FELTWHEEL: {medium: felt wheel}\n" +
		"machines:\n  LAP3: {kind: flat lap, diameter: 300 mm}\n  LATHE: {kind: lathe, maximum: 1500 rpm}\n  HAND: {kind: hand-held polisher}\n" +
		"benches: [A, B]\nmeasured:\n  - {stock: s220, machine: lap3, medium: felt-p, rate: 3 µm/min}\n")
	require.Empty(t, report)
	for text, code := range map[string]string{"s220": "S220", "s220, 200 mm": "S220", "pumice": "PUMICE"} {
		a, ok, report := abrasive(h, text)
		require.True(t, ok && len(report) == 0, text)
		assert.Same(t, h.Stock[code], a.Stock, text)
	}
	a, ok, _ := abrasive(h, "cerium")
	assert.True(t, ok)
	assert.Equal(t, "cerium oxide", a.Family.Name)
	assert.Nil(t, a.Stock)
	m, ok, _ := medium(h, "felt-p, 300 mm")
	assert.True(t, ok && m.Stock == h.MediumStock["FELT-P"])
	m, ok, _ = medium(h, "cork")
	assert.True(t, ok && m.Stock == nil)
	assert.Equal(t, "cork block", m.Kind.Name)
	for text, code := range map[string]string{"lap3 at 90 rpm": "LAP3", "lathe at 300 rpm": "LATHE"} {
		use, ok, report := machine(h, text)
		require.True(t, ok && len(report) == 0, text)
		assert.Same(t, h.Machines[code], use.Unit, text)
	}
	use, ok, _ := machine(h, "hand")
	assert.True(t, ok && use.Unit == nil)
	assert.Equal(t, "by hand", use.Kind.Name)
	assert.Equal(t, Measured{Stock: "S220", Machine: "LAP3", Medium: "FELT-P"}, Measured{Stock: h.Measured[0].Stock, Machine: h.Measured[0].Machine, Medium: h.Measured[0].Medium})
	assert.Same(t, h.FindStock("S220"), h.FindStock("s220"))
	assert.Nil(t, h.FindStock("S221"))
	for _, name := range []string{"B", "b", "bench B", "Bench b"} {
		require.NotNil(t, h.FindBench(name), name)
		assert.Equal(t, "B", h.FindBench(name).Name)
	}
	// Two codes that differ in case only are each its own.
	h, _ = lay("stock:\n  S80: {abrasive: silicon carbide F80}\n  s80: {abrasive: silicon carbide F220}\n")
	assert.NotSame(t, h.FindStock("S80"), h.FindStock("s80"))
}

// TestMediaOfTheHouse: a medium no table knows is defined by how it meets the
// glass.
func TestMediaOfTheHouse(t *testing.T) {
	h, report := lay("media:\n  Z: {medium: \"zinc lap, 300 mm\", lap: hard, reach: [flat, bevel], kept for: diamond 9 µm}\n" +
		"  G: {medium: gut strap, lap: pad}\n  N: {medium: nylon pad, lap: hard}\nlimits: {rim speed: {zinc lap: 1-3 m/s}}\n")
	require.Empty(t, report)
	m, ok, report := medium(h, "Z")
	require.True(t, ok && len(report) == 0)
	assert.Equal(t, "zinc lap", m.Words)
	assert.Equal(t, Hard, m.Kind.Lap)
	assert.Equal(t, []string{"flat", "bevel"}, m.Kind.Reach)
	assert.True(t, m.Kind.House)
	assert.InDelta(t, 300, m.Diameter.In(quantity.Millimetre), 1e-9)
	assert.Equal(t, 3.0, m.Kind.Rim.High)
	m, ok, _ = medium(h, "gut strap")
	assert.True(t, ok)
	assert.Equal(t, Pad, m.Kind.Lap)
	assert.Equal(t, []string{"any"}, m.Kind.Reach)
	m, _, _ = medium(h, "N")
	assert.Equal(t, Hard, m.Kind.Lap)
	assert.Equal(t, Pad, h.FindMedium("nylon pad").Lap, "only the line is made so")
	assert.Nil(t, BuiltIn().FindMedium("zinc lap"))

	// Without its lap it is unknown, and is taken for nothing else.
	h, report = lay("media:\n  Z: {medium: zinc lap}\n")
	require.Len(t, report, 1)
	assert.Contains(t, report[0].Help, "{medium: zinc lap, lap: hard}")
	assert.NotContains(t, report[0].Help, "tin lap")
	_, ok, again := medium(h, "Z")
	assert.False(t, ok)
	assert.Empty(t, again, "what is wrong has been said where the line stands")
	_, ok, again = medium(h, "Z, 300 mm")
	assert.False(t, ok)
	assert.Empty(t, again)
	_, report = lay("media:\n  Z: {medium: zinc lap, lap: hrad}\n")
	require.Len(t, report, 1)
	assert.Equal(t, "Write hard.", report[0].Help)
	_, report = lay("media:\n  Z: {medium: zinc lap, lap: hard, reach: [flaat]}\n")
	require.Len(t, report, 1)
	assert.Equal(t, UnknownShape, report[0].Rule)
}

func TestDriveOfAMachine(t *testing.T) {
	h, report := lay("machines:\n  HP: {kind: hand-held polisher, drive: air}\n  HQ: {kind: battery polisher}\n  HR: {kind: angle grinder, drive: made for wet use}\n  HS: {kind: angle grinder}\n")
	require.Empty(t, report)
	for text, drive := range map[string]string{
		"HP at 2000 rpm": "air", "HQ": "battery", "HR": "wet rated", "HS": "", "HS, battery at 2000 rpm": "battery",
	} {
		use, ok, report := machine(h, text)
		require.True(t, ok && len(report) == 0, text)
		assert.Equal(t, drive, use.Drive, text)
		assert.True(t, use.Kind.Handheld, text)
	}
	_, report = lay("machines:\n  HP: {kind: hand-held polisher, drive: steam}\n")
	require.Len(t, report, 1)
	assert.Contains(t, report[0].Help, "air, battery, wet rated or mains")
}

func TestMistakesAreWritten(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range Mistakes {
		assert.False(t, seen[m.ID], m.ID)
		seen[m.ID] = true
		for _, text := range []string{m.Title, m.Why, m.Bad, m.Good} {
			assert.NotEmpty(t, text, m.ID)
		}
	}
}

func FuzzLay(f *testing.F) {
	whole, err := os.ReadFile("testdata/whole.yaml")
	require.NoError(f, err)
	f.Add(whole)
	f.Add([]byte("stock:\n  R: {abrasive: resin diamond pad, grade: 325}\nmeasured: x\n"))
	f.Add([]byte("benches: {order: [A], any: B}\nlimits: {rim speed: {felt wheel: 3-6 m/s}, rules: {a: error}}\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		var report diag.List
		h := Lay(source.New("shop.yaml", text), &report)
		for code := range h.Stock {
			h.ReadAbrasive(source.Span{}, code, &report)
		}
		for code := range h.MediumStock {
			h.ReadMedium(source.Span{}, code, &report)
		}
		for code := range h.Machines {
			h.ReadMachine(source.Span{}, code+" at 100 rpm", &report)
		}
		for _, d := range report {
			if d.Span.Start < 0 || d.Span.End < d.Span.Start || d.Span.End > len(text) {
				t.Fatalf("%s at %d to %d of %d", d.Rule, d.Span.Start, d.Span.End, len(text))
			}
		}
	})
}

func BenchmarkLay(b *testing.B) {
	text, err := os.ReadFile("testdata/whole.yaml")
	require.NoError(b, err)
	builtIn()
	b.ReportAllocs()
	for b.Loop() {
		var report diag.List
		Lay(source.New("shop.yaml", text), &report)
	}
}
