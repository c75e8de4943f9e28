package run

import (
	"errors"
	"os"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/calc/quantity"
)

// hand is an operator with a clock of its own, who keeps what was recorded.
type hand struct {
	t      *testing.T
	engine *Engine
	now    time.Duration
	events []Event
}

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

func (h *hand) Now() Moment { return Moment{noon.Add(h.now), h.now} }

func (h *hand) Append(events ...Event) error {
	h.events = append(h.events, events...)
	return nil
}

func begin(t *testing.T, labels ...string) *hand {
	t.Helper()
	text, err := os.ReadFile("testdata/small.toml")
	if err != nil {
		t.Fatal(err)
	}
	return beginOf(t, string(text), nil, labels...)
}

// beginOf begins a run of a protocol's text; bench is what a timetable is made for, nil for none.
func beginOf(t *testing.T, text string, bench *Bench, labels ...string) *hand {
	t.Helper()
	_, id, _ := strings.Cut(text, "\nid = \"")
	id, _, _ = strings.Cut(id, "\"")
	b := Begun{Run: "r", Program: "test", File: id + ".toml", Protocol: text, Bench: bench}
	for _, l := range labels {
		b.Vessels = append(b.Vessels, VesselBegun{Label: l})
	}
	s, first, err := Begin(b, Moment{At: noon})
	if err != nil {
		t.Fatal(err)
	}
	h := &hand{t: t, events: []Event{first}}
	h.engine = NewEngine(s, h, h)
	return h
}

// do acts at a time given as m:ss, and wants it to go through.
func (h *hand) do(at string, vessel string, act Act) []Event {
	h.t.Helper()
	events, err := h.try(at, vessel, act, false)
	if err != nil {
		h.t.Fatalf("%s %T: %v", at, act, err)
	}
	return events
}

func (h *hand) try(at, vessel string, act Act, confirmed bool) ([]Event, error) {
	h.t.Helper()
	d, ok := ParseHms(at)
	if !ok {
		h.t.Fatalf("no time: %q", at)
	}
	h.now = d
	return h.engine.Do(Command{Vessel: vessel, Do: act, Confirmed: confirmed})
}

// refused wants a refusal whose sentence holds a part.
func (h *hand) refused(at, vessel string, act Act, part string) {
	h.t.Helper()
	_, err := h.try(at, vessel, act, false)
	var r *Refusal
	if !errors.As(err, &r) || !strings.Contains(r.Say, part) {
		h.t.Errorf("%s %T: got %v, want a refusal with %q", at, act, err, part)
	}
}

// unfinished is refused where only the end of the line is missing.
func (h *hand) unfinished(at, vessel string, act Act, part string) {
	h.t.Helper()
	_, err := h.try(at, vessel, act, false)
	var u *Unfinished
	if !errors.As(err, &u) || !strings.Contains(u.Say, part) {
		h.t.Errorf("%s %T: got %v, want an unfinished line with %q", at, act, err, part)
	}
}

// asks wants a question whose sentence holds a part, then confirms it.
func (h *hand) asks(at, vessel string, act Act, part string) {
	h.t.Helper()
	before := len(h.events)
	_, err := h.try(at, vessel, act, false)
	var q *Question
	if !errors.As(err, &q) || !strings.Contains(q.Say, part) {
		h.t.Fatalf("%s %T: got %v, want a question with %q", at, act, err, part)
	}
	if len(h.events) != before {
		h.t.Errorf("%s %T: a question recorded something", at, act)
	}
	if _, err := h.try(at, vessel, act, true); err != nil {
		h.t.Fatalf("%s %T confirmed: %v", at, act, err)
	}
}

func (h *hand) typed(at, vessel, text string) { h.t.Helper(); h.do(at, vessel, Take{Typed: text}) }

// upTo brings a vessel to a stage by the shortest way.
func (h *hand) upTo(vessel, stage string) {
	h.t.Helper()
	for _, step := range []struct {
		stage string
		do    func()
	}{
		{"weigh", func() {
			h.do("0:00", "", Acknowledge{})
			h.do("0:10", vessel, Forward{})
		}},
		{"warm", func() {
			h.typed("1:00", vessel, "112.36")
			h.typed("1:20", vessel, "142.36")
			h.do("1:30", vessel, Forward{}) // the room is optional
		}},
		{"dose", func() {
			h.do("2:00", vessel, Forward{}) // into the bath
			h.typed("2:30", vessel, "30.1")
			for _, swirled := range []string{"3:30", "5:31", "7:35", "9:30", "11:59"} {
				h.do(swirled, vessel, Forward{})
			}
			h.typed("12:00", vessel, "54.2")
			h.do("13:10", vessel, Forward{}) // out of the wait
		}},
		{"look", func() {
			h.typed("13:20", vessel, "241.87")
			h.typed("14:00", vessel, "15,0")
			h.do("18:00", vessel, Forward{})
			h.typed("19:00", vessel, "9 g")
			h.do("23:00", vessel, Forward{})
			h.typed("24:00", vessel, "6.0g")
		}},
	} {
		step.do()
		if got := h.engine.State.Look(vessel, h.now).Stage; got == nil || got.ID != step.stage {
			h.t.Fatalf("at %s: stage %v, want %s", Hms(h.now), got, step.stage)
		}
		if step.stage == stage {
			return
		}
	}
}

