package check

import (
	"fmt"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/recipe"
)

// AcceptedRule is the id of what is wrong with an `accepted:` entry.
const AcceptedRule = "accepted-finding"

// Accept lays what the lead has overruled over what the rules found. An
// accepted finding stays in the list as a note that says so. What protects
// people cannot be overruled; nor can a rule there is not, nor can a finding be
// overruled past its day, and an entry that overrules nothing is a finding
// itself. nearest finds the word of a list that was most likely meant.
func Accept(c *Context, list diag.List, rules []Rule, nearest func(string, []string) string) diag.List {
	if len(c.Recipe.Accepted) == 0 {
		return list
	}
	byID := make(map[string]*Rule, len(rules))
	ids := make([]string, 0, len(rules))
	for i := range rules {
		if rules[i].Check != nil {
			byID[rules[i].ID] = &rules[i]
			ids = append(ids, rules[i].ID)
		}
	}
	for _, a := range c.Recipe.Accepted {
		if !a.Finding.OK {
			continue
		}
		say := func(severity diag.Severity, message, help string) {
			list.Add(diag.Diagnostic{
				Rule: AcceptedRule, Severity: severity, Concern: diag.Card,
				Span: a.Finding.Span, Message: message, Help: help,
			})
		}
		id, title, _ := strings.Cut(a.Finding.Value, "@")
		id, title = strings.TrimSpace(id), strings.TrimSpace(title)
		rule := byID[id]
		switch {
		case rule == nil:
			help := "`coldwright explain` lists the rules."
			if near := nearest(id, ids); near != "" {
				help = "Write " + near + "."
			}
			say(diag.Error, fmt.Sprintf("There is no rule %q to overrule.", id), help)
			continue
		case rule.protects() || rule.Severity == diag.Refusal:
			say(diag.Error, fmt.Sprintf("What %s asks protects people and cannot be overruled.", id),
				"Mend the recipe and take the entry out.")
			continue
		case a.Until.OK && a.Until.Value.Before(c.Today):
			u := a.Until.Value
			say(diag.Error, fmt.Sprintf("This was overruled until %04d-%02d-%02d, and that day has gone by.", u.Year, u.Month, u.Day),
				"Look at it again: mend the recipe, or write a new day.")
			continue
		}
		if !overrule(list, c.Recipe, rule, a, title) {
			say(diag.Warning, fmt.Sprintf("Nothing is left here for %s to be overruled.", a.Finding.Value), "Take the entry out.")
		}
	}
	return list
}

// overrule turns the findings of a rule, at one step where a title is given,
// into notes; false where there are none.
func overrule(list diag.List, r *recipe.Recipe, rule *Rule, a recipe.Accepted, title string) bool {
	found := false
	for i := range list {
		d := &list[i]
		if d.Rule != rule.ID || d.Severity == diag.Refusal || title != "" && !stands(r, d, title) {
			continue
		}
		found = true
		d.Severity = diag.Note
		d.Message += " The lead has overruled this: " + strings.TrimRight(strings.TrimSpace(a.Reason.Value), ".") + "."
		d.Help = ""
	}
	return found
}

// stands says whether a finding is at the step whose title begins so.
func stands(r *recipe.Recipe, d *diag.Diagnostic, title string) bool {
	return d.Step > 0 && d.Step <= len(r.Steps) &&
		strings.HasPrefix(strings.ToLower(r.Steps[d.Step-1].Title), strings.ToLower(title))
}
