package method

import (
	"errors"
	"math"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/reference"
)

// A chain runs quantity operations one after the other and keeps the first error, so that a method reads like its
// formula. A row that no table has is a RangeError too. After an error the values are of no use; value returns the error.
type chain struct{ err error }

func (c *chain) keep(q quantity.Quantity, err error) quantity.Quantity {
	if err != nil && c.err == nil {
		c.err = asRange(err)
	}
	return q
}

func asRange(err error) error {
	var unknown *reference.UnknownError
	if errors.As(err, &unknown) {
		return &quantity.RangeError{Msg: err.Error()}
	}
	return err
}

// refuse keeps a RangeError with the sentence, unless the condition holds.
func (c *chain) refuse(unless bool, sentence string) {
	if c.err == nil && !unless {
		c.err = &quantity.RangeError{Msg: sentence}
	}
}

func (c *chain) add(a, b quantity.Quantity) quantity.Quantity { return c.keep(quantity.Add(a, b)) }
func (c *chain) sub(a, b quantity.Quantity) quantity.Quantity { return c.keep(quantity.Sub(a, b)) }
func (c *chain) div(a, b quantity.Quantity) quantity.Quantity { return c.keep(quantity.Div(a, b)) }

func (c *chain) mul(first quantity.Quantity, rest ...quantity.Quantity) quantity.Quantity {
	for _, q := range rest {
		first = c.keep(quantity.Mul(first, q))
	}
	return first
}

// to returns q in the unit of the code.
func (c *chain) to(q quantity.Quantity, code string) quantity.Quantity {
	if q.Unit.String() == code {
		return q
	}
	return c.keep(q.To(quantity.MustUnit(code)))
}

// value ends a method: q in the unit of the code, or the first error.
func (c *chain) value(q quantity.Quantity, code string) (formula.Value, error) {
	q = c.to(q, code)
	c.refuse(finite(q.Value) && finite(q.U()), "these readings give no finite value")
	if c.err != nil {
		return formula.Value{}, c.err
	}
	return formula.Of(q), nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
