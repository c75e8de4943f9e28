package formula

import (
	"math"

	"example.org/meniscus/calc/quantity"
)

// A compiled is a part of a formula as a sheet works it out. By its kind it yields a number (a truth is 1 or 0), a
// list, a series, which is a list with times, or a text. NaN and nil stand for no value. A list is good until the part
// is asked again.
type compiled struct {
	kind   Kind
	unit   quantity.Unit
	fixed  bool // the same in every trial
	number func() float64
	list   func() []float64
	times  func() []quantity.Quantity
	text   func() *Value
}

// none is a part without a value.
func none(kind Kind, unit quantity.Unit) compiled {
	return compiled{kind: kind, unit: unit, fixed: true, number: math.NaN, list: func() []float64 { return nil },
		times: func() []quantity.Quantity { return nil }, text: func() *Value { return nil }}
}

// always is a part with a value that stays.
func always(v Value) compiled {
	p := none(v.Kind, v.Number.Unit)
	x := v.numbers()
	switch v.Kind {
	case Number, Truth:
		p.number = func() float64 { return x[0] }
	case Text:
		p.text = func() *Value { return &v }
	default:
		if len(v.List) > 0 {
			p.unit = v.List[0].Unit
		}
		p.list, p.times = func() []float64 { return x }, func() []quantity.Quantity { return v.Times }
	}
	return p
}

// numbers returns the plain numbers of v: one, or those of its list; never nil.
func (v Value) numbers() []float64 {
	switch {
	case v.Kind == Number:
		return []float64{v.Number.Value}
	case v.Kind == Truth && v.Truth:
		return []float64{1}
	case v.Kind == Truth:
		return []float64{0}
	}
	out := make([]float64, len(v.List))
	for i, q := range v.List {
		out[i] = q.Value
	}
	return out
}

// compile returns n for a sheet. What no trial changes is worked out now.
func compile(n node, s *Sheet) compiled { return n.compile(s).folded() }

func (p compiled) folded() compiled {
	if !p.fixed {
		return p
	}
	switch p.kind {
	case Number, Truth:
		x := p.number()
		p.number = func() float64 { return x }
	case Text:
		v := p.text()
		p.text = func() *Value { return v }
	default:
		x := p.list()
		p.list = func() []float64 { return x }
	}
	return p
}

// finiteOnly returns x, or NaN where it is no finite number: no formula goes on from that.
func finiteOnly(x float64) float64 {
	if math.Abs(x) <= math.MaxFloat64 {
		return x
	}
	return math.NaN()
}

// valueOf is the number that the rules of quantities give, for what is too rare to have a plain form.
func valueOf(q quantity.Quantity, err error) float64 {
	if err != nil {
		return math.NaN()
	}
	return finiteOnly(q.Value)
}

// complete returns x, or nil when an element has no value.
func complete(x []float64) []float64 {
	for _, v := range x {
		if math.IsNaN(v) {
			return nil
		}
	}
	return x
}

// room returns a list of n elements, in the place of an old one if it can; never nil.
func room(old []float64, n int) []float64 {
	if cap(old) < n || old == nil {
		return make([]float64, n)
	}
	return old[:n]
}

// as returns p as the given kind in the given unit, or nothing where that cannot be.
func (p compiled) as(kind Kind, unit quantity.Unit) compiled {
	switch {
	case p.kind == kind:
	case p.kind == Number && kind == List:
		number, one := p.number, make([]float64, 1)
		p.list = func() []float64 {
			one[0] = number()
			return complete(one)
		}
	case p.kind == Series && kind == List:
	default:
		return none(kind, unit)
	}
	p.kind = kind
	if from := p.unit; from != unit && kind.numeric() {
		p = p.each(unit, func(x float64) float64 { return valueOf(quantity.Exact(x, from).To(unit)) })
	}
	return p.folded()
}

// each returns f of a number, or of every element of a list.
func (p compiled) each(unit quantity.Unit, f func(float64) float64) compiled {
	number, list, out := p.number, p.list, []float64(nil)
	p.unit = unit
	p.number = func() float64 {
		if x := number(); !math.IsNaN(x) {
			return f(x)
		}
		return math.NaN()
	}
	p.list = func() []float64 {
		x := list()
		if x == nil {
			return nil
		}
		out = room(out, len(x))
		for i := range x {
			out[i] = f(x[i])
		}
		return complete(out)
	}
	return p
}

func (n constant) compile(*Sheet) compiled { return always(n.v) }

func (n nameNode) compile(s *Sheet) compiled {
	c := s.Cell(n.name)
	if c == nil {
		return none(n.want.Kind, n.want.Unit)
	}
	return c.plain().as(n.want.Kind, n.want.Unit)
}

func (n minusNode) compile(s *Sheet) compiled {
	p := compile(n.x, s)
	p.kind = joined(Type{Kind: p.kind}, Type{Kind: p.kind})
	return p.each(p.unit, func(x float64) float64 { return -x })
}

func (n notNode) compile(s *Sheet) compiled {
	return compile(n.x, s).each(quantity.One, func(x float64) float64 { return 1 - x })
}

func (n logicNode) compile(s *Sheet) compiled {
	x, y := compile(n.x, s), compile(n.y, s)
	decides := always(Value{Kind: Truth, Truth: n.or}).number()
	out := none(Truth, quantity.One)
	out.fixed = x.fixed && y.fixed
	out.number = func() float64 {
		if v := x.number(); v == decides || math.IsNaN(v) {
			return v
		}
		return y.number()
	}
	return out
}

