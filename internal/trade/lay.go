package trade

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/quantity"
	"coldwright/internal/source"
	"coldwright/internal/words"
)

// shopKeys are the keys of a shop file.
var shopKeys = []string{
	"house", "bare numbers", "stock", "media", "machines", "benches", "glasses", "tests", "tiles",
	"measured", "limits", "always", "cautions", "roles", "places",
}

// laying is a shop file while it is laid over the built-in tables.
type laying struct {
	h      *House
	report *diag.List
	// codes are the codes of stock, media and machines, and where they stand.
	codes map[string]source.Span
}

// Lay reads a shop file and lays it over the built-in tables. All its mistakes
// are reported; what could be read stands.
func Lay(f *source.File, report *diag.List) *House {
	h := builtInHouse()
	h.File = f
	// Until the house's own words are known, the built-in ones are looked up.
	h.look = BuiltIn().look
	l := &laying{h: h, report: report, codes: map[string]source.Span{}}
	top := keys.Read(f, 0, len(f.Text), report).Fields("the shop file", shopKeys, report)
	// The order is that of what needs what: how numbers are written, then the
	// benches, glasses and finishes that other lines name.
	l.house(top.Get("house"))
	l.benches(top.Get("benches"))
	l.glasses(top.Get("glasses"))
	l.tests(top.Get("tests"))
	l.tiles(top.Get("tiles"))
	l.cautions(top.Get("cautions"))
	l.ownMedia(top.Get("media"))
	l.limits(top.Get("limits"))
	h.prepare()
	l.bareNumbers(top.Get("bare numbers"))
	l.stock(top.Get("stock"))
	l.media(top.Get("media"))
	l.machines(top.Get("machines"))
	l.always(top.Get("always"))
	h.Roles = l.words(top.Get("roles"))
	h.Places = l.words(top.Get("places"))
	l.measured(top.Get("measured"))
	return h
}

func (l *laying) say(rule string, at source.Span, message, help string) {
	say(l.report, rule, at, message, help)
}

// slip gives the finding said last the word that was meant, where one is clear.
func (l *laying) slip(at source.Span, words string, known []string) { slip(l.report, at, words, known) }

// text is the text of a value; what is no text is reported.
func (l *laying) text(v keys.Value) string {
	switch v.Kind() {
	case keys.Scalar:
		return strings.TrimSpace(v.Text())
	case keys.List, keys.Map:
		key, _ := v.Key()
		l.say(BadValue, v.Span(), fmt.Sprintf("%s takes a few words here, not several values.", quote(key)), "Write one value behind the colon, in quotes where it holds a comma or a colon.")
	case keys.Empty:
		key, at := v.Key()
		l.say(BadValue, at, fmt.Sprintf("Nothing stands behind %s.", quote(key)), "Write the value, or take the line out.")
	}
	return ""
}

// oneOf is a text that is one of a few words.
func (l *laying) oneOf(v keys.Value, known []string) string {
	text := l.text(v)
	if text == "" {
		return ""
	}
	for _, k := range known {
		if strings.EqualFold(k, text) {
			return k
		}
	}
	key, _ := v.Key()
	l.say(UnknownWord, v.Span(), fmt.Sprintf("%s is not known as %s.", quote(text), key), nearest(text, known, "Write "+listed(known, "or")+"."))
	l.slip(v.Span(), text, known)
	return ""
}

// amount is an amount with its unit.
func (l *laying) amount(v keys.Value, kinds ...quantity.Kind) quantity.Value {
	text := l.text(v)
	if text == "" {
		return quantity.Value{}
	}
	text = v.Text()
	q, err := quantity.Parse(text, l.h.Numbers, kinds...)
	if err != nil {
		l.say(BadAmount, v.Part(err.Start, err.End), err.Message, err.Help)
		l.report.Mended(diag.Word(v.Part(err.Start, err.End), err.Words, err.Put))
		return quantity.Value{}
	}
	return q
}

