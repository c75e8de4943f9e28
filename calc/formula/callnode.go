package formula

import (
	"cmp"
	"fmt"

	"example.org/meniscus/calc/quantity"
)

// callNode calls a function once, or once for each element of the lists it is given.
type callNode struct {
	fn   *Function
	args []argument
	out  Type
	each bool
	work string // names the function's Work with what is written for its arguments; "" when it has none
}

// argument is what is written for one parameter.
type argument struct {
	node    node
	several []node // in place of node: numbers that make up one list
	kind    Kind
	unit    quantity.Unit
	each    bool // a list for a Number parameter
}

func (n *callNode) eval(values Values) (Value, error) {
	args := make([]Value, len(n.args))
	for i := range n.args {
		v, err := n.args[i].eval(values)
		if err != nil {
			return Value{}, err
		}
		args[i] = v
	}
	return n.apply(n.fn.Call, args)
}

// apply calls the function; whole is its Call.
func (n *callNode) apply(whole func([]Value) (Value, error), args []Value) (Value, error) {
	if n.each {
		return n.elements(args)
	}
	v, err := whole(args)
	if err != nil {
		return Value{}, err
	}
	if v.Kind == Number && n.out.Kind == Number && v.Number.Unit == n.out.Unit {
		return v, boundedQuantity(v.Number, n.fn.Name)
	}
	if v, err = v.as(n.out.Kind, n.out.Unit); err != nil {
		return Value{}, fmt.Errorf("%s: %w", n.fn.Name, err)
	}
	return v, bounded(v, n.fn.Name)
}

func (n *callNode) elements(args []Value) (Value, error) {
	length, across := -1, ""
	for i, a := range n.args {
		if !a.each {
			continue
		}
		across = cmp.Or(across, args[i].Across)
		if m := len(args[i].List); length < 0 {
			length = m
		} else if m != length {
			return Value{}, unequal(n.fn.Name, length, m)
		}
	}
	out := Value{Kind: List, List: make([]quantity.Quantity, length), Across: across}
	one := make([]Value, len(args))
	for k := range out.List {
		copy(one, args)
		for i, a := range n.args {
			if a.each {
				one[i] = Of(args[i].List[k])
			}
		}
		v, err := n.fn.Call(one)
		if err != nil {
			return Value{}, err
		}
		if v, err = v.as(Number, n.out.Unit); err != nil {
			return Value{}, fmt.Errorf("%s: %w", n.fn.Name, err)
		}
		out.List[k] = v.Number
	}
	return out, bounded(out, n.fn.Name)
}

func (a *argument) eval(values Values) (Value, error) {
	if a.several != nil {
		return a.gather(values)
	}
	v, err := a.node.eval(values)
	if err != nil {
		return Value{}, err
	}
	kind := a.kind
	if a.each {
		kind = List
	}
	return v.as(kind, a.unit)
}

func (a *argument) gather(values Values) (Value, error) {
	out := Value{Kind: List, List: make([]quantity.Quantity, len(a.several))}
	for i, n := range a.several {
		v, err := n.eval(values)
		if err == nil {
			v, err = v.as(Number, a.unit)
		}
		if err != nil {
			return Value{}, err
		}
		out.List[i] = v.Number
	}
	return out, nil
}

// as returns v as the given kind in the given unit: a number makes a list of one, a series is a list without its times.
func (v Value) as(kind Kind, unit quantity.Unit) (Value, error) {
	switch {
	case v.Kind == kind:
	case v.Kind == Number && kind == List:
		v = Value{Kind: List, List: []quantity.Quantity{v.Number}}
	case v.Kind == Series && kind == List:
		v.Kind, v.Times = List, nil
	default:
		return Value{}, fmt.Errorf("a %s stands where a %s is expected", v.Kind, kind)
	}
	if kind == Number && v.Number.Unit != unit {
		q, err := v.Number.To(unit)
		v.Number = q
		return v, err
	}
	if kind == List || kind == Series {
		return v.listIn(unit)
	}
	return v, nil
}

func (v Value) listIn(unit quantity.Unit) (Value, error) {
	if v.Kind == Series && len(v.Times) != len(v.List) {
		return Value{}, fmt.Errorf("a series has %d values and %d times", len(v.List), len(v.Times))
	}
	copied := false
	for i, q := range v.List {
		if q.Unit == unit {
			continue
		}
		if !copied {
			v.List, copied = append([]quantity.Quantity(nil), v.List...), true
		}
		var err error
		if v.List[i], err = q.To(unit); err != nil {
			return Value{}, err
		}
	}
	return v, nil
}
