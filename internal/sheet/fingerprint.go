package sheet

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"coldwright/internal/draw"
	"coldwright/internal/prose"
	"coldwright/internal/stamp"
)

// fingerprintForm heads what is summed. Another way of writing it down has
// another name, so that a mark never means two things.
const fingerprintForm = "coldwright face 1"

// Fingerprint sums up what a sheet says: SHA-256 of its content written down in
// one fixed form. It reads the sheet, not the files behind it, so that
// comments, spacing, the order of keys and files, the machine and the day do
// not move it, and every word, figure, picture, caution and block that reaches
// the page does. That a page is a draft, and the lines for a lowered rule or an
// accepted finding, are part of what it says: the day an acceptance runs out,
// the page says something else.
//
// Left out are
//   - the paper, its margins and where the pages break: the same words on
//     Letter as on A4 say the same;
//   - the copy number: every copy says the same;
//   - what the file says of itself, which nobody sees on paper;
//   - the names of picture files and of the places links lead to within the
//     page; of a picture its samples count, as they are printed;
//   - the alignment of a table's columns and whether a list is set close;
//   - what is drawn for all alike: type, lines, signs, the square code itself.
//
// The form: texts with every space between words as one, numbers with four
// figures (reckoned ones differ by machine in their last), each with its kind
// and length before it; of a list the number of entries; of anything with
// parts its name and the parts that are not empty with theirs, so that a new
// kind of part moves no older mark.
func Fingerprint(s *Sheet) [sha256.Size]byte {
	w := scribe{sum: sha256.New()}
	w.text('v', fingerprintForm)
	w.value(reflect.ValueOf(*s), nil)
	return [sha256.Size]byte(w.sum.Sum(nil))
}

// Stamp gives the sheet the mark of what it says. It stands last: whoever
// changes a sheet stamps it anew.
func (s *Sheet) Stamp() { s.Mark = stamp.Of(Fingerprint(s)) }

// scribe writes a sheet down into a sum.
type scribe struct {
	sum hash.Hash
	buf []byte
}

func (w *scribe) text(kind byte, s string) {
	w.buf = binary.AppendUvarint(append(w.buf[:0], kind), uint64(len(s)))
	w.sum.Write(append(w.buf, s...))
}

func (w *scribe) number(kind byte, n uint64) {
	w.sum.Write(binary.AppendUvarint(append(w.buf[:0], kind), n))
}

// part is one field of a struct that is written down.
type part struct {
	name  string
	index int
}

// partsOf are the fields of a type that count, by type.
var partsOf sync.Map

// uncounted marks a field that is no part of what a page says.
const uncounted = "uncounted"

func parts(t reflect.Type) []part {
	if known, ok := partsOf.Load(t); ok {
		return known.([]part)
	}
	var list []part
	for i := range t.NumField() {
		f := t.Field(i)
		if _, left := f.Tag.Lookup(uncounted); !left && f.Type != picturesType {
			list = append(list, part{f.Name, i})
		}
	}
	partsOf.Store(t, list)
	return list
}

var (
	picturesType = reflect.TypeFor[Pictures]()
	imageType    = reflect.TypeFor[*draw.Image]()
	inlinesType  = reflect.TypeFor[[]prose.Inline]()
	blocksType   = reflect.TypeFor[[]prose.Block]()
	stringerType = reflect.TypeFor[fmt.Stringer]()
)

// value writes one value; pictures are those its prose may show.
func (w *scribe) value(v reflect.Value, pictures Pictures) {
	t := v.Type()
	switch t {
	case imageType:
		w.image(v.Interface().(*draw.Image))
		return
	case inlinesType:
		w.line(v.Interface().([]prose.Inline), pictures)
		return
	case blocksType:
		w.prose(v.Interface().([]prose.Block), pictures)
		return
	}
	switch v.Kind() {
	case reflect.String:
		w.text('t', spaced(v.String()))
	case reflect.Bool:
		w.number('b', map[bool]uint64{true: 1}[v.Bool()])
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		if t.Implements(stringerType) {
			w.text('t', v.Interface().(fmt.Stringer).String())
			return
		}
		w.text('i', strconv.FormatInt(v.Int(), 10))
	case reflect.Float64:
		w.text('f', strconv.FormatFloat(v.Float(), 'g', 4, 64))
	case reflect.Pointer, reflect.Interface:
		w.value(v.Elem(), pictures)
	case reflect.Slice, reflect.Array:
		w.number('l', uint64(v.Len()))
		for i := range v.Len() {
			w.value(v.Index(i), pictures)
		}
	case reflect.Struct:
		w.parts(v, pictures)
	default:
		// A sheet holds plain values; the test of the form walks all its types.
		panic("sheet: a " + t.String() + " cannot be written down")
	}
}

