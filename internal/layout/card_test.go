package layout

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// cardOn is a card of some steps on a paper, lying on its long side or not.
func cardOn(paper string, lies bool, title string, panels []sheet.CautionPanel, steps ...sheet.CardStep) *sheet.Sheet {
	p, ok := sheet.FindPaper(paper)
	if !ok {
		panic(paper)
	}
	s := weight()
	s.Title = title
	s.Page = sheet.PageSetup{Kind: sheet.CardPage, Paper: p.Name, Width: p.Width, Height: p.Height, Left: 5, Right: 5, Top: 5, Bottom: 5}
	if lies {
		s.Page.Width, s.Page.Height = p.Height, p.Width
	}
	card := &sheet.Card{Type: sheet.TypeRange{Largest: 16, Smallest: 12}, Guidance: "Figures guide: test first. Local codes rule.", Steps: len(steps)}
	for i := range steps {
		steps[i].Number = i + 1
		card.Numbers = append(card.Numbers, i+1)
	}
	s.Card = card
	s.Blocks = []sheet.Block{
		sheet.CautionPanels{Panels: panels}, sheet.CardSteps{Steps: steps},
		sheet.Stop{Words: "Bright base. The dome is never touched, not even with cerium."},
	}
	s.Stamp()
	return s
}

func somePanels() []sheet.CautionPanel {
	return []sheet.CautionPanel{
		{Signal: trade.Warning, Notes: []sheet.CautionNote{{Words: "RCD or GFCI: test daily. Dry hands, cord.", Sign: "W012"}, {Words: "Safety glasses on before you switch on.", Sign: "M004"}}},
		{Signal: trade.Caution, Notes: []sheet.CautionNote{{Words: "Sharp edge: seam before you carry.", Sign: "W022"}}},
		{Signal: trade.Notice, Notes: []sheet.CautionNote{{Words: "No slurry to drain."}}},
	}
}

func lapStep() sheet.CardStep {
	return sheet.CardStep{
		Title: text("Flatten the base"), Bench: "B", Grade: "F220", Minutes: "8", MinutesUnit: "min", Machine: "IRON", Speed: "75", SpeedUnit: "rpm",
		Details: []string{"silicon carbide", "58 µm", "iron lap 600 mm", "drip", "cream", "fresh every 1 min"},
		Facts:   []sheet.Labelled{{Label: "Clean down:", Words: "scrape slurry to its pot, new bucket"}},
		Checks:  []sheet.CardCheck{{Words: text("Marker twice: gone both times, no island left")}, {Words: text("Ten-power: one size of pit")}},
		Back:    1, Warnings: []sheet.Part{{Kind: sheet.Warn, Signal: trade.Warning, Words: text("both hands, and never a tilted landing.")}},
	}
}

// requireCard holds a card against what holds of every card: all within the
// margins, no text on text, no type under 12 pt but the lines that say which
// card it is and the guidance, identity, panels and stop on every face, the stop
// last, and every word of its steps there in order.
func requireCard(t require.TestingT, s *sheet.Sheet, doc *draw.Document) {
	page := cardMargins(s.Page, s.Draft != nil)
	left, right := draw.MM(page.Left), doc.Width-draw.MM(page.Right)
	top, bottom := draw.MM(page.Top), doc.Height-draw.MM(page.Bottom)
	slack := draw.MM(.02)
	require.NotEmpty(t, doc.Pages)
	require.LessOrEqual(t, len(doc.Pages), 2)
	for n, face := range doc.Pages {
		all := texts(face)
		for i, a := range all {
			if s.Draft == nil {
				require.Truef(t, a.left >= left-slack && a.right <= right+slack && a.top >= top-slack && a.bottom <= bottom+slack,
					"face %d: %q at %s %s to %s leaves the margins", n+1, a.Text.Text, mm(a.left), mm(a.bottom), mm(a.right))
			}
			for _, b := range all[:i] {
				if a.left+slack < b.right && b.left+slack < a.right && a.top+slack < b.bottom && b.top+slack < a.bottom &&
					strings.TrimSpace(a.Text.Text) != "" && strings.TrimSpace(b.Text.Text) != "" {
					require.Failf(t, "text on text", "face %d: %q and %q at %s %s", n+1, a.Text.Text, b.Text.Text, mm(a.left), mm(a.bottom))
				}
			}
			if a.Size < draw.Pt(12) {
				require.GreaterOrEqual(t, a.Size, draw.Pt(8.5))
				require.Truef(t, ofIdentity(s, a.Text.Text), "face %d: %q is set in %g pt", n+1, a.Text.Text, a.Size.Points())
			}
		}
		if s.Draft == nil {
			for _, r := range face.Runs {
				for _, it := range r.Items {
					requireInside(t, it, left-slack, right+slack, top-slack, bottom+slack)
				}
			}
		}
		requireFace(t, s, face, all, n, len(doc.Pages))
	}
	requireContrast(t, doc)
	requireStepWords(t, s, doc)
}

