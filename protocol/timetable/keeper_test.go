package timetable_test

import (
	"reflect"
	"slices"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
)

// starts are the times at which a vessel's turns are planned, in minutes of the run, by stage.
func (d *bench) starts(vessel string) []float64 {
	d.t.Helper()
	var out []float64
	for _, x := range d.state().Timetable().Turns {
		if x.Vessel == vessel {
			out = append(out, time.Duration(x.Start).Minutes())
		}
	}
	return out
}

func (d *bench) pass(minutes float64) { d.clock.now += time.Duration(minutes * float64(time.Minute)) }

// A vessel alone needs no timetable; one that joins gets one for both, and does not push away what is due.
func TestVesselJoins(t *testing.T) {
	d := newBench(t, batch, 1, &run.Bench{})
	d.plan()
	if d.state().Timetable() != nil {
		t.Fatal("one vessel has a timetable")
	}
	d.act("A", exactly) // 0 to 2 min
	d.do("", run.AddVessel{})
	d.plan()
	if got, want := d.starts("A"), []float64{10, 16, 33, 46}; !slices.Equal(got, want) {
		t.Errorf("A is planned at %v min, want %v", got, want)
	}
	if got := d.starts("B"); len(got) != 5 || got[0] != 3 {
		t.Errorf("B is planned at %v min, want five turns, the first at 3, so that none of them meets one of A", got)
	}
	d.do("", run.AddVessel{})
	d.plan()
	if got := d.starts("C"); len(got) != 5 {
		t.Errorf("C, the third one, is planned at %v min", got)
	}
}

