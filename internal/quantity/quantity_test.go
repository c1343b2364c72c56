package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each conversion is held against the definition that is named beside it.
func TestConversionsFollowTheDefinitions(t *testing.T) {
	for _, c := range []struct {
		from   Value
		to     Unit
		want   float64
		within float64
		source string
	}{
		{Value{1, Inch}, Millimetre, 25.4, 0, "international yard and pound agreement 1959: yard 0.9144 m"},
		{Value{3, Foot}, Metre, 0.9144, 1e-15, "international yard and pound agreement 1959: yard 0.9144 m"},
		{Value{1, SquareFoot}, SquareMetre, 0.09290304, 1e-15, "NIST SP 811, appendix B.8: square foot, seen second-hand"},
		{Value{36, Inch}, Metre, 0.9144, 0, "international yard and pound agreement 1959: yard 0.9144 m"},
		{Value{1, SquareInch}, SquareCentimetre, 6.4516, 0, "inch squared, exact"},
		{Value{1, Pound}, Kilogram, 0.45359237, 0, "international yard and pound agreement 1959"},
		{Value{1, Ounce}, Gram, 28.349523125, 0, "pound / 16, exact"},
		{Value{1, KilogramForce}, Newton, 9.80665, 0, "3rd CGPM 1901: standard acceleration 9.80665 m/s²"},
		{Value{1, PoundForce}, Newton, 4.4482216152605, 0, "pound times standard acceleration, exact"},
		{Value{1, PSI}, Kilopascal, 6.894757293168, 1e-12, "pound-force on a square inch, NIST SP 811 table B.8: 6.894 757 E+03 Pa"},
		{Value{1, Bar}, Kilopascal, 100, 0, "SI brochure: 1 bar = 100 kPa"},
		{Value{1.6, Bar}, PSI, 23.2060, 1e-5, "1.6 × 14.5037738, NIST SP 811"},
		{Value{1, MetrePerSecond}, FootPerMinute, 196.850394, 1e-8, "60 / 0.3048, foot of 1959"},
		{Value{1, Hour}, Minute, 60, 0, "SI brochure table 8"},
		{Value{1, Litre}, Millilitre, 1000, 0, "SI brochure table 8: litre = dm³"},
		{Value{1, CubicCentimetre}, Millilitre, 1, 0, "SI brochure table 8: litre = dm³"},
		{Value{50, SquareCentimetre}, SquareMillimetre, 5000, 0, "SI prefixes"},
		{Value{1, SquareDecimetre}, SquareCentimetre, 100, 0, "SI prefixes"},
		{Value{1.5, Micrometre}, Millimetre, 0.0015, 0, "SI prefixes"},
		{Value{2.5, GramPerCubicCentimetre}, KilogramPerCubicMetre, 2500, 0, "SI prefixes"},
		{Value{6, MicrometrePerMinute}, MillimetrePerMinute, 0.006, 0, "SI prefixes"},
		{Value{1, Kilogram}, Gram, 1000, 0, "SI prefixes"},
	} {
		assert.InEpsilon(t, c.want, c.from.In(c.to), max(c.within, 1e-14), "%v in %s: %s", c.from, c.to.Symbol, c.source)
	}
}

func TestInRefusesAnotherKind(t *testing.T) {
	assert.Zero(t, Value{1, Millimetre}.In(Gram))
	eur, _ := Currency("EUR")
	usd, _ := Currency("USD")
	assert.Zero(t, Value{10, eur}.In(usd), "no rate of exchange is known")
	assert.Equal(t, 10.0, Value{10, eur}.In(eur))
	assert.Zero(t, Value{}.In(Millimetre))
}

// Every unit reads back as it prints, and no two share a spelling.
func TestUnitsReadBack(t *testing.T) {
	seen := map[string]bool{}
	for _, u := range units {
		require.False(t, seen[fold(u.Symbol)], u.Symbol)
		seen[fold(u.Symbol)] = true
		v, err := Parse(Value{12.5, u}.String(), Options{})
		require.Nil(t, err, u.Symbol)
		assert.Equal(t, Value{12.5, u}, v)
		assert.NotEqual(t, "an amount", u.Kind.String())
	}
	for word, symbol := range meant {
		_, known := Named(word)
		assert.False(t, known, "%q is read already", word)
		_, isUnit := Named(symbol)
		_, isMoney := Currency(symbol)
		assert.True(t, isUnit || isMoney, "%q is no unit", symbol)
	}
}

