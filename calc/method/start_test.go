package method

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

// before returns a pre-period of readings each half minute, the last one some minutes before the flame was lit at 0 min.
func before(gap float64, values ...float64) formula.Value {
	return run("Cel", half(-gap-0.5*float64(len(values)-1), len(values)), values)
}

// from cuts the first readings of a series.
func from(v formula.Value, n int) formula.Value {
	v.List, v.Times = v.List[n:], v.Times[n:]
	return v
}

// TestStartOfABurn: a reading that came with the flame is the start, as before; where it is wanting, the line of the
// pre-period is, with its uncertainty, and so for the corrected rise and the rise so far.
func TestStartOfABurn(t *testing.T) {
	const byHand = "by hand: mean 14.7, slope 0.12 per minute, 1.25 min on; s² = (0.01² + 0.03² + 0.03² + 0.01²)/2, " +
		"s·√(1/4 + 1.25²/1.25) (NIST/SEMATECH e-Handbook, 4.5.2.1, from memory)"
	burn, pre := ethanolBurn(0), before(0.5, 14.6, 14.7, 14.7, 14.8)
	args := append(burn[:5:5], call0(t, burn[0], burn[3], pre))
	near(t, "start as read", args[5].Number.Value, 14.8, 1e-12, demo)
	near(t, "rise from it", call(t, "corrected_rise", args...).Value, 20.65, 0.005, demo)

	late := from(burn[0], 3) // the first one at 1.5 min
	start := call0(t, late, burn[3], pre)
	near(t, "start by the line", start.Number.Value, 14.85, 1e-9, byHand)
	near(t, "its uncertainty", start.Number.U(), math.Sqrt(0.001*1.5), 1e-9, byHand)
	near(t, "its degrees of freedom", start.Number.DoF(), 2, 1e-9, byHand)
	args = append([]formula.Value{late}, burn[1], burn[2], burn[3], burn[4], start)
	rise := call(t, "corrected_rise", args...)
	near(t, "rise from it", rise.Value, 35.1-14.85+0.01169*(30.28+0.5375), 0.006,
		"by hand from the demonstration: trapezia from 0 to 1.5 min come to 25.9125 in place of 25.375 K·min")
	if rise.U() < start.Number.U() {
		t.Errorf("the rise is known to %.3f K, and its start to %.3f K only", rise.U(), start.Number.U())
	}
	near(t, "rise so far", call(t, "rise_so_far", late, burn[2], burn[3], num(0, "/min"), start).Value, 32.0-14.85, 1e-9, byHand)
}

func call0(t *testing.T, burn, lit, pre formula.Value) formula.Value {
	t.Helper()
	return formula.Of(call(t, "start_temperature", burn, lit, pre))
}

// TestStartBySoundLineOnly: the line is followed where it has four readings and reaches no further than they do; otherwise
// the first reading of the burn stands for the start for a minute, and after that nothing does.
func TestStartBySoundLineOnly(t *testing.T) {
	four := []float64{14.6, 14.7, 14.7, 14.8}
	tests := []struct {
		name  string
		first float64 // min after the flame was lit
		pre   formula.Value
		want  float64
		part  string
	}{
		{"last reading 12 s before, first one 66 s after", 1.1, before(0.2, four...), 14.814, ""},
		{"half a minute late with a line", 0.5, before(0.5, four...), 14.85, ""},
		{"in time", 0.25, before(0.5, four...), 18, ""},
		{"half a minute late without a line", 0.5, before(0.5, four[:3]...), 18, ""},
		{"three readings", 1.1, before(0.5, four[:3]...), 0, "1.1 min after the flame was lit, and before it there are 3 readings where a line takes 4: the start temperature is not known"},
		{"further than they reach", 1.1, before(1.6, four...), 0, "the last one before it 1.6 min before, too far for a line"},
		{"further than 2 min", 1.1, before(2.1, 14.6, 14.6, 14.7, 14.7, 14.8, 14.8, 14.8), 0, "2.1 min before, too far"},
	}
	for _, tt := range tests {
		burn := run("Cel", half(tt.first, 3), []float64{18, 20, 22})
		v, err := Named()["start_temperature"].Call([]formula.Value{burn, num(0, "min"), tt.pre})
		var refused *quantity.RangeError
		switch {
		case tt.part == "" && err == nil:
			near(t, tt.name, v.Number.Value, tt.want, 1e-9, "by hand: 14.7 + 0.12 per minute from the mean of the readings on")
		case tt.part == "" || !errors.As(err, &refused) || !strings.Contains(refused.Msg, tt.part):
			t.Errorf("%s: %v, %v", tt.name, v.Number, err)
		}
	}
}
