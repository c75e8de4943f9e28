package run

import (
	"strings"
	"testing"
	"time"

	"example.org/meniscus/calc/quantity"
)

// TestTally: what was given in each portion adds up; a sum is not held back by a portion that is still to come, tells what
// is too much, and stays when a portion is taken back.
func TestTally(t *testing.T) {
	h := heated(t)
	tally := func(want string) {
		t.Helper()
		got := ""
		for _, f := range h.engine.State.Look("A", h.now).Live {
			got += strings.TrimSpace(f.Say + ": " + f.Value + " " + f.Over)
		}
		if got != want {
			t.Errorf("at %s: %q, want %q", Hms(h.now), got, want)
		}
	}
	h.typed("0:10", "A", "126.41")
	h.typed("0:20", "A", "226.40")
	tally("")
	h.typed("0:30", "A", "11.0")
	tally("Given: 11 of 20 mL")
	h.do("1:30", "A", Forward{})
	h.do("1:35", "A", Correct{Typed: "11.5"})
	tally("Given: 11.5 of 20 mL")
	h.confirmed("1:36", "A", Again{Typed: "4"})
	tally("Given: 15.5 of 20 mL 5.5 mL more than planned so far: was a portion given twice?")
	_, err := h.try("1:40", "A", Take{Typed: "9.6"}, false)
	asked(t, "the second portion", err, "Poured: 9.6 mL makes 25.1 mL for A, and 20 mL was to be given: it may be that a portion was given twice, or to the wrong vessel. Keep it?")
	h.confirmed("1:45", "A", TakeBack{Why: "it went into B"})
	tally("Given: 0 of 20 mL")
}

// TestTwiceAsMuch: a portion that is just twice what is expected may have been given twice.
func TestTwiceAsMuch(t *testing.T) {
	h := heatedAs(t, strings.Replace(heating, `title = "Poured"`, "title = \"Poured\"\n  expect = [\"9 mL\", \"11 mL\"]", 1))
	h.typed("0:10", "A", "126.41")
	h.typed("0:20", "A", "226.40")
	_, err := h.try("0:30", "A", Take{Typed: "20.5"}, false)
	asked(t, "twice", err, "above what is expected (9 to 11 mL). Twice what was to be given: was it given twice? Keep it?")
}

// TestOnlyWhatAddsUpIsGivenAgain: a titre has a value for each portion too, and is no second pour.
func TestOnlyWhatAddsUpIsGivenAgain(t *testing.T) {
	h := heatedAs(t, strings.Replace(heating, `live = [{ say = "Given", sum = "poured", of = "20 mL" }]`, "", 1))
	h.typed("0:10", "A", "126.41")
	h.typed("0:20", "A", "226.40")
	h.typed("0:30", "A", "11.0")
	h.refused("0:40", "A", Again{Typed: "4"}, "no portion yet")
}

// TestSharedReadingIsAskedForAgain: one that was taken back is asked for of whichever vessel stands where it is read.
func TestSharedReadingIsAskedForAgain(t *testing.T) {
	h := begin(t, "A", "B")
	h.upTo("A", "weigh")
	h.typed("1:00", "A", "112.36")
	h.typed("1:20", "A", "142.36")
	h.typed("1:30", "A", "21.8")
	h.do("1:40", "B", Forward{})
	h.typed("1:50", "B", "110.36")
	if a := h.engine.State.Look("B", h.now).Asked; a == nil || a.Reading.ID != "filled" {
		t.Fatalf("B is asked for %+v", a)
	}
	h.confirmed("2:00", "B", TakeBack{Reading: "room", Why: "by the window"})
	h.typed("2:10", "B", "140.36")
	if a := h.engine.State.Look("B", h.now).Asked; a == nil || a.Reading.ID != "room" {
		t.Errorf("B is asked for %+v, want the room again", a)
	}
	h.typed("2:20", "B", "22.4")
	for _, v := range []string{"A", "B"} {
		if got, _ := h.engine.State.Values(v).Show("room", 0); got != "22.4 °C" {
			t.Errorf("for %s the room has %s", v, got)
		}
	}
}

// TestOverfull: a place that more vessels have taken than there are says so with each of them.
func TestOverfull(t *testing.T) {
	h := begin(t, "A", "B")
	h.engine.State.Bench = &Bench{Places: map[string]int{"bath": 1}}
	h.upTo("A", "warm")
	h.do("2:00", "B", Forward{})
	h.typed("2:10", "B", "110.36")
	h.typed("2:20", "B", "140.36")
	for _, tt := range []struct{ vessel, want string }{{"A", "Bath: with B too, and it is there for 1"}, {"B", "Bath: with A too, and it is there for 1"}} {
		if got := strings.Join(h.engine.State.Look(tt.vessel, h.now).Busy, "; "); got != tt.want {
			t.Errorf("%s is told %q, want %q", tt.vessel, got, tt.want)
		}
	}
}

// TestWhatClosesComesBeforeTheTimetable: a reminder that is about to be missed, and a window for the hands that is about to
// close, come before work that may rest, whatever the timetable has first.
func TestWhatClosesComesBeforeTheTimetable(t *testing.T) {
	h := begin(t, "A", "B")
	h.engine.State.Bench = &Bench{}
	h.upTo("A", "warm") // at 1:30: swirled each 2 min
	h.do("2:00", "A", Forward{})
	h.do("2:10", "B", Forward{})
	if err := h.engine.KeepTimetable(Planned{Turns: []PlannedTurn{turnOf("B", "weigh", 1, 2, 9), turnOf("A", "dose", 1, 14, 15)}}); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct{ at, first string }{
		{"3:40", "B"}, // A's reminder fell due at 3:30 and is missed at 5:30
		{"5:05", "A"},
		{"5:35", "B"}, // it is missed, and the next one is due
	} {
		at, _ := ParseHms(tt.at)
		if got := h.engine.State.Queue(at); got[0].Vessel != tt.first {
			t.Errorf("at %s the hands are first at %s, want %s: %+v", tt.at, got[0].Vessel, tt.first, got)
		}
	}
}

// TestForecastWithinTheData: a moment is told once its expanded uncertainty is no more than the time it is ahead.
func TestForecastWithinTheData(t *testing.T) {
	q := quantity.Exact(30, minutes).With(quantity.Source{Name: "fit", Shape: quantity.Normal, DoF: quantity.Known()}, 1) // 1.96 min
	for in, want := range map[time.Duration]bool{time.Minute: false, 117 * time.Second: false, 118 * time.Second: true, time.Hour: true} {
		if got := canTell(q, in); got != want {
			t.Errorf("%v ahead, within 1.96 min: told %t, want %t", in, got, want)
		}
	}
}

// TestTallyOfPieces: a number without a unit has none in the tally.

// TestTallyOfPieces: a number of pieces has no unit behind it.
func TestTallyOfPieces(t *testing.T) {
	h := heatedAs(t, strings.NewReplacer(`"mL"`, `"1"`, `"20 mL"`, `"20"`).Replace(heating))
	h.typed("0:10", "A", "126.41")
	h.typed("0:20", "A", "226.40")
	h.typed("0:30", "A", "11")
	if live := h.engine.State.Look("A", h.now).Live; len(live) != 1 || live[0].Value != "11 of 20" {
		t.Errorf("%+v", live)
	}
}
