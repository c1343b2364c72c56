package trade

import (
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
)

func abrasive(h *House, text string) (Abrasive, bool, diag.List) {
	f := source.New("r.md", []byte("- Abrasive: "+text+"\n"))
	var report diag.List
	a, ok := h.ReadAbrasive(f.Span(12, 12+len(text)), text, &report)
	return a, ok, report
}

func medium(h *House, text string) (Medium, bool, diag.List) {
	f := source.New("r.md", []byte(text))
	var report diag.List
	m, ok := h.ReadMedium(f.Span(0, len(text)), text, &report)
	return m, ok, report
}

func machine(h *House, text string) (MachineUse, bool, diag.List) {
	f := source.New("r.md", []byte(text))
	var report diag.List
	m, ok := h.ReadMachine(f.Span(0, len(text)), text, &report)
	return m, ok, report
}

func TestReadAbrasive(t *testing.T) {
	h := BuiltIn()
	for text, want := range map[string]struct {
		family string
		bond   Bond
		grade  string
		words  string
		mm     float64
	}{
		"resin diamond pad 325 mesh":                       {"diamond", Resin, "325 mesh", "resin diamond pad", 0},
		"325 mesh resin-bond diamond pad":                  {"diamond", Resin, "325 mesh", "resin diamond pad", 0},
		"diamond resin pad, 325 mesh":                      {"diamond", Resin, "325 mesh", "resin diamond pad", 0},
		"Electroplated diamond disc D126":                  {"diamond", Plated, "D126", "plated diamond disc", 0},
		"silicon carbide F220":                             {"silicon carbide", Loose, "F220", "silicon carbide", 0},
		"F220 silicon carbide":                             {"silicon carbide", Loose, "F220", "silicon carbide", 0},
		"loose silicon carbide grit F80":                   {"silicon carbide", Loose, "F80", "silicon carbide", 0},
		"blasting silicon carbide F220":                    {"silicon carbide", Loose, "F220", "silicon carbide", 0},
		"silicon carbide US 400":                           {"silicon carbide", Loose, "ANSI 400", "silicon carbide", 0},
		"silicon carbide paper US 400":                     {"silicon carbide", Coated, "CAMI 400", "silicon carbide paper", 0},
		"silicon carbide JIS #400":                         {"silicon carbide", Loose, "JIS 400", "silicon carbide", 0},
		"silicon carbide belt P120":                        {"silicon carbide", Coated, "P120", "silicon carbide belt", 0},
		"silicon carbide wet-and-dry paper P400":           {"silicon carbide", Coated, "P400", "silicon carbide paper", 0},
		"metal diamond wheel 120 mesh, 200 mm":             {"diamond", Metal, "120 mesh", "metal diamond wheel", 200},
		"metal diamond wheel, 8 in dia, 120 mesh":          {"diamond", Metal, "120 mesh", "metal diamond wheel", 203.2},
		"fibre-filled urethane silicon carbide wheel F400": {"silicon carbide", Urethane, "F400", "urethane silicon carbide wheel", 0},
		"cerium oxide 1.5 µm":                              {"cerium oxide", Loose, "1.5 µm", "cerium oxide", 0},
		"cerium":                                           {"cerium oxide", Loose, "", "cerium oxide", 0},
		"pumice 2F":                                        {"pumice", Loose, "2F", "pumice", 0},
		"pumice 0½":                                        {"pumice", Loose, "0½", "pumice", 0},
		"pumice powder 1":                                  {"pumice", Loose, "1", "pumice", 0},
		"saw blade, 300 mm":                                {"diamond", Metal, "", "metal diamond blade", 300},
		"diamond 100 mesh":                                 {"diamond", Loose, "100 mesh", "diamond", 0},
		"aluminum oxide F120":                              {"aluminium oxide", Loose, "F120", "aluminium oxide", 0},
		"diamond paste 9 µm":                               {"diamond", Loose, "9 µm", "diamond paste", 0},
		"diamond slurry 9 µm":                              {"diamond", Loose, "9 µm", "diamond slurry", 0},
		"ready-mixed cerium oxide 1.5 µm":                  {"cerium oxide", Loose, "1.5 µm", "ready-mixed cerium oxide", 0},
		"hybrid diamond pad 400 mesh":                      {"diamond", Resin, "400 mesh", "hybrid diamond pad", 0},
		"magnetic plated diamond disc 140/170":             {"diamond", Plated, "140/170 mesh", "plated diamond disc", 0},
		"silicon carbide 220F":                             {"silicon carbide", Loose, "F220", "silicon carbide", 0},
		"cutting disc":                                     {"diamond", Metal, "", "metal diamond blade", 0},
		"silicon carbide stone F220":                       {"silicon carbide", Vitrified, "F220", "vitrified silicon carbide stone", 0},
	} {
		a, ok, report := abrasive(h, text)
		require.Empty(t, report, text)
		require.True(t, ok, text)
		assert.Equal(t, want.family, a.Family.Name, text)
		assert.Equal(t, want.bond, a.Bond, text)
		assert.Equal(t, want.grade, a.Grade.Label, text)
		assert.Equal(t, want.words, a.Words, text)
		if want.mm > 0 {
			assert.InDelta(t, want.mm, a.Diameter.In(quantity.Millimetre), 1e-9, text)
		}
		again, ok, report := abrasive(h, text)
		assert.True(t, ok && len(report) == 0 && again == a, "read twice: %s", text)
	}
}