func TestParse(t *testing.T) {
	for text, want := range map[string]Value{
		"12 mm":                  {12, Millimetre},
		"12mm":                   {12, Millimetre},
		"  1.5  µm ":             {1.5, Micrometre},
		"1.5 \u03bcm":            {1.5, Micrometre},
		"1.5 um":                 {1.5, Micrometre},
		"6 micron":               {6, Micrometre},
		"½ in":                   {0.5, Inch},
		"1/2 in":                 {0.5, Inch},
		"1⁄2 in":                 {0.5, Inch},
		"1 1/2 in":               {1.5, Inch},
		"1½ in":                  {1.5, Inch},
		"1 ½ in":                 {1.5, Inch},
		"0½ mm":                  {0.5, Millimetre},
		"2⅜in":                   {2.375, Inch},
		"10 ft":                  {10, Foot},
		"1½ ft²":                 {1.5, SquareFoot},
		"3 ft2":                  {3, SquareFoot},
		"50 cm²":                 {50, SquareCentimetre},
		"50 cm2":                 {50, SquareCentimetre},
		"3 dm2":                  {3, SquareDecimetre},
		"150 rpm":                {150, RPM},
		"150 RPM":                {150, RPM},
		"20 m/s":                 {20, MetrePerSecond},
		"4000 ft/min":            {4000, FootPerMinute},
		"40 N":                   {40, Newton},
		"4 kgf":                  {4, KilogramForce},
		"1.6 bar":                {1.6, Bar},
		"20 kPa":                 {20, Kilopascal},
		"85 dB(A)":               {85, Decibel},
		"30 %":                   {30, Percent},
		"30%":                    {30, Percent},
		"2.5 g/cm³":              {2.5, GramPerCubicCentimetre},
		"5 m/s²":                 {5, MetrePerSecondSquared},
		"45°":                    {45, Degree},
		"3 µm/min":               {3, MicrometrePerMinute},
		"500 ml":                 {500, Millilitre},
		"1 kg":                   {1, Kilogram},
		"12\u00a0mm":             {12, Millimetre},
		"12\u202fmm":             {12, Millimetre},
		"0 µm":                   {0, Micrometre},
		"1.500 m":                {1.5, Metre},
		"100000 rpm":             {100000, RPM},
		"10.00 EUR":              {10, Unit{"EUR", Money, 1}},
		"0.000001 mm":            {0.000001, Millimetre},
		"123456789 mm":           {123456789, Millimetre},
		"8 min":                  {8, Minute},
		"1 h":                    {1, Hour},
		"2 oz":                   {2, Ounce},
		"12 \t mm":               {12, Millimetre},
		"7 lbf":                  {7, PoundForce},
		"000012 mm":              {12, Millimetre},
		"1 1/16 in":              {1.0625, Inch},
		"3/4 in":                 {0.75, Inch},
		"5/4 in":                 {1.25, Inch},
		"⅔ l":                    {2.0 / 3, Litre},
		"8 g":                    {8, Gram},
		"1200 kg/m3":             {1200, KilogramPerCubicMetre},
		"0.5 mm/min":             {0.5, MillimetrePerMinute},
		"12 psi":                 {12, PSI},
		"999999999.5 mm":         {999999999.5, Millimetre},
		"0.1234567890123 mm":     {0.1234567890123, Millimetre},
		"1 cm3":                  {1, CubicCentimetre},
		"3 min":                  {3, Minute},
		"90 s":                   {90, Second},
		"0.75 m2":                {0.75, SquareMetre},
		"12 in2":                 {12, SquareInch},
		"\u00a012\u00a0mm\u00a0": {12, Millimetre},
	} {
		v, err := Parse(text, Options{})
		if assert.Nil(t, err, "%q: %v", text, err) {
			assert.Equal(t, want, v, text)
		}
	}
}

func TestDecimalComma(t *testing.T) {
	comma := Options{DecimalComma: true}
	v, err := Parse("1,5 mm", comma, Length)
	require.Nil(t, err)
	assert.Equal(t, Value{1.5, Millimetre}, v)
	v, err = Parse("1.5 mm", comma, Length)
	require.Nil(t, err)
	assert.Equal(t, Value{1.5, Millimetre}, v)
	v, err = Parse("0,125 mm", comma, Length)
	require.Nil(t, err)
	assert.Equal(t, 0.125, v.Amount)
	_, err = Parse("1.500 mm", comma, Length)
	require.NotNil(t, err, "1.500 may be fifteen hundred where the comma is decimal")
	assert.Equal(t, "Write 1500, or 1,5.", err.Help)
}

