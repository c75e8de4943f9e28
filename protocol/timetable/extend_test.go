package timetable_test

import (
	"slices"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
)

// lit is attended first, and waits then.
var lit = stages(`
[[stage]]
id = "light"
title = "Light"
attended = true
say = "Stay."
clock = { at_least = "2 min", aim = "2 min", at_most = "3 min" }
[[stage]]
id = "glow"
title = "Glow"
say = "Leave it."
clock = { at_least = "6 min", aim = "6 min", at_most = "9 min" }
[[stage]]
id = "read"
title = "Read"
steps = ["Read"]
hands = "1 min"
`)

// TestExtended gives the wait that runs more time: what follows in the vessel is later by as much, no aim and no window is
// missed for it, and no other wait is longer.
func TestExtended(t *testing.T) {
	for name, test := range map[string]struct {
		text   string
		done   []float64 // when A goes forward
		by     int       // minutes
		starts []float64 // of A's next turns
		end    float64   // of all
		over   float64   // minutes that A has waited over its aims
	}{
		"less than the window is wide": {batch, []float64{0, 2}, 3, []float64{13, 19, 36, 49}, 52, 0},
		"more than the window is wide": {batch, []float64{0, 2}, 10, []float64{20, 26, 43, 56}, 59, 0},
		"a later wait":                 {batch, []float64{0, 2, 10, 12}, 2, []float64{18, 35, 48}, 51, 0},
		"after one that was too long":  {batch, []float64{0, 2, 12, 14}, 2, []float64{20, 37, 50}, 53, 2},
		"the last wait, without limit": {cures, []float64{0, 2, 7, 9}, 12, nil, 25, 0},
		"after an attended stage":      {lit, []float64{0, 2}, 4, []float64{12}, 13, 0},
	} {
		d := newBench(t, test.text, 2, &run.Bench{})
		d.steps("A", append(forward("A", test.done...), deed{test.done[len(test.done)-1], "B", run.EndVessel{Why: "A alone will do"}})...)
		if _, err := d.engine.Do(run.Command{Vessel: "A", Do: run.Extend{By: time.Duration(test.by) * time.Minute, Why: "it is cold"}}); err != nil {
			t.Fatal(err)
		}
		made := d.fresh()
		var starts []float64
		for _, x := range made.Turns {
			if x.Vessel == "A" {
				starts = append(starts, time.Duration(x.Start).Minutes())
			}
		}
		if !slices.Equal(starts, test.starts) || time.Duration(made.End).Minutes() != test.end {
			t.Errorf("%s: A is planned at %v min and all ends at %v, want %v and %v", name, starts, time.Duration(made.End), test.starts, test.end)
		}
		if time.Duration(made.OverWait).Minutes() != test.over || len(made.Missed) > 0 {
			t.Errorf("%s: waits go over their aims by %v, want %v min, and %+v are missed", name, time.Duration(made.OverWait), test.over, made.Missed)
		}
	}
}
