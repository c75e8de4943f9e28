package formula

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/meniscus/calc/quantity"
)

// Check finds out whether every name exists and whether kinds and units fit, and binds the functions; a fault is a
// *SyntaxError. It is called once, before the first Eval. A Names may be a KnownNames and a VesselNames too.
func (f *Formula) Check(names Names, functions Functions) (Type, error) {
	c := &checker{text: f.text, names: names, functions: functions}
	plan, t, err := c.check(f.tree)
	if err != nil {
		return Type{}, err
	}
	f.plan = plan
	f.names = slices.DeleteFunc(mentioned(f.tree, nil), func(n string) bool { return !slices.Contains(c.used, n) })
	return t, nil
}

// checker turns a tree into a plan and works out the type of each part.
type checker struct {
	text      string
	names     Names
	functions Functions
	used      []string // the names that are not rows of a table
}

func (c *checker) fault(e *expr, remedy, format string, args ...any) error {
	return &SyntaxError{e.col, fmt.Sprintf(format, args...), remedy}
}

func (c *checker) span(e *expr) string { return span(c.text, e) }

func (c *checker) check(e *expr) (node, Type, error) {
	switch e.kind {
	case numberExpr:
		return constant{Of(quantity.Ratio(e.value))}, Type{}, nil
	case textExpr:
		return constant{Value{Kind: Text, Text: e.word}}, Type{Kind: Text, Choices: []string{e.word}}, nil
	case nameExpr:
		return c.name(e)
	case callExpr:
		return c.call(e)
	case prefixExpr:
		if e.word == "not" {
			return c.not(e)
		}
		return c.minus(e)
	}
	switch e.word {
	case "and", "or":
		return c.logic(e)
	case "+", "-", "*", "/":
		return c.arithmetic(e)
	case "^":
		return c.power(e)
	}
	return c.comparison(e)
}

func (c *checker) name(e *expr) (node, Type, error) {
	t, ok := c.names.Type(e.word)
	if !ok {
		if fn, ok := c.functions[e.word]; ok {
			return nil, t, c.fault(e, fn.Signature(), "%s is a function", e.word)
		}
		return nil, t, c.unknownName(e)
	}
	if !slices.Contains(c.used, e.word) {
		c.used = append(c.used, e.word)
	}
	return nameNode{e.word, t}, t, nil
}

// numeric checks e and asks for a number, a list or a series.
func (c *checker) numeric(e *expr, op string) (node, Type, error) {
	n, t, err := c.check(e)
	if err == nil && !t.Kind.numeric() {
		err = c.fault(e, "", "%s is a %s; %q takes numbers", c.span(e), t.Kind, op)
	}
	return n, t, err
}

func (c *checker) truth(e *expr, op string) (node, error) {
	n, t, err := c.check(e)
	if err == nil && t.Kind != Truth {
		err = c.fault(e, "a comparison, such as a < b", "%s is a %s; %q takes a condition", c.span(e), t.Kind, op)
	}
	return n, err
}

func (c *checker) not(e *expr) (node, Type, error) {
	n, err := c.truth(e.args[0], "not")
	return notNode{n}, Type{Kind: Truth}, err
}

func (c *checker) logic(e *expr) (node, Type, error) {
	x, err := c.truth(e.args[0], e.word)
	if err != nil {
		return nil, Type{}, err
	}
	y, err := c.truth(e.args[1], e.word)
	return logicNode{e.word == "or", x, y}, Type{Kind: Truth}, err
}

func (c *checker) minus(e *expr) (node, Type, error) {
	n, t, err := c.numeric(e.args[0], "-")
	if err != nil {
		return nil, t, err
	}
	if _, err := quantity.Neg(quantity.Exact(1, t.Unit)); err != nil {
		return nil, t, c.fault(e, "", "%s: %v", c.span(e), err)
	}
	return minusNode{n, c.span(e)}, Type{Kind: joined(t, t), Unit: t.Unit}, nil
}

// joined is the kind of two numeric operands together: the times of a series are no longer those of the outcome.
func joined(a, b Type) Kind {
	if a.Kind == Number && b.Kind == Number {
		return Number
	}
	return List
}

func (c *checker) pair(e *expr) (x, y node, tx, ty Type, err error) {
	if x, tx, err = c.numeric(e.args[0], e.word); err != nil {
		return
	}
	y, ty, err = c.numeric(e.args[1], e.word)
	return
}

func (c *checker) arithmetic(e *expr) (node, Type, error) {
	x, y, tx, ty, err := c.pair(e)
	if err != nil {
		return nil, Type{}, err
	}
	do := operations[e.word]
	q, err := do(quantity.Exact(1, tx.Unit), quantity.Exact(1, ty.Unit)) // the units of the rules themselves
	if err != nil {
		return nil, Type{}, c.unfit(e, tx, ty, err)
	}
	return arithmeticNode{e.word, do, x, y, c.span(e)}, Type{Kind: joined(tx, ty), Unit: q.Unit}, nil
}

// unfit says that the units of two operands do not go together.
func (c *checker) unfit(e *expr, tx, ty Type, err error) error {
	var u *quantity.UnitError
	if errors.As(err, &u) && u.Msg != "" {
		return c.fault(e, "", "%s: %s", c.span(e), u.Msg)
	}
	remedy := ""
	for i, t := range []Type{ty, tx} {
		if number := e.args[1-i]; number.kind == numberExpr && t.Unit == quantity.One {
			other := []Type{tx, ty}[i]
			remedy = fmt.Sprintf("a given with the value %q and its name here", number.word+" "+other.Unit.String())
		}
	}
	return c.fault(e, remedy, "%s %s and %s %s; %q needs units that fit",
		c.span(e.args[0]), in(tx.Unit), c.span(e.args[1]), in(ty.Unit), e.word)
}

