package layout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/source"
)

func TestUnprintableNamesEachCharacterOnce(t *testing.T) {
	f := source.New("a.md", []byte("½ µm, Größe, Łódź, Ωμέγα, Кварц\u00a0\u200b\n😀 and 漢, 😀 again\n"))
	list := Unprintable(f)
	require.Len(t, list, 2)
	assert.Equal(t, "😀", list[0].Span.Text())
	assert.Contains(t, list[0].Message, "[U+1F600]")
	assert.Equal(t, "漢", list[1].Span.Text())
}
