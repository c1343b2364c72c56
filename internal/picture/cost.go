package picture

import (
	"bytes"
	"encoding/binary"
	"image/color"
)

// maxMemory is the most a decoded picture may take, in bytes: with the file
// and what the decoder needs on the way a print stays under 256 MB.
const maxMemory = 128 << 20

// bytesFor is what a picture takes while it is decoded, in bytes for each 24
// samples. data is its file, as far as it has been read.
func bytesFor(head header, data []byte) int {
	const each = 24
	switch head.format {
	case "png":
		// A file may name a colour that is not to be seen, and then one sample of
		// grey becomes four; the passes of an interlaced file are kept apart.
		bytes := 8 * each
		if len(data) > 28 {
			const interlace, depth, palette = 28, 24, 3
			if data[depth] <= 8 {
				bytes = 4 * each
			}
			if kind := data[depth+1]; kind == palette || kind == 0 && chunk(data, 8, binary.BigEndian, 4, 0, "tRNS", 4) == nil {
				bytes /= 4
			}
			if data[interlace] == 1 {
				bytes *= 2
			}
		}
		return bytes
	case "jpeg":
		if planes, progressive := jpegPlanes(data); planes > 0 {
			bytes := planes
			if progressive {
				// Every coefficient is kept, at four bytes, till the last scan.
				bytes += 4 * planes
			}
			if head.ColorModel == color.CMYKModel {
				bytes += 4 * each
			}
			return bytes
		}
	}
	switch head.ColorModel {
	case color.NRGBA64Model, color.RGBA64Model:
		return 8 * each
	case color.Gray16Model:
		return 2 * each
	case color.GrayModel:
		return each
	case color.YCbCrModel, color.NYCbCrAModel:
		return 3 * each
	}
	if _, ok := head.ColorModel.(color.Palette); ok {
		return each
	}
	return 4 * each
}

// jpegPlanes is how many samples a JPEG file keeps for each 24 of its size,
// over all its colours, and whether it is a progressive one: from the frame
// header (ITU-T T.81, B.2.2). 0 where none is found in data.
func jpegPlanes(data []byte) (planes int, progressive bool) {
	frame, mark := jpegFrame(data)
	if len(frame) < 6 || len(frame) < 6+3*int(frame[5]) {
		return 0, false
	}
	wide, high := 1, 1
	factors := frame[6:][:3*int(frame[5])]
	for i := 1; i < len(factors); i += 3 {
		wide, high = max(wide, int(factors[i]>>4)), max(high, int(factors[i]&15))
	}
	for i := 1; i < len(factors); i += 3 {
		planes += 24 * int(factors[i]>>4) * int(factors[i]&15) / (wide * high)
	}
	const progressiveFrame = 0xC2
	return planes, mark == progressiveFrame
}

// ended says whether a JPEG file goes on to its last mark. One in front of the
// picture is that of a thumbnail.
func ended(data []byte) bool {
	frame, _ := jpegFrame(data)
	end := bytes.LastIndex(data, []byte{0xFF, 0xD9})
	return frame == nil || end > cap(data)-cap(frame)
}

// jpegFrame is the body of the frame header and the mark before it.
func jpegFrame(data []byte) (body []byte, mark byte) {
	for at := 2; at+4 <= len(data) && data[at] == 0xFF; {
		mark = data[at+1]
		if mark == 0xFF { // filling
			at++
			continue
		}
		end := at + 2 + int(binary.BigEndian.Uint16(data[at+2:]))
		if end > len(data) {
			return nil, 0
		}
		switch {
		case mark == 0xC4, mark == 0xC8, mark == 0xCC: // tables
		case mark >= 0xC0 && mark <= 0xCF:
			return data[at+4 : end], mark
		case mark == 0xDA: // the picture itself
			return nil, 0
		}
		at = end
	}
	return nil, 0
}
