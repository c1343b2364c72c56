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
// accepted finding stays in the list as a note that bears the lead's reason.
// What protects people cannot be overruled; nor can a rule there is not or one
// that is kept while a file is read, nor can a finding be overruled past its
// day, and an entry that overrules nothing is a finding itself. nearest finds
// the word of a list that was most likely meant.
func Accept(c *Context, list diag.List, rules []Rule, nearest func(string, []string) string) diag.List {
	if len(c.Recipe.Accepted) == 0 {
		return list
	}
	byID := make(map[string]*Rule, len(rules))
	ids := make([]string, 0, len(rules))
	for i := range rules {
		byID[rules[i].ID] = &rules[i]
		if rules[i].checks() {
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
		id, title := idAndTitle(a)
		rule := byID[id]
		switch {
		case rule == nil:
			help := "`coldwright explain` lists the rules."
			if near := nearest(id, ids); near != "" {
				help = "Write " + near + "."
			}
			say(diag.Error, fmt.Sprintf("There is no rule %q to overrule.", id), help)
			continue
		case !rule.checks():
			say(diag.Error, fmt.Sprintf("What %s asks is settled while the file is read and cannot be overruled.", id),
				"Mend what it finds and take the entry out.")
			continue
		case !rule.mayBeOverruled():
			say(diag.Error, fmt.Sprintf("What %s asks protects people and cannot be overruled.", id),
				"Mend the recipe and take the entry out.")
			continue
		case pastDay(a, c.Today):
			say(diag.Error, fmt.Sprintf("This was overruled until %s, and that day has gone by.", untilOf(a)),
				"Look at it again: mend the recipe, or write a new day.")
			continue
		case rule.Across != nil:
			continue // seen to once the recipes lie side by side
		}
		if !overrule(list, c.Recipe, rule, a, title) {
			list.Add(nothingLeft(a))
		}
	}
	return list
}

// nothingLeft says that an entry overrules nothing.
func nothingLeft(a recipe.Accepted) diag.Diagnostic {
	return diag.Diagnostic{
		Rule: AcceptedRule, Severity: diag.Warning, Concern: diag.Card, Span: a.Finding.Span,
		Message: fmt.Sprintf("Nothing is left here for %s to be overruled.", a.Finding.Value), Help: "Take the entry out.",
	}
}

// pastDay says whether the day up to which an entry holds has gone by.
func pastDay(a recipe.Accepted, today recipe.Date) bool {
	return a.Until.OK && a.Until.Value.Before(today)
}

// idAndTitle are the rule of an entry and the title of the step it is for, empty
// where it is for all of them.
func idAndTitle(a recipe.Accepted) (id, title string) {
	id, title, _ = strings.Cut(a.Finding.Value, "@")
	return strings.TrimSpace(id), strings.TrimSpace(title)
}

// untilOf is the day of an entry, empty where it has none that can be read.
func untilOf(a recipe.Accepted) string {
	if u := a.Until.Value; a.Until.OK {
		return fmt.Sprintf("%04d-%02d-%02d", u.Year, u.Month, u.Day)
	}
	return ""
}

// overrule turns the findings of a rule, at one step where a title is given,
// into notes; false where there are none.
func overrule(list diag.List, r *recipe.Recipe, rule *Rule, a recipe.Accepted, title string) bool {
	found := false
	for i := range list {
		d := &list[i]
		if d.Rule != rule.ID || d.Severity == diag.Refusal || d.Accepted != nil || title != "" && !stands(r, d.Step, title) {
			continue
		}
		found = true
		d.Accepted = &diag.Accepted{
			Was: d.Severity, Until: untilOf(a), Span: a.Span,
			Reason: strings.TrimRight(strings.TrimSpace(a.Reason.Value), "."),
		}
		d.Severity, d.Help, d.Mend = diag.Note, "", diag.Mend{}
	}
	return found
}

// stands says whether the title of a step, by its number from 1, begins so.
func stands(r *recipe.Recipe, step int, title string) bool {
	return step > 0 && step <= len(r.Steps) &&
		strings.HasPrefix(strings.ToLower(r.Steps[step-1].Title), strings.ToLower(title))
}

// apart takes a finding on several steps apart where the lead has overruled it
// at some of them only.
func (c *Context) apart(rule *Rule, f Finding) []Finding {
	all := []Finding{f}
	if f.Apart == nil || c.Recipe == nil {
		return all
	}
	for _, a := range c.Recipe.Accepted {
		id, title := idAndTitle(a)
		if id != rule.ID || title == "" {
			continue
		}
		var next []Finding
		for _, f := range all {
			next = append(next, f.Apart(func(step int) bool { return stands(c.Recipe, step, title) })...)
		}
		all = next
	}
	return all
}