func TestWholeRunEndsByItself(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "look")
	h.typed("24:10", "A", "2")
	h.typed("24:20", "A", "LOT 7")
	h.do("24:30", "A", Forward{}) // stopwatch starts
	h.do("27:33", "A", Forward{}) // and stops
	h.do("27:40", "A", Forward{}) // the burner is cold
	h.do("28:00", "A", Forward{}) // refilled
	s := h.engine.State
	if s.Ended == nil || s.Ended.Abandoned || s.Vessels[0].Through == nil {
		t.Fatalf("the run has not ended: %+v", s.Ended)
	}
	if len(s.Deviations) != 0 {
		t.Errorf("deviations of a run by the plan: %+v", s.Deviations)
	}
	if got, ok := s.Values("A").Show("timed", 0); !ok || got != "3:03 min" {
		t.Errorf("the stopwatch shows %q", got)
	}
	if got, ok := s.Values("A").Show("look_of", 0); !ok || got != "cloudy" {
		t.Errorf("the choice shows %q", got)
	}
	h.refused("28:10", "A", Forward{}, "has ended")
	h.do("28:20", "A", Note{Text: "bottle labelled"})
}

// A replay of the events gives the run that never stopped, wherever it is cut.
func TestFoldIsTheRun(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "look")
	h.do("24:05", "A", Correct{Typed: "6.1", Why: "misread"})
	for cut := 1; cut <= len(h.events); cut++ {
		s, err := Fold(h.events[:cut])
		if err != nil {
			t.Fatalf("cut after %d: %v", cut, err)
		}
		for _, e := range h.events[cut:] {
			if err := s.Apply(e); err != nil {
				t.Fatalf("cut after %d, event %d: %v", cut, e.N, err)
			}
		}
		if got, want := s.Vessels[0].Position, h.engine.State.Vessels[0].Position; got != want {
			t.Errorf("cut after %d: at %+v, want %+v", cut, got, want)
		}
		if got, want := len(s.Vessels[0].Taken), len(h.engine.State.Vessels[0].Taken); got != want {
			t.Errorf("cut after %d: %d readings, want %d", cut, got, want)
		}
	}
}

func TestBriefingComesFirst(t *testing.T) {
	h := begin(t, "A")
	h.refused("0:00", "A", Forward{}, "cautions come first")
	h.do("0:01", "", Acknowledge{})
	h.refused("0:02", "", Acknowledge{}, "already")
	h.refused("0:02", "B", Forward{}, "no vessel B")
}

func TestReadings(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "weigh")
	h.refused("0:20", "A", Forward{}, "Empty flask is needed")
	h.refused("0:20", "A", Take{Typed: "abc"}, `"abc" is no number`)
	h.refused("0:20", "A", Take{Typed: "-3"}, "tared")
	h.refused("0:20", "A", Take{Typed: "100 mL"}, "no unit for a reading in g")
	h.refused("0:20", "A", Take{Typed: "1,234"}, "1.234 or as 1234")
	h.asks("0:30", "A", Take{Typed: "11.236"}, "below what is expected (80 to 180 g). A decimal mark one place off? That would be 112.36 g")
	s := h.engine.State
	if d := s.Deviations; len(d) != 1 || d[0].Kind != "unlikely" || d[0].Done != "11.236, kept all the same" {
		t.Errorf("deviations: %+v", d)
	}
	h.do("0:40", "A", Correct{Typed: "112,36", Why: "mark in the wrong place"})
	if got := s.Vessels[0].Taken[0]; got.Value != 112.36 || len(got.Was) != 1 || got.Was[0].Typed != "11.236" {
		t.Errorf("corrected reading: %+v", got)
	}
	// expected of the second weighing follows the first one
	if got := s.Look("A", h.now).Asked.Expected; got != "139.36 to 145.36 g" {
		t.Errorf("expected %q", got)
	}
}

