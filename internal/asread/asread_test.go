package asread

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var some = NewWords(map[Place][]string{
	Anywhere: {"fluor"}, Edge: {"acid"}, Opens: {"etch"}, Alone: {"hf", "sand", "dry"}, Broken: {"fluoride", "hydrofluoric"},
})

// Entities of HTML 5, escapes of YAML 1.2 between quotation marks, the marks of
// CommonMark, Unicode Standard Annex 15 and Technical Standard 39: each way of
// writing a word that reads the same on paper.
func TestAWordIsReadHoweverItIsWritten(t *testing.T) {
	for _, written := range []string{
		"fluoride", "FLUORIDE", "&#102;luoride", "&#x66;luoride", "flu&shy;oride", "fl&#117;oride", "flu&ZeroWidthSpace;oride", "flu&#8203;oride",
		"flu\u00adoride", "flu\u200boride", "f\u200dl\u200cu\u2060o\ufeffride", "f\u0301luoride", "flúoride", "fluor\u0308ide", "fIuoride",
		"flu-oride", "flu\u2010oride", "flu\u2011oride", "flu-\noride", "flu-\n    oride", "flu-\r\n  > oride", "flu\u00ad\noride",
		"flu\noride", "flu oride", "f l u o r i d e", "f-l-u-o-r-i-d-e", "f. l. u. o. r. i. d. e.", "f.l.u.o.r.i.d.e",
		"flu**or**ide", "*f*luoride", "flu_oride", "flu~~or~~ide", "flu`or`ide", "flu\\oride", "f*l*u*o*r*ide",
		"flu<b>or</b>ide", "flu<!-- here -->oride", "flu[or](x.md)ide", "[flu](x.md)oride", "fl<i>uo</i>ride",
		"ﬂuoride", "ｆｌｕｏｒｉｄｅ", "𝐟𝐥𝐮𝐨𝐫𝐢𝐝𝐞", "fluоride", "flυοride", "fІuoride",
		"flu0ride", "f1uoride", `\x66luoride`, `\u0066luoride`, `\U00000066luoride`,
	} {
		read := Read([]byte("Dab the "+written+" on. Then wash."), some)
		low := strings.ToLower(string(read.Bytes))
		if !assert.Contains(t, low, "fluor", written) {
			continue
		}
		from := strings.Index(low, "fluor")
		start, end := read.Span(from, from+len("fluor"))
		assert.GreaterOrEqual(t, start, len("Dab the "), written)
		assert.LessOrEqual(t, end, len("Dab the ")+len(written), written)
		assert.Contains(t, string(read.Bytes), "Dab the ", written)
		assert.Contains(t, string(read.Bytes), "on. Then wash.", written)
	}
	for written, want := range map[string]string{
		"аcid": "acid", "асіd": "acid", "асіԁ": "acid", "ac1d": "acid", "@cid": "@cid", "&#72;F": "HF", "НF": "HF", "ΗF": "HF", "s-and": "sand", "d&#114;y": "dry", "&eacute;tching": "etching", "e\u200btching": "etching",
		"Säure": "Säure", "Sa\u0308ure": "Säure", "S&auml;ure": "Säure", "a&amp;b é": "a&b e", "acId": "acId", "acid\u200bfree x\u0301": "acidfree x", "pol\u00adish": "polish",
	} {
		assert.Equal(t, want, string(Read([]byte(written), some).Bytes), written)
	}
}

// What is no word that is looked for is left as it stands.
func TestOrdinaryTextIsReadAsItStands(t *testing.T) {
	for _, text := range []string{
		"Wet-and-dry paper, half-round file, pre-polish, 1.5 µm, 1.5 μm, 80 cm², ½ turn – “so” it goes → on.",
		"If you have flu or a cold, stay away.", "acid-free tissue", "Lilac-identical", "glass-and-metal", "A B C D, benches A B C D E", "H. F. signs",
		"R & D, A&B, 5 < 6 and 7 > 3", "x_y_z *wet* **dry** `code`", "a - b", "F120, P400, L120, D46", "größer, Säure, Füße, blå", "[a link](x.md) and [another](y.md)",
		"f a c e", "etching\u00a0cream", "C:\\drive\\new", "\\", "&", "&;", "-", "",
	} {
		read := Read([]byte(text), some)
		assert.False(t, read.Changed(), text)
		assert.Equal(t, text, string(read.Bytes))
		from, to := read.Span(0, len(text))
		assert.Equal(t, [2]int{0, len(text)}, [2]int{from, to})
	}
}

// What stands between the letters of a word is still read.
func TestWhatIsPassedOverIsReadAfterwards(t *testing.T) {
	read := Read([]byte("e<!-- and acid -->tching"), some)
	assert.Equal(t, "etching\n\n<!-- and acid -->", string(read.Bytes))
	start, end := read.Span(strings.Index(string(read.Bytes), "acid"), strings.Index(string(read.Bytes), "acid")+4)
	assert.Equal(t, "acid", "e<!-- and acid -->tching"[start:end])
}

// Whatever is read, every place lies in the text, and reading it never fails.
func TestPlacesLieInTheText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOf(rapid.SampledFrom([]string{
			"flu", "or", "ide", "ac", "id", "etch", "&#102;", "&shy;", "&amp", "-", "\n", " ", "*", "_", "<b>", "<!--", "-->", "[", "](", ")", "\u00ad", "\u200b", "\u0308", "о", "é", "ﬂ",
			"\\x66", "\\u00", "0", "1", "\xff", "\xc3", "f", "l", ".", "ä", "𝐟",
		})).Draw(t, "parts")
		text := []byte(strings.Join(parts, ""))
		read := Read(text, some)
		for i := range read.Bytes {
			from, to := read.Span(i, i+1)
			require.True(t, 0 <= from && from <= to && to <= len(text))
		}
		from, to := read.Span(len(read.Bytes), len(read.Bytes))
		require.True(t, from == to && to <= len(text))
	})
}
