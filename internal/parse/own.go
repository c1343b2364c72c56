package parse

import (
	"cmp"
	"slices"
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/trade"
	"coldwright/internal/words"
)

// What stands before a word of a closed list in the tables of words, because the
// same English word may be another elsewhere.
const (
	FormIs    = "form: "
	MouldIs   = "mould: "
	CoatingIs = "coating: "
	ArrivesAs = "arrives: "
)

// closed are the closed lists whose words have others in a house's language.
var closed = map[string][]string{FormIs: pieceForms, MouldIs: mouldStates, CoatingIs: coatingKinds,
	"": slices.Concat(changeKinds, pressureWords, waterSources)}

// Words are the words of the closed lists of the front matter, as the tables of
// words have them, in order.
func Words() []string {
	var all []string
	for kind, list := range closed {
		for _, w := range list {
			all = append(all, kind+w)
		}
	}
	for _, w := range arrivals {
		all = append(all, ArrivesAs+w)
	}
	slices.Sort(all)
	return all
}

// own are the words of the format in the language of the house, beside the
// English ones, which always count. All are empty in an English house.
type own struct {
	// facts are places in factTable, labels kinds of line, by folded name; names
	// and labelled words as they are written, for nearest words.
	facts  map[string]int
	labels map[string]int
	names  []string
	// signals are by folded word.
	signals     map[string]trade.Signal
	signalWords []string
	stops       map[string]bool
	// values are the English words of the closed lists of the front matter by
	// folded word, arrivals those of how a surface arrives, the longest first.
	values   map[string]string
	arrivals []struct{ word, how string }
	// called are the own words of the closed lists by their English.
	called map[string]string
	// keys are the English keys of the front matter, keyWords the own ones.
	keys     map[string]string
	keyWords []string
}

func ownWords(l *words.Language) own {
	o := own{signalWords: signalWords, names: factNames}
	if l.English() {
		return o
	}
	o.facts, o.labels, o.signals = map[string]int{}, map[string]int{}, map[string]trade.Signal{}
	o.stops, o.keys = map[string]bool{}, map[string]string{}
	o.names, o.signalWords = nil, nil
	for i, f := range factTable {
		for _, name := range l.Facts()[f.name] {
			o.facts[fold(name)] = i
			o.names = append(o.names, name)
		}
	}
	o.names = append(o.names, factNames...)
	for english, kind := range belongings {
		for _, name := range l.Labels()[capital(english)] {
			o.labels[fold(name)] = kind
		}
	}
	for _, name := range l.Labels()["Stop"] {
		o.stops[fold(name)] = true
	}
	for _, english := range []string{"danger", "warning", "caution", "notice"} {
		for _, name := range l.Callouts()[english] {
			o.signals[fold(name)] = signals[english]
			o.signalWords = append(o.signalWords, name)
		}
	}
	o.signalWords = append(o.signalWords, signalWords...)
	o.values, o.called = map[string]string{}, map[string]string{}
	for kind, list := range closed {
		for _, english := range list {
			for i, name := range l.Names(kind + english) {
				if o.values[fold(name)] = english; i == 0 {
					o.called[english] = name
				}
			}
		}
	}
	for _, english := range arrivals {
		for _, name := range l.Names(ArrivesAs + english) {
			o.arrivals = append(o.arrivals, struct{ word, how string }{fold(name), english})
		}
	}
	slices.SortFunc(o.arrivals, func(a, b struct{ word, how string }) int {
		return cmp.Or(len(b.word)-len(a.word), strings.Compare(a.word, b.word))
	})
	for english, names := range l.Fields() {
		for _, name := range names {
			o.keys[name] = english
			o.keyWords = append(o.keyWords, name)
		}
	}
	return o
}

// spoken is a list of names as a language has them; what its table has not got
// stays as it is.
func spoken(l *words.Language, kind string, list []string) []string {
	out := slices.Clone(list)
	for i, w := range out {
		if names := l.Names(kind + w); len(names) > 0 {
			out[i] = names[0]
		}
	}
	return out
}

// inOwn is a closed list as the house would write it, for findings.
func (p *Parser) inOwn(list []string) []string {
	if len(p.own.called) == 0 {
		return list
	}
	out := slices.Clone(list)
	for i, w := range out {
		if own := p.own.called[w]; own != "" {
			out[i] = own
		}
	}
	return out
}

// label is the kind of line a folded name heads, 0 for none.
func (p *Parser) label(folded string) int {
	if kind := belongings[folded]; kind != 0 {
		return kind
	}
	return p.own.labels[folded]
}

// fields are the entries of v by their English keys, which may be written in
// the language of the house too.
func (r *reading) fields(v keys.Value, where string, known []string, report *diag.List) keys.Fields {
	if len(r.own.keys) > 0 {
		v = v.Renamed(known, r.own.keys, r.own.keyWords, where, report)
	}
	return v.Fields(where, known, report)
}
