// Package web writes what a sheet says as one page for a browser: a file that
// holds everything it needs, asks no network for anything and can be read
// without its script. The script only keeps the ticks on the device.
//
// The words are those of the sheet, in its order, and the drawings those layout
// puts on paper. Markup is in page.html, which html/template escapes.
package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"
	"sync"

	"coldwright/internal/draw"
	"coldwright/internal/layout"
	"coldwright/internal/prose"
	"coldwright/internal/sheet"
	"coldwright/internal/signs"
	"coldwright/internal/stamp"
	"coldwright/internal/trade"
)

//go:embed page.html steps.html training.html style.css script.js
var files embed.FS

// script keeps the ticks, style is the look of every page.
var script, style = embedded("script.js"), embedded("style.css")

func embedded(name string) string {
	text, err := files.ReadFile(name)
	if err != nil {
		panic(err)
	}
	return strings.TrimSpace(string(text))
}

// templates writes each block by the template of its name. It is made when it is
// first asked for: most commands write no page.
var templates = sync.OnceValue(func() *template.Template {
	t := template.New("")
	write := func(name string, data any) (template.HTML, error) {
		var out bytes.Buffer
		err := t.ExecuteTemplate(&out, name, data)
		return template.HTML(out.String()), err
	}
	t.Funcs(template.FuncMap{
		"part":  func(b block) (template.HTML, error) { return write(b.Name, b) },
		"nodes": func(list []node) (template.HTML, error) { return write("nodes", list) },
	})
	template.Must(t.ParseFS(files, "page.html", "steps.html", "training.html"))
	for _, one := range t.Templates() {
		// Written once, to nowhere, a template is escaped for good, so that
		// several pages can be written at once.
		_ = t.ExecuteTemplate(io.Discard, one.Name(), nil)
	}
	return t
})

// page is one page while it is written.
type page struct {
	*sheet.Sheet
	Blocks []block
	// Symbols are the drawings that are used in several places.
	Symbols []drawing
	Square  *drawing
	// Script, Style and Policy are the texts of those parts of the page.
	Script template.JS
	Style  template.CSS
	Policy string

	known               map[string]bool
	footnotes, anchored map[int]bool
	anchors             map[int]string
	glossary            []sheet.GlossaryWord
	// level is that of the last heading, ticks how many boxes there are.
	level, ticks int
	inLink       bool
}

// block is one part of the page: the template that writes it, and what it says.
type block struct {
	*page
	Name string
	Is   any
}

// Page is the sheet as a file of HTML. The same sheet gives the same bytes. It
// cannot fail but for a fault of the template.
func Page(s *sheet.Sheet) ([]byte, error) {
	p := &page{
		Sheet: s, known: map[string]bool{}, footnotes: map[int]bool{}, anchored: map[int]bool{}, anchors: map[int]string{}, level: 1,
	}
	for _, b := range s.Blocks {
		switch b := b.(type) {
		case sheet.Notes:
			for _, n := range b.Footnotes {
				p.footnotes[n.Index] = p.footnotes[n.Index] || len(n.Blocks)+len(n.Inlines) > 0
			}
		case sheet.StepInFull:
			p.anchors[b.Number] = anchor(b.Anchor, b.Number)
		case sheet.Glossary:
			p.glossary = b.Words
		}
	}
	p.marks()
	for _, b := range s.Blocks {
		if view := p.view(b); view != nil {
			p.Blocks = append(p.Blocks, *view)
		}
	}
	if s.Mark != "" {
		p.Square = square(stamp.Text(s.ID, s.Revision, s.Mark))
	}
	look := style + "\n" + p.signalStyle() + p.paperStyle()
	p.Script, p.Style = template.JS(script), template.CSS(look)
	p.Policy = fmt.Sprintf("default-src 'none'; img-src data:; style-src %s; script-src %s; base-uri 'none'; form-action 'none'", digest(look), digest(script))
	var out bytes.Buffer
	if err := templates().ExecuteTemplate(&out, "page", p); err != nil {
		return nil, fmt.Errorf("the page of %s: %w", s.ID, err)
	}
	return out.Bytes(), nil
}

