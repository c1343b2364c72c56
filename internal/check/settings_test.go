package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

func rule(id string, s diag.Severity, c diag.Concern, finds diag.Severity) check.Rule {
	return check.Rule{
		ID: id, Severity: s, Concern: c, Title: "t", Why: "w", Source: "common practice", Bad: "b", Good: "g",
		Check: func(_ *check.Context, found func(check.Finding)) {
			found(check.Finding{Message: "Something.", Severity: finds})
		},
	}
}

func house(set map[string]string) *trade.House {
	f := source.New("shop.yaml", []byte("limits: rules"))
	h := &trade.House{Limits: trade.Limits{Rules: map[string]trade.RuleSetting{}}}
	for id, severity := range set {
		h.Limits.Rules[id] = trade.RuleSetting{Rule: id, Severity: severity, Because: "the house says so", Span: f.Span(0, 6)}
	}
	return h
}

// The way in which a house may lay its own severities over the rules, one
// line each.
func TestRunLaysTheHousesSeveritiesOver(t *testing.T) {
	cases := []struct {
		name    string
		own     diag.Severity
		concern diag.Concern
		finds   diag.Severity
		house   string
		want    diag.Severity
	}{
		{"a rule stands as it is", diag.Error, diag.Piece, 0, "", diag.Error},
		{"a finding may be milder than its rule", diag.Error, diag.Piece, diag.Warning, "", diag.Warning},
		{"a rule of the trade is lowered", diag.Error, diag.Piece, 0, "warning", diag.Warning},
		{"a rule of the trade is raised", diag.Warning, diag.Grade, 0, "error", diag.Error},
		{"what rests on a default is raised by the house's word", diag.Error, diag.Grade, diag.Warning, "error", diag.Error},
		{"what is only good to know is not raised with its rule", diag.Warning, diag.Piece, diag.Note, "error", diag.Note},
		{"nor does lowering a rule make a warning of it", diag.Error, diag.Piece, diag.Note, "warning", diag.Note},
		{"a rule that only ever notes is raised", diag.Note, diag.Card, 0, "error", diag.Error},
		{"and so it is where it says note once more", diag.Note, diag.Grade, diag.Note, "warning", diag.Warning},
		{"what protects people is raised", diag.Warning, diag.People, 0, "error", diag.Error},
		{"what protects people is not lowered", diag.Error, diag.People, 0, "warning", diag.Error},
		{"a refusal stays", diag.Refusal, diag.People, 0, "warning", diag.Refusal},
		{"a finding that refuses stays", diag.Error, diag.Piece, diag.Refusal, "warning", diag.Refusal},
		{"a word that is no severity changes nothing", diag.Error, diag.Piece, 0, "off", diag.Error},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			set := map[string]string{}
			if c.house != "" {
				set["a-rule"] = c.house
			}
			got := check.Run(&check.Context{House: house(set)}, []check.Rule{rule("a-rule", c.own, c.concern, c.finds)})
			require.Len(t, got, 1)
			assert.Equal(t, c.want, got[0].Severity)
			assert.Equal(t, "a-rule", got[0].Rule)
			assert.Equal(t, c.concern, got[0].Concern)
		})
	}
}

func TestLoweredNamesWhatTheFaceMustShow(t *testing.T) {
	rules := []check.Rule{
		rule("two", diag.Error, diag.Piece, 0),
		rule("one", diag.Error, diag.Piece, 0),
		rule("raised", diag.Warning, diag.Piece, 0),
		rule("people", diag.Error, diag.People, 0),
	}
	h := house(map[string]string{"one": "warning", "two": "warning", "raised": "error", "people": "warning"})
	var ids []string
	for _, s := range check.Lowered(h, rules) {
		ids = append(ids, s.Rule)
	}
	assert.Equal(t, []string{"two", "one"}, ids)
}

