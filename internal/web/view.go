package web

import (
	"strconv"
	"strings"

	"coldwright/internal/layout"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
)

// view is a block of the sheet as its template takes it; nil for one that says
// nothing here.
func (p *page) view(b sheet.Block) *block {
	of := func(name string, is any) *block { return &block{p, name, is} }
	switch b := b.(type) {
	case sheet.Purpose:
		return of("purpose", p.rich(b.Blocks, 1, b.Pictures))
	case sheet.SurfaceTable:
		return of("surfaces", b.Rows)
	case sheet.Piece:
		if b.Words != "" {
			return of("piece", b.Words)
		}
	case sheet.Stop:
		if b.Words != "" {
			return of("stop", b.Words)
		}
	case sheet.Cautions:
		return of("cautions", p.cautions(b))
	case sheet.Places:
		return of("places", p.rich(b.Prose(), 1, nil))
	case sheet.StepTable:
		return of("step table", p.stepTable(b))
	case sheet.Ladder:
		return of("ladder", p.ladder(b))
	case sheet.StepInFull:
		return of("step", p.step(b))
	case sheet.Amounts:
		p.heading(2)
		return of("amounts", b.Rows)
	case sheet.Changes:
		p.heading(2)
		return of("changes", b)
	case sheet.Notes:
		return of("notes", p.notes(b))
	case sheet.SignOff:
		return of("sign off", b.Lines)
	case sheet.CautionPanels:
		return of("caution panels", p.panels(b))
	case sheet.CardSteps:
		return of("card steps", p.cardSteps(b))
	case sheet.Learner:
		return of("learner", b)
	case sheet.Aim:
		return of("aim", b)
	case sheet.TrainingStep:
		return of("training step", p.trainingStep(b))
	case sheet.Glossary:
		// The words stand at the steps that use them; those of no step here.
		if rest := p.unplaced(b); len(rest) > 0 {
			return of("glossary", rest)
		}
	}
	return nil
}

// caution is one caution: a panel or a line.
type caution struct {
	Signal signal
	Title  string
	Words  string
	// Second are the words in the language beside the house's.
	Second string
	Rich   []node
	Sign   *drawing
}

type cautions struct{ Panels, Lines []caution }

func (p *page) cautions(c sheet.Cautions) cautions {
	var out cautions
	for _, n := range c.Panels {
		out.Panels = append(out.Panels, p.caution(n, true))
	}
	for _, n := range c.Lines {
		line := p.caution(n, false)
		if line.Title != "" && !strings.ContainsRune(".!?:", rune(line.Title[len(line.Title)-1])) {
			// The title is a name, so a full stop parts it from the words.
			line.Title += "."
		}
		out.Lines = append(out.Lines, line)
	}
	return out
}

func (p *page) caution(n sheet.CautionNote, on bool) caution {
	return caution{
		Signal: p.signal(n.Signal, on), Title: n.Title, Words: n.Words, Second: n.Second, Sign: p.signOf(n.Sign), Rich: p.blocks(n.Rich, inside, nil),
	}
}

// panel is a panel of a card: every caution of one signal word.
type panel struct {
	Signal signal
	Notes  []caution
}

func (p *page) panels(c sheet.CautionPanels) []panel {
	var out []panel
	for _, one := range c.Panels {
		v := panel{Signal: p.signal(one.Signal, true)}
		for _, n := range one.Notes {
			v.Notes = append(v.Notes, p.caution(n, true))
		}
		out = append(out, v)
	}
	return out
}

// tableView is the table of all steps with the columns that say something.
type tableView struct {
	Heads []string
	Rows  []tableRow
	Total sheet.StepTotal
	// Before is how many columns the words of the total span, After how many stand behind its minutes.
	Before, After int
}

type tableRow struct {
	Number     int
	Href       string
	Do, OnlyIf string
	Cells      []tableCell
}

// tableCell is a large word with its unit and the small words below it.
type tableCell struct{ Head, Big, Unit, Small string }

func (p *page) stepTable(t sheet.StepTable) tableView {
	columns := []struct {
		head string
		cell func(r sheet.StepRow) tableCell
	}{
		{p.Say("Surface"), func(r sheet.StepRow) tableCell { return tableCell{Small: r.Surface} }},
		{p.Say("Abrasive"), func(r sheet.StepRow) tableCell { return tableCell{Big: r.Grade, Small: r.Abrasive} }},
		{p.Say("Medium"), func(r sheet.StepRow) tableCell { return tableCell{Small: r.Medium} }},
		{p.Say("Machine, speed"), func(r sheet.StepRow) tableCell { return tableCell{Big: r.Speed, Unit: r.SpeedUnit, Small: r.Machine} }},
		{p.Say("Water, mix"), func(r sheet.StepRow) tableCell { return tableCell{Big: r.Water, Small: r.Mix} }},
		{p.Say("min"), func(r sheet.StepRow) tableCell { return tableCell{Big: r.Minutes, Small: r.Alone} }},
		{p.Say("bench"), func(r sheet.StepRow) tableCell { return tableCell{Big: r.Bench} }},
	}
	const minutes = 5
	v := tableView{Total: t.Total, Before: 1}
	for _, r := range t.Rows {
		v.Rows = append(v.Rows, tableRow{Number: r.Number, Href: p.Anchor(r.Number), Do: r.Do, OnlyIf: r.OnlyIf})
	}
	for k, c := range columns {
		says := k == minutes
		for _, r := range t.Rows {
			says = says || c.cell(r) != tableCell{}
		}
		if !says {
			continue
		}
		v.Heads = append(v.Heads, c.head)
		switch {
		case k < minutes:
			v.Before++
		case k > minutes:
			v.After++
		}
		for i, r := range t.Rows {
			one := c.cell(r)
			one.Head = c.head
			v.Rows[i].Cells = append(v.Rows[i].Cells, one)
		}
	}
	return v
}