// TestAbrasiveMistakes: each finding names the words at fault and a way out.
func TestAbrasiveMistakes(t *testing.T) {
	h := BuiltIn()
	for _, c := range []struct{ text, rule, at, says, help string }{
		{"silicon carbide 400", BareGrade, "400", "17.3 µm as F400", "Write F400, ANSI 400 or JIS 400"},
		{"resin diamond pad 325", BareGrade, "325", "325", "Write 325 mesh"},
		{"sic 220 grit", BareGrade, "220 grit", "58 µm as F220", "F220"},
		{"silicon carbide P400", GradeNotSold, "P400", "P400 is a grade of FEPA P, and loose silicon carbide is not sold in it.", "F280"},
		{"resin diamond pad F400", GradeNotSold, "F400", "resin diamond pad is not sold in it", "mesh"},
		{"silicon carbide belt F120", GradeNotSold, "F120", "silicon carbide belt", "FEPA P"},
		{"cerium oxide F400", GradeNotSold, "F400", "cerium oxide", "µm"},
		{"silicon carbide F410", UnknownGrade, "F410", "no grade of FEPA F", "F400"},
		{"plated diamond disc F270", GradeNotSold, "F270", "not sold in it", "Write 270 mesh"},
		{"magnetic diamond disc 120 mesh", BondMissing, "magnetic diamond disc 120 mesh", "how its grain is held", "plated diamond disc"},
		{"pumice paste 2F", UnknownAbrasive, "paste", "no form pumice is known in", "as the Mix"},
		{"resin diamond pad paste 400 mesh", UnknownAbrasive, "paste", "loose grain", "Leave out"},
		{"silicon carbide 140/170", GradeNotSold, "140/170", "not sold in it", "FEPA F"},
		{"silicon carbide", GradeMissing, "silicon carbide", "has no grade", "F220"},
		{"pumice", GradeMissing, "pumice", "has no grade", "2F"},
		{"diamond disc 120 mesh", BondMissing, "diamond disc 120 mesh", "how its grain is held", "plated diamond disc"},
		{"plated pumice disc 2F", NotSoldSo, "plated pumice disc 2F", "Pumice is not sold plated", "loose grain"},
		{"purple pad 400 mesh", UnknownAbrasive, "purple", "is a colour", "instead of the colour"},
		{"slicon carbide F220", UnknownAbrasive, "slicon", "is not known", "Write silicon carbide."},
		{"resin dimaond pad 325 mesh", UnknownAbrasive, "dimaond", "is not known", "diamond"},
		{"felt pad", UnknownAbrasive, "felt", "is no abrasive", "write it as the Medium"},
		{"resin pad 325 mesh", UnknownAbrasive, "resin pad 325 mesh", "what the grain of the pad is", "diamond"},
		{"S22O", UnknownAbrasive, "S22O", "no line of the house's stock", "code"},
		{"cerium oxide 1,5 µm", BadAmount, "1,5", "point", "1.5"},
		{"metal diamond wheel 120 mesh, 200", BadAmount, "200", "unit is missing", "200 mm"},
		{"silicon carbide F220 F400", SaidTwice, "F220", "second grade", "Keep"},
		{"silicon carbide pumice 2F", SaidTwice, "pumice", "second abrasive", "Keep"},
		{"", UnknownAbrasive, "", "No abrasive", "silicon carbide F220"},
	} {
		a, ok, report := abrasive(h, c.text)
		assert.False(t, ok, c.text)
		require.Len(t, report, 1, "%s: %+v", c.text, report)
		d := report[0]
		assert.Equal(t, c.rule, d.Rule, c.text)
		assert.Equal(t, c.at, d.Span.Text(), c.text)
		assert.Contains(t, d.Message, c.says, c.text)
		assert.Contains(t, d.Help, c.help, c.text)
		assert.Equal(t, diag.Error, d.Severity)
		assert.True(t, strings.HasSuffix(d.Message, "."), d.Message)
		_ = a
	}
}

