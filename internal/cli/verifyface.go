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

// shelfFace is a recipe of the house and, where one bears the mark of a page,
// the face of it that does.
type shelfFace struct {
	by *read
	// face is nil where none bears it.
	face *sheet.Sheet
	// part is the part of the recipe the face is for, early that it is as the
	// recipe was before it was approved.
	part  string
	early bool
	// worst is the gravest finding that stands against printing the face.
	worst diag.Severity
	// marks are those of the whole recipe, as it prints today, by design.
	marks map[string]string
}

// asking is one way a recipe can be asked for: the whole of it or a part.
type asking struct {
	part string
	sheet.Options
}

// askings are the ways a design can be asked for that change what it says. The
// paper does not: see sheet.Fingerprint.
func askings(*sheet.Design, *recipe.Recipe) []asking { return []asking{{}} }

// faceOf looks through everything the house could print of a recipe today for
// the face that bears a mark: every design, as it is and as a draft, and last
// as drafts looked before the recipe was approved.
func faceOf(r *read, mark stamp.Mark) shelfFace {
	f := shelfFace{by: r, marks: map[string]string{}}
	pictures, _ := loadPictures(r.house, folderOf(r.name), r.plan.Recipe)
	before := r.plan
	if r.plan.Recipe.Approved.Written() {
		unapproved := *r.plan.Recipe
		unapproved.Approved = recipe.Field[string]{}
		before = process.Of(&unapproved, r.House)
	}
	for _, plan := range []*process.Plan{r.plan, before} {
		for _, d := range sheet.Designs() {
			for _, ask := range askings(d, r.plan.Recipe) {
				for _, draft := range []bool{false, true} {
					ask.Draft, ask.Pictures, ask.Findings = draft, pictures, r.found
					content, found := sheet.Build(plan, d, ask.Options)
					if content == nil {
						continue
					}
					if ask.part == "" && !draft && plan == r.plan {
						f.marks[d.Name] = content.Mark.String()
					}
					if content.Mark == mark && f.face == nil {
						f.face, f.part, f.early = content, ask.part, plan != r.plan
						f.worst = max(r.findings.Worst(), r.found.Worst(), found.Worst())
					}
				}
			}
		}
		if f.face != nil || before == r.plan {
			break
		}
	}
	return f
}

// words name a face: the process sheet of cast-weight, revision 2.
func (f *shelfFace) words() string {
	rec := f.by.plan.Recipe
	return fmt.Sprintf("the %s%s of %s, revision %d", f.face.Kind, with(" for ", f.part), rec.ID.Value, rec.Revision.Value)
}

// with is the words behind others, or nothing.
func with(before, words string) string {
	if words == "" {
		return ""
	}
	return before + words
}

// hold notes what the house has.
func (v *verdict) hold(f shelfFace) {
	rec := f.by.plan.Recipe
	v.House = &verdictHouse{
		Recipe: rec.ID.Value, File: filepath.ToSlash(f.by.name), Title: rec.Title.Value,
		Revision: rec.Revision.Value, Effective: day(rec.Date), Marks: f.marks,
	}
	v.Page.Recipe = rec.ID.Value
	if f.face != nil {
		v.Page = &verdictPage{
			Recipe: rec.ID.Value, Revision: rec.Revision.Value, Design: f.face.Kind,
			For: f.part, Draft: f.face.Draft != nil,
		}
	}
}

// day is a date as it is written, empty where there is none.
func day(d recipe.Field[recipe.Date]) string {
	if !d.OK {
		return ""
	}
	return d.Value.String()
}

