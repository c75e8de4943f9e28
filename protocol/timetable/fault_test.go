package timetable_test

import (
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
)

// stages makes a procedure of times alone out of its stages.
func stages(text string) string {
	head, _, _ := strings.Cut(batch, "[[stage]]")
	return head + text
}

// burn is attended throughout.
var burn = stages(`
[[stage]]
id = "set"
title = "Set"
steps = ["Set"]
hands = "2 min"
[[stage]]
id = "burn"
title = "Burn"
attended = true
say = "Stay."
clock = { at_least = "7 min", aim = "7 min", at_most = "9 min" }
[[stage]]
id = "read"
title = "Read"
steps = ["Read"]
hands = "1 min"
`)

// warm begins with a wait, which ends in hands that take longer than the window is wide.
var warm = stages(`
[[stage]]
id = "warm"
title = "Warm"
say = "Leave it."
clock = { at_least = "5 min", aim = "5 min", at_most = "6 min" }
[[stage]]
id = "work"
title = "Work"
steps = ["Work"]
hands = "8 min"
`)

// A wait whose turn the timetable has later calls all the same before its window closes, and its turn comes first.
func TestHeldWaitCalls(t *testing.T) {
	d := newBench(t, batch, 2, &run.Bench{})
	d.plan()
	d.act("A", exactly) // until minute 2; its next turn is at 10, its window closes at 16; B is never begun
	d.plan()
	for d.clock.now < 15*time.Minute+5*time.Second {
		d.pass(0.25)
		d.plan()
	}
	w := d.state().Look("A", d.clock.now)
	if w.Tone != run.Hands {
		t.Errorf("a minute before its window closes A is %v, want hands needed; its clock %+v", w.Tone, *w.Clock)
	}
	if head := d.state().Queue(d.clock.now)[0]; head.Vessel != "A" || !head.Calls {
		t.Errorf("the queue begins with %+v, want A, whose window closes", head)
	}
}

// An attended stage that gets more time keeps the hands for it, whether that reaches the vessel's own next turn or only
// one of another vessel.
func TestAttendedExtended(t *testing.T) {
	atOnce := strings.Replace(burn, "[[stage]]\nid = \"set\"\ntitle = \"Set\"\nsteps = [\"Set\"]\nhands = \"2 min\"\n", "", 1)
	tests := []struct {
		text    string
		vessels int
		by      time.Duration
		until   time.Duration // that A burns
	}{{burn, 2, 20 * time.Minute, 29 * time.Minute}, {atOnce, 3, 5 * time.Minute, 12 * time.Minute}}
	for _, test := range tests {
		d := newBench(t, test.text, test.vessels, &run.Bench{})
		d.plan()
		d.act("A", exactly) // then it burns
		d.plan()
		d.pass(1)
		d.do("A", run.Extend{By: test.by, Why: "the lid was off"})
		d.plan()
		for _, x := range d.state().Timetable().Turns {
			if time.Duration(x.Start) < test.until {
				t.Errorf("A burns until %v, and %s %s is planned for %v", test.until, x.Vessel, x.Stage, time.Duration(x.Start))
			}
		}
	}
}

// A vessel that begins with a wait is begun by the timetable too.
func TestBeginsWithAWait(t *testing.T) {
	d := newBench(t, warm, 3, &run.Bench{})
	d.plan()
	if n := len(d.state().Timetable().Missed); n > 0 {
		t.Errorf("%d windows are missed, and three vessels 8 min apart miss none", n)
	}
	d.live(exactly)
	for _, x := range d.state().Deviations {
		t.Errorf("by the timetable: %s %s, %s done in %s", x.Vessel, x.Kind, x.What, x.Done)
	}
	first := time.Duration(d.state().Timetables[0].End) // each begins when the one before it has been worked on
	if got, want := d.clock.now.Minutes(), 3*(5+8.0); got < want || got > want+1 || (first-d.clock.now).Abs() > time.Minute {
		t.Errorf("the day took %v min, want %v, and was planned to end after %v", got, want, first)
	}
}

