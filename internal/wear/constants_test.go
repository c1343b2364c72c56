package wear

import (
	"encoding/csv"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEveryConstantCarriesItsStanding(t *testing.T) {
	citation := regexp.MustCompile(`\(?(19|20)\d\d\)?|from memory|Fraunhofer|textbook|seen second-hand|middle of what the eye sees`)
	guess := regexp.MustCompile(`guess|common practice|that of loose silicon carbide|measured by|taken as|given at|hand on a flat lap|hand at a wheel|hard grain of this size|between a ductile|grain of a saw|damage no loupe|above alumina|charge older|bite|bristles`)
	for _, c := range Constants().All() {
		switch c.Standing {
		case Published:
			assert.Regexpf(t, citation, c.Source, "%s claims to be published", c.Name)
		case HouseDefault:
			assert.Regexpf(t, guess, c.Source, "%s must own up to being a guess", c.Name)
		case Derived:
			assert.NotRegexp(t, `^a guess`, c.Source, c.Name)
		default:
			assert.Failf(t, "no standing", "%s: %s", c.Name, c.Standing)
		}
		got, ok := Constants().Get(c.Name)
		assert.True(t, ok)
		assert.Equal(t, c, got)
	}
}

func TestEveryConstantIsUsed(t *testing.T) {
	// A model of a table without a row says which one is missing; and a row
	// nobody misses is of no use.
	for i, c := range Constants().All() {
		rows := Constants().All()
		short := Table{index: map[string]int{}}
		for j, r := range rows {
			if j != i {
				short.index[r.Name] = len(short.rows)
				short.rows = append(short.rows, r)
			}
		}
		_, err := New(short)
		require.ErrorContains(t, err, c.Name)
	}
}

func TestTheHouseMeasuresForItself(t *testing.T) {
	before := Constants()
	after, err := before.With("pumice.felt", 2.2e-12, "weighed at the bench, 2026-03-02")
	require.NoError(t, err)
	row, _ := after.Get("pumice.felt")
	assert.Equal(t, Constant{Name: "pumice.felt", Value: 2.2e-12, Unit: "1/Pa", Standing: Measured, Source: "weighed at the bench, 2026-03-02"}, row)
	assert.Equal(t, "measured", row.Standing.String())
	row, _ = before.Get("pumice.felt")
	assert.Equal(t, 1.5e-12, row.Value, "the table it came from stays")
	row, _ = Default().Table().Get("pumice.felt")
	assert.Equal(t, 1.5e-12, row.Value)

	m, err := New(after)
	require.NoError(t, err)
	g := soda(t)
	felt, cork := wheel(g, soft(Pumice, Felt, 45), 5), wheel(g, soft(Pumice, Cork, 45), 5)
	assert.InEpsilon(t, 2.2/1.5, run(t, m, State{}, felt)[0].RateUMMin/run(t, Default(), State{}, felt)[0].RateUMMin, 1e-12)
	assert.Equal(t, run(t, Default(), State{}, cork)[0], run(t, m, State{}, cork)[0], "and nothing else changes")
}

func TestConstantsThatCannotBeAreRefused(t *testing.T) {
	for _, c := range []struct {
		name  string
		value float64
	}{
		{"pumice.iron", 1}, {"pumice.felt", 0}, {"pumice.felt", -1}, {"level.felt", 1.2}, {"position.bonded.resin", 1.1},
		{"grind.exponent", 0.5}, {"position.bonded.resin", -0.1},
	} {
		_, err := Constants().With(c.name, c.value, "a slip of the pen")
		var in *InputError
		require.ErrorAs(t, err, &in, c.name)
		assert.Equal(t, c.name, in.Field)
	}
	for _, c := range []struct {
		name  string
		value float64
	}{
		{"band.low.factor", 200}, {"cushion.low", 1.1}, {"load.least", 3}, {"breakdown.left", 1}, {"breakdown.left.pumice", 0.001},
		{"finish.satin", 0.2}, {"start.blast.low", 0.95}, {"start.written.low", 2}, {"floor.cerium", 0.03},
	} {
		table, err := Constants().With(c.name, c.value, "a slip of the pen")
		require.NoError(t, err)
		_, err = New(table)
		require.ErrorContains(t, err, strings.SplitN(c.name, ".", 2)[0], c.name)
	}
}

func TestATableThatDoesNotReadIsRefused(t *testing.T) {
	const head = "name,value,unit,standing,source\n"
	for _, text := range []string{
		"name,value\n", "name,value,unit,standing,why\n", head + "a,b,1,derived,x\n", head + "a,1,1,heard,x\n",
		head + "a,1,1,measured,x\n", head + "a,1,1,derived,\n", head + "a,1,1,derived,x\na,2,1,derived,x\n", head + "a,0,1,derived,x\n",
	} {
		_, err := readTable(text)
		assert.Error(t, err, text)
	}
	r := csv.NewReader(strings.NewReader(constantsCSV))
	r.Comment = '#'
	_, err := r.ReadAll()
	require.NoError(t, err)
}

func TestOrderOfTheConstants(t *testing.T) {
	m := Default()
	// A harder abrasive pits deeper and cuts faster among loose grits.
	assert.Greater(t, m.looseAt[SiliconCarbide], m.looseAt[Alumina])
	assert.Greater(t, m.looseAt[Alumina], m.looseAt[Garnet])
	// The softer the bond, the shallower and the slower.
	for b := Plated; b < Urethane; b++ {
		for c := b + 1; c <= Urethane; c++ {
			if m.bondAt[b] > m.bondAt[c] && b != Coated && c != Coated && b != Vitrified && c != Metal {
				assert.GreaterOrEqualf(t, m.grindBond[b], m.grindBond[c], "%s and %s", b, c)
			}
		}
	}
	// The softer the lap, the less damage and the more of the form is followed.
	for _, v := range [][laps]float64{m.cushion, m.level} {
		assert.Greater(t, v[Pitch], v[Pad])
		assert.Greater(t, v[Pad], v[Cork])
		assert.Greater(t, v[Cork], v[Felt])
	}
	// Alumina outlasts silicon carbide, 10–15 min against 3–5; pumice is the most
	// friable.
	assert.InDelta(t, 3, m.breakdown[Alumina]/m.breakdown[SiliconCarbide], 0.5)
	for _, f := range []Family{SiliconCarbide, Alumina, Garnet} {
		assert.Less(t, m.breakdown[Pumice], m.breakdown[f])
	}
}