// requireFace: identity, panels and stop stand on every face, the stop lowest.
func requireFace(t require.TestingT, s *sheet.Sheet, face draw.Page, all []placed, n, of int) {
	words := ""
	var low draw.Unit
	stop, sentence := draw.Unit(0), bare(s.Blocks[2].(sheet.Stop).Words)
	for _, p := range all {
		words += p.Text.Text
		if p.Ink == draw.White && p.Text.Text == "STOP" {
			stop = p.bottom
		} else if p.Ink == draw.Black {
			low = max(low, p.bottom)
		}
	}
	words = bare(words)
	for _, want := range []string{s.ID, fmt.Sprintf("rev%d", s.Revision), s.Effective, s.Approved, fmt.Sprintf("page%dof%d", n+1, of), s.Card.Guidance, sentence} {
		require.Containsf(t, words, bare(want), "face %d", n+1)
	}
	for _, p := range s.Blocks[0].(sheet.CautionPanels).Panels {
		for _, note := range p.Notes {
			require.Containsf(t, strings.ToLower(words), strings.ToLower(bare(note.Words)), "face %d", n+1)
		}
	}
	if stop > 0 && s.Draft == nil {
		require.Greaterf(t, stop, low, "face %d: the stop is the last thing", n+1)
	}
}

// ofIdentity says whether a text belongs to the lines that may be small.
func ofIdentity(s *sheet.Sheet, text string) bool {
	all := bare(strings.Join([]string{
		s.ID, "· rev", fmt.Sprint(s.Revision), "effective", "for", s.Effective, "no date", "approved:", s.Approved, s.Mark.String(),
		"· page 1 of 2 · page 2 of 2 · page 1 of 1", "· copy 3 · no copy no.", "DRAFT", s.Card.Guidance,
	}, " "))
	if s.Draft != nil {
		all += bare(s.Draft.Short)
	}
	for _, word := range strings.Fields(text) {
		if !strings.Contains(all, bare(word)) {
			return false
		}
	}
	return true
}

// requireContrast: 7:1 for every text against what lies under it (WCAG 2.2,
// 1.4.6).
func requireContrast(t require.TestingT, doc *draw.Document) {
	for _, page := range doc.Pages {
		var under []draw.Rect
		for _, r := range page.Runs {
			for _, it := range r.Items {
				switch v := it.(type) {
				case draw.Rect:
					if v.Fill != nil {
						under = append(under, v)
					}
				case draw.Text:
					look := look{style: v.Style, size: v.Size, spacing: v.Spacing}
					lead := look.width(v.Text[:len(v.Text)-len(strings.TrimLeft(v.Text, " "))])
					for _, p := range []draw.Point{{X: v.At.X + lead, Y: v.At.Y}, {X: v.At.X + look.width(v.Text), Y: v.At.Y - v.Size/2}} {
						require.GreaterOrEqualf(t, contrast(v.Ink, ground(under, p)), 6.99, "%q", v.Text)
					}
				}
			}
		}
	}
}

// requireStepWords finds every step in order, with all it says before the next.
func requireStepWords(t require.TestingT, s *sheet.Sheet, doc *draw.Document) {
	var all strings.Builder
	for _, p := range doc.Pages {
		for _, r := range p.Runs {
			if r.Role == draw.Artifact {
				continue
			}
			for _, it := range r.Items {
				if v, ok := it.(draw.Text); ok {
					all.WriteString(v.Text)
				}
			}
		}
	}
	rest := strings.ToLower(dashless(all.String()))
	steps := s.Blocks[1].(sheet.CardSteps).Steps
	title := func(k int) string {
		return strings.ToLower(dashless(steps[k].OnlyIf + fmt.Sprint(steps[k].Number) + prose.Words(steps[k].Title)))
	}
	for k, st := range steps {
		from := strings.Index(rest, title(k))
		require.GreaterOrEqualf(t, from, 0, "step %d is lost or out of order", st.Number)
		rest = rest[from+len(title(k)):]
		mine := rest
		if k+1 < len(steps) {
			if next := strings.Index(rest, title(k+1)); next >= 0 {
				mine = rest[:next]
			}
		}
		want := []string{st.Surface, st.Bench, st.Grade, st.Instead, st.Minutes, st.MinutesUnit, st.Machine, st.Speed, st.SpeedUnit}
		want = append(want, st.Details...)
		for _, f := range st.Facts {
			want = append(want, f.Label+f.Words)
		}
		for _, w := range st.Warnings {
			want = append(want, prose.Words(w.Words))
		}
		for _, c := range st.Checks {
			want = append(want, prose.Words(c.Words))
		}
		for _, w := range want {
			require.Containsf(t, mine, strings.ToLower(dashless(w)), "step %d", st.Number)
		}
		if st.Back > 0 {
			require.Contains(t, mine, fmt.Sprintf("backto%d", st.Back))
		}
	}
}

