package timetable_test

import (
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/timetable"
)

// TestHandsAtIt: a turn that the hands are at is not overdue, though nothing of it was done; no more are those of the vessel
// that come after it. Elsewhere it is, and so is a wait that they only look at.
func TestHandsAtIt(t *testing.T) {
	for name, test := range map[string]struct {
		done   []deed
		inHand string
		stage  string
		after  time.Duration // how long after a first look
		want   bool
	}{
		"at it":              {forward("A", 0, 2, 10), "A", "dose", 90 * time.Second, false},
		"at another":         {forward("A", 0, 2, 10), "B", "dose", 90 * time.Second, true},
		"looking at a wait":  {forward("A", 0, 2), "A", "dose", 90 * time.Second, true},
		"it was skipped":     {append(forward("A", 0, 2, 10), deed{10, "A", run.Skip{Why: "dosed before"}}), "B", "dose", 90 * time.Second, false},
		"it was given up":    {append(forward("A", 0, 2, 10), deed{10, "A", run.EndVessel{Why: "it broke"}}), "B", "pour", 90 * time.Second, false},
		"it is all to come":  {forward("A", 0, 2, 10), "B", "pour", 90 * time.Second, true},
		"something was done": {forward("A", 0, 2, 10, 12), "B", "dose", 50 * time.Second, false},
	} {
		d := newBench(t, batch, 2, &run.Bench{})
		d.steps(test.inHand, test.done...)
		at := func(stage string, portion int, minute time.Duration) run.PlannedTurn {
			return run.PlannedTurn{Vessel: "A", Stage: stage, Portion: portion, Start: run.Span(minute * time.Minute), End: run.Span((minute + 2) * time.Minute)}
		}
		table := run.Planned{End: run.Span(time.Hour), Turns: []run.PlannedTurn{at("dose", 1, 12), at("dose", 2, 13)}}
		if test.stage == "pour" {
			table.Turns = []run.PlannedTurn{at("pour", 1, 12)}
		}
		if err := d.engine.KeepTimetable(table); err != nil {
			t.Fatal(err)
		}
		d.clock.now = 13 * time.Minute
		d.keeper.Ask(d.state(), d.clock.now, d.inHand)
		d.clock.now += test.after // the first turn was due a minute before that look
		if got := d.keeper.Ask(d.state(), d.clock.now, d.inHand) != nil; got != test.want {
			t.Errorf("%s: planned again %v, want %v", name, got, test.want)
		}
	}
}

// TestOverdueAfterAnAct: once something was done, what is overdue from then on counts from one minute again.
func TestOverdueAfterAnAct(t *testing.T) {
	d := newBench(t, batch, 3, &run.Bench{})
	d.plan()
	d.act("A", exactly)
	d.plan()
	d.pass(5) // B is overdue by 5 min
	d.plan()
	d.act("B", exactly)
	d.plan()
	next := d.starts("A")[0]
	d.clock.now = time.Duration((next + 1.1) * float64(time.Minute))
	if d.keeper.Ask(d.state(), d.clock.now, d.inHand) == nil {
		t.Errorf("at %v A's turn of minute %v is overdue by more than a minute, and nothing is planned", d.clock.now, next)
	}
}

// TestNotWanted: there is nothing to plan for a run whose cautions nobody has read, nor for one that is over.
func TestNotWanted(t *testing.T) {
	clock := &stillClock{}
	s, _, err := run.Begin(run.Begun{Run: "r", File: "batch.toml", Protocol: batch, Zone: "+00:00", Bench: &run.Bench{},
		Vessels: []run.VesselBegun{{Label: "A"}, {Label: "B"}}}, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	var k timetable.Keeper
	if k.Ask(s, 0, "") != nil {
		t.Error("the cautions are not acknowledged, and it is planned")
	}
	d := newBench(t, batch, 2, &run.Bench{})
	d.plan()
	d.act("A", exactly)
	if _, err := d.engine.Do(run.Command{Do: run.End{Why: "fire drill"}, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	if d.keeper.Ask(d.state(), d.clock.now, "A") != nil {
		t.Error("the run is over, and it is planned")
	}
}

// TestKept: a timetable that was recorded is no news by itself, even where by it the hands are elsewhere; one that came too
// late for what has happened since is asked for again at once.
func TestKept(t *testing.T) {
	d := newBench(t, rests, 2, &run.Bench{})
	d.steps("A", forward("A", 0, 2)...)
	if d.keeper.Ask(d.state(), d.clock.now, d.inHand) == nil {
		t.Fatal("nothing is planned")
	}
	later := run.PlannedTurn{Vessel: "A", Stage: "mix", Portion: 1, Start: run.Span(12 * time.Minute), End: run.Span(15 * time.Minute)}
	if err := d.engine.KeepTimetable(run.Planned{End: run.Span(time.Hour), Turns: []run.PlannedTurn{later}}); err != nil {
		t.Fatal(err)
	}
	d.keeper.Kept(d.state())
	if d.keeper.Ask(d.state(), d.clock.now, d.inHand) != nil {
		t.Error("nothing was done but that the timetable was recorded, and it is made again")
	}
	d.keeper.Outdated()
	if d.keeper.Ask(d.state(), d.clock.now, d.inHand) == nil {
		t.Error("the timetable came too late, and it is not made again")
	}
}

// TestPassed: a turn is behind the hands once something of it was done.
func TestPassed(t *testing.T) {
	d := newBench(t, rests, 2, &run.Bench{})
	mix := run.PlannedTurn{Vessel: "A", Stage: "mix", Portion: 1}
	for _, x := range []struct {
		at   float64
		want bool
	}{{1, false}, {3, false}, {4, true}, {6, true}} {
		d.steps("A", forward("A", x.at)...)
		if got := timetable.Passed(d.state(), mix); got != x.want {
			t.Errorf("at minute %v the first mixing is passed: %v, want %v", x.at, got, x.want)
		}
	}
}
