package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/testkit"
)

// says is the status of a command and all it said.
func says(args ...string) (status int, out string) {
	out, complained, status := run(args...)
	return status, out + complained
}

// change puts words of a file in the place of others, which must stand there.
func change(t *testing.T, file, from, to string) {
	t.Helper()
	text := string(testkit.Read(t, file))
	require.Contains(t, text, from)
	require.NoError(t, os.WriteFile(file, []byte(strings.Replace(text, from, to, 1)), 0o644))
}

// asked is the answer of verify for a text in a house.
func asked(t *testing.T, house, text string) (int, verdict) {
	t.Helper()
	status, out := says("verify", text, "--house", house, "--today", "2026-11-25", "--format", "json")
	var v verdict
	require.NoError(t, json.Unmarshal([]byte(out), &v), out)
	assert.NotContains(t, v.Message+v.Help, "  ")
	assert.True(t, strings.HasSuffix(v.Message, "."), v.Message)
	return status, v
}

// A page stays what the house would print until something that reaches it
// changes; verify then says what it can of the change.
func TestVerify(t *testing.T) {
	house := demoHouse(t)
	recipe, shop := filepath.Join(house, "cast-weight.md"), filepath.Join(house, "shop.yaml")
	_, any := asked(t, house, "cast-weight R2 QF37-K2M4-B")
	require.NotNil(t, any.House)
	mark := any.House.Marks["process sheet"]
	require.Len(t, mark, 11)
	text := "CAST-WEIGHT R2 " + mark
	is := func(text, reason string, status int) verdict {
		t.Helper()
		got, v := asked(t, house, text)
		assert.Equal(t, []string{reason}, v.Reasons, v.Message)
		assert.Equal(t, status, got)
		assert.Equal(t, map[int]string{0: "current", 1: "not current", 2: "unreadable"}[status], v.Status)
		return v
	}
	v := is(text, "same", 0)
	assert.Equal(t, &verdictPage{Recipe: "cast-weight", Revision: 2, Design: "process sheet"}, v.Page)
	assert.Equal(t, "2026-10-05", v.House.Effective)
	for _, same := range []string{
		mark, strings.ToLower(strings.ReplaceAll(mark, "-", "")), "cast weight rev 2 " + strings.ReplaceAll(mark, "-", " "), text + " · page 2 of 5",
		strings.NewReplacer("0", "O", "1", "l").Replace(text),
	} {
		is(same, "same", 0)
	}
	is("CAST-WEIGHT R3 "+mark, "revision-differs", 1)
	is("OPTIC-BLOCK R8 "+mark, "other-words", 1)
	assert.Equal(t, "cast-weight", is("FOOT-RING R1 "+mark, "name-differs", 1).Page.Recipe)
	slip := []byte(mark)
	slip[2] = map[bool]byte{true: '7', false: '3'}[slip[2] == '3']
	is(string(slip), "slip", 2)
	is("QF37-K2M4-B", "unknown-mark", 1)
	v = is("CAST-WEIGT R2 QF37-K2M4-B", "unknown-recipe", 1)
	assert.Equal(t, "The house has no recipe called CAST-WEIGT.", v.Message)
	assert.Equal(t, "The nearest name is cast-weight.", v.Help)

	// Comments, spaces and what this page does not say leave it current.
	change(t, recipe, "revision: 2\n", "revision: 2 # since the pumice\n")
	change(t, recipe, "Two layers of tape", "Two  layers of tape")
	change(t, shop, "grade: 60 mesh", "grade: 50 mesh")
	require.NoError(t, os.Rename(recipe, filepath.Join(house, "a-weight.md")))
	recipe = filepath.Join(house, "a-weight.md")
	is(text, "same", 0)

	// A caution of the house, a picture, a word: no longer.
	was := testkit.Read(t, shop)
	require.NoError(t, os.WriteFile(shop, append(was, "\ncautions:\n  dry powder: Wet it first, and wear the mask.\n"...), 0o644))
	v = is(text, "other-words", 1)
	assert.Contains(t, v.Message, "revision was not raised")
	require.NoError(t, os.WriteFile(shop, was, 0o644))
	picture := filepath.Join(house, "pictures", "lap-path.png")
	other := filepath.Join(house, "pictures", "seam-and-tape.png")
	kept := testkit.Read(t, picture)
	require.NoError(t, os.WriteFile(picture, testkit.Read(t, other), 0o644))
	is(text, "other-words", 1)
	require.NoError(t, os.WriteFile(picture, kept, 0o644))
	is(text, "same", 0)

	// A draft of today, and one from before the recipe was approved.
	change(t, recipe, "approved: studio lead\n", "")
	_, v = asked(t, house, text)
	draft := v.House.Marks["process sheet"]
	v = is(draft, "draft", 1)
	assert.True(t, v.Page.Draft)
	change(t, recipe, "date: 2026-10-05\n", "date: 2026-10-05\napproved: studio lead\n")
	v = is(draft, "draft", 1)
	assert.Contains(t, v.Message, "before it was approved")
	is(text, "same", 0)

	// What stops the print says so, of a page that is the same in all else.
	change(t, shop, "house:\n", "hause:\n")
	_, v = asked(t, house, text)
	assert.NotEqual(t, "current", v.Status)
	change(t, shop, "hause:\n", "house:\n")

	// A later revision: what changed is in the change record.
	change(t, recipe, "revision: 2 ", "revision: 4 ")
	change(t, recipe, "date: 2026-10-05", "date: 2026-11-20")
	change(t, recipe, "changes:\n", "changes:\n  - {revision: 4, date: 2026-11-20, kind: safety, note: Gloves off at the lap.}\n  - {revision: 3, date: 2026-11-01, kind: wording, note: Shorter.}\n")
	v = is(text, "older-revision", 1)
	assert.Equal(t, []verdictChange{{3, "2026-11-01", "wording", "Shorter."}, {4, "2026-11-20", "safety", "Gloves off at the lap."}}, v.Changes)
	assert.Contains(t, v.Message, "The page is of cast-weight revision 2; the house prints revision 4 since 2026-11-20.")
	is("CAST-WEIGHT R5 "+mark, "newer-revision", 1)

	// Withdrawn.
	require.NoError(t, os.Remove(recipe))
	is(text, "unknown-recipe", 1)

	// Nothing was written by all this.
	entries, err := os.ReadDir(house)
	require.NoError(t, err)
	require.Len(t, entries, 6)
}