// What is refused names what to write instead, and points at the words.
func TestParseRefuses(t *testing.T) {
	length := []Kind{Length}
	for _, c := range []struct {
		text    string
		kinds   []Kind
		at      string
		message string
		help    string
	}{
		{"12", length, "12", "The unit is missing after 12.", "Write the unit: 12 mm."},
		{" 1 1/2 ", length, "1 1/2", "The unit is missing after 1 1/2.", "Write the unit: 1 1/2 mm."},
		{"120", []Kind{Rotation, Speed}, "120", "The unit is missing after 120.", "Write the unit: 120 rpm."},
		{"20O rpm", []Kind{Rotation, Speed}, "20O", "The O in “20O” is a letter and no figure.", "Write the figure nought in its place: 200 rpm."},
		{"2o0 rpm", nil, "2o0", "The o in “2o0” is a letter and no figure.", "Write the figure nought in its place: 200 rpm."},
		{"l.5 mm", length, "l.5", "The l in “l.5” is a letter and no figure.", "Write the figure one in its place: 1.5 mm."},
		{"5O", length, "5O", "The O in “5O” is a letter and no figure.", "Write the figure nought in its place, and the unit behind the number."},
		{"0 rpm", nil, "0 rpm", "An amount of nothing cannot be meant here: 0 rpm.", "Write what it really is, or leave it out."},
		{"0.0 min", []Kind{Time}, "0.0 min", "An amount of nothing cannot be meant here: 0.0 min.", "Write what it really is, or leave it out."},
		{"0 cm²", nil, "0 cm²", "An amount of nothing cannot be meant here: 0 cm².", "Write what it really is, or leave it out."},
		{"8", []Kind{Time}, "8", "The unit is missing after 8.", "Write the unit: 8 min."},
		{"1,5 mm", length, "1,5", "Numbers are written with a point here, not with a comma.", "Write 1.5 mm."},
		{"1,500 mm", length, "1,500", "“1,500” can be read in two ways.", "Write 1500, or 1.5."},
		{"1,000 mm", length, "1,000", "“1,000” can be read in two ways.", "Write 1000, or 1."},
		{"1,500,000 mm", length, "1,500,000", "Nothing may part the thousands of a number.", "Write the figures without a break, as 12000."},
		{"1 500 mm", length, "1 500", "Nothing may part the thousands of a number.", "Write 1500."},
		{"1'500 mm", length, "1'500", "Nothing may part the thousands of a number.", "Write 1500."},
		{"12 34 mm", length, "12 34", "Two numbers stand side by side.", "Write one number and its unit."},
		{"12 mn", []Kind{Time}, "mn", "“mn” is no unit known here.", "Write 12 min."},
		{"12 minutes", []Kind{Time}, "minutes", "“minutes” is no unit known here.", "Write 12 min."},
		{"12 mmm", length, "mmm", "“mmm” is no unit known here.", "Write 12 mm."},
		{"12 inches", length, "inches", "“inches” is no unit known here.", "Write 12 in."},
		{"12 sq cm", []Kind{Area}, "sq cm", "“sq cm” is no unit known here.", "Write 12 cm²."},
		{"40 furlongs", length, "furlongs", "“furlongs” is no unit known here.", "Write the amount in mm, cm, m, in, ft or µm."},
		{"40 kg", []Kind{Force}, "kg", "“kg” measures a mass; a force is asked for here.", "Write the amount in N, kgf or lbf."},
		{"85 dB", []Kind{Sound}, "dB", "“dB” is no unit known here.", "Write 85 dB(A)."},
		{"12 mm thick", length, "thick", "Nothing may follow the unit: “thick”.", "Write only 12 mm."},
		{"-5 mm", length, "-5 mm", "An amount has no sign before it and is never less than nothing.", "Write the number alone."},
		{"−5 mm", length, "−5 mm", "An amount has no sign before it and is never less than nothing.", "Write the number alone."},
		{"NaN mm", length, "NaN mm", "The amount does not begin with a number.", "Write the number first, then its unit."},
		{"Inf", length, "Inf", "The amount does not begin with a number.", "Write the number first, then its unit."},
		{"about 5 mm", length, "about 5 mm", "The amount does not begin with a number.", "Write the number first, then its unit."},
		{"", length, "", "There is no amount here.", "Write a number and its unit."},
		{" \t ", length, "", "There is no amount here.", "Write a number and its unit."},
		{".5 mm", length, ".5", "A point without a nought before it is lost on a wet sheet.", "Write 0.5."},
		{"5. mm", length, "5.", "A point stands after the number with nothing behind it.", "Write 5."},
		{"1/0 mm", length, "1/0", "Nothing can be shared out by nought.", "Write the fraction as 1/2 or 3/4."},
		{"1 3/2 in", length, "3/2", "The fraction beside the whole number is not smaller than one.", "Write a fraction as in 1 1/2."},
		{"1-1/2 in", length, "1-1/2", "A dash between a number and its fraction reads as a range.", "Write 1 1/2."},
		{"6-8 min", []Kind{Time}, "-8 min", "One amount is asked for here, not a range.", "Write a single number and its unit."},
		{"2000000000 mm", length, "2000000000", "This number is larger than anything at a bench.", "Write the amount in a larger unit."},
		{"99999999999999999999 mm", length, "99999999999999999999", "This number is larger than anything at a bench.", "Write the amount in a larger unit."},
		{"10 €", []Kind{Money}, "€", "“€” is no unit known here.", "Write 10 EUR."},
		{"EUR 10", []Kind{Money}, "EUR 10", "The amount does not begin with a number.", "Write the number first, then the currency, as 10.00 EUR."},
		{"10 eur", []Kind{Money}, "eur", "“eur” is no currency known here.", "Write three capital letters for the currency: 10 EUR."},
		{"1e3 mm", length, "e3 mm", "“e3 mm” is no unit known here.", "Write the amount in mm, cm, m, in, ft or µm."},
	} {
		_, err := Parse(c.text, Options{}, c.kinds...)
		if !assert.NotNil(t, err, "%q was read", c.text) {
			continue
		}
		assert.Equal(t, c.at, c.text[err.Start:err.End], "place in %q", c.text)
		assert.Equal(t, c.message, err.Message, c.text)
		assert.Equal(t, c.message, err.Error())
		assert.Equal(t, c.help, err.Help, c.text)
	}
}

