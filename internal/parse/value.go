package parse

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

// The words a closed list of the format takes.
var (
	pieceForms   = []string{"cast", "fused", "slumped", "blown", "pressed", "sawn block", "sheet"}
	mouldStates  = []string{trade.MouldOn, trade.MouldOff}
	coatingKinds = []string{"dichroic", "iridised", "lustre", "enamel", "paint", "gilding", "flashed", "silvering"}
	changeKinds  = []string{"safety", "method", "wording"}
	arrivals     = []string{"sawn", "sandblasted", "ground", "as cast", "fire polished", "fused", "cut", "new"}
	yesNo        = []string{"true", "false"}

	pressureWords = []string{"light", "medium", "firm", "own weight"}
	waterSources  = []string{"recirculated", "bucket"}
)

// alsoWords are further words for those of a closed list.
var alsoWords = map[string]string{
	"yes": "true", "no": "false",
	"kiln cast": "cast", "kilncast": "cast", "hot cast": "cast", "sand cast": "cast", "mould blown": "blown", "mold blown": "blown",
	"silvered": "silvering", "mirror": "silvering", "mirrored": "silvering", "cased": "flashed", "overlay": "flashed", "overlaid": "flashed",
}

// scalar gives the one text a key holds. What is written and holds none is
// reported; written is true even then.
func (r *reading) scalar(v keys.Value) (text string, at source.Span, ok bool) {
	key, keyAt := v.Key()
	switch v.Kind() {
	case keys.Scalar:
		if strings.TrimSpace(v.Text()) != "" {
			return v.Text(), v.Span(), true
		}
		r.nothing(key, keyAt)
	case keys.Empty:
		r.nothing(key, keyAt)
	case keys.List:
		r.say(BadValue, keyAt, fmt.Sprintf("%s takes one value, not a list.", capital(quote(key))),
			"Write one value behind it.")
	case keys.Map:
		r.say(BadValue, keyAt, fmt.Sprintf("%s takes one value, not keys of its own.", capital(quote(key))),
			"Write one value behind it.")
	}
	if v.Kind() == keys.Missing {
		return "", source.Span{}, false
	}
	return "", known(v.Span(), keyAt), false
}

// nothing reports a key without a value. Of those that have to be there it says
// nothing of taking the line out.
func (r *reading) nothing(key string, at source.Span) {
	help := "Write its value, or take the line out."
	if line := r.lineFor(key); line != "" {
		help = "Write its value, as in " + line + "."
	}
	r.say(MissingKey, at, fmt.Sprintf("Nothing stands behind %s.", quote(key)), help)
}

// known is a, or b where a points nowhere or at nothing.
func known(a, b source.Span) source.Span {
	if a.Known() && a.End > a.Start {
		return a
	}
	return b
}

// text reads a value that is words.
func (r *reading) textField(v keys.Value) recipe.Field[string] {
	text, at, ok := r.scalar(v)
	return recipe.Field[string]{Value: strings.TrimSpace(r.clean(text)), Span: at, OK: ok}
}

// notApproved are what people write where nobody has approved.
var notApproved = map[string]bool{
	"no": true, "none": true, "nobody": true, "no one": true, "not yet": true, "not approved": true, "null": true, "nil": true,
	"false": true, "": true, "–": true, "—": true, "?": true, "x": true, "n/a": true, "na": true, "open": true, "pending": true,
	"tbd": true, "tbc": true, "to do": true, "draft": true,
}

// approvedField reads who approved. Where it says that nobody has, the recipe
// is as one without the line.
func (r *reading) approvedField(v keys.Value) recipe.Field[string] {
	if v.Kind() == keys.Empty || v.Kind() == keys.Scalar && notApproved[fold(strings.Trim(v.Text(), " .!"))] {
		return recipe.Field[string]{}
	}
	return r.textField(v)
}

// wordField reads one word of a closed list.
func (r *reading) wordField(v keys.Value, what string, list []string) recipe.Field[string] {
	text, at, ok := r.scalar(v)
	f := recipe.Field[string]{Span: at}
	if !ok {
		return f
	}
	if f.Value, f.OK = r.wordOf(text, list); !f.OK {
		r.unknown(UnknownWord, at, text, what, r.inOwn(list))
	}
	return f
}

