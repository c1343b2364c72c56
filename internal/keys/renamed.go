package keys

import (
	"fmt"
	"slices"

	"coldwright/internal/diag"
)

// Renamed is v with the keys of another language turned into the known ones:
// own gives the known key of a word, words are the own words for nearest words.
// A key that is nearer to one of those than to a known one is reported, and read as
// the one it most likely means. Texts and places stay those of the file.
func (v Value) Renamed(known []string, own map[string]string, words []string, where string, report *diag.List) Value {
	if v.Kind() != Map {
		return v
	}
	n := *v.node
	n.kids = slices.Clone(n.kids)
	there := map[string]bool{}
	for i := range n.kids {
		there[n.kids[i].key] = true
	}
	take := func(i int, key string) bool {
		if key == "" || there[key] || !contains(known, key) {
			return false
		}
		n.kids[i].key = key
		there[key] = true
		return true
	}
	for i := range n.kids {
		k := &n.kids[i]
		written := k.key
		if contains(known, written) || take(i, own[written]) {
			continue
		}
		near := Nearest(written, words)
		if near == "" || Nearest(written, append([]string{near}, known...)) != near || !take(i, own[near]) {
			continue
		}
		at := v.file.Span(k.keyStart, k.keyEnd)
		report.Add(diag.Diagnostic{
			Rule: UnknownKey, Severity: diag.Error, Concern: diag.Card, Span: at,
			Message: fmt.Sprintf("%s is no key of %s.", quote(clip(written)), where), Help: fmt.Sprintf("Write %s.", near),
			Mend: diag.Word(at, written, Clear(written, words)),
		})
	}
	return Value{v.file, &n}
}