func layCard(t require.TestingT, s *sheet.Sheet) *draw.Document {
	doc, found := Lay(s)
	require.Empty(t, found)
	require.NotNil(t, doc)
	requireCard(t, s, doc)
	return doc
}

// Six calm steps go on one face of A5, more on two, and none is lost.
func TestCardFaces(t *testing.T) {
	steps := func(n int) []sheet.CardStep {
		out := make([]sheet.CardStep, n)
		for i := range out {
			out[i] = lapStep()
		}
		return out
	}
	assert.Len(t, layCard(t, cardOn("A4", false, "Cup", somePanels(), steps(6)...)).Pages, 1)
	assert.Len(t, layCard(t, cardOn("A5", true, "Cup", somePanels(), steps(6)...)).Pages, 2)
	assert.Len(t, layCard(t, cardOn("A5", true, "Cup", nil, steps(1)...)).Pages, 1)
	assert.Len(t, layCard(t, cardOn("A5", true, "Cup", nil)).Pages, 1, "a recipe without a step")
}

// Type goes down to its floor before a second face is begun, and up again where
// two faces have room.
func TestCardTypeBeforeFace(t *testing.T) {
	body := func(doc *draw.Document) draw.Unit {
		for _, p := range texts(doc.Pages[0]) {
			if strings.HasPrefix(p.Text.Text, "silicon carbide") {
				return p.Size
			}
		}
		return 0
	}
	sizes, faces := map[int]draw.Unit{}, map[int]int{}
	for n := 2; n <= 8; n++ {
		var steps []sheet.CardStep
		for range n {
			steps = append(steps, lapStep())
		}
		doc, _ := Lay(cardOn("A5", true, "Cup", somePanels(), steps...))
		if doc == nil {
			break
		}
		sizes[n], faces[n] = body(doc), len(doc.Pages)
		if n > 2 && faces[n] == faces[n-1] {
			assert.LessOrEqual(t, sizes[n], sizes[n-1], "%d steps", n)
		}
	}
	assert.Equal(t, 1, faces[2])
	assert.Greater(t, sizes[2], draw.Pt(12), "two steps have room for more than the least")
	assert.Equal(t, 2, faces[6])
	doc, _ := Lay(cardOn("A5", true, "Cup", nil, lapStep(), lapStep()))
	assert.Equal(t, draw.Pt(16), body(doc), "the largest type where it fits")
}

// What does not go on two faces is a finding that says by how much, names cards
// that do fit, and lays nothing.
func TestCardTooFull(t *testing.T) {
	var steps []sheet.CardStep
	for range 19 {
		steps = append(steps, lapStep())
	}
	s := cardOn("A5", true, "Cup", somePanels(), steps...)
	doc, found := Lay(s)
	assert.Nil(t, doc)
	require.Len(t, found, 1)
	assert.Equal(t, sheet.CardFitRule, found[0].Rule)
	assert.Regexp(t, `does not fit on A5 landscape: at 12 pt, both faces used, \d+ mm are missing\.$`, found[0].Message)
	assert.Contains(t, found[0].Help, "--steps 1-")
	assert.Contains(t, found[0].Help, "-19.")
	// Each of the cards it names fits.
	last := 0
	for _, part := range strings.Split(found[0].Help, "--steps ")[1:] {
		var from, to int
		_, err := fmt.Sscanf(part, "%d-%d", &from, &to)
		require.NoError(t, err)
		require.Equal(t, last+1, from, "no step is left out")
		last = to
		layCard(t, cardOn("A5", true, "Cup", somePanels(), slices.Clone(steps[from-1:to])...))
	}
	assert.Equal(t, 19, last)
	// One step that is too much for a face is named.
	big := lapStep()
	for range 40 {
		big.Checks = append(big.Checks, sheet.CardCheck{Words: text("Marker twice: gone both times, no island left anywhere")})
	}
	_, found = Lay(cardOn("A5", true, "Cup", somePanels(), lapStep(), big))
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Message, "step 2 alone needs")
}

