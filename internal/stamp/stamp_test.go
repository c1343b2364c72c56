package stamp

import (
	"crypto/sha256"
	"encoding/binary"
	"image"
	"image/color"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The check character against values that others published.
func TestCheckCharacterOfISO7064(t *testing.T) {
	for _, c := range []struct{ whole, source string }{
		{"A12425GABC1234002M", "IFPI, GRid Standard v2.1, the example identifier A1-2425G-ABC1234002-M; seen second-hand"},
		{"000000003A8D0000Z", "ISO 15706 (ISAN), the example 0000-0000-3A8D-0000-Z-0000-0000-6, first check; seen second-hand"},
		{"000000003A8D0000000000006", "the same, its second check, taken without the first"},
	} {
		n := len(c.whole) - 1
		assert.Equalf(t, string(c.whole[n]), string(check(c.whole[:n])), "%s", c.source)
	}
	// The same procedure in MOD 11,10, with the worked example of ISO 7064:
	// 0794 is protected by 5; seen second-hand.
	assert.Equal(t, 5, hybrid([]int{0, 7, 9, 4}, 10))
}

func anyMark(t *rapid.T) Mark {
	return Of(sha256.Sum256(rapid.SliceOf(rapid.Byte()).Draw(t, "page")))
}

// A mark has nine characters, none of those that are misread, however its sum
// falls out.
func TestMarks(t *testing.T) {
	again := 0
	for i := range 5000 {
		sum := sha256.Sum256(binary.BigEndian.AppendUint32(nil, uint32(i)))
		m := Of(sum)
		require.Len(t, m, 9)
		require.Empty(t, strings.Trim(string(m), "0123456789ABCDEFGHJKMNPQRSTVWXYZ"), "%s", m)
		require.Equal(t, m[8], check(string(m[:8])))
		if letters[sum[0]>>3] != m[0] {
			again++
		}
	}
	// Four of 36 check characters are not used: the next sum is taken in about
	// a ninth of all cases, and its first character is another in 31 of 32.
	assert.InDelta(t, 5000*4/36.*31/32, again, 120)
	assert.Equal(t, "QF37-K2M4-B", Mark("QF37K2M4B").String())
}

// What people do when they copy a mark is forgiven.
func TestReadForgives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyMark(t)
		id := rapid.StringMatching(`[a-z0-9]{1,8}(-[a-z0-9]{1,8}){0,3}`).Draw(t, "id")
		revision := rapid.IntRange(1, 300).Draw(t, "revision")
		text := Text(id, revision, m)
		var b strings.Builder
		for _, r := range text {
			switch rapid.IntRange(0, 5).Draw(t, "slip") {
			case 0:
				r = []rune(strings.ToLower(string(r)))[0]
			case 1:
				switch r {
				case '0':
					r = 'o'
				case '1':
					r = rapid.SampledFrom([]rune("iIlL")).Draw(t, "one")
				case ' ', '-':
					continue
				}
			case 2:
				b.WriteRune(rapid.SampledFrom([]rune(" -.·")).Draw(t, "between"))
			}
			b.WriteRune(r)
		}
		got, err := Read(b.String() + rapid.SampledFrom([]string{"", "\n", " · page 2 of 13"}).Draw(t, "end"))
		require.NoError(t, err)
		require.Equal(t, m, got.Mark)
		require.Equal(t, revision, got.Revision)
		require.Equal(t, Fold(id), got.ID)
	})
}

func TestReadAsItStandsOnAFace(t *testing.T) {
	m := Of(sha256.Sum256([]byte("a page")))
	for _, c := range []struct {
		text, written string
		revision      int
	}{
		{Text("cast-weight", 2, m), "CAST-WEIGHT", 2},
		{"cast-weight · rev 2 " + m.String(), "cast-weight", 2},
		{"Cast weight rev.2, " + strings.ToLower(string(m)), "Cast weight", 2},
		{m.String(), "", 0},
		{"cast-weight " + m.String(), "cast-weight", 0},
		{"cast-weight rev 2 " + m.String() + " · page 1 of 3", "cast-weight", 2},
		{"title-page R4 " + m.String(), "title-page", 4},
	} {
		got, err := Read(c.text)
		require.NoErrorf(t, err, "%s", c.text)
		assert.Equalf(t, Reading{ID: Fold(c.written), Written: c.written, Revision: c.revision, Mark: m}, got, "%s", c.text)
	}
}

