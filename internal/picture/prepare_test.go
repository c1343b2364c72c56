package picture

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"

	"coldwright/internal/draw"
	"coldwright/internal/testkit"
)

func encoded(t testing.TB, img image.Image, how func(*bytes.Buffer, image.Image) error) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, how(&out, img))
	return out.Bytes()
}

func asPNG(w *bytes.Buffer, m image.Image) error { return png.Encode(w, m) }
func asJPEG(w *bytes.Buffer, m image.Image) error {
	return jpeg.Encode(w, m, &jpeg.Options{Quality: 100})
}

// filled is a picture of one colour in the samples of m.
func filled(m interface {
	image.Image
	Set(x, y int, c color.Color)
}, c color.Color) image.Image {
	b := m.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			m.Set(x, y, c)
		}
	}
	return m
}

func testdata(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	require.NoError(t, err)
	return data
}

// at is the colour of one sample.
func at(img *draw.Image, x, y int) color.RGBA {
	i := y*img.Width + x
	if img.Grey {
		g := img.Samples[i]
		return color.RGBA{g, g, g, 255}
	}
	return color.RGBA{img.Samples[3*i], img.Samples[3*i+1], img.Samples[3*i+2], 255}
}

func near(t *testing.T, want, got color.RGBA, by float64, what string) {
	t.Helper()
	assert.InDelta(t, want.R, got.R, by, what)
	assert.InDelta(t, want.G, got.G, by, what)
	assert.InDelta(t, want.B, got.B, by, what)
}

func TestPNGOfEveryDepth(t *testing.T) {
	r := image.Rect(0, 0, 9, 5)
	red, black, grey := color.RGBA{200, 50, 0, 255}, color.RGBA{0, 0, 0, 255}, color.RGBA{119, 119, 119, 255}
	palette := func(n int) color.Palette {
		p := color.Palette{red}
		for i := 1; i < n; i++ {
			p = append(p, color.RGBA{byte(i), 0, 0, 255})
		}
		return p
	}
	for name, c := range map[string]struct {
		img  image.Image
		want color.RGBA
		grey bool
	}{
		"1 bit": {filled(image.NewPaletted(r, palette(2)), red), red, false},
		"2 bit": {filled(image.NewPaletted(r, palette(4)), red), red, false},
		"4 bit": {filled(image.NewPaletted(r, palette(16)), red), red, false},
		"8 bit": {filled(image.NewPaletted(r, palette(256)), red), red, false},
		"grey 1 bit": {filled(image.NewPaletted(r, color.Palette{color.White, color.Black}), black),
			black, true},
		"grey 8":           {filled(image.NewGray(r), grey), grey, true},
		"grey 16":          {filled(image.NewGray16(r), grey), grey, true},
		"colour 8":         {filled(image.NewRGBA(r), red), red, false},
		"colour 16":        {filled(image.NewRGBA64(r), red), red, false},
		"grey as colour":   {filled(image.NewRGBA(r), grey), grey, true},
		"seen through 8":   {filled(image.NewNRGBA(r), color.NRGBA{0, 0, 0, 0}), color.RGBA{255, 255, 255, 255}, true},
		"seen through 16":  {filled(image.NewNRGBA64(r), color.NRGBA{0, 0, 0, 0}), color.RGBA{255, 255, 255, 255}, true},
		"half seen, black": {filled(image.NewNRGBA(r), color.NRGBA{0, 0, 0, 128}), color.RGBA{127, 127, 127, 255}, true},
		"half seen, red":   {filled(image.NewNRGBA(r), color.NRGBA{255, 0, 0, 128}), color.RGBA{255, 127, 127, 255}, false},
	} {
		img, err := Prepare(name, encoded(t, c.img, asPNG), 0)
		require.NoError(t, err, name)
		assert.Equal(t, 9, img.Width, name)
		assert.Equal(t, 5, img.Height, name)
		assert.Equal(t, c.grey, img.Grey, name)
		assert.Len(t, img.Samples, map[bool]int{true: 45, false: 135}[c.grey], name)
		near(t, c.want, at(img, 8, 4), 1, name)
	}
}

func TestInterlacedPNGIsThePlainOne(t *testing.T) {
	plain, err := Prepare("plain", testdata(t, "plain.png"), 0)
	require.NoError(t, err)
	interlaced, err := Prepare("interlaced", testdata(t, "interlaced.png"), 0)
	require.NoError(t, err)
	assert.Equal(t, plain, interlaced)
}