func (n arithmeticNode) compile(s *Sheet) compiled {
	x, y := compile(n.x, s), compile(n.y, s)
	q, err := n.do(quantity.Exact(1, x.unit), quantity.Exact(1, y.unit))
	out := none(joined(Type{Kind: x.kind}, Type{Kind: y.kind}), q.Unit)
	if err != nil {
		return out
	}
	out.fixed = x.fixed && y.fixed
	f := n.plain(x.unit, y.unit)
	a, b := x.number, y.number
	out.number = func() float64 { return f(a(), b()) }
	var place []float64
	out.list = func() []float64 {
		place = pairs(place, x, y, f)
		return complete(place)
	}
	return out
}

// plain returns the operation on plain numbers in these units.
func (n arithmeticNode) plain(ux, uy quantity.Unit) func(x, y float64) float64 {
	alike := ux == uy && !ux.IsTemperature()
	switch {
	case n.op == "+" && alike:
		return func(x, y float64) float64 { return finiteOnly(x + y) }
	case n.op == "-" && alike:
		return func(x, y float64) float64 { return finiteOnly(x - y) }
	case n.op == "*":
		return func(x, y float64) float64 { return finiteOnly(x * y) }
	case n.op == "/":
		return func(x, y float64) float64 { return finiteOnly(x / y) }
	}
	return func(x, y float64) float64 {
		if math.IsNaN(x) || math.IsNaN(y) {
			return math.NaN()
		}
		return valueOf(n.do(quantity.Exact(x, ux), quantity.Exact(y, uy)))
	}
}

// pairs combines two lists of equal length, or a number with every element of a list.
func pairs(out []float64, x, y compiled, f func(x, y float64) float64) []float64 {
	var one [2]float64
	a, b := x.operand(one[:1]), y.operand(one[1:])
	n := max(len(a), len(b))
	switch {
	case a == nil || b == nil, x.kind != Number && y.kind != Number && len(a) != len(b):
		return nil
	case x.kind != Number && len(a) == 0, y.kind != Number && len(b) == 0:
		n = 0
	}
	out = room(out, n)
	for i := range out {
		out[i] = f(a[min(i, len(a)-1)], b[min(i, len(b)-1)])
	}
	return out
}

// operand returns a list, or a number as a list of one in the place given; nil for no value.
func (p compiled) operand(place []float64) []float64 {
	if p.kind != Number {
		return p.list()
	}
	place[0] = p.number()
	return complete(place)
}

func (n powerNode) compile(s *Sheet) compiled {
	x := compile(n.x, s)
	q, err := quantity.Pow(quantity.Exact(1, x.unit), n.n)
	out := x.each(q.Unit, func(v float64) float64 { return valueOf(quantity.Pow(quantity.Exact(v, x.unit), n.n)) })
	if err != nil {
		return none(x.kind, q.Unit)
	}
	if out.kind == Series {
		out.kind = List
	}
	return out
}

func (n compareNode) compile(s *Sheet) compiled {
	x, y := compile(n.x, s), compile(n.y, s)
	out := none(Truth, quantity.One)
	out.fixed = x.fixed && y.fixed
	out.number = func() float64 {
		a, b := x.number(), y.number()
		if math.IsNaN(a) || math.IsNaN(b) {
			return math.NaN()
		}
		c, err := quantity.Compare(quantity.Exact(a, x.unit), quantity.Exact(b, y.unit))
		return truthOf(n.holds(c), err == nil)
	}
	return out
}

// truthOf returns 1 or 0, NaN when it is not known.
func truthOf(truth, known bool) float64 {
	switch {
	case !known:
		return math.NaN()
	case truth:
		return 1
	}
	return 0
}

func (n textNode) compile(s *Sheet) compiled {
	x, y := compile(n.x, s), compile(n.y, s)
	out := none(Truth, quantity.One)
	out.fixed = x.fixed && y.fixed
	out.number = func() float64 {
		a, b := x.text(), y.text()
		known := a != nil && b != nil
		return truthOf(known && (a.Text == b.Text) == n.same, known)
	}
	return out
}

func (n ifNode) compile(s *Sheet) compiled {
	condition := compile(n.condition, s)
	x, y := compile(n.x, s).as(n.out.Kind, n.out.Unit), compile(n.y, s).as(n.out.Kind, n.out.Unit)
	nothing := none(n.out.Kind, n.out.Unit)
	taken := func() *compiled {
		switch condition.number() {
		case 1:
			return &x
		case 0:
			return &y
		}
		return &nothing
	}
	if condition.fixed {
		return *taken()
	}
	return compiled{kind: n.out.Kind, unit: n.out.Unit,
		number: func() float64 { return taken().number() },
		list:   func() []float64 { return taken().list() },
		times:  func() []quantity.Quantity { return taken().times() },
		text:   func() *Value { return taken().text() }}
}

func (n acrossNode) compile(s *Sheet) compiled {
	out := none(List, n.unit)
	var x, condition []compiled
	for _, vessel := range s.Vessels {
		holds := always(Value{Kind: Truth, Truth: true})
		if n.condition != nil {
			holds = compile(n.condition, vessel)
		}
		x, condition = append(x, compile(n.x, vessel)), append(condition, holds)
		out.fixed = out.fixed && holds.fixed && x[len(x)-1].fixed
	}
	place := make([]float64, 0, len(x))
	out.list = func() []float64 {
		place = place[:0]
		for i := range x {
			if condition[i].number() != 1 {
				continue
			}
			if v := x[i].number(); !math.IsNaN(v) {
				place = append(place, v)
			}
		}
		if len(place) == 0 {
			return nil
		}
		return place
	}
	return out
}