// yes is a yes or a no; a date counts as a yes from that day on.
func (l *laying) yes(v keys.Value) bool {
	switch text := l.text(v); strings.ToLower(text) {
	case "yes", "true":
		return true
	case "", "no", "false":
		return false
	default:
		if isDate(text) {
			return true
		}
		l.say(BadValue, v.Span(), fmt.Sprintf("%s is neither yes nor no.", quote(text)), "Write yes or no.")
	}
	return false
}

// date is a day, kept as it was written.
func (l *laying) date(v keys.Value) string {
	text := l.text(v)
	if text == "" {
		return text
	}
	if isDate(text) {
		if text < "1990" || text > "2101" {
			l.say(BadDate, v.Span(), fmt.Sprintf("The year %s lies far off.", text[:4]), "Is the year right? Write it in four figures, as 2026-09-01.")
			return ""
		}
		return text
	}
	l.say(BadDate, v.Span(), fmt.Sprintf("%s is no date.", quote(text)), "Write year, month and day, as 2026-09-01.")
	return ""
}

// isDate says whether text is a day of the calendar, written 2026-09-01.
func isDate(text string) bool {
	if len(text) != 10 || text[4] != '-' || text[7] != '-' {
		return false
	}
	year, err1 := strconv.ParseUint(text[:4], 10, 16)
	month, err2 := strconv.ParseUint(text[5:7], 10, 8)
	day, err3 := strconv.ParseUint(text[8:], 10, 8)
	if err1 != nil || err2 != nil || err3 != nil || year == 0 || month < 1 || month > 12 || day < 1 {
		return false
	}
	days := [...]uint64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[month-1]
	if month == 2 && year%4 == 0 && (year%100 != 0 || year%400 == 0) {
		days = 29
	}
	return day <= days
}

// words are texts by key.
func (l *laying) words(v keys.Value) map[string]string {
	all := map[string]string{}
	for _, e := range v.Entries(l.report) {
		if text := l.text(e.Value); text != "" {
			all[e.Key] = text
		}
	}
	return all
}

// code takes a code for a line of stock, media or machines.
func (l *laying) code(e keys.Entry) bool {
	switch first, ok := l.codes[e.Key]; {
	case ok:
		line, _ := first.File.Position(first.Start)
		l.report.Add(diag.Diagnostic{
			Rule: CodeTwice, Severity: diag.Error, Concern: diag.Card, Span: e.KeySpan,
			Message: fmt.Sprintf("The code %s stands for two things; the first is in line %d.", e.Key, line),
			Help:    "Give one of them another code.",
			Also:    []diag.Site{{Span: first}},
		})
		return false
	case strings.TrimSpace(e.Key) == "" || strings.Contains(e.Key, ","):
		l.say(BadValue, e.KeySpan, fmt.Sprintf("%s cannot be a code.", quote(e.Key)), "Write a short code without commas, as S220.")
		return false
	}
	l.codes[e.Key] = e.KeySpan
	return true
}

func (l *laying) house(v keys.Value) {
	b := builtIn()
	f := v.Fields("the house", []string{"name", "place", "revision", "date", "approved", "paper", "units", "language"}, l.report)
	h := l.h
	h.Name, h.Place = l.text(f.Get("name")), l.text(f.Get("place"))
	h.Approved = l.text(f.Get("approved"))
	if revision := f.Get("revision"); revision.Kind() != keys.Missing {
		n, err := strconv.Atoi(strings.TrimSpace(l.text(revision)))
		if err != nil || n < 1 || n > 9999 {
			l.say(BadValue, revision.Span(), "The revision of the shop file is a whole number from 1.", "Write revision: 1, and one more with each change.")
		} else {
			h.Revision = n
		}
	}
	if date := f.Get("date"); date.Kind() != keys.Missing {
		if text := l.text(date); isDate(text) {
			h.Date = text
		} else if text != "" {
			l.say(BadValue, date.Span(), fmt.Sprintf("%s is no date.", quote(text)), "Write year, month and day, as 2026-10-05.")
		}
	}
	h.Paper = l.oneOf(f.Get("paper"), b.papers)
	h.Units = l.oneOf(f.Get("units"), b.units)
	if language := f.Get("language"); language.Kind() != keys.Missing {
		text := l.text(language)
		if !isLanguage(text) && text != "" {
			l.say(UnknownWord, language.Span(), fmt.Sprintf("%s is no code of a language.", quote(text)), "Write the two letters of the language. The languages of the pages are "+languages()+".")
		} else {
			h.Language = text
			main, _, _ := strings.Cut(strings.ToLower(text), "-")
			h.Numbers.DecimalComma = b.decimalComma[main]
			if words.Find(text) == nil {
				l.report.Add(unknownLanguage(language.Span(), text))
			}
		}
	}
}

