package picture

import (
	"bytes"
	"encoding/binary"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/disintegration/imaging"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	xdraw "golang.org/x/image/draw"

	"coldwright/internal/draw"
)

// asked is what the go command says, such as where a library's files lie.
func asked(t testing.TB, args ...string) string {
	t.Helper()
	out, err := exec.Command("go", args...).Output()
	require.NoError(t, err)
	return strings.TrimSpace(string(out))
}

// shown is a prepared picture as a reader of the file decodes it.
func shown(t testing.TB, img *draw.Image) image.Image {
	t.Helper()
	if img.JPEG != nil {
		m, err := imaging.Decode(bytes.NewReader(img.JPEG))
		require.NoError(t, err)
		return m
	}
	m := image.NewRGBA(image.Rect(0, 0, img.Width, img.Height))
	for y := range img.Height {
		for x := range img.Width {
			m.Set(x, y, at(img, x, y))
		}
	}
	return m
}

// apart is the mean difference of two pictures of one size, 0 to 255.
func apart(t testing.TB, a, b image.Image) float64 {
	t.Helper()
	require.Equal(t, a.Bounds().Size(), b.Bounds().Size())
	size := a.Bounds().Size()
	one, two := image.NewRGBA(image.Rectangle{Max: size}), image.NewRGBA(image.Rectangle{Max: size})
	for m, src := range map[*image.RGBA]image.Image{one: a, two: b} {
		xdraw.Draw(m, m.Rect, image.White, image.Point{}, xdraw.Src)
		xdraw.Draw(m, m.Rect, src, src.Bounds().Min, xdraw.Over)
	}
	sum := 0
	for i := range one.Pix {
		d := int(one.Pix[i]) - int(two.Pix[i])
		sum += max(d, -d)
	}
	return float64(sum) / float64(len(one.Pix))
}

// TestPNGSuitePrints reads the pictures of PngSuite (Willem van Schaik, 1996 to
// 1999; "Permission to use, copy, and distribute these images for any purpose
// and without fee is hereby granted") that libpng carries, from the copy with
// Go's own sources: all depths, palettes, transparency. The second letter of a
// name is the kind of colour the PNG specification numbers: 0 and 4 are grey.
// Those of testdata/interlaced are the same pictures, made interlaced by
// OptiPNG 0.7, and must print as their twins.
func TestPNGSuitePrints(t *testing.T) {
	folder := filepath.Join(asked(t, "env", "GOROOT"), "src", "image", "png", "testdata", "pngsuite")
	names, err := filepath.Glob(filepath.Join(folder, "*.png"))
	require.NoError(t, err)
	require.Greater(t, len(names), 30)
	seen := map[string]*draw.Image{}
	for _, name := range names {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		base := strings.TrimSuffix(filepath.Base(name), ".png")
		img, err := Prepare(base, data, 0)
		require.NoError(t, err, base)
		seen[base] = img
		if strings.HasPrefix(base, "basn") && !strings.Contains(base, "-") {
			assert.Equal(t, [2]int{32, 32}, [2]int{img.Width, img.Height}, base)
			assert.Equal(t, base[4] == '0' || base[4] == '4', img.Grey, base)
		}
	}
	twins, err := filepath.Glob("testdata/interlaced/*.png")
	require.NoError(t, err)
	require.Len(t, twins, 15)
	for _, name := range twins {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		require.Equal(t, byte(1), data[28], "%s is interlaced", name)
		img, err := Prepare(name, data, 0)
		require.NoError(t, err, name)
		assert.Equal(t, seen["basn"+strings.TrimSuffix(filepath.Base(name)[4:], ".png")], img, name)
	}
}

// TestOtherSuites reads the pictures Go's own libraries are tested with: JPEG in
// grey, colour and four inks, plain, progressive and with restarts, GIF, WebP.
// Each prints, and where the same picture is there as PNG, it looks like that.
// (The progressive one called truncated lacks scans and is whole otherwise.)
func TestOtherSuites(t *testing.T) {
	library := asked(t, "list", "-m", "-f", "{{.Dir}}", "golang.org/x/image")
	own := filepath.Join(asked(t, "env", "GOROOT"), "src", "image", "testdata")
	read, compared := 0, 0
	for _, pattern := range []string{own + "/*.jpeg", own + "/*.gif", library + "/testdata/*.webp"} {
		names, err := filepath.Glob(filepath.FromSlash(pattern))
		require.NoError(t, err)
		require.NotEmpty(t, names)
		for _, name := range names {
			base := filepath.Base(name)
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			img, err := Prepare(base, data, 0)
			require.NoError(t, err, base)
			if strings.Contains(base, "progressive") {
				_, err := Prepare(base, data[:len(data)/2], 0)
				assert.Contains(t, errorOf(err).Message, "cut short", base)
			}
			read++
			stem, _, _ := strings.Cut(base, ".")
			for _, other := range []string{strings.TrimSuffix(name, filepath.Ext(name)) + ".png", filepath.Join(filepath.Dir(name), stem+".png")} {
				// The PNG beside a lossy WebP holds what its planes are, not how
				// they look.
				like, err := imaging.Open(other)
				if err != nil || stem == "video-005" {
					continue
				}
				compared++
				assert.Less(t, apart(t, like, shown(t, img)), 13., "%s beside %s", base, other)
				break
			}
		}
	}
	assert.Greater(t, read, 40)
	assert.Greater(t, compared, 20)
}

