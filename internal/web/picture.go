package web

import (
	"bytes"
	"encoding/base64"
	"html/template"
	"image"
	"image/png"

	"coldwright/internal/draw"
)

// source is a picture as an address that holds it whole.
type source = template.URL

// sourceOf writes a picture into its own address: a photograph as the JPEG it
// is, anything else as PNG. Neither has anything in it but the picture.
func sourceOf(img *draw.Image) (source, bool) {
	switch {
	case img == nil || img.Width <= 0 || img.Height <= 0:
		return "", false
	case len(img.JPEG) > 0:
		return address("image/jpeg", img.JPEG), true
	}
	of := raster(img)
	if of == nil {
		return "", false
	}
	var b bytes.Buffer
	coder := png.Encoder{CompressionLevel: png.BestCompression}
	if err := coder.Encode(&b, of); err != nil {
		return "", false
	}
	return address("image/png", b.Bytes()), true
}

func address(kind string, data []byte) source {
	return source("data:" + kind + ";base64," + base64.StdEncoding.EncodeToString(data))
}

// raster is a picture with its samples; nil where they are too few.
func raster(img *draw.Image) image.Image {
	bounds := image.Rect(0, 0, img.Width, img.Height)
	n := img.Width * img.Height
	if img.Grey {
		if len(img.Samples) < n {
			return nil
		}
		return &image.Gray{Pix: img.Samples[:n], Stride: img.Width, Rect: bounds}
	}
	if len(img.Samples) < 3*n {
		return nil
	}
	rgba := image.NewNRGBA(bounds)
	for i := range n {
		copy(rgba.Pix[4*i:], img.Samples[3*i:3*i+3])
		rgba.Pix[4*i+3] = 0xFF
	}
	return rgba
}