// unknownLanguage is the finding that there is no table of words for a
// language; the numbers of the house are read by it all the same.
func unknownLanguage(at source.Span, text string) diag.Diagnostic {
	return diag.Diagnostic{
		Rule: NoWords, Severity: diag.Note, Concern: diag.Card, Span: at,
		Message: fmt.Sprintf("There are no words in the language %s; the pages print in English.", quote(text)),
		Help:    "The languages of the pages are " + languages() + ".",
	}
}

// languages are those there is a table for, by tag and name.
func languages() string {
	var all []string
	for _, tag := range words.Tags() {
		all = append(all, tag+" ("+words.Find(tag).Name+")")
	}
	return strings.Join(all, ", ")
}

// isLanguage says whether text has the form of a language code: en, pt-BR.
func isLanguage(text string) bool {
	main, region, cut := strings.Cut(text, "-")
	letters := func(s string, low, high int) bool {
		for _, c := range s {
			if c < 'A' || c > 'z' || c > 'Z' && c < 'a' {
				return false
			}
		}
		return len(s) >= low && len(s) <= high
	}
	return letters(main, 2, 3) && (!cut || letters(region, 2, 4))
}

func (l *laying) benches(v keys.Value) {
	var order, outside []keys.Value
	switch v.Kind() {
	case keys.List:
		order = v.List()
	case keys.Map:
		f := v.Fields("the benches", []string{"order", "any"}, l.report)
		order, outside = f.Get("order").Members(nil, l.report), f.Get("any").Members(nil, l.report)
	case keys.Scalar:
		if order = v.Members(nil, l.report); len(order) > 1 {
			break
		}
		l.say(BadValue, v.Span(), "The benches are a list, from dirty to clean.", "Write benches: [A, B, C].")
		return
	case keys.Empty:
		l.text(v)
	}
	seen := map[string]bool{}
	add := func(v keys.Value, b Bench) {
		b.Name = l.text(v)
		if b.Name == "" {
			return
		}
		if seen[norm(b.Name)] {
			l.say(SaidTwice, v.Span(), fmt.Sprintf("The bench %s is named twice.", b.Name), "Keep it at one place.")
			return
		}
		seen[norm(b.Name)] = true
		l.h.Benches = append(l.h.Benches, b)
	}
	for i, one := range order {
		add(one, Bench{Rank: i + 1})
	}
	for _, one := range outside {
		add(one, Bench{Any: true})
	}
}

