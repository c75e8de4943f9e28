package summary

import (
	"fmt"
	"math"
	"strings"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// checkRows holds each row of a result against the limits of c, with what c says.
func checkRows(c *protocol.Check, rows []Result, values formula.Values, say string) []Check {
	out := make([]Check, 0, len(rows))
	for i, r := range rows {
		portion := 0
		if c.Result.IsList {
			portion = i + 1
		}
		low, errLow := limit(c.Low, c.Result.Unit, values, portion)
		high, errHigh := limit(c.High, c.Result.Unit, values, portion)
		row := Check{Result: r.ID, Title: r.Title, Low: low, High: high, Unit: r.Unit, Verdict: CannotTell,
			Limit: limitText(low, high, limitDigits(c), c.Result.Unit), Source: c.Source, Say: say}
		switch {
		case errLow != nil:
			row.Message = "cannot tell: the lower limit has no value: " + errLow.Error()
		case errHigh != nil:
			row.Message = "cannot tell: the upper limit has no value: " + errHigh.Error()
		case r.Status != OK:
			row.Message = "cannot tell: there is no result"
		default:
			row.judge(*r.Value, *r.ExpandedUncertainty)
		}
		out = append(out, row)
	}
	return out
}

// judge holds a value against the limits. It is inside or outside where its whole interval of 95 % is, after the guard
// bands of JCGM 106:2012, 8.3 (from memory): in between nothing is shown, however the value alone may stand.
func (c *Check) judge(value, expanded float64) {
	room := math.Inf(1) // to the nearer limit; negative beyond it
	if c.Low != nil {
		room = min(room, value-*c.Low)
	}
	if c.High != nil {
		room = min(room, *c.High-value)
	}
	c.Close = math.Abs(room) < expanded
	switch {
	case c.Close && room < 0:
		c.Verdict, c.Message = Undecided, "undecided: outside by less than its uncertainty"
	case c.Close:
		c.Verdict, c.Message = Undecided, "undecided: inside by less than its uncertainty"
	case room < 0:
		c.Verdict, c.Message = Outside, Outside
	default:
		c.Verdict, c.Message = Inside, Inside
	}
}

// limit returns a bound for a portion in the result's unit; nil where there is none.
func limit(b *protocol.Bound, u quantity.Unit, values formula.Values, portion int) (*float64, error) {
	if b == nil {
		return nil, nil
	}
	q, err := b.Value(values, portion)
	if err != nil {
		return nil, err
	}
	if q, err = q.To(u); err != nil {
		return nil, err
	}
	return number(q.Value), nil
}

// limitDigits returns how many digits a limit is shown to: one that is worked out from readings has no more to show.
func limitDigits(c *protocol.Check) int {
	for _, b := range []*protocol.Bound{c.Low, c.High} {
		if b != nil && b.Formula != nil {
			return 4
		}
	}
	return 6
}

func limitText(low, high *float64, digits int, u quantity.Unit) string {
	var said string
	switch {
	case low != nil && high != nil:
		said = fmt.Sprintf("%s to %s", quantity.Plain(*low, digits), quantity.Plain(*high, digits))
	case low != nil:
		said = "at least " + quantity.Plain(*low, digits)
	case high != nil:
		said = "at most " + quantity.Plain(*high, digits)
	default:
		return "no limit"
	}
	return strings.TrimRight(said+" "+u.Shown(), " ")
}
