package run

import (
	"errors"
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
	h.do("1:25", "A", TakeBack{Why: "wrong flask"})
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
	h.do("1:40", "A", TakeBack{Why: "the flask was wet"}) // passed: it is not asked for again
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
