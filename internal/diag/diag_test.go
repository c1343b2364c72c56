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
