package layout

import (
	"fmt"
	"strings"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/trade"
)

var a4 = sheet.PageSetup{Paper: "A4", Width: 210, Height: 297, Left: 20, Right: 12, Top: 11, Bottom: 9}

func text(s string) []prose.Inline { return inlineText(s) }

func para(s string) prose.Block { return prose.Block{Kind: prose.Paragraph, Inlines: text(s)} }

// grey is a picture of stripes, w × h samples.
func grey(w, h int) *draw.Image {
	img := &draw.Image{Key: fmt.Sprintf("grey-%d-%d", w, h), Width: w, Height: h, Grey: true, Samples: make([]byte, w*h)}
	for i := range img.Samples {
		x, y := i%w, i/w
		img.Samples[i] = 255
		if x < 6 || y < 6 || x >= w-6 || y >= h-6 || (x+y)/8%6 == 0 {
			img.Samples[i] = 60
		}
	}
	return img
}

// weight is a cast paperweight in six steps, one revision old.
func weight() *sheet.Sheet {
	s := &sheet.Sheet{
		Design: "process sheet", Page: a4,
		Identity: sheet.Identity{
			House: "Quillfen Cold Shop", Kind: "process sheet", Title: "Cast paperweight, base bright, dome left as it came",
			ID: "cast-weight", Revision: 2, Effective: "2026-10-05", Approved: "studio lead", Copy: 3, Mark: "QF37K2M4B",
		},
		Foot: "Computed values are guidance; prove them on a test piece. Local codes and trained, licensed people come first. † built-in value.",
		Meta: sheet.Meta{Title: "Cast paperweight, base bright, dome left as it came", Subject: "process sheet cast-weight rev 2", Author: "Quillfen Cold Shop", Language: "en", Date: "2026-10-05"},
	}
	s.Blocks = []sheet.Block{
		sheet.Purpose{Blocks: []prose.Block{para("Takes a sawn casting to a base that is clear to read through. One piece, one person, about forty minutes at the bench.")}},
		sheet.SurfaceTable{Rows: []sheet.SurfaceRow{
			{Name: "base", Shape: "flat, 50 cm²", Arrives: "sawn, diamond 100 mesh", StopsAt: "bright polish", Tile: "T5"},
			{Name: "rim", Shape: "arris, 250 × 1 mm", Arrives: "new", StopsAt: "seamed"},
			{Name: "dome", Shape: "convex", Arrives: "fire polished", StopsAt: "untouched"},
		}},
		sheet.Piece{Words: "cast, 80 mm dia × 45 mm, soda-lime glass, mould removed, about 0.57 kg (from its size)"},
		sheet.Stop{Words: "Bright base. The dome is never touched, not even with cerium."},
		sheet.Cautions{
			Panels: []sheet.CautionNote{
				{Signal: trade.Warning, Title: "Power near water", Words: "A shock can kill. Plug in only at a GFCI or RCD socket and press its TEST first. Dry hands on every switch.", Sign: "W012"},
				{Signal: trade.Warning, Title: "Eyes", Words: "A chip or a splash of slurry can blind. Closed glasses on at the lap, the pad and the sink.", Sign: "M004"},
			},
			Lines: []sheet.CautionNote{
				{Signal: trade.Caution, Title: "Sharp edge", Words: "Seam it before you handle the piece. Gloves to carry, off at the machine.", Sign: "W022"},
				{Signal: trade.Caution, Title: "Keep it wet", Words: "Dry glass heats and cracks. If it grows warm, lift off. No cold water on it."},
				{Signal: trade.Notice, Title: "Slurry", Words: "It never goes down a drain. Let it settle, pour off clear water, keep the mud for disposal."},
			},
		},
		sheet.Places{Rows: []sheet.Place{{Name: "Eye wash", Words: "left of the sink"}, {Name: "Stop switch", Words: "red button at the door"}}},
		sheet.StepTable{
			Rows: []sheet.StepRow{
				{Number: 1, Do: "Seam the rim and tape the dome", Surface: "rim", Grade: "120 mesh", Abrasive: "plated diamond hand pad, 125 µm†", Machine: "by hand", Water: "spray", Minutes: "4", Bench: "A"},
				{Number: 2, Do: "Flatten the base", Surface: "base", Grade: "F220", Abrasive: "silicon carbide, 58 µm", Medium: "iron lap, 300 mm", Speed: "150", SpeedUnit: "rpm", Machine: "LAP3, rim 1.6 m/s", Water: "drip", Mix: "cream, fresh every 1 min", Minutes: "8", Bench: "B"},
				{Number: 3, Do: "Smooth the base", Surface: "base", Grade: "325 mesh", Abrasive: "resin diamond pad, 45 µm†", Speed: "200", SpeedUnit: "rpm", Machine: "LAP3, rim 2.1 m/s", Water: "flood", Minutes: "5", Bench: "C"},
				{Number: 4, Do: "Pre-polish the base", Surface: "base", Grade: "2F", Abrasive: "pumice, 45 µm†", Medium: "felt pad, solid", Speed: "150", SpeedUnit: "rpm", Machine: "LAP3, rim 1.6 m/s", Water: "damp", Mix: "mud, fresh every 2 min, last 2 min without", Minutes: "10", Bench: "D"},
				{Number: 5, Do: "Polish the base", Surface: "base", Grade: "1.5 µm", Abrasive: "cerium oxide, 8 g", Medium: "felt pad, perforated", Speed: "150", SpeedUnit: "rpm", Machine: "LAP3, rim 1.6 m/s", Water: "damp", Mix: "cream", Minutes: "8", Bench: "E"},
				{Number: 6, Do: "Wash, unmask and sign", Surface: "all", Water: "flood", Minutes: "4", Alone: "10 min alone", Bench: "E"},
			},
			Total: sheet.StepTotal{Words: "The whole piece: 10 min alone · cerium oxide 8 g · 0.36 EUR · water running 17 min", Minutes: "39"},
		},
	}
	s.Blocks = append(s.Blocks, weightLadder())
	s.Blocks = append(s.Blocks, weightSteps()...)
	return withEnd(s)
}

