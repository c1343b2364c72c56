package layout

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/rivo/uniseg"
	"golang.org/x/text/unicode/norm"
	"golang.org/x/text/unicode/runenames"

	"coldwright/internal/diag"
	"coldwright/internal/draw"
	"coldwright/internal/source"
	"coldwright/internal/typeface"
)

const (
	noBreakSpace = '\u00A0'
	softHyphen   = '\u00AD'
	zeroSpace    = '\u200B'
	wordJoiner   = '\u2060'
)

// setter turns text into lines. It keeps what it needs between calls, so one
// serves one document.
type setter struct {
	buf   []byte
	marks []mark
	cuts  []cut
	// odd is true where the text of the call holds anything beyond printable
	// ASCII.
	odd bool
	// missing are the characters the face does not hold, in the order met.
	missing []missing
	known   map[rune]bool
}

// mark says that from an offset on the text is in a look.
type mark struct {
	from int
	look look
}

type missing struct {
	r  rune
	at source.Span
}

// line is one line of text.
type line struct {
	pieces []piece
	width  draw.Unit
	// size is the largest size on the line.
	size draw.Unit
	// last is true for the end of a paragraph or a line the author ended.
	last bool
}

// piece is a stretch of a line in one look, x from the start of the line.
type piece struct {
	look  look
	text  string
	x     draw.Unit
	width draw.Unit
}

// measure is the room lines are broken to.
type measure struct {
	width draw.Unit
	// first is how much narrower the first line is, already taken by what
	// stands before the text.
	first draw.Unit
	// chars is the most characters on a line, 0 for no bound.
	chars int
	// keep keeps all spaces, as in a block of code.
	keep bool
}

// lines breaks text to a measure. Text without a character gives no line.
func (s *setter) lines(text []span, m measure) []line {
	s.load(text, m.keep)
	if len(s.buf) == 0 {
		return nil
	}
	all := string(s.buf)
	s.cuts = appendCuts(s.cuts[:0], all, s.odd, true)
	return s.fill(all, m)
}

// natural is how wide the text runs where nothing breaks it, and least how
// wide its widest unbreakable part is.
func (s *setter) natural(text []span) (wide, least draw.Unit) {
	var run draw.Unit
	for _, p := range s.parts(text) {
		least = max(least, p.width)
		wide = max(wide, run+p.width)
		run += p.width + p.gap
		if p.hard {
			run = 0
		}
	}
	return wide, least
}

// part is an unbreakable part of a text as a measure sees it: its width, the
// gap to the next on the same line, and whether the line ends behind it.
type part struct {
	width, gap draw.Unit
	hard       bool
}

// parts are the measures of a text.
func (s *setter) parts(text []span) []part {
	s.load(text, false)
	if len(s.buf) == 0 {
		return nil
	}
	all := string(s.buf)
	s.cuts = appendCuts(s.cuts[:0], all, s.odd, true)
	out := make([]part, len(s.cuts))
	for i, c := range s.cuts {
		out[i] = part{
			width: s.widthOf(all, c.start, c.end, c.hyphen), hard: c.hard,
			gap: s.widthOf(all, c.end, c.next, false),
		}
	}
	return out
}

// countLines is how many lines parts take in a width; a part wider than it
// counts by its length.
func countLines(parts []part, width draw.Unit) int {
	if len(parts) == 0 {
		return 0
	}
	n, x := 1, draw.Unit(0)
	for i, p := range parts {
		if x > 0 && x+p.width > width {
			n, x = n+1, 0
		}
		if p.width > width && width > 0 {
			n += int(p.width / width)
		}
		x += p.width + p.gap
		if p.hard && i+1 < len(parts) {
			n, x = n+1, 0
		}
	}
	return n
}

// load gathers the text of the spans: spaces in a row become one, characters
// the face does not hold their code points, and marks remember the looks.
func (s *setter) load(text []span, keep bool) {
	s.buf, s.marks, s.odd = s.buf[:0], s.marks[:0], false
	for _, sp := range text {
		if n := len(s.marks); n > 0 && s.marks[n-1].from == len(s.buf) {
			s.marks = s.marks[:n-1]
		}
		if n := len(s.marks); n == 0 || s.marks[n-1].look != sp.look {
			s.marks = append(s.marks, mark{len(s.buf), sp.look})
		}
		s.add(sp, keep)
	}
	// A space at the end would only widen the last line.
	for n := len(s.buf); n > 0 && (s.buf[n-1] == ' ' || s.buf[n-1] == '\n'); n-- {
		s.buf = s.buf[:n-1]
	}
	for n := len(s.marks); n > 1 && s.marks[n-1].from >= len(s.buf); n-- {
		s.marks = s.marks[:n-1]
	}
}

