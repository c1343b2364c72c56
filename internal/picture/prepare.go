package picture

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	_ "image/gif"  // read
	_ "image/jpeg" // read
	_ "image/png"  // read
	"io"
	"strings"

	_ "golang.org/x/image/bmp"  // read
	_ "golang.org/x/image/tiff" // read
	_ "golang.org/x/image/webp" // read

	"coldwright/internal/draw"
)

// Prepare makes a picture file ready for print. PNG, JPEG, GIF (its first
// picture), WebP, TIFF and BMP are read, told by their content. maxPixels is
// the most samples the longer side may keep; 0 or less keeps them all. name is
// how the author calls the picture. Every error is an *Error.
func Prepare(name string, data []byte, maxPixels int) (img *draw.Image, err error) {
	// Decoders are fed files from anywhere; one that fails badly must not take
	// the other sheets down.
	defer func() {
		if recover() != nil {
			img, err = nil, damaged(name)
		}
	}()
	if len(data) > MaxBytes {
		return nil, bigFile(name)
	}
	form, err := look(name, bytes.NewReader(data), data)
	if err != nil {
		return nil, err
	}
	src, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		if form.format == "png" && !bytes.Contains(data, []byte("IEND")) || form.format == "jpeg" && !ended(data) {
			err = io.ErrUnexpectedEOF // which the decoders word in many ways
		}
		return nil, undecoded(name, err)
	}
	if form.format == "jpeg" && !ended(data) {
		// Of a progressive one the decoder makes what it can.
		return nil, undecoded(name, io.ErrUnexpectedEOF)
	}
	if form.format == "webp" {
		fullRange(src)
	}
	canvas := src.Bounds()
	if form.format == "gif" {
		// The first picture of an animation may be smaller than its window.
		canvas = canvas.Union(image.Rect(0, 0, form.Width, form.Height))
	}
	if canvas.Empty() {
		return nil, damaged(name)
	}
	out := samples(upright(onWhite(src, canvas, maxPixels), orientation(form.format, data)))
	if photograph(out) {
		return pressed(out), nil
	}
	return out, nil
}

// header is what a file says of its picture before the picture itself.
type header struct {
	image.Config
	format string
}

// look reads the header and refuses what is too large to decode. data is the
// whole file, or nil where only its first lines are to be read.
func look(name string, r io.Reader, data []byte) (head header, err error) {
	defer func() {
		if recover() != nil {
			head, err = header{}, damaged(name)
		}
	}()
	buffered := bufio.NewReader(io.LimitReader(r, MaxBytes))
	// Peek fails only where the file is shorter.
	start, _ := buffered.Peek(512)
	start = bytes.Clone(start)
	var taken bytes.Buffer
	config, format, err := image.DecodeConfig(io.TeeReader(buffered, &taken))
	if errors.Is(err, image.ErrFormat) {
		return header{}, unknown(name, start)
	}
	if err != nil {
		return header{}, undecoded(name, err)
	}
	if data == nil {
		data = taken.Bytes()
	}
	head = header{config, format}
	w, h := config.Width, config.Height
	if w <= 0 || h <= 0 {
		return header{}, damaged(name)
	}
	const moving = 1 << 1 // of the flags (WebP container specification, VP8X)
	if format == "webp" && len(start) > 20 && string(start[12:16]) == "VP8X" && start[20]&moving != 0 {
		return header{}, fault(NotAPicture, name, "The file %s is a moving picture, which cannot be printed here.",
			"Save the one picture of it that is wanted as PNG or JPEG.")
	}
	most := maxMemory / bytesFor(head, data) * 24
	if w > maxSide || h > maxSide || w*h > min(most, MaxSamples) {
		return header{}, fault(TooLarge, name, "The picture %s is too large: "+fmt.Sprintf("%d by %d dots.", w, h),
			fmt.Sprintf("Make it smaller than %d million dots and 30 000 dots a side; print needs no more than 12 to the millimetre.",
				min(most, MaxSamples)/1_000_000))
	}
	return head, nil
}

func undecoded(name string, err error) *Error {
	if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		return fault(Damaged, name, "The picture %s is cut short.", "Copy the file again, or save the picture anew.")
	}
	return damaged(name)
}

func damaged(name string) *Error {
	return fault(Damaged, name, "The picture %s is damaged or of a kind that cannot be printed.",
		"Open it in a picture program and save it as PNG or JPEG.")
}

// fullRange spreads the samples of a lossy WebP picture, whose black is 16 and
// white 235 (ITU-R BT.601, which the WebP container specification names), over
// the range the decoder takes them to have: without it white prints grey.
func fullRange(src image.Image) {
	var planes *image.YCbCr
	switch m := src.(type) {
	case *image.YCbCr:
		planes = m
	case *image.NYCbCrA:
		planes = &m.YCbCr
	default:
		return
	}
	spread := func(samples []byte, zero, steps int) {
		var table [256]byte
		for i := range table {
			v := (i - zero) * 255 * 2
			if v < 0 {
				v -= steps
			} else {
				v += steps
			}
			v /= 2 * steps
			if zero == 128 {
				v += 128
			}
			table[i] = byte(min(max(v, 0), 255))
		}
		for i, s := range samples {
			samples[i] = table[s]
		}
	}
	spread(planes.Y, 16, 219)
	spread(planes.Cb, 128, 224)
	spread(planes.Cr, 128, 224)
}

