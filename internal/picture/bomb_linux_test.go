package picture

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/testkit"
)

var pngOrder = binary.BigEndian

// pngOf is a PNG file of a size, depth and kind of colour, its samples all
// nought; rows of them are there, each of stride bytes.
func pngOf(w, h uint32, depth, kind, interlaced byte, rows, stride int) []byte {
	head := pngOrder.AppendUint32(nil, w)
	head = append(pngOrder.AppendUint32(head, h), depth, kind, 0, 0, interlaced)
	var body bytes.Buffer
	z := zlib.NewWriter(&body)
	for range rows {
		z.Write(make([]byte, 1+stride))
	}
	z.Close()
	file := append([]byte("\x89PNG\r\n\x1a\n"), pngChunk("IHDR", head)...)
	file = append(file, pngChunk("IDAT", body.Bytes())...)
	return append(file, pngChunk("IEND", nil)...)
}

// bombs are files small on disk that ask for much, and what is said of them:
// a fault, or none for one that prints.
func bombs(t *testing.T) map[string]struct {
	data []byte
	want Fault
} {
	type bomb = struct {
		data []byte
		want Fault
	}
	jpg := encoded(t, noisy(4000, 3000), asJPEG)
	// The same photograph with another size in its frame header.
	claims := func(mark byte, w, h uint16) []byte {
		out := bytes.Clone(jpg)
		at := bytes.Index(out, []byte{0xFF, 0xC0})
		out[at+1] = mark
		pngOrder.PutUint16(out[at+5:], h)
		pngOrder.PutUint16(out[at+7:], w)
		return out
	}
	whole := pngOf(6000, 4000, 8, 2, 0, 4000, 18000)
	webp := bytes.Clone(testdata(t, "lossless.webp"))
	copy(webp[21:], []byte{0xFF, 0xFF, 0xFF, 0x0F}) // 16384 by 16384
	tiff := "II*\x00\x08\x00\x00\x00\x05\x00"
	for _, e := range [][2]uint32{{256, 30000}, {257, 2000}, {258, 8}, {322, 1 << 30}, {323, 1 << 30}} {
		tiff += string(binary.LittleEndian.AppendUint16(nil, uint16(e[0]))) + "\x04\x00\x01\x00\x00\x00" +
			string(binary.LittleEndian.AppendUint32(nil, e[1]))
	}
	return map[string]bomb{
		"200 megapixels, one bit":    {pngOf(20000, 10000, 1, 0, 0, 10000, 2500), TooLarge},
		"200 megapixels, colour":     {pngOf(20000, 10000, 8, 6, 0, 100, 80000), TooLarge},
		"30 megapixels, 16 bit":      {pngOf(6000, 5000, 16, 6, 0, 10, 48000), TooLarge},
		"20 megapixels, interlaced":  {pngOf(5000, 4000, 8, 6, 1, 10, 20000), TooLarge},
		"claims more than it holds":  {pngOf(5700, 5700, 8, 6, 0, 10, 22800), Damaged},
		"claims less than it holds":  {pngOf(30, 30, 8, 2, 0, 200_000, 900), Damaged},
		"cut in the middle":          {whole[:len(whole)/2], Damaged},
		"cut after the header":       {whole[:33], Damaged},
		"photograph cut":             {jpg[:len(jpg)/3], Damaged},
		"JPEG of 4295 megapixels":    {claims(0xC0, 65535, 65535), TooLarge},
		"JPEG that claims 60":        {claims(0xC0, 10000, 6000), Damaged},
		"progressive that claims 60": {claims(0xC2, 10000, 6000), TooLarge},
		"progressive that claims 16": {claims(0xC2, 4000, 4000), Damaged},
		"GIF of 4295 megapixels":     {[]byte("GIF89a\xff\xff\xff\xff\x80\x00\x00\x00\x00\x00\xff\xff\xff\x2c\x00\x00\x00\x00\xff\xff\xff\xff\x00\x02"), TooLarge},
		"GIF that holds nothing":     {[]byte("GIF89a\x00\x1f\x00\x1f\x80\x00\x00\x00\x00\x00\xff\xff\xff\x2c\x00\x00\x00\x00\x00\x1f\x00\x1f\x00\x02\x02\x44\x01\x00\x3b"), Damaged},
		"WebP of 268 megapixels":     {webp, TooLarge},
		"SVG of any size":            {[]byte(`<svg xmlns="http://www.w3.org/2000/svg" width="1e9" height="1e9"/>`), NotAPicture},
		"TIFF in vast tiles":         {[]byte(tiff + "\x00\x00\x00\x00"), Damaged},
		"BMP of 1600 megapixels":     {append([]byte("BM\x36\x00\x00\x00\x00\x00\x00\x00\x36\x00\x00\x00\x28\x00\x00\x00\x40\x9c\x00\x00\x40\x9c\x00\x00\x01\x00\x18\x00"), make([]byte, 24)...), TooLarge},
		"photograph of 12":           {jpg, 0},
		"drawing of 24":              {whole, 0},
	}
}

// TestBombs prepares each file in a process of its own and asks the system what
// that took: 256 MB at the most, and what is refused under a second of
// processor time, the start of the process included.
func TestBombs(t *testing.T) {
	if path := os.Getenv("COLDWRIGHT_BOMB"); path != "" {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		_, err = Prepare("bomb", data, 1600)
		if err != nil {
			sentence(t, errorOf(err))
		}
		require.NoError(t, os.WriteFile(path+".said", fmt.Appendf(nil, "%d %v", errorOf(err).Fault, err), 0o600))
		return
	}
	testkit.Long(t)
	self, err := os.Executable()
	require.NoError(t, err)
	for name, b := range bombs(t) {
		path := filepath.Join(t.TempDir(), "bomb")
		require.NoError(t, os.WriteFile(path, b.data, 0o600))
		c := exec.Command(self, "-test.run", "^TestBombs$")
		c.Env = append(os.Environ(), "COLDWRIGHT_BOMB="+path)
		out, err := c.CombinedOutput()
		require.NoError(t, err, "%s: %s", name, out)
		said := string(testkit.Read(t, path+".said"))
		assert.Truef(t, strings.HasPrefix(said, fmt.Sprintf("%d ", b.want)), "%s: %s", name, said)
		took := c.ProcessState.UserTime() + c.ProcessState.SystemTime()
		peak := c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss / 1024
		t.Logf("%-28s %7d bytes %6d ms %4d MB %s", name, len(b.data), took.Milliseconds(), peak, said)
		assert.Lessf(t, peak, int64(256), "%s: MB", name)
		if b.want != 0 {
			assert.Lessf(t, took, time.Second, "%s", name)
		}
	}
}
