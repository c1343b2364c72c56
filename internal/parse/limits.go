package parse

import (
	"bytes"
)

// Limits of what is read. They lie far above any recipe; past them reading
// would take minutes, and no sheet could hold the words.
const (
	// maxBytes is the longest file.
	maxBytes = 2 << 20
	// maxNest is how many quotes and lists may stand inside one another.
	maxNest = 64
	// maxShown is how deep they are kept; what lies deeper is set flat.
	maxShown = 16
	// maxIndent is the deepest indent of a list, in characters.
	maxIndent = 160
	// maxBrackets and maxMarks are the square brackets and the marks of
	// emphasis (* _ ~) in one paragraph, maxAllBrackets the brackets in all.
	maxBrackets    = 500
	maxMarks       = 10000
	maxAllBrackets = 20000
	// maxColumns is the widest table, maxCells its cells were every line of the
	// file below it a row.
	maxColumns = 64
	maxCells   = 200000
)

// fits says whether the file is a length that can be read at all.
func (r *reading) fits() bool {
	switch {
	case len(r.file.Text) > maxBytes:
		r.say(TooLong, r.file.Span(0, 0),
			"The file is too long for a recipe: it is longer than 2 MB, and no more than that is read.",
			"Keep pictures in files of their own, and one recipe in a file.")
		return false
	case blank(r.file.Text):
		r.say(EmptyFile, r.file.Span(0, 0), "The file is empty.",
			"Write a recipe into it: coldwright new starts one.")
		return false
	}
	return true
}

func blank(text []byte) bool {
	for i, b := range text {
		if !isSpace(b) && !(i < 3 && b == "\ufeff"[i]) {
			return false
		}
	}
	return true
}

// untangled looks, before the text is read, for what would take reading out
// of all proportion: quotes inside quotes, brackets by the thousand, tables
// without end. It reports the first and gives false.
func (r *reading) untangled() bool {
	lines := bytes.Count(r.body, newline)
	many := count(r.body).over(maxBrackets, maxMarks)
	var all, paragraph tally
	start := 0
	for at := 0; at < len(r.body); lines-- {
		end := len(r.body)
		if i := bytes.IndexByte(r.body[at:], '\n'); i >= 0 {
			end = at + i
		}
		line := r.body[at:end]
		if many {
			n := count(line)
			all.add(n)
			paragraph.add(n)
			switch {
			case all.brackets > maxAllBrackets:
				r.tangled(at, end, "There are more brackets in this file than can be read.")
				return false
			case paragraph.over(maxBrackets, maxMarks):
				r.tangled(start, end, "There are more brackets and stars in this paragraph than can be read.")
				return false
			case len(line) == 0 || len(line) == 1 && line[0] == '\r':
				paragraph, start = tally{}, end+1
			}
		}
		if r.nested(line, at) {
			return false
		}
		if n := columns(line); n > maxColumns || n*lines > maxCells && n > 1 {
			r.tangled(at, end, "The table that begins here is too large for a sheet.")
			return false
		}
		at = end + 1
	}
	return true
}

// tally counts what the library pairs up.
type tally struct{ brackets, marks int }

func (t *tally) add(o tally) { t.brackets, t.marks = t.brackets+o.brackets, t.marks+o.marks }

func (t tally) over(brackets, marks int) bool { return t.brackets > brackets || t.marks > marks }

var newline, bracket, star, score, tilde = []byte("\n"), []byte("["), []byte("*"), []byte("_"), []byte("~")

func count(text []byte) tally {
	return tally{bytes.Count(text, bracket), bytes.Count(text, star) + bytes.Count(text, score) + bytes.Count(text, tilde)}
}

func (r *reading) tangled(start, end int, message string) {
	if end > start+80 {
		end = start + 80
	}
	r.say(TooTangled, r.span(start, end), message,
		"A sheet at the bench is read at a glance: shorten it. The text below the front matter was not read.")
}

// nested reports a line that opens too many quotes and lists.
func (r *reading) nested(line []byte, at int) bool {
	depth, indent := 0, 0
	for i := 0; i < len(line); i++ {
		switch b := line[i]; {
		case b == ' ' || b == '\t':
			indent++
			if b == '\t' {
				indent += 3
			}
		case b == '>':
			depth++
		case b == '-' || b == '*' || b == '+':
			if i+1 < len(line) && line[i+1] != ' ' && line[i+1] != '\t' {
				return false
			}
			if depth == 0 && indent > maxIndent {
				depth = maxNest
			}
			depth++
			if depth > maxNest && uniform(line[i:]) {
				return false // a line across
			}
		case b >= '0' && b <= '9':
			j := i
			for j < len(line) && line[j] >= '0' && line[j] <= '9' {
				j++
			}
			if j >= len(line) || line[j] != '.' && line[j] != ')' {
				return false
			}
			if depth == 0 && indent > maxIndent {
				depth = maxNest
			}
			i = j
			depth++
		default:
			return false
		}
		if depth > maxNest {
			r.tangled(at, at+len(line), "Too many quotes and lists stand inside one another here.")
			return true
		}
	}
	return false
}

// uniform says whether nothing but one mark and spaces is left.
func uniform(line []byte) bool {
	for _, b := range line {
		if b != line[0] && b != ' ' && b != '\t' && b != '\r' {
			return false
		}
	}
	return true
}

// columns is the number of columns of the line below a table's head, 0 for
// every other line.
func columns(line []byte) int {
	n, dash := 1, false
	for i := 0; i < len(line); i++ {
		switch line[i] {
		case '|':
			n++
		case '-':
			dash = true
		case ':', ' ', '\t', '\r', '>':
		default:
			return 0
		}
	}
	if !dash || n == 1 {
		return 0
	}
	return n
}
