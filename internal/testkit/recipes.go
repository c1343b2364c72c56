package testkit

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// Written is a recipe made up for a test or a benchmark.
type Written struct {
	// Name is the path of its file below the house's folder.
	Name string
	Text []byte
}

// Recipes makes up n recipes of the demo house: pieces, surfaces, chains and
// lengths of prose differ from one to the next, and about one in eight has
// something wrong with it. The same seed gives the same recipes, and the first
// of many are those of few.
func Recipes(seed uint64, n int) []Written {
	all := make([]Written, n)
	for i := range all {
		w := writer{Rand: rand.New(rand.NewPCG(seed, uint64(i))), id: fmt.Sprintf("piece-%05d", i)}
		w.recipe()
		text := w.String()
		if w.IntN(8) == 0 {
			text = w.spoilt(text)
		}
		all[i] = Written{Name: fmt.Sprintf("%03d/%s.md", i/100, w.id), Text: []byte(text)}
	}
	return all
}

type writer struct {
	*rand.Rand
	strings.Builder
	id string
}

func (w *writer) one(of ...string) string { return of[w.IntN(len(of))] }

func (w *writer) line(format string, args ...any) {
	fmt.Fprintf(w, format, args...)
	w.WriteByte('\n')
}

// stage is one grade of a chain.
type stage struct {
	title, abrasive, medium, machine, water, mix, bench, clean, check string
	// minutes for 100 cm².
	minutes int
}

// The chains of the demo house, coarse to fine.
var (
	discs = []stage{
		{"Flatten", "D60", "", "LAP4 at 300 rpm", "flood", "", "A", "disc off, rinse both sides; wash plate, piece and hands", "Marker twice: gone both times", 9},
		{"Grind", "D140", "", "LAP4 at 300 rpm", "flood", "", "B", "disc off, rinse both sides; wash plate, piece and hands", "Marker twice: gone both times, no line of the disc before", 6},
		{"Fine-grind", "D270", "", "LAP4 at 300 rpm", "flood", "", "B", "disc off and dried; scrub plate; new apron, new bucket, new towel", "Ten-power: one size of line only", 6},
		{"Smooth", "R325", "", "LAP4 at 200 rpm", "flood", "", "C", "pad off and rinsed; wash plate, piece and hands", "Ten-power: no line of the disc before", 9},
		{"Smooth again", "R600", "", "LAP4 at 200 rpm", "flood", "", "C", "pad off and rinsed; scrub plate, piece and hands; new apron, bucket and towel", "Ten-power: one size of pit only", 8},
		{"Pre-polish", "P2F", "FELT-P", "LAP4 at 150 rpm", "damp", "mud", "D", "rinse piece, hands and splash ring; fresh water; cover the felt", "Raking lamp: no line, no grey dot", 15},
		{"Polish", "CE", "FELT-C", "LAP4 at 150 rpm", "damp", "cream", "E", "rinse piece and hands, cover the felt", "Ceiling lamp: sharp through the glass", 10},
	}
	grits = []stage{
		{"Flatten", "S80", "iron lap, 600 mm", "IRON at 75 rpm", "drip", "cream", "A", "scrape slurry to its pot, scrub the plate, new bucket, new apron", "Marker twice: gone both times", 10},
		{"Grind", "S220", "iron lap, 600 mm", "IRON at 75 rpm", "drip", "cream", "B", "scrape slurry to its pot, scrub the plate, new bucket, new apron", "Marker twice: gone both times, no line of the grit before", 10},
		{"Fine-grind", "S400", "iron lap, 600 mm", "IRON at 75 rpm", "drip", "cream", "C", "scrape slurry to its pot, scrub the plate, new bucket, new apron", "Ten-power: one size of pit only", 12},
		{"Smooth", "S600", "iron lap, 600 mm", "IRON at 75 rpm", "drip", "cream", "C", "scrape slurry to its pot, scrub plate, piece and hands, new apron", "Ten-power: one size of pit only", 14},
		discs[5], discs[6],
	}
	belts = []stage{
		{"Grind", "B80", "", "BELT at 5 m/s", "drip", "", "A", "belt off, hose platen and tray, rinse piece", "Marker twice: gone both times", 7},
		{"Fine-grind", "B120", "", "BELT at 5 m/s", "drip", "", "B", "belt off, hose platen and tray, rinse piece", "Raking lamp: no line of the belt before", 7},
		{"Smooth", "B220", "", "BELT at 5 m/s", "drip", "", "B", "belt off, hose platen and tray, rinse piece and hands", "Raking lamp: no line of the belt before", 7},
	}
	hands = []stage{
		{"Seam", "H120", "", "by hand", "wet", "", "A", "rinse pad, piece and hands", "Thumbnail: nothing catches", 6},
		{"Seam again with a finer pad:", "H200", "", "by hand", "wet", "", "B", "rinse pad, piece and hands", "Thumbnail: nothing catches", 5},
		{"Seam fine", "H400", "", "by hand", "wet", "", "C", "wash pad, piece and hands", "Thumbnail: smooth all the way", 5},
	}
)

