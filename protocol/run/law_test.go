package run

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Whatever is typed, in whatever order, nothing panics, every decided event can be applied, and a replay of the events
// through their encoding gives the same run.
func TestAnyOrderOfActsReplays(t *testing.T) {
	acts := []Act{Acknowledge{}, Forward{}, Forward{}, Forward{}, Forward{}, Take{}, Take{}, Take{}, Correct{}, LeaveOut{Why: "no time"}, LeaveOut{},
		Note{Text: "a remark"}, Skip{Why: "short of time"}, Extend{By: 5 * time.Minute}, GoAway{}, ComeBack{}, EndVessel{Why: "spilt"}, End{Why: "bell"},
		TakeBack{Why: "wrong flask"}, Undo{}, Undo{}, EndWait{Why: "bell"}, TakeBack{Why: "again"}, TakeBack{Reading: "room", Why: "draught"}, Again{}, Extend{By: time.Minute, Why: "bell"}, Take{Late: true}, Take{Late: true, Reading: "flask"}, Take{Late: true, Reading: "warmth"}}
	rapid.Check(t, func(rt *rapid.T) {
		h := begin(t, "A", "B")
		for i := 0; i < rapid.IntRange(1, 120).Draw(rt, "acts"); i++ {
			act := rapid.SampledFrom(acts).Draw(rt, "act")
			typed := rapid.SampledFrom([]string{"", "1", "2", "112.36", "142.36", "54.2", "30", "15", "9,0", "6 g", "-1", "1,234", "5:00", "yes", "x\x1b[2J", "1e300"}).Draw(rt, "typed")
			switch a := act.(type) {
			case Take:
				a.Typed = typed
				if a.Late {
					a.TypedAt = h.now - time.Duration(rapid.IntRange(0, 900).Draw(rt, "ago"))*time.Second
				}
				act = a
			case Correct:
				a.Typed, a.Why, act = typed, "slip", a
			case Again:
				a.Typed, act = typed, a
			}
			h.now += time.Duration(rapid.IntRange(0, 600).Draw(rt, "seconds")) * time.Second
			vessel := rapid.SampledFrom([]string{"A", "B", "A", ""}).Draw(rt, "vessel")
			confirmed := rapid.Bool().Draw(rt, "confirmed")
			if _, err := h.engine.Do(Command{Vessel: vessel, Do: act, Confirmed: confirmed}); err != nil && strings.HasPrefix(err.Error(), "event ") {
				rt.Fatalf("%T was decided and cannot be applied: %v", act, err)
			}
			for _, v := range []string{"A", "B"} {
				if w := h.engine.State.Look(v, h.now); w.Level < 0 || w.Level > 1 || w.Do == "" {
					rt.Fatalf("vessel %s shows nothing sensible: %+v", v, w)
				}
			}
		}
		again := make([]Event, len(h.events))
		for i, e := range h.events {
			kind, data, err := EncodeFact(e.What)
			if err != nil {
				rt.Fatal(err)
			}
			if again[i] = e; strings.ContainsAny(string(data), "\x1b\n") {
				rt.Fatalf("a control character in %s", data)
			}
			if again[i].What, err = DecodeFact(kind, data); err != nil {
				rt.Fatal(err)
			}
		}
		s, err := Fold(again)
		if err != nil {
			rt.Fatal(err)
		}
		if a, b := outline(s), outline(h.engine.State); !reflect.DeepEqual(a, b) {
			rt.Fatalf("replayed:\n%v\nlived:\n%v", a, b)
		}
	})
}

// outline is a state in words, without its pointers.
func outline(s *State) []string {
	out := []string{fmt.Sprint(s.Acknowledged, s.Away, s.Ended, s.Last.N), fmt.Sprint(s.Deviations), fmt.Sprint(s.Notes), fmt.Sprint(s.Guards)}
	for _, v := range s.Vessels {
		out = append(out, fmt.Sprint(v.Label, v.Position, v.Entered, v.Since, v.Extended, v.GivenUp, v.settled, v.reminders, v.stopwatch))
		for _, t := range v.Taken {
			out = append(out, fmt.Sprint(t.Event, t.Reading.ID, t.Portion, t.At, t.Typed, t.Value, t.Text, t.Unlikely, t.NotTaken, t.TakenBack, t.Entered, t.Why, t.Was))
		}
	}
	return out
}

func TestApplyRefusesWhatDoesNotFollow(t *testing.T) {
	h := begin(t, "A")
	s := h.engine.State
	at := Moment{noon, 0}
	for _, tt := range []struct {
		name string
		e    Event
		part string
	}{
		{"a gap", Event{N: 3, Moment: at, What: Acknowledged{}}, "want event 2"},
		{"nothing", Event{N: 2, Moment: at}, "says nothing"},
		{"a second begin", Event{N: 2, Moment: at, What: Begun{}}, "begins once"},
		{"another vessel", Event{N: 2, Moment: at, Vessel: "Z", What: StepDone{}}, `vessel "Z"`},
		{"a stage out of order", Event{N: 2, Moment: at, Vessel: "A", What: StageEntered{"dose"}}, "does not come next"},
		{"a step of no stage", Event{N: 2, Moment: at, Vessel: "A", What: StepDone{"weigh", 1, 1}}, "in no stage"},
		{"a reading that the protocol lacks", Event{N: 2, Moment: at, Vessel: "A", What: ReadingTaken{Stage: "weigh", Reading: "nil"}}, `no reading "nil"`},
		{"a correction of nothing", Event{N: 2, Moment: at, Vessel: "A", What: ReadingCorrected{Of: 1, Reading: "flask"}}, "took no reading"},
	} {
		if err := s.Apply(tt.e); err == nil || !strings.Contains(err.Error(), tt.part) {
			t.Errorf("%s: %v, want %q", tt.name, err, tt.part)
		}
	}
	if s.Last.N != 1 {
		t.Errorf("a refused event counts: last is %d", s.Last.N)
	}
}

// BenchmarkFold folds a run of 100 000 events, most of them points of a series; ns/op is for the whole.
func BenchmarkFold(b *testing.B) {
	h := begin(&testing.T{}, "A")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{})
	for len(h.events) < 100_000 {
		h.now += 50 * time.Millisecond
		if _, err := h.engine.Do(Command{Vessel: "A", Do: Note{Text: "stirred"}}); err != nil {
			b.Fatal(err)
		}
		e := Event{N: len(h.events) + 1, Moment: h.Now(), Vessel: "A",
			What: ReadingTaken{Stage: "warm", Portion: 1, Reading: "warmth", Typed: "50.0", Value: 50, Unit: "Cel", TypedAt: Span(h.now)}}
		h.events = append(h.events, e)
		if err := h.engine.State.Apply(e); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Fold(h.events); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(h.events)), "ns/event")
}
