package run

import (
	"strings"
	"testing"
	"time"
)

// benchText is a procedure of bare times: work that may rest, a wait, a reading at its end, and work that is attended.
const benchText = `
format = 1
[protocol]
id = "bench"
title = "Bench"
version = "1"
purpose = "Times alone."
[[stage]]
id = "weigh"
title = "Weigh"
steps = ["Tare", "Weigh"]
hands = "2 min"
[[stage]]
id = "mix"
title = "Mix"
portions = 2
steps = ["Pour together", "Mix"]
hands = "8 min"
  [[stage.reading]]
  id = "colour"
  title = "Colour"
  kind = "text"
  when = "end"
[[stage]]
id = "cool"
title = "Cool"
say = "Leave it."
clock = { at_least = "5 min", aim = "6 min", at_most = "20 min" }
  [[stage.reading]]
  id = "sheen"
  title = "Sheen"
  kind = "text"
  when = "wait"
  [[stage.reading]]
  id = "haze"
  title = "Haze"
  kind = "text"
  when = "end"
[[stage]]
id = "pour"
title = "Pour"
steps = ["Wipe", "Pour"]
hands = "3 min"
[[stage]]
id = "dry"
title = "Dry"
attended = true
steps = ["Light it"]
hands = "4 min"
clock = { at_least = "5 min", aim = "6 min", at_most = "9 min" }
  [[stage.reading]]
  id = "lighting"
  title = "Lighting"
  kind = "stopwatch"
  step = 1
[[stage]]
id = "cover"
title = "Cover"
attended = true
steps = ["Lid on"]
hands = "1 min"
clock = { at_least = "1 min", aim = "1 min", at_most = "3 min" }
[[stage]]
id = "wipe"
title = "Wipe"
steps = ["Wipe"]
hands = "1 min"
clock = { at_least = "2 min", aim = "2 min", at_most = "4 min" }
pause = "It may stand."
[[stage]]
id = "file"
title = "File"
steps = ["File"]
hands = "1 min"
`

// beginBench begins with vessels A, B and C, and a timetable asked for.
func beginBench(t *testing.T) *hand {
	t.Helper()
	h := beginOf(t, benchText, &Bench{}, "A", "B", "C")
	h.do("0:00", "", Acknowledge{})
	return h
}

// goes presses Enter at each of the times.
func (h *hand) goes(vessel string, at ...string) {
	h.t.Helper()
	for _, x := range at {
		h.do(x, vessel, Forward{})
	}
}

// after is a time since the begin, in minutes.
func after(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }

func turnOf(vessel, stage string, portion int, from, to float64) PlannedTurn {
	return PlannedTurn{Vessel: vessel, Stage: stage, Portion: portion, Start: Span(after(from)), End: Span(after(to))}
}

// TestTimetableRefused: a timetable that the run has no room for is no event of it.
func TestTimetableRefused(t *testing.T) {
	many := make([]PlannedTurn, maxTurns+1)
	for i := range many {
		many[i] = turnOf("A", "weigh", 1, 1, 3)
	}
	for name, test := range map[string]struct {
		turns []PlannedTurn
		part  string // of what is said; "": it is taken
	}{
		"as many as there may be": {many[:maxTurns], ""},
		"one more":                {many, "more than 4000 turns"},
		"no such vessel":          {[]PlannedTurn{turnOf("D", "weigh", 1, 1, 3)}, `vessel "D"`},
		"no such stage":           {[]PlannedTurn{turnOf("A", "bake", 1, 1, 3)}, `stage "bake"`},
		"portion nought":          {[]PlannedTurn{turnOf("A", "mix", 0, 1, 3)}, "portion 0"},
		"a portion too many":      {[]PlannedTurn{turnOf("A", "mix", 3, 1, 3)}, "portion 3"},
		"the last portion":        {[]PlannedTurn{turnOf("A", "mix", 2, 1, 3)}, ""},
		"before the begin":        {[]PlannedTurn{turnOf("A", "weigh", 1, -1, 3)}, "before it begins"},
		"backwards":               {[]PlannedTurn{turnOf("A", "weigh", 1, 3, 1)}, "before it begins"},
	} {
		s := beginBench(t).engine.State
		err := s.Apply(Event{N: s.Last.N + 1, Moment: s.Last.Moment, What: Planned{Turns: test.turns}})
		switch {
		case test.part == "" && err != nil:
			t.Errorf("%s: %v", name, err)
		case test.part != "" && (err == nil || !strings.Contains(err.Error(), test.part)):
			t.Errorf("%s: %v, want %q in it", name, err, test.part)
		case test.part != "" && s.Timetable() != nil:
			t.Errorf("%s: it is refused, and holds", name)
		}
	}
}

