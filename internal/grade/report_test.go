package grade

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func house(t *testing.T) []Held {
	return []Held{
		{"CE", mustParse(t, "1.5 µm"), "cerium oxide"},
		{"P2F", mustParse(t, "2F"), "pumice"},
		{"P4F", mustParse(t, "4F"), "pumice"},
		{"R325", mustParse(t, "325 mesh"), "resin diamond pad"},
		{"S220", mustParse(t, "F220"), "silicon carbide"},
		{"S400", mustParse(t, "F400"), "silicon carbide"},
		{"S500", mustParse(t, "JIS 800"), "a silicon carbide with a name that is too long for any line of the bench"},
		{"NONE", Grade{}, "saw blade"},
	}
}

// line is the line of a report that begins with the words.
func line(t *testing.T, text, words string) string {
	t.Helper()
	for l := range strings.Lines(text) {
		if strings.HasPrefix(strings.TrimSpace(l), words) {
			return strings.Join(strings.Fields(l), " ")
		}
	}
	require.Fail(t, "no such line", "%s in\n%s", words, text)
	return ""
}

func TestReportOfANumber(t *testing.T) {
	text, ok := Report("400", house(t))
	require.True(t, ok)
	assert.True(t, strings.HasPrefix(text, "400 alone is no grade: a recipe must write its scale."), text)
	assert.Equal(t, "FEPA F F400 17.3 µm 8 to 32 µm published", line(t, text, "FEPA F"))
	assert.Equal(t, "FEPA P P400 35 µm 25.2 to 53.9 µm cross-checked", line(t, text, "FEPA P"))
	assert.Equal(t, "CAMI CAMI 400 23.6 µm none seen cross-checked", line(t, text, "CAMI"))
	assert.Equal(t, "JIS JIS 400 30 µm 20 to 58 µm cross-checked", line(t, text, "JIS"))
	assert.Equal(t, "mesh 400 mesh 37 µm 30 to 45 µm default", line(t, text, "mesh"))
	assert.Contains(t, text, "The coarsest of these grains, 400 mesh, is 2.1 times the finest, F400.")
	for _, method := range []string{"photosedimentometer", "sedimentation tube", "electrical resistance", "Opening of the sieve"} {
		assert.Contains(t, text, method)
	}
	same, ok := Report("400 grit", house(t))
	require.True(t, ok)
	assert.Equal(t, text, same)
}

func TestReportOfAGrade(t *testing.T) {
	text, ok := Report("f400", house(t))
	require.True(t, ok)
	assert.Equal(t, "limits 8 to 32 µm: 94 % is coarser than the low, 3 % than the high", line(t, text, "limits"))
	assert.Equal(t, "measured median, photosedimentometer", line(t, text, "measured"))
	assert.Contains(t, line(t, text, "source"), "FEPA 42-2")
	assert.Equal(t, "P1000 18.3 µm 5.8 % coarser cross-checked", line(t, text, "P1000"))
	assert.Equal(t, "CAMI 600 16 µm 7.5 % finer cross-checked", line(t, text, "CAMI 600"))
	assert.Equal(t, "no grade near: FEPA D", line(t, text, "no grade near"))
	assert.Equal(t, "S400 17.3 µm the same silicon carbide F400", line(t, text, "S400"))
	assert.Contains(t, line(t, text, "S500"), "19 % finer")
	assert.NotContains(t, text, "P2F", "pumice does not compare by size")
	assert.NotContains(t, text, "cerium", "1.5 µm is not near")

	text, ok = Report("0.3 µm", house(t))
	require.True(t, ok)
	assert.Contains(t, line(t, text, "CE"), "400 % coarser", "where nothing is near, the least far is named")

	text, ok = Report("F400", nil)
	require.True(t, ok)
	assert.NotContains(t, text, "stock")
}

func TestReportOfPumice(t *testing.T) {
	text, ok := Report("2F", house(t))
	require.True(t, ok)
	assert.Contains(t, text, "pumice 2F: 45 µm by default")
	assert.Contains(t, text, "the order is sure, the size is not")
	assert.Contains(t, text, "the house should confirm the size")
	assert.Equal(t, "coarser pumice F", line(t, text, "coarser"))
	assert.Equal(t, "finer pumice 3F", line(t, text, "finer"))
	assert.Contains(t, line(t, text, "P4F"), "finer")
	assert.NotContains(t, text, "S400")
	one, ok := Report("pumice 1", nil)
	require.True(t, ok)
	assert.Contains(t, one, "pumice 1: 200 µm by default")
}

func TestReportOfOtherThings(t *testing.T) {
	text, ok := Report("", nil)
	require.True(t, ok)
	for _, s := range Scales() {
		line(t, text, string(s.Scale))
	}
	text, ok = Report("fepa p", nil)
	require.True(t, ok)
	assert.Equal(t, "P2500 8.4 µm 5.4 to 19.3 µm cross-checked", line(t, text, "P2500"))

	text, ok = Report("F410", nil)
	assert.False(t, ok)
	assert.Equal(t, "F410 is no grade of FEPA F. The nearest are F400 and F500.", text)
	text, ok = Report("7777", nil)
	assert.False(t, ok)
	assert.Contains(t, text, "No scale has it.")
}

// No report is wider than a terminal of eighty columns.
func TestReportFits(t *testing.T) {
	queries := []string{"", "1", "3", "46", "1.5 µm", "4-8 µm", "325/400 mesh"}
	for _, s := range Scales() {
		queries = append(queries, string(s.Scale))
		for _, g := range All(s.Scale) {
			queries = append(queries, named(g), strings.Trim(g.Label, "FPDCAMINSJ mesho.iv"))
		}
	}
	for _, q := range queries {
		text, _ := Report(q, house(t))
		if q == "µm" {
			continue // no table, so a sentence
		}
		for l := range strings.Lines(text) {
			assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimRight(l, "\n")), width, "%q: %s", q, l)
		}
	}
}
