// Package check runs rules over a recipe. A rule is a value; what it finds is
// stamped with the rule's id and severity here.
package check

import (
	"fmt"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/process"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// Context is what a rule looks at. Nothing it points to may be changed.
type Context struct {
	House  *trade.House
	Recipe *recipe.Recipe
	Plan   *process.Plan
	// Today is the day dates are held against.
	Today recipe.Date

	once map[any]any
}

// Once gives what several rules need of one recipe: make works it out the
// first time the key is asked for. A Context is used by one goroutine at a time.
func (c *Context) Once(key any, make func() any) any {
	if v, ok := c.once[key]; ok {
		return v
	}
	v := make()
	if c.once == nil {
		c.once = map[any]any{}
	}
	c.once[key] = v
	return v
}

// Finding is what a rule says of one place.
type Finding struct {
	Span    source.Span
	Message string
	Help    string
	// Step is the number of the step, 0 outside the steps.
	Step    int
	Surface string
	Also    []diag.Site
	// Severity replaces the rule's own where not 0; a rule that rests on a
	// built-in default says Warning here.
	Severity diag.Severity
	// Apart makes two findings of one on several steps: the one on the steps that
	// belong and the one on the rest, either alone where the other is empty. Nil
	// where a finding is one whatever its steps.
	Apart func(belongs func(step int) bool) []Finding
	// Mend is the one obvious correction, where there is one.
	Mend diag.Mend
}

// Rule is one thing the checker asks of a recipe.
type Rule struct {
	// ID is how people name it: lower case, words joined by hyphens.
	ID       string
	Severity diag.Severity
	Concern  diag.Concern
	// Trade is true for a rule of the trade although it concerns people: the
	// house may lower it and the lead may overrule it.
	Trade bool
	// Title says in one line what the rule asks.
	Title string
	// Why says what happens to glass or people otherwise.
	Why string
	// Source is a citation, "common practice" or "from memory".
	Source string
	// Quiet says when the rule keeps still.
	Quiet string
	// Bad and Good are lines of a recipe.
	Bad, Good string
	// Check reports what it finds in one recipe, Across what it finds in recipes
	// side by side. Both are nil for a rule that is kept while the file is read.
	Check  func(c *Context, found func(Finding))
	Across func(s *Shelf, found func(*Entry, Finding))
}

// checks says whether the rule looks at recipes once they are read.
func (r *Rule) checks() bool { return r.Check != nil || r.Across != nil }

// mayBeOverruled says whether the lead may overrule what the rule finds.
func (r *Rule) mayBeOverruled() bool { return !r.protects() && r.Severity != diag.Refusal }

// stamped is a finding with the rule that found it.
func stamped(rule *Rule, f Finding, severity diag.Severity) diag.Diagnostic {
	return diag.Diagnostic{
		Rule: rule.ID, Severity: severity, Concern: rule.Concern,
		Span: f.Span, Message: f.Message, Help: f.Help,
		Step: f.Step, Surface: f.Surface, Also: f.Also, Mend: f.Mend,
	}
}

// protects says whether neither the house nor the lead may take the rule more
// lightly.
func (r *Rule) protects() bool { return r.Concern == diag.People && !r.Trade }

// Validate says what is wrong with a set of rules: a missing text, an id that
// stands twice.
func Validate(rules []Rule) error {
	seen := map[string]bool{}
	for _, r := range rules {
		switch {
		case r.ID == "" || strings.ToLower(r.ID) != r.ID || strings.ContainsAny(r.ID, " _"):
			return fmt.Errorf("rule %q: the id must be lower-case words joined by hyphens", r.ID)
		case seen[r.ID]:
			return fmt.Errorf("rule %s stands twice", r.ID)
		case r.Severity < diag.Note || r.Severity > diag.Refusal:
			return fmt.Errorf("rule %s has no severity", r.ID)
		case r.Concern < diag.People || r.Concern > diag.Card:
			return fmt.Errorf("rule %s says nothing of what it protects", r.ID)
		case r.Trade && (r.Concern != diag.People || r.Severity == diag.Refusal):
			return fmt.Errorf("rule %s is of the trade without saying so: only one that concerns people and refuses nothing may be", r.ID)
		}
		for name, text := range map[string]string{"title": r.Title, "why": r.Why, "source": r.Source, "bad line": r.Bad, "good line": r.Good} {
			if strings.TrimSpace(text) == "" {
				return fmt.Errorf("rule %s has no %s", r.ID, name)
			}
		}
		seen[r.ID] = true
	}
	return nil
}

// Run checks one recipe by every rule, in order, and lays the house's own
// severities over what they find. The list it gives is not sorted.
func Run(c *Context, rules []Rule) diag.List {
	var list diag.List
	var rule *Rule
	found := func(f Finding) {
		for _, f := range c.apart(rule, f) {
			severity := rule.Severity
			if f.Severity != 0 {
				severity = f.Severity
			}
			list.Add(stamped(rule, f, laidOver(rule, severity, c.House)))
		}
	}
	for i := range rules {
		if rule = &rules[i]; rule.Check != nil {
			rule.Check(c, found)
		}
	}
	return list
}
