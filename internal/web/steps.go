package web

import (
	"slices"
	"strings"

	"coldwright/internal/layout"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
)

// stepView is a step in full.
type stepView struct {
	Number         int
	ID             string
	Title          []node
	Surface, Bench string
	OnlyIf         string
	Settings       []sheet.Setting
	Groups         []group
	Lamp           *lampView
}

type lampView struct {
	Drawing drawing
	Words   string
}

// group is a stretch of a step that belongs together: orders with what belongs
// to each, the checkpoints with the words that head them, or one part alone.
type group struct {
	Kind  string
	Head  *part
	Items []partItem
}

// partItem is a part with those that belong to it.
type partItem struct {
	part
	More []part
}

// part is one line or paragraph of a step.
type part struct {
	Kind        string
	Mark, Label string
	Words       []node
	Blocks      []node
	Signal      signal
	Number      string
	StepTitle   string
	Href        string
	Tick        *tick
	// Lead is the fixed word before the words, Icon the mark before that.
	Lead, Icon string
}

// partNames are the templates that write the parts.
var partNames = map[sheet.PartKind]string{
	sheet.Words: "words", sheet.Order: "order", sheet.KeyPoint: "key point", sheet.Because: "because", sheet.Warn: "warn",
	sheet.State: "state", sheet.MoveOn: "move on", sheet.Check: "check", sheet.Method: "method", sheet.Right: "right",
	sheet.Wrong: "wrong", sheet.GoBack: "go back", sheet.StopHere: "stop here", sheet.Label: "label", sheet.Shown: "shown",
}

func (p *page) step(s sheet.StepInFull) stepView {
	p.heading(2)
	v := stepView{
		Number: s.Number, ID: anchor(s.Anchor, s.Number), Title: p.inlines(s.Title, nil),
		Surface: s.Surface, Bench: s.Bench, OnlyIf: s.OnlyIf,
	}
	set := s.Settings
	for _, one := range []sheet.Setting{set.Abrasive, set.Minutes, set.Speed, set.Water, set.Medium} {
		if one != (sheet.Setting{}) {
			v.Settings = append(v.Settings, one)
		}
	}
	for _, one := range s.Parts {
		v.add(p.part(one, s.Pictures))
	}
	if s.Lamp != nil {
		d := figure(layout.LampFigure(*s.Lamp))
		d.Alt = s.Lamp.Alt
		v.Lamp = &lampView{d, s.Lamp.Words}
	}
	return v
}

// add puts a part where it belongs.
func (v *stepView) add(one part) {
	last := len(v.Groups) - 1
	in := func(kind string) *group {
		if last < 0 || v.Groups[last].Kind != kind {
			v.Groups = append(v.Groups, group{Kind: kind})
			last++
		}
		return &v.Groups[last]
	}
	switch one.Kind {
	case "order":
		g := in("orders")
		g.Items = append(g.Items, partItem{part: one})
	case "key point", "because":
		if last >= 0 && v.Groups[last].Kind == "orders" {
			at := &v.Groups[last].Items[len(v.Groups[last].Items)-1]
			at.More = append(at.More, one)
			return
		}
		v.Groups = append(v.Groups, group{Kind: "single", Items: []partItem{{part: one}}})
	case "move on":
		g := in("gate")
		if g.Head != nil || len(g.Items) > 0 {
			v.Groups = append(v.Groups, group{Kind: "gate"})
			g = &v.Groups[len(v.Groups)-1]
		}
		g.Head = &one
	case "check", "stop here", "go back":
		g := in("gate")
		g.Items = append(g.Items, partItem{part: one})
	case "method", "right", "wrong", "own way back":
		g := in("gate")
		if n := len(g.Items); n > 0 {
			g.Items[n-1].More = append(g.Items[n-1].More, one)
			return
		}
		g.Items = append(g.Items, partItem{part: one})
	default:
		v.Groups = append(v.Groups, group{Kind: "single", Items: []partItem{{part: one}}})
	}
}