func (s *setter) add(sp span, keep bool) {
	text := sp.text
	if hasMarks(text) {
		text = norm.NFC.String(text)
	}
	face := typeface.Get(sp.look.style)
	for i := 0; i < len(text); {
		c := text[i]
		if c > ' ' && c < 0x7F {
			s.buf = append(s.buf, c)
			i++
			continue
		}
		if c == ' ' || c == '\t' || c == '\n' || c == '\r' {
			i++
			if keep && c != '\n' {
				s.kept(c, i < len(text) && (text[i] == ' ' || text[i] == '\t'))
			} else {
				s.space(c)
			}
			continue
		}
		r, n := utf8.DecodeRuneInString(text[i:])
		i += n
		s.odd = true
		s.rune(face, r, sp)
	}
}

// space adds a space or a line end; spaces in a row are one, those at either
// end of a line none.
func (s *setter) space(c byte) {
	n := len(s.buf)
	start := n == 0 || s.buf[n-1] == '\n'
	switch {
	case c == '\n':
		for n > 0 && s.buf[n-1] == ' ' {
			n--
		}
		for i := range s.marks {
			s.marks[i].from = min(s.marks[i].from, n)
		}
		s.buf = append(s.buf[:n], '\n')
	case !start && s.buf[n-1] != ' ':
		s.buf = append(s.buf, ' ')
	}
}

// kept adds a space or tab that is to stay. Only the last of a row is a place
// to break, and none at the beginning of a line.
func (s *setter) kept(c byte, more bool) {
	n := len(s.buf)
	hold := more || n == 0 || s.buf[n-1] == '\n'
	if !hold && c == ' ' {
		s.buf = append(s.buf, ' ')
		return
	}
	width := 1
	if c == '\t' {
		width = 4
	}
	for range width {
		s.buf = utf8.AppendRune(s.buf, noBreakSpace)
	}
	s.odd = true
}

func (s *setter) rune(face *typeface.Face, r rune, sp span) {
	switch {
	case r == noBreakSpace, r == softHyphen, r == zeroSpace, r == wordJoiner:
		s.buf = utf8.AppendRune(s.buf, r)
	case r == '\u2028' || r == '\u2029' || r == '\u0085':
		s.space('\n')
	case unseen(r):
		// It draws nothing and asks for nothing a sheet can do.
	case r == '\u202F' || r == '\u2007':
		s.buf = utf8.AppendRune(s.buf, noBreakSpace)
	case unicode.Is(unicode.Zs, r):
		s.space(' ')
	case face.Has(r) && r <= 0xFFFF:
		s.buf = utf8.AppendRune(s.buf, r)
	case r == '\u2011' && face.Has('-'):
		// A hyphen that must not end a line.
		s.buf = append(s.buf, "\u2060-\u2060"...)
	case s.takenApart(face, r):
	default:
		s.buf = append(s.buf, codePoint(r)...)
		s.miss(r, sp.at)
	}
}

// takenApart sets a letter with an accent as the two, where the face holds
// those only.
func (s *setter) takenApart(face *typeface.Face, r rune) bool {
	apart := norm.NFD.String(string(r))
	if len(face.Missing(apart)) > 0 {
		return false
	}
	s.buf = append(s.buf, apart...)
	return true
}

// codePoint is what prints for a character no face holds.
func codePoint(r rune) string { return fmt.Sprintf("[U+%04X]", r) }

func (s *setter) miss(r rune, at source.Span) {
	if s.known[r] {
		return
	}
	if s.known == nil {
		s.known = map[rune]bool{}
	}
	s.known[r] = true
	s.missing = append(s.missing, missing{r, at})
}

