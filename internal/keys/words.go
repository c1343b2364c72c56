package keys

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/hbollon/go-edlib"
)

// Mistake is one mistake a text can have, by the id its findings carry. All
// are errors of the card.
type Mistake struct {
	ID string
	// Title says in one line what is asked; Why what happens otherwise.
	Title, Why string
	// Bad and Good are lines of a recipe.
	Bad, Good string
}

// The ids of the findings of this package.
const (
	UnknownKey     = "unknown-key"
	RepeatedKey    = "repeated-key"
	NotKeys        = "keys-wanted"
	Broken         = "broken-front-matter"
	TabBeforeKey   = "tab-before-key"
	SpacesBefore   = "spaces-before-key"
	SpaceMissing   = "space-after-colon"
	CommentEats    = "comment-eats-grade"
	CommaQuotes    = "comma-needs-quotes"
	ColonQuotes    = "colon-needs-quotes"
	SignQuotes     = "sign-needs-quotes"
	OpenQuotes     = "quotes-not-closed"
	OpenBrace      = "brace-not-closed"
	NoBrackets     = "brackets-missing"
	WrittenByRef   = "written-by-reference"
	TooDeep        = "nested-too-deep"
	TooLong        = "text-too-long"
	UnreadableByte = "unreadable-character"
	SecondText     = "second-dashes"
)

// Mistakes lists every mistake this package reports.
var Mistakes = []Mistake{
	{UnknownKey, "Every key is one the format knows", "A mistyped key would be passed over, and what stands behind it with it.", "revison: 2", "revision: 2"},
	{RepeatedKey, "A key is written once", "Only one of the two can hold, and nobody can tell which was meant.", "date: 2026-10-05 on one line, date: 2026-11-01 on another", "date: 2026-11-01"},
	{NotKeys, "Keys with values stand where they are wanted", "A single word stands where several keys belong, so none of them can be read.", "piece: cast", "piece: {form: cast, size: 80 mm dia x 45 mm}"},
	{Broken, "Every line can be read", "What stands there was not understood, so it is neither checked nor printed.", "title", "title: Cast paperweight"},
	{TabBeforeKey, "Spaces, not tabs, stand before a key", "Tabs are as wide as each editor likes; only spaces say which key belongs to which.", "a tab, then form: cast", "two spaces, then form: cast"},
	{SpacesBefore, "Keys that belong together begin in one column", "The spaces before a key say what it belongs to.", "two spaces, form: cast, then three spaces, size: 40 mm", "both with two spaces"},
	{SpaceMissing, "A space follows the colon of a key", "Without the space the key and its value read as one word.", "title:Cast paperweight", "title: Cast paperweight"},
	{CommentEats, "A # does not swallow a grade", "From a space and a # on, the rest of a line is a remark, so the number is lost. Quotes keep it.", "grade: JIS #400", "grade: JIS 400"},
	{CommaQuotes, "A value with a comma inside braces has quotes", "Inside braces a comma begins the next key, so what follows it is torn off.", "{name: base, from: sawn, diamond 100 mesh}", `{name: base, from: "sawn, diamond 100 mesh"}`},
	{ColonQuotes, "A value with a colon has quotes", "A colon and a space part a key from its value; a second one needs quotes around the value.", "title: Panel: the satin face", `title: "Panel: the satin face"`},
	{SignQuotes, "A value with a sign of its own has quotes", "Some signs mean something else at the beginning of a value or behind closing quotes.", "stop: *Never* touch the dome", `stop: "*Never* touch the dome"`},
	{OpenQuotes, "Quotes that open are closed", "Everything down to the next quotes would be read as one sentence.", `title: "Cast paperweight`, `title: "Cast paperweight"`},
	{OpenBrace, "Braces and brackets that open are closed", "What follows would be read as part of them.", "cautions: [keep wet, eyes", "cautions: [keep wet, eyes]"},
	{NoBrackets, "Several values stand in square brackets", "Without them they read as one value, which nobody knows.", "cautions: keep wet, eyes", "cautions: [keep wet, eyes]"},
	{WrittenByRef, "Every value is written out", "A recipe is read by people: a value stands where it is used, in full.", "to: *bright", "to: bright polish"},
	{TooDeep, "Nothing is nested without end", "No recipe and no shop file needs so many levels; something was pasted in by mistake.", "a hundred brackets one inside the other", "one or two"},
	{TooLong, "The keys of a recipe and a shop file are of a size people read", "A text of this size is something else pasted in by mistake.", "a front matter of two million characters", "a front matter of one page"},
	{UnreadableByte, "Every character can be read", "The character was saved in another character set, or is one that does not print.", "a file saved in an old character set", "the same file saved as UTF-8"},
	{SecondText, "No line of dashes stands among the keys", "What follows it would be passed over in silence.", "--- between two keys", "the two keys without it"},
}

