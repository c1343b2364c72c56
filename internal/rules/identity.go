package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

var identityIncomplete = check.Rule{
	ID: "identity-incomplete", Severity: diag.Error, Concern: diag.Card,
	Title: "A recipe says which it is: id, title, revision and date.",
	Why: "A card on the wall outlives the change that made it wrong. Only its id, revision and date tell an old one from a new one. " +
		"Without `approved` the sheet prints as a draft, which is a note.",
	Source: "ISO 9001:2015, 7.5.2 and 7.5.3",
	Quiet:  "all four are written, and somebody has approved",
	Bad:    "title: Cast weight   (and no revision)",
	Good:   "revision: 3",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := c.Recipe
		var missing []string
		for _, key := range []struct {
			name    string
			written bool
		}{
			{"recipe", r.ID.Written()}, {"title", r.Title.Written()}, {"revision", r.Revision.Written()}, {"date", r.Date.Written()},
		} {
			if !key.written {
				missing = append(missing, key.name)
			}
		}
		if len(missing) > 0 {
			is := " is missing."
			if len(missing) > 1 {
				is = " are missing."
			}
			found(check.Finding{
				Span: headSpan(r), Message: capital(quotedList(missing)) + is + " A sheet without it cannot be told from an older one.",
				Help: "Write " + examples(missing) + " between the lines of three hyphens at the top.",
			})
		}
		if !r.Approved.Written() {
			found(check.Finding{
				Span: headSpan(r), Severity: diag.Note,
				Message: "Nobody has approved this revision, so it prints as a draft.",
				Help:    "Write `approved:` with the role or initials of who did.",
			})
		}
	},
}

// headSpan is what stands for the whole front matter: the id where there is
// one.
func headSpan(r *recipe.Recipe) source.Span {
	switch {
	case r.ID.Span.Known():
		return r.ID.Span
	case r.Head.Known():
		return r.Head
	}
	if r.File == nil {
		return source.Span{}
	}
	return r.File.Span(0, 0)
}

func quotedList(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = "`" + w + ":`"
	}
	return listed(quoted, "and")
}

var exampleOf = map[string]string{
	"recipe": "`recipe: cast-weight`", "title": "`title: Cast weight`", "revision": "`revision: 1`", "date": "`date: 2026-10-05`",
}

func examples(missing []string) string {
	lines := make([]string, len(missing))
	for i, w := range missing {
		lines[i] = exampleOf[w]
	}
	return listed(lines, "and")
}

var changeRecord = check.Rule{
	ID: "change-record", Severity: diag.Error, Concern: diag.Card,
	Title: "From revision 2 on, the recipe says what was changed and when.",
	Why: "Whoever has learnt the last revision must see what is new, and whether it touches safety, the method or only words. " +
		"Dates that run backwards mean that one of them is wrong.",
	Source: "ISO 9001:2015, 7.5.3",
	Quiet:  "the revision is 1, or the record has the newest revision and its dates run forward",
	Bad:    "revision: 4   (and a newest change of revision 3)",
	Good:   "- {revision: 4, date: 2026-10-05, kind: method, note: Pumice put in before cerium.}",
	Check:  checkChanges,
}

func checkChanges(c *check.Context, found func(check.Finding)) {
	r := c.Recipe
	if !r.Revision.OK {
		return
	}
	newest := false
	var last *recipe.Change
	for i := range r.Changes {
		change := &r.Changes[i]
		if !change.Revision.Written() || change.Revision.OK && change.Revision.Value == r.Revision.Value {
			newest = true
		}
		if !change.Revision.OK {
			continue
		}
		if change.Revision.Value > r.Revision.Value {
			found(check.Finding{
				Span:    change.Revision.Span,
				Message: "The change record speaks of revision " + itoa(change.Revision.Value) + ", and this recipe is revision " + itoa(r.Revision.Value) + ".",
				Help:    "Write `revision: " + itoa(change.Revision.Value) + "` at the top, or mend the record.",
			})
		}
		if last != nil {
			older, newer := last, change
			if older.Revision.Value > newer.Revision.Value {
				older, newer = newer, older
			}
			if older.Revision.Value != newer.Revision.Value && older.Date.OK && newer.Date.OK && before(newer.Date.Value, older.Date.Value) {
				found(check.Finding{
					Span: newer.Date.Span,
					Message: "Revision " + itoa(newer.Revision.Value) + " bears the date " + day(newer.Date.Value) + ", which is before revision " +
						itoa(older.Revision.Value) + " of " + day(older.Date.Value) + ".",
					Help: "Mend the date that is wrong.",
				})
			}
		}
		if r.Date.OK && change.Date.OK && before(r.Date.Value, change.Date.Value) {
			found(check.Finding{
				Span:    change.Date.Span,
				Message: "This change bears the date " + day(change.Date.Value) + ", which is after the date of the recipe, " + day(r.Date.Value) + ".",
				Help:    "Mend the date that is wrong.",
			})
		}
		last = change
	}
	if r.Revision.Value >= 2 && !newest {
		found(check.Finding{
			Span:    r.Revision.Span,
			Message: "This is revision " + itoa(r.Revision.Value) + ", and the change record does not say what was changed in it.",
			Help:    "Add to `changes:` a line `- {revision: " + itoa(r.Revision.Value) + ", date: " + dateOr(r) + ", kind: method, note: what was changed}`.",
		})
	}
}

func dateOr(r *recipe.Recipe) string {
	if r.Date.OK {
		return day(r.Date.Value)
	}
	return "YYYY-MM-DD"
}

var reviewPast = check.Rule{
	ID: "review-past", Severity: diag.Warning, Concern: diag.Card,
	Title:  "The day on which the house reads the recipe again has not gone by.",
	Why:    "Wheels, glass and people change while a sheet hangs on the wall. A date kept is how the house knows that it still holds.",
	Source: "ISO 9001:2015, 7.5.3",
	Quiet:  "no `review` date is written, or it lies ahead",
	Bad:    "review: 2024-01-31",
	Good:   "review: 2027-10-05",
	Check: func(c *check.Context, found func(check.Finding)) {
		review := c.Recipe.Review
		if !review.OK || c.Today == (recipe.Date{}) || !before(review.Value, c.Today) {
			return
		}
		found(check.Finding{
			Span:    review.Span,
			Message: "This recipe was to be read again by " + day(review.Value) + ".",
			Help:    "Read it at the bench, then write the next date.",
		})
	},
}

// before says whether day a comes before day b.
func before(a, b recipe.Date) bool {
	switch {
	case a.Year != b.Year:
		return a.Year < b.Year
	case a.Month != b.Month:
		return a.Month < b.Month
	}
	return a.Day < b.Day
}

// day is a date as the format writes it.
func day(d recipe.Date) string {
	pad := func(n, width int) string {
		s := itoa(n)
		for len(s) < width {
			s = "0" + s
		}
		return s
	}
	return pad(d.Year, 4) + "-" + pad(d.Month, 2) + "-" + pad(d.Day, 2)
}