// findings names every character that could not be printed as itself.
func (s *setter) findings() diag.List {
	var list diag.List
	for _, m := range s.missing {
		code := fmt.Sprintf("U+%04X", m.r)
		if known := runenames.Name(m.r); known != "" && known[0] != '<' {
			code += ", " + strings.ToLower(known)
		}
		name := fmt.Sprintf("The character “%c” (%s)", m.r, code)
		if !unicode.IsGraphic(m.r) || unicode.Is(unicode.M, m.r) {
			name = "The character " + code
		}
		list.Add(diag.Diagnostic{
			Rule: "character-not-in-font", Severity: diag.Warning, Concern: diag.Card,
			Span:    m.at,
			Message: name + " is not in the typeface of the sheet and prints as " + codePoint(m.r) + ".",
			Help:    "Write it with letters of the Latin, Greek or Cyrillic alphabet, or in words.",
		})
	}
	return list
}

// hasMarks says whether text holds combining marks, which are set as one
// character with their letter where there is one.
func hasMarks(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] >= 0xCC {
			for _, r := range text[i:] {
				if r >= 0x300 && unicode.Is(unicode.Mn, r) {
					return true
				}
			}
			return false
		}
	}
	return false
}

// unseen are characters that draw nothing: joiners, marks of direction and
// variation selectors.
func unseen(r rune) bool {
	switch {
	case r == 0x200C || r == 0x200D || r == 0xFEFF || r == 0x061C || r == 0x034F:
		return true
	case r >= 0x200E && r <= 0x200F, r >= 0x202A && r <= 0x202E, r >= 0x2061 && r <= 0x2064, r >= 0x2066 && r <= 0x206F:
		return true
	case r >= 0xFE00 && r <= 0xFE0F, r >= 0xE0100 && r <= 0xE01EF:
		return true
	}
	return false
}

// fill puts as many words on each line as it takes.
func (s *setter) fill(all string, m measure) []line {
	var out []line
	room := m.width - m.first
	start, end := 0, 0
	var x draw.Unit
	chars := 0
	began := false
	flush := func(next int, hyphen, last bool) {
		out = append(out, s.line(all, start, end, hyphen, last))
		room, start, end, x, chars, began = m.width, next, next, 0, 0, false
	}
	// hyphened is true where the line so far ends in a soft hyphen, which shows
	// only if the line ends there.
	hyphened := false
	// todo are the pieces of a part that was wider than a line, last first.
	var todo []cut
	for i := 0; i < len(s.cuts) || len(todo) > 0; {
		var c cut
		if n := len(todo); n > 0 {
			c, todo = todo[n-1], todo[:n-1]
		} else {
			c = s.cuts[i]
			i++
		}
		gap := s.widthOf(all, end, c.start, false)
		w := s.widthOf(all, c.start, c.end, c.hyphen)
		n := utf8.RuneCountInString(all[c.start:c.end])
		if began && (x+gap+w > room || m.chars > 0 && chars+n > m.chars) {
			flush(c.start, hyphened, false)
		}
		if !began && w > room {
			if finer := s.finer(all, c, room); len(finer) > 1 {
				slices.Reverse(finer)
				todo = append(todo, finer...)
				continue
			}
		}
		if !began {
			start, gap = c.start, 0
		}
		began = true
		x += gap + w
		if c.hyphen {
			x -= s.hyphenWidth(all, c.end)
		}
		chars += n + 1
		end, hyphened = c.end, c.hyphen
		if c.hard {
			flush(c.next, false, true)
			hyphened = false
		}
	}
	if began {
		flush(len(all), false, true)
	}
	return out
}

// finer breaks a part that is wider than a whole line: first wherever a line
// may end at all, then between any two characters.
func (s *setter) finer(all string, c cut, room draw.Unit) []cut {
	part := all[c.start:c.end]
	if c.glued {
		finer := appendCuts(nil, part, s.odd, false)
		for i := range finer {
			finer[i].start += c.start
			finer[i].end += c.start
			finer[i].next += c.start
		}
		if n := len(finer); n > 1 {
			last := &finer[n-1]
			last.next, last.hard, last.hyphen = c.next, c.hard, c.hyphen
			return finer
		}
	}
	// As many characters as the line takes, at least one; the rest is looked
	// at again for the next line.
	var x draw.Unit
	at, state := c.start, -1
	for rest := part; rest != ""; {
		var cluster string
		cluster, rest, _, state = uniseg.FirstGraphemeClusterInString(rest, state)
		// The last takes the hyphen that may show behind it.
		w := s.widthOf(all, at, at+len(cluster), c.hyphen && rest == "")
		if x+w > room && at > c.start {
			head, tail := c, c
			head.end, head.next, head.hard, head.hyphen, head.glued = at, at, false, false, false
			tail.start, tail.glued = at, false
			return []cut{head, tail}
		}
		x += w
		at += len(cluster)
	}
	return nil
}

