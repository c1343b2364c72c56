package cli

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A section of the house book is current until any recipe of the house says
// something else.
func TestVerifyBook(t *testing.T) {
	house := demoHouse(t)
	_, any := asked(t, house, "house-book R9 QF37-K2M4-B")
	require.NotNil(t, any.House)
	mark := any.House.Marks["house book"]
	require.Len(t, mark, 11)
	for _, text := range []string{"HOUSE-BOOK R9 " + mark, mark} {
		status, v := asked(t, house, text)
		assert.Equal(t, 0, status, v.Message)
		assert.Equal(t, []string{"same"}, v.Reasons)
	}
	change(t, filepath.Join(house, "lens-vase.md"), "The wall is covered", "The wall is all covered")
	status, v := asked(t, house, "HOUSE-BOOK R9 "+mark)
	assert.Equal(t, 1, status, v.Message)
}
