package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
)

var identityIncomplete = check.Rule{
	ID: "identity-incomplete", Severity: diag.Note, Concern: diag.Card,
	Title: "A recipe says who approved it.",
	Why: "A card on the wall outlives the change that made it wrong. Id, title, revision and date tell an old card from a new one; without them a recipe is not read at all (missing-key). " +
		"Without `approved` the sheet prints marked as a draft.",
	Source: "ISO 9001:2015, 7.5.2 and 7.5.3",
	Quiet:  "somebody has approved the revision",
	Bad:    "revision: 3   (and no approved)",
	Good:   "approved: studio lead",
	Check: func(c *check.Context, found func(check.Finding)) {
		r := c.Recipe
		if r.Approved.Written() || !r.ID.Written() {
			return
		}
		at := r.ID.Span
		if r.Revision.Written() {
			at = r.Revision.Span
		}
		found(check.Finding{
			Span:    at,
			Message: "Nobody has approved this revision, so it prints as a draft.",
			Help:    "Write `approved:` with the role or initials of who did.",
		})
	},
}
