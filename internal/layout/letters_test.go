package layout

import (
	"fmt"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/unicode/norm"

	"coldwright/internal/draw"
	"coldwright/internal/source"
)

// setAs is a text as its lines say it, in one line.
func setAs(s *setter, text string, style draw.Style) string {
	var b strings.Builder
	for _, l := range s.lines(spans(regular(bodySize).in(style), text), measure{width: draw.MM(1000)}) {
		for _, p := range l.pieces {
			b.WriteString(p.text)
		}
	}
	return b.String()
}

// TestEuropesLettersPrint sets every letter of the European parts of ISO 8859
// and of Windows code pages 1250 to 1254 and 1257, and of KOI8-U, which between
// them hold the alphabets of Europe's written languages, in every style: as one
// character and, the way some systems write them, as a letter and its accents.
// Both print as the one character and neither gives a finding. The iota below,
// standing alone, is no letter of a word; the ezh of Skolt Sámi is what the
// typeface lacks, as the README says.
func TestEuropesLettersPrint(t *testing.T) {
	letters := map[rune]bool{}
	for _, m := range []*charmap.Charmap{
		charmap.ISO8859_1, charmap.ISO8859_2, charmap.ISO8859_3, charmap.ISO8859_4, charmap.ISO8859_5, charmap.ISO8859_7,
		charmap.ISO8859_9, charmap.ISO8859_10, charmap.ISO8859_13, charmap.ISO8859_14, charmap.ISO8859_15, charmap.ISO8859_16,
		charmap.Windows1250, charmap.Windows1251, charmap.Windows1252, charmap.Windows1253, charmap.Windows1254, charmap.Windows1257,
		charmap.KOI8U,
	} {
		for c := range 256 {
			if r := m.DecodeByte(byte(c)); unicode.IsLetter(r) && r != '\u037A' {
				letters[r] = true
			}
		}
	}
	// Of Romanian, Vietnamese names, German capitals, what no code page has.
	for _, r := range "ȘșȚțẞŊŋǪǫǍǎǦǧǨǩẀẁẂẃẄẅỲỳҐґЀѐЍѝЂђЋћЏџ" {
		letters[r] = true
	}
	require.Greater(t, len(letters), 430)
	for _, style := range []draw.Style{draw.Regular, draw.Italic, draw.SemiBold, draw.Bold} {
		var s setter
		for r := range letters {
			want := norm.NFC.String(string(r))
			for _, written := range []string{string(r), norm.NFD.String(string(r))} {
				assert.Equal(t, want, norm.NFC.String(setAs(&s, written, style)), "U+%04X written as %+q in style %d", r, written, style)
			}
		}
		for _, m := range s.missing {
			assert.Failf(t, "missing", "U+%04X %c in style %d", m.r, m.r, style)
		}
	}
}

// What is not seen asks for nothing: joiners, marks of direction, a byte order
// mark, variation selectors; and a soft hyphen shows only at the end of a line.
func TestTheUnseenDoesNotPrint(t *testing.T) {
	var s setter
	for _, r := range "\u200c\u200d\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2060\u2066\u2067\u2068\u2069\ufeff\ufe0f\u061c" {
		got := strings.ReplaceAll(setAs(&s, "fel"+string(r)+"t", draw.Regular), "\u2060", "")
		assert.Equal(t, "felt", got, "U+%04X", r)
	}
	assert.Equal(t, "Schleifscheibe", setAs(&s, "Schleif\u00adscheibe", draw.Regular))
	narrow := s.lines(spans(regular(bodySize), "Schleif\u00adscheibe"), measure{width: draw.MM(20)})
	require.Len(t, narrow, 2)
	assert.Equal(t, "Schleif-", narrow[0].pieces[0].text)
	assert.Empty(t, s.findings())
}

// A link without a space and a word of three hundred letters break and lose
// nothing; no line is wider than its room.
func TestLongWordsAndLinksBreak(t *testing.T) {
	for _, word := range []string{
		"https://example.org/houses/quillfen/recipes/optic-block?revision=8&face=a%20very%20long%20one#section-on-the-last-polish",
		strings.Repeat("donaudampfschiff", 20), strings.Repeat("Ж", 200), strings.Repeat("é", 150),
		strings.Repeat("a/", 100),
	} {
		for _, mm := range []float64{8, 25, 60} {
			var s setter
			got := ""
			for _, l := range s.lines(spans(regular(bodySize), word), measure{width: draw.MM(mm)}) {
				assert.LessOrEqual(t, l.width, draw.MM(mm), "%.20s", word)
				for _, p := range l.pieces {
					got += p.text
				}
			}
			assert.Equal(t, word, got, "%.20s at %g mm", word, mm)
		}
	}
}

// The names are those of the Unicode Character Database.
func TestTheMissingIsNamed(t *testing.T) {
	for r, name := range map[rune]string{
		'😀': "grinning face", '漢': "", 'א': "hebrew letter alef", '☂': "umbrella", 'ก': "thai character ko kai",
	} {
		list := Unprintable(source.New("a.md", []byte("Felt "+string(r)+".\n")))
		require.Len(t, list, 1)
		want := fmt.Sprintf("The character “%c” (U+%04X", r, r)
		if name != "" {
			want += ", " + name
		}
		assert.True(t, strings.HasPrefix(list[0].Message, want+") is not in the typeface"), list[0].Message)
		assert.Contains(t, list[0].Message, fmt.Sprintf("[U+%04X]", r))
	}
}
