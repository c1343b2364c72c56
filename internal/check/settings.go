package check

import (
	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

// laidOver is the severity a finding has once the house has had its say. A
// refusal stays one; what protects people may be raised, never lowered. Where a
// rule that warns or stops finds something that is only good to know, that stays
// a note: the house speaks of the fault the rule is there for.
func laidOver(rule *Rule, severity diag.Severity, h *trade.House) diag.Severity {
	if severity == diag.Refusal || severity == diag.Note && rule.Severity > diag.Note || h == nil {
		return severity
	}
	wanted, ok := settingOf(rule.ID, h)
	if !ok {
		return severity
	}
	if rule.protects() {
		return max(severity, wanted)
	}
	return wanted
}

// settingOf is the severity the house wrote for the rule, false where it wrote
// none that can be read.
func settingOf(id string, h *trade.House) (diag.Severity, bool) {
	setting, ok := h.Limits.Rules[id]
	if !ok {
		return 0, false
	}
	switch setting.Severity {
	case diag.Warning.String():
		return diag.Warning, true
	case diag.Error.String():
		return diag.Error, true
	}
	return 0, false
}

// Lowered are the settings by which the house takes a rule more lightly than
// the rule itself does, in the order of the rules. They belong on the face of
// every sheet.
func Lowered(h *trade.House, rules []Rule) []trade.RuleSetting {
	var lowered []trade.RuleSetting
	for i := range rules {
		rule := &rules[i]
		wanted, ok := settingOf(rule.ID, h)
		if ok && wanted < rule.Severity && laidOver(rule, rule.Severity, h) < rule.Severity {
			lowered = append(lowered, h.Limits.Rules[rule.ID])
		}
	}
	return lowered
}

// Settings says which of the house's settings cannot hold: one of a rule there
// is not or that is kept while a file is read, one that would lower what
// protects people or lift a refusal. nearest
// finds the word of a list that was most likely meant.
func Settings(h *trade.House, rules []Rule, nearest func(string, []string) string) diag.List {
	var list diag.List
	byID := make(map[string]*Rule, len(rules))
	ids := make([]string, 0, len(rules))
	for i := range rules {
		byID[rules[i].ID] = &rules[i]
		ids = append(ids, rules[i].ID)
	}
	for id, setting := range h.Limits.Rules {
		d := diag.Diagnostic{Rule: "house-rule", Severity: diag.Error, Concern: diag.Card, Span: setting.Span}
		rule := byID[id]
		wanted, _ := settingOf(id, h)
		switch {
		case rule == nil:
			d.Message = "There is no rule \"" + id + "\"."
			d.Help = "`coldwright explain` lists the rules there are."
			if near := nearest(id, ids); near != "" {
				d.Help = "Write " + near + ", if that is the one meant."
			}
		case !rule.checks():
			d.Message = "The rule " + id + " is kept while the file is read. No setting of the house changes it."
			d.Help = "Take the line out."
		case rule.Severity == diag.Refusal:
			d.Message = "The rule " + id + " is a refusal. No setting of the house changes it."
			d.Help = "Take the line out."
		case rule.protects() && wanted != 0 && wanted < rule.Severity:
			d.Message = "The rule " + id + " protects people. A house may raise it, never lower it."
			d.Help = "Take the line out, or write error."
		default:
			continue
		}
		list.Add(d)
	}
	list.Sort()
	return list
}
