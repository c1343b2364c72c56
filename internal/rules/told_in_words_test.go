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

// What a lead writes into the order of a cerium step of the felt it runs on. Felt
// keeps pumice whatever is rinsed out of it (common practice).
func TestTheSameFeltTold(t *testing.T) {
	at := func(words string) diag.List {
		text := string(pieceOf("flat", "ground, silicon carbide F600", "bright polish", pumiced("2F", cork, onLap), ceriumed(holed, onLap)))
		read, checked := findings(trade.BuiltIn(), "piece.md", []byte(text+"\n1. "+words+"\n"))
		assert.Empty(t, lines(t, read), words)
		return of(checked, "one-medium-two-compounds")
	}
	for _, words := range []string{"Same felt as before, rinsed well.", "The pumice felt will do, once rinsed.", "Use the same pad.", "On the same felt wheel, washed out."} {
		if list := at(words); assert.Len(t, list, 1, words) {
			assert.Equal(t, diag.Error, list[0].Severity, words)
			wellWritten(t, list[0])
		}
	}
	for _, words := range []string{
		"Never the same felt as the pumice.", "Take the pumice felt off and bag it.", "The same felt for all six faces.", "The pumice pad stays covered.",
		"The same pad as for the first cerium.", "Use another felt than the pumice pad.", "The same way as on the pumice pad.", "Use the felt wet through.",
	} {
		assert.Empty(t, lines(t, at(words)), words)
	}
}

// Orders that work with another grade than the step's, and those that only come near.
func TestAnotherGradeToldOtherwise(t *testing.T) {
	at := func(words string) diag.List {
		text := string(pieceOf("flat", "ground, silicon carbide F220", "matte", tool("resin diamond pad 325 mesh, 300 mm", onLap)))
		read, checked := findings(trade.BuiltIn(), "piece.md", []byte(text+"\n1. "+words+"\n"))
		assert.Empty(t, lines(t, read), words)
		return of(checked, "another-grade-told")
	}
	for _, words := range []string{"Smooth with 400.", "Then go over it again with the 220.", "Finish on the 270 disc.", "Touch up with 400.", "Top up with the pumice from the bench before.", "Charge with fresh cerium.", "Now polish on the 600 pad.", "Then rub with the F400."} {
		assert.Len(t, at(words), 1, words)
	}
	for _, words := range []string{
		"Any line left: go over it with the 220.", "If it shows lines, finish on the 270 disc.", "Work on with 40 N.", "Rest on 60 mm of cork.", "Smooth with the 325.",
		"Work on 120 degrees of the rim.", "Edges with a 400 hand pad.", "What came with the 220 must be gone.", "Press on with 60 strokes.", "Top up with 20 drops.", "Load with 400 g of lead.",
	} {
		assert.Empty(t, lines(t, at(words)), words)
	}
}

// What is written of washing between two grits on one plate. A few grains left on it
// can cost days (common practice).
func TestACleanDownThatWashesNothing(t *testing.T) {
	at := func(words string) diag.List {
		step := strings.Replace(onIron("silicon carbide F80"), "Clean-down: wash everything", "Clean-down: "+words, 1)
		text := strings.Replace(string(pieceOf("flat", "fused", "matte", step, onIron("silicon carbide F220"))), "---\n\n", "cautions: [grit carry-over]\n---\n\n", 1)
		read, checked := findings(trade.BuiltIn(), "piece.md", []byte(text))
		assert.Empty(t, lines(t, read), words)
		return of(checked, "no-clean-down")
	}
	for _, words := range []string{
		"none", "not needed, same plate", "not needed on the same plate", "at the end of the day", "later", "tomorrow", "no need, it is the same lap", "plate rinsed if needed", "quick rinse if it looks dirty",
	} {
		assert.Len(t, at(words), 1, words)
	}
	for _, words := range []string{
		"wash everything", "no grit is to stay on the plate: scrub it, new water", "hose the plate; nothing of the F80 may stay", "plate scrubbed, bucket changed at the end", "scrub until clean",
		"not the plate alone: piece, plate and hands washed", "own bucket, own apron, plate hosed", "scrape to the pot, rinse, and once more if needed",
	} {
		assert.Empty(t, lines(t, at(words)), words)
	}
}

// A title or purpose that calls the piece lead crystal, where it is written as glass
// without lead.
func TestLeadCrystalTold(t *testing.T) {
	at := func(words, glass string) diag.List {
		text := strings.Replace(string(pieceOf("flat", "as cast", "matte", onIron("silicon carbide F220"))), "glass: soda-lime", "glass: "+glass, 1)
		_, checked := findings(trade.BuiltIn(), "piece.md", []byte(strings.Replace(text, "---\n\n", "---\n\n"+words+"\n\n", 1)))
		return of(checked, "another-glass-told")
	}
	for _, words := range []string{"Takes a weight of lead crystal to a grey base.", "The batch is lead crystal.", "Cast in 24% lead crystal.", "Full lead, cast here."} {
		if list := at(words, "soda-lime"); assert.Len(t, list, 1, words) {
			assert.Equal(t, diag.Error, list[0].Severity)
			wellWritten(t, list[0])
		}
		assert.Empty(t, at(words, "lead crystal"), words)
		assert.Empty(t, at(words, "unknown"), words)
	}
	for _, words := range []string{"Lead crystal has a recipe of its own.", "Not for lead crystal.", "Softer than lead crystal.", "The studio lead looks first.", "Lead glass goes elsewhere, by its own card."} {
		assert.Empty(t, lines(t, at(words, "soda-lime")), words)
	}
}