// TestSpanOfWrittenOtherwise: where the file does not hold the text byte for
// byte the finding points at the whole of it.
func TestSpanOfWrittenOtherwise(t *testing.T) {
	f := source.New("r.md", []byte("silicon&nbsp;carbide 400"))
	var report diag.List
	BuiltIn().ReadAbrasive(f.Span(0, 24), "silicon carbide 400", &report)
	require.Len(t, report, 1)
	assert.Equal(t, f.Span(0, 24), report[0].Span)
	report = nil
	BuiltIn().ReadAbrasive(source.Span{}, "silicon carbide 400", &report)
	require.Len(t, report, 1)
	assert.False(t, report[0].Span.Known())
}

func TestReadMedium(t *testing.T) {
	h := BuiltIn()
	for text, want := range map[string]struct {
		kind, variant, words string
		mm                   float64
	}{
		"felt pad, solid":             {"felt pad", "solid", "felt pad, solid", 0},
		"solid felt pad":              {"felt pad", "solid", "felt pad, solid", 0},
		"Felt pad, perforated, 12 in": {"felt pad", "perforated", "felt pad, perforated", 304.8},
		"brush wheel, 150 mm":         {"brush wheel", "", "brush wheel", 150},
		"brush wheel 150 mm":          {"brush wheel", "", "brush wheel", 150},
		"horsehair brush":             {"horsehair brush wheel", "", "horsehair brush wheel", 0},
		"iron lap, 300 mm":            {"iron lap", "", "iron lap", 300},
		"pitch":                       {"pitch lap", "", "pitch lap", 0},
		"hard felt wheel, 250 mm dia": {"felt wheel", "hard", "felt wheel, hard", 250},
		"nylon pad":                   {"nylon pad", "", "nylon pad", 0},
		"brass lap, 200 mm":           {"brass lap", "", "brass lap", 200},
		"iron lap, grooved":           {"iron lap", "grooved", "iron lap, grooved", 0},
		"leather pad":                 {"leather pad", "", "leather pad", 0},
		"hand leather":                {"leather block", "", "leather block", 0},
		"copper tube drill":           {"copper tube drill", "", "copper tube drill", 0},
		"wooden stick":                {"wooden stick", "", "wooden stick", 0},
		"cotton mop":                  {"cotton mop", "", "cotton mop", 0},
	} {
		m, ok, report := medium(h, text)
		require.Empty(t, report, text)
		require.True(t, ok, text)
		assert.Equal(t, want.kind, m.Kind.Name, text)
		assert.Equal(t, want.variant, m.Variant, text)
		assert.Equal(t, want.words, m.Words, text)
		if want.mm > 0 {
			assert.InDelta(t, want.mm, m.Diameter.In(quantity.Millimetre), 1e-9, text)
		}
	}
	for _, c := range []struct{ text, at, help string }{
		{"fetl pad", "fetl pad", "felt pad"},
		{"felt pad, wobbly", "wobbly", "felt pad"},
		{"resin pad", "resin pad", "needs no Medium"},
		{"hand", "hand", "write it as the Machine"},
		{"at the bench", "at the bench", "write it as the Machine"},
		{"hard cork wheel", "hard", "cork wheel alone"},
		{"felt pad, 300", "300", "300 mm"},
		{"FELT-P", "FELT-P", "code"},
		{"solid", "solid", "felt pad"},
		{"felt pad cork wheel", "cork wheel", "Keep"},
	} {
		_, ok, report := medium(h, c.text)
		assert.False(t, ok, c.text)
		require.Len(t, report, 1, "%s: %+v", c.text, report)
		assert.Equal(t, c.at, report[0].Span.Text(), c.text)
		assert.Contains(t, report[0].Help, c.help, c.text)
	}
}

