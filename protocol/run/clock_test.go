package run

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"
)

// driven is a machine whose clocks the test drives.
type driven struct {
	d     Dials
	plain bool // it cannot tell how long it is up
}

func newDriven() *driven {
	return &driven{d: Dials{Wall: noon, Zone: "+01:00", Up: 3 * time.Hour, Boot: "first"}}
}

func (m *driven) Read() Dials {
	d := m.d
	if m.plain {
		d.Up, d.Boot = -1, ""
	}
	return d
}

// wake, sleep, set, zone and reboot are what can happen to a machine.
func (m *driven) wake(by time.Duration) {
	m.d.Wall, m.d.Awake, m.d.Up = m.d.Wall.Add(by), m.d.Awake+by, m.d.Up+by
}
func (m *driven) sleep(by time.Duration) { m.d.Wall, m.d.Up = m.d.Wall.Add(by), m.d.Up+by }
func (m *driven) set(by time.Duration)   { m.d.Wall = m.d.Wall.Add(by) }
func (m *driven) zone(z string)          { m.d.Zone = z }
func (m *driven) reboot(after time.Duration) {
	m.d.Wall, m.d.Awake, m.d.Up, m.d.Boot = m.d.Wall.Add(after), 0, 20*time.Second, m.d.Boot+"'"
}

// awake lets time go by as a face does, with a look at the clocks every second.
func (m *driven) awake(h *hand, by time.Duration) {
	for ; by > 0; by -= time.Second {
		m.wake(min(by, time.Second))
		h.watch()
	}
}

func (h *hand) watch() []Event {
	h.t.Helper()
	events, err := h.engine.Watch()
	if err != nil {
		h.t.Fatal(err)
	}
	return events
}