// A rule of the trade that concerns people is the house's to lower and the
// lead's to overrule, unlike the rest of what concerns them.
func TestATradeRuleThatConcernsPeople(t *testing.T) {
	people, ofTrade := rule("people", diag.Error, diag.People, 0), rule("of-trade", diag.Error, diag.People, 0)
	ofTrade.Trade = true
	rules := []check.Rule{people, ofTrade}
	require.NoError(t, check.Validate(rules))
	h := house(map[string]string{"people": "warning", "of-trade": "warning"})
	got := check.Run(&check.Context{House: h}, rules)
	require.Len(t, got, 2)
	assert.Equal(t, diag.Error, got[0].Severity)
	assert.Equal(t, diag.Warning, got[1].Severity)
	none := func(string, []string) string { return "" }
	settings := check.Settings(h, rules, none)
	require.Len(t, settings, 1)
	assert.Contains(t, settings[0].Message, "The rule people protects people")
	lowered := check.Lowered(h, rules)
	require.Len(t, lowered, 1)
	assert.Equal(t, "of-trade", lowered[0].Rule)

	accepted := func(id string) recipe.Accepted {
		f := source.New("piece.md", []byte(id))
		return recipe.Accepted{
			Finding: recipe.Field[string]{Value: id, Span: f.Span(0, len(id)), OK: true},
			Reason:  recipe.Field[string]{Value: "proved here", OK: true},
		}
	}
	r := &recipe.Recipe{Accepted: []recipe.Accepted{accepted("people"), accepted("of-trade")}}
	c := &check.Context{House: house(nil), Recipe: r}
	found := map[string]diag.Severity{}
	for _, d := range check.Accept(c, check.Run(c, rules), rules, none) {
		found[d.Rule] = d.Severity
	}
	assert.Equal(t, diag.Error, found["people"])
	assert.Equal(t, diag.Note, found["of-trade"])
	assert.Equal(t, diag.Error, found[check.AcceptedRule], "the lead is told that people cannot be overruled")

	ofTrade.Concern = diag.Piece
	assert.Error(t, check.Validate([]check.Rule{ofTrade}), "only what concerns people can be of the trade besides")
}

func TestSettingsThatCannotHold(t *testing.T) {
	rules := []check.Rule{
		rule("trade-rule", diag.Error, diag.Piece, 0),
		rule("people", diag.Error, diag.People, 0),
		rule("refused", diag.Refusal, diag.People, 0),
		{ID: "form", Severity: diag.Error, Concern: diag.Card},
	}
	nearest := func(text string, known []string) string {
		if text == "trade-rul" {
			return known[0]
		}
		return ""
	}
	messages := func(set map[string]string) (out []string) {
		for _, d := range check.Settings(house(set), rules, nearest) {
			assert.Equal(t, diag.Error, d.Severity)
			out = append(out, d.Message+" "+d.Help)
		}
		return out
	}
	assert.Empty(t, messages(map[string]string{"trade-rule": "warning", "people": "error"}))
	assert.Equal(t, []string{`There is no rule "trade-rul". Write trade-rule, if that is the one meant.`},
		messages(map[string]string{"trade-rul": "error"}))
	assert.Len(t, messages(map[string]string{"nothing-near": "error"}), 1)
	assert.Len(t, messages(map[string]string{"people": "warning"}), 1)
	assert.Len(t, messages(map[string]string{"refused": "error"}), 1)
	assert.Len(t, messages(map[string]string{"form": "warning"}), 1)
}

func TestValidateFindsWhatIsMissing(t *testing.T) {
	good := rule("a-rule", diag.Error, diag.Piece, 0)
	require.NoError(t, check.Validate([]check.Rule{good}))
	for name, spoil := range map[string]func(*check.Rule){
		"id":       func(r *check.Rule) { r.ID = "A rule" },
		"severity": func(r *check.Rule) { r.Severity = 0 },
		"concern":  func(r *check.Rule) { r.Concern = 0 },
		"title":    func(r *check.Rule) { r.Title = " " },
		"why":      func(r *check.Rule) { r.Why = "" },
		"source":   func(r *check.Rule) { r.Source = "" },
		"bad":      func(r *check.Rule) { r.Bad = "" },
		"good":     func(r *check.Rule) { r.Good = "" },
	} {
		spoiled := good
		spoil(&spoiled)
		assert.Error(t, check.Validate([]check.Rule{spoiled}), name)
	}
	assert.Error(t, check.Validate([]check.Rule{good, good}))
}