// A card of one step that is too much for one face has its checkpoints on the
// second, the panels and the stop on both.
func TestOneStepOnTwoFaces(t *testing.T) {
	st := lapStep()
	one := layCard(t, cardOn("A6", false, "Cup", nil, st))
	for range 4 {
		st.Checks = append(st.Checks, st.Checks...)
		s := cardOn("4x6", false, "Cup", somePanels(), st)
		if doc, _ := Lay(s); doc != nil && len(doc.Pages) == 2 {
			requireCard(t, s, doc)
			assert.NotContains(t, pageWords(doc.Pages[0]), "Move on when")
			assert.Contains(t, pageWords(doc.Pages[1]), "Move on when")
			assert.Len(t, one.Pages, 1)
			return
		}
	}
	assert.Fail(t, "no number of checkpoints took two faces")
}

// A step done only when something is seen stands in a frame.
func TestCardOnlyIf(t *testing.T) {
	st := lapStep()
	st.OnlyIf = "Only if a scratch still catches the nail"
	doc := layCard(t, cardOn("A5", true, "Cup", somePanels(), lapStep(), st))
	frames := 0
	for _, r := range doc.Pages[0].Runs {
		for _, it := range r.Items {
			if b, ok := it.(draw.Rect); ok && b.Fill == nil && b.Width > draw.MM(190) {
				frames++
			}
		}
	}
	assert.Equal(t, 1, frames)
}

// A draft has its frame and says so; the words keep clear of both.
func TestDraftCard(t *testing.T) {
	s := cardOn("A5", true, "Cup", somePanels(), lapStep(), lapStep())
	s.Draft, s.Approved = &sheet.Draft{Reason: "not approved, not for the bench", Short: "not approved"}, ""
	doc := layCard(t, s)
	in := hatchIn + hatchWide
	for _, p := range texts(doc.Pages[0]) {
		if words := bare(p.Text.Text); words == "DRAFT" && p.Size > draw.Pt(12) || strings.Contains(bare(s.Draft.Reason), words) && p.Ink == draw.White {
			continue
		}
		assert.Greaterf(t, p.left, in, "%q", p.Text.Text)
		assert.Less(t, p.right, doc.Width-in)
		assert.Greaterf(t, p.top, hatchIn+draw.MM(6), "%q stands on the tab", p.Text.Text)
		assert.Less(t, p.bottom, doc.Height-hatchIn-draw.MM(6))
	}
}

// The same card gives the same drawing.
func TestSameCardSameDrawing(t *testing.T) {
	lay := func() string { return Dump(layCard(t, cardOn("A5", true, "Cup", somePanels(), lapStep(), lapStep()))) }
	assert.Equal(t, lay(), lay())
	testkit.Golden(t, testkit.Data(t, "layout", "card.txt"), []byte(lay()))
}

// anyCardStep is a step with anything in it.
func anyCardStep() *rapid.Generator[sheet.CardStep] {
	words := func(t *rapid.T, name string) string {
		return strings.Join(rapid.SliceOfN(rapid.SampledFrom([]string{
			"raking", "lamp", "no", "island", "left", "µm", "grit", "mesh,", "Windschutzscheibenschleifmaschine", "felt", "–", "dome", "10\u00a0mm",
		}), 1, 14).Draw(t, name), " ")
	}
	maybe := func(t *rapid.T, name string, list ...string) string {
		return rapid.SampledFrom(append(list, "")).Draw(t, name)
	}
	return rapid.Custom(func(t *rapid.T) sheet.CardStep {
		st := sheet.CardStep{
			Title: text(words(t, "title")), Bench: maybe(t, "bench", "A", "W", "cold room"), OnlyIf: maybe(t, "only if", "Only if a line shows"),
			Surface: maybe(t, "surface", "base", "sprue, edges"), Grade: maybe(t, "grade", "2F", "120 mesh", "CAMI 400"),
			Machine: maybe(t, "machine", "LAP4", "by hand", "hand-held polisher 150 mm air"), Minutes: maybe(t, "minutes", "4", "24", "0.5"),
			Back: rapid.IntRange(0, 1).Draw(t, "back"),
		}
		if st.Minutes != "" {
			st.MinutesUnit = "min"
		}
		if st.Grade == "" {
			st.Instead = maybe(t, "instead", "mask dome", "urethane silicon carbide wheel")
		}
		if st.Machine != "" {
			if st.Speed = maybe(t, "speed", "75", "1400", "90–110"); st.Speed != "" {
				st.SpeedUnit = "rpm"
			}
		}
		for range rapid.IntRange(0, 5).Draw(t, "details") {
			st.Details = append(st.Details, words(t, "detail"))
		}
		for range rapid.IntRange(0, 2).Draw(t, "facts") {
			st.Facts = append(st.Facts, sheet.Labelled{Label: "Clean down:", Words: words(t, "fact")})
		}
		for range rapid.IntRange(0, 4).Draw(t, "checks") {
			st.Checks = append(st.Checks, sheet.CardCheck{Words: text(words(t, "check")), Stops: rapid.Bool().Draw(t, "stops"), Back: rapid.IntRange(0, 2).Draw(t, "own")})
		}
		for range rapid.IntRange(0, 2).Draw(t, "warnings") {
			st.Warnings = append(st.Warnings, sheet.Part{Kind: sheet.Warn, Signal: trade.Caution, Words: text(words(t, "warning"))})
		}
		return st
	})
}