// A vessel that is given up leaves the timetable, and the others need not wait for it.
func TestVesselGivenUp(t *testing.T) {
	d := newBench(t, batch, 2, &run.Bench{})
	d.plan()
	d.act("A", exactly)
	if _, err := d.engine.Do(run.Command{Vessel: "A", Do: run.EndVessel{Why: "it broke"}, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	d.plan()
	if got := d.starts("A"); got != nil {
		t.Errorf("A was given up and is planned at %v", got)
	}
	if got, want := time.Duration(d.state().Timetable().End).Minutes(), 2+49.0; got != want {
		t.Errorf("B alone ends at %v min, want %v: its chain of 49 min from now", got, want)
	}
}

// A wait that gets more time moves what follows it.
func TestWaitExtended(t *testing.T) {
	d := newBench(t, batch, 2, &run.Bench{})
	d.plan()
	d.act("A", exactly)
	d.plan()
	d.do("A", run.Extend{By: 3 * time.Minute, Why: "the bath was cold"})
	d.plan()
	if got := d.starts("A"); len(got) != 4 || got[0] < 13 {
		t.Errorf("A is planned at %v min, want its first dose at 13 or later, not at 10", got)
	}
}

// While the hands are away nothing is planned; when they are back the rest is.
func TestAway(t *testing.T) {
	d := newBench(t, batch, 2, &run.Bench{})
	d.plan()
	d.act("A", exactly)
	d.do("", run.GoAway{})
	d.pass(5)
	if d.keeper.Ask(d.state(), d.clock.now, d.inHand) != nil {
		t.Fatal("something is planned for hands that are away")
	}
	d.do("", run.ComeBack{})
	d.plan()
	if got := d.starts("B"); got[0] < 7 {
		t.Errorf("B is planned at %v min, and it is minute 7", got)
	}
}

// What nobody takes up is planned again after 1, 2, 4 and 8 minutes, and before anything has begun not at all.
func TestOverdue(t *testing.T) {
	d := newBench(t, batch, 2, &run.Bench{})
	d.plan()
	for range 20 {
		d.pass(1)
		if d.keeper.Ask(d.state(), d.clock.now, d.inHand) != nil {
			t.Fatalf("at %v nothing has begun, and it is planned again", d.clock.now)
		}
	}
	d = newBench(t, batch, 2, &run.Bench{})
	d.plan()
	d.act("A", exactly) // B is due at minute 3
	d.plan()
	var asked []float64
	for d.pass(0.5); d.clock.now < 20*time.Minute; d.pass(0.5) {
		if task := d.keeper.Ask(d.state(), d.clock.now, d.inHand); task != nil {
			asked = append(asked, d.clock.now.Minutes()) // and what is found is not kept
		}
	}
	if want := []float64{4, 5, 7, 11, 19}; !slices.Equal(asked, want) {
		t.Errorf("it is planned again at %v min, want %v: 1, 2, 4, 8 and 16 min after B was due", asked, want)
	}
}

// A break that was said at the begin holds for the whole run, and two pairs of hands work at a time.
func TestBenchCounts(t *testing.T) {
	d := newBench(t, batch, 2, &run.Bench{Breaks: []run.BreakTime{{From: run.Span(9 * time.Minute), To: run.Span(12 * time.Minute)}}})
	d.plan()
	for _, x := range d.state().Timetable().Turns {
		if x.End > run.Span(9*time.Minute) && x.Start < run.Span(12*time.Minute) {
			t.Errorf("%s is planned from %v to %v, when nobody is present", x.Vessel, time.Duration(x.Start), time.Duration(x.End))
		}
	}
	d = newBench(t, batch, 2, &run.Bench{Operators: 2})
	d.plan()
	if got := time.Duration(d.state().Timetable().End).Minutes(); got != 49 {
		t.Errorf("two pairs of hands need %v min for two vessels, want 49, one chain", got)
	}
}

// A replay of what was recorded gives the same timetables and the same queue, and a keeper that knows nothing finds no
// news in them.
func TestReplay(t *testing.T) {
	d := newBench(t, batch, 4, &run.Bench{})
	hands := late(3)
	for d.clock.now < 25*time.Minute {
		d.plan()
		d.next(hands)
	}
	d.plan()
	again, err := run.Fold(d.events)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(again.Timetables, d.state().Timetables) || len(again.Timetables) < 2 {
		t.Errorf("replayed:\n%+v\nwant\n%+v", again.Timetables, d.state().Timetables)
	}
	if got, want := again.Queue(d.clock.now), d.state().Queue(d.clock.now); !reflect.DeepEqual(got, want) {
		t.Errorf("the queue of the replay is\n%+v\nwant\n%+v", got, want)
	}
	fresh := &bench{t: t, engine: run.NewEngine(again, d, d.clock), clock: d.clock}
	if task := fresh.keeper.Ask(again, d.clock.now, d.inHand); task == nil {
		t.Error("a run that was taken up again is not planned")
	} else if found := task.Plan(); found.Err != nil || found.News {
		t.Errorf("a run that was taken up at once is planned anew: %+v", found)
	}
}

// What is due goes in the timetable's order, not in that in which the windows close.
func TestQueueFollowsTheTimetable(t *testing.T) {
	d := newBench(t, batch, 2, &run.Bench{})
	d.act("A", exactly) // it waits from minute 2 on, until 16 at the latest
	d.act("B", exactly) // from 4 on, until 18
	d.clock.now = 14 * time.Minute
	if head := d.state().Queue(d.clock.now)[0]; head.Vessel != "A" {
		t.Fatalf("without a timetable %s comes first, and A's window closes first", head.Vessel)
	}
	dose := func(vessel string, at time.Duration) run.PlannedTurn {
		return run.PlannedTurn{Vessel: vessel, Stage: "dose", Portion: 1, Start: run.Span(at), End: run.Span(at + 2*time.Minute)}
	}
	table := run.Planned{Turns: []run.PlannedTurn{dose("A", 14*time.Minute), dose("B", 12*time.Minute)}, End: run.Span(time.Hour)}
	if err := d.engine.KeepTimetable(table); err != nil {
		t.Fatal(err)
	}
	if head := d.state().Queue(d.clock.now)[0]; head.Vessel != "B" {
		t.Errorf("%s comes first, and the timetable has B first", head.Vessel)
	}
}

// What is skipped has no turn any more, the portions that were never begun too.
func TestSkippedHasNoTurn(t *testing.T) {
	d := newBench(t, batch, 2, &run.Bench{})
	d.plan()
	d.act("A", exactly)
	d.clock.now = 10 * time.Minute
	d.do("A", run.Forward{}) // to the first dose
	if _, err := d.engine.Do(run.Command{Vessel: "A", Do: run.Skip{Why: "dosed before"}, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	d.plan()
	for _, x := range d.state().Timetable().Turns {
		if x.Vessel == "A" && x.Stage == "dose" {
			t.Errorf("portion %d of A's dose is planned for %v, and was skipped", x.Portion, time.Duration(x.Start))
		}
	}
}
