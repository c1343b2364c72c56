package pdf

import (
	"encoding/binary"
	"math"
)

// sRGB is the colour profile that says what the numbers of our colours mean:
// a display profile of the ICC's version 2 (ICC.1:2001-04).
var sRGB = profile()

func profile() []byte {
	fixed := func(v float64) []byte { // s15Fixed16Number
		return binary.BigEndian.AppendUint32(nil, uint32(int32(math.Round(v*65536))))
	}
	xyz := func(x, y, z float64) []byte {
		out := append([]byte("XYZ \x00\x00\x00\x00"), fixed(x)...)
		return append(append(out, fixed(y)...), fixed(z)...)
	}
	const name = "sRGB\x00"
	description := binary.BigEndian.AppendUint32([]byte("desc\x00\x00\x00\x00"), uint32(len(name)))
	// Behind the name stand its forms in Unicode and for old systems, empty.
	description = append(append(description, name...), make([]byte, 4+4+2+1+67)...)
	curve := transfer()
	tags := []struct {
		signature string
		body      []byte
	}{
		{"desc", description},
		{"cprt", []byte("text\x00\x00\x00\x00Public domain\x00")},
		// The white of a screen, and the primaries as seen under the profile's
		// own white, D50: IEC 61966-2-1 adapted by the Bradford method.
		{"wtpt", xyz(0.9505, 1, 1.0891)},
		{"rXYZ", xyz(0.4361, 0.2225, 0.0139)},
		{"gXYZ", xyz(0.3851, 0.7169, 0.0971)},
		{"bXYZ", xyz(0.1431, 0.0606, 0.7141)},
		{"rTRC", curve}, {"gTRC", curve}, {"bTRC", curve},
	}
	be := binary.BigEndian
	out := make([]byte, 128+4+12*len(tags))
	be.PutUint32(out[128:], uint32(len(tags)))
	shared := 0
	for i, t := range tags {
		entry := out[132+12*i:]
		copy(entry, t.signature)
		be.PutUint32(entry[8:], uint32(len(t.body)))
		if t.signature == "gTRC" || t.signature == "bTRC" {
			be.PutUint32(entry[4:], uint32(shared)) // one curve for all three
			continue
		}
		shared = len(out)
		be.PutUint32(entry[4:], uint32(shared))
		out = append(out, t.body...)
		for len(out)%4 != 0 {
			out = append(out, 0)
		}
	}
	be.PutUint32(out, uint32(len(out)))
	copy(out[8:], "\x02\x10\x00\x00mntrRGB XYZ ")
	for i, v := range []uint16{2026, 1, 1, 0, 0, 0} { // the profile's own date
		be.PutUint16(out[24+2*i:], v)
	}
	copy(out[36:], "acsp")
	copy(out[68:], fixed(0.9642)) // D50
	copy(out[72:], fixed(1))
	copy(out[76:], fixed(0.8249))
	return out
}

// transfer is the curve from colour numbers to light (IEC 61966-2-1).
func transfer() []byte {
	const points = 256
	out := binary.BigEndian.AppendUint32([]byte("curv\x00\x00\x00\x00"), points)
	for i := range points {
		v := float64(i) / (points - 1)
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		out = binary.BigEndian.AppendUint16(out, uint16(math.Round(v*65535)))
	}
	return out
}
