package tui_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
)

// A sitting is a run whose machine and memory the test holds.
type sitting struct {
	t      *testing.T
	dials  run.Dials
	events []run.Event
	fails  error
	o      *tui.Operator
}

func (s *sitting) Read() run.Dials { return s.dials }

func (s *sitting) Append(events ...run.Event) error {
	if s.fails == nil {
		s.events = append(s.events, events...)
	}
	return s.fails
}

func (s *sitting) wake(by time.Duration) {
	s.dials.Wall, s.dials.Awake, s.dials.Up = s.dials.Wall.Add(by), s.dials.Awake+by, s.dials.Up+by
}

// begin starts the burn test on 2 March at 9:30 in a place an hour east of Greenwich, and goes to its first reading.
func beginSitting(t *testing.T) *sitting {
	t.Helper()
	s := &sitting{t: t, dials: run.Dials{Wall: time.Date(2026, 3, 2, 8, 30, 0, 0, time.UTC), Zone: "+01:00", Up: time.Hour, Boot: "b"}}
	text, _ := protocols.Text("burn-test")
	clock := run.Start(s)
	state, first, err := run.Begin(run.Begun{Run: "r", File: "burn-test.toml", Protocol: string(text), Zone: "+01:00",
		Anchor: clock.Anchor(), Vessels: []run.VesselBegun{{Label: "A"}, {Label: "B"}}}, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	s.events = []run.Event{first}
	s.o = tui.NewOperator(run.NewEngine(state, s, clock))
	for range 20 {
		if v := s.o.View(); v.Asked != nil && v.Asked.Unit == "g" {
			return s
		}
		s.wake(time.Second)
		s.o.Watch()
		s.o.Enter("", 0)
	}
	t.Fatalf("no weighing is asked for: %+v", s.o.View())
	return nil
}

// resume starts the program again on what was recorded.
func (s *sitting) resume() {
	s.t.Helper()
	state, err := run.Fold(s.events)
	if err != nil {
		s.t.Fatal(err)
	}
	clock, fact := run.GoOn(s, state)
	e := run.Event{N: state.Last.N + 1, Moment: clock.Now(), What: fact}
	if err := errors.Join(state.Apply(e), s.Append(e)); err != nil {
		s.t.Fatal(err)
	}
	s.o = tui.NewOperator(run.NewEngine(state, s, clock))
}

func TestInterruptionsAreToldOnce(t *testing.T) {
	s := beginSitting(t)
	s.dials.Wall, s.dials.Up = s.dials.Wall.Add(10*time.Minute), s.dials.Up+10*time.Minute
	said := strings.Join(s.o.Watch(), " ")
	if !strings.Contains(said, "The machine slept for 10:00") {
		t.Errorf("after a sleep: %q", said)
	}
	if said := s.o.Watch(); said != nil {
		t.Errorf("told twice: %q", said)
	}
	s.dials.Wall = s.dials.Wall.Add(-time.Hour)
	if said := strings.Join(s.o.Watch(), " "); !strings.Contains(said, "The wall clock was set back by 1:00:00") {
		t.Errorf("after a step: %q", said)
	}
	s.wake(20 * time.Minute)
	s.dials.Boot, s.dials.Up = "c", time.Minute
	s.resume()
	if said := strings.Join(s.o.Resumed(), " "); !strings.Contains(said, "Taken up again after a restart of the machine, or on another one, 20:00 after the last entry;") {
		t.Errorf("after a restart of the machine: %q", said)
	}
}

// TestTakenUpAgainCountsFromTheLastEntry: the program may have run on for long after it, and nothing tells when it ended.
func TestTakenUpAgainCountsFromTheLastEntry(t *testing.T) {
	s := beginSitting(t)
	for range 600 { // nothing is entered for ten minutes, and then the program is gone for five
		s.wake(time.Second)
		s.o.Watch()
	}
	s.wake(5 * time.Minute)
	s.resume()
	if said := strings.Join(s.o.Resumed(), " "); !strings.HasPrefix(said, "Taken up again, 15:00 after the last entry; the clocks went on.") {
		t.Errorf("told: %q", said)
	}
}

func TestATornEntryIsTold(t *testing.T) {
	s := beginSitting(t)
	e := run.Event{N: s.o.Engine.State.Last.N + 1, Moment: s.o.Engine.Now(), What: run.Resumed{Torn: `{"n":7,"fact":"read`}}
	if err := s.o.Engine.State.Apply(e); err != nil {
		t.Fatal(err)
	}
	if said := strings.Join(s.o.Resumed(), " "); !strings.Contains(said, `never finished and is set aside: {"n":7,"fact":"read`) {
		t.Errorf("after a torn entry: %q", said)
	}
}

// What fell due is told to hands that are there: not to those that are called away while the machine sleeps.
func TestASleepWhileAway(t *testing.T) {
	for _, away := range []bool{false, true} {
		s := beginSitting(t)
		if away {
			s.o.Enter("a", 0)
		}
		s.dials.Wall, s.dials.Up = s.dials.Wall.Add(time.Hour), s.dials.Up+time.Hour
		woken, back := strings.Join(s.o.Watch(), " "), heard(s.o.Enter("a", 0))
		if told := strings.Contains(woken, "Meanwhile fell due: A: "); told == away {
			t.Errorf("away %t: waking tells %q", away, woken)
		}
		if told := strings.Contains(back, "Meanwhile fell due: A: "); told != away {
			t.Errorf("away %t: coming back tells %q", away, back)
		}
	}
}

func TestADraftIsOfferedAgain(t *testing.T) {
	s := beginSitting(t)
	typedAt := s.o.Engine.Now().Elapsed
	if err := s.o.Engine.KeepDraft("B", "200.5", typedAt); err != nil {
		t.Fatal(err)
	}
	s.wake(10 * time.Minute)
	s.resume()
	ask := s.o.Open()
	if ask == nil || !strings.Contains(ask.Say, "“200.5”") || s.o.Vessel != "B" {
		t.Fatalf("the draft is not offered: %+v, vessel %s", ask, s.o.Vessel)
	}
	s.wake(2 * time.Minute)
	if a := s.o.Enter("", 0); a.Ask == nil || len(a.Events) > 0 {
		t.Fatalf("a stale answer is taken: %+v", a)
	}
	s.o.Enter("-", 0)
	s.resume()
	if s.o.Open() != nil {
		t.Error("what was set aside is offered again")
	}
	s.o.Vessel = "A"
	if err := s.o.Engine.KeepDraft("A", "n half a sent", 0); err != nil {
		t.Fatal(err)
	}
	s.resume()
	s.fails = errors.New("disk full")
	if a := s.o.Enter("", 0); a.NotSaved == nil || s.o.Open() == nil {
		t.Errorf("not saved, the draft is gone: %+v", a)
	}
	s.fails = nil
	s.o.Enter("", 0)
	if notes := s.o.Engine.State.Notes; len(notes) != 1 || notes[0].Text != "half a sent" {
		t.Errorf("notes: %+v", notes)
	}
	if s.resume(); s.o.Open() != nil {
		t.Error("an entered draft is offered again")
	}
}

// TestWhenItWasRead: the clock of the place, minutes ago, and what is no time.
func TestWhenItWasRead(t *testing.T) {
	s := beginSitting(t)
	s.wake(10*time.Minute - s.o.Engine.Now().Elapsed) // 9:40 at the place
	for _, tt := range []struct {
		line string
		want string // part of what is said or refused
	}{
		{"@9:61 200", "Say when"},
		{"@ 200", "Say when"},
		{"@-x 200", "Say when"},
		{"@-9999 200", "Say when"},
		{"@9:41 200", "not at 09:41:00"},
		{"@9:20 200", "not at 09:20:00"},
		{"@9:39 nothing 200", "nothing"},
		{"@9:39 200.00", "read at 09:39, entered later"},
		{"u wrong burner", "is taken back"},
		{"@-2,5 200.00", "read at 09:37, entered later"},
	} {
		a := s.o.Enter(tt.line, 0)
		if a.Ask != nil {
			a = s.o.Enter("", 0)
		}
		if got := strings.Join(a.Said, " ") + a.Refused; !strings.Contains(got, tt.want) {
			t.Errorf("%q: %q, want %q", tt.line, got, tt.want)
		}
	}
}
