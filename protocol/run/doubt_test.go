package run

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"
)

// heating is an invented protocol: two weighings, a dose in two portions, and a water bath that is warmed.
const heating = `format = 1
[protocol]
id = "heating"
title = "Heating"
version = "1"
[instrument.balance]
unit = "g"
step = "0.01 g"
[instrument.thermometer]
title = "Thermometer"
unit = "Cel"
step = "0.1 K"
tolerance = "0.05 K"
[[given]]
id = "water_mass"
value = "100 g"
[[given]]
id = "margin"
value = "1 g"
[[stage]]
id = "weigh"
title = "Weigh"
steps = ["Weigh", "Weigh again"]
  [[stage.reading]]
  id = "can"
  title = "Can"
  unit = "g"
  instrument = "balance"
  expect = ["100 g", "200 g"]
  needed = true
  step = 1
  [[stage.reading]]
  id = "full"
  title = "Can with water"
  unit = "g"
  instrument = "balance"
  expect = ["can + water_mass - margin", "can + water_mass + margin"]
  needed = true
  step = 2
[[stage]]
id = "dose"
title = "Dose"
portions = 2
steps = ["Pour"]
hands = "1 min"
clock = "1 min"
live = [{ say = "Given", sum = "poured", of = "20 mL" }]
  [[stage.reading]]
  id = "poured"
  title = "Poured"
  unit = "mL"
  needed = true
[[stage]]
id = "heat"
title = "Heat"
clock = "10 min"
remind = { every = "30 s", say = "Read", reading = "water" }
  [[stage.reading]]
  id = "water"
  title = "Water"
  kind = "series"
  unit = "Cel"
  instrument = "thermometer"
  expect = ["10 Cel", "60 Cel"]
  rate = ["-1 K/min", "6 K/min"]
[[guard]]
id = "tared"
holds = "full > can"
say = "Was it tared?"
`

// heated begins a run of it with water at hand: a point every 30 s, from 2:00 on.
func heated(t *testing.T, points ...string) *hand {
	t.Helper()
	return heatedAs(t, heating, points...)
}

// heatedAs is the same by another wording of the protocol.
func heatedAs(t *testing.T, text string, points ...string) *hand {
	t.Helper()
	h := beginOf(t, text, nil, "A")
	h.do("0:00", "", Acknowledge{})
	h.do("0:01", "A", Forward{})
	if points == nil {
		return h
	}
	h.typed("0:10", "A", "126.41")
	h.typed("0:20", "A", "226.40")
	h.typed("0:30", "A", "11.0")
	h.do("1:30", "A", Forward{})
	h.typed("1:40", "A", "8.5")
	for i, p := range points {
		h.typed(Hms(2*time.Minute+time.Duration(i)*30*time.Second), "A", p)
	}
	return h
}

// TestDoubtInASeries: what lies within the range of a series may still be further from the point before it than the
// series goes in that time.
func TestDoubtInASeries(t *testing.T) {
	for _, tt := range []struct{ name, at, typed, asked string }{
		{"a rise as expected", "3:00", "33.0", ""},
		{"the fastest rise", "3:00", "35.1", ""}, // 32.0 + 3.0 and what two readings may differ by
		{"figures swapped", "3:00", "23.0", "Water: 23.0 °C, 0:30 after 32.0 °C, is a faster fall than expected (to 31.4 °C). Two figures in each other's place? That would be 32.0 °C. Keep it?"},
		{"swapped upwards", "3:00", "43.0", "43.0 °C, 0:30 after 32.0 °C, is a faster rise than expected (to 35.1 °C). Two figures in each other's place? That would be 34.0 °C."},
		{"two points in one go count as one interval", "2:31", "34.9", ""},
		{"as a point before that", "3:00", "30.0", "a faster fall than expected (to 31.4 °C)"},
		{"later it may have gone further", "4:00", "40.9", ""},
		{"a decimal mark left out is told by the range", "3:00", "330", "above what is expected (10 to 60 °C). A decimal mark one place off? That would be 33.0 °C."},
	} {
		h := heated(t, "30.0", "32.0")
		_, err := h.try(tt.at, "A", Take{Typed: tt.typed}, false)
		asked(t, tt.name, err, tt.asked)
	}
}