// digest is a text as a Content-Security-Policy knows it again (CSP level 3,
// hash-source).
func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

func anchor(name string, number int) string {
	if name != "" {
		return name
	}
	return "step-" + strconv.Itoa(number)
}

// Say is a fixed phrase in the language of the sheet.
func (p *page) Say(english string, fill ...any) string { return p.Words.Say(english, fill...) }

// Language is that of the page.
func (p *page) Language() string {
	if p.Meta.Language == "" {
		return "en"
	}
	return p.Meta.Language
}

// Tagline is the house and what the page is.
func (p *page) Tagline() string { return joined(" · ", p.House, p.Kind) }

// Of is the recipe and its revision.
func (p *page) Of() string {
	if p.Revision == 0 {
		return p.ID
	}
	return joined(" · ", p.ID, p.Say("rev~%d", p.Revision))
}

// Since is from when the page holds, and which copy it is.
func (p *page) Since() string {
	switch {
	case p.Draft != nil && p.Effective == "":
		return joined(" · ", p.Say("no date"), p.Say("no copy no."))
	case p.Draft != nil:
		return joined(" · ", p.Say("for %s", p.Effective), p.Say("no copy no."))
	}
	since := p.Say("no date")
	if p.Effective != "" {
		since = p.Say("effective %s", p.Effective)
	}
	if p.Copy > 0 {
		return since + " · " + p.Say("copy~%d", p.Copy)
	}
	return since
}

// Approval says who approved the page.
func (p *page) Approval() string { return p.Say("approved: %s", p.Approved) }

// Feet are the guidance sentences.
func (p *page) Feet() []string {
	if p.Foot == "" {
		return nil
	}
	return strings.Split(p.Foot, "\n")
}

// Keywords are those of the file in one line.
func (p *page) Keywords() string { return strings.Join(p.Meta.Keywords, ", ") }

// OnCard says whether the page is a card.
func (p *page) OnCard() bool { return p.Card != nil }

// HasTicks says whether there is a box to tick.
func (p *page) HasTicks() bool { return p.ticks > 0 }

// Anchor is the link to a step that has a place of its own on the page.
func (p *page) Anchor(step int) string {
	if a := p.anchors[step]; a != "" {
		return "#" + a
	}
	return ""
}

// marks puts the drawings that stand before words among the symbols.
func (p *page) marks() {
	for id, f := range []layout.Figure{
		layout.Forward: layout.MarkFigure(layout.Forward), layout.Back: layout.MarkFigure(layout.Back), layout.Halt: layout.MarkFigure(layout.Halt),
		layout.Good: layout.MarkFigure(layout.Good), layout.Bad: layout.MarkFigure(layout.Bad),
	} {
		p.symbol([]string{"m-forward", "m-back", "m-halt", "m-good", "m-bad"}[id], f)
	}
	p.symbol("m-stop", layout.StopFigure())
}

func (p *page) symbol(id string, f layout.Figure) string {
	if !p.known[id] {
		p.known[id] = true
		d := figure(f)
		d.ID = id
		p.Symbols = append(p.Symbols, d)
	}
	return id
}

// signal is a signal word as it is shown.
type signal struct {
	// Class names its colours, Alert the triangle before it, empty for none.
	Class, Word, Alert string
}

func signalClass(s trade.Signal) string { return "on-" + strings.ToLower(s.String()) }

// signal is the word with its triangle, on a ground of its own colour or not.
func (p *page) signal(s trade.Signal, on bool) signal {
	s, look := layout.SignalOf(s)
	out := signal{Class: signalClass(s), Word: p.Say(s.String())}
	if look.Alert {
		out.Alert = "a-" + strings.ToLower(s.String())
		if on {
			out.Alert += "-panel"
		}
		p.symbol(out.Alert, layout.AlertFigure(s, on))
	}
	return out
}

