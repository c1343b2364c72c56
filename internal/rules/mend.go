package rules

import (
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/keys"
	"coldwright/internal/parse"
	"coldwright/internal/recipe"
	"coldwright/internal/source"
)

type headKey struct{}

// headOf are the keys of the front matter, read again once a correction has to
// be put there; nil where nothing can be.
func headOf(c *check.Context) *keys.Fields {
	return c.Once(headKey{}, func() any {
		if f, ok := parse.HeadOf(c.Recipe); ok {
			return &f
		}
		return (*keys.Fields)(nil)
	}).(*keys.Fields)
}

// behindCautions are the keys that stand below the cautions of a recipe.
var behindCautions = map[string]bool{"changes": true, "accepted": true}

// addTopic is the correction that names a topic among the cautions of the
// recipe, in the form the file has them in; without any it writes the line.
func addTopic(c *check.Context, topic string) diag.Mend {
	f := headOf(c)
	if f == nil {
		return diag.Mend{}
	}
	m := diag.Mend{Does: "Names " + topic + " among the cautions."}
	list := f.Get("cautions")
	switch list.Kind() {
	case keys.Missing:
		m.Edits = cautionsLine(c.Recipe, f, topic)
	case keys.Empty:
		_, key := list.Key()
		if at := strings.IndexByte(c.Recipe.Head.Text()[key.End-c.Recipe.Head.Start:], ':'); at >= 0 {
			at += key.End + 1
			m.Edits = []diag.Edit{{Span: c.Recipe.File.Span(at, at), Text: " [" + keys.AsValue(topic) + "]"}}
		}
	default:
		m.Edits, _ = list.AddTo(keys.AsValue(topic))
	}
	return m
}

// cautionsLine is the line that names the first caution, put below the keys
// that stand before it in the format's order.
func cautionsLine(r *recipe.Recipe, f *keys.Fields, topic string) []diag.Edit {
	var above *keys.Entry
	all := f.Entries()
	for i := range all {
		if !behindCautions[all[i].Key] {
			above = &all[i]
		}
	}
	if above == nil {
		return nil
	}
	indent, ok := before(above.KeySpan)
	if !ok {
		return nil
	}
	at := max(above.KeySpan.End, above.Value.Span().End)
	line := keys.NextLine(r.File, at, indent+"cautions: ["+keys.AsValue(topic)+"]")
	if line.Span.Start > r.Head.End {
		return nil
	}
	return []diag.Edit{line}
}

// before are the spaces before a place on its line; false where other words
// stand there.
func before(at source.Span) (string, bool) {
	indent := leading(at)
	return indent, strings.Trim(indent, " ") == ""
}

// leading is what stands before a place on its line.
func leading(at source.Span) string {
	text := at.File.Text
	begin := at.Start
	for begin > 0 && text[begin-1] != '\n' {
		begin--
	}
	return strings.TrimPrefix(string(text[begin:at.Start]), "\ufeff")
}

// trailing is what stands behind a place on its line.
func trailing(at source.Span) string {
	text := at.File.Text
	end := at.End
	for end < len(text) && text[end] != '\n' && text[end] != '\r' {
		end++
	}
	return string(text[at.End:end])
}

// belowCleanDown are the facts that stand below a Clean-down in the format's
// order.
var belowCleanDown = map[string]bool{"Return to": true, "Amount": true, "Mask": true, "Unmask": true, "Only if": true}

// addFact is the correction that puts one more fact among those of a step,
// written as its neighbour is: with the same bullet, the same marks, the same
// spaces. It is none where a fact of the step could not be read by its name:
// that may be the one.
func addFact(step *recipe.Step, name, value string, below map[string]bool) diag.Mend {
	m := diag.Mend{Does: "Writes a " + name + " into step " + itoa(step.Number) + "."}
	above, next := -1, -1
	for i := range step.Facts {
		switch f := &step.Facts[i]; {
		case f.Name == "":
			return diag.Mend{}
		case f.Value == "" || strings.ContainsAny(f.Span.Text(), "\n\r"):
		case below[f.Name] && next < 0:
			next = i
		case !below[f.Name]:
			above = i
		}
	}
	var f *recipe.Fact
	switch {
	case above >= 0:
		f = &step.Facts[above]
	case next >= 0:
		f = &step.Facts[next]
	default:
		return diag.Mend{}
	}
	file := f.Span.File
	line := leading(f.NameSpan) + name + string(file.Text[f.NameSpan.End:f.Span.Start]) + value + strings.TrimRight(trailing(f.Span), " \t")
	at := f.Span.End
	if above < 0 || nestedBelow(f.Span) {
		// Above its neighbour: what stands nested below a fact belongs to it.
		begin := f.NameSpan.Start - len(leading(f.NameSpan))
		m.Edits = []diag.Edit{{Span: file.Span(begin, begin), Text: line + keys.LineEnd(file)}}
		return m
	}
	m.Edits = []diag.Edit{keys.NextLine(file, at, line)}
	return m
}

// nestedBelow says whether the line below a fact stands further in than its
// bullet.
func nestedBelow(at source.Span) bool {
	text := string(at.File.Text[at.End:])
	_, text, _ = strings.Cut(text, "\n")
	return strings.HasPrefix(text, " ") || strings.HasPrefix(text, "\t")
}

// bumpRevision is the correction that brings the revision at the top up to the
// newest of the change record, with its date, where the record holds every
// revision between the two and the day does not run backwards. It is what is
// left to do when a change has been written down.
func bumpRevision(r *recipe.Recipe) diag.Mend {
	newest := r.Revision.Value
	var last *recipe.Change
	for grown := true; grown; {
		grown = false
		for i := range r.Changes {
			if c := &r.Changes[i]; c.Revision.OK && c.Revision.Value == newest+1 {
				newest, last, grown = newest+1, c, true
			}
		}
	}
	for i := range r.Changes {
		if c := &r.Changes[i]; !c.Revision.OK || c.Revision.Value > newest {
			return diag.Mend{}
		}
	}
	if last == nil || !last.Date.OK || !r.Date.OK || last.Date.Value.Before(r.Date.Value) {
		return diag.Mend{}
	}
	m := diag.Mend{Does: "Writes revision " + itoa(newest) + " at the top, as in the change record."}
	m.Edits = []diag.Edit{{Span: r.Revision.Span, Text: itoa(newest)}}
	if r.Date.Value.Before(last.Date.Value) {
		m.Does = "Writes revision " + itoa(newest) + " and its date at the top, as in the change record."
		m.Edits = append(m.Edits, diag.Edit{Span: r.Date.Span, Text: day(last.Date.Value)})
	}
	return m
}
