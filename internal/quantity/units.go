package quantity

// The units a recipe and a shop file are written in. Inch and pound follow the
// international yard and pound agreement of 1959 (inch 25.4 mm, foot twelve of them, pound
// 0.45359237 kg, ounce a sixteenth of it); the kilogram-force is the kilogram
// under the standard acceleration 9.80665 m/s² of the 3rd CGPM, 1901.
var (
	Millimetre = Unit{"mm", Length, 1e-3}
	Centimetre = Unit{"cm", Length, 1e-2}
	Metre      = Unit{"m", Length, 1}
	Inch       = Unit{"in", Length, inch}
	Foot       = Unit{"ft", Length, 12 * inch}
	Micrometre = Unit{"µm", Length, 1e-6}

	SquareMillimetre = Unit{"mm²", Area, 1e-6}
	SquareCentimetre = Unit{"cm²", Area, 1e-4}
	SquareDecimetre  = Unit{"dm²", Area, 1e-2}
	SquareMetre      = Unit{"m²", Area, 1}
	SquareInch       = Unit{"in²", Area, inch * inch}
	SquareFoot       = Unit{"ft²", Area, 144 * inch * inch}

	Millilitre      = Unit{"ml", Volume, 1e-6}
	Litre           = Unit{"l", Volume, 1e-3}
	CubicCentimetre = Unit{"cm³", Volume, 1e-6}

	Gram     = Unit{"g", Mass, 1e-3}
	Kilogram = Unit{"kg", Mass, 1}
	Pound    = Unit{"lb", Mass, pound}
	Ounce    = Unit{"oz", Mass, pound / 16}

	RPM = Unit{"rpm", Rotation, 1.0 / 60}

	MetrePerSecond = Unit{"m/s", Speed, 1}
	FootPerMinute  = Unit{"ft/min", Speed, 12 * inch / 60}

	Second = Unit{"s", Time, 1}
	Minute = Unit{"min", Time, 60}
	Hour   = Unit{"h", Time, 3600}

	Newton        = Unit{"N", Force, 1}
	KilogramForce = Unit{"kgf", Force, gravity}
	PoundForce    = Unit{"lbf", Force, pound * gravity}

	Kilopascal = Unit{"kPa", Pressure, 1e3}
	Bar        = Unit{"bar", Pressure, 1e5}
	PSI        = Unit{"psi", Pressure, pound * gravity / (inch * inch)}

	Decibel = Unit{"dB(A)", Sound, 1}

	MetrePerSecondSquared = Unit{"m/s²", Vibration, 1}

	GramPerCubicCentimetre = Unit{"g/cm³", Density, 1e3}
	KilogramPerCubicMetre  = Unit{"kg/m³", Density, 1}

	Percent = Unit{"%", Share, 1e-2}

	Degree = Unit{"°", Angle, 1}

	MicrometrePerMinute = Unit{"µm/min", Rate, 1e-6 / 60}
	MillimetrePerMinute = Unit{"mm/min", Rate, 1e-3 / 60}
)

const (
	inch    = 0.0254
	pound   = 0.45359237
	gravity = 9.80665
)

// units are all of them; within a kind the one named first is the one a hint
// writes.
var units = []Unit{
	Millimetre, Centimetre, Metre, Inch, Foot, Micrometre,
	SquareCentimetre, SquareMillimetre, SquareDecimetre, SquareMetre, SquareInch, SquareFoot,
	Millilitre, Litre, CubicCentimetre,
	Gram, Kilogram, Pound, Ounce,
	RPM,
	MetrePerSecond, FootPerMinute,
	Minute, Second, Hour,
	Newton, KilogramForce, PoundForce,
	Kilopascal, Bar, PSI,
	Decibel,
	MetrePerSecondSquared,
	GramPerCubicCentimetre, KilogramPerCubicMetre,
	Percent,
	Degree,
	MicrometrePerMinute, MillimetrePerMinute,
}

// spellings are further ways to write a unit.
var spellings = map[string]Unit{
	"mm2": SquareMillimetre, "cm2": SquareCentimetre, "dm2": SquareDecimetre,
	"m2": SquareMetre, "in2": SquareInch, "ft2": SquareFoot, "cm3": CubicCentimetre,
	"\u03bcm": Micrometre, "um": Micrometre, "micron": Micrometre, "microns": Micrometre,
	"m/s2": MetrePerSecondSquared, "g/cm3": GramPerCubicCentimetre, "kg/m3": KilogramPerCubicMetre,
	"\u03bcm/min": MicrometrePerMinute, "um/min": MicrometrePerMinute,
	"deg": Degree, "1/min": RPM, "U/min": RPM, "giri/min": RPM,
}

