package run

import (
	"testing"

	"example.org/meniscus/protocol"
)

// TestAim: a series tells the value that it is to reach, as its instrument would show it; a reading without an aim, and
// one whose aim needs a value that is not there, tell none.
func TestAim(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{})
	asked := h.engine.State.Look("A", h.now).Asked
	if asked == nil || asked.Aim != "54 °C" {
		t.Fatalf("asked for: %+v, want an aim of 54 °C (the given)", asked)
	}
	r, values := *asked.Reading, h.engine.State.Values("A")
	if aim, ok := Aim(&r, 0, values); !ok || aim != 54 {
		t.Errorf("the aim is %v, %t; want 54", aim, ok)
	}
	r.Aim = nil
	if aim, ok := Aim(&r, 0, values); ok {
		t.Errorf("a reading without an aim is to reach %v", aim)
	}
	p, err := protocol.Load("x.toml", []byte(`format = 1
[protocol]
id = "x"
title = "X"
version = "1"
[[stage]]
id = "burn"
title = "Burn"
clock = "5 min"
  [[stage.reading]]
  id = "water"
  kind = "series"
  unit = "Cel"
  aim = "first(water) + 18 * (last(water) - first(water))"
`))
	if err != nil {
		t.Fatal(err)
	}
	if aim, ok := Aim(p.Reading("water"), 0, values); ok {
		t.Errorf("before its first point the series is to reach %v", aim)
	}
}
