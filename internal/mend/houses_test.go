package mend_test

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/mend"
	"coldwright/internal/parse"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// slipped is a place in a recipe: as it stands, as it was broken by hand, and as it is
// to stand after the mend; "" there is as it stood.
type slipped struct{ old, broken, mended string }

// broken are sound recipes of many houses, each with two or three slips that have one
// obvious answer, in the spacing of whoever wrote them.
var broken = []struct {
	path  string
	forms string // how the file is saved: c CRLF, b BOM, n without an end to its last line
	slips []slipped
}{
	{"testdata/sequences/cube-optical.md", "c", []slipped{
		{"- {name: arrises, shape: arris, length: 960 mm, width: 1 mm, from: new, to: bright polish, tile: T5}",
			"- name:   arrises   # twelve\n    shape:  aris\n    length: 960 mm\n    width:  1 mm\n    from:   new\n    to:     bright polish\n    tile:   T5",
			"- name:   arrises   # twelve\n    shape:  arris\n    length: 960 mm\n    width:  1 mm\n    from:   new\n    to:     bright polish\n    tile:   T5"},
		{"cautions: [dry powder, sharp arris, thrown piece, wet floor, strain, wet hands]", "cautions: [\n  dry powder,   # always\n  sharp arris, thrown piece,\n  wet floor, strain\n]",
			"cautions: [\n  dry powder,   # always\n  sharp arris, thrown piece,\n  wet floor, strain, wet hands\n]"},
		{"revision: 7\ndate", "revision: 6\ndate", ""},
	}},
	{"testdata/sequences/panel-edge.md", "", []slipped{
		{"arris\n- Abrasive: H120\n- Machine: by hand", "arris\n- Abrasive: H120\n-\tMachin: by hand", "arris\n- Abrasive: H120\n-\tMachine: by hand"},
		{"- Surface: edges, bevel\n- Abrasive: B220\n- Machine: BELT\n- Water: drip", "- Surface: edges, bevell\n- Abrasive: B220\n- Machine: BELT\n- Water:\tdripp", "- Surface: edges, bevel\n- Abrasive: B220\n- Machine: BELT\n- Water:\tdrip"},
		{"kind: dichroic", "kind: dicroic", ""},
	}},
	{"testdata/sequences/disc-lustre.md", "b", []slipped{
		{"## Look for lines", "##Look for lines", ""},
		{"450 rpm\n- Water: damp\n- Mix: mud\n- Charge: every 3 min\n- Time: 15-20-30 min", "450 RPMs\n- Water: damp\n- Mix: mud\n- Charge: every 3 min\n- Time: 15-20-30 min", ""},
		{"glass: soda-lime", "glas: soda-lime", ""},
	}},
	{"testdata/sequences/vase-facets.md", "n", []slipped{
		{"thin ware, wet hands]", "wet hands]", "wet hands, thin ware]"},
		{"- [ ] Raking lamp: no blown", "- [] Raking lamp: no blown", ""},
		{"- Depth: 1.5 mm", "- Deph: 1.5 mm", ""},
	}},
	{"testdata/houses/optical/prism.md", "", []slipped{
		{"cautions: [sharp arris, thrown piece, wet hands, strain]", "cautions:   [ sharp arris ,  thrown piece , strain ]   # and what the wall says",
			"cautions:   [ sharp arris ,  thrown piece , strain, wet hands ]   # and what the wall says"},
		{"- {name: ends, shape: flat", "- {  name: ends,   shpae:  flat", "- {  name: ends,   shape:  flat"},
		{"- Clean-down: plate scrubbed, bowl emptied into the slurry tub, prism and jig brushed\n\n- [ ] Pencil: gone from each, twice\n- [ ] Square: sixty degrees, to ten", "\n- [ ] Pencil: gone from each, twice\n- [ ] Square: sixty degrees, to ten",
			"- Clean-down: wash piece, hands, apron and the flat lap LAP; fresh water\n\n- [ ] Pencil: gone from each, twice\n- [ ] Square: sixty degrees, to ten"},
	}},
	{"testdata/houses/casting/vessel.md", "", []slipped{
		{"cautions: [thin ware, sharp arris, rotating spindle, ears, dry powder, wet hands]", "# what can hurt\ncautions: # see the board\n  - sharp arris # thumbs!\n  -  rotating spindle\n  - ears\n  - dry powder\n  - wet hands\n# newest last",
			"# what can hurt\ncautions: # see the board\n  - sharp arris # thumbs!\n  -  rotating spindle\n  - ears\n  - dry powder\n  - wet hands\n  - thin ware\n# newest last"},
		{"220 mm dia x 190 mm", "220 mm dia x 190 milimetres", ""},
		{"note: Rubber ring under the vessel; one slid off the table.}", "note: Rubber ring under the vessel, one slid off the table.}   # July", "note: \"Rubber ring under the vessel, one slid off the table.\"}   # July"},
	}},
	{"testdata/houses/cutting/stopper.md", "bc", []slipped{
		{"- Return to: Peg in the iron shell", "- Return to: Peg in the irn shell", ""},
		{"\"ground, silicon carbide F220\", to: matte, tile: Grey}\n  - {name: peg end", "ground, silicon carbide F220, to: matte, tile: Grey}\n  - {name: peg end", ""},
		{"  - {name: body,", "\t- {name: body,", ""},
	}},
	{"recipes/optic-block.md", "bc", []slipped{
		{"cautions: [strain, sharp arris, dry powder, laser test, wet hands]\nchanges:", "cautions:\n    -  strain\n    -  sharp arris # all twelve\n    -  dry powder\n    -  wet hands\nchnages:",
			"cautions:\n    -  strain\n    -  sharp arris # all twelve\n    -  dry powder\n    -  wet hands\n    -  laser test\nchanges:"},
		{"- Abrasive: H120", "- Abrasive: H12O", ""},
	}},
	{"testdata/houses/lakeside/cast-block.md", "", []slipped{
		{"tile: Clear}", "tile: Cleer}", ""},
		{"stop: The top", "stop:The top", ""},
		{"cautions: [dry powder, sharp arris, wet hands, mould residue]", "cautions: [sharp arris, wet hands, mould residue]", "cautions: [sharp arris, wet hands, mould residue, dry powder]"},
	}},
	{"testdata/houses/valley/tube-end.md", "n", []slipped{
		{"shape: ring", "shape: rng", ""},
		{"mass: 420 g", "mass: 420 grams", ""},
		{"- Water: flood, recirculated", "- Water: flod, recirculated", ""},
	}},
	{"testdata/houses/bare/shelf-edge.md", "n", []slipped{
		{"glass: float glass", "glass: flaot glass", ""},
		{"- Abrasive: silicon carbide belt P220", "- Abrasive: silicon carbid belt P220", ""},
		{"- Medium: cork belt", "- Medium: cork bel", ""},
	}},
	{"testdata/houses/hall/stem-foot.md", "cn", []slipped{
		{"tile: Ash}", "tile: Ahs}", ""},
		{"piece: {form: blown", "piece: {form: blwon", ""},
		{"glass: lead crystal", "glass: lead cristal", ""},
		{"cautions: [lead glass,", "cautions: [lead galss,", ""},
	}},
}

