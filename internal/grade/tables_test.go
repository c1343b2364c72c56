package grade

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mustParse reads a grade that the test knows to be one.
func mustParse(t *testing.T, text string) Grade {
	t.Helper()
	g, ok := Parse(text)
	require.True(t, ok, text)
	return g
}

// Values of the published tables, the standard named beside each. They were
// seen second-hand: nobody here has read the standards themselves.
func TestKnownSizes(t *testing.T) {
	for _, c := range []struct {
		text   string
		size   float64
		source string
	}{
		{"F230", 53.0, "FEPA 42-2"}, {"F240", 44.5, "FEPA 42-2"}, {"F400", 17.3, "FEPA 42-2"},
		{"F600", 9.3, "FEPA 42-2"}, {"F1200", 3.0, "FEPA 42-2, photosedimentometer"},
		{"F220", 58, "FEPA 42-1, from memory"}, {"F60", 260, "FEPA 42-1, from memory"},
		{"P60", 269, "FEPA 43-1"}, {"P100", 162, "FEPA 43-1"}, {"P220", 68, "FEPA 43-1"},
		{"P240", 58.5, "FEPA 43-2"}, {"P400", 35.0, "FEPA 43-2"}, {"P800", 21.8, "FEPA 43-2"},
		{"P1200", 15.3, "FEPA 43-2"}, {"P2500", 8.4, "FEPA 43-2"},
		{"CAMI 60", 268, "ANSI B74.18"}, {"CAMI 240", 53.5, "ANSI B74.18"}, {"CAMI 400", 23.6, "ANSI B74.18"},
		{"CAMI 600", 16.0, "ANSI B74.18"},
		{"JIS 240", 57.0, "JIS R 6001:1987"}, {"JIS 400", 30.0, "JIS R 6001:1987"}, {"JIS 600", 20.0, "JIS R 6001:1987"},
		{"JIS 1000", 11.5, "JIS R 6001:1987, electrical resistance"}, {"JIS 8000", 1.2, "JIS R 6001:1987"},
		{"No. 60 sieve", 250, "ASTM E11"}, {"No. 200 sieve", 75, "ASTM E11"},
		{"No. 325 sieve", 45, "ASTM E11"}, {"No. 400 sieve", 38, "ASTM E11"},
	} {
		assert.Equal(t, c.size, mustParse(t, c.text).Size, "%s: %s", c.text, c.source)
	}
	f400 := mustParse(t, "F400")
	assert.Equal(t, [2]float64{8, 32}, [2]float64{f400.Low, f400.High}, "FEPA 42-2: D94 and D3 of F400")
}

// Ends of the scales as the standards and the trade have them.
func TestReachOfTheScales(t *testing.T) {
	for scale, ends := range map[Scale][2]string{
		FEPAF: {"F4", "F2000"}, FEPAP: {"P12", "P2500"}, CAMI: {"CAMI 16", "CAMI 1200"}, ANSI: {"ANSI 4", "ANSI 600"},
		JIS: {"JIS 8", "JIS 8000"}, FEPAD: {"D1181", "D46"}, Sieve: {"No. 4 sieve", "No. 635 sieve"}, Pumice: {"3", "4F"},
	} {
		list := All(scale)
		require.NotEmpty(t, list, scale)
		assert.Equal(t, ends[0], list[0].Label)
		assert.Equal(t, ends[1], list[len(list)-1].Label)
	}
	assert.Len(t, All(FEPAF), 39, "FEPA 42: 26 sieved grades and 13 fine ones")
	assert.Len(t, All(FEPAP), 28, "FEPA 43: 15 sieved grades and 13 fine ones")
	assert.Empty(t, All(Micron))
	_, ok := Parse("ANSI 22")
	assert.False(t, ok, "F22 and F40 are FEPA's alone")
	_, ok = Parse("ANSI 40")
	assert.False(t, ok, "F22 and F40 are FEPA's alone")
}

