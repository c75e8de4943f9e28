package timetable_test

import (
	"cmp"
	"fmt"
	"slices"
	"testing"
	"time"

	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/timetable"
)

// fresh has the timetable made as a keeper does that knows nothing.
func (d *bench) fresh() run.Planned {
	d.t.Helper()
	var k timetable.Keeper
	task := k.Ask(d.state(), d.clock.now, d.inHand)
	if task == nil {
		d.t.Fatal("nothing is planned")
	}
	found := task.Plan()
	if found.Err != nil {
		d.t.Fatal(found.Err)
	}
	return found.Planned
}

// begins returns when a timetable has the next turn of a vessel begin.
func begins(p run.Planned, vessel string) time.Duration {
	k := slices.IndexFunc(p.Turns, func(x run.PlannedTurn) bool { return x.Vessel == vessel })
	return time.Duration(p.Turns[k].Start)
}

// TestWhatIsDueKeepsItsOrder: A's window closes in 70 s, and the timetable has B's load of two minutes first. That order is
// kept where B is due within two minutes or was half a minute ago, save when the hands were away since; else A comes first.
func TestWhatIsDueKeepsItsOrder(t *testing.T) {
	const s = time.Second
	for name, test := range map[string]struct {
		b          time.Duration // from now until B's turn
		back, away bool          // the hands were away before the timetable was made; after it was
		first      string
	}{
		"overdue":                {-31 * s, false, false, "A"},
		"due a moment ago":       {-29 * s, false, false, "B"},
		"due soon":               {119 * s, false, false, "B"},
		"not due":                {121 * s, false, false, "A"},
		"away since":             {-29 * s, false, true, "A"},
		"away since, due soon":   {119 * s, false, true, "A"},
		"away before it, is due": {119 * s, true, false, "B"},
	} {
		d := newBench(t, batch, 2, &run.Bench{})
		d.act("A", exactly) // to minute 2; it may wait until 16
		leave := func() {
			d.do("", run.GoAway{})
			d.do("", run.ComeBack{})
		}
		d.clock.now = 14 * time.Minute
		if test.back {
			leave()
		}
		d.clock.now = 14*time.Minute + 20*s
		b := run.Span(14*time.Minute + 50*s + test.b)
		if err := d.engine.KeepTimetable(run.Planned{End: run.Span(time.Hour), Turns: []run.PlannedTurn{
			{Vessel: "A", Stage: "dose", Portion: 1, Start: b + run.Span(2*time.Minute), End: b + run.Span(4*time.Minute)},
			{Vessel: "B", Stage: "load", Portion: 1, Start: b, End: b + run.Span(2*time.Minute)}}}); err != nil {
			t.Fatal(err)
		}
		d.clock.now = 14*time.Minute + 50*s
		if test.away {
			leave()
		}
		first := "A"
		if made := d.fresh(); begins(made, "B") < begins(made, "A") {
			first = "B"
		}
		if first != test.first {
			t.Errorf("%s: %s is first, want %s", name, first, test.first)
		}
	}
}

// TestOrderTurnsForAGainAlone: on days with late hands the hands are sent another way only where that saves two minutes, or
// half a minute of a window.
func TestOrderTurnsForAGainAlone(t *testing.T) {
	turned := 0
	for seed := range uint64(40) {
		d := newBench(t, batch, 4, &run.Bench{})
		d.plan()
		d.act("A", exactly)
		d.do("", run.GoAway{})
		d.do("", run.ComeBack{})
		for hands := late(seed); d.state().Ended == nil; d.next(hands) {
			var k timetable.Keeper
			task := k.Ask(d.state(), d.clock.now, d.inHand)
			kept, found := plan.Follow(task.Old(), task.Facts(), d.clock.now), task.Plan()
			if kept == nil || found.Err != nil {
				t.Fatalf("day %d at %v: the old order gives %v, planning anew %v", seed, d.clock.now, kept, found.Err)
			}
			if hasRoom(kept) && task.Clear(kept) != kept {
				t.Errorf("day %d at %v: no window is used to its last minute, and the plan is changed", seed, d.clock.now)
			}
			if !slices.Equal(order(found.Planned, nil), order(found.Planned, kept)) {
				turned++
				sooner, shorter := kept.Makespan-time.Duration(found.Planned.End), kept.OverWait-time.Duration(found.Planned.OverWait)
				if kept.Excess < 30*time.Second && sooner < 2*time.Minute && shorter < 2*time.Minute {
					t.Errorf("day %d at %v: the order is turned for %v and %v of waits; windows were missed by %v", seed, d.clock.now, sooner, shorter, kept.Excess)
				}
			}
			if found.News {
				if err := d.engine.KeepTimetable(found.Planned); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	if turned == 0 {
		t.Error("on none of the days was the order turned: nothing was tried")
	}
}

// hasRoom tells whether every wait of a plan ends a minute or more before its window closes.
func hasRoom(p *plan.Plan) bool {
	for i, v := range p.Problem.Vessels {
		for _, w := range v.Waits {
			if w.AtMost != plan.Forever && p.Start[i][w.To]-p.End(i, w.From) > w.AtMost-time.Minute {
				return false
			}
		}
	}
	return true
}

// order lists a timetable's turns as they follow each other, in it or in a plan.
func order(p run.Planned, in *plan.Plan) []string {
	type turn struct {
		name string
		at   time.Duration
	}
	var all []turn
	for _, x := range p.Turns {
		at := time.Duration(x.Start)
		if in != nil {
			v := slices.IndexFunc(in.Problem.Vessels, func(v plan.Vessel) bool { return v.Label == x.Vessel })
			j := slices.IndexFunc(in.Problem.Vessels[v].Steps, func(s plan.Step) bool {
				return s.ID == x.Stage || s.ID == fmt.Sprint(x.Stage, ".", x.Portion)
			})
			at = in.Start[v][j]
		}
		all = append(all, turn{name(x), at})
	}
	slices.SortStableFunc(all, func(a, b turn) int { return cmp.Compare(a.at, b.at) })
	var out []string
	for _, x := range all {
		out = append(out, x.name)
	}
	return out
}

// TestTimetableOfAnother: where the timetable that holds contradicts the protocol, the rest is planned without it.
func TestTimetableOfAnother(t *testing.T) {
	d := newBench(t, batch, 2, &run.Bench{})
	d.act("A", exactly)
	turn := func(stage string, at time.Duration) run.PlannedTurn {
		return run.PlannedTurn{Vessel: "A", Stage: stage, Portion: 1, Start: run.Span(at), End: run.Span(at + time.Minute)}
	}
	d.clock.now = 10 * time.Minute
	if err := d.engine.KeepTimetable(run.Planned{End: run.Span(time.Hour),
		Turns: []run.PlannedTurn{turn("dose", 11*time.Minute), turn("seed", 10*time.Minute)}}); err != nil {
		t.Fatal(err)
	}
	made := d.fresh()
	stages := []string{}
	for _, x := range made.Turns {
		if x.Vessel == "A" {
			stages = append(stages, x.Stage)
		}
	}
	if !slices.Equal(stages, []string{"dose", "dose", "seed", "pour"}) || len(made.Turns) != 9 || len(made.Missed) > 0 {
		t.Errorf("seeding before dosing was asked for, and this was made of it: %+v", made)
	}
}
