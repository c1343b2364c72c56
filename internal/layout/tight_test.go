package layout

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/trade"
)

// pageWords are the words of one page.
func pageWords(p draw.Page) string { return allText(&draw.Document{Pages: []draw.Page{p}}) }

// find is the first text of a page that begins so.
func find(t *testing.T, p draw.Page, begins string) placed {
	t.Helper()
	for _, x := range texts(p) {
		if strings.HasPrefix(strings.TrimSpace(x.Text.Text), begins) {
			return x
		}
	}
	require.Failf(t, "not on the page", "%q", begins)
	return placed{}
}

// oneStep is a sheet of one step, the weight's second, with other settings.
func oneStep(change func(*sheet.StepInFull)) *sheet.Sheet {
	s := weight()
	st := weightSteps()[1].(sheet.StepInFull)
	change(&st)
	s.Blocks = []sheet.Block{st}
	return s
}

// The small words of a setting run on under a neighbour that has none, and
// keep off one that has.
func TestSmallWordsRunOn(t *testing.T) {
	const machine = "IRON, rim 2.4 m/s, flat lap 600 mm"
	free := oneStep(func(st *sheet.StepInFull) {
		st.Settings.Speed.Small = machine
		st.Settings.Water, st.Settings.Medium = sheet.Setting{Big: "flood"}, sheet.Setting{}
	})
	doc, _ := Lay(free)
	requireSound(t, free, doc)
	assert.Equal(t, machine, find(t, doc.Pages[0], "IRON").Text.Text)

	taken := oneStep(func(st *sheet.StepInFull) { st.Settings.Speed.Small = machine })
	doc, _ = Lay(taken)
	requireSound(t, taken, doc)
	assert.NotEqual(t, machine, find(t, doc.Pages[0], "IRON").Text.Text)
	assert.Less(t, find(t, doc.Pages[0], "IRON").right, find(t, doc.Pages[0], "cream").left)

	// Nothing runs in under a large word that takes two lines.
	high := oneStep(func(st *sheet.StepInFull) {
		st.Settings.Speed.Small = machine
		st.Settings.Water = sheet.Setting{Big: "recirculated through the settling tank"}
	})
	doc, _ = Lay(high)
	requireSound(t, high, doc)
}

// muchToCheck is a sheet whose first page is filled for the most part by words, and
// then one step whose checkpoints alone take half a page.
func muchToCheck(paragraphs int) *sheet.Sheet {
	return oneStepAfter(paragraphs, func(st *sheet.StepInFull) {
		for i := range 24 {
			st.Parts = append(st.Parts, sheet.Part{Kind: sheet.Check, Words: text(fmt.Sprintf("Face %d: no line left", i+1))})
		}
	})
}

func oneStepAfter(paragraphs int, change func(*sheet.StepInFull)) *sheet.Sheet {
	s := oneStep(func(st *sheet.StepInFull) {
		st.Parts = []sheet.Part{
			{Kind: sheet.Order, Mark: "1.", Words: text("Set down in the slow centre.")},
			{Kind: sheet.MoveOn},
		}
		change(st)
	})
	var words []prose.Block
	for range paragraphs {
		words = append(words, para("A line of its own."))
	}
	s.Blocks = append([]sheet.Block{sheet.Purpose{Blocks: words}}, s.Blocks...)
	return s
}

// A step that fits on a page is cut between its parts where more than a quarter of
// the page would stay empty, and only there; of checkpoints two at least stay
// together.
func TestStepIsCutOnlyForMuchRoom(t *testing.T) {
	cut, whole := 0, 0
	for n := 4; n < 40; n++ {
		s := muchToCheck(n)
		doc, _ := Lay(s)
		requireSound(t, s, doc)
		if len(doc.Pages) == 1 {
			continue
		}
		require.Len(t, doc.Pages, 2, "%d", n)
		first, second := pageWords(doc.Pages[0]), pageWords(doc.Pages[1])
		// A quarter of what lies between the line under the head and the one
		// above the foot.
		top, bottom := draw.MM(40), draw.MM(280)
		words := find(t, doc.Pages[0], "A line of its own").bottom
		for _, x := range texts(doc.Pages[0]) {
			if strings.HasPrefix(x.Text.Text, "A line of its own") {
				words = max(words, x.bottom)
			}
		}
		empty := bottom - words
		if strings.Contains(first, "Set down") {
			cut++
			assert.Contains(t, second, "(continued)")
			assert.Greaterf(t, empty*100, 23*(bottom-top), "%d paragraphs", n)
			if strings.Contains(first, "Move on when") {
				assert.Contains(t, first, "Face 2:")
			}
			assert.Contains(t, second, "Face 23:")
			assert.Contains(t, second, "Face 24:")
		} else {
			whole++
			assert.NotContains(t, second, "(continued)")
			assert.Lessf(t, empty*100, 28*(bottom-top), "%d paragraphs", n)
		}
	}
	assert.Positive(t, cut)
	assert.Positive(t, whole)
}

