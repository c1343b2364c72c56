package cli

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/sheet"
	"coldwright/internal/stamp"
)

// subject is what pages are printed of: a recipe, or the house for the pages
// that speak of it alone.
type subject struct {
	// id is the name on its pages, file where it is written.
	id, title, file string
	// revision is 0 where none can be read or none is counted.
	revision  int
	effective string
	approved  bool
	changes   []recipe.Change
	// worst is the gravest finding that stands against printing it.
	worst diag.Severity
	// ofHouse is true for the house.
	ofHouse bool
}

// face is one page as the house would print it.
type face struct {
	subject
	// sheet is nil where no face of the subject bears the mark that was asked
	// for.
	sheet *sheet.Sheet
	// part is the part of the recipe it is for, early that it is as the recipe
	// was before it was approved.
	part  string
	early bool
	// marks are those of the whole subject, as it prints today, by design.
	marks map[string]string
}

// asking is one way a recipe can be asked for: the whole of it or a part.
type asking struct {
	part string
	sheet.Options
}

// askings are the ways a design can be asked for that change what it says, the
// whole first. The paper does not: see sheet.Fingerprint. A card may be for a
// surface, a bench, both, or for some steps.
func askings(d *sheet.Design, rec *recipe.Recipe) []asking {
	list := []asking{{}}
	if d.Page != sheet.CardPage {
		return list
	}
	benches := []string{""}
	for i := range rec.Steps {
		if b := rec.Steps[i].Bench.Value.Bench.Name; !slices.Contains(benches, b) {
			benches = append(benches, b)
		}
	}
	surfaces := []string{""}
	for i := range rec.Surfaces {
		surfaces = append(surfaces, rec.Surfaces[i].Name.Value)
	}
	for _, surface := range surfaces {
		for _, bench := range benches {
			part := surface
			if bench != "" {
				part = strings.TrimPrefix(surface+" at bench "+bench, " at ")
			}
			if part != "" {
				list = append(list, asking{part, sheet.Options{Surface: surface, Bench: bench}})
			}
		}
	}
	for from := 1; from <= len(rec.Steps); from++ {
		list = append(list, asking{fmt.Sprint("step ", from), sheet.Options{From: from, To: from}})
		for to := from + 1; to <= len(rec.Steps); to++ {
			list = append(list, asking{fmt.Sprintf("steps %d to %d", from, to), sheet.Options{From: from, To: to}})
		}
	}
	return list
}

// search goes through the faces of one subject for the one with a mark.
type search struct {
	face
	mark stamp.Mark
}

// see takes one face. Of the whole subject as it prints today the mark is kept.
func (s *search) see(content *sheet.Sheet, found diag.List, part string, today, early bool) {
	if content == nil {
		return
	}
	if today && part == "" {
		s.marks[content.Kind] = content.Mark.String()
	}
	if content.Mark == s.mark && s.sheet == nil {
		s.sheet, s.part, s.early = content, part, early
		s.worst = max(s.worst, found.Worst())
	}
}

// ofRecipe looks through everything the house could print of a recipe today:
// every design, as it is and as a draft, and last as drafts looked before the
// recipe was approved.
func ofRecipe(r *read, mark stamp.Mark) face {
	rec := r.plan.Recipe
	s := search{mark: mark, face: face{marks: map[string]string{}, subject: subject{
		id: rec.ID.Value, title: rec.Title.Value, file: filepath.ToSlash(r.name), revision: rec.Revision.Value, effective: dayOf(rec.Date),
		approved: rec.Approved.Written(), changes: rec.Changes, worst: max(r.findings.Worst(), r.found.Worst()),
	}}}
	pictures, _ := loadPictures(r.house, folderOf(r.name), rec)
	before := r.plan
	if rec.Approved.Written() {
		unapproved := *rec
		unapproved.Approved = recipe.Field[string]{}
		before = process.Of(&unapproved, r.House)
	}
	for _, plan := range []*process.Plan{r.plan, before} {
		for _, d := range r.designs() {
			if d.OfHouse() {
				continue
			}
			for _, ask := range askings(d, rec) {
				if s.sheet != nil && ask.part != "" {
					break
				}
				for _, draft := range []bool{false, true} {
					ask.Draft, ask.Pictures, ask.Findings = draft, pictures, r.found
					content, found := sheet.Build(plan, d, ask.Options)
					s.see(content, found, ask.part, !draft && plan == r.plan, plan != r.plan)
				}
			}
		}
		if s.sheet != nil || before == r.plan {
			break
		}
	}
	return s.face
}

