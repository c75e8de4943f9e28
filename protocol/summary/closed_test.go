package summary_test

import (
	"testing"

	"example.org/meniscus/protocol/run"
)

// TestCorrectedAfterTheEnd: the summary follows a correction behind the end, and the run ended when it did.
func TestCorrectedAfterTheEnd(t *testing.T) {
	tp := whole(t)
	before := of(t, tp.events)
	tp.add("A", run.ReadingCorrected{Of: 2, Reading: "empty", Typed: "112.30", Value: 112.30, Why: "misread"})
	tp.add("A", run.Noted{Text: "seen on the summary"})
	after := of(t, tp.events)
	if !after.Run.Complete || *after.Run.Ended != *before.Run.Ended || after.Run.ElapsedS != before.Run.ElapsedS {
		t.Errorf("the run is %+v, want it as it was: %+v", after.Run, before.Run)
	}
	if n := len(before.Vessels[0].Notes); len(after.Vessels[0].Notes) != n+1 {
		t.Errorf("notes %v, want one more than %d", after.Vessels[0].Notes, n)
	}
	if got := after.Vessels[0].Readings[0]; got.Typed != "112.30" || len(got.Corrections) != 1 {
		t.Errorf("the reading is %+v, want 112.30 and what it was", got)
	}
}

// TestCorrectedDoubt: a doubtful value that was corrected, or taken back, is no longer listed as kept all the same; one that
// stands is.
func TestCorrectedDoubt(t *testing.T) {
	tp := whole(t)
	unlikely := func() (n int) {
		for _, d := range of(t, tp.events).Vessels[0].Deviations {
			if d.Kind == "unlikely" {
				n++
			}
		}
		return n
	}
	before := unlikely()
	correct := func(typed string, value float64, doubtful bool) {
		tp.add("A", run.ReadingCorrected{Of: 2, Reading: "empty", Typed: typed, Value: value, Unlikely: doubtful, Why: "misread"})
	}
	for i, want := range []int{1, 1, 0, 1, 0} {
		switch i {
		case 0, 3:
			correct("1.12", 1.12, true)
		case 1: // another doubtful one in its place
			correct("1.13", 1.13, true)
		case 2:
			correct("112.30", 112.30, false)
		case 4:
			tp.add("A", run.ReadingTakenBack{Of: 2, Reading: "empty", Why: "another flask"})
		}
		if got := unlikely() - before; got != want {
			t.Errorf("after act %d: %d more doubtful values listed, want %d", i, got, want)
		}
	}
}