func TestParseNumber(t *testing.T) {
	n, err := ParseNumber(" 3.6 ", Options{})
	require.Nil(t, err)
	assert.Equal(t, 3.6, n)
	_, err = ParseNumber("3.6 times", Options{})
	require.NotNil(t, err)
	assert.Equal(t, "Write 3.6.", err.Help)
	_, err = ParseNumber("three", Options{})
	require.NotNil(t, err)
}

func TestParseRange(t *testing.T) {
	for text, want := range map[string][3]Value{
		"8 min":          {{8, Minute}, {8, Minute}, {8, Minute}},
		"6-8-12 min":     {{6, Minute}, {8, Minute}, {12, Minute}},
		"6 - 8 - 12 min": {{6, Minute}, {8, Minute}, {12, Minute}},
		"6–8–12 min":     {{6, Minute}, {8, Minute}, {12, Minute}},
		"10-15 min":      {{10, Minute}, {12.5, Minute}, {15, Minute}},
		"30 min - 1 h":   {{30, Minute}, {0.75, Hour}, {1, Hour}},
		"½-1 h":          {{0.5, Hour}, {0.75, Hour}, {1, Hour}},
		"1/2-1 1/2-2 h":  {{0.5, Hour}, {1.5, Hour}, {2, Hour}},
		"0-5 min":        {{0, Minute}, {2.5, Minute}, {5, Minute}},
		"8-8-10 min":     {{8, Minute}, {8, Minute}, {10, Minute}},
		"1-3/2 h":        {{1, Hour}, {1.25, Hour}, {1.5, Hour}},
	} {
		low, usual, high, err := ParseRange(text, Options{}, Time)
		if assert.Nil(t, err, "%q: %v", text, err) {
			assert.Equal(t, want, [3]Value{low, usual, high}, text)
		}
	}
	for text, help := range map[string]string{
		"6-8-12":      "Write the unit: 12 min.",
		"6 min-8":     "Write the unit: 8 min.",
		"12-8 min":    "Write the low one first and the high one last.",
		"6-12-8 min":  "Write the low one first and the high one last.",
		"6- min":      "Write the number first, then its unit.",
		"6--8 min":    "Write it as 10-15 min.",
		"1-2-3-4 min": "Write it as 6-8-12 min.",
		"-5 min":      "Write the number alone.",
		"1-1/2 h":     "Write 1 1/2.",
		"6-8 mm":      "Write the amount in min, s or h.",
		"":            "Write a number and its unit.",
	} {
		_, _, _, err := ParseRange(text, Options{}, Time)
		if assert.NotNil(t, err, "%q was read", text) {
			assert.Equal(t, help, err.Help, text)
			assert.True(t, 0 <= err.Start && err.Start <= err.End && err.End <= len(text), text)
		}
	}
}

