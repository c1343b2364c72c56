package parse

import (
	"strings"

	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

// mended gives the finding said last its correction.
func (r *reading) mended(m diag.Mend) { r.list.Mended(m) }

// slip gives the finding said last the word of a closed list that was meant,
// where there is only one it can be.
func (r *reading) slip(at source.Span, words string, known []string) {
	r.list.Mended(diag.Word(at, words, keys.Clear(words, known)))
}

// putting is the correction that puts text at a byte of the file.
func (r *reading) putting(at int, text, does string) diag.Mend {
	return diag.Put(r.file.Span(at, at), text, does)
}

// instead is the correction that puts text in the place of a stretch.
func instead(at source.Span, text, does string) diag.Mend {
	return diag.Mend{Does: does, Edits: []diag.Edit{{Span: at, Text: text}}}
}

// clearStep is the title of the step that words can only mean, in full or its
// beginning; "" where there is none such.
func clearStep(words string, titles []string) string {
	if near := keys.Clear(words, titles); near != "" {
		return near
	}
	count := len(strings.Fields(words))
	beginnings := make([]string, len(titles))
	for i, t := range titles {
		w := strings.Fields(t)
		beginnings[i] = strings.Join(w[:min(count, len(w))], " ")
	}
	near := keys.Clear(words, beginnings)
	if near == "" {
		return ""
	}
	meant := ""
	for i, b := range beginnings {
		if b == near {
			if meant != "" {
				return ""
			}
			meant = titles[i]
		}
	}
	return meant
}

// HeadOf reads the keys of a recipe's front matter again, for those who put
// something there. It gives false where the front matter does not stand between
// its two lines.
func HeadOf(rec *recipe.Recipe) (keys.Fields, bool) {
	head := rec.Head
	text := head.Text()
	first := strings.IndexByte(text, '\n') + 1
	if first == 0 || strings.TrimRight(text[:first], " \t\r\n") != mark || !strings.HasSuffix(text, "\n"+mark) {
		return keys.Fields{}, false
	}
	var none diag.List
	top := keys.Read(head.File, head.Start+first, head.End-len(mark), &none)
	if top.Kind() != keys.Map {
		return keys.Fields{}, false
	}
	return top.Fields("the front matter", headKeys, &none), true
}