// Nearest is the word of known that text most likely meant, or "" where none
// is near. It serves keys, facts, units, shapes and every other closed list.
// Case, hyphens, underscores and doubled spaces count for nothing; two letters
// that changed places count as one mistake.
func Nearest(text string, known []string) string {
	plain := fold(text)
	letters := utf8.RuneCountInString(plain)
	if letters == 0 || letters > 60 {
		return ""
	}
	// One slip in three or four letters, never more than three in all: "lap"
	// for "tap" is a slip, "wheel" for "felt" is another word.
	best, limit := "", min(3, max(1, letters/3))
	found := limit + 1
	for _, k := range known {
		other := fold(k)
		if other == plain {
			return k
		}
		n := utf8.RuneCountInString(other)
		if n-letters > limit || letters-n > limit || n > 60 {
			continue
		}
		if d := edlib.OSADamerauLevenshteinDistance(plain, other); d < found && d < max(n, letters)-1 {
			best, found = k, d
		}
	}
	if best != "" || letters < 3 {
		return best
	}
	// A beginning that only one word has: "rev" for "revision".
	for _, k := range known {
		if strings.HasPrefix(fold(k), plain) {
			if best != "" {
				return ""
			}
			best = k
		}
	}
	return best
}

// OneSlip is the only word of known that is one slip of the pen away from text: a
// letter too many, too few, another, or two changed about; "" where there is none
// such, or two. Case and hyphens count for nothing. It serves lists in which a word
// may be near another that means something else.
func OneSlip(text string, known []string) string {
	plain, only := fold(text), ""
	if utf8.RuneCountInString(plain) > 60 {
		return ""
	}
	for _, k := range known {
		other := fold(k)
		if n := utf8.RuneCountInString(other); n > 60 || edlib.OSADamerauLevenshteinDistance(plain, other) != 1 {
			continue
		}
		if only != "" {
			return ""
		}
		only = k
	}
	return only
}

// Clear is the word of known that text can only mean, or "" where two are
// about as near, or where what differs is a figure or a single letter that may
// well be another name: what Nearest offers, Clear would write unasked.
func Clear(text string, known []string) string {
	near := Nearest(text, known)
	if near == "" {
		return ""
	}
	plain, meant := fold(text), fold(near)
	if plain == meant {
		return near
	}
	mine, its := strings.Fields(plain), strings.Fields(meant)
	if figures(plain) != figures(meant) {
		return ""
	}
	if len(mine) == len(its) {
		for i := range mine {
			if mine[i] != its[i] && (utf8.RuneCountInString(mine[i]) < 3 || utf8.RuneCountInString(its[i]) < 3) {
				return ""
			}
		}
	}
	d := edlib.OSADamerauLevenshteinDistance(plain, meant)
	if strings.HasPrefix(meant, plain) {
		d = 1 // left off, not mistaken
	}
	apart := 1
	if d > 1 {
		apart = 2
	}
	for _, k := range known {
		other := fold(k)
		if other == meant || utf8.RuneCountInString(other) > 60 {
			continue
		}
		if edlib.OSADamerauLevenshteinDistance(plain, other) < d+apart {
			return ""
		}
	}
	return near
}

// figures are the figures of a text in their order.
func figures(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, s)
}

// fold takes away what does not count when words are compared.
func fold(s string) string {
	s = strings.ToLower(s)
	s = strings.Map(func(r rune) rune {
		if r == '-' || r == '_' {
			return ' '
		}
		return r
	}, s)
	return strings.Join(strings.Fields(s), " ")
}

// quote puts words into the quotes of a finding.
func quote(s string) string { return "“" + s + "”" }

// clip keeps a finding to one line.
func clip(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if utf8.RuneCountInString(s) <= 60 {
		return s
	}
	r := []rune(s)
	return strings.TrimSpace(string(r[:57])) + "…"
}

// capital makes the first letter a capital one.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// list joins words for people.
func list(words []string) string {
	switch len(words) {
	case 0:
		return "none"
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// inQuotes is s as it has to be written to be read as one text.
func inQuotes(s string) string {
	if !strings.ContainsAny(s, `"\`) {
		return `"` + s + `"`
	}
	return "'" + strings.ReplaceAll(s, "'", "''") + "'"
}
