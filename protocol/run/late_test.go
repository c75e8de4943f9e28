package run

import (
	"errors"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/calc/formula"
)

func late(at, reading, typed string) Take {
	d, _ := ParseHms(at)
	return Take{Reading: reading, Typed: typed, TypedAt: d, Late: true}
}

// TestEnteredLater: a reading that was read earlier stands at its own time, with the time at which it was entered.
func TestEnteredLater(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "weigh")
	h.refused("1:00", "A", late("0:50", "warmth", "50"), "still ahead")
	h.refused("1:00", "A", late("1:01", "", "112.36"), "not at 12:01:01")
	h.refused("1:00", "A", late("0:50", "nothing", "50"), `no reading "nothing"`)
	h.do("1:00", "A", late("0:50", "", "112.36"))
	v := h.engine.State.Vessels[0]
	got := v.Taken[0]
	if got.At.Elapsed != 50*time.Second || !got.At.At.Equal(noon.Add(50*time.Second)) || got.Entered == nil || got.Entered.Elapsed != time.Minute {
		t.Errorf("taken at %v, entered %v; want 50 s and 1 min", got.At, got.Entered)
	}
	h.do("1:20", "A", LeaveOut{Why: "scales busy"})
	h.do("1:30", "A", Forward{}) // the room is optional
	if st := h.engine.State.stage(v); st.ID != "warm" {
		t.Fatalf("in %s, want warm", st.ID)
	}
	h.refused("2:00", "A", late("1:20", "flask", "112.40"), "c corrects it")
	h.refused("2:00", "A", late("1:50", "filled", "142.36"), "was in Weigh from 12:00:10 to 12:01:30, not at 12:01:50")
	h.do("2:00", "A", late("1:10", "filled", "142.36"))
	got = *v.newest("filled")
	if got.NotTaken || got.Value != 142.36 || got.At.Elapsed != 70*time.Second || got.Entered == nil || len(got.Was) != 1 || got.Was[0].Typed != "not taken: scales busy" {
		t.Errorf("a reading left out and entered later is %+v", got)
	}
	if val, err := h.engine.State.Values("A").Value("charge"); err != nil || val.Number.Text() == "" {
		t.Errorf("the result that needs it: %v", err)
	}
	h.refused("2:10", "A", late("0:30", "", ""), "was in Warm from 12:01:30")
	h.do("2:10", "A", late("1:00", "", "")) // the minute in which it came there
	if mark := v.newest("in_bath"); mark.At.Elapsed != 90*time.Second {
		t.Errorf("a mark entered later is %+v", mark)
	}
}

