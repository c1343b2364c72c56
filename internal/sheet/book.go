package sheet

import (
	"crypto/sha256"

	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/stamp"
	"coldwright/internal/trade"
	"coldwright/internal/words"
)

// Book is every sheet of a house bound together: sections of the house before
// and after the recipes.
type Book struct {
	Page PageSetup
	// Front are the sections before the recipes, Back those after them, each a
	// sheet of its own with the identity of the book.
	Front, Back []*Sheet
	// Entries are the recipes in the order they stand in.
	Entries []BookEntry
	Meta    Meta
}

// BookEntry is one recipe of a book.
type BookEntry struct {
	// Anchor names the recipe's first page for links: its id.
	Anchor string
	Plan   *process.Plan
	// Sheet builds its pages, so that a thick book is never in memory whole.
	Sheet func() (*Sheet, diag.List)
}

// Left is a recipe that a book leaves out, because something stops its print.
type Left struct{ ID, Title, Why string }

// Cover is the first page of a book.
type Cover struct{ Rows []Fact }

// Fact is a bold name with its words.
type Fact struct{ Name, Words string }

// Facts are the things a house knows under one head.
type Facts struct {
	Title string
	Rows  []Fact
}

// Contents are the recipes of a book by the form of the piece.
type Contents struct{ Groups []ContentsGroup }

// ContentsGroup is one form of piece, or the sections of the house.
type ContentsGroup struct {
	Title string
	Rows  []ContentsRow
}

// ContentsRow is one recipe or section.
type ContentsRow struct {
	Title string
	// ID is "cast-weight · rev 2"; Glass is its glass, Stops where each surface
	// stops, Minutes the time at the bench.
	ID, Glass, Stops, Minutes string
	// Lead frames the word before the glass.
	Lead bool
	// Anchor is where it begins; empty for what is not in the book.
	Anchor string
}

// Register is every revision of every recipe, the newest first.
type Register struct{ Rows []RegisterRow }

// RegisterRow is one revision of one recipe.
type RegisterRow struct{ Date, ID, Revision, Kind, Note, Anchor string }

// Index says where things are used.
type Index struct{ Sections []IndexSection }

// IndexSection is one kind of thing: abrasives, media, machines, pieces,
// finishes.
type IndexSection struct {
	Title   string
	Entries []IndexEntry
}

// IndexEntry is one thing and where it is used.
type IndexEntry struct {
	Words string
	Uses  []IndexUse
}

// IndexUse is one recipe that uses it: "cast-weight, steps 2, 3", and the place
// of the first of them.
type IndexUse struct{ Words, Anchor string }

func (Cover) block()    {}
func (Facts) block()    {}
func (Contents) block() {}
func (Register) block() {}
func (Index) block()    {}

// recipesHere stands for the recipes among the sections; it draws nothing.
type recipesHere struct{}

func (recipesHere) block() {}

// BuildBook puts a house's recipes together in a design. The pages of the
// recipes are built when they are laid. It is nil only where there is no paper
// for it.
func BuildBook(h *trade.House, d *Design, entries []BookEntry, left []Left, o Options) (*Book, diag.List) {
	var found diag.List
	page, ok := pageOf(d, h, o, &found)
	if !ok {
		return nil, found
	}
	b := &houseBuilder{tongue: tongue{speak: o.speaker(h)}, house: h, entries: entries, left: left}
	book := &Book{Page: page, Entries: entries}
	to := &book.Front
	for _, spec := range d.Blocks {
		kind := findBlock(spec.Name)
		if kind == nil || kind.house == nil {
			continue
		}
		blocks := kind.house(b, spec)
		if len(blocks) == 0 {
			continue
		}
		if _, here := blocks[0].(recipesHere); here {
			to = &book.Back
			continue
		}
		s := b.page(d, page, o)
		s.Title = capital(b.name(d.Name))
		if title := sectionTitles[spec.Name]; title != "" {
			s.Title = b.say(title)
		}
		s.Blocks = blocks
		*to = append(*to, s)
	}
	book.contents(b.tongue)
	book.Meta = b.page(d, page, o).Meta
	book.Meta.Title = joined(", ", h.Name, d.Name)
	return book, found
}

// sectionTitles head the pages of a book's sections, by block.
var sectionTitles = map[string]string{
	"contents": "Contents", "how to read": "How to read these sheets", "standing cautions": "Cautions for every piece",
	"the house": "The house", "register": "Register of revisions", "index": "Index",
}

// SectionAnchor is the place of a section in its book.
func (s *Sheet) SectionAnchor() string { return "section " + s.Title }

// contents adds the sections of the house to the contents.
func (k *Book) contents(t tongue) {
	group := ContentsGroup{Title: t.say("The house")}
	for _, list := range [][]*Sheet{k.Front, k.Back} {
		for _, s := range list {
			switch s.Blocks[0].(type) {
			case Cover, Contents:
			default:
				group.Rows = append(group.Rows, ContentsRow{Title: s.Title, Anchor: s.SectionAnchor()})
			}
		}
	}
	for _, s := range k.Front {
		if c, ok := s.Blocks[0].(Contents); ok {
			c.Groups = append(c.Groups, group)
			s.Blocks[0] = c
		}
	}
}

// Stamp gives every section the mark of the whole book: what its sections say
// and the marks of its recipes, in order.
func (k *Book) Stamp(recipes []stamp.Mark) {
	sum := sha256.New()
	sum.Write([]byte("coldwright book 1"))
	sections := append(append([]*Sheet{}, k.Front...), k.Back...)
	for _, s := range sections {
		one := Fingerprint(s)
		sum.Write(one[:])
	}
	for _, m := range recipes {
		sum.Write([]byte(m))
		sum.Write([]byte{0})
	}
	mark := stamp.Of([sha256.Size]byte(sum.Sum(nil)))
	for _, s := range sections {
		s.Mark = mark
	}
}

// page is an empty page of the house in a design.
func (b *houseBuilder) page(d *Design, page PageSetup, o Options) *Sheet {
	h := b.house
	s := &Sheet{Design: d.Name, Page: page, Foot: joined(" ", b.say(guidance), b.unread()), Words: b.speak, Spoken: b.speak.Tag()}
	s.Identity = Identity{House: h.Name, Kind: b.name(d.Name), Title: capital(b.name(d.Name)), ID: d.FileName(), Revision: h.Revision, Effective: b.speak.Date(h.Date), Approved: h.Approved}
	if o.Draft || h.Approved == "" || o.Findings.Worst() >= diag.Error {
		s.Approved = ""
		s.Draft = &Draft{Reason: b.say("a draft, not for the shop"), Short: b.say("not for the shop")}
		if h.Approved == "" {
			s.Draft = &Draft{Reason: b.say("not approved, not for the shop"), Short: b.say("not approved")}
		}
	} else {
		s.Copy = o.Copy
	}
	s.Meta = Meta{
		Title: s.Title, Subject: d.Name, Author: joined(", ", h.Name, s.Approved),
		Keywords: []string{d.Name}, Language: h.Language, Date: h.Date,
	}
	if s.Meta.Language == "" {
		s.Meta.Language = words.Default
	}
	return s
}

// revisionWords is "rev 2".
func (t tongue) revisionWords(n int) string { return t.say("rev~%d", n) }
