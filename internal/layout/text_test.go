package layout

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"coldwright/internal/draw"
)

// lineWords are the lines of plain body text in a width of mm.
func lineWords(text string, width float64) []string {
	var s setter
	return words(s.lines(spans(body(), text), measure{width: draw.MM(width)}))
}

func words(lines []line) []string {
	out := make([]string, len(lines))
	for i, ln := range lines {
		for _, p := range ln.pieces {
			out[i] += p.text
		}
	}
	return out
}

// What belongs together is never torn, at whatever width: every pair in the
// list is common practice in setting amounts, save the ranges, which UAX #14
// would let break behind the dash.
func TestAmountsStayWhole(t *testing.T) {
	for _, whole := range []string{
		"10 mm", "600 rpm", "2F", "4–6", "1.6 m/s", "P400", "no. 60", "No. 60", "50 cm²", "0.36 EUR", "400 mesh",
		"JIS 400", "CAMI 400", "4 – 6", "1 1/2 in", "250 × 1 mm", "0½", "6-8-12 min", "85 dB(A)", "≤ 3", "4–6 mm",
		"45 µm†", "FELT-P", "10 %", "20 °C", "1.5 µm,", "(300 mm)",
	} {
		for width := 22.0; width < 70; width += .7 {
			lines := lineWords("Set the piece at "+whole+" and go on round the rim", width)
			found := false
			for _, ln := range lines {
				found = found || strings.Contains(ln, whole)
			}
			require.Truef(t, found, "%q is torn at %.1f mm: %q", whole, width, lines)
		}
	}
}

func TestOrdinaryWordsMayPart(t *testing.T) {
	// UAX #14, LB21: a hyphen between letters is a place to break.
	assert.Equal(t, []string{"kiln-", "formed"}, lineWords("kiln-formed", 13))
	// A number before a common word may part.
	assert.Equal(t, []string{"these 12", "pieces"}, lineWords("these 12 pieces", 16))
	// A soft hyphen shows only at the end of a line.
	assert.Equal(t, []string{"pre-", "polishing"}, lineWords("pre\u00ADpolishing", 18))
	assert.Equal(t, []string{"prepolishing"}, lineWords("pre\u00ADpolishing", 60))
	// No-break spaces hold and print as spaces.
	assert.Equal(t, []string{"the", "iron lap"}, lineWords("the iron\u00A0lap", 16))
	// A zero width space is a place to break that draws nothing.
	assert.Equal(t, []string{"long", "code"}, lineWords("long\u200Bcode", 10))
	assert.Equal(t, []string{"a b c"}, lineWords("  a\tb   c \t", 40))
}

func TestALineTheAuthorEnds(t *testing.T) {
	assert.Equal(t, []string{"one", "two", "", "three"}, lineWords("one \n two\n\nthree\n", 50))
}

func TestWordLongerThanItsColumn(t *testing.T) {
	long := strings.Repeat("Pneumonoultramicroscopic", 40)
	lines := lineWords("a "+long+" b", 20)
	assert.Equal(t, "a"+long+"b", strings.ReplaceAll(strings.Join(lines, ""), " ", ""))
	// Even where not one character fits, every line takes one.
	assert.Equal(t, []string{"m", "m", "m"}, lineWords("mmm", .1))
	// What is glued is loosened at its spaces before letters are torn apart.
	assert.Equal(t, []string{"250 ×", "1000 mm"}, lineWords("250 × 1000 mm", 17))
}

// A letter with its accent is one character to a reader: it is set as one and
// not torn apart (UAX #29).
func TestCombiningMarks(t *testing.T) {
	var s setter
	assert.Equal(t, []string{"é"}, words(s.lines(spans(body(), "e\u0301"), measure{width: draw.MM(40)})))
	assert.Empty(t, s.findings())
	for _, ln := range lineWords(strings.Repeat("q\u0301", 30), 6) {
		r, _ := utf8.DecodeRuneInString(ln)
		assert.Equal(t, 'q', r)
	}
	assert.Equal(t, []string{"ab"}, lineWords("a\u200D\uFE0F\u200E\uFEFFb", 40), "characters that draw nothing leave nothing")
}

