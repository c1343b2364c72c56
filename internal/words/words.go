// Package words holds the fixed words of the product in every language there
// is a table for: labels, guidance, cautions, names of the trade, and how the
// language writes numbers and days. The English words are the keys, so that
// what stands in the code is what an English page says, and a word whose
// English was changed is not printed by an older translation.
//
// What an author wrote is never looked up here.
package words

import (
	"embed"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/source"
)

//go:embed tables/*/*.yaml
var tables embed.FS

// Default is the language the product is written in.
const Default = "en"

// Language is one table of words.
type Language struct {
	// Tag is its BCP 47 tag without a region: "de".
	Tag string
	// Name is what it is called in English.
	Name string
	// Unread says in the language that no native glassworker has read the table;
	// empty where one has.
	Unread string
	// Source says where its habits of number and date come from.
	Source string
	// Complete are the parts of the table that have a word for every English one.
	Complete []string

	comma  bool
	date   string
	months []string
	// phrases are by their English; also further words that are read for a name.
	phrases map[string]string
	also    map[string][]string
	// facts and fields are what a recipe's facts and keys may be called, by
	// their English.
	facts, fields, callouts, labels map[string][]string
}

// tags are the languages there is a table for.
var tags = []string{"de", Default, "it"}

// Tags are the tags of the languages there is a table for, in order.
func Tags() []string { return slices.Clone(tags) }

// Main is the tag of a language without its region: "de" of "de-AT".
func Main(tag string) string {
	main, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(tag)), "-")
	return main
}

var loaded = func() map[string]func() *Language {
	m := map[string]func() *Language{}
	for _, tag := range tags {
		m[tag] = sync.OnceValue(func() *Language { return load(tag) })
	}
	return m
}()

// Find is the language of a tag, whatever its region; nil where there is no
// table for it. An empty tag is English.
func Find(tag string) *Language {
	if strings.TrimSpace(tag) == "" {
		tag = Default
	}
	get := loaded[Main(tag)]
	if get == nil {
		return nil
	}
	return get()
}

// English says whether the language is the one the product is written in.
func (l *Language) English() bool { return l == nil || l.Tag == Default }

// Word is the phrase in the language; false where its table has not got it.
func (l *Language) Word(english string) (string, bool) {
	if l.English() {
		return english, true
	}
	english = strings.ReplaceAll(english, "\u00a0", " ")
	w, ok := l.phrases[english]
	return w, ok
}

// Phrases are the English phrases the table has words for, in order.
func (l *Language) Phrases() []string { return slices.Sorted(maps.Keys(l.own().phrases)) }

// Names are all words that are read for a name of the trade, the one that is
// printed first; none where the table has not got it.
func (l *Language) Names(english string) []string {
	if l.English() {
		return nil
	}
	var names []string
	if w, ok := l.phrases[english]; ok {
		names = append(names, w)
	}
	return append(names, l.also[english]...)
}

// Facts, Fields, Callouts and Labels are what the facts of a step, the keys of
// the front matter, the words that head a callout and those that head a line
// below a checkpoint or an instruction may be called besides, by their English
// names. They are only read; English has none.
func (l *Language) Facts() map[string][]string { return l.own().facts }

// Fields are those of the front matter.
func (l *Language) Fields() map[string][]string { return l.own().fields }

// Callouts are those of a callout.
func (l *Language) Callouts() map[string][]string { return l.own().callouts }

// Labels are those of a line.
func (l *Language) Labels() map[string][]string { return l.own().labels }

func (l *Language) own() *Language {
	if l == nil {
		return &Language{}
	}
	return l
}