// The files were made by another program in one colour, #C83200.
func TestOtherForms(t *testing.T) {
	want := color.RGBA{0xC8, 0x32, 0, 255}
	flat := filled(image.NewRGBA(image.Rect(0, 0, 16, 16)), want)
	for name, c := range map[string]struct {
		data []byte
		by   float64
	}{
		"cmyk.jpg":      {testdata(t, "cmyk.jpg"), 6},
		"lossy.webp":    {testdata(t, "lossy.webp"), 3},
		"lossless.webp": {testdata(t, "lossless.webp"), 0},
		"jpeg":          {encoded(t, flat, asJPEG), 4},
		"bmp":           {encoded(t, flat, func(w *bytes.Buffer, m image.Image) error { return bmp.Encode(w, m) }), 0},
		"tiff": {encoded(t, flat, func(w *bytes.Buffer, m image.Image) error {
			return tiff.Encode(w, m, &tiff.Options{Compression: tiff.Deflate})
		}), 0},
	} {
		img, err := Prepare(name, c.data, 0)
		require.NoError(t, err, name)
		assert.Equal(t, [2]int{16, 16}, [2]int{img.Width, img.Height}, name)
		assert.False(t, img.Grey, name)
		near(t, want, at(img, 7, 9), c.by, name)
	}
}

// White stays white in every form: a page is white, and a picture with a grey
// ground stands on it like a stain.
func TestWhiteIsWhite(t *testing.T) {
	for _, name := range []string{"white-lossy.webp", "white-alpha.webp"} {
		img, err := Prepare(name, testdata(t, name), 0)
		require.NoError(t, err, name)
		assert.True(t, img.Grey, name)
		assert.Equal(t, color.RGBA{255, 255, 255, 255}, at(img, 1, 1), name)
		assert.Equal(t, color.RGBA{0, 0, 0, 255}, at(img, 12, 12), name)
	}
}

func TestGIFIsItsFirstPicture(t *testing.T) {
	img, err := Prepare("two.gif", testdata(t, "two.gif"), 0)
	require.NoError(t, err)
	assert.Equal(t, color.RGBA{255, 0, 0, 255}, at(img, 12, 8))

	// A first picture smaller than its window stands where it belongs, on white.
	small := image.NewPaletted(image.Rect(4, 2, 6, 4), color.Palette{color.RGBA{0, 0, 255, 255}})
	var out bytes.Buffer
	require.NoError(t, gif.EncodeAll(&out, &gif.GIF{Image: []*image.Paletted{small}, Delay: []int{0},
		Config: image.Config{Width: 10, Height: 8, ColorModel: color.Palette{color.Black}}}))
	for _, most := range []int{0, 10} {
		img, err = Prepare("small.gif", out.Bytes(), most)
		require.NoError(t, err)
		assert.Equal(t, [2]int{10, 8}, [2]int{img.Width, img.Height})
		assert.Equal(t, color.RGBA{0, 0, 255, 255}, at(img, 5, 3))
		assert.Equal(t, color.RGBA{255, 255, 255, 255}, at(img, 0, 0))
	}
	img, err = Prepare("small.gif", out.Bytes(), 5)
	require.NoError(t, err)
	assert.Equal(t, [2]int{5, 4}, [2]int{img.Width, img.Height})
	near(t, color.RGBA{255, 255, 255, 255}, at(img, 0, 0), 0, "corner")
}

// corners is red at the top left and blue at the top right, white below.
func corners() image.Image {
	m := image.NewRGBA(image.Rect(0, 0, 48, 32))
	filled(m, color.White)
	for y := range 16 {
		for x := range 16 {
			m.Set(x, y, color.RGBA{255, 0, 0, 255})
			m.Set(47-x, y, color.RGBA{0, 0, 255, 255})
		}
	}
	return m
}

// exif is an Exif block that says how the camera was held.
func exif(order binary.AppendByteOrder, mark string, value uint16) []byte {
	out := []byte(mark)
	out = order.AppendUint16(out, 42)
	out = order.AppendUint32(out, 8)
	out = order.AppendUint16(out, 2)
	for _, tag := range []uint16{271, 274} { // the maker stands before it
		out = order.AppendUint16(out, tag)
		out = order.AppendUint16(out, 3)
		out = order.AppendUint32(out, 1)
		out = order.AppendUint16(out, value)
		out = order.AppendUint16(out, 0)
	}
	return order.AppendUint32(out, 0)
}

// withExif puts an Exif block into a JPEG file, behind another segment.
func withExif(jpg, block []byte) []byte {
	segment := func(mark byte, body string) []byte {
		return append([]byte{0xFF, mark, byte((len(body) + 2) >> 8), byte(len(body) + 2)}, body...)
	}
	out := append([]byte(nil), jpg[:2]...)
	out = append(out, segment(0xE0, "JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00")...)
	out = append(out, segment(0xE1, "http://ns.adobe.com/xap/1.0/\x00<x/>")...)
	out = append(out, 0xFF) // filling
	out = append(out, segment(0xE1, "Exif\x00\x00"+string(block))...)
	return append(out, jpg[2:]...)
}