// running returns a run on the machine: warm waits since one minute, with a reminder every 2 min; or the vessel stands
// at its hands.
func running(t *testing.T, m *driven, waiting bool) *hand {
	h := begin(t, "A")
	clock := Start(m)
	b := h.events[0].What.(Begun)
	b.Anchor, b.Zone = clock.Anchor(), "+01:00"
	s, first, err := Begin(b, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	h.events, h.engine = []Event{first}, NewEngine(s, h, clock)
	acts := []Act{Acknowledge{}, Forward{}}
	if waiting {
		acts = append(acts, Take{Typed: "112.36"}, Take{Typed: "142.36"}, Forward{}, Forward{})
	}
	for _, a := range acts {
		if _, err := h.engine.Do(Command{Vessel: "A", Do: a}); err != nil {
			t.Fatal(err)
		}
	}
	m.awake(h, time.Minute)
	if _, err := h.engine.Do(Command{Do: Note{Text: "one minute"}}); err != nil {
		t.Fatal(err)
	}
	return h
}

// again starts the program once more on what was recorded.
func (h *hand) again(m *driven) {
	h.t.Helper()
	s, err := Fold(h.events)
	if err != nil {
		h.t.Fatal(err)
	}
	clock, fact := GoOn(m, s)
	e := Event{N: s.Last.N + 1, Moment: clock.Now(), What: fact}
	h.events = append(h.events, e)
	if err := s.Apply(e); err != nil {
		h.t.Fatal(err)
	}
	h.engine = NewEngine(s, h, clock)
}

// TestClockTable: what happens to the machine's clocks, what is recorded of it, and what the run's clock shows: the time
// that really passed. Each with a wait that runs, hands that are at work, and hands that were called away.
func TestClockTable(t *testing.T) {
	tests := []struct {
		name    string
		plain   bool // a machine that cannot tell how long it is up
		happens func(m *driven, h *hand)
		passed  time.Duration // really, until the end
		facts   string
	}{
		{"awake", false, func(m *driven, h *hand) { m.awake(h, 10*time.Minute) }, 10 * time.Minute, ""},
		{"suspend 10 min", false, func(m *driven, h *hand) { m.sleep(10 * time.Minute) }, 10 * time.Minute, "slept 10:00"},
		{"step +1 h", false, func(m *driven, h *hand) { m.wake(time.Second); m.set(time.Hour) }, time.Second, "clock set 1:00:00"},
		{"step -1 h", false, func(m *driven, h *hand) { m.wake(time.Second); m.set(-time.Hour) }, time.Second, "clock set -1:00:00"},
		{"daylight saving", false, func(m *driven, h *hand) { m.wake(time.Second); m.zone("+02:00") }, time.Second, "zone changed +02:00"},
		{"suspend 10 min, set +1 h meanwhile", false, func(m *driven, h *hand) { m.sleep(10 * time.Minute); m.set(time.Hour) }, 10 * time.Minute,
			"slept 10:00, clock set 1:00:00"},
		{"stopped 5 min", false, func(m *driven, h *hand) { m.wake(5 * time.Minute) }, 5 * time.Minute, "stopped 5:00"},
		{"stopped and slept", false, func(m *driven, h *hand) { m.wake(time.Minute); m.sleep(4 * time.Minute) }, 5 * time.Minute, "slept 4:00, stopped 1:00"},
		{"drift of a second is none", false, func(m *driven, h *hand) { m.wake(2 * time.Second); m.set(time.Second) }, 2 * time.Second, ""},
		{"restart after 20 min", false, func(m *driven, h *hand) { m.wake(20 * time.Minute); h.again(m) }, 20 * time.Minute, "resumed 20:00"},
		{"restart, slept meanwhile", false, func(m *driven, h *hand) { m.sleep(20 * time.Minute); h.again(m) }, 20 * time.Minute, "resumed 20:00"},
		{"restart, set -1 h meanwhile", false, func(m *driven, h *hand) { m.wake(20 * time.Minute); m.set(-time.Hour); h.again(m) }, 20 * time.Minute,
			"resumed 20:00 set -1:00:00"},
		{"restart in another zone", false, func(m *driven, h *hand) { m.wake(20 * time.Minute); m.zone("+02:00"); h.again(m) }, 20 * time.Minute,
			"resumed 20:00 zone +02:00"},
		{"reboot", false, func(m *driven, h *hand) { m.reboot(20 * time.Minute); h.again(m) }, 20 * time.Minute, "resumed 20:00 rebooted"},
		{"reboot with the wall clock back: nobody knows", false, func(m *driven, h *hand) { m.reboot(-time.Hour); h.again(m) }, 0,
			"resumed 0:00 rebooted back 1:00:00"},
		{"restart twice", false, func(m *driven, h *hand) { m.wake(time.Minute); h.again(m); m.sleep(time.Minute); h.again(m) }, 2 * time.Minute,
			"resumed 1:00, resumed 1:00"},
		{"no boot clock: asleep or set", true, func(m *driven, h *hand) { m.sleep(10 * time.Minute) }, 10 * time.Minute, "slept 10:00 or set"},
		{"no boot clock: set back", true, func(m *driven, h *hand) { m.wake(time.Second); m.set(-time.Hour) }, time.Second, "clock set -1:00:00"},
		{"no boot clock: restart", true, func(m *driven, h *hand) { m.wake(20 * time.Minute); h.again(m) }, 20 * time.Minute, "resumed 20:00"},
	}
	for _, tt := range tests {
		for _, state := range []string{"wait runs", "hands work", "called away"} {
			t.Run(tt.name+"/"+state, func(t *testing.T) {
				m := newDriven()
				m.plain = tt.plain
				h := running(t, m, state == "wait runs")
				if state == "called away" {
					if _, err := h.engine.Do(Command{Do: GoAway{}}); err != nil {
						t.Fatal(err)
					}
				}
				before := len(h.events)
				tt.happens(m, h)
				h.watch()
				if again := h.watch(); len(again) > 0 {
					t.Errorf("told twice: %v", again)
				}
				if got := noticed(h.events[before:]); got != tt.facts {
					t.Errorf("recorded %q, want %q", got, tt.facts)
				}
				now, want := h.engine.Now().Elapsed, time.Minute+tt.passed
				if now != want {
					t.Errorf("the run's clock shows %v, want %v", now, want)
				}
				if state == "wait runs" {
					if c := h.engine.State.Look("A", now).Clock; c == nil || c.Elapsed != want {
						t.Errorf("the wait's clock shows %+v, want %v", c, want)
					}
				}
				if away := h.engine.State.Away != nil; away != (state == "called away") {
					t.Error("the clocks say who is at the bench")
				}
				s, err := Fold(h.events)
				if err != nil || !reflect.DeepEqual(outline(s), outline(h.engine.State)) {
					t.Errorf("the record replays as another run: %v", err)
				}
			})
		}
	}
}

// noticed tells facts of time in a few words.
func noticed(events []Event) string {
	var out []string
	for _, e := range events {
		text := e.What.Kind() + " "
		switch f := e.What.(type) {
		case Slept:
			text += Hms(time.Duration(f.For))
			if f.Unsure {
				text += " or set"
			}
		case Stopped:
			text += Hms(time.Duration(f.For))
		case ClockSet:
			text += Hms(time.Duration(f.By))
		case ZoneChanged:
			text += f.Zone
		case Resumed:
			text += Hms(time.Duration(f.Gap))
			for _, x := range []struct {
				said bool
				text string
			}{{f.Rebooted, " rebooted"}, {f.Back != 0, " back " + Hms(time.Duration(f.Back))},
				{f.ClockSet != 0, " set " + Hms(time.Duration(f.ClockSet))}, {f.Zone != "", " zone " + f.Zone}} {
				if x.said {
					text += x.text
				}
			}
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}

// TestFellDue: after ten minutes of sleep in a wait of 12, with a reminder every 2, what fell due is told.
func TestFellDue(t *testing.T) {
	m := newDriven()
	h := running(t, m, true)
	from := h.engine.Now().Elapsed
	m.sleep(13 * time.Minute)
	h.watch()
	got := h.engine.State.FellDue(from, h.engine.Now().Elapsed)
	want := []string{"A: Swirl, due 7 times", "A: the least time of Warm passed 6:00 ago", "A: the aim of Warm passed 2:00 ago"}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("fell due: %q, want %q", got, want)
	}
	if again := h.engine.State.FellDue(h.engine.Now().Elapsed, h.engine.Now().Elapsed); again != nil {
		t.Errorf("fell due twice: %q", again)
	}
}

// TestWatchIsNotLost: what could not be recorded is recorded with the next call.
func TestWatchIsNotLost(t *testing.T) {
	m := newDriven()
	h := running(t, m, true)
	h.engine.rec = refusing{}
	m.sleep(time.Minute)
	if _, err := h.engine.Watch(); err == nil {
		t.Fatal("the recorder's error is not told")
	}
	h.engine.rec = h
	if got := noticed(h.watch()); got != "slept 1:00" {
		t.Errorf("recorded %q", got)
	}
}

type refusing struct{}

func (refusing) Append(...Event) error { return fmt.Errorf("disk full") }
