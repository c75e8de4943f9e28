package run

import "testing"

// TestReachedInTheLastStage: what a wait has shown ends the wait, where nothing of the vessel comes after it; where a stage
// does, that is named.
func TestReachedInTheLastStage(t *testing.T) {
	const burn = `format = 1
[protocol]
id = "burn"
title = "Burn"
version = "1"
[[stage]]
id = "burn"
title = "Burn"
attended = true
clock = { at_least = "1 min", aim = "5 min" }
ready = "last(water) - first(water) >= 18"
ready_say = "the water has risen"
  [[stage.reading]]
  id = "water"
  kind = "series"
  unit = "1"
`
	const more = `
[[stage]]
id = "out"
title = "Put out"
steps = ["Lid on"]
`
	for protocol, want := range map[string]string{burn: "Reached. Now: end the wait.", burn + more: "Reached. Now: Put out."} {
		h := beginOf(t, protocol, nil, "A")
		h.do("0:00", "", Acknowledge{})
		h.do("0:01", "A", Forward{})
		h.typed("0:10", "A", "16")
		h.typed("2:00", "A", "35")
		if w := h.engine.State.Look("A", h.now); w.Do != want {
			t.Errorf("the hands are told %q, want %q", w.Do, want)
		}
	}
}