func TestReadMachine(t *testing.T) {
	h := BuiltIn()
	m, ok, report := machine(h, "flat lap, 300 mm at 150 rpm")
	require.Empty(t, report)
	require.True(t, ok)
	assert.Equal(t, "flat lap", m.Kind.Name)
	assert.InDelta(t, 300, m.Diameter.In(quantity.Millimetre), 1e-9)
	assert.InDelta(t, 150, m.Speed.In(quantity.RPM), 1e-9)
	for text, kind := range map[string]string{
		"by hand": "by hand", "hand": "by hand", "Wet belt at 5 m/s": "wet belt", "lathe, 450 rpm": "lathe", "blast cabinet": "blast cabinet",
		"hand-held polisher at 3000 rpm": "hand-held polisher", "linisher": "wet belt", "at the bench": "by hand",
	} {
		m, ok, report := machine(h, text)
		require.Empty(t, report, text)
		require.True(t, ok, text)
		assert.Equal(t, kind, m.Kind.Name, text)
	}
	// The comma and the "at" may be missing, and a speed may be a range.
	for text, want := range map[string]struct{ mm, low, high float64 }{
		"flat lap 400 mm at 150 rpm":            {400, 0, 150},
		"flat lap 400 mm 150 RPM":               {400, 0, 150},
		"flat lap, 400 mm, 150-200 rpm":         {400, 150, 200},
		"flat lap at 150–200 rpm":               {0, 150, 200},
		"lathe 450 rpm":                         {0, 0, 450},
		"flat lap, 300 mm dia at 150 to 15 rpm": {},
	} {
		m, ok, report := machine(h, text)
		if want.high == 0 {
			assert.False(t, ok)
			assert.NotEmpty(t, report)
			continue
		}
		require.Empty(t, report, text)
		require.True(t, ok, text)
		assert.InDelta(t, want.mm, m.Diameter.In(quantity.Millimetre), 1e-9, text)
		assert.InDelta(t, want.high, m.Speed.In(quantity.RPM), 1e-9, text)
		assert.Equal(t, want.low > 0, m.SpeedLow.Written(), text)
		assert.InDelta(t, want.low, m.SpeedLow.In(quantity.RPM), 1e-9, text)
	}
	// What drives a machine that is held in the hand.
	for text, drive := range map[string]string{
		"hand-held polisher, battery at 2000 rpm": "battery", "hand-held polisher, air": "air", "air polisher at 3000 rpm": "air",
		"cordless angle grinder": "battery", "hand-held polisher made for wet use": "wet rated", "wet polisher": "wet rated",
		"hand-held polisher at 2000 rpm, battery": "battery", "hand-held polisher, 100 mm, mains": "mains", "hand-held polisher": "",
		"battery drill": "battery",
	} {
		m, ok, report := machine(h, text)
		require.Empty(t, report, text)
		require.True(t, ok, text)
		assert.Equal(t, drive, m.Drive, text)
		assert.True(t, m.Kind.Handheld, text)
	}
	for drive, wet := range map[string]bool{"air": true, "battery": true, "wet rated": true, "mains": false, "": false} {
		assert.Equal(t, wet, WetDrive(drive), drive)
	}
	for _, c := range []struct{ text, rule, at, help string }{
		{"lathe at 200-150 rpm", BadAmount, "200-150 rpm", "low one first"},
		{"flat lap big", UnknownMachine, "flat lap big", "flat lap"},
		{"air polisher, mains", SaidTwice, "mains", "Keep"},
		{"flt lap at 150 rpm", UnknownMachine, "flt lap", "flat lap"},
		{"LAP3 at 150 rpm", UnknownMachine, "LAP3", "code"},
		{"lathe at fast", BadAmount, "fast", "number first"},
		{"lathe at 150", BadAmount, "150", "150 rpm"},
		{"lathe at 15O rpm", BadAmount, "15O", "nought in its place: 150 rpm"},
		{"lathe at 0 rpm", BadAmount, "0 rpm", "what it really is"},
		{"lathe at 150 mm", BadAmount, "mm", "rpm"},
		{"lathe, 100 rpm at 150 rpm", SaidTwice, "150 rpm", "Keep"},
		{"", UnknownMachine, "", "kind"},
	} {
		_, ok, report := machine(h, c.text)
		assert.False(t, ok, c.text)
		require.Len(t, report, 1, "%s: %+v", c.text, report)
		assert.Equal(t, c.rule, report[0].Rule, c.text)
		assert.Equal(t, c.at, report[0].Span.Text(), c.text)
		assert.Contains(t, report[0].Help, c.help, c.text)
	}
}

