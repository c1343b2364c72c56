package layout

import (
	"fmt"
	"strings"

	"coldwright/internal/draw"
)

// Dump writes a drawing as text for comparing: one line an item, places in
// millimetres with two decimals, sizes in points. Items inside a run stand
// below it.
func Dump(doc *draw.Document) string {
	var b strings.Builder
	fmt.Fprintf(&b, "document %s × %s, %d pages, language %s, date %s\n", mm(doc.Width), mm(doc.Height), len(doc.Pages), doc.Language, doc.Date)
	fmt.Fprintf(&b, "title %q subject %q author %q keywords %q\n", doc.Title, doc.Subject, doc.Author, doc.Keywords)
	for _, m := range doc.Bookmarks {
		fmt.Fprintf(&b, "bookmark %d %q to %s\n", m.Level, m.Title, m.Anchor)
	}
	for i, p := range doc.Pages {
		fmt.Fprintf(&b, "\npage %d\n", i+1)
		for _, r := range p.Runs {
			fmt.Fprintf(&b, "%s", r.Role)
			if r.Alt != "" {
				fmt.Fprintf(&b, " %q", r.Alt)
			}
			b.WriteByte('\n')
			for _, it := range r.Items {
				b.WriteString("  ")
				dumpItem(&b, it)
				b.WriteByte('\n')
			}
		}
	}
	return b.String()
}

func mm(u draw.Unit) string { return fmt.Sprintf("%.2f", u.Millimetres()) }

func dumpItem(b *strings.Builder, it draw.Item) {
	switch v := it.(type) {
	case draw.Text:
		fmt.Fprintf(b, "text %s %s %s %g%s %q", mm(v.At.X), mm(v.At.Y), styleName(v.Style), v.Size.Points(), inkName(v.Ink), v.Text)
		if v.Spacing != 0 {
			fmt.Fprintf(b, " spaced %s", mm(v.Spacing))
		}
		if v.Link != "" {
			fmt.Fprintf(b, " -> %s", v.Link)
		}
	case draw.Line:
		fmt.Fprintf(b, "line %s %s to %s %s, %s%s", mm(v.From.X), mm(v.From.Y), mm(v.To.X), mm(v.To.Y), mm(v.Width), inkName(v.Ink))
		if v.Dash != 0 {
			fmt.Fprintf(b, " dashed %s", mm(v.Dash))
		}
	case draw.Rect:
		fmt.Fprintf(b, "rect %s %s, %s × %s", mm(v.At.X), mm(v.At.Y), mm(v.Width), mm(v.Height))
		dumpPaint(b, v.Fill, v.Stroke, v.Ink)
	case draw.Path:
		fmt.Fprintf(b, "path of %d", len(v.Segs))
		if len(v.Segs) > 0 {
			fmt.Fprintf(b, " from %s %s", mm(v.Segs[0].P[0].X), mm(v.Segs[0].P[0].Y))
		}
		dumpPaint(b, v.Fill, v.Stroke, v.Ink)
	case draw.Picture:
		fmt.Fprintf(b, "picture %s %s, %s × %s, %s", mm(v.At.X), mm(v.At.Y), mm(v.Width), mm(v.Height), v.Image.Key)
	case draw.Anchor:
		fmt.Fprintf(b, "anchor %s %s %s", mm(v.At.X), mm(v.At.Y), v.Name)
	}
}

func dumpPaint(b *strings.Builder, fill *draw.Ink, stroke draw.Unit, ink draw.Ink) {
	if fill != nil {
		fmt.Fprintf(b, " filled #%02X%02X%02X", fill.R, fill.G, fill.B)
	}
	if stroke != 0 {
		fmt.Fprintf(b, " stroked %s%s", mm(stroke), inkName(ink))
	}
}

func styleName(s draw.Style) string {
	switch s {
	case draw.Italic:
		return "italic"
	case draw.SemiBold:
		return "semibold"
	case draw.Bold:
		return "bold"
	}
	return "regular"
}

// inkName is empty for black.
func inkName(i draw.Ink) string {
	if i == draw.Black {
		return ""
	}
	return fmt.Sprintf(" #%02X%02X%02X", i.R, i.G, i.B)
}