// Whatever the steps say, on whatever paper: it is laid soundly or said not to
// fit.
func TestAnyCard(t *testing.T) {
	testkit.Long(t)
	long := "Kiln-cast bowl of lead crystal with a bright rim, a fine matte outside and an inside left as it came out of the mould twice"
	laid := 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.SampledFrom([]int{1, 2, 3, 6, 19, 60}).Draw(t, "steps")
		steps := make([]sheet.CardStep, n)
		for i := range steps {
			steps[i] = anyCardStep().Draw(t, "step")
		}
		paper := rapid.SampledFrom([]string{"A5", "A6", "A4", "half-letter", "4x6", "5x8", "Letter"}).Draw(t, "paper")
		s := cardOn(paper, rapid.Bool().Draw(t, "lies"), rapid.SampledFrom([]string{"Cup", long}).Draw(t, "title"), somePanels()[:rapid.IntRange(0, 3).Draw(t, "panels")], steps...)
		doc, found := Lay(s)
		if doc == nil {
			require.Len(t, found, 1)
			require.Equal(t, sheet.CardFitRule, found[0].Rule)
			return
		}
		laid++
		requireCard(t, s, doc)
	})
	assert.Positive(t, laid)
}

// Cards on one sheet keep clear of each other, each with its own cut line.
func TestImpose(t *testing.T) {
	a4, _ := sheet.FindPaper("A4")
	card := layCard(t, cardOn("A6", false, "Cup", nil, lapStep()))
	sheetOf := Impose([]*draw.Document{card, card, card, card, card}, a4)
	require.NotNil(t, sheetOf)
	// ISO 216: four A6 go on one A4.
	require.Len(t, sheetOf.Pages, 2)
	outlines := func(p draw.Page) int {
		n := 0
		for _, r := range p.Runs {
			for _, it := range r.Items {
				if path, ok := it.(draw.Path); ok && path.Stroke == cutLine && path.Fill == nil {
					n++
				}
			}
		}
		return n
	}
	assert.Equal(t, 4, outlines(sheetOf.Pages[0]))
	assert.Equal(t, 1, outlines(sheetOf.Pages[1]))
	for _, p := range texts(sheetOf.Pages[0]) {
		assert.True(t, p.left > 0 && p.right < sheetOf.Width && p.top > 0 && p.bottom < sheetOf.Height)
	}
	// Two 4 × 6 in cards leave room for marks on Letter; they stand off the cards.
	letterPaper, _ := sheet.FindPaper("Letter")
	card = layCard(t, cardOn("4x6", false, "Cup", nil, lapStep()))
	two := Impose([]*draw.Document{card, card}, letterPaper)
	require.Len(t, two.Pages, 1)
	marks := 0
	for _, r := range two.Pages[0].Runs {
		for _, it := range r.Items {
			if l, ok := it.(draw.Line); ok && l.Width == cutLine {
				marks++
			}
		}
	}
	assert.GreaterOrEqual(t, marks, 4)
	small, _ := sheet.FindPaper("A6")
	assert.Nil(t, Impose([]*draw.Document{layCard(t, cardOn("A5", true, "Cup", nil, lapStep()))}, small))
	for _, c := range []struct {
		card, paper string
		want        int
	}{{"A5", "A4", 2}, {"A6", "A4", 4}, {"half-letter", "Letter", 2}, {"5x8", "Letter", 2}, {"A4", "A4", 1}, {"A4", "Letter", 0}} {
		p, _ := sheet.FindPaper(c.card)
		on, _ := sheet.FindPaper(c.paper)
		got, _ := PerSheet(p.Width, p.Height, on)
		assert.Equalf(t, c.want, got, "%s on %s", c.card, c.paper)
	}
}
