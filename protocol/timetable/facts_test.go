package timetable_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/timetable"
)

// rests is a procedure whose work may rest between its stages, and ends in a wait. Its steps in a plan are: weigh, mix in two
// portions, pour, and the end.
var rests = stages(`
[[stage]]
id = "weigh"
title = "Weigh"
steps = ["Weigh"]
hands = "2 min"
[[stage]]
id = "mix"
title = "Mix"
portions = 2
steps = ["Pour together", "Mix"]
hands = "3 min"
  [[stage.reading]]
  id = "colour"
  title = "Colour"
  kind = "text"
  when = "end"
[[stage]]
id = "cool"
title = "Cool"
say = "Leave it."
clock = { at_least = "5 min", aim = "5 min", at_most = "9 min" }
[[stage]]
id = "pour"
title = "Pour"
steps = ["Pour"]
hands = "2 min"
clock = { at_least = "4 min", aim = "4 min" }
`)

// steps does one thing after the other, each at its minute, and puts the hands at a vessel.
func (d *bench) steps(inHand string, acts ...deed) {
	d.t.Helper()
	for _, a := range acts {
		d.clock.now = time.Duration(a.at * float64(time.Minute))
		if _, err := d.engine.Do(run.Command{Vessel: a.vessel, Do: a.do, Confirmed: true}); err != nil {
			d.t.Fatalf("at %v, vessel %s: %v", d.clock.now, a.vessel, err)
		}
	}
	d.inHand = inHand
}

// A deed is something that is done at a minute.
type deed struct {
	at     float64
	vessel string
	do     run.Act
}

func forward(vessel string, at ...float64) []deed {
	var out []deed
	for _, x := range at {
		out = append(out, deed{x, vessel, run.Forward{}})
	}
	return out
}

// TestFacts: what counts as begun and as ended, of vessel A, at minute 30.
func TestFacts(t *testing.T) {
	minute := func(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }
	begun := func(at float64) plan.Fact { return plan.Fact{Begun: true, Start: minute(at)} }
	ended := func(from, to float64) plan.Fact {
		return plan.Fact{Begun: true, Ended: true, Start: minute(from), End: minute(to)}
	}
	weighed := forward("A", 1, 3)                      // the first portion of mixing may begin
	mixed := append(weighed, forward("A", 4, 6, 7)...) // both steps, and the reading is passed over
	cooling := append(mixed, forward("A", 8, 9, 10)...)
	for name, test := range map[string]struct {
		done   []deed
		inHand string
		turn   float64 // the timetable has the hands at A's first mixing then; 0: it does not say
		step   int
		want   plan.Fact
	}{
		"nothing is begun":                        {nil, "A", 0, 0, plan.Fact{}},
		"the first step needs no touch":           {forward("A", 1), "B", 0, 0, begun(1)},
		"a step is done":                          {weighed, "B", 0, 0, ended(1, 3)},
		"what may rest waits for the hands":       {weighed, "B", 0, 1, plan.Fact{}},
		"the hands stayed with it":                {weighed, "A", 0, 1, begun(3)},
		"the hands came to it from B":             {append(weighed, forward("B", 3, 6)...), "A", 0, 1, begun(6)},
		"the first of its two things is done":     {append(weighed, forward("A", 5)...), "B", 0, 1, begun(3)},
		"the hands passed over what is left":      {mixed, "A", 0, 2, begun(7)},
		"the hands are planned elsewhere first":   {weighed, "A", 30.5, 1, plan.Fact{}},
		"its turn is next":                        {weighed, "A", 30.4, 1, begun(3)},
		"a clock ran before it, so it needs none": {append(cooling, forward("A", 15)...), "B", 0, 3, begun(15)},
		"the clock before it runs":                {cooling, "A", 0, 3, plan.Fact{}},
		"the last clock runs":                     {append(cooling, forward("A", 15, 17)...), "A", 0, 4, plan.Fact{}},
		"the last clock is over":                  {append(cooling, forward("A", 15, 17, 21)...), "A", 0, 4, ended(21, 21)},
		"a portion was skipped with its stage":    {append(weighed, deed{5, "A", run.Skip{Why: "no more of it"}}), "A", 0, 2, ended(5, 5)},
		"what was begun when it was skipped":      {append(weighed, deed{5, "A", run.Skip{Why: "no more of it"}}), "A", 0, 1, ended(3, 5)},
		"what never came of a vessel given up":    {append(weighed, deed{5, "A", run.EndVessel{Why: "it broke"}}), "A", 0, 3, ended(5, 5)},
		"what was done of a vessel that is":       {append(weighed, deed{5, "A", run.EndVessel{Why: "it broke"}}), "A", 0, 0, ended(1, 3)},
	} {
		d := newBench(t, rests, 2, &run.Bench{})
		d.steps(test.inHand, test.done...)
		d.clock.now = minute(30)
		if test.turn > 0 {
			turn := run.PlannedTurn{Vessel: "A", Stage: "mix", Portion: 1, Start: run.Span(minute(test.turn)), End: run.Span(minute(test.turn + 3))}
			if err := d.engine.KeepTimetable(run.Planned{Turns: []run.PlannedTurn{turn}}); err != nil {
				t.Fatal(err)
			}
		}
		var fresh timetable.Keeper
		if got := fresh.Ask(d.state(), d.clock.now, d.inHand).Facts()[0][test.step]; got != test.want {
			t.Errorf("%s: %+v, want %+v", name, got, test.want)
		}
	}
}

