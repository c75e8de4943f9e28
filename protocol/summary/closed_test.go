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
