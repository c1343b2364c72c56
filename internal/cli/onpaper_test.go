package cli

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	reader "github.com/ledongthuc/pdf"
	"github.com/stretchr/testify/require"
)

// inked is a word as a reader that is not ours finds it on a page: all
// lengths in points, from the top left corner.
type inked struct {
	page                    int
	text                    string
	left, right, base, size float64
}

// top is the upper edge of its capitals, 0.698 of its size by the typeface's
// own OS/2 table.
func (w inked) top() float64 { return w.base - .698*w.size }

// tool is a reader of the machine; the test that has no other skips with the
// reason.
func tool(t testing.TB, name, of string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("%s is not on this machine (%s): what it would read is not tested here", name, of)
	}
	return path
}

// inPieces are the words of a file in the order they are drawn, by a Go
// reader. It knows no widths: a word stands where its piece of text begins.
func inPieces(t testing.TB, file []byte) (words []inked, pages int) {
	t.Helper()
	r, err := reader.NewReader(bytes.NewReader(file), int64(len(file)))
	require.NoError(t, err)
	for n := 1; n <= r.NumPage(); n++ {
		height := r.Page(n).V.Key("MediaBox").Index(3).Float64()
		last := reader.Text{}
		open := false
		for _, c := range r.Page(n).Content().Text {
			same := open && c.X == last.X && c.Y == last.Y && c.FontSize == last.FontSize
			if strings.TrimSpace(c.S) == "" {
				open, last = false, c
				continue
			}
			if same {
				words[len(words)-1].text += c.S
			} else {
				words = append(words, inked{page: n, text: c.S, left: c.X, right: c.X, base: height - c.Y, size: c.FontSize})
			}
			open, last = true, c
		}
	}
	return words, r.NumPage()
}

// byPoppler are the words of a file in the order they are drawn, with their
// edges. A word's box is as high as the ascent and the descent its font states,
// 1.025 and 0.275 of its size.
func byPoppler(t testing.TB, file []byte) []inked {
	t.Helper()
	cmd := exec.Command(tool(t, "pdftotext", "poppler-utils"), "-bbox", "-raw", "-", "-")
	cmd.Stdin = bytes.NewReader(file)
	var warned bytes.Buffer
	cmd.Stderr = &warned
	out, err := cmd.Output()
	require.NoError(t, err, warned.String())
	require.Empty(t, warned.String())
	var doc struct {
		Pages []struct {
			Words []struct {
				XMin float64 `xml:"xMin,attr"`
				XMax float64 `xml:"xMax,attr"`
				YMin float64 `xml:"yMin,attr"`
				YMax float64 `xml:"yMax,attr"`
				Text string  `xml:",chardata"`
			} `xml:"word"`
		} `xml:"body>doc>page"`
	}
	d := xml.NewDecoder(bytes.NewReader(out))
	d.Strict, d.Entity = false, xml.HTMLEntity
	require.NoError(t, d.Decode(&doc))
	var words []inked
	for n, p := range doc.Pages {
		for _, w := range p.Words {
			size := (w.YMax - w.YMin) / 1.3
			words = append(words, inked{page: n + 1, text: w.Text, left: w.XMin, right: w.XMax, base: w.YMax - .275*size, size: math.Round(size*100) / 100})
		}
	}
	return words
}

// aloud is the text of a file as its tags give it to who has it read out:
// furniture left out, in the order of the structure.
func aloud(t testing.TB, file []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "file.pdf")
	require.NoError(t, os.WriteFile(path, file, 0o600))
	out, err := exec.Command(tool(t, "pdfinfo", "poppler-utils"), "-struct-text", path).Output()
	require.NoError(t, err)
	var b strings.Builder
	for line := range strings.Lines(string(out)) {
		if words := strings.TrimSpace(line); len(words) > 1 && words[0] == '"' {
			b.WriteString(strings.Trim(words, `"`))
			b.WriteByte('\n')
		}
	}
	return b.String()
}

// raster is a page as a printer would make it, three bytes a dot.
type raster struct {
	width, height int
	dots          []byte
}

func (r raster) at(x, y int) [3]byte { return [3]byte(r.dots[3*(y*r.width+x):]) }

// rasters are the pages first to last of a file in colour, without softened
// edges where flat is set, so that each dot has the colour that was asked for.
func rasters(t testing.TB, file []byte, dpi, first, last int, flat bool) []raster {
	t.Helper()
	args := []string{"-r", fmt.Sprint(dpi), "-f", fmt.Sprint(first), "-l", fmt.Sprint(last)}
	if flat {
		args = append(args, "-aa", "no", "-aaVector", "no")
	}
	return ran(t, file, args...)
}

func ran(t testing.TB, file []byte, args ...string) []raster {
	t.Helper()
	cmd := exec.Command(tool(t, "pdftoppm", "poppler-utils"), append(args, "-")...)
	cmd.Stdin = bytes.NewReader(file)
	var warned bytes.Buffer
	cmd.Stderr = &warned
	out, err := cmd.Output()
	require.NoError(t, err, warned.String())
	require.Empty(t, warned.String())
	var pages []raster
	for len(out) > 0 {
		var r raster
		var most int
		_, err := fmt.Sscanf(string(out[:min(len(out), 40)]), "P6\n%d %d\n%d\n", &r.width, &r.height, &most)
		require.NoError(t, err)
		head := len(fmt.Sprintf("P6\n%d %d\n%d\n", r.width, r.height, most))
		r.dots = out[head : head+3*r.width*r.height]
		out = out[head+3*r.width*r.height:]
		pages = append(pages, r)
	}
	return pages
}

// requireValid holds a file against every reader that judges files: none may
// warn. Those of the machine are asked where they are there.
func requireValid(t testing.TB, name string, file []byte) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "file.pdf")
	require.NoError(t, os.WriteFile(path, file, 0o600))
	for _, judge := range [][]string{
		{"qpdf", "--check", path},
		{"mutool", "draw", "-q", "-F", "stext", "-o", os.DevNull, path},
	} {
		if _, err := exec.LookPath(judge[0]); err != nil {
			t.Logf("%s is not on this machine: %s is not held against it", judge[0], name)
			continue
		}
		var warned bytes.Buffer
		cmd := exec.Command(judge[0], judge[1:]...)
		cmd.Stderr = &warned
		out, err := cmd.Output()
		require.NoErrorf(t, err, "%s: %s %s", name, out, warned.String())
		// mutool speaks of how it was built itself before it opens anything.
		said := strings.ReplaceAll(warned.String(), "warning: ICC support is not available\n", "")
		require.Emptyf(t, said, "%s: %s", name, judge[0])
		require.NotContains(t, strings.ToLower(string(out)), "warning", name)
	}
}