// A column nobody has anything to say in gives its room to the others.
func TestEmptyColumnIsLeftOut(t *testing.T) {
	s := some(func(b sheet.Block) bool { _, ok := b.(sheet.StepTable); return ok })
	doc, _ := Lay(s)
	with := find(t, doc.Pages[0], "Machine, speed").left
	find(t, doc.Pages[0], "Medium")
	table := s.Blocks[0].(sheet.StepTable)
	for i := range table.Rows {
		table.Rows[i].Medium = ""
	}
	doc, _ = Lay(s)
	requireSound(t, s, doc)
	assert.NotContains(t, allText(doc), "Medium")
	assert.Less(t, find(t, doc.Pages[0], "Machine, speed").left, with)
	for i := range table.Rows {
		table.Rows[i] = sheet.StepRow{Number: i + 1, Do: table.Rows[i].Do, Minutes: "4"}
	}
	doc, _ = Lay(s)
	requireSound(t, s, doc)
	for _, head := range []string{"Surface", "Abrasive", "Machine, speed", "Water, mix", "bench"} {
		assert.NotContains(t, allText(doc), head)
	}
	assert.InDelta(t, 198, find(t, doc.Pages[0], "39").right.Millimetres(), .1, "the minutes are the last column now")
}

// The last page never holds a line or the lines to sign on alone.
func TestLastPageHoldsMoreThanALine(t *testing.T) {
	for _, sign := range []bool{true, false} {
		turned := 0
		for n := 20; n < 60; n++ {
			s := weight()
			var words []prose.Block
			for range n {
				words = append(words, para("A line of its own."))
			}
			s.Blocks = []sheet.Block{sheet.Notes{Blocks: words}}
			if sign {
				s.Blocks = append(s.Blocks, sheet.SignOff{Lines: []string{"Piece", "Bench hand, date"}})
			}
			doc, _ := Lay(s)
			requireSound(t, s, doc)
			if len(doc.Pages) == 1 {
				continue
			}
			turned++
			last := pageWords(doc.Pages[len(doc.Pages)-1])
			want := 4
			if sign {
				want = 2
			}
			assert.GreaterOrEqualf(t, strings.Count(last, "A line of its own."), want, "%d lines", n)
		}
		assert.Positive(t, turned)
	}
}

// Cautions of one signal word share a line where they fit on it; else each has
// its own.
func TestCautionsOfOneWordShareALine(t *testing.T) {
	warn := sheet.Part{Kind: sheet.Warn, Signal: trade.Warning, Words: append(append(
		text("P100 or FFP3 mask on. Powder into water."), text(sheet.Apart)...),
		text("Stop. Unplug or isolate. Plug in sight.")...)}
	s := oneStep(func(st *sheet.StepInFull) { st.Lamp, st.Parts = nil, []sheet.Part{warn} })
	doc, _ := Lay(s)
	requireSound(t, s, doc)
	assert.Equal(t, find(t, doc.Pages[0], "WARNING").At.Y, lastLine(doc.Pages[0], "Plug in sight."))
	assert.Contains(t, allText(doc), "·")

	s = oneStep(func(st *sheet.StepInFull) {
		st.Parts = []sheet.Part{warn, {Kind: sheet.Shown, Picture: &sheet.Picture{Target: "a.png", Image: grey(590, 300)}}}
	})
	doc, _ = Lay(s)
	requireSound(t, s, doc)
	below := find(t, doc.Pages[0], "Stop. Unplug")
	assert.Greater(t, below.At.Y, find(t, doc.Pages[0], "WARNING").At.Y)
	assert.Equal(t, "Stop. Unplug or isolate. Plug in sight.", below.Text.Text)
}

// lastLine is the baseline of the text that ends so.
func lastLine(p draw.Page, ends string) draw.Unit {
	for _, x := range texts(p) {
		if strings.HasSuffix(x.Text.Text, ends) {
			return x.At.Y
		}
	}
	return 0
}

// A title a little too long for one line of the following pages is set smaller
// there, and never under 12 points.
func TestTitleOfFollowingPages(t *testing.T) {
	for title, size := range map[string]draw.Unit{
		"Cast paperweight": headSize, "Cast bas-relief panel, face satin, back and edges matte": draw.Pt(13),
	} {
		doc, _ := Lay(manySteps(6, 2, title))
		got := find(t, doc.Pages[1], title)
		assert.LessOrEqual(t, got.Size, size, title)
		assert.GreaterOrEqual(t, got.Size, draw.Pt(12), title)
	}
	doc, _ := Lay(manySteps(6, 2, strings.Repeat("Cast paperweight, base bright ", 4)))
	assert.Equal(t, headSize, find(t, doc.Pages[1], "Cast paperweight").Size)
}

