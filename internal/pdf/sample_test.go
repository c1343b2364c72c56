package pdf

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"coldwright/internal/draw"
	"coldwright/internal/typeface"
)

// words holds one line in every script a face has, and the marks of the trade.
var words = []string{
	"Work the rim on the iron lap with loose F400 until the sawn marks are gone.",
	"Rinse (all of it) \\ backslash, brackets ((, )) and 100 % of the grit.",
	"17 µm, ½ cup, ≤ 3 mm, 80 × 60 × 20 mm, 4–6 min, −5 °C, see † and ‡ — then stop.",
	"Škoda, Đorđe, Łódź, Őrség, Žižkov, Ğ ı İ ş, Ľubica",
	"Ελληνικά: άμμος και νερό, Ω α β γ",
	"Кириллица: шлифовать стекло мокрым, ёжик",
	"àâäçéèêëîïôöùûüÿñ ÀÉÖØÅ ß œ Œ",
}

// sample is a document with one of everything, of the number of pages given.
func sample(pages int) *draw.Document {
	doc := &draw.Document{
		Width: draw.MM(210), Height: draw.MM(297),
		Title: "Flat optic block — F400 to polish", Subject: "Process sheet", Author: "Quillfen Cold Shop",
		Keywords: []string{"glass", "½ & <more>"}, Language: "en-GB", Date: "2026-03-02",
	}
	grey := draw.Ink{R: 90, G: 90, B: 90}
	for n := range pages {
		page := draw.Page{}
		add := func(role draw.Role, items ...draw.Item) {
			page.Runs = append(page.Runs, draw.Run{Role: role, Items: items})
		}
		text := func(x, y float64, style draw.Style, size float64, s string) draw.Text {
			return draw.Text{At: draw.Point{X: draw.MM(x), Y: draw.MM(y)}, Style: style, Size: draw.Pt(size), Text: s}
		}
		head := text(20, 12, draw.Regular, 8, fmt.Sprintf("QC-%d r1", n+1))
		head.Ink, head.Spacing = grey, draw.Pt(0.4)
		add(draw.Artifact, head, draw.Line{From: draw.Point{X: draw.MM(20), Y: draw.MM(14)},
			To: draw.Point{X: draw.MM(190), Y: draw.MM(14)}, Width: draw.Pt(0.5), Ink: grey, Dash: draw.Pt(2)})
		name := fmt.Sprintf("step %d", n+1)
		add(draw.Heading1, draw.Anchor{At: draw.Point{X: draw.MM(20), Y: draw.MM(18)}, Name: name},
			text(20, 25, draw.Bold, 18, fmt.Sprintf("Step %d", n+1)))
		doc.Bookmarks = append(doc.Bookmarks, draw.Bookmark{Level: n % 2, Title: "Step — " + name, Anchor: name})
		for i, w := range words {
			add(draw.Paragraph, text(20, 35+float64(i)*7, draw.Style(i%4), 10.5, w))
		}
		web := text(20, 90, draw.Regular, 10.5, "a web place")
		web.Link = "https://example.org/lap?a=(1)&b=ü"
		back := text(60, 90, draw.Italic, 10.5, "back to step 1")
		back.Link = "#step 1"
		more := text(60, 90, draw.Bold, 10.5, ", on its page")
		more.At.X += typeface.Get(draw.Italic).Width(back.Text, back.Size)
		more.Link = back.Link
		add(draw.Paragraph, web, back, more)
		for i := range 3 {
			add(draw.ListItem, text(25, 100+float64(i)*6, draw.Regular, 10.5, fmt.Sprintf("Item %d of the list", i+1)))
		}
		for r := range 3 {
			role := draw.TableCell
			if r == 0 {
				role = draw.TableHead
			}
			for c := range 3 {
				add(role, text(20+float64(c)*40, 125+float64(r)*6, draw.SemiBold, 10.5, fmt.Sprintf("cell %d,%d", r, c)))
			}
		}
		fill := draw.Ink{R: 200, G: 220, B: 240}
		clip := &draw.Rect{At: draw.Point{X: draw.MM(20), Y: draw.MM(150)}, Width: draw.MM(30), Height: draw.MM(20)}
		at := func(x, y float64) draw.Point { return draw.Point{X: draw.MM(x), Y: draw.MM(y)} }
		page.Runs = append(page.Runs, draw.Run{Role: draw.Figure, Alt: "A lens held under the lap – side view", Items: []draw.Item{
			draw.Rect{At: at(20, 150), Width: draw.MM(60), Height: draw.MM(40), Fill: &fill, Stroke: draw.Pt(1)},
			draw.Path{Fill: &draw.White, Stroke: draw.Pt(0.7), Ink: grey, EvenOdd: true, Clip: clip, Segs: []draw.Seg{
				{Op: draw.MoveTo, P: [3]draw.Point{at(25, 155)}},
				{Op: draw.CurveTo, P: [3]draw.Point{at(35, 150), at(60, 175), at(70, 160)}},
				{Op: draw.LineTo, P: [3]draw.Point{at(40, 185)}},
				{Op: draw.Close},
			}},
			draw.Picture{At: at(90, 150), Width: draw.MM(40), Height: draw.MM(30), Image: colours()},
			draw.Picture{At: at(140, 150), Width: draw.MM(40), Height: draw.MM(30), Image: wedge(200)},
			draw.Picture{At: at(140, 185), Width: draw.MM(40), Height: draw.MM(30), Image: chequer()},
		}})
		add(draw.Caption, text(20, 200, draw.Italic, 9, "How the lens is held"))
		add(draw.Note, text(20, 210, draw.Regular, 9, "1 A note below"))
		add(draw.Artifact, draw.Anchor{At: at(0, 0), Name: fmt.Sprintf("page %d", n)})
		doc.Pages = append(doc.Pages, page)
	}
	return doc
}

func newImage(w, h int, grey bool, samples []byte) *draw.Image {
	sum := sha256.Sum256(samples)
	return &draw.Image{Key: hex.EncodeToString(sum[:]), Width: w, Height: h, Grey: grey, Samples: samples}
}

// colours is a picture of four colours running into each other.
func colours() *draw.Image {
	const w, h = 160, 120
	b := make([]byte, 0, w*h*3)
	for y := range h {
		for x := range w {
			b = append(b, byte(x*255/w), byte(y*255/h), byte((x*y)%256))
		}
	}
	return newImage(w, h, false, b)
}

// wedge is grey, from black to white.
func wedge(w int) *draw.Image {
	b := make([]byte, w*10)
	for i := range b {
		b[i] = byte(i % w * 255 / w)
	}
	return newImage(w, 10, true, b)
}

// chequer is black and white, of a width that is no multiple of eight.
func chequer() *draw.Image {
	const w, h = 21, 13
	b := make([]byte, w*h)
	for i := range b {
		if (i%w/4+i/w/4)%2 == 0 {
			b[i] = 255
		}
	}
	return newImage(w, h, true, b)
}
