// Package keys reads texts of keys and values (the front matter of a recipe,
// the shop file, a design) into values that know where they stand. It is the
// only importer of the YAML library; what it says of a mistake it says in
// words of the bench.
package keys

import (
	"fmt"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/source"
)

// Kind is what a Value is.
type Kind int

const (
	// Missing is a value that is not there at all.
	Missing Kind = iota
	// Empty is a key with nothing behind it.
	Empty
	// Scalar is one text.
	Scalar
	// List is several values.
	List
	// Map is keys with values.
	Map
	// Unread is a value that is there but could not be read. It has been
	// reported: who meets it says nothing more of it, and does not call it
	// absent.
	Unread
)

// Value is one value of a text. The zero Value is Missing.
type Value struct {
	file *source.File
	node *node
}

// node is a value in place. Offsets are those of the file.
type node struct {
	kind       Kind
	exact      bool
	quoted     bool
	start, end int
	text       string
	// key is the key it stands under, of a member of a list that of the list.
	key              string
	keyStart, keyEnd int
	kids             []node
}

// Entry is one key and its value.
type Entry struct {
	Key     string
	KeySpan source.Span
	Value   Value
}

// Kind says what v is.
func (v Value) Kind() Kind {
	if v.node == nil {
		return Missing
	}
	return v.node.kind
}

// Span is where v stands; of a quoted text the part between the quotes, so
// that byte n of Text is byte n of the Span wherever nothing is escaped.
func (v Value) Span() source.Span {
	if v.node == nil {
		return source.Span{}
	}
	return v.file.Span(v.node.start, v.node.end)
}

// Part is where the bytes start to end of Text stand. Where the text is not
// written byte for byte (something is escaped or the sentence runs over
// several lines) it is the whole of v.
func (v Value) Part(start, end int) source.Span {
	if v.node == nil {
		return source.Span{}
	}
	if !v.node.exact || start < 0 || end < start || end > len(v.node.text) {
		return v.Span()
	}
	return v.file.Span(v.node.start+start, v.node.start+end)
}

// Key is the key v stands under, and where. A member of a list has the key of
// the list.
func (v Value) Key() (string, source.Span) {
	if v.node == nil || v.node.keyEnd == 0 {
		return "", source.Span{}
	}
	return v.node.key, v.file.Span(v.node.keyStart, v.node.keyEnd)
}

// Text is the text of a Scalar, as written, without quotes. Numbers and dates
// stay as they were written.
func (v Value) Text() string {
	if v.node == nil {
		return ""
	}
	return v.node.text
}

// Quoted says whether the text stands in quotes.
func (v Value) Quoted() bool { return v.node != nil && v.node.quoted }

// Comment is what follows a Scalar on its line from a # on, without the #,
// and where it stands with the #; empty where nothing does.
func (v Value) Comment() (string, source.Span) {
	if v.node == nil || v.node.quoted || v.node.kind > Scalar {
		return "", source.Span{}
	}
	text := v.file.Text
	at := v.node.end
	for at < len(text) && (text[at] == ' ' || text[at] == '\t') {
		at++
	}
	if at >= len(text) || text[at] != '#' || (at == v.node.end && v.node.kind == Scalar) {
		return "", source.Span{}
	}
	end := at
	for end < len(text) && text[end] != '\n' && text[end] != '\r' {
		end++
	}
	return string(text[at+1 : end]), v.file.Span(at, end)
}

// List are the values of a List; a Scalar or Map gives a list of itself.
func (v Value) List() []Value {
	switch v.Kind() {
	case Missing, Empty, Unread:
		return nil
	case List:
		all := make([]Value, len(v.node.kids))
		for i := range v.node.kids {
			all[i] = Value{v.file, &v.node.kids[i]}
		}
		return all
	}
	return []Value{v}
}

// Members are the values of a List, as List gives them. Several values without
// brackets around them, parted by commas, are reported and read as the list
// that was meant where one of them at least is known; without known any are.
func (v Value) Members(known func(string) bool, report *diag.List) []Value {
	if v.Kind() != Scalar || v.node.quoted || !strings.ContainsAny(v.node.text, ",;") {
		return v.List()
	}
	n := v.node
	var all []Value
	var words []string
	sure := known == nil
	for from := 0; from <= len(n.text); {
		end := len(n.text)
		if i := strings.IndexAny(n.text[from:], ",;"); i >= 0 {
			end = from + i
		}
		start, stop := from, end
		for start < stop && n.text[start] == ' ' {
			start++
		}
		for stop > start && n.text[stop-1] == ' ' {
			stop--
		}
		from = end + 1
		if start == stop {
			continue
		}
		one := *n
		one.text = n.text[start:stop]
		if n.exact {
			one.start, one.end = n.start+start, n.start+stop
		}
		all, words = append(all, Value{v.file, &one}), append(words, one.text)
		sure = sure || known(one.text)
	}
	if !sure || len(all) == 0 {
		return v.List()
	}
	report.Add(diag.Diagnostic{
		Rule: NoBrackets, Severity: diag.Error, Concern: diag.Card, Span: v.Span(),
		Message: fmt.Sprintf("Several values stand behind %s without brackets around them.", quote(clip(n.key))),
		Help:    "Write " + keyed(n.key, "["+strings.Join(words, ", ")+"]"),
		Mend:    v.bracketed(words),
	})
	return all
}

