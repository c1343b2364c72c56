package picture

import (
	"image"

	xdraw "golang.org/x/image/draw"
)

// onWhite lays the part of src under canvas on white, brought down so that its
// longer side is most samples at the most; 0 or less keeps them all.
func onWhite(src image.Image, canvas image.Rectangle, most int) *image.RGBA {
	w, h := canvas.Dx(), canvas.Dy()
	if long := max(w, h); most > 0 && long > most {
		w = max(1, (w*most+long/2)/long)
		h = max(1, (h*most+long/2)/long)
	}
	dst := image.NewRGBA(image.Rect(0, 0, w, h))
	if w == canvas.Dx() && h == canvas.Dy() {
		xdraw.Draw(dst, dst.Rect, image.White, image.Point{}, xdraw.Src)
		xdraw.Draw(dst, dst.Rect, src, canvas.Min, xdraw.Over)
		return dst
	}
	bringDown(dst, src, canvas)
	return dst
}

// bringDown fills dst with src: each sample is the mean of what it covers,
// samples it covers in part counting by that part. It holds a few rows of src
// at a time, where the resampling of a library would hold the whole of it anew
// at 32 bytes a sample.
func bringDown(dst *image.RGBA, src image.Image, canvas image.Rectangle) {
	w, h := dst.Rect.Dx(), dst.Rect.Dy()
	fromW, fromH := canvas.Dx(), canvas.Dy()
	row := image.NewRGBA(image.Rect(0, 0, fromW, 1))
	narrow := make([]uint64, 3*w)
	sum := make([]uint64, 3*w)
	// Lengths are in parts of which a sample of dst has fromH and one of src h,
	// so that all of them are whole; the same across.
	all := uint64(fromW) * uint64(fromH)
	to, room := 0, fromH
	for y := range fromH {
		xdraw.Draw(row, row.Rect, image.White, image.Point{}, xdraw.Src)
		xdraw.Draw(row, row.Rect, src, image.Pt(canvas.Min.X, canvas.Min.Y+y), xdraw.Over)
		across(narrow, row.Pix, w, fromW)
		for left := h; left > 0; {
			part := min(left, room)
			for i, v := range narrow {
				sum[i] += v * uint64(part)
			}
			left -= part
			if room -= part; room > 0 {
				continue
			}
			pix := dst.Pix[dst.PixOffset(0, to):][:4*w]
			for x := range w {
				for c := range 3 {
					pix[4*x+c] = byte((sum[3*x+c] + all/2) / all)
				}
				pix[4*x+3] = 255
			}
			clear(sum)
			to, room = to+1, fromH
		}
	}
}

// across sums a row of fromW samples up to w wider ones, each in parts of which
// it has fromW.
func across(narrow []uint64, pix []byte, w, fromW int) {
	clear(narrow)
	to, room := 0, fromW
	for x := range fromW {
		p := pix[4*x:][:3]
		for left := w; left > 0; {
			part := min(left, room)
			out := narrow[3*to:][:3]
			out[0] += uint64(p[0]) * uint64(part)
			out[1] += uint64(p[1]) * uint64(part)
			out[2] += uint64(p[2]) * uint64(part)
			left -= part
			if room -= part; room == 0 {
				to, room = to+1, fromW
			}
		}
	}
}