// weightLadder is the chart of the weight's base.
func weightLadder() sheet.Ladder {
	row := func(number, title, setting string, arrives, left sheet.Depth, taken float64, verdict, takes, leaves string) sheet.LadderRow {
		return sheet.LadderRow{
			Numbers: number, Title: title, Setting: setting, Arrives: arrives, Left: left, TakenUM: taken,
			Verdict: verdict, Takes: takes, Leaves: leaves, Alt: "Step " + number + ": takes " + takes + ", leaves " + leaves + ".",
		}
	}
	sawn, flat := sheet.Depth{Low: 16, Likely: 41, High: 110}, sheet.Depth{Low: 15, Likely: 38, High: 48}
	smooth, polished := sheet.Depth{Low: 4, Likely: 9.7, High: 24}, sheet.Depth{Low: .4, Likely: .8, High: 12}
	return sheet.Ladder{
		Title: "What each step does to the base", Measure: "damage under the face, in µm",
		Rows: []sheet.LadderRow{
			row("2", "Flatten", "F220, 8\u00a0min", sawn, flat, 300, "certain", "takes 300†", "leaves 38† (15\u00a0to\u00a048)"),
			row("3", "Smooth", "325 mesh, 5\u00a0min", flat, smooth, 92, "certain", "takes 92†", "leaves 9.7† (4.0\u00a0to\u00a024)"),
			row("4", "Pre-polish", "2F, 10\u00a0min", smooth, polished, 11, "likely", "takes 11†", "leaves 0.80† (0.40\u00a0to\u00a012)"),
			row("5", "Polish", "1.5 µm, 8\u00a0min", polished, sheet.Depth{High: 9.4}, 3, "likely", "takes 3.0†", "leaves none† (0\u00a0to\u00a09.4)"),
		},
		Rule: "Arrow past the end of the open bar: all that came is taken out.", Words: []string{"Rim and dome: nothing to reckon."},
	}
}