// compare is the answer for a page of a recipe the house has.
func (v *verdict) compare(f shelfFace, page stamp.Reading) {
	v.hold(f)
	rec := f.by.plan.Recipe
	name := rec.ID.Value
	switch {
	case f.face == nil:
		v.differs(f, page)
	case page.Revision != 0 && page.Revision != rec.Revision.Value:
		v.say(notCurrent, "revision-differs",
			fmt.Sprintf("The mark is that of %s, and the page gives revision %d.", f.words(), page.Revision),
			"Read the page again: revision and mark stand in the same corner.")
	case f.early:
		v.say(notCurrent, "draft",
			fmt.Sprintf("The page is a draft of %s revision %d from before it was approved. In all else it says what the house's files say today.", name, rec.Revision.Value),
			"A draft is not for the bench. Print the sheet: coldwright print "+v.House.File)
	case f.face.Draft != nil:
		help := "See what stands against it: coldwright check " + v.House.File
		if rec.Approved.Written() && f.worst < diag.Error {
			help = "Print the sheet: coldwright print " + v.House.File
		}
		v.say(notCurrent, "draft",
			fmt.Sprintf("The page says what the house's files say of %s revision %d today, but it is a draft: %s.", name, rec.Revision.Value, f.face.Draft.Reason),
			help)
	case f.worst >= diag.Error:
		v.say(notCurrent, "stopped",
			fmt.Sprintf("The page is %s and says what the house's files say today, but they would not be printed: something found in them stops it.", f.words()),
			"See what: coldwright check "+v.House.File)
	default:
		v.say(current, "same", fmt.Sprintf("The page is %s%s, and the house would print the same today, on any paper.", f.words(), with(", effective ", day(rec.Date))), "")
	}
}

// differs is the answer where no face of the recipe bears the mark.
func (v *verdict) differs(f shelfFace, page stamp.Reading) {
	rec := f.by.plan.Recipe
	name, now := rec.ID.Value, rec.Revision.Value
	again := "Take the page down and print it again: coldwright print " + v.House.File
	since := ""
	if d := day(rec.Date); d != "" {
		since = " since " + d
	}
	switch {
	case !rec.Revision.OK:
		v.say(notCurrent, "no-revision", fmt.Sprintf("The file of %s gives no revision that can be read, so nothing is printed of it.", name), "See what is wrong: coldwright check "+v.House.File)
	case page.Revision == 0:
		v.say(notCurrent, "other-words", fmt.Sprintf("The page does not say what %s says today; the house prints revision %d%s.", name, now, since), again)
	case page.Revision < now:
		v.Changes = changesAfter(rec, page.Revision)
		message := fmt.Sprintf("The page is of %s revision %d; the house prints revision %d%s.", name, page.Revision, now, since)
		if len(v.Changes) == 0 {
			message += " Its change record does not say what changed."
		}
		v.say(notCurrent, "older-revision", message, again)
	case page.Revision > now:
		v.say(notCurrent, "newer-revision",
			fmt.Sprintf("The page is of %s revision %d, and the house's files hold revision %d only.", name, page.Revision, now),
			"Either these files are older than the page, or its revision was never filed. Ask who approved it.")
	default:
		v.say(notCurrent, "other-words",
			fmt.Sprintf("The page is of %s revision %d, as the house's file is, but it does not say the same: since it was printed the recipe, the shop file, a picture or the design was changed in something that reaches the page, and the revision was not raised.", name, now),
			again)
	}
	if marks := f.marked(); marks != "" {
		v.Message += " Today it bears " + marks + "."
	}
}

// marked are the marks the recipe bears today: QF37-K2M4-B (process sheet).
func (f *shelfFace) marked() string {
	var list []string
	for design, mark := range f.marks {
		list = append(list, mark+" ("+design+")")
	}
	slices.SortFunc(list, func(a, b string) int {
		return strings.Compare(a[strings.IndexByte(a, '('):], b[strings.IndexByte(b, '('):])
	})
	return strings.Join(list, ", ")
}

// changesAfter are the entries of the change record of later revisions, the
// oldest first.
func changesAfter(rec *recipe.Recipe, revision int) []verdictChange {
	var list []verdictChange
	for _, c := range rec.Changes {
		if !c.Revision.OK || c.Revision.Value <= revision || c.Revision.Value > rec.Revision.Value {
			continue
		}
		list = append(list, verdictChange{Revision: c.Revision.Value, Date: day(c.Date), Kind: c.Kind.Value, Note: c.Note.Value})
	}
	slices.SortStableFunc(list, func(a, b verdictChange) int { return a.Revision - b.Revision })
	return list
}
