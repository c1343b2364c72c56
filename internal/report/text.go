package report

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/rivo/uniseg"

	"coldwright/internal/diag"
	"coldwright/internal/source"
)

const (
	// width is that of a terminal which does not say how wide it is, least the
	// narrowest that is written for, and widest the widest line of words: longer
	// ones are hard to read. All in columns.
	width, least, widest = 80, 40, 100
	// gutter is the room for the line number.
	gutter = 5
	// tab is how far a tab reaches at most, in columns.
	tab    = 4
	indent = "   "
)

// Look is how a terminal is written to. The zero Look is 80 columns without
// colour.
type Look struct {
	// Colour adds to the words, it never stands for one.
	Colour bool
	// Columns is how wide the terminal is; 0 where that is not known.
	Columns int
}

func (l Look) columns() int {
	if l.Columns <= 0 {
		return width
	}
	return max(least, l.Columns)
}

func (l Look) words() int { return min(l.columns(), widest) }

// Text writes the findings as the lead reads them: the place, the line with
// the words at fault marked below it, what is wrong, and what to write
// instead. What the lead has overruled stands below the rest.
func Text(w io.Writer, list diag.List, sum Summary, look Look) error {
	var b strings.Builder
	for i := range list {
		if list[i].Accepted == nil {
			finding(&b, &list[i], look)
			b.WriteByte('\n')
		}
	}
	if !sum.Silent {
		accepted(&b, list, look)
		b.WriteString(last(list, sum, look))
		if line := mendable(list, sum); line != "" {
			b.WriteString(line + "\n")
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func finding(b *strings.Builder, d *diag.Diagnostic, look Look) {
	p := d.Span.Place()
	if d.Span.Known() {
		fmt.Fprintf(b, "%s:%d:%d  ", clean(p.Name), p.Line, p.Column)
	}
	b.WriteString(painted(d.Severity.String(), d.Severity, look.Colour) + "  " + d.Rule + "\n")
	if d.Span.Known() {
		shown(b, d, p, look)
	}
	for _, sentence := range sentences(d.Message) {
		wrap(b, sentence, indent, look.words())
	}
	if len(d.Also) > 0 {
		wrap(b, also(d), indent, look.words())
	}
	if d.Help != "" {
		wrap(b, "Mend: "+d.Help, indent, look.words())
	}
}

// accepted lists what the lead has overruled: the place, what it would be, what
// was found, until when and why.
func accepted(b *strings.Builder, list diag.List, look Look) {
	any := false
	for i := range list {
		d := &list[i]
		if d.Accepted == nil {
			continue
		}
		if !any {
			b.WriteString("Accepted by the lead:\n")
			any = true
		}
		p := d.Span.Place()
		b.WriteString(indent)
		if d.Span.Known() {
			fmt.Fprintf(b, "%s:%d:%d  ", clean(p.Name), p.Line, p.Column)
		}
		b.WriteString(d.Accepted.Was.String() + "  " + d.Rule + "\n")
		for _, sentence := range sentences(d.Message) {
			wrap(b, sentence, indent+indent, look.words())
		}
		if len(d.Also) > 0 {
			wrap(b, also(d), indent+indent, look.words())
		}
		until := ""
		if d.Accepted.Until != "" {
			until = "Until " + d.Accepted.Until + ". "
		}
		wrap(b, until+"Reason: "+d.Accepted.Reason+".", indent+indent, look.words())
	}
	if any {
		b.WriteByte('\n')
	}
}

// also names the further places of a finding: "Also line 52 (step 4)."
func also(d *diag.Diagnostic) string {
	var places []string
	for _, s := range d.Also {
		p := s.Span.Place()
		place := fmt.Sprintf("line %d", p.Line)
		if s.Span.File != d.Span.File && s.Span.Known() {
			place = clean(p.Name) + " " + place
		}
		if s.Step > 0 {
			place += fmt.Sprintf(" (step %d)", s.Step)
		}
		places = append(places, place)
	}
	return "Also " + strings.Join(places, ", ") + "."
}

// shown writes the line at fault and the marks under it.
func shown(b *strings.Builder, d *diag.Diagnostic, p source.Place, look Look) {
	line := d.Span.File.Line(p.Line)
	if strings.TrimSpace(line) == "" {
		return
	}
	start := byteOfColumn(line, p.Column)
	end := len(line)
	if p.EndLine == p.Line {
		end = byteOfColumn(line, p.EndColumn)
	} else if trimmed := len(strings.TrimRight(line, " \t")); trimmed > start {
		end = trimmed
	}
	short, start, end := near(line, start, end)
	number := strconv.Itoa(p.Line)
	room := max(gutter, len(number))
	text, from, marks := cut(cells(short), start, end, look.columns()-room-3)
	fmt.Fprintf(b, "%*s | %s\n", room, number, strings.TrimRight(text, " "))
	fmt.Fprintf(b, "%*s | %s%s\n", room, "", strings.Repeat(" ", from),
		painted(strings.Repeat("^", marks), d.Severity, look.Colour))
}

// near keeps what stands round the fault of a line so long that looking at
// every character of it would be felt.
func near(line string, start, end int) (string, int, int) {
	const much = 2048
	low, high := max(0, start-much), min(len(line), start+much)
	for low > 0 && !utf8.RuneStart(line[low]) {
		low--
	}
	for high < len(line) && !utf8.RuneStart(line[high]) {
		high++
	}
	return line[low:high], start - low, min(end, high) - low
}

// cell is one character as it is shown: a letter with all its accents, a tab
// as spaces, a control character as a mark.
type cell struct {
	text  string
	wide  int
	start int // byte in the line
	end   int
}

func cells(line string) []cell {
	list := make([]cell, 0, len(line))
	column, at := 0, 0
	g := uniseg.NewGraphemes(line)
	for g.Next() {
		c := cell{text: g.Str(), wide: g.Width(), start: at}
		at += len(c.text)
		c.end = at
		switch r, _ := utf8.DecodeRuneInString(c.text); {
		case r == '\t':
			c.wide = tab - column%tab
			c.text = strings.Repeat(" ", c.wide)
		case control(r) || r == utf8.RuneError:
			c.text, c.wide = "\uFFFD", 1
		}
		column += c.wide
		list = append(list, c)
	}
	return list
}

// cut fits the line into room columns round the bytes start to end. It gives
// the text, the column the marks start in and how many there are.
func cut(list []cell, start, end, room int) (text string, from, marks int) {
	first, last := len(list), len(list)
	total := 0
	for i, c := range list {
		total += c.wide
		if first == len(list) && c.end > start {
			first = i
		}
		if last == len(list) && c.start >= max(end, start+1) {
			last = i
		}
	}
	low, high := 0, len(list)
	if total > room {
		low, high = window(list, first, last, room)
	}
	var b strings.Builder
	column := 0
	if low > 0 {
		b.WriteString("…")
		column++
	}
	for i := low; i < high; i++ {
		if i == first {
			from = column
		}
		if i >= first && i < last {
			marks += list[i].wide
		}
		b.WriteString(list[i].text)
		column += list[i].wide
	}
	if first >= high {
		from = column
	}
	if high < len(list) {
		b.WriteString("…")
	}
	return b.String(), from, max(1, marks)
}

// window is the stretch of cells to show: the fault from its start, with some
// of what stands before it, and as much after it as fits. Room is kept for the
// dots on the sides that are cut.
func window(list []cell, first, last, room int) (low, high int) {
	fault, behind := 0, 0
	for i := first; i < len(list); i++ {
		behind += list[i].wide
		if i < last {
			fault += list[i].wide
		}
	}
	before := max(8, (room-2-fault)/2)
	low = first
	for low > 0 && before >= list[low-1].wide {
		low--
		before -= list[low].wide
		behind += list[low].wide
	}
	if low > 0 {
		room--
	}
	if behind <= room {
		room -= behind
		for low > 0 && room >= list[low-1].wide {
			low--
			room -= list[low].wide
		}
		return low, len(list)
	}
	room--
	for high = low; high < len(list) && room >= list[high].wide; high++ {
		room -= list[high].wide
	}
	return low, high
}

// byteOfColumn is the byte of a column counted in characters from 1.
func byteOfColumn(line string, column int) int {
	at := 0
	for ; column > 1 && at < len(line); column-- {
		_, size := utf8.DecodeRuneInString(line[at:])
		at += size
	}
	return at
}

// sentences parts a message where one sentence ends and the next begins, so
// that each stands on its own line.
func sentences(message string) []string {
	var out []string
	for _, line := range strings.Split(message, "\n") {
		from := 0
		for i := 0; i+2 < len(line); i++ {
			if line[i] == '.' && line[i+1] == ' ' && line[i+2] >= 'A' && line[i+2] <= 'Z' {
				out = append(out, line[from:i+1])
				from = i + 2
			}
		}
		if from < len(line) {
			out = append(out, line[from:])
		}
	}
	return out
}

// wrap writes text in lines of at most columns columns, each with the indent. A
// word that is longer than a line stands alone; one of wide characters, which
// are set without spaces, is broken.
func wrap(b *strings.Builder, text, indent string, columns int) {
	column := 0
	put := func(word string, wide int) {
		if column > 0 && column+1+wide > columns {
			b.WriteByte('\n')
			column = 0
		}
		if column == 0 {
			b.WriteString(indent)
			column = len(indent)
		} else {
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += wide
	}
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || control(r) }) {
		word = clean(word)
		wide := uniseg.StringWidth(word)
		for wide > columns-len(indent) && wide > utf8.RuneCountInString(word) {
			head, rest := cutWide(word, columns-len(indent))
			if rest == "" {
				break
			}
			put(head, uniseg.StringWidth(head))
			word, wide = rest, uniseg.StringWidth(rest)
		}
		put(word, wide)
	}
	if column > 0 {
		b.WriteByte('\n')
	}
}

// control says whether r would do something to a terminal instead of standing
// on it; the marks that turn the direction of writing count.
func control(r rune) bool {
	return r < 0x20 || r >= 0x7F && r < 0xA0 || r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069
}

// clean takes control characters out of a text that came from a file.
func clean(text string) string {
	return strings.Map(func(r rune) rune {
		if control(r) {
			return utf8.RuneError
		}
		return r
	}, text)
}

// oneLine is a message on one line.
func oneLine(text string) string {
	return strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || control(r) }), " ")
}

// painted is a word in the colour of the severity, in the terminal's own
// sixteen colours.
func painted(word string, s diag.Severity, colour bool) string {
	if !colour {
		return word
	}
	code := "36" // note
	switch s {
	case diag.Refusal, diag.Error:
		code = "31"
	case diag.Warning:
		code = "33"
	}
	return "\x1b[1;" + code + "m" + word + "\x1b[0m"
}
