package rules

import (
	"strings"
	"unicode"

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
	Quiet: "the lap is hard and is scrubbed (an iron lap, a glass plate), the two steps name different media, or the step says that the felt, pad or brush is new or changed; " +
		"a finer grain on one kept for a coarser is a warning",
	Bad:   "Medium: felt wheel, 250 mm   (with pumice, and again with cerium on the same machine)",
	Good:  "Medium: FELT-C   (a line of its own in the shop file, kept for cerium oxide)",
	Check: checkOneMedium,
}

func checkOneMedium(c *check.Context, found func(check.Finding)) {
	var first map[string][]*recipe.Step
	for i := range c.Recipe.Steps {
		step := &c.Recipe.Steps[i]
		m, a := step.Medium.Value, &step.Abrasive.Value
		toldShared(c, i, found)
		if !step.Medium.OK || !step.Abrasive.OK || m.Kind == nil || a.Family == nil || !loose(a) || !m.Kind.Lap.Compliant() {
			continue
		}
		if m.Stock != nil && m.Stock.KeptFor != "" {
			if wrong, severity := against(c.House, m.Stock, a); wrong != "" {
				found(check.Finding{
					Span: step.Medium.Span, Step: step.Number, Severity: severity,
					Message: "Step " + itoa(step.Number) + " puts " + nameOf(a) + " on " + m.Stock.Code + ", which is kept for " + m.Stock.KeptFor + ". " + wrong,
					Help:    "Write " + article(m.Kind.Name) + " of its own for " + ownFor(m.Stock, a) + ".",
				})
			}
			continue
		}
		key := mediumKey(step)
		before := sameMedium(first[key], step)
		if before == nil {
			if first == nil {
				first = map[string][]*recipe.Step{}
			}
			first[key] = append(first[key], step)
			continue
		}
		if before.Abrasive.Value.Family == a.Family || changedFor(c.Recipe, before, step) {
			continue
		}
		found(check.Finding{
			Span: step.Medium.Span, Step: step.Number,
			Message: "Steps " + itoa(before.Number) + " and " + itoa(step.Number) + " share one " + mediumName(m) + code(m) + ", " +
				before.Abrasive.Value.Family.Name + " first and then " + a.Family.Name + ". Rinsing does not clear it.",
			Help: "Give each compound its own: a line in the shop file for each, with `kept for`. Or say in the step that a new one goes on.",
			Also: []diag.Site{{Span: before.Medium.Span, Step: before.Number}},
		})
	}
}

// ownFor is what a medium of its own is for: the powder, with its grade where
// the other is kept for another grade of it.
func ownFor(m *trade.MediumStock, a *trade.Abrasive) string {
	if strings.HasPrefix(strings.ToLower(m.KeptFor), strings.ToLower(a.Family.Name)) && a.Grade.Written() {
		return a.Family.Name + " " + a.Grade.Label
	}
	return a.Family.Name
}

// sameMedium is the first of the steps whose medium the step's is: of one
// kind, or one of the two is called by the plain word for it, "brush wheel".
func sameMedium(steps []*recipe.Step, step *recipe.Step) *recipe.Step {
	kind := step.Medium.Value.Kind
	for _, one := range steps {
		other := one.Medium.Value.Kind
		if kind == other || strings.HasSuffix(kind.Name, " "+other.Name) || strings.HasSuffix(other.Name, " "+kind.Name) {
			return one
		}
	}
	return nil
}

// newWords say of a thing that it is not the one that was used before.
var newWords = map[string]bool{
	"new": true, "fresh": true, "unused": true, "another": true, "second": true, "other": true, "own": true, "separate": true, "clean": true,
	"replace": true, "replaced": true, "replacing": true, "change": true, "changed": true, "changing": true, "swap": true, "swapped": true, "exchange": true, "exchanged": true,
}

// changedFor says whether the step, or the clean-down of one from before up to
// it, says that its medium is new or changed.
func changedFor(r *recipe.Recipe, before, step *recipe.Step) bool {
	name := step.Medium.Value.Kind.Name
	if saysNew(stepWords(step), name) {
		return true
	}
	for i := before.Number - 1; i < step.Number; i++ {
		if saysNew(r.Steps[i].CleanDown.Value, name) {
			return true
		}
	}
	return false
}

// saysNew says whether a text calls the medium new: one of the words for it
// within three words of one of its own, in one clause.
func saysNew(text, medium string) bool {
	own := map[string]bool{}
	for _, word := range strings.Fields(strings.ToLower(medium)) {
		own[word], own[word+"s"] = true, true
	}
	for _, clause := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return strings.ContainsRune(".;:!?\n", r) }) {
		const far = 4
		said, named, denied := -far, -far, -far
		for i, word := range strings.FieldsFunc(clause, func(r rune) bool { return !unicode.IsLetter(r) }) {
			switch {
			case word == "never" || word == "not" || word == "no" || word == "without":
				denied = i
				continue
			case newWords[word] && i-denied >= far:
				said = i
			case own[word]:
				named = i
			default:
				continue
			}
			if said >= 0 && named >= 0 && max(said, named)-min(said, named) < far {
				return true
			}
		}
	}
	return false
}

func code(m trade.Medium) string {
	if m.Stock == nil {
		return ""
	}
	return " (" + m.Stock.Code + ")"
}

// mediumKey is what two steps have alike that may share a wheel, pad or brush:
// its code, or machine, lap class, variant and diameter as written out.
func mediumKey(step *recipe.Step) string {
	m := step.Medium.Value
	if m.Stock != nil {
		return "code " + m.Stock.Code
	}
	return machineKey(step.Machine.Value) + "|" + string(m.Kind.Lap) + "|" + m.Variant + "|" + figure(m.Diameter.Amount*m.Diameter.Unit.Factor)
}

// against says what is wrong with an abrasive on a medium that is kept for
// something, and how much it weighs where that is less than the rule; empty
// where nothing is.
func against(h *trade.House, m *trade.MediumStock, a *trade.Abrasive) (string, diag.Severity) {
	family, rest := keptFamily(h, m.KeptFor)
	if family == nil {
		return "", 0
	}
	if family != a.Family {
		return "Grains of the one stay in it and scratch under the other.", 0
	}
	// Cerium breaks down as it works; its sizes are not held against each other.
	if rest == "" || !a.Grade.Written() || isWork(a, trade.Polish) {
		return "", 0
	}
	var unread diag.List
	kept, ok := h.ReadGrade(source.Span{}, rest, family, trade.Loose, &unread)
	if !ok {
		return "", 0
	}
	coarser, finer := a.Grade.Size > kept.Size, a.Grade.Size < kept.Size
	if kept.Scale == grade.Pumice && a.Grade.Scale == grade.Pumice {
		coarser, finer = a.Grade.Order > kept.Order, a.Grade.Order < kept.Order
	} else if nearSize(a.Grade.Size, kept.Size) {
		return "", 0
	}
	switch {
	case coarser:
		return "A coarser grain never touches it.", 0
	case finer:
		return "Coarser grains stay in it and work on under the finer one.", diag.Warning
	}
	return "", 0
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
