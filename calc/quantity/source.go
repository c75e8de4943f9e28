package quantity

import (
	"math"
	"slices"
	"strings"
)

// A Shape is the distribution that is assumed for a source of uncertainty (JCGM 100:2008, 4.3).
type Shape uint8

// The shapes. Normal with finite degrees of freedom stands for Student's t.
const (
	Normal Shape = iota
	Rectangular
	Triangular
)

// A Source is one independent cause of uncertainty, named after where it comes from: "reading:flask/step",
// "instrument:balance/offset", "given:assay". Two quantities that name the same source share its error.
type Source struct {
	Name  string
	Shape Shape
	DoF   float64 // degrees of freedom of its standard uncertainty; +Inf (Known) when it is taken as exact
}

// Known is the number of degrees of freedom of a source whose standard uncertainty is taken as exactly known.
func Known() float64 { return math.Inf(1) }

// HalfWidth returns the standard uncertainty of a distribution of the given shape whose half-width is a: a/sqrt(3) when
// rectangular (JCGM 100:2008, 4.3.7), a/sqrt(6) when triangular (4.3.9); for Normal a is the standard uncertainty.
func (s Shape) HalfWidth(a float64) float64 {
	switch s {
	case Rectangular:
		return a / math.Sqrt(3)
	case Triangular:
		return a / math.Sqrt(6)
	}
	return a
}

// An Effect is how far one standard uncertainty of Source moves a quantity, in the quantity's unit and with its sign.
type Effect struct {
	Source Source
	Amount float64
}

// compare orders sources by name, then by shape and degrees of freedom, so that sums have one order.
func (s Source) compare(t Source) int {
	if c := strings.Compare(s.Name, t.Name); c != 0 {
		return c
	}
	if s.Shape != t.Shape {
		return int(s.Shape) - int(t.Shape)
	}
	switch {
	case s.DoF < t.DoF:
		return -1
	case s.DoF > t.DoF:
		return 1
	}
	return 0
}

// merge returns the effects of p*a + r*b, ordered by source; a and b are ordered already.
func merge(p float64, a []Effect, r float64, b []Effect) []Effect {
	if len(a) == 0 && len(b) == 0 {
		return nil
	}
	out := make([]Effect, 0, len(a)+len(b))
	for len(a) > 0 || len(b) > 0 {
		var e Effect
		switch c := order(a, b); {
		case c < 0:
			e, a = Effect{a[0].Source, p * a[0].Amount}, a[1:]
		case c > 0:
			e, b = Effect{b[0].Source, r * b[0].Amount}, b[1:]
		default:
			e = Effect{a[0].Source, p*a[0].Amount + r*b[0].Amount}
			a, b = a[1:], b[1:]
		}
		if e.Amount != 0 {
			out = append(out, e)
		}
	}
	return out
}

// derive returns the quantity that depends on a and b with the derivatives p and r.
func derive(value float64, u Unit, p float64, a Quantity, r float64, b Quantity) Quantity {
	if a.Drawn || b.Drawn {
		return Quantity{Value: value, Unit: u, Drawn: true}
	}
	by, alone := both(p, a, r, b)
	return Quantity{Value: value, Unit: u, By: by, Alone: alone}
}

// both returns By and Alone of p*a + r*b.
func both(p float64, a Quantity, r float64, b Quantity) (by, alone []Effect) {
	by = merge(p, a.By, r, b.By)
	if a.Repeated() || b.Repeated() {
		alone = present(merge(p, a.alone(), r, b.alone()))
	}
	return by, alone
}

func (q Quantity) effects() []Effect { return q.By }

func (q Quantity) alone() []Effect {
	if q.Alone != nil {
		return q.Alone
	}
	return q.By
}

// present returns effects that are there, if only as none.
func present(e []Effect) []Effect {
	if e == nil {
		return []Effect{}
	}
	return e
}

// gather returns the effects of the sum of d[i]*inputs[i], ordered by source, where of tells which effects of an input
// count. Effects of one source are added in the order of the inputs, so that the sum has one order.
func gather(inputs []Quantity, d []float64, of func(Quantity) []Effect) []Effect {
	n := 0
	for _, q := range inputs {
		n += len(of(q))
	}
	if n == 0 {
		return nil
	}
	all := make([]Effect, 0, n)
	for i, q := range inputs {
		for _, e := range of(q) {
			all = append(all, Effect{e.Source, d[i] * e.Amount})
		}
	}
	slices.SortStableFunc(all, func(a, b Effect) int { return a.Source.compare(b.Source) })
	out := all[:0]
	for i := 0; i < n; {
		e := all[i]
		for i++; i < n && all[i].Source == e.Source; i++ {
			e.Amount += all[i].Amount
		}
		if e.Amount != 0 {
			out = append(out, e)
		}
	}
	return out
}

func order(a, b []Effect) int {
	switch {
	case len(b) == 0:
		return -1
	case len(a) == 0:
		return 1
	}
	return a[0].Source.compare(b[0].Source)
}