func (p *page) part(s sheet.Part, from sheet.Pictures) part {
	one := part{Kind: partNames[s.Kind], Mark: s.Mark, Label: s.Label, StepTitle: s.StepTitle, Number: number(s.Step)}
	if s.Step > 0 {
		one.Href = p.Anchor(s.Step)
	}
	if s.Kind == sheet.GoBack && s.Own {
		one.Kind = "own way back"
	}
	var pictures []prose.Inline
	one.Words = p.inlines(s.Words, &pictures)
	switch s.Kind {
	case sheet.Warn:
		one.Signal = p.signal(s.Signal, false)
		one.Words = p.inlines(apart(s.Words), &pictures)
	case sheet.Check:
		one.Tick = p.newTick(false)
	case sheet.KeyPoint:
		one.Lead = p.Say("Key point")
	case sheet.Because:
		one.Lead = p.Say("because")
	case sheet.Method:
		one.Lead = p.Say("How:")
	case sheet.Right:
		one.Lead, one.Icon = p.Say("Right"), "m-good"
	case sheet.Wrong:
		one.Lead, one.Icon = p.Say("Wrong"), "m-bad"
	case sheet.Shown:
		if s.Picture != nil {
			one.Blocks = append(one.Blocks, p.picture(*s.Picture, plain(s.Picture.Caption)))
		}
	}
	for _, pic := range pictures {
		one.Blocks = append(one.Blocks, p.inlinePicture(pic, from))
	}
	one.Blocks = append(one.Blocks, p.blocks(s.Blocks, 3, from)...)
	return one
}

// apart gives each of several cautions a line of its own.
func apart(words []prose.Inline) []prose.Inline {
	words = slices.Clone(words)
	for i := range words {
		if words[i].Kind == prose.Text && words[i].Text == sheet.Apart {
			words[i] = prose.Inline{Kind: prose.Break}
		}
	}
	return words
}

// cardView are the steps of a card.
type cardView struct {
	Shared []sheet.Labelled
	Steps  []cardStep
}

type cardStep struct {
	sheet.CardStep
	ID       string
	Title    []node
	Checks   []cardCheck
	Warnings []part
	Back     cardBack
	Details  string
}

type cardCheck struct {
	Words []node
	Stops bool
	Tick  *tick
	Back  cardBack
}

// cardBack is where to go back to: a step, or words where no step is meant.
type cardBack struct{ Number, Href, Words string }

func (p *page) cardSteps(c sheet.CardSteps) cardView {
	for _, s := range c.Steps {
		p.anchors[s.Number] = anchor("", s.Number)
	}
	v := cardView{Shared: c.Shared}
	for _, s := range c.Steps {
		p.heading(2)
		one := cardStep{CardStep: s, ID: anchor("", s.Number), Title: p.inlines(s.Title, nil), Details: strings.Join(s.Details, ", ")}
		one.Back = p.cardBack(s.Back, s.BackTitle, s.BackWords)
		if s.Back == s.Number && len(c.Steps) == 1 {
			one.Back.Words = joined(" ", p.Say("and repeat"), one.Back.Words)
		}
		for _, k := range s.Checks {
			check := cardCheck{Words: p.inlines(k.Words, nil), Stops: k.Stops, Back: p.cardBack(k.Back, k.BackTitle, k.BackWords)}
			if !k.Stops {
				check.Tick = p.newTick(false)
			}
			one.Checks = append(one.Checks, check)
		}
		for _, w := range s.Warnings {
			w.Kind = sheet.Warn
			one.Warnings = append(one.Warnings, p.part(w, nil))
		}
		v.Steps = append(v.Steps, one)
	}
	return v
}

func (p *page) cardBack(step int, title, words string) cardBack {
	b := cardBack{Number: number(step), Words: joined(" ", title, words)}
	if step > 0 {
		b.Href = p.Anchor(step)
	}
	return b
}