func TestParseSize(t *testing.T) {
	mm := func(n float64) Value { return Value{n, Millimetre} }
	for text, want := range map[string]struct {
		sides            []Value
		diameter, height Value
	}{
		"120 x 80 x 40 mm":       {sides: []Value{mm(120), mm(80), mm(40)}},
		"120x80x40 mm":           {sides: []Value{mm(120), mm(80), mm(40)}},
		"120 × 80 × 40 mm":       {sides: []Value{mm(120), mm(80), mm(40)}},
		"12 cm x 80 mm x 40 mm":  {sides: []Value{{12, Centimetre}, mm(80), mm(40)}},
		"300 x 6 mm":             {sides: []Value{mm(300), mm(6)}},
		"4 x 3 1/2 x ½ in":       {sides: []Value{{4, Inch}, {3.5, Inch}, {0.5, Inch}}},
		"80 mm dia x 45 mm":      {diameter: mm(80), height: mm(45)},
		"80 dia x 45 mm":         {diameter: mm(80), height: mm(45)},
		"Ø80 x 45 mm":            {diameter: mm(80), height: mm(45)},
		"ø 80 mm × 45 mm":        {diameter: mm(80), height: mm(45)},
		"⌀80 × 45 mm":            {diameter: mm(80), height: mm(45)},
		"80 mm Ø x 45 mm":        {diameter: mm(80), height: mm(45)},
		"80 mm diameter x 45 mm": {diameter: mm(80), height: mm(45)},
		"45 mm x 80 mm dia.":     {diameter: mm(80), height: mm(45)},
		"80 mm dia":              {diameter: mm(80)},
	} {
		sides, diameter, height, err := ParseSize(text, Options{})
		if assert.Nil(t, err, "%q: %v", text, err) {
			assert.Equal(t, want.sides, sides, text)
			assert.Equal(t, want.diameter, diameter, text)
			assert.Equal(t, want.height, height, text)
		}
	}
	for text, message := range map[string]string{
		"120 x 80 x 40":          "The unit is missing after 40.",
		"120 mm x 80 x 40":       "The unit is missing after 40.",
		"120 mm":                 "One length alone is no size.",
		"1 x 2 x 3 x 4 mm":       "A size has no more than three sides.",
		"120 x x 40 mm":          "A side is missing from the size.",
		"x":                      "A side is missing from the size.",
		"80 mm dia x 45 mm dia":  "Two diameters stand in one size.",
		"80 mm dia x 45 x 20 mm": "A round piece has a diameter and a height, nothing more.",
		"0 x 80 x 40 mm":         "A side of the piece is nought.",
		"120 x 80 x 40 kg":       "“kg” measures a mass; a length is asked for here.",
		"large":                  "The amount does not begin with a number.",
		"":                       "A side is missing from the size.",
		"dia":                    "A side is missing from the size.",
		"1,5 x 2 mm":             "Numbers are written with a point here, not with a comma.",
	} {
		_, _, _, err := ParseSize(text, Options{})
		if assert.NotNil(t, err, "%q was read", text) {
			assert.Equal(t, message, err.Message, text)
			assert.True(t, 0 <= err.Start && err.Start <= err.End && err.End <= len(text), text)
		}
	}
}

func TestString(t *testing.T) {
	for want, v := range map[string]Value{
		"50 cm²":    {50, SquareCentimetre},
		"1.5 µm":    {1.5, Micrometre},
		"9.7 µm":    {9.7000000001, Micrometre},
		"45°":       {45, Degree},
		"30 %":      {30, Percent},
		"10.00 EUR": {10, Unit{"EUR", Money, 1}},
		"":          {},
	} {
		assert.Equal(t, want, v.String())
	}
	assert.Equal(t, "50\u00a0cm²", Value{50, SquareCentimetre}.NoBreak())
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		amount  float64
		figures int
		want    string
	}{
		{0, 3, "0"}, {1, 3, "1"}, {9.96, 2, "10"}, {0.0123456, 3, "0.0123"}, {1234.5, 2, "1200"},
		{999.9, 3, "1000"}, {1e-7, 2, "0.0000001"}, {1e12, 3, "1000000000000"}, {-2.54, 2, "-2.5"},
		{17.3, 3, "17.3"}, {0.1 + 0.2, 6, "0.3"}, {100, 1, "100"}, {0.999, 2, "1"}, {5, 0, "5"},
		{math.NaN(), 3, "–"}, {math.Inf(1), 3, "–"},
	} {
		assert.Equal(t, c.want, Format(c.amount, c.figures), "%v to %d", c.amount, c.figures)
	}
}