// in words a unit: "is in g".
func in(u quantity.Unit) string {
	if u == quantity.One {
		return "is a bare number"
	}
	return "is in " + u.String()
}

func (c *checker) power(e *expr) (node, Type, error) {
	x, y, tx, ty, err := c.pair(e)
	if err != nil {
		return nil, Type{}, err
	}
	if !ty.Unit.IsRatio() {
		return nil, Type{}, c.fault(e, "", "the exponent %s %s; an exponent is a bare number", c.span(e.args[1]), in(ty.Unit))
	}
	n, literal := wholeLiteral(e.args[1])
	out := Type{Kind: joined(tx, ty)}
	if tx.Unit.IsRatio() {
		if literal {
			return powerNode{x, float64(n), c.span(e)}, out, nil
		}
		return arithmeticNode{e.word, quantity.Raise, x, y, c.span(e)}, out, nil
	}
	if !literal || n < -9 || n > 9 {
		remedy := "a whole number from -9 to 9"
		if e.args[1].value == 0.5 {
			remedy = "sqrt(" + c.span(e.args[0]) + ")"
		}
		return nil, Type{}, c.fault(e, remedy, "%s %s, so its exponent is a whole number that is written out; found %s",
			c.span(e.args[0]), in(tx.Unit), c.span(e.args[1]))
	}
	out.Unit, err = tx.Unit.Power(n)
	if err != nil {
		return nil, Type{}, c.fault(e, "", "%s: %v", c.span(e), err)
	}
	return powerNode{x, float64(n), c.span(e)}, out, nil
}

// wholeLiteral returns the whole number that e spells, with or without a minus.
func wholeLiteral(e *expr) (int, bool) {
	sign := 1
	if e.kind == prefixExpr && e.word == "-" {
		sign, e = -1, e.args[0]
	}
	if e.kind != numberExpr || e.value != math.Trunc(e.value) || e.value > 1000 {
		return 0, false
	}
	return sign * int(e.value), true
}

func (c *checker) comparison(e *expr) (node, Type, error) {
	out := Type{Kind: Truth}
	if w := c.bareChoice(e); w != nil {
		return nil, out, w
	}
	x, tx, err := c.check(e.args[0])
	if err != nil {
		return nil, out, err
	}
	y, ty, err := c.check(e.args[1])
	if err != nil {
		return nil, out, err
	}
	if tx.Kind == Text && ty.Kind == Text {
		return c.sameText(e, x, y, tx, ty)
	}
	for i, t := range []Type{tx, ty} {
		s := c.span(e.args[i])
		switch {
		case t.Kind == Truth:
			return nil, out, c.fault(e, "and, or, not", "%s is a yes or no already; %q compares numbers", s, e.word)
		case t.Kind == List || t.Kind == Series:
			return nil, out, c.fault(e, fmt.Sprintf("min(%s), max(%s) or last(%s)", s, s, s), "%s is a %s; %q compares one number", s, t.Kind, e.word)
		}
	}
	if tx.Kind != ty.Kind {
		return nil, out, c.fault(e, "", "%s is a %s and %s is a %s; they cannot be compared", c.span(e.args[0]), tx.Kind, c.span(e.args[1]), ty.Kind)
	}
	if !alike(tx.Unit, ty.Unit) {
		return nil, out, c.unfit(e, tx, ty, nil)
	}
	return compareNode{comparisons[e.word], x, y}, out, nil
}

// alike tells whether a value in u may stand where one in v is asked for. A temperature and an interval in K do not,
// though both are of one dimension.
func alike(u, v quantity.Unit) bool { return u.Fits(v) && u.IsTemperature() == v.IsTemperature() }

func (c *checker) sameText(e *expr, x, y node, tx, ty Type) (node, Type, error) {
	out := Type{Kind: Truth}
	if e.word != "==" && e.word != "!=" {
		return nil, out, c.fault(e, "== or !=", "%s is a text; %q compares numbers", c.span(e.args[0]), e.word)
	}
	for i, t := range []Type{tx, ty} {
		written, other := e.args[1-i], e.args[i]
		if written.kind == textExpr && other.kind != textExpr && t.Choices != nil && !slices.Contains(t.Choices, written.word) {
			return nil, out, c.fault(written, quoted(nearest(written.word, t.Choices)), "%s is never %q: it is one of %s",
				c.span(other), written.word, list(t.Choices))
		}
	}
	return textNode{e.word == "==", x, y}, out, nil
}

// bareChoice sees fuel == ethanol where ethanol is no name but one of fuel's texts.
func (c *checker) bareChoice(e *expr) error {
	for i, a := range e.args {
		other := e.args[1-i]
		if a.kind != nameExpr || other.kind != nameExpr {
			continue
		}
		if _, known := c.names.Type(a.word); known {
			continue
		}
		if t, ok := c.names.Type(other.word); ok && t.Kind == Text && slices.Contains(t.Choices, a.word) {
			return c.fault(a, quoted(a.word), "%s is a text of %s and stands in quotes", a.word, other.word)
		}
	}
	return nil
}