// A note, a vessel that is given up and a stage that is skipped are no work of the hands.
func TestWhatIsNoTouch(t *testing.T) {
	d := newBench(t, burn, 2, &run.Bench{})
	d.plan()
	d.do("A", run.Forward{})
	d.pass(10)
	d.do("A", run.Note{Text: "the room is cold"})
	if x := d.state().Vessel("A").Spells[0]; x.Touched {
		t.Errorf("a note counts as work: %+v", x)
	}
	d.do("B", run.Forward{})
	d.pass(1)
	if _, err := d.engine.Do(run.Command{Vessel: "B", Do: run.EndVessel{Why: "it broke"}, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	if x := d.state().Vessel("B").Spells[0]; x.Touched || !x.Ended {
		t.Errorf("that B was given up counts as work: %+v", x)
	}
	d.do("A", run.Forward{})
	if x := d.state().Vessel("A").Spells[0]; !x.Touched {
		t.Errorf("a step that is done is no work: %+v", x)
	}
}

// Where nobody does anything for a night, a handful of timetables are made.
func TestIdleNight(t *testing.T) {
	d := newBench(t, batch, 4, &run.Bench{})
	d.plan()
	d.act("A", exactly)
	for d.clock.now < 8*time.Hour {
		d.pass(0.25)
		d.plan()
	}
	if n := len(d.state().Timetables); n > 12 {
		t.Errorf("%d timetables in a night without hands", n)
	}
}

// Hands that were away are amid nothing: what falls due next may be turned round when they are back, and A, whose window
// still can be kept, is not missed for B's begin, which was due meanwhile.
func TestBackFromAway(t *testing.T) {
	d := newBench(t, batch, 3, &run.Bench{})
	d.plan()
	d.act("A", exactly)
	d.plan()
	d.do("", run.GoAway{})
	d.pass(10.5)
	d.do("", run.ComeBack{})
	d.plan()
	for _, m := range d.state().Timetable().Missed {
		t.Errorf("back in time for A's window, and %s to %s of %s is missed by %v", m.From, m.To, m.Vessel, time.Duration(m.By))
	}
}

// A journal of somebody else may not ask for a plan around any number of breaks.
func TestBoundsOfABench(t *testing.T) {
	many := make([]run.BreakTime, 101)
	for i := range many {
		many[i] = run.BreakTime{From: run.Span(2*i) * run.Span(time.Second), To: run.Span(2*i+1) * run.Span(time.Second)}
	}
	for name, test := range map[string]struct {
		bench run.Bench
		part  string // of why it is refused; "": it is taken
	}{
		"a hundred breaks":    {run.Bench{Breaks: many[:100]}, ""},
		"one more":            {run.Bench{Breaks: many}, "101 breaks"},
		"a far break":         {run.Bench{Breaks: []run.BreakTime{{From: 0, To: run.Span(100 * 365 * 24 * time.Hour)}}}, "this month"},
		"backwards":           {run.Bench{Breaks: []run.BreakTime{{From: 2, To: 1}}}, "this month"},
		"before the begin":    {run.Bench{Breaks: []run.BreakTime{{From: -1, To: 1}}}, "this month"},
		"ninety-nine pairs":   {run.Bench{Operators: 99}, ""},
		"a hundred pairs":     {run.Bench{Operators: 100}, "100 pairs"},
		"fewer than no hands": {run.Bench{Operators: -1}, "-1 pairs"},
		"no places":           {run.Bench{Places: map[string]int{"bath": 0}}, "0 places"},
		"all places":          {run.Bench{Places: map[string]int{"bath": 1000}}, "1000 places"},
	} {
		_, _, err := run.Begin(run.Begun{Run: "r", File: "batch.toml", Protocol: batch, Vessels: []run.VesselBegun{{Label: "A"}}, Bench: &test.bench}, run.Moment{})
		if test.part == "" && err != nil || test.part != "" && (err == nil || !strings.Contains(err.Error(), test.part)) {
			t.Errorf("%s: %v, want %q", name, err, test.part)
		}
	}
}