// Number is a number as the language writes it; given is one with a decimal
// point, any words about it stay.
func (l *Language) Number(given string) string {
	if l == nil || !l.comma || strings.IndexByte(given, '.') < 0 {
		return given
	}
	out := []byte(given)
	for i := 1; i+1 < len(out); i++ {
		if out[i] == '.' && digit(out[i-1]) && digit(out[i+1]) {
			out[i] = ','
		}
	}
	return string(out)
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

// Date is a day, given as 2026-10-05, as the language writes it: its medium
// form in CLDR. English keeps ISO 8601, which cannot be misread either side of
// an ocean. What is no such day comes back as it is.
func (l *Language) Date(iso string) string {
	if l == nil || l.date == "" || len(iso) != 10 || iso[4] != '-' || iso[7] != '-' {
		return iso
	}
	y, e1 := strconv.Atoi(iso[:4])
	m, e2 := strconv.Atoi(iso[5:7])
	d, e3 := strconv.Atoi(iso[8:])
	if e1 != nil || e2 != nil || e3 != nil || m < 1 || m > 12 || d < 1 || d > 31 {
		return iso
	}
	month := ""
	if len(l.months) == 12 {
		month = l.months[m-1]
	}
	return strings.NewReplacer("yyyy", fmt.Sprintf("%04d", y), "MMM", month, "MM", fmt.Sprintf("%02d", m),
		"dd", fmt.Sprintf("%02d", d), "d", strconv.Itoa(d)).Replace(l.date)
}

// load reads the tables of a language, which stand in a folder of their own. They
// are embedded: what cannot be read is a fault of the program, which a test finds.
func load(tag string) *Language {
	names, err := fs.Glob(tables, "tables/"+tag+"/*.yaml")
	if err != nil || len(names) == 0 {
		panic("words: no table for " + tag)
	}
	l := &Language{Tag: tag, phrases: map[string]string{}}
	for _, name := range names {
		text, err := tables.ReadFile(name)
		if err != nil {
			panic(err)
		}
		if found := l.read(&source.File{Name: name, Text: text}); len(found) > 0 {
			panic("words: " + name + ": " + found[0].Message + " " + found[0].Span.Text())
		}
	}
	return l
}

// head are the keys of what is said of a language as a whole, lists those of
// tables with several words for an English one.
var (
	head  = []string{"name", "unread", "source", "complete", "decimal", "date", "months"}
	lists = []string{"also", "facts", "keys", "callouts", "labels"}
)

// phraseTables are the parts of a language with one word for each English one.
var phraseTables = []string{"pages", "cautions", "learning", "glossary", "trade"}

// read adds what a file says to the language.
func (l *Language) read(file *source.File) diag.List {
	var found diag.List
	top := keys.Read(file, 0, len(file.Text), &found)
	f := top.Fields("a language", slices.Concat(head, phraseTables, lists), &found)
	if f.Get("name").Kind() != keys.Missing {
		l.head(f)
	}
	for _, part := range phraseTables {
		v := f.Get(part)
		if v.Kind() == keys.List {
			for _, e := range v.List() {
				l.phrases[e.Text()] = e.Text()
			}
			continue
		}
		for _, e := range v.Entries(&found) {
			if _, twice := l.phrases[e.Key]; twice {
				found.Add(diag.Diagnostic{Severity: diag.Error, Span: e.Value.Span(), Message: "twice: " + e.Key})
			}
			l.phrases[e.Key] = e.Value.Text()
		}
	}
	for i, to := range []*map[string][]string{&l.also, &l.facts, &l.fields, &l.callouts, &l.labels} {
		for _, e := range f.Get(lists[i]).Entries(&found) {
			if *to == nil {
				*to = map[string][]string{}
			}
			for _, w := range e.Value.List() {
				(*to)[e.Key] = append((*to)[e.Key], w.Text())
			}
		}
	}
	return found
}

func (l *Language) head(f keys.Fields) {
	l.Name, l.Unread, l.Source = f.Get("name").Text(), f.Get("unread").Text(), f.Get("source").Text()
	l.comma, l.date = f.Get("decimal").Text() == ",", f.Get("date").Text()
	for _, m := range f.Get("months").List() {
		l.months = append(l.months, m.Text())
	}
	for _, part := range f.Get("complete").List() {
		l.Complete = append(l.Complete, part.Text())
	}
}
