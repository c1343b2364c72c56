package rules

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/diag"
)

// A refusal is no matter of spelling: what reads on paper as acid work is refused
// however it was typed. Entities are those of HTML 5, marks those of CommonMark,
// look-alikes those of Unicode Technical Standard 39.
func TestRefusalsAreReadThroughTheirSpelling(t *testing.T) {
	for _, sentence := range []string{
		"Dab ETCHING Cream on it.", "Dab etching\ncream on it.", "Dab etching-cream on it.", "Dab etch-\ning cream on it.", "Dab et\u00adching cream on it.", "Dab etching\u200bcream on it.",
		"Dab etching\u00a0cream on it.", "Dab etching&nbsp;cream on it.", "Dab etchingcream on it.", "Dab e**tch**ing cream on it.", "Dab e*t*ching *cream* on it.", "Dab etching_cream on it.",
		"Dab &#101;tching cream on it.", "Dab e&#x74;ching cream on it.", "Dab eтching cream on it.", "Dab ｅｔｃｈｉｎｇ cream on it.",
		"Dab [etching cream](x.md) on it.", "Dab it on ([how](x.md \"the etching cream\")).", "![Etching cream in its tub](pictures/hold.png)", "![Tub](pictures/hold.png \"Etching cream\")",
		"Dab it on. <!-- etching cream -->", "Dab <b>etching</b> cream on it.", "Dab e<i>tch</i>ing cream on it.", "`etching cream` on it.", "~~etching cream~~ on it.", "| etching cream |",
		"Brush on the &#102;luoride.", "Brush on the fl&#117;oride.", "Brush on the flu&shy;oride.", "Brush on the flu\u200boride.", "Brush on the flu\u2011oride.", "Brush on the bi-flu-oride.",
		"Brush on the flu-\n   oride.", "Brush on the flu\noride.", "Brush on the f l u o r i d e.", "Brush on the fluоride.", "Brush on the flυoride.", "Brush on the ﬂuoride.", "Brush on the fIuoride.",
		"Brush on the flu0ride.", "Brush on the hydro\nfluoric.", "Brush on the Hydro\u00adFluoric.", "Brush on the flu**or**ide.", "Brush on the flu[or](x.md)ide.", "Brush on the 𝐟𝐥𝐮𝐨𝐫𝐢𝐝𝐞.",
		"Give it a\u00adcid polish.", "Give it an аcid polish.", "Give it an a-cid dip.", "Give it an a c i d dip.", "Give it an ac1d dip.", "Give it an ácid polish.", "Give it an асіd dip.",
		"Dip it in Н\u200bF for a minute.", "Dip it in НF for a minute.", "Dip it in &#72;F for a minute.", "Dip it in H&shy;F for a minute.", "Dip it in H-F for a minute.", "Dip it in h.f. for a minute.", "Dip it in ＨＦ for a minute.",
		"Mit Sa\u0308ure polieren.", "Mit S&auml;ure polieren.", "Mit A\u0308tzpaste.",
	} {
		for where, text := range map[string]string{
			"order": ordering(piece{}, lapStep, sentence),
			"lead":  ordering(piece{lead: sentence}, lapStep, "Slowly."),
			"notes": ordering(piece{}, lapStep, "Slowly.") + "# Notes\n\n" + sentence + "\n",
		} {
			list := of(contextOf(t, "", text), "acid-or-fluoride-named")
			if assert.NotEmpty(t, list, "%s: %q", where, sentence) {
				assert.Equal(t, diag.Refusal, list[0].Severity, "%s: %q", where, sentence)
				assert.NotEmpty(t, strings.TrimSpace(list[0].Span.Text()), sentence)
				assert.Contains(t, text, list[0].Span.Text())
			}
		}
	}
	for _, head := range []string{
		`stop: "Dab \x65tching cream on it."`, `stop: "\u0066luoride on it."`, "stop: |\n  Dab etching\n  cream on it.", "stop: >\n  flu-\n  oride paste", `stop: "flu\` + "\n  oride on it.\"",
		// A remark in the front matter is no part of a sheet, but tells what the recipe is for.
		"# then the etching cream from the cupboard",
	} {
		list := of(contextOf(t, "", ordering(piece{extra: head + "\n"}, lapStep, "Slowly.")), "acid-or-fluoride-named")
		if assert.NotEmpty(t, list, head) {
			assert.Equal(t, diag.Refusal, list[0].Severity, head)
		}
	}
	// Sand in a blast and dry work on lead glass are read in the same way.
	for _, sand := range []string{"play sa\u00adnd", "play s&#97;nd", "play sаnd", "play s**an**d", "PLAY\nSAND", "play s-and", "play\u00a0sand"} {
		for where, text := range map[string]string{
			"order": ordering(piece{}, lapStep, "Blast it with "+sand+"."), "blast": ordering(piece{}, blasted, "Fill it with "+sand+"."),
		} {
			assert.Equal(t, diag.Refusal, severities(contextOf(t, "", text))["sand-as-blast-media"], "%s: %q", where, sand)
		}
	}
	for _, dry := range []string{"d\u00adry", "d&#114;y", "dгy", "DRY", "d**r**y", "d\u200bry"} {
		assert.Equal(t, diag.Refusal, severities(contextOf(t, "", ordering(piece{glass: "lead crystal"}, lapStep, "Finish it "+dry+".")))["dry-work-on-lead"], "%q", dry)
	}
}

// What passes, passes in every spelling; and what only looks odd is no acid.
func TestSpellingRefusesNothingThatPasses(t *testing.T) {
	for _, sentence := range []string{
		"No acid pol\u00adish on this glass.", "No &#97;cid polish on this glass.", "No a*c*id polish and no e\u00adtching cream here.", "Never etch-\ning cream.",
		"A soft e\u00adtched look.", "Vin&shy;egar for an hour. Pour the a\u00adcid into water.", "C&#105;tric acid, 50 g to the litre.", "Calcium flu\u00adoride lens.", "Acid-\nfree tissue.",
		"A flu\u00adorescent lamp.", "If you have flu or a cold, stay at home.", "Lilac-identical tint.", "Hold-fast, half-full.", "Glass-and-metal stand.", "A caf&eacute; cr&egrave;me paste of cerium.",
		"Plac\u00adid work.", "Benches A B C D E.", "R&amp;D, 5 &lt; 6.", "Чистой водой.", "Καθαρό νερό.", "Søren's blå felt.", "Stop the flow; the fluid is thin.", "Wet-chuck the stub.", "Fetch-carry.",
	} {
		for where, text := range map[string]string{"order": ordering(piece{}, lapStep, sentence), "lead": ordering(piece{lead: sentence}, lapStep, "Slowly.")} {
			assert.Empty(t, of(contextOf(t, "", text), "acid-or-fluoride-named"), "%s: %q", where, sentence)
		}
	}
	assert.NotContains(t, severities(contextOf(t, "", ordering(piece{}, blasted, "No play sa\u00adnd."))), "sand-as-blast-media")
	assert.NotContains(t, severities(contextOf(t, "", ordering(piece{glass: "lead crystal"}, lapStep, "Never finish it d\u00adry."))), "dry-work-on-lead")
}

// An author's caution is read through soft hyphens and the like as well.
func TestNotesAreReadThroughTheirSpelling(t *testing.T) {
	for _, note := range []string{"Warning: RCD so\u00adcket, press T\u200bEST first, d\u00adry hands at plugs.", "Warning: R&shy;CD socket, press TEST first, dry&nbsp;hands at plugs."} {
		text := ordering(piece{lead: "> " + note}, lapStep, "Slowly.")
		assert.NotContains(t, severities(contextOf(t, "", text)), "power-near-water", note)
	}
}
