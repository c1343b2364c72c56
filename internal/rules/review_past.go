package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

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
		if !review.OK || c.Today == (recipe.Date{}) || !review.Value.Before(c.Today) {
			return
		}
		found(check.Finding{
			Span:    review.Span,
			Message: "This recipe was to be read again by " + day(review.Value) + ".",
			Help:    "Read it at the bench, then write the next date.",
		})
	},
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
