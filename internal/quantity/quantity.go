// Package quantity reads and prints amounts the way a bench writes them: a
// number and its unit, a half written ½ or 1/2, a range of minutes.
package quantity

// Kind is what an amount measures.
type Kind int

const (
	Length Kind = iota + 1
	Area
	Volume
	Mass
	Rotation
	Speed
	Time
	Force
	Pressure
	Sound
	Vibration
	Density
	Share
	Angle
	Money
	// Rate is how fast glass comes off, as a depth in a time.
	Rate
)

// Unit is a unit of one kind.
type Unit struct {
	// Symbol is how the unit prints: "mm", "cm²", "rpm".
	Symbol string
	Kind   Kind
	// Factor turns one of it into the base unit of its kind: metre, square
	// metre, cubic metre, kilogram, revolution per second, metre per second,
	// second, newton, pascal, dB(A), m/s², kg/m³, a part of one, degree of arc,
	// metre per second for a rate. Money has no base; its symbol is the
	// currency and its factor 1.
	Factor float64
}

// Value is an amount as it was written.
type Value struct {
	Amount float64
	Unit   Unit
}

// Written says whether there is an amount at all.
func (v Value) Written() bool { return v.Unit.Kind != 0 }

// In is the amount in another unit of the same kind; 0 where the kinds differ,
// as two currencies do.
func (v Value) In(u Unit) float64 {
	if v.Unit.Kind != u.Kind || u.Factor == 0 {
		return 0
	}
	if v.Unit == u {
		return v.Amount
	}
	if u.Kind == Money {
		return 0
	}
	return v.Amount * v.Unit.Factor / u.Factor
}

// Options say how the house writes numbers.
type Options struct {
	// DecimalComma is true where the house's language writes 1,5.
	DecimalComma bool
	// Nought is true where an amount of nothing may be meant, as in an
	// unevenness of 0 mm.
	Nought bool
}

// Error says what is wrong with an amount, in words of the bench. Start and
// End are bytes of the text that was read.
type Error struct {
	Start, End int
	Message    string
	// Help says what to write instead.
	Help string
	// Put is what to put in the place of Words, which stand from Start to End,
	// where nothing else can be meant; empty where something can.
	Words, Put string
}

// fault is the finding of the bytes start to end.
func fault(start, end int, message, help string) *Error {
	return &Error{Start: start, End: end, Message: message, Help: help}
}

// put is e with the one thing that can be meant by the words of text it
// stands for.
func (e *Error) put(text, instead string) *Error {
	e.Words, e.Put = text[e.Start:e.End], instead
	return e
}

func (e *Error) Error() string { return e.Message }
