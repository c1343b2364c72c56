package rules_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/rules"
	"coldwright/internal/trade"
)

const feltShop = `media:
  FELT-1: {medium: "felt pad, solid, 300 mm"}
  KEPT: {medium: "felt pad, solid, 300 mm", kept for: pumice}
  PLATE: {medium: "iron lap, 300 mm"}
limits: {rules: {}}
`

// aRecipe is a recipe of an id with words before and behind a step.
func aRecipe(id, head, words, step, notes string) string {
	return "---\nrecipe: " + id + "\ntitle: A block\nrevision: 1\ndate: 2026-03-02\nglass: soda-lime\npiece: {form: cast, size: 120 x 80 x 40 mm}\n" +
		"surfaces:\n  - {name: base, shape: flat, area: 96 cm², from: sawn, to: lustre}\n" + head + "---\n\n" + words + "\n\n" + step + "\n# Notes\n\n" + notes + "\n"
}

func powdered(powder, medium, more string) string {
	return "## Pre-polish the base\n\n- Surface: base\n- Abrasive: " + powder + "\n- Medium: " + medium + "\n- Machine: flat lap at 150 rpm\n- Water: damp\n- Time: 10 min\n\n1. Slowly. " + more + "\n"
}

// Which words send a reader on, and which only sound so.
func TestWhereAReaderIsSent(t *testing.T) {
	for words, want := range map[string]string{
		"Then follow bowl-rim.":                                            "",
		"Then follow the recipe bowl-rim.":                                 "",
		"Go on with “bowl-rim” once it is dry.":                            "",
		"Follow [it](rim.md), [the rim](bowl-rim).":                        "",
		"[A](#notes), [b](https://example.org/x.md), [c](drawings/x.pdf).": "",
		"[The rim](./rim.md#polish-the-rim)":                               "",
		"Then follow the turn of the wheel.":                               "",
		"Follow hand-over-hand, follow-up, follow S220 down.":              "",
		"Follow the recipe exactly.":                                       "",
		"Swallow-tail, hollow bowl-rimm.":                                  "",
		"They unfollow bowl-rimm.":                                         "",
		"Then follow bowl-rimm.":                                           `warning: This sends the reader to the recipe “bowl-rimm”, and the house has none of that name. Write bowl-rim, if that is the one meant.`,
		"Follow recipe glass-foot.":                                        `error: This sends the reader to the recipe “glass-foot”, and the house has none of that name. Name the recipe that is meant, or take the words out.`,
		"Continue with `glass-foot`.":                                      `error: This sends the reader to the recipe “glass-foot”, and the house has none of that name. Name the recipe that is meant, or take the words out.`,
		"[The rim](rims.md)":                                               `error: This leads to “rims.md”, and there is no such file. Write rim.md, if that is the one meant.`,
		"[The rim](rim%201.md)":                                            `error: This leads to “rim 1.md”, and there is no such file. Write rim.md, if that is the one meant.`,
		"[The rim](bowl-rimm)":                                             `error: This sends the reader to the recipe “bowl-rimm”, and the house has none of that name. Write bowl-rim, if that is the one meant.`,
		"[The *rim*][r]\n\n[r]: rims.md":                                   `error: This leads to “rims.md”, and there is no such file. Write rim.md, if that is the one meant.`,
	} {
		for place, text := range map[string]string{
			"before the steps": aRecipe("block", "", words, powdered("pumice 2F", "felt pad", ""), ""),
			"in a step":        aRecipe("block", "", "", powdered("pumice 2F", "felt pad", words), ""),
			"in the notes":     aRecipe("block", "", "", powdered("pumice 2F", "felt pad", ""), "| a |\n|---|\n| b |\n\n> "+strings.ReplaceAll(words, "\n", "\n> ")),
		} {
			s := shelfOf(trade.BuiltIn(), map[string]string{"a.md": text, "rim.md": aRecipe("bowl-rim", "", "", powdered("pumice 2F", "felt pad", ""), "")})
			got := ""
			for _, d := range of(across(s, "a.md"), "unknown-recipe") {
				got += d.Severity.String() + ": " + d.Message + " " + d.Help
				wellWritten(t, d)
				assert.Equal(t, place == "in a step", d.Step == 1, "%s: step %d", place, d.Step)
			}
			assert.Equal(t, want, got, "%s, %s", words, place)
			// Where nobody knows the end of the house, or its files, nothing is said.
			s.Closed, s.All, s.Holds = false, false, nil
			assert.Empty(t, of(across(s, "a.md"), "unknown-recipe"), words)
		}
	}
}

// An id that was not read now is there all the same.
func TestARecipeThatWasNotRead(t *testing.T) {
	s := shelfOf(trade.BuiltIn(), map[string]string{"a.md": aRecipe("block", "", "Then follow recipe bowl-rim.", "", "")})
	require.Len(t, of(across(s, "a.md"), "unknown-recipe"), 1)
	s.Others = map[string]string{"bowl-rim": "rim.md"}
	assert.Empty(t, of(across(s, "a.md"), "unknown-recipe"))
	s.Others["block"] = "old/block.md"
	require.Len(t, of(across(s, "a.md"), "repeated-id"), 1)
	assert.Contains(t, across(s, "a.md")[0].Message, "old/block.md")
}