// parts writes a struct: its name and those of its fields that say anything.
func (w *scribe) parts(v reflect.Value, pictures Pictures) {
	t := v.Type()
	if f, ok := t.FieldByName("Pictures"); ok && f.Type == picturesType {
		pictures = v.FieldByIndex(f.Index).Interface().(Pictures)
	}
	w.text('s', t.Name())
	for _, p := range parts(t) {
		if f := v.Field(p.index); !empty(f) {
			w.text('n', p.name)
			w.value(f, pictures)
		}
	}
	w.number('e', 0)
}

// empty says whether a field says nothing.
func empty(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.String:
		return spaced(v.String()) == ""
	case reflect.Slice:
		return v.Len() == 0
	case reflect.Struct:
		for _, p := range parts(v.Type()) {
			if !empty(v.Field(p.index)) {
				return false
			}
		}
		return true
	}
	return v.IsZero()
}

func (w *scribe) image(i *draw.Image) {
	if i == nil {
		w.text('p', "")
		return
	}
	key := i.Key
	if key == "" {
		sum := sha256.Sum256(i.Samples)
		key = string(sum[:])
	}
	w.text('p', fmt.Sprintf("%d %d %t %s", i.Width, i.Height, i.Grey, key))
}

// prose writes blocks of prose: what they are and what they say.
func (w *scribe) prose(blocks []prose.Block, pictures Pictures) {
	w.number('l', uint64(len(blocks)))
	for i := range blocks {
		b := &blocks[i]
		w.text('s', "prose")
		w.text('i', strconv.Itoa(int(b.Kind)))
		switch b.Kind {
		case prose.Heading:
			w.text('i', strconv.Itoa(b.Level))
		case prose.List:
			if b.Ordered {
				w.text('i', strconv.Itoa(b.Start))
			}
		case prose.Item:
			w.text('t', b.Task)
		case prose.CodeBlock, prose.RawBlock:
			// Here the spaces are part of what was written.
			w.text('t', strings.TrimRight(b.Text, "\n"))
		case prose.FootnoteText:
			w.text('i', strconv.Itoa(b.Index))
		}
		w.line(b.Inlines, pictures)
		for _, row := range b.Rows {
			w.number('r', uint64(len(row)))
			for _, cell := range row {
				w.line(cell, pictures)
			}
		}
		w.prose(b.Blocks, pictures)
		w.number('e', 0)
	}
}

// line writes a line of prose. Where its text is cut into pieces, and where
// the author's own lines end, does not count.
func (w *scribe) line(inlines []prose.Inline, pictures Pictures) {
	var text strings.Builder
	first := true
	flush := func(last bool) {
		said := spacedInside(text.String())
		text.Reset()
		// Space at either end of a line is none.
		if first {
			said = strings.TrimLeft(said, " ")
		}
		if last {
			said = strings.TrimRight(said, " ")
		}
		first = false
		if said != "" {
			w.text('t', said)
		}
	}
	w.text('s', "line")
	for i := range inlines {
		n := &inlines[i]
		switch n.Kind {
		case prose.Text:
			text.WriteString(n.Text)
			continue
		case prose.Soft:
			text.WriteByte(' ')
			continue
		}
		flush(false)
		w.text('k', strconv.Itoa(int(n.Kind)))
		switch n.Kind {
		case prose.Code, prose.Raw:
			w.text('t', n.Text)
		case prose.Link:
			if !strings.HasPrefix(n.Target, "#") {
				w.text('t', n.Target)
			}
		case prose.Image:
			w.image(pictures[n.Target])
			w.text('t', spaced(n.Title))
		case prose.Footnote:
			w.text('i', strconv.Itoa(n.Index))
		}
		if len(n.Children) > 0 {
			w.line(n.Children, pictures)
		}
	}
	flush(true)
	w.number('e', 0)
}

// spaced is a text with one space between its words, without the characters
// that draw nothing.
func spaced(s string) string { return strings.TrimSpace(spacedInside(s)) }

// spacedInside is that with a space kept at either end.
func spacedInside(s string) string {
	if plainSpaced(s) {
		return s
	}
	var b strings.Builder
	b.Grow(len(s))
	gap := false
	for _, r := range s {
		switch {
		case unicode.IsSpace(r) || unicode.Is(unicode.Zs, r):
			gap = true
			continue
		case r == '\u00AD' || r == '\u200B' || r == '\u2060' || r == '\uFEFF':
			// A place to break a line, or not to.
			continue
		}
		if gap {
			b.WriteByte(' ')
			gap = false
		}
		b.WriteRune(r)
	}
	if gap {
		b.WriteByte(' ')
	}
	return b.String()
}

// plainSpaced says whether a text has single spaces and plain letters only.
func plainSpaced(s string) bool {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c >= 0x7F || c == ' ' && i+1 < len(s) && s[i+1] == ' ' {
			return false
		}
	}
	return true
}
