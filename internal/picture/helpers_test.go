package picture

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/tiff"
)

// pngChunk is a chunk of a PNG file with its length and checksum.
func pngChunk(mark string, body []byte) []byte {
	out := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	out = append(append(out, mark...), body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[4:]))
}

// turnedTIFF is a TIFF file that says how the camera was held: its first
// directory is copied to the end with one entry more.
func turnedTIFF(t *testing.T, m image.Image, value uint16) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, tiff.Encode(&out, m, nil))
	file := out.Bytes()
	order := binary.LittleEndian
	require.Equal(t, "II", string(file[:2]))
	at := int(order.Uint32(file[4:]))
	count := int(order.Uint16(file[at:]))
	entry := order.AppendUint16(nil, 274)
	entry = order.AppendUint16(entry, 3)
	entry = order.AppendUint32(entry, 1)
	entry = order.AppendUint32(entry, uint32(value))
	directory := order.AppendUint16(nil, uint16(count+1))
	put := false
	for i := range count {
		e := file[at+2+12*i:][:12]
		// Entries stand in the order of their tags.
		if !put && order.Uint16(e) > 274 {
			directory = append(directory, entry...)
			put = true
		}
		directory = append(directory, e...)
	}
	require.True(t, put)
	directory = order.AppendUint32(directory, 0)
	if len(file)%2 == 1 {
		file = append(file, 0)
	}
	order.PutUint32(file[4:], uint32(len(file)))
	return append(file, directory...)
}

// noisy is a picture with as much in it as a photograph has.
func noisy(w, h int) image.Image {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	seed := uint32(1)
	for i := 0; i < len(m.Pix); i += 4 {
		seed = seed*1664525 + 1013904223
		x, y := i/4%w, i/4/w
		m.Pix[i], m.Pix[i+1], m.Pix[i+2], m.Pix[i+3] = byte(x*255/w), byte(y*255/h), byte(seed>>27), 255
	}
	return m
}
