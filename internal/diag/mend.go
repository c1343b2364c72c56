package diag

import "coldwright/internal/source"

// Edit puts Text in the place of the bytes of Span; an empty Span is a place to
// put it in.
type Edit struct {
	Span source.Span
	Text string
}

// Touches says whether two edits overlap or meet, so that they cannot be made
// without knowing of each other.
func (e Edit) Touches(o Edit) bool {
	return e.Span.File == o.Span.File && e.Span.Start <= o.Span.End && o.Span.Start <= e.Span.End
}

// Mend is a correction that can be made byte for byte. The zero Mend is none.
type Mend struct {
	// Does says in one plain sentence what it does.
	Does string
	// Edits are all of one file and do not overlap.
	Edits []Edit
}

// Known says whether there is a correction.
func (m Mend) Known() bool { return len(m.Edits) > 0 }

// Word is the correction of a slip of the pen: near for the words at a place.
// It is none where the file does not say those words there byte for byte, or
// where no word is near.
func Word(at source.Span, words, near string) Mend {
	if near == "" || words == near || !at.Known() || at.Text() != words {
		return Mend{}
	}
	return Mend{Does: "Writes “" + near + "” for “" + words + "”.", Edits: []Edit{{at, near}}}
}

// Put is the correction that puts text at the start of a place.
func Put(at source.Span, text, does string) Mend {
	if !at.Known() {
		return Mend{}
	}
	at.End = at.Start
	return Mend{Does: does, Edits: []Edit{{at, text}}}
}

// Mended gives the last finding of the list its correction.
func (l List) Mended(m Mend) {
	if len(l) > 0 {
		l[len(l)-1].Mend = m
	}
}

// Mendable is how many findings have a correction.
func (l List) Mendable() int {
	n := 0
	for i := range l {
		if l[i].Mend.Known() {
			n++
		}
	}
	return n
}

// Apply is text with edits made, which come in the order of their places and do
// not overlap.
func Apply(text []byte, edits []Edit) []byte {
	var out []byte
	from := 0
	for _, e := range edits {
		out = append(out, text[from:max(from, e.Span.Start)]...)
		out = append(out, e.Text...)
		from = max(from, e.Span.End)
	}
	return append(out, text[from:]...)
}
