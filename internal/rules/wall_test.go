package rules_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/testkit"
)

// Only hollow ware has a wall: whoever writes one need not write hollow as well
// for the note on thin ware to be asked for.
func TestAWallMeansHollow(t *testing.T) {
	dir := testkit.Data(t, "rules", "thin-ware")
	text := string(testkit.Read(t, dir+"/bad.md"))
	require.Contains(t, text, "hollow: true, wall: 4 mm")
	asks := func(piece string) bool {
		_, list := findings(houseIn(t, dir), "bad.md", []byte(strings.Replace(text, "hollow: true, wall: 4 mm", piece, 1)))
		return slices.ContainsFunc(list, func(d diag.Diagnostic) bool { return d.Rule == "thin-ware" })
	}
	assert.True(t, asks("hollow: true"))
	assert.True(t, asks("wall: 3 mm"))
	assert.False(t, asks("hollow: false, wall: 3 mm"), "who says no means it")
	assert.False(t, asks("count: 1"))
}