func TestOneMediumInTwoRecipes(t *testing.T) {
	h := laid(t, feltShop)
	pumice := aRecipe("pre", "", "", powdered("pumice 2F", "FELT-1", ""), "")
	for name, c := range map[string]struct {
		step string
		want int
	}{
		"another compound":        {powdered("cerium oxide 1.5 µm", "FELT-1", ""), 1},
		"the same":                {powdered("pumice 4F", "FELT-1", ""), 0},
		"a new one goes on":       {powdered("cerium oxide 1.5 µm", "FELT-1", "Put a new felt on."), 0},
		"another one":             {powdered("cerium oxide 1.5 µm", "felt pad, solid, 300 mm", ""), 0},
		"what is kept for":        {powdered("cerium oxide 1.5 µm", "KEPT", ""), 0},
		"both, told by itself":    {powdered("pumice 2F", "FELT-1", "") + "\n" + powdered("cerium oxide 1.5 µm", "FELT-1", ""), 0},
		"twice, told once":        {powdered("cerium oxide 1.5 µm", "FELT-1", "") + "\n" + powdered("cerium oxide 1.5 µm", "FELT-1", ""), 1},
		"an iron lap is scrubbed": {powdered("silicon carbide F400", "PLATE", ""), 0},
	} {
		s := shelfOf(h, map[string]string{"a.md": pumice, "b.md": pumice, "z.md": aRecipe("z", "", "", c.step, ""), "plate.md": aRecipe("plate", "", "", powdered("silicon carbide F80", "PLATE", ""), "")})
		got := of(across(s, "z.md"), "medium-shared")
		require.Len(t, got, c.want, name)
		for _, d := range got {
			assert.Len(t, d.Also, 2, "both others are named")
			wellWritten(t, d)
		}
		assert.Empty(t, of(across(s, "a.md"), "medium-shared"), "%s: most of the house does it so", name)
	}
}

// The house's own severity and what the lead has overruled hold for these rules
// too; an entry that overrules nothing is told only where all was read.
func TestRulesAcrossTheHouseAreTheHousesToo(t *testing.T) {
	h := laid(t, strings.Replace(feltShop, "rules: {}", "rules: {medium-shared: {severity: warning, because: the felts are washed}}", 1))
	require.Empty(t, rules.CheckHouse(h))
	entry := "accepted:\n  - {finding: medium-shared, reason: Washed out each time, until: 2027-01-01}\n"
	texts := map[string]string{
		"a.md": aRecipe("a", "", "", powdered("pumice 2F", "FELT-1", ""), ""),
		"b.md": aRecipe("b", "", "", powdered("cerium oxide 1.5 µm", "FELT-1", ""), ""),
	}
	read := func(a, b string) *check.Shelf {
		return shelfOf(h, map[string]string{"a.md": strings.Replace(texts["a.md"], "---\n\n", a+"---\n\n", 1), "b.md": strings.Replace(texts["b.md"], "---\n\n", b+"---\n\n", 1)})
	}
	// Of two as common the first in the alphabet is the usual one: cerium.
	assert.Contains(t, lines(t, across(read("", ""), "a.md")), "a.md:18:11: warning: medium-shared: Step 1 puts pumice on FELT-1, the felt pad that takes cerium oxide in b.md.")
	assert.Empty(t, across(read("", ""), "b.md"))
	got := across(read(entry, ""), "a.md")
	require.Len(t, got, 1)
	assert.Equal(t, "note", got[0].Severity.String())
	require.NotNil(t, got[0].Accepted)
	assert.Equal(t, "Washed out each time", got[0].Accepted.Reason)

	s := read("", entry)
	assert.Contains(t, lines(t, across(s, "b.md")), "accepted-finding: Nothing is left here for medium-shared")
	s.All = false
	assert.Empty(t, across(s, "b.md"))
	s.All, s.Today.Year = true, 2028
	assert.Empty(t, across(s, "b.md"), "that its day has gone by is told with the recipe itself")
}

// Whatever the order recipes come in, the same is found of each.
func TestTheOrderOfRecipesChangesNothing(t *testing.T) {
	h := laid(t, feltShop)
	texts := map[string]string{}
	for i, name := range []string{"a", "b", "c", "d", "e", "f", "g", "h"} {
		powder := []string{"pumice 2F", "cerium oxide 1.5 µm", "tin oxide"}[i%3]
		texts[name+".md"] = aRecipe([]string{"x", "y", name}[i%3], "", "[x]("+name+"x.md), follow recipe no-such.", powdered(powder, "FELT-1", ""), "")
	}
	want := ""
	for n := range 30 {
		s := shelfOf(h, texts)
		rand.New(rand.NewPCG(uint64(n), 1)).Shuffle(len(s.Entries), func(i, j int) { s.Entries[i], s.Entries[j] = s.Entries[j], s.Entries[i] })
		got := ""
		for name := 'a'; name <= 'h'; name++ {
			got += lines(t, across(s, string(name)+".md"))
		}
		if n == 0 {
			want = got
			assert.Equal(t, 4, strings.Count(got, "repeated-id"), got)
		}
		require.Equal(t, want, got)
	}
}
