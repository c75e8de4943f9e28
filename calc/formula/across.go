package formula

import (
	"errors"

	"example.org/meniscus/calc/quantity"
)

// across checks across(x, condition): both are looked up in one vessel, and the outcome is a list over the vessels.
func (c *checker) across(e *expr) (node, Type, error) {
	run, ok := c.names.(VesselNames)
	if !ok {
		return nil, Type{}, c.fault(e, "", `%s looks at every vessel; it is only for a result with of = "run"`, c.span(e))
	}
	inner := &checker{text: c.text, names: run.VesselNames(), functions: c.functions, used: c.used}
	x, t, err := inner.numeric(e.args[0], "across")
	if err != nil {
		return nil, Type{}, err
	}
	if s := c.span(e.args[0]); t.Kind != Number {
		return nil, Type{}, c.fault(e.args[0], "mean("+s+") or last("+s+")", "%s is a %s in each vessel; across takes one number of each", s, t.Kind)
	}
	name := c.span(e.args[0])
	n := acrossNode{x: x, name: name, what: name + " in any vessel", unit: t.Unit}
	if len(e.args) > 1 {
		if n.condition, err = inner.truth(e.args[1], "across"); err != nil {
			return nil, Type{}, err
		}
		n.what += " with " + c.span(e.args[1])
	}
	c.used = inner.used
	return n, Type{Kind: List, Unit: t.Unit}, nil
}

type acrossNode struct {
	x, condition node   // condition may be nil
	name         string // x as it is written
	what         string
	unit         quantity.Unit
}

func (n acrossNode) eval(values Values) (Value, error) {
	run, ok := values.(VesselValues)
	if !ok {
		return Value{}, &MissingError{n.what}
	}
	witness, watched := values.(Witness)
	out := Value{Kind: List, Across: n.name}
	for i, vessel := range run.Vessels() {
		q, ok, err := n.in(vessel)
		switch {
		case err != nil && !leavesOut(err):
			return Value{}, err
		case err != nil && watched:
			witness.LeftOut(i, err)
		case ok:
			out.List = append(out.List, q)
		}
	}
	if len(out.List) == 0 {
		return Value{}, &MissingError{n.what}
	}
	return out, nil
}

// in returns the number of one vessel; ok is false where the condition does not hold.
func (n acrossNode) in(vessel Values) (q quantity.Quantity, ok bool, err error) {
	if n.condition != nil {
		holds, err := n.condition.eval(vessel)
		if err != nil || !holds.Truth {
			return q, false, err
		}
	}
	v, err := n.x.eval(vessel)
	return v.Number, err == nil, err
}

// leavesOut tells whether err leaves out a vessel: something was not taken, or has no value.
func leavesOut(err error) bool {
	var missing *MissingError
	var impossible *quantity.RangeError
	return errors.As(err, &missing) || errors.As(err, &impossible)
}
