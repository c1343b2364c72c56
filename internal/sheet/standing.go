package sheet

import (
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

// standingLines are the rules this house has lowered, where one of them found
// something here, and the findings the lead has overruled. They say what was
// found, since the name of a rule tells a bench hand little; it stands behind
// in brackets.
func (b *builder) standingLines() []string {
	var lines []string
	seen := map[string]bool{}
	for _, d := range b.opt.Findings {
		set, ok := b.house.Limits.Rules[d.Rule]
		if !ok || set.Severity != diag.Warning.String() || d.Severity != diag.Warning || seen[d.Rule] || d.Accepted != nil {
			continue
		}
		seen[d.Rule] = true
		lines = append(lines, joined(" ", b.say("The house only warns of this:"), b.foundWords(d.Rule, "", func(o *diag.Diagnostic) bool { return o.Accepted == nil }), b.because(set.Because), "["+d.Rule+"]"))
	}
	for _, a := range b.recipe.Accepted {
		lines = append(lines, b.acceptedLine(a))
	}
	return lines
}

func (t tongue) because(reason string) string {
	if reason = strings.TrimRight(strings.TrimSpace(reason), "."); reason == "" {
		return ""
	}
	return t.say("Reason: %s.", reason)
}

// acceptedLine says what the lead has overruled, why and until when. What does
// not stand as an overruling is no more than what was written.
func (b *builder) acceptedLine(a recipe.Accepted) string {
	reason := b.because(written(a.Reason))
	if !a.Finding.OK || b.refused(a) {
		return joined(" ", strings.TrimSpace(b.say("Asked to be accepted, and not: %s", followed(written(a.Finding), "."))), reason)
	}
	head := b.say("Accepted by the lead:")
	if a.Until.Written() {
		head = b.say("Accepted by the lead until %s:", b.dateOf(a.Until))
	}
	id, title := acceptedParts(a)
	return joined(" ", head, b.foundWords(id, title, func(d *diag.Diagnostic) bool {
		return d.Accepted != nil && d.Accepted.Span == a.Span
	}), reason, "["+id+"]")
}

// acceptedParts are the rule of an entry and the step it is for, if any.
func acceptedParts(a recipe.Accepted) (id, title string) {
	id, title, _ = strings.Cut(a.Finding.Value, "@")
	return strings.TrimSpace(id), strings.TrimSpace(title)
}

// refused says whether the check let an entry stand: one that was turned down
// is an error at its place.
func (b *builder) refused(a recipe.Accepted) bool {
	for _, d := range b.opt.Findings {
		if d.Severity >= diag.Error && d.Span == a.Finding.Span {
			return true
		}
	}
	return false
}

// foundWords are what a rule found here, in its own sentence, and at how many
// places more; without a finding the rule's name, which is plain words. meant
// says which of the rule's findings are spoken of.
func (b *builder) foundWords(id, title string, meant func(*diag.Diagnostic) bool) string {
	words, more := "", 0
	for i := range b.opt.Findings {
		d := &b.opt.Findings[i]
		if d.Rule != id || !meant(d) {
			continue
		}
		more += len(d.Also)
		if words != "" {
			more++
			continue
		}
		words = d.Message
		if d.Step > 0 && !strings.Contains(strings.ToLower(words), "step ") {
			words = b.say("Step %d: %s", d.Step, words)
		}
	}
	if words == "" {
		words = strings.ReplaceAll(id, "-", " ") + followed(b.filled(" at the step %s", title), "") + "."
	}
	if more > 0 {
		words += " " + b.count(more, "And at 1 more place.", "And at %d more places.")
	}
	return words
}