// The tared second weighing is outside what is expected, and the guard says what it looks like.
func TestGuardSpeaksWithItsLastReading(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "weigh")
	h.typed("1:00", "A", "112.36")
	h.asks("1:20", "A", Take{Typed: "30.02"}, "below what is expected")
	s := h.engine.State
	if len(s.Guards) != 1 || !strings.Contains(s.Guards[0].Say, "tared") || s.Guards[0].Settled {
		t.Fatalf("guards: %+v", s.Guards)
	}
	h.do("1:30", "A", Correct{Typed: "142.38", Why: "tare taken off"})
	if !s.Guards[0].Settled {
		t.Error("a corrected reading does not settle the guard")
	}
	if h.do("1:40", "A", Correct{Typed: "142.36", Why: "misread"}); len(s.Guards) != 1 {
		t.Errorf("it speaks of a value that was corrected: %+v", s.Guards)
	}
	if h.do("1:50", "A", Correct{Reading: "flask", Typed: "112.30", Why: "misread"}); len(s.Guards) != 1 {
		t.Errorf("it speaks by the old value: %+v", s.Guards)
	}
}

func TestEarlyEndTakesAReason(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{})
	h.refused("3:00", "A", Forward{}, "at least 2 points, and has 0")
	h.typed("3:00", "A", "40.0")
	h.typed("3:20", "A", "44.0")
	h.refused("3:25", "A", Forward{}, "Warm wants at least 8:00: 6:05 to go. To end it now all the same: y, then why.")
	if _, err := h.try("3:26", "A", Forward{}, true); err == nil {
		t.Error("an assent without a reason ended it")
	}
	h.unfinished("3:26", "A", EndWait{Why: " "}, "y, then why")
	h.do("3:26", "A", EndWait{Why: "the bath is needed"})
	s := h.engine.State
	kinds := []string{}
	for _, d := range s.Deviations {
		kinds = append(kinds, d.Kind)
	}
	if d := s.Deviations; len(d) != 2 || d[0].Why != "the bath is needed" || d[1].Why != d[0].Why {
		t.Errorf("the reason is not kept: %+v", d)
	}
	if got := strings.Join(kinds, " "); got != "early gate" {
		t.Errorf("deviations %q, want an early end with the gate unmet: %+v", got, s.Deviations)
	}
}

func TestUnmetGateTakesAReason(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{})
	h.typed("3:00", "A", "50.0")
	h.typed("10:00", "A", "53.9")
	h.do("10:01", "A", Forward{}) // answers the reminder
	h.refused("11:00", "A", Forward{}, "Not shown yet: the flask is at 54")
	h.do("11:01", "A", EndWait{Why: "near enough"})
	if d := h.engine.State.Deviations; len(d) != 2 || d[0].Kind != "gate" || d[0].Why != "near enough" {
		t.Errorf("deviations: %+v", d)
	}
}

func TestReminders(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm") // the wait began at 1:30
	h.do("2:00", "A", Forward{})
	if w := h.engine.State.Look("A", h.now); len(w.Due) != 0 || w.NextReminder == nil || w.NextReminder.In != 90*time.Second {
		t.Errorf("at 2:00: due %v, next %+v", w.Due, w.NextReminder)
	}
	h.now = 6 * time.Minute // fell due at 3:30 and 5:30
	if w := h.engine.State.Look("A", h.now); len(w.Due) != 1 || w.Due[0].Missed != 1 || w.Due[0].For != 30*time.Second || w.Tone != Hands {
		t.Errorf("at 6:00: %+v, tone %v", w.Due, w.Tone)
	}
	events := h.do("6:00", "A", Forward{})
	if f, ok := events[0].What.(ReminderAnswered); !ok || f.N != 2 || f.Missed != 1 {
		t.Errorf("answered: %+v", events[0].What)
	}
	h.typed("6:10", "A", "50")
	h.typed("9:10", "A", "54.1")
	h.do("9:40", "A", Forward{})
	h.do("9:50", "A", Forward{})
	d := h.engine.State.Deviations
	if len(d) != 1 || d[0].Kind != "reminder missed" || d[0].Planned != "4 times" || d[0].Done != "2 times" {
		t.Errorf("deviations: %+v", d)
	}
}

func TestLateIsKeptAndNeverBlocked(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{})
	h.typed("3:00", "A", "50.0")
	h.typed("20:00", "A", "54.9")
	h.do("27:00", "A", Extend{By: 10 * time.Minute, Why: "lesson bell"})
	if w := h.engine.State.Look("A", 36*time.Minute); w.Tone == Late || w.Clock.Window.AtMost != 35*time.Minute {
		t.Errorf("after the extension: tone %v, window %+v", w.Tone, w.Clock.Window)
	}
	w := h.engine.State.Look("A", 40*time.Minute+10*time.Second)
	if w.Tone != Late || len(w.Due) == 0 || w.Enter != "end the wait" {
		t.Errorf("at 38:40 of at most 35:00: tone %v, %d reminders due, Enter %q", w.Tone, len(w.Due), w.Enter)
	}
	h.do("40:10", "A", Forward{}) // no reminder is worth staying for
	var late Deviation
	for _, dev := range h.engine.State.Deviations {
		if dev.Kind == "late" {
			late = dev
		}
	}
	if late.Planned != "8:00 to 35:00, aim 22:00" || late.Done != "38:40" {
		t.Errorf("deviations: %+v", h.engine.State.Deviations)
	}
}

