package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

var changeRecord = check.Rule{
	ID: "change-record", Severity: diag.Error, Concern: diag.Card,
	Title: "From revision 2 on, the recipe says what was changed and when.",
	Why: "Whoever has learnt the last revision must see what is new, and whether it touches safety, the method or only words. " +
		"Dates that run backwards mean that one of them is wrong.",
	Source: "ISO 9001:2015, 7.5.3",
	Quiet:  "the revision is 1, or the record has the newest revision, its dates run forward and its newest one is not that of the recipe with day and month changed about",
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
				Mend:    bumpRevision(r),
			})
		}
		if last != nil {
			older, newer := last, change
			if older.Revision.Value > newer.Revision.Value {
				older, newer = newer, older
			}
			if older.Revision.Value != newer.Revision.Value && older.Date.OK && newer.Date.OK && newer.Date.Value.Before(older.Date.Value) {
				found(check.Finding{
					Span: newer.Date.Span,
					Message: "Revision " + itoa(newer.Revision.Value) + " bears the date " + day(newer.Date.Value) + ", which is before revision " +
						itoa(older.Revision.Value) + " of " + day(older.Date.Value) + ".",
					Help: "Mend the date that is wrong.",
				})
			}
		}
		if r.Date.OK && change.Date.OK && r.Date.Value.Before(change.Date.Value) {
			found(check.Finding{
				Span:    change.Date.Span,
				Message: "This change bears the date " + day(change.Date.Value) + ", which is after the date of the recipe, " + day(r.Date.Value) + ".",
				Help:    "Mend the date that is wrong.",
			})
		}
		if newest && changedAbout(r, change) {
			found(check.Finding{
				Severity: diag.Warning, Span: change.Date.Span,
				Message: "Revision " + itoa(r.Revision.Value) + " bears the date " + day(change.Date.Value) + " in the change record, and the recipe bears " + day(r.Date.Value) + ": day and month have changed places.",
				Help:    "Write " + day(r.Date.Value) + " here too, or mend the date of the recipe.",
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

// changedAbout says whether a change is of the revision at hand, and its date is
// that of the recipe with day and month the other way round.
func changedAbout(r *recipe.Recipe, change *recipe.Change) bool {
	if !r.Date.OK || !change.Date.OK || change.Revision.Value != r.Revision.Value {
		return false
	}
	a, b := r.Date.Value, change.Date.Value
	return a != b && a.Year == b.Year && a.Month == b.Day && b.Month == a.Day
}

func dateOr(r *recipe.Recipe) string {
	if r.Date.OK {
		return day(r.Date.Value)
	}
	return "YYYY-MM-DD"
}