// ofHouse looks through the pages that speak of the house alone.
func ofHouse(h *house, mark stamp.Mark) (list []face) {
	if h.File == nil {
		return nil
	}
	for _, d := range h.designs() {
		if !d.OfHouse() || d.OfBook() {
			continue
		}
		s := search{mark: mark, face: face{marks: map[string]string{}, subject: subject{
			id: d.FileName(), title: d.Name, file: h.File.Name, revision: h.Revision, effective: h.Date,
			approved: h.Approved != "", worst: h.findings.Worst(), ofHouse: true,
		}}}
		for _, draft := range []bool{false, true} {
			content, found := sheet.BuildHouse(h.House, d, sheet.Options{Draft: draft, Findings: h.findings})
			s.see(content, found, "", !draft, false)
		}
		list = append(list, s.face)
	}
	return list
}

// namesBook says whether a page calls itself a section of a book.
func (h *house) namesBook(id string) bool {
	return slices.ContainsFunc(h.designs(), func(d *sheet.Design) bool { return d.OfBook() && stamp.Fold(d.FileName()) == id })
}

// ofBook looks at the books of all recipes of the house.
func ofBook(h *house, recipes []read, mark stamp.Mark) (list []face) {
	if h.File == nil {
		return nil
	}
	for _, d := range h.designs() {
		if !d.OfBook() {
			continue
		}
		s := search{mark: mark, face: face{marks: map[string]string{}, subject: subject{
			id: d.FileName(), title: d.Name, file: h.File.Name, revision: h.Revision, effective: h.Date,
			approved: h.Approved != "", worst: h.findings.Worst(), ofHouse: true,
		}}}
		for _, draft := range []bool{false, true} {
			job := printJob{design: d, draft: draft}
			job.asked.Draft = draft
			s.see(job.bookFace(h, recipes), nil, "", !draft, false)
		}
		list = append(list, s.face)
	}
	return list
}

// words name a face: the process sheet of cast-weight, revision 2.
func (f *face) words() string {
	words := "the " + f.sheet.Kind + with(" for ", f.part)
	if !f.ofHouse {
		words += " of " + f.id
	}
	return words + numbered(", revision ", f.revision)
}

// name is the subject with its revision: cast-weight revision 2.
func (s *subject) name() string { return s.id + numbered(" revision ", s.revision) }

// with is the words behind others, or nothing.
func with(before, words string) string {
	if words == "" {
		return ""
	}
	return before + words
}

func numbered(before string, n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(before, n)
}

// dayOf is a date as it is written, empty where there is none.
func dayOf(d recipe.Field[recipe.Date]) string {
	if !d.OK {
		return ""
	}
	return d.Value.String()
}

// hold notes what the house has.
func (v *verdict) hold(f *face) {
	v.House = &verdictHouse{
		Recipe: f.id, File: f.file, Title: f.title,
		Revision: f.revision, Effective: f.effective, Marks: f.marks,
	}
	v.Page.Recipe = f.id
	if f.sheet != nil {
		v.Page = &verdictPage{
			Recipe: f.id, Revision: f.revision, Design: f.sheet.Kind,
			For: f.part, Draft: f.sheet.Draft != nil,
		}
	}
}

// again is how the page is printed anew, look how what stands against it is
// seen.
func (f *face) again() string {
	switch {
	case f.ofHouse:
		return fmt.Sprintf("coldwright print --as %q %s", f.title, filepath.ToSlash(filepath.Dir(f.file)))
	case f.sheet != nil && f.sheet.Kind != usualDesign:
		return fmt.Sprintf("coldwright print --as %q %s", f.sheet.Kind, f.file)
	}
	return "coldwright print " + f.file
}

func (s *subject) look() string {
	if s.ofHouse {
		return "coldwright check " + filepath.ToSlash(filepath.Dir(s.file))
	}
	return "coldwright check " + s.file
}

