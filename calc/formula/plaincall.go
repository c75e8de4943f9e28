package formula

import (
	"math"

	"example.org/meniscus/calc/quantity"
)

// compile calls the function in its plain form, or else as it is, with values that are Drawn.
func (n *callNode) compile(s *Sheet) compiled {
	out := none(n.out.Kind, n.out.Unit)
	parts := make([]compiled, len(n.args))
	for i := range n.args {
		parts[i] = n.args[i].compile(s)
		out.fixed = out.fixed && parts[i].fixed
	}
	if n.fn.Plain != nil && (!n.each || len(parts) == 1) {
		return n.plain(out, parts)
	}
	args := make([]Value, len(parts))
	var drawn []int // the arguments that a trial changes
	for i, p := range parts {
		if !p.fixed {
			drawn = append(drawn, i)
		} else if !p.into(&args[i]) {
			return none(n.out.Kind, n.out.Unit)
		}
	}
	whole := n.fn.Call
	if n.work != "" {
		whole = func(args []Value) (Value, error) {
			return n.fn.Finish(s.shared(n.work, n.fn.Work, args[:n.fn.Work.Args]), args)
		}
	}
	call := func() (v Value, ok bool) {
		for _, i := range drawn {
			if !parts[i].into(&args[i]) {
				return v, false
			}
		}
		v, err := n.apply(whole, args)
		return v, err == nil
	}
	out.number = func() float64 {
		v, ok := call()
		switch {
		case !ok:
			return math.NaN()
		case v.Kind == Truth:
			return truthOf(v.Truth, ok)
		}
		return v.Number.Value
	}
	out.list = func() []float64 {
		if v, ok := call(); ok {
			return v.numbers()
		}
		return nil
	}
	out.text = func() *Value {
		if v, ok := call(); ok {
			return &v
		}
		return nil
	}
	return out
}

// plain calls the function's plain form: with its list, or with its numbers, once or for each element of lists.
func (n *callNode) plain(out compiled, parts []compiled) compiled {
	f := n.fn.Plain
	x := make([]float64, len(parts))
	switch {
	case n.each:
		p := parts[0].each(out.unit, func(v float64) float64 {
			x[0] = v
			return finiteOnly(f(x))
		})
		p.fixed = out.fixed
		return p
	case len(parts) == 1 && parts[0].kind == List:
		list := parts[0].list
		out.number = func() float64 {
			if x := list(); x != nil {
				return finiteOnly(f(x))
			}
			return math.NaN()
		}
		return out
	}
	out.number = func() float64 {
		for i := range parts {
			if x[i] = parts[i].number(); math.IsNaN(x[i]) {
				return math.NaN()
			}
		}
		return finiteOnly(f(x))
	}
	return out
}

// compile returns what is written for a parameter, as the function takes it.
func (a *argument) compile(s *Sheet) compiled {
	kind := a.kind
	if a.each {
		kind = List
	}
	if a.several == nil {
		return compile(a.node, s).as(kind, a.unit)
	}
	out := none(List, a.unit)
	x, parts := make([]float64, len(a.several)), make([]compiled, len(a.several))
	for i, n := range a.several {
		parts[i] = compile(n, s).as(Number, a.unit)
		out.fixed = out.fixed && parts[i].fixed
	}
	out.list = func() []float64 {
		for i := range parts {
			x[i] = parts[i].number()
		}
		return complete(x)
	}
	return out.folded()
}

// into sets an argument, which no other part sets, to the value of p; false when there is none.
func (p compiled) into(v *Value) bool {
	v.Kind = p.kind
	switch p.kind {
	case Number:
		x := p.number()
		drawnIn(&v.Number, x, p.unit)
		return !math.IsNaN(x)
	case Truth:
		x := p.number()
		v.Truth = x == 1
		return !math.IsNaN(x)
	case Text:
		t := p.text()
		if t != nil {
			*v = *t
		}
		return t != nil
	}
	x := p.list()
	if len(v.List) != len(x) {
		v.List = make([]quantity.Quantity, len(x))
	}
	for i := range x {
		drawnIn(&v.List[i], x[i], p.unit)
	}
	if p.kind == Series {
		v.Times = p.times()
	}
	return x != nil
}

// drawnIn sets q, which always has the same unit.
func drawnIn(q *quantity.Quantity, x float64, unit quantity.Unit) {
	if q.Value = x; !q.Drawn {
		q.Unit, q.Drawn = unit, true
	}
}