// face is a surface with the work still to do on it.
type face struct {
	name, line string
	chain      []stage
	scale      float64
}

func (w *writer) surface(i int) face {
	name := w.one("face", "base", "top", "back", "side", "front", "end") + w.one("", "", " a", " b")
	name = strings.ReplaceAll(name, " ", "-") + strings.Repeat("-x", i/3)
	area := 20 + w.IntN(180)
	tile := map[string]string{"bright polish": ", tile: T5", "satin": "", "lustre": "", "matte": ""}
	flat := func(from, to string, chain []stage) face {
		return face{name, fmt.Sprintf(`  - {name: %s, shape: flat, area: %d cm², from: %s, to: %s%s}`, name, area, from, to, tile[to]), chain, float64(area) / 100}
	}
	switch w.IntN(8) {
	case 0:
		return flat("fire polished", "untouched", nil)
	case 1:
		return flat(`"sawn, diamond 100 mesh"`, "matte", discs[:1+w.IntN(2)])
	case 2:
		return flat("as cast", "matte", grits[:1+w.IntN(3)])
	case 3:
		length := 100 + 10*w.IntN(90)
		return face{name, fmt.Sprintf("  - {name: %s, shape: arris, length: %d mm, width: 1 mm, from: new, to: seamed}", name, length), hands[:1+w.IntN(3)], float64(length) / 600}
	case 4:
		length := 100 + 10*w.IntN(60)
		return face{name, fmt.Sprintf("  - {name: %s, shape: edge, length: %d mm, width: %d mm, from: \"sawn, diamond 100 mesh\", to: matte}", name, length, 8+w.IntN(20)), belts[:1+w.IntN(3)], float64(length) / 400}
	case 5:
		return flat("as cast", "bright polish", grits)
	}
	return flat(`"sawn, diamond 100 mesh"`, "bright polish", discs)
}

// recipe writes one whole recipe.
func (w *writer) recipe() {
	glass := w.one("soda-lime", "soda-lime", "soda-lime", "borosilicate", "lead crystal")
	form := w.one("cast", "sawn block", "fused", "blown")
	piece := fmt.Sprintf("{form: %s, size: %d x %d x %d mm", form, 40+w.IntN(260), 40+w.IntN(160), 20+w.IntN(60))
	if w.IntN(2) == 0 {
		piece = fmt.Sprintf("{form: %s, size: %d mm dia x %d mm", form, 40+w.IntN(260), 20+w.IntN(120))
	}
	if form == "cast" {
		piece += ", mould: removed"
	}
	var faces []face
	taken := map[string]bool{}
	// Most are seamed before anything turns.
	if w.IntN(5) > 0 {
		faces = append(faces, face{"arrises", "  - {name: arrises, shape: arris, length: 400 mm, width: 1 mm, from: new, to: seamed}", hands[:1+w.IntN(3)], 0.7})
	}
	for i := range 1 + w.IntN(4) {
		if f := w.surface(i); !taken[f.name] {
			taken[f.name] = true
			faces = append(faces, f)
		}
	}
	w.line("---\nrecipe: %s\ntitle: %s no. %s, %s", w.id, w.one("Block", "Weight", "Panel", "Bowl", "Vase", "Lens", "Foot"), w.id[6:], w.one("bright", "for the long shelf", "second try", "as the studio lead wants it"))
	revision, date := 1+w.IntN(9), fmt.Sprintf("2026-%02d-%02d", 1+w.IntN(9), 1+w.IntN(28))
	w.line("revision: %d\ndate: %s\napproved: studio lead", revision, date)
	if w.IntN(4) == 0 {
		w.line("# looked at each autumn\nreview: 2027-%02d-%02d", 1+w.IntN(12), 1+w.IntN(28))
	}
	w.line("glass: %s\npiece: %s}\nsurfaces:", glass, piece)
	for _, f := range faces {
		w.line("%s", f.line)
	}
	w.line("stop: %s", w.sentence())
	w.line("cautions: [strain, sharp arris, dry powder, wet hands, held cloth, thrown piece, wet floor, belt, ears%s]", map[bool]string{true: ", lead glass, lead slurry, lead and you"}[glass == "lead crystal"])
	if revision > 1 {
		w.line("changes:\n  - {revision: %d, date: %s, kind: %s, note: \"%s\"}", revision, date, w.one("method", "safety", "wording"), w.sentence())
	}
	w.line("---\n")
	w.prose(1 + w.IntN(3))
	// A grade of all surfaces, then the next: nobody goes back to a coarser bench.
	written := map[string]bool{}
	for _, bench := range []string{"A", "B", "C", "D", "E"} {
		for _, f := range faces {
			for _, s := range f.chain {
				if s.bench == bench {
					w.step(f, s, written)
				}
			}
		}
	}
	if len(written) == 0 {
		w.line("## Wash and look\n\n- Surface: all\n- Time: 10 min\n- Bench: W\n\n1. %s\n\n- [ ] Raking lamp: dry, no bloom\n", w.sentence())
	}
	if w.IntN(2) == 0 {
		w.line("# Notes\n")
		w.prose(1 + w.IntN(4))
	}
}