// Entries are the entries of a Map in order. A key written twice has been
// reported when the text was read, with the place of the first, and is left
// out. What is no map is reported; an Empty, Missing or Unread value has no
// entries and nothing is said of it.
func (v Value) Entries(report *diag.List) []Entry {
	if !v.isMap("", report) {
		return nil
	}
	all := make([]Entry, len(v.node.kids))
	for i := range v.node.kids {
		k := &v.node.kids[i]
		all[i] = Entry{Key: k.key, KeySpan: v.file.Span(k.keyStart, k.keyEnd), Value: Value{v.file, k}}
	}
	return all
}

// isMap says whether v has entries and reports what should and has not.
func (v Value) isMap(where string, report *diag.List) bool {
	switch v.Kind() {
	case Map:
		return true
	case Scalar, List:
		what := where
		if what == "" {
			what = "this"
			if key, _ := v.Key(); key != "" {
				what = quote(key)
			}
		}
		report.Add(diag.Diagnostic{
			Rule: NotKeys, Severity: diag.Error, Concern: diag.Card, Span: v.Span(),
			Message: fmt.Sprintf("%s takes keys with their values, not %s.", capital(what), shown(v)),
			Help:    "Write each on a line of its own with two spaces before it, or all of them in braces: {key: value, key: value}.",
		})
	}
	return false
}

// shown is v in a few words for people.
func shown(v Value) string {
	if v.Kind() == List {
		return "a list"
	}
	return quote(clip(v.Text()))
}

// Fields are the entries of a Map that takes known keys only: an unknown key
// is reported with the nearest known one. where names the map for people ("a
// surface", "the front matter").
func (v Value) Fields(where string, known []string, report *diag.List) Fields {
	if !v.isMap(where, report) {
		return Fields{}
	}
	f := Fields{value: v, known: known}
	unknown := 0
	for i := range v.node.kids {
		k := &v.node.kids[i]
		if contains(known, k.key) {
			continue
		}
		unknown++
		if unknown > maxUnknown {
			continue
		}
		at := v.file.Span(k.keyStart, k.keyEnd)
		d := diag.Diagnostic{
			Rule: UnknownKey, Severity: diag.Error, Concern: diag.Card, Span: at,
			Message: fmt.Sprintf("%s is no key of %s.", quote(clip(k.key)), where),
		}
		if near := Nearest(k.key, known); near != "" {
			d.Help = fmt.Sprintf("Write %s.", near)
			if f.Get(near).Kind() == Missing {
				f.meant = append(f.meant, meant{near, k})
				d.Mend = diag.Word(at, k.key, Clear(k.key, known))
			}
		} else {
			d.Help = fmt.Sprintf("The keys of %s are %s.", where, list(known))
		}
		report.Add(d)
	}
	if unknown > maxUnknown {
		report.Add(diag.Diagnostic{
			Rule: UnknownKey, Severity: diag.Error, Concern: diag.Card, Span: v.Span(),
			Message: fmt.Sprintf("%d more keys of %s are unknown.", unknown-maxUnknown, where),
		})
	}
	return f
}

// maxUnknown is how many unknown keys of one map are named one by one.
const maxUnknown = 50

// Fields are values by key. A key that is no known one is read as the one it
// most likely means, unless that is written too: the slip has been reported,
// and nothing that hangs on the value is to be called missing as well.
type Fields struct {
	value Value
	known []string
	meant []meant
}

// meant is a value under a mistyped key, and the key it is read under.
type meant struct {
	key string
	at  *node
}

// Get is the value under key; of Kind Missing where there is none.
func (f Fields) Get(key string) Value {
	if f.value.node == nil {
		return Value{}
	}
	kids := f.value.node.kids
	for i := range kids {
		if kids[i].key == key {
			return Value{f.value.file, &kids[i]}
		}
	}
	for _, m := range f.meant {
		if m.key == key {
			return Value{f.value.file, m.at}
		}
	}
	return Value{}
}

// Span is where the whole map stands.
func (f Fields) Span() source.Span { return f.value.Span() }

// Entries are the known keys that are written, in the order they are written.
func (f Fields) Entries() []Entry {
	if f.value.node == nil {
		return nil
	}
	var all []Entry
	for i := range f.value.node.kids {
		k := &f.value.node.kids[i]
		key := k.key
		for _, m := range f.meant {
			if m.at == k {
				key = m.key
			}
		}
		if contains(f.known, key) {
			all = append(all, Entry{Key: key, KeySpan: f.value.file.Span(k.keyStart, k.keyEnd), Value: Value{f.value.file, k}})
		}
	}
	return all
}

func contains(all []string, one string) bool {
	for _, s := range all {
		if s == one {
			return true
		}
	}
	return false
}
