package timetable_test

import (
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
)

// soak has two waits in a row: the hands end the one and begin the other.
var soak = stages(`
[[stage]]
id = "load"
title = "Load"
steps = ["Load"]
hands = "2 min"
[[stage]]
id = "soak"
title = "Soak"
say = "Leave it."
clock = { at_least = "5 min", aim = "5 min", at_most = "9 min" }
[[stage]]
id = "cool"
title = "Cool"
say = "Leave it."
portions = 2
wait_last = true
clock = { at_least = "10 min", aim = "10 min", at_most = "12 min" }
[[stage]]
id = "pour"
title = "Pour"
steps = ["Pour"]
hands = "2 min"
`)

// TestWaitsInARow: to end a wait and begin the next one is a turn of the hands, and what follows is planned from when it
// was done.
func TestWaitsInARow(t *testing.T) {
	d := newBench(t, soak, 2, &run.Bench{})
	d.plan()
	if got := d.starts("A"); len(got) != 4 || got[1] != 7 {
		t.Fatalf("A is planned at %v min, want the load, both coolings and the pour, the first cooling at 7", got)
	}
	d.act("A", exactly)            // its soak runs from minute 2
	d.clock.now = 10 * time.Minute // three minutes late, and inside its window
	d.act("A", exactly)
	d.plan()
	if got := d.starts("A"); len(got) != 2 || got[0] < 20 || got[1] < 30 {
		t.Errorf("A cools since minute 10, and is planned at %v min, want 20 or later, and ten more", got)
	}
	if n := len(d.state().Timetable().Missed); n > 0 {
		t.Errorf("%d windows are missed: %+v", n, d.state().Timetable().Missed)
	}
	d.live(exactly)
	for _, x := range d.state().Deviations {
		t.Errorf("by the timetable: %s %s, %s done in %s", x.Vessel, x.Kind, x.What, x.Done)
	}
	for _, x := range summary.FromState(d.state()).Timetable.Turns {
		if x.BegunS == nil || x.Stage == "cool" && (*x.EndedS != *x.BegunS || x.Vessel == "A" && x.Portion == 1 && *x.BegunS != 600) {
			t.Errorf("%s %s %d: begun %v, ended %v", x.Vessel, x.Stage, x.Portion, x.BegunS, x.EndedS)
		}
	}
}
