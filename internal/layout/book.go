package layout

import (
	"runtime"
	"strings"
	"sync"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/sheet"
	"coldwright/internal/stamp"
)

// Bound is a book on pages, with what was found in each of its recipes.
type Bound struct {
	*draw.Document
	// Found are the findings by entry.
	Found []diag.List
	// Sections are those of the sections of the house.
	Sections diag.List
}

// Bind lays a book: the recipes first, since the contents, the register and the
// index print on which page they stand. Pages are numbered from the cover on.
func Bind(k *sheet.Book) *Bound {
	out := &Bound{Document: &draw.Document{
		Width: draw.MM(k.Page.Width), Height: draw.MM(k.Page.Height),
		Title: k.Meta.Title, Subject: k.Meta.Subject, Author: k.Meta.Author,
		Keywords: k.Meta.Keywords, Language: k.Meta.Language, Date: k.Meta.Date,
	}, Found: make([]diag.List, len(k.Entries))}
	b := &binder{in: inBook{most: 88, pageOf: map[string]int{}}}
	for b.in.most < len(k.Entries)*12 {
		b.in.most = b.in.most*10 + 8
	}
	recipes, marks := b.recipes(k, out.Found)
	k.Stamp(marks)
	front := 0
	for _, s := range k.Front {
		// Their length does not hang on the numbers they print.
		front += len(lay(s, inBook{most: b.in.most}).pages)
	}
	at := front
	for i, r := range recipes {
		b.enter(r.pages, k.Entries[i].Anchor, at)
		at += len(r.pages)
	}
	var back []*laid
	starts := at
	for _, s := range k.Back {
		b.in.pageOf[s.SectionAnchor()] = starts
		x := lay(s, b.in)
		back = append(back, x)
		starts += len(x.pages)
	}
	var first []*laid
	at = 0
	for _, s := range k.Front {
		b.in.pageOf[s.SectionAnchor()] = at
		at += len(lay(s, inBook{most: b.in.most}).pages)
	}
	for _, s := range k.Front {
		first = append(first, lay(s, b.in))
	}
	total := starts
	at = 0
	put := func(x *laid, title, anchor string) {
		x.dress(at, total)
		x.pages[0].Runs = append([]draw.Run{{Role: draw.Artifact, Items: []draw.Item{draw.Anchor{Name: anchor}}}}, x.pages[0].Runs...)
		out.Pages = append(out.Pages, x.pages...)
		out.Bookmarks = append(out.Bookmarks, draw.Bookmark{Level: 1, Title: title, Anchor: anchor})
		for _, m := range x.layer.marks {
			out.Bookmarks = append(out.Bookmarks, draw.Bookmark{Level: m.Level + 1, Title: m.Title, Anchor: anchor + "/" + m.Anchor})
		}
		at += len(x.pages)
	}
	sections := func(list []*laid) {
		for _, x := range list {
			put(x, x.layer.sheet.Title, x.layer.sheet.SectionAnchor())
			out.Sections.Add(x.layer.text.findings()...)
		}
	}
	sections(first)
	for i, x := range recipes {
		put(x, oneLine(x.layer.sheet.Title), k.Entries[i].Anchor)
		recipes[i] = nil
	}
	sections(back)
	return out
}

// binder gathers where things are in a book.
type binder struct{ in inBook }

// recipes lays all recipes on all cores; the result is in their order. What a
// recipe names by itself gets the name of the recipe before it.
func (b *binder) recipes(k *sheet.Book, found []diag.List) ([]*laid, []stamp.Mark) {
	out, marks := make([]*laid, len(k.Entries)), make([]stamp.Mark, len(k.Entries))
	next := make(chan int)
	var wait sync.WaitGroup
	for range max(1, min(runtime.GOMAXPROCS(0), len(k.Entries))) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := range next {
				s, list := k.Entries[i].Sheet()
				x := lay(s, inBook{most: b.in.most})
				named(x.pages, k.Entries[i].Anchor+"/")
				found[i] = append(list, x.layer.text.findings()...)
				out[i], marks[i] = x, s.Mark
			}
		}()
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

// enter notes on which page a recipe and its steps are.
func (b *binder) enter(pages []draw.Page, anchor string, at int) {
	b.in.pageOf[anchor] = at
	for i, p := range pages {
		for _, r := range p.Runs {
			for _, it := range r.Items {
				if a, ok := it.(draw.Anchor); ok {
					b.in.pageOf[a.Name] = at + i
				}
			}
		}
	}
}