func weightSteps() []sheet.Block {
	repeat := sheet.Part{Kind: sheet.GoBack, Label: "If not, go back to", StepTitle: "and repeat"}
	back := func(step int, title string) sheet.Part {
		return sheet.Part{Kind: sheet.GoBack, Label: "If not, go back to", Step: step, StepTitle: title}
	}
	again := func(step int) sheet.Part { r := repeat; r.Step = step; return r }
	part := func(k sheet.PartKind, s string) sheet.Part { return sheet.Part{Kind: k, Words: text(s)} }
	order := func(mark, s string) sheet.Part { return sheet.Part{Kind: sheet.Order, Mark: mark, Words: text(s)} }
	warn := func(sig trade.Signal, s string) sheet.Part {
		return sheet.Part{Kind: sheet.Warn, Signal: sig, Words: text(s)}
	}
	clean := func(s string) sheet.Part {
		return sheet.Part{Kind: sheet.Label, Label: "Clean down:", Words: text(s)}
	}
	lap := sheet.Setting{Big: "150", Unit: "rpm", Small: "LAP3, rim\u00a01.6\u00a0m/s, flat lap"}
	return []sheet.Block{
		sheet.StepInFull{Number: 1, Title: text("Seam the rim and tape the dome"), Anchor: "step-1", Surface: "rim", Bench: "A",
			Settings: sheet.Settings{Abrasive: sheet.Setting{Big: "120 mesh", Small: "plated diamond hand pad, 125 µm†"}, Minutes: sheet.Setting{Big: "4", Unit: "min"}, Speed: sheet.Setting{Big: "by hand"}, Water: sheet.Setting{Big: "spray"}},
			Parts: []sheet.Part{
				order("1.", "Two layers of tape over the dome, pressed down to the rim."),
				order("2.", "Long strokes round the rim, one millimetre wide."),
				part(sheet.KeyPoint, "away from the tape, never across it."),
				part(sheet.Because, "a lifted tape edge carries grit to every bench after this."),
				part(sheet.State, "From here the dome is masked."),
				{Kind: sheet.Shown, Picture: &sheet.Picture{Target: "seam.png", Caption: "Section: tape down to the rim, seam below it", Image: grey(590, 300)}},
				{Kind: sheet.MoveOn},
				part(sheet.Check, "Thumbnail: no edge catches it, all the way round"),
				again(1), clean("wash piece, hands and pad"),
			}},
		sheet.StepInFull{Number: 2, Title: text("Flatten the base"), Anchor: "step-2", Surface: "base", Bench: "B",
			Settings: sheet.Settings{Abrasive: sheet.Setting{Big: "F220", Small: "silicon carbide, 58 µm"}, Minutes: sheet.Setting{Big: "8", Unit: "min"}, Speed: lap, Water: sheet.Setting{Big: "drip", Small: "cream, fresh every 1 min"}, Medium: sheet.Setting{Big: "iron lap", Small: "300 mm"}},
			Lamp:     &sheet.Lamp{Degrees: 4, Words: "no outline above\u00a04°†", Alt: "Above 4° from level no outline."},
			Parts: []sheet.Part{
				order("1.", "Set down in the slow centre, then work out to the rim and back, a quarter turn each half minute."),
				warn(trade.Warning, "both hands, and never a tilted landing: the plate throws the piece."),
				{Kind: sheet.Shown, Picture: &sheet.Picture{Target: "path.png", Caption: "The path, from above", Image: grey(590, 420)}},
				{Kind: sheet.MoveOn},
				part(sheet.Check, "Marker twice: gone both times, no island left"),
				part(sheet.Check, "Ten-power: one size of pit, no saw line"),
				again(2), clean("scrape slurry to its pot, scrub the plate, new bucket, new apron"),
			}},
		sheet.StepInFull{Number: 3, Title: text("Smooth the base"), Anchor: "step-3", Surface: "base", Bench: "C",
			Settings: sheet.Settings{Abrasive: sheet.Setting{Big: "325 mesh", Small: "resin diamond pad, 45 µm†"}, Minutes: sheet.Setting{Big: "5", Unit: "min", Small: "needs 2.8\u00a0to\u00a03.7†"}, Speed: sheet.Setting{Big: "200", Unit: "rpm", Small: "LAP3, rim\u00a02.1\u00a0m/s, flat lap"}, Water: sheet.Setting{Big: "flood"}},
			Lamp:     &sheet.Lamp{Degrees: 18, Words: "outline at\u00a018°† or\u00a0flatter", Alt: "At 18° from level an outline."},
			Parts: []sheet.Part{
				order("1.", "Light hand, brush the pad clean from the centre out once."),
				{Kind: sheet.MoveOn},
				part(sheet.Check, "Raking lamp: no grey dot from the plate left"),
				part(sheet.Method, "lamp low at the side, look along the face"),
				part(sheet.Check, "Ceiling lamp: an outline only when sighted almost along the face"),
				part(sheet.Wrong, "no glow at all, or cloudy patches"),
				back(2, "Flatten the base"), clean("wash piece and rim, change apron and towel"),
			}},
		sheet.StepInFull{Number: 4, Title: text("Pre-polish the base"), Anchor: "step-4", Surface: "base", Bench: "D",
			Settings: sheet.Settings{Abrasive: sheet.Setting{Big: "2F", Small: "pumice, 45 µm†"}, Minutes: sheet.Setting{Big: "10", Unit: "min"}, Speed: lap, Water: sheet.Setting{Big: "damp", Small: "mud, fresh every 2 min, last 2 min without"}, Medium: sheet.Setting{Big: "felt pad", Small: "solid, FELT-P, kept for pumice"}},
			Lamp:     &sheet.Lamp{Degrees: 90, Words: "outline straight\u00a0down†", Alt: "Straight down an outline."},
			Parts: []sheet.Part{
				order("1.", "Wet the pad, then wring it: damp, not flooded."),
				part(sheet.KeyPoint, "load the glass, not only the pad."),
				part(sheet.Because, "a washed pad carries nothing to the face."),
				order("2.", "Work rim to centre and against the turn."),
				warn(trade.Warning, "wet the powder before you carry it. P100 mask on while it is dry."),
				warn(trade.Caution, "a drying pad grabs. Slide the piece off, never lift it."),
				{Kind: sheet.MoveOn},
				part(sheet.Check, "Raking lamp: no line of the smoothing pad left"),
				part(sheet.Check, "Ceiling lamp: its outline shows looking straight down"),
				back(3, "Smooth the base"), clean("rinse piece, hands and splash ring; fresh water; cover the felt"),
			}},
		sheet.StepInFull{Number: 5, Title: text("Take out a deep scratch"), Anchor: "step-5", Surface: "base", Bench: "B", OnlyIf: "Only if a scratch still catches the nail",
			Settings: sheet.Settings{Abrasive: sheet.Setting{Big: "F400", Small: "silicon carbide, 17 µm"}, Minutes: sheet.Setting{Big: "8", Unit: "min", Small: "6\u00a0to\u00a012"}, Speed: lap, Water: sheet.Setting{Big: "drip", Small: "milk"}, Medium: sheet.Setting{Big: "horsehair brush wheel", Small: "150 mm"}},
			Parts: []sheet.Part{
				part(sheet.Words, "A word before the orders."),
				order("", "Work the whole face, never the one place."),
				{Kind: sheet.MoveOn},
				part(sheet.StopHere, "Stop: a bruise under the face ends the work; the studio lead decides."),
				back(3, "Smooth the base"),
			}},
		sheet.StepInFull{Number: 6, Title: text("Wash, unmask and sign"), Anchor: "step-6", Surface: "all", Bench: "E",
			Settings: sheet.Settings{Minutes: sheet.Setting{Big: "4", Unit: "min", Small: "then 10 min alone"}, Water: sheet.Setting{Big: "flood"}},
			Parts: []sheet.Part{
				order("1.", "Wash at once, stand on edge, dry ten minutes."),
				part(sheet.State, "Here the dome is unmasked."),
				{Kind: sheet.MoveOn},
				part(sheet.Check, "Dome: no mark, no tape glue"),
				part(sheet.Check, "Base: matches tile T5, signed"),
				again(6),
			}},
	}
}

