package pdf

import (
	"errors"
	"fmt"
	"io"
	"strconv"

	"coldwright/internal/draw"
	"coldwright/internal/typeface"
)

// binder puts the parts of a document into a file.
type binder struct {
	*file
	doc  *draw.Document
	many bool // of several parts

	// Objects that others name before they can be written.
	pagesRoot, structure, document int

	pages    []int // their objects
	fonts    [len(typeface.Styles)]fontUse
	fontAt   [len(typeface.Styles)]int
	pictured map[string]int // Image.Key to its object
	anchors  map[string]place
	links    []placedLink
	// parts are the elements of the parts in the structure, where there are
	// many; ways lead from each page back into the structure.
	parts []int
	ways  []int
}

// placedLink is a link with the object it will be.
type placedLink struct {
	link
	number int
}

func newBinder(to io.Writer, doc *draw.Document, many bool) *binder {
	b := &binder{file: newFile(to), doc: doc, many: many, pictured: map[string]int{}, anchors: map[string]place{}}
	b.pagesRoot, b.structure, b.document = b.reserve(), b.reserve(), b.reserve()
	return b
}

// take takes the next part on.
func (b *binder) take(part *drawn) error {
	first := len(b.pages)
	if part.err != nil {
		return fmt.Errorf("page %d: %w", first+part.failed+1, part.err)
	}
	for _, a := range part.anchors {
		a.page += first
		if _, twice := b.anchors[a.name]; twice {
			return fmt.Errorf("page %d: two places are named %q", a.page+1, a.name)
		}
		b.anchors[a.name] = a.place
	}
	for range part.contents {
		b.pages = append(b.pages, b.reserve())
	}
	b.putPages(part, first, b.putResources(part))
	b.putStructure(part, first)
	return nil
}

// putResources writes what the pages of a part draw with: each picture once in
// a file, numbered on the pages in the order they are first drawn there. The
// faces follow when it is known what is used of them.
func (b *binder) putResources(part *drawn) int {
	out := []byte("<<")
	for i := range part.fonts {
		use := &part.fonts[i]
		if use.face == nil {
			continue
		}
		if b.fontAt[i] == 0 {
			b.fontAt[i] = b.reserve()
		}
		b.fonts[i].join(use)
		if len(out) == 2 {
			out = append(out, "/Font<<"...)
		}
		out = fmt.Appendf(out, "%s %d 0 R", fontName(draw.Style(i)), b.fontAt[i])
	}
	if len(out) > 2 {
		out = append(out, ">>"...)
	}
	if len(part.pictures) > 0 {
		out = append(out, "/XObject<<"...)
		for i, img := range part.pictures {
			n := b.pictured[img.Key]
			if n == 0 {
				n = b.add(imageObject(img))
				b.pictured[img.Key] = n
			}
			out = fmt.Appendf(out, "/Im%d %d 0 R", i, n)
		}
		out = append(out, ">>"...)
	}
	return b.add(append(out, ">>"...))
}

// putPages writes the pages of a part, each with its links and its place in the
// structure.
func (b *binder) putPages(part *drawn, first, resources int) {
	box := append([]byte("/MediaBox[0 0 "), appendUnit(nil, b.doc.Width)...)
	box = append(append(append(box, ' '), appendUnit(nil, b.doc.Height)...), ']')
	links := part.links
	for i, content := range part.contents {
		at := b.add(streamObject([]byte("/Filter/FlateDecode"), content))
		page := fmt.Appendf(nil, "<</Type/Page/Parent %d 0 R/Resources %d 0 R/Contents %d 0 R", b.pagesRoot, resources, at)
		page = append(page, box...)
		if part.marked[i] > 0 {
			page = fmt.Appendf(page, "/StructParents %d", first+i)
		}
		// The tab key follows the structure.
		page = append(page, "/Tabs/S"...)
		own := 0
		for own < len(links) && links[own].page == i {
			own++
		}
		if own > 0 {
			page = append(page, "/Annots["...)
			for _, l := range links[:own] {
				l.page += first
				n := b.reserve()
				b.links = append(b.links, placedLink{l, n})
				page = fmt.Appendf(page, "%d 0 R ", n)
			}
			page = append(page, ']')
			links = links[own:]
		}
		b.put(b.pages[first+i], append(page, ">>"...))
	}
}