func (w *writer) step(f face, s stage, written map[string]bool) {
	title := fmt.Sprintf("%s the %s with %s", s.title, f.name, s.abrasive)
	if written[title] {
		return
	}
	written[title] = true
	w.line("## %s\n\n- Surface: %s\n- Abrasive: %s", title, f.name, s.abrasive)
	if s.medium != "" {
		w.line("- Medium: %s", s.medium)
	}
	w.line("- Machine: %s\n- Water: %s", s.machine, s.water)
	usual := max(3, int(float64(s.minutes)*f.scale*1.5))
	if s.mix != "" {
		w.line("- Mix: %s\n- Charge: every 2 min", s.mix)
	}
	w.line("- Time: %d-%d-%d min\n- Bench: %s\n- Clean-down: %s\n", usual-usual/4, usual, usual+usual/2, s.bench, s.clean)
	for i := range 1 + w.IntN(4) {
		w.line("%d. %s", i+1, w.sentence())
		if w.IntN(4) == 0 {
			w.line("   - Key point: %s\n   - Reason: %s", w.sentence(), w.sentence())
		}
	}
	w.line("")
	if w.IntN(5) == 0 {
		w.line("> Warning: both hands, and the edge that meets the turn must not touch first.\n")
	}
	if w.IntN(6) == 0 {
		w.prose(1)
	}
	w.line("- [ ] %s", s.check)
	if w.IntN(4) == 0 {
		w.line("  - Right: %s\n  - Wrong: %s", w.sentence(), w.sentence())
	}
	w.line("")
}

// sentence is one plain sentence of the bench.
func (w *writer) sentence() string {
	first := w.one("Set down in the slow centre", "Work rim to centre", "Lift often and look", "Turn the piece a quarter each half minute", "Keep the face level",
		"Lean on the near edge a little", "Let the disc do the work", "Count the turns", "Brush the pad clean from the centre out", "Hold it as the picture shows")
	second := w.one("and against the turn", "then rinse and look again", "with the lamp low", "lighter towards the end", "as long as the sound stays even", "with both hands", "and never in one place", "one side after the other")
	if w.IntN(3) == 0 {
		return first + ", " + second + ", " + w.one("*slowly*", "**wet**", "about half a turn", "as on [the board](https://example.org/board)", "for `30 s`") + "."
	}
	return first + ", " + second + "."
}

// prose writes paragraphs, and now and then a list, a table or a quote.
func (w *writer) prose(paragraphs int) {
	for range paragraphs {
		switch w.IntN(8) {
		case 0:
			w.line("- %s\n- %s\n  - %s\n", w.sentence(), w.sentence(), w.sentence())
		case 1:
			w.line("| grade | looks like |\n|---|---|\n| %s | %s |\n| %s | %s |\n", w.one("coarse", "fine"), w.sentence(), w.one("finer", "last"), w.sentence())
		case 2:
			w.line("> %s %s\n", w.sentence(), w.sentence())
		default:
			for range 1 + w.IntN(5) {
				w.line("%s", w.sentence())
			}
			w.line("")
		}
	}
}

// spoilt is a recipe with one thing wrong.
func (w *writer) spoilt(text string) string {
	swap := func(old, new string) string { return strings.Replace(text, old, new, 1) }
	switch w.IntN(12) {
	case 0:
		return swap("- Water: flood\n", "")
	case 1:
		return swap("Abrasive: D140", "Abrasive: D1400")
	case 2:
		return swap("- Machine:", "- Mashine:")
	case 3:
		return swap("glass: ", "glas: ")
	case 4:
		return swap(`from: "sawn, diamond 100 mesh"`, "from: sawn, diamond 100 mesh")
	case 5:
		return swap("- Clean-down: ", "- Clean-down: none, ")
	case 6:
		return swap("- [ ] ", "- [] ")
	case 7:
		return swap("at 300 rpm", "at 3000 rpm")
	case 8:
		return swap("\n# Notes\n", "\n# Notes\n\nThen follow recipe no-such-piece.\n")
	case 9:
		return swap("dry powder, ", "")
	case 10:
		return swap("recipe: "+w.id, "recipe: piece-00000")
	}
	return swap("date: 2026-", "date: 26-")
}