// signOf is a safety sign; nil where there is no drawing.
func (p *page) signOf(code string) *drawing {
	if !signs.Has(code) {
		return nil
	}
	const side = 40
	id := p.symbol("s-"+code, layout.Figure{Width: draw.MM(side), Height: draw.MM(side), Items: signs.Draw(code, 0, 0, draw.MM(side))})
	return &drawing{ID: id, Alt: p.Say("%s (after ISO 7010 %s)", p.Say(signs.Meaning(code)), code)}
}

// signalStyle gives the signal words their colours, as on paper.
func (p *page) signalStyle() string {
	var b strings.Builder
	for s := trade.Notice; s <= trade.Danger; s++ {
		_, look := layout.SignalOf(s)
		fmt.Fprintf(&b, ".%s .strip{background:%s;color:%s}\n", signalClass(s), ink(look.Fill), ink(look.Text))
	}
	return b.String()
}

// paperStyle is the paper the page goes on when it is printed from the browser:
// that of the sheet; of a card, which is set larger here than on its own paper,
// A4 or Letter. Every face has the mark, the guidance and its number.
func (p *page) paperStyle() string {
	size := p.Page
	if p.OnCard() || size.Width < 120 || size.Height < 120 {
		size = sheet.PageSetup{Width: 210, Height: 297, Left: 14, Right: 12, Top: 11}
		if own, ok := sheet.FindPaper(p.Page.Paper); ok && !own.ISO() {
			size.Width, size.Height = 215.9, 279.4
		}
	}
	// The mark stays on one line.
	who := joined(" · ", p.Of(), strings.ReplaceAll(p.Mark.String(), "-", "\u2011"))
	head := ""
	if p.Draft != nil {
		// In black on white: a ground is often left out in print.
		size.Top = max(size.Top, 16)
		head = fmt.Sprintf(`@top-center{content:"%s";font:bold 11pt/1.2 sans-serif;border:1.5pt solid #000000;padding:1mm 4mm;margin:5mm 0 1mm}`+"\n",
			quotedCSS(joined(" · ", p.Say("DRAFT"), p.Draft.Reason)))
		who = joined(" · ", p.Say("DRAFT"), p.Draft.Short, who)
	}
	foot := strings.Join(p.Feet(), " ")
	if p.OnCard() {
		foot = p.Card.Guidance
	}
	if len(p.Standing) > 0 {
		who = joined(" · ", who, strings.Join(p.Standing, " · "))
	}
	return fmt.Sprintf(`@page{size:%gmm %gmm;margin:%gmm %gmm 20mm %gmm;
@bottom-left{content:"%s";font:7.5pt/1.25 sans-serif;text-align:left;vertical-align:top;padding-top:2mm;width:62%%}
@bottom-right{content:"%s" "  " counter(page) "/" counter(pages);font:bold 7.5pt/1.25 sans-serif;text-align:right;vertical-align:top;padding-top:2mm;width:38%%}
%s}
`, size.Width, size.Height, size.Top, size.Right, size.Left, quotedCSS(foot), quotedCSS(who), head)
}

// quotedCSS is a text within a string of CSS: what could end it is written as
// its code point.
func quotedCSS(s string) string {
	var b strings.Builder
	for _, r := range visible(s) {
		if r == ' ' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r > 0x9F {
			b.WriteRune(r)
			continue
		}
		// The space belongs to the code point, however many figures it has.
		fmt.Fprintf(&b, "\\%X ", r)
	}
	return b.String()
}

func joined(sep string, words ...string) string {
	var out []string
	for _, w := range words {
		if w != "" {
			out = append(out, w)
		}
	}
	return strings.Join(out, sep)
}

// heading gives a heading of the page itself its level.
func (p *page) heading(level int) { p.level = level }

// rich are blocks of prose below a heading of the given level.
func (p *page) rich(list []prose.Block, below int, from sheet.Pictures) []node {
	return p.blocks(list, below+1, from)
}
