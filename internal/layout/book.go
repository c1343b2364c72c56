package layout

import (
	"runtime"
	"slices"
	"strings"
	"sync"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/stamp"
)

// Bound is a book on pages, with what was found in each of its recipes.
type Bound struct {
	// Document says what the book is and has no pages itself.
	*draw.Document
	// Parts give the pages, one section or recipe after the other: each lays
	// its part anew, so that a thick book is never in memory whole. They may be
	// called at once.
	Parts []func() []draw.Page
	// Total is the number of pages.
	Total int
	// Found are the findings by entry.
	Found []diag.List
	// Sections are those of the sections of the house.
	Sections diag.List
}

// Bind lays a book. The contents, the register and the index print on which
// page a recipe stands, and every page how many there are, so all is laid once
// for its lengths and places, and again when its pages are wanted. Pages are
// numbered from the cover on.
func Bind(k *sheet.Book) *Bound {
	out := &Bound{Document: &draw.Document{
		Width: draw.MM(k.Page.Width), Height: draw.MM(k.Page.Height),
		Title: k.Meta.Title, Subject: k.Meta.Subject, Author: k.Meta.Author,
		Keywords: k.Meta.Keywords, Language: k.Meta.Language, Date: k.Meta.Date,
	}}
	// Nothing is longer for the numbers it prints: room is kept for as many
	// figures as any has.
	in := inBook{most: 88}
	for in.most < len(k.Entries)*12 {
		in.most = in.most*10 + 8
	}
	recipes, marks := extents(k, in)
	k.Stamp(marks)
	sections := func(list []*sheet.Sheet, in *inBook) (all []extent) {
		for _, s := range list {
			x := lay(s, *in)
			all = append(all, extentOf(x, s.Title, s.SectionAnchor(), func() *laid { return lay(s, *in) }))
			out.Sections.Add(x.layer.text.findings()...)
		}
		return all
	}
	all := slices.Concat(sections(k.Front, &in), recipes, sections(k.Back, &in))
	in.pageOf = map[string]int{}
	for _, e := range all {
		in.pageOf[e.anchor] = out.Total
		for name, page := range e.places {
			in.pageOf[name] = out.Total + page
		}
		out.Total += e.pages
	}
	at := 0
	for _, e := range all {
		from := at
		out.Parts = append(out.Parts, func() []draw.Page {
			x := e.lay()
			x.dress(from, out.Total)
			x.pages[0].Runs = append([]draw.Run{{Role: draw.Artifact, Items: []draw.Item{draw.Anchor{Name: e.anchor}}}}, x.pages[0].Runs...)
			return x.pages
		})
		at += e.pages
		out.Bookmarks = append(out.Bookmarks, draw.Bookmark{Level: 1, Title: e.title, Anchor: e.anchor})
		for _, m := range e.marks {
			out.Bookmarks = append(out.Bookmarks, draw.Bookmark{Level: m.Level + 1, Title: m.Title, Anchor: e.anchor + "/" + m.Anchor})
		}
	}
	for _, e := range recipes {
		out.Found = append(out.Found, e.found)
	}
	return out
}

// extent is what the rest of a book has to know of one of its sheets.
type extent struct {
	title, anchor string
	pages         int
	marks         []draw.Bookmark
	// places are the pages of what has a name, counted from the first.
	places map[string]int
	found  diag.List
	// lay lays the sheet again.
	lay func() *laid
}

func extentOf(x *laid, title, anchor string, lay func() *laid) extent {
	e := extent{title: title, anchor: anchor, pages: len(x.pages), marks: x.layer.marks, places: map[string]int{}, lay: lay}
	for i, p := range x.pages {
		for _, r := range p.Runs {
			for _, it := range r.Items {
				if a, ok := it.(draw.Anchor); ok {
					e.places[a.Name] = i
				}
			}
		}
	}
	return e
}

// extents are those of all recipes in their order, laid on all cores, and the
// marks of the recipes. What a recipe names by itself gets the name of the
// recipe before it.
func extents(k *sheet.Book, in inBook) ([]extent, []stamp.Mark) {
	out, marks := make([]extent, len(k.Entries)), make([]stamp.Mark, len(k.Entries))
	next := make(chan int)
	var wait sync.WaitGroup
	for range max(1, min(runtime.GOMAXPROCS(0), len(k.Entries))) {
		wait.Go(func() {
			for i := range next {
				entry := &k.Entries[i]
				in := in
				build := func() (*laid, diag.List) {
					s, found := entry.Sheet()
					x := lay(s, in)
					named(x.pages, entry.Anchor+"/")
					return x, found
				}
				x, found := build()
				in.square = x.furniture.identity.square
				again := func() *laid {
					x, _ := build()
					return x
				}
				out[i], marks[i] = extentOf(x, oneLine(x.layer.sheet.Title), entry.Anchor, again), x.layer.sheet.Mark
				out[i].found = append(found, x.layer.text.findings()...)
			}
		})
	}
	for i := range k.Entries {
		next <- i
	}
	close(next)
	wait.Wait()
	return out, marks
}

// named puts a name before every place and every link within the pages.
func named(pages []draw.Page, before string) {
	for p := range pages {
		for r := range pages[p].Runs {
			items := pages[p].Runs[r].Items
			for i, it := range items {
				switch v := it.(type) {
				case draw.Anchor:
					v.Name = before + v.Name
					items[i] = v
				case draw.Text:
					if to, ok := strings.CutPrefix(v.Link, "#"); ok {
						v.Link = "#" + before + to
						items[i] = v
					}
				}
			}
		}
	}
}
