package timetable_test

import (
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/timetable"
)

// batch is a procedure of bare times, in minutes: load 2, wait 8 to 14, dose 2, wait 4 to 7, dose 2, wait 15 to 20, seed 3,
// wait 10 to 15, pour 3. Exhaustive search and an integer program give for one pair of hands and two, three and four
// vessels a makespan of 52, 55 and 59 min and an over-wait of 0, 3 and 5 min.
const batch = `
format = 1
[protocol]
id = "batch"
title = "Batch"
version = "1"
purpose = "Times alone."
[[stage]]
id = "load"
title = "Load"
steps = ["Load"]
hands = "2 min"
clock = { at_least = "8 min", aim = "8 min", at_most = "14 min" }
[[stage]]
id = "dose"
title = "Dose"
portions = 2
steps = ["Dose"]
hands = "2 min"
clock = { at_least = "4 min", aim = "4 min", at_most = "7 min" }
[[stage]]
id = "hold"
title = "Hold"
say = "Leave it alone."
clock = { at_least = "15 min", aim = "15 min", at_most = "20 min" }
[[stage]]
id = "seed"
title = "Seed"
steps = ["Seed"]
hands = "3 min"
clock = { at_least = "10 min", aim = "10 min", at_most = "15 min" }
[[stage]]
id = "pour"
title = "Pour"
steps = ["Pour"]
hands = "3 min"
`

// A bench is a run with its hands, on a clock that only they move.
type bench struct {
	t      testing.TB
	engine *run.Engine
	keeper timetable.Keeper
	clock  *stillClock
	found  int // timetables made
	inHand string
	looks  bool // at the timetable, while the hands work
	events []run.Event
}

// Append keeps what is recorded.
func (d *bench) Append(events ...run.Event) error {
	d.events = append(d.events, events...)
	return nil
}

type stillClock struct{ now time.Duration }

func (c *stillClock) Now() run.Moment {
	return run.Moment{At: time.Date(2026, 3, 2, 10, 0, 0, 0, time.UTC).Add(c.now), Elapsed: c.now}
}

