package source

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPositionCountsCharacters(t *testing.T) {
	f := New("a.md", []byte("½ µm\r\nzwei\n\nend"))
	tests := []struct{ offset, line, column int }{
		{0, 1, 1}, {2, 1, 2}, {3, 1, 3}, {5, 1, 4}, {8, 2, 1}, {12, 2, 5}, {13, 3, 1}, {14, 4, 1}, {17, 4, 4},
		{-5, 1, 1}, {999, 4, 4},
	}
	for _, tt := range tests {
		line, column := f.Position(tt.offset)
		assert.Equal(t, [2]int{tt.line, tt.column}, [2]int{line, column}, "offset %d", tt.offset)
	}
}

func TestOffsetIsTheWayBack(t *testing.T) {
	f := New("a.md", []byte("½ µm\r\nzwei\n\nend\n"))
	for offset, b := range f.Text {
		if b == '\r' || b == '\n' || b&0xC0 == 0x80 {
			continue
		}
		assert.Equal(t, offset, f.Offset(f.Position(offset)))
	}
	assert.Equal(t, 6, f.Offset(1, 99), "past the end of a line")
	assert.Equal(t, len(f.Text), f.Offset(99, 1))
	assert.Equal(t, 0, f.Offset(0, 0))
}

func TestLineLeavesItsEndingOut(t *testing.T) {
	f := New("a.md", []byte("one\r\ntwo\n\rthree"))
	assert.Equal(t, "one", f.Line(1))
	assert.Equal(t, "two", f.Line(2))
	assert.Equal(t, "\rthree", f.Line(3))
	assert.Equal(t, "", f.Line(4))
	assert.Equal(t, 3, f.Lines())
	assert.Equal(t, 1, New("empty", nil).Lines())
}

func TestSpans(t *testing.T) {
	f := New("a.md", []byte("iron lap, 300 mm"))
	s := f.Span(0, 8)
	assert.Equal(t, "iron lap", s.Text())
	assert.Equal(t, "lap", s.Part(5, 8).Text())
	assert.Equal(t, "iron lap, 300 mm", s.To(f.Span(10, 16)).Text())
	assert.Equal(t, s, s.To(Span{}))
	assert.Equal(t, s, Span{}.To(s))
	assert.False(t, Span{}.Known())
	assert.Equal(t, "", Span{}.Text())
	assert.Equal(t, "", f.Span(40, 60).Text(), "a span outside the file")
	assert.Equal(t, Place{"a.md", 1, 11, 1, 17}, f.Span(10, 16).Place())
}
