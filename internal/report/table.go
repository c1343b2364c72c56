package report

import (
	"strings"

	"github.com/rivo/uniseg"
)

// Column is one column of a table: its head and its width in columns of the
// terminal. Right sets numbers flush right.
type Column struct {
	Head  string
	Width int
	Right bool
}

// Table sets rows below their heads, one column between two. A cell that does
// not fit goes on below itself, and a line break in a cell begins a new line;
// nothing is cut off but a single word wider than its column, which is broken.
func Table(columns []Column, rows [][]string) string {
	var b strings.Builder
	heads := make([]string, len(columns))
	for i, c := range columns {
		heads[i] = c.Head
	}
	tableRow(&b, columns, heads)
	for _, row := range rows {
		tableRow(&b, columns, row)
	}
	return b.String()
}

func tableRow(b *strings.Builder, columns []Column, row []string) {
	lines := make([][]string, len(columns))
	tall := 1
	for i, c := range columns {
		if i < len(row) {
			lines[i] = fitted(row[i], c.Width)
		}
		tall = max(tall, len(lines[i]))
	}
	for n := range tall {
		var line strings.Builder
		for i, c := range columns {
			if i > 0 {
				line.WriteByte(' ')
			}
			cell := ""
			if n < len(lines[i]) {
				cell = lines[i][n]
			}
			room := strings.Repeat(" ", max(0, c.Width-uniseg.StringWidth(cell)))
			if c.Right {
				line.WriteString(room + cell)
			} else {
				line.WriteString(cell + room)
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " "))
		b.WriteByte('\n')
	}
}

// fitted is a text in lines of at most width columns.
func fitted(text string, width int) []string {
	var out []string
	for _, part := range strings.Split(text, "\n") {
		line, column := "", 0
		put := func(word string, wide int) {
			if column > 0 && column+1+wide > width {
				out = append(out, line)
				line, column = "", 0
			}
			if column > 0 {
				line, column = line+" ", column+1
			}
			line, column = line+word, column+wide
		}
		for _, word := range strings.Fields(clean(part)) {
			for uniseg.StringWidth(word) > width {
				head, rest := cutWide(word, width)
				put(head, width)
				word = rest
			}
			put(word, uniseg.StringWidth(word))
		}
		out = append(out, line)
	}
	return out
}

// cutWide takes as many characters off a word as fit, at least one.
func cutWide(word string, width int) (head, rest string) {
	g := uniseg.NewGraphemes(word)
	wide := 0
	for g.Next() {
		from, to := g.Positions()
		wide += g.Width()
		if wide > width && from > 0 {
			return word[:from], word[from:]
		}
		if wide >= width {
			return word[:to], word[to:]
		}
	}
	return word, ""
}

// Paragraph is a text in lines of at most 80 columns, each with the indent.
func Paragraph(text, indent string) string {
	var b strings.Builder
	wrap(&b, text, indent, width)
	return b.String()
}
