package formula

import (
	"errors"
	"fmt"
	"math"

	"example.org/meniscus/calc/quantity"
)

// Eval returns the value of f for the given readings. A name without a value gives a *MissingError, a calculation that
// has none a *quantity.RangeError. A Values may be a VesselValues too.
func (f *Formula) Eval(values Values) (Value, error) {
	if f.plan == nil {
		return Value{}, fmt.Errorf("the formula %s was not checked", span(f.text, f.tree))
	}
	v, err := f.plan.eval(values)
	if err != nil {
		return Value{}, err
	}
	return v, bounded(v, f.text)
}

// EvalIn is Eval with the numbers of the value in the unit u, which must fit.
func (f *Formula) EvalIn(values Values, u quantity.Unit) (Value, error) {
	v, err := f.Eval(values)
	if err != nil {
		return v, err
	}
	return v.as(v.Kind, u)
}

// A node is a part of a formula that was checked: kinds and units fit, so only values can be wrong.
type node interface {
	eval(values Values) (Value, error)
	compile(s *Sheet) compiled
}

type (
	constant struct{ v Value }
	nameNode struct {
		name string
		want Type
	}
	minusNode struct {
		x    node
		text string
	}
	notNode   struct{ x node }
	logicNode struct {
		or   bool
		x, y node
	}
	operation      func(a, b quantity.Quantity) (quantity.Quantity, error)
	arithmeticNode struct {
		op   string
		do   operation
		x, y node
		text string
	}
	powerNode struct {
		x    node
		n    float64
		text string
	}
	compareNode struct {
		holds func(order int) bool
		x, y  node
	}
	textNode struct {
		same bool
		x, y node
	}
	ifNode struct {
		condition, x, y node
		out             Type
	}
)

var operations = map[string]operation{"+": quantity.Add, "-": quantity.Sub, "*": quantity.Mul, "/": quantity.Div}

// comparisons say which outcomes of quantity.Compare an operator stands for.
var comparisons = map[string]func(int) bool{
	"==": func(c int) bool { return c == 0 },
	"!=": func(c int) bool { return c != 0 },
	"<":  func(c int) bool { return c < 0 },
	"<=": func(c int) bool { return c <= 0 },
	">":  func(c int) bool { return c > 0 },
	">=": func(c int) bool { return c >= 0 },
}

func (n constant) eval(Values) (Value, error) { return n.v, nil }

func (n nameNode) eval(values Values) (Value, error) {
	v, err := values.Value(n.name)
	if err != nil {
		return Value{}, err
	}
	if v, err = v.as(n.want.Kind, n.want.Unit); err != nil {
		return Value{}, fmt.Errorf("%s: %w", n.name, err)
	}
	return v, nil
}

func (n minusNode) eval(values Values) (Value, error) {
	v, err := n.x.eval(values)
	if err != nil {
		return Value{}, err
	}
	return v.each(n.text, quantity.Neg)
}

func (n notNode) eval(values Values) (Value, error) {
	v, err := n.x.eval(values)
	return Value{Kind: Truth, Truth: !v.Truth}, err
}

func (n logicNode) eval(values Values) (Value, error) {
	v, err := n.x.eval(values)
	if err != nil || v.Truth == n.or {
		return v, err
	}
	return n.y.eval(values)
}

// both evaluates two operands, the left one first: its error is the one that is told.
func both(x, y node, values Values) (left, right Value, err error) {
	if left, err = x.eval(values); err == nil {
		right, err = y.eval(values)
	}
	return left, right, err
}

func (n arithmeticNode) eval(values Values) (Value, error) {
	x, y, err := both(n.x, n.y, values)
	if err != nil {
		return Value{}, err
	}
	switch {
	case x.Kind == Number && y.Kind == Number:
		q, err := n.do(x.Number, y.Number)
		if err = finite(q, err, n.text); err != nil {
			return Value{}, err
		}
		return Value{Number: q}, nil
	case y.Kind == Number:
		return x.each(n.text, func(q quantity.Quantity) (quantity.Quantity, error) { return n.do(q, y.Number) })
	case x.Kind == Number:
		return y.each(n.text, func(q quantity.Quantity) (quantity.Quantity, error) { return n.do(x.Number, q) })
	}
	v, err := n.lists(x.List, y.List)
	if v.Across = x.Across; v.Across == "" {
		v.Across = y.Across
	}
	return v, err
}