func newBench(t testing.TB, text string, vessels int, with *run.Bench) *bench {
	t.Helper()
	b := run.Begun{Run: "r", File: "batch.toml", Protocol: text, Zone: "+00:00", Bench: with}
	for i := range vessels {
		b.Vessels = append(b.Vessels, run.VesselBegun{Label: string(rune('A' + i))})
	}
	clock := &stillClock{}
	s, first, err := run.Begin(b, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	d := &bench{t: t, clock: clock, events: []run.Event{first}}
	d.engine = run.NewEngine(s, d, clock)
	d.do("", run.Acknowledge{})
	return d
}

func (d *bench) state() *run.State { return d.engine.State }

// do acts, without a question.
func (d *bench) do(vessel string, act run.Act) {
	d.t.Helper()
	if _, err := d.engine.Do(run.Command{Vessel: vessel, Do: act}); err != nil {
		d.t.Fatalf("at %v, vessel %s: %v", d.clock.now, vessel, err)
	}
}

// plan has the timetable made where it is asked for.
func (d *bench) plan() {
	d.t.Helper()
	task := d.keeper.Ask(d.state(), d.clock.now, d.inHand)
	if task == nil {
		return
	}
	d.found++
	found := task.Plan()
	if found.Err != nil {
		d.t.Fatal(found.Err)
	}
	if !task.Stands(d.state()) {
		d.t.Fatal("nothing happened, and the task is out of date")
	}
	if found.News {
		if err := d.engine.KeepTimetable(found.Planned); err != nil {
			d.t.Fatal(err)
		}
		d.keeper.Kept(d.state())
	}
}

// live goes through the day: the hands do what the queue has first, each piece of work as long as takes says, and wait
// where nothing is due.
func (d *bench) live(takes func(planned time.Duration) time.Duration) {
	d.t.Helper()
	for d.state().Ended == nil {
		d.plan()
		d.next(takes)
	}
}

// next is what the hands do next, or the time until something is due.
func (d *bench) next(takes func(time.Duration) time.Duration) {
	d.t.Helper()
	head := d.state().Queue(d.clock.now)[0]
	if !head.Due() {
		d.clock.now += head.In
		return
	}
	d.act(head.Vessel, takes)
}

// act ends the wait of a vessel or begins it, and does at once what that leads to.
func (d *bench) act(vessel string, takes func(time.Duration) time.Duration) {
	d.t.Helper()
	d.inHand = vessel
	v := d.state().Vessel(vessel)
	if st := d.state().Look(vessel, d.clock.now).Stage; st != nil && st.Attended && v.Phase == protocol.WaitPhase {
		d.clock.now = max(d.clock.now, v.Since+st.Clock.Planned()+v.Extended) // the hands stay with it
	}
	if v.Stage < 0 || v.Phase != protocol.HandsPhase {
		d.do(vessel, run.Forward{})
	}
	if v.Through == nil && v.Phase == protocol.HandsPhase {
		d.work(takes(d.state().Protocol.Stages[v.Stage].Hands.Aim))
		d.do(vessel, run.Forward{})
	}
}

// work lets the time of a piece of work go by, with a look at the timetable every quarter of a minute where the test wants
// them.
func (d *bench) work(long time.Duration) {
	until := d.clock.now + long
	for d.looks && d.clock.now+15*time.Second < until {
		d.clock.now += 15 * time.Second
		d.plan()
	}
	d.clock.now = until
}

func exactly(planned time.Duration) time.Duration { return planned }

// TestByTheTimetable keeps to the timetable to the second: the day is as long as the shortest there is, and no window is
// missed.
func TestByTheTimetable(t *testing.T) {
	tests := []struct {
		vessels        int
		makespan, over float64 // minutes, by exhaustive search and an integer program
	}{{2, 52, 0}, {3, 55, 3}, {4, 59, 5}}
	for _, test := range tests {
		d := newBench(t, batch, test.vessels, &run.Bench{})
		d.looks = true
		d.plan()
		first := d.state().Timetable()
		if got := time.Duration(first.End).Minutes(); got != test.makespan {
			t.Errorf("%d vessels: the first timetable ends at %v min, want %v", test.vessels, got, test.makespan)
		}
		if got := time.Duration(first.OverWait).Minutes(); got != test.over {
			t.Errorf("%d vessels: over-wait %v min, want %v", test.vessels, got, test.over)
		}
		d.live(exactly)
		if got := d.clock.now.Minutes(); got != test.makespan {
			t.Errorf("%d vessels: the day took %v min, want %v", test.vessels, got, test.makespan)
		}
		if n := len(d.state().Deviations); n > 0 {
			t.Errorf("%d vessels: %d deviations: %+v", test.vessels, n, d.state().Deviations)
		}
		if n := len(d.state().Timetables); n != 1 {
			t.Errorf("%d vessels: everything went by the timetable, and it was made anew: %+v", test.vessels, d.state().Timetables[1:])
		}
	}
}

// late takes up to twice as long one time in four, and up to three minutes more one time in ten.
func late(seed uint64) func(time.Duration) time.Duration {
	chance := rand.New(rand.NewPCG(seed, 7))
	return func(planned time.Duration) time.Duration {
		took := planned
		if chance.IntN(4) == 0 {
			took += time.Duration(chance.IntN(int(planned/time.Second)+1)) * time.Second
		}
		if chance.IntN(10) == 0 {
			took += time.Duration(chance.IntN(180)) * time.Second
		}
		return took
	}
}

// TestLateHands lives through days with late hands, with a timetable and without. With it fewer windows are missed; what
// it says is always to come, and never turns round what is due within two minutes.
func TestLateHands(t *testing.T) {
	missed := map[bool]int{}
	for seed := range uint64(200) {
		for _, planned := range []bool{false, true} {
			var with *run.Bench
			if planned {
				with = &run.Bench{}
			}
			d := newBench(t, batch, 4, with)
			d.looks = planned && seed%4 == 0
			d.live(late(seed))
			for _, x := range d.state().Deviations {
				if x.Kind == "late" && strings.HasSuffix(x.What, ", wait") {
					missed[planned]++
				}
			}
			if !planned && (d.found > 0 || d.state().Timetable() != nil) {
				t.Fatal("a run without a bench has a timetable")
			}
			if planned {
				checkFrozen(t, seed, d.state().Timetables)
			}
		}
	}
	t.Logf("windows missed: %d without a timetable, %d with one", missed[false], missed[true])
	if missed[true] > missed[false] {
		t.Errorf("%d windows are missed with a timetable, %d without", missed[true], missed[false])
	}
}

// checkFrozen holds each timetable against the one before: what was due within two minutes keeps its order.
func checkFrozen(t *testing.T, seed uint64, tables []run.Timetable) {
	t.Helper()
	for k := 1; k < len(tables); k++ {
		now := tables[k].At.Elapsed
		starts := map[string]run.Span{}
		for _, x := range tables[k].Turns {
			if time.Duration(x.Start) < now.Truncate(time.Second) {
				t.Errorf("day %d at %v: a turn of %s is planned for %v, which is over", seed, now, x.Vessel, time.Duration(x.Start))
			}
			starts[name(x)] = x.Start
		}
		var soon []run.PlannedTurn
		for _, x := range tables[k-1].Turns {
			if _, open := starts[name(x)]; open && time.Duration(x.Start) >= now-30*time.Second && time.Duration(x.Start) < now+2*time.Minute {
				soon = append(soon, x)
			}
		}
		for _, a := range soon {
			for _, b := range soon {
				if a.Start < b.Start && starts[name(a)] > starts[name(b)] {
					t.Errorf("day %d at %v: %s and %s change their order", seed, now, name(a), name(b))
				}
			}
		}
	}
}

func name(t run.PlannedTurn) string { return t.Vessel + " " + t.Stage + string(rune('0'+t.Portion)) }