// TestEnteredAfterTheEnd: a reading that was missed is entered when the run is over, at its own time and with the reason why
// it comes late; the results have it.
func TestEnteredAfterTheEnd(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "weigh")
	h.typed("0:50", "A", "112.36")
	h.asks("1:20", "A", Skip{Why: "scales busy"}, "Skip what is left of Weigh")
	h.asks("2:00", "", End{Why: "fire drill"}, "End it for good")
	charge := func() error { _, err := h.engine.State.Values("A").Value("charge"); return err }
	if charge() == nil {
		t.Fatal("the charge is known without the second weighing")
	}
	h.unfinished("90:00", "A", late("1:10", "filled", "142.36"), "Filled flask is entered after its end: say why behind the value")
	h.refused("90:00", "A", late("1:10", "", "142.36 on paper"), "name the one that was read")
	h.refused("90:00", "A", late("1:50", "filled", "142.36 on paper"), "was in Weigh from 12:00:10 to 12:01:20, not at 12:01:50")
	h.refused("90:00", "A", late("1:10", "bottle", "230.1 on paper"), "was not in Dose at any time")
	h.refused("90:00", "A", late("1:10", "flask", "112.4 on paper"), "c corrects it")
	h.refused("90:00", "A", Take{Reading: "filled", Typed: "142.36", TypedAt: time.Minute}, "notes and corrections can still be added")
	h.asks("90:00", "A", late("1:10", "filled", "14.36 on paper"), "Filled flask: 14.36 g is below")
	h.refused("91:00", "A", late("1:10", "filled", "142.36 on paper"), "c corrects it")
	h.do("91:00", "A", Correct{Reading: "filled", Typed: "142.36", Why: "mistyped"})
	h.do("92:00", "A", late("1:45", "in_bath", "on the paper's edge"))
	h.refused("92:00", "A", late("2:30", "warmth", "30 on paper"), "was in Warm from 12:01:20 to 12:02:00, not at")
	h.do("92:00", "A", late("1:55", "warmth", "30.1 Cel on paper"))
	v := h.engine.State.Vessels[0]
	for _, want := range []struct{ id, typed, why, read string }{
		{"filled", "142.36", "on paper", "1:10"}, {"in_bath", "", "on the paper's edge", "1:45"}, {"warmth", "30.1 Cel", "on paper", "1:55"},
	} {
		got := v.newest(want.id)
		if got.Typed != want.typed || got.Why != want.why || Hms(got.At.Elapsed) != want.read || got.Entered == nil || got.Entered.Elapsed < 90*time.Minute {
			t.Errorf("%s entered after the end is %+v", want.id, got)
		}
	}
	if err := charge(); err != nil {
		t.Errorf("the charge is still not known: %v", err)
	}
	if v.Stage != 1 || h.engine.State.Ended.At.Elapsed != 2*time.Minute {
		t.Errorf("the vessel went on to stage %d, or the end to %s", v.Stage, h.engine.State.Ended.At.Elapsed)
	}
	again, err := Fold(h.events)
	if err != nil || strings.Join(outline(again), "\n") != strings.Join(outline(h.engine.State), "\n") {
		t.Errorf("folded anew: %v", err)
	}
}

// TestReasonOfALateReading: behind the value stands why it comes late, which may go without saying while the run goes on.
func TestReasonOfALateReading(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "look")
	st := h.engine.State
	for _, tt := range []struct{ id, typed, value, why, doubt string }{
		{"flask", "112.36", "112.36", "", ""},
		{"flask", "112.36 g", "112.36 g", "", ""},
		{"flask", "112.36 g forgot it", "112.36 g", "forgot it", ""},
		{"flask", "112.36 forgot it", "112.36", "forgot it", ""},
		{"flask", "112.36 142.36", "112.36", "142.36", "Two numbers"},
		{"look_of", "cloudy at noon", "cloudy", "at noon", ""},
		{"look_of", "2 at noon", "2", "at noon", ""},
		{"lot", `"LOT 7" on the label`, "LOT 7", "on the label", ""},
		{"lot", "LOT 7", "LOT 7", "", ""},
		{"in_bath", "", "", "", ""},
		{"in_bath", "by the wall clock", "", "by the wall clock", ""},
		{"in_bath", "53.9", "53.9", "", ""}, // no reason, and refused
	} {
		value, why, doubt := valueAndReason(st.Protocol.Reading(tt.id), tt.typed, false)
		if value != tt.value || why != tt.why || !strings.HasPrefix(doubt, tt.doubt) || (doubt == "") != (tt.doubt == "") {
			t.Errorf("%s %q: %q for %q (%s), want %q for %q", tt.id, tt.typed, value, why, doubt, tt.value, tt.why)
		}
	}
	if value, why, doubt := valueAndReason(st.Protocol.Reading("lot"), "LOT 7 forgot", true); value != "LOT" || why != "7 forgot" || doubt == "" {
		t.Errorf("a text without quotes after the end: %q for %q (%s)", value, why, doubt)
	}
}

