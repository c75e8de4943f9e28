package run

import (
	"fmt"
	"math"
	"strings"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// tooFine doubts a figure that the instrument does not show. It is asked about once: who reads between the lines of an
// instrument may go on doing so.
func (d *decision) tooFine(c claim) *doubt {
	if !c.isFiner() {
		return nil
	}
	for _, v := range d.s.Vessels {
		for _, t := range v.Taken {
			if t.Reading.Instrument == c.r.Instrument && !t.NotTaken && (claim{parsed: parsed{value: t.Value}, r: t.Reading, typed: t.Typed}).isFiner() {
				return nil
			}
		}
	}
	size, _ := step(c.r)
	steps := strings.TrimRight(quantity.Plain(size, 6)+" "+c.r.Unit.Interval().Shown(), " ")
	shown := strings.TrimRight(quantity.Plain(c.value, 12)+" "+c.r.Unit.Shown(), " ")
	return &doubt{
		ask:     fmt.Sprintf("%s is finer than %s is read, in steps of %s", shown, c.r.Instrument.Title, steps),
		planned: "in steps of " + steps,
	}
}

// isFiner tells whether a value stands between two steps of its instrument; one that was typed in another unit is passed
// over, and so is one in another scale of temperature than the instrument's.
func (c claim) isFiner() bool {
	size, ok := step(c.r)
	if !ok || c.r.Kind == protocol.Stopwatch || c.r.Unit.IsTemperature() && c.r.Unit != c.r.Instrument.Unit || !c.isInOwnUnit() {
		return false
	}
	return !isFigure(c.value, size)
}

// isFigure tells whether a value stands on a step of its instrument.
func isFigure(value, size float64) bool {
	n := value / size
	return math.Abs(n-math.Round(n)) <= 1e-9*max(1, math.Abs(n))
}

// isInOwnUnit tells whether a number was typed in the unit of its reading, with it or without.
func (c claim) isInOwnUnit() bool {
	figures := strings.TrimLeft(c.typed, "0123456789+-., ")
	bare, err := parse(c.r, strings.TrimSuffix(c.typed, figures))
	return err == nil && bare.value == c.value
}