// wordOf is the word of a closed list that a text is.
func (r *reading) wordOf(text string, list []string) (string, bool) {
	folded := fold(text)
	if usual := alsoWords[folded]; usual != "" && slices.Contains(list, usual) {
		folded = usual
	}
	if usual := r.own.values[folded]; usual != "" && slices.Contains(list, usual) {
		folded = usual
	}
	for _, w := range list {
		if w == folded {
			return w, true
		}
	}
	return "", false
}

// unknown reports a word that is not in a closed list. what names it with its
// article: "a shape".
func (r *reading) unknown(id string, at source.Span, text, what string, list []string) {
	help := nearest(text, list)
	if id == UnknownShape && (keys.Nearest(text, list) == "" || strings.HasPrefix(fold(text), "facet")) {
		help += " A facet ground on a flat lap is flat; facets are shallow lenses cut with a wheel."
	}
	if id == UnknownFinish && keys.Clear(text, list) == "" {
		if near := r.finishesNear(text); near != "" {
			help = near
		}
	}
	r.say(id, at, fmt.Sprintf("%s is no %s known here.", capital(quote(text)), what), help)
	r.slip(at, text, list)
}

// finishesNear says which finishes a loose word may mean, with the tile of each;
// "" where nothing is known of it.
func (r *reading) finishesNear(text string) string {
	var all []string
	tiles := false
	for _, f := range r.house.FinishesCalled(text) {
		name := r.inOwn([]string{f.Name})[0]
		if tile := r.house.TileOf(f); tile != "" {
			name += " (tile " + tile + ")"
			tiles = true
		}
		all = append(all, name)
	}
	switch {
	case len(all) == 0:
		return ""
	case len(all) == 1:
		return "Nearest is " + all[0] + ". Write that, if it is meant."
	}
	last := len(all) - 1
	help := "Nearest are " + strings.Join(all[:last], ", ") + " and " + all[last] + ". Write the one "
	if tiles {
		return help + "whose tile it should match."
	}
	return help + "that is meant, and tie it to a sample tile of the house."
}

// short is how many words a list has at least that is not written out in a
// finding.
const short = 20

// nearest says which word of the list to write.
func nearest(text string, list []string) string {
	if near := keys.Nearest(text, list); near != "" {
		return "Write " + near + "."
	}
	if len(list) == 0 {
		return ""
	}
	return "Write one of: " + strings.Join(list, ", ") + "."
}

// yes reads true or false.
func (r *reading) yesField(v keys.Value) recipe.Field[bool] {
	f := r.wordField(v, "answer", yesNo)
	return recipe.Field[bool]{Value: f.Value == "true", Span: f.Span, OK: f.OK}
}

// count reads a whole number from 1.
func (r *reading) countField(v keys.Value) recipe.Field[int] {
	text, at, ok := r.scalar(v)
	f := recipe.Field[int]{Span: at}
	if !ok {
		return f
	}
	n, good := whole(text)
	if !good || n < 1 {
		key, _ := v.Key()
		r.say(BadNumber, at, fmt.Sprintf("%s is no whole number from 1 on.", capital(quote(text))),
			fmt.Sprintf("Write it in figures: %s: 1", key))
		return f
	}
	f.Value, f.OK = n, true
	return f
}

// whole reads figures alone, up to 999,999.
func whole(s string) (int, bool) {
	if s == "" || len(s) > 6 {
		return 0, false
	}
	n := 0
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		n = n*10 + int(s[i]-'0')
	}
	return n, true
}

// date reads a day.
func (r *reading) dateField(v keys.Value) recipe.Field[recipe.Date] {
	text, at, ok := r.scalar(v)
	f := recipe.Field[recipe.Date]{Span: at}
	if !ok {
		return f
	}
	d, form := day(text)
	switch {
	case !form:
		help := "Write year, month and day in figures, as in 2026-10-05."
		near := dayFirst(text)
		if near != "" {
			help = "Write " + near + ": year, month, day."
		}
		r.say(BadDate, at, fmt.Sprintf("%s is no date.", capital(quote(text))), help)
		r.mended(diag.Word(at, text, near))
	case d.Month < 1 || d.Month > 12 || d.Day < 1 || d.Day > daysIn(d.Year, d.Month):
		r.say(BadDate, at, fmt.Sprintf("There is no such day as %s.", text),
			"Write year, month and day in this order, as in 2026-10-05.")
	case d.Year < earliest || d.Year > latest:
		r.say(BadDate, at, fmt.Sprintf("The year %s lies far off.", text[:4]),
			"Is the year right? Write it in four figures, as in 2026-10-05.")
	default:
		f.Value, f.OK = d, true
	}
	return f
}

