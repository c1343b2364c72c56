package pdf

import (
	"bytes"
	"fmt"
	"strconv"

	"coldwright/internal/draw"
)

// Numbers the library gives to its objects.
const (
	pagesObject     = 1
	resourcesObject = 2
)

// pageObject is the number of a page, counted from 0; its content is the next.
func pageObject(page int) int { return 3 + 2*page }

// finish makes the file the library drew into the one that is handed out.
func finish(doc *draw.Document, p *painter, drawn []byte) ([]byte, error) {
	f, err := readFile(drawn)
	if err != nil {
		return nil, err
	}
	// The library's last two objects.
	catalog, info := len(f.objects)-1, len(f.objects)-2
	if info <= pageObject(len(doc.Pages)-1)+1 || !bytes.HasPrefix(f.objects[catalog], []byte("<<\n/Type /Catalog\n")) {
		return nil, errDrawn
	}
	if err := putFonts(f, p.fonts[:]); err != nil {
		return nil, err
	}
	if err := putPictures(f, p.pictures); err != nil {
		return nil, err
	}
	if err := putPages(f, doc, p); err != nil {
		return nil, err
	}
	outlines, err := putOutlines(f, doc, p.anchors)
	if err != nil {
		return nil, err
	}
	structure := putStructure(f, p.leaves, len(doc.Pages))
	meta, err := newMetadata(doc)
	if err != nil {
		return nil, err
	}
	xmp := f.add(streamObject([]byte("/Type/Metadata/Subtype/XML"), meta.xmp()))
	profile := f.add(streamObject([]byte("/N 3/Filter/FlateDecode"), deflate(sRGB)))

	f.objects[info] = meta.info()
	c := fmt.Appendf(nil, "<</Type/Catalog/Pages %d 0 R/Metadata %d 0 R", pagesObject, xmp)
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
	c = fmt.Appendf(c, "/MarkInfo<</Marked true>>/StructTreeRoot %d 0 R>>", structure)
	f.objects[catalog] = c
	return f.bytes(catalog, info), nil
}

// putPictures embeds each picture once, in the order they are first drawn.
func putPictures(f *file, pictures []*draw.Image) error {
	numbers := make([]int, len(pictures))
	for i, img := range pictures {
		numbers[i] = f.add(imageObject(img))
	}
	const none = "/XObject <<\n>>"
	dict := f.objects[resourcesObject]
	if bytes.Count(dict, []byte(none)) != 1 {
		return errDrawn
	}
	f.objects[resourcesObject] = bytes.Replace(dict, []byte(none), xobjects(numbers), 1)
	return nil
}

// putPages compresses the pages' content and gives each page its links and its
// place in the structure.
func putPages(f *file, doc *draw.Document, p *painter) error {
	box := append([]byte("/MediaBox[0 0 "), appendUnit(nil, doc.Width)...)
	box = append(append(append(box, ' '), appendUnit(nil, doc.Height)...), ']')
	links := p.links
	for i := range doc.Pages {
		n := pageObject(i)
		if !bytes.HasPrefix(f.objects[n], []byte("<</Type /Page\n")) {
			return errDrawn
		}
		content, err := f.stream(n + 1)
		if err != nil {
			return err
		}
		f.objects[n+1] = streamObject([]byte("/Filter/FlateDecode"), deflate(content))

		page := fmt.Appendf(nil, "<</Type/Page/Parent %d 0 R/Resources %d 0 R/Contents %d 0 R", pagesObject, resourcesObject, n+1)
		page = append(page, box...)
		if p.marked[i] > 0 {
			page = fmt.Appendf(page, "/StructParents %d", i)
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
				note, err := linkObject(l, p.anchors, doc.Height)
				if err != nil {
					return fmt.Errorf("page %d: %w", i+1, err)
				}
				page = fmt.Appendf(page, "%d 0 R ", f.add(note))
			}
			page = append(page, ']')
			links = links[own:]
		}
		f.objects[n] = append(page, ">>"...)
	}
	return nil
}

// linkObject is a link annotation. The flag says it prints, as PDF/A-1b asks
// of every annotation (ISO 19005-1, 6.5.3); it has nothing to print.
func linkObject(l link, anchors map[string]place, height draw.Unit) ([]byte, error) {
	out := []byte("<</Type/Annot/Subtype/Link/Border[0 0 0]/F 4/Rect[")
	for i, u := range [...]draw.Unit{l.left, height - l.bottom, l.right, height - l.top} {
		if i > 0 {
			out = append(out, ' ')
		}
		out = appendUnit(out, u)
	}
	out = append(out, ']')
	if l.target[0] == '#' {
		to, ok := anchors[l.target[1:]]
		if !ok {
			return nil, fmt.Errorf("a link leads to %q, and no page has a place of that name", l.target)
		}
		return append(appendDest(out, to, height), ">>"...), nil
	}
	out = append(out, "/A<</S/URI/URI"...)
	out = append(out, literal([]byte(address(l.target)))...)
	return append(out, ">>>>"...), nil
}

// appendDest writes where a link or bookmark leads: a place at the top left of
// the window, at whatever scale the reader has set.
func appendDest(out []byte, to place, height draw.Unit) []byte {
	out = append(out, "/Dest["...)
	out = strconv.AppendInt(out, int64(pageObject(to.page)), 10)
	out = append(out, " 0 R/XYZ "...)
	out = appendUnit(out, to.at.X)
	out = append(out, ' ')
	out = appendUnit(out, height-to.at.Y)
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
func putOutlines(f *file, doc *draw.Document, anchors map[string]place) (int, error) {
	if len(doc.Bookmarks) == 0 {
		return 0, nil
	}
	root := &bookmark{number: f.add(nil)}
	all := make([]*bookmark, 0, len(doc.Bookmarks))
	last := root
	for _, b := range doc.Bookmarks {
		if _, ok := anchors[b.Anchor]; !ok {
			return 0, fmt.Errorf("the bookmark %q leads to %q, and no page has a place of that name", b.Title, b.Anchor)
		}
		for last != root && last.Level >= b.Level {
			last = last.parent
		}
		node := &bookmark{Bookmark: b, parent: last, number: f.add(nil), index: len(last.children)}
		last.children = append(last.children, node)
		all = append(all, node)
		for up := last; up != nil; up = up.parent {
			up.below++
		}
		last = node
	}
	f.objects[root.number] = append(appendChildren([]byte("<</Type/Outlines"), root), ">>"...)
	for _, b := range all {
		out := append([]byte("<</Title"), textString(clean(b.Title))...)
		out = fmt.Appendf(out, "/Parent %d 0 R", b.parent.number)
		siblings := b.parent.children
		if b.index > 0 {
			out = fmt.Appendf(out, "/Prev %d 0 R", siblings[b.index-1].number)
		}
		if b.index+1 < len(siblings) {
			out = fmt.Appendf(out, "/Next %d 0 R", siblings[b.index+1].number)
		}
		out = appendChildren(out, b)
		out = appendDest(out, anchors[b.Anchor], doc.Height)
		f.objects[b.number] = append(out, ">>"...)
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
