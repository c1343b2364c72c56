package pdf

import (
	"fmt"
	"strconv"
	"sync"

	"coldwright/internal/draw"
)

// whole reports a picture whose samples do not fit its size.
func whole(img *draw.Image) error {
	channels := 3
	if img.Grey {
		channels = 1
	}
	const most = 1 << 15 // per side, so that no product overflows
	if img.Width <= 0 || img.Height <= 0 || img.Width > most || img.Height > most ||
		len(img.JPEG) == 0 && len(img.Samples) != img.Width*img.Height*channels {
		return fmt.Errorf("a picture of %d by %d samples comes with %d bytes", img.Width, img.Height, len(img.Samples))
	}
	return nil
}

// keptPictures are pictures as they were written last, by their Key: a house's
// sheets show the same few drawings over and over, and pressing one together
// costs more than all the words of a sheet.
var keptPictures = struct {
	sync.Mutex
	byKey map[string][]byte
	bytes int
}{byKey: map[string][]byte{}}

// mostKept is how many bytes of written pictures are kept.
const mostKept = 16 << 20

// imageObject is a picture as an image XObject (ISO 32000-1, 8.9.5). The bytes
// must not be changed.
func imageObject(img *draw.Image) []byte {
	if img.Key == "" {
		return newImageObject(img)
	}
	keptPictures.Lock()
	object := keptPictures.byKey[img.Key]
	keptPictures.Unlock()
	if object != nil {
		return object
	}
	object = newImageObject(img)
	keptPictures.Lock()
	defer keptPictures.Unlock()
	if keptPictures.byKey[img.Key] == nil && keptPictures.bytes+len(object) <= mostKept {
		keptPictures.byKey[img.Key] = object
		keptPictures.bytes += len(object)
	}
	return object
}

func newImageObject(img *draw.Image) []byte {
	dict := []byte("/Type/XObject/Subtype/Image/Width ")
	dict = strconv.AppendInt(dict, int64(img.Width), 10)
	dict = append(dict, "/Height "...)
	dict = strconv.AppendInt(dict, int64(img.Height), 10)
	if img.Grey {
		dict = append(dict, "/ColorSpace/DeviceGray"...)
	} else {
		dict = append(dict, "/ColorSpace/DeviceRGB"...)
	}
	if len(img.JPEG) > 0 {
		return streamObject(append(dict, "/BitsPerComponent 8/Filter/DCTDecode"...), img.JPEG)
	}
	if bits := packed(img); bits != nil {
		return streamObject(append(dict, "/BitsPerComponent 1/Filter/FlateDecode"...), deflate(bits))
	}
	channels := 3
	if img.Grey {
		channels = 1
	}
	dict = append(dict, "/BitsPerComponent 8/Filter/FlateDecode/DecodeParms<</Predictor 15/Colors "...)
	dict = strconv.AppendInt(dict, int64(channels), 10)
	dict = append(dict, "/Columns "...)
	dict = strconv.AppendInt(dict, int64(img.Width), 10)
	dict = append(dict, ">>"...)
	return streamObject(dict, deflate(filtered(img.Samples, img.Width*channels, channels)))
}

// packed is a line drawing, all black and white, at one bit a sample; nil for
// any other picture.
func packed(img *draw.Image) []byte {
	if !img.Grey {
		return nil
	}
	for _, s := range img.Samples {
		if s != 0 && s != 255 {
			return nil
		}
	}
	stride := (img.Width + 7) / 8
	out := make([]byte, stride*img.Height)
	for y := range img.Height {
		row := img.Samples[y*img.Width : (y+1)*img.Width]
		for x, s := range row {
			out[y*stride+x/8] |= s & (0x80 >> (x % 8))
		}
	}
	return out
}

// filtered puts before each row the number of the PNG filter it is written
// with, and writes it so: the filter whose bytes, taken as signed, add up to
// least, as the PNG specification (section 12.8) recommends.
func filtered(samples []byte, stride, channels int) []byte {
	rows := len(samples) / stride
	out := make([]byte, 0, len(samples)+rows)
	above := make([]byte, stride)
	tries := make([][]byte, 5)
	for i := range tries {
		tries[i] = make([]byte, stride)
	}
	for y := range rows {
		row := samples[y*stride : (y+1)*stride]
		none, sub, up, average, paeth := row, tries[1], tries[2], tries[3], tries[4]
		sum := [5]int{}
		for i, s := range row {
			var a, c byte // to the left, and above that
			if i >= channels {
				a, c = row[i-channels], above[i-channels]
			}
			b := above[i]
			sub[i] = s - a
			up[i] = s - b
			average[i] = s - byte((int(a)+int(b))/2)
			paeth[i] = s - nearest(a, b, c)
			sum[0] += signed(none[i])
			sum[1] += signed(sub[i])
			sum[2] += signed(up[i])
			sum[3] += signed(average[i])
			sum[4] += signed(paeth[i])
		}
		best := 0
		for f := range sum {
			if sum[f] < sum[best] {
				best = f
			}
		}
		out = append(out, byte(best))
		if best == 0 {
			out = append(out, row...)
		} else {
			out = append(out, tries[best]...)
		}
		above = row
	}
	return out
}

func signed(b byte) int {
	if v := int(int8(b)); v >= 0 {
		return v
	}
	return 256 - int(b)
}

// nearest is the Paeth predictor of the PNG specification, section 9.4.
func nearest(a, b, c byte) byte {
	pa, pb := int(b)-int(c), int(a)-int(c)
	pc := max(pa+pb, -pa-pb)
	pa, pb = max(pa, -pa), max(pb, -pb)
	switch {
	case pa <= pb && pa <= pc:
		return a
	case pb <= pc:
		return b
	}
	return c
}
