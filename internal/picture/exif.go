package picture

import (
	"bytes"
	"encoding/binary"
)

// orientation is how the camera was held, 1 to 8, as the file says it (Exif
// 2.32, tag 274); 1, upright, where it says nothing or nothing sensible.
func orientation(format string, data []byte) int {
	switch format {
	case "jpeg":
		return tiffOrientation(exifOfJPEG(data))
	case "png":
		return tiffOrientation(chunk(data, 8, binary.BigEndian, 4, 0, "eXIf", 4))
	case "webp":
		exif := chunk(data, 12, binary.LittleEndian, 0, 4, "EXIF", 0)
		return tiffOrientation(bytes.TrimPrefix(exif, []byte("Exif\x00\x00")))
	case "tiff":
		return tiffOrientation(data)
	}
	return 1
}

// exifOfJPEG is the Exif part of a JPEG file, which stands in a segment before
// the picture.
func exifOfJPEG(data []byte) []byte {
	for at := 2; at+4 <= len(data) && data[at] == 0xFF; {
		if data[at+1] == 0xFF { // filling
			at++
			continue
		}
		const app1, startOfScan = 0xE1, 0xDA
		end := at + 2 + int(binary.BigEndian.Uint16(data[at+2:]))
		if data[at+1] == startOfScan || end < at+4 || end > len(data) {
			break
		}
		if data[at+1] == app1 {
			if exif, ok := bytes.CutPrefix(data[at+4:end], []byte("Exif\x00\x00")); ok {
				return exif
			}
		}
		at = end
	}
	return nil
}

// chunk is the body of the first chunk with a mark, in a file of chunks from
// start on, each a mark of four bytes and a length at the offsets given, the
// body, and tail bytes more. Bodies of RIFF files (no tail) fill up to even.
func chunk(data []byte, start int, order binary.ByteOrder, markAt, lengthAt int, mark string, tail int) []byte {
	for at := start; at+8 <= len(data); {
		length := int64(order.Uint32(data[at+lengthAt:]))
		if length > int64(len(data)-at-8) {
			return nil
		}
		body := data[at+8 : at+8+int(length)]
		if string(data[at+markAt:at+markAt+4]) == mark {
			return body
		}
		at += 8 + int(length) + tail
		if tail == 0 {
			at += int(length) % 2
		}
	}
	return nil
}

// tiffOrientation reads the tag from the first directory of a TIFF file, which
// is also what Exif is.
func tiffOrientation(data []byte) int {
	if len(data) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.LittleEndian
	if string(data[:2]) == "MM" {
		order = binary.BigEndian
	} else if string(data[:2]) != "II" {
		return 1
	}
	at := int64(order.Uint32(data[4:]))
	if at+2 > int64(len(data)) {
		return 1
	}
	const entry, tag, short = 12, 274, 3
	for n := range int64(order.Uint16(data[at:])) {
		i := at + 2 + entry*n
		if i+entry > int64(len(data)) {
			return 1
		}
		if order.Uint16(data[i:]) == tag && order.Uint16(data[i+2:]) == short {
			if v := int(order.Uint16(data[i+8:])); v >= 1 && v <= 8 {
				return v
			}
			return 1
		}
	}
	return 1
}
