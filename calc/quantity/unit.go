package quantity

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
)

// A Unit is a UCUM unit. The zero Unit is the unit 1. Units are comparable: two units with the same canonical code are
// equal, and units of one dimension that differ in size (g and kg) are not.
type Unit struct{ def *definition }

// definition is the meaning of a canonical code: value in coherent base units = value*mant*10^exp (+ zero in kelvin).
type definition struct {
	code    string
	dim     dimension
	mant    float64
	exp     int
	zero    float64 // where the scale begins, in K: 273.15 for Cel; only special units have it
	special bool
	factors []factor // what the code is made of, in canonical order
}

// dimension holds the exponents of metre, gram, second, kelvin, mole, radian, candela, coulomb and pH.
type dimension [9]int8

type factor struct {
	atom string // with its prefix, as written
	exp  int
}

// One is the unit of a bare ratio.
var One Unit

var interned = cache{most: 10_000} // canonical code, or another spelling of it -> *definition

// A cache is never emptied and takes only so much: codes come from files of strangers too.
type cache struct {
	m    sync.Map
	n    atomic.Int64
	most int64
}

func (c *cache) load(key any) (*definition, bool) {
	d, ok := c.m.Load(key)
	if !ok {
		return nil, false
	}
	return d.(*definition), true
}

// keep returns what is kept under key, which is d if nothing was; false when the cache is full.
func (c *cache) keep(key any, d *definition) (*definition, bool) {
	if old, ok := c.load(key); ok {
		return old, true
	}
	if c.n.Load() >= c.most {
		return d, false
	}
	kept, loaded := c.m.LoadOrStore(key, d)
	if !loaded {
		c.n.Add(1)
	}
	return kept.(*definition), true
}

// A UnitError says that units do not fit, in the words of the codes.
type UnitError struct {
	Op   string // "+", "-", "compare", "convert", ...
	A, B Unit
	Msg  string // when set, the whole sentence
}

func (e *UnitError) Error() string {
	if e.Msg != "" {
		return e.Msg
	}
	return fmt.Sprintf("units do not fit: %s %s %s", e.A, e.Op, e.B)
}

// String returns the UCUM code, as ParseUnit takes it; "1" for the unit 1.
func (u Unit) String() string {
	if u.def == nil {
		return "1"
	}
	return u.def.code
}

func (u Unit) get() *definition {
	if u.def == nil {
		return &one
	}
	return u.def
}

var one = definition{code: "1", mant: 1}

// IsTemperature tells whether u is a temperature scale with a zero of its own (Cel, [degF]), whose values are points
// and not intervals.
func (u Unit) IsTemperature() bool { return u.get().special }

// IsRatio tells whether u has no dimension: 1, %, mg/g.
func (u Unit) IsRatio() bool { return u.get().dim == dimension{} }

// Fits tells whether values in u can be converted to v. A temperature scale fits another temperature scale and, as a
// point, the kelvin.
func (u Unit) Fits(v Unit) bool { return u.get().dim == v.get().dim }

// Interval returns the unit of a difference of two values in u: K for a temperature scale, u itself otherwise.
func (u Unit) Interval() Unit {
	if u.IsTemperature() {
		return MustUnit("K")
	}
	return u
}

// factorTo returns f such that an interval in u * f = the interval in v.
func (u Unit) factorTo(v Unit) float64 {
	a, b := u.get(), v.get()
	if a == b {
		return 1
	}
	return scale10(a.mant/b.mant, a.exp-b.exp)
}

// scale10 returns x*10^e, with an exact power of ten on the side where one exists.
func scale10(x float64, e int) float64 {
	switch {
	case e == 0:
		return x
	case e > 0:
		return x * math.Pow10(e)
	}
	return x / math.Pow10(-e)
}

// interval returns in v what is an interval of x in u: zeros of scales play no part.
func (u Unit) interval(x float64, v Unit) float64 { return rescale(x, u.get(), v.get()) }

// convert returns value in v of x in u; the units must fit.
func (u Unit) convert(x float64, v Unit) float64 {
	a, b := u.get(), v.get()
	switch {
	case a == b:
		return x
	case a.zero == b.zero:
		return rescale(x, a, b)
	}
	return rescale(x, a, b) + rescale(a.zero-b.zero, &one, b) // zeros are in K
}

func rescale(x float64, a, b *definition) float64 {
	return scale10(x*a.mant/b.mant, a.exp-b.exp)
}

// Times returns the unit of a product of values in u and v.
func (u Unit) Times(v Unit) (Unit, error) { return u.combine(v, 1) }