// Only the mend differs, a second run finds nothing to mend, and what was found of the
// sound recipe is all that is left.
func TestOnlyTheMendDiffers(t *testing.T) {
	for _, b := range broken {
		t.Run(filepath.Base(b.path), func(t *testing.T) {
			path := filepath.Join(testkit.Root(t), filepath.FromSlash(b.path))
			s := houseAround(t, path)
			sound := string(testkit.Read(t, path))
			bad, want := sound, sound
			for _, one := range b.slips {
				mended := one.mended
				if mended == "" {
					mended = one.old
				}
				bad, want = changed(t, bad, change{one.old, one.broken}), changed(t, want, change{one.old, mended})
			}
			saved := func(text string) string {
				if strings.Contains(b.forms, "n") {
					text = strings.TrimRight(text, "\n")
				}
				if strings.Contains(b.forms, "c") {
					text = strings.ReplaceAll(text, "\n", "\r\n")
				}
				if strings.Contains(b.forms, "b") {
					text = "\ufeff" + text
				}
				return text
			}
			r := s.mend(saved(bad))
			sameText(t, saved(want), string(r.Mended.Text))
			assert.Empty(t, r.Aside)
			assert.GreaterOrEqual(t, len(r.Done), len(b.slips))
			assert.Equal(t, said(s.check(source.New("a.md", []byte(sound)))), said(r.After))
			holds(t, s, r)
		})
	}
}

// said are the rules of a list with their steps.
func said(list diag.List) (all []string) {
	for i := range list {
		all = append(all, list[i].Rule+" "+list[i].Surface)
	}
	return all
}

// houseAround is the house of the folder a recipe lies in; the tables of the trade
// alone where that has no shop file.
func houseAround(t *testing.T, path string) *shop {
	t.Helper()
	h := trade.BuiltIn()
	if dir := filepath.Dir(path); filepath.Base(dir) != "bare" {
		var list diag.List
		h = trade.Lay(source.New("shop.yaml", testkit.Read(t, filepath.Join(dir, "shop.yaml"))), &list)
		require.Empty(t, list)
	}
	return &shop{h, parse.New(h)}
}

// A misspelt word is put right though a note comes to light with it; a warning that
// comes to light is said instead.
func TestANoteMayComeToLight(t *testing.T) {
	for severity, want := range map[diag.Severity]string{diag.Note: "one two", diag.Warning: "one tow"} {
		r := made(t, "one tow", all(word("a", "tow", "two"), func(f *source.File, list *diag.List) {
			if i := strings.Index(string(f.Text), "two"); i >= 0 {
				list.Add(diag.Diagnostic{Rule: "light", Severity: severity, Span: f.Span(i, i+3), Message: "Now it is seen."})
			}
		}))
		assert.Equal(t, want, string(r.Mended.Text))
		assert.Equal(t, severity == diag.Warning, len(r.Aside) == 1)
	}
	// A note alone is not traded for another.
	noted := func(f *source.File, list *diag.List) {
		word("a", "tow", "two")(f, list)
		for i := range *list {
			(*list)[i].Severity = diag.Note
		}
		if strings.Contains(string(f.Text), "two") {
			list.Add(diag.Diagnostic{Rule: "light", Severity: diag.Note, Span: f.Span(0, 3), Message: "Now it is seen."})
		}
	}
	r := made(t, "one tow", all(noted))
	assert.Equal(t, "one tow", string(r.Mended.Text))
	assert.IsType(t, mend.Aside{}, r.Aside[0])
}