func TestVerifyWithoutAHouse(t *testing.T) {
	dir := t.TempDir()
	status, out := says("verify", "QF37-K2M4-B", "--house", dir)
	assert.Equal(t, Unreadable, status)
	assert.Contains(t, out, "there is no recipe in")
	status, _ = says("verify", "QF37-K2M4-B", "--house", filepath.Join(dir, "gone"))
	assert.Equal(t, Unreadable, status)
	status, _ = says("verify")
	assert.Equal(t, Usage, status)
	t.Chdir(filepath.Join(testkit.Root(t), "recipes", "pictures"))
	status, out = says("verify", "QF37-K2M4-B")
	assert.Equal(t, Stopped, status, "the house is the one around the working folder: %s", out)
	var said bytes.Buffer
	assert.Equal(t, Usage, Main([]string{"verify", "-"}, strings.NewReader("QF37-K2M4-X\nmore"), &said, &said))
	assert.Contains(t, said.String(), "QF37-K2M4-X")
}

var (
	printedMark = regexp.MustCompile(`[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]`)
	printedID   = regexp.MustCompile(`([a-z0-9-]+) · rev.(\d+)`)
)

// The square code of every printed page, drawn by another program at 300 dots
// to the inch in grey and read by another library, is the name, revision and
// mark that stand in print beside it, and verify knows it again.
func TestPrintedSquaresReadBack(t *testing.T) {
	testkit.Long(t)
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		t.Skip("pdftoppm is not installed; the printed squares are not read back")
	}
	demo := filepath.Join(testkit.Root(t), "recipes")
	for name, args := range map[string][]string{
		"A4": nil, "Letter, copy 12": {"--paper", "Letter", "--copy", "12"}, "draft": {"--draft"}, "landscape": {"--landscape"}, "grade chart": {"--as", "grade chart"},
		"card": {"--as", "bench card", "--copy", "3"}, "small card": {"--as", "bench card", "--paper", "5x8", "--portrait", "--bench", "D"},
		"draft card": {"--as", "bench card", "--paper", "5x8", "--portrait", "--bench", "D", "--draft"},
	} {
		t.Run(name, func(t *testing.T) {
			out, of := t.TempDir(), filepath.Join(demo, "cast-weight.md")
			if args == nil {
				of = demo
			}
			status, said := says(append([]string{"print", "--today", "2026-11-25", "--out", out, of}, args...)...)
			require.Equal(t, OK, status, said)
			for _, file := range testkit.Files(t, out, "*.pdf") {
				words := textOf(t, testkit.Read(t, file))
				id, mark := printedID.FindStringSubmatch(words), printedMark.FindString(words)
				require.NotNil(t, id, file)
				require.NotEmpty(t, mark)
				if name == "Letter, copy 12" {
					require.Contains(t, squeezed(words), "copy12")
				}
				want := strings.ToUpper(id[1]) + " R" + id[2] + " " + mark
				pages := squares(t, file)
				require.NotEmpty(t, pages)
				require.Equal(t, len(pages), strings.Count(words, mark), "the mark in print on every page")
				for _, got := range pages {
					require.Equal(t, want, got)
				}
				status, said := says("verify", want, "--house", demo, "--today", "2026-11-25")
				require.Equal(t, map[bool]int{true: Stopped, false: OK}[strings.HasPrefix(name, "draft")], status, said)
				if strings.Contains(name, "small") {
					require.Contains(t, said, "the bench card for bench D of cast-weight")
				}
			}
		})
	}
}