func withEnd(s *sheet.Sheet) *sheet.Sheet {
	s.Blocks = append(s.Blocks,
		sheet.Amounts{Rows: []sheet.AmountRow{
			{What: "cerium oxide, price of 2026-01-10", Amount: "8 g", Cost: "0.36 EUR"},
			{What: "silicon carbide F220, pumice 2F", Amount: "amount not written"},
			{What: "at the bench", Amount: "39 min"}, {What: "alone", Amount: "10 min"}, {What: "water running", Amount: "17 min"},
		}},
		sheet.Changes{Rows: []sheet.ChangeRow{{Revision: "rev 2", Date: "2026-10-05", Kind: "method, train again.", Note: "Pumice put in before cerium; cerium cut from 26 to 8 min."}}, Review: "The house reads it again by 2027-10-05."},
		sheet.Notes{Blocks: []prose.Block{{Kind: prose.Heading, Level: 1, Inlines: text("Notes")}, para("Lead-bearing weights have their own recipe: own bucket, own slurry pot.")}},
		sheet.SignOff{Lines: []string{"Piece", "Bench hand, date", "Checker, against tile T5, date"}},
	)
	return s
}

// allText is every word of the document, page by page, in reading order.
func allText(doc *draw.Document) string {
	var b strings.Builder
	for _, p := range doc.Pages {
		for _, r := range p.Runs {
			for _, it := range r.Items {
				if t, ok := it.(draw.Text); ok {
					b.WriteString(t.Text)
					b.WriteByte(' ')
				}
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}