// TestDoubtIsNotInherited: a point that was kept after a question does not make the next one doubtful, nor does it hide a
// second slip.
func TestDoubtIsNotInherited(t *testing.T) {
	h := heated(t, "30.0", "32.0")
	h.asks("3:00", "A", Take{Typed: "23.0"}, "a faster fall")
	h.typed("3:30", "A", "35.0")
	h.asks("4:00", "A", Take{Typed: "53.0"}, "a faster rise than expected")
	dev := h.engine.State.Deviations
	if len(dev) != 2 || dev[0].Planned != "0:30 after 32.0 °C, a fall to 31.4 °C at most" || dev[0].Done != "23.0, kept all the same" {
		t.Errorf("recorded: %+v", dev)
	}
	h.do("4:10", "A", Correct{Typed: "35.5"})
	if got := h.engine.State.Vessels[0].newest("water"); got.Unlikely || got.Was[0].Why != Mistyped {
		t.Errorf("corrected: %+v", got)
	}
}

// TestReadsLikeTheEnd: a value that looks like the end of what is expected is inside.
func TestReadsLikeTheEnd(t *testing.T) {
	h := heatedAs(t, strings.Replace(heating, `["10 Cel", "60 Cel"]`, `["10.04 Cel", "59.96 Cel"]`, 1), "10.0")
	h.asks("2:30", "A", Take{Typed: "9.9"}, "below what is expected (10 to 60 °C)")
	h.asks("9:00", "A", Take{Typed: "60.1"}, "above what is expected (10 to 60 °C)")
	h.typed("9:30", "A", "60.0")
}

// TestSwappedFiguresElsewhere: the slip may be in the reading that a range was worked out from.
func TestSwappedFiguresElsewhere(t *testing.T) {
	h := heated(t)
	h.typed("0:10", "A", "162.41")
	_, err := h.try("0:20", "A", Take{Typed: "226.40"}, false)
	asked(t, "the first weighing", err, "That would be 262.40 g. Or was Can 126.41 g, not 162.41 g? c can 126.41 corrects that one. Keep it?")
}

// TestSlip: each likely slip by its name, the one with a decimal mark first; none where no range tells.
func TestSlip(t *testing.T) {
	r := heated(t).engine.State.Protocol.Reading("can")
	for _, tt := range []struct {
		typed     string
		low, high float64
		want      string
	}{
		{"1234.5", 100, 200, "A decimal mark one place off? That would be 123.45 g. "},
		{"12.345", 100, 200, "A decimal mark one place off? That would be 123.45 g. "},
		{"12345", 100, 200, "A decimal mark left out? That would be 123.45 g. "},
		{"1.2345", 100, 200, "A decimal mark two places off? That would be 123.45 g. "},
		{"213.45", 100, 130, "Two figures in each other's place? That would be 123.45 g. "},
		{"123450", 100, 200, "A thousandth unit, such as mg for g or µL for mL? That would be 123.45 g. "},
		{"0.12345", 100, 200, "A thousandfold unit? That would be 123.45 g. "},
		{"99", 100, 200, ""},
		{"0", 100, 200, ""},
	} {
		p, err := parse(r, tt.typed)
		if err != nil {
			t.Fatal(err)
		}
		c := claim{parsed: p, r: r, typed: tt.typed}
		said := func(in bounds) (said string) {
			for _, s := range c.slip(in, 1) {
				said += s.say + " "
			}
			return said
		}
		if got := said(bounds{&tt.low, &tt.high}); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.typed, got, tt.want)
		}
		if got := said(bounds{low: &tt.low}) + said(bounds{high: &tt.high}); got != "" {
			t.Errorf("%s, with one end: %q", tt.typed, got)
		}
	}
}

// TestSwapped: neighbours change places, across a decimal mark too, but not across an exponent or a unit.
func TestSwapped(t *testing.T) {
	h := heated(t)
	for typed, want := range map[string][]float64{"162.41": {612.41, 126.41, 164.21, 162.14}, "11": nil, "1.2e3": {2100}, "12 kg": {21000}, "7": nil} {
		var got []float64
		for _, p := range swapped(h.engine.State.Protocol.Reading("can"), typed) {
			got = append(got, p.value)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s swapped is %v, want %v", typed, got, want)
		}
	}
}

// TestGuardSpeaksInTheQuestion: what a guard would say of a doubted value is said before it is kept.
func TestGuardSpeaksInTheQuestion(t *testing.T) {
	h := heated(t)
	h.typed("0:10", "A", "126.41")
	_, err := h.try("0:20", "A", Take{Typed: "100.02"}, false)
	asked(t, "tared", err, "below what is expected (225.41 to 227.41 g). Was it tared? Keep it?")
}

// asked wants a question with a part, or none for "".
func asked(t *testing.T, name string, err error, part string) {
	t.Helper()
	var q *Question
	switch {
	case part == "" && err != nil:
		t.Errorf("%s: %v", name, err)
	case part != "" && (!errors.As(err, &q) || !strings.Contains(q.Say, part)):
		t.Errorf("%s:\n got %v\nwant a question with %s", name, err, part)
	}
}