// Whatever the table, the grain must fall from one grade to the next, lie
// within its own limits and say where it comes from.
func TestEveryTableIsInOrder(t *testing.T) {
	standings := []string{"published", "cross-checked", "from memory", "derived", "default"}
	for _, info := range Scales() {
		assert.NotEmpty(t, info.Name, info.Scale)
		assert.NotEmpty(t, info.Standard, info.Scale)
		assert.NotEmpty(t, info.Method, info.Scale)
		assert.NotEmpty(t, info.Limits, info.Scale)
		assert.NotEmpty(t, info.Standing, info.Scale)
		last := math.Inf(1)
		for _, g := range All(info.Scale) {
			assert.Less(t, g.Size, last, g.Label)
			last = g.Size
			assert.Equal(t, info.Scale, g.Scale)
			assert.NotEmpty(t, g.Method, g.Label)
			assert.NotEmpty(t, g.Source, g.Label)
			assert.Contains(t, standings, g.Standing, g.Label)
			assert.Equal(t, g.Scale == Mesh || g.Scale == Pumice, g.Default(), "%s: only what has no standard is a default", g.Label)
			if g.Low > 0 {
				assert.NotEmpty(t, g.Basis, g.Label)
				assert.LessOrEqual(t, g.Low, g.Size, g.Label)
				assert.GreaterOrEqual(t, g.High, g.Size, g.Label)
			}
		}
	}
	for _, s := range []Scale{FEPAF, FEPAP, CAMI, ANSI, JIS, Mesh, Sieve} {
		last := 0.0
		for _, g := range All(s) {
			n, err := strconv.ParseFloat(strings.Trim(g.Label, "FPCAMINSJo .meshiv"), 64)
			require.NoError(t, err, g.Label)
			assert.Greater(t, n, last, "%s: a larger number is finer", g.Label)
			last = n
		}
	}
}

// The bands that hold the core of the grain of each sieved FEPA F grade, in
// micrometres: from the third to the second sieve that must hold it, for F180
// and F220 from the fourth. Source: the sieve table of FEPA 42-D-1986, seen
// second-hand. The means themselves are from memory.
var coreBands = map[string][2]float64{
	"F4": {4000, 5600}, "F5": {3350, 4750}, "F6": {2800, 4000}, "F7": {2360, 3350}, "F8": {2000, 2800}, "F10": {1700, 2360},
	"F12": {1400, 2000}, "F14": {1180, 1700}, "F16": {1000, 1400}, "F20": {850, 1180}, "F22": {710, 1000}, "F24": {600, 850},
	"F30": {500, 710}, "F36": {425, 600}, "F40": {355, 500}, "F46": {300, 425}, "F54": {250, 355}, "F60": {212, 300},
	"F70": {180, 250}, "F80": {150, 212}, "F90": {125, 180}, "F100": {106, 150}, "F120": {90, 125}, "F150": {63, 106},
	"F180": {53, 90}, "F220": {45, 75},
}

func TestMeansLieInTheCoreBand(t *testing.T) {
	seen := 0
	for _, g := range All(FEPAF) {
		band, sieved := coreBands[g.Label]
		if !sieved {
			continue
		}
		seen++
		assert.InEpsilon(t, (band[0]+band[1])/2, g.Size, 0.04, g.Label)
	}
	assert.Equal(t, len(coreBands), seen)
}