// A picture prints its caption; what it shows in words is in the file for who
// cannot see it, and prints where the picture is not to be had.
func TestCaptionAndAlternativeText(t *testing.T) {
	shown := func(img *draw.Image) *draw.Document {
		doc, _ := Lay(oneStep(func(st *sheet.StepInFull) {
			st.Lamp = nil
			st.Parts = []sheet.Part{{Kind: sheet.Shown, Picture: &sheet.Picture{Target: "a.png", Caption: "The path", Alt: "A disc from above", Image: img}}}
		}))
		return doc
	}
	doc := shown(grey(590, 300))
	alts := []string{}
	for _, r := range doc.Pages[0].Runs {
		if r.Role == draw.Figure {
			alts = append(alts, r.Alt)
		}
	}
	assert.Equal(t, []string{"A disc from above"}, alts)
	assert.Contains(t, allText(doc), "The path")
	assert.NotContains(t, allText(doc), "A disc")

	image := prose.Inline{Kind: prose.Image, Target: "gone.png", Title: "The path", Children: text("A disc from above")}
	s := weight()
	s.Blocks = []sheet.Block{sheet.Notes{Blocks: []prose.Block{{Kind: prose.Paragraph, Inlines: []prose.Inline{image}}}}}
	doc, _ = Lay(s)
	assert.Contains(t, bare(allText(doc)), bare("Picture The path – A disc from above (gone.png)"))
}

// A picture is drawn beside the words before it and read behind them.
func TestPictureIsReadWhereItWasWritten(t *testing.T) {
	s := weight()
	s.Blocks = []sheet.Block{weightSteps()[0]}
	doc, _ := Lay(s)
	requireSound(t, s, doc)
	all := allText(doc)
	caption := strings.Index(all, "Section: tape")
	assert.Greater(t, caption, strings.Index(all, "From here the dome is masked."))
	assert.Less(t, caption, strings.Index(all, "Move on when"))
	for _, r := range doc.Pages[0].Runs {
		for _, it := range r.Items {
			if p, ok := it.(draw.Picture); ok {
				assert.Less(t, p.At.Y, find(t, doc.Pages[0], "Key point").At.Y)
			}
		}
	}
}

// Whatever the settings say, nothing stands on anything else.
func TestAnySettings(t *testing.T) {
	word := rapid.SampledFrom([]string{
		"", "F220", "120 mesh", "metal diamond blade", "urethane silicon carbide wheel", "by hand", "1400", "flood",
		"recirculated", "silicon carbide, 58\u00a0µm, S220, 40\u00a0g", "10\u00a0to\u00a020\u00a0min, then\u00a03\u00a0h alone", "15\u00a0to\u00a030",
		"LATHE, rim\u00a03.5\u00a0m/s, lathe 300\u00a0mm", "mud, fresh every 2\u00a0min, last 2\u00a0min without", "Windschutzscheibenschleifmaschinenwartung",
	})
	rapid.Check(t, func(t *rapid.T) {
		setting := func(name string) sheet.Setting {
			return sheet.Setting{Big: word.Draw(t, name), Unit: rapid.SampledFrom([]string{"", "min", "rpm"}).Draw(t, name+" unit"), Small: word.Draw(t, name+" small")}
		}
		s := oneStep(func(st *sheet.StepInFull) {
			st.Settings = sheet.Settings{Abrasive: setting("abrasive"), Minutes: setting("minutes"), Speed: setting("speed"), Water: setting("water"), Medium: setting("medium")}
			if rapid.Bool().Draw(t, "framed") {
				st.OnlyIf = "Only if a scratch shows"
			}
		})
		doc, _ := Lay(s)
		requireSound(t, s, doc)
	})
}

// A long caution takes a panel of the whole width, and so does the one beside
// which nothing would stand; two short ones stand side by side.
func TestPanelsSideBySide(t *testing.T) {
	long := strings.Repeat("The plate throws the piece when the edge that meets the turn touches first. ", 6)
	lay := func(words ...string) draw.Page {
		var c sheet.Cautions
		for _, w := range words {
			c.Panels = append(c.Panels, sheet.CautionNote{Signal: trade.Warning, Words: w})
		}
		s := weight()
		s.Blocks = []sheet.Block{c}
		doc, _ := Lay(s)
		requireSound(t, s, doc)
		return doc.Pages[0]
	}
	signals := func(p draw.Page) (at []placed) {
		for _, x := range texts(p) {
			if x.Text.Text == "WARNING" {
				at = append(at, x)
			}
		}
		return at
	}
	two := signals(lay("Short.", "Short too."))
	require.Len(t, two, 2)
	assert.Equal(t, two[0].At.Y, two[1].At.Y)
	apart := signals(lay("Short.", long))
	require.Len(t, apart, 2)
	assert.Equal(t, apart[0].At.X, apart[1].At.X)
	assert.Less(t, apart[0].At.Y, apart[1].At.Y)
	page := lay("Short.", long)
	assert.Greater(t, find(t, page, "The plate throws").right, draw.MM(20+86), "wider than a panel that shares its row")
}