func (l *laying) glasses(v keys.Value) {
	entries := v.Entries(l.report)
	l.h.Glasses = slices.Clone(l.h.Glasses)
	for _, e := range entries {
		f := e.Value.Fields("a glass", []string{"like", "PbO", "density"}, l.report)
		g := Glass{}
		if like := f.Get("like"); like.Kind() != keys.Missing {
			text := l.text(like)
			if known := l.h.FindGlass(text); known != nil {
				g = *known
			} else if text != "" {
				help, ok := l.h.GlassHelp(text)
				if !ok {
					help = l.glassHelp(text)
				}
				l.say(UnknownGlass, like.Span(), fmt.Sprintf("%s is no glass that is known.", quote(text)), help)
			}
		} else if e.Value.Kind() != keys.Unread {
			l.say(StockMissing, e.KeySpan, fmt.Sprintf("The glass %s does not say what it is like.", e.Key), "Write like: and a glass that is known: "+listed(l.glassNames(), "or")+".")
		}
		g.Name, g.Also, g.House, g.Source = e.Key, nil, true, "the house"
		if p := f.Get("PbO"); p.Kind() != keys.Missing {
			if share := l.amount(p, quantity.Share); share.Written() {
				g.PbO = share.In(quantity.Percent)
				// No share of lead is small enough to call the glass free of it;
				// none written at all takes nothing back from what it is like.
				g.Lead = g.Lead || g.PbO > 0
			}
		}
		if d := f.Get("density"); d.Kind() != keys.Missing {
			if density := l.amount(d, quantity.Density); density.Written() {
				g.Density = density.In(quantity.GramPerCubicCentimetre)
				if g.Density < 1.8 || g.Density > 8 {
					l.say(BadValue, d.Span(), "No glass has this density.", "Glasses lie between 2.2 and 6 g/cm³; soda-lime has 2.5 g/cm³.")
				}
			}
		}
		if norm(e.Key) == "unknown" {
			l.say(BadValue, e.KeySpan, "A glass cannot be called unknown.", "“unknown” is what a recipe writes where nobody knows the glass.")
			continue
		}
		l.h.Glasses = append(l.h.Glasses, &g)
	}
}

func (l *laying) glassNames() []string {
	var names []string
	for _, g := range builtIn().glasses {
		names = append(names, g.Name)
	}
	return names
}

func (l *laying) glassHelp(text string) string {
	return nearest(text, l.h.look.glasses.names, "Write "+listed(l.glassNames(), "or")+".")
}

func (l *laying) tests(v keys.Value) {
	entries := v.Entries(l.report)
	if len(entries) == 0 {
		return
	}
	// The house's own tests stand first, for the margin of a sheet.
	own := make([]*Test, 0, len(entries)+len(l.h.Tests))
	for _, e := range entries {
		f := e.Value.Fields("a test", []string{"method", "shows"}, l.report)
		t := &Test{Name: e.Key, Method: l.text(f.Get("method")), Shows: l.text(f.Get("shows")), House: true, Source: "the house"}
		if t.Method == "" && f.Get("method").Kind() == keys.Missing && e.Value.Kind() == keys.Map {
			l.say(StockMissing, e.KeySpan, fmt.Sprintf("The test %s does not say how it is made.", e.Key), "Write method: and how it is made, beginning with Dry.")
		}
		own = append(own, t)
	}
	for _, t := range l.h.Tests {
		if !slices.ContainsFunc(own, func(o *Test) bool { return norm(o.Name) == norm(t.Name) }) {
			own = append(own, t)
		}
	}
	l.h.Tests = own
}

func (l *laying) tiles(v keys.Value) {
	for _, e := range v.Entries(l.report) {
		f := e.Value.Fields("a tile", []string{"finish", "lamp"}, l.report)
		tile := Tile{Code: e.Key, Lamp: l.text(f.Get("lamp"))}
		switch finish := f.Get("finish"); finish.Kind() {
		case keys.Missing:
			if e.Value.Kind() == keys.Map {
				l.say(StockMissing, e.KeySpan, fmt.Sprintf("The tile %s does not say its finish.", e.Key), "Write finish: and one of "+listed(l.h.look.finishes.names, "or")+".")
			}
		default:
			text := l.text(finish)
			if known := l.h.FindFinish(text); known != nil {
				tile.Finish = known.Name
			} else if text != "" {
				var names []string
				for _, f := range l.h.Finishes {
					names = append(names, f.Name)
				}
				l.say(UnknownFinish, finish.Span(), fmt.Sprintf("%s is no finish that is known.", quote(text)),
					nearest(text, l.h.look.finishes.names, "Write "+listed(names, "or")+"."))
				l.slip(finish.Span(), text, l.h.look.finishes.names)
			}
		}
		l.h.Tiles = append(l.h.Tiles, tile)
	}
}
