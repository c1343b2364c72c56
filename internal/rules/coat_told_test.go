package rules_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/diag"
	"coldwright/internal/trade"
)

// stripped is a tile whose top is ground and whose back is left alone, with a
// surface more where it has a name, a coating where one is written, and words
// before its first step.
func stripped(name, coating, words, mask string) []byte {
	step := onIron("silicon carbide F220")
	if mask != "" {
		step = strings.Replace(step, "- Water:", "- Mask: "+mask+"\n- Water:", 1)
	}
	text := strings.NewReplacer("Surface: face", "Surface: top", "name: face", "name: top").Replace(string(pieceOf("flat", "fused", "matte", step)))
	more := "  - {name: back, shape: flat, from: fused, to: untouched}\n"
	if name != "" {
		more += "  - {name: " + name + ", shape: flat, area: 8 cm², from: fused, to: untouched}\n"
	}
	if coating != "" {
		more += "coating: " + coating + "\n"
	}
	return []byte(strings.Replace(text, "---\n\n", more+"---\n\n"+words+"\n\n", 1))
}

// A coat lies in some face, and no grain leaves it there: what is known of where it
// lies gives the severity.
func TestACoatThatLiesInAFaceThatIsGround(t *testing.T) {
	cases := []struct {
		name, coating, words, mask string
		want                       diag.Severity
	}{
		{name: "strip", words: "A dichroic strip lies in the top.", want: diag.Error},
		{words: "A dichroic strip lies in the top.", want: diag.Error},
		{words: "The top has a gold leaf star fused on.", want: diag.Error},
		{words: "Keep off the dichroic strip in the top.", want: diag.Error},
		{words: "An enamelled line runs along the top.", want: diag.Error},
		{words: "Mind the silvered patch on the top.", want: diag.Error},
		{name: "strip", words: "The strip is dichroic and runs across the top.", want: diag.Error},
		{name: "strip", coating: "{kind: dichroic, on: strip}", words: "The strip runs across the top.", want: diag.Error},
		{name: "top strip", coating: "{kind: dichroic, on: top strip}", want: diag.Error},
		{name: "gold leaf", words: "The gold leaf in the top is protected.", want: diag.Error},
		{name: "dichroic strip", want: diag.Warning},
		{name: "strip", coating: "{kind: dichroic, on: strip}", want: diag.Warning},
		{name: "band", words: "The band is enamelled.", want: diag.Warning},

		{name: "strip"},
		{name: "dichroic strip", mask: "dichroic strip"},
		{name: "back strip", coating: "{kind: dichroic, on: back strip}"},
		{name: "strip", words: "A dichroic strip lies in the back."},
		{name: "dichroic strip", words: "It lies on the underside: the dichroic strip is on the underside."},
		{name: "strip", coating: "{kind: dichroic, on: strip, capped: 3 mm}"},
		{name: "dichroic strip", words: "The dichroic strip lies in the top under 3 mm of clear glass."},
		{words: "The enamelled star on the top is taped over."},
		{words: "There is no dichroic in the top."},
		{words: "Brought to a mirror polish on the top. Hold a mirror over the top."},
		{words: "Leave a coating of cerium on the top."},
		{words: "Set it in the enamel tray on the top shelf."},
		{words: "Tiles with dichroic on the top go by another recipe."},
		{words: "If the top has a gilded line, ask first."},
		{words: "A coated belt is never used on the top."},
	}
	for _, c := range cases {
		text := stripped(c.name, c.coating, c.words, c.mask)
		read, checked := findings(trade.BuiltIn(), "piece.md", text)
		assert.Empty(t, lines(t, read), "%s: %s", c.name, c.words)
		list := of(checked, "coated-surface-worked")
		if c.want == 0 {
			assert.Empty(t, lines(t, list), "%s: %s", c.name, c.words)
			continue
		}
		if assert.Len(t, list, 1, "%s: %s", c.name, c.words) {
			assert.Equal(t, c.want, list[0].Severity, "%s: %s", c.name, c.words)
			wellWritten(t, list[0])
		}
	}
}