// finish writes what is only known when all parts are there.
func (b *binder) finish() error {
	if len(b.pages) == 0 {
		return errors.New("the document has no page")
	}
	kids := []byte("<</Type/Pages/Kids[")
	for _, n := range b.pages {
		kids = fmt.Appendf(kids, "%d 0 R ", n)
	}
	b.put(b.pagesRoot, fmt.Appendf(kids, "]/Count %d>>", len(b.pages)))
	for _, l := range b.links {
		note, err := b.linkObject(l.link)
		if err != nil {
			return fmt.Errorf("page %d: %w", l.page+1, err)
		}
		b.put(l.number, note)
	}
	if err := b.putFonts(); err != nil {
		return err
	}
	outlines, err := b.putOutlines()
	if err != nil {
		return err
	}
	b.putStructureRoot()
	meta, err := newMetadata(b.doc)
	if err != nil {
		return err
	}
	xmp := b.add(streamObject([]byte("/Type/Metadata/Subtype/XML"), meta.xmp()))
	profile := b.add(streamObject([]byte("/N 3/Filter/FlateDecode"), deflate(sRGB)))
	info := b.add(meta.info())

	c := fmt.Appendf(nil, "<</Type/Catalog/Pages %d 0 R/Metadata %d 0 R", b.pagesRoot, xmp)
	if meta.language != "" {
		c = append(append(c, "/Lang"...), textString(meta.language)...)
	}
	c = fmt.Appendf(c, "/OutputIntents[<</Type/OutputIntent/S/GTS_PDFA1/OutputConditionIdentifier(sRGB)"+
		"/Info(sRGB)/DestOutputProfile %d 0 R>>]", profile)
	if outlines != 0 {
		c = fmt.Appendf(c, "/Outlines %d 0 R/PageMode/UseOutlines", outlines)
	}
	c = append(c, "/PageLabels<</Nums[0<</S/D>>]>>"...)
	// Scaled to fit, measures on a sheet would no longer be true.
	c = append(c, "/ViewerPreferences<</DisplayDocTitle true/PrintScaling/None>>"...)
	c = fmt.Appendf(c, "/MarkInfo<</Marked true>>/StructTreeRoot %d 0 R>>", b.structure)
	return b.end(b.add(c), info)
}

// linkObject is a link annotation. The flag says it prints, as PDF/A-1b asks
// of every annotation (ISO 19005-1, 6.5.3); it has nothing to print.
func (b *binder) linkObject(l link) ([]byte, error) {
	out := []byte("<</Type/Annot/Subtype/Link/Border[0 0 0]/F 4/Rect[")
	for i, u := range [...]draw.Unit{l.left, b.doc.Height - l.bottom, l.right, b.doc.Height - l.top} {
		if i > 0 {
			out = append(out, ' ')
		}
		out = appendUnit(out, u)
	}
	out = append(out, ']')
	if l.target[0] == '#' {
		to, ok := b.anchors[l.target[1:]]
		if !ok {
			return nil, fmt.Errorf("a link leads to %q, and no page has a place of that name", l.target)
		}
		return append(b.appendDest(out, to), ">>"...), nil
	}
	out = append(out, "/A<</S/URI/URI"...)
	out = append(out, literal([]byte(address(l.target)))...)
	return append(out, ">>>>"...), nil
}

// appendDest writes where a link or bookmark leads: a place at the top left of
// the window, at whatever scale the reader has set.
func (b *binder) appendDest(out []byte, to place) []byte {
	out = append(out, "/Dest["...)
	out = strconv.AppendInt(out, int64(b.pages[to.page]), 10)
	out = append(out, " 0 R/XYZ "...)
	out = appendUnit(out, to.at.X)
	out = append(out, ' ')
	out = appendUnit(out, b.doc.Height-to.at.Y)
	return append(out, " null]"...)
}

// bookmark is a node of the outline tree.
type bookmark struct {
	draw.Bookmark
	parent   *bookmark
	children []*bookmark
	number   int
	// index is its place among the children of its parent.
	index int
	// below counts all bookmarks under this one: all are shown open.
	below int
}

// putOutlines writes the bookmarks and gives the number of their root, 0 for
// none. A level that is skipped is closed up.
func (b *binder) putOutlines() (int, error) {
	if len(b.doc.Bookmarks) == 0 {
		return 0, nil
	}
	root := &bookmark{number: b.reserve()}
	all := make([]*bookmark, 0, len(b.doc.Bookmarks))
	last := root
	for _, m := range b.doc.Bookmarks {
		if _, ok := b.anchors[m.Anchor]; !ok {
			return 0, fmt.Errorf("the bookmark %q leads to %q, and no page has a place of that name", m.Title, m.Anchor)
		}
		for last != root && last.Level >= m.Level {
			last = last.parent
		}
		node := &bookmark{Bookmark: m, parent: last, number: b.reserve(), index: len(last.children)}
		last.children = append(last.children, node)
		all = append(all, node)
		for up := last; up != nil; up = up.parent {
			up.below++
		}
		last = node
	}
	b.put(root.number, append(appendChildren([]byte("<</Type/Outlines"), root), ">>"...))
	for _, m := range all {
		out := append([]byte("<</Title"), textString(clean(m.Title))...)
		out = fmt.Appendf(out, "/Parent %d 0 R", m.parent.number)
		siblings := m.parent.children
		if m.index > 0 {
			out = fmt.Appendf(out, "/Prev %d 0 R", siblings[m.index-1].number)
		}
		if m.index+1 < len(siblings) {
			out = fmt.Appendf(out, "/Next %d 0 R", siblings[m.index+1].number)
		}
		out = appendChildren(out, m)
		out = b.appendDest(out, b.anchors[m.Anchor])
		b.put(m.number, append(out, ">>"...))
	}
	return root.number, nil
}

func appendChildren(out []byte, b *bookmark) []byte {
	if len(b.children) == 0 {
		return out
	}
	return fmt.Appendf(out, "/First %d 0 R/Last %d 0 R/Count %d",
		b.children[0].number, b.children[len(b.children)-1].number, b.below)
}