// Where the stored top left and top right corners belong, from the words of
// the Exif standard 2.32, tag 274: "the 0th row is at the visual … of the
// image, and the 0th column is the visual …".
// Behind each stand the two words of the standard.
var held = []struct {
	value     uint16
	red, blue string
}{
	{1, "top left", "top right"},       // top, left
	{2, "top right", "top left"},       // top, right
	{3, "bottom right", "bottom left"}, // bottom, right
	{4, "bottom left", "bottom right"}, // bottom, left
	{5, "top left", "bottom left"},     // left, top
	{6, "top right", "bottom right"},   // right, top
	{7, "bottom right", "top right"},   // right, bottom
	{8, "bottom left", "top left"},     // left, bottom
}

func corner(img *draw.Image, name string) color.RGBA {
	x, y := 4, 4
	if strings.HasSuffix(name, "right") {
		x = img.Width - 5
	}
	if strings.HasPrefix(name, "bottom") {
		y = img.Height - 5
	}
	return at(img, x, y)
}

func TestPicturesAreTurnedUpright(t *testing.T) {
	red, blue := color.RGBA{255, 0, 0, 255}, color.RGBA{0, 0, 255, 255}
	jpg := encoded(t, corners(), asJPEG)
	pngFile := encoded(t, corners(), asPNG)
	for _, h := range held {
		for _, form := range []string{"II", "MM", "png", "tiff"} {
			var file []byte
			switch form {
			case "II":
				file = withExif(jpg, exif(binary.LittleEndian, "II", h.value))
			case "MM":
				file = withExif(jpg, exif(binary.BigEndian, "MM", h.value))
			case "png":
				// eXIf chunk behind IHDR; decoders skip chunks they do not know,
				// whatever stands in their checksum being checked.
				file = withChunk(pngFile, "eXIf", exif(binary.BigEndian, "MM", h.value))
			case "tiff":
				file = turnedTIFF(t, corners(), h.value)
			}
			img, err := Prepare("held", file, 0)
			require.NoError(t, err, form)
			want := [2]int{48, 32}
			if h.value >= 5 {
				want = [2]int{32, 48}
			}
			assert.Equal(t, want, [2]int{img.Width, img.Height}, "%s %d", form, h.value)
			near(t, red, corner(img, h.red), 30, h.red)
			near(t, blue, corner(img, h.blue), 30, h.blue)
		}
	}
}

func TestOrientationThatMakesNoSense(t *testing.T) {
	jpg := encoded(t, corners(), asJPEG)
	plain, err := Prepare("plain", jpg, 0)
	require.NoError(t, err)
	block := exif(binary.LittleEndian, "II", 6)
	for name, b := range map[string][]byte{
		"zero": exif(binary.LittleEndian, "II", 0), "nine": exif(binary.LittleEndian, "II", 9),
		"empty": {}, "cut": block[:20], "no mark": append([]byte("XX"), block[2:]...),
		"far": append(append([]byte{}, block[:4]...), 0xFF, 0xFF, 0xFF, 0xFF, 0, 0),
	} {
		img, err := Prepare(name, withExif(jpg, b), 0)
		require.NoError(t, err, name)
		assert.Equal(t, plain, img, name)
	}
}

func TestScaledDownForPrint(t *testing.T) {
	testkit.Long(t)
	m := filled(image.NewRGBA(image.Rect(0, 0, 4000, 3000)), color.RGBA{10, 120, 200, 255})
	data := encoded(t, m, asJPEG)
	img, err := Prepare("photo", data, 591)
	require.NoError(t, err)
	assert.Equal(t, [2]int{591, 443}, [2]int{img.Width, img.Height})
	near(t, color.RGBA{10, 120, 200, 255}, at(img, 300, 200), 4, "middle")
	near(t, color.RGBA{10, 120, 200, 255}, at(img, 0, 0), 4, "corner")

	// One held upright has its longer side the other way.
	img, err = Prepare("photo", withExif(data, exif(binary.LittleEndian, "II", 6)), 591)
	require.NoError(t, err)
	assert.Equal(t, [2]int{443, 591}, [2]int{img.Width, img.Height})

	// A small one is left as it is, and a thin one keeps a row.
	small, err := Prepare("small", encoded(t, corners(), asPNG), 48)
	require.NoError(t, err)
	assert.Equal(t, 48, small.Width)
	thin, err := Prepare("thin", encoded(t, filled(image.NewGray(image.Rect(0, 0, 2000, 1)), color.Black), asPNG), 100)
	require.NoError(t, err)
	assert.Equal(t, [2]int{100, 1}, [2]int{thin.Width, thin.Height})
}

