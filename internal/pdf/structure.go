package pdf

import (
	"fmt"

	"coldwright/internal/draw"
)

// known reports whether a run may have a role.
func known(role draw.Role) bool {
	switch role {
	case draw.Artifact, draw.Heading1, draw.Heading2, draw.Heading3, draw.Paragraph, draw.ListItem,
		draw.TableHead, draw.TableCell, draw.Figure, draw.Caption, draw.Note:
		return true
	}
	return false
}

// element is a node of the structure tree (ISO 32000-1, 14.7.2).
type element struct {
	role     string
	children []*element
	leaf     *leaf // where it has content of its own
	number   int
}

func (e *element) grow(role string) *element {
	child := &element{role: role}
	e.children = append(e.children, child)
	return child
}

// tree puts the leaves, in reading order, under the elements the standard
// wants around them: list items that follow one another into a list, cells
// into the rows of a table. A cell that stands no further right than the one
// before it begins a row.
func tree(role string, leaves []leaf) *element {
	root := &element{role: role}
	var list, table, row *element
	edge := draw.Unit(0) // left of the cell before
	for i := range leaves {
		l := &leaves[i]
		parent, role := root, string(l.role)
		switch l.role {
		case draw.ListItem:
			table = nil
			if list == nil {
				list = root.grow("L")
			}
			parent, role = list.grow("LI"), "LBody"
		case draw.TableHead, draw.TableCell:
			list = nil
			if table == nil {
				table, row = root.grow("Table"), nil
			}
			if row == nil || l.left <= edge {
				row = table.grow("TR")
			}
			edge = l.left
			parent = row
		default:
			list, table = nil, nil
		}
		parent.grow(role).leaf = l
	}
	return root
}

// putStructure writes the elements of a part. The only part is the document
// itself.
func (b *binder) putStructure(part *drawn, first int) {
	role, parent := "Document", b.structure
	if b.many {
		role, parent = "Part", b.document
	}
	root := tree(role, part.leaves)
	if b.many {
		root.reserve(b.file)
		b.parts = append(b.parts, root.number)
	} else {
		root.number = b.document
		for _, c := range root.children {
			c.reserve(b.file)
		}
	}
	root.write(b, parent, first)

	// The parent tree leads from each page's content back to the structure.
	byPage := make([][]byte, len(part.contents))
	root.eachLeaf(func(e *element) {
		byPage[e.leaf.page] = fmt.Appendf(byPage[e.leaf.page], "%d 0 R ", e.number)
	})
	for _, list := range byPage {
		way := 0
		if len(list) > 0 {
			way = b.add(fmt.Appendf(nil, "[%s]", list))
		}
		b.ways = append(b.ways, way)
	}
}

// putStructureRoot writes the root of the structure tree, by which a reading
// aloud finds its way.
func (b *binder) putStructureRoot() {
	if b.many {
		out := fmt.Appendf(nil, "<</Type/StructElem/S/Document/P %d 0 R/K[", b.structure)
		for _, n := range b.parts {
			out = fmt.Appendf(out, "%d 0 R ", n)
		}
		b.put(b.document, append(out, "]>>"...))
	}
	out := fmt.Appendf(nil, "<</Type/StructTreeRoot/K[%d 0 R]/ParentTreeNextKey %d/ParentTree<</Nums[", b.document, len(b.pages))
	for page, way := range b.ways {
		if way != 0 {
			out = fmt.Appendf(out, "%d %d 0 R ", page, way)
		}
	}
	b.put(b.structure, append(out, "]>>>>"...))
}

func (e *element) reserve(f *file) {
	e.number = f.reserve()
	for _, c := range e.children {
		c.reserve(f)
	}
}

// write puts an element and those below it; first is the first page of their
// part.
func (e *element) write(b *binder, parent, first int) {
	out := fmt.Appendf(nil, "<</Type/StructElem/S/%s/P %d 0 R", e.role, parent)
	if l := e.leaf; l != nil {
		if l.role == draw.Figure && l.alt != "" {
			out = append(append(out, "/Alt"...), textString(clean(l.alt))...)
		}
		if l.role == draw.TableHead {
			out = append(out, "/A<</O/Table/Scope/Column>>"...)
		}
		out = fmt.Appendf(out, "/Pg %d 0 R/K %d>>", b.pages[first+l.page], l.mark)
	} else {
		out = append(out, "/K["...)
		for _, c := range e.children {
			out = fmt.Appendf(out, "%d 0 R ", c.number)
		}
		out = append(out, "]>>"...)
	}
	b.put(e.number, out)
	for _, c := range e.children {
		c.write(b, e.number, first)
	}
}

// eachLeaf visits the elements with content in reading order, which on each
// page is the order of their marks.
func (e *element) eachLeaf(visit func(*element)) {
	if e.leaf != nil {
		visit(e)
	}
	for _, c := range e.children {
		c.eachLeaf(visit)
	}
}
