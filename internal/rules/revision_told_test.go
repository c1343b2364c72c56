package rules_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

// revised is a recipe of revision 5 with words before its first step, and the kind
// of its last change.
func revised(words, kind string) []byte {
	text := strings.Replace(string(pieceOf("flat", "as cast", "matte", onIron("silicon carbide F220"))), "revision: 1", "revision: 5", 1)
	return []byte(strings.Replace(text, "---\n\n", "changes:\n  - {revision: 5, date: 2026-03-02, kind: "+kind+", note: Fresh grit every minute.}\n---\n\n"+words+"\n\n", 1))
}

// Sentences as a lead writes them on a card: those that call the paper another
// revision than it is, and those that tell history or name some other paper.
func TestAnotherRevisionTold(t *testing.T) {
	at := func(words, kind string) diag.List {
		read, checked := findings(trade.BuiltIn(), "piece.md", revised(words, kind))
		assert.Empty(t, lines(t, read), words)
		return of(checked, "another-revision-told")
	}
	for _, words := range []string{
		"This is revision 4.", "This card is revision 4.", "The card on bench C is rev 4.", "This recipe is revision 6 and approved.",
		"Rev. 4, 2026-03-02, approved by the studio lead.", "Revision 4", "Revision: 4", "**Revision 4**", "(Card rev 4)", "Wall card: rev 4.",
		"You are reading revision 4 of this recipe.", "Revision 4 of this recipe is in force.", "This sheet, revision 4, hangs at bench C.",
		"The laminated card at bench B is rev. 4.", "> Caution: this card is revision 4.",
	} {
		list := at(words, "method")
		if assert.Len(t, list, 1, words) {
			assert.Equal(t, diag.Error, list[0].Severity, words)
			wellWritten(t, list[0])
		}
		if list := at(words, "wording"); assert.Len(t, list, 1, words) && !strings.Contains(words, "6") {
			assert.Equal(t, diag.Note, list[0].Severity, "only wording was changed: %s", words)
		}
	}
	for _, words := range []string{
		"This is revision 5.", "Since revision 4 the grit is fresh.", "Revision 4 took 20 minutes.", "Revision 4 of this recipe took 20 minutes.",
		"This card replaces revision 4.", "Take down the card of revision 4.", "Cards of revision 4 are taken down.", "This recipe was revision 4 until March.",
		"In revision 4 the card said 26 min.", "Added in revision 4.", "Follow lens-vase, revision 3.", "The card for the lens vase is revision 3.",
		"The shop file is revision 9.", "Mould drawing, revision 4.", "This recipe goes with revision 9 of the shop file.", "- Revision 3: cerium only\n- Revision 4: pumice put in",
		"| Revision | Change |\n|---|---|\n| rev 4 | first |", "Rev 3: cerium only. Rev 4: pumice.", "Turn at 3 revs 4 times.", "The old card is revision 4.",
		"Up to revision 4 this recipe went without pumice.", "This recipe keeps what revisions 3 and 4 brought.",
	} {
		assert.Empty(t, lines(t, at(words, "method")), words)
	}
}