// ladderView is the chart of a surface.
type ladderView struct {
	sheet.Ladder
	Rungs                []rung
	Arrives, Taken, Left drawing
	Axis                 drawing
}

type rung struct {
	sheet.LadderRow
	Chart drawing
}

func (p *page) ladder(l sheet.Ladder) ladderView {
	p.heading(2)
	v := ladderView{
		Ladder: l, Axis: figure(layout.LadderAxisFigure(p.Sheet)),
		Arrives: figure(layout.LadderKeyFigure(layout.KeyArrives)), Taken: figure(layout.LadderKeyFigure(layout.KeyTaken)), Left: figure(layout.LadderKeyFigure(layout.KeyLeft)),
	}
	for _, r := range l.Rows {
		chart := figure(layout.LadderRowFigure(r))
		chart.Alt = r.Alt
		v.Rungs = append(v.Rungs, rung{r, chart})
	}
	return v
}

// notesView are the closing notes; Headed where the author heads them.
type notesView struct {
	Headed          bool
	Blocks, Endings []node
}

func (p *page) notes(n sheet.Notes) notesView {
	v := notesView{Headed: len(n.Blocks) == 0 || n.Blocks[0].Kind == prose.Heading}
	if !v.Headed {
		p.heading(2)
	}
	p.level = min(p.level, 2)
	v.Blocks = p.rich(n.Blocks, 1, n.Pictures)
	v.Endings = p.rich(n.Footnotes, 2, n.Pictures)
	return v
}

// trainingView is a step as it is taught.
type trainingView struct {
	Number        int
	ID            string
	Title         []node
	OnlyIf, Setup string
	Points        []pointView
	Checks        []checkView
	Boxes         []string
	Words         []sheet.GlossaryWord
}

type pointView struct {
	Signal             *signal
	Words, Key, Reason []node
	Blocks             []node
	Whole              bool
}

type checkView struct {
	Label        string
	Right, Wrong [][]node
	Stops        bool
}

func (p *page) trainingStep(s sheet.TrainingStep) trainingView {
	p.heading(2)
	v := trainingView{Number: s.Number, Title: p.inlines(s.Title, nil), OnlyIf: s.OnlyIf, Setup: s.Setup, Boxes: s.Boxes}
	if s.Number > 0 {
		v.ID = anchor(s.Anchor, s.Number)
	}
	for _, one := range s.Points {
		var pictures []prose.Inline
		point := pointView{Words: p.inlines(one.Words, &pictures), Key: p.inlines(one.Key, &pictures), Reason: p.inlines(one.Reason, &pictures), Whole: one.Whole}
		if one.Signal > 0 {
			word := p.signal(one.Signal, false)
			point.Signal = &word
		}
		if one.Picture != nil {
			point.Whole = true
			point.Blocks = append(point.Blocks, p.picture(*one.Picture, plain(one.Picture.Caption)))
		}
		for _, pic := range pictures {
			point.Blocks = append(point.Blocks, p.inlinePicture(pic, s.Pictures))
		}
		point.Blocks = append(point.Blocks, p.blocks(one.Blocks, inside, s.Pictures)...)
		v.Points = append(v.Points, point)
	}
	lines := func(of [][]prose.Inline) (out [][]node) {
		for _, words := range of {
			if strings.TrimSpace(prose.Words(words)) != "" {
				out = append(out, p.inlines(words, nil))
			}
		}
		return out
	}
	for _, c := range s.Checks {
		v.Checks = append(v.Checks, checkView{Label: c.Label, Right: lines(c.Right), Wrong: lines(c.Wrong), Stops: c.Stops})
	}
	for _, w := range p.glossary {
		if w.Step == s.Number {
			v.Words = append(v.Words, w)
		}
	}
	return v
}

// unplaced are the words of no step of the page.
func (p *page) unplaced(g sheet.Glossary) []sheet.GlossaryWord {
	has := map[int]bool{}
	for _, b := range p.Sheet.Blocks {
		if s, ok := b.(sheet.TrainingStep); ok {
			has[s.Number] = true
		}
	}
	var rest []sheet.GlossaryWord
	for _, w := range g.Words {
		if !has[w.Step] {
			rest = append(rest, w)
		}
	}
	return rest
}

// number is a number of a step in words, "" for none.
func number(n int) string {
	if n <= 0 {
		return ""
	}
	return strconv.Itoa(n)
}
