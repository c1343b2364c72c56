package report

import (
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestTableSetsCellsSideBySide(t *testing.T) {
	columns := []Column{{Head: "#", Width: 2, Right: true}, {Head: "step", Width: 10}, {Head: "min", Width: 4, Right: true}}
	got := Table(columns, [][]string{{"1", "Grind the base", "8"}, {"12", "Äußerst", "2–\n14"}})
	assert.Equal(t, ""+
		" # step        min\n"+
		" 1 Grind the     8\n"+
		"   base\n"+
		"12 Äußerst      2–\n"+
		"                14\n", got)
}

// No line is wider than its columns, and no letter is lost.
func TestTableKeepsEveryLetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		columns := []Column{{Width: rapid.IntRange(2, 12).Draw(t, "a")}, {Width: rapid.IntRange(2, 12).Draw(t, "b"), Right: true}}
		row := []string{rapid.StringMatching(`[ a-zäö磨\n]{0,40}`).Draw(t, "left"), rapid.StringMatching(`[ 0-9–]{0,30}`).Draw(t, "right")}
		text := Table(columns, [][]string{row})
		for _, line := range strings.Split(text, "\n") {
			assert.LessOrEqual(t, uniseg.StringWidth(line), columns[0].Width+columns[1].Width+1)
		}
		for _, r := range "aä磨0–" {
			assert.Equal(t, strings.Count(row[0]+row[1], string(r)), strings.Count(text, string(r)))
		}
	})
}