// Source of every value: v = π d n, worked by hand to the figures given.
func TestRimSpeed(t *testing.T) {
	assert.InDelta(t, 50.0, RimSpeed(300, 3183), 0.05)
	assert.InDelta(t, 22.9, RimSpeed(250, 1750), 0.05)
	assert.InDelta(t, 2.356, RimSpeed(300, 150), 0.0005)
	for diameter, rpm := range map[float64]float64{100: 9549, 150: 6366, 200: 4774, 300: 3183, 400: 2387} {
		assert.Equal(t, rpm, math.Floor(RimRPM(diameter, 50)), "%v mm at 50 m/s, rounded down", diameter)
		assert.InDelta(t, 50, RimSpeed(diameter, RimRPM(diameter, 50)), 1e-9)
	}
	assert.Zero(t, RimRPM(0, 50))
}

// Source: the heavy Baumé scale at 60 °F with the modulus 145, as published
// for liquids heavier than water: SG = 145/(145 − Bé), water 0.
func TestBaume(t *testing.T) {
	assert.Equal(t, 1.0, SpecificGravity(0))
	assert.InDelta(t, 1.0357, SpecificGravity(5), 0.00005)
	assert.InDelta(t, 1.1600, SpecificGravity(20), 0.00005)
	assert.InDelta(t, 6.905, Baume(1.05), 0.0005)
	assert.InDelta(t, 13.182, Baume(1.10), 0.0005)
	assert.Zero(t, SpecificGravity(145))
	assert.Zero(t, Baume(0.9))
	for be := 0.0; be < 70; be += 3.5 {
		assert.InDelta(t, be, Baume(SpecificGravity(be)), 1e-9)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"12 mm", "1 1/2 in", "0½ µm", "1,500 kg", "6-8-12 min", "120 x 80 x 40 mm", "Ø80 × 45 mm",
		"", "\x00", "\xff\xfe", "½½", "1//2", "9e999 mm", "1 1/2", "١٢ mm", "1-", "–", "5 EUR", "1⁄2 in"} {
		f.Add(s, false)
	}
	f.Fuzz(func(t *testing.T, s string, comma bool) {
		o := Options{DecimalComma: comma}
		within := func(e *Error) {
			if e == nil {
				return
			}
			if e.Start < 0 || e.Start > e.End || e.End > len(s) || e.Message == "" || e.Help == "" {
				t.Fatalf("%q: %+v", s, e)
			}
		}
		sound := func(v Value) {
			if v.Amount < 0 || v.Amount > largest+1 || math.IsNaN(v.Amount) {
				t.Fatalf("%q: %v", s, v)
			}
		}
		v, err := Parse(s, o)
		within(err)
		sound(v)
		if err == nil {
			readsBack(t, v)
		}
		_, err = Parse(s, o, Length, Money)
		within(err)
		_, err = ParseNumber(s, o)
		within(err)
		low, usual, high, err := ParseRange(s, o, Time)
		within(err)
		if err == nil && (low.In(Minute) > usual.In(Minute)*(1+1e-9) || usual.In(Minute) > high.In(Minute)*(1+1e-9)) {
			t.Fatalf("%q: %v %v %v", s, low, usual, high)
		}
		_, _, _, err = ParseSize(s, o)
		within(err)
	})
}

// readsBack demands that an amount as it prints is read as the same amount, as
// far as it was printed, in the same unit.
func readsBack(t *testing.T, v Value) {
	printed := v.String()
	again, err := Parse(printed, Options{Nought: true}, v.Unit.Kind)
	if err != nil {
		t.Fatalf("%v prints as %q: %s", v, printed, err.Message)
	}
	near := v.Amount * 0.5e-5
	if v.Unit.Kind == Money {
		near = 0.005 + 1e-9*v.Amount
	}
	if again.Unit != v.Unit || math.Abs(again.Amount-v.Amount) > near+1e-300 || again.String() != printed {
		t.Fatalf("%v prints as %q, which reads as %v", v, printed, again)
	}
}

func BenchmarkParse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Parse("50 cm²", Options{}, Area); err != nil {
			b.Fatal(err)
		}
	}
}
