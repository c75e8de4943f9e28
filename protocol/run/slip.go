package run

import (
	"fmt"
	"strings"

	"example.org/meniscus/protocol"
)

// slip names a likely slip where what was meant would have been expected: a decimal mark, two figures in each other's
// place, a unit a thousand times as large or as small. "" where none is likely, or where no range tells.
func (c claim) slip(in bounds) string {
	if in.low == nil || in.high == nil {
		return ""
	}
	would := func(says string, v float64) string {
		return fmt.Sprintf("%s That would be %s. ", says, shownIn(c.r, v))
	}
	for _, f := range []struct {
		by   float64
		says string
	}{
		{0.1, "A decimal mark one place off?"}, {10, "A decimal mark one place off?"},
		{0.01, "A decimal mark left out?"}, {100, "A decimal mark two places off?"},
	} {
		if v := c.value * f.by; in.side(v) == "" {
			return would(f.says, v)
		}
	}
	for _, p := range swapped(c.r, c.typed) {
		if in.side(p.value) == "" {
			return would("Two figures in each other's place?", p.value)
		}
	}
	if v := c.value / 1000; in.side(v) == "" {
		return would("A thousandth unit, such as mg for g or µL for mL?", v)
	}
	if v := c.value * 1000; in.side(v) == "" {
		return would("A thousandfold unit?", v)
	}
	return ""
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

// slipBefore names an earlier reading that makes a value look wrong: with two figures of that one in each other's place,
// the value would have been expected. "" where there is none.
func (d *decision) slipBefore(c claim) string {
	for _, name := range rangeNames(c.r) {
		r := d.s.Protocol.Reading(name)
		if r == nil || r.Kind != protocol.Number || r == c.r {
			continue
		}
		t := d.v.newest(name)
		if t == nil || t.NotTaken {
			continue
		}
		for _, p := range swapped(r, t.Typed) {
			values := d.s.Values(d.v.Label)
			values.instead = map[int]parsed{t.Event: p}
			if in := boundsOf(c.r, c.portion, values); in.low != nil && in.high != nil && in.side(c.value) == "" {
				return fmt.Sprintf("Or was %s %s, not %s? c %s corrects that one. ", t.Title(), shownIn(r, p.value), t.Shown(), name)
			}
		}
	}
	return ""
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