// TestReadyMixed: of a paste nobody spoons dry powder.
func TestReadyMixed(t *testing.T) {
	h, report := lay("stock:\n  DP: {abrasive: diamond paste, grade: 9 µm}\n  CE: {abrasive: cerium oxide, ready mixed: yes}\n  P: {abrasive: pumice 2F}\n")
	require.Empty(t, report)
	for text, want := range map[string]bool{"DP": true, "CE": true, "P": false, "diamond compound 9 µm": true, "diamond 9 µm": false, "pumice 2F": false} {
		a, ok, report := abrasive(h, text)
		require.True(t, ok && len(report) == 0, text)
		assert.Equal(t, want, a.ReadyMixed, text)
		if a.Stock != nil {
			assert.Equal(t, want, a.Stock.ReadyMixed, text)
		}
	}
}

func TestClass(t *testing.T) {
	h := BuiltIn()
	a, _, _ := abrasive(h, "silicon carbide F220")
	pad, _, _ := abrasive(h, "resin diamond pad 325 mesh")
	iron, _, _ := medium(h, "iron lap")
	brush, _, _ := medium(h, "brush wheel")
	assert.Equal(t, Hard, Class(a, iron, nil))
	assert.Equal(t, Brush, Class(a, brush, h.FindKind("lathe")))
	assert.Equal(t, Bonded, Class(pad, Medium{}, h.FindKind("flat lap")))
	assert.Equal(t, Blast, Class(a, Medium{}, h.FindKind("blast cabinet")))
	assert.Equal(t, LapClass(""), Class(a, Medium{}, nil))
	assert.Equal(t, LapClass(""), Class(Abrasive{}, iron, nil))
}

func TestReadGrade(t *testing.T) {
	h := BuiltIn()
	sic, pumice := h.FindFamily("silicon carbide"), h.FindFamily("pumice")
	var report diag.List
	g, ok := h.ReadGrade(source.Span{}, "F400", sic, Loose, &report)
	assert.True(t, ok)
	assert.Equal(t, grade.FEPAF, g.Scale)
	// FEPA 42-2: F400 has a median of 17.3 µm.
	assert.InDelta(t, 17.3, g.Size, 0.01)
	g, ok = h.ReadGrade(source.Span{}, "2", pumice, Loose, &report)
	assert.True(t, ok)
	assert.Equal(t, grade.Pumice, g.Scale)
	require.Empty(t, report)
	for _, text := range []string{"400", "P400", "F401", "fine", "", "400 mm"} {
		_, ok = h.ReadGrade(source.Span{}, text, sic, Loose, &report)
		assert.False(t, ok, text)
	}
	assert.Len(t, report, 6)
	_, ok = h.ReadGrade(source.Span{}, "F400", nil, Loose, &report)
	assert.False(t, ok)
}

