package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldwright/internal/diag"
	"coldwright/internal/source"
	"coldwright/internal/trade"
)

func chart(t *testing.T, shop string) (*Sheet, GradeChart) {
	t.Helper()
	var found diag.List
	h := trade.Lay(source.New("shop.yaml", []byte(shop)), &found)
	require.Empty(t, found)
	s, bad := BuildHouse(h, FindDesign("grade chart"), Options{})
	require.Empty(t, bad)
	require.Len(t, s.Blocks, 1)
	return s, s.Blocks[0].(GradeChart)
}

// One number has four sizes in the four scales of an ordinary shop, finest
// first: FEPA 42-2 gives F400 17.3 µm, ANSI B74.18 gives 400 23.6 µm, FEPA 43-2
// gives P400 35.0 µm (all seen second-hand); a 400 mesh label is coarser than
// all of them (common practice).
func TestChartTellsSizesApart(t *testing.T) {
	s, c := chart(t, "house: {name: A House, revision: 3, date: 2026-10-05, approved: studio lead}\n")
	assert.Equal(t, "One number, four sizes", s.Title)
	assert.Nil(t, s.Draft)
	var names []string
	for _, l := range c.Lanes {
		names = append(names, l.Name)
	}
	assert.Equal(t, []string{"F400", "CAMI 400", "P400", "400 mesh"}, names)
	for i, um := range []float64{17.3, 23.6, 35} {
		assert.InDelta(t, um, c.Lanes[i].number().UM, .05)
	}
	assert.Greater(t, c.Lanes[3].number().UM, 35.0)
}

// Stock of one size and one kind hangs together, a retired line not at all; a
// grade the house holds is marked in its lane; a scale it holds stock in has a
// lane; the axis reaches as fine as the stock.
func TestChartOfStock(t *testing.T) {
	_, c := chart(t, `house: {name: A House}
stock:
  S220: {abrasive: silicon carbide, grade: F220}
  X220: {abrasive: silicon carbide, grade: F220}
  OLD: {abrasive: silicon carbide, grade: F80, retired: yes}
  JX: {abrasive: silicon carbide, grade: JIS 1000}
  CE: {abrasive: cerium oxide, grade: 0.3 µm}
  LF: {abrasive: urethane silicon carbide wheel, acts like: F400}
`)
	var codes []string
	for _, s := range c.Stock {
		codes = append(codes, s.Codes)
	}
	assert.Equal(t, []string{"CE", "JX", "LF", "S220, X220"}, codes)
	assert.Equal(t, .3, c.FromUM)
	lanes := map[string]ChartLane{}
	for _, l := range c.Lanes {
		lanes[l.Name] = l
	}
	assert.Contains(t, lanes, "JIS 400")
	for _, m := range lanes["F400"].Marks {
		assert.Equal(t, m.Label == "220", m.Held, m.Label)
	}
}

// A page of the house nobody approved is a draft.
func TestHousePageWithoutApprovalIsADraft(t *testing.T) {
	s, _ := chart(t, "house: {name: A House}\n")
	require.NotNil(t, s.Draft)
	assert.Empty(t, s.Approved)
}

// A design speaks of the house or of one recipe, never of both.
func TestDesignOfTheHouse(t *testing.T) {
	d, found := load(t, "name: wall\npage: chart\npaper: A3\norientation: landscape\nblocks: [grade chart]\n")
	require.Empty(t, found)
	assert.True(t, d.OfHouse())
	assert.True(t, d.Turned)
	_, found = load(t, "name: wall\npage: chart\npaper: A3\nblocks:\n  - grade chart\n  - stop\n")
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Message, "does not stand on a chart")
	_, found = load(t, "name: wall\npage: chart\npaper: A3\nblocks:\n  - grade chart: {number: 401, scales: [FEPA F, feet]}\n")
	require.Len(t, found, 2)
	assert.Contains(t, found[0].Message, "No scale has a grade 401")
	assert.Contains(t, found[1].Message, "no lane for “feet”")
}