// TestTimetableCompared: of the first timetable nothing is moved; of a later one each vessel's next turn is, if it begins at
// another time, and a vessel that is new has joined.
func TestTimetableCompared(t *testing.T) {
	h := beginBench(t)
	keep := func(end, over float64, turns ...PlannedTurn) *Timetable {
		if err := h.engine.KeepTimetable(Planned{Turns: turns, End: Span(after(end)), OverWait: Span(after(over))}); err != nil {
			t.Fatal(err)
		}
		return h.engine.State.Timetable()
	}
	first := keep(60, 1, turnOf("A", "weigh", 1, 1, 3), turnOf("A", "mix", 1, 5, 13), turnOf("B", "weigh", 1, 3, 5), turnOf("B", "mix", 1, 14, 22))
	if !first.First || len(first.Moved)+len(first.Joined) > 0 || first.Later != 0 || first.More != 0 {
		t.Errorf("the first timetable moves something: %+v", first)
	}
	next := keep(58, 4, turnOf("A", "weigh", 1, 1, 3), turnOf("A", "mix", 1, 6, 14), turnOf("B", "weigh", 1, 4, 6), turnOf("B", "mix", 1, 15, 23),
		turnOf("C", "weigh", 1, 8, 10), turnOf("C", "mix", 1, 24, 32))
	if next.First || next.Later != Span(after(-2)) || next.More != Span(after(3)) {
		t.Errorf("first %v, later by %v, waits longer by %v; want a later one, two minutes sooner, three minutes longer", next.First,
			time.Duration(next.Later), time.Duration(next.More))
	}
	if m := next.Moved; len(m) != 1 || m[0].PlannedTurn != turnOf("B", "weigh", 1, 4, 6) || m[0].From != Span(after(3)) {
		t.Errorf("moved is %+v, want B's begin alone, from minute 3", m)
	}
	if j := next.Joined; len(j) != 1 || j[0] != turnOf("C", "weigh", 1, 8, 10) {
		t.Errorf("joined is %+v, want C's begin alone", j)
	}
	if again := keep(58, 4, turnOf("A", "cool", 1, 20, 20), turnOf("B", "weigh", 1, 4, 6)); len(again.Moved)+len(again.Joined) > 0 {
		t.Errorf("a turn that was not planned before has moved or joined: %+v", again)
	}
}

// TestClosing: how long before its window closes the wait of A calls, by what the hands are at in B.
func TestClosing(t *testing.T) {
	for name, test := range map[string]struct {
		of   string
		done func(h *hand)
		want time.Duration
	}{
		"nothing":             {"A", func(*hand) {}, time.Minute},
		"two minutes of work": {"A", func(h *hand) { h.goes("B", "1:00") }, 2 * time.Minute},
		"eight minutes":       {"A", func(h *hand) { h.goes("B", "1:00", "2:00", "3:00") }, 5 * time.Minute},
		"a wait":              {"A", func(h *hand) { h.goes("B", "1:00", "2:00", "3:00", "4:00", "5:00", "5:10", "6:00", "7:00", "7:10") }, time.Minute},
		"its own work":        {"B", func(h *hand) { h.goes("B", "1:00") }, time.Minute},
		"what was given up":   {"A", func(h *hand) { h.goes("B", "1:00"); h.confirmed("2:00", "B", EndVessel{Why: "it broke"}) }, time.Minute},
	} {
		h := beginBench(t)
		test.done(h)
		s := h.engine.State
		if got := s.closing(s.Vessel(test.of)); got != test.want {
			t.Errorf("%s: %v, want %v", name, got, test.want)
		}
	}
}

func (h *hand) confirmed(at, vessel string, act Act) {
	h.t.Helper()
	if _, err := h.try(at, vessel, act, true); err != nil {
		h.t.Fatalf("%s %T: %v", at, act, err)
	}
}

// TestPlannedNext: while a wait runs, its next turn is that of the stage behind it, though a reading comes between.
func TestPlannedNext(t *testing.T) {
	h := beginBench(t)
	h.goes("A", "1:00", "2:00", "3:00", "4:00", "5:00", "5:10", "6:00", "7:00", "7:10") // it cools
	if err := h.engine.KeepTimetable(Planned{Turns: []PlannedTurn{turnOf("A", "pour", 1, 15, 18)}}); err != nil {
		t.Fatal(err)
	}
	s := h.engine.State
	if at, ok := s.plannedNext(s.Vessel("A")); !ok || at != after(15) {
		t.Errorf("A cools, and its next turn is at %v, %v; want minute 15", at, ok)
	}
}

// TestWall: a time of another day is told with the day.
func TestWall(t *testing.T) {
	s := beginBench(t).engine.State
	s.Here, s.Zone = "UTC", "UTC"
	for at, want := range map[time.Duration]string{after(30): "12:30", 12 * time.Hour: "Tue 00:00", -13 * time.Hour: "Sun 23:00"} {
		if got := s.Wall(at); got != want {
			t.Errorf("%v after noon of a Monday is %q, want %q", at, got, want)
		}
	}
}

// TestPlacesOfTheBench: the places that were said at the begin count, not the file's two.
func TestPlacesOfTheBench(t *testing.T) {
	for places, want := range map[int]string{0: "", 1: "Bath: with A", 2: "", 3: ""} {
		h := begin(t, "A", "B", "C")
		h.upTo("A", "warm")
		h.goes("A", "2:00")
		h.goes("B", "2:10")
		s := h.engine.State
		if places > 0 {
			s.Bench = &Bench{Places: map[string]int{"bath": places}}
		}
		if got := strings.Join(s.Look("B", h.now).Busy, "; "); got != want {
			t.Errorf("%d places: B is told %q, want %q", places, got, want)
		}
	}
}