// compare is the answer for a page of something the house has.
func (v *verdict) compare(f *face, page stamp.Reading) {
	v.hold(f)
	switch {
	case f.sheet == nil:
		v.differs(f, page)
	case page.Revision != 0 && page.Revision != f.revision:
		v.say(notCurrent, "revision-differs",
			fmt.Sprintf("The mark is that of %s, and the page gives revision %d.", f.words(), page.Revision),
			"Read the page again: revision and mark stand in the same corner.")
	case f.early:
		v.say(notCurrent, "draft",
			fmt.Sprintf("The page is a draft of %s from before it was approved. In all else it says what the house's files say today.", f.name()),
			"A draft is not for the bench. Print the sheet: "+f.again())
	case f.sheet.Draft != nil:
		help := "See what stands against it: " + f.look()
		if f.approved && f.worst < diag.Error {
			help = "Print it as approved: " + f.again()
		}
		if f.ofHouse && !f.approved {
			help = "Write `approved:` with the role of who did under `house:` in " + f.file + ", and print it again: " + f.again()
		}
		v.say(notCurrent, "draft",
			fmt.Sprintf("The page says what the house's files say of %s today, but it is a draft: %s.", f.name(), f.sheet.Draft.Reason),
			help)
	case f.worst >= diag.Error:
		v.say(notCurrent, "stopped",
			fmt.Sprintf("The page is %s and says what the house's files say today, but they would not be printed: something found in them stops it.", f.words()),
			"See what: "+f.look())
	default:
		v.say(current, "same", fmt.Sprintf("The page is %s%s, and the house would print the same today, on any paper.", f.words(), with(", effective ", f.effective)), "")
	}
}

// differs is the answer where no face of the subject bears the mark.
func (v *verdict) differs(f *face, page stamp.Reading) {
	again := "Take the page down and print it again: " + f.again()
	since := with(" since ", f.effective)
	switch {
	case f.revision == 0 && !f.ofHouse:
		v.say(notCurrent, "no-revision", fmt.Sprintf("The file of %s gives no revision that can be read, so nothing is printed of it.", f.id), "See what is wrong: "+f.look())
	case page.Revision == 0 || f.revision == 0:
		v.say(notCurrent, "other-words", fmt.Sprintf("The page does not say what %s says today%s.", f.id, with("; the house prints", numbered(" revision ", f.revision)+since)), again)
	case page.Revision < f.revision:
		v.Changes = changesAfter(f.changes, page.Revision, f.revision)
		message := fmt.Sprintf("The page is of %s revision %d; the house prints revision %d%s.", f.id, page.Revision, f.revision, since)
		if len(v.Changes) == 0 && !f.ofHouse {
			message += " Its change record does not say what changed."
		}
		v.say(notCurrent, "older-revision", message, again)
	case page.Revision > f.revision:
		v.say(notCurrent, "newer-revision",
			fmt.Sprintf("The page is of %s revision %d, and the house's files hold revision %d only.", f.id, page.Revision, f.revision),
			"Either these files are older than the page, or its revision was never filed. Ask who approved it.")
	default:
		v.say(notCurrent, "other-words",
			fmt.Sprintf("The page is of %s, as the house's file is, but it does not say the same: since it was printed the recipe, the shop file, a picture or the design was changed in something that reaches the page, and the revision was not raised.", f.name()),
			again)
	}
	if marks := f.marked(); marks != "" {
		v.Message += " Today it bears " + marks + "."
	}
}

// marked are the marks the subject bears today: QF37-K2M4-B (process sheet).
func (f *face) marked() string {
	var list []string
	for design, mark := range f.marks {
		list = append(list, mark+" ("+design+")")
	}
	slices.SortFunc(list, func(a, b string) int {
		return strings.Compare(a[strings.IndexByte(a, '('):], b[strings.IndexByte(b, '('):])
	})
	return strings.Join(list, ", ")
}

// changesAfter are the entries of a change record behind one revision and up to
// another, the oldest first.
func changesAfter(changes []recipe.Change, after, upTo int) []verdictChange {
	var list []verdictChange
	for _, c := range changes {
		if !c.Revision.OK || c.Revision.Value <= after || c.Revision.Value > upTo {
			continue
		}
		list = append(list, verdictChange{Revision: c.Revision.Value, Date: dayOf(c.Date), Kind: c.Kind.Value, Note: c.Note.Value})
	}
	slices.SortStableFunc(list, func(a, b verdictChange) int { return a.Revision - b.Revision })
	return list
}