func TestKeyIsOfThePicture(t *testing.T) {
	grey := filled(image.NewGray(image.Rect(0, 0, 12, 4)), color.Gray{80})
	one, err := Prepare("one", encoded(t, grey, asPNG), 0)
	require.NoError(t, err)
	two, err := Prepare("two", encoded(t, filled(image.NewRGBA(image.Rect(0, 0, 12, 4)), color.Gray{80}), asPNG), 0)
	require.NoError(t, err)
	assert.Equal(t, one.Key, two.Key)
	shape, err := Prepare("shape", encoded(t, filled(image.NewGray(image.Rect(0, 0, 4, 12)), color.Gray{80}), asPNG), 0)
	require.NoError(t, err)
	assert.Equal(t, one.Samples, shape.Samples)
	assert.NotEqual(t, one.Key, shape.Key)
}

func TestFaults(t *testing.T) {
	whole := encoded(t, corners(), asPNG)
	jpg := encoded(t, corners(), asJPEG)
	bad := bytes.Clone(whole)
	bad[len(bad)-20] ^= 0xFF
	for name, c := range map[string]struct {
		data []byte
		kind Fault
		says string
	}{
		"empty.png":   {nil, NotAPicture, "is empty"},
		"text.png":    {[]byte("not a picture at all"), NotAPicture, "is not a picture"},
		"zeros.png":   {make([]byte, 4096), NotAPicture, "is not a picture"},
		"phone.jpg":   {[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), NotAPicture, "HEIC"},
		"curves.png":  {[]byte("<?xml version=\"1.0\"?>\n<svg xmlns=\"x\"/>"), NotAPicture, "SVG"},
		"sheet.png":   {[]byte("%PDF-1.7\n"), NotAPicture, "PDF"},
		"cut.png":     {whole[:len(whole)/2], Damaged, "cut short"},
		"start.png":   {whole[:20], Damaged, "cut short"},
		"cut.jpg":     {jpg[:len(jpg)-200], Damaged, "cut short"},
		"bad.png":     {bad, Damaged, "damaged"},
		"none.png":    {sized(whole, 0, 10), Damaged, "damaged"},
		"huge.png":    {sized(whole, 8000, 6000), TooLarge, "8000 by 6000"},
		"long.png":    {sized(whole, 30001, 1), TooLarge, "30001 by 1"},
		"absurd.png":  {sized(whole, 1<<31-1, 1<<31-1), Damaged, "cannot be printed"},
		"big.png":     {make([]byte, MaxBytes+1), TooLarge, "too large a file"},
		"lines\n.png": {nil, NotAPicture, "“lines?.png”"},
	} {
		img, err := Prepare(name, c.data, 600)
		assert.Nil(t, img, name)
		var fault *Error
		require.ErrorAs(t, err, &fault, name)
		assert.Equal(t, c.kind, fault.Fault, "%s: %s", name, fault.Message)
		assert.Contains(t, fault.Message, c.says, name)
		assert.Equal(t, name, fault.Name)
		sentence(t, fault)
	}
	// Four times the samples of the limit, in a file of a kilobyte.
	_, err := Prepare("bomb", sized(whole, 12000, 12000), 600)
	assert.Equal(t, TooLarge, errorOf(err).Fault)
}

func errorOf(err error) *Error {
	var e *Error
	if !errors.As(err, &e) {
		return &Error{}
	}
	return e
}

// sentence holds an error to the rules for findings: plain whole sentences
// that speak of pictures.
func sentence(t *testing.T, e *Error) {
	t.Helper()
	for _, s := range []string{e.Message, e.Help()} {
		assert.Regexp(t, `^[A-Z].*\.$`, s)
		assert.NotRegexp(t, `(?i)%!|syntax|token|pars|EOF|decod|image:|nil`, s)
	}
}

// sized is a PNG file that claims another size.
func sized(file []byte, w, h uint32) []byte {
	head := binary.BigEndian.AppendUint32(nil, w)
	head = binary.BigEndian.AppendUint32(head, h)
	head = append(head, file[24:29]...)
	return append(append(bytes.Clone(file[:8]), pngChunk("IHDR", head)...), file[33:]...)
}

// withChunk puts a chunk behind the header of a PNG file.
func withChunk(file []byte, mark string, body []byte) []byte {
	return append(append(bytes.Clone(file[:33]), pngChunk(mark, body)...), file[33:]...)
}
