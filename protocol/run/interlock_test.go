package run

import "testing"

// refilling is a protocol in which a burner is filled anew for each vessel.
const refilling = `format = 1
[protocol]
id = "refilling"
title = "Refilling"
version = "1"
[[given]]
id = "cooling"
value = "10 min"
[[stage]]
id = "look"
title = "Look"
steps = ["Feel"]
  [[stage.reading]]
  id = "cold"
  title = "Burner is cold"
  kind = "tick"
  needed = true
[[stage]]
id = "fill"
title = "Fill"
steps = ["Fill"]
interlock = { holds = "cold", since = "out", at_least = "cooling", say = "Let it cool." }
[[stage]]
id = "burn"
title = "Burn"
steps = ["Lid on"]
  [[stage.reading]]
  id = "out"
  title = "Flame out"
  kind = "mark"
  needed = true
`

// TestInterlockWaitsForTheBurner: the first burner is filled once it is felt cold; the next only when the least time
// has gone since the flame of the one before was out, as the mark has it by then, cold to the hand or not.
func TestInterlockWaitsForTheBurner(t *testing.T) {
	h := beginOf(t, refilling, nil, "A", "B")
	h.do("0:00", "", Acknowledge{})
	h.do("0:10", "A", Forward{})
	h.do("0:20", "A", Forward{}) // cold
	h.do("1:00", "A", Forward{}) // filled
	h.do("4:00", "A", Forward{}) // out
	h.do("5:00", "B", Forward{})
	h.do("7:00", "B", Forward{}) // cold
	const barred = "Flame out of A is too short a time ago. Let it cool."
	h.refused("8:00", "B", Forward{}, "Fill is barred for 6:00 more: "+barred)
	h.refused("13:59", "B", Skip{Why: "in a hurry"}, "Fill is barred for 0:01 more: "+barred)
	h.do("14:00", "B", Forward{})
	if got := h.engine.State.Look("B", h.now).Stage.ID; got != "fill" {
		t.Errorf("ten minutes after the flame: stage %s", got)
	}
}