// Per returns the unit of a quotient of values in u and v.
func (u Unit) Per(v Unit) (Unit, error) { return u.combine(v, -1) }

func (u Unit) combine(v Unit, sign int) (Unit, error) {
	if u.IsTemperature() || v.IsTemperature() {
		return One, &UnitError{Msg: "a temperature on a scale with its own zero enters no product or quotient: take a difference first"}
	}
	if v.def == nil {
		return u, nil
	}
	if u.def == nil && sign > 0 {
		return v, nil
	}
	key := pair{u.def, v.def, sign}
	if d, ok := combined.load(key); ok {
		return Unit{d}, nil
	}
	w, err := build(append(append([]factor{}, u.get().factors...), raised(v.get().factors, sign)...))
	if err == nil {
		combined.keep(key, w.def)
	}
	return w, err
}

type pair struct {
	a, b *definition
	sign int
}

var combined = cache{most: 100_000} // pair -> *definition

// Power returns the unit of a value in u raised to n.
func (u Unit) Power(n int) (Unit, error) {
	if u.IsTemperature() {
		return One, &UnitError{Msg: "a temperature on a scale with its own zero has no power: take a difference first"}
	}
	if n == 0 || u.def == nil {
		return One, nil
	}
	return build(raised(u.get().factors, n))
}

// Root returns the unit of the square root of a value in u; every exponent must be even.
func (u Unit) Root() (Unit, error) {
	if u.def == nil {
		return u, nil
	}
	half := make([]factor, 0, len(u.def.factors))
	for _, f := range u.def.factors {
		if f.exp%2 != 0 {
			return One, &UnitError{Msg: fmt.Sprintf("the square root of %s is no unit", u)}
		}
		half = append(half, factor{f.atom, f.exp / 2})
	}
	return build(half)
}

func raised(fs []factor, n int) []factor {
	out := make([]factor, len(fs))
	for i, f := range fs {
		out[i] = factor{f.atom, f.exp * n}
	}
	return out
}

// build returns the interned unit of a product of factors; like factors are merged and the code is put in one order:
// positive exponents first, by atom, then negative ones after a slash each; a bare 1 stands before a slash.
func build(fs []factor) (Unit, error) {
	sum := make(map[string]int, len(fs))
	for _, f := range fs {
		sum[f.atom] += f.exp
	}
	atoms := make([]string, 0, len(sum))
	for a, e := range sum {
		if e != 0 {
			atoms = append(atoms, a)
		}
	}
	if len(atoms) == 0 {
		return One, nil
	}
	sort.Slice(atoms, func(i, j int) bool {
		if (sum[atoms[i]] > 0) != (sum[atoms[j]] > 0) {
			return sum[atoms[i]] > 0
		}
		return atoms[i] < atoms[j]
	})
	d := &definition{mant: 1}
	var code strings.Builder
	for _, a := range atoms {
		e := sum[a]
		_, m, _ := lookup(a)
		if m.special {
			if len(atoms) > 1 || e != 1 {
				return One, &UnitError{Msg: fmt.Sprintf("%s is a scale with its own zero and stands alone: write K for an interval", a)}
			}
			d.special, d.zero = true, m.zero
		}
		if !d.raise(m.meaning, e) {
			return One, &UnitError{Msg: fmt.Sprintf("a unit with %s to the power %d is beyond reason", a, e)}
		}
		d.factors = append(d.factors, factor{a, e})
		writeTerm(&code, a, e)
	}
	d.code = code.String()
	d, ok := interned.keep(d.code, d)
	if !ok {
		return One, &UnitError{Msg: fmt.Sprintf("more than %d different units: no more are taken", interned.most)}
	}
	return Unit{d}, nil
}

// raise multiplies d by m to the power e; it reports false when the outcome is larger or smaller than any unit needs.
func (d *definition) raise(m meaning, e int) bool {
	for i := range d.dim {
		n := int(d.dim[i]) + e*int(m.dim[i])
		if n > 60 || n < -60 {
			return false
		}
		d.dim[i] = int8(n)
	}
	d.mant *= math.Pow(m.mant, float64(e))
	d.exp += m.exp * e
	return d.exp < 150 && d.exp > -150 && d.mant < 1e100 && d.mant > 1e-100
}

func writeTerm(b *strings.Builder, atom string, e int) {
	switch {
	case e < 0:
		if b.Len() == 0 {
			b.WriteByte('1')
		}
		b.WriteByte('/')
		e = -e
	case b.Len() > 0:
		b.WriteByte('.')
	}
	b.WriteString(atom)
	if e != 1 {
		b.WriteString(strconv.Itoa(e))
	}
}
