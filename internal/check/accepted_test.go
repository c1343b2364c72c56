package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// onSteps finds one thing at several steps and can be taken apart.
func onSteps(steps []int, found func(check.Finding)) {
	if len(steps) == 0 {
		return
	}
	f := check.Finding{Message: "Steps.", Step: steps[0]}
	for _, n := range steps[1:] {
		f.Also = append(f.Also, diag.Site{Step: n})
	}
	f.Apart = func(belongs func(int) bool) (parts []check.Finding) {
		var those, rest []int
		for _, n := range steps {
			if belongs(n) {
				those = append(those, n)
			} else {
				rest = append(rest, n)
			}
		}
		for _, half := range [][]int{those, rest} {
			onSteps(half, func(f check.Finding) { parts = append(parts, f) })
		}
		return parts
	}
	found(f)
}

func TestAcceptingOneStepOfSeveral(t *testing.T) {
	of := check.Rule{
		ID: "a-rule", Severity: diag.Warning, Concern: diag.Test, Title: "t", Why: "w", Source: "s", Bad: "b", Good: "g",
		Check: func(_ *check.Context, found func(check.Finding)) { onSteps([]int{1, 2, 4}, found) },
	}
	f := source.New("piece.md", []byte("a-rule @ smooth"))
	entry := func(text, reason string) recipe.Accepted {
		return recipe.Accepted{
			Span:    f.Span(0, 6),
			Finding: recipe.Field[string]{Value: text, OK: true}, Reason: recipe.Field[string]{Value: reason, OK: true},
			Until: recipe.Field[recipe.Date]{Value: recipe.Date{Year: 2027, Month: 3, Day: 1}, OK: true},
		}
	}
	steps := []recipe.Step{{Number: 1, Title: "Flatten"}, {Number: 2, Title: "Smooth the base"}, {Number: 3, Title: "Rinse"}, {Number: 4, Title: "Polish"}}
	type seen struct {
		steps    []int
		severity diag.Severity
		reason   string
	}
	cases := []struct {
		name    string
		entries []recipe.Accepted
		want    []seen
		says    string
	}{
		{"none", nil, []seen{{[]int{1, 2, 4}, diag.Warning, ""}}, ""},
		{"all", []recipe.Accepted{entry("a-rule", "known.")}, []seen{{[]int{1, 2, 4}, diag.Note, "known"}}, ""},
		{"one", []recipe.Accepted{entry("a-rule @ smooth", "known")},
			[]seen{{[]int{2}, diag.Note, "known"}, {[]int{1, 4}, diag.Warning, ""}}, ""},
		{"two with reasons of their own", []recipe.Accepted{entry("a-rule @ Smooth", "x"), entry("a-rule @ polish", "y")},
			[]seen{{[]int{2}, diag.Note, "x"}, {[]int{4}, diag.Note, "y"}, {[]int{1}, diag.Warning, ""}}, ""},
		{"one, and the rest", []recipe.Accepted{entry("a-rule @ flatten", "x"), entry("a-rule", "y")},
			[]seen{{[]int{1}, diag.Note, "x"}, {[]int{2, 4}, diag.Note, "y"}}, ""},
		{"the same twice", []recipe.Accepted{entry("a-rule", "x"), entry("a-rule", "y")},
			[]seen{{[]int{1, 2, 4}, diag.Note, "x"}}, "Nothing is left here for a-rule to be overruled."},
		{"a step without it", []recipe.Accepted{entry("a-rule @ rinse", "x")},
			[]seen{{[]int{1, 2, 4}, diag.Warning, ""}}, "Nothing is left here for a-rule @ rinse to be overruled."},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			ctx := &check.Context{Recipe: &recipe.Recipe{Steps: steps, Accepted: c.entries}, Today: recipe.Date{Year: 2026, Month: 11, Day: 25}}
			rules := []check.Rule{of}
			var got []seen
			var says string
			for _, d := range check.Accept(ctx, check.Run(ctx, rules), rules, func(string, []string) string { return "" }) {
				if d.Rule == check.AcceptedRule {
					says += d.Message
					continue
				}
				s := seen{steps: []int{d.Step}, severity: d.Severity}
				for _, a := range d.Also {
					s.steps = append(s.steps, a.Step)
				}
				if d.Accepted != nil {
					s.reason = d.Accepted.Reason
					assert.Equal(t, diag.Warning, d.Accepted.Was)
					assert.Equal(t, "2027-03-01", d.Accepted.Until)
				}
				got = append(got, s)
			}
			assert.Equal(t, c.want, got)
			assert.Equal(t, c.says, says)
		})
	}
}