// TestTurnedAsAnotherReaderTurns holds photographs of every orientation against
// another library that turns them (imaging 1.6, with its own test pictures).
func TestTurnedAsAnotherReaderTurns(t *testing.T) {
	folder := filepath.Join(asked(t, "list", "-m", "-f", "{{.Dir}}", "github.com/disintegration/imaging"), "testdata")
	names, err := filepath.Glob(filepath.Join(folder, "orientation_*.jpg"))
	require.NoError(t, err)
	require.Len(t, names, 9)
	for _, name := range names {
		want, err := imaging.Open(name, imaging.AutoOrientation(true))
		require.NoError(t, err)
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		img, err := Prepare(name, data, 0)
		require.NoError(t, err)
		assert.Less(t, apart(t, want, shown(t, img)), 2., name)
	}
}

// TestBroughtDownAsAnotherLibraryDoes holds a picture with edges in it, brought
// down by whole and by broken numbers, against the same by imaging's box filter,
// which is the mean of what a sample covers.
func TestBroughtDownAsAnotherLibraryDoes(t *testing.T) {
	m := image.NewNRGBA(image.Rect(0, 0, 1203, 802))
	for i := range m.Pix {
		x, y := i/4%1203, i/4/1203
		m.Pix[i] = byte(60 + (x/50+y/50)%2*120 + x%7 + i%4)
		if i%4 == 3 {
			m.Pix[i] = 255
		}
	}
	for _, c := range []struct {
		most int
		by   float64
	}{{401, .5}, {300, 3}, {199, 3}, {1000, 4}} {
		got := onWhite(m, m.Rect, c.most)
		want := imaging.Resize(m, got.Rect.Dx(), got.Rect.Dy(), imaging.Box)
		assert.Less(t, apart(t, want, got), c.by, "%d", c.most)
	}
}

// What a telephone writes beside a picture stays with it: where, when, with
// what and by whom it was taken.
func TestNothingButThePictureIsKept(t *testing.T) {
	block := exif(binary.BigEndian, "MM", 6)
	block = append(block, "SECRETGPS 51.5N SECRETCAMERA"...)
	photo := withExif(encoded(t, noisy(900, 700), asJPEG), block)
	photo = append(photo, "SECRETTAIL"...)
	img, err := Prepare("photo.jpg", photo, 600)
	require.NoError(t, err)
	require.NotEmpty(t, img.JPEG, "a photograph stays one")
	assert.Empty(t, img.Samples)
	assert.NotContains(t, string(img.JPEG), "SECRET")
	// Of the marks before the picture only tables and the frame are left.
	for at := 2; ; {
		mark := img.JPEG[at+1]
		assert.False(t, mark >= 0xE0 && mark <= 0xEF || mark == 0xFE, "mark %X", mark)
		if mark == 0xDA {
			break
		}
		at += 2 + int(img.JPEG[at+2])<<8 + int(img.JPEG[at+3])
	}
	assert.Equal(t, [2]int{467, 600}, [2]int{img.Width, img.Height})
	assert.Less(t, len(img.JPEG), 467*600)

	drawing := withChunk(encoded(t, corners(), asPNG), "tEXt", []byte("Author\x00SECRET"))
	img, err = Prepare("drawing.png", drawing, 600)
	require.NoError(t, err)
	assert.Empty(t, img.JPEG, "a drawing stays sharp")
}

// A file is what it holds, whatever its name says.
func TestTheNameDoesNotCount(t *testing.T) {
	for name, data := range map[string][]byte{
		"rim.jpg": encoded(t, corners(), asPNG), "rim.png": encoded(t, corners(), asJPEG), "rim": testdata(t, "lossy.webp"),
	} {
		_, err := Prepare(name, data, 600)
		assert.NoError(t, err, name)
	}
	// The first bytes of files people mean to be pictures, from their published
	// formats.
	for start, says := range map[string]string{
		"\x00\x00\x00\x18ftypheic": "telephones", "\x00\x00\x00\x18ftyphevc": "telephones", "\x00\x00\x00\x1cftypavif": "AVIF",
		"\x00\x00\x00\x18ftypmp42": "film", "RIFF\x00\x00\x00\x00AVI LIST": "film", "%PDF-1.4": "PDF",
		"<!DOCTYPE html><html>": "web page", "<!DOCTYPE svg PUBLIC><svg>": "SVG", "<?xml version='1.0'?><!-- made --><svg>": "SVG",
		"8BPS\x00\x01": "layered", "PK\x03\x04": "archive", "\x00\x00\x00\x0cjP  \r\n\x87\n": "JPEG 2000", "\x00\x00\x01\x00\x01\x00": "icon",
		"RIFF\x1a\x00\x00\x00WEBPVP8X\x0a\x00\x00\x00\x02\x00\x00\x00\x0f\x00\x00\x0f\x00\x00": "moving picture",
	} {
		_, err := Prepare("x.png", []byte(start), 600)
		e := errorOf(err)
		assert.Equal(t, NotAPicture, e.Fault, "%q: %s", start, e.Message)
		assert.Contains(t, e.Message, says)
		assert.Contains(t, e.Help(), "as PNG or JPEG")
		sentence(t, e)
	}
}
