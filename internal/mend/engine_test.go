package mend_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/mend"
	"coldwright/internal/source"
)

// word finds every place of a word and would write another for it.
func word(rule, bad, good string) func(f *source.File, list *diag.List) {
	return func(f *source.File, list *diag.List) {
		for at := 0; ; {
			i := strings.Index(string(f.Text[at:]), bad)
			if i < 0 {
				return
			}
			at += i
			span := f.Span(at, at+len(bad))
			list.Add(diag.Diagnostic{Rule: rule, Severity: diag.Error, Span: span, Step: strings.Count(string(f.Text[:at]), "\n"), Message: "A slip.", Mend: diag.Word(span, bad, good)})
			at += len(bad)
		}
	}
}

func all(rules ...func(*source.File, *diag.List)) mend.Check {
	return func(f *source.File) diag.List {
		var list diag.List
		for _, r := range rules {
			r(f, &list)
		}
		return list
	}
}

func made(t *testing.T, text string, check mend.Check) mend.Result {
	t.Helper()
	r := mend.File(source.New("a.md", []byte(text)), check)
	again := mend.File(r.Mended, check)
	require.False(t, again.Changed(), "a second run changes %q to %q", r.Mended.Text, again.Mended.Text)
	return r
}

func TestEveryCorrectionIsMade(t *testing.T) {
	r := made(t, "one tow three\nfuor five\n", all(word("a", "tow", "two"), word("b", "fuor", "four")))
	assert.Equal(t, "one two three\nfour five\n", string(r.Mended.Text))
	assert.Equal(t, []mend.Done{{Line: 1, Rule: "a", Does: "Writes “two” for “tow”."}, {Line: 2, Rule: "b", Does: "Writes “four” for “fuor”."}}, r.Done)
	assert.Empty(t, r.Aside)
	assert.Empty(t, r.After)
	assert.Len(t, r.Before, 2)
}

// TestNothingToMend: a sound file stays the very file it was.
func TestNothingToMend(t *testing.T) {
	r := made(t, "one two\n", all(word("a", "tow", "two")))
	assert.False(t, r.Changed())
	assert.Empty(t, r.Difference())
}

// TestCorrectionsThatMeet are made one after the other: the second is asked for
// again where the first has left it.
func TestCorrectionsThatMeet(t *testing.T) {
	put := func(topic string) func(*source.File, *diag.List) {
		return func(f *source.File, list *diag.List) {
			text := string(f.Text)
			if strings.Contains(text, topic) {
				return
			}
			at := strings.IndexByte(text, ']')
			sep := ", "
			if text[at-1] == '[' {
				sep = ""
			}
			list.Add(diag.Diagnostic{Rule: topic, Severity: diag.Error, Span: f.Span(0, 1), Mend: diag.Put(f.Span(at, at), sep+topic, "Names "+topic+".")})
		}
	}
	r := made(t, "[]", all(put("eyes"), put("ears"), put("belt")))
	assert.Equal(t, "[eyes, ears, belt]", string(r.Mended.Text))
	assert.Len(t, r.Done, 3)
}

// TestACorrectionThatDoesHarmIsLeftOut, alone, and the others are made all the
// same.
func TestACorrectionThatDoesHarmIsLeftOut(t *testing.T) {
	harm := func(f *source.File, list *diag.List) {
		if i := strings.Index(string(f.Text), "two"); i >= 0 {
			list.Add(diag.Diagnostic{Rule: "harm", Severity: diag.Warning, Span: f.Span(i, i+3), Message: "Two is too many."})
		}
	}
	r := made(t, "tow fuor\n", all(word("a", "tow", "two"), word("b", "fuor", "four"), harm))
	assert.Equal(t, "tow four\n", string(r.Mended.Text))
	require.Len(t, r.Aside, 1)
	assert.Equal(t, "a", r.Aside[0].Rule)
	assert.Equal(t, "harm", r.Aside[0].Because.Rule)
	assert.False(t, r.Aside[0].Useless)
}

// TestAGraverFindingIsHarm too, though there are no more of them.
func TestAGraverFindingIsHarm(t *testing.T) {
	grave := func(f *source.File, list *diag.List) {
		d := diag.Diagnostic{Rule: "grave", Severity: diag.Note, Span: f.Span(0, 1)}
		if strings.Contains(string(f.Text), "two") {
			d.Severity = diag.Error
		}
		list.Add(d)
	}
	r := made(t, "tow\n", all(word("a", "tow", "two"), grave))
	assert.False(t, r.Changed())
	require.Len(t, r.Aside, 1)
	assert.Equal(t, "grave", r.Aside[0].Because.Rule)
}

// TestOneCorrectionMayAskForTheNext, where that can be made as well.
func TestOneCorrectionMayAskForTheNext(t *testing.T) {
	r := made(t, "a\n", all(word("a", "a\n", "b\n"), func(f *source.File, list *diag.List) {
		if text := string(f.Text); text == "b\n" {
			word("b", "b", "c")(f, list)
		}
	}))
	assert.Equal(t, "c\n", string(r.Mended.Text))
	assert.Equal(t, []string{"a", "b"}, []string{r.Done[0].Rule, r.Done[1].Rule})
}

// TestACorrectionThatCorrectsNothing is never made.
func TestACorrectionThatCorrectsNothing(t *testing.T) {
	r := made(t, "a\n", func(f *source.File) diag.List {
		return diag.List{{Rule: "a", Severity: diag.Error, Span: f.Span(0, 1), Mend: diag.Put(f.Span(0, 0), "x", "Writes x.")}}
	})
	assert.False(t, r.Changed())
	require.Len(t, r.Aside, 1)
	assert.True(t, r.Aside[0].Useless)
}

// TestCorrectionsOfAnotherFile or outside this one are not made here.
func TestCorrectionsOfAnotherFile(t *testing.T) {
	other := source.New("b.md", []byte("a"))
	r := made(t, "a\n", func(f *source.File) diag.List {
		return diag.List{
			{Rule: "a", Severity: diag.Error, Mend: diag.Put(other.Span(0, 0), "x", "Writes x.")},
			{Rule: "b", Severity: diag.Error, Mend: diag.Mend{Does: "x", Edits: []diag.Edit{{Span: f.Span(1, 9)}}}},
		}
	})
	assert.False(t, r.Changed())
	assert.Empty(t, r.Aside)
}

// TestLinesAreThoseOfTheFileAsItWas, whatever earlier rounds have put above.
func TestLinesAreThoseOfTheFileAsItWas(t *testing.T) {
	first := func(f *source.File, list *diag.List) {
		if !strings.HasPrefix(string(f.Text), "head") {
			list.Add(diag.Diagnostic{Rule: "head", Severity: diag.Error, Span: f.Span(0, 1), Mend: diag.Put(f.Span(0, 0), "head\nhead\n", "Writes a head.")})
		} else {
			word("a", "tow", "two")(f, list)
		}
	}
	r := made(t, "one\ntow\n", all(first, func(f *source.File, list *diag.List) {
		if strings.Count(string(f.Text), "tow") > 0 {
			list.Add(diag.Diagnostic{Rule: "a", Severity: diag.Error, Step: 3, Span: f.Span(0, 1)}, diag.Diagnostic{Rule: "a", Severity: diag.Error, Step: 1, Span: f.Span(0, 1)})
		}
	}))
	assert.Equal(t, "head\nhead\none\ntwo\n", string(r.Mended.Text))
	require.Len(t, r.Done, 2)
	assert.Equal(t, mend.Done{Line: 2, Rule: "a", Does: "Writes “two” for “tow”."}, r.Done[1])
}