// TestPointsEnteredLater: the points of a series count in the order in which they were read.
func TestPointsEnteredLater(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{})
	h.typed("3:00", "A", "30")
	h.typed("5:00", "A", "40")
	h.do("5:10", "A", late("4:00", "", "35"))
	val, err := h.engine.State.Values("A").Value("warmth")
	if err != nil || len(val.List) != 3 || val.List[1].Value != 35 || val.Times[1].Value != 4 {
		t.Errorf("the series is %v at %v (%v), want 30 35 40 at 3 4 5 min", val.List, val.Times, err)
	}
}

// TestTakenBack: the last reading becomes one that was not taken; where the vessel still stands it is asked for again.
func TestTakenBack(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "weigh")
	v := h.engine.State.Vessels[0]
	h.refused("0:50", "A", TakeBack{Why: "slip"}, "no reading to take back")
	h.typed("1:00", "A", "112.36")
	h.typed("1:20", "A", "142.36")
	h.refused("1:25", "A", TakeBack{}, "Filled flask (142.36 g) back needs a reason")
	h.asks("1:25", "A", TakeBack{Why: "wrong flask"}, "Take Filled flask (142.36 g) back, for the reason “wrong flask”?")
	got := v.newest("filled")
	if !got.NotTaken || !got.TakenBack || got.Why != "wrong flask" || len(got.Was) != 1 || got.Was[0].Value != 142.36 {
		t.Errorf("taken back, it is %+v", got)
	}
	var missing *formula.MissingError
	if _, err := h.engine.State.Values("A").Value("charge"); !errors.As(err, &missing) {
		t.Errorf("the result still has a value: %v", err)
	}
	h.refused("1:26", "A", Correct{Typed: "142.4", Reading: "filled", Why: "right one"}, "asked for again")
	h.typed("1:30", "A", "141.90")
	if got := v.newest("filled"); got.NotTaken || got.Value != 141.90 {
		t.Fatalf("asked for again and typed, it is %+v", got)
	}
	h.do("1:35", "A", Forward{})
	h.confirmed("1:40", "A", TakeBack{Why: "the flask was wet"}) // passed: it is not asked for again
	h.do("1:50", "A", Correct{Reading: "filled", Typed: "141.95", Why: "dried and weighed"})
	if val, err := h.engine.State.Values("A").Value("charge"); err != nil || val.Number.Value < 29.58 || val.Number.Value > 29.60 {
		t.Errorf("charge is %v (%v), want 141.95 g - 112.36 g", val.Number.Value, err)
	}
	if n := len(v.newest("filled").Was); n != 2 {
		t.Errorf("%d superseded values stay, want 2", n)
	}
	if kind := h.engine.State.Deviations[0].Kind; kind != "taken back" {
		t.Errorf("the first deviation is %q", kind)
	}
}

// TestMarkCorrected: a mark is moved to another moment of its stage, and never out of it.
func TestMarkCorrected(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{})
	v := h.engine.State.Vessels[0]
	h.refused("3:00", "A", Correct{Reading: "in_bath", Typed: "54", Why: "late"}, "was 2:00 on the run's clock")
	h.refused("3:00", "A", Correct{Reading: "in_bath", Typed: "9:00", Why: "late"}, "say a time in between")
	h.refused("3:00", "A", Correct{Reading: "in_bath", Typed: "1:40"}, "needs a reason")
	h.do("3:00", "A", Correct{Reading: "in_bath", Typed: "1:40", Why: "pressed late"})
	at := 105 * time.Second
	h.do("3:10", "A", Correct{Reading: "in_bath", At: &at, Why: "by the wall clock"})
	got := v.newest("in_bath")
	if got.Shown() != "1:45" || got.ShownAs(got.Was[0]) != "2:00" || got.Was[0].Typed != "2:00" || got.ShownAs(got.Was[1]) != "1:40" {
		t.Errorf("shown as %s, was %+v", got.Shown(), got.Was)
	}
	if val, err := h.engine.State.Values("A").Value("in_bath"); err != nil || val.Number.Value != 1.75 {
		t.Errorf("formulas see %v min (%v), want 1.75", val.Number.Value, err)
	}
}
