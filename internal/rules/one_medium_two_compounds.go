package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/grade"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

var oneMedium = check.Rule{
	ID: "one-medium-two-compounds", Severity: diag.Error, Concern: diag.Piece,
	Title: "A felt, cork, brush or pad carries one compound and no other.",
	Why: "Grains stay in felt and bristle, and no rinse gets them out: pumice left in a cerium felt scratches the polish. " +
		"Write on each what it is for, and in the shop file `kept for`.",
	Source: "common practice",
	Quiet:  "the lap is hard and is scrubbed (an iron lap, a glass plate), or the two steps name different media",
	Bad:    "Medium: felt wheel, 250 mm   (with pumice, and again with cerium on the same machine)",
	Good:   "Medium: FELT-C   (a line of its own in the shop file, kept for cerium oxide)",
	Check: func(c *check.Context, found func(check.Finding)) {
		var first map[string]*recipe.Step
		for i := range c.Recipe.Steps {
			step := &c.Recipe.Steps[i]
			m, a := step.Medium.Value, step.Abrasive.Value
			if !step.Medium.OK || !step.Abrasive.OK || m.Kind == nil || a.Family == nil || !loose(a) || !m.Kind.Lap.Compliant() {
				continue
			}
			if m.Stock != nil && m.Stock.KeptFor != "" {
				if wrong := against(c.House, m.Stock, a); wrong != "" {
					found(check.Finding{
						Span: step.Medium.Span, Step: step.Number,
						Message: "Step " + itoa(step.Number) + " puts " + nameOf(a) + " on " + m.Stock.Code + ", which is kept for " + m.Stock.KeptFor + ". " + wrong,
						Help:    "Write " + article(m.Kind.Name) + " of its own for " + a.Family.Name + ".",
					})
				}
				continue
			}
			key := mediumKey(step)
			before, seen := first[key]
			if !seen {
				if first == nil {
					first = map[string]*recipe.Step{}
				}
				first[key] = step
				continue
			}
			if before.Abrasive.Value.Family != a.Family {
				found(check.Finding{
					Span: step.Medium.Span, Step: step.Number,
					Message: "Steps " + itoa(before.Number) + " and " + itoa(step.Number) + " share one " + mediumName(m) + code(m) + ", " +
						before.Abrasive.Value.Family.Name + " first and then " + a.Family.Name + ". Rinsing does not clear it.",
					Help: "Give each compound its own: a line in the shop file for each, with `kept for`.",
					Also: []diag.Site{{Span: before.Medium.Span, Step: before.Number}},
				})
			}
		}
	},
}

func code(m trade.Medium) string {
	if m.Stock == nil {
		return ""
	}
	return " (" + m.Stock.Code + ")"
}

// mediumKey tells one wheel, pad or brush from another: by its code, or as
// written out on one machine.
func mediumKey(step *recipe.Step) string {
	m := step.Medium.Value
	if m.Stock != nil {
		return "code " + m.Stock.Code
	}
	var b strings.Builder
	b.WriteString(machineKey(step.Machine.Value))
	b.WriteByte('|')
	b.WriteString(m.Kind.Name + "|" + m.Variant + "|")
	b.WriteString(figure(m.Diameter.Amount * m.Diameter.Unit.Factor))
	return b.String()
}

// against says what is wrong with an abrasive on a medium that is kept for
// something; empty where nothing is.
func against(h *trade.House, m *trade.MediumStock, a trade.Abrasive) string {
	family, rest := keptFamily(h, m.KeptFor)
	if family == nil {
		return ""
	}
	if family != a.Family {
		return "Grains of the one stay in it and scratch under the other."
	}
	if rest == "" || !a.Grade.Written() {
		return ""
	}
	var unread diag.List
	kept, ok := h.ReadGrade(source.Span{}, rest, family, trade.Loose, &unread)
	if !ok {
		return ""
	}
	if kept.Scale == grade.Pumice && a.Grade.Scale == grade.Pumice {
		if a.Grade.Order > kept.Order {
			return "A coarser grain never touches it."
		}
		return ""
	}
	if a.Grade.Size > kept.Size && !nearSize(a.Grade.Size, kept.Size) {
		return "A coarser grain never touches it."
	}
	return ""
}

// keptFamily is the family a `kept for` begins with, and the grade behind it.
func keptFamily(h *trade.House, kept string) (*trade.Family, string) {
	words := strings.Fields(kept)
	for n := len(words); n > 0; n-- {
		if f := h.FindFamily(strings.Join(words[:n], " ")); f != nil {
			return f, strings.Join(words[n:], " ")
		}
	}
	return nil, ""
}
