package sheet

import (
	"strconv"
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
		if !ok || set.Severity != diag.Warning.String() || d.Severity > diag.Warning || seen[d.Rule] || b.accepts(&d) {
			continue
		}
		seen[d.Rule] = true
		lines = append(lines, joined(" ", "The house only warns of this:", b.foundWords(d.Rule, "", ""), because(set.Because), "["+d.Rule+"]"))
	}
	for _, a := range b.recipe.Accepted {
		lines = append(lines, b.acceptedLine(a))
	}
	return lines
}

func because(reason string) string {
	if reason = strings.TrimRight(strings.TrimSpace(reason), "."); reason == "" {
		return ""
	}
	return "Reason: " + reason + "."
}

// acceptedLine says what the lead has overruled, why and until when. What does
// not stand as an overruling is no more than what was written.
func (b *builder) acceptedLine(a recipe.Accepted) string {
	reason := because(written(a.Reason))
	if !a.Finding.OK || b.refused(a) {
		return joined(" ", "Asked to be accepted, and not: "+followed(written(a.Finding), "."), reason)
	}
	head := "Accepted by the lead"
	if a.Until.Written() {
		head += " until " + dateOf(a.Until)
	}
	id, title := acceptedParts(a)
	return joined(" ", head+":", b.foundWords(id, title, strings.TrimRight(strings.TrimSpace(a.Reason.Value), ".")), reason, "["+id+"]")
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

// accepts says whether the lead has overruled a finding, so that it is not
// said twice.
func (b *builder) accepts(d *diag.Diagnostic) bool {
	for _, a := range b.recipe.Accepted {
		if id, title := acceptedParts(a); a.Finding.OK && id == d.Rule && d.Severity == diag.Note && b.at(d, title) {
			return true
		}
	}
	return false
}

// at says whether a finding is at the step whose title begins so; every one is
// where no title is given.
func (b *builder) at(d *diag.Diagnostic, title string) bool {
	if title == "" {
		return true
	}
	return d.Step > 0 && d.Step <= len(b.recipe.Steps) &&
		strings.HasPrefix(strings.ToLower(b.recipe.Steps[d.Step-1].Title), strings.ToLower(title))
}

// foundWords are what a rule found here, in its own sentence, and at how many
// places more; without a finding the rule's name, which is plain words. Why it
// was overruled is said by the caller.
func (b *builder) foundWords(id, title, reason string) string {
	words, more := "", 0
	for i := range b.opt.Findings {
		d := &b.opt.Findings[i]
		if d.Rule != id || !b.at(d, title) {
			continue
		}
		more += len(d.Also)
		if words != "" {
			more++
			continue
		}
		words = withoutReason(d.Message, reason)
		if d.Step > 0 && !strings.Contains(strings.ToLower(words), "step ") {
			words = "Step " + strconv.Itoa(d.Step) + ": " + words
		}
	}
	if words == "" {
		words = strings.ReplaceAll(id, "-", " ") + prefixed(" at the step ", title) + "."
	}
	if more > 0 {
		words += " And at " + count(more, "more place.", "more places.")
	}
	return words
}

// withoutReason is the message of a finding without its last sentence where
// that gives the reason it was overruled for.
func withoutReason(message, reason string) string {
	if reason == "" || !strings.HasSuffix(message, reason+".") {
		return message
	}
	rest := strings.TrimSuffix(message, reason+".")
	if end := strings.LastIndex(rest, ". "); end > 0 {
		return rest[:end+1]
	}
	return message
}