// strangers are files people take for pictures to print, told by their
// beginnings: at is where the mark stands.
var strangers = []struct {
	at   int
	mark string
	name string
}{
	{4, "ftyphe", "in the form some telephones keep photographs in (HEIC)"},
	{4, "ftypmif1", "in the form some telephones keep photographs in (HEIC)"},
	{4, "ftypmsf1", "in the form some telephones keep photographs in (HEIC)"},
	{4, "ftypavi", "an AVIF picture"},
	{4, "ftyp", "a film"},
	{8, "AVI ", "a film"},
	{0, "\x1aE\xdf\xa3", "a film"},
	{0, "<svg", "a drawing made of curves (SVG)"},
	{0, "<!DOCTYPE svg", "a drawing made of curves (SVG)"},
	{0, "\x1f\x8b", "packed (gzip), as drawings made of curves (SVGZ) are"},
	{0, "<html", "a web page, not the picture on it"},
	{0, "<!doctype html", "a web page, not the picture on it"},
	{0, "<!DOCTYPE html", "a web page, not the picture on it"},
	{0, "%PDF-", "a PDF document"},
	{0, "%!PS", "a PostScript drawing"},
	{0, "\xc5\xd0\xd3\xc6", "a PostScript drawing"},
	{0, "\x01\x00\x00\x00", "a drawing made of curves (EMF)"},
	{0, "\xd7\xcd\xc6\x9a", "a drawing made of curves (WMF)"},
	{0, "PK\x03\x04", "an archive or an office document"},
	{0, "8BPS", "a layered picture (PSD)"},
	{0, "gimp xcf", "a layered picture (XCF)"},
	{0, "\x00\x00\x01\x00", "an icon"},
	{0, "\xff\x0a", "a JPEG XL picture"},
	{4, "JXL ", "a JPEG XL picture"},
	{4, "jP  ", "a JPEG 2000 picture"},
	{0, "\xff\x4f\xff\x51", "a JPEG 2000 picture"},
	{0, "qoif", "a QOI picture"},
}

func unknown(name string, start []byte) *Error {
	const help = "Save it as PNG or JPEG; GIF, WebP, TIFF and BMP are read as well."
	if len(start) == 0 {
		return fault(NotAPicture, name, "The file %s is empty.", help)
	}
	text := strings.TrimSpace(strings.TrimPrefix(string(start), "\uFEFF"))
	if strings.HasPrefix(text, "<?xml") || strings.HasPrefix(text, "<!") {
		if at := strings.Index(text, "<svg"); at >= 0 {
			text = text[at:]
		}
	}
	for _, s := range strangers {
		if strings.HasPrefix(text[min(s.at, len(text)):], s.mark) {
			return fault(NotAPicture, name, "The file %s is "+s.name+", which cannot be printed here.", help)
		}
	}
	return fault(NotAPicture, name, "The file %s is not a picture that can be printed.", help)
}

// upright turns a picture as its orientation, 1 to 8, says it was held (Exif
// 2.32, tag 274).
func upright(src *image.RGBA, orientation int) *image.RGBA {
	if orientation < 2 || orientation > 8 {
		return src
	}
	w, h := src.Rect.Dx(), src.Rect.Dy()
	dst := image.NewRGBA(image.Rect(0, 0, w, h))
	if orientation >= 5 {
		dst = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range h {
		for x := range w {
			tx, ty := x, y
			switch orientation {
			case 2:
				tx = w - 1 - x
			case 3:
				tx, ty = w-1-x, h-1-y
			case 4:
				ty = h - 1 - y
			case 5:
				tx, ty = y, x
			case 6:
				tx, ty = h-1-y, x
			case 7:
				tx, ty = h-1-y, w-1-x
			case 8:
				tx, ty = y, w-1-x
			}
			copy(dst.Pix[dst.PixOffset(tx, ty):][:4], src.Pix[src.PixOffset(x, y):][:4])
		}
	}
	return dst
}

// samples is the picture as it is printed: grey where no sample has a colour.
func samples(src *image.RGBA) *draw.Image {
	w, h := src.Rect.Dx(), src.Rect.Dy()
	pix := src.Pix
	img := &draw.Image{Width: w, Height: h, Grey: true}
	for i := 0; i < len(pix); i += 4 {
		if pix[i] != pix[i+1] || pix[i] != pix[i+2] {
			img.Grey = false
			break
		}
	}
	if img.Grey {
		img.Samples = make([]byte, w*h)
		for i := range img.Samples {
			img.Samples[i] = pix[4*i]
		}
	} else {
		img.Samples = make([]byte, 0, w*h*3)
		for i := 0; i < len(pix); i += 4 {
			img.Samples = append(img.Samples, pix[i], pix[i+1], pix[i+2])
		}
	}
	// Pictures of other shapes may have the same samples.
	shape := binary.BigEndian.AppendUint32(nil, uint32(w))
	shape = binary.BigEndian.AppendUint32(shape, uint32(h))
	sum := sha256.New()
	sum.Write(shape)
	sum.Write(img.Samples)
	img.Key = hex.EncodeToString(sum.Sum(nil)[:16])
	return img
}
