package timetable_test

import (
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
)

// The summary holds what was planned first, and at last, against what was done.
func TestPlannedAndDone(t *testing.T) {
	d := newBench(t, batch, 2, &run.Bench{})
	first := true
	d.live(func(planned time.Duration) time.Duration {
		if first { // A's load takes four minutes longer, so that B, meant for minute 3, begins at minute 6 or later
			first, planned = false, planned+4*time.Minute
		}
		return planned
	})
	got := summary.FromState(d.state()).Timetable
	if got == nil || len(got.Turns) != 10 || len(got.Remade) == 0 {
		t.Fatalf("the summary has %+v, want ten turns and a timetable that was made anew", got)
	}
	if got.PlannedEndS != 52*60 || got.EndS == nil || *got.EndS != d.clock.now.Seconds() {
		t.Errorf("planned to end at %v s, ended at %v s; want 3120 and %v", got.PlannedEndS, *got.EndS, d.clock.now.Seconds())
	}
	for _, turn := range got.Turns {
		if turn.BegunS == nil || turn.EndedS == nil || *turn.EndedS < *turn.BegunS {
			t.Errorf("%s %s: begun %v, ended %v", turn.Vessel, turn.Stage, turn.BegunS, turn.EndedS)
			continue
		}
		if turn.Vessel == "B" && turn.Stage == "load" && (turn.PlannedS != 180 || turn.LastPlannedS < 360 || *turn.BegunS != turn.LastPlannedS) {
			t.Errorf("B's load: planned %v s, at last %v s, begun %v s; want 180, 360 or later, and then", turn.PlannedS, turn.LastPlannedS, *turn.BegunS)
		}
	}
	if again := summary.FromState(newBench(t, batch, 2, nil).state()).Timetable; again != nil {
		t.Errorf("a run without a timetable has %+v", again)
	}
}
