package diag

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"coldwright/internal/source"
)

func TestSortReadsWhatHurtsPeopleFirst(t *testing.T) {
	a, b := source.New("a.md", []byte("0123456789")), source.New("b.md", []byte("0123456789"))
	want := List{
		{Rule: "refused", Severity: Refusal, Concern: Card, Span: b.Span(9, 10)},
		{Rule: "people", Severity: Warning, Concern: People, Span: b.Span(1, 2)},
		{Rule: "piece", Severity: Error, Concern: Piece, Span: a.Span(5, 6)},
		{Rule: "test-early", Severity: Note, Concern: Test, Span: a.Span(1, 2)},
		{Rule: "test-late", Severity: Error, Concern: Test, Span: a.Span(3, 4)},
		{Rule: "test-other-file", Severity: Error, Concern: Test, Span: b.Span(0, 1)},
		{Rule: "grade", Severity: Error, Concern: Grade, Span: a.Span(0, 1)},
		{Rule: "card", Severity: Error, Concern: Card, Span: a.Span(0, 1)},
	}
	for seed := range uint64(50) {
		got := append(List{}, want...)
		r := rand.New(rand.NewPCG(seed, 1))
		r.Shuffle(len(got), func(i, j int) { got[i], got[j] = got[j], got[i] })
		got.Sort()
		assert.Equal(t, want, got)
	}
}

func TestWorstAndCount(t *testing.T) {
	var l List
	assert.Equal(t, Severity(0), l.Worst())
	l.Add(Diagnostic{Severity: Note}, Diagnostic{Severity: Error}, Diagnostic{Severity: Error})
	assert.Equal(t, Error, l.Worst())
	assert.Equal(t, 2, l.Count(Error))
	assert.Equal(t, 0, l.Count(Refusal))
	assert.Equal(t, "refusal", Refusal.String())
}

func TestJoinedSaysOneThingOnce(t *testing.T) {
	a, b := source.New("a.md", []byte("0123456789")), source.New("b.md", []byte("0123456789"))
	bench := func(f *source.File, at, step int) Diagnostic {
		d := Diagnostic{Rule: "unknown-bench", Severity: Error, Span: f.Span(at, at+1), Message: "The house has no bench “E”.", Step: step}
		d.Mend = Mend{Does: "Writes F.", Edits: []Edit{{d.Span, "F"}}}
		return d
	}
	other := Diagnostic{Rule: "unknown-bench", Severity: Error, Span: a.Span(4, 5), Message: "The house has no bench “F”."}
	nowhere := Diagnostic{Rule: "no-steps", Severity: Error, Message: "There is nothing to do."}
	in := List{bench(a, 1, 1), other, bench(b, 1, 1), bench(a, 6, 3), nowhere, bench(a, 8, 5), nowhere}
	want := bench(a, 1, 1)
	want.Also = []Site{{Span: a.Span(6, 7), Step: 3}, {Span: a.Span(8, 9), Step: 5}}
	want.Mend.Edits = []Edit{{a.Span(1, 2), "F"}, {a.Span(6, 7), "F"}, {a.Span(8, 9), "F"}}
	assert.Equal(t, List{want, other, bench(b, 1, 1), nowhere, nowhere}, in.Joined())
	assert.Nil(t, in[0].Also, "the list it is made from stays as it was")
	milder := bench(a, 6, 3)
	milder.Severity = Note
	assert.Len(t, List{bench(a, 1, 1), milder}.Joined(), 2, "what stops a print is not hidden in what does not")
}

func TestOnceTellsAPlaceTheSameOnce(t *testing.T) {
	a := source.New("a.md", []byte("0123456789"))
	at := func(n int, message string) Diagnostic {
		return Diagnostic{Rule: "unreadable-amount", Severity: Error, Span: a.Span(n, n+1), Message: message}
	}
	in := List{at(1, "No number."), at(1, "No unit."), at(2, "No number."), at(1, "No number.")}
	assert.Equal(t, List{at(1, "No number."), at(1, "No unit."), at(2, "No number.")}, in.Once())
}
