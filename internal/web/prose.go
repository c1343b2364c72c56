package web

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"coldwright/internal/prose"
	"coldwright/internal/sheet"
)

// node is a stretch of an author's prose as the template writes it: what it is
// and what it holds.
type node struct {
	Kind string
	Text string
	// Href is where a link leads, ID what one leads to.
	Href, ID string
	// Level of a heading, Start of a list, Side of a cell.
	Level, Start int
	Side         string
	Kids         []node
	Picture      *shown
	Tick         *tick
}

// tick is a box to tick.
type tick struct {
	ID      string
	Checked bool
}

// shown is a picture with its words.
type shown struct {
	Source        source
	Width, Height int
	Alt           string
	Caption       []node
}

// newTick is the next box of the page. The boxes are counted, so that one sheet
// gives each the same name every time.
func (p *page) newTick(checked bool) *tick {
	p.ticks++
	return &tick{ID: "tick-" + strconv.Itoa(p.ticks), Checked: checked}
}

// plain is fixed or plain text.
func plain(text string) []node {
	if text == "" {
		return nil
	}
	return []node{{Kind: "text", Text: visible(text)}}
}

// visible is a text with every character that would draw nothing but do
// something written as its code point, as on paper: controls, which a page of
// HTML may not hold, and those that turn the direction of writing.
func visible(s string) string {
	clean := true
	for _, r := range s {
		if hidden(r) {
			clean = false
			break
		}
	}
	if clean {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if hidden(r) {
			fmt.Fprintf(&b, "U+%04X", r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

func hidden(r rune) bool {
	switch {
	case r == '\n' || r == '\t' || r == '\r':
		return false
	case unicode.IsControl(r), r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069:
		return true
	}
	// What Unicode will never make a character.
	return r&0xFFFE == 0xFFFE || r >= 0xFDD0 && r <= 0xFDEF
}

// inlines are the author's words. Pictures are taken out and returned in order.
func (p *page) inlines(in []prose.Inline, pictures *[]prose.Inline) []node {
	var out []node
	add := func(kind string, kids []node) { out = append(out, node{Kind: kind, Kids: kids}) }
	for _, n := range in {
		switch n.Kind {
		case prose.Text, prose.Raw:
			out = append(out, plain(n.Text)...)
		case prose.Code:
			out = append(out, node{Kind: "code", Text: visible(n.Text)})
		case prose.Soft:
			out = append(out, node{Kind: "text", Text: " "})
		case prose.Break:
			add("break", nil)
		case prose.Emphasis:
			add("em", p.inlines(n.Children, pictures))
		case prose.Strong:
			add("strong", p.inlines(n.Children, pictures))
		case prose.Strike:
			add("strike", p.inlines(n.Children, pictures))
		case prose.Link:
			out = append(out, p.link(n, pictures)...)
		case prose.Footnote:
			mark := node{Kind: "footnote", Text: strconv.Itoa(n.Index)}
			if p.footnotes[n.Index] {
				mark.Href = "#" + footnoteID(n.Index)
			}
			out = append(out, mark)
		case prose.Image:
			if pictures != nil {
				*pictures = append(*pictures, n)
				continue
			}
			add("em", p.inlines(n.Children, nil))
		}
	}
	return out
}

func footnoteID(index int) string { return "footnote-" + strconv.Itoa(index) }

// link is a link a reader can follow, or the words with where it leads behind
// them: files of the house are not with the page, and what is no address of the
// web or of mail is nothing to press on.
func (p *page) link(n prose.Inline, pictures *[]prose.Inline) []node {
	said := strings.TrimSpace(prose.Words(n.Children))
	if followed(n.Target) && !p.inLink {
		p.inLink = true
		words := p.inlines(n.Children, pictures)
		p.inLink = false
		if said == "" {
			words = append(words, plain(n.Target)...)
		}
		return []node{{Kind: "link", Href: escaped(n.Target), Kids: words}}
	}
	words := p.inlines(n.Children, pictures)
	if n.Target != "" && n.Target[0] != '#' && n.Target != said {
		words = append(words, plain(" ("+n.Target+")")...)
	}
	return words
}

// followed are the addresses a page of the shop may lead to.
func followed(target string) bool {
	for _, scheme := range []string{"http://", "https://", "mailto:"} {
		if len(target) > len(scheme) && strings.EqualFold(target[:len(scheme)], scheme) {
			return true
		}
	}
	return false
}

// escaped is an address with the brackets behind its host written as RFC 3986,
// 3.4, wants them.
func escaped(target string) string {
	_, rest, _ := strings.Cut(target, "//")
	at := strings.IndexAny(rest, "/?#")
	if at < 0 {
		return target
	}
	at += len(target) - len(rest)
	return target[:at] + strings.NewReplacer("[", "%5B", "]", "%5D").Replace(target[at:])
}

// words are a paragraph and the pictures that stand in it, below it.
func (p *page) words(in []prose.Inline, kind string, from sheet.Pictures) []node {
	var pictures []prose.Inline
	var out []node
	if kids := p.inlines(in, &pictures); len(kids) > 0 && (len(pictures) == 0 || strings.TrimSpace(said(kids)) != "") {
		out = append(out, node{Kind: kind, Kids: kids})
	}
	for _, n := range pictures {
		out = append(out, p.inlinePicture(n, from))
	}
	return out
}

// said are the words of nodes.
func said(list []node) string {
	var b strings.Builder
	for _, n := range list {
		b.WriteString(n.Text)
		b.WriteString(said(n.Kids))
	}
	return b.String()
}

func (p *page) inlinePicture(n prose.Inline, from sheet.Pictures) node {
	shows := prose.Words(n.Children)
	caption := p.inlines(n.Children, nil)
	img := from[n.Target]
	if n.Title != "" {
		more := caption
		caption = plain(n.Title)
		if img == nil && len(more) > 0 {
			caption = append(append(caption, plain(" – ")...), more...)
		}
	}
	return p.picture(sheet.Picture{Target: n.Target, Alt: shows, Image: img}, caption)
}

// picture is one with its caption; one that could not be had is named.
func (p *page) picture(pic sheet.Picture, caption []node) node {
	src, ok := sourceOf(pic.Image)
	if !ok {
		lost := []node{{Kind: "strong", Kids: plain(p.Say("Picture") + " ")}}
		lost = append(lost, caption...)
		return node{Kind: "p", Kids: append(lost, plain(" ("+pic.Target+")")...)}
	}
	alt := strings.TrimSpace(visible(pic.Alt))
	for _, other := range []string{said(caption), pic.Target} {
		if alt == "" {
			alt = strings.TrimSpace(visible(other))
		}
	}
	return node{Kind: "picture", Picture: &shown{
		Source: src, Width: pic.Image.Width, Height: pic.Image.Height, Alt: alt, Caption: caption,
	}}
}

// blocks are prose. Headings in it are as deep as base at least, and none
// skips a level.
func (p *page) blocks(list []prose.Block, base int, from sheet.Pictures) []node {
	var out []node
	for i := range list {
		out = append(out, p.block(&list[i], base, from)...)
	}
	return out
}

func (p *page) block(b *prose.Block, base int, from sheet.Pictures) []node {
	switch b.Kind {
	case prose.Paragraph:
		return p.words(b.Inlines, "p", from)
	case prose.Heading:
		if base > deepest {
			return p.words(b.Inlines, "lead", from)
		}
		nodes := p.words(b.Inlines, "heading", from)
		if len(nodes) > 0 && nodes[0].Kind == "heading" {
			p.level = min(max(base, base+b.Level-1), p.level+1, deepest)
			nodes[0].Level = p.level
		}
		return nodes
	case prose.List:
		list := node{Kind: "list", Start: b.Start}
		if b.Ordered {
			list.Kind = "numbers"
		}
		for i := range b.Blocks {
			list.Kids = append(list.Kids, p.item(&b.Blocks[i], from))
		}
		return []node{list}
	case prose.Item:
		return []node{{Kind: "list", Kids: []node{p.item(b, from)}}}
	case prose.Quote:
		kids := p.blocks(b.Blocks, inside, from)
		return []node{{Kind: "quote", Kids: append(kids, p.words(b.Inlines, "p", from)...)}}
	case prose.CodeBlock:
		return []node{{Kind: "pre", Text: visible(strings.TrimRight(b.Text, "\r\n"))}}
	case prose.RawBlock:
		return []node{{Kind: "raw", Text: visible(strings.TrimRight(b.Text, "\r\n"))}}
	case prose.Table:
		return []node{p.table(b)}
	case prose.Rule:
		return []node{{Kind: "rule"}}
	case prose.FootnoteText:
		note := node{Kind: "note", Text: strconv.Itoa(b.Index)}
		if !p.anchored[b.Index] {
			p.anchored[b.Index] = true
			note.ID = footnoteID(b.Index)
		}
		note.Kids = append(p.words(b.Inlines, "p", from), p.blocks(b.Blocks, inside, from)...)
		return []node{note}
	}
	return nil
}

// deepest is the deepest heading HTML knows. Within lists, quotes and notes a
// heading is words in bold: it heads nothing of the page.
const deepest, inside = 6, 7

func (p *page) item(b *prose.Block, from sheet.Pictures) node {
	it := node{Kind: "item"}
	if b.Task != "" {
		it.Kind, it.Tick = "task", p.newTick(b.Task != " ")
	}
	inlines, rest := b.Inlines, b.Blocks
	if len(inlines) == 0 && len(rest) > 0 && rest[0].Kind == prose.Paragraph {
		inlines, rest = rest[0].Inlines, rest[1:]
	}
	first := p.words(inlines, "words", from)
	if it.Kind == "task" && (len(first) == 0 || first[0].Kind != "words") {
		// A box needs words to be called by.
		first = append([]node{{Kind: "words", Kids: plain("–")}}, first...)
	}
	it.Kids = append(first, p.blocks(rest, inside, from)...)
	return it
}

var sides = map[prose.Align]string{prose.Centre: "centre", prose.Right: "right"}

func (p *page) table(b *prose.Block) node {
	heads, rows := node{Kind: "heads"}, node{Kind: "rows"}
	for i, row := range b.Rows {
		r := node{Kind: "row"}
		for k, cell := range row {
			c := node{Kind: "cell", Kids: p.inlines(cell, nil)}
			if i == 0 && strings.TrimSpace(said(c.Kids)) != "" {
				// A head without words heads nothing.
				c.Kind = "head"
			}
			if k < len(b.Aligns) {
				c.Side = sides[b.Aligns[k]]
			}
			r.Kids = append(r.Kids, c)
		}
		if i == 0 {
			heads.Kids = append(heads.Kids, r)
		} else {
			rows.Kids = append(rows.Kids, r)
		}
	}
	t := node{Kind: "table", Kids: []node{heads}}
	if len(rows.Kids) > 0 {
		t.Kids = append(t.Kids, rows)
	}
	return t
}