// TestSlipsInAGrade: the grade meant is read, and the slip is named.
func TestSlipsInAGrade(t *testing.T) {
	h := BuiltIn()
	for text, want := range map[string][2]string{
		"silicon carbide F-400":      {"F400", "Write F400."},
		"silicon carbide f-400":      {"F400", "Write F400."},
		"silicon carbide belt P-120": {"P120", "Write P120."},
		"silicon carbide F 400":      {"F400", ""},
	} {
		a, ok, report := abrasive(h, text)
		require.True(t, ok, text)
		assert.Equal(t, want[0], a.Grade.Label, text)
		if want[1] == "" {
			assert.Empty(t, report, text)
			continue
		}
		require.Len(t, report, 1, text)
		assert.Equal(t, want[1], report[0].Help)
	}
	var report diag.List
	g, ok := h.ReadGrade(source.Span{}, "1,5 µm", h.FindFamily("cerium oxide"), Loose, &report)
	assert.True(t, ok)
	assert.Equal(t, "1.5 µm", g.Label)
	require.Len(t, report, 1)
	assert.Equal(t, "Write 1.5 µm.", report[0].Help)
	for _, name := range []string{"float", "plate glass", "window glass"} {
		assert.Equal(t, "soda-lime", h.FindGlass(name).Name)
	}
}

// TestManyAtOnce reads one house from several goroutines, as a check of a
// whole folder does.
func TestManyAtOnce(t *testing.T) {
	h := BuiltIn()
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for range 200 {
				a, ok, _ := abrasive(h, "plated diamond disc 140 mesh")
				assert.True(t, ok && a.Bond == Plated)
				m, ok, _ := medium(h, "felt wheel, 200 mm")
				assert.True(t, ok && m.Kind.Lap == Felt)
				_, ok, report := abrasive(h, "silicon carbide 400")
				assert.True(t, !ok && len(report) == 1)
				_, ok, _ = machine(h, "lathe at 300 rpm")
				assert.True(t, ok)
			}
		})
	}
	wait.Wait()
}

func FuzzReadWords(f *testing.F) {
	for _, s := range []string{"resin diamond pad 325 mesh, 200 mm", "pumice 0½", "felt pad, solid", "LAP3 at 150 rpm", ",,", "1 1 1 1", "µm µm", "at at at", "\xff 12 µm"} {
		f.Add(s)
	}
	h := BuiltIn()
	f.Fuzz(func(t *testing.T, text string) {
		file := source.New("f", []byte(text))
		at := file.Span(0, len(text))
		var report diag.List
		a, ok := h.readAbrasive(at, text, true, &report)
		if ok && a.Family == nil {
			t.Fatal("read without a family")
		}
		if !ok && len(report) == 0 {
			t.Fatalf("nothing said of the abrasive %q", text)
		}
		n := len(report)
		if m, ok := h.readMedium(at, text, &report); ok && m.Kind == nil || !ok && len(report) == n {
			t.Fatalf("medium %q", text)
		}
		n = len(report)
		if m, ok := h.readMachine(at, text, &report); ok && m.Kind == nil || !ok && len(report) == n {
			t.Fatalf("machine %q", text)
		}
		for _, d := range report {
			if d.Span.Start < 0 || d.Span.End < d.Span.Start || d.Span.End > len(text) {
				t.Fatalf("%s at %d to %d of %d", d.Rule, d.Span.Start, d.Span.End, len(text))
			}
		}
	})
}

func BenchmarkReadAbrasive(b *testing.B) {
	h := BuiltIn()
	var report diag.List
	b.Run("words", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			h.ReadAbrasive(source.Span{}, "resin diamond pad 325 mesh", &report)
		}
	})
	b.Run("first time", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			h.readAbrasive(source.Span{}, "resin diamond pad 325 mesh", true, &report)
		}
	})
}