// A wrong character is always caught, two that changed places nearly always
// (ISO 7064, 2: all single substitutions, nearly all transpositions).
func TestReadCatchesSlips(t *testing.T) {
	missed, swaps := 0, 0
	for i := range 300 {
		m := string(Of(sha256.Sum256([]byte{byte(i), byte(i >> 8)})))
		for at := range m {
			for _, c := range letters {
				if byte(c) == m[at] {
					continue
				}
				_, err := Read("cast-weight R2 " + m[:at] + string(c) + m[at+1:])
				require.Errorf(t, err, "%s, %c at %d", m, c, at)
			}
			if at > 0 && m[at-1] != m[at] {
				swaps++
				if _, err := Read(m[:at-1] + string(m[at]) + string(m[at-1]) + m[at+1:]); err == nil {
					missed++
				}
			}
		}
	}
	assert.Less(t, float64(missed), .03*float64(swaps))
	for text, message := range map[string]string{
		"":             "There is no mark here to look at.",
		"QF37 K2M":     "A mark has 9 characters; here there are 7.",
		"UF37-K2M1-P":  "A mark holds no U.",
		"ÄF37-K2M1-P":  "“Ä” is on no mark: it has figures and the capitals A to Z.",
		"QF37-K2M4-B0": "The mark F37K-2M4B-0 does not hold together: its last character is the check on the others, and it does not fit.",
	} {
		_, err := Read(text)
		var slip *Slip
		require.ErrorAsf(t, err, &slip, "%s", text)
		assert.Equal(t, message, slip.Message)
		assert.NotEmpty(t, slip.Help)
	}
}

// Anything may be typed or scanned: a slip or a reading, never a panic, and a
// reading holds together.
func TestReadAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		got, err := Read(rapid.String().Draw(t, "text"))
		if err == nil {
			require.Len(t, got.Mark, 9)
		}
	})
}

// drawn is a square as a picture, some samples a module, filled from its
// outlines by even and odd, with its quiet zone.
func drawn(s *Square, scale int) image.Image {
	side := (s.Size + 2*Quiet) * scale
	img := image.NewGray(image.Rect(0, 0, side, side))
	shapes := s.Outlines()
	for y := range side {
		for x := range side {
			px, py := float64(x)/float64(scale)-Quiet+.01, float64(y)/float64(scale)-Quiet+.01
			inside := false
			for _, shape := range shapes {
				for i, a := range shape {
					b := shape[(i+1)%len(shape)]
					if a.X == b.X && float64(a.X) > px && (float64(a.Y) > py) != (float64(b.Y) > py) {
						inside = !inside
					}
				}
			}
			if !inside {
				img.SetGray(x, y, color.Gray{Y: 255})
			}
		}
	}
	return img
}

func decode(t require.TestingT, img image.Image) *gozxing.Result {
	bitmap, err := gozxing.NewBinaryBitmapFromImage(img)
	require.NoError(t, err)
	got, err := qrcode.NewQRCodeReader().Decode(bitmap, nil)
	require.NoError(t, err)
	return got
}

// The square, read by another library, is the text; version and level are
// those of ISO/IEC 18004:2015, table 7: at level Q, 29 letters in version 2,
// 47 in version 3, 67 in version 4, 87 in version 5.
func TestSquares(t *testing.T) {
	for _, c := range []struct{ letters, size int }{{1, 21}, {16, 21}, {17, 25}, {29, 25}, {30, 29}, {47, 29}, {48, 33}, {67, 33}, {68, 37}, {87, 37}} {
		text := (strings.Repeat("CAST-WEIGHT R2 ", 6))[:c.letters-1] + "7"
		s, err := Encode(text)
		require.NoError(t, err)
		assert.Equalf(t, c.size, s.Size, "%d letters", c.letters)
		got := decode(t, drawn(s, 4))
		assert.Equal(t, text, got.GetText())
		assert.Equal(t, "Q", got.GetResultMetadata()[gozxing.ResultMetadataType_ERROR_CORRECTION_LEVEL])
	}
	s, err := Encode("größe")
	require.NoError(t, err)
	assert.Equal(t, "größe", decode(t, drawn(s, 4)).GetText())
}

// The outlines are black where the modules are, have no corner where nothing
// turns, and run along modules only.
func TestOutlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "side")
		s := &Square{Size: n, black: rapid.SliceOfN(rapid.Bool(), n*n, n*n).Draw(t, "modules")}
		edges := 0
		for _, shape := range s.Outlines() {
			require.GreaterOrEqual(t, len(shape), 4)
			for i, a := range shape {
				b, c := shape[(i+1)%len(shape)], shape[(i+2)%len(shape)]
				require.True(t, (a.X == b.X) != (a.Y == b.Y))
				require.True(t, (a.X == b.X) != (b.X == c.X), "a corner that does not turn")
				edges += max(a.X-b.X, b.X-a.X) + max(a.Y-b.Y, b.Y-a.Y)
			}
		}
		img := drawn(s, 1).(*image.Gray)
		want := 0
		for y := range n {
			for x := range n {
				require.Equal(t, s.Black(x, y), img.GrayAt(x+Quiet, y+Quiet).Y == 0)
				for _, d := range steps {
					if s.Black(x, y) && !s.Black(x+d.X, y+d.Y) {
						want++
					}
				}
			}
		}
		require.Equal(t, want, edges, "every edge once")
	})
}