// Source: ISO 6106, seen second-hand: the number of a diamond size is the
// opening of its upper sieve and one, of a wide size and two; and the pairs of
// US sieves it prints beside them, whose openings are those of ASTM E11.
func TestDiamondNumbersFollowTheSieves(t *testing.T) {
	opening := map[string]float64{}
	var order []string
	for _, g := range All(Sieve) {
		n := strings.TrimSuffix(strings.TrimPrefix(g.Label, "No. "), " sieve")
		opening[n] = g.Size
		order = append(order, n)
	}
	pairs := map[string]string{
		"D301": "50/60", "D251": "60/70", "D213": "70/80", "D181": "80/100", "D151": "100/120", "D126": "120/140",
		"D107": "140/170", "D91": "170/200", "D76": "200/230", "D64": "230/270", "D54": "270/325", "D46": "325/400",
		"D252": "60/80", "D1181": "16/18", "D602": "30/40",
	}
	for label, pair := range pairs {
		upper, lower, _ := strings.Cut(pair, "/")
		g := mustParse(t, label)
		assert.Equal(t, opening[upper], g.High, label)
		assert.Equal(t, opening[lower], g.Low, label)
		assert.Equal(t, g.Size, mustParse(t, pair+" mesh").Size, label)
	}
	for _, g := range All(FEPAD) {
		n, err := strconv.ParseFloat(g.Label[1:], 64)
		require.NoError(t, err)
		wide := n == g.High+2
		assert.True(t, wide || n == g.High+1, "%s: upper sieve %v", g.Label, g.High)
		assert.Equal(t, (g.Low+g.High)/2, g.Size, g.Label)
		var at [2]int
		for i, limit := range []float64{g.High, g.Low} {
			at[i] = slices.IndexFunc(order, func(n string) bool { return opening[n] == limit })
			assert.GreaterOrEqual(t, at[i], 0, "%s: %v is no sieve", g.Label, limit)
		}
		if wide {
			assert.Equal(t, 2, at[1]-at[0], "%s spans two steps of the sieves", g.Label)
		} else {
			assert.Equal(t, 1, at[1]-at[0], "%s spans one step of the sieves", g.Label)
		}
	}
}

// Source: ASTM E11 says of itself that its openings follow the fourth root of
// two, rounded; the two finest belong to another series.
func TestSievesFollowTheFourthRootOfTwo(t *testing.T) {
	list := All(Sieve)
	for i := 1; i < len(list)-2; i++ {
		assert.InEpsilon(t, math.Pow(2, 0.25), list[i-1].Size/list[i].Size, 0.025, list[i].Label)
	}
}

// Dividing an inch by the number forgets the wire, and no size may come from
// it. The finest labels, which nobody sieves, are left out.
func TestAnInchByTheNumberIsNotUsed(t *testing.T) {
	for _, s := range []Scale{Sieve, Mesh} {
		for _, g := range All(s) {
			n, err := strconv.ParseFloat(strings.Trim(g.Label, "No. sievmh"), 64)
			require.NoError(t, err, g.Label)
			if n <= 1200 {
				assert.Less(t, g.Size, 0.95*25400/n, g.Label)
			}
		}
	}
}

func number(t *testing.T, s Scale, n string) Grade {
	t.Helper()
	g, ok := OnScale(s, n)
	require.True(t, ok, "%s %s", s, n)
	return g
}