// A year outside these is a slip of the pen.
const earliest, latest = 1990, 2100

// day reads YYYY-MM-DD; form says whether it is written so.
func day(s string) (d recipe.Date, form bool) {
	if len(s) != 10 || s[4] != '-' || s[7] != '-' {
		return d, false
	}
	var ok [3]bool
	d.Year, ok[0] = whole(s[:4])
	d.Month, ok[1] = whole(s[5:7])
	d.Day, ok[2] = whole(s[8:])
	return d, ok[0] && ok[1] && ok[2]
}

// dayFirst reads a day that is written D.M.YYYY, as much of Europe does, and
// gives it with the year first; "" for anything that could be two days. With
// strokes or hyphens only a day past the twelfth is no month.
func dayFirst(s string) string {
	for _, mark := range []string{".", "/", "-"} {
		parts := strings.Split(s, mark)
		if len(parts) != 3 || len(parts[2]) != 4 || len(parts[0]) > 2 || len(parts[1]) > 2 {
			continue
		}
		var n [3]int
		for i, part := range parts {
			var ok bool
			if n[i], ok = whole(part); !ok {
				return ""
			}
		}
		d := recipe.Date{Year: n[2], Month: n[1], Day: n[0]}
		if mark != "." && d.Day <= 12 || d.Month < 1 || d.Month > 12 || d.Day < 1 || d.Day > daysIn(d.Year, d.Month) ||
			d.Year < earliest || d.Year > latest {
			return ""
		}
		return d.String()
	}
	return ""
}

func daysIn(year, month int) int {
	switch month {
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// amountField reads an amount with its unit.
func (r *reading) amountField(v keys.Value, kinds ...quantity.Kind) recipe.Field[quantity.Value] {
	text, at, ok := r.scalar(v)
	f := recipe.Field[quantity.Value]{Span: at}
	if !ok {
		return f
	}
	value, err := quantity.Parse(text, r.house.Numbers, kinds...)
	if err != nil {
		at := v.Part(err.Start, err.End)
		r.say(BadAmount, at, err.Message, err.Help)
		r.mended(diag.Word(at, err.Words, err.Put))
		return f
	}
	f.Value, f.OK = value, true
	return f
}

// quote puts an author's words into the quotes of a finding and keeps them to
// one line.
func quote(s string) string {
	s = strings.ToValidUTF8(strings.Join(strings.Fields(s), " "), "\ufffd")
	if len(s) > 60 {
		runes := []rune(s)
		if len(runes) > 60 {
			s = strings.TrimSpace(string(runes[:57])) + "…"
		}
	}
	return "“" + s + "”"
}

// capital makes a sentence begin with a capital where it begins with a letter.
func capital(s string) string {
	for i, c := range s {
		if i > 0 {
			break
		}
		if unicode.IsLower(c) {
			return string(unicode.ToUpper(c)) + s[len(string(c)):]
		}
	}
	return s
}

// fold is how words are compared: in lower case, a hyphen as good as a space,
// spaces in a row as one.
func fold(s string) string {
	if folded(s) {
		return s
	}
	buf := make([]byte, 0, 48)
	for i := 0; i < len(s); i++ {
		c := s[i]
		switch {
		case c >= 0x80:
			s = strings.Map(func(c rune) rune {
				if c == '-' || c == '_' {
					return ' '
				}
				return unicode.ToLower(c)
			}, s)
			return strings.Join(strings.Fields(s), " ")
		case c >= 'A' && c <= 'Z':
			c += 'a' - 'A'
		case c == '-' || c == '_' || isSpace(c):
			if len(buf) == 0 || buf[len(buf)-1] == ' ' {
				continue
			}
			c = ' '
		}
		buf = append(buf, c)
	}
	if n := len(buf); n > 0 && buf[n-1] == ' ' {
		buf = buf[:n-1]
	}
	return string(buf)
}

// folded says whether s is plain enough to be its own folded form.
func folded(s string) bool {
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == ' ' && i > 0 && i < len(s)-1 && s[i-1] != ' ' {
			continue
		}
		return false
	}
	return true
}
