package rules

import (
	"coldwright/internal/check"
	"coldwright/internal/diag"
)

var dryWorkOnLead = check.Rule{
	ID: "dry-work-on-lead", Severity: diag.Refusal, Concern: diag.People,
	Title:  "No sheet is made for dry work on lead glass or on unknown glass.",
	Why:    "Dry work on lead glass puts lead into the air and on the hands, and a mask does not keep it off the sandwich.",
	Source: "NIOSH HETA 86-070-1774; 29 CFR 1910.1025; seen second-hand",
	Quiet:  "the work is wet, is a blast, or the glass is a known one without lead",
	Bad:    "Water: dry   (glass: lead crystal)",
	Good:   "Water: drip",
	Check: func(c *check.Context, found func(check.Finding)) {
		f := safetyOf(c)
		if !f.lead {
			return
		}
		var first *check.Finding
		for i := range f.steps {
			s := &f.steps[i]
			if s.blast {
				continue
			}
			span := s.s.Water.Span
			if !(s.p.Dry && s.s.Working()) {
				var ok bool
				if span, ok = f.hitIn(s.s, signDry); !ok || f.bannedAt(span.Start) {
					continue
				}
			}
			if first == nil {
				first = &check.Finding{
					Span: s.at(span), Step: s.s.Number,
					Message: f.leadName() + " is worked dry here. No sheet is made for that, not even a draft.",
					Help:    "Work it wet: `Water: drip`, `spray` or `flood`.",
				}
				if f.r.GlassUnknown {
					first.Help += " If the glass is known to hold no lead, say which it is."
				}
				continue
			}
			first.Also = append(first.Also, diag.Site{Span: s.at(span), Step: s.s.Number})
		}
		if first != nil {
			found(*first)
		}
	},
}

// leadName is the glass for a sentence.
func (f *safety) leadName() string {
	if f.r.GlassUnknown || f.r.Glass.Value == nil {
		return "Unknown glass, which counts as lead glass,"
	}
	return capital(f.r.Glass.Value.Name) + ", which is handled as lead glass,"
}
