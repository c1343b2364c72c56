package picture

import (
	"bytes"
	"image"
	"image/jpeg"

	"coldwright/internal/draw"
)

// quality is that of photographs on the page, 1 to 100 of the library's scale:
// at 300 dots to the inch no loss is seen, at a tenth of the bytes.
const quality = 88

// photograph says whether a picture is one, by its samples: in a drawing most
// are just like the one beside them, in a photograph few are. A small one is
// not worth the loss.
func photograph(img *draw.Image) bool {
	const least = 40_000 // samples
	n := img.Width * img.Height
	if n < least {
		return false
	}
	channels := len(img.Samples) / n
	alike := 0
	pix := img.Samples
next:
	for i := channels; i+channels <= len(pix); i += channels {
		for c := range channels {
			if pix[i+c] != pix[i+c-channels] {
				continue next
			}
		}
		alike++
	}
	return alike < n/2
}

// pressed is a photograph as JPEG. Nothing but the samples goes in: where and
// with what it was taken stays with the author.
func pressed(img *draw.Image) *draw.Image {
	r := image.Rect(0, 0, img.Width, img.Height)
	var src image.Image = &image.Gray{Pix: img.Samples, Stride: img.Width, Rect: r}
	if !img.Grey {
		full := image.NewRGBA(r)
		for i, j := 0, 0; j < len(img.Samples); i, j = i+4, j+3 {
			copy(full.Pix[i:], img.Samples[j:j+3])
			full.Pix[i+3] = 255
		}
		src = full
	}
	var out bytes.Buffer
	if jpeg.Encode(&out, src, &jpeg.Options{Quality: quality}) != nil {
		return img // a side is longer than JPEG can say
	}
	return &draw.Image{Key: img.Key, Width: img.Width, Height: img.Height, Grey: img.Grey, JPEG: bytes.Clone(out.Bytes())}
}