func (s *setter) hyphenWidth(all string, end int) draw.Unit {
	return s.lookAt(end - 1).width("-")
}

// lookAt is the look of the byte at an offset.
func (s *setter) lookAt(offset int) look {
	return s.marks[s.markAt(offset)].look
}

func (s *setter) markAt(offset int) int {
	lo, hi := 0, len(s.marks)
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if s.marks[mid].from <= offset {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// widthOf is how wide a stretch of the text runs, with a hyphen at its end
// where one shows.
func (s *setter) widthOf(all string, start, end int, hyphen bool) draw.Unit {
	var w draw.Unit
	if start < end {
		for i := s.markAt(start); i < len(s.marks) && s.marks[i].from < end; i++ {
			from, to := max(start, s.marks[i].from), end
			if i+1 < len(s.marks) {
				to = min(to, s.marks[i+1].from)
			}
			w += s.marks[i].look.width(s.shown(all[from:to]))
		}
	}
	if hyphen {
		w += s.hyphenWidth(all, end)
	}
	return w
}

// shown is text as it is drawn: without the characters that only steer line
// breaks, no-break spaces as spaces.
func (s *setter) shown(text string) string {
	if !s.odd {
		return text
	}
	plain := true
	for i := 0; i < len(text); i++ {
		if c := text[i]; c == 0xC2 || c == 0xE2 {
			plain = false
			break
		}
	}
	if plain {
		return text
	}
	return strings.Map(func(r rune) rune {
		switch r {
		case noBreakSpace:
			return ' '
		case softHyphen, zeroSpace, wordJoiner:
			return -1
		}
		return r
	}, text)
}

// line makes the line of the text from start to end.
func (s *setter) line(all string, start, end int, hyphen, last bool) line {
	l := line{last: last}
	if start >= end {
		l.size = s.lookAt(min(start, len(all)-1)).size
		return l
	}
	for i := s.markAt(start); i < len(s.marks) && s.marks[i].from < end; i++ {
		from, to := max(start, s.marks[i].from), end
		if i+1 < len(s.marks) {
			to = min(to, s.marks[i+1].from)
		}
		if from >= to {
			continue
		}
		text := s.shown(all[from:to])
		if hyphen && to == end {
			text += "-"
		}
		look := s.marks[i].look
		w := look.width(text)
		l.pieces = append(l.pieces, piece{look: look, text: text, x: l.width, width: w})
		l.width += w
		if !look.sits {
			l.size = max(l.size, look.size)
		}
	}
	if l.size == 0 {
		l.size = l.pieces[0].look.size
	}
	return l
}

// put draws a line with its baseline at y and its start at x.
func (l line) put(items []draw.Item, x, y draw.Unit) []draw.Item {
	for _, p := range l.pieces {
		if p.text == "" {
			continue
		}
		at := draw.Point{X: x + p.x, Y: y - p.look.rise}
		items = append(items, draw.Text{
			At: at, Style: p.look.style, Size: p.look.size, Ink: p.look.ink,
			Spacing: p.look.spacing, Text: p.text, Link: p.look.link,
		})
		if p.look.link != "" && !p.look.plain {
			under := y + p.look.size*14/100
			items = append(items, draw.Line{
				From: draw.Point{X: at.X, Y: under}, To: draw.Point{X: at.X + p.width, Y: under},
				Width: draw.MM(.15), Ink: p.look.ink,
			})
		}
		if p.look.strike {
			mid := at.Y - typeface.Get(p.look.style).XHeight(p.look.size)*55/100
			items = append(items, draw.Line{
				From: draw.Point{X: at.X, Y: mid}, To: draw.Point{X: at.X + p.width, Y: mid},
				Width: draw.MM(.2), Ink: p.look.ink,
			})
		}
	}
	return items
}