// squares are the texts of the square codes in the upper right corners of a
// PDF's pages.
func squares(t *testing.T, file string) (texts []string) {
	t.Helper()
	out, err := exec.Command("pdfinfo", file).Output()
	require.NoError(t, err)
	size := regexp.MustCompile(`Page size: +([\d.]+) x`).FindSubmatch(out)
	require.NotNil(t, size)
	wide, err := strconv.ParseFloat(string(size[1]), 64)
	require.NoError(t, err)
	// From another distance where the first look fails, as a camera does: at some
	// sizes this reader takes a pattern within a square for one of its corners.
	for _, dpi := range []int{300, 250, 200} {
		if texts, err = lookAt(t, file, dpi, int(wide*float64(dpi)/72)); err == nil {
			return texts
		}
	}
	require.NoError(t, err)
	return nil
}

// lookAt draws the upper right corners of a PDF's pages, so many dots wide, and
// reads the squares in them.
func lookAt(t *testing.T, file string, dpi, wide int) (texts []string, err error) {
	t.Helper()
	dir, corner := t.TempDir(), dpi*5/3
	require.NoError(t, exec.Command("pdftoppm", "-r", strconv.Itoa(dpi), "-gray", "-png", "-x", strconv.Itoa(wide-corner), "-y", "0", "-W", strconv.Itoa(corner), "-H", strconv.Itoa(corner), file, filepath.Join(dir, "page")).Run())
	for _, name := range testkit.Files(t, dir, "*.png") {
		img, err := png.Decode(bytes.NewReader(testkit.Read(t, name)))
		require.NoError(t, err)
		grey := image.NewGray(img.Bounds())
		for y := grey.Rect.Min.Y; y < grey.Rect.Max.Y; y++ {
			for x := grey.Rect.Min.X; x < grey.Rect.Max.X; x++ {
				grey.Set(x, y, img.At(x, y))
			}
		}
		bitmap, err := gozxing.NewBinaryBitmapFromImage(grey)
		require.NoError(t, err)
		got, err := qrcode.NewQRCodeReader().Decode(bitmap, nil)
		if err != nil {
			return nil, fmt.Errorf("%s of %s: %w", filepath.Base(name), filepath.Base(file), err)
		}
		texts = append(texts, got.GetText())
	}
	return texts, nil
}