// meant are words that are not read, with what to write instead: one spelling
// keeps a sheet easy to read and to search.
var meant = map[string]string{
	"millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
	"milimetre": "mm", "milimetres": "mm", "milimeter": "mm", "milimeters": "mm",
	"centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
	"metre": "m", "metres": "m", "meter": "m", "meters": "m",
	"inch": "in", "inches": "in", "\"": "in", "″": "in", "”": "in",
	"sq mm": "mm²", "mm^2": "mm²", "sq cm": "cm²", "cm^2": "cm²", "sqcm": "cm²", "sq m": "m²", "m^2": "m²",
	"sq in": "in²", "in^2": "in²", "square inches": "in²", "sq ft": "ft²", "ft^2": "ft²", "square feet": "ft²", "square foot": "ft²", "sqft": "ft²",
	"foot": "ft", "feet": "ft",
	"gram": "g", "grams": "g", "gr": "g", "gramme": "g", "grammes": "g", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg", "kgs": "kg",
	"pound": "lb", "pounds": "lb", "lbs": "lb", "ounce": "oz", "ounces": "oz",
	"r/min": "rpm", "rev/min": "rpm", "revs": "rpm", "rpms": "rpm", "turns": "rpm",
	"sfpm": "ft/min", "sfm": "ft/min", "fpm": "ft/min", "ft/minute": "ft/min", "mps": "m/s",
	"sec": "s", "secs": "s", "second": "s", "seconds": "s",
	"mins": "min", "minute": "min", "minutes": "min", "mn": "min",
	"hr": "h", "hrs": "h", "hour": "h", "hours": "h", "std": "h",
	"newton": "N", "newtons": "N", "kg force": "kgf", "kp": "kgf", "bars": "bar", "kilopascal": "kPa",
	"db": "dB(A)", "dba": "dB(A)", "db a": "dB(A)", "db (a)": "dB(A)", "decibel": "dB(A)", "decibels": "dB(A)",
	"percent": "%", "per cent": "%", "pct": "%", "degree": "°", "degrees": "°",
	"millilitre": "ml", "millilitres": "ml", "litre": "l", "litres": "l", "liter": "l", "liters": "l", "cc": "ml", "ccm": "ml",
	"€": "EUR", "euro": "EUR", "euros": "EUR", "£": "GBP", "pound sterling": "GBP", "$": "USD", "dollar": "USD", "dollars": "USD",
}

// names finds a unit by how it is written; folded by the same in lower case.
var names, folded = index()

func index() (exact, lower map[string]Unit) {
	exact = make(map[string]Unit, len(units)+len(spellings))
	lower = make(map[string]Unit, len(units)+len(spellings))
	put := func(name string, u Unit) {
		exact[name] = u
		lower[fold(name)] = u
	}
	for _, u := range units {
		put(u.Symbol, u)
	}
	for name, u := range spellings {
		put(name, u)
	}
	return exact, lower
}

// Units are the units of a kind, the usual one first.
func Units(k Kind) []Unit {
	var of []Unit
	for _, u := range units {
		if u.Kind == k {
			of = append(of, u)
		}
	}
	return of
}

// Named finds a unit by how it is written: "mm", "cm2", "µm" with either micro
// sign, "EUR". Capitals do not matter, except in a currency, which is three
// capital letters.
func Named(name string) (Unit, bool) {
	if u, ok := names[name]; ok {
		return u, true
	}
	if len(name) > 8 {
		return Unit{}, false
	}
	if u, ok := folded[fold(name)]; ok {
		return u, true
	}
	return Unit{}, false
}

// Currency is the unit of a price: three capital letters, as in ISO 4217. The
// letters are not looked up.
func Currency(letters string) (Unit, bool) {
	if len(letters) != 3 {
		return Unit{}, false
	}
	for i := range 3 {
		if letters[i] < 'A' || letters[i] > 'Z' {
			return Unit{}, false
		}
	}
	return Unit{Symbol: letters, Kind: Money, Factor: 1}, true
}

// String says what the kind measures, as in "a length".
func (k Kind) String() string {
	switch k {
	case Length:
		return "a length"
	case Area:
		return "an area"
	case Volume:
		return "a volume"
	case Mass:
		return "a mass"
	case Rotation:
		return "a speed of rotation"
	case Speed:
		return "a speed"
	case Time:
		return "a time"
	case Force:
		return "a force"
	case Pressure:
		return "a pressure"
	case Sound:
		return "a noise level"
	case Vibration:
		return "a vibration"
	case Density:
		return "a density"
	case Share:
		return "a share"
	case Angle:
		return "an angle"
	case Money:
		return "a price"
	case Rate:
		return "a rate of removal"
	}
	return "an amount"
}
