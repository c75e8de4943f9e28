package quantity

import (
	"fmt"
	"math"
	"slices"
)

// A Quantity is a value in Unit. By holds, for each source of uncertainty and in the order of their names, how far one
// standard uncertainty of that source moves the value, in Unit (in degrees of its scale for a temperature) and with its
// sign.
type Quantity struct {
	Value float64
	Unit  Unit
	By    []Effect
	// Alone is By as the instruments alone would have it, where an observed scatter stands in By for the readings' own
	// uncertainties; nil where no scatter was looked at. InstrumentsAlone reads it.
	Alone []Effect
	// Drawn marks a value of one trial of a sampling: neither it nor what is made of it has effects.
	Drawn bool
}

// Exact returns a quantity without uncertainty.
func Exact(value float64, u Unit) Quantity { return Quantity{Value: value, Unit: u} }

// Ratio returns a bare number, unit 1, without uncertainty.
func Ratio(value float64) Quantity { return Quantity{Value: value} }

// With returns q with one more independent source of uncertainty, whose standard uncertainty is u in q's unit. A source
// that q has already gets the two effects added with their sign. Degrees of freedom that are not set mean Known.
func (q Quantity) With(s Source, u float64) Quantity {
	if q.Drawn {
		return q
	}
	if !(s.DoF > 0) {
		s.DoF = Known()
	}
	more := Quantity{By: []Effect{{s, u}}}
	q.By, q.Alone = both(1, q, 1, more)
	return q
}

// U returns the combined standard uncertainty of q in its own unit (JCGM 100:2008, 5.1.2; the sources are independent).
func (q Quantity) U() float64 {
	var sum float64
	for _, e := range q.By {
		sum += e.Amount * e.Amount
	}
	return math.Sqrt(sum)
}

// To returns q in another unit of the same dimension.
func (q Quantity) To(u Unit) (Quantity, error) {
	if q.Unit == u {
		return q, nil
	}
	if !q.Unit.Fits(u) {
		return Quantity{}, &UnitError{Op: "to", A: q.Unit, B: u, Msg: fmt.Sprintf("%s cannot be given in %s", q.Unit, u)}
	}
	return q.linear(q.Unit.convert(q.Value, u), u, q.Unit.factorTo(u)), nil
}

// Neg returns -q.
func Neg(q Quantity) (Quantity, error) {
	if q.Unit.IsTemperature() {
		return Quantity{}, &UnitError{Msg: "a temperature on a scale with its own zero has no opposite: take a difference first"}
	}
	return q.linear(-q.Value, q.Unit, -1), nil
}

// linear returns a quantity of the given value and unit that depends on q with the derivative d.
func (q Quantity) linear(value float64, u Unit, d float64) Quantity {
	return derive(value, u, d, q, 0, Quantity{})
}

// Add returns a + b in a's unit. An interval may be added to a temperature, and the sum is a temperature.
func Add(a, b Quantity) (Quantity, error) {
	if a.Unit.IsTemperature() && b.Unit.IsTemperature() {
		return Quantity{}, &UnitError{Op: "+", A: a.Unit, B: b.Unit, Msg: "two temperatures cannot be added: add an interval in K, or take the mean"}
	}
	if b.Unit.IsTemperature() {
		a, b = b, a
	}
	return sum(a, b, 1, "+")
}

// Sub returns a - b in a's unit; the difference of two temperatures is an interval in K.
func Sub(a, b Quantity) (Quantity, error) {
	switch {
	case a.Unit.IsTemperature() && b.Unit.IsTemperature():
		b, err := b.To(a.Unit)
		if err != nil {
			return Quantity{}, err
		}
		d := derive(a.Value-b.Value, a.Unit, 1, a, -1, b) // no detour over 273.15
		k := a.Unit.Interval()
		return d.linear(a.Unit.interval(d.Value, k), k, a.Unit.factorTo(k)), nil
	case b.Unit.IsTemperature():
		return Quantity{}, &UnitError{Op: "-", A: a.Unit, B: b.Unit, Msg: fmt.Sprintf("a temperature cannot be taken from %s", a.Unit)}
	}
	return sum(a, b, -1, "-")
}

// sum returns a + sign*b, where b is no temperature.
func sum(a, b Quantity, sign float64, op string) (Quantity, error) {
	if !a.Unit.Fits(b.Unit) {
		return Quantity{}, &UnitError{Op: op, A: a.Unit, B: b.Unit}
	}
	return derive(a.Value+sign*b.Unit.interval(b.Value, a.Unit), a.Unit, 1, a, sign*b.Unit.factorTo(a.Unit), b), nil
}

// Mul returns a * b.
func Mul(a, b Quantity) (Quantity, error) {
	u, err := a.Unit.Times(b.Unit)
	if err != nil {
		return Quantity{}, err
	}
	return derive(a.Value*b.Value, u, b.Value, a, a.Value, b), nil
}

