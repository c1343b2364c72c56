package rules_test

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/parse"
	"coldwright/internal/process"
	"coldwright/internal/rules"
	"coldwright/internal/source"
	"coldwright/internal/testkit"
	"coldwright/internal/trade"
)

// What the lead accepts at one step of several leaves the others as they were,
// each in words that are true of it.
func TestAcceptingOneOfSeveralSteps(t *testing.T) {
	grind := func(grain string) string {
		return strings.Replace(loose(grain, plate, onLap, "cream"), "- Clean-down: wash everything\n", "", 1)
	}
	text := string(pieceOf("flat", "as cast", "matte", grind("silicon carbide F80"), grind("silicon carbide F220"), grind("silicon carbide F400")))
	second := strings.Split(strings.SplitN(text, "\n## ", 4)[2], "\n")[0]
	text = strings.Replace(text, "piece: {", "accepted: [{finding: no-clean-down @ "+second+", reason: the plate is scrubbed there, until: 2030-01-01}]\npiece: {", 1)
	h := laid(t, "always: [grit carry-over]\n")
	r, _ := parse.New(h).Parse(source.New("piece.md", []byte(text)))
	checked := rules.Check(&check.Context{House: h, Recipe: r, Plan: process.Of(r, h), Today: today})
	checked.Sort()
	list := of(checked, "no-clean-down")
	require.Len(t, list, 2)
	require.NotNil(t, list[1].Accepted)
	assert.Equal(t, 2, list[1].Step)
	assert.Contains(t, list[1].Message, "leaves silicon carbide F220")
	assert.Equal(t, diag.Note, list[1].Severity)
	assert.Nil(t, list[0].Accepted)
	assert.Equal(t, 1, list[0].Step)
	assert.Contains(t, list[0].Message, "leaves silicon carbide F80")
	assert.Equal(t, diag.Warning, list[0].Severity)
	assert.Empty(t, of(checked, "accepted-finding"))
}

// A medium or a grain that is left out of several steps is one finding.
func TestWhatSeveralStepsLeaveOutIsSaidOnce(t *testing.T) {
	bare := func(grain string) string {
		return strings.Replace(loose(grain, plate, onLap, "cream"), "- Medium: "+plate+"\n", "", 1)
	}
	_, checked := findings(laid(t, ""), "piece.md", pieceOf("flat", "as cast", "matte",
		bare("silicon carbide F80"), bare("silicon carbide F80"), bare("silicon carbide F400")))
	list := of(checked, "loose-grain-needs-medium")
	require.Len(t, list, 2)
	assert.Contains(t, list[0].Message, "Steps 1 and 2 work with silicon carbide F80, a loose grain, and do not say")
	require.Len(t, list[0].Also, 1)
	assert.Contains(t, list[1].Message, "Step 3 works with silicon carbide F400, a loose grain, and does not say")
}

// A house that raises a rule of the model raises what the rule is sure of. What
// it says for information only stays a note.
func TestRaisingARuleLeavesWhatIsOnlyGoodToKnow(t *testing.T) {
	for id, want := range map[string]diag.Severity{
		"minutes-far-off":        diag.Note,
		"shines-but-pits-left":   diag.Note,
		"damage-not-cleared":     diag.Error,
		"prepolish-would-save":   diag.Error, // a rule that only ever notes was raised on purpose
		"abrasive-not-stated":    diag.Error,
		"rim-speed-out-of-range": diag.Error,
	} {
		dir := testkit.Data(t, "rules", id)
		h := houseIn(t, dir)
		text := testkit.Read(t, filepath.Join(dir, "bad.md"))
		_, before := findings(h, "bad.md", text)
		require.NotEmpty(t, of(before, id))
		own := *h // the house may be the built-in one, which all tests share
		h = &own
		h.Limits.Rules = map[string]trade.RuleSetting{id: {Rule: id, Severity: "error", Because: "lines came up twice"}}
		_, after := findings(h, "bad.md", text)
		for _, d := range of(after, id) {
			assert.Equal(t, want, d.Severity, "%s: %s", id, d.Message)
		}
	}
}