func TestInterlockIsTheOnlyBar(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "look")
	h.typed("24:10", "A", "1")
	h.do("24:20", "A", Forward{})
	h.typed("24:30", "A", "183.2")
	h.do("24:40", "A", LeaveOut{Why: "cannot tell"})
	h.refused("24:50", "A", Forward{}, "never refill a burner that may be warm")
	h.refused("24:50", "A", Skip{Why: "in a hurry"}, "never refill a burner that may be warm")
	h.do("25:00", "A", Correct{Reading: "cold", Typed: "yes", Why: "touched it"})
	h.do("25:10", "A", Forward{})
	if got := h.engine.State.Look("A", h.now).Stage.ID; got != "refill" {
		t.Errorf("stage %s", got)
	}
}

func TestSkipAndGiveUpNeedAReason(t *testing.T) {
	h := begin(t, "A", "B")
	h.do("0:00", "", Acknowledge{})
	h.do("0:10", "A", Forward{})
	h.do("0:20", "B", Forward{})
	h.refused("0:30", "A", Skip{}, "reason")
	h.asks("0:30", "A", Skip{Why: "weighed by the group before"}, "Skip what is left of Weigh")
	h.refused("0:40", "B", EndVessel{}, "reason")
	h.asks("0:40", "B", EndVessel{Why: "flask broke"}, "Give up vessel B")
	h.refused("0:50", "B", Forward{}, "given up")
	h.refused("0:50", "", End{}, "reason")
	h.asks("1:00", "", End{Why: "fire drill"}, "End it for good")
	if e := h.engine.State.Ended; e == nil || !e.Abandoned || e.Why != "fire drill" {
		t.Errorf("ended: %+v", e)
	}
}

func TestCalledAwayStopsNoClock(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{})
	h.do("3:00", "", GoAway{})
	if h.engine.State.Away == nil {
		t.Fatal("not away")
	}
	events := h.do("9:30", "A", Take{Typed: "54.5"})
	if _, ok := events[0].What.(CameBack); !ok || h.engine.State.Away != nil {
		t.Errorf("an act does not bring the hands back: %+v", events)
	}
	if w := h.engine.State.Look("A", h.now); w.Clock.Elapsed != 8*time.Minute {
		t.Errorf("the wait shows %v", w.Clock.Elapsed)
	}
}

func TestResultsFollowTheNewestValue(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "look")
	p := h.engine.State.Protocol
	val, err := h.engine.State.Result("A", p.Result("dosed"))
	if err != nil || val.Number.Value != 30 {
		t.Fatalf("dosed: %v, %v", val.Number.Value, err)
	}
	h.do("24:30", "A", Correct{Reading: "portion.2", Typed: "9.5", Why: "read again"})
	if val, _ = h.engine.State.Result("A", p.Result("dosed")); val.Number.Value != 30.5 {
		t.Errorf("dosed after the correction: %v", val.Number.Value)
	}
	charge, err := h.engine.State.Result("A", p.Result("charge"))
	if err != nil {
		t.Fatal(err)
	}
	// the balance's shared offset cancels in the difference; step and tolerance of both weighings stay
	want := 0.016832508 // sqrt(2*(0.005^2+0.02^2)/3): JCGM 100:2008, 4.3.7 and 5.1.2
	if got := charge.Number.U(); got < want-1e-6 || got > want+1e-6 {
		t.Errorf("u(charge) = %.8f g, want %.8f g", got, want)
	}
}

// Two vessels weighed on one balance share its offset and nothing else (JCGM 100:2008, 5.2.2: correlation by a common
// source): a sum of their charges keeps steps and tolerances apart.
func TestVesselsShareTheInstrumentAlone(t *testing.T) {
	h := begin(t, "A", "B")
	h.do("0:00", "", Acknowledge{})
	for _, v := range []string{"A", "B"} {
		h.do("0:10", v, Forward{})
		h.typed("1:00", v, "112.36")
	}
	a, errA := h.engine.State.Values("A").Value("flask")
	b, errB := h.engine.State.Values("B").Value("flask")
	diff, err := quantity.Sub(a.Number, b.Number)
	if errA != nil || errB != nil || err != nil {
		t.Fatal(errA, errB, err)
	}
	want := 0.016832508 // sqrt(2*(0.005^2+0.02^2)/3): the offset cancels, steps and tolerances do not
	if got := diff.U(); got < want-1e-6 || got > want+1e-6 {
		t.Errorf("u of the difference = %.8f g, want %.8f g", got, want)
	}
}
