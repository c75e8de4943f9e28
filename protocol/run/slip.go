package run

import (
	"fmt"
	"math"
	"strings"

	"example.org/meniscus/protocol"
)

// A slip is what may have been meant with a value that is doubted.
type slip struct {
	say string // "Two figures in each other's place? That would be 32.0 °C."
	how string // what puts it right, where it is in an earlier reading
	of  *Taken // that reading; nil: the slip is in the value itself
	is  parsed // what was meant
}

// decimals are the places that a decimal mark may have slipped by.
var decimals = []struct {
	by   float64
	says string
}{
	{0.1, "A decimal mark one place off?"}, {10, "A decimal mark one place off?"},
	{0.01, "A decimal mark left out?"}, {100, "A decimal mark two places off?"},
}

// slip names a likely slip where what was meant would have been expected: a decimal mark, two figures in each other's
// place, a unit a thousand times as large or as small. Figures in each other's place are to bring the value nearer to the
// middle of what is expected, so many times at least. None where none is likely, or where no range tells.
func (c claim) slip(in bounds, nearer float64) []slip {
	if in.low == nil || in.high == nil {
		return nil
	}
	fits := func(v float64) bool { return in.side(v) == "" && c.isOnStep(v) }
	would := func(says string, v float64) []slip {
		return []slip{{say: fmt.Sprintf("%s That would be %s.", says, shownIn(c.r, v)), is: parsed{value: v}}}
	}
	for _, f := range decimals {
		if v := c.value * f.by; fits(v) {
			return would(f.says, v)
		}
	}
	if _, ok := dosed(c.r); ok && fits(c.value/2) {
		return []slip{{say: "Twice what was to be given: was it given twice?", is: c.parsed}}
	}
	middle := (*in.low + *in.high) / 2
	for _, p := range swapped(c.r, c.typed) {
		if fits(p.value) && nearer*math.Abs(p.value-middle) < math.Abs(c.value-middle) {
			return would("Two figures in each other's place?", p.value)
		}
	}
	if v := c.value / 1000; fits(v) {
		return would("A thousandth unit, such as mg for g or µL for mL?", v)
	}
	if v := c.value * 1000; fits(v) {
		return would("A thousandfold unit?", v)
	}
	return nil
}

// isOnStep tells whether the instrument could have shown another value instead of a claim's.
func (c claim) isOnStep(v float64) bool {
	size, ok := step(c.r)
	return !ok || isFigure(v, size) || c.r.Unit.IsTemperature() && c.r.Unit != c.r.Instrument.Unit
}

// swapped returns what a typed number would have been with two neighbouring figures in each other's place.
func swapped(r *protocol.Reading, typed string) []parsed {
	var out []parsed
	last := -1 // the figure before
	for i := range len(typed) {
		if typed[i] < '0' || typed[i] > '9' {
			continue
		}
		if last >= 0 && typed[last] != typed[i] && !strings.ContainsAny(typed[last:i], " eE") {
			b := []byte(typed)
			b[last], b[i] = b[i], b[last]
			if p, err := parse(r, string(b)); err == nil {
				out = append(out, p)
			}
		}
		last = i
	}
	return out
}

// meantBy returns what a kept value may have been meant to be: with two figures in each other's place, or the decimal mark
// elsewhere, and inside what is expected of it.
func (d *decision) meantBy(t *Taken) []parsed {
	all := swapped(t.Reading, t.Typed)
	for _, f := range decimals {
		all = append(all, parsed{value: t.Value * f.by})
	}
	c := claim{r: t.Reading, portion: t.Portion}
	in := boundsOf(c.r, c.portion, d.s.Values(d.v.Label))
	var out []parsed
	for _, p := range all {
		if in.side(p.value) == "" && c.isOnStep(p.value) {
			out = append(out, p)
		}
	}
	return out
}

// slipBefore names an earlier reading that makes a value look wrong: with a slip in that one, the value would have been
// expected. None where there is none.
func (d *decision) slipBefore(c claim) []slip {
	for _, name := range rangeNames(c.r) {
		r := d.s.Protocol.Reading(name)
		if r == nil || r.Kind != protocol.Number || r == c.r {
			continue
		}
		t := d.v.newest(name)
		if t == nil || t.NotTaken {
			continue
		}
		for _, p := range d.meantBy(t) {
			values := d.s.Values(d.v.Label)
			values.instead = map[int]parsed{t.Event: p}
			if in := boundsOf(c.r, c.portion, values); in.low != nil && in.high != nil && in.side(c.value) == "" {
				return d.slipIn(t, t.Title(), p)
			}
		}
	}
	return nil
}

// slipIn is a slip in an earlier reading, which is called so.
func (d *decision) slipIn(t *Taken, called string, p parsed) []slip {
	return []slip{{
		say: fmt.Sprintf("Or was %s %s, not %s?", called, shownIn(t.Reading, p.value), t.Shown()),
		how: fmt.Sprintf("c %s %s corrects that one. ", d.v.nameOf(t), Figure(p.value, t.Reading)),
		of:  t, is: p,
	}}
}

// rangeNames are the names that the range of a reading is worked out from.
func rangeNames(r *protocol.Reading) []string {
	var names []string
	for _, b := range []*protocol.Bound{r.Low, r.High} {
		if b != nil && b.Formula != nil {
			names = append(names, b.Formula.Names()...)
		}
	}
	return names
}
