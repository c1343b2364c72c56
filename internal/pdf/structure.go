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
func tree(leaves []leaf) *element {
	root := &element{role: "Document"}
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

// putStructure writes the structure tree, by which a reading aloud finds its
// way, and gives the number of its root.
func putStructure(f *file, leaves []leaf, pages int) int {
	root := f.add(nil)
	document := tree(leaves)
	document.reserve(f)
	document.write(f, root)

	// The parent tree leads from each page's content back to the structure.
	byPage := make([][]byte, pages)
	document.eachLeaf(func(e *element) {
		byPage[e.leaf.page] = fmt.Appendf(byPage[e.leaf.page], "%d 0 R ", e.number)
	})
	out := fmt.Appendf(nil, "<</Type/StructTreeRoot/K[%d 0 R]/ParentTreeNextKey %d/ParentTree<</Nums[", document.number, pages)
	for page, list := range byPage {
		if len(list) > 0 {
			out = fmt.Appendf(out, "%d[%s]", page, list)
		}
	}
	f.objects[root] = append(out, "]>>>>"...)
	return root
}

func (e *element) reserve(f *file) {
	e.number = f.add(nil)
	for _, c := range e.children {
		c.reserve(f)
	}
}

func (e *element) write(f *file, parent int) {
	out := fmt.Appendf(nil, "<</Type/StructElem/S/%s/P %d 0 R", e.role, parent)
	if l := e.leaf; l != nil {
		if l.role == draw.Figure && l.alt != "" {
			out = append(append(out, "/Alt"...), textString(clean(l.alt))...)
		}
		if l.role == draw.TableHead {
			out = append(out, "/A<</O/Table/Scope/Column>>"...)
		}
		out = fmt.Appendf(out, "/Pg %d 0 R/K %d>>", pageObject(l.page), l.mark)
	} else {
		out = append(out, "/K["...)
		for _, c := range e.children {
			out = fmt.Appendf(out, "%d 0 R ", c.number)
		}
		out = append(out, "]>>"...)
	}
	f.objects[e.number] = out
	for _, c := range e.children {
		c.write(f, e.number)
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
