package quantity

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWhatToPutInstead: where only one thing can be meant it is named, and the
// text with it reads.
func TestWhatToPutInstead(t *testing.T) {
	for text, want := range map[string]string{
		"1,5 min": "1.5 min", "8 mins": "8 min", "12 000 mm": "12000 mm", "1-1/2 in": "1 1/2 in", "1O mm": "10 mm", "3 millimetres": "3 mm", "8 imn": "8 min",
	} {
		_, err := Parse(text, Options{}, Length, Time)
		require.NotNil(t, err, "%q", text)
		require.Equal(t, text[err.Start:err.End], err.Words, "%q", text)
		got := text[:err.Start] + err.Put + text[err.End:]
		assert.Equal(t, want, got)
		_, err = Parse(got, Options{}, Length, Time)
		assert.Nil(t, err, "%q", got)
	}
	for _, text := range []string{"5,000 mm", "8", "8 xyz", "8 mim", "8 cn", "1.2.3 mm", "8 m1n", "0 mm"} {
		_, err := Parse(text, Options{}, Length, Time)
		require.NotNil(t, err, "%q", text)
		assert.Empty(t, err.Put, "%q", text)
	}
}