func TestCharactersTheFaceLacks(t *testing.T) {
	var s setter
	got := words(s.lines(spans(body(), "玻 and 玻 and \U0001F600 \x01"), measure{width: draw.MM(120)}))
	assert.Equal(t, []string{"[U+73BB] and [U+73BB] and [U+1F600] [U+0001]"}, got)
	found := s.findings()
	require.Len(t, found, 3, "one finding a character")
	for _, d := range found {
		assert.Equal(t, "character-not-in-font", d.Rule)
		assert.Contains(t, d.Message, "U+")
		assert.NotEmpty(t, d.Help)
	}
}

func TestCodeKeepsItsSpaces(t *testing.T) {
	var s setter
	lines := words(s.lines(spans(body(), "a\n    b  c\n\n\td"), measure{width: draw.MM(120), keep: true}))
	assert.Equal(t, []string{"a", "    b  c", "", "    d"}, lines)
}

// anyText is text such as people write and such as nobody would.
func anyText() *rapid.Generator[string] {
	alphabet := []rune("aabcdeefghiijklmnoprstuvwxyzABC   0123456789.,;:-–/()\"'!?%×µ½²°†ßéøЖдΩλ\u00A0\u00AD\u200B\u2060\u0301玻\n\t/")
	return rapid.StringOfN(rapid.SampledFrom(alphabet), 0, 200, -1)
}

func TestLinesHoldEveryCharacter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := anyText().Draw(t, "text")
		m := measure{width: draw.MM(rapid.Float64Range(1, 120).Draw(t, "width")), keep: rapid.Bool().Draw(t, "keep")}
		var s setter
		lines := s.lines([]span{{look: body(), text: text}, {look: bold(headSize), text: text}}, m)
		s.load([]span{{look: body(), text: text}, {look: bold(headSize), text: text}}, m.keep)
		want := bare(string(s.buf))
		got := strings.Join(words(lines), "")
		if strings.ContainsRune(text, softHyphen) {
			// Hyphens that show at the ends of lines.
			got, want = strings.ReplaceAll(got, "-", ""), strings.ReplaceAll(want, "-", "")
		}
		assert.Equal(t, want, bare(got))
		for i, ln := range lines {
			joined := words(lines[i : i+1])[0]
			if ln.width > m.width {
				// Only a single character may be wider than its room.
				assert.LessOrEqualf(t, uniseg.GraphemeClusterCount(strings.TrimSuffix(joined, "-")), 1, "%q is wider than its room", joined)
			}
		}
	})
}

// bare is text without what draws nothing.
func bare(s string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case ' ', '\n', noBreakSpace, softHyphen, zeroSpace, wordJoiner:
			return -1
		}
		return r
	}, s)
}

// Every place where a line may end is one by UAX #14 as the library has it; we
// only take some away.
func TestBreaksAreAmongThoseOfUnicode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s setter
		s.load(spans(body(), anyText().Draw(t, "text")), false)
		all := string(s.buf)
		allowed := map[int]bool{}
		at, state := 0, -1
		for rest := all; rest != ""; {
			var segment string
			segment, rest, _, state = uniseg.FirstLineSegmentInString(rest, state)
			at += len(segment)
			allowed[at] = true
		}
		cuts := appendCuts(nil, all, s.odd, true)
		for i, c := range cuts {
			if i+1 == len(cuts) {
				break
			}
			// The library sees the text whole; the places behind spaces are
			// ours by LB18, except where a mark follows that never begins a
			// line.
			if c.next == c.end {
				assert.Truef(t, allowed[c.next] || c.start == c.end, "%q ends a line within a word", all[:c.next])
			}
		}
	})
}
