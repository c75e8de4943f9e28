package timetable_test

import (
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
)

// loaded is a day on which A and B were loaded from these minutes on, after which the hands were away until another minute.
func loaded(t *testing.T, vessels int, a, b, back float64) *bench {
	t.Helper()
	d := newBench(t, batch, vessels, &run.Bench{})
	d.plan()
	d.steps("", append(forward("A", a, a+2), forward("B", b, b+2)...)...)
	d.do("", run.GoAway{})
	d.clock.now = time.Duration(back * float64(time.Minute))
	d.do("", run.ComeBack{})
	return d
}

// TestMissedIsNamed: a window that cannot be kept is named once, with its vessel and what would help, if it is missed by half
// a minute or more and the work after it has not begun. A's window closes 14 min after its load, B's too.
func TestMissedIsNamed(t *testing.T) {
	for _, test := range []struct {
		vessels int
		b, back float64 // when B was loaded, and the hands came back
		missed  string  // the vessels
	}{
		{2, 3, 16.45, ""}, {3, 3, 16.45, ""}, {2, 3, 16.5, "A"}, {3, 3, 16.5, "A"},
		{3, 4.5, 16.5, "A"}, // nor is it forgotten where B could be clear of its last minute
		{2, 2, 15.5, ""},    // A and then B are taken up in their last minutes
		{2, 2, 16.5, "AB"}, {3, 2, 16.5, "AB"},
	} {
		d := loaded(t, test.vessels, 0, test.b, test.back)
		got := ""
		for _, m := range d.fresh().Missed {
			got += m.Vessel
			if m.To != "dose.1" || m.Remedy == "" {
				t.Errorf("%+v: missed is %+v, want the first dose, and what would help", test, m)
			}
		}
		if got != test.missed {
			t.Errorf("%+v: missed are the windows of %q", test, got)
		}
	}
	d := loaded(t, 2, 0, 3, 17)
	d.act("A", exactly)
	if missed := d.fresh().Missed; len(missed) > 0 {
		t.Errorf("A's dose is done, and %+v are missed", missed)
	}
}

// TestTakenUpInItsLastMinute: that A was taken up in its last minute is no reason to let B come to that for C's load.
func TestTakenUpInItsLastMinute(t *testing.T) {
	d := loaded(t, 3, 0, 4, 15.5)
	d.plan()
	d.act("A", exactly) // until 17:30; B's window closes at 20:00
	made := d.fresh()
	if b, c := begins(made, "B"), begins(made, "C"); b != d.clock.now || c < b {
		t.Errorf("at %v B is planned for %v and C for %v, want B first", d.clock.now, b, c)
	}
	if made.Proven {
		t.Error("the day is longer than it need be, and is said to be as short as can be")
	}
}