func (n arithmeticNode) lists(x, y []quantity.Quantity) (Value, error) {
	if len(x) != len(y) {
		return Value{}, unequal(n.text, len(x), len(y))
	}
	out := Value{Kind: List, List: make([]quantity.Quantity, len(x))}
	for i := range x {
		q, err := n.do(x[i], y[i])
		if err = finite(q, err, n.text); err != nil {
			return Value{}, err
		}
		out.List[i] = q
	}
	return out, nil
}

func unequal(text string, m, n int) error {
	return &quantity.RangeError{Msg: fmt.Sprintf("%s: lists of %d and %d values do not go together element by element", text, m, n)}
}

func (n powerNode) eval(values Values) (Value, error) {
	v, err := n.x.eval(values)
	if err != nil {
		return Value{}, err
	}
	return v.each(n.text, func(q quantity.Quantity) (quantity.Quantity, error) { return quantity.Pow(q, n.n) })
}

func (n compareNode) eval(values Values) (Value, error) {
	x, y, err := both(n.x, n.y, values)
	if err != nil {
		return Value{}, err
	}
	c, err := quantity.Compare(x.Number, y.Number)
	return Value{Kind: Truth, Truth: err == nil && n.holds(c)}, err
}

func (n textNode) eval(values Values) (Value, error) {
	x, y, err := both(n.x, n.y, values)
	return Value{Kind: Truth, Truth: (x.Text == y.Text) == n.same}, err
}

func (n ifNode) eval(values Values) (Value, error) {
	condition, err := n.condition.eval(values)
	if err != nil {
		return Value{}, err
	}
	branch := n.y
	if condition.Truth {
		branch = n.x
	}
	v, err := branch.eval(values)
	if err != nil {
		return Value{}, err
	}
	return v.as(n.out.Kind, n.out.Unit)
}

// each applies f to a number or to every element of a list.
func (v Value) each(text string, f func(quantity.Quantity) (quantity.Quantity, error)) (Value, error) {
	if v.Kind == Number {
		q, err := f(v.Number)
		if err = finite(q, err, text); err != nil {
			return Value{}, err
		}
		return Value{Number: q}, nil
	}
	out := Value{Kind: List, List: make([]quantity.Quantity, len(v.List)), Across: v.Across}
	for i, x := range v.List {
		q, err := f(x)
		if err = finite(q, err, text); err != nil {
			return Value{}, err
		}
		out.List[i] = q
	}
	return out, nil
}

// finite adds the part of the formula to a calculation that has no value, and refuses one that ran out of range.
func finite(q quantity.Quantity, err error, text string) error {
	if err == nil && !math.IsNaN(q.Value) && !math.IsInf(q.Value, 0) {
		return nil
	}
	var r *quantity.RangeError
	switch {
	case err == nil:
		return &quantity.RangeError{Msg: text + " has no finite value"}
	case errors.As(err, &r):
		return &quantity.RangeError{Msg: text + ": " + r.Msg}
	}
	return err
}

// bounded refuses a value or an uncertainty that is no finite number.
func bounded(v Value, text string) error {
	if v.Kind == Number {
		return boundedQuantity(v.Number, text)
	}
	for _, q := range v.List {
		if err := boundedQuantity(q, text); err != nil {
			return err
		}
	}
	return nil
}

func boundedQuantity(q quantity.Quantity, text string) error {
	u := q.U()
	if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) || math.IsNaN(u) || math.IsInf(u, 0) {
		return &quantity.RangeError{Msg: shorten(text) + " has no finite value"}
	}
	return nil
}