// What the scales have in common and where they part. Source: trade bodies'
// statement that the sieved sizes of ANSI, FEPA F and JIS are one, seen
// second-hand; the rest follows from the published sizes.
func TestScalesAgainstEachOther(t *testing.T) {
	for _, g := range All(ANSI) {
		n := strings.TrimPrefix(g.Label, "ANSI ")
		if v, _ := strconv.Atoi(n); v <= 220 {
			f := number(t, FEPAF, n)
			assert.Equal(t, [3]float64{f.Size, f.Low, f.High}, [3]float64{g.Size, g.Low, g.High}, g.Label)
		} else {
			assert.Equal(t, number(t, CAMI, n).Size, g.Size, g.Label)
		}
	}
	for _, g := range All(JIS) {
		n := strings.TrimPrefix(g.Label, "JIS ")
		if v, _ := strconv.Atoi(n); v <= 220 {
			f := number(t, FEPAF, n)
			assert.Equal(t, [3]float64{f.Size, f.Low, f.High}, [3]float64{g.Size, g.Low, g.High}, g.Label)
		}
	}
	spread := func(n string) float64 {
		var sizes []float64
		for _, s := range []Scale{FEPAF, FEPAP, CAMI, JIS} {
			sizes = append(sizes, number(t, s, n).Size)
		}
		return slices.Max(sizes) / slices.Min(sizes)
	}
	assert.Less(t, spread("60"), 1.04, "coarse numbers agree within 4 %")
	assert.Greater(t, spread("600"), 2.7, "at 600 they do not")
	assert.Greater(t, spread("1200"), 5.0, "at 1200 still less")

	assert.InEpsilon(t, mustParse(t, "CAMI 400").Size, mustParse(t, "P800").Size, 0.10, "CAMI 400 to P800 is no step")
	assert.InEpsilon(t, mustParse(t, "CAMI 600").Size, mustParse(t, "P1200").Size, 0.10, "CAMI 600 to P1200 is no step")
	assert.Greater(t, mustParse(t, "P1000").Size, mustParse(t, "CAMI 600").Size, "CAMI 600 to P1000 goes backwards")
	assert.Greater(t, mustParse(t, "P1000").Size, mustParse(t, "F400").Size, "F400 to P1000 goes backwards")
	assert.Greater(t, mustParse(t, "F46").Size, 8*mustParse(t, "D46").Size, "D46 is not F46")
	assert.NotEqual(t, mustParse(t, "60 mesh").Scale, mustParse(t, "No. 60 sieve").Scale, "a label is no sieve")
}

// Common practice, no source.
func TestPumiceIsAnOrder(t *testing.T) {
	last := 0
	for _, degree := range []string{"4F", "3F", "2F", "F", "0", "0½", "0¾", "1", "1½", "2", "3"} {
		g := number(t, Pumice, degree)
		assert.Equal(t, degree, g.Label)
		assert.Greater(t, g.Order, last, degree)
		assert.True(t, g.Default(), degree)
		last = g.Order
	}
	two, four := number(t, Pumice, "2F"), number(t, Pumice, "4F")
	label := mustParse(t, "325 mesh")
	assert.Equal(t, label.Size, two.Size, "2F lies at the 325 label")
	assert.GreaterOrEqual(t, four.High, label.Size, "4F reaches the 325 label")
	assert.Less(t, four.Order, two.Order, "yet 4F is the finer")
	assert.Less(t, four.Size, two.Size, "yet 4F is the finer")
}

func TestMeaningsAndNeighbours(t *testing.T) {
	list := Meanings("600")
	var labels []string
	for _, g := range list {
		labels = append(labels, g.Label)
	}
	assert.Equal(t, []string{"F600", "P600", "CAMI 600", "ANSI 600", "JIS 600", "600 mesh"}, labels)
	assert.Empty(t, Meanings("7777"))

	near := Neighbours(mustParse(t, "F400"), 1)
	labels = nil
	for _, g := range near {
		labels = append(labels, g.Label)
		assert.InDelta(t, g.Size/17.3, Ratio(mustParse(t, "F400"), g), 1e-12)
	}
	assert.Equal(t, []string{"P1000", "CAMI 600", "ANSI 600", "JIS 700", "D46", "1000 mesh"}, labels)
	assert.Len(t, Neighbours(mustParse(t, "F400"), 2), 12)
	assert.Empty(t, Neighbours(mustParse(t, "2F"), 1))
	assert.Empty(t, Neighbours(Grade{}, 1))
	assert.Zero(t, Ratio(Grade{}, near[0]))

	names := func(list []Grade) (labels []string) {
		for _, g := range list {
			labels = append(labels, g.Label)
		}
		return labels
	}
	assert.Equal(t, []string{"F400", "F500"}, names(Nearest(FEPAF, "410")))
	assert.Equal(t, []string{"F2000"}, names(Nearest(FEPAF, "9999")))
	assert.Equal(t, []string{"P12"}, names(Nearest(FEPAP, "4")))
	assert.Equal(t, []string{"D46", "D54"}, names(Nearest(FEPAD, "50")))
	assert.Empty(t, Nearest(Pumice, "5"))
	assert.Empty(t, Nearest(FEPAF, "many"))
}
