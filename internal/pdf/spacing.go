package pdf

import (
	"strings"
	"unicode/utf8"

	"coldwright/internal/draw"
	"coldwright/internal/typeface"
)

// spaced is a text with a space behind it. Layout leaves out the space at which
// a line is broken, and between pieces set apart: the eye needs none, but who
// hears the sheet read aloud, searches it or copies from it does.
type spaced struct{ draw.Text }

// parted reports whether the words of t would run into those of the text that
// follows in the same run.
func parted(t *draw.Text, rest []draw.Item) bool {
	var next *draw.Text
	for _, item := range rest {
		if n, ok := item.(draw.Text); ok && n.Text != "" {
			next = &n
			break
		}
	}
	if next == nil || t.Text == "" || strings.HasSuffix(t.Text, " ") || strings.HasPrefix(next.Text, " ") {
		return false
	}
	end := t.At.X + typeface.Get(t.Style).Width(t.Text, t.Size) + t.Spacing*draw.Unit(utf8.RuneCountInString(t.Text))
	gap, drop := next.At.X-end, next.At.Y-t.At.Y
	// Words are at least a fifth of an em apart; a raised mark stands close by.
	em := max(t.Size, next.Size)
	near := gap > -em/2 && gap < em/5
	if near && max(drop, -drop) < em*3/5 {
		return false
	}
	// A line broken behind the hyphen of a word goes on in the next one.
	return drop == 0 || !endsInHyphen(t.Text)
}

// endsInHyphen reports whether s ends in a sign after which a word or range is
// broken without a space.
func endsInHyphen(s string) bool {
	last, size := utf8.DecodeLastRuneInString(s)
	before, _ := utf8.DecodeLastRuneInString(s[:len(s)-size])
	return strings.ContainsRune("-\u2010\u2013\u2014/\u00AD", last) && before != ' ' && before != utf8.RuneError
}