// Div returns a / b; division by zero is a *RangeError.
func Div(a, b Quantity) (Quantity, error) {
	u, err := a.Unit.Per(b.Unit)
	if err != nil {
		return Quantity{}, err
	}
	if b.Value == 0 {
		return Quantity{}, &RangeError{"division by zero"}
	}
	v := a.Value / b.Value
	return derive(v, u, 1/b.Value, a, -v/b.Value, b), nil
}

// Pow returns q raised to n. A quantity with a dimension takes whole exponents only.
func Pow(q Quantity, n float64) (Quantity, error) {
	u := One
	switch {
	case n == 0 && !q.Unit.IsTemperature():
		return Ratio(1), nil
	case !q.Unit.IsRatio():
		if n != math.Trunc(n) || math.Abs(n) > 9 {
			return Quantity{}, &UnitError{Msg: fmt.Sprintf("%s can only be raised to a whole number from -9 to 9", q.Unit)}
		}
		var err error
		if u, err = q.Unit.Power(int(n)); err != nil {
			return Quantity{}, err
		}
	default:
		q = q.linear(q.Unit.convert(q.Value, One), One, q.Unit.factorTo(One))
	}
	return q.Map(u, func(x float64) (float64, float64) {
		return math.Pow(x, n), n * math.Pow(x, n-1)
	})
}

// Raise returns a raised to b, which may be uncertain itself; both are ratios unless b is exact.
func Raise(a, b Quantity) (Quantity, error) {
	if !b.Unit.IsRatio() {
		return Quantity{}, &UnitError{Op: "^", A: a.Unit, B: b.Unit}
	}
	n, err := b.To(One)
	if err != nil {
		return Quantity{}, err
	}
	p, err := Pow(a, n.Value)
	if err != nil || len(n.By) == 0 {
		return p, err
	}
	if !a.Unit.IsRatio() {
		return Quantity{}, &UnitError{Msg: fmt.Sprintf("%s can only be raised to an exact number", a.Unit)}
	}
	base, err := a.To(One)
	if err != nil {
		return Quantity{}, err
	}
	if base.Value <= 0 {
		return Quantity{}, &RangeError{fmt.Sprintf("no finite uncertainty: an uncertain power of %g", base.Value)}
	}
	return derive(p.Value, p.Unit, 1, p, p.Value*math.Log(base.Value), n), nil
}

// Map returns f(q) in the unit u, where f gives the value and the derivative at q's value; a result that is no number
// is a *RangeError.
func (q Quantity) Map(u Unit, f func(x float64) (y, dy float64)) (Quantity, error) {
	y, dy := f(q.Value)
	if math.IsNaN(y) || math.IsInf(y, 0) {
		return Quantity{}, &RangeError{fmt.Sprintf("no value at %g", q.Value)}
	}
	if len(q.By) > 0 && (math.IsNaN(dy) || math.IsInf(dy, 0)) {
		return Quantity{}, &RangeError{fmt.Sprintf("no finite uncertainty at %g", q.Value)}
	}
	return q.linear(y, u, dy), nil
}

// Combine returns the quantity of the given value and unit that depends on each input with the given derivative
// (JCGM 100:2008, 5.1.3): what a method uses that knows its own derivatives. An input without one is left out.
func Combine(value float64, u Unit, inputs []Quantity, derivatives []float64) Quantity {
	inputs = inputs[:min(len(inputs), len(derivatives))]
	if anyDrawn(inputs) {
		return Quantity{Value: value, Unit: u, Drawn: true}
	}
	out := Quantity{Value: value, Unit: u, By: gather(inputs, derivatives, Quantity.effects)}
	if slices.ContainsFunc(inputs, Quantity.Repeated) {
		out.Alone = present(gather(inputs, derivatives, Quantity.alone))
	}
	return out
}

func anyDrawn(inputs []Quantity) bool {
	for i := range inputs {
		if inputs[i].Drawn {
			return true
		}
	}
	return false
}

// Compare returns -1, 0 or 1 as a is less than, equal to or more than b, by value alone.
func Compare(a, b Quantity) (int, error) {
	if !a.Unit.Fits(b.Unit) {
		return 0, &UnitError{Op: "compared with", A: a.Unit, B: b.Unit}
	}
	x, y := a.Value, b.Unit.convert(b.Value, a.Unit)
	switch {
	case x < y:
		return -1, nil
	case x > y:
		return 1, nil
	}
	return 0, nil
}

// Impossible tells why nothing can be q: a temperature below absolute zero, a mass or a time below nothing. It is ""
// where something can; an interval of temperature can be negative.
func (q Quantity) Impossible() string {
	const dust = 1e-9 // K
	switch {
	case q.Unit.IsTemperature() && q.Unit.convert(q.Value, MustUnit("K")) < -dust:
		return q.Text() + " is below absolute zero"
	case q.Value < 0 && q.Unit.Fits(MustUnit("g")):
		return q.Text() + " is less than nothing: a mass cannot be negative"
	case q.Value < 0 && q.Unit.Fits(MustUnit("s")):
		return q.Text() + " is less than nothing: a time cannot be negative"
	}
	return ""
}

// A RangeError says that a calculation has no value for these numbers.
type RangeError struct{ Msg string }

func (e *RangeError) Error() string { return e.Msg }