// cures ends in a wait.
var cures = stages(`
[[stage]]
id = "pour"
title = "Pour"
steps = ["Pour"]
hands = "2 min"
clock = { at_least = "5 min", aim = "5 min", at_most = "9 min" }
[[stage]]
id = "stir"
title = "Stir"
steps = ["Stir"]
hands = "2 min"
clock = { at_least = "4 min", aim = "4 min" }
`)

// TestOldIsWhatHolds: while everything goes by the timetable, what is handed on as the old plan is the timetable to the
// second, from the begin to the end of the last wait; a vessel that it does not have comes behind all of it.
func TestOldIsWhatHolds(t *testing.T) {
	d := newBench(t, cures, 2, &run.Bench{})
	d.plan()
	first := d.state().Timetable().Planned
	for d.state().Ended == nil {
		var fresh timetable.Keeper
		task := fresh.Ask(d.state(), d.clock.now, d.inHand)
		old := task.Old()
		for i, facts := range task.Facts() {
			for j, f := range facts {
				if f.Begun && old.Start[i][j] != f.Start {
					t.Errorf("at %v step %d of vessel %d, begun at %v, is planned for %v", d.clock.now, j, i, f.Start, old.Start[i][j])
				}
			}
		}
		if got := run.Span(old.Makespan); got != first.End {
			t.Errorf("at %v the old plan ends at %v, want %v", d.clock.now, old.Makespan, time.Duration(first.End))
		}
		d.next(exactly)
	}
	d = newBench(t, cures, 2, &run.Bench{})
	d.plan()
	first = d.state().Timetable().Planned
	d.steps("A", forward("A", 0.5, 3.5, 8.5, 12)...) // half a minute later, and a minute longer
	d.do("", run.AddVessel{})
	var fresh timetable.Keeper
	old := fresh.Ask(d.state(), d.clock.now, d.inHand).Old()
	if want := []time.Duration{30 * time.Second, 8*time.Minute + 30*time.Second, 16 * time.Minute}; !slices.Equal(old.Start[0], want) {
		t.Errorf("A was begun at half a minute and waits since minute 12, and the old plan has it at %v, want %v", old.Start[0], want)
	}
	for j, at := range old.Start[2] {
		if at < time.Duration(first.End)+plan.FrozenFor || j > 0 && at <= old.Start[2][j-1] {
			t.Errorf("C is to be planned afresh, and the old plan has it at %v", fmt.Sprint(old.Start[2]))
		}
	}
}
